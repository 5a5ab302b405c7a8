"""A drawing or a whole sheet, made in a scratch workbook, carried across into somebody's.

Drawings, charts and notes name sheets by title and hold no format numbers, so that their parts are
taken as they are; only their part names change, to ones that are free. The cells of a sheet get
the numbers that its formats have in the other workbook, and texts of their own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from xml.sax.saxutils import escape

from costing.workbook.package.cellxml import space
from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import (
    CONTENT_TYPES,
    ContentTypes,
    content_types,
    relations_name,
    relations_of,
    target_words,
)
from costing.workbook.package.sheetdata import SheetCell, shared_strings
from costing.workbook.package.sheetrows import read_rows
from costing.workbook.package.stylesheet import Stylesheet
from costing.workbook.package.tableparts import TABLE_CONTENT
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.xmlparts import Document, Element


class Carrier:
    """Carries parts from a scratch workbook.

    ``new_part``: gives a free part name from a folder, a stem and an ending.
    """

    def __init__(
        self, scratch: bytes, *, new_part: Callable[[str, str, str], str], types: ContentTypes
    ) -> None:
        self.source = open_gate(scratch)
        self.new_part, self.types = new_part, types
        document = Document(self.source.read(CONTENT_TYPES))
        self._kinds = content_types(document, self.source.names)
        self._carried: dict[str, str] = {}
        self.parts: dict[str, bytes] = {}

    def drawing(self, title: str) -> str:
        """Carry the drawing of the sheet with this title; its new part."""
        for tab in WorkbookPart(self.source).tabs:
            if tab.title == title:
                for relation in self.source.relations(tab.part):
                    if relation.kind == "drawing":
                        return self._carry(relation.target)
        raise ValueError(f"the scratch workbook has no drawing on a sheet {title!r}")

    def sheet(self, title: str, styles: Stylesheet) -> str:
        """Carry the sheet with this title, with its table and notes; its new part.

        ``styles``: of the workbook it is carried into; formats that it lacks are appended.
        """
        book = WorkbookPart(self.source)
        part = next((tab.part for tab in book.tabs if tab.title == title), None)
        if part is None:
            raise ValueError(f"the scratch workbook has no sheet {title!r}")
        new = self._carry(part, states_type=False)  # the list of tabs states that of a sheet
        texts = book.part_of("sharedStrings")
        strings = shared_strings(self.source.read(texts)) if texts else []
        own = Stylesheet(self.source.read(book.part_of("styles") or ""))
        self.parts[new] = _with_formats(
            self.parts[new], strings, lambda number: styles.like(own, number)
        )
        return new

    def tables(self) -> list[str]:
        """New parts of the tables that were carried."""
        return [new for old, new in self._carried.items() if self._kinds[old] == TABLE_CONTENT]

    def _carry(self, part: str, *, states_type: bool = True) -> str:
        """Carry a part and all it is related to; a part is carried once."""
        if part in self._carried:
            return self._carried[part]
        folder, _, name = part.rpartition("/")
        stem, ending = re.sub(r"\d*\.", ".", name).rsplit(".", 1)
        new = self.new_part(folder.rpartition("/")[2], stem, ending)
        self._carried[part] = new
        self.parts[new] = self.source.read(part)
        if states_type:
            self.types.add(new, self._kinds[part])
        self._carry_relations(part, new)
        return new

    def _carry_relations(self, part: str, new: str) -> None:
        name = self.source.find(relations_name(part))
        if name is None:
            return
        document = Document(self.source.read(name))
        for element, relation in zip(
            document.root.all("Relationship"), relations_of(part, document), strict=True
        ):
            if not relation.external:
                target = target_words(new, self._carry(relation.target))
                document.set_attribute(element, "Target", target)
        self.parts[relations_name(new)] = document.result()


def _with_formats(data: bytes, strings: Sequence[str], number: Callable[[int], int]) -> bytes:
    """A sheet with other numbers of formats, its texts in its own cells, and not selected."""
    document = Document(data, skip={"sheetData"})
    columns = document.root.child("cols")
    for one in columns.all("col") if columns else ():
        _renumber(document, one, "style", number)
    views = document.root.child("sheetViews")
    for view in views.all("sheetView") if views else ():
        document.set_attribute(view, "tabSelected", "0")
    pieces: list[tuple[int, int, str]] = []
    for row in read_rows(document.bytes):
        start_tag = document.bytes[row.start : row.tag_end].decode()
        if "s" in row.attributes:
            numbered = f's="{number(int(row.attributes["s"]))}"'
            start_tag = re.sub(r'(?<= )s="\d+"', numbered, start_tag, count=1)
        pieces.append((row.start, row.tag_end, start_tag))
        pieces += [(c.start, c.end, _carried_cell(document, c, strings, number)) for c in row.cells]
    for start, end, xml in pieces:
        document.replace(start, end, xml)
    return document.result()


def _renumber(
    document: Document, element: Element, name: str, number: Callable[[int], int]
) -> None:
    if name in element.attributes:
        document.set_attribute(element, name, str(number(int(element.attributes[name]))))


def _carried_cell(
    document: Document, cell: SheetCell, strings: Sequence[str], number: Callable[[int], int]
) -> str:
    """A cell of a scratch workbook as another workbook spells it."""
    xml = document.bytes[cell.start : cell.end].decode()
    if cell.style:
        xml = re.sub(r'(?<= )s="\d+"', f's="{number(cell.style)}"', xml, count=1)
    if cell.kind == "s" and cell.text is not None:
        text = escape(strings[int(cell.text)])
        told = f"<is><t{space(text)}>{text}</t></is>"
        xml = re.sub(r"<v>\d+</v>", lambda _: told, xml).replace('t="s"', 't="inlineStr"', 1)
    return xml
