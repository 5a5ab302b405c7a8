"""A formula while it is built: its text, and beside it the exact number it stands for.

The number is worked out in fractions together with the text, so that a formula is only written
where it gives exactly what the library found.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from costing.quantities import decimal_or_fraction, round_money, terminating

ATOM, POWER, PRODUCT, SUM = range(4)
"""How loosely the outermost operation of a text binds."""

ZERO, ONE = Fraction(0), Fraction(1)
NOISELESS_DIGITS = 9
"""Digits behind the point to which added-up binary numbers agree in every program."""

MOST_DIGITS = 15
"""A number with more digits is written as the nearest one a cell can hold."""


@dataclass(frozen=True, slots=True)
class Term:
    """A part of a formula.

    Parameters
    ----------
    text : str
        As the file spells it, without ``=``.
    value : Fraction
        What it gives.
    binding : int
        ``ATOM`` to ``SUM``: how loosely its outermost operation binds.
    constant : bool
        Whether it is a number and refers to no cell.
    factors : tuple of Term
        Of a product: what is multiplied, besides the number ``times``.
    times : Fraction
        Of a product: the number in it.
    """

    text: str
    value: Fraction
    binding: int = ATOM
    constant: bool = False
    factors: tuple[Term, ...] = ()
    times: Fraction = ONE

    def within(self, binding: int) -> str:
        """The text as part of an operation that binds so loosely; in brackets where it must be."""
        return self.text if self.binding <= binding else f"({self.text})"


@lru_cache(maxsize=4096)
def number(value: Fraction | int) -> Term:
    """A number.

    Examples
    --------
    >>> number(Fraction("0.72")).text, number(Fraction(20, 3)).text
    ('0.72', '20/3')
    """
    exact = Fraction(value)
    text = decimal_or_fraction(exact)
    if len(text) > MOST_DIGITS:
        text = repr(exact.numerator / exact.denominator)
    binding = SUM if exact < 0 else PRODUCT if "/" in text else ATOM
    return Term(text, exact, binding, constant=True)


NOTHING, UNITY = number(0), number(1)


def total(terms: Iterable[Term]) -> Term:
    """The sum of terms; numbers among them are added up.

    Examples
    --------
    >>> cell = Term("B7", Fraction(2))
    >>> total([number(1), cell, number(3)]).text, total([]).text
    ('B7+4', '0')
    """
    rest, value = ZERO, ZERO
    pieces = []
    for term in terms:
        value += term.value
        if term.constant:
            rest += term.value
        else:
            pieces.append(term)
    if not pieces:
        return number(value)
    if rest:
        pieces.append(number(rest))
    if len(pieces) == 1:
        return pieces[0]
    return Term("+".join(piece.within(SUM) for piece in pieces), value, SUM)


def difference(whole: Term, part: Term) -> Term:
    """What is left of ``whole`` without ``part``."""
    if part.constant and not part.value:
        return whole
    if whole.constant and part.constant:
        return number(whole.value - part.value)
    text = f"{whole.within(SUM)}-{part.within(PRODUCT)}"
    return Term(text, whole.value - part.value, SUM)


def product(*terms: Term) -> Term:
    """The product of terms; numbers among them are multiplied.

    Examples
    --------
    >>> price, packs = Term("F5", Fraction(3)), total([Term("E7", Fraction(1)), number(1)])
    >>> product(price, number(Fraction(1, 20)), packs).text
    'F5*(E7+1)/20'
    """
    times = ONE
    pieces: list[Term] = []
    for term in terms:
        if term.constant:
            times *= term.value
        else:
            times *= term.times
            pieces.extend(term.factors or (term,))
    return _product(pieces, times)


def _product(pieces: Sequence[Term], times: Fraction) -> Term:
    if not pieces or not times:
        return number(times)
    if len(pieces) == 1 and times == 1:
        return pieces[0]
    value = times
    for piece in pieces:
        value *= piece.value
    text = pieces[0].within(PRODUCT)
    text += "".join(f"*{piece.within(POWER)}" for piece in pieces[1:])
    divided = times.denominator != 1 and (times.numerator == 1 or terminating(times) is None)
    multiplied = Fraction(times.numerator) if divided else times
    if multiplied != 1:
        text += f"*{number(multiplied).within(POWER)}"
    if divided:
        text += f"/{number(times.denominator).text}"
    return Term(text, value, PRODUCT, factors=tuple(pieces), times=times)


def ratio(upper: Term, lower: Term) -> Term:
    """One term divided by another, whose value is not 0.

    Examples
    --------
    >>> trimmed, percent = Term("B7", Fraction(72)), Term("E7", Fraction(90))
    >>> ratio(trimmed, ratio(percent, number(100))).text
    'B7/E7*100'
    """
    if lower.constant:
        return product(upper, number(1 / lower.value))
    if upper.constant:
        text = f"{upper.within(PRODUCT)}/{lower.within(POWER)}"
        return Term(text, upper.value / lower.value, PRODUCT) if upper.value else NOTHING
    above, below = (
        _product(upper.factors or (upper,), ONE),
        _product(lower.factors or (lower,), ONE),
    )
    text = f"{above.within(PRODUCT)}/{below.within(POWER)}"
    divided = Term(text, above.value / below.value, PRODUCT)
    return product(divided, number(upper.times / lower.times))


def power(base: Term, exponent: int) -> Term:
    """A term to the power of a whole number of 0 or more."""
    value = base.value**exponent
    if base.constant or exponent == 0:
        return number(value)
    if exponent == 1:
        return base
    return Term(f"{base.within(ATOM)}^{exponent}", value, POWER)


def least(terms: Sequence[Term]) -> Term:
    """The smallest of terms."""
    return _chosen("MIN", terms, min(term.value for term in terms))


def most(terms: Sequence[Term]) -> Term:
    """The largest of terms."""
    return _chosen("MAX", terms, max(term.value for term in terms))


def _chosen(word: str, terms: Sequence[Term], value: Fraction) -> Term:
    if all(term.constant for term in terms):
        return number(value)
    if len(terms) == 1:
        return terms[0]
    return Term(f"{word}({','.join(term.text for term in terms)})", value)


def evened(term: Term) -> Term:
    """A sum of many numbers without the noise of binary ones, which would tip a half coin."""
    return Term(f"ROUND({term.text},{NOISELESS_DIGITS})", term.value)


def rounded(term: Term, digits: int) -> Term | None:
    """A sum of money rounded half up; ``None`` where a hair decides, which programs see otherwise.

    A formula works in binary numbers. On the very edge between two coins their last digit would
    decide, so there the library's own figure has to stand.
    """
    if on_edge(term.value, digits):
        return None
    value = Fraction(round_money(term.value, digits))
    return Term(f"ROUND({term.text},{digits})", value)


def on_edge(value: Fraction, digits: int) -> bool:
    """Whether a sum lies exactly between two coins.

    Examples
    --------
    >>> on_edge(Fraction("0.125"), 2), on_edge(Fraction("0.12"), 2)
    (True, False)
    """
    coins = abs(value) * Fraction(10) ** digits
    return (2 * coins).denominator == 1 and coins.denominator != 1
