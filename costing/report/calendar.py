"""Holding limits as a calendar of RFC 5545, with alarms; the only door of icalendar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from icalendar import Alarm, Calendar, Event

from costing.holding.models import Container, Eaten
from costing.holding.verdicts import Verdict

PRODID = "-//costing//holding times//EN"

ALARMS = (timedelta(minutes=15), timedelta(0))
"""How long before a limit an alarm rings: in time to carry the food, and at the limit."""


@dataclass(frozen=True, slots=True)
class Reminder:
    """One instant to be reminded of.

    Parameters
    ----------
    word : str
        What is to be done.
    at : datetime
        When.
    verdict : Verdict
        Of the rule that says so.
    """

    word: str
    at: datetime
    verdict: Verdict


def calendar_bytes(
    verdicts: Sequence[Verdict],
    containers: Sequence[Container],
    labels: Mapping[str, Sequence[str]],
    cautions: Sequence[str],
    *,
    title: str = "",
) -> bytes:
    """Events at the end of each return and at each discard time, the same for the same input.

    An event of a container that is eaten of has an alarm; one that is not eaten has none, and one
    that is never food has no event.

    Parameters
    ----------
    verdicts : sequence of Verdict
        As judged.
    containers : sequence of Container
        Those judged.
    labels : mapping of str to sequence of str
        Lines of the label by container.
    cautions : sequence of str
        To be shown in every event.
    title : str
        Of the shoot; with the container and the kind of limit it makes the identity of an event,
        so that a calendar brings its events up to date when the file is read again.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    eaten = {container.name: container.eaten for container in containers}
    for name, told in _by_container(verdicts).items():
        for reminder in _reminders(told):
            described = [
                *labels.get(name, (name,)),
                f"{reminder.word}: {reminder.at:%Y-%m-%d %H:%M %Z}",
                "",
                *(f"{v.rule}: {v.status}. {v.reason} ({v.source}; {v.verified})" for v in told),
                "",
                *cautions,
            ]
            calendar.add_component(
                _event(name, reminder, "\n".join(described), title, eaten.get(name, Eaten.YES))
            )
    text: bytes = calendar.to_ical()
    return text


def _by_container(verdicts: Sequence[Verdict]) -> dict[str, list[Verdict]]:
    grouped: dict[str, list[Verdict]] = {}
    for verdict in verdicts:
        grouped.setdefault(verdict.container, []).append(verdict)
    return grouped


def _reminders(told: Sequence[Verdict]) -> Iterator[Reminder]:
    """The earliest of each kind over the rules."""
    returns = [(v.return_before, v) for v in told if v.return_before is not None]
    discards = [(v.discard_at, v) for v in told if v.discard_at is not None]
    for word, found in (("Return before", returns), ("Discard at", discards)):
        if found:
            at, verdict = min(found, key=lambda pair: pair[0].astimezone(UTC))
            yield Reminder(word, at, verdict)


def _event(name: str, reminder: Reminder, described: str, title: str, eaten: Eaten) -> Event:
    at = reminder.at.astimezone(UTC)
    summary = f"{reminder.word} {reminder.at:%H:%M}: {name} ({reminder.verdict.rule})"
    identity = "\n".join((title, name, reminder.word))
    event = Event()
    event.add("uid", f"{sha256(identity.encode()).hexdigest()[:32]}@costing")
    event.add("dtstamp", reminder.verdict.asked_at.astimezone(UTC))
    event.add("dtstart", at)
    event.add("summary", summary)
    event.add("description", described)
    for ahead in ALARMS if eaten is Eaten.YES else ():
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", -ahead)
        alarm.add("description", summary)
        event.add_component(alarm)
    return event
