"""The demo workbook in the tree is what the library's own writers make today."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from costing.estimating import estimate
from costing.findings import Grade
from costing.workbook.demo import DEMO_NAME
from costing.workbook.reading import read_workbook
from costing.workbook.results.demo import demo_with_results

WORKBOOKS = Path(__file__).resolve().parents[3] / "workbooks"


@pytest.mark.watched("the demo in the tree is made anew with: costing demo workbooks")
def test_demo_workbook__in_the_tree_is_what_is_made_today() -> None:
    data, _, _ = demo_with_results()
    assert (WORKBOOKS / DEMO_NAME).read_bytes() == data


def test_demo_workbook__gives_the_hand_worked_money() -> None:
    """Worked by hand in exact fractions: 38.64 bought, 31.34 used, 3.35 of it from the pantry."""
    shoot, findings = read_workbook(WORKBOOKS / DEMO_NAME)
    totals = estimate(shoot).totals
    assert not [finding for finding in findings if finding.grade is Grade.ERROR]
    assert totals.bought == Decimal("38.64")
    assert totals.used == Decimal("31.34")
    assert totals.on_hand_used == Decimal("3.35")
    assert totals.bought + totals.on_hand_used == totals.used + totals.left


def test_demo_workbook__frames_carry_exact_numbers() -> None:
    """Leek: 1600 g clean / 0.72 = 20000/9 g; 45 steps of 50 g."""
    shoot, _ = read_workbook(WORKBOOKS / DEMO_NAME)
    result = estimate(shoot)
    needs = result.needs.set_index("ingredient")
    assert needs.loc["leek", "as_bought_need"] == Fraction(20000, 9)
    bought = result.to_buy.set_index("ingredient")
    assert bought.loc["leek", "packs"] == 45
    assert sum(result.to_buy["cost"]) == Decimal("38.64")
