"""The lines of the day log: which column is which, and which lines still count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.holding.models import EventKind
from costing.names import Named, key, nearest
from costing.shoot import Episode
from costing.shoot.episodes import DayEvent
from costing.workbook.layout.records import DAY_LOG
from costing.workbook.log_file import LogText, Record, read_log
from costing.workbook.package.cellxml import DAY_0
from costing.workbook.package.worksheets import FilledCell, Worksheet
from costing.workbook.reading.areas import Area, Known
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.headings import heading_nearly_known
from costing.workbook.reading.unread import column_not_read

HEADINGS = Named((heading, heading) for heading in DAY_LOG.headings)
LOG_EVENTS: Named[EventKind | DayEvent] = Named((word, word) for word in (*EventKind, *DayEvent))
BEGINNING = 3
"""So many first letters of a known heading are that heading cut short. [characters]"""

TEXT_FORMAT = "@"
"""Of a cell that is a text whatever is written in it."""

ENOUGH_HEADINGS = 2
"""So many cells of a line that are known headings make it a line of headings."""


@dataclass(slots=True)
class ReadLine:
    """A line of the log with its What and Event; ``None`` when the event is no known word."""

    cells: RowCells
    what: str
    event: EventKind | DayEvent | None

    @property
    def words(self) -> str:
        """What it says, in short."""
        told = (self.cells.text(heading) for heading in DAY_LOG.headings[1:-1])
        when = self.cells.text("When")
        return " ".join(filter(None, told)) + (f", {when}" if when else "")


def line_of_headings(cells: Sequence[str]) -> tuple[str, ...] | None:
    """Our headings of a line of headings, ``""`` for one of somebody's own; else ``None``.

    Examples
    --------
    >>> line_of_headings(("what", "WHEN", "Event", "Who"))
    ('What', 'When', 'Event', '')
    >>> line_of_headings(("10:05", "bowl", "out"))
    """
    titles = tuple(HEADINGS.get(cell, "") for cell in cells)
    return titles if len(set(filter(None, titles))) >= ENOUGH_HEADINGS else None


def columns_of(log: LogText) -> tuple[str, ...]:
    """The headings by which the last lines of a log are read."""
    found: tuple[str, ...] = DAY_LOG.headings
    for record in log.records:
        found = line_of_headings(record.cells) or found
    return found


def standing_lines(
    path: Path, episodes: Sequence[Episode] = ()
) -> tuple[list[ReadLine], list[Finding]]:
    """The lines of a log that no line below them takes back, and what is to be said of it.

    ``episodes``: whose shoot dates decide what a date means that may be two days.

    Raises
    ------
    LogFault
        If it cannot be read.
    """
    log = read_log(path)
    findings: list[Finding] = []
    if log is None:
        return [], findings
    known = Known(episodes=list(episodes))
    return _standing(list(_lines(log, path.name, known, findings)), findings), findings


def _area(
    name: str, columns: Sequence[str], header: int, known: Known, findings: list[Finding]
) -> Area:
    """The lines below one line of headings, as an input sheet."""
    titles: dict[int, str] = {}
    for number, heading in enumerate(columns, start=1):
        if heading and heading not in titles.values():
            titles[number] = heading
    sheet = Worksheet(name)
    area = Area(DAY_LOG, sheet, header, None, titles, set(), DAY_0, named=name, known=known)
    area.letters.clear()  # a line of a text file has a number and no letters
    area.findings = findings
    return area


def _lines(log: LogText, name: str, known: Known, findings: list[Finding]) -> Iterator[ReadLine]:
    """The lines below their headings, each with its What and Event."""
    area: Area | None = None
    told: set[str] = set()
    headings: Sequence[str] = ()
    for record in log.records:
        columns = line_of_headings(record.cells)
        if columns is not None:
            area = _area(name, columns, record.number, known, findings)
            headings = record.cells
            missing = [h for h in DAY_LOG.required_headings if h not in columns]
            if missing:
                place = Place(name, record.number)
                findings.append(log_headings_missing(place, missing))
            continue
        if area is None:
            place = Place(name, record.number)
            findings.append(log_without_headings(place, DAY_LOG.headings))
            area = _area(name, DAY_LOG.headings, 0, known, findings)
            headings = DAY_LOG.headings
        if all(heading in area.columns.values() for heading in DAY_LOG.required_headings):
            _tell_of_columns(record, area, headings, told)
            yield _line(record, area)


def _tell_of_columns(record: Record, area: Area, headings: Sequence[str], told: set[str]) -> None:
    """What stands outside the columns that are read."""
    place = area.place(record.number)
    if record.torn:
        area.findings.append(log_line_torn(place))
    more = [cell for cell in record.cells[len(headings) :] if cell]
    if more:
        finding = log_line_too_long(place, ", ".join(more), len(headings))
        area.findings.append(finding)
    for number, (heading, cell) in enumerate(zip(headings, record.cells, strict=False), start=1):
        if not cell or number in area.columns or not heading or key(heading) in told:
            continue
        told.add(key(heading))
        at = area.place(area.header)
        free = [one for one in DAY_LOG.headings if one not in area.columns.values()]
        begun = [one for one in free if len(heading) >= BEGINNING and _begins(one, heading)]
        near = [*begun, *nearest(heading, free)]
        area.findings.append(
            heading_nearly_known(at, heading, near[0])
            if near
            else column_not_read(at, heading, choice_words(free or DAY_LOG.headings, most=6))
        )


def _begins(known: str, heading: str) -> bool:
    return key(known).startswith(key(heading))


def _line(record: Record, area: Area) -> ReadLine:
    cells: dict[str, FilledCell | None] = {
        area.columns[number]: FilledCell(record.number, number, text, TEXT_FORMAT)
        for number, text in enumerate(record.cells, start=1)
        if number in area.columns and text
    }
    row = RowCells(area, record.number, cells, ("What",))
    return ReadLine(row, row.name("What"), LOG_EVENTS.get(row.text("Event")))


def _standing(lines: list[ReadLine], findings: list[Finding]) -> list[ReadLine]:
    """The lines that no line below them takes back: each undone takes back one."""
    kept: list[ReadLine] = []
    for line in lines:
        if line.event is not DayEvent.UNDONE:
            # only what still counts can be taken back, so that two "undone" take back two lines
            kept.append(line)
            continue
        taken_back = next((one for one in reversed(kept) if key(one.what) == key(line.what)), None)
        if taken_back is None:
            findings.append(nothing_to_undo(line.cells.at("What"), line.what))
        else:
            kept.remove(taken_back)
            about = taken_back.cells.number
            area = line.cells.area
            # what is taken back needs no mending any more
            area.findings[:] = [f for f in area.findings if f.place.row != about]
    return kept


@message("log without headings", Grade.WARNING)
def log_without_headings(headings: Sequence[str]) -> Words:
    return Words(
        "a first line without headings",
        f'the line "{",".join(headings)}"',
        "Write it as the first line. Until then the cells of each line are read in this order.",
    )


@message("log headings missing", Grade.ERROR)
def log_headings_missing(missing: Sequence[str]) -> Words:
    return Words(
        "a line of headings without " + choice_words(missing, last="and"),
        "When, What and Event among them",
        "Write what is missing, spelled so; until then no line below it is read: treat what they "
        "may say of a container as past its limit.",
    )


@message("log line torn", Grade.ERROR)
def log_line_torn() -> Words:
    return Words(
        "a line with a quotation mark that has no second one",
        "cells without quotation marks, or each between two",
        "Take the mark out; until then the line is read as if the mark were a letter.",
    )


@message("log line too long", Grade.ERROR)
def log_line_too_long(more: str, columns: int) -> Words:
    return Words(
        f'"{more}" behind the last column',
        f"at most {columns} cells",
        "A comma inside a cell, as in 4,5 C, needs quotation marks around the cell, or write 4.5 "
        "C; until then what is behind the last column is not read.",
    )


@message("nothing to undo", Grade.WARNING)
def nothing_to_undo(name: str) -> Words:
    return Words(
        f'"undone" of "{name}", and no line of it above that still counts',
        "a line above it of the same What",
        "Write the name as it is in the line that is to be taken back, or take this line out.",
    )
