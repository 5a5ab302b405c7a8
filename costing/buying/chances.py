"""Chances as a person reads them: never better than they are."""

from __future__ import annotations

import math
from fractions import Fraction

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
    """The same in words.

    Examples
    --------
    >>> percent_text(Fraction(19, 20)), percent_text(Fraction(99999, 100000))
    ('95 %', '99.99 %')
    """
    return f"{float(percent(chance, up=up)):.{DIGITS}f}".rstrip("0").rstrip(".") + " %"
