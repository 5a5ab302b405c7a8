"""How much of a line a step takes: half of the oil, 50 g of the butter, the remaining flour."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from costing.names import singular
from costing.quantities import EACH, Amount, Measures
from costing.recipe_text.counts import count_at
from costing.recipe_text.measured import COOKBOOK_ROUNDING, measured_at
from costing.recipe_text.words import (
    ADVERBS,
    ARTICLES,
    BEFORE_NAME,
    BY_EYE,
    CONTAINERS,
    CUTS,
    FRACTION_WORDS,
    HOT,
    MODIFIERS,
    NUMBER_WORDS,
    PIECES,
    UNNAMED,
    VAGUE,
)

LONGEST_SHARE = 60
"""Before a name nothing is read that is further away. [characters]"""

_CLAUSE = re.compile(r"[,;:!?()]|\.(?![0-9])(?=\s+[A-Z]|\s*$)")
_WORD_BEHIND = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*['’]?\s*$")
_SKIPPED = ADVERBS | ARTICLES | BEFORE_NAME | CUTS | HOT | MODIFIERS | UNNAMED
_HOLDERS = (PIECES | CONTAINERS) - FRACTION_WORDS.keys() - BY_EYE
_NUMBER_ENDS = re.compile(r"[0-9½¼¾⅓⅔⅛]\s*$")
_REST = re.compile(
    r"\b(?:remaining|remainder|rest|leftover|left-over|last|other (?:half|third|quarter)"
    r"|rest[eo]n?|restliche[nrs]?|übrige[nrs]?|restantes?|rimanente|overige)\s*$",
    re.IGNORECASE,
)
_REST_BEHIND = re.compile(
    r"\s+(?:restante?s?|rimanent[ei]|rimast[oaie]|sobrantes?)\b", re.IGNORECASE
)
"""Where a noun stands before what is said of it: il burro rimasto, le beurre restant."""

_RESERVED = re.compile(r"\b(?:reserved|set-aside)\s*$", re.IGNORECASE)
_UNKNOWN = re.compile(
    r"\b(?:most|some|little|bit|more|few|much|enough|extra|any|another|scant"
    rf"|(?:{'|'.join(sorted(BY_EYE | VAGUE))})s?)\s*$",
    re.IGNORECASE,
)
_BUT = re.compile(r"\ball but (?:about )?$", re.IGNORECASE)
_BEHIND_REST = re.compile(r"\b(?:remaining|last|reserved|rest of the)\s*$", re.IGNORECASE)
_OF_THE = re.compile(r"\s+(?:of )?the\s*$", re.IGNORECASE)
_HELD = re.compile(
    r"\b(?:reserv(?:e|ing)|set(?:ting)? aside|put(?:ting)? aside|keep(?:ing)?|sav(?:e|ing)"
    r"|hold(?:ing)? back)\b",
    re.IGNORECASE,
)
_HALF_ABROAD = r"moitié|metà|mitad|metade|hälften?|helft|halvdelen"
_FRACTION = re.compile(
    r"(?:(?:an?|one|two|three) |(?<![0-9])[1-9] ?|\b)(?:two-|three-|one-)?"
    r"(?:half|thirds?|quarters?|fourths?|fifths?|sixths?|eighths?)\s*$"
    rf"|\b(?:{_HALF_ABROAD})\s*$"
    r"|(?<![0-9.])(?:[1-9][/⁄][1-9]|[½¼¾⅓⅔⅕⅖⅗⅘⅙⅛⅜])\s*$",
    re.IGNORECASE,
)
_ANOTHER = re.compile(r"\banother(?= [^\W\d])", re.IGNORECASE)
_WORDED = re.compile(r"(?:(an?|one|two|three|[1-9])[ -]?)?([a-z]+?)s?", re.IGNORECASE)
_PARTS = {**FRACTION_WORDS, "fifth": 5, "sixth": 6}
"""Of an amount in a list "a fifth" is none: there it is a bottle."""
_NUMBER = re.compile(
    r"(?<![\w.,/⁄])(?:[0-9½¼¾⅓⅔⅛]|\b(?:an?|one|two|three|four|five|six|half)\b)", re.IGNORECASE
)


_UNNAMED_REST = re.compile(
    r"\b(?:repeat|rest|remain\w*|leftover|other|second|another|each|every|per|at a time|batches"
    r"|rest[eo]n?|restliche[nrs]?|übrige[nrs]?|restantes?|rimanente|rimasto|overige)\b",
    re.IGNORECASE,
)
"""Words by which the rest is taken without its name, or as much again."""


class ShareKind(StrEnum):
    """What a step says of how much it takes."""

    NOTHING = "nothing"
    UNKNOWN = "unknown"
    PART = "part"
    PART_OF_REST = "part of the rest"
    ALL_BUT = "all but"
    REST = "rest"
    RESERVED = "reserved"


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a line is taken where a step names it.

    Parameters
    ----------
    part : Fraction
        Of all of it, or of the rest. [of 1]
    held : bool
        Whether it is put aside for later.
    """

    kind: ShareKind = ShareKind.NOTHING
    part: Fraction = Fraction(0)
    held: bool = False


