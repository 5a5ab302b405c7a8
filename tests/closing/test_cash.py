"""The float against the receipts, worked by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from small import books_of_shoot, line, pack, paid, shoot_of

from costing.closing.cash import Cash, cash_of
from costing.closing.closed import closed
from costing.shoot import Shot


def cash(*receipts: Any, **settings: Any) -> Cash | None:
    """The cash of a shoot with these receipts."""
    plan = (line("toast", "bread", "2 each"), pack("bread", "12 each", "1.80"), Shot(dish="toast"))
    return cash_of(closed(books_of_shoot(shoot_of(*plan, *receipts, currency="EUR", **settings))))


def test_cash__float_less_what_was_paid_from_it() -> None:
    """50.00 less 1.80, 2.40 and a deposit of 0.25 that came back is 46.05; the card is not cash."""
    found = cash(
        paid("bread", "1.80", packs=1, paid_from="float"),
        paid("", "2.40", note="magazine", tag="household", paid_from="float"),
        paid("", "-0.25", note="deposit back", paid_from="float"),
        paid("", "9.00", note="taxi", paid_from="card"),
        paid("", "3.00", note="ice", paid_from="cash"),
        cash_float="50",
        cash_counted="46",
    )
    assert found is not None
    assert (found.paid, found.due) == (Decimal("3.95"), Decimal("46.05"))
    assert found.difference == Decimal("-0.05")


def test_cash__tax_that_was_added_was_paid_too() -> None:
    """10.00 at 6 % on top takes 10.60 of the float."""
    found = cash(
        paid("bread", "10.00", packs=1, tax_rate="6 %", paid_from="float"),
        cash_float="20",
        cash_counted="9.40",
        prices_include_tax=False,
    )
    assert found is not None
    assert (found.due, found.difference) == (Decimal("9.40"), Decimal("0.00"))


@pytest.mark.parametrize("settings", [{}, {"cash_counted": "5"}])
def test_cash__without_a_float_there_is_nothing_to_reconcile(settings: dict[str, str]) -> None:
    assert cash(**settings) is None


def test_cash__that_nobody_counted_has_no_difference() -> None:
    found = cash(cash_float="20")
    assert found is not None
    assert (found.counted, found.difference) == (None, None)
