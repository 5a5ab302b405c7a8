"""A good workbook, made by hand in code, and the changes that a test makes to it.

Nothing in it is to be found fault with; headings stand in row 1 and the first row in row 2.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time
from pathlib import Path
from typing import Any, TypeAlias

import openpyxl
from openpyxl import Workbook

from costing.findings import Finding
from costing.shoot import Shoot
from costing.workbook.reading import read_workbook

Change: TypeAlias = Callable[[Workbook], None]

SHEETS: dict[str, list[list[Any]]] = {
    "Settings": [
        ["Setting", "Value"],
        ["Title", "Soup day"],
        ["Currency", "EUR"],
        ["Measures", "metric"],
        ["Time zone", "Europe/Lisbon"],
        ["Room temperature", "24 C"],
    ],
    "Recipes": [
        ["Dish", "Step", "Step name", "Ingredient", "Amount", "Unit", "Measured", "Candidates"],
        ["leek soup", 1, "sweat", "leek", 400, "g", None, None],
        [None, None, None, "butter", 30, "g", None, None],
        [None, 2, "simmer", "potato", "2-3", None, "as bought", None],
        [None, None, None, "milk", "1 1/2", "cup", None, None],
    ],
    "Shoot plan": [
        [
            "Shot",
            "Episode",
            "Dish",
            "Purpose",
            "Steps",
            "Batch",
            "Times",
            "Fewest",
            "Most",
            "Starts",
        ],
        ["S1", "Soup", "leek soup", "cook-through", None, None, 1, None, None, time(10, 0)],
        ["S2", None, "leek soup", "retake", "1-2", 0.5, 2, 1, 4, None],
    ],
    "Packs": [
        ["Ingredient", "Shop", "Amount", "Unit", "Price", "Loose step", "At most", "Tax rate %"],
        ["leek", "Corner", 1, "kg", 1.89, 0.05, None, None],
        ["butter", "Corner", 250, "g", 2.79, None, 4, 6],
        ["potato", "Corner", 10, None, 2.5, None, None, None],
        ["milk", None, 1, "l", 1.05, None, None, None],
    ],
    "Ingredients": [
        [
            "Ingredient",
            "Section",
            "Trim yield %",
            "Cooked weight %",
            "Grams per ml",
            "Spoilage % per day",
        ],
        ["leek", "vegetables", 72, None, None, 2],
        ["milk", "dairy", 100, None, 1.03, None],
    ],
    "On hand": [
        ["Ingredient", "Amount", "Unit", "Use by", "Value"],
        ["butter", 40, "g", date(2031, 6, 1), 0.4],
        ["salt", "plenty", None, None, None],
    ],
    "Episodes": [
        ["Episode", "Shoot date", "Call time", "Portions"],
        ["Soup", date(2031, 5, 10), time(9, 30), 4],
    ],
    "Dishes": [["Dish", "Makes", "Unit"], ["leek soup", 4, "portions"]],
    "Shops": [["Shop", "Visit cost"], ["Corner", 1.5]],
    "Holding": [
        ["Container", "Holds", "Event", "When", "Temperature", "Marked until"],
        ["milk jug", "milk", "out", time(10, 5), "4 C", time(14, 5)],
        [None, None, "back", time(12, 20), "5 C", None],
    ],
}


def good_workbook() -> Workbook:
    """The workbook, anew for each test."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in SHEETS.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    return book


def read(book: Workbook, folder: Path) -> tuple[Shoot, list[Finding]]:
    """Save the workbook and read it."""
    path = folder / "plan.xlsx"
    book.save(path)
    return read_workbook(path)


def findings(book: Workbook, folder: Path) -> list[str]:
    """What is said of the workbook."""
    return [str(finding) for finding in read(book, folder)[1]]


def found_after(change: Change, folder: Path) -> list[str]:
    """All that is found in the good workbook once it is changed."""
    book = good_workbook()
    change(book)
    return findings(book, folder)


def put(
    address: str, value: Any, number_format: str = "", *, also: tuple[str, Any] | None = None
) -> Change:
    """Write a value into a cell, given as ``Sheet!A1``."""

    def change(book: Workbook) -> None:
        for at, what in ((address, value), *((also,) if also else ())):
            title, _, cell = at.partition("!")
            book[title][cell] = what
        if number_format:
            title, _, cell = address.partition("!")
            book[title][cell].number_format = number_format

    return change


def add(title: str, *values: Any) -> Change:
    """Write a row below the others."""
    return lambda book: book[title].append(values)


def without(title: str) -> Change:
    """Take a sheet out."""
    return lambda book: book.remove(book[title])


def renamed(title: str, name: str) -> Change:
    """Give a sheet another name."""

    def change(book: Workbook) -> None:
        book[title].title = name

    return change


def copied(title: str, name: str) -> Change:
    """Add a copy of a sheet."""

    def change(book: Workbook) -> None:
        book.copy_worksheet(book[title]).title = name

    return change


def hidden_sheet(title: str) -> Change:
    """Hide a sheet."""

    def change(book: Workbook) -> None:
        book[title].sheet_state = "hidden"

    return change


def headings_again(title: str) -> Change:
    """The row of headings once more below the rows."""
    return lambda book: book[title].append([cell.value for cell in book[title][1]])


def hidden_rows(title: str, *rows: int) -> Change:
    """Hide rows."""

    def change(book: Workbook) -> None:
        for row in rows:
            book[title].row_dimensions[row].hidden = True

    return change


def merged(title: str, area: str) -> Change:
    """Merge cells."""
    return lambda book: book[title].merge_cells(area)


def cleared(title: str) -> Change:
    """Delete all rows below the headings."""
    return lambda book: book[title].delete_rows(2, 100)


def emptied(book: Workbook) -> None:
    """Delete everything on every sheet."""
    for sheet in book.worksheets:
        sheet.delete_rows(1, 100)
