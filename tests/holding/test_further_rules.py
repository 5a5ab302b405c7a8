"""Rules of other places need data only: each is written here as an entry and judged as it stands.

The figures are those of the published cases the entries are made for; none of them ships.
"""

from __future__ import annotations

import pytest
from bowls import bowl, clock_shows, verdict

from costing.holding.models import Container
from costing.holding.rules import load_rules, read_rules
from costing.holding.statuses import Status, Verdict

CITED = 'source_id = "s"\nlocator = "l"\nas_printed = "p"\nverified = "secondary"\n'


def entry(name: str, clock: str, *parts: str, more: str = "") -> str:
    head = (
        f'[{name}]\njurisdiction = "j"\ninstrument = "i"\nclause = "c"\nedition = "e"\n'
        f'standing = "law"\nclock = "{clock}"\nbusinesses_only = true\n{more}\n'
    )
    return head + "".join(f"{part.replace('*', name)}\n{CITED}" for part in parts)


def limit(minutes: int, action: str = "discard") -> str:
    return f'[[*.limits]]\nminutes = {minutes}\naction = "{action}"'


def edge(side: str, celsius: str, *, inclusive: bool = False) -> str:
    return f"[*.zone.{side}]\ncelsius = {celsius}\ninclusive = {str(inclusive).lower()}"


COLD_START = '[[*.starts]]\nbound = "at most"\nfahrenheit = 41'
CEILING_70 = "[*.ceiling]\nfahrenheit = 70\ncelsius = 21"
TIMED = 'marking = "discard time"\nneeds_procedures = true\nmay_return = false'
CUT_OR_OPENED = '[[*.starts]]\nbound = "at most"\nfahrenheit = 70\ncelsius = 21\nevents = ["cut"]'

FURTHER = read_rules(
    entry("US-TPHC-6", "running", COLD_START, limit(360), CEILING_70, more=TIMED)
    + entry(
        "US-TPHC-4P",
        "running",
        CUT_OR_OPENED,
        limit(240),
        CEILING_70,
        more=f'{TIMED}\nstarts_by = ["cut", "opened"]',
    )
    + entry(
        "SG-4H",
        "adding up",
        edge("lower", "5", inclusive=True),
        edge("upper", "60", inclusive=True),
        limit(240),
        more='counted = "time in the zone"',
    )
    + entry(
        "HK-2H4H",
        "adding up",
        edge("lower", "4"),
        edge("upper", "60", inclusive=True),
        limit(120, "do not return"),
        limit(240),
    )
    + entry("CA-2H", "adding up", edge("lower", "4"), edge("upper", "60"), limit(120))
    + entry(
        "FR-COLD2",
        "single period",
        edge("lower", "3"),
        limit(120),
        "[*.ceiling]\ncelsius = 10",
        more='food = "chilled"',
    )
    + entry(
        "MARKED-2H",
        "adding up",
        edge("lower", "5"),
        limit(120),
        more='marking = "discard time"',
    )
    + entry("NL-2H", "single period", edge("lower", "7"), limit(120), more="may_return = false")
)
TABLE = {**load_rules(), **FURTHER}


def told(log: Container, rule: str, at: str | None = None) -> Verdict:
    return verdict(log, rule, at=at, table=TABLE)


def discard(log: Container, rule: str, at: str | None = None) -> str:
    return clock_shows(told(log, rule, at).discard_at)[11:16]


def test_case_11_six_hours_lost_above_70_f() -> None:
    """71 °F at 11:10 ends it then, not before."""
    log = bowl("out 08:00 40 F", "reading 11:10 71 F", marked="14:00")
    assert told(log, "US-TPHC-6", "11:09").status is Status.WITHIN
    at_once = told(log, "US-TPHC-6")
    assert at_once.status is Status.DISCARD
    assert clock_shows(at_once.discard_at) == "2026-10-05 11:10 WEST"
    assert at_once.reason == (
        "Read at 71 °F at 2026-10-05 11:10 WEST, above the ceiling of 70 °F (21 °C) of US-TPHC-6, "
        "as logged: out for 3 h 10 min. Discard: not to be served, not to go back. US-TPHC-6 "
        "binds only businesses."
    )


@pytest.mark.parametrize(
    ("peak", "status"),
    [
        ("70.0 F", Status.WITHIN),
        ("70.1 F", Status.DISCARD),
        ("21.0 C", Status.WITHIN),
        ("21.1 C", Status.DISCARD),  # 69.98 °F, but above the 21 °C printed beside 70 °F
    ],
)
def test_case_12_exactly_at_the_ceiling(peak: str, status: Status) -> None:
    """08:00 + 6 h = 14:00."""
    log = bowl("out 08:00 40 F", f"reading 11:10 {peak}", marked="14:00")
    assert told(log, "US-TPHC-6").status is status
    if status is Status.WITHIN:
        assert discard(log, "US-TPHC-6") == "14:00"


