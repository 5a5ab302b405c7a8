"""What the tills take: lines rounded, tax once for each shop and rate, tax follows the goods."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import books, line, pack, sound, value

from costing.buying.till import (
    Bought,
    exact_price,
    least_net,
    money_digits,
    tax_rate,
    till_lines,
)
from costing.quantities import Rounding, round_money
from costing.shoot import Settings, Shot

SEVEN = Fraction(7, 100)


def excluding(**more: Any) -> Settings:
    """Prices without tax, at 7% unless said otherwise."""
    given: dict[str, Any] = {"currency": "EUR", "prices_include_tax": False, "tax_rate": SEVEN}
    return Settings(**(given | more))


def paid(
    settings: Settings, *lines: tuple[str, int, dict[str, Any]]
) -> list[tuple[Decimal | None, Decimal]]:
    """Cost and tax of lines given as price, count and more."""
    bought = [Bought(pack("leek", "1 kg", price, **more), count) for price, count, more in lines]
    return [(one.cost, one.tax) for one in till_lines(bought, settings)]


def sums(*pairs: tuple[str, str]) -> list[tuple[Decimal, Decimal]]:
    """Pairs of money."""
    return [(Decimal(cost), Decimal(tax)) for cost, tax in pairs]


def test_till__lines_are_rounded_half_up_each() -> None:
    """45 x 0.0945 = 4.2525; 3 x 0.335 = 1.005, a half goes up."""
    settings = Settings(currency="EUR")
    assert paid(settings, ("1.89", 45, {"loose": "50 g"}), ("0.335", 3, {})) == sums(
        ("4.25", "0"), ("1.01", "0")
    )


@pytest.mark.parametrize(
    ("rounding", "tax"),
    [(Rounding.HALF_UP, "0.18"), (Rounding.DOWN, "0.17"), (Rounding.UP, "0.18")],
    ids=["half up", "down", "up"],
)
def test_till__tax_is_rounded_once_for_each_shop(rounding: Rounding, tax: str) -> None:
    """1.00 + 1.50 = 2.50 x 7% = 0.175 in one sum, and not 0.07 + 0.105 line by line."""
    lines = paid(
        excluding(tax_rounding=rounding), ("1.00", 1, {"shop": "a"}), ("1.50", 1, {"shop": "a"})
    )
    assert sum(part for _, part in lines) == Decimal(tax)
    assert sum(cost or 0 for cost, _ in lines) == Decimal("2.50") + Decimal(tax)


def test_till__each_shop_rounds_for_itself_however_its_name_is_spelled() -> None:
    """1.50 x 7% = 0.105 is 0.11 in each of two shops; in one shop 3.00 x 7% = 0.21."""
    two = paid(excluding(), ("1.50", 1, {"shop": "a"}), ("1.50", 1, {"shop": "b"}))
    assert [tax for _, tax in two] == [Decimal("0.11")] * 2
    one = paid(excluding(), ("1.50", 1, {"shop": "My  Stall"}), ("1.50", 1, {"shop": "my stall "}))
    assert sum(tax for _, tax in one) == Decimal("0.21")


def test_till__tax_follows_the_goods_it_was_charged_on() -> None:
    """10.00 at 20% beside 10.00 at its own rate of 0: all 2.00 lie on the first."""
    settings = excluding(tax_rate=Fraction(1, 5))
    assert paid(settings, ("10", 1, {}), ("10", 1, {"tax_rate": Fraction(0)})) == sums(
        ("12.00", "2.00"), ("10.00", "0")
    )


def test_till__rate_of_the_row_is_a_sum_of_its_own() -> None:
    """1.00 at 7% = 0.07; 0.50 + 0.50 at 19% = 0.19, shared 0.10 and 0.09."""
    own = {"tax_rate": Fraction(19, 100)}
    assert paid(excluding(), ("0.50", 1, own), ("1.00", 1, {}), ("0.50", 1, own)) == sums(
        ("0.60", "0.10"), ("1.07", "0.07"), ("0.59", "0.09")
    )


def test_till__tax_inside_a_price_is_told_and_not_added() -> None:
    """1.07 with 7% inside holds 0.07; the setting's rate is not used for prices with tax."""
    settings = Settings(currency="EUR", tax_rate=Fraction(1, 5))
    assert paid(settings, ("1.07", 1, {"tax_rate": SEVEN}), ("1.07", 1, {})) == sums(
        ("1.07", "0.07"), ("1.07", "0")
    )


