"""What the cells of an input sheet hold, as the spreadsheet program sees them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from openpyxl.utils import get_column_letter

from costing.shoot import Extent, Filled
from costing.workbook.layout.columns import NOTE
from costing.workbook.reading.areas import Area
from costing.workbook.reading.books import FORMULA, cells_of
from costing.workbook.reading.values import is_date, is_number, serial

ROOM = 200
"""So many blank rows below the last one count as room for rows to come."""

Held = tuple[int, float | str | None, bool]
"""Row, what is held there (``None`` when it is not clear), and whether it is a date."""


def extent_of(area: Area) -> Extent:
    """Where the rows of a sheet stand, and what is in them."""
    held: dict[int, list[Held]] = {
        number: [] for number, heading in area.columns.items() if heading != NOTE.heading
    }
    for (row, number), cell in cells_of(area.sheet).items():
        below = row > area.header and (area.last is None or row <= area.last)
        if number in held and below and cell.value is not None:
            held[number].append(_held(area, row, cell))
    end = max((row for cells in held.values() for row, _, _ in cells), default=area.header)
    required = [column for column in area.layout.columns if column.required]
    names = next((c for c in required if not c.carries_down), required[0]).heading
    return Extent(
        kind=area.layout.title,
        sheet=area.title,
        header=area.header,
        end=end,
        room=end + ROOM if area.last is None else max(end, min(end + ROOM, area.last)),
        named_by=area.letters[names],
        columns=tuple(_filled(area, number, cells) for number, cells in sorted(held.items())),
    )


def _filled(area: Area, number: int, held: list[Held]) -> Filled:
    return Filled(
        heading=area.columns[number],
        letter=get_column_letter(number),
        title=_title(area, number),
        cells={row: value for row, value, _ in held if value is not None},
        clear=number not in set(_merged(area)) and all(value is not None for _, value, _ in held),
        dated=any(date for _, _, date in held),
    )


def _title(area: Area, number: int) -> str:
    cell = cells_of(area.sheet)[area.header, number]
    if cell.data_type == FORMULA:
        cell = area.results[area.header, number]
    return str(cell.value)


def _held(area: Area, row: int, cell: Any) -> Held:
    if cell.data_type == FORMULA:
        cell = area.results.get((row, cell.column))
    value: Any = None if cell is None or cell.data_type == "e" else cell.value
    if is_number(value):
        return row, value, False
    if is_date(value):
        return row, serial(value, area.epoch), True
    if isinstance(value, str) and value.strip():
        return row, value, False
    return row, None, False


def _merged(area: Area) -> Iterator[int]:
    """Numbers of the columns in which cells are merged with those beside them."""
    for merged in area.sheet.merged_cells.ranges:
        below = merged.max_row >= area.header
        above = area.last is None or merged.min_row <= area.last
        if below and above and merged.min_col < merged.max_col:
            yield from range(merged.min_col, merged.max_col + 1)
