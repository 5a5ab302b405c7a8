"""Rows and sheets put into somebody's workbook; whatever is there stays as it is.

Rows go into the blank ones below the last that is filled in, in the formats that stand there; a
sheet goes behind the others. Where there is no room the workbook is refused, and nothing is moved.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from costing.findings import Grade, Place, Words, message
from costing.workbook.owned.ownedsheets import OwnedSheets, free_name
from costing.workbook.owned.sheetxml import ORDER
from costing.workbook.owned.splice import opened
from costing.workbook.package.addresses import address, corners, range_words
from costing.workbook.package.carrying import Carrier
from costing.workbook.package.cellxml import NewCell, cell_xml, style_of
from costing.workbook.package.refusals import Refused
from costing.workbook.package.sheetdata import SheetRow
from costing.workbook.package.sheetrows import read_rows
from costing.workbook.package.tableparts import TableState
from costing.workbook.package.xmlparts import Document


@dataclass(frozen=True, slots=True)
class RowsBelow:
    """Rows for a sheet that is there.

    Parameters
    ----------
    title : str
        Of its tab.
    header : int
        Row of the headings.
    columns : Collection of int
        Columns of the headings, from 1; a row is filled in when one of them holds something.
    rows : sequence of mapping of int to NewCell
        The cells of each row by column. A style counts where the sheet has none for the cell.
    bottom : int, optional
        The last row that is read, where a table ends.
    """

    title: str
    header: int
    columns: Collection[int]
    rows: Sequence[Mapping[int, NewCell]]
    bottom: int | None = None


@dataclass(frozen=True, slots=True)
class SheetsBehind:
    """Sheets for a workbook, made in a scratch one.

    Parameters
    ----------
    scratch : bytes
        The scratch workbook.
    titles : sequence of str
        Its sheets that are to be carried, in order.
    headings : mapping of str to int
        Rows that are printed on every page, by title.
    """

    scratch: bytes
    titles: Sequence[str]
    headings: Mapping[str, int]


def with_additions(
    data: bytes, rows: Sequence[RowsBelow], sheets: SheetsBehind | None, *, name: str = ""
) -> tuple[bytes, dict[str, tuple[int, int]]]:
    """The workbook with rows and sheets added.

    Parameters
    ----------
    data : bytes
        The workbook.
    rows : sequence of RowsBelow
        For sheets that are there; one for each.
    sheets : SheetsBehind, optional
        Sheets that are not there.
    name : str
        The file's name, for findings.

    Returns
    -------
    tuple of bytes and dict
        The workbook, and for each title the first and last row that was filled in.

    Raises
    ------
    Refused
        If the file does not pass the gate, must not be changed, or has no room for the rows.
    """
    with opened(data, name=name) as tabs:
        filled = {one.title: _put_rows(tabs, one) for one in rows if one.rows}
        if sheets is not None:
            _put_sheets(tabs, sheets)
        return tabs.result(), filled


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
    for number, cells in enumerate(below.rows, first):
        above = first - 1 if first - 1 > below.header else 0
        _write_row(tabs, document, there, number, cells, above=above)
    if table is not None and last > table.corners[2] and table.document is not None:
        _stretch(tabs, table, last)
    _reach(document, last, max(below.columns))
    tabs.changed[part] = document.result()
    return first, last


def _holds(row: SheetRow, columns: Collection[int]) -> bool:
    return any(cell.holds and cell.column in columns for cell in row.cells)


def _table_over(tabs: OwnedSheets, part: str, below: RowsBelow) -> TableState | None:
    """The table whose headings are those of the sheet."""
    return next(
        (
            table
            for table in tabs.tables.get(part, ())
            if table.corners[0] == below.header and table.corners[1] in below.columns
        ),
        None,
    )


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
    hidden = row.attributes.get("hidden", "0") not in ("0", "false")
    return hidden or any(cell.holds for cell in row.cells)


def _write_row(
    tabs: OwnedSheets,
    document: Document,
    there: Mapping[int, SheetRow],
    number: int,
    cells: Mapping[int, NewCell],
    *,
    above: int,
) -> None:
    """Note the edits that fill in a row; its blank cells, or those of the row above, give the look.

    Above the first row that is filled in is the last that was, or the headings, which give
    none: a row is then as plain as its blank cells.
    """
    prefix, old, pattern = document.root.prefix, there.get(number), there.get(above)
    later = there.values()
    standing = {cell.column: cell for cell in old.cells} if old else {}
    looks = {cell.column: cell.style for cell in pattern.cells} if pattern else {}
    looks |= {column: cell.style for column, cell in standing.items()}
    xml = {
        column: cell_xml(
            cell,
            row=number,
            column=column,
            style=looks.get(column) or tabs.styles.number(style_of(cell)),
            prefix=prefix,
            from_1904=tabs.book.from_1904,
        )
        for column, cell in cells.items()
        if not cell.blank
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
        new = f'<{tag} r="{number}">{inside}</{tag}>'
        if at is None:
            _append(document, new)
        else:
            document.replace(at, at, new)
        return
    start = document.bytes[old.start : old.tag_end].decode().rstrip("/>").rstrip()
    document.replace(old.start, old.end, f"{start}>{inside}</{tag}>")


def _addressed(cell: str, row: int, column: int) -> str:
    """A cell with its address, which some programs leave out."""
    tag = cell[: cell.index(">")]
    if re.search(r"\sr=", tag):
        return cell
    end = re.match(r"<[\w:]+", cell)
    return cell if end is None else f'{end[0]} r="{address(row, column)}"{cell[end.end() :]}'


def _append(document: Document, row: str) -> None:
    """Put a row behind all others."""
    root = document.root
    data = root.child("sheetData")
    if data is None:
        tag = f"{root.prefix}sheetData"
        document.insert(root, f"<{tag}>{row}</{tag}>", local="sheetData", order=ORDER)
    elif data.empty:
        document.append(data, row)
    else:
        document.replace(data.close, data.close, row)


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
    if document is None:
        return
    document.set_attribute(document.root, "ref", range_words(top, left, last, right))
    filtered = document.root.child("autoFilter")
    if filtered is not None:
        document.set_attribute(filtered, "ref", range_words(top, left, last, right))
    tabs.changed[table.part] = document.result()


def _put_sheets(tabs: OwnedSheets, sheets: SheetsBehind) -> None:
    """Carry sheets behind the others, each with its table under a free name."""
    taken = tabs.taken_names
    carrier = Carrier(sheets.scratch, new_part=tabs.new_part, types=tabs.book.types)
    for title in sheets.titles:
        part = carrier.sheet(title, tabs.styles)
        position = tabs.book.add_tab(title, part)
        if title in sheets.headings:
            tabs.repeat_row(title, sheets.headings[title], position)
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
    """Rows to be added that would run into what is below."""
    rows = "1 row" if free == 1 else f"{free} rows"
    return Words(
        f"{rows} free above what is here, where {needed} are to be added",
        f"{needed} blank rows below the last one that is filled in",
        f"Insert {needed - free} more rows above this one and run again; nothing was changed.",
    )
