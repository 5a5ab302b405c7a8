"""Blank cells of Ingredients without which something cannot be computed, and what fills them.

Several values may fit: then what would be bought with each is compared (:func:`trial`).

A density, and the weight of a piece that a cut names, belong to the cut of a line: they turn the
amount of the line at once. The other values belong to the ingredient as a whole.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import product

from costing.buying.bought_units import first_units
from costing.buying.need import Needs
from costing.buying.shopping import Shopping
from costing.kitchen import Ingredient, Line, Measured
from costing.names import is_water, key
from costing.quantities import GRAM, MILLILITRE, ZERO, Amount, Dimension, Unit
from costing.reference import COOKED_DENSITY, Choices, Filled, kind_of_piece
from costing.shoot import Shoot
from costing.shoot.leaves import weighed_dishes

FIELDS: Mapping[str, tuple[str, Fraction]] = {
    "Trim yield %": ("trim_yield", Fraction(1, 100)),
    "Cooked weight %": ("cooked_weight", Fraction(1, 100)),
    "Grams per ml": ("density", Fraction(1)),
    "Grams per piece": ("piece_weight", Fraction(1)),
}
"""For each heading the field of an ingredient, and what one of the heading's units is in it."""

BY_DENSITY: Mapping[tuple[Dimension, Dimension], Unit] = {
    (Dimension.VOLUME, Dimension.MASS): GRAM,
    (Dimension.VOLUME, Dimension.COUNT): GRAM,
    (Dimension.MASS, Dimension.VOLUME): MILLILITRE,
}
"""What an amount of one dimension is turned into by a density where it is bought in another."""


@dataclass(frozen=True, slots=True)
class Blank:
    """A value that is needed and was not given.

    Parameters
    ----------
    heading : str
        A column of Ingredients, or the cooked density, which has none.
    cut : str
        Key of the cut of the lines it is for; ``""`` for food that is not cut.
    of_lines : bool
        Whether it turns the amounts of lines; otherwise it is for the ingredient as a whole.
    """

    heading: str
    cut: str = ""
    of_lines: bool = False


