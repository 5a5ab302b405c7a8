"""Logs that can be meant in several ways, and logs that go beyond the instant asked about."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from bowls import bowl, clock_shows, judged, verdict
from hypothesis import given
from hypothesis import strategies as st
from logs_at_random import BADNESS, RULES, at, gaps, minutes, rule_sets, settings, temperatures

from costing.holding.logs import sorted_events
from costing.holding.models import Container, Event, EventKind, Temperature
from costing.holding.statuses import Status
from costing.holding.verdicts import judge

MINUTE = timedelta(minutes=1)
CHICAGO = "America/Chicago"
KINDS = [kind for kind in EventKind if kind is not EventKind.DISCARDED]


@pytest.mark.parametrize(
    ("events", "out_for"),
    [
        # as typed it may have gone out after 10:20; sorted, it was out until then
        (("back 10:20 4 C", "out 10:00 4 C"), 40),
        # the row of 09:30 was forgotten and added below
        (("out 10:00 4 C", "back 10:20 4 C", "out 09:30 4 C", "back 09:40 4 C"), 60),
    ],
)
def test_logs__out_of_order_are_judged_as_typed_and_as_sorted(
    events: tuple[str, ...], out_for: int
) -> None:
    """By 11:00 the longer: since the last reading, 10:20 or 10:00, or sorted 20 min or 30 min."""
    assert verdict(bowl(*events), "US-HOME-2H", at="11:00").out_for == out_for * MINUTE


def test_logs__a_return_typed_above_its_removal_does_not_shorten_it() -> None:
    """Sorted it is out from 10:00 to 11:30, and from 12:00 on: 2 h at 12:30."""
    log = bowl("back 11:30 4 C", "out 10:00 4 C", "out 12:00 4 C")
    told = verdict(log, "US-HOME-2H", at="12:30")
    assert told.status is Status.DISCARD


@st.composite
def any_order(draw: st.DrawFn) -> Container:
    """A log with rows put anywhere."""
    steps = draw(st.lists(st.tuples(st.sampled_from(KINDS), gaps, temperatures), max_size=6))
    events, offset = [], 0
    for kind, gap, food in steps:
        offset += gap
        warm = food if kind is not EventKind.ROOM else None
        events.append(Event(kind=kind, at=at(offset).replace(tzinfo=None), temperature=warm))
    return Container(name="bowl", events=tuple(draw(st.permutations(events))))


@given(any_order(), rule_sets, minutes)
def test_law__never_milder_than_the_same_rows_sorted(
    log: Container, rules: list[str], asked: int
) -> None:
    if not log.events or log.is_room:
        return
    chosen = settings(rules, "UTC")
    in_order = log.model_copy(
        update={"events": sorted_events(log.events, ZoneInfo("UTC"))},
    )
    typed, _ = judge([log], RULES, chosen, at(asked))
    as_sorted, _ = judge([in_order], RULES, chosen, at(asked))
    for rule in {v.rule for v in typed} & {v.rule for v in as_sorted}:
        one = next(v for v in typed if v.rule == rule)
        other = next(v for v in as_sorted if v.rule == rule)
        assert BADNESS[one.status] >= BADNESS[other.status]
    assert BADNESS[typed[0].status] >= BADNESS[as_sorted[0].status]


@pytest.mark.parametrize("asked", ["14:50", "2026-10-05 22:04"])
@pytest.mark.parametrize("out", ["22:05", "2027-10-05 10:05"])
@pytest.mark.parametrize("before", [(), ("reading 09:00 4 C",)])
def test_logs__in_the_future_is_not_within(asked: str, out: str, before: tuple[str, ...]) -> None:
    """22:05 for 10:05, or next year's date: nobody knows how long it has been out."""
    verdicts, found = judged([bowl(*before, f"out {out} 4 C")], "US-HOME-2H", at=asked)
    assert [v.status for v in verdicts] == [Status.NOT_COVERED]
    assert [finding.code for finding in found] == ["time after the one asked"]
    assert "later than the instant asked about" in verdicts[0].reason
    assert verdicts[0].reason.endswith(
        "If it is out already, treat it as past its limit and mend the time."
    )


def test_logs__planned_after_what_has_happened_changes_nothing_but_warns() -> None:
    log = bowl("out 10:00 4 C", "back 10:30 4 C", "out 13:00 4 C")
    verdicts, found = judged([log], "US-HOME-2H", at="12:00")
    assert [(v.status, v.out_for) for v in verdicts] == [(Status.WITHIN, 30 * MINUTE)]
    assert [finding.code for finding in found] == ["time after the one asked"]


def test_logs__slip_above_rows_that_have_happened_is_not_within() -> None:
    """Out at 10:05, typed 22:05; the reading of 11:00 stands below it."""
    log = bowl("out 22:05 4 C", "reading 11:00 4 C")
    told = verdict(log, "US-HOME-2H", at="12:00")
    assert told.status is Status.CANNOT_BE_USED
    assert "it is not certain when it left temperature control" in told.reason


@pytest.mark.parametrize("rule", ["US-HOME-2H", "US-COOL", "US-DATE7"])
def test_logs__in_the_future_is_not_within_by_any_clock(rule: str) -> None:
    log = bowl("cooked 22:05 90 C", "back 23:00 4 C")
    verdicts, _ = judged([log], rule, at="14:00")
    assert {v.status for v in verdicts} == {Status.NOT_COVERED}


