"""Numbers as cells hold them and as people write them."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from costing.quantities import (
    AmbiguousNumber,
    Number,
    UnreadableNumber,
    UpsideDownRange,
    decimal_or_fraction,
    decimal_or_mixed,
    exact,
    read_number,
    terminating,
)

F = Fraction


@pytest.mark.parametrize(
    ("value", "meant"),
    [
        (2 / 3, F(2, 3)),
        (1.1 * 1.1 * 100, F(121)),
        (0.1 + 0.2, F(3, 10)),
        (1 / 7, F(1, 7)),
        (-2 / 3, F(-2, 3)),
        (1 / 9999, F(1, 9999)),
        (1 / 10001, F("0.0000999900009999000")),
        (0.6666666666666680, F("0.666666666666668")),
        (0.0, F(0)),
        (-0.0, F(0)),
        (12.5, F(25, 2)),
        (1234567890123.37, F("1234567890123.37")),
        (1e-20, F(1, 10**20)),
        (5e-324, F("4.94065645841247e-324")),
        (math.nextafter(1 / 3, 1), F(1, 3)),
        (1.66666666666667, F(5, 3)),
        (14.2857142857143, F(100, 7)),
        (0.333333333333333, F(1, 3)),
        (333333.333333333, F(1_000_000, 3)),
        (1.66666666666668, F("1.66666666666668")),
        (1.6666666666666692, F("1.66666666666667")),
        (12345678.1234567, F("12345678.1234567")),
        (math.pi, F("3.14159265358979")),
        (math.sqrt(2), F("1.41421356237310")),
        (3, F(3)),
        (10**30, F(10**30)),
        (Decimal("0.89"), F(89, 100)),
        (F(1, 30011), F(1, 30011)),
        ("12.50", F(25, 2)),
        ("-3", F(-3)),
    ],
    ids=str,
)
def test_exact__gives_the_number_that_was_meant(
    value: float | Decimal | Fraction | str, meant: Fraction
) -> None:
    """By hand: a fraction up to 1/10,000 within 1 in 10^15, else the decimal of 15 digits.

    Of what has 15 digits only, as LibreOffice saves 5/3, the fraction that they are the digits of.
    """
    assert exact(value) == meant


@given(st.fractions(min_value=-10_000, max_value=10_000, max_denominator=10_000))
@example(F(9999, 10_000))
@example(F(99_999_999, 10_000))
def test_exact__round_trips_a_fraction_through_a_cell(value: Fraction) -> None:
    """Law: a float cell that held a fraction with a small denominator gives it back.

    So it does when a program saved 15 digits of it, whose last is a part of 10^11 here.
    """
    assert exact(float(value)) == value
    assert exact(float(format(float(value), ".15g"))) == value


@given(
    st.integers(-(10**13), 10**13).map(lambda cents: F(cents, 100)),
)
def test_exact__round_trips_any_price(value: Fraction) -> None:
    """Law: two decimals, up to a hundred thousand million."""
    assert exact(float(value)) == value


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_exact__stays_within_fifteen_digits(value: float) -> None:
    """Law: never farther from the cell's float than half a unit of its fifteenth digit."""
    assert abs(exact(value) - F(value)) <= abs(F(value)) * F(5, 10**15)


@pytest.mark.parametrize(
    "value",
    [
        math.nan,
        math.inf,
        -math.inf,
        Decimal("NaN"),
        Decimal("Infinity"),
        "nan",
        "1e3",
        "",
        " 1",
        "1,5",
        "٣",
        "1_000",
        "0x10",
        "1/2",
        "9" * 5000,
    ],
    ids=lambda value: repr(value)[:20],
)
def test_exact__refuses_what_is_no_finite_number(value: float | Decimal | str) -> None:
    with pytest.raises(ValueError, match="is not a"):
        exact(value)


@pytest.mark.parametrize("value", [True, None, [], b"1"], ids=repr)
def test_exact__refuses_other_types(value: object) -> None:
    with pytest.raises(TypeError):
        exact(value)  # type: ignore[arg-type]


