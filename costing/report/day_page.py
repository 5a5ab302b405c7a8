"""The page of the day: takes left, bowls and their times, logged by a tap; one file, no network.

What the page works out itself errs on the safe side: a tap takes from the takes that are left, a
bowl taken out gets the time that is left of its strictest limit, and nothing that is logged on the
page gives a bowl more time; that is left to the workbook. Built as a tree of elements like the list
for a phone, with a policy that lets nothing run or load but its own style and script.

For those who want no screen there is one page to print and fill in by hand.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any
from xml.etree.ElementTree import Element, SubElement
from zoneinfo import ZoneInfo

from costing.buying.takes_left import TakesLeft
from costing.findings import choice_words
from costing.holding.instants import clock_words
from costing.holding.models import Container, Eaten, EventKind
from costing.holding.statuses import NOT_TO_BE_EATEN, Status, Verdict
from costing.names import key
from costing.quantities import US_MEASURES
from costing.report.day_rows import amount_of, leaves_out, others_words
from costing.report.estimates import Estimate
from costing.report.label_rows import CAUTION
from costing.report.phone_look import beside, style
from costing.report.phone_page import element, new_page, page_text, plain
from costing.report.tables import Row
from costing.shoot import Shot
from costing.shoot.avoiding import Answer

STYLE, SCRIPT = style("day.css"), beside("day.js")

READY_ROWS = 12
"""So many things to be ready next are shown. [row]"""

ANOTHER_BOWL = (
    "A bowl that is not here: write a row for it on the sheet Holding, its name and what it holds."
)


@dataclass(frozen=True, slots=True)
class DayLog:
    """The log as it is, so that the page can give it out whole.

    ``served``: whether taps are sent to the computer that serves the page.
    """

    name: str
    headings: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...] = field(default=())
    served: bool = False


def day_page(estimate: Estimate, log: DayLog, now: datetime) -> str:
    """The page as HTML.

    Parameters
    ----------
    estimate : Estimate
        Worked out for the instant ``now``.
    now : datetime
        When it is made, in the zone of the shoot.
    """
    sends = "'self'" if log.served else "'none'"
    html = new_page(_title(estimate), STYLE, script=SCRIPT, connect=sends)
    body = SubElement(html, "body")
    header = SubElement(body, "header")
    element(header, "h1", _title(estimate), dir="auto")
    element(header, "p", f"Worked out at {now:%H:%M} on {now:%Y-%m-%d}.", **{"class": "quiet"})
    nav = SubElement(header, "nav", {"aria-label": "Parts of the page"})
    element(nav, "a", "Takes", href="#shots")
    element(nav, "a", "Bowls", href="#bowls")
    main = SubElement(body, "main")
    for heading, name, words in (
        ("Takes left", "shots", "" if estimate.outlook.takes_left else "No shot is planned."),
        ("Bowls, the first to go first", "bowls", ANOTHER_BOWL),
    ):
        section = SubElement(main, "section", {"aria-label": heading})
        element(section, "h2", heading)
        SubElement(section, "ul", id=name)
        if words:
            element(section, "p", words, **{"class": "quiet"})
    _ready(main, estimate, now)
    _eaters(main, estimate)
    _giving_out(main, log)
    _footer(body)
    bar = SubElement(SubElement(body, "div", id="bar"), "div")
    element(bar, "p", "", id="said", role="status")
    element(bar, "button", "Undo", type="button", id="undo")
    state = json.dumps(day_state(estimate, log), ensure_ascii=False)
    data = SubElement(body, "script", {"type": "application/json", "id": "day"})
    data.text = state.replace("<", "\\u003c").replace("\u2028", " ").replace("\u2029", " ")
    SubElement(body, "script").text = SCRIPT
    return page_text(html)


def _title(estimate: Estimate) -> str:
    title = estimate.shoot.settings.title
    return f"The day: {title}" if title else "The day"


def day_state(estimate: Estimate, log: DayLog) -> dict[str, Any]:
    """What the script of the page works with."""
    shoot = estimate.shoot
    us = shoot.settings.measures in US_MEASURES
    ordered = _in_episodes(estimate)
    state: dict[str, Any] = {
        "file": log.name,
        "headings": list(log.headings),
        "log": [list(line) for line in log.lines],
        "unit": "F" if us else "C",
        "events": [str(kind) for kind in EventKind],
        "shots": [_shot(one, estimate) for one in ordered if not one.is_over],
        "bowls": [_bowl(container, estimate) for container in shoot.containers],
    }
    names = [one["name"] for one in state["shots"]]
    # another log, or another plan, is another day: its taps are kept under a name of their own;
    # a served page hands its taps over and continues with the log
    told = json.dumps([log.name, names, [] if log.served else state["log"], log.served])
    last = log.lines[-1] if log.served and log.lines else None
    return state | {
        "mark": hashlib.sha256(told.encode()).hexdigest()[:16],
        "send": "taps" if log.served else "",
        "last": None if last is None else {"what": last[1], "event": last[2]},
    }


def _in_episodes(estimate: Estimate) -> list[TakesLeft]:
    """The shots in running order, those of an episode together, the first to begin first."""
    shots, running = estimate.shoot.shots, dict[str, list[TakesLeft]]()
    for one in sorted(estimate.outlook.takes_left, key=lambda one: _running(one, estimate)):
        running.setdefault(shots[one.number].episode, []).append(one)
    return [one for episode in running.values() for one in episode]


def _running(one: TakesLeft, estimate: Estimate) -> tuple[Any, ...]:
    """The running order: by day, by Starts where given, and as planned."""
    shot = estimate.shoot.shots[one.number]
    day = estimate.shoot.shoot_dates.get(shot.episode)
    return day or date.max, shot.starts is None, str(shot.starts), one.number


def _shot(one: TakesLeft, estimate: Estimate) -> dict[str, Any]:
    """A shot as the page of the day knows it: how often taken, how often it can be, what lacks.

    What it is of stands beside a name that does not say it.
    """
    shoot = estimate.shoot
    shot = shoot.shots[one.number]
    day = shoot.shoot_dates.get(shot.episode)
    lacks = ", ".join(
        f"{lack.supply.name} {amount_of(lack.supply, lack.amount, estimate.outlook)}"
        for lack in one.lacks
    )
    return {
        "name": plain(shoot.shot_name(shot)),
        "episode": plain(", ".join(map(str, filter(None, (shot.episode, day))))),
        "eaters": [plain(text) for text in _avoiding(shot, estimate)],
        "of": plain(f"{shot.purpose}, {shot.dish}") if shot.name else "",
        "starts": f"{shot.starts:%H:%M}" if shot.starts else "",
        "planned": shot.times,
        "most": shot.most_times,
        "taken": one.taken,
        "more": one.more,
        "unlimited": "not known" if leaves_out(one) else "nothing limits it",
        "ended": estimate.outlook.day.so_far.of(one.number).ended,
        "lacks": plain(lacks),
        "stands": one.stands,
        "others": others_words(one),
        "leaves_out": [plain(text) for text in leaves_out(one)],
    }


def _avoiding(shot: Shot, estimate: Estimate) -> Iterator[str]:
    """Who eats of a shot that has, or may have, what they avoid; anybody where none is named."""
    what, eaters = estimate.shoot.shot_name(shot), set(map(key, shot.eaters))
    for row in estimate.eating.rows:
        told = row.what == what and row.answer in (Answer.AVOIDS, Answer.UNKNOWN)
        if told and key(row.person) in (eaters or estimate.shoot.person_rows):
            yield f"{row.person} {row.answer}: {row.because}"


def _bowl(container: Container, estimate: Estimate) -> dict[str, Any]:
    """A container by its strictest rule: when it must be gone, or how long it has once out."""
    verdict = next(
        (v for v in estimate.verdicts if v.strictest and key(v.container) == key(container.name)),
        None,
    )
    holds = "; ".join(container.holds) or "what it holds is not said"
    if container.eaten is not Eaten.YES:
        holds += "; not eaten"
    gone = verdict is not None and verdict.status is Status.DISCARDED
    state: dict[str, Any] = {
        "name": plain(container.name),
        "holds": plain(holds),
        "rule": "no rule" if verdict is None else verdict.rule,
        "words": "nothing is logged" if verdict is None else _status_words(verdict),
        "gone": gone,
        "past": verdict is not None and verdict.status in NOT_TO_BE_EATEN and not gone,
        "by": None,
        "left": None,
    }
    if verdict is None or state["past"] or gone:
        return state
    if verdict.discard_at is not None:
        state["by"] = _milliseconds(verdict.discard_at.astimezone(UTC).timestamp())
    elif verdict.limit > timedelta(0):
        left = max(timedelta(0), verdict.limit - verdict.out_for)
        state["left"] = _milliseconds(left.total_seconds())
    return state


def _status_words(verdict: Verdict) -> str:
    """The status; where a rule does not cover the food, why: it may only not be out yet."""
    if verdict.status is Status.NOT_COVERED:
        return f"{verdict.status}: {verdict.reason.rstrip('.')}"
    return f"{verdict.status}, as logged"


def _milliseconds(seconds: float) -> int:
    return int(seconds * 1000)


def _ready(main: Element, estimate: Estimate, now: datetime) -> None:
    """What is to be ready next: bowls to prepare and stages of dishes, each said once."""
    tables = estimate.tables()
    rows = [(row, _prepared(row)) for row in tables["prep"].rows]
    rows += [(row, f"{row['dish']} up to step {row['to_step']}") for row in tables["swaps"].rows]
    timed = [(ready, text) for row, text in rows if isinstance(ready := row["ready_by"], datetime)]
    timed.sort(key=lambda one: one[0].astimezone(UTC))
    today = now.date()
    empty = "Nothing is timed: give Starts to the shots, or a call time to the episode."
    if timed:
        empty = f"All that is timed was to be ready by {clock_words(timed[-1][0], today)}."
    at = now if now.tzinfo else now.replace(tzinfo=ZoneInfo(estimate.zone))
    to_come = [one for one in timed if one[0].astimezone(UTC) >= at.astimezone(UTC)]
    lines = dict.fromkeys(f"{clock_words(ready, today)} {text}" for ready, text in to_come)
    _folded(main, "To be ready next", list(lines)[:READY_ROWS], empty)


def _prepared(row: Row) -> str:
    cut = f", {row['cut']}" if row["cut"] else ""
    return f"{row['ingredient']}{cut} for {row['dish']}"


def _eaters(main: Element, estimate: Estimate) -> None:
    """Who may eat what, the answers by person below each thing to eat."""
    lines = [
        f"{row['what']} - {row['person']}: {row['answer']}. {row['because']}"
        for row in estimate.tables()["who_eats"].rows
    ]
    empty = "The sheet People is blank: nobody says what is avoided."
    _folded(main, "Who may eat what", lines, empty)


def _folded(main: Element, heading: str, lines: Sequence[str], empty: str) -> None:
    details = SubElement(main, "details")
    element(details, "summary", heading)
    if not lines:
        element(details, "p", empty)
        return
    items = SubElement(details, "ul")
    for line in lines:
        element(items, "li", line, dir="auto", **{"class": "card"})


def _giving_out(main: Element, log: DayLog) -> None:
    """The log in its lines, to be given out as the file beside the workbook."""
    details = SubElement(main, "details")
    element(details, "summary", "The log of the day")
    if log.served:
        element(details, "p", f"Taps go into {log.name} on the computer that serves this page.")
    else:
        _keeping(details, log)
    element(details, "label", "Its lines", **{"for": "lines"})
    SubElement(details, "textarea", {"id": "lines", "readonly": "readonly", "rows": "8"})


def _keeping(details: Element, log: DayLog) -> None:
    """What becomes of the taps of a page that is a file."""
    element(
        details,
        "p",
        f"Taps are kept in this browser. Give them out as {log.name}, put the file beside the "
        "workbook in place of the one that is there, and the workbook reads it. It holds the lines "
        "that stood there when this page was made; add by hand what was logged elsewhere since.",
    )
    element(details, "button", f"Give out {log.name}", type="button", id="give")


def _footer(body: Element) -> None:
    footer = SubElement(body, "footer")
    element(footer, "p", CAUTION)
    element(
        footer,
        "p",
        "A bowl that is back keeps its time running here: only the workbook, with its readings, "
        "stops a clock. The page tells of limits while it is open; for alarms at other times write "
        "a calendar: costing holding --calendar limits.ics",
    )


PAPER_ROWS = 22
"""Blank lines on the page, so that it is one. [line]"""

NAMED_ON_PAPER = 14
"""So many containers and shots are named; more would not leave the page its lines."""

PAPER_STYLE = beside("paper.css")

PAPER_COLUMNS = (
    ("When", "when"),
    ("What", "what"),
    ("Event", "event"),
    ("Temperature", "small"),
    ("Amount", "small"),
    ("Note", ""),
)
"""Headings of the day log, so that the lines can be typed into it, and how wide each is."""


def paper_log(estimate: Estimate, headings: Sequence[str]) -> str:
    """The page as HTML, to be printed.

    ``estimate``: of whose containers and shots the names stand on the page.

    Raises
    ------
    ValueError
        If the page has other columns than the log.
    """
    if tuple(headings) != tuple(name for name, _ in PAPER_COLUMNS):
        raise ValueError("the page has the columns of the day log")
    shoot = estimate.shoot
    title = shoot.settings.title
    html = new_page(f"Log: {title}" if title else "Log", PAPER_STYLE)
    body = SubElement(html, "body")
    element(body, "h1", f"Log of the day: {title}" if title else "Log of the day", dir="auto")
    # with the purpose a helper knows which it is; with the dish too it would be two pages
    shots = [
        f"{shot.label} ({shot.purpose})" if shot.name else shot.label
        for shot in shoot.shots
        if shoot.is_dish(shot.dish)
    ]
    element(body, "p", "Date: ____________    Kept by: ______________________    Sheet: ____")
    for kind, names in (
        ("Bowls", [container.name for container in shoot.containers]),
        ("Shots", shots),
    ):
        if names:
            listed = choice_words(_each(names), most=NAMED_ON_PAPER, last="and")
            element(body, "p", f"{kind}: {listed}.", dir="auto")
    element(
        body,
        "p",
        f"Events of a bowl: {choice_words(EventKind, most=len(EventKind))}; with the temperature "
        "of the food and its unit. Of a shot: taken, spoiled, enough. Of an ingredient: counted, "
        "with its amount and unit.",
    )
    table = SubElement(body, "table")
    head = SubElement(SubElement(table, "thead"), "tr")
    for name, width in PAPER_COLUMNS:
        element(head, "th", name, scope="col", **{"class": width})
    rows = SubElement(table, "tbody")
    for _ in range(PAPER_ROWS):
        row = SubElement(rows, "tr")
        for _ in PAPER_COLUMNS:
            SubElement(row, "td")
    element(body, "p", CAUTION)
    return page_text(html)


def _each(names: Sequence[str]) -> list[str]:
    """Names, each once."""
    return list({key(name): name for name in reversed(names)}.values())[::-1]
