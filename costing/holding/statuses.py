"""What a log comes to under a rule: times out, the state of its clock, and the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import Enum, StrEnum, auto
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ConfigDict

from costing.holding.logs import Moment
from costing.holding.models import Temperature
from costing.holding.passes import Cooling, DayCount, Passage
from costing.holding.rules import TIMES_OUT, Rule

NO_END = datetime.max.replace(tzinfo=UTC)
"""The end of what continues. [UTC]"""


class Remark(Enum):
    """Why a return did not stop a clock, or a clock started without a removal."""

    NEVER_PAUSES = auto()
    UNMEASURED = auto()
    OUTSIDE = auto()
    TOO_LATE = auto()
    READ_OUTSIDE = auto()
    CROSSED = auto()
    DISORDERED = auto()
    REHEATED_TOO_LITTLE = auto()


@dataclass(frozen=True, slots=True)
class Noted:
    """A remark with the event it is about.

    Parameters
    ----------
    out_for : timedelta
        The time out by then.
    since : datetime
        From when the time out is counted because of it. [UTC]
    """

    remark: Remark
    moment: Moment
    out_for: timedelta
    since: datetime


Stretch = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Course:
    """What a log comes to under one rule.

    Parameters
    ----------
    start : Moment, optional
        The event that started the clock; ``None``: nothing did.
    start_at : datetime, optional
        From when it counts, which can be before that event. [UTC]
    stretches : tuple of (datetime, datetime)
        Times out that have ended. [UTC]
    since : datetime, optional
        Start of the time out that continues. [UTC]
    second_period : datetime, optional
        When it was put out once more under a rule that allows one period. [UTC]
    period_used : bool
        Whether that one period is over.
    cooled : tuple of Cooling
        Cooling that is left out of the time out.
    """

    start: Moment | None = None
    start_at: datetime | None = None
    stretches: tuple[Stretch, ...] = ()
    since: datetime | None = None
    second_period: datetime | None = None
    period_used: bool = False
    prepared: bool = False
    notes: tuple[Noted, ...] = ()
    cooled: tuple[Cooling, ...] = ()

    def total(self, at: datetime) -> timedelta:
        """Time out by the instant ``at``."""
        ended = sum((end - start for start, end in self.stretches), timedelta(0))
        return ended if self.since is None else ended + max(at - self.since, timedelta(0))

    def reaches(self, time: timedelta) -> datetime | None:
        """Instant at which the time out comes to ``time``; ``None`` when it does not as logged."""
        left = time
        for start, end in self.stretches:
            if end - start >= left:
                return start + left
            left -= end - start
        return None if self.since is None else self.since + left

    def out_between(self, begin: datetime, end: datetime) -> bool:
        """Whether it was out at ``begin``, or at any time from then to before ``end``."""
        going = self.since is not None and self.since < end
        return going or any(ends > begin and starts < end for starts, ends in self.stretches)


def without(stretches: Sequence[Stretch], cooled: Sequence[Cooling]) -> list[Stretch]:
    """Stretches with the time of cooling taken out of them."""
    left = list(stretches)
    for cooling in cooled:
        cut: list[Stretch] = []
        for start, end in left:
            pieces = (
                (start, min(end, cooling.begins)),
                (max(start, cooling.ends or NO_END), end),
            )
            cut += [(a, b) for a, b in pieces if a < b]
        left = cut
    return left


class Status(StrEnum):
    """The one status of a container under a rule.

    Examples
    --------
    >>> Status("discard")
    <Status.DISCARD: 'discard'>
    """

    WITHIN = "within the limit"
    DO_NOT_RETURN = "do not return"
    DISCARD = "discard"
    CANNOT_BE_USED = "rule cannot be used"
    NOT_COVERED = "not covered"
    DISCARDED = "discarded"
    NEVER_EAT = "never eat"


SEVERITY = (
    Status.NOT_COVERED,
    Status.WITHIN,
    Status.DO_NOT_RETURN,
    Status.CANNOT_BE_USED,
    Status.DISCARD,
)
"""Statuses a clock can give, the mildest first."""

NOT_TO_BE_EATEN = (Status.DISCARD, Status.CANNOT_BE_USED, Status.DISCARDED, Status.NEVER_EAT)
"""Statuses of food that is, or is treated as, not to be eaten: no use of it is planned."""


class Cause(Enum):
    """What ends the time of a container."""

    LIMIT = auto()
    MARK = auto()
    CEILING = auto()
    SECOND_PERIOD = auto()
    STAGE = auto()
    LAST_DAY = auto()


class Bar(Enum):
    """Why a rule cannot be used, or does not cover the food."""

    NOT_READ = auto()
    NO_TIMES = auto()
    NO_PROCEDURES = auto()
    NOT_REMOVED = auto()
    UNCERTAIN_START = auto()
    NO_START_TEMPERATURE = auto()
    START_TEMPERATURE = auto()
    WARM_ROOM = auto()
    NOT_MARKED = auto()
    MARKED_TOO_LATE = auto()
    STATES_NO_TIME = auto()
    OTHER_FOOD = auto()
    CLASS_NONE = auto()
    NOT_STARTED = auto()
    NOT_YET = auto()
    NO_PASS = auto()


class Room(Enum):
    """What is known of the room where that changes the limit."""

    NO_MATTER = auto()
    NOT_HOT = auto()
    HOT = auto()
    UNKNOWN = auto()


UNIVERSAL = ZoneInfo("UTC")


@dataclass(frozen=True, slots=True)
class Conditions:
    """What besides the log decides the state of a clock.

    Parameters
    ----------
    room : Temperature, optional
        Of the room, as set for all containers.
    mark : datetime, optional
        Discard time on the container itself. [UTC]
    inner_marks : tuple of datetime
        Discard times on the containers emptied into it. [UTC]
    rooms : tuple of Moment
        Readings of the room, in whichever container's row they are logged.
    cooled_by : Rule, optional
        By which proven cooling is no time out.
    """

    procedures: bool
    room: Temperature | None
    mark: datetime | None
    inner_marks: tuple[datetime, ...]
    rooms: tuple[Moment, ...] = ()
    cooled_by: Rule | None = None
    zone: ZoneInfo = UNIVERSAL


@dataclass(frozen=True, slots=True)
class Clock:
    """How one rule's clock stands for one component of what a container holds.

    Parameters
    ----------
    at : datetime
        The instant asked about. [UTC]
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
    hot_room : Temperature, optional
        The room temperature that shortens the limit, or above which the food must be measured.
    through : tuple of int
        Containers the food was in before.
    passage : Passage, optional
        Of a rule about cooling or heating again.
    cooling : Passage, optional
        Cooling that continues as another rule asks, and is no time out so far.
    aside : bool
        Whether the food is out without an event that starts this clock.
    next_at : datetime, optional
        The first event of a log that has not begun. [UTC]
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
    cooling: Passage | None = None
    days: DayCount | None = None
    aside: bool = False
    next_at: datetime | None = None

    @property
    def return_before(self) -> datetime | None:
        """Until when the food may go back; ``None``: it is not out, or may not. [UTC]"""
        if self.status is not Status.WITHIN or self.no_return_from is None:
            return None
        return min(self.no_return_from, self.discard_at or self.no_return_from)

    @property
    def strictness(self) -> tuple[int, datetime, datetime]:
        """Sorts the strictest first; a log that continues later than asked is not "within"."""
        # doubled, so that a log that goes on later has a place between two of them
        severity = 2 * SEVERITY.index(self.status)
        if Bar.NOT_YET in self.bars:
            severity = 2 * SEVERITY.index(Status.WITHIN) + 1
        return -severity, self.discard_at or NO_END, self.return_before or NO_END

    @property
    def judges_time_out(self) -> bool:
        """Whether the rule says how long the food may have been out."""
        return (
            self.rule.clock in TIMES_OUT
            and self.rule.states_time
            and self.status is not Status.CANNOT_BE_USED
            and Bar.OTHER_FOOD not in self.bars
            and not self.rule.partial
            and not self.aside
        )

    @property
    def asks_nothing(self) -> bool:
        """Whether the food needs no control, or none yet."""
        return bool({Bar.CLASS_NONE, Bar.NOT_STARTED, Bar.NOT_YET} & set(self.bars))


