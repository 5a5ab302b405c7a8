"""What a kitchen has: ingredients and their losses, packs, stock on hand, dishes and recipes."""

from costing.kitchen.dishes import Dish, Line, Measured, Shown
from costing.kitchen.ingredients import HoldingClass, Ingredient, Part
from costing.kitchen.packs import (
    CountedLot,
    Lot,
    Pack,
    PackState,
    PaidFrom,
    ReceiptLine,
    ReceiptTag,
    Shop,
)
