"""Every form of reason, whole."""

from __future__ import annotations

import pytest
from bowls import bowl, judged, verdict

FIVE_C = "measured at or below 5 °C, or at or above 60 °C"
HOME = "measured at or below 40 °F (4 °C), or at or above 140 °F (60 °C)"
END = "Discard: not to be served, not to go back."

REASONS = {
    "never out": (
        ("reading 10:00 4 C",),
        "US-HOME-2H",
        "11:00",
        "Within the 2 h limit of US-HOME-2H, as logged: it has not left temperature control, so no "
        "clock is running. Other hazards are not checked.",
    ),
    "out, and nothing starts this clock": (
        ("out 10:00 4 C",),
        "ES-FRUIT3",
        "11:00",
        "Within the 3 h limit of ES-FRUIT3, as logged: nothing that starts its clock (cut) is "
        "logged, so none is running; the time out, and whether it may go back, is for another rule "
        "to judge. Other hazards are not checked. Only while the food is not above 25 °C: measure "
        "its warmest part. ES-FRUIT3 binds only businesses.",
    ),
    "out, may go back": (
        ("out 10:00 4 C",),
        "US-HOME-2H",
        "10:55",
        "Within the 2 h limit of US-HOME-2H, as logged: out for 55 min. Other hazards are not "
        f"checked. It may go back before 2026-10-05 12:00 WEST, {HOME}; from then on discard "
        "it.",
    ),
    "out, may go back before the limit to discard": (
        ("out 10:00 4 C",),
        "AU-2H4H",
        "11:00",
        "Within the 4 h limit of AU-2H4H, as logged: out for 1 h. Other hazards are not checked. "
        f"It may go back before 2026-10-05 12:00 WEST, {FIVE_C}; discard at 2026-10-05 14:00 "
        "WEST. AU-2H4H binds only businesses.",
    ),
    "out, may go back once": (
        ("prep 10:00 4 C",),
        "UK-CHILL4",
        "11:00",
        "Within the 4 h limit of UK-CHILL4, as logged: out for 1 h. Other hazards are not checked. "
        "It may go back before 2026-10-05 14:00 WEST, measured at or below 8 °C, or at or above "
        "63 °C, once only; from then on discard it. Preparation is counted as time out. "
        "UK-CHILL4 binds only businesses.",
    ),
    "out, may not go back": (
        ("out 10:00 4 C", "back 10:20 4 C", "out 10:40", "back 10:50"),
        "US-TPHC-4",
        "11:00",
        "Within the 4 h limit of US-TPHC-4, as logged: out for 1 h. Other hazards are not checked. "
        "It may not go back to be kept; discard at 2026-10-05 14:00 WEST. Going back at 2026-10-05 "
        "10:20 WEST did not stop this clock. (1 more like this.) US-TPHC-4 binds only businesses.",
    ),
    "back, one limit": (
        ("out 10:00 4 C", "back 10:30 4 C"),
        "US-HOME-2H",
        "11:00",
        "Within the 2 h limit of US-HOME-2H, as logged: out for 30 min. Other hazards are not "
        "checked. It went back; 1 h 30 min are left of the limit.",
    ),
    "back, two limits": (
        ("out 10:00 4 C", "back 10:30 4 C"),
        "AU-2H4H",
        "11:00",
        "Within the 4 h limit of AU-2H4H, as logged: out for 30 min. Other hazards are not "
        "checked. It went back; 1 h 30 min are left in which it may go back again, 3 h 30 min "
        "until it must be discarded. AU-2H4H binds only businesses.",
    ),
    "back, one period": (
        ("out 10:00 4 C", "back 10:30 4 C"),
        "UK-CHILL4",
        "11:00",
        "Within the 4 h limit of UK-CHILL4, as logged: out for 30 min. Other hazards are not "
        "checked. It went back, and its one period is over: it may not be put out again. "
        "UK-CHILL4 binds only businesses.",
    ),
    "back, not measured": (
        ("out 10:00 4 C", "back 10:30"),
        "US-HOME-2H",
        "11:00",
        "Within the 2 h limit of US-HOME-2H, as logged: out for 1 h. Other hazards are not "
        f"checked. It may go back before 2026-10-05 12:00 WEST, {HOME}; from then on discard "
        "it. It went back at 2026-10-05 10:30 WEST without a reading, which did not stop "
        "the clock.",
    ),
    "back, outside control": (
        ("out 10:00 4 C", "back 10:30 5 C"),
        "US-HOME-2H",
        "11:00",
        "Within the 2 h limit of US-HOME-2H, as logged: out for 1 h. Other hazards are not "
        f"checked. It may go back before 2026-10-05 12:00 WEST, {HOME}; from then on discard "
        "it. It went back at 2026-10-05 10:30 WEST at 5 °C, where control is at or below "
        "40 °F (4 °C), or at or above 140 °F (60 °C); the clock was not stopped.",
    ),
    "do not return": (
        ("out 10:00 4 C", "back 12:15 4 C"),
        "AU-2H4H",
        "12:30",
        "Past the 2 h in which AU-2H4H allows a return since 2026-10-05 12:00 WEST, as logged: out "
        "for 2 h 30 min. It may not go back: it must be gone by 2026-10-05 14:00 WEST. "
        "Other hazards are not checked. It went back at 2026-10-05 12:15 WEST after 2 h 15 min, "
        "which AU-2H4H does not allow; the clock was not stopped. AU-2H4H binds only businesses.",
    ),
    "discard, at the limit": (
        ("out 10:00 4 C",),
        "US-HOME-2H",
        "12:00",
        "Past the 2 h limit of US-HOME-2H since 2026-10-05 12:00 WEST, as logged: out for 2 h. "
        f"{END}",
    ),
    "discard, after the limit": (
        ("out 10:00 4 C",),
        "US-HOME-2H",
        "12:45",
        "Past the 2 h limit of US-HOME-2H since 2026-10-05 12:00 WEST, as logged: out for 2 h "
        f"45 min, 45 min over. {END}",
    ),
    "discard, back after the limit": (
        ("out 10:00 4 C", "back 12:45 4 C"),
        "US-HOME-2H",
        "13:45",
        "Past the 2 h limit of US-HOME-2H since 2026-10-05 12:00 WEST, as logged: out for 2 h "
        f"45 min, 45 min over. {END}",
    ),
    "discard, second period": (
        ("out 10:00 4 C", "back 10:30 4 C", "out 11:00 4 C"),
        "UK-CHILL4",
        "11:10",
        "Put out again at 2026-10-05 11:00 WEST, and UK-CHILL4 allows one period only, as logged: "
        f"out for 40 min, 10 min over. {END} UK-CHILL4 binds only businesses.",
    ),
    "read outside control": (
        ("reading 09:30 4 C", "reading 10:00 9 C"),
        "AU-2H4H",
        "10:30",
        "Within the 4 h limit of AU-2H4H, as logged: out for 1 h. Other hazards are not checked. "
        f"It may go back before 2026-10-05 11:30 WEST, {FIVE_C}; discard at 2026-10-05 13:30 "
        "WEST. Measured at 9 °C at 2026-10-05 10:00 WEST, it counts as out since 2026-10-05 09:30 "
        "WEST. AU-2H4H binds only businesses.",
    ),
    "through the zone": (
        ("reading 08:30 65 C", "out 10:31 4 C"),
        "AU-2H4H",
        "10:31",
        "Past the 2 h in which AU-2H4H allows a return since 2026-10-05 10:30 WEST, as logged: out "
        "for 2 h 1 min. It may not go back: it must be gone by 2026-10-05 12:30 WEST. Other "
        "hazards are not checked. At 4 °C by 2026-10-05 10:31 WEST it had passed through the zone "
        "between hot and cold control, so it counts as out since 2026-10-05 08:30 WEST. AU-2H4H "
        "binds only businesses.",
    ),
    "out of order": (
        ("reading 10:00 4 C", "out 09:50", "reading 10:30 4 C"),
        "AU-2H4H",
        "11:00",
        "Within the 4 h limit of AU-2H4H, as logged: out for 1 h. Other hazards are not checked. "
        f"It may go back before 2026-10-05 12:00 WEST, {FIVE_C}; discard at 2026-10-05 14:00 "
        "WEST. The times of its log are out of order at 2026-10-05 09:50 WEST, so it counts as "
        "out since 2026-10-05 10:00 WEST. AU-2H4H binds only businesses.",
    ),
    "logged by the second": (
        ("out 10:00:49 4 C",),
        "AU-2H4H",
        "11:00:50",
        "Within the 4 h limit of AU-2H4H, as logged: out for 1 h 1 min. Other hazards are not "
        f"checked. It may go back before 2026-10-05 12:00 WEST, {FIVE_C}; discard at 2026-10-05 "
        "14:00 WEST. AU-2H4H binds only businesses.",
    ),
    "about other food": (
        ("out 10:00 4 C",),
        "UK-HOT2",
        "11:00",
        "UK-HOT2 is about hot food, and this left control as chilled food. UK-HOT2 binds only "
        "businesses.",
    ),
}


