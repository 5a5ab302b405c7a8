"""Numbers at the start of a text: 1 1/2, 2-3, half a, a couple of."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.quantities import (
    AmbiguousNumber,
    UnreadableNumber,
    decimal_or_mixed,
    mixed,
    read_number,
    terminating,
)
from costing.quantities.numbers import LONGEST_NUMBER
from costing.recipe_text import messages
from costing.recipe_text.messages import Doubt, doubt
from costing.recipe_text.unit_words import is_measure_word
from costing.recipe_text.words import FRACTION_WORDS, HALF_WORDS, NO_NUMBER, NUMBER_WORDS, OR, TO

_SIGNS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_SLASH = "[/\N{FRACTION SLASH}]"
_FRACTION = rf"(?:[{_SIGNS}]|[0-9]+ ?{_SLASH} ?[0-9]+)"
_DIGITS = r"(?:\.?[0-9][0-9.,'’·∙‧]*[0-9]|\.?[0-9])"
_ONE = re.compile(
    rf"(?P<whole>[0-9]+)(?P<join>-| ?\+ ?| (?:and|&|e|y|et|und) )(?P<part>{_FRACTION})(?![0-9/])"
    rf"|(?:[0-9]+ ?[{_SIGNS}]|[0-9]+ [0-9]+ ?{_SLASH} ?[0-9]+|{_FRACTION}|{_DIGITS})"
)
_GROUPED = re.compile(r"[0-9]{1,3}(?: 000)+(?![0-9])")
_OF_ONE = re.compile(r" (?:of )?an?\b(?: of\b)?", re.IGNORECASE)
"""Behind a fraction in digits: ½ a cucumber."""

_NO_NUMBER = re.compile(rf"%|[-‐–](?![{_SIGNS}])[^\W\d_]")
"""Behind digits: they belong to a word, such as 70% or 5-spice."""

_WORD = re.compile(r"[^\W\d_]+", re.UNICODE)
_PART_WORDS = "|".join(FRACTION_WORDS)
_PART = re.compile(
    rf"(?:(?P<top>an?|one|two|three)[ -])?(?P<bottom>{_PART_WORDS})(?:s)?\b(?! and half)"
    r"(?:(?: of)? an?\b| of (?:one|1)\b(?![./ ]?[0-9]))?(?: of\b)?",
    re.IGNORECASE,
)
_AND_PART = re.compile(
    rf"[- ](?:and|&)[- ](?:an?[- ])?(?:(?P<top>one|two|three)[ -])?(?P<bottom>{_PART_WORDS})s?\b"
    r"(?! an?\b)"
    r"(?: of\b)?",
    re.IGNORECASE,
)
_DIGIT_PART = re.compile(
    rf"(?P<top>[1-9]) (?P<bottom>{_PART_WORDS})s? of an?\b(?: of\b)?", re.IGNORECASE
)
"""A part with its number in digits: 3 quarters of a pound."""

_TWENTY = 20
"""From here on ones are put behind the tens."""

_ONES = re.compile(r"[- ](?P<one>one|two|three|four|five|six|seven|eight|nine)(?= |$)", re.I)
"""Behind twenty: twenty-four."""

_TWO_ENDS = re.compile(r"between (?=.* and )", re.IGNORECASE)
_BETWEEN = re.compile(rf" ?[-‐–—~] ?(?:to )?| (?:{'|'.join(sorted(TO | OR))}) ", re.IGNORECASE)
_AND = re.compile(r" and ", re.IGNORECASE)
_COUPLE = re.compile(r"a couple\b(?: of\b)?", re.IGNORECASE)
_VAGUE = re.compile(
    rf"(?:(?:a )?(?P<word>{'|'.join(sorted(NO_NUMBER))})|a (?:very )?(?P<little>little)(?! gem))\b"
    r"(?: of\b)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Count:
    """How many, as a line says it.

    Parameters
    ----------
    low, high : Fraction, optional
        The ends, equal unless it is a range; ``None``: not readable, or no number.
    decimal : bool
        Whether it was written with a decimal point or comma.
    word : str
        What is in place of a number: ``few``.
    """

    low: Fraction | None
    high: Fraction | None
    decimal: bool = False
    written: str = ""
    word: str = ""
    doubts: tuple[Doubt, ...] = ()

    @property
    def ends(self) -> tuple[Fraction, Fraction] | None:
        """Both ends, where there is a number that can be read."""
        return None if self.low is None or self.high is None else (self.low, self.high)


ONE = Count(Fraction(1), Fraction(1))


def count_at(text: str) -> tuple[Count, str] | None:
    """Give the number or range at the start of ``text`` and what follows it.

    Examples
    --------
    >>> found, rest = count_at("1½ kg potatoes")
    >>> found.low, rest
    (Fraction(3, 2), ' kg potatoes')
    >>> count_at("70% dark chocolate") is None
    True
    """
    if couple := _COUPLE.match(text):
        found = Count(Fraction(2), Fraction(2), written=couple[0], doubts=(doubt(messages.couple),))
        return found, text[couple.end() :]
    if vague := _VAGUE.match(text):
        word = vague["word"] or vague["little"]
        return Count(None, None, written=vague[0], word=word), text[vague.end() :]
    two = _TWO_ENDS.match(text)
    first = _one_at(text[two.end() :] if two else text)
    if first is None:
        return None
    low, rest = first
    between = (_AND if two else _BETWEEN).match(rest)
    second = _one_at(rest[between.end() :]) if between and low.low is not None else None
    if second is None and two:
        return None
    # "2 or a handful": an article is no second end
    if second is None or second[0].low is None or second[0].written.casefold() in ("a", "an"):
        return low, rest
    return _range(text, low, *second)


def _range(text: str, low: Count, high: Count, rest: str) -> tuple[Count, str]:
    written = text[: len(text) - len(rest)]
    doubts = low.doubts + high.doubts
    if low.low is not None and high.high is not None and low.low <= high.high:
        decimal = low.decimal or high.decimal
        return Count(low.low, high.high, decimal, written, doubts=doubts), rest
    reason = "the range goes down"
    fault = doubt(messages.number_unreadable, written, reason)
    return Count(None, None, written=written, doubts=(*doubts, fault)), rest


def _one_at(text: str) -> tuple[Count, str] | None:
    """One number, in digits or in words, and what follows it."""
    if part := _DIGIT_PART.match(text):
        value = _part(part)
        return Count(value, value, written=part[0]), text[part.end() :]
    # before the digits, which would read 1 000 as a one with more behind it
    if grouped := _GROUPED.match(text):
        return _of_digits(grouped[0]), text[grouped.end() :]
    digits = _ONE.match(text)
    if digits:
        rest = text[digits.end() :]
        # 00 is a grade of flour
        if digits[0].startswith("00") or (_NO_NUMBER.match(rest) and not _unit_follows(rest)):
            return None
        found = _joined(digits) if digits["whole"] else _of_digits(digits[0])
        if found.low is not None and found.low < 1 and (one := _OF_ONE.match(rest)):
            rest = rest[one.end() :]
        return and_part(found, rest)
    return _in_words(text)


def _unit_follows(rest: str) -> bool:
    """Whether a hyphen joins digits to a unit: 14-oz can, 28-ounce, 5-cm piece."""
    word = _WORD.match(rest.lstrip("-‐–"))
    return word is not None and is_measure_word(word[0])


def _of_digits(written: str) -> Count:
    """A count written in digits; what may be two numbers, or none, becomes a doubt."""
    try:
        number = read_number(written)
    except AmbiguousNumber as two:
        readings = [decimal_or_mixed(reading) for reading in two.readings]
        fault = doubt(messages.number_unclear, written, readings)
        return Count(None, None, written=written, doubts=(fault,))
    except UnreadableNumber as fault:
        said = doubt(messages.number_unreadable, written[:LONGEST_NUMBER], fault.reason)
        return Count(None, None, written=written, doubts=(said,))
    doubts: tuple[Doubt, ...] = ()
    if number.other_reading is not None:
        taken, other = decimal_or_mixed(number.low), decimal_or_mixed(number.other_reading)
        doubts = (doubt(messages.point_unclear, written, taken, other),)
    decimal = any(sign in written for sign in ".,·∙‧")
    return Count(number.low, number.high, decimal, written, doubts=doubts)


def _joined(digits: re.Match[str]) -> Count:
    """A whole number and a fraction with a hyphen or "and" between them."""
    part = _of_digits(digits["part"])
    if part.low is None or not 0 < part.low < 1:
        between = "-" if "-" in digits["join"] else " "
        both = f"{digits['whole']}{between}{digits['part']}"
        return replace(_of_digits(both), written=digits[0])
    found = _of_digits(f"{digits['whole']} {part.low}")
    if found.low is None or "-" not in digits["join"]:
        return replace(found, written=digits[0])
    said = doubt(messages.hyphen_in_number, digits[0], mixed(found.low))
    return replace(found, written=digits[0], doubts=(said,))


def _in_words(text: str) -> tuple[Count, str] | None:
    """A number word or a part of one (half a, two thirds of), where a blank or a unit follows."""
    part = _PART.match(text)
    # half-and-half is no half, a half-pint is
    if part and (text[part.end() : part.end() + 1] != "-" or _unit_follows(text[part.end() :])):
        value = _part(part)
        return Count(value, value, written=part[0]), text[part.end() :]
    word = _WORD.match(text)
    if word is None:
        return None
    low = word[0].casefold()
    value = Fraction(HALF_WORDS.get(low) or (1 if low in ("a", "an") else NUMBER_WORDS.get(low, 0)))
    rest = text[word.end() :]
    ends = not rest and low in NUMBER_WORDS
    joins = rest.startswith("-") and _unit_follows(rest)
    one = _ONES.match(rest) if value >= _TWENTY else None
    if one:
        value += NUMBER_WORDS[one["one"].casefold()]
        rest, joins = rest[one.end() :], False
    joins = joins or (bool(value) and _AND_PART.match(rest) is not None)
    if not value or not (ends or joins or rest.startswith(" ")):
        return None
    return and_part(Count(value, value, written=text[: len(text) - len(rest)]), rest)


def _part(found: re.Match[str]) -> Fraction:
    top = (found["top"] or "").casefold()
    number = int(top) if top.isdecimal() else NUMBER_WORDS.get(top, 1)
    return Fraction(number, FRACTION_WORDS[found["bottom"].casefold()])


def and_part(found: Count, rest: str) -> tuple[Count, str]:
    """With "and a half" behind it.

    Examples
    --------
    >>> and_part(ONE, " and a half of rice")[0].low
    Fraction(3, 2)
    """
    more = _AND_PART.match(rest)
    if more is None or found.low is None or found.low.denominator != 1:
        return found, rest
    value = found.low + _part(more)
    return Count(value, value, written=found.written + more[0]), rest[more.end() :]


def number_text(value: Fraction, *, decimal: bool) -> str:
    """Give a number as the Amount cell has it: a decimal if it was written so, else a fraction.

    A decimal whose three digits could be read as grouped thousands is written as a fraction.

    Examples
    --------
    >>> number_text(Fraction("1.5"), decimal=True), number_text(Fraction("1.5"), decimal=False)
    ('1.5', '1 1/2')
    >>> number_text(Fraction("1.125"), decimal=True)
    '1 1/8'
    """
    as_decimal = terminating(value)
    if as_decimal is None or value.denominator == 1:
        return mixed(value)
    places = -int(as_decimal.as_tuple().exponent)
    # with three places 1.125 may be read back as 1125
    if (decimal or value.denominator > 16) and (places != 3 or value < 1):
        return format(as_decimal, "f")
    return mixed(value)
