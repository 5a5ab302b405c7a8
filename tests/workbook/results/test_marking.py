"""New workbooks have the sheet Findings, and mark the cells that it names."""

from __future__ import annotations

import copy
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from costing.estimating import estimate
from costing.findings import in_order
from costing.workbook.demo import DEMO_ROWS
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.reading import read_workbook
from costing.workbook.results.new import new_workbook_bytes
from costing.workbook.results.write import write_results
from costing.workbook.template import template_bytes

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


def test_template__without_findings_refers_to_no_sheet_that_is_missing() -> None:
    book = openpyxl.load_workbook(BytesIO(template_bytes(all_sheets=True)))
    assert not any(_rules(sheet) for sheet in book)


def test_run__names_the_faulty_cell_where_the_marks_look_and_forgets_it_when_mended(
    tmp_path: Path,
) -> None:
    """0.72 as a plain trim yield in C8, then 72."""
    path = tmp_path / "plan.xlsx"
    rows = copy.deepcopy(DEMO_ROWS)
    rows["Ingredients"][4] = {**rows["Ingredients"][4], "Trim yield %": 0.72}
    path.write_bytes(new_workbook_bytes(all_sheets=True, rows=rows))
    assert ("error", "Ingredients", "C8") in _named(path)
    path.write_bytes(new_workbook_bytes(all_sheets=True, rows=DEMO_ROWS))
    assert ("error", "Ingredients", "C8") not in _named(path)


def _named(path: Path) -> set[tuple[object, object, object]]:
    """What the columns say that the marks look into, after a run."""
    shoot, read = read_workbook(path)
    result = estimate(shoot)
    write_results(path, result, in_order([*read, *result.findings]))
    sheet = openpyxl.load_workbook(path)["Findings"]
    return {(row[0].value, row[2].value, row[3].value) for row in sheet.iter_rows()}