@pytest.mark.parametrize(("events", "rule", "at", "reason"), REASONS.values(), ids=list(REASONS))
def test_reason__whole(events: tuple[str, ...], rule: str, at: str, reason: str) -> None:
    log = bowl(*events, marked="14:00" if rule.startswith("US-TPHC") else None)
    assert verdict(log, rule, at=at).reason == reason


@pytest.mark.parametrize(
    ("room", "sentence"),
    [
        (None, "The room temperature is not known, so the hot-room limit is used."),
        ("33 C", "The room was at 33 °C, so the hot-room limit is used for the whole time."),
    ],
    ids=["not known", "hot"],
)
def test_reason__hot_room(room: str | None, sentence: str) -> None:
    told = verdict(bowl("out 10:00 4 C"), "US-HOME-2H", at="10:30", room=room)
    assert told.reason == (
        "Within the 1 h limit of US-HOME-2H, as logged: out for 30 min. Other hazards are not "
        f"checked. It may go back before 2026-10-05 11:00 WEST, {HOME}; from then on discard "
        f"it. {sentence}"
    )


CANNOT = {
    "no procedures": (
        ("out 10:00 4 C",),
        "14:00",
        False,
        "it needs written procedures for time as a control, and Settings does not say that they "
        "are kept",
    ),
    "warm start": (
        ("out 10:00 45 F",),
        "14:00",
        True,
        "it left control by out at 45 °F; needed is at most 41 °F (5 °C) or at least 135 °F",
    ),
    "no start temperature": (
        ("out 10:00",),
        "14:00",
        True,
        "no temperature was read when it left control at 2026-10-05 10:00 WEST; needed is at most "
        "41 °F (5 °C) or at least 135 °F",
    ),
    "not taken out": (
        ("reading 10:00 20 C",),
        "14:00",
        True,
        "it was measured at 20 °C at 2026-10-05 10:00 WEST without having been taken out",
    ),
    "marked too late": (
        ("out 10:00 4 C",),
        "14:01",
        True,
        "it is marked until 2026-10-05 14:01 WEST, later than 2026-10-05 14:00 WEST",
    ),
    "several": (
        ("out 10:00 4 C",),
        None,
        False,
        "it needs written procedures for time as a control, and Settings does not say that they "
        "are kept; no discard time is marked on it",
    ),
}


