"""What to buy as somebody in a shop reads it: line by line, in words, for screen and phone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from costing.buying.books import Books
from costing.buying.shopping import Purchase
from costing.buying.storage import first_trip
from costing.buying.till import Bought
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import Measures, Unit, money_text
from costing.report.shop_words import allergens_text, amount_words, quantity, substitute_text
from costing.report.shopping_rows import left_over, never_bought, notes, shop_order, unknown_words
from costing.shoot import Shoot

NO_PACK = "no pack yet"
PACK_UNREAD = "its pack cannot be read"
NOT_WORKED_OUT = "not worked out"


@dataclass(frozen=True, slots=True)
class ListLine:
    """One thing to buy, in words.

    Parameters
    ----------
    section, name, shop : str
        What it is, and where it is got.
    buy : str
        How much of it: packs, or one amount of loose goods; ``""`` while no pack is known.
    each : str
        The price that is on the shelf, for a pack or for what loose goods are priced by.
    cost : Decimal, optional
        What the till takes for it, tax included; ``None`` is unknown. [money]
    tax : Decimal
        How much of it is tax. [money]
    needed, left_over, on_hand : str
        What the shots take, what is over, and what of the need is there already.
    lacking : str
        Why nothing is bought: no pack, or what nobody knows; ``""`` when something is.
    notes : tuple of str
        What else has to be known of it, each a sentence.
    trip, buy_by : date, optional
        The day it is fetched, and the last day that would still do.
    allergens, substitute : str
    """

    section: str
    name: str
    shop: str = ""
    buy: str = ""
    each: str = ""
    cost: Decimal | None = None
    tax: Decimal = Decimal(0)
    needed: str = ""
    left_over: str = ""
    on_hand: str = ""
    lacking: str = ""
    notes: tuple[str, ...] = ()
    trip: date | None = None
    buy_by: date | None = None
    allergens: str = ""
    substitute: str = ""


def list_lines(books: Books, filled: Collection[str] = ()) -> list[ListLine]:
    """What to buy, by day, by shop in the order of Packs, then by section, then by recipe.

    Parameters
    ----------
    books : Books
        Of the shoot.
    filled : collection of str
        Keys of ingredients whose allergens were taken from tables.
    """
    shops = shop_order(books.shoot)
    lines = [line for purchase in books.purchases for line in _lines(purchase, books.shoot, filled)]
    last = len(shops)
    return sorted(
        lines,
        key=lambda line: (
            *(bool(line.lacking), date.max if line.lacking else line.trip or date.max),
            *(shops.get(key(line.shop), last), key(line.section)),
        ),
    )


def by_shop(lines: Sequence[ListLine]) -> list[tuple[str, list[ListLine]]]:
    """The lines that have a pack, shop by shop."""
    bought = [line for line in lines if not line.lacking]
    return [
        (same[0].shop, same)
        for same in (list(group) for _, group in groupby(bought, lambda line: key(line.shop)))
    ]


def _lines(purchase: Purchase, shoot: Shoot, filled: Collection[str]) -> Iterator[ListLine]:
    """The packs of one ingredient, and what of it no pack covers."""
    ingredient, measures = purchase.need.ingredient, shoot.settings.measures
    blank = ListLine(
        section=ingredient.section,
        name=ingredient.name,
        buy_by=first_trip(purchase, shoot),
        allergens=allergens_text(ingredient, filled),
        substitute=substitute_text(ingredient, shoot),
    )
    over = left_over(purchase)
    for (bought, amount), paid in zip(purchase.lines, purchase.till, strict=True):
        pack = bought.pack
        in_unit = amount / bought.count / pack.unit_amount.magnitude
        yield replace(
            _needed(blank, purchase, pack.unit_amount.unit, in_unit, measures),
            shop=pack.shop,
            trip=bought.trip,
            buy_by=bought.buy_by,
            buy=buy_words(bought, measures),
            each=shelf_price(pack, shoot),
            cost=paid.cost,
            tax=paid.tax,
            left_over=quantity(over / in_unit, pack.unit_amount.unit.name, measures),
            notes=tuple(filter(None, notes(purchase, bought, shoot))),
        )
    idle = not purchase.lines and not never_bought(purchase, shoot)
    if purchase.short or (purchase.need.unknown and idle):
        unit = purchase.need.unit
        short = quantity(purchase.short / unit.size, unit.name, measures)
        line = _needed(blank, purchase, unit, unit.size, measures)
        said = tuple(filter(None, [unknown_words(purchase)]))
        if not purchase.short:
            yield replace(line, lacking=NOT_WORKED_OUT, notes=said)
        elif purchase.offers:
            yield replace(line, lacking="more than the shops have", needed=short)
        else:
            unread = shoot.left_out_on("Packs", name=ingredient.name)
            reason = PACK_UNREAD if unread else NO_PACK
            yield replace(line, lacking=reason, needed=short, notes=said)


def _needed(
    line: ListLine, purchase: Purchase, unit: Unit, in_unit: Fraction, measures: Measures
) -> ListLine:
    """The line with what is needed and what is there of it; ``in_unit`` is one unit of it."""
    wanted, stock = purchase.wanted_with_stock, purchase.taken.total
    return replace(
        line,
        needed=quantity(wanted / in_unit, unit.name, measures) if wanted else "",
        on_hand=quantity(stock / in_unit, unit.name, measures) if stock else "",
    )


def buy_words(bought: Bought, measures: Measures) -> str:
    """Packs with what is in each; of loose goods the whole amount."""
    pack = bought.pack
    if pack.loose_step is not None:
        return amount_words(pack.loose_step * bought.count, measures)
    one = amount_words(pack.amount, measures)
    if one == "1":
        return str(bought.count)
    return one if bought.count == 1 else f"{bought.count} x {one}"


def shelf_price(pack: Pack, shoot: Shoot) -> str:
    """The price as it is on the shelf, for the pack or for what loose goods are priced by."""
    if pack.price is None or pack.supplied:
        return ""
    price = money_text(pack.price, shoot.settings.currency)
    if pack.loose_step is None:
        return price
    per = amount_words(pack.amount, shoot.settings.measures).removeprefix("1 ")
    return f"{price} / {per}" if per != "1" else price
