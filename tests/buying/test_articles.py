"""What baskets are compared by, worked by hand: what is left over, what keeps, what is paid."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from plans import shopping
from small import line, lot, pack, shoot_of, sound

from costing.buying.articles import Terms
from costing.kitchen import Shop
from costing.shoot import Episode, Shot, Trip

LEEK = (line("soup", "leek", "300 g"), sound("leek", keeps_days=Fraction(30)))
KILO, SMALL = pack("leek", "1 kg", "4"), pack("leek", "250 g", "1.50")
DAY = Episode(name="One", shoot_date=date(2031, 5, 10))


def terms(*parts: Any, **settings: Any) -> Terms:
    """What baskets of a small shoot are compared by."""
    return shopping(shoot_of(*parts, Shot(dish="soup"), **settings)).market.terms


def test_left_over__is_worth_its_price_where_sealed_and_the_least_where_open() -> None:
    """300 g of a kilo at 4.00 and two of 250 g at 1.50, of which the kilo is opened.

    The two stay sealed, 3.00; of the kilo 700 g are open, at 0.004 a gram 2.80. With the kilo
    sealed, 4.00, and 200 g open, 0.80, it would be less. All of it was paid with 7.00, of which
    1,200 of 1,500 g are left over: 5.60.
    """
    (leek,) = terms(*LEEK, KILO, SMALL, leftovers_counted=Fraction(1, 2)).articles
    assert leek.unit_price == Fraction(4, 1000)
    assert leek.value_that_keeps((1, 2)) == Fraction("5.80")
    assert leek.value_left((1, 2)) == Fraction("5.60")
    assert leek.supply((1, 2)) == 1500
    assert leek.paid((1, 2)) == 7
    # what covers no more than the need leaves nothing over
    assert leek.value_left((0, 1)) == 0
    assert leek.value_that_keeps((0, 1)) == 0


def test_left_over__what_is_open_is_worth_nothing_where_only_sealed_packs_keep() -> None:
    """An unknown life binds no sealed pack, and is none once it is open."""
    rows = line("soup", "leek", "300 g"), sound("leek"), DAY
    (leek,) = terms(*rows, KILO, SMALL, leftovers_counted=Fraction(1, 2)).articles
    assert leek.value_that_keeps((1, 2)) == 4
    # nothing counts where nothing is to be counted
    (leek,) = terms(*rows, KILO, SMALL).articles
    assert leek.value_that_keeps((1, 2)) == 0


def test_cost__is_what_is_paid_less_half_of_what_keeps() -> None:
    """Worked by hand: 7.00 and the visit of 2.00, less half of 5.80; the street is no shop."""
    street = pack("leek", "50 g", "0.30")
    packs = [pack("leek", "1 kg", "4", shop="a"), pack("leek", "250 g", "1.50", shop="a"), street]
    shop = Shop(name="a", visit_cost=Decimal(2), minimum_spend=Decimal(3))
    of_it = terms(*LEEK, *packs, shop, leftovers_counted=Fraction(1, 2))
    assert of_it.paid([(1, 2, 0)]) == 9
    assert of_it.cost([(1, 2, 0)]) == Fraction("6.10")
    assert of_it.rank([(1, 2, 0)]) == (Fraction("6.10"), Fraction("5.60"), 3, 1)
    assert of_it.shops([(0, 0, 6)]) == []
    assert of_it.visit_costs([(0, 0, 6)]) == 0
    assert (of_it.pays("a", [(1, 0, 0)]), of_it.pays("a", [(0, 0, 6)])) == (True, False)


def test_pays__a_minimum_spend_asks_for_nothing_of_what_is_free_or_has_no_price() -> None:
    packs = [
        pack("leek", "1 kg", "4", shop="a", supplied=True),
        pack("leek", "1 kg", None, shop="a"),
        pack("leek", "1 kg", "4", shop="a"),
    ]
    of_it = terms(*LEEK, *packs, Shop(name="a", minimum_spend=Decimal(3)))
    assert [of_it.pays("a", [one]) for one in ((1, 0, 0), (0, 1, 0), (0, 0, 1))] == [
        False,
        False,
        True,
    ]


def test_unit_price__closed_offers_are_no_prices() -> None:
    """The kilo is sold out, so that 0.006 is the least a gram costs; with nothing left it is 0."""
    out = pack("leek", "1 kg", "4", at_most=0)
    assert terms(*LEEK, out, SMALL).articles[0].unit_price == Fraction(6, 1000)
    assert terms(*LEEK, out).articles[0].unit_price == 0


def test_capacity__of_one_row_is_counted_once_however_many_trips() -> None:
    """Three of the row at most: 750 g, fetched on the 9th; half is lost each day.

    Of a pack that is fetched on the 7th 62.5 g are as good as 250 g of the 9th.
    """
    rows = (
        line("soup", "leek", "300 g"),
        DAY,
        *(Trip(shop="a", day=date(2031, 5, n)) for n in (7, 9)),
    )
    few = pack("leek", "250 g", "1", shop="a", at_most=3)
    (leek,) = terms(*rows, sound("leek", keeps_days=Fraction(30)), few).articles
    assert leek.capacity == 750
    visit = Shop(name="a", visit_cost=Decimal(1))  # where it costs something any trip may be best
    (leek,) = terms(*rows, sound("leek", spoilage=Fraction(1, 2)), few, visit).articles
    assert leek.capacity == 750
    assert {offer.amount for offer in leek.offers} == {250, Fraction(125, 2)}
    assert leek.dated
    (leek,) = terms(*rows, sound("leek"), few, pack("leek", "1 kg", "9", shop="a")).articles
    assert leek.capacity is None


def test_by_day__names_what_is_bought_or_on_hand_for_days() -> None:
    """Leek has a lot with a last day; of beet the lot has none, and nothing of it is for days."""
    rows = line("soup", "leek", "300 g"), line("soup", "beet", "300 g"), DAY
    packs = pack("leek", "250 g", "1"), pack("beet", "250 g", "1")
    lots = lot("leek", "10 g", use_by=date(2031, 5, 11)), lot("beet", "10 g")
    of_it = terms(*rows, sound("leek"), sound("beet"), *packs, *lots)
    assert of_it.by_day == {"leek"}
