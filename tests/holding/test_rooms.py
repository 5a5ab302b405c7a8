"""How long a reading of the room holds for the food that is out.

The advice (US-HOME-2H) shortens the limit where the food is exposed above 90 °F. The contract lets
a reading hold for what is out "from then on" and names no end.
"""

from __future__ import annotations

import pytest
from bowls import bowl, clock_shows, judged, utc, verdict
from hypothesis import given
from hypothesis import strategies as st
from logs_at_random import RULES, at, badness, settings

from costing.holding.models import Container, Event, EventKind, Temperature
from costing.holding.statuses import Status
from costing.holding.verdicts import judge

ADVICE = "US-HOME-2H"


@pytest.mark.trade
@pytest.mark.parametrize(
    ("read", "out", "until"),
    [
        ("2026-10-05 14:00", "2026-10-05 23:50", "2026-10-06 00:50"),  # its day
        ("2026-10-05 14:00", "2026-10-06 01:59", "2026-10-06 02:59"),  # its night
        ("2026-10-05 14:00", "2026-10-06 02:00", "2026-10-06 04:00"),
        ("2026-10-05 09:00", "2026-10-05 23:59", "2026-10-06 00:59"),
        ("2026-10-05 09:00", "2026-10-06 00:00", "2026-10-06 02:00"),
        ("2026-10-05 23:30", "2026-10-06 00:10", "2026-10-06 01:10"),
    ],
)
def test_room__hot_holds_to_the_end_of_its_day_and_over_the_night(
    read: str, out: str, until: str
) -> None:
    """Twelve hours at least, else to midnight; on the next day the setting of 24 °C is known."""
    told = verdict(bowl(f"room {read} 33 C", f"out {out} 4 C"), ADVICE, zone="UTC")
    assert clock_shows(told.discard_at) == f"{until} UTC"


@pytest.mark.trade
def test_room__not_hot_on_the_first_day_tells_nothing_of_the_second() -> None:
    """Without a setting the room of the second day is unknown, and the hot limit is used."""
    log = bowl("room 2026-10-05 10:00 24 C", "out 2026-10-06 10:00 4 C")
    told = verdict(log, ADVICE, room=None, zone="UTC")
    assert clock_shows(told.discard_at) == "2026-10-06 11:00 UTC"
    assert "The room temperature is not known" in told.reason


def test_room__a_later_reading_that_is_not_hot_takes_no_hot_one_back() -> None:
    """It may be of another room: no reading says of which it is."""
    log = bowl("room 10:00 33 C", "room 12:00 24 C", "out 13:00 4 C")
    assert verdict(log, ADVICE).discard_at == utc("2026-10-05 13:00")  # 14:00 of Lisbon


@pytest.mark.source("usda-two-hour-2016", "one-hour rule")
def test_room__food_that_was_out_in_it_keeps_the_shorter_limit() -> None:
    """Half an hour in the hot room and half an hour the day after: one hour for all of it."""
    log = bowl(
        "room 2026-10-05 09:00 33 C",
        "out 2026-10-05 10:00 4 C",
        "back 2026-10-05 10:30 4 C",
        "out 2026-10-06 10:00 4 C",
    )
    told = verdict(log, ADVICE, at="2026-10-06 10:30", zone="UTC")
    assert told.status is Status.DISCARD


def test_room__two_days_of_one_container_each() -> None:
    """The day after a hot one, food of its own has its two hours (24 °C is set)."""
    first = bowl("room 10:00 33 C", "out 10:00 4 C", "back 10:30 4 C", name="first")
    second = bowl("out 2026-10-06 10:00 4 C", name="second")
    told, _ = judged([first, second], ADVICE, at="2026-10-06 11:30")
    assert {v.container: v.status for v in told}["second"] is Status.WITHIN


@given(
    st.integers(min_value=0, max_value=3000),
    st.sampled_from([24, 32, 33]),
    st.lists(st.integers(min_value=1, max_value=900), min_size=2, max_size=6),
    st.integers(min_value=0, max_value=200),
)
def test_law__a_hot_reading_of_the_room_never_makes_it_milder(
    read: int, degrees: int, gaps: list[int], later: int
) -> None:
    four = Temperature(value=4, unit="C")
    offset, events = 0, []
    for number, gap in enumerate(gaps):
        offset += gap
        kind = EventKind.BACK if number % 2 else EventKind.OUT
        events.append(Event(kind=kind, at=at(offset), temperature=four))
    alone = Container(name="bowl", events=tuple(events))
    room = Event(kind=EventKind.ROOM, at=at(read), temperature=Temperature(value=degrees, unit="C"))
    beside = Container(name="shelf", events=(room,))
    asked = at(max(offset, read) + later)
    without, _ = judge([alone], RULES, settings([ADVICE]), asked)
    told, _ = judge([alone, beside], RULES, settings([ADVICE]), asked)
    assert badness(told[0]) >= badness(without[0])
    assert told[0].limit <= without[0].limit
