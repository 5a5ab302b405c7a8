"""A workbook as somebody makes it by hand: plain sheets, no tables, no styles.

Headings stand in row 1 in another order than the template's, with two columns and one sheet that
are the person's own.

Pancakes for one cook-through and two retakes of step 1: three times 200 g flour is 600 g, one
bag of 1 kg at 1.20; three times 2 eggs is 6, one box of 6 at 2.10; three times 250 ml milk is
750 ml, three bottles of 250 ml at 0.60 or one of 1 l at 1.50, so 1.50; one cook-through takes 15 g
butter, one pack of 125 g at 1.80. Bought: 1.20 + 2.10 + 1.50 + 1.80 = 6.60.
"""

from __future__ import annotations

from pathlib import Path

import openpyxl

Rows = list[list[str | float | None]]

RECIPES: Rows = [
    ["Ingredient", "My remark", "Amount", "Unit", "Step", "Dish"],
    ["flour", "sifted", 200, "g", 1, "pancakes"],
    ["egg", None, 2, None, None, None],
    ["milk", None, 250, "ml", None, None],
    ["butter", "for the pan", 15, "g", 2, None],
]
PLAN: Rows = [
    ["Times", "Dish", "Purpose", "Steps"],
    [1, "pancakes", "cook-through", None],
    [2, "pancakes", "retake", "1"],
]
PACKS: Rows = [
    ["Price", "Unit", "Amount", "Ingredient", "Aisle"],
    [1.2, "kg", 1, "flour", 4],
    [2.1, "each", 6, "egg", 7],
    [0.6, "ml", 250, "milk", 7],
    [1.5, "l", 1, "milk", 7],
    [1.8, "g", 125, "butter", 7],
]
SETTINGS: Rows = [
    ["Setting", "Value"],
    ["Currency", "EUR"],
    ["Title", "Pancakes"],
]


def save_workbook_by_hand(path: Path) -> None:
    """Write the workbook."""
    book = openpyxl.Workbook()
    book.remove(book[book.sheetnames[0]])
    sheets: dict[str, Rows] = {
        "Notes of mine": [["call the dairy"]],
        "Recipes": RECIPES,
        "Shoot plan": PLAN,
        "Packs": PACKS,
        "Settings": SETTINGS,
    }
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    book.save(path)
