"""What each line of a receipt brought, and what that is worth, by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from small import books_of_shoot, line, pack, paid, shoot_of, sound

from costing.closing.closed import ClosedIngredient, closed
from costing.closing.fetched import Fetched, average_price
from costing.shoot import Shot

TART = (sound("leek"), line("tart", "leek", "200 g"), Shot(dish="tart", times=2, taken=2))
BAG = pack("leek", "500 g", "1.20", shop="Market")


def leek(*parts: Any, **settings: Any) -> ClosedIngredient:
    """What became of the leek of two tarts, bought at the market."""
    shoot = shoot_of(*TART, *parts, **({"currency": "EUR"} | settings))
    (found,) = closed(books_of_shoot(shoot)).ingredients
    return found


def line_of(money: str, **more: Any) -> Any:
    return paid("leek", money, shop="Market", **more)


def test_fetched__a_pack_for_nothing_was_bought() -> None:
    (one,) = leek(BAG, line_of("0.00", packs=1)).fetched
    assert [one.amount, one.worth] == [500, 0]


def test_fetched__a_discount_alone_says_not_what_was_bought() -> None:
    """The list stands in: one bag of 500 g at 1.20."""
    found = leek(BAG, line_of("-0.40", note="discount"))
    assert [found.as_listed, found.bought] == [True, 500]
    assert [one.worth for one in found.fetched] == [Fraction("1.20")]


def test_fetched__a_discount_beside_what_cost_nothing_has_nothing_to_lower() -> None:
    found = leek(BAG, line_of("0.00", packs=1), line_of("-0.40", note="discount"))
    assert [[one.amount, one.worth] for one in found.fetched] == [[500, 0]]


def test_fetched__another_currency_is_never_taken_for_the_list_price() -> None:
    """1.20 dollars at 0.90 euro each are 1.08, though the bag costs 1.20 euro."""
    (one,) = leek(BAG, line_of("1.20", packs=1, sign="USD", note="1 USD = 0.90 EUR")).fetched
    assert one.worth == Fraction("1.08")


@pytest.mark.parametrize(
    ("rate", "worth"), [("10 %", Fraction("1.155")), ("20 %", Fraction("1.26"))]
)
def test_fetched__with_tax_on_top_it_is_the_list_price_at_the_same_rate_alone(
    rate: str, worth: Fraction
) -> None:
    """10 % of 1.05 are 0.105, for which the till takes 0.11; at 20 % it took 0.21."""
    bag = pack("leek", "500 g", "1.05", shop="Market")
    (one,) = leek(
        bag, line_of("1.05", packs=1, tax_rate=rate), prices_include_tax=False, tax_rate="10 %"
    ).fetched
    assert one.worth == worth


def test_fetched__what_a_receipt_adds_to_prices_that_should_hold_it_was_paid() -> None:
    """The list says 1.20 with tax; the receipt has 1.20 and 10 % of it on top, 1.32."""
    total = paid("", "1.32", shop="Market", note="total")
    (one,) = leek(BAG, line_of("1.20", packs=1, tax_rate="10 %"), total).fetched
    assert one.worth == Fraction("1.32")


def test_fetched__a_coin_that_a_till_rounds_is_no_other_price() -> None:
    """333 g at 2.00 a kilogram are 0.666, for which the till takes 0.67."""
    loose = pack("leek", "1 kg", "2.00", loose="1 g", shop="Market")
    (one,) = leek(loose, line_of("0.67", amount="333 g")).fetched
    assert one.worth == Fraction("0.666")
    (other,) = leek(loose, line_of("0.68", amount="333 g")).fetched
    assert other.worth == Fraction("0.68")


def test_fetched__of_two_rows_of_loose_goods_nobody_says_which() -> None:
    rows = [pack("leek", "1 kg", price, loose="1 g", shop="Market") for price in ("2", "3")]
    (one,) = leek(*rows, line_of("1.00", amount="400 g")).fetched
    assert one.amount == 400
    assert one.pack is None


def test_average_price__of_what_was_taken_back_there_is_none() -> None:
    bag = Fetched(Fraction(500), Fraction(2))
    back = Fetched(Fraction(-500), Fraction(-2))
    assert average_price([bag, bag]) == Fraction(2, 500)
    assert average_price([bag, back]) is None
    assert average_price([]) is None
