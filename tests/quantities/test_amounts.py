"""Amounts: exact arithmetic within a dimension."""

from __future__ import annotations

import operator
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.quantities import (
    EACH,
    GRAM,
    MILLILITRE,
    AmbiguousNumber,
    Amount,
    Dimension,
    DimensionMismatch,
    Measures,
    Unit,
    UnknownUnit,
    UnreadableNumber,
    all_units,
    amount,
    magnitude_text,
)

F = Fraction
FRACTIONS = st.fractions(max_denominator=10_000)
UNITS_BY_DIMENSION = {
    dimension: [unit for unit in all_units() if unit.dimension is dimension]
    for dimension in Dimension
}


@st.composite
def alike(draw: st.DrawFn, count: int) -> list[Amount]:
    """Amounts of one dimension, each in its own unit."""
    units = UNITS_BY_DIMENSION[draw(st.sampled_from(Dimension))]
    return [Amount(draw(FRACTIONS), draw(st.sampled_from(units))) for _ in range(count)]


def test_amount__two_thirds_of_a_cup_three_times_is_two_cups() -> None:
    """2/3 x 3 = 2 exactly; a binary fraction would make three packs of it."""
    assert amount("2/3 US cup") * 3 == amount("2 US cup")
    assert (amount("2/3 US cup") * 3).to(MILLILITRE).magnitude == F("473.176473")


@given(alike(2))
def test_amount__addition_commutes(two: list[Amount]) -> None:
    one, other = two
    assert one + other == other + one
    assert (one + other).unit == one.unit
    assert (one + other).base == one.base + other.base


@given(alike(3))
def test_amount__addition_associates(three: list[Amount]) -> None:
    a, b, c = three
    assert (a + b) + c == a + (b + c)


@given(alike(2))
def test_amount__subtraction_undoes_addition(two: list[Amount]) -> None:
    one, other = two
    assert one + other - other == one
    assert one - other == one + -other


@given(alike(2), FRACTIONS)
def test_amount__multiplication_distributes(two: list[Amount], times: Fraction) -> None:
    one, other = two
    assert (one + other) * times == one * times + other * times
    assert times * one == one * times
    if times:
        assert one * times / times == one


@given(alike(2))
def test_amount__division_by_an_amount_gives_how_many(two: list[Amount]) -> None:
    one, other = two
    if other.magnitude:
        ratio = one / other
        assert isinstance(ratio, Fraction)
        assert other * ratio == one
    else:
        with pytest.raises(ZeroDivisionError):
            one / other


@given(alike(2))
def test_amount__conversion_there_and_back_changes_nothing(two: list[Amount]) -> None:
    one, other = two
    there = one.to(other.unit)
    assert there == one
    assert there.base == one.base
    assert there.to(one.unit).magnitude == one.magnitude


@given(alike(2))
def test_amount__order_is_that_of_the_base(two: list[Amount]) -> None:
    one, other = two
    assert (one < other) is (one.base < other.base)
    assert (one <= other) is (one.base <= other.base)
    assert (one > other) is (one.base > other.base)
    assert (one >= other) is (one.base >= other.base)
    assert (one == other) is (one.base == other.base)


def test_amount__equal_amounts_have_one_hash() -> None:
    assert len({amount("1 kg"), amount("1000 g"), amount("1 l"), amount("1000 ml")}) == 2


def test_amount__same_number_of_another_dimension_differs() -> None:
    assert Amount(F(1), GRAM) != Amount(F(1), MILLILITRE)
    assert Amount(F(0), GRAM) != Amount(F(0), EACH)
    assert Amount(F(1), GRAM) != 1


@pytest.mark.parametrize(
    "combine",
    [
        operator.add,
        operator.sub,
        operator.truediv,
        operator.lt,
        operator.le,
        operator.gt,
        operator.ge,
    ],
    ids=lambda combine: combine.__name__,
)
def test_amount__two_dimensions_never_meet(combine: Callable[[Amount, Amount], Any]) -> None:
    grams, pieces = amount("3 g"), amount("3 each")
    with pytest.raises(
        DimensionMismatch,
        match=r"^g measures mass and each measures count; neither converts into the other$",
    ) as caught:
        combine(grams, pieces)
    assert (caught.value.one, caught.value.other) == (GRAM, EACH)
    assert isinstance(caught.value, ValueError)


def test_amount__portions_and_batches_convert_into_nothing() -> None:
    for text in ("1 portion", "1 batch"):
        for unit in (GRAM, MILLILITRE, EACH):
            with pytest.raises(DimensionMismatch):
                amount(text).to(unit)
    with pytest.raises(DimensionMismatch):
        amount("1 portion") + amount("1 batch")


@pytest.mark.parametrize("number", [0.5, 1.0, True, "1", None, 1j], ids=repr)
def test_amount__refuses_numbers_that_are_not_exact(number: Any) -> None:
    with pytest.raises(TypeError):
        Amount(number, GRAM)
    with pytest.raises(TypeError):
        Amount(F(1), GRAM) * number
    with pytest.raises(TypeError):
        number * Amount(F(1), GRAM)
    with pytest.raises(TypeError):
        Amount(F(1), GRAM) / number


