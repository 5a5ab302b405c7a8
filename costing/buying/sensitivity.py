"""What the published ranges behind filled blanks could change in what is bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.buying.books import Books, books_of
from costing.buying.published import FIELDS, Fill, with_published
from costing.shoot import Shoot

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
    searching = (
        any(shot.uncertain for shot in shoot.shots)
        or any(shop.visit_cost or shop.minimum_spend for shop in shoot.shops)
        or shoot.settings.leftovers_counted
    )
    if searching or len(shoot.lines) * len(shoot.shots) > LARGEST_PLAN:
        return {}
    return {
        fill: Effect(_bought(shoot, fill, low=True), _bought(shoot, fill, low=False))
        for fill in fills
        if _has_range(fill) and books.purchases
    }


def _has_range(fill: Fill) -> bool:
    value = fill.value
    known = value.low is not None and value.high is not None
    return known and value.low != value.high and value.column in FIELDS


def _bought(shoot: Shoot, fill: Fill, *, low: bool) -> Decimal:
    end = fill.value.low if low else fill.value.high
    taking = {} if end is None else {fill.place: end}
    return books_of(with_published(shoot, taking=taking).shoot).totals.bought
