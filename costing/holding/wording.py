"""Lengths of time and instants as they are said to a person."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo


def length(time: timedelta) -> str:
    """A length of time in hours and minutes, seconds only when there are any.

    Examples
    --------
    >>> length(timedelta(hours=2, minutes=15)), length(timedelta(hours=4)), length(timedelta(0))
    ('2 h 15 min', '4 h', '0 min')
    """
    minutes, rest = divmod(time, timedelta(minutes=1))
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    if minutes or not (hours or rest):
        parts.append(f"{minutes} min")
    if rest:
        parts.append(f"{rest.total_seconds():g} s")
    return " ".join(parts)


def moment_words(instant: datetime, zone: ZoneInfo) -> str:
    """An instant as the clocks of ``zone`` show it, with its date and the zone's short name.

    Examples
    --------
    >>> from datetime import UTC
    >>> moment_words(datetime(2031, 5, 10, 11, 5, tzinfo=UTC), ZoneInfo("Europe/Lisbon"))
    '2031-05-10 12:05 WEST'
    """
    local = instant.astimezone(zone)
    clock = "%H:%M:%S" if local.second or local.microsecond else "%H:%M"
    return local.strftime(f"%Y-%m-%d {clock} %Z")
