"""Forms and pieces that a name may say: salmon fillet, iceberg lettuce leaves, clove of garlic."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from costing.names import food_key
from costing.reference.files import table_rows

FORM_WORDS = frozenset(
    (
        *("bone", "boned", "boneless", "cored", "fillet", "gutted", "headed", "in", "on", "peeled"),
        *("shell", "shelled", "skin", "skinned", "steak", "unpeeled", "whole"),
    )
)
"""Words that say in which form a food is bought: salmon fillet, bone-in pork chop."""

PIECE_WORDS = frozenset(
    (
        *("ball", "bulb", "bunch", "clove", "ear", "floweret", "head", "leaf", "pod", "ring"),
        *("slice", "spear", "sprig", "stalk", "stick", "strip", "wedge"),
    )
)
"""Words that say which piece of a food is counted: lettuce leaf, wedge of lemon."""

TABLE_PIECES = {
    "floret": ("floweret",),
    "rasher": ("slice",),
    "rib": ("stalk",),
    "stick": ("stick", "stalk"),
}
"""Words of cooks for a piece, and the words of the tables, the first that is printed of a food."""


def form_words(text: str) -> frozenset[str]:
    """The words of a state or a piece as the tables print it, in the singular.

    Examples
    --------
    >>> sorted(form_words("bone-in, skin on"))
    ['bone', 'in', 'on', 'skin']
    """
    return frozenset(food_key(text).split())


@cache
def published_forms() -> Mapping[str, frozenset[str]]:
    """Words of the states and pieces that are published, by food."""
    forms: dict[str, frozenset[str]] = {}
    for table, columns in (("trim_yields", ("before", "after")), ("piece_weights", ("piece",))):
        for row in table_rows(table):
            words = form_words(" ".join(row[column] for column in columns))
            forms[row["food_id"]] = forms.get(row["food_id"], frozenset()) | words
    return forms


def published_form(word: str, known: frozenset[str]) -> str:
    """The word of the tables for a form or piece of a food, ``""`` when none is published."""
    if word not in FORM_WORDS | PIECE_WORDS and word not in TABLE_PIECES:
        return ""
    return next((one for one in TABLE_PIECES.get(word, (word,)) if one in known), "")
