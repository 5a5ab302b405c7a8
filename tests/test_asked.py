"""What a person types on the command line: the day of a clock time."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from small import line, shoot_of

from costing import asked
from costing.holding.models import Container, Event
from costing.shoot import Episode, Shot
from costing.shoot.episodes import Logged


@pytest.mark.parametrize(
    ("now", "what", "day"),
    [
        ("2031-05-12 10:00", "", 12),  # the day that is being shot
        ("2031-05-13 00:30", "", 12),  # the night after it
        ("2031-05-14 09:00", "", 10),  # over: the first
        ("2031-05-11 09:00", "", 10),  # between the days
        ("2031-05-01 09:00", "", 10),  # before all of them: the first
        ("2031-07-01 09:00", "", 10),  # long after: the first
        ("2031-05-12 10:00", "A", 10),  # a shot has the day of its episode
        ("2031-05-10 10:00", "b", 12),
        ("2031-05-10 10:00", "bowl", 12),  # and so has a container that names its episode
        ("2031-05-10 10:00", "flour", 10),
    ],
)
def test_instant_asked__a_clock_time_is_on_the_day_it_is_about(
    now: str, what: str, day: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    shoot = shoot_of(
        line("bread", "flour", "100 g"),
        *(Episode(name=f"e{number}", shoot_date=f"2031-05-{number}") for number in (10, 12)),
        Shot(dish="bread", name="A", episode="e10"),
        Shot(dish="bread", name="B", episode="e12"),
        Container(name="Bowl", holds=["flour"], episode="e12"),
    )
    monkeypatch.setattr(asked, "now_there", lambda _: datetime.fromisoformat(now))
    assert asked.instant_asked("13:50", shoot, what) == datetime(2031, 5, day, 13, 50)


@pytest.mark.parametrize(
    ("now", "logged", "call", "text", "expected"),
    [
        ("05-11 00:30", None, None, "00:20", "05-11 00:20"),  # asked in the night itself
        ("05-11 00:30", None, None, "23:50", "05-10 23:50"),
        ("06-01 09:00", "05-10 23:50", None, "00:20", "05-11 00:20"),  # typed later from paper
        ("06-01 09:00", "05-11 00:10", None, "00:20", "05-11 00:20"),
        ("06-01 09:00", "05-10 23:50", None, "06:00", "05-10 06:00"),  # the morning before
        ("06-01 09:00", "05-10 23:50", "4:30", "05:00", "05-10 05:00"),  # called before it
        ("06-01 09:00", "05-10 23:50", "4:30", "04:30", "05-10 04:30"),  # when it is called
        ("06-01 09:00", "05-10 23:50", "9:30", "06:00", "05-10 06:00"),  # the night has ended
        ("06-01 09:00", "05-10 13:50", None, "05:00", "05-10 05:00"),  # no night shoot
        ("06-01 09:00", "05-10 19:59", None, "05:00", "05-10 05:00"),  # not yet the evening
        ("06-01 09:00", "05-10 20:00", None, "05:00", "05-11 05:00"),
        ("06-01 09:00", "05-11 06:00", None, "05:00", "05-10 05:00"),  # the next morning
    ],
)
def test_instant_asked__small_hours_are_of_the_night_that_follows(
    now: str,
    logged: str | None,
    call: str | None,
    text: str,
    expected: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A bowl out at 23:50 goes back at 00:20 of the next day, not a day before it came out."""
    events = [] if logged is None else [Event(kind="out", at=f"2031-{logged}")]
    shoot = shoot_of(
        line("bread", "flour", "100 g"),
        Episode(name="night", shoot_date="2031-05-10", call_time=call),
        Container(name="Bowl", holds=["flour"], events=events),
    )
    monkeypatch.setattr(asked, "now_there", lambda _: datetime.fromisoformat(f"2031-{now}"))
    assert asked.instant_asked(text, shoot) == datetime.fromisoformat(f"2031-{expected}")


def test_instant_asked__small_hours_of_a_day_that_starts_in_them_are_its_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The first shot is at 4:30: 5:00 is asked about it, though the day goes on at 23:50."""
    shoot = shoot_of(
        line("bread", "flour", "100 g"),
        Episode(name="dawn", shoot_date="2031-05-10"),
        Shot(dish="bread", episode="dawn", starts="4:30"),
    )
    monkeypatch.setattr(asked, "now_there", lambda _: datetime(2031, 5, 10, 23, 50))
    assert asked.instant_asked("5:00", shoot) == datetime(2031, 5, 10, 5)
    assert asked.instant_asked("4:00", shoot) == datetime(2031, 5, 11, 4)


def test_instant_asked__of_two_nights_in_a_row_the_small_hours_are_of_the_second(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Out at 00:10 was a bowl of the first night: that of 23:50 is back at 00:20 of the 12th."""
    events = [Event(kind="out", at=f"2031-05-11 {clock}") for clock in ("00:10", "23:50")]
    shoot = shoot_of(
        line("bread", "flour", "100 g"),
        *(Episode(name=f"night {day}", shoot_date=f"2031-05-{day}") for day in (10, 11)),
        Container(name="Bowl", holds=["flour"], events=events),
    )
    monkeypatch.setattr(asked, "now_there", lambda _: datetime(2031, 5, 12, 0, 30))
    assert asked.instant_asked("00:20", shoot) == datetime(2031, 5, 12, 0, 20)


