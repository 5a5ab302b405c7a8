"""Time zones; local times as instants of universal time, and how both are said.

Only instants are compared and subtracted: two datetimes that share a time zone compare by what the
clock on the wall shows, which is an hour wrong over a clock change.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

from costing.findings import Finding, Place
from costing.holding.messages import time_not_on_the_clock, time_twice_on_the_clock
from costing.names import UnknownWord, key, nearest

NAMED_AT_MOST = 3
"""So many zones are suggested for a name."""


class UnknownZone(UnknownWord):
    """The text is no name of the IANA time zone list.

    Examples
    --------
    >>> known_zone("Europe/Lisbn")
    Traceback (most recent call last):
        ...
    costing.holding.instants.UnknownZone: 'Europe/Lisbn' is not an IANA time zone; ...
    """

    said = "{} is not an IANA time zone"


def known_zone(name: str) -> str:
    """A time zone as the IANA list spells it.

    Raises
    ------
    UnknownZone
        If the list has none of that name; it is a ValueError.

    Examples
    --------
    >>> known_zone("europe/lisbon")
    'Europe/Lisbon'
    """
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        zones = sorted(available_timezones())
        # looked for only where the name is not one as it stands: the list is read from disk
        for zone in zones:
            if key(zone) == key(name):
                return zone
        raise UnknownZone(name, _near_zones(name, zones)) from None
    return name


_OFFSET = re.compile(r"(?:Etc/)?(?:GMT|UTC?|Z)? ?[+\u2212-]? ?[0-9:]{1,5}", re.IGNORECASE)
"""Hours before or behind Greenwich, of no one place; Etc/GMT+1 of the list is behind it."""


def _near_zones(name: str, zones: Sequence[str]) -> list[str]:
    """The zones of a city or a part of a country that stands alone, or else the likeliest names.

    Examples
    --------
    >>> _near_zones("new york", ["America/New_York"]), _near_zones("Asia/Tokio", ["Asia/Tokyo"])
    (['America/New_York'], ['Asia/Tokyo'])
    >>> _near_zones("Easterm time", ["Canada/Eastern", "Pacific/Easter", "US/Eastern"])
    ['Pacific/Easter', 'Canada/Eastern', 'US/Eastern']
    """
    if _OFFSET.fullmatch(name):
        return []
    cities: dict[str, list[str]] = {}
    for zone in zones:
        cities.setdefault(key(zone.rpartition("/")[2].replace("_", " ")), []).append(zone)
    said = key(name.replace("_", " ")).removesuffix(" time")
    near = nearest(name, zones, most=1) if "/" in name else []
    meant = [said] if said in cities else nearest(said, cities, most=2)
    return near or [zone for city in meant for zone in cities[city]][:NAMED_AT_MOST]


def possible_instants(time: datetime, zone: ZoneInfo) -> tuple[datetime, ...]:
    """The instants a logged time can mean, the earlier first; one but for clock changes.

    Examples
    --------
    >>> chicago = ZoneInfo("America/Chicago")
    >>> [f"{i:%H:%M}" for i in possible_instants(datetime(2027, 11, 7, 1, 30), chicago)]
    ['06:30', '07:30']
    """
    if time.tzinfo is not None:
        return (time.astimezone(UTC),)
    first = time.replace(tzinfo=zone, fold=0).astimezone(UTC)
    second = time.replace(tzinfo=zone, fold=1).astimezone(UTC)
    return (first,) if first == second else (min(first, second), max(first, second))


def one_instant(
    time: datetime, zone: ZoneInfo, *, late: bool, place: Place
) -> tuple[datetime, list[Finding]]:
    """Instant of a single time, and what is to be said of it.

    Parameters
    ----------
    time : datetime
        Local without a zone, or with its own offset.
    late : bool
        Which of two possible instants to take.
    """
    options = possible_instants(time, zone)
    taken = options[-1] if late else options[0]
    return taken, clock_change_findings(time, zone, options, place)


def clock_change_findings(
    time: datetime, zone: ZoneInfo, options: Sequence[datetime], place: Place
) -> list[Finding]:
    """What is to be said of a time that a clock change leaves out or shows twice."""
    if len(options) < 2:
        return []
    # a time that the clock left out comes back from universal time as another one
    shown = options[0].astimezone(zone).replace(tzinfo=None)
    words = time_twice_on_the_clock if shown == time.replace(fold=0) else time_not_on_the_clock
    return [words(place, f"{time:%Y-%m-%d %H:%M}", zone.key)]


def length(time: timedelta, *, begun: bool = False) -> str:
    """A length of time in hours and whole minutes.

    Parameters
    ----------
    time : timedelta
        Of which a part of a minute does not count, as for time that is left.
    begun : bool
        Whether a minute that is begun counts as a whole one, as for time that is used up.

    Examples
    --------
    >>> length(timedelta(hours=2, minutes=15)), length(timedelta(hours=4)), length(timedelta(0))
    ('2 h 15 min', '4 h', '0 min')
    >>> length(timedelta(seconds=90)), length(timedelta(seconds=90), begun=True)
    ('1 min', '2 min')
    """
    one = timedelta(minutes=1)
    minutes = -(-time // one) if begun else time // one
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    if minutes or not hours:
        parts.append(f"{minutes} min")
    return " ".join(parts)


def clock_words(time: datetime, day: date | None) -> str:
    """A time as the clock of the place shows it, without the date on the day ``day``.

    In the hour that clocks show twice the short name of the zone says which of the two it is.

    Examples
    --------
    >>> at = datetime(2031, 5, 10, 9, 5)
    >>> clock_words(at, at.date()), clock_words(at, None)
    ('09:05', '2031-05-10 09:05')
    >>> clock_words(datetime(2031, 10, 26, 1, 30, fold=1, tzinfo=ZoneInfo("Europe/Lisbon")), None)
    '2031-10-26 01:30 WET'
    """
    twice = time.utcoffset() != time.replace(fold=1 - time.fold).utcoffset()
    shown = f"{time:%H:%M %Z}" if twice else f"{time:%H:%M}"
    return shown if time.date() == day else f"{time:%Y-%m-%d} {shown}"


def without_day(text: str, day: date | None) -> str:
    """Sentences about a day without its date before each time.

    Examples
    --------
    >>> without_day("Out since 2031-05-10 09:05 WEST.", date(2031, 5, 10))
    'Out since 09:05 WEST.'
    """
    return text.replace(f"{day} ", "")


def moment_words(instant: datetime, zone: ZoneInfo) -> str:
    """An instant as the clocks of ``zone`` show it, with its date and the zone's short name.

    Examples
    --------
    >>> from datetime import UTC
    >>> moment_words(datetime(2031, 5, 10, 11, 5, tzinfo=UTC), ZoneInfo("Europe/Lisbon"))
    '2031-05-10 12:05 WEST'
    """
    local = instant.astimezone(zone)
    clock = "%H:%M:%S" if local.second else "%H:%M"
    return local.strftime(f"%Y-%m-%d {clock} %Z")
