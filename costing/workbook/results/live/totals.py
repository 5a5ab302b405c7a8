"""Formulas of Summary and Food cost: totals, and what hangs on them."""

from __future__ import annotations

from fractions import Fraction

from costing.buying.books import Books
from costing.buying.till import money_digits
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.live.terms import Term, difference, ratio, rounded, total


def summed(spot: Spot, key: str) -> Term:
    """The sum of a column; blank cells count for nothing."""
    values = (spot.value(row, key) for row in range(len(spot.table.rows)))
    value = sum((value for value in values if value is not None), Fraction(0))
    return Term(f"SUM({spot.column(key)})", value)


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
        return rounded(summed(self._needs, "used_value"), self._digits)

    @property
    def on_hand_used(self) -> Term | None:
        """The part of it that comes from stock. [money]"""
        keys = ("used_value", "left_value", "bought_value")
        rows = range(len(self._needs.table.rows))
        if any(self._needs.value(row, key) is None for row in rows for key in keys):
            return None
        used, left, bought = (summed(self._needs, key) for key in keys)
        return rounded(difference(total([used, left]), bought), self._digits)

    def follow_summary(self, spot: Spot, inputs: Inputs) -> None:
        """Find the formulas of Summary."""
        rows = {str(row["figure"]): number for number, row in enumerate(spot.table.rows)}
        for figure, term in (
            ("Bought value", self.bought),
            ("Used value", self.used),
            ("of which from on hand", self.on_hand_used),
        ):
            spot.follow(rows[figure], "value", term)
        bought, used, on_hand = (
            Term(
                spot.reference(rows[figure], "value"),
                spot.value(rows[figure], "value") or Fraction(0),
            )
            for figure in ("Bought value", "Used value", "of which from on hand")
        )
        left = rounded(difference(total([bought, on_hand]), used), self._digits)
        spot.follow(rows["Left value"], "value", left)
        if len(self._books.shoot.episodes) != 1:
            return
        episode = self._books.shoot.episodes[0]
        for heading, word, count in (
            ("Portions", "portion", episode.portions),
            ("Minutes", "minute", episode.minutes),
        ):
            row = rows.get(f"Used for a {word} of {episode.name}")
            if row is not None and count:
                each = ratio(used, inputs.cell(episode, heading, count))
                spot.follow(row, "value", rounded(each, self._digits))
        row = rows.get(f"Over budget, {episode.name}")
        if row is not None and episode.budget is not None:
            budget = inputs.cell(episode, "Budget", Fraction(episode.budget))
            spot.follow_over(row, "value", bought, budget, self._digits)

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
            if not whole or share is None or episode is None or episode.budget is None:
                continue
            spot.follow(number, "budget", inputs.cell(episode, "Budget", Fraction(episode.budget)))
            budget = spot.cell(number, "budget")
            if budget is not None:
                spot.follow_over(number, "over", share, budget, self._digits)
