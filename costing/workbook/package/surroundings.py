"""What stands around the block and follows its headings: pane, formats, repeated rows."""

from __future__ import annotations

import re
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import (
    ADDRESS,
    address,
    column_number,
    corners,
    range_words,
    whole,
)
from costing.workbook.package.cells import LAST_ROW
from costing.workbook.package.offsets import Document, Element
from costing.workbook.package.references import filled


def follow_headings(document: Document, *, old: int, new: int) -> None:
    """Note the edits that let a sheet's surroundings follow its headings from row to row.

    A pane frozen under the headings stays under them. Conditional formats and validations that
    begin below the headings are moved with the rows they were made for. What the person froze or
    made elsewhere is left alone.
    """
    if old == new or not old or not new:
        return
    views = document.root.child("sheetViews")
    for view in views.all("sheetView") if views else ():
        pane = view.child("pane")
        if pane is not None and whole(pane.attributes.get("ySplit"), -1) == old:
            _move_pane(document, pane, new)
    lists = document.root.child("dataValidations")
    for element in [
        *document.root.all("conditionalFormatting"),
        *(lists.all("dataValidation") if lists else ()),
    ]:
        _move_format(document, element, below=old, down=new - old)


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
