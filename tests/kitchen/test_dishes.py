"""Lines of recipes: how many pieces they are, whichever way that is said."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from costing.kitchen import Line, Measured, Shown
from costing.kitchen.dishes import is_picked
from costing.quantities import traced


@pytest.mark.parametrize(
    ("given", "pieces"),
    [
        ({"amount": "2 each"}, 2),
        ({"amount": "1 dozen"}, 12),
        ({"amount": "150 g"}, None),
        ({"amount": "150 g", "pieces": 3}, 3),
        ({"amount": "2 each", "pieces": 3}, 3),
        ({"amount": None, "pieces": 3}, 3),
        ({"amount": None}, None),
    ],
    ids=["each", "dozen", "weighed", "pieces weighed", "pieces said", "no amount", "nothing"],
)
def test_counted__is_the_pieces_said_or_those_of_the_amount(
    given: dict[str, Any], pieces: int | None
) -> None:
    assert Line(dish="salad", ingredient="leaf", **given).counted == pieces


def test_is_picked__more_than_one_or_a_part_or_a_cell_that_may_say_so() -> None:
    """A typed 1 picks nothing today, but the formulas have to follow a 2 in its place."""
    assert not is_picked(Fraction(1), None)
    assert is_picked(Fraction(2), None)
    assert is_picked(Fraction(1), Fraction(4, 5))
    assert is_picked(traced(Fraction(1), "Recipes!I7"), None)


def test_line__of_which_nothing_else_is_said() -> None:
    """What blank cells mean: step 1, trimmed, ahead, one candidate, not optional."""
    blank = Line(dish="salad", ingredient="leaf")
    assert (blank.step, blank.measured, blank.shown) == (1, Measured.TRIMMED, Shown.AHEAD)
    assert blank.candidates == 1
    assert (blank.good_enough, blank.picked) == (None, False)
    assert (blank.optional, blank.to_taste, blank.amount) == (False, False, None)
    assert Line(dish="salad", ingredient="leaf", amount="to taste").to_taste
    assert Line(dish="salad", ingredient="leaf", candidates=2).picked
