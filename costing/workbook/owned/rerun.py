"""A sheet of ours that is there: its block is written anew, what is the person's is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from costing.workbook.owned.block import (
    OldBlock,
    OldSheet,
    ShownValue,
    edited,
    old_block,
    words_of_sheet,
    written_value,
)
from costing.workbook.owned.marks import FORMULA_WORDS, At, Cells, OwnSheet, content_words
from costing.workbook.owned.moving import Mover, follow_headings
from costing.workbook.owned.placing import Keeper, Kept
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.sheetxml import (
    ORDER,
    Writer,
    links_of,
    links_xml,
    row_attributes,
    rows_xml,
    set_rows,
)
from costing.workbook.package.addresses import address, corners, range_words
from costing.workbook.package.tableparts import TableState, table_after
from costing.workbook.package.xmlparts import Document

HEIGHT = ("ht", "customHeight")


class Rerun:
    """One sheet of ours, written anew.

    Parameters
    ----------
    own : OwnSheet
        The sheet in the workbook.
    old : OldSheet
        Its part.
    table : TableState, optional
        Its table, if it still has one.
    others : sequence of TableState
        Tables of the person's on the sheet.
    sheet : ResultSheet
        What is to be written.
    """

    def __init__(
        self,
        own: OwnSheet,
        old: OldSheet,
        table: TableState | None,
        sheet: ResultSheet,
        *,
        writer: Writer,
        others: Sequence[TableState] = (),
    ) -> None:
        self.others = others
        self.own, self.old, self.table, self.sheet, self.writer = own, old, table, sheet, writer
        self.new_words: Cells = words_of_sheet(sheet, from_1904=writer.from_1904)
        self.block: OldBlock = old_block(own.mark, table, sheet, old.words, last=old.last)
        keeper = self._keeper()
        self.kept: Kept = keeper.place()
        self._columns = keeper.new_column | self.kept.columns

    def _keeper(self) -> Keeper:
        block = self.block
        headings = {
            column: str(self.old.values.get((block.header, column), "")) for column in block.ours
        }
        return Keeper(
            block,
            self.old.rows,
            self.sheet,
            old_headings=headings,
            whole=[table.corners for table in self.others] + self.old.arrays,
            words=self.old.words,
            new_words=self.new_words,
        )

    def edited(self) -> list[tuple[str, ShownValue]]:
        """Cells of ours that were edited since they were written, and what stands in them."""
        return [
            (address(*at), self.old.values.get(at))
            for at in edited(self.own.mark, self.block, self.old.words)
        ]

    def moved(self) -> list[tuple[str, str]]:
        """Cells of the person's that hold something: where they stood, where they stand."""
        return [
            (address(cell.row, cell.column), address(*at))
            for at, cell in sorted(self.kept.cells.items())
            if cell.holds
        ]

    def joined_headings(self) -> list[str]:
        """Headings of the person's columns in the table."""
        if self.table is None:
            return []
        first = self.table.corners[1]
        return [self.table.headings[column - first] for column in self.block.joined]

    def changes(self) -> bool:
        """Whether anything a formula could read from the sheet is another than before."""
        now = {at: words for at, words in self.new_words.items() if words != FORMULA_WORDS}
        for row, cells in enumerate(self.sheet.rows, 1):
            for column, cell in enumerate(cells, 1):
                if cell is not None and cell.formula is not None:
                    value = written_value(cell, from_1904=self.writer.from_1904)
                    now[row, column] = content_words(value, formula=None)
        before = {
            at: words
            if words != FORMULA_WORDS
            else content_words(self.old.values.get(at), formula=None)
            for at, words in self.old.words.items()
        }
        for at, kept in self.kept.cells.items():
            now[at] = before.get((kept.row, kept.column), "")
        return _filled(now) != _filled(before)

    def moved_tables(self) -> dict[str, bytes]:
        """Parts of the person's tables that stand elsewhere now."""
        places = self._new_place()
        changed = {}
        for table in self.others:
            top, left, bottom, right = table.corners
            now = places.get((top, left))
            if now is None or now == (top, left) or table.document is None:
                continue
            where = (*now, bottom + now[0] - top, right + now[1] - left)
            changed[table.part] = table_after(
                table, where=where, headings=table.headings, keeps_totals=True
            )
        return changed

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
            attributes[number] = {**attributes.get(number, {}), **words}
        return {row: words for row, words in attributes.items() if words}

    def _new_place(self) -> dict[At, At]:
        return {(cell.row, cell.column): at for at, cell in self.kept.cells.items()}

    def _write_links(self, document: Document, prefix: str) -> None:
        """Take out the links of the old block, move those of kept cells, add the new ones."""
        listed = document.root.child("hyperlinks")
        places = self._new_place()
        left = 0
        for element in listed.all("hyperlink") if listed else ():
            where = corners(element.attributes.get("ref", ""))
            at = places.get(where[:2]) if where else None
            if where is None or at is None or where[:2] != where[2:]:
                document.remove(element)
                continue
            left += 1
            document.set_attribute(element, "ref", address(*at))
        new = links_xml(links_of(self.sheet), prefix)
        tag = f"{prefix}hyperlinks"
        if listed is None and new:
            document.insert(document.root, f"<{tag}>{new}</{tag}>", local="hyperlinks", order=ORDER)
        elif listed is not None and (new or left):
            document.append(listed, new)
        elif listed is not None:
            document.remove_whole(listed)

    def _write_merges(self, document: Document) -> None:
        """Keep merged ranges of the person's that moved as one; others would hide results."""
        listed = document.root.child("mergeCells")
        if listed is None:
            return
        places, left = self._new_place(), 0
        for element in listed.all("mergeCell"):
            where = corners(element.attributes.get("ref", ""))
            first = places.get(where[:2]) if where else None
            if where is None or first is None:
                document.remove(element)
                continue
            down, right = first[0] - where[0], first[1] - where[1]
            last = places.get(where[2:], (where[2] + down, where[3] + right))
            if last != (where[2] + down, where[3] + right):
                document.remove(element)
                continue
            left += 1
            document.set_attribute(element, "ref", range_words(*first, *last))
        if not left:
            document.remove_whole(listed)
        elif "count" in listed.attributes:
            document.set_attribute(listed, "count", str(left))


def _filled(words: Mapping[At, str]) -> dict[At, str]:
    """What is filled in; a formula that gives an empty text is not."""
    return {at: word for at, word in words.items() if word}
