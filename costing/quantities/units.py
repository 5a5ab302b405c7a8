"""Units of food: a closed list, what one of each is, and the words a recipe calls it by.

The list is ``units.txt`` beside this module, a chain of factors a line; after it is read an amount
is a plain fraction of grams, millilitres or pieces. It is in the syntax of pint, with which the
tests read it too and compare: to import pint takes longer than most commands have to.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path

from costing.names import UnknownWord, nearest, singular

UNIT_FILE = Path(__file__).with_name("units.txt")
WORD_FILE = Path(__file__).with_name("unit_words.toml")


class Dimension(StrEnum):
    """What is measured; amounts of two dimensions never convert into each other by themselves.

    Portions and batches only measure what a dish makes.

    Examples
    --------
    >>> find_unit("cup", Measures.METRIC).dimension is Dimension.VOLUME
    True
    """

    MASS = "mass"
    VOLUME = "volume"
    COUNT = "count"
    PORTION = "portion"
    BATCH = "batch"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as it is shown, with its size.

    Parameters
    ----------
    name : str
        As shown: ``g``, ``US cup``. Found again by :func:`find_unit` under every setting.
    size : Fraction
        One of it. [g, ml or pieces]
    bare : str
        The word it was read from, where that word means another unit under other Measures.

    Examples
    --------
    >>> print(find_unit("cups", Measures.METRIC))
    metric cup
    """

    name: str
    dimension: Dimension
    size: Fraction
    bare: str = field(default="", compare=False, repr=False)

    def __str__(self) -> str:
        return self.name


GRAM = Unit("g", Dimension.MASS, Fraction(1))
MILLILITRE = Unit("ml", Dimension.VOLUME, Fraction(1))
EACH = Unit("each", Dimension.COUNT, Fraction(1))
PORTION = Unit("portion", Dimension.PORTION, Fraction(1))
BATCH = Unit("batch", Dimension.BATCH, Fraction(1))


class Measures(StrEnum):
    """Whose teaspoon, tablespoon, cup, fluid ounce and pint are meant by the bare words.

    Examples
    --------
    >>> find_unit("cup", Measures("Japanese")).size
    Fraction(200, 1)
    """

    US_CUSTOMARY = "US customary"
    US_LABEL = "US label"
    METRIC = "metric"
    AUSTRALIAN = "Australian"
    UK_IMPERIAL = "UK imperial"
    JAPANESE = "Japanese"


US_MEASURES = (Measures.US_CUSTOMARY, Measures.US_LABEL)

_PLACES: dict[Measures, tuple[str, ...]] = {
    Measures.US_CUSTOMARY: ("US",),
    Measures.US_LABEL: ("US label", "US"),
    Measures.METRIC: ("metric",),
    Measures.AUSTRALIAN: ("Australian", "imperial"),
    Measures.UK_IMPERIAL: ("British", "imperial"),
    Measures.JAPANESE: ("Japanese",),
}
"""Whose measures a setting means: the first place that has a unit of that name."""

_BY_PLACE = {
    "teaspoon": "tsp",
    "tablespoon": "tbsp",
    "cup": "cup",
    "fl oz": "fl oz",
    "gill": "gill",
    "pint": "pint",
    "quart": "quart",
    "gallon": "gallon",
}
"""Bare words that mean another unit under another setting, and how they are shown."""

_NAMED_CHOICES = ("US", "imperial")
"""Whose measure is offered where the setting has none."""

_WORDS = tomllib.loads(WORD_FILE.read_text(encoding="utf-8"))
_SPELLINGS = {other: word for word, others in _WORDS["spellings"].items() for other in others}
"""Short forms and other spellings of one word, in the singular."""

_SUGGESTIONS: dict[str, list[str]] = _WORDS["refused"]
"""What to offer for words that are refused because two cooks mean two things by them."""


class UnknownUnit(UnknownWord):
    """The text names no unit of the list.

    Examples
    --------
    >>> find_unit("grm", Measures.METRIC)
    Traceback (most recent call last):
        ...
    costing.quantities.units.UnknownUnit: no unit is called 'grm'; nearest: ...
    """

    said = "no unit is called {}"


class UnitNeedsSystem(ValueError):
    """The word is a unit in several systems, and the Measures setting has none of them.

    ``choices``: the named forms, which work under every setting.

    Examples
    --------
    >>> find_unit("fl oz", Measures.METRIC)
    Traceback (most recent call last):
        ...
    costing.quantities.units.UnitNeedsSystem: 'fl oz' differs by country; write US fl oz or ...
    """

    def __init__(self, text: str, choices: Sequence[str]) -> None:
        self.text = text
        self.choices = tuple(choices)
        super().__init__(f"{text!r} differs by country; write {' or '.join(self.choices)}")


