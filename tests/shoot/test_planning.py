"""Holding planned before the day: what comes out too early, and when it may come out."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from small import line, shoot_of, sound

from costing.estimating import estimate
from costing.findings import Place
from costing.holding.models import Container, Eaten, Event, read_temperature
from costing.kitchen import HoldingClass
from costing.report.estimates import Estimate
from costing.shoot import Episode, Purpose, Shot
from costing.shoot.containers import Contents

DAY = date(2031, 5, 10)
EPISODE = Episode(name="cocktail", shoot_date=DAY)
ROOM = read_temperature("22 C")
PRAWNS = sound("prawns", holding_class=HoldingClass.ALWAYS)
RECIPE = (line("cocktail", "prawns", "200 g", step=2), line("cocktail", "basil", "5 g", step=1))


def out(name: str, clock: str, *holds: str, kind: str = "out", **more: Any) -> Container:
    """A container with one event on the day."""
    at = datetime.combine(DAY, time.fromisoformat(clock))
    place = Place(sheet="Holding", row=2, column="D", heading="When", name=name)
    event = Event(kind=kind, at=at, temperature=read_temperature("4 C"), place=place)
    return Container(name=name, holds=holds, events=(event,), place=place, **more)


def shot(clock: str | None, purpose: Purpose = Purpose.BITE, **more: Any) -> Shot:
    starts = None if clock is None else time.fromisoformat(clock)
    return Shot(
        dish="cocktail", name="the shot", episode="cocktail", purpose=purpose, starts=starts, **more
    )


def estimated(*rows: Any, rules: tuple[str, ...] = ("US-HOME-2H",)) -> Estimate:
    settings = {"time_zone": "Europe/Lisbon", "holding_rules": rules, "room_temperature": ROOM}
    return estimate(shoot_of(*RECIPE, PRAWNS, EPISODE, *rows, **settings))


def told(*rows: Any, **more: Any) -> list[str]:
    codes = ("comes out too early", "stands too long")
    return [str(f) for f in estimated(*rows, **more).findings if f.code in codes]


def test_planned__out_too_early_for_the_bite() -> None:
    """14:10 - 2 h = 12:10."""
    assert told(out("prawns bowl", "09:30", "prawns"), shot("14:10")) == [
        'Holding!D2 (row "prawns bowl", column "When"): found "prawns bowl", out at 2031-05-10 '
        '09:30: past the 2 h of US-HOME-2H in "the shot" at 2031-05-10 14:10, where it is eaten, '
        "expected food within its limit when it is eaten [comes out too early]\n"
        "  Take it out after 2031-05-10 12:10, with no time out before, or have other food for the "
        "shot."
    ]


def test_planned__containers_that_hold_each_other_hold_what_both_hold() -> None:
    """A slip that reading cannot tell from a plate on a tray on a plate: it ends."""
    tray = out("tray", "09:30", "plate", "prawns")
    plate = out("plate", "09:30", "tray")
    assert len(told(tray, plate, shot("14:10"))) == 2


def test_planned__no_one_time_serves_two_bites_far_apart() -> None:
    """17:00 - 2 h = 15:00 is after 14:10; 12:10 serves the first alone."""
    second = shot("17:00").model_copy(update={"name": "second"})
    texts = told(out("prawns bowl", "09:30", "prawns"), shot("14:10"), second)
    assert texts[0].endswith(
        "No one time serves every shot in which it is eaten: have 2 containers, out after "
        "2031-05-10 12:10 and after 2031-05-10 15:00, with no time out before."
    )
    near = shot("15:00").model_copy(update={"name": "near"})
    texts = told(out("prawns bowl", "09:30", "prawns"), shot("14:10"), near)
    assert "Take it out after 2031-05-10 13:00, with no time out before" in texts[0]


@pytest.mark.parametrize(("clock", "count"), [("12:10", 1), ("12:11", 0)])
def test_planned__at_the_limit_means_past_it(clock: str, count: int) -> None:
    assert len(told(out("bowl", clock, "prawns"), shot("14:10"))) == count


def test_planned__a_bite_of_a_copy_eats_what_the_copy_has_taken() -> None:
    """The bread is in the cocktail since step 1, which the bite itself does not take."""
    first = shot("11:00", Purpose.HERO, steps=(1,))
    bite = shot("14:10", steps=(2,), from_shot="the shot").model_copy(update={"name": "bite"})
    (text,) = told(out("bowl", "09:30", "cocktail: step 1"), first, bite)
    assert 'in "bite" at 2031-05-10 14:10, where it is eaten' in text


@pytest.mark.parametrize(
    ("holds", "count"),
    [
        ("prawns", 1),
        ("cocktail", 1),
        ("Cocktail: step 2", 1),
        ("cocktail: step 1", 0),
        ("inner", 1),
        ("bread", 0),
    ],
)
def test_planned__only_for_what_the_shot_takes(holds: str, count: int) -> None:
    """The bite takes step 2, which has the prawns."""
    inner = out("inner", "13:00", "prawns")
    alone = shot("14:10", steps=(2,), from_shot="nothing")
    rows = (out("bowl", "09:30", holds), inner, alone)
    of_bowl = [text for text in told(*rows) if 'row "bowl"' in text]
    assert len(of_bowl) == count


@pytest.mark.parametrize(
    "row",
    [
        out("bowl", "09:30", "prawns", eaten=Eaten.NO),
        out("bowl", "09:30", "prawns", episode="another"),
        out("bowl", "15:00", "prawns"),
    ],
    ids=["not eaten", "another episode", "out after the shot"],
)
def test_planned__no_warning(row: Container) -> None:
    assert told(row, shot("14:10")) == []


def test_planned__shot_without_a_time_is_not_planned_for() -> None:
    assert estimated(out("bowl", "09:30", "prawns"), shot(None)).planned == ()


def test_planned__when_it_may_come_out() -> None:
    """14:10 - 2 h = 12:10; the shot starts at 14:10 summer time of Lisbon."""
    (one,) = estimated(out("bowl", "13:00", "prawns"), shot("14:10")).planned
    assert (one.container, one.shot, one.rule) == ("bowl", "the shot", "US-HOME-2H")
    assert f"{one.out_after:%Y-%m-%d %H:%M %Z}" == "2031-05-10 12:10 WEST"


def went_back(name: str, left: str, back: str, *holds: str) -> Container:
    """A container that was out and is measured cold again."""
    gone = out(name, left, *holds)
    return gone.model_copy(
        update={"events": (*gone.events, *out(name, back, *holds, kind="back").events)}
    )


def test_planned__food_that_was_out_has_what_is_left_of_its_limit() -> None:
    """2 h - 30 min = 1 h 30 min; 14:10 - 1 h 30 min = 12:40."""
    (one,) = estimated(went_back("bowl", "09:00", "09:30", "prawns"), shot("14:10")).planned
    assert (one.limit, one.used) == (timedelta(hours=2), timedelta(minutes=30))
    assert f"{one.out_after:%H:%M}" == "12:40"


def test_planned__food_whose_one_period_is_over_does_not_come_out_again() -> None:
    bowl = went_back("bowl", "09:00", "09:30", "prawns")
    assert estimated(bowl, shot("14:10"), rules=("UK-CHILL4",)).planned == ()


def test_planned__plate_that_only_stands_is_suggested_as_not_eaten() -> None:
    """14:10 - 2 h = 12:10."""
    assert told(out("plate", "09:30", "prawns"), shot("14:10", Purpose.HERO)) == [
        'Holding!D2 (row "plate", column "When"): found "plate", out at 2031-05-10 09:30: past the '
        '2 h of US-HOME-2H in "the shot" at 2031-05-10 14:10, where nobody eats of it, expected no '
        "in Eaten for food that only stands before the camera [stands too long]\n"
        "  Write no in Eaten on the sheet Holding if nobody eats of it; otherwise take it out "
        "after 2031-05-10 12:10."
    ]


def test_planned__food_that_is_also_eaten_is_never_suggested_as_not_eaten() -> None:
    rows = (out("plate", "09:30", "prawns"), shot("14:10", Purpose.HERO), shot(None, Purpose.BITE))
    assert told(*rows) == []


WHEN = {
    "tomato": HoldingClass.WHEN_CUT,
    "tuna": HoldingClass.WHEN_OPENED,
    "rice": HoldingClass.WHEN_COOKED,
    "flour": HoldingClass.NONE,
    "egg": HoldingClass.ALWAYS,
}


def contents_of(holds: list[str], *more: Any, bowl: Container | None = None) -> Contents:
    lines = [line("stock dish", name, "1 g") for name in WHEN]
    rows = [sound(name, holding_class=one) for name, one in WHEN.items()]
    held = bowl or unmeasured(out("bowl", "09:30", *holds))
    return Contents(shoot_of(*lines, *rows, held, *more))


def unmeasured(bowl: Container) -> Container:
    events = tuple(one.model_copy(update={"temperature": None}) for one in bowl.events)
    return bowl.model_copy(update={"events": events})


def started_by(holds: list[str], *more: Any, bowl: Container | None = None) -> list[str]:
    return [str(kind) for kind in contents_of(holds, *more, bowl=bowl).classed()[0].starts_by]


@pytest.mark.parametrize(
    ("holds", "kinds"),
    [
        (["tomato"], ["cut", "cooked", "reheated"]),
        (["tuna"], ["cut", "opened", "cooked", "reheated"]),
        (["rice", "flour"], ["cooked", "reheated"]),
        (["rice", "tomato"], ["cut", "cooked", "reheated"]),
        (["flour"], []),
        (["tomato", "egg"], []),
        (["tomato", "nobody knows"], []),
        (["stock dish"], []),
        (["stock dish: step 1"], []),
    ],
    ids=lambda value: "; ".join(value),
)
def test_starts_by__only_when_everything_waits(holds: list[str], kinds: list[str]) -> None:
    """What is in a dish is taken as cut, opened and cooked."""
    assert started_by(holds) == kinds


def test_starts_by__cut_named_in_the_recipes_counts_from_out() -> None:
    assert started_by(["tomato"], line("salad", "tomato", "1 g", cut="diced")) == []


def test_starts_by__whole_food_has_no_clock_and_cut_food_has() -> None:
    """Whole tomatoes out since 09:30 are not judged; diced ones are, 09:30 + 2 h = 11:30."""
    tomato = sound("tomato", holding_class=HoldingClass.WHEN_CUT)
    bowl = out("bowl", "09:30", "tomato")
    whole = estimated(tomato, bowl, line("salad", "tomato", "1 g"))
    diced = estimated(tomato, bowl, line("salad", "tomato", "1 g", cut="diced"))
    assert [str(v.status) for v in whole.verdicts] == ["not covered"]
    assert [f"{v.discard_at:%H:%M}" for v in diced.verdicts] == ["11:30"]


def test_starts_by__measured_rice_counts_as_cooked() -> None:
    """Nobody takes the temperature of dry rice; tomatoes are measured whole."""
    assert started_by([], bowl=out("bowl", "09:30", "rice")) == []
    assert started_by([], bowl=out("bowl", "09:30", "rice", kind="cooked")) != []
    assert started_by([], bowl=out("bowl", "09:30", "tomato")) != []


def test_starts_by__a_start_that_is_not_logged_is_told() -> None:
    contents = contents_of(["rice"])
    contents.classed()
    assert [str(finding) for finding in contents.findings] == [
        'Holding!D2 (row "bowl", column "When"): found "bowl" without cooked or reheated in its '
        "log, so no clock is running, expected cooked or reheated with its time, when that has "
        "happened to what it holds [start not logged]\n"
        "  Log it if it has, from the day before too. Until then the food counts as whole, sealed "
        "or uncooked, and no rule is applied."
    ]
    cooked = contents_of([], bowl=out("bowl", "09:30", "rice", kind="cooked"))
    cooked.classed()
    assert cooked.findings == []


def test_planned__time_out_before_counts_where_it_is_out_when_eaten() -> None:
    """Out 10:00 to 11:55, 115 min of two hours; out again at 13:30, when it is eaten.

    5 min are left: out after 13:25, and not after 11:30.
    """
    bowl = out("prawns bowl", "10:00", "prawns")
    later = [("back", "11:55"), ("out", "13:30")]
    events = [
        Event(kind=kind, at=datetime.combine(DAY, time.fromisoformat(at)), temperature="4 C")
        for kind, at in later
    ]
    bowl = bowl.model_copy(update={"events": (*bowl.events, *events)})
    (one,) = estimated(bowl, shot("13:30")).planned
    assert (f"{one.out_after:%H:%M}", one.used) == ("13:25", timedelta(minutes=115))
