"""A workbook opened: which of its sheets is which input sheet, and where its headings are."""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.listing import row_words
from costing.names import key
from costing.workbook.layout import (
    INPUT_SHEETS,
    INPUT_TITLES,
    INSTRUCTIONS_TITLE,
    RESULT_TITLES,
    Sheet,
)
from costing.workbook.layout.columns import NOTE
from costing.workbook.owned.marks import MARK_NAME
from costing.workbook.package.addresses import column_letters
from costing.workbook.package.commit import read_file
from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import Package
from costing.workbook.package.refusals import (
    Refused,
    file_place,
    links_to_other_files,
    part_twice,
)
from costing.workbook.package.tableparts import TableState
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.worksheets import Unreadable, Worksheet, epoch_of, read_worksheets
from costing.workbook.package.xmlparts import XmlFault
from costing.workbook.reading.areas import Area
from costing.workbook.reading.headings import (
    HEADING_ROWS,
    columns_in,
    header_row,
    heading_key,
    merged_headings,
    nearly,
    required_heading_missing,
    texts_in,
)
from costing.workbook.reading.unread import unread_columns


@dataclass(frozen=True, slots=True)
class Book:
    """An opened workbook.

    Parameters
    ----------
    sheets : tuple of Worksheet
        The user's; result sheets are left aside.
    epoch : datetime
        The day from which the workbook counts dates.
    notes : tuple of Finding
        What is to be said of the file as a whole.
    """

    name: str
    sheets: tuple[Worksheet, ...]
    epoch: datetime
    notes: tuple[Finding, ...] = ()


def open_book(path: str | os.PathLike[str]) -> Book:
    """Open the workbook at ``path``.

    Raises
    ------
    Refused
        If it cannot be read; the finding says why.
    """
    file = Path(path)
    data, _ = read_file(file)
    package = open_gate(data, name=file.name)
    book = WorkbookPart(package)
    try:
        sheets = tuple(read_worksheets(book, aside=MARK_NAME))
        return Book(file.name, sheets, epoch_of(book), tuple(notes_on(package)))
    except (Unreadable, XmlFault) as fault:
        raise Refused(not_understood(Place(sheet=file.name), str(fault))) from None


def notes_on(package: Package) -> list[Finding]:
    """What is to be said of a workbook as a whole: parts that are not read, links not followed."""
    place = file_place(package.name)
    links = [r for r in package.relations(package.workbook) if r.kind == "externalLink"]
    notes = [links_to_other_files(place, len(links))] if links else []
    return notes + [part_twice(place, name) for name in package.twice]


