"""Rows of To buy, Needs and Food cost."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.books import Books
from costing.buying.left_over import keeping, stock_that_keeps
from costing.buying.out_of_plan import out_of_plan
from costing.buying.sharing import NO_COST, EpisodeCost, by_episode
from costing.buying.shopping import Purchase
from costing.buying.storage import first_trip
from costing.buying.till import Bought, TillLine, exact_price, money_digits
from costing.buying.values import Values
from costing.findings import choice_words
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import ZERO, Dimension, Measures, excess, money_text, most, untraced_choice
from costing.report.layouts import FOOD_COST, NEEDS, TO_BUY
from costing.report.passed_on import of_line
from costing.report.shop_words import (
    allergens_text,
    amount_words,
    day_words,
    quantity,
    substitute_text,
)
from costing.report.tables import Row, Table
from costing.shoot import Settings, Shoot

PLAIN_UNITS = frozenset({"g", "kg", "ml", "l", "oz", "lb", "each"})
"""Units of recipes in which what is bought reads well too; spoons and cups do not."""

OTHERS = 3
"""So many other rows that buy of the same ingredient are named."""


def to_buy(books: Books, filled: Collection[str] = ()) -> Table:
    """What to buy, by day, by shop in the order of Packs, then by section, then by recipe.

    Parameters
    ----------
    books : Books
        Of the shoot.
    filled : collection of str
        Keys of ingredients whose allergens were taken from tables.
    """
    shops = shop_order(books.shoot)
    rows = [
        row for purchase in books.purchases for row in _to_buy_rows(purchase, books.shoot, filled)
    ]
    rows.sort(key=lambda row: _in_order(row, shops))
    return Table.of(TO_BUY, rows)


def _in_order(row: Row, shops: Mapping[str, int]) -> tuple[date, int, str]:
    """Where a row is: by its trip, its shop and its section."""
    trip = row["trip"]
    shop = shops.get(key(str(row["shop"])), len(shops))
    return trip if isinstance(trip, date) else date.max, shop, key(str(row["section"]))


def shop_order(shoot: Shoot) -> dict[str, int]:
    """The place of each shop, by its key: the order in which Packs names them."""
    shops: dict[str, int] = {}
    for pack in shoot.packs:
        shops.setdefault(key(pack.shop), len(shops))
    return shops


def _to_buy_rows(purchase: Purchase, shoot: Shoot, filled: Collection[str]) -> Iterator[Row]:
    for (bought, amount), paid in zip(purchase.lines, purchase.till, strict=True):
        yield _pack_row(purchase, bought, amount, paid, shoot, filled)
    if purchase.short:
        missing = purchase.text(purchase.short)
        note = f"still missing: {missing}; no pack on the sheet Packs covers it"
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
    amount: Fraction,
    paid: TillLine,
    shoot: Shoot,
    filled: Collection[str],
) -> Row:
    """One pack to buy, amounts in the unit of the pack."""
    pack = bought.pack
    unit = pack.unit_amount.unit
    in_unit = amount / bought.count / pack.unit_amount.magnitude
    ingredient = purchase.need.ingredient
    return TO_BUY.row(
        shop=pack.shop,
        trip=bought.trip,
        section=ingredient.section,
        ingredient=ingredient.name,
        packs=bought.count,
        pack_amount=pack.unit_amount.magnitude,
        unit=unit.name,
        price_each=exact_price(pack, shoot.settings),
        cost=paid.cost,
        needed=purchase.wanted_with_stock / in_unit,
        from_on_hand=purchase.taken.total / in_unit,
        bought=amount / in_unit,
        left_over=left_over(purchase) / in_unit,
        buy_by=bought.buy_by,
        allergens=allergens_text(ingredient, filled),
        substitute=substitute_text(ingredient, shoot),
        note="; ".join(part for part in notes(purchase, bought, shoot, paid=paid) if part),
    )


def _row_without_pack(purchase: Purchase, shoot: Shoot, note: str, filled: Collection[str]) -> Row:
    """What no pack covers, or nobody knows the amount of, stays on the list."""
    size, ingredient = purchase.need.unit.size, purchase.need.ingredient
    return TO_BUY.row(
        shop=purchase.offers[0].row.shop if purchase.offers else "",
        trip=first_trip(purchase, shoot),
        section=ingredient.section,
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


def notes(
    purchase: Purchase, bought: Bought, shoot: Shoot, *, paid: TillLine | None = None
) -> Iterator[str]:
    """What else a person in the shop has to know of a pack, each part by itself.

    With what is ``paid`` it says too what a list has columns and totals for: what loose goods come
    to, that a price is unknown, and the tax that no price on the shelf has in it.
    """
    pack, measures = bought.pack, shoot.settings.measures
    if paid is not None and pack.loose_step is not None:
        yield f"{amount_words(pack.loose_step * bought.count, measures)} loose"
    others = [other for other, _ in purchase.lines if _for_the_same(other, bought)]
    if others:
        named = [_part(other, bought.trip, measures) for other in others[:OTHERS]]
        named += [f"{len(others) - OTHERS} more"] * (len(others) > OTHERS)
        yield f"together with {choice_words(named, last='and')} for the whole need"
    if (more := purchase.more_for(bought) / purchase.in_unit) > 0:
        yield f"{quantity(more, purchase.need.unit.name, measures)} more for the times covered"
    beyond = (purchase.need.total - sum(purchase.need.used.values(), ZERO)) / purchase.in_unit
    if beyond:
        said = quantity(beyond, purchase.need.unit.name, measures)
        yield f"{said} more than is used, to pick from"
    yield _for_minimum(purchase, bought, shoot)
    if pack.supplied:
        yield "supplied, costs nothing"
    elif paid is not None and paid.cost is None:
        yield "price unknown"
    if paid is not None and paid.tax and not shoot.settings.prices_include_tax:
        yield _on_the_shelf(pack, shoot.settings) + f"{paid.tax} tax on top"
    yield _out_of_plan(purchase, bought, shoot)
    for left in of_line(purchase, bought, shoot):
        yield f"{left.giver} leaves {left.amount} of it for {left.taker}"
    yield from _cut(purchase, shoot)
    yield unknown_words(purchase)
    yield pack.note


def _out_of_plan(purchase: Purchase, bought: Bought, shoot: Shoot) -> str:
    """When to fetch what no planned trip serves."""
    found = out_of_plan(purchase, bought, shoot)
    if found is None:
        return ""
    keeps = found.life if found.before is not None else None
    days = "" if keeps is None else f"keeps {keeps} day{'' if keeps == 1 else 's'}, "
    return f"{days}needed on {found.needed}: buy {found.days}"


def _cut(purchase: Purchase, shoot: Shoot) -> Iterator[str]:
    """What is left of an article's parts, and which of them nobody takes."""
    making, code = purchase.demand.making, purchase.demand.code
    if making is None:
        return
    served, used = making.at({}).served, set[str]()
    for number in making.takers(code):
        if making.activities[number].cut:
            used |= set(making.activities[number].gives)
    for part in sorted(used, key=list(served).index):
        if left := served[part].left:
            unit = making.needs.need(part).unit
            name = making.needs.need(part).ingredient.name
            yield f"{quantity(left / unit.size, unit.name)} {name} left over of it"
    rows = [row.name for row in shoot.parts if key(row.ingredient) == code]
    if used and (idle := [name for name in dict.fromkeys(rows) if key(name) not in used]):
        yield f"nobody takes its {choice_words(idle, last='and')}"


