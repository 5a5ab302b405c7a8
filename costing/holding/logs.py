"""The log of one container: its events at their instants, and what is wrong with it.

Where it is not certain what a log says, it is read in every way it can be meant, and the worst of
them holds: rows out of order are read as typed and sorted, and a reading in the hour that clocks
show twice is read at both instants.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import product
from zoneinfo import ZoneInfo

from costing.findings import Finding
from costing.holding.instants import clock_change_findings, moment_words, possible_instants
from costing.holding.messages import (
    back_without_temperature,
    container_without_times,
    reading_without_temperature,
    time_after_the_one_asked,
    time_before_the_last,
    used_after_discarding,
)
from costing.holding.models import Container, Event, EventKind, Temperature
from costing.holding.rules import RETURNS

TAKEN_LATE = (EventKind.BACK, EventKind.FROZEN, EventKind.DISCARDED)
"""Events that end a time out: of two possible instants the later is taken."""

TRIED_KINDS = (EventKind.READING, EventKind.ROOM, EventKind.REHEATED)
"""Measured events of which neither instant is always the worse: a reading can end one time out and
begin the next."""

MOST_DOUBTS = 4
"""Readings in the doubled hour that are read both ways each; of more of them all are early or all
late, because the ways double with each."""


@dataclass(frozen=True, slots=True)
class Moment:
    """An event at its instant.

    Parameters
    ----------
    at : datetime
        Its instant. [UTC]
    owner : int
        Number of the container in whose log it is.
    disordered : bool
        Whether it is logged earlier than the event above it.
    food, room : Temperature, optional
        Of the food or of the room, when it was read.
    """

    event: Event
    at: datetime
    owner: int
    disordered: bool = False
    # not looked up at each question: what stands in many containers is gone through for each
    kind: EventKind = field(init=False, repr=False, compare=False)
    food: Temperature | None = field(init=False, repr=False, compare=False)
    room: Temperature | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        kind, read = self.event.kind, self.event.temperature
        of_room = kind is EventKind.ROOM
        object.__setattr__(self, "kind", kind)
        object.__setattr__(self, "food", None if of_room else read)
        object.__setattr__(self, "room", read if of_room else None)


Log = tuple[Moment, ...]


def moments(
    events: Sequence[Event], owner: int, zone: ZoneInfo, *, late: frozenset[int] | None = None
) -> tuple[Log, list[Finding]]:
    """Events at their instants, in the order logged.

    Of two possible instants the one that makes the time out the longer is taken, unless only the
    other keeps the order of the log.

    ``late``: places of the measured events of which the later of two instants is taken, where both
    are tried; ``None``: by what the event is.
    """
    options = [possible_instants(event.at, zone) for event in events]
    latest = _latest_in_order(options)
    found: list[Finding] = []
    given: list[Moment] = []
    for place, (event, possible, bound) in enumerate(zip(events, options, latest, strict=True)):
        before = given[-1].at if given else possible[0]
        # the order of the rows tells which is meant; where it does not, the longer time out counts
        fitting = [at for at in possible if before <= at <= bound] or list(possible)
        tried = late is not None and event.kind in TRIED_KINDS
        ends = place in (late or ()) if tried else event.kind in TAKEN_LATE
        at = fitting[-1] if ends else fitting[0]
        found += clock_change_findings(event.at, zone, possible, event.place)
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


def read_logs(
    containers: Sequence[Container], zone: ZoneInfo
) -> tuple[list[list[Log]], list[Finding]]:
    """Every way the logs of a shoot can be meant, and every fault of them.

    ``containers``: in the order of the sheet; from here on each is known by its number in it.

    Returns
    -------
    list of list of tuple of Moment
        The logs by container, once for each way; the first is as typed.
    list of Finding
        Faults, of the logs as typed.
    """
    events = [container.events for container in containers]
    typed: list[Log] = []
    found: list[Finding] = []
    for number, container in enumerate(containers):
        log, faults = moments(container.events, number, zone)
        typed.append(log)
        found += [*faults, *_faults(container, log, zone)]
    # the order as typed first: its log is the one that is shown and that findings speak of
    orders = [events]
    if any(moment.disordered for log in typed for moment in log):
        orders.append([sorted_events(one, zone) for one in events])
    doubts = _doubts(events, zone)
    if len(orders) == len(doubts) == 1:
        return [typed], found
    ways = [typed]
    for order in orders:
        for late in doubts if order is events else _doubts(order, zone):
            logs = [moments(one, n, zone, late=late[n])[0] for n, one in enumerate(order)]
            if logs not in ways:
                ways.append(logs)
    return ways, found


def sorted_events(events: Sequence[Event], zone: ZoneInfo) -> tuple[Event, ...]:
    """Events by the clock, as a person sorts the rows; those of one minute as typed."""
    if all(event.at.tzinfo is None for event in events):
        return tuple(sorted(events, key=lambda event: event.at))
    return tuple(sorted(events, key=lambda event: possible_instants(event.at, zone)[0]))


def merged_events(zone: ZoneInfo, *logs: Sequence[Event]) -> tuple[Event, ...]:
    """Events that were reported in several places, as one log.

    The order within each place stays as it is, so that an event out of order there is noticed;
    of the events that come next the earliest comes first.

    ``logs``: place by place.

    Examples
    --------
    >>> day = "2031-05-10"
    >>> sheet = [Event(kind="out", at=f"{day} 10:00"), Event(kind="back", at=f"{day} 11:00")]
    >>> log = [Event(kind="reading", at=f"{day} 10:30", temperature="6 C")]
    >>> [str(event.kind) for event in merged_events(ZoneInfo("UTC"), sheet, log)]
    ['out', 'reading', 'back']
    """
    left = [list(events) for events in logs if events]
    merged: list[Event] = []
    while left:
        first = min(left, key=lambda events: possible_instants(events[0].at, zone)[0])
        merged.append(first.pop(0))
        left = [events for events in left if events]
    return tuple(merged)


def _doubts(events: Sequence[Sequence[Event]], zone: ZoneInfo) -> list[list[frozenset[int]]]:
    """Which readings of a doubled hour to take late, container by container, in every way."""
    doubted = [
        (number, place)
        for number, log in enumerate(events)
        for place, event in enumerate(log)
        if event.kind in TRIED_KINDS
        and event.temperature is not None
        and len(possible_instants(event.at, zone)) > 1
    ]
    if len(doubted) <= MOST_DOUBTS:
        chosen = list(product((False, True), repeat=len(doubted)))
    else:
        chosen = [(False,) * len(doubted), (True,) * len(doubted)]
    return [
        [
            frozenset(
                place for (n, place), late in zip(doubted, way, strict=True) if n == number and late
            )
            for number in range(len(events))
        ]
        for way in chosen
    ]


def _faults(container: Container, log: Log, zone: ZoneInfo) -> list[Finding]:
    """What is wrong with a log besides its times."""
    found = []
    for moment in log:
        if moment.event.temperature is not None:
            continue
        if moment.kind in RETURNS:
            found.append(back_without_temperature(moment.event.place, moment.kind))
        elif moment.kind in (EventKind.READING, EventKind.ROOM):
            found.append(reading_without_temperature(moment.event.place, moment.kind))
    if not log:
        found.append(container_without_times(container.place, container.name))
    again = _used_again(log)
    if again is not None:
        when = moment_words(again.at, zone)
        found.append(used_after_discarding(again.event.place, again.kind, when))
    return found


def later_than_asked(log: Log, asked: datetime, zone: ZoneInfo) -> list[Finding]:
    """A warning where a log goes beyond the instant asked about, at its first such event."""
    later = [moment for moment in log if moment.at > asked]
    if not later:
        return []
    first = min(later, key=lambda moment: moment.at)
    return [
        time_after_the_one_asked(
            first.event.place, moment_words(first.at, zone), moment_words(asked, zone)
        )
    ]


def _used_again(log: Log) -> Moment | None:
    """The first event of food in a container whose food was thrown away."""
    thrown_away = False
    for moment in log:
        if moment.kind is EventKind.DISCARDED:
            thrown_away = True
        elif thrown_away and moment.kind is not EventKind.ROOM:
            return moment
    return None


def discarded_at(log: Log, asked: datetime) -> datetime | None:
    """When the food was thrown away for good, if it was by then."""
    if _used_again(log) is not None:
        return None
    return min(
        (
            moment.at
            for moment in log
            if moment.kind is EventKind.DISCARDED and not moment.disordered and moment.at <= asked
        ),
        default=None,
    )
