r"""Pieces to pick from in the programme of caps and packs.

What is looked at beyond the pieces used is a column :math:`e` for each episode, with

.. math:: e \ge \sum_{l,p} C_l\, a_{lp} D_p + \sum_m n(m)\, w\, z_m - U, \qquad
   \sum_m m\, z_m \ge \sum_p a_p D_p, \qquad \sum_m z_m = 1,

:math:`U` and :math:`D_p` linear in the caps. Where a part of the pieces is good enough, binaries
:math:`z_m` say for how many pieces :math:`m` of the weight :math:`w` there are enough good ones
among :math:`n(m)`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction

from costing.buying.activities import Linear
from costing.buying.picking import GoodEnough, LookedAt, Picking, pieces_to_pick_from
from costing.buying.runs import Timed
from costing.buying.solver import Model
from costing.quantities import ONE, ZERO
from costing.shoot.copies import Forest


class Candidates:
    """The columns for what is looked at, in one model.

    Parameters
    ----------
    model : Model
        To be added to.
    values : mapping of int to sequence of int
        The numbers of times there may be, the lowest first. [time]
    """

    def __init__(self, model: Model, values: Mapping[int, Sequence[int]]) -> None:
        self._model, self._values = model, values
        self._lowest = {shot: numbers[0] for shot, numbers in values.items()}
        self._highest = {shot: numbers[-1] for shot, numbers in values.items()}
        self._columns: dict[LookedAt, int] = {}

    def column(self, one: LookedAt, timed: Timed) -> int:
        """The column for what is looked at in an episode beyond the pieces used there.

        Parameters
        ----------
        one : LookedAt
            Of which ingredient and episode.
        timed : callable
            Turns numbers of times and runs into columns.
        """
        if one in self._columns:
            return self._columns[one]
        picking = one.picking
        most = picking.looked_at(one.episode, self._highest)
        column = self._columns[one] = self._model.column(upper=most, whole=False)
        looked_at, row = Linear(), {column: ONE}
        looked_at.add(one.used, -ONE)
        for pick in picking.by_number(one.episode):
            candidates = pick.leaf.candidates * pick.amount
            looked_at.add(Linear(per_time={pick.shot: candidates}), ONE)
        for group in picking.by_part(one.episode):
            for shown, pieces in self._numbers_shown(group, picking, timed).items():
                row[shown] = -group.each * pieces_to_pick_from(
                    Fraction(pieces), good_enough=group.part, risk=picking.risk
                )
        expression, constant = timed(looked_at)
        row |= {at: -factor for at, factor in expression.items()}
        self._model.row(row, least=constant)
        return column

    def _numbers_shown(self, group: GoodEnough, picking: Picking, timed: Timed) -> dict[int, int]:
        """A column for each number of pieces that may be shown; one is chosen. [piece]"""
        shown = Linear()
        for pick in group.picks:
            shown.add(Linear(per_time={pick.shot: pick.pieces}), ONE)
        sums = self._sums(shown, picking.forest)
        numbers = {self._model.column(upper=1): pieces for pieces in sums}
        self._model.row(dict.fromkeys(numbers, ONE), least=1, most=1)
        expression, constant = timed(shown)
        row = {column: Fraction(pieces) for column, pieces in numbers.items()}
        row |= {column: -factor for column, factor in expression.items()}
        self._model.row(row, least=constant)
        return numbers

    def _sums(self, shown: Linear, forest: Forest) -> list[int]:
        """The numbers of pieces that the numbers of times can come to. [piece]"""
        sums = {ZERO}
        highest = sum(
            (n * forest.times(shot, self._highest) for shot, n in shown.per_time.items()), ZERO
        )
        for shot, pieces in shown.per_time.items():
            fewest, most = (forest.times(shot, caps) for caps in (self._lowest, self._highest))
            times = self._values.get(shot, ()) if shot not in forest.takers else ()
            sums = {one + pieces * n for one in sums for n in times or range(fewest, most + 1)}
            if len(sums) > highest + 1:  # parts of pieces add up to ever more numbers
                return list(range(math.ceil(highest) + 1))
        return sorted({math.ceil(one) for one in sums})
