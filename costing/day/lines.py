"""A line for the day log, as typed or tapped: checked against the workbook, and written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from costing.asked import Stop, instant_asked, nearest_words
from costing.day.follows import follows
from costing.estimating import estimate
from costing.findings import choice_words
from costing.holding.instants import clock_words, possible_instants
from costing.holding.models import EventKind, read_temperature
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import Named, key, nearest
from costing.report.day_page import DayLog
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.shoot.defaults import completed
from costing.shoot.episodes import SHOT_EVENTS, DayEvent
from costing.shoot.taken import countable_in, shots_named
from costing.workbook.layout.records import DAY_LOG
from costing.workbook.log_file import LogFault, append_line, day_log_beside
from costing.workbook.reading import read_workbook
from costing.workbook.reading.day_log import counted_amount
from costing.workbook.reading.log_lines import LOG_EVENTS, ReadLine, columns_of, standing_lines

TYPED_EVENTS: Named[EventKind | DayEvent] = Named(
    (word, event) for word, event in LOG_EVENTS.items() if event is not DayEvent.UNDONE
)
"""A line is taken back by a word of its own."""

PREPARATION_SPAN = timedelta(days=14)
"""What is prepared ahead is logged no earlier before the first shoot date."""


class UnknownName(Exception):
    """What is to be logged is no name of the workbook; its words are for the user."""


@dataclass(frozen=True, slots=True)
class LogLine:
    """A line that may be written, its names as the workbook spells them.

    ``temperature``, ``amount``: as typed, known to be readable; blank for none.
    """

    what: str
    event: EventKind | DayEvent
    temperature: str = ""
    amount: str = ""


def log(path: Path, words: Sequence[str], *, when: str | None = None) -> list[str]:
    """Add a line to the day log of a workbook; gives what follows from it, in sentences.

    Parameters
    ----------
    words : sequence of str
        What, event, and a temperature or an amount, as typed.
    when : str, optional
        As typed; by default now.

    Raises
    ------
    UnknownName
        If the workbook has no such name; nothing is written.
    Stop
        If the line cannot be written for another reason.
    """
    shoot, _ = read_workbook(path)
    line = line_of(words, shoot)
    at = instant_asked(when, shoot, line.what)
    write(path, line, moment_text(at, shoot, to_the_second=when is None))
    days = {episode.shoot_date for episode in shoot.episodes}
    shown = clock_words(at, at.date() if days == {at.date()} else None)
    lines = [f"Logged: {_said(line)} at {shown}.", *_long_before(at, shoot)]
    return [*lines, *follows(path, line.what, line.event, at)]


def _long_before(at: datetime, shoot: Shoot) -> Iterator[str]:
    """What to say of a line dated long before the shoot, as when a plan is tried out."""
    first = min((one.shoot_date for one in shoot.episodes if one.shoot_date), default=None)
    if first is not None and first - at.date() > PREPARATION_SPAN:
        yield (
            f"The line is dated {at:%Y-%m-%d}, {(first - at.date()).days} days before the shoot on "
            f"{first}. If it belongs to that day, take it back with --undo and log it with its "
            "time, such as --at 10:42."
        )


def undo(path: Path, words: Sequence[str], *, when: str | None = None) -> list[str]:
    """Take the last line back, or the last of a name, by a line of its own below it.

    Parameters
    ----------
    words : sequence of str
        The name; none: that of the last line.
    when : str, optional
        When it is taken back, as typed; by default now.

    Raises
    ------
    UnknownName
        If no line of that name still counts; nothing is written.
    """
    shoot, _ = read_workbook(path)
    name = " ".join(words)
    standing = _standing(path)
    lines = [line for line in standing if not name or key(line.what) == key(name)]
    if not lines:
        near = nearest(name, (line.what for line in standing)) if name else []
        about = f' of "{name}"' if name else ""
        raise UnknownName(f"No line{about} in the day log still counts.{nearest_words(near)}")
    last = lines[-1]
    at = instant_asked(when, shoot, last.what)
    line = LogLine(last.what, DayEvent.UNDONE)
    write(path, line, moment_text(at, shoot, to_the_second=when is None))
    return [f"Taken back: {last.words}.", *follows(path, last.what, last.event, at)]


def write(path: Path, line: LogLine, when: str, *, once: bool = False) -> bool:
    """Add a line to the log beside a workbook; whether it was added."""
    cells = {
        "When": when,
        "What": line.what,
        "Event": str(line.event),
        "Temperature": line.temperature,
        "Amount": line.amount,
    }
    file = day_log_beside(path)
    try:
        return append_line(file, DAY_LOG.headings, cells, columns=columns_of, once=once)
    except LogFault as fault:
        raise Stop(f"{file}: found {fault}. Nothing is logged; mend it, then log again.") from None


def moment_text(at: datetime, shoot: Shoot, *, to_the_second: bool) -> str:
    """An instant as the log has it; in the hour that clocks show twice with its offset."""
    zone = shoot.settings.zone
    local = at.astimezone(zone) if at.tzinfo else at
    face = local.replace(tzinfo=None)
    detail = "seconds" if to_the_second or face.second else "minutes"
    if at.tzinfo and len(possible_instants(face, zone)) > 1:
        return local.isoformat(" ", detail)
    return face.isoformat(" ", detail)


def line_of(words: Sequence[str], shoot: Shoot) -> LogLine:
    """The line that a person types.

    The name may be several words: the first word behind it that is an event ends it.
    """
    at = next((n for n, word in enumerate(words) if n and word in TYPED_EVENTS), None)
    if at is None:
        raise _no_event(words)
    what, event, rest = " ".join(words[:at]), TYPED_EVENTS[words[at]], " ".join(words[at + 1 :])
    name = _named(what, event, shoot)
    if isinstance(event, EventKind):
        return LogLine(name, event, temperature=_temperature(rest))
    if event is DayEvent.COUNTED:
        return LogLine(name, event, amount=_amount(rest, name, shoot))
    if rest:
        each = event is not DayEvent.ENOUGH and any(one.isdigit() for one in rest)
        once = "A line is one take: leave it out, and log each by itself." if each else ""
        raise Stop(f'"{rest}" behind {event}: expected nothing there. {once or "Leave it out."}')
    return LogLine(name, event)


def _no_event(words: Sequence[str]) -> Stop:
    known = choice_words(TYPED_EVENTS, most=len(TYPED_EVENTS))
    if len(words) < 2:
        return Stop(f'Say what happened to what: "bean bowl" out 4C. Events: {known}.')
    near = [one for word in words[1:] for one in nearest(word, TYPED_EVENTS)]
    found = " ".join(words[1:])
    return Stop(f'"{found}": found no event, expected one of {known}.{nearest_words(near[:1])}')


def _named(what: str, event: EventKind | DayEvent, shoot: Shoot) -> str:
    """A name as the workbook spells it, of the kind that the event is of."""
    whole, _ = completed(shoot)
    if event in SHOT_EVENTS:
        found = shots_named(whole, what)
        if len(found) == 1:
            shot = whole.shots[found[0]]
            return shot.label if key(shot.label) == key(what) else f"{shot.episode}: {shot.label}"
        if found:
            names = [f'"{whole.shots[n].episode}: {whole.shots[n].label}"' for n in found]
            raise UnknownName(f'"{what}" is the name of several shots: {choice_words(names)}.')
        raise _unknown(what, "shot", [shot.label for shot in whole.shots], shoot)
    if event is DayEvent.COUNTED:
        counted = countable_in(whole)
        if what in counted:
            return counted.spelling(what)
        raise _unknown(what, "ingredient", list(counted), shoot)
    if what in shoot.container_rows:
        return shoot.container_rows.spelling(what)
    raise _unknown(what, "container", list(shoot.container_rows), shoot)


def _unknown(what: str, kind: str, known: Sequence[str], shoot: Shoot) -> UnknownName:
    """What to say of a name that is none, with the nearest and with what else it is."""
    near = nearest(what, known) or [name for name in known if key(what) in key(name)][:3]
    text = f'Nothing is logged: there is no {kind} "{what}".{nearest_words(near)}'
    others = {
        "container": [container.name for container in shoot.containers],
        "ingredient": list(countable_in(shoot)),
        "shot": [shot.label for shot in shoot.shots],
    }
    also = [one for one, names in others.items() if one != kind and key(what) in map(key, names)]
    if also:
        kinds = [f"an {one}" if one.startswith("i") else f"a {one}" for one in also]
        text += f" It is the name of {choice_words(kinds)}."
    if known and not near:
        text += f" The workbook has {choice_words(known, last='and')}."
    if not near and kind == "container":
        text += (
            " Write its first row, with what it holds, on the sheet Holding; then it can be logged."
        )
    return UnknownName(text)


def _temperature(text: str) -> str:
    if not text:
        return ""
    try:
        return str(read_temperature(text)).replace("°", "")
    except ValueError as fault:
        raise Stop(
            f'"{text}": found {fault}, expected a temperature with its unit, such as 4C.'
        ) from None


def _amount(text: str, name: str, shoot: Shoot) -> str:
    """The amount of a count as typed, once it is known that it turns into what is needed."""
    if not text:
        raise Stop(f"{name} counted: expected an amount behind it, such as 1675 g.")
    try:
        counted = counted_amount(text, name, shoot)
    except ValueError as fault:
        raise Stop(f'"{text}": {fault}. Expected an amount such as 1675 g.') from None
    for need in (one.need for one in estimate(shoot).books.purchases):
        if key(need.ingredient.name) == key(name):
            try:
                bought_as(counted, need.unit.dimension, need.ingredient)
            except Unconvertible as fault:
                raise Stop(
                    f'"{text}": {name} is counted in {need.unit.name}, and nothing says how many '
                    f"that is. Expected a count in a unit of that kind; or fill {fault.heading} "
                    "for it on the sheet Ingredients, then log again."
                ) from None
    return text


def _said(line: LogLine) -> str:
    more = line.temperature or line.amount
    return f"{line.what}, {line.event}{f' {more}' if more else ''}"


def page_of(shoot: Shoot, path: Path, now: datetime) -> tuple[Estimate, DayLog]:
    """What the page of the day is made of: the estimate for an instant, the log as it is.

    Raises
    ------
    Stop
        If the log cannot be read.
    """
    lines = [tuple(line.cells.text(h) for h in DAY_LOG.headings) for line in _standing(path)]
    log = DayLog(day_log_beside(path).name, DAY_LOG.headings, tuple(lines))
    return estimate(shoot, now), log


def _standing(path: Path) -> list[ReadLine]:
    """The lines of the log beside a workbook that still count."""
    file = day_log_beside(path)
    try:
        return standing_lines(file)[0]
    except LogFault as fault:
        raise Stop(f"{file}: found {fault}. Mend it first.") from None
