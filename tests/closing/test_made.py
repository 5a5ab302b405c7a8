"""What was counted of what was made, batch by batch."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from costing.closing.made import MadeDish, MadeOnDay
from costing.quantities import GRAM


@pytest.mark.parametrize(
    ("day", "keeps", "use_by"),
    [
        (date(2031, 5, 10), Fraction(5, 2), date(2031, 5, 12)),
        (date(2031, 5, 10), Fraction(0), None),
        (date(2031, 5, 10), None, None),
        (None, Fraction(3), None),
    ],
    ids=["two days and a half", "nothing", "nobody knows", "no day"],
)
def test_use_by__is_the_last_whole_day(
    day: date | None, keeps: Fraction | None, use_by: date | None
) -> None:
    """Of two days and a half the third is not over: the 12th is the last."""
    assert MadeOnDay(day, keeps, Fraction(500), Fraction(300)).use_by == use_by


@pytest.mark.parametrize(
    ("counted", "parts"),
    [(0, [0, 0]), (200, [200, 0]), (400, [300, 100]), (500, [300, 200]), (650, [450, 200])],
    ids=["none", "of the first", "of both", "all", "more than the takes left"],
)
def test_parts_of__the_first_is_what_its_takes_left_and_what_is_there_beyond(
    counted: int, parts: list[int]
) -> None:
    """By the rule: 300 g are left of the first batch of 500 g, 200 g of the second."""
    days = [(date(2031, 5, day), Fraction(left)) for day, left in ((10, 300), (11, 200))]
    made = MadeDish(
        GRAM, tuple(MadeOnDay(day, Fraction(3), Fraction(500), left) for day, left in days)
    )
    assert [made.amount, made.left] == [1000, 500]
    found = made.parts_of(Fraction(counted))
    assert [batch for batch, _ in found] == [*made.batches]
    assert [part for _, part in found] == parts
    lots = [str(one.amount) for one in made.lots("dough", Fraction(counted))]
    assert lots == [f"{part} g" for part in parts]
