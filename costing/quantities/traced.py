"""Numbers that remember how they were made, so that a result can be written as a formula.

A traced number is a fraction like any other: it is equal to, ordered with and
hashed as its value, and all arithmetic of the library runs on it unchanged. Beside the value it
carries its origin: the cell it was read from, or the operation and the numbers it was made of.
What is made of plain numbers is plain, so that an estimate whose numbers are not traced pays
nothing for it.

A formula may only be written where it holds whatever is typed into its cells. Therefore

- ``least`` and ``most``, and ``round_money`` and ``excess`` of sums of money, are remembered as
  what they are, ``MIN``, ``MAX``, ``ROUND`` and a comparison; the built-in ``min`` and ``max``
  would hand back one of the numbers with its own origin, which is wrong as soon as the other one
  is smaller;
- what is chosen by a search or by rounding up loses its origin (``untraced_choice``), and so does
  everything that is made of it: only its value is kept;
- whole-number division, remainders, ``abs``, floors and ceilings lose it by themselves;
- a number that is turned into an ``int``, a ``float`` or a text is an ordinary number afterwards.
  Nothing in the library multiplies such a number again.
"""

from __future__ import annotations

import operator
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import lcm
from typing import Any, TypeVar, cast

MOST_CELLS = 20_000
"""A number made of more cells than this is no longer followed; no formula would hold them."""


class Operation(StrEnum):
    """How a number was made of others."""

    ADD = "+"
    SUBTRACT = "-"
    MULTIPLY = "*"
    DIVIDE = "/"
    POWER = "^"
    LEAST = "MIN"
    MOST = "MAX"
    ROUND = "ROUND"
    EXCESS = "excess"


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """The number is in a cell.

    ``name``: what tells the cell from all others.
    """

    name: Hashable


# not frozen: one is made for every sum and product, and a frozen one takes three times as long
@dataclass(slots=True, eq=False)
class Made:
    """The number was worked out.

    ``digits``: of ``ROUND`` and of an excess: digits behind the point.
    """

    operation: Operation
    parts: tuple[Fraction, ...]
    digits: int = 0


Origin = Cell | Made | None
"""``None``: chosen, or otherwise not to be followed."""


class Traced:
    """A number that remembers how it was made, and of how many cells."""

    __slots__ = ()

    origin: Origin
    cells: int


