"""A published recipe: base amounts in two systems, and a text that reads back the same."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import line, shoot_of

from costing.kitchen import Dish, Ingredient, Line, Measured
from costing.names import food_key
from costing.quantities import (
    Amount,
    Dimension,
    Measures,
    Unit,
    amount,
    find_unit,
    read_number,
)
from costing.recipe_text import read_recipe
from costing.report.base_recipe import RecipeForm, given_recipe, read_otherwise, written
from costing.report.metric_and_us import System
from costing.shoot import Shoot, Shot
from costing.workbook.demo import TART
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes

DEMO = Path(__file__).parents[2] / "workbooks" / "leek-tart.xlsx"
BOTH, METRIC, US = System.BOTH, System.METRIC, System.US


def texts(shoot: Shoot, system: System = BOTH) -> list[str]:
    """The lines of the dish "soup"."""
    steps = given_recipe(shoot, "soup", system).steps
    return [said.text for step in steps for said in step.lines]


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20081, 01001, 11246: a cup of flour, butter, leek")
@pytest.mark.source("nist-sp-430", "household weights and measures: 1 cup is 237 ml")
@pytest.mark.parametrize(
    ("written_line", "metric", "us"),
    [
        (("plain flour", "2 cup", ""), "250 g plain flour", "2 cups plain flour"),
        (("milk", "1 cup", ""), "235 ml milk", "1 cup milk"),
        (("milk", "1/4 cup", ""), "59 ml milk", "1/4 cup milk"),
        (("milk", "80 ml", ""), "80 ml milk", "1/3 cup milk"),
        (("milk", "160 ml", ""), "160 ml milk", "2/3 cup milk"),
        (("milk", "180 ml", ""), "180 ml milk", "3/4 cup milk"),
        (("salt", "1 tsp", ""), "5 ml salt", "1 tsp salt"),
        (("butter", "2 tbsp", ""), "28 g butter", "2 tbsp butter"),
        (("butter", "1 tsp", ""), "5 ml butter", "1 tsp butter"),
        (("beef fillet", "1 lb", ""), "455 g beef fillet", "1 lb beef fillet"),
        (("leek", "3 each", "sliced"), "3 leeks, sliced", "3 leeks, sliced"),
        (("red chilli", "2 each", ""), "2 red chillies", "2 red chillies"),
        (("onion", "1 cup", "chopped"), "160 g onion, chopped", "1 cup onion, chopped"),
    ],
)
def test_given_recipe__cups_become_grams_and_pieces_stay(
    written_line: tuple[str, str, str], metric: str, us: str
) -> None:
    """250 = 2 x 125 g, 235 of 236.6 ml, 455 of 453.6 g, 160 g a cup of chopped onion.
    28 of 28.4 g: two tablespoons are an eighth of a cup of butter, 227 g.

    80, 160 and 180 ml are nearest to 78.9, 157.7 and 177.4 ml: a third, two and three quarters.
    """
    name, text, cut = written_line
    amount = Amount(read_number(text.split()[0]).low, find_unit(text.split()[1], MEASURES))
    shoot = shoot_of(Line(dish="soup", ingredient=name, amount=amount, cut=cut))
    assert texts(shoot, METRIC) == [metric]
    assert texts(shoot, US) == [us]


MEASURES = Measures.US_CUSTOMARY


@pytest.mark.source("nist-sp-430", "household weights and measures: cups, spoons in ml")
@pytest.mark.parametrize(
    ("ingredient", "metric", "us"),
    [
        ("milk", "62.9 ml", "1/4 cup"),
        ("milk", "63 ml", "4 1/2 tbsp"),
        ("salt", "7.5 ml", "1 1/2 tsp"),
        ("salt", "20 ml", "4 tsp"),
        ("salt", "40 ml", "2 tbsp plus 2 tsp"),
        ("butter", "40 ml", "2 tbsp plus 2 tsp"),
        ("salt", "0.48 ml", "1/8 tsp"),
        ("salt", "0.45 ml", "0.45 ml"),
        ("leek", "28 g", "1 oz"),
        ("leek", "27.9 g", "27.9 g"),
        ("milk", "222 ml", "1 cup"),
        ("milk", "205 ml", "3/4 cup plus 2 tbsp"),
        ("milk", "266 ml", "1 cup plus 2 tbsp"),
        ("milk", "118.3 ml", "1/2 cup"),
        ("milk", "100 ml", "7 tbsp"),
        ("leek", "430 g", "1 lb"),
        ("leek", "420 g", "14 3/4 oz"),
        ("leek", "500 g", "1 lb 2 oz"),
        ("leek", "0.6 kg", "1 1/4 lb"),
    ],
)
def test_given_recipe__how_near_a_measure_must_come(ingredient: str, metric: str, us: str) -> None:
    """A quarter cup is 59.147 ml: 5.97 % less than 62.9 ml, within 6 %, and 6.12 % less than 63.

    Half a tablespoon, which nobody has, is 1 1/2 teaspoons; four of those are counted, and of more
    three are a tablespoon.
    63 ml are 4.26 tablespoons of 14.787 ml, nearest to 4 1/2. An eighth of a teaspoon is 0.616 ml,
    28 % more than 0.48 ml, and 37 % more than 0.45, which is over a third and stays. From 28 g on
    there are ounces (of 28.35 g).
    Nobody counts 15 tablespoons: above half a cup 8 % is near enough, 237 of 222 ml; 205 ml are 14
    of them, 266 ml 18, told beside the cups that hold the most of them. 500 g are 17.6 ounces, a
    pound and two; 600 g 1.32 pounds, nearer than 6 % to 1 1/4, as 430 g are to one.
    """
    shoot = shoot_of(line("soup", ingredient, metric))
    assert texts(shoot, METRIC) == [f"{metric} {ingredient}"]
    assert texts(shoot, US) == [f"{us} {ingredient}"]


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20081: a cup of flour is 125 g")
def test_given_recipe__grams_become_cups_by_the_weight_of_one() -> None:
    shoot = shoot_of(line("soup", "plain flour", "250 g"))
    assert texts(shoot, US) == ["2 cups plain flour"]


def test_given_recipe__a_range_is_said_in_one_measure() -> None:
    """205 to 266 ml of milk are 14 to 18 tablespoons; ounces to 500 g and 560 g, 18 and 20."""
    low = (line("soup", name, text) for name, text in (("milk", "205 ml"), ("leek", "500 g")))
    high = (amount("266 ml"), amount("550 g"))
    rows = [
        one.model_copy(update={"amount": more, "amount_low": one.amount})
        for one, more in zip(low, high, strict=True)
    ]
    assert texts(shoot_of(*rows), US) == ["14-18 tbsp milk", "1-1 1/4 lb leek"]


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ("for the tin", ", for the tin"),
        ("10 g butter, for the tin", ", for the tin"),  # the whole line, as a reader notes it
        ("10 g butter (to serve)", ", to serve"),
        ('10 g butter, for the tin; step 2 by "Line the tin"', ", for the tin"),
        ("butter for greasing", ""),  # what stands in the line is in its name
        ("forgotten last time", ""),
        ("ask the neighbour", ""),
        ("for now. ask again", ""),
        *((f"for {what}", f", for {what}") for what in ("deep-frying", "the loaf tins", "dusting")),
        *((f"for {who}", "") for who in ("Anna only", "the close-up", "us", "Anna's tin", "panos")),
    ],
)
def test_given_recipe__what_a_line_is_for_is_printed(note: str, said: str) -> None:
    """A Note is the person's own: what it is for is a reader's business, the rest is not."""
    shoot = shoot_of(line("soup", "butter", "10 g", note=note))
    assert texts(shoot, METRIC) == [f"10 g butter{said}"]
    assert read_otherwise(given_recipe(shoot, "soup", METRIC), RecipeForm.TEXT) == []


def test_given_recipe__what_is_converted_has_at_least_one_step() -> None:
    """A 64th of a teaspoon of 4.929 ml is 0.077 ml: 0.1, the least, is 30 % more."""
    pinch = Amount(Fraction(1, 64), find_unit("tsp", MEASURES))
    shoot = shoot_of(Line(dish="soup", ingredient="salt", amount=pinch))
    assert texts(shoot, METRIC) == ["0.1 ml salt"]


@pytest.mark.parametrize(
    ("ingredient", "amount", "system", "said"),
    [
        ("milk", "80 ml", US, True),  # 1/3 cup
        ("milk", "80 ml", METRIC, False),
        ("leek", "300 g", US, False),  # 10 1/2 oz
    ],
)
def test_given_recipe__whose_cups_they_are_is_said_where_there_are_any(
    ingredient: str, amount: str, system: System, said: bool
) -> None:
    notes = given_recipe(shoot_of(line("soup", ingredient, amount)), "soup", system).notes
    assert ("Cups and spoons are US customary." in notes) is said


@pytest.mark.trade
def test_given_recipe__what_has_no_weight_stays_and_is_said() -> None:
    cup = find_unit("cup", MEASURES)
    shoot = shoot_of(
        Line(dish="soup", ingredient="wild greens", amount=Amount(Fraction(2), cup)),
        line("soup", "saffron", "1 g"),
        Line(dish="soup", ingredient="salt", to_taste=True),
        line("soup", "dumplings", "1 batch"),
        line("dumplings", "flour", "100 g"),
    )
    recipe = given_recipe(shoot, "soup", BOTH)
    assert texts(shoot) == [
        "475 ml (2 cups) wild greens",
        "1 g saffron",
        "salt, to taste",
        "1 batch dumplings",
    ]
    assert recipe.notes[1:] == (
        "Cups and spoons are US customary.",
        "By volume, since the weight of a cup is not known: wild greens.",
        "In grams alone, too little for ounces: saffron.",
        "With a recipe of its own: dumplings.",
    )
    assert recipe.notes[0].endswith("here by at most 0.4 %.")  # 475 of 473.2 ml


def test_given_recipe__the_shoot_multiplies_nothing() -> None:
    """Law: shots, candidates and stock leave the recipe as it is."""
    base = [line("soup", "leek", "300 g"), line("soup", "garlic clove", "2 each", candidates=3)]
    shots = [Shot(dish="soup", name=f"S{n}", batch=Fraction(5), times=4) for n in range(3)]
    assert texts(shoot_of(*base)) == texts(shoot_of(*base, *shots))
    assert texts(shoot_of(*base)) == ["300 g (10 1/2 oz) leek", "2 garlic cloves"]


@pytest.mark.parametrize(
    ("number", "size", "word", "said"),
    [
        (2, Fraction(1, 15), "sprig", "2 sprigs mint, torn"),
        (1, 1, "bunch", "1 bunch mint, torn"),
        (3, 1, "leaf", "3 leaves mint, torn"),
    ],
)
def test_given_recipe__a_unit_of_the_ingredients_own_is_counted(
    number: int, size: Fraction, word: str, said: str
) -> None:
    """Of a bunch of 30 g a sprig of 2 g is a fifteenth; two of them were 0.1 g."""
    own = Amount(Fraction(number), Unit(word, Dimension.COUNT, Fraction(size)))
    row = Line(dish="soup", ingredient="mint", amount=own, cut="torn", measured=Measured.AS_BOUGHT)
    assert [texts(shoot_of(row), system) for system in (BOTH, METRIC, US)] == [[said]] * 3


def test_given_recipe__a_weight_of_the_workbook_goes_before_a_published_one() -> None:
    """A cup of 0.5 g/ml: 236.6 x 0.5 = 118.3, to 5 g: 120."""
    cup = Line(
        dish="soup",
        ingredient="plain flour",
        amount=Amount(Fraction(1), find_unit("cup", MEASURES)),
    )
    known = Ingredient(name="plain flour", density=Fraction(1, 2))
    assert texts(shoot_of(cup, known), METRIC) == ["120 g plain flour"]


def test_written__markdown_and_json_ld_say_the_same_in_their_order() -> None:
    shoot = shoot_of(
        Line(dish="soup", step=2, step_name="simmer", ingredient="leek", amount="300 g"),
        Line(dish="soup", step=1, step_name="melt", ingredient="butter", amount="30 g"),
        Line(dish="soup", step=1, note="Melt the butter. Stir."),
        Dish(name="soup", makes="4 portion"),
    )
    recipe = given_recipe(shoot, "soup", METRIC)
    assert written(recipe, RecipeForm.MARKDOWN) == (
        "# soup\n\nServes 4\n\n## Ingredients\n\n### Step 1\n\n- 30 g butter\n\n### Step 2\n\n"
        "- 300 g leek\n\n## Method\n\n1. Melt the butter. Stir.\n2. simmer\n"
    )
    data = json.loads(written(recipe, RecipeForm.JSON))
    assert data["recipeYield"] == "Serves 4"
    assert data["recipeIngredient"] == ["30 g butter", "300 g leek"]
    assert [(s["text"], [i["name"] for i in s["supply"]]) for s in data["recipeInstructions"]] == [
        ("Melt the butter. Stir.", ["30 g butter"]),
        ("simmer", ["300 g leek"]),
    ]


NAMES = (
    *("leek", "plain flour", "butter", "olive oil", "milk", "egg", "garlic clove", "salt"),
    *("brown sugar", "chicken stock", "canned beans", "basmati rice", "cherry tomato", "parsley"),
    *("ground cumin", "beef fillet", "prawn", "goat cheese", "shallot", "lemon juice"),
)
UNITS = ("g", "kg", "ml", "l", "US cup", "US tablespoon", "US teaspoon", "metric cup", "oz", "lb")
NUMBERS = [Fraction(n) for n in ("1", "2", "3", "12", "250", "1/2", "3/4", "1/3", "3/2", "0.8")]


@st.composite
def lines(draw: st.DrawFn) -> list[Line]:
    """Lines of a dish of up to four steps, an ingredient in several of them too."""
    found = []
    for step in range(1, draw(st.integers(1, 4)) + 1):
        for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4, unique=True)):
            unit = draw(st.sampled_from((*UNITS, "each")))
            high = Amount(draw(st.sampled_from(NUMBERS)), find_unit(unit, Measures.METRIC))
            state = draw(st.sampled_from(tuple(Measured))) if unit != "each" else Measured.TRIMMED
            kind = draw(st.sampled_from(("amount", "amount", "range", "to taste", "unknown")))
            known = kind in ("amount", "range")
            found.append(
                Line(
                    dish="soup",
                    step=step,
                    step_name=draw(st.sampled_from(("mix", "bring to the boil"))),
                    ingredient=name,
                    amount=high if known else None,
                    amount_low=high * Fraction(1, 2) if kind == "range" else None,
                    to_taste=kind == "to taste",
                    cut=draw(st.sampled_from(("", "finely chopped", "diced", "melted"))),
                    measured=state if known else Measured.TRIMMED,
                    optional=draw(st.booleans()),
                )
            )
    return found


@given(lines(), st.sampled_from(tuple(RecipeForm)), st.sampled_from(tuple(System)))
def test_written__reads_back_as_the_rows_it_stands_for(
    rows: list[Line], form: RecipeForm, system: System
) -> None:
    """Law: publishing and reading again changes no step, ingredient, cut, state or given amount."""
    recipe = given_recipe(shoot_of(*rows, Dish(name="soup", makes="6 each")), "soup", system)
    assert read_otherwise(recipe, form) == []


@given(lines(), st.sampled_from(tuple(RecipeForm)))
def test_written__metric_amounts_read_back_exactly(rows: list[Line], form: RecipeForm) -> None:
    """Law: what stood in metric comes back to the last digit, by the reader alone."""
    recipe = given_recipe(shoot_of(*rows), "soup", BOTH)
    kind: Literal["text", "json"] = "json" if form is RecipeForm.JSON else "text"
    text = written(recipe, form)
    read = read_recipe(text, kind=kind, measures=None, file_name="soup.txt")
    back = [row for row in read.rows["Recipes"] if row["Ingredient"]]
    for row, was in zip(back, sorted(rows, key=lambda one: one.step), strict=True):
        assert food_key(str(row["Ingredient"])) == food_key(was.ingredient)
        if was.amount is not None and was.amount.unit.name in ("g", "kg", "ml", "l"):
            number = read_number(str(row["Amount"]))
            unit = find_unit(str(row["Unit"]), read.measures)
            assert Amount(number.high, unit) == was.amount
            assert Amount(number.low, unit) == (was.amount_low or was.amount)


@pytest.mark.parametrize("form", tuple(RecipeForm))
def test_written__the_demo_comes_back_through_a_new_workbook(
    form: RecipeForm, tmp_path: Path
) -> None:
    """Law: out of one workbook, through a file, into another: the same lines in the same steps."""
    old, _ = read_workbook(DEMO)
    recipe = given_recipe(old, TART, BOTH)
    assert read_otherwise(recipe, form) == []
    kind: Literal["text", "json"] = "json" if form is RecipeForm.JSON else "text"
    text = written(recipe, form)
    read = read_recipe(text, kind=kind, measures=None, file_name="tart.txt")
    book = tmp_path / "new.xlsx"
    book.write_bytes(new_workbook_bytes(all_sheets=False, rows=read.rows))
    new, _ = read_workbook(book)

    def said(shoot: Shoot) -> list[tuple[object, ...]]:
        taken = [one for one in shoot.recipes[TART] if one.ingredient]
        return [(one.step, one.ingredient, one.amount, one.cut, one.measured) for one in taken]

    assert said(new) == said(old)
    names = [
        {one.step: one.step_name for one in s.recipes[TART] if one.step_name} for s in (new, old)
    ]
    assert names[0] == names[1]


@pytest.mark.parametrize(
    ("name", "note", "text"),
    [
        ("", "", "Continue with what is ready at step 2"),
        ("season", "", "season"),
        ("season", "2. Season to **taste**.", "Season to taste."),
        ("whisk…", "Whisk it in.", "Whisk it in."),
        ("season", "Salt at the end.", "season: Salt at the end."),
        ("", "Salt at the end.", "Salt at the end."),
    ],
)
def test_given_recipe__a_step_says_its_name_once_and_something_always(
    name: str, note: str, text: str
) -> None:
    """What follows the first step must be told from it when the text is read back."""
    shoot = shoot_of(
        line("soup", "leek", "1 kg"),
        line("soup", "salt", "5 g", step=2),
        Line(dish="soup", step=2, step_name=name, note=note),
    )
    first, second = given_recipe(shoot, "soup", BOTH).steps
    assert (first.text, second.name, second.text) == ("", name, text)


@pytest.mark.trade
@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("cherry tomato", "cherry tomatoes"),
        ("cherry", "cherries"),
        ("peach", "peaches"),
        ("radish", "radishes"),
        ("box", "boxes"),
        ("bay leaf", "bay leaves"),
        ("avocado", "avocados"),
        ("turkey", "turkeys"),
        ("egg", "eggs"),
        ("asparagus", "asparagus"),
        ("卵", "卵"),
    ],
)
def test_given_recipe__more_than_one_is_named_in_the_plural(one: str, many: str) -> None:
    """As it is spelled in English; one of it, and what has no plural that is read again, stays."""
    assert texts(shoot_of(line("soup", one, "3 each"))) == [f"3 {many}"]
    assert texts(shoot_of(line("soup", one, "1 each"))) == [f"1 {one}"]


@pytest.mark.parametrize("title", ["Serves 4", "# soup", "12 eggs"])
def test_read_otherwise__a_title_that_would_come_in_as_another_takes_all_lines_with_it(
    title: str,
) -> None:
    """As text its first line would be a yield, a heading or food; JSON-LD has a field for it."""
    recipe = given_recipe(shoot_of(line(title, "leek", "300 g")), title, METRIC)
    assert read_otherwise(recipe, RecipeForm.TEXT) == [title, "300 g leek"]
    assert read_otherwise(recipe, RecipeForm.JSON) == []


def test_read_otherwise__names_a_line_that_would_come_in_as_another() -> None:
    """A comma in a name begins what is done to the food."""
    shoot = shoot_of(line("soup", "leek, the white part", "300 g"), line("soup", "salt", "3 g"))
    recipe = given_recipe(shoot, "soup", METRIC)
    assert read_otherwise(recipe, RecipeForm.TEXT) == ["300 g leek, the white part"]


@pytest.mark.trade
def test_given_recipe__too_little_to_measure_stays_and_the_bound_is_true() -> None:
    """A pinch is half the least spoon of the US, 1/8 tsp: 0.308 ml, to 0.3 ml by 2.6 % and no more.

    Half a tenth of a gram would be doubled: 0.01 oz is 0.2835 g, to 0.3 g by 5.82 %, said as 5.9 %.
    """
    pinch = Amount(Fraction(1), find_unit("pinch", MEASURES))
    little = Amount(Fraction(1, 16), find_unit("pinch", MEASURES))
    ounce = Amount(Fraction(1, 100), find_unit("oz", MEASURES))
    salted = shoot_of(Line(dish="soup", ingredient="salt", amount=pinch))
    assert texts(salted) == ["0.3 ml (1 pinch) salt"]
    assert given_recipe(salted, "soup", BOTH).notes[0].endswith("here by at most 2.7 %.")
    dusted = shoot_of(Line(dish="soup", ingredient="saffron", amount=little))
    assert texts(dusted) == ["1/16 pinch saffron"]
    assert given_recipe(dusted, "soup", BOTH).notes == ()
    weighed = shoot_of(Line(dish="soup", ingredient="saffron", amount=ounce))
    assert given_recipe(weighed, "soup", METRIC).notes[0].endswith("here by at most 5.9 %.")
