"""The episodes of a shoot, a batch day has several; who eats there; trips to shops before it."""

from __future__ import annotations

from typing import ClassVar

from costing.kitchen.rows import FromRow
from costing.quantities.fields import (
    ClockOrNone,
    Day,
    DayOrNone,
    ManyOrNone,
    MoneyOrNone,
    PositiveOrNone,
    default,
)


class Episode(FromRow):
    """One episode.

    Parameters
    ----------
    name : str
        As in the shoot plan.
    title : str
        What viewers read.
    shoot_date : date, optional
        The day it is shot.
    call_time : time, optional
        When the shoot begins.
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

    Parameters
    ----------
    name : str
        As in Eaters of the shoot plan.
    avoids : tuple of str, optional
        Allergens, ingredients or diets, as written; ``()`` is nothing, ``None`` is unknown.

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

    Parameters
    ----------
    shop : str
        As in Packs; a shop without a trip is open on every shopping date.
    day : date
        Of the visit or the delivery.

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
