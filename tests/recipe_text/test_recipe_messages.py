"""Every message about a whole recipe, as it arises from a small one, whole text."""

from __future__ import annotations

import json

import pytest

from costing.quantities import Measures
from costing.recipe_text import RecipeUnreadable, read_recipe
from costing.recipe_text.unit_words import measures_shown

TEXTS = [
    pytest.param(
        "",
        "'tart.txt': found no ingredient line, expected at least one line such as 200 g"
        " flour [recipe file empty]\n"
        "  Write one ingredient in each line of the file.",
        id="recipe file empty",
    ),
    pytest.param(
        "x\n" * 2001,
        "'tart.txt': found 2001 lines, expected at most 2000 [recipe file too large]\n"
        "  Save the recipe alone in a file of its own.",
        id="recipe file too large: lines",
    ),
    pytest.param(
        "flour " * 6000,
        "'tart.txt': found 36000 characters in a line, expected at most 32000 [recipe "
        "file too large]\n"
        "  Save the recipe alone in a file of its own.",
        id="recipe file too large: line",
    ),
    pytest.param(
        "a" * 1_000_001,
        "'tart.txt': found 1000001 characters, expected at most 1000000 [recipe file "
        "too large]\n"
        "  Save the recipe alone in a file of its own.",
        id="recipe file too large",
    ),
    pytest.param(
        "<!DOCTYPE html><html>",
        "'tart.txt': found a web page in which no recipe is marked as one, expected lines of text, "
        "or a schema.org Recipe in JSON-LD, microdata or RDFa [recipe file not text]\n"
        "  Copy the recipe's lines into a text file.",
        id="recipe file not text",
    ),
    pytest.param(
        "Butter\n200 g flour",
        '\'tart.txt\' row 1 (row "Butter"): found "Butter" as the first line, with no '
        "blank line behind it, expected the dish's name, and a blank line behind it "
        "[recipe title taken]\n"
        "  It is taken for the name of the dish; if it is an ingredient, add a row for "
        "it.",
        id="recipe title taken",
    ),
    pytest.param(
        "200 g flour",
        "'tart.txt': found no name of the dish, expected the dish's name above its "
        "ingredients [recipe title missing]\n"
        "  The dish is called tart, after the file; change Dish in Recipes.",
        id="recipe title missing",
    ),
    pytest.param(
        "Rice\n\n200 g rice",
        '\'tart.txt\' row 3 (row "200 g rice"): found the ingredient "rice" in a dish of '
        "the same name, expected two names [recipe dish in itself]\n"
        "  Rename the dish or the ingredient; as it is the dish would need itself.",
        id="recipe dish in itself",
    ),
    pytest.param(
        "Tart\n\nCook time: 1 hour\n2 eggs",
        '\'tart.txt\' row 3 (row "Cook time: 1 hour"): found "Cook time: 1 hour", taken '
        "for a remark, expected ingredients, headings and the method [recipe line left "
        "out]\n"
        "  It is left out; add a row if it names an ingredient.",
        id="recipe line left out",
    ),
    pytest.param(
        "Tart\n\n2 eggs\n\n1. Mix.\n2. Beat the eggs, then wait.",
        "'tart.txt' row 6 (row \"2. Beat the eggs, then wait.\"): found that step 2 takes egg "
        '("Beat the eggs"), expected each ingredient in the step that uses it [recipe step '
        "guessed]\n"
        "  Note in Recipes says it of each. Change Step where another step takes one; when all are "
        'right, delete the words behind the last ";" of each Note, and this is not said again.',
        id="recipe step guessed",
    ),
    pytest.param(
        "Tart\n\n2 eggs\n200 g flour\n\n1. Mix.\n2. Bake.",
        "'tart.txt' row 3 (row \"2 eggs\"): found no step that names egg, flour, expected for each "
        "ingredient the step that uses it [recipe step unknown]\n"
        '  It is put to step 1; change Step in Recipes. Where 1 is right, delete "; no step names '
        'it" in Note, and this is not said again.',
        id="recipe step unknown",
    ),
    pytest.param(
        "Tart\n\n2 tomatoes\n400 g tomatoes",
        '\'tart.txt\' row 4 (row "400 g tomatoes"): found "tomatoes" here and "tomato" in'
        " another line, expected one name for one ingredient [recipe names joined]\n"
        "  Both are called tomato; change Ingredient if they are bought apart.",
        id="recipe names joined",
    ),
    pytest.param(
        "Tart\n\njuice of 1 lemon\nzest of 1 lemon",
        "'tart.txt' row 4 (row \"zest of 1 lemon\"): found lemon for zest here and for "
        "juice in another line, expected one line for each whole piece [recipe fruit "
        "twice]\n"
        "  Both lines count; if the same lemon serves both, delete one Amount.",
        id="recipe fruit twice",
    ),
    pytest.param(
        "Tart\n\nServes many\n2 eggs",
        '\'tart.txt\' row 3 (row "Serves many"): found the yield "Serves many", expected '
        "a number, such as serves 4, makes 12 or makes 500 ml [recipe yield unreadable]\n"
        "  Fill Makes and Unit on the sheet Dishes if the dish goes into another.",
        id="recipe yield unreadable",
    ),
    pytest.param(
        "Tart\n\nServes 4-6\n2 eggs",
        '\'tart.txt\' row 3 (row "Serves 4-6"): found the yield "Serves 4-6", expected '
        "one number [recipe yield range]\n"
        "  The lower end counts, 4, so that nothing runs short; change Makes on the "
        "sheet Dishes.",
        id="recipe yield range",
    ),
]

