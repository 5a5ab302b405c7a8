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

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from costing.buying import messages
from costing.buying.books import Books
from costing.buying.bought_units import pieces_instead
from costing.buying.choosing import all_at_hand
from costing.buying.lives import Days, OpenedPacks, allotted
from costing.buying.need import Needs
from costing.buying.purchases import Purchase
from costing.buying.shooting_day import Day
from costing.buying.shopping import Shopping
from costing.findings import Finding
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import key
from costing.quantities import ONE, ZERO
from costing.shoot import taken
from costing.shoot.copies import Forest
from costing.shoot.defaults import days_since
from costing.shoot.shots import Logged
from costing.shoot.weighings import trimmed_from

Drawn = tuple[str, str]
"""What shots draw, by the key of the ingredient or the made dish, and in which episode."""

Draws = Mapping[Drawn, Fraction]
"""How much of it. [base unit it is bought in]"""


@dataclass(frozen=True)
class Supply:
    """What is there of one ingredient.

    Parameters
    ----------
    purchase : Purchase
        Of the ingredient, made as if every number of times were uncertain.
    code : str
        Key of the ingredient.
    codes : tuple of str
        What shots draw that takes of it: itself, and dishes or parts that are made of it.
    bought : Fraction
        What was bought of it: by its receipts, or else as listed. [base unit]
    counted_at : Day, optional
        How far the day was when it was counted; ``None``: it is as bought and on hand.
    weights : mapping of str to Fraction, optional
        By episode, what one unit used then takes of the supply, for what spoils until then;
        ``None``: the dates of what is on hand decide.
    level : Fraction
        What there is for the whole shoot, the uses up to the count added. [base unit]
    packs : tuple of OpenedPacks
        What there is, where the days decide which packs serve whom.
    days : mapping of str to date or None
        The shoot dates of the episodes then.
    """

    purchase: Purchase
    code: str
    codes: tuple[str, ...]
    bought: Fraction
    counted_at: Day | None = None
    weights: Mapping[str, Fraction] | None = None
    level: Fraction = ZERO
    packs: tuple[OpenedPacks, ...] = ()
    days: Days = field(default_factory=dict)
    _known: dict[tuple[tuple[Drawn, Fraction], ...], dict[str, Fraction]] = field(
        default_factory=dict, repr=False, compare=False
    )

    @property
    def name(self) -> str:
        """Of the ingredient."""
        return self.purchase.need.ingredient.name

    @property
    def counted(self) -> bool:
        """Whether it was counted."""
        return self.counted_at is not None

    @property
    def is_sum(self) -> bool:
        """Whether what is used adds up to one number, whatever is made and whenever it is used."""
        return self.weights is not None and self.purchase.demand.making is None

    def weight(self, episode: str) -> Fraction:
        """At most so much more is lacking for one unit that an episode uses besides."""
        if self.weights is not None:
            return self.weights[episode]
        return 1 / self.purchase.demand.kept[episode]

    def used(self, draws: Draws) -> dict[str, Fraction]:
        """What is used of it by episode, what making and cutting take included. [base unit]"""
        demand = self.purchase.demand
        own = dict.fromkeys(demand.kept, ZERO)
        if not demand.made:
            own |= {
                episode: amount for (code, episode), amount in draws.items() if code == self.code
            }
        if demand.making is None:
            return own
        known = tuple(sorted(draws.items()))
        if known not in self._known:
            besides: dict[str, dict[str, Fraction]] = {}
            for (code, episode), amount in draws.items():
                if code != self.code or demand.made:
                    besides.setdefault(code, {})[episode] = amount
            nothing = dict.fromkeys(range(len(demand.forest.shots)), 0)
            making = demand.making.only(besides)
            taken = replace(demand, making=making).as_bought(nothing, {})
            self._known[known] = {e: own[e] + taken.get(e, ZERO) for e in own}
        return self._known[known]

    def lacking(self, draws: Draws) -> Fraction:
        """What is used, less what there is: above 0 it does not fit. [base unit]"""
        used = self.used(draws)
        if self.packs:
            net = self.purchase.demand.by_episode if not self.counted else dict
            return self._lacking_together(net(used))
        if self.weights is None:
            return self.purchase.demand.wanted(used) - self.level
        return sum((self.weights[e] * amount for e, amount in used.items()), ZERO) - self.level

    def _lacking_together(self, needs: Mapping[str, Fraction]) -> Fraction:
        """By how much some days together need more than all that serves any of them.

        Below 0 it is what the day with the least to spare could use besides: one day is taken to
        need more than there is, and what then lacks says how much of that it would get.
        """
        much = sum((one.amount for one in self.packs), ONE) + sum(needs.values(), ZERO)
        tried = ({**needs, name: amount + much} for name, amount in needs.items())
        return max(allotted(self.packs, more, self.days).missing - much for more in tried)


