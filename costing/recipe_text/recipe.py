"""A recipe's file into rows of a workbook; nothing is ever fetched."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

from costing.findings import Place
from costing.quantities import Measures
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.linked_data import outlines_of_json
from costing.recipe_text.outline import MOST_CHARACTERS, Outline, RecipeUnreadable
from costing.recipe_text.rows import RecipeText, rows_of
from costing.recipe_text.text import outline_of_text

_MEASURED = re.compile(
    r"(?<=[0-9½¼¾⅓⅔⅛] )(cup|stick|tablespoon|teaspoon|tbsp|tsp|quart|pint|fl oz)s?\b", re.IGNORECASE
)
_METRIC = re.compile(r"[0-9] ?(?:g|kg|ml|l|cl|dl|grams?|litres?)\b")
_US_WORDS = re.compile(
    r"\b(stick|quart|all-purpose|all purpose|cilantro|scallion|kosher salt|heavy cream"
    r"|heavy whipping cream|half-and-half|confectioners|powdered sugar|eggplant|zucchini|arugula"
    r"|cornstarch|ground beef|ground turkey|molasses|graham|°F|degrees F|broil|skillet|ounces?"
    r"|pounds?|oz|lbs?)\b",
    re.IGNORECASE,
)
"""Words of US recipes; ounces and pounds are weighed elsewhere too, but seldom beside cups."""

_WEIGHTS = {"ounce", "ounces", "pound", "pounds", "oz", "lb", "lbs"}

_SAID = re.compile(rf"\bcups and spoons are ({'|'.join(Measures)})\b", re.IGNORECASE)
"""How a recipe says whose they are, as the command ``recipe`` writes it."""

_PAGE = re.compile(r"\s*<(?:!doctype html|html|head|body)\b", re.IGNORECASE)


def read_recipe(
    text: str, *, kind: Literal["text", "json"], measures: Measures | None, file_name: str
) -> RecipeText:
    r"""Read a recipe into rows for the sheets Recipes, Packs, Ingredients and Dishes.

    Parameters
    ----------
    text : str
        What the file holds: English lines as people write them, or a Recipe of schema.org in
        JSON-LD.
    kind : {"text", "json"}
        Which of the two.
    measures : Measures, optional
        Whose spoons, cups and pints the bare words are; ``None``: US customary when the recipe
        measures in cups, sticks or spoons and has a word only used there, else metric.
    file_name : str
        For the findings, and for the dish's name when the recipe has none.

    Returns
    -------
    RecipeText
        Rows by sheet, each original line in Note, and a finding for all that is uncertain. The
        place of a finding has the file as its sheet and the line's number as its row; in JSON
        the number counts the entries of recipeIngredient.

    Raises
    ------
    RecipeUnreadable
        With its finding, if the text is no recipe.
    ValueError
        If ``kind`` is another word.

    Examples
    --------
    >>> text = "Leek tart\n\nServes 4\n\n2 leeks, sliced\n200 g flour\n"
    >>> read = read_recipe(text, kind="text", measures=Measures.METRIC, file_name="tart.txt")
    >>> [(row["Ingredient"], row["Amount"], row["Unit"]) for row in read.rows["Recipes"]]
    [('leek', '2', 'each'), ('flour', '200', 'g')]
    >>> read.rows["Dishes"][0]["Makes"], read.findings
    ('4', [])
    """
    here = Place(file_name)
    if kind not in ("text", "json"):
        raise ValueError(f"kind must be text or json, not {kind!r}")
    if len(text) > MOST_CHARACTERS:
        finding = messages.file_too_large(here, len(text), MOST_CHARACTERS, "characters")
        raise RecipeUnreadable(finding)
    if measures is None and (plainly := _SAID.search(text)):
        measures = next(one for one in Measures if one.casefold() == plainly[1].casefold())
    said = () if measures else us_words(text)
    if measures is None:
        measures = Measures.US_CUSTOMARY if said else Measures.METRIC
    outlines: list[Outline]
    if kind == "json":
        outlines = outlines_of_json(text, file_name=file_name)
    elif _PAGE.match(text):
        raise RecipeUnreadable(messages.file_is_a_page(here))
    else:
        outlines = [outline_of_text(text, file_name=file_name, measures=measures)]
    if not any(group.lines for outline in outlines for group in outline.groups):
        raise RecipeUnreadable(messages.file_empty(here))
    read = rows_of(outlines, measures)
    if said:
        read.findings.insert(0, messages.measures_taken(here, said, measures.value))
    return replace(read, measures=measures)


def us_words(text: str) -> tuple[str, ...]:
    """The words of a recipe by which its cups and spoons are those of the US; none: no telling.

    Examples
    --------
    >>> us_words("2 cups all-purpose flour, 1 stick butter"), us_words("1 cup plain flour")
    (('all-purpose', 'cup', 'stick'), ())
    """
    measured = _MEASURED.findall(text)
    written = {word.casefold() for word in (*_US_WORDS.findall(text), *measured)}
    local = {word.casefold() for word in _US_WORDS.findall(text)}
    cups = any(word.casefold() in ("cup", "stick") for word in measured)
    metric = len(_METRIC.findall(text)) > len(measured)
    certain = measured and (local - _WEIGHTS or (local and cups)) and not metric
    return tuple(sorted(written)) if certain else ()
