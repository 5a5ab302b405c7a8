"""Containers logged in short, and what the rules say of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from costing.findings import Finding, Place
from costing.holding.models import Container, Eaten, Event, HoldingSettings, read_temperature
from costing.holding.rules import Rule, load_rules
from costing.holding.statuses import Verdict
from costing.holding.verdicts import judge

MONDAY = "2026-10-05"
"""The day of a log that names none."""

FIVE = ("US-HOME-2H", "US-TPHC-4", "AU-2H4H", "UK-CHILL4", "UK-HOT2")
TREE = Path(__file__).resolve().parent.parent


def local(text: str, day: str = MONDAY) -> datetime:
    """A local time: ``10:05`` on ``day``, or with its own date."""
    return datetime.fromisoformat(text if "-" in text else f"{day} {text}")


def utc(text: str) -> datetime:
    """An instant of universal time: ``2026-10-05 10:05``."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def event(text: str, row: int, day: str = MONDAY) -> Event:
    """An event: ``out 10:05 4 C``, or with its date ``out 2027-03-14 00:30 4 C``."""
    kind, *rest = text.split()
    when = " ".join(rest[:2]) if "-" in rest[0] else rest[0]
    read = " ".join(rest[2:] if "-" in rest[0] else rest[1:])
    return Event(
        kind=kind,
        at=local(when, day),
        temperature=read_temperature(read) if read else None,
        place=Place(sheet="Holding", row=row, column="C", heading="Event", name="bowl"),
    )


def bowl(
    *events: str,
    name: str = "bowl",
    holds: Sequence[str] = (),
    marked: str | None = None,
    eaten: Eaten = Eaten.YES,
    covered: bool | None = None,
    day: str = MONDAY,
) -> Container:
    """A container with its log, whose first event stands in row 2."""
    return Container(
        name=name,
        holds=tuple(holds),
        events=tuple(event(text, row, day) for row, text in enumerate(events, start=2)),
        marked_until=None if marked is None else local(marked, day),
        eaten=eaten,
        covered=covered,
        place=Place(sheet="Holding", row=2, column="A", heading="Container", name=name),
    )


def judged(
    containers: Sequence[Container],
    *rules: str,
    at: str | None = None,
    zone: str = "Europe/Lisbon",
    procedures: bool = True,
    room: str | None = "24 C",
    table: Mapping[str, Rule] | None = None,
    day: str = MONDAY,
) -> tuple[list[Verdict], list[Finding]]:
    """What the rules say of containers."""
    settings = HoldingSettings(
        zone=zone,
        rules=rules,
        procedures=procedures,
        room=None if room is None else read_temperature(room),
    )
    asked = None if at is None else local(at, day)
    return judge(containers, load_rules() if table is None else table, settings, asked)


def verdict(container: Container, rule: str, **asked: Any) -> Verdict:
    """What one rule says of one container, asked as of :func:`judged`."""
    verdicts, _ = judged([container], rule, **asked)
    return next(v for v in verdicts if v.rule == rule)


def clock_shows(instant: datetime | None) -> str:
    """An instant as its clock shows it, ``""`` when there is none."""
    return "" if instant is None else f"{instant:%Y-%m-%d %H:%M %Z}"
