"""The charts of Summary, made once when the sheet is first written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from typing import Any

import xlsxwriter

from costing.workbook.package.chartparts import explicit
from costing.workbook.results.look import DURATION_FORMAT, INK, QUIET_INK, SAGE, STEP, money_format
from costing.workbook.results.panels import (
    BALANCE,
    BY_PURPOSE,
    CAUTION_TITLE,
    CONTAINERS,
    MONEY_BARS,
    POINTS,
    PURPOSES,
    TIMES_TITLE,
    UNSEEN,
    Panels,
)

SHADES = (SAGE, INK, STEP)
"""Of bought, used and left; dark, darkest and pale, so that they differ without colour too."""

CHART_GAP = 12
"""Between two charts beside each other. [pixels]"""
ROW_HEIGHT = 20
"""Of a row of ordinary height. [pixels]"""
DEPTH_IN_LAST_ROW = 12
"""How far a chart reaches into the last row under it; the rest is air. [pixels]"""
SHARE_OF_WIDTH = 0.58
"""Part of the width that the first chart takes, whose bars have their names beside them."""
MOVE_AND_SIZE = 1
"""With the rows under it: it grows with the number of containers."""


@dataclass(frozen=True, slots=True)
class ChartPlace:
    """A chart and where it lies.

    Parameters
    ----------
    name : str
        By which it is found again, and which is read to those who do not see it.
    rows : tuple of int
        First and last row under it, from 1.
    left, width : int
        [pixels]
    """

    chart: Any
    name: str
    rows: tuple[int, int]
    left: int
    width: int


def drawing(title: str, panels: Panels, *, widths: Sequence[float], currency: str | None) -> bytes:
    """A scratch workbook whose only sheet carries the charts, all of them at every time.

    Its rows are all shown and of ordinary height: what counts are the rows between which a chart
    is anchored.

    Parameters
    ----------
    title : str
        Of the sheet, as in the workbook the charts are for.
    widths : sequence of float
        Of the columns. [characters]
    """
    file = BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        sheet = book.add_worksheet(title)
        for number, width in enumerate(widths):
            sheet.set_column(number, number, width)
        formats = _write_cells(sheet, panels)
        # ECMA-376 part 1, 18.3.1.13: 7 pixels a character of the usual font, 5 of air a column
        room = sum(int(width * 7 + 0.5) + 5 for width in widths)
        charts = _Charts(book, title, money_format(currency))
        for place in charts.places(panels, room):
            first, last = place.rows
            height = (last - first) * ROW_HEIGHT + DEPTH_IN_LAST_ROW
            place.chart.set_size({"width": place.width, "height": height})
            options = {
                "x_offset": place.left,
                "object_position": MOVE_AND_SIZE,
                "description": place.name,
            }
            sheet.insert_chart(first - 1, 0, place.chart, options)
    return explicit(file.getvalue(), formats)


def _write_cells(sheet: Any, panels: Panels) -> dict[tuple[int, int], str]:
    """Write what the charts show, so that it is stored beside them; the formats of the cells."""
    formats = {}
    for number, row in enumerate(panels.rows, panels.first):
        for column, cell in enumerate(row, 1):
            if cell is None:
                continue
            if cell.style.number_format not in (None, UNSEEN):
                formats[number, column] = cell.style.number_format
            if isinstance(cell.value, str):
                sheet.write_string(number - 1, column - 1, cell.value)
            elif isinstance(cell.value, (Decimal, Fraction)):
                sheet.write_number(number - 1, column - 1, float(cell.value))
    return formats


_FONT = {"name": "Calibri", "size": 9, "color": f"#{INK}"}
_NO_LINES = {"visible": False}
_AXIS: dict[str, Any] = {
    "num_font": _FONT,
    "line": {"color": f"#{QUIET_INK}", "width": 0.75},
    "major_tick_mark": "none",
    "minor_tick_mark": "none",
    "major_gridlines": _NO_LINES,
}
_NO_AXIS = {"visible": False, "min": 0, "major_gridlines": _NO_LINES}
_BORDER = {"color": f"#{INK}", "width": 0.75}
_HATCHED = {"pattern": "wide_upward_diagonal", "fg_color": f"#{QUIET_INK}", "bg_color": "#FFFFFF"}


def _fill(shade: str) -> dict[str, Any]:
    return {"fill": {"color": f"#{shade}"}, "border": _BORDER}


def _title(text: str) -> dict[str, Any]:
    return {"name": text, "name_font": {**_FONT, "size": 11, "bold": True}, "overlay": False}


class _Charts:
    """Makes the charts over the rows of one sheet."""

    def __init__(self, book: Any, title: str, form: str) -> None:
        self.book, self.title, self.form = book, title, form

    def places(self, panels: Panels, room: int) -> Iterator[ChartPlace]:
        """Every chart, with its place."""
        money, times_out, caution = panels.charted
        wide = int(room * SHARE_OF_WIDTH)
        first = money[0]
        yield ChartPlace(self._by_purpose(first + 1), BY_PURPOSE, money, 0, wide)
        balance = self._balance(first + PURPOSES + 2)
        yield ChartPlace(balance, BALANCE, money, wide + CHART_GAP, room - wide - CHART_GAP)
        yield ChartPlace(self._times_out(times_out[0]), TIMES_TITLE, times_out, 0, room)
        yield ChartPlace(self._caution(caution[0]), CAUTION_TITLE, caution, 0, room)

    def _cells(self, first: int, count: int, column: int) -> list[Any]:
        """Cells of a column, from 0, in rows counted from 1."""
        return [self.title, first - 1, column, first + count - 2, column]

    def _cell(self, row: int, column: int) -> list[Any]:
        return [self.title, row - 1, column]

    def _chart(self, kind: str, name: str, *, titled: bool = True) -> Any:
        """A chart of that name, without a title where a row above it says it."""
        chart = self.book.add_chart({"type": kind, "name": name})
        chart.set_title(_title(name) if titled else {"none": True})
        chart.set_legend({"none": True})
        chart.set_chartarea({"fill": {"color": "#FFFFFF"}, "border": {"none": True}})
        chart.set_plotarea({"fill": {"none": True}})
        return chart

    def _bars(self, first: int, count: int, column: int = 1) -> dict[str, Any]:
        return {
            "categories": self._cells(first, count, 0),
            "values": self._cells(first, count, column),
            "gap": 45,
            "data_labels": self._labels(self.form),
        }

    def _labels(self, form: str) -> dict[str, Any]:
        """Numbers at the ends of bars, in the format of their cells."""
        return {"value": True, "position": "outside_end", "num_format": form, "font": _FONT}

    def _by_purpose(self, first: int) -> Any:
        chart = self._chart("bar", BY_PURPOSE)
        chart.add_series({**self._bars(first, PURPOSES), **_fill(SAGE)})
        chart.set_y_axis({"reverse": True, **_AXIS})
        chart.set_x_axis(_NO_AXIS)
        return chart

    def _balance(self, first: int) -> Any:
        chart = self._chart("column", BALANCE)
        points = [_fill(shade) for shade in SHADES]
        chart.add_series({**self._bars(first, MONEY_BARS), **_fill(SHADES[0]), "points": points})
        chart.set_x_axis(_AXIS)
        chart.set_y_axis(_NO_AXIS)
        return chart

    def _times_out(self, first: int) -> Any:
        """Two bars for each container: dark for the time out, hatched for the limit."""
        chart = self._chart("bar", TIMES_TITLE, titled=False)
        looks = (_fill(INK), {"pattern": _HATCHED, "border": _BORDER})
        for column, look in enumerate(looks, 1):
            chart.add_series(
                {
                    **self._bars(first + 1, CONTAINERS, column),
                    **look,
                    "name": self._cell(first, column),
                    "data_labels": self._labels(DURATION_FORMAT),
                    "overlap": 0,
                }
            )
        chart.set_y_axis({"reverse": True, **_AXIS})
        chart.set_x_axis(_NO_AXIS)
        chart.set_legend({"position": "bottom", "font": _FONT})
        return chart

    def _caution(self, first: int) -> Any:
        """Every efficient point a circle, the one that is bought a large diamond with its word."""
        chart = self._chart("scatter", CAUTION_TITLE, titled=False)
        chart.add_series(
            {
                "name": self._cell(first, 0),
                "categories": self._cells(first + 2, POINTS, 1),
                "values": self._cells(first + 2, POINTS, 2),
                "marker": {"type": "circle", "size": 7, **_fill(SAGE)},
            }
        )
        chart.add_series(
            {
                "name": self._cell(first + 1, 0),
                "categories": self._cells(first + 1, 1, 1),
                "values": self._cells(first + 1, 1, 2),
                "marker": {"type": "diamond", "size": 13, **_fill(INK)},
                "data_labels": {
                    "series_name": True,
                    "value": True,
                    "separator": "\n",
                    "position": "right",
                    "num_format": self.form,
                    "font": {**_FONT, "bold": True},
                },
            }
        )
        lines = {"visible": True, "line": {"color": f"#{STEP}", "width": 0.75}}
        axis = {**_AXIS, "major_gridlines": lines}
        chart.set_x_axis({**axis, "min": 0})
        chart.set_y_axis(axis)
        return chart
