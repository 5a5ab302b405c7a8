"""The workbook that results are written into, as far as their formulas must know it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from costing.workbook.owned.ownedsheets import OwnedSheets
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.stale import (
    Stale,
    mentions,
    read_formulas,
    stale_formulas,
    stale_names,
)
from costing.workbook.package.addresses import address
from costing.workbook.package.sheetdata import SheetCell, shown
from costing.workbook.package.sheetrows import read_rows
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.xmlparts import decoded
from costing.workbook.results.checks import Cells, Held


@dataclass(frozen=True, slots=True)
class Target:
    """What is in the workbook besides the results, and what these will be called.

    Parameters
    ----------
    titles, tables : mapping of str to str
        Title and table name of each result sheet, by its mark.
    dependent : frozenset of (str, str)
        Sheet and address of the user's cells whose formulas need a result.
    held : callable
        Gives the filled cells of one of the user's sheets, by its title.
    """

    titles: Mapping[str, str]
    tables: Mapping[str, str]
    sheets: frozenset[str] = frozenset()
    dependent: frozenset[tuple[str, str]] = frozenset()
    held: Callable[[str], Cells] = lambda _: {}


def target_of(tabs: OwnedSheets, sheets: Sequence[ResultSheet]) -> Target:
    """Look around in a workbook for the result sheets to be written.

    ``sheets``: with their marks, titles and tables; their rows do not matter yet.
    """
    names = tabs.plan(sheets)
    own = {one.tab.title for one in tabs.own.values()}
    taken = {word.casefold() for word in (*names.titles.values(), *names.tables.values(), *own)}
    persons = [
        tab.title for tab in tabs.book.tabs if tab.title not in own and tab.kind == "worksheet"
    ]
    return Target(
        names.titles,
        names.tables,
        frozenset(persons),
        frozenset(_dependent(tabs.book, persons, taken)),
        partial(_held_on, tabs),
    )


def _held_on(tabs: OwnedSheets, title: str) -> Cells:
    """The filled cells of a sheet, by row and column."""
    part = next(tab.part for tab in tabs.book.tabs if tab.title == title)
    rows = read_rows(decoded(tabs.package.read(part)).text)
    found = {
        (cell.row, cell.column): _held(cell, tabs.shared_strings())
        for row in rows
        for cell in row.cells
        if cell.holds
    }
    return {at: value for at, value in found.items() if value != ""}


def _held(cell: SheetCell, strings: Sequence[str]) -> Held:
    """What a cell holds, None where programs see it in different ways.

    These are errors, truth values (numbers to some), days spelled as such, texts of blanks alone,
    and formulas that were never calculated.
    """
    value = shown(cell, strings)
    if cell.kind in ("b", "d", "e") or value is None or isinstance(value, bool):
        return None
    return None if isinstance(value, str) and value and not value.strip() else value


def _dependent(book: WorkbookPart, persons: Iterable[str], taken: set[str]) -> set[tuple[str, str]]:
    """The user's cells whose formulas need a result sheet or its table, directly or not."""
    stale = Stale(set(taken), set(taken))
    stale.names |= stale_names({name.name.casefold(): name.text for name in book.names}, stale)
    wanted = set(persons)
    sheets = {
        tab.title: book.package.read(tab.part)
        for tab in book.tabs
        if tab.title in wanted and book.package.find(tab.part)
    }
    if not any(mentions(data, stale.sheets | stale.names) for data in sheets.values()):
        return set()
    formulas = [one for title, data in sheets.items() for one in read_formulas(title, data)]
    return {
        (one.sheet, address(row, column))
        for one in stale_formulas(formulas, stale)
        for row in range(one.covers[0], one.covers[2] + 1)
        for column in range(one.covers[1], one.covers[3] + 1)
    }
