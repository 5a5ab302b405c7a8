"""What the shots need of each ingredient, with who needs it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import groupby
from typing import TypeAlias

from costing.buying import messages
from costing.buying.activities import Goods, batch_amount
from costing.buying.bought_units import first_units, unconvertible
from costing.buying.picking import Pick, Picking, Share, about_candidates
from costing.findings import Finding
from costing.kitchen import Ingredient, Line, Part
from costing.kitchen.conversion import Unconvertible, as_bought, converted, trimmed
from costing.names import is_water, key
from costing.quantities import ONE, ZERO, Dimension, Unit, total, untraced_choice
from costing.shoot import Shoot, Shot
from costing.shoot.copies import Forest, back_from, shots_before
from costing.shoot.leaves import Leaf, Leaves, made_apart
from costing.shoot.purposes import PICKED_FOR

Use: TypeAlias = tuple[Share, Fraction, "PerBatch"]
"""Whose a use is, how many batches it is, and what one takes."""


@dataclass(slots=True)
class Need:
    """What is needed of one ingredient, over all shots.

    Parameters
    ----------
    unit : Unit
        The unit it is bought in; its dimension is that of ``as_bought``.
    trimmed_unit : Unit
        The unit recipes measure it in.
    trimmed : Fraction
        Clean and ready to use. [base unit of ``trimmed_unit``]
    used : dict of str to Fraction
        As bought, by episode, what the shots take. [base unit of ``unit``]
    uses : dict of Share to Fraction
        The same by episode, dish and purpose. [base unit of ``unit``]
    per_time : dict of int to (Share, Fraction)
        For each shot that is provided for an uncertain number of times, by its place in the plan:
        whose it is, and what it takes each time. [base unit of ``unit``]
    unknown : dict of str to set of str
        Why a part of the need is not known, in words, and in which episodes.
    picking : Picking, optional
        Pieces that are picked out of more of them.
    """

    ingredient: Ingredient
    unit: Unit
    trimmed_unit: Unit
    trimmed: Fraction = ZERO
    used: dict[str, Fraction] = field(default_factory=dict)
    uses: dict[Share, Fraction] = field(default_factory=dict)
    per_time: dict[int, tuple[Share, Fraction]] = field(default_factory=dict)
    unknown: dict[str, set[str]] = field(default_factory=dict)
    picking: Picking | None = None

    @property
    def as_bought(self) -> dict[str, Fraction]:
        """By episode, the pieces that are looked at and not picked included.

        [base unit of ``unit``]
        """
        return self.needed(self.used, {})

    @property
    def shares(self) -> dict[Share, Fraction]:
        """The same by episode, dish and purpose: what is looked at is whose picks it.

        [base unit of ``unit``]
        """
        if self.picking is None:
            return self.uses
        shares = {share: untraced_choice(amount) for share, amount in self.uses.items()}
        for share, amount in self.picking.shares_beyond(self.used):
            shares[share] = shares.get(share, ZERO) + untraced_choice(amount)
        return shares

    @property
    def total(self) -> Fraction:
        """As bought, over all episodes. [base unit of ``unit``]"""
        return total(self.as_bought.values())

    @property
    def users(self) -> set[str]:
        """Episodes that take of it, or may."""
        users = {episode for episode, amount in self.as_bought.items() if amount}
        users |= {episode for (episode, _, _), amount in self.per_time.values() if amount}
        return users.union(*self.unknown.values())

    def take(self, uses: Iterable[Use]) -> None:
        """Count all uses: what one shot after the other takes of a line is multiplied once."""
        by_episode: dict[str, list[Fraction]] = {}
        by_share: dict[Share, list[Fraction]] = {}
        clean = []
        for (share, _), of_line in groupby(uses, lambda use: (use[0], id(use[2]))):
            several = list(of_line)
            amount, ready = several[0][2].of(total(batches for _, batches, _ in several))
            by_episode.setdefault(share[0], []).append(amount)
            by_share.setdefault(share, []).append(amount)
            clean.append(ready)
        self.trimmed = total(clean)
        self.used = {episode: total(amounts) for episode, amounts in by_episode.items()}
        self.uses = {share: total(amounts) for share, amounts in by_share.items()}

    def needed(self, used: dict[str, Fraction], counts: Mapping[int, int]) -> dict[str, Fraction]:
        """As bought by episode where so much is used. [base unit of ``unit``]"""
        return used if self.picking is None else self.picking.needed(used, counts)

    def used_at(
        self, forest: Forest, counts: Mapping[int, int], planned: Mapping[int, int]
    ) -> dict[str, Fraction]:
        """What the shots take for any numbers of times, by episode. [base unit of ``unit``]

        Parameters
        ----------
        counts : mapping of int to int
            Numbers of times of uncertain shots; others by their Times.
        planned : mapping of int to int
            The likeliest numbers, which ``used`` is made with.
        """
        used = dict(self.used)
        for shot, ((episode, _, _), amount) in self.per_time.items():
            used[episode] += (forest.times(shot, counts) - forest.times(shot, planned)) * amount
        return used


@dataclass(frozen=True, slots=True)
class PerBatch:
    """One line's amount, trimmed and as bought, a single candidate of it.

    ``times`` is how often the line goes into one batch of the outer dish.
    """

    clean: Fraction
    amount: Fraction
    times: Fraction = ONE

    def bought(self, batches: Fraction) -> Fraction:
        """As bought, for a number of batches of the outer dish. [base unit]"""
        return (batches if self.times is ONE else self.times * batches) * self.amount

    def of(self, batches: Fraction) -> tuple[Fraction, Fraction]:
        """As bought and trimmed, for a number of batches of the outer dish. [base unit]"""
        # the very ONE is no number of a cell: a traced 1 stays in the formula, as it may be edited
        factor = batches if self.times is ONE else self.times * batches
        clean = factor * self.clean
        # one object where nothing is trimmed or turned: then one product, and one node of a formula
        return clean if self.amount is self.clean else factor * self.amount, clean


class Needs:
    """The needs of a whole shoot, ingredient by ingredient in the order of the recipes.

    ``apart``: keys of dishes that are goods of their own besides those in whole batches, on hand or
    sold ready.
    """

    def __init__(self, shoot: Shoot, *, apart: Collection[str] = ()) -> None:
        self.shoot = shoot
        self.drawn = made_apart(shoot)
        self.leaves = Leaves(shoot, apart=self.drawn.union(apart))
        self.whole_batches = {key(row.name) for row in shoot.dishes if row.whole_batches}
        self.stocked = {key(pack.ingredient) for pack in shoot.packs}
        self.stocked |= {key(lot.ingredient) for lot in shoot.lots}
        self.by_ingredient: dict[str, Need] = {}
        self._lines: dict[int, tuple[str, PerBatch | None] | None] = {}
        self._why: dict[int, str] = {}
        self._findings: list[Finding] = []
        self._first_units = first_units(shoot)
        self.forest = Forest(shoot.shots)
        self.goods = Goods(self)
        uses: dict[str, list[Use]] = {}
        times = self.forest.times_of(range(len(shoot.shots)), {})
        for number, shot in enumerate(shoot.shots):
            if shoot.is_dish(shot.dish):
                share = self._share(shot)
                batches = shot.batch * times[number]
                for code, each in self._taken_by(shot, batches):
                    uses.setdefault(code, []).append((share, batches, each))
                if self.forest.uncertain(number):
                    self._take_each_time(number, shot)
        for code, of_it in uses.items():
            self.need(code).take(of_it)
        if shoot.parts:
            self.goods.cut_parts()
        self._findings += self.goods.about_optional()
        picked = [line for line in shoot.lines if line.picked]
        risk = shoot.settings.chance_of_running_out
        self._findings.extend(about_candidates(picked, risk))
        for code, picks in self._picks().items() if picked else ():
            if any(pick.leaf.line.picked for pick in picks):
                self.need(code).picking = Picking(tuple(picks), risk, self.forest)

    @property
    def findings(self) -> list[Finding]:
        """What could not be computed, and why."""
        return [*self.leaves.findings, *self._findings, *self.goods.findings]

    def need(self, code: str) -> Need:
        """The need of an ingredient or of a dish that is made, by its key."""
        return self.goods.made.get(code) or self.by_ingredient[code]

    def _share(self, shot: Shot) -> Share:
        return shot.episode, self.shoot.recipes.spelling(shot.dish), str(shot.purpose)

    def _take_each_time(self, number: int, shot: Shot) -> None:
        share = self._share(shot)
        for code, each in self._taken_by(shot, shot.batch):
            per_time, bought = self.need(code).per_time, each.bought(shot.batch)
            if number in per_time:
                bought = per_time[number][1] + bought
            per_time[number] = share, bought

    def one_more(self, number: int, counts: Mapping[int, int]) -> dict[str, Fraction]:
        """What one more time of a shot takes, the copies it continues with included.

        ``counts``: how often the uncertain shots are taken already. [time]

        Returns
        -------
        dict of str to Fraction
            By the key of the ingredient or of a dish that is made. [base unit it is bought in]
        """
        shots, taken = self.shoot.shots, dict[str, Fraction]()
        more = {**counts, number: counts.get(number, shots[number].times) + 1}
        copies = list(back_from(number, shots))
        then, now = (self.forest.times_of(copies, of) for of in (counts, more))
        for at in copies:
            batches = shots[at].batch * (now[at] - then[at])
            for code, each in self._taken_by(shots[at], batches):
                taken[code] = taken.get(code, ZERO) + each.bought(batches)
        for name, used in taken.items():
            need, episode = self.need(name), shots[number].episode
            if need.picking is not None:
                before = need.used_at(self.forest, counts, {})
                after = {**before, episode: before[episode] + used}
                taken[name] = (
                    need.needed(after, more)[episode] - need.needed(before, counts)[episode]
                )
        return taken

    def _picks(self) -> dict[str, list[Pick]]:
        """What heroes, hero spares and close-ups pick each time, by the key of the ingredient.

        A copy that continues shows what it was begun with too, up to the last shot that picked it.
        """
        picks: dict[str, list[Pick]] = {}
        shots = self.shoot.shots
        for number, shot in enumerate(shots):
            picking = shot.purpose in PICKED_FOR and shot.batch and self.shoot.is_dish(shot.dish)
            if not picking or key(shot.dish) in self.stocked:
                continue
            for at in back_from(number, shots):
                if at != number and shots[at].purpose in PICKED_FOR:
                    break
                leaves, optional = self.leaves.seen_in(shots[at]), shots[at].optional_lines
                for leaf, code, each in self.counted(leaves, optional=optional):
                    if each is not None and leaf.pieces is not None:
                        bought, pieces = each.bought(shot.batch), leaf.pieces * shot.batch
                        pick = Pick(number, self._share(shot), leaf, bought, pieces)
                        picks.setdefault(code, []).append(pick)
        return picks

    def knows(self, shot: Shot) -> bool:
        """Whether all that a shot takes is known, the copies it continues with included."""
        return all(map(self._knows_alone, (shot, *shots_before(shot, self.shoot.shots))))

    def _knows_alone(self, shot: Shot) -> bool:
        return not any(self.unmeasured(shot))

    def unmeasured(self, shot: Shot) -> Iterator[str]:
        """Ingredients of which it is not known how much a shot takes, its earlier copies aside."""
        made = self.goods.drawn_by(shot)
        for code in made or ():
            yield from self.goods.unmeasured(code)
        for _, code, each in self.counted_of(shot) if made is None else ():
            if each is None:
                yield self.need(code).ingredient.name
            else:
                yield from self.goods.unmeasured(code)

    def _taken_by(self, shot: Shot, batches: Fraction) -> Iterator[tuple[str, PerBatch]]:
        """What a shot takes, line by line: its key, and what a batch takes.

        Where that is not known and there are batches, it is noted.
        """
        made = self.goods.drawn_by(shot)
        for code in made or ():
            batch = self.batch_of(shot.dish)
            yield code, PerBatch(batch, batch)
        for leaf, code, each in self.counted_of(shot) if made is None else ():
            if each is not None:
                yield code, each
            elif batches:
                self.need(code).unknown.setdefault(self.why(leaf.line), set()).add(shot.episode)

    def counted_of(self, shot: Shot) -> Iterator[tuple[Leaf, str, PerBatch | None]]:
        """The leaves of the steps a shot takes, as :meth:`counted` has them."""
        return self.counted(self.leaves.taken_by(shot), optional=shot.optional_lines)

    def counted(
        self, leaves: Iterable[Leaf], *, optional: bool
    ) -> Iterator[tuple[Leaf, str, PerBatch | None]]:
        """Leaves with where they count, by key, and how much they take; ``None``: not known.

        Water counts nowhere.
        """
        for leaf in leaves:
            counted = self._counted(leaf.line, optional=optional)
            if counted is None:
                continue
            code, each = counted
            if each is None or leaf.times is None:
                yield leaf, code, None
            elif leaf.times is ONE:
                yield leaf, code, each
            else:
                yield leaf, code, PerBatch(each.clean, each.amount, leaf.times)

    def _counted(self, line: Line, *, optional: bool) -> tuple[str, PerBatch | None] | None:
        """Where a line counts, by key, and how much of it is one; water counts nowhere."""
        if id(line) in self._lines:
            return self._lines[id(line)]
        code = key(line.ingredient)
        if code in self.leaves.apart:
            batch = self.batch_of(line.ingredient)
            code = self.goods.dish(line.ingredient, optional=optional)
            return code, PerBatch(batch, batch)
        counted: tuple[str, PerBatch | None] | None = None
        if not is_water(line.ingredient):
            need = self._need(line)
            in_a_loop = self.shoot.is_dish(line.ingredient)
            counted = code, None if in_a_loop else self._computed(line, need)
        return self._lines.setdefault(id(line), counted)

    def why(self, line: Line) -> str:
        """Why it is not known how much a line takes, in words."""
        return self._why.get(id(line), f'how much {line.ingredient} goes into "{line.dish}"')

    def batch_of(self, dish: str) -> Fraction:
        """What a batch of a dish makes. [base unit of its need]"""
        return batch_amount(self.leaves.makes(dish)).base

    def need_of_dish(self, dish: str) -> Need:
        """A need of a dish that is made, nothing in it yet."""
        unit = batch_amount(self.leaves.makes(dish)).unit
        row = self.shoot.ingredient_rows.get(dish)
        return Need(row or Ingredient(name=self.shoot.recipes.spelling(dish)), unit, unit)

    def article(self, row: Part) -> None:
        """A need of an article that is bought for its parts alone."""
        measured, unit = self._first_units[key(row.ingredient)]
        ingredient = self.shoot.ingredient(row.ingredient)
        self.by_ingredient[key(row.ingredient)] = Need(ingredient, unit, measured)

    def _need(self, line: Line) -> Need:
        name = key(line.ingredient)
        if name not in self.by_ingredient:
            trimmed_unit, unit = self._first_units[name]
            self.by_ingredient[name] = Need(
                self.shoot.ingredient(line.ingredient), unit, trimmed_unit
            )
        return self.by_ingredient[name]

    def _computed(self, line: Line, need: Need) -> PerBatch | None:
        """What a line takes of an ingredient for one batch; ``None`` where it cannot be said."""
        if line.amount is None:
            return None
        dimension = line.amount.unit.dimension
        if dimension in (Dimension.PORTION, Dimension.BATCH):
            self._findings.append(
                messages.portion_of_ingredient(line.at("Unit"), line.ingredient, str(line.amount))
            )
            return None
        try:
            clean = trimmed(line.amount, need.ingredient, line.measured)
            return PerBatch(
                converted(clean, need.trimmed_unit.dimension, need.ingredient),
                as_bought(clean, need.unit.dimension, need.ingredient),
            )
        except Unconvertible as fault:
            name = need.ingredient.name
            self._why[id(line)] = f"the {fault.heading.removesuffix(' %').lower()} of {name}"
            if not self.shoot.left_out_on("Ingredients", name=name):
                self._findings.append(unconvertible(line, need.ingredient, fault, need.unit))
            return None
