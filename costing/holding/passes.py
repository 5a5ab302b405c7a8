"""Food judged by something else than its time out: one pass of cooling or heating, or days.

A stage of a pass is reached at the first reading that shows it. Nothing between two readings counts
for the food, and a stage that was missed is not made good by a later one or by heating again. Days
go by the calendar: that of making or opening is the first, and frozen days do not count.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from costing.holding.contents import History
from costing.holding.figures import CountedFrom
from costing.holding.logs import Moment
from costing.holding.models import EventKind
from costing.holding.rules import HEATED, LEAVES_CONTROL, FoodState, Rule

REMOVALS = tuple(kind for kind in LEAVES_CONTROL if kind not in HEATED)
"""Events by which food is taken out, be it from cooling or from where it was kept."""

ONE_DAY = timedelta(days=1)


@dataclass(slots=True)
class Passage:
    """How far one pass has come.

    Parameters
    ----------
    began_at : datetime
        From when its time counts. [UTC]
    reached : list of datetime
        When the stages reached so far were shown by a reading. [UTC]
    missed_at : datetime, optional
        The end of the time of the stage that was missed. [UTC]
    removed_at : datetime, optional
        When it was first taken out since it began, as far as logged. [UTC]
    began_cooled : bool
        Whether the food was measured colder than where a pass begins when it began, so that nobody
        knows how long it had been cooling.
    """

    rule: Rule
    began_at: datetime
    reached: list[datetime] = field(default_factory=list)
    missed_at: datetime | None = None
    removed_at: datetime | None = None
    began_cooled: bool = False

    @property
    def completed(self) -> bool:
        """Whether the last stage was reached."""
        return len(self.reached) == len(self.rule.stages)

    @property
    def deadline(self) -> datetime | None:
        """The end of the time of the stage that comes next; ``None`` when there is none. [UTC]"""
        if self.completed:
            return None
        stage = self.rule.stages[len(self.reached)]
        whole = stage.counted_from is CountedFrom.START
        return (self.began_at if whole else self.reached[-1]) + stage.time

    def too_late(self, at: datetime) -> bool:
        """Whether a reading at ``at`` comes after the time of the stage that comes next."""
        deadline = self.deadline
        if deadline is None:
            return False
        in_time = self.rule.stages[len(self.reached)].last_instant
        return at > deadline or (at == deadline and not in_time)


def passages(history: History, rule: Rule, at: datetime) -> list[Passage]:
    """The passes of a component up to ``at``, the one that continues last.

    A pass that was missed stays so whatever comes later, and none comes after it. Food that a
    reading shows where the pass begins had not begun it, though the time of a stage was over.

    Empty when there was none, or when the rule is not about the food. Events after ``at`` have not
    happened yet. [UTC]
    """
    walk = _PassWalk(rule, history)
    for moment in history.until(at):
        walk.take(moment)
        if walk.over:
            return []
    going = walk.going
    if going is None:
        return walk.done
    if going.missed_at is None:
        deadline = going.deadline
        # the end of its time without a reading is a stage missed: what nobody measured is not
        # proven
        if deadline is not None and deadline <= at:
            going.missed_at = deadline
    return [*walk.done, going]


@dataclass(frozen=True, slots=True)
class Cooling:
    """Cooling that is no time out.

    Parameters
    ----------
    begins : datetime
        When it began. [UTC]
    ends : datetime, optional
        When the food was cold, or was taken out; ``None``: it continues. [UTC]
    """

    begins: datetime
    ends: datetime | None
    going: Passage | None = None


def cooling(history: History, rule: Rule, at: datetime) -> list[Cooling]:
    """The cooling of a component that readings prove to be as the rule asks, up to ``at``.

    Cooling that continues counts as proven once its first stage was reached, until the time of the
    next is over. Food taken out while it cools is not cooling from then on.
    """
    found = []
    for one in passages(history, rule, at):
        if one.missed_at is not None or not one.reached or one.began_cooled:
            continue
        # only a reading proves cooling, so that it ends at the last one and not when it was due
        ends = one.reached[-1] if one.completed else None
        if one.removed_at is not None and (ends is None or one.removed_at < ends):
            ends = one.removed_at
        if ends is None or ends > one.began_at:
            found.append(Cooling(one.began_at, ends, one if ends is None else None))
    return found


def cools_only(history: History, rule: Rule, at: datetime) -> bool:
    """Whether all that is logged of a component is its cooling, which the rule judges.

    Food that was taken out, or was warm again once it was cold, has time out besides.
    """
    found = passages(history, rule, at) if rule.cools else []
    if not found:
        return False
    last = rule.stages[-1]
    for moment in history.until(at):
        cold = any(one.completed and one.reached[-1] < moment.at for one in found)
        # a rule that starts by a removal judges the first one, and not one of food it has cooled
        removed = moment.kind in REMOVALS and (cold or moment.kind not in rule.starts_by)
        hot = moment.kind in HEATED or rule.pass_from is not None
        begun = hot and any(one.began_at == moment.at for one in found)
        warm = cold and not begun and moment.food is not None and not last.holds(moment.food)
        if removed or (warm and (not hot or found[-1].completed)) or moment.disordered:
            return False
    return True


class _PassWalk:
    """The state between two events."""

    def __init__(self, rule: Rule, history: History) -> None:
        self.rule = rule
        self.history = history
        self.owners: set[int] = set()
        self.first: Moment | None = None
        self.there: Moment | None = None
        self.removed: Moment | None = None
        self.warmed = False
        self.going: Passage | None = None
        self.done: list[Passage] = []
        self.left = False
        self.over = False

    def take(self, moment: Moment) -> None:
        """Let one event happen."""
        if moment.kind is EventKind.ROOM and not moment.disordered:
            return
        self.first = self.first or moment
        # a reading speaks for all of the food only where the containers of its log were emptied
        # into the one that was measured
        self.owners.add(moment.owner)
        # a hot reading comes before a deadline: the food has not begun to cool
        if self.not_begun(moment):
            self.there = moment
            self.start(moment)
            self.remove(moment)
            return
        going = self.going
        if going is not None and (going.missed_at is not None or going.too_late(moment.at)):
            going.missed_at = going.missed_at or going.deadline
            # cooler now, or heated again: that it is hot later shows nothing of the time before
            self.left = self.left or moment.kind in HEATED or self.below(moment)
            return
        # heated before it began to cool, it is not the cold food that the rule is about
        if moment.kind in HEATED and self.rule.food is FoodState.CHILLED and going is None:
            self.over = True
            return
        self.begin(moment)
        self.remove(moment)
        if self.going is not None and self.going.too_late(moment.at):
            self.going.missed_at = self.going.deadline
            return
        if moment.food is not None and not moment.disordered:
            self.measure(moment)

    def not_begun(self, moment: Moment) -> bool:
        """Whether a reading shows food that is to cool still where cooling begins."""
        begins, going = self.rule.pass_from, self.going
        return (
            self.rule.cools
            and begins is not None
            and going is not None
            and not going.completed
            and not self.left
            and moment.food is not None
            and not moment.disordered
            and moment.kind not in HEATED
            and begins.holds(moment.food)
            and self.owners <= self.history.ends[moment.owner]
        )

    def below(self, moment: Moment) -> bool:
        """Whether the food is measured elsewhere than where a pass begins."""
        begins = self.rule.pass_from
        return begins is not None and moment.food is not None and not begins.holds(moment.food)

    def begin(self, moment: Moment) -> None:
        """Begin a pass, or another one when the last is completed."""
        starts = moment.kind in self.rule.starts_by
        if self.going is not None and not self.going.completed:
            if starts:  # heated again while it cools: what it had reached is lost
                self.going.reached.clear()
            return
        if starts and (self.rule.cools or self.rule.pass_from is None):
            self.start(self.first if moment.disordered else moment)
        elif starts and self.there is not None:  # heated: from the removal after the last reading
            self.start(self.removed or self.there)
        elif starts:
            self.start(self.first)

    def remove(self, moment: Moment) -> None:
        """Keep when the food was first taken out of where it was cold, or of cooling."""
        going = self.going
        self.warmed = self.warmed or self.below(moment) or moment.disordered
        if moment.kind not in REMOVALS or moment.kind in self.rule.starts_by:
            return
        if self.removed is None and not self.warmed:
            self.removed = moment
        if going is not None and not going.completed and going.removed_at is None:
            going.removed_at = moment.at

    def measure(self, moment: Moment) -> None:
        """Take a reading: where the pass begins, or of a stage."""
        begins, food, going = self.rule.pass_from, moment.food, self.going
        if food is None:
            return
        if going is not None and not going.completed:
            while going.reached and not self.rule.stages[len(going.reached) - 1].holds(food):
                going.reached.pop()  # warmer again than it had come to
            if going.too_late(moment.at):
                going.missed_at = going.deadline
                return
        if begins is not None and begins.holds(food):
            self.there, self.removed, self.warmed = moment, None, False
            if self.rule.cools and (going is None or going.completed or not self.left):
                self.start(moment)
            return
        self.left = True
        starts = moment.kind in HEATED or (
            moment.kind in REMOVALS and moment.kind in self.rule.starts_by
        )
        # food just heated, or just taken out, has not cooled
        fresh = self.rule.cools and starts
        if going is None or fresh or not self.owners <= self.history.ends[moment.owner]:
            return
        while not going.completed and self.rule.stages[len(going.reached)].holds(food):
            going.reached.append(moment.at)

    def start(self, moment: Moment | None) -> None:
        """A pass begins at an event."""
        if moment is not None:
            if self.going is not None and self.going.completed:
                self.done.append(self.going)
            begins, food = self.rule.pass_from, moment.food
            cooled = begins is not None and food is not None and not begins.holds(food)
            self.going = Passage(self.rule, moment.at, began_cooled=cooled)
            self.left = False
            if moment.kind in REMOVALS and moment.kind not in self.rule.starts_by:
                self.going.removed_at = moment.at


@dataclass(frozen=True, slots=True)
class DayCount:
    """How far the days of a component have come.

    Parameters
    ----------
    first_at : datetime
        The first that is known of the food. [UTC]
    first_day, last_day : date
        The days it may be kept; the last of them as it is.
    ends_at : datetime
        The midnight after the last day. [UTC]
    frozen_since : date, optional
        While it is frozen the last day moves on.
    """

    first_at: datetime
    first_day: date
    last_day: date
    ends_at: datetime
    frozen_since: date | None = None


def day_count(history: History, rule: Rule, zone: ZoneInfo, at: datetime) -> DayCount | None:
    """The days of a component; ``None`` when nothing has happened to it.

    The day it is frozen and the day it is thawed both count.

    Parameters
    ----------
    history : History
        Of the component: the earliest event of what is in it is the first day.
    at : datetime
        Later events have not happened yet. [UTC]

    Raises
    ------
    ValueError
        If the rule has no days.
    """
    if rule.days is None:
        raise ValueError(f"{rule.id} has no days")
    moments = [m for m in history.until(at) if m.kind is not EventKind.ROOM]
    if not moments:
        return None
    first_at = min(moment.at for moment in moments)
    first_day = _day(first_at, zone)
    # the day of making or opening is the first of the days, as the rule counts them
    last_day = first_day + (rule.days.count - 1) * ONE_DAY
    frozen: date | None = None
    owners: set[int] = set()
    for moment in moments:
        owners.add(moment.owner)
        day = _day(moment.at, zone)
        if frozen is not None and _thaws(moment, rule):
            # the day it was frozen and the day it is thawed count, only those between do not
            last_day += max(day - frozen - ONE_DAY, timedelta(0))
            frozen = None
        # freezing after the last day saves nothing
        if _freezes(moment, rule, history, owners) and day <= last_day:
            frozen = frozen or day
    ends_at = datetime.combine(last_day + ONE_DAY, time(0), zone).astimezone(UTC)
    return DayCount(first_at, first_day, last_day, ends_at, frozen)


def _day(instant: datetime, zone: ZoneInfo) -> date:
    return instant.astimezone(zone).date()


def _freezes(moment: Moment, rule: Rule, history: History, owners: set[int]) -> bool:
    """Whether all of the food is put in a freezer, measured cold."""
    return (
        moment.kind is EventKind.FROZEN
        and not moment.disordered
        and moment.food is not None
        and rule.zone is not None
        and rule.zone.cold(moment.food)
        and owners <= history.ends[moment.owner]
    )


def _thaws(moment: Moment, rule: Rule) -> bool:
    """Whether an event shows that the food is not, or may not be, frozen any longer."""
    warm = moment.food is not None and not rule.in_control(moment.food)
    return moment.kind in LEAVES_CONTROL or moment.disordered or warm
