"""Amounts of food: an exact number and a unit."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import overload

from costing.quantities.numbers import (
    UnreadableNumber,
    decimal_or_mixed,
    mixed,
    read_number,
    terminating,
)
from costing.quantities.units import Dimension, Measures, Unit, UnitNeedsSystem, find_unit

DECIMALS_SHOWN = 4
LARGEST_DENOMINATOR_SHOWN = 64
"""Up to these an amount is shown exactly: 0.0625, 2 2/3; beyond them it is rounded after ≈."""


class DimensionMismatch(ValueError):
    """Two amounts of different dimensions were put together.

    Examples
    --------
    >>> amount("1 kg").to(amount("1 ml").unit)
    Traceback (most recent call last):
        ...
    costing.quantities.amounts.DimensionMismatch: kg measures mass and ml measures volume; ...
    """

    def __init__(self, one: Unit, other: Unit) -> None:
        self.one = one
        self.other = other
        super().__init__(
            f"{one.name} measures {one.dimension} and {other.name} measures {other.dimension}; "
            "neither converts into the other"
        )


def _exactly(number: object) -> Fraction:
    """Give the number as a fraction; anything that is not exact is the programmer's fault."""
    if isinstance(number, Fraction):
        return number
    if isinstance(number, int) and not isinstance(number, bool):
        return Fraction(number)
    raise TypeError(f"expected a Fraction or an int, not {type(number).__name__} {number!r}")


@dataclass(frozen=True, slots=True, eq=False)
class Amount:
    """An exact amount of food.

    Amounts are equal when they are the same amount: 1 kg is 1000 g.

    Parameters
    ----------
    magnitude : Fraction
        How many of the unit. [unit]
    typed : str
        The text a field of a model was given, until a shoot's Measures say what its cups are.

    Raises
    ------
    TypeError
        If the magnitude is a float or any other number that is not exact.

    Examples
    --------
    >>> print(amount("2/3 cup") * 3)
    2 metric cup
    >>> amount("1 kg") == amount("1000 g"), amount("1 kg") / amount("400 g")
    (True, Fraction(5, 2))
    """

    magnitude: Fraction
    unit: Unit
    typed: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        # one comparison in the usual case; a number that remembers its cells is a Fraction too and
        # stays
        if type(self.magnitude) is not Fraction:
            object.__setattr__(self, "magnitude", _exactly(self.magnitude))

    @property
    def dimension(self) -> Dimension:
        """What is measured."""
        return self.unit.dimension

    @property
    def base(self) -> Fraction:
        """In the first unit of its dimension, in g, ml, pieces, portions or batches."""
        size = self.unit.size
        return self.magnitude if size == 1 else self.magnitude * size

    def to(self, unit: Unit) -> Amount:
        """Give the same amount in another unit of the same dimension.

        Raises
        ------
        DimensionMismatch
            If the unit measures something else; it is a ValueError.

        Examples
        --------
        >>> print(amount("1 1/2 lb").to(amount("1 g").unit))
        ≈ 680.3886 g
        """
        return self if unit == self.unit else Amount(self._in(unit), unit)

    def under(self, measures: Measures) -> Amount | None:
        """Give what the same words mean under other measures, ``None`` where they mean nothing.

        Examples
        --------
        >>> print(amount("2 tbsp").under(Measures.AUSTRALIAN))
        2 Australian tablespoon
        """
        if not self.unit.bare:
            return self
        try:
            return Amount(self.magnitude, find_unit(self.unit.bare, measures))
        except UnitNeedsSystem:
            return None

    def _in(self, unit: Unit) -> Fraction:
        if self.unit is unit or self.unit == unit:
            return self.magnitude
        if self.unit.dimension is not unit.dimension:
            raise DimensionMismatch(self.unit, unit)
        return self.magnitude * self.unit.size / unit.size

    def __add__(self, other: Amount) -> Amount:
        if not isinstance(other, Amount):
            return NotImplemented
        return Amount(self.magnitude + self._like(other), self.unit)

    def __sub__(self, other: Amount) -> Amount:
        if not isinstance(other, Amount):
            return NotImplemented
        return Amount(self.magnitude - self._like(other), self.unit)

    def __neg__(self) -> Amount:
        return Amount(-self.magnitude, self.unit)

    def __mul__(self, number: Fraction | int) -> Amount:
        return Amount(self.magnitude * _exactly(number), self.unit)

    __rmul__ = __mul__

    @overload
    def __truediv__(self, other: Amount) -> Fraction: ...
    @overload
    def __truediv__(self, other: Fraction | int) -> Amount: ...
    def __truediv__(self, other: Amount | Fraction | int) -> Amount | Fraction:
        if isinstance(other, Amount):
            return self._in(other.unit) / other.magnitude
        return Amount(self.magnitude / _exactly(other), self.unit)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Amount):
            return NotImplemented
        return self.unit.dimension is other.unit.dimension and self.base == other.base

    def __hash__(self) -> int:
        return hash((self.unit.dimension, self.base))

    def __lt__(self, other: Amount) -> bool:
        return self.magnitude < self._like(other)

    def __le__(self, other: Amount) -> bool:
        return self.magnitude <= self._like(other)

    def __gt__(self, other: Amount) -> bool:
        return self.magnitude > self._like(other)

    def __ge__(self, other: Amount) -> bool:
        return self.magnitude >= self._like(other)

    def _like(self, other: object) -> Fraction:
        """How many of this amount's unit the other amount is."""
        if not isinstance(other, Amount):
            raise TypeError(f"an amount is compared with an amount, not {type(other).__name__}")
        if self.unit.dimension is not other.unit.dimension:
            raise DimensionMismatch(self.unit, other.unit)
        return other._in(self.unit)

    def __str__(self) -> str:
        return f"{magnitude_text(self.magnitude)} {self.unit.name}"

    def __repr__(self) -> str:
        """The call that makes the same amount."""
        return f"amount('{decimal_or_mixed(self.magnitude)} {self.unit.name}')"


