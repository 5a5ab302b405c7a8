"""Which line heads the ingredients of a part: For the dough, FILLING, [Sauce], A."""

from __future__ import annotations

import re
from collections.abc import Sequence

from costing.quantities import Measures
from costing.recipe_text.lines import read_line, tidied
from costing.recipe_text.outline import SourceLine
from costing.recipe_text.sections import (
    BOLD,
    BRACKET_BEHIND,
    FOR,
    plain_line,
    reads_as_ingredient,
)
from costing.recipe_text.words import DISH_PARTS
from costing.reference import find_food

LONGEST_HEADING = 60
"""A longer line with a colon at its end is no heading. [characters]"""

WORDS_OF_A_PART = 3
"""What a part of a dish is called has at most so many. [words]"""

_FOR_DOING = re.compile(r"for [^\W\d_]+(?: [^\W\d_]+){0,3}", re.IGNORECASE)
"""For pressure cooking: no name of a food begins so."""

_BRACKETED = re.compile(r"[\[【〈<](?P<name>[^\[\]【】〈〉<>]+)[\]】〉>]")
_LETTER = re.compile(r"[A-E]")
"""As Japanese recipes call what is mixed before: A."""


def heads(plain: str, *, below: str, measures: Measures) -> bool:
    """Whether a line heads ingredients, wherever it stands.

    Examples
    --------
    >>> heads("For frying:", below="", measures=Measures.METRIC)
    True
    >>> heads("A", below="1 tbsp soy", measures=Measures.METRIC)
    True
    >>> heads("butter", below="1 tbsp soy", measures=Measures.METRIC)
    False
    """
    plain = BRACKET_BEHIND.sub(r"\1", plain)  # For the dough (makes 2 bases):
    if len(plain) > LONGEST_HEADING or any(sign.isdecimal() for sign in plain):
        return False
    if plain.endswith(":") or FOR.fullmatch(plain) is not None:
        return True
    marked = (_FOR_DOING, _BRACKETED, _LETTER)
    return any(one.fullmatch(plain) for one in marked) and (
        reads_as_ingredient(below) or bool(read_line(below, measures).amount)
    )


def heading_of(plain: str) -> str:
    """What a heading calls its part.

    Examples
    --------
    >>> heading_of("For the dough:"), heading_of("[Miso glaze]")
    ('For the dough', 'Miso glaze')
    """
    bracketed = _BRACKETED.fullmatch(plain)
    return (bracketed["name"] if bracketed else plain).strip().rstrip(" :")


def stands_out(text: str, plain: str, *, below: str, apart: bool, shouted: bool) -> bool:
    """Whether bold or capital letters, or a part of a dish, head the ingredients below."""
    if len(plain) > LONGEST_HEADING or any(sign.isdecimal() for sign in plain):
        return False
    capitals = plain.isupper() and not shouted and sum(map(str.isalpha, plain)) > 2
    words = plain.casefold().split()
    part = apart and len(words) <= WORDS_OF_A_PART and not DISH_PARTS.isdisjoint(words[-1:])
    return (capitals or part or BOLD.match(text) is not None) and reads_as_ingredient(below)


def parts_named(sources: Sequence[SourceLine]) -> frozenset[int]:
    """Which lines call the parts of the dish by a name alone, where several have one each: Fool.

    Examples
    --------
    >>> rows = ["Trifle", "", "Sponge", "2 eggs", "", "Fool", "1 kg rhubarb", "", "salt", "1 egg"]
    >>> sources = [SourceLine(at, row) for at, row in enumerate(rows) if row]
    >>> sorted(sources[at].text for at in parts_named(sources))
    ['Fool', 'Sponge']
    """
    rows = [source.number for source in sources]
    found = [
        at
        for at in range(1, len(rows) - 1)
        if rows[at - 1] + 1 < rows[at] == rows[at + 1] - 1
        and _names_a_part(plain_line(tidied(sources[at].text)))
        and reads_as_ingredient(plain_line(tidied(sources[at + 1].text)))
    ]
    return frozenset(found if len(found) > 1 else ())


def _names_a_part(plain: str) -> bool:
    """Whether a line may be what a part of a dish is called, and is no food."""
    words = plain.split()
    named = 0 < len(words) <= WORDS_OF_A_PART and all(map(str.isalpha, words))
    return named and plain[0].isupper() and find_food(plain).how == "none"