def test_case_13_six_hours_are_for_cold_food() -> None:
    log = bowl("out 08:00 140 F", marked="14:00")
    assert told(log, "US-TPHC-6").status is Status.CANNOT_BE_USED


def test_case_14_produce_counts_from_the_cut() -> None:
    """Whole from 09:00, sliced at 13:00: 13:00 + 4 h = 17:00."""
    log = bowl("out 09:00 68 F", "cut 13:00 68 F", "reading 15:00 69 F", marked="17:00")
    whole = told(log, "US-TPHC-4P", "12:00")
    assert (whole.status, whole.discard_at) == (Status.WITHIN, None)
    assert told(log, "US-TPHC-4P").status is Status.WITHIN
    assert discard(log, "US-TPHC-4P") == "17:00"


@pytest.mark.parametrize(
    ("rule", "read", "runs"),
    [
        ("SG-4H", "60.0 C", True),
        ("SG-4H", "60.1 C", False),
        ("SG-4H", "5.0 C", True),
        ("SG-4H", "4.9 C", False),
        ("HK-2H4H", "60.0 C", True),
        ("HK-2H4H", "4.0 C", False),
        ("CA-2H", "60.0 C", False),
    ],
)
def test_case_50_edges_of_the_zone(rule: str, read: str, runs: bool) -> None:
    log = bowl(f"reading 10:00 {read}")
    assert discard(log, rule) == (("12:00" if rule == "CA-2H" else "14:00") if runs else "")


@pytest.mark.parametrize(
    ("at", "status"),
    [("13:59", Status.WITHIN), ("14:30", Status.DO_NOT_RETURN), ("16:01", Status.DISCARD)],
)
def test_case_51_two_hours_and_four(at: str, status: Status) -> None:
    """12:00 + 2 h = 14:00, + 4 h = 16:00."""
    assert told(bowl("out 12:00 4 C"), "HK-2H4H", at).status is status


def test_case_52_at_two_hours() -> None:
    """18:00 + 2 h = 20:00."""
    log = bowl("out 18:00 4 C")
    assert told(log, "CA-2H", "20:00").status is Status.DISCARD
    assert discard(log, "CA-2H") == "20:00"


def test_case_54_condition_broken_by_a_reading() -> None:
    log = bowl("out 12:00 3 C", "reading 13:20 11 C")
    assert told(log, "FR-COLD2", "13:19").status is Status.WITHIN
    assert told(log, "FR-COLD2").status is Status.DISCARD
    assert discard(log, "FR-COLD2") == "13:20"


def test_case_54_condition_broken_from_the_start() -> None:
    log = bowl("out 12:00 11 C")
    assert told(log, "FR-COLD2").status is Status.DISCARD
    assert discard(log, "FR-COLD2") == "12:00"


def test_case_11_ceiling_broken_after_the_limit_changes_nothing() -> None:
    """08:00 + 6 h = 14:00."""
    log = bowl("out 08:00 40 F", "reading 14:30 71 F", marked="14:00")
    assert discard(log, "US-TPHC-6") == "14:00"
    assert told(log, "US-TPHC-6").reason.startswith("Past the 6 h limit of US-TPHC-6")


def test_marked_rule_that_allows_a_return() -> None:
    """Marked until 11:00, before the 2 h are full; in the refrigerator the mark still holds."""
    log = bowl("out 10:00 4 C", "back 10:30 4 C", marked="11:00")
    out = told(log, "MARKED-2H", "10:10")
    assert clock_shows(out.return_before) == "2026-10-05 11:00 WEST"
    assert discard(log, "MARKED-2H", "10:40") == "11:00"
    assert told(log, "MARKED-2H", "11:00").status is Status.DISCARD


def test_case_56_one_period_only() -> None:
    log = bowl("out 12:00 5 C", "back 12:30 5 C", "out 15:00 5 C")
    chilled = told(log, "NL-2H", "14:00")
    assert (chilled.status, chilled.discard_at) == (Status.WITHIN, None)
    assert "it may not be put out again" in chilled.reason
    assert told(log, "NL-2H", "15:00").status is Status.DISCARD


def test_case_50_hot_food_measured_above_the_zone_uses_up_no_time() -> None:
    """61 °C at 10:00 and 12:00, not measured after: 12:00 + 4 h = 16:00."""
    log = bowl("out 10:00 61 C", "reading 12:00 61 C")
    assert discard(log, "SG-4H", "13:00") == "16:00"
