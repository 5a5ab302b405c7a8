"""What a shoot is taken to be where its plan is blank."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from pydantic import ValidationError
from small import all_findings, codes, line, shoot_of

from costing.findings import Place
from costing.shoot import Episode, LeftOut, Purpose, Shot
from costing.shoot.defaults import completed, days_since, shoot_day
from costing.shoot.purposes import EATEN

LINES = (line("soup", "leek", "1 g"), line("pie", "soup", "1 batch"), line("tea", "mint", "1 g"))


def test_completed__without_shots_one_cook_through_and_one_hero_of_each_whole_dish() -> None:
    """The soup is an ingredient of the pie, so it has no shots of its own."""
    whole, findings = completed(shoot_of(*LINES))
    assert [(shot.dish, shot.purpose) for shot in whole.shots] == [
        ("pie", Purpose.COOK_THROUGH),
        ("pie", Purpose.HERO),
        ("tea", Purpose.COOK_THROUGH),
        ("tea", Purpose.HERO),
    ]
    assert codes(findings) == ["shoot plan empty"]


def test_completed__shots_that_could_not_be_read_are_not_replaced() -> None:
    """What was planned is unknown, not one cook-through and one hero."""
    left = LeftOut(what='shot "A"', place=Place("Shoot plan", 2), sheet="Shoot plan", name="A")
    whole, findings = completed(shoot_of(*LINES).changed(left_out=[left]))
    assert (whole.shots, findings) == ((), [])


def test_completed__dishes_that_are_all_in_a_loop_are_planned_too() -> None:
    """Otherwise nobody would be told of the loop."""
    loop = [line("a", "b", "1 batch"), line("b", "a", "1 batch")]
    whole, _ = completed(shoot_of(*loop))
    assert [shot.dish for shot in whole.shots] == ["a", "a", "b", "b"]
    assert "recipe loop" in codes(all_findings(shoot_of(*loop)))


@pytest.mark.parametrize(
    ("title", "name"), [("Autumn", "Autumn"), ("", "Episode 1")], ids=["titled", "untitled"]
)
def test_completed__only_episode_is_named_after_the_title(title: str, name: str) -> None:
    whole, findings = completed(shoot_of(*LINES, Shot(dish="pie"), title=title))
    assert [episode.name for episode in whole.episodes] == [name]
    assert [shot.episode for shot in whole.shots] == [name]
    assert findings == []


def test_completed__episodes_of_the_plan_are_added_and_names_take_one_spelling() -> None:
    whole, _ = completed(
        shoot_of(
            *LINES,
            Episode(name="One", shoot_date=date(2031, 5, 10)),
            Shot(dish="pie", episode=" one "),
            Shot(dish="pie", episode="Two"),
            Shot(dish="pie", episode="two"),
        )
    )
    assert [episode.name for episode in whole.episodes] == ["One", "Two"]
    assert [shot.episode for shot in whole.shots] == ["One", "Two", "Two"]


def test_completed__shot_without_an_episode_goes_to_the_first_of_several() -> None:
    whole, findings = completed(
        shoot_of(*LINES, Episode(name="One"), Episode(name="Two"), Shot(dish="pie"))
    )
    assert [shot.episode for shot in whole.shots] == ["One"]
    assert codes(findings) == ["episode missing"]


def test_completed__second_row_of_an_episode_is_left_aside() -> None:
    first = Episode(name="One", shoot_date=date(2031, 5, 10))
    whole, _ = completed(shoot_of(*LINES, first, Episode(name="ONE"), Shot(dish="pie")))
    assert whole.episodes == (first,)


def test_completed__nothing_to_cook_stays_nothing() -> None:
    whole, findings = completed(shoot_of())
    assert (whole.shots, findings) == ((), [])


def test_completed__is_done_once() -> None:
    """Law: completing a completed shoot changes nothing."""
    whole, _ = completed(shoot_of(*LINES))
    assert completed(whole) == (whole, [])


DAYS = (date(2031, 5, 12), date(2031, 5, 10))


def test_shopping_date__as_set_else_the_day_before_the_first_shoot() -> None:
    episodes = [Episode(name=str(day), shoot_date=day) for day in DAYS]
    assert shoot_of(*episodes).shopping_date == date(2031, 5, 9)
    assert shoot_of(*episodes, shopping_date=date(2031, 5, 1)).shopping_date == date(2031, 5, 1)
    assert shoot_of(Episode(name="undated")).shopping_date is None


@pytest.mark.parametrize(
    ("shopping", "shoot_date", "days"),
    [
        (None, date(2031, 5, 10), 1),
        (date(2031, 5, 7), date(2031, 5, 10), 3),
        (date(2031, 5, 10), date(2031, 5, 10), 0),
        (date(2031, 5, 12), date(2031, 5, 10), 1),
        (date(2031, 5, 7), None, 1),
    ],
    ids=[
        "day before",
        "three days",
        "same day",
        "set too late",
        "no date",
    ],
)
def test_days_since__counted_from_shopping(
    shopping: date | None, shoot_date: date | None, days: int
) -> None:
    """Never below 0; one day when either day is not known."""
    episode = Episode(name="One", shoot_date=shoot_date)
    assert days_since(shoot_of(episode, shopping_date=shopping).shopping_date, episode) == days


def test_shot__eaten_by_its_own_word_else_by_purpose() -> None:
    assert [p for p in Purpose if Shot(dish="pie", purpose=p).is_eaten] == [
        Purpose.BITE,
        Purpose.CREW_MEAL,
        Purpose.GIVEAWAY,
    ]
    assert {Purpose.BITE, Purpose.CREW_MEAL, Purpose.GIVEAWAY} == EATEN
    assert not Shot(dish="pie", purpose=Purpose.BITE, eaten=False).is_eaten
    assert Shot(dish="pie", purpose=Purpose.HERO, eaten=True).is_eaten


def test_shot__is_named_from_dish_and_purpose() -> None:
    assert Shot(dish="pie", purpose=Purpose.HERO_SPARE).label == "pie, hero spare"
    assert Shot(dish="pie", name="P1").label == "P1"


@pytest.mark.parametrize(
    "points",
    [{"times": 2, "fewest": 3}, {"times": 3, "most": 2}, {"times": 1, "fewest": 2, "most": 4}],
    ids=["fewest above times", "most below times", "times below both"],
)
def test_shot__refuses_points_that_do_not_rise(points: dict[str, int]) -> None:
    with pytest.raises(ValidationError, match="fewest, times and most must rise in this order"):
        Shot.model_validate({"dish": "pie", **points})


def test_shot__is_uncertain_when_either_end_is_given() -> None:
    assert not Shot(dish="pie").uncertain
    assert Shot(dish="pie", fewest=1).uncertain
    assert Shot(dish="pie", most=1).uncertain


@pytest.mark.parametrize(
    ("at", "call", "starts", "day"),
    [
        ((11, 0, 30), None, None, 10),
        ((11, 5, 59), None, "7:00", 10),
        ((11, 6, 0), None, None, 11),
        ((11, 5, 59), "5:30", None, 11),
        ((11, 5, 59), None, "5:00", 11),
        ((11, 9, 0), "18:00", None, 10),
        ((12, 0, 30), None, None, 11),
        ((13, 0, 30), None, None, 13),
    ],
)
def test_shoot_day__small_hours_are_of_the_night_before(
    at: tuple[int, int, int], call: str | None, starts: str | None, day: int
) -> None:
    """Our choice: until the first call or start of the new day, or until six."""
    shoot = shoot_of(
        *LINES,
        Episode(name="A", shoot_date=date(2031, 5, 10)),
        Episode(name="B", shoot_date=date(2031, 5, 11), call_time=call),
        Shot(dish="tea", episode="A", starts="20:00"),
        Shot(dish="tea", episode="B", starts=starts),
    )
    assert shoot_day(datetime(2031, 5, *at), shoot) == date(2031, 5, day)
