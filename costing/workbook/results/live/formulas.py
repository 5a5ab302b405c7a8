"""All formulas of the result sheets, found in the order in which they lean on each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from costing.estimating import Estimate
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.needs import follow_needs
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.live.to_buy import follow_needs_from_to_buy, follow_to_buy
from costing.workbook.results.live.totals import Totals
from costing.workbook.results.live.watch import inputs_check, list_check


@dataclass(frozen=True, slots=True)
class Check:
    """A cell that says whether results are out of date.

    Parameters
    ----------
    formula : str
        As the file spells it.
    shown : str
        What it shows now.
    """

    formula: str
    shown: str


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
    """The checks of Summary and To buy, which stand in column A of the row ``check_row``."""
    formula, shown = inputs_check(estimate.shoot, inputs)
    if not formula:
        return {}
    summary = spots["summary"].corner(check_row)
    settings = estimate.shoot.settings
    listed = list_check(settings, spots["to_buy"], spots["needs"], summary)
    return {"summary": Check(formula, shown), "to_buy": Check(listed, shown)}
