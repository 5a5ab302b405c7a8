"""The three kinds of clock, event by event.

Unless it says otherwise: Lisbon in summer, a room at 24 °C, the log of one day.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import bowl, clock_shows, verdict

from costing.holding.statuses import Status

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
HEATINGS = ["cooked 11:00 80 C", "reheated 11:00 80 C", "cooked 11:00 55 C"]


def at(clock: str) -> str:
    return f"2026-10-05 {clock} WEST"


@pytest.mark.parametrize("rule", ["US-HOME-2H", "AU-2H4H", "UK-CHILL4", "UK-HOT2", "US-TPHC-4"])
@pytest.mark.parametrize("asked", ["09:00", "12:00", "23:00"])
def test_clock__food_that_never_left_control(rule: str, asked: str) -> None:
    kept = bowl("reading 09:00 4 C", "reading 11:00 3 C")
    told = verdict(kept, rule, at=asked)
    assert told.status is Status.WITHIN
    assert told.out_for == timedelta(0)
    assert told.discard_at is None
    assert told.return_before is None


def test_clock__separate_times_add_up() -> None:
    """50 min and 40 min are 1 h 30 min; out again at 15:00, the 2 h are full at 15:30."""
    dip = bowl(
        "out 10:00 4 C", "back 10:50 4 C", "out 12:00 4 C", "back 12:40 3 C", "out 15:00 4 C"
    )
    told = verdict(dip, "US-HOME-2H", at="15:10")
    assert told.status is Status.WITHIN
    assert told.out_for == 100 * MINUTE
    assert clock_shows(told.discard_at) == at("15:30")
    assert clock_shows(told.return_before) == at("15:30")


def test_clock__back_in_control_nothing_runs() -> None:
    told = verdict(bowl("out 10:00 4 C", "back 11:00 4 C"), "AU-2H4H", at="20:00")
    assert told.status is Status.WITHIN
    assert told.out_for == HOUR
    assert told.discard_at is None
    assert told.return_before is None


@pytest.mark.parametrize(
    "back", ["back 10:30", "back 10:30 5.1 C", "back 10:30 59 C", "frozen 10:30"]
)
def test_clock__return_not_measured_inside_control_stops_nothing(back: str) -> None:
    """10:00 + 4 h = 14:00 for the Australian rule, whose control is 5 °C and 60 °C."""
    told = verdict(bowl("out 10:00 4 C", back), "AU-2H4H", at="11:00")
    assert told.out_for == HOUR
    assert clock_shows(told.discard_at) == at("14:00")


@pytest.mark.parametrize(
    "back", ["back 10:30 5 C", "back 10:30 60 C", "back 10:30 41 F", "frozen 10:30 -18 C"]
)
def test_clock__return_measured_inside_control_stops_it(back: str) -> None:
    told = verdict(bowl("out 10:00 4 C", back), "AU-2H4H", at="11:00")
    assert told.out_for == 30 * MINUTE
    assert told.discard_at is None


@pytest.mark.parametrize(
    "start", ["out", "prep", "cut", "opened", "cooked", "reheated", "thawed", "served"]
)
def test_clock__starts(start: str) -> None:
    told = verdict(bowl(f"{start} 10:00"), "US-HOME-2H", at="11:00")
    assert told.out_for == HOUR


@pytest.mark.parametrize("event", ["served", "reheated", "cooked", "cut", "opened", "prep", "out"])
def test_clock__never_stops_or_starts_anew_by(event: str) -> None:
    """10:00 + 2 h = 12:00."""
    told = verdict(bowl("out 10:00 4 C", f"{event} 11:30 75 C"), "US-HOME-2H", at="12:00")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("12:00")


@pytest.mark.source("usda-two-hour-2016", "danger zone")
def test_clock__reading_in_control_while_out_is_time_in_control() -> None:
    """The 2 h are of time above 40 °F: 4 °C at 10:00 and at 11:00, so 11:00 + 2 h = 13:00."""
    told = verdict(bowl("out 10:00 4 C", "reading 11:00 4 C"), "US-HOME-2H", at="12:00")
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == at("13:00")


def test_clock__back_exactly_at_the_limit_is_past_it() -> None:
    told = verdict(bowl("out 10:00 4 C", "back 12:00 4 C"), "US-HOME-2H")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("12:00")


def test_clock__nothing_revives_food_past_its_limit() -> None:
    """Past it at 12:00; cold, heated or frozen later, it stays so."""
    late = bowl("out 10:00 4 C", "back 12:30 3 C", "reheated 13:00 80 C", "frozen 15:00 -18 C")
    told = verdict(late, "US-HOME-2H", at="2026-10-08 09:00")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("12:00")


def test_clock__refrigerator_found_warm_counts_from_the_last_reading_in_control() -> None:
    """Cold at 09:00, 9 °C at 10:00: out since 09:00, so 4 h are full at 13:00."""
    told = verdict(bowl("reading 09:00 4 C", "reading 10:00 9 C"), "AU-2H4H", at="10:30")
    assert told.out_for == 90 * MINUTE
    assert clock_shows(told.discard_at) == at("13:00")


def test_clock__refrigerator_cold_again_ends_it() -> None:
    log = bowl("reading 09:00 4 C", "reading 10:00 9 C", "reading 10:30 4 C")
    told = verdict(log, "AU-2H4H", at="18:00")
    assert told.out_for == 90 * MINUTE
    assert told.discard_at is None


@pytest.mark.parametrize(
    ("then", "out_for"),
    [("reading 11:00 8 C", HOUR), ("back 11:00 8 C", HOUR), ("out 11:00 8 C", 3 * HOUR)],
)
def test_clock__from_hot_to_cold_it_passes_through_the_zone(then: str, out_for: timedelta) -> None:
    """England names no rule of cooling by which it would be no time out."""
    told = verdict(bowl("reading 10:00 65 C", then), "UK-HOT2", at="13:00")
    assert told.out_for == out_for


@pytest.mark.source("act-food-manual", "cooling")
@pytest.mark.parametrize(
    ("then", "out_for"),
    [("reading 11:00 5 C", 0 * HOUR), ("back 11:00 5 C", 0 * HOUR), ("out 11:00 5 C", 2 * HOUR)],
)
def test_clock__cooled_as_the_companion_rule_asks_is_no_time_out(
    then: str, out_for: timedelta
) -> None:
    """60 °C to 21 °C within 2 h, and to 5 °C within 4 h more: Standard 3.2.2 clause 7(3)."""
    told = verdict(bowl("reading 10:00 65 C", then), "AU-2H4H", at="13:00")
    assert told.out_for == out_for


def test_clock__from_hot_to_cold_in_more_than_two_hours_it_is_not_stopped() -> None:
    """21 °C or less only after 2 h 1 min is not cooled as clause 7(3) asks."""
    log = bowl("reading 10:00 65 C", "reading 12:01 5 C")
    assert verdict(log, "AU-2H4H", at="13:00").status is Status.DO_NOT_RETURN


@pytest.mark.parametrize(
    "heated", ["cooked 11:00 80 C", "reheated 11:00 80 C", "cooked 11:00 55 C"]
)
def test_clock__heating_explains_itself_and_counts_from_then(heated: str) -> None:
    """Not from the last reading in the refrigerator."""
    told = verdict(bowl("reading 09:00 4 C", heated), "AU-2H4H", at="12:00")
    assert told.out_for == HOUR


def test_clock__warmed_without_heating_counts_from_the_last_reading() -> None:
    told = verdict(bowl("reading 09:00 4 C", "back 10:00 65 C"), "AU-2H4H", at="12:00")
    assert told.out_for == HOUR
    assert "passed through the zone between hot and cold control" in told.reason


def test_clock__taken_out_warm_counts_from_the_last_reading_in_control() -> None:
    """Back and measured at 11:00 after 1 h; out at 13:00 at 9 °C: 11:00 to 13:00 counts."""
    log = bowl("out 10:00 4 C", "back 11:00 4 C", "out 13:00 9 C")
    told = verdict(log, "AU-2H4H", at="13:00")
    assert told.out_for == 3 * HOUR
    assert told.status is Status.DO_NOT_RETURN
    assert "Measured at 9 °C at 2026-10-05 13:00 WEST" in told.reason


def test_clock__warm_from_the_first_reading_counts_from_it() -> None:
    assert verdict(bowl("reading 10:00 20 C"), "AU-2H4H", at="11:00").out_for == HOUR


def test_clock__australian_return_after_two_hours_does_not_pause() -> None:
    log = bowl("out 10:00 4 C", "back 12:00 4 C")
    told = verdict(log, "AU-2H4H", at="13:00")
    assert told.status is Status.DO_NOT_RETURN
    assert clock_shows(told.discard_at) == at("14:00")
    just_in_time = verdict(bowl("out 10:00 4 C", "back 11:59 4 C"), "AU-2H4H", at="23:00")
    assert just_in_time.status is Status.WITHIN


def test_clock__australian_return_counts_the_times_before() -> None:
    """1 h 30 min before noon and 1 h after it: at 13:00 it may no longer go back."""
    log = bowl("out 10:00 4 C", "back 11:30 4 C", "out 12:00 4 C", "back 13:00 4 C")
    told = verdict(log, "AU-2H4H", at="14:00")
    assert told.status is Status.DO_NOT_RETURN
    assert told.out_for == 210 * MINUTE
    assert "at 2026-10-05 13:00 WEST after 2 h 30 min" in told.reason


def test_clock__warm_when_put_back_counts_from_the_last_reading() -> None:
    log = bowl("reading 11:00 4 C", "back 12:00 9 C")
    assert verdict(log, "AU-2H4H", at="12:30").out_for == 90 * MINUTE


def test_clock__running_from_the_first_removal_counts_preparation() -> None:
    """Out to be prepared at 08:00; the clock never pauses: 08:00 + 4 h = 12:00."""
    log = bowl("prep 08:00 4 C", "back 08:20 4 C", "out 10:00 4 C", marked="12:00")
    told = verdict(log, "US-TPHC-4", at="10:30")
    assert told.status is Status.WITHIN
    assert told.out_for == 150 * MINUTE
    assert clock_shows(told.discard_at) == at("12:00")


def test_clock__mark_before_the_limit_is_the_limit() -> None:
    log = bowl("out 10:00 4 C", marked="12:00")
    assert clock_shows(verdict(log, "US-TPHC-4", at="11:00").discard_at) == at("12:00")
    told = verdict(log, "US-TPHC-4", at="12:00")
    assert told.status is Status.DISCARD
    assert "Past the discard time marked on it for US-TPHC-4" in told.reason


def test_clock__mark_does_not_matter_where_none_is_asked_for() -> None:
    log = bowl("out 10:00 4 C", marked="10:30")
    assert clock_shows(verdict(log, "US-HOME-2H", at="11:00").discard_at) == at("12:00")


@pytest.mark.parametrize(
    ("events", "marked", "procedures", "why"),
    [
        (("out 10:00 4 C",), "14:00", False, "it needs written procedures"),
        (("out 10:00",), "14:00", True, "no temperature was read when it left control"),
        (("out 10:00 20 C",), "14:00", True, "it left control by out at 20 °C"),
        (("out 10:00 4 C",), None, True, "no discard time is marked on it"),
        (("out 10:00 4 C",), "14:01", True, "it is marked until 2026-10-05 14:01 WEST"),
        (("reading 10:00 20 C",), "14:00", True, "it was measured at 20 °C"),
        (("reading 10:00 4 C", "out 09:00 4 C"), "13:00", True, "it is not certain when it left"),
    ],
    ids=[
        "no procedures",
        "no start temperature",
        "warm start",
        "no mark",
        "mark too late",
        "never taken out",
        "out of order",
    ],
)
def test_clock__tphc_cannot_be_used(
    events: tuple[str, ...], marked: str | None, procedures: bool, why: str
) -> None:
    told = verdict(bowl(*events, marked=marked), "US-TPHC-4", procedures=procedures, at="10:30")
    assert told.status is Status.CANNOT_BE_USED
    assert why in told.reason
    assert told.reason.endswith("; treat as past its limit")
    assert told.discard_at is None


def test_clock__rule_that_cannot_be_used_stays_so() -> None:
    assert verdict(bowl("out 10:00 4 C"), "US-TPHC-4", at="20:00").status is Status.CANNOT_BE_USED


def test_clock__single_period_ends_with_the_second_display() -> None:
    log = bowl("out 10:00 4 C", "back 10:30 4 C", "out 13:00 4 C")
    in_between = verdict(log, "UK-CHILL4", at="12:00")
    assert in_between.status is Status.WITHIN
    assert in_between.discard_at is None
    assert "its one period is over: it may not be put out again" in in_between.reason
    told = verdict(log, "UK-CHILL4", at="13:00")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("13:00")


def test_clock__single_period_is_over_even_when_the_return_was_not_measured() -> None:
    log = bowl("out 10:00 4 C", "back 10:30", "out 11:00")
    told = verdict(log, "UK-CHILL4", at="11:00")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("11:00")


def test_clock__second_out_without_a_return_is_the_same_period() -> None:
    log = bowl("out 10:00 4 C", "out 11:00")
    assert clock_shows(verdict(log, "UK-CHILL4", at="11:30").discard_at) == at("14:00")


def test_clock__display_measured_in_control_uses_up_no_period() -> None:
    """On ice at 8 °C or colder, measured; then the first period above it."""
    log = bowl("out 10:00 5 C", "reading 11:00 6 C", "back 11:00 6 C", "out 13:00 5 C")
    told = verdict(log, "UK-CHILL4", at="14:00")
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == at("17:00")


def test_clock__only_the_time_between_two_readings_in_control_is_left_out() -> None:
    """Not measured when it went out: 10:00 to 10:30 counts, 10:30 to 11:00 does not."""
    log = bowl("out 10:00", "reading 10:30 6 C", "reading 11:00 6 C")
    told = verdict(log, "UK-CHILL4", at="11:20")
    assert told.out_for == 50 * MINUTE
    assert clock_shows(told.discard_at) == at("14:30")


def test_clock__time_after_the_last_reading_counts() -> None:
    """In control from 10:00 to 12:00, not measured after: 12:00 + 4 h = 16:00."""
    log = bowl("out 10:00 5 C", "reading 12:00 6 C")
    assert clock_shows(verdict(log, "UK-CHILL4", at="15:59").discard_at) == at("16:00")


@pytest.mark.source("uksi-2013-2996", "Schedule 4 para 2(1)")
def test_clock__reading_shows_it_was_in_control_however_late_it_comes() -> None:
    """At 8 °C or colder there is no offence, so 5 °C at 10:00 and 6 °C at 14:00 are no time out."""
    log = bowl("out 10:00 5 C", "reading 14:00 6 C")
    assert verdict(log, "UK-CHILL4", at="13:59").status is Status.WITHIN
    assert verdict(log, "UK-CHILL4", at="14:00").out_for == 0 * HOUR


def test_clock__reading_above_makes_the_time_before_it_count() -> None:
    """6 °C at 11:00, 9 °C at 12:00: the hour between counts, the hour before does not."""
    log = bowl("out 10:00 5 C", "reading 11:00 6 C", "reading 12:00 9 C")
    assert verdict(log, "UK-CHILL4").out_for == HOUR


@pytest.mark.parametrize(
    ("events", "chilled", "hot"),
    [
        (("out 10:00 4 C",), Status.DISCARD, Status.NOT_COVERED),
        (("out 10:00 65 C",), Status.NOT_COVERED, Status.DISCARD),
        (("out 10:00 20 C",), Status.DISCARD, Status.DISCARD),
        (("out 10:00",), Status.DISCARD, Status.DISCARD),
        (("cooked 10:00",), Status.NOT_COVERED, Status.DISCARD),
        (("out 10:00 4 C", "reheated 11:00 80 C"), Status.DISCARD, Status.DISCARD),
        (("out 10:00 4 C", "reheated 11:00"), Status.DISCARD, Status.DISCARD),
        (("out 10:00 4 C", "reading 11:00 65 C"), Status.DISCARD, Status.DISCARD),
        (("cooked 10:00 90 C", "reading 13:00 6 C"), Status.DISCARD, Status.DISCARD),
        (("reading 10:00 4 C",), Status.WITHIN, Status.WITHIN),
    ],
)
def test_clock__rules_for_chilled_and_for_hot_food(
    events: tuple[str, ...], chilled: Status, hot: Status
) -> None:
    """Food is of a kind by how it left control, of both when it has been both or none is known."""
    log = bowl(*events)
    assert verdict(log, "UK-CHILL4", at="15:00").status is chilled
    assert verdict(log, "UK-HOT2", at="15:00").status is hot


def test_clock__reheating_does_not_take_chilled_food_out_of_its_rule() -> None:
    log = bowl("out 10:00", "reheated 14:30 80 C")
    assert verdict(log, "UK-CHILL4", at="14:30").status is Status.DISCARD


@pytest.mark.parametrize(
    ("room", "until"), [("24 C", "12:00"), ("33 C", "11:00"), ("95 F", "11:00"), (None, "11:00")]
)
def test_clock__hot_or_unknown_room_halves_the_two_hours(room: str | None, until: str) -> None:
    told = verdict(bowl("out 10:00 4 C"), "US-HOME-2H", room=room, at="10:30")
    assert clock_shows(told.discard_at) == at(until)


def test_clock__room_is_known_from_a_reading_beside_the_container() -> None:
    log = bowl("room 09:50 24 C", "out 10:00 4 C")
    assert clock_shows(verdict(log, "US-HOME-2H", room=None).discard_at) == at("12:00")


def test_clock__one_hot_reading_of_the_room_holds_for_the_whole_time() -> None:
    log = bowl("room 09:50 24 C", "out 10:00 4 C", "room 11:30 33 C", "room 11:40 24 C")
    told = verdict(log, "US-HOME-2H", at="11:40")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("11:00")
    assert "The room was at 33 °C" in told.reason


@pytest.mark.parametrize(
    ("room", "events", "until"),
    [
        # the hot reading of 08:00 ended at 09:00, before the food came out
        ("24 C", ("room 08:00 33 C", "room 09:00 24 C", "out 10:00 4 C"), "12:00"),
        # ... and not while it was out: one hour for the whole time
        ("24 C", ("room 08:00 33 C", "out 10:00 4 C", "room 10:30 24 C"), "11:00"),
        ("24 C", ("room 08:00 24 C", "room 09:00 33 C", "out 10:00 4 C"), "11:00"),
        # the setting holds until the room is read
        ("33 C", ("room 09:00 24 C", "out 10:00 4 C"), "12:00"),
        ("33 C", ("out 10:00 4 C", "room 10:01 24 C"), "11:00"),
        ("24 C", ("room 09:00 33 C", "out 10:00 4 C"), "11:00"),
        # 4 h ago and still the last reading
        (None, ("room 06:00 33 C", "out 10:00 4 C"), "11:00"),
        # it came out at the minute of the next reading
        (None, ("room 08:00 33 C", "room 10:00 24 C", "out 10:00 4 C"), "12:00"),
        # out of order it may be a slip, so that the hot one stays, and it counts from the slip on
        (None, ("room 10:00 33 C", "room 09:00 24 C", "out 10:30 4 C"), "10:00"),
    ],
)
def test_clock__reading_of_the_room_holds_until_the_next(
    room: str | None, events: tuple[str, ...], until: str
) -> None:
    """90 °F (32 °C) or above gives one hour, else two, from 10:00."""
    assert clock_shows(
        verdict(bowl(*events), "US-HOME-2H", room=room, at="10:45").discard_at
    ) == at(until)


def test_clock__reading_of_the_room_after_the_hot_limit_takes_nothing_back() -> None:
    log = bowl("out 10:00 4 C", "room 11:01 24 C")
    assert verdict(log, "US-HOME-2H", room=None).status is Status.DISCARD
    in_time = bowl("out 10:00 4 C", "room 11:00 24 C")
    assert verdict(in_time, "US-HOME-2H", room=None).status is Status.WITHIN


def test_clock__reading_of_the_room_without_a_temperature_is_none() -> None:
    log = bowl("room 09:50", "out 10:00 4 C")
    assert clock_shows(verdict(log, "US-HOME-2H", room=None).discard_at) == at("11:00")


@pytest.mark.parametrize(
    ("events", "since"),
    [
        # the return is gainsaid, so it has been out since 10:00
        (("out 10:00 4 C", "back 09:30 4 C"), "10:00"),
        # a night shoot without its date: sorted, it was out from 00:30 to 16:00
        (("reading 16:00 4 C", "reading 22:00 4 C", "out 00:30"), "06:30"),
        # 11:30 gainsays the reading of 12:00, not that of 11:00
        (("reading 11:00 4 C", "reading 12:00 4 C", "out 11:30"), "11:00"),
        (("reading 11:00 4 C", "reading 12:00 4 C", "out 11:00"), "11:00"),
        # nothing was ever measured: out since the first event
        (("room 09:00 24 C", "out 11:00", "back 10:00 4 C"), "11:00"),
        (("served 11:00", "reading 10:00 4 C"), "11:00"),
    ],
)
def test_clock__out_of_order_counts_since_the_last_certain_reading(
    events: tuple[str, ...], since: str
) -> None:
    told = verdict(bowl(*events), "US-HOME-2H", at="23:00")
    hour, minute = map(int, since.split(":"))
    assert told.out_for == timedelta(hours=23 - hour, minutes=-minute)


def test_clock__out_of_order_counts_no_time_twice() -> None:
    """Out 10:00 to 11:00, then out of order at 10:30: out since 10:00, not since 10:00 twice."""
    log = bowl("out 10:00 4 C", "back 11:00 4 C", "out 10:30")
    assert verdict(log, "US-HOME-2H", at="11:30").out_for == 90 * MINUTE


def test_clock__out_of_order_within_a_time_out_takes_nothing_from_it() -> None:
    """Out 10:00 to 11:00, measured at 10:20; an event at 10:30 makes it out since 10:00."""
    log = bowl("out 10:00", "reading 10:20 4 C", "back 11:00 4 C", "out 10:30")
    assert verdict(log, "AU-2H4H", at="12:00").out_for == 2 * HOUR


def test_clock__out_of_order_counts_no_time_twice_for_a_return() -> None:
    """Out since 10:00; at 11:50 that is 1 h 50 min, soon enough to go back."""
    log = bowl("out 10:00 4 C", "back 11:00 4 C", "out 10:30", "back 11:50 4 C")
    told = verdict(log, "AU-2H4H", at="13:00")
    assert told.status is Status.WITHIN
    assert told.out_for == 110 * MINUTE


def test_clock__after_a_time_out_of_order_a_measured_return_ends_it() -> None:
    """As typed it was out from 10:00 to 10:30; sorted from 09:50, 40 min, the worse of the two."""
    log = bowl("reading 10:00 4 C", "out 09:50", "back 10:30 4 C")
    told = verdict(log, "AU-2H4H", at="20:00")
    assert (told.out_for, told.discard_at) == (40 * MINUTE, None)


def test_clock__after_a_time_out_of_order_a_reading_does_not_end_it() -> None:
    """As typed it is out since 10:00; sorted, from 09:50 to 10:00 and since 10:30: less."""
    log = bowl("reading 10:00 4 C", "out 09:50", "reading 10:30 4 C")
    assert verdict(log, "AU-2H4H", at="11:00").out_for == HOUR


def test_clock__reading_out_of_order_is_not_certain() -> None:
    """Out 12:00 to 12:30, and again since the return of 12:30: not since the 11:00 in doubt."""
    log = bowl("reading 12:00 4 C", "reading 11:00 4 C", "back 12:30 4 C", "out 11:30")
    assert verdict(log, "AU-2H4H", at="13:00").out_for == HOUR


def test_clock__return_typed_into_the_future_is_no_return_yet() -> None:
    log = bowl("out 10:00 4 C", "back 22:00 4 C", "out 13:30", "back 14:50 4 C")
    told = verdict(log, "US-HOME-2H", at="14:50")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == at("12:00")


def test_clock__out_of_order_display_is_a_second_period() -> None:
    log = bowl("out 10:00 4 C", "back 11:00 4 C", "out 10:30")
    assert verdict(log, "UK-CHILL4", at="11:30").status is Status.DISCARD


def test_clock__events_after_the_instant_asked_about_have_not_happened() -> None:
    log = bowl("out 10:00 4 C", "back 10:30 4 C", "out 11:00 4 C")
    assert verdict(log, "AU-2H4H", at="10:45").out_for == 30 * MINUTE
    assert verdict(log, "AU-2H4H", at="10:15").out_for == 15 * MINUTE
