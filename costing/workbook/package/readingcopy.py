"""What there is to read of a workbook, as a small package of the usual kind.

Libraries that read find parts by the names that most programs give them, know one conformance
class, and build pictures, charts and remarks that nobody asks for. The copy has worksheets with
their tables, the cell formats and the shared texts, under the usual names, and nothing else; what
it takes over it takes packed as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from xml.sax.saxutils import quoteattr

from costing.workbook.package.conformance import MAIN, STRICT, TRANSITIONAL, as_transitional
from costing.workbook.package.members import Member, packed_member, write_members
from costing.workbook.package.opc import CONTENT_TYPES, RELATIONSHIPS, Package, Relation
from costing.workbook.package.tableparts import TABLE_CONTENT
from costing.workbook.package.workbookpart import (
    SHEET_CONTENT,
    STYLES_CONTENT,
    Tab,
    WorkbookPart,
)
from costing.workbook.package.xmlparts import Document, decoded, spliced

WORKBOOK_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
STRINGS_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
TABLE_WORDS = ("id", "name", "displayName", "ref", "headerRowCount", "totalsRowCount")
"""What is read of a table; its columns are those of the cells."""


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
        """A sheet without long runs of rows that hold nothing but a format.

        Somebody who formats a whole column makes a million rows that a reading library builds one
        by one, in minutes and gigabytes. Nothing that can be read is in them.
        """
        extent = self.package.extents.get(source)
        if extent is None or not extent.blank:
            return self._taken_over(source, part)
        read = decoded(self.package.read(source))
        short = spliced(read.text, [(start, end, b"") for start, end in extent.blank])
        return packed_member(part, read.back(as_transitional(short)))

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
