"""The one declaration of the input sheets: it drives template, reader, messages and papers.

Tables are named after what a row is, such as ``RecipeRows``; the sheets are listed in the order
of a new workbook.
"""

from costing.report.layouts import RESULT_LAYOUTS
from costing.workbook.layout.columns import (
    AMOUNTS,
    PERCENTS,
    TEXTS,
    UNITS,
    CellKind,
    Column,
    Sheet,
    Without,
)
from costing.workbook.layout.cooking import INGREDIENTS, RECIPES
from costing.workbook.layout.dishes import DISHES, PARTS
from costing.workbook.layout.records import COUNTED, HOLDING, RECEIPTS
from costing.workbook.layout.settings import SETTINGS, SETTINGS_SHEET
from costing.workbook.layout.shooting import EPISODES, PEOPLE, SHOOT_PLAN
from costing.workbook.layout.shopping import ON_HAND, PACKS, SHOPS, TRIPS

INPUT_SHEETS = (
    SETTINGS_SHEET,
    RECIPES,
    SHOOT_PLAN,
    PACKS,
    INGREDIENTS,
    ON_HAND,
    EPISODES,
    DISHES,
    PARTS,
    TRIPS,
    PEOPLE,
    SHOPS,
    HOLDING,
    RECEIPTS,
    COUNTED,
)

INPUT_TITLES = tuple(sheet.title for sheet in INPUT_SHEETS)
"""In the order in which findings are listed."""

RESULT_TITLES = tuple(layout.title for layout in RESULT_LAYOUTS)
"""Titles of the sheets the library writes; they are never read as input."""

INSTRUCTIONS_TITLE = "Instructions"
"""Title of the sheet of a new workbook that says what to fill in."""
