"""The rows of Shoot plan: what a blank cell takes from the row above, and what is no shot."""

from __future__ import annotations

from pathlib import Path

import pytest
from good_workbook import add, good_workbook, put, read
from tree_files import TREE

from costing.estimating import estimate
from costing.workbook.demo import DEMO_ROWS, TART
from costing.workbook.reading import read_workbook
from costing.workbook.template import template_bytes


@pytest.mark.parametrize("numbers", [(2, 2, 2), (None, 1, 1), (1, None, 1), (0, 2, None)])
def test_times__of_which_none_is_above_the_next_rise(
    numbers: tuple[int | None, ...], tmp_path: Path
) -> None:
    """Times, likeliest of the three, may be the fewest or the most as well; blank it is 1."""
    fewest, times, most = numbers
    book = good_workbook()
    add("Shoot plan", "S3", None, "leek soup", "retake", "1", None, times, fewest, most)(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert (shoot.shots[-1].fewest, shoot.shots[-1].most) == (fewest, most)


def _printed_plan() -> list[dict[str, str]]:
    """The table of shots as the README prints it."""
    lines = (TREE / "README.md").read_text(encoding="utf-8").splitlines()
    start = next(n for n, line in enumerate(lines) if line.startswith("| Shot |"))
    headings, _, *rows = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in lines[start : lines.index("", start)]
    ]
    return [dict(zip(headings, row, strict=True)) for row in rows]


def test_readme__its_table_of_shots_works_as_printed(tmp_path: Path) -> None:
    """Four rows, the dish written once: four shots of it, and nothing to say."""
    printed = _printed_plan()
    assert [row["Dish"] for row in printed] == [TART, "", "", ""]
    path = tmp_path / "tart.xlsx"
    path.write_bytes(template_bytes(all_sheets=True, rows=DEMO_ROWS | {"Shoot plan": printed}))
    shoot, said = read_workbook(path)
    assert [finding.code for finding in said] == []
    assert [(shot.name, shot.dish, shot.times) for shot in shoot.shots] == [
        ("P1", TART, 1),
        ("P2", TART, 1),
        ("P4", TART, 2),
        ("P7", TART, 4),
    ]


def test_dish__is_that_of_the_row_above_until_another_is_written(tmp_path: Path) -> None:
    book = good_workbook()
    add("Recipes", "toast", 1, None, "butter", 5, "g")(book)
    put("Shoot plan!C3", None)(book)
    add("Shoot plan", "S3", None, "toast", "cook-through")(book)
    add("Shoot plan", "S4", None, None, "hero")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [shot.dish for shot in shoot.shots] == ["leek soup", "leek soup", "toast", "toast"]


def test_rows__a_remark_or_an_episode_alone_is_no_shot(tmp_path: Path) -> None:
    """What stands between the shots counts for those below it, and buys nothing."""
    book = good_workbook()
    book["Shoot plan"]["K1"] = "Note"
    add("Shoot plan", *[None] * 10, "lunch")(book)
    add("Shoot plan", None, "Soup again")(book)
    add("Shoot plan", "S3", None, None, "hero")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [(shot.name, shot.episode) for shot in shoot.shots] == [
        ("S1", "Soup"),
        ("S2", "Soup"),
        ("S3", "Soup again"),
    ]


def test_shot_that_a_cell_leaves_out__all_that_is_wrong_with_it_is_said(tmp_path: Path) -> None:
    """Times cannot be read; a dish without a recipe, and a step of the other, are told with it.

    A purpose that cannot be read says nothing of Steps, which it may not ask for.
    """
    book = good_workbook()
    plan = book["Shoot plan"]
    headings = [cell.value for cell in plan[1]]
    for row in (
        {"Dish": "stew", "Purpose": "hero", "Times": 1.5},
        {"Dish": "leek soup", "Purpose": "hero", "Steps": "9", "Times": "x"},
        {"Dish": "leek soup", "Purpose": "retook", "Steps": "1-x"},
    ):
        plan.append([row.get(str(heading)) for heading in headings])
    last = plan.max_row
    found = {(f.code, f.place.row, f.place.heading) for f in read(book, tmp_path)[1]}
    assert {one for one in found if one[1] is not None and one[1] > last - 3} == {
        ("dish unknown", last - 2, "Dish"),
        ("not a whole number", last - 2, "Times"),
        ("step unknown", last - 1, "Steps"),
        ("text not a number", last - 1, "Times"),
        ("choice unknown", last, "Purpose"),
        ("steps unreadable", last, "Steps"),
    }


