"""Numbers at the start of a text, in digits and in words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from costing.quantities import Measures
from costing.recipe_text import read_line
from costing.recipe_text.counts import count_at


@pytest.mark.trade
@pytest.mark.parametrize(
    ("text", "number", "written", "rest"),
    [
        ("1 and 1/2 cups", Fraction(3, 2), "1 and 1/2", " cups"),
        ("2-3/4 cups", Fraction(11, 4), "2-3/4", " cups"),
        ("a couple of carrots", Fraction(2), "a couple of", " carrots"),
        ("three", Fraction(3), "three", ""),
        ("twelve eggs", Fraction(12), "twelve", " eggs"),
        ("fourteen eggs", Fraction(14), "fourteen", " eggs"),
        ("nineteen eggs", Fraction(19), "nineteen", " eggs"),
    ],
)
def test_count_at__gives_the_number_as_it_stood(
    text: str, number: Fraction, written: str, rest: str
) -> None:
    found = count_at(text)
    assert found is not None
    assert (found[0].low, found[0].high, found[0].written, found[1]) == (
        number,
        number,
        written,
        rest,
    )


def test_count_at__three_halves_behind_a_hyphen_are_the_end_of_a_range() -> None:
    """And nothing behind "and": nobody writes one and a fraction of a whole or more."""
    found = count_at("1-3/2 cups")
    assert found is not None
    assert (found[0].low, found[0].high, found[0].written) == (
        Fraction(1),
        Fraction(3, 2),
        "1-3/2",
    )
    added = count_at("1 and 3/2 cups")
    assert added is not None
    assert (added[0].low, added[0].written) == (None, "1 and 3/2")
    assert [said.about for said in added[0].doubts] == [
        ("1 3/2", "3/2 behind a whole number is not below 1")
    ]


@pytest.mark.parametrize("text", ["a", "an", "apples", "twofold"])
def test_count_at__a_word_alone_that_may_be_an_article_is_no_number(text: str) -> None:
    assert count_at(text) is None


@pytest.mark.trade
@pytest.mark.parametrize("line", ["3 x tomatoes", "3 × tomatoes"])
def test_read_line__times_before_a_food_counts_it(line: str) -> None:
    parts = read_line(line, Measures.METRIC)
    assert (parts.low, parts.high) == (Fraction(3), Fraction(3))
    assert (parts.name, parts.unit) == ("tomato", "each")
