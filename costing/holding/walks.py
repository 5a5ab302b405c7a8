"""The walk through a log, event by event: when food is out of control by a rule, and when not.

Food is out from the event that takes it out of temperature control until it is measured back in
it. A reading in control shows that the food was in control since the reading before it on the same
side, hot or cold. Cooling as its rule asks, proven by readings, is no time out either.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from costing.holding.contents import History
from costing.holding.logs import Moment
from costing.holding.models import EventKind
from costing.holding.passes import Cooling
from costing.holding.rules import (
    HEATED,
    LEAVES_CONTROL,
    RETURNS,
    Counted,
    FoodState,
    Rule,
)
from costing.holding.statuses import NO_END, Course, Noted, Remark, Stretch, without

PREPARES = (EventKind.PREP, EventKind.CUT, EventKind.OPENED, EventKind.THAWED)
"""Events of preparation, by which time as a control is not yet used."""


def course(history: History, rule: Rule, at: datetime, cooled: Sequence[Cooling] = ()) -> Course:
    """Walk the log of one component up to the instant ``at``.

    Parameters
    ----------
    at : datetime
        Later events have not happened yet. [UTC]
    cooled : sequence of Cooling
        What is no time out, in time.
    """
    walk = _Walk(rule, history, cooled)
    for moment in history.until(at):
        walk.take(moment)
    return walk.course()


class _Walk:
    """The state between two events."""

    def __init__(self, rule: Rule, history: History, cooled: Sequence[Cooling]) -> None:
        self.rule = rule
        self.history = history
        self.cooled = cooled
        self.out: set[int] = set()
        self.first: Moment | None = None
        self.inside: list[Moment] = []
        self.last_inside: dict[int, Moment] = {}
        self.measured: Moment | None = None
        self.heated = False  # since it was last measured
        self.drifted = False  # nobody took it out, so a reading in control ends the time out
        self.displayed = False  # at any time
        self.removed = False  # since it was last in control
        self.put_out = False  # for more than preparation, at any time
        self.start: Moment | None = None
        self.start_at: datetime | None = None
        self.stretches: list[Stretch] = []
        self.since: datetime | None = None
        self.second_period: datetime | None = None
        self.shown_until: list[datetime] = []
        self.prepared = False
        self.notes: list[Noted] = []

    def course(self) -> Course:
        """What the log has come to."""
        whole = Course(
            self.start,
            self.start_at,
            tuple(self.stretches),
            self.since,
            self.second_period,
            self.period_used(),
            self.prepared,
            tuple(self.notes),
        )
        if not self.cooled:
            return whole
        if self.rule.never_pauses:
            going = [cooling for cooling in self.cooled if cooling.ends is None]
            # while it cools nothing counts; should the stage be missed, the whole time comes back
            reset = any(self.counts_from_removal(cooling) for cooling in going)
            return Course(cooled=tuple(self.cooled)) if reset else whole
        open_end = [] if self.since is None else [(self.since, NO_END)]
        left = without([*self.stretches, *open_end], self.cooled)
        still = left[-1][0] if left and left[-1][1] == NO_END else None
        ended = left[:-1] if still is not None else left
        return replace(whole, stretches=tuple(ended), since=still, cooled=tuple(self.cooled))

    def total(self, at: datetime) -> timedelta:
        """Time out by ``at``."""
        running = [] if self.since is None else [(self.since, max(self.since, at))]
        counted: Sequence[Stretch] = [*self.stretches, *running]
        if self.cooled and not self.rule.never_pauses:
            counted = without(counted, self.cooled)
        return sum((end - start for start, end in counted), timedelta(0))

    def take(self, moment: Moment) -> None:
        """Let one event happen."""
        kind, food = moment.kind, moment.food
        # the room says nothing of the food, unless its time shows that rows are out of order
        if kind is EventKind.ROOM and not moment.disordered:
            return
        self.first = self.first or moment
        inside = food is not None and self.rule.in_control(food)
        outside = food is not None and self.rule.out_of_control(food)
        # what a reading shows of the time before it comes before what the event does itself
        ended = [cooling for cooling in self.cooled if cooling.ends == moment.at]
        if ended and food is not None and self.rule.side(food) is not FoodState.HOT:
            self.has_cooled(moment, ended[0])
        elif inside and self.since is None and self.crossed(moment):
            self.drift(moment, Remark.CROSSED)
        if kind is EventKind.REHEATED and self.heated_too_little(moment):
            self.note(Remark.REHEATED_TOO_LITTLE, moment)
        if moment.disordered:
            self.disorder(moment)
        elif kind is EventKind.READING or (kind is EventKind.THAWED and self.chilled(moment)):
            # thawed in a refrigerator: it was measured in control and never left it
            self.read(moment, inside=inside, outside=outside)
        elif kind in LEAVES_CONTROL:
            self.leave(moment, inside=inside, outside=outside)
        elif kind in RETURNS:
            self.come_back(moment, inside=inside, outside=outside)
        elif kind is EventKind.DISCARDED:
            self.throw_away(moment)
        if food is not None and not moment.disordered:
            self.measured = moment
            self.heated = False
            if inside:
                self.inside.append(moment)
                self.last_inside[moment.owner] = moment
        elif kind in HEATED:
            self.heated = True

    def last_in_control(self, moment: Moment) -> Moment | None:
        """The last reading in control of the food this event is about."""
        if not self.last_inside:
            return None
        own = self.history.ends[moment.owner]
        read = [last for owner, last in self.last_inside.items() if owner in own]
        return max(read, key=lambda last: last.at, default=None)

    def crossed(self, moment: Moment) -> bool:
        """Whether the food went from hot to cold control or back, through the zone between."""
        last = self.last_in_control(moment)
        if last is None or last.food is None or moment.food is None:
            return False
        was, now = self.rule.side(last.food), self.rule.side(moment.food)
        cooled = was is FoodState.HOT and now is FoodState.CHILLED
        warmed = was is FoodState.CHILLED and now is FoodState.HOT
        return cooled or (warmed and moment.kind not in HEATED)

    def chilled(self, moment: Moment) -> bool:
        """Whether food is as cold as the rule asks, by its ceiling where it has no other figure."""
        food, ceiling = moment.food, self.rule.ceiling
        if food is None:
            return False
        below = ceiling is not None and ceiling.position(food) <= 0
        return self.rule.in_control(food) or (below and not self.rule.out_of_control(food))

    def heated_too_little(self, moment: Moment) -> bool:
        """Whether reheated food did not reach what the rule asks for."""
        asked = self.rule.reheat
        return asked is not None and moment.food is not None and not asked.holds(moment.food)

    def still_in_control(self, moment: Moment) -> bool:
        """Whether this reading and the one before it are in control on the same side."""
        last = self.last_in_control(moment)
        if last is None or last is not self.measured or last.food is None or moment.food is None:
            return False
        side = self.rule.side(moment.food)
        if side is FoodState.CHILLED and self.heated:
            return False  # heated in between, it has cooled, and nothing proves how
        return self.rule.side(last.food) == side is not None

    def leave(self, moment: Moment, *, inside: bool, outside: bool) -> None:
        """The food leaves control, or continues being out."""
        if moment.kind not in self.rule.starts_by:
            return
        if moment.kind is EventKind.OUT:
            self.display(moment.at)
        elif moment.kind is EventKind.PREP:
            self.prepared = True
        self.drifted = False
        if moment.kind not in HEATED:
            self.kept_until(moment, inside=inside)
            self.removed = True
            prepares = moment.kind in PREPARES and self.rule.starts_by == LEAVES_CONTROL
            self.put_out = self.put_out or not prepares
        last = self.last_in_control(moment)
        warm = outside and moment.kind not in HEATED
        # found warm when it was taken out, it left control at an unknown time: count from the last
        # reading that proves control, the strictest that fits the log
        if warm and last is not None and self.since is None:
            self.begin(last.at, moment)
            self.note(Remark.READ_OUTSIDE, moment)
        else:
            self.begin(moment.at, moment)

    def kept_until(self, moment: Moment, *, inside: bool) -> None:
        """Leave out the time up to an event that shows cooked food still in control.

        Time as a control counts from the removal of food that was cooked, and kept hot or chilled
        again, before time is used (FDA Food Code 2022, 3-501.19(A)(1)(b)).
        """
        if not inside or self.removed or not self.still_in_control(moment):
            return
        if self.rule.counted is Counted.TIME_OUT:
            return
        if not self.rule.never_pauses:
            self.leave_out_measured(moment)
        elif self.in_control_since_start(moment):
            self.forget()

    def in_control_since_start(self, moment: Moment) -> bool:
        """Whether a running clock has counted no time but that up to a reading in control."""
        last = self.last_in_control(moment)
        return last is not None and self.start_at is not None and last.at <= self.start_at

    def forget(self) -> None:
        """No clock has started."""
        self.start = self.start_at = self.since = None
        self.stretches.clear()
        self.out.clear()

    def display(self, at: datetime) -> None:
        """It is put out to be shown or served: a second period when one is over."""
        if self.period_used() and self.second_period is None:
            self.second_period = at
        self.displayed = True

    def period_used(self) -> bool:
        """Whether it was out of control when it came back from being shown."""
        if not self.rule.once_only:
            return False
        counted = [*self.stretches, *([] if self.since is None else [(self.since, NO_END)])]
        return any(start < back <= end for back in self.shown_until for start, end in counted)

    def come_back(self, moment: Moment, *, inside: bool, outside: bool) -> None:
        """The food goes back; the clock stops when the rule and the reading allow it."""
        if self.since is None:
            if outside:
                self.drift(moment, Remark.READ_OUTSIDE)
            return
        # rows out of order: it went out later than this, so that this return ends nothing
        if moment.at < self.since:
            return
        self.kept_until(moment, inside=inside)
        if self.displayed:
            self.shown_until.append(moment.at)
        if self.rule.never_pauses:
            if self.since is not None:
                self.note(Remark.NEVER_PAUSES, moment)
        elif outside:
            self.note(Remark.OUTSIDE, moment)
        elif moment.food is None:
            self.note(Remark.UNMEASURED, moment)
        elif not inside:  # a rule without a figure for cold food
            self.note(Remark.NEVER_PAUSES, moment)
        else:
            self.return_in_time(moment)

    def return_in_time(self, moment: Moment) -> None:
        """Stop the clock of food measured in control, unless it comes too late to go back."""
        limit = self.rule.return_limit
        if limit is not None and self.total(moment.at) >= limit.time:
            self.note(Remark.TOO_LATE, moment)
        else:
            self.stop(moment.at, self.history.ends[moment.owner])

    def read(self, moment: Moment, *, inside: bool, outside: bool) -> None:
        """The food is measured where it is."""
        if self.since is None:
            if outside:
                self.drift(moment, Remark.READ_OUTSIDE)
            return
        if inside and self.still_in_control(moment):
            self.leave_out_measured(moment)
        if inside and self.drifted and not self.rule.never_pauses:
            self.return_in_time(moment)

    def leave_out_measured(self, moment: Moment) -> None:
        """Leave out the time between two readings in control on the same side."""
        last = self.last_in_control(moment)
        if (
            last is None
            or self.since is None
            or self.rule.counted is Counted.TIME_OUT
            or not self.out <= self.history.ends[moment.owner]
        ):
            return
        if not self.rule.never_pauses:
            self.end(last.at)
            self.since = moment.at
        elif not self.removed and self.in_control_since_start(moment):
            self.since = self.start_at = moment.at

    def has_cooled(self, moment: Moment, cooling: Cooling) -> None:
        """Food that nobody took out is in control once it is cold, however it is logged.

        Where the rule asks for colder than the cooling did, the next reading may show that.
        """
        if self.rule.never_pauses:
            if self.counts_from_removal(cooling):
                self.forget()
                self.removed = False
        elif moment.food is not None and self.rule.in_control(moment.food):
            self.return_in_time(moment)
        else:
            self.drifted, self.removed = True, False

    def counts_from_removal(self, cooling: Cooling) -> bool:
        """Whether a running clock counts nothing of the time before food has cooled.

        Time as a control counts from the removal of food that was prepared, cooked and
        refrigerated before time is used (FDA Food Code 2022, 3-501.19(A)(1)(b)). Food that was past
        the limit before it began to cool stays so.
        """
        limit = self.rule.discard_limit
        before = cooling.begins - (self.start_at or cooling.begins)
        return not self.put_out and (limit is None or before < limit.time)

    def throw_away(self, moment: Moment) -> None:
        """The rest in a component's own container goes; what was emptied out of it stays."""
        own = self.history.own
        if moment.owner != own and moment.owner not in self.history.ends[own]:
            self.stop(moment.at, frozenset({moment.owner}))

    def drift(self, moment: Moment, why: Remark) -> None:
        """Food that nobody took out has been outside control."""
        if self.rule.starts_by != LEAVES_CONTROL:
            return
        last = self.last_in_control(moment)
        self.begin(moment.at if last is None else last.at, moment)
        self.drifted = True
        self.note(why, moment)

    def disorder(self, moment: Moment) -> None:
        """An event out of order proves nothing: out since the last reading it does not gainsay."""
        own = self.history.ends[moment.owner]
        inside = [reading for reading in self.inside if reading.owner in own]
        # the last reading in control that it does not contradict, else any, else the first row
        certain = [m for m in inside if m.at <= moment.at] or inside or [self.first or moment]
        since = certain[-1].at
        self.begin(since, moment)
        self.drifted = False
        self.removed = True
        if moment.kind is EventKind.OUT:
            self.display(since)
        self.measured = None
        self.note(Remark.DISORDERED, moment)

    def begin(self, at: datetime, moment: Moment) -> None:
        """Count from ``at`` on, unless it is counted already."""
        self.out.add(moment.owner)
        if self.since is None or at < self.since:
            # an event out of order may reach back into stretches that were closed: they are one
            # again
            while self.stretches and self.stretches[-1][1] > at:
                start, _ = self.stretches.pop()
                at = min(at, start)
            self.since = at
        if self.start_at is None or self.start is None:
            self.start, self.start_at = moment, at
        self.start_at = min(at, self.start_at)

    def end(self, at: datetime) -> None:
        """Close the stretch that continues."""
        if self.since is not None:
            self.stretches.append((self.since, max(self.since, at)))
            self.since = None

    def stop(self, at: datetime, containers: frozenset[int]) -> None:
        """End the time out of some containers; it continues while any of the others is out."""
        self.out -= containers
        if self.since is not None and not self.out:
            self.end(at)
            # a running clock is never stopped, so what was taken out under it stays so
            self.removed = self.rule.never_pauses and self.removed

    def note(self, remark: Remark, moment: Moment) -> None:
        """Keep what is to be said."""
        since = self.since or moment.at
        self.notes.append(Noted(remark, moment, self.total(moment.at), since))
