"""The shopping list keeps what the person wrote on it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from live_workbooks import calculated, run, with_formulas
from packages import bytes_of
from recalculation import opened

from costing.estimating import estimate
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import write_results


def rows_of_list(book: Any) -> list[Any]:
    """The rows of the list, without its headings."""
    sheet = book["To buy"]
    (table,) = sheet.tables.values()
    return list(sheet[table.ref][1:])


def test_tick__goes_with_its_row_when_rows_come_and_go() -> None:
    """Butter and leek are in the bag; then enough flour is on hand, and it leaves the list."""
    book = opened(with_formulas("demo")[0], values=False)
    for row in rows_of_list(book):
        if row[4].value in ("butter", "leek"):
            row[0].value = "x"
    book["On hand"]["B4"] = 2000
    again = opened(run(calculated(bytes_of(book)))[0], values=True)
    assert "flour" not in [row[4].value for row in rows_of_list(again)]
    assert {row[4].value for row in rows_of_list(again) if row[0].value} == {"butter", "leek"}


def test_list_with_merged_cells__is_left_as_it_is_and_the_results_stand_beside(
    tmp_path: Path,
) -> None:
    book = opened(with_formulas("by hand")[0], values=False)
    book["To buy"].merge_cells("A1:C1")
    path = tmp_path / "plan.xlsx"
    path.write_bytes(calculated(bytes_of(book)))
    before = path.read_bytes()
    written = write_results(path, estimate(read_workbook(path)[0]))
    assert written.path == tmp_path / "plan results.xlsx"
    assert written.notes[-2] == (
        "'To buy'!A1: found the result cells A1:C1 merged, so it is left as it is. Unmerge them "
        "and run again."
    )
    assert path.read_bytes() == before
    assert len(rows_of_list(opened(written.path.read_bytes(), values=True))) > 1
