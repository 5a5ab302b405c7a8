"""What weighings of the day say of trim yields and of the weight of pieces, by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from small import books_of_shoot, line, pack, paid, shoot_of, sound

import costing
from costing.closing.closed import closed
from costing.closing.weighed import WeighedValue, weighed_of
from costing.kitchen import CountedLot
from costing.shoot import Shoot, Shot
from costing.shoot.episodes import Logged

LEEK = (
    sound("leek", trim_yield="0.5"),
    line("tart", "leek", "200 g"),
    pack("leek", "1 kg", "2.00", loose="50 g"),
    Shot(dish="tart", episode="One", times=2, taken=2),
    paid("leek", "1.60", amount="800 g"),
)
WEIGHED = (
    CountedLot(ingredient="leek", amount="450 g", note="trimmed from 800 g"),
    Logged(what="leek", event="counted", amount="270 g", note="Trimmed from 0.5 kg; outer leaves"),
)


def weighed(*parts: Any) -> WeighedValue:
    """The only thing weighed."""
    (one,) = weighed_of(closed(books_of_shoot(shoot_of(*parts))))
    return one


def test_weighed__trim_yield_over_all_weighings_together() -> None:
    """(450 + 270) g of (800 + 500) g = 0.5538, of two weighings; shown as 55.4."""
    one = weighed(*LEEK, *WEIGHED)
    assert (one.value, one.weighings) == (Fraction(720, 1300), 2)
    assert one.shown == Fraction("55.4")


def test_weighed__is_no_count_of_what_is_there() -> None:
    """Neither closing nor the takes that are left count what was weighed for its yield."""
    found = closed(books_of_shoot(shoot_of(*LEEK, *WEIGHED)))
    assert not found.ingredients[0].counted
    assert costing.estimate(found.shoot).outlook.day.so_far.counts == []


@pytest.mark.parametrize(("pieces", "weight"), [(3, "660 g"), (1, "220 g")])
def test_weighed__pieces_of_a_receipt_as_trimmed(pieces: int, weight: str) -> None:
    """Three leeks weigh 660 g as bought: 220 g each, at a trim yield of 50 % 110 g trimmed."""
    one = weighed(
        LEEK[0],
        line("tart", "leek", "2 each"),
        pack("leek", "1 each", "0.60", shop="Corner"),
        LEEK[3],
        paid("leek", "1.80", packs=pieces, amount=weight),
    )
    assert (one.heading, one.value, one.weighings) == ("Grams per piece", Fraction(110), 1)


def said(shoot: Shoot) -> list[str]:
    """The whole text of what weighings say."""
    found = costing.estimate(shoot).findings
    return [str(one) for one in found if one.code == "weighed otherwise"]


def test_weighed__is_said_where_it_differs_from_what_was_reckoned_with() -> None:
    assert said(shoot_of(*LEEK, *WEIGHED)) == [
        'Ingredients (row "leek", column "Trim yield %"): found trim yield 55.4 by 2 weighings, '
        "while 50 was reckoned with, expected what holds for what you buy [weighed otherwise]\n"
        "  Write 55.4 into Trim yield % for the next shoot if it is usual; one day's goods may "
        "not be."
    ]
    half = CountedLot(ingredient="leek", amount="400 g", note="trimmed from 800 g")
    assert said(shoot_of(*LEEK, half)) == []


def test_weighed__the_yield_of_a_tenth_of_a_percent_is_the_same() -> None:
    """62.55 % typed, 62.6 weighed: to the tenth that is written both are 62.6."""
    leek = sound("leek", trim_yield="0.6255")
    count = CountedLot(ingredient="leek", amount="626 g", note="trimmed from 1 kg")
    assert said(shoot_of(leek, *LEEK[1:], count)) == []


def test_weighed__pieces_of_which_nobody_knows_a_trim_yield_are_as_they_are() -> None:
    """Two lemons weigh 240 g together; one bought for nothing and weighed at nothing is none."""
    one = weighed(
        *(line("tart", "figment", "2 each"), pack("figment", "1 each", "0.60", shop="Corner")),
        Shot(dish="tart", taken=1),
        paid("figment", "1.20", packs=2, amount="240 g"),
    )
    assert (one.heading, one.value) == ("Grams per piece", Fraction(120))
