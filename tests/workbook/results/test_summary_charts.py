"""The charts of Summary over several runs, with saves by LibreOffice in between.

The workbook is the demo with one uncertain shot; between runs cells of the plan are typed over.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

import pytest
from live_workbooks import MAKERS, run
from office import Office
from openpyxl.worksheet.worksheet import Worksheet
from packages import parts_of, related, sheets_of, zipped
from recalculation import looked_at, without_print_titles
from soundness import faults

from costing.workbook.demo import uncertain_rows
from costing.workbook.results.panels import BALANCE, BY_PURPOSE, TIMES_TITLE
from costing.workbook.results.panels import CAUTION_TITLE as CAUTION
from costing.workbook.results.write import new_workbook_bytes

ALWAYS = {BY_PURPOSE, BALANCE}
Typed = Mapping[str, str | int | None]


@cache
def plan() -> bytes:
    return new_workbook_bytes(all_sheets=True, rows=uncertain_rows())


def cells_of_plan(data: bytes) -> dict[str, str]:
    """Column letter of each heading of Shoot plan, and the row of shot P5 under ``row``."""
    page = looked_at(data)["Shoot plan"]
    assert isinstance(page, Worksheet)
    found = {
        str(c.value): c.column_letter for row in page.iter_rows(max_row=5) for c in row if c.value
    }
    row = next(cell.row for cell in page[found["Shot"]] if cell.value == "P5")
    return found | {"row": str(row)}


def typed(data: bytes, sheet: str, cells: Typed) -> bytes:
    """The workbook after cells were typed over, everything else byte for byte."""
    parts = parts_of(data)
    part = sheets_of(parts)[sheet]
    xml = parts[part].decode()
    for cell, value in cells.items():
        found = re.search(rf'<c r="{cell}"([^>]*?)(?:/>|>.*?</c>)', xml)
        assert found is not None, cell
        attributes = re.sub(r' t="[a-zA-Z]+"', "", found.group(1))
        if value is None:
            new = f'<c r="{cell}"{attributes}/>'
        elif isinstance(value, str):
            new = f'<c r="{cell}"{attributes} t="inlineStr"><is><t>{value}</t></is></c>'
        else:
            new = f'<c r="{cell}"{attributes}><v>{value}</v></c>'
        xml = xml.replace(found.group(), new)
    return zipped(parts | {part: xml.encode()})


@cache
def with_times(data: bytes, *, uncertain: bool) -> bytes:
    """The workbook after a run in which the shot's number of times is uncertain, or is not."""
    where = cells_of_plan(data)
    fewest, most = (f"{where[heading]}{where['row']}" for heading in ("Fewest", "Most"))
    numbers: Typed = {fewest: 1, most: 4} if uncertain else {fewest: None, most: None}
    after, _ = run(typed(data, "Shoot plan", numbers))
    return after


def with_purposes(data: bytes, purposes: list[str]) -> bytes:
    """The workbook after a run in which the seven shots have other purposes, and the same steps."""
    where = cells_of_plan(data)
    first = int(where["row"]) - 4
    cells = {f"{where['Purpose']}{first + n}": purpose for n, purpose in enumerate(purposes)}
    cells |= {f"{where['From']}{first + n}": "nothing" for n in range(len(purposes))}
    after, _ = run(typed(data, "Shoot plan", cells))
    return after


def saved_by(office: Office, data: bytes) -> bytes:
    """The workbook, all of it calculated, after LibreOffice saved it."""
    return office.edited(without_print_titles(data), calculated=True)


def charts(data: bytes) -> dict[str, tuple[int, int, list[str]]]:
    """First and last row under each chart, from 1, and what it refers to, by name."""
    parts = parts_of(data)
    sheet = sheets_of(parts)["Summary"]
    (drawing,) = [part for _, kind, part in related(sheet, parts) if kind == "drawing"]
    targets = {name: part for name, _, part in related(drawing, parts)}
    found = {}
    pattern = r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>"
    for anchor in re.findall(pattern, parts[drawing].decode(), re.DOTALL):
        first, last = (int(row) + 1 for row in re.findall(r"<xdr:row>(\d+)<", anchor))
        name, identity = (re.findall(rf'{word}="(.*?)"', anchor)[0] for word in (" name", "r:id"))
        formulas = re.findall(r"<c:f>(.*?)</c:f>", parts[targets[identity]].decode())
        found[name] = (first, last, formulas)
    return found


