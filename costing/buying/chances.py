"""The chance that all that remains of the shots fits what is there, whichever shot is asked about.

What all shots use for certain, and what they use at most, is added up once; a question about one
shot then looks only at what its own copies change and at what may lack.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import product

from costing.buying.counted_goods import Drawn, Draws
from costing.buying.fitting import CERTAIN, IMPOSSIBLE, Chance, Fitting, ShotGroup
from costing.buying.shooting_day import Day, InAll, Numbers
from costing.buying.supply import Supplies
from costing.buying.whole_supplies import EVERY, NONE, in_whole_numbers
from costing.shoot import Shoot
from costing.shoot.copies import Forest, back_from
from costing.shoot.times import Times, certain, times_of

Against = tuple[dict[int, Sequence[Drawn]], dict[Drawn, Fraction], list[ShotGroup]]
"""What is drawn of each supply, what is used of that for certain, and the open groups."""


class Chances:
    """The chances of one shoot as its log has it."""

    def __init__(self, shoot: Shoot, day: Day, forest: Forest, supplies: Supplies) -> None:
        self.shoot = shoot
        self.day = day
        self.forest = forest
        self.supplies = supplies
        self.whole = in_whole_numbers(supplies, self._taking, len(shoot.shots))
        self._asked: dict[tuple[int, InAll], tuple[ShotGroup, dict[int, Fraction]]] = {}
        self._against: dict[tuple[InAll, ...], Against] = {}

    def begin(self) -> None:
        """Forget what was asked about the shot before."""
        # kept for one shot only: of all shots and numbers together it would be most of the memory
        self._asked.clear()
        self._against.clear()

    def numbers(self, number: int) -> Times:
        """How often a shot is taken in all, given how often it was taken."""
        shot, taken = self.shoot.shots[number], self.day.taken(number)
        if self.day.so_far.of(number).ended or self.day.is_over(number):
            return certain(taken)
        return times_of(shot).given_at_least(taken)

    @cached_property
    def _members(self) -> dict[int, list[int]]:
        """The shots of each group, which has the name of the shot that begins the copy."""
        members: dict[int, list[int]] = {}
        for number, root in enumerate(self.forest.first):
            members.setdefault(root, []).append(number)
        return members

    @cached_property
    def _taking(self) -> dict[Drawn, list[int]]:
        """The supplies that what is drawn takes of."""
        drawn = {one for draws in self.supplies.per_time.values() for one in draws}
        by_code: dict[str, list[int]] = {}
        for at, supply in enumerate(self.supplies.limited):
            for code in supply.codes:
                by_code.setdefault(code, []).append(at)
        return {one: by_code.get(one[0], []) for one in drawn}

    @cached_property
    def touched(self) -> list[list[int]]:
        """By shot the supplies that one more time of it may take of, its copies included."""
        shots, per_time = self.shoot.shots, self.supplies.per_time
        drawn = (
            {one for at in back_from(n, shots) for one in per_time[at]} for n in range(len(shots))
        )
        return [sorted({at for one in places for at in self._taking[one]}) for places in drawn]

    def is_alone(self, number: int) -> bool:
        """Whether a shot shares no copies with others."""
        return len(self._members[self.forest.first[number]]) == 1

    def certain_to_lack(self, number: int, times: int, among: Iterable[int]) -> list[int]:
        """The supplies that cannot last when a shot is taken so often in all."""
        return [at for at in among if self.chance(number, times, [at]).high == 0]

    def wanted_by_others(self, number: int, supplies: Sequence[int]) -> bool:
        """Whether another shot that may still be taken takes of some supplies."""
        return any(other != number for at in supplies for other in self.wanting.get(at, ()))

    @cached_property
    def wanting(self) -> dict[int, list[int]]:
        """The shots that may still be taken, by the supplies they take of."""
        wanting: dict[int, list[int]] = {}
        for number, touched in enumerate(self.touched):
            if self.numbers(number).most > self.day.taken(number):
                for at in touched:
                    wanting.setdefault(at, []).append(number)
        return wanting

    def drawing_more(self, number: int, times: int) -> list[int]:
        """The supplies of which more is drawn when a shot is taken so often in all.

        Of a copy that stands there, and that no other shot waits for, nothing more is drawn.
        """
        if self.is_alone(number):
            return self.touched[number]
        members, taken = self._members[self.forest.first[number]], self.day.taken(number)
        so_far = {n: self.day.taken(n) for n in members}
        both = [self._use(members, {**so_far, number: n}) for n in (taken, times)]
        changed = _changes(*both)
        before, after = (self._changed(number, n)[0].ways for n in (taken, times))
        if [weight for weight, _ in before] != [weight for weight, _ in after]:
            changed.update(one for _, use in (*before, *after) for one in use)
        else:
            pairs = zip(before, after, strict=True)
            changed.update(one for (_, was), (_, now) in pairs for one in _changes(was, now))
        return sorted({at for one in changed for at in self._drawing[one]})

    def asked_alike(self, number: int) -> Hashable:
        """What a shot has in common with others of which everything asked here has one answer.

        Those are shots that share no copies, and that may be taken as often, as likely.
        """
        if not self.is_alone(number):
            return number
        per_time = self.supplies.per_time[number].items()  # what is drawn names the episode too
        draws = frozenset((one, *amount.as_integer_ratio()) for one, amount in per_time)
        day, planned = self.day, (self.shoot.shots[number].times, self.numbers(number))
        so_far = day.so_far.of(number), day.taken(number), day.is_over(number)
        return draws, self.supplies.unmeasured.get(number), *so_far, planned

    def taken_of(self, number: int, drawing: Mapping[str, set[str]]) -> tuple[str, ...]:
        """Those ingredients that a shot takes, by the keys of what is drawn that takes of them."""
        shots = back_from(number, self.shoot.shots)
        codes = {code for at in shots for code, _ in self.supplies.per_time[at]}
        return tuple(name for name, by in drawing.items() if by & codes)

    def _group(self, root: int, fixed: Numbers) -> ShotGroup:
        """What the shots of a group may use, some of them taken a given number of times."""
        members = self._members[root]
        every = [certain(fixed[n]) if n in fixed else self.numbers(n) for n in members]
        if all(len(one.chances) == 1 for one in every):  # one way is not told from others
            numbers = {n: one.chances[0][0] for n, one in zip(members, every, strict=True)}
            return ShotGroup(((1, self._use(members, numbers)),))
        ways: dict[tuple[tuple[Drawn, Fraction], ...], int] = {}
        # shots of one group share copies, so that their numbers are combined; groups only add up
        for way in product(*(one.weighed for one in every)):
            numbers = {n: times for n, (times, _) in zip(members, way, strict=True)}
            use = tuple(sorted(self._use(members, numbers).items()))
            ways[use] = ways.get(use, 0) + math.prod(weight for _, weight in way)
        return ShotGroup(tuple((weight, dict(use)) for use, weight in ways.items() if weight))

    def _use(self, members: Sequence[int], numbers: Numbers) -> dict[Drawn, Fraction]:
        """What the shots of a group draw when they are taken so often."""
        use: dict[Drawn, Fraction] = {}
        for number, times in self.day.provided(self.forest, members, numbers).items():
            for one, amount in self.whole.each[number].items():
                use[one] = use.get(one, 0) + times * amount
        return use

    @cached_property
    def _groups(self) -> dict[int, ShotGroup]:
        """Each group as it is."""
        return {root: self._group(root, {}) for root in self._members}

    @cached_property
    def _drawn(self) -> dict[int, list[Drawn]]:
        """What is drawn that takes of each supply."""
        drawn: dict[int, dict[Drawn, None]] = {}
        # in an order that no hash decides: which sums are followed may depend on it
        for one, supplies in sorted(self._taking.items()):
            for at in supplies:
                supply = self.whole.supplies[at]
                place = (supply.code, EVERY) if supply.is_sum else one
                drawn.setdefault(at, {})[place] = None
        return {at: list(places) for at, places in drawn.items()}

    @cached_property
    def _base(self) -> dict[Drawn, Fraction]:
        """What the groups use of which it is certain."""
        base: dict[Drawn, Fraction] = {}
        for group in self._groups.values():
            if group.is_certain:
                for one, amount in group.ways[0][1].items():
                    base[one] = base.get(one, NONE) + amount
        return base

    @cached_property
    def _open(self) -> list[tuple[int, ShotGroup]]:
        """The groups of which it is not certain what they use, with their roots."""
        return [(root, one) for root, one in self._groups.items() if not one.is_certain]

    @cached_property
    def _open_drawing(self) -> dict[Drawn, list[int]]:
        """Which of the open groups draw of each place."""
        drawing: dict[Drawn, list[int]] = {}
        for at, (_, group) in enumerate(self._open):
            for one in group.most:
                drawing.setdefault(one, []).append(at)
        return drawing

    @cached_property
    def _roots_open(self) -> dict[int, set[int]]:
        """The roots of the open groups that draw of each supply."""
        roots: dict[int, set[int]] = {}
        for root, group in self._open:
            for at in {at for one in group.most for at in self._drawing[one]}:
                roots.setdefault(at, set()).add(root)
        return roots

    @cached_property
    def _most(self) -> dict[Drawn, Fraction]:
        """What all groups use when everything comes to its most."""
        most: dict[Drawn, Fraction] = {}
        for group in self._groups.values():
            for one, amount in group.most.items():
                most[one] = most.get(one, NONE) + amount
        return most

    @cached_property
    def _lacking_most(self) -> dict[int, Fraction]:
        """By how much each supply is lacking then."""
        return {at: self._lacking(at, self._most, exact=True) for at in self._drawn}

    @cached_property
    def _may_lack(self) -> set[int]:
        """The supplies that would lack if everything came to its most."""
        return {at for at, lacking in self._lacking_most.items() if lacking > 0}

    def _lacking(self, at: int, use: Draws, *, exact: bool = False) -> Fraction:
        """By how much a supply is lacking when all use so much: see ``WholeSupplies.lacking``."""
        own = {one: amount for one in self._drawn[at] if (amount := use.get(one, NONE))}
        return self.whole.lacking(at, own, exact=exact)

    def _lacking_the_most(self, at: int, changes: Draws) -> Fraction:
        """By how much a supply is lacking when everything comes to its most, and so much more.

        What is drawn of it more takes at most its greatest weight of it, as it may take what is on
        hand from a later day; where that is not enough to say that it lasts, it is worked out.
        """
        most, supply = self._lacking_most[at], self.whole.supplies[at]
        if not changes or supply.is_sum:
            return most + sum(changes.values())
        # where something is made, more of it may take another whole batch: no such bound holds
        if supply.purchase.demand.making is None:
            more = sum(change for change in changes.values() if change > 0)
            if most + self.whole.dearest[at] * more <= 0:
                return NONE
        used = {p: self._most.get(p, NONE) + changes.get(p, NONE) for p in self._drawn[at]}
        return self._lacking(at, used)

    def sure(self, number: int, taken: int) -> int:
        """So often more a shot can be taken whatever else is: all it takes of lasts at its most.

        Below 0 where that cannot be said. Nothing is made of what it takes of, and each time of it
        draws at most as much of it as the time before. [time]
        """
        was = self._groups[self.forest.first[number]].most
        now = self._changed(number, taken)[0].most
        each: dict[Drawn, Fraction] = {}
        for at in back_from(number, self.shoot.shots):
            for one, amount in self.whole.each[at].items():
                each[one] = each.get(one, NONE) + amount
        freed = {one: was.get(one, NONE) - now.get(one, NONE) for one, draw in each.items() if draw}
        draws: dict[int, list[Drawn]] = {}
        for one in freed:
            for at in self._drawing[one]:
                draws.setdefault(at, []).append(one)
        found: list[int] = []
        for at, places in draws.items():
            supply, spare = self.whole.supplies[at], -self._lacking_most[at]
            if supply.is_sum:
                (one,) = places
                found.append((freed[one] + spare) // each[one])
            elif spare < 0 or supply.purchase.demand.making is not None:
                return -1
            else:  # no more is drawn than planned up to the first, and then at most its weight
                at_most = self.whole.dearest[at] * sum(each[one] for one in places)
                found.append(min(freed[o] // each[o] for o in places) + spare // at_most)
        return min(found, default=-1)

    def fitting(
        self,
        number: int,
        times: InAll,
        only: Sequence[int] | None,
        extra: Mapping[int, Fraction] | None = None,
    ) -> Fitting | None:
        """What is to fit when a shot is taken so often in all; ``None`` where nothing can lack."""
        root, there, besides = self.forest.first[number], self.whole.supplies, extra or {}
        group, may_lack = self._changed(number, times)
        asked = list(may_lack) if only is None else [at for at in only if at in may_lack]
        if not asked:
            return None
        if (number, times, *asked) not in self._against:
            drawn: dict[int, Sequence[Drawn]] = {at: self._drawn[at] for at in asked}
            self._against[number, times, *asked] = drawn, *self._set_against(root, group, drawn)
        drawn, base, groups = self._against[number, times, *asked]

        def lacking(at: int, use: Draws) -> Fraction:
            return self._lacking(at, use) - besides.get(at, NONE)

        levels = {n: there[n].level + besides.get(n, NONE) for n in asked if there[n].is_sum}
        return Fitting(base, groups, drawn, lacking, levels)

    def _set_against(
        self, root: int, group: ShotGroup, drawn: Mapping[int, Sequence[Drawn]]
    ) -> tuple[dict[Drawn, Fraction], list[ShotGroup]]:
        """What is used for certain with another group in place of one, and the open groups."""
        base = {one: self._base.get(one, NONE) for places in drawn.values() for one in places}
        before = self._groups[root]
        if before.is_certain:
            for one in base.keys() & before.most.keys():
                base[one] -= before.ways[0][1][one]
        # groups that draw nothing of these supplies change no chance
        drawing = sorted({at for one in base for at in self._open_drawing.get(one, ())})
        groups = [self._open[at][1] for at in drawing if self._open[at][0] != root]
        if not group.is_certain:
            return base, [*groups, group]
        for one in base.keys() & group.most.keys():
            base[one] += group.ways[0][1][one]
        return base, groups

    def certain_lack(self, number: int, times: InAll, at: int) -> Fraction | None:
        """By how much a supply is certain to lack when a shot is taken so often in all.

        ``None`` where it lasts, or where something draws of it that is open. [1 / its size]
        """
        root = self.forest.first[number]
        group, may_lack = self._changed(number, times)
        if not group.is_certain or self._roots_open.get(at, set()) - {root}:
            return None
        return may_lack.get(at)

    def _changed(self, number: int, times: InAll) -> tuple[ShotGroup, dict[int, Fraction]]:
        """The group of a shot that is taken so often in all, and what may lack, by how much."""
        if (number, times) in self._asked:
            return self._asked[number, times]
        before = self._groups[root := self.forest.first[number]]
        group = before if times is None else self._group(root, {number: times})
        more: dict[int, dict[Drawn, Fraction]] = {at: {} for at in self._may_lack}
        for one in before.most.keys() | group.most.keys():
            change = group.most.get(one, NONE) - before.most.get(one, NONE)
            for at in self._drawing[one]:
                more.setdefault(at, {})[one] = change
        most = ((at, self._lacking_the_most(at, more[at])) for at in sorted(more))
        lacking = {at: amount for at, amount in most if amount > 0}
        self._asked[number, times] = group, lacking
        return group, lacking

    @cached_property
    def _drawing(self) -> dict[Drawn, list[int]]:
        """The supplies that are drawn from at each place."""
        drawing: dict[Drawn, list[int]] = {}
        for at, places in self._drawn.items():
            for one in places:
                drawing.setdefault(one, []).append(at)
        return drawing

    def chance(
        self,
        number: int,
        times: InAll,
        only: Sequence[int] | None = None,
        extra: Mapping[int, Fraction] | None = None,
    ) -> Chance:
        """The chance that all that remains fits when a shot is taken so often in all.

        Parameters
        ----------
        number, times : int
            Place of the shot in the plan, and how often it is taken; ``None``: as planned. [time]
        only : sequence of int, optional
            Only these supplies; by default all.
        extra : mapping of int to Fraction, optional
            What there is besides, by supply. [1 / its size]
        """
        asked = self._changed(number, times)[1] if only is None else only
        if not extra and any(self.certain_lack(number, times, at) is not None for at in asked):
            return IMPOSSIBLE
        fitting = self.fitting(number, times, only, extra)
        return CERTAIN if fitting is None else fitting.chance()


def _changes(before: Draws, after: Draws) -> set[Drawn]:
    """What is drawn of which the amount is another."""
    return {o for o in before.keys() | after.keys() if before.get(o, NONE) != after.get(o, NONE)}