def _for_minimum(purchase: Purchase, bought: Bought, shoot: Shoot) -> str:
    """Why a pack is bought that nothing needs, or a dearer one than would do.

    Only a minimum spend asks for what costs more, where left-overs are not counted.
    """
    pack = bought.pack
    shop = next((one for one in shoot.shops if key(one.name) == key(pack.shop)), None)
    if shop is None or not shop.minimum_spend or pack.supplied or not pack.price:
        return ""
    amount = next(amount for line, amount in purchase.lines if line is bought)
    there, needed = purchase.bought, most(purchase.covered, purchase.wanted)
    if purchase.over_days:  # of other trips only what would do for the same days
        spare = _spare_for(purchase, bought)
        there, needed = amount + spare, sum(bought.serves.values(), ZERO)
    if there - amount / bought.count >= needed:
        return f"more than needed, for the minimum spend of {shop.name}"
    if not purchase.over_days and _cheaper_would_do(purchase, shoot):
        return f"dearer than other packs that would do, for the minimum spend of {shop.name}"
    return ""


def _spare_for(purchase: Purchase, bought: Bought) -> Fraction:
    """What other lines have left over that would do for the episodes of one. [base unit]"""
    spare = ZERO
    for other, amount in purchase.lines:
        serves = [
            offer.way.serves
            for offer, _ in purchase.fetched
            if offer.pack is other.pack and offer.way and offer.way.trip == other.trip
        ]
        if other is not bought and all(bought.serves.keys() <= names for names in serves):
            spare += amount - sum(other.serves.values(), ZERO)
    return spare


