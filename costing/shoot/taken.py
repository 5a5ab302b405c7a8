"""How often each shot was taken so far, by the plan and by the log of the day."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from costing.findings import Finding
from costing.names import Named, key, nearest
from costing.shoot import log_messages as messages
from costing.shoot.day_log import OF_A_SHOT, DayEvent, Logged
from costing.shoot.shoot import Shoot


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
        Counts of ingredients the shoot has, by their time; one without keeps its place in the log.
    findings : list of Finding
        Names that are none, and numbers told twice.
    """

    shots: dict[int, TakenSoFar] = field(default_factory=dict)
    counts: list[Logged] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def of(self, number: int) -> TakenSoFar:
        """How far the shot at a place of the plan is."""
        return self.shots.get(number, TakenSoFar())


def so_far(shoot: Shoot, *, until: datetime | None = None) -> SoFar:
    """What was taken and counted.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in.
    until : datetime, optional
        Only lines up to then, and those without a time; by default all.
    """
    found = SoFar()
    logged: dict[int, list[DayEvent]] = {}
    for line in shoot.day_log:
        if until is not None and line.when is not None and _face(line.when) > _face(until):
            continue
        if line.event in OF_A_SHOT:
            named = _shot_named(shoot, line, found.findings)
            if named is not None:
                logged.setdefault(named, []).append(line.event)
        elif line.event is DayEvent.COUNTED and _known(shoot, line, found.findings):
            found.counts.append(line)
    found.counts = _by_time(found.counts)
    for number, shot in enumerate(shoot.shots):
        events = logged.get(number, [])
        typed, told = shot.taken, events.count(DayEvent.TAKEN)
        if typed is not None and told and typed != told:
            place = shot.at("Taken")
            found.findings.append(messages.taken_otherwise(place, shot.label, typed, told))
        ended = shot.ended_by is not None or DayEvent.ENOUGH in events
        if events or typed or ended:
            found.shots[number] = TakenSoFar(
                max(typed or 0, told), events.count(DayEvent.SPOILED), ended
            )
    return found


def _by_time(lines: list[Logged]) -> list[Logged]:
    timed = iter(sorted((_face(line.when), n) for n, line in enumerate(lines) if line.when))
    return [lines[next(timed)[1]] if line.when else line for line in lines]


def _face(at: datetime) -> datetime:
    return at.replace(tzinfo=None)


def shots_named(shoot: Shoot, name: str, day: date | None = None) -> list[int]:
    """Places in the plan of the shots of a name, which may have its episode before it.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in.
    name : str
        Such as ``P5`` or ``Leek tart: P5``.
    day : date, optional
        Of several with one name, those of this day.
    """
    found = [
        number
        for number, shot in enumerate(shoot.shots)
        if key(name) in (key(shot.label), key(f"{shot.episode}: {shot.label}"))
    ]
    if len(found) > 1 and day is not None:
        days = Named((episode.name, episode.shoot_date) for episode in shoot.episodes)
        of_the_day = [number for number in found if days.get(shoot.shots[number].episode) == day]
        return of_the_day or found
    return found


def ingredients_of(shoot: Shoot) -> Named[str]:
    """Everything that is bought, on hand, or goes into a dish and is none."""
    return Named(
        (name, name)
        for name in (
            *(line.ingredient for line in shoot.lines if line.ingredient),
            *(pack.ingredient for pack in shoot.packs),
            *(lot.ingredient for lot in shoot.lots),
            *(row.name for row in shoot.ingredients),
        )
        if not shoot.is_dish(name)
    )


def _shot_named(shoot: Shoot, line: Logged, findings: list[Finding]) -> int | None:
    """The shot that a line is about; a finding where it is none or several."""
    day = None if line.when is None else line.when.date()
    found = shots_named(shoot, line.what, day)
    if len(found) == 1:
        return found[0]
    place = line.at("What")
    if found:
        shots = [shoot.shots[number] for number in found]
        which = [f"{shot.episode}: {shot.label}" for shot in shots]
        findings.append(messages.log_shot_unclear(place, line.what, str(line.event), which))
    elif not shoot.left_out_on("Shoot plan", name=line.what):
        near = nearest(line.what, (shot.label for shot in shoot.shots))
        findings.append(messages.log_shot_unknown(place, line.what, str(line.event), near))
    return None


def _known(shoot: Shoot, line: Logged, findings: list[Finding]) -> bool:
    """Whether a count is of an ingredient of the shoot; a finding where it is not."""
    known = ingredients_of(shoot)
    if line.what in known:
        return True
    near = nearest(line.what, known)
    findings.append(messages.log_ingredient_unknown(line.at("What"), line.what, near))
    return False
