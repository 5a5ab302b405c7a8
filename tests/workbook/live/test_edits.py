"""After edits of prices, amounts and yields the formulas give what the library finds."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from held_packs import packs_of, tables_with
from live_workbooks import MAKERS, calculated, read_bytes, with_formulas
from openpyxl.utils import range_boundaries
from recalculation import (
    ENGINES,
    OFFICE,
    Look,
    alike,
    opened,
    saved_by_libreoffice,
    values_in,
    with_numbers,
)

from costing.estimating import estimate
from costing.report.tables import Row, Table
from costing.workbook.results.checks import AGAIN, CHANGED
from costing.workbook.results.live.spots import exact_value

EDITED = {
    "Recipes": ("Amount",),
    "Shoot plan": ("Times", "Batch"),
    "Packs": ("Price", "Amount"),
    "Ingredients": ("Trim yield %",),
    "On hand": ("Amount",),
}
EDITS = 10
SEEDS = (1, 2, 3, 4)
EDITED_FILES = tuple((name, seed) for name in MAKERS for seed in SEEDS[:2])

KEYS = {
    "Summary": ("figure",),
    "To buy": ("ingredient", "shop", "unit"),
    "Needs": ("ingredient",),
    "Food cost": ("episode", "dish", "purpose"),
}


def number_cells(book: Any) -> list[Any]:
    """Input cells that hold a plain number, by sheet and row."""
    found = []
    for title, headings in EDITED.items():
        if title not in book.sheetnames:
            continue
        rows = list(book[title].iter_rows())
        header = next(row for row in rows if {c.value for c in row} >= set(headings[:1]))
        columns = [cell.column for cell in header if cell.value in headings]
        found += [
            cell
            for row in rows[header[0].row - rows[0][0].row + 1 :]
            for cell in row
            if cell.column in columns and cell.data_type == "n" and cell.value
        ]
    return found


def edited(data: bytes, seed: int) -> bytes:
    """The workbook after ten edits, each another number of the same kind."""
    draw = random.Random(seed)  # noqa: S311 - not for secrets
    cells = draw.sample(number_cells(opened(data, values=False)), EDITS)
    numbers = {}
    for cell in cells:
        factor = draw.choice([0.5, 0.8, 0.9, 1.1, 1.25, 2])
        whole = float(cell.value) == int(cell.value)
        new = round(cell.value * factor) if whole else round(cell.value * factor, 3)
        if cell.parent.title == "Ingredients":
            new = min(new, 1 if "%" in cell.number_format else 100)
        numbers[cell.parent.title, cell.coordinate] = new or 1
    return calculated(with_numbers(data, numbers))


@dataclass(frozen=True)
class Live:
    """A formula in a result table, with the row it stands in."""

    sheet: str
    cell: str
    row: tuple[object, ...]
    column: str
    formula: str


def live_cells(data: bytes, tables: dict[str, Table]) -> Iterator[Live]:
    """The formulas of the result tables; ``tables`` are as they were written."""
    book = opened(data, values=False)
    for title, table in tables.items():
        sheet = book[title]
        (reference,) = (one.ref for one in sheet.tables.values())
        left, top, _, _ = range_boundaries(reference)
        assert top is not None
        assert left is not None
        for number, keys in enumerate(_keys(table), 1):
            for at, column in enumerate(table.layout.columns):
                cell = sheet.cell(top + number, left + at)
                if cell.data_type == "f":
                    yield Live(title, cell.coordinate, keys, column.key, cell.value)


def _keys(table: Table) -> Iterator[tuple[object, ...]]:
    """What tells each row from the others, and a number for rows alike."""
    seen: dict[tuple[object, ...], int] = {}
    for row in table.rows:
        key = (row.get("packs") is None, *(row[name] for name in KEYS[table.layout.title]))
        seen[key] = seen.get(key, 0) + 1
        yield (*key, seen[key])


def expected_rows(tables: dict[str, Table]) -> dict[tuple[str, tuple[object, ...]], Row]:
    return {
        (title, key): row
        for title, table in tables.items()
        for key, row in zip(_keys(table), table.rows, strict=True)
    }


class Following:
    """Which formulas follow all that they rest on.

    A total adds up what stands in a column; where a cell of it holds the figure of the last run,
    the total holds that part of it too.
    """

    def __init__(self, cells: list[Live], tables: dict[str, Table]) -> None:
        self._live = {(cell.sheet, cell.row, cell.column) for cell in cells}
        self._tables = tables

    def __contains__(self, cell: Live) -> bool:
        if cell.sheet == "Summary":
            return self._column("Needs", "used_value") and self._column("To buy", "cost")
        if cell.sheet == "Needs" and cell.column in ("bought_value", "left_value"):
            return self._column("To buy", "cost", ingredient=cell.row[1])
        if cell.sheet == "Food cost" and cell.column == "over":
            return ("Food cost", cell.row, "share_of_bought") in self._live
        return True

    def _column(self, title: str, column: str, ingredient: object = None) -> bool:
        """Whether every cell of a column follows, or those of one ingredient."""
        table = self._tables[title]
        return all(
            (title, key, column) in self._live or not row[column]
            for key, row in zip(_keys(table), table.rows, strict=True)
            if ingredient is None or row["ingredient"] == ingredient
        )


def wrong(cells: Iterable[Live], look: Look, tables: dict[str, Table]) -> list[str]:
    """Formulas that give another figure than the library.

    Where packs have become too few, the library calls what is left unknown; a formula cannot.
    """
    rows = expected_rows(tables)
    found = []
    for cell in cells:
        exact = exact_value(rows[cell.sheet, cell.row][cell.column])
        if exact is None and cell.column == "left_value":
            continue
        wanted = None if exact is None else float(exact)
        calculated_value = look(cell.sheet, cell.cell)
        if not alike(calculated_value, wanted, size=1e4):
            found.append(f"{cell}: calculated {calculated_value!r}, the library finds {wanted!r}")
    return found


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("name", MAKERS)
def test_edits__are_followed_as_the_library_reckons_them(name: str, seed: int) -> None:
    """Ten random edits, the packs held: both engines give the library's own figures."""
    data, before = with_formulas(name)
    packs = packs_of(before)
    written = tables_with(read_bytes(data)[0], packs)
    every = list(live_cells(data, written))
    following = Following(every, written)
    cells = [cell for cell in every if cell in following]
    later = edited(data, seed)
    tables = tables_with(read_bytes(later)[0], packs)
    assert tables["Needs"].rows != written["Needs"].rows
    assert len(cells) > len(every) / 2
    for engine in ENGINES.values():
        look = engine(later)
        assert wrong(cells, look, tables) == []
        assert look("Summary", "A4") == CHANGED
        assert str(look("To buy", "A4")).endswith(AGAIN)


