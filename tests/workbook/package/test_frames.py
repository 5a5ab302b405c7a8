"""Hidden rows of a result sheet, and the charts that are hidden and shown with them.

The sheet has a chart over rows 1 to 4 and one over rows 6 to 9, each showing cells of its own rows.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet
from packages import parts_of, plain, sheets_of, zipped
from soundness import faults

from costing.workbook.package.cells import ResultCell, ResultSheet
from costing.workbook.package.splice import splice

PANELS = ((1, 4), (6, 9))
ALL_OF_THE_SECOND = frozenset(range(6, 10))
ROWS = {"shown": frozenset[int](), "hidden": ALL_OF_THE_SECOND}


def scratch() -> bytes:
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        page = book.add_worksheet("Figures")
        for first, last in PANELS:
            chart = book.add_chart({"type": "bar"})
            chart.add_series({"values": ["Figures", first - 1, 1, last - 1, 1]})
            chart.set_size({"height": 76})
            page.insert_chart(first - 1, 0, chart, {"object_position": 1})
    return file.getvalue()


def figures(*, hidden: frozenset[int] = frozenset(), note: str = "") -> ResultSheet:
    rows = [[ResultCell(f"row {number}{note}"), ResultCell(number)] for number in range(1, 12)]
    return ResultSheet(
        "figures",
        "Figures",
        rows,
        hidden=hidden,
        drawing_from=scratch(),
        panels=PANELS,
        heights={7: 30.0},
    )


def put(data: bytes, *, hidden: frozenset[int] = frozenset()) -> bytes:
    spliced = splice(data, [figures(hidden=hidden)])
    assert faults(spliced.data) == []
    return spliced.data


def drawing_of(data: bytes) -> tuple[str, str]:
    """The drawing part and its name."""
    found = [(n, p) for n, p in parts_of(data).items() if n.startswith("xl/drawings/drawing")]
    assert len(found) == 1
    return found[0][0], found[0][1].decode()


def frames(data: bytes) -> list[tuple[str, str, bool]]:
    """First and last row of every frame, from 0, with the offset, and whether it is hidden."""
    _, drawing = drawing_of(data)
    found = []
    for anchor in re.findall(r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", drawing):
        rows = re.findall(r"<xdr:row>(\d+)</xdr:row><xdr:rowOff>(\d+)</xdr:rowOff>", anchor)
        properties = re.search(r"<xdr:cNvPr [^>]*>", anchor)
        assert properties is not None
        start, end = ("+".join(pair) for pair in rows)
        found.append((start, end, 'hidden="1"' in properties.group()))
    return found


def hidden_rows(data: bytes) -> list[int]:
    page = openpyxl.load_workbook(io.BytesIO(data))["Figures"]
    assert isinstance(page, Worksheet)
    return [number for number, row in sorted(page.row_dimensions.items()) if row.hidden]


def changed(data: bytes, change: Callable[[str], str]) -> bytes:
    """The workbook after another program wrote its drawing."""
    name, drawing = drawing_of(data)
    return zipped(parts_of(data) | {name: change(drawing).encode()})


def flattened(drawing: str) -> str:
    """The second frame as a program saves it that sees no height: below its rows, shown."""
    _, second = re.findall(r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", drawing)
    flat = re.sub(
        r"<xdr:row>\d+</xdr:row><xdr:rowOff>\d+</xdr:rowOff>",
        "<xdr:row>9</xdr:row><xdr:rowOff>0</xdr:rowOff>",
        second,
    )
    return drawing.replace(second, flat.replace(' hidden="1"', ""))


FIRST = ("0+0", "3+152400", False)
SECOND = ("5+0", "8+152400")
"""A chart 76 pixels high reaches 16 pixels, 152,400 EMU, into the fourth row of 20."""


def test_hidden_rows__new_sheet_and_every_later_run() -> None:
    data = put(zipped(plain()))
    assert hidden_rows(data) == []
    data = put(data, hidden=frozenset({3, 7}))
    assert hidden_rows(data) == [3, 7]
    assert '<row r="7" ht="30" customHeight="1" hidden="1">' in sheet_xml(data)
    data = put(data, hidden=frozenset({7}))
    assert hidden_rows(data) == [7]
    assert put(data, hidden=frozenset({7})) == data
    assert hidden_rows(put(zipped(plain()), hidden=frozenset({3}))) == [3]


def sheet_xml(data: bytes) -> str:
    parts = parts_of(data)
    return parts[sheets_of(parts)["Figures"]].decode()


def test_hidden_rows__one_the_person_wrote_in_is_shown() -> None:
    book = openpyxl.load_workbook(io.BytesIO(put(zipped(plain()))))
    book["Figures"]["F7"] = "ask the grocer"
    file = io.BytesIO()
    book.save(file)
    data = splice(file.getvalue(), [figures(hidden=ALL_OF_THE_SECOND)]).data
    assert hidden_rows(data) == [6, 8, 9]
    assert openpyxl.load_workbook(io.BytesIO(data))["Figures"]["F7"].value == "ask the grocer"


@pytest.mark.parametrize(("rows", "is_hidden"), [("shown", False), ("hidden", True)])
def test_charts__of_a_new_sheet_are_hidden_with_their_rows(rows: str, is_hidden: bool) -> None:
    data = put(zipped(plain()), hidden=ROWS[rows])
    assert frames(data) == [FIRST, (*SECOND, is_hidden)]


def test_charts__go_and_come_back_with_their_rows() -> None:
    first = put(zipped(plain()))
    gone = put(first, hidden=ALL_OF_THE_SECOND)
    assert frames(gone) == [FIRST, (*SECOND, True)]
    back = put(gone)
    assert frames(back) == [FIRST, (*SECOND, False)]
    assert drawing_of(back) == drawing_of(first)
    assert back == put(back)


def test_charts__that_lost_their_height_lie_over_their_rows_again() -> None:
    """Nine points, 114,300 EMU, of the last row are covered."""
    data = changed(put(zipped(plain()), hidden=ALL_OF_THE_SECOND), flattened)
    assert frames(data) == [FIRST, ("9+0", "9+0", False)]
    assert frames(put(data, hidden=ALL_OF_THE_SECOND)) == [FIRST, ("9+0", "9+0", True)]
    assert frames(put(data)) == [FIRST, ("5+0", "8+114300", False)]


def test_charts__moved_by_the_person_stay_where_they_are() -> None:
    def elsewhere(drawing: str) -> str:
        moved = drawing.replace("<xdr:row>5</xdr:row>", "<xdr:row>20</xdr:row>")
        return moved.replace("<xdr:row>8</xdr:row>", "<xdr:row>33</xdr:row>")

    data = changed(put(zipped(plain())), elsewhere)
    gone = put(data, hidden=ALL_OF_THE_SECOND)
    assert frames(gone) == [FIRST, ("20+0", "33+152400", True)]
    assert frames(put(gone)) == [FIRST, ("20+0", "33+152400", False)]


def test_charts__hidden_by_the_person_stay_hidden() -> None:
    data = changed(put(zipped(plain())), lambda d: d.replace('id="3" ', 'id="3" hidden="1" '))
    assert frames(put(data)) == [FIRST, (*SECOND, True)]


def test_charts__of_the_persons_that_show_other_cells_too_are_left_alone() -> None:
    data = put(zipped(plain()))
    parts = parts_of(data)
    chart = parts["xl/charts/chart2.xml"].replace(b"Figures!$B$6:$B$9", b"Figures!$B$5:$B$9")
    assert chart != parts["xl/charts/chart2.xml"]
    data = zipped(parts | {"xl/charts/chart2.xml": chart})
    assert frames(put(data, hidden=ALL_OF_THE_SECOND)) == [FIRST, (*SECOND, False)]


def test_charts__a_damaged_chart_hinders_nothing() -> None:
    parts = parts_of(put(zipped(plain())))
    damaged = zipped(parts | {"xl/charts/chart2.xml": b"<c:chartSpace"})
    spliced = splice(damaged, [figures(hidden=ALL_OF_THE_SECOND)]).data
    assert frames(spliced) == [FIRST, (*SECOND, False)]
    assert '<row r="6" hidden="1">' in sheet_xml(spliced)


def test_charts__follow_a_tab_the_person_renamed() -> None:
    parts = parts_of(put(zipped(plain())))
    renamed = {
        name: part.replace(b"Figures!", b"'Cook''s sums'!").replace(
            b'name="Figures"', b'name="Cook\'s sums"'
        )
        for name, part in parts.items()
    }
    assert frames(put(zipped(renamed), hidden=ALL_OF_THE_SECOND))[1] == (*SECOND, True)
