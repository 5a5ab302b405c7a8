"""What two passes of openpyxl read of a workbook: once its formulas, and once their results.

That is how workbooks were read before one pass over the parts was enough, and what the one pass is
held to: :func:`differences`. As a plugin it looks at every workbook that any test opens:
``python -m pytest -p two_passes tests/workbook``.

openpyxl finds parts by the names that most programs give them and knows one class of the format, so
that it is given a copy: worksheets with their tables, formats and texts, under the usual names.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from xml.sax.saxutils import quoteattr

import openpyxl
import pytest
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet as OpenpyxlSheet

from costing.workbook.package.conformance import MAIN, STRICT, TRANSITIONAL
from costing.workbook.package.gate import open_gate
from costing.workbook.package.members import Member, packed_member, write_members
from costing.workbook.package.opc import CONTENT_TYPES, RELATIONSHIPS, Package, Relation
from costing.workbook.package.tableparts import TABLE_CONTENT
from costing.workbook.package.workbookpart import (
    SHEET_CONTENT,
    STYLES_CONTENT,
    Tab,
    WorkbookPart,
)
from costing.workbook.package.worksheets import NO_DATE, Worksheet, read_worksheets
from costing.workbook.package.xmlparts import Document, decoded

DECLARED_STRICT = re.compile(
    rb"(\sxmlns(?::[\w.-]+)?\s*=\s*[\"'])http://purl\.oclc\.org/ooxml/"
    rb"(spreadsheetml|drawingml|officeDocument)/(?=\w)"
)
WORKBOOK_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
STRINGS_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
TABLE_WORDS = ("id", "name", "displayName", "ref", "headerRowCount", "totalsRowCount")
"""What is read of a table; its columns are those of the cells."""


LINKS = re.compile(rb"<(\w+:)?hyperlinks\b.*?</\1hyperlinks>", re.DOTALL)


def reading_copy(package: Package, *, aside: str) -> bytes:
    """The workbook as a library can read it.

    Parameters
    ----------
    package : Package
        The workbook.
    aside : str
        Worksheets with a name of this name are left out.
    """
    return write_members(_Copy(package, aside).members())


class _Copy:
    """The parts of the copy, with the list of their content types."""

    def __init__(self, package: Package, aside: str) -> None:
        self.package = package
        self.book = WorkbookPart(package)
        left_out = {name.tab for name in self.book.names if name.name == aside}
        self.tabs = [
            tab
            for position, tab in enumerate(self.book.tabs)
            if tab.kind == "worksheet" and tab.part and position not in left_out
        ]
        self.types: dict[str, str] = {"xl/workbook.xml": WORKBOOK_CONTENT}
        self._tables = 0

    def members(self) -> Iterator[Member]:
        """The entries of the copy."""
        related = []
        for number, tab in enumerate(self.tabs, 1):
            part = f"xl/worksheets/sheet{number}.xml"
            related.append(Relation(f"rId{number}", "worksheet", part, external=False))
            self.types[part] = SHEET_CONTENT
            yield self._sheet(tab.part, part)
            yield from self._around(tab.part, number)
        for kind, content in (("styles", STYLES_CONTENT), ("sharedStrings", STRINGS_CONTENT)):
            source = self.book.part_of(kind)
            if source is not None:
                part = f"xl/{kind}.xml"
                related.append(Relation(kind, kind, part, external=False))
                self.types[part] = content
                yield self._taken_over(source, part)
        yield packed_member("xl/workbook.xml", self._workbook())
        yield packed_member("xl/_rels/workbook.xml.rels", _relations(related))
        main = [Relation("rId1", "officeDocument", "xl/workbook.xml", external=False)]
        yield packed_member("_rels/.rels", _relations(main))
        yield packed_member(CONTENT_TYPES, _content_types(self.types))

    def _taken_over(self, source: str, part: str) -> Member:
        """A part under its usual name, its bytes packed as they are where that is possible."""
        if self.package.conformance is STRICT:
            read = decoded(self.package.read(source))
            return packed_member(part, read.back(as_transitional(read.text)))
        return replace(self.package.member(source), name=part)

    def _sheet(self, source: str, part: str) -> Member:
        """A sheet without its links: openpyxl takes the address of one for the value of a cell.

        So does no program: a blank cell with a link is shown blank.
        """
        member = self._taken_over(source, part)
        content = b"".join(member.unpacked())
        return packed_member(part, LINKS.sub(b"", content)) if b"yperlink" in content else member

    def _around(self, source: str, number: int) -> Iterator[Member]:
        """The tables of a sheet, and its relationships: those and the links to other files."""
        related = []
        for relation in self.package.relations(source):
            table = self.package.find(relation.target) if relation.kind == "table" else None
            if relation.external:
                related.append(relation)
            elif table is not None:
                self._tables += 1
                part = f"xl/tables/table{self._tables}.xml"
                related.append(replace(relation, target=part))
                self.types[part] = TABLE_CONTENT
                yield packed_member(part, _table(self.package.read(table)))
        if related:
            name = f"xl/worksheets/_rels/sheet{number}.xml.rels"
            yield packed_member(name, _relations(related))

    def _workbook(self) -> bytes:
        """The list of the sheets, and the day from which days are counted."""
        sheets = "".join(_listed(tab, number) for number, tab in enumerate(self.tabs, 1))
        first_day = '<workbookPr date1904="1"/>' if self.book.from_1904 else ""
        return (
            f'<workbook xmlns="{MAIN}" xmlns:r="{TRANSITIONAL.relations}">{first_day}'
            f"<sheets>{sheets}</sheets></workbook>"
        ).encode()


def _listed(tab: Tab, number: int) -> str:
    state = ' state="hidden"' if tab.hidden else ""
    return f'<sheet name={quoteattr(tab.title)} sheetId="{number}"{state} r:id="rId{number}"/>'


def _table(data: bytes) -> bytes:
    at = Document(data).root.attributes
    said = "".join(f" {key}={quoteattr(at[key])}" for key in TABLE_WORDS if key in at)
    return f'<table xmlns="{MAIN}"{said}><tableColumns count="0"/></table>'.encode()


def _relations(related: Sequence[Relation]) -> bytes:
    inside = ""
    for one in related:
        target = one.target if one.external else f"/{one.target}"
        mode = ' TargetMode="External"' if one.external else ""
        inside += (
            f"<Relationship Id={quoteattr(one.id)} Target={quoteattr(target)}{mode} "
            f'Type="{TRANSITIONAL.relations}/{one.kind}"/>'
        )
    return f'<Relationships xmlns="{RELATIONSHIPS}">{inside}</Relationships>'.encode()


def _content_types(types: Mapping[str, str]) -> bytes:
    inside = "".join(
        f'<Override PartName="/{part}" ContentType="{kind}"/>' for part, kind in types.items()
    )
    return (
        f'<Types xmlns="{TYPES}"><Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f"{inside}</Types>"
    ).encode()


def as_transitional(part: bytes) -> bytes:
    """A part with its Strict namespaces declared as those of Transitional, for a reader."""
    return DECLARED_STRICT.sub(rb"\1http://schemas.openxmlformats.org/\2/2006/", part)


@dataclass(frozen=True)
class Seen:
    """What a cell shows, however it was read; ``value`` is ``""`` for an empty text."""

    value: object
    number_format: str
    error: bool
    formula: bool


@dataclass(frozen=True)
class SeenSheet:
    """A worksheet as somebody reads it."""

    hidden: bool
    cells: dict[tuple[int, int], Seen]
    merged: frozenset[tuple[int, int, int, int]]
    hidden_rows: frozenset[int]
    tables: frozenset[tuple[str, tuple[int, ...], bool, int]]


def by_openpyxl(data: bytes, *, aside: str) -> dict[str, SeenSheet]:
    """The sheets of a workbook as openpyxl reads them, in two passes."""
    copied = reading_copy(open_gate(data), aside=aside)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # of numbers that no date has
        typed = openpyxl.load_workbook(BytesIO(copied))
        shown = openpyxl.load_workbook(BytesIO(copied), data_only=True)
    return {
        str(sheet.title): _seen_sheet(sheet, shown[str(sheet.title)]) for sheet in typed.worksheets
    }


def _seen_sheet(typed: OpenpyxlSheet, shown: OpenpyxlSheet) -> SeenSheet:
    """A sheet from what was typed on it and what it shows."""
    cells = {}
    for at, cell in typed._cells.items():
        result, formula = shown._cells[at], cell.data_type == "f"
        value = result.value
        if formula and value is None and result.data_type == "str":
            value = ""
        if formula or (value is not None and value != ""):
            error = result.data_type == "e"
            cells[at] = Seen(value, str(cell.number_format), error, formula)
    return SeenSheet(
        typed.sheet_state != "visible",
        cells,
        frozenset(_corners(one.coord) for one in typed.merged_cells.ranges if one.size != {1}),
        frozenset(row for row, one in typed.row_dimensions.items() if one.hidden),
        frozenset(
            (
                table.displayName or table.name,
                _corners(table.ref),
                table.headerRowCount != 0,
                table.totalsRowCount or 0,
            )
            for table in typed.tables.values()
        ),
    )


def _corners(reference: str) -> tuple[int, int, int, int]:
    left, top, right, bottom = range_boundaries(reference)
    return int(top or 1), int(left or 1), int(bottom or 1), int(right or 1)


def in_one_pass(sheets: Sequence[Worksheet]) -> dict[str, SeenSheet]:
    """The same of sheets as the library has read them."""
    return {
        sheet.title: SeenSheet(
            sheet.hidden,
            {
                (row, column): Seen(
                    "#VALUE!" if cell.value is NO_DATE else cell.value,
                    cell.number_format,
                    cell.error,
                    cell.formula,
                )
                for row, cells in sheet.rows.items()
                for column, cell in cells.items()
            },
            frozenset(sheet.merged),
            frozenset(sheet.hidden_rows),
            frozenset((t.name, t.corners, t.has_headings, t.totals) for t in sheet.tables),
        )
        for sheet in sheets
    }


def differences(data: bytes, *, aside: str = "") -> list[str]:
    """Where the library does not read from a workbook what openpyxl reads, in words."""
    sheets = read_worksheets(WorkbookPart(open_gate(data)), aside=aside)
    ours, theirs = in_one_pass(sheets), by_openpyxl(data, aside=aside)
    found = [] if list(ours) == list(theirs) else [f"sheets {list(ours)} for {list(theirs)}"]
    for title in ours.keys() & theirs.keys():
        one, other = ours[title], theirs[title]
        if replace(one, cells={}) != replace(other, cells={}):
            found.append(f"{title}: {replace(one, cells={})} for {replace(other, cells={})}")
        for at in sorted(one.cells.keys() | other.cells.keys()):
            mine, its = one.cells.get(at), other.cells.get(at)
            if mine != its or (mine and its and type(mine.value) is not type(its.value)):
                found.append(f"{title} {at}: {mine} for {its}")
    return found


def pytest_configure(config: pytest.Config) -> None:
    """As a plugin: every workbook that a test opens is read by openpyxl too."""
    from costing.workbook.reading import sheets

    read = read_worksheets

    def compared(book: WorkbookPart, *, aside: str) -> list[Worksheet]:
        found = differences(write_members(book.package.members), aside=aside)
        assert not found, found
        return read(book, aside=aside)

    config.add_cleanup(lambda: setattr(sheets, "read_worksheets", read))
    vars(sheets)["read_worksheets"] = compared
