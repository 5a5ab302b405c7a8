"""What to buy, as rows of To buy and as somebody in a shop reads it; rows of Needs, Food cost."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from costing.buying.books import Books
from costing.buying.left_over import keeping, stock_that_keeps
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.buying.shopping import Purchase
from costing.buying.storage import first_trip
from costing.buying.till import Bought, exact_price, money_digits
from costing.buying.values import Values
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import ZERO, Dimension, Measures, Unit, excess, money_text, most
from costing.report.layouts import FOOD_COST, NEEDS, TO_BUY
from costing.report.make_rows import NOTHING_AHEAD, Ahead
from costing.report.shop_notes import notes, unknown_words
from costing.report.shop_words import (
    allergens_text,
    amount_words,
    base_words,
    quantity,
    substitute_text,
)
from costing.report.tables import Row, Table, Value
from costing.shoot import Settings, Shoot

PLAIN_UNITS = frozenset({"g", "kg", "ml", "l", "oz", "lb", "each"})
"""Units of recipes in which what is bought reads well too; spoons and cups do not."""


def to_buy(books: Books, filled: Collection[str] = (), ahead: Ahead = NOTHING_AHEAD) -> Table:
    """What to buy, by day, by shop in the order of Packs, then by section, then by recipe.

    Parameters
    ----------
    books : Books
        Of the shoot.
    filled : collection of str
        Keys of ingredients whose allergens were taken from tables.
    ahead : frozenset of (str, str)
        What is used before its day, as :func:`costing.report.make_rows.used_ahead` gives it.
    """
    shops, shoot = _shop_order(books.shoot), books.shoot
    rows = [row for each in books.purchases for row in _to_buy_rows(each, shoot, filled, ahead)]
    rows.sort(key=lambda row: _place(shops, row["trip"], row["shop"], row["section"]))
    return TO_BUY.table(rows)


def _place(
    shops: Mapping[str, int], trip: Value, shop: Value, section: Value
) -> tuple[date, int, str]:
    """Where a row is: by its trip, its shop and its section."""
    day = trip if isinstance(trip, date) else date.max
    return day, shops.get(key(str(shop)), len(shops)), key(str(section))


def _shop_order(shoot: Shoot) -> dict[str, int]:
    """The place of each shop, by its key: the order in which Packs names them."""
    shops: dict[str, int] = {}
    for pack in shoot.packs:
        shops.setdefault(key(pack.shop), len(shops))
    return shops


def _to_buy_rows(
    purchase: Purchase, shoot: Shoot, filled: Collection[str], ahead: Ahead
) -> Iterator[Row]:
    for line in purchase.lines:
        said = notes(purchase, line, shoot, ahead=ahead, paid=line.paid)
        yield _pack_row(purchase, line, shoot, filled, "; ".join(filter(None, said)))
    if purchase.short:
        unread = not purchase.offers and shoot.left_out_on("Packs", name=purchase.name)
        why = PACK_UNREAD if unread else "no pack on the sheet Packs covers it"
        note = f"still missing: {purchase.text(purchase.short)}; {why}"
        yield _row_without_pack(purchase, shoot, note, filled)
    elif purchase.need.unknown and not purchase.lines and not _never_bought(purchase, shoot):
        yield _row_without_pack(purchase, shoot, "", filled)


def _never_bought(purchase: Purchase, shoot: Shoot) -> bool:
    """Whether it is a dish, or there is plenty of it on hand."""
    name = purchase.need.ingredient.name
    plenty = any(lot.plenty and key(lot.ingredient) == key(name) for lot in shoot.lots)
    return plenty or shoot.is_dish(name)


def _pack_row(
    purchase: Purchase,
    bought: Bought,
    shoot: Shoot,
    filled: Collection[str],
    note: str,
) -> Row:
    """One pack to buy, amounts in the unit of the pack."""
    pack = bought.pack
    unit = pack.unit_amount.unit
    in_unit = bought.brings / bought.count / pack.unit_amount.magnitude
    ingredient = purchase.need.ingredient
    return TO_BUY.row(
        pack,
        ingredient,
        trip=bought.trip,
        ingredient=ingredient.name,
        packs=bought.count,
        pack_amount=pack.unit_amount.magnitude,
        unit=unit.name,
        price_each=exact_price(pack, shoot.settings),
        cost=bought.paid.cost,
        needed=purchase.wanted_with_stock / in_unit,
        from_on_hand=purchase.taken.total / in_unit,
        bought=bought.brings / in_unit,
        left_over=_left_over(purchase) / in_unit,
        buy_by=bought.buy_by,
        allergens=allergens_text(ingredient, filled),
        substitute=substitute_text(ingredient, shoot),
        note=note,
    )


def _row_without_pack(purchase: Purchase, shoot: Shoot, note: str, filled: Collection[str]) -> Row:
    """What no pack covers, or nobody knows the amount of, stays on the list."""
    size, ingredient = purchase.need.unit.size, purchase.need.ingredient
    return TO_BUY.row(
        ingredient,
        shop=purchase.offers[0].row.shop if purchase.offers else "",
        trip=first_trip(purchase, shoot),
        ingredient=ingredient.name,
        unit=purchase.need.unit.name,
        needed=purchase.wanted_with_stock / size or None,
        from_on_hand=purchase.taken.total / size,
        bought=ZERO,
        buy_by=first_trip(purchase, shoot),
        allergens=allergens_text(ingredient, filled),
        substitute=substitute_text(ingredient, shoot),
        note="; ".join(part for part in (note, unknown_words(purchase)) if part),
    )


def _left_over(purchase: Purchase) -> Fraction:
    """Packs and good stock less use. [base unit]"""
    left = most(ZERO, purchase.bought - purchase.wanted) if purchase.lines else ZERO
    return left + purchase.taken.left


def _left_keeps(purchase: Purchase, shoot: Shoot) -> Fraction:
    """What is left and within its life on the next shoot day, stock included. [base unit]"""
    left, keeps = purchase.left, keeping(purchase.need, shoot)
    kept = (left.sealed if keeps.sealed else ZERO) + (left.rest if keeps.opened else ZERO)
    return kept + stock_that_keeps(purchase.need, purchase.taken, shoot)


def needs(books: Books) -> Table:
    """Every ingredient from ready to use to bought, used and left."""
    pairs = zip(books.purchases, books.values, strict=True)
    return NEEDS.table([_need_row(p, v, books.shoot) for p, v in pairs])


def _need_row(purchase: Purchase, values: Values, shoot: Shoot) -> Row:
    """One ingredient, amounts in the unit recipes measure it in where that is a plain one."""
    need = purchase.need
    alike = need.trimmed_unit.dimension is need.unit.dimension
    unit = need.trimmed_unit if alike and need.trimmed_unit.name in PLAIN_UNITS else need.unit
    counted = need.unit.dimension is Dimension.COUNT
    trim_yield = need.ingredient.trim_yield
    nothing_known = bool(need.unknown) and not need.total
    unread = shoot.left_out_on("Ingredients", name=need.ingredient.name)
    trimmed_part = trim_yield or (None if counted or unread else Fraction(1))

    def known(amount: Fraction, size: Fraction = unit.size) -> Fraction | None:
        return None if nothing_known else amount / size

    return NEEDS.row(
        ingredient=need.ingredient.name,
        trimmed_need=known(need.trimmed, need.trimmed_unit.size),
        trimmed_unit=need.trimmed_unit.name,
        unit=unit.name,
        trim_yield=trimmed_part and 100 * trimmed_part,
        as_bought_need=known(need.total),
        spoilage_allowance=known(purchase.allowance),
        on_hand_used=known(purchase.taken.total),
        net_need=known(purchase.net),
        bought=known(purchase.bought),
        left_over=known(_left_over(purchase)),
        left_keeps=known(_left_keeps(purchase, shoot)),
        used_value=None if values.used_unknown else values.used,
        bought_value=None if values.bought_unknown else values.bought,
        left_value=None if values.used_missing or values.bought_missing else values.left,
    )


WHOLE_JOB = "Whole job"
"""Stands for all episodes together where they have a budget of their own."""


def food_cost(books: Books) -> Table:
    """Whose part of the money it is; an episode with a budget, and the job, have their own rows."""
    rows: list[Row] = []
    settings, totals = books.shoot.settings, books.totals
    of_episode = by_episode(books.shares, totals)
    for episode in books.shoot.episodes:
        cost = of_episode.get(episode.name, NO_COST)
        if episode.budget is not None and cost.shares:
            rows.append(_whole(episode.name, cost, episode.budget, settings))
        rows.extend(
            FOOD_COST.row(
                episode=share.episode,
                dish=share.dish,
                purpose=share.purpose,
                used_value=None if share.used_unknown else share.used,
                share_of_bought=None if share.bought_unknown else share.bought,
                share_of_visits=share.visits,
            )
            for share in cost.shares
        )
    if settings.budget is not None and rows:
        job = EpisodeCost(totals.used, totals.bought, totals.visits, ())
        rows.append(_whole(WHOLE_JOB, job, settings.budget, settings))
    return FOOD_COST.table(rows)


def _whole(name: str, cost: EpisodeCost, budget: Decimal, settings: Settings) -> Row:
    """The row of an episode, or of the job, with its budget and what is over it."""
    return FOOD_COST.row(
        episode=name,
        used_value=cost.used,
        share_of_bought=cost.bought,
        share_of_visits=cost.visits,
        budget=budget,
        over=excess(cost.bought, budget, money_digits(settings)),
    )


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


def list_lines(
    books: Books, filled: Collection[str] = (), ahead: Ahead = NOTHING_AHEAD
) -> list[ListLine]:
    """What to buy, by day, by shop in the order of Packs, then by section, then by recipe.

    Parameters
    ----------
    books : Books
        Of the shoot.
    filled, ahead
        As in :func:`to_buy`.
    """
    shops, shoot = _shop_order(books.shoot), books.shoot
    lines = [one for each in books.purchases for one in _lines(each, shoot, filled, ahead)]

    def order(line: ListLine) -> tuple[bool, tuple[date, int, str]]:
        trip = None if line.lacking else line.trip
        return bool(line.lacking), _place(shops, trip, line.shop, line.section)

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
    over = _left_over(purchase)
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
            notes=tuple(filter(None, notes(purchase, bought, shoot, ahead=ahead))),
        )
    idle = not purchase.lines and not _never_bought(purchase, shoot)
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


def buy_words(bought: Bought, measures: Measures) -> str:
    """Packs with what is in each; of loose goods the whole amount."""
    pack = bought.pack
    if pack.loose_step is not None:
        return amount_words(pack.loose_step * bought.count, measures)
    one = amount_words(pack.amount, measures)
    if one == "1":
        return str(bought.count)
    return one if bought.count == 1 else f"{bought.count} x {one}"


def _shelf_price(pack: Pack, shoot: Shoot) -> str:
    """The price as it is on the shelf, for the pack or for what loose goods are priced by."""
    if pack.price is None or pack.supplied:
        return ""
    price = money_text(pack.price, shoot.settings.currency)
    if pack.loose_step is None:
        return price
    per = amount_words(pack.amount, shoot.settings.measures).removeprefix("1 ")
    return f"{price} / {per}" if per != "1" else price
