"""Rows of Make, worked by hand."""

from __future__ import annotations

from datetime import time
from fractions import Fraction
from typing import Any

import pytest
from small import line, lot, pack, part, shoot_of, sound

import costing
from costing.cli.printed_list import print_list
from costing.kitchen import Dish
from costing.report.tables import Row
from costing.shoot import Episode, Purpose, Shot

STOCK: tuple[Any, ...] = (
    line("stock", "bones", "1 kg"),
    sound("bones"),
    line("gravy", "stock", "600 ml"),
    line("stuffing", "stock", "500 ml"),
)


def made(*parts: Any) -> list[Row]:
    """The rows of a shoot."""
    shoot = shoot_of(*parts, time_zone="Europe/Lisbon")
    return list(costing.estimate(shoot).tables()["make"].rows)


def figures(row: Row) -> tuple[Any, ...]:
    """Episode, dish, batches, amount, unit and what is left over."""
    return tuple(
        row[name] for name in ("episode", "dish", "batches", "amount", "unit", "left_over")
    )


def test_make__whole_batches_with_some_on_hand() -> None:
    """600 ml and 2 x 500 ml are 1.6 l; 0.3 l on hand, 1.3 l of 1 batch of 2 l, 0.7 l left.

    The stuffing starts first, at 10:00.
    """
    (row,) = made(
        *STOCK,
        Dish(name="stock", makes="2 l", whole_batches=True),
        lot("stock", "300 ml", use_by="2031-06-01"),
        Episode(name="A", shoot_date="2031-05-01"),
        Shot(dish="gravy", starts=time(11)),
        Shot(dish="stuffing", starts=time(10), times=2),
    )
    assert figures(row) == ("A", "stock", 1, 2, "l", Fraction("0.7"))
    assert f"{row['ready_by']:%Y-%m-%d %H:%M}" == "2031-05-01 10:00"
    assert row["into"] == "gravy 600 ml; stuffing 1 l"
    assert row["note"] == "takes 1 kg bones; 300 ml besides are on hand"


@pytest.mark.parametrize(
    ("bites", "into", "beyond"), [(2, 3, 7), (8, 9, 1), (9, 10, 0), (14, 15, 0)]
)
def test_make__says_how_many_are_made_to_pick_from(bites: int, into: int, beyond: int) -> None:
    """The best of ten biscuits is shown, the nine others may be bites.

    Of the 20 of a batch what is neither used nor looked at is left over.
    """
    (row,) = made(
        *(line("plate", "biscuit", "1 each", candidates=10), line("biscuit", "flour", "500 g")),
        *(sound("flour"), Dish(name="biscuit", makes="20 each", whole_batches=True)),
        *(Shot(dish="plate", purpose="hero"), Shot(dish="plate", purpose="bite", times=bites)),
    )
    assert figures(row)[2:] == (1, 20, "each", 20 - into - beyond)
    assert row["into"] == f"plate {into}"
    more = f"{beyond} more than is used, to pick from; " if beyond else ""
    assert row["note"] == f"{more}takes 500 g flour"


def test_make__a_part_of_a_batch_and_nothing_left() -> None:
    """1.1 l of a recipe for 2 l are 0.55 batches; a dish inside is made without being asked."""
    (row,) = made(
        *STOCK, Dish(name="stock", makes="2 l"), Shot(dish="gravy"), Shot(dish="stuffing")
    )
    assert figures(row) == ("Episode 1", "stock", Fraction("0.55"), Fraction("1.1"), "l", 0)


def test_make__once_for_the_days_on_which_it_keeps() -> None:
    """A day apart and two days of keeping: 1.1 l are made for both; on the fourth day anew."""
    days = {"A": "2031-05-01", "B": "2031-05-02", "C": "2031-05-04"}
    rows = made(
        *STOCK,
        Dish(name="stock", makes="2 l", keeps_days=2),
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        Shot(dish="gravy", episode="A"),
        Shot(dish="stuffing", episode="B"),
        Shot(dish="gravy", episode="C"),
    )
    assert [figures(row)[:4] for row in rows] == [
        ("A", "stock", Fraction("0.55"), Fraction("1.1")),
        ("C", "stock", Fraction("0.3"), Fraction("0.6")),
    ]
    assert str(rows[0]["note"]).startswith('serves "B" too')


