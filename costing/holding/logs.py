"""The log of one container: its events at their instants, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from costing.findings import Finding
from costing.holding.instants import Moment, moments
from costing.holding.messages import (
    back_without_temperature,
    container_without_times,
    reading_without_temperature,
    used_after_discarding,
)
from costing.holding.models import Container, EventKind
from costing.holding.walks import RETURNS
from costing.holding.wording import moment_words


def log_of(
    container: Container, number: int, zone: ZoneInfo
) -> tuple[tuple[Moment, ...], list[Finding]]:
    """A container's events at their instants, and every fault of its log.

    Parameters
    ----------
    container : Container
        Whose log is read.
    number : int
        By which its events are known among those of others.
    zone : ZoneInfo
        Zone of local times.
    """
    log, found = moments(container.events, number, zone)
    found += _unmeasured(log)
    if not log:
        found.append(container_without_times(container.place, container.name))
    again = _used_again(log)
    if again is not None:
        when = moment_words(again.at, zone)
        found.append(used_after_discarding(again.event.place, again.kind, when))
    return log, found


def _unmeasured(log: Sequence[Moment]) -> list[Finding]:
    """Events that prove nothing because no temperature is written beside them."""
    found = []
    for moment in log:
        if moment.event.temperature is not None:
            continue
        if moment.kind in RETURNS:
            found.append(back_without_temperature(moment.event.place, moment.kind))
        elif moment.kind in (EventKind.READING, EventKind.ROOM):
            found.append(reading_without_temperature(moment.event.place, moment.kind))
    return found


def _used_again(log: Sequence[Moment]) -> Moment | None:
    """The first event of food in a container whose food was thrown away."""
    thrown_away = False
    for moment in log:
        if moment.kind is EventKind.DISCARDED:
            thrown_away = True
        elif thrown_away and moment.kind is not EventKind.ROOM:
            return moment
    return None


def discarded_at(log: Sequence[Moment], asked: datetime) -> datetime | None:
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
