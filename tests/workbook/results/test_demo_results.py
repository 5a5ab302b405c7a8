"""The demo workbook in the tree is what the library's own writers make today."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from scipy.stats import beta

from costing.estimating import estimate
from costing.findings import Grade
from costing.workbook.demo import DEMO_NAME, UNCERTAIN_NAME
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import demo_with_results

WORKBOOKS = Path(__file__).resolve().parents[3] / "workbooks"


@pytest.mark.watched("the demo in the tree is made anew with: costing demo workbooks")
def test_demo_workbook__in_the_tree_is_what_is_made_today() -> None:
    data, _ = demo_with_results()
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


@pytest.mark.watched("made anew with: costing demo --uncertain workbooks")
def test_uncertain_demo__in_the_tree_is_what_is_made_today() -> None:
    data, _ = demo_with_results(uncertain=True)
    assert (WORKBOOKS / UNCERTAIN_NAME).read_bytes() == data


def test_uncertain_demo__covers_one_take_more_than_planned() -> None:
    """Charring once to four times, twice likeliest; a loose step of 50 g of leek costs 0.0945.

    Step 2 is fed by two other shots too, so three charrings take 5 x 400 g / 0.72 = 2777.78 g, or
    56 steps, 5.29 where two take 45 at 4.25: 38.64 - 4.25 + 5.29 = 39.68. Four take 67 at 6.33.
    The chance of a fourth is what the beta distribution of shapes 1 + 4 x 1.5 / 4 and
    1 + 4 x 2.5 / 4 on 0.5 to 4.5 has above 3.5.
    """
    shoot, _ = read_workbook(WORKBOOKS / UNCERTAIN_NAME)
    result = estimate(shoot).as_json()
    fourth = float(beta.sf(3 / 4, 2.5, 3.5))
    more = float(beta.sf(2 / 4, 2.5, 3.5))
    (times,) = result["times"]
    assert (times["shot"], times["times"], times["covered"]) == ("P5", 2, 3)
    assert float(result["totals"]["chance_of_running_out"]) == pytest.approx(100 * fourth, abs=1e-4)
    assert [
        (float(point["chance_of_running_out"]), point["bought"])
        for point in result["cost_of_caution"]
    ] == [
        (0, "40.72"),
        (pytest.approx(100 * fourth, abs=1e-4), "39.68"),
        (pytest.approx(100 * more, abs=1e-4), "38.64"),
    ]
    assert result["totals"]["used"] == "31.34"
