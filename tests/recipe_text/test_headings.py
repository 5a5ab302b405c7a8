"""Which lines head the ingredients of a part, and what is bold or numbered around them."""

from __future__ import annotations

import pytest

from costing.findings import Place
from costing.quantities import Measures
from costing.recipe_text import RecipeText, read_line, read_recipe

METRIC = Measures.METRIC


def read(text: str) -> RecipeText:
    return read_recipe(text, kind="text", measures=METRIC, file_name="x.txt")


@pytest.mark.parametrize(
    "head", ["A", "[Glaze]", "【Glaze】", "For slow cooking", "For the glaze:"]
)
def test_heading__a_part_is_headed_by(head: str) -> None:
    text = f"Rice\n\n200 g rice\n\n{head}\n1 tbsp soy sauce\nmirin ... 2 tbsp.\n"
    bare = head.strip("[]【】:")
    rows = read(text).rows["Recipes"]
    assert [(row["Ingredient"], row["Step name"]) for row in rows] == [
        ("rice", None),
        ("soy sauce", bare),
        ("mirin", bare),
    ]


def test_heading__a_step_that_names_a_group_takes_what_is_left_of_it() -> None:
    """Add A, toss in the sauce; "a" as an article is no group."""
    text = (
        "Rice\n\n200 g rice\n\nA\n1 tbsp soy sauce\n2 tbsp mirin\n\nMethod\n"
        "1. Wash the rice in a bowl.\n2. Add A and cook.\n"
    )
    rows = [row for row in read(text).rows["Recipes"] if row["Ingredient"]]
    assert [(row["Ingredient"], row["Step"]) for row in rows] == [
        ("rice", 1),
        ("soy sauce", 2),
        ("mirin", 2),
    ]


def test_heading__names_of_parts_alone_where_each_part_has_one() -> None:
    """With one such line only it may be an ingredient, and is asked for."""
    both = "Trifle\n\nCompote\n1 kg rhubarb\n200 g sugar\n\nFool\n1 l cream\n"
    assert [row["Step name"] for row in read(both).rows["Recipes"]] == ["Compote"] * 2 + ["Fool"]
    one = "Trifle\n\n200 g sugar\n\nFool\n1 l cream\n"
    assert [row["Ingredient"] for row in read(one).rows["Recipes"]] == ["sugar", "Fool", "cream"]


def test_bold__a_label_in_bold_is_read() -> None:
    found = read("Noodles\n\n**Serves:** 2\n\n**200 g** noodles\n")
    assert found.rows["Dishes"][0]["Makes"] == "2"
    assert [(row["Ingredient"], row["Amount"]) for row in found.rows["Recipes"]] == [
        ("noodles", "200")
    ]


def test_method__a_first_step_in_brackets_behind_abbreviated_units() -> None:
    """Lines that end with "tbsp." are no sentences."""
    text = (
        "Glaze\n\nmiso ... 2 tbsp.\nsake ... 1 tbsp.\n\n(1) Cut the aubergine, score.\n(2) Fry.\n"
    )
    found = read(text).rows["Recipes"]
    assert [row["Ingredient"] for row in found if row["Ingredient"]] == ["miso", "sake"]
    assert [row["Note"] for row in found if not row["Ingredient"]] == [
        "(1) Cut the aubergine, score.",
        "(2) Fry.",
    ]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Twenty-four olives", ("olive", "24", "each")),
        ("thirty two grapes", ("grape", "32", "each")),
        ("Twenty olives", ("olive", "20", "each")),
        ("1 egg per person", ("egg", "1", "each")),
        ("a 2.5 cm/1 inch piece ginger, peeled", ("ginger", "", "")),
    ],
)
def test_read_line__numbers_in_words_and_two_lengths(
    line: str, wanted: tuple[str, str, str]
) -> None:
    found = read_line(line, METRIC)
    assert (found.name, found.amount, found.unit) == wanted


@pytest.mark.parametrize(
    ("line", "other"),
    [
        ("6 tsp crème fraîche, cocoa for dusting", "cocoa for dusting"),
        ("2 tbsp butter, flour for the board", "flour for the board"),
        ("200 g rice, salt to taste", "salt to taste"),
    ],
)
def test_read_line__another_food_and_its_use_is_said(line: str, other: str) -> None:
    found = [doubt.at(Place("x.txt")) for doubt in read_line(line, METRIC).doubts]
    assert f'"{other}" behind the first amount' in [one.found for one in found]


def test_table__a_quantity_without_a_unit_counts() -> None:
    text = (
        "Roast\n\nINGREDIENTS | QUANTITY\nchicken | 1 (about 1.6 kg)\nlemon | 1\n"
        "onion | 1, studded with cloves\nbutter | 1,5 kg\n"
    )
    assert [
        (row["Ingredient"], row["Amount"], row["Unit"]) for row in read(text).rows["Recipes"]
    ] == [
        ("chicken", "1.6", "kg"),
        ("lemon", "1", "each"),
        ("onion", "1", "each"),
        ("butter", "1.5", "kg"),
    ]
