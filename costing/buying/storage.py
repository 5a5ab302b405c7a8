"""On which trips the packs of an ingredient may be fetched, and which shoot days they serve.

A pack can be fetched on each day its shop is open. Where a trip costs nothing, only the latest of
those that serve the same days is of use; a shoot day that no open day serves, because the food
does not keep so long or has no time to thaw, is given a trip of its own that nobody planned, and
that is reported. One trip for all is the plain case: then days decide nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from costing.buying.basket import Offer
from costing.buying.lives import (
    Days,
    Way,
    allotted,
    in_order,
    life_of,
    openings,
    unplanned,
    ways,
)
from costing.buying.purchases import Demand, Purchase
from costing.buying.till import Bought, visit_to
from costing.kitchen import Ingredient, Pack
from costing.names import key
from costing.quantities import ONE, ZERO, grouped_by, untraced_choice
from costing.shoot import Shoot
from costing.shoot.defaults import days_since


class SoundParts:
    """What is still sound on the day of each episode, worked out once for each rate."""

    def __init__(self, shoot: Shoot) -> None:
        bought = shoot.shopping_date
        self._days = {e.name: days_since(bought, e) for e in shoot.episodes}
        self._known: dict[Hashable, dict[str, Fraction]] = {}

    def by_episode(self, spoilage: Fraction) -> dict[str, Fraction]:
        """Part that is left, by episode. [fraction]"""
        rate = grouped_by(spoilage)
        if rate not in self._known:
            self._known[rate] = {
                episode: (1 - spoilage) ** days for episode, days in self._days.items()
            }
        return self._known[rate]


def days_of_use(demand: Demand, shoot: Shoot) -> dict[str, date | None]:
    """The shoot dates of the episodes that take of an ingredient, or may."""
    using = {*demand.need.used, *demand.need.users}
    if demand.making is not None:
        using |= set(demand.making.linear(demand.code))
    return {one.name: one.shoot_date for one in shoot.episodes if one.name in using}


def over_days(
    purchase: Purchase, shoot: Shoot, days: Days, asking: Collection[str]
) -> tuple[Offer, ...]:
    """The offers of an ingredient, each as often as there are ways to fetch and to open it.

    Parameters
    ----------
    purchase : Purchase
        With one offer for each row of Packs.
    asking : collection of str
        Keys of shops of which a visit costs something or that have a minimum spend: there any
        trip may be the best.
    """
    if not any(shoot.open_days(offer.row.shop) for offer in purchase.offers):
        return purchase.offers
    ingredient = purchase.need.ingredient
    spoils = bool(ingredient.spoilage)
    found: dict[int, list[Way]] = {}
    for number, offer in enumerate(purchase.offers):
        shop, life = offer.row.shop, life_of(offer.row, ingredient)
        eve = shoot.goes_the_day_before(shop)
        every = ways(life, shoot.open_days(shop), days, eve=eve)
        costs = key(shop) in asking
        found[number] = [one for one in every if not _needless(one, every, costs, spoils)]
    served = {name for its in found.values() for way in its for name in way.serves}
    for name in in_order(set(days) - served, days):
        day = days[name]
        if day is None or name in served:
            continue
        for number, offer in enumerate(purchase.offers):
            way = unplanned(life_of(offer.row, ingredient), day, days)
            found[number].append(way)
            served |= way.serves
    return tuple(
        one
        for number, offer in enumerate(purchase.offers)
        for one in _offered(offer, found[number], purchase.demand.kept, shoot, ingredient)
    )


def _needless(one: Way, every: Sequence[Way], costs: bool, spoils: bool) -> bool:
    """Whether another way is as good in all: it serves as many, and no later trip is lost."""
    if costs:  # any trip may be made anyway, so that each is of use
        return False
    for other in every:
        if one.trip is None or other.trip is None or other is one:
            continue
        later = other.trip > one.trip
        if spoils and not later:  # fetched earlier less of it is sound on the day
            continue
        if one.serves < other.serves or (one.serves == other.serves and later == bool(one.opening)):
            return True
    return False


def _offered(
    offer: Offer, its: Sequence[Way], kept: Mapping[str, Fraction], shoot: Shoot, of: Ingredient
) -> Iterator[Offer]:
    """An offer in each of its ways, the latest trip first; one that is never of use is closed."""
    if not its:
        yield replace(offer, at_most=0)
    for way in sorted(its, key=lambda one: (one.trip or date.min, one.opening or date.min))[::-1]:
        yield replace(
            offer,
            amount=offer.amount * sounder(way, kept, shoot, of.spoilage),
            shop=visit_to(key(offer.row.shop), way.trip),
            way=way,
        )


def sounder(way: Way, kept: Mapping[str, Fraction], shoot: Shoot, spoilage: Fraction) -> Fraction:
    """How much more of a pack is sound when it is fetched on its trip and not on the first day.

    ``kept`` counts from the first day of shopping. [fraction]
    """
    if not spoilage:
        return ONE
    spoilage = untraced_choice(spoilage)
    served = [one for one in shoot.episodes if one.name in way.serves]
    return min(
        ((1 - spoilage) ** days_since(way.trip, e) / untraced_choice(kept[e.name]) for e in served),
        default=ONE,
    )


def lines_of(fetched: Iterable[tuple[Offer, int]]) -> list[Bought]:
    """Packs as lines of the tills: one for each row of Packs and trip."""
    counted: dict[tuple[int, date | None], int] = {}
    rows: dict[int, Pack] = {}
    for offer, count in fetched:
        if count:
            line = id(offer.row), offer.trip
            rows[line[0]] = offer.row
            counted[line] = counted.get(line, 0) + count
    return [Bought(rows[row], count, trip) for (row, trip), count in counted.items()]


def with_lines(purchase: Purchase, fetched: Sequence[tuple[Offer, int]]) -> Purchase:
    """A purchase with packs on its lines: one for each row of Packs and trip.

    Parameters
    ----------
    purchase : Purchase
        Nothing bought yet.
    fetched : sequence of (Offer, int)
        How many packs of which offers, with their ways.
    """
    amounts = {id(offer.pack): offer.amount for offer in purchase.offers}
    order = {id(offer.pack): number for number, offer in enumerate(purchase.offers)}
    lines = sorted(lines_of(fetched), key=lambda one: (order[id(one.pack)], one.trip or date.min))
    return replace(
        purchase,
        fetched=tuple(fetched),
        lines=tuple(replace(one, brings=amounts[id(one.pack)] * one.count) for one in lines),
    )


def with_days(purchase: Purchase, shoot: Shoot) -> Purchase:
    """The same with the days the packs of each line are opened, whom they serve, and what lacks.

    Of what is fetched the packs that end first are used first.
    """
    days = shoot.shoot_dates
    needs = {name: untraced_choice(amount) for name, amount in purchase.by_episode.items()}
    packs = [offer.opened(count, frozenset(days)) for offer, count in purchase.fetched]
    found = allotted(packs, needs, days)
    amounts = {id(offer.pack): offer.amount for offer in purchase.offers}
    opened: dict[tuple[int, date | None], dict[date | None, int]] = {}
    serves: dict[tuple[int, date | None], dict[str, Fraction]] = {}
    passed: dict[tuple[int, date | None], dict[tuple[str, str], Fraction]] = {}
    amount_of: dict[str, Fraction] = {}
    for (offer, _), of_each in zip(purchase.fetched, found.used, strict=True):
        line = id(offer.pack), offer.trip
        share = amounts[line[0]] / offer.amount
        for name in in_order(of_each, days):
            real = of_each[name] * share
            of_line = serves.setdefault(line, {})
            of_line[name] = of_line.get(name, ZERO) + real
            amount_of[name] = amount_of.get(name, ZERO) + real
        of_packs = openings(untraced_choice(offer.amount), of_each, days)
        for day, count in of_packs.on.items():
            on = opened.setdefault(line, {})
            on[day] = on.get(day, 0) + count
        for giver, taker, amount in of_packs.passed:
            of_others = passed.setdefault(line, {})
            of_others[giver, taker] = of_others.get((giver, taker), ZERO) + amount * share
    lines = []
    for bought in purchase.lines:
        line = id(bought.pack), bought.trip
        opened_on = sorted(opened.get(line, {}).items(), key=lambda one: one[0] or date.max)
        of_line = serves.get(line, {})
        whose = {name: of_line[name] for name in in_order(of_line, days)}
        told = replace(
            bought, openings=tuple(opened_on), serves=whose, passed_on=passed.get(line, {})
        )
        lines.append(replace(told, buy_by=_last_that_does(told, shoot)))
    # what each episode was counted to lack by the rates of the first day, and really takes by those
    # of the trips
    ratios = {
        name: amount / (amount_of[name] + found.lacking.get(name, ZERO))
        for name, amount in needs.items()
        if amount_of.get(name)
    }
    fetched = tuple((replace(o, amount=amounts[id(o.pack)]), n) for o, n in purchase.fetched)
    dated = replace(purchase, lines=tuple(lines), short=found.missing, fetched=fetched)
    return dated.sounder(ratios)


def _last_that_does(bought: Bought, shoot: Shoot) -> date | None:
    """The last open day of its shop on which a line could be fetched and still be in time."""
    if bought.trip is None or bought.opened is None:
        return bought.trip
    eve = 1 if shoot.goes_the_day_before(bought.pack.shop) else 0
    latest = bought.opened - timedelta(days=max(eve, bought.pack.thaw_days or 0))
    open_days = shoot.open_days(bought.pack.shop)
    if bought.trip not in open_days:
        return max(bought.trip, latest)
    return max((day for day in open_days if bought.trip <= day <= latest), default=bought.trip)


def first_trip(purchase: Purchase, shoot: Shoot) -> date | None:
    """The trip of what is bought of it first; of what no pack covers the first open day."""
    trips = [line.trip for line in purchase.lines if line.trip is not None]
    return min(trips, default=shoot.shopping_date)
