"""Recipes in plain text: name, headings, method, remarks."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.quantities import Measures
from costing.recipe_text import RecipeText, RecipeUnreadable, read_recipe
from costing.recipe_text.lines import tidied

PIE = """\
# Bean pie

A pie for a cold evening, good for a crowd and even better on the next day.

Serves 6
Prep time: 20 minutes

## Ingredients
For the filling:
- 2 onions, finely chopped
- 2 x 400 g tins white beans

**For the sauce**
* 100 ml olive oil
Dressing: 2 tbsp vinegar

To serve: 3 tomatoes
Optional
100 g feta

## Method
1. Fry the onions gently. Add the beans
   and simmer for 20 minutes.
2) Blend the sauce.

Notes
Keeps well.
"""


def read(text: str) -> RecipeText:
    return read_recipe(text, kind="text", measures=Measures.METRIC, file_name="pie.txt")


def column(read: RecipeText, *headings: str, sheet: str = "Recipes") -> list[Any]:
    rows = [tuple(row[heading] for heading in headings) for row in read.rows[sheet]]
    return [row[0] for row in rows] if len(headings) == 1 else rows


def test_read_recipe__ingredients_stand_in_the_steps_that_name_them() -> None:
    """Step 1 names onions and beans, step 2 the sauce; the rest stays in step 1, by hand."""
    assert column(read(PIE), "Step", "Step name", "Ingredient", "Optional") == [
        (1, "Fry the onions gently", None, None),
        (1, "Fry the onions gently", "onion", None),
        (1, "Fry the onions gently", "tinned white beans", None),
        (1, "Fry the onions gently", "vinegar", None),
        (1, "Fry the onions gently", "tomato", None),
        (1, "Fry the onions gently", "feta", "yes"),
        (2, "Blend the sauce", None, None),
        (2, "Blend the sauce", "olive oil", None),
    ]


@pytest.mark.parametrize("line", ["A handful of mint", "A few drops of oil", "5 cm ginger"])
def test_read_recipe__a_measure_by_eye_or_length_is_an_ingredient_below_its_heading(
    line: str,
) -> None:
    """Each begins with a number, though none is an amount that can be computed with."""
    name = line.split()[-1]
    listed = read(f"Soup\n\nBASE\n2 eggs\nSAUCE\n{line}\n2 tbsp oil\n")
    assert (2, "SAUCE", name) in column(listed, "Step", "Step name", "Ingredient")
    in_step = read(f"Soup\n\n1. Fry\n- {line}\n2. Stir\n- 2 eggs\n")
    assert (1, "Fry", name) in column(in_step, "Step", "Step name", "Ingredient")


@pytest.mark.parametrize(("length", "steps"), [(80, {1, 2}), (81, {1})])
def test_read_recipe__an_ingredient_below_capitals_has_at_most_eighty_characters(
    length: int, steps: set[int]
) -> None:
    """What is longer may be a sentence, so that capitals above it are no heading for sure."""
    line = f"200 g flour, {'sieved and ' * 9}"[: length - 4] + " dry"
    assert len(line) == length
    found = read(f"Cake\n\nBASE\n2 eggs\nICING\n{line}\n")
    assert set(column(found, "Step")) == steps


@pytest.mark.parametrize(("words", "listed"), [(7, True), (8, False)])
def test_read_recipe__a_sentence_of_eight_words_without_an_amount_is_no_ingredient(
    words: int, listed: bool
) -> None:
    """One of seven among the ingredients may be a food that somebody praises, or below a step."""
    said = f"Keep{' well' * (words - 1)}"
    among = read(f"Cake\n\n200 g flour\n2 eggs\n{said}.\n")
    below = read(f"Cake\n\n1. Stir\n- 2 eggs\n- {said}\n2. Bake\n- 20 g salt\n")
    for found in (among, below):
        assert len([name for name in column(found, "Ingredient") if name]) == 2 + listed


@pytest.mark.parametrize("capitals", [False, True])
@pytest.mark.parametrize(("length", "heads"), [(60, True), (61, False)])
def test_read_recipe__a_heading_has_at_most_sixty_characters(
    length: int, heads: bool, capitals: bool
) -> None:
    heading = "For" + " the icing" * 6
    heading = heading.upper()[:length] if capitals else f"{heading[: length - 1]}:"
    assert len(heading) == length
    found = read(f"Cake\n\nFor the base:\n2 eggs\n{heading}\n200 g sugar\n")
    assert (2 in column(found, "Step")) is heads


def test_read_recipe__two_capital_letters_are_no_heading() -> None:
    """TV above the sugar says nothing; ICE may."""
    for heading, steps in (("TV", {1}), ("ICE", {1, 2})):
        found = read(f"Cake\n\nFor the base:\n2 eggs\n{heading}\n200 g sugar\n")
        assert set(column(found, "Step")) == steps


@pytest.mark.parametrize(("last", "steps"), [("20 g salt", {1, 2}), ("20 G SALT", {1})])
def test_read_recipe__capitals_say_nothing_where_most_lines_have_them(
    last: str, steps: set[int]
) -> None:
    """Three or four of the six lines, without the blank one: of half of them they are headings."""
    found = read(f"CAKE\n\nBASE\n2 eggs\nICING\n50 g sugar\n{last}\n")
    assert set(column(found, "Step")) == steps


def test_read_recipe__without_a_method_headings_are_steps() -> None:
    found = read("Cake\n\nFor the base\n2 eggs\n\n**The icing**\n100 g icing sugar\n")
    assert column(found, "Step", "Step name", "Ingredient") == [
        (1, "For the base", "egg"),
        (2, "The icing", "icing sugar"),
    ]


def test_read_recipe__capitals_above_ingredients_are_a_heading() -> None:
    found = read("Cake\n\nFOR THE BASE\n2 eggs\nICING\n100 g icing sugar\n")
    assert column(found, "Step name", "Ingredient") == [
        ("FOR THE BASE", "egg"),
        ("ICING", "icing sugar"),
    ]


def test_read_recipe__a_part_of_a_dish_above_amounts_is_a_heading() -> None:
    """With a blank line above it and an amount below; else it is food, as is what is no part."""
    found = read("Flatbreads\n\nDough\n250 g flour\n\nLemon filling\n2 lemons\n")
    assert column(found, "Step name", "Ingredient") == [
        ("Dough", "flour"),
        ("Lemon filling", "lemon"),
    ]
    for text in (
        "2 eggs\nLemon filling\n1 cup milk",
        "2 eggs\n\nFilling",
        "2 eggs\n\nSalt\n1 g dill",
    ):
        assert not any(column(read(f"Flatbreads\n\n{text}\n"), "Step name"))


@pytest.mark.parametrize(
    ("line", "step"),
    [
        ("Smoke the tomatoes.", True),
        ("Chargrill them for a minute.", True),
        ("Stock of the day", False),
        ("Pepper, freshly ground.", False),
    ],
)
def test_read_recipe__a_short_sentence_of_what_to_do_is_a_step(line: str, *, step: bool) -> None:
    """Its second word says to what it is done; a full stop ends it."""
    found = read(f"Soup\n\n1 kg tomatoes\n\n{line}\n")
    assert (line.rstrip(".") in column(found, "Step name")) is step


def test_read_recipe__capitals_say_nothing_where_all_is_in_capitals() -> None:
    found = read("CAKE\n\nSALT\n2 EGGS\n100 G SUGAR\n")
    assert column(found, "Ingredient") == ["SALT", "EGG", "SUGAR"]


def test_read_recipe__ingredients_below_numbered_steps() -> None:
    """The two steps list their own, the third none; a sentence below them belongs to the step."""
    text = (
        "Two-cheese bread\n\n1. Make the dough\n200 g flour\n- salt\nKnead it well.\n\n"
        "2. Make the filling\n300 g spinach\n\n3. Bake.\n"
    )
    assert column(read(text), "Dish", "Step", "Ingredient", "Note") == [
        ("Two-cheese bread", 1, None, "1. Make the dough Knead it well."),
        ("Two-cheese bread", 1, "flour", "200 g flour"),
        ("Two-cheese bread", 1, "salt", "- salt"),
        ("Two-cheese bread", 2, None, "2. Make the filling"),
        ("Two-cheese bread", 2, "spinach", "300 g spinach"),
        ("Two-cheese bread", 3, None, "3. Bake."),
    ]


def test_read_recipe__a_heading_above_steps_with_ingredients_is_told() -> None:
    found = read("Bread\n\n# Base\n\n1. Make the dough.\n200 g flour\n")
    told = [finding.place.name for finding in found.findings if "left out" in finding.code]
    assert told == ["# Base"]


def test_read_recipe__lines_of_a_page() -> None:
    text = "<h1>Cake</h1>\n<ul><li>2 eggs</li><li>100 g sugar</li></ul><p>Method</p><p>Mix it.</p>"
    assert column(read(text), "Dish", "Ingredient", "Note") == [
        ("Cake", None, "Mix it."),
        ("Cake", "egg", "2 eggs"),
        ("Cake", "sugar", "100 g sugar"),
    ]


def test_read_recipe__each_line_is_kept_in_note() -> None:
    assert column(read(PIE), "Note") == [
        "1. Fry the onions gently. Add the beans and simmer for 20 minutes.",
        '- 2 onions, finely chopped (For the filling); step 1 by "Fry the onions gently"',
        "- 2 x 400 g tins white beans (For the filling); step 1 by "
        '"Add the beans and simmer for 20 minutes"',
        "Dressing: 2 tbsp vinegar (Dressing); no step names it",
        "To serve: 3 tomatoes (To serve); no step names it",
        "100 g feta (To serve); no step names it",
        "2) Blend the sauce.",
        '* 100 ml olive oil (For the sauce); step 2 by "Blend the sauce"',
    ]


def test_read_recipe__name_and_yield_are_found() -> None:
    found = read(PIE)
    assert set(column(found, "Dish")) == {"Bean pie"}
    assert found.rows["Dishes"] == [
        {"Dish": "Bean pie", "Makes": "6", "Unit": "portion", "Note": "Serves 6"}
    ]


def test_read_recipe__remarks_are_told_and_left_out() -> None:
    rows = [f.place.row for f in read(PIE).findings if f.code == "recipe line left out"]
    assert rows == [3, 6, 27]


def test_read_recipe__a_step_that_begins_as_a_link_or_a_greeting_is_a_step() -> None:
    steps = ["Skip to step 2 if the oven is hot.", "Thanks to the steam, the crust stays thin."]
    around = "Jump to Recipe\n", "\nThanks, Mia\n"
    numbered = "\n".join(f"{at}. {step}" for at, step in enumerate(steps, 1))
    for method in (numbered, "\n".join(steps)):
        found = read(f"{around[0]}Bread\n\n200 g flour\n\nMethod\n{method}{around[1]}")
        names = dict.fromkeys(column(found, "Step name"))
        assert list(names) == [step.removesuffix(".") for step in steps]


def test_read_recipe__packs_and_ingredients_once_each_without_water() -> None:
    found = read("Broth\n\n1 onion\n2 l water\n2 Onions\n200 ml boiling water\nsalt, to taste\n")
    assert column(found, "Ingredient", sheet="Ingredients") == ["onion", "salt"]
    assert found.rows["Packs"] == [
        {"Ingredient": name, "Amount": None, "Unit": None, "Price": None}
        for name in ("onion", "salt")
    ]


def test_read_recipe__a_plural_takes_the_name_of_its_singular() -> None:
    found = read("Salad\n\n400 g tomatoes\n2 tomatoes\n100 g oats\n")
    assert column(found, "Ingredient") == ["tomato", "tomato", "oats"]


def test_read_recipe__without_a_name_the_dish_is_called_after_the_file() -> None:
    assert column(read("200 g flour\n2 eggs"), "Dish") == ["pie", "pie"]


def test_read_recipe__a_first_line_among_amounts_is_the_name_and_told() -> None:
    found = read("Batter\n200 g flour\n2 eggs")
    assert column(found, "Dish", "Ingredient") == [("Batter", "flour"), ("Batter", "egg")]
    assert [finding.code for finding in found.findings] == ["recipe title taken"]


def test_read_recipe__a_name_above_whom_it_is_for() -> None:
    found = read("Fennel and potato soup\nFor 4\n\n600 g butter\n2 eggs")
    assert column(found, "Dish", "Ingredient") == [
        ("Fennel and potato soup", "butter"),
        ("Fennel and potato soup", "egg"),
    ]
    assert found.rows["Dishes"][0]["Makes"] == "4"


def test_read_recipe__numbered_ingredients_are_ingredients_before_the_method() -> None:
    found = read("Batter\n\n1. 200 g flour\n2. 2 eggs\n\nMethod\n1. Mix.\n2. Rest.\n")
    assert column(found, "Ingredient", "Step name") == [
        (None, "Mix"),
        ("flour", "Mix"),
        ("egg", "Mix"),
        (None, "Rest"),
    ]


@pytest.mark.parametrize("heading", ["Step {}:", "For step {}:", "Step {}"])
@pytest.mark.parametrize("before", ["", "Ingredients\n"])
def test_read_recipe__ingredients_below_their_steps_before_the_method(
    heading: str, before: str
) -> None:
    """With the line Ingredients or without, each is put to the step that stands above it."""
    one, two = heading.format(1), heading.format(2)
    text = f"Sponge\n\n{before}{one}\n2 eggs\n{two}\n100 g sugar\nMethod\n1. Beat.\n2. Add."
    assert column(read(text), "Step", "Step name", "Ingredient") == [
        (1, "Beat", None),
        (1, "Beat", "egg"),
        (2, "Add", None),
        (2, "Add", "sugar"),
    ]


def test_read_recipe__numbers_of_steps_without_a_full_stop() -> None:
    """The number is the next one and a sentence follows; two onions are no step of their own."""
    text = "Pie\n\n2 onions\n\nMethod\n1 Fry the onions.\nStir well.\n2 Bake for an hour.\n4 Serve."
    assert [name for _, name in dict.fromkeys(column(read(text), "Step", "Step name"))] == [
        "Fry the onions",
        "Bake for an hour",
    ]


@pytest.mark.parametrize("sign", [" - ", " – ", "- ", ")", ".", " : ", "] "])
def test_read_recipe__a_number_that_goes_on_is_a_step_however_set_off(sign: str) -> None:
    """Four steps as numbered; 4 again, 6 and an inch do not go on from 3 or 4."""
    text = "Pie\n\n2 onions\n\nMethod\n1. Fry onions.\n2) Stir.\n3. Pour\n"
    text += f"4{sign}milk goes in\n4 - inch tins.\n6 - of a row\n5-inch tins\n5. Bake"
    names = [name for _, name in dict.fromkeys(column(read(text), "Step", "Step name"))]
    assert names == ["Fry onions", "Stir", "Pour", "milk goes in", "Bake"]


def test_read_recipe__a_method_numbered_with_dashes_alone() -> None:
    """3 - 4 minutes is a range and no step; in place of a dash a bracket before it too."""
    text = "Pie\n\n2 onions\n\nMethod\n1 - fry\n2 - wait\n3 - 4 minutes\n(3) eat\n[4] sleep"
    names = [name for _, name in dict.fromkeys(column(read(text), "Step", "Step name"))]
    assert names == ["fry", "wait", "eat", "sleep"]


@pytest.mark.parametrize("stop", [".", ""])
def test_read_recipe__dashes_number_a_method_that_nothing_heads(stop: str) -> None:
    """None is bought: 1 - fry the onions is no fried onion, and 2 each of it are no food."""
    text = f"Pie\n\n2 onions\n1 stick celery\n\n1 - Fry the onions{stop}\n2 - Bake it{stop}"
    found = read(text)
    names = [name for _, name in dict.fromkeys(column(found, "Step", "Step name"))]
    assert names == ["Fry the onions", "Bake it"]
    assert set(filter(None, column(found, "Ingredient"))) == {"onion", "celery stick"}


def test_read_recipe__unnumbered_method_is_a_step_a_line() -> None:
    found = read("Batter\n\n2 eggs\n\nMethod:\nMix.\nRest for an hour.\n")
    assert column(found, "Step", "Step name") == [
        (1, "Mix"),
        (1, "Mix"),
        (2, "Rest for an hour"),
    ]


def test_read_recipe__sentences_behind_the_ingredients_are_method() -> None:
    found = read("Batter\n\n2 eggs\n\nMix everything well and let it stand for an hour.\n")
    assert column(found, "Step name", "Ingredient") == [
        ("Mix everything well and let it stand for an hour", None),
        ("Mix everything well and let it stand for an hour", "egg"),
    ]


def test_read_recipe__ingredients_behind_a_heading_inside_the_method() -> None:
    text = "Cake\n\n2 eggs\n\nMethod\n1. Bake.\n\nFor the icing:\n100 g icing sugar\n"
    assert column(read(text), "Step", "Step name", "Ingredient") == [
        (1, "Bake", None),
        (1, "Bake", "egg"),
        (1, "Bake", "icing sugar"),
    ]


def test_read_recipe__a_step_numbered_on_a_line_of_its_own() -> None:
    found = read("Cake\n\n2 eggs\n\nMethod\nStep 1\nBake it.\nStep 2\nServe.\n")
    assert column(found, "Step name") == ["Bake it", "Bake it", "Serve"]


def test_read_recipe__a_heading_without_ingredients_is_a_step() -> None:
    found = read("Cake\n\n2 eggs\n\nFor the icing:\n")
    assert column(found, "Step", "Step name", "Ingredient") == [
        (1, None, "egg"),
        (2, "For the icing", None),
    ]


def test_read_recipe__a_very_long_paragraph_is_method() -> None:
    found = read("Cake\n\n2 eggs\n\n" + "Stir it. " * 200)
    assert column(found, "Step name") == ["Stir it", "Stir it"]


def test_read_recipe__another_kind_is_the_programmers_fault() -> None:
    with pytest.raises(ValueError, match="kind must be text or json, not 'html'"):
        read_recipe("x", kind="html", measures=Measures.METRIC, file_name="x")  # type: ignore[arg-type]


def test_read_recipe__ingredients_below_step_2_are_that_steps() -> None:
    """The same egg in two steps; a list for a step that the method has not is a heading."""
    text = "Tart\n\nIngredients\n\nStep 1:\n- 1 egg\n\nStep 2:\n- 1 egg\n\nMethod\n\n1. Mix.\n"
    found = read(f"{text}2. Glaze.\n")
    taken = [row for row in found.rows["Recipes"] if row["Ingredient"]]
    assert [(row["Step"], row["Ingredient"]) for row in taken] == [(1, "egg"), (2, "egg")]
    assert found.findings == []
    notes = [row["Note"] for row in read(text).rows["Recipes"] if row["Ingredient"]]
    assert notes == ["- 1 egg (Step 1)", "- 1 egg (Step 2)"]


def test_read_recipe__whose_cups_they_are_may_be_said() -> None:
    text = "Tart\n\n1 cup milk\n2 tbsp honey\n\nNotes\n\nCups and spoons are Australian.\n"
    found = read_recipe(text, kind="text", measures=None, file_name="tart.txt")
    assert found.measures is Measures.AUSTRALIAN


PARTS = st.sampled_from([*PIE.splitlines(), "Method", "Ingredients:", "2 eggs", "#", "Serves", ":"])


@given(st.text(max_size=300) | st.lists(PARTS | st.text(max_size=20), max_size=12).map("\n".join))
def test_read_recipe__loses_no_line_without_a_word(text: str) -> None:
    """Each line stands in a cell or in a finding, unless it only names a part of the recipe.

    A line without a letter or a digit is a ruled line, and says nothing.
    """
    try:
        found = read(text)
    except RecipeUnreadable:
        return
    cells = [str(cell) for rows in found.rows.values() for row in rows for cell in row.values()]
    told = [f"{finding.place.name} {finding.found}" for finding in found.findings]
    kept = " ".join([*cells, *told])
    kept = " ".join(kept.split())
    for row in text.splitlines():
        line = tidied(row).strip("#*_: ")
        says = any(map(str.isalnum, line))
        if says and line.casefold() not in ("method", "ingredients", "notes", "optional"):
            assert line in tidied(kept) or " ".join(row.split()) in kept


@pytest.mark.parametrize("heading", ["# Ingredients", "## Ingredients:", "**Ingredients**"])
def test_read_recipe__a_heading_of_a_section_is_no_title(heading: str) -> None:
    """Where no line names the dish the file does."""
    found = read(f"{heading}\n\n200 g flour\n2 eggs\n")
    assert set(column(found, "Dish")) == {"pie"}
    assert column(found, "Ingredient") == ["flour", "egg"]


@pytest.mark.parametrize(
    "text",
    [
        "Ingredient;Amount;Unit\nflour;1,5;kg\neggs;2;\nbutter, soft;50;g\n",
        'Ingredient,Amount,Unit,Note\nflour,"1,5",kg,\neggs,2,,\n"butter, soft",50,g,\n',
        '"Amount","Unit","Ingredient"\n"1.5","kg","flour"\n2,,eggs\n"50","g","butter, soft"\n',
        "flour, 1.5, kg\neggs, 2\nbutter, 50, g\n",
        "§\t1.5 kg flour\no\t2 _large_ eggs\n\uf0b7\t50 g *soft* butter\n",
    ],
    ids=["semicolons", "commas", "quoted", "no headings", "bullets of a word processor"],
)
def test_read_recipe__tables_as_programs_save_and_copy_them(text: str) -> None:
    """The unit in its own cell was dropped: 1.5 of flour, each."""
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="cake.csv")
    rows = [(row["Ingredient"], row["Unit"]) for row in read.rows["Recipes"]]
    assert [(name.split()[-1], unit) for name, unit in rows if isinstance(name, str)] == [
        *(("flour", "kg"), ("egg", "each"), ("butter", "g"))
    ]
