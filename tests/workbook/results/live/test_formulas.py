"""Which figures follow the cells they rest on, and which stand as values."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any

import openpyxl
import pytest
from by_hand import PACKS, PLAN, RECIPES, SETTINGS
from live_workbooks import Rows, run, workbook_of


def followed(sheets: Mapping[str, Rows]) -> dict[tuple[str, str, str], Any]:
    """Formulas, and values that stand, of the figures of money: by sheet, row and heading."""
    data, _ = run(workbook_of({"Recipes": RECIPES, "Shoot plan": PLAN, **sheets}))
    book = openpyxl.load_workbook(io.BytesIO(data))
    found: dict[tuple[str, str, str], Any] = {}
    for title, name, headings in (
        ("To buy", "Ingredient", ["Cost", "Pack amount"]),
        ("Needs", "Ingredient", ["Bought value", "Used value", "Left value"]),
        ("Summary", "Figure", ["Value"]),
    ):
        rows = [[cell.value for cell in row] for row in book[title].iter_rows()]
        header = next(row for row in rows if name in row)
        for row in rows[rows.index(header) + 1 :]:
            cells = dict(zip(header, row, strict=True))
            found |= {(title, str(cells[name]), heading): cells[heading] for heading in headings}
    return found


def is_formula(value: object) -> bool:
    return isinstance(value, str) and value.startswith("=")


SUMS = [
    *(("Needs", "butter", "Bought value"), ("Needs", "butter", "Used value")),
    *(("Needs", "butter", "Left value"), ("Summary", "Bought value", "Value")),
    *(("Summary", "Used value", "Value"), ("Summary", "Left value", "Value")),
]
ON_TOP = ["Prices include tax", "no"]


@pytest.mark.parametrize(
    ("settings", "formula"),
    [
        ([], True),
        # rounded once for the whole till, so that no cell can say its part of the tax
        ([ON_TOP, ["Food tax rate %", 7]], False),
        ([ON_TOP, ["Food tax rate %", 0]], True),
    ],
    ids=["tax inside", "tax on top", "no tax on top"],
)
def test_cost__with_tax_on_top_stands_and_the_sums_follow_it(
    settings: Rows, *, formula: bool
) -> None:
    """What is added up is added up from cells, be they formulas or not: so it adds up.

    What was used of it and what is left are parts of a cost with its tax, and stand with it.
    """
    found = followed({"Packs": PACKS, "Settings": [*SETTINGS, *settings]})
    assert is_formula(found["To buy", "butter", "Cost"]) is formula
    assert is_formula(found["To buy", "butter", "Pack amount"])
    parts = [("Needs", "butter", "Used value"), ("Needs", "butter", "Left value")]
    assert [at for at in SUMS if not is_formula(found[at])] == ([] if formula else parts)


def test_what_is_given_free__costs_nothing_by_no_formula() -> None:
    """Supplied butter costs 0 whatever is typed: its 0 is in the sum, and refers to no cell."""
    packs = [[*row, None] for row in PACKS]
    packs[0][-1], packs[-1][-1] = "Supplied", "yes"
    found = followed({"Packs": packs, "Settings": SETTINGS})
    assert [found["Needs", "butter", what] for what in ("Bought value", "Left value")] == [0, 0]
    assert is_formula(found["Needs", "flour", "Bought value"])
    assert is_formula(found["Summary", "Bought value", "Value"])
