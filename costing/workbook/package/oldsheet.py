"""A sheet of ours as it stands in the file, and what a program will read from the new one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from costing.workbook.package.addresses import corners
from costing.workbook.package.cells import ResultCell, ResultSheet
from costing.workbook.package.cellxml import cell_text, number_words, serial
from costing.workbook.package.checksums import At, content_words
from costing.workbook.package.offsets import Document
from costing.workbook.package.sheetcells import read_rows
from costing.workbook.package.sheetrows import SheetCell, SheetRow, shown, unescaped

Shown = str | float | bool | None


def written_value(cell: ResultCell, *, from_1904: bool) -> Shown:
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
    values: dict[At, Shown] = field(default_factory=dict)
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
