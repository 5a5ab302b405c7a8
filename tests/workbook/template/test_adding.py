"""Rows and sheets put into workbooks of all kinds: what stands there stays, byte for byte."""

from __future__ import annotations

import io
import re
import warnings
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.table import Table
from packages import (
    bytes_of,
    foreign_parts_changed,
    parts_of,
    plain,
    sheet,
    sheets_of,
    zipped,
)
from soundness import faults
from zoo import ZOO

from costing.findings import Finding
from costing.workbook.package.cellxml import NewCell
from costing.workbook.package.refusals import Refused
from costing.workbook.template import template_bytes
from costing.workbook.template.adding import (
    RowsBelow,
    add_to_workbook,
    cell_of,
    with_additions,
)


def cells(data: bytes) -> dict[tuple[str, str], Any]:
    """What every cell of every sheet holds."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what openpyxl drops
        book = openpyxl.load_workbook(io.BytesIO(data), keep_links=False)
    return {
        (page.title, cell.coordinate): cell.value
        for page in book.worksheets
        for row in page.iter_rows()
        for cell in row
        if cell.value is not None
    }


def below(data: bytes, *rows: dict[int, NewCell]) -> RowsBelow:
    """Rows for the first sheet, whose lowest row is taken for its headings."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = openpyxl.load_workbook(io.BytesIO(data), keep_links=False)
    title = next(iter(sheets_of(parts_of(data))))
    bottom = book.worksheets[0].max_row if book.worksheets else 2
    return RowsBelow(title, bottom, frozenset((1, 2, 3)), rows)


ROWS = (
    {1: NewCell("soup & <salt>"), 2: NewCell("=1+1"), 3: NewCell(2.5)},
    {2: NewCell("1 1/2"), 3: NewCell(3)},
)


@pytest.mark.parametrize("name", sorted(ZOO))
def test_additions__nothing_else_in_a_workbook_of_any_kind_changes(name: str) -> None:
    """Law: all cells there were are there, every other part is the same bytes, ours are added."""
    before = ZOO[name]()
    rows = below(before, *ROWS)
    after, filled = with_additions(before, [rows], {"Holding": ()})
    part = sheets_of(parts_of(before))[rows.title]
    own = [part, "Book/Book.xml", "Book/_rels/Book.xml.rels", "Book/looks.xml"]
    assert foreign_parts_changed(before, after, but=own) == []
    assert faults(after, titles={"Holding"}, before=parts_of(before)) == []
    if name == "other_folders":  # where openpyxl does not look
        assert b"soup &amp; &lt;salt&gt;" in parts_of(after)[part]
        return
    old, new = cells(before), cells(after)
    assert {at: new.get(at) for at in old} == old
    first, last = filled[rows.title]
    assert last == first + 1
    added = {at: value for at, value in new.items() if at not in old and at[0] != "Holding"}
    assert added == {
        (rows.title, f"A{first}"): "soup & <salt>",
        (rows.title, f"B{first}"): "=1+1",
        (rows.title, f"C{first}"): 2.5,
        (rows.title, f"B{last}"): "1 1/2",
        (rows.title, f"C{last}"): 3,
    }
    assert new["Holding", "A3"] == "Container"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        page = openpyxl.load_workbook(io.BytesIO(after), keep_links=False)["Holding"]
    assert page["A3"].comment is not None
    assert page["A3"].font.b
    assert page.print_title_rows == "$3:$3"
    assert "HoldingRows" in " ".join(page.tables)


def test_additions__a_text_that_looks_like_a_formula_stays_text() -> None:
    after, filled = with_additions(zipped(plain()), [below(zipped(plain()), *ROWS)], {})
    page = openpyxl.load_workbook(io.BytesIO(after))["Recipes"]
    cell = page.cell(filled["Recipes"][0], 2)
    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=1+1", "s", True)


def spread(rows: str, *, after: str = "") -> bytes:
    """A workbook whose sheet Recipes has these rows."""
    parts = plain()
    parts["xl/worksheets/sheet1.xml"] = sheet(rows, after=after)
    return zipped(parts)


HEAD = '<row r="1"><c r="A1" t="inlineStr"><is><t>Dish</t></is></c></row>'


