"""Whole recipes as people copy them from anywhere: title, yield, rows and the step of each.

``wild_recipes.txt`` was typed by hand, expected rows first. When first read, 48 of its 53 rows were
right, two sets of title and yield and one line above the list were told and wrong.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import pytest

from costing.recipe_text import read_recipe

FILE = Path(__file__).with_name("wild_recipes.txt")
RECIPES = FILE.read_text(encoding="utf-8").split("=====\n")[1:]


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda text: text.split("\n")[0])
def test_read_recipe__a_layout_of_the_wild_comes_in_whole(recipe: str) -> None:
    """Rows are compared as step, ingredient, amount and unit, in the order of the sheet."""
    name, _, rest = recipe.partition("\n")
    text, _, wanted = rest.partition("-----\n")
    kind: Literal["text", "json"] = "json" if name.endswith("json") else "text"
    read = read_recipe(text, kind=kind, measures=None, file_name=name)
    dish = read.rows.get("Dishes", [{}])[0]
    found = [f"{read.rows['Recipes'][0]['Dish']}|{dish.get('Makes')}|{dish.get('Unit')}"]
    found += [
        "|".join(str(row[head] or "") for head in ("Step", "Ingredient", "Amount", "Unit"))
        for row in read.rows["Recipes"]
        if row["Ingredient"]
    ]
    assert sorted(found) == sorted(wanted.splitlines())