JSONS = [
    pytest.param(
        '{"@type": "Recipe", "name": "Tart", "recipeIngredient": ["2 leeks"], '
        '"recipeInstructions": [{"@id": "#elsewhere"}]}',
        "'tart.json' (column \"recipeInstructions\"): found a method without a word that can be "
        "read, expected steps with their text [recipe method not said]\n"
        "  All is put to step 1; write the steps into Step and Step name of Recipes.",
        id="recipe method not said",
    ),
    pytest.param(
        "{",
        "'tart.json': found a text that is no JSON from line 1, column 2 on, expected a"
        " schema.org Recipe in JSON-LD [recipe file not json]\n"
        "  Save the JSON alone, from its first { or [ to its last; a plain recipe goes "
        "into a file that ends in .txt.",
        id="recipe file not json",
    ),
    pytest.param(
        "[" * 100_000,
        "'tart.json': found a text that is no JSON that can be read: a number is too "
        "long or lists stand too deep in lists, expected a schema.org Recipe in JSON-LD"
        " [recipe file not json]\n"
        "  Save the JSON alone, from its first { or [ to its last; a plain recipe goes "
        "into a file that ends in .txt.",
        id="recipe file not json: deep",
    ),
    pytest.param(
        '[{"@type": "WebPage"}]',
        "'tart.json': found JSON without a Recipe, expected an object with \"@type\": "
        '"Recipe", alone, in a list or in "@graph" [recipe file without recipe]\n'
        "  Save the part of the page that holds the Recipe, or write its lines into a "
        "text file.",
        id="recipe file without recipe",
    ),
    pytest.param(
        '{"@type": "Recipe", "name": "Tart"}',
        "'tart.json': found no ingredient line, expected at least one line such as 200 "
        "g flour [recipe file empty]\n"
        "  Write one ingredient in each line of the file.",
        id="recipe file empty: no list",
    ),
    pytest.param(
        '{"@type": "Recipe", "name": "Tart", "recipeYield": 4, "recipeIngredient": ["2 eggs"]}',
        '\'tart.json\' row 1 (row "4", column "recipeYield"): found the yield "4" without'
        " a unit, expected portions, g, ml or pieces [recipe yield bare]\n"
        "  Portions are taken; change Unit on the sheet Dishes if pieces are meant.",
        id="recipe yield bare",
    ),
]


