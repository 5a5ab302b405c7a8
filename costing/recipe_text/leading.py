"""What a line says before it comes to the ingredient: number, size, unit, container, piece."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from enum import StrEnum

from costing.names import singular
from costing.quantities import Measures
from costing.recipe_text import messages
from costing.recipe_text.counts import ONE, Count, count_at
from costing.recipe_text.measured import (
    WrittenAmount,
    all_measures,
    measured_at,
    state_at,
    sticks_at,
    without_about,
)
from costing.recipe_text.messages import Doubt, doubt
from costing.recipe_text.unit_words import UnitWord, near_piece_at, of_at, unit_at, unit_word
from costing.recipe_text.words import (
    ADVERBS,
    BY_EYE,
    CONTAINERS,
    HEAPS,
    LENGTH_PIECES,
    LENGTHS,
    MODIFIERS,
    PIECES,
    PIECES_OF_A_WEIGHT,
    SIZES,
    VAGUE,
)

_TIMES = re.compile(r" ?[x×] ?(?=[0-9¼½¾])", re.IGNORECASE)
_TIMES_FOOD = re.compile(r" [x×] (?=[^\W\d_])", re.IGNORECASE)
_BRACKET = re.compile(r" ?[(\[]([^()\[\]]*)[)\]]")
_WORD = re.compile(rf" ?([^\W\d_]+(?:-[^\W\d_]+)*)(?:/(?:{'|'.join(CONTAINERS)})s?\b)?")
_OR_ALSO = re.compile(r" ?[/=|] ?| or (?=[0-9])")
_LENGTH = re.compile(
    rf"[- ]?(?:(?:{'|'.join(LENGTHS)})s?\b\.?|[\"″”])"
    rf"(?:(?:/| or ) ?[0-9½¼¾⅓⅔][0-9./½¼¾]*[- ]?(?:(?:{'|'.join(LENGTHS)})s?\b|[\"″”]))?"
    r"(?:[- ](?:long|thick|square|wide|round|size|sized)\b)?",
    re.IGNORECASE,
)
_THUMB = re.compile(r"(?:a |one )?thumb(?:[- ]?(?:size|sized|length))\b", re.IGNORECASE)
_SIZE_WORDS = re.compile(rf"^ (?:{'|'.join(sorted(SIZES))})(?= [^\W\d_])", re.IGNORECASE)
_EACH = re.compile(r" ?(?:each\b|ea\b\.?)(?: of)?:?", re.IGNORECASE)
_GROUPED = re.compile(r"[0-9]{3}(?![0-9.,‐-])")
_HEAPED = re.compile(
    r"(?:an? )?(scant|generous|good|heaped|heaping|rounded|level|full) (?=[0-9½¼¾⅓⅔⅛])",
    re.IGNORECASE,
)

_SIZE_OF_CAN = re.compile(
    r"^ ?(?:#|No\.? ?)[0-9]+(?: ?1/2|½)?(?= (?:size )?(?:can|tin|jar)s?\b)", re.IGNORECASE
)
"""A trade number, which says what no table here does: 3 #10 cans, 1 No. 2 can."""


class AmountKind(StrEnum):
    """What the word behind the number is."""

    NONE = "none"
    CONTAINER = "container"
    PIECE = "piece"
    VAGUE = "vague"
    LENGTH = "length"


@dataclass(slots=True)
class Leading:
    """What is before the ingredient's name.

    Parameters
    ----------
    count : Count, optional
        The number; ``None`` when none is there.
    unit : UnitWord, optional
        The unit behind it; ``None``: pieces.
    size : WrittenAmount, optional
        What one container or piece holds or weighs.
    others : list of WrittenAmount
        The same amount said in other words.
    word : str
        Container, piece, measure by eye or length, as written.
    called : str
        Piece or pack of another language, in the singular, with its "of": ``gousse d'``.
    state : str
        For the Measured cell, where the line says in which state the food was weighed.
    modifiers : list of str
        Words between number and unit: heaped, large.
    cuts : list of str
        Words there that say what is done to the food: packed.
    each : bool
        Whether the amount is for each of several ingredients.
    """

    count: Count | None = None
    unit: UnitWord | None = None
    size: WrittenAmount | None = None
    others: list[WrittenAmount] = field(default_factory=list)
    kind: AmountKind = AmountKind.NONE
    word: str = ""
    called: str = ""
    state: str = ""
    modifiers: list[str] = field(default_factory=list)
    cuts: list[str] = field(default_factory=list)
    each: bool = False
    written: str = ""
    doubts: list[Doubt] = field(default_factory=list)

    @property
    def counted(self) -> bool:
        """Whether pieces are counted, containers or parts of a food among them."""
        return self.count is not None and (self.unit is None or self.unit.counts)


