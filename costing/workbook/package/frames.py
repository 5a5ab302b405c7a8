"""Charts that come and go with the rows they lie over.

A chart whose rows are hidden has no height, and a program may draw a sliver of it or forget its
size when it saves: LibreOffice writes down the place it sees. So its frame says that it is hidden
too (``hidden`` of its non-visual properties, ECMA-376 part 1, 20.1.2.2.8), and is put over its rows
again when these are shown and it has lost its height.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from costing.workbook.package.addresses import corners
from costing.workbook.package.cells import ResultSheet
from costing.workbook.package.encodings import BadXml
from costing.workbook.package.offsets import Document, Element
from costing.workbook.package.references import title_of

CHART = "chart"
LAST_ROW_SHARE = 114_300
"""How far a chart reaches into its last row; the rest is air. [EMU, 12,700 a point]"""


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame of a chart in a drawing: where it is anchored, and how it is called."""

    start: Element
    end: Element
    properties: Element
    identity: str

    @property
    def flat(self) -> bool:
        """Whether it begins and ends in one row."""
        return _row(self.start) == _row(self.end)

    @property
    def hidden(self) -> bool:
        """Whether it is not shown."""
        return self.properties.flag("hidden")


def stood(
    drawing: bytes,
    sheet: ResultSheet,
    *,
    title: str,
    were_hidden: Collection[int],
    charts: Mapping[str, bytes],
) -> bytes:
    """A drawing whose charts are hidden and shown with the rows they lie over.

    Parameters
    ----------
    drawing : bytes
        The part; it comes back as it is when nothing is to be done.
    sheet : ResultSheet
        With its panels and the rows that are hidden now.
    title : str
        Of its tab.
    were_hidden : collection of int
        Rows that were hidden before.
    charts : mapping of str to bytes
        Chart parts by the name of the relation that leads to them.
    """
    document = Document(drawing)
    for frame in _frames(document.root):
        chart = charts.get(frame.identity)
        rows = _rows_shown(chart, title) if chart is not None else set()
        for first, last in sheet.panels:
            if not rows or not rows <= set(range(first, last + 1)):
                continue
            if first in sheet.hidden:
                document.set_attribute(frame.properties, "hidden", "1")
            elif first in were_hidden or last in were_hidden:
                _show(document, frame, first, last)
    return document.result()


def _show(document: Document, frame: Frame, first: int, last: int) -> None:
    if frame.hidden:
        document.remove_attribute(frame.properties, "hidden")
    if frame.flat:
        _put(document, frame.start, first - 1, 0)
        _put(document, frame.end, last - 1, LAST_ROW_SHARE)


def _put(document: Document, marker: Element, row: int, offset: int) -> None:
    for local, number in (("row", row), ("rowOff", offset)):
        element = marker.child(local)
        if element is not None:
            document.replace(element.inner, element.close, str(number))


def _frames(root: Element) -> Iterator[Frame]:
    """Frames of charts between two cells, one to an anchor."""
    for anchor in root.all("twoCellAnchor"):
        start, end = anchor.child("from"), anchor.child("to")
        properties = next(_within(anchor, "cNvPr"), None)
        chart = next(_within(anchor, CHART), None)
        if start and end and properties and chart:
            identity = [v for k, v in chart.attributes.items() if k.endswith("}id")]
            yield Frame(start, end, properties, identity[0] if identity else "")


def _within(element: Element, local: str) -> Iterator[Element]:
    """Elements of this name below an element, whatever their namespace."""
    for child in element.children:
        if child.local == local:
            yield child
        yield from _within(child, local)


def _row(marker: Element) -> str:
    row = marker.child("row")
    return "" if row is None else row.text.strip()


def _rows_shown(chart: bytes, title: str) -> set[int]:
    """Rows of the sheet that a chart shows; none when it shows anything else."""
    rows: set[int] = set()
    try:
        root = Document(chart).root
    except BadXml:
        return rows
    for formula in _within(root, "f"):
        prefix, _, cells = formula.text.rpartition("!")
        where = corners(cells)
        if where is None or title_of(prefix).casefold() != title.casefold():
            return set()
        rows |= set(range(where[0], where[2] + 1))
    return rows
