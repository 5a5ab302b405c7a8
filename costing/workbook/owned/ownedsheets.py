"""The result sheets in one workbook: planned, added, rewritten, taken out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from costing.workbook.owned.block import read_old_sheet, words_of_sheet
from costing.workbook.owned.marks import MARK_NAME, OwnSheet, new_mark, own_sheets
from costing.workbook.owned.moving import moved_print_titles
from costing.workbook.owned.rerun import Rerun
from costing.workbook.owned.resultsheets import ResultSheet, free_title
from costing.workbook.owned.sheetxml import ORDER, CellWriter, new_sheet_xml
from costing.workbook.package.addresses import quoted
from costing.workbook.package.carrying import Carrier
from costing.workbook.package.opc import Package, RelationsPart
from costing.workbook.package.sheetdata import shared_strings
from costing.workbook.package.stylesheet import MINIMAL, Stylesheet
from costing.workbook.package.tableparts import (
    TABLE_CONTENT,
    TableState,
    table_after,
    table_xml,
    tables_on,
)
from costing.workbook.package.workbookpart import STYLES_CONTENT, WorkbookPart
from costing.workbook.package.xmlparts import Document, decoded

PRINT_TITLES = "_xlnm.Print_Titles"


@dataclass(frozen=True, slots=True)
class EditedRow:
    """A row of a result sheet that was edited by hand since the last run; it was rewritten."""

    mark: str
    sheet: str
    row: int


@dataclass(frozen=True, slots=True)
class KeptCell:
    """A cell of the user's on a result sheet: where it stood and where it is."""

    mark: str
    sheet: str
    cell: str
    now: str


@dataclass(frozen=True, slots=True)
class Names:
    """The titles and table names that result sheets have or will get, by their mark."""

    titles: dict[str, str]
    tables: dict[str, str]


