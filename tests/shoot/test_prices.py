"""What is odd about prices, each message whole."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from small import BREAD, line, lot, pack, row, said, shoot_of

from costing.kitchen import Pack
from costing.listing import in_order
from costing.shoot import Episode
from costing.shoot.checks import check_shoot
from costing.shoot.prices import check_price_dates, check_prices


def seeds(text: str, price: str | None, number: int, **more: object) -> Pack:
    """A row of Packs."""
    at = row("Packs", number, "seeds", Price="E", Amount="C")
    return pack("seeds", text, price, row=at, **more)


def test_price_seen_long_ago__whole_text() -> None:
    """A year and a day before the shoot; a year to the day is recent."""
    rows = [
        pack("seeds", "1 kg", "3", price_date=seen, row=row("Packs", n, "seeds", Price_date="J"))
        for n, seen in enumerate((date(2030, 5, 9), date(2030, 5, 10), date(2029, 1, 2)), start=2)
    ]
    shoot = shoot_of(*BREAD, *rows, Episode(name="one", shoot_date=date(2031, 5, 10)))
    assert [str(f) for f in in_order(check_shoot(shoot)) if "Price date" in f.remedy] == [
        'Packs!J2 (column "Price date"): found a price more than a year old: seeds, seen '
        "2030-05-09 (J2) and seeds, seen 2029-01-02 (J4), expected a price of the last twelve "
        "months [price seen long ago]\n"
        "  Look it up again and write its day into Price date; until then it counts as it is."
    ]


def test_price_seen_long_ago__without_a_day_is_set_against_the_day_of_asking() -> None:
    """No shoot date and no shopping date: only who asks knows a day; with one, that counts."""
    seen = pack("seeds", "1 kg", "3", price_date=date(2030, 5, 9))
    undated, dated = shoot_of(*BREAD, seen), shoot_of(*BREAD, seen, shopping_date=date(2031, 5, 9))
    asked = {day: [*check_price_dates(undated, date(2031, 5, day))] for day in (9, 10)}
    assert {day: [one.code for one in said] for day, said in asked.items()} == {
        9: [],
        10: ["price seen long ago"],
    }
    assert [*check_price_dates(undated)] == [*check_price_dates(dated, date(2040, 1, 1))] == []


def test_price_seen_later__whole_text() -> None:
    """The day after the last of two shoot days; on that day itself nothing is said."""
    rows = [
        pack("seeds", "1 kg", "3", price_date=seen, row=row("Packs", n, "seeds", Price_date="J"))
        for n, seen in enumerate((date(2031, 5, 13), date(2031, 5, 12)), start=2)
    ]
    days = [
        Episode(name="one", shoot_date=date(2031, 5, 10)),
        Episode(name="two", shoot_date=date(2031, 5, 12)),
    ]
    shoot = shoot_of(*BREAD, *rows, *days)
    assert [str(f) for f in in_order(check_shoot(shoot)) if "Price date" in f.remedy] == [
        'Packs!J2 (row "seeds", column "Price date"): found a price seen after the last day of the '
        "shoot: seeds, seen 2031-05-13, expected the day on which the price was seen [price seen "
        "later]\n"
        "  Correct Price date, or the shoot date if that is wrong; the price counts as it is."
    ]


def test_loose_step_large__whole_text() -> None:
    """11 kg of what is priced by the kilogram; ten times the amount is still plausible."""
    rows = [
        pack("seeds", "1 kg", "3", loose=step, row=row("Packs", n, "seeds", Loose_step="F"))
        for n, step in enumerate(("11 kg", "10 kg", "50 g"), start=2)
    ]
    assert [str(f) for f in check_shoot(shoot_of(*BREAD, *rows, currency="EUR"))] == [
        'Packs!F2 (row "seeds", column "Loose step"): found a step of 11 kg, while the price of '
        "seeds is for 1 kg, expected a step in the unit of Amount, rarely more than ten times the "
        "amount [loose step large]\n"
        "  Write the step in the unit of Amount. As it stands seeds is bought by 11 kg at a time."
    ]


def test_price_far_off__whole_text() -> None:
    """A kilogram at 300 where 500 g cost 1.80: 0.30 a gram is 83 times 0.0036."""
    shoot = shoot_of(*BREAD, seeds("500 g", "1.8", 2), seeds("1 kg", "300", 3), currency="EUR")
    assert said(shoot, "price far off") == [
        'Packs!E3 (row "seeds", column "Price"): found 300.00 EUR for 1 kg, while Packs!E2 has '
        "1.80 EUR for 500 g, expected prices of one ingredient that are not many times apart "
        "[price far off]\n"
        "  Mend the price, the amount or the unit that is wrong; until then both count as they are."
    ]


@pytest.mark.parametrize(
    ("rows", "odd"),
    [
        pytest.param([("1 kg", "3"), ("1 kg", "149.99")], [], id="just below fifty times"),
        pytest.param([("1 kg", "3"), ("1 kg", "150")], [3], id="fifty times"),
        pytest.param([("1 g", "3"), ("1 kg", "3"), ("1 kg", "4")], [2], id="the unit is wrong"),
        pytest.param([("1 kg", "3"), ("1 kg", "0.04"), ("1 kg", "4")], [3], id="far below"),
        pytest.param([("1 kg", "300"), ("1 kg", "3"), ("1 kg", "310")], [3], id="one below two"),
        pytest.param([("1 kg", "3"), ("2 each", "300")], [], id="by the piece is another price"),
        pytest.param([("1 kg", "3"), ("1 kg", None)], [], id="no price"),
        pytest.param([("1 kg", "3"), ("1 kg", "0")], [], id="for nothing"),
        pytest.param([("1 kg", "300")], [], id="nothing beside it"),
    ],
)
def test_price_far_off__only_the_one_that_is_far_from_all_others(
    rows: list[tuple[str, str | None]], odd: list[int]
) -> None:
    packs = [seeds(text, price, n) for n, (text, price) in enumerate(rows, start=2)]
    found = check_prices(shoot_of(*BREAD, *packs))
    assert [one.place.row for one in found if one.code == "price far off"] == odd


def test_price_of_nothing__whole_text() -> None:
    """What is supplied is free, and a blank price is told as one that lacks."""
    free = seeds("1 kg", "0", 3, supplied=True)
    rows = (seeds("1 kg", "0", 2), free, seeds("1 kg", None, 4), seeds("2 kg", "0.01", 5))
    assert [str(one) for one in check_prices(shoot_of(*BREAD, *rows))] == [
        'Packs!E2 (row "seeds", column "Price"): found a price of 0 for seeds, which is not '
        "supplied, expected a price, a blank cell where it is not known, or yes in Supplied [price "
        "of nothing]\n"
        "  Write what it costs, clear the 0 where nobody knows, or write yes in Supplied where it "
        "is given free; until then it costs nothing."
    ]


def test_price_far_off__what_is_on_hand_is_a_price_too() -> None:
    """200 g worth 0.60 are 3 a kilogram; what is supplied has no price."""
    there = lot("seeds", "200 g", value="0.6", row=row("On hand", 2, "seeds", Value="F"))
    dear = seeds("1 kg", "300", 2)
    assert [one.found for one in check_prices(shoot_of(*BREAD, dear, there))] == [
        "300.00 for 1 kg, while 'On hand'!F2 has 0.60 for 200 g"
    ]
    free = seeds("1 kg", "300", 2, supplied=True)
    assert [*check_prices(shoot_of(*BREAD, free, there))] == []


def test_amount_beyond_carrying__whole_text() -> None:
    """20 g of seeds a loaf: half a tonne of them is no pack, and no lot."""
    there = lot("seeds", "51 l", row=row("On hand", 3, "seeds", Amount="B"))
    rows = seeds("500 kg", "4", 2), there
    assert said(shoot_of(*BREAD, *rows), "amount beyond carrying") == [
        'Packs!C2 (row "seeds", column "Amount"): found 500 kg of seeds in one pack, expected an '
        "amount that somebody carries, up to 50 kg or 50 l, or up to a hundred times what a line "
        "of the recipes takes [amount beyond carrying]\n"
        "  Mend Amount or Unit if grams or millilitres are meant; until then it counts as it is.",
        '\'On hand\'!B3 (row "seeds", column "Amount"): found 51 l of seeds on hand, expected an '
        "amount that somebody carries, up to 50 kg or 50 l, or up to a hundred times what a line "
        "of the recipes takes [amount beyond carrying]\n"
        "  Mend Amount or Unit if grams or millilitres are meant; until then it counts as it is.",
    ]


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param((seeds("50 kg", "60", 2),), id="a sack"),
        pytest.param((seeds("1000 each", "60", 2),), id="pieces are carried in a bag"),
        pytest.param((seeds("100 kg", "60", 2, loose="1 kg"),), id="what a price is for"),
        pytest.param(
            (seeds("90 kg", "60", 2), line("feast", "seeds", "0.9 kg")), id="for a hundred lines"
        ),
        pytest.param((pack("coal", "500 kg", "60"),), id="nobody cooks it"),
    ],
)
def test_amount_beyond_carrying__not_of_what_is_sold_so(rows: tuple[Any, ...]) -> None:
    assert said(shoot_of(*BREAD, *rows), "amount beyond carrying") == []
