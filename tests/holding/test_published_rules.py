"""Every worked case of the further published rules, judged by the rules that ship.

Numbered as in the list they were worked from; local times, Monday 2026-10-05 unless written.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import bowl, clock_shows, judged, verdict

from costing.holding.models import Container, EventKind
from costing.holding.rules import load_rules
from costing.holding.statuses import Status, Verdict

CHICAGO = "America/Chicago"


def told(log: Container, rule: str, at: str | None = None) -> Verdict:
    return verdict(log, rule, at=at, zone=CHICAGO)


def ends(log: Container, rule: str, at: str | None = None) -> str:
    """The discard time without its zone, which is CDT."""
    return clock_shows(told(log, rule, at).discard_at).removesuffix(" CDT")


@pytest.mark.source("wi-atcp75-3-501-19", "(C)")
def test_case_11_six_hours_lost_above_70_f() -> None:
    log = bowl("out 08:00 40 F", "reading 11:10 71 F", marked="14:00")
    assert told(log, "US-TPHC-6").status is Status.DISCARD
    assert ends(log, "US-TPHC-6") == "2026-10-05 11:10"


@pytest.mark.source("wi-atcp75-3-501-19", "(C)")
@pytest.mark.parametrize(
    ("peak", "status"),
    [
        ("70.0 F", Status.WITHIN),
        ("21.0 C", Status.WITHIN),
        ("21.1 C", Status.DISCARD),
    ],
)
def test_case_12_exactly_at_the_ceiling(peak: str, status: Status) -> None:
    """08:00 + 6 h = 14:00."""
    log = bowl("out 08:00 40 F", f"reading 11:10 {peak}", marked="14:00")
    assert told(log, "US-TPHC-6").status is status
    until = "14:00" if status is Status.WITHIN else "11:10"
    assert ends(log, "US-TPHC-6") == f"2026-10-05 {until}"


@pytest.mark.source("wi-atcp75-3-501-19", "(C)")
def test_case_13_six_hours_are_for_cold_food() -> None:
    hot = bowl("out 08:00 140 F", marked="12:00")
    assert told(hot, "US-TPHC-6").status is Status.CANNOT_BE_USED
    assert ends(hot, "US-TPHC-4") == "2026-10-05 12:00"


@pytest.mark.source("va-2vac5-585-850", "B 2")
def test_case_14_produce_counts_from_the_cut() -> None:
    """Sliced at 13:00: 13:00 + 4 h = 17:00; out whole since 09:00 is no time."""
    log = bowl("out 09:00 68 F", "cut 13:00 68 F", "reading 15:00 69 F", marked="17:00")
    assert told(log, "US-TPHC-4P").status is Status.WITHIN
    assert ends(log, "US-TPHC-4P") == "2026-10-05 17:00"


@pytest.mark.source("wi-atcp75-3-501-16", "(A)")
def test_case_17_whole_melon_has_no_clock() -> None:
    """Eight hours at 80 °F: it needs control only when cut."""
    melon = bowl("out 09:00 80 F", "reading 17:00 80 F", name="melon")
    whole = melon.model_copy(update={"starts_by": (EventKind.CUT, EventKind.COOKED)})
    verdicts, _ = judged([whole], "US-HOLD", "US-HOME-2H", zone=CHICAGO)
    assert [(v.status, v.discard_at) for v in verdicts] == [(Status.NOT_COVERED, None)] * 2
    assert verdicts[1].reason == (
        'What "melon" holds needs control of its temperature only when cut or cooked, and that is '
        "not logged, so US-HOME-2H is not applied yet."
    )


@pytest.mark.source("wi-atcp75-3-501-14", "(A)")
def test_case_19_first_stage_missed() -> None:
    """13:00 + 2 h = 15:00; 70 °F only at 15:20."""
    rice = bowl("cooked 13:00 135 F", "reading 15:20 70 F", name="rice")
    late = told(rice, "US-COOL")
    assert late.status is Status.DISCARD
    assert ends(rice, "US-COOL") == "2026-10-05 15:00"
    assert late.reason == (
        "Past the 2 h of US-COOL to come to at most 70 °F (21 °C) since 2026-10-05 15:00 CDT, as "
        "logged: counted since 2026-10-05 13:00 CDT. Discard: not to be served, not to go back. "
        "US-COOL binds only businesses."
    )
    assert told(rice, "US-COOL", "14:59").status is Status.WITHIN


@pytest.mark.source("wi-atcp75-3-501-14", "(A)")
@pytest.mark.parametrize(
    ("half_way", "cold"),
    [
        pytest.param("15:00", "19:00", id="case 20, both at the last instant"),
        pytest.param("13:30", "19:00", id="case 21, time carried over"),
    ],
)
def test_case_20_and_21_cooled_in_time(half_way: str, cold: str) -> None:
    """13:00 + 2 h = 15:00 and 13:00 + 6 h = 19:00, both included."""
    rice = bowl("cooked 13:00 135 F", f"reading {half_way} 70 F", f"reading {cold} 41 F")
    passed = told(rice, "US-COOL")
    assert (passed.status, passed.discard_at) == (Status.WITHIN, None)
    assert passed.out_for == timedelta(hours=6)
    assert passed.reason == (
        "Within the times of US-COOL, as logged: counted since 2026-10-05 13:00 CDT, at most "
        f"70 °F (21 °C) by 2026-10-05 {half_way} CDT, at most 41 °F (5 °C) by 2026-10-05 {cold} "
        "CDT. Other hazards are not checked. It says nothing of time out before or after. US-COOL "
        "binds only businesses."
    )
    assert told(rice, "US-COOL", "22:00").status is Status.WITHIN


@pytest.mark.source("wi-atcp75-3-403-11", "(D)")
@pytest.mark.parametrize(("hot", "status"), [("12:50", Status.WITHIN), ("13:05", Status.DISCARD)])
def test_case_22_reheated_in_two_hours(hot: str, status: Status) -> None:
    """11:00 + 2 h = 13:00."""
    stew = bowl("out 11:00 41 F", f"reheated {hot} 165 F")
    assert told(stew, "US-REHEAT").status is status
    begun = bowl("out 11:00 41 F", "reheated 11:10 100 F")
    assert ends(begun, "US-REHEAT") == "2026-10-05 13:00"


@pytest.mark.source("va-12vac5-421-830", "A")
def test_case_23_last_day_is_sunday() -> None:
    """5 October is day 1, so 11 October is day 7 and ends at midnight."""
    chili = bowl("cooked 10:00 165 F", "back 14:00 40 F", marked="2026-10-11 20:00")
    unmarked = bowl("cooked 10:00 165 F", "back 14:00 40 F")
    assert ends(unmarked, "US-DATE7", "20:00") == "2026-10-12 00:00"
    assert ends(chili, "US-DATE7", "2026-10-11 12:00") == "2026-10-11 20:00"
    longest = bowl("cooked 10:00 165 F", marked="2026-10-12 00:00")
    assert told(longest, "US-DATE7", "2026-10-11 23:59").status is Status.WITHIN
    over = told(longest, "US-DATE7", "2026-10-12 00:00")
    assert over.status is Status.DISCARD
    assert over.reason.startswith(
        "Past the 7 days of US-DATE7, the last of which was 2026-10-11, as logged: day 1 is "
        "2026-10-05. Discard"
    )


@pytest.mark.source("va-2vac5-585-840", "frozen time")
def test_case_25_frozen_days_do_not_count() -> None:
    """5, 6 and 7 October are days 1 to 3, 20 October is day 4, so 23 October is day 7."""
    log = bowl(
        "cooked 10:00 165 F",
        "frozen 2026-10-07 22:00 38 F",
        "thawed 2026-10-20 08:00 39 F",
        marked="2026-10-24 00:00",
    )
    assert ends(log, "US-DATE7") == "2026-10-24 00:00"
    assert told(log, "US-DATE7", "2026-10-23 23:00").status is Status.WITHIN
    assert told(log, "US-DATE7", "2026-10-24 00:00").status is Status.DISCARD
    frozen = told(log, "US-DATE7", "2026-10-15 12:00")
    assert "frozen since 2026-10-07, whose last day moves on" in frozen.reason


@pytest.mark.source("va-2vac5-585-840", "frozen time")
def test_days__measured_warm_it_is_frozen_no_longer() -> None:
    """As case 25, with a reading of 50 °F on 20 October, which is day 4, in place of thawing."""
    log = bowl(
        *("cooked 10:00 165 F", "frozen 2026-10-07 22:00 38 F", "reading 2026-10-20 08:00 50 F"),
        marked="2026-10-24 00:00",
    )
    found = told(log, "US-DATE7", "2026-10-21 12:00")
    assert "frozen since" not in found.reason
    assert "the last day is 2026-10-23" in found.reason


@pytest.mark.source("va-2vac5-585-840", "unmarked")
def test_days__unmarked_after_a_day() -> None:
    log = bowl("cooked 10:00 165 F", "back 14:00 40 F")
    assert told(log, "US-DATE7", "2026-10-06 10:00").status is Status.WITHIN
    late = told(log, "US-DATE7", "2026-10-06 10:01")
    assert late.status is Status.CANNOT_BE_USED
    assert late.reason.endswith("no discard time is marked on it; treat as past its limit")


@pytest.mark.source("va-12vac5-421-830", "A")
def test_days__marked_beyond_the_last_day() -> None:
    log = bowl("cooked 10:00 165 F", marked="2026-10-12 08:00")
    assert told(log, "US-DATE7", "12:00").status is Status.CANNOT_BE_USED


@pytest.mark.parametrize("freezing", ["frozen 2026-10-07 22:00", "frozen 2026-10-07 22:00 50 F"])
def test_days__freezing_that_was_not_measured_cold_pauses_nothing(freezing: str) -> None:
    log = bowl("cooked 10:00", freezing, "thawed 2026-10-20 08:00", marked="2026-10-11 20:00")
    assert told(log, "US-DATE7", "2026-10-20 09:00").status is Status.DISCARD


def test_days__frozen_after_the_last_day_revives_nothing() -> None:
    log = bowl("cooked 10:00", "frozen 2026-10-12 08:00 0 F")
    assert ends(log, "US-DATE7") == ""
    marked = bowl("cooked 10:00", "frozen 2026-10-12 08:00 0 F", marked="2026-10-12 00:00")
    late = told(marked, "US-DATE7", "2026-10-13 08:00")
    assert late.status is Status.DISCARD
    assert "moves on" not in late.reason


@pytest.mark.source("va-12vac5-421-830", "C")
def test_days__earliest_ingredient_governs() -> None:
    """Stock of 2 October in a soup of 5 October: 2 + 6 = 8 October is the last day."""
    stock = bowl("cooked 2026-10-02 10:00 165 F", name="stock", marked="2026-10-09 00:00")

    def of_soup(marked: str) -> Verdict:
        soup = bowl("cooked 10:00 165 F", name="soup", holds=("stock", "leek"), marked=marked)
        verdicts, _ = judged([stock, soup], "US-DATE7", zone=CHICAGO, at="11:00")
        return next(v for v in verdicts if v.container == "soup" and v.rule == "US-DATE7")

    assert clock_shows(of_soup("2026-10-09 00:00").discard_at) == "2026-10-09 00:00 CDT"
    assert of_soup("2026-10-11 20:00").status is Status.CANNOT_BE_USED


@pytest.mark.source("ssi-2006-3", "Schedule 4 paras 2 and 3")
def test_case_42_scotland() -> None:
    """Above 63 °C, and reheated to 82 °C."""
    rule = load_rules()["SCO-HOLD"]
    soup = bowl("reading 12:00 63.0 C", "reheated 12:30 80 C")
    verdicts, _ = judged([soup], "SCO-HOLD", zone="Europe/London")
    assert {v.rule: v.status for v in verdicts} == {
        "US-HOME-2H": Status.WITHIN,
        "SCO-HOLD": Status.NOT_COVERED,
    }
    of_scotland = next(v for v in verdicts if v.rule == "SCO-HOLD")
    assert of_scotland.reason == (
        "SCO-HOLD states no time. Reheated to 80 °C at 2026-10-05 12:30 BST, where SCO-HOLD asks "
        "for at least 82 °C. SCO-HOLD binds only businesses."
    )
    zone = rule.zone
    assert zone is not None
    hot = [read.events[0].temperature for read in (soup, bowl("reading 12:00 63.1 C"))]
    assert [read is not None and zone.hot(read) for read in hot] == [False, True]


@pytest.mark.source("act-food-manual", "cooling")
def test_case_48_australian_stages_are_strict() -> None:
    """13:40 + 4 h = 17:40. By the Food Code the same curve passes: 13:00 + 6 h = 19:00."""
    log = bowl("cooked 13:00 60 C", "reading 13:40 21 C", "reading 18:55 5 C")
    assert told(log, "AU-COOL").status is Status.DISCARD
    assert ends(log, "AU-COOL") == "2026-10-05 17:40"
    assert told(log, "US-COOL").status is Status.WITHIN


@pytest.mark.source("sg-s674-2011", "regulation 13A(1)")
@pytest.mark.parametrize(
    ("read", "runs"), [("60.0 C", True), ("60.1 C", False), ("5.0 C", True), ("4.9 C", False)]
)
def test_case_50_edges_of_singapore_are_inside(read: str, runs: bool) -> None:
    """10:00 + 4 h = 14:00."""
    assert ends(bowl(f"reading 10:00 {read}"), "SG-4H") == ("2026-10-05 14:00" if runs else "")


@pytest.mark.source("sg-s674-2011", "regulation 13A(1)")
def test_case_50_a_return_does_not_stop_it() -> None:
    """The earlier of time added up and four hours from preparation: 10:00 + 4 h = 14:00."""
    log = bowl("cooked 10:00 70 C", "back 11:00 4 C", "out 15:00 4 C")
    assert told(log, "SG-4H").status is Status.DISCARD
    assert ends(log, "SG-4H") == "2026-10-05 14:00"


@pytest.mark.source("hk-cfs-2023", "two hours, four hours")
@pytest.mark.parametrize(
    ("at", "status"),
    [("13:59", Status.WITHIN), ("14:30", Status.DO_NOT_RETURN), ("16:01", Status.DISCARD)],
)
def test_case_51_two_hours_and_four(at: str, status: Status) -> None:
    """12:00 + 2 h = 14:00, + 4 h = 16:00."""
    log = bowl("out 12:00 4 C")
    assert told(log, "HK-2H4H", at).status is status
    assert ends(log, "HK-2H4H", at) == "2026-10-05 16:00"
    assert told(log, "HK-2H4H", at).verified == "seen in the source text"


@pytest.mark.source("hc-leftovers", "room temperature")
def test_case_52_canada_at_two_hours() -> None:
    """18:00 + 2 h = 20:00."""
    log = bowl("out 18:00 4 C")
    assert told(log, "CA-2H", "20:00").status is Status.DISCARD
    assert ends(log, "CA-2H") == "2026-10-05 20:00"


@pytest.mark.source("fr-arrete-2009-12-21", "Annex IV")
def test_case_54_condition_broken_by_a_reading() -> None:
    log = bowl("out 12:00 3 C", "reading 13:20 11 C")
    assert told(log, "FR-COLD2", "13:19").status is Status.WITHIN
    assert ends(log, "FR-COLD2") == "2026-10-05 13:20"
    assert told(log, "FR-COLD2").status is Status.DISCARD


@pytest.mark.source("fr-arrete-2009-12-21", "Annex IV")
def test_case_55_reheated_in_more_than_an_hour() -> None:
    """11:00 + 1 h = 12:00."""
    log = bowl("out 11:00 10 C", "reheated 12:10 63 C")
    assert told(log, "FR-REHEAT").status is Status.DISCARD
    assert ends(log, "FR-REHEAT") == "2026-10-05 12:00"


@pytest.mark.source("nl-exemption-2005", "report")
def test_case_56_one_period_only() -> None:
    log = bowl("out 12:00 5 C", "back 12:30 5 C", "out 15:00 5 C")
    assert "it may not be put out again" in told(log, "NL-2H", "14:00").reason
    assert told(log, "NL-2H", "15:00").status is Status.DISCARD


@pytest.mark.parametrize(
    ("rule", "events", "until"),
    [
        ("US-COOL-AMB", ("prep 10:00 68 F",), "14:00"),  # + 4 h
        ("US-COOL-AMB", ("reading 10:00 50 F",), "14:00"),
        ("CA-NB", ("cooked 10:00 70 C", "reading 11:00 60 C"), "13:00"),  # last at 60 °C, + 2 h
        ("CA-NB", ("cooked 10:00 60 C", "reading 11:00 20 C"), "16:00"),  # 6 h in all
        ("FR-COOL", ("cooked 10:00 63 C",), "12:00"),
        ("IE-CC", ("cooked 10:00 75 C",), "12:30"),  # 150 min
        ("CODEX-39", ("cooked 10:00 60 C",), "12:00"),
    ],
)
def test_pass__next_stage_ends(rule: str, events: tuple[str, ...], until: str) -> None:
    """From the last reading where the pass begins, or else from the event that starts it."""
    assert ends(bowl(*events), rule) == f"2026-10-05 {until}"


@pytest.mark.source("cxc-39-1993", "section 7")
def test_pass__less_than_two_hours_leaves_the_last_instant_out() -> None:
    log = bowl("cooked 10:00 60 C", "reading 12:00 10 C")
    assert told(log, "CODEX-39").status is Status.DISCARD
    assert told(log, "FR-COOL").status is Status.WITHIN


def test_pass__heating_again_half_way_does_not_start_it_anew() -> None:
    """13:00 + 2 h = 15:00 stands, though it was heated at 14:00."""
    log = bowl("cooked 13:00 135 F", "reading 13:50 100 F", "reheated 14:00 165 F")
    assert ends(log, "US-COOL") == "2026-10-05 15:00"


def test_pass__once_missed_it_stays_so() -> None:
    log = bowl("cooked 10:00 135 F", "reading 16:30 41 F", "reheated 17:00 165 F")
    assert told(log, "US-COOL").status is Status.DISCARD
    assert ends(log, "US-COOL") == "2026-10-05 12:00"


def test_pass__completed_another_may_follow() -> None:
    """Heated at 18:00: 18:00 + 2 h = 20:00."""
    log = bowl("cooked 10:00 135 F", "reading 11:00 40 F", "reheated 18:00 165 F")
    assert ends(log, "US-COOL") == "2026-10-05 20:00"


def test_pass__reading_out_of_order_reaches_no_stage() -> None:
    log = bowl("cooked 13:00 135 F", "reading 14:30 90 F", "reading 14:00 70 F")
    assert told(log, "US-COOL", "15:00").status is Status.DISCARD


def test_pass__reading_of_what_is_left_in_the_pot_does_not_count_for_the_tray() -> None:
    """The tray took its food at 13:10; the pot is read cold at 14:00."""
    pot = bowl("cooked 13:00 135 F", "reading 14:00 60 F", name="pot")
    tray = bowl("reading 13:10 130 F", name="tray", holds=("pot",))
    verdicts, _ = judged([pot, tray], "US-COOL", zone=CHICAGO, at="15:00")
    status = {v.container: v.status for v in verdicts if v.rule == "US-COOL"}
    assert status == {"pot": Status.WITHIN, "tray": Status.DISCARD}


def test_pass__cold_food_is_not_about_cooling_and_has_the_general_rule() -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], "US-COOL", zone=CHICAGO)
    assert [(v.rule, v.status) for v in verdicts] == [
        ("US-HOME-2H", Status.WITHIN),
        ("US-COOL", Status.NOT_COVERED),
    ]
    assert verdicts[1].reason.startswith("US-COOL is about cooling, and none is logged.")


def test_pass__alone_it_never_stands_for_time_out() -> None:
    """Cooled in time, then out at 20:00: 20:00 + 2 h = 22:00 by the general rule, added."""
    log = bowl("cooked 13:00 135 F", "reading 13:30 41 F", "out 20:00 40 F", "reading 22:30 70 F")
    verdicts, _ = judged([log], "US-COOL", zone=CHICAGO)
    assert verdicts[0].rule == "US-HOME-2H"
    assert verdicts[0].status is Status.DISCARD


@pytest.mark.parametrize("name", ["US-HOLD", "SCO-HOLD", "EU-GEN"])
def test_rule_that_states_no_time_has_the_general_rule_added(name: str) -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], name)
    assert {v.rule: v.status for v in verdicts} == {
        "US-HOME-2H": Status.WITHIN,
        name: Status.NOT_COVERED,
    }
    assert f"{name} states no time." in next(v for v in verdicts if v.rule == name).reason


@pytest.mark.parametrize(
    ("events", "until"),
    [
        (("out 09:00", "cut 11:00"), "13:00"),  # 11:00 + 2 h
        (("cut 11:00", "out 12:00"), "13:00"),
        (("out 09:00", "reheated 11:00"), "11:00"),  # cooked before the log: 09:00 + 2 h
        (("out 11:00", "cut 09:00"), "11:00"),  # out of order: sorted, 09:00 + 2 h
    ],
)
def test_starts_by__clock_starts_at_the_first_of_its_events(
    events: tuple[str, ...], until: str
) -> None:
    log = bowl(*events).model_copy(update={"starts_by": (EventKind.CUT, EventKind.COOKED)})
    assert ends(log, "US-HOME-2H") == f"2026-10-05 {until}"


@pytest.mark.source("wi-atcp75-3-501-19", "(C)")
@pytest.mark.parametrize(
    ("room", "events", "status"),
    [
        ("26 C", ("out 08:00 40 F",), Status.CANNOT_BE_USED),
        ("26 C", ("out 08:00 40 F", "reading 09:00 60 F"), Status.WITHIN),
        ("21 C", ("out 08:00 40 F",), Status.WITHIN),
        ("70 F", ("out 08:00 40 F",), Status.WITHIN),
        ("70.1 F", ("out 08:00 40 F",), Status.CANNOT_BE_USED),
        (None, ("out 08:00 40 F",), Status.WITHIN),
        (None, ("out 08:00 40 F", "room 08:30 26 C"), Status.CANNOT_BE_USED),
        ("26 C", ("room 07:30 20 C", "out 08:00 40 F"), Status.WITHIN),
        ("26 C", ("reading 07:30 38 F", "out 08:00 40 F"), Status.CANNOT_BE_USED),
    ],
)
def test_six_hours__in_a_room_above_70_f_the_food_is_measured(
    room: str | None, events: tuple[str, ...], status: Status
) -> None:
    """The warmest part is monitored, unless the air keeps it from passing 70 °F (21 °C)."""
    log = bowl(*events, marked="14:00")
    assert verdict(log, "US-TPHC-6", at="09:30", room=room).status is status
