"""Of several published values one is taken where they agree, and the others are named."""

from __future__ import annotations

from fractions import Fraction

import pytest

from costing.reference import find_food
from costing.reference.filled import Choices, Filled, decided
from costing.reference.foods import all_foods
from costing.reference.tables import Published, published


def values(*numbers: int) -> list[Filled]:
    """Published trim yields. [%]"""
    return [
        Filled(column="Trim yield %", food_id="leek", value=Fraction(number), state=f"no {at}")
        for at, number in enumerate(numbers, start=1)
    ]


def of_leek() -> Published:
    """What is published of leek; only its name is asked for here."""
    food = find_food("leek").food
    assert food is not None
    return published(food.food_id)


@pytest.mark.parametrize(
    ("fitting", "shown", "note"),
    [
        ((50,), (), ""),
        ((50, 50), (), ""),
        ((50, 52), (), "also published: 52 (no 2)"),
        ((50, 52, 51), (), "also published: 52 (no 2), 51 (no 3)"),
        ((50, 52), (80,), "also published: 52 (no 2), 80 (no 1)"),
    ],
)
def test_decided__those_that_agree_count_as_one(
    fitting: tuple[int, ...], shown: tuple[int, ...], note: str
) -> None:
    """By hand: 52 is 4 % above 50, within a twentieth."""
    found = decided(
        "Trim yield %",
        of_leek(),
        values(*fitting),
        values(*shown),
        within=Fraction(1, 20),
        why="",
    )
    assert isinstance(found, Filled)
    assert found.number == 50
    assert found.note == note


def test_decided__those_that_do_not_agree_are_all_shown() -> None:
    """By hand: 53 is 6 % above 50; exactly a twentieth above, 105 and 100 still agree."""
    many = decided(
        "Trim yield %", of_leek(), values(50, 53), [], within=Fraction(1, 20), why="they differ"
    )
    assert isinstance(many, Choices)
    assert [one.number for one in many.candidates] == [50, 53]
    assert (many.why, many.of_the_food) == ("they differ", True)
    edge = decided("Trim yield %", of_leek(), values(100, 105), [], within=Fraction(1, 20), why="")
    assert isinstance(edge, Filled)
    assert decided("Trim yield %", of_leek(), [], [], why="") is None


def test_shown_number__no_published_number_needs_a_power_of_ten() -> None:
    """All of them lie between a thousandth and ten thousand; a smaller one would be 5e-05."""
    numbers = [
        number
        for food in all_foods()
        for rows in (
            published(food.food_id).trim_yields,
            published(food.food_id).cooked_weights,
            published(food.food_id).piece_weights,
            published(food.food_id).storage_days,
            published(food.food_id).household_measures,
            published(food.food_id).cooked_measures,
        )
        for row in rows
        for number in (row.value, getattr(row, "density", None))
        if number
    ]
    assert Fraction(1, 1000) < min(numbers) <= max(numbers) < 10_000
