"""What follows from a line of the day log: the time a container has, the takes that are left."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from costing.asked import now_there
from costing.estimating import estimate
from costing.findings import Finding, Grade
from costing.holding.instants import clock_words, length, possible_instants, without_day
from costing.holding.models import EventKind
from costing.names import key
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
from costing.shoot.episodes import DayEvent
from costing.workbook.log_file import day_log_beside
from costing.workbook.reading import read_workbook


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
    episode, said = None, Said.below(done.outlook)
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
