"""The hidden name: what it says, what it survives, what it tells of edits."""

from __future__ import annotations

import pytest
from blocks import LINES, summary, to_buy
from hypothesis import given
from hypothesis import strategies as st
from packages import parts_of, plain, zipped

from costing.workbook.owned.block import words_of_sheet
from costing.workbook.owned.marks import (
    LONGEST_LITERAL,
    MARK_NAME,
    Mark,
    checksum,
    content_words,
    new_mark,
    own_sheets,
    read_mark,
    row_checks,
    strange_rows,
)
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell
from costing.workbook.package.gate import open_gate
from costing.workbook.package.workbookpart import WorkbookPart

At = tuple[int, int]
CELLS = st.dictionaries(
    st.tuples(st.integers(1, 8), st.integers(1, 5)), st.text(min_size=1), min_size=1
)


def mark_of(cells: dict[At, str]) -> Mark:
    """The mark of a block of 8 rows and 5 columns."""
    rows: list[list[NewCell | None]] = [[None] * 5 for _ in range(8)]
    return new_mark(ResultSheet("to_buy", "To buy", rows), cells)


def test_mark__is_a_hidden_name_of_the_sheet() -> None:
    parts = parts_of(splice(zipped(plain()), [to_buy(), summary()]).data)
    text = parts["xl/workbook.xml"].decode()
    assert f'<definedName name="{MARK_NAME}" localSheetId="1" hidden="1">"to_buy;6x4;3+3/1;' in text
    assert (
        f'<definedName name="{MARK_NAME}" localSheetId="2" hidden="1">"summary;2x4;0+0/1;' in text
    )
    assert '<definedName name="_xlnm.Print_Titles" localSheetId="1">\'To buy\'!$3:$3<' in text


@pytest.mark.parametrize(("tab", "known"), [(2, ["to_buy", "summary"]), (3, ["to_buy"])])
def test_own_sheets__a_mark_of_a_sheet_that_is_not_there_is_passed_over(
    tab: int, known: list[str]
) -> None:
    """Positions count from 0 (ISO/IEC 29500-1, 18.2.5): the last of three sheets is number 2."""
    parts = parts_of(splice(zipped(plain()), [to_buy(), summary()]).data)
    text = parts["xl/workbook.xml"].decode()
    said = f'name="{MARK_NAME}" localSheetId="%d"'
    parts["xl/workbook.xml"] = text.replace(said % 2, said % tab).encode()
    assert list(own_sheets(WorkbookPart(open_gate(zipped(parts))))) == known


def test_mark__no_literal_is_longer_than_a_formula_may_hold() -> None:
    """500 rows need 1500 signs; a text in a formula may have 255."""
    sheet = ResultSheet("to_buy", "To buy", [[NewCell(n)] for n in range(500)])
    mark = new_mark(sheet, words_of_sheet(sheet, from_1904=False))
    assert read_mark(mark.formula()) == mark
    assert max(map(len, mark.formula().split("&"))) <= LONGEST_LITERAL + 2


def test_mark__of_a_very_long_list_has_no_checksums() -> None:
    """2001 rows would need 6003 characters, and a formula may have 8192."""
    for rows, checks in ((2000, 2000), (2001, 0)):
        sheet = ResultSheet("to_buy", "To buy", [[NewCell(n)] for n in range(rows)])
        mark = new_mark(sheet, words_of_sheet(sheet, from_1904=False))
        assert len(mark.rows) == checks
        assert len(mark.formula()) < 8192
        assert read_mark(mark.formula()) == mark


def test_read_mark__what_another_version_wrote_behind_it_is_passed_over() -> None:
    """One version noted states of charts there."""
    mark = read_mark('"to_buy;2x3;1+1/1;;AADAAE;1;d-"')
    assert mark == Mark("to_buy", 2, 3, 1, 1, ("AAD", "AAE"), (1,))


def test_read_mark__other_names_are_none() -> None:
    for text in ("", "Sheet1!$A$1", '"cost"', '"a;b;c;d;e;f"', '"to_buy;1x1;0+0;a;b;c"', '"'):
        assert read_mark(text) is None


def strange(mark: Mark, cells: dict[At, str]) -> list[int]:
    """Rows of the block that are not as they were written."""
    checks = row_checks(cells, rows=range(1, 9), width=5)
    return strange_rows(dict(enumerate(checks, 1)), mark.rows)


