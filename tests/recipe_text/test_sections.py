"""Headings that are run in, ingredients in a row, and lines that the width of a page has broken."""

from __future__ import annotations

from typing import Any

import pytest

from costing.quantities import Measures
from costing.recipe_text import RecipeText, read_recipe

CABBAGE = """\
STEWED RED CABBAGE.

1190. INGREDIENTS.--1 red cabbage, a small slice of ham, 1/2 oz. of fresh
butter, 2 eggs, well beaten, the rind of 1/2 lemon; salt and pepper
to taste, and 1 tablespoonful of pounded sugar.

_Mode_.--Cut the cabbage into very thin slices, put it into a stewpan, with
the ham cut in dice, and the butter. When it is tender, add the pounded
sugar; mix all well together.

_Time_.--Rather more than 1 hour.

_Sufficient_ for 4 persons.

_Seasonable_ from September to January.
"""


def read(text: str, measures: Measures = Measures.UK_IMPERIAL) -> RecipeText:
    return read_recipe(text, kind="text", measures=measures, file_name="dish.txt")


def lines(found: RecipeText) -> list[tuple[Any, ...]]:
    """Ingredient, amount and unit of each line."""
    return [
        (row["Ingredient"], row["Amount"], row["Unit"])
        for row in found.rows["Recipes"]
        if row["Ingredient"]
    ]


def steps(found: RecipeText) -> list[tuple[Any, ...]]:
    return [
        (row["Step"], row["Note"]) for row in found.rows["Recipes"] if row["Ingredient"] is None
    ]


@pytest.mark.trade
def test_old_cookbook__ingredients_in_a_row_are_lines_and_broken_lines_are_one() -> None:
    """The form of printed cookbooks of about 1860, the recipe invented; taken apart by hand."""
    found = read(CABBAGE)
    assert lines(found) == [
        ("red cabbage", "1", "each"),
        ("ham slice", "1", "each"),
        ("fresh butter", "1/2", "oz"),
        ("egg", "2", "each"),
        ("lemon", "1/2", "each"),
        ("salt and pepper", "to taste", None),
        ("pounded sugar", "1", "tbsp"),
    ]
    assert steps(found) == [
        (
            1,
            "Mode: Cut the cabbage into very thin slices, put it into a stewpan, with the ham cut "
            "in dice, and the butter. When it is tender, add the pounded sugar; mix all well "
            "together.",
        )
    ]
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("4", "portion")
    left_out = [one.found for one in found.findings if one.code == "recipe line left out"]
    assert left_out == [
        '"Time.--Rather more than 1 hour.", taken for a remark',
        '"Seasonable from September to January.", taken for a remark',
    ]


def test_caption__both_sections_are_run_in() -> None:
    """Words that no table knows are ingredients of their own, a cut is not; by hand."""
    text = (
        "Omelette\n\n"
        "Zutaten: 3 Eier, verquirlt, 2 EL Milch, 1 TL Butter, Salz, Pfeffer\n"
        "Zubereitung: In Butter stocken lassen.\n"
    )
    found = read(text.replace(", verquirlt", ""), Measures.METRIC)
    assert [name for name, _, _ in lines(found)] == ["Eier", "Milch", "Butter", "Salz", "Pfeffer"]
    assert steps(found) == [(1, "Zubereitung: In Butter stocken lassen.")]


def test_list_in_a_row_behind_its_label__is_as_many_lines() -> None:
    """As canteens write their sheets."""
    found = read(
        "Cheese flan\n\n"
        "Pastry: plain flour 3.6kg; hard margarine 1.8kg; water 900ml\n"
        "Filling: grated Cheddar 2.7 kg; eggs 60; milk 7 l\n\n"
        "Line 10 tins. Bake blind, then fill and bake 35 mins.\n"
    )
    assert lines(found) == [
        *(("plain flour", "3.6", "kg"), ("hard margarine", "1.8", "kg"), ("water", "900", "ml")),
        *(("Cheddar", "2.7", "kg"), ("egg", "60", "each"), ("milk", "7", "l")),
    ]


@pytest.mark.parametrize(
    ("ingredients", "method"),
    [
        *(("食材：", "做法："), ("材料", "步骤")),
        *(("Malzemeler", "Yapılışı"), ("Ingredience:", "Postup:")),
    ],
)
def test_headings__of_recipes_in_other_languages(ingredients: str, method: str) -> None:
    """Words of Chinese, Turkish and Czech recipes, common practice."""
    found = read(f"Soup\n\n{ingredients}\n2 leek\n\n{method}\nCut the leek.\n")
    assert lines(found) == [("leek", "2", "each")]
    assert steps(found) == [(1, "Cut the leek.")]