BY_DATE: tuple[Any, ...] = (
    line("c", "stock", "500 ml"),
    line("stock", "odd", "200 g"),
    pack("odd", "100 g", "2"),
    Episode(name="e1", shoot_date="2031-12-02"),
    Episode(name="e2", shoot_date="2031-12-05"),
    *(Shot(dish="c", episode=name) for name in ("e1", "e2")),
)


def in_short(table: list[Row], *names: str) -> list[tuple[Any, ...]]:
    """Some columns of a table."""
    return [tuple(row[name] for name in names) for row in table]


def test_make__on_the_day_its_food_is_there() -> None:
    """Stock that keeps for three days, of food that keeps for two: 100 g a day, no more is there.

    Fetched on 1 and on 4 December, so that half a batch is made on each day; the sheet Prep of the
    second says nothing of a making on the first.
    """
    shoot = shoot_of(
        *BY_DATE, Dish(name="stock", makes="1 l", keeps_days=3), sound("odd", keeps_days=2)
    )
    tables = costing.estimate(shoot).tables()
    half = Fraction(1, 2)
    assert in_short(list(tables["make"].rows), "episode", "batches", "amount", "note") == [
        ("e1", half, half, "takes 100 g odd"),
        ("e2", half, half, "takes 100 g odd"),
    ]
    errands = in_short(list(tables["errands"].rows), "date", "errand", "what")
    assert [(f"{day:%d}", *rest) for day, *rest in errands] == [
        ("01", "fetch", "odd 100 g"),
        ("02", "make", "stock 500 ml (0.5 batches)"),
        ("04", "fetch", "odd 100 g"),
        ("05", "make", "stock 500 ml (0.5 batches)"),
    ]
    assert not any("made for" in str(row["note"]) for row in tables["prep"].rows)


def test_make__at_once_where_its_food_keeps() -> None:
    """The same of food that keeps for nine days: one way, 200 g, one batch for both days."""
    rows = made(*BY_DATE, Dish(name="stock", makes="1 l", keeps_days=3), sound("odd", keeps_days=9))
    assert in_short(rows, "episode", "batches", "note") == [
        ("e1", 1, 'serves "e2" too; takes 200 g odd')
    ]


def test_make__not_before_what_goes_into_it_is_made() -> None:
    """A stock that keeps, of a brew that does not: the brew of 5 December is not there on the 2nd.

    500 ml of stock take 250 ml of brew on each day.
    """
    rows = made(
        line("c", "stock", "500 ml"),
        line("stock", "brew", "500 ml"),
        line("brew", "odd", "200 g"),
        *BY_DATE[2:],
        Dish(name="stock", makes="1 l", keeps_days=3),
        Dish(name="brew", makes="1 l"),
        sound("odd", keeps_days=9),
    )
    quarter, half = Fraction(1, 4), Fraction(1, 2)
    assert sorted(in_short(rows, "episode", "dish", "batches")) == [
        *(("e1", "brew", quarter), ("e1", "stock", half)),
        *(("e2", "brew", quarter), ("e2", "stock", half)),
    ]


WHOLE: tuple[Any, ...] = (
    line("c", "dough", "400 g"),
    line("dough", "flour", "1 kg"),
    sound("flour"),
)


def test_make__each_day_has_what_is_left_of_its_own() -> None:
    """Of 1000 g a day 400 g are used, and nothing keeps for ten days: 600 g left of each."""
    rows = made(
        *WHOLE,
        Dish(name="dough", makes="1000 g", whole_batches=True, keeps_days=1),
        Episode(name="e1", shoot_date="2031-12-08"),
        Episode(name="e2", shoot_date="2031-12-18"),
        *(Shot(dish="c", episode=name) for name in ("e1", "e2")),
    )
    assert in_short(rows, "episode", "amount", "left_over") == [
        ("e1", 1000, 600),
        ("e2", 1000, 600),
    ]


