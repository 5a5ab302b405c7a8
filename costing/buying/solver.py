"""The door of the solver: mixed-integer linear programmes in exact numbers, solved by HiGHS.

HiGHS computes with floats. Rows are scaled before they are handed over, and what comes back is a
proposal that the caller checks exactly.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from time import monotonic

Parts = Mapping[int, Fraction | int]
"""A linear expression: for each column its factor."""

Expression = dict[int, Fraction]
"""The same while it is being made."""

LARGEST_WHOLE_FACTOR = 10**7
"""An objective is scaled to whole numbers when no factor becomes larger than this: the solver then
knows that costs go up by steps and proves the least sooner, and a factor keeps its digits."""

LARGEST_FACTOR = 1000
"""Otherwise its largest factor becomes this, far above what the solver takes for nothing, 1e-6."""

NO_LIMIT = 2**31 - 1
"""The largest number of seconds or branches that may be asked for. [s, branch]"""

OPTIMAL, INFEASIBLE, UNCLEAR = 0, 2, 4
"""Status of an answer, as scipy.optimize.milp gives it."""

INFINITE = 1e20
"""From here on the solver takes a bound for infinite. It refuses a row that asks for that much with
the status of a programme without a solution; so such a row is not handed over, and that status has
one meaning."""


ROOT = 20
"""Branches that a programme counts for before it has any: cuts and first tries. [branch]"""


class Deadline:
    """The end of what a whole computation may take, however many searches it takes.

    Parameters
    ----------
    seconds : float
        From now on: what ends by it differs from computer to computer. [s]
    work : float
        So much is counted: what ends by it is the same on every computer. [column times branch]
    """

    def __init__(self, seconds: float = math.inf, *, work: float = math.inf) -> None:
        self._end = monotonic() + seconds
        self._work = work
        self.spent = 0.0
        """What was counted. [column times branch]"""

    @property
    def left(self) -> float:
        """What is left of it, never below 0. [s]"""
        return max(0.0, self._end - monotonic())

    @property
    def passed(self) -> bool:
        """Whether nothing is left."""
        return self.left == 0 or self.spent >= self._work

    def spend(self, work: float) -> None:
        """Count what was worked. [column times branch]"""
        self.spent += work

    def branches(self, columns: int, nodes: int | None = None) -> int | None:
        """Branches that a programme of so many columns may take, and no more than ``nodes``.

        ``None`` when any number; below 0 when it is not to be begun.
        """
        if self._work == math.inf:
            return nodes
        left = math.ceil((self._work - self.spent) / max(columns, 1)) - ROOT
        return left if nodes is None else min(left, nodes)


class Ending(StrEnum):
    """How a search ended."""

    PROVEN = "proven"
    ENDED = "ended by a limit"
    IMPOSSIBLE = "no solution"


@dataclass(frozen=True, slots=True)
class Solution:
    """What the solver found.

    Parameters
    ----------
    values : tuple of float
        By column; empty when nothing was found.
    bound : float
        No solution has a smaller objective; minus infinity when nothing is known.
    """

    ending: Ending
    values: tuple[float, ...]
    bound: float
    branches: int = 0

    def whole(self, column: int) -> int:
        """The whole number a column stands for."""
        return round(self.values[column])


class Model:
    """Columns and rows of a programme that minimises.

    Examples
    --------
    At least 7 of 3 for 2.00 and 2 for 1.50: one of one and two of the other.

    >>> model = Model()
    >>> three, two = model.column(), model.column()
    >>> model.row({three: 3, two: 2}, least=7)
    >>> answer = model.minimise({three: Fraction(2), two: Fraction(3, 2)})
    >>> answer.ending, answer.whole(three), answer.whole(two)
    (<Ending.PROVEN: 'proven'>, 1, 2)
    """

    def __init__(self) -> None:
        self._upper: list[float] = []
        self._whole: list[bool] = []
        self._rows: list[tuple[dict[int, float], float, float]] = []
        self._readable = True

    def copy(self) -> Model:
        """Another model with the same columns and rows, to be added to by itself."""
        other = Model()
        other._upper, other._whole = [*self._upper], [*self._whole]
        other._rows, other._readable = [*self._rows], self._readable
        return other

    @property
    def columns(self) -> int:
        """How many there are."""
        return len(self._upper)

    def column(self, *, upper: Fraction | float = math.inf, whole: bool = True) -> int:
        """A new column from 0 to ``upper``."""
        self._upper.append(float(upper))
        self._whole.append(whole)
        return len(self._upper) - 1

    def row(
        self,
        parts: Parts,
        *,
        least: Fraction | float = -math.inf,
        most: Fraction | float = math.inf,
    ) -> None:
        """Hold an expression between two bounds; it is scaled so that its largest factor is 1."""
        largest = max((abs(Fraction(factor)) for factor in parts.values()), default=Fraction(1))
        scale = largest or Fraction(1)
        factors = {column: float(factor / scale) for column, factor in parts.items() if factor}
        bounds = _scaled(least, scale), _scaled(most, scale)
        self._rows.append((factors, *bounds))
        self._readable &= bounds[0] < INFINITE and bounds[1] > -INFINITE

    def minimise(
        self, objective: Parts, *, seconds: float = math.inf, nodes: int | None = None
    ) -> Solution:
        """Find the columns with the least objective.

        Parameters
        ----------
        seconds : float
            After so long the search is ended. [s]
        nodes : int, optional
            After so many branches the search is ended, the same on every computer.
        """
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp  # here only: seldom needed
        from scipy.sparse import csr_array

        count = len(self._upper)
        if not self._readable:
            return Solution(Ending.ENDED, (), -math.inf)
        if not count:
            return Solution(Ending.PROVEN, (), 0.0)
        scale = _fineness(objective)
        costs = [float(objective.get(column, 0) * scale) for column in range(count)]
        entries = [
            (number, column, factor)
            for number, (parts, _, _) in enumerate(self._rows)
            for column, factor in parts.items()
        ]
        matrix = csr_array(
            (
                [factor for _, _, factor in entries],
                ([row for row, _, _ in entries], [column for _, column, _ in entries]),
            ),
            shape=(len(self._rows), count),
        )
        for presolve in (True, False):
            # HiGHS 1.12 loses the solutions of some programmes in its presolve, or fails on the way
            # back from it: where it finds none it is asked again without
            found = milp(
                costs,
                integrality=np.array(self._whole, dtype=np.uint8),
                bounds=Bounds(0, self._upper),
                constraints=LinearConstraint(
                    matrix,
                    [least for _, least, _ in self._rows],
                    [most for _, _, most in self._rows],
                ),
                options={
                    "presolve": presolve,
                    # the default ends within 1e-4 of the least, which may be money
                    "mip_rel_gap": 0.0,
                    "time_limit": min(max(0.0, seconds), NO_LIMIT),
                    "node_limit": NO_LIMIT if nodes is None else nodes,
                },
            )
            if found.status not in (INFEASIBLE, UNCLEAR):
                break
        if found.status == INFEASIBLE:
            return Solution(Ending.IMPOSSIBLE, (), math.inf)
        if found.status == UNCLEAR and objective:
            # "infeasible or unbounded": without an objective only one of the two is left
            any_solution = self.minimise({}, seconds=seconds, nodes=nodes)
            if any_solution.ending is Ending.IMPOSSIBLE:
                return any_solution
        proven = found.status == OPTIMAL
        bound = found.fun if proven else found.mip_dual_bound
        return Solution(
            Ending.PROVEN if proven else Ending.ENDED,
            () if found.x is None else tuple(map(float, found.x)),
            -math.inf if bound is None else bound / float(scale),
            found.get("mip_node_count") or 0,
        )


def _scaled(bound: Fraction | float, scale: Fraction) -> float:
    return float(bound / scale) if isinstance(bound, Fraction | int) else bound


def _fineness(objective: Parts) -> Fraction:
    """What the objective is multiplied by: so that it is whole where that is no large number."""
    factors = [Fraction(factor) for factor in objective.values() if factor]
    if not factors:
        return Fraction(1)
    whole = math.lcm(*(factor.denominator for factor in factors))
    common = math.gcd(*(int(factor * whole) for factor in factors))
    scale = Fraction(whole, common)
    largest = max(abs(factor) for factor in factors)
    return scale if largest * scale <= LARGEST_WHOLE_FACTOR else LARGEST_FACTOR / largest
