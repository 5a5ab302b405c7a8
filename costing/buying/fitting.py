r"""The chance that what the shots may still use fits what is there, found exactly.

Shots that continue with each other's copies are one *group*. Groups are independent, and what they
use adds up. So group by group every sum of what may be used is followed with its weight, in whole
numbers: a sum that fits with the most that the other groups may still use is settled, and so is
one that does not fit with the least; the rest continues.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate
from operator import add, le, sub

from costing.buying.counted_goods import Drawn, Draws
from costing.buying.whole_supplies import NONE
from costing.quantities import ONE, ZERO

MOST_SUMS = 20_000
"""Different sums of what is used that are followed; of more the likeliest. [sum]"""

Sum = tuple[Fraction, ...]
"""What is used of each place, in whole numbers."""


@dataclass(frozen=True, slots=True)
class Chance:
    """The chance that all fits, exact unless too many sums had to be followed.

    ``low``, ``high``: it is from the one to the other. [fraction]
    """

    low: Fraction
    high: Fraction


CERTAIN, IMPOSSIBLE = Chance(ONE, ONE), Chance(ZERO, ZERO)


@dataclass(frozen=True)
class ShotGroup:
    """What a group of shots may use.

    ``ways``: each way with its weight, a whole number; the chance of a way is its part of all
    weights.
    """

    ways: tuple[tuple[int, Draws], ...]

    @property
    def is_certain(self) -> bool:
        """Whether there is one way only."""
        return len(self.ways) == 1

    @cached_property
    def most(self) -> Draws:
        """The most that it may use of each that it may draw from."""
        most: dict[Drawn, Fraction] = {}
        for _, use in self.ways:
            for one, amount in use.items():
                most[one] = max(most.get(one, NONE), amount)
        return most


class Fitting:
    """What is used for certain, and what may be, against what there is.

    Parameters
    ----------
    base : mapping
        What is used for certain. [base unit]
    drawn : mapping of int to sequence of Drawn
        The supplies that may lack, by number, with what is drawn that takes of them.
    lacking : callable
        By how much a supply is lacking, by its number and what is used.
    levels : mapping of int to Fraction
        What there is of those supplies whose uses add up to one number, drawn at one place.
    """

    def __init__(
        self,
        base: Draws,
        groups: Sequence[ShotGroup],
        drawn: Mapping[int, Sequence[Drawn]],
        lacking: Callable[[int, Draws], Fraction],
        levels: Mapping[int, Fraction],
    ) -> None:
        self._lacking = lacking
        self._supplies = tuple(drawn)
        # their places stand first, so that a sum is compared with the levels number by number
        self._levels = tuple(levels.values())
        self._others = tuple(at for at in drawn if at not in levels)
        first = [drawn[at] for at in (*levels, *self._others)]
        self._places = tuple(dict.fromkeys(one for several in first for one in several))
        self._base = self._sum(base)
        # groups with few ways first: the sums multiply late, when most of them are settled
        self._ways = sorted((self._merged(group) for group in groups), key=len)

    def _sum(self, use: Draws) -> Sum:
        """What is used of each place."""
        return tuple(use.get(place, NONE) for place in self._places)

    def _merged(self, group: ShotGroup) -> list[tuple[int, Sum]]:
        """The ways of a group that differ in what may lack."""
        merged: dict[Sum, int] = {}
        for weight, use in group.ways:
            at = self._sum(use)
            merged[at] = merged.get(at, 0) + weight
        return [(weight, at) for at, weight in merged.items()]

    def _used(self, amounts: Sum) -> dict[Drawn, Fraction]:
        return dict(zip(self._places, amounts, strict=True))

    def _fits(self, rest: Sum) -> Callable[[Sum], bool]:
        """Whether a sum fits where the rest uses so much besides."""
        room = tuple(map(sub, self._levels, rest))

        def fits(amounts: Sum) -> bool:
            if not all(map(le, amounts, room)):
                return False
            used = self._used(_added(amounts, rest)) if self._others else {}
            return all(self._lacking(at, used) <= 0 for at in self._others)

        return fits

    def chance(self) -> Chance:
        """The chance that all fits."""
        bounds = _bounds(self._ways, len(self._places))
        totals = [sum(weight for weight, _ in group) for group in self._ways]
        rest = whole = math.prod(totals)
        sums = {self._base: 1}
        fitting = lost = 0
        for at, (least, most) in enumerate(bounds):
            undecided: dict[Sum, int] = {}
            fits_at_most, fits_at_least = self._fits(most), self._fits(least)
            for used, weight in sums.items():
                # settled with all its weight, whatever the rest uses; one that lacks even with the
                # least of the rest is settled too, and dropped
                if fits_at_most(used):
                    fitting += weight * rest
                elif fits_at_least(used):
                    undecided[used] = weight
            if at == len(totals) or not undecided:
                break
            # what is dropped may fit or not: its weight widens the interval and decides nothing
            if len(undecided) > MOST_SUMS:
                kept = sorted(undecided, key=lambda used: -undecided[used])[:MOST_SUMS]
                lost += rest * sum(undecided.values())
                undecided = {used: undecided[used] for used in kept}
                lost -= rest * sum(undecided.values())
            sums = _followed(undecided, self._ways[at])
            rest //= totals[at]
        return Chance(Fraction(fitting, whole), Fraction(fitting + lost, whole))

    def lacks(self) -> list[tuple[Fraction, Fraction]]:
        """All that may lack of the one supply there is, rising from 0.

        Each with the chance that no more than that lacks.
        """
        (supply,) = self._supplies
        sums = {self._base: 1}
        for group in self._ways:
            sums = _followed(sums, group)
        weights = {NONE: 0}
        for used, weight in sums.items():
            lack = max(NONE, self._lacking(supply, self._used(used)))
            weights[lack] = weights.get(lack, 0) + weight
        rising, whole = sorted(weights), sum(weights.values())
        chances = accumulate(weights[lack] for lack in rising)
        return [(at, Fraction(part, whole)) for at, part in zip(rising, chances, strict=True)]


def _followed(sums: Mapping[Sum, int], group: Sequence[tuple[int, Sum]]) -> dict[Sum, int]:
    """The sums with what a group may use besides, with their weights."""
    found: dict[Sum, int] = {}
    for used, weight in sums.items():
        for more, use in group:
            after = _added(used, use)
            found[after] = found.get(after, 0) + weight * more
    return found


def _added(one: Sum, other: Sum) -> Sum:
    return tuple(map(add, one, other))


def _bounds(ways: Sequence[Sequence[tuple[int, Sum]]], width: int) -> list[tuple[Sum, Sum]]:
    """For each place in the order of the groups the least and the most that the rest may use."""
    least = most = (NONE,) * width
    bounds = [(least, most)]
    for group in reversed(ways):
        columns = list(zip(*(use for _, use in group), strict=True))
        least = _added(least, tuple(map(min, columns)))
        most = _added(most, tuple(map(max, columns)))
        bounds.append((least, most))
    return bounds[::-1]
