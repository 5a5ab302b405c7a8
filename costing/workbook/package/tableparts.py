"""The table over a result block: made once; later its range and its columns follow the block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from costing.workbook.package.addresses import corners, range_words, whole
from costing.workbook.package.conformance import MAIN
from costing.workbook.package.opc import Package
from costing.workbook.package.xmlparts import Document, Element, attribute_text

TABLE_CONTENT = "application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml"
TABLE_STYLE = "TableStyleLight1"


@dataclass(slots=True)
class TableState:
    """A table as it is in the file.

    Parameters
    ----------
    name : str
        Name that formulas use.
    corners : tuple of int
        First row, first column, last row, last column.
    totals : int
        Rows of totals at its foot.
    """

    part: str
    name: str
    number: int
    corners: tuple[int, int, int, int]
    totals: int
    headings: list[str]
    document: Document = field(compare=False)
    has_headings: bool = True


def read_table(package: Package, part: str) -> TableState | None:
    """A table part, None when it says no range."""
    document = Document(package.read(part))
    at = document.root.attributes
    where = corners(at.get("ref", ""))
    if where is None:
        return None
    columns = document.root.child("tableColumns")
    return TableState(
        part,
        at.get("displayName") or at.get("name", ""),
        whole(at.get("id"), 0),
        where,
        whole(at.get("totalsRowCount"), 0),
        [read_heading(_column_name(c)) for c in columns.all("tableColumn")] if columns else [],
        document,
        at.get("headerRowCount") != "0",
    )


def tables_on(package: Package, sheet_part: str) -> list[TableState]:
    """The tables on a sheet."""
    found = []
    for relation in package.relations(sheet_part):
        part = package.find(relation.target) if relation.kind == "table" else None
        table = read_table(package, part) if part else None
        if table is not None:
            found.append(table)
    return found


def spelled(heading: str) -> str:
    r"""A heading as the table part spells it: line ends escaped.

    Examples
    --------
    >>> spelled("Pack\namount")
    'Pack_x000a_amount'
    """
    return heading.replace("\r\n", "\n").replace("\n", "_x000a_")


def read_heading(words: str) -> str:
    """A heading from the way the table part spells it."""
    return words.replace("_x000a_", "\n").replace("_x000A_", "\n")


def table_xml(
    *, name: str, number: int, where: tuple[int, int, int, int], headings: Sequence[str]
) -> bytes:
    """A new table part."""
    reference = range_words(*where)
    columns = "".join(
        f'<tableColumn id="{n}" name="{attribute_text(spelled(heading))}"/>'
        for n, heading in enumerate(headings, 1)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
        f'<table xmlns="{MAIN}" id="{number}" name="{name}" displayName="{name}" '
        f'ref="{reference}" totalsRowShown="0"><autoFilter ref="{reference}"/>'
        f'<tableColumns count="{len(headings)}">{columns}</tableColumns>'
        f'<tableStyleInfo name="{TABLE_STYLE}" showFirstColumn="0" showLastColumn="0" '
        'showRowStripes="1" showColumnStripes="0"/></table>'
    ).encode()


def table_after(
    table: TableState,
    *,
    where: tuple[int, int, int, int],
    headings: Sequence[str],
    keeps_totals: bool,
) -> bytes:
    """The table part over its new range, its filters and sorting dropped.

    The name, the look and the totals stay. Rows that were hidden by a filter stand elsewhere now.
    """
    document, root = table.document, table.document.root
    document.set_attribute(root, "ref", range_words(*where))
    bottom = where[2] - (table.totals if keeps_totals else 0)
    if table.totals and not keeps_totals:
        document.set_attribute(root, "totalsRowCount", "0")
    filtered = root.child("autoFilter")
    if filtered is not None:
        reference = range_words(where[0], where[1], bottom, where[3])
        document.set_attribute(filtered, "ref", reference)
        for child in filtered.children:
            document.remove(child)
    sorted_by = root.child("sortState")
    if sorted_by is not None:
        document.remove(sorted_by)
    columns = root.child("tableColumns")
    if columns is not None and headings != table.headings:
        _set_columns(document, columns, headings)
    return document.result()


def _set_columns(document: Document, columns: Element, headings: Sequence[str]) -> None:
    """List the columns again; one that is there already keeps its number and its totals."""
    old = {read_heading(_column_name(c)).casefold(): c for c in columns.all("tableColumn")}
    free = 1 + max(whole(c.attributes.get("id"), 0) for c in old.values())
    pieces = []
    for heading in headings:
        known = old.pop(heading.casefold(), None)
        if known is not None:
            pieces.append(document.raw(known).decode())
        else:
            tag = f"{columns.prefix}tableColumn"
            pieces.append(f'<{tag} id="{free}" name="{attribute_text(spelled(heading))}"/>')
            free += 1
    document.replace(columns.inner, columns.close, "".join(pieces))
    document.set_attribute(columns, "count", str(len(headings)))


def _column_name(column: Element) -> str:
    return column.attributes.get("name", "")
