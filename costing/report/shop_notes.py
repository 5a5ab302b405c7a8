"""What else a person in the shop has to know of a row, and what one day leaves for another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.books import Books
from costing.buying.making import Making
from costing.buying.out_of_plan import out_of_plan
from costing.buying.purchases import Purchase
from costing.buying.till import Bought, TillLine
from costing.findings import choice_words, how_many
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import ZERO, Measures, money_text, most, untraced_choice
from costing.report.make_rows import NOTHING_AHEAD, Ahead, Cooked, used_ahead
from costing.report.shop_words import amount_words, base_words, day_words, quantity
from costing.shoot import Settings, Shoot

OTHERS = 3
"""So many other rows that buy of the same ingredient are named."""


def notes(
    purchase: Purchase,
    bought: Bought,
    shoot: Shoot,
    *,
    ahead: Ahead = NOTHING_AHEAD,
    paid: TillLine | None = None,
) -> Iterator[str]:
    """What else a person in the shop has to know of a pack, each part by itself.

    ``ahead`` is what goes into dishes that are made for several days at once. With what is
    ``paid`` it says too what a list has a place for: what loose goods come to, what is for the
    times covered, that a price is unknown, and the tax that no price on the shelf has in it.
    """
    pack, measures = bought.pack, shoot.settings.measures
    if paid is not None and pack.loose_step is not None:
        yield f"{amount_words(pack.loose_step * bought.count, measures)} loose"
    others = [other for other in purchase.lines if _for_the_same(other, bought)]
    if others:
        named = [_part(other, bought.trip, measures) for other in others[:OTHERS]]
        named += [f"{len(others) - OTHERS} more"] * (len(others) > OTHERS)
        yield f"together with {choice_words(named, last='and')} for the whole need"
    if paid is not None and (more := more_words(purchase, bought, measures)):
        yield f"{more} more for the times covered"
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
    if len({other.trip for other in purchase.lines}) > 1:
        yield "needed and left over are of all its trips"
    yield _out_of_plan(purchase, bought, shoot)
    for left in of_line(purchase, bought, shoot, ahead):
        yield f'"{left.taker}" needs {left.amount} of what "{left.giver}" leaves'
    if bought is purchase.lines[0]:  # of all its rows together
        yield from _cut(purchase, shoot)
    yield unknown_words(purchase)
    yield pack.note


def more_words(purchase: Purchase, bought: Bought, measures: Measures) -> str:
    """What is there for the times covered beyond the likely ones; blank for nothing."""
    more = purchase.more_for(bought) / purchase.in_unit
    return quantity(more, purchase.need.unit.name, measures) if more > 0 else ""


def _out_of_plan(purchase: Purchase, bought: Bought, shoot: Shoot) -> str:
    """When to fetch what no planned trip serves."""
    found = out_of_plan(purchase, bought, shoot)
    if found is None:
        return ""
    keeps = found.life if found.before is not None else None
    days = "" if keeps is None else f"keeps {how_many(keeps, 'day')}, "
    return f"{days}needed on {found.needed}: buy {found.days}"


def _cut(purchase: Purchase, shoot: Shoot) -> Iterator[str]:
    """What is cut ahead and left of an article's parts, and which of them nobody takes."""
    making, code = purchase.demand.making, purchase.demand.code
    if making is None:
        return
    measures = shoot.settings.measures
    yield from _cut_ahead(making, code, measures)
    served, used = making.at({}).served, set[str]()
    for number in making.takers(code):
        if making.activities[number].cut:
            used |= set(making.activities[number].gives)
    for part in sorted(used, key=list(served).index):
        if left := served[part].left:
            unit = making.needs.need(part).unit
            name = making.needs.need(part).ingredient.name
            yield f"{base_words(left, unit, measures)} {name} left over of it"
    rows = [row.name for row in shoot.parts if key(row.ingredient) == code]
    if used and (idle := [name for name in dict.fromkeys(rows) if key(name) not in used]):
        yield f"nobody takes its {choice_words(idle, last='and')}"


def _cut_ahead(making: Making, code: str, measures: Measures) -> Iterator[str]:
    """How much of an article is cut on a day for later ones too, where it must be cut by then."""
    made = making.at({})
    for number, episode in making.chosen.ahead:
        activity, times = making.activities[number], made.runs[number].get(episode, ZERO)
        if not times or not activity.cut or code not in activity.takes:
            continue
        unit = making.needs.need(code).unit
        kept = []
        for part in activity.gives:
            need = making.needs.need(part)
            for later, amount in made.served[part].given.get((number, episode), {}).items():
                if later != episode:
                    said = base_words(amount, need.unit, measures)
                    kept.append(f'{said} {need.ingredient.name} for "{later}"')
        if kept:
            cut = base_words(times * activity.takes[code][0], unit, measures)
            yield f'cut {cut} of it for "{episode}" and keep {", ".join(kept)}'


def _for_minimum(purchase: Purchase, bought: Bought, shoot: Shoot) -> str:
    """Why a pack is bought that nothing needs, or a dearer one than would do.

    Only a minimum spend asks for what costs more, where left-overs are not counted.
    """
    pack = bought.pack
    shop = next((one for one in shoot.shops if key(one.name) == key(pack.shop)), None)
    if shop is None or not shop.minimum_spend or pack.supplied or pack.price == 0:
        return ""
    if pack.price is None:
        return f"counts nothing towards the minimum spend of {shop.name} until its price is known"
    amount = bought.brings
    there, needed = purchase.bought, most(purchase.covered, purchase.wanted)
    if purchase.over_days:  # of other trips only what would do for the same days
        spare = _spare_for(purchase, bought)
        there, needed = amount + spare, sum(bought.serves.values(), ZERO)
    if there - amount / bought.count >= needed:
        return f"more than needed, for the minimum spend of {shop.name}"
    if _cheaper_would_do(purchase, bought, shoot):
        return f"dearer than other packs that would do, for the minimum spend of {shop.name}"
    return ""


