"""Rows and input sheets added to a workbook that is there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from costing.names import key
from costing.quantities import decimal_or_mixed
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.owned.additions import RowsBelow, SheetsBehind, with_additions
from costing.workbook.package.cellxml import CellStyle, NewCell
from costing.workbook.package.commit import read_file, replace_file
from costing.workbook.reading.areas import Area
from costing.workbook.reading.books import open_book
from costing.workbook.reading.sheets import find_sheets
from costing.workbook.template import cells
from costing.workbook.template.cells import Row, number_holds
from costing.workbook.template.sheets import HEADINGS
from costing.workbook.template.writing import template_bytes

MAY_BE_LEFT_OUT = frozenset({"Step name", "Shown", "Note"})
"""Columns that change no figure: a workbook without them gets the rows all the same."""


class ColumnsMissing(Exception):
    """A sheet that is there lacks columns for what is to be added.

    Parameters
    ----------
    title : str
        Of the sheet.
    headings : sequence of str
        What it lacks.
    """

    def __init__(self, title: str, headings: Sequence[str]) -> None:
        self.title, self.headings = title, list(headings)
        super().__init__(f"{title} has no column {', '.join(headings)}")


@dataclass(frozen=True, slots=True)
class Added:
    """What was added to a workbook.

    Parameters
    ----------
    rows : dict of str to (int, int)
        First and last row filled in, by the sheet's name.
    sheets : tuple of str
        Sheets put behind the others.
    left_out : tuple of str
        Columns, as ``Recipes: Note``, that the workbook has not and whose cells were left out.
    """

    rows: dict[str, tuple[int, int]]
    sheets: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def add_to_workbook(
    path: Path, rows: Mapping[str, Sequence[Row]], sheets: Sequence[str] = ()
) -> Added:
    """Add rows to the sheets there are, and the sheets there are not; write the workbook.

    Parameters
    ----------
    path : Path
        The workbook.
    rows : mapping of str to sequence of mapping
        Rows by our title of the sheet, each a value by heading.
    sheets : sequence of str
        Our titles of sheets to be added without rows.

    Raises
    ------
    ColumnsMissing
        If a sheet lacks a column that a row needs.
    Refused
        If there is no room, or the workbook cannot be read or must not be changed.
    """
    data, seen = read_file(path)
    areas = find_sheets(open_book(path)).areas
    below = [
        _below(areas[title], found) for title, found in rows.items() if found and title in areas
    ]
    new: dict[str, Sequence[Row]] = {
        title: found for title, found in rows.items() if found and title not in areas
    }
    new |= {title: () for title in sheets if title not in new}
    left_out = tuple(
        f"{title}: {heading}"
        for title, found in rows.items()
        if title in areas
        for heading in _lacking(areas[title], found)
    )
    titles = [layout.title for layout in INPUT_SHEETS if layout.title in new]
    behind = None
    if titles:
        scratch = template_bytes(only=titles, rows=new)
        behind = SheetsBehind(scratch, titles, dict.fromkeys(titles, HEADINGS + 1))
    changed, filled = with_additions(data, below, behind, name=path.name)
    replace_file(path, changed, seen)
    return Added(filled, tuple(titles), left_out)


def _below(area: Area, rows: Sequence[Row]) -> RowsBelow:
    """The rows with the columns of the sheet they go to."""
    missing = [heading for heading in _lacking(area, rows) if heading not in MAY_BE_LEFT_OUT]
    if missing:
        raise ColumnsMissing(area.title, missing)
    columns: dict[str, int] = {}
    for number, heading in sorted(area.columns.items()):
        columns.setdefault(heading, number)
    cells = [
        {columns[heading]: cell_of(value) for heading, value in row.items() if heading in columns}
        for row in rows
    ]
    return RowsBelow(area.title, area.header, frozenset(area.columns), cells, area.last)


def _lacking(area: Area, rows: Sequence[Row]) -> Iterator[str]:
    """Headings of the rows that the sheet has not, each once."""
    known = {key(heading) for heading in area.columns.values()}
    headings = dict.fromkeys(
        heading for row in rows for heading, value in row.items() if value not in (None, "")
    )
    return (heading for heading in headings if key(heading) not in known)


def cell_of(value: Any) -> NewCell:
    """A value as a cell of a workbook that is there; see ``template.cells.write_value``."""
    if isinstance(value, bool):
        return NewCell("yes" if value else "no")
    if isinstance(value, datetime):
        return NewCell(value, style=CellStyle(number_format=cells.DATE_TIME))
    if isinstance(value, date):
        return NewCell(value, style=CellStyle(number_format=cells.DATE))
    if isinstance(value, time):
        return NewCell(value.isoformat("minutes"))
    if isinstance(value, int | Decimal | Fraction) and not number_holds(Fraction(value)):
        return NewCell(decimal_or_mixed(Fraction(value)))
    return NewCell(value)
