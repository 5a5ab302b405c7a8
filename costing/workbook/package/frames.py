"""The frames of the charts in a drawing, by the names that selection panes show."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import corners
from costing.workbook.package.encodings import BadXml
from costing.workbook.package.offsets import Document, Element

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


def pointed(chart: bytes, fresh: bytes) -> bytes:
    """A chart that refers to the cells of a fresh one, when it has the same series in it."""
    try:
        document = Document(chart)
    except BadXml:
        return chart
    old, new = (list(_within(root, "f")) for root in (document.root, Document(fresh).root))
    if [_columns(one) for one in old] == [_columns(one) for one in new]:
        for one, meant in zip(old, new, strict=True):
            if one.text != meant.text:
                document.replace(one.inner, one.close, escape(meant.text))
    return document.result()


def _columns(formula: Element) -> tuple[int, int] | None:
    where = corners(formula.text.rpartition("!")[2])
    return None if where is None else (where[1], where[3])


def _within(element: Element, local: str) -> Iterator[Element]:
    """Elements of this name below an element, whatever their namespace."""
    for child in element.children:
        if child.local == local:
            yield child
        yield from _within(child, local)
