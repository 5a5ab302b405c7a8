"""What a kitchen has: ingredients and their losses, packs, stock on hand, dishes and recipes."""

from costing.kitchen.dishes import Dish, Line, Measured, Shown
from costing.kitchen.ingredients import HoldingClass, Ingredient
from costing.kitchen.packs import Pack, PackState, Shop
from costing.kitchen.parts import Part
from costing.kitchen.stock import CountedLot, Lot

__all__ = [
    "CountedLot",
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
