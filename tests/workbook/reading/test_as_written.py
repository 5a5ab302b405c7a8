"""Recipe rows that still stand as their text was read keep what was uncertain about it."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from costing.workbook.reading import read_workbook

HEADINGS = ["Dish", "Ingredient", "Amount", "Unit", "Cut", "Note"]
FILLETS = "4 (200 g) chicken fillets, diced"


def codes(tmp_path: Path, *row: str) -> list[str]:
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
    "row",
    [
        ("chicken fillets", "200", "g", "diced", FILLETS),
        ("chicken", "800", "g", "diced", FILLETS),
        ("chicken fillets", "800", "ml", "diced", FILLETS),
        ("chicken fillets", "800", "g", "", FILLETS),
        ("chicken fillets", "800", "g", "diced", ""),
        ("chicken fillets", "800", "g", "diced", "buy early"),
    ],
    ids=["amount", "name", "unit", "cut", "no note", "another note"],
)
def test_still_uncertain__a_changed_row_is_the_answer(tmp_path: Path, row: tuple[str, ...]) -> None:
    assert codes(tmp_path, *row) == []


def test_still_uncertain__each_stands_at_the_cell_it_is_about(tmp_path: Path) -> None:
    assert codes(tmp_path, "oil", "2", "metric tablespoon", "", "2 EL oil") == [
        "D2 recipe unit near"
    ]
    named = codes(tmp_path, "garlic clove", "3", "each", "", "3 cloves garlic")
    assert named == ["B2 recipe pieces named"]
