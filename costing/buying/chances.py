"""Chances as a person reads them: never better than they are."""

from __future__ import annotations

import math
from fractions import Fraction

OWN_MOST = "of your own Most"
DIGITS = 2
"""Of a percentage, after the point."""


def percent(chance: Fraction, *, up: bool = False, digits: int = DIGITS) -> Fraction:
    """A chance in percent, rounded down, or up when it is the chance of something bad.

    Examples
    --------
    >>> percent(Fraction(2, 3)), percent(Fraction(1, 3), up=True)
    (Fraction(3333, 50), Fraction(1667, 50))
    """
    scale = 10**digits
    whole = math.ceil(chance * 100 * scale) if up else math.floor(chance * 100 * scale)
    return Fraction(whole, scale)


def percent_text(chance: Fraction, *, up: bool = False) -> str:
    """The same in words; of certainty it is said how far it goes.

    Nothing is promised beyond the Most that a person typed, so 100 % and 0 % never stand alone.

    Examples
    --------
    >>> percent_text(Fraction(19, 20)), percent_text(Fraction(99999, 100000))
    ('95 %', '99.99 %')
    >>> percent_text(Fraction(1)), percent_text(Fraction(0), up=True)
    ('100 % of your own Most', '0 % of your own Most')
    """
    text = f"{percent_number(chance, up=up)} %"
    return f"{text} {OWN_MOST}" if chance in (0, 1) else text


def percent_number(chance: Fraction, *, up: bool = False) -> str:
    """The number alone, as it is typed into a cell.

    Examples
    --------
    >>> percent_number(Fraction(1, 8)), percent_number(Fraction(1))
    ('12.5', '100')
    """
    return f"{float(percent(chance, up=up)):.{DIGITS}f}".rstrip("0").rstrip(".")
