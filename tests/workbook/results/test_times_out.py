"""Times out against limits: which containers have bars, in which order, and what is said of them.

Instants are on one day in Lisbon; every verdict is one that the rule could give.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from costing.holding.rules import ClockKind, load_rules
from costing.holding.statuses import Status, Verdict
from costing.workbook.results.times_out import ABOUT, CONTAINERS, TimeOut, times_out

HOME, TPHC = "US-HOME-2H", "US-TPHC-4"
ASKED = datetime(2031, 5, 10, 15, 0, tzinfo=ZoneInfo("Europe/Lisbon"))


def hours(number: float) -> timedelta:
    return timedelta(hours=number)


def verdict(
    name: str = "bowl",
    status: Status = Status.WITHIN,
    out: float = 1,
    *,
    limit: float = 2,
    rule: str = HOME,
    left: float | None = None,
    strictest: bool = True,
) -> Verdict:
    """What a rule says; ``left`` hours until the food must be gone, where a clock runs."""
    return Verdict(
        container=name,
        rule=rule,
        strictest=strictest,
        status=status,
        out_for=hours(out),
        discard_at=None if left is None else ASKED + hours(left),
        return_before=None,
        reason="",
        source="",
        verified="",
        asked_at=ASKED,
        alarm=False,
        limit=hours(limit),
    )


def bars(*verdicts: Verdict) -> tuple[TimeOut, ...]:
    return times_out(verdicts).times


def test_times_out__the_name_says_status_and_rule() -> None:
    assert bars(verdict("bean puree", Status.DISCARD, 4.75)) == (
        TimeOut("bean puree: discard (US-HOME-2H)", hours(4.75), hours(2)),
    )


def test_times_out__only_the_strictest_rule_of_a_container_counts() -> None:
    other = verdict(rule=TPHC, limit=4, strictest=False)
    assert [one.name for one in bars(verdict(), other)] == ["bowl: within the limit (US-HOME-2H)"]


def test_times_out__past_first_then_the_larger_part_of_the_limit() -> None:
    """Used up: 2.5 of 2, 3 of 4 and 1 of 2 hours; a rule that cannot be used counts as past."""
    shown = bars(
        verdict("half", out=1, limit=2),
        verdict("none", Status.CANNOT_BE_USED, 0, limit=4, rule=TPHC),
        verdict("three quarters", out=3, limit=4, rule=TPHC),
        verdict("over", Status.DISCARD, 2.5),
    )
    assert [one.name.partition(":")[0] for one in shown] == [
        *("over", "none", "three quarters", "half"),
    ]


@pytest.mark.parametrize(
    ("left", "expected"),
    [(None, 4), (3, 4), (0.5, 1.5), (-1, 1)],
    ids=["clock stopped", "the limit decides", "a mark is earlier", "a mark is past"],
)
def test_times_out__never_more_time_left_than_there_is(left: float | None, expected: float) -> None:
    """Out for 1 h of 4: the limit shown is 1 h and what is left until the food must be gone."""
    (shown,) = bars(verdict(out=1, limit=4, rule=TPHC, left=left))
    assert shown.limit == hours(expected)


@pytest.mark.parametrize("status", [Status.DISCARD, Status.CANNOT_BE_USED])
def test_times_out__no_limit_beside_food_that_is_past_it_for_another_reason(status: Status) -> None:
    """A mark, a reading or a gap in the log decided after 1 h 20 min of 4 h."""
    (shown,) = bars(verdict(status=status, out=4 / 3, limit=4, rule=TPHC, left=-0.5))
    assert (shown.out, shown.limit) == (hours(4 / 3), None)


@pytest.mark.parametrize("kind", [ClockKind.DAYS, ClockKind.ONE_PASS])
def test_times_out__rules_of_other_kinds_have_no_bars(kind: ClockKind) -> None:
    other = next(rule.id for rule in load_rules().values() if rule.clock is kind)
    assert bars(verdict(rule=other)) == ()
    (shown,) = bars(verdict(status=Status.DISCARD, rule=other))
    assert shown == TimeOut(f"bowl: discard ({other})", None, None)


@pytest.mark.parametrize("status", [Status.DISCARDED, Status.NEVER_EAT, Status.NOT_COVERED])
def test_times_out__nothing_is_shown_of_what_no_rule_judges(status: Status) -> None:
    assert times_out([verdict(status=status)]).times == ()


def test_times_out__says_which_containers_are_left_out() -> None:
    past = [verdict(f"bowl {n}", Status.DISCARD, 2 + n / 10) for n in range(CONTAINERS + 3)]
    shown = times_out([*past, verdict("gone", Status.DISCARDED)])
    assert len(shown.times) == CONTAINERS
    assert shown.times[0].name.startswith("bowl 14:")
    assert shown.left_out == (
        "12 of 15 containers are shown, those furthest past their limit or nearest to it. Without "
        "bars: 1 container discarded, never eaten, or without a limit in hours."
    )
    assert times_out([verdict()]).left_out == ""


def test_times_out__says_what_the_times_are() -> None:
    assert times_out([verdict()]).about == (
        "Time out as logged, limits by published rules (hours:minutes). Other hazards are not "
        "checked: see Holding times."
    )


def test_times_out__tells_rules_of_the_persons_own_apart() -> None:
    own = load_rules()[HOME].model_copy(update={"id": "OUR-3H"})
    shown = times_out([verdict(rule="OUR-3H"), verdict("other")], [own])
    assert shown.about == f"{ABOUT} Not published, but rules of your own: OUR-3H."
    assert times_out([verdict()], [own]).about == ABOUT


def test_times_out__no_word_promises_safety() -> None:
    shown = times_out([verdict(), verdict("gone", Status.DISCARDED)])
    words = " ".join([shown.about, shown.left_out, *(one.name for one in shown.times)])
    assert "safe" not in words.casefold()


def test_times_out__nothing_without_a_log() -> None:
    assert times_out([]).times == ()
    assert times_out([]).left_out == ""
