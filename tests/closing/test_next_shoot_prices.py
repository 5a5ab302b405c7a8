"""Rows of Packs for the next shoot, at the prices that were paid, by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from closing.test_next_shoot import BAGS, LEEK, TART, of
from small import books_of_shoot, line, pack, paid, shoot_of, sound

from costing.closing.closed import closed
from costing.closing.next_shoot import packs_as_paid
from costing.shoot import Shot


def test_packs_as_paid__prices_days_and_new_packs() -> None:
    """Two bags for 3.79 are 1.895 each; 1 kg from another shop is a row of its own; the rest stays.

    With prices without tax 4.30 for two are 2.15 each on the row, the 0.26 of tax on top.
    """
    butter = pack("butter", "250 g", "2.79", shop="Market")
    typed = (BAGS, butter)
    whole = of(
        *(LEEK, TART, *typed, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "3.79", packs=2, shop="Market", day="2031-05-09"),
        paid("leek", "3.00", amount="1 kg", shop="Corner", day="2031-05-10"),
    )
    found = packs_as_paid(whole, typed)
    assert [(str(one.amount), one.shop, one.price, one.price_date) for one in found] == [
        ("500 g", "Market", Decimal("1.895"), date(2031, 5, 9)),
        ("250 g", "Market", Decimal("2.79"), None),
        ("1000 g", "Corner", Decimal("3.00"), date(2031, 5, 10)),
    ]
    taxed = of(
        *(LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "4.30", packs=2, shop="Market", day="2031-05-09", tax_rate="6 %"),
        prices_include_tax=False,
        tax_rate="6 %",
    )
    assert packs_as_paid(taxed, [BAGS])[0].price == Decimal("2.15")


def test_packs_as_paid__a_discount_is_no_price_of_the_next_shop() -> None:
    """Two bags of 2.20 less 1.00 are worth 3.40; a bag costs 2.20 again, and 1 kg elsewhere 3.00.

    A coupon for all that was paid leaves the price as it was too.
    """
    bags = paid("leek", "4.40", packs=2, shop="Market", day="2031-05-09")
    other = paid("leek", "3.00", amount="1 kg", shop="Corner", day="2031-05-09")
    shots = Shot(dish="tart", times=2, taken=2)
    less = of(*(LEEK, TART, BAGS, shots), bags, paid("leek", "-1.00", shop="Market"))
    (leek,) = less.ingredients
    assert [(row.worth, row.discount) for row in leek.fetched] == [(Fraction(17, 5), Fraction(-1))]
    assert [one.price for one in packs_as_paid(less, [BAGS])] == [Decimal("2.20")]
    both = of(*(LEEK, TART, BAGS, shots), bags, other, paid("leek", "-7.40", note="coupon"))
    assert [one.price for one in packs_as_paid(both, [BAGS])] == [Decimal("2.20"), Decimal("3.00")]


def test_packs_as_paid__a_receipt_without_a_day_is_older_than_one_with_a_day() -> None:
    """2.20 of the 9th stands beside 2.50 of a day that neither it nor the shoot says, below it."""
    shoot = shoot_of(
        *(LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "2.20", packs=1, shop="Market", day="2031-05-09"),
        paid("leek", "2.50", packs=1, shop="Market", receipt="R2"),
    )
    (found,) = packs_as_paid(closed(books_of_shoot(shoot)), [BAGS])
    assert (found.price, found.price_date) == (Decimal("2.20"), date(2031, 5, 9))


def test_packs_as_paid__without_any_day_a_price_keeps_its_own() -> None:
    """Neither receipt nor shoot says when: the new price stands with the day of the old one."""
    typed = pack("leek", "500 g", "2.00", shop="Market", price_date="2031-01-02")
    shoot = shoot_of(
        *(LEEK, TART, typed, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "2.20", packs=1, shop="Market"),
    )
    (found,) = packs_as_paid(closed(books_of_shoot(shoot)), [typed])
    assert (found.price, found.price_date) == (Decimal("2.20"), date(2031, 1, 2))


def test_packs_as_paid__of_two_new_packs_a_row_is_of_one() -> None:
    """Two bags of the corner shop, 800 g together for 3.00: 400 g for 1.50 each."""
    whole = of(
        *(LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "3.00", packs=2, amount="800 g", shop="Corner", day="2031-05-10"),
    )
    *_, new = packs_as_paid(whole, [BAGS])
    assert (str(new.amount), new.shop, new.price) == ("400 g", "Corner", Decimal("1.50"))


def test_packs_as_paid__what_was_given_free_is_no_price() -> None:
    """A bag for which 0.00 was paid costs 2.00 the next time, as typed; no day is of its price."""
    whole = of(
        *(LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "0.00", packs=1, shop="Market", day="2031-05-09"),
        paid("leek", "0.00", amount="400 g", shop="Corner", day="2031-05-09"),
    )
    assert packs_as_paid(whole, [BAGS]) == (BAGS,)


def test_packs_as_paid__a_piece_for_less_than_one() -> None:
    """One leek for 0.60 where 0.50 was typed: 0.60 the next time."""
    leek = pack("leek", "1 each", "0.50", shop="Market")
    shot = (sound("leek"), line("tart", "leek", "1 each"), Shot(dish="tart", taken=1))
    whole = of(*shot, leek, paid("leek", "0.60", packs=1, shop="Market"))
    assert [one.price for one in packs_as_paid(whole, [leek])] == [Decimal("0.60")]


def test_packs_as_paid__a_new_pack_has_the_tax_rate_it_was_reckoned_with() -> None:
    """No row has bags of 400 g; the others of its shop are at 10 %, and one is typed at 5 %."""
    bags = pack("leek", "500 g", "2.00", shop="Market", tax_rate="10 %")
    whole = of(
        *(LEEK, TART, bags, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "1.80", amount="400 g", shop="Market", day="2031-05-09"),
        paid("leek", "0.80", amount="200 g", shop="Corner", day="2031-05-10", tax_rate="5 %"),
    )
    found = packs_as_paid(whole, [bags])
    assert [(str(one.amount), str(one.tax_rate)) for one in found] == [
        *(("500 g", "1/10"), ("400 g", "1/10"), ("200 g", "1/20"))
    ]


def test_packs_as_paid__loose_goods_are_priced_for_their_amount() -> None:
    """1.2 kg loose for 2.88: the price for 1 kg is 2.40, whatever the step."""
    loose = pack("leek", "1 kg", "2.00", loose="50 g", shop="Market")
    whole = of(
        *(LEEK, TART, loose, Shot(dish="tart", times=6, taken=6)),
        paid("leek", "2.88", amount="1.2 kg", shop="Market", day="2031-05-09"),
    )
    (found,) = packs_as_paid(whole, [loose])
    assert found.price == Decimal("2.40")


def test_packs_as_paid__a_new_pack_at_the_rate_of_the_settings_needs_none_of_its_own() -> None:
    """Tax on top at 7 % for all: bags of 400 g from another shop are at that rate too."""
    whole = of(
        *(LEEK, TART, BAGS, Shot(dish="tart", times=2, taken=2)),
        paid("leek", "1.80", amount="400 g", shop="Corner", day="2031-05-09"),
        prices_include_tax=False,
        tax_rate="7 %",
    )
    found = packs_as_paid(whole, [BAGS])
    assert [(str(one.amount), one.tax_rate) for one in found] == [("500 g", None), ("400 g", None)]


def test_packs_as_paid__a_price_below_a_coin_is_paid_as_nothing() -> None:
    """Worked by hand: 0.4 yen and a tenth are 0.44, for which no coin is taken: 0.4 on the row."""
    clove = pack("leek", "1 each", "0.4", shop="Market")
    whole = of(
        *(sound("leek"), line("tart", "leek", "1 each"), Shot(dish="tart", taken=1), clove),
        paid("leek", "0", packs=1, shop="Corner", day="2031-05-09"),
        currency="JPY",
        prices_include_tax=False,
        tax_rate="10 %",
    )
    assert [(one.shop, one.price) for one in packs_as_paid(whole, [clove])] == [
        ("Market", Decimal("0.4")),
        ("Corner", Decimal("0.4")),
    ]
