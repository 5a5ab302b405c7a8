"""The day itself: a line for the day log, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from costing.asked import Stop, instant_asked, nearest_words, now_there
from costing.estimating import estimate
from costing.findings import Finding, Grade, choice_words
from costing.holding.instants import clock_words, length, possible_instants, without_day
from costing.holding.models import EventKind, read_temperature
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import Named, key, nearest
from costing.report.day_page import DayLog
from costing.report.day_rows import (
    Said,
    balance_words,
    counted_words,
    gone_words,
    lacking_words,
    notes_of,
    takes_words,
)
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.shoot.defaults import completed
from costing.shoot.episodes import SHOT_EVENTS, DayEvent
from costing.shoot.taken import countable_in, shots_named
from costing.workbook.layout.records import DAY_LOG
from costing.workbook.log_file import LogFault, append_line, day_log_beside
from costing.workbook.reading import read_workbook
from costing.workbook.reading.day_log import counted_amount
from costing.workbook.reading.log_lines import ReadLine, columns_of, standing_lines

EVENTS: Named[EventKind | DayEvent] = Named(
    (word, word) for word in (*EventKind, *DayEvent) if word is not DayEvent.UNDONE
)

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
    path : Path
        The workbook.
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
    at = next((n for n, word in enumerate(words) if n and word in EVENTS), None)
    if at is None:
        raise _no_event(words)
    what, event, rest = " ".join(words[:at]), EVENTS[words[at]], " ".join(words[at + 1 :])
    name = _named(what, event, shoot)
    if isinstance(event, EventKind):
        return LogLine(name, event, temperature=_temperature(rest))
    if event is DayEvent.COUNTED:
        return LogLine(name, event, amount=_amount(rest, name, shoot))
    if rest:
        raise Stop(f'"{rest}" behind {event}: expected nothing there. Leave it out.')
    return LogLine(name, event)


def _no_event(words: Sequence[str]) -> Stop:
    known = choice_words(EVENTS, most=len(EVENTS))
    if len(words) < 2:
        return Stop(f'Say what happened to what: "bean bowl" out 4C. Events: {known}.')
    near = [one for word in words[1:] for one in nearest(word, EVENTS)]
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


def follows(
    path: Path, what: str, event: EventKind | DayEvent | None, at: datetime
) -> Iterator[str]:
    """What follows from a line: the time a container has, or the takes that are left.

    A line may be reported late, so a container is judged now, or at what is logged later still; not
    at what the sheet Holding plans for later.
    """
    shoot, _ = read_workbook(path)
    about = day_log_beside(path).name
    done = estimate(shoot, _latest(shoot, what, about, at, now_there(shoot)))
    if not isinstance(event, DayEvent):
        yield from time_left(done, what)
        yield from gone_words(done.outlook, what)
    elif event is DayEvent.COUNTED:
        yield from (
            balance_words(one, done.outlook)
            for one in done.outlook.balances
            if key(one.supply.name) == key(what)
        )
        if (code := done.outlook.supplies.goods.code_of(what)) is not None:
            yield counted_words(code, done.outlook)
    if isinstance(event, DayEvent):
        yield from takes_left_of(done, what)
    yield from (
        str(f) for f in done.findings if f.place.sheet == about and key(f.place.name) == key(what)
    )


def _latest(shoot: Shoot, container: str, log: str, *instants: datetime) -> datetime:
    """The latest of some instants and what the log has of a container."""
    zone = shoot.settings.zone
    events = [
        event.at
        for one in shoot.containers
        if key(one.name) == key(container)
        for event in one.events
        if event.place.sheet == log
    ]
    return max(possible_instants(at, zone)[-1] for at in (*instants, *events)).astimezone(zone)


def takes_left_of(done: Estimate, what: str) -> Iterator[str]:
    """The takes that are left of a shot; of an ingredient, of the shots that it limits.

    Of a dish or a part that was counted, of those that take of it.
    """
    limited: list[str] = []
    rows = done.tables()["takes_left"].rows
    names = [key(str(row["shot"])) for row in rows]
    takers = done.outlook.supplies.goods.takers(what)
    for row, one in zip(rows, done.outlook.takes_left, strict=True):
        alone = names.count(key(str(row["shot"]))) == 1
        own = key(what) in (key(str(row["shot"])), key(f"{row['episode']}: {row['shot']}"))
        words = ("" if alone else f"{row['episode']}: ") + takes_words(row, one, lacks=not own)
        if own:
            yield " ".join((words, *notes_of(one, done.outlook)))
        elif one.number in takers or key(what) in map(key, str(row["limited_by"]).split("; ")):
            limited.append(words)
    yield from limited


def left(done: Estimate) -> Iterator[tuple[str, str]]:
    """How often each shot can still be taken, episode by episode: a line, and what is behind it."""
    episode, said = None, Said(remaining=bool(done.outlook.lacking))
    rows = done.tables()["takes_left"].rows
    yield from ((line, "") for line in lacking_words(done.outlook))
    for row, shot in zip(rows, done.outlook.takes_left, strict=True):
        if row["episode"] != episode:
            episode = row["episode"]
            yield str(episode), ""
        yield takes_words(row, shot), " ".join(notes_of(shot, done.outlook, said))
    for one in done.outlook.balances:
        if one.supply.counted or one.there < 0:
            yield balance_words(one, done.outlook), ""
    for code in done.outlook.supplies.goods.counts:
        yield counted_words(code, done.outlook), ""
    for name in done.outlook.supplies.as_listed:
        yield f"{name}: its receipts are not counted here; its packs are those of the list.", ""
    yield from ((line, "") for line in gone_words(done.outlook))


def about_takes(done: Estimate, path: Path) -> list[Finding]:
    """What was found that the takes left rest on: buying but for its budget, and all of the log."""
    log = day_log_beside(path).name
    buying = [one for one in done.about_buying if one.code != "over budget"]
    counts = [one for one in done.findings if one.place.sheet == "Counted"]
    told = [one for one in counts if one.grade is Grade.ERROR or one.code == "count of a dish"]
    return [f for f in done.findings if f.place.sheet == log or f in buying or f in told]


def is_of_the_day(finding: Finding, path: Path) -> bool:
    """Whether a finding is about what was logged or counted, and so newer than the check."""
    return finding.place.sheet in (day_log_beside(path).name, "Counted")


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


def time_left(done: Estimate, container: str) -> Iterator[str]:
    """How long a container has, by the strictest rule, as logged; then why."""
    for verdict in done.verdicts:
        if not verdict.strictest or key(verdict.container) != key(container):
            continue
        text = f"{verdict.status}, as logged ({verdict.rule})"
        day = verdict.asked_at.date()
        if verdict.discard_at is not None:
            left = verdict.discard_at.astimezone(UTC) - verdict.asked_at.astimezone(UTC)
            if left > timedelta(0):
                text = f"{length(left)} left, discard at {clock_words(verdict.discard_at, day)}"
        yield f"{verdict.container}: {text}."
        yield without_day(verdict.reason, day)
