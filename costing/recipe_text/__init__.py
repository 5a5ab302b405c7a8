"""Recipes as people write them: plain text, or a schema.org Recipe, into rows of a workbook."""

from costing.recipe_text.lines import read_line
from costing.recipe_text.parts import LineParts

__all__ = ["LineParts", "read_line"]
