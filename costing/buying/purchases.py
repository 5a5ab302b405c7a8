"""What is bought of one ingredient, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from costing.buying.basket import Offer
from costing.buying.demand import Demand
from costing.buying.left_over import Brought, Left, left_of
from costing.buying.need import Need
from costing.buying.on_hand import Taken
from costing.buying.till import Bought, TillLine
from costing.quantities import ZERO, Amount, untraced_choice


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought of one ingredient, and why; before packs are chosen, what could be.

    Parameters
    ----------
    demand : Demand
        What is needed of it, as bought, by episode.
    taken : Taken
        What stock covers of the need at the likeliest numbers of times.
    net : Fraction
        Need that stock does not cover. [base unit of ``need.unit``]
    allowance : Fraction
        Bought besides, to be lost before the shoot. [base unit of ``need.unit``]
    offers : tuple of Offer
        Its rows of Packs, in their order.
    lines : tuple of (Bought, Fraction)
        What is bought, and what it brings.
    till : tuple of TillLine
        What the till takes for each line.
    by_episode : mapping of str to Fraction
        To be bought for the numbers of times that are provided for. [base unit of ``need.unit``]
    short : Fraction
        What the shops do not have of that. [base unit of ``need.unit``]
    made : Fraction
        What of the need is made, or cut from an article. [base unit of ``need.unit``]
    """

    demand: Demand
    taken: Taken
    net: Fraction = ZERO
    allowance: Fraction = ZERO
    offers: tuple[Offer, ...] = ()
    lines: tuple[tuple[Bought, Fraction], ...] = ()
    till: tuple[TillLine, ...] = ()
    by_episode: Mapping[str, Fraction] = field(default_factory=dict)
    short: Fraction = ZERO
    made: Fraction = ZERO

    @property
    def need(self) -> Need:
        """What is needed of it at the likeliest numbers of times."""
        return self.demand.need

    @property
    def wanted(self) -> Fraction:
        """To be bought, spoilage allowance included. [base unit of ``need.unit``]"""
        return self.net + self.allowance

    @property
    def covered(self) -> Fraction:
        """To be bought for what is provided for, over all episodes. [base unit of ``need.unit``]"""
        return sum(self.by_episode.values(), ZERO)

    @property
    def wanted_with_stock(self) -> Fraction:
        """All that must be there and is not made, stock and spoilage allowance included.

        [base unit of ``need.unit``]
        """
        return self.need.total + self.allowance - self.made

    @property
    def bought(self) -> Fraction:
        """What all lines bring. [base unit of ``need.unit``]"""
        return sum((amount for _, amount in self.lines), ZERO)

    @property
    def brought(self) -> list[Brought]:
        """The packs that are bought, for what is left of them.

        Where a price is unknown all are taken to cost what they bring.
        """
        prices = {id(offer.pack): offer.price for offer in self.offers}
        known = all(prices[id(bought.pack)] is not None for bought, _ in self.lines)
        brought = []
        for bought, amount in self.lines:
            one, price = amount / bought.count, prices[id(bought.pack)]
            sealed = bought.pack.loose_step is None
            worth = price if known and price is not None else one
            brought.append(
                Brought(untraced_choice(one), untraced_choice(worth), bought.count, sealed)
            )
        return brought

    @property
    def left(self) -> Left:
        """What is left of the packs at the likeliest numbers of times."""
        return left_of(self.brought, self.wanted)

    @property
    def in_unit(self) -> Fraction:
        """What one of ``need.unit`` is in base units."""
        return self.need.unit.size

    def text(self, value: Fraction) -> str:
        """An amount in the unit the ingredient is bought in."""
        return str(Amount(value / self.in_unit, self.need.unit))
