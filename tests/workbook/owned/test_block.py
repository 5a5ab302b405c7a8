"""What is found of a block in the file: days, rows typed at its foot, tables beside it."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from fractions import Fraction

import openpyxl
import pytest
from blocks import LINES, to_buy
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet
from packages import bytes_of, parts_of, plain, zipped
from soundness import faults
from workbook.owned.test_placing import column, edited_by, sheet_after

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import CellStyle, NewCell

DAY = CellStyle(number_format="yyyy-mm-dd")
INSTANT, HOURS = CellStyle(number_format="yyyy-mm-dd hh:mm"), CellStyle(number_format="[h]:mm")


def with_days() -> ResultSheet:
    """The list with the day on which to buy each instead of its packs."""
    sheet = to_buy()
    rows = [list(row) for row in sheet.rows]
    for number, row in enumerate(rows[3:], 1):
        row[2] = NewCell(date(2031, 5, number), style=DAY)
    return replace(sheet, rows=rows)


@pytest.mark.parametrize("epoch", ["", ' date1904="1"'])
def test_days__are_not_called_edited_after_another_program_saved_them(epoch: str) -> None:
    """1 May 2031 is day 47969 of the years from 1900, 46507 of those from 1904."""
    parts = plain()
    book = parts["xl/workbook.xml"].replace(b"<sheets>", f"<workbookPr{epoch}/><sheets>".encode())
    data = splice(zipped(parts | {"xl/workbook.xml": book}), [with_days()]).data
    assert faults(data) == []
    saved = openpyxl.load_workbook(io.BytesIO(data))
    days = [saved["To buy"][f"C{row}"].value.date() for row in (4, 5, 6)]
    assert days == [date(2031, 5, number) for number in (1, 2, 3)]
    stored = parts_of(data)["xl/worksheets/sheet2.xml"].decode()
    first = re.search(r'<c r="C4"[^>]*><v>(\d+)</v>', stored)
    assert first is not None
    assert first[1] == ("46507" if epoch else "47969")
    assert splice(bytes_of(saved), [with_days()]).edited == ()


def with_numbers(instants: list[datetime], numbers: list[Fraction]) -> ResultSheet:
    """A list with an instant, a number, and the number as a span of hours in each row."""
    sheet = to_buy([(f"good {n}", 1, LINES[0][2]) for n in range(len(instants))])
    rows = [list(row) for row in sheet.rows]
    for row, instant, number in zip(rows[3:], instants, numbers, strict=True):
        seconds = Fraction(int(86400 * number), 86400)
        row[1:4] = NewCell(instant, style=INSTANT), NewCell(number), NewCell(seconds, style=HOURS)
    return replace(sheet, rows=rows)


def edited_rows(sheet: ResultSheet, at: str | None = None) -> list[int]:
    """Rows told as edited when a program saved the sheet, a minute added to the instant at ``at``.

    The program reads an instant as its year, day, hour, minute and second, writes a day number
    anew from them, and of every number 16 digits.
    """
    saved = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [sheet]).data))
    if at is not None:
        saved["To buy"][at].value += timedelta(minutes=1)
    return [one.row for one in splice(bytes_of(saved), [sheet]).edited]


def test_instants__of_every_minute_of_a_day_are_not_called_edited_when_saved() -> None:
    """At 14:05 it is 47978 + 845/1440 = 47978.586805555555: of 17 digits 15 end in 6.

    Of the 16 that are written back, 47978.58680555555, they may end in 5.
    """
    minutes = [datetime(2031, 5, 10) + timedelta(minutes=n) for n in range(1440)]
    assert edited_rows(with_numbers(minutes, [Fraction(n, 1440) for n in range(1440)])) == []


@given(
    st.lists(
        st.tuples(
            st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1)),
            st.fractions(0, 100_000, max_denominator=100_000),
        ),
        min_size=1,
        max_size=40,
    )
)
def test_numbers__law_saving_edits_none_and_a_minute_more_is_an_edit(
    held: list[tuple[datetime, Fraction]],
) -> None:
    """Law: instants of whole seconds, spans and parts of any kind survive another program."""
    instants = [instant.replace(microsecond=0) for instant, _ in held]
    sheet = with_numbers(instants, [number for _, number in held])
    assert edited_rows(sheet) == []
    assert edited_rows(sheet, at="B4") == [4]


def test_row_typed_at_the_foot_of_a_list_without_checksums__stands_below() -> None:
    """2500 rows are too many for checksums: the row by which the table grew is the lowest one."""
    many = to_buy([(f"good {n}", 1, LINES[0][2]) for n in range(2500)])

    def typed(page: Worksheet) -> None:
        page["B2504"], page["C2504"] = "candles", 12
        page.tables["tToBuy"].ref = "A3:D2504"

    data = splice(zipped(plain()), [many]).data
    nothing_typed = sheet_after(splice(data, [to_buy()]))
    assert column(nothing_typed, "B")[3:] == ["leek", "cream", "=salt"]
    spliced = splice(edited_by(typed, data), [to_buy()])
    page = sheet_after(spliced)
    assert column(page, "B")[3:] == ["leek", "cream", "=salt", None, "candles"]
    assert (page["C8"].value, page.tables["tToBuy"].ref) == (12, "A3:D6")


def test_table_taken_off_ours__is_put_back_beside_one_of_the_persons() -> None:
    """Both are listed in the sheet then, and counted; their numbers differ, from 1 on."""

    def own_table(page: Worksheet) -> None:
        del page.tables["tToBuy"]
        for cell, value in (("G3", "Shop"), ("G4", "Mill"), ("G5", "Corner")):
            page[cell] = value
        page.add_table(Table(displayName="Shops", ref="G3:G5"))

    spliced = splice(edited_by(own_table), [to_buy()])
    page = sheet_after(spliced)
    assert {name: page.tables[name].ref for name in page.tables} == {
        "tToBuy": "A3:D6",
        "Shops": "G3:G5",
    }
    assert sorted(page.tables[name].id for name in page.tables) == [1, 2]
    assert b'<tableParts count="2">' in parts_of(spliced.data)["xl/worksheets/sheet2.xml"]


@pytest.mark.parametrize(
    ("text", "stays"),
    [
        ("'To buy'!$D$4", True),
        ("SUM(tToBuy[Cost])", True),
        ("Recipes!$B$2", False),
        ("'To buy more'!$D$4", False),
    ],
)
def test_remove__a_name_of_the_persons_over_the_results_keeps_the_sheet(
    text: str, *, stays: bool
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    book.defined_names["mine"] = DefinedName("mine", attr_text=text)
    spliced = splice(bytes_of(book), [], remove=["to_buy"])
    assert faults(spliced.data) == []
    after = openpyxl.load_workbook(io.BytesIO(spliced.data))
    assert after.sheetnames == (["Recipes", "To buy"] if stays else ["Recipes"])
    if stays:
        assert [cell.value for cell in after["To buy"]["B"]][3:] == []
    assert after.defined_names["mine"].attr_text == text
