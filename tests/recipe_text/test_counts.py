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


@pytest.mark.parametrize("text", ["a", "an", "apples", "twofold"])
def test_count_at__a_word_alone_that_may_be_an_article_is_no_number(text: str) -> None:
    assert count_at(text) is None


@pytest.mark.trade
@pytest.mark.parametrize("line", ["3 x tomatoes", "3 × tomatoes"])
def test_read_line__times_before_a_food_counts_it(line: str) -> None:
    parts = read_line(line, Measures.METRIC)
    assert (parts.low, parts.high) == (Fraction(3), Fraction(3))
    assert (parts.name, parts.unit) == ("tomato", "each")