class OwnedSheets:
    """The work on the result sheets in one workbook.

    Raises
    ------
    Refused
        If the workbook must not be changed.
    """

    def __init__(self, package: Package) -> None:
        self.package = package
        self.book = WorkbookPart(package)
        self.book.check_may_be_changed()
        self.own = own_sheets(self.book)
        self.changed: dict[str, bytes] = {}
        self.changed_names: set[str] = set()
        self.gone: set[str] = set()
        self.added: list[str] = []
        self.edited: list[EditedRow] = []
        self.kept: list[KeptCell] = []
        self.removed: list[str] = []
        self.emptied: list[str] = []
        self.tables = {tab.part: tables_on(package, tab.part) for tab in self.book.tabs if tab.part}
        self._strings: list[str] | None = None
        self._taken_parts = {name.lower() for name in package.names}
        styles = self.book.part_of("styles")
        self._styles_part = styles or self.book.folder("styles.xml")
        self.styles = Stylesheet(package.read(styles) if styles else MINIMAL)
        self.writer = CellWriter(self.styles.number, self.book.from_1904)

    @property
    def own_parts(self) -> set[str]:
        """Parts of the result sheets that were there before."""
        return {one.tab.part for one in self.own.values()}

    @property
    def taken_names(self) -> set[str]:
        """Names that no new table may have, in small letters."""
        taken = {table.name.casefold() for tables in self.tables.values() for table in tables}
        return taken | {name.name.casefold() for name in self.book.names}

    @property
    def next_table(self) -> int:
        """A number that no table has, nor any larger one."""
        numbers = (table.number for tables in self.tables.values() for table in tables)
        return 1 + max(numbers, default=0)

    def plan(self, sheets: Sequence[ResultSheet]) -> Names:
        """Titles and table names the sheets have or will get."""
        taken = {tab.title.casefold() for tab in self.book.tabs}
        taken_tables = self.taken_names
        titles, tables = {}, {}
        for sheet in sheets:
            own = self.own.get(sheet.mark)
            titles[sheet.mark] = own.tab.title if own else free_title(sheet.title, taken)
            taken.add(titles[sheet.mark].casefold())
            if sheet.table is not None:
                known = self._table_of(own, sheet) if own else None
                name = known.name if known else free_name(sheet.table, taken_tables)
                tables[sheet.mark] = name
                taken_tables.add(name.casefold())
        return Names(titles, tables)

    def _table_of(self, own: OwnSheet, sheet: ResultSheet) -> TableState | None:
        """The result table on a result sheet: the one with most of its headings."""
        wanted = {heading.casefold() for heading in sheet.headings}

        def alike(table: TableState) -> int:
            return len(wanted & {heading.casefold() for heading in table.headings})

        best = max(self.tables.get(own.tab.part, []), key=alike, default=None)
        return best if best is not None and alike(best) else None

    def put(self, sheet: ResultSheet, names: Names) -> None:
        """Rewrite a sheet, or add it."""
        own = self.own.get(sheet.mark)
        if own is None:
            self._add(sheet, names)
        else:
            self.rewrite(own, sheet, names)

    def new_part(self, folder: str, stem: str, ending: str = "xml") -> str:
        """A part name of the usual kind that is not taken."""
        number, name = 0, ""
        while not name or name.lower() in self._taken_parts:
            number += 1
            name = self.book.folder(f"{folder}/{stem}{number}.{ending}")
        self._taken_parts.add(name.lower())
        return name

    def _add(self, sheet: ResultSheet, names: Names) -> None:
        """Put a new result sheet behind the others, with its table, drawing and hidden name."""
        part = self.new_part("worksheets", "sheet")
        relations = RelationsPart(self.package, part)
        table = drawing = ""
        if sheet.table is not None:
            table = self._add_table(relations, sheet, sheet.headings, names, sheet.height)
        title = names.titles[sheet.mark]
        if sheet.drawing_from is not None:
            carrier = Carrier(sheet.drawing_from(), new_part=self.new_part, types=self.book.types)
            drawing = relations.add("drawing", carrier.drawing(title))
            self.changed |= carrier.parts
        self.changed[part] = new_sheet_xml(
            sheet,
            writer=self.writer,
            difference=self.styles.difference,
            table=table,
            drawing=drawing,
        )
        if table or drawing:
            self.changed[relations.name] = relations.document.result()
        position = self.book.add_tab(title, part)
        words = words_of_sheet(sheet, from_1904=self.book.from_1904)
        mark = new_mark(sheet, words)
        self.book.add_name(MARK_NAME, mark.formula(), tab=position, hidden=True)
        if sheet.header_row and sheet.repeat_headings:
            self.repeat_row(title, sheet.header_row, position)
        self.added.append(sheet.mark)
        self._counts_as_changed(title, names.tables.get(sheet.mark))

    def repeat_row(self, title: str, row: int, tab: int) -> None:
        """Let a row of a new tab be printed on every page."""
        text = f"{quoted(title)}!${row}:${row}"
        self.book.add_name(PRINT_TITLES, text, tab=tab, hidden=False)

    def _add_table(
        self,
        relations: RelationsPart,
        sheet: ResultSheet,
        headings: Sequence[str],
        names: Names,
        bottom: int,
    ) -> str:
        """Put a new table on a sheet; gives the id of its relation."""
        part = self.new_part("tables", "table")
        number = self.next_table
        where = (sheet.header_row, 1, bottom - sheet.trailing, len(headings))
        content = table_xml(
            name=names.tables[sheet.mark], number=number, where=where, headings=headings
        )
        self.changed[part] = content
        self.tables.setdefault(part, []).append(
            TableState(
                part, names.tables[sheet.mark], number, where, 0, list(headings), Document(content)
            )
        )
        self.book.types.add(part, TABLE_CONTENT)
        return relations.add("table", part)

    def rewrite(self, own: OwnSheet, sheet: ResultSheet, names: Names) -> None:
        """Write the block of a sheet that is there."""
        part, title = own.tab.part, own.tab.title
        table = self._table_of(own, sheet) if sheet.table is not None else None
        old = read_old_sheet(self.package.read(part), self.shared_strings())
        others = [other for other in self.tables[part] if other is not table]
        rerun = Rerun(own, old, table, sheet, writer=self.writer, others=others)
        self.edited += [EditedRow(sheet.mark, title, row) for row in rerun.block.edited]
        self.kept += [KeptCell(sheet.mark, title, *one) for one in rerun.moved()]
        if rerun.changes():
            self._counts_as_changed(title, names.tables.get(sheet.mark))
        rerun.write()
        relations = RelationsPart(self.package, part)
        self.changed |= rerun.moved_tables()
        headings = [*sheet.headings, *rerun.joined_headings()]
        bottom = sheet.height - sheet.trailing
        if table is not None:
            totals = rerun.block.totals if sheet.trailing == 0 else 0
            self.changed[table.part] = table_after(
                table,
                where=(sheet.header_row, 1, bottom + totals, len(headings)),
                headings=headings,
                keeps_totals=totals > 0,
            )
        elif sheet.table is not None:
            identity = self._add_table(relations, sheet, headings, names, sheet.height)
            add_table_part(old.document, identity, relations=self.package.conformance.relations)
        if relations.added:
            self.changed[relations.name] = relations.document.result()
        self.changed[part] = old.document.result()
        for name in self.book.names:
            if name.name == PRINT_TITLES and name.tab == own.position:
                header = rerun.block.header
                text = moved_print_titles(name.text, old=header, new=sheet.header_row)
                self.book.set_name(name, text)
        mark = new_mark(sheet, rerun.new_words)
        self.book.set_name(own.name, mark.formula())

    def shared_strings(self) -> list[str]:
        """The texts that cells of the workbook share."""
        if self._strings is None:
            part = self.book.part_of("sharedStrings")
            self._strings = shared_strings(decoded(self.package.read(part)).text) if part else []
        return self._strings

    def _counts_as_changed(self, title: str, table: str | None) -> None:
        self.changed_names |= {title.casefold(), (table or title).casefold()}

    def result(self) -> Package:
        """The workbook."""
        self.gone |= self.book.drop_calculation_chain()
        styles = self.styles.result()
        if self.package.find(self._styles_part) is None:
            self.book.relations.add("styles", self._styles_part)
            self.book.types.add(self._styles_part, STYLES_CONTENT)
        return self.package.rewritten(
            self.changed | {self._styles_part: styles} | self.book.changed_parts(),
            removed=self.gone,
        )


def add_table_part(document: Document, identity: str, *, relations: str) -> None:
    """Let a sheet that is there list a table of its own; ``relations`` is the namespace of ids."""
    root = document.root
    listed = root.child("tableParts")
    xml = f'<{root.prefix}tablePart xmlns:r="{relations}" r:id="{identity}"/>'
    if listed is None:
        tag = f"{root.prefix}tableParts"
        xml = f'<{tag} count="1">{xml}</{tag}>'
        document.insert(root, xml, local="tableParts", order=ORDER)
        return
    document.append(listed, xml)
    if "count" in listed.attributes:
        document.set_attribute(listed, "count", str(1 + len(listed.children)))


def free_name(name: str, taken: set[str]) -> str:
    """A table name, numbered when it is taken; ``taken`` is in small letters.

    Examples
    --------
    >>> free_name("tNeeds", {"tneeds"})
    'tNeeds_2'
    """
    number, candidate = 1, name
    while candidate.casefold() in taken:
        number += 1
        candidate = f"{name}_{number}"
    return candidate
