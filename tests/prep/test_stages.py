"""Stages to prepare: which shots have one, to which step, how many, by when."""

from __future__ import annotations

from datetime import date, datetime, time
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import line, pack, row, shoot_of, sound

from costing.estimating import estimate
from costing.prep.stages import Copy, Stage, copies_of, stages_of
from costing.shoot import Episode, Purpose, Shot
from costing.shoot.copies import Forest
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


DISH: tuple[Any, ...] = (
    line("roast", "bird", "1 each", step=1),
    line("roast", "rub", "10 g", step=2),
    line("roast", "cress", "20 g", step=3),
    sound("rub"),
    sound("cress"),
)
ZONE = ZoneInfo("Europe/Lisbon")


def shot(name: str, purpose: str, steps: str | None = None, **more: Any) -> Shot:
    """A shot of the roast."""
    return Shot(**{"dish": "roast", "name": name, "purpose": purpose, "steps": steps, **more})


def begun(
    *shots: Shot, caps: dict[int, int] | None = None, parts: tuple[Any, ...] = ()
) -> list[Copy]:
    """The copies of these shots."""
    shoot = completed(shoot_of(*DISH, *parts, *shots))[0]
    return copies_of(shoot, caps=caps or {}, zone=ZONE)


def ways(copies: list[Copy]) -> list[str]:
    """The shots of each copy."""
    return [" ".join(one.label for one in copy.shots) for copy in copies]


def test_copies__each_take_begins_one_and_the_first_go_on() -> None:
    """Worked by hand: A twice; B takes over one of the two copies, the other stays."""
    copies = begun(shot("A", "cook-through", "1-2", times=2), shot("B", "hero", from_shot="A"))
    assert ways(copies) == ["A B", "A"]
    assert [(copy.number, copy.steps) for copy in copies] == [(1, (1, 2, 3)), (2, (1, 2))]


def test_copies__branch_after_a_shot_and_its_takes() -> None:
    """A is shot once, goes on to B twice and to C once: two copies have no take in A."""
    copies = begun(
        shot("A", "swap", "1"),
        shot("B", "hero", "2-3", times=2, from_shot="A"),
        shot("C", "bite", "2", from_shot="A"),
    )
    assert ways(copies) == ["A B", "A B", "A C"]
    assert [[s.label for s in copy.not_shot] for copy in copies] == [[], ["A"], ["A"]]
    assert [copy.spare for copy in copies] == [False, False, False]


def test_copies__for_more_takes_than_times_come_last_and_say_so() -> None:
    """Times 1, provided for 3 heroes from one cook-through: two copies only if they are taken."""
    copies = begun(
        shot("A", "cook-through", "1"),
        shot("B", "hero", fewest=1, most=4, from_shot="A"),
        caps={1: 3},
    )
    assert ways(copies) == ["A B", "A B", "A B"]
    assert [copy.spare for copy in copies] == [False, True, True]


def test_copies__those_of_times_go_on_first() -> None:
    """A twice; B once, provided for twice, and C once: the copies of Times are A B and A C."""
    copies = begun(
        shot("A", "cook-through", "1", times=2),
        shot("B", "hero", fewest=1, most=3, from_shot="A"),
        shot("C", "hero", from_shot="A"),
        caps={1: 2},
    )
    assert [(way, copy.spare) for way, copy in zip(ways(copies), copies, strict=True)] == [
        ("A B", False),
        ("A C", False),
        ("A B", True),
    ]


@pytest.mark.trade
def test_copies__five_purposes_begin_none_of_some_steps() -> None:
    """A retake of step 2 uses what step 2 adds; all steps again are the dish again."""
    for purpose in ("retake", "close-up", "reset", "vertical pass", "giveaway"):
        assert begun(shot("A", purpose, "2")) == []
        assert len(begun(shot("A", purpose, "1-3"))) == 1