def _cheaper_would_do(purchase: Purchase, shoot: Shoot) -> bool:
    """Whether packs like those bought, that add no visit and no minimum, cover it for less."""
    own = {key(line.pack.shop) for line, _ in purchase.lines}
    asking = {
        key(shop.name)
        for shop in shoot.shops
        if (shop.visit_cost or shop.minimum_spend) and key(shop.name) not in own
    }
    ways = {_way(line.pack) for line, _ in purchase.lines}
    offers = [
        Offer(untraced_choice(one.amount), untraced_choice(one.price), one.at_most, one.shop)
        for one in purchase.offers
        if one.price is not None and one.shop not in asking and _way(one.row) in ways
    ]
    counted = shoot.settings.leftovers_counted or purchase.demand.made
    if counted or len(ways) > 1 or len(offers) < 2:
        return False
    needed = untraced_choice(most(purchase.covered, purchase.wanted))
    least = cheapest_mixtures(needed, offers)
    if not least.covered or not least.counts:
        return False
    paid = {id(one.pack): one.cost for one in purchase.offers}
    return least.cost < sum((paid[id(line.pack)] * line.count for line, _ in purchase.lines), ZERO)


def _way(pack: Pack) -> tuple[object, ...]:
    """What decides on which days a pack will do."""
    return pack.state, pack.order_days or 0, pack.thaw_days or 0


def _for_the_same(other: Bought, bought: Bought) -> bool:
    """Whether another row is fetched on the same trip, or serves one of the same days."""
    same = other.trip == bought.trip or not bought.serves.keys().isdisjoint(other.serves)
    return other is not bought and same


def _part(bought: Bought, trip: date | None, measures: Measures) -> str:
    """Another row that buys of the same ingredient, on the same trip or on another."""
    shop = f" from {bought.pack.shop}" if bought.pack.shop else ""
    day = f" on {day_words(bought.trip)}" if bought.trip and bought.trip != trip else ""
    step = bought.pack.loose_step
    packs = f"{bought.count} x {bought.pack.unit_amount}"
    return (packs if step is None else amount_words(step * bought.count, measures)) + shop + day


def _on_the_shelf(pack: Pack, settings: Settings) -> str:
    """The price a person sees in the shop, on top of which tax comes."""
    if pack.price is None:
        return ""
    return f"on the shelf {money_text(pack.price, settings.currency)} for {pack.amount}, "


def unknown_words(purchase: Purchase) -> str:
    """What the need leaves out, in words; ``""`` when it is known."""
    if not purchase.need.unknown:
        return ""
    return "at least; not known: " + "; ".join(purchase.need.unknown)


def needs(books: Books) -> Table:
    """Every ingredient from ready to use to bought, used and left."""
    pairs = zip(books.purchases, books.values, strict=True)
    return Table.of(NEEDS, [_need_row(p, v, books.shoot) for p, v in pairs])


def _need_row(purchase: Purchase, values: Values, shoot: Shoot) -> Row:
    """One ingredient, amounts in the unit recipes measure it in where that is a plain one."""
    need = purchase.need
    alike = need.trimmed_unit.dimension is need.unit.dimension
    unit = need.trimmed_unit if alike and need.trimmed_unit.name in PLAIN_UNITS else need.unit
    counted = need.unit.dimension is Dimension.COUNT
    trim_yield = need.ingredient.trim_yield
    nothing_known = bool(need.unknown) and not need.total

    def known(amount: Fraction, size: Fraction = unit.size) -> Fraction | None:
        return None if nothing_known else amount / size

    return NEEDS.row(
        ingredient=need.ingredient.name,
        trimmed_need=known(need.trimmed, need.trimmed_unit.size),
        trimmed_unit=need.trimmed_unit.name,
        unit=unit.name,
        trim_yield=None if counted and trim_yield is None else 100 * (trim_yield or Fraction(1)),
        as_bought_need=known(need.total),
        spoilage_allowance=known(purchase.allowance),
        on_hand_used=known(purchase.taken.total),
        net_need=known(purchase.net),
        bought=known(purchase.bought),
        left_over=known(left_over(purchase)),
        left_keeps=known(_left_keeps(purchase, shoot)),
        used_value=None if values.used_missing and not values.used else values.used,
        bought_value=None if values.bought_missing and not values.bought else values.bought,
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
                used_value=share.used,
                share_of_bought=share.bought,
                share_of_visits=share.visits,
            )
            for share in cost.shares
        )
    if settings.budget is not None and rows:
        job = EpisodeCost(totals.used, totals.bought, totals.visits, ())
        rows.append(_whole(WHOLE_JOB, job, settings.budget, settings))
    return Table.of(FOOD_COST, rows)


def _whole(name: str, cost: EpisodeCost, budget: Decimal, settings: Settings) -> Row:
    """The row of an episode, or of the job, with its budget and what is over it."""
    return FOOD_COST.row(
        episode=name,
        used_value=cost.used,
        share_of_bought=cost.bought,
        share_of_visits=cost.visits,
        budget=budget,
        over=excess(cost.paid, budget, money_digits(settings)),
    )
