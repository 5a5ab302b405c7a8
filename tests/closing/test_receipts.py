"""Receipts with tax, discounts, deposits and other currencies, worked by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import pack, paid, shoot_of

from costing.closing.receipts import Receipt, adding_up, receipts_of
from costing.quantities import ZERO, exact_money, round_money


def receipt(*parts: object, **settings: Any) -> Receipt:
    """The only receipt of a shoot without a finding."""
    (one,), findings = receipts_of(shoot_of(*parts, **({"currency": "EUR"} | settings)))
    assert findings == []
    return one


def money(one: Receipt) -> list[tuple[str, str]]:
    """What was paid for each line, and the tax in it."""
    return [(str(line.paid), str(line.tax)) for line in one.lines]


def test_receipts__tax_included_is_taken_out_once_for_each_rate() -> None:
    """At 7 %: 3.05 x 7/107 = 0.1995 -> 0.20, of 1.00 and 2.05 exactly 0.065 and 0.134.

    Rounded down 0.06 and 0.13; the coin that lacks goes to 0.0654. At 19 %: 1.19 x 19/119 = 0.19.
    """
    one = receipt(
        paid("leek", "1.00", tax_rate="7 %"),
        paid("cream", "2.05", tax_rate="7 %"),
        paid("", "1.19", tax_rate="19 %", note="foil"),
    )
    assert money(one) == [("1.00", "0.07"), ("2.05", "0.13"), ("1.19", "0.19")]


def test_receipts__tax_is_added_once_for_each_rate_and_receipt() -> None:
    """6 % of 1.33 + 1.33 + 1.33 = 3.99 is 0.2394 -> 0.24, not three times 0.08 = 0.24; of two
    receipts of 0.10 each 6 % is 0.006 -> 0.01 twice, and not 0.012 -> 0.01 once.
    """
    lines = [paid("leek", "1.33", tax_rate="6 %") for _ in range(3)]
    one = receipt(*lines, prices_include_tax=False)
    assert sum(line.paid for line in one.lines) == Decimal("4.23")
    assert sum(line.tax or 0 for line in one.lines) == Decimal("0.24")
    shoot = shoot_of(
        *(paid("leek", "0.10", receipt=name, tax_rate="6 %") for name in ("R1", "R2")),
        prices_include_tax=False,
    )
    assert [str(r.lines[0].tax) for r in receipts_of(shoot)[0]] == ["0.01", "0.01"]


def test_receipts__the_printed_tax_stands_in_place_of_the_worked_out() -> None:
    """6 % of 1.75 is 0.105, half up 0.11; the till printed 0.10."""
    one = receipt(
        paid("leek", "1.75", tax_rate="6 %"),
        paid("", "0.10", note="tax", tax_rate="6 %"),
        paid("", "1.85", note="total"),
        prices_include_tax=False,
    )
    assert money(one) == [("1.85", "0.10")]


def test_receipts__a_printed_tax_without_a_rate_is_of_all_lines() -> None:
    """0.30 over 1.00 and 2.00 in proportion."""
    one = receipt(paid("leek", "1.00"), paid("cream", "2.00"), paid("", "0.30", note="VAT"))
    assert money(one) == [("1.00", "0.10"), ("2.00", "0.20")]


@pytest.mark.parametrize(
    ("rates", "costs", "tax", "expected"),
    [
        # 20 % of 2.00 is the 0.40; at 0 there is none.
        (("0 %", "20 %"), ("2.00", "2.00"), "0.40", [("2.00", "0.00"), ("2.40", "0.40")]),
        # 10 % of 2.00 is 0.20 and 20 % of 5.00 is 1.00, together 1.20.
        (("10 %", "20 %"), ("2.00", "5.00"), "1.20", [("2.20", "0.20"), ("6.00", "1.00")]),
        # There is none at a rate of 0 alone, so that it is of both by what they cost.
        (("0 %", "0 %"), ("1.00", "2.00"), "0.30", [("1.10", "0.10"), ("2.20", "0.20")]),
        # A coin more than 20 % of 2.00: it is the taxed line's, never that of the line at 0.
        (("0 %", "20 %"), ("2.00", "2.00"), "0.41", [("2.00", "0.00"), ("2.41", "0.41")]),
        # 20 % of 5.00 is 1.00; the 0.20 above it is of the line without a rate.
        ((None, "20 %"), ("2.00", "5.00"), "1.20", [("2.20", "0.20"), ("6.00", "1.00")]),
        # Nothing is above it, so that there is none in the line without a rate.
        ((None, "20 %"), ("2.00", "5.00"), "1.00", [("2.00", "0.00"), ("6.00", "1.00")]),
        # What cost nothing has no part in a coin above 20 % of 2.00.
        ((None, "20 %"), ("0.00", "2.00"), "0.41", [("0.00", "0.00"), ("2.41", "0.41")]),
        # None was charged: less than the rate gives, and none in either line.
        ((None, "20 %"), ("2.00", "5.00"), "0.00", [("2.00", "0.00"), ("5.00", "0.00")]),
    ],
)
def test_receipts__a_printed_tax_without_a_rate_follows_the_rates_of_the_lines(
    rates: tuple[str | None, str],
    costs: tuple[str, str],
    tax: str,
    expected: list[tuple[str, str]],
) -> None:
    """By hand, as each case says; the total has the tax added, whatever the setting."""
    names = ("mix", "wine")
    lines = [
        paid(name, cost, **({} if rate is None else {"tax_rate": rate}))
        for name, cost, rate in zip(names, costs, rates, strict=True)
    ]
    total = str(sum(map(Decimal, (*costs, tax))))
    one = receipt(*lines, paid("", tax, note="tax"), paid("", total, note="total"))
    assert money(one) == expected


@pytest.mark.parametrize(
    ("note", "sums"),
    [
        ("total; 1 USD = 0.90 EUR", ["1.80"]),  # 2.00 USD, and its total once more
        ("Total (card), 1 USD = 0.90 EUR", ["1.80"]),
        ("1 USD = 0.90 EUR total", ["1.80"]),
        ("totally new gloves; 1 USD = 0.90 EUR", ["1.80", "1.80"]),
    ],
)
def test_receipts__a_total_may_say_more(note: str, sums: list[str]) -> None:
    """What a receipt prints as its total is no cost, whatever else is noted there."""
    one = receipt(paid("leek", "2.00", sign="USD"), paid("", "2.00", sign="USD", note=note))
    assert [str(line.paid) for line in one.lines] == sums


@pytest.mark.parametrize(("total", "expected"), [("1.06", "1.06"), ("1.00", "1.00")])
def test_receipts__the_total_tells_whether_tax_is_added(total: str, expected: str) -> None:
    """1.00 at 6 %: a total of 1.06 has it added, one of 1.00 included, whatever the setting."""
    for setting in (True, False):
        one = receipt(
            paid("leek", "1.00", tax_rate="6 %"),
            paid("", total, note="to pay"),
            prices_include_tax=setting,
        )
        assert [str(line.paid) for line in one.lines] == [expected]


def test_receipts__rate_of_the_pack_and_of_the_setting() -> None:
    packs = pack("leek", "1 kg", "2", shop="Corner", tax_rate="5 %")
    both = (packs, paid("leek", "2.10"), paid("cream", "1.00"))
    included = receipt(*both, tax_rate="10 %")
    added = receipt(*both, tax_rate="10 %", prices_include_tax=False)
    assert money(included) == [("2.10", "0.10"), ("1.00", "None")], "no rate is known of cream"
    assert money(added) == [("2.21", "0.11"), ("1.10", "0.10")], "0.105 is rounded half up"


def test_receipts__discount_and_deposit_are_lines_below_nothing() -> None:
    one = receipt(
        paid("leek", "4.00"),
        paid("", "0.25", note="deposit"),
        paid("", "-0.25", note="deposit back"),
        paid("leek", "-0.50", note="discount"),
        paid("", "3.50", note="total"),
    )
    assert sum(line.paid for line in one.lines) == Decimal("3.50")


@pytest.mark.parametrize("note", ["1 USD = 0.92 EUR", "paid by card, 1 EUR = 1.0869565 USD"])
def test_receipts__the_rate_typed_for_a_receipt_turns_its_lines(note: str) -> None:
    """12.50 x 0.92 = 11.50 and 0.99 x 0.92 = 0.9108; together 12.41 after rounding."""
    one = receipt(
        paid("leek", "12.50", sign="$", note=note),
        paid("cream", "0.99"),
        paid("", "13.49", note="total"),
    )
    assert [str(line.paid) for line in one.lines] == ["11.50", "0.91"]
    assert {line.currency for line in one.lines} == {"USD"}


def test_receipts__without_a_currency_of_its_own_a_shoot_takes_what_is_typed() -> None:
    """No rate is asked for, as there is nothing to turn it into."""
    one = receipt(paid("leek", "12.50", sign="$"), currency=None)
    assert [str(line.paid) for line in one.lines] == ["12.50"]


def test_receipts__a_tax_without_a_line_is_of_none() -> None:
    assert receipt(paid("", "0.30", note="tax")).lines == ()


@pytest.mark.parametrize("note", ["1 USD = 0 EUR", "0 USD = 1 EUR", "1 EUR = 1 EUR"])
def test_receipts__a_rate_that_says_nothing_is_none(note: str) -> None:
    """By no rate nothing is turned into euro: the receipt is left out, and that is said."""
    shoot = shoot_of(paid("leek", "2.00", sign="USD", note=note), currency="EUR")
    receipts, findings = receipts_of(shoot)
    assert (receipts, [one.code for one in findings]) == ((), ["receipt without a rate"])


def test_receipts__two_of_one_number_in_two_shops_are_two() -> None:
    shoot = shoot_of(
        paid("leek", "1", receipt="1", shop="Corner"),
        paid("leek", "1", receipt="1", shop="Market"),
        paid("leek", "2", receipt="1", shop="Corner"),
    )
    assert [len(one.lines) for one in receipts_of(shoot)[0]] == [2, 1]


@pytest.mark.parametrize(
    ("tax", "of_each"), [("0.44", ("0.00", "0.44")), ("0.42", ("0.00", "0.42"))]
)
def test_receipts__a_printed_tax_far_from_the_rates_is_of_the_lines_that_have_some(
    tax: str, of_each: tuple[str, str]
) -> None:
    """20 % of 2.00 is 0.40, and of nothing nothing, whether 4 or 2 coins are printed more."""
    one = receipt(
        *(paid("mix", "0.00", tax_rate="20 %"), paid("wine", "2.00", tax_rate="20 %")),
        *(paid("", tax, note="tax", tax_rate="20 %"), paid("", f"2.{tax[2:]}", note="total")),
    )
    assert tuple(str(line.tax) for line in one.lines) == of_each


def test_adding_up__near_the_exact_ones_each_is_rounded_as_it_is() -> None:
    """0.065 + 0.016 + 0.066 = 0.147: of 0.15 two coins go to the two that lack most, 0.6 of one.

    Scaled to 0.15 the first would lack most.
    """
    exact = [Fraction(thousandths, 1000) for thousandths in (65, 16, 66)]
    assert [str(one) for one in adding_up(Decimal("0.15"), exact, 2)] == ["0.06", "0.02", "0.07"]


COINS = st.integers(-10_000, 10_000)


@given(st.lists(st.fractions(-50, 50, max_denominator=997), min_size=1, max_size=8), COINS)
def test_adding_up__adds_up_to_the_total(exact: list[Fraction], coins: int) -> None:
    """Whatever the total; where it is the rounded sum, nothing is a coin or more away."""
    total = Decimal(coins) / 100
    assert sum(adding_up(total, exact, 2)) == total
    near = round_money(sum(exact, ZERO), 2)
    shares = adding_up(near, exact, 2)
    assert sum(shares) == near
    pairs = zip(shares, exact, strict=True)
    assert all(abs(exact_money(share) - one) < Fraction(1, 100) for share, one in pairs)
