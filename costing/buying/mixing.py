"""The cheapest packs of each article by itself, where nothing couples the articles.

Where one amount is to be covered the exact search finds them (``basket``); where days decide which
packs serve whom, a small programme of the one article, whose proposals are checked exactly. Of
equally good ones those are taken that together need the fewest shops.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from costing.buying.articles import Article, Packs, Question, Terms
from costing.buying.basket import Mixtures, cheapest_mixtures
from costing.buying.lives import allotted
from costing.buying.programme import Programme
from costing.buying.search import Search, gap_to
from costing.buying.solver import Deadline, Ending
from costing.quantities import ONE, ZERO

Needs = Mapping[str, Fraction]
"""To be bought of an article, by episode. [base unit]"""

TIE_WORK = 2_000_000
"""Ties of articles over days are settled with so much, about ten seconds, then the first of the
cheapest is taken: a season of hundreds of ingredients is not searched for its ties. Counted, so
that every computer buys the same. [column times branch]"""

LEAST_WORK = 2_000
"""What the ties of an article count for at least, however small. [column times branch]"""

SHOPS_COMBINED = 10
"""Of up to so many shops that could be spared every choice is tried, a thousand choices. [shop]"""

DAY_NODES = 2_000
"""Branches after which the search for one article over days is ended and its gap stated."""


@dataclass(frozen=True, slots=True)
class OverDays:
    """Packs of one article over days.

    Parameters
    ----------
    packs : tuple of int
        By offer.
    covered : bool
        Whether every day is served; otherwise as much as can be had.
    gap : Fraction
        How much cheaper the best could be; 0 when proven. [money]
    """

    packs: Packs
    covered: bool = True
    gap: Fraction = ZERO


class Mixing:
    """The cheapest packs of each article, looked up when they were asked for before."""

    def __init__(self, articles: Sequence[Article]) -> None:
        self._articles = articles
        self._known: dict[tuple[int, Fraction], Mixtures] = {}
        self._ties = Deadline(work=TIE_WORK)
        self._over_days: dict[tuple[int, tuple[tuple[str, Fraction], ...]], OverDays] = {}

    def tied(self, number: int, wanted: Fraction) -> Mixtures:
        """The best mixtures of one article of which one amount is to be covered."""
        at = number, wanted
        if at not in self._known:
            article = self._articles[number]
            found = cheapest_mixtures(wanted, article.offers)
            if not found.covered and article.unpriced is not None:
                given = giving_least_unpriced(article, {"": wanted}).offers
                found = cheapest_mixtures(wanted, given)
            self._known[at] = found
        return self._known[at]

    def over_days(self, number: int, needs: Needs) -> OverDays:
        """The best packs of one article whose days decide."""
        wanted = {name: amount for name, amount in needs.items() if amount > 0}
        at = number, tuple(sorted(wanted.items()))
        if at not in self._over_days:
            article = self._articles[number]
            found = cheapest_over_days(article, wanted, ties=self._ties)
            if not found.covered and article.unpriced is not None:
                given = giving_least_unpriced(article, wanted)
                found = cheapest_over_days(given, wanted, ties=self._ties)
            self._over_days[at] = found
        return self._over_days[at]

    def _found(self, needs: Sequence[Needs]) -> list[Mixtures | OverDays]:
        """The best of each article."""
        return [
            self.over_days(number, one) if article.dated else self.tied(number, _amount(one))
            for number, (article, one) in enumerate(zip(self._articles, needs, strict=True))
        ]

    def packs(self, needs: Sequence[Needs]) -> tuple[Packs, ...]:
        """Packs of all articles, together from as few shops as may be."""
        found = self._found(needs)
        dated = {n: one.packs for n, one in enumerate(found) if isinstance(one, OverDays)}
        tied = {n: one for n, one in enumerate(found) if isinstance(one, Mixtures)}
        visits = Terms(tuple(self._articles[n] for n in dated)).shops(list(dated.values()))
        rest = dict(zip(tied, packs_from_fewest_shops(list(tied.values()), visits), strict=True))
        return tuple((dated | rest)[number] for number in range(len(found)))

    def covered(self, needs: Sequence[Needs]) -> bool:
        """Whether the shops have enough of all articles."""
        return all(one.covered for one in self._found(needs))

    def gaps(self, needs: Sequence[Needs]) -> list[Fraction]:
        """For each article how far from the cheapest its packs may be. [money]"""
        return [one.gap for one in self._found(needs)]

    def added(self, number: int, needs: Needs, more: Needs) -> Fraction | None:
        """What it adds to the least cost of one article to want more of it. [money]

        Returns
        -------
        Fraction or None
            ``None`` when it cannot be covered, a price is unknown, or a least is not proven.
        """
        if self._articles[number].dated:
            days = [self.over_days(number, one) for one in (needs, more)]
            same = days[1].covered and days[0].packs == days[1].packs
            costs = [self._cost_over_days(number, one) for one in days]
        else:
            before, after = self.tied(number, _amount(needs)), self.tied(number, _amount(more))
            same = after.covered and before.first == after.first
            costs = [self._cost(number, tied) for tied in (before, after)]
        # the same packs do: nothing is added, even where their price is not known
        if same:
            return ZERO
        return None if costs[0] is None or costs[1] is None else costs[1] - costs[0]

    def _cost_over_days(self, number: int, found: OverDays) -> Fraction | None:
        article = self._articles[number]
        unknown = any(offer.price is None for offer, _ in article.taken(found.packs))
        return None if unknown or found.gap or not found.covered else article.paid(found.packs)

    def _cost(self, number: int, tied: Mixtures) -> Fraction | None:
        offers = self._articles[number].offers
        unknown = any(offers[at].price is None for several in tied.first for at in several)
        # other offers than the article's own are those given away for want of a price
        known = tied.covered and not tied.gap and tied.offers is offers and not unknown
        return tied.cost if known else None


def cheapest_over_days(article: Article, needs: Needs, *, ties: Deadline | None = None) -> OverDays:
    """The cheapest packs of one article that serve every episode on its day.

    Of equally cheap ones, where ties are settled, those with the least left over, then the fewest,
    then the earlier rows of the sheet and the later trips. Where not every day can be served, they
    serve as much as can be.

    Parameters
    ----------
    needs : mapping of str to Fraction
        To be bought, by episode. [base unit]
    ties : Deadline, optional
        Of settling ties, which is left where it is over; without one they are not settled.
    """
    if not needs:
        return OverDays((0,) * len(article.offers))
    question = Question({}, {}, {}, fixed={0: needs})
    search = Search(Programme(Terms((article,)), question))
    programme = search.programme
    prices = {(offer.amount, offer.cost) for offer in article.offers if offer.at_most != 0}
    alike = len(prices) == 1  # then the fewest packs are the cheapest, and leave the least
    found = search.least(
        programme.packs_then_rows() if alike else programme.cost(), nodes=DAY_NODES
    )
    if found.basket is None:
        return _as_much_as_can_be(article, question)
    best = found.basket
    cost = article.paid(best.packs[0])
    if found.ending is not Ending.PROVEN:
        # where packs were counted no bound of the cost is known: all of it may be too much
        return OverDays(best.packs[0], gap=cost if alike else gap_to(found.bound, cost))
    if alike or ties is None or ties.passed:
        return OverDays(best.packs[0])
    ties.spend(LEAST_WORK)
    search, held, value = Search(programme, deadline=ties), programme.cost(), cost
    for objective in (programme.left_value(), programme.packs_then_rows()):
        search.keep(held, value)
        better = search.least(objective, nodes=DAY_NODES)
        if (other := better.proven) is None:
            break
        if article.paid(other.packs[0]) == cost:
            best = other
        held, value = objective, programme.value(objective, best.packs)
    return OverDays(best.packs[0])


def giving_least_unpriced(article: Article, needs: Needs, missing: Fraction = ZERO) -> Article:
    """The article with as little of its packs without a price for the taking as serves its needs.

    They fill what the priced ones are too few for: an unknown price must never look like the
    cheapest. Where something else stands in the way of those, all are for the taking.

    Parameters
    ----------
    article : Article
        Of which packs without a price may be held back.
    needs : mapping
        To be bought, by episode. [base unit]
    missing : Fraction
        What the priced packs lack at least, for minimum spends too. [base unit]
    """
    every = article.released
    # how much is taken without a price is to be least, and compared as a cost is
    held = [replace(o, price=o.amount if o.price is None else ZERO) for o in every.offers]
    if article.dated:
        days = cheapest_over_days(replace(every, offers=tuple(held)), needs)
        packs = days.packs if days.covered else ()
    else:
        priced = sum((one.amount * (one.at_most or 0) for one in held if not one.cost), ZERO)
        closed = [one if one.cost else replace(one, at_most=0) for one in held]
        tied = cheapest_mixtures(max(missing, _amount(needs) - priced), closed)
        packs = packs_from_fewest_shops([tied])[0] if tied.covered else ()
    taken = Counter(dict.fromkeys(article.rows, 0))
    for row, count in zip(article.rows, packs, strict=False):
        taken[row] += count
    offers = tuple(
        replace(one, at_most=max(filter(None, (one.at_most, taken[row])), default=0))
        if one.price is None
        else one
        for row, one in zip(article.rows, article.offers, strict=True)
    )
    return every if offers == article.offers else replace(article, offers=offers)


def lots_saved(article: Article, as_bought: Needs) -> tuple[Needs, ...]:
    """For each lot what is to be saved of it for which episode, where that spares packs.

    Lots go to the first day that can use them. Where days decide which packs serve whom, or where
    what is bought for later days spoils, another day may be the better one.

    ``as_bought``: needed, by episode. [base unit]

    Returns
    -------
    tuple of mapping of str to Fraction
        Empty where nothing is spared, or none that is proven. [base unit]
    """
    demand = article.demand
    needs = {n: a for n, a in as_bought.items() if a > 0}
    users = {article.days.get(name) for name in needs}
    bought = {n: amount for n, amount in demand.by_episode(as_bought).items() if amount > 0}
    if len(users) < 2 or not bought:
        return ()
    kept = {demand.kept[name] for name in needs}
    if article.dated and kept == {ONE}:
        saved, before = _lots_for_days(article, needs), cheapest_over_days(article, bought)
    elif not article.dated and len(kept) > 1:
        saved, before = _lots_for_what_spoils(article, needs), None
    else:
        return ()
    if not saved:
        return ()
    stock = replace(demand.stock, saved=saved)
    after = replace(demand, stock=stock).by_episode(as_bought)
    if before is None:
        costs = [cheapest_mixtures(_amount(one), article.offers) for one in (bought, after)]
        spares = costs[1].covered and (not costs[0].covered or costs[1].cost < costs[0].cost)
    else:
        found = cheapest_over_days(article, {n: a for n, a in after.items() if a > 0})
        less = article.paid(found.packs) < article.paid(before.packs)
        spares = found.covered and (less or not before.covered)
    return saved if spares else ()


def needs_alone(article: Article, as_bought: Needs) -> Needs:
    """To be bought of an article where its lots serve the days on which that spares most.

    ``as_bought``: needed, by episode. [base unit]
    """
    demand = article.demand
    if demand.stock.lots and not demand.made:
        plain = replace(demand, stock=replace(demand.stock, saved=()))
        saved = lots_saved(replace(article, demand=plain), as_bought)
        demand = replace(demand, stock=replace(demand.stock, saved=saved))
    return demand.by_episode(as_bought)


def _lots_for_days(article: Article, needs: Needs) -> tuple[Needs, ...]:
    """What is used of each lot beside the cheapest packs, which are used before lots are."""
    question = Question({}, {}, {}, fixed={0: needs}, saving=True)
    programme = Programme(Terms((article,)), question)
    answer = programme.model.minimise(programme.cost(), nodes=DAY_NODES)
    if not answer.values:
        return ()
    opened = article.opened(programme.basket(answer).packs[0])
    lots = article.demand.stock.as_packs(enough=_amount(needs))
    found = allotted([*opened, *lots], needs, article.days)
    return tuple(found.used[len(opened) :])


def _lots_for_what_spoils(article: Article, needs: Needs) -> tuple[Needs, ...]:
    """What is used of each lot if the days come first of whose food most spoils until then.

    What is good for a day is good for all earlier ones, so that the order of the days decides.
    """
    stock = article.demand.stock
    left, taken = [one.amount for one in stock.lots], dict.fromkeys(needs, ZERO)
    for user in sorted(stock.users, key=lambda one: article.demand.kept[one.name]):
        rest = ZERO if article.demand.plenty_for(user) else needs.get(user.name, ZERO)
        for number, one in enumerate(stock.lots):
            if one.good_for(user) and (part := min(rest, left[number])) > 0:
                taken[user.name] += part
                left[number], rest = left[number] - part, rest - part
    return stock.earliest_first(taken)


def _as_much_as_can_be(article: Article, question: Question) -> OverDays:
    """Packs that lack least, and cost least of those."""
    elastic = replace(question, elastic=True)
    best = Search(Programme(Terms((article,)), elastic)).least_lacking(nodes=DAY_NODES).basket
    return OverDays(best.packs[0] if best else (0,) * len(article.offers), covered=False)


def _amount(needs: Needs) -> Fraction:
    """What is to be bought over all episodes. [base unit]"""
    return max(ZERO, sum(needs.values(), ZERO))


def packs_from_fewest_shops(
    tied: Sequence[Mixtures], visited: Collection[str] = ()
) -> list[tuple[int, ...]]:
    """For each ingredient the packs to take, from as few shops as possible over all of them.

    ``visited``: shops that are gone to anyway.

    Returns
    -------
    list of tuple of int
        Packs by offer, one tuple for each ingredient. Where more than ten shops could be spared,
        shops are spared one by one, the last in the sheet first, until none can be.
    """
    every = frozenset(name for one in tied for name in one.shops)
    needed = frozenset(
        name for name in every if any(one.packs(every - {name}) is None for one in tied)
    )
    needed |= every & frozenset(visited)
    optional = [
        name
        for name in dict.fromkeys(name for one in tied for name in one.shops)
        if name not in needed
    ]
    # so many choices would take too long: shops are spared one after the other instead
    if len(optional) > SHOPS_COMBINED:
        optional = _none_to_spare(tied, needed, optional)
        needed, optional = needed | frozenset(optional), []
    # the smallest number of shops first: the first that is enough is the answer
    for size in range(len(optional) + 1):
        for more in combinations(optional, size):
            found = (one.packs(needed | frozenset(more)) for one in tied)
            chosen = [packs for packs in found if packs is not None]
            if len(chosen) == len(tied):
                return chosen
    raise ValueError("the mixtures take more than all shops together have")


def _none_to_spare(
    tied: Sequence[Mixtures], needed: frozenset[str], optional: list[str]
) -> list[str]:
    """Shops left when each that can be spared is, from the last to the first."""
    kept = list(optional)
    for name in reversed(optional):
        fewer = [other for other in kept if other != name]
        shops = needed | frozenset(fewer)
        if all(one.packs(shops) is not None for one in tied):
            kept = fewer
    return kept