READ = {
    "3": F(3),
    "007": F(7),
    " 3 ": F(3),
    "1 1/2": F(3, 2),
    "1½": F(3, 2),
    "1 ½": F(3, 2),
    "½": F(1, 2),
    "⅔": F(2, 3),
    "⅒": F(1, 10),
    "3/4": F(3, 4),
    "3 / 4": F(3, 4),
    "1⁄2": F(1, 2),
    "1 1⁄2": F(3, 2),
    "10⁄3": F(10, 3),
    "100/3": F(100, 3),
    "37/19": F(37, 19),
    "11/12": F(11, 12),
    "1·5": F(3, 2),
    "１／２": F(1, 2),
    "２．５": F(5, 2),
    "1,00,000": F(100_000),
    "1,23,456": F(123_456),
    "12,34,567.50": F(123456750, 100),
    "0,89": F(89, 100),
    "12,5": F(25, 2),
    "1,2345": F(12345, 10_000),
    "1234,567": F(1234567, 1000),
    "0,125": F(1, 8),
    "12.5": F(25, 2),
    "0.125": F(1, 8),
    "1.0000": F(1),
    ".5": F(1, 2),
    ",5": F(1, 2),
    "1 000": F(1000),
    "1 000,50": F(100050, 100),
    "1 000.50": F(100050, 100),
    "1\u00a0000,50": F(100050, 100),
    "1\u202f000,50": F(100050, 100),
    "1,000.50": F(100050, 100),
    "1.000,50": F(100050, 100),
    "12,345.678": F(12345678, 1000),
    "1,234,567": F(1234567),
    "1.234.567": F(1234567),
    "1'234.50": F(123450, 100),
    "1’234’567": F(1234567),
    "-5": F(-5),
    "−5": F(-5),
    "- 5": F(-5),
    "-1 1/2": F(-3, 2),
    "0": F(0),
}


@pytest.mark.parametrize("text", READ)
def test_read_number__reads_the_ways_people_write(text: str) -> None:
    """Worked by hand from the forms the workbook's Amount column allows."""
    assert read_number(text) == Number(READ[text], READ[text])


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2-3", F(2), F(3)),
        ("2 - 3", F(2), F(3)),
        ("2–3", F(2), F(3)),
        ("2−3", F(2), F(3)),
        ("2 to 3", F(2), F(3)),
        ("2 TO 3", F(2), F(3)),
        ("1/2-3/4", F(1, 2), F(3, 4)),
        ("½–¾", F(1, 2), F(3, 4)),
        ("1½-2½", F(3, 2), F(5, 2)),
        ("1 1/2 - 2", F(3, 2), F(2)),
        ("0,5-0,75", F(1, 2), F(3, 4)),
        ("2-2", F(2), F(2)),
    ],
)
def test_read_number__reads_a_range(text: str, low: Fraction, high: Fraction) -> None:
    number = read_number(text)
    assert (number.low, number.high, number.is_range) == (low, high, low != high)


@pytest.mark.parametrize(
    ("text", "said", "readings"),
    [
        ("1,234", "1,234", (F(1234), F(1234, 1000))),
        ("12,500", "12,500", (F(12500), F(25, 2))),
        ("-1,234", "-1,234", (F(-1234), F(-1234, 1000))),
        ("1,500-2,000", "1,500", (F(1500), F(3, 2))),
        ("11⁄2", "11⁄2", (F(11, 2), F(3, 2))),
        ("23⁄4", "23⁄4", (F(23, 4), F(11, 4))),
        ("11/2", "11/2", (F(11, 2), F(3, 2))),
        *((f"21/{n}", f"21/{n}", (F(21, n), 2 + F(1, n))) for n in (3, 4, 5, 6, 8, 16)),
        ("101/2", "101/2", (F(101, 2), F(21, 2))),
        ("1.000", "1.000", (F(1000), F(1))),
    ],
)
def test_read_number__asks_about_a_number_with_two_readings(
    text: str, said: str, readings: tuple[Fraction, ...]
) -> None:
    """21/5 is 4 1/5, or 2 1/5 without its blank; so with every part that cooks measure."""
    with pytest.raises(AmbiguousNumber) as caught:
        read_number(text)
    assert (caught.value.text, caught.value.readings) == (said, readings)


def test_ambiguous_number__shows_both_readings() -> None:
    with pytest.raises(AmbiguousNumber, match=r"^'1,234' may be 1234 or 1\.234$"):
        read_number("1,234")


@pytest.mark.parametrize(
    ("text", "other"), [("1.500-2.500", F(2500)), ("1.500-2.5", F(1500)), ("1.5-2.5", None)]
)
def test_read_number__tells_so_of_a_range_too(text: str, other: Fraction | None) -> None:
    assert read_number(text) == Number(F(3, 2), F(5, 2), other)


@pytest.mark.parametrize(
    ("text", "value", "other"),
    [
        ("1.500", F(3, 2), F(1500)),
        ("12.345", F(12345, 1000), F(12345)),
        ("-1.250", F(-5, 4), F(-1250)),
        ("0.500", F(1, 2), None),
        ("1.50", F(3, 2), None),
        ("1234.500", F(12345, 10), None),
    ],
)
def test_read_number__tells_when_a_point_may_group_thousands(
    text: str, value: Fraction, other: Fraction | None
) -> None:
    assert read_number(text) == Number(value, value, other)


