"""The reason for a status, in sentences for the user beside the bowl.

A reason says how a log compares with a rule, and never that food may be eaten.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from costing.holding.instants import length, moment_words
from costing.holding.models import Container, Eaten
from costing.holding.passes import DayCount, Passage
from costing.holding.rules import LEAVES_CONTROL, FoodState, Marking
from costing.holding.statuses import Bar, Cause, Clock, Noted, Remark, Room, Status

ENDING = "treat as past its limit"
"""How the reason ends when a rule cannot be used."""

When = Callable[[datetime], str]

NOT_CHECKED = "Other hazards are not checked."
THROW_AWAY = "Discard: not to be served, not to go back."


@dataclass(frozen=True, slots=True)
class Context:
    """What a reason needs besides the clock.

    Parameters
    ----------
    mark : datetime, optional
        The discard time on the container itself. [UTC]
    names : sequence of str
        Of all containers, by number.
    within : sequence of int
        The containers that hold it and whose log goes on after its own, by number.
    """

    container: Container
    mark: datetime | None
    names: Sequence[str]
    zone: ZoneInfo
    within: Sequence[int] = ()

    def when(self, instant: datetime) -> str:
        """The minute of an instant in local time, so that no deadline is shown later than it is."""
        return moment_words(instant.replace(second=0, microsecond=0), self.zone)


def reason(clock: Clock, context: Context) -> str:
    """Why a clock is as it is."""
    main = _main(clock, context)
    besides = _besides(clock, context)
    # that it is to be treated as past its limit is to be the last word
    sentences = [*besides, main] if clock.status is Status.CANNOT_BE_USED else [main, *besides]
    return " ".join(sentences)


def _main(clock: Clock, context: Context) -> str:
    """The sentence of the status; passes and days have their own while a limit is in force."""
    if clock.status in (Status.WITHIN, Status.DISCARD):
        if clock.passage is not None:
            return _pass_words(clock, clock.passage, context.when)
        if clock.days is not None:
            return _day_words(clock, clock.days, context.when)
    return {
        Status.WITHIN: _within,
        Status.DO_NOT_RETURN: _do_not_return,
        Status.DISCARD: _discard,
        Status.CANNOT_BE_USED: _cannot_be_used,
        Status.NOT_COVERED: _not_covered,
    }[clock.status](clock, context)


def _out_for(clock: Clock) -> str:
    """The time used up, a minute that is begun as a whole one; short of a limit it says so."""
    said, first = length(clock.out_for, begun=True), clock.rule.return_limit
    limits = (clock.limit, clock.limit if first is None else first.time)
    short = any(clock.out_for < limit and said == length(limit) for limit in limits)
    return f"just under {said}" if short else said


def discarded_reason(clock: Clock, context: Context, at: datetime) -> str:
    """What the rule said of a container when its food was thrown away."""
    return (
        f"Logged as discarded at {context.when(at)}. At that time, by {clock.rule.id}: "
        f"{clock.status}, out for {_out_for(clock)}."
    )


def never_reason(container: Container, inner: Container | None) -> str:
    """Why a container is never food.

    ``inner``: a container it holds that is never eaten; ``None`` when it is itself so logged.
    """
    if inner is None or container.eaten is Eaten.NEVER:
        return "Logged as never eaten: no rule can make it food."
    return f'It holds "{inner.name}", which is never eaten: no rule can make it food.'


def _within(clock: Clock, context: Context) -> str:
    """The reason while its time has not run out."""
    rule, went = clock.rule, clock.course
    start = f"Within the {length(clock.limit)} limit of {rule.id}, as logged"
    if clock.aside and clock.cooling is None:
        kinds = "" if rule.starts_by == LEAVES_CONTROL else f" ({' or '.join(rule.starts_by)})"
        return (
            f"{start}: nothing that starts its clock{kinds} is logged, so none is running; the "
            f"time out, and whether it may go back, is for another rule to judge. {NOT_CHECKED}"
        )
    if went.start_at is None and clock.cooling is None:
        return (
            f"{start}: it has not left temperature control, so no clock is running. {NOT_CHECKED}"
        )
    start += f": out for {_out_for(clock)}. {NOT_CHECKED}"
    if clock.cooling is not None and went.since is None:
        return start
    if clock.discard_at is None:
        return f"{start} {_back_in_control(clock)}"
    discard = f"discard at {context.when(clock.discard_at)}."
    if clock.return_before is None:
        return f"{start} It may not go back to be kept; {discard}"
    once = ", once only" if rule.once_only else ""
    control = f", measured {rule.zone.control}" if rule.zone is not None else ""
    if clock.return_before == clock.discard_at:
        discard = "from then on discard it."
    before = context.when(clock.return_before)
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


def _do_not_return(clock: Clock, context: Context) -> str:
    first = clock.rule.return_limit
    allowed = clock.limit if first is None else first.time
    since = "" if clock.no_return_from is None else f" since {context.when(clock.no_return_from)}"
    by = (
        "" if clock.discard_at is None else f": it must be gone by {context.when(clock.discard_at)}"
    )
    return (
        f"Past the {length(allowed)} in which {clock.rule.id} allows a return{since}, as logged: "
        f"out for {_out_for(clock)}. It may not go back{by}. {NOT_CHECKED}"
    )


def _discard(clock: Clock, context: Context) -> str:
    """The reason once its time has run out, by what ended it."""
    end = clock.discard_at or clock.at
    since, name = context.when(end), clock.rule.id
    # what came back too late is over its limit by the time it was out, not by that since
    over = clock.out_for - clock.limit if clock.cause is Cause.LIMIT else clock.at - end
    late = f", {length(over, begun=True)} over" if over > timedelta(0) else ""
    sentences = f"as logged: out for {length(clock.out_for, begun=True)}{late}. {THROW_AWAY}"
    if clock.cause is Cause.MARK:
        return f"Past the discard time marked on it for {name} since {since}, {sentences}"
    if clock.cause is Cause.SECOND_PERIOD:
        return f"Put out again at {since}, and {name} allows one period only, {sentences}"
    if clock.cause is Cause.CEILING and clock.hottest is not None:
        return (
            f"Read at {clock.hottest.food} at {since}, above the ceiling of "
            f"{clock.rule.ceiling} of {name}, {sentences}"
        )
    return f"Past the {length(clock.limit)} limit of {name} since {since}, {sentences}"


def _cannot_be_used(clock: Clock, context: Context) -> str:
    bars = "; ".join(_bar(bar, clock, context) for bar in clock.bars)
    return f"{clock.rule.id} cannot be used: {bars}; {ENDING}"


def _bar(bar: Bar, clock: Clock, context: Context) -> str:
    """Why a rule does not let time control be used, as a clause."""
    start, mark = clock.course.start, context.mark
    needed = " or ".join(condition.words for condition in clock.rule.starts)
    left_at = None if start is None else start.food
    read_at = "" if start is None else f" at {context.when(start.at)}"
    started = clock.course.start_at
    end = clock.days.ends_at if clock.days else None if started is None else started + clock.limit
    latest = "" if end is None else context.when(end)
    return {
        Bar.NOT_READ: "no rule of that name can be read",
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
        Bar.WARM_ROOM: (
            f"the room was at {clock.hot_room}, above {clock.rule.ceiling}, and the food was not "
            "measured since it left control"
        ),
        Bar.NOT_MARKED: "no discard time is marked on it",
        Bar.MARKED_TOO_LATE: (
            f"it is marked until {'' if mark is None else moment_words(mark, context.zone)}, later "
            f"than {latest}"
        ),
    }[bar]


_OF = {FoodState.HOT: "hot food", FoodState.CHILLED: "chilled food", FoodState.ANY: "food"}


def _not_covered(clock: Clock, context: Context) -> str:
    """Why a rule says nothing of a container."""
    name, about = clock.rule.id, clock.rule.food
    if Bar.CLASS_NONE in clock.bars:
        return (
            f'All that "{context.container.name}" holds is of a holding class that needs no '
            f"temperature control, so {name} is not applied."
        )
    if Bar.NOT_STARTED in clock.bars:
        kinds = " or ".join(context.container.starts_by) or "cut, opened or cooked"
        return (
            f'What "{context.container.name}" holds needs control of its temperature only when '
            f"{kinds}, and that is not logged, so {name} is not applied yet."
        )
    if Bar.NOT_YET in clock.bars:
        when = "" if clock.next_at is None else f" at {context.when(clock.next_at)}"
        return (
            f"Not out yet, as logged: its log continues{when}, later than the instant asked about. "
            "If it is out already, treat it as past its limit and mend the time."
        )
    if Bar.NO_PASS in clock.bars:
        what = "cooling" if clock.rule.cools else "heating again"
        return f"{name} is about {what}, and none is logged."
    if Bar.OTHER_FOOD in clock.bars:
        other = _OF[FoodState.CHILLED if about is FoodState.HOT else FoodState.HOT]
        return f"{name} is about {_OF[about]}, and this left control as {other}."
    return f"{name} states no time."


def _besides(clock: Clock, context: Context) -> list[str]:
    """What is said whatever the status."""
    rule, sentences = clock.rule, []
    if clock.room is Room.UNKNOWN:
        sentences.append("The room temperature is not known, so the hot-room limit is used.")
    elif clock.room is Room.HOT:
        sentences.append(
            f"The room was at {clock.hot_room}, so the hot-room limit is used for the whole time."
        )
    if rule.ceiling is not None and clock.status is Status.WITHIN:
        sentences.append(
            f"Only while the food is not above {rule.ceiling}: measure its warmest part."
        )
    if clock.cooling is not None and clock.status is not Status.DISCARD:
        sentences.append(_cooling_words(clock.cooling, context.when))
    if clock.course.prepared and rule.once_only:
        sentences.append("Preparation is counted as time out.")
    covered = clock.status is not Status.NOT_COVERED
    for remark in Remark if covered else (Remark.REHEATED_TOO_LITTLE,):
        alike = [noted for noted in clock.course.notes if noted.remark is remark]
        if alike:
            more = f" ({len(alike) - 1} more like this.)" if len(alike) > 1 else ""
            sentences.append(_remark(alike[0], clock, context) + more)
    if clock.through:
        inner = ", ".join(f'"{context.names[number]}"' for number in clock.through)
        sentences.append(f"Counted with the times of {inner}, which it holds.")
    if rule.marking is Marking.NONE and clock.status in (Status.WITHIN, Status.DO_NOT_RETURN):
        sentences += _about_the_mark(context.mark, clock, context.when)
    if context.within:
        outer = ", ".join(f'"{context.names[number]}"' for number in context.within)
        sentences.append(f"What of it is in {outer}, or stands on it, is judged there.")
    if rule.businesses_only:
        sentences.append(f"{rule.id} binds only businesses.")
    if context.container.eaten is Eaten.NO:
        sentences.append("Logged as not eaten, so without an alarm.")
    return sentences


def _about_the_mark(mark: datetime | None, clock: Clock, when: When) -> Iterator[str]:
    """What is said of a mark that a rule does not ask for, and that says another time."""
    if mark is None:
        return
    ends, name = clock.discard_at, clock.rule.id
    if mark <= clock.at if ends is None else mark < ends.replace(second=0, microsecond=0):
        yield (
            f"It is marked to be discarded at {when(mark)}, which {name} does not ask for; keep to "
            "the mark."
        )
    elif ends is not None and mark > ends and clock.passage is None:  # how long it keeps once cold
        yield f"It is marked until {when(mark)}, later than {name} allows; do not go by the mark."


def _remark(noted: Noted, clock: Clock, context: Context) -> str:
    """What an event of the log did to the clock, in one sentence."""
    when, since = context.when(noted.moment.at), context.when(noted.since)
    food, zone = noted.moment.food, clock.rule.zone
    control = "" if zone is None else f", where control is {zone.control}"
    return {
        Remark.NEVER_PAUSES: f"Going back at {when} did not stop this clock.",
        Remark.UNMEASURED: (
            f"It went back at {when} without a reading, which did not stop the clock."
        ),
        Remark.OUTSIDE: f"It went back at {when} at {food}{control}; the clock was not stopped.",
        Remark.TOO_LATE: (
            f"It went back at {when} after {length(noted.out_for, begun=True)}, which "
            f"{clock.rule.id} does not allow; the clock was not stopped."
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


def _pass_words(clock: Clock, going: Passage, when: When) -> str:
    """Why a pass is as it is."""
    name, stages = clock.rule.id, clock.rule.stages
    shown = [
        f"{stage.words} by {when(at)}" for stage, at in zip(stages, going.reached, strict=False)
    ]
    so_far = f"counted since {when(going.began_at)}" + "".join(f", {one}" for one in shown)
    if going.completed:
        return (
            f"Within the times of {name}, as logged: {so_far}. {NOT_CHECKED} It says nothing of "
            "time out before or after."
        )
    stage = stages[len(going.reached)]
    if clock.status is Status.DISCARD and clock.discard_at is not None:
        return (
            f"Past the {length(stage.time)} of {name} to come to {stage.words} since "
            f"{when(clock.discard_at)}, as logged: {so_far}. {THROW_AWAY}"
        )
    end = "" if clock.discard_at is None else f" by {when(clock.discard_at)}"
    return (
        f"Within the {length(stage.time)} limit of {name}, as logged: {so_far}. {NOT_CHECKED} It "
        f"must be measured {stage.words}{end}; going back does not stop this clock."
    )


def _cooling_words(going: Passage, when: When) -> str:
    """What is asked of food that cools as another rule asks, so that it is no time out."""
    reached = len(going.reached)
    stage = going.rule.stages[min(reached, len(going.rule.stages) - 1)]
    by = "" if going.deadline is None else f" by {when(going.deadline)}"
    return (
        f"Cooling as {going.rule.id} asks since {when(going.began_at)} is not counted; it must be "
        f"measured {stage.words}{by}, or all of it counts."
    )


def _day_words(clock: Clock, count: DayCount, when: When) -> str:
    """Why a count of days is as it is."""
    rule = clock.rule
    days = rule.days and rule.days.count
    since = f"day 1 is {count.first_day}"
    if clock.status is Status.DISCARD and clock.discard_at is not None:
        if clock.cause is Cause.MARK:
            over = f"Past the discard time marked on it since {when(clock.discard_at)}"
        else:
            over = f"Past the {days} days of {rule.id}, the last of which was {count.last_day}"
        return f"{over}, as logged: {since}. {THROW_AWAY}"
    cold = "" if rule.zone is None else f" They hold only for food kept {rule.zone.control}."
    if count.frozen_since is not None:
        last = (
            f"frozen since {count.frozen_since}, whose last day moves on with each day until the "
            f"day before it is thawed; without that it would be {count.last_day}"
        )
    else:
        last = f"the last day is {count.last_day}"
    return (
        f"Within the {days} days of {rule.id}, as logged: {since}, {last}. {NOT_CHECKED}{cold} "
        "Going back does not stop this clock."
    )
