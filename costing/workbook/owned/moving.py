"""A user's cell on a result sheet, written out at its new place."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from xml.sax.saxutils import escape

from costing.workbook.owned.stale import follower_formula
from costing.workbook.package.addresses import (
    ADDRESS,
    LAST_ROW,
    address,
    column_number,
    corners,
    range_words,
    whole,
)
from costing.workbook.package.cellxml import space
from costing.workbook.package.references import Reference, filled, rewritten
from costing.workbook.package.sheetdata import SheetCell
from costing.workbook.package.xmlparts import ATTRIBUTE, Document, Element, spliced


def follow_headings(document: Document, *, old: int, new: int) -> None:
    """Note the edits that let a sheet's surroundings follow its headings from row to row.

    A pane frozen under the headings stays under them. Conditional formats that begin below the
    headings, and validations at them or below, are moved with the rows they were made for. What
    the user froze or made elsewhere is left alone.
    """
    if old == new or not old or not new:
        return
    views = document.root.child("sheetViews")
    for view in views.all("sheetView") if views else ():
        pane = view.child("pane")
        if pane is not None and whole(pane.attributes.get("ySplit"), -1) == old:
            _move_pane(document, pane, new)
    lists = document.root.child("dataValidations")
    for element in document.root.all("conditionalFormatting"):
        _move_format(document, element, below=old, down=new - old)
    for element in lists.all("dataValidation") if lists else ():
        _move_format(document, element, below=old - 1, down=new - old)


def _move_pane(document: Document, pane: Element, rows: int) -> None:
    document.set_attribute(pane, "ySplit", str(rows))
    found = ADDRESS.fullmatch(pane.attributes.get("topLeftCell", ""))
    if found is not None:
        first = address(rows + 1, column_number(found.group(1)))
        document.set_attribute(pane, "topLeftCell", first)


def _move_format(document: Document, element: Element, *, below: int, down: int) -> None:
    """Move a format or validation that begins below a row."""
    ranges = [corners(words) for words in element.attributes.get("sqref", "").split()]
    there = [where for where in ranges if where is not None]
    if not there or len(there) < len(ranges) or min(where[0] for where in there) <= below:
        return
    moved = [
        range_words(top + down, left, min(bottom + down, LAST_ROW), right)
        if (top, left) != (bottom, right)
        else address(top + down, left)
        for top, left, bottom, right in there
    ]
    document.set_attribute(element, "sqref", " ".join(moved))
    for formula in _formulas(element):
        words = filled(formula.text, down=down, right=0)
        if words != formula.text:
            document.replace(formula.inner, formula.close, escape(words))


def _formulas(element: Element) -> list[Element]:
    """Formulas of a format's rules, or of a validation."""
    inside = [element, *element.children]
    return [
        child
        for one in inside
        for child in one.children
        if child.local in ("formula", "formula1", "formula2")
    ]


def moved_print_titles(text: str, *, old: int, new: int) -> str:
    """Rows repeated on every page, the headings' row among them following it.

    Examples
    --------
    >>> moved_print_titles("'To buy'!$3:$3", old=3, new=5)
    "'To buy'!$5:$5"
    >>> moved_print_titles("'To buy'!$1:$3", old=3, new=5)
    "'To buy'!$1:$3"
    """
    return re.sub(rf"\$({old}):\$\1(?!\d)", f"${new}:${new}", text) if old and new else text


At = tuple[int, int]


class Mover:
    """Writes the user's cells where they stand now.

    The stored value of a formula is taken out, as what it needs may have changed. A formula that
    goes with a row of the block keeps pointing at that row; one that points at a result column
    keeps pointing at it; one over the whole list is stretched with the list. Every other
    reference stays as it is.

    Parameters
    ----------
    data : bytes
        The sheet part in UTF-8.
    masters : mapping of str to SheetCell
        First cells of the shared formulas, by their number.
    columns : mapping of int to int
        New column by old column.
    rows : mapping of int to int
        New row by old row, of rows that are wholly the user's.
    foot : tuple of three int
        Row of the headings in the file, last row of the list in the file, and that row now.
    titles : frozenset of str
        How formulas may name the sheet itself, in small letters; ``""`` is among them.
    """

    def __init__(
        self,
        data: bytes,
        *,
        masters: Mapping[str, SheetCell],
        columns: Mapping[int, int],
        rows: Mapping[int, int],
        foot: tuple[int, int, int],
        titles: frozenset[str],
    ) -> None:
        self.data, self.masters = data, masters
        self.columns, self.rows, self.titles = columns, rows, titles
        self.foot = foot

    def xml(self, cell: SheetCell, at: At) -> str:
        """The cell's element at its new place."""
        edits = [self._attribute(cell, "r", f'"{address(*at)}"')]
        if cell.formula_span is not None:
            edits.append((*cell.formula_span, self._formula(cell, at).encode()))
            if cell.value_span is not None:
                edits += [(*cell.value_span, b""), self._attribute(cell, "t", None)]
        there = [edit for edit in edits if edit is not None]
        text = self.data[cell.start : cell.end]
        moved = [(start - cell.start, end - cell.start, new) for start, end, new in there]
        return spliced(text, moved).decode()

    def _attribute(
        self, cell: SheetCell, name: str, value: str | None
    ) -> tuple[int, int, bytes] | None:
        """The edit that gives an attribute of the cell a value, or takes it out."""
        for found in ATTRIBUTE.finditer(self.data, cell.start, cell.inner):
            if found.group(1) == name.encode():
                if value is None:
                    return found.start(), found.end(), b""
                return found.start(2), found.end(2), value.encode()
        if value is None:
            return None
        tag = re.compile(rb"<[^\s/>]+").match(self.data, cell.start)
        end = tag.end() if tag else cell.start
        return end, end, f" {name}={value}".encode()

    def _formula(self, cell: SheetCell, at: At) -> str:
        """The formula's element at its new place."""
        assert cell.formula is not None  # noqa: S101 - a cell has both or none
        assert cell.formula_span is not None  # noqa: S101 - looked at by the caller
        start = cell.formula_span[0]
        tag = re.compile(rb"<([^\s/>]+)").match(self.data, start)
        name = tag.group(1).decode() if tag else "f"
        text = cell.formula
        attributes = dict(cell.formula_attributes)
        if attributes.get("t") == "shared":
            master = self.masters.get(attributes.get("si", ""))
            if not text and master is not None:
                text = follower_formula(master, cell)
            attributes = {}
        where = corners(attributes.get("ref", ""))
        if where is not None:
            down, right = at[0] - cell.row, at[1] - cell.column
            attributes["ref"] = range_words(
                where[0] + down, where[1] + right, where[2] + down, where[3] + right
            )
        words = "".join(f' {key}="{escape(value)}"' for key, value in attributes.items())
        new = escape(rewritten(text, self._move(cell, at)))
        return f"<{name}{words}{space(new)}>{new}</{name}>"

    def _move(self, cell: SheetCell, at: At) -> Callable[[Reference, re.Match[str]], At]:
        """Where the end of a reference points to now."""

        def move(reference: Reference, end: re.Match[str]) -> At:
            row, column = int(end.group(4)), column_number(end.group(2))
            if reference.sheet.casefold() not in self.titles:
                return row, column
            header, body, new_body = self.foot
            over_list = not reference.single and reference.top <= header + 1
            if over_list and row == body == reference.bottom:
                row = new_body
            elif row == cell.row and not end.group(3):
                row = at[0]
            else:
                row = self.rows.get(row, row)
            return row, self.columns.get(column, column)

        return move
