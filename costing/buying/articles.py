"""Ingredients as a plan sees them, what it is to find of them, and the baskets it may choose."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from costing.buying.basket import Offer
from costing.buying.left_over import Brought, Keeping, left_of
from costing.buying.lives import Days, OpenedPacks, allotted
from costing.buying.making import Making
from costing.buying.purchases import Counts, Demand
from costing.buying.serving import NOTHING_CHOSEN, Chosen
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
    offers : tuple of Offer
        In the order of the sheet; of those without a price there are none while others have one.
    planned : Fraction
        To be bought at the likeliest numbers of times. [base unit]
    unpriced : tuple of Offer, optional
        Where packs without a price are held back: all offers, with as many of those as there are.
    days : mapping of str to date or None
        The shoot date of each episode that may take of it.
    """

    name: str
    demand: Demand
    offers: tuple[Offer, ...]
    planned: Fraction
    keeping: Keeping = NOTHING_KEEPS
    unpriced: tuple[Offer, ...] | None = None
    days: Days = field(default_factory=dict)

    @property
    def released(self) -> Article:
        """The same with packs without a price for the taking."""
        if self.unpriced is None:
            return self
        return replace(self, offers=self.unpriced, unpriced=None)

    @property
    def held_back(self) -> Article:
        """The same without those packs, where making or cutting it may stand for them."""
        every = self.released
        if self.demand.making is None or all(one.price is not None for one in every.offers):
            return self
        offers = (replace(o, at_most=0) if o.price is None else o for o in every.offers)
        return replace(self, offers=tuple(offers), unpriced=every.offers)

    @cached_property
    def dated(self) -> bool:
        """Whether the days decide which packs serve whom; else one amount is to be covered."""
        limited = [id(one.pack) for one in self.offers if one.pack and one.at_most is not None]
        if len(set(limited)) < len(limited):
            return True  # one limit for all trips
        return any(not one.way.serves >= set(self.days) for one in self.offers if one.way)

    def opened(self, packs: Packs) -> list[OpenedPacks]:
        """The packs as they are opened, offer by offer."""
        everyone = frozenset(self.days)
        pairs = zip(self.offers, packs, strict=True)
        return [offer.opened(count, everyone) for offer, count in pairs]

    def lacking(self, packs: Packs, needs: Mapping[str, Fraction]) -> Fraction:
        """What packs do not cover of needs by episode. [base unit]"""
        if self.dated:
            return allotted(self.opened(packs), needs, self.days).missing
        return max(ZERO, sum(needs.values(), ZERO) - self.supply(packs))

    @cached_property
    def unit_price(self) -> Fraction:
        """The least that a unit costs. [money per base unit]"""
        prices = [offer.cost / offer.amount for offer in self.offers if offer.at_most != 0]
        return min(prices, default=ZERO)

    @cached_property
    def rows(self) -> tuple[int, ...]:
        """For each offer its row; one that is sold on several trips has one limit for all."""
        pairs = enumerate(offer.pack for offer in self.offers)
        return tuple(number if pack is None else id(pack) for number, pack in pairs)

    @cached_property
    def capacity(self) -> Fraction | None:
        """All that the shops have; ``None`` when one of them has no limit. [base unit]"""
        most: dict[int, Fraction] = {}
        for row, offer in zip(self.rows, self.offers, strict=True):
            if offer.at_most is None:
                return None
            most[row] = max(most.get(row, ZERO), offer.amount * offer.at_most)
        return sum(most.values(), ZERO)

    def taken(self, packs: Packs) -> Iterator[tuple[Offer, int]]:
        """The offers that are bought, and how many of each."""
        return ((offer, n) for offer, n in zip(self.offers, packs, strict=True) if n)

    def supply(self, packs: Packs) -> Fraction:
        """What packs bring. [base unit]"""
        return sum((offer.amount * count for offer, count in self.taken(packs)), ZERO)

    def paid(self, packs: Packs) -> Fraction:
        """What packs cost, before any rounding. [money]"""
        return sum((offer.cost * count for offer, count in self.taken(packs)), ZERO)

    def value_that_keeps(self, packs: Packs) -> Fraction:
        """What the leftovers that keep are worth at the likeliest numbers of times.

        Sealed packs at their price; what is open, when it keeps, at the least that a unit costs.
        [money]
        """
        if not self.keeping.sealed:
            return ZERO
        # all that is left is counted at the price of what is open at the end, so that of a sealed
        # pack only what it is worth above that goes into the choice of packs to open
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
    chosen : Chosen
        What is made, bought ready and cut which way, where that was asked.
    """

    caps: Counts
    packs: tuple[Packs, ...]
    chosen: Chosen = NOTHING_CHOSEN


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

    @cached_property
    def by_day(self) -> frozenset[str]:
        """Keys of the articles of which it matters on which day they are used."""
        return frozenset(
            one.demand.code
            for one in self.articles
            if one.dated or any(usable.last for usable in one.demand.stock.lots)
        )

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
                    replace(offer, at_most=count, pack=None)  # its trips have their own numbers
                    for offer, count in zip(article.offers, counts, strict=True)
                ),
                unpriced=None,
            )
            for article, counts in zip(self.articles, packs, strict=True)
            if article.demand.shots
        )
        return Terms(articles)

    def taken(self, packs: Sequence[Packs]) -> Iterator[tuple[Offer, int]]:
        """The offers of all articles that are bought, and how many of each."""
        for article, counts in zip(self.articles, packs, strict=True):
            yield from article.taken(counts)

    def shops(self, packs: Sequence[Packs]) -> list[str]:
        """Named shops that packs come from, each once."""
        return list(dict.fromkeys(offer.shop for offer, _ in self.taken(packs) if offer.shop))

    def pays(self, shop: str, packs: Sequence[Packs]) -> bool:
        """Whether anything is bought at a shop that its minimum spend asks for."""
        return any(offer.shop == shop and offer.asked for offer, _ in self.taken(packs))

    def visit_costs(self, packs: Sequence[Packs]) -> Fraction:
        """What the visits cost. [money]"""
        return sum((self.visits.get(shop, ZERO) for shop in self.shops(packs)), ZERO)

    def paid(self, packs: Sequence[Packs]) -> Fraction:
        """Packs and visits, before any rounding. [money]"""
        bought = sum((offer.cost * count for offer, count in self.taken(packs)), ZERO)
        return bought + self.visit_costs(packs)

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


HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Question:
    """What a programme is to find.

    Parameters
    ----------
    values : mapping of int to sequence of int
        For each uncertain shot the caps it may have, rising. [time]
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
    fixed : mapping of int to mapping of str to Fraction
        Of some articles what is to be bought, by episode, whatever the caps. [base unit]
    choosing : bool
        Whether it is to be found what is made, bought ready and cut which way; otherwise that is
        as the makings have chosen it.
    saving : bool
        Whether ``fixed`` has what is needed and not what is to be bought, and it is to be found
        which lots serve whom.
    """

    values: Mapping[int, Sequence[int]]
    times: Mapping[int, Times]
    planned: Counts
    chance: Fraction = ZERO
    more: Mapping[int, Mapping[str, Fraction]] = field(default_factory=dict)
    slack: Mapping[str, Fraction] = field(default_factory=dict)
    elastic: bool = False
    forbidden: frozenset[int] = frozenset()
    fixed: Mapping[int, Mapping[str, Fraction]] = field(default_factory=dict)
    choosing: bool = False
    saving: bool = False

    def as_bought(self, number: int, article: Article, caps: Counts) -> dict[str, Fraction]:
        """What is needed of an article for these caps, stock not taken off. [base unit]"""
        as_bought = article.demand.as_bought(caps, self.planned)
        for episode, amount in self.more.get(number, {}).items():
            as_bought[episode] = as_bought.get(episode, ZERO) + amount
        return as_bought

    def needs(self, number: int, article: Article, caps: Counts) -> dict[str, Fraction]:
        """To be bought of an article for these caps, exact, by episode. [base unit]"""
        if number in self.fixed:
            return dict(self.fixed[number])
        return article.demand.by_episode(self.as_bought(number, article, caps))

    def least(self, number: int, article: Article) -> Fraction:
        """To be bought of an article whatever the caps, as far as it is known. [base unit]"""
        if self.elastic or self.choosing or number in self.fixed or article.demand.made:
            return ZERO
        lowest = {shot: values[0] for shot, values in self.values.items() if values}
        return sum(self.needs(number, article, lowest).values(), ZERO)

    def chance_within(self, caps: Counts) -> Fraction:
        """That every shot stays within its cap. [fraction]"""
        return math.prod((self.times[p].chance_within(k) for p, k in caps.items()), start=ONE)


def log_of(chance: Fraction) -> Fraction:
    """Logarithm of a chance above 0, good to the last digit near 1 too."""
    return Fraction(math.log1p(-float(1 - chance)) if chance > HALF else math.log(chance))
