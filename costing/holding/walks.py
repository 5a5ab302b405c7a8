"""The walk through a log, event by event: when food is out of control by a rule, and when not."""

from __future__ import annotations

from datetime import datetime, timedelta

from costing.holding.contents import History
from costing.holding.courses import Course, Noted, Remark
from costing.holding.instants import Moment
from costing.holding.models import EventKind
from costing.holding.rules import LEAVES_CONTROL, ClockKind, Counted, Rule

RETURNS = (EventKind.BACK, EventKind.FROZEN)
"""Events that can end a time out, when the food was measured inside control."""

HEATED = (EventKind.COOKED, EventKind.REHEATED)
"""Events that themselves explain why the food is no longer cold."""


def course(history: History, rule: Rule, at: datetime) -> Course:
    """Walk the log of one component up to the instant ``at``.

    Parameters
    ----------
    history : History
        Of the component.
    rule : Rule
        Whose zone and kind of clock decide what counts.
    at : datetime
        Later events have not happened yet. [UTC]
    """
    walk = _Walk(rule, history)
    for moment in history.until(at):
        walk.take(moment)
    return walk.course()


class _Walk:
    """The state between two events."""

    def __init__(self, rule: Rule, history: History) -> None:
        self.rule = rule
        self.history = history
        self.out: set[int] = set()
        self.first: Moment | None = None
        self.inside: list[Moment] = []
        self.last_inside: dict[int, Moment] = {}
        self.measured: Moment | None = None
        self.drifted = False
        self.displayed = False
        self.start: Moment | None = None
        self.start_at: datetime | None = None
        self.stretches: list[tuple[datetime, datetime]] = []
        self.ended = timedelta(0)
        self.since: datetime | None = None
        self.second_period: datetime | None = None
        self.period_used = False
        self.prepared = False
        self.notes: list[Noted] = []

    def course(self) -> Course:
        """What the log has come to."""
        return Course(
            self.start,
            self.start_at,
            tuple(self.stretches),
            self.since,
            self.second_period,
            self.period_used,
            self.prepared,
            tuple(self.notes),
        )

    def total(self, at: datetime) -> timedelta:
        """Time out by ``at``."""
        running = timedelta(0) if self.since is None else max(at - self.since, timedelta(0))
        return self.ended + running

    def take(self, moment: Moment) -> None:
        """Let one event happen."""
        kind, food = moment.kind, moment.food
        if kind is EventKind.ROOM and not moment.disordered:
            return
        self.first = self.first or moment
        inside = food is not None and self.rule.in_control(food)
        outside = food is not None and not inside
        if inside and self.since is None and self.crossed(moment):
            self.drift(moment, Remark.CROSSED)
        if kind is EventKind.REHEATED and self.heated_too_little(moment):
            self.note(Remark.REHEATED_TOO_LITTLE, moment)
        if moment.disordered:
            self.disorder(moment)
        elif kind in LEAVES_CONTROL:
            self.leave(moment, outside=outside)
        elif kind in RETURNS:
            self.come_back(moment, inside=inside, outside=outside)
        elif kind is EventKind.READING:
            self.read(moment, inside=inside, outside=outside)
        elif kind is EventKind.DISCARDED:
            self.throw_away(moment)
        if food is not None:
            self.measured = moment
            if inside and not moment.disordered:
                self.inside.append(moment)
                self.last_inside[moment.owner] = moment

    def last_in_control(self, moment: Moment) -> Moment | None:
        """The last reading in control of the food this event is about."""
        if not self.last_inside:
            return None
        own = self.history.ends[moment.owner]
        read = [last for owner, last in self.last_inside.items() if owner in own]
        return max(read, key=lambda last: last.at, default=None)

    def crossed(self, moment: Moment) -> bool:
        """Whether the food went from hot to cold control or back, through the zone between."""
        zone = self.rule.zone
        if zone is None or moment.food is None:
            return False
        last = self.last_in_control(moment)
        if last is None or last.food is None:
            return False
        cooled = zone.hot(last.food) and zone.cold(moment.food)
        warmed = zone.cold(last.food) and zone.hot(moment.food)
        return cooled or (warmed and moment.kind not in HEATED)

    def heated_too_little(self, moment: Moment) -> bool:
        """Whether reheated food did not reach what the rule asks for."""
        asked = self.rule.reheat
        return asked is not None and moment.food is not None and not asked.holds(moment.food)

    def leave(self, moment: Moment, *, outside: bool) -> None:
        """The food leaves control, or goes on being out."""
        if moment.kind not in self.rule.starts_by:
            return
        if moment.kind is EventKind.OUT:
            self.display(moment.at)
        elif moment.kind is EventKind.PREP:
            self.prepared = True
        self.drifted = False
        last = self.last_in_control(moment)
        warm = outside and moment.kind not in HEATED
        if warm and last is not None and self.since is None:
            self.begin(last.at, moment)
            self.note(Remark.READ_OUTSIDE, moment)
        else:
            self.begin(moment.at, moment)

    def display(self, at: datetime) -> None:
        """It is put out to be shown or served: a second period when one is over."""
        if self.period_used and self.second_period is None:
            self.second_period = at
        self.displayed = True

    def come_back(self, moment: Moment, *, inside: bool, outside: bool) -> None:
        """The food goes back; the clock stops when the rule and the reading allow it."""
        if self.since is None:
            if outside:
                self.drift(moment, Remark.READ_OUTSIDE)
            return
        if moment.at < self.since:
            return
        total = self.total(moment.at)
        if self.rule.clock is ClockKind.SINGLE_PERIOD and self.displayed and total > timedelta(0):
            self.period_used = True
        late = self.rule.return_limit is not None and total >= self.rule.return_limit.time
        if self.rule.clock is ClockKind.RUNNING:
            self.note(Remark.NEVER_PAUSES, moment)
        elif outside:
            self.note(Remark.OUTSIDE, moment)
        elif not inside:
            self.note(Remark.UNMEASURED, moment)
        elif late:
            self.note(Remark.TOO_LATE, moment)
        else:
            self.stop(moment.at, self.history.ends[moment.owner])

    def read(self, moment: Moment, *, inside: bool, outside: bool) -> None:
        """The food is measured where it stands."""
        if self.since is None:
            if outside:
                self.drift(moment, Remark.READ_OUTSIDE)
        elif inside and self.drifted:
            self.come_back(moment, inside=True, outside=False)
        elif inside:
            self.leave_out_measured(moment)

    def leave_out_measured(self, moment: Moment) -> None:
        """Leave out the time between two readings in control, where only time in the zone counts.

        Time without a reading counts, so a reading that comes when the limit would already be
        reached is too late to take any of it back.
        """
        limit, last = self.rule.discard_limit, self.last_in_control(moment)
        if (
            self.rule.counted is Counted.TIME_OUT
            or last is None
            or last is not self.measured
            or self.crossed(moment)
            or not self.out <= self.history.ends[moment.owner]
            or self.since is None
            or limit is None
            or self.total(moment.at) >= limit.time
        ):
            return
        self.end(last.at)
        self.since = moment.at

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
        certain = [m for m in inside if m.at <= moment.at] or inside or [self.first or moment]
        since = certain[-1].at
        self.begin(since, moment)
        self.drifted = False
        if moment.kind is EventKind.OUT:
            self.display(since)
        self.note(Remark.DISORDERED, moment)

    def begin(self, at: datetime, moment: Moment) -> None:
        """Count from ``at`` on, unless it is counted already."""
        self.out.add(moment.owner)
        if self.since is None or at < self.since:
            while self.stretches and self.stretches[-1][1] > at:
                start, end = self.stretches.pop()
                self.ended -= end - start
                at = min(at, start)
            self.since = at
        if self.start_at is None or self.start is None:
            self.start, self.start_at = moment, at
        self.start_at = min(at, self.start_at)

    def end(self, at: datetime) -> None:
        """Close the stretch that goes on."""
        if self.since is not None:
            self.stretches.append((self.since, max(self.since, at)))
            self.ended += max(at - self.since, timedelta(0))
            self.since = None

    def stop(self, at: datetime, containers: frozenset[int]) -> None:
        """End the time out of some containers; it goes on while any of the others is out."""
        self.out -= containers
        if self.since is not None and not self.out:
            self.end(at)

    def note(self, remark: Remark, moment: Moment) -> None:
        """Keep what the person is to be told."""
        since = self.since or moment.at
        self.notes.append(Noted(remark, moment, self.total(moment.at), since))
