"""Temperatures: read with their unit, compared exactly."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from costing.holding.models import HoldingSettings, Temperature, read_temperature

values = st.fractions(min_value=-200, max_value=1000, max_denominator=1000)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("4 C", "4", "C"),
        ("40F", "40", "F"),
        ("4 °C", "4", "C"),
        ("78 F", "78", "F"),
        (" 4,5 °c ", "4.5", "C"),
        ("-18 degrees C", "-18", "C"),
        ("−18 Celsius", "-18", "C"),
        ("135 deg. fahrenheit", "135", "F"),
        ("+4 ℃", "4", "C"),
    ],
)
def test_read_temperature__number_and_unit(text: str, value: str, unit: str) -> None:
    read = read_temperature(text)
    assert (read.value, read.unit) == (Fraction(value), unit)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "a blank"),
        ("  ", "a blank"),
        ("4", "a number without a unit"),
        ("4 °", "a number without a unit"),
        ("4 degrees", "a number without a unit"),
        ("277 K", 'the unit "K"'),
        ("4 C in the middle", 'the unit "C in the middle"'),
        ("cold", "no temperature"),
        ("C 4", "no temperature"),
        ("4-5 C", "no temperature"),
        ("4.5.6 C", "no temperature"),
        ("-300 C", "a temperature below absolute zero"),
        ("-460 F", "a temperature below absolute zero"),
        ("191 C", "a temperature above that of any food"),
        ("200 C", "a temperature above that of any food"),
        ("650 F", "a temperature above that of any food"),
    ],
)
def test_read_temperature__says_why_not(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(reason)}$"):
        read_temperature(text)


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    [("5", "41"), ("57", "134.6"), ("60", "140"), ("8", "46.4"), ("63", "145.4"), ("-40", "-40")],
)
def test_temperature__pairs_that_are_equal(celsius: str, fahrenheit: str) -> None:
    """F = C x 9/5 + 32: 57 x 1.8 + 32 = 134.6."""
    warm = Temperature(value=Fraction(celsius), unit="C")
    assert warm == Temperature(value=Fraction(fahrenheit), unit="F")
    assert warm.in_unit("F") == Fraction(fahrenheit)


def test_temperature__pairs_printed_together_are_not_all_equal() -> None:
    """4 x 1.8 + 32 = 39.2; 21 x 1.8 + 32 = 69.8; 32 x 1.8 + 32 = 89.6."""
    for celsius, fahrenheit in ((4, 40), (21, 70), (32, 90)):
        assert Temperature(value=celsius, unit="C") < Temperature(value=fahrenheit, unit="F")


@given(values, values)
def test_temperature__order_is_that_of_one_unit(first: Fraction, second: Fraction) -> None:
    celsius = Temperature(value=first, unit="C")
    fahrenheit = Temperature(value=second, unit="F")
    assert (celsius < fahrenheit) == (first * Fraction(9, 5) + 32 < second)
    assert (celsius >= fahrenheit) == (not celsius < fahrenheit)
    assert (celsius <= fahrenheit) == (celsius < fahrenheit or celsius == fahrenheit)
    assert (celsius > fahrenheit) == (not celsius <= fahrenheit)


@given(values)
def test_temperature__there_and_back(value: Fraction) -> None:
    there = Temperature(value=Temperature(value=value, unit="C").in_unit("F"), unit="F")
    assert there.in_unit("C") == value
    assert hash(there) == hash(Temperature(value=value, unit="C"))


def test_temperature__equal_ones_are_neither_below_nor_above() -> None:
    warm, same = Temperature(value=5, unit="C"), Temperature(value=41, unit="F")
    assert not warm < same
    assert not warm > same
    assert warm <= same
    assert warm >= same


def test_temperature__absolute_zero_can_be() -> None:
    assert read_temperature("-273.15 C") == Temperature(value="-459.67", unit="F")


def test_temperature__is_not_equal_to_a_number() -> None:
    assert Temperature(value=4, unit="C") != 4


@pytest.mark.parametrize("value", [4, Decimal("4"), "4", Fraction(4)])
def test_temperature__exact_numbers_are_taken(value: Any) -> None:
    assert Temperature(value=value, unit="C").value == 4


@pytest.mark.parametrize(
    ("value", "reason"),
    [
        (4.1, "found the float 4.1, expected an exact number: write '4.1', Decimal"),
        (-274, "-274 °C is colder than absolute zero"),
    ],
)
def test_temperature__refuses(value: Any, reason: str) -> None:
    with pytest.raises(ValidationError, match=reason):
        Temperature(value=value, unit="C")


@pytest.mark.parametrize(
    ("value", "shown"), [("4", "4 °C"), ("4.50", "4.5 °C"), ("-18", "-18 °C"), ("40/9", "40/9 °C")]
)
def test_temperature__as_shown(value: str, shown: str) -> None:
    assert str(Temperature(value=Fraction(value), unit="C")) == shown


def test_holding_settings__procedures_are_not_kept_unless_said() -> None:
    assert not HoldingSettings(zone="UTC").procedures


@pytest.mark.parametrize("zone", ["", "Europe/Lisboa", "Europe", "../zone", "GMT+1:00"])
def test_holding_settings__refuse_a_zone_nobody_keeps(zone: str) -> None:
    with pytest.raises(ValidationError, match="is not an IANA time zone"):
        HoldingSettings(zone=zone)