class Verdict(BaseModel):
    """What one rule says of one container.

    Instants are in the zone of the settings; compare them after conversion to UTC, because
    Python compares two datetimes of one zone by their wall clocks.

    Parameters
    ----------
    strictest : bool
        Whether this is the container's one status.
    out_for : timedelta
        Time used up by the instant asked about.
    discard_at : datetime, optional
        When the food must be gone; ``None``: no clock is running, or none can be used.
    return_before : datetime, optional
        Until when it may go back; ``None``: it is not out, or may not.
    verified : str
        How far its figures are verified, in words.
    alarm : bool
        Whether food that may be eaten is past a limit.
    limit : timedelta
        The limit to discard in force; none: nothing of it can be counted.

    Examples
    --------
    >>> import costing
    >>> out = costing.Event(kind="out", at="2031-05-10 10:05", temperature="4 C")
    >>> bowl = costing.Container(name="bowl", holds=["cream"], events=[out])
    >>> zone = costing.Settings(time_zone="Europe/Lisbon", holding_rules=["AU-2H4H"])
    >>> estimate = costing.estimate(costing.Shoot(settings=zone, containers=[bowl]))
    >>> f"{estimate.verdicts[0].discard_at:%H:%M}"
    '14:05'
    """

    model_config = ConfigDict(frozen=True)

    container: str
    rule: str
    strictest: bool
    status: Status
    out_for: timedelta
    discard_at: datetime | None
    return_before: datetime | None
    reason: str
    source: str
    verified: str
    asked_at: datetime
    alarm: bool
    limit: timedelta = timedelta(0)
