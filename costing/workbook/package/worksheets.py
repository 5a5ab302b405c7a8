"""What a workbook shows: its worksheets, with their cells, tables, merged cells and hidden rows.

One pass over a sheet's part gives of each cell what it shows, in which format, and whether a
formula gave it. Blank cells are not kept, whatever their format, nor are those behind the corner
of a merged range, which no program shows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from math import isfinite

from costing.workbook.package.addresses import address, corners, whole
from costing.workbook.package.cellxml import DAY_0, DAY_0_IN_1904
from costing.workbook.package.numberformats import (
    GENERAL,
    NumberFormat,
    cell_formats,
    moment,
    spelled_out,
)
from costing.workbook.package.sheetdata import parsed_rows, shared_strings, unescaped
from costing.workbook.package.sheetrows import (
    COLUMNS,
    Unusual,
    filled_cells,
    plain_rows,
    without_rows,
    words,
)
from costing.workbook.package.tableparts import TableState, tables_on
from costing.workbook.package.workbookpart import Tab, WorkbookPart
from costing.workbook.package.xmlparts import Document, decoded, says_yes

ShownInCell = str | int | float | bool | date | time | timedelta | None
LONGEST_QUOTE = 80
"""A longer text is cut where a message quotes it. [characters]"""
UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f]")
"""Signs that no program shows, and that would steer a terminal."""
NO_DATE = "########"
"""What a number shows that no date has, in a format of dates: an error."""


@dataclass(slots=True)
class FilledCell:
    """A cell that holds something, as it is shown.

    Parameters
    ----------
    row, column : int
        Both from 1.
    value : text, number, truth value, date or time, optional
        What it shows. ``None``: a formula without a stored result.
    number_format : str
        How it shows a number, as spreadsheet programs spell it.
    error : bool
        Whether it shows an error, which is its value.
    """

    row: int
    column: int
    value: ShownInCell
    number_format: str = GENERAL
    error: bool = False
    formula: bool = False


@dataclass(slots=True)
class Worksheet:
    """A worksheet.

    Parameters
    ----------
    hidden : bool
        Whether it is not among the tabs.
    rows : dict of int to dict of int to FilledCell
        Cells that hold something, by row and column.
    merged : list of tuple of int
        Merged ranges: first row, first column, last row, last column.
    """

    title: str
    hidden: bool = False
    rows: dict[int, dict[int, FilledCell]] = field(default_factory=dict)
    hidden_rows: set[int] = field(default_factory=set)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    tables: list[TableState] = field(default_factory=list)


class Unreadable(Exception):
    """A part that is well-formed and says what no program can mean; the text says where."""


def epoch_of(book: WorkbookPart) -> datetime:
    """Day 0 of a workbook."""
    return DAY_0_IN_1904 if book.from_1904 else DAY_0


def read_worksheets(book: WorkbookPart, *, aside: str) -> list[Worksheet]:
    """The worksheets of a workbook that passed the gate, in their order.

    ``aside``: worksheets with a name of this name are left out.

    Raises
    ------
    Unreadable
        If a cell names a text or a format that is not there, or holds no value of its type.
    XmlFault
        If a part is not well-formed, or in an encoding that is not read.
    """
    package = book.package
    left_out = {name.tab for name in book.names if name.name == aside}
    styles, strings = book.part_of("styles"), book.part_of("sharedStrings")
    try:
        texts = shared_strings(decoded(package.read(strings)).text) if strings else []
        formats = cell_formats(package.read(styles) if styles else None)
    except ValueError as fault:
        raise Unreadable(str(fault)) from None
    shown = _Shown(texts, formats, epoch_of(book))
    read: dict[str, Worksheet] = {}  # a part once, however many tabs lead to it
    sheets = []
    for position, tab in enumerate(book.tabs):
        if tab.kind == "worksheet" and tab.part and position not in left_out:
            one = read.get(tab.part) or read.setdefault(tab.part, _read(book, tab, shown))
            sheets.append(replace(one, title=tab.title, hidden=tab.hidden))
    return sheets


class _Shown:
    """What cells show: texts and formats of the workbook."""

    def __init__(
        self, strings: Sequence[str], formats: Sequence[NumberFormat], epoch: datetime
    ) -> None:
        self.strings = [_seen(text) for text in strings]
        self.formats = formats
        self.epoch = epoch
        self.by_type: dict[str, Callable[[str, NumberFormat], ShownInCell]] = {
            "n": self.number,
            "s": lambda text, _: self.strings[_place(text)],
            "b": lambda text, _: _TRUTH[text.strip()],
            "d": lambda text, _: spelled_out(text.strip()),
        }

    def number(self, text: str, shown_as: NumberFormat) -> ShownInCell:
        """A number, or the day or time that its format makes of it."""
        if not text.strip():
            return None
        value = _number(text)
        if not shown_as.dated:
            return value
        try:
            return moment(value, self.epoch, elapsed=shown_as.elapsed)
        except OverflowError:
            return NO_DATE

    def cell(
        self, row: int, column: int, style: int, kind: str, text: str | None, formula: bool
    ) -> FilledCell | None:
        """A cell, ``None`` when it holds nothing."""
        if not text and not formula:
            return None
        if style >= len(self.formats):
            found = f'"{(text or "")[:LONGEST_QUOTE]}" in a format that is not there'
            raise Unreadable(f"{address(row, column)}: {found}")
        shown_as = self.formats[style]
        read = self.by_type.get(kind)
        try:
            if not text:
                # the result of a formula may be an empty text, which is not a result that lacks
                value: ShownInCell = "" if kind == "str" and formula else None
            elif read is not None:
                value = read(text, shown_as)
            else:
                value = _seen(text)
        except (IndexError, KeyError, OverflowError, ValueError):
            found = f'"{(text or "")[:LONGEST_QUOTE]}" as a cell of the type {kind}'
            raise Unreadable(f"{address(row, column)}: {found}") from None
        if not formula and (value is None or value == ""):
            return None
        error = kind == "e" or value is NO_DATE
        return FilledCell(row, column, value, shown_as.code, error, formula)


_TRUTH = {"0": False, "1": True, "false": False, "true": True}


def _seen(text: str) -> str:
    """A text from the way it is spelled, what nobody can see in it marked."""
    text = unescaped(text)
    return text if text.isprintable() else UNSEEN.sub("\ufffd", text)


def _place(text: str) -> int:
    place = whole(text.strip(), -1)
    if place < 0:
        raise ValueError
    return place


def _number(text: str) -> int | float:
    """The number that digits spell; whole ones without a point are whole."""
    if "_" in text or not text.isascii():  # which Python reads past, and as digits
        raise ValueError
    try:
        return int(text)
    except ValueError:
        value = float(text)
    if not isfinite(value):
        raise ValueError
    return value


def _read(book: WorkbookPart, tab: Tab, shown: _Shown) -> Worksheet:
    """A worksheet from its part."""
    found = Worksheet(tab.title, tab.hidden)
    part = book.package.read(tab.part)
    spelled = decoded(part)
    around = part  # unless its rows need no second look
    try:
        try:
            _fill_from_patterns(found, spelled.text, shown)
            if spelled.encoding == "utf-8":
                around = b"".join(without_rows(part))
        except Unusual:
            found.rows.clear()
            found.hidden_rows.clear()
            _fill_from_parser(found, spelled.text, shown)
    except Unreadable as fault:
        raise Unreadable(f"{tab.title}!{fault}") from None
    listed = Document(around, skip={"sheetData"}).root.child("mergeCells")
    for merged in listed.all("mergeCell") if listed else ():
        where = corners(merged.attributes.get("ref", ""))
        if where is not None and where[:2] != where[2:]:
            found.merged.append(where)
            _uncover(found, where)
    found.tables = tables_on(book.package, tab.part)
    return found


def _fill_from_patterns(found: Worksheet, data: bytes, shown: _Shown) -> None:
    """Cells and hidden rows of a part that is spelled in the usual way."""
    for one in plain_rows(data, keep="none"):
        if says_yes(one.attributes.get("hidden", "")):
            found.hidden_rows.add(one.number)
    kinds: dict[bytes, str] = {b"": "n"}
    rows = found.rows
    for letters, number, style, kind, formula, value, inline in filled_cells(data):
        row = int(number)
        kept = kinds.get(kind) or kinds.setdefault(kind, kind.decode())
        text = words(inline if kept == "inlineStr" else value)
        column = COLUMNS[letters]
        cell = shown.cell(row, column, int(style or 0), kept, text, bool(formula))
        if cell is not None:
            if row in rows:
                rows[row][column] = cell
            else:
                rows[row] = {column: cell}


def _fill_from_parser(found: Worksheet, data: bytes, shown: _Shown) -> None:
    """The same of a part that is spelled in any other way."""
    for row in parsed_rows(data, keep="filled"):
        if says_yes(row.attributes.get("hidden", "")):
            found.hidden_rows.add(row.number)
        for raw in row.cells:
            inline = raw.kind == "inlineStr"
            text = raw.text if (raw.value_span is None) == inline else None
            formula = raw.formula is not None
            cell = shown.cell(raw.row, raw.column, raw.style, raw.kind, text, formula)
            if cell is not None:
                found.rows.setdefault(raw.row, {})[raw.column] = cell


def _uncover(found: Worksheet, where: tuple[int, int, int, int]) -> None:
    """Leave out what is behind a merged range."""
    top, left, bottom, right = where
    # The gate has judged how many cells are covered, and not how many are filled in.
    for number in range(top, bottom + 1):
        cells = found.rows.get(number, {})
        for column in range(left, right + 1) if cells else ():
            if (number, column) != (top, left):
                cells.pop(column, None)
        if not cells:
            found.rows.pop(number, None)
