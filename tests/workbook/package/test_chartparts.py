"""Chart parts that leave no yes or no to a program's default.

The order of the elements is taken from openpyxl, which writes charts from declarations of its own.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import Element

import pytest
import xlsxwriter
from live_workbooks import run
from openpyxl.chart.axis import NumericAxis, TextAxis
from openpyxl.chart.bar_chart import BarChart
from openpyxl.chart.chartspace import ChartContainer, ChartSpace
from openpyxl.chart.label import DataLabelList
from openpyxl.chart.legend import Legend
from openpyxl.chart.marker import DataPoint
from openpyxl.chart.scatter_chart import ScatterChart
from openpyxl.chart.series import attribute_mapping
from openpyxl.chart.title import Title
from packages import parts_of, tree_of

from costing.workbook.demo import uncertain_rows
from costing.workbook.package.chartparts import explicit, explicit_chart
from costing.workbook.results.write import new_workbook_bytes

ORDER: dict[str, Sequence[str]] = {
    "chartSpace": ChartSpace.__elements__,
    "chart": ChartContainer.__elements__,
    "title": Title.__elements__,
    "legend": Legend.__elements__,
    "barChart": BarChart.__elements__,
    "scatterChart": ScatterChart.__elements__,
    "barChart/ser": attribute_mapping["bar"],
    "scatterChart/ser": attribute_mapping["scatter"],
    "dPt": DataPoint.__elements__,
    "dLbls": DataLabelList.__elements__,
    "catAx": TextAxis.__elements__,
    "valAx": NumericAxis.__elements__,
}
LABELS = {
    *("showLegendKey", "showVal", "showCatName", "showSerName", "showPercent"),
    "showBubbleSize",
}
YES_OR_NO = {
    "chartSpace": {"roundedCorners"},
    "chart": {"autoTitleDeleted", "plotVisOnly", "showDLblsOverMax", "dispBlanksAs"},
    "title": {"overlay"},
    "legend": {"overlay"},
    "barChart": {"varyColors"},
    "scatterChart": {"varyColors"},
    "barChart/ser": {"invertIfNegative"},
    "scatterChart/ser": {"smooth"},
    "dPt": {"invertIfNegative", "bubble3D"},
    "dLbls": LABELS,
    "catAx": {"delete", "noMultiLvlLbl"},
    "valAx": {"delete"},
}
"""Elements that LibreOffice, or another program, takes as true where they are left out."""


def local(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def elements(root: Element, within: str = "") -> Iterator[tuple[str, Element]]:
    name = local(root)
    yield (f"{within}/ser" if name == "ser" else name), root
    for child in root:
        yield from elements(child, name)


@pytest.fixture(scope="module")
def charts() -> dict[str, Element]:
    """The four charts of the demo with an uncertain shot."""
    data, _ = run(new_workbook_bytes(all_sheets=True, rows=uncertain_rows()))
    return {
        name: tree_of(part)
        for name, part in parts_of(data).items()
        if name.startswith("xl/charts/chart")
    }


def test_explicit__every_yes_or_no_is_written(charts: dict[str, Element]) -> None:
    assert len(charts) == 4
    looked_at = set()
    for root in charts.values():
        for kind, element in elements(root):
            written = {local(child) for child in element if child.get("val") is not None}
            assert YES_OR_NO.get(kind, set()) <= written, kind
            looked_at.add(kind)
    assert looked_at >= set(YES_OR_NO)


def test_explicit__in_the_order_of_the_schema(charts: dict[str, Element]) -> None:
    for root in charts.values():
        for kind, element in elements(root):
            order = ORDER.get(kind)
            names = [local(child) for child in element]
            if order is not None:
                assert names == sorted(names, key=order.index), kind


def test_explicit__labels_show_numbers_alone_but_at_the_planned_point(
    charts: dict[str, Element],
) -> None:
    shown = [
        {local(child) for child in element if child.get("val") == "1" and local(child) in LABELS}
        for root in charts.values()
        for kind, element in elements(root)
        if kind == "dLbls"
    ]
    assert sorted(map(sorted, shown)) == [["showSerName", "showVal"], *[["showVal"]] * 4]


def test_explicit__numbers_take_the_format_of_their_cells(charts: dict[str, Element]) -> None:
    """So that no label and no axis shows a currency that is no longer the shoot's."""
    for root in charts.values():
        for kind, element in elements(root):
            forms = [child for child in element if local(child) == "numFmt"]
            if kind == "dLbls":
                assert [form.get("sourceLinked") for form in forms] == ["1"]
            elif kind in ("catAx", "valAx"):
                assert forms == []
    stored = {
        element.text
        for root in charts.values()
        for kind, element in elements(root)
        if kind == "formatCode"
    }
    assert stored == {'#,##0.00\\ "EUR"', "[h]:mm", "General"}


def test_explicit__what_is_said_is_not_said_twice() -> None:
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        page = book.add_worksheet("One")
        chart = book.add_chart({"type": "bar"})
        chart.add_series({"values": "=One!$A$1:$A$2", "data_labels": {"value": True}})
        page.insert_chart("C1", chart)
    once = parts_of(explicit(file.getvalue(), {(1, 1): "0.0"}))["xl/charts/chart1.xml"]
    assert explicit_chart(once, {(1, 1): "0.0"}) == once
    assert once.count(b"showVal") == 1
    assert b"<c:formatCode>0.0</c:formatCode>" in once