def magnitude_text(value: Fraction) -> str:
    """Write a number for people.

    A decimal where four places hold it, else a mixed fraction with a denominator up to 64, else
    rounded to four places (four digits below 1), behind the sign ``≈`` where that is not exact.

    Examples
    --------
    >>> [magnitude_text(Fraction(v)) for v in ("2", "0.0625", "8/3", "-3/2", "1/70", "0.00001")]
    ['2', '0.0625', '2 2/3', '-1.5', '≈ 0.01429', '0.00001']
    """
    decimal = terminating(value)
    if decimal is not None and -int(decimal.as_tuple().exponent) <= DECIMALS_SHOWN:
        return format(decimal, "f")
    sign, size = ("-" if value < 0 else ""), abs(value)
    if decimal is None and size.denominator <= LARGEST_DENOMINATOR_SHOWN:
        return mixed(value)
    places = DECIMALS_SHOWN
    # what is small keeps four digits, or it would be shown as nothing
    while size * 10**places < 1000:
        places += 1
    rounded = terminating(Fraction((2 * size * 10**places + 1) // 2, 10**places))
    return f"{'' if rounded == size else '≈ '}{sign}{rounded:f}"


def amount(text: str, measures: Measures = Measures.METRIC) -> Amount:
    """Read an amount as people write it: a number, then a unit.

    Parameters
    ----------
    text : str
        Such as ``3.6 kg``, ``1 1/2 US cup``, ``½ tsp``.
    measures : Measures
        Whose spoons, cups and pints the bare words are.

    Raises
    ------
    UnreadableNumber, AmbiguousNumber
        If the number cannot be read, or is a range.
    UnknownUnit, UnitNeedsSystem
        If the unit cannot be read.

    Examples
    --------
    >>> amount("3.6 kg").base
    Fraction(3600, 1)
    >>> print(amount("1½ tbsp", Measures.AUSTRALIAN))
    1.5 Australian tablespoon
    """
    # no number is written with letters here, so the first one begins the unit
    letter = next((at for at, sign in enumerate(text) if sign.isalpha()), None)
    if letter is None:
        raise UnreadableNumber(text, "no unit behind the number")
    number = read_number(text[:letter])
    if number.is_range:
        raise UnreadableNumber(text, "a range where one amount is expected")
    return Amount(number.low, find_unit(text[letter:], measures))


def typed_amount(text: str) -> Amount:
    """An amount of metric measures that remembers its text, so that a shoot can read it by its own.

    Examples
    --------
    >>> typed_amount("1 cup")
    amount('1 metric cup')
    """
    read = amount(text)
    return Amount(read.magnitude, read.unit, text)


def under(measures: Measures, given: Amount) -> Amount:
    """An amount with the cups and spoons of its text read by a setting."""
    if not given.typed:
        return given
    read = amount(given.typed, measures)
    return Amount(read.magnitude, read.unit, given.typed)
