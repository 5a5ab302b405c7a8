"""The shopping list keeps what the person wrote on it."""

from __future__ import annotations

import io
from typing import Any

from live_workbooks import calculated, run, with_formulas
from recalculation import opened


def rows_of_list(book: Any) -> list[Any]:
    """The rows of the list, without its headings."""
    sheet = book["To buy"]
    (table,) = sheet.tables.values()
    return list(sheet[table.ref][1:])


def test_tick__goes_with_its_row_when_rows_come_and_go() -> None:
    """Butter and leek are in the bag; then enough flour is on hand, and it leaves the list."""
    book = opened(with_formulas("demo")[0], values=False)
    for row in rows_of_list(book):
        if row[3].value in ("butter", "leek"):
            row[0].value = "x"
    book["On hand"]["B4"] = 2000
    file = io.BytesIO()
    book.save(file)
    again = opened(run(calculated(file.getvalue()))[0], values=True)
    assert "flour" not in [row[3].value for row in rows_of_list(again)]
    assert {row[3].value for row in rows_of_list(again) if row[0].value} == {"butter", "leek"}
