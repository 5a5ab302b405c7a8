"""Ticks and notes on a list whose rows of one ingredient are told apart by day and size."""

from __future__ import annotations

from fractions import Fraction

import pytest
from openpyxl.worksheet.worksheet import Worksheet
from packages import plain, zipped
from workbook.owned.test_placing import edited_by, sheet_after

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell


def trips(*rows: tuple[str, str, Fraction]) -> ResultSheet:
    """A list in which rows of one ingredient are told apart by their day and their size."""
    cells: list[list[NewCell | None]] = [[NewCell("What to buy")], []]
    cells.append([NewCell(one) for one in ("Got it", "Ingredient", "Trip", "Size")])
    cells += [[None, NewCell(a), NewCell(b), NewCell(c)] for a, b, c in rows]
    return ResultSheet(
        "to_buy",
        "To buy",
        cells,
        header_row=3,
        table="tToBuy",
        user_columns=frozenset({1}),
        key_columns=(2,),
        then_columns=(3, 4),
    )


ONE, HALF = Fraction(1), Fraction(1, 2)


@pytest.mark.parametrize(
    ("later", "ticked", "below"),
    [
        ([("cod", "Sat", ONE)], [None], ["cod", "Fri"]),  # the one ticked has gone
        ([("cod", "Sat", ONE), ("cod", "Fri", ONE)], [None, "x"], []),  # in another order
        ([("cod", "Thu", ONE), ("cod", "Sat", ONE)], ["x", None], []),  # on another day
        ([("cod", "Wed", ONE), ("cod", "Thu", ONE)], ["x", None], []),  # all on other days
        ([("cod", "Fri", HALF), ("cod", "Sat", HALF)], ["x", None], []),  # of another size
        ([("cod", "Sat", HALF)], [None], ["cod", "Fri"]),  # nobody can say which has gone
        ([("cod", "Fri", HALF), ("cod", "Fri", ONE), ("cod", "Sat", ONE)], [None, "x", None], []),
    ],
)
def test_tick_on_one_of_several_trips__goes_with_that_trip_alone(
    later: list[tuple[str, str, Fraction]], ticked: list[str | None], below: list[str]
) -> None:
    """Of rows alike in their key the day says which it is, then the size; else their number."""

    def tick(page: Worksheet) -> None:
        page["A4"], page["F4"] = "x", "ask for the tail"

    before = trips(("cod", "Fri", ONE), ("cod", "Sat", ONE))
    data = edited_by(tick, splice(zipped(plain()), [before]).data)
    page = sheet_after(splice(data, [trips(*later)]))
    notes = [None if one is None else "ask for the tail" for one in ticked]
    rows = range(4, 4 + len(later))
    assert [page.cell(row, 1).value for row in rows] == ticked
    assert [page.cell(row, 6).value for row in rows] == notes
    left = 5 + len(later)
    aside = [page.cell(left, at).value for at in (2, 3)]
    assert [one for one in aside if one] == below


def test_tick_of_a_workbook_without_the_column_of_the_day__stays_with_its_row() -> None:
    """Its rows are then told apart by their key alone."""

    def tick(page: Worksheet) -> None:
        page["A5"] = "x"

    data = edited_by(tick)
    page = sheet_after(splice(data, [trips(("leek", "Fri", ONE), ("cream", "Sat", HALF))]))
    assert [page.cell(row, 1).value for row in (4, 5)] == [None, "x"]