def _key(text: str) -> str:
    """Give the form under which names are matched: case, plural, dots and spelling taken out."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    for sign in ".'’":
        plain = plain.replace(sign, "")
    words = (singular(word) for word in plain.replace("-", " ").replace("_", " ").split())
    return " ".join(_SPELLINGS.get(word, word) for word in words)


@cache
def _units() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """All units by the name they are shown by, in the order of the file, and by every key."""
    defined: dict[str, Unit] = {}
    shown: dict[str, Unit] = {}
    by_key: dict[str, Unit] = {}
    for line in UNIT_FILE.read_text(encoding="utf-8").splitlines():
        name, *parts = (part.strip() for part in line.partition("#")[0].split("="))
        if not parts:
            continue
        definition, symbol, *others = [*parts, "_"] if len(parts) == 1 else parts
        called = name if symbol == "_" else symbol
        unit = Unit(called.replace("_", " "), *_measured(definition, defined))
        defined[name] = shown[unit.name] = unit
        for word in (name, called, *others):
            key = _key(word.replace("_", " "))
            # a word that names two units would be whichever stands first in the file
            if by_key.setdefault(key, unit) is not unit:
                raise ValueError(f"two units share the name {word!r}")
    return shown, by_key


def _measured(definition: str, defined: Mapping[str, Unit]) -> tuple[Dimension, Fraction]:
    """What a definition measures and its size: numbers and one unit, multiplied or divided."""
    if definition.startswith("["):
        return Dimension(definition.strip("[]")), Fraction(1)
    size, base = Fraction(1), None
    for sign, word in re.findall(r"([*/]?)\s*([^\s*/]+)", definition):
        if word in defined:
            base, factor = defined[word], defined[word].size
        else:
            factor = Fraction(word)
        size = size / factor if sign == "/" else size * factor
    if base is None:
        raise ValueError(f"a unit is defined by no unit: {definition!r}")
    return base.dimension, size


def all_units() -> list[Unit]:
    """Every unit of the list, in the order of ``units.txt``."""
    return list(_units()[0].values())


@cache
def _bare_words(measures: Measures) -> dict[str, Unit]:
    """What the bare words mean under a setting; a word it has no unit for is left out."""
    shown, _ = _units()
    words = {}
    for word in _BY_PLACE:
        named = (f"{place} {word}" for place in _PLACES[measures])
        unit = next((shown[name] for name in named if name in shown), None)
        if unit is not None:
            words[word] = replace(unit, bare=_BY_PLACE[word])
    return words


@lru_cache(maxsize=4096)
def find_unit(text: str, measures: Measures) -> Unit:
    """Find the unit that a word means.

    Case, blanks around, dots, plurals and the usual short forms do not matter. Named forms such
    as ``US cup`` and ``imperial pint`` work under every setting.

    ``measures``: whose spoons, cups and pints the bare words are.

    Returns
    -------
    Unit
        Under its full name, so that it means the same wherever it is shown.

    Raises
    ------
    UnknownUnit
        If the list has no such unit, or the text is blank, or its letter is written for two
        units (``t``, ``c``).
    UnitNeedsSystem
        If the word is a unit elsewhere and not under this setting.

    Examples
    --------
    >>> find_unit("Cups", Measures.JAPANESE)
    Unit(name='Japanese cup', dimension=<Dimension.VOLUME: 'volume'>, size=Fraction(200, 1))
    >>> find_unit("tbsp.", Measures.AUSTRALIAN).size
    Fraction(20, 1)
    >>> find_unit("imperial pint", Measures.METRIC).size
    Fraction(454609, 800)
    """
    _, by_key = _units()
    key = _key(text)
    bare = _bare_words(measures)
    # the setting decides a bare word before the list does: a cup is its cup
    if key in bare:
        return bare[key]
    if key in by_key:
        return by_key[key]
    if key in _BY_PLACE:
        raise UnitNeedsSystem(text, [f"{place} {key}" for place in _NAMED_CHOICES])
    # refused before anything near is looked for: t is two units, and no slip of a third
    if key in _SUGGESTIONS:
        raise UnknownUnit(text, _SUGGESTIONS[key])
    raise UnknownUnit(text, _nearest(key, measures))


def _nearest(key: str, measures: Measures) -> list[str]:
    """Names that look like a key, as they are written under the setting."""
    names = {k: [unit.name] for k, unit in _units()[1].items()}
    names |= {word: [f"{place} {word}" for place in _NAMED_CHOICES] for word in _BY_PLACE}
    for word in _bare_words(measures):
        names[word] = names[_BY_PLACE[word]] = [_BY_PLACE[word]]
    near = nearest(key, names) if key else []
    return list(dict.fromkeys(name for k in near for name in names[k]))


def known_unit_names(measures: Measures) -> list[str]:
    """Names of units to choose from under a setting, the everyday ones first.

    Examples
    --------
    >>> known_unit_names(Measures.METRIC)[:9]
    ['g', 'kg', 'ml', 'l', 'tsp', 'tbsp', 'cup', 'each', 'oz']
    """
    bare = [_BY_PLACE[word] for word in _bare_words(measures)]
    everyday = ["g", "kg", "ml", "l", *bare, "each", "oz", "lb"]
    made = ["portion", "batch"]
    others = [unit.name for unit in all_units() if unit.name not in (*everyday, *made)]
    return [*everyday, *others, *made]
