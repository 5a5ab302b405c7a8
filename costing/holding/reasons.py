"""The reason for a status, in sentences for the person beside the bowl.

A reason says how a log stands against a rule, and never that food may be eaten.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from costing.holding.courses import Noted, Remark
from costing.holding.instants import length, moment_words
from costing.holding.models import Container, Eaten
from costing.holding.pass_reasons import cooling_words, day_words, pass_words
from costing.holding.rules import ClockKind, Food
from costing.holding.statuses import Bar, Cause, Clock, Conditions, Room, Status

ENDING = "treat as past its limit"
"""How the reason ends when a rule cannot be used."""


@dataclass(frozen=True, slots=True)
class Telling:
    """What a reason needs besides the clock.

    Parameters
    ----------
    container : Container
        Judged.
    conditions : Conditions
        As the clock was given.
    names : sequence of str
        Of all containers, by number.
    zone : ZoneInfo
        Whose local times are shown.
    """

    container: Container
    conditions: Conditions
    names: Sequence[str]
    zone: ZoneInfo

    def when(self, instant: datetime) -> str:
        """An instant in local time."""
        return moment_words(instant, self.zone)


def reason(clock: Clock, telling: Telling) -> str:
    """Why a clock stands as it does.

    Parameters
    ----------
    clock : Clock
        As it stands.
    telling : Telling
        What else is told.
    """
    main = _main(clock, telling)
    besides = _besides(clock, telling)
    told = [*besides, main] if clock.status is Status.CANNOT_BE_USED else [main, *besides]
    return " ".join(told)


def _main(clock: Clock, telling: Telling) -> str:
    if clock.status in (Status.WITHIN, Status.DISCARD):
        if clock.passage is not None:
            return pass_words(clock, clock.passage, telling.when)
        if clock.days is not None:
            return day_words(clock, clock.days, telling.when)
    return {
        Status.WITHIN: _within,
        Status.DO_NOT_RETURN: _do_not_return,
        Status.DISCARD: _discard,
        Status.CANNOT_BE_USED: _cannot_be_used,
        Status.NOT_COVERED: _not_covered,
    }[clock.status](clock, telling)


def discarded_reason(clock: Clock, telling: Telling, at: datetime) -> str:
    """What the rule said of a container when its food was thrown away."""
    return (
        f"Logged as discarded at {telling.when(at)}. At that time, by {clock.rule.id}: "
        f"{clock.status}, out for {length(clock.out_for)}."
    )


def never_reason(container: Container, inner: Container | None) -> str:
    """Why a container is never food.

    Parameters
    ----------
    container : Container
        The one judged.
    inner : Container, optional
        A container it holds that is never eaten; ``None`` when it is itself so logged.
    """
    if inner is None or container.eaten is Eaten.NEVER:
        return "Logged as never eaten: no rule can make it food."
    return f'It holds "{inner.name}", which is never eaten: no rule can make it food.'


def _within(clock: Clock, telling: Telling) -> str:
    rule, went = clock.rule, clock.course
    start = f"Within the {length(clock.limit)} limit of {rule.id}, as logged"
    if went.start_at is None and clock.cooling is None:
        return (
            f"{start}: it has not left temperature control, so no clock is running. "
            "Other hazards are not checked."
        )
    start += f": out for {length(clock.out_for)}. Other hazards are not checked."
    if clock.cooling is not None and went.since is None:
        return start
    if clock.discard_at is None:
        return f"{start} {_back_in_control(clock)}"
    discard = f"discard at {telling.when(clock.discard_at)}."
    if clock.return_before is None:
        return f"{start} It may not go back to be kept; {discard}"
    once = ", once only" if rule.clock is ClockKind.SINGLE_PERIOD else ""
    control = f", measured {rule.zone.control}" if rule.zone is not None else ""
    before = telling.when(clock.return_before)
    return f"{start} It may go back before {before}{control}{once}; {discard}"


def _back_in_control(clock: Clock) -> str:
    if clock.course.period_used:
        return "It went back, and its one period is over: it may not be put out again."
    left = length(clock.limit - clock.out_for)
    first = clock.rule.return_limit
    if first is None:
        return f"It went back; {left} are left of the limit."
    return (
        f"It went back; {length(first.time - clock.out_for)} are left in which it may go back "
        f"again, {left} until it must be discarded."
    )


def _do_not_return(clock: Clock, telling: Telling) -> str:
    first = clock.rule.return_limit
    allowed = clock.limit if first is None else first.time
    since = "" if clock.no_return_from is None else f" since {telling.when(clock.no_return_from)}"
    by = (
        "" if clock.discard_at is None else f": it must be gone by {telling.when(clock.discard_at)}"
    )
    return (
        f"Past the {length(allowed)} in which {clock.rule.id} allows a return{since}, as logged: "
        f"out for {length(clock.out_for)}. It may not go back{by}. "
        "Other hazards are not checked."
    )


def _discard(clock: Clock, telling: Telling) -> str:
    end = clock.discard_at or clock.at
    since, name = telling.when(end), clock.rule.id
    over = clock.at - end
    late = f", {length(over)} over" if over > timedelta(0) else ""
    told = (
        f"as logged: out for {length(clock.out_for)}{late}. "
        "Discard: not to be served, not to go back."
    )
    if clock.cause is Cause.MARK:
        return f"Past the discard time marked on it for {name} since {since}, {told}"
    if clock.cause is Cause.SECOND_PERIOD:
        return f"Put out again at {since}, and {name} allows one period only, {told}"
    if clock.cause is Cause.CEILING and clock.hottest is not None:
        return (
            f"Read at {clock.hottest.food} at {since}, above the ceiling of "
            f"{clock.rule.ceiling} of {name}, {told}"
        )
    return f"Past the {length(clock.limit)} limit of {name} since {since}, {told}"


def _cannot_be_used(clock: Clock, telling: Telling) -> str:
    bars = "; ".join(_bar(bar, clock, telling) for bar in clock.bars)
    return f"{clock.rule.id} cannot be used: {bars}; {ENDING}"


def _bar(bar: Bar, clock: Clock, telling: Telling) -> str:
    start, mark = clock.course.start, telling.conditions.mark
    needed = " or ".join(condition.words for condition in clock.rule.starts)
    left_at = None if start is None else start.food
    read_at = "" if start is None else f" at {telling.when(start.at)}"
    started = clock.course.start_at
    end = clock.days.ends_at if clock.days else None if started is None else started + clock.limit
    latest = "" if end is None else telling.when(end)
    return {
        Bar.NO_TIMES: "no time is logged for it",
        Bar.NO_PROCEDURES: (
            "it needs written procedures for time as a control, and Settings does not say that "
            "they are kept"
        ),
        Bar.UNCERTAIN_START: "it is not certain when it left temperature control",
        Bar.NOT_REMOVED: f"it was measured at {left_at}{read_at} without having been taken out",
        Bar.NO_START_TEMPERATURE: (
            f"no temperature was read when it left control{read_at}; needed is {needed}"
        ),
        Bar.START_TEMPERATURE: (
            f"it left control by {'' if start is None else start.kind} at {left_at}; needed is "
            f"{needed}"
        ),
        Bar.NOT_MARKED: "no discard time is marked on it",
        Bar.MARKED_TOO_LATE: (
            f"it is marked until {'' if mark is None else telling.when(mark)}, later than {latest}"
        ),
    }[bar]


_OF = {Food.HOT: "hot food", Food.CHILLED: "chilled food", Food.ANY: "food"}


def _not_covered(clock: Clock, telling: Telling) -> str:
    name, about = clock.rule.id, clock.rule.food
    if Bar.CLASS_NONE in clock.bars:
        return (
            f'All that "{telling.container.name}" holds is of a holding class that needs no '
            f"temperature control, so {name} is not applied."
        )
    if Bar.NOT_STARTED in clock.bars:
        kinds = " or ".join(telling.container.starts_by) or "cut, opened or cooked"
        return (
            f'What "{telling.container.name}" holds needs control of its temperature only when '
            f"{kinds}, and that is not logged, so {name} is not applied yet."
        )
    if Bar.NOT_YET in clock.bars:
        when = "" if clock.next_at is None else f" at {telling.when(clock.next_at)}"
        return (
            f"Its log goes on{when}, later than the instant asked about, so {name} says nothing of "
            "it yet. If that has happened already, mend the time; until then treat it as past its "
            "limit."
        )
    if Bar.NO_PASS in clock.bars:
        what = "cooling" if clock.rule.cools else "heating again"
        return f"{name} is about {what}, and none is logged."
    if Bar.OTHER_FOOD in clock.bars:
        other = _OF[Food.CHILLED if about is Food.HOT else Food.HOT]
        return f"{name} is about {_OF[about]}, and this left control as {other}."
    return f"{name} states no time."


def _besides(clock: Clock, telling: Telling) -> list[str]:
    """What is told whatever the status."""
    rule, told = clock.rule, []
    if clock.room is Room.UNKNOWN:
        told.append("The room temperature is not known, so the hot-room limit is used.")
    elif clock.room is Room.HOT:
        told.append(
            f"The room was at {clock.hot_room}, so the hot-room limit is used for the whole time."
        )
    if clock.cooling is not None and clock.status is not Status.DISCARD:
        told.append(cooling_words(clock.cooling, telling.when))
    if clock.course.prepared and rule.clock is ClockKind.SINGLE_PERIOD:
        told.append("Preparation is counted as time out.")
    covered = clock.status is not Status.NOT_COVERED
    for remark in Remark if covered else (Remark.REHEATED_TOO_LITTLE,):
        alike = [noted for noted in clock.course.notes if noted.remark is remark]
        if alike:
            more = f" ({len(alike) - 1} more like this.)" if len(alike) > 1 else ""
            told.append(_remark(alike[0], clock, telling) + more)
    if clock.through:
        inner = ", ".join(f'"{telling.names[number]}"' for number in clock.through)
        told.append(f"Counted with the times of {inner}, which it holds.")
    if rule.businesses_only:
        told.append(f"{rule.id} binds only businesses.")
    if telling.container.eaten is Eaten.NO:
        told.append("Logged as not eaten, so without an alarm.")
    return told


def _remark(noted: Noted, clock: Clock, telling: Telling) -> str:
    when, since = telling.when(noted.moment.at), telling.when(noted.since)
    food, zone = noted.moment.food, clock.rule.zone
    control = "" if zone is None else f", where control is {zone.control}"
    return {
        Remark.NEVER_PAUSES: f"Going back at {when} did not stop this clock.",
        Remark.UNMEASURED: (
            f"It went back at {when} without a reading, which did not stop the clock."
        ),
        Remark.OUTSIDE: f"It went back at {when} at {food}{control}; the clock was not stopped.",
        Remark.TOO_LATE: (
            f"It went back at {when} after {length(noted.out_for)}, which {clock.rule.id} does "
            "not allow; the clock was not stopped."
        ),
        Remark.READ_OUTSIDE: f"Measured at {food} at {when}, it counts as out since {since}.",
        Remark.CROSSED: (
            f"At {food} by {when} it had passed through the zone between hot and cold control, "
            f"so it counts as out since {since}."
        ),
        Remark.DISORDERED: (
            f"The times of its log are out of order at {when}, so it counts as out since {since}."
        ),
        Remark.REHEATED_TOO_LITTLE: (
            f"Reheated to {food} at {when}, where {clock.rule.id} asks for "
            f"{'' if clock.rule.reheat is None else clock.rule.reheat.words}."
        ),
    }[noted.remark]
