"""By when: the first start, else the call time, in local time."""

from __future__ import annotations

from datetime import date, time
from zoneinfo import ZoneInfo

from costing.prep.bowls import ready_by
from costing.shoot import Episode, Shot

LISBON = ZoneInfo("Europe/Lisbon")
DAY = date(2031, 5, 10)
AT_TEN = Shot(dish="tart", name="P1", starts=time(10))
AT_NOON = Shot(dish="tart", name="P2", starts=time(12))
SOMETIME = Shot(dish="tart", name="P3")


def test_ready_by__first_start_even_before_the_call() -> None:
    """The starts say when food is needed; the call only stands in for them."""
    called = Episode(name="A", shoot_date=DAY, call_time=time(11))
    found = ready_by(called, [AT_NOON, AT_TEN], LISBON)
    assert found.at is not None
    assert found.at.isoformat() == "2031-05-10T10:00:00+01:00"
    assert found.no_start == ()


def test_ready_by__names_shots_that_might_be_earlier() -> None:
    found = ready_by(Episode(name="A", shoot_date=DAY), [AT_NOON, SOMETIME], LISBON)
    assert found.clock == time(12)
    assert found.no_start == (SOMETIME,)


def test_ready_by__a_shot_without_a_start_may_be_the_first_after_the_call() -> None:
    called = Episode(name="A", shoot_date=DAY, call_time=time(9, 30))
    found = ready_by(called, [AT_NOON, SOMETIME], LISBON)
    assert (found.clock, found.no_start) == (time(9, 30), ())


def test_ready_by__call_time_where_no_shot_has_a_start() -> None:
    called = Episode(name="A", shoot_date=DAY, call_time=time(9, 30))
    found = ready_by(called, [SOMETIME], LISBON)
    assert (found.clock, found.no_start) == (time(9, 30), ())


def test_ready_by__unknown_without_a_date_or_a_time() -> None:
    undated = ready_by(Episode(name="A"), [AT_TEN], LISBON)
    assert (undated.at, undated.clock) == (None, time(10))
    unknown = ready_by(Episode(name="A", shoot_date=DAY), [SOMETIME], LISBON)
    assert (unknown.at, unknown.clock) == (None, None)
    assert undated.order < unknown.order


def test_ready_by__of_an_hour_that_comes_twice_the_earlier() -> None:
    """Lisbon puts the clocks back on 2031-10-26 at 02:00 to 01:00; 01:30 comes at +01:00 first."""
    night = Episode(name="A", shoot_date=date(2031, 10, 26), call_time=time(1, 30))
    found = ready_by(night, [SOMETIME], LISBON)
    assert found.at is not None
    assert found.at.isoformat() == "2031-10-26T01:30:00+01:00"
