"""What cannot stand in a workbook is refused when a result sheet is made."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import openpyxl
import pytest
from blocks import to_buy
from packages import parts_of, plain, zipped
from soundness import faults

from costing.workbook.owned.resultsheets import ResultSheet, check_title
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"mark": "To buy!"}, "not a mark"),
        ({"mark": ""}, "not a mark"),
        ({"title": "a/b"}, "not a name for a tab"),
        ({"rows": [[NewCell("x")] * 16_385], "header_row": 1, "table": None}, "16385 columns"),
        ({"rows": [[NewCell("x")]] * 1_048_577, "table": None}, "1048577 rows"),
        ({"header_row": 7}, "no row 7"),
        ({"table": "to"}, "not a table name"),
        ({"table": "1st list"}, "not a table name"),
        ({"header_row": 2}, "needs headings"),
        ({"rows": [[NewCell("A"), None, NewCell("B")]], "header_row": 1}, "needs headings"),
        ({"rows": [[NewCell("A"), NewCell("a")]], "header_row": 1}, "needs headings, each once"),
        ({"rows": [[NewCell("A")], [NewCell(1), NewCell(2)]], "header_row": 1}, "wider"),
    ],
)
def test_result_sheet__refuses_what_no_sheet_holds(changes: dict[str, Any], said: str) -> None:
    """Limits of the common programs: 1,048,576 rows, 16,384 columns; headings of a table differ."""
    with pytest.raises(ValueError, match=said):
        replace(to_buy(), **changes)


def test_result_sheet__as_large_as_a_sheet_is_made() -> None:
    last = [*[None] * 16_383, NewCell("x")]
    sheet = ResultSheet("to_buy", "To buy", [last])
    assert (sheet.height, sheet.width) == (1, 16_384)
    assert (sheet.headings, sheet.trailing) == ([], 0)
    high = ResultSheet("to_buy", "To buy", [[None]] * 1_048_576)
    assert high.height == 1_048_576


@pytest.mark.parametrize("title", ["", "a" * 32, "a:b", "[a", "it?", "'a", "a'", "HISTORY"])
def test_title__of_no_tab(title: str) -> None:
    """ISO/IEC 29500-1, 18.2.19 and the common programs: 31 signs, none of seven, no apostrophe."""
    with pytest.raises(ValueError, match="not a name for a tab"):
        check_title(title)


@pytest.mark.parametrize("title", ["a" * 31, "it's", "A", "Histories"])
def test_title__of_a_tab(title: str) -> None:
    data = splice(zipped(plain()), [replace(to_buy(), title=title)]).data
    assert openpyxl.load_workbook(io.BytesIO(data)).sheetnames == ["Recipes", title]


@pytest.mark.parametrize(
    ("freeze", "pane"),
    [
        ("C4", (2, 3, "bottomRight")),
        ("A4", (None, 3, "bottomLeft")),
        ("C1", (2, None, "topRight")),
        ("A1", None),
        (None, None),
    ],
)
def test_pane__of_a_new_sheet(freeze: str | None, pane: tuple[Any, ...] | None) -> None:
    """ISO/IEC 29500-1, 18.3.1.66: what is above and left of the first cell that scrolls."""
    data = splice(zipped(plain()), [replace(to_buy(), freeze=freeze)]).data
    assert faults(data) == []
    found = openpyxl.load_workbook(io.BytesIO(data))["To buy"].sheet_view.pane
    shown = found and (found.xSplit, found.ySplit, found.activePane, found.topLeftCell)
    assert shown == (pane and (*pane, freeze))


def test_columns__folded_ones_are_hidden_and_the_next_opens_them() -> None:
    data = splice(zipped(plain()), [replace(to_buy(), folded=frozenset({2, 3}))]).data
    assert faults(data) == []
    columns = openpyxl.load_workbook(io.BytesIO(data))["To buy"].column_dimensions
    look = {n: (columns[n].hidden, columns[n].outlineLevel, columns[n].collapsed) for n in "ABD"}
    assert look["B"][:2] == (True, 1)
    assert (look["A"], look["D"]) == ((False, 0, False), (False, 0, True))


@pytest.mark.parametrize(("repeat", "rows"), [(True, "$3:$3"), (False, None)])
def test_headings__are_repeated_on_each_printed_page_where_the_sheet_asks_for_it(
    *, repeat: bool, rows: str | None
) -> None:
    data = splice(zipped(plain()), [replace(to_buy(), repeat_headings=repeat)]).data
    assert faults(data) == []
    assert openpyxl.load_workbook(io.BytesIO(data))["To buy"].print_title_rows == rows


def test_heights__no_row_is_higher_than_a_program_takes() -> None:
    """409 points are the most that the common programs take; others open the file damaged."""
    sheet = replace(to_buy(), heights={4: 500, 5: 30.5})
    rows = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [sheet]).data))["To buy"]
    assert [rows.row_dimensions[n].height for n in (4, 5, 6)] == [409, 30.5, None]


@pytest.mark.parametrize(
    ("rows", "reach"),
    [
        ([[NewCell("Nothing to buy.")]], "A1:A1"),
        ([[NewCell("Total"), NewCell(2)]], "A1:B1"),
        ([[NewCell("a")], [NewCell("b")]], "A1:A2"),
        ([], "A1:A1"),
    ],
)
def test_new_sheet__says_how_far_it_reaches(rows: list[list[NewCell | None]], reach: str) -> None:
    """Programs that read row by row believe it; one without any cell says A1 all the same."""
    data = splice(zipped(plain()), [ResultSheet("to_buy", "To buy", rows)]).data
    assert f'<dimension ref="{reach}"/>' in parts_of(data)["xl/worksheets/sheet2.xml"].decode()
