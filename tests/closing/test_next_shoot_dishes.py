"""What is left of dishes that were made and of parts that were cut, for the next shoot, by hand."""

from __future__ import annotations

import pytest
from closing.test_next_shoot import DAY, of, rows, stood_out
from small import books_of_shoot, line, lot, pack, paid, part, shoot_of, sound

from costing.closing.closed import closed
from costing.closing.next_shoot import next_stock
from costing.kitchen import CountedLot, Dish
from costing.shoot import Episode, Shot
from costing.shoot.episodes import Logged

SOUP = (
    *(line("soup", "stock", "600 ml"), line("stock", "bones", "500 g"), sound("bones")),
    Dish(name="stock", makes="1 l", whole_batches=True, keeps_days=4),
    *(pack("bones", "1 kg", "2.00", shop="Market"), Shot(dish="soup", taken=1)),
    paid("bones", "2.00", packs=1, shop="Market", day="2031-05-09"),
    CountedLot(ingredient="bones", amount="0 g"),
)
"""One batch of 1 l of stock is made on the 10th, of which the soup takes 600 ml."""


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ((), [("stock", "0.4 l", "2031-05-14", "None", "0")]),  # 1 l less 600 ml; four days
        # what was counted decides
        (
            (CountedLot(ingredient="stock", amount="300 ml"),),
            [("stock", "300 ml", "2031-05-14", "None", "0")],
        ),
        # 1 l on hand for 3.00 serves it, and 400 ml of it are left: 3.00 x 400 / 1000
        (
            (lot("stock", "1 l", use_by="2031-05-12", value="3.00"),),
            [("stock", "0.4 l", "2031-05-12", "2031-05-10", "1.20")],
        ),
        # so do 0.8 batches, 800 ml: a quarter of them is left, for 0.60
        (
            (lot("stock", "0.8 batch", use_by="2031-05-12", value="2.40"),),
            [("stock", "0.2 l", "2031-05-12", "2031-05-10", "0.60")],
        ),
        # 200 ml on hand are used up, a batch is made for the other 400 ml, and 600 ml are left
        (
            (lot("stock", "200 ml", use_by="2031-05-12", value="0.60"),),
            [("stock", "0.6 l", "2031-05-14", "None", "0")],
        ),
        # with 700 ml counted of these 1.2 l too: the stock on hand was used first
        (
            (
                lot("stock", "200 ml", use_by="2031-05-12", value="0.60"),
                CountedLot(ingredient="stock", amount="0.7 batch"),
            ),
            [("stock", "0.7 l", "2031-05-14", "None", "0")],
        ),
    ],
)
def test_next_stock__what_is_left_of_a_dish(
    more: tuple[object, ...], expected: list[tuple[str, ...]]
) -> None:
    """What was made has been paid for by this shoot; what was on hand is worth its part."""
    assert rows(next_stock(of(*SOUP, *more)))[-1:] == expected


def test_next_stock__a_dish_that_nothing_was_to_be_left_of() -> None:
    """The soup itself: 250 ml counted are carried as counted; nobody says how long it keeps."""
    found = next_stock(of(*SOUP, CountedLot(ingredient="soup", amount="250 ml")))
    assert rows(found)[0] == ("soup", "250 ml", "None", "None", "0")


def test_next_stock__each_making_of_its_own_day() -> None:
    """A batch of the 10th for 600 ml, one of the 20th, four days apart at most: 400 ml of each.

    Those of the 10th were good until the 14th.
    """
    later = Episode(name="F", shoot_date="2031-05-20")
    found = next_stock(of(*SOUP, later, Shot(episode="F", dish="soup", taken=1)))
    assert rows(found) == [("stock", "0.4 l", "2031-05-24", "None", "0")]
    assert found.left_off == ("0.4 l of stock: its last day was 2031-05-14",)


def test_next_stock__the_first_making_is_that_of_the_earlier_day_however_they_are_typed() -> None:
    """The 20th stands above the 10th. What is counted may be of the 10th, good until the 14th."""
    later = Episode(name="F", shoot_date="2031-05-20")
    plan = [row for row in SOUP if not isinstance(row, Shot)]
    soups = [Shot(episode=name, dish="soup", taken=1) for name in ("F", "E")]
    count = CountedLot(ingredient="stock", amount="500 ml")
    found = next_stock(closed(books_of_shoot(shoot_of(later, DAY, *plan, *soups, count))))
    assert (found.lots, found.left_off) == (
        *((), ("500 ml of stock: its last day was 2031-05-14",)),
    )


def test_next_stock__what_is_made_of_a_night_is_of_the_day_it_began_on() -> None:
    """Soup of the 10th that keeps two days is good until the 12th, though taken on the 11th."""
    plan = [row for row in SOUP if not isinstance(row, Shot)]
    found = of(
        *(*plan, Shot(dish="soup", name="S"), Dish(name="soup", keeps_days=2)),
        Logged(what="S", event="taken", when="2031-05-11 00:30"),
        CountedLot(ingredient="soup", amount="1 batch"),
    )
    assert rows(next_stock(found))[0][:3] == ("soup", "1 batch", "2031-05-12")


def test_next_stock__makings_of_shoots_without_a_day_are_carried_without_a_last_day() -> None:
    """Two batches of 1 l for two soups of 600 ml, and no day is known of either."""
    days = [Episode(name=name) for name in ("E", "F")]
    soups = [Shot(episode=name, dish="soup", taken=1) for name in ("E", "F")]
    dish = Dish(name="stock", makes="1 l", whole_batches=True)
    plan = [row for row in SOUP if not isinstance(row, Shot | Dish)]
    found = next_stock(closed(books_of_shoot(shoot_of(*days, *plan, dish, *soups))))
    assert [(row[0], row[1], row[2]) for row in rows(found)] == [("stock", "0.4 l", "None")] * 2


def test_next_stock__a_part_is_carried_where_it_was_counted() -> None:
    """Six eggs for 2.00, of which two give yolks; 50 ml of 200 ml of juice on hand are used."""
    shoot = (
        *(line("flan", "yolk", "2 each"), line("flan", "juice", "50 ml")),
        *(part("egg", "yolk", "1 each"), part("lemon", "juice", "30 ml")),
        *(
            sound("egg"),
            sound("lemon"),
            pack("egg", "6 each", "2.00"),
            pack("lemon", "1 each", "1"),
        ),
        *(lot("juice", "200 ml", use_by="2031-05-30", value="4.00"), Shot(dish="flan", taken=1)),
    )
    juice = ("juice", "150 ml", "2031-05-30", "2031-05-10", "3.00")
    assert rows(next_stock(of(*shoot)))[0] == juice
    counted = next_stock(of(*shoot, CountedLot(ingredient="yolk", amount="1 each")))
    assert [row[:2] for row in rows(counted)] == [
        ("juice", "150 ml"),
        ("egg", "4 each"),
        ("yolk", "1 each"),
    ]


def test_next_stock__a_bowl_with_a_step_of_the_dish_counts_as_the_dish() -> None:
    """Stock that stood out is not carried, whichever step its bowl names."""
    assert stood_out(*SOUP, holds="stock: step 1").left_off[0] == (
        '0.4 l of stock: open, and of what stood in "bowl" (discard)'
    )
