"""What is said of sheets and headings: one change each, the whole text compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from good_workbook import (
    Change,
    cleared,
    copied,
    emptied,
    found_after,
    headings_again,
    hidden_rows,
    hidden_sheet,
    merged,
    put,
    renamed,
    without,
)

CASES = [
    pytest.param(
        emptied,
        [
            "'plan.xlsx': found no cell that is filled in on any sheet, expected at least "
            "the sheet Recipes with its headings and rows [empty workbook]\n"
            '  Fill in a new workbook; "costing new NAME.xlsx" makes one with all headings.',
        ],
        id="empty workbook",
    ),
    pytest.param(
        without("Recipes"),
        [
            "'plan.xlsx': found the sheets Settings, Shoot plan, Packs, Ingredients, On "
            "hand, Episodes, Dishes, Shops and Holding, expected a sheet Recipes [required "
            "sheet missing]\n"
            "  Add a sheet named Recipes with the headings that are explained in a new "
            'workbook ("costing new NAME.xlsx"), or give the sheet that has these rows this'
            " name.",
        ],
        id="required sheet missing",
    ),
    pytest.param(
        renamed("Packs", "Pack"),
        [
            'Pack: found a sheet named "Pack", expected "Packs", or a name that is not '
            "nearly the same [sheet nearly known]\n"
            '  Name it "Packs" if that is meant; a sheet of your own needs a name that '
            "differs more. Until then it is not read.",
        ],
        id="sheet nearly known: a singular",
    ),
    pytest.param(
        renamed("Shoot plan", "Shot plna"),
        [
            '\'Shot plna\': found a sheet named "Shot plna", expected "Shoot plan", or a name'
            " that is not nearly the same [sheet nearly known]\n"
            '  Name it "Shoot plan" if that is meant; a sheet of your own needs a name that'
            " differs more. Until then it is not read.",
        ],
        id="sheet nearly known: a slip",
    ),
    pytest.param(
        renamed("On hand", "Pantry"),
        [
            'Pantry: found a sheet named "Pantry", expected "On hand", or a name that is '
            "not nearly the same [sheet nearly known]\n"
            '  Name it "On hand" if that is meant; a sheet of your own needs a name that '
            "differs more. Until then it is not read.",
        ],
        id="sheet nearly known: another word",
    ),
    pytest.param(
        renamed("Recipes", "Recipe"),
        [
            'Recipe: found a sheet named "Recipe", expected "Recipes", or a name that is '
            "not nearly the same [sheet nearly known]\n"
            '  Name it "Recipes" if that is meant; a sheet of your own needs a name that '
            "differs more. Until then it is not read.",
        ],
        id="sheet nearly known: the required one",
    ),
    pytest.param(
        copied("Shops", "SHOPS "),
        [
            "'SHOPS ': found a second sheet for Shops; the rows are read from \"Shops\", "
            "expected one sheet Shops [sheet twice]\n"
            "  Put all rows on one of them and delete or rename the other; until then this "
            "one is not read.",
        ],
        id="sheet twice",
    ),
    pytest.param(
        hidden_sheet("Shops"),
        [
            "Shops: found the sheet Shops hidden, expected sheets that are read to be in "
            "view [hidden sheet read]\n"
            "  Its rows were read. Unhide it to look them over, or give it another name if "
            "it is not meant.",
        ],
        id="hidden sheet read",
    ),
    pytest.param(
        put("Packs!C1", "How much"),
        [
            "Packs row 1: found the headings Ingredient, Shop, How much, Unit, Price, Loose"
            " step, At most and Tax rate %, expected also Amount [required heading missing]\n"
            "  Write what is missing, spelled so, into the row of headings; until then the "
            "sheet is not read.",
        ],
        id="required heading missing",
    ),
    pytest.param(
        put("Shops!A1", "Where"),
        [
            "Shops row 1: found the headings Where and Visit cost, expected also Shop "
            "[required heading missing]\n"
            "  Write what is missing, spelled so, into the row of headings; until then the "
            "sheet is not read.",
        ],
        id="required heading missing: no headings at all",
    ),
    pytest.param(
        put("Ingredients!C1", "Trim yield"),
        [
            'Ingredients!C1: found the heading "Trim yield", expected "Trim yield %", or a '
            "heading that is not nearly the same [heading nearly known]\n"
            '  Write "Trim yield %" if that is meant; a column of your own needs a heading '
            "that differs more. Until then results that depend on the column are left out.",
        ],
        id="heading nearly known",
    ),
    pytest.param(
        put("Ingredients!C1", "Yield"),
        [
            'Ingredients!C1: found the heading "Yield", expected "Trim yield %", or a '
            "heading that is not nearly the same [heading nearly known]\n"
            '  Write "Trim yield %" if that is meant; a column of your own needs a heading '
            "that differs more. Until then results that depend on the column are left out.",
        ],
        id="heading nearly known: another word",
    ),
    pytest.param(
        put("Packs!C1", "Amonut"),
        [
            'Packs!C1: found the heading "Amonut", expected "Amount", or a heading that is '
            "not nearly the same [heading nearly known]\n"
            '  Write "Amount" if that is meant; a column of your own needs a heading that '
            "differs more. Until then results that depend on the column are left out.",
        ],
        id="heading nearly known: a required one",
    ),
    pytest.param(
        put("Ingredients!D1", "trim  yield %"),
        [
            'Ingredients!D1 (column "Trim yield %"): found the heading "trim yield %" a '
            "second time; the first is at C1, expected each heading once [heading twice]\n"
            "  Delete one of the columns, or give it a heading of its own; until then "
            "results that depend on the column are left out.",
        ],
        id="heading twice",
    ),
    pytest.param(
        merged("Recipes", "E2:E3"),
        [
            "Recipes!E2: found the cells E2:E3 merged, expected each value in a cell of its"
            " own [merged cells]\n"
            "  Unmerge them and write the value into every cell it is meant for; until then"
            " they count as unreadable.",
        ],
        id="merged cells",
    ),
    pytest.param(
        merged("Packs", "A2:C2"),
        [
            "Packs!A2: found the cells A2:C2 merged, expected each value in a cell of its "
            "own [merged cells]\n"
            "  Unmerge them and write the value into every cell it is meant for; until then"
            " they count as unreadable.",
        ],
        id="merged cells: across",
    ),
    pytest.param(
        merged("Recipes", "A2:A5"),
        [
            "Recipes!A2: found the cells A2:A5 merged, expected each value in a cell of its"
            " own [merged cells read down]\n"
            "  The value was taken for all these rows, as for blank cells below Dish. "
            "Unmerge them if you want to sort or filter.",
        ],
        id="merged cells read down",
    ),
    pytest.param(
        hidden_rows("Recipes", 3),
        [
            "Recipes row 3: found 1 hidden row (row 3), expected rows that are read to be "
            "in view [hidden rows]\n"
            "  They were included like the others. Unhide them or clear the filter to look "
            "them over, and delete what is not meant.",
        ],
        id="hidden rows: one",
    ),
    pytest.param(
        hidden_rows("Recipes", 3, 4, 5),
        [
            "Recipes row 3: found 3 hidden rows between row 3 and row 5, expected rows that"
            " are read to be in view [hidden rows]\n"
            "  They were included like the others. Unhide them or clear the filter to look "
            "them over, and delete what is not meant.",
        ],
        id="hidden rows",
    ),
    pytest.param(
        headings_again("Packs"),
        [
            "Packs row 6: found the headings once more, expected one row of headings, above all "
            "rows [headings repeated]\n  It is passed over; delete the row.",
        ],
        id="headings repeated",
    ),
    pytest.param(
        put("Recipes!D1500", "salt"),
        [
            "Recipes row 1500: found something after 1494 blank rows, expected the rows of "
            "the sheet to follow each other [rows far below]\n"
            "  It was not read. Move it up to the other rows if it belongs to them, or "
            "delete it.",
        ],
        id="rows far below",
    ),
    pytest.param(
        cleared("Recipes"),
        [
            "Recipes: found no recipe lines, expected a row for each ingredient of each "
            "step [nothing to cook]\n"
            "  Fill the sheet Recipes: Dish, Step, Ingredient, Amount and Unit.",
        ],
        id="nothing to cook",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert found_after(change, tmp_path) == said