def leading_at(text: str, measures: Measures) -> tuple[Leading, str]:
    """Give what is before the name in ``text``, and the text from the name on.

    Examples
    --------
    >>> found, rest = leading_at("2 x 400 g tins chickpeas", Measures.METRIC)
    >>> str(found.size), found.word, rest
    ('400 g', 'tins', 'chickpeas')
    """
    found = Leading()
    plain = without_about(text)
    # in the order of the words of a line: heaped, the number, its size, its unit, then "of"
    if heaped := _HEAPED.match(plain):
        found.modifiers.append(heaped[1])
        plain = plain[heaped.end() :]
    if thumb := _THUMB.match(plain):
        found.count, rest = ONE, _length(found, thumb[0], plain[thumb.end() :])
    elif counted := count_at(plain):
        found.count, rest = counted
        found.doubts += found.count.doubts
        rest = _behind_number(found, rest, measures)
    else:
        rest = _without_number(found, plain, measures)
    found.written = text[: len(text) - len(rest)].strip()
    rest = rest.strip()
    of = of_at(rest) if found.count is not None else ""
    if found.called and not of.casefold().startswith("of"):
        found.called = f"{found.called} {of}".strip() if of else found.called
    return found, rest[len(of) :]


def _without_number(found: Leading, text: str, measures: Measures) -> str:
    """A pinch of salt without its article; most pieces and containers count only before "of"."""
    word = _WORD.match(text)
    if word is None:
        return text
    rest = text[word.end() :]
    while word and word[1].casefold() in MODIFIERS and (more := _WORD.match(rest)):
        found.modifiers.append(word[1])
        word, rest = more, rest[more.end() :]
    one = singular(word[1].casefold()) if word else ""
    unit = unit_word(word[1], measures) if word else None
    near = near_piece_at(text) if word else None
    if near and of_at(near[1].lstrip()):
        found.count = ONE
        return _near(found, near[0].kind, near[0].means, text, near[1])
    food, by_eye = rest.lstrip(), bool(word) and word[1].casefold() in BY_EYE
    by_eye = by_eye or (unit is not None and unit.shown in BY_EYE)  # as others call a pinch
    before = by_eye and food[:1].isalpha() and not food.startswith("each")
    also = _OR_ALSO.match(rest) if by_eye else None
    before = before or (also is not None and measured_at(rest[also.end() :], measures) is not None)
    if word and (before or of_at(food)) and (unit or one in VAGUE | PIECES | CONTAINERS):
        found.count, found.unit = ONE, unit
        if unit is None:
            _named(found, word[1], one)
        found.doubts += unit.doubts if unit else ()
        return _others(found, rest, measures)
    # no measure after all: the words belong to the name
    found.modifiers.clear()
    return text


def _behind_number(found: Leading, rest: str, measures: Measures) -> str:
    """Read what is behind the first number: a size, a length or a unit; gives the rest."""
    times = _TIMES.match(rest)
    if not times and (food := _TIMES_FOOD.match(rest)):
        return rest[food.end() :]
    if times:
        rest = rest[times.end() :]
    elif inside := _BRACKET.match(rest):
        # only a bracket of nothing but measures is a size; (about 6) is left to the name
        if sizes := all_measures(inside[1], measures):
            found.size = replace(sizes[0], each=any(size.each for size in sizes))
            found.others += [replace(size, each=True) for size in sizes[1:]]
            rest = _piece(found, rest[inside.end() :])
            _each_or_all(found)
            return rest
        long = count_at(inside[1])
        if long and (length := _LENGTH.fullmatch(long[1])):
            return _long(found, f"{long[0].written}{length[0]}", rest[inside.end() :])
    sized = _size(found, rest.lstrip(), measures, sure=bool(times))
    if sized is not None:
        return sized
    if length := _LENGTH.match(rest):
        return _length(found, f"{(found.count or ONE).written}{length[0]}", rest[length.end() :])
    return _unit(found, rest, measures)


