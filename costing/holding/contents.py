"""Containers inside containers: whose logs count for what a container holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from heapq import merge
from itertools import accumulate

from costing.findings import Finding
from costing.holding.logs import Moment
from costing.holding.messages import containers_hold_each_other
from costing.holding.models import Container, EventKind
from costing.names import key


@dataclass(frozen=True, slots=True)
class History:
    """The log of one component from its first container to the one that now holds it.

    Parameters
    ----------
    moments : tuple of Moment
        In time; a disordered one stays where it was logged.
    ends : sequence of frozenset of int
        For each container the containers whose time out ends when it goes back: its own, and
        those emptied into it before its log begins.
    own : int
        The container that now holds the food.
    through : tuple of int
        The other containers it was in.
    waits : bool
        Whether the food needs no control before an event that was not logged in all of them.
    """

    moments: tuple[Moment, ...]
    ends: Sequence[frozenset[int]]
    own: int
    through: tuple[int, ...] = ()
    waits: bool = False

    def until(self, at: datetime) -> tuple[Moment, ...]:
        """What had happened by ``at``."""
        return tuple(moment for moment in self.moments if moment.at <= at)


class Nesting:
    """Which container holds which.

    A text in ``holds`` is another container when one is so named, and otherwise an ingredient or
    a dish; a container named as what it holds does not hold itself.

    ``containers``: in the order of the sheet; from here on each is known by its number in it.
    """

    def __init__(self, containers: Sequence[Container], logs: Sequence[tuple[Moment, ...]]) -> None:
        self._containers = containers
        named: dict[str, list[int]] = {}
        for number, container in enumerate(containers):
            named.setdefault(key(container.name), []).append(number)
        self._direct = [
            {n for text in c.holds for n in named.get(key(text), ()) if n != number}
            for number, c in enumerate(containers)
        ]
        self._named = named
        self._within = [self._reach(number) for number in range(len(containers))]
        self._holders: list[list[int]] = [[] for _ in containers]
        for outer, within in enumerate(self._within):
            for inner in within:
                self._holders[inner].append(outer)
        self._timed = [
            _from_its_start(_timed(log), container.starts_by)
            for container, log in zip(containers, logs, strict=True)
        ]
        # a container whose log is over before the other's begins was emptied into it: their food
        # goes back together
        spans = [_span(log) for log in logs]
        self._ends = [
            frozenset(
                inner
                for inner in {owner, *self._within[owner]}
                if inner == owner or _before(spans[inner], spans[owner])
            )
            for owner in range(len(containers))
        ]

    def _reach(self, number: int) -> frozenset[int]:
        reached: set[int] = set()
        waiting = list(self._direct[number])
        while waiting:
            inner = waiting.pop()
            if inner not in reached:
                reached.add(inner)
                waiting += self._direct[inner]
        return frozenset(reached - {number})

    def within(self, number: int) -> frozenset[int]:
        """Containers whose food is in this one, at any depth, itself left out."""
        return self._within[number]

    def holders(self, number: int) -> Sequence[int]:
        """Containers that hold this one, at any depth, in the order of the sheet."""
        return self._holders[number]

    def loops(self) -> list[Finding]:
        """A finding for each pair of containers said to hold each other."""
        names = [container.name for container in self._containers]
        return [
            containers_hold_each_other(self._containers[number].place, names[number], names[other])
            for number, direct in enumerate(self._direct)
            for other in sorted(direct)
            if number in self._within[other]
            and (number < other or number not in self._direct[other])
        ]

    def histories(self, number: int) -> list[History]:
        """The histories of what a container holds; the worst of them governs it.

        Components that need no temperature control have none.
        """
        within = self.within(number)
        inner = [n for n in sorted(within) if self._containers[n].covered is not False]
        # what is named and no container of its own has been here all the time
        alone = [
            text
            for text in self._containers[number].holds
            if not set(self._named.get(key(text), ())) & set(inner)
        ]
        given = [self._history(number, ())] if alone or not inner else []
        for component in inner:
            between = [n for n in self._holders[component] if n in within]
            given.append(self._history(number, (component, *between)))
        return given

    def _history(self, number: int, through: tuple[int, ...]) -> History:
        timed = [self._timed[owner] for owner in (*through, number)]
        moments = tuple(moment for _, moment in merge(*timed, key=lambda pair: pair[0]))
        waits = any(self._containers[owner].starts_by for owner in (*through, number))
        return History(moments, self._ends, number, through, waits)


def _timed(log: Sequence[Moment]) -> list[tuple[datetime, Moment]]:
    """Each event with the latest instant logged so far, which keeps a disordered one in place."""
    latest = accumulate((moment.at for moment in log), max)
    return list(zip(latest, log, strict=True))


def _from_its_start(
    timed: list[tuple[datetime, Moment]], starts_by: Sequence[EventKind]
) -> list[tuple[datetime, Moment]]:
    """Events from the first of those kinds on; all of them where the order is not certain."""
    if not starts_by or any(moment.disordered for _, moment in timed):
        return timed
    # cut or opened before this log began, it needs control from the log's first row on
    kinds = [moment.kind for _, moment in timed]
    if _done_before_the_log(kinds):
        return timed
    first = next((n for n, kind in enumerate(kinds) if kind in starts_by), len(timed))
    return timed[first:]


def _done_before_the_log(kinds: Sequence[EventKind]) -> bool:
    """Whether food is heated again or thawed that was not cooked or frozen in this log."""
    for made, again in (
        (EventKind.COOKED, EventKind.REHEATED),
        (EventKind.FROZEN, EventKind.THAWED),
    ):
        if again in kinds and made not in kinds[: kinds.index(again)]:
            return True
    return False


def _span(log: Sequence[Moment]) -> tuple[datetime, datetime] | None:
    """First and last instant at which something happened to the food."""
    instants = [moment.at for moment in log if moment.kind is not EventKind.ROOM]
    return (min(instants), max(instants)) if instants else None


def _before(
    inner: tuple[datetime, datetime] | None, outer: tuple[datetime, datetime] | None
) -> bool:
    """Whether one log is over by the time another begins."""
    return inner is None or (outer is not None and inner[1] <= outer[0])