def test_shot_that_a_cell_leaves_out__its_eaters_and_its_source_are_looked_for(
    tmp_path: Path,
) -> None:
    """Nobody is on People, and no shot is called Q. A shot that follows the row lacks nothing."""
    book = good_workbook()
    people = book.create_sheet("People")
    for cells in (("Person", "Avoids"), ("Ann", "milk")):
        people.append(cells)
    plan = book["Shoot plan"]
    for heading in ("From", "Eaters"):
        plan.cell(1, plan.max_column + 1, heading)
    headings = [cell.value for cell in plan[1]]
    for row in (
        {"Shot": "B", "Dish": "leek soup", "Purpose": "hero", "From": "Q", "Times": "x"},
        {"Shot": "C", "Dish": "leek soup", "Purpose": "bite", "From": "B", "Times": 1},
        {"Shot": "D", "Dish": "leek soup", "Purpose": "bite", "Eaters": "Zed", "Times": "x"},
    ):
        plan.append([row.get(str(heading)) for heading in headings])
    last = plan.max_row
    shoot, _ = read(book, tmp_path)
    found = [(f.code, f.place.row, f.place.heading) for f in estimate(shoot).findings]
    assert [one for one in found if one[1] is not None and one[1] > last - 3] == [
        ("text not a number", last - 2, "Times"),
        ("shot unknown", last - 2, "From"),
        ("text not a number", last, "Times"),
        ("eater unknown", last, "Eaters"),
    ]


@pytest.mark.parametrize("broken", [2, 3, 4])
def test_dish_misspelt__is_one_message_whichever_of_its_rows_has_another_fault(
    tmp_path: Path, broken: int
) -> None:
    """Rows 2 to 4 are of a dish without a recipe; the purpose of one is no word."""
    book = good_workbook()
    plan = book["Shoot plan"]
    plan["C2"], plan["C3"] = "leak soop", "leak soop"
    plan.append(["S3", None, "leak soop", "hero"])
    plan.cell(broken, 4, "heroo")
    shoot, _ = read(book, tmp_path)
    said = [str(f) for f in estimate(shoot).findings if f.code == "dish unknown"]
    assert [one.partition(", which")[0].partition("found ")[2] for one in said] == [
        'the dish "leak soop" in rows 2 to 4'
    ]


@pytest.mark.parametrize("last", [None, "Soup the third"], ids=["at the end", "before another"])
def test_rows__an_episode_without_a_shot_below_is_told(last: str | None, tmp_path: Path) -> None:
    """It stands for the rows below it; where the next one names another there are none."""
    book = good_workbook()
    add("Shoot plan", None, "Soup again")(book)
    if last:
        add("Shoot plan", "S3", last, None, "hero")(book)
    assert [str(one) for one in read(book, tmp_path)[1]] == [
        '\'Shoot plan\'!B4 (row "leek soup", column "Episode"): found "Soup again", with '
        "nothing beside or below, expected rows that count for this shoot [rows change nothing]\n"
        "  They change nothing. Spell the names as elsewhere, or add what is missing, if they are "
        "meant for this shoot; leave them for another."
    ]


def test_rows__a_dish_alone_names_the_lines_below_it(tmp_path: Path) -> None:
    """Toast has a line below its name, which is written there again; of jam there is nothing."""
    book = good_workbook()
    add("Recipes", "toast")(book)
    add("Recipes", "toast", 1, None, "butter", 5, "g")(book)
    add("Recipes", "jam")(book)
    add("Shoot plan", "S3", None, "toast", "cook-through")(book)
    shoot, said = read(book, tmp_path)
    assert list(shoot.recipes) == ["leek soup", "toast"]
    assert [(one.code, one.place.cell, one.found) for one in said] == [
        ("rows change nothing", "A8", '"jam", with nothing beside or below')
    ]


def test_recipes__what_is_said_of_no_ingredient_is_told_once(tmp_path: Path) -> None:
    """A unit, a way of measuring and a number of candidates beside a blank Ingredient.

    A step that takes nothing has a name; what stands beside it is said of no ingredient either.
    """
    book = good_workbook()
    add("Recipes", None, None, None, None, None, "g")(book)
    add("Recipes", None, 3, "rest", None, None, None, "cooked")(book)
    add("Recipes", None, None, None, None, None, None, None, 3)(book)
    assert [(one.code, one.place.cell, one.found) for one in read(book, tmp_path)[1]] == [
        ("rows change nothing", "D6", "rows 6 to 8, with a blank Ingredient")
    ]


@pytest.mark.parametrize("purpose", [None, "cook-through"])
def test_shot__of_which_only_the_name_is_typed_is_told_what_it_takes(
    purpose: str | None, tmp_path: Path
) -> None:
    """The dish carries down, and a blank Purpose and Times are one cook-through."""
    book = good_workbook()
    add("Shoot plan", "S3", None, None, purpose)(book)
    shoot, said = read(book, tmp_path)
    last = shoot.shots[-1]
    assert (last.dish, str(last.purpose), last.times) == ("leek soup", "cook-through", 1)
    assert [one.code for one in said] == ([] if purpose else ["shot only named"])
