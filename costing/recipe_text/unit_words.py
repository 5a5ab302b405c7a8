"""Units at the start of a text, and how they are written into the Unit cell."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from costing.quantities import (
    Dimension,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    find_unit,
    known_unit_names,
)
from costing.recipe_text import messages
from costing.recipe_text.doubts import Doubt, doubt
from costing.recipe_text.singular import singular
from costing.recipe_text.words import LENGTHS, UNCLEAR_UNITS

MOST_WORDS = 4
"""A unit's name has no more words: rice cooker cup."""

_WORDS = re.compile(r"[ -]?([^\W\d_]+\.?)")
_NOT_BEHIND = re.compile(r"[-‐'’][^\W\d_]")
_OF = re.compile(r" ?\bof\b ?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class UnitWord:
    """A unit as a line says it.

    Parameters
    ----------
    shown : str
        For the Unit cell.
    unit : Unit, optional
        ``None`` when the word is no unit under these measures.
    doubts : tuple of Doubt
        What is uncertain about it.
    """

    shown: str
    unit: Unit | None
    doubts: tuple[Doubt, ...] = ()

    @property
    def weighs(self) -> bool:
        """Whether it is a weight."""
        return self.unit is not None and self.unit.dimension is Dimension.MASS

    @property
    def exact_volume(self) -> bool:
        """Whether it is a volume that means the same everywhere."""
        return self.shown in ("ml", "l", "cl", "dl")

    @property
    def counts(self) -> bool:
        """Whether it counts pieces."""
        return self.unit is not None and self.unit.dimension is Dimension.COUNT


@cache
def _in_every_system(word: str) -> frozenset[Unit | None]:
    found: set[Unit | None] = set()
    for measures in Measures:
        try:
            found.add(find_unit(word, measures))
        except (UnknownUnit, UnitNeedsSystem):
            found.add(None)
    return frozenset(found)


@cache
def is_measure_word(word: str) -> bool:
    """Whether one word is a unit under some setting, or a unit of length."""
    low = word.casefold().rstrip(".")
    return low in LENGTHS or low.rstrip("s") in LENGTHS or _in_every_system(word) != {None}


@cache
def unit_word(word: str, measures: Measures) -> UnitWord | None:
    """Give the unit that a word means, ``None`` when it is none.

    A word that means another unit under another setting keeps its short form, so that the
    setting Measures goes on deciding what it means.

    Examples
    --------
    >>> unit_word("tablespoons", Measures.METRIC).shown, unit_word("US cup", Measures.METRIC).shown
    ('tbsp', 'US cup')
    >>> unit_word("onions", Measures.METRIC) is None
    True
    """
    plain = word.rstrip(".")
    try:
        unit = find_unit(word, measures)
    except UnitNeedsSystem as fault:
        said = doubt(messages.unit_differs, plain, fault.choices)
        return UnitWord(plain, None, (said,))
    except UnknownUnit as fault:
        if not {plain.casefold(), singular(plain.casefold())} & UNCLEAR_UNITS:
            return None
        return UnitWord(plain, None, (doubt(messages.unit_unclear, plain, fault.nearest),))
    if len(_in_every_system(word)) == 1:
        return UnitWord(unit.name, unit)
    shown = (name for name in known_unit_names(measures) if find_unit(name, measures) == unit)
    return UnitWord(next(shown), unit)


def unit_at(text: str, measures: Measures) -> tuple[UnitWord, str] | None:
    """Give the unit at the start of ``text`` and what follows it, ``None`` when there is none.

    Examples
    --------
    >>> found, rest = unit_at("g plain flour", Measures.METRIC)
    >>> found.shown, rest
    ('g', ' plain flour')
    """
    ends: list[tuple[str, int]] = []
    at = 0
    while len(ends) < MOST_WORDS and (word := _WORDS.match(text, at)):
        at = word.end()
        ends.append((text[:at].strip(" -"), at))
    for words, end in reversed(ends):
        if _NOT_BEHIND.match(text, end):
            continue
        found = unit_word(words, measures)
        if found is not None:
            return found, text[end:]
    return None


def without_of(text: str) -> str:
    """Give a text without "of" in front.

    Examples
    --------
    >>> without_of(" of honey"), without_of("offal")
    ('honey', 'offal')
    """
    stripped = text.strip()
    of = _OF.match(stripped)
    return stripped[of.end() :] if of else stripped
