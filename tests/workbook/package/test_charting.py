"""Hidden rows of a result sheet, and charts that come and go on it.

The sheet has a chart ``Always`` over rows 1 to 4 and, when it has something to show, a chart ``Now
and then`` over rows 6 to 9; each shows cells of its own rows.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet
from packages import Parts, parts_of, plain, related, relations, sheets_of, with_part, zipped
from soundness import faults

from costing.workbook.package.cells import ResultCell, ResultSheet
from costing.workbook.package.frames import frames
from costing.workbook.package.offsets import Document
from costing.workbook.package.ownership import Mark, read_mark
from costing.workbook.package.splice import splice

ALWAYS, SOMETIMES = "Always", "Now and then"
UNDER = frozenset(range(6, 10))
"""Rows under the chart that comes and goes."""

FIRST, SECOND = ("0+0", "3+152400"), ("5+0", "8+152400")
"""A chart 76 pixels high reaches 16 pixels, 152,400 EMU, into the fourth row of 20."""


def scratch(title: str, *, sometimes: bool) -> bytes:
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        page = book.add_worksheet(title)
        for name, first in ((ALWAYS, 1), *([(SOMETIMES, 6)] if sometimes else [])):
            chart = book.add_chart({"type": "bar", "name": name})
            chart.add_series(
                {
                    "categories": [title, first - 1, 0, first + 2, 0],
                    "values": [title, first - 1, 1, first + 2, 1],
                }
            )
            chart.set_size({"height": 76})
            page.insert_chart(first - 1, 0, chart, {"object_position": 1})
    return file.getvalue()


def figures(
    *, shown: bool, hidden: frozenset[int] = frozenset(), title: str = "Figures"
) -> ResultSheet:
    rows = [[ResultCell(f"row {number}"), ResultCell(number)] for number in range(1, 10)]
    return ResultSheet(
        "figures",
        "Figures",
        [*rows, [], [ResultCell("Figure"), ResultCell("Value")], [ResultCell("a"), ResultCell(1)]],
        header_row=11,
        table="tFigures",
        hidden=hidden if shown else hidden | UNDER,
        heights={7: 30.0},
        charts={SOMETIMES: shown},
        drawing_from=lambda: scratch(title, sometimes=shown),
    )


def put(
    data: bytes, *, shown: bool, hidden: frozenset[int] = frozenset(), title: str = "Figures"
) -> bytes:
    spliced = splice(data, [figures(shown=shown, hidden=hidden, title=title)])
    assert faults(spliced.data) == []
    return spliced.data


def first_run(*, shown: bool) -> bytes:
    return put(zipped(plain()), shown=shown)


def drawing_of(data: bytes, title: str = "Figures") -> str | None:
    parts = parts_of(data)
    found = [p for _, kind, p in related(sheets_of(parts)[title], parts) if kind == "drawing"]
    assert len(found) <= 1
    return found[0] if found else None


def charts(data: bytes, title: str = "Figures") -> dict[str, tuple[str, str]]:
    """First and last row of every chart, from 0, with the offset, by name."""
    part = drawing_of(data, title)
    if part is None:
        return {}
    document = Document(parts_of(data)[part])
    found = {}
    for name, frame in frames(document.root).items():
        words = document.raw(frame.anchor).decode()
        pairs = re.findall(r"<xdr:row>(\d+)</xdr:row>\s*<xdr:rowOff>(\d+)</xdr:rowOff>", words)
        start, end = ("+".join(pair) for pair in pairs)
        found[name] = (start, end)
    return found


def references(data: bytes, title: str = "Figures") -> dict[str, list[str]]:
    """What each chart refers to, by name."""
    parts, part = parts_of(data), drawing_of(data, title)
    assert part is not None
    targets = {name: target for name, _, target in related(part, parts)}
    return {
        name: re.findall(r"<c:f>(.*?)</c:f>", parts[targets[frame.identity]].decode())
        for name, frame in frames(Document(parts[part]).root).items()
    }


def hidden_rows(data: bytes) -> list[int]:
    page = openpyxl.load_workbook(io.BytesIO(data))["Figures"]
    assert isinstance(page, Worksheet)
    return [number for number, row in sorted(page.row_dimensions.items()) if row.hidden]


def changed(data: bytes, change: Callable[[str], str]) -> bytes:
    """The workbook after the person changed the drawing."""
    part = drawing_of(data)
    assert part is not None
    parts = parts_of(data)
    after = change(parts[part].decode())
    assert after != parts[part].decode()
    return zipped(parts | {part: after.encode()})


def without(name: str) -> Callable[[str], str]:
    """Deletes a chart from a drawing."""

    def deleted(drawing: str) -> str:
        anchors = re.findall(r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", drawing)
        return drawing.replace(next(a for a in anchors if f'name="{name}"' in a), "")

    return deleted


def test_hidden_rows__new_sheet_and_every_later_run() -> None:
    data = put(first_run(shown=True), shown=True, hidden=frozenset({3, 7}))
    assert hidden_rows(data) == [3, 7]
    parts = parts_of(data)
    xml = parts[sheets_of(parts)["Figures"]].decode()
    assert '<row r="7" ht="30" customHeight="1" hidden="1">' in xml
    data = put(data, shown=True, hidden=frozenset({7}))
    assert hidden_rows(data) == [7]
    assert put(data, shown=True, hidden=frozenset({7})) == data
    assert hidden_rows(put(zipped(plain()), shown=True, hidden=frozenset({3}))) == [3]


def test_hidden_rows__one_the_person_wrote_in_is_shown() -> None:
    book = openpyxl.load_workbook(io.BytesIO(first_run(shown=True)))
    book["Figures"]["F7"] = "ask the grocer"
    file = io.BytesIO()
    book.save(file)
    data = splice(file.getvalue(), [figures(shown=False)]).data
    assert hidden_rows(data) == [6, 8, 9]
    assert openpyxl.load_workbook(io.BytesIO(data))["Figures"]["F7"].value == "ask the grocer"


def test_charts__come_when_there_is_something_to_show_and_go_when_not() -> None:
    without_it = first_run(shown=False)
    assert charts(without_it) == {ALWAYS: FIRST}
    with_it = put(without_it, shown=True)
    assert charts(with_it) == {ALWAYS: FIRST, SOMETIMES: SECOND}
    assert references(with_it)[SOMETIMES] == ["Figures!$A$6:$A$9", "Figures!$B$6:$B$9"]
    assert put(with_it, shown=True) == with_it
    gone = put(with_it, shown=False)
    assert charts(gone) == {ALWAYS: FIRST}
    assert [name for name in parts_of(gone) if "/charts/" in name] == ["xl/charts/chart1.xml"]
    assert put(gone, shown=False) == gone
    assert charts(put(gone, shown=True)) == charts(first_run(shown=True))


def test_charts__openpyxl_reads_both_after_one_was_added() -> None:
    data = put(first_run(shown=False), shown=True)
    page = openpyxl.load_workbook(io.BytesIO(data))["Figures"]
    assert isinstance(page, Worksheet)
    assert len(page._charts) == 2  # type: ignore[attr-defined]


def test_charts__the_person_deleted_stay_away_even_after_a_run_with_nothing_to_show() -> None:
    data = changed(first_run(shown=True), without(SOMETIMES))
    for shown in (True, True, False, True):
        data = put(data, shown=shown)
        assert charts(data) == {ALWAYS: FIRST}


def test_charts__one_that_is_always_there_stays_away_too() -> None:
    data = changed(first_run(shown=False), without(ALWAYS))
    assert charts(put(data, shown=False)) == {}
    assert charts(put(data, shown=True)) == {SOMETIMES: SECOND}


def test_charts__come_on_a_sheet_that_has_lost_its_drawing() -> None:
    """A program that saves the sheet after its last chart was deleted writes no drawing."""
    parts = parts_of(first_run(shown=False))
    part = sheets_of(parts)["Figures"]
    parts[part] = re.sub(rb"<drawing [^>]*>", b"", parts[part])
    rels = part.replace("worksheets/", "worksheets/_rels/") + ".rels"
    parts[rels] = re.sub(rb"<Relationship [^>]*drawing1.xml[^>]*>", b"", parts[rels])
    for name in [one for one in parts if "/drawings/" in one or "/charts/" in one]:
        del parts[name]
    overrides = rb'<Override PartName="/xl/(drawings|charts)/[^>]*>'
    parts["[Content_Types].xml"] = re.sub(overrides, b"", parts["[Content_Types].xml"])
    data = put(zipped(parts), shown=True)
    assert charts(data) == {SOMETIMES: SECOND}
    assert put(data, shown=True) == data


def test_charts__moved_and_restyled_by_the_person_stay_so() -> None:
    def elsewhere(drawing: str) -> str:
        moved = drawing.replace("<xdr:row>5</xdr:row>", "<xdr:row>20</xdr:row>")
        return moved.replace("<xdr:row>8</xdr:row>", "<xdr:row>33</xdr:row>")

    parts = parts_of(changed(first_run(shown=True), elsewhere))
    red = parts["xl/charts/chart2.xml"].replace(b"<c:gapWidth", b"<!-- red --><c:gapWidth")
    data = zipped(parts | {"xl/charts/chart2.xml": red})
    again = put(data, shown=True)
    assert charts(again) == {ALWAYS: FIRST, SOMETIMES: ("20+0", "33+152400")}
    assert parts_of(again)["xl/charts/chart2.xml"] == red


def test_charts__of_the_persons_are_left_alone() -> None:
    def renamed(drawing: str) -> str:
        return drawing.replace(f'name="{SOMETIMES}"', 'name="Mine"')

    data = changed(first_run(shown=True), renamed)
    gone = put(data, shown=False)
    assert charts(gone) == {ALWAYS: FIRST, "Mine": SECOND}
    assert drawing_part(gone) == drawing_part(data)


def drawing_part(data: bytes) -> bytes:
    part = drawing_of(data)
    assert part is not None
    return parts_of(data)[part]


def with_a_copy(data: bytes) -> bytes:
    """The workbook after the person copied the chart that comes and goes, its name and all."""
    parts, drawing = parts_of(data), drawing_of(data)
    assert drawing is not None
    xml = parts[drawing].decode()
    anchor = re.findall(r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", xml)[-1]
    assert f'name="{SOMETIMES}"' in anchor
    copy = re.sub(r'r:id="\w+"', f'r:id="{COPY}"', anchor)
    copy = copy.replace("<xdr:row>5<", "<xdr:row>30<").replace("<xdr:row>8<", "<xdr:row>33<")
    parts[drawing] = xml.replace(anchor, anchor + copy).encode()
    kind = "application/vnd.openxmlformats-officedocument.drawingml.chart+xml"
    parts = with_part(
        parts,
        "xl/charts/chart9.xml",
        parts["xl/charts/chart2.xml"],
        kind,
        source=drawing,
        relation="chart",
    )
    return zipped(parts)


COPY = "rId3"
PLACE = "30+0", "33+152400"


def places(data: bytes) -> list[tuple[str, str]]:
    """Where the charts are that have the name of the one that comes and goes."""
    part = drawing_of(data)
    assert part is not None
    pattern = r"<xdr:row>(\d+)</xdr:row>\s*<xdr:rowOff>(\d+)</xdr:rowOff>"
    found = []
    for anchor in re.findall(
        r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", parts_of(data)[part].decode()
    ):
        if f'name="{SOMETIMES}"' in anchor:
            start, end = ("+".join(pair) for pair in re.findall(pattern, anchor))
            found.append((start, end))
    return found


def test_charts__a_copy_is_the_persons_and_stays() -> None:
    """Ours is the first of the two; without ours, the one there is the copy."""
    data = with_a_copy(first_run(shown=True))
    copied = parts_of(data)["xl/charts/chart9.xml"]
    assert places(data) == [SECOND, PLACE]
    assert put(data, shown=True) == data
    for _ in range(2):
        gone = put(data, shown=False)
        assert places(gone) == [PLACE]
        assert put(gone, shown=False) == gone
        data = put(gone, shown=True)
        assert places(data) == [SECOND, PLACE]
        assert put(data, shown=True) == data
        assert parts_of(data)["xl/charts/chart9.xml"] == copied


def test_charts__a_copy_is_not_put_where_ours_was() -> None:
    """Rows put in above while ours is away; the copy stays on the rows it was shifted to."""
    gone = put(with_a_copy(first_run(shown=True)), shown=False)
    parts = parts_of(rows_put_in(gone, at=1, count=2))
    drawing = drawing_of(gone)
    assert drawing is not None
    shifted = parts[drawing].replace(b"<xdr:row>32<", b"<xdr:row>7<")
    data = put(zipped(parts | {drawing: shifted}), shown=True)
    assert places(data) == [SECOND, ("7+0", "35+152400")]


def test_charts__the_person_deleted_stay_away_beside_a_copy() -> None:
    data = put(changed(first_run(shown=True), without(SOMETIMES)), shown=True)
    parts, drawing = parts_of(data), drawing_of(data)
    assert drawing is not None
    renamed = parts[drawing].replace(f'name="{ALWAYS}"'.encode(), f'name="{SOMETIMES}"'.encode())
    data = zipped(parts | {drawing: renamed})
    for shown in (True, False, False, True):
        data = put(data, shown=shown)
        assert places(data) == [FIRST]


def test_charts__a_program_that_forgets_their_names_makes_them_the_persons() -> None:
    book = openpyxl.load_workbook(io.BytesIO(first_run(shown=True)))
    file = io.BytesIO()
    book.save(file)
    data = put(file.getvalue(), shown=True)
    page = openpyxl.load_workbook(io.BytesIO(data))["Figures"]
    assert isinstance(page, Worksheet)
    assert len(page._charts) == 2  # type: ignore[attr-defined]


STYLE = "http://schemas.microsoft.com/office/2011/relationships/chartStyle"
SHAPES = "application/vnd.openxmlformats-officedocument.drawingml.chartshapes+xml"


def drawn_into(data: bytes) -> Parts:
    """The workbook after another program saved it with shapes drawn into both charts.

    Each chart has a style of its own and shapes; the second one's shapes hold two pictures, one of
    them also on the sheet's own drawing.
    """
    parts, drawing = parts_of(data), drawing_of(data)
    assert drawing is not None
    for number in (1, 2):
        chart, shapes = f"xl/charts/chart{number}.xml", f"xl/drawings/drawing{number + 1}.xml"
        style = f"xl/charts/style{number}.xml"
        parts = with_part(parts, style, b"<s/>", "text/xml", source=chart, relation=STYLE)
        parts = with_part(parts, shapes, b"<s/>", SHAPES, source=chart, relation="chartUserShapes")
    for picture in ("leek", "cream"):
        name = f"xl/media/{picture}.png"
        parts = with_part(parts, name, b"", "image/png", source=shapes, relation="image")
    both = relations(("rId9", "image", "/xl/media/leek.png"))
    listed = drawing.replace("drawings/", "drawings/_rels/") + ".rels"
    start = both.index(b"<Relationship ")
    parts[listed] = parts[listed].replace(b"</Relationships>", both[start:])
    return parts


def test_charts__go_with_the_parts_that_nothing_else_leads_to() -> None:
    """Style, shapes and a picture in them; not the picture that the sheet shows as well."""
    before = drawn_into(first_run(shown=True))
    after = parts_of(put(zipped(before), shown=False))
    assert sorted(before.keys() - after.keys()) == [
        "xl/charts/_rels/chart2.xml.rels",
        "xl/charts/chart2.xml",
        "xl/charts/style2.xml",
        "xl/drawings/_rels/drawing3.xml.rels",
        "xl/drawings/drawing3.xml",
        "xl/media/cream.png",
    ]
    for name in before.keys() - after.keys():
        assert f"/{name}".encode() not in after["[Content_Types].xml"]


def test_charts__come_back_as_they_were_at_first() -> None:
    """What was done to a chart is not kept for the time when it has nothing to show."""
    data = changed(first_run(shown=True), lambda xml: xml.replace("<xdr:row>5<", "<xdr:row>7<"))
    assert charts(data)[SOMETIMES] == ("7+0", SECOND[1])
    red = parts_of(data)["xl/charts/chart2.xml"].replace(b"<c:gapWidth", b"<!-- red --><c:gapWidth")
    data = zipped(parts_of(data) | {"xl/charts/chart2.xml": red})
    back = put(put(data, shown=False), shown=True)
    assert charts(back)[SOMETIMES] == SECOND
    assert (
        parts_of(back)["xl/charts/chart2.xml"]
        == parts_of(first_run(shown=True))["xl/charts/chart2.xml"]
    )


def test_charts__follow_a_tab_the_person_renamed() -> None:
    parts = parts_of(first_run(shown=False))
    renamed = {
        name: part.replace(b"Figures!", b"Sums!").replace(b'name="Figures"', b'name="Sums"')
        for name, part in parts.items()
    }
    data = put(zipped(renamed), shown=True, title="Sums")
    assert charts(data, "Sums") == {ALWAYS: FIRST, SOMETIMES: SECOND}
    assert references(data, "Sums")[SOMETIMES] == ["Sums!$A$6:$A$9", "Sums!$B$6:$B$9"]


def rows_put_in(data: bytes, *, at: int, count: int) -> bytes:
    """The workbook after the person put rows in above row ``at``: cells, table, charts move."""

    def later(found: re.Match[bytes]) -> bytes:
        row = int(found.group(2))
        return found.group(1) + str(row + (count if row >= at else 0)).encode()

    parts = parts_of(data)
    sheet = sheets_of(parts)["Figures"]
    for name, part in parts.items():
        if name == sheet:
            parts[name] = re.sub(rb'( r="[A-Z]*)(\d+)', later, part)
        elif "/charts/" in name:
            parts[name] = re.sub(rb"(\$[AB]\$)(\d+)", later, part)
        elif name.startswith("xl/tables/table") and b"tFigures" in part:
            parts[name] = re.sub(rb'((?:ref="|:)[A-Z]+)(\d+)', later, part)
        elif name.startswith("xl/drawings/drawing"):
            rows = re.sub(
                rb"(<xdr:row>)(\d+)",
                lambda m: m[1] + str(int(m[2]) + (count if int(m[2]) + 1 >= at else 0)).encode(),
                part,
            )
            parts[name] = rows
    return zipped(parts)


@pytest.mark.parametrize(("at", "expected"), [(1, ("2+0", "5+152400")), (3, ("0+0", "5+152400"))])
def test_charts__show_their_cells_again_after_rows_were_put_in(
    at: int, expected: tuple[str, str]
) -> None:
    """The block is written from A1 on at every run; two rows above row 1, or among the bars."""
    first = first_run(shown=True)
    data = rows_put_in(first, at=at, count=2)
    assert charts(data)[ALWAYS] == expected
    assert references(data) != references(first)
    again = put(data, shown=True)
    assert references(again) == references(first)
    assert charts(again) == {ALWAYS: FIRST, SOMETIMES: SECOND}


ONES, TENS = ["Figures!$A$1:$A$4", "Figures!$B$1:$B$4"], ["Figures!$A$6:$A$9", "Figures!$B$6:$B$9"]
"""What the two charts refer to."""


@pytest.mark.parametrize(
    ("at", "there", "own"),
    [
        pytest.param(1, "Figures!$B$3:$B$6", "Figures!$C$3:$C$6", id="another column"),
        pytest.param(1, "Figures!$B$3:$B$6", "Notes!$B$50:$B$90", id="another sheet"),
        pytest.param(1, "Figures!$B$3:$B$6", "Notes!$B$3:$B$6", id="the same rows of another"),
        pytest.param(1, "Figures!$B$3:$B$6", "Figures!$B$3:$B$4", id="narrowed from below"),
        pytest.param(1, "Figures!$B$3:$B$6", "Figures!$B$5:$B$6", id="narrowed from above"),
        pytest.param(1, "Figures!$B$3:$B$6", "Figures!$B$1:$B$6", id="widened"),
        pytest.param(3, "Figures!$B$1:$B$6", "Figures!$B$1:$B$5", id="narrowed, rows among them"),
        pytest.param(3, "Figures!$B$1:$B$6", "Figures!$B$2:$B$6", id="from the second bar"),
    ],
)
def test_charts__whose_series_the_person_changed_keep_them(at: int, there: str, own: str) -> None:
    """Only what stands where rows put in shifted it is put back: here the rest of the chart."""
    parts = parts_of(rows_put_in(first_run(shown=True), at=at, count=2))
    mine = parts["xl/charts/chart1.xml"].replace(there.encode(), own.encode())
    assert mine != parts["xl/charts/chart1.xml"]
    again = put(zipped(parts | {"xl/charts/chart1.xml": mine}), shown=True)
    assert references(again) == {ALWAYS: [ONES[0], own], SOMETIMES: TENS}


def test_charts__with_a_series_more_or_less_show_the_rest_of_their_cells_again() -> None:
    parts = parts_of(rows_put_in(first_run(shown=True), at=1, count=2))
    chart = parts["xl/charts/chart1.xml"]
    (series,) = re.findall(rb"<c:ser>.*?</c:ser>", chart)
    more = chart.replace(series, series + series.replace(b"$B$", b"$F$"))
    again = put(zipped(parts | {"xl/charts/chart1.xml": more}), shown=True)
    added = ["Figures!$A$1:$A$4", "Figures!$F$3:$F$6"]
    assert references(again) == {ALWAYS: [*ONES, *added], SOMETIMES: TENS}


def test_charts__of_a_tab_with_a_quoted_name_show_their_cells_again() -> None:
    """Sheets are one whether or not their name stands in quotation marks."""
    first = first_run(shown=True)
    parts = parts_of(rows_put_in(first, at=1, count=2))
    for part in ("xl/charts/chart1.xml", "xl/charts/chart2.xml"):
        parts[part] = parts[part].replace(b"Figures!", b"'Figures'!")
    assert references(put(zipped(parts), shown=True)) == references(first)


def test_charts__a_sheet_without_a_place_to_take_them_from_is_a_fault_of_the_program() -> None:
    sheet = figures(shown=True)
    first = splice(zipped(plain()), [figures(shown=False)]).data
    bare = ResultSheet(sheet.mark, sheet.title, sheet.rows, charts={SOMETIMES: True})
    with pytest.raises(ValueError, match="nothing to take the charts of 'figures' from"):
        splice(first, [bare])


def test_charts__one_that_is_not_in_the_scratch_workbook_is_a_fault_of_the_program() -> None:
    first = first_run(shown=False)
    sheet = ResultSheet(
        "figures",
        "Figures",
        [],
        charts={"Another": True},
        drawing_from=lambda: scratch("Figures", sometimes=False),
    )
    with pytest.raises(ValueError, match="the scratch workbook has no chart 'Another'"):
        splice(first, [sheet])


def test_mark__says_what_became_of_the_charts() -> None:
    mark = Mark("summary", 12, 2, columns=("AAA",), charts="d-x")
    assert read_mark(mark.formula()) == mark
    before = Mark("summary", 12, 2, columns=("AAA",))
    assert read_mark(before.formula()) == before
    assert before.formula().count(";") == 5
