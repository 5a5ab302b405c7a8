"""A dish written out: every ingredient line in it, through dishes inside dishes to any depth."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from costing.findings import Finding
from costing.kitchen import Line
from costing.kitchen.conversion import Unconvertible, converted, trimmed
from costing.kitchen.dishes import is_picked
from costing.names import key
from costing.quantities import GRAM, ONE, Amount, Dimension, grouped_by
from costing.shoot.copies import shots_before
from costing.shoot.messages import dish_amount_unclear, recipe_loop
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot


@dataclass(frozen=True, slots=True)
class Leaf:
    """One ingredient line as it is in a whole dish.

    Parameters
    ----------
    line : Line
        The line, perhaps of a dish inside the dish.
    step : int
        The step of the outer dish it falls in.
    times : Fraction, optional
        How often the line's amount goes into one batch of the outer dish; ``None`` is unknown.
    optional : bool
        Whether it is optional at any depth.
    candidates : Fraction
        Looked at for each piece that is shown, over all depths; 1 where nothing is counted.
    good_enough : Fraction, optional
        Or the part of the pieces that is good enough to be shown. [fraction]
    pieces : Fraction, optional
        How many pieces one batch of the outer dish takes; ``None`` where it counts none.
    """

    line: Line
    step: int
    times: Fraction | None
    optional: bool
    candidates: Fraction = ONE
    good_enough: Fraction | None = None
    pieces: Fraction | None = None

    @property
    def picked(self) -> bool:
        """Whether its pieces are chosen from more of them, or may be once a cell is edited."""
        return is_picked(self.candidates, self.good_enough)


class Leaves:
    """The written-out lines of a shoot's dishes, each dish written out once.

    Parameters
    ----------
    to_taste : bool
        Whether lines to taste are written out too; nothing can be computed from them.
    apart : collection of str
        Keys of dishes that are not written out: a line that takes one is a leaf itself, in
        batches of it.
    """

    def __init__(
        self, shoot: Shoot, *, to_taste: bool = False, apart: Collection[str] = ()
    ) -> None:
        self._shoot = shoot
        self._to_taste = to_taste
        self.apart = frozenset(apart)
        self._whole = Leaves(shoot) if apart else self
        self._known: dict[str, tuple[Leaf, ...]] = {}
        self._weights: dict[str, Fraction | None] = {}
        self._weighed = weighed_anyway(shoot)
        self._open: list[str] = []
        self.findings: list[Finding] = []

    def of(self, dish: str) -> tuple[Leaf, ...]:
        """The leaves of one batch of ``dish``, in the order of its lines.

        Dishes inside it are written out first, the innermost before all, and a line that comes
        into one step by several ways is one leaf.
        """
        if key(dish) not in self._known:
            self._open.append(key(dish))
            # a stack and no calls: dishes may stand in dishes deeper than Python calls go
            waiting = [self._dishes_in(dish)]
            while waiting:
                inner = next(waiting[-1], None)
                if inner is None:
                    name = self._open[-1]
                    self._known[name] = _together(self._written_out(name))
                    if name in self._weighed and not self.apart:
                        self._weights[name] = self._put_in(name)
                    self._open.pop()
                    waiting.pop()
                elif inner not in self._known and inner not in self._open:
                    self._open.append(inner)
                    waiting.append(self._dishes_in(inner))
        return self._known[key(dish)]

    def _dishes_in(self, dish: str) -> Iterator[str]:
        for line in self._shoot.recipes[dish]:
            name = key(line.ingredient)
            if name and not line.to_taste and name not in self.apart and self._shoot.is_dish(name):
                yield name

    def taken_by(self, shot: Shot) -> Iterator[Leaf]:
        """The leaves of the steps a shot takes, its optional lines by its own word."""
        for leaf in self.of(shot.dish):
            if shot.steps is not None and leaf.step not in shot.steps:
                continue
            if leaf.optional and not shot.optional_lines:
                continue
            yield leaf

    def seen_in(self, shot: Shot) -> Iterator[Leaf]:
        """The leaves a shot takes, and those within the dishes of it that are made to be picked."""
        waiting = list(self.taken_by(shot))
        for leaf in waiting:  # which grows
            yield leaf
            if key(leaf.line.ingredient) in self._made_seen:
                inner = self.within(leaf)
                waiting += [one for one in inner if shot.optional_lines or not one.optional]

    @cached_property
    def _made_seen(self) -> frozenset[str]:
        return self.apart - made_unseen(self._shoot)

    def shown_in(self, shot: Shot) -> Iterator[Leaf]:
        """What the copy in a shot has in it: what each shot took that it has been through."""
        for one in (*shots_before(shot, self._shoot.shots), shot):
            yield from self.taken_by(one)

    def takes_all(self, shot: Shot) -> bool:
        """Whether a shot takes the whole of its dish, begun for it."""
        if shot.source is not None:
            return False
        leaves = self.of(shot.dish)
        taking = {leaf.step for leaf in leaves if shot.optional_lines or not leaf.optional}
        return shot.steps is None or taking <= set(shot.steps)

    def _written_out(self, dish: str) -> Iterator[Leaf]:
        """The leaves of each line: itself, a dish that stays apart, or what a dish is made of."""
        for line in self._shoot.recipes[dish]:
            if not line.ingredient or (line.to_taste and not self._to_taste):
                continue
            if line.to_taste or not self._shoot.is_dish(line.ingredient):
                yield _leaf(line, ONE)
            elif key(line.ingredient) in self.apart:
                self._whole.of(line.ingredient)
                yield _leaf(line, self._batches(line))
            elif key(line.ingredient) in self._open:
                outer = self._shoot.recipes.spelling(dish)
                self.findings.append(recipe_loop(line.at("Ingredient"), outer, line.ingredient))
                yield _leaf(line, None)
            else:
                self.of(line.ingredient)
                yield from self.within(_leaf(line, self._batches(line)))

    def within(self, outer: Leaf) -> Iterator[Leaf]:
        """The leaves of the dish that a leaf takes, as they are where it takes so many batches."""
        for leaf in self.of(outer.line.ingredient):
            times = pieces = None
            if outer.times is not None and leaf.times is not None:
                times = outer.times * leaf.times
            if outer.times is not None and leaf.pieces is not None:
                # of a dish that is picked its own pieces are what is shown
                pieces = outer.pieces if outer.picked else outer.times * leaf.pieces
            yield Leaf(
                leaf.line,
                outer.step,
                times,
                outer.optional or leaf.optional,
                outer.candidates * leaf.candidates,
                outer.good_enough or leaf.good_enough,
                pieces,
            )

    def _batches(self, line: Line) -> Fraction | None:
        """How many batches of the inner dish a line takes; a finding when that is unclear."""
        if line.amount is None:
            return None
        batches = self._in_batches(line.ingredient, line.amount)
        if batches is None and not self._shoot.left_out_on("Dishes", name=line.ingredient):
            makes = self._makes_typed(line.ingredient)
            self.findings.append(
                dish_amount_unclear(line.at("Unit"), line.ingredient, str(line.amount), makes)
            )
        return batches

    def _in_batches(self, dish: str, amount: Amount) -> Fraction | None:
        """How many batches of a dish that was written out an amount of it is."""
        makes, dimension = self._makes_typed(dish), amount.unit.dimension
        if dimension is Dimension.BATCH:
            return amount.base
        if makes is not None and makes.unit.dimension is dimension:
            return amount.base / makes.base
        # what is typed goes before what is worked out: the weight of what went in
        if dimension is Dimension.MASS and (weight := self._finished(dish)):
            return amount.base / weight
        return None

    def makes(self, dish: str) -> Amount | None:
        """What one batch of a dish makes: as given, else its weight where that is known."""
        if (makes := self._makes_typed(dish)) is not None:
            return makes
        self._whole.of(dish)
        weight = self._finished(dish)
        return Amount(weight, GRAM) if weight else None

    def _makes_typed(self, dish: str) -> Amount | None:
        row = self._shoot.dish_rows.get(dish)
        return row.makes if row and row.makes is not None and row.makes.base > 0 else None

    def _finished(self, dish: str) -> Fraction | None:
        """What one batch weighs when it is finished; ``None`` is unknown. [g]"""
        row, weight = self._shoot.dish_rows.get(dish), self._whole._weights.get(key(dish))
        return weight * row.cooked_weight if weight and row and row.cooked_weight else None

    def _put_in(self, dish: str) -> Fraction | None:
        """Trimmed grams put into one batch, other dishes as they are put in. [g]"""
        total = Fraction(0)
        for line in self._shoot.recipes[dish]:
            if not line.ingredient or line.optional or line.to_taste:
                continue
            weight = self._weight_of(line)
            if weight is None:
                return None
            total += weight
        return total

    def _weight_of(self, line: Line) -> Fraction | None:
        """Grams of a line as it is put in; ``None`` when they are unknown. [g]"""
        amount = line.amount
        if amount is None:
            return None
        if not self._shoot.is_dish(line.ingredient):
            try:
                return grams_of(line, amount, self._shoot)
            except Unconvertible:
                return None
        if amount.unit.dimension is Dimension.MASS:
            return amount.base
        batches = self._in_batches(line.ingredient, amount)
        makes = self._makes_typed(line.ingredient)
        if batches is None:
            return None
        if makes is not None and makes.unit.dimension is Dimension.MASS:
            return batches * makes.base
        # of a dish that does not say what it weighs when it is finished: what went in
        weight = self._finished(line.ingredient) or self._weights.get(key(line.ingredient))
        return None if weight is None else batches * weight


def inside(shoot: Shoot) -> frozenset[str]:
    """Keys of the dishes that go into others; none that goes into itself by any way."""
    takes: dict[str, set[str]] = {}
    for line in shoot.lines:
        if line.ingredient and not line.to_taste and shoot.is_dish(line.ingredient):
            takes.setdefault(key(line.dish), set()).add(key(line.ingredient))

    def reached(dish: str) -> set[str]:
        found: set[str] = set()
        waiting = [dish]
        while waiting:
            more = takes.get(waiting.pop(), set()) - found
            found |= more
            waiting += more
        return found

    return frozenset(name for name in set().union(*takes.values()) if name not in reached(name))


def made_apart(shoot: Shoot) -> frozenset[str]:
    """Keys of the dishes that are reckoned with by themselves and not as what goes into them.

    Those of :func:`made_unseen`, and those whose pieces are picked: what is not picked serves as
    such pieces, not as what is in them.
    """
    picked = {
        key(line.ingredient)
        for line in shoot.lines
        if line.picked and line.counted is not None and shoot.is_dish(line.ingredient)
    }
    return made_unseen(shoot) | _without_loops(picked, shoot)


def made_unseen(shoot: Shoot) -> frozenset[str]:
    """Keys of the dishes whose making is for nobody: nothing is picked of what goes into them.

    Those in whole batches, and those that are on hand or sold ready; none that goes into itself.
    """
    named = {key(dish.name) for dish in shoot.dishes if dish.whole_batches}
    named |= {key(pack.ingredient) for pack in shoot.packs}
    named |= {key(lot.ingredient) for lot in shoot.lots}
    return _without_loops({name for name in named if shoot.is_dish(name)}, shoot)


def _without_loops(named: Collection[str], shoot: Shoot) -> frozenset[str]:
    """Of some dishes those that go into themselves by no way."""
    if not named:
        return frozenset()
    looped = {key(line.ingredient) for line in shoot.lines if line.ingredient} - inside(shoot)
    return frozenset(named) - looped


def weighed_dishes(shoot: Shoot) -> frozenset[str]:
    """Keys of the dishes whose batch is weighed, as others take grams of it, with all in them."""
    by_weight = {
        key(line.ingredient)
        for line in shoot.lines
        if line.amount is not None and line.amount.unit.dimension is Dimension.MASS
    }
    return _with_all_in_them(by_weight, shoot)


def weighed_anyway(shoot: Shoot) -> frozenset[str]:
    """Keys of the dishes whose batch is weighed where it can be, with all in them."""
    return _with_all_in_them({key(dish.name) for dish in shoot.dishes}, shoot)


def _with_all_in_them(named: Collection[str], shoot: Shoot) -> frozenset[str]:
    """Of some dishes those that go by their weight, and what is weighed for them in turn."""
    in_grams = {
        key(dish.name)
        for dish in shoot.dishes
        if dish.makes is not None and dish.makes.unit.dimension is Dimension.MASS
    }
    weighed = {
        key(dish.name)
        for dish in shoot.dishes
        if dish.cooked_weight is not None and key(dish.name) in named
    } - in_grams
    found = -1
    while found != (found := len(weighed)):
        weighed |= {
            key(line.ingredient)
            for line in shoot.lines
            if key(line.dish) in weighed
            and shoot.is_dish(line.ingredient)
            # what is weighed out by itself, or says what it makes in grams, is not added up
            and not (line.amount and line.amount.unit.dimension is Dimension.MASS)
            and key(line.ingredient) not in in_grams
        }
    return frozenset(weighed)


def _leaf(line: Line, times: Fraction | None) -> Leaf:
    """The leaf of a line by itself; what is not counted in pieces is not picked either."""
    pieces = line.counted
    if pieces is None:
        return Leaf(line, line.step, times, line.optional)
    return Leaf(line, line.step, times, line.optional, line.candidates, line.good_enough, pieces)


def _together(leaves: Iterable[Leaf]) -> tuple[Leaf, ...]:
    """Leaves that differ only in their times as one leaf, at the place of the first."""
    leaves = tuple(leaves)
    if len({id(leaf.line) for leaf in leaves}) == len(leaves):
        return leaves
    found: dict[tuple[Hashable, ...], Leaf] = {}
    for leaf in leaves:
        times, pieces = leaf.times, leaf.pieces
        alike = (
            id(leaf.line),
            leaf.step,
            leaf.optional,
            grouped_by(leaf.candidates),
            None if leaf.good_enough is None else grouped_by(leaf.good_enough),
            times is None,
            pieces is None,
        )
        first = found.setdefault(alike, leaf)
        if first is not leaf and first.times is not None and times is not None:
            together = None if first.pieces is None or pieces is None else first.pieces + pieces
            found[alike] = replace(first, times=first.times + times, pieces=together)
    return tuple(found.values())


def grams_of(line: Line, amount: Amount, shoot: Shoot) -> Fraction:
    """Trimmed grams of a line.

    Raises
    ------
    Unconvertible
        When density, piece weight or cooked weight is needed and not known.
    """
    ingredient = shoot.ingredient(line.ingredient)
    return converted(trimmed(amount, ingredient, line.measured), Dimension.MASS, ingredient)