@dataclass(slots=True)
class FoundSheets:
    """What was found in a workbook.

    Parameters
    ----------
    areas : dict of str to Area
        By our title of the sheet.
    unread : list of (str, Place)
        Input sheets whose headings do not let them be read, by the layout's title.
    """

    areas: dict[str, Area] = field(default_factory=dict)
    unread: list[tuple[str, Place]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """Where an input sheet is: a worksheet, and the table in it when there is one."""

    sheet: Worksheet
    table: TableState | None = None


def find_sheets(book: Book) -> FoundSheets:
    """The input sheets of a workbook, by table name first and by sheet name second."""
    found = FoundSheets()
    filled = [sheet for sheet in book.sheets if sheet.rows]
    if not filled:
        found.findings.append(empty_workbook(Place(book.name)))
        return found
    taken: dict[str, SheetPlace] = {}
    for layout in INPUT_SHEETS:
        # a table keeps its name when its sheet is renamed, so it is the surer of the two
        spots = [*_tables(book, layout), *_titled(book, layout)]
        if spots:
            taken[layout.title] = spots[0]
            found.findings += [
                sheet_twice(Place(spot.sheet.title), layout.title, spots[0].sheet.title)
                for spot in spots[1:]
                if spot.sheet is not spots[0].sheet
            ]
    reported = _nearly_known(book, taken, found)
    for layout in INPUT_SHEETS:
        if layout.title in taken:
            _read_headings(layout, taken[layout.title], book, found)
        elif layout.required and layout.title not in reported:
            titles = [sheet.title for sheet in filled if not sheet.hidden]
            found.findings.append(required_sheet_missing(Place(book.name), layout.title, titles))
            found.unread.append((layout.title, Place(book.name)))
    return found


def _titled(book: Book, layout: Sheet) -> list[SheetPlace]:
    return [
        SheetPlace(sheet)
        for sheet in book.sheets
        if key(sheet.title) == key(layout.title) and _is_ours(sheet, layout)
    ]


def _is_ours(sheet: Worksheet, layout: Sheet) -> bool:
    """Whether a sheet has what tells it from one of the user's own with that everyday title.

    One heading that is its alone tells it, or two of any.
    """
    if not layout.told_by or not sheet.rows:
        return True
    for row in range(1, HEADING_ROWS + 1):
        texts = texts_in(sheet, row).values()
        near = {nearly(text, layout.headings) for text in texts} - {None, NOTE.heading}
        if len(near) >= 2 or not near.isdisjoint(layout.told_by):
            return True
    return False


def _tables(book: Book, layout: Sheet) -> list[SheetPlace]:
    """Tables that have our name and our required headings, wherever they stand."""
    names = {key(layout.table), *(key(layout.title).replace(" ", mark) for mark in ("", "_"))}
    spots = []
    for sheet in book.sheets:
        for table in sheet.tables:
            if key(table.name) not in names or not table.has_headings:
                continue
            top, left, _, right = table.corners
            texts = texts_in(sheet, top)
            headings = {heading_key(texts[at]) for at in texts if left <= at <= right}
            if headings.issuperset(map(heading_key, layout.required_headings)):
                spots.append(SheetPlace(sheet, table))
    return spots


def _nearly_known(book: Book, taken: dict[str, SheetPlace], found: FoundSheets) -> set[str]:
    """Add findings for sheets with a near title; gives the titles that are probably meant."""
    used = {spot.sheet.title for spot in taken.values()}
    known = {key(title) for title in (*RESULT_TITLES, INSTRUCTIONS_TITLE)}
    # a sheet of ours that was not taken has its own finding, such as a second one of that title
    known.update(key(layout.title) for layout in INPUT_SHEETS)
    reported: set[str] = set()
    for sheet in book.sheets:
        title = sheet.title
        if title in used or key(title) in known or sheet.hidden:
            continue
        meant = nearly(title, INPUT_TITLES)
        for layout in INPUT_SHEETS:
            if meant is None and layout.title not in taken and key(title) in map(key, layout.older):
                meant = layout.title
        if meant is not None and _is_ours(sheet, BY_TITLE[meant]):
            reported.add(meant)
            if meant not in taken:
                found.unread.append((meant, Place(title)))
            found.findings.append(sheet_nearly_known(Place(title), title, meant))
    return reported


def _read_headings(layout: Sheet, spot: SheetPlace, book: Book, found: FoundSheets) -> None:
    """Find the headings of a sheet and which column is which."""
    sheet = spot.sheet
    if not sheet.rows:
        return
    header = spot.table.corners[0] if spot.table else header_row(layout, sheet)
    texts = texts_in(sheet, header)
    columns, doubtful, findings = columns_in(layout, texts, sheet.title, header)
    headings = set(columns.values())
    missing = [heading for heading in layout.required_headings if heading not in headings]
    found.findings += findings
    if header:
        below = {at for row, cells in sheet.rows.items() if row > header for at in cells}
        below -= merged_headings(sheet, header)
        found.findings += unread_columns(
            layout,
            texts,
            columns,
            below,
            lambda number: Place(sheet.title, header, column_letters(number)),
        )
    if missing:
        place = Place(sheet.title, header or None)
        known = list(texts.values()) if header else []
        found.findings.append(required_heading_missing(place, missing, known))
        found.unread.append((layout.title, place))
        return
    if sheet.hidden:
        found.findings.append(hidden_sheet_read(Place(sheet.title), layout.title))
    table = spot.table or _table_at(sheet, header, columns)
    last, ends = _last_rows(sheet, table, header, columns)
    area = Area(layout, sheet, header, last, columns, doubtful, book.epoch)
    found.areas[layout.title] = area
    if table is not None and table.totals:
        beyond = area.filled_between(table.corners[2], ends)
        # a word by itself is a note of the person's own
        rows = [row for row, cells in sorted(beyond.items()) if len(cells) > 1]
        if rows:
            found.findings.append(rows_below_totals(area.place(rows[0]), row_words(rows)))


def own_sheets(book: Book, found: FoundSheets) -> list[Worksheet]:
    """The user's own sheets in view: those that were not read, nor nearly."""
    reported = {finding.place.sheet for finding in found.findings if finding.grade is Grade.ERROR}
    read = {area.title for area in found.areas.values()} | reported
    return [
        sheet
        for sheet in book.sheets
        if not sheet.hidden and sheet.title not in read and sheet.rows
    ]


BY_TITLE = {layout.title: layout for layout in INPUT_SHEETS}


def _table_at(sheet: Worksheet, header: int, columns: Collection[int]) -> TableState | None:
    """A table of any name that has our row of headings."""
    for table in sheet.tables:
        top, left, _, right = table.corners
        if top == header and any(left <= column <= right for column in columns):
            return table
    return None


def _last_rows(
    sheet: Worksheet, table: TableState | None, header: int, columns: Collection[int]
) -> tuple[int | None, int | None]:
    """The last row of data, before a row of totals, and the last before another table below."""
    below = [
        other.corners[0] - 1
        for other in sheet.tables
        if other.corners[0] > header
        and any(other.corners[1] <= column <= other.corners[3] for column in columns)
    ]
    ends = min(below, default=None)
    if table is not None and table.totals:
        below.append(table.corners[2] - table.totals)
    return min(below, default=None), ends


@message("rows below totals", Grade.WARNING)
def rows_below_totals(rows: str) -> Words:
    return Words(
        f"{rows} filled in below the row of totals",
        "rows above it",
        "Not read: move them above the totals if they are meant to count.",
    )


@message("workbook not understood", Grade.ERROR)
def not_understood(fault: str) -> Words:
    """A package that passed the gate and still cannot be opened."""
    return Words(
        f"a workbook with a part that cannot be read ({fault})",
        "a whole workbook",
        "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx.",
    )


@message("empty workbook", Grade.ERROR)
def empty_workbook() -> Words:
    return Words(
        "no cell that is filled in on any sheet",
        "at least the sheet Recipes with its headings and rows",
        'Fill in a new workbook; "costing new NAME.xlsx" makes one with all headings.',
    )


@message("required sheet missing", Grade.ERROR)
def required_sheet_missing(title: str, found: Sequence[str]) -> Words:
    return Words(
        "the sheets " + choice_words(found).replace(" or ", " and "),
        f"a sheet {title}",
        f"Add a sheet named {title} with the headings that are explained in a new workbook "
        '("costing new NAME.xlsx"), or give the sheet that has these rows this name.',
    )


@message("sheet nearly known", Grade.ERROR)
def sheet_nearly_known(found: str, meant: str) -> Words:
    return Words(
        f'a sheet named "{found}"',
        f'"{meant}", or a name that is not nearly the same',
        f'Name it "{meant}" if that is meant; a sheet of your own needs a name that differs more. '
        "Until then it is not read.",
    )


@message("sheet twice", Grade.ERROR)
def sheet_twice(title: str, used: str) -> Words:
    return Words(
        f'a second sheet for {title}; the rows are read from "{used}"',
        f"one sheet {title}",
        "Put all rows on one of them and delete or rename the other; until then this one is not "
        "read.",
    )


@message("hidden sheet read", Grade.NOTE)
def hidden_sheet_read(title: str) -> Words:
    return Words(
        f"the sheet {title} hidden",
        "sheets that are read to be in view",
        "Its rows were read. Unhide it to look them over, or give it another name if it is not "
        "meant.",
    )
