"""A workbook about a season: its tables as sheets, and three charts over them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from typing import Any

from costing.report.tables import Table, Value, ValueKind
from costing.workbook.template.cells import DATE, INK, NO_GRIDLINES, SOFT_INK, Styles
from costing.workbook.template.writing import new_book

CHARTS = "Charts"
"""Title of the sheet in front."""

WIDTH, HEIGHT, GAP = 900, 340, 18
"""Of a chart and between two. [pixels]"""

MARKS = ("circle", "diamond", "square", "triangle")
PATTERNS = (
    *("percent_90", "wide_upward_diagonal", "percent_30", "dark_horizontal", "percent_10"),
    *("small_grid", "wide_downward_diagonal", "percent_60", "light_vertical", "sphere"),
    *("dark_vertical", "percent_20", "large_confetti"),
)
"""Lines and bars are told apart by these, not by a colour."""

FORMATS = {
    ValueKind.DATE: DATE,
    ValueKind.MONEY: "#,##0.00",
    ValueKind.PRICE: "#,##0.00##",
    ValueKind.QUANTITY: "0.##",
    ValueKind.COUNT: "0",
}
LINES = (
    ("Cost of each episode", ("used_value", "actual", "paid")),
    ("Cost per portion and per minute", ("used_per_portion", "used_per_minute")),
)
"""Charts of lines over the season: title, and the columns they show."""


def season_bytes(tables: Mapping[str, Table]) -> bytes:
    """The tables of a season as sheets of a new workbook, charts in front.

    ``tables``: ``season``, ``by_purpose`` and ``figures``, the first two with a row for each
    episode.
    """
    file = BytesIO()
    with new_book(file) as book:
        look = Styles(book)
        front = book.add_worksheet(CHARTS)
        for table in tables.values():
            _write(book.add_worksheet(table.layout.title), table, look)
        _draw(book, front, tables, look)
    return file.getvalue()


def _write(sheet: Any, table: Table, look: Styles) -> None:
    """Write a table: headings frozen above, each value in the format of its kind."""
    sheet.freeze_panes(1, 0)
    sheet.hide_gridlines(NO_GRIDLINES)
    for at, column in enumerate(table.layout.columns):
        number_format = FORMATS.get(column.kind, "")
        sheet.set_column(at, at, column.width)
        sheet.write_string(0, at, column.heading, look.heading(needed=False))
        for number, row in enumerate(table.rows, 1):
            wrap = column.kind is ValueKind.LONG_TEXT
            _put(sheet, number, at, row[column.key], look.cell(number_format, wrap=wrap))


def _put(sheet: Any, row: int, at: int, value: Value, look: Any) -> None:
    """Write one value; what is not known stays blank."""
    if value is None or value == "":
        sheet.write_blank(row, at, None, look)
    elif isinstance(value, date):
        sheet.write_datetime(row, at, value, look)
    elif isinstance(value, int | Decimal | Fraction):
        sheet.write_number(row, at, float(value), look)
    else:
        sheet.write_string(row, at, str(value), look)


def _draw(book: Any, sheet: Any, tables: Mapping[str, Table], look: Styles) -> None:
    """Put the charts below each other, of the currency that most episodes have."""
    season, purposes = tables["season"], tables["by_purpose"]
    counted = [row["currency"] for row in season.rows]
    if not counted:
        sheet.write_string(0, 0, "No episode to show.", look.of())
        return
    # lines of two currencies on one axis would be compared
    currency = max(dict.fromkeys(counted), key=counted.count)
    first = counted.index(currency)
    last = first + counted.count(currency) - 1  # rows are by currency
    words = f"Episodes in {currency}" if currency else "Episodes"
    sheet.hide_gridlines(NO_GRIDLINES)
    sheet.write_string(
        0, 0, f"{words}, by date; all rows are on the sheets behind.", look.purpose()
    )
    charts = [_lines(book, season, title, keys, (first, last)) for title, keys in LINES]
    charts.append(_bars(book, purposes, (first, last)))
    for number, chart in enumerate(charts):
        chart.set_size({"width": WIDTH, "height": HEIGHT})
        chart.set_legend({"position": "bottom"})
        offset = number * (HEIGHT + GAP)
        sheet.insert_chart(1, 0, chart, {"y_offset": offset, "description": chart_title(number)})


def chart_title(number: int) -> str:
    """What a chart shows, for those who do not see it."""
    return [*(title for title, _ in LINES), "Used value by purpose"][number]


def _lines(
    book: Any, table: Table, title: str, keys: tuple[str, ...], rows: tuple[int, int]
) -> Any:
    """A chart of lines with marks, an episode beside the other."""
    chart = book.add_chart({"type": "line"})
    for key, mark in zip(keys, MARKS, strict=False):
        dash = "solid" if mark == MARKS[0] else "dash"
        chart.add_series(
            _series(table, key, rows)
            | {
                "line": {"color": INK, "width": 1.25, "dash_type": dash},
                "marker": {"type": mark, "size": 6, "fill": {"color": INK}},
            }
        )
    _look(chart, title)
    return chart


def _bars(book: Any, table: Table, rows: tuple[int, int]) -> Any:
    """Bars that pile up the purposes of each episode."""
    chart = book.add_chart({"type": "column", "subtype": "stacked"})
    keys = [column.key for column in table.layout.columns if column.kind is ValueKind.MONEY]
    for key, pattern in zip(keys, PATTERNS, strict=False):
        fill = {"pattern": pattern, "fg_color": INK, "bg_color": "#FFFFFF"}
        chart.add_series(_series(table, key, rows) | {"pattern": fill, "border": {"color": INK}})
    _look(chart, chart_title(len(LINES)))
    return chart


def _series(table: Table, key: str, rows: tuple[int, int]) -> dict[str, Any]:
    """Where a series finds its name, its values and the episodes they are of."""
    title, keys = table.layout.title, list(table.layout.keys)
    first, last = rows[0] + 1, rows[1] + 1
    at, names = keys.index(key), (keys.index("shoot_date"), keys.index("episode"))
    return {
        "name": [title, 0, at],
        "values": [title, first, at, last, at],
        "categories": [title, first, names[0], last, names[1]],
    }


def _look(chart: Any, title: str) -> None:
    font = {"name": "Calibri", "size": 10, "color": INK, "bold": False}
    chart.set_title({"name": title, "name_font": font | {"size": 12}, "overlay": False})
    chart.set_x_axis({"num_font": font, "text_axis": True, "num_format": DATE})
    grid = {"visible": True, "line": {"color": SOFT_INK, "width": 0.25}}
    chart.set_y_axis({"num_font": font, "min": 0, "num_format": "0.00", "major_gridlines": grid})
