"""Formulas of the user that need results: their stored values are out of date after a run.

A program that trusts stored values (not all calculate on opening) would show the old ones. So the
stored value is taken out of every formula that needs a changed result, and of every formula that
needs such a formula; the program then has to calculate them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import address, corners
from costing.workbook.package.references import FormulaReferences, filled, needs_of
from costing.workbook.package.sheetdata import SheetCell, SheetRow
from costing.workbook.package.sheetrows import read_rows
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.xmlparts import ATTRIBUTE, decoded, spliced

LARGEST_ARRAY = 100_000
"""Of an array formula over more, as over whole columns, the first cell alone is listed. [cells]"""


@dataclass(slots=True)
class Formula:
    """A formula cell of the user's."""

    sheet: str
    cell: SheetCell
    needs: FormulaReferences
    covers: tuple[int, int, int, int]


@dataclass(slots=True)
class Stale:
    """What is out of date: whole sheets, names, and single cells by sheet; all in small letters."""

    sheets: set[str]
    names: set[str]
    cells: dict[str, set[tuple[int, int]]] = field(default_factory=dict)

    def touches(self, formula: Formula) -> bool:
        """Whether a formula needs anything that is out of date."""
        if not self.names.isdisjoint(formula.needs.names):
            return True
        for reference in formula.needs.ranges:
            sheet = (reference.sheet or formula.sheet).casefold()
            if sheet in self.sheets or ":" in sheet:
                return True
            cells = self.cells.get(sheet)
            if not cells:
                continue
            rows = range(reference.top, reference.bottom + 1)
            columns = range(reference.left, reference.right + 1)
            if len(rows) * len(columns) < len(cells):
                found = any(at in cells for at in product(rows, columns))
            else:  # whole columns have a million cells
                found = any(row in rows and column in columns for row, column in cells)
            if found:
                return True
        return False

    def add(self, formula: Formula) -> None:
        """Count a formula's cells as out of date."""
        top, left, bottom, right = formula.covers
        cells = self.cells.setdefault(formula.sheet.casefold(), set())
        cells.update(product(range(top, bottom + 1), range(left, right + 1)))


def stale_names(names: Mapping[str, str], stale: Stale) -> set[str]:
    """Defined names whose text needs something out of date, directly or through other names."""
    needs = {name: needs_of(text) for name, text in names.items()}
    found: set[str] = set()
    grew = True
    while grew:
        grew = False
        for name, one in needs.items():
            if name in found:
                continue
            sheets = {reference.sheet.casefold() for reference in one.ranges}
            if sheets & stale.sheets or one.names & (stale.names | found):
                found.add(name)
                grew = True
    return found


def needs_any(formula: str, words: Collection[str]) -> bool:
    """Whether a formula needs a sheet or a name among ``words``, which are in small letters."""
    needs = needs_of(formula)
    sheets = {reference.sheet.casefold() for reference in needs.ranges}
    return not (sheets | needs.names).isdisjoint(words)


def mentions(data: bytes, words: Iterable[str]) -> bool:
    """Whether a sheet part holds a formula and one of the words, whatever its capitals."""
    text = decoded(data).text
    if b"f>" not in text:  # no formula, with whatever prefix: the rest need not be read
        return False
    small = text.decode("utf-8", "replace").casefold()
    return any(word in small or escape(word, {"'": "&apos;"}) in small for word in words)


def formulas_of(title: str, rows: Sequence[SheetRow]) -> list[Formula]:
    """The formula cells of a sheet, those given by a shared formula spelled out."""
    masters: dict[str, SheetCell] = {}
    found = []
    for row in rows:
        for cell in row.cells:
            text = cell.formula
            if text is None:
                continue
            number = cell.formula_attributes.get("si", "")
            if cell.formula_attributes.get("t") == "shared":
                if text:
                    masters[number] = cell
                elif number in masters:
                    text = follower_formula(masters[number], cell)
            found.append(Formula(title, cell, needs_of(text), _covers(cell)))
    return found


def follower_formula(master: SheetCell, cell: SheetCell) -> str:
    """What a cell's formula reads that the shared formula of ``master`` gives."""
    return filled(
        master.formula or "", down=cell.row - master.row, right=cell.column - master.column
    )


def _covers(cell: SheetCell) -> tuple[int, int, int, int]:
    """Cells that a formula fills: its own, or the range of an array formula."""
    if cell.formula_attributes.get("t") in ("array", "dataTable"):
        where = corners(cell.formula_attributes.get("ref", ""))
        if where and (where[2] - where[0] + 1) * (where[3] - where[1] + 1) <= LARGEST_ARRAY:
            return where
    return cell.row, cell.column, cell.row, cell.column


def stale_formulas(formulas: Collection[Formula], stale: Stale) -> list[Formula]:
    """The formulas that need something out of date, found until no more are found."""
    found: list[Formula] = []
    left = list(formulas)
    while True:
        touched = [formula for formula in left if stale.touches(formula)]
        if not touched:
            return found
        for formula in touched:
            stale.add(formula)
        found += touched
        chosen = {id(formula) for formula in touched}
        left = [formula for formula in left if id(formula) not in chosen]


def without_values(data: bytes, cells: Iterable[SheetCell]) -> bytes:
    """The sheet part with the stored values of some formula cells taken out."""
    encoded = decoded(data)
    edits = []
    for cell in cells:
        if cell.value_span is None:
            continue
        edits.append((*cell.value_span, b""))
        edits += [
            (found.start(), found.end(), b"")
            for found in ATTRIBUTE.finditer(encoded.text, cell.start, cell.inner)
            if found.group(1) == b"t"
        ]
    return encoded.back(spliced(encoded.text, edits)) if edits else data


def read_formulas(title: str, data: bytes) -> list[Formula]:
    """The formula cells of a sheet part."""
    return formulas_of(title, read_rows(decoded(data).text, keep="formulas"))


def strip_stale(
    book: WorkbookPart,
    own_parts: Collection[str],
    changed_names: Collection[str],
    changed: dict[str, bytes],
) -> list[tuple[str, str]]:
    """Take the stored values that are out of date out of the user's sheets.

    Gives sheet and cell of every formula that lost its stored value.

    Parameters
    ----------
    own_parts : collection of str
        Parts of the result sheets; these are written elsewhere.
    changed_names : collection of str
        Titles and tables of result sheets whose content changed, in small letters.
    changed : dict of str to bytes
        Where the changed parts are put.
    """
    if not changed_names:
        return []
    stale = Stale(set(changed_names), set(changed_names))
    stale.names |= stale_names({name.name.casefold(): name.text for name in book.names}, stale)
    sheets = {
        tab.title: (tab.part, book.package.read(tab.part))
        for tab in book.tabs
        if tab.kind == "worksheet" and tab.part not in own_parts and book.package.find(tab.part)
    }
    words = stale.sheets | stale.names
    if not any(mentions(data, words) for _, data in sheets.values()):
        return []
    formulas = [one for title, (_, data) in sheets.items() for one in read_formulas(title, data)]
    found = stale_formulas(formulas, stale)
    stripped = []
    for title, (part, data) in sheets.items():
        cells = [one.cell for one in found if one.sheet == title]
        changed[part] = without_values(data, cells)
        stripped += [
            (title, address(cell.row, cell.column)) for cell in cells if cell.value_span is not None
        ]
    return stripped
