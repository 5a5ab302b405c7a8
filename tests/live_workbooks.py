"""Workbooks whose results are formulas: the demo, one made by hand, and two that have everything.

Everything in them is invented.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import formualizer
import openpyxl
from by_hand import save_workbook_by_hand
from packages import bytes_of

from costing.estimating import estimate
from costing.findings import Finding
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.workbook.demo import DEMO_ROWS, uncertain_rows
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes, with_results

Rows = Sequence[Sequence[Any]]

DAY = date(2031, 6, 14)

BRUNCH: Mapping[str, Rows] = {
    "Settings": [
        ["Setting", "Value"],
        ["Title", "Two brunches"],
        ["Currency", "EUR"],
        ["Food tax rate %", 7],
        ["Shopping date", date(2031, 6, 12)],
    ],
    "Recipes": [
        ["Dish", "Step", "Ingredient", "Amount", "Unit", "Measured", "Candidates", "Optional"],
        ["waffles", 1, "flour", 250, "g", None, None, None],
        [None, None, "egg", 2, "each", None, None, None],
        [None, None, "milk", 0.3, "l", None, None, None],
        [None, None, "butter", 100, "g", None, None, None],
        [None, 2, "syrup", 60, "ml", None, None, None],
        [None, None, "compote", 0.5, "batch", None, None, None],
        [None, None, "strawberry", 12.5, "g", None, 4, None],
        [None, None, "mint", 3, "g", None, None, "yes"],
        [None, 3, "spinach", 300, "g", "as bought", None, None],
        [None, None, "rice", 300, "g", "cooked", None, None],
        [None, None, "lemon juice", 20, "ml", None, None, None],
        [None, None, "nut butter", 2, "tbsp", None, None, None],
        ["syrup", 1, "sugar", 200, "g", None, None, None],
        [None, None, "water", 150, "ml", None, None, None],
        ["compote", 1, "apple", 600, "g", None, None, None],
        [None, None, "sugar", 50, "g", None, None, None],
    ],
    "Shoot plan": [
        ["Episode", "Dish", "Purpose", "Steps", "Batch", "Times", "Optional lines", "Most"],
        ["Sweet", "waffles", "cook-through", None, None, 1, None, None],
        [None, "waffles", "retake", "1-2", 0.5, 3, None, 8],
        [None, "waffles", "hero", None, None, 2, "yes", None],
        ["Green", "waffles", "hero", "3", 1.5, 2, None, None],
        [None, "compote", "close-up", "1", None, None, None, None],
        [None, "waffles", "bite", None, 0.25, 4, None, None],
    ],
    "Packs": [
        ["Ingredient", "Shop", "Amount", "Unit", "Price", "Loose step", "Supplied", "Tax rate %"],
        ["flour", "Corner", 1, "kg", 1.19, None, None, None],
        ["flour", "Corner", 500, "g", 0.65, None, None, None],
        ["egg", "Corner", 6, "each", 1.89, None, None, None],
        ["egg", "Farm", 10, "each", 2.95, None, None, None],
        ["milk", "Corner", 1, "l", 1.05, None, None, None],
        ["milk", "Corner", 250, "ml", 0.35, None, None, None],
        ["butter", "Corner", 250, "g", 2.39, None, None, 19],
        ["strawberry", "Market", 0.5, "kg", 4.8, 0.02, None, None],
        ["mint", "Market", 15, "g", "1,10", None, None, None],
        ["spinach", "Market", 400, "g", 2.2, None, None, None],
        ["rice", "Corner", 500, "g", 1.79, None, None, None],
        ["lemon juice", "Market", 1, "each", 0.4, None, None, None],
        ["nut butter", "Corner", 350, "g", 5.49, None, None, None],
        ["sugar", "Corner", 1, "kg", None, None, "yes", None],
        ["apple", "Market", 1, "kg", "=1.05*2", 0.05, None, None],
    ],
    "Ingredients": [
        [
            *("Ingredient", "Trim yield %", "Cooked weight %", "Grams per ml", "Grams per piece"),
            "Spoilage % per day",
        ],
        ["flour", 100, None, None, None, None],
        ["milk", 100, None, None, None, None],
        ["butter", 100, None, None, None, None],
        ["strawberry", 92, None, None, None, ("0.0%", 0.045)],
        ["mint", 60, None, None, None, None],
        ["spinach", ("0%", 0.72), None, None, None, 3],
        ["rice", 100, 250, None, None, None],
        ["lemon juice", 100, None, 1.03, 31, None],
        ["nut butter", 100, None, 1.05, None, None],
        ["sugar", 100, None, None, None, None],
        ["apple", ("0.00%", 0.765), None, None, None, 0.5],
    ],
    "On hand": [
        ["Ingredient", "Amount", "Unit", "Use by", "Value", "Supplied"],
        ["butter", 0.05, "kg", date(2031, 7, 1), 0.6, None],
        ["milk", 100, "ml", date(2031, 6, 15), None, None],
        ["milk", 150, "ml", date(2031, 6, 20), 0.2, None],
        ["flour", 60, "g", date(2031, 12, 1), None, "yes"],
        ["rice", 25, "g", date(2032, 1, 1), None, None],
    ],
    "Episodes": [
        ["Episode", "Shoot date", "Portions", "Minutes", "Budget"],
        ["Sweet", DAY, 4, 8, 20],
        ["Green", DAY, 2, 5, 100],
    ],
    "Dishes": [
        ["Dish", "Makes", "Unit"],
        ["syrup", 0.3, "l"],
        ["compote", 500, "g"],
    ],
}
"""Tax included, loose goods, lots, dishes inside dishes, two episodes, percent cells, supplied
goods, candidates, conversions, spoilage, an uncertain number of times."""

NOODLES: Mapping[str, Rows] = {
    "Settings": [
        ["Setting", "Value"],
        ["Title", "Noodle week"],
        ["Currency", "JPY"],
        ["Prices include tax", "no"],
        ["Food tax rate %", 8],
        ["Measures", "Japanese"],
    ],
    "My own sheet": [["call the miller"]],
    "Recipes": [
        ["Remark", "Unit", "Amount", "Ingredient", "Step", "Dish"],
        ["for the dough", "cup", "1 1/2", "wheat flour", 1, "noodles"],
        [None, "ml", 110, "water", None, None],
        [None, "tsp", 0.5, "salt", None, None],
        [None, "each", "2-3", "spring onion", 2, None],
        [None, "g", 180, "baker's rice", None, None],
        [None, "g", 90, "tofu", 3, None],
        [None, "ml", 30, "soy sauce", None, None],
    ],
    "Shoot plan": [
        ["Times", "Dish", "Purpose", "Steps", "Episode"],
        [2, "noodles", "cook-through", None, "Monday"],
        [3, "noodles", "retake", "2-3", None],
        [1, "noodles", "hero", None, "Thursday"],
        [2, "noodles", "bite", "3", "Sunday"],
    ],
    "Packs": [
        ["Price", "Unit", "Amount", "Ingredient", "Shop", "Tax rate %", "Loose step", "At most"],
        [398, "kg", 1, "wheat flour", "Ume", None, None, None],
        [128, "g", 200, "baker's rice", "Ume", None, None, 2],
        [240, "g", 450, "baker's rice", "Kiku", None, None, None],
        [98, "g", 300, "tofu", "Kiku", 10, None, None],
        [260, "ml", 500, "soy sauce", "Kiku", None, None, None],
        [None, "each", 5, "spring onion", "Ume", None, None, None],
        [110, "g", 100, "salt", "Kiku", 0, 10, None],
    ],
    "Ingredients": [
        ["Trim yield %", "Ingredient", "Grams per ml", "Spoilage % per day"],
        [100, "wheat flour", 0.53, None],
        [100, "baker's rice", None, None],
        [95, "tofu", None, 10],
        [100, "soy sauce", None, None],
        [100, "salt", 1.2, None],
    ],
    "On hand": [
        ["Amount", "Unit", "Ingredient", "Use by"],
        [150, "g", "tofu", date(2031, 6, 10)],
        [60, "g", "tofu", date(2031, 6, 30)],
        ["plenty", None, "soy sauce", None],
    ],
    "Episodes": [
        ["Budget", "Episode", "Shoot date"],
        [900, "Monday", date(2031, 6, 9)],
        [None, "Thursday", date(2031, 6, 12)],
        [300, "Sunday", date(2031, 6, 15)],
    ],
}
"""Tax excluded, no coins, three days with dated lots, plenty, a price missing, texts as numbers."""


TWO_SHOPS: Mapping[str, Rows] = {
    "Settings": [
        ["Setting", "Value"],
        ["Currency", "USD"],
        ["Prices include tax", "no"],
        ["Food tax rate %", 6],
        ["Chance of running out accepted %", 10],
    ],
    "Recipes": [
        ["Dish", "Ingredient", "Amount", "Unit"],
        ["fritters", "corn", 3, "each"],
        [None, "flour", 90, "g"],
        [None, "egg", 1, "each"],
        [None, "oil", 40, "ml"],
        ["slaw", "cabbage", 0.4, "kg"],
        [None, "lime", 2, "each"],
        [None, "oil", 15, "ml"],
    ],
    "Shoot plan": [
        ["Dish", "Purpose", "Times", "Fewest", "Most", "Batch"],
        ["fritters", "cook-through", 1, None, None, 2],
        ["fritters", "swap", 2, 1, 4, None],
        ["slaw", "hero", 2, 2, 3, 0.5],
    ],
    "Packs": [
        ["Ingredient", "Shop", "Amount", "Unit", "Price", "Loose step", "At most"],
        ["corn", "Near", 1, "each", 0.7, None, 40],
        ["corn", "Far", 4, "each", 1.9, None, None],
        ["flour", "Near", 500, "g", 0.95, None, None],
        ["flour", "Far", 1, "kg", 0.8, None, None],
        ["egg", "Near", 6, "each", 2.2, None, None],
        ["egg", "Far", 12, "each", 3.4, None, None],
        ["oil", "Near", 250, "ml", 2.5, None, None],
        ["cabbage", "Far", 1, "kg", 1.2, 0.1, None],
        ["cabbage", "Near", 1, "kg", 2.4, 0.25, None],
        ["lime", "Near", 1, "each", 0.45, None, 30],
    ],
    "Ingredients": [["Ingredient", "Trim yield %"], ["cabbage", 80], ["corn", 95]],
    "On hand": [["Ingredient", "Amount", "Unit", "Value"], ["flour", 60, "g", 0.06]],
    "Shops": [["Shop", "Visit cost", "Minimum spend"], ["Far", 1.5, 5], ["Near", 0, None]],
}
"""Shops that cost a visit and ask a minimum, numbers of times that are not certain, tax on top."""


def workbook_of(sheets: Mapping[str, Rows]) -> bytes:
    """A workbook with plain sheets; a pair is a number format and a number."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for number, row in enumerate(rows, 1):
            for at, value in enumerate(row, 1):
                cell = sheet.cell(number, at)
                if isinstance(value, tuple):
                    cell.number_format, cell.value = value
                elif value is not None:
                    cell.value = value
    return calculated(bytes_of(book))


