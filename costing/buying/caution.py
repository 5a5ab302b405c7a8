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

from costing.buying.choosing import proven_made
from costing.buying.expected import Expected, expected
from costing.buying.one_more import NODES, OneMore, proven
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

MOST_SHOTS = 200
"""Shots up to which one more take of each is priced without being asked for."""

SAMPLE = 3
"""Of more shots so many are priced, to say how long all would take."""

SECONDS = 60.0
"""Time for the prices of one more take of all shots, and for the chances that are tried. [s]"""

SECONDS_CHOOSING = 10.0
"""The same where each price is a search of its own for what is made and bought ready. [s]"""


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
    def _seconds(self) -> float:
        return SECONDS_CHOOSING if self._shopping.chooses else SECONDS

    @cached_property
    def _more(self) -> OneMore:
        return OneMore(self._shopping, self._caps)

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
        deadline = Deadline() if self._every_take else Deadline(self._seconds)
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
                    self._more.price(number, shot, deadline) if priced else None,
                    priced,
                )
            )
            if priced:
                seconds_each = (monotonic() - start) / len(takes)
        return takes, seconds_each

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
        packs = plan.basket.packs
        found = [(1 - plan.chance, market.terms.cost(packs), Fraction(market.till(packs)))]
        market = self._more.market if self._shopping.chooses else market
        planner, deadline = market.planner(), Deadline(self._seconds)
        left_out = []
        last = ONE
        for level in sorted(self._levels(), reverse=True):
            if level >= last or level == found[0][0]:
                continue
            point = self._point(planner, 1 - level, deadline)
            if point is Ending.IMPOSSIBLE:
                break  # nor can more certainty be had
            if isinstance(point, Ending):
                left_out.append(level)
                continue
            last = 1 - point.chance
            packs = point.basket.packs
            found.append((last, market.terms.cost(packs), Fraction(market.till(packs))))
        return list(self._efficient(found)), left_out

    def _point(self, planner: Planner, chance: Fraction, deadline: Deadline) -> Plan | Ending:
        """The cheapest plan for a chance, or why there is none."""
        making = self._shopping.making
        if making is None or not self._shopping.chooses:
            return planner.proven_plan(chance, nodes=NODES, deadline=deadline)
        return proven_made(planner, making, chance, nodes=NODES, deadline=deadline)

    def _efficient(self, found: list[tuple[Fraction, Fraction, Fraction]]) -> Iterator[Point]:
        """Of chance, cost and what the tills take those where less chance costs more."""
        cheapest: Fraction | None = None
        for risk, cost, till in sorted(found, key=lambda one: one[:2]):
            if cheapest is None or cost < cheapest:
                cheapest = cost
                yield Point(risk, round_money(till, self._digits))

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
        return CHANCES_OF_A_LARGE_PLAN if market.is_large else CHANCES_TRIED

    @cached_property
    def spares(self) -> list[Spare]:
        """Ingredients of which some is bought for takes that may come."""
        plan, market = self._shopping.plan, self._shopping.market
        if plan is None or not market.times:
            return []
        if self._shopping.chooses:
            planned, sold = self._more.cheapest(market.planned), self._more.market.sold
        else:
            planned, sold = (
                proven(market.planner().cheapest(market.planned, nodes=NODES)),
                market.sold,
            )
        if planned is None:
            return []
        names = (key(one.need.ingredient.name) for one in sold)
        enough_of = dict(zip(names, planned, strict=True))
        spares = []
        rows = zip(market.sold, market.terms.articles, plan.basket.packs, strict=True)
        for purchase, article, packs in rows:
            fewer = enough_of[key(purchase.need.ingredient.name)]
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
