"""Money: currency digits, rounding, sharing out."""

from __future__ import annotations

import csv
import math
from decimal import ROUND_DOWN, ROUND_HALF_UP, ROUND_UP, Context, Decimal, localcontext
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from costing.quantities import (
    Rounding,
    UnknownCurrency,
    currency_digits,
    is_currency,
    money_text,
    round_money,
    share_out,
)
from costing.quantities.money import CURRENCY_FILE

F = Fraction

ISO_DIGITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: (
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP "
        "BYN BZD CAD CDF CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB "
        "EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES "
        "KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR "
        "MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD "
        "RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP "
        "TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG "
    ),
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}


@pytest.mark.source("iso-4217", "list one of 2026-01-01, minor units")
@pytest.mark.parametrize("digits", ISO_DIGITS)
def test_currency_digits__are_the_minor_units_of_iso_4217(digits: int) -> None:
    """All codes of the list that have minor units and that the library's names cover."""
    codes = ISO_DIGITS[digits].split()
    assert {code: currency_digits(code) for code in codes} == dict.fromkeys(codes, digits)


def test_currency_file__holds_the_whole_list_whatever_babel_says() -> None:
    """Babel's digits follow the coins in use and change with its version; the list does not."""
    with CURRENCY_FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    listed = {code: str(digits) for digits, codes in ISO_DIGITS.items() for code in codes.split()}
    assert [(row["code"], row["digits"]) for row in rows] == sorted(listed.items())
    with (Path(__file__).resolve().parents[2] / "reference" / "sources.csv").open(
        encoding="utf-8", newline=""
    ) as file:
        sources = {row["source_id"] for row in csv.DictReader(file)}
    assert all(row["source_id"] in sources and row["locator"] for row in rows)


@pytest.mark.parametrize(
    ("text", "nearest"),
    [("eur", "EUR"), ("EURO", "EUR"), ("US", "USD"), (" GBP", "GBP"), ("€", None), ("", None)],
)
def test_currency__unknown_code_offers_the_nearest(text: str, nearest: str | None) -> None:
    assert not is_currency(text)
    with pytest.raises(UnknownCurrency) as caught:
        currency_digits(text)
    assert caught.value.text == text
    assert nearest in caught.value.nearest if nearest else caught.value.nearest == []


def test_currency__withdrawn_codes_are_known_but_not_offered() -> None:
    """The mark went out in 2002: an old workbook reads, a slip of the pen is not led there."""
    assert is_currency("DEM")
    with pytest.raises(UnknownCurrency) as caught:
        currency_digits("DE")
    assert "DEM" not in caught.value.nearest


@pytest.mark.parametrize(
    ("value", "half_up", "down", "up"),
    [
        ("2.345", "2.35", "2.34", "2.35"),
        ("2.3449", "2.34", "2.34", "2.35"),
        ("2.34", "2.34", "2.34", "2.34"),
        ("2.340001", "2.34", "2.34", "2.35"),
        ("-2.345", "-2.35", "-2.34", "-2.35"),
        ("1/3", "0.33", "0.33", "0.34"),
        ("0", "0.00", "0.00", "0.00"),
        ("0.005", "0.01", "0.00", "0.01"),
        ("-0.004", "0.00", "0.00", "-0.01"),
    ],
)
def test_round_money__rounds_to_the_coin(value: str, half_up: str, down: str, up: str) -> None:
    """By hand; half up and up go away from zero, down towards it."""
    rounded = [str(round_money(F(value), 2, rounding)) for rounding in Rounding]
    assert rounded == [half_up, down, up]


CONTEXT_NAMES = {
    Rounding.HALF_UP: ROUND_HALF_UP,
    Rounding.DOWN: ROUND_DOWN,
    Rounding.UP: ROUND_UP,
}


@given(
    st.decimals(-(10**9), 10**9, places=6),
    st.integers(0, 4),
    st.sampled_from(Rounding),
)
def test_round_money__agrees_with_the_decimal_module(
    value: Decimal, digits: int, rounding: Rounding
) -> None:
    """An independent computation: Decimal.quantize with the rounding of the same name."""
    expected = value.quantize(Decimal(1).scaleb(-digits), rounding=CONTEXT_NAMES[rounding])
    rounded = round_money(F(value), digits, rounding)
    assert rounded == expected
    assert rounded.as_tuple().exponent == -digits


@given(st.fractions(), st.integers(0, 4), st.sampled_from(Rounding))
def test_round_money__rounding_twice_is_rounding_once(
    value: Fraction, digits: int, rounding: Rounding
) -> None:
    once = round_money(value, digits, rounding)
    assert round_money(F(once), digits, rounding) == once
    assert abs(F(once) - value) < F(1, 10**digits)


def test_round_money__is_exact_in_any_context() -> None:
    """30 digits survive a context of 5."""
    with localcontext(Context(prec=5)):
        assert str(round_money(F("123456789012345678901234567.895"), 2)) == (
            "123456789012345678901234567.90"
        )


