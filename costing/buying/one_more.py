"""What one more take of a shot adds to the least cost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from costing.buying.articles import Packs
from costing.buying.choosing import bound, cheapest_made
from costing.buying.making import Making
from costing.buying.market import Market
from costing.buying.planning import More, Plan, Planner
from costing.buying.purchases import Counts, Purchase
from costing.buying.shopping import Shopping
from costing.buying.solver import Deadline
from costing.buying.till import money_digits
from costing.names import key
from costing.quantities import ZERO, round_money
from costing.shoot import Shot

NODES = 2_000
"""Branches after which a cost is left out as not proven."""


class OneMore:
    """The prices of one more take of the shots of one shoot.

    Parameters
    ----------
    shopping : Shopping
        What is bought.
    caps : mapping of int to int
        How many times the uncertain shots are covered. [time]
    """

    def __init__(self, shopping: Shopping, caps: Counts) -> None:
        self._shopping = shopping
        self._caps = caps

    @cached_property
    def market(self) -> Market:
        """Of everything, in case more of it is needed."""
        return Market(self._shopping.purchases, self._shopping.shoot, everything=True)

    @cached_property
    def _covered(self) -> tuple[Packs, ...] | None:
        """The cheapest packs for the numbers of times that are covered, if they are proven."""
        return self.cheapest(self._caps)

    @cached_property
    def _planner(self) -> Planner:
        """Of everything, so that what one price looks up serves the next."""
        return self.market.planner()

    def cheapest(
        self,
        caps: Counts,
        more: More | None = None,
        making: Making | None = None,
        deadline: Deadline | None = None,
    ) -> tuple[Packs, ...] | None:
        """The cheapest packs for some caps and what is needed besides, if they are proven."""
        planner, making = self._planner, making or self._shopping.making
        if making is None:
            return proven(planner.cheapest(caps, more, deadline=deadline, nodes=NODES))
        if not self._shopping.chooses:
            with_more = planner.comparing(bound(planner.terms, making))
            return proven(with_more.cheapest(caps, more, deadline=deadline, nodes=NODES))
        lacking = self._shopping.not_to_be_had
        return proven(
            cheapest_made(planner, making, caps, more=more, lacking=lacking, deadline=deadline)
        )

    def price(self, place: int, shot: Shot, deadline: Deadline) -> Decimal | None:
        """What one more of a shot adds to the least cost; ``None`` when not known. [money]"""
        needs, making = self._shopping.needs, self._shopping.making
        if not needs.knows(shot):
            return None
        taken = needs.one_more(place, self._caps)
        if making is not None:
            making = making.with_more(
                {
                    code: {shot.episode: amount}
                    for code, amount in taken.items()
                    if making.givers(code)
                }
            )
        sold = self.market.sold
        more = {
            number: {shot.episode: amount}
            for number, purchase in enumerate(sold)
            if not purchase.demand.made
            if (amount := taken.get(key(purchase.need.ingredient.name)))
        }
        for purchase in self._shopping.purchases:
            amount = taken.get(key(purchase.need.ingredient.name), ZERO)
            if not purchase.offers and self._adds(purchase, shot, amount, making):
                return None
        cost = self._cost_of(more, making, deadline)
        digits = money_digits(self._shopping.shoot.settings)
        return None if cost is None else round_money(max(ZERO, cost), digits)

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
        market, planner = self.market, self._planner
        if not (market.terms.coupled or self._shopping.chooses):
            numbers = list(more) if making is None else list(range(len(market.terms.articles)))
            after = planner if making is None else planner.comparing(bound(planner.terms, making))
            needs = planner.needs(self._caps, only=numbers)
            needs_more = after.needs(self._caps, more, only=numbers)
            added = list(map(market.mixing.added, numbers, needs, needs_more))
            known = [one for one in added if one is not None]
            return sum(known, ZERO) if len(known) == len(added) else None
        if self._covered is None:
            return None
        if making is None:
            needs = planner.needs(self._caps, more)
            pairs = zip(market.terms.articles, self._covered, needs, strict=True)
            if not any(article.lacking(packs, one) for article, packs, one in pairs):
                return ZERO  # the cheapest for less is the cheapest for more when it covers it
        packs = self.cheapest(self._caps, more, making, deadline)
        if packs is None:
            return None
        for article, before, after_packs in zip(
            market.terms.articles, self._covered, packs, strict=True
        ):
            rows = zip(article.offers, before, after_packs, strict=True)
            if any(offer.price is None and one != two for offer, one, two in rows):
                return None
        return market.terms.paid(packs) - market.terms.paid(self._covered)


def proven(plan: Plan | None) -> tuple[Packs, ...] | None:
    """The packs of a plan that is proven to be the cheapest."""
    return plan.basket.packs if plan is not None and plan.gap == 0 else None
