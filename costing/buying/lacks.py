"""What the next take lacks of an ingredient, and the cheapest packs that bring it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.supplies import Supply
from costing.quantities import ZERO


@dataclass(frozen=True, slots=True)
class Shortfall:
    """What the next take lacks of one ingredient.

    Parameters
    ----------
    supply : Supply
        Of the ingredient.
    amount : Fraction
        How much. [base unit it is bought in]
    packs : tuple of (Offer, int)
        The cheapest packs that bring it; none where no shop has more.
    price : Fraction, optional
        What they cost; ``None`` where a price is unknown or there are none. [money]
    """

    supply: Supply
    amount: Fraction
    packs: tuple[tuple[Offer, int], ...] = ()
    price: Fraction | None = None


def lack_of(supply: Supply, amount: Fraction) -> Shortfall:
    """What lacks of an ingredient, with the cheapest packs that bring it."""
    taken = {id(bought.pack): bought.count for bought, _ in supply.purchase.lines}
    offers = [
        one
        if one.at_most is None
        else replace(one, at_most=one.at_most - taken.get(id(one.pack), 0))
        for one in supply.purchase.offers
    ]
    priced = [offer for offer in offers if offer.price is not None] or offers
    found = cheapest_mixtures(amount, priced) if priced else None
    if found is None or not found.covered:
        return Shortfall(supply, amount)
    packs: list[tuple[Offer, int]] = []
    for kind, count in zip(found.kinds, found.counts[0], strict=True):
        left = count
        for number in kind.offers:
            offer = priced[number]
            part = left if offer.at_most is None else min(left, offer.at_most)
            left -= part
            if part:
                packs.append((offer, part))
    if any(offer.price is None for offer, _ in packs):
        return Shortfall(supply, amount, tuple(packs))
    price = sum((offer.cost * count for offer, count in packs), ZERO)
    return Shortfall(supply, amount, tuple(packs), price)
