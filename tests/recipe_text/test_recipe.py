"""The rows as the contract of the workbook has them, and as its reader reads them."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from openpyxl import Workbook

from costing.quantities import Measures
from costing.recipe_text import RecipeText, read_recipe
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.reading import read_workbook

TART = """\
Leek tart

Serves 4

For the base:
200 g plain flour, sifted
100 g cold butter, diced
1 egg
3 tbsp water

For the filling:
2-3 leeks, sliced
1 1/2 cups cream
salt, to taste
Optional: 1 tsp mustard

1. Line the tin.
"""


@pytest.fixture
def tart() -> RecipeText:
    return read_recipe(TART, kind="text", measures=Measures.METRIC, file_name="tart.txt")


def test_rows__sheets_and_headings_are_those_of_the_workbook(tart: RecipeText) -> None:
    headings = {sheet.title: sheet.headings for sheet in INPUT_SHEETS}
    for title, rows in tart.rows.items():
        for row in rows:
            assert set(row) <= set(headings[title])
            assert list(row) == [heading for heading in headings[title] if heading in row]


def test_rows__the_reader_of_workbooks_reads_what_was_meant(
    tart: RecipeText, tmp_path: Path
) -> None:
    """Amounts worked out by hand from the text: 1 1/2 cups of 250 ml are 375 ml."""
    book = Workbook()
    del book["Sheet"]
    for title in ("Recipes", "Dishes"):
        sheet = book.create_sheet(title)
        sheet.append(list(tart.rows[title][0]))
        for row in tart.rows[title]:
            sheet.append(list(row.values()))
    book.save(tmp_path / "plan.xlsx")
    shoot, findings = read_workbook(tmp_path / "plan.xlsx")
    found = {line.ingredient: line for line in shoot.lines}
    base = {name: line.amount.base for name, line in found.items() if line.amount}
    assert base == {
        "plain flour": 200,
        "butter": 100,
        "egg": 1,
        "water": 45,
        "leek": 3,
        "cream": 375,
        "mustard": 5,
    }
    low = found["leek"].amount_low
    assert low is not None
    assert low.base == Fraction(2)
    assert found["salt"].to_taste
    assert [name for name, line in found.items() if line.optional] == ["mustard"]
    assert [(line.step, line.step_name) for line in shoot.lines if not line.ingredient] == [
        (1, "Line the tin")
    ]
    assert str(shoot.dishes[0].makes) == "4 portion"
    assert not [finding for finding in findings if finding.grade == "error"]


def test_rows__blank_cells_are_none_and_never_zero(tart: RecipeText) -> None:
    cells = [cell for rows in tart.rows.values() for row in rows for cell in row.values()]
    assert None in cells
    assert "" not in cells
    assert 0 not in cells


@pytest.mark.trade
@pytest.mark.parametrize(
    ("recipe", "makes", "unit"),
    [
        ("Sticky buns (makes 12)\n\n500 g flour\n", "12", "each"),
        ("Tomato soup — serves two\n\n800 g tomatoes\n", "2", "portion"),
        ("Gulasch\nFür 4 Personen\n\nZutaten:\n500 g Rindfleisch\n", "4", "portion"),
        ("Salade\nPour 4 personnes\n\nIngrédients\n200 g de lentilles\n", "4", "portion"),
        ("親子丼\n\n材料（2人分）\n卵 3個\n\n作り方\n1. 卵をとく。\n", "2", "portion"),
        ("親子丼\n2人前\n\n材料\n卵 3個\n", "2", "portion"),
        ("親子丼（2人分）\n\n材料\n卵 3個\n", "2", "portion"),
        ("# Suppe\n\n**Für 4 Personen**\n\n## Zutaten\n- 1 l Brühe\n", "4", "portion"),
        ("Receta: Gazpacho\nRaciones: 4\n\nIngredientes\n- 1 pepino\n", "4", "portion"),
        ("Makes: 24 cookies\n\nOat cookies\n\n250 g oats\n", "24", "each"),
        ("Stew\nPrep: 20 mins | Cook: 2 hrs | Serves 6\n\n1 kg beef\n", "6", "portion"),
        ("Title: Stew\nServes 6\n=====\nbeef......1 kg\n-----\n", "6", "portion"),
    ],
)
def test_read_recipe__what_it_makes_in_its_name_or_another_language(
    recipe: str, makes: str, unit: str
) -> None:
    read = read_recipe(recipe, kind="text", measures=None, file_name="r.txt")
    (dish,) = read.rows["Dishes"]
    assert (dish["Makes"], dish["Unit"]) == (makes, unit)
    assert len([row for row in read.rows["Recipes"] if row["Ingredient"]]) == 1
    assert "(" not in str(dish["Dish"])
    assert not {"serves", "makes", "prep"} & set(str(dish["Dish"]).casefold().split())
    assert ":" not in str(dish["Dish"])


def test_read_recipe__a_heading_with_a_remark_in_brackets() -> None:
    text = "Tacos\n\nFor the onions (makes 1 cup)\n2 red onions\n\nTo serve\n4 tortillas\n"
    read = read_recipe(text, kind="text", measures=None, file_name="r.txt")
    named = [row["Ingredient"] for row in read.rows["Recipes"] if row["Ingredient"]]
    assert named == ["red onion", "tortilla"]


def test_read_recipe__a_table() -> None:
    text = "Pancakes\n\n| Ingredient | Amount |\n|:---|---:|\n| flour | 200 g |\n| egg | 2 |\n"
    read = read_recipe(text, kind="text", measures=None, file_name="r.txt")
    rows = [(row["Ingredient"], row["Amount"], row["Unit"]) for row in read.rows["Recipes"]]
    assert rows == [("flour", "200", "g"), ("egg", "2", "each")]


@pytest.mark.parametrize("gap", ["\t", "  "])
def test_read_recipe__the_steps_behind_a_table_are_no_rows_of_it(gap: str) -> None:
    """A number, a gap and a sentence are two cells, as a name and its amount are."""
    tables = (
        ["Ingredient|Amount", "flour|200 g", "egg|2", "Method", "1.|Mix all", "2.|Fry it"],
        ["Amount|Ingredient", "200 g|flour", "2|egg", "1.|Mix all", "2.|Fry it"],
    )
    for lines in tables:
        text = "\n".join(["Pancakes", "", *lines]).replace("|", gap)
        read = read_recipe(text, kind="text", measures=None, file_name="r.txt")
        named = [row["Step name"] for row in read.rows["Recipes"] if not row["Ingredient"]]
        bought = [row["Ingredient"] for row in read.rows["Recipes"] if row["Ingredient"]]
        assert (named, bought) == (["Mix all", "Fry it"], ["flour", "egg"])


def test_read_recipe__a_saved_page_with_its_linked_data() -> None:
    """Two scripts, one of them broken by its makers; the recipe is in the other."""
    page = (
        "<!DOCTYPE html><html><head><script type='application/ld+json'>{not json}</script>"
        '<script type="application/ld+json" id="a"><!-- {"@type": "Recipe", "name": "Toast",'
        ' "recipeIngredient": ["2 slices bread"]} --></script></head><body>2 eggs</body></html>'
    )
    read = read_recipe(page, kind="text", measures=None, file_name="toast.html")
    rows = [(row["Dish"], row["Ingredient"]) for row in read.rows["Recipes"]]
    assert rows == [("Toast", "bread slice")]


def test_read_recipe__a_short_sentence_that_tells_what_to_do_is_no_ingredient() -> None:
    text = "Pancakes\n\nflour......100 g\nmilk.......250 ml\n\nWhisk flour and milk.\nFry in oil.\n"
    read = read_recipe(text, kind="text", measures=None, file_name="r.txt")
    rows = [(row["Ingredient"], row["Amount"], row["Step name"]) for row in read.rows["Recipes"]]
    assert rows == [
        (None, None, "Whisk flour and milk"),
        ("flour", "100", "Whisk flour and milk"),
        ("milk", "250", "Whisk flour and milk"),
        (None, None, "Fry in oil"),
    ]


@pytest.mark.parametrize(
    ("lines", "names"),
    [
        ("Flour 100%\nWater: 68 %\nInstant yeast 0.7%", ["Flour", "Water", "Instant yeast"]),
        ("Cream 35%\nDark chocolate 70%", ["Cream 35%", "Dark chocolate 70%"]),
    ],
)
def test_read_recipe__bakers_percentages_are_of_no_name(lines: str, names: list[str]) -> None:
    """Without a line of 100 % the number says which cream it is."""
    text = f"Loaf\n\n{lines}\n\nMix and bake."
    read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="loaf.txt")
    assert [row["Ingredient"] for row in read.rows["Recipes"] if row["Ingredient"]] == names
