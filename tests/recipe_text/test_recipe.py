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
