"""The row of totals that a person switched on below a list of ours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from blocks import LINES, Line, to_buy
from openpyxl.worksheet.worksheet import Worksheet
from packages import plain, zipped
from workbook.owned.test_placing import column, edited_by, sheet_after

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell

LEEK = LINES[0]
BUTTER: Line = ("butter", 1, Fraction(3))


def test_totals_row_of_the_table__stays_at_its_foot() -> None:
    def totals(page: Worksheet) -> None:
        table = page.tables["tToBuy"]
        table.ref, table.totalsRowCount = "A3:D7", 1
        table.tableColumns[3].totalsRowFunction = "sum"
        page["B7"], page["D7"] = "together", "=SUBTOTAL(109,tToBuy[Cost])"

    for lines, row in (([LEEK], 5), ([*LINES, BUTTER], 8)):
        spliced = splice(edited_by(totals), [to_buy(lines)])
        page = sheet_after(spliced)
        assert page[f"D{row}"].value == "=SUBTOTAL(109,tToBuy[Cost])"
        assert spliced.edited == (), "totals are the person's, and no result that was edited"
        assert page.tables["tToBuy"].ref == f"A3:D{row}"
        assert page.tables["tToBuy"].autoFilter.ref == f"A3:D{row - 1}"
        assert page.tables["tToBuy"].tableColumns[3].totalsRowFunction == "sum"


def test_totals_row_over_lines_of_ours__stands_below_them() -> None:
    """Ours end with a blank row and a line of words, in rows 7 and 8; with totals in 8 and 9.

    The next run has the words in row 8 again, and the totals two rows further down: they are the
    person's, and no list ends in them.
    """
    foot = [*to_buy().rows, [], [NewCell("Prices include tax.")]]
    listed = replace(to_buy(), rows=foot, table_rows=3)

    def totals(page: Worksheet) -> None:
        page.move_range("A7:D8", rows=1)
        table = page.tables["tToBuy"]
        table.ref, table.totalsRowCount = "A3:D7", 1
        table.tableColumns[3].totalsRowFunction = "sum"
        page["B7"], page["D7"] = "together", "=SUBTOTAL(109,tToBuy[Cost])"

    data = splice(zipped(plain()), [listed]).data
    spliced = splice(edited_by(totals, data), [listed])
    page = sheet_after(spliced)
    assert column(page, "A")[6:] == [None, "Prices include tax.", None, None]
    assert (page["B10"].value, page["D10"].value) == ("together", "=SUBTOTAL(109,tToBuy[Cost])")
    assert page.tables["tToBuy"].ref == "A3:D6"
    assert not page.tables["tToBuy"].totalsRowCount
    assert splice(spliced.data, [listed]).data == spliced.data


def test_note_beside_lines_below_the_table__goes_with_them() -> None:
    """The words stand in row 8 behind three lines, in row 9 behind four and in row 6 behind one."""

    def with_foot(lines: Sequence[Line]) -> ResultSheet:
        sheet = to_buy(lines)
        rows = [*sheet.rows, [], [NewCell("Prices include tax.")]]
        return replace(sheet, rows=rows, table_rows=len(lines))

    def note(page: Worksheet) -> None:
        page["F8"] = "ask why"

    data = edited_by(note, splice(zipped(plain()), [with_foot(LINES)]).data)
    for lines, row in (([*LINES, BUTTER], 9), ([LEEK], 6)):
        page = sheet_after(splice(data, [with_foot(lines)]))
        assert (page[f"A{row}"].value, page[f"F{row}"].value) == ("Prices include tax.", "ask why")


def test_note_beside_a_row_that_is_gone__is_no_note_of_a_line_below_with_its_words() -> None:
    """Salt is off the list of rows 4 and 5; row 7 says in words that it is at home."""

    def with_foot(lines: Sequence[Line]) -> ResultSheet:
        sheet = to_buy(lines)
        rows = [*sheet.rows, [], [None, NewCell("=salt"), None, NewCell("is at home")]]
        return replace(sheet, rows=rows, table_rows=len(lines))

    def note(page: Worksheet) -> None:
        page["F6"] = "coarse"

    data = edited_by(note, splice(zipped(plain()), [with_foot(LINES)]).data)
    page = sheet_after(splice(data, [with_foot(LINES[:2])]))
    assert (page["B7"].value, page["F7"].value) == ("=salt", None)
    assert (page["B9"].value, page["F9"].value) == ("=salt", "coarse")
