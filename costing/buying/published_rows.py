"""Rows of Packs and Parts that published tables complete.

What the state of a pack says of its days, how long it thaws and how long it keeps as sold: days the
user typed, else a published time for thawing large pieces and for keeping. And the parts of what is
bought that nobody wrote into Parts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil

from costing.buying import messages
from costing.buying.bought_units import first_units
from costing.findings import Finding, Grade, Words, lack, message
from costing.kitchen import Ingredient, Pack, PackState, Part
from costing.names import key, singular_name
from costing.quantities import Amount, Dimension, Measures, find_unit
from costing.reference import Filled, fill, find_food, kept_as, published_parts
from costing.reference.files import table_rows
from costing.shoot import Shoot

COLUMN = "Thaw days"
THAWED_WHOLE = frozenset({"fish", "meat", "poultry"})
"""Groups of foods whose large pieces the published time is for; peas go into the pan frozen."""


@dataclass(frozen=True, slots=True)
class PackFill:
    """Days of a pack that were taken from tables.

    Parameters
    ----------
    pack : Pack
        As it was given.
    value : Filled
        The published time: to thaw, as days for its weight, or to keep in its state.
    """

    pack: Pack
    value: Filled


@cache
def _published() -> dict[str, str]:
    """The row of the published time in a refrigerator that may fill a blank."""
    (row,) = (row for row in table_rows("thaw_times") if row["use"] == "fill")
    return row


def published_thaw(weight: Amount) -> Filled | None:
    """Days that a large piece thaws in a refrigerator; ``None`` for one that is not large.

    A piece is large from the least weight that the source gives a day to. Of its range the low
    end is used, and a part of a day is a day.

    ``weight``: of the piece. [mass]

    Examples
    --------
    >>> from costing.quantities import amount
    >>> published_thaw(amount("18 lb")).text, published_thaw(amount("2 lb"))
    ('5', None)
    """
    row = _published()
    unit = find_unit(row["unit"].removesuffix("/day"), Measures.METRIC)
    pounds = weight.base / unit.size
    if pounds < Fraction(row["value"]):
        return None
    low, high = (Fraction(ceil(pounds / Fraction(row[end]))) for end in ("high", "low"))
    return Filled(
        column=COLUMN,
        food_id="",
        value=Fraction(ceil(pounds / Fraction(row["value"]))),
        unit="day",
        low=low,
        high=high,
        state=f"a piece of {weight} in a {row['method']}",
        source_id=row["source_id"],
        locator=row["locator"],
        verified=row["verified"],
        as_printed=row["as_printed"],
        note=row["note"],
    )


def with_days_of_state(shoot: Shoot) -> tuple[Shoot, tuple[PackFill, ...], list[Finding]]:
    """Fill blank Thaw days of frozen packs, and how long packs keep in their state.

    Returns
    -------
    (Shoot, tuple of PackFill, list of Finding)
        The shoot with the days in its packs, what was taken, and what is said of it: each time
        to thaw, and once the frozen goods of which none is known.
    """
    used = {key(line.ingredient) for line in shoot.lines}
    used |= {key(part.ingredient) for part in shoot.parts}
    fills: list[PackFill] = []
    findings: list[Finding] = []
    packs = []
    for pack in shoot.packs:
        days: dict[str, object] = {}
        if pack.state is not None and key(pack.ingredient) in used:
            kept = kept_as(pack.ingredient, str(pack.state))
            typed = shoot.ingredient(pack.ingredient).keeps_days is not None
            if kept is not None and not (typed and pack.state is PackState.FRESH):
                fills.append(PackFill(pack, kept))
                days["published_keeps"] = kept.number
            if pack.state is PackState.FROZEN and pack.thaw_days is None:
                thaw, said = _thaw_days(pack, shoot.ingredient(pack.ingredient))
                findings.append(said)
                if thaw is not None:
                    fills.append(PackFill(pack, thaw))
                    days["thaw_days"] = int(thaw.number)
        packs.append(pack.model_copy(update=days) if days else pack)
    if not fills:
        return shoot, (), findings
    return shoot.changed(packs=tuple(packs)), tuple(fills), findings


def _thaw_days(pack: Pack, ingredient: Ingredient) -> tuple[Filled | None, Finding]:
    """The published time to thaw of a frozen pack, and what is said of it."""
    weight = _largest_piece(pack, ingredient)
    value = published_thaw(weight) if weight is not None else None
    if weight is None or value is None:
        return None, thaw_days_blank(pack.at(COLUMN), pack.ingredient)
    about = (str(weight), value.text, value.as_printed, value.source)
    return value, thaw_days_published(pack.at(COLUMN), pack.ingredient, *about)


def _largest_piece(pack: Pack, ingredient: Ingredient) -> Amount | None:
    """Weight of a piece in a pack of fish, meat or poultry; ``None`` where it is not known.

    A pack by weight is one block unless its pieces are known to be lighter.
    """
    food = find_food(pack.ingredient).food
    if food is None or food.group not in THAWED_WHOLE:
        return None
    grams = ingredient.piece_weight
    published = fill(pack.ingredient, "Grams per piece", sold_each=True)
    if grams is None and isinstance(published, Filled):
        grams = published.number
    piece = None if grams is None else Amount(grams, find_unit("g", Measures.METRIC))
    whole = pack.unit_amount
    if whole.unit.dimension is not Dimension.MASS:
        return piece if whole.unit.dimension is Dimension.COUNT else None
    return piece if piece is not None and piece.base < whole.base else whole


def with_parts(shoot: Shoot) -> tuple[Shoot, list[Finding]]:
    """A shoot with the published parts of what its recipes take.

    A part that has a row in Parts is left as it is; so is one that is bought or on hand by itself,
    unless the article it may be cut from is in the workbook too: then the two compete.

    Returns
    -------
    tuple of Shoot and list of Finding
        What is no published figure is said.
    """
    given = {key(row.name) for row in shoot.parts}
    stocked = {key(pack.ingredient) for pack in shoot.packs}
    stocked |= {key(lot.ingredient) for lot in shoot.lots}
    known = {singular_name(key(name)): name for name in _names(shoot)}
    units = first_units(shoot)
    added: list[Part] = []
    findings: list[Finding] = []
    for name in dict.fromkeys(line.ingredient for line in shoot.lines if line.amount is not None):
        if key(name) in given or shoot.is_dish(name) or shoot.left_out_on("Parts", name=name):
            continue
        given.add(key(name))
        every = published_parts().get(singular_name(key(name)), ())
        bought = units[key(name)][1].dimension
        alike = [row for row in every if find_unit(row.unit, Measures.METRIC).dimension is bought]
        for row in alike or every:
            article = next((known[one] for one in row.articles if one in known), None)
            if article is None and key(name) in stocked:
                continue
            part = Part(
                ingredient=article or row.articles[0],
                amount=Amount(row.amount, find_unit(row.amount_unit, Measures.METRIC)),
                name=name,
                part_amount=Amount(row.value, find_unit(row.unit, Measures.METRIC)),
                source=row.source,
            )
            added.append(part)
            if row.from_memory:
                words = f"{part.part_amount} of {name} from {part.amount} of {part.ingredient}"
                findings.append(messages.part_from_memory(part.at("Part amount"), words))
    return (shoot.changed(parts=(*shoot.parts, *added)) if added else shoot), findings


def _names(shoot: Shoot) -> Iterable[str]:
    """What the workbook itself calls articles."""
    for rows in (shoot.packs, shoot.lots, shoot.lines):
        yield from (row.ingredient for row in rows if row.ingredient)
    yield from (row.name for row in shoot.ingredients)


@message("thaw days published", Grade.NOTE)
def thaw_days_published(
    ingredient: str, weight: str, days: str, as_printed: str, source: str
) -> Words:
    """A frozen pack without Thaw days, whose weight gives them by a published time."""
    return Words(
        f"a blank cell for frozen {ingredient}, {weight} a piece",
        "days in the refrigerator before it is used",
        f'Taken: {days}, by the published "{as_printed}" ({source}). Write your own days if your '
        "refrigerator or your way of thawing is another.",
    )


@lack("thaw days not given", Grade.NOTE)
def thaw_days_blank(ingredient: str) -> Words:
    """Frozen goods of which nobody says how long they thaw."""
    return Words(
        f"a blank cell for frozen {ingredient}",
        "days to thaw before it is used, or 0",
        "No time to thaw is counted. Write the days, or 0 for what is used frozen.",
    )
