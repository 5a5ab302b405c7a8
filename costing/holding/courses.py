"""What a log comes to under one rule: stretches of time out, and what is to be said of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import Enum, auto

from costing.holding.logs import Moment
from costing.holding.passes import Cooling

NEVER = datetime.max.replace(tzinfo=UTC)


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
    remark : Remark
        What is said.
    moment : Moment
        About which event.
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
        Start of the time out that goes on. [UTC]
    second_period : datetime, optional
        When it was put out once more under a rule that allows one period. [UTC]
    period_used : bool
        Whether that one period is over.
    prepared : bool
        Whether it was out for preparation.
    notes : tuple of Noted
        In the order of the log.
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

    def out_after(self, at: datetime) -> bool:
        """Whether it was out at ``at`` or at any time after it."""
        return self.since is not None or any(end > at for _, end in self.stretches)


def without(stretches: Sequence[Stretch], cooled: Sequence[Cooling]) -> list[Stretch]:
    """Stretches with the time of cooling taken out of them."""
    left = list(stretches)
    for cooling in cooled:
        cut: list[Stretch] = []
        for start, end in left:
            pieces = ((start, min(end, cooling.begins)), (max(start, cooling.ends or NEVER), end))
            cut += [(a, b) for a, b in pieces if a < b]
        left = cut
    return left
