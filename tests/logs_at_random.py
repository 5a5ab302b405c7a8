"""Random logs of containers, and how bad a status is, for the laws of the clocks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from fractions import Fraction

from bowls import FIVE, utc
from hypothesis import strategies as st

from costing.holding.models import Container, Event, EventKind, HoldingSettings, Temperature
from costing.holding.rules import load_rules
from costing.holding.statuses import Status, Verdict
from costing.holding.verdicts import judge

START = utc("2026-10-05 08:00")
RULES = load_rules()
BADNESS = {
    Status.NOT_COVERED: 0,
    Status.WITHIN: 1,
    Status.DO_NOT_RETURN: 2,
    Status.CANNOT_BE_USED: 3,  # to be treated as past the limit
    Status.DISCARD: 3,
}

minutes = st.integers(min_value=0, max_value=400)
gaps = st.integers(min_value=1, max_value=150)
temperatures = st.none() | st.builds(
    Temperature,
    value=st.sampled_from(
        [Fraction(v) for v in ("3", "4", "5", "8", "8.1", "20", "60", "63", "70")]
    ),
    unit=st.just("C"),
)
cold = st.just(Temperature(value=4, unit="C"))
rule_sets = st.lists(st.sampled_from(FIVE), min_size=1, unique=True)
zones = st.sampled_from(
    ["UTC", "Europe/Lisbon", "America/Chicago", "Australia/Lord_Howe", "Asia/Kathmandu"]
)


def settings(rules: Sequence[str], zone: str = "Europe/Lisbon") -> HoldingSettings:
    return HoldingSettings(
        zone=zone, rules=tuple(rules), procedures=True, room=Temperature(value=24, unit="C")
    )


def at(offset: int) -> datetime:
    return START + timedelta(minutes=offset)


def strictest(container: Container, rules: Sequence[str], asked: datetime) -> Verdict:
    verdicts, _ = judge([container], RULES, settings(rules), asked)
    return next(verdict for verdict in verdicts if verdict.strictest)


def badness(verdict: Verdict) -> int:
    if "later than the instant asked about" in verdict.reason:
        return BADNESS[Status.WITHIN]  # nothing is known of it, which is no better
    return BADNESS[verdict.status]


@st.composite
def logs(draw: st.DrawFn, kinds: Sequence[EventKind] = tuple(EventKind)) -> Container:
    """A log in order, without discarding."""
    allowed = [kind for kind in kinds if kind is not EventKind.DISCARDED]
    steps = draw(st.lists(st.tuples(st.sampled_from(allowed), gaps, temperatures), max_size=8))
    events, offset = [], 0
    for kind, gap, temperature in steps:
        offset += gap
        warm = temperature if kind is not EventKind.ROOM else None
        events.append(Event(kind=kind, at=at(offset), temperature=warm))
    marked = draw(st.none() | minutes.map(at))
    return Container(name="bowl", holds=("milk",), events=tuple(events), marked_until=marked)
