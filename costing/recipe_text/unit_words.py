"""Units at the start of a text, how they are written into the Unit cell, and whose cups they are.

Words that are no unit of the list but are written as one are the near-units of
``reference/near_units.csv``: slips and short forms, spoons of other languages, pieces, packs and
measures by eye. What one is read as is said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from costing.names import singular
from costing.quantities import (
    EACH,
    US_MEASURES,
    Dimension,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    find_unit,
    known_unit_names,
    read_number,
)
from costing.recipe_text import messages
from costing.recipe_text.messages import Doubt, doubt
from costing.recipe_text.words import LENGTHS, UNCLEAR_UNITS
from costing.reference.files import table_rows

MOST_WORDS = 4
"""A unit's name has no more words: rice cooker cup."""

_WORDS = re.compile(r"[ -]?([^\W\d_]+\.?)")
_NOT_BEHIND = re.compile(r"[-‐'’][^\W\d_]")
_OF = re.compile(
    r"of\b ?|(?:de la|de l['’]|de|du|des|del|della|dello|degli|dei|delle|di)\b ?(?=[^\W\d_])"
    r"|(?:d|dell)['’](?=[^\W\d_])",
    re.IGNORECASE,
)
_FUL = re.compile(r"[^\W\d_]{3,}fuls?", re.IGNORECASE)
"""A mugful, a capful: by eye, whatever was filled."""