def _each_or_all(found: Leading) -> None:
    """A weight in brackets before the name: 2 (400 g) tins are 400 g each, 4 (800 g) fillets?"""
    size, count = found.size, found.count
    if size is None or count is None or size.each or count.high is None or count.high <= 1:
        return
    if size.total:
        found.count = ONE
    elif found.kind is not AmountKind.CONTAINER:
        both = str(size.times(count)), str(size)
        found.doubts.append(doubt(messages.each_or_all, str(size), count.written, *both))


def _size(found: Leading, text: str, measures: Measures, *, sure: bool) -> str | None:
    """A second number: the size of one, as in 2 x 400 g or 3 400ml cans."""
    second = count_at(text) if text[:1].isdecimal() else None
    if second is None:
        return None
    if length := _LENGTH.match(second[1]):
        return _long(found, f"{second[0].written}{length[0]}", second[1][length.end() :])
    size = measured_at(text, measures)
    if size is None:
        return None
    found.size, rest = size
    rest = _others(found, rest, measures)
    # a hyphen (400-g) or a container behind it says that the second number is a size. Without
    # either 2 200 g may be a thousand grouped by a blank
    rest = _piece(found, rest)
    if not sure and found.kind is AmountKind.NONE and _GROUPED.match(text):
        _unclear(found, size[0])
    return rest


def _unclear(found: Leading, size: WrittenAmount) -> None:
    """Two of 200 g, or 2200 g: nothing tells which."""
    count = found.count or ONE
    readings = [size.times(count).amount, f"{count.written}{size.count.written}"]
    written = f"{count.written} {size.count.written}"
    found.count = Count(None, None, written=written)
    found.doubts.append(doubt(messages.number_unclear, written, readings))


def _long(found: Leading, written: str, rest: str) -> str:
    """How long one is: an amount where it is a piece cut off, else which kind is counted."""
    if _word_at(rest)[1] in LENGTH_PIECES:
        return _length(found, written, rest)
    found.modifiers.append(written)
    return rest


def _length(found: Leading, written: str, rest: str) -> str:
    """A length in place of an amount, up to the name."""
    found.kind, found.word = AmountKind.LENGTH, written.strip(" -")
    _, piece, behind = _word_at(rest)
    return behind if piece in LENGTH_PIECES else rest


def _word_at(text: str) -> tuple[str, str, str]:
    """The first word, the tin of tin/can, as written and in the singular, and what follows."""
    word = _WORD.match(text)
    return (word[1], singular(word[1].casefold()), text[word.end() :]) if word else ("", "", text)


def _unit(found: Leading, rest: str, measures: Measures) -> str:
    """Read the unit behind a number with all that goes with it; gives the rest."""
    if stick := sticks_at(found.count or ONE, rest, measures):
        found.count, found.unit = stick[0].count, stick[0].unit
        found.doubts += [doubt(messages.stick), *stick[0].doubts]
        return _others(found, stick[1], measures)
    rest = _modifiers(found, _SIZE_OF_CAN.sub("", rest), measures)
    unit = unit_at(rest, measures)
    if unit is None:
        return _piece(found, rest)
    found.unit, rest = unit
    word, _, behind = _word_at(rest)
    if word.casefold() in MODIFIERS and of_at(behind.lstrip()):  # une cuillère bombée de farine
        found.modifiers, rest = [*found.modifiers, word], behind
    heaps = [word for word in found.modifiers if word.casefold() in HEAPS]
    heaped = (doubt(messages.spoon_heaped, word, found.unit.shown) for word in heaps)
    found.doubts += [*found.unit.doubts, *heaped]
    rest = _added(found, rest, measures)
    rest = _others(found, rest, measures)
    if each := _EACH.match(rest):
        found.each, rest = True, rest[each.end() :]
    if state := state_at(rest):
        found.state, rest = state
    return rest if found.unit.counts else _held(found, rest)


def _modifiers(found: Leading, rest: str, measures: Measures) -> str:
    """Skip words such as heaped before a unit or piece; more than three of them are a sentence."""
    at = rest
    words: list[str] = []
    while len(words) < 3 and (word := _WORD.match(at)):
        low = word[1].casefold()
        if low not in MODIFIERS | ADVERBS and low != "packed":
            break
        words.append(word[1])
        at = at[word.end() :].removeprefix(".")
    # "large" goes with a unit or a piece; before a name it belongs to the name: 2 large eggs
    measure = unit_at(at, measures) or near_piece_at(at)
    if measure is None and _word_at(at)[1] not in PIECES | CONTAINERS | VAGUE:
        return rest
    packed = [w for w in words if w.casefold() in ADVERBS or w.casefold() == "packed"]
    if packed:
        found.cuts.append(" ".join(packed))
    found.modifiers += [word for word in words if word not in packed]
    return at


