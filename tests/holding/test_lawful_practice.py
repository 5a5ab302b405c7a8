"""Everyday correct practice, which no rule that is about it may end in "discard".

Local times of Monday 2026-10-05 in Chicago or where the rule is from; the clause that makes a time
no time out is named beside each test.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import bowl, clock_shows, judged, verdict
from hypothesis import given
from hypothesis import strategies as st
from logs_at_random import RULES, at, badness, logs, minutes, rule_sets, settings, strictest

from costing.holding.models import Container, Event, EventKind, Temperature
from costing.holding.statuses import Status
from costing.holding.verdicts import judge

CHICAGO = "America/Chicago"
HOUR = timedelta(hours=1)
STOCK = ("cooked 12:00 200 F", "reading 13:50 70 F", "reading 17:30 39 F")
"""A stock cooled to the letter: 70 °F within 2 h, cold within 6 h."""


@pytest.mark.source("wi-atcp75-3-501-14", "(A)")
@pytest.mark.parametrize("rule", ["US-HOME-2H", "CA-2H", "HK-2H4H", "US-TPHC-4", "US-TPHC-6"])
@pytest.mark.parametrize("asked", ["13:50", "16:30", "17:30", "23:00"])
def test_practice__cooled_as_the_food_code_asks_is_no_time_out(rule: str, asked: str) -> None:
    """3-501.14(A): 135 to 70 °F within 2 h and to 41 °F within 6 h in all."""
    told = verdict(bowl(*STOCK), rule, at=asked, zone=CHICAGO, room=None)
    assert told.status is Status.WITHIN
    assert told.out_for == 0 * HOUR


@pytest.mark.source("wi-atcp75-3-501-14", "(A)(2): to 41 °F (5 °C)")
@pytest.mark.parametrize(
    ("rule", "cold", "colder"), [("US-HOME-2H", "41 F", "38 F"), ("CA-2H", "5 C", "4 C")]
)
def test_practice__cooled_to_41_f_is_out_until_it_is_colder_where_40_is_asked(
    rule: str, cold: str, colder: str
) -> None:
    """41 °F from 17:30 to 18:20 is 50 min out by advice that says 40 °F."""
    pot = bowl("cooked 12:00 95 C", "reading 13:50 20 C", f"reading 17:30 {cold}")
    assert verdict(pot, rule, at="19:30").status is Status.DISCARD
    pot = bowl(
        "cooked 12:00 95 C",
        "reading 13:50 20 C",
        f"reading 17:30 {cold}",
        f"reading 18:20 {colder}",
    )
    told = verdict(pot, rule, at="23:00")
    assert (told.status, told.out_for) == (Status.WITHIN, timedelta(minutes=50))


def test_practice__hot_room_counts_for_food_that_is_out_and_not_for_food_that_cools() -> None:
    """90 min out before it was cooked, in a room nobody read; 33 °C while it cools, 2 h allowed."""
    pot = bowl("out 09:30 4 C", "cooked 11:00 90 C", "reading 12:00 20 C", "room 12:30 33 C")
    told = verdict(pot, "US-HOME-2H", at="13:00", room="24 C")
    assert (told.status, told.out_for) == (Status.WITHIN, timedelta(minutes=90))
    later = bowl(
        "out 09:30 4 C", "cooked 11:00 90 C", "reading 12:00 20 C", "out 12:30", "room 12:40 33 C"
    )
    told = verdict(later, "US-HOME-2H", at="13:00", room="24 C")
    assert (told.status, clock_shows(told.discard_at)) == (
        Status.DISCARD,
        "2026-10-05 10:30 WEST",
    )


@pytest.mark.source("wi-atcp75-3-501-14", "(A)")
def test_practice__cooling_that_goes_on_says_what_is_asked_next() -> None:
    """12:00 + 6 h = 18:00."""
    told = verdict(bowl(*STOCK), "US-HOME-2H", at="16:30", zone=CHICAGO)
    assert clock_shows(told.discard_at) == "2026-10-05 18:00 CDT"
    assert (
        "Cooling as US-COOL asks since 2026-10-05 12:00 CDT is not counted; it must be measured at "
        "most 41 °F (5 °C) by 2026-10-05 18:00 CDT, or all of it counts."
    ) in told.reason


@pytest.mark.parametrize(
    "events",
    [
        ("cooked 12:00 200 F", "reading 14:01 70 F", "reading 17:30 39 F"),  # first stage missed
        ("cooked 12:00 200 F", "reading 13:50 70 F", "reading 18:01 39 F"),  # second stage missed
        ("cooked 12:00 200 F", "back 17:30 39 F"),  # nothing proves the first stage
        ("cooked 12:00 60 F", "reading 17:30 39 F"),  # cold when first measured
        ("cooked 12:00 200 F", "reading 13:50 70 F", "reading 15:00 90 F", "reading 17:30 39 F"),
        ("cooked 12:00 200 F", "reading 13:50 70 F", "reheated 15:00", "reading 17:30 39 F"),
    ],
)
def test_practice__cooling_that_is_not_proven_is_time_out(events: tuple[str, ...]) -> None:
    """12:00 + 2 h = 14:00; warm or heated again, it has lost the 70 °F it had come to."""
    told = verdict(bowl(*events), "US-HOME-2H", at="18:30", zone=CHICAGO)
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == "2026-10-05 14:00 CDT"


def test_practice__taken_out_while_it_cools_it_is_out() -> None:
    """Out for filming from 14:00: 14:00 + 2 h = 16:00, though it is cold by 17:30."""
    log = bowl("cooked 12:00 200 F", "reading 13:50 70 F", "out 14:00", "reading 17:30 39 F")
    told = verdict(log, "US-HOME-2H", zone=CHICAGO)
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == "2026-10-05 16:00 CDT"


@pytest.mark.source("wi-atcp75-3-501-19", "(A)(1)(b)")
@pytest.mark.parametrize(
    "before",
    [
        ("cooked 07:00 200 F", "reading 08:50 70 F", "reading 12:30 39 F"),
        ("prep 06:00 40 F", "cooked 07:00 200 F", "reading 08:50 70 F", "back 12:30 39 F"),
        ("cut 06:30", "cooked 07:00 200 F", "reading 08:50 70 F", "reading 12:30 39 F"),
        ("thawed 06:30 50 F", "cooked 07:00 200 F", "reading 08:50 70 F", "reading 12:30 39 F"),
    ],
)
def test_practice__time_control_after_lawful_cooling_counts_from_the_removal(
    before: tuple[str, ...],
) -> None:
    """Prepared, cooked and refrigerated before time is used: 15:00 + 4 h = 19:00."""
    log = bowl(*before, "out 15:00 39 F", marked="19:00")
    told = verdict(log, "US-TPHC-4", at="16:00", zone=CHICAGO)
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2026-10-05 19:00 CDT"


@pytest.mark.source("wi-atcp75-3-501-19", "(A)(1)(b)")
def test_practice__time_control_after_hot_holding_counts_from_the_removal() -> None:
    log = bowl("cooked 10:00 90 C", "reading 11:30 70 C", "out 13:00 65 C", marked="17:00")
    told = verdict(log, "US-TPHC-4", at="14:00")
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2026-10-05 17:00 WEST"


@pytest.mark.source("wi-atcp75-3-501-19", "(A)(1)(b)")
def test_practice__time_control_after_a_pot_kept_hot_counts_from_the_removal() -> None:
    """70 °C before and after it was cooked on: hot holding, 13:00 + 4 h = 17:00."""
    pot = bowl(
        "reading 09:00 70 C", "cooked 10:00", "reading 11:00 70 C", "out 13:00 65 C", marked="17:00"
    )
    told = verdict(pot, "US-TPHC-4", at="14:00")
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2026-10-05 17:00 WEST"


@pytest.mark.parametrize(
    "before",
    [
        ("reading 08:00 20 C", "cooked 12:00 90 C"),  # nobody took it out, and it was warm
        ("prep 08:00 4 C", "cooked 12:00 90 C"),
        ("cooked 08:00", "reading 12:00 70 C"),
    ],
)
def test_practice__past_the_limit_before_it_was_cooked_it_stays_so(before: tuple[str, ...]) -> None:
    """No event revives food that is past its limit: 08:00 + 4 h = 12:00."""
    cooled = ("reading 13:30 20 C", "reading 16:00 4 C", "out 17:00 4 C")
    log = bowl(*before, *cooled, marked="12:00")
    verdicts, _ = judged([log], "US-TPHC-4", at="17:30")
    assert verdicts[0].status in (Status.DISCARD, Status.CANNOT_BE_USED)
    assert verdicts[0].alarm


@pytest.mark.parametrize(
    ("cooked", "status"), [("11:59", Status.WITHIN), ("12:00", Status.DISCARD)]
)
def test_practice__cooked_and_cooled_right_at_the_limit_is_past_it(
    cooked: str, status: Status
) -> None:
    """In preparation from 08:00 on: 08:00 + 4 h = 12:00, and at the limit is past it."""
    pot = ("prep 08:00 4 C", f"cooked {cooked} 90 C", "reading 13:50 20 C", "reading 17:30 4 C")
    told = verdict(bowl(*pot, marked="12:00"), "US-TPHC-4", at="18:20", zone=CHICAGO)
    assert told.status is status


@pytest.mark.parametrize(
    "before", [("cooked 07:00 200 F", "back 12:30 39 F"), ("out 11:00 39 F", "back 12:00 39 F")]
)
def test_practice__time_control_is_not_begun_again(before: tuple[str, ...]) -> None:
    """Cooling nobody proved, or an earlier removal: four hours from then, over at 15:00."""
    log = bowl(*before, "out 15:00 39 F", marked="15:00")
    told = verdict(log, "US-TPHC-4", at="15:00", zone=CHICAGO)
    assert told.status in (Status.DISCARD, Status.CANNOT_BE_USED)
    assert told.alarm


@pytest.mark.source("fsanz-2h4h-2023", "temperatures of the rule")
@pytest.mark.parametrize("rule", ["AU-2H4H", "HK-2H4H", "US-HOME-2H", "CA-2H"])
@pytest.mark.parametrize("kind", ["reading", "back"])
def test_practice__pot_kept_hot(rule: str, kind: str) -> None:
    """63 °C and then 61 °C is hot holding where the line is 60 °C."""
    log = bowl("cooked 10:00 90 C", "reading 11:55 63 C", f"{kind} 15:00 61 C")
    told = verdict(log, rule, at="15:30", room=None)
    assert told.status is Status.WITHIN
    assert told.out_for <= HOUR / 2


def test_practice__pot_that_was_not_hot_any_more_is_out() -> None:
    """59 °C at 15:00: out since the 63 °C of 11:55."""
    log = bowl("cooked 10:00 90 C", "reading 11:55 63 C", "reading 15:00 59 C")
    told = verdict(log, "AU-2H4H", at="15:00")
    assert told.out_for == timedelta(hours=3, minutes=5)


@pytest.mark.source("wi-atcp75-3-501-14", "(A)")
def test_practice__hot_reading_is_looked_at_before_the_deadline_of_cooling() -> None:
    """Still 140 °F at 14:30, so it passes down through 135 °F later: 14:30 + 2 h = 16:30."""
    pot = bowl("cooked 12:00 200 F", "reading 14:30 140 F")
    told = verdict(pot, "US-COOL", at="15:00", zone=CHICAGO)
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2026-10-05 16:30 CDT"


def test_practice__heating_again_after_the_deadline_is_no_proof() -> None:
    pot = bowl("cooked 12:00 200 F", "reheated 14:30 165 F")
    assert verdict(pot, "US-COOL", at="15:00", zone=CHICAGO).status is Status.DISCARD


@pytest.mark.parametrize(
    "since",
    [
        ("reheated 14:30 165 F", "reading 14:35 165 F"),  # hot because it was heated again
        ("reading 14:30 60 F", "reading 15:00 165 F"),  # it had begun to cool
    ],
)
def test_practice__hot_reading_after_a_missed_stage_begins_no_other_cooling(
    since: tuple[str, ...],
) -> None:
    """A missed stage is not made good by heating again: 12:00 + 2 h = 14:00."""
    told = verdict(bowl("cooked 12:00 200 F", *since), "US-COOL", at="15:10", zone=CHICAGO)
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == "2026-10-05 14:00 CDT"


ENGLAND = ("UK-CHILL4", "UK-HOT2")


@pytest.mark.source("wsi-2006-31", "Schedule 4 para 6: food that was cooked or reheated")
@pytest.mark.parametrize(
    "events",
    [
        ("cut 09:30", "out 11:00 8 C"),
        ("cut 09:30", "out 12:00 8 C"),
        ("opened 09:30 12 C",),
        ("reading 09:00 4 C", "out 09:30"),
        ("out 09:30", "reading 10:00 7 C"),
    ],
)
def test_practice__two_hours_for_hot_food_are_not_for_food_that_nothing_heated(
    events: tuple[str, ...],
) -> None:
    """In England chilled food has four hours: 09:30 + 4 h = 13:30."""
    verdicts, _ = judged([bowl(*events)], *ENGLAND, at="12:30", zone="Europe/London")
    assert [(v.rule, v.status) for v in verdicts] == [
        ("UK-CHILL4", Status.WITHIN),
        ("UK-HOT2", Status.NOT_COVERED),
    ]
    assert clock_shows(verdicts[0].discard_at) == "2026-10-05 13:30 BST"


@pytest.mark.parametrize(
    "events",
    [
        ("out 09:30",),  # nobody knows that it was chilled
        ("out 09:30", "reading 11:45 7 C"),  # known too late: past two hours at 11:30
        ("cut 09:30", "reading 10:00 65 C"),  # carved hot
    ],
)
def test_practice__what_may_be_hot_food_has_two_hours(events: tuple[str, ...]) -> None:
    """09:30 + 2 h = 11:30; a hot reading after the cut leaves 09:30 to 10:00 unmeasured."""
    verdicts, _ = judged([bowl(*events)], *ENGLAND, at="12:30", zone="Europe/London")
    assert (verdicts[0].rule, verdicts[0].status) == ("UK-HOT2", Status.DISCARD)


@pytest.mark.source("nisr-2006-3", "Schedule 4 para 5(1): had not previously been so kept")
def test_practice__put_out_again_after_a_return_nobody_measured_is_a_second_period() -> None:
    """Nothing shows that it stayed at 8 °C in the first, so the second has no defence."""
    log = bowl("out 10:00 8 C", "back 10:30", "out 12:00 8 C")
    told = verdict(log, "UK-CHILL4", at="12:00", zone="Europe/London")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == "2026-10-05 12:00 BST"


@pytest.mark.source("uksi-2013-2996", "Schedule 4 para 2(1): above 8 °C")
@pytest.mark.parametrize(
    ("measured", "until"),
    [
        (("reading 10:30 8 C", "back 10:30 8 C"), "16:00"),
        (("back 10:30", "reading 10:40 6 C"), "14:40"),
    ],
)
def test_practice__shown_at_8_c_it_has_used_no_period(
    measured: tuple[str, ...], until: str
) -> None:
    """At 8 °C or colder before and after, it was never kept above 8 °C.

    12:00 + 4 h = 16:00; where the return was not measured the time runs on from 10:40.
    """
    log = bowl("out 10:00 8 C", *measured, "out 12:00 8 C")
    told = verdict(log, "UK-CHILL4", at="13:00", zone="Europe/London")
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == f"2026-10-05 {until} BST"


@pytest.mark.source("fsanz-2h4h-2023", "times of the rule")
@pytest.mark.parametrize(
    ("events", "status", "minutes_out"),
    [
        (("out 10:00 4 C", "back 12:10 4 C"), Status.DISCARD, 360),
        (("out 10:00 4 C", "back 12:10 4 C", "reading 16:00 4 C"), Status.DO_NOT_RETURN, 130),
        (("reading 10:00 20 C", "reading 12:10 4 C"), Status.DISCARD, 360),
        (
            ("reading 10:00 20 C", "reading 12:10 4 C", "reading 16:00 4 C"),
            Status.DO_NOT_RETURN,
            130,
        ),
        (("out 10:00 4 C", "back 12:10 4 C", "back 16:00 4 C"), Status.DISCARD, 360),
        (  # cooled as AU-COOL asks from 12:10 to 14:00, which is a return too
            ("out 10:00 4 C", "cooked 12:10 90 C", "reading 13:00 20 C", "reading 14:00 4 C"),
            Status.DISCARD,
            250,
        ),
    ],
)
def test_practice__a_return_that_comes_too_late_ends_nothing(
    events: tuple[str, ...], status: Status, minutes_out: int
) -> None:
    """No return from two hours on, so the time runs on; between two cold readings it does not.

    A second ``back`` says that the food was put back only then.
    """
    told = verdict(bowl(*events), "AU-2H4H", at="16:00")
    assert (told.status, told.out_for) == (status, timedelta(minutes=minutes_out))


@pytest.mark.parametrize("rule", ["US-HOME-2H", "AU-2H4H", "UK-CHILL4", "CA-2H", "SG-4H"])
def test_practice__thawed_in_a_refrigerator_starts_no_clock(rule: str) -> None:
    log = bowl("frozen 09:00 -18 C", "thawed 20:00 3 C")
    told = verdict(log, rule, at="23:59")
    assert (told.status, told.out_for) == (Status.WITHIN, 0 * HOUR)
    assert verdict(bowl("thawed 10:00 6 C"), "AU-2H4H", at="11:00").out_for == HOUR


@pytest.mark.source("wi-atcp75-3-403-11", "(D)")
@pytest.mark.parametrize(
    ("events", "until"),
    [
        (("reading 08:00 39 F", "out 11:00", "reheated 11:30 100 F"), "13:00"),
        (("out 08:00", "reading 09:00 39 F", "reheated 11:30 100 F"), "11:00"),
        (
            ("reading 08:00 39 F", "reading 09:00 50 F", "out 09:30", "reheated 09:40 100 F"),
            "10:00",
        ),
        (("out 09:00", "reheated 09:30 100 F"), "11:00"),  # nobody read it cold
    ],
)
def test_practice__reheating_counts_from_the_later_of_cold_reading_and_removal(
    events: tuple[str, ...], until: str
) -> None:
    """3-403.11(D): the time between 41 °F and 165 °F, at most 2 h."""
    told = verdict(bowl(*events), "US-REHEAT", zone=CHICAGO)
    assert clock_shows(told.discard_at) == f"2026-10-05 {until} CDT"


@pytest.mark.source("wi-atcp75-3-501-14", "(A)")
@pytest.mark.parametrize("asked", ["13:00", "16:00", "23:00"])
def test_practice__general_rule_is_not_added_to_a_pot_that_a_rule_of_cooling_judges(
    asked: str,
) -> None:
    """At 41 °F, where advice for homes says 40 °F."""
    pot = bowl("cooked 12:00 200 F", "reading 13:50 70 F", "reading 17:30 41 F")
    verdicts, _ = judged([pot], "US-COOL", at=asked, zone=CHICAGO)
    assert [(v.rule, v.status) for v in verdicts] == [("US-COOL", Status.WITHIN)]


@pytest.mark.parametrize(("food", "general"), [("41 F", False), ("42 F", True), ("60 F", True)])
def test_practice__general_rule_is_added_to_a_pot_measured_warm_once_it_was_cold(
    food: str, general: bool
) -> None:
    """Its second stage ends at 41 °F: 60 °F, below the first, is no cooling any more."""
    pot = bowl(
        "cooked 12:00 200 F", "reading 13:50 70 F", "reading 17:30 41 F", f"reading 21:00 {food}"
    )
    verdicts, _ = judged([pot], "US-COOL", at="23:00", zone=CHICAGO)
    assert ("US-HOME-2H" in {v.rule for v in verdicts}) is general


@pytest.mark.source("wi-atcp75-3-501-14", "(B)")
@pytest.mark.parametrize(
    "events",
    [
        ("prep 08:00 40 F", "back 13:00"),  # what is taken out cold has not cooled by that
        ("prep 08:00 68 F", "reading 09:00 40 F", "prep 09:30 40 F", "back 15:00"),
        ("reading 08:00 40 F", "reading 13:00 68 F", "reading 16:00 68 F"),
    ],
)
def test_practice__cooling_from_room_temperature_does_not_cover_time_out_again(
    events: tuple[str, ...],
) -> None:
    """At least two hours out in each, and no reading that shows it cold at the end."""
    verdicts, _ = judged([bowl(*events)], "US-COOL-AMB", at="16:00", zone=CHICAGO)
    assert verdicts[0].status is Status.DISCARD


@pytest.mark.source("wi-atcp75-3-501-14", "(B)")
def test_practice__made_from_what_was_cold_it_is_cold_again_in_time() -> None:
    log = bowl("prep 08:00 40 F", "back 09:00 40 F")
    verdicts, _ = judged([log], "US-COOL-AMB", at="16:00", zone=CHICAGO)
    assert [(v.rule, v.status) for v in verdicts] == [("US-COOL-AMB", Status.WITHIN)]


def test_practice__general_rule_is_not_added_where_one_of_two_judges() -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], "US-TPHC-4", "AU-2H4H", at="11:00")
    assert [v.rule for v in verdicts] == ["US-TPHC-4", "AU-2H4H"]


def test_practice__cooling_that_nothing_proves_is_time_out_of_time_as_a_control_too() -> None:
    """Unproven cooling is time out: 10 h from hot to cold, none between."""
    pot = bowl("reading 08:00 70 C", "reading 18:00 4 C", "out 18:10 4 C", marked="22:10")
    told = verdict(pot, "US-TPHC-4", at="18:20", zone=CHICAGO)
    assert told.status is Status.CANNOT_BE_USED
    proven = bowl(
        "reading 08:00 70 C",
        "reading 09:50 20 C",
        "reading 13:00 4 C",
        "out 18:10 4 C",
        marked="22:10",
    )
    assert verdict(proven, "US-TPHC-4", at="18:20", zone=CHICAGO).status is Status.WITHIN


def test_practice__heated_between_two_cold_readings_it_has_cooled_and_counts() -> None:
    """Unproven cooling is time out: 4 h 50 min since it was cooked."""
    log = bowl("reading 08:00 4 C", "cooked 08:10", "reading 13:00 4 C")
    told = verdict(log, "CA-2H", at="13:00")
    assert (told.status, clock_shows(told.discard_at)) == (
        Status.DISCARD,
        "2026-10-05 10:10 WEST",
    )


COLD, HOT = Temperature(value=4, unit="C"), Temperature(value=65, unit="C")


@given(logs(), rule_sets, st.integers(min_value=0, max_value=900), minutes, st.booleans())
def test_law__one_more_reading_in_control_is_never_worse(
    log: Container, rules: list[str], read: int, asked: int, hot: bool
) -> None:
    """Between two readings of its own side, which it does not gainsay."""
    food = HOT if hot else COLD
    before = [e for e in log.events if e.at <= at(read) and e.kind is not EventKind.ROOM]
    if not before or before[-1].temperature != food:
        return
    reading = Event(kind=EventKind.READING, at=at(read), temperature=food)
    events = sorted([*log.events, reading], key=lambda event: event.at)
    more = log.model_copy(update={"events": tuple(events)})
    when = at(read + asked)
    assert badness(strictest(more, rules, when)) <= badness(strictest(log, rules, when))


@given(
    st.integers(min_value=1, max_value=150),
    st.integers(min_value=1, max_value=400),
    minutes,
    st.sampled_from(["US-HOME-2H", "CA-2H", "HK-2H4H", "AU-2H4H"]),
)
def test_law__proven_cooling_is_never_worse_than_unproven(
    first: int, second: int, asked: int, rule: str
) -> None:
    def pot(*readings: tuple[int, str]) -> Container:
        return Container(
            name="pot",
            events=(
                Event(kind=EventKind.COOKED, at=at(0), temperature=HOT),
                *(
                    Event(
                        kind=EventKind.READING,
                        at=at(when),
                        temperature=Temperature(value=degrees, unit="C"),
                    )
                    for when, degrees in readings
                ),
                Event(kind=EventKind.BACK, at=at(first + second), temperature=COLD),
            ),
        )

    when = at(first + second + asked)
    proven, _ = judge([pot((first, "20"))], RULES, settings([rule]), when)
    unproven, _ = judge([pot()], RULES, settings([rule]), when)
    assert badness(proven[0]) <= badness(unproven[0])
