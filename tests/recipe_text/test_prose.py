"""Foods with their amounts in sentences, worked by hand."""

from __future__ import annotations

import json
from typing import Literal

import pytest

from costing.quantities import Measures
from costing.recipe_text import read_recipe
from costing.recipe_text.prose import MOST_LOOKED_FOR, amounts_in

SENTENCES = {
    "Take four pounds of flour, a tablespoonful of salt, and half an ounce of yeast.": [
        "four pounds of flour",
        "a tablespoonful of salt",
        "half an ounce of yeast",
    ],
    "Mix with a pint and a half of lukewarm water, pour it in.": [
        "a pint and a half of lukewarm water"
    ],
    "To one quart of apples, well mashed, put the whites of three eggs.": [
        "one quart of apples",
        "the whites of three eggs",
    ],
    "One tablespoonful of butter; one of sugar; salt.": [
        "One tablespoonful of butter",
        "one tbsp of sugar",
    ],
    "Fry 3 cloves of garlic, sliced, for 1 minute.": ["3 cloves of garlic, sliced"],
    "Add 1.5 dl milk, then 2 to 3 eggs.": ["1.5 dl milk", "2 to 3 eggs"],
    "Finish with a handful of parsley.": ["a handful of parsley"],
    "Bake 20 minutes at 180 C, gas 4, for an hour, in a 20 cm tin.": [],
    "Add the 2 eggs, the remaining 50 g butter and half of it.": [],
    "Divide into 4 pieces, 2 at a time, to make 12 buns.": [],
    "Bring 1 cup of it to a boil; add one of them.": [],
}


@pytest.mark.parametrize("text", SENTENCES)
def test_amounts_in__takes_foods_and_neither_times_nor_what_was_said(text: str) -> None:
    assert amounts_in(text, Measures.METRIC) == SENTENCES[text]


def rows(text: str, kind: Literal["text", "json"] = "text") -> list[tuple[object, ...]]:
    read = read_recipe(text, kind=kind, measures=Measures.METRIC, file_name="dip.txt")
    heads = ("Dish", "Step", "Ingredient", "Amount", "Unit")
    return [tuple(row[head] for head in heads) for row in read.rows["Recipes"] if row["Ingredient"]]


def test_read_recipe__a_paragraph_whose_name_is_run_in() -> None:
    text = (
        "Corn pudding.\u2014One quart of apples; four eggs, well beaten; 1 lb. of butter; some "
        "nutmeg. Beat the eggs, add the rest, and bake."
    )
    assert rows(text) == [
        ("Corn pudding", 1, "apples", "1", "quart"),
        ("Corn pudding", 1, "egg", "4", "each"),
        ("Corn pudding", 1, "butter", "1", "lb"),
    ]


def test_read_recipe__numbered_steps_and_no_list() -> None:
    text = "Noodles\n\n1. Boil 200 g noodles.\n2. Melt 50 g butter. Add the noodles."
    assert rows(text) == [
        ("Noodles", 1, "noodles", "200", "g"),
        ("Noodles", 2, "butter", "50", "g"),
    ]


def test_read_recipe__instructions_without_a_list_in_json() -> None:
    recipe = {"@type": "Recipe", "name": "Tea", "recipeInstructions": ["Steep 2 tsp tea leaves."]}
    assert rows(json.dumps(recipe), "json") == [("Tea", 1, "tea leaves", "2", "tsp")]


def test_amounts_in__so_many_of_a_step_and_no_more() -> None:
    """A step of a thousand articles took 16 seconds."""
    assert len(amounts_in("2 eggs, " * 500, Measures.METRIC)) == MOST_LOOKED_FOR
    assert amounts_in("a " * 1_000, Measures.METRIC) == []
