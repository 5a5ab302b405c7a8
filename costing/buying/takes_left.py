r"""How often each shot can still be taken with what is there.

With the stock as it is, and the number of times of each shot conditioned on how often it was taken
already: for each shot the greatest :math:`k` such that :math:`k` more of it and all that remains
of the others fit with at least the accepted chance.

Where what remains of the others does not fit with that chance even when the shot is not taken
again, it is the greatest :math:`k` that takes nothing from them: its own supplies last with the
accepted chance, and no less surely than without it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import product

from costing.buying.books import Books
from costing.buying.fitting import CERTAIN, Chance, Fitting, Group
from costing.buying.lacks import Lack, lack_of
from costing.buying.supplies import (
    Balance,
    Day,
    Drawn,
    Draws,
    Numbers,
    balances,
    supplies_of,
)
from costing.quantities import ZERO
from costing.shoot.copies import Forest
from costing.shoot.times import Times, certain, times_of

MANY = 1_000
"""A shot that can be taken so many times more is not limited. [time]"""


@dataclass(frozen=True, slots=True)
class TakesLeft:
    """How often one shot can still be taken.

    Parameters
    ----------
    number : int
        Its place in the plan.
    taken : int
        Takes so far. [time]
    more : int, optional
        Takes that are left; ``None``: nothing limits them, or its day is over. [time]
    lacks : tuple of Lack
        What one more than that lacks.
    now, after : Chance
        That all the others can be finished: when it is not taken again, when it is once more.
    others_lack : bool
        Whether what remains of the others does not fit as it is.
    is_over : bool
        Whether its day has passed.
    left_out : tuple of str
        Ingredients it takes of which nothing says how much there is.
    """

    number: int
    taken: int
    more: int | None
    lacks: tuple[Lack, ...] = ()
    now: Chance = CERTAIN
    after: Chance = CERTAIN
    others_lack: bool = False
    is_over: bool = False
    left_out: tuple[str, ...] = ()


class Outlook:
    """The takes that are left of every shot.

    Parameters
    ----------
    books : Books
        What is bought, of the shoot with its log.
    """

    def __init__(self, books: Books) -> None:
        self.shoot = books.shoot
        self.day = Day.of(self.shoot)
        self.forest = Forest(self.shoot.shots)
        self.supplies = supplies_of(self.day, books, self.forest)
        self.accepted = 1 - self.shoot.settings.chance_of_running_out

    @cached_property
    def balances(self) -> tuple[Balance, ...]:
        """The books of each ingredient so far."""
        return tuple(balances(self.day, self.supplies, self.forest))

    @cached_property
    def takes_left(self) -> tuple[TakesLeft, ...]:
        """For every shot of a dish, in the order of the plan."""
        shots = enumerate(self.shoot.shots)
        return tuple(self._of(n) for n, shot in shots if self.shoot.is_dish(shot.dish))

    def numbers(self, number: int) -> Times:
        """How often a shot is taken in all, given how often it was taken."""
        shot, taken = self.shoot.shots[number], self.day.taken(number)
        if self.day.so_far.of(number).ended or self.day.is_over(number):
            return certain(taken)
        return _at_least(times_of(shot), taken)

    def _of(self, number: int) -> TakesLeft:
        """The takes that are left of one shot."""
        taken, touched = self.day.taken(number), self._touched(number)
        found = TakesLeft(number, taken, None, left_out=self._left_out(number))
        if self.day.is_over(number):
            return replace(found, is_over=True)
        now = self.chance(number, taken)
        others_lack = now.low < self.accepted
        only = touched if others_lack else None
        least = max(self.accepted, self.chance(number, taken, only).low) if only else self.accepted

        def fits(more: int) -> bool:
            return self.chance(number, taken + more, only).low >= least

        more = _greatest(fits) if touched else None
        return replace(
            found,
            more=more,
            lacks=() if more is None else tuple(self._lacks(number, taken + more + 1, only, least)),
            now=now,
            after=self.chance(number, taken + 1) if touched else now,
            others_lack=others_lack,
        )

    @cached_property
    def _root(self) -> dict[int, int]:
        """The first shot of the copies that each shot goes on with: it names its group."""
        roots: dict[int, int] = {}
        for number in range(len(self.shoot.shots)):
            at = number
            while (source := self.shoot.shots[at].source) is not None:
                at = source
            roots[number] = at
        return roots

    @cached_property
    def _members(self) -> dict[int, list[int]]:
        """The shots of each group."""
        members: dict[int, list[int]] = {}
        for number, root in self._root.items():
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

    def _chain(self, number: int) -> Iterator[int]:
        """A shot, and those whose copies it goes on with."""
        at: int | None = number
        while at is not None:
            yield at
            at = self.shoot.shots[at].source

    def _touched(self, number: int) -> list[int]:
        """The supplies that one more time of a shot may take of, its copies included."""
        drawn = (one for at in self._chain(number) for one in self.supplies.per_time[at])
        return sorted({at for one in drawn for at in self._taking[one]})

    def _left_out(self, number: int) -> tuple[str, ...]:
        """Ingredients a shot takes of which nothing says how much there is."""
        codes = {code for at in self._chain(number) for code, _ in self.supplies.per_time[at]}
        return tuple(name for name, by in self.supplies.unknown.items() if by & codes)

    def _group(self, root: int, fixed: Numbers) -> Group:
        """What the shots of a group may use, some of them taken a given number of times."""
        members = self._members[root]
        every = [certain(fixed[n]) if n in fixed else self.numbers(n) for n in members]
        ways: dict[tuple[tuple[Drawn, Fraction], ...], int] = {}
        for way in product(*map(_weighed, every)):
            numbers = {n: times for n, (times, _) in zip(members, way, strict=True)}
            use = tuple(sorted(self._use(members, numbers).items()))
            ways[use] = ways.get(use, 0) + math.prod(weight for _, weight in way)
        return Group(tuple((weight, dict(use)) for use, weight in ways.items() if weight))

    def _use(self, members: Sequence[int], numbers: Numbers) -> dict[Drawn, Fraction]:
        """What the shots of a group draw when they are taken so often."""
        provided = {n: self.day.provided(self.forest, n, numbers) for n in members}
        draws = self.supplies.draws(provided)
        return {one: amount for one, amount in draws.items() if self._taking[one]}

    @cached_property
    def _groups(self) -> dict[int, Group]:
        """Each group as it stands."""
        return {root: self._group(root, {}) for root in self._members}

    @cached_property
    def _drawn(self) -> dict[int, list[Drawn]]:
        """What is drawn that takes of each supply."""
        drawn: dict[int, list[Drawn]] = {}
        for one, supplies in sorted(self._taking.items()):
            for at in supplies:
                drawn.setdefault(at, []).append(one)
        return drawn

    @cached_property
    def _base(self) -> dict[Drawn, Fraction]:
        """What the groups use of which it is certain."""
        base: dict[Drawn, Fraction] = {}
        for group in self._groups.values():
            if group.is_certain:
                for one, amount in group.ways[0][1].items():
                    base[one] = base.get(one, ZERO) + amount
        return base

    @cached_property
    def _open(self) -> dict[int, Group]:
        """The groups of which it is not certain what they use."""
        return {root: one for root, one in self._groups.items() if not one.is_certain}

    @cached_property
    def _may_lack(self) -> set[int]:
        """The supplies that would lack if everything came to its most."""
        return {at for at in self._drawn if not self._fits_the_most(at, self._base, self._open)}

    def _fits_the_most(self, at: int, base: Draws, groups: Mapping[int, Group]) -> bool:
        most = {
            one: base.get(one, ZERO) + sum((g.bound(one, max) for g in groups.values()), ZERO)
            for one in self._drawn[at]
        }
        return self.supplies.limited[at].lacking(most) <= 0

    def _fitting(
        self,
        number: int,
        times: int,
        only: Sequence[int] | None,
        extra: Mapping[int, Fraction] | None = None,
    ) -> Fitting | None:
        """What is to fit when a shot is taken so often in all; ``None`` where nothing can lack."""
        root = self._root[number]
        before, group = self._groups[root], self._group(root, {number: times})
        base, groups = dict(self._base), {r: g for r, g in self._open.items() if r != root}
        for one, sign in ((before, -1), (group, 1)):
            if one.is_certain:
                for drawn, amount in one.ways[0][1].items():
                    base[drawn] = base.get(drawn, ZERO) + sign * amount
        if not group.is_certain:
            groups[root] = group
        of_the_group = {at for one in before.drawn | group.drawn for at in self._taking[one]}
        asked = sorted((self._may_lack | of_the_group) if only is None else only)
        besides = extra or {}

        def lacking(at: int, draws: Draws) -> Fraction:
            own = {one: amount for one in self._drawn[at] if (amount := draws[one])}
            return self.supplies.limited[at].lacking(own) - besides.get(at, ZERO)

        if only is None or len(only) > 1:
            asked = [at for at in asked if not self._fits_the_most(at, base, groups)]
        drawn_from = {at: self._drawn[at] for at in asked}
        return Fitting(base, list(groups.values()), drawn_from, lacking) if asked else None

    def chance(
        self,
        number: int,
        times: int,
        only: Sequence[int] | None = None,
        extra: Mapping[int, Fraction] | None = None,
    ) -> Chance:
        """The chance that all that remains fits when a shot is taken so often in all.

        Parameters
        ----------
        number, times : int
            Place of the shot in the plan, and how often it is taken. [time]
        only : sequence of int, optional
            Only these supplies; by default all.
        extra : mapping of int to Fraction, optional
            What there is besides, by supply. [base unit]
        """
        fitting = self._fitting(number, times, only, extra)
        return CERTAIN if fitting is None else fitting.chance()

    def _lacks(
        self, number: int, times: int, only: Sequence[int] | None, least: Fraction
    ) -> Iterator[Lack]:
        """What must come besides so that a shot taken so often fits: enough, and none to spare.

        Each supply gets what it needs alone; where that is not enough for all together, the one
        that helps most gets more; at last each gives back what the others make needless.
        """
        touched = self._touched(number)

        def enough(extra: Mapping[int, Fraction], of: Sequence[int] | None = only) -> bool:
            return self.chance(number, times, of, extra).low >= least

        steps: dict[int, list[Fraction]] = {}
        extra: dict[int, Fraction] = {}
        for at in touched:
            fitting = self._fitting(number, times, [at])
            steps[at] = fitting.lacks() if fitting else [ZERO]
            extra[at] = next((s for s in steps[at] if enough({at: s}, [at])), steps[at][-1])
        while not enough(extra):
            higher = [
                {**extra, at: next(step for step in steps[at] if step > extra[at])}
                for at in touched
                if extra[at] < steps[at][-1]
            ]
            if not higher:
                break
            extra = max(higher, key=lambda one: self.chance(number, times, only, one).low)
        for at in touched:
            lower = (s for s in steps[at] if s < extra[at] and enough({**extra, at: s}))
            extra[at] = next(lower, extra[at])
        for at in touched:
            if extra[at]:
                yield lack_of(self.supplies.limited[at], extra[at])


def _at_least(times: Times, taken: int) -> Times:
    """A number of times, given that it is not below what was taken."""
    left = [(number, chance) for number, chance in times.chances if number >= taken]
    whole = sum((chance for _, chance in left), ZERO)
    if not whole:
        return certain(taken)
    return Times(tuple((number, chance / whole) for number, chance in left))


def _weighed(times: Times) -> list[tuple[int, int]]:
    """A number of times with whole weights instead of chances."""
    scale = math.lcm(*(chance.denominator for _, chance in times.chances))
    return [(number, int(chance * scale)) for number, chance in times.chances]


def _greatest(fits: Callable[[int], bool]) -> int | None:
    """The greatest number that fits, 0 where none does; ``None`` where many do."""
    if not fits(0):
        return 0
    low, high = 0, 1
    while fits(high):
        low, high = high, 2 * high
        if low > MANY:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