@given(CELLS)
def test_strange_rows__none_when_nothing_changed(cells: dict[At, str]) -> None:
    assert strange(mark_of(cells), cells) == []


@given(CELLS, st.randoms())
def test_strange_rows__none_when_only_rows_changed_places(
    cells: dict[At, str], random: st.DataObject
) -> None:
    order = list(range(1, 9))
    random.shuffle(order)  # type: ignore[attr-defined]
    moved = {(order[row - 1], column): words for (row, column), words in cells.items()}
    assert strange(mark_of(cells), moved) == []


@given(CELLS, st.sets(st.tuples(st.integers(1, 8), st.integers(1, 5)), min_size=1, max_size=4))
def test_strange_rows__every_row_with_an_edit_and_no_other(
    cells: dict[At, str], edits: set[At]
) -> None:
    now = cells | {at: f"edited {at}" for at in edits}
    assert strange(mark_of(cells), now) == sorted({row for row, _ in edits})


def test_strange_rows__a_row_pasted_over_another_is_one_too_many() -> None:
    """Leek and cream were written; where leek stands twice, what stood there was lost."""
    mark = mark_of({(1, 1): "leek", (2, 1): "cream"})
    assert strange(mark, {(1, 1): "leek", (2, 1): "leek"}) == [2]
    twice = mark_of({(1, 1): "leek", (2, 1): "leek"})
    assert strange(twice, {(1, 1): "leek", (2, 1): "leek"}) == []


def test_content_words__what_programs_do_when_they_save_counts_for_nothing() -> None:
    """15 digits are kept by all; line ends and formulas are spelled in several ways."""
    assert content_words(2 / 3, formula=None) == content_words(0.666666666666667, formula=None)
    assert content_words("a\r\nb", formula=None) == content_words("a\nb", formula=None)
    assert content_words(3.0, formula="SUM(A1)") == content_words(4.0, formula="sum(A1:A1)")
    assert content_words(True, formula=None) == content_words(True, formula="TRUE()")
    assert content_words(None, formula=None) == content_words("", formula=None) == ""
    # the greatest number that a cell takes is of no day
    assert content_words(9.99999999999999e307, formula=None) == "n9.99999999999999e+307"


@given(st.integers(0, 100_000 * 86_400), st.integers(-4, 4))
def test_content_words__law_an_instant_is_the_same_by_its_last_digit(
    second: int, digits: int
) -> None:
    """Law: with one more or less in the 15th or 16th of its digits it is the same; a second is not.

    Of 47978.586805555555, 14:05 of a day, one program writes back 47978.58680555555, another
    47978.5868055556.
    """
    days = second / 86_400
    near = days * (1 + digits / 4 * 1e-15)
    assert content_words(near, formula=None) == f"n{days:.15g}"
    assert content_words((second + 1) / 86_400, formula=None) != f"n{days:.15g}"


def test_content_words__kinds_are_told_apart() -> None:
    words = [content_words(value, formula=None) for value in (1.0, "1", True, "n1", "b1")]
    assert len(set(words)) == len(words)


@given(st.lists(st.text()))
def test_checksum__is_the_same_in_any_order(words: list[str]) -> None:
    assert checksum(words) == checksum(sorted(words)) == checksum([*words, ""])


def test_row_checks__other_columns_and_rows_count_for_nothing() -> None:
    cells = {(1, 1): "a", (2, 2): "b"}
    more = cells | {(3, 1): "c", (1, 3): "d"}
    checks = row_checks(cells, rows=[1, 2], width=2)
    assert row_checks(more, rows=[1, 2], width=2) == checks


def test_splice__what_is_written_for_the_person_is_not_checked() -> None:
    """A tick that the sheet itself carries over changes neither columns nor rows."""
    sheet = to_buy(LINES)
    ticked = [list(row) for row in sheet.rows]
    ticked[3][0] = NewCell("x")
    from dataclasses import replace

    words = words_of_sheet(sheet, from_1904=False)
    with_tick = words_of_sheet(replace(sheet, rows=ticked), from_1904=False)
    assert words != with_tick
    assert new_mark(sheet, words) == new_mark(sheet, with_tick)