class TracedNumber(Traced, Fraction):
    """A fraction that remembers how it was made.

    Parameters
    ----------
    origin : Cell or Made, optional
        How it was made; ``None`` when that cannot be followed.
    cells : int
        Of how many cells it is made, one counted as often as it is used.

    Examples
    --------
    >>> packs, price = (traced(Fraction(n), name) for n, name in ((3, "E7"), (2, "F7")))
    >>> cost = packs * price + 1
    >>> cost, cost == 7, cost.origin.operation, follows(cost), follows(cost // 2)
    (TracedNumber(7, 1), True, <Operation.ADD: '+'>, True, False)
    """

    __slots__ = ("cells", "origin")

    def __new__(cls, value: Fraction | int, origin: Origin = None, cells: int = 1) -> TracedNumber:
        """Remember how the number was made, unless that is more than a formula can hold."""
        return cls.of(value.numerator, value.denominator, origin, cells)

    @classmethod
    def of(cls, top: int, bottom: int, origin: Origin, cells: int) -> TracedNumber:
        """The same of a numerator and a denominator, which may have common factors."""
        self = super().__new__(cls, top, bottom)
        self.origin = origin if cells <= MOST_CELLS else None
        self.cells = cells
        return self

    def __copy__(self) -> TracedNumber:
        return self

    def __deepcopy__(self, memo: object) -> TracedNumber:
        return self

    def __reduce__(self) -> Any:
        """Pickled, it is its value: cells are known to one run only."""
        return Fraction, (self.numerator, self.denominator)

    def __add__(self, other: Any) -> Any:
        return _made(Operation.ADD, self, other)

    def __radd__(self, other: Any) -> Any:
        return _made(Operation.ADD, other, self)

    def __sub__(self, other: Any) -> Any:
        return _made(Operation.SUBTRACT, self, other)

    def __rsub__(self, other: Any) -> Any:
        return _made(Operation.SUBTRACT, other, self)

    def __mul__(self, other: Any) -> Any:
        return _made(Operation.MULTIPLY, self, other)

    def __rmul__(self, other: Any) -> Any:
        return _made(Operation.MULTIPLY, other, self)

    def __truediv__(self, other: Any) -> Any:
        return _made(Operation.DIVIDE, self, other)

    def __rtruediv__(self, other: Any) -> Any:
        return _made(Operation.DIVIDE, other, self)

    def __neg__(self) -> Any:
        return self * -1

    def __pos__(self) -> TracedNumber:
        return self

    def __pow__(self, exponent: Any) -> Any:
        if isinstance(exponent, int):
            if exponent == 1:
                return self
            power = Fraction.__pow__(self, exponent)
            made = Made(Operation.POWER, (self, _fraction(exponent)))
            return _with_origin(power.numerator, power.denominator, made) if exponent else power
        return _alone(Fraction.__pow__(self, exponent))

    def __rpow__(self, base: Any) -> Any:
        return _alone(Fraction.__rpow__(self, base))

    def __abs__(self) -> Any:
        return _alone(Fraction.__abs__(self))

    def __floordiv__(self, other: Any) -> Any:
        return _alone(Fraction.__floordiv__(self, other))

    def __rfloordiv__(self, other: Any) -> Any:
        return _alone(Fraction.__rfloordiv__(self, other))

    def __mod__(self, other: Any) -> Any:
        return _alone(Fraction.__mod__(self, other))

    def __rmod__(self, other: Any) -> Any:
        return _alone(Fraction.__rmod__(self, other))

    def __divmod__(self, other: Any) -> Any:
        return self // other, self % other

    def __rdivmod__(self, other: Any) -> Any:
        return other // self, other % self

    def __floor__(self) -> Any:
        return _alone(Fraction.__floor__(self))

    def __ceil__(self) -> Any:
        return _alone(Fraction.__ceil__(self))

    def __round__(self, ndigits: int | None = None) -> Any:
        return _alone(Fraction.__round__(self, ndigits))

    def __index__(self) -> int:
        """Where a count was traced it still counts."""
        if self.denominator != 1:
            raise TypeError(f"{self} is not a whole number")
        return self.numerator


N = TypeVar("N", Fraction, int)


def traced(number: N, name: Hashable) -> N:
    """The number as it is in a cell."""
    return cast("N", TracedNumber(number, Cell(name)))


def untraced_choice(number: N) -> N:
    """The number without what it was made of, because something was chosen.

    What is made of it cannot be followed either. A plain number stays plain.
    """
    return cast("N", TracedNumber(number)) if isinstance(number, TracedNumber) else number


def is_traced(number: object) -> bool:
    """Whether a number is more than its value."""
    return isinstance(number, Traced)


def follows(number: object) -> bool:
    """Whether a number moves with its cells, or is one that nothing moves."""
    return not isinstance(number, Traced) or number.origin is not None


def grouped_by(number: Fraction) -> Hashable:
    """What tells a number from others when equal ones are put together.

    Traced numbers that are equal today may stand in different cells.
    """
    return id(number) if isinstance(number, TracedNumber) else number


def least(*numbers: N) -> N:
    """The smallest of numbers."""
    return _chosen(Operation.LEAST, min(numbers), numbers)


def most(*numbers: N) -> N:
    """The largest of numbers.

    Examples
    --------
    >>> most(Fraction(0), Fraction(2)), most(Fraction(0), traced(Fraction(2), "B7"))
    (Fraction(2, 1), TracedNumber(2, 1))
    """
    return _chosen(Operation.MOST, max(numbers), numbers)


