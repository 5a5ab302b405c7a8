"""The state of a rule's clock at an instant: time out, limits, and why a rule cannot be used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from costing.holding.contents import History
from costing.holding.logs import Moment
from costing.holding.models import EventKind, Temperature
from costing.holding.passes import cooling, day_count, passages
from costing.holding.rules import HEATED, LEAVES_CONTROL, ClockKind, FoodState, Marking, Rule
from costing.holding.statuses import (
    NO_END,
    Bar,
    Cause,
    Clock,
    Conditions,
    Course,
    Room,
    Status,
)
from costing.holding.walks import course

NOT_HEATED = (EventKind.CUT, EventKind.OPENED, EventKind.THAWED)
"""What is done to food that is not hot; hot food has a row that heats it, or a hot reading."""


def standing(history: History, rule: Rule, conditions: Conditions, at: datetime) -> Clock:
    """How a rule stands for a component at an instant.

    Parameters
    ----------
    rule : Rule
        Any; its kind of clock decides.
    at : datetime
        Later events have not happened yet. [UTC]
    """
    food = [moment for moment in history.moments if moment.kind is not EventKind.ROOM]
    # before any kind of clock: a log that begins later than the instant asked about says nothing
    # yet
    if food and all(moment.at > at for moment in food):
        return _not_yet(history, rule, conditions, at, min(moment.at for moment in food))
    if history.waits and not history.until(at):
        bars = (Bar.NOT_STARTED,)
        return Clock(rule, Status.NOT_COVERED, at, Course(), bars=bars, through=history.through)
    if rule.clock is ClockKind.ONE_PASS:
        return _one_pass(history, rule, at)
    if rule.clock is ClockKind.DAYS:
        return _days(history, rule, conditions, at)
    stands = _time_out(history, rule, conditions, at)
    taken_out = [moment.at for moment in food if moment.at > at and moment.kind in rule.starts_by]
    if stands.status is not Status.WITHIN or not taken_out:
        return stands
    # a later row takes the food out: where it may be a slip of the pen, the food may be out already
    happened = history.until(at)
    if any(moment.disordered for moment in happened):
        return replace(
            stands,
            status=Status.CANNOT_BE_USED,
            discard_at=None,
            bars=(Bar.UNCERTAIN_START,),
        )
    if all(moment.kind in (EventKind.READING, EventKind.ROOM) for moment in happened):
        return replace(
            stands, status=Status.NOT_COVERED, bars=(Bar.NOT_YET,), next_at=min(taken_out)
        )
    return stands


def _not_yet(
    history: History, rule: Rule, conditions: Conditions, at: datetime, next_at: datetime
) -> Clock:
    """A log that has not begun says nothing yet; the limit is that of the rule."""
    limit = timedelta(0) if rule.discard_limit is None else rule.discard_limit.time
    room, hot_room, time = _room_and_limit(rule, Course(), conditions, at, limit)
    return Clock(
        rule,
        Status.NOT_COVERED,
        at,
        Course(),
        limit=time,
        room=room,
        hot_room=hot_room,
        bars=(Bar.NOT_YET,),
        through=history.through,
        next_at=next_at,
    )


def _time_out(history: History, rule: Rule, conditions: Conditions, at: datetime) -> Clock:
    """A clock that judges times out of control, or a rule that states no time.

    Cooling that continues as its rule asks counts for nothing until that rule's next time is over;
    should it be missed, all of it has been time out.
    """
    cools_by = conditions.cooled_by
    cooled = [] if cools_by is None else cooling(history, cools_by, at)
    went = course(history, rule, at, cooled)
    happened = history.until(at)
    out_for = _out_for(rule, went, at)
    limit = rule.discard_limit
    if limit is None:
        return Clock(rule, Status.NOT_COVERED, at, went, out_for, bars=(Bar.STATES_NO_TIME,))
    going = cooled[-1].going if cooled else None
    room, hot_room, time = _room_and_limit(rule, went, conditions, at, limit.time)
    ends, hottest = _ends(rule, went, happened, conditions, time)
    deadline = None if going is None else going.deadline
    if going is not None and deadline is not None:
        # should it be missed, the food was out all the while, in whatever room
        unproven = course(history, rule, at, cooled[:-1])
        missed = _reaches(
            rule, unproven, _room_and_limit(rule, unproven, conditions, at, limit.time)[2]
        )
        ends.append((max(deadline, missed or deadline), Cause.STAGE))
    # of several ends the earliest: a mark may shorten a limit and never lengthen it
    discard_at, cause = min(ends, key=lambda end: end[0]) if ends else (None, Cause.LIMIT)
    if _about_other_food(rule, went, happened, discard_at):
        return Clock(rule, Status.NOT_COVERED, at, went, out_for, bars=(Bar.OTHER_FOOD,))
    # a hot room may shorten the limit below the time in which food may go back
    return_limit = min(time, rule.return_limit.time) if rule.return_limit else time
    no_return = went.reaches(return_limit) if rule.may_return else None
    bars = _bars(rule, went, conditions, time)
    warm = _warm_room(rule, went, happened, conditions, at)
    bars += () if warm is None else (Bar.WARM_ROOM,)
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
        hot_room=hot_room or warm,
        through=history.through,
        cooling=going,
        aside=went.start is None and any(_leaves_aside(rule, moment) for moment in happened),
    )


def _leaves_aside(rule: Rule, moment: Moment) -> bool:
    """Whether food that starts no clock here is out all the same: removed, or measured too warm."""
    if moment.kind in LEAVES_CONTROL:
        return True
    zone, food = rule.zone, moment.food
    # by a zone with a lower edge a warm reading starts the clock itself
    if rule.ceiling is None or food is None or (zone is not None and zone.lower is not None):
        return False
    # cut or opened food may be as warm as the ceiling; how cold others must be it does not say
    if zone is None and not set(rule.starts_by) & {EventKind.OUT, EventKind.PREP}:
        return True
    return rule.ceiling.position(food) > 0 and not (zone is not None and zone.hot(food))


def _about_other_food(
    rule: Rule, went: Course, happened: tuple[Moment, ...], over: datetime | None
) -> bool:
    """Whether the food is of the other kind, hot or chilled, and was before its time was ``over``.

    Food is hot when it leaves control hot or by being heated, until it is measured cold; under a
    ceiling it is from any hot reading on, because the ceiling is for cold dishes. Otherwise food
    that has been both is judged as both. It is chilled if it was cold when first measured, or cut,
    opened or thawed, and nothing has heated it.
    """
    zone, start = rule.zone, went.start
    if rule.food is FoodState.ANY or zone is None or start is None:
        return False
    read = [moment for moment in happened if moment.food is not None]
    if rule.food is FoodState.HOT:
        hot = any(moment.food is not None and zone.hot(moment.food) for moment in read)
        if hot or any(moment.kind in HEATED for moment in happened):
            return False
        cold = [m.at for m in read[:1] if m.food is not None and zone.cold(m.food)]
        return start.kind in NOT_HEATED or any(over is None or at < over for at in cold)
    heated: Moment | None = None
    for moment in happened:
        counts = moment is start or rule.ceiling is not None
        hot = moment.food is not None and zone.hot(moment.food)
        if moment.food is not None and zone.cold(moment.food):
            heated = None
        elif (counts and hot) or (moment is start and moment.kind in HEATED):
            heated = heated or moment
    return heated is not None and (over is None or heated.at < over)


def _reaches(rule: Rule, went: Course, time: timedelta) -> datetime | None:
    """When the clock comes to ``time``."""
    if rule.never_pauses:
        return None if went.start_at is None else went.start_at + time
    return went.reaches(time)


def _room_and_limit(
    rule: Rule, went: Course, conditions: Conditions, at: datetime, limit: timedelta
) -> tuple[Room, Temperature | None, timedelta]:
    """What is known of the room, the temperature that makes it hot, and the limit in force.

    A reading of the room, in whichever row it is, holds for all food that is out from then on,
    until the next one; the setting holds until the first. A hot reading that held while the food
    was out shortens the limit for the whole time out. A reading of a room that is not hot takes
    nothing back once the shorter limit has passed without it.
    """
    hot = rule.hot_room
    if hot is None:
        return Room.NO_MATTER, None, limit
    read = [m for m in conditions.rooms if m.at <= at]
    rooms = _rooms_while_out(went, read, conditions.room)
    if any(hot.position(room) >= 0 for room in rooms):
        return Room.HOT, max(rooms), hot.time
    passed = _reaches(rule, went, hot.time)
    in_time = [m for m in read if not m.disordered and (passed is None or m.at <= passed)]
    if conditions.room is not None or in_time:
        return Room.NOT_HOT, None, limit
    # nobody read the room: the shorter limit holds until somebody does
    return Room.UNKNOWN, None, hot.time


def _rooms_while_out(
    went: Course, read: Sequence[Moment], setting: Temperature | None
) -> list[Temperature]:
    """What the room was while the food was out; the latest of it where it never was.

    A reading out of its order may be a slip, and takes no earlier one's place.
    """
    in_order = sorted({m.at for m in read if not m.disordered})
    held: list[tuple[datetime, Temperature]] = []
    if setting is not None:
        held.append((datetime.min.replace(tzinfo=UTC), setting))
    held += [(m.at, m.room) for m in read if m.room is not None]
    found = []
    for begin, room in held:
        end = next((at for at in in_order if at > begin), NO_END)
        if end == NO_END if went.start is None else went.out_between(begin, end):
            found.append(room)
    return found


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
    if rule.once_only and went.second_period is not None:
        ends.append((went.second_period, Cause.SECOND_PERIOD))
    for moment in happened:
        food, zone = moment.food, rule.zone
        if rule.ceiling is None or food is None or moment.at < went.start_at:
            continue
        # hot, it is no longer the cold food that a ceiling is about
        if rule.ceiling.position(food) > 0 and not (zone is not None and zone.hot(food)):
            ends.append((moment.at, Cause.CEILING))
            return ends, moment
    return ends, None


def _out_for(rule: Rule, went: Course, at: datetime) -> timedelta:
    if rule.never_pauses:
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


def _warm_room(
    rule: Rule, went: Course, happened: tuple[Moment, ...], conditions: Conditions, at: datetime
) -> Temperature | None:
    """The room, where food that may not pass a ceiling has not been measured since in a warmer one.

    Where only the air is known, it stands for the food.
    """
    ceiling, start = rule.ceiling, went.start
    if ceiling is None or not ceiling.monitored or start is None or went.start_at is None:
        return None
    if any(m is not start and m.food is not None and m.at >= went.start_at for m in happened):
        return None
    read = [m for m in conditions.rooms if m.at <= at]
    rooms = _rooms_while_out(went, read, conditions.room)
    return max((room for room in rooms if ceiling.position(room) > 0), default=None)


def _start_bars(rule: Rule, start: Moment) -> list[Bar]:
    """What is wrong with how the food left control."""
    if start.disordered:
        return [Bar.UNCERTAIN_START]
    if start.kind not in rule.starts_by:
        return [Bar.NOT_REMOVED]
    if start.food is None:
        return [Bar.NO_START_TEMPERATURE]
    # a rule may allow several ways to start, each with a temperature of its own
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


def _one_pass(history: History, rule: Rule, at: datetime) -> Clock:
    """A pass that is completed leaves no clock running; one that continues ends with its stage."""
    found = passages(history, rule, at)
    going = found[-1] if found else None
    if going is None:
        bars = (Bar.NO_PASS,)
        return Clock(rule, Status.NOT_COVERED, at, Course(), bars=bars, through=history.through)
    end = going.missed_at or going.deadline
    until = going.reached[-1] if going.completed else at
    stage = rule.stages[min(len(going.reached), len(rule.stages) - 1)]
    return Clock(
        rule,
        Status.DISCARD if going.missed_at is not None else Status.WITHIN,
        at,
        Course(),
        out_for=until - going.began_at,
        limit=stage.time,
        discard_at=end,
        cause=Cause.STAGE,
        through=history.through,
        passage=going,
    )


def _days(history: History, rule: Rule, conditions: Conditions, at: datetime) -> Clock:
    """The days end at a midnight, or earlier where a mark says so."""
    count = day_count(history, rule, conditions.zone, at)
    if count is None:
        return Clock(rule, Status.WITHIN, at, Course(), through=history.through)
    marks = [mark for mark in (*conditions.inner_marks, conditions.mark) if mark is not None]
    bars: list[Bar] = []
    if rule.marking is Marking.DAY and rule.days is not None:
        after = rule.days.mark_after_minutes
        kept = at - count.first_at
        frozen = count.frozen_since is not None
        # frozen food may carry a later mark: its last day moves on while it is frozen
        if conditions.mark is not None and conditions.mark > count.ends_at and not frozen:
            bars.append(Bar.MARKED_TOO_LATE)
        elif conditions.mark is None and after is not None and kept > timedelta(minutes=after):
            bars.append(Bar.NOT_MARKED)
    ends = [(count.ends_at, Cause.LAST_DAY)] if count.frozen_since is None else []
    ends += [(mark, Cause.MARK) for mark in marks]
    discard_at, cause = min(ends, default=(None, Cause.LAST_DAY), key=lambda end: end[0])
    past = discard_at is not None and discard_at <= at
    status = Status.CANNOT_BE_USED if bars else Status.DISCARD if past else Status.WITHIN
    return Clock(
        rule,
        status,
        at,
        Course(),
        discard_at=None if bars else discard_at,
        cause=cause,
        bars=tuple(bars),
        through=history.through,
        days=count,
    )
