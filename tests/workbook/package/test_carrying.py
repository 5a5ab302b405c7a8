"""A sheet carried into another workbook shows the same there."""

from __future__ import annotations

import io
from datetime import date

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.worksheet import Worksheet
from packages import STYLES_TYPE, parts_of, plain, zipped
from soundness import faults

from costing.workbook.package.carrying import Carrier
from costing.workbook.package.gate import open_gate
from costing.workbook.package.stylesheet import Stylesheet
from costing.workbook.package.workbookpart import WorkbookPart


def scratch() -> bytes:
    """Texts that are shared, one with blanks around it, formats of cells, rows and columns."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    page, other = book.add_worksheet("Lists"), book.add_worksheet("Other")
    bold, money = book.add_format({"bold": True}), book.add_format({"num_format": '0.00 "EUR"'})
    day = book.add_format({"num_format": "yyyy-mm-dd", "bg_color": "#DDE6ED"})
    page.set_column("C:C", 12, money)
    page.set_row(1, 30, bold)
    page.write("A1", "  two & <more>  ", bold)
    page.write("A2", "leek")
    page.write("A3", "leek", day)
    page.write("B2", 1.5, money)
    page.write_datetime("B3", date(2031, 5, 10), day)
    page.write("B4", True)
    page.write_formula("C2", '=A2&" x"', None, "leek x")
    page.write_blank("C3", None, day)
    page.add_table("E1:F3", {"name": "tLists", "columns": [{"header": "Shop"}, {"header": "Day"}]})
    page.write_comment("A2", "from the market")
    page.write_url("A5", "https://cooking.example/leek", string="leek")
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "=Lists!$B$2:$B$3"})
    page.insert_chart("H2", chart)
    other.activate()
    book.close()
    return file.getvalue()


def carried() -> bytes:
    """A workbook with a sheet of its own, and that sheet behind it."""
    package = open_gate(zipped(plain()))
    book = WorkbookPart(package)
    styles = Stylesheet(package.read("xl/styles.xml"))

    def new_part(folder: str, stem: str, ending: str) -> str:
        return f"xl/{folder}/{stem}9.{ending}"

    carrier = Carrier(scratch(), new_part=new_part, types=book.types)
    part = carrier.sheet("Lists", styles)
    assert [name.rpartition("/")[2] for name in carrier.tables()] == ["table9.xml"]
    book.add_tab("Lists", part)
    return package.rewritten(
        book.changed_parts() | carrier.parts | {"xl/styles.xml": styles.result()}
    ).data


def page_of(data: bytes) -> Worksheet:
    page = openpyxl.load_workbook(io.BytesIO(data))["Lists"]
    assert isinstance(page, Worksheet)
    return page


def look(page: Worksheet) -> dict[str, tuple[object, ...]]:
    """What each cell holds and how it looks."""
    return {
        cell.coordinate: (
            *(cell.value, cell.number_format, cell.font.b, cell.fill.fgColor.rgb),
            *(cell.comment and cell.comment.text, cell.hyperlink and cell.hyperlink.target),
        )
        for row in page.iter_rows()
        for cell in row
    }


def test_sheet__cells_rows_and_columns_show_what_they_showed() -> None:
    data = carried()
    assert faults(data) == []
    there, here = page_of(scratch()), page_of(data)
    assert look(here) == look(there)
    assert here["A1"].value == "  two & <more>  "
    for column in ("C", "A"):
        both = [one.column_dimensions[column].number_format for one in (here, there)]
        assert both[0] == both[1]
    assert here.row_dimensions[2].font.b
    assert {name: here.tables[name].ref for name in here.tables} == {"tLists": "E1:F3"}
    assert len(here._charts) == 1  # type: ignore[attr-defined]
    assert not here.sheet_view.tabSelected


def test_sheet__every_part_is_carried_once_with_its_type() -> None:
    parts = parts_of(carried())
    ours = [name for name in parts if "9." in name and "_rels" not in name]
    assert len(ours) == 6  # sheet, table, notes, their drawing, drawing, chart
    kinds = parts["[Content_Types].xml"].decode()
    assert [kinds.count(f'PartName="/{name}"') for name in ours] == [1] * len(ours)
    assert kinds.count(STYLES_TYPE) == 1


@pytest.mark.parametrize("title", ["lists", "Nothing"])
def test_sheet__that_is_not_there_is_a_fault_of_the_program(title: str) -> None:
    package = open_gate(zipped(plain()))
    book = WorkbookPart(package)
    carrier = Carrier(scratch(), new_part=lambda *_: "xl/x.xml", types=book.types)
    with pytest.raises(ValueError, match=f"no sheet '{title}'"):
        carrier.sheet(title, Stylesheet(package.read("xl/styles.xml")))
    with pytest.raises(ValueError, match="no drawing on a sheet 'Other'"):
        carrier.drawing("Other")
