"""Verdicts: which rules are applied, which is the strictest, and what holds for the container."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import FIVE, bowl, clock_shows, judged, local, utc, verdict

from costing.holding.models import Container, Eaten, Event, EventKind, HoldingSettings
from costing.holding.rules import load_rules, read_rules
from costing.holding.statuses import Status
from costing.holding.verdicts import judge, strictest_at

NO_TIME = """
[EU-GEN]
jurisdiction = "European Union"
instrument = "Regulation (EC) 852/2004"
clause = "Annex II Chapter IX para 5"
edition = "2004"
standing = "law"
clock = "adding up"
businesses_only = true
"""


def test_judge__no_rule_chosen_is_the_general_rule() -> None:
    verdicts, found = judged([bowl("out 10:00 4 C")])
    assert [v.rule for v in verdicts] == ["US-HOME-2H"]
    assert found == []


def test_judge__rules_are_found_without_regard_to_case_and_once() -> None:
    verdicts, found = judged([bowl("out 10:00 4 C")], "au-2h4h", " AU-2H4H ")
    assert [v.rule for v in verdicts] == ["AU-2H4H"]
    assert found == []


def test_judge__unknown_rule_cannot_be_used_and_the_general_rule_is_added() -> None:
    """Half of the two hours of the general rule, and the rule meant may be stricter."""
    verdicts, found = judged([bowl("out 10:00 4 C")], "AU-2H5H", at="11:00")
    assert [(v.rule, v.status) for v in verdicts] == [
        ("AU-2H5H", Status.CANNOT_BE_USED),
        ("US-HOME-2H", Status.WITHIN),
    ]
    first = verdicts[0]
    assert first.reason == (
        "AU-2H5H cannot be used: no rule of that name can be read; treat as past its limit"
    )
    assert (first.strictest, first.alarm, first.discard_at) == (True, True, None)
    assert (first.source, first.verified, first.limit) == ("", "", timedelta(0))
    assert [finding.code for finding in found] == ["holding rule unknown"]


def test_judge__unknown_rule_beside_one_that_is_past_its_limit_leaves_the_discard() -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], "AU-2H5H", "US-HOME-2H", at="13:00")
    assert [(v.rule, v.status) for v in verdicts] == [
        ("US-HOME-2H", Status.DISCARD),
        ("AU-2H5H", Status.CANNOT_BE_USED),
    ]


def test_judge__rule_without_a_time_is_not_covered_and_the_general_rule_is_added() -> None:
    table = {**load_rules(), **read_rules(NO_TIME)}
    verdicts, _ = judged([bowl("out 10:00 4 C")], "EU-GEN", table=table, at="11:00")
    assert [(v.rule, v.status) for v in verdicts] == [
        ("US-HOME-2H", Status.WITHIN),
        ("EU-GEN", Status.NOT_COVERED),
    ]
    assert verdicts[1].reason == "EU-GEN states no time. EU-GEN binds only businesses."
    assert verdicts[1].out_for == timedelta(hours=1)


def test_judge__rule_about_other_food_alone_has_the_general_rule_added() -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], "UK-HOT2", at="11:00")
    assert [v.rule for v in verdicts] == ["US-HOME-2H", "UK-HOT2"]
    verdicts, _ = judged([bowl("out 10:00 4 C")], "UK-HOT2", "UK-CHILL4", at="11:00")
    assert [v.rule for v in verdicts] == ["UK-CHILL4", "UK-HOT2"]


def test_judge__general_rule_is_added_once() -> None:
    verdicts, _ = judged([bowl("out 10:00 4 C")], "US-TPHC-4", "US-HOME-2H", at="11:00")
    assert [v.rule for v in verdicts] == ["US-TPHC-4", "US-HOME-2H"]


def test_judge__table_without_a_general_rule_is_refused() -> None:
    with pytest.raises(ValueError, match="the rules have none that is applied"):
        judge([], read_rules(NO_TIME), HoldingSettings(zone="UTC"))


@pytest.mark.parametrize(
    ("asked", "order"),
    [
        # 10:30: TPHC cannot be used; the others are within, to be discarded at 12:00 and 14:00
        ("10:30", ["US-TPHC-4", "US-HOME-2H", "AU-2H4H", "UK-CHILL4", "UK-HOT2"]),
        # 12:30: the two hours are over; the Australian return as well
        ("12:30", ["US-HOME-2H", "US-TPHC-4", "AU-2H4H", "UK-CHILL4", "UK-HOT2"]),
        # 14:30: all limits are over, 12:00 before 14:00
        ("14:30", ["US-HOME-2H", "AU-2H4H", "UK-CHILL4", "US-TPHC-4", "UK-HOT2"]),
    ],
)
def test_judge__strictest_first(asked: str, order: list[str]) -> None:
    """Discard, cannot be used, do not return, within, not covered; then the earlier discard."""
    verdicts, _ = judged([bowl("out 10:00 4 C")], *FIVE, at=asked)
    assert [v.rule for v in verdicts] == order
    assert [v.strictest for v in verdicts] == [True, False, False, False, False]


def test_judge__of_two_that_discard_together_the_earlier_end_of_a_return_is_stricter() -> None:
    """Both discard at 14:00; the Australian rule allows a return until 12:00 only."""
    verdicts, _ = judged([bowl("out 10:00 5 C")], "UK-CHILL4", "AU-2H4H", at="11:00")
    assert [v.rule for v in verdicts] == ["AU-2H4H", "UK-CHILL4"]


def test_strictest_at__is_the_first_of_all_that_is_said_of_the_container_then() -> None:
    """Law: at an instant of its own each container has the status it would have alone."""
    logs = [bowl("out 10:00 4 C", name="one"), bowl("out 11:00 4 C", name="two")]
    rules, settings = load_rules(), HoldingSettings(rules=("US-HOME-2H",), zone="Europe/Lisbon")
    asked = [(1, local("11:30")), (0, local("12:30")), (1, local("16:30"))]
    found = strictest_at(logs, rules, settings, asked)
    alone = [judge([logs[number]], rules, settings, at=at)[0][0] for number, at in asked]
    assert [(one.container, one.status, one.rule) for one in found if one is not None] == [
        (one.container, one.status, one.rule) for one in alone
    ]
    assert len({one.status for one in alone}) > 1


def test_judge__containers_keep_their_order() -> None:
    late, early = bowl("out 10:00 4 C", name="late"), bowl("out 13:59 4 C", name="early")
    verdicts, _ = judged([early, late], "US-HOME-2H", "AU-2H4H", at="14:00")
    assert [(v.container, v.strictest) for v in verdicts] == [
        ("early", True),
        ("early", False),
        ("late", True),
        ("late", False),
    ]


@pytest.mark.parametrize(
    ("eaten", "alarm"), [(Eaten.YES, True), (Eaten.NO, False), (Eaten.NEVER, False)]
)
def test_judge__alarm_only_for_what_may_be_eaten(eaten: Eaten, alarm: bool) -> None:
    told = verdict(bowl("out 10:00 4 C", eaten=eaten), "US-HOME-2H", at="13:00")
    assert told.alarm is alarm


def test_judge__no_alarm_before_a_limit() -> None:
    assert not verdict(bowl("out 10:00 4 C"), "US-HOME-2H", at="11:59").alarm
    assert not verdict(bowl("out 10:00 4 C"), "AU-2H4H", at="13:59").alarm


def test_judge__what_is_not_eaten_is_judged_without_alarm() -> None:
    told = verdict(bowl("out 10:00 4 C", eaten=Eaten.NO), "US-HOME-2H", at="13:00")
    assert told.status is Status.DISCARD
    assert told.reason.endswith("Logged as not eaten, so without an alarm.")


def test_judge__styling_is_never_eaten_whatever_its_clock() -> None:
    told = verdict(bowl("out 10:00", eaten=Eaten.NEVER), "US-HOME-2H", at="11:00")
    assert told.status is Status.NEVER_EAT
    assert told.reason == "Logged as never eaten: no rule can make it food."
    assert (told.discard_at, told.return_before) == (None, None)


def test_judge__discarded() -> None:
    log = bowl("out 10:00 4 C", "discarded 12:30")
    told = verdict(log, "US-HOME-2H", at="18:00")
    assert told.status is Status.DISCARDED
    assert told.out_for == timedelta(hours=2, minutes=30)
    assert (told.discard_at, told.return_before, told.alarm) == (None, None, False)
    assert told.reason == (
        "Logged as discarded at 2026-10-05 12:30 WEST. At that time, by US-HOME-2H: discard, "
        "out for 2 h 30 min."
    )
    assert clock_shows(told.asked_at) == "2026-10-05 18:00 WEST"
    assert verdict(log, "US-HOME-2H").status is Status.DISCARDED
    assert verdict(log, "US-HOME-2H", at="12:29").status is Status.DISCARD


def test_judge__discarded_twice_was_discarded_the_first_time() -> None:
    log = bowl("out 10:00 4 C", "discarded 10:30", "discarded 11:00")
    assert verdict(log, "US-HOME-2H", at="12:00").out_for == timedelta(minutes=30)


def test_judge__used_after_discarding_is_not_discarded() -> None:
    verdicts, found = judged(
        [bowl("out 10:00 4 C", "discarded 10:30", "out 11:00 4 C")], at="13:00"
    )
    assert [v.status for v in verdicts] == [Status.DISCARD]
    assert [finding.code for finding in found] == ["used after discarding"]


def test_judge__discarded_out_of_order_is_not_believed() -> None:
    verdicts, found = judged([bowl("out 10:00 4 C", "discarded 09:00")], at="13:00")
    assert [v.status for v in verdicts] == [Status.DISCARD]
    assert [finding.code for finding in found] == ["time before the last"]


def test_judge__class_none_is_not_covered_and_the_general_rule_not_forced() -> None:
    dry = bowl("out 10:00 20 C", covered=False)
    verdicts, _ = judged([dry], "US-TPHC-4", procedures=False, at="20:00")
    assert [(v.rule, v.status) for v in verdicts] == [("US-TPHC-4", Status.NOT_COVERED)]
    assert verdicts[0].reason == (
        'All that "bowl" holds is of a holding class that needs no temperature control, so '
        "US-TPHC-4 is not applied. US-TPHC-4 binds only businesses."
    )


@pytest.mark.parametrize("covered", [None, True])
def test_judge__class_that_is_not_none_or_not_known_is_covered(covered: bool | None) -> None:
    told = verdict(bowl("out 10:00 4 C", covered=covered), "US-HOME-2H", at="13:00")
    assert told.status is Status.DISCARD


def test_judge__container_without_times_is_past_its_limit() -> None:
    verdicts, found = judged([bowl()], "AU-2H4H", at="10:00")
    assert [(v.rule, v.status, v.alarm) for v in verdicts] == [
        ("AU-2H4H", Status.CANNOT_BE_USED, True),
        ("US-HOME-2H", Status.CANNOT_BE_USED, True),
    ]
    assert verdicts[0].reason == (
        "AU-2H4H binds only businesses. AU-2H4H cannot be used: no time is logged for it; treat "
        "as past its limit"
    )
    assert [finding.code for finding in found] == ["container without times"]


def test_judge__container_without_times_is_asked_about_at_the_last_event_of_all() -> None:
    verdicts, _ = judged([bowl(name="empty"), bowl("out 10:00 4 C"), bowl("out 09:00 4 C")])
    assert clock_shows(verdicts[0].asked_at) == "2026-10-05 10:00 WEST"


def test_judge__no_times_at_all_gives_a_finding_only() -> None:
    verdicts, found = judged([bowl()])
    assert verdicts == []
    assert [finding.code for finding in found] == ["container without times"]


def test_judge__no_containers() -> None:
    assert judged([]) == ([], [])


def test_judge__all_are_asked_about_at_the_last_event_of_the_whole_log() -> None:
    """A bowl out since 09:00 with no event after it is out for 3 h by 12:00."""
    verdicts, _ = judged([bowl("out 10:00", "room 12:00 24 C", name="a"), bowl("out 09:00")])
    assert [clock_shows(v.asked_at)[11:16] for v in verdicts] == ["12:00", "12:00"]
    assert verdicts[1].status is Status.DISCARD
    assert verdicts[1].out_for == timedelta(hours=3)


def test_judge__instant_asked_about_is_the_later_of_two() -> None:
    """01:30 of the night the clocks go back: 01:30 CST, when 06:30 UTC + 1 h are over."""
    log = bowl("out 2027-11-07 01:30 40 F")
    verdicts, found = judged(
        [log], "US-HOME-2H", at="2027-11-07 01:30", zone="America/Chicago", room=None
    )
    assert clock_shows(verdicts[0].asked_at) == "2027-11-07 01:30 CST"
    assert verdicts[0].status is Status.DISCARD
    assert [str(f.place) for f in found][-1] == 'row "the instant asked about"'


def test_judge__instants_with_an_offset_are_shown_in_the_zone_of_the_settings() -> None:
    log = Container(name="bowl", events=(Event(kind=EventKind.OUT, at=utc("2026-10-05 10:00")),))
    settings = HoldingSettings(zone="Asia/Tokyo", room=None)
    verdicts, _ = judge([log], load_rules(), settings, utc("2026-10-05 10:30"))
    assert clock_shows(verdicts[0].discard_at) == "2026-10-05 20:00 JST"
    assert verdicts[0].out_for == timedelta(minutes=30)


def test_judge__mark_in_the_hour_that_comes_twice_is_the_earlier() -> None:
    log = bowl("out 2027-11-06 23:00 40 F", marked="2027-11-07 01:30")
    told = verdict(log, "US-TPHC-4", zone="America/Chicago")
    assert clock_shows(told.discard_at) == "2027-11-07 01:30 CDT"


def test_verdict__carries_source_and_verification() -> None:
    told = verdict(bowl("out 10:00 4 C", marked="14:00"), "US-TPHC-4")
    assert told.source == "FDA Food Code, 3-501.19(B)(1), (3) to (5), 2022"
    assert told.verified == "seen in a text that adopts or parallels it, not in the instrument"


def test_status__exactly_the_words_of_the_sheet() -> None:
    assert [str(status) for status in Status] == [
        "within the limit",
        "do not return",
        "discard",
        "rule cannot be used",
        "not covered",
        "discarded",
        "never eat",
    ]


def test_judge__is_pure() -> None:
    logs = [bowl("out 10:00 4 C", "back 11:00 4 C")]
    assert judged(logs, *FIVE) == judged(logs, *FIVE)
    assert local("10:00").tzinfo is None


def test_judge__a_room_that_is_read_is_no_container() -> None:
    """A kitchen in the column Container, for a reading of the room that holds for the bowl."""
    kitchen = bowl("room 10:10 35 C", name="kitchen")
    verdicts, _ = judged([bowl("out 10:00 4 C"), kitchen], "US-HOME-2H", at="11:00")
    assert [(one.container, str(one.status)) for one in verdicts] == [("bowl", "discard")]
    held = bowl("room 10:10 35 C", name="jug", holds=("milk",))
    both, _ = judged([held], "US-HOME-2H", at="11:00")
    assert [one.container for one in both] == ["jug"]