def _spare_for(purchase: Purchase, bought: Bought) -> Fraction:
    """What other lines have left over that would do for the episodes of one. [base unit]"""
    spare = ZERO
    for other in purchase.lines:
        serves = [
            offer.way.serves
            for offer, _ in purchase.fetched
            if offer.pack is other.pack and offer.way and offer.way.trip == other.trip
        ]
        if other is not bought and all(bought.serves.keys() <= names for names in serves):
            spare += other.brings - sum(other.serves.values(), ZERO)
    return spare


def _cheaper_would_do(purchase: Purchase, bought: Bought, shoot: Shoot) -> bool:
    """Whether packs that add no visit and no minimum cover it, or its days, for less."""
    if shoot.settings.leftovers_counted or purchase.demand.made:
        return False
    if purchase.over_days:
        needed = sum(bought.serves.values(), ZERO) - _spare_for(purchase, bought)
        offers, paid = _of_other_trips(purchase, bought), [bought]
    else:
        needed = most(purchase.covered, purchase.wanted)
        offers, paid = _of_the_shops(purchase, shoot), list(purchase.lines)
    if not offers:
        return False
    least = cheapest_mixtures(untraced_choice(needed), offers)
    if not least.covered or not least.counts:
        return False
    each = {id(one.pack): one.cost for one in purchase.offers}
    return least.cost < sum((each[id(line.pack)] * line.count for line in paid), ZERO)


def _of_the_shops(purchase: Purchase, shoot: Shoot) -> list[Offer]:
    """What could be bought of an ingredient instead, where its packs all keep and thaw alike."""
    own = {key(line.pack.shop) for line in purchase.lines}
    asking = {
        key(shop.name)
        for shop in shoot.shops
        if (shop.visit_cost or shop.minimum_spend) and key(shop.name) not in own
    }
    ways = {_way(line.pack) for line in purchase.lines}
    offers = [
        one
        for one in purchase.offers
        if one.price is not None and one.shop not in asking and _way(one.row) in ways
    ]
    return list(map(_untraced, offers)) if len(ways) == 1 and len(offers) > 1 else []


def _of_other_trips(purchase: Purchase, bought: Bought) -> list[Offer]:
    """More of what is fetched on other trips and would do for all days of one line."""
    got = Counter[int]()
    for offer, count in purchase.fetched:
        got[id(offer.pack)] += count
    offers = [
        replace(one, at_most=None if one.at_most is None else one.at_most - got[id(one.pack)])
        for one, _ in purchase.fetched
        if one.price is not None and one.way and bought.serves.keys() <= one.way.serves
        if (one.pack, one.trip) != (bought.pack, bought.trip)
    ]
    return [_untraced(one) for one in offers if one.at_most != 0]


def _untraced(offer: Offer) -> Offer:
    return Offer(
        untraced_choice(offer.amount), untraced_choice(offer.cost), offer.at_most, offer.shop
    )


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


@dataclass(frozen=True, slots=True)
class PassedOn:
    """What an open pack still holds after one day and a later one uses.

    ``giver``, ``taker``: names of the episodes; the giver is the first for which the pack was
    opened.
    """

    ingredient: str
    giver: str
    taker: str
    amount: str


def passed_on(books: Books, ahead: Ahead = NOTHING_AHEAD) -> list[PassedOn]:
    """All that one day leaves for another, in the order of the purchases and of the days."""
    return [
        one
        for purchase in books.purchases
        for bought in purchase.lines
        for one in of_line(purchase, bought, books.shoot, ahead)
    ]


def kept_words(books: Books, cooked: Sequence[Cooked]) -> dict[tuple[str, str], str]:
    """By keys of episode and ingredient or dish what an earlier day leaves for it, in words.

    ``cooked``: the dishes that are made ahead, some for several days.
    """
    kept: dict[tuple[str, str], str] = {}
    for one in passed_on(books, used_ahead(cooked)):
        kept[key(one.taker), key(one.ingredient)] = f'{one.amount} of it left of "{one.giver}"'
    for made in cooked:
        giver = str(made.row["episode"])
        for shot in made.shots:
            if key(shot.episode) != key(giver):
                kept[key(shot.episode), key(str(made.row["dish"]))] = f'made for "{giver}" too'
    return kept


def of_line(
    purchase: Purchase, bought: Bought, shoot: Shoot, ahead: Ahead = NOTHING_AHEAD
) -> Iterator[PassedOn]:
    """What is left in open packs of one line for a later day; loose goods have no packs.

    What goes into a dish that is made for several days at once is used on the first of them.
    """
    if bought.pack.loose_step is not None:
        return
    unit, measures = purchase.need.unit, shoot.settings.measures
    name = purchase.need.ingredient.name
    for (giver, taker), part in bought.passed_on.items():
        if (key(name), taker) not in ahead:
            said = base_words(untraced_choice(part), unit, measures)
            yield PassedOn(name, giver, taker, said)
