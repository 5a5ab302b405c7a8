"""What a recipe makes."""

from __future__ import annotations

import pytest

from costing.quantities import Measures
from costing.recipe_text.outline import is_yield_line, makes, named_after, step_name


@pytest.mark.trade
@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("Serves 4", "4", "portion"),
        ("serves four", "4", "portion"),
        ("4 servings", "4", "portion"),
        ("For 6 people", "6", "portion"),
        ("Serves 4 as a main or 6 as a starter", "4", "portion"),
        ("Makes 12 muffins", "12", "each"),
        ("Yield: 2 loaves", "2", "each"),
        ("Makes a loaf", "1", "each"),
        ("makes 2 dozen", "2", "dozen"),
        ("Makes about 500 ml", "500", "ml"),
        ("Yields 1.5 kg", "1.5", "kg"),
        ("1 loaf (about 12 slices)", "1", "each"),
        ("Serves 4-6", "4", "portion"),
        ("6", "6", "portion"),
        ("a crowd", "", ""),
        ("Makes plenty", "", ""),
        ("0 servings", "", ""),
    ],
)
def test_makes__number_and_what_it_counts(text: str, amount: str, unit: str) -> None:
    made = makes(text, Measures.METRIC)
    assert (made.amount, made.unit) == (amount, unit)
    assert made.amount or made.doubts


@pytest.mark.parametrize(
    "text", ["Serves 4", "makes 12", "Servings: 4", "For 4", "for 4-6", "For 4 people", "Yield 3"]
)
def test_is_yield_line__told_from_an_ingredient(text: str) -> None:
    assert is_yield_line(text)


@pytest.mark.parametrize(
    ("file_name", "dish"),
    [("C:\\mine\\leek_tart-2.txt", "leek tart 2"), ("folder/--.txt", "recipe"), ("_", "recipe")],
)
def test_named_after__a_file_without_a_name_is_a_recipe(file_name: str, dish: str) -> None:
    assert named_after(file_name) == dish


@pytest.mark.parametrize(
    ("length", "name"), [(60, "Stir the leeks and " + "b" * 41), (61, "Stir the leeks and…")]
)
def test_step_name__has_at_most_sixty_characters(length: int, name: str) -> None:
    """A longer one ends behind its last whole word, and the rest is in Note."""
    text = "Stir the leeks and " + "b" * (length - 19)
    assert (len(text), step_name(text)) == (length, name)


@pytest.mark.parametrize("text", ["4 eggs", "portion of rice", "for the sauce", "yeast", "Serves"])
def test_is_yield_line__not_an_ingredient(text: str) -> None:
    assert not is_yield_line(text)


def test_makes__a_bracket_says_nothing_of_what_is_counted() -> None:
    """4 (large) are portions, as 4 alone are, and that is told."""
    made = makes("4 (large)", Measures.METRIC)
    assert (made.unit, len(made.doubts)) == ("portion", 1)
