"""A good workbook, made by hand in code, that a test changes in one place.

Nothing in it is to be found fault with; headings stand in row 1 and the first row in row 2.
"""

from __future__ import annotations

from datetime import date, time
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl import Workbook

from costing.findings import Finding
from costing.shoot import Shoot
from costing.workbook.reading import read_workbook

SHEETS: dict[str, list[list[Any]]] = {
    "Settings": [
        ["Setting", "Value"],
        ["Title", "Soup day"],
        ["Currency", "EUR"],
        ["Measures", "metric"],
        ["Time zone", "Europe/Lisbon"],
        ["Room temperature", "24 C"],
    ],
    "Recipes": [
        ["Dish", "Step", "Step name", "Ingredient", "Amount", "Unit", "Measured", "Candidates"],
        ["leek soup", 1, "sweat", "leek", 400, "g", None, None],
        [None, None, None, "butter", 30, "g", None, None],
        [None, 2, "simmer", "potato", "2-3", None, "as bought", None],
        [None, None, None, "milk", "1 1/2", "cup", None, None],
    ],
    "Shoot plan": [
        [
            "Shot",
            "Episode",
            "Dish",
            "Purpose",
            "Steps",
            "Batch",
            "Times",
            "Fewest",
            "Most",
            "Starts",
        ],
        ["S1", "Soup", "leek soup", "cook-through", None, None, 1, None, None, time(10, 0)],
        ["S2", None, "leek soup", "retake", "1-2", 0.5, 2, 1, 4, None],
    ],
    "Packs": [
        ["Ingredient", "Shop", "Amount", "Unit", "Price", "Loose step", "At most", "Tax rate %"],
        ["leek", "Corner", 1, "kg", 1.89, 0.05, None, None],
        ["butter", "Corner", 250, "g", 2.79, None, 4, 6],
        ["potato", "Corner", 10, None, 2.5, None, None, None],
        ["milk", None, 1, "l", 1.05, None, None, None],
    ],
    "Ingredients": [
        [
            "Ingredient",
            "Section",
            "Trim yield %",
            "Cooked weight %",
            "Grams per ml",
            "Spoilage % per day",
        ],
        ["leek", "vegetables", 72, None, None, 2],
        ["milk", "dairy", 100, None, 1.03, None],
    ],
    "On hand": [
        ["Ingredient", "Amount", "Unit", "Use by", "Value"],
        ["butter", 40, "g", date(2031, 6, 1), 0.4],
        ["salt", "plenty", None, None, None],
    ],
    "Episodes": [
        ["Episode", "Shoot date", "Call time", "Portions"],
        ["Soup", date(2031, 5, 10), time(9, 30), 4],
    ],
    "Dishes": [["Dish", "Makes", "Unit"], ["leek soup", 4, "portions"]],
    "Shops": [["Shop", "Visit cost"], ["Corner", 1.5]],
    "Holding": [
        ["Container", "Holds", "Event", "When", "Temperature", "Marked until"],
        ["milk jug", "milk", "out", time(10, 5), "4 C", time(14, 5)],
        [None, None, "back", time(12, 20), "5 C", None],
    ],
}


def good_workbook() -> Workbook:
    """The workbook, anew for each test."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in SHEETS.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    return book


def read(book: Workbook, folder: Path) -> tuple[Shoot, list[Finding]]:
    """Save the workbook and read it."""
    path = folder / "plan.xlsx"
    book.save(path)
    return read_workbook(path)


def findings(book: Workbook, folder: Path) -> list[str]:
    """What is said of the workbook."""
    return [str(finding) for finding in read(book, folder)[1]]
