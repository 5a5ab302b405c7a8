"""A result sheet that is there: its block is rewritten, what is the user's is kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from costing.workbook.owned.block import (
    Block,
    Corners,
    OldSheet,
    find_block,
    words_of_sheet,
)
from costing.workbook.owned.marks import At, Cells, OwnSheet
from costing.workbook.owned.moving import Mover, follow_headings
from costing.workbook.owned.placing import Placer, Places
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.sheetxml import (
    ORDER,
    CellWriter,
    links_of,
    links_xml,
    row_attributes,
    rows_xml,
    set_rows,
)
from costing.workbook.package.addresses import address, corners, range_words
from costing.workbook.package.tableparts import TableState, table_after
from costing.workbook.package.xmlparts import Document

LINK_REF = re.compile(r"""(\sref=)("[^"]*"|'[^']*')""")


class Rerun:
    """One result sheet, rewritten.

    ``others``: tables of the user's on the sheet.
    """

    def __init__(
        self,
        own: OwnSheet,
        old: OldSheet,
        table: TableState | None,
        sheet: ResultSheet,
        *,
        writer: CellWriter,
        others: Sequence[TableState] = (),
    ) -> None:
        self.others, self.merged = others, old.merged
        self.own, self.old, self.table, self.sheet, self.writer = own, old, table, sheet, writer
        self.new_words: Cells = words_of_sheet(sheet, from_1904=writer.from_1904)
        # Formulas count by what they give: the same value makes no formula elsewhere stale.
        self.now = words_of_sheet(sheet, from_1904=writer.from_1904, by_value=True)
        self.before = old.shown_words
        self.block: Block = find_block(own.mark, table, sheet, old, title=own.tab.title)
        placer = self._keeper()
        self.kept: Places = placer.place()
        self._columns = placer.new_column | self.kept.columns
        self._places = {(cell.row, cell.column): at for at, cell in self.kept.cells.items()}

    def _keeper(self) -> Placer:
        """What moves kept cells to where their rows stand now."""
        header = self.block.header
        headings = {
            column: str(self.old.values.get((header, column), ""))
            for column in range(1, self.block.width + 1)
        }
        ranges = [*self.old.arrays.values(), *self.merged.values()]
        several_rows = [where for where in ranges if where[0] != where[2]]
        return Placer(
            self.block,
            self.old.rows,
            self.sheet,
            old_headings=headings,
            whole=[table.corners for table in self.others] + several_rows,
            words=self.before,
            new_words=self.now,
        )

    def moved(self) -> list[tuple[str, str]]:
        """Cells of the user's that hold something: where they stood, where they stand."""
        return [
            (address(cell.row, cell.column), address(*at))
            for at, cell in sorted(self.kept.cells.items())
            if cell.holds
        ]

    def joined_headings(self) -> list[str]:
        """Headings of the user's columns in the table."""
        return self.table.headings[self.block.width :] if self.table is not None else []

    def changes(self) -> bool:
        """Whether anything a formula could read from the sheet is another than before."""
        kept = {
            at: self.before.get((cell.row, cell.column), "") for at, cell in self.kept.cells.items()
        }
        return _filled(self.now | kept) != _filled(self.before)

    def _moved_range(self, where: Corners) -> Corners:
        """Where a range of the user's beside or below the block is now."""
        top, left, bottom, right = where
        if top == bottom and (top, left) in self._places:
            row, column = self._places[top, left]
            return row, column, row, column + right - left
        if top > self.block.bottom:
            return top + self.kept.down, left, bottom + self.kept.down, right
        return top, left + self.kept.right, bottom, right + self.kept.right

    def moved_tables(self) -> dict[str, bytes]:
        """Parts of the user's tables that stand elsewhere now."""
        return {
            table.part: table_after(
                table,
                where=self._moved_range(table.corners),
                headings=table.headings,
                keeps_totals=True,
            )
            for table in self.others
            if self._moved_range(table.corners) != table.corners
        }

    def write(self) -> None:
        """Note the new rows, links and merged ranges as edits of the part."""
        document, prefix = self.old.document, self.old.document.root.prefix
        cells = self.writer.block(self.sheet, prefix)
        mover = self._mover()
        for (row, column), cell in self.kept.cells.items():
            cells.setdefault(row, {})[column] = mover.xml(cell, (row, column))
        attributes = self._row_attributes()
        bottom = max([self.sheet.height, *(row for row, inside in cells.items() if inside)])
        right = max([self.sheet.width, *(max(inside) for inside in cells.values() if inside)])
        set_rows(document, rows_xml(cells, prefix, attributes), bottom=bottom, right=right)
        follow_headings(document, old=self.block.header, new=self.sheet.header_row)
        self._write_links(document, prefix)
        self._write_merges(document)

    def _mover(self) -> Mover:
        old_rows = {row.number: new for new, row in self.kept.rows.items()}
        return Mover(
            self.old.document.bytes,
            masters=self.old.masters,
            columns=self._columns,
            rows=old_rows,
            foot=(self.block.header, self.block.body, self.sheet.height - self.sheet.trailing),
            titles=frozenset({"", self.own.tab.title.casefold()}),
        )

    def _row_attributes(self) -> dict[int, Mapping[str, str]]:
        """Heights and hiding that are given, heights above the table as they are, kept rows."""
        attributes: dict[int, Mapping[str, str]] = {}
        for row in self.old.rows:
            if row.number <= self.block.header == self.sheet.header_row:
                attributes[row.number] = {
                    key: row.attributes[key]
                    for key in ("ht", "customHeight")
                    if key in row.attributes
                }
        for new, row in self.kept.rows.items():
            attributes[new] = {
                key: value for key, value in row.attributes.items() if key not in ("r", "spans")
            }
        written_on = {row for (row, _), cell in self.kept.cells.items() if cell.holds}
        for number, words in row_attributes(self.sheet, shown=written_on).items():
            kept = dict(attributes.get(number, {}))
            kept.pop("collapsed", None)  # of a fold of the last run that ended above it
            attributes[number] = kept | words
        return {row: words for row, words in attributes.items() if words}

    def _write_links(self, document: Document, prefix: str) -> None:
        """Take out the links of the old block, add the new ones; kept cells take theirs along.

        A link over several cells becomes one for each, as they may stand apart now.
        """
        listed = document.root.child("hyperlinks")
        left = False
        for element in listed.all("hyperlink") if listed else ():
            kept = self._kept_in(corners(element.attributes.get("ref", "")))
            raw = document.raw(element).decode()
            links = [LINK_REF.sub(rf'\1"{address(*at)}"', raw, count=1) for at in kept]
            document.replace(element.start, element.end, "".join(links))
            left = left or bool(links)
        new = links_xml(links_of(self.sheet), prefix)
        tag = f"{prefix}hyperlinks"
        if listed is None and new:
            document.insert(document.root, f"<{tag}>{new}</{tag}>", local="hyperlinks", order=ORDER)
        elif listed is not None and (new or left):
            document.append(listed, new)
        elif listed is not None:
            document.remove_whole(listed)

    def _kept_in(self, where: Corners | None) -> list[At]:
        """Where the kept cells of a range are now."""
        if where is None:
            return []
        top, left, bottom, right = where
        if (top, left) == (bottom, right):
            return [self._places[top, left]] if (top, left) in self._places else []
        rows, columns = range(top, bottom + 1), range(left, right + 1)
        return [
            at for (row, column), at in self._places.items() if row in rows and column in columns
        ]

    def _write_merges(self, document: Document) -> None:
        """Let merged ranges, which all lie beside or below the block, stay with their cells."""
        listed = document.root.child("mergeCells")
        for element in listed.children if listed else ():
            where = self.merged.get(element.attributes.get("ref", ""))
            if where is not None:
                document.set_attribute(element, "ref", range_words(*self._moved_range(where)))


def _filled(words: Mapping[At, str]) -> dict[At, str]:
    """What is filled in; a formula that gives an empty text is not."""
    return {at: word for at, word in words.items() if word}