@dataclass(slots=True)
class Supplies:
    """What is there of everything that the shots take.

    Parameters
    ----------
    per_time : mapping of int to Draws
        What each time of a shot draws, by its place in the plan. [base unit]
    limited : tuple of Supply
        Of which it is known how much there is.
    unknown : dict of str to set of str
        Ingredients of which it is not, with the keys of what is drawn that takes of them.
    as_listed : list of str
        Names of those with receipts that are taken as listed: the days of their packs decide.
    findings : list of Finding
        Counts that cannot be used.
    """

    per_time: Mapping[int, Draws] = field(default_factory=dict)
    limited: tuple[Supply, ...] = ()
    unknown: dict[str, set[str]] = field(default_factory=dict)
    as_listed: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def draws(self, provided: Mapping[int, int]) -> dict[Drawn, Fraction]:
        """What is drawn when the steps of shots are used so often. [base unit]"""
        draws: dict[Drawn, Fraction] = {}
        for number, times in provided.items():
            for drawn, amount in self.per_time[number].items():
                part = times * amount
                draws[drawn] = draws[drawn] + part if drawn in draws else part
        return draws


def supplies_of(
    day: Day, books: Books, forest: Forest, brought: Mapping[str, Fraction] | None = None
) -> Supplies:
    """What is there of each ingredient.

    Parameters
    ----------
    day : Day
        How far it is.
    books : Books
        What is bought.
    forest : Forest
        Which shot continues with whose copies.
    brought : mapping of str to Fraction, optional
        What receipts say was bought, by the key of the ingredient; what is on none was bought as
        listed. [base unit]
    """
    brought = brought or {}
    open_ended = tuple(
        shot.model_copy(update={"fewest": shot.times, "most": shot.times})
        for shot in books.shoot.shots
    )
    needs = Needs(books.shoot.changed(shots=open_ended))
    made = all_at_hand(books.shopping.choice, books.purchases) if books.shopping else None
    shopping = Shopping(needs, chosen=books.purchases, made=made)
    found = Supplies(_per_time(needs))
    days = {one.name: one.shoot_date for one in books.shoot.episodes}
    counts: dict[str, list[Logged]] = {}
    for count in reversed(day.so_far.counts):  # of a name the last that can be used counts
        counts.setdefault(key(count.what), []).append(count)
    limited = []
    for purchase in shopping.purchases:
        code = key(purchase.need.ingredient.name)
        amount = purchase.bought if purchase.over_days else brought.get(code, purchase.bought)
        if brought.get(code, amount) != amount:
            found.as_listed.append(purchase.need.ingredient.name)
        supply = Supply(purchase, code, tuple(_takers(code, purchase)), amount)
        told = (_counted(day, supply, count, found, forest) for count in counts.get(code, ()))
        counted = _at_the_end(day, supply, found, forest) or next(filter(None, told), None)
        if counted is not None:
            limited.append(counted)
        elif purchase.demand.made:
            if purchase.offers:
                limited.append(replace(supply, level=supply.bought))
        elif code not in brought and _is_unknown(purchase, found.per_time, code):
            found.unknown[supply.name] = set(supply.codes)
        elif not _is_plenty(purchase):
            limited.append(_bought(supply, days))
    found.limited = tuple(limited)
    bought = {key(purchase.need.ingredient.name) for purchase in shopping.purchases}
    for code, (count, *_) in counts.items():
        if code not in bought:
            found.findings.append(taken.count_changes_nothing(count.at("What"), count.what))
    return found


def _per_time(needs: Needs) -> dict[int, dict[Drawn, Fraction]]:
    """What each time of each shot draws."""
    per_time: dict[int, dict[Drawn, Fraction]] = {n: {} for n in range(len(needs.shoot.shots))}
    for code, need in {**needs.by_ingredient, **needs.goods.made}.items():
        for number, ((episode, _, _), amount) in need.per_time.items():
            if amount:
                per_time[number][code, episode] = amount
    return per_time


def _takers(code: str, purchase: Purchase) -> Iterable[str]:
    """What takes of an ingredient: itself, and all that is made or cut of it."""
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


