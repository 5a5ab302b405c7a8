"""The bean puree bowl of the tart shoot, three rules side by side.

Out at 10:05 at 4 °C, marked until 14:05; back at 12:20 at 5 °C; out at 13:30; back at 14:50. The
room is at 24 °C. Written procedures are kept.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from bowls import bowl, clock_shows, judged

from costing.holding.models import Container
from costing.holding.statuses import Status, Verdict

DAY = "2031-05-10"
THREE = ("US-HOME-2H", "US-TPHC-4", "AU-2H4H")


@pytest.fixture
def bean_puree() -> Container:
    return bowl(
        "out 10:05 4 C",
        "back 12:20 5 C",
        "out 13:30",
        "back 14:50",
        name="bean puree bowl",
        holds=("leek tart: step 3",),
        marked="14:05",
        day=DAY,
    )


def said(bean_puree: Container, at: str) -> dict[str, Verdict]:
    verdicts, _ = judged([bean_puree], *THREE, at=at, day=DAY)
    return {verdict.rule: verdict for verdict in verdicts}


def test_bean_puree__at_14_50_every_rule_discards(bean_puree: Container) -> None:
    """10:05 + 2 h = 12:05; 10:05 + 4 h = 14:05, and 14:50 is 45 min later."""
    told = said(bean_puree, "14:50")
    assert [(v.status, clock_shows(v.discard_at)) for v in told.values()] == [
        (Status.DISCARD, "2031-05-10 12:05 WEST"),
        (Status.DISCARD, "2031-05-10 14:05 WEST"),
        (Status.DISCARD, "2031-05-10 14:05 WEST"),
    ]
    assert list(told) == list(THREE)
    assert [v.strictest for v in told.values()] == [True, False, False]
    assert all(v.alarm for v in told.values())
    assert "45 min over" in told["US-TPHC-4"].reason


def test_bean_puree__last_event_is_asked_about_when_nothing_is(bean_puree: Container) -> None:
    verdicts, _ = judged([bean_puree], *THREE, day=DAY)
    assert {clock_shows(verdict.asked_at) for verdict in verdicts} == {"2031-05-10 14:50 WEST"}


def test_bean_puree__at_12_20_two_hours_and_a_quarter(bean_puree: Container) -> None:
    """10:05 to 12:20 is 2 h 15 min: too late to go back, to be used by 14:05."""
    told = said(bean_puree, "12:20")["AU-2H4H"]
    assert told.out_for == timedelta(hours=2, minutes=15)
    assert told.status is Status.DO_NOT_RETURN
    assert clock_shows(told.discard_at) == "2031-05-10 14:05 WEST"


def test_bean_puree__late_return_does_not_pause(bean_puree: Container) -> None:
    """At 13:00 it stands in the refrigerator: 10:05 to 13:00 is 2 h 55 min all the same."""
    told = said(bean_puree, "13:00")["AU-2H4H"]
    assert told.out_for == timedelta(hours=2, minutes=55)
    assert (
        "It went back at 2031-05-10 12:20 WEST after 2 h 15 min, which AU-2H4H does not allow; "
        "the clock was not stopped."
    ) in told.reason


def test_bean_puree__without_procedures_the_general_rule_is_added(bean_puree: Container) -> None:
    verdicts, _ = judged([bean_puree], "US-TPHC-4", procedures=False, at="11:00", day=DAY)
    assert [(v.rule, v.status, v.strictest) for v in verdicts] == [
        ("US-TPHC-4", Status.CANNOT_BE_USED, True),
        ("US-HOME-2H", Status.WITHIN, False),
    ]
    assert verdicts[0].reason.endswith("treat as past its limit")
    assert clock_shows(verdicts[1].discard_at) == "2031-05-10 12:05 WEST"