def findings(text: str, file_name: str) -> list[str]:
    kind = "json" if file_name.endswith(".json") else "text"
    try:
        read = read_recipe(text, kind=kind, measures=Measures.METRIC, file_name=file_name)  # type: ignore[arg-type]
    except RecipeUnreadable as fault:
        assert str(fault) == str(fault.finding)  # noqa: PT017 both say the same
        return [str(fault)]
    return [str(finding) for finding in read.findings]


@pytest.mark.parametrize(("recipe", "text"), TEXTS)
def test_message__of_a_text(recipe: str, text: str) -> None:
    assert findings(recipe, "tart.txt") == [text]


@pytest.mark.parametrize(("recipe", "text"), JSONS)
def test_message__of_json(recipe: str, text: str) -> None:
    assert findings(recipe, "tart.json") == [text]


def test_message__place_in_json_counts_the_entries_of_the_list() -> None:
    recipe = {"@type": "Recipe", "name": "Tart", "recipeIngredient": ["2 eggs", "1 stick butter"]}
    (text,) = findings(json.dumps(recipe), "tart.json")
    assert text.startswith(
        '\'tart.json\' row 2 (row "1 stick butter", column "recipeIngredient"): found '
    )


def test_message__of_an_ingredient_that_several_steps_name() -> None:
    text = "Tart\n\n2 eggs\n\n1. Beat the eggs.\n2. Add the egg.\n3. Egg wash."
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="tart.txt")
    assert [str(finding) for finding in read.findings if finding.code.endswith("twice")] == [
        '\'tart.txt\' row 3 (row "2 eggs"): found step 1 by "Beat the eggs", and named again in '
        "steps 2, 3, expected a row for what each step takes [recipe step named twice]\n"
        "  All of it is put to step 1; if a later step takes a part, add a row for that part."
    ]


LOAF = (
    "Plain loaf\n\nTake four pounds of flour, a spoonful of salt, and half an ounce of yeast.\n\n"
    "Mix the yeast with 500 ml of warm water.\n\nBake for an hour and a half at 220 C."
)


def test_message__of_a_recipe_without_a_list() -> None:
    read = read_recipe(LOAF, kind="text", measures=Measures.METRIC, file_name="loaf.txt")
    assert [str(one) for one in read.findings if one.code == "recipe without list"] == [
        "'loaf.txt' row 3 (row \"Take four pounds of flour, a spoonful of salt, and half an "
        'ounce of yeast."): found sentences, and no list of ingredients; taken: four pounds of '
        "flour, a spoonful of salt, half an ounce of yeast, 500 ml of warm water, expected a line "
        "for each ingredient [recipe without list]\n"
        "  What has no amount there is not taken: salt, a sprinkling of flour. Add a row for each."
    ]


def test_message__of_a_food_that_only_the_method_measures() -> None:
    text = "Buns\n\n200 g flour\n\n1. Mix flour and 2 tbsp water.\n2. Brush with 1 tbsp honey."
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="buns.txt")
    assert [str(one) for one in read.findings if one.code == "recipe food not listed"] == [
        '\'buns.txt\' row 6 (row "2. Brush with 1 tbsp honey."): found "1 tbsp honey" in step 2, '
        "and no such ingredient above, expected every ingredient in a line of its own "
        "[recipe food not listed]\n"
        "  Nothing is bought for it; add a row."
    ]


REST = "Custard\n\n4 eggs\n100 g sugar\n\n1. {first}\n2. {then}"


def rest_told(first: str, then: str) -> list[str]:
    text = REST.format(first=first, then=then)
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="tart.txt")
    return [str(finding) for finding in read.findings if finding.code == "recipe rest not taken"]


