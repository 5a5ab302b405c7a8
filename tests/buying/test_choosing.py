"""What is made, bought ready and cut which way, where prices are not known: worked by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from buying.test_cut_ahead import cut, days, keeping
from small import books, books_of_shoot, codes, line, pack, part, purchase, shoot_of, sound

from costing.buying.books import Books
from costing.buying.takes_left import Outlook
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


def mousse_for_two_days(most: int) -> Books:
    """2 mousses on 10 May, so many times at most, and 4 on 14 May; one bought keeps for a day."""
    rows = days((0, 4), mousse=(2, 4))
    shots = [
        row.model_copy(update={"most": most})
        if isinstance(row, Shot) and row.episode == "E0" and most > 1
        else row
        for row in rows
    ]
    return books_of_shoot(
        shoot_of(
            *shots,
            line("mousse", "cream", "1 each"),
            Dish(name="mousse", makes="1 each", whole_batches=True),
            keeping("mousse", 1),
            sound("cream"),
            pack("cream", "1 each", "0.75"),
            pack("mousse", "3 each", "1.20"),
            chance_of_running_out=Fraction(0),
        )
    )


def test_bought_ready__what_a_pack_leaves_is_not_for_a_day_that_it_does_not_keep_to() -> None:
    """Worked by hand: packs of 3 for 1.20; made, each takes a cream at 0.75.

    10 May takes a pack, of which 1 is left, and 14 May a pack and one that is made: 3.15. The 1
    that is left is no food of 14 May, for which two packs would be 1.20 more and a cream less.
    A second take on 10 May is one more that is made, and the cream of 14 May is all there is.
    """
    found = mousse_for_two_days(1)
    assert found.totals.bought == Decimal("3.15")
    assert [one.count for one in purchase(found, "mousse").lines] == [1, 1]
    assert cut(found, "mousse") == {"E1": 1}
    assert codes(found.findings) == []
    assert found.caution is not None
    assert [str(take.one_more) for take in found.caution.takes] == ["0.75", "1.65"]
    left = Outlook(found).takes_left
    assert [one.more for one in left] == [1, 1]
    lacks = [one for of_it in left for one in of_it.lacks]
    assert [f"{one.amount} {one.supply.name}" for one in lacks] == ["1 cream", "4 cream"]


def test_bought_ready__fewer_takes_leave_nothing_for_a_day_that_it_does_not_keep_to() -> None:
    """The same with two takes on 10 May at most: 4 are a pack and one made, 3.90 in all.

    At one take 1 of that pack is left and a cream; 14 May has its pack and one that is made, as
    planned: used are 5 mousses at 0.40 and a cream, 2.75.
    """
    found = mousse_for_two_days(2)
    assert (found.totals.bought, found.totals.used) == (Decimal("3.90"), Decimal("2.75"))
    mousse, cream = purchase(found, "mousse"), purchase(found, "cream")
    assert [str(one) for one in (mousse.wanted, mousse.made, mousse.left.rest)] == ["5", "1", "1"]
    assert [str(one) for one in (cream.bought, cream.wanted)] == ["2", "1"]
    assert found.caution is not None
    points, left_out = found.caution.points
    assert [str(one.bought) for one in points] == ["3.90", "3.15"]
    assert left_out == []