def bars(data: bytes, first: int, last: int) -> list[tuple[object, object]]:
    """Name and number of the rows that are seen, as a chart over them shows them."""
    page = looked_at(data, values=True)["Summary"]
    assert isinstance(page, Worksheet)
    return [
        (page.cell(row, 1).value, page.cell(row, 2).value)
        for row in range(first, last + 1)
        if not page.row_dimensions[row].hidden
    ]


def used(data: bytes) -> float:
    """The used value, as the chart beside shows it."""
    ((_, value),) = [bar for bar in bars(data, 17, 19) if bar[0] == "Used"]
    return float(str(value))


CAUTION_CELLS = [
    *("Summary!$A$51", "Summary!$B$53:$B$69", "Summary!$C$53:$C$69"),
    *("Summary!$A$52", "Summary!$B$52", "Summary!$C$52"),
]


def heights(data: bytes) -> float:
    """Height of the rows under the chart of caution that are seen. [points]"""
    page = looked_at(data)["Summary"]
    assert isinstance(page, Worksheet)
    rows = [page.row_dimensions[row] for row in range(51, 70)]
    return sum(row.height or 15 for row in rows if not row.hidden)


def test_charts__are_drawn_once_and_shrink_with_their_rows() -> None:
    """Two rows of 0.75 points while nothing is uncertain, then two and 17 of 12 points."""
    certain = with_times(plan(), uncertain=False)
    drawn = charts(certain)
    assert set(drawn) == {*ALWAYS, TIMES_TITLE, CAUTION}
    assert drawn[CAUTION] == (51, 69, CAUTION_CELLS)
    assert heights(certain) == 1.5
    uncertain = with_times(certain, uncertain=True)
    assert charts(uncertain) == drawn == charts(with_times(plan(), uncertain=True))
    assert heights(uncertain) == 19 * 12
    again = with_times(uncertain, uncertain=False)
    assert charts(again) == drawn
    assert heights(again) == 1.5
    for data in (certain, uncertain, again):
        assert faults(data) == []


def test_charts__stay_where_they_are_while_libreoffice_saves(office: Office) -> None:
    """A chart whose rows have shrunk keeps what it refers to, and grows again with them.

    LibreOffice begins it at the first row that is not hidden, here one lower.
    """
    data = with_times(plan(), uncertain=False)
    for uncertain in (True, False, True):
        data = with_times(saved_by(office, data), uncertain=uncertain)
        found = charts(data)
        assert set(found) == {*ALWAYS, TIMES_TITLE, CAUTION}
        first, last, cells = found[CAUTION]
        assert cells == CAUTION_CELLS
        assert first in (51, 52)
        assert last in (69, 70)
        assert found[BY_PURPOSE] == (9, 30, ["Summary!$A$10:$A$15", "Summary!$B$10:$B$15"])
        assert found[TIMES_TITLE][:2] == (33, 48)
        assert heights(data) == (19 * 12 if uncertain else 1.5)


def test_charts__a_bar_for_each_purpose_after_libreoffice_saved(office: Office) -> None:
    """Seven purposes, then one: as many bars, and the chart as high as before."""
    data = with_times(plan(), uncertain=False)
    assert [name for name, _ in bars(data, 10, 15)] == [
        *("retake", "cook-through", "hero", "reset", "swap"),
    ]
    height = len(bars(data, 9, 30))
    many = ["hero", "swap", "bite", "retake", "reset", "test", "close-up"]
    data = with_purposes(saved_by(office, data), many)
    names = [name for name, _ in bars(data, 10, 15)]
    assert (len(names), names[-1]) == (6, "all others")
    assert sum(float(str(number)) for _, number in bars(data, 10, 15)) == pytest.approx(used(data))
    data = with_purposes(saved_by(office, data), ["hero"] * 7)
    assert bars(data, 10, 15) == [("hero", used(data))]
    assert charts(data)[BY_PURPOSE] == (9, 30, ["Summary!$A$10:$A$15", "Summary!$B$10:$B$15"])
    assert len(bars(data, 9, 30)) == height == 16


