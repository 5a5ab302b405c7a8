"""The ingredient's name: what is in front of it, and its piece or container."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from costing.names import singular
from costing.recipe_text.leading import AmountKind, Leading
from costing.recipe_text.words import (
    ADVERBS,
    BOUGHT_MINCED,
    DRINKS,
    FRESH_CUTS,
    FRONT_CUTS,
    HOT,
    KEPT_CONTAINERS,
    QUALITIES,
    SIZES,
    TEMPERATURES,
)
from costing.reference import find_food

_FRONT = re.compile(r"([^\W\d_]+(?:-[^\W\d_]+)*)\.?\s+(?=\S)")
_GOOD = re.compile(r"(?:good|best) quality\s+(?=\S)", re.IGNORECASE)
_SIZE_WORDS = re.compile(r"(?:extra|very)[ -](?:large|small)\s+(?=\S)", re.IGNORECASE)
_ROOM = re.compile(r"room[ -]temperature\s+(?=\S)", re.IGNORECASE)
_WITH = re.compile(r" (?:with|without) ", re.IGNORECASE)
_JOIN = re.compile(r"(?:,\s*|\s*(?:,\s*)?(?:and|&)\s+)(?=\S)")
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")


@dataclass(slots=True)
class Name:
    """A name with what stood in front of it.

    Parameters
    ----------
    text : str
        The name.
    cuts : list of str
        What is done to the food.
    sizes : list of str
        Small, large.
    remarks : list of str
        State and quality.
    """

    text: str
    cuts: list[str] = field(default_factory=list)
    sizes: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def front_taken_off(text: str, *, counted: bool, cuts: bool) -> Name:
    """Give the name without sizes, states and cuts in front of it.

    Parameters
    ----------
    text : str
        From the name on.
    counted : bool
        Whether pieces are counted: only then a size is no part of the name.
    cuts : bool
        Whether "chopped" is something to be done; in a tin it is done already.

    Examples
    --------
    >>> name = front_taken_off("large ripe tomatoes", counted=True, cuts=True)
    >>> name.text, name.sizes, name.remarks
    ('tomatoes', ['large'], ['ripe'])
    >>> front_taken_off("finely chopped fresh mint", counted=False, cuts=True).cuts
    ['finely chopped']
    """
    name = Name(text)
    while _one_off(name, counted=counted, cuts=cuts):
        pass
    return name


def _one_off(name: Name, *, counted: bool, cuts: bool) -> bool:
    """Take one word off the front of a name that is no part of it; whether there was one."""
    for pattern, taken in ((_GOOD, name.remarks), (_ROOM, name.remarks), (_SIZE_WORDS, name.sizes)):
        found = pattern.match(name.text)
        if found and (counted or pattern is not _SIZE_WORDS):
            return _take(name, taken, found.end())
    word = _FRONT.match(name.text)
    if word is None:
        return False
    low, rest = word[1].casefold(), name.text[word.end() :]
    if counted and low in SIZES:
        return _take(name, name.sizes, word.end())
    if low in QUALITIES or (low in TEMPERATURES and not rest.casefold().startswith("cuts")):
        return _take(name, name.remarks, word.end())
    if low in HOT and any(w.casefold() in DRINKS for w in _WORD.findall(rest)):
        return _take(name, name.remarks, word.end())
    end = cut_end(name.text) if cuts else 0
    if _sold_so(name.text, end):
        return False
    return bool(end) and _take(name, name.cuts, end)


def _take(name: Name, taken: list[str], end: int) -> bool:
    taken.append(name.text[:end].strip(" ,"))
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
        if low == "minced" and _bought_minced(text[word.end() :]):
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
    if not end or text.casefold().startswith("grated"):
        return False
    whole, bare = find_food(text).food, find_food(text[end:]).food
    return whole is not None and whole != bare


def _bought_minced(rest: str) -> bool:
    return any(word.casefold() in BOUGHT_MINCED for word in _WORD.findall(rest))


def singular_name(name: str) -> str:
    """Give a name with its last word in the singular.

    Examples
    --------
    >>> singular_name("green chillies"), singular_name("sardines in oil")
    ('green chilli', 'sardines in oil')
    """
    head, blank, last = name.rpartition(" ")
    return head + blank + singular(last)


def named(name: str, leading: Leading) -> str:
    """Give the name as the Ingredient cell has it.

    A counted food is named in the singular, with its piece or container; a tin or can whose
    size is known is recognised by "tinned" or "canned" in front.
    """
    one = singular(leading.word.casefold())
    if leading.size is not None:
        kept = KEPT_CONTAINERS.get(one, "")
        return f"{kept} {name}" if kept and not _says(name, kept, one) else name
    if not leading.counted or leading.kind in (AmountKind.VAGUE, AmountKind.LENGTH):
        return name
    if leading.called:
        of_it = leading.called.endswith("'") or " " in leading.called
        joined = "" if leading.called.endswith(("'", "’")) else " "
        return f"{leading.called}{joined}{name}" if of_it else f"{name} {leading.called}"
    if leading.kind in (AmountKind.PIECE, AmountKind.CONTAINER):
        food, blank, rest = _split_with(name)
        return f"{singular_name(food)} {one}{blank}{rest}"
    return singular_name(name)


def _split_with(name: str) -> tuple[str, str, str]:
    """Give a name and what it comes with: celery, with leaves."""
    found = _WITH.search(name)
    return (name[: found.start()], found[0], name[found.end() :]) if found else (name, "", "")


def _says(name: str, *words: str) -> bool:
    return any(word.casefold() in words for word in _WORD.findall(name))
