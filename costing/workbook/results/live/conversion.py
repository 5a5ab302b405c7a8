"""Conversions as parts of a formula; the rules are those of :mod:`costing.kitchen.conversion`."""

from __future__ import annotations

from costing.kitchen import Ingredient, Line, Measured
from costing.quantities import Amount, Dimension
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.terms import UNITY, Term, number, product, ratio


class Conversions:
    """Conversions of one ingredient.

    Parameters
    ----------
    ingredient : Ingredient
        Whose losses and weights apply.
    inputs : Inputs
        Cells that may be referred to.
    """

    def __init__(self, ingredient: Ingredient, inputs: Inputs) -> None:
        self._ingredient, self._inputs = ingredient, inputs

    @property
    def trim_yield(self) -> Term:
        """Edible part of one sound purchased part. [fraction]"""
        return self._trim_yield(1)

    @property
    def trim_yield_percent(self) -> Term:
        """The same in percent. [%]"""
        return self._trim_yield(100)

    def _trim_yield(self, times: int) -> Term:
        value = self._ingredient.trim_yield
        if value is None:
            return number(times)
        return self._inputs.cell(self._ingredient, "Trim yield %", value, times=times)

    def _cooked_weight(self) -> Term | None:
        value = self._ingredient.cooked_weight
        if value is None:
            return None
        return self._inputs.cell(self._ingredient, "Cooked weight %", value)

    def _grams(self, dimension: Dimension) -> Term | None:
        """Grams of one base unit, trimmed. [g]"""
        if dimension is Dimension.MASS:
            return UNITY
        heading, value = {
            Dimension.VOLUME: ("Grams per ml", self._ingredient.density),
            Dimension.COUNT: ("Grams per piece", self._ingredient.piece_weight),
        }.get(dimension, ("", None))
        return None if value is None else self._inputs.cell(self._ingredient, heading, value)

    def across(self, source: Dimension, target: Dimension) -> Term | None:
        """What one trimmed base unit is in another dimension; ``None`` is unknown."""
        if source is target:
            return UNITY
        upper, lower = self._grams(source), self._grams(target)
        return None if upper is None or lower is None or not lower.value else ratio(upper, lower)

    def trimmed(self, line: Line, amount: Amount, target: Dimension) -> Term | None:
        """A line's amount, trimmed and raw. [base unit of ``target``]"""
        source = amount.unit.dimension
        cell = self._inputs.cell(line, "Amount", amount.magnitude)
        parts = [cell, number(amount.unit.size)]
        across = self.across(source, target)
        if across is None:
            return None
        if source is not Dimension.COUNT and line.measured is Measured.AS_BOUGHT:
            parts.append(self.trim_yield)
        clean = product(*parts, across)
        if source is not Dimension.COUNT and line.measured is Measured.COOKED:
            cooked = self._cooked_weight()
            return None if cooked is None else ratio(clean, cooked)
        return clean

    def bought(self, clean: Term, source: Dimension, target: Dimension, whole: Term) -> Term | None:
        """What must be bought for a trimmed amount. [base unit of ``target``]

        Parameters
        ----------
        clean : Term
            The trimmed amount. [base unit of ``source``]
        whole : Term
            The trim yield, as the formula refers to it. [fraction]
        """
        across = self.across(source, target)
        if across is None:
            return None
        amount = product(clean, across)
        return amount if target is Dimension.COUNT else ratio(amount, whole)

    def bought_as(self, source: Dimension, target: Dimension) -> Term | None:
        """What one base unit as bought is in another dimension, such as a bag in pieces."""
        if source is target:
            return UNITY
        across = self.across(source, target)
        if across is None:
            return None
        if source is Dimension.COUNT:
            return ratio(across, self.trim_yield)
        return product(across, self.trim_yield) if target is Dimension.COUNT else across
