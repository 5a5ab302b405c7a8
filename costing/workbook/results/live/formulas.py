"""All formulas of the result sheets, found in the order in which they lean on each other."""

from __future__ import annotations

from collections.abc import Mapping

from costing.estimating import Estimate
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.needs import follow_needs
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.live.to_buy import follow_needs_from_to_buy, follow_to_buy
from costing.workbook.results.live.totals import Totals


def follow(estimate: Estimate, spots: Mapping[str, Spot], inputs: Inputs) -> None:
    """Find the formulas of To buy, Needs, Food cost and Summary.

    Parameters
    ----------
    estimate : Estimate
        What was worked out.
    spots : mapping of str to Spot
        The result tables by key, which take the formulas up.
    inputs : Inputs
        Cells that may be referred to.
    """
    books = estimate.books
    to_buy, needs = spots["to_buy"], spots["needs"]
    follow_to_buy(books, to_buy, needs, inputs)
    follow_needs(books, needs, to_buy, inputs)
    follow_needs_from_to_buy(books, to_buy, needs, inputs)
    totals = Totals(books, to_buy, needs)
    totals.follow_summary(spots["summary"], inputs)
    totals.follow_food_cost(spots["food_cost"], inputs)
