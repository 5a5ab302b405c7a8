"""What caution costs: how sure the basket is, what one more take costs, what less would save."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import product
from time import monotonic

from costing.buying.articles import Packs
from costing.buying.expected import Expected, expected
from costing.buying.market import Market
from costing.buying.planning import Plan, Planner
from costing.buying.purchases import Purchase
from costing.buying.shopping import Shopping
from costing.buying.solver import Deadline, Ending
from costing.buying.till import money_digits
from costing.buying.values import Values
from costing.names import key
from costing.quantities import ONE, ZERO, round_money
from costing.shoot import Shot

HALF = Fraction(1, 2)
CHANCES_TRIED = tuple(Fraction(n, 1000) for n in (0, 1, 10, 20, 50, 100, 150, 200, 300, 400, 500))
"""Chances of running out that are tried where there are too many to try all. [fraction]"""

CHANCES_OF_A_LARGE_PLAN = tuple(Fraction(n, 1000) for n in (0, 10, 50, 200, 500))
"""The same for a large plan, where each is a long search. [fraction]"""

MOST_LEVELS = 16
"""Attainable chances of running out up to which all are tried."""

SHOTS_TIMES_INGREDIENTS = 300
"""Uncertain shots times ingredients above which a plan is large."""

NODES = 2_000
"""Branches after which the cost at a chance is left out as not proven."""

MOST_SHOTS = 200
"""Shots up to which one more take of each is priced without being asked for."""

SAMPLE = 3
"""Of more shots so many are priced, to say how long all would take."""

SECONDS = 60.0
"""Time for the prices of one more take of all shots, and for the chances that are tried. [s]"""


@dataclass(frozen=True, slots=True)
class Take:
    """A shot, how often it is covered, and what covering it once more would cost.

    Parameters
    ----------
    shot : Shot
        Which.
    covered : int
        How many times it is provided for. [time]
    chance_enough : Fraction, optional
        That this is enough; ``None`` for a certain number of times. [fraction]
    one_more : Decimal, optional
        What one more adds to the cheapest basket; ``None`` when it is not known or cannot be
        bought. [money]
    priced : bool
        Whether one more was looked at.
    """

    shot: Shot
    covered: int
    chance_enough: Fraction | None
    one_more: Decimal | None
    priced: bool


@dataclass(frozen=True, slots=True)
class Point:
    """The least that is bought for a chance of running out; less costs more.

    Parameters
    ----------
    chance_of_running_out : Fraction
        That a shot is taken more often than it is covered. [fraction]
    bought : Decimal
        What the tills take. [money]
    """

    chance_of_running_out: Fraction
    bought: Decimal


@dataclass(frozen=True, slots=True)
class Spare:
    """What of an ingredient is bought for takes that may come.

    Parameters
    ----------
    purchase : Purchase
        Which ingredient.
    packs, planned_packs : int
        How many are bought, and how many the likeliest numbers of times would take.
    part : Fraction
        Of what is bought. [fraction]
    cost : Decimal
        What it adds. [money]
    """

    purchase: Purchase
    packs: int
    planned_packs: int
    part: Fraction
    cost: Decimal


class Caution:
    """Everything about the caution of one shoot's shopping, worked out when it is asked for.

    Parameters
    ----------
    shopping : Shopping
        What is bought.
    values : sequence of Values
        What it is worth.
    every_take : bool
        Whether one more take of every shot is priced, however long it takes.
    """

    def __init__(
        self, shopping: Shopping, values: Sequence[Values], *, every_take: bool = False
    ) -> None:
        self._shopping = shopping
        self._every_take = every_take
        self._values = values
        self._digits = money_digits(shopping.shoot.settings)
        self._caps = shopping.plan.basket.caps if shopping.plan else {}

    @property
    def uncertain(self) -> bool:
        """Whether any number of times is."""
        return bool(self._shopping.market.times)

    @cached_property
    def chance_of_running_out(self) -> Fraction | None:
        """That a shot is taken more often than it is covered. [fraction]

        ``None`` when a need is not known; 1 when the shops do not have enough for even the
        fewest. What has no pack is taken to be bought as it is listed.
        """
        purchases = self._shopping.purchases
        if any(purchase.need.unknown for purchase in purchases):
            return None
        if any(purchase.short and purchase.offers for purchase in purchases):
            return ONE
        plan = self._shopping.plan
        return 1 - plan.chance if plan else ZERO

    @property
    def takes(self) -> list[Take]:
        """Every shot of a dish, in the order of the plan."""
        return self._takes[0]

    @property
    def seconds_for_the_rest(self) -> float:
        """How long it would about take to price the takes that are not. [s]"""
        takes, seconds_each = self._takes
        return seconds_each * sum(not take.priced for take in takes)

    @cached_property
    def _takes(self) -> tuple[list[Take], float]:
        """The takes, and how long each price took; what comes after the deadline has none."""
        shoot = self._shopping.shoot
        shots = [(n, s) for n, s in enumerate(shoot.shots) if shoot.is_dish(s.dish)]
        few = self._every_take or len(shots) <= MOST_SHOTS
        deadline = Deadline() if self._every_take else Deadline(SECONDS)
        takes: list[Take] = []
        start, seconds_each = monotonic(), 0.0
        for number, shot in shots:
            priced = (few or len(takes) < SAMPLE) and not deadline.passed
            takes.append(
                Take(
                    shot,
                    self._caps.get(number, shot.times),
                    self._shopping.market.times[number].chance_within(self._caps[number])
                    if number in self._caps
                    else None,
                    self._one_more(number, shot, deadline) if priced else None,
                    priced,
                )
            )
            if priced:
                seconds_each = (monotonic() - start) / len(takes)
        return takes, seconds_each

    @cached_property
    def _everything(self) -> Market:
        return Market(self._shopping.purchases, self._shopping.shoot, everything=True)

    @cached_property
    def _covered(self) -> tuple[Packs, ...] | None:
        """The cheapest packs for the numbers of times that are covered, if they are proven."""
        return _proven(self._planner.cheapest(self._caps, nodes=NODES))

    @cached_property
    def _planner(self) -> Planner:
        """Of everything, so that what one price looks up serves the next."""
        return self._everything.planner()

    def _one_more(self, place: int, shot: Shot, deadline: Deadline) -> Decimal | None:
        """What one more of a shot adds to the least cost; ``None`` when not known. [money]"""
        needs = self._shopping.needs
        if not needs.knows(shot):
            return None
        taken = needs.one_more(place, self._caps)
        sold = self._everything.sold
        more = {
            number: {shot.episode: amount}
            for number, purchase in enumerate(sold)
            if (amount := taken.get(key(purchase.need.ingredient.name)))
        }
        for purchase in self._shopping.purchases:
            amount = taken.get(key(purchase.need.ingredient.name))
            if amount and not purchase.offers and self._adds(purchase, shot, amount):
                return None
        cost = self._cost_of(more, deadline)
        return None if cost is None else round_money(max(ZERO, cost), self._digits)

    def _adds(self, purchase: Purchase, shot: Shot, amount: Fraction) -> bool:
        """Whether stock does not cover one more take of an ingredient that nobody sells."""
        as_bought = purchase.demand.as_bought(self._caps, self._shopping.market.planned)
        as_bought[shot.episode] = as_bought.get(shot.episode, ZERO) + amount
        return purchase.demand.wanted(as_bought) > 0

    def _cost_of(self, more: dict[int, dict[str, Fraction]], deadline: Deadline) -> Fraction | None:
        """What more of some articles adds to the least cost; ``None`` where it is not proven."""
        market, planner = self._everything, self._planner
        if not market.terms.coupled:
            wanted = planner.wanted(self._caps, only=more)
            wanted_more = planner.wanted(self._caps, more, only=more)
            added = list(map(market.mixing.added, more, wanted, wanted_more))
            known = [one for one in added if one is not None]
            return sum(known, ZERO) if len(known) == len(added) else None
        if self._covered is None:
            return None
        wanted = planner.wanted(self._caps, more)
        pairs = zip(market.terms.articles, self._covered, wanted, strict=True)
        if all(article.supply(packs) >= amount for article, packs, amount in pairs):
            return ZERO  # the cheapest for less is the cheapest for more when it covers it
        packs = _proven(planner.cheapest(self._caps, more, deadline=deadline, nodes=NODES))
        if packs is None:
            return None
        for article, before, after in zip(market.terms.articles, self._covered, packs, strict=True):
            rows = zip(article.offers, before, after, strict=True)
            if any(offer.price is None and one != two for offer, one, two in rows):
                return None
        return market.terms.paid(packs) - market.terms.paid(self._covered)

    @cached_property
    def points(self) -> tuple[list[Point], list[Fraction]]:
        """Efficient points from no chance of running out to a half, and chances left out.

        A chance is left out when the least cost at it was not proven within the limit; where more
        cannot be reached there is no point either.
        """
        plan, market = self._shopping.plan, self._shopping.market
        provided = self._shopping.provided
        if plan is None or provided is None or not market.times:
            return [], []
        if plan.gap != 0 or not provided.covered:
            return [], []
        planner, deadline = market.planner(), Deadline(SECONDS)
        found = [(1 - plan.chance, market.terms.cost(plan.basket.packs), plan.basket.packs)]
        left_out = []
        last = ONE
        for level in sorted(self._levels(), reverse=True):
            if level >= last or level == found[0][0]:
                continue
            point = planner.proven_plan(1 - level, nodes=NODES, deadline=deadline)
            if point is Ending.IMPOSSIBLE:
                break  # nor can more certainty be had
            if isinstance(point, Ending):
                left_out.append(level)
                continue
            last = 1 - point.chance
            found.append((last, market.terms.cost(point.basket.packs), point.basket.packs))
        return list(self._efficient(found)), left_out

    def _efficient(
        self, found: list[tuple[Fraction, Fraction, tuple[Packs, ...]]]
    ) -> Iterator[Point]:
        cheapest: Fraction | None = None
        for risk, cost, packs in sorted(found, key=lambda one: one[:2]):
            if cheapest is None or cost < cheapest:
                cheapest = cost
                bought = round_money(Fraction(self._shopping.market.till(packs)), self._digits)
                yield Point(risk, bought)

    def _levels(self) -> Sequence[Fraction]:
        """Chances of running out to try: all that can be attained, or some over the range."""
        market = self._shopping.market
        within = [
            [part for n in one.numbers if (part := one.chance_within(n)) >= HALF]
            for one in market.times.values()
        ]
        if math.prod(map(len, within)) <= MOST_LEVELS:
            risks = {1 - math.prod(parts, start=ONE) for parts in product(*within)}
            return [risk for risk in risks if risk <= HALF]
        large = len(market.times) * len(market.sold) > SHOTS_TIMES_INGREDIENTS
        return CHANCES_OF_A_LARGE_PLAN if large else CHANCES_TRIED

    @cached_property
    def spares(self) -> list[Spare]:
        """Ingredients of which some is bought for takes that may come."""
        plan, market = self._shopping.plan, self._shopping.market
        if plan is None or not market.times:
            return []
        planned = _proven(market.planner().cheapest(market.planned, nodes=NODES))
        if planned is None:
            return []
        spares = []
        rows = zip(market.sold, market.terms.articles, plan.basket.packs, planned, strict=True)
        for purchase, article, packs, fewer in rows:
            bought, enough = article.supply(packs), article.supply(fewer)
            if bought > enough:
                cost = round_money(article.paid(packs) - article.paid(fewer), self._digits)
                part = (bought - enough) / bought
                spares.append(Spare(purchase, sum(packs), sum(fewer), part, cost))
        return spares

    @cached_property
    def expected(self) -> Expected | None:
        """What is used and left over on average; ``None`` for a certain shoot."""
        market = self._shopping.market
        if not market.times:
            return None
        return expected(
            self._shopping.purchases,
            self._values,
            market.times,
            market.planned,
            self._shopping.shoot,
        )

    @property
    def visits_counted(self) -> bool:
        """Whether a visit to any shop costs something."""
        return bool(self._shopping.market.terms.visits)


def _proven(plan: Plan | None) -> tuple[Packs, ...] | None:
    """The packs of a plan that is proven to be the cheapest."""
    return plan.basket.packs if plan is not None and plan.gap == 0 else None
