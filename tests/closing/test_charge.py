"""What the client pays, worked by hand, and what is never charged."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import books_of_shoot, line, lot, pack, paid, shoot_of, sound

import costing
from costing.closing.charge import Cash, Charge, cash_of, costs_by_tag, not_counted
from costing.closing.closed import closed
from costing.findings import Place
from costing.kitchen import CountedLot, ReceiptTag
from costing.quantities import exact_money
from costing.shoot import LeftOut, Shot
from costing.shoot.settings import MarkUpOn

TOAST = (sound("bread"), line("toast", "bread", "50 g"), Shot(dish="toast", times=4, taken=4))
LINES = (
    paid("bread", "10.60", tax_rate="6 %", packs=1),
    paid("", "2.46", tax_rate="23 %", note="delivery"),
    paid("bread", "-0.53", tax_rate="6 %", note="discount"),
    paid("", "5.00", note="gloves", tag="not food"),
    paid("", "9.99", note="magazine", tag="household"),
)
PACK = pack("bread", "1 kg", "10.60", shop="Corner")


def charge(*parts: Any, **settings: Any) -> Charge:
    """What is charged for a shoot of these rows."""
    shoot = shoot_of(*TOAST, *parts, **({"currency": "EUR"} | settings))
    return Charge(closed(books_of_shoot(shoot)))


@pytest.mark.parametrize(
    ("on", "charged", "mark_up"),
    [
        ("paid", ["12.19", "2.83", "-0.61"], "1.88"),
        ("before tax", ["12.10", "2.76", "-0.60"], "1.73"),
    ],
)
def test_charge__mark_up_on_what_was_paid_or_on_that_before_tax(
    on: str, charged: list[str], mark_up: str
) -> None:
    """15 % of 12.53 is 1.8795: 1.88, of which 10.60 has 1.59, 2.46 0.369 and -0.53 -0.0795.

    Before tax it is 15 % of 11.50, 1.725 and so 1.73: of 10.00 it is 1.50, of 2.00 0.30 and of
    -0.50 -0.075, which gets the coin; line by line it would be 1.72. The tax of 6 % is reckoned
    once too, (10.60 - 0.53) x 6/106 = 0.57, shared as 0.60 and -0.03.
    """
    found = charge(PACK, *LINES, charge_mark_up="0.15", mark_up_on=on)
    assert [str(one.charged) for one in found.lines] == charged
    assert str(found.mark_up) == mark_up
    assert found.charged == sum(one.charged for one in found.lines)


def test_charge__without_a_mark_up_it_is_what_was_paid() -> None:
    found = charge(PACK, *LINES)
    assert (found.paid, found.mark_up, found.charged) == (
        Decimal("12.53"),
        Decimal("0.00"),
        Decimal("12.53"),
    )


def test_charge__by_tag_and_the_rest_stays_a_cost_of_the_job() -> None:
    found = charge(PACK, *LINES)
    assert [one.line.line.note for one in found.lines] == ["", "delivery", "discount"]
    assert costs_by_tag(found.closed) == {
        ReceiptTag.CAMERA: Decimal("12.53"),
        ReceiptTag.HOUSEHOLD: Decimal("9.99"),
        ReceiptTag.NOT_FOOD: Decimal("5.00"),
    }


def test_charge__tax_that_no_line_tells_is_not_known() -> None:
    """One rate of two lines gives the tax of that line; none gives no tax, which is not 0."""
    untaxed = paid("", "2.00", note="delivery")
    assert charge(PACK, untaxed).tax is None
    assert charge(PACK, untaxed, paid("bread", "10.60", packs=1, tax_rate="6 %")).tax == Decimal(
        "0.60"
    )


def test_charge__no_receipt_no_charge() -> None:
    """Nothing is charged for what was only planned, and the sheet has no row."""
    found = charge(PACK, charge_mark_up="0.15")
    assert found.lines == ()
    estimate = costing.estimate(found.closed.shoot, closing=True)
    assert estimate.tables()["charge"].rows == ()
    assert estimate.as_json()["closed"]["charged"] is None


def test_charge__supplied_goods_stand_apart_with_what_was_used_and_left() -> None:
    """Supplied: 150 g on hand and a pack of 1 kg. Four takes of 50 g used 200 g; by the count 900 g
    are left, so 250 g were used, all of it supplied. Of 150 g alone, with a pack that was bought,
    no more than these 150 g were supplied and used.
    """
    free = pack("bread", "1 kg", None, shop="Corner", supplied=True)
    stock = lot("bread", "150 g", supplied=True)
    by_takes = charge(free, stock)
    (one,) = by_takes.supplied
    assert [str(n) for n in (one.supplied, one.used, one.left)] == ["1150", "200", "950"]
    (one,) = charge(free, stock, CountedLot(ingredient="bread", amount="900 g")).supplied
    assert [str(n) for n in (one.supplied, one.used, one.left)] == ["1150", "250", "900"]
    assert by_takes.lines == ()
    (one,) = charge(PACK, LINES[0], stock).supplied
    assert [str(n) for n in (one.supplied, one.used, one.left)] == ["150", "150", "0"]


def test_charge__what_may_be_of_a_pack_that_is_not_supplied_is_charged() -> None:
    """As the finding "supplied paid for" advises: a row of Packs beside the free one, and the
    10.60 that were paid are charged, and the finding is gone.
    """
    free = pack("bread", "1 kg", None, shop="Corner", supplied=True)
    alone, beside = charge(free, LINES[0]), charge(free, PACK, LINES[0])
    assert (alone.lines, [f.code for f in alone.findings]) == ((), ["supplied paid for"])
    assert (beside.charged, list(beside.findings)) == (Decimal("10.60"), [])


@pytest.mark.parametrize(
    ("parts", "on", "said"),
    [
        ((LINES[4],), "paid", []),
        ((paid("bread", "10.60", packs=1),), "paid", []),
        ((LINES[0], paid("", "5.00")), "before tax", ["no tax rate of R1"]),
        ((paid("", "5.00", receipt="", note="ice"),), "before tax", ["no tax rate of ice"]),
    ],
    ids=["nothing charged", "no mark-up on it", "a receipt", "a cost"],
)
def test_charge__what_is_said_of_it(parts: tuple[Any, ...], on: str, said: list[str]) -> None:
    """What a household paid is no matter of a charge of nothing, nor tax of what has no mark-up."""
    mark_up = {"charge_mark_up": "0.15", "mark_up_on": on} if said else {"mark_up_on": "before tax"}
    found = [one.found for one in charge(PACK, *parts, **mark_up).findings]
    assert [one.partition(",")[0] for one in found] == said


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ({"receipt": "R1", "shop": "Corner"}, 'receipt "R1"'),
        ({"receipt": "", "shop": "Corner"}, 'receipt "Corner"'),
        ({"receipt": "", "shop": ""}, 'receipt "without a number"'),
    ],
)
def test_not_counted__names_a_receipt_without_a_rate(named: dict[str, str], said: str) -> None:
    """Five dollars are no euro; a receipt in euro beside it counts."""
    found = charge(PACK, *LINES, paid("bread", "5", sign="USD", **named, day="2031-05-10"))
    assert not_counted(found.closed) == [said]


def test_charge__leaves_out_the_rows_of_receipts_that_cannot_be_used() -> None:
    """And names them; a row of Packs that cannot be used is in no sum of receipts anyway."""
    rows = [
        LeftOut(what=f"a row of {sheet}", place=Place(sheet, 9), sheet=sheet, name="bread")
        for sheet in ("Packs", "Receipts")
    ]
    shoot = charge(PACK, *LINES).closed.shoot.changed(left_out=rows)
    assert not_counted(Charge(closed(books_of_shoot(shoot))).closed) == [
        "a row of Receipts in row 9"
    ]


LINE = st.builds(
    lambda name, coins, rate, tag: paid(
        name,
        str(Decimal(coins) / 100),
        tax_rate=Fraction(rate, 100),
        tag=tag,
        packs=1 if name else None,
    ),
    st.sampled_from(("bread", "salt", "")),
    st.integers(-5_000, 5_000),
    st.integers(0, 25),
    st.sampled_from(list(ReceiptTag)),
)


@given(
    st.lists(LINE, max_size=8),
    st.integers(0, 40),
    st.sampled_from(list(MarkUpOn)),
    st.booleans(),
)
def test_charge__laws(lines: list[Any], mark_up: int, on: MarkUpOn, included: bool) -> None:
    """Supplied bread is never charged; each charge has its line; the sum is that of the rows.

    All that was paid is charged or stays a cost by its tag, to the coin.
    """
    found = charge(
        pack("bread", "1 kg", "3.00", shop="Corner", supplied=True),
        *lines,
        charge_mark_up=Fraction(mark_up, 100),
        mark_up_on=on,
        prices_include_tax=included,
    )
    assert all(one.line.line.ingredient != "bread" for one in found.lines)
    assert all(one.line.line in lines for one in found.lines)
    assert found.charged == found.paid + found.mark_up
    exact, marked_up = Fraction(mark_up, 100), Fraction(0)
    for one in found.lines:
        base = one.line.paid - ((one.line.tax or 0) if on is MarkUpOn.BEFORE_TAX else 0)
        assert abs(exact_money(one.mark_up) - exact * exact_money(base)) < Fraction(1, 100)
        marked_up += exact * exact_money(base)
    assert abs(exact_money(found.mark_up) - marked_up) <= Fraction(1, 200)
    everything = sum((one.paid for one in found.closed.lines), Decimal(0))
    assert sum(costs_by_tag(found.closed).values(), Decimal(0)) == everything


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
