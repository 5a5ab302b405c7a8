"""How much a workbook may hold, how deep an XML part is, and how much a worksheet holds.

The passes keep nothing but a count. Where a sheet's cells are is not judged, only how many there
are: nothing here, nor what reads after it, builds the cells in between.
"""

from __future__ import annotations

import xml.parsers.expat as expat
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from costing.findings import Place
from costing.workbook.package.addresses import corners
from costing.workbook.package.conformance import MAIN_SPACES
from costing.workbook.package.refusals import (
    Refused,
    covered_too_large,
    entity_declaration,
    nested_too_deeply,
    too_many_cells,
    too_many_merges,
)
from costing.workbook.package.sheetdata import SheetRow, parsed_rows
from costing.workbook.package.sheetrows import Unusual, plain_rows, without_rows
from costing.workbook.package.xmlparts import XmlFault, decoded

MEGABYTE = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Limits:
    """How large and how deep a workbook may be; the defaults are the limits of the project.

    Parameters
    ----------
    file_bytes : int
        Size of the file. [bytes]
    parts : int
        Number of entries in the package.
    unpacked_bytes : int
        Size of all parts together once unpacked. [bytes]
    ratio : int
        Unpacked size over packed size of a part larger than ``ratio_above``.
    ratio_above : int
        Parts up to this size may be packed as tightly as they like. [bytes]
    depth : int
        How many elements may stand inside each other in an XML part.
    cells : int
        Cells of all sheets together, blank ones with a format included; long runs of rows without
        any content do not count.
    merges : int
        Merged ranges of one sheet.
    covered_cells : int
        Cells of one sheet that merged ranges cover together.
    """

    file_bytes: int = 50 * MEGABYTE
    parts: int = 20_000
    unpacked_bytes: int = 512 * MEGABYTE
    ratio: int = 250
    ratio_above: int = MEGABYTE
    depth: int = 256
    cells: int = 5_000_000
    merges: int = 50_000
    covered_cells: int = 2_000_000


LIMITS = Limits()

LONGEST_TAG = 8 * MEGABYTE
"""A tag or comment longer than this is no part of a workbook, and slow to look at. [bytes]"""
MERGED = frozenset(f"{space}mergeCell" for space in MAIN_SPACES)
BLANK_ROWS = 1_000
"""Longer runs of rows without content do not count: somebody formatted whole columns. [row]"""
SETTLE = 100_000
"""After so many ends of elements the counts are settled. [elements]"""


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
        Called with every merged range of a worksheet.
    """

    def __init__(
        self,
        part: str,
        limits: Limits,
        place: Place,
        *,
        encoding: str | None = None,
        covers: Callable[[str], None] | None = None,
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
        self, covers: Callable[[str], None] | None
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
            if covers is not None and name in MERGED:
                covers(attributes.get("ref", ""))

        return start


class Counts:
    """Counts what a worksheet holds, and refuses what is more than the limits.

    ``cells``: those of the sheets before: all of them count together.
    """

    def __init__(self, limits: Limits, place: Place, *, cells: int) -> None:
        self.limits, self.place = limits, place
        self.cells = 0
        self._cells_left = limits.cells - cells
        self._run_rows = self._run_cells = 0
        self._merges = self._covered = 0

    def rows(self, rows: Iterable[SheetRow]) -> None:
        """Count the rows of a sheet."""
        for row in rows:
            if not row.holds:
                self._run_rows += 1
                self._run_cells += row.count
                continue
            self._end_run()
            self._add(row.count)
        self._end_run()

    def _end_run(self) -> None:
        """Count the blank rows before a row that holds something, unless they are many."""
        if self._run_rows <= BLANK_ROWS:
            self._add(self._run_cells)
        self._run_rows = self._run_cells = 0

    def _add(self, cells: int) -> None:
        self.cells += cells
        if self.cells > self._cells_left:
            raise Refused(too_many_cells(self.place, self.limits.cells))

    def cover(self, reference: str) -> None:
        """Count a merged range."""
        self._merges += 1
        if self._merges > self.limits.merges:
            raise Refused(too_many_merges(self.place, self.limits.merges))
        found = corners(reference)
        if found:
            self._covered += (found[2] - found[0] + 1) * (found[3] - found[1] + 1)
        if self._covered > self.limits.covered_cells:
            raise Refused(covered_too_large(self.place, self.limits.covered_cells))


def cells_in(part: str, data: bytes, limits: Limits, place: Place, *, before: int) -> int:
    """How many cells a worksheet part holds, blank ones with a format included.

    ``before``: those of the sheets before.

    Raises
    ------
    Refused
        As soon as a limit is passed or a document type is met.
    NotWellFormed
        If it is not XML, or a row holds more cells than a sheet has columns.
    """
    try:
        text = decoded(data).text
    except XmlFault as fault:
        raise NotWellFormed(str(fault)) from None

    def scan(counts: Counts) -> Scan:
        return Scan(part, limits, place, encoding="utf-8", covers=counts.cover)

    counts = Counts(limits, place, cells=before)
    try:
        counts.rows(plain_rows(text, keep="none"))
    except Unusual:
        pass
    else:
        # The rows are well-formed by their patterns; what is around them must be one document.
        scan(counts).read(without_rows(text))
        return counts.cells
    counts = Counts(limits, place, cells=before)
    scan(counts).read([text])
    try:
        counts.rows(parsed_rows(text, keep="none"))
    except XmlFault as fault:
        raise NotWellFormed(str(fault)) from None
    return counts.cells
