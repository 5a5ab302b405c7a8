"""How a rule of any kind of clock stands for a component."""

from __future__ import annotations

from datetime import datetime, timedelta

from costing.holding.clocks import Clock, Conditions, clock
from costing.holding.contents import History
from costing.holding.courses import Course
from costing.holding.days import day_count
from costing.holding.passes import passage
from costing.holding.rules import ClockKind, Marking, Rule
from costing.holding.statuses import Bar, Cause, Status


def standing(history: History, rule: Rule, conditions: Conditions, at: datetime) -> Clock:
    """How a rule stands for a component at an instant.

    Parameters
    ----------
    history : History
        Of the component.
    rule : Rule
        Any; its kind of clock decides.
    conditions : Conditions
        Besides the log.
    at : datetime
        Later events have not happened yet. [UTC]
    """
    if history.waits and not history.until(at):
        bars = (Bar.NOT_STARTED,)
        return Clock(rule, Status.NOT_COVERED, at, Course(), bars=bars, through=history.through)
    if rule.clock is ClockKind.ONE_PASS:
        return _one_pass(history, rule, at)
    if rule.clock is ClockKind.DAYS:
        return _days(history, rule, conditions, at)
    return clock(history, rule, conditions, at)


def _one_pass(history: History, rule: Rule, at: datetime) -> Clock:
    """A pass that is completed leaves no clock running; one that goes on ends with its stage."""
    going = passage(history, rule, at)
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