def _chosen(operation: Operation, value: N, numbers: Sequence[N]) -> N:
    # most runs trace nothing: they pay no more than this question
    if not any(map(is_traced, numbers)):
        return value
    # the least of one number is that number, and not a function of it
    if len(numbers) == 1:
        return numbers[0]
    made = Made(operation, tuple(map(_fraction, numbers)))
    return cast("N", _with_origin(value.numerator, value.denominator, made))


def total(numbers: Iterable[Fraction]) -> Fraction:
    """The sum of numbers, worked out over one common denominator.

    The same as to add one after the other, to the last digit, at a small part of the price: numbers
    with one denominator are added as whole numbers, and only the sum is brought to lowest terms.

    Examples
    --------
    >>> total([Fraction(1, 2), Fraction(1, 3), Fraction(1, 6)]), total([])
    (Fraction(1, 1), Fraction(0, 1))
    """
    addends = list(numbers)
    if len(addends) == 1:
        return addends[0]
    tops: dict[int, int] = {}
    for number in addends:
        bottom = number.denominator
        tops[bottom] = tops.get(bottom, 0) + number.numerator
    if len(tops) == 1:
        ((bottom, top),) = tops.items()
    else:
        bottom = lcm(*tops)
        top = sum(one * (bottom // each) for each, one in tops.items())
    if not any(map(is_traced, addends)):
        return Fraction(top, bottom)
    # a formula shows no "+0"
    parts = [number for number in addends if number or is_traced(number)]
    if len(parts) == 1:
        return parts[0]
    return _with_origin(top, bottom, Made(Operation.ADD, tuple(parts)))


def _fraction(number: Fraction | int) -> Fraction:
    return number if isinstance(number, Fraction) else Fraction(number)


_SUMS = (Operation.ADD, Operation.SUBTRACT)

_OF_FLOATS = {
    Operation.ADD: operator.add,
    Operation.SUBTRACT: operator.sub,
    Operation.MULTIPLY: operator.mul,
    Operation.DIVIDE: operator.truediv,
}


def _made(operation: Operation, first: Any, second: Any) -> Any:
    """What an operation gives of two numbers, one of them traced."""
    other = second if type(first) is TracedNumber else first
    if not isinstance(other, (int, Fraction)):
        if isinstance(other, float):
            return _OF_FLOATS[operation](float(first), float(second))
        return NotImplemented
    one, below, two, of_two = (*_ratio(first), *_ratio(second))
    # a plain 0 or 1 that changes nothing is left out, so that a formula shows no "+0" and no "*1"
    if type(first) is not TracedNumber:
        if operation is Operation.MULTIPLY and one == below == 1:
            return second
        if operation is Operation.ADD and not one:
            return second
    elif type(second) is not TracedNumber:
        if operation in _SUMS:
            if not two:
                return first
        elif two == of_two == 1:
            return first
    if operation is Operation.MULTIPLY:
        top, bottom = one * two, below * of_two
    elif operation is Operation.DIVIDE:
        top, bottom = one * of_two, below * two
    else:
        more = two if operation is Operation.ADD else -two
        top, bottom = one * of_two + more * below, below * of_two
    # 0 times a cell is 0 whatever is typed into it
    if operation not in _SUMS and (
        (not one and not is_traced(first)) or (not two and not is_traced(second))
    ):
        return Fraction(top, bottom)
    return _with_origin(top, bottom, Made(operation, (_fraction(first), _fraction(second))))


def _ratio(number: Fraction | int) -> tuple[int, int]:
    return number.numerator, number.denominator


def _with_origin(top: int, bottom: int, made: Made) -> TracedNumber:
    """A number with its origin, where all that it is made of can be followed."""
    # counted as often as used: a number squared twenty times would be a formula of a million
    cells = sum(map(_cells, made.parts))
    lost = not all(map(follows, made.parts))
    return TracedNumber.of(top, bottom, None if lost else made, cells)


def _cells(number: object) -> int:
    return number.cells if type(number) is TracedNumber else 0


def _alone(value: Any) -> Any:
    """A number that was chosen, such as a whole one."""
    return TracedNumber(value) if isinstance(value, (int, Fraction)) else value
