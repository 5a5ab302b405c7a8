"""The frames of the charts in a drawing, by the names that selection panes show."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import corners
from costing.workbook.package.encodings import BadXml
from costing.workbook.package.offsets import Document, Element
from costing.workbook.package.references import title_of

DRAWING = "http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing"
SHAPES = "http://schemas.openxmlformats.org/drawingml/2006/main"
DRAWING_CONTENT = "application/vnd.openxmlformats-officedocument.drawing+xml"
EMPTY_DRAWING = (
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    f'<xdr:wsDr xmlns:xdr="{DRAWING}" xmlns:a="{SHAPES}"></xdr:wsDr>'
).encode()
ANCHORS = ("twoCellAnchor", "oneCellAnchor", "absoluteAnchor")


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame of a chart.

    Parameters
    ----------
    anchor : Element
        Where it lies, the frame itself inside.
    properties, chart : Element
        Its name and number, and the reference to its part.
    """

    anchor: Element
    properties: Element
    chart: Element

    @property
    def identity(self) -> str:
        """Name of the relation that leads to the chart's part."""
        return next((v for k, v in self.chart.attributes.items() if k.endswith("}id")), "")


def frames(drawing: Element) -> dict[str, Frame]:
    """The frames of the charts by name; of two alike the first."""
    found: dict[str, Frame] = {}
    for anchor in drawing.children:
        if anchor.local not in ANCHORS:
            continue
        properties, chart = (
            next(_within(anchor, "cNvPr"), None),
            next(_within(anchor, "chart"), None),
        )
        if properties is not None and chart is not None:
            frame = Frame(anchor, properties, chart)
            found.setdefault(properties.attributes.get("name", ""), frame)
    return found


def free_number(drawing: Element) -> int:
    """A number that no frame of the drawing has."""
    numbers = [one.attributes.get("id", "") for one in _within(drawing, "cNvPr")]
    return 1 + max((int(n) for n in numbers if n.isascii() and n.isdigit()), default=0)


def anchor_xml(drawing: bytes, name: str, identity: str, number: int) -> str:
    """The anchor of a chart of XlsxWriter's for another drawing, its prefixes declared.

    Parameters
    ----------
    drawing : bytes
        The part it stands in.
    name : str
        Of its frame.
    identity : str
        Of the relation that leads to the chart's part there.
    number : int
        Of the frame there.
    """
    document = Document(drawing)
    frame = frames(document.root)[name]
    document.set_attribute(frame.chart, "r:id", identity)
    document.set_attribute(frame.properties, "id", str(number))
    changed = Document(document.result())
    anchor = frames(changed.root)[name].anchor
    start = f"<{anchor.tag}"
    xml = changed.raw(anchor).decode().removeprefix(start)
    return f'{start} xmlns:xdr="{DRAWING}" xmlns:a="{SHAPES}"{xml}'


def put_back(document: Document, frame: Frame, fresh: Frame, moved: int) -> None:
    """Move the ends of a frame back that were shifted by ``moved`` rows from where they were."""
    for end in ("from", "to"):
        row, meant = _row(frame.anchor, end), _row(fresh.anchor, end)
        if row is None or meant is None:
            continue
        if row.text.strip() == str(int(meant.text) + moved):
            document.replace(row.inner, row.close, meant.text)


def _row(anchor: Element, end: str) -> Element | None:
    marker = anchor.child(end)
    return marker.child("row") if marker is not None else None


@dataclass(frozen=True, slots=True)
class Cells:
    """Cells of a sheet that a chart refers to.

    Parameters
    ----------
    sheet : str
        Its title, in small letters.
    top, left, bottom, right : int
        Rows and columns, from 1.
    """

    sheet: str
    top: int
    left: int
    bottom: int
    right: int

    def shifted(self, first: int, moved: int) -> Cells:
        """Where they stand after row ``first`` and those below it moved down."""
        top, bottom = (row + (moved if row >= first else 0) for row in (self.top, self.bottom))
        return replace(self, top=top, bottom=bottom)


def _cells(formula: Element) -> Cells | None:
    sheet, _, words = formula.text.strip().rpartition("!")
    where = corners(words)
    return None if where is None else Cells(title_of(sheet).casefold(), *where)


def referred(chart: bytes) -> dict[Cells, str]:
    """The cells that a chart refers to, as they are spelled there; none when it is broken."""
    try:
        formulas = list(_within(Document(chart).root, "f"))
    except BadXml:
        return {}
    return {cells: one.text for one in formulas if (cells := _cells(one)) is not None}


def ways_back(fresh: Mapping[Cells, str], found: Collection[Cells], moved: int) -> dict[Cells, str]:
    """What fresh charts refer to, by where the cells stood after rows were put in.

    The rows went in above the row that explains most of what the charts refer to, the first of
    several. What no such row explains is not ours to change.

    Parameters
    ----------
    fresh : mapping
        Cells that fresh charts refer to, and how they are spelled.
    found : collection of Cells
        Cells that the charts refer to now.
    moved : int
        How many rows were put in.
    """

    def back(first: int) -> dict[Cells, str]:
        places = {cells: cells.shifted(first, moved) for cells in fresh}
        return {place: fresh[cells] for cells, place in places.items() if place != cells}

    def explained(first: int) -> int:
        return sum(cells.shifted(first, moved) in found for cells in fresh)

    rows = sorted({row for cells in fresh for row in (cells.top, cells.bottom)})
    return back(max(rows, key=explained)) if rows else {}


def pointed(chart: bytes, back: Mapping[Cells, str]) -> bytes:
    """A chart whose references are put back; every other one stays as it is."""
    try:
        document = Document(chart)
    except BadXml:
        return chart
    for one in _within(document.root, "f"):
        cells = _cells(one)
        if cells is not None and cells in back:
            document.replace(one.inner, one.close, escape(back[cells]))
    return document.result()


def _within(element: Element, local: str) -> Iterator[Element]:
    """Elements of this name below an element, whatever their namespace."""
    for child in element.children:
        if child.local == local:
            yield child
        yield from _within(child, local)
