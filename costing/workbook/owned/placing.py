"""What on a result sheet is the user's, and where it is after the next run.

Beside the block: columns added to its table, and everything to the right. Where the sheet names key
columns, what is beside a row goes with the row, and so does what the user wrote into columns
that are there for it; else it keeps its place. Below the block: everything under it, and rows typed
into the table's foot. It keeps its place unless the block grows over it; then all of it moves down
together.

A table, an array formula or merged cells of the user's over several rows beside the block keep
their rows. Comments, validations and conditional formats stay at their addresses.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from costing.workbook.owned.block import Block
from costing.workbook.owned.marks import At, Cells
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.cellxml import NewCell
from costing.workbook.package.sheetdata import SheetCell, SheetRow


@dataclass(slots=True)
class Places:
    """Where the user's cells stand now.

    Parameters
    ----------
    cells : dict
        Old cell by its new row and column.
    rows : dict
        Old row by new row, for rows that are wholly the user's.
    rows_of_block : dict of int to int
        New row by old row, for rows of the table that are still there.
    columns : dict of int to int
        New column by old column, of those beside the block.
    right, down : int
        How far what is beside and below the block is moved. [columns, rows]
    """

    cells: dict[At, SheetCell] = field(default_factory=dict)
    rows: dict[int, SheetRow] = field(default_factory=dict)
    rows_of_block: dict[int, int] = field(default_factory=dict)
    columns: dict[int, int] = field(default_factory=dict)
    right: int = 0
    down: int = 0


class Placer:
    """Works out where the user's cells go when the block is rewritten.

    Parameters
    ----------
    old_headings : mapping of int to str
        Heading of each result column in the file.
    whole : sequence of tuple of int
        Ranges over several rows that must not be torn: tables, array formulas, merged cells.
    words : mapping
        What the cells of the file show.
    new_words : mapping
        What the cells of the new block show.
    """

    def __init__(
        self,
        block: Block,
        rows: Sequence[SheetRow],
        sheet: ResultSheet,
        *,
        old_headings: Mapping[int, str],
        whole: Sequence[tuple[int, int, int, int]],
        words: Cells,
        new_words: Cells,
    ) -> None:
        self.block, self.rows, self.sheet = block, rows, sheet
        self.words, self.new_words = words, new_words
        self.whole = whole
        new_columns = {h.casefold(): n for n, h in enumerate(sheet.headings, 1)}
        self.new_column = {
            column: new_columns[heading.casefold()]
            for column, heading in old_headings.items()
            if heading.casefold() in new_columns
        }
        self.kept = Places()

    def place(self) -> Places:
        """Place everything."""
        block, kept = self.block, self.kept
        kept.right = self.sheet.width - block.width
        last = max((row.cells[-1].column for row in self.rows if row.cells), default=0)
        kept.columns = {c: c + kept.right for c in range(block.width + 1, last + 1)}
        kept.rows_of_block = self._rows_of_block()
        own_foot = self.sheet.height + (block.totals if self._keeps_totals else 0)
        free = own_foot + 2
        inside = [row for row in self.rows if row.number <= block.bottom]
        # What cannot move has the first right to its cells; notes go where there is room.
        for row in inside:
            self._place_whole(row)
        for row in inside:
            if block.body < row.number <= block.body + block.totals and self._keeps_totals:
                self._place_row(row, self.sheet.height + row.number - block.body)
            elif self._is_persons(row.number):
                self._place_row(row, free)
                free += 1
            elif self._place_beside(row, free):
                free += 1
        lowest = max((at[0] for at in kept.cells), default=0)
        self._place_below(max(own_foot, lowest))
        return kept

    def _is_persons(self, row: int) -> bool:
        """Whether a row inside the block was typed in, or totals of the table."""
        block = self.block
        return row in block.typed or block.body < row <= block.body + block.totals

    @property
    def _keeps_totals(self) -> bool:
        """Totals stay where the table's foot is the block's foot."""
        return bool(self.block.totals) and self.sheet.trailing == 0

    def _rows_of_block(self) -> dict[int, int]:
        """New row of every old row of the block."""
        block, sheet = self.block, self.sheet
        rows = {row: row for row in range(1, block.header)}
        rows[block.header] = sheet.header_row
        data = [r for r in range(block.header + 1, block.body + 1) if r not in block.typed]
        if not sheet.key_columns:
            rows |= {row: sheet.header_row + n for n, row in enumerate(data, 1)}
        else:
            rows |= self._rows_by_key(data)
        trailing = range(block.body + block.totals + 1, block.bottom + 1)
        foot = sheet.height - sheet.trailing
        return rows | {row: foot + n for n, row in enumerate(trailing, 1)}

    def _rows_by_key(self, data: Iterable[int]) -> dict[int, int]:
        """New row of every old row whose key is still there, in order among equal keys.

        Rows that are told apart by more than their key are matched by all of it first. Of those
        that are left, what may change is dropped bit by bit; then a row is the same one only if
        none of its like came or went, as nobody could say which of them it is.
        """
        sheet = self.sheet
        old_column = {new: old for old, new in self.new_column.items()}
        new = range(sheet.header_row + 1, sheet.height - sheet.trailing + 1)
        old, rows = list(data), dict[int, int]()
        for more in range(len(sheet.then_columns), -1, -1):  # most of the key first
            columns = sheet.key_columns + sheet.then_columns[:more]
            before = _by_key(old, self.words, [old_column.get(c, 0) for c in columns])
            taken = set(rows.values())
            now = _by_key((row for row in new if row not in taken), self.new_words, columns)
            for words, same in before.items():
                alike = now.get(words, [])
                if more == len(sheet.then_columns) or len(same) == len(alike):
                    rows |= zip(same, alike, strict=False)
            old = [row for row in old if row not in rows]
        return rows

    def _place_beside(self, row: SheetRow, free: int) -> bool:
        """Place what is beside a row of the block; True when it went to the row ``free``."""
        beside = [
            cell
            for cell in row.cells
            if cell.column in self.kept.columns and not self._is_whole(cell)
        ]
        ticks = self._ticks(row)
        new = self.kept.rows_of_block.get(row.number)
        places = [(new or 0, self.kept.columns[cell.column]) for cell in beside]
        if new is not None and self.kept.cells.keys().isdisjoint(places):
            self.kept.cells.update(zip(places, beside, strict=True))
            for cell in ticks:
                at = (new, self.new_column[cell.column])
                written = self._written(at)
                if written is None or written.blank:
                    self.kept.cells[at] = cell
            return False
        if not any(cell.holds for cell in [*beside, *ticks]):
            return False
        named = {*self.sheet.key_columns, *self.sheet.then_columns}
        keys = [c for c in row.cells if self.new_column.get(c.column) in named]
        for cell in [*beside, *ticks, *keys]:
            self._put(free, self._any_column(cell.column), cell)
        return True

    def _put(self, row: int, column: int, cell: SheetCell) -> None:
        """Put a cell into a row, further right where another one has its place."""
        while (row, column) in self.kept.cells:
            column += 1
        self.kept.cells[row, column] = cell

    def _place_whole(self, row: SheetRow) -> None:
        """Place what must not be torn: beside the block, in the rows where it is."""
        for cell in row.cells:
            if cell.column in self.kept.columns and self._is_whole(cell):
                self.kept.cells[row.number, self.kept.columns[cell.column]] = cell

    def _is_whole(self, cell: SheetCell) -> bool:
        """Whether a cell belongs to a range that must not be torn."""
        return any(
            top <= cell.row <= bottom and left <= cell.column <= right
            for top, left, bottom, right in self.whole
        )

    def _ticks(self, row: SheetRow) -> list[SheetCell]:
        """What the user wrote into the columns of the block that are there for it."""
        if not self.sheet.key_columns or not self.block.header < row.number <= self.block.body:
            return []
        return [
            cell
            for cell in row.cells
            if cell.holds and self.new_column.get(cell.column) in self.sheet.user_columns
        ]

    def _written(self, at: At) -> NewCell | None:
        row, column = at
        cells = self.sheet.rows[row - 1] if row <= len(self.sheet.rows) else ()
        return cells[column - 1] if column <= len(cells) else None

    def _place_row(self, row: SheetRow, new: int) -> None:
        """Place a whole row of the user's; the columns of the block go with it."""
        self.kept.rows[new] = row
        for cell in row.cells:
            self._put(new, self._any_column(cell.column), cell)

    def _any_column(self, column: int) -> int:
        return self.kept.columns.get(column) or self.new_column.get(column, column)

    def _place_below(self, used: int) -> None:
        """Place what is below, moved down all together when the block would lie over it."""
        below = [row for row in self.rows if row.number > self.block.bottom]
        first = min((row.number for row in below if row.cells), default=0)
        down = 0
        if first and first <= used:
            down = max(used - self.block.bottom, used + 1 - first)
        self.kept.down = down
        for row in below:
            new = row.number + down
            self.kept.rows[new] = row
            for cell in row.cells:
                self.kept.cells[new, cell.column] = cell


def _by_key(
    rows: Iterable[int], words: Cells, columns: Sequence[int]
) -> dict[tuple[str, ...], list[int]]:
    """Rows by what they show in some columns, in order."""
    found: dict[tuple[str, ...], list[int]] = {}
    for row in rows:
        found.setdefault(tuple(words.get((row, column), "") for column in columns), []).append(row)
    return found
