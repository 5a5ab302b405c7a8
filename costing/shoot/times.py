r"""How many times a shot is taken: a chance for each whole number.

Of an uncertain number three points are known: fewest :math:`a`, likeliest :math:`m`, most
:math:`b`. The beta distribution of the three-point method lies between them [1]_, here on the
range :math:`[a - 1/2, b + 1/2]` with its mode at :math:`m`, and each whole number :math:`k` has the
probability of :math:`[k - 1/2, k + 1/2]`.

The method's mean :math:`(a + 4m + b)/6` is that of this beta distribution, and the wider range,
wider by a half on both sides, leaves it where it is. Cutting the range into whole numbers leaves
it there too when fewest and most lie as far from the likeliest, and otherwise moves it a little
towards the middle of the range: by at most 0.03, for 0, 0 and 3. The spread is wider than the
method's :math:`((b - a)/6)^2`, by the half on both sides and because the beta distribution of
these shapes is wider than that rule of thumb: 0.98 against 0.44 for 0, 2 and 4. So somewhat more is
bought for certainty than the method's own spread would ask.

References
----------
.. [1] D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar, "Application of a Technique for
   Research and Development Program Evaluation", Operations Research 7 (5), 1959, pp. 646-669.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate, product

from costing.quantities import ONE, ZERO
from costing.shoot.shots import Shot

HALF = Fraction(1, 2)
OWN_MOST = "of your own Most"
"""Said with certainty: beyond the Most that the user typed nothing is promised."""

PERCENT_DIGITS = 2
"""Of a percentage, after the point. [digit]"""

CAPS_COMBINED = 64
"""Combinations of caps up to which each is looked at. [combination]"""


@dataclass(frozen=True)
class Times:
    """A number of times and the chance of each value it may have.

    ``chances``: whole numbers, rising from 0 or more, each with its chance; the chances add up to
    1. [fraction]

    Raises
    ------
    ValueError
        If the numbers do not rise, or the chances are no distribution.
    """

    chances: tuple[tuple[int, Fraction], ...]

    def __post_init__(self) -> None:
        numbers = [number for number, _ in self.chances]
        if not numbers or numbers[0] < 0 or numbers != sorted(set(numbers)):
            raise ValueError("numbers of times rise from 0 or more")
        if any(chance < 0 for _, chance in self.chances) or self._within[-1] != 1:
            raise ValueError("chances are 0 or more and add up to 1")

    @cached_property
    def numbers(self) -> tuple[int, ...]:
        """All values, rising. [time]"""
        return tuple(number for number, _ in self.chances)

    @cached_property
    def _within(self) -> tuple[Fraction, ...]:
        return tuple(accumulate(chance for _, chance in self.chances))

    @property
    def most(self) -> int:
        """The largest value. [time]"""
        return self.numbers[-1]

    def chance_within(self, cap: int) -> Fraction:
        """Chance that it is at most ``cap``. [fraction]"""
        at = bisect_right(self.numbers, cap)
        return self._within[at - 1] if at else Fraction(0)

    def least_within(self, chance: Fraction) -> int:
        """The least cap that it stays within with a chance. [time]"""
        return next(number for number in self.numbers if self.chance_within(number) >= chance)

    @property
    def mean(self) -> Fraction:
        """Its expected value. [time]"""
        return sum((number * chance for number, chance in self.chances), Fraction(0))

    def given_at_least(self, taken: int) -> Times:
        """The same, given that it is not below what was taken."""
        left = [(number, chance) for number, chance in self.chances if number >= taken]
        whole = sum((chance for _, chance in left), ZERO)
        if not whole:
            return certain(taken)
        return Times(tuple((number, chance / whole) for number, chance in left))

    @property
    def weighed(self) -> list[tuple[int, int]]:
        """The numbers with whole weights instead of chances."""
        scale = math.lcm(*(chance.denominator for _, chance in self.chances))
        return [(number, int(chance * scale)) for number, chance in self.chances]


def certain(times: int) -> Times:
    """A number that is known."""
    return Times(((times, ONE),))


def three_point(fewest: int, likeliest: int, most: int) -> Times:
    r"""A number of times from its fewest, likeliest and most.

    .. math::

       \alpha = 1 + 4\,\frac{m - a}{b - a}, \quad \beta = 1 + 4\,\frac{b - m}{b - a}, \quad
       P(k) = I_{(k + 1/2 - a)/(b - a)}(\alpha, \beta) - I_{(k - 1/2 - a)/(b - a)}(\alpha, \beta)

    with :math:`a` and :math:`b` half a time beyond fewest and most, :math:`I` the regularised
    incomplete beta function.

    ``fewest``, ``likeliest``, ``most``: in this order, 0 or more. [time]

    Raises
    ------
    ValueError
        If the three do not rise in this order.

    Examples
    --------
    Two takes, one to four.

    >>> [(k, round(float(chance), 3)) for k, chance in three_point(1, 2, 4).chances]
    [(1, 0.209), (2, 0.46), (3, 0.286), (4, 0.044)]
    """
    if not 0 <= fewest <= likeliest <= most:
        raise ValueError("fewest, likeliest and most must rise in this order from 0 or more")
    if fewest == most:
        return certain(most)
    from scipy.special import betainc  # here only: a certain shoot never imports it

    low, width = fewest - HALF, most - fewest + 1
    alpha = float(1 + 4 * (likeliest - low) / width)
    beta = float(1 + 4 * (most + HALF - likeliest) / width)
    within = [Fraction(0)]
    for number in range(fewest, most):
        part = (number + HALF - low) / width
        # from the end that is nearer, so that a small chance keeps its digits
        chance = (
            Fraction(float(betainc(alpha, beta, float(part))))
            if 2 * number < fewest + most
            else 1 - Fraction(float(betainc(beta, alpha, float(1 - part))))
        )
        within.append(max(within[-1], chance))
    within.append(ONE)
    return Times(tuple(_differences(range(fewest, most + 1), within)))


def _differences(numbers: Iterable[int], within: list[Fraction]) -> Iterable[tuple[int, Fraction]]:
    for number, before, after in zip(numbers, within, within[1:], strict=False):
        yield number, after - before


def times_of(shot: Shot) -> Times:
    """The number of times of a shot; a blank fewest or most equals Times."""
    if not shot.uncertain:
        return certain(shot.times)
    return three_point(shot.least_times, shot.times, shot.most_times)


def caps_reaching(
    times: Mapping[int, Times],
    values: Mapping[int, Sequence[int]],
    chance: Fraction,
    *,
    least: bool = True,
) -> list[dict[int, int]] | None:
    """Caps that reach a chance together.

    ``None`` when there are too many to try.

    Parameters
    ----------
    values : mapping of int to sequence of int
        The caps it may have, rising, each with some chance. [time]
    chance : Fraction
        That every shot stays within its cap. [fraction]
    least : bool
        Only those of which none can be lowered.
    """
    if math.prod(map(len, values.values())) > CAPS_COMBINED:
        return None
    found: list[dict[int, int]] = []
    for choice in product(*values.values()):
        caps = dict(zip(values, choice, strict=True))
        within = {shot: times[shot].chance_within(cap) for shot, cap in caps.items()}
        whole = math.prod(within.values(), start=ONE)
        lower = (
            whole / within[shot] * times[shot].chance_within(values[shot][at - 1])
            for shot, cap in caps.items()
            if (at := values[shot].index(cap))
        )
        if whole >= chance and not (least and any(part >= chance for part in lower)):
            found.append(caps)
    return found


def percent(chance: Fraction, *, up: bool = False, digits: int = PERCENT_DIGITS) -> Fraction:
    """A chance in percent, rounded down, or up when it is the chance of something bad.

    So a chance as a person reads it is never better than it is.

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

    Nothing is promised beyond the Most that the user typed, so 100 % and 0 % never stand alone.

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
    return f"{float(percent(chance, up=up)):.{PERCENT_DIGITS}f}".rstrip("0").rstrip(".")