@pytest.mark.parametrize("combine", [operator.add, operator.sub, operator.lt], ids=str)
def test_amount__does_not_meet_a_bare_number(combine: Callable[[Any, Any], Any]) -> None:
    with pytest.raises(TypeError):
        combine(amount("1 g"), 1)


def test_amount__takes_a_whole_number_and_keeps_a_fraction() -> None:
    held = Amount(2, GRAM).magnitude  # type: ignore[arg-type]
    assert type(held) is Fraction
    assert held == 2


def test_amount__cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        amount("1 g").magnitude = F(2)  # type: ignore[misc]


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("3600 g", "3600 g"),
        ("3.6 kg", "3.6 kg"),
        ("2/3 US cup", "2/3 US cup"),
        ("8/3 US cup", "2 2/3 US cup"),
        ("-8/3 g", "-2 2/3 g"),
        ("1/64 g", "≈ 0.01563 g"),
        ("1/63 g", "1/63 g"),
        ("1/65 g", "≈ 0.01538 g"),
        ("1/67 g", "≈ 0.01493 g"),
        ("1/67000 g", "≈ 0.00001493 g"),
        ("100/67 g", "≈ 1.4925 g"),
        ("0.0625 g", "0.0625 g"),
        ("28.34952 g", "≈ 28.3495 g"),
        ("0.12345 g", "≈ 0.1235 g"),
        ("-0.12345 g", "≈ -0.1235 g"),
        ("0 g", "0 g"),
    ],
)
def test_amount__is_shown_plainly(text: str, shown: str) -> None:
    """By hand: four places as a decimal; else a denominator up to 64; else half up."""
    assert str(amount(text)) == shown


@given(alike(1))
def test_amount__reading_what_was_shown_gives_the_same(one: list[Amount]) -> None:
    """Law: without the sign ≈ it is exact; with it the value is within half the last place."""
    shown = str(one[0])
    if not shown.startswith("≈"):
        assert amount(shown) == one[0]
    else:
        near = amount(shown.removeprefix("≈ "))
        places = len(shown.split(" ")[1].partition(".")[2])
        assert near.unit == one[0].unit
        assert places <= 12
        assert abs(near.magnitude - one[0].magnitude) <= max(
            F(1, 2 * 10**4), abs(one[0].magnitude) / 1000
        )


@given(st.integers(1, 9999), st.integers(0, 12), st.sampled_from((1, -1)))
def test_magnitude_text__four_digits_are_exact_however_small(
    digits: int, places: int, sign: int
) -> None:
    """Law: a number that is shown whole has no sign that it is rounded."""
    value = F(sign * digits, 10**places)
    assert F(magnitude_text(value)) == value


@given(st.fractions())
def test_magnitude_text__says_that_it_is_rounded_where_it_is(value: Fraction) -> None:
    """Law: behind the sign stands another number than was given."""
    _, about, shown = magnitude_text(value).partition("≈ ")
    assert not about or F(shown) != value


@given(st.fractions())
def test_magnitude_text__never_shows_zero_for_something(value: Fraction) -> None:
    """Law: only nothing is shown as 0."""
    assert (magnitude_text(value).strip("≈ -").strip("0.") == "") is (value == 0)


@pytest.mark.parametrize(
    ("text", "measures", "number", "unit"),
    [
        ("3.6 kg", Measures.METRIC, F(18, 5), "kg"),
        ("3.6kg", Measures.METRIC, F(18, 5), "kg"),
        (" 1 1/2  cups ", Measures.US_CUSTOMARY, F(3, 2), "US cup"),
        ("½tsp", Measures.JAPANESE, F(1, 2), "Japanese teaspoon"),
        ("1 000,5 g", Measures.METRIC, F(2001, 2), "g"),
        ("2 sticks of butter", Measures.METRIC, F(2), "stick of butter"),
    ],
)
def test_amount__reads_a_number_then_a_unit(
    text: str, measures: Measures, number: Fraction, unit: str
) -> None:
    read = amount(text, measures=measures)
    assert (read.magnitude, read.unit.name) == (number, unit)


@pytest.mark.parametrize(
    ("text", "error", "words"),
    [
        ("3", UnreadableNumber, "no unit behind the number"),
        ("", UnreadableNumber, "no unit behind the number"),
        ("kg", UnreadableNumber, "no digits"),
        ("2-3 kg", UnreadableNumber, "a range where one amount is expected"),
        ("1,234 g", AmbiguousNumber, r"may be 1234 or 1\.234"),
        ("3 blobs", UnknownUnit, "no unit is called 'blobs'"),
    ],
)
def test_amount__refuses_other_texts(text: str, error: type[ValueError], words: str) -> None:
    with pytest.raises(error, match=words):
        amount(text)


def test_unit__is_shown_by_its_name() -> None:
    assert str(Unit("US cup", Dimension.VOLUME, F(1))) == "US cup"
