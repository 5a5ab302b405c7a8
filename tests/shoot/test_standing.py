"""Copies that are eaten after they stood through other shots."""

from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest
from small import line, row, shoot_of, sound

from costing.estimating import estimate
from costing.holding.models import Container, Event
from costing.kitchen import Dish, HoldingClass
from costing.shoot import Episode, Shoot, Shot

DAY = Episode(name="One", shoot_date=date(2031, 5, 10))
FLAN: tuple[Any, ...] = (
    line("flan", "egg", "2 each", step=1),
    line("flan", "syrup", "20 g", step=2),
    sound("syrup", holding_class="none"),
    DAY,
)


def shots(eaten_at: time, **more: Any) -> list[Shot]:
    """A hero at 10:00 whose copy is tasted later."""
    return [
        Shot(dish="flan", name="H", purpose="hero", steps="1", starts=time(10)),
        Shot(
            **{"dish": "flan", "name": "B", "purpose": "bite", "from_shot": "H"} | more,
            starts=eaten_at,
            row=row("Shoot plan", 3, "B", From="F"),
        ),
    ]


def flans(*parts: Any) -> Shoot:
    """A shoot of flans in a room of 22 C, in the United States."""
    return shoot_of(*FLAN, *parts, currency="USD", room_temperature="22 C")


def told(shoot: Shoot) -> list[str]:
    """What is said of copies that stand too long."""
    return [str(one) for one in estimate(shoot).findings if one.code == "copy stands too long"]


def test_copy_stands_too_long__whole_text() -> None:
    """From 10:00 to 12:30 is past the 2 h of the general home rule of the United States."""
    assert told(flans(*shots(time(12, 30)))) == [
        '\'Shoot plan\'!F3 (row "B", column "From"): found a copy first shot in "H" at 10:00 and '
        'eaten in "B" at 12:30: past the 2 h of US-HOME-2H if it is out in between, expected food '
        "within its limit when it is eaten, with all that it has been through "
        "[copy stands too long]\n"
        "  Keep it in control between its shots and log it on the sheet Holding with its "
        'temperatures, or begin a new copy for "B".'
    ]


def test_copy_stands__with_no_step_made_on_it() -> None:
    """Steps given as none, which only code can do: there is no food to stand."""
    hero, bite = shots(time(12, 30), steps=())
    assert told(flans(hero.model_copy(update={"steps": ()}), bite)) == []


def test_copy_stands__for_less_than_its_limit() -> None:
    assert told(flans(*shots(time(11, 59)))) == []


@pytest.mark.parametrize(
    ("more", "part"),
    [
        pytest.param({"eaten": False}, None, id="not eaten"),
        pytest.param({"from_shot": ""}, None, id="a new copy"),
        pytest.param({"times": 0}, None, id="never taken"),
        pytest.param({}, Dish(name="flan", holding_class=HoldingClass.NONE), id="needs no control"),
        pytest.param(
            {},
            Container(
                name="plate",
                holds=["flan: steps 1-2"],
                events=[Event(kind="out", at="2031-05-10 12:00", temperature="3 C")],
            ),
            id="has a log",
        ),
    ],
)
def test_nothing_is_said(more: dict[str, Any], part: Any) -> None:
    """One change each to the copy that stands too long."""
    parts = [] if part is None else [part]
    assert (
        told(
            shoot_of(
                *FLAN, *parts, *shots(time(13), **more), currency="USD", room_temperature="22 C"
            )
        )
        == []
    )


def test_copy_stands__since_the_earliest_of_its_shots() -> None:
    """H at 10:00, from there to a close-up at 11:00, eaten at 12:15: since 10:00."""
    hero, _ = shots(time(13))
    close = Shot(
        dish="flan", name="C", purpose="close-up", steps="2", from_shot="H", starts=time(11)
    )
    bite = Shot(dish="flan", name="B", purpose="bite", from_shot="C", starts=time(12, 15))
    (text,) = told(flans(hero, close, bite))
    assert 'a copy first shot in "H" at 10:00 and eaten in "B" at 12:15' in text
