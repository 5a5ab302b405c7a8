"""Articles that are made, parts that are dishes, and dishes with their optional lines."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from buying.test_making import BOTH, STOCK
from small import (
    basket,
    books,
    books_of_shoot,
    codes,
    line,
    lot,
    pack,
    part,
    purchase,
    said,
    shoot_of,
    sound,
)

from costing.buying.books import Books
from costing.kitchen import Dish, Shop
from costing.shoot import Episode, Purpose, Shot


def test_part_is_a_dish__whole_text() -> None:
    """A part that is made by a recipe is not cut, and that is said once."""
    shoot = shoot_of(
        *STOCK,
        Dish(name="stock", makes="2 l"),
        pack("carcass", "1 each", "1.00"),
        part("carcass", "stock", "500 ml"),
        *BOTH,
    )
    assert said(shoot, "part is a dish") == [
        'Parts (row "stock", column "Part"): found stock, which is a dish of Recipes, expected a '
        "part that no recipe makes [part is a dish]\n"
        "  It is made by its recipe, and none of it is cut. Delete this row, or give the part "
        "another name and take that in the recipes."
    ]
    assert basket(books_of_shoot(shoot), "bones") == {"1 kg": 1}


SPONGE: tuple[Any, ...] = (
    line("sponge", "flour", "300 g"),
    sound("flour"),
    pack("flour", "100 g", "0.50"),
    part("sponge", "sponge disc", "2 each", of="200 g"),
)


def test_parts__of_an_article_that_is_made() -> None:
    """Worked by hand: 4 discs are cut from 400 g of a sponge that makes 600 g: 200 g of flour.

    In whole batches it is one sponge, 300 g of flour.
    """
    of_discs: tuple[Any, ...] = (line("trifle", "sponge disc", "4 each"), Shot(dish="trifle"))
    for whole, flour in ((False, 2), (True, 3)):
        found = books(*SPONGE, Dish(name="sponge", makes="600 g", whole_batches=whole), *of_discs)
        assert basket(found, "flour") == {"100 g": flour}
        assert {share.dish: share.used for share in found.shares} == {
            "trifle": Decimal("0.50") * flour
        }
        assert codes(found.findings) == []


def test_parts__of_an_article_that_is_made_of_them() -> None:
    """A sponge made of its own discs is not cut: that is said, and nothing else is tried."""
    shoot = shoot_of(
        *SPONGE,
        line("sponge", "sponge disc", "1 each"),
        Dish(name="sponge", makes="600 g"),
        Shot(dish="sponge"),
    )
    assert len(said(shoot, "part of itself")) == 1


def test_made_with_optional_lines__whole_text() -> None:
    """5 l of stock are on hand, but with leek it is another: the shots are named, once each.

    Worked by hand: the two soups with it take 2 batches, 2 kg bones; the third is served.
    """
    shoot = shoot_of(
        *STOCK[:3],
        line("stock", "leek", "100 g", optional=True),
        Dish(name="stock", makes="2 l"),
        line("soup", "stock", "2 l"),
        lot("stock", "5 l", use_by="2031-06-01"),
        Episode(name="A", shoot_date="2031-05-01"),
        Shot(dish="soup", name="S1", optional_lines=True),
        Shot(dish="soup", name="S2", optional_lines=True),
        Shot(dish="soup", name="S3"),
    )
    assert said(shoot, "made with optional lines") == [
        '\'Shoot plan\' (row "S1", column "Optional lines"): found stock with its optional lines '
        'for "S1" and "S2", expected stock without them, as it is on hand or sold ready '
        "[made with optional lines]\n"
        "  It is made afresh, and nothing that is on hand or sold ready of it is used there. Leave "
        "Optional lines blank where that may be used."
    ]
    found = books_of_shoot(shoot)
    assert basket(found, "bones") == {"1 kg": 2}
    assert purchase(found, "stock").taken.total == 2000


def test_made_with_optional_lines__names_each_shot_once() -> None:
    """S2 takes stock, and sauce with stock in it, told in that order; S3 stock; there is no pie."""
    ready = (lot("stock", "5 l", use_by="2031-06-01"), lot("sauce", "9 l", use_by="2031-06-01"))
    shoot = shoot_of(
        *STOCK[:3],
        *(line("stock", "leek", "100 g", optional=True), Dish(name="stock", makes="2 l")),
        *(line("sauce", "stock", "1 l"), line("sauce", "leek", "1 g", optional=True)),
        *(Dish(name="sauce", makes="1 l"), line("roast", "stock", "1 l")),
        *(line("roast", "sauce", "1 l"), *ready, Episode(name="A", shoot_date="2031-05-01")),
        Shot(dish="pie", name="S1", optional_lines=True),
        Shot(dish="roast", name="S2", optional_lines=True),
        Shot(dish="stock", name="S3", purpose="bite", optional_lines=True),
    )
    stock, sauce = said(shoot, "made with optional lines")
    assert 'found stock with its optional lines for "S2" and "S3", expected' in stock
    assert 'found sauce with its optional lines for "S2", expected' in sauce


def test_made_with_optional_lines__of_what_is_in_a_dish_in_the_dish() -> None:
    """The roast takes sauce alone, which is made afresh of stock that is made afresh too."""
    shoot = shoot_of(
        *STOCK[:3],
        *(line("stock", "leek", "100 g", optional=True), Dish(name="stock", makes="2 l")),
        *(line("sauce", "stock", "1 l"), line("sauce", "leek", "1 g", optional=True)),
        *(Dish(name="sauce", makes="1 l"), line("roast", "sauce", "1 l")),
        *(lot("stock", "5 l", use_by="2031-06-01"), lot("sauce", "9 l", use_by="2031-06-01")),
        *(line("soup", "stock", "1 l"), Episode(name="A", shoot_date="2031-05-01")),
        *(Shot(dish="roast", name="S1", optional_lines=True), Shot(dish="soup", name="S2")),
    )
    texts = said(shoot, "made with optional lines")
    assert [text.partition("found ")[2].partition(", expected")[0] for text in texts] == [
        'sauce with its optional lines for "S1"',
        'stock with its optional lines for "S1"',
    ]


def counts(of: Books, name: str) -> list[int]:
    """How many packs stand in each row of an ingredient."""
    return [bought.count for bought in purchase(of, name).lines]


@pytest.mark.parametrize("coupled", [False, True], ids=["separate", "visit costs"])
def test_ready_packs__of_a_day_without_a_trip_only_where_nothing_else_will_do(
    *, coupled: bool
) -> None:
    """One trip on the 9th; 80 ml of juice on the 10th and on the 17th.

    A bottle of 100 ml for 0.60 keeps two days: for the 10th. For the 17th two lemons of 40 ml,
    fetched on the same trip, 0.50 each: 1.60 in all. A second bottle, 0.60, and 0.10 for a visit
    would be less, but nobody goes on a day that would do. Without lemons there is nothing else, and
    such a day is taken.
    """
    first = date(2031, 5, 10)
    rows: list[Any] = [
        line("tart", "juice", "80 ml"),
        *(Episode(name=f"E{n}", shoot_date=first + timedelta(days=n)) for n in (0, 7)),
        *(Shot(dish="tart", episode=f"E{n}") for n in (0, 7)),
        sound("juice", keeps_days=Fraction(2)),
        pack("juice", "100 ml", "0.60", shop="Corner"),
        part("yellow", "juice", "40 ml"),
        Shop(name="Corner", visit_cost=Decimal("0.10") if coupled else Decimal(0)),
    ]
    dates = {"shopping_date": first - timedelta(days=1)}
    lemons = [sound("yellow"), pack("yellow", "1 each", "0.50", shop="Corner")]
    both = books(*rows, *lemons, **dates)
    assert counts(both, "juice") == [1]
    assert counts(both, "yellow") == [2]
    assert counts(books(*rows, **dates), "juice") == [1, 1]


def test_ready_packs__what_they_leave_is_not_for_a_day_they_do_not_keep_to() -> None:
    """One trip on the 9th; 80 ml of juice on the 10th and on the 17th, of which a bottle keeps two.

    A bottle of 150 ml leaves 70 ml that nobody can use: two lemons for the 17th. Were it used, one
    lemon would seem to do, and a second bottle would be fetched on a day on which nobody goes.
    """
    first = date(2031, 5, 10)
    found = books(
        line("tart", "juice", "80 ml"),
        *(Episode(name=f"E{n}", shoot_date=first + timedelta(days=n)) for n in (0, 7)),
        *(Shot(dish="tart", episode=f"E{n}") for n in (0, 7)),
        sound("juice", keeps_days=Fraction(2)),
        pack("juice", "150 ml", "0.60"),
        part("yellow", "juice", "40 ml"),
        sound("yellow"),
        pack("yellow", "1 each", "0.50"),
        shopping_date=first - timedelta(days=1),
    )
    assert counts(found, "juice") == [1]
    assert counts(found, "yellow") == [2]
    assert found.totals.paid == Decimal("1.60")


def test_parts_that_nobody_sells__are_covered_as_often_as_what_is_cut_allows() -> None:
    """A retake, likely 1 of 0 to 3, takes the juice of one lemon, and six come in a net for 1.00.

    The juice is in no pack, but cut, so that the net covers all three: nothing can run out.
    """
    found = books(
        line("tart", "juice", "40 ml"),
        sound("juice"),
        part("yellow", "juice", "40 ml"),
        sound("yellow"),
        pack("yellow", "6 each", "1.00"),
        Shot(dish="tart", purpose=Purpose.RETAKE, steps=(1,), times=1, fewest=0, most=3),
    )
    assert found.caps == {0: 3}
    assert found.caution is not None
    assert found.caution.chance_of_running_out == 0
