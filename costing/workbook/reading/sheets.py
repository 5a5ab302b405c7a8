"""Which sheet of a workbook is which input sheet, and where its headings stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from openpyxl.utils import get_column_letter, range_boundaries
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from costing.findings import Finding, Grade, Place
from costing.names import key
from costing.workbook.layout import INPUT_SHEETS, INSTRUCTIONS_TITLE, RESULT_TITLES, Sheet
from costing.workbook.reading.areas import Area
from costing.workbook.reading.books import FORMULA, Book, Cells, cells_of
from costing.workbook.reading.likeness import heading_key, nearly
from costing.workbook.reading.messages import books as messages
from costing.workbook.reading.unread import HEADING_ROWS, unread_columns
from costing.workbook.reading.wording import shortened

VISIBLE = "visible"


@dataclass(slots=True)
class FoundSheets:
    """What was found in a workbook.

    Parameters
    ----------
    areas : dict of str to Area
        By our title of the sheet.
    unread : list of (str, Place)
        Input sheets whose headings do not let them be read, by the layout's title.
    findings : list of Finding
        About sheets and headings.
    """

    areas: dict[str, Area] = field(default_factory=dict)
    unread: list[tuple[str, Place]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """Where an input sheet is: a worksheet, and the table in it when there is one."""

    sheet: Worksheet
    table: Table | None = None


def find_sheets(book: Book) -> FoundSheets:
    """The input sheets of a workbook, by table name first and by sheet name second."""
    found = FoundSheets()
    filled = [sheet for sheet in book.sheets if _filled(sheet)]
    if not filled:
        found.findings.append(messages.empty_workbook(Place(book.name)))
        return found
    taken: dict[str, SheetPlace] = {}
    for layout in INPUT_SHEETS:
        spots = [*_tables(book, layout), *_titled(book, layout)]
        if spots:
            taken[layout.title] = spots[0]
            found.findings += [
                messages.sheet_twice(Place(spot.sheet.title), layout.title, spots[0].sheet.title)
                for spot in spots[1:]
                if spot.sheet is not spots[0].sheet
            ]
    told = _nearly_ours(book, taken, found)
    for layout in INPUT_SHEETS:
        if layout.title in taken:
            _read_headings(layout, taken[layout.title], book, found)
        elif layout.required and layout.title not in told:
            titles = [sheet.title for sheet in filled if sheet.sheet_state == VISIBLE]
            found.findings.append(
                messages.required_sheet_missing(Place(book.name), layout.title, titles)
            )
    return found


def _filled(sheet: Worksheet) -> bool:
    return any(cell.value is not None for cell in cells_of(sheet).values())


def _titled(book: Book, layout: Sheet) -> list[SheetPlace]:
    return [
        SheetPlace(sheet)
        for sheet in book.sheets
        if key(sheet.title) == key(layout.title) and _is_ours(book, sheet, layout)
    ]


def _is_ours(book: Book, sheet: Worksheet, layout: Sheet) -> bool:
    """Whether a sheet has what tells it from one of the user's own with that everyday title."""
    if not layout.told_by or not _filled(sheet):
        return True
    results = book.results.get(str(sheet.title), {})
    return any(
        nearly(text, layout.told_by)
        for row in range(1, HEADING_ROWS + 1)
        for text in _texts(cells_of(sheet), results, row).values()
    )


def _tables(book: Book, layout: Sheet) -> list[SheetPlace]:
    """Tables that have our name and our required headings, wherever they stand."""
    names = {key(layout.table), *(key(layout.title).replace(" ", mark) for mark in ("", "_"))}
    spots = []
    for sheet in book.sheets:
        for table in sheet.tables.values():
            if key(table.displayName or table.name) not in names or table.headerRowCount == 0:
                continue
            left, top, right, _ = range_boundaries(table.ref)
            texts = _texts(
                cells_of(sheet), {}, int(top or 1), range(int(left or 1), int(right or 1) + 1)
            )
            headings = {heading_key(text) for text in texts.values()}
            if headings.issuperset(map(heading_key, layout.required_headings)):
                spots.append(SheetPlace(sheet, table))
    return spots


