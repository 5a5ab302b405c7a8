"""One pass over an XML part: how deep it is, and how far what a sheet holds reaches.

The pass keeps nothing but counts, so that a part of any size is judged in little memory.
"""

from __future__ import annotations

import re
import xml.parsers.expat as expat
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from costing.findings import Finding, Place
from costing.workbook.package.addresses import (
    column_letters,
    column_number,
    corners,
    whole,
)
from costing.workbook.package.limits import MEGABYTE, Limits
from costing.workbook.package.refusals import (
    Refused,
    covered_too_large,
    entity_declaration,
    nested_too_deeply,
    too_many_cells,
    too_many_columns,
    too_many_merges,
    too_many_rows,
)

LONGEST_TAG = 8 * MEGABYTE
"""A tag or comment longer than this is no part of a workbook, and slow to look at. [bytes]"""
IN_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main "
"""What stands before the names of elements that are rows and cells, and not something alike."""
LETTERS = re.compile("[A-Za-z]{1,3}")
Handler = Callable[[str, dict[str, str]], None]
COVERS = frozenset({"mergeCell", "hyperlink"})
SETTLE = 100_000
"""After so many ends of elements the counts are settled. [elements]"""
HOLDS = frozenset({"v", "f", "is"})
"""Elements of a cell that give it content."""


@dataclass(slots=True)
class Extent:
    """How far what a sheet holds reaches.

    Parameters
    ----------
    rows, columns : int
        Number of the lowest row and of the rightmost column that hold something, 0 for none.
    cells : int
        Cells written in the part, blank ones with a format included.
    merges, covered : int
        Merged ranges, and the cells that they and links cover together.
    blank_rows, blank_from : int
        Rows below the lowest one that holds something, and the offset where they start. [bytes]
    """

    rows: int = 0
    columns: int = 0
    cells: int = 0
    merges: int = 0
    covered: int = 0
    blank_rows: int = 0
    blank_from: int = 0


class NotWellFormed(Exception):
    """The part is not XML."""


class Scan:
    """The pass itself; ``sheet`` says whether rows and cells are counted.

    The handlers are closures and the ends of elements are counted by a list, since they run
    millions of times over a large workbook.

    Raises
    ------
    Refused
        As soon as a limit is passed or a document type is met.
    """

    def __init__(self, part: str, limits: Limits, place: Place, *, sheet: bool, cells: int) -> None:
        self.part, self.limits, self.place = part, limits, place
        self.extent = Extent()
        self._cells_left = limits.cells - cells
        self._ends: list[str] = []
        self._parser = expat.ParserCreate(namespace_separator=" ")
        self._parser.StartDoctypeDeclHandler = self._doctype
        self._parser.StartElementHandler = self._sheet_handler() if sheet else self._handler()
        self._parser.EndElementHandler = self._ends.append

    def read(self, pieces: Iterable[bytes]) -> Extent:
        """Pass over the part.

        Raises
        ------
        NotWellFormed
            If it is not XML; what was met before is judged.
        """
        fed = 0
        try:
            for piece in pieces:
                self._parser.Parse(piece, False)
                fed += len(piece)
                if fed - self._parser.CurrentByteIndex > LONGEST_TAG:
                    raise NotWellFormed(f"a tag longer than {LONGEST_TAG} bytes")
            self._parser.Parse(b"", True)
        except (expat.ExpatError, LookupError, ValueError) as fault:
            raise NotWellFormed(str(fault)) from None
        return self.extent

    def _refuse(self, finding: Finding) -> None:
        raise Refused(finding)

    def _doctype(self, *_: object) -> None:
        self._refuse(entity_declaration(self.place, self.part))

    def _too_deep(self) -> None:
        self._refuse(nested_too_deeply(self.place, self.part, self.limits.depth))

    def _handler(self) -> Handler:
        """Counts how many elements are open."""
        ends, deepest, started = self._ends, self.limits.depth, 0

        def start(_: str, __: dict[str, str]) -> None:
            nonlocal started
            started += 1
            if started - len(ends) > deepest:
                self._too_deep()
            if len(ends) > SETTLE:
                started -= len(ends)
                ends.clear()

        return start

    def _sheet_handler(self) -> Handler:
        """Counts open elements, cells, and how far what holds something reaches."""
        extent, columns, left = self.extent, Columns(), self._cells_left
        ends, deepest = self._ends, self.limits.depth
        locals_: dict[str, str] = {}
        row = column = started = 0
        digits = "0"

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal row, column, digits, started
            started += 1
            if started - len(ends) > deepest:
                self._too_deep()
            local = locals_.get(name)
            if local is None:
                local = locals_[name] = name.removeprefix(IN_MAIN)
            if local == "c":
                extent.cells += 1
                if extent.cells > left:
                    self._refuse(too_many_cells(self.place, self.limits.cells))
                reference = attributes.get("r", "")
                letters = reference.rstrip("0123456789")
                column = columns[letters] or column + 1
                if letters and reference[len(letters) :] != digits:
                    digits = reference[len(letters) :]
                    row = whole(digits, row)
            elif local in HOLDS:
                extent.blank_rows = 0
                if row > extent.rows:
                    self._reaches_row(row)
                if column > extent.columns:
                    self._reaches_column(column)
            elif local == "row":
                extent.blank_rows += 1
                if extent.blank_rows == 1:
                    extent.blank_from = self._parser.CurrentByteIndex
                row = whole(attributes.get("r"), row + 1)
                column, digits = 0, str(row)
                if len(ends) > SETTLE:
                    started -= len(ends)
                    ends.clear()
            elif local in COVERS:
                self._cover(local, attributes.get("ref", ""))

        return start

    def _reaches_row(self, row: int) -> None:
        self.extent.rows = row
        if row > self.limits.rows:
            self._refuse(too_many_rows(self.place, row, self.limits.rows))

    def _reaches_column(self, column: int) -> None:
        self.extent.columns = column
        if column > self.limits.columns:
            found, limit = column_letters(column), column_letters(self.limits.columns)
            self._refuse(too_many_columns(self.place, found, limit))

    def _cover(self, local: str, reference: str) -> None:
        if local == "mergeCell":
            self.extent.merges += 1
            if self.extent.merges > self.limits.merges:
                self._refuse(too_many_merges(self.place, self.limits.merges))
        found = corners(reference)
        if found:
            self.extent.covered += (found[2] - found[0] + 1) * (found[3] - found[1] + 1)
        if self.extent.covered > self.limits.covered_cells:
            self._refuse(covered_too_large(self.place, self.limits.covered_cells))


class Columns(dict[str, int]):
    """Column numbers by letters, 0 for what names no column; looked up once each."""

    def __missing__(self, letters: str) -> int:
        number = column_number(letters) if LETTERS.fullmatch(letters) else 0
        self[letters] = number
        return number
