"""What is on hand, lot by lot with its dates, and what was counted at the end."""

from __future__ import annotations

from typing import ClassVar

from costing.kitchen.rows import FromRow
from costing.quantities.fields import AmountGiven, AmountOrNone, DayOrNone, MoneyOrNone, default


class Lot(FromRow):
    """One lot of an ingredient on hand.

    Parameters
    ----------
    ingredient : str
        What it is.
    amount : Amount, optional
        How much, as bought; ``None`` with ``plenty`` means enough for anything, ``None`` without
        it means unknown. [mass, volume or count]
    plenty : bool
        So much that it is never bought.
    use_by : date, optional
        Last day of use.
    opened : date, optional
        Day of opening; the storage life after opening counts from it.
    value : Decimal, optional
        Of the whole lot; ``None`` is valued at the cheapest pack price per unit. [money]
    supplied : bool
        Given free; worth nothing.

    Examples
    --------
    >>> Lot(ingredient="flour", amount="620 g", use_by="2031-11-30").use_by
    datetime.date(2031, 11, 30)
    """

    sheet: ClassVar[str] = "On hand"
    named_by: ClassVar[str] = "ingredient"
    ingredient: str
    amount: AmountOrNone = default(None)
    plenty: bool = False
    use_by: DayOrNone = default(None)
    opened: DayOrNone = default(None)
    value: MoneyOrNone = default(None)
    supplied: bool = False
    note: str = ""


class CountedLot(FromRow):
    """What was there of an ingredient at the end.

    Parameters
    ----------
    ingredient : str
        What it is.
    amount : Amount
        How much, as bought. [mass, volume or count]

    Examples
    --------
    >>> print(CountedLot(ingredient="flour", amount="310 g").amount)
    310 g
    """

    sheet: ClassVar[str] = "Counted"
    named_by: ClassVar[str] = "ingredient"
    ingredient: str
    amount: AmountGiven
    note: str = ""
