"""Numbers as cells hold them and as people write them, read exactly or not at all."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

ZERO, ONE = Fraction(0), Fraction(1)

LARGEST_DENOMINATOR = 10_000
"""Fractions up to this are looked for behind a cell's number; what people type is far below."""

CELL_PRECISION = 10**15
"""A cell's number is taken for a fraction when it is within one part in this many of it.

Spreadsheets hold 15 to 17 digits. Two fractions with denominators up to 10,000 are at least 10^-8
apart, so that at most one is so near to a number below ten million.
"""

COOKS_DENOMINATORS = (2, 3, 4, 5, 6, 8, 16)
"""Parts of a cup, a spoon or a piece."""

LONGEST_NUMBER = 64
"""A longer text is no number a person wrote. [characters]"""


class UnreadableNumber(ValueError):
    """The text is no number that is read here.

    ``reason``: what is wrong with it, in words that follow "found ...:".

    Examples
    --------
    >>> read_number("some")
    Traceback (most recent call last):
        ...
    costing.quantities.numbers.UnreadableNumber: 'some' is not a number: ...
    """

    def __init__(self, text: str, reason: str) -> None:
        self.text = text
        self.reason = reason
        super().__init__(f"{text!r} is not a number: {reason}")


class UpsideDownRange(UnreadableNumber):
    """A range whose first end is above its second.

    ``low``, ``high``: the ends in the order in which they were written.
    """

    def __init__(self, text: str, low: Fraction, high: Fraction) -> None:
        self.low = low
        self.high = high
        reason = f"the range goes down, from {low} to {high}"
        if high < 1 and low.denominator == 1:
            reason += f"; for {low} and {high} write {low} {high}"
        super().__init__(text, reason)


class AmbiguousNumber(ValueError):
    """The text is a number in two ways, and nothing tells which.

    ``readings``: what it may mean.

    Examples
    --------
    >>> try:
    ...     read_number("1,234")
    ... except AmbiguousNumber as fault:
    ...     fault.readings
    (Fraction(1234, 1), Fraction(617, 500))
    """

    def __init__(self, text: str, readings: Sequence[Fraction]) -> None:
        self.text = text
        self.readings = tuple(readings)
        words = " or ".join(decimal_or_mixed(reading) for reading in self.readings)
        super().__init__(f"{text!r} may be {words}")


@dataclass(frozen=True, slots=True)
class Number:
    """A number or a range that was read from text.

    Parameters
    ----------
    low, high : Fraction
        The ends, equal unless a range was written.
    other_reading : Fraction, optional
        Set when a point with three digits behind it was read as a decimal point although some
        countries group thousands so: ``1.500`` is read 1.5 and may be meant as 1500.
    """

    low: Fraction
    high: Fraction
    other_reading: Fraction | None = None

    @property
    def is_range(self) -> bool:
        """Whether the two ends differ."""
        return self.low != self.high


