"""One change to the good workbook each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeAlias

from openpyxl import Workbook

Change: TypeAlias = Callable[[Workbook], None]


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