def test_instant_asked__the_day_of_a_name_is_that_of_the_episode_that_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A shot says its episode, a bowl of the same name none; an episode without a date says no day.

    A line of the log without a time is of no night.
    """
    shoot = shoot_of(
        line("bread", "flour", "100 g"),
        Episode(name="e10", shoot_date="2031-05-10"),
        Episode(name="e12", shoot_date="2031-05-12"),
        Episode(name="some day"),
        Shot(dish="bread", name="dough", episode="e12"),
        Shot(dish="bread", name="crust", episode="some day"),
        Container(name="dough", holds=["flour"]),
        Logged(what="dough", event="taken"),
    )
    monkeypatch.setattr(asked, "now_there", lambda _: datetime(2031, 5, 10, 10))
    assert asked.instant_asked("13:50", shoot, "dough") == datetime(2031, 5, 12, 13, 50)
    assert asked.instant_asked("13:50", shoot, "crust") == datetime(2031, 5, 10, 13, 50)


def test_instant_asked__without_a_shoot_date_the_day_is_that_of_the_log(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bread = line("bread", "flour", "100 g")
    events = [Event(kind="out", at="2031-05-11 10:00")]
    shoot = shoot_of(bread, Container(name="Bowl", holds=["flour"], events=events))
    monkeypatch.setattr(asked, "now_there", lambda _: datetime(2031, 5, 11, 12))
    assert asked.instant_asked("13:50", shoot) == datetime(2031, 5, 11, 13, 50)
    with pytest.raises(asked.Stop) as told:
        asked.instant_asked("13:50", shoot_of(bread))
    assert str(told.value) == (
        "--at: a time alone needs the shoot date; fill Shoot date on the sheet Episodes, or write "
        "date and time, such as 2031-05-10 13:50."
    )


@pytest.mark.trade
@pytest.mark.parametrize(
    "text",
    [
        "2031-05-25 13:50",
        "2031-05-25T13:50",
        "2031-05-25 13.50",
        "25.05.2031 1:50 pm",
        "25 May 2031 13h50",
        "25/05/2031 1350",
        "May 25, 2031 1:50 pm",
    ],
)
def test_instant_asked__takes_the_forms_of_the_day_log(text: str) -> None:
    """The day log reads a date and a time in all of these; what is typed is read by the same."""
    shoot = shoot_of(line("bread", "flour", "100 g"))
    assert asked.instant_asked(text, shoot) == datetime(2031, 5, 25, 13, 50)


def test_instant_asked__a_shoot_is_of_this_century() -> None:
    """Its first year is one."""
    shoot = shoot_of(line("bread", "flour", "100 g"))
    assert asked.instant_asked("2000-05-25 13:50", shoot) == datetime(2000, 5, 25, 13, 50)


@pytest.mark.parametrize(("text", "day"), [("10/05/2031 13:50", 10), ("05/11/2031 0:20", 11)])
def test_instant_asked__of_two_readings_the_one_that_is_of_the_shoot(text: str, day: int) -> None:
    """The shoot is on 10 May; the night after it belongs to it, and October does not."""
    shoot = shoot_of(Episode(name="E", shoot_date=date(2031, 5, 10)))
    assert asked.instant_asked(text, shoot).date() == date(2031, 5, day)


@pytest.mark.parametrize(
    ("text", "which"),
    [
        ("10/05/2031 13:50", ", which may mean 2031-10-05 or 2031-05-10"),
        ("1031-05-10 13:50", ""),  # no year of a shoot
        ("2031-05-10", ""),
        ("24:00", ""),  # of this day or of the next
    ],
)
def test_instant_asked__what_may_mean_two_days_or_none_is_refused(text: str, which: str) -> None:
    with pytest.raises(asked.Stop) as told:
        asked.instant_asked(text, shoot_of(line("bread", "flour", "100 g")))
    assert str(told.value) == (
        f'--at: found "{text}"{which}, expected a time such as 13:50 on the shoot date, or a date '
        "and a time such as 2031-05-10 13:50. Write it in one of these forms."
    )


@pytest.mark.parametrize(
    ("there", "words", "book", "left"),
    [
        ("a.xlsx b.xlsx", "a.xlsx soup", "a.xlsx", "soup"),
        ("a.xlsx b.xlsx", "soup a.xlsx", "a.xlsx", "soup"),  # wherever it stands
        ("a.xlsx b.XLSX", "bowl b.XLSX back 4C", "b.XLSX", "bowl back 4C"),
        ("a.xlsx b.xlsx", "soup b", "b.xlsx", "soup"),  # without its ending
        ("a.xlsx b.xlsx", "a b", "a.xlsx", "b"),  # the first, as there is a dish of that name
        ("a.xlsx b.xlsx", "a b.xlsx", "b.xlsx", "a"),
        ("a.xlsx", "soup a", "a.xlsx", "soup a"),  # the only one need not be named
        ("a.xlsx", 300 * "a", "a.xlsx", 300 * "a"),  # longer than the name of a file can be
        ("a.xlsx b.xlsx", "soup c.xlsx", "c.xlsx", "soup"),  # is not there, as is then said
    ],
)
def test_workbook_and_words__a_workbook_is_known_by_its_ending_wherever_it_stands(
    there: str,
    words: str,
    book: str,
    left: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in there.split():
        Path(name).touch()
    path, said = asked.workbook_and_words(words.split())
    assert (path.name, " ".join(said)) == (book, left)


@pytest.mark.parametrize("words", ["soup", "", "soup a.xlsx b.xlsx"])
def test_workbook_and_words__no_workbook_or_two_of_them_are_asked_about(
    words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("a.xlsx", "b.xlsx"):
        Path(name).touch()
    with pytest.raises(asked.Stop, match="name the one you mean"):
        asked.workbook_and_words(words.split())
