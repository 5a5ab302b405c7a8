"""All formulas of the result sheets, found in the order in which they lean on each other."""

from __future__ import annotations

from collections.abc import Mapping

from costing.estimating import Estimate
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.needs import follow_needs
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.live.to_buy import follow_needs_from_to_buy, follow_to_buy
from costing.workbook.results.live.totals import Totals
from costing.workbook.results.live.watch import ALL, Check, input_checks, list_check

__all__ = ["Check", "checks", "follow"]


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


def checks(
    estimate: Estimate, spots: Mapping[str, Spot], inputs: Inputs, *, check_row: int
) -> dict[str, Check]:
    """The checks by key of the result sheet; they stand in column A of the row ``check_row``."""
    corners = {key: spot.corner(check_row) for key, spot in spots.items()}
    found = input_checks(estimate.shoot.extents, inputs, corners)
    if ALL in found:
        settings = estimate.shoot.settings
        listed = list_check(settings, spots["to_buy"], spots["needs"], corners[ALL])
        found["to_buy"] = Check(listed, found[ALL].shown)
    return found
