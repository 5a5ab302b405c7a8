"""The days of a shoot: its episodes, who eats there, trips to shops, and what the day log has."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from costing.quantities.fields import (
    AmountOrNone,
    ClockOrNone,
    Day,
    DayOrNone,
    FromRow,
    InstantOrNone,
    ManyOrNone,
    MoneyOrNone,
    PositiveOrNone,
    Word,
    default,
)


class Episode(FromRow):
    """One episode.

    Parameters
    ----------
    title : str
        What viewers read.
    portions, minutes : Fraction, optional
        Only divide the cost. [portion], [minute]
    budget : Decimal, optional
        For its share of what is bought. [money]

    Examples
    --------
    >>> Episode(name="tart", shoot_date="2031-05-10", call_time="9:30").call_time
    datetime.time(9, 30)
    """

    sheet: ClassVar[str] = "Episodes"
    name: str
    title: str = ""
    shoot_date: DayOrNone = default(None)
    call_time: ClockOrNone = default(None)
    portions: PositiveOrNone = default(None)
    minutes: PositiveOrNone = default(None)
    budget: MoneyOrNone = default(None)
    note: str = ""


class Person(FromRow):
    """Somebody who may eat of a shot.

    ``avoids``: allergens, ingredients or diets, as written; ``()`` is nothing, ``None`` is unknown.

    Examples
    --------
    >>> Person(name="camera", avoids=["milk", "leek"]).avoids
    ('milk', 'leek')
    """

    sheet: ClassVar[str] = "People"
    name: str
    avoids: ManyOrNone[str] = default(None)
    note: str = ""


class Trip(FromRow):
    """One day on which a shop can be visited or delivers.

    ``shop``: as in Packs; a shop without a trip is open on every shopping date.

    Examples
    --------
    >>> Trip(shop="market", day="2031-05-09").day
    datetime.date(2031, 5, 9)
    """

    sheet: ClassVar[str] = "Trips"
    named_by: ClassVar[str] = "shop"
    shop: str
    day: Day
    note: str = ""


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


SHOT_EVENTS = (DayEvent.TAKEN, DayEvent.SPOILED, DayEvent.ENOUGH)
"""A take; its food gone without one; no more of it."""


class Logged(FromRow):
    """One line about a shot or an ingredient.

    Parameters
    ----------
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
