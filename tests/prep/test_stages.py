"""Stages to prepare: which shots have one, to which step, how many, by when."""

from __future__ import annotations

from datetime import date, time
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from small import line, pack, shoot_of

from costing.estimating import estimate
from costing.prep.stages import Stage, stages_of
from costing.shoot import Episode, Purpose, Shot
from costing.shoot.defaults import completed
from costing.workbook.results.write import demo_with_results

ZONE = ZoneInfo("Europe/Lisbon")
DAY = date(2031, 5, 10)
TART = tuple(line("tart", "flour", "60 ml", step=step) for step in (1, 2, 3))


def stages(*parts: object) -> list[Stage]:
    """The stages of a small shoot of the tart."""
    whole, _ = completed(shoot_of(*TART, *parts))
    return stages_of(whole, covered={}, zone=ZONE)


def test_stages__of_the_leek_tart() -> None:
    """P2 shows step 1 at 11:30, P3 all six steps at 13:00; nothing else stands ready."""
    rows = demo_with_results()[1].tables()["swaps"].rows
    assert [
        (row["purpose"], row["to_step"], row["batch"], row["times"], f"{row['ready_by']:%H:%M %z}")
        for row in rows
    ] == [("swap", 1, 1, 1, "11:30 +0100"), ("hero", 6, 1, 1, "13:00 +0100")]


@pytest.mark.trade
@pytest.mark.parametrize("purpose", list(Purpose), ids=str)
def test_stages__swaps_heroes_and_stand_ins_stand_ready(purpose: Purpose) -> None:
    """They are carried onto the set as they are; everything else is cooked, put back or eaten."""
    ready = {"swap", "hero", "hero spare", "stand-in"}
    assert bool(stages(Shot(dish="tart", purpose=purpose))) is (purpose in ready)


@pytest.mark.parametrize(
    ("steps", "to_step"),
    [((1,), [1]), ((1, 2), [2]), ((2, 1), [2]), (None, [3]), ((2, 9), [2]), ((9,), []), ((), [])],
    ids=["the first", "two", "in any order", "all", "one unknown", "none known", "none"],
)
def test_stages__are_at_the_last_of_the_steps(
    steps: tuple[int, ...] | None, to_step: list[int]
) -> None:
    """A step that the recipe has not is told of elsewhere and leads nowhere here."""
    shot = Shot(dish="tart", purpose=Purpose.SWAP, steps=steps)
    assert [stage.to_step for stage in stages(shot)] == to_step


def test_stages__none_for_no_time_no_batch_or_no_dish() -> None:
    hero = Shot(dish="tart", purpose=Purpose.HERO)
    assert (
        stages(
            hero.model_copy(update={"times": 0}),
            hero.model_copy(update={"batch": Fraction(0)}),
            hero.model_copy(update={"dish": "pie"}),
        )
        == []
    )


def test_stages__in_the_order_of_the_day() -> None:
    """By episode, then by when; without a start at the call time, without that last."""
    hero = Shot(dish="tart", purpose=Purpose.HERO, episode="A")
    found = stages(
        Episode(name="A", shoot_date=DAY, call_time=time(9)),
        Episode(name="B"),
        hero.model_copy(update={"episode": "B", "name": "last"}),
        hero.model_copy(update={"starts": time(12), "name": "noon"}),
        hero.model_copy(update={"name": "called"}),
    )
    assert [(s.shot.name, s.ready.at and f"{s.ready.at:%H:%M}") for s in found] == [
        ("called", "09:00"),
        ("noon", "12:00"),
        ("last", None),
    ]


def test_stages__uncertain_ones_are_those_that_are_provided_for() -> None:
    """Never out: with no chance of running out accepted, the most, five, are prepared."""
    shoot = shoot_of(
        *TART,
        pack("flour", "1 l", "1"),
        Shot(dish="tart", purpose=Purpose.SWAP, steps=(1,), times=2, most=5),
        chance_of_running_out=Fraction(0),
    )
    found = estimate(shoot)
    assert found.swaps["times"].tolist() == [5]
    assert found.prep["bowls"].tolist() == [5]
    assert found.prep["note"][0].startswith("tart, swap is covered 5 times, of 2 to 5")
