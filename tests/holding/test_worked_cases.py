"""Cases worked from the published rules, numbered as in the list they were worked from.

Local times, Monday 2026-10-05 unless a date is written. At its limit food is past it.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import bowl, clock_shows, judged, verdict

from costing.holding.figures import Bound
from costing.holding.rules import load_rules
from costing.holding.statuses import Status

CHICAGO = "America/Chicago"
LONDON = "Europe/London"
MONDAY_AT = "2026-10-05 {} CDT"


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_01_tphc_removal_and_four_hours() -> None:
    """10:00 + 4 h = 14:00."""
    salad = bowl("room 09:55 72 F", "out 10:00 40 F", marked="14:00")
    told = verdict(salad, "US-TPHC-4", at="11:00", zone=CHICAGO)
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == MONDAY_AT.format("14:00")
    assert told.return_before is None
    assert told.out_for == timedelta(hours=1)


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_02_tphc_exactly_at_four_hours() -> None:
    """Served within 4 hours: at 14:00 what is left goes; a minute before it does not."""
    salad = bowl("out 10:00 40 F", marked="14:00")
    assert verdict(salad, "US-TPHC-4", at="13:59", zone=CHICAGO).status is Status.WITHIN
    told = verdict(salad, "US-TPHC-4", at="14:00", zone=CHICAGO)
    assert told.status is Status.DISCARD
    assert told.alarm


@pytest.mark.source("va-2vac5-585-850", "B 1")
def test_case_04_tphc_removed_at_45_f() -> None:
    """45 °F is above 41 °F."""
    told = verdict(bowl("out 10:00 45 F", marked="14:00"), "US-TPHC-4", at="10:30", zone=CHICAGO)
    assert told.status is Status.CANNOT_BE_USED
    assert told.discard_at is None
    assert told.alarm


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_05_tphc_hot_again_does_not_pause() -> None:
    """18:00 + 4 h = 22:00, though it was back on the steam table at 20:00."""
    soup = bowl("out 18:00 140 F", "back 20:00 150 F", marked="22:00")
    told = verdict(soup, "US-TPHC-4", at="21:00", zone=CHICAGO)
    assert told.status is Status.WITHIN
    assert told.out_for == timedelta(hours=3)
    assert clock_shows(told.discard_at) == MONDAY_AT.format("22:00")
    assert verdict(soup, "US-TPHC-4", at="22:00", zone=CHICAGO).status is Status.DISCARD


@pytest.mark.source("va-2vac5-585-850", "B 1")
@pytest.mark.parametrize(
    ("read", "status"),
    [
        ("132 F", Status.CANNOT_BE_USED),
        ("57 C", Status.CANNOT_BE_USED),  # 134.6 °F
        ("135 F", Status.WITHIN),
        ("58 C", Status.WITHIN),  # 136.4 °F
    ],
)
def test_case_06_tphc_hot_food_needs_135_f(read: str, status: Status) -> None:
    gravy = bowl(f"out 18:00 {read}", marked="22:00")
    assert verdict(gravy, "US-TPHC-4", at="18:30", zone=CHICAGO).status is status


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_07_tphc_unmarked() -> None:
    """An unmarked container is discarded: the rule cannot be used, treat as past its limit."""
    told = verdict(bowl("out 10:00 40 F"), "US-TPHC-4", at="11:00", zone=CHICAGO)
    assert told.status is Status.CANNOT_BE_USED
    assert told.reason.endswith("no discard time is marked on it; treat as past its limit")


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
@pytest.mark.parametrize(
    ("mark", "status"), [("14:00", Status.WITHIN), ("14:30", Status.CANNOT_BE_USED)]
)
def test_case_08_tphc_marked_beyond_four_hours(mark: str, status: Status) -> None:
    """10:00 + 4 h = 14:00, so a mark of 14:30 is beyond it."""
    told = verdict(bowl("out 10:00 40 F", marked=mark), "US-TPHC-4", at="10:30", zone=CHICAGO)
    assert told.status is status


@pytest.mark.source("mn-4626-0408", "start temperatures")
def test_case_09_tphc_41_f_exactly() -> None:
    """41 °F or less in the model code; less than 41 °F in Minnesota, another edge in the data."""
    salad = bowl("out 10:00 41 F", marked="14:00")
    table = load_rules()
    cold, hot = table["US-TPHC-4"].starts
    strict = table["US-TPHC-4"].model_copy(
        update={
            "starts": (
                cold.model_copy(update={"bound": Bound.BELOW}),
                hot.model_copy(update={"bound": Bound.ABOVE}),
            )
        }
    )
    model_code = verdict(salad, "US-TPHC-4", at="11:00", zone=CHICAGO)
    assert model_code.status is Status.WITHIN
    assert clock_shows(model_code.discard_at) == MONDAY_AT.format("14:00")
    minnesota = verdict(
        salad, "US-TPHC-4", at="11:00", zone=CHICAGO, table={**table, "US-TPHC-4": strict}
    )
    assert minnesota.status is Status.CANNOT_BE_USED


@pytest.mark.source("usda-two-hour-2016", "two-hour rule")
def test_case_26_home_exactly_two_hours() -> None:
    """12:00 + 2 h = 14:00."""
    platter = bowl("out 12:00", "reading 14:00")
    told = verdict(platter, "US-HOME-2H", zone=CHICAGO, room="78 F")
    assert told.status is Status.DISCARD
    assert clock_shows(told.discard_at) == MONDAY_AT.format("14:00")


@pytest.mark.source("usda-two-hour-2016", "one-hour rule")
@pytest.mark.parametrize(
    ("room", "until"),
    [
        ("89 F", "14:00"),
        ("90 F", "13:00"),
        ("31.9 C", "14:00"),
        ("32.0 C", "13:00"),  # 89.6 °F, but the figure printed beside 90 °F
        (None, "13:00"),
    ],
)
def test_case_29_home_room_exactly_90_f(room: str | None, until: str) -> None:
    """At 90 °F the limit is 1 h: 12:00 + 1 h = 13:00. A room nobody measured counts as hot."""
    told = verdict(bowl("out 12:00 40 F"), "US-HOME-2H", zone=CHICAGO, room=room)
    assert clock_shows(told.discard_at) == MONDAY_AT.format(until)


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_30_past_midnight() -> None:
    """22:15 + 4 h = 02:15 of the next day."""
    tray = bowl("out 22:15 40 F", marked="2026-10-06 02:15")
    told = verdict(tray, "US-TPHC-4", zone=CHICAGO)
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2026-10-06 02:15 CDT"


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_31_clocks_go_forward() -> None:
    """00:30 CST is 06:30 UTC; + 4 h = 10:30 UTC, which is 05:30 CDT."""
    tray = bowl("out 2027-03-14 00:30 40 F", marked="2027-03-14 05:30")
    told = verdict(tray, "US-TPHC-4", zone=CHICAGO)
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2027-03-14 05:30 CDT"


@pytest.mark.source("wi-atcp75-3-501-19", "(B)")
def test_case_33_hour_that_comes_twice() -> None:
    """The earlier 01:30 is CDT, 06:30 UTC; + 4 h = 10:30 UTC, which is 04:30 CST."""
    tray = bowl("out 2027-11-07 01:30 40 F", marked="2027-11-07 04:30")
    told = verdict(tray, "US-TPHC-4", zone=CHICAGO)
    assert clock_shows(told.discard_at) == "2027-11-07 04:30 CST"
    assert told.status is Status.WITHIN


@pytest.mark.source("nisr-2006-3", "Schedule 4 para 5(1)")
def test_case_35_clocks_go_back() -> None:
    """23:00 BST is 22:00 UTC; + 4 h = 02:00 UTC, which is 02:00 GMT."""
    display = bowl("out 2027-10-30 23:00 5 C")
    told = verdict(display, "UK-CHILL4", zone=LONDON)
    assert clock_shows(told.discard_at) == "2027-10-31 02:00 GMT"
    at_two = verdict(display, "UK-CHILL4", zone=LONDON, at="2027-10-31 02:00")
    assert at_two.status is Status.DISCARD


@pytest.mark.source("nisr-2006-3", "Schedule 4 para 5(1)")
def test_case_37_exactly_four_hours_on_display() -> None:
    """Less than four hours: 10:00 to 14:00 is outside."""
    display = bowl("out 10:00 5 C")
    assert verdict(display, "UK-CHILL4", at="13:59", zone=LONDON).status is Status.WITHIN
    assert verdict(display, "UK-CHILL4", at="14:00", zone=LONDON).status is Status.DISCARD


@pytest.mark.source("uksi-2013-2996", "Schedule 4 para 2(1)")
@pytest.mark.parametrize(
    "events",
    [
        ("reading 09:00 8.0 C", "reading 13:00 8.0 C", "reading 18:00 8.0 C"),
        ("out 09:00 8.0 C", "reading 12:00 8 C", "reading 15:00 8.0 C", "reading 18:00 8.0 C"),
    ],
    ids=["in the cabinet", "on display, measured"],
)
def test_case_38_at_8_c_all_day(events: tuple[str, ...]) -> None:
    """The offence is above 8 °C."""
    told = verdict(bowl(*events), "UK-CHILL4", zone=LONDON)
    assert told.status is Status.WITHIN
    assert told.out_for == timedelta(0)


@pytest.mark.source("wsi-2006-31", "Schedule 4 para 7(2)")
def test_case_39_hot_food_two_hours() -> None:
    """12:00 + 2 h = 14:00."""
    curry = bowl("out 12:00 63 C")
    told = verdict(curry, "UK-HOT2", at="13:59", zone=LONDON)
    assert told.status is Status.WITHIN
    assert clock_shows(told.discard_at) == "2026-10-05 14:00 BST"
    assert verdict(curry, "UK-HOT2", at="14:00", zone=LONDON).status is Status.DISCARD


@pytest.mark.source("nisr-2006-3", "Schedule 4 para 5")
def test_case_41_preparation_is_counted_too() -> None:
    """09:00 to 10:30 is 1 h 30 min, which leaves 2 h 30 min from 11:00: 13:30."""
    salad = bowl("prep 09:00 20 C", "back 10:30 5 C", "out 11:00 5 C")
    told = verdict(salad, "UK-CHILL4", at="12:00", zone=LONDON)
    assert told.status is Status.WITHIN
    assert told.out_for == timedelta(hours=2, minutes=30)
    assert clock_shows(told.discard_at) == "2026-10-05 13:30 BST"
    assert "Preparation is counted as time out." in told.reason


@pytest.mark.source("fsanz-2h4h-2023", "times of the rule")
def test_case_45_exactly_two_hours() -> None:
    """A return needs less than 2 hours: at 12:00 there is none, and 10:00 + 4 h = 14:00."""
    platter = bowl("out 10:00 5 C")
    before = verdict(platter, "AU-2H4H", at="11:59", zone="Australia/Sydney")
    assert before.status is Status.WITHIN
    assert clock_shows(before.return_before) == "2026-10-05 12:00 AEDT"
    told = verdict(platter, "AU-2H4H", at="12:00", zone="Australia/Sydney")
    assert told.status is Status.DO_NOT_RETURN
    assert clock_shows(told.discard_at) == "2026-10-05 14:00 AEDT"
    assert told.return_before is None
    assert not told.alarm


@pytest.mark.source("nsw-2h4h", "times of the rule")
def test_case_46_exactly_four_hours() -> None:
    """4 hours or longer: at 14:00 it goes."""
    told = verdict(bowl("out 10:00 5 C"), "AU-2H4H", at="14:00", zone="Australia/Sydney")
    assert told.status is Status.DISCARD


@pytest.mark.source("usda-two-hour-2016", "two-hour rule")
def test_case_58_new_batch_in_the_old_tray() -> None:
    """The tray has been out since 11:00, the new batch since 13:00: 11:00 + 2 h = 13:00."""
    batch = bowl("out 13:00 40 F", name="new batch")
    tray = bowl("out 11:00 40 F", "reading 13:05", name="old tray", holds=("new batch", "ham"))
    verdicts, _ = judged([batch, tray], "US-HOME-2H", at="13:05", zone=CHICAGO)
    new, old = verdicts
    assert (new.status, old.status) == (Status.WITHIN, Status.DISCARD)
    assert clock_shows(old.discard_at) == MONDAY_AT.format("13:00")
