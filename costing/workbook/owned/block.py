"""A result sheet as it is in the file: what its cells hold, and where the block on it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from costing.findings import Grade, Place, Words, message
from costing.workbook.owned.marks import (
    At,
    Cells,
    Mark,
    content_words,
    row_checks,
    strange_rows,
    without_user_cells,
)
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.addresses import column_letters, corners
from costing.workbook.package.cellxml import NewCell, cell_text, number_words, serial
from costing.workbook.package.refusals import Refused
from costing.workbook.package.sheetdata import SheetCell, SheetRow, shown, unescaped
from costing.workbook.package.sheetrows import read_rows
from costing.workbook.package.tableparts import TableState
from costing.workbook.package.xmlparts import Document

ShownValue = str | float | bool | None
Corners = tuple[int, int, int, int]
"""First row, first column, last row, last column."""


def written_value(cell: NewCell, *, from_1904: bool) -> ShownValue:
    """What a program will read from a cell that is written."""
    value = cell.value
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return unescaped(cell_text(value))
    if isinstance(value, date):
        value = serial(value, from_1904=from_1904)
    return float(number_words(value))


def words_of_sheet(sheet: ResultSheet, *, from_1904: bool, by_value: bool = False) -> dict[At, str]:
    """Content of the block that is to be written; ``by_value``: of formulas what they give."""
    return {
        (row, column): content_words(
            written_value(cell, from_1904=from_1904), formula=None if by_value else cell.formula
        )
        for row, cells in enumerate(sheet.rows, 1)
        for column, cell in enumerate(cells, 1)
        if cell is not None and not cell.blank
    }


@dataclass(slots=True)
class OldSheet:
    """A result sheet as it is in the file."""

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
    def shown_words(self) -> dict[At, str]:
        """Content of the cells, of formulas what they give."""
        return {at: content_words(value, formula=None) for at, value in self.values.items()}

    @property
    def last(self) -> At:
        """Lowest row and rightmost column with a cell, be it a blank one."""
        with_cells = [row for row in self.rows if row.cells]
        return (
            max((row.number for row in with_cells), default=0),
            max((row.cells[-1].column for row in with_cells), default=0),
        )

    @property
    def arrays(self) -> dict[str, Corners]:
        """Ranges of the array formulas over several cells, as they are spelled."""
        references = (
            cell.formula_attributes.get("ref", "")
            for row in self.rows
            for cell in row.cells
            if cell.formula_attributes.get("t") == "array"
        )
        found = ((reference, corners(reference)) for reference in references)
        return {ref: where for ref, where in found if where and where[:2] != where[2:]}

    @property
    def merged(self) -> dict[str, Corners]:
        """Merged ranges, as they are spelled."""
        listed = self.document.root.child("mergeCells")
        references = [one.attributes.get("ref", "") for one in listed.children] if listed else []
        found = ((reference, corners(reference)) for reference in references)
        return {reference: where for reference, where in found if where}

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
    """A result sheet from its part."""
    document = Document(data, skip={"sheetData"})
    return OldSheet(document, read_rows(document.bytes), strings)


@dataclass(slots=True)
class Block:
    """The block as it is in the file: from A1 on, without columns of the user.

    Parameters
    ----------
    header, body, bottom : int
        Row of the headings, last row of the table (of the block without one), last row of the
        block.
    width : int
        Last result column.
    totals : int
        Rows of totals that the user switched on below the table.
    typed : list of int
        Rows that the user typed into the table.
    edited : list of int
        Result rows that were edited since they were written.
    """

    header: int
    body: int
    bottom: int
    width: int
    totals: int = 0
    typed: list[int] = field(default_factory=list)
    edited: list[int] = field(default_factory=list)


def find_block(
    mark: Mark, table: TableState | None, sheet: ResultSheet, old: OldSheet, *, title: str
) -> Block:
    """Find the block in the file.

    ``old``: what was found there. A mark and a table are not believed further than its cells reach.

    Raises
    ------
    Refused
        If a column was put in between those of the block, or if an array formula or merged cells
        lie in it.
    """
    lowest, rightmost = old.last
    if table is None:
        height, right = min(mark.height, lowest), min(mark.width, rightmost)
        block = Block(min(mark.header, height), height, height, right)
    else:
        top, _, last_row, _ = table.corners
        _check_columns(mark, table, sheet, old.words, Place(title, top))
        # a program may let a table reach below the last cell there is
        last_row = min(last_row, max(lowest, top + 1))
        bottom = min(last_row + mark.trailing, max(lowest, last_row))
        right = len(table.headings)  # columns typed beside it belong to it
        width = min(mark.width, right)
        block = Block(top, last_row - table.totals, bottom, width, table.totals)
    for ranges, refusal in ((old.arrays, array_formula), (old.merged, merged_cells_in_results)):
        for reference, where in ranges.items():
            if where[0] <= block.bottom and where[1] <= right:
                place = Place(title, where[0], column_letters(where[1]))
                raise Refused(refusal(place, reference))
    _judge_rows(mark, block, old.words)
    return block


def _check_columns(
    mark: Mark, table: TableState, sheet: ResultSheet, words: Cells, place: Place
) -> None:
    """Refuse columns put in before or between those of the block; at its right they are let be."""
    top, first, _, _ = table.corners
    if first > 1:
        raise Refused(column_between(replace(place, column="A"), "A"))
    if len(table.headings) <= mark.width:
        return
    (check,) = row_checks(words, rows=[top], width=mark.width)
    known = {heading.casefold() for heading in sheet.headings}
    for column, heading in enumerate(table.headings[: mark.width], 1):
        # Headings as they were written may be those of an earlier version.
        if heading.casefold() not in known and check not in mark.rows:
            raise Refused(column_between(replace(place, column=column_letters(column)), heading))


def _judge_rows(mark: Mark, block: Block, cells: Cells) -> None:
    """Tell the rows by which the table grew, and those that were edited, by their checksums.

    Of the rows that hold nothing that was written, as many as the table grew by are typed ones,
    the lowest of them, as rows are mostly typed at the foot.
    """
    more = max(block.body - block.header - mark.table_rows, 0) if mark.table_rows else 0
    inside = range(block.header + 1, block.body + 1)
    if not mark.rows:
        block.typed = list(inside[len(inside) - more :])
        return
    user_columns = [column for column in mark.user_columns if column <= block.width]
    block_cells = without_user_cells(
        cells, header=block.header, body=block.body, columns=user_columns
    )
    totals = range(block.body + 1, block.body + block.totals + 1)
    rows = [row for row in range(1, block.bottom + 1) if row not in totals]
    checks = row_checks(block_cells, rows=rows, width=block.width)
    strange = strange_rows(dict(zip(rows, checks, strict=True)), mark.rows)
    block.typed = [row for row in strange if row in inside][-more:] if more else []
    block.edited = [row for row in strange if row not in block.typed]


ASIDE = "to the right of the results, or below them"


@message("column between results", Grade.ERROR)
def column_between(heading: str) -> Words:
    return Words(
        f'the column "{heading}" put in between the result columns',
        "columns of your own to the right of the table",
        "Move it to the right of the table and run again.",
    )


@message("array formula in results", Grade.ERROR)
def array_formula(reference: str) -> Words:
    return Words(
        f"an array formula over the result cells {reference}",
        f"array formulas {ASIDE}",
        "Move it there, or delete it, and run again.",
    )


@message("merged cells in results", Grade.ERROR)
def merged_cells_in_results(reference: str) -> Words:
    """Merged cells would hide what is written into them."""
    return Words(
        f"the result cells {reference} merged",
        f"merged cells {ASIDE}",
        "Unmerge them and run again.",
    )
