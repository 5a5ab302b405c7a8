"""Hidden rows of a result sheet, and the charts on it, which are drawn once.

The sheet has a chart ``Upper`` over rows 1 to 4 and a chart ``Lower`` over rows 6 to 9; each shows
cells of its own rows.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet
from packages import bytes_of, parts_of, plain, related, sheets_of, with_part, zipped
from soundness import faults

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell

UNDER = frozenset(range(6, 10))
"""Rows under the lower chart."""


def scratch(title: str) -> bytes:
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        page = book.add_worksheet(title)
        for name, first in (("Upper", 1), ("Lower", 6)):
            chart = book.add_chart({"type": "bar", "name": name})
            chart.add_series({"values": [title, first - 1, 1, first + 2, 1]})
            chart.set_size({"height": 76})
            page.insert_chart(first - 1, 0, chart, {"object_position": 1})
    return file.getvalue()


def figures(hidden: frozenset[int] = frozenset(), title: str = "Figures") -> ResultSheet:
    rows = [[NewCell(f"row {number}"), NewCell(number)] for number in range(1, 10)]
    return ResultSheet(
        "figures",
        "Figures",
        [*rows, [], [NewCell("Figure"), NewCell("Value")], [NewCell("a"), NewCell(1)]],
        header_row=11,
        table="tFigures",
        hidden=hidden,
        heights={7: 30.0},
        drawing_from=lambda: scratch(title),
    )


def put(data: bytes, hidden: frozenset[int] = frozenset()) -> bytes:
    spliced = splice(data, [figures(hidden)])
    assert faults(spliced.data) == []
    return spliced.data


def first_run() -> bytes:
    return put(zipped(plain()))


def drawn(data: bytes) -> dict[str, bytes]:
    """The parts of drawings and charts."""
    return {
        name: part
        for name, part in parts_of(data).items()
        if name.startswith(("xl/drawings/", "xl/charts/"))
    }


def hidden_rows(data: bytes) -> list[int]:
    page = openpyxl.load_workbook(io.BytesIO(data))["Figures"]
    assert isinstance(page, Worksheet)
    return [number for number, row in sorted(page.row_dimensions.items()) if row.hidden]


def test_hidden_rows__new_sheet_and_every_later_run() -> None:
    data = put(first_run(), frozenset({3, 7}))
    assert hidden_rows(data) == [3, 7]
    parts = parts_of(data)
    xml = parts[sheets_of(parts)["Figures"]].decode()
    assert '<row r="7" ht="30" customHeight="1" hidden="1">' in xml
    data = put(data, frozenset({7}))
    assert hidden_rows(data) == [7]
    assert put(data, frozenset({7})) == data
    assert hidden_rows(put(zipped(plain()), frozenset({3}))) == [3]


def test_hidden_rows__one_the_person_wrote_in_is_shown() -> None:
    book = openpyxl.load_workbook(io.BytesIO(first_run()))
    book["Figures"]["F7"] = "ask the grocer"
    data = splice(bytes_of(book), [figures(UNDER)]).data
    assert hidden_rows(data) == [6, 8, 9]
    assert openpyxl.load_workbook(io.BytesIO(data))["Figures"]["F7"].value == "ask the grocer"


def test_charts__are_drawn_when_the_sheet_is_made() -> None:
    data = first_run()
    assert sorted(drawn(data)) == [
        "xl/charts/chart1.xml",
        "xl/charts/chart2.xml",
        "xl/drawings/_rels/drawing1.xml.rels",
        "xl/drawings/drawing1.xml",
    ]
    page = openpyxl.load_workbook(io.BytesIO(data))["Figures"]
    assert isinstance(page, Worksheet)
    assert len(page._charts) == 2  # type: ignore[attr-defined]


def test_charts__are_left_alone_by_later_runs_whatever_rows_are_hidden() -> None:
    first = first_run()
    data = first
    for hidden in (UNDER, frozenset(), frozenset({3})):
        data = put(data, hidden)
        assert drawn(data) == drawn(first)


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda xml: xml.replace("<xdr:row>5<", "<xdr:row>20<"), id="moved"),
        pytest.param(lambda xml: xml.replace('name="Lower"', 'name="Mine"'), id="renamed"),
        pytest.param(
            lambda xml: re.sub(r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", "", xml, count=1),
            id="deleted",
        ),
        pytest.param(
            lambda xml: xml.replace("<xdr:twoCellAnchor", "<!-- --><xdr:twoCellAnchor"),
            id="written anew by another program",
        ),
    ],
)
def test_charts__stay_as_the_person_left_them(change: Callable[[str], str]) -> None:
    parts = parts_of(first_run())
    drawing = parts["xl/drawings/drawing1.xml"].decode()
    chart = parts["xl/charts/chart2.xml"].replace(b"<c:gapWidth", b"<!-- red --><c:gapWidth")
    assert change(drawing) != drawing
    mine = {"xl/drawings/drawing1.xml": change(drawing).encode(), "xl/charts/chart2.xml": chart}
    data = zipped(parts | mine)
    assert drawn(splice(data, [figures(UNDER)]).data) == drawn(data)


def test_charts__none_are_drawn_on_a_sheet_that_lost_its_drawing() -> None:
    """A program that saves the sheet after its last chart was deleted writes no drawing."""
    parts = parts_of(first_run())
    part = sheets_of(parts)["Figures"]
    parts[part] = re.sub(rb"<drawing [^>]*>", b"", parts[part])
    rels = part.replace("worksheets/", "worksheets/_rels/") + ".rels"
    parts[rels] = re.sub(rb"<Relationship [^>]*drawing1.xml[^>]*>", b"", parts[rels])
    for name in drawn(zipped(parts)):
        del parts[name]
    overrides = rb'<Override PartName="/xl/(drawings|charts)/[^>]*>'
    parts["[Content_Types].xml"] = re.sub(overrides, b"", parts["[Content_Types].xml"])
    assert drawn(put(zipped(parts))) == {}


def test_charts__take_part_names_that_are_free() -> None:
    parts = with_part(
        plain(), "xl/charts/chart1.xml", b"<c/>", "text/xml", source="xl/workbook.xml", relation="x"
    )
    data = parts_of(splice(zipped(parts), [figures()]).data)
    assert data["xl/charts/chart1.xml"] == b"<c/>"
    targets = [target for _, kind, target in related("xl/drawings/drawing1.xml", data)]
    assert targets == ["xl/charts/chart2.xml", "xl/charts/chart3.xml"]


def test_charts__one_that_is_not_in_the_scratch_workbook_is_a_fault_of_the_program() -> None:
    sheet = figures(title="Another")
    with pytest.raises(ValueError, match="no drawing on a sheet 'Figures'"):
        splice(zipped(plain()), [sheet])
