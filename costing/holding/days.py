"""Days by the calendar: the day of making or opening is the first, frozen days do not count."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from costing.holding.contents import History
from costing.holding.logs import Moment
from costing.holding.models import EventKind
from costing.holding.rules import LEAVES_CONTROL, Rule

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class DayCount:
    """How far the days of a component have come.

    Parameters
    ----------
    first_at : datetime
        The first that is known of the food. [UTC]
    first_day, last_day : date
        The days it may be kept; the last of them as it stands.
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
    rule : Rule
        With days and a zone.
    zone : ZoneInfo
        Whose midnights part the days.
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
    last_day = first_day + (rule.days.count - 1) * ONE_DAY
    frozen: date | None = None
    owners: set[int] = set()
    for moment in moments:
        owners.add(moment.owner)
        day = _day(moment.at, zone)
        if frozen is not None and _thaws(moment, rule):
            last_day += max(day - frozen - ONE_DAY, timedelta(0))
            frozen = None
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
