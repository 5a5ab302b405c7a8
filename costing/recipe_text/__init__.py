"""Recipes as people write them: plain text, or a schema.org Recipe, into rows of a workbook."""

from costing.recipe_text.lines import read_line
from costing.recipe_text.outline import RecipeUnreadable
from costing.recipe_text.parts import LineParts
from costing.recipe_text.recipe import read_recipe
from costing.recipe_text.rows import RecipeText

__all__ = ["LineParts", "RecipeText", "RecipeUnreadable", "read_line", "read_recipe"]
