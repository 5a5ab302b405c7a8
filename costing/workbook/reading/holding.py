"""The sheet Holding as it is read."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time

from costing.findings import Grade, Place, Words, choice_words, message
from costing.holding.models import Container, Eaten, Event, EventKind, Temperature
from costing.names import Named, key
from costing.shoot import Episode, LeftOut
from costing.shoot.episodes import SHOT_EVENTS
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.dates import day, instant, is_clock, is_day
from costing.workbook.reading.kinds import temperature
from costing.workbook.reading.rows import Carried, Read, SheetReader

EVENT_HEADINGS = ("Event", "When", "Temperature")
"""What a row tells of an event."""

LAST_MINUTE = time(23, 59)
"""Of a day that is marked without a time."""

STRICTEST_FIRST = (Eaten.YES, Eaten.NO, Eaten.NEVER)


@dataclass(slots=True)
class Log:
    """The rows of one container."""

    name: str
    rows: list[RowCells] = field(default_factory=list)


class HoldingReader(SheetReader):
    """Holding: the rows of a container, wherever they stand, are its events in the order logged.

    Whether the times rise is judged with the clock changes of the zone: see ``costing.holding``.
    """

    def read(self) -> Read:
        """The containers."""
        logs: dict[str, Log] = {}
        for heading in EVENT_HEADINGS:
            if heading in self.area.doubtful:
                place, what = self.area.place(self.area.header, heading), f'column "{heading}"'
                self.found.left_out.append(LeftOut(what=what, place=place, in_totals=False))
        carried = Carried(self.area)
        for number, filled in self.area.rows():
            cells = RowCells(self.area, number, filled, self.layout.named_from, carried.name)
            if cells.blank:
                continue
            carried.fill(cells)
            name = cells.required("Container")
            carried.lose_failed(cells)
            if not name:
                self.found.leave_out("event of a container", cells.row)
                continue
            logs.setdefault(key(name), Log(name)).rows.append(cells)
        for log in logs.values():
            container = _container(log, self.area.known.episodes)
            self.found.rows.append(container)
            known = any(event.known for event in container.events)
            if not known and any(_is_event(cells) for cells in log.rows):
                row = log.rows[0].row
                what = f'events of container "{log.name}"'
                left = LeftOut(what=what, place=row.at("When"), name=log.name, in_totals=False)
                self.found.left_out.append(left)
        return self.found


def _container(log: Log, episodes: Sequence[Episode]) -> Container:
    """A container; without events, which no rule lets pass, when no day of its log is known."""
    episode = next((name for name in (cells.name("Episode") for cells in log.rows) if name), "")
    on = _shoot_date(episode, episodes)
    unknown = unknown_episode(episode, [row.name for row in episodes])
    read = [Told.of(cells, on, unknown) for cells in log.rows if _is_event(cells)]
    start = _before_all(read, on)
    events: list[Event] = []
    for entry in read if start is not None else ():
        # what cannot be read counts against the food: out since what is known last
        last = events[-1].at if events else start
        events.append(entry.event if entry.event is not None else entry.as_out(last))
    marked = [(cells, mark) for cells in log.rows if (mark := _mark(cells, on, unknown))]
    marks = [mark for _, mark in marked]
    if len(set(marks)) > 1:
        other = next(cells for cells, mark in marked if mark != marks[0])
        shown = dict.fromkeys(f"{mark:%Y-%m-%d %H:%M}" for mark in marks)
        other.findings.append(marked_twice(other.at("Marked until"), log.name, list(shown)))
    return Container(
        name=log.name,
        holds=_holds(log),
        events=tuple(events),
        marked_until=min(marks, key=lambda mark: mark.replace(tzinfo=None)) if marks else None,
        eaten=_eaten(log),
        episode=episode,
        place=log.rows[0].row.at(),
    )


def _mark(cells: RowCells, on: date | None, unknown: str) -> datetime | None:
    """The discard time on a container; a date alone is the end of that day, as labels mean it."""
    if is_day(cells, "Marked until"):
        marked = day(cells, "Marked until")
        return None if marked is None else datetime.combine(marked, LAST_MINUTE)
    if on is None and "When" in cells.failed and is_clock(cells, "Marked until"):
        cells.failed.add("Marked until")  # the row is told of already: one lack of a day for both
        return None
    return instant(cells, "Marked until", on, unknown)


def _is_event(cells: RowCells) -> bool:
    """Whether a row tells of an event; one that only says what is held does not."""
    return any(heading in cells.cells for heading in EVENT_HEADINGS)


@dataclass(frozen=True, slots=True)
class Told:
    """What a row tells of an event, each part ``None`` when it cannot be read."""

    place: Place
    kind: EventKind | None
    at: datetime | None
    reading: Temperature | None

    @classmethod
    def of(cls, cells: RowCells, on: date | None, unknown: str) -> Told:
        """What the cells of a row say; what lacks or cannot be read has its finding."""
        word = cells.name("Event")
        if key(word) in map(str, SHOT_EVENTS):
            cells.fail("Event", event_of_a_shot, word)
        kind = cells.choice("Event", EventKind)
        at = instant(cells, "When", on, unknown)
        reading = temperature(cells, "Temperature")
        for heading in ("Event", "When"):
            cells.required(heading)
        return cls(cells.row.at("When"), kind, at, reading)

    @property
    def event(self) -> Event | None:
        """The event, when both its kind and its time are known."""
        if self.kind is None or self.at is None:
            return None
        return Event(kind=self.kind, at=self.at, temperature=self.reading, place=self.place)

    def as_out(self, last: datetime | None) -> Event:
        """The food taken out, at the time logged or else since what is known last."""
        at = last if last is not None else self.at
        if at is None:
            raise ValueError("an event without any time before it")
        return Event(kind=EventKind.OUT, at=at, place=self.place, known=self.at is not None)


def _before_all(read: Sequence[Told], on: date | None) -> datetime | None:
    """Since when a container counts as out if its first row cannot be read.

    Its own time when only the event is unclear, else the beginning of the first day known;
    ``None`` when no day is known at all.
    """
    if read and read[0].at is not None:
        return read[0].at
    days = [entry.at.replace(tzinfo=None).date() for entry in read if entry.at is not None]
    first = min(days, default=on)
    return None if first is None else datetime.combine(first, time())


def _shoot_date(episode: str, episodes: Sequence[Episode]) -> date | None:
    """The day of a bare clock time."""
    if episode:
        named = Named((row.name, row) for row in episodes)
        return named[episode].shoot_date if episode in named else None
    return episodes[0].shoot_date if episodes else None


def unknown_episode(name: str, episodes: Sequence[str]) -> str:
    """The name of an episode that is not among those with a row; else ``""``."""
    return name if name and episodes and key(name) not in map(key, episodes) else ""


def _holds(log: Log) -> tuple[str, ...]:
    """What a container holds, in whichever of its rows it is said."""
    held = (part for cells in log.rows for part in re.split(r"[;\n]", cells.text("Holds")))
    names = (" ".join(part.split()) for part in held)
    return tuple(Named((name, name) for name in names if name).values())


def _eaten(log: Log) -> Eaten:
    """The strictest of what is said; blank or unreadable counts as eaten."""
    said = [cells.choice("Eaten", Eaten) for cells in log.rows if "Eaten" in cells.cells]
    words = [Eaten.YES if word is None else word for word in said]
    return min(words, key=STRICTEST_FIRST.index, default=Eaten.YES)


@message("event of a shot", Grade.ERROR)
def event_of_a_shot(found: str) -> Words:
    return Words(
        f'the text "{found}", which is said of a shot',
        choice_words(EventKind),
        "Write out if the container was taken out. A take is a number in Taken on the Shoot plan, "
        f"or a line of the day log: costing log SHOT {found}. Until then the food counts as out.",
    )


@message("container marked twice", Grade.WARNING)
def marked_twice(name: str, marks: Sequence[str]) -> Words:
    return Words(
        f'"{name}" marked until {choice_words(marks, last="and")}',
        "one discard time for a container",
        "The earliest counts for all its rows. Give new food a container name of its own.",
    )
