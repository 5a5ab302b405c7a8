"""Whose cups and spoons those of a recipe are, as its text says or shows."""

from __future__ import annotations

import re
from fractions import Fraction

from costing.quantities import Measures, find_unit, read_number

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

_AMOUNT = r"(?P<{0}>[0-9]+ [0-9]/[0-9]|[0-9]+/[0-9]|[0-9]*[½¼¾⅓⅔⅛]|[0-9.]+)"
_CUP_IN_ML = re.compile(
    rf"(?<![0-9/.–-]){_AMOUNT.format('cups')} ?cups? ?[(/] ?{_AMOUNT.format('ml')} ?ml\b\)?"
    rf"|(?<![0-9/.–-]){_AMOUNT.format('ml_first')} ?ml ?[(/] ?"
    rf"{_AMOUNT.format('cups_behind')} ?cups?\b\)?",
    re.IGNORECASE,
)
"""A cup with its size beside it, as "1 cup (240 ml)"."""

NEAR = Fraction(3, 100)
"""So near comes the size that a recipe gives a cup to that of the cup it means. [of 1]"""


def measures_said(text: str) -> Measures | None:
    """Whose they are where a recipe says it in words, as the command ``recipe`` writes them."""
    plainly = _SAID.search(text)
    return next(
        (one for one in Measures if plainly and one.casefold() == plainly[1].casefold()), None
    )


def measures_shown(text: str, setting: Measures | None) -> tuple[Measures, tuple[str, ...]]:
    """Whose cups and spoons those of a recipe are, and the words that show it.

    Examples
    --------
    >>> text = "1 cup (240 ml) milk"
    >>> measures_shown(text, None)
    (<Measures.US_LABEL: 'US label'>, ('1 cup (240 ml)',))
    >>> measures_shown(text, Measures.US_CUSTOMARY)[0].value  # cookbooks round 237 ml to 240
    'US customary'
    """
    words = us_words(text)
    fits, sizes = _cups_of_a_size(text)
    if fits:
        if words and Measures.US_CUSTOMARY in fits:
            fits.insert(0, Measures.US_CUSTOMARY)
        return (setting if setting in fits else fits[0]), (*sizes, *words)
    if words:
        of_us = setting in (Measures.US_CUSTOMARY, Measures.US_LABEL)
        return (setting if setting and of_us else Measures.US_CUSTOMARY), words
    return setting or Measures.METRIC, ()


def _cups_of_a_size(text: str) -> tuple[list[Measures], tuple[str, ...]]:
    """The measures whose cup is as large as a recipe says, the nearest first, and its words.

    Sizes that fit no cup, or not the same one, show nothing.
    """
    sizes: dict[str, Fraction] = {}
    for found in _CUP_IN_ML.finditer(text):
        cups = read_number(found["cups"] or found["cups_behind"]).low
        if cups:
            sizes[found[0]] = read_number(found["ml"] or found["ml_first"]).low / cups
    apart = {
        one: [abs(size / find_unit("cup", one).size - 1) for size in sizes.values()]
        for one in Measures
    }
    fits = [one for one in Measures if sizes and max(apart[one]) <= NEAR]
    return sorted(fits, key=lambda one: sum(apart[one])), tuple(sizes)


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
