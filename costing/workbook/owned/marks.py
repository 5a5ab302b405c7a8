"""Which sheets are ours, how large our block on them was, and what was edited in it since.

A sheet of ours carries a hidden name of its own, ``_costing_sheet``, that holds a text: the mark,
the size of the block, and a checksum of every column and of every row. Unlike a tab's title and a
part's name it survives renaming, moving, and saving by any spreadsheet program.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.addresses import whole
from costing.workbook.package.workbookpart import DefinedName, Tab, WorkbookPart

CHECK_LENGTH = 3
"""Length of a checksum. [characters of 6 bits]"""
CHECKS = 1 << 6 * CHECK_LENGTH
DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
YES_NO = ("TRUE()", "FALSE()")
FORMULA_WORDS = "="
"""Content of a cell with a formula, whatever it gives."""

At = tuple[int, int]
Cells = Mapping[tuple[int, int], str]
"""Content of a block by row and column, as :func:`content_words` gives it."""


def content_words(value: str | float | bool | None, *, formula: str | None) -> str:
    """What a cell holds, evened out over what programs do to it when they save.

    Numbers at the 15 digits that every program keeps; of a formula only that it is one, since its
    value may change and its spelling may too. Some programs keep yes and no as formulas.

    Examples
    --------
    >>> content_words(0.1 + 0.2, formula=None), content_words("leek", formula=None)
    ('n0.3', 'sleek')
    """
    if formula is not None and formula.upper() not in YES_NO:
        return FORMULA_WORDS
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return f"b{int(value)}"
    if isinstance(value, str):
        return "s" + value.replace("\r\n", "\n")
    return f"n{value:.15g}"


def checksum(words: Iterable[str]) -> int:
    """A number for the contents, whatever their order; blank ones count for nothing."""
    return sum(_hash(word) for word in words if word) % CHECKS


@lru_cache(maxsize=65_536)
def _hash(word: str) -> int:
    return int.from_bytes(hashlib.sha256(word.encode()).digest()[:8], "big")


def check_text(number: int) -> str:
    """A checksum as the mark spells it.

    Examples
    --------
    >>> check_text(0), check_text(CHECKS - 1)
    ('AAA', '___')
    """
    return "".join(DIGITS[number >> 6 * place & 63] for place in reversed(range(CHECK_LENGTH)))


def check_number(text: str) -> int:
    """A checksum from the way the mark spells it.

    Examples
    --------
    >>> check_number("__-")
    262142
    """
    number = 0
    for sign in text:
        number = number << 6 | max(DIGITS.find(sign), 0)
    return number


@dataclass(frozen=True, slots=True)
class Sums:
    """Checksums of columns, by their number, and of rows taken some together."""

    columns: dict[int, int]
    rows: list[int]


def block_sums(cells: Cells, *, height: int, columns: Iterable[int], rows_a_check: int) -> Sums:
    """Checksums of the columns, and of the rows taken ``rows_a_check`` together."""
    by_column: dict[int, list[str]] = {column: [] for column in columns}
    by_row: list[list[str]] = [[] for _ in range(-(-height // rows_a_check))]
    for (row, column), words in cells.items():
        if column in by_column and row <= height:
            by_column[column].append(words)
            by_row[(row - 1) // rows_a_check].append(words)
    return Sums(
        {column: checksum(words) for column, words in by_column.items()},
        [checksum(words) for words in by_row],
    )


MARK_NAME = "_costing_sheet"
LONGEST_LITERAL = 240
"""A text in a formula may have 255 characters; longer marks are joined with ``&``."""
FIELDS = 6
"""Of a mark; earlier versions wrote one more, which is not read."""
MOST_ROW_CHECKS = 2_000
FEW = 500
"""So many blank cells are told one by one when nothing but them can have been edited. [cells]"""
NUMBERS = re.compile(r"(\d{1,7})x(\d{1,5});(\d{1,7})\+(\d{1,7})/(\d{1,4})")
LITERAL = re.compile(r'"((?:[^"]|"")*)"')


@dataclass(frozen=True, slots=True)
class Mark:
    """What the hidden name of a sheet says.

    Parameters
    ----------
    mark : str
        Key of the sheet.
    height, width : int
        Size of the block from A1 on. [rows, columns]
    header : int
        Row of the headings, 0 for none.
    table_rows : int
        Rows of its table below the headings, 0 without a table.
    rows_a_check : int
        How many rows share a checksum.
    columns, rows : tuple of str
        Checksums.
    persons : tuple of int
        Columns, from 1, whose table rows were there for the person to write in.
    """

    mark: str
    height: int
    width: int
    header: int = 0
    table_rows: int = 0
    rows_a_check: int = 1
    columns: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()
    persons: tuple[int, ...] = ()

    @property
    def trailing(self) -> int:
        """Rows of the block below its table."""
        return self.height - self.header - self.table_rows if self.table_rows else 0

    def formula(self) -> str:
        """The mark as the text of a defined name."""
        text = ";".join(
            [
                self.mark,
                f"{self.height}x{self.width}",
                f"{self.header}+{self.table_rows}/{self.rows_a_check}",
                "".join(self.columns),
                "".join(self.rows),
                ",".join(map(str, self.persons)),
            ]
        )
        pieces = [text[at : at + LONGEST_LITERAL] for at in range(0, len(text), LONGEST_LITERAL)]
        return "&".join(f'"{piece}"' for piece in pieces)


def read_mark(formula: str) -> Mark | None:
    """The mark in the text of a defined name, None when it is none.

    Examples
    --------
    >>> mark = Mark("to_buy", 12, 2, columns=("AAA", "AAB"))
    >>> read_mark(mark.formula()) == mark, read_mark("Sheet1!$A$1")
    (True, None)
    """
    text = "".join(found.group(1) for found in LITERAL.finditer(formula))
    fields = text.split(";")
    if len(fields) not in (FIELDS, FIELDS + 1):
        return None
    numbers = NUMBERS.fullmatch(";".join(fields[1:3]))
    if numbers is None:
        return None
    height, width, header, table_rows, rows_a_check = map(int, numbers.groups())
    return Mark(
        fields[0],
        height,
        width,
        header,
        table_rows,
        max(rows_a_check, 1),
        _checks(fields[3]),
        _checks(fields[4]),
        tuple(whole(column, 0) for column in fields[5].split(",") if column),
    )


def _checks(text: str) -> tuple[str, ...]:
    return tuple(text[at : at + CHECK_LENGTH] for at in range(0, len(text), CHECK_LENGTH))


def new_mark(sheet: ResultSheet, cells: Cells) -> Mark:
    """The mark of a block that holds ``cells``."""
    rows_a_check = max(-(-sheet.height // MOST_ROW_CHECKS), 1)
    body = sheet.height - sheet.trailing
    persons = tuple(sorted(sheet.persons_columns))
    checked = without_persons(cells, header=sheet.header_row, body=body, columns=persons)
    sums = block_sums(
        checked,
        height=sheet.height,
        columns=range(1, sheet.width + 1),
        rows_a_check=rows_a_check,
    )
    return Mark(
        sheet.mark,
        sheet.height,
        sheet.width,
        sheet.header_row,
        sheet.table_height if sheet.table is not None else 0,
        rows_a_check,
        tuple(map(check_text, sums.columns.values())),
        tuple(map(check_text, sums.rows)),
        persons,
    )


def without_persons(cells: Cells, *, header: int, body: int, columns: Iterable[int]) -> Cells:
    """The cells, without those that are there for the person to write in."""
    persons = frozenset(columns)
    return {
        at: words
        for at, words in cells.items()
        if not (at[1] in persons and header < at[0] <= body)
    }


def edited_cells(mark: Mark, cells: Cells, *, height: int, columns: Sequence[int]) -> set[At]:
    """Cells of our block that no longer hold what was written, as far as the checksums tell.

    A column and a row that changed by the same amount point at one cell. What cannot be told so
    (two edits in one row) points at all cells where a changed row crosses a changed column, blank
    ones only when all of them are. Sorting changes no column, so a list that was only sorted is
    not called edited.

    Parameters
    ----------
    mark : Mark
        As it was written.
    cells : mapping
        What stands there now, without what the person was to write.
    height : int
        Rows of the block now.
    columns : sequence of int
        Columns of the block that are ours, now, in order.
    """
    sums = block_sums(cells, height=height, columns=columns, rows_a_check=mark.rows_a_check)
    changed_columns = [columns[n] for n in _changed(list(sums.columns.values()), mark.columns)]
    if not changed_columns:
        return set()
    changed_rows = _changed(sums.rows, mark.rows)
    found: set[At] = set()
    if len(sums.rows) == len(mark.rows) and len(sums.columns) == len(mark.columns):
        by_column = {
            column: (sums.columns[column] - check_number(mark.columns[n])) % CHECKS
            for n, column in enumerate(columns)
        }
        by_row = [(s - check_number(mark.rows[n])) % CHECKS for n, s in enumerate(sums.rows)]
        for column in tuple(changed_columns):
            alike = [row for row in changed_rows if by_row[row] == by_column[column]]
            if len(alike) == 1:
                changed_columns.remove(column)
                changed_rows.remove(alike[0])
                found |= _crossing(alike, [column], mark.rows_a_check, height)
    rows, crossed = frozenset(changed_rows), frozenset(changed_columns)
    holding = {at for at in cells if (at[0] - 1) // mark.rows_a_check in rows and at[1] in crossed}
    if not holding and len(rows) * len(crossed) <= FEW:
        holding = _crossing(changed_rows, changed_columns, mark.rows_a_check, height)
    return found | holding


def _crossing(rows: Iterable[int], columns: Iterable[int], per: int, height: int) -> set[At]:
    """Cells where the rows of some checksums cross some columns."""
    return {
        (row, column)
        for number in rows
        for row in range(number * per + 1, min(number * per + per, height) + 1)
        for column in columns
    }


def _changed(sums: Sequence[int], written: Sequence[str]) -> list[int]:
    """Numbers, from 0, of the checksums that were not written: neither there nor elsewhere."""
    now = [check_text(number) for number in sums]
    same = {n for n, pair in enumerate(zip(now, written, strict=False)) if pair[0] == pair[1]}
    elsewhere = Counter(check for n, check in enumerate(written) if n not in same)
    changed = []
    for n, check in enumerate(now):
        if n in same:
            continue
        if elsewhere[check] > 0:
            elsewhere[check] -= 1
        else:
            changed.append(n)
    return changed


@dataclass(frozen=True, slots=True)
class OwnSheet:
    """A sheet of ours in the workbook."""

    mark: Mark
    tab: Tab
    position: int
    name: DefinedName


def own_sheets(book: WorkbookPart) -> dict[str, OwnSheet]:
    """The sheets of ours by mark; of two alike (a copied tab) the older one."""
    found: dict[str, OwnSheet] = {}
    for name in book.names:
        if name.name != MARK_NAME or name.tab is None or name.tab >= len(book.tabs):
            continue
        mark, tab = read_mark(name.text), book.tabs[name.tab]
        if mark is None or not tab.part or tab.kind != "worksheet":
            continue
        other = found.get(mark.mark)
        if other is None or tab.sheet_id < other.tab.sheet_id:
            found[mark.mark] = OwnSheet(mark, tab, name.tab, name)
    return found
