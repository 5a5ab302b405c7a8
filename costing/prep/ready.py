"""By when something must be ready: the first start that needs it, or the call time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

from costing.holding.instants import possible_instants
from costing.shoot import Episode, Shot


@dataclass(frozen=True, slots=True)
class Ready:
    """By when something must be ready.

    Parameters
    ----------
    at : datetime, optional
        Local time; ``None`` when it is not known.
    clock : time, optional
        The time on the clock, known too where the shoot date is not.
    no_start : tuple of Shot
        Shots that need it and have no start, while others have and there is no call time.
    """

    at: datetime | None
    clock: time | None = None
    no_start: tuple[Shot, ...] = ()

    @property
    def order(self) -> tuple[datetime, time]:
        """The earliest first, what is not known last."""
        at = datetime.max.replace(tzinfo=UTC) if self.at is None else self.at.astimezone(UTC)
        return at, self.clock or time.max


def ready_by(episode: Episode, shots: Sequence[Shot], zone: ZoneInfo) -> Ready:
    """The earliest start of these shots; one without a start may be the first after the call.

    Starts and Call time are clock times on the shoot date; of a time that the clock shows twice
    the earlier is meant.

    Parameters
    ----------
    episode : Episode
        Of all the shots.
    shots : sequence of Shot
        Those that need it.
    zone : ZoneInfo
        Of the local times.

    Examples
    --------
    >>> from datetime import date
    >>> day = Episode(name="One", shoot_date=date(2031, 5, 10), call_time=time(9, 30))
    >>> shots = [Shot(dish="tart", starts=time(13)), Shot(dish="tart", starts=time(10, 30))]
    >>> f"{ready_by(day, shots, ZoneInfo('Europe/Lisbon')).at:%H:%M}"
    '10:30'
    >>> f"{ready_by(day, [Shot(dish='tart')], ZoneInfo('Europe/Lisbon')).at:%H:%M}"
    '09:30'
    """
    times = [shot.starts or episode.call_time for shot in shots]
    known = [time for time in times if time is not None]
    clock = min(known, default=None)
    missing = tuple(s for s, time in zip(shots, times, strict=True) if known and time is None)
    if clock is None or episode.shoot_date is None:
        return Ready(None, clock, missing)
    local = datetime.combine(episode.shoot_date, clock)
    return Ready(possible_instants(local, zone)[0].astimezone(zone), clock, missing)