def _edges(table: Table) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of a table."""
    left, top, right, bottom = range_boundaries(table.ref)
    return int(left or 1), int(top or 1), int(right or 1), int(bottom or 1)


def _nearly_ours(book: Book, taken: dict[str, SheetPlace], found: FoundSheets) -> set[str]:
    """Add findings for sheets with a near title; gives the titles that are probably meant."""
    used = {spot.sheet.title for spot in taken.values()}
    ours = {key(title) for title in (*RESULT_TITLES, INSTRUCTIONS_TITLE)}
    ours.update(key(layout.title) for layout in INPUT_SHEETS)
    told: set[str] = set()
    for sheet in book.sheets:
        title = str(sheet.title)
        if title in used or key(title) in ours or sheet.sheet_state != VISIBLE:
            continue
        meant = nearly(title, [layout.title for layout in INPUT_SHEETS])
        for layout in INPUT_SHEETS:
            if meant is None and layout.title not in taken and key(title) in map(key, layout.older):
                meant = layout.title
        if meant is not None and _is_ours(book, sheet, BY_TITLE[meant]):
            told.add(meant)
            if meant not in taken:
                found.unread.append((meant, Place(title)))
            found.findings.append(messages.sheet_nearly_known(Place(title), title, meant))
    return told


def _read_headings(layout: Sheet, spot: SheetPlace, book: Book, found: FoundSheets) -> None:
    """Find the headings of a sheet and which column is which."""
    sheet = spot.sheet
    cells, results = cells_of(sheet), book.results.get(str(sheet.title), {})
    if not _filled(sheet):
        return
    header = _header_row(layout, spot, cells, results)
    texts = _texts(cells, results, header) if header else {}
    columns, doubtful, findings = _columns(layout, texts, str(sheet.title), header)
    headings = set(columns.values())
    missing = [heading for heading in layout.required_headings if heading not in headings]
    found.findings += findings
    if header:
        below = {at[1] for at, cell in cells.items() if at[0] > header and cell.value is not None}
        below -= _merged_headings(sheet, header)
        found.findings += unread_columns(
            layout,
            texts,
            columns,
            below,
            lambda number: Place(str(sheet.title), header, get_column_letter(number)),
        )
    if missing:
        place = Place(str(sheet.title), header or None)
        known = list(texts.values()) if header else []
        found.findings.append(messages.required_heading_missing(place, missing, known))
        found.unread.append((layout.title, place))
        return
    if not layout.used and below.intersection(columns):
        title = str(sheet.title)
        found.findings.append(messages.not_read_yet(Place(title), f'the sheet "{title}" filled in'))
    if sheet.sheet_state != VISIBLE:
        found.findings.append(messages.hidden_sheet_read(Place(str(sheet.title)), layout.title))
    found.areas[layout.title] = Area(
        layout,
        sheet,
        header,
        _last_row(spot, header, columns),
        columns,
        doubtful,
        results,
        book.epoch,
    )


def _merged_headings(sheet: Worksheet, header: int) -> set[int]:
    """Columns whose heading is merged with others, which has its own finding."""
    return {
        column
        for merged in sheet.merged_cells.ranges
        if merged.min_row <= header <= merged.max_row
        for column in range(merged.min_col, merged.max_col + 1)
    }


def own_sheets(book: Book, found: FoundSheets) -> list[Worksheet]:
    """The user's own sheets in view: those that were not read, nor nearly."""
    told = {finding.place.sheet for finding in found.findings if finding.grade is Grade.ERROR}
    read = {area.title for area in found.areas.values()} | told
    return [
        sheet
        for sheet in book.sheets
        if sheet.sheet_state == VISIBLE and str(sheet.title) not in read and _filled(sheet)
    ]


def texts_of_row(book: Book, sheet: Worksheet, row: int) -> dict[int, str]:
    """The texts of a row by column, formulas by their results."""
    return _texts(cells_of(sheet), book.results.get(str(sheet.title), {}), row)


def _header_row(layout: Sheet, spot: SheetPlace, cells: Cells, results: Cells) -> int:
    """The row that holds most of our headings, 0 when none does."""
    if spot.table is not None:
        return _edges(spot.table)[1]
    known = {heading_key(heading): heading for heading in layout.headings}
    least = min(2, len(layout.required_headings))
    best, best_score = 0, 0
    for row in range(1, HEADING_ROWS + 1):
        score = 0
        for text in _texts(cells, results, row).values():
            if heading_key(text) in known:
                score += 2
            elif _meant(text, layout, known.values()):
                score += 1
        if score > best_score and score >= least:
            best, best_score = row, score
    return best


def _texts(
    cells: Cells, results: Cells, row: int, columns: Iterable[int] | None = None
) -> dict[int, str]:
    """The texts of a row by column."""
    if columns is None:
        columns = sorted(column for at, column in cells if at == row)
    texts = {}
    for column in columns:
        cell: Any = cells.get((row, column))
        if cell is not None and cell.data_type == FORMULA:
            cell = results.get((row, column))
        if cell is not None and isinstance(cell.value, str) and cell.value.strip():
            texts[column] = shortened(cell.value)
    return texts


def _columns(
    layout: Sheet, texts: dict[int, str], title: str, row: int
) -> tuple[dict[int, str], set[str], list[Finding]]:
    """Our heading by column, the headings that are not certain, and what is to be said."""
    known = {heading_key(heading): heading for heading in layout.headings}
    columns: dict[int, str] = {}
    doubtful: set[str] = set()
    findings: list[Finding] = []
    first: dict[str, int] = {}
    for column, text in texts.items():
        heading = known.get(heading_key(text))
        if heading is None:
            continue
        columns[column] = heading
        earlier = first.setdefault(heading, column)
        if earlier != column:
            doubtful.add(heading)
            place = Place(title, row, get_column_letter(column), heading)
            address = f"{get_column_letter(earlier)}{row}"
            findings.append(messages.heading_twice(place, text, address))
    for column, text in texts.items():
        if column in columns:
            continue
        heading = _meant(text, layout, first)
        if heading is not None:
            columns[column] = heading
            doubtful.add(heading)
            place = Place(title, row, get_column_letter(column))
            findings.append(messages.heading_nearly_known(place, text, heading))
    return columns, doubtful, findings


BY_TITLE = {layout.title: layout for layout in INPUT_SHEETS}
OTHERS = {heading_key(h): h for layout in INPUT_SHEETS for h in layout.headings}


def _meant(text: str, layout: Sheet, present: Iterable[str]) -> str | None:
    """The layout's heading that a heading is near; another sheet's heading is the user's own."""
    there = set(present)
    for column in layout.columns:
        if column.heading not in there and heading_key(text) in map(heading_key, column.older):
            return column.heading
    return None if heading_key(text) in OTHERS else nearly(text, layout.headings)


def _last_row(spot: SheetPlace, header: int, columns: Sequence[int] | dict[int, str]) -> int | None:
    """The last row of data: before a row of totals, or before another table below."""
    ends: list[int] = []
    if spot.table is not None and spot.table.totalsRowCount:
        ends.append(_edges(spot.table)[3] - spot.table.totalsRowCount)
    for table in spot.sheet.tables.values():
        left, top, right, _ = _edges(table)
        if top > header and any(left <= column <= right for column in columns):
            ends.append(top - 1)
    return min(ends, default=None)