def _added(found: Leading, rest: str, measures: Measures) -> str:
    """A second number and unit that belong to the first: 1 lb 4 oz, 1 cup plus 2 tbsp."""
    count, unit = found.count or ONE, found.unit
    if count.low is None or unit is None:
        return rest
    whole = measured_at(f"{count.written.strip()} {unit.shown}{rest}", measures)
    if whole is None or len(whole[1]) >= len(rest):
        return rest
    found.count, found.unit = whole[0].count, whole[0].unit
    found.doubts += [said for said in whole[0].doubts if said not in found.doubts]
    return whole[1]


def _others(found: Leading, rest: str, measures: Measures) -> str:
    """The same amount said again, behind a stroke, or in brackets in front of what holds it."""
    first = WrittenAmount(found.count or ONE, found.unit)
    each = found.size is not None
    while (also := _OR_ALSO.match(rest)) or (
        found.size is None and first.stands_again_in(rest, measures)
    ):
        more = without_about(rest[also.end() if also else 1 :])
        counted = count_at(more)
        other = measured_at(more, measures) or (counted and sticks_at(*counted, measures))
        if counted and other is None and _word_at(counted[1])[1] in CONTAINERS:
            other = WrittenAmount(counted[0]), _word_at(counted[1])[2]  # 14 g/2 sachets
        elif counted and other is None and found.unit is not None:
            other = WrittenAmount(counted[0]), _SIZE_WORDS.sub("", counted[1])  # 1 kg/4 potatoes
        if other is None:
            break
        found.others.append(replace(other[0], each=each))
        rest = other[1]
    inside = _BRACKET.match(rest)
    if inside and _word_at(rest[inside.end() :])[1] in CONTAINERS | PIECES_OF_A_WEIGHT:
        sizes = all_measures(inside[1], measures)
        found.others += [replace(size, each=True) for size in sizes]
        rest = rest[inside.end() :] if sizes else rest
    return rest


def _held(found: Leading, rest: str) -> str:
    """A container or piece behind a weight or volume, which then is its size."""
    word, one, behind = _word_at(rest)
    if not word or found.count is None or found.unit is None or found.unit.unit is None:
        return rest
    of = behind.casefold().startswith(" of ")
    if of and one in VAGUE:  # 30 g knob of butter: the weight says it all
        found.modifiers.append(word)
        return behind
    if one in CONTAINERS or one in PIECES_OF_A_WEIGHT or (of and one in PIECES):
        found.size = WrittenAmount(found.count, found.unit)
        found.count, found.unit = ONE, None
        return _piece(found, rest)
    return rest


def _piece(found: Leading, rest: str) -> str:
    """A container, a piece or a measure by eye behind the number."""
    word, one, behind = _word_at(rest)
    if one in CONTAINERS | PIECES | VAGUE | (PIECES_OF_A_WEIGHT if found.size else frozenset()):
        _named(found, word, one)
        rest = behind
    elif near := near_piece_at(rest):
        rest = _near(found, near[0].kind, near[0].means, rest, near[1])
    else:
        return rest
    if each := _EACH.match(rest):
        found.each, rest = True, rest[each.end() :]
    return rest


def _near(found: Leading, kind: str, means: str, text: str, rest: str) -> str:
    """Take a piece, pack or measure by eye of the near-units."""
    found.word = text[: len(text) - len(rest)].strip()
    kinds = {"piece": AmountKind.PIECE, "pack": AmountKind.CONTAINER}
    found.kind = kinds.get(kind, AmountKind.VAGUE)
    found.called = "" if found.kind is AmountKind.VAGUE else means
    return rest


def _named(found: Leading, word: str, one: str) -> None:
    found.word = word
    kinds = ((CONTAINERS, AmountKind.CONTAINER), (VAGUE, AmountKind.VAGUE))
    found.kind = next((kind for words, kind in kinds if one in words), AmountKind.PIECE)
