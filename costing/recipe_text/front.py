"""What stands in front of a name and is no part of it: sizes, states, cuts, a word nobody knows."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache

from costing.names import food_key, singular
from costing.recipe_text.unit_words import is_measure_word
from costing.recipe_text.words import (
    ADVERBS,
    BOUGHT_MINCED,
    DRINKS,
    FRESH_CUTS,
    FRONT_CUTS,
    HOT,
    NAME_WORDS,
    QUALITIES,
    SIZES,
    TEMPERATURES,
)
from costing.reference import all_foods, find_food
from costing.reference.files import table_rows

_FRONT = re.compile(r"([^\W\d_]+(?:-[^\W\d_]+)*)\.?\s+(?=\S)")
_STATE_WORDS = re.compile(r"(?:(?:good|best) quality|room[ -]temperature)\s+(?=\S)", re.IGNORECASE)
_SIZE_WORDS = re.compile(
    r"(?:(?:extra|very)[ -](?:large|small)|(?:small|medium|large) sized?)\s+(?=\S)", re.IGNORECASE
)
_BUT = re.compile(
    r"(?:but|yet) (?:still |not too |not )?[^\W\d_]+(?:-[^\W\d_]+)*\s+(?=\S)", re.IGNORECASE
)
"""What a quality is limited by: ripe but firm."""
_NAMED_COLD = re.compile(r"(?:cuts|brew(?:ed)?|pressed|smoked)\b", re.IGNORECASE)
"""Behind "cold" they are of the name."""

_JOIN = re.compile(r"(?:,\s*|\s*(?:,\s*)?(?:and|&)\s+)(?=\S)")

WORDS = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
"""Words of letters, those with a hyphen whole."""


@dataclass(slots=True)
class NameFront:
    """A name with what stood in front of it."""

    text: str
    cuts: list[str] = field(default_factory=list)
    sizes: list[str] = field(default_factory=list)


def front_taken_off(text: str, *, counted: bool, cuts: bool) -> NameFront:
    """Give the name without sizes, states and cuts in front of it.

    Parameters
    ----------
    counted : bool
        Whether pieces are counted: only then a size is no part of the name.
    cuts : bool
        Whether "chopped" is something to be done; in a tin it is done already.

    Examples
    --------
    >>> name = front_taken_off("large ripe tomatoes", counted=True, cuts=True)
    >>> name.text, name.sizes
    ('tomatoes', ['large'])
    >>> front_taken_off("finely chopped fresh mint", counted=False, cuts=True).cuts
    ['finely chopped']
    """
    name = NameFront(text)
    while _one_off(name, counted=counted, cuts=cuts):
        pass
    return name


def _one_off(name: NameFront, *, counted: bool, cuts: bool) -> bool:
    """Take off the front of a name what is no part of it; whether there was anything.

    State and quality (ripe, cold) are left to the line in Note; sizes and cuts are kept.
    """
    if state := _STATE_WORDS.match(name.text):
        return _take(name, state.end())
    if counted and (size := _SIZE_WORDS.match(name.text)):
        return _take(name, size.end(), name.sizes)
    word = _FRONT.match(name.text)
    if word is None:
        return False
    low, rest = word[1].casefold(), name.text[word.end() :]
    if counted and low in SIZES:
        return _take(name, word.end(), name.sizes)
    chilled = low in TEMPERATURES and _NAMED_COLD.match(rest) is None
    hot = low in HOT and _says_any(rest, DRINKS)
    if low in QUALITIES or chilled or hot:
        but = _BUT.match(rest)
        return _take(name, word.end() + (but.end() if but else 0))
    end = cut_end(name.text) if cuts else 0
    return bool(end) and not _sold_so(name.text, end) and _take(name, end, name.cuts)


def _take(name: NameFront, end: int, kept: list[str] | None = None) -> bool:
    if kept is not None:
        kept.append(name.text[:end].strip(" ,"))
    name.text = name.text[end:].lstrip(" ,")
    return True


def cut_end(text: str) -> int:
    """Where the words end that say what is done to the food, 0 when none stand in front.

    Examples
    --------
    >>> text = "peeled and finely grated ginger"
    >>> text[cut_end(text):]
    'ginger'
    >>> cut_end("ground cumin"), cut_end("minced beef")
    (0, 0)
    """
    end, at, adverbs = 0, 0, []
    while word := _FRONT.match(text, at):
        low = word[1].casefold()
        if low in ADVERBS:
            adverbs.append(low)
            at = word.end()
            continue
        fresh = "freshly" in adverbs and low in FRESH_CUTS
        if not (fresh or low in FRONT_CUTS):
            break
        if low == "minced" and _says_any(text[word.end() :], BOUGHT_MINCED):
            break
        end = at = word.end()
        adverbs.clear()
        if joined := _JOIN.match(text, at):
            at = joined.end()
    return end


def _sold_so(text: str, end: int) -> bool:
    """Whether the words with the cut name another food: crushed red pepper, shredded coconut.

    What is grated is not: a shop sells it so too, and a recipe that says grated means the piece.
    """
    if text.casefold().startswith("grated"):
        return False
    whole, bare = find_food(text).food, find_food(text[end:]).food
    return whole is not None and whole != bare


def _says_any(text: str, words: frozenset[str]) -> bool:
    return any(word.casefold() in words for word in WORDS.findall(text))


@cache
def _food_words() -> frozenset[str]:
    """Every word of the names and synonyms of the published foods, in the singular."""
    names = [food.name for food in all_foods()]
    names += [row["synonym"] for row in table_rows("synonyms")]
    return frozenset(word for name in names for word in food_key(name).split())


def strange_word(name: str) -> str:
    """The first word of a counted food that may be a unit nobody knows here, else ``""``.

    A word is no stranger when it is in the word lists, is part of a published food's name, or
    has a capital and comes before one, as the name of a kind does.

    Examples
    --------
    >>> strange_word("blorps onions")
    'blorps'
    >>> strange_word("Maris Piper potatoes")
    ''
    """
    words: list[str] = WORDS.findall(name)
    if len(words) < 2:
        return ""
    first, last = words[0], words[-1]
    # a measure inside a name is one that the reader does not know: egg cup; anchovies in oil have
    # no inches
    measures = [is_measure_word(word) and word.casefold() != "in" for word in words[:-1]]
    inside = measures.index(True) if True in measures else 0
    if inside:
        return " ".join(words[: inside + 1])
    if _known(first) or (first.istitle() and _known(last)):
        return ""
    return first


def _known(word: str) -> bool:
    low = word.casefold()
    if {low, singular(low)} & NAME_WORDS:
        return True
    parts = food_key(word).split()
    return all(part in _food_words() or part in NAME_WORDS for part in parts)