def test_round_money__refuses_negative_digits() -> None:
    with pytest.raises(ValueError, match=r"^digits must be 0 or more, not -1$"):
        round_money(F(1), -1)


COINS = st.integers(-(10**12), 10**12)
WEIGHTS = st.lists(st.fractions(0, 10**6, max_denominator=10_000), min_size=1, max_size=30)


@given(COINS, WEIGHTS, st.integers(0, 4))
def test_share_out__adds_up_and_stays_within_a_coin(
    coins: int, weights: list[Fraction], digits: int
) -> None:
    """Laws of the largest remainder: the shares add up, none is a coin away from its exact one."""
    assume(sum(weights) > 0)
    total = Decimal(coins).scaleb(-digits)
    shares = share_out(total, weights, digits)
    assert len(shares) == len(weights)
    assert sum(shares) == total
    coin, whole = F(1, 10**digits), sum(weights)
    for share, weight in zip(shares, weights, strict=True):
        assert abs(F(share) - F(total) * weight / whole) < coin
        assert share.as_tuple().exponent == -digits
        if weight == 0:
            assert share == 0


@given(COINS, WEIGHTS, st.fractions(F(1, 100), 100))
def test_share_out__depends_on_proportions_alone(
    coins: int, weights: list[Fraction], times: Fraction
) -> None:
    assume(sum(weights) > 0)
    total = Decimal(coins).scaleb(-2)
    assert share_out(total, weights, 2) == share_out(total, [w * times for w in weights], 2)


@given(st.integers(0, 10**12), WEIGHTS)
def test_share_out__is_that_of_plain_fractions(coins: int, weights: list[Fraction]) -> None:
    """By the rule of the largest remainder in fractions, as a textbook has it."""
    assume(sum(weights) > 0)
    whole = sum(weights, F(0))
    quotas = [coins * weight / whole for weight in weights]
    wanted = list(map(math.floor, quotas))
    first = sorted(range(len(quotas)), key=lambda at: (wanted[at] - quotas[at], at))
    for at in first[: coins - sum(wanted)]:
        wanted[at] += 1
    assert [int(one) for one in share_out(Decimal(coins), weights, 0)] == wanted


@given(COINS, WEIGHTS)
def test_share_out__a_larger_weight_never_gets_less(coins: int, weights: list[Fraction]) -> None:
    assume(sum(weights) > 0)
    shares = share_out(abs(Decimal(coins)).scaleb(-2), weights, 2)
    ranked = sorted(zip(weights, shares, strict=True))
    assert [share for _, share in ranked] == sorted(shares)


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        ("1.00", ["1", "1", "1"], ["0.34", "0.33", "0.33"]),
        ("0.02", ["1", "1", "1"], ["0.01", "0.01", "0.00"]),
        ("-1.00", ["1", "1", "1"], ["-0.34", "-0.33", "-0.33"]),
        ("0.05", ["1", "3", "0"], ["0.01", "0.04", "0.00"]),
        ("10.00", ["1/3", "2/3"], ["3.33", "6.67"]),
        ("0.10", ["21", "9", "10"], ["0.05", "0.02", "0.03"]),
        ("0.00", ["0", "0"], ["0.00", "0.00"]),
        ("0.00", [], []),
    ],
)
def test_share_out__gives_left_over_coins_to_the_largest_remainders(
    total: str, weights: list[str], shares: list[str]
) -> None:
    """By hand: 0.05 over 1:3 is 1.25 and 3.75 coins; 1 and 3, the last coin to .75.

    0.10 over 21:9:10 is 5.25, 2.25 and 2.5 coins; 5, 2 and 2, the last coin to .5.
    """
    given_out = share_out(Decimal(total), [F(weight) for weight in weights], 2)
    assert [str(share) for share in given_out] == shares


@pytest.mark.parametrize(
    ("total", "weights", "words"),
    [
        ("1.00", ["0", "0"], "^1.00 has nobody to go to: all weights are 0$"),
        ("1.00", [], "^1.00 has nobody to go to: all weights are 0$"),
        ("1.005", ["1"], "^1.005 is not a whole number of coins at 2 digits$"),
        ("1.00", ["2", "-1"], "^a weight is negative$"),
    ],
)
def test_share_out__refuses_what_cannot_be_shared(
    total: str, weights: list[str], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        share_out(Decimal(total), [F(weight) for weight in weights], 2)


@pytest.mark.parametrize(
    ("value", "currency", "shown"),
    [
        (Decimal("38.64"), "EUR", "38.64 EUR"),
        (Decimal("38.6"), "EUR", "38.60 EUR"),
        (F(1000, 3), None, "333.33"),
        (F(1000, 3), "JPY", "333 JPY"),
        (F(1000, 3), "KWD", "333.333 KWD"),
        (Decimal("129.99"), "RSD", "129.99 RSD"),
        (Decimal("-0.5"), None, "-0.50"),
        (Decimal("1234567.89"), "GBP", "1234567.89 GBP"),
    ],
)
def test_money_text__is_plain(value: Decimal | Fraction, currency: str | None, shown: str) -> None:
    assert money_text(value, currency) == shown
