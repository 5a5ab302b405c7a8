"""What the log of the day tells of shots and ingredients; of containers it tells events."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum
from typing import ClassVar
from zoneinfo import ZoneInfo

from costing.holding.instants import possible_instants
from costing.holding.models import Event
from costing.quantities import Amount, amount
from costing.quantities.fields import AmountOrNone, FromRow, InstantOrNone, Word, default


class DayEvent(StrEnum):
    """What only the log of the day tells.

    Examples
    --------
    >>> DayEvent("taken")
    <DayEvent.TAKEN: 'taken'>
    """

    TAKEN = "taken"
    SPOILED = "spoiled"
    ENOUGH = "enough"
    COUNTED = "counted"
    UNDONE = "undone"


OF_A_SHOT = (DayEvent.TAKEN, DayEvent.SPOILED, DayEvent.ENOUGH)
"""A take; its food gone without one; no more of it."""


class Logged(FromRow):
    """One line about a shot or an ingredient.

    Parameters
    ----------
    what : str
        Name of the shot or the ingredient.
    event : DayEvent
        What happened.
    when : datetime, optional
        A local time, or an instant with its own offset; ``None``: not known.
    amount : Amount, optional
        What was counted, as bought. [mass, volume or count]

    Examples
    --------
    >>> Logged(what="halloumi", event="counted", when="2031-05-10 12:30", amount="1675 g").amount
    amount('1675 g')
    """

    sheet: ClassVar[str] = "Day log"
    named_by: ClassVar[str] = "what"
    what: str
    event: Word[DayEvent]
    when: InstantOrNone = default(None)
    amount: AmountOrNone = default(None)
    note: str = ""


TRIMMED_FROM = re.compile(r"\btrimmed from\s+(.+?)\s*(?:[;,(].*)?$", re.IGNORECASE)
"""At the end of a note, or before a mark; what follows is an amount as it was bought."""


def trimmed_from(note: str) -> Amount | None:
    """What was weighed before trimming, where a note says so.

    Examples
    --------
    >>> print(trimmed_from("trimmed from 1.2 kg"))
    1.2 kg
    >>> trimmed_from("what was trimmed from it is in the bin") is None
    True
    """
    found = TRIMMED_FROM.search(note)
    if found is None:
        return None
    try:
        whole = amount(found[1])
    except ValueError:
        return None
    # nothing weighed teaches nothing
    return whole if whole.base > 0 else None


def merged_events(zone: ZoneInfo, *logs: Sequence[Event]) -> tuple[Event, ...]:
    """Events that were reported in several places, as one log.

    The order within each place stays as it is, so that an event out of order there is noticed;
    of the events that come next the earliest comes first.

    Parameters
    ----------
    zone : ZoneInfo
        Zone of local times.
    logs : sequence of Event
        Place by place.

    Examples
    --------
    >>> day = "2031-05-10"
    >>> sheet = [Event(kind="out", at=f"{day} 10:00"), Event(kind="back", at=f"{day} 11:00")]
    >>> log = [Event(kind="reading", at=f"{day} 10:30", temperature="6 C")]
    >>> [str(event.kind) for event in merged_events(ZoneInfo("UTC"), sheet, log)]
    ['out', 'reading', 'back']
    """
    left = [list(events) for events in logs if events]
    merged: list[Event] = []
    while left:
        first = min(left, key=lambda events: possible_instants(events[0].at, zone)[0])
        merged.append(first.pop(0))
        left = [events for events in left if events]
    return tuple(merged)