def calculated(data: bytes) -> bytes:
    """The workbook with a value beside each formula, as a spreadsheet program saves it."""
    result: bytes = formualizer.recalculate_xlsx_bytes(data)["bytes"]
    return result


@cache
def by_hand() -> bytes:
    """The pancakes that somebody typed into plain sheets."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        save_workbook_by_hand(path)
        return path.read_bytes()


_MAKERS: Mapping[str, Callable[[], bytes]] = {
    "demo": lambda: new_workbook_bytes(all_sheets=True, rows=DEMO_ROWS),
    "by hand": by_hand,
    "brunch": lambda: workbook_of(BRUNCH),
    "noodles": lambda: workbook_of(NOODLES),
    "uncertain": lambda: new_workbook_bytes(all_sheets=True, rows=uncertain_rows()),
    "two shops": lambda: workbook_of(TWO_SHOPS),
}
MAKERS: Mapping[str, Callable[[], bytes]] = {name: cache(make) for name, make in _MAKERS.items()}
"""How each is made, which happens once."""


def read_bytes(data: bytes) -> tuple[Shoot, list[Finding]]:
    """What is read from a workbook."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        path.write_bytes(data)
        return read_workbook(path)


def run(data: bytes) -> tuple[bytes, Estimate]:
    """A workbook after a run of the library, and what was worked out."""
    shoot, _ = read_bytes(data)
    result = estimate(shoot)
    spliced, refused = with_results(data, result)
    assert refused is None
    return spliced.data, result


@cache
def with_formulas(name: str) -> tuple[bytes, Estimate]:
    """One of the workbooks with its results."""
    return run(MAKERS[name]())