def test_charts__libreoffice_reads_no_clutter_in_a_workbook_of_another_program(
    office: Office,
) -> None:
    """It looks in docProps/app.xml for the mark of Excel 2007, which openpyxl does not write.

    What it read it writes: labels with names of series and categories would be on here.
    """
    data, _ = run(MAKERS["brunch"]())
    parts = parts_of(saved_by(office, data))
    found = [part.decode() for name, part in parts.items() if name.startswith("xl/charts/chart")]
    assert len(found) == 4
    for label in ("showLegendKey", "showCatName", "showPercent"):
        assert not any(f'<c:{label} val="1"/>' in chart for chart in found)
    named = [chart for chart in found if '<c:showSerName val="1"/>' in chart]
    assert len(named) == 1
    assert "<c:scatterChart>" in named[0]
    assert all('<c:roundedCorners val="0"/>' in chart for chart in found)


def test_charts__no_log_no_rows_of_times_out() -> None:
    """But that of the names of the series and one of blank cells, both of almost no height."""
    data, _ = run(MAKERS["brunch"]())
    assert bars(data, 31, 48) == [("Container: status (rule)", " "), (None, None)]


def test_charts__what_they_show_stands_in_the_cells() -> None:
    """The bowl was out from 10:05 to 14:50, 4 h 45 min; 2 h are allowed."""
    data = with_times(plan(), uncertain=True)
    page = looked_at(data, values=True)["Summary"]
    assert isinstance(page, Worksheet)
    assert page["A34"].value == "bean puree bowl: discard (US-HOME-2H)"
    out, limit = page["B34"], page["C34"]
    assert [24 * cell.value.total_seconds() / 86400 for cell in (out, limit)] == [4.75, 2]
    assert out.number_format == limit.number_format == "[h]:mm"
    points = [[cell.value for cell in row[:3]] for row in page["A52:C55"]]
    assert points == [
        ["planned", 4.39, 39.68],
        [None, 0, 40.72],
        [None, 4.39, 39.68],
        [None, 33.03, 38.64],
    ]


@pytest.mark.watched("which of its points a chart lets stand out is a choice of ours")
def test_charts__the_planned_point_is_the_large_one_with_its_name() -> None:
    parts = parts_of(with_times(plan(), uncertain=True))
    (chart,) = [
        part.decode()
        for name, part in parts.items()
        if name.startswith("xl/charts/chart") and b"<c:scatterChart>" in part
    ]
    markers = re.findall(r'<c:symbol val="(\w+)"/><c:size val="(\d+)"/>', chart)
    assert markers == [("circle", "7"), ("diamond", "13")]
    (label,) = re.findall("<c:dLbls>.*?</c:dLbls>", chart, re.DOTALL)
    assert ' b="1"' in label
    assert '<c:showSerName val="1"/>' in label
    assert '<c:showVal val="1"/>' in label
    assert '<c:min val="0"/>' in chart


@pytest.mark.watched("that charts stand on white without a frame is a look of ours")
def test_charts__stand_on_the_sheet_without_a_frame() -> None:
    parts = parts_of(with_times(plan(), uncertain=True))
    charts = [text.decode() for name, text in parts.items() if name.startswith("xl/charts/chart")]
    assert len(charts) == 4
    for chart in charts:
        # what is around all that is drawn stands last, behind the drawing itself
        _, around = chart.split("</c:chart>")
        assert '<a:solidFill><a:srgbClr val="FFFFFF"/></a:solidFill>' in around
        assert "<a:ln><a:noFill/></a:ln>" in around