class Blanks:
    """The blanks of a shoot."""

    def __init__(self, shoot: Shoot) -> None:
        self.shoot = shoot
        self.units = first_units(shoot)
        self.lines: dict[str, list[Line]] = {}
        self._weighed = weighed_dishes(shoot)
        for line in shoot.lines:
            bought = line.ingredient and not shoot.is_dish(line.ingredient)
            # of water only the weight counts, where a dish is weighed that it goes into
            if bought and (not is_water(line.ingredient) or key(line.dish) in self._weighed):
                self.lines.setdefault(key(line.ingredient), []).append(line)
        for name, line in _cut(shoot, self.lines):
            self.lines.setdefault(name, []).append(line)
        self._ready = ready_as_cut(shoot)
        self._articles = {key(part.ingredient) for part in shoot.parts}
        self._sold: dict[str, set[Dimension]] = {}
        sold = [(pack.ingredient, pack.unit_amount) for pack in shoot.packs]
        sold += [(lot.ingredient, lot.amount) for lot in shoot.lots if lot.amount]
        for name, amount in sold:
            self._sold.setdefault(key(name), set()).add(amount.unit.dimension)

    def sold_each(self, row: Ingredient) -> bool:
        """Whether a shop or the stock counts pieces of it."""
        return Dimension.COUNT in self._sold.get(key(row.name), ())

    def of_line(self, line: Line, row: Ingredient) -> tuple[Blank, Unit] | None:
        """What is needed to turn a line's amount, and the unit it is turned into."""
        amount = line.amount
        if amount is None or line.to_taste:
            return None
        dimension = amount.unit.dimension
        if dimension is Dimension.VOLUME and line.measured is Measured.COOKED:
            return Blank(COOKED_DENSITY, key(line.cut), of_lines=True), GRAM
        if dimension is Dimension.COUNT and row.piece_weight is None:
            part = kind_of_piece(row.name, line.cut)
            if part and part != kind_of_piece(row.name):
                return Blank("Grams per piece", key(line.cut), of_lines=True), GRAM
        # pieces are not here: the weight of a piece belongs to the food as a whole, not to a line's
        # cut
        into = None if row.density is not None else BY_DENSITY.get((dimension, self._bought(row)))
        if into is None:
            return None
        return Blank("Grams per ml", key(line.cut), of_lines=True), into

    def of_lines(self, row: Ingredient) -> Iterator[tuple[Blank, Line]]:
        """Blanks of the lines that take an ingredient, each with its first line."""
        seen: set[Blank] = set()
        for line in self.lines[key(row.name)]:
            needed = self.of_line(line, row)
            if needed is not None and needed[0] not in seen:
                seen.add(needed[0])
                yield needed[0], line

    def of_ingredient(self, row: Ingredient, values: Mapping[Blank, Fraction]) -> Iterator[Blank]:
        """Blanks of the ingredient as a whole, once the values turn the amounts of its lines."""
        if all(line.amount is None for line in self.lines[key(row.name)]):
            return  # nothing is computed of it, so that nothing is lacking
        yield from self._to_weigh(row)
        if is_water(row.name):
            return
        bought = self._bought(row)
        sold = self._sold.get(key(row.name), set()) | {bought}
        lines = [self.turned(line, row, values) for line in self.lines[key(row.name)]]
        taken = {line.amount.unit.dimension for line in lines if line.amount is not None}
        cooked = any(
            line.measured is Measured.COOKED and after.amount != line.amount
            for line, after in zip(self.lines[key(row.name)], lines, strict=True)
        )
        # by way of the weight of a piece an article needs its trim yield even to be cut
        turned = key(row.name) in self._articles and len(sold | taken) > 1
        ready = key(row.name) in self._ready and not turned
        pieces = bought is Dimension.COUNT and len(sold) == 1
        if row.trim_yield is None and not (ready or pieces):
            yield Blank("Trim yield %")
        if row.cooked_weight is None and any(line.measured is Measured.COOKED for line in lines):
            yield Blank("Cooked weight %")
        # a line in g is turned by the density of its cut; pieces, and what was weighed cooked, go
        # by way of grams and need the density of the food as a whole
        by_grams = (taken & {Dimension.COUNT}) | ({Dimension.MASS} if cooked else set())
        if row.density is None and Dimension.VOLUME in sold and len(sold | by_grams) > 1:
            yield Blank("Grams per ml")
        others = (taken | sold) - {bought}
        if row.piece_weight is None and others and Dimension.COUNT in others | {bought}:
            yield Blank("Grams per piece")

    def _to_weigh(self, row: Ingredient) -> Iterator[Blank]:
        """What turns its lines into grams, of dishes that are weighed."""
        lines = [line for line in self.lines[key(row.name)] if key(line.dish) in self._weighed]
        for dimension, heading in (
            (Dimension.VOLUME, "Grams per ml"),
            (Dimension.COUNT, "Grams per piece"),
        ):
            given = getattr(row, FIELDS[heading][0]) is not None
            if not given and any(x.amount and x.amount.unit.dimension is dimension for x in lines):
                yield Blank(heading)

    def turned(self, line: Line, row: Ingredient, values: Mapping[Blank, Fraction]) -> Line:
        """A line with its amount turned, where the value that turns it is known."""
        needed = self.of_line(line, row)
        if needed is None or needed[0] not in values:
            return line
        blank, unit = needed
        factor = 1 / values[blank] if unit is MILLILITRE else values[blank]

        def turn(given: Amount | None) -> Amount | None:
            return None if given is None else Amount(given.base * factor, unit)

        return line.model_copy(
            update={
                "amount": turn(line.amount),
                "amount_low": turn(line.amount_low),
                "pieces": line.counted,
            }
        )

    def _bought(self, row: Ingredient) -> Dimension:
        return self.units[key(row.name)][1].dimension


def ready_as_cut(shoot: Shoot) -> set[str]:
    """Keys of what needs no trim yield, as Parts says it all: parts, and what is only cut."""
    parts = {key(row.name) for row in shoot.parts}
    taken = {key(line.ingredient) for line in shoot.lines}
    return parts | {key(row.ingredient) for row in shoot.parts} - taken


def _cut(shoot: Shoot, used: Collection[str]) -> Iterator[tuple[str, Line]]:
    """Articles whose parts are used, as lines that take what Parts cuts of them."""
    found = set(used)
    for _ in shoot.parts:  # an article may itself be a part
        found |= {key(row.ingredient) for row in shoot.parts if key(row.name) in found}
    for row in shoot.parts:
        if key(row.name) in found:
            taken = Line(
                dish=row.name,
                ingredient=row.ingredient,
                amount=row.amount,
                measured=Measured.AS_BOUGHT,
            )
            yield key(row.ingredient), taken


def with_values(row: Ingredient, values: Mapping[Blank, Fraction]) -> Ingredient:
    """The row of an ingredient with the values that are for it as a whole."""
    changes = {
        FIELDS[blank.heading][0]: value * FIELDS[blank.heading][1]
        for blank, value in values.items()
        if not blank.of_lines
    }
    return row.model_copy(update=changes) if changes else row


@dataclass(frozen=True, slots=True)
class Trial:
    """What would be bought of one ingredient.

    Parameters
    ----------
    rank : tuple of Fraction
        The larger the more is bought: what it costs, packs without a price, then what is wanted
        before it is rounded up to packs, at the least price or else in the largest pack, and last
        what is needed before stock. So values that buy the same packs are still distinguished.
    cost : Decimal, optional
        At the till; ``None`` where a price is not known. [money]
    """

    rank: tuple[Fraction, Fraction, Fraction, Fraction]
    cost: Decimal | None


