"""What is tried of one ingredient alone, to choose a value for its blanks: worked by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import line, lot, pack, part, shoot_of, sound

from costing.buying.blanks import Trial, only, trial
from costing.kitchen import Dish, Pack
from costing.shoot import Shot
from costing.shoot.defaults import completed

PIE: tuple[Any, ...] = (
    *(line("filling", "apple", "1 kg"), line("filling", "sugar", "50 g")),
    *(line("pie", "filling", "500 g"), line("pie", "flour", "200 g")),
    *(line("pie", "cream", "50 g"), line("cream", "milk", "60 g")),
    *(line("tea", "peel", "5 g"), line("tea", "honey", "5 g"), part("apple", "peel", "20 g")),
    *(line("cake", "zest", "2 g"), part("lemon", "zest", "4 g")),
    *(
        line("salad", "leaf", "20 g"),
        line("salad", "dressing", "9 g"),
        line("dressing", "oil", "9 g"),
    ),
    *(pack("apple", "1 kg", "2"), pack("flour", "1 kg", "1"), lot("apple", "100 g")),
    *(lot("flour", "9 g"), Shot(dish="pie"), Shot(dish="tea", times=2, most=3)),
    *(Shot(dish="cake"), Shot(dish="salad")),
)
"""Apple in the filling of a pie, its peel in a tea; a cake and a salad without any."""

OF_APPLE = {("filling", "apple"), ("pie", "filling"), ("tea", "peel")}
WITH_THEM = {
    *(("filling", "sugar"), ("pie", "flour"), ("tea", "honey")),
    *(("pie", "cream"), ("cream", "milk")),
}


@pytest.mark.parametrize(
    ("dish", "lines"),
    [
        pytest.param([], OF_APPLE, id="nothing is weighed"),
        pytest.param(
            [Dish(name="filling", cooked_weight=Fraction(9, 10))],
            OF_APPLE | WITH_THEM,
            id="the weight of the filling decides how much of it is taken",
        ),
    ],
)
def test_only__the_lines_that_decide_how_much_of_one_ingredient_is_taken(
    dish: list[Dish], lines: set[tuple[str, str]]
) -> None:
    found = only(shoot_of(*PIE, *dish), "apple")
    assert {(one.dish, one.ingredient) for one in found.lines} == lines
    assert [(one.dish, one.times, one.most) for one in found.shots] == [
        ("pie", 1, None),
        ("tea", 3, None),
    ]
    assert [one.ingredient for one in found.packs] == ["apple"]
    assert [one.ingredient for one in found.lots] == ["apple"]


def test_only__a_weighed_dish_that_is_in_no_other_keeps_no_line_of_another_food() -> None:
    """What a pie weighs in the end is no matter where nothing takes a part of it."""
    pie = (line("pie", "apple", "1 kg"), line("pie", "flour", "200 g"), Shot(dish="pie"))
    found = only(shoot_of(*pie, Dish(name="pie", cooked_weight=Fraction(9, 10))), "apple")
    assert [one.ingredient for one in found.lines] == ["apple"]


@pytest.mark.parametrize(
    ("packs", "rank", "cost"),
    [
        ([pack("flour", "500 g", "2")], (2, 0, Fraction(6, 5)), "2.00"),
        ([pack("flour", "500 g", None)], (0, 1, Fraction(3, 5)), None),
        (
            [pack("flour", "1 kg", None), pack("flour", "500 g", "2")],
            (2, 0, Fraction(6, 5)),
            "2.00",
        ),
        ([pack("flour", "500 g", "0")], (0, 0, Fraction(3, 5)), "0.00"),
        ([pack("flour", "200 g", "1", at_most=1)], (1, 0, Fraction(3, 2)), None),
        ([], (0, 0, 300), None),
    ],
    ids=["a price", "no price", "one of two has a price", "for nothing", "too little", "no pack"],
)
def test_trial__what_is_bought_of_300_g(
    packs: list[Pack], rank: tuple[int, int, Fraction | int], cost: str | None
) -> None:
    """What it costs, packs without a price, 300 g at the least price, else in the largest pack.

    At 2 for 500 g 300 g are 1.20; at 1 for 200 g 1.50; where nothing has a price they are 3/5 of a
    pack of 500 g.
    """
    rows = (line("dough", "flour", "300 g"), sound("flour"), Shot(dish="dough"))
    found = trial(completed(shoot_of(*rows, *packs))[0], "flour")
    paid, unpriced, wanted = map(Fraction, rank)
    money = None if cost is None else Decimal(cost)
    assert found == Trial((paid, unpriced, wanted, Fraction(300)), money)


def test_trial__what_nothing_takes_is_not_bought() -> None:
    rows = (line("dough", "flour", "300 g"), Shot(dish="dough"))
    zero = Fraction(0)
    assert trial(completed(shoot_of(*rows))[0], "rice") == Trial((zero, zero, zero, zero), None)