@pytest.mark.skipif(OFFICE is None, reason="LibreOffice is not installed")
def test_edits__are_followed_by_libreoffice(tmp_path: Path) -> None:
    """The same edits, calculated on opening."""
    files = {f"{name}-{seed}": edited(with_formulas(name)[0], seed) for name, seed in EDITED_FILES}
    saved = saved_by_libreoffice(files, tmp_path)
    for name, seed in EDITED_FILES:
        data, before = with_formulas(name)
        packs = packs_of(before)
        written = tables_with(read_bytes(data)[0], packs)
        every = list(live_cells(data, written))
        following = Following(every, written)
        tables = tables_with(read_bytes(files[f"{name}-{seed}"])[0], packs)
        look = values_in(saved[f"{name}-{seed}"])
        assert wrong((cell for cell in every if cell in following), look, tables) == []
        assert look("Summary", "A4") == CHANGED


@pytest.mark.parametrize("name", MAKERS)
def test_edits__the_list_says_so_where_other_packs_would_be_chosen(name: str) -> None:
    """The library run anew chooses other packs after an edit: To buy must not say all is well."""
    data, before = with_formulas(name)
    chosen_anew = 0
    for seed in SEEDS:
        later = edited(data, seed)
        now = packs_of(estimate(read_bytes(later)[0]))
        if now != packs_of(before):
            chosen_anew += 1
            assert str(ENGINES["ironcalc"](later)("To buy", "A4")).endswith(AGAIN)
    assert chosen_anew


def test_edits__a_formula_that_does_not_follow_would_be_seen() -> None:
    """The comparison can fail: against the figures from before the edits it does."""
    data, before = with_formulas("by hand")
    written = tables_with(read_bytes(data)[0], packs_of(before))
    later = edited(data, SEEDS[0])
    found = wrong(list(live_cells(data, written)), ENGINES["ironcalc"](later), written)
    assert any("Needs" in one for one in found)
