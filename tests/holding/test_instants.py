"""Logged local times as instants, with the clock changes among them."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from bowls import bowl, local, utc

from costing.holding.instants import possible_instants
from costing.holding.logs import moments
from costing.holding.models import Event, EventKind

CHICAGO = ZoneInfo("America/Chicago")


def instants(*events: str) -> list[str]:
    """The instants of a log of Chicago, in universal time."""
    log, _ = moments(bowl(*events).events, 0, CHICAGO)
    return [f"{moment.at:%m-%d %H:%M}" for moment in log]


def codes(*events: str) -> list[str]:
    _, found = moments(bowl(*events).events, 0, CHICAGO)
    return [finding.code for finding in found]


def test_possible_instants__one_but_for_clock_changes() -> None:
    """CDT is 5 h behind universal time."""
    assert possible_instants(local("10:00"), CHICAGO) == (utc("2026-10-05 15:00"),)


def test_possible_instants__with_an_offset_of_its_own() -> None:
    time = datetime(2026, 10, 5, 10, tzinfo=timezone(timedelta(hours=2)))
    assert possible_instants(time, CHICAGO) == (utc("2026-10-05 08:00"),)


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        *((kind, "11-07 06:30") for kind in ("out", "prep", "cut", "opened", "cooked", "thawed")),
        *((kind, "11-07 06:30") for kind in ("reading", "room", "reheated", "served")),
        *((kind, "11-07 07:30") for kind in ("back", "frozen", "discarded")),
    ],
)
def test_moments__hour_that_comes_twice(kind: str, expected: str) -> None:
    """01:30 CDT is 06:30 UTC, 01:30 CST 07:30: the earlier to start, the later to end."""
    assert instants(f"{kind} 2027-11-07 01:30") == [expected]
    assert codes(f"{kind} 2027-11-07 01:30") == ["time twice on the clock"]


@pytest.mark.parametrize(("kind", "expected"), [("out", "03-14 07:30"), ("back", "03-14 08:30")])
def test_moments__hour_that_never_comes(kind: str, expected: str) -> None:
    """02:30 by the old time is 08:30 UTC, by the new one 07:30."""
    assert instants(f"{kind} 2027-03-14 02:30") == [expected]
    assert codes(f"{kind} 2027-03-14 02:30") == ["time not on the clock"]


def test_moments__order_of_the_log_tells_which_hour() -> None:
    """Out at 01:40 after a reading at 01:50 can only be the second 01:40, 07:40 UTC."""
    log = ("reading 2027-11-07 01:50 4 C", "out 2027-11-07 01:40 4 C")
    assert instants(*log) == ["11-07 06:50", "11-07 07:40"]
    assert codes(*log) == ["time twice on the clock"] * 2


def test_moments__return_before_a_start_in_the_same_hour() -> None:
    """Back at 01:50 before out at 01:10: only 01:50 CDT, 06:50 UTC, leaves room for it."""
    log = ("back 2027-11-07 01:50 4 C", "out 2027-11-07 01:10 4 C")
    assert instants(*log) == ["11-07 06:50", "11-07 07:10"]


def test_moments__back_and_out_in_the_same_minute() -> None:
    """Both at the later 01:30, 07:30 UTC: the return as late as the log allows."""
    log = ("back 2027-11-07 01:30 4 C", "out 2027-11-07 01:30 4 C")
    assert instants(*log) == ["11-07 07:30", "11-07 07:30"]


def test_moments__out_of_order() -> None:
    log, found = moments(bowl("out 12:00", "back 11:00 4 C", "out 11:30").events, 0, CHICAGO)
    assert [moment.disordered for moment in log] == [False, True, False]
    assert [(f.code, f.place.row) for f in found] == [("time before the last", 3)]


def test_moments__no_events() -> None:
    assert moments((), 0, CHICAGO) == ((), [])


def test_moment__room_is_not_the_food() -> None:
    log, _ = moments(bowl("room 10:00 24 C", "reading 10:00 4 C").events, 0, CHICAGO)
    assert [moment.food is None for moment in log] == [True, False]


def test_moments__datetimes_with_a_zone_are_kept() -> None:
    """A second 01:30 told by its fold is 07:30 UTC, even for a start."""
    at = datetime(2027, 11, 7, 1, 30, fold=1, tzinfo=CHICAGO)
    log, found = moments([Event(kind=EventKind.OUT, at=at)], 0, CHICAGO)
    assert log[0].at == utc("2027-11-07 07:30")
    assert found == []
