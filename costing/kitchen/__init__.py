"""What a kitchen has: ingredients and their losses, packs, stock on hand, dishes and recipes."""

from costing.kitchen.dishes import Dish, Line, Measured, Shown
from costing.kitchen.ingredients import HoldingClass, Ingredient
from costing.kitchen.packs import Pack, PackState, Shop
from costing.kitchen.parts import Part
from costing.kitchen.stock import Counted, Lot

__all__ = [
    "Counted",
    "Dish",
    "HoldingClass",
    "Ingredient",
    "Line",
    "Lot",
    "Measured",
    "Pack",
    "PackState",
    "Part",
    "Shop",
    "Shown",
]
