"""When a shop can be visited, or delivers."""

from __future__ import annotations

from typing import ClassVar

from costing.kitchen.rows import FromRow
from costing.quantities.fields import Day


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
