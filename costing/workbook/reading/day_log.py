"""The day log as it is read: events for the containers, lines about shots and ingredients."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from pathlib import Path

from costing.findings import Finding, Grade, Place, Words, message, near_words
from costing.holding.logs import merged_events, sorted_events
from costing.holding.models import Container, Event, EventKind
from costing.names import key, nearest
from costing.quantities import (
    EACH,
    Amount,
    Dimension,
    UnreadableNumber,
    amount,
    read_number,
)
from costing.shoot import LeftOut, Shoot
from costing.shoot.episodes import SHOT_EVENTS, DayEvent, Logged
from costing.shoot.taken import countable_in, not_counted_so
from costing.workbook.layout.records import DAY_LOG
from costing.workbook.log_file import LogFault, day_log_beside
from costing.workbook.reading.cells import RowCells, choice_unknown
from costing.workbook.reading.dates import clock_text, instant
from costing.workbook.reading.holding import Told, unknown_episode
from costing.workbook.reading.log_lines import LOG_EVENTS, ReadLine, standing_lines


@dataclass(slots=True)
class _Events:
    """What the log tells of one container, in the order of its lines.

    Parameters
    ----------
    dated : list of Event
        With their date: lines may come late, so the clock decides their order.
    typed : list of Event
        With a time alone, or none: a night shoot may go past midnight, so the order stays.
    """

    dated: list[Event] = field(default_factory=list)
    typed: list[Event] = field(default_factory=list)

    @property
    def last(self) -> datetime | None:
        """The time of the last line."""
        known = [*self.typed[-1:], *self.dated[-1:]]
        return max((e.at for e in known), key=lambda at: at.replace(tzinfo=None), default=None)


def with_day_log(shoot: Shoot, workbook: Path) -> tuple[Shoot, list[Finding]]:
    """A shoot with what the log beside its workbook tells, and what is to be said of the log."""
    path = day_log_beside(workbook)
    try:
        lines, findings = standing_lines(path, shoot.episodes)
    except LogFault as fault:
        return shoot, [day_log_unreadable(Place(path.name), str(fault))]
    if not lines:
        return shoot, findings
    reading = _Reading(shoot, findings)
    for line in lines:
        reading.read(line)
    return reading.shoot(), findings


class _Reading:
    """What the standing lines say, one after the other."""

    def __init__(self, shoot: Shoot, findings: list[Finding]) -> None:
        self._shoot = shoot
        self._findings = findings
        self._zone = shoot.settings.zone
        self._days = shoot.shoot_dates
        self._events: dict[str, _Events] = {}
        self._logged: list[Logged] = []
        self._left_out: list[LeftOut] = []

    def shoot(self) -> Shoot:
        """The shoot with all that was read."""
        return self._shoot.changed(
            containers=tuple(map(self._with_events, self._shoot.containers)),
            day_log=tuple(self._logged),
            left_out=(*self._shoot.left_out, *self._left_out),
        )

    def _with_events(self, container: Container) -> Container:
        noted = self._events.get(key(container.name))
        if noted is None:
            return container
        dated = sorted_events(noted.dated, self._zone)
        events = merged_events(self._zone, container.events, noted.typed, dated)
        return container.model_copy(update={"events": events})

    def read(self, line: ReadLine) -> None:
        """Take in one line."""
        cells, event = line.cells, line.event
        what = cells.required("What")
        if not what:
            self._leave_out(line)
        elif event is DayEvent.COUNTED:
            self._not_used(cells, "Temperature", str(event), "what is counted is not measured")
            self._counted(cells, what)
        elif event in SHOT_EVENTS:
            self._not_used(cells, "Temperature", str(event), "a shot has none")
            self._not_used(cells, "Amount", str(event), "it says how often, not how much")
            at = instant(cells, "When", self._day_of_shot(what))
            if at is None and "When" not in cells.failed:
                self._findings.append(log_take_without_time(cells.at("When")))
            self._add(cells, what, DayEvent(str(event)), at, None)
        else:
            self._of_container(cells, what, event)

    def _not_used(self, cells: RowCells, heading: str, event: str, why: str) -> None:
        if text := cells.text(heading):
            self._findings.append(log_cell_not_used(cells.at(heading), text, event, why))

    def _add(
        self,
        cells: RowCells,
        what: str,
        event: DayEvent,
        at: datetime | None,
        counted: Amount | None,
    ) -> None:
        """Keep a line that was read, for the shots and counts of the shoot."""
        self._logged.append(
            Logged(
                what=what,
                event=event,
                when=at,
                amount=counted,
                note=cells.text("Note"),
                row=cells.row,
            )
        )

    def _leave_out(self, line: ReadLine) -> None:
        place = line.cells.row.at()
        what = f"line {line.cells.number} of the day log"
        name = line.what if line.event is DayEvent.COUNTED else ""
        left = LeftOut(what=what, place=place, sheet=DAY_LOG.title, name=name, in_totals=False)
        self._left_out.append(left)

    def _first_day(self) -> date | None:
        return self._shoot.episodes[0].shoot_date if self._shoot.episodes else None

    def _day_of_shot(self, what: str) -> date | None:
        """The day of the first shot of that name."""
        for shot in self._shoot.shots:
            if key(shot.label) == key(what) and shot.episode in self._days:
                return self._days[shot.episode]
        return self._first_day()

    def _counted(self, cells: RowCells, what: str) -> None:
        """A count; one that cannot be read is left out."""
        cells.required("When")
        at = instant(cells, "When", self._first_day())
        text = cells.text("Amount")
        if not text:
            cells.fail("Amount", counted_amount_missing, what)
        known = countable_in(self._shoot)
        counted = self._amount(cells, what, text, known=what in known) if text else None
        if counted is None or at is None:
            if what not in known:
                cells.fail("What", not_counted_so, what, self._shoot)
            self._leave_out(ReadLine(cells, what, DayEvent.COUNTED))
        else:
            self._add(cells, what, DayEvent.COUNTED, at, counted)

    def _amount(self, cells: RowCells, what: str, text: str, *, known: bool) -> Amount | None:
        """What was counted; a number alone of an unknown name is reported by its name."""
        try:
            return counted_amount(text, what, self._shoot)
        except NoUnit as fault:
            if known:
                cells.fail("Amount", counted_amount_unreadable, text, str(fault))
            cells.failed.add("Amount")
            return None
        except ValueError as fault:
            why = str(fault).rstrip(".")
            cells.fail("Amount", counted_amount_unreadable, text, why)
            return None

    def _of_container(self, cells: RowCells, what: str, event: EventKind | DayEvent | None) -> None:
        """An event of a container; what cannot be read of it counts against the food."""
        self._not_used(cells, "Amount", cells.text("Event"), "only a count has an amount")
        container = self._shoot.container_rows.get(what)
        if container is None:
            self._unknown(cells, what, event)
            return
        noted = self._events.setdefault(key(what), _Events())
        on = self._days.get(container.episode) if container.episode else self._first_day()
        read = Told.of(cells, on, unknown_episode(container.episode, list(self._days)))
        last = noted.last or (container.events[-1].at if container.events else None)
        if last is None and on is not None:
            last = datetime.combine(on, time())
        if read.event is not None:
            alone = clock_text(cells.text("When")) is not None
            (noted.typed if alone else noted.dated).append(read.event)
        elif last is not None or read.at is not None:
            noted.typed.append(read.as_out(last))
        else:
            self._leave_out(ReadLine(cells, what, event))

    def _unknown(self, cells: RowCells, what: str, event: EventKind | DayEvent | None) -> None:
        """Tell of a name that is no container, or of an event that is none."""
        self._leave_out(ReadLine(cells, what, event))
        if event is None:
            text = cells.text("Event")
            if not text:
                cells.required("Event")
                return
            words = list(map(str, self._events_of(what)))
            cells.fail("Event", choice_unknown, f'the text "{text}"', words, nearest(text, words))
        elif not self._shoot.left_out_on("Holding", name=what):
            near = nearest(what, self._shoot.container_rows)
            cells.fail("What", log_container_unknown, what, str(event), near)

    def _events_of(self, what: str) -> Sequence[EventKind | DayEvent]:
        """The events that a name may have: those of what is counted, of a shot, or all."""
        if what in countable_in(self._shoot):
            return DayEvent.COUNTED, DayEvent.UNDONE
        if any(key(shot.label) == key(what) for shot in self._shoot.shots):
            return *SHOT_EVENTS, DayEvent.UNDONE
        return tuple(LOG_EVENTS.values())


class NoUnit(ValueError):
    """A number alone, of what is not counted in pieces."""


def counted_amount(text: str, what: str, shoot: Shoot) -> Amount:
    """An amount with its unit; a number alone counts what is sold or used in pieces.

    Raises
    ------
    ValueError
        If it cannot be read.
    """
    if not any(sign.isnumeric() for sign in text):
        raise ValueError("it has no number")
    if not any(sign.isalpha() for sign in text):
        if not _in_pieces(what, shoot):
            raise NoUnit("it has no unit")
        number = read_number(text)
        if number.is_range:
            raise UnreadableNumber(text, "a range where one amount is expected")
        found = Amount(number.low, EACH)
    else:
        found = amount(text, shoot.settings.measures)
    if found.magnitude < 0:
        raise UnreadableNumber(text, "less than nothing")
    return found


def _in_pieces(what: str, shoot: Shoot) -> bool:
    """Whether an ingredient is used, sold or on hand in pieces."""
    amounts = (
        *(line.amount for line in shoot.lines if key(line.ingredient) == key(what)),
        *(pack.amount for pack in shoot.packs if key(pack.ingredient) == key(what)),
        *(lot.amount for lot in shoot.lots if key(lot.ingredient) == key(what)),
    )
    return any(one and one.unit.dimension is Dimension.COUNT for one in amounts)


@message("day log unreadable", Grade.ERROR)
def day_log_unreadable(what: str) -> Words:
    return Words(
        what,
        "the day log as a text file with cells between commas",
        "Mend the file, or give it another name; until then nothing of it counts: treat what it "
        "may say of a container as past its limit.",
    )


@message("log cell not used", Grade.WARNING)
def log_cell_not_used(text: str, event: str, used_for: str) -> Words:
    return Words(
        f'"{text}" beside "{event}"',
        f"a blank here: {used_for}",
        "Take it out, or put it into the right column; it is not read.",
    )


@message("log take without a time", Grade.WARNING)
def log_take_without_time() -> Words:
    return Words(
        "a blank cell beside what was taken or spoiled",
        "a date and time such as 2031-05-10 10:05",
        "Write when it was. The line counts all the same: the food is used.",
    )


@message("log container unknown", Grade.ERROR)
def log_container_unknown(name: str, event: str, near: Sequence[str]) -> Words:
    mend = f'Write "{near[0]}" if that is meant, or add' if near else "Add"
    return Words(
        f'"{event}" of "{name}", which is no container of the sheet Holding',
        near_words(near, "the name of a container"),
        f"{mend} a row with Container and Holds to the sheet Holding. Until then the line counts "
        "for no container: treat the food it is about as past its limit.",
    )


@message("counted amount missing", Grade.ERROR)
def counted_amount_missing(name: str) -> Words:
    return Words(
        f"no amount of {name} in a line that says it was counted",
        "what was there, such as 1675 g",
        "Write the amount with its unit into Amount; until then the line does not count.",
    )


@message("counted amount unreadable", Grade.ERROR)
def counted_amount_unreadable(text: str, why: str) -> Words:
    return Words(
        f'"{text}"',
        "an amount with its unit, such as 1675 g",
        f"Write it so; what is wrong with it: {why}. Until then the line does not count.",
    )