@pytest.mark.parametrize(
    ("times", "told"),
    [
        (
            4,
            [
                ("e1", 1000, 0, "c 400 g", '600 g of it are kept for "e2"; takes 1 kg flour'),
                ("e2", 1000, 0, "c 1.6 kg", 'takes 1 kg flour; 600 g besides are left of "e1"'),
            ],
        ),
        (1, [("e1", 1000, 200, "c 800 g", 'serves "e2" too; takes 1 kg flour')]),
    ],
    ids=["a day that makes more", "one that lives on what is left"],
)
def test_make__says_what_is_kept_for_another_day(times: int, told: list[tuple[Any, ...]]) -> None:
    """400 g of the first 1000 g are used at once; three days later 1600 g take 600 g and a batch.

    400 g take 400 g of it: nothing is made, and 200 g are left.
    """
    rows = made(
        *WHOLE,
        Dish(name="dough", makes="1000 g", whole_batches=True, keeps_days=3),
        Episode(name="e1", shoot_date="2031-12-02"),
        Episode(name="e2", shoot_date="2031-12-05"),
        *(Shot(dish="c", episode=name, times=n) for name, n in (("e1", 1), ("e2", times))),
    )
    assert in_short(rows, "episode", "amount", "left_over", "into", "note") == told


def test_make__what_is_on_hand_stands_on_the_day_that_uses_it() -> None:
    """300 g on hand until the 3rd: the first day makes 1000 g for 100 g, the later knows of none.

    Of the second 1000 g 400 g are used.
    """
    rows = made(
        *WHOLE,
        Dish(name="dough", makes="1000 g", whole_batches=True),
        lot("dough", "300 g", use_by="2031-12-03"),
        Episode(name="e1", shoot_date="2031-12-02"),
        Episode(name="e2", shoot_date="2031-12-12"),
        *(Shot(dish="c", episode=name) for name in ("e1", "e2")),
    )
    assert in_short(rows, "episode", "left_over", "note") == [
        ("e1", 900, "takes 1 kg flour; 300 g besides are on hand"),
        ("e2", 600, "takes 1 kg flour"),
    ]


def test_make__three_bites_of_an_eighth() -> None:
    """One cake of 8 portions, 3 are eaten; nothing of it is weighed out in bowls."""
    shoot = shoot_of(
        line("cake", "flour", "400 g"),
        Dish(name="cake", makes="8 portions", whole_batches=True),
        Shot(dish="cake", purpose=Purpose.BITE, batch="1/8", times=3),
    )
    tables = costing.estimate(shoot).tables()
    (row,) = tables["make"].rows
    assert figures(row) == ("Episode 1", "cake", 1, 8, "portion", 5)
    assert (row["into"], row["note"]) == ("bite 3 portions", "takes 400 g flour")
    assert tables["prep"].rows == ()


def test_make__as_many_bites_and_trifles_as_may_be_taken() -> None:
    """At the worst, which is provided for, 3 bites of an eighth and 2 trifles: 3 portions left."""
    (row,) = made(
        line("cake", "flour", "400 g"),
        line("trifle", "cake", "1 portion"),
        Dish(name="cake", makes="8 portions", whole_batches=True),
        Shot(dish="cake", purpose=Purpose.BITE, batch="1/8", times=2, most=3),
        Shot(dish="trifle", times=1, most=2),
    )
    assert (row["into"], row["left_over"]) == ("bite 3 portions; trifle 2 portions", 3)


def test_make__what_is_bought_ready_is_not_made() -> None:
    """Two cartons of 1 l for 0.10 each, and no row."""
    assert (
        made(
            *STOCK,
            Dish(name="stock", makes="2 l"),
            pack("bones", "1 kg", "2.00"),
            pack("stock", "1 l", "0.10"),
            Shot(dish="gravy"),
            Shot(dish="stuffing"),
        )
        == []
    )


