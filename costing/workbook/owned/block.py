"""Our block as it stands in the file: where it is, and which of its cells were edited."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from costing.workbook.owned.marks import (
    At,
    Cells,
    Mark,
    block_sums,
    check_text,
    content_words,
    edited_cells,
    without_persons,
)
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.addresses import corners
from costing.workbook.package.cellxml import ResultCell, cell_text, number_words, serial
from costing.workbook.package.sheetdata import SheetCell, SheetRow, read_rows, shown, unescaped
from costing.workbook.package.tableparts import TableState
from costing.workbook.package.xmlparts import Document

ShownValue = str | float | bool | None


def written_value(cell: ResultCell, *, from_1904: bool) -> ShownValue:
    """What a program will read from a cell that is written."""
    value = cell.value
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return unescaped(cell_text(value))
    if isinstance(value, date):
        return float(serial(value, from_1904=from_1904))
    return float(number_words(value))


def words_of_sheet(sheet: ResultSheet, *, from_1904: bool) -> dict[At, str]:
    """Content of the block that is to be written."""
    return {
        (row, column): content_words(written_value(cell, from_1904=from_1904), formula=cell.formula)
        for row, cells in enumerate(sheet.rows, 1)
        for column, cell in enumerate(cells, 1)
        if cell is not None and not cell.blank
    }


@dataclass(slots=True)
class OldSheet:
    """A sheet of ours as it stands in the file."""

    document: Document
    rows: list[SheetRow]
    strings: Sequence[str]
    values: dict[At, ShownValue] = field(default_factory=dict)
    words: dict[At, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for row in self.rows:
            for cell in row.cells:
                value = shown(cell, self.strings)
                words = content_words(value, formula=cell.formula)
                if words:
                    self.values[cell.row, cell.column] = value
                    self.words[cell.row, cell.column] = words

    @property
    def last(self) -> At:
        """Lowest row and rightmost column with a cell, be it a blank one."""
        with_cells = [row for row in self.rows if row.cells]
        return (
            max((row.number for row in with_cells), default=0),
            max((row.cells[-1].column for row in with_cells), default=0),
        )

    @property
    def arrays(self) -> list[tuple[int, int, int, int]]:
        """Ranges of the array formulas."""
        ranges = [
            corners(cell.formula_attributes.get("ref", ""))
            for row in self.rows
            for cell in row.cells
            if cell.formula_attributes.get("t") == "array"
        ]
        return [where for where in ranges if where is not None and where[:2] != where[2:]]

    @property
    def masters(self) -> dict[str, SheetCell]:
        """First cells of the shared formulas, by their number."""
        return {
            cell.formula_attributes.get("si", ""): cell
            for row in self.rows
            for cell in row.cells
            if cell.formula and cell.formula_attributes.get("t") == "shared"
        }


def read_old_sheet(data: bytes, strings: Sequence[str]) -> OldSheet:
    """A sheet of ours from its part."""
    document = Document(data, skip={"sheetData"})
    return OldSheet(document, read_rows(document.bytes), strings)


@dataclass(slots=True)
class OldBlock:
    """Our block as it stands in the file, whatever the person did around and inside it.

    Parameters
    ----------
    header, body, bottom : int
        Row of the headings, last row of the table (of the block without one), last row of the
        block.
    ours : list of int
        Columns that are ours, in order.
    joined : list of int
        Columns of the person's in the table.
    left : list of int
        Columns put in before the table.
    right_edge : int
        Last column of ours or joined.
    totals : int
        Rows of totals that the person switched on below the table.
    typed : list of int
        Rows that the person typed into the table.
    """

    header: int
    body: int
    bottom: int
    ours: list[int]
    joined: list[int] = field(default_factory=list)
    left: list[int] = field(default_factory=list)
    right_edge: int = 0
    totals: int = 0
    typed: list[int] = field(default_factory=list)


def old_block(
    mark: Mark, table: TableState | None, sheet: ResultSheet, cells: Cells, *, last: At
) -> OldBlock:
    """Find our block in the file.

    Parameters
    ----------
    mark : Mark
        As it was written.
    table : TableState, optional
        The table over it.
    sheet : ResultSheet
        What is to be written now.
    cells : mapping
        What the cells hold.
    last : tuple of int
        Lowest row and rightmost column with a cell: a mark and a table are not believed further.
    """
    lowest, rightmost = last
    if table is None:
        height, width = min(mark.height, lowest), min(mark.width, rightmost)
        header = min(mark.header, height)
        return OldBlock(header, height, height, list(range(1, width + 1)), right_edge=width)
    top, first, last_row, last_column = table.corners
    last_row = min(last_row, max(lowest, top + 1))
    last_column = min(last_column, first + max(len(table.headings), 1) - 1)
    body = last_row - table.totals
    columns = list(range(first, last_column + 1))
    more = len(columns) - mark.width
    known = {heading.casefold() for heading in sheet.headings}
    strange = [
        c for c, h in zip(columns, table.headings, strict=False) if h.casefold() not in known
    ]
    joined = strange[-more:] if more > 0 else []
    block = OldBlock(
        top,
        body,
        last_row + min(mark.trailing, max(lowest - last_row, 0)),
        [c for c in columns if c not in joined],
        joined,
        list(range(1, first)),
        last_column,
        table.totals,
    )
    block.typed = _typed_rows(mark, block, cells)
    return block


def _typed_rows(mark: Mark, block: OldBlock, cells: Cells) -> list[int]:
    """Rows by which the table grew, as far as they do not hold what was written."""
    more = block.body - block.header - mark.table_rows
    if more <= 0:
        return []
    rows = range(block.header + 1, block.body + 1)
    if mark.rows_a_check > 1:
        return list(rows[-more:])
    checked = _checked(mark, block, cells)
    now = block_sums(checked, height=block.body, columns=block.ours, rows_a_check=1).rows
    known = set(mark.rows)
    return [row for row in rows if check_text(now[row - 1]) not in known][-more:]


def _checked(mark: Mark, block: OldBlock, cells: Cells) -> Cells:
    """The cells that are compared with what was written."""
    persons = [block.ours[c - 1] for c in mark.persons if 0 < c <= len(block.ours)]
    return without_persons(cells, header=block.header, body=block.body, columns=persons)


def edited(mark: Mark, block: OldBlock, cells: Cells) -> list[At]:
    """Cells of ours that were edited, without the rows that are the person's."""
    foreign = {*block.typed, *range(block.body + 1, block.body + block.totals + 1)}
    rows = [row for row in range(1, block.bottom + 1) if row not in foreign]
    number = {row: n for n, row in enumerate(rows, 1)}
    ours = {
        (number[row], column): words
        for (row, column), words in _checked(mark, block, cells).items()
        if row in number
    }
    found = edited_cells(mark, ours, height=len(rows), columns=block.ours)
    return sorted((rows[row - 1], column) for row, column in found)