def terminating(value: Fraction) -> Decimal | None:
    """Give the value as a decimal number, or None when it has no end.

    Examples
    --------
    >>> terminating(Fraction(89, 100)), terminating(Fraction(20, 3))
    (Decimal('0.89'), None)
    """
    rest = value.denominator
    twos = (rest & -rest).bit_length() - 1
    rest >>= twos
    fives = 0
    while rest % 5 == 0:
        rest //= 5
        fives += 1
    if rest != 1:
        return None
    places = max(twos, fives)
    digits = abs(value.numerator) * (10**places // value.denominator)
    return Decimal((int(value < 0), tuple(map(int, str(digits))), -places))


def decimal_or_fraction(value: Fraction) -> str:
    """Write a number exactly: a terminating decimal as such, otherwise a fraction.

    Examples
    --------
    >>> [decimal_or_fraction(Fraction(v)) for v in ("0.890", "85", "20/3", "-1/8")]
    ['0.89', '85', '20/3', '-0.125']
    """
    decimal = terminating(value)
    return str(value) if decimal is None else format(decimal, "f")


def mixed(value: Fraction) -> str:
    """Give a number as a whole number and a fraction.

    Examples
    --------
    >>> mixed(Fraction(3, 2)), mixed(Fraction(2, 3)), mixed(Fraction(4)), mixed(Fraction(-31, 3))
    ('1 1/2', '2/3', '4', '-10 1/3')
    """
    whole, part = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    if not part:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def decimal_or_mixed(value: Fraction) -> str:
    """Give a number as a person may write it back: a decimal, or a whole number and a fraction.

    Examples
    --------
    >>> decimal_or_mixed(Fraction("0.890")), decimal_or_mixed(Fraction(71, 3))
    ('0.89', '23 2/3')
    """
    return mixed(value) if terminating(value) is None else decimal_or_fraction(value)


_PLAIN_DECIMAL = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def exact(value: float | Decimal | Fraction | str) -> Fraction:
    """Read the number of a spreadsheet cell for the number that was meant.

    A binary float is taken for the nearest fraction with a denominator up to 10,000 when it is
    within one part in 10^15 of it or its 15 digits are the number, and otherwise for its decimal of
    15 digits, which is what spreadsheet programs show at most. Other kinds are taken as they are.

    ``value``: a text must be a plain decimal such as ``-12.50``.

    Raises
    ------
    ValueError
        If the value is not finite, or the text is no plain decimal.
    TypeError
        If it is no number, or a bool.

    Examples
    --------
    >>> exact(2 / 3), exact(1.1 * 1.1 * 100), exact(0.1 + 0.2)
    (Fraction(2, 3), Fraction(121, 1), Fraction(3, 10))
    """
    if isinstance(value, bool):
        raise TypeError("a truth value is no number")
    if isinstance(value, str):
        if len(value) > LONGEST_NUMBER or not _PLAIN_DECIMAL.fullmatch(value):
            raise ValueError(f"{value!r} is not a plain decimal number")
        return Fraction(value)
    if isinstance(value, float):
        return _from_float(value)
    if isinstance(value, (int, Fraction)):
        return Fraction(value)
    if isinstance(value, Decimal):
        if not value.is_finite():
            raise ValueError(f"{value} is not a finite number")
        return Fraction(value)
    raise TypeError(f"expected a number, not {type(value).__name__}")


def _from_float(value: float) -> Fraction:
    if value - value != 0:
        raise ValueError(f"{value} is not a finite number")
    # 15 digits are what programs show and what was typed; 2/3 typed as a formula has more, and is
    # found among fractions of small denominators
    shown = Fraction(format(value, ".15g"))
    if shown.denominator <= LARGEST_DENOMINATOR:
        return shown
    held = Fraction(value)
    near = held.limit_denominator(LARGEST_DENOMINATOR)
    # a program may save these digits alone, 1.66666666666667; below a million one fraction has them
    saved = float(shown) == value and Fraction(format(float(near), ".15g")) == shown
    is_near = abs(near - held) * CELL_PRECISION <= abs(held) or (saved and abs(held) < 10**6)
    return near if is_near else shown


_ONE_SIGN_FRACTIONS = {
    sign: unicodedata.normalize("NFKC", sign).replace("\N{FRACTION SLASH}", "/")
    for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
}
_BLANKS = re.compile(r"[\s\u00a0\u1680\u180e\u2000-\u200b\u202f\u205f\u2060\u3000\ufeff]+")
DASHES = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"))
"""Hyphens, dashes and the minus sign, for :meth:`str.translate`."""
HALF_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)} | {0x3000: " ", 0x301C: "~"}
"""Signs as wide as a Japanese keyboard types them, for :meth:`str.translate`."""
_OF_NUMBERS = HALF_WIDTH | {0xFF5E: "-", 0x301C: "-"}  # what stands there between two numbers
_RAISED_POINT = re.compile(r"(?<=[0-9])[·∙‧](?=[0-9])")
"""A decimal point as handwriting and older British print have it: 1·5."""

_FRACTION = re.compile(r"([0-9]+) ?([/\N{FRACTION SLASH}]) ?([0-9]+)")
_MIXED = re.compile(r"([0-9]+) ([0-9]+) ?[/\N{FRACTION SLASH}] ?([0-9]+)")
_DECIMAL = re.compile(r"(?:[0-9]+|[0-9]{1,3}(?: [0-9]{3})+|[0-9]{1,3}(?:'[0-9]{3})+)?[.,][0-9]+")
_INDIAN_GROUPS = re.compile(r"([1-9][0-9]?(?:,[0-9]{2})+,[0-9]{3})(\.[0-9]+)?")
"""Thousands, then hundreds of thousands and so on by twos: 1,00,000."""
_WHOLE = re.compile(r"[0-9]+|[0-9]{1,3}(?:(?P<group>[ ',.])[0-9]{3})(?:(?P=group)[0-9]{3})*")
_GROUPED = re.compile(
    r"[1-9][0-9]{0,2}(?:,[0-9]{3})+\.[0-9]+|[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+"
)
_ONE_GROUP = re.compile(r"([1-9][0-9]{0,2})([.,])([0-9]{3})")
_FOREIGN_SIGNS = re.compile(r"[^0-9 .,'/\N{FRACTION SLASH}-]+")
_EXPONENT = re.compile(r"-?[0-9]+([.,][0-9]+)?[eE][+-]?[0-9]+")


