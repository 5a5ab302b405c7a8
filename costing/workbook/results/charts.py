"""The charts of Summary, made once when the sheet is first written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from typing import Any

import xlsxwriter

from costing.buying.sharing import CostShare
from costing.workbook.package.cells import ResultCell
from costing.workbook.results.look import (
    CHART_DATA,
    INK,
    QUIET,
    SAGE,
    STEP,
    Look,
    money_format,
)

ROWS = 16
"""Rows of the sheet that the charts lie over; what they show stands in the cells behind them."""

PURPOSES = 6
"""So many purposes have a bar; the smallest are taken together in the last one."""

ALL_OTHERS = "all others"
BY_PURPOSE, BALANCE = "Used value by purpose", "Bought, used and left"

SHADES = (SAGE, INK, STEP)
"""Of bought, used and left; dark, darkest and pale, so that they differ without colour too."""

GAP = 12
"""Between the two charts. [pixels]"""
ROW_HEIGHT = 20
"""Of a row of ordinary height. [pixels]"""
SHARE_OF_WIDTH = 0.58
"""Part of the width that the first chart takes."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of a chart: its name, and the cell that says how long it is."""

    name: str = ""
    cell: ResultCell | None = None


def used_by_purpose(
    shares: Sequence[CostShare], used_column: str, purposes: str, look: Look
) -> list[Bar]:
    """A bar for each purpose, the longest first.

    Parameters
    ----------
    shares : sequence of CostShare
        Whose part of the money it is.
    used_column, purposes : str
        The columns of Food cost that are added up.
    look : Look
        How money is shown.
    """
    by_purpose: dict[str, Decimal] = {}
    for share in shares:
        by_purpose[share.purpose] = by_purpose.get(share.purpose, Decimal(0)) + share.used
    ordered = sorted(by_purpose.items(), key=lambda pair: -pair[1])
    kept = ordered if len(ordered) <= PURPOSES else ordered[: PURPOSES - 1]
    bars = []
    for name, value in kept:
        formula = f'SUMIF({purposes},"{name}",{used_column})'
        bars.append(Bar(name, look.money(value, formula, CHART_DATA)))
    rest = [value for _, value in ordered[len(kept) :]]
    if rest:
        bars.append(Bar(ALL_OTHERS, look.money(sum(rest, Decimal(0)), None, CHART_DATA)))
    return bars + [Bar()] * (PURPOSES - len(bars))


def chart_rows(purposes: Sequence[Bar], money: Sequence[Bar]) -> list[list[ResultCell | None]]:
    """The rows behind the charts; what a chart shows stands always in the same cells."""
    rows: list[list[ResultCell | None]] = []
    for title, bars in ((BY_PURPOSE, purposes), (BALANCE, money)):
        rows.append([ResultCell(title, style=CHART_DATA)])
        rows += [[ResultCell(bar.name, style=CHART_DATA), bar.cell] for bar in bars]
    return rows + [[] for _ in range(ROWS - len(rows))]


def drawing(
    title: str,
    rows: Sequence[Sequence[ResultCell | None]],
    *,
    first: int,
    widths: Sequence[float],
    currency: str | None,
) -> bytes:
    """A scratch workbook whose only sheet carries the charts.

    Parameters
    ----------
    title : str
        Of the sheet, as in the workbook the charts are for.
    rows : sequence of sequences
        As :func:`chart_rows` gives them.
    first : int
        Row of the sheet in which they begin.
    widths : sequence of float
        Of the columns. [characters]
    currency : str, optional
        ISO 4217 code, for the labels.
    """
    file = BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        sheet = book.add_worksheet(title)
        for number, width in enumerate(widths):
            sheet.set_column(number, number, width)
        for number, row in enumerate(rows, first - 1):
            for at, cell in enumerate(row):
                if cell is not None and isinstance(cell.value, str):
                    sheet.write_string(number, at, cell.value)
                elif cell is not None and isinstance(cell.value, Decimal):
                    sheet.write_number(number, at, float(cell.value))
        room = int(sum(width * 7 + 5 for width in widths)) - GAP
        wide = int(room * SHARE_OF_WIDTH)
        form = money_format(currency)
        top = first - 1
        by_purpose = _chart(book, "bar", title, (top + 1, top + PURPOSES), form)
        by_purpose.set_title(_title(BY_PURPOSE))
        by_purpose.set_y_axis({"reverse": True, **_AXIS})
        by_purpose.set_x_axis({"visible": False, "major_gridlines": {"visible": False}})
        start = top + PURPOSES + 2
        money = _chart(book, "column", title, (start, start + len(SHADES) - 1), form, SHADES)
        money.set_title(_title(BALANCE))
        money.set_x_axis(_AXIS)
        money.set_y_axis({"visible": False, "min": 0, "major_gridlines": {"visible": False}})
        for chart, left, width in ((by_purpose, 0, wide), (money, wide + GAP, room - wide)):
            chart.set_size({"width": width, "height": ROWS * ROW_HEIGHT - 8})
            sheet.insert_chart(top, 0, chart, {"x_offset": left, "object_position": 2})
    return file.getvalue()


_FONT = {"name": "Calibri", "size": 9, "color": f"#{INK}"}
_AXIS: dict[str, Any] = {
    "num_font": _FONT,
    "line": {"color": f"#{QUIET}", "width": 0.75},
    "major_tick_mark": "none",
    "minor_tick_mark": "none",
}


def _title(text: str) -> dict[str, Any]:
    return {"name": text, "name_font": {**_FONT, "size": 11, "bold": True}, "overlay": False}


def _chart(
    book: Any,
    kind: str,
    title: str,
    rows: tuple[int, int],
    form: str,
    shades: Sequence[str] = (SAGE,),
) -> Any:
    """A chart of one series over rows of the columns A and B, counted from 0."""
    first, last = rows
    chart = book.add_chart({"type": kind})
    points = [
        {"fill": {"color": f"#{shade}"}, "border": {"color": f"#{INK}", "width": 0.75}}
        for shade in shades
    ]
    chart.add_series(
        {
            "categories": [title, first, 0, last, 0],
            "values": [title, first, 1, last, 1],
            "fill": {"color": f"#{shades[0]}"},
            "border": {"color": f"#{INK}", "width": 0.75},
            "points": points if len(points) > 1 else None,
            "gap": 45,
            "data_labels": {
                "value": True,
                "position": "outside_end",
                "num_format": form,
                "font": _FONT,
            },
        }
    )
    chart.set_legend({"none": True})
    chart.set_chartarea({"fill": {"color": "#FFFFFF"}, "border": {"none": True}})
    chart.set_plotarea({"fill": {"none": True}})
    return chart
