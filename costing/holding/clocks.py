"""How a rule's clock stands at an instant: time out, limits, and why a rule cannot be used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from costing.holding.contents import History
from costing.holding.courses import Course
from costing.holding.days import DayCount
from costing.holding.instants import Moment
from costing.holding.models import EventKind, Temperature
from costing.holding.passes import Passage
from costing.holding.rules import ClockKind, Food, Marking, Rule
from costing.holding.statuses import Bar, Cause, Room, Status
from costing.holding.walks import HEATED, course

UNIVERSAL = ZoneInfo("UTC")


@dataclass(frozen=True, slots=True)
class Conditions:
    """What besides the log decides how a clock stands.

    Parameters
    ----------
    procedures : bool
        Whether written procedures are kept.
    room : Temperature, optional
        Of the room, as set for all containers.
    mark : datetime, optional
        Discard time on the container itself. [UTC]
    inner_marks : tuple of datetime
        Discard times on the containers emptied into it. [UTC]
    zone : ZoneInfo
        Whose midnights part the days.
    """

    procedures: bool
    room: Temperature | None
    mark: datetime | None
    inner_marks: tuple[datetime, ...]
    zone: ZoneInfo = UNIVERSAL


@dataclass(frozen=True, slots=True)
class Clock:
    """How one rule's clock stands for one component of what a container holds.

    Parameters
    ----------
    rule : Rule
        The rule.
    status : Status
        What it says.
    at : datetime
        The instant asked about. [UTC]
    course : Course
        What the log comes to.
    out_for : timedelta
        Time used up by then.
    limit : timedelta
        The limit to discard in force.
    room : Room
        Why it is that limit.
    discard_at : datetime, optional
        When the food must be gone; ``None``: no clock is running. [UTC]
    cause : Cause
        What sets that instant.
    no_return_from : datetime, optional
        When a return ceases to be allowed. [UTC]
    bars : tuple of Bar
        Why the rule cannot be used or does not cover the food.
    hottest : Moment, optional
        The reading that broke the ceiling.
    hot_room : Temperature, optional
        The room temperature that shortens the limit.
    through : tuple of int
        Containers the food was in before.
    passage : Passage, optional
        Of a rule about cooling or heating again.
    days : DayCount, optional
        Of a rule that counts days.
    """

    rule: Rule
    status: Status
    at: datetime
    course: Course
    out_for: timedelta = timedelta(0)
    limit: timedelta = timedelta(0)
    room: Room = Room.NO_MATTER
    discard_at: datetime | None = None
    cause: Cause = Cause.LIMIT
    no_return_from: datetime | None = None
    bars: tuple[Bar, ...] = ()
    hottest: Moment | None = None
    hot_room: Temperature | None = None
    through: tuple[int, ...] = ()
    passage: Passage | None = None
    days: DayCount | None = None

    @property
    def return_before(self) -> datetime | None:
        """Until when the food may go back; ``None``: it is not out, or may not. [UTC]"""
        if self.status is not Status.WITHIN or self.no_return_from is None:
            return None
        return min(self.no_return_from, self.discard_at or self.no_return_from)


def clock(history: History, rule: Rule, conditions: Conditions, at: datetime) -> Clock:
    """How a rule's clock stands at an instant.

    Parameters
    ----------
    history : History
        Of one component.
    rule : Rule
        Of a kind of clock that judges times out, or without one.
    conditions : Conditions
        Besides the log.
    at : datetime
        Later events have not happened yet. [UTC]
    """
    went = course(history, rule, at)
    happened = history.until(at)
    out_for = _out_for(rule, went, at)
    limit = rule.discard_limit
    if limit is None or _about_other_food(rule, went, happened):
        bar = Bar.STATES_NO_TIME if limit is None else Bar.OTHER_FOOD
        return Clock(rule, Status.NOT_COVERED, at, went, out_for, bars=(bar,))
    room, hot_room, time = _room_and_limit(rule, went, happened, conditions, limit.time)
    ends, hottest = _ends(rule, went, happened, conditions, time)
    discard_at, cause = min(ends, key=lambda end: end[0]) if ends else (None, Cause.LIMIT)
    return_limit = min(time, rule.return_limit.time) if rule.return_limit else time
    no_return = went.reaches(return_limit) if rule.may_return else None
    bars = _bars(rule, went, conditions, time)
    return Clock(
        rule,
        _status(bars, discard_at, no_return, at),
        at,
        went,
        out_for=out_for,
        limit=time,
        room=room,
        discard_at=None if bars else discard_at,
        cause=cause,
        no_return_from=no_return,
        bars=bars,
        hottest=hottest,
        hot_room=hot_room,
        through=history.through,
    )


def _about_other_food(rule: Rule, went: Course, happened: tuple[Moment, ...]) -> bool:
    """Whether the food left control as the other kind, hot or chilled, and has remained it."""
    zone, start = rule.zone, went.start
    if rule.food is Food.ANY or zone is None or start is None:
        return False
    foods = [moment.food for moment in happened if moment.food is not None]
    if rule.food is Food.HOT:
        was_hot = any(zone.hot(food) for food in foods) or any(m.kind in HEATED for m in happened)
        return start.food is not None and zone.cold(start.food) and not was_hot
    left_hot = start.kind in HEATED if start.food is None else zone.hot(start.food)
    return left_hot and not any(zone.cold(food) for food in foods)


def _reaches(rule: Rule, went: Course, time: timedelta) -> datetime | None:
    """When the clock comes to ``time``."""
    if rule.clock is ClockKind.RUNNING:
        return None if went.start_at is None else went.start_at + time
    return went.reaches(time)


def _room_and_limit(
    rule: Rule,
    went: Course,
    happened: tuple[Moment, ...],
    conditions: Conditions,
    limit: timedelta,
) -> tuple[Room, Temperature | None, timedelta]:
    """What is known of the room, the temperature that makes it hot, and the limit in force.

    One hot reading shortens the limit for the whole time out. A reading of a room that is not hot
    takes nothing back once the shorter limit has passed without it.
    """
    hot = rule.hot_room
    if hot is None:
        return Room.NO_MATTER, None, limit
    read = [moment for moment in happened if moment.kind is EventKind.ROOM]
    rooms = [m.event.temperature for m in read if m.event.temperature is not None]
    rooms += [conditions.room] if conditions.room is not None else []
    if any(hot.position(room) >= 0 for room in rooms):
        return Room.HOT, max(rooms), hot.time
    passed = _reaches(rule, went, hot.time)
    in_time = [
        m
        for m in read
        if m.event.temperature is not None
        and not m.disordered
        and (passed is None or m.at <= passed)
    ]
    if conditions.room is not None or in_time:
        return Room.NOT_HOT, None, limit
    return Room.UNKNOWN, None, hot.time


def _ends(
    rule: Rule,
    went: Course,
    happened: tuple[Moment, ...],
    conditions: Conditions,
    limit: timedelta,
) -> tuple[list[tuple[datetime, Cause]], Moment | None]:
    """Every instant that ends the time, and the reading that broke the ceiling."""
    ends: list[tuple[datetime, Cause]] = []
    reached = _reaches(rule, went, limit)
    if reached is not None:
        ends.append((reached, Cause.LIMIT))
    if went.start_at is None:
        return ends, None
    if rule.marking is Marking.DISCARD_TIME:
        marks = (*conditions.inner_marks, conditions.mark)
        ends += [(mark, Cause.MARK) for mark in marks if mark is not None]
    if rule.clock is ClockKind.SINGLE_PERIOD and went.second_period is not None:
        ends.append((went.second_period, Cause.SECOND_PERIOD))
    hottest = next(
        (
            moment
            for moment in happened
            if rule.ceiling is not None
            and moment.food is not None
            and moment.at >= went.start_at
            and rule.ceiling.position(moment.food) > 0
        ),
        None,
    )
    if hottest is not None:
        ends.append((hottest.at, Cause.CEILING))
    return ends, hottest


def _out_for(rule: Rule, went: Course, at: datetime) -> timedelta:
    if rule.clock is ClockKind.RUNNING:
        return timedelta(0) if went.start_at is None else at - went.start_at
    return went.total(at)


def _bars(rule: Rule, went: Course, conditions: Conditions, limit: timedelta) -> tuple[Bar, ...]:
    """Why the rule cannot be used for food that has left control."""
    if went.start is None or went.start_at is None:
        return ()
    bars: list[Bar] = []
    if rule.needs_procedures and not conditions.procedures:
        bars.append(Bar.NO_PROCEDURES)
    if rule.starts:
        bars += _start_bars(rule, went.start)
    if rule.marking is Marking.DISCARD_TIME:
        if conditions.mark is None:
            bars.append(Bar.NOT_MARKED)
        elif conditions.mark > went.start_at + limit:
            bars.append(Bar.MARKED_TOO_LATE)
    return tuple(bars)


def _start_bars(rule: Rule, start: Moment) -> list[Bar]:
    """What is wrong with how the food left control."""
    if start.disordered:
        return [Bar.UNCERTAIN_START]
    if start.kind not in rule.starts_by:
        return [Bar.NOT_REMOVED]
    if start.food is None:
        return [Bar.NO_START_TEMPERATURE]
    met = any(condition.met(start.kind, start.food) for condition in rule.starts)
    return [] if met else [Bar.START_TEMPERATURE]


def _status(
    bars: tuple[Bar, ...], discard_at: datetime | None, no_return: datetime | None, at: datetime
) -> Status:
    if bars:
        return Status.CANNOT_BE_USED
    if discard_at is not None and discard_at <= at:
        return Status.DISCARD
    if no_return is not None and no_return <= at:
        return Status.DO_NOT_RETURN
    return Status.WITHIN
