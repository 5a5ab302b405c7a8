"""Published values: foods by name, what is printed of them, and what may fill a blank."""

from costing.reference.allergens import (
    ALLERGEN_LISTS,
    AllergenList,
    allergen_words,
    known_allergen_words,
)
from costing.reference.files import reference_file, sources
from costing.reference.filled import Choices, Filled
from costing.reference.filling import (
    COOKED_DENSITY,
    FILLED_COLUMNS,
    fill,
    fill_of_several_foods,
    kept_as,
    other_pieces,
)
from costing.reference.foods import Food, all_foods, find_food, food
from costing.reference.pieces import kind_of_piece
from costing.reference.showing import pasted_row, published_text
from costing.reference.tables import comes_trimmed, published, published_parts
