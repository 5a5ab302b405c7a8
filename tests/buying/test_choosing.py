"""What is made, bought ready and cut which way, where prices are not known: worked by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import books, line, pack, part, purchase, sound

from costing.kitchen import Dish, Ingredient
from costing.shoot import Episode, Shot

BONES = pack("bones", "1 kg", "1.00")
ONLY_ONE = pack("bones", "1 kg", "1.00", at_most=1)
CARTON = pack("stock", "1 l", None)
THREE: dict[str, Any] = {"times": 2, "fewest": 1, "most": 3}


@pytest.mark.parametrize(
    ("sold", "shot", "bones", "cartons", "paid", "one_more"),
    [
        ([BONES, CARTON], {"times": 2}, 2, 0, "2.00", "1.00"),
        ([ONLY_ONE, CARTON], {"times": 3}, 1, 2, "1.00", None),
        ([CARTON], {"times": 2}, 0, 2, "0.00", None),
        ([pack("bones", "1 kg", None), pack("stock", "1 l", "5")], {"times": 2}, 0, 2, "10", "5"),
        ([BONES, CARTON], THREE, 3, 0, "3.00", "1.00"),
        ([ONLY_ONE, CARTON], THREE, 1, 2, "1.00", None),
        (
            [ONLY_ONE, pack("stock", "1 l", "3.00", at_most=1), CARTON],
            {"times": 4},
            *(1, 3, "4.00", None),
        ),
    ],
    ids=[
        "made, as no carton has a price",
        "one is made, two cartons are all there is besides",
        "nobody sells bones",
        "cartons have a price and bones have none",
        "made for the takes that may come too",
        "what bones are too few for",
        "what bones and cartons with a price are too few for",
    ],
)
def test_bought_ready__what_has_no_price_at_all_is_taken_only_where_nothing_else_will_do(
    sold: list[Any], shot: dict[str, Any], bones: int, cartons: int, paid: str, one_more: str | None
) -> None:
    """Worked by hand: a litre of stock takes a kilo of bones or a carton, each gravy a litre.

    The price of one more take is known where the packs that it takes have one.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        sound("bones"),
        Dish(name="stock", makes="1 l"),
        line("gravy", "stock", "1 l"),
        *sold,
        Shot(dish="gravy", **shot),
    )
    lines = [purchase(found, name).lines for name in ("bones", "stock")]
    assert [sum(one.count for one in of_it) for of_it in lines] == [bones, cartons]
    assert found.totals.bought == Decimal(paid)
    assert found.caution is not None
    (take,) = found.caution.takes
    assert take.one_more == (None if one_more is None else Decimal(one_more))
    assert [finding.code for finding in found.findings] == ["price missing"]


FLOUR, NO_FLOUR = (pack("flour", "1 kg", "1.00", at_most=n) for n in (1, 0))
DOUGH = pack("dough", "1 kg", "5.00", at_most=1)


@pytest.mark.parametrize(
    ("sold", "paid"),
    [
        ([CARTON, FLOUR, pack("dough", "1 kg", "5.00", at_most=0)], "3.00"),
        ([CARTON, NO_FLOUR, DOUGH], "7.00"),
        ([pack("stock", "1 l", None, at_most=1), pack("stock", "1 l", "5.00"), DOUGH], "2.00"),
    ],
    ids=["too little flour", "too little dough", "dough is made of what nobody sells"],
)
def test_bought_ready__what_has_no_price_is_not_free_where_something_else_lacks(
    sold: list[Any], paid: str
) -> None:
    """Worked by hand: two kilos of bones at 1.00 do for the stock, whatever dough lacks for the
    pie: a kilo of flour is 1.00, one of dough 5.00; the pie takes two of either.
    """
    found = books(
        *(line("stock", "bones", "1 kg"), line("gravy", "stock", "1 l")),
        *(line("dough", "flour", "1 kg"), line("pie", "dough", "2 kg")),
        *(sound("bones"), sound("flour"), BONES, *sold),
        *(Dish(name="stock", makes="1 l"), Dish(name="dough", makes="1 kg")),
        *(Shot(dish="gravy", times=2), Shot(dish="pie")),
    )
    lines = [purchase(found, name).lines for name in ("bones", "stock")]
    assert [sum(one.count for one in of_it) for of_it in lines] == [2, 0]
    assert found.totals.bought == Decimal(paid)


@pytest.mark.parametrize(("carton", "bones", "cartons"), [("4.10", 4, 0), ("3.90", 0, 1)])
def test_bought_ready__bones_are_counted_with_what_spoils_until_the_later_day(
    carton: str, bones: int, cartons: int
) -> None:
    """Worked by hand: half of the bones is lost each day, and two days on a kilo is four at 1.00.

    The day before nobody takes stock. Cartons of a litre do not spoil.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        sound("bones", spoilage=Fraction(1, 2)),
        Dish(name="stock", makes="1 l"),
        line("gravy", "stock", "1 l"),
        line("toast", "bread", "1 each"),
        pack("bones", "1 kg", "1"),
        pack("stock", "1 l", carton),
        pack("bread", "1 each", "1"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 11)),
        Shot(dish="toast", episode="One"),
        Shot(dish="gravy", episode="Two"),
        shopping_date=date(2031, 5, 9),
    )
    lines = [purchase(found, name).lines for name in ("bones", "stock")]
    assert [sum(one.count for one in of_it) for of_it in lines] == [bones, cartons]


def test_parts__what_the_articles_give_is_used_before_packs_that_are_for_more_takes() -> None:
    """Worked by hand: six yolks are six eggs, whose whites are 198 g, for one take of 231 g or two.

    For two, 462 g, two packs of 250 g are bought besides: 264 g of them. For one 33 g of them do,
    as the whites of the eggs are there.
    """
    found = books(
        line("custard", "egg yolk", "6 each"),
        line("meringue", "egg white", "7 each"),
        Ingredient(name="egg white", piece_weight=Fraction(33)),
        pack("egg", "6 each", "1.80", at_most=1),
        pack("egg white", "250 g", "1.75"),
        part("egg", "egg yolk", "1 each"),
        part("egg", "egg white", "1 each"),
        Shot(dish="custard"),
        Shot(dish="meringue", times=1, most=2),
        chance_of_running_out=Fraction(0),
    )
    whites = purchase(found, "egg white")
    assert [one.count for one in whites.lines] == [2]
    assert [whites.covered, whites.wanted, whites.made] == [264, 33, 198]
