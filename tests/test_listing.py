"""Findings as they are listed: their order, what stands for many of them, and their number."""

from __future__ import annotations

from dataclasses import replace

import pytest

from costing.buying.messages import price_missing
from costing.findings import Finding, Grade, Place
from costing.listing import counted, in_order, merged, row_words, summed_up, together


def finding(
    cell: str = "",
    *,
    name: str = "",
    sheet: str = "Packs",
    grade: Grade = Grade.WARNING,
    code: str = "price missing",
    heading: str = "Price",
) -> Finding:
    """A finding at a cell such as E7, or about a whole sheet."""
    column, row = cell.rstrip("0123456789"), cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    place = Place(sheet, int(row) if row else None, column, heading if cell else "", name)
    return Finding(grade, code, place, "a blank", "a price", "Fill it in.")


def test_in_order__whole_sheets_before_rows_then_sheets_rows_and_columns() -> None:
    """As one reads a workbook: AA stands behind Z, and what is said twice is listed once.

    What is about a whole column or row is no error about the whole sheet.
    """
    error = Grade.ERROR
    wanted = [
        finding(sheet="Trips", grade=error, code="sheet unread"),
        finding("E7", sheet="Recipes", grade=error, code="a"),
        finding("Z7", sheet="Recipes", grade=error, code="b"),
        finding("AA7", sheet="Recipes", grade=error, code="c"),
        finding("B8", sheet="Recipes", grade=error, code="d"),
        replace(finding(grade=error, code="column"), place=Place("Packs", heading="Price")),
        finding(grade=Grade.NOTE, code="z"),
        finding("1", grade=Grade.NOTE, code="a", heading=""),
        finding("2", grade=error, code="row", heading=""),
        finding("A2", grade=error, code="e"),
        finding("A2", grade=Grade.NOTE, code="f"),
        finding("A1", sheet="Mine", grade=error, code="g"),
    ]
    assert in_order([*reversed(wanted), wanted[0]], ["Recipes", "Packs"]) == wanted


def test_merged__what_follows_from_an_unread_row_is_not_told_again() -> None:
    """A warning leaves a row to be worked out; what is said again of a cell says more."""
    read = [finding("E7", grade=Grade.ERROR, code="price unreadable"), finding("E8", code="old")]
    again = replace(finding("A9", heading="Ingredient", code="again"), remedy="Mend it.")
    follows = finding("E7", heading="Price")
    kept = [
        finding("A7", heading="Ingredient", code="slip"),  # a name follows from no other cell
        finding("F7", grade=Grade.ERROR, code="pack empty"),
        finding("E8", heading="Ingredient", code="near"),
        finding("F8", heading="Amount", code="of what was read"),
        finding("A9", heading="Ingredient", code="again"),
        finding(code="totals"),
    ]
    assert set(merged([*read, again], [follows, *kept])) == {*read, *kept}


@pytest.mark.parametrize(
    ("grades", "words"),
    [
        ([Grade.ERROR], "1 error"),
        ([Grade.NOTE, Grade.ERROR, Grade.NOTE], "1 error, 2 notes"),
        ([Grade.WARNING] * 2, "2 warnings"),
    ],
)
def test_counted__by_grade(grades: list[Grade], words: str) -> None:
    assert counted([finding("E7", grade=grade) for grade in grades]) == words


NAMED = [finding(f"E{row}", name=name) for row, name in enumerate("abcdefgh", start=4)]


@pytest.mark.parametrize(
    ("same", "said"),
    [
        (NAMED[:2], "a (E4) and b (E5)"),
        (NAMED[:6], "a (E4), b (E5), c (E6), d (E7), e (E8) and f (E9)"),
        (NAMED[:7], "a, b, c and 4 more (rows 4 to 10)"),
        ([NAMED[0], finding("E9", name="salt (fine)")], "a (E4) and salt (fine)"),
        ([finding("E4"), finding("E5")], "E4 and E5"),
        ([finding(f"E{row}") for row in range(4, 11)], "rows 4 to 10"),
    ],
    ids=["two", "six", "seven", "a name with brackets", "rows without a name", "many of them"],
)
def test_together__up_to_six_are_named_with_their_cells(same: list[Finding], said: str) -> None:
    """Of more the first three are named, and all by their rows."""
    (one,) = together(same)
    assert one.found == f"a blank: {said}"
    assert (one.place.row, one.place.name) == (4, "")


def test_together__many_rows_that_no_sheet_has_are_counted() -> None:
    """Of a shoot that was built in code: names, and no rows to be named."""
    places = [Place("Packs", None, "", "Price", name) for name in "abcdefg"]
    (one,) = together([price_missing(place, place.name) for place in places])
    assert one.found == "no price for a, b, c and 4 more"


def test_together__errors_and_other_columns_stay_apart() -> None:
    """Each error is mended in its own cell; only formulas never calculated are mended at once."""
    errors = [finding(cell, grade=Grade.ERROR, code="price unreadable") for cell in ("E4", "E5")]
    assert together(errors) == errors
    columns = [finding("E4"), finding("F5", heading="Amount")]
    assert together(columns) == columns
    formulas = [
        finding(cell, grade=Grade.ERROR, code="formula never calculated") for cell in ("E4", "E5")
    ]
    assert [one.found for one in together(formulas)] == ["a blank: E4 and E5"]


@pytest.mark.parametrize(
    ("rows", "words"),
    [([], ""), ([7, 7], "row 7"), ([9, 4, 5], "rows 4, 5 and 9"), ([4, 5, 6], "rows 4 to 6")],
)
def test_row_words__three_in_a_row_are_a_run(rows: list[int], words: str) -> None:
    assert row_words(rows) == words


def test_summed_up__rows_of_another_sheet_are_said_to_be_of_it() -> None:
    """Two of a code are enough here; row 4 is one of the day log, not of the sheet of the first."""
    alike = [finding("E9"), finding("E5"), finding("E4", sheet="tart day log.csv")]
    (one,) = summed_up([*alike, *alike[:1]], above=2)
    assert one.found == "a blank; 4 of this kind (rows 5 and 9, row 4 of tart day log.csv)"
    assert summed_up(alike, above=3) == alike


def test_summed_up__remedies_that_differ_are_read_elsewhere() -> None:
    """No row is named where none is known; the first remedy is that of the others or not."""
    alike = [replace(finding(), remedy=words) for words in ("Fill it in.", "Leave it out.")]
    (one,) = summed_up(alike, above=1, each="costing check")
    assert (one.found, one.remedy) == (
        "a blank; 2 of this kind",
        "Fill it in. 1 more like this: costing check.",
    )
    (one,) = summed_up(alike, above=1)
    assert one.remedy == "Fill it in. 1 more like this: on the sheet Findings."
    (one,) = summed_up([finding(), finding("E4", sheet="Trips")], above=1)
    assert (one.found, one.remedy) == ("a blank; 2 of this kind (row 4 of Trips)", "Fill it in.")