def test_first_ingredient_behind_the_heading__the_others_stay_on_their_lines() -> None:
    found = read("Buns\n\nIngredients: 2 eggs, beaten\n100 g flour\n\nMix.\n")
    assert lines(found) == [("egg", "2", "each"), ("flour", "100", "g")]


def test_two_columns__are_two_lines() -> None:
    """As cookbooks of about 1900 print their lists; the amounts by hand."""
    found = read(
        "Gingerbread\n\n 1 cup molasses      1 3/4 teaspoons soda\n   2 eggs\n\nMix all.\n"
    )
    assert lines(found) == [
        ("molasses", "1", "cup"),
        ("soda", "1 3/4", "tsp"),
        ("egg", "2", "each"),
    ]


def test_short_lines__are_not_put_together() -> None:
    """Names in front of their amounts, however they begin."""
    below = "brown sugar, dark and soft, pressed well into the cup, 2 cups\nmilk 2/3 cup\n"
    assert len(lines(read(f"Fudge\n\n{below}\nBoil it.\n"))) == 2


def test_steps_with_bare_numbers__are_no_ingredients() -> None:
    """Without a heading "Method": a sentence below lines that are none."""
    found = read("Kofta\n\n500 g lamb mince\n1 onion\n\n1 Mix both.\n2 Grill them for 8 minutes.\n")
    assert [name for name, _, _ in lines(found)] == ["lamb mince", "onion"]
    assert [note for _, note in steps(found)] == ["1 Mix both.", "2 Grill them for 8 minutes."]


@pytest.mark.parametrize(
    "listed",
    ["* 190 g pesto*\n* 2 onions\n\n*check the label\n", "190 g pesto*\n2 onions\n* check it\n"],
)
def test_footnote__is_told_and_no_ingredient(listed: str) -> None:
    found = read(f"Pasta\n\nIngredients\n{listed}\nMethod\nMix.\n")
    assert [name for name, _, _ in lines(found)] == ["pesto", "onion"]
    assert [one.code for one in found.findings] == ["recipe line left out"]


def test_list_with_stars__has_no_footnotes() -> None:
    found = read("Pasta\n\n* 190 g pesto*\n* salt\n\nMix.\n")
    assert [name for name, _, _ in lines(found)] == ["pesto", "salt"]


def test_label_in_front_of_an_amount__is_no_sentence_for_its_abbreviation() -> None:
    """The egg of the wash was lost to a step called "egg wash"."""
    text = "Rolls\n\n200 g flour\negg wash: 1 egg beaten with 1 Tbsp. milk\n\n1. Mix.\n2. Brush.\n"
    assert ("egg", "1", "each") in lines(read(text))


def test_title_right_above_names_with_amounts_behind_them__is_no_ingredient() -> None:
    found = read("Nana's fudge\nsugar 2 cups\nmilk 2/3 cup\n\nBoil it.\n")
    assert {row["Dish"] for row in found.rows["Recipes"]} == {"Nana's fudge"}
    assert [name for name, _, _ in lines(found)] == ["sugar", "milk"]


def test_name_with_amounts_above_others__stays_an_ingredient() -> None:
    """A food that has no amount is no title."""
    found = read("salt\nsugar 2 cups\nmilk 2/3 cup\n\nBoil it.\n")
    assert [name for name, _, _ in lines(found)] == ["salt", "sugar", "milk"]


def test_all_the_ingredients_of_one_heading__are_not_all_there_are() -> None:
    """The first step took the sauce too, so that its own step had nothing."""
    text = (
        "Kofta\n\nFor the kofta:\n500 g lamb mince\nFor the sauce:\n150 g tahini\n\n"
        "1. Mix all the kofta ingredients.\n2. Mix the sauce ingredients.\n"
    )
    placed = {row["Ingredient"]: row["Step"] for row in read(text).rows["Recipes"]}
    assert (placed["lamb mince"], placed["tahini"]) == (1, 2)


def test_heading_named_without_an_article__takes_its_ingredients() -> None:
    text = (
        "Curry\n\nSpice paste:\n6 shallots\nRest:\n1 kg beef shin\n\n"
        "1. Blend spice paste. Fry it.\n2. Add everything else.\n"
    )
    placed = {row["Ingredient"]: row["Step"] for row in read(text).rows["Recipes"]}
    assert (placed["shallot"], placed["beef shin"]) == (1, 2)


