"""Result sheets put into somebody's workbook; every other part of it stays byte for byte.

Touched are the workbook part with its relationships, the list of content types, the formats (only
appended to), the sheets and tables of our own, and the stored values of formulas elsewhere that
need a result which changed. The order of calculation is dropped: the program makes a new one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from xml.sax.saxutils import escape

from costing.workbook.owned.block import read_old_sheet
from costing.workbook.owned.marks import OwnSheet, own_sheets
from costing.workbook.owned.ownedsheets import EditedRow, KeptCell, OwnedSheets
from costing.workbook.owned.rerun import Rerun
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.stale import mentions, needs_any, strip_stale
from costing.workbook.package.addresses import quoted
from costing.workbook.package.cellxml import NewCell
from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import Package, relations_name
from costing.workbook.package.refusals import Refused, damaged, file_place
from costing.workbook.package.tableparts import TableState
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.xmlparts import XmlFault

ENCODINGS = ("utf-8", "utf-16-le", "utf-16-be")


def take_out(tabs: OwnedSheets, marks: Collection[str], rewritten: Collection[str]) -> None:
    """Take sheets out; one that is needed or written on loses its block only.

    It is called once, before any sheet is added.

    Parameters
    ----------
    marks : collection of str
        Of the sheets that are to go.
    rewritten : collection of str
        Of the sheets whose formulas are rewritten in this run, and need nothing for now.
    """
    own = [tabs.own[mark] for mark in marks if mark in tabs.own]
    rewritten_parts = {tabs.own[mark].tab.part for mark in (*marks, *rewritten) if mark in tabs.own}
    free = [one for one in own if may_go(tabs, one, rewritten_parts)]
    going = {one.position for one in free}
    if all(tab.hidden for n, tab in enumerate(tabs.book.tabs) if n not in going):
        free = []
    for one in own:
        if one not in free:
            _empty(tabs, one)
    for one in free:
        gone = [one.tab.part, *(table.part for table in tabs.tables[one.tab.part])]
        for part in gone:
            tabs.book.types.remove(part)
            tabs.gone |= {part, tabs.package.find(relations_name(part)) or part}
        tabs.removed.append(one.mark.mark)
    if free:
        tabs.book.remove_tabs({one.position for one in free})
        tabs.own = own_sheets(tabs.book)


def may_go(tabs: OwnedSheets, own: OwnSheet, rewritten_parts: Collection[str]) -> bool:
    """Whether nothing refers to a result sheet and nothing of the user's is on it.

    ``rewritten_parts`` are the parts whose formulas do not count, as they are rewritten or go too.
    """
    part, title = own.tab.part, own.tab.title
    if any(relation.kind != "table" for relation in tabs.package.relations(part)):
        return False
    tables = tabs.tables[part]
    names = {title.casefold(), *(table.name.casefold() for table in tables)}
    needed = any(
        name.tab != own.position and needs_any(name.text, names) for name in tabs.book.names
    )
    if needed or _named_elsewhere(tabs, title):
        return False
    sheets = [
        tabs.package.read(tab.part)
        for tab in tabs.book.tabs
        if tab.part and tab.part not in rewritten_parts
    ]
    if any(mentions(data, names) for data in sheets):
        return False
    empty = empty_sheet(own, tables)
    old = read_old_sheet(tabs.package.read(part), tabs.shared_strings())
    rerun = Rerun(own, old, tables[0] if tables else None, empty, writer=tabs.writer)
    return not rerun.moved()


def _named_elsewhere(tabs: OwnedSheets, title: str) -> bool:
    """Whether a chart or another part that is no sheet names the sheet."""
    words = [f"{one}!" for one in (title, quoted(title).removeprefix("'"))]
    spelled = {escape(word, quotes) for word in words for quotes in ({}, {"'": "&apos;"})}
    spellings = [one.encode(encoding) for one in spelled for encoding in ENCODINGS]
    sheets = {tab.part for tab in tabs.book.tabs} | {tabs.package.workbook}
    # the properties of a document list every tab by its title, and need none of them
    others = [
        part
        for part in tabs.package.names
        if part not in sheets and not part.startswith("docProps/")
    ]
    return any(
        spelling in data for data in map(tabs.package.read, others) for spelling in spellings
    )


def _empty(tabs: OwnedSheets, own: OwnSheet) -> None:
    """Leave a sheet without its block."""
    tables = tabs.tables[own.tab.part]
    sheet = empty_sheet(own, tables)
    tabs.rewrite(own, sheet, tabs.plan([sheet]))
    tabs.emptied.append(own.mark.mark)


def empty_sheet(own: OwnSheet, tables: Sequence[TableState]) -> ResultSheet:
    """A result sheet with nothing in it but the headings of its table."""
    if not tables:
        return ResultSheet(own.mark.mark, own.tab.title, [])
    table = tables[0]
    rows: list[list[NewCell]] = [[] for _ in range(own.mark.header - 1)]
    rows.append([NewCell(heading) for heading in table.headings[: own.mark.width]])
    return ResultSheet(
        own.mark.mark, own.tab.title, rows, header_row=own.mark.header, table=table.name
    )


@dataclass(frozen=True, slots=True)
class Spliced:
    """A workbook with its result sheets, and what there is to tell about them.

    Parameters
    ----------
    titles, tables : dict of str to str
        Title and table name of each result sheet by its mark.
    added : tuple of str
        Marks of the sheets that are new.
    recalculated : tuple of (str, str)
        Sheet and cell of the user's formulas whose stored value was out of date and is gone.
    removed, emptied : tuple of str
        Marks of the sheets taken out, and of those that something still refers to or that hold
        something of the user's: these stay without their block.
    """

    data: bytes
    titles: dict[str, str]
    tables: dict[str, str]
    added: tuple[str, ...] = ()
    edited: tuple[EditedRow, ...] = ()
    kept: tuple[KeptCell, ...] = ()
    recalculated: tuple[tuple[str, str], ...] = ()
    removed: tuple[str, ...] = ()
    emptied: tuple[str, ...] = ()


def splice(
    data: bytes,
    sheets: Sequence[ResultSheet],
    *,
    remove: Collection[str] = (),
    name: str = "",
) -> Spliced:
    """Put result sheets into a workbook.

    Parameters
    ----------
    sheets : sequence of ResultSheet
        Those that are there are rewritten, the others added after the last sheet, in order.
    remove : collection of str
        Marks of result sheets that are to go.

    Raises
    ------
    Refused
        If the file does not pass the gate or must not be changed: the results belong into
        another file then.
    ValueError
        If two sheets share a mark.
    """
    with opened(data, name=name) as tabs:
        return spliced_into(tabs, sheets, remove=remove)


@contextmanager
def opened(data: bytes, *, name: str = "") -> Iterator[OwnedSheets]:
    """The result sheets in a workbook, which is let through the gate once.

    Raises
    ------
    Refused
        If the file does not pass the gate or must not be changed; also when a part turns out to
        be damaged while it is worked on.
    """
    try:
        yield OwnedSheets(open_gate(data, name=name))
    except XmlFault as fault:
        raise Refused(damaged(file_place(name), str(fault))) from None


def spliced_into(
    tabs: OwnedSheets,
    sheets: Sequence[ResultSheet],
    *,
    remove: Collection[str],
    order: Sequence[str] = (),
) -> Spliced:
    """Put result sheets into a workbook that is open; it is used up by that.

    ``order``: marks of all result sheets where those added are put at their place, as
    :func:`arranged` has it; else they stay behind the others.

    Raises
    ------
    ValueError
        If two sheets share a mark.
    """
    marks = [sheet.mark for sheet in sheets]
    if len(set(marks)) < len(marks) or set(marks) & set(remove):
        raise ValueError(f"a mark stands twice among {sorted([*marks, *remove])}")
    # Sheets go before others come: positions and names of the rest are settled by then.
    take_out(tabs, remove, marks)
    names = tabs.plan(sheets)
    for sheet in sheets:
        tabs.put(sheet, names)
    # After all sheets, as only then it is known which titles and tables changed.
    recalculated = strip_stale(tabs.book, tabs.own_parts, tabs.changed_names, tabs.changed)
    package = tabs.result()
    if order and tabs.added:
        package = arranged(package, order, added=tabs.added)
    return Spliced(
        package.data,
        names.titles,
        names.tables,
        tuple(tabs.added),
        tuple(tabs.edited),
        tuple(tabs.kept),
        tuple(recalculated),
        tuple(tabs.removed),
        tuple(tabs.emptied),
    )


def arranged(package: Package, marks: Sequence[str], *, added: Collection[str]) -> Package:
    """A workbook with the result sheets just added at their place among the others.

    ``marks``: of all result sheets in their order. When the first is among those added, all of them
    come before the other sheets and the workbook opens on it; another is behind the one before it
    in this order. All else keeps its order.
    """
    book = WorkbookPart(package)
    own = {mark: one.position for mark, one in own_sheets(book).items()}
    there = [mark for mark in marks if mark in own]
    before = list(range(len(book.tabs)))
    first_run = marks[0] in added
    if first_run:
        first = [own[mark] for mark in there]
        order = first + [position for position in before if position not in first]
    else:
        order = list(before)
        for left, mark in pairwise(there):
            if mark in added:
                order.remove(own[mark])
                order.insert(order.index(own[left]) + 1, own[mark])
    if order == before:
        return package
    parts = book.arrange(order, open_first=first_run)
    return package.rewritten(parts | book.changed_parts())
