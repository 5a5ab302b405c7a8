"""What is odd about prices and packs: days, steps, a price far off, a pack nobody carries."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction

from costing.findings import Finding, Grade, Words, lack, message
from costing.kitchen import Lot, Pack
from costing.names import Named, key
from costing.quantities import Dimension, money_text
from costing.shoot.shoot import Shoot

LOOSE_STEP_RATIO = 10
"""A loose step is rarely more than this many times what its price is for."""

FAR_OFF_RATIO = 50
"""Prices of one ingredient are rarely so many times apart: a lost decimal point makes a hundred."""

CARRIED = Fraction(50_000)
"""Sacks, drums and kegs that shops sell hold up to 50 kg or 50 l (common practice). [g or ml]"""

LARGEST_LINE_TIMES = 100
"""A real one of more than that is for a kitchen whose recipes take a hundredth of it at a time."""


@lack("price seen long ago", Grade.NOTE)
def price_seen_long_ago(what: str) -> Words:
    return Words(
        f"a price more than a year old: {what}",
        "a price of the last twelve months",
        "Look it up again and write its day into Price date; until then it counts as it is.",
    )


@lack("price seen later", Grade.WARNING)
def price_seen_later(what: str) -> Words:
    return Words(
        f"a price seen after the last day of the shoot: {what}",
        "the day on which the price was seen",
        "Correct Price date, or the shoot date if that is wrong; the price counts as it is.",
    )


@lack("price of nothing", Grade.NOTE)
def price_of_nothing(names: str) -> Words:
    return Words(
        f"a price of 0 for {names}, which is not supplied",
        "a price, a blank cell where it is not known, or yes in Supplied",
        "Write what it costs, clear the 0 where nobody knows, or write yes in Supplied where it is "
        "given free; until then it costs nothing.",
    )


@message("loose step large", Grade.WARNING)
def loose_step_large(name: str, step: str, amount: str) -> Words:
    """A loose step of many times what the price is for, perhaps typed in a smaller unit."""
    return Words(
        f"a step of {step}, while the price of {name} is for {amount}",
        "a step in the unit of Amount, rarely more than ten times the amount",
        f"Write the step in the unit of Amount. As it stands {name} is bought by {step} at a time.",
    )


@message("price far off", Grade.WARNING)
def price_far_off(price: str, other: str, where: str) -> Words:
    return Words(
        f"{price}, while {where} has {other}",
        "prices of one ingredient that are not many times apart",
        "Mend the price, the amount or the unit that is wrong; until then both count as they are.",
    )


@message("amount beyond carrying", Grade.WARNING)
def amount_beyond_carrying(amount: str, name: str, where: str) -> Words:
    """A pack or a lot of hundreds of kilograms, perhaps of grams."""
    return Words(
        f"{amount} of {name} {where}",
        "an amount that somebody carries, up to 50 kg or 50 l, or up to a hundred times what a "
        "line of the recipes takes",
        "Mend Amount or Unit if grams or millilitres are meant; until then it counts as it is.",
    )


def check_prices(shoot: Shoot) -> Iterator[Finding]:
    """What is odd about the prices of a shoot."""
    yield from check_price_dates(shoot)
    for pack in shoot.packs:
        if pack.price == 0 and not pack.supplied:
            yield price_of_nothing(pack.at("Price"), pack.ingredient)
    yield from _loose_steps(shoot)
    yield from _beyond_carrying(shoot)
    yield from _far_off(shoot)


def check_price_dates(shoot: Shoot, today: date | None = None) -> Iterator[Finding]:
    """Prices older than a year on the first day of the shoot, or seen after its last.

    Without a day of shooting that of shopping counts, and without both the day of asking.

    ``today``: the day of asking: then only what nothing else is known to set the prices against.
    """
    days = [episode.shoot_date for episode in shoot.episodes if episode.shoot_date]
    known = min(days, default=shoot.settings.shopping_date)
    day = today if known is None else known
    if day is None or (known is not None and today is not None):
        return
    # a year before the 29th of February there is none
    leap = (day.month, day.day) == (2, 29)
    year_before = day.replace(year=day.year - 1, day=28 if leap else day.day)
    used = Named((line.ingredient, line) for line in shoot.lines)
    for pack in shoot.packs:
        seen = pack.price_date
        if pack.ingredient not in used or not pack.price or not seen:
            continue
        what = f"{pack.ingredient}, seen {seen.isoformat()}"
        if seen < year_before:
            yield price_seen_long_ago(pack.at("Price date"), what)
        elif known is not None and seen > max(days, default=known):
            yield price_seen_later(pack.at("Price date"), what)


def _loose_steps(shoot: Shoot) -> Iterator[Finding]:
    """Steps of loose goods so large that they may be meant in a smaller unit."""
    for pack in shoot.packs:
        step = pack.loose_step
        if step is not None and step.base > LOOSE_STEP_RATIO * pack.amount.base:
            yield loose_step_large(
                pack.at("Loose step"), pack.ingredient, str(step), str(pack.amount)
            )


def _beyond_carrying(shoot: Shoot) -> Iterator[Finding]:
    """Packs and lots that are likely typed in kilograms for grams, or litres for millilitres.

    A price of loose goods may be for any amount.
    """
    largest: dict[tuple[str, Dimension], Fraction] = {}
    for line in shoot.lines:
        if line.amount is not None:
            kind = key(line.ingredient), line.amount.dimension
            largest[kind] = max(largest.get(kind, Fraction(0)), Fraction(line.amount.base))
    used = {name for name, _ in largest}
    on_hand: Sequence[Pack | Lot] = shoot.lots
    for row in (*shoot.packs, *on_hand):
        amount = row.amount
        if amount is None or amount.dimension not in (Dimension.MASS, Dimension.VOLUME):
            continue
        if isinstance(row, Pack) and row.loose_step is not None:
            continue
        taken = largest.get((key(row.ingredient), amount.dimension), Fraction(0))
        if key(row.ingredient) in used and amount.base > max(CARRIED, LARGEST_LINE_TIMES * taken):
            where = "in one pack" if isinstance(row, Pack) else "on hand"
            yield amount_beyond_carrying(row.at("Amount"), str(amount), row.ingredient, where)


def _far_off(shoot: Shoot) -> Iterator[Finding]:
    """The one price of each ingredient that is far above, or far below, all its others.

    Of two it is the one above: a point that was lost is likelier than one too many. What is on
    hand has its Value for a price.
    """
    priced: dict[tuple[str, Dimension], list[tuple[Fraction, Pack | Lot]]] = {}
    on_hand: Sequence[Pack | Lot] = shoot.lots
    for row in (*shoot.packs, *on_hand):
        paid = row.price if isinstance(row, Pack) else row.value
        if paid and not row.supplied and row.amount is not None and row.amount.base:
            each = Fraction(paid) / Fraction(row.amount.base)
            priced.setdefault((key(row.ingredient), row.amount.dimension), []).append((each, row))
    for rows in priced.values():
        rows.sort(key=lambda one: one[0])
        if len(rows) > 1 and rows[-1][0] >= FAR_OFF_RATIO * rows[-2][0]:
            yield _apart(rows[-1][1], rows[-2][1], shoot)
        elif len(rows) > 1 and rows[0][0] * FAR_OFF_RATIO <= rows[1][0]:
            yield _apart(rows[0][1], rows[1][1], shoot)


def _apart(odd: Pack | Lot, other: Pack | Lot, shoot: Shoot) -> Finding:
    """What is said of a price and of the nearest of the others."""
    at, beside = (row.at("Price" if isinstance(row, Pack) else "Value") for row in (odd, other))
    where = beside.cell_reference or str(beside)
    return price_far_off(at, _for_amount(odd, shoot), _for_amount(other, shoot), where)


def _for_amount(row: Pack | Lot, shoot: Shoot) -> str:
    paid = row.price if isinstance(row, Pack) else row.value
    return f"{money_text(paid or Fraction(0), shoot.settings.currency)} for {row.amount}"
