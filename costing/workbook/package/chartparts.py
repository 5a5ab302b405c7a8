"""Chart parts in which nothing is left to a default that programs read differently.

An element of yes or no that is left out is "no" to one program and "yes" to another: the schema's
default for its value is "true", and LibreOffice takes that for a missing element too unless the
workbook says that Excel 2007 wrote it. Labels then show the names of series and columns, legends
their keys, corners are rounded. So every such element is written.

Notes
-----
Order and meaning of the elements: ECMA-376 part 1, 21.2 (DrawingML charts).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import corners
from costing.workbook.package.gate import open_gate
from costing.workbook.package.xmlparts import Document, Element

CHARTS = "xl/charts/chart"

SHARED_LABEL = (
    *("numFmt", "spPr", "txPr", "dLblPos", "showLegendKey", "showVal", "showCatName"),
    *("showSerName", "showPercent", "showBubbleSize", "separator"),
)
AXIS = (
    *("axId", "scaling", "delete", "axPos", "majorGridlines", "minorGridlines", "title"),
    *("numFmt", "majorTickMark", "minorTickMark", "tickLblPos", "spPr", "txPr", "crossAx"),
    *("crosses", "crossesAt"),
)
AXES = ("catAx", "valAx")
ORDER = {
    "chartSpace": (
        *("date1904", "lang", "roundedCorners", "AlternateContent", "style", "clrMapOvr"),
        *("pivotSource", "protection", "chart", "spPr", "txPr", "externalData"),
        *("printSettings", "userShapes", "extLst"),
    ),
    "chart": (
        *("title", "autoTitleDeleted", "pivotFmts", "view3D", "floor", "sideWall", "backWall"),
        *("plotArea", "legend", "plotVisOnly", "dispBlanksAs", "showDLblsOverMax", "extLst"),
    ),
    "title": ("tx", "layout", "overlay", "spPr", "txPr", "extLst"),
    "legend": ("legendPos", "legendEntry", "layout", "overlay", "spPr", "txPr", "extLst"),
    "barChart": (
        *("barDir", "grouping", "varyColors", "ser", "dLbls", "gapWidth", "overlap"),
        *("serLines", "axId", "extLst"),
    ),
    "scatterChart": ("scatterStyle", "varyColors", "ser", "dLbls", "axId", "extLst"),
    "barChart/ser": (
        *("idx", "order", "tx", "spPr", "invertIfNegative", "pictureOptions", "dPt", "dLbls"),
        *("trendline", "errBars", "cat", "val", "shape", "extLst"),
    ),
    "scatterChart/ser": (
        *("idx", "order", "tx", "spPr", "marker", "dPt", "dLbls", "trendline", "errBars"),
        *("xVal", "yVal", "smooth", "extLst"),
    ),
    "dPt": (
        *("idx", "invertIfNegative", "marker", "bubble3D", "explosion", "spPr"),
        *("pictureOptions", "extLst"),
    ),
    "dLbls": (*("dLbl", "delete", *SHARED_LABEL, "showLeaderLines", "leaderLines", "extLst"),),
    "catAx": (
        *(*AXIS, "auto", "lblAlgn", "lblOffset", "tickLblSkip", "tickMarkSkip"),
        *("noMultiLvlLbl", "extLst"),
    ),
    "valAx": (*AXIS, "crossBetween", "majorUnit", "minorUnit", "dispUnits", "extLst"),
}
"""Children of the elements that are completed, in the order of the schema."""

LABELS = (
    *("showLegendKey", "showVal", "showCatName", "showSerName", "showPercent"),
    "showBubbleSize",
)
LEFT_OUT = {
    "chartSpace": {"roundedCorners": "0"},
    "chart": {
        "autoTitleDeleted": "0",
        "plotVisOnly": "1",
        "dispBlanksAs": "gap",
        "showDLblsOverMax": "0",
    },
    "title": {"overlay": "0"},
    "legend": {"overlay": "0"},
    "barChart": {"varyColors": "0"},
    "scatterChart": {"varyColors": "0"},
    "barChart/ser": {"invertIfNegative": "0"},
    "scatterChart/ser": {"smooth": "0"},
    "dPt": {"invertIfNegative": "0", "bubble3D": "0"},
    "dLbls": dict.fromkeys(LABELS, "0"),
    "catAx": {"delete": "0", "noMultiLvlLbl": "0"},
    "valAx": {"delete": "0"},
}
"""What an element that is not there is to mean, in the order of the schema."""


Formats = Mapping[tuple[int, int], str]
"""Number formats of cells by row and column, from 1."""


def explicit(workbook: bytes, formats: Formats) -> bytes:
    """A workbook whose charts say everything, and whose numbers take the format of their cells.

    An axis that is to take the format of the cells has none of its own: LibreOffice would take
    that one, and show a currency that is no longer the shoot's.

    Parameters
    ----------
    workbook : bytes
        As XlsxWriter makes it.
    formats : mapping of (int, int) to str
        Number formats of the cells of its only sheet.
    """
    package = open_gate(workbook)
    return package.rewritten(
        {
            name: explicit_chart(package.read(name), formats)
            for name in package.names
            if name.startswith(CHARTS)
        }
    ).data


def explicit_chart(chart: bytes, formats: Formats) -> bytes:
    """A chart part in which nothing is left out."""
    document = Document(chart)
    for element, kind in _elements(document.root, ""):
        for child, value in LEFT_OUT.get(kind, {}).items():
            if element.child(child) is None:
                xml = f'<{element.prefix}{child} val="{value}"/>'
                document.insert(element, xml, local=child, order=ORDER[kind])
        form = element.child("numFmt")
        if form is not None and kind == "dLbls":
            document.set_attribute(form, "sourceLinked", "1")
        elif form is not None and kind in AXES and form.flag("sourceLinked"):
            document.remove(form)
        if kind == "numRef":
            _store_format(document, element, formats)
    return document.result()


def _store_format(document: Document, reference: Element, formats: Formats) -> None:
    """Store the format of the first cell beside the numbers of a series."""
    formula, cache = reference.child("f"), reference.child("numCache")
    stored = cache.child("formatCode") if cache is not None else None
    where = corners(formula.text.rpartition("!")[2]) if formula is not None else None
    code = formats.get(where[:2]) if where is not None else None
    if stored is not None and code is not None:
        document.replace(stored.inner, stored.close, escape(code))


def _elements(element: Element, within: str) -> Iterator[tuple[Element, str]]:
    """An element and all below it, each with its kind: its name, of a series that of its chart."""
    kind = f"{within}/ser" if element.local == "ser" else element.local
    yield element, kind
    for child in element.children:
        yield from _elements(child, element.local)