def share_before(
    text: str, *, own: Iterable[str], line: Amount | None, measures: Measures
) -> Share:
    """Read what stands before a name.

    Parameters
    ----------
    text : str
        The step up to the name.
    own : iterable of str
        Other words of the name, which may stand between: half of the *caster* sugar.
    line : Amount, optional
        All of it; ``None``: not known, and grams of it are no part.

    Examples
    --------
    >>> share_before("Melt half of the ", own=(), line=None, measures=Measures.METRIC).part
    Fraction(1, 2)
    >>> share_before("Add the remaining ", own=(), line=None, measures=Measures.METRIC).kind
    <ShareKind.REST: 'rest'>
    """
    near = text[-LONGEST_SHARE:]
    clause = _CLAUSE.split(near)[-1]
    said = _without_skipped(clause, {word.casefold() for word in own})
    of = len(said) < len(clause)
    share = _share(_ANOTHER.sub("one", said), line, measures, of=of)
    if share.kind in (ShareKind.PART, ShareKind.REST) and _HELD.search(clause):
        return Share(share.kind, share.part, held=True)
    return share


def rest_behind(text: str) -> bool:
    """Whether what stands behind a name says that it is the rest of it.

    Examples
    --------
    >>> rest_behind(" rimasto e mescolate"), rest_behind(", che è rimasto"), rest_behind(" e")
    (True, False, False)
    """
    return _REST_BEHIND.match(text) is not None


def _without_skipped(text: str, own: set[str]) -> str:
    """A text without the words at its end that say nothing of how much."""
    while word := _WORD_BEHIND.search(text):
        low = word[0].strip(" '’").casefold()
        before = text[: word.start()]
        holds = singular(low) in _HOLDERS
        if holds and _NUMBER_ENDS.search(before):
            return before  # 2 cloves of the garlic: the pieces go with the number
        if not (low in _SKIPPED or low in own or holds):
            return text
        text = before
    return text


def _share(said: str, line: Amount | None, measures: Measures, *, of: bool) -> Share:
    if _RESERVED.search(said):
        return Share(ShareKind.RESERVED)
    rest = _REST.search(said)
    fraction = _FRACTION.search(_OF_THE.sub(" ", said[: rest.start()]) if rest else said)
    if rest:
        part = Share(ShareKind.PART_OF_REST, _value(fraction[0])) if fraction else None
        return part or Share(ShareKind.REST)
    if fraction and _BEHIND_REST.search(said[: fraction.start()]):
        return Share(ShareKind.REST)
    if _UNKNOWN.search(said):
        return Share(ShareKind.UNKNOWN)
    if fraction and (of or not fraction[0][0].isnumeric()):
        if _BUT.search(said[: fraction.start()]):
            return Share(ShareKind.ALL_BUT, _value(fraction[0]))
        return Share(ShareKind.PART, _value(fraction[0]))
    return _measured(said, line, measures)


def _value(written: str) -> Fraction:
    """A fraction that was found: two-thirds, 2 thirds, ⅔; a half where it is said abroad."""
    text = written.strip().casefold()
    found = _WORDED.fullmatch(text)
    if found and found[2] in _PARTS:
        top = found[1] or "one"
        return Fraction(int(top) if top.isdecimal() else NUMBER_WORDS.get(top, 1), _PARTS[found[2]])
    counted = count_at(text)
    return (counted and counted[0].low) or Fraction(1, 2)


