"""JSON-LD as programs write it: other spellings of one recipe, after the W3C's JSON-LD 1.1.

The forms (prefixes, expanded names, lists, nodes pointed to) are those of its sections 4.1, 4.3,
5.1 and 5.3, from memory; what is no JSON is common practice of pages.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from costing.quantities import Measures
from costing.recipe_text import RecipeText, read_recipe
from costing.recipe_text.linked_nodes import (
    DEEPEST,
    LONGEST_AGAIN,
    in_one_spelling,
    nodes_of,
    pointed_to,
)

LISTED = ["200 g flour", "2 eggs", "50 g butter"]
STEPS = [
    {"@type": "HowToStep", "text": "Whisk the eggs with the flour."},
    {"@type": "HowToStep", "text": "Add the butter and bake."},
]
CAKE: dict[str, Any] = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Cake",
    "recipeIngredient": LISTED,
    "recipeInstructions": STEPS,
    "recipeYield": "8 servings",
}
IN_FULL = "http://schema.org/"


def read(text: str, name: str = "cake.json") -> RecipeText:
    kind: Any = "json" if name.endswith(".json") else "text"
    return read_recipe(text, kind=kind, measures=Measures.METRIC, file_name=name)


EXPECTED = read(json.dumps(CAKE)).rows


def values(said: list[Any]) -> list[Any]:
    return [{"@value": one} for one in said]


def test_cake__is_in_two_steps_and_of_eight() -> None:
    steps = [(row["Step"], row["Ingredient"]) for row in EXPECTED["Recipes"] if row["Ingredient"]]
    assert steps == [(1, "flour"), (1, "egg"), (2, "butter")]
    assert EXPECTED["Dishes"][0]["Makes"] == "8"


@pytest.mark.parametrize(
    "data",
    [
        {name if name[0] == "@" else f"schema:{name}": CAKE[name] for name in CAKE}
        | {"@type": "schema:Recipe"},
        [
            {
                "@type": [IN_FULL + "Recipe"],
                IN_FULL + "name": values(["Cake"]),
                IN_FULL + "recipeIngredient": values(LISTED),
                IN_FULL + "recipeInstructions": [
                    {"@type": [IN_FULL + "HowToStep"], IN_FULL + "text": values([one["text"]])}
                    for one in STEPS
                ],
                IN_FULL + "recipeYield": values(["8 servings"]),
            }
        ],
        CAKE | {"recipeIngredient": {"@list": LISTED}, "recipeInstructions": {"@set": STEPS}},
        {
            "@graph": [
                CAKE | {"recipeInstructions": [{"@id": "#1"}, {"@type": "HowToStep", "@id": "#2"}]},
                {"@id": "#1"} | STEPS[0],
                {"@id": "#2"} | STEPS[1],
            ]
        },
        CAKE
        | {
            "recipeInstructions": {
                "@type": "ItemList",
                "itemListElement": [
                    {"@type": IN_FULL + "ListItem", "position": 2, "item": STEPS[1]},
                    {"@type": "ListItem", "position": 1, "item": STEPS[0]},
                ],
            }
        },
        {("type" if name == "@type" else name): CAKE[name] for name in CAKE},
        {("step" if name == "recipeInstructions" else name): CAKE[name] for name in CAKE},
        CAKE | {"recipeIngredient": [], "ingredients": LISTED},
    ],
    ids=["prefixes", "expanded", "lists", "ids", "list items", "alias", "of HowTo", "older word"],
)
def test_read_recipe__other_spellings_of_one_recipe(data: object) -> None:
    rows = read(json.dumps(data)).rows
    assert [row | {"Note": ""} for row in rows["Recipes"]] == [
        row | {"Note": ""} for row in EXPECTED["Recipes"]
    ]
    assert rows["Dishes"] == EXPECTED["Dishes"]


TEXT = json.dumps(CAKE)


@pytest.mark.trade
@pytest.mark.parametrize(
    "text",
    [
        TEXT.replace("Whisk the", "Whisk\n\tthe"),
        TEXT.replace('"8 servings"}', '"8 servings",}'),
        TEXT.replace('50 g butter"]', '50 g butter",\n ]'),
        TEXT + ";\n",
    ],
    ids=["line end in a text", "comma behind the last", "comma in a list", "semicolon"],
)
def test_read_recipe__what_is_nearly_json(text: str) -> None:
    assert read(text).rows == EXPECTED
    page = f'<!doctype html><script type="application/ld+json">{text}</script>'
    assert read(page, "cake.html").rows == EXPECTED


@pytest.mark.parametrize(
    ("text", "name"),
    [
        (TEXT, "cake.txt"),
        (f'<div><script type="application/ld+json">{TEXT}</script></div>', "cake.html"),
        (f'<!-- saved --><html><script type="application/ld+json">{TEXT}</script>', "cake.htm"),
    ],
    ids=["called a text", "part of a page", "remark first"],
)
def test_read_recipe__linked_data_is_known_by_what_it_is(text: str, name: str) -> None:
    assert read(text, name).rows == EXPECTED


def test_read_recipe__a_text_that_begins_with_a_tag_is_a_text() -> None:
    rows = read("<b>Toast</b>\n\n2 slices bread\n", "toast.txt").rows["Recipes"]
    assert [row["Ingredient"] for row in rows] == ["bread slice"]


def test_comma__inside_a_text_stays() -> None:
    """Only the comma that JSON does not have is taken out."""
    text = json.dumps(CAKE | {"name": 'Cake, "the \\" one,]'})
    assert read(text[:-1] + ",}").rows["Recipes"][0]["Dish"] == 'Cake, "the \\" one,]'


def test_nodes__that_point_to_one_another_end() -> None:
    ring = {"#a": {"@id": "#a", "itemListElement": [{"@id": "#b"}, {"@id": "#b"}]}}
    ring["#b"] = {"@id": "#b", "itemListElement": [{"@id": "#a"}]}
    assert pointed_to([{"@id": "#a"}], ring) == [
        {
            "@id": "#a",
            "itemListElement": [{"@id": "#b", "itemListElement": [{"@id": "#a"}]}, {"@id": "#b"}],
        }
    ]


def test_step__pointed_to_twice_is_told_twice() -> None:
    """Fold, chill, fold: the step that stands once in the file is done two times."""
    steps = [
        {"@id": "#fold", "@type": "HowToStep", "text": "Fold the dough with the flour."},
        {"@id": "#chill", "@type": "HowToStep", "text": "Add the butter and chill."},
    ]
    told = [{"@id": "#fold"}, {"@id": "#chill"}, {"@id": "#fold"}]
    graph = [CAKE | {"recipeInstructions": told}, *steps]
    written = [one | {"@id": None} for one in (*steps, steps[0])]
    assert (
        read(json.dumps({"@graph": graph})).rows
        == read(json.dumps(CAKE | {"recipeInstructions": written})).rows
    )
    assert [one["text"][:4] for one in pointed_to(told, {one["@id"]: one for one in steps})] == [
        "Fold",
        "Add ",
        "Fold",
    ]


def test_step__that_is_long_is_told_once() -> None:
    """A page cannot grow without bound by pointing to one long text again and again."""
    long = {"@id": "#long", "text": "Stir. " * LONGEST_AGAIN}
    again = {"@id": "#long"}
    assert pointed_to([again, again], {"#long": long}) == [long, again]


def test_nodes__too_deep_stay_as_they_are() -> None:
    deep: Any = {"schema:name": "Cake"}
    for _ in range(DEEPEST + 1):
        deep = [deep]
    assert in_one_spelling(deep) == deep
    assert pointed_to(deep, {}) == deep
    assert list(nodes_of(deep)) == []
