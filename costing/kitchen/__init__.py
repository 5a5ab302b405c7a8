"""What a kitchen has: ingredients and their losses, packs, stock on hand, dishes and recipes."""

from costing.kitchen.dishes import Dish, Line, Measured, Shown
from costing.kitchen.ingredients import HoldingClass, Ingredient
from costing.kitchen.packs import Pack, Shop
from costing.kitchen.parts import Part
from costing.kitchen.stock import Lot

__all__ = [
    "Dish",
    "HoldingClass",
    "Ingredient",
    "Line",
    "Lot",
    "Measured",
    "Pack",
    "Part",
    "Shop",
    "Shown",
]
