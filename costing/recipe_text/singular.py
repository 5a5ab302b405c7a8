"""The singular of a counted food, so that 1 onion and 2 onions are one ingredient."""

from __future__ import annotations

from costing.recipe_text.words import (
    NO_PLURAL,
    SINGULAR_CHE,
    SINGULAR_I,
    SINGULAR_IE,
)

_LIKE_F = {"leaves": "leaf", "loaves": "loaf", "halves": "half", "knives": "knife"}
_STAYS = ("us", "ss", "is")


def singular(word: str) -> str:
    """Give the singular of one word; a word that is no plural stays as it is.

    Examples
    --------
    >>> [singular(word) for word in ("onions", "tomatoes", "cherries", "bay", "peaches", "leaves")]
    ['onion', 'tomato', 'cherry', 'bay', 'peach', 'leaf']
    """
    low = word.casefold()
    if len(low) < 4 or not low.endswith("s") or low.endswith(_STAYS) or low in NO_PLURAL:
        return word
    if low in _LIKE_F:
        return _LIKE_F[low]
    if low.endswith("ves") or low[:-1] in SINGULAR_CHE | SINGULAR_IE:
        return word[:-1]
    if low.endswith("ies"):
        short = word[:-2]
        return short if short.casefold() in SINGULAR_I else word[:-3] + "y"
    if low.endswith(("oes", "ches", "shes", "xes", "sses")):
        return word[:-2]
    return word[:-1]


def singular_name(name: str) -> str:
    """Give a name with its last word in the singular.

    Examples
    --------
    >>> singular_name("green chillies"), singular_name("sardines in oil")
    ('green chilli', 'sardines in oil')
    """
    head, blank, last = name.rpartition(" ")
    return head + blank + singular(last)