@pytest.mark.parametrize(
    ("events", "marked", "procedures", "why"), CANNOT.values(), ids=list(CANNOT)
)
def test_reason__cannot_be_used(
    events: tuple[str, ...], marked: str | None, procedures: bool, why: str
) -> None:
    told = verdict(bowl(*events, marked=marked), "US-TPHC-4", procedures=procedures, at="10:30")
    said = told.reason.removeprefix(
        "Measured at 20 °C at 2026-10-05 10:00 WEST, it counts as out since 2026-10-05 10:00 WEST. "
    )
    assert said == (
        f"US-TPHC-4 binds only businesses. US-TPHC-4 cannot be used: {why}; treat as past its limit"
    )


def test_reason__cannot_be_used_out_of_order() -> None:
    log = bowl("reading 10:00 4 C", "out 09:50 4 C", marked="14:00")
    assert verdict(log, "US-TPHC-4", at="10:30").reason == (
        "The times of its log are out of order at 2026-10-05 09:50 WEST, so it counts as out since "
        "2026-10-05 10:00 WEST. US-TPHC-4 binds only businesses. US-TPHC-4 cannot be used: it is "
        "not certain when it left temperature control; treat as past its limit"
    )


def test_reason__a_mark_that_the_rule_does_not_ask_for_is_kept_to() -> None:
    """Two hours from 10:00 end at 12:00, and 11:30 is marked; 13:00 would mislead, 12:00 is it."""
    told = verdict(bowl("out 10:00 4 C", marked="11:30"), "HOME-2H-5C", at="11:00").reason
    assert told.endswith(
        "It is marked to be discarded at 2026-10-05 11:30 WEST, which HOME-2H-5C does not ask for; "
        "keep to the mark."
    )
    later = verdict(bowl("out 10:00 4 C", marked="13:00"), "HOME-2H-5C", at="11:00").reason
    assert later.endswith(
        "It is marked until 2026-10-05 13:00 WEST, later than HOME-2H-5C allows; do not go by the "
        "mark."
    )
    same = verdict(bowl("out 10:00 4 C", marked="12:00"), "HOME-2H-5C", at="11:00").reason
    assert "the mark" not in same


