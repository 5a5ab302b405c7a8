"""Containers inside containers: whose logs count for what a container holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from costing.findings import Finding
from costing.holding.instants import Moment
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
    ends : mapping of int to frozenset of int
        For each container the containers whose time out ends when it goes back: its own, and
        those emptied into it before its log begins.
    own : int
        The container that now holds the food.
    through : tuple of int
        The other containers it was in.
    """

    moments: tuple[Moment, ...]
    ends: Mapping[int, frozenset[int]]
    own: int
    through: tuple[int, ...] = ()

    def until(self, at: datetime) -> tuple[Moment, ...]:
        """What had happened by ``at``."""
        return tuple(moment for moment in self.moments if moment.at <= at)


class Contents:
    """Which container holds which.

    A text in ``holds`` is another container when one is so named, and otherwise an ingredient or
    a dish; a container named as what it holds does not hold itself.

    Parameters
    ----------
    containers : sequence of Container
        In the order of the sheet; from here on each is known by its number in it.
    """

    def __init__(self, containers: Sequence[Container]) -> None:
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

    def _reach(self, number: int) -> frozenset[int]:
        reached: set[int] = set()
        waiting = list(self._direct[number])
        while waiting:
            inner = waiting.pop()
            if inner not in reached:
                reached.add(inner)
                waiting += self._direct[inner]
        return frozenset(reached)

    def within(self, number: int) -> frozenset[int]:
        """Containers whose food is in this one, at any depth, itself left out."""
        return self._within[number] - {number}

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

    def histories(self, number: int, logs: Sequence[tuple[Moment, ...]]) -> list[History]:
        """The histories of what a container holds; the worst of them governs it.

        Components that need no temperature control have none.

        Parameters
        ----------
        number : int
            Of the container.
        logs : sequence of tuple of Moment
            By container.
        """
        within = self.within(number)
        inner = [n for n in sorted(within) if self._containers[n].covered is not False]
        alone = [
            text
            for text in self._containers[number].holds
            if not set(self._named.get(key(text), ())) & set(inner)
        ]
        given = [self._history(number, (), logs)] if alone or not inner else []
        for component in inner:
            between = sorted(n for n in within if n != component and component in self.within(n))
            given.append(self._history(number, (component, *between), logs))
        return given

    def _history(
        self, number: int, through: tuple[int, ...], logs: Sequence[tuple[Moment, ...]]
    ) -> History:
        owners = (*through, number)
        kept_in_order: list[tuple[datetime, Moment]] = []
        for owner in owners:
            latest: datetime | None = None
            for moment in logs[owner]:
                latest = moment.at if latest is None else max(latest, moment.at)
                kept_in_order.append((latest, moment))
        kept_in_order.sort(key=lambda pair: pair[0])
        ends = {
            owner: frozenset(
                {owner}
                | {
                    inner
                    for inner in owners
                    if inner in self.within(owner) and _before(logs[inner], logs[owner])
                }
            )
            for owner in owners
        }
        return History(tuple(moment for _, moment in kept_in_order), ends, number, through)


def _before(inner: tuple[Moment, ...], outer: tuple[Moment, ...]) -> bool:
    """Whether one log is over by the time another begins; readings of the room say nothing."""
    last = [moment.at for moment in inner if moment.kind is not EventKind.ROOM]
    first = [moment.at for moment in outer if moment.kind is not EventKind.ROOM]
    return not last or (bool(first) and max(last) <= min(first))
