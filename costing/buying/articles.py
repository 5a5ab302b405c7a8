"""Ingredients as a plan sees them, what it is to find of them, and the baskets it may choose."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from costing.buying.basket import Offer, Tied, cheapest_mixtures, packs_from_fewest_shops
from costing.buying.left_over import Brought, Keeping, left_of
from costing.buying.making import Making
from costing.buying.purchases import Counts, Demand
from costing.buying.serving import Chosen
from costing.quantities import ONE, ZERO
from costing.shoot.times import Times

NOTHING_KEEPS = Keeping(sealed=False, opened=False)
Packs = tuple[int, ...]
"""How many of each offer of one article."""


@dataclass(frozen=True)
class Article:
    """One ingredient that shops sell.

    Parameters
    ----------
    name : str
        In words.
    demand : Demand
        What must be bought for any numbers of times.
    offers : tuple of Offer
        In the order of the sheet; of those without a price there are none while others have one.
    planned : Fraction
        To be bought at the likeliest numbers of times. [base unit]
    keeping : Keeping
        Which of what is left over keeps.
    unpriced : tuple of Offer, optional
        What to take when the priced offers have too little: all of them, for nothing.
    """

    name: str
    demand: Demand
    offers: tuple[Offer, ...]
    planned: Fraction
    keeping: Keeping = NOTHING_KEEPS
    unpriced: tuple[Offer, ...] | None = None

    @cached_property
    def unit_price(self) -> Fraction:
        """The least that a unit costs. [money per base unit]"""
        prices = [offer.cost / offer.amount for offer in self.offers if offer.at_most != 0]
        return min(prices, default=ZERO)

    @cached_property
    def capacity(self) -> Fraction | None:
        """All that the shops have; ``None`` when one of them has no limit. [base unit]"""
        limits = [offer.at_most for offer in self.offers]
        if None in limits:
            return None
        return sum((o.amount * (o.at_most or 0) for o in self.offers), ZERO)

    def supply(self, packs: Packs) -> Fraction:
        """What packs bring. [base unit]"""
        pairs = zip(self.offers, packs, strict=True)
        return sum((offer.amount * count for offer, count in pairs if count), ZERO)

    def paid(self, packs: Packs) -> Fraction:
        """What packs cost, before any rounding. [money]"""
        pairs = zip(self.offers, packs, strict=True)
        return sum((offer.cost * count for offer, count in pairs if count), ZERO)

    def value_that_keeps(self, packs: Packs) -> Fraction:
        """What the leftovers that keep are worth at the likeliest numbers of times.

        Sealed packs at their price; what is open, when it keeps, at the least that a unit costs.
        [money]
        """
        if not self.keeping.sealed:
            return ZERO
        open_price = self.unit_price if self.keeping.opened else ZERO
        brought = [
            Brought(
                offer.amount, offer.cost - open_price * offer.amount, count, sealed=offer.sealed
            )
            for offer, count in zip(self.offers, packs, strict=True)
        ]
        left = left_of(brought, self.planned)
        return left.sealed_value + open_price * (left.sealed + left.rest)

    def value_left(self, packs: Packs) -> Fraction:
        """Packs less use at the likeliest numbers of times, at their average price. [money]"""
        supply = self.supply(packs)
        left = max(ZERO, supply - self.planned)
        return self.paid(packs) * left / supply if left else ZERO


@dataclass(frozen=True, slots=True)
class Basket:
    """What is bought, and how many times each uncertain shot is provided for.

    Parameters
    ----------
    caps : mapping of int to int
        By uncertain shot. [time]
    packs : tuple of tuple of int
        By article and offer.
    chosen : Chosen, optional
        What is made, bought ready and cut which way, where that was asked.
    """

    caps: Counts
    packs: tuple[Packs, ...]
    chosen: Chosen | None = None


@dataclass(frozen=True)
class Terms:
    """What baskets are compared by.

    Parameters
    ----------
    articles : tuple of Article
        In the order of the recipes.
    visits : mapping of str to Fraction
        What a visit to a shop costs. [money]
    minimums : mapping of str to Fraction
        The least that may be spent at a shop. [money]
    counted : Fraction
        Part of the value of leftovers that keep which is taken off. [fraction]
    making : Making, optional
        What is made and cut, where it takes of these articles or gives them.
    """

    articles: tuple[Article, ...]
    visits: Mapping[str, Fraction] = field(default_factory=dict)
    minimums: Mapping[str, Fraction] = field(default_factory=dict)
    counted: Fraction = ZERO
    making: Making | None = None

    @property
    def coupled(self) -> bool:
        """Whether the packs of an ingredient cannot be chosen by their prices alone."""
        return bool(self.visits or self.minimums or self.counted)

    def only(self, packs: Sequence[Packs]) -> Terms:
        """What uncertain shots take, with no other packs than these, and nothing to pay."""
        articles = tuple(
            replace(
                article,
                offers=tuple(
                    replace(offer, at_most=count)
                    for offer, count in zip(article.offers, counts, strict=True)
                ),
                unpriced=None,
            )
            for article, counts in zip(self.articles, packs, strict=True)
            if article.demand.shots
        )
        return Terms(articles)

    def shops(self, packs: Sequence[Packs]) -> list[str]:
        """Named shops that packs come from, each once."""
        names = (
            offer.shop
            for article, counts in zip(self.articles, packs, strict=True)
            for offer, count in zip(article.offers, counts, strict=True)
            if count and offer.shop
        )
        return list(dict.fromkeys(names))

    def pays(self, shop: str, packs: Sequence[Packs]) -> bool:
        """Whether anything is bought at a shop; what is supplied is not."""
        return any(
            count and offer.shop == shop and not offer.supplied
            for article, counts in zip(self.articles, packs, strict=True)
            for offer, count in zip(article.offers, counts, strict=True)
        )

    def visit_costs(self, packs: Sequence[Packs]) -> Fraction:
        """What the visits cost. [money]"""
        return sum((self.visits.get(shop, ZERO) for shop in self.shops(packs)), ZERO)

    def paid(self, packs: Sequence[Packs]) -> Fraction:
        """Packs and visits, before any rounding. [money]"""
        pairs = zip(self.articles, packs, strict=True)
        return sum((a.paid(counts) for a, counts in pairs), ZERO) + self.visit_costs(packs)

    def cost(self, packs: Sequence[Packs]) -> Fraction:
        """What is compared: what is paid, less the counted part of what keeps. [money]"""
        paid = self.paid(packs)
        if not self.counted:
            return paid
        pairs = zip(self.articles, packs, strict=True)
        return paid - self.counted * sum((a.value_that_keeps(counts) for a, counts in pairs), ZERO)

    def rank(self, packs: Sequence[Packs]) -> tuple[Fraction, Fraction, int, int]:
        """Cost, value left over, number of packs, number of shops: the less the better."""
        pairs = zip(self.articles, packs, strict=True)
        return (
            self.cost(packs),
            sum((a.value_left(counts) for a, counts in pairs), ZERO),
            sum(map(sum, packs)),
            len(self.shops(packs)),
        )


class Mixing:
    """The cheapest packs of each article for what is wanted, where nothing couples the articles.

    Parameters
    ----------
    articles : sequence of Article
        Whose packs.
    """

    def __init__(self, articles: Sequence[Article]) -> None:
        self._articles = articles
        self._known: dict[tuple[int, Fraction], Tied] = {}

    def tied(self, number: int, wanted: Fraction) -> Tied:
        """The best mixtures of one article, looked up when they were asked for before."""
        at = number, wanted
        if at not in self._known:
            article = self._articles[number]
            found = Tied(article.offers, cheapest_mixtures(wanted, article.offers))
            if not found.mixtures.covered and article.unpriced is not None:
                found = Tied(article.unpriced, cheapest_mixtures(wanted, article.unpriced))
            self._known[at] = found
        return self._known[at]

    def packs(self, wanted: Sequence[Fraction]) -> tuple[Packs, ...]:
        """Packs of all articles, together from as few shops as may be."""
        tied = [self.tied(number, amount) for number, amount in enumerate(wanted)]
        return tuple(packs_from_fewest_shops(tied))

    def gaps(self, wanted: Sequence[Fraction]) -> Iterator[Fraction]:
        """For each article how far from the cheapest its packs may be. [money]"""
        for number, amount in enumerate(wanted):
            yield self.tied(number, amount).mixtures.gap

    def added(self, number: int, wanted: Fraction, more: Fraction) -> Fraction | None:
        """What it adds to the least cost of one article to want more of it. [money]

        Returns
        -------
        Fraction or None
            ``None`` when it cannot be covered, a price is unknown, or a least is not proven.
        """
        before, after = self.tied(number, wanted), self.tied(number, more)
        if after.mixtures.covered and _taken(before) == _taken(after):
            return ZERO
        costs = [self._cost(number, tied) for tied in (before, after)]
        return None if costs[0] is None or costs[1] is None else costs[1] - costs[0]

    def _cost(self, number: int, tied: Tied) -> Fraction | None:
        article, mixtures = self._articles[number], tied.mixtures
        if not mixtures.covered or mixtures.gap or tied.offers is not article.offers:
            return None
        total = ZERO
        for kind, count in zip(mixtures.kinds, mixtures.counts[0], strict=True):
            if count and any(article.offers[number].price is None for number in kind.offers):
                return None
            total += article.offers[kind.offers[0]].cost * count
        return total


def _taken(tied: Tied) -> dict[tuple[int, ...], int]:
    """How many packs the first mixture takes of which offers."""
    mixtures = tied.mixtures
    counts = zip(mixtures.kinds, mixtures.counts[0], strict=True)
    return {kind.offers: count for kind, count in counts if count}


HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Question:
    """What a programme is to find.

    Parameters
    ----------
    values : mapping of int to sequence of int
        For each uncertain shot the caps it may have, rising. [time]
    times : mapping of int to Times
        The chances of each of them.
    planned : mapping of int to int
        The likeliest numbers, which the needs are made with. [time]
    chance : Fraction
        That all shots stay within their caps, at least; 0 asks for none. [fraction]
    more : mapping of int to mapping of str to Fraction
        What is needed besides, by article and episode. [base unit]
    slack : mapping of str to Fraction
        By how much rounding may lift the till of a shop above the exact prices. [money]
    elastic : bool
        Whether a part of what is wanted may be missing.
    forbidden : frozenset of int
        Activities that are not to be run.
    choosing : bool
        Whether it is to be found what is made, bought ready and cut which way; otherwise that is
        as the makings have chosen it.
    """

    values: Mapping[int, Sequence[int]]
    times: Mapping[int, Times]
    planned: Counts
    chance: Fraction = ZERO
    more: Mapping[int, Mapping[str, Fraction]] = field(default_factory=dict)
    slack: Mapping[str, Fraction] = field(default_factory=dict)
    elastic: bool = False
    forbidden: frozenset[int] = frozenset()
    choosing: bool = False

    def wanted(self, number: int, article: Article, caps: Counts) -> Fraction:
        """To be bought of an article for these caps, exact. [base unit]"""
        as_bought = article.demand.as_bought(caps, self.planned)
        for episode, amount in self.more.get(number, {}).items():
            as_bought[episode] = as_bought.get(episode, ZERO) + amount
        return max(ZERO, article.demand.wanted(as_bought))

    def chance_within(self, caps: Counts) -> Fraction:
        """That every shot stays within its cap. [fraction]"""
        return math.prod((self.times[p].chance_within(k) for p, k in caps.items()), start=ONE)


def log_of(chance: Fraction) -> Fraction:
    """Logarithm of a chance above 0, good to the last digit near 1 too."""
    return Fraction(math.log1p(-float(1 - chance)) if chance > HALF else math.log(chance))
