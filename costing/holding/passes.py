"""Food that is cooled or heated in one pass: which stage was reached when, and which was missed.

A stage is reached at the first reading that shows it. Nothing between two readings counts for the
food, and a stage that was missed is not made good by a later one or by heating again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from costing.holding.contents import History
from costing.holding.figures import CountedFrom
from costing.holding.instants import Moment
from costing.holding.models import EventKind
from costing.holding.rules import Food, Rule
from costing.holding.walks import HEATED


@dataclass(slots=True)
class Passage:
    """How far one pass has come.

    Parameters
    ----------
    rule : Rule
        With its stages.
    began_at : datetime
        From when its time counts. [UTC]
    reached : list of datetime
        When the stages reached so far were shown by a reading. [UTC]
    missed_at : datetime, optional
        The end of the time of the stage that was missed. [UTC]
    """

    rule: Rule
    began_at: datetime
    reached: list[datetime] = field(default_factory=list)
    missed_at: datetime | None = None

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


def passage(history: History, rule: Rule, at: datetime) -> Passage | None:
    """The pass a component is in at ``at``, or its last one; ``None`` when there was none.

    A pass that was missed stays so whatever comes later.

    Parameters
    ----------
    history : History
        Of the component.
    rule : Rule
        With stages.
    at : datetime
        Later events have not happened yet. [UTC]
    """
    walk = _Walk(rule, history)
    for moment in history.until(at):
        walk.take(moment)
        if walk.over:
            return None
    going = walk.going
    if going is not None and going.missed_at is None:
        deadline = going.deadline
        if deadline is not None and deadline <= at:
            going.missed_at = deadline
    return going


class _Walk:
    """The state between two events."""

    def __init__(self, rule: Rule, history: History) -> None:
        self.rule = rule
        self.history = history
        self.owners: set[int] = set()
        self.first: Moment | None = None
        self.there: Moment | None = None
        self.going: Passage | None = None
        self.left = False
        self.over = False

    def take(self, moment: Moment) -> None:
        """Let one event happen."""
        if moment.kind is EventKind.ROOM and not moment.disordered:
            return
        going = self.going
        if going is not None and going.missed_at is not None:
            return
        self.first = self.first or moment
        self.owners.add(moment.owner)
        if going is not None and going.too_late(moment.at):
            going.missed_at = going.deadline
            return
        if moment.kind in HEATED and self.rule.food is Food.CHILLED and going is None:
            self.over = True
            return
        self.begin(moment)
        if self.going is not None and self.going.too_late(moment.at):
            self.going.missed_at = self.going.deadline
            return
        if moment.food is not None and not moment.disordered:
            self.measure(moment)

    def begin(self, moment: Moment) -> None:
        """Begin a pass, or another one when the last is completed."""
        starts = moment.kind in self.rule.starts_by
        if self.going is not None and not self.going.completed:
            return
        if starts and (self.rule.cools or self.rule.pass_from is None):
            self.start(self.first if moment.disordered else moment)
        elif starts:  # heated: from the last reading before it
            self.start(self.there or self.first)

    def measure(self, moment: Moment) -> None:
        """Take a reading: where the pass begins, or of a stage."""
        begins, food = self.rule.pass_from, moment.food
        if food is None:
            return
        if begins is not None and begins.holds(food):
            self.there = moment
            going = self.going
            if self.rule.cools and (going is None or going.completed or not self.left):
                self.start(moment)
            return
        self.left = True
        going = self.going
        if going is None or not self.owners <= self.history.ends[moment.owner]:
            return
        while not going.completed and self.rule.stages[len(going.reached)].holds(food):
            going.reached.append(moment.at)

    def start(self, moment: Moment | None) -> None:
        """A pass begins at an event."""
        if moment is not None:
            self.going = Passage(self.rule, moment.at)
            self.left = False
