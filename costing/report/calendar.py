"""Holding limits, and errands, as calendars of RFC 5545 with alarms; the only door of icalendar.

A calendar program tells events by their UID and takes the one of the higher SEQUENCE. An event of
the file before that no longer holds is written once more as cancelled, because a program that has
it would keep it otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from typing import NamedTuple

from icalendar import Alarm, Calendar, Event

from costing.holding.instants import clock_words
from costing.holding.models import Container, Eaten
from costing.holding.statuses import Verdict
from costing.names import key
from costing.report.errands import Errand, WhatFor, errand_words
from costing.shoot import Shoot

PRODID = "-//costing//holding times//EN"
ERRANDS_PRODID = "-//costing//errands//EN"

ALARMS = (timedelta(minutes=15), timedelta(0))
"""How long before a limit an alarm rings: in time to carry the food, and at the limit."""

ON_THE_DAY = timedelta(hours=8)
"""When an errand without a time rings, from the beginning of its day: at eight."""

TO_MAKE = timedelta(hours=2)
"""How long before a dish must be ready its alarm rings; how long it takes is not known."""

GOODS_NAMED = 2
"""So many goods stand in the line that a calendar shows of an errand."""

RETURN, DISCARD = "Return before", "Discard at"
CANCELLED = "CANCELLED"


class CalendarFile(NamedTuple):
    """A calendar, and how many events are in it."""

    data: bytes
    events: int
    cancelled: int


class NoCalendarOfOurs(ValueError):
    """The file before is no calendar that this library has written."""


@dataclass(frozen=True, slots=True)
class Reminder:
    """One instant to be reminded of.

    ``kind``: by which it is known again; the same limit later on has a number.
    """

    word: str
    at: datetime
    verdict: Verdict
    kind: str


def calendar_file(
    verdicts: Sequence[Verdict],
    containers: Sequence[Container],
    labels: Mapping[str, Sequence[str]],
    cautions: Sequence[str],
    *,
    title: str = "",
    ahead: Sequence[Sequence[Verdict]] = (),
    before: bytes | None = None,
) -> CalendarFile:
    """Events at the end of each return and at each discard time, the same for the same input.

    An event of a container that is eaten of has an alarm; one that is not eaten has none, and one
    that is never food has no event.

    Parameters
    ----------
    labels : mapping of str to sequence of str
        Lines of the label by container.
    title : str
        Of the shoot; with the container and the kind of limit it makes the identity of an event,
        so that a calendar brings its events up to date when the file is read again.
    ahead : sequence of sequence of Verdict
        Those of containers that are planned to come out later, each at its own planned time.
    before : bytes, optional
        The file of the last run; what of it no longer holds is cancelled.

    Raises
    ------
    NoCalendarOfOurs
        If ``before`` is no calendar of this library.
    """
    eaten = {container.name: container.eaten for container in containers}
    grouped: dict[str, list[Sequence[Verdict]]] = {}
    for judged in (*_by_container(verdicts), *ahead):
        grouped.setdefault(judged[0].container, []).append(judged)
    new: dict[str, Event] = {}
    for name, times in grouped.items():
        for reminder in _reminders(times):
            described = [
                *labels.get(name, (name,)),
                f"{reminder.word}: {reminder.at:%Y-%m-%d %H:%M %Z}",
                "",
                *(
                    f"{v.rule}: {v.status}. {v.reason} ({v.source}; {v.verified})"
                    for v in next(t for t in times if reminder.verdict in t)
                ),
                "",
                *cautions,
            ]
            event = _event(name, reminder, "\n".join(described), title, eaten.get(name, Eaten.YES))
            new[str(event["uid"])] = event
    stamp = verdicts[0].asked_at.astimezone(UTC) if verdicts else None
    return _file(PRODID, new, _events_of(before, PRODID), stamp)


def errand_file(
    errands: Sequence[Errand], shoot: Shoot, *, at: datetime, before: bytes | None
) -> CalendarFile:
    """Errands as events of their days, a dish to make as one of the time it must be ready.

    Parameters
    ----------
    errands : sequence of Errand
        By day; those without a day have no event.
    shoot : Shoot
        Whose title and episodes make the identity of an event, so that it moves with its day.
    at : datetime
        The instant of the run, which new and changed events carry.
    before : bytes, optional
        The file of the last run; what of it no longer holds is cancelled.

    Raises
    ------
    NoCalendarOfOurs
        If ``before`` is no calendar of errands of this library.
    """
    old = _events_of(before, ERRANDS_PRODID)
    stamp, new, said = at.astimezone(UTC), dict[str, Event](), WhatFor(shoot)
    for errand in errands:
        if errand.day is None:
            continue
        event = _of_errand(errand, said.words(errand.shots), stamp)
        identity = [shoot.settings.title, str(errand.kind), key(errand.shop), key(errand.about)]
        identity += [key(shot.episode) for shot in errand.shots[:1]]
        # the day is no part of it, so that an errand moves with its day and is not doubled
        uid = _uid(*identity)
        while uid in new:  # of like errands each goes on from the one before
            uid = _uid(uid)
        event.add("uid", uid)
        if _same(old.get(uid), event):  # its stamp stays, so that the file is as it was
            event["dtstamp"] = old[uid]["dtstamp"]
        new[uid] = event
    return _file(ERRANDS_PRODID, new, old, stamp)


def _of_errand(errand: Errand, what_for: str, stamp: datetime) -> Event:
    """An errand as an entry that leaves its day free, with its alarm."""
    summary = errand_words(errand, most=GOODS_NAMED)
    described = [*errand.goods, f"For {what_for}.", errand.note]
    start = errand.at.astimezone(UTC) if errand.at is not None else errand.day
    event = _entry(stamp, start, summary, "\n".join(filter(None, described)))
    event.add("transp", "TRANSPARENT")  # RFC 5545, 3.8.2.7: an errand keeps nobody's day busy
    _ring(event, ON_THE_DAY if errand.at is None else -TO_MAKE, summary)
    return event


def _entry(stamp: datetime, start: date | None, summary: str, described: str) -> Event:
    """What every event has, its identity and its alarms apart."""
    event = Event()
    event.add("dtstamp", stamp)
    event.add("dtstart", start)
    event.add("summary", summary)
    event.add("description", described)
    event.add("status", "CONFIRMED")
    return event


def _uid(*identity: str) -> str:
    """A name that no other event has, always the same for the same identity."""
    return f"{sha256(chr(10).join(identity).encode()).hexdigest()[:32]}@costing"


def _ring(event: Event, trigger: timedelta, words: str) -> None:
    """Give an event an alarm, so long after its start."""
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", trigger)
    alarm.add("description", words)
    event.add_component(alarm)


def _file(
    prodid: str, new: Mapping[str, Event], old: Mapping[str, Event], stamp: datetime | None
) -> CalendarFile:
    """The events with their sequence, behind them those of the last file that no longer hold."""
    calendar = Calendar()
    calendar.add("prodid", prodid)
    calendar.add("version", "2.0")
    for uid, event in new.items():
        event.add("sequence", _sequence(old.get(uid), event))
        calendar.add_component(event)
    gone = [event for uid, event in old.items() if uid not in new]
    for event in gone:
        calendar.add_component(_cancelled(event, stamp))
    data: bytes = calendar.to_ical()
    return CalendarFile(data, len(new), len(gone))


def _events_of(before: bytes | None, prodid: str) -> dict[str, Event]:
    """The events of the last calendar of a kind by their identity; none where there is none."""
    if before is None:
        return {}
    try:
        calendar = Calendar.from_ical(before)
    except ValueError as fault:
        raise NoCalendarOfOurs(str(fault)) from None
    if str(calendar.get("prodid", "")) != prodid:
        raise NoCalendarOfOurs("another program's calendar")
    events = [event for event in calendar.walk("VEVENT") if isinstance(event, Event)]
    return {str(event["uid"]): event for event in events}


SAME = ("dtstart", "summary", "description", "status")
"""What of an event must be as it was for its SEQUENCE to stay."""


def _sequence(old: Event | None, new: Event) -> int:
    """One more than before for an event that has changed or comes back."""
    if old is None:
        return 0
    before = int(old.get("sequence", 0))
    return before if _same(old, new) else before + 1


def _same(old: Event | None, new: Event) -> bool:
    return old is not None and all(_text(old, name) == _text(new, name) for name in SAME)


def _text(event: Event, name: str) -> str:
    value = event.get(name)
    return "" if value is None else str(value.to_ical())


def _cancelled(old: Event, stamp: datetime | None) -> Event:
    """An event that no longer holds, without its alarms; once cancelled it stays as it is."""
    event = Event()
    for name in ("uid", "dtstamp", "dtstart", "summary"):
        event[name] = old[name]
    again = old.get("status") == CANCELLED
    event.add("sequence", int(old.get("sequence", 0)) + (0 if again else 1))
    event.add("status", CANCELLED)
    if stamp is not None and not again:
        del event["dtstamp"]
        event.add("dtstamp", stamp)
    return event


def _by_container(verdicts: Sequence[Verdict]) -> list[list[Verdict]]:
    grouped: dict[str, list[Verdict]] = {}
    for verdict in verdicts:
        grouped.setdefault(verdict.container, []).append(verdict)
    return list(grouped.values())


def _reminders(times: Sequence[Sequence[Verdict]]) -> Iterator[Reminder]:
    """The earliest of each kind over the rules, now and at each planned time.

    Two limits of a container on one minute are one event.
    """
    seen: set[tuple[str, str]] = set()
    numbers = {RETURN: 0, DISCARD: 0}
    for judged in times:
        found = {
            RETURN: [(v.return_before, v) for v in judged if v.return_before is not None],
            DISCARD: [(v.discard_at, v) for v in judged if v.discard_at is not None],
        }
        # in UTC: of the hour that clocks show twice the first comes first
        earliest = {
            word: min(limits, key=lambda pair: pair[0].astimezone(UTC))
            for word, limits in found.items()
            if limits
        }
        minutes = {w: f"{at.astimezone(UTC):%Y-%m-%d %H:%M}" for w, (at, _) in earliest.items()}
        together = len(minutes) == 2 and minutes[RETURN] == minutes[DISCARD]
        for word, (at, verdict) in earliest.items():
            if (together and word == RETURN) or (word, minutes[word]) in seen:
                continue
            seen.add((word, minutes[word]))
            kind = word if not numbers[word] else f"{word} {numbers[word] + 1}"
            numbers[word] += 1
            yield Reminder(f"{RETURN} or discard at" if together else word, at, verdict, kind)


def _event(name: str, reminder: Reminder, described: str, title: str, eaten: Eaten) -> Event:
    """One limit as an entry with its alarms; the same limit keeps its identity when it moves."""
    clock = clock_words(reminder.at, reminder.at.date())
    summary = f"{reminder.word} {clock}: {name} ({reminder.verdict.rule})"
    stamp = reminder.verdict.asked_at.astimezone(UTC)
    event = _entry(stamp, reminder.at.astimezone(UTC), summary, described)
    event.add("uid", _uid(title, name, reminder.kind))
    for before in ALARMS if eaten is Eaten.YES else ():
        _ring(event, -before, summary)
    return event
