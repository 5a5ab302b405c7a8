"""Recipe rows that still stand as their text was read keep what was uncertain about it."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from costing.quantities import Measures
from costing.recipe_text import read_recipe
from costing.workbook.reading import read_workbook

HEADINGS = ["Dish", "Ingredient", "Amount", "Unit", "Cut", "Note"]
FILLETS = "4 (200 g) chicken fillets, diced"


def codes(tmp_path: Path, *row: str | None) -> list[str]:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Recipes"
    sheet.append(HEADINGS)
    sheet.append(["Tart", *row])
    path = tmp_path / "tart.xlsx"
    book.save(path)
    _, findings = read_workbook(path)
    return [
        f"{finding.place.cell} {finding.code}"
        for finding in findings
        if finding.code.startswith("recipe ")
    ]


def test_still_uncertain__an_unchanged_row_says_it_again(tmp_path: Path) -> None:
    row = ("chicken fillets", "800", "g", "diced", FILLETS)
    assert codes(tmp_path, *row) == ["C2 recipe weight each or all"]


def test_still_uncertain__with_the_heading_behind_the_line(tmp_path: Path) -> None:
    row = ("chicken fillets", "800", "g", "diced", f"{FILLETS} (For the pan)")
    assert codes(tmp_path, *row) == ["C2 recipe weight each or all"]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            ("tinned tomatoes", "800", "g", None, "2 tins tomatoes (400 g)"),
            "C2 recipe size of each",
        ),
        (("leek", "2", None, "sliced", "2 leeks (or onions), sliced"), "B2 recipe ingredients or"),
    ],
    ids=["numbers in it", "not at the end"],
)
def test_still_uncertain__a_bracket_of_the_line_is_no_heading(
    tmp_path: Path, row: tuple[str | None, ...], said: str
) -> None:
    assert codes(tmp_path, *row) == [said]


@pytest.mark.parametrize(
    "row",
    [
        ("chicken fillets", "200", "g", "diced", FILLETS),
        ("chicken", "800", "g", "diced", FILLETS),
        ("chicken fillets", "800", "ml", "diced", FILLETS),
        ("chicken fillets", "800", "g", "", FILLETS),
        ("chicken fillets", None, "g", "diced", FILLETS),
        ("rocket or cress", "50", "g", None, "a handful rocket or cress"),
        ("rocket or cress", "to taste", None, None, "a handful rocket or cress"),
        ("chicken fillets", "800", "g", "diced", ""),
        ("chicken fillets", "800", "g", "diced", "buy early"),
    ],
    ids=[
        *("amount", "name", "unit", "cut", "no amount", "one where none was read", "to taste"),
        *("no note", "another note"),
    ],
)
def test_still_uncertain__a_changed_row_is_the_answer(
    tmp_path: Path, row: tuple[str | None, ...]
) -> None:
    assert codes(tmp_path, *row) == []


def test_still_uncertain__each_stands_at_the_cell_it_is_about(tmp_path: Path) -> None:
    assert codes(tmp_path, "oil", "2", "metric tablespoon", "", "2 EL oil") == [
        "D2 recipe unit near"
    ]
    named = codes(tmp_path, "garlic clove", "3", "each", "", "3 cloves garlic")
    assert named == ["B2 recipe pieces named"]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (("rocket or cress", None, None, None, "a handful rocket or cress"), ["or"]),
        (("salt or soda", "2", "fl oz", None, "2 fl oz salt or soda"), ["or"]),
        (("oil", None, None, None, "oil"), []),
        (("oil", "2", "T", None, "2 T oil"), []),
    ],
    ids=[
        *("what else the line said", "of a unit that metric has not", "nothing else"),
        "the unit's own finding",
    ],
)
def test_still_uncertain__a_blank_amount_has_its_own_finding(
    tmp_path: Path, row: tuple[str | None, ...], said: list[str]
) -> None:
    assert codes(tmp_path, *row) == [f"B2 recipe ingredients {word}" for word in said]


BOWL = "Bowl\n\n2 leeks\n1 dl milk\nsalt\n\n1. Wait.\n2. Slice the leeks.\n3. Add the leeks.\n"


def steps_told(
    tmp_path: Path,
    *changes: tuple[str, int | None],
    recipe: str = BOWL,
    begins: str = "recipe step",
) -> list[str]:
    """What check says of the steps guessed for a recipe, after changes of cells of Recipes."""
    read = read_recipe(recipe, kind="text", measures=Measures.METRIC, file_name="bowl.txt")
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Recipes"
    rows = read.rows["Recipes"]
    sheet.append(list(rows[0]))
    for row in rows:
        sheet.append(list(row.values()))
    for cell, value in changes:
        sheet[cell] = value
    path = tmp_path / "bowl.xlsx"
    book.save(path)
    _, findings = read_workbook(path)
    return [str(finding) for finding in findings if finding.code.startswith(begins)]


def test_still_uncertain__guessed_steps_come_again(tmp_path: Path) -> None:
    """Rows: step 1 with milk and salt (3, 4), step 2 with leek (6), step 3."""
    assert steps_told(tmp_path) == [
        'Recipes!B3 (row "milk", column "Step"): found no step that names milk, salt, expected for '
        "each ingredient the step that uses it [recipe step unknown]\n"
        "  It is put to step 1; change Step in Recipes. Where 1 is right, delete "
        '"; no step names it" in Note, and this is not said again.',
        'Recipes!B6 (row "leek", column "Step"): found that step 2 takes leek ("Slice the leeks"), '
        "expected each ingredient in the step that uses it [recipe step guessed]\n"
        "  Note in Recipes says it of each. Change Step where another step takes one; when all are "
        'right, delete the words behind the last ";" of each Note, and this is not said again.',
        'Recipes!B6 (row "leek", column "Step"): found step 2 by "Slice the leeks", and named '
        "again in step 3, expected a row for what each step takes [recipe step named twice]\n"
        "  All of it is put to step 2; if a later step takes a part, add a row for that part.",
    ]


def test_still_uncertain__the_steps_of_a_recipe_are_one_note(tmp_path: Path) -> None:
    """Whoever looks through the method once has answered for every step."""
    recipe = "Omelette\n\n3 eggs\n20 g butter\n\n1. Beat the eggs.\n2. Melt the butter."
    assert steps_told(tmp_path, recipe=recipe) == [
        'Recipes!B3 (row "egg", column "Step"): found that step 1 takes egg ("Beat the eggs") and '
        'step 2 takes butter ("Melt the butter"), expected each ingredient in the step that uses '
        "it [recipe step guessed]\n"
        "  Note in Recipes says it of each. Change Step where another step takes one; when all are "
        'right, delete the words behind the last ";" of each Note, and this is not said again.'
    ]


def test_still_uncertain__a_changed_step_is_the_answer(tmp_path: Path) -> None:
    """The leek to step 3, the milk's amount and the salt's note changed: nothing is left."""
    changed = ("B6", 3), ("E3", 2), ("J4", None)
    assert steps_told(tmp_path, *changed) == []


def test_still_uncertain__a_divided_line_comes_again_until_a_part_is_changed(
    tmp_path: Path,
) -> None:
    """Rows: step 1 with 100 of 200 g flour (3), step 2 with the rest (5)."""
    recipe = "Bun\n\n200 g flour\n\n1. Sift half the flour.\n2. Add the rest of the flour."
    said = (
        "found flour divided over the steps that say how much of it they take, expected a row for "
        "what each step takes [recipe line divided]\n"
        "  The rows add up to the line; Note has the part and the words. Change Amount or Step "
        "where another step takes it."
    )

    def divided(*changes: tuple[str, int | None]) -> list[str]:
        told = steps_told(tmp_path, *changes, recipe=recipe, begins="recipe line divided")
        return [one.partition(": ")[0] for one in told if one.endswith(said)]

    assert divided() == ['Recipes!B3 (row "flour", column "Step")']
    assert divided(("E3", 120)) == ['Recipes!B5 (row "flour", column "Step")']
    assert divided(("E3", 120), ("E5", 80)) == []
