"""Logged local times as instants of universal time, with the clock changes that fall among them.

Only instants are compared and subtracted: two datetimes that share a time zone compare by what the
clock on the wall shows, which is an hour wrong over a clock change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from costing.findings import NOWHERE, Finding, Place
from costing.holding.messages import (
    time_before_the_last,
    time_not_on_the_clock,
    time_twice_on_the_clock,
)
from costing.holding.models import Event, EventKind, Temperature
from costing.holding.wording import moment_words

TAKEN_LATE = (EventKind.BACK, EventKind.FROZEN, EventKind.DISCARDED)
"""Events that end a time out: of two possible instants the later is taken."""


@dataclass(frozen=True, slots=True)
class Moment:
    """An event at its instant.

    Parameters
    ----------
    event : Event
        As logged.
    at : datetime
        Its instant. [UTC]
    owner : int
        Number of the container in whose log it stands.
    disordered : bool
        Whether it is logged earlier than the event above it.
    """

    event: Event
    at: datetime
    owner: int
    disordered: bool = False

    @property
    def kind(self) -> EventKind:
        """What happened."""
        return self.event.kind

    @property
    def food(self) -> Temperature | None:
        """Temperature of the food, when it was read."""
        return None if self.kind is EventKind.ROOM else self.event.temperature


def possible_instants(time: datetime, zone: ZoneInfo) -> tuple[datetime, ...]:
    """The instants a logged time can mean, the earlier first; one but for clock changes.

    Examples
    --------
    >>> chicago = ZoneInfo("America/Chicago")
    >>> [f"{i:%H:%M}" for i in possible_instants(datetime(2027, 11, 7, 1, 30), chicago)]
    ['06:30', '07:30']
    """
    if time.tzinfo is not None:
        return (time.astimezone(UTC),)
    first = time.replace(tzinfo=zone, fold=0).astimezone(UTC)
    second = time.replace(tzinfo=zone, fold=1).astimezone(UTC)
    return (first,) if first == second else (min(first, second), max(first, second))


def one_instant(
    time: datetime, zone: ZoneInfo, *, late: bool, place: Place = NOWHERE
) -> tuple[datetime, list[Finding]]:
    """Instant of a single time, and what is to be said of it.

    Parameters
    ----------
    time : datetime
        Local without a zone, or with its own offset.
    zone : ZoneInfo
        Zone of local times.
    late : bool
        Which of two possible instants to take.
    place : Place
        Where it is logged.
    """
    options = possible_instants(time, zone)
    taken = options[-1] if late else options[0]
    return taken, clock_change_findings(time, zone, options, taken, place)


def clock_change_findings(
    time: datetime, zone: ZoneInfo, options: Sequence[datetime], taken: datetime, place: Place
) -> list[Finding]:
    """What is to be said of a time that a clock change leaves out or shows twice."""
    if len(options) < 2:
        return []
    shown = options[0].astimezone(zone).replace(tzinfo=None)
    words = time_twice_on_the_clock if shown == time.replace(fold=0) else time_not_on_the_clock
    return [words(place, f"{time:%Y-%m-%d %H:%M}", zone.key, moment_words(taken, zone))]


def moments(
    events: Sequence[Event], owner: int, zone: ZoneInfo
) -> tuple[tuple[Moment, ...], list[Finding]]:
    """Events at their instants, in the order logged.

    Of two possible instants the one that makes the time out the longer is taken, unless only the
    other keeps the order of the log.

    Parameters
    ----------
    events : sequence of Event
        Of one container.
    owner : int
        Number of the container.
    zone : ZoneInfo
        Zone of local times.
    """
    options = [possible_instants(event.at, zone) for event in events]
    latest = _latest_in_order(options)
    found: list[Finding] = []
    given: list[Moment] = []
    for event, possible, bound in zip(events, options, latest, strict=True):
        before = given[-1].at if given else possible[0]
        fitting = [at for at in possible if before <= at <= bound] or list(possible)
        at = fitting[-1] if event.kind in TAKEN_LATE else fitting[0]
        found += clock_change_findings(event.at, zone, possible, at, event.place)
        if at < before:
            found.append(
                time_before_the_last(
                    event.place, moment_words(at, zone), moment_words(before, zone)
                )
            )
        given.append(Moment(event, at, owner, disordered=at < before))
    return tuple(given), found


def _latest_in_order(options: Sequence[Sequence[datetime]]) -> list[datetime]:
    """For each event the latest instant from which the events after it can still follow."""
    bounds: list[datetime] = []
    after: datetime | None = None
    for possible in reversed(options):
        fitting = [at for at in possible if after is None or at <= after]
        after = fitting[-1] if fitting else possible[-1]
        bounds.append(after)
    return bounds[::-1]
