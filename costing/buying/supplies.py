r"""What is there of each ingredient on the day: bought or counted, less what takes have used.

Of shot :math:`p`, taken :math:`n_p` times and spoiled :math:`s_p` times besides, the steps are
used :math:`D_p = \max(n_p, \sum_c D_c) + s_p` times, the sum over the shots that continue with its
copies: a spoiled copy continues nowhere. What is used of an ingredient, over the whole shoot, is
:math:`\sum_p a_p D_p` with :math:`a_p` what one time takes. It must not be above what was bought
and on hand; where it was counted, what is used after the count not above what was there.

Of a dish that is made, or of a part that an article is cut into, the shots draw that; what making
and cutting take for it, and what is bought ready, is worked out for all draws together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction

from costing.buying.books import Books
from costing.buying.bought_units import in_unit_bought
from costing.buying.choosing import MakingChoice, all_at_hand, same_ways
from costing.buying.counted_goods import (
    CountedGoods,
    Drawn,
    Draws,
    counted_dishes,
    goods_counted,
)
from costing.buying.lives import Days, OpenedPacks
from costing.buying.need import Needs
from costing.buying.on_hand import Stock, Taken
from costing.buying.purchases import Demand, Purchase
from costing.buying.shooting_day import Day
from costing.buying.shopping import Shopping
from costing.buying.supply import Supplies, Supply, counted_draws, looked_at
from costing.names import key, nearest
from costing.quantities import ONE, ZERO
from costing.shoot import taken
from costing.shoot.copies import Forest
from costing.shoot.defaults import days_since, shoot_day
from costing.shoot.episodes import Logged
from costing.shoot.weighings import trimmed_from

Receipted = Mapping[date | None, Fraction]
"""What receipts say was bought of an ingredient, by their dates. [base unit]"""


def supplies_of(
    day: Day,
    books: Books,
    forest: Forest,
    brought: Mapping[str, Receipted] | None = None,
) -> Supplies:
    """What is there of each ingredient.

    ``brought``: what receipts say was bought, by the key of the ingredient; what is on none was
    bought as listed. [base unit]
    """
    brought = brought or {}
    # as if every shot were uncertain: then the needs know what each time of each of them takes
    open_ended = tuple(
        shot.model_copy(update={"fewest": shot.times, "most": shot.times})
        for shot in books.shoot.shots
    )
    needs = Needs(books.shoot.changed(shots=open_ended), apart=counted_dishes(day))
    shopping = Shopping(needs, chosen=books.purchases, made=_choice(books, needs))
    found = Supplies(_per_time(needs))
    goods = found.goods = _goods(found, day, forest, shopping)
    days = {one.name: one.shoot_date for one in books.shoot.episodes}
    counts: dict[str, list[Logged]] = {}
    for count in reversed(day.so_far.counts):  # of a name the last that can be used counts
        counts.setdefault(key(count.what), []).append(count)
    limited = []
    for purchase in map(goods.serving, shopping.purchases):
        code = purchase.demand.code
        # which day's packs a receipt changed is not known: for days the list stands
        told_by = brought.get(code)
        paid_for = purchase.bought if told_by is None else max(ZERO, sum(told_by.values(), ZERO))
        amount = purchase.bought if purchase.over_days else paid_for
        if paid_for != amount:
            found.as_listed.append(purchase.name)
        went_in = goods.went_in.get(code, {})
        supply = replace(_supply(purchase, code, days), bought=amount, went_in=went_in)
        if _count_unread(day, supply.name):
            found.unread[supply.name] = set(supply.codes)
        counted = None
        if code not in goods.counts:
            told = (
                _counted(day, supply, count, found, forest, told_by)
                for count in counts.get(code, ())
            )
            counted = _at_the_end(day, supply, found, forest) or next(filter(None, told), None)
        if counted is not None:
            limited.append(counted)
        elif purchase.demand.made:
            if purchase.offers:
                packs = _opened(purchase) if purchase.over_days else ()
                limited.append(replace(supply, level=amount, packs=packs))
        elif code not in brought and _is_unknown(supply, found.per_time):
            found.unknown[supply.name] = set(supply.codes)
        elif not _is_plenty(purchase):
            limited.append(_bought(supply))
    found.limited = (*limited, *_not_made_anew(goods, limited))
    plenty = {  # of which there is enough however much is taken, on every day
        one.name
        for one in shopping.purchases
        if any(some.lot.plenty and some.last is None for some in one.demand.stock.lots)
    }
    found.unmeasured = {
        number: tuple(dict.fromkeys(name for name in needs.unmeasured(shot) if name not in plenty))
        for number, shot in enumerate(needs.shoot.shots)
        if needs.shoot.is_dish(shot.dish)
    }
    bought = {purchase.demand.code for purchase in shopping.purchases}
    for code, (count, *_) in counts.items():
        if code not in bought and goods.code_of(code) is None and code not in needs.goods.made:
            near = nearest(count.what, (purchase.name for purchase in shopping.purchases))
            if near or not books.shoot.left_out_on("Recipes", "Shoot plan"):
                place = count.at("What")
                found.findings.append(taken.count_changes_nothing(place, count.what, near))
    return found


def _count_unread(day: Day, name: str) -> bool:
    """Whether a count cannot be read, and none below it in the log that can be takes its place."""
    left_out = [one for one in day.shoot.left_out if key(one.name) == key(name)]
    if any(one.sheet == "Counted" for one in left_out):
        return True
    read = [one.row.number or 0 for one in day.so_far.counts if key(one.what) == key(name)]
    unread = [one.place.row or 0 for one in left_out if one.sheet == "Day log"]
    return bool(unread) and max(unread) > max(read, default=0)


def _supply(purchase: Purchase, code: str, days: Days) -> Supply:
    """What is on hand of an ingredient, by the days of the episodes, and nothing bought of it."""
    demand, lots = purchase.demand, tuple[OpenedPacks, ...]()
    users = demand.kept if demand.making is not None else purchase.need.users
    weights = {name: 1 / kept for name, kept in demand.kept.items() if name in users}
    # of what is made or cut, stock is served before anything is bought ready
    if demand.stock.lots and not demand.made:
        # whom plenty serves needs nothing, and of nothing that others could have
        weights |= {u.name: ZERO for u in demand.stock.users if demand.plenty_for(u)}
        lots = tuple(packs for _, packs in demand.stock.with_saved(enough=ZERO))
    return Supply(purchase, code, _codes(purchase), ZERO, None, weights, lots, days=days)


def _choice(books: Books, needs: Needs) -> MakingChoice | None:
    """What was chosen between making and buying ready, with all that the packs bring."""
    if not books.shopping:
        return None
    choice = all_at_hand(books.shopping.choice, books.purchases)
    before, after = books.shopping.needs.goods.activities, needs.goods.activities
    return replace(choice, chosen=same_ways(choice.chosen, before, after))


def _goods(found: Supplies, day: Day, forest: Forest, shopping: Shopping) -> CountedGoods:
    """What was counted of dishes and parts."""

    def drawn_by(then: Day) -> Draws:
        return counted_draws(found, then, forest)

    times = enumerate(shopping.shoot.shots)
    most = {number: max(shot.times, day.taken(number)) for number, shot in times}
    planned = found.draws(day.provided(forest, found.per_time, most))
    return goods_counted(day, shopping.making, drawn_by, planned, found.findings)


def _not_made_anew(goods: CountedGoods, limited: Iterable[Supply]) -> Iterator[Supply]:
    """Goods that were counted, and of nothing that goes into them it is known how much there is."""
    made_of = {code for one in limited for code in one.codes if not one.purchase.demand.made}
    for code, count in goods.counts.items():
        if code not in made_of and goods.making is not None:
            need, making = goods.making.needs.need(code), goods.making
            kept = {one.name: ONE for one in making.episodes}
            demand = Demand(need, Stock(), kept, making.needs.forest, making, code)
            purchase = Purchase(demand, Taken())
            there = count.there + goods.drawn[code]
            codes = _codes(purchase)
            yield Supply(purchase, code, codes, ZERO, weights=kept, level=there, is_good=True)


def _per_time(needs: Needs) -> dict[int, dict[Drawn, Fraction]]:
    """What each time of each shot draws."""
    per_time: dict[int, dict[Drawn, Fraction]] = {n: {} for n in range(len(needs.shoot.shots))}
    for code, need in {**needs.by_ingredient, **needs.goods.made}.items():
        for number, ((episode, _, _), amount) in need.per_time.items():
            if amount:
                per_time[number][code, episode] = amount
        for pick in need.picking.picks if need.picking and code in needs.goods.made else ():
            if pick.leaf.good_enough is None:
                place, draws = (looked_at(code), pick.share[0]), per_time[pick.shot]
                draws[place] = draws.get(place, ZERO) + pick.leaf.candidates * pick.amount
    return per_time


def _codes(purchase: Purchase) -> tuple[str, ...]:
    """What shots draw that takes of an ingredient, the pieces that are looked at too."""
    takers = tuple(_takers(purchase))
    return *takers, *map(looked_at, takers)


def _takers(purchase: Purchase) -> Iterable[str]:
    """What takes of an ingredient: itself, and all that is made or cut of it."""
    code = purchase.demand.code
    found, making = {code: None}, purchase.demand.making
    waiting = [code]
    while waiting and making is not None:
        of = waiting.pop()
        for number in making.takers(of):
            more = [good for good in making.activities[number].gives if good not in found]
            found.update(dict.fromkeys(more))
            waiting += more
    if making is not None and purchase.demand.made:  # goods that are served together
        for codes, _ in making.groups:
            if code in codes:
                found.update(dict.fromkeys(codes))
    return found


def _is_unknown(supply: Supply, per_time: Mapping[int, Draws]) -> bool:
    """Whether nothing says how much there is; for what is on hand of all it goes into it is 0."""
    purchase, demand = supply.purchase, supply.purchase.demand
    if purchase.offers or demand.stock.lots:
        return False
    if demand.making is None or purchase.need.total or purchase.need.unknown:
        return True
    goods = {good for draws in per_time.values() for good, _ in draws}
    goods, stocks = goods.intersection(_takers(purchase)), demand.making.stocks
    return any(good not in stocks or not stocks[good].lots for good in goods)


def _is_plenty(purchase: Purchase) -> bool:
    """Whether there is plenty on hand for every episode that takes of it."""
    stock = purchase.demand.stock
    using = purchase.need.users
    users = [user for user in stock.users if user.name in using]
    return bool(users) and all(
        any(one.lot.plenty and one.good_for(user) for one in stock.lots) for user in users
    )


def _bought(supply: Supply) -> Supply:
    """What was bought and is on hand, with what besides went into goods that were counted."""
    found = _of_the_list(supply)
    beyond = found.lacking({}) if supply.went_in else ZERO
    return found if beyond <= 0 else replace(found, level=found.level + beyond)


def _of_the_list(supply: Supply) -> Supply:
    """What was bought and is on hand, linear in what is used wherever it can be."""
    purchase = supply.purchase
    demand, bought = purchase.demand, supply.bought
    if purchase.over_days:
        return replace(supply, level=bought, packs=_opened(purchase))
    lots, users = demand.stock.lots, demand.stock.users
    rates = {demand.kept[episode] for episode in purchase.need.users}
    pool = all(not one.lot.plenty and all(map(one.good_for, users)) for one in lots)
    if lots and pool and len(rates) == 1:
        (kept,) = rates
        level = sum((one.amount for one in lots), ZERO) + kept * bought
        return replace(supply, weights=dict.fromkeys(supply.weights, ONE), lots=(), level=level)
    return replace(supply, level=bought)


def _opened(purchase: Purchase, after: date | None = None) -> tuple[OpenedPacks, ...]:
    """The packs as they are opened, or only those fetched after a day."""
    return tuple(
        offer.opened(count, frozenset())
        for offer, count in purchase.fetched
        if offer.way and (after is None or (offer.trip is not None and offer.trip > after))
    )


def _fetched_since(supply: Supply, on: date, told: Receipted | None) -> tuple[OpenedPacks, ...]:
    """The packs fetched after a day, by the dates of the receipts where each of them has one.

    Else by the trips of the list: where receipts have another sum, that is of those packs.
    """
    later, purchase = _opened(supply.purchase, on), supply.purchase
    dated = {} if purchase.over_days else {day: some for day, some in (told or {}).items() if day}
    if dated and len(dated) == len(told or {}):
        fetched = max(ZERO, sum((some for day, some in dated.items() if day > on), ZERO))
        later = (later or _opened(purchase)) if fetched else ()
    else:
        listed = sum((one.amount for one in later), ZERO)
        fetched = max(ZERO, supply.bought - (purchase.bought - listed))
    listed = sum((one.amount for one in later), ZERO)
    if not listed or fetched == listed:
        return later
    part = fetched / listed
    return tuple(replace(one, amount=one.amount * part) for one in later)


def _counted(
    day: Day,
    supply: Supply,
    count: Logged,
    supplies: Supplies,
    forest: Forest,
    told: Receipted | None,
) -> Supply | None:
    """What was counted, with what had been used by then; ``None`` where it cannot be converted."""
    if count.when is None or count.amount is None:
        return None
    need, place = supply.purchase.need, count.at("Amount")
    there = in_unit_bought(count.amount, need, place, supplies.findings)
    if there is None:
        return None
    counted = _there(supply, there, day.at(count), supplies, forest)
    later = _fetched_since(supply, shoot_day(count.when, day.shoot), told)
    if not later:
        return counted
    at_hand = OpenedPacks(counted.level, frozenset(supply.days))
    weights = dict.fromkeys(counted.weights, ONE)
    return replace(counted, weights=weights, packs=(at_hand, *later))


def _at_the_end(day: Day, supply: Supply, supplies: Supplies, forest: Forest) -> Supply | None:
    """What the sheet Counted says, which is later than every line of the log; ``None``: nothing.

    Rows that cannot be converted are told where the shoot is closed.
    """
    rows = [
        in_unit_bought(row.amount, supply.purchase.need, row.at("Amount"), [])
        for row in day.shoot.counted
        if key(row.ingredient) == supply.code and trimmed_from(row.note) is None
    ]
    there = [amount for amount in rows if amount is not None]
    if not there or supply.purchase.demand.made:
        return None
    return _there(supply, sum(there, ZERO), day, supplies, forest)


def _there(
    supply: Supply, there: Fraction, then: Day, supplies: Supplies, forest: Forest
) -> Supply:
    """What was there when it was counted, with what had been used by then."""
    weights = {}
    for episode in then.shoot.episodes:
        days = days_since(then.last, episode) if then.last and episode.shoot_date else 0
        weights[episode.name] = 1 / (1 - supply.purchase.need.ingredient.spoilage) ** days
    counted = replace(supply, counted_at=then, weights=weights, lots=())
    draws = counted_draws(supplies, then, forest, supply.codes)
    if not (supply.went_in and supplies.goods.counted_later(then.last)):
        return replace(counted, level=there + counted.lacking(draws))
    # what went into goods that were counted on a later day was taken of it since, if it was there
    before = replace(counted, went_in={}, _known={}).lacking(draws)
    return replace(counted, level=max(there + before, counted.lacking(draws)))
