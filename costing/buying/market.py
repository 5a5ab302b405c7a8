"""Where a shoot may buy, the plan for a chance, and what the shops have too little of for it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from costing.buying.articles import NOTHING_KEEPS, Article, Packs, Terms
from costing.buying.left_over import keeping
from costing.buying.mixing import lots_saved
from costing.buying.planning import TIME_LIMIT, Plan, Planner
from costing.buying.purchases import Purchase
from costing.buying.search import SearchResult
from costing.buying.serving import ByEpisode
from costing.buying.solver import Deadline
from costing.buying.storage import days_of_use, lines_of, over_days, with_lines
from costing.buying.till import money_digits, tax_rate, till_lines
from costing.names import key
from costing.quantities import ZERO
from costing.shoot import Shoot
from costing.shoot.times import Times, times_of

SHOTS_TIMES_INGREDIENTS = 300
"""Uncertain shots times ingredients above which a plan is large."""


class Market:
    """What shops sell of what a shoot needs.

    Parameters
    ----------
    purchases : sequence of Purchase
        One for each ingredient, nothing bought yet.
    everything : bool
        Whether what stock covers is looked at too, in case more of it is needed.
    """

    def __init__(
        self, purchases: Sequence[Purchase], shoot: Shoot, *, everything: bool = False
    ) -> None:
        self.shoot = shoot
        self.planned: dict[int, int] = {
            number: shot.times
            for number, shot in enumerate(shoot.shots)
            if shot.uncertain and shoot.is_dish(shot.dish)
        }
        self._purchases = tuple(purchases)
        self._unsold = [one for one in purchases if not (one.offers or one.demand.made)]
        self.sold = [
            purchase
            for purchase in purchases
            if purchase.offers and (everything or purchase.wanted > 0 or purchase.demand.shots)
        ]

    @cached_property
    def times(self) -> dict[int, Times]:
        """The number of times of each uncertain shot, by its place in the plan."""
        return {number: times_of(self.shoot.shots[number]) for number in self.planned}

    @property
    def is_large(self) -> bool:
        """Whether a search for all of it takes long."""
        return len(self.times) * len(self.sold) > SHOTS_TIMES_INGREDIENTS

    @cached_property
    def terms(self) -> Terms:
        """What baskets are compared by."""
        rows = reversed(self.shoot.shops)  # of two rows for a shop the first counts
        shops = {key(shop.name): shop for shop in rows}
        asking = {name for name, shop in shops.items() if shop.visit_cost or shop.minimum_spend}
        articles = tuple(self._article(purchase, asking) for purchase in self.sold)
        visits = {
            offer.shop: shops[key(offer.row.shop)]
            for article in articles
            for offer in article.offers
            if offer.shop and key(offer.row.shop) in asking
        }
        return Terms(
            articles,
            {name: Fraction(shop.visit_cost) for name, shop in visits.items() if shop.visit_cost},
            {n: Fraction(shop.minimum_spend) for n, shop in visits.items() if shop.minimum_spend},
            self.shoot.settings.leftovers_counted,
            next((one.demand.making for one in self.sold if one.demand.making), None),
        )

    def _article(self, purchase: Purchase, asking: Collection[str]) -> Article:
        """An ingredient as baskets see it; unpriced offers are only taken where others lack."""
        days = days_of_use(purchase.demand, self.shoot)
        offers = over_days(purchase, self.shoot, days, asking)
        some_unpriced = any(offer.price is None for offer in offers)
        counts = bool(self.shoot.settings.leftovers_counted)
        article = Article(
            purchase.name,
            purchase.demand,
            tuple(replace(offer, at_most=0) if offer.price is None else offer for offer in offers),
            purchase.wanted,
            keeping(purchase.need, self.shoot) if counts else NOTHING_KEEPS,
            offers if some_unpriced else None,
            days,
        )
        # what is left of packs that are bought for their days is not counted as kept
        return replace(article, keeping=NOTHING_KEEPS) if article.dated else article

    def lots_saved(self) -> dict[str, Sequence[ByEpisode]]:
        """By key what is to be saved of lots for later days, where each article is separate."""
        if self.times or self.terms.coupled:
            return {}
        on_hand = (n for n, one in enumerate(self.sold) if one.demand.stock.lots)
        articles = (self.terms.articles[number] for number in on_hand)
        saved = ((one, lots_saved(one, one.demand.as_bought({}, {}))) for one in articles)
        return {one.demand.code: lots for one, lots in saved if lots}

    def planner(self, seconds: float = TIME_LIMIT, within: Deadline | None = None) -> Planner:
        """A planner for this market."""
        return Planner(
            self.terms,
            self.times,
            self.planned,
            slack={shop: self._slack(shop) for shop in self.terms.minimums},
            tills=self.till_of,
            unsold=self._wanted_of_unsold(),
            seconds=seconds,
            within=within,
            settings=self.shoot.settings,
        )

    def _wanted_of_unsold(self) -> dict[int, Fraction]:
        """What each time of a shot takes of what nobody sells, against all that take of it.

        Not of what is on hand in an amount that will do however often all is taken.
        """
        weights: dict[int, Fraction] = {}
        most = {shot: times.most for shot, times in self.times.items()}
        for purchase in self._unsold:
            if purchase.demand.wanted(purchase.demand.as_bought(most, self.planned)) <= 0:
                continue
            each = {shot: amount for shot, (_, amount) in purchase.need.per_time.items()}
            whole = sum(each.values(), ZERO)
            for shot, amount in each.items():
                if amount:
                    weights[shot] = weights.get(shot, ZERO) + amount / whole
        return weights

    def till(self, packs: Sequence[Packs], shop: str | None = None) -> Decimal:
        """What all tills take for packs, or that of one shop, rounded as it rounds. [money]"""
        lines = lines_of(self.terms.taken(packs))
        paid = till_lines(
            [line for line in lines if shop is None or line.visit == shop], self.shoot.settings
        )
        return sum((line.cost for line in paid if line.cost is not None), Decimal(0))

    def till_of(self, shop: str, packs: Sequence[Packs]) -> Fraction:
        """What the till of one shop takes for packs. [money]"""
        return Fraction(self.till(packs, shop))

    def _slack(self, shop: str) -> Fraction:
        """By how much rounding may lift a till above the exact prices. [money]"""
        settings = self.shoot.settings
        coin = Fraction(1, 10 ** money_digits(settings))
        articles = self.terms.articles
        offers = [offer for one in articles for offer in one.offers if offer.shop == shop]
        packs = list({id(offer.pack): offer.row for offer in offers}.values())
        prices = [pack.unit_price for pack in packs]
        rounded = sum(1 for p in prices if p is not None and (p / coin).denominator != 1)
        rates = set() if settings.prices_include_tax else {tax_rate(p, settings) for p in packs}
        # a line is lifted by half a coin at most, the tax on it with it, and each rate's tax by a
        # coin
        return coin * (Fraction(rounded, 2) * (1 + max(rates, default=ZERO)) + len(rates))

    def bought(self, packs: Sequence[Packs]) -> list[Purchase]:
        """All purchases with these packs on their lines, in the order they were given."""
        fetched = {
            id(purchase): tuple(article.taken(counts))
            for purchase, article, counts in zip(self.sold, self.terms.articles, packs, strict=True)
        }
        return [with_lines(one, fetched.get(id(one), ())) for one in self._purchases]


@dataclass(frozen=True, slots=True)
class Shortage:
    """What cannot be bought for the chance asked for.

    Parameters
    ----------
    missing : Fraction
        How much. [base unit]
    by_minimum : bool
        Whether a minimum spend stands in the way, and not the number of packs there are.
    """

    article: int
    missing: Fraction
    by_minimum: bool = False


@dataclass(frozen=True, slots=True)
class Provided:
    """A plan, and what it lacks of what was asked for."""

    plan: Plan
    shortages: tuple[Shortage, ...] = ()
    covered: bool = True


def plan_or_fallback(planner: Planner, chance: Fraction, deadline: Deadline) -> Provided:
    """The cheapest plan for a chance; of what cannot be had, as much chance as can be.

    ``chance``: that every shot stays within its cap. [fraction]

    Returns
    -------
    Provided
        Where the shops have too little the plan is the cheapest with the best chance that can be
        had; where not even the fewest takes can be covered, it lacks least of what was asked for.
    """
    plan = planner.plan(chance, deadline=deadline)
    if plan is not None:
        return Provided(plan)
    taking = planner.with_unpriced(chance)
    lacking = _lacking(taking, chance, deadline)
    short = _shortages(taking, lacking)
    wanted = [] if lacking.basket is None else taking.needs(lacking.basket.caps)
    missing = {s.article: s.missing for s in short if taking.terms.articles[s.article].unpriced}
    if missing:
        free = taking.giving_away({number: wanted[number] for number in missing}, missing)
        return plan_or_fallback(planner.comparing(free), chance, deadline)
    # what is lacking only because of a minimum is said so
    if taking.terms.minimums:
        without = taking.comparing(replace(taking.terms, minimums={}))
        still = {one.article for one in _shortages(without, _lacking(without, chance, deadline))}
        short = tuple(replace(one, by_minimum=one.article not in still) for one in short)
    # the most certainty that can be had first, then the cheapest basket with it
    if planner.times:
        surest = taking.search(planner.question(planner.values(ZERO)), deadline)
        best = surest.least(surest.programme.unlikeliness()).basket
        reachable = best and planner.chance_within(best.caps)
        nearest = taking.plan(reachable, deadline=deadline) if reachable else None
        if nearest is not None:
            return Provided(nearest, short)
    basket = lacking.basket or taking.even(chance, deadline)
    return Provided(Plan(basket, ZERO), short, covered=False)


def _lacking(planner: Planner, chance: Fraction, deadline: Deadline) -> SearchResult:
    """The cheapest of the baskets that lack least of what the chance needs."""
    question = replace(planner.question(planner.values(chance), chance), elastic=True)
    return planner.search(question, deadline).least_lacking()


def _shortages(planner: Planner, found: SearchResult) -> tuple[Shortage, ...]:
    """What the basket that lacks least lacks of each article."""
    if found.basket is None:
        return ()
    articles, needs = planner.terms.articles, planner.needs(found.basket.caps)
    rows = zip(articles, found.basket.packs, needs, strict=True)
    return tuple(
        Shortage(number, lacking)
        for number, (article, packs, of_it) in enumerate(rows)
        if (lacking := article.lacking(packs, of_it))
    )
