"""The reason of rules about cooling, heating again and days, in sentences."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from costing.holding.days import DayCount
from costing.holding.instants import length
from costing.holding.passes import Passage
from costing.holding.statuses import Cause, Clock, Status

When = Callable[[datetime], str]

NOT_CHECKED = "Other hazards are not checked."
THROW_AWAY = "Discard: not to be served, not to go back."


def pass_words(clock: Clock, going: Passage, when: When) -> str:
    """Why a pass stands as it does.

    Parameters
    ----------
    clock : Clock
        As it stands.
    going : Passage
        How far it has come.
    when : callable
        Says an instant in local time.
    """
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


def cooling_words(going: Passage, when: When) -> str:
    """What is asked of food that cools as another rule asks, so that it is no time out.

    Parameters
    ----------
    going : Passage
        How far it has come.
    when : callable
        Says an instant in local time.
    """
    reached = len(going.reached)
    stage = going.rule.stages[min(reached, len(going.rule.stages) - 1)]
    by = "" if going.deadline is None else f" by {when(going.deadline)}"
    return (
        f"Cooling as {going.rule.id} asks since {when(going.began_at)} is not counted; it must be "
        f"measured {stage.words}{by}, or all of it counts."
    )


def day_words(clock: Clock, count: DayCount, when: When) -> str:
    """Why a count of days stands as it does.

    Parameters
    ----------
    clock : Clock
        As it stands.
    count : DayCount
        The days.
    when : callable
        Says an instant in local time.
    """
    rule = clock.rule
    days = 0 if rule.days is None else rule.days.count
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