def test_additions__blank_rows_give_their_format_and_sparse_ones_stay_in_order() -> None:
    """Row 3 is missing, rows 9 and 10 are there and blank, beyond what is added."""
    data = spread(
        HEAD + '<row r="2" ht="20"><c r="A2" s="1"/><c r="D2" s="1"/></row>'
        '<row r="9"><c r="A9" s="1"/></row><row r="10"><c r="A10" s="1"/></row>'
    )
    given = RowsBelow("Recipes", 1, frozenset((1,)), [{1: NewCell("a")}, {1: NewCell("b")}])
    after, filled = with_additions(data, [given], {})
    assert filled == {"Recipes": (2, 3)}
    xml = parts_of(after)["xl/worksheets/sheet1.xml"].decode()
    assert (
        '<row r="2" ht="20"><c r="A2" s="1" t="inlineStr"><is><t>a</t></is></c><c r="D2" s="1"/>'
        '</row><row r="3"><c r="A3" t="inlineStr"><is><t>b</t></is></c></row><row r="9">'
    ) in xml


@pytest.mark.parametrize(("there", "first"), [((2, 3), 4), ((2, 3, 6), 4), ((2,), 3)])
def test_additions__the_last_row_is_the_last_of_those_that_are_read(
    there: tuple[int, ...], first: int
) -> None:
    """A table ends in row 3; what stands below it is somebody's own."""
    data = spread(HEAD + "".join(STYLED.format(row) for row in there))
    given = RowsBelow("Recipes", 1, frozenset((1,)), [{1: NewCell("a")}], bottom=3)
    _, filled = with_additions(data, [given], {})
    assert filled == {"Recipes": (first, first)}


def refused(data: bytes, count: int) -> Finding:
    rows = [{1: NewCell(str(number))} for number in range(count)]
    with pytest.raises(Refused) as caught:
        with_additions(data, [RowsBelow("Recipes", 1, frozenset((1,)), rows)], {})
    return caught.value.finding


def test_additions__what_stands_below_is_never_run_into() -> None:
    data = spread(HEAD + '<row r="4"><c r="F4"><v>7</v></c></row>')
    assert str(refused(data, 3)) == (
        "Recipes row 4: found 2 rows free above what is here, where 3 are to be added, "
        "expected 3 blank rows below the last one that is filled in [no room below]\n"
        "  Insert 1 more row above this one and run again; nothing was changed."
    )


def test_additions__the_first_row_below_may_be_taken_too() -> None:
    """By something beside the columns, or by a merge that reaches into it from above."""
    said = (
        "Recipes row 2: found 0 rows free above what is here, where 1 is to be added, expected 1 "
        "blank row below the last one that is filled in [no room below]\n"
        "  Insert 1 more row above this one and run again; nothing was changed."
    )
    assert str(refused(spread(HEAD + '<row r="2"><c r="F2"><v>7</v></c></row>'), 1)) == said
    merged = '<mergeCells count="1"><mergeCell ref="C1:C2"/></mergeCells>'
    assert str(refused(spread(HEAD, after=merged), 1)) == said


@pytest.mark.parametrize("table", ["A1:B3", "D5:E6"], ids=["above", "beside"])
def test_additions__another_table_of_the_sheet_stays_as_it_is(table: str) -> None:
    """The headings stand in row 5, below one table of their columns or beside one of their row."""
    book = openpyxl.Workbook()
    page = book.worksheets[0]
    page.title = "Recipes"
    page["A5"], page["B5"] = "Dish", "Note"
    (first, second), *_ = page[table]
    first.value, second.value = "mine", "too"
    page.add_table(Table(displayName="Mine", ref=table))
    given = RowsBelow("Recipes", 5, frozenset((1, 2)), [{1: NewCell(str(n))} for n in range(3)])
    after, filled = with_additions(bytes_of(book), [given], {})
    assert filled == {"Recipes": (6, 8)}
    tables = openpyxl.load_workbook(io.BytesIO(after))["Recipes"].tables.values()
    assert [one.ref for one in tables] == [table]


def test_additions__the_filter_of_a_table_reaches_as_far_as_the_table() -> None:
    book = openpyxl.Workbook()
    page = book.worksheets[0]
    page.title = "Recipes"
    page.append(["Dish", "Note"])
    page.append(["soup", "hot"])
    page.add_table(Table(displayName="Mine", ref="A1:B2", autoFilter=AutoFilter(ref="A1:B2")))
    given = RowsBelow("Recipes", 1, frozenset((1, 2)), [{1: NewCell("tart")}])
    after, _ = with_additions(bytes_of(book), [given], {})
    (table,) = openpyxl.load_workbook(io.BytesIO(after))["Recipes"].tables.values()
    assert (table.ref, table.autoFilter.ref) == ("A1:B3", "A1:B3")