def test_reason__a_mark_is_said_after_the_return_limit_too() -> None:
    """At 13:00 it may still be used until 14:00: 13:30 is sooner, 15:00 would mislead."""
    told = {
        mark: verdict(bowl("out 10:00 4 C", marked=mark), "AU-2H4H", at="13:00").reason
        for mark in ("12:30", "13:30", "14:00", "15:00")
    }
    assert "keep to the mark." in told["12:30"]
    assert "keep to the mark." in told["13:30"]
    assert "the mark" not in told["14:00"]
    assert "later than AU-2H4H allows; do not go by the mark." in told["15:00"]


@pytest.mark.parametrize("rule", ["US-COOL", "AU-COOL"])
def test_reason__a_deadline_to_be_cold_is_no_end_of_a_mark(rule: str) -> None:
    """How long it keeps once it is cold is marked by another rule, US-DATE7."""
    log = bowl("cooked 10:00 70 C", marked="2026-10-11 23:59")
    assert "mark" not in verdict(log, rule, at="10:30").reason


def test_reason__a_ceiling_is_said_while_it_is_within() -> None:
    """Six hours from 08:00, in a room that nobody measured: the food itself is to be."""
    log = bowl("out 08:00 40 F", marked="14:00")
    assert verdict(log, "US-TPHC-6", at="09:00", room=None).reason == (
        "Within the 6 h limit of US-TPHC-6, as logged: out for 1 h. Other hazards are not checked. "
        "It may not go back to be kept; discard at 2026-10-05 14:00 WEST. Only while the food is "
        "not above 70 °F (21 °C): measure its warmest part. US-TPHC-6 binds only businesses."
    )


def test_reason__a_warm_room_needs_a_reading_of_the_food() -> None:
    log = bowl("out 08:00 40 F", marked="14:00")
    assert verdict(log, "US-TPHC-6", at="09:00", room="26 C").reason == (
        "US-TPHC-6 binds only businesses. US-TPHC-6 cannot be used: the room was at 26 °C, above "
        "70 °F (21 °C), and the food was not measured since it left control; treat as past its "
        "limit"
    )


def test_reason__discard_by_the_mark() -> None:
    told = verdict(bowl("out 10:00 4 C", marked="12:00"), "US-TPHC-4", at="12:10")
    assert told.reason == (
        "Past the discard time marked on it for US-TPHC-4 since 2026-10-05 12:00 WEST, as logged: "
        f"out for 2 h 10 min, 10 min over. {END} US-TPHC-4 binds only businesses."
    )


def test_reason__with_what_it_holds() -> None:
    tub, jar = bowl("out 10:00 4 C", name="tub", holds=("jar",)), bowl("opened 09:30", name="jar")
    dish = bowl("out 10:30 4 C", name="dish", holds=("tub",))
    verdicts, _ = judged([jar, tub, dish], "US-HOME-2H", at="10:30")
    assert verdicts[-1].reason == (
        "Within the 2 h limit of US-HOME-2H, as logged: out for 1 h. Other hazards are not "
        f"checked. It may go back before 2026-10-05 11:30 WEST, {HOME}; from then on discard "
        'it. Counted with the times of "jar", "tub", which it holds.'
    )


@pytest.mark.parametrize(
    ("out", "asked", "rule", "said"),
    [
        ("out 10:00:30 4 C", "12:00", "US-HOME-2H", "out for just under 2 h."),
        ("out 10:00:30 4 C", "12:00", "AU-2H4H", "out for just under 2 h."),  # to go back
        ("out 10:00:30 4 C", "14:00", "AU-2H4H", "out for just under 4 h."),  # to discard
        ("out 10:00:30 4 C", "11:00", "US-HOME-2H", "out for 1 h."),  # no limit of it
        ("out 10:00:00 4 C", "12:00", "US-HOME-2H", "out for 2 h. Discard: "),
    ],
)
def test_reason__reads_as_at_a_limit_only_when_it_is(
    out: str, asked: str, rule: str, said: str
) -> None:
    """Of 1 h 59 min 30 s the minute that is begun counts, but 2 h of 2 h would be past it."""
    assert said in verdict(bowl(out), rule, at=asked).reason
