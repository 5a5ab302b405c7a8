"""Rows of To buy, Needs and Food cost."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

from costing.buying.books import Books
from costing.buying.left_over import keeping, stock_that_keeps
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.buying.shopping import Purchase
from costing.buying.storage import first_trip
from costing.buying.till import Bought, exact_price, money_digits
from costing.buying.values import Values
from costing.names import key
from costing.quantities import ZERO, Dimension, excess, most
from costing.report.layouts import FOOD_COST, NEEDS, TO_BUY
from costing.report.make_rows import NOTHING_AHEAD, Ahead
from costing.report.shop_notes import notes, unknown_words
from costing.report.shop_words import allergens_text, substitute_text
from costing.report.tables import Row, Table, Value
from costing.shoot import Settings, Shoot

PACK_UNREAD = "its pack cannot be read"

PLAIN_UNITS = frozenset({"g", "kg", "ml", "l", "oz", "lb", "each"})
"""Units of recipes in which what is bought reads well too; spoons and cups do not."""


def to_buy(books: Books, filled: Collection[str] = (), ahead: Ahead = NOTHING_AHEAD) -> Table:
    """What to buy, by day, by shop in the order of Packs, then by section, then by recipe.

    Parameters
    ----------
    filled : collection of str
        Keys of ingredients whose allergens were taken from tables.
    ahead : frozenset of (str, str)
        What is used before its day, as :func:`costing.report.make_rows.used_ahead` gives it.
    """
    shops, shoot = shop_order(books.shoot), books.shoot
    rows = [row for each in books.purchases for row in _to_buy_rows(each, shoot, filled, ahead)]
    rows.sort(key=lambda row: place_in_list(shops, row["trip"], row["shop"], row["section"]))
    return TO_BUY.table(rows)


def place_in_list(
    shops: Mapping[str, int], trip: Value, shop: Value, section: Value
) -> tuple[date, int, str]:
    """Where a row is: by its trip, its shop and its section."""
    day = trip if isinstance(trip, date) else date.max
    return day, shops.get(key(str(shop)), len(shops)), key(str(section))


def shop_order(shoot: Shoot) -> dict[str, int]:
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
    elif purchase.need.unknown and not purchase.lines and not never_bought(purchase, shoot):
        yield _row_without_pack(purchase, shoot, "", filled)


def never_bought(purchase: Purchase, shoot: Shoot) -> bool:
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
        left_over=left_over(purchase) / in_unit,
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


def left_over(purchase: Purchase) -> Fraction:
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
        left_over=known(left_over(purchase)),
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
