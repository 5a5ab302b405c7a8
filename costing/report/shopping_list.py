"""The shopping list as somebody in a shop reads it: its lines, and what it has for each day."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from costing.buying.books import Books
from costing.buying.shopping import Purchase
from costing.buying.storage import first_trip
from costing.buying.values import Totals
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import Measures, Unit, money_text
from costing.report.errands import Errand, ErrandKind
from costing.report.make_rows import NOTHING_AHEAD, Ahead
from costing.report.shop_notes import more_words, notes, unknown_words
from costing.report.shop_words import (
    allergens_text,
    amount_words,
    at_least,
    base_words,
    buy_words,
    quantity,
    substitute_text,
)
from costing.report.shopping_rows import (
    PACK_UNREAD,
    left_over,
    never_bought,
    place_in_list,
    shop_order,
)
from costing.shoot import Shoot

NO_PACK = "no pack yet"
NOT_WORKED_OUT = "not worked out"


@dataclass(frozen=True, slots=True)
class ListLine:
    """One thing to buy, in words.

    Parameters
    ----------
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
    more : str
        What of that which is over is for the times covered beyond the likely ones.
    lacking : str
        Why nothing is bought: no pack, or what nobody knows; ``""`` when something is.
    notes : tuple of str
        What else has to be known of it, each a sentence.
    trip, buy_by : date, optional
        The day it is fetched, and the last day that would still do.
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
    more: str = ""
    lacking: str = ""
    notes: tuple[str, ...] = ()
    trip: date | None = None
    buy_by: date | None = None
    allergens: str = ""
    substitute: str = ""


def list_lines(
    books: Books, filled: Collection[str] = (), ahead: Ahead = NOTHING_AHEAD
) -> list[ListLine]:
    """What to buy, by day, by shop in the order of Packs, then by section, then by recipe.

    ``filled``, ``ahead``: as in :func:`costing.report.shopping_rows.to_buy`.
    """
    shops, shoot = shop_order(books.shoot), books.shoot
    lines = [one for each in books.purchases for one in _lines(each, shoot, filled, ahead)]

    def order(line: ListLine) -> tuple[bool, tuple[date, int, str]]:
        trip = None if line.lacking else line.trip
        return bool(line.lacking), place_in_list(shops, trip, line.shop, line.section)

    return sorted(lines, key=order)


def by_shop(lines: Sequence[ListLine]) -> list[tuple[str, list[ListLine]]]:
    """The lines that have a pack, shop by shop."""
    bought = [line for line in lines if not line.lacking]
    return [
        (same[0].shop, same)
        for same in (list(group) for _, group in groupby(bought, lambda line: key(line.shop)))
    ]


def _lines(
    purchase: Purchase, shoot: Shoot, filled: Collection[str], ahead: Ahead
) -> Iterator[ListLine]:
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
    for bought in purchase.lines:
        pack, paid = bought.pack, bought.paid
        in_unit = bought.brings / bought.count / pack.unit_amount.magnitude
        yield replace(
            _needed(blank, purchase, pack.unit_amount.unit, in_unit, measures),
            shop=pack.shop,
            trip=bought.trip,
            buy_by=bought.buy_by,
            buy=buy_words(bought, measures),
            each=_shelf_price(pack, shoot),
            cost=paid.cost,
            tax=paid.tax,
            left_over=quantity(over / in_unit, pack.unit_amount.unit.name, measures),
            more=more_words(purchase, bought, measures),
            notes=tuple(filter(None, notes(purchase, bought, shoot, ahead=ahead))),
        )
    idle = not purchase.lines and not never_bought(purchase, shoot)
    if purchase.short or (purchase.need.unknown and idle):
        unit = purchase.need.unit
        short = base_words(purchase.short, unit, measures)
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


def _shelf_price(pack: Pack, shoot: Shoot) -> str:
    """The price as it is on the shelf, for the pack or for what loose goods are priced by."""
    if pack.price is None or pack.supplied:
        return ""
    price = money_text(pack.price, shoot.settings.currency)
    if pack.loose_step is None:
        return price
    per = amount_words(pack.amount, shoot.settings.measures).removeprefix("1 ")
    return f"{price} / {per}" if per != "1" else price


@dataclass(frozen=True, slots=True)
class ListDay:
    """What a list has for one day.

    Parameters
    ----------
    day : date, optional
        ``None`` where all is for one day, or the day is not known.
    errands : list of Errand
        What else is to be done; where all is for one day, what thaws.
    """

    day: date | None
    lines: list[ListLine]
    errands: list[Errand] = field(default_factory=list)

    @property
    def ordered(self) -> list[Errand]:
        """What is done before anything is fetched."""
        return [one for one in self.errands if one.kind is ErrandKind.ORDER]

    @property
    def afterwards(self) -> list[Errand]:
        """What is done with what was fetched: it thaws, or something is made of it."""
        return [one for one in self.errands if one.kind is not ErrandKind.ORDER]


def list_days(lines: Sequence[ListLine], errands: Sequence[Errand]) -> list[ListDay]:
    """The days of a list, those on which nothing is fetched included; last what has no day.

    A list that is fetched on one day, with nothing to order or to thaw on another, is one day.
    """
    others = [one for one in errands if one.kind is not ErrandKind.FETCH]
    days = {line.trip for line in lines if not line.lacking}
    dated = days | {one.day for one in others if one.kind is not ErrandKind.MAKE}
    if len(dated) < 2:
        thawing = [one for one in others if one.kind is ErrandKind.THAW]
        return [ListDay(None, list(lines), thawing)]
    found: dict[date | None, ListDay] = {}
    for line in lines:
        day = None if line.lacking else line.trip
        found.setdefault(day, ListDay(day, [], [])).lines.append(line)
    for one in others:
        found.setdefault(one.day, ListDay(one.day, [], [])).errands.append(one)
    return [found[day] for day in sorted(found, key=lambda day: day or date.max)]


def with_only_day(days: Sequence[ListDay], shoot: Shoot) -> list[ListDay]:
    """The same with the day of a list of one trip, unless that is the day before the only shoot."""
    trips = {line.trip for one in days for line in one.lines if not line.lacking}
    eves = {one.shoot_date - timedelta(days=1) for one in shoot.episodes if one.shoot_date}
    if len(days) > 1 or len(trips) != 1 or trips == eves:
        return list(days)
    return [replace(one, day=trip) for one, trip in zip(days, trips, strict=True)]


def with_visits(totals: Totals, currency: str | None) -> str:
    """What is paid with visits and deliveries, in words; blank where they cost nothing."""
    paid = at_least(totals.paid, totals.bought_missing, currency)
    return f"With visits and deliveries: {paid}" if totals.visits else ""
