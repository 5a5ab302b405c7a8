"""Rows and input sheets put into somebody's workbook; whatever is there stays as it is.

Rows go into the blank ones below the last that is filled in, in the formats that stand there; a
sheet goes behind the others. Where there is no room the workbook is refused, and nothing is moved.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from costing.findings import Grade, Place, Words, how_many, message
from costing.names import key
from costing.quantities import decimal_or_mixed
from costing.workbook.layout import INPUT_TITLES
from costing.workbook.layout.columns import NOTE
from costing.workbook.owned.ownedsheets import OwnedSheets, free_name
from costing.workbook.owned.sheetxml import append_rows
from costing.workbook.owned.splice import opened
from costing.workbook.package.addresses import address, corners, range_words
from costing.workbook.package.carrying import Carrier
from costing.workbook.package.cellxml import CellStyle, NewCell, cell_xml, style_of
from costing.workbook.package.commit import read_file, replace_file
from costing.workbook.package.refusals import Refused
from costing.workbook.package.sheetdata import SheetRow
from costing.workbook.package.sheetrows import read_rows
from costing.workbook.package.tableparts import TableState
from costing.workbook.package.xmlparts import Document, says_yes
from costing.workbook.reading.areas import Area
from costing.workbook.reading.sheets import find_sheets, open_book
from costing.workbook.template.cells import DATE, DATE_TIME, Row, number_holds
from costing.workbook.template.sheets import HEADINGS, height_for_note
from costing.workbook.template.writing import template_bytes

MAY_BE_LEFT_OUT = frozenset({"Step name", "Shown", "Note"})
"""Columns that change no figure: a workbook without them gets the rows all the same."""


class ColumnsMissing(Exception):
    """A sheet that is there lacks columns for what is to be added."""

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
    changed, filled = with_additions(data, below, new, name=path.name)
    replace_file(path, changed, seen)
    titles = tuple(title for title in INPUT_TITLES if title in new)
    return Added(filled, titles, left_out)


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
    heights = [height_for_note(row) for row in rows] if NOTE.heading in columns else ()
    return RowsBelow(area.title, area.header, frozenset(area.columns), cells, area.last, heights)


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
    if isinstance(value, date):
        form = DATE_TIME if isinstance(value, datetime) else DATE
        return NewCell(value, style=CellStyle(number_format=form))
    if isinstance(value, time):
        return NewCell(value.isoformat("minutes"))
    if isinstance(value, int | Decimal | Fraction) and not number_holds(Fraction(value)):
        return NewCell(decimal_or_mixed(Fraction(value)))
    return NewCell(value)


@dataclass(frozen=True, slots=True)
class RowsBelow:
    """Rows for a sheet that is there.

    Parameters
    ----------
    columns : Collection of int
        Columns of the headings, from 1; a row is filled in when one of them holds something.
    rows : sequence of mapping of int to NewCell
        The cells of each row by column. A style counts where the sheet has none for the cell.
    bottom : int, optional
        The last row that is read, where a table ends.
    heights : sequence of int
        What each row needs where rows have a height of their own; blank: nothing. [points]
    """

    title: str
    header: int
    columns: Collection[int]
    rows: Sequence[Mapping[int, NewCell]]
    bottom: int | None = None
    heights: Sequence[int] = ()


def with_additions(
    data: bytes, below: Sequence[RowsBelow], sheets: Mapping[str, Sequence[Row]], *, name: str = ""
) -> tuple[bytes, dict[str, tuple[int, int]]]:
    """The workbook with rows and sheets added.

    Gives the workbook, and for each title the first and last row that was filled in.

    Parameters
    ----------
    below : sequence of RowsBelow
        For sheets that are there; one for each.
    sheets : mapping of str to sequence of mapping
        Rows of sheets that are not there, by our title; a sheet may have none.

    Raises
    ------
    Refused
        If the file does not pass the gate, must not be changed, or has no room for the rows.
    """
    with opened(data, name=name) as tabs:
        filled = {one.title: _put_rows(tabs, one) for one in below if one.rows}
        if sheets:
            _put_sheets(tabs, sheets)
        return tabs.result().data, filled


def _put_rows(tabs: OwnedSheets, below: RowsBelow) -> tuple[int, int]:
    """Fill in the free rows below the last that is filled in; gives the first and the last."""
    part = next(tab.part for tab in tabs.book.tabs if tab.title == below.title)
    document = Document(tabs.package.read(part), skip={"sheetData"})
    there = {row.number: row for row in read_rows(document.bytes)}
    holding = [row.number for row in there.values() if _holds(row, below.columns)]
    first = max([below.header, *(n for n in holding if not below.bottom or n <= below.bottom)]) + 1
    last = first + len(below.rows) - 1
    table = _table_over(tabs, part, below)
    _check_room(document, there, below, table, first, last)
    fixed = document.root.child("sheetFormatPr")
    as_high = fixed is not None and says_yes(fixed.attributes.get("customHeight", ""))
    above = [there[number] for number in sorted(there) if below.header < number < first]
    looks = {cell.column: cell.style for row in above for cell in row.cells}
    looks = {column: style for column, style in looks.items() if column in below.columns}
    for at, cells in enumerate(below.rows):
        height = below.heights[at] if below.heights else 0
        _write_row(tabs, document, there, first + at, cells, looks, height, fixed=as_high)
    if table is not None and last > table.corners[2]:
        _stretch(tabs, table, last)
    _reach(document, last, max(below.columns))
    tabs.changed[part] = document.result()
    return first, last


def _holds(row: SheetRow, columns: Collection[int]) -> bool:
    return any(cell.holds and cell.column in columns for cell in row.cells)


def _table_over(tabs: OwnedSheets, part: str, below: RowsBelow) -> TableState | None:
    """The table whose headings are those of the sheet."""
    for table in tabs.tables.get(part, ()):
        if table.corners[0] == below.header and table.corners[1] in below.columns:
            return table
    return None


def _check_room(
    document: Document,
    there: Mapping[int, SheetRow],
    below: RowsBelow,
    table: TableState | None,
    first: int,
    last: int,
) -> None:
    """Refuse rows for which what is below, a merge, a total or another table leaves no room."""
    bottom = last
    if table is not None and table.totals:
        bottom = min(bottom, table.corners[2] - table.totals)
    blocked = [n for n, row in there.items() if n >= first and _in_use(row)]
    merged = document.root.child("mergeCells")
    for one in merged.all("mergeCell") if merged else ():
        where = corners(one.attributes.get("ref", ""))
        if where and where[2] >= first:
            blocked.append(max(first, where[0]))
    bottom = min([bottom, *(n - 1 for n in blocked)])
    if bottom < last:
        place = Place(below.title, bottom + 1)
        raise Refused(no_room_below(place, last - first + 1, bottom - first + 1))


def _in_use(row: SheetRow) -> bool:
    hidden = row.attributes.get("hidden", "")
    return says_yes(hidden) or any(cell.holds for cell in row.cells)


def _write_row(
    tabs: OwnedSheets,
    document: Document,
    there: Mapping[int, SheetRow],
    number: int,
    cells: Mapping[int, NewCell],
    looks: Mapping[int, int],
    height: float,
    *,
    fixed: bool,
) -> None:
    """Note the edits that fill in a row in the look of its blank cells, or of the rows above.

    Where a height is ``fixed`` no program fits it to the text; a row that is higher stays.
    """
    prefix, old, later = document.root.prefix, there.get(number), there.values()
    standing = {cell.column: cell for cell in old.cells} if old else {}
    looks = {**looks, **{column: cell.style for column, cell in standing.items()}}
    blank = {column: NewCell() for column, look in looks.items() if look and column not in standing}
    filled = {column: cell for column, cell in cells.items() if not cell.blank}
    xml = {
        column: cell_xml(
            cell,
            row=number,
            column=column,
            style=looks.get(column) or tabs.styles.number(style_of(cell)),
            prefix=prefix,
            from_1904=tabs.book.from_1904,
        )
        for column, cell in (blank | filled).items()
    }
    kept = {
        column: _addressed(document.bytes[cell.start : cell.end].decode(), number, column)
        for column, cell in standing.items()
        if column not in xml
    }
    inside = "".join(text for _, text in sorted((kept | xml).items()))
    tag = f"{prefix}row"
    if old is None:
        at = min((row.start for row in later if row.number > number), default=None)
        high = f' ht="{height}" customHeight="1"' if fixed and height else ""
        new = f'<{tag} r="{number}"{high}>{inside}</{tag}>'
        if at is None:
            append_rows(document, new)
        else:
            document.replace(at, at, new)
        return
    start = document.bytes[old.start : old.tag_end].decode().rstrip("/>").rstrip()
    fixed = fixed or says_yes(old.attributes.get("customHeight", ""))
    if fixed and height > float(old.attributes.get("ht", "0")):
        start = re.sub(r"\s(?:ht|customHeight)=(?:\"[^\"]*\"|'[^']*')", "", start)
        start += f' ht="{height}" customHeight="1"'
    document.replace(old.start, old.end, f"{start}>{inside}</{tag}>")


def _addressed(cell: str, row: int, column: int) -> str:
    """A cell with its address, which some programs leave out."""
    tag = cell[: cell.index(">")]
    if re.search(r"\sr=", tag):
        return cell
    end = re.match(r"<[\w:]+", cell)
    return cell if end is None else f'{end[0]} r="{address(row, column)}"{cell[end.end() :]}'


def _reach(document: Document, bottom: int, right: int) -> None:
    """Let the sheet say that it reaches as far as what was filled in."""
    dimension = document.root.child("dimension")
    where = corners(dimension.attributes.get("ref", "")) if dimension else None
    if dimension is not None and where is not None:
        far = (*where[:2], max(where[2], bottom), max(where[3], right))
        document.set_attribute(dimension, "ref", range_words(*far))


def _stretch(tabs: OwnedSheets, table: TableState, last: int) -> None:
    """Let a table reach down to the last row; its filters, columns and look stay."""
    document, (top, left, _, right) = table.document, table.corners
    document.set_attribute(document.root, "ref", range_words(top, left, last, right))
    filtered = document.root.child("autoFilter")
    if filtered is not None:
        document.set_attribute(filtered, "ref", range_words(top, left, last, right))
    tabs.changed[table.part] = document.result()


def _put_sheets(tabs: OwnedSheets, sheets: Mapping[str, Sequence[Row]]) -> None:
    """Carry sheets of a scratch workbook behind the others, each table under a free name."""
    taken, titles = tabs.taken_names, [title for title in INPUT_TITLES if title in sheets]
    scratch = template_bytes(only=titles, rows=sheets)
    carrier = Carrier(scratch, new_part=tabs.new_part, types=tabs.book.types)
    for title in titles:
        part = carrier.sheet(title, tabs.styles)
        position = tabs.book.add_tab(title, part)
        tabs.repeat_row(title, HEADINGS + 1, position)
    for number, part in enumerate(carrier.tables(), tabs.next_table):
        document = Document(carrier.parts[part])
        name = free_name(document.root.attributes.get("displayName", ""), taken)
        taken.add(name.casefold())
        for attribute, value in (("id", str(number)), ("name", name), ("displayName", name)):
            document.set_attribute(document.root, attribute, value)
        carrier.parts[part] = document.result()
    tabs.changed |= carrier.parts


@message("no room below", Grade.ERROR)
def no_room_below(needed: int, free: int) -> Words:
    added = "1 is" if needed == 1 else f"{needed} are"
    return Words(
        f"{how_many(free, 'row')} free above what is here, where {added} to be added",
        f"{how_many(needed, 'blank row')} below the last one that is filled in",
        f"Insert {how_many(needed - free, 'more row')} above this one and run again; nothing was "
        "changed.",
    )
