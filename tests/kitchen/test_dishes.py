"""Lines of recipes: how many pieces they are, whichever way that is said."""

from __future__ import annotations

from typing import Any

import pytest

from costing.kitchen import Line, Measured, Shown


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


def test_line__of_which_nothing_else_is_said() -> None:
    """What blank cells mean: step 1, trimmed, ahead, one candidate, not optional."""
    blank = Line(dish="salad", ingredient="leaf")
    assert (blank.step, blank.measured, blank.shown) == (1, Measured.TRIMMED, Shown.AHEAD)
    assert blank.candidates == 1
    assert (blank.good_enough, blank.picked) == (None, False)
    assert (blank.optional, blank.to_taste, blank.amount) == (False, False, None)
    assert Line(dish="salad", ingredient="leaf", amount="to taste").to_taste
    assert Line(dish="salad", ingredient="leaf", candidates=2).picked