def test_yield_in_the_name__also_behind_the_word_yield() -> None:
    found = read("Gravy (yield: about 2 quarts)\n\n1 kg bones\n\nSimmer.\n", Measures.US_CUSTOMARY)
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("2", "quart")


@pytest.mark.parametrize(
    ("above", "dish"),
    [
        ("APPLE SNOW\n(From an old notebook)\n\n", "APPLE SNOW"),
        ("45. Apple snow\n\n", "Apple snow"),
        ("*Apple snow*\n\n", "Apple snow"),
        ("Apple snow\nRendimento: 4 porções\n\n", "Apple snow"),
    ],
)
def test_title__with_a_remark_a_number_or_stars_about_it(above: str, dish: str) -> None:
    """As notebooks, old books (which number their recipes), chats and other languages have it."""
    found = read(f"{above}6 apples\n100 g sugar\n\nBake the apples.\n")
    assert {row["Dish"] for row in found.rows["Recipes"]} == {dish}
    assert [name for name, _, _ in lines(found)] == ["apple", "sugar"]


def test_numbered_step_alone_above__is_no_title() -> None:
    found = read("1. Soak the beans.\n\n2 onions\n")
    assert {row["Dish"] for row in found.rows["Recipes"]} == {"dish"}


def test_method_without_full_stops__begins_apart_from_the_ingredients() -> None:
    """A typed note; what begins with what to do, below a blank line, is the first step."""
    text = "eggs on toast\n\n2 eggs\nbread\n\nfry the eggs slowly\ntoast 2 min\n"
    found = read(text)
    assert [name for name, _, _ in lines(found)] == ["egg", "bread"]
    assert [note for _, note in steps(found)] == ["fry the eggs slowly", "toast 2 min"]


def test_steps_in_circles_and_cheers__are_steps() -> None:
    found = read("Dip\n\n100 g yoghurt\n1 clove garlic\n\n① Chop.\n② Stir!\n")
    assert [note for _, note in steps(found)] == ["① Chop.", "② Stir!"]
    assert [note for _, note in steps(read("Dip\n\n100 g yoghurt\n\nBlitz!\n"))] == ["Blitz!"]


def test_headings_in_other_languages__are_no_ingredients() -> None:
    """Dough and icing of a Brazilian cake; its method is headed by Modo de preparo."""
    text = (
        "Bolo\n\nMassa\n4 ovos\n200 g farinha\n\nCobertura\n100 g chocolate\n\n"
        "Modo de preparo\nBata tudo.\n"
    )
    found = read(text, Measures.METRIC)
    assert [name for name, _, _ in lines(found)] == ["ovo", "farinha", "chocolate"]
    assert [note for _, note in steps(found)] == ["Bata tudo."]


@pytest.mark.parametrize("heading", ["", "INGREDIENTS: "])
def test_names_with_amounts_behind_them_in_a_row__are_lines(heading: str) -> None:
    """As a cookbook of 1845 sums its recipes up: Flour, 1 lb.; suet, 8 oz."""
    row = "Flour, 1 lb.; suet, 8 oz.; salt, 1/2 teaspoonful; milk, 1/3 pint; eggs, 2."
    found = read(f"DUMPLINGS\n\n{heading}{row}\n\nMix all. Boil 1 hour.\n")
    assert lines(found) == [
        ("Flour", "1", "lb"),
        ("suet", "8", "oz"),
        ("salt", "1/2", "tsp"),
        ("milk", "1/3", "pint"),
        ("egg", "2", "each"),
    ]


def test_leaflet__what_stands_below_a_row_of_ingredients_is_none() -> None:
    """The form of leaflets of the 1940s; the recipe invented."""
    text = (
        "Carrot buns\n\nCOOKING TIME: 20 minutes\n"
        "INGREDIENTS: 1 oz margarine, 2 oz sugar; an egg,\n6 oz flour\n"
        "QUANTITY: 4 helpings\nMETHOD: Mix. Bake.\n"
    )
    found = read(text)
    assert [name for name, _, _ in lines(found)] == ["margarine", "sugar", "egg", "flour"]
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("4", "portion")


def test_several_in_one_line__are_lines_where_each_has_a_known_food() -> None:
    """Amounts of parts of the same (1 zested) stay where they are, by hand."""
    listed = "1 tsp turmeric, 2 tsp ground coriander\n2 lemons, 1 zested, 1 halved\n"
    found = read(f"Curry\n\n{listed}\nMix all.\n", Measures.METRIC)
    assert lines(found) == [
        ("turmeric", "1", "tsp"),
        ("ground coriander", "2", "tsp"),
        ("lemon", "2", "each"),
    ]


