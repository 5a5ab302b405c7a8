"""What the published ranges behind filled blanks could change in what is bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from costing.buying.blanks import FIELDS
from costing.buying.books import Books, books_of
from costing.buying.published import Fill, Taking, with_published
from costing.reference import COOKED_DENSITY
from costing.shoot import Shoot

NUMBERS = (*FIELDS, COOKED_DENSITY)
"""Filled values that change what is bought."""

LARGEST_PLAN = 20_000
"""Lines times shots up to which every range is tried; beyond it the effects stay unknown."""


@dataclass(frozen=True, slots=True)
class Effect:
    """The bought value at both ends of a range.

    Parameters
    ----------
    low, high : Decimal
        With the value at the low and at the high end of its range. [money]
    """

    low: Decimal
    high: Decimal

    @property
    def width(self) -> Decimal:
        """How far the two are apart. [money]"""
        return abs(self.high - self.low)


def effects_of(shoot: Shoot, fills: Sequence[Fill], books: Books) -> dict[Fill, Effect]:
    """For each filled value with a range the bought value at its ends.

    Parameters
    ----------
    shoot : Shoot
        Before anything was filled, its episodes and shots filled in.
    fills : sequence of Fill
        What was filled.
    books : Books
        With the values used.

    Returns
    -------
    dict of Fill to Effect
        Nothing for values without a range, and nothing at all for a plan too large to try, or
        with numbers of times, shops or leftovers that make each trial a search of its own.
    """
    if not cheap_to_try(shoot):
        return {}
    taken = {fill.place: fill.value.number for fill in fills if fill.value.column in NUMBERS}
    return {
        fill: Effect(*(_bought(shoot, taken | {fill.place: end}) for end in _ends(fill)))
        for fill in fills
        if _ends(fill) and books.purchases
    }


def cheap_to_try(shoot: Shoot) -> bool:
    """Whether another run takes little: the plan is small and nothing makes it a search."""
    searching = (
        any(shot.uncertain for shot in shoot.shots)
        or any(shop.visit_cost or shop.minimum_spend for shop in shoot.shops)
        or shoot.settings.leftovers_counted
    )
    return not searching and len(shoot.lines) * len(shoot.shots) <= LARGEST_PLAN


def _ends(fill: Fill) -> list[Fraction]:
    """The ends of the range of a value; none when it has no range."""
    low, high = fill.value.low, fill.value.high
    if low is None or high is None or low == high or fill.value.column not in NUMBERS:
        return []
    return [low, high]


def _bought(shoot: Shoot, taken: Taking) -> Decimal:
    return books_of(with_published(shoot, taking=taken).shoot).totals.bought