def read_number(text: str) -> Number:
    """Read a number as people write it.

    Read are whole numbers, decimals with a point or a comma, thousands grouped by blanks, by
    apostrophes, by the mark that is not the decimal one or as in India (``1,00,000``), fractions
    (``3/4``, ``1 1/2``, ``1½``), a minus sign in front, and ranges (``2-3``, ``2 to 3``). Digits
    are 0 to 9, also full-width; exponents and words such as ``nan`` are not numbers.

    Raises
    ------
    AmbiguousNumber
        If a comma may be a decimal comma or group thousands: ``1,234``; or if a fraction may
        have lost the blank behind its whole number: ``11/2``.
    UnreadableNumber
        If it is no such number; ``reason`` says why.
    UpsideDownRange
        If a range goes down; it is an UnreadableNumber.

    Examples
    --------
    >>> read_number("1½").low, read_number("1 000,50").low, read_number("2-3").high
    (Fraction(3, 2), Fraction(2001, 2), Fraction(3, 1))
    """
    if len(text) > LONGEST_NUMBER:
        raise UnreadableNumber(text[:LONGEST_NUMBER] + "…", "a text too long for a number")
    plain = text.translate(_OF_NUMBERS).translate(DASHES).replace("’", "'")
    plain = _RAISED_POINT.sub(".", plain)
    for sign, fraction in _ONE_SIGN_FRACTIONS.items():
        plain = plain.replace(sign, f" {fraction} ")
    plain = _BLANKS.sub(" ", plain).strip()
    if _EXPONENT.fullmatch(plain):
        raise UnreadableNumber(text, "an exponent, where the digits written out are expected")
    # a minus behind a digit parts a range and one in front is a sign; -2-3 is refused as both
    ends = re.split(r"(?<=[^ -]) ?- ?| to ", plain, flags=re.IGNORECASE)
    if len(ends) == 2 and all(any(c.isdecimal() for c in end) for end in ends):
        return _range(text, ends[0], ends[1])
    if plain.startswith("-"):
        return _negative(text, plain[1:].lstrip())
    value, other = _one(text, plain)
    return Number(value, value, other)


def _negative(text: str, plain: str) -> Number:
    try:
        value, other = _one(text, plain)
    except AmbiguousNumber as two:
        raise AmbiguousNumber(f"-{two.text}", [-value for value in two.readings]) from None
    return Number(-value, -value, None if other is None else -other)


def _range(text: str, first: str, second: str) -> Number:
    if first.startswith("-") or second.startswith("-"):
        raise UnreadableNumber(text, "a minus sign in a range")
    (low, low_other), (high, high_other) = _one(text, first), _one(text, second)
    if low > high:
        raise UpsideDownRange(text, low, high)
    return Number(low, high, high_other if high_other is not None else low_other)


def _one(text: str, plain: str) -> tuple[Fraction, Fraction | None]:
    """Read one number without sign; beside it the other reading of a point, if it has one."""
    if mixed := _MIXED.fullmatch(plain):
        whole, top, bottom = (int(part) for part in mixed.groups())
        # 1 5/4 is a slip more often than 2 1/4: it is refused and not added up
        if not 0 < top < bottom:
            raise UnreadableNumber(text, f"{top}/{bottom} behind a whole number is not below 1")
        return Fraction(whole * bottom + top, bottom), None
    if fraction := _FRACTION.fullmatch(plain):
        return _fraction(text, plain, fraction), None
    # before the other patterns, since 1,234 fits several: it is two numbers in two countries
    if one := _ONE_GROUP.fullmatch(plain):
        as_decimal, as_whole = Fraction(f"{one[1]}.{one[3]}"), Fraction(one[1] + one[3])
        if one[2] == "," or one[3] == "000":  # nobody writes 1 as 1.000 but where points group
            raise AmbiguousNumber(plain, (as_whole, as_decimal))
        return as_decimal, as_whole
    if indian := _INDIAN_GROUPS.fullmatch(plain):
        return Fraction(indian[1].replace(",", "") + (indian[2] or "")), None
    if _DECIMAL.fullmatch(plain) or _GROUPED.fullmatch(plain):
        before, behind = re.split(r"[.,](?=[0-9]+$)", plain)
        return Fraction(f"{re.sub('[^0-9]', '', before) or 0}.{behind}"), None
    if _WHOLE.fullmatch(plain):
        return Fraction(re.sub("[^0-9]", "", plain)), None
    raise UnreadableNumber(text, _reason(plain))


def _fraction(text: str, plain: str, parts: re.Match[str]) -> Fraction:
    top, bottom = parts[1], int(parts[3])
    if bottom == 0:
        raise UnreadableNumber(text, "a division by zero")
    value = Fraction(int(top), bottom)
    lost = [] if value < 1 else _with_its_blank(top, bottom)
    if lost:
        raise AmbiguousNumber(plain, (value, *lost))
    return value


def _with_its_blank(top: str, bottom: int) -> list[Fraction]:
    """What ``11/2`` is when the blank of ``1 1/2`` was lost, as in text taken from a page.

    Only for the parts that cooks measure: nobody means 3 7/19 by 37/19.
    """
    if bottom not in COOKS_DENOMINATORS:
        return []
    splits = ((int(top[:at]), top[at:]) for at in range(1, len(top)))
    return [
        whole + Fraction(int(part), bottom)
        for whole, part in splits
        if whole and part[0] != "0" and int(part) < bottom
    ]


def _reason(plain: str) -> str:
    """Say in words why a text is no number."""
    if not plain:
        return "no digits"
    foreign = [c for c in plain if c.isdecimal() and not c.isascii()]
    if foreign:
        written = "".join(str(unicodedata.decimal(c)) if c in foreign else c for c in plain)
        return f"digits other than 0 to 9; write {written}"
    if odd := _FOREIGN_SIGNS.search(plain):
        return f'"{odd[0].strip()}" in the number'
    return "the digits and signs do not make a number such as 12.5, 1 1/2 or 2-3"
