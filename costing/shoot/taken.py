"""How often each shot was taken so far, by the plan and the day log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from costing.findings import (
    Finding,
    Grade,
    Place,
    Words,
    choice_words,
    if_meant,
    message,
    near_words,
)
from costing.names import Named, key, nearest
from costing.shoot.defaults import shoot_day
from costing.shoot.episodes import SHOT_EVENTS, DayEvent, Logged
from costing.shoot.leaves import inside, made_apart
from costing.shoot.shoot import Shoot
from costing.shoot.weighings import trimmed_from


@message("log shot unknown", Grade.ERROR)
def log_shot_unknown(name: str, event: str, near: Sequence[str]) -> Words:
    return Words(
        f'"{event}" of "{name}", which is no shot of the Shoot plan',
        near_words(near, "the name of a shot"),
        if_meant(near, "Write the name as the Shoot plan has it")
        + ". Until then the line counts for no shot, and the takes that are left leave it out.",
    )


@message("log shot unclear", Grade.ERROR)
def log_shot_unclear(name: str, event: str, which: Sequence[str]) -> Words:
    return Words(
        f'"{event}" of "{name}", a name of {len(which)} shots',
        choice_words(which),
        "Name the shots apart in the column Shot, or write the episode before the name, as in "
        f'"{which[0]}". Until then the line counts for none of them.',
    )


@message("log ingredient unknown", Grade.ERROR)
def log_ingredient_unknown(name: str, near: Sequence[str]) -> Words:
    return Words(
        f'"{name}" counted, which is no ingredient of the workbook',
        near_words(near, "the name of an ingredient"),
        if_meant(near, "Write the name as Recipes has it")
        + ". Until then the count does not count.",
    )


@message("log counts a dish", Grade.ERROR)
def log_counts_a_dish(name: str) -> Words:
    """A count of a dish that is made afresh for each shot that shows it."""
    return Words(
        f'"{name}" counted, a dish that goes into no other',
        "the name of an ingredient, or of a dish that others take of",
        "The takes that are left go by what it is made of: count that. Write what is left of it at "
        "the end on the sheet Counted. Until then the count does not count.",
    )


def not_counted_so(place: Place, name: str, shoot: Shoot) -> Finding:
    """What is said of a count of something that is no ingredient of a shoot."""
    if shoot.is_dish(name):
        return log_counts_a_dish(place, name)
    return log_ingredient_unknown(place, name, nearest(name, ingredients_of(shoot)))


@message("taken logged otherwise", Grade.NOTE)
def taken_otherwise(name: str, typed: int, logged: int) -> Words:
    return Words(
        f'Taken {typed} of "{name}", and {logged} in the day log',
        "the same number in both, or a blank Taken",
        f"{max(typed, logged)} counts, the larger, so that no food is promised twice. Clear Taken "
        "if the log is kept.",
    )


@message("count changes nothing", Grade.NOTE)
def count_changes_nothing(name: str, near: Sequence[str]) -> Words:
    return Words(
        f'"{name}" counted, of which no shot takes anything',
        near_words(near, "counts of what the shots take"),
        "It changes nothing for the takes that are left. "
        + (
            f'Take it back and count "{near[0]}" if that is meant.'
            if near
            else "Leave it for what comes, or take it back."
        ),
    )


@dataclass(frozen=True, slots=True)
class TakenSoFar:
    """How far one shot is.

    Parameters
    ----------
    times : int
        Takes so far. [time]
    spoiled : int
        How often its food was gone without a take. [time]
    ended : bool
        Whether no more of it is wanted.
    """

    times: int = 0
    spoiled: int = 0
    ended: bool = False


@dataclass(slots=True)
class SoFar:
    """What is known of the day so far.

    Parameters
    ----------
    shots : dict of int to TakenSoFar
        By place in the plan; a shot that is not in it was not taken.
    counts : list of Logged
        Counts of what the shoot has, by their time; one without keeps its place in the log.
    """

    shots: dict[int, TakenSoFar] = field(default_factory=dict)
    counts: list[Logged] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def of(self, number: int) -> TakenSoFar:
        """How far the shot at a place of the plan is."""
        return self.shots.get(number, TakenSoFar())


def so_far(shoot: Shoot, *, until: datetime | None = None) -> SoFar:
    """What was taken and counted.

    ``until``: only lines up to then, and those without a time; by default all. A number that was
    typed has no time: it is left out where the day of its episode is after that, and what the log
    has of it later.
    """
    found = SoFar()
    logged: dict[int, list[DayEvent]] = {}
    later: list[int | None] = []
    end = None if until is None else clock_face(until)
    for line in shoot.day_log:
        if end is not None and line.when is not None and clock_face(line.when) > end:
            if line.event is DayEvent.TAKEN:
                later.append(_shot_named(shoot, line, []))
            continue
        if line.event in SHOT_EVENTS:
            named = _shot_named(shoot, line, found.findings)
            if named is not None:
                logged.setdefault(named, []).append(line.event)
        elif (
            line.event is DayEvent.COUNTED
            and _known(shoot, line, found.findings)
            and trimmed_from(line.note) is None  # a weighing of a yield, not of what is there
        ):
            found.counts.append(line)
    found.counts = _by_time(found.counts)
    on = None if until is None else shoot_day(until, shoot)
    for number, shot in enumerate(shoot.shots):
        events = logged.get(number, [])
        typed, counted = shot.taken, events.count(DayEvent.TAKEN)
        if typed is not None and on is not None:
            day = shoot.shoot_dates.get(shot.episode)
            # the number in the plan is of now: what was logged later is in it
            typed -= later.count(number)
            typed = None if day is not None and day > on else max(typed, 0)
        if typed is not None and counted and typed != counted:
            place = shot.at("Taken")
            found.findings.append(taken_otherwise(place, shot.label, typed, counted))
        ended = shot.ended_by is not None or DayEvent.ENOUGH in events
        if events or typed or ended:
            found.shots[number] = TakenSoFar(
                max(typed or 0, counted), events.count(DayEvent.SPOILED), ended
            )
    return found


def is_closed(shoot: Shoot) -> bool:
    """Whether what happened is set against the plan: receipts, a count at the end, or one logged.

    A count of the log may be of the middle of the day: it closes nothing until every shot is told.
    """
    if shoot.receipts or shoot.counted:
        return True
    found = so_far(shoot) if shoot.day_log else SoFar()
    return bool(found.counts) and all(
        number in found.shots or shot.taken is not None for number, shot in enumerate(shoot.shots)
    )


def _by_time(lines: list[Logged]) -> list[Logged]:
    timed = iter(sorted((clock_face(line.when), n) for n, line in enumerate(lines) if line.when))
    return [lines[next(timed)[1]] if line.when else line for line in lines]


def clock_face(at: datetime) -> datetime:
    """What a clock shows at an instant, by which lines with an offset and without are compared."""
    return at.replace(tzinfo=None)


def shots_named(shoot: Shoot, name: str, at: datetime | None = None) -> list[int]:
    """Places in the plan of the shots of a name, which may have its episode before it.

    Parameters
    ----------
    name : str
        Such as ``P5`` or ``Leek tart: P5``.
    at : datetime, optional
        Of several with one name, those of the day that this moment is shot on.
    """
    called = (shoot.shots_called.get(name, ()), shoot.shots_called_in_full.get(name, ()))
    found = sorted({number for numbers in called for number in numbers})
    if len(found) > 1 and at is not None:
        day = shoot_day(at, shoot)
        of_the_day = [
            number for number in found if shoot.shoot_dates.get(shoot.shots[number].episode) == day
        ]
        return of_the_day or found
    return found


def countable_in(shoot: Shoot) -> Named[str]:
    """Everything that may be counted: the ingredients, and dishes that are there for others."""
    dishes = inside(shoot) | made_apart(shoot)
    names = [*ingredients_of(shoot).values(), *(d for d in shoot.recipes if key(d) in dishes)]
    return Named((name, name) for name in names)


def ingredients_of(shoot: Shoot) -> Named[str]:
    """Everything that is bought, on hand, or goes into a dish and is none."""
    rows = (*shoot.lines, *shoot.packs, *shoot.lots, *shoot.ingredients)
    names = (row.called for row in rows)
    return Named((name, name) for name in names if name and not shoot.is_dish(name))


def _shot_named(shoot: Shoot, line: Logged, findings: list[Finding]) -> int | None:
    """The shot that a line is about; a finding where it is none or several."""
    found = shots_named(shoot, line.what, line.when)
    if len(found) == 1:
        return found[0]
    place = line.at("What")
    if found:
        shots = [shoot.shots[number] for number in found]
        which = [shot.full_label for shot in shots]
        findings.append(log_shot_unclear(place, line.what, str(line.event), which))
    elif not shoot.left_out_on("Shoot plan", name=line.what):
        near = nearest(line.what, (shot.label for shot in shoot.shots))
        findings.append(log_shot_unknown(place, line.what, str(line.event), near))
    return None


def _known(shoot: Shoot, line: Logged, findings: list[Finding]) -> bool:
    """Whether a count is of something that is counted; a finding where it is not."""
    if line.what in countable_in(shoot):
        return True
    near = nearest(line.what, ingredients_of(shoot))
    if near or shoot.is_dish(line.what) or not shoot.left_out_on("Recipes"):
        findings.append(not_counted_so(line.at("What"), line.what, shoot))
    return False
