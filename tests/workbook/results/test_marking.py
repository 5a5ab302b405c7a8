"""New workbooks have the sheet Findings, and mark the cells that it names."""

from __future__ import annotations

import copy
import re
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from office import AS_PAGE, Office
from recalculation import with_numbers

from costing.estimating import estimate
from costing.listing import in_order
from costing.workbook.demo import DEMO_ROWS
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.reading import read_workbook
from costing.workbook.results.look import WORST
from costing.workbook.results.write import new_workbook_bytes, write_results
from costing.workbook.template import template_bytes
from costing.workbook.template.cells import Row

FINDINGS_COLUMNS = {"A": "Grade", "C": "Sheet", "D": "Cell"}


@pytest.fixture(scope="module")
def new() -> Any:
    return openpyxl.load_workbook(BytesIO(new_workbook_bytes(all_sheets=True)))


def _rules(sheet: Any) -> list[tuple[str, str]]:
    return [
        (str(area.sqref), rule.formula[0])
        for area in sheet.conditional_formatting
        for rule in area.rules
    ]


def test_new__has_findings_from_the_start(new: Any) -> None:
    sheet = new["Findings"]
    assert new.sheetnames[-1] == "Findings"
    (table,) = sheet.tables.values()
    header, *rows = sheet[table.ref]
    letters = {cell.column_letter: cell.value for cell in header}
    assert {letter: letters[letter] for letter in FINDINGS_COLUMNS} == FINDINGS_COLUMNS
    assert {cell.value for row in rows for cell in row} == {None}


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda sheet: sheet.title)
def test_new__every_input_sheet_looks_its_cells_up_in_findings(layout: Any, new: Any) -> None:
    rules = _rules(new[layout.title])
    assert [where.partition(":")[0] for where, _ in rules] == ["A3", "A3"]
    for (_, formula), grade in zip(rules, ("error", "warning"), strict=True):
        assert formula == (
            f'COUNTIFS(Findings!$A$1:$A$2000,"{grade}",Findings!$C$1:$C$2000,"{layout.title}",'
            "Findings!$D$1:$D$2000,ADDRESS(ROW(),COLUMN(),4))>0"
        )


def test_marks__are_bold_in_a_frame_and_pale_or_dark(new: Any) -> None:
    """Told apart without their colours: an error is written in white on dark."""
    rules = [rule for area in new["Packs"].conditional_formatting for rule in area.rules]
    error, warning = (rule.dxf for rule in rules)
    for mark in (error, warning):
        assert mark.font.b
        assert mark.border.left.style == mark.border.top.style == "thin"
    assert error.font.color.rgb == "FFFFFFFF" != warning.font.color.rgb
    assert error.fill.bgColor.rgb == error.border.left.color.rgb != warning.fill.bgColor.rgb


def test_template__without_findings_refers_to_no_sheet_that_is_missing() -> None:
    book = openpyxl.load_workbook(BytesIO(template_bytes(all_sheets=True)))
    assert not any(_rules(sheet) for sheet in book)


def test_run__names_the_faulty_cell_where_the_marks_look_and_forgets_it_when_mended(
    tmp_path: Path,
) -> None:
    """0.72 as a plain trim yield in C8, then 72."""
    path = tmp_path / "plan.xlsx"
    path.write_bytes(new_workbook_bytes(all_sheets=True, rows=_faulty()))
    assert ("error", "Ingredients", "C8") in _named(path)
    path.write_bytes(new_workbook_bytes(all_sheets=True, rows=DEMO_ROWS))
    assert ("error", "Ingredients", "C8") not in _named(path)


def test_run__the_finding_leads_to_the_cell_it_names(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(new_workbook_bytes(all_sheets=True, rows=_faulty()))
    _named(path)
    sheet = openpyxl.load_workbook(path)["Findings"]
    (cell,) = (row[3] for row in sheet.iter_rows() if row[3].value == "C8")
    assert cell.hyperlink is not None
    assert cell.hyperlink.location == "Ingredients!C8"


def test_run__a_program_shows_the_mark_and_takes_it_away_when_mended(
    tmp_path: Path, office: Office
) -> None:
    """The colour of an error on the cell of 0.72, and none of it once 72 stands there."""
    path = tmp_path / "plan.xlsx"
    path.write_bytes(new_workbook_bytes(all_sheets=True, rows=_faulty()))
    _named(path)
    faulty = path.read_bytes()
    path.write_bytes(with_numbers(faulty, {("Ingredients", "C8"): 72}))
    _named(path)
    before, after = (
        office.files(data, AS_PAGE, calculated=True)["plan.html"].decode()
        for data in (faulty, path.read_bytes())
    )
    assert _colour_of(before, "0.72") == f"#{WORST.fill}"
    assert _colour_of(before, "100") != f"#{WORST.fill}"
    assert _colour_of(after, "72") != f"#{WORST.fill}"


def _faulty() -> dict[str, list[Row]]:
    rows = copy.deepcopy(DEMO_ROWS)
    rows["Ingredients"][4] = {**rows["Ingredients"][4], "Trim yield %": 0.72}
    return rows


def _colour_of(page: str, number: str) -> str | None:
    """The colour behind the first cell of a number on Ingredients, as LibreOffice shows it."""
    sheet = re.split(r'<A NAME="table\d+">', page)
    (found,) = (part for part in sheet if "<em>Ingredients</em>" in part[:200])
    cell = re.search(rf'<td[^>]*sdval="{re.escape(number)}"[^>]*>', found)
    assert cell is not None
    colour = re.search(r'bgcolor="(#[0-9A-F]{6})"', cell.group())
    return colour.group(1) if colour else None


def _named(path: Path) -> set[tuple[object, object, object]]:
    """What the columns say that the marks look into, after a run."""
    shoot, read = read_workbook(path)
    result = estimate(shoot)
    write_results(path, result, in_order([*read, *result.findings]))
    sheet = openpyxl.load_workbook(path)["Findings"]
    return {(row[0].value, row[2].value, row[3].value) for row in sheet.iter_rows()}
