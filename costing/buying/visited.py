r"""Which shops to visit: the cheapest packs where visits cost and a shop asks for a minimum spend.

Every choice of the shops that couple the ingredients is tried. Once it is fixed, each ingredient
stands by itself and the exact search finds its packs, with one exception: at a shop with a minimum
spend all that is paid there has to reach it together. That is a subset sum over the coins of its
till, settled by dynamic programming: :math:`f_i(t)` is the least that the first :math:`i`
ingredients cost when their lines at that till come to :math:`t` coins, everything from the minimum
on counted alike,

.. math:: f_i(\min(t + c, T)) = \min_{(c, p)} f_{i-1}(t) + p

over the ways to buy ingredient :math:`i`, each with the coins :math:`c` of its rounded lines and
its exact cost :math:`p`.

Why what is found is the best: a basket visits one of the choices and is a way for each ingredient
within it; of two ways with as many coins the dearer is never needed; costs are whole numbers of a
common denominator, so nothing is rounded but what the till itself rounds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, product

from costing.buying.articles import Packs, Terms
from costing.buying.basket import Mixtures, Offer, Tied, cheapest_mixtures, packs_from_fewest_shops
from costing.buying.purchases import Counts
from costing.buying.solver import UNREACHED, least_costs
from costing.buying.till import least_net, money_digits, tax_rate
from costing.quantities import ONE, ZERO, round_money
from costing.shoot import Settings
from costing.shoot.times import Times

CAPS_COMBINED = 64
"""Combinations of caps up to which each is looked at. [combination]"""

SHOPS_TRIED = 6
"""Shops up to which all choices of them are tried: 64 choices. [shop]"""

WAYS = 20_000
"""Ways to buy one ingredient up to which they are all looked at. [way]"""

STEPS = 2 * 10**9
"""Ways times coins up to which the table is filled in, some seconds of work. [step]"""

TIED_STEPS = 10**6
"""The same for the ways among which ties are settled, in slower exact numbers. [step]"""

Rank = tuple[Fraction, Fraction, int, int]
"""Cost, value left over, packs, rows from above: the less the better."""


@dataclass(frozen=True, slots=True)
class Choice:
    """The cheapest packs over all choices of shops.

    Parameters
    ----------
    packs : tuple of tuple of int, optional
        By article and offer; ``None`` when it is proven that the shops have too little.
    gap : Fraction
        How much cheaper the best could be; 0 when proven. [money]
    """

    packs: tuple[Packs, ...] | None
    gap: Fraction = ZERO


@dataclass(frozen=True, slots=True)
class _PackWay:
    """One way to buy an ingredient: packs, coins at the till with the minimum, and its rank."""

    packs: Packs
    coins: int
    rank: Rank


class Visited:
    """The choice of shops for one market, for any needs.

    Parameters
    ----------
    terms : Terms
        Articles, visits and minimums.
    settings : Settings
        Of the tills.
    """

    def __init__(self, terms: Terms, settings: Settings) -> None:
        self._terms = terms
        self._settings = settings
        self._digits = money_digits(settings)
        offers = (offer for article in terms.articles for offer in article.offers)
        self._shops = tuple(dict.fromkeys(o.shop for o in offers if o.shop and o.at_most != 0))
        self._known: dict[tuple[int, tuple[int, ...], Fraction], Mixtures] = {}

    @property
    def suits(self) -> bool:
        """Whether the terms are of the kind that is settled here.

        One shop with a minimum at most, its goods taxed alike where tax comes on top, and
        leftovers not counted: they would make the cost of an ingredient no sum of its packs.
        """
        if self._terms.counted or len(self._shops) > SHOPS_TRIED:
            return False
        if len(self._terms.minimums) > 1:
            return False
        asking = [o for a in self._terms.articles for o in a.offers if self._paid_there(o)]
        if any(offer.pack is None for offer in asking):
            return False
        rates = {tax_rate(offer.row, self._settings) for offer in asking if offer.cost}
        return self._settings.prices_include_tax or len(rates) <= 1

    def _paid_there(self, offer: Offer) -> bool:
        """Whether an offer counts towards a minimum spend."""
        return offer.shop in self._terms.minimums and not offer.supplied

    def cheapest(self, wanted: Sequence[Fraction]) -> Choice | None:
        """The cheapest packs that cover what is wanted of each article.

        Parameters
        ----------
        wanted : sequence of Fraction
            One for each article. [base unit]

        Returns
        -------
        Choice or None
            ``None`` when there are too many ways to look at.
        """
        best: tuple[tuple[Fraction, Fraction, int, int, int], tuple[Packs, ...]] | None = None
        gap = ZERO
        for size in range(len(self._shops) + 1):
            for shops in combinations(self._shops, size):
                open_at = frozenset(shops)
                visits = sum((self._terms.visits.get(shop, ZERO) for shop in shops), ZERO)
                if best is not None and visits > best[0][0]:
                    continue
                candidates = [self._without_minimum(wanted, open_at)]
                if not open_at.isdisjoint(self._terms.minimums):
                    filled = self._reaching_minimum(wanted, open_at)
                    if filled is None:
                        return None
                    candidates.append(filled)
                for candidate in candidates:
                    gap = max(gap, candidate.gap)
                    if candidate.packs is None:
                        continue
                    rank = *self._terms.rank(candidate.packs), _rows(candidate.packs)
                    if best is None or (rank, candidate.packs) < best:
                        best = rank, candidate.packs
        return Choice(best[1] if best else None, gap)

    def cheapest_over(
        self,
        wants: Iterable[tuple[Counts, Sequence[Fraction]]],
        risk: Callable[[Counts], Fraction] | None = None,
    ) -> tuple[Counts, Choice] | None:
        """The best over several caps, each with what is wanted for it; ``None`` as above.

        With ``risk`` the one of the least risk among those that cost least, before other ties.
        """
        ranked, gap = [], ZERO
        for caps, wanted in wants:
            choice = self.cheapest(wanted)
            if choice is None:
                return None
            gap = max(gap, choice.gap)
            if choice.packs is not None:
                rank = self._terms.rank(choice.packs)
                at_risk = ZERO if risk is None else risk(caps)
                ranked.append(((rank[0], at_risk, rank), choice.packs, caps))
        if not ranked:
            return {}, Choice(None, gap)
        _, packs, caps = min(ranked, key=lambda one: one[:2])
        return caps, Choice(packs, gap)

    def _without_minimum(self, wanted: Sequence[Fraction], open_at: frozenset[str]) -> Choice:
        """Each article by itself, from these shops; nothing is paid where a minimum is asked."""
        tied, gap = [], ZERO
        for number, amount in enumerate(wanted):
            offers = self._elsewhere(number, open_at)
            mixtures = self._mixed(number, offers, amount)
            if not mixtures.covered:
                return Choice(None)
            tied.append(Tied(offers, mixtures))
            gap += mixtures.gap
        return Choice(tuple(packs_from_fewest_shops(tied)), gap)

    def _elsewhere(self, number: int, open_at: frozenset[str]) -> tuple[Offer, ...]:
        """The offers of an article, those closed that count towards a minimum or are not open."""
        return tuple(
            offer
            if not self._paid_there(offer) and (not offer.shop or offer.shop in open_at)
            else replace(offer, at_most=0)
            for offer in self._terms.articles[number].offers
        )

    def _mixed(self, number: int, offers: tuple[Offer, ...], amount: Fraction) -> Mixtures:
        """The cheapest mixtures of the open offers, looked up when they were asked for before."""
        known = number, tuple(n for n, o in enumerate(offers) if o.at_most != 0), amount
        if known not in self._known:
            self._known[known] = cheapest_mixtures(amount, offers)
        return self._known[known]

    def _reaching_minimum(
        self, wanted: Sequence[Fraction], open_at: frozenset[str]
    ) -> Choice | None:
        """Packs from these shops, with enough paid where a minimum is asked."""
        (minimum,) = self._terms.minimums.values()
        rates = [
            tax_rate(offer.row, self._settings)
            for article in self._terms.articles
            for offer in article.offers
            if self._paid_there(offer) and offer.cost
        ]
        coin = Fraction(1, 10**self._digits)
        goal = int(least_net(minimum, rates[0] if rates else ZERO, self._settings) / coin)
        every: list[list[_PackWay]] = []
        for number, amount in enumerate(wanted):
            ways = self._ways(number, amount, open_at, minimum, goal)
            if ways is None:
                return None
            if not ways:
                return Choice(None)
            every.append(ways)
        return _table(every, goal)

    def _ways(
        self,
        number: int,
        wanted: Fraction,
        open_at: frozenset[str],
        minimum: Fraction,
        goal: int,
    ) -> list[_PackWay] | None:
        """For each sum of coins at the till the best way to buy an article.

        Returns
        -------
        list of _PackWay or None
            None of them when it cannot be covered; ``None`` when there are too many.
        """
        article, ranges = self._terms.articles[number], []
        for offer in article.offers:
            upper = 0
            if self._paid_there(offer) and offer.shop in open_at and wanted > 0:
                upper = math.ceil(wanted / offer.amount)
                upper += math.ceil(minimum / offer.cost) if offer.cost else 0
                upper = upper if offer.at_most is None else min(upper, offer.at_most)
            ranges.append(range(upper + 1))
        if math.prod(map(len, ranges)) > WAYS:
            return None
        rest = self._elsewhere(number, open_at)
        best: dict[int, _PackWay] = {}
        for counts in product(*ranges):
            mixtures = self._mixed(number, rest, max(ZERO, wanted - article.supply(counts)))
            if not mixtures.covered:
                continue
            if mixtures.gap:
                return None
            filled = Tied(rest, mixtures).filled(frozenset(offer.shop for offer in rest))
            if filled is None:
                continue
            packs = tuple(one + more for one, more in zip(counts, filled, strict=True))
            coins = min(goal, sum(self._coins(article.offers[n], k) for n, k in enumerate(counts)))
            rank = article.paid(packs), article.value_left(packs), sum(packs), _rows([packs])
            if coins not in best or (rank, packs) < (best[coins].rank, best[coins].packs):
                best[coins] = _PackWay(packs, coins, rank)
        return list(best.values())

    def _coins(self, offer: Offer, count: int) -> int:
        """What the till takes for so many before tax on top, in coins, rounded as it rounds."""
        price = offer.row.unit_price if count else ZERO
        return int(round_money((price or ZERO) * count, self._digits).scaleb(self._digits))


def _rows(packs: Sequence[Packs]) -> int:
    """Rows from above, added over all packs."""
    return sum(number * count for counts in packs for number, count in enumerate(counts))


def _table(every: Sequence[Sequence[_PackWay]], goal: int) -> Choice | None:
    """The best way for each article so that the coins come to the goal together.

    Returns
    -------
    Choice or None
        ``None`` when the table would be too large.
    """
    if sum(map(len, every)) * (goal + 1) > STEPS:
        return None
    scale = math.lcm(*(way.rank[0].denominator for ways in every for way in ways))
    costs = [[int(way.rank[0] * scale) for way in ways] for ways in every]
    if sum(map(max, costs)) >= UNREACHED:
        return None
    coins = [[way.coins for way in ways] for ways in every]
    tables = least_costs(coins, costs, goal)
    if tables[-1][goal] >= UNREACHED:
        return Choice(None)
    return Choice(_walked(every, costs, tables, goal))


def _walked(
    every: Sequence[Sequence[_PackWay]],
    costs: Sequence[Sequence[int]],
    tables: Sequence[Sequence[int]],
    goal: int,
) -> tuple[Packs, ...]:
    """Back through the table along all ways that cost least, the best of them by rank.

    For each sum of coins that lies on such a way the best rank from there to the end is kept; with
    very many of them the first is taken, which costs as little but may not win the ties.
    """
    after: dict[int, tuple[Rank, tuple[Packs, ...]]] = {goal: ((ZERO, ZERO, 0, 0), ())}
    steps = 0
    for number in reversed(range(len(every))):
        before: dict[int, tuple[Rank, tuple[Packs, ...]]] = {}
        for coins, (rank, packs) in after.items():
            for way, price in zip(every[number], costs[number], strict=True):
                starts = _starts(coins, way.coins, goal)
                steps += len(starts)
                for start in starts:
                    if tables[number][start] + price != tables[number + 1][coins]:
                        continue
                    found = _added(rank, way.rank), (way.packs, *packs)
                    if start not in before or (steps < TIED_STEPS and found < before[start]):
                        before[start] = found
        after = before
    return min(after.values())[1]


def _starts(coins: int, more: int, goal: int) -> range:
    """Sums of coins from which ``more`` leads to ``coins``; the goal is reached from many."""
    if coins == goal:
        return range(max(0, goal - more), goal + 1)
    return range(coins - more, coins - more + 1) if coins >= more else range(0)


def _added(one: Rank, other: Rank) -> Rank:
    return (one[0] + other[0], one[1] + other[1], one[2] + other[2], one[3] + other[3])


def caps_reaching(
    times: Mapping[int, Times],
    values: Mapping[int, Sequence[int]],
    chance: Fraction,
    *,
    least: bool = True,
) -> list[Counts] | None:
    """Caps that reach a chance together.

    Parameters
    ----------
    times : mapping of int to Times
        The chances of each uncertain shot.
    values : mapping of int to sequence of int
        The caps it may have, rising, each with some chance. [time]
    chance : Fraction
        That every shot stays within its cap. [fraction]
    least : bool
        Only those of which none can be lowered.

    Returns
    -------
    list of caps or None
        ``None`` when there are too many to try.
    """
    if math.prod(map(len, values.values())) > CAPS_COMBINED:
        return None
    found: list[Counts] = []
    for choice in product(*values.values()):
        caps = dict(zip(values, choice, strict=True))
        within = {shot: times[shot].chance_within(cap) for shot, cap in caps.items()}
        whole = math.prod(within.values(), start=ONE)
        lower = (
            whole / within[shot] * times[shot].chance_within(values[shot][at - 1])
            for shot, cap in caps.items()
            if (at := values[shot].index(cap))
        )
        if whole >= chance and not (least and any(part >= chance for part in lower)):
            found.append(caps)
    return found