def _is_unknown(purchase: Purchase, per_time: Mapping[int, Draws], code: str) -> bool:
    """Whether nothing says how much there is; for what is on hand of all it goes into it is 0."""
    demand = purchase.demand
    if purchase.offers or demand.stock.lots:
        return False
    if demand.making is None or purchase.need.total or purchase.need.unknown:
        return True
    goods = {good for draws in per_time.values() for good, _ in draws}
    goods, stocks = goods.intersection(_takers(code, purchase)), demand.making.stocks
    return any(good not in stocks or not stocks[good].lots for good in goods)


def _is_plenty(purchase: Purchase) -> bool:
    """Whether there is plenty on hand for every episode that takes of it."""
    stock = purchase.demand.stock
    using = purchase.need.users
    users = [user for user in stock.users if user.name in using]
    return bool(users) and all(
        any(one.lot.plenty and one.good_for(user) for one in stock.lots) for user in users
    )


def _bought(supply: Supply, days: Days) -> Supply:
    """What was bought and is on hand, linear in what is used wherever it can be."""
    purchase = supply.purchase
    demand, bought = purchase.demand, supply.bought
    if purchase.over_days:
        return replace(supply, level=bought, packs=_opened(purchase), days=days)
    lots, users = demand.stock.lots, demand.stock.users
    rates = {demand.kept[episode] for episode in purchase.need.users}
    pool = all(not one.lot.plenty and all(map(one.good_for, users)) for one in lots)
    if not lots:
        weights = {episode: 1 / kept for episode, kept in demand.kept.items()}
        return replace(supply, weights=weights, level=bought)
    if pool and len(rates) == 1:
        (kept,) = rates
        level = sum((one.amount for one in lots), ZERO) + kept * bought
        return replace(supply, weights=dict.fromkeys(demand.kept, ONE), level=level)
    return replace(supply, level=bought)


def _opened(purchase: Purchase, after: date | None = None) -> tuple[OpenedPacks, ...]:
    """The packs as they are opened, or only those fetched after a day."""
    return tuple(
        offer.opened(count, frozenset())
        for offer, count in purchase.fetched
        if offer.way and (after is None or (offer.trip is not None and offer.trip > after))
    )


def _counted(
    day: Day, supply: Supply, count: Logged, supplies: Supplies, forest: Forest
) -> Supply | None:
    """What was counted, with what had been used by then; ``None`` where it cannot be converted."""
    need = supply.purchase.need
    if count.when is None or count.amount is None:
        return None
    try:
        there = bought_as(count.amount, need.unit.dimension, need.ingredient)
    except Unconvertible as fault:
        supplies.findings.append(
            messages.pack_unit_unclear(
                count.at("Amount"),
                need.ingredient.name,
                str(count.amount),
                need.unit.name,
                fault.heading,
                pieces_instead(fault),
            )
        )
        return None
    counted = _there(supply, there, day.at(count), supplies, forest)
    later = _opened(supply.purchase, count.when.date())
    if not later:
        return counted
    dates = {one.name: one.shoot_date for one in day.shoot.episodes}
    at_hand = OpenedPacks(counted.level, frozenset(dates))
    return replace(counted, weights=None, packs=(at_hand, *later), days=dates)


def _at_the_end(day: Day, supply: Supply, supplies: Supplies, forest: Forest) -> Supply | None:
    """What the sheet Counted says, which is later than every line of the log; ``None``: nothing.

    Rows that cannot be converted are told where the shoot is closed.
    """
    need, there = supply.purchase.need, []
    for row in day.shoot.counted:
        if key(row.ingredient) == supply.code and trimmed_from(row.note) is None:
            with suppress(Unconvertible):
                there.append(bought_as(row.amount, need.unit.dimension, need.ingredient))
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
    counted = replace(supply, counted_at=then, weights=weights)
    before = counted.lacking(counted_draws(supplies, then, forest, supply.codes))
    return replace(counted, level=there + before)


def counted_draws(
    supplies: Supplies, day: Day, forest: Forest, codes: Iterable[str]
) -> dict[Drawn, Fraction]:
    """What was drawn by then of some ingredients and made dishes. [base unit]"""
    numbers, wanted = day.numbers, set(codes)
    provided = {number: day.provided(forest, number, numbers) for number in supplies.per_time}
    return {one: amount for one, amount in supplies.draws(provided).items() if one[0] in wanted}