def test_message__of_a_part_whose_rest_no_step_takes() -> None:
    assert rest_told("Whisk half the eggs with the sugar.", "Bake.") == [
        '\'tart.txt\' row 3 (row "4 eggs"): found step 1 by "Whisk half the eggs with the sugar", '
        "1/2 of the line, and no step that takes the rest, expected steps that take all of a line "
        "[recipe rest not taken]\n"
        "  All of it is put to step 1; change Amount, or add a row where the rest is taken."
    ]


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("Whisk half the eggs with the sugar.", "Repeat."),
        ("Fry half the eggs.", "Fry the rest."),
        ("Whisk half the eggs.", "Whisk the other eggs."),
        ("Whisk the eggs with the sugar.", "Bake."),
        ("Beat 2 eggs with sugar, then 2 more eggs.", "Bake."),
    ],
)
def test_message__of_no_rest_that_a_step_takes_or_may_take(first: str, then: str) -> None:
    assert rest_told(first, then) == []


@pytest.mark.source("cfr-21-101-9", "101.9(b)(5)(viii)")
@pytest.mark.parametrize(
    ("text", "setting", "taken"),
    [
        ("1/3 cup (80 ml) syrup", None, Measures.US_LABEL),
        ("1/3 cup (80 ml) syrup", Measures.METRIC, Measures.METRIC),
        ("1 cup (250 ml) milk, 1/4 cup (60 ml) oil, 1/3 cup (80 ml) syrup", None, Measures.METRIC),
        ("1 cup (240 ml) milk, 1/4 cup (60 ml) oil", Measures.METRIC, Measures.US_LABEL),
        ("1/2 cup (120 ml) milk", Measures.METRIC, Measures.US_LABEL),
    ],
)
def test_measures_shown__a_third_of_80_ml_is_of_either_cup(
    text: str, setting: Measures | None, taken: Measures
) -> None:
    """A legal US cup is 240 ml, so 80 is its third; of 250 ml it is 4 % short, as books round."""
    assert measures_shown(text, setting)[0] is taken


def test_message__of_measures_taken_from_the_words_of_a_recipe() -> None:
    text = "Tart\n\n1 stick butter\n2 cups all-purpose flour\n"
    read = read_recipe(text, kind="text", measures=None, file_name="tart.txt")
    assert read.measures is Measures.US_CUSTOMARY
    assert str(read.findings[0]) == (
        "'tart.txt': found all-purpose, cup, stick, expected whose cups and spoons are meant "
        "[recipe measures taken]\n"
        "  US customary is taken and is in Settings; change Measures there, or begin again with "
        "--measures, if another is meant."
    )


def test_message__of_cups_that_nothing_says_whose_they_are() -> None:
    """250 ml and 236.588 ml are those of ``units.txt``; grams beside the cups tell nothing."""
    text = "Plum cake\n\n500 g plums\n2 1/4 cups flour\n1 cup sugar\n"
    read = read_recipe(text, kind="text", measures=None, file_name="cake.txt")
    assert read.measures is Measures.METRIC
    assert [str(finding) for finding in read.findings] == [
        "'cake.txt': found cups, and no word on whose they are, expected whose cups and spoons are "
        "meant [recipe measures not said]\n"
        "  Metric is taken, a cup of 250 ml (a US cup is 237 ml), and is in Settings; change "
        "Measures there if another is meant."
    ]


@pytest.mark.parametrize("other", ["50 ml lemon juice", "50 ml lemon, juice only", "lemon, juice"])
def test_fruit_twice__is_said_of_whole_pieces_alone(other: str) -> None:
    """Of 50 ml nobody can say from how many lemons they are."""
    text = f"Tart\n\nzest of 1 lemon\n{other}"
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="tart.txt")
    assert "recipe fruit twice" not in [finding.code for finding in read.findings]


def test_fruit_twice__is_not_said_of_a_fruit_that_is_peeled() -> None:
    """A peeled orange is eaten: its peel serves nothing."""
    text = "Salad\n\n2 oranges, peeled and sliced\njuice of 1 orange\n"
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="salad.txt")
    assert "recipe fruit twice" not in [finding.code for finding in read.findings]


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("text", "Tart\n\n2 leeks\n\n" + "s" * 32_000),
        ("text", "Tart\n" + "\n2 leeks" * 1_998),
        ("json", json.dumps({"@type": "Recipe", "recipeIngredient": ["s" * 32_000]})),
        ("json", json.dumps({"@type": "Recipe", "recipeIngredient": ["2 leeks"] * 2_000})),
    ],
    ids=["long line", "many lines", "long text", "many texts"],
)
def test_limits__a_recipe_as_large_as_they_allow_is_read(kind: str, text: str) -> None:
    """2,000 lines and 32,000 characters, as the messages of larger ones say."""
    read = read_recipe(text, kind=kind, measures=Measures.METRIC, file_name="tart")  # type: ignore[arg-type]
    assert read.rows["Recipes"]