def test_copies__numbers_and_starts() -> None:
    """By episode and dish; a start of a day without a date is not known."""
    day = Episode(name="Two", shoot_date=date(2031, 5, 10))
    pie = line("pie", "rub", "5 g")
    copies = begun(
        shot("A", "swap", "1", episode="Two", starts=time(9)),
        shot("B", "hero", episode="Two", from_shot="A", starts=time(14, 30)),
        shot("C", "bite", episode="Two"),
        Shot(dish="pie", name="D", episode="Two", starts=time(10)),
        shot("E", "bite", episode="One", starts=time(10)),
        parts=(Episode(name="One"), day, pie),
    )
    assert [
        (c.episode, c.dish, c.number, w) for c, w in zip(copies, ways(copies), strict=True)
    ] == [
        ("One", "roast", 1, "E"),
        ("Two", "roast", 1, "A B"),
        ("Two", "roast", 2, "C"),
        ("Two", "pie", 1, "D"),
    ]
    assert copies[1].first == datetime(2031, 5, 10, 9, tzinfo=ZONE)
    assert copies[1].last == datetime(2031, 5, 10, 14, 30, tzinfo=ZONE)
    assert copies[0].first is copies[2].first is None


@given(
    st.lists(
        st.tuples(st.integers(0, 3), st.integers(0, 2), st.integers(0, 4)), min_size=1, max_size=6
    )
)
def test_law__as_many_as_the_roots_are_provided_for(plan: list[tuple[int, int, int]]) -> None:
    """Law: copies begun are D over the roots, and each shot is gone through D times."""
    shots = tuple(
        Shot(dish="roast", steps="1", times=times, fewest=0, most=9, source=source)
        if source < number
        else Shot(dish="roast", steps="1", times=times, fewest=0, most=9)
        for number, (times, _, source) in enumerate(plan)
    )
    caps = {number: times + more for number, (times, more, _) in enumerate(plan)}
    shoot = shoot_of(*DISH, Episode(name="One")).changed(
        shots=tuple(one.model_copy(update={"episode": "One"}) for one in shots)
    )
    copies, forest = copies_of(shoot, caps=caps, zone=ZONE), Forest(shoot.shots)
    for number, one in enumerate(shoot.shots):
        through = sum(sum(s is one for s in copy.shots) for copy in copies)
        assert through == forest.times(number, caps)
        surely = sum(sum(s is one for s in copy.shots) for copy in copies if not copy.spare)
        assert surely >= forest.times(number, {})


def test_sheet__rows_of_the_plan() -> None:
    """What stands on Copies, with the copy that could continue; half the recipe is said."""
    parts = (pack("bird", "1 each", "9"), pack("rub", "10 g", "1"), pack("cress", "20 g", "2"))
    shots = (
        shot("A", "swap", "1", batch="1/2", starts=time(9)),
        shot("B", "hero", batch="1/2", starts=time(14), row=row("Shoot plan", 3, "B", From="F")),
        shot("C", "retake", "2"),
    )
    found = estimate(shoot_of(*DISH, *parts, *shots, Episode(name="One")))
    assert [tuple(one.values()) for one in found.tables()["copies"].rows] == [
        ("One", "roast", 1, "A", "1", None, None, "1/2 of the recipe"),
        ("One", "roast", 2, "B", "1-3", None, None, "1/2 of the recipe; A could be used instead"),
    ]
    assert "copy could continue" not in [one.code for one in found.findings]


def test_copies__of_one_that_goes_through_a_thousand_shots() -> None:
    """Each continues with the copy of the one before, and only the last is taken twice.

    So two are begun, and both go through all; all but the last show the first of them alone.
    """
    shots = [Shot(dish="pie", name=f"S{at}", from_shot=f"S{at - 1}") for at in range(1, 1100)]
    last = Shot(dish="pie", name="S1100", from_shot="S1099", times=2)
    plan = [Shot(dish="pie", name="S0"), *shots, last]
    shoot = completed(shoot_of(line("pie", "leek", "1 g"), *plan))
    first, second = copies_of(shoot[0], caps={}, zone=ZONE)
    assert [len(first.shots), len(second.shots)] == [1101, 1101]
    assert [len(first.not_shot), len(second.not_shot)] == [0, 1100]