@dataclass(frozen=True, slots=True)
class UnitWord:
    """A unit as a line says it.

    Parameters
    ----------
    shown : str
        For the Unit cell.
    unit : Unit, optional
        ``None`` when the word is no unit under these measures.
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


@dataclass(frozen=True, slots=True)
class NearUnit:
    """A word that is where a unit is.

    Parameters
    ----------
    kind : str
        ``unit``, ``US unit`` (under US measures only), ``each``, ``piece``, ``pack``, ``eye`` or
        ``unclear``.
    means : str
        The unit, the piece or pack in the singular, or the units it may mean.
    """

    kind: str
    means: str


def _near_key(text: str) -> str:
    return " ".join(re.sub(r"[.\-‐]", " ", text.casefold()).split())


@cache
def _near_units() -> dict[str, NearUnit]:
    rows = table_rows("near_units")
    return {_near_key(row["word"]): NearUnit(row["kind"], row["means"]) for row in rows}


def near_piece_at(text: str) -> tuple[NearUnit, str] | None:
    """Give the piece, pack or measure by eye of another language at the start of ``text``.

    Examples
    --------
    >>> found, rest = near_piece_at(" gousses d'ail")
    >>> found.kind, found.means, rest
    ('piece', 'gousse', " d'ail")
    """
    for words, end in _words_at(text):
        near = _near_units().get(_near_key(words))
        if near is not None and near.kind in ("piece", "pack", "eye"):
            return near, text[end:]
        if near is None and " " not in words and _FUL.fullmatch(words):
            return NearUnit("eye", words), text[end:]
    return None


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
    setting Measures keeps deciding what it means.

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
        near = _near_unit(word, plain, measures)
        if near is not None:
            return near
        if not {plain.casefold(), singular(plain.casefold())} & UNCLEAR_UNITS:
            return None
        return UnitWord(plain, None, (doubt(messages.unit_unclear, plain, fault.nearest),))
    # a word that means one unit everywhere is written out; any other stays bare and follows
    # Measures
    if len(_in_every_system(word)) == 1:
        return UnitWord(unit.name, unit)
    shown = (name for name in known_unit_names(measures) if find_unit(name, measures) == unit)
    return UnitWord(next(shown), unit)


def _near_unit(word: str, plain: str, measures: Measures) -> UnitWord | None:
    """Give the unit that a near-unit is read as, with a doubt that says so."""
    near = _near_units().get(_near_key(word))
    if near is None or (near.kind == "US unit" and measures not in US_MEASURES):
        return None
    if near.kind == "unclear":
        return UnitWord(
            plain, None, (doubt(messages.unit_unclear, plain, near.means.split(" or ")),)
        )
    if near.kind == "each":
        return UnitWord("each", EACH)
    if near.kind not in ("unit", "US unit"):
        return None
    try:
        unit = find_unit(near.means, measures)
    except UnitNeedsSystem as fault:
        return UnitWord(plain, None, (doubt(messages.unit_differs, plain, fault.choices),))
    shown = near.means if len(_in_every_system(near.means)) > 1 else unit.name
    return UnitWord(shown, unit, (doubt(messages.unit_near, plain, shown),))


def _words_at(text: str) -> list[tuple[str, int]]:
    """The words at the start of a text and where they end, the most words first."""
    ends: list[tuple[str, int]] = []
    at = 0
    while len(ends) < MOST_WORDS and (word := _WORDS.match(text, at)):
        at = word.end()
        ends.append((text[:at].strip(" -"), at))
    return [(words, end) for words, end in reversed(ends) if not _NOT_BEHIND.match(text, end)]


def unit_at(text: str, measures: Measures) -> tuple[UnitWord, str] | None:
    """Give the unit at the start of ``text`` and what follows it, ``None`` when there is none.

    Examples
    --------
    >>> found, rest = unit_at("g plain flour", Measures.METRIC)
    >>> found.shown, rest
    ('g', ' plain flour')
    """
    for words, end in _words_at(text):
        found = unit_word(words, measures)
        if found is not None:
            return found, text[end:]
    return None


def of_at(text: str) -> str:
    """Give the word at the start of a text that says "of", in the languages of the near-units.

    Examples
    --------
    >>> of_at("of honey"), of_at("d'ail"), of_at("offal")
    ('of ', "d'", '')
    """
    of = _OF.match(text)
    return of[0] if of else ""


_MEASURED = re.compile(
    r"(?<=[0-9½¼¾⅓⅔⅛] )(cup|stick|tablespoon|teaspoon|tbsp|tsp|quart|pint|fl oz)s?\b", re.IGNORECASE
)
_METRIC = re.compile(r"[0-9] ?(?:g|kg|ml|l|cl|dl|grams?|litres?)\b")
_US_WORDS = re.compile(
    r"\b(stick|quart|all-purpose|all purpose|cilantro|scallion|kosher salt|heavy cream"
    r"|heavy whipping cream|half-and-half|confectioners|powdered sugar|eggplant|zucchini|arugula"
    r"|cornstarch|ground beef|ground turkey|molasses|graham|°F|degrees F|broil|skillet|ounces?"
    r"|pounds?|oz|lbs?)\b",
    re.IGNORECASE,
)
"""Words of US recipes; ounces and pounds are weighed elsewhere too, but seldom beside cups."""

_WEIGHTS = {"ounce", "ounces", "pound", "pounds", "oz", "lb", "lbs"}

_SAID = re.compile(rf"\bcups and spoons are ({'|'.join(Measures)})\b", re.IGNORECASE)
"""How a recipe says whose they are, as the command ``recipe`` writes it."""

_AMOUNT = r"(?P<{0}>[0-9]+ [0-9]/[0-9]|[0-9]+/[0-9]|[0-9]*[½¼¾⅓⅔⅛]|[0-9.]+)"
_CUP_IN_ML = re.compile(
    rf"(?<![0-9/.–-]){_AMOUNT.format('cups')} ?cups? ?[(/] ?{_AMOUNT.format('ml')} ?ml\b\)?"
    rf"|(?<![0-9/.–-]){_AMOUNT.format('ml_first')} ?ml ?[(/] ?"
    rf"{_AMOUNT.format('cups_behind')} ?cups?\b\)?",
    re.IGNORECASE,
)
"""A cup with its size beside it, as "1 cup (240 ml)"."""

CUP_TOLERANCE = Fraction(3, 100)
"""So near comes the size that a recipe gives a cup to that of the cup it means. [of 1]"""


PART_TOLERANCE = Fraction(4, 100)
"""So near 60 and 80 ml, the parts of a legal US cup of 240 ml, come to those of 250 ml. [of 1]"""


def measures_said(text: str) -> Measures | None:
    """Whose they are where a recipe says it in words, as the command ``recipe`` writes them."""
    plainly = _SAID.search(text)
    return next(
        (one for one in Measures if plainly and one.casefold() == plainly[1].casefold()), None
    )


def measures_shown(text: str, setting: Measures | None) -> tuple[Measures, tuple[str, ...]]:
    """Whose cups and spoons those of a recipe are, and the words that show it.

    Examples
    --------
    >>> text = "1 cup (240 ml) milk"
    >>> measures_shown(text, None)
    (<Measures.US_LABEL: 'US label'>, ('1 cup (240 ml)',))
    >>> measures_shown(text, Measures.US_CUSTOMARY)[0].value  # cookbooks round 237 ml to 240
    'US customary'
    """
    words = us_words(text)
    fits, sizes = _cups_of_a_size(text)
    if fits:
        if words and Measures.US_CUSTOMARY in fits:
            fits.insert(0, Measures.US_CUSTOMARY)
        return (setting if setting in fits else fits[0]), (*sizes, *words)
    if words:
        return (setting if setting in US_MEASURES else Measures.US_CUSTOMARY), words
    return setting or Measures.METRIC, ()


def _cups_of_a_size(text: str) -> tuple[list[Measures], tuple[str, ...]]:
    """The measures whose cup is as large as a recipe says, the nearest first, and its words.

    Sizes that fit no cup, or not the same one, show nothing.
    """
    sizes: dict[str, Fraction] = {}
    parts: list[Fraction] = []
    for found in _CUP_IN_ML.finditer(text):
        cups = read_number(found["cups"] or found["cups_behind"]).low
        if cups and found[0] not in sizes:
            parts.append(cups)
            sizes[found[0]] = read_number(found["ml"] or found["ml_first"]).low / cups
    apart = {
        one: [abs(size / find_unit("cup", one).size - 1) for size in sizes.values()]
        for one in Measures
    }
    fits = [one for one in Measures if sizes and all(map(_fits_cup, apart[one], parts))]
    return sorted(fits, key=lambda one: sum(apart[one])), tuple(sizes)


def _fits_cup(apart: Fraction, cups: Fraction) -> bool:
    """Whether so many cups are of a size; cookbooks round a quarter and a third of 250 ml down."""
    rounded = cups < 1 and cups.denominator in (3, 4)
    return apart <= (PART_TOLERANCE if rounded else CUP_TOLERANCE)


def us_words(text: str) -> tuple[str, ...]:
    """The words of a recipe by which its cups and spoons are those of the US; none: no telling.

    Examples
    --------
    >>> us_words("2 cups all-purpose flour, 1 stick butter"), us_words("1 cup plain flour")
    (('all-purpose', 'cup', 'stick'), ())
    """
    measured = _MEASURED.findall(text)
    written = {word.casefold() for word in (*_US_WORDS.findall(text), *measured)}
    local = {word.casefold() for word in _US_WORDS.findall(text)}
    cups = any(word.casefold() in ("cup", "stick") for word in measured)
    metric = len(_METRIC.findall(text)) > len(measured)
    # a British recipe has ounces too, and any may have one cup: it takes a word of the US, or both
    certain = measured and (local - _WEIGHTS or (local and cups)) and not metric
    return tuple(sorted(written)) if certain else ()
