"""Edits of input cells, what the formulas give after them, and what the library finds then.

A result sheet follows edits for the packs that were chosen; the library would choose anew. So the
packs are put back into the purchases, and everything after them is worked out by the library's own
functions.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Any

from live_workbooks import calculated
from openpyxl.utils import range_boundaries
from recalculation import Look, alike, looked_at, with_numbers

from costing.buying.books import Books, balanced, books_of
from costing.buying.choosing import MakingChoice
from costing.buying.need import Needs
from costing.buying.published import with_published
from costing.buying.published_rows import with_parts
from costing.buying.shopping import Shopping
from costing.buying.till import Bought, paid_lines
from costing.buying.values import values_of
from costing.names import key
from costing.report.estimates import Estimate
from costing.report.shopping_rows import food_cost, needs, to_buy
from costing.report.summary_rows import summary
from costing.report.tables import Row, Table
from costing.shoot import Shoot
from costing.shoot.defaults import completed
from costing.workbook.results.live.cells import exact_value

EDITED = {
    "Recipes": ("Amount", "Candidates"),
    "Shoot plan": ("Times", "Batch"),
    "Packs": ("Price", "Amount", "Loose step"),
    "Ingredients": (
        *("Trim yield %", "Cooked weight %", "Grams per ml", "Grams per piece"),
        "Spoilage % per day",
    ),
    "On hand": ("Amount", "Value"),
    "Dishes": ("Makes",),
    "Shops": ("Visit cost",),
}
EDITS = 10

KEYS = {
    "Summary": ("figure",),
    "To buy": ("ingredient", "shop", "unit"),
    "Needs": ("ingredient",),
    "Food cost": ("episode", "dish", "purpose"),
}


def number_cells(book: Any) -> list[Any]:
    """Input cells that hold a plain number, by sheet and row.

    Times between a Fewest and a Most are left as they are: beyond them the shot is refused.
    """
    found = []
    for title, headings in EDITED.items():
        if title not in book.sheetnames:
            continue
        rows = list(book[title].iter_rows())
        header = next(row for row in rows if {c.value for c in row} >= set(headings[:1]))
        heading_of = {cell.column: cell.value for cell in header}
        columns = [column for column, heading in heading_of.items() if heading in headings]
        found += [
            cell
            for row in rows[header[0].row - rows[0][0].row + 1 :]
            for cell in row
            if cell.column in columns and cell.data_type == "n" and cell.value
            if not (heading_of[cell.column] == "Times" and _estimated(row, heading_of))
        ]
    return found


def _estimated(row: Iterable[Any], heading_of: dict[int, Any]) -> bool:
    return any(cell.value for cell in row if heading_of.get(cell.column) in ("Fewest", "Most"))


@lru_cache(maxsize=64)
def edited(data: bytes, seed: int, *, edits: int = EDITS) -> bytes:
    """The workbook after some edits, each another number of the same kind."""
    draw = random.Random(seed)  # noqa: S311 - not for secrets
    known = number_cells(looked_at(data))
    cells = draw.sample(known, min(edits, len(known)))
    numbers = {(cell.parent.title, cell.coordinate): edited_number(cell, draw) for cell in cells}
    return calculated(with_numbers(data, numbers))


def edited_number(cell: Any, draw: random.Random) -> float:
    """Another number of the same kind for a cell."""
    factor = draw.choice([0.5, 0.8, 0.9, 1.1, 1.25, 2])
    whole = float(cell.value) == int(cell.value)
    new: float = round(cell.value * factor) if whole else round(cell.value * factor, 3)
    if cell.parent.title == "Ingredients":
        new = min(new, 1 if "%" in cell.number_format else 100)
    return new or 1


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
    book = looked_at(data)
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
        if cell.sheet == "Summary" or "SUM(" in cell.formula:
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


FOLLOWING = {
    "To buy": ("Pack amount", "Cost", "Needed", "From on hand", "Bought", "Left over"),
    "Needs": (
        *("Trimmed need", "As bought need", "Spoilage allowance", "On hand used", "Net need"),
        *("Bought", "Left over", "Used value", "Bought value", "Left value"),
    ),
}
"""Columns that follow edits unless something stands in the way."""


def held_cells(data: bytes) -> Iterator[tuple[str, str]]:
    """Cells of those columns that are not 0 and hold a value: the ingredient, and the heading."""
    book = looked_at(data)
    for title, columns in FOLLOWING.items():
        sheet = book[title]
        (reference,) = (table.ref for table in sheet.tables.values())
        header, *rows = sheet[reference]
        headings = [cell.value for cell in header]
        for row in rows:
            cells = dict(zip(headings, row, strict=True))
            for column in columns:
                if cells[column].data_type != "f" and cells[column].value:
                    yield str(cells["Ingredient"].value), column


Pack = tuple[str, int | None, date | None]
"""An ingredient, the row of Packs, and the day of the trip."""


def packs_of(estimate: Estimate) -> dict[Pack, int]:
    """How many packs of each row of Packs an estimate buys."""
    return {
        (key(bought.pack.ingredient), bought.pack.row.number, bought.trip): bought.count
        for purchase in estimate.books.purchases
        for bought in purchase.lines
    }


def books_with(shoot: Shoot, packs: dict[Pack, int], made: MakingChoice | None = None) -> Books:
    """The books of a shoot that buys these packs, whatever is cheapest, and makes as was chosen."""
    books = books_of(with_published(with_parts(completed(shoot)[0])[0]).shoot)
    found = books.purchases
    if made is not None:
        found = tuple(Shopping(Needs(books.shoot), made=made).purchases)
    purchases = []
    for purchase in found:
        now = {(bought.pack.row.number, bought.trip): bought for bought in purchase.lines}
        offers = {offer.row.row.number: offer for offer in purchase.offers}
        name = key(purchase.need.ingredient.name)
        lines = tuple(
            replace(
                now.get((number, trip), Bought(offers[number].row, count, trip)),
                count=count,
                brings=offers[number].amount * count,
            )
            for (ingredient, number, trip), count in packs.items()
            if ingredient == name and number in offers
        )
        held = replace(purchase, lines=lines)
        purchases.append(replace(held, short=max(Fraction(0), held.wanted - held.bought)))
    settings = books.shoot.settings
    paid = iter(paid_lines([line for p in purchases for line in p.lines], settings))
    purchases = [replace(one, lines=tuple(next(paid) for _ in one.lines)) for one in purchases]
    return balanced(books.shoot, purchases, [values_of(one, settings)[0] for one in purchases])


def tables_written(estimate: Estimate) -> dict[str, Table]:
    """The same tables as :func:`tables_with`, with the rows that the workbook has."""
    titles = ("Summary", "To buy", "Needs", "Food cost")
    tables = {table.layout.title: table for table in estimate.tables().values()}
    return {title: tables[title] for title in titles}


def tables_with(
    shoot: Shoot, packs: dict[Pack, int], made: MakingChoice | None = None
) -> dict[str, Table]:
    """The result tables that have formulas, by the title of their sheet."""
    books = books_with(shoot, packs, made)
    tables = (summary(books, (), ()), to_buy(books), needs(books), food_cost(books))
    return {table.layout.title: table for table in tables}
