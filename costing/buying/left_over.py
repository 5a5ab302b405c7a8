"""What is left over, and which part of it keeps.

The packs that are opened are those that together cost least to open, so that what stays sealed is
worth most. Loose goods are open as they are bought.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.need import Need
from costing.buying.on_hand import Taken, last_day

ZERO = Fraction(0)
Dates = Mapping[str, date | None]
"""The day of each episode's shoot."""

KEEPS_LONG_ENOUGH = 7
"""An opened pack keeps when its life after opening reaches this. [day]"""


@dataclass(frozen=True, slots=True)
class Brought:
    """Packs of one kind that are there.

    Parameters
    ----------
    amount : Fraction
        What one brings. [base unit]
    price : Fraction
        Of one. [money]
    count : int
        How many.
    sealed : bool
        Whether one that is not needed stays sealed; loose goods do not.
    """

    amount: Fraction
    price: Fraction
    count: int
    sealed: bool = True


@dataclass(slots=True)
class Left:
    """What is left of packs.

    Parameters
    ----------
    sealed : Fraction
        In packs that need not be opened. [base unit]
    sealed_value : Fraction
        What these cost. [money]
    rest : Fraction
        In packs that are open. [base unit]
    """

    sealed: Fraction = ZERO
    sealed_value: Fraction = ZERO
    rest: Fraction = ZERO


def left_of(brought: Sequence[Brought], wanted: Fraction) -> Left:
    """What is left of packs when so much is taken of them; nothing when it is more than all.

    Examples
    --------
    300 g of four packs of 250 g: two are opened, two stay sealed, 200 g are open.

    >>> left_of([Brought(Fraction(250), Fraction(1), 4)], Fraction(300))
    Left(sealed=Fraction(500, 1), sealed_value=Fraction(2, 1), rest=Fraction(200, 1))
    """
    loose = sum((kind.amount * kind.count for kind in brought if not kind.sealed), ZERO)
    kinds = [kind for kind in brought if kind.sealed and kind.count]
    opened = _opened(kinds, wanted - loose)
    left = Left(rest=loose - max(ZERO, wanted))
    for kind, count in zip(kinds, opened, strict=True):
        left.rest += kind.amount * count
        left.sealed += kind.amount * (kind.count - count)
        left.sealed_value += kind.price * (kind.count - count)
    left.rest = max(ZERO, left.rest)
    return left


def _opened(kinds: Sequence[Brought], needed: Fraction) -> list[int]:
    """How many of each kind are opened: the cheapest, then the least, that cover what is needed."""
    if len(kinds) == 1:
        (kind,) = kinds
        return [min(kind.count, max(0, -(-needed // kind.amount)))]
    mixtures = cheapest_mixtures(
        needed, [Offer(kind.amount, kind.price, kind.count) for kind in kinds]
    )
    opened = [0] * len(kinds)
    if kinds and needed > 0:
        for alike, count in zip(mixtures.kinds, mixtures.counts[0], strict=True):
            rest = count
            for number in alike.offers:
                opened[number] = min(rest, kinds[number].count)
                rest -= opened[number]
    return opened


def rest_keeps(need: Need, dates: Dates) -> bool:
    """Whether what is open after the last use lives until the next episode, or seven days."""
    days = need.ingredient.keeps_opened
    if days is None or days >= KEEPS_LONG_ENOUGH:
        return days is not None
    used = [dates[episode] for episode, amount in need.as_bought.items() if amount]
    known = [day for day in used if day is not None]
    if not known or len(known) < len(used):
        return False
    opened = max(known)
    later = [day for day in dates.values() if day is not None and day > opened]
    return bool(later) and days >= (min(later) - opened).days


def stock_that_keeps(need: Need, taken: Taken, dates: Dates) -> Fraction:
    """What is left of lots without a date, or a week before their last day. [base unit]"""
    kept = ZERO
    last_shoot = max((day for day in dates.values() if day is not None), default=None)
    for lot, whole, used in taken.from_lots:
        last = last_day(lot, need)
        if last is None or (last_shoot and (last - last_shoot).days >= KEEPS_LONG_ENOUGH):
            kept += whole - used
    return kept
