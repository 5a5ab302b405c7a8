"""Recipes of schema.org in JSON-LD."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.quantities import Measures
from costing.recipe_text import RecipeText, RecipeUnreadable, read_recipe

CRUMBLE: dict[str, Any] = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Plum &amp; oat crumble",
    "recipeYield": ["6", "6 servings"],
    "recipeIngredient": ["500&nbsp;g plums, stoned", "&frac12; cup (100 g) sugar", "<b>2</b> eggs"],
    "recipeInstructions": [
        {
            "@type": "HowToSection",
            "name": "Fruit",
            "itemListElement": [
                {"@type": "HowToStep", "text": "Stone the plums. Halve them."},
                {"@type": "HowToStep", "name": "Bake", "text": "Bake for 40 minutes."},
            ],
        },
        "Serve.",
    ],
}


STONE = "Fruit: Stone the plums"


def read(data: object) -> RecipeText:
    text = data if isinstance(data, str) else json.dumps(data)
    return read_recipe(text, kind="json", measures=Measures.METRIC, file_name="crumble.json")


def rows(read: RecipeText, *headings: str, sheet: str = "Recipes") -> list[tuple[Any, ...]]:
    return [tuple(row[heading] for heading in headings) for row in read.rows[sheet]]


@pytest.mark.trade
def test_read_recipe__properties_of_a_schema_org_recipe() -> None:
    found = read(CRUMBLE)
    assert rows(found, "Dish", "Step", "Step name", "Ingredient", "Amount", "Unit", "Note") == [
        ("Plum & oat crumble", 1, STONE, None, None, None, "Stone the plums. Halve them."),
        (
            "Plum & oat crumble",
            1,
            STONE,
            "plums",
            "500",
            "g",
            '500 g plums, stoned; step 1 by "Stone the plums"',
        ),
        (
            "Plum & oat crumble",
            1,
            STONE,
            "sugar",
            "100",
            "g",
            "½ cup (100 g) sugar; no step names it",
        ),
        ("Plum & oat crumble", 1, STONE, "egg", "2", "each", "2 eggs; no step names it"),
        ("Plum & oat crumble", 2, "Fruit: Bake", None, None, None, "Bake for 40 minutes."),
        ("Plum & oat crumble", 3, "Serve", None, None, None, "Serve."),
    ]
    assert rows(found, "Makes", "Unit", sheet="Dishes") == [("6", "portion")]


@pytest.mark.parametrize(
    "wrapped",
    [
        [CRUMBLE],
        {"@graph": [{"@type": "WebPage"}, CRUMBLE]},
        {"@type": "WebPage", "mainEntity": CRUMBLE},
        CRUMBLE | {"@type": ["Recipe", "NewsArticle"]},
        CRUMBLE | {"@type": "https://schema.org/Recipe"},
        "\ufeff" + json.dumps(CRUMBLE),
    ],
    ids=["list", "graph", "main entity", "several types", "whole address", "byte order mark"],
)
def test_read_recipe__finds_the_recipe_wherever_it_stands(wrapped: object) -> None:
    assert read(wrapped).rows == read(CRUMBLE).rows


@pytest.mark.parametrize(
    ("makes", "amount", "unit"),
    [
        (4, "4", "portion"),
        ("12 muffins", "12", "each"),
        (["8", "8 slices"], "8", "each"),
        ({"@type": "QuantitativeValue", "value": 3, "unitText": "servings"}, "3", "portion"),
    ],
    ids=["number", "text", "list", "object"],
)
def test_read_recipe__forms_of_recipe_yield(makes: object, amount: str, unit: str) -> None:
    found = read(CRUMBLE | {"recipeYield": makes})
    assert rows(found, "Makes", "Unit", sheet="Dishes") == [(amount, unit)]


@pytest.mark.parametrize("listed", ["recipeIngredient", "ingredients"])
def test_read_recipe__ingredients_as_a_list_or_a_text_of_lines(listed: str) -> None:
    lines = ["For the top:", "100 g oats", "75 g butter"]
    plain = {"@type": "Recipe", "name": "Top"}
    assert read(plain | {listed: lines}).rows == read(plain | {listed: "\n".join(lines)}).rows
    assert rows(read(plain | {listed: lines}), "Step name", "Ingredient") == [
        ("For the top", "oats"),
        ("For the top", "butter"),
    ]


@pytest.mark.parametrize(
    "method",
    [
        "1. Wash.\n2. Boil.",
        "<ol><li>Wash.</li><li>Boil.</li></ol>",
        ["Wash.", "Boil."],
        [{"@type": "HowToStep", "text": "Wash."}, {"@type": "HowToStep", "name": "Boil."}],
        {"@type": "ItemList", "itemListElement": ["Wash.", "Boil."]},
    ],
    ids=["text", "tags", "list", "steps", "item list"],
)
def test_read_recipe__forms_of_recipe_instructions(method: object) -> None:
    found = read({"@type": "Recipe", "recipeIngredient": ["2 eggs"], "recipeInstructions": method})
    assert rows(found, "Step", "Step name") == [(1, "Wash"), (1, "Wash"), (2, "Boil")]


def test_read_recipe__lists_inside_lists_and_amounts_in_objects() -> None:
    """No entry is lost: a list in a list, a property with a unit code, a supply with a quantity."""
    listed = [
        "2 eggs",
        ["100 g sugar", ["1 lemon"]],
        {"@type": "PropertyValue", "name": "plain flour", "value": 200, "unitCode": "GRM"},
        {
            "@type": "HowToSupply",
            "name": "milk",
            "requiredQuantity": {"@type": "QuantitativeValue", "value": "50", "unitText": "ml"},
        },
        {"@type": "HowToSupply", "name": "butter", "requiredQuantity": "30 g"},
    ]
    found = read({"@type": "Recipe", "name": "Cake", "recipeIngredient": listed})
    assert rows(found, "Ingredient", "Amount", "Unit") == [
        ("egg", "2", "each"),
        ("sugar", "100", "g"),
        ("lemon", "1", "each"),
        ("plain flour", "200", "g"),
        ("milk", "50", "ml"),
        ("butter", "30", "g"),
    ]
    supply = read({"@type": "Recipe", "name": "Cake", "supply": listed})
    assert supply.rows == found.rows


@pytest.mark.parametrize("where", ["text", "itemListElement"])
def test_read_recipe__a_section_whose_text_is_a_string(where: str) -> None:
    section = {"@type": "HowToSection", "name": "Base", where: "Beat the eggs.\nBake."}
    found = read({"@type": "Recipe", "recipeIngredient": ["2 eggs"], "recipeInstructions": section})
    assert [row for row in rows(found, "Step", "Step name", "Note") if row[2][:6] != "2 eggs"] == [
        (1, "Base: Beat the eggs", "Beat the eggs."),
        (2, "Base: Bake", "Bake."),
    ]


def test_read_recipe__the_same_recipe_twice_is_taken_once_and_told() -> None:
    found = read([CRUMBLE, {"@type": "WebPage", "mainEntity": CRUMBLE}])
    assert found.rows == read(CRUMBLE).rows
    twice = [str(finding) for finding in found.findings if finding.code == "recipe twice"]
    assert twice == [
        "'crumble.json': found the recipe Plum & oat crumble twice, line for line, expected each "
        "recipe once [recipe twice]\n  It is taken once."
    ]


def test_read_recipe__what_points_to_a_second_of_one_name_has_its_number() -> None:
    """The feast takes the dough of rye by its id, and stands before it."""
    dough = {"@type": "Recipe", "name": "Dough"}
    recipes = [
        {"@type": "Recipe", "name": "Feast", "recipeIngredient": [{"@id": "#rye"}, {"@id": "#1"}]},
        dough | {"@id": "#1", "recipeIngredient": ["200 g wheat"]},
        dough | {"@id": "#rye", "recipeIngredient": ["200 g rye"]},
    ]
    assert rows(read(recipes), "Dish", "Ingredient") == [
        *(("Feast", "Dough 2"), ("Feast", "Dough")),
        *(("Dough", "wheat"), ("Dough 2", "rye")),
    ]


def test_read_recipe__of_two_recipes_of_one_name_the_second_has_a_number() -> None:
    """In one dish the eggs of both would be bought as 4 for it; Buns 2 is a name that is taken."""
    recipes = [
        {"@type": "Recipe", "name": name, "recipeIngredient": lines}
        for name, lines in (
            *(("Buns", ["2 eggs"]), ("Buns 2", ["3 eggs"]), ("buns", ["2 eggs", "20 g salt"])),
            *(("Bread", []), ("Bread", ["4 eggs"]), ("Bread", [])),
        )
    ]
    found = read(recipes)
    assert rows(found, "Dish", "Ingredient", "Amount") == [
        *(("Buns", "egg", "2"), ("Buns 2", "egg", "3"), ("buns 3", "egg", "2")),
        *(("buns 3", "salt", "20"), ("Bread", "egg", "4")),
    ]
    assert [str(one) for one in found.findings if one.code == "recipe name twice"] == [
        "'crumble.json': found a second recipe called buns, with other ingredients, expected a "
        "name for each dish [recipe name twice]\n  It is called buns 3; change Dish, or delete its "
        "rows if one of the two is enough."
    ]


def test_read_recipe__a_recipe_among_the_ingredients_is_a_dish_of_its_own() -> None:
    stock = {"@type": "Recipe", "@id": "#stock", "name": "Stock", "recipeIngredient": ["1 onion"]}
    soup = {"@type": "Recipe", "name": "Soup", "recipeIngredient": ["2 leeks", {"@id": "#stock"}]}
    wanted = [("Soup", "leek"), ("Soup", "Stock"), ("Stock", "onion")]
    assert rows(read([soup, stock]), "Dish", "Ingredient") == wanted
    soup["recipeIngredient"] = ["2 leeks", stock]
    assert rows(read(soup), "Dish", "Ingredient") == wanted


def test_read_recipe__several_recipes_are_several_dishes() -> None:
    """A dish that another takes is nothing to buy."""
    rice = {"@type": "Recipe", "name": "Boiled rice", "recipeIngredient": ["200 g rice"]}
    bowl = {
        "@type": "Recipe",
        "name": "Bowl",
        "recipeIngredient": ["1 batch boiled rice", "2 eggs"],
    }
    found = read([bowl, rice])
    assert rows(found, "Dish", "Ingredient") == [
        ("Bowl", "boiled rice"),
        ("Bowl", "egg"),
        ("Boiled rice", "rice"),
    ]
    assert rows(found, "Ingredient", sheet="Packs") == [("egg",), ("rice",)]
    assert "recipe dish inside" not in {finding.code for finding in found.findings}


@pytest.mark.parametrize(
    ("supplies", "steps"),
    [([["2 eggs"], ["1 lemon", "2 eggs"]], ["1", "2", "2"]), ([["2 eggs"], ["1 lime"]], ["1"] * 3)],
    ids=["all are supplied", "another is"],
)
def test_read_recipe__supplies_tell_the_steps_where_they_are_the_ingredients(
    supplies: list[list[str]], steps: list[str]
) -> None:
    """Two eggs in each of two steps, which no guess by names could tell."""
    data = {
        "@type": "Recipe",
        "name": "tart",
        "recipeIngredient": ["2 eggs", "1 lemon", "2 eggs"],
        "recipeInstructions": [
            {"@type": ["HowToStep", "HowToDirection"], "text": text, "supply": supply}
            for text, supply in zip(("Beat the eggs.", "Go on."), supplies, strict=True)
        ],
    }
    found = read(data)
    taken = [row for row in found.rows["Recipes"] if row["Ingredient"]]
    assert [str(row["Step"]) for row in taken][: len(steps)] == steps


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["@type", "@graph", "name", "recipeYield", "recipeIngredient", "text"]),
            inner | st.just("Recipe"),
            max_size=4,
        )
    ),
    max_leaves=20,
)
RECIPES = st.fixed_dictionaries(
    {"@type": st.just("Recipe"), "recipeIngredient": JSON},
    optional={"name": JSON, "recipeYield": JSON, "recipeInstructions": JSON},
)


@given(JSON | RECIPES | st.text(max_size=40))
def test_read_recipe__never_raises_on_any_json(data: object) -> None:
    try:
        found = read(data)
    except RecipeUnreadable:
        return
    assert all(row["Note"] for row in found.rows["Recipes"])


def nested(inside: Any, deep: int, *, sections: bool) -> Any:
    """Something in so many lists, or sections, in one another."""
    for _ in range(deep):
        inside = {"@type": "HowToSection", "itemListElement": inside} if sections else [inside]
    return inside


@pytest.mark.parametrize("sections", [False, True], ids=["lists", "sections"])
@pytest.mark.parametrize(("deep", "read_there"), [(40, True), (41, False)])
def test_read_recipe__forty_in_one_another_are_the_last_that_are_followed(
    deep: int, read_there: bool, sections: bool
) -> None:
    """A file may nest for ever; the list of ingredients is itself the first of its forty."""
    steps = nested({"@type": "HowToStep", "text": "Stir well."}, deep, sections=sections)
    milk = ["2 leeks", nested("1 l milk", deep - 1, sections=sections)]
    recipe = {"@type": "Recipe", "name": "Soup", "recipeIngredient": milk}
    found = read(recipe | {"recipeInstructions": steps})
    assert ("Stir well" in [name for (name,) in rows(found, "Step name")]) is read_there
    assert ("milk" in [name for (name,) in rows(found, "Ingredient")]) is read_there


@pytest.mark.parametrize("name", ["mainEntity", "mainEntityOfPage", "@graph", "hasPart", "item"])
def test_read_recipe__a_recipe_is_looked_for_forty_things_down(name: str) -> None:
    def inside(deep: int) -> Any:
        found: Any = CRUMBLE
        for _ in range(deep):
            found = {name: found}
        return found

    assert read(inside(40)).rows == read(CRUMBLE).rows
    with pytest.raises(RecipeUnreadable):
        read(inside(41))
    lists = nested(CRUMBLE, 40, sections=False)
    assert read(lists).rows == read(CRUMBLE).rows
    with pytest.raises(RecipeUnreadable):
        read([lists])


def test_read_recipe__a_section_of_text_alone_is_one_thing_more() -> None:
    """Its text lies one below it: a section in 39 lists is read, one in 40 is not."""
    section = {"@type": "HowToSection", "name": "Base", "text": "Beat the eggs."}
    recipe = {"@type": "Recipe", "name": "Tart", "recipeIngredient": ["2 eggs"]}
    for deep, read_there in ((39, True), (40, False)):
        steps = nested(section, deep, sections=False)
        found = read(recipe | {"recipeInstructions": steps})
        names = [name for (name,) in rows(found, "Step name")]
        assert ("Base: Beat the eggs" in names) is read_there


@pytest.mark.parametrize(("deep", "step"), [(39, 2), (40, 1)])
def test_read_recipe__what_a_step_is_supplied_with_is_one_thing_more(deep: int, step: int) -> None:
    """A step in 40 lists is read, but not what it takes; the eggs then stand in the first step."""
    first = {"@type": "HowToStep", "text": "Begin.", "supply": "1 lemon"}
    last = {"@type": "HowToStep", "text": "Go on.", "supply": "2 eggs"}
    found = read(
        {
            "@type": "Recipe",
            "name": "Tart",
            "recipeIngredient": ["1 lemon", "2 eggs"],
            "recipeInstructions": [first, nested(last, deep - 1, sections=False)],
        }
    )
    assert (step, "egg") in rows(found, "Step", "Ingredient")
    assert (2, "Go on.") in rows(found, "Step", "Note")


def test_read_recipe__a_named_list_of_ingredients_is_headed_by_its_name() -> None:
    """One without a name opens no step: its lines go on where the last were."""
    lists = [
        {"@type": "ItemList", "itemListElement": ["1 lemon"]},
        {"@type": "ItemList", "name": "For the top:", "itemListElement": ["100 g oats"]},
        {"@type": "ItemList", "itemListElement": ["75 g butter"]},
    ]
    found = read({"@type": "Recipe", "name": "Tart", "recipeIngredient": ["2 eggs", *lists]})
    assert rows(found, "Step", "Ingredient") == [
        (1, "egg"),
        (1, "lemon"),
        (2, "oats"),
        (2, "butter"),
    ]
    assert rows(found, "Step name")[2:] == [("For the top",), ("For the top",)]


def test_read_recipe__a_section_of_a_name_alone_is_a_step() -> None:
    method = [{"@type": "HowToSection", "name": "Chill overnight"}, "Serve."]
    data = {"@type": "Recipe", "name": "Tart", "recipeIngredient": ["2 eggs"]}
    found = read(data | {"recipeInstructions": method})
    assert (1, "Chill overnight") in rows(found, "Step", "Note")
    assert (2, "Serve.") in rows(found, "Step", "Note")


def test_read_recipe__steps_come_by_their_positions_and_a_tip_is_none() -> None:
    """Positions of HowToStep say the order; what a tip says is told."""
    steps: list[dict[str, Any]] = [
        {"@type": "HowToStep", "position": 2, "text": "Bake."},
        {"@type": "HowToStep", "position": "1", "text": "Stone the plums."},
        {"@type": "HowToTip", "position": 3, "text": "Keep the stones."},
    ]
    found = read(CRUMBLE | {"recipeInstructions": steps})
    names = [row["Step name"] for row in found.rows["Recipes"] if row["Ingredient"] is None]
    assert names == ["Stone the plums", "Bake"]
    told = [one.found for one in found.findings if one.code == "recipe line left out"]
    assert told == ['"Keep the stones.", taken for a remark']


@pytest.mark.parametrize("positions", [(2, 2), (2, None), (2, "first")])
def test_read_recipe__steps_without_positions_of_their_own_stay_as_listed(
    positions: tuple[object, ...],
) -> None:
    steps = [
        {"@type": "HowToStep", "position": at, "text": said}
        for at, said in zip(positions, ("Bake.", "Eat."), strict=True)
    ]
    found = read(CRUMBLE | {"recipeInstructions": steps})
    names = [row["Step name"] for row in found.rows["Recipes"] if row["Ingredient"] is None]
    assert names == ["Bake", "Eat"]


@pytest.mark.parametrize(
    ("begins", "ends"),
    [("/* <![CDATA[ */", "/* ]]> */"), ("//<![CDATA[", "//]]>"), ("<![CDATA[", "]]>")],
)
def test_read_recipe__page_with_its_data_in_marked_sections(begins: str, ends: str) -> None:
    """As content management systems write scripts into pages."""
    script = f'<script type="application/ld+json">\n{begins}\n{json.dumps(CRUMBLE)}\n{ends}\n'
    page = f"<!doctype html><html><head>{script}</script></head></html>"
    found = read_recipe(page, kind="text", measures=Measures.METRIC, file_name="page.html")
    assert found.rows["Recipes"]


def test_read_recipe__all_in_one_text() -> None:
    """Ingredients with commas between them, steps with their numbers in one row; by hand."""
    found = read(
        CRUMBLE
        | {
            "recipeYield": {"@type": "QuantitativeValue", "minValue": 4, "maxValue": 6},
            "recipeIngredient": "500 g plums, 2 eggs, 100 g sugar",
            "recipeInstructions": "1. Stone the plums. 2. Whisk eggs and sugar. 3. Bake at 180.",
        }
    )
    rows = found.rows["Recipes"]
    assert [row["Ingredient"] for row in rows if row["Ingredient"]] == ["plums", "egg", "sugar"]
    assert [row["Step name"] for row in rows if row["Ingredient"] is None] == [
        "Stone the plums",
        "Whisk eggs and sugar",
        "Bake at 180",
    ]
    assert found.rows["Dishes"][0]["Makes"] == "4"


def test_read_recipe__a_heading_without_a_colon_and_a_quantity_of_another_recipe() -> None:
    pastry = {"@type": "Recipe", "name": "Shortcrust", "recipeIngredient": ["250 g flour"]}
    lines = ["1 quantity shortcrust", "For the glaze", "1 egg"]
    found = read({"@graph": [CRUMBLE | {"recipeIngredient": lines}, pastry]})
    read_lines = [
        (row["Ingredient"], row["Amount"], row["Unit"])
        for row in found.rows["Recipes"]
        if row["Ingredient"]
    ]
    assert read_lines == [
        ("shortcrust", "1", "batch"),
        ("egg", "1", "each"),
        ("flour", "250", "g"),
    ]


def test_read_recipe__an_amount_and_its_name_in_spans_are_two_words() -> None:
    line = "<span>200 g</span><span class='n'>flour</span><span>, sifted</span>"
    (row,) = read(CRUMBLE | {"recipeIngredient": [line], "recipeInstructions": []}).rows["Recipes"]
    assert (row["Ingredient"], row["Amount"], row["Unit"], row["Cut"]) == (
        "flour",
        "200",
        "g",
        "sifted",
    )
