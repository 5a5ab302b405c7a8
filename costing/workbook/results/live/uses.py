"""Dishes written out for formulas: each line with how often it goes into one batch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from costing.kitchen import Line
from costing.names import key
from costing.quantities import Dimension
from costing.shoot import Shoot, Shot
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.terms import UNITY, Term, number, product, ratio


@dataclass(frozen=True, slots=True)
class Use:
    """One ingredient line as it stands in a whole dish.

    Parameters
    ----------
    line : Line
        The line, perhaps of a dish inside the dish.
    step : int
        The step of the outer dish it falls in.
    times : Term, optional
        How often the line goes into one batch of the outer dish; ``None`` when no formula says it.
    optional : bool
        Whether it is optional at any depth.
    candidates : Term
        Bought for each one shown, over all depths.
    """

    line: Line
    step: int
    times: Term | None
    optional: bool
    candidates: Term


class Uses:
    """The written-out lines of a shoot's dishes, each dish written out once.

    Parameters
    ----------
    shoot : Shoot
        Whose recipes.
    inputs : Inputs
        Cells that may be referred to.
    """

    def __init__(self, shoot: Shoot, inputs: Inputs) -> None:
        self._shoot, self._inputs = shoot, inputs
        self._known: dict[str, tuple[Use, ...]] = {}
        self._open: list[str] = []

    def taken_by(self, shot: Shot) -> Iterator[Use]:
        """What the steps of a shot take, optional lines by its own word."""
        for use in self._of(shot.dish):
            if shot.steps is not None and use.step not in shot.steps:
                continue
            if not use.optional or shot.optional_lines:
                yield use

    def _of(self, dish: str) -> tuple[Use, ...]:
        name = key(dish)
        if name not in self._known:
            self._open.append(name)
            uses = tuple(self._written_out(dish))
            self._open.pop()
            self._known[name] = uses
        return self._known[name]

    def _written_out(self, dish: str) -> Iterator[Use]:
        for line in self._shoot.recipes[dish]:
            if not line.ingredient or line.to_taste:
                continue
            candidates = self._inputs.cell(line, "Candidates", line.candidates)
            if not self._shoot.is_dish(line.ingredient):
                yield Use(line, line.step, UNITY, line.optional, candidates)
            elif key(line.ingredient) not in self._open:
                batches = self._batches(line)
                for use in self._of(line.ingredient):
                    yield Use(
                        use.line,
                        line.step,
                        product(batches, use.times) if batches and use.times else None,
                        line.optional or use.optional,
                        product(candidates, use.candidates),
                    )

    def _batches(self, line: Line) -> Term | None:
        """How many batches of the inner dish a line takes.

        Told by the weight of all its lines it would be a formula nobody can read.
        """
        amount = line.amount
        if amount is None:
            return None
        cell = self._inputs.cell(line, "Amount", amount.magnitude)
        taken = product(cell, number(amount.unit.size))
        if amount.unit.dimension is Dimension.BATCH:
            return taken
        dish = self._shoot.dish_rows.get(line.ingredient)
        makes = dish.makes if dish else None
        if dish is None or makes is None or makes.unit.dimension is not amount.unit.dimension:
            return None
        if makes.base <= 0:
            return None
        whole = self._inputs.cell(dish, "Makes", makes.magnitude)
        return ratio(taken, product(whole, number(makes.unit.size)))
