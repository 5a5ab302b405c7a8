"""Words beside a food's name, from ``food_words.toml``: its cut, its form, its size, its piece.

The cut of a recipe line finds the measure that is printed for it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from costing.names import food_key
from costing.reference.files import table_rows

WORD_FILE = Path(__file__).with_name("food_words.toml")
_WORDS = tomllib.loads(WORD_FILE.read_text(encoding="utf-8"))

SIZES = tuple(_WORDS["sizes"])
"""Sizes a name may begin with: ``large eggs`` are eggs of the size large."""

PREPARATION_WORDS = frozenset(_WORDS["preparation"])
"""Words that tell how a food is prepared or picked, weighed lightly when suggesting."""

CUT_SPELLINGS: dict[str, str] = {
    other: cut for cut, others in _WORDS["cuts"].items() for other in others
}
"""Other words for a cut, and the word the tables use."""

CUTS_ALIKE = tuple(map(frozenset, _WORDS["cuts_alike"]))
"""Cuts that fill a cup nearly alike: one may stand for another of its family, visibly."""

WORDS_BESIDE_A_CUT = re.compile(rf"\b(?:{'|'.join(_WORDS['beside_a_cut'])})\b")
"""Words that go with a cut and choose no measure."""


def cut_word(text: str) -> str:
    """A cut as the tables spell it, without the words that choose no measure.

    Examples
    --------
    >>> cut_word("Finely Chopped"), cut_word("peeled and cubes"), cut_word("peeled")
    ('chopped', 'cubed', '')
    """
    plain = " ".join(text.casefold().replace(",", " ").split())
    if plain in CUT_SPELLINGS:
        return CUT_SPELLINGS[plain]
    # a whole phrase is looked up before words are taken off it
    bare = " ".join(WORDS_BESIDE_A_CUT.sub(" ", plain).split())
    return CUT_SPELLINGS.get(bare, bare)


def same_family(cut: str, other: str) -> bool:
    """Whether two cuts fill a cup nearly alike.

    Examples
    --------
    >>> same_family("diced", "chopped"), same_family("diced", "sliced")
    (True, False)
    """
    return any(cut in family and other in family for family in CUTS_ALIKE)


FORM_WORDS = frozenset(_WORDS["forms"])
"""Words that say in which form a food is bought: salmon fillet, bone-in pork chop."""

PIECE_WORDS = frozenset(_WORDS["pieces"])
"""Words that say which piece of a food is counted: lettuce leaf, wedge of lemon."""

TABLE_PIECES = {word: tuple(words) for word, words in _WORDS["table_pieces"].items()}
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
    words = TABLE_PIECES.get(word) or ((word,) if word in FORM_WORDS | PIECE_WORDS else ())
    return next((one for one in words if one in known), "")
