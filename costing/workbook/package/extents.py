"""How deep an XML part is, and how far what a worksheet holds reaches.

The passes keep nothing but counts.
"""

from __future__ import annotations

import xml.parsers.expat as expat
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from costing.findings import Place
from costing.workbook.package.addresses import column_letters, corners
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
from costing.workbook.package.sheetdata import IN_MAIN, SheetRow, parsed_rows
from costing.workbook.package.sheetrows import Unusual, plain_rows, without_rows
from costing.workbook.package.xmlparts import XmlFault, decoded

LONGEST_TAG = 8 * MEGABYTE
"""A tag or comment longer than this is no part of a workbook, and slow to look at. [bytes]"""
COVERS = frozenset({f"{IN_MAIN}mergeCell", f"{IN_MAIN}hyperlink"})
SETTLE = 100_000
"""After so many ends of elements the counts are settled. [elements]"""


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
        Rows below the lowest one that holds something, and the offset where they start in the
        part in UTF-8. [bytes]
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
    """A pass over any XML part: that it is well-formed, how deep, and without a document type.

    The handler is a closure and the ends of elements are counted by a list, since they run
    millions of times over a large workbook.

    Parameters
    ----------
    encoding : str, optional
        Of the bytes; by default what the part itself says.
    covers : callable, optional
        Called with the local name and the range of every merged range and link of a worksheet.
    """

    def __init__(
        self,
        part: str,
        limits: Limits,
        place: Place,
        *,
        encoding: str | None = None,
        covers: Callable[[str, str], None] | None = None,
    ) -> None:
        self.part, self.limits, self.place = part, limits, place
        self._ends: list[str] = []
        self._parser = expat.ParserCreate(encoding, " ")
        self._parser.StartDoctypeDeclHandler = self._doctype
        self._parser.StartElementHandler = self._handler(covers)
        self._parser.EndElementHandler = self._ends.append

    def read(self, pieces: Iterable[bytes]) -> None:
        """Pass over the part.

        Raises
        ------
        Refused
            As soon as it is too deep or a document type is met.
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

    def _doctype(self, *_: object) -> None:
        raise Refused(entity_declaration(self.place, self.part))

    def _handler(
        self, covers: Callable[[str, str], None] | None
    ) -> Callable[[str, dict[str, str]], None]:
        """Counts how many elements are open."""
        ends, deepest, started = self._ends, self.limits.depth, 0

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal started
            started += 1
            if started - len(ends) > deepest:
                raise Refused(nested_too_deeply(self.place, self.part, deepest))
            if len(ends) > SETTLE:
                started -= len(ends)
                ends.clear()
            if covers is not None and name in COVERS:
                covers(name.removeprefix(IN_MAIN), attributes.get("ref", ""))

        return start


class Counts:
    """Counts what a worksheet holds, and refuses what is more than the limits.

    Parameters
    ----------
    cells : int
        Those of the sheets before: all of them count together.
    """

    def __init__(self, limits: Limits, place: Place, *, cells: int) -> None:
        self.limits, self.place = limits, place
        self.extent = Extent()
        self._cells_left = limits.cells - cells

    def add(self, row: SheetRow) -> None:
        """Count a row."""
        extent = self.extent
        extent.cells += row.count
        if extent.cells > self._cells_left:
            raise Refused(too_many_cells(self.place, self.limits.cells))
        if not row.rightmost:
            extent.blank_rows += 1
            if extent.blank_rows == 1:
                extent.blank_from = row.start
            return
        extent.blank_rows = 0
        extent.rows = max(extent.rows, row.lowest)
        extent.columns = max(extent.columns, row.rightmost)
        if extent.rows > self.limits.rows:
            raise Refused(too_many_rows(self.place, extent.rows, self.limits.rows))
        if extent.columns > self.limits.columns:
            found, limit = column_letters(extent.columns), column_letters(self.limits.columns)
            raise Refused(too_many_columns(self.place, found, limit))

    def cover(self, local: str, reference: str) -> None:
        """Count a merged range or a link."""
        extent = self.extent
        if local == "mergeCell":
            extent.merges += 1
            if extent.merges > self.limits.merges:
                raise Refused(too_many_merges(self.place, self.limits.merges))
        found = corners(reference)
        if found:
            extent.covered += (found[2] - found[0] + 1) * (found[3] - found[1] + 1)
        if extent.covered > self.limits.covered_cells:
            raise Refused(covered_too_large(self.place, self.limits.covered_cells))


def sheet_extent(part: str, data: bytes, limits: Limits, place: Place, *, cells: int) -> Extent:
    """How far what a worksheet part holds reaches.

    Parameters
    ----------
    part : str
        Its name.
    data : bytes
        The part.
    cells : int
        Those of the sheets before.

    Raises
    ------
    Refused
        As soon as a limit is passed or a document type is met.
    NotWellFormed
        If it is not XML.
    """
    try:
        text = decoded(data).text
    except XmlFault as fault:
        raise NotWellFormed(str(fault)) from None

    def scan(counts: Counts) -> Scan:
        return Scan(part, limits, place, encoding="utf-8", covers=counts.cover)

    counts = Counts(limits, place, cells=cells)
    try:
        for row in plain_rows(text, keep="none"):
            counts.add(row)
    except Unusual:
        pass
    else:
        # The rows are well-formed by their patterns; what stands around them must be one document.
        scan(counts).read(without_rows(text))
        return counts.extent
    counts = Counts(limits, place, cells=cells)
    scan(counts).read([text])
    for row in parsed_rows(text, keep="none"):
        counts.add(row)
    return counts.extent
