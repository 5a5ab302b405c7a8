"""What a cook can weigh, in words: ``1 cup = 125 g; 1 bunch = 60 g; 1 head = 10 cloves``.

Each part says that two amounts are the same. From them follow the grams per ml, the grams per
piece, and units of an ingredient's own such as a bunch or a clove. A piece (each) is the largest of
these where nothing says what it is: a head, not a clove. A word that nothing links with a piece is
no unit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from costing.findings import Grade, Words, message
from costing.names import key, singular
from costing.quantities import (
    AmbiguousNumber,
    Dimension,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    UnreadableNumber,
    find_unit,
    read_number,
)

GRAMS, MILLILITRES, PIECES = "g", "ml", "each"
KNOWN = {Dimension.MASS: GRAMS, Dimension.VOLUME: MILLILITRES, Dimension.COUNT: PIECES}

SOLD_WHOLE = frozenset(
    (
        *("bag", "ball", "bar", "block", "bottle", "box", "bulb", "bunch", "can", "carton", "cob"),
        *(
            "ear",
            "fillet",
            "head",
            "jar",
            "loaf",
            "log",
            "pack",
            "packet",
            "piece",
            "pot",
            "punnet",
        ),
        *("sachet", "tin", "tray", "tub", "tube", "whole"),
    )
)
"""Words for what a shop sells one of; any other may be a part of it, as a clove is of a bulb."""

_SIDE = re.compile(r"(?P<number>[^A-Za-z]*?)\s*(?P<unit>[^\W\d_][^0-9=]*)", re.UNICODE)


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a cell of Weighs gives.

    Parameters
    ----------
    density : Fraction, optional
        [g/ml]
    piece_weight : Fraction, optional
        Of one piece. [g]
    units : mapping of str to Unit
        Units of the ingredient's own, by their singular.
    part : str
        What a piece is taken for where that may be only a part of what is sold: a clove, not a
        head; ``""`` where it is said or plain.
    """

    density: Fraction | None = None
    piece_weight: Fraction | None = None
    units: Mapping[str, Unit] = field(default_factory=dict)
    part: str = ""


class Unweighed(ValueError):
    """A part of the text that says nothing, or something else than another part.

    ``against``: the part it does not go with; blank for one that cannot be read.
    """

    def __init__(self, part: str, against: str = "") -> None:
        super().__init__(part)
        self.part = part
        self.against = against


class Unmeasured(Unweighed):
    """A part with a cup or the like, while the setting that says what a cup is was not read."""


def weighed(text: str, measures: Measures | None) -> Weighed:
    """What the text says.

    Parameters
    ----------
    text : str
        Parts with semicolons or lines between them.
    measures : Measures, optional
        What a cup is; ``None`` when that is not known.

    Raises
    ------
    Unweighed
        If a part cannot be read, or two parts contradict each other.
    Unmeasured
        If only what a cup or the like is keeps it from being read.

    Examples
    --------
    >>> found = weighed("1 cup = 125 g; 1 head = 10 cloves; 1 clove = 5 g", Measures.METRIC)
    >>> found.density, found.piece_weight, str(found.units["clove"].size)
    (Fraction(1, 2), Fraction(50, 1), '1/10')
    """
    sizes: dict[str, dict[str, tuple[Fraction, str]]] = {}
    words: dict[str, str] = {}
    for part in filter(None, map(str.strip, re.split(r"[;\n]", text))):
        sides = [_side(side, part, measures, words) for side in part.split("=")]
        if len(sides) != 2 or sides[0][0] == sides[1][0]:
            raise Unweighed(part)
        (one, of_one), (other, of_other) = sides
        for a, b, ratio in ((one, other, of_other / of_one), (other, one, of_one / of_other)):
            before, first = sizes.setdefault(a, {}).setdefault(b, (ratio, part))
            if before != ratio:
                raise Unweighed(part, first)
    grams = _reached(GRAMS, sizes)
    millilitres = grams.get(MILLILITRES)
    density = None if millilitres is None else 1 / millilitres
    part = ""
    if PIECES not in sizes and words:
        # nothing says what one is: the largest of the words, and of words that no weight links the
        # first
        heavy = [word for word in words if word in grams]
        linked = _reached((heavy or list(words))[0], sizes)
        largest = min((word for word in words if word in linked), key=lambda word: linked[word])
        pieces = _reached(largest, sizes)
        part = "" if largest in SOLD_WHOLE else largest
    else:
        pieces = _reached(PIECES, sizes)
    units = {
        word: Unit(word, Dimension.COUNT, 1 / pieces[word]) for word in words if word in pieces
    }
    return Weighed(density, pieces.get(GRAMS), units, part)


def _side(
    text: str, part: str, measures: Measures | None, words: dict[str, str]
) -> tuple[str, Fraction]:
    """What is measured on one side, and how much of it in base units."""
    found = _SIDE.fullmatch(text.strip())
    if found is None:
        raise Unweighed(part)
    try:
        number = read_number(found["number"].strip() or "1")
    except (UnreadableNumber, AmbiguousNumber):
        raise Unweighed(part) from None
    if number.is_range or number.low <= 0:
        raise Unweighed(part)
    name = found["unit"].strip()
    try:
        unit = find_unit(name, measures or Measures.METRIC)
    except UnitNeedsSystem:
        raise (Unmeasured if measures is None else Unweighed)(part) from None
    except UnknownUnit:
        word = own_word(name)
        words.setdefault(word, part)
        return word, number.low
    if unit.dimension not in KNOWN:
        raise Unweighed(part)
    if measures is None and unit.bare:
        raise Unmeasured(part)
    return KNOWN[unit.dimension], number.low * unit.size


def own_word(name: str) -> str:
    """How a unit of an ingredient's own is looked up: ``Cloves`` is ``clove``."""
    return " ".join(singular(word) for word in key(name).split())


def _reached(
    start: str, sizes: Mapping[str, Mapping[str, tuple[Fraction, str]]]
) -> dict[str, Fraction]:
    """How much of everything that is linked with it one of ``start`` is."""
    found = {start: Fraction(1)}
    waiting = [start]
    while waiting:
        at = waiting.pop()
        for other, (ratio, part) in sizes.get(at, {}).items():
            amount = found[at] * ratio
            if other not in found:
                found[other] = amount
                waiting.append(other)
            elif found[other] != amount:
                raise Unweighed(part, "the others")
    return found


@message("weighs unreadable", Grade.ERROR)
def weighs_unreadable(part: str, against: str) -> Words:
    return Words(
        f'"{part}"' + (f', which does not go with "{against}"' if against else ""),
        "two amounts with = between, such as 1 cup = 125 g; 1 head = 10 cloves",
        "Mend it; until then the need for the ingredient is unknown and left out.",
    )


@message("weighs otherwise", Grade.WARNING)
def weighs_otherwise(heading: str, value: str) -> Words:
    return Words(
        f"another value than the {value} that Weighs gives",
        f"one of the two, {heading} or Weighs",
        f"Clear the one that is wrong; until then {heading} counts.",
    )
