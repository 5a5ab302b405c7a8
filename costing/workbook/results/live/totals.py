"""Formulas of Summary and Food cost: totals, and what hangs on them."""

from __future__ import annotations

from fractions import Fraction

from costing.buying.books import Books
from costing.buying.till import money_digits
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.live.terms import (
    Term,
    difference,
    evened,
    ratio,
    rounded,
    total,
)

BOUGHT, USED, LEFT = "Bought value", "Used value", "Left value"
ON_HAND, VISITS = "of which from on hand", "Visits and deliveries"
"""Figures of Summary."""


def summed(spot: Spot, key: str) -> Term:
    """The sum of a column; blank cells count for nothing."""
    values = (spot.value(row, key) for row in range(len(spot.table.rows)))
    value = sum((value for value in values if value is not None), Fraction(0))
    return Term(f"SUM({spot.column(key)})", value)


def _follow(spot: Spot, figure: str, term: Term | None) -> None:
    """Let a figure of Summary follow, if it is there."""
    row = spot.row_of("figure", figure)
    if row is not None:
        spot.follow(row, "value", term)


def _figure(spot: Spot, figure: str) -> Term | None:
    """A figure of Summary as part of a formula."""
    row = spot.row_of("figure", figure)
    value = None if row is None else spot.value(row, "value")
    return None if row is None or value is None else Term(spot.reference(row, "value"), value)


class Totals:
    """The totals of a shoot as formulas over To buy and Needs.

    Parameters
    ----------
    books : Books
        What was worked out.
    to_buy, needs : Spot
        The tables that are added up.
    """

    def __init__(self, books: Books, to_buy: Spot, needs: Spot) -> None:
        self._digits = money_digits(books.shoot.settings)
        self._books, self._to_buy, self._needs = books, to_buy, needs

    @property
    def bought(self) -> Term | None:
        """What the tills take. [money]"""
        return rounded(summed(self._to_buy, "cost"), self._digits)

    @property
    def used(self) -> Term | None:
        """What the shots take. [money]"""
        return rounded(evened(summed(self._needs, "used_value")), self._digits)

    @property
    def on_hand_used(self) -> Term | None:
        """The part of it that comes from stock. [money]"""
        keys = ("used_value", "left_value", "bought_value")
        rows = range(len(self._needs.table.rows))
        if any(self._needs.value(row, key) is None for row in rows for key in keys):
            return None
        used, left, bought = (summed(self._needs, key) for key in keys)
        return rounded(evened(difference(total([used, left]), bought)), self._digits)

    def follow_summary(self, spot: Spot, inputs: Inputs) -> None:
        """Find the formulas of Summary."""
        for figure, term in (
            (BOUGHT, self.bought),
            (USED, self.used),
            (ON_HAND, self.on_hand_used),
        ):
            _follow(spot, figure, term)
        bought, used, on_hand = (_figure(spot, name) for name in (BOUGHT, USED, ON_HAND))
        if bought is None or used is None or on_hand is None:
            return
        left = rounded(difference(total([bought, on_hand]), used), self._digits)
        _follow(spot, LEFT, left)
        if len(self._books.shoot.episodes) != 1:
            return
        episode = self._books.shoot.episodes[0]
        for heading, word, count in (
            ("Portions", "portion", episode.portions),
            ("Minutes", "minute", episode.minutes),
        ):
            if count:
                each = ratio(used, inputs.cell(episode, heading, count))
                figure = f"Used for a {word} of {episode.name}"
                _follow(spot, figure, rounded(each, self._digits))
        row = spot.row_of("figure", f"Over budget, {episode.name}")
        if row is not None and episode.budget is not None:
            budget = inputs.cell(episode, "Budget", Fraction(episode.budget))
            visits = _figure(spot, VISITS)
            paid = bought if visits is None else total([bought, visits])
            spot.follow_over(row, "value", paid, budget, self._digits)

    def follow_food_cost(self, spot: Spot, inputs: Inputs) -> None:
        """Find the formulas of Food cost.

        Shares are rounded so that they add up to the coin, which no formula of a cell of its own
        can do; only what is the whole follows.
        """
        episodes = {episode.name: episode for episode in self._books.shoot.episodes}
        alone = len(self._books.shares) == 1
        for number, row in enumerate(spot.table.rows):
            whole = row["purpose"] is None
            if alone or (whole and len(episodes) == 1):
                spot.follow(number, "used_value", self.used)
                spot.follow(number, "share_of_bought", self.bought)
            episode = episodes.get(str(row["episode"]))
            share = spot.cell(number, "share_of_bought")
            visits = spot.cell(number, "share_of_visits")
            if visits is not None and visits.value and share is not None:
                share = total([share, visits])
            if not whole or share is None or episode is None or episode.budget is None:
                continue
            spot.follow(number, "budget", inputs.cell(episode, "Budget", Fraction(episode.budget)))
            budget = spot.cell(number, "budget")
            if budget is not None:
                spot.follow_over(number, "over", share, budget, self._digits)