@pytest.mark.parametrize(
    ("text", "dish", "ingredients"),
    [
        ("Two-cheese tart\n\n200 g flour", "Two-cheese tart", ["flour"]),
        ("Tart\n\n**2 eggs**\n200 g flour", "Tart", ["egg", "flour"]),
        ("Tart\n\n**Dough**\n200 g flour", "Tart", ["flour"]),
        ("Tart\n\n6 EGGS\n200 g flour", "Tart", ["EGG", "flour"]),
    ],
)
def test_title_and_headings__a_number_of_things_is_none(
    text: str, dish: str, ingredients: list[str]
) -> None:
    """Two-cheese tart is no two of anything; two eggs in bold are no heading above the flour."""
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="plain.txt")
    found = read.rows["Recipes"]
    assert {row["Dish"] for row in found} == {dish}
    assert [row["Ingredient"] for row in found if row["Ingredient"]] == ingredients


@pytest.mark.parametrize(("length", "titled"), [(80, True), (81, False)])
def test_title__is_a_line_of_at_most_eighty_characters(length: int, titled: bool) -> None:
    """A longer one is a sentence about the dish, and the dish is called after the file."""
    title = "Tart of " + "leek " * 15
    title = title[: length - 1] + "s"
    text = f"{title}\n\n2 leeks\n\nSlice the leeks."
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="plain tart.txt")
    assert len(title) == length
    assert (read.rows["Recipes"][0]["Dish"] == title) is titled


@pytest.mark.parametrize(
    ("cup", "measures", "shown"),
    [
        ("1 cup (257.5 ml) milk", Measures.METRIC, ("1 cup (257.5 ml)",)),
        ("1 cup (258 ml) milk", Measures.METRIC, ()),
        ("1 cup (284 ml) milk", Measures.UK_IMPERIAL, ("1 cup (284 ml)",)),
    ],
)
def test_measures_shown__a_cup_within_three_percent_of_one(
    cup: str, measures: Measures, shown: tuple[str, ...]
) -> None:
    """257.5 ml are 3 % above the metric 250 ml; 258 ml are of no cup, and metric is taken."""
    assert measures_shown(cup, None) == (measures, shown)


@pytest.mark.parametrize(
    ("text", "measures", "setting"),
    [
        ("500 g plums\n2 tbsp sugar", None, None),
        ("1 cup flour", Measures.METRIC, None),
        ("1 cup flour", None, Measures.METRIC),
        ("1 cup flour\n\nNotes\n\nCups and spoons are metric.", None, None),
    ],
    ids=["no cups", "asked for", "of the workbook", "said"],
)
def test_read_recipe__whose_cups_is_not_asked_where_it_is_known_or_no_matter(
    text: str, measures: Measures | None, setting: Measures | None
) -> None:
    read = read_recipe(
        f"Tart\n\n{text}\n", kind="text", measures=measures, setting=setting, file_name="t.txt"
    )
    assert read.measures is Measures.METRIC
    assert "recipe measures not said" not in [finding.code for finding in read.findings]


@pytest.mark.parametrize(
    "line",
    ["1 cup flour", "200 g all-purpose flour", "1 cup (250 ml) cream", "8 oz flour\n2 tbsp sugar"],
)
def test_read_recipe__without_us_words_or_cups_measures_are_metric(line: str) -> None:
    read = read_recipe(f"Tart\n\n{line}\n", kind="text", measures=None, file_name="tart.txt")
    assert read.measures is Measures.METRIC
