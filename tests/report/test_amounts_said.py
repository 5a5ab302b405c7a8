"""Amounts as a cook says them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import pack

from costing.buying.till import Bought
from costing.quantities import Amount, Measures, all_units, amount, find_unit
from costing.report.shop_words import buy_words, quantity


@pytest.mark.parametrize(
    ("value", "unit", "measures", "text"),
    [
        (Fraction(20000, 9), "g", Measures.METRIC, "2.22 kg"),
        (Fraction(2500, 3), "g", Measures.METRIC, "833 g"),
        (Fraction(1000), "g", Measures.METRIC, "1 kg"),
        (Fraction(1225), "g", Measures.METRIC, "1.225 kg"),
        (Fraction(1, 40), "kg", Measures.METRIC, "25 g"),
        (Fraction(16), "oz", Measures.US_CUSTOMARY, "1 lb"),
        (Fraction(24), "oz", Measures.US_CUSTOMARY, "1 1/2 lb"),
        (Fraction(169, 10), "US fl oz", Measures.US_CUSTOMARY, "16.9 fl oz"),
        (Fraction(4), "US teaspoon", Measures.US_CUSTOMARY, "4 tsp"),
        (Fraction(5, 2), "US cup", Measures.US_CUSTOMARY, "2 1/2 cups"),
        (Fraction(5, 2), "US cup", Measures.METRIC, "2 1/2 US cups"),
        (Fraction(4, 3), "each", Measures.METRIC, "1 1/3"),
        (Fraction(0), "g", Measures.METRIC, "0 g"),
        (None, "g", Measures.METRIC, "-"),
    ],
)
def test_quantity__as_a_cook_says_it(
    value: Fraction | None, unit: str, measures: Measures, text: str
) -> None:
    """16 oz are a pound; 20000/9 g are 2222.2 g; a US cup is not the metric one of 250 ml."""
    assert quantity(value, unit, measures) == text


@given(
    value=st.fractions(min_value=Fraction(1, 50), max_value=5000, max_denominator=60),
    unit=st.sampled_from(sorted(unit.name for unit in all_units())),
)
def test_quantity__says_the_amount_to_three_digits(value: Fraction, unit: str) -> None:
    """Law: what is said is the amount, to a half of the third digit or closer."""
    said = quantity(value, unit)
    read = amount(f"{said} each" if unit == "each" else said)
    meant = Amount(value, find_unit(unit, Measures.METRIC))
    assert read.unit.dimension == meant.unit.dimension
    assert abs(read.base - meant.base) <= meant.base / 200, said


@pytest.mark.parametrize(
    ("number", "content", "text"),
    [
        (3, "250 g", "3 x 250 g"),
        (1, "250 g", "250 g"),
        (4, "1 each", "4"),
        (2, "6 each", "2 x 6"),
    ],
    ids=["packs", "one pack", "pieces", "boxes"],
)
def test_buy_words__how_many_of_what(number: int, content: str, text: str) -> None:
    assert buy_words(Bought(pack("leek", content, "1.00"), number), Measures.METRIC) == text