@pytest.mark.parametrize(
    ("rows", "after"),
    [
        (HEAD, '<mergeCells count="1"><mergeCell ref="C3:D3"/></mergeCells>'),
        (HEAD + '<row r="3" hidden="1"/>', ""),
    ],
    ids=["merged", "hidden"],
)
def test_additions__merged_and_hidden_rows_are_no_room(rows: str, after: str) -> None:
    finding = refused(spread(rows, after=after), 2)
    assert (finding.code, finding.place.row) == ("no room below", 3)


@pytest.mark.parametrize("ref", ["A1:C1", "A1:C2", "A:A"], ids=["title", "headings", "column"])
def test_additions__what_is_merged_above_leaves_room_below(ref: str) -> None:
    """A title merged over the headings; a merge of a whole column means nothing to any program."""
    merged = f'<mergeCells count="1"><mergeCell ref="{ref}"/></mergeCells>'
    data = spread(HEAD + HEAD.replace("1", "2"), after=merged)
    given = RowsBelow("Recipes", 2, frozenset((1,)), [{1: NewCell("a")}])
    _, filled = with_additions(data, [given], {})
    assert filled == {"Recipes": (3, 3)}


def test_additions__a_table_grows_with_its_rows_but_not_over_its_totals() -> None:
    """Headings in row 3, twenty rows to fill in down to 23: 25 rows reach row 28."""
    data = template_bytes(only=["Shops"])
    rows = [{1: NewCell(f"shop {number}")} for number in range(25)]
    given = RowsBelow("Shops", 3, frozenset((1, 2, 3, 4)), rows, bottom=23)
    after, filled = with_additions(data, [given], {})
    assert filled == {"Shops": (4, 28)}
    page = openpyxl.load_workbook(io.BytesIO(after))["Shops"]
    (table,) = page.tables.values()
    assert table.ref == "A3:D28"
    assert faults(after) == []


@pytest.mark.parametrize(("rows", "fits"), [(20, True), (21, False)])
def test_additions__a_row_of_totals_is_never_written_over(rows: int, *, fits: bool) -> None:
    """Headings in row 3, room for twenty rows down to 23, and totals of the person's in row 24."""
    book = openpyxl.load_workbook(io.BytesIO(template_bytes(only=["Shops"])))
    (table,) = book["Shops"].tables.values()
    table.ref, table.totalsRowCount = "A3:D24", 1
    table.tableColumns[1].totalsRowFunction = "sum"
    book["Shops"]["B24"] = "=SUBTOTAL(109,ShopRows[Visit cost])"
    added = [{1: NewCell(f"shop {number}")} for number in range(rows)]
    given = RowsBelow("Shops", 3, frozenset((1, 2, 3, 4)), added, bottom=23)
    if not fits:
        with pytest.raises(Refused) as caught:
            with_additions(bytes_of(book), [given], {})
        assert caught.value.finding.code == "no room below"
        return
    after, filled = with_additions(bytes_of(book), [given], {})
    assert filled == {"Shops": (4, 23)}
    page = openpyxl.load_workbook(io.BytesIO(after))["Shops"]
    assert page["B24"].value == "=SUBTOTAL(109,ShopRows[Visit cost])"
    assert [one.ref for one in page.tables.values()] == ["A3:D24"]


STYLED = '<row r="{0}"><c r="A{0}" s="1" t="inlineStr"><is><t>x</t></is></c></row>'


def test_additions__a_row_looks_as_the_last_filled_in_but_never_as_the_headings() -> None:
    """A heading's format says that it is one; a filled-in row's how such rows look."""
    for there, expected in (
        (STYLED.format(1), '<row r="2"><c r="A2" t="inlineStr">'),
        (HEAD + STYLED.format(2), '<row r="3"><c r="A3" s="1" t="inlineStr">'),
    ):
        given = RowsBelow("Recipes", 1, frozenset((1,)), [{1: NewCell("a")}])
        after, _ = with_additions(spread(there), [given], {})
        xml = parts_of(after)["xl/worksheets/sheet1.xml"].decode()
        assert f"{expected}<is><t>a</t></is></c></row></sheetData>" in xml


