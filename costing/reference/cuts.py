"""Words for how a food is cut: the cut of a recipe line finds the measure printed for it."""

from __future__ import annotations

import re

CUT_SPELLINGS = {
    "cubes": "cubed",
    "dice": "diced",
    "slices": "sliced",
    "slice": "sliced",
    "julienned": "strips",
    "julienne": "strips",
    "matchsticks": "strips",
    "halved": "halves",
    "half": "halves",
    "chunky": "chunks",
    "purée": "pureed",
    "puréed": "pureed",
    "puree": "pureed",
    "loose": "unpacked",
    "not packed": "unpacked",
    "stoned": "pitted",
    "entire": "whole",
    "uncut": "whole",
    "slithered": "slivered",
    "flaked": "sliced",
    "rings": "sliced",
    "leaf": "leaves",
    "quarters": "quartered",
    "segments": "sections",
}
"""Other words for a cut, and the word the tables use."""

CUTS_ALIKE = (
    frozenset({"chopped", "diced", "cubed", "pieces", "chunks"}),
    frozenset({"sliced", "strips"}),
    frozenset({"grated", "shredded"}),
)
"""Cuts that fill a cup nearly alike: one may stand for another of its family, visibly."""

WORDS_BESIDE_A_CUT = re.compile(
    r"\b(?:finely|thinly|thickly|roughly|coarsely|freshly|lightly|small|medium|large|fine|coarse"
    r"|very|and|peeled|trimmed|washed|deseeded|seeded|cored)\b"
)
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