@pytest.mark.parametrize(
    ("currency", "digits", "cost"),
    [("JPY", 0, "142"), ("EUR", 2, "141.75"), ("KWD", 3, "141.750"), (None, 2, "141.75")],
    ids=["JPY", "EUR", "KWD", "no currency"],
)
def test_till__smallest_coin_of_the_currency(currency: str | None, digits: int, cost: str) -> None:
    """2.835 x 50 = 141.75."""
    settings = Settings(currency=currency)
    assert money_digits(settings) == digits
    assert str(paid(settings, ("2.835", 50, {}))[0][0]) == cost


def test_till__unknown_price_has_no_cost_and_no_tax() -> None:
    (one,) = till_lines([Bought(pack("leek", "1 kg", None), 2)], excluding())
    assert one.cost is None
    assert one.tax == 0


def test_till__supplied_goods_cost_nothing() -> None:
    assert paid(excluding(), ("3.00", 2, {"supplied": True})) == sums(("0", "0"))


def test_exact_price__with_tax_before_any_rounding() -> None:
    """0.99 x 1.07 = 1.0593."""
    leek = pack("leek", "1 kg", "0.99")
    assert exact_price(leek, excluding()) == Fraction("1.0593")
    assert exact_price(leek, Settings()) == Fraction("0.99")
    assert tax_rate(leek, excluding()) == SEVEN
    assert tax_rate(leek, Settings(tax_rate=SEVEN)) == 0


@given(
    prices=st.lists(
        st.tuples(
            st.integers(0, 5000),
            st.integers(1, 9),
            st.sampled_from("ab"),
            st.one_of(st.none(), st.sampled_from([Fraction(0), Fraction(19, 100)])),
        ),
        min_size=1,
        max_size=8,
    ),
    rounding=st.sampled_from(list(Rounding)),
    include=st.booleans(),
)
def test_till__tax_of_the_lines_is_the_tax_of_the_shops(
    prices: list[tuple[int, int, str, Fraction | None]], rounding: Rounding, include: bool
) -> None:
    """Law: the parts of a shop and rate add up to one rounded sum, within a coin of the exact."""
    settings = excluding(tax_rounding=rounding, prices_include_tax=include)
    bought = [
        Bought(pack("x", "1 g", str(Decimal(cents) / 100), shop=shop, tax_rate=rate), count)
        for cents, count, shop, rate in prices
    ]
    lines = till_lines(bought, settings)
    groups: dict[tuple[str, Fraction], tuple[Fraction, Decimal]] = {}
    for one, till in zip(bought, lines, strict=True):
        rate = tax_rate(one.pack, settings)
        price = one.shelf_price
        assert price is not None
        assert till.cost is not None
        assert till.tax >= 0
        assert till.cost == Decimal(int(price * 100)) / 100 + (0 if include else till.tax)
        exact, tax = groups.get((one.pack.shop, rate), (Fraction(0), Decimal(0)))
        part = price * (rate / (1 + rate) if include else rate)
        groups[one.pack.shop, rate] = (exact + part, tax + till.tax)
    for exact, tax in groups.values():
        assert abs(Fraction(tax) - exact) < Fraction(1, 100)
        if rounding is Rounding.UP:
            assert Fraction(tax) >= exact
        if rounding is Rounding.DOWN:
            assert Fraction(tax) <= exact


@pytest.mark.parametrize("rounding", list(Rounding))
@pytest.mark.parametrize("percent", [0, 7, 19, 100])
def test_least_net__is_the_least_sum_of_coins_that_comes_to_a_total(
    rounding: Rounding, percent: int
) -> None:
    """By trying every sum of coins up to 1.60; totals between two coins too."""
    settings, rate = excluding(tax_rounding=rounding), Fraction(percent, 100)
    coins = [Fraction(n, 100) for n in range(161)]
    tills = [net + Fraction(round_money(net * rate, 2, rounding)) for net in coins]
    for total in (Fraction(n, 200) for n in range(321)):
        least = next(net for net, till in zip(coins, tills, strict=True) if till >= total)
        assert least_net(total, rate, settings) == least


def test_till__tax_decides_between_packs() -> None:
    """1.00 at 20% is dearer than 1.10 at 5%: 1.20 against 1.155."""
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "100 g", "1.00", tax_rate=Fraction(1, 5)),
        pack("leek", "100 g", "1.10", tax_rate=Fraction(1, 20)),
        Shot(dish="soup"),
        currency="EUR",
        prices_include_tax=False,
    )
    # 1.10 + 0.055 of tax, rounded half up to 0.06
    assert value(found, "leek").bought == Decimal("1.16")
    assert found.totals.tax == Decimal("0.06")