def test_additions__rows_of_a_recipe_are_as_high_as_their_notes_and_look_as_those_above(
    tmp_path: Path,
) -> None:
    """A second and a third recipe: in the table's blank rows and in rows below them.

    By hand: the Note is 40 wide, 36 of which are used, so that 120 signs in words of five are four
    lines, 18 + 3 x 15 points; a row of 80 points that somebody made stays.
    """
    path = tmp_path / "shoot.xlsx"
    path.write_bytes(template_bytes(only=["Recipes"]))
    book = openpyxl.load_workbook(path)
    book["Recipes"].row_dimensions[6].height = 80
    book.save(path)
    dish = {"Dish": "soup", "Step": 1, "Ingredient": "leek", "Note": "four " * 24}
    bare = {"Dish": "soup", "Step": 2}
    for _ in range(2):
        add_to_workbook(path, {"Recipes": [*[dish] * 11, bare]})
    page = openpyxl.load_workbook(path)["Recipes"]
    heights = {row: page.row_dimensions[row].height for row in range(4, 28)}
    expected = dict.fromkeys(range(4, 28), 63) | {6: 80, 15: 18, 27: 18}
    assert heights == expected
    looks = {
        (cell.alignment.indent, cell.border.bottom.style) for row in page["A4:L27"] for cell in row
    }
    assert looks == {(1, "thin")}


def test_additions__a_row_whose_height_a_program_finds_gets_none() -> None:
    for said, expected in (("", '<row r="3">'), (' ht="12"', '<row r="3" ht="12">')):
        blank = f'<row r="3"{said}/>' if said else ""
        given = RowsBelow("Recipes", 1, frozenset((1,)), [{1: NewCell("a")}], heights=(48,))
        after, _ = with_additions(spread(HEAD + STYLED.format(2) + blank), [given], {})
        assert expected in parts_of(after)["xl/worksheets/sheet1.xml"].decode()


@pytest.mark.parametrize(
    ("before", "reach"), [("A1:B2", "A1:C3"), ("A1:F9", "A1:F9"), ("all", "all")]
)
def test_additions__the_sheet_says_that_it_reaches_as_far(before: str, reach: str) -> None:
    """One row below row 2, and the columns of the headings up to the third: A1:C3, or farther.

    What is no range stays as it is.
    """
    parts = plain()
    page = parts["xl/worksheets/sheet1.xml"]
    told = f'<dimension ref="{before}"/>'.encode()
    parts["xl/worksheets/sheet1.xml"] = re.sub(rb"<dimension[^>]*>", told, page)
    given = RowsBelow("Recipes", 1, frozenset((1, 2, 3)), [{3: NewCell("a")}])
    after, filled = with_additions(zipped(parts), [given], {})
    assert filled == {"Recipes": (3, 3)}
    (found,) = re.findall(rb"<dimension[^>]*>", parts_of(after)["xl/worksheets/sheet1.xml"])
    assert found == f'<dimension ref="{reach}"/>'.encode()


@pytest.mark.parametrize("name", ["bare_styles", "no_styles"])
def test_additions__cells_without_a_look_stay_plain_in_a_workbook_that_has_none(name: str) -> None:
    """The first cell format is that of every cell that names none: it is never one of ours.

    The first two fills are none and gray125 whatever they say (common practice of spreadsheets,
    from memory), so that ours come after them.
    """
    after, _ = with_additions(ZOO[name](), [], {"Holding": ()})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # that there is no named style
        book = openpyxl.load_workbook(io.BytesIO(after))
    mine = book["Recipes"]["A1"]
    assert (mine.font.b, mine.font.i, mine.fill.fill_type) == (False, False, None)
    assert (mine.number_format, mine.border.bottom.style) == ("General", None)
    assert book["Holding"]["A3"].font.b
    assert mine.font.color is None, "not our ink"
    styles = next(text for name, text in parts_of(after).items() if name.endswith("styles.xml"))
    fills = re.findall(rb'patternType="(\w+)"', styles)
    assert fills[:2] == [b"none", b"gray125"]


@pytest.mark.parametrize(
    ("value", "held"),
    [
        (True, "yes"),
        (False, "no"),
        (time(9, 5), "09:05"),
        (Fraction(2, 3), "2/3"),
        (Fraction(4, 3), "1 1/3"),
        (Fraction(5, 2), Fraction(5, 2)),
        (Decimal("1.5"), Decimal("1.5")),
        ("=1+1", "=1+1"),
        (None, None),
    ],
)
def test_cell_of__a_number_that_no_cell_holds_exactly_is_words(value: Any, held: Any) -> None:
    """Two thirds have no end as a decimal number; they are typed as they are in a recipe."""
    assert cell_of(value).value == held


def test_cell_of__days_and_instants_are_shown_as_such() -> None:
    day, instant = cell_of(date(2031, 5, 10)), cell_of(datetime(2031, 5, 10, 9, 30))
    forms = [one.style.number_format if one.style else None for one in (day, instant)]
    assert forms == ["yyyy-mm-dd", "yyyy-mm-dd hh:mm"]
