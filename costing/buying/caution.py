"""What caution costs: how sure the basket is, what one more take costs, what less would save."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import product

from costing.buying.articles import HALF, Packs
from costing.buying.choosing import MakingChoice, bound, cheapest_made
from costing.buying.expected import Expected, expected
from costing.buying.making import Making
from costing.buying.market import Market
from costing.buying.planning import More, Plan, Planner, proven
from costing.buying.purchases import Counts, Purchase
from costing.buying.shopping import Shopping
from costing.buying.solver import Deadline, Ending
from costing.buying.till import money_digits
from costing.buying.values import Values
from costing.quantities import ONE, ZERO, round_money
from costing.shoot import Shot

CHANCES_TRIED = tuple(Fraction(n, 1000) for n in (0, 1, 10, 20, 50, 100, 150, 200, 300, 400, 500))
"""Chances of running out that are tried where there are too many to try all. [fraction]"""

CHANCES_OF_A_LARGE_PLAN = tuple(Fraction(n, 1000) for n in (0, 10, 50, 200, 500))
"""The same for a large plan, where each is a long search. [fraction]"""

MOST_LEVELS = 16
"""Attainable chances of running out up to which all are tried."""

MOST_SHOTS = 200
"""Shots up to which one more take of each is priced without being asked for."""

SAMPLE = 3
"""Of more shots the first are priced all the same. [shot]"""

NODES = 2_000
"""Branches after which a cost is left out as not proven."""

WORK = 12_000_000
"""For one more take of all shots, and for the chances that are tried: about a minute, counted so
that every computer shows the same. [column times branch]"""

WORK_CHOOSING = 1_250_000
"""The same where each price is a search of its own for what is made and bought ready."""


@dataclass(frozen=True, slots=True)
class Take:
    """A shot, how often it is covered, and what covering it once more would cost.

    Parameters
    ----------
    covered : int
        How many times it is provided for. [time]
    chance_enough : Fraction, optional
        That this is enough; ``None`` for a certain number of times. [fraction]
    one_more : Decimal, optional
        What one more adds to the cheapest basket; ``None`` when it is not known or cannot be
        bought. [money]
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
    """Everything about the caution of one shoot's shopping, worked out when it is asked for."""

    def __init__(
        self, shopping: Shopping, values: Sequence[Values], *, every_take: bool = False
    ) -> None:
        self._shopping = shopping
        self._every_take = every_take
        self._values = values
        self._digits = money_digits(shopping.shoot.settings)
        self._caps = shopping.plan.basket.caps if shopping.plan else {}

    def _deadline(self) -> Deadline:
        return Deadline(work=WORK_CHOOSING if self._shopping.chooses else WORK)

    @cached_property
    def _everything(self) -> Market:
        """The market of all ingredients, in case more of one is needed."""
        return Market(self._shopping.purchases, self._shopping.shoot, everything=True)

    @cached_property
    def _planner(self) -> Planner:
        """Of everything, so that what one price looks up serves the next."""
        return self._everything.planner()

    @cached_property
    def _covered(self) -> tuple[Packs, ...] | None:
        """The cheapest packs for the numbers of times that are covered, if they are proven."""
        return proven(self._cheapest(self._planner, self._caps, known=self._shopping.choice))

    def _cheapest(
        self,
        planner: Planner,
        asked: Counts | Fraction,
        more: More | None = None,
        making: Making | None = None,
        deadline: Deadline | None = None,
        known: MakingChoice | None = None,
    ) -> Plan | Ending:
        """The least cost for caps or a chance, what is made and bought ready chosen anew."""
        made = making or self._shopping.making
        if made is not None and self._shopping.chooses:
            return cheapest_made(
                planner,
                made,
                asked,
                more,
                known=known,
                lacking=self._shopping.not_to_be_had,
                deadline=deadline or self._deadline(),
                nodes=NODES if isinstance(asked, Fraction) else None,
                settle=more is None,  # which packs one more take has does not matter
            )
        if making is not None:
            planner = planner.comparing(bound(planner.terms, making))
        return planner.cheapest(asked, more, deadline=deadline or self._deadline(), nodes=NODES)

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

    @cached_property
    def takes(self) -> list[Take]:
        """Every shot of a dish, in the order of the plan; after the deadline none has a price."""
        shoot = self._shopping.shoot
        times = self._shopping.market.times
        shots = [(n, s) for n, s in enumerate(shoot.shots) if shoot.is_dish(s.dish)]
        few = self._every_take or len(shots) <= MOST_SHOTS
        deadline = Deadline() if self._every_take else self._deadline()
        takes, known = list[Take](), dict[object, Decimal | None]()
        for number, shot in shots:
            priced = (few or len(takes) < SAMPLE) and not deadline.passed
            covered = self._caps.get(number, shot.times)
            enough = times[number].chance_within(covered) if number in self._caps else None
            price = None
            if priced and self._shopping.needs.knows(shot):
                taken = self._shopping.needs.one_more(number, self._caps)
                same = shot.episode, tuple(sorted(taken.items()))  # what a price depends on
                if same not in known:
                    known[same] = self._price(shot, taken, deadline)
                price = known[same]
            takes.append(Take(shot, covered, enough, price, priced))
        return takes

    def _price(self, shot: Shot, taken: dict[str, Fraction], deadline: Deadline) -> Decimal | None:
        """What one more of a shot adds to the least cost; ``None`` when not known. [money]"""
        if (making := self._shopping.making) is not None:
            made = {code: amount for code, amount in taken.items() if making.givers(code)}
            making = making.with_more({code: {shot.episode: made[code]} for code in made})
        more = {
            number: {shot.episode: amount}
            for number, purchase in enumerate(self._everything.sold)
            if not purchase.demand.made
            if (amount := taken.get(purchase.demand.code))
        }
        for purchase in self._shopping.purchases:
            amount = taken.get(purchase.demand.code, ZERO)
            if not purchase.offers and self._adds(purchase, shot, amount, making):
                return None
        cost = self._cost_of(more, making, deadline)
        # where left-overs count, more may be wanted for less money; less than nothing is no price
        return None if cost is None else round_money(max(ZERO, cost), self._digits)

    def _adds(
        self, purchase: Purchase, shot: Shot, amount: Fraction, making: Making | None
    ) -> bool:
        """Whether stock does not cover one more take of an ingredient that nobody sells."""
        demand, planned = purchase.demand, self._shopping.market.planned
        if demand.made:
            return False
        as_bought = before = demand.as_bought(self._caps, planned)
        if demand.making is not None:
            as_bought = replace(demand, making=making).as_bought(self._caps, planned)
        if not amount and as_bought == before:
            return False
        as_bought[shot.episode] = as_bought.get(shot.episode, ZERO) + amount
        return demand.wanted(as_bought) > 0

    def _cost_of(self, more: More, making: Making | None, deadline: Deadline) -> Fraction | None:
        """What more of some articles adds to the least cost; ``None`` where it is not proven."""
        market, planner = self._everything, self._planner
        if not (market.terms.coupled or self._shopping.chooses):
            # nothing couples the articles: only those that more is taken of can cost more
            numbers = list(more) if making is None else list(range(len(market.terms.articles)))
            deadline.spend(sum(len(market.terms.articles[n].offers) for n in numbers))
            after = planner if making is None else planner.comparing(bound(planner.terms, making))
            needs = planner.needs_alone(self._caps, only=numbers)
            needs_more = after.needs_alone(self._caps, more, only=numbers)
            added = list(map(planner.mixing.added, numbers, needs, needs_more))
            known = [one for one in added if one is not None]
            return sum(known, ZERO) if len(known) == len(added) else None
        if self._covered is None:
            return None
        if making is None:
            of_all = planner.needs(self._caps, more)
            pairs = zip(market.terms.articles, self._covered, of_all, strict=True)
            if not any(article.lacking(packs, one) for article, packs, one in pairs):
                return ZERO  # the cheapest for less is the cheapest for more when it covers it
        asked = self._caps, more, making, deadline, self._shopping.choice
        packs = proven(self._cheapest(planner, *asked))
        if packs is None:
            return None
        for article, *counts in zip(market.terms.articles, self._covered, packs, strict=True):
            rows = zip(article.offers, *counts, strict=True)
            if any(offer.price is None and one != two for offer, one, two in rows):
                return None
        return market.terms.paid(packs) - market.terms.paid(self._covered)

    @cached_property
    def points(self) -> tuple[list[Point], list[Fraction]]:
        """Efficient points from no chance of running out to a half, and chances left out.

        A chance is left out when the least cost at it was not proven within the limit; where more
        cannot be reached there is no point either.
        """
        provided, market = self._shopping.provided, self._shopping.market
        if provided is None or not (market.times and provided.covered) or provided.plan.gap != 0:
            return [], []
        plan = provided.plan
        packs = plan.basket.packs
        found = [(1 - plan.chance, market.terms.cost(packs), Fraction(market.till(packs)))]
        market = self._everything if self._shopping.chooses else market
        planner, deadline = market.planner(), self._deadline()
        left_out = []
        # from the least sure on: a basket that is surer than asked for spares the levels between,
        # and once a chance cannot be had no surer one can
        levels = sorted({*self._levels()} - {found[0][0]})
        while levels:
            level = levels.pop()
            point = self._cheapest(planner, 1 - level, deadline=deadline)
            if point is Ending.IMPOSSIBLE:
                break
            if isinstance(point, Ending):
                left_out.append(level)
                continue
            risk, packs = 1 - point.chance, point.basket.packs
            del levels[bisect_left(levels, risk) :]
            found.append((risk, market.terms.cost(packs), Fraction(market.till(packs))))
        return list(self._efficient(found)), left_out

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
        chosen_from = self._everything if self._shopping.chooses else market
        planned = proven(self._cheapest(chosen_from.planner(), market.planned))
        if planned is None:
            return []
        names = (one.demand.code for one in chosen_from.sold)
        enough_of = dict(zip(names, planned, strict=True))
        spares = []
        rows = zip(market.sold, market.terms.articles, plan.basket.packs, strict=True)
        for purchase, article, packs in rows:
            fewer = enough_of[purchase.demand.code]
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
