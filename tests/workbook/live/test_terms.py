"""The text of a formula says what its exact number is."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.workbook.results.live.terms import (
    NOTHING,
    Term,
    difference,
    least,
    most,
    number,
    on_edge,
    power,
    product,
    ratio,
    rounded,
    total,
)

CELLS = {
    "A1": Fraction(7),
    "B2": Fraction(1, 3),
    "C3": Fraction("2.5"),
    "D4": Fraction(120),
}
A, B = (Term(text, CELLS[text]) for text in ("A1", "B2"))
cells = st.sampled_from([Term(text, value) for text, value in CELLS.items()])
numbers = st.sampled_from(["2", "0.72", "1/3", "20/3", "1000", "1", "0"]).map(
    lambda text: number(Fraction(text))
)


def joined(parts: st.SearchStrategy[Term]) -> st.SearchStrategy[Term]:
    pairs = st.tuples(parts, parts)
    return st.one_of(
        st.lists(parts, min_size=1, max_size=4).map(total),
        st.lists(parts, min_size=1, max_size=4).map(lambda some: product(*some)),
        pairs.map(lambda two: difference(*two)),
        pairs.filter(lambda two: two[1].value != 0).map(lambda two: ratio(*two)),
        st.lists(parts, min_size=1, max_size=3).map(least),
        st.lists(parts, min_size=1, max_size=3).map(most),
        st.tuples(parts, st.integers(0, 3)).map(lambda two: power(*two)),
    )


terms = st.recursive(st.one_of(cells, numbers), joined, max_leaves=12)


def read(text: str) -> Fraction:
    """What a formula gives, read by Python's own rules for brackets and operators."""
    names = {"MIN": min, "MAX": max}
    exact = re.sub(r"(?<![A-Z0-9.])(\d+(?:\.\d+)?)", r"Fraction('\1')", text)
    value = eval(exact.replace("^Fraction('", "**int('"), {**names, **CELLS, "Fraction": Fraction})  # noqa: S307
    return Fraction(value)


@given(terms)
def test_term__its_text_gives_its_value(term: Term) -> None:
    assert read(term.text) == term.value


@given(terms)
def test_term__a_number_refers_to_no_cell(term: Term) -> None:
    assert term.constant is not any(cell in term.text for cell in CELLS)


@pytest.mark.parametrize(
    ("term", "text"),
    [
        (product(A, number(1)), "A1"),
        (product(A, number(Fraction(1, 1000))), "A1/1000"),
        (product(A, number(Fraction("0.89"))), "A1*0.89"),
        (product(product(A, number(1000)), number(Fraction(1, 1000))), "A1"),
        (product(A, number(Fraction(20, 3))), "A1*20/3"),
        (product(A, number(0)), "0"),
        (ratio(A, ratio(B, number(100))), "A1/B2*100"),
        (ratio(A, product(B, A)), "A1/(B2*A1)"),
        (difference(A, NOTHING), "A1"),
        (difference(A, difference(B, A)), "A1-(B2-A1)"),
        (total([A, number(2), B, number(3)]), "A1+B2+5"),
        (product(total([A, B]), B), "(A1+B2)*B2"),
        (power(difference(number(1), B), 2), "(1-B2)^2"),
        (least([A, B]), "MIN(A1,B2)"),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_term__is_written_as_short_as_may_be(term: Term, text: str) -> None:
    assert term.text == text


def test_rounded__half_a_coin_up() -> None:
    """1.2345 is 1.23; 1.236 is 1.24."""
    for value, coins in (("1.2345", "1.23"), ("1.236", "1.24")):
        term = rounded(Term("A1", Fraction(value)), 2)
        assert term is not None
        assert (term.text, term.value) == ("ROUND(A1,2)", Fraction(coins))


def test_rounded__on_the_edge_there_is_no_formula() -> None:
    assert rounded(Term("A1", Fraction("0.125")), 2) is None
    assert on_edge(Fraction("2.5"), 0)
    assert not on_edge(Fraction("2.5"), 1)