def test_enough_for_six__is_the_yield_also_below_the_method() -> None:
    found = read("Broth\n\n1 lb mutton\n\nBoil it for three hours.\nEnough for six.\n")
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("6", "portion")


def test_two_amounts_of_one_unit__are_two_and_not_their_sum() -> None:
    """A table for 50 and for 100 portions: 1 1/2 lb. and 3 lb. were bought as 4 1/2."""
    found = read("Beans\n\nSalt pork   1 1/2 lb.   3 lb.\n2 onions\n\nMix all.\n")
    assert lines(found)[0][1] is None
    assert "recipe amount second" in [one.code for one in found.findings]


def test_ingredients_below_a_step__are_not_lost() -> None:
    """A second block of ingredients became steps, and nobody bought the noodles."""
    text = (
        "Noodle pan\n\n2 onions\n\nFry the onions.\n\n300 g noodles\n2 tbsp vinegar\n\nBoil them.\n"
    )
    found = read(text)
    assert [name for name, _, _ in lines(found)] == ["onion", "noodles", "vinegar"]
    assert [note for _, note in steps(found)] == ["Fry the onions.", "Boil them."]


def test_step_headings_with_ingredients_below_each__are_their_steps() -> None:
    text = (
        "Noodle pan\n\nStep 1\n2 onions\nFry the onions.\n\n"
        "Step 2\n300 g noodles\nAdd the noodles.\n"
    )
    placed = {row["Ingredient"]: row["Step"] for row in read(text).rows["Recipes"]}
    assert (placed["onion"], placed["noodles"]) == (1, 2)


def test_method_that_speaks_of_amounts__stays_the_method() -> None:
    """A line apart that counts minutes, or is long, is no ingredient."""
    text = "Rice\n\n200 g rice\n\nMethod\nBoil the rice.\n\n10 min rest\n\n2 minutes later stir\n"
    assert [name for name, _, _ in lines(read(text))] == ["rice"]


def test_heading_with_a_bracket__heads_the_ingredients_and_tells_the_yield() -> None:
    found = read("Tortilla\n\nIngredientes (4 personas):\n6 huevos\n\n1. Batir.\n", Measures.METRIC)
    assert [name for name, _, _ in lines(found)] == ["huevo"]
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("4", "portion")


def test_title_with_its_yield__needs_no_blank_line_below() -> None:
    found = read("Salad (serves 20)\nDressing\n200 ml oil\n\nMix all.\n", Measures.METRIC)
    assert {row["Dish"] for row in found.rows["Recipes"]} == {"Salad"}


@pytest.mark.trade
def test_old_cookbook__the_yield_stands_behind_time_and_cost_in_one_line() -> None:
    """The form of printed cookbooks of about 1860: sentences of one line, the last the yield."""
    beside = "_Time_.--1 hour. _Average cost_, 6d. _Sufficient_ for 4 persons."
    found = read(
        f"BROTH.\n\nINGREDIENTS.--1 lb. of mutton, 2 onions.\n\n_Mode_.--Boil.\n\n{beside}\n"
    )
    assert (found.rows["Dishes"][0]["Makes"], found.rows["Dishes"][0]["Unit"]) == ("4", "portion")


def test_to_serve_inside_a_method__heads_ingredients_where_food_is_below_it() -> None:
    """Names alone too; what tells what to do below it is a step."""
    method = "Tacos\n\n500 g beef mince\n8 tortillas\n\nBrown the mince.\n\n"
    found = read(f"{method}To serve:\nsoured cream\n1 avocado, sliced\n\nWarm the tortillas.\n")
    assert {"soured cream", "avocado"} < {name for name, _, _ in lines(found)}
    assert [note for _, note in steps(found)] == ["Brown the mince.", "Warm the tortillas."]
    found = read(f"{method}To serve:\nslice the bread\n")
    assert [note for _, note in steps(found)] == [
        "Brown the mince.",
        "To serve:",
        "slice the bread",
    ]


def test_oven_above_the_ingredients__is_no_ingredient() -> None:
    found = read("Tart\n\nHeat the oven to 180C\n\n200 g flour\n\nMix.\n")
    assert [name for name, _, _ in lines(found)] == ["flour"]
    assert [finding.found for finding in found.findings] == [
        '"Heat the oven to 180C", taken for a remark'
    ]