REFUSED = {
    "": "no digits",
    "\u00a0": "no digits",
    "-": "no digits",
    "abc": '"abc" in the number',
    "nan": '"nan" in the number',
    "inf": '"inf" in the number',
    "12 kg": '"kg" in the number',
    "50%": '"%" in the number',
    "£3.20": '"£" in the number',
    "1²": '"²" in the number',
    "1_000": '"_" in the number',
    "+5": '"+" in the number',
    "0x1F": '"x" in the number',
    "1e3": "an exponent, where the digits written out are expected",
    "1.5E-3": "an exponent, where the digits written out are expected",
    "٣": "digits other than 0 to 9; write 3",
    "1/0": "a division by zero",
    "0/0": "a division by zero",
    "1 3/2": "3/2 behind a whole number is not below 1",
    "1 0/0": "0/0 behind a whole number is not below 1",
    "-2-3": "a minus sign in a range",
    "2--3": "a minus sign in a range",
    "3-2": "the range goes down, from 3 to 2",
    "5-1": "the range goes down, from 5 to 1",
    "1/2-1/4": "the range goes down, from 1/2 to 1/4",
    "1-1/2": "the range goes down, from 1 to 1/2; for 1 and 1/2 write 1 1/2",
    "9" * 65: "a text too long for a number",
}
SHAPELESS = [
    "5.",
    "12 34",
    "1.2.3",
    "1-2-3",
    "--5",
    "2-",
    "/2",
    "1/2/3",
    "01,000.5",
    "1 ,5",
]


@pytest.mark.parametrize("text", REFUSED, ids=lambda text: repr(text)[:20])
def test_read_number__says_why_not(text: str) -> None:
    with pytest.raises(UnreadableNumber) as caught:
        read_number(text)
    assert caught.value.reason == REFUSED[text]


@pytest.mark.parametrize("text", SHAPELESS)
def test_read_number__refuses_digits_and_signs_in_no_order(text: str) -> None:
    with pytest.raises(UnreadableNumber) as caught:
        read_number(text)
    assert caught.value.text == text
    assert caught.value.reason == (
        "the digits and signs do not make a number such as 12.5, 1 1/2 or 2-3"
    )


def test_read_number__keeps_the_ends_of_a_range_that_goes_down() -> None:
    with pytest.raises(UpsideDownRange) as caught:
        read_number("3-2")
    assert (caught.value.text, caught.value.low, caught.value.high) == ("3-2", F(3), F(2))


@given(st.text(max_size=80))
@example("9" * 5000)
@example("½" * 60)
@example("1/" + "9" * 62)
def test_read_number__never_fails_otherwise(text: str) -> None:
    """Law: any text is a number, two numbers, or refused with a reason; nothing else happens."""
    try:
        number = read_number(text)
    except AmbiguousNumber as two:
        sound = len(set(two.readings)) == len(two.readings) >= 2
    except UnreadableNumber as unread:
        sound = unread.reason != ""
    else:
        sound = number.low <= number.high
    assert sound


@given(st.text("0123456789.,/- '½¼e⁄−–", max_size=12))
def test_read_number__reads_what_it_read(text: str) -> None:
    """Law: what was read, written exactly, reads as the same."""
    try:
        low = read_number(text).low
    except (AmbiguousNumber, UnreadableNumber):
        return
    assert read_number(decimal_or_mixed(low)).low == low


@given(st.fractions(max_denominator=10**6))
def test_decimal_or_fraction__reads_back(value: Fraction) -> None:
    """Law: the written form is the number itself, for Fraction; a cook writes it mixed."""
    written = decimal_or_fraction(value)
    assert Fraction(written) == value
    assert read_number(decimal_or_mixed(value)).low == value
    assert "e" not in written.lower()


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("0.890", "0.89"),
        ("85", "85"),
        ("20/3", "20/3"),
        ("-20/3", "-20/3"),
        ("1/8", "0.125"),
        ("0", "0"),
        ("100", "100"),
        ("1/1024", "0.0009765625"),
    ],
)
def test_decimal_or_fraction__is_the_form_of_the_json(value: str, written: str) -> None:
    assert decimal_or_fraction(F(value)) == written


@given(st.integers(), st.integers(0, 40), st.integers(0, 40))
def test_terminating__holds_every_digit(top: int, twos: int, fives: int) -> None:
    """Law: a denominator of twos and fives has a decimal, exact in any context."""
    value = F(top, 2**twos * 5**fives)
    decimal = terminating(value)
    assert decimal is not None
    assert Fraction(decimal) == value


@given(st.integers(1), st.sampled_from([3, 6, 7, 11, 12, 15, 9999]))
def test_terminating__has_none_for_other_denominators(top: int, bottom: int) -> None:
    value = F(top * bottom + 1, bottom)
    assert terminating(value) is None
