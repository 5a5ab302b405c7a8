"""One pass over an XML part: how deep it is, and how far what a sheet holds reaches.

The pass keeps nothing but counts, so that a part of any size is judged in little memory.
"""

from __future__ import annotations

import xml.parsers.expat as expat
from collections.abc import Iterable
from dataclasses import dataclass

from costing.findings import Finding, Place
from costing.workbook.package.addresses import (
    ADDRESS,
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
    """

    rows: int = 0
    columns: int = 0
    cells: int = 0
    merges: int = 0
    covered: int = 0


class NotWellFormed(Exception):
    """The part is not XML."""


class Scan:
    """The pass itself; ``sheet`` says whether rows and cells are counted.

    Raises
    ------
    Refused
        As soon as a limit is passed or a document type is met.
    """

    def __init__(self, part: str, limits: Limits, place: Place, *, sheet: bool, cells: int) -> None:
        self.part, self.limits, self.place = part, limits, place
        self.extent = Extent()
        self.cells_before = cells
        self.root = ""
        self._depth = 0
        self._row = self._column = 0
        self._row_digits = "0"
        self._columns: dict[str, int] = {}
        self._cells_left = limits.cells - cells
        self._locals: dict[str, str] = {}
        self._parser = expat.ParserCreate()
        self._parser.StartDoctypeDeclHandler = self._doctype
        self._parser.StartElementHandler = self._start_of_sheet if sheet else self._start
        self._parser.EndElementHandler = self._end

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

    def _start(self, *_: object) -> None:
        self._depth += 1
        if self._depth > self.limits.depth:
            self._refuse(nested_too_deeply(self.place, self.part, self.limits.depth))

    def _end(self, _: str) -> None:
        self._depth -= 1

    def _start_of_sheet(self, name: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        local = self._locals.get(name)
        if local is None:
            local = self._locals[name] = name.rpartition(":")[2]
        if local == "c":
            self._cell(attributes.get("r", ""))
        elif local in HOLDS:
            if self._row > self.extent.rows:
                self._reaches_row()
            if self._column > self.extent.columns:
                self._reaches_column()
        elif local == "row":
            self._row = whole(attributes.get("r"), self._row + 1)
            self._row_digits = str(self._row)
            self._column = 0
        elif local in ("mergeCell", "hyperlink"):
            self._cover(local, attributes.get("ref", ""))
        elif self._depth > self.limits.depth:
            self._refuse(nested_too_deeply(self.place, self.part, self.limits.depth))

    def _cell(self, reference: str) -> None:
        self.extent.cells += 1
        if self.extent.cells > self._cells_left:
            self._refuse(too_many_cells(self.place, self.limits.cells))
        letters = reference.rstrip("0123456789")
        column = self._columns.get(letters)
        if column is None:
            column = column_number(letters) if ADDRESS.fullmatch(reference) else 0
            self._columns[letters] = column
        self._column = column or self._column + 1
        digits = reference[len(letters) :]
        if column and digits != self._row_digits:
            self._row_digits, self._row = digits, whole(digits, self._row)

    def _reaches_row(self) -> None:
        self.extent.rows = self._row
        if self._row > self.limits.rows:
            self._refuse(too_many_rows(self.place, self._row, self.limits.rows))

    def _reaches_column(self) -> None:
        self.extent.columns = self._column
        if self._column > self.limits.columns:
            found, limit = column_letters(self._column), column_letters(self.limits.columns)
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
