"""A sheet of ours taken out again, unless something needs it or the person wrote on it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from xml.sax.saxutils import escape

from costing.workbook.package.cells import ResultCell, ResultSheet
from costing.workbook.package.oldsheet import read_old_sheet
from costing.workbook.package.ownership import OwnSheet, own_sheets
from costing.workbook.package.owntabs import OwnTabs
from costing.workbook.package.parts import relations_name
from costing.workbook.package.rerun import Rerun
from costing.workbook.package.stale import mentions, needs_any
from costing.workbook.package.tables import TableState

QUOTE = "'"


def take_out(tabs: OwnTabs, marks: Collection[str], rewritten: Collection[str]) -> None:
    """Take sheets out; one that is needed or written on loses its block only.

    It is called once, before any sheet is added.

    Parameters
    ----------
    marks : collection of str
        Of the sheets that are to go.
    rewritten : collection of str
        Of the sheets whose formulas are written anew in this run, and need nothing for now.
    """
    own = [tabs.own[mark] for mark in marks if mark in tabs.own]
    anew = {tabs.own[mark].tab.part for mark in (*marks, *rewritten) if mark in tabs.own}
    free = [one for one in own if may_go(tabs, one, anew)]
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


def may_go(tabs: OwnTabs, own: OwnSheet, anew: Collection[str]) -> bool:
    """Whether nothing refers to a sheet of ours and nothing of the person's is on it.

    ``anew`` are the parts whose formulas do not count, as they are written anew or go too.
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
        tabs.package.read(tab.part) for tab in tabs.book.tabs if tab.part and tab.part not in anew
    ]
    if any(mentions(data, names) for data in sheets):
        return False
    empty = empty_sheet(own, tables)
    old = read_old_sheet(tabs.package.read(part), tabs.shared_strings())
    rerun = Rerun(own, old, tables[0] if tables else None, empty, writer=tabs.writer)
    return not rerun.moved()


def _named_elsewhere(tabs: OwnTabs, title: str) -> bool:
    """Whether a chart or another part that is no sheet names the sheet."""
    words = (f"{title}!", f"{title.replace(QUOTE, QUOTE * 2)}'!")
    spellings = [escape(word, {"'": "&apos;"}).encode() for word in words]
    spellings += [escape(word).encode() for word in words]
    sheets = {tab.part for tab in tabs.book.tabs} | {tabs.package.workbook}
    return any(
        spelling in tabs.package.read(part)
        for part in tabs.package.names
        if part.endswith(".xml") and part not in sheets and not part.startswith("docProps/")
        for spelling in spellings
    )


def _empty(tabs: OwnTabs, own: OwnSheet) -> None:
    """Leave a sheet without its block."""
    tables = tabs.tables[own.tab.part]
    sheet = empty_sheet(own, tables)
    tabs.write_anew(own, sheet, tabs.plan([sheet]))
    tabs.emptied.append(own.mark.mark)


def empty_sheet(own: OwnSheet, tables: Sequence[TableState]) -> ResultSheet:
    """A sheet of ours with nothing in it but the headings of its table."""
    if not tables:
        return ResultSheet(own.mark.mark, own.tab.title, [])
    table = tables[0]
    rows: list[list[ResultCell]] = [[] for _ in range(own.mark.header - 1)]
    rows.append([ResultCell(heading) for heading in table.headings[: own.mark.width]])
    return ResultSheet(
        own.mark.mark, own.tab.title, rows, header_row=own.mark.header, table=table.name
    )
