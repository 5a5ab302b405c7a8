"""Sums of money that remember how they were made, as the fractions of ``traced`` do."""

from __future__ import annotations

from collections.abc import Hashable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from costing.quantities.traced import (
    MOST_CELLS,
    Cell,
    Made,
    Operation,
    Origin,
    Traced,
    TracedNumber,
    follows,
    is_traced,
)


class TracedMoney(Traced, Decimal):
    """A sum of money that remembers how it was made; only adding and subtracting are followed."""

    __slots__ = ("cells", "origin")

    def __new__(cls, value: Decimal, origin: Origin = None, cells: int = 1) -> TracedMoney:
        """Remember how the sum was made."""
        self = super().__new__(cls, value)
        self.origin = origin
        self.cells = cells
        return self

    def __copy__(self) -> TracedMoney:
        return self

    def __deepcopy__(self, memo: object) -> TracedMoney:
        return self

    def __reduce__(self) -> Any:
        return Decimal, (str(self),)

    def __add__(self, other: Any) -> Any:
        return _summed(Decimal.__add__(self, other), self, other, Operation.ADD)

    def __radd__(self, other: Any) -> Any:
        return _summed(Decimal.__radd__(self, other), other, self, Operation.ADD)

    def __sub__(self, other: Any) -> Any:
        return _summed(Decimal.__sub__(self, other), self, other, Operation.SUBTRACT)

    def __rsub__(self, other: Any) -> Any:
        return _summed(Decimal.__rsub__(self, other), other, self, Operation.SUBTRACT)

    def __neg__(self) -> Any:
        return Decimal(0) - self

    def __mul__(self, other: Any) -> Any:
        return _alone_money(Decimal.__mul__(self, other))

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Any:
        return _alone_money(Decimal.__truediv__(self, other))

    def __rtruediv__(self, other: Any) -> Any:
        return _alone_money(Decimal.__rtruediv__(self, other))


def traced_money(sum_of_money: Decimal, name: Hashable) -> Decimal:
    """The sum of money as it is in a cell."""
    return TracedMoney(sum_of_money, Cell(name))


CUT_OFF = Fraction(1, 10**20)
"""So near is a price that a division cut off, as of =10/3, to the fraction it was. [money]"""

MOST_PARTS = 10_000
"""The largest denominator of such a fraction, as of any number of a cell."""


def exact_money(sum_of_money: Decimal) -> Fraction:
    """A sum of money as a fraction, with its origin.

    Examples
    --------
    >>> exact_money(Decimal("1.20")), exact_money(traced_money(Decimal("1.20"), "E7"))
    (Fraction(6, 5), TracedNumber(6, 5))
    >>> exact_money(Decimal(10) / 3)
    Fraction(10, 3)
    """
    exact = Fraction(sum_of_money)
    if exact.denominator > CUT_OFF.denominator:
        near = exact.limit_denominator(MOST_PARTS)
        exact = near if abs(exact - near) < CUT_OFF else exact
    if isinstance(sum_of_money, TracedMoney):
        return TracedNumber(exact, sum_of_money.origin, sum_of_money.cells)
    return exact


def excess(amount: Decimal, limit: Decimal, digits: int) -> Decimal | None:
    """By how much a sum of money is over a limit; ``None`` when it is not.

    Of traced sums it is 0 that is not over, since that may change.
    """
    over = amount - limit
    if not isinstance(over, TracedMoney):
        return over if over > 0 else None
    parts = exact_money(amount), exact_money(limit)
    value = Decimal(over) if over > 0 else Decimal(0)
    origin = Made(Operation.EXCESS, parts, digits) if over.origin is not None else None
    return TracedMoney(value, origin, over.cells)


def rounded_money(rounded: Decimal, number: TracedNumber, digits: int) -> Decimal:
    """What was rounded half up to money, with its origin.

    A formula works in binary numbers. Where the exact number lies just between two coins, their
    last digit would decide, and there the library's own figure has to stand.
    """
    twice = 2 * Fraction(number) * 10**digits
    on_edge = twice.denominator == 1 and twice.numerator % 2
    followed = number.origin is not None and not on_edge
    origin = Made(Operation.ROUND, (number,), digits) if followed else None
    return TracedMoney(rounded, origin, number.cells)


def _alone_money(value: Any) -> Any:
    return TracedMoney(value) if isinstance(value, Decimal) else value


def _summed(value: Any, first: Any, second: Any, operation: Operation) -> Any:
    """A sum or a difference of money."""
    if not isinstance(value, Decimal):
        return value
    if first == 0 and not is_traced(first) and operation is Operation.ADD:
        return second
    if second == 0 and not is_traced(second):
        return first
    parts = tuple(
        exact_money(Decimal(part)) if isinstance(part, int) else exact_money(part)
        for part in (first, second)
    )
    cells = sum(part.cells for part in parts if isinstance(part, TracedNumber))
    lost = not all(map(follows, parts)) or cells > MOST_CELLS
    return TracedMoney(value, None if lost else Made(operation, parts), cells)