def test_logs__reading_in_the_doubled_hour_makes_the_time_out_the_longer() -> None:
    """01:30 comes twice, at 06:30 and at 07:30 UTC; 9 °C is read at 02:30 CST, 08:30 UTC.

    Cold at 06:30 at the latest: out for 2 h, not 1 h.
    """
    log = bowl("reading 2027-11-07 01:30 4 C", "reading 2027-11-07 02:30 9 C")
    told = verdict(log, "AU-2H4H", zone=CHICAGO)
    assert told.out_for == timedelta(hours=2)
    assert told.status is Status.DO_NOT_RETURN


def test_logs__reading_in_the_doubled_hour_ends_a_time_out_late() -> None:
    """Warm since the reading of 00:30 CDT, 05:30 UTC; cold again at 07:30 UTC at the latest."""
    log = bowl(
        "reading 2027-11-07 00:30 4 C",
        "reading 2027-11-07 00:40 9 C",
        "reading 2027-11-07 01:30 4 C",
    )
    told = verdict(log, "AU-2H4H", zone=CHICAGO, at="2027-11-07 03:00")
    assert told.out_for >= timedelta(hours=2)


@pytest.mark.parametrize(
    ("warm", "out_for"), [(1, 80), (2, 80), (3, 20)], ids=["three", "four", "five"]
)
def test_logs__each_reading_in_the_doubled_hour_is_at_its_own_worse_instant(
    warm: int, out_for: int
) -> None:
    """Cold at 01:10, warm at 01:20, cold at 01:30, all on 7 November, when 01:30 comes twice.

    Cold at 06:10 and again at 07:30 UTC: out for 80 min. Of more than four readings in that hour
    all are early or all late: 20 min.
    """
    day = "2027-11-07"
    readings = [f"reading {day} 01:{20 + minute} 9 C" for minute in range(warm)]
    log = bowl(f"reading {day} 01:10 4 C", *readings, f"reading {day} 01:30 4 C")
    told = verdict(log, "AU-2H4H", zone=CHICAGO, at=f"{day} 03:00")
    assert told.out_for == out_for * MINUTE


def test_logs__of_many_readings_in_the_doubled_hour_all_are_late_where_that_is_worse() -> None:
    """Warm from the reading of 00:50 CDT, 05:50 UTC, to that of 01:30 CST, 07:30 UTC: 100 min."""
    day = "2027-11-07"
    warm = [f"reading {day} 01:{minute} 9 C" for minute in (10, 11, 12, 13)]
    log = bowl(f"reading {day} 00:50 4 C", *warm, f"reading {day} 01:30 4 C")
    told = verdict(log, "AU-2H4H", zone=CHICAGO, at=f"{day} 03:00")
    assert told.out_for == 100 * MINUTE


def test_logs__reading_of_the_room_in_another_row_covers_what_is_out_from_then_on() -> None:
    """33 °C at 11:30 in the row of the butter: 10:00 + 1 h for the cream; the jam went back."""
    cream = bowl("out 10:00 4 C", name="cream")
    jam = bowl("out 10:00 4 C", "back 10:50 4 C", name="jam")
    late = bowl("out 11:40 4 C", name="late")
    butter = bowl("room 11:30 33 C", name="butter")
    verdicts, _ = judged([cream, jam, late, butter], "US-HOME-2H", at="12:00")
    by_name = {v.container: v for v in verdicts}
    assert clock_shows(by_name["cream"].discard_at) == "2026-10-05 11:00 WEST"
    assert by_name["cream"].status is Status.DISCARD
    assert clock_shows(by_name["late"].discard_at) == "2026-10-05 12:40 WEST"
    assert by_name["jam"].status is Status.WITHIN
    assert by_name["jam"].limit == timedelta(hours=2)


@given(minutes, gaps, minutes, minutes)
def test_law__a_reading_of_the_room_counts_alike_in_whichever_row(
    start: int, out: int, read: int, asked: int
) -> None:
    four = Temperature(value=4, unit="C")
    hot = Event(kind=EventKind.ROOM, at=at(read), temperature=Temperature(value=33, unit="C"))
    bowl_ = Container(
        name="bowl",
        events=(
            Event(kind=EventKind.OUT, at=at(start), temperature=four),
            Event(
                kind=EventKind.BACK, at=at(start + out), temperature=Temperature(value=4, unit="C")
            ),
        ),
    )
    own = Container(
        name="bowl", events=tuple(sorted([*bowl_.events, hot], key=lambda event: event.at))
    )
    other = Container(name="shelf", events=(hot,))
    when = at(max(read, start + out) + asked)
    one, _ = judge([own], RULES, settings(["US-HOME-2H"]), when)
    two, _ = judge([bowl_, other], RULES, settings(["US-HOME-2H"]), when)
    assert (one[0].status, one[0].limit) == (two[0].status, two[0].limit)


def test_sorted_events__a_doubled_hour_is_its_first_beside_a_time_with_an_offset() -> None:
    """The clocks go back at 01:00 UTC: 02:30 is 00:30 UTC first, and 03:00 is 02:00 UTC."""
    typed = [
        Event(kind=EventKind.BACK, at="2026-10-25 03:00", temperature="4 C"),
        Event(kind=EventKind.READING, at="2026-10-25T01:00+00:00", temperature="6 C"),
        Event(kind=EventKind.OUT, at="2026-10-25 02:30", temperature="4 C"),
    ]
    found = sorted_events(typed, ZoneInfo("Europe/Berlin"))
    assert [event.kind for event in found] == [EventKind.OUT, EventKind.READING, EventKind.BACK]