def only(shoot: Shoot, name: str) -> Shoot:
    """The shots that take an ingredient and the packs and lots of it, nothing else.

    Uncertain takes count as often as they may come: the food is there for all of them. Other
    lines of the dishes stay only where the weight of a dish decides how much of it is taken.
    """
    inside = [line for line in shoot.lines if shoot.is_dish(line.ingredient)]
    names = {name}
    for _ in shoot.parts:  # what is cut of it needs it too, and may itself be cut
        names |= {key(row.name) for row in shoot.parts if key(row.ingredient) in names}
    taking = {key(line.dish) for line in shoot.lines if key(line.ingredient) in names}
    while more := {key(x.dish) for x in inside if key(x.ingredient) in taking} - taking:
        taking |= more
    weighed = any(dish.cooked_weight is not None for dish in shoot.dishes) and bool(inside)
    made = set(taking)
    while more := {key(x.ingredient) for x in inside if key(x.dish) in made} - made:
        made |= more

    def counts(line: Line) -> bool:
        within = key(line.dish) in (made if weighed else taking)
        return within and (weighed or key(line.ingredient) in names | taking)

    return shoot.changed(
        # left-overs, visits and minimum spends would make a search of each trial, and decide
        # nothing about which value buys most of this one food
        settings=shoot.settings.model_copy(update={"leftovers_counted": ZERO}),
        lines=tuple(line for line in shoot.lines if counts(line)),
        shots=tuple(
            shot.model_copy(update={"times": shot.most or shot.times, "fewest": None, "most": None})
            for shot in shoot.shots
            if key(shot.dish) in taking
        ),
        packs=tuple(pack for pack in shoot.packs if key(pack.ingredient) == name),
        lots=tuple(lot for lot in shoot.lots if key(lot.ingredient) == name),
        shops=(),
        containers=(),
    )


def trial(shoot: Shoot, name: str) -> Trial:
    """What is bought of an ingredient in a shoot that buys nothing else.

    ``shoot``: as :func:`only` gives it, with the values that are tried.
    """
    bought = Shopping(Needs(shoot)).purchases
    purchase = next((one for one in bought if one.demand.code == name), None)
    if purchase is None:
        return Trial((ZERO, ZERO, ZERO, ZERO), None)
    prices = {id(offer.pack): offer.price for offer in purchase.offers}
    cost = unpriced = ZERO
    for packs in purchase.lines:
        price = prices[id(packs.pack)]
        cost += packs.count * (price or ZERO)
        unpriced += packs.count if price is None else 0
    per_unit = [offer.price / offer.amount for offer in purchase.offers if offer.price]
    per_pack = [1 / offer.amount for offer in purchase.offers]
    wanted = purchase.wanted * min(per_unit or per_pack, default=Fraction(1))
    paid = [line.paid.cost for line in purchase.lines if line.paid.cost is not None]
    known = purchase.offers and not (purchase.short or purchase.need.unknown or unpriced)
    rank = (cost, unpriced, wanted, purchase.need.total)
    return Trial(rank, sum(paid, Decimal(0)) if known else None)


def options_of(
    found: Mapping[Blank, Sequence[Filled]], choices: Mapping[Blank, Choices]
) -> dict[Blank, list[Filled]]:
    """For each blank the values to try, one of each number, except that foods are kept apart.

    Where a name is used for several foods, only those foods count that have a value for each
    blank: a recipe that measures pepper by the spoon means no bell pepper.
    """
    named = [blank for blank in found if choices[blank].of_several_foods]
    foods = [{value.food_id for value in found[blank]} for blank in named]
    common = set.intersection(*foods) if foods else set()
    options: dict[Blank, list[Filled]] = {}
    for blank, values in found.items():
        linked = blank in named and common
        usable = [value for value in values if not linked or value.food_id in common]
        first: dict[tuple[Fraction, str], Filled] = {}
        for value in usable:
            first.setdefault((value.number, value.food_id if len(named) > 1 else ""), value)
        options[blank] = list(first.values())
    return options


def combinations(
    options: Mapping[Blank, Sequence[Filled]], choices: Mapping[Blank, Choices]
) -> list[dict[Blank, Filled]]:
    """Every way to take one value for each blank, those of a name for several foods of one food.

    Where no food has a value for each blank, foods are mixed: there is no better guess.
    """
    pairs = (zip(options, values, strict=True) for values in product(*options.values()))
    every = list(map(dict, pairs))
    named = [blank for blank in options if choices[blank].of_several_foods]
    of_one = [one for one in every if len({one[blank].food_id for blank in named}) <= 1]
    return of_one or every
