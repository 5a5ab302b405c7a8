r"""Which shops to visit: the cheapest packs where visits cost and shops ask for a minimum spend.

Every choice of the shops that couple the ingredients is tried. Once it is fixed, each ingredient
is separate and the exact search finds its packs, with one exception: at a shop with a minimum
spend all that is paid there has to reach it together (``minimum_spend``).

Why what is found is the best: a basket visits one of the choices, pays at some of its shops with a
minimum, and is a way for each ingredient within it; a choice is passed over only when no basket in
it is as cheap as one that was found. Where something is paid at several shops with a minimum, one
after the other is filled up while the packs of the others stay; that is proven only when no basket
that reaches both minimums can be cheaper.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import combinations

from costing.buying.articles import Packs, Terms
from costing.buying.basket import Mixtures, Offer, cheapest_mixtures
from costing.buying.minimum_spend import Goal, cheapest_reaching
from costing.buying.mixing import packs_from_fewest_shops
from costing.buying.purchases import Counts
from costing.buying.solver import Deadline
from costing.buying.till import money_digits, tax_rate
from costing.buying.ways import Ways, ways_to_buy
from costing.quantities import ZERO
from costing.shoot import Settings

SHOPS_TRIED = 6
"""Shops up to which all choices of them are tried: 64 choices. [shop]"""

ROUNDS = 3
"""How often shops with a minimum are filled up in turn. [round]"""


@dataclass(frozen=True, slots=True)
class Choice:
    """The cheapest packs over all choices of shops.

    Parameters
    ----------
    packs : tuple of tuple of int, optional
        By article and offer; ``None`` when none were found, which proves that the shops have too
        little where the gap is 0.
    gap : Fraction, optional
        How much cheaper the best could be; 0 when proven, ``None`` when it is not known. [money]
    caps : mapping of int to int
        That they are for, where it was asked for several. [time]
    """

    packs: tuple[Packs, ...] | None
    gap: Fraction | None = ZERO
    caps: Counts = field(default_factory=dict)


@dataclass
class _Best:
    """What is asked, the best that was found so far for it, and what no basket is below."""

    terms: Terms
    deadline: Deadline
    wanted: Sequence[Fraction] = ()
    risk: Fraction = ZERO
    caps: Counts = field(default_factory=dict)
    found: tuple[tuple[Fraction, ...], tuple[Packs, ...], Counts] | None = None
    bound: Fraction | None = None
    known: bool = True

    @property
    def cost(self) -> Fraction | None:
        """Of the best. [money]"""
        return None if self.found is None else self.found[0][0]

    def rules_out(self, bound: Fraction) -> bool:
        """Whether nothing that costs at least so much can be as good."""
        return self.cost is not None and bound > self.cost

    def add(self, packs: tuple[Packs, ...]) -> None:
        """Keep packs where they are better."""
        cost, left, count, shops = self.terms.rank(packs)
        rank = cost, self.risk, left, Fraction(count), Fraction(shops), Fraction(_rows(packs))
        if self.found is None or (rank, packs) < self.found[:2]:
            self.found = rank, packs, self.caps

    def unproven(self, bound: Fraction | None) -> None:
        """Remember that there may be better, and what that costs at least, if it is known."""
        if bound is None:
            self.known = False
        else:
            self.bound = bound if self.bound is None else min(bound, self.bound)

    def choice(self) -> Choice:
        """What was found, with its gap."""
        if self.found is None:
            return Choice(None, ZERO if self.known and self.bound is None else None)
        (cost, *_), packs, caps = self.found
        if not self.known:
            return Choice(packs, None, caps)
        return Choice(packs, ZERO if self.bound is None else max(ZERO, cost - self.bound), caps)


class Visited:
    """The choice of shops for one market, for any needs.

    ``slack``: by how much rounding may lift the till of a shop with a minimum. [money]
    """

    def __init__(self, terms: Terms, settings: Settings, slack: Mapping[str, Fraction]) -> None:
        self._terms = terms
        self._slack = slack
        self._settings = settings
        self._digits = money_digits(settings)
        offers = [offer for article in terms.articles for offer in article.offers]
        self._shops = tuple(dict.fromkeys(o.shop for o in offers if o.shop and o.at_most != 0))
        self._scale = math.lcm(*(offer.cost.denominator for offer in offers))
        self._known: dict[tuple[int, tuple[int, ...], Fraction], Mixtures] = {}
        self._ways_known: dict[tuple[object, ...], Ways | None] = {}

    @property
    def suits(self) -> bool:
        """Whether the terms are of the kind that can be settled here.

        Leftovers that count would make the cost of an ingredient no sum of its packs, and goods of
        one ingredient that are taxed differently on top would make its coins no number.
        """
        if self._terms.counted or len(self._shops) > SHOPS_TRIED:
            return False
        return all(len(r) <= 1 for s in self._terms.minimums for r in self._rates(s).values())

    @property
    def fills(self) -> bool:
        """Whether packs can be found here at all: one amount of each article is to be covered."""
        articles = self._terms.articles
        return all(o.pack is not None for a in articles for o in a.offers) and not any(
            article.dated for article in articles
        )

    def _rates(self, shop: str) -> dict[int, list[Fraction]]:
        """The taxes on top of what is paid at a shop, by article."""
        if self._settings.prices_include_tax:
            return {}
        rates: dict[int, list[Fraction]] = {}
        for number, article in enumerate(self._terms.articles):
            for offer in article.offers:
                if offer.shop == shop and offer.asked and offer.cost and offer.pack:
                    rate = tax_rate(offer.pack, self._settings)
                    if rate not in rates.setdefault(number, []):
                        rates[number].append(rate)
        return rates

    def cheapest(self, wanted: Sequence[Fraction], deadline: Deadline | None = None) -> Choice:
        """The cheapest packs that cover what is wanted of each article. [base unit]"""
        return self.cheapest_over([({}, wanted)], deadline=deadline)

    def cheapest_over(
        self,
        wants: Iterable[tuple[Counts, Sequence[Fraction]]],
        risk: Callable[[Counts], Fraction] | None = None,
        *,
        deadline: Deadline | None = None,
    ) -> Choice:
        """The best over several caps, each with what is wanted for it.

        Parameters
        ----------
        wants : iterable of caps and sequence of Fraction
            For each article what is wanted of it. [base unit]
        risk : callable, optional
            Of caps: those of the least risk are taken among those that cost least, before other
            ties. [fraction]
        """
        best = _Best(self._terms, deadline or Deadline())
        for caps, wanted in wants:
            best.wanted, best.caps = wanted, caps
            best.risk = ZERO if risk is None else risk(caps)
            for shops in self._choices():
                asking = [shop for shop in shops if shop in self._terms.minimums]
                for size in range(len(asking) + 1):
                    for paid in combinations(asking, size):
                        self._try(best, frozenset(shops), paid)
        if not self.suits:
            best.unproven(None)
        return best.choice()

    def _choices(self) -> Iterator[tuple[str, ...]]:
        """Shops to visit: all, then all choices of them, or where those are many each by itself."""
        yield self._shops  # first, so that something is found even where the time is short
        few = len(self._shops) <= SHOPS_TRIED
        for size in range(len(self._shops) if few else 2):
            yield from combinations(self._shops, size)

    def _try(self, best: _Best, open_at: frozenset[str], paid: Sequence[str]) -> None:
        """Packs from these shops, paid for only at these of those with a minimum."""
        # what costs little to know rules out first: visits, then minimums, then the packs
        visits = self._visits(open_at)
        least = sum((self._terms.minimums[shop] - self._slack[shop] for shop in paid), ZERO)
        if best.rules_out(visits + least):
            return
        tied = self._mixtures(best.wanted, open_at, paid)
        if tied is None:
            return
        bound = visits + max(least, sum((one.cost - one.gap for one in tied), ZERO))
        if best.rules_out(bound):
            return
        best.deadline.spend(len(tied))
        if best.deadline.passed and best.found is not None:
            best.unproven(bound)
            return
        if any(one.gap for one in tied):
            best.unproven(bound)
        packs = tuple(packs_from_fewest_shops(tied))
        if not paid:
            best.add(packs)
        elif len(paid) == 1:
            self._reach(best, open_at, paid[0])
        else:
            self._reach_in_turn(best, packs, open_at, paid)

    def _mixtures(
        self, wanted: Sequence[Fraction], open_at: frozenset[str], paid: Sequence[str]
    ) -> list[Mixtures] | None:
        """The cheapest mixtures of each article from these shops; ``None`` when they lack some."""
        every = []
        for number, amount in enumerate(wanted):
            offers = self._open(number, open_at, paid)
            mixtures = self._mixed(number, offers, amount)
            if not mixtures.covered:
                return None
            every.append(mixtures)
        return every

    def _open(self, number: int, open_at: frozenset[str], paid: Sequence[str]) -> tuple[Offer, ...]:
        """The offers of an article, those closed that are not open or may not be paid for."""
        return tuple(
            offer
            if (not offer.shop or offer.shop in open_at)
            and (not offer.asked or offer.shop in paid or offer.shop not in self._terms.minimums)
            else replace(offer, at_most=0)
            for offer in self._terms.articles[number].offers
        )

    def _mixed(self, number: int, offers: tuple[Offer, ...], amount: Fraction) -> Mixtures:
        """The cheapest mixtures of the open offers, looked up when they were asked for before."""
        known = number, tuple(n for n, o in enumerate(offers) if o.at_most != 0), amount
        if known not in self._known:
            self._known[known] = cheapest_mixtures(amount, offers)
        return self._known[known]

    def _visits(self, open_at: frozenset[str]) -> Fraction:
        """What going to all of these shops costs. [money]"""
        return sum((self._terms.visits.get(shop, ZERO) for shop in open_at), ZERO)

    def _reach(
        self,
        best: _Best,
        open_at: frozenset[str],
        shop: str,
        fixed: Sequence[Packs] | None = None,
    ) -> None:
        """Enough paid at one shop with a minimum; at others only what is fixed."""
        goal, taxed = self._goal(shop)
        every: list[Ways] = []
        for number, amount in enumerate(best.wanted):
            held = None if fixed is None else fixed[number]
            ways = self._ways(number, amount, open_at, shop, goal, taxed.get(number, 0), held)
            if ways is None:
                best.unproven(None)
                return
            if not len(ways.coins):
                return
            every.append(ways)
        visits = self._visits(open_at)
        below = None
        if fixed is None and best.cost is not None:
            # what is fixed has its own cost, which this bound does not know
            below = math.floor((best.cost - visits) * self._scale)
        reached = cheapest_reaching(every, goal, below=below, deadline=best.deadline)
        if reached.packs is not None:
            packs = reached.packs if fixed is None else _together(reached.packs, fixed)
            best.add(packs)
            best.unproven(visits + Fraction(reached.bound, self._scale))

    def _reach_in_turn(
        self,
        best: _Best,
        packs: tuple[Packs, ...],
        open_at: frozenset[str],
        paid: Sequence[str],
    ) -> None:
        """Fill up shops with a minimum one after the other, the packs of the others as they are."""
        best.unproven(None)  # other packs at both could be cheaper together
        before = None
        for _ in range(ROUNDS):
            for shop in paid:
                fixed = [
                    tuple(
                        count if offer.shop != shop and offer.shop in paid and offer.asked else 0
                        for offer, count in zip(article.offers, counts, strict=True)
                    )
                    for article, counts in zip(self._terms.articles, packs, strict=True)
                ]
                found = _Best(self._terms, best.deadline, best.wanted)
                self._reach(found, open_at, shop, fixed)
                if found.found is None:
                    return
                packs = found.found[1]
            best.add(packs)
            if packs == before:
                break
            before = packs

    def _goal(self, shop: str) -> tuple[Goal, dict[int, int]]:
        """What the till of a shop has to come to, and the number of the tax of each article."""
        rates = self._rates(shop)
        every = tuple(dict.fromkeys(many[0] for many in rates.values())) or (ZERO,)
        goal = Goal(self._terms.minimums[shop], every, self._settings, self._digits)
        return goal, {number: every.index(many[0]) for number, many in rates.items()}

    def _ways(
        self,
        number: int,
        wanted: Fraction,
        open_at: frozenset[str],
        shop: str,
        goal: Goal,
        taxed: int,
        fixed: Packs | None,
    ) -> Ways | None:
        """For each sum of coins at the till of a shop the best way to buy an article."""
        article = self._terms.articles[number]
        rest = self._open(number, open_at, ())
        rates = self._rates(shop).get(number, [])
        there = [
            at
            for at, offer in enumerate(article.offers)
            if wanted > 0
            and offer.shop == shop
            and offer.asked
            and (not rates or not offer.cost or tax_rate(offer.row, self._settings) == rates[0])
        ]
        lacking = wanted if fixed is None else max(ZERO, wanted - article.supply(fixed))
        known = number, lacking, open_at, shop, fixed
        if known not in self._ways_known:
            self._ways_known[known] = ways_to_buy(
                article,
                there,
                lacking,
                lambda amount: self._filled(number, rest, amount),
                most=goal.net(taxed),
                digits=self._digits,
                scale=self._scale,
                taxed=taxed,
            )
        return self._ways_known[known]

    def _filled(self, number: int, rest: tuple[Offer, ...], amount: Fraction) -> Packs | None:
        """The cheapest packs of what is open elsewhere; ``None`` when that is too little."""
        mixtures = self._mixed(number, rest, amount)
        if not mixtures.covered or mixtures.gap:
            return None
        return mixtures.packs({offer.shop for offer in rest})


def _together(some: Sequence[Packs], more: Sequence[Packs]) -> tuple[Packs, ...]:
    """Packs of both."""
    pairs = (zip(one, other, strict=True) for one, other in zip(some, more, strict=True))
    return tuple(tuple(a + b for a, b in pair) for pair in pairs)


def _rows(packs: Sequence[Packs]) -> int:
    """Rows from above, added over all packs."""
    return sum(number * count for counts in packs for number, count in enumerate(counts))