@pytest.mark.parametrize("juice", ["100 ml", "0.1 l"])
def test_to_buy__says_what_is_left_of_parts(juice: str) -> None:
    """100 ml of 40 ml each are 3 lemons and 20 ml too many; their zest is not taken."""
    shoot = shoot_of(
        line("curd", "lemon juice", juice),
        sound("lemon juice"),
        pack("lemon", "1 each", "0.50"),
        part("lemon", "lemon juice", "40 ml"),
        part("lemon", "lemon zest", "4 g"),
        Shot(dish="curd"),
    )
    (row,) = costing.estimate(shoot).tables()["to_buy"].rows
    assert row["note"] == "20 ml lemon juice left over of it; nobody takes its lemon zest"


KITCHEN: tuple[Any, ...] = (
    *STOCK,
    pack("bones", "1 kg", "2.00"),
    Dish(name="stock", makes="2 l", whole_batches=True),
    Episode(name="A", shoot_date="2031-05-01"),
    Shot(dish="gravy", name="G", starts=time(11)),
    Shot(dish="stuffing", name="S", starts=time(10)),
)
"""600 and 500 ml of stock are one whole batch of 2 l, first needed at 10:00."""
SAID = "stock 2 l (1 batch), ready by Thu 1 May 2031 10:00"


def test_make_ahead__stands_below_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    """The list ends with what is to be made and for what; the first screen has one line of it."""
    found = costing.estimate(shoot_of(*KITCHEN, time_zone="Europe/Lisbon"))
    print_list(found)
    assert capsys.readouterr().out.splitlines()[-3:] == [
        "",
        "Make ahead:",
        f"  {SAID}, into gravy 600 ml; stuffing 500 ml",
    ]
    print_list(found, brief=True)
    assert capsys.readouterr().out.splitlines()[-2:] == ["", f"Make ahead: {SAID}."]


def test_make_ahead__stands_below_the_list_on_the_phone() -> None:
    page = costing.estimate(shoot_of(*KITCHEN, time_zone="Europe/Lisbon")).phone_page()
    below = page[page.index('<h2 class="shop">Make ahead</h2>') :]
    assert f"{SAID}, into gravy 600 ml; stuffing 500 ml</p>" in below
    assert "<li>" not in below


def test_make_ahead__episodes_are_said_where_there_are_several() -> None:
    """On each of two days 0.6 l of 2 l: 0.3 batches, nobody says by what time."""
    found = costing.estimate(
        shoot_of(
            *STOCK,
            Dish(name="stock", makes="2 l"),
            Shot(dish="gravy", episode="A"),
            Shot(dish="gravy", episode="B"),
        )
    )
    assert found.make_lines(brief=True) == [
        'stock 600 ml (0.3 batches) for "A"',
        'stock 600 ml (0.3 batches) for "B"',
    ]


def test_make_ahead__nothing_is_said_where_nothing_is_made() -> None:
    found = costing.estimate(shoot_of(line("soup", "leek", "1 kg"), Shot(dish="soup")))
    assert found.make_lines() == []
    assert "Make ahead" not in found.phone_page()


def test_labels__of_a_dish_that_is_made() -> None:
    """Its name, for which shots, the date, its allergens; no time, for nothing is logged."""
    parts = [*KITCHEN, line("stock", "celery", "50 g"), sound("celery", allergens=("celery",))]
    (row,) = costing.estimate(shoot_of(*parts)).tables()["labels"].rows
    assert row["container"] == "stock, made"
    assert str(row["label"]).splitlines() == [
        "Holds: stock",
        "For: G and S, 2031-05-01",
        "Made on:",
        "Allergens (EU list): celery; unknown: read the pack of bones",
    ]
    assert row["discard_at"] is row["return_before"] is row["rule"] is None
    assert "no rule judges the food here" in str(row["caution"])


def test_labels__one_for_each_day_a_dish_is_made() -> None:
    rows = (
        costing.estimate(
            shoot_of(
                *STOCK,
                Dish(name="stock", makes="2 l"),
                Shot(dish="gravy", episode="A"),
                Shot(dish="gravy", episode="B"),
            )
        )
        .tables()["labels"]
        .rows
    )
    assert [row["container"] for row in rows] == ["stock, made for A", "stock, made for B"]
