"""Calculations over cells, grown at random."""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from costing.quantities import exact_money, least, most, round_money

Cells = Mapping[str, Fraction]
Expression = Callable[[Callable[[str], Any]], Any]
"""A calculation over cells, given by their names."""


def constant(value: Any) -> Expression:
    return lambda _: value


def cell_of(name: str) -> Expression:
    return lambda cell: cell(name)


def both(work: Callable[[Any, Any], Any], one: Expression, other: Expression) -> Expression:
    return lambda cell: work(one(cell), other(cell))


def grown(parts: st.SearchStrategy[Expression]) -> st.SearchStrategy[Expression]:
    two = st.tuples(parts, parts)
    works = [operator.add, operator.sub, operator.mul, operator.truediv, least, most]

    def joined(work: Callable[[Any, Any], Any]) -> st.SearchStrategy[Expression]:
        return two.map(lambda pair: both(work, *pair))

    return st.one_of(
        *map(joined, works),
        parts.map(lambda one: lambda cell: -one(cell)),
        parts.map(lambda one: lambda cell: exact_money(round_money(one(cell), 2))),
        st.tuples(parts, st.integers(0, 3)).map(lambda two: lambda cell: two[0](cell) ** two[1]),
    )
