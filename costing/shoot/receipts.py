"""What was paid, line by line of the receipts."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from costing.kitchen.rows import FromRow
from costing.quantities.fields import (
    AmountOrNone,
    AtLeast0OrNone,
    DayOrNone,
    MoneyBothWays,
    ShareOrNone,
    Word,
    WordOrNone,
    default,
)


class PaidFrom(StrEnum):
    """Where the money of a receipt came from.

    Examples
    --------
    >>> PaidFrom("float")
    <PaidFrom.FLOAT: 'float'>
    """

    CARD = "card"
    CASH = "cash"
    FLOAT = "float"


class ReceiptTag(StrEnum):
    """Whom or what a line of a receipt was bought for.

    Examples
    --------
    >>> ReceiptTag("not food")
    <ReceiptTag.NOT_FOOD: 'not food'>
    """

    CAMERA = "camera"
    TEST = "test"
    CREW = "crew"
    HOUSEHOLD = "household"
    NOT_FOOD = "not food"


class ReceiptLine(FromRow):
    """One line of a receipt.

    Parameters
    ----------
    paid : Decimal
        What the till took for it, tax as printed; below 0 for a discount or a deposit that came
        back. [money]
    receipt : str
        Its number or name.
    day : date, optional
        Of the receipt.
    shop : str
        Where it is from.
    ingredient : str
        What was bought; ``""`` for a cost of its own, such as a delivery.
    packs : Fraction, optional
        How many packs of it. [pack]
    amount : Amount, optional
        How much of it. [mass, volume or count]
    tax_rate : Fraction, optional
        As printed; ``None``: by the pack or the setting. [fraction]
    paid_from : PaidFrom, optional
        ``None`` is unknown.
    tag : ReceiptTag
        What it was bought for.
    sign : str
        Of another currency than the shoot's, as it was typed with what was paid.

    Examples
    --------
    >>> ReceiptLine(shop="market", ingredient="leek", amount="1.2 kg", paid="2.27").tag
    <ReceiptTag.CAMERA: 'camera'>
    """

    sheet: ClassVar[str] = "Receipts"
    named_by: ClassVar[str] = "ingredient"
    paid: MoneyBothWays
    receipt: str = ""
    day: DayOrNone = default(None)
    shop: str = ""
    ingredient: str = ""
    packs: AtLeast0OrNone = default(None)
    amount: AmountOrNone = default(None)
    tax_rate: ShareOrNone = default(None)
    paid_from: WordOrNone[PaidFrom] = default(None)
    tag: Word[ReceiptTag] = default(ReceiptTag.CAMERA)
    sign: str = ""
    note: str = ""
