"""Property: a changed cell of any column of any input sheet changes the result or is told of."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from datetime import date, time, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from costing.estimating import estimate
from costing.workbook.demo import DRY, TART, uncertain_rows
from costing.workbook.layout import INPUT_SHEETS, PERCENTS, SETTINGS, CellKind, Column
from costing.workbook.reading import read_workbook
from costing.workbook.template.writing import new_book

Rows = dict[str, list[dict[str, Any]]]

CHANGED: dict[tuple[str, str], Any] = {
    ("Packs", "At most"): 0,
    ("Ingredients", "Keeps days"): 0,
    ("Dishes", "Photo life minutes"): 5,
    ("Shops", "Minimum spend"): Decimal(200),
    ("Episodes", "Call time"): time(12),
    ("Settings", "Count leftovers that keep at %"): 100,
    ("Settings", "Room temperature"): "40 C",
    ("Settings", "Budget"): Decimal(1),
    ("Settings", "Currency"): "USD",
    ("Settings", "Time zone"): "America/Lima",
    ("Settings", "Holding rules"): "US-HOME-2H",
    ("Settings", "Shopping date"): date(2031, 5, 3),
    ("Settings", "Bowl sizes"): "50, 5000",
}
"""What a cell is changed to where any other value would not do: a limit must be reached."""

ROW = {("Ingredients", "Holding class"): 9}
"""The row that is changed where the first will not do: yoghurt stands in the bowl of the log."""

BY_KIND: dict[CellKind, tuple[Any, ...]] = {
    CellKind.NUMBER: (3,),
    CellKind.WHOLE: (3,),
    CellKind.TIMES: (3,),
    CellKind.CANDIDATES: (3,),
    CellKind.STOCK: (3,),
    CellKind.CONTENT: (3,),
    **dict.fromkeys(PERCENTS, (50,)),
    CellKind.MONEY: (Decimal("7.77"),),
    CellKind.DATE: (date(2029, 1, 1),),
    CellKind.EATERS: (3, "camera"),
    CellKind.TIME: (time(17, 7),),
    CellKind.DATE_TIME: (time(17, 7),),
}
"""What stands in a cell that was blank; a text that nobody knows in all others."""


def base() -> Rows:
    """The demo, uncertain: a taxed pack, butter in two packs that keeps, a plate, a receipt."""
    rows: Rows = {sheet: [dict(row) for row in given] for sheet, given in uncertain_rows().items()}
    rows["Packs"][0]["Tax rate %"] = 6
    rows["Packs"].append(
        {"Ingredient": "butter", "Shop": DRY, "Amount": 1, "Unit": "kg", "Price": 9}
    )
    rows["Ingredients"][1]["Keeps days"] = 30
    rows["Holding"].append(
        {"Container": "plate", "Holds": TART, "Event": "out", "When": time(13, 5)}
    )
    rows["Receipts"] = [
        {
            "Receipt": "A1",
            "Date": date(2031, 5, 9),
            "Shop": DRY,
            "Ingredient": "butter",
            "Packs": 1,
            "Amount": 250,
            "Unit": "g",
            "Paid": Decimal("2.99"),
            "Tax rate %": 6,
            "Paid from": "float",
            "Tag": "camera",
        }
    ]
    rows["Counted"] = [{"Ingredient": "butter", "Amount": 20, "Unit": "g"}]
    given = {
        "Charge mark-up %": 10,
        "Mark-up on": "before tax",
        "Cash float": Decimal(50),
        "Cash counted": Decimal(47),
    }
    for row in rows["Settings"]:
        row["Value"] = given.get(row["Setting"], row.get("Value"))
    return rows


def plain(rows: Rows) -> bytes:
    """A workbook with every input sheet and column and nothing else, which is soon made."""
    file = io.BytesIO()
    with new_book(file) as book:
        days = book.add_format({"num_format": "yyyy-mm-dd"})
        hours = book.add_format({"num_format": "hh:mm"})
        for layout in INPUT_SHEETS:
            page = book.add_worksheet(layout.title)
            page.write_row(0, 0, layout.headings)
            for number, row in enumerate(rows.get(layout.title, ()), 1):
                for at, heading in enumerate(layout.headings):
                    value = row.get(heading)
                    style = {date: days, time: hours}.get(type(value))
                    page.write(number, at, value, style)
    return file.getvalue()


def said(rows: Rows, folder: Path) -> Iterator[str]:
    """Everything the estimate of a workbook says, its findings included, the dearest last."""
    path = folder / "plan.xlsx"
    path.write_bytes(plain(rows))
    shoot, _ = read_workbook(path)
    found = estimate(shoot)
    yield "\n".join(map(str, found.findings))
    yield str(found.totals)
    yield json.dumps(found.as_json(), sort_keys=True)


@cache
def unchanged(folder: Path) -> tuple[str, ...]:
    """What is said of the base, worked out once."""
    return tuple(said(base(), folder))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("dropped")


def others(sheet: str, column: Column, value: Any) -> list[Any]:
    """Values a cell may be changed to."""
    if (sheet, column.heading) in CHANGED:
        return [CHANGED[sheet, column.heading]]
    if column.choices:
        return [choice for choice in column.choices if str(choice) != str(value)]
    if isinstance(value, date):
        return [value - timedelta(days=800)]
    if isinstance(value, time):
        return [time((value.hour + 3) % 24, 7)]
    if isinstance(value, int | Decimal):
        return [value * 2 + 1]
    return list(BY_KIND.get(column.kind, ("changed",)))


def is_told(sheet: str, at: int, heading: str, value: Any, folder: Path) -> bool:
    """Whether the result of the base with one cell changed is another.

    Once it is, the rest of it is not worked out.
    """
    rows = base()
    rows.setdefault(sheet, [{}])[at][heading] = value
    return any(
        one != other for one, other in zip(said(rows, folder), unchanged(folder), strict=True)
    )


@pytest.mark.parametrize(
    ("sheet", "column"),
    [
        pytest.param(layout.title, column, id=f"{layout.title}, {column.heading}")
        for layout in INPUT_SHEETS
        for column in layout.columns
        if layout.title != "Settings" and column.heading != "Note"
    ],
)
def test_column__a_changed_cell_counts_or_is_told_of(
    sheet: str, column: Column, folder: Path
) -> None:
    rows = base().get(sheet, [{}])
    filled = [at for at, row in enumerate(rows) if row.get(column.heading) is not None]
    at = ROW.get((sheet, column.heading), (filled or [0])[0])
    changes = others(sheet, column, rows[at].get(column.heading))
    assert any(is_told(sheet, at, column.heading, value, folder) for value in changes)


@pytest.mark.parametrize("setting", SETTINGS, ids=[setting.heading for setting in SETTINGS])
def test_setting__a_changed_value_counts_or_is_told_of(setting: Column, folder: Path) -> None:
    rows = base()["Settings"]
    at = next(n for n, row in enumerate(rows) if row["Setting"] == setting.heading)
    changes = others("Settings", setting, rows[at].get("Value"))
    assert any(is_told("Settings", at, "Value", value, folder) for value in changes)
