"""Which sheets are result sheets, how large their block was, and which rows of it were edited.

A result sheet carries a hidden name of its own, ``_costing_sheet``, that holds a text: the mark,
the size of the block, and a checksum of every row. Unlike a tab's title and a part's name it
survives renaming, moving, and saving by any spreadsheet program.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import isclose, isfinite

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.addresses import whole
from costing.workbook.package.workbookpart import DefinedName, Tab, WorkbookPart

MARK_NAME = "_costing_sheet"
LONGEST_LITERAL = 240
"""A text in a formula may have 255 characters; longer marks are joined with ``&``."""
FIELDS = 6
"""Of a mark; the fourth is blank, and what another version wrote behind them is passed over."""
MOST_CHECKED_ROWS = 2_000
"""A longer block has no checksums: a name holds 8,192 characters. [rows]"""
NUMBERS = re.compile(r"(\d{1,7})x(\d{1,5});(\d{1,7})\+(\d{1,7})/1")
LITERAL = re.compile(r'"((?:[^"]|"")*)"')
CHECK_LENGTH = 3
"""Length of a checksum. [characters of 6 bits]"""
CHECKS = 1 << 6 * CHECK_LENGTH
DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
SECONDS_OF_A_DAY = 86_400
LAST_DIGIT = 1e-14
"""The most that one in the last of 15 digits is, as a part of a number."""
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
    return f"n{_at_whole_second(value):.15g}"


def _at_whole_second(value: float) -> float:
    """A number of days at the whole second that it stands for, if it is near to one.

    Programs work out the serial number of an instant each in its own way, so that its last digits
    differ; where they lie between two numbers of 15 digits, so would these.
    """
    seconds = value * SECONDS_OF_A_DAY
    if not isfinite(seconds):
        return value
    whole_second = round(seconds) / SECONDS_OF_A_DAY
    return whole_second if isclose(value, whole_second, rel_tol=LAST_DIGIT) else value


def checksum(words: Iterable[str]) -> str:
    """A short text for the contents of a row, whatever their order; blank ones count for nothing.

    Examples
    --------
    >>> checksum([]), checksum(["", "sleek"]) == checksum(["sleek"])
    ('AAA', True)
    """
    # A sum, so that the order of cells does not matter.
    number = sum(_hash(word) for word in words if word) % CHECKS
    return "".join(DIGITS[number >> 6 * place & 63] for place in reversed(range(CHECK_LENGTH)))


@lru_cache(maxsize=65_536)
def _hash(word: str) -> int:
    # the mark is compared by later runs, and Python's own hash differs from run to run
    return int.from_bytes(hashlib.sha256(word.encode()).digest()[:8], "big")


BLANK_ROW = checksum([])


def row_checks(cells: Cells, *, rows: Iterable[int], width: int) -> list[str]:
    """Checksums of some rows over so many columns from the first on."""
    by_row: dict[int, list[str]] = {row: [] for row in rows}
    for (row, column), words in cells.items():
        if row in by_row and column <= width:
            by_row[row].append(words)
    return [checksum(words) for words in by_row.values()]


def without_user_cells(cells: Cells, *, header: int, body: int, columns: Iterable[int]) -> Cells:
    """The cells, without those that are there for the user to write in."""
    user_columns = frozenset(columns)
    return {
        at: words
        for at, words in cells.items()
        if not (at[1] in user_columns and header < at[0] <= body)
    }


def strange_rows(checks: Mapping[int, str], written: Collection[str]) -> list[int]:
    """Rows, of those whose checksums are given, that do not hold what any row was written with.

    A list that was only sorted has none. A row that was emptied is none either: nothing in it can
    be lost.
    """
    known = Counter(written)
    found = []
    for row, check in checks.items():
        if known[check] > 0:
            known[check] -= 1
        elif check != BLANK_ROW:
            found.append(row)
    return found


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
    rows : tuple of str
        Checksums of all rows of the block; none when it was too long.
    user_columns : tuple of int
        Columns, from 1, whose table rows were there for the user to write in.
    """

    mark: str
    height: int
    width: int
    header: int
    table_rows: int
    rows: tuple[str, ...]
    user_columns: tuple[int, ...]

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
                f"{self.header}+{self.table_rows}/1",
                "",
                "".join(self.rows),
                ",".join(map(str, self.user_columns)),
            ]
        )
        pieces = [text[at : at + LONGEST_LITERAL] for at in range(0, len(text), LONGEST_LITERAL)]
        return "&".join(f'"{piece}"' for piece in pieces)


def read_mark(formula: str) -> Mark | None:
    """The mark in the text of a defined name, None when it is none.

    Examples
    --------
    >>> mark = Mark("to_buy", 3, 2, 1, 2, ("AAA", "AAB", "AAC"), (1,))
    >>> read_mark(mark.formula()) == mark, read_mark("Sheet1!$A$1")
    (True, None)
    """
    text = "".join(found.group(1) for found in LITERAL.finditer(formula))
    fields = text.split(";")
    if len(fields) < FIELDS:
        return None
    numbers = NUMBERS.fullmatch(";".join(fields[1:3]))
    if numbers is None:
        return None
    height, width, header, table_rows = map(int, numbers.groups())
    checks = fields[4]
    return Mark(
        fields[0],
        height,
        width,
        header,
        table_rows,
        tuple(checks[at : at + CHECK_LENGTH] for at in range(0, len(checks), CHECK_LENGTH)),
        tuple(whole(column, 0) for column in fields[5].split(",") if column),
    )


def new_mark(sheet: ResultSheet, cells: Cells) -> Mark:
    """The mark of a block that holds ``cells``."""
    body = sheet.height - sheet.trailing
    user_columns = tuple(sorted(sheet.user_columns))
    checked = without_user_cells(cells, header=sheet.header_row, body=body, columns=user_columns)
    few = sheet.height <= MOST_CHECKED_ROWS
    rows = range(1, sheet.height + 1) if few else ()
    return Mark(
        sheet.mark,
        sheet.height,
        sheet.width,
        sheet.header_row,
        sheet.table_height if sheet.table is not None else 0,
        tuple(row_checks(checked, rows=rows, width=sheet.width)),
        user_columns,
    )


@dataclass(frozen=True, slots=True)
class OwnSheet:
    """A result sheet in the workbook."""

    mark: Mark
    tab: Tab
    position: int
    name: DefinedName


def own_sheets(book: WorkbookPart) -> dict[str, OwnSheet]:
    """The result sheets by mark; of two alike (a copied tab) the older one."""
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