def _measured(said: str, line: Amount | None, measures: Measures) -> Share:
    """An amount at the end of a text, as a part of the line."""
    for number in _NUMBER.finditer(said):
        text = said[number.start() :]
        found = measured_at(text, measures)
        counted = count_at(text) if found is None else None
        if found is not None and not found[1].strip():
            count, unit = found[0].count, found[0].unit.unit if found[0].unit else EACH
        elif counted is not None and not counted[1].strip():
            if counted[0].written.casefold() in ("a", "an"):
                return Share()
            count, unit = counted[0], EACH
        else:
            continue
        before = said[: number.start()]
        if _BEHIND_REST.search(before):
            return Share(ShareKind.REST)
        if line is None or unit is None or count.low is None or count.low != count.high:
            return Share(ShareKind.UNKNOWN)
        if unit.dimension is not line.dimension or not line.base:
            return Share(ShareKind.UNKNOWN)
        part = count.low * unit.size / line.base
        return Share(ShareKind.ALL_BUT if _BUT.search(before) else ShareKind.PART, part)
    return Share()


def rest_of_several(words: Sequence[str], names: Sequence[bool]) -> bool:
    """Whether the rest is said of several: the remaining milk, butter *and sugar*.

    Parameters
    ----------
    words : sequence of str
        The words before a name.
    names : sequence of bool
        For each whether it is of another name.

    Examples
    --------
    >>> rest_of_several(["add", "remaining", "milk", "and"], [False, False, True, False])
    True
    """
    for word, named in zip(reversed(words), reversed(names), strict=True):
        if not (named or word in _SKIPPED or word == "and"):
            return word in ("remaining", "rest")
    return False


def divided(said: Sequence[tuple[int, Share]]) -> dict[int, Fraction]:
    """Divide a line over the steps that say how much of it they take; empty: they do not add up.

    ``said``: wherever the method names it, the step and how much, in the order of the text.

    Examples
    --------
    >>> half = Share(ShareKind.PART, Fraction(1, 2))
    >>> divided([(2, half), (3, Share(ShareKind.REST))])
    {2: Fraction(1, 2), 3: Fraction(1, 2)}
    >>> divided([(2, half), (3, Share())])
    {}
    """
    left, held, begun = Fraction(1), Fraction(0), False
    takes: dict[int, Fraction] = {}
    for step, share in said:
        if share.kind is ShareKind.NOTHING and begun:
            continue  # what was added is named again
        if share.kind in (ShareKind.NOTHING, ShareKind.UNKNOWN) or not (
            begun or share.kind in (ShareKind.PART, ShareKind.ALL_BUT)
        ):
            return {}
        begun = True
        if share.kind is ShareKind.RESERVED and held:
            part, held = held, Fraction(0)
        else:
            part = _part(share, left)
            left -= part
        if part <= 0 or left < 0:
            return {}
        if share.held:
            held += part
        else:
            takes[step] = takes.get(step, Fraction(0)) + part
    return {} if left or held or len(takes) < 2 else takes


def said_of_it(shares: Sequence[Share], onward: str) -> Fraction:
    """How much of a line is said to be taken in all; 1 where the rest may be meant unnamed.

    Parameters
    ----------
    shares : sequence of Share
        Wherever its one step names it, in the order of the text.
    onward : str
        That step and those behind it.

    Examples
    --------
    >>> half = Share(ShareKind.PART, Fraction(1, 2))
    >>> said_of_it([half], "Whisk half the eggs. Bake."), said_of_it([half], "Then repeat.")
    (Fraction(1, 2), Fraction(1, 1))
    """
    said = [share for share in shares if share.kind is not ShareKind.NOTHING]
    whole = not said or shares[0].kind is ShareKind.NOTHING or _UNNAMED_REST.search(onward)
    if whole or any(share.kind not in (ShareKind.PART, ShareKind.ALL_BUT) for share in said):
        return Fraction(1)
    parts = [share.part if share.kind is ShareKind.PART else 1 - share.part for share in said]
    taken = sum(parts, start=Fraction(0))
    return taken if abs(taken - 1) > COOKBOOK_ROUNDING else Fraction(1)


def _part(share: Share, left: Fraction) -> Fraction:
    if share.kind is ShareKind.ALL_BUT:
        return left - share.part
    if share.kind is ShareKind.PART_OF_REST:
        return left * share.part
    return share.part if share.kind is ShareKind.PART else left
