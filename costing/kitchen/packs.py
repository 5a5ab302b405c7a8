"""What shops sell and what was paid for it; the shops; what is on hand: lots, and counts."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import ClassVar

from pydantic import model_validator

from costing.quantities import Amount, exact_money
from costing.quantities.fields import (
    AmountGiven,
    AmountOrNone,
    AtLeast0OrNone,
    CountOrNone,
    DayOrNone,
    DaysBeforeOrNone,
    FromRow,
    Money,
    MoneyBothWays,
    MoneyOrNone,
    PositiveAmount,
    PositiveAmountOrNone,
    ShareOrNone,
    Word,
    WordOrNone,
    default,
)


class PackState(StrEnum):
    """How a food is sold, which decides how long it keeps.

    Examples
    --------
    >>> PackState("frozen")
    <PackState.FROZEN: 'frozen'>
    """

    FRESH = "fresh"
    FROZEN = "frozen"
    SHELF = "shelf"


class Pack(FromRow):
    """A sealed pack, or loose goods sold in steps.

    Parameters
    ----------
    amount : Amount
        What is in one pack; for loose goods what ``price`` is for. For a drained product the
        drained amount. [mass, volume or count]
    price : Decimal, optional
        Of ``amount``; ``None`` is unknown. [money]
    loose_step : Amount, optional
        Any multiple of this can be bought; ``None`` means a sealed pack. [as ``amount``]
    at_most : int, optional
        How many packs, or loose steps, the shop has.
    supplied : bool
        Given free; never in cost.
    tax_rate : Fraction, optional
        Overrides the setting. [fraction]
    state : PackState, optional
        ``None``: as published for the food.
    order_days : int, optional
        How long before it is fetched it must be ordered. [day]
    thaw_days : int, optional
        How long before it is used a frozen pack must be fetched. [day]
    published_keeps : Fraction, optional
        How long it keeps from the day of purchase in its state, by the tables. [day]

    Examples
    --------
    >>> pack = Pack(ingredient="leek", amount="1 kg", price="1.89", loose_step="50 g")
    >>> pack.unit_price
    Fraction(189, 2000)
    """

    sheet: ClassVar[str] = "Packs"
    named_by: ClassVar[str] = "ingredient"
    ingredient: str
    amount: PositiveAmount
    shop: str = ""
    price: MoneyOrNone = default(None)
    loose_step: PositiveAmountOrNone = default(None)
    at_most: CountOrNone = default(None)
    supplied: bool = False
    tax_rate: ShareOrNone = default(None)
    state: WordOrNone[PackState] = default(None)
    order_days: DaysBeforeOrNone = default(None)
    thaw_days: DaysBeforeOrNone = default(None)
    price_date: DayOrNone = default(None)
    note: str = ""
    published_keeps: AtLeast0OrNone = default(None)

    @model_validator(mode="after")
    def _sold_in_something(self) -> Pack:
        step = self.loose_step
        if step is not None and step.unit.dimension != self.amount.unit.dimension:
            raise ValueError("the loose step must be in the unit of the amount")
        return self

    @property
    def unit_amount(self) -> Amount:
        """What one pack, or one loose step, brings."""
        return self.loose_step if self.loose_step is not None else self.amount

    @property
    def unit_price(self) -> Fraction | None:
        """Exact price of one pack or one loose step as typed; 0 when supplied. [money]"""
        if self.supplied:
            return Fraction(0)
        if self.price is None:
            return None
        return exact_money(self.price) * (self.unit_amount.base / self.amount.base)


class Shop(FromRow):
    """A shop with what a visit costs and the least it lets one buy for.

    Parameters
    ----------
    visit_cost : Decimal
        Fare, fuel or delivery. [money]
    minimum_spend : Decimal
        The till's total is at least this, or nothing is bought there. [money]

    Examples
    --------
    >>> Shop(name="market", visit_cost="2.50").visit_cost
    Decimal('2.5')
    """

    sheet: ClassVar[str] = "Shops"
    name: str
    visit_cost: Money = default(Decimal(0))
    minimum_spend: Money = default(Decimal(0))
    note: str = ""


class Lot(FromRow):
    """One lot of an ingredient on hand.

    Parameters
    ----------
    amount : Amount, optional
        How much, as bought; ``None`` with ``plenty`` means enough for anything, ``None`` without
        it means unknown. [mass, volume or count]
    plenty : bool
        So much that it is never bought.
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


def worth(lots: Sequence[Lot], amount: Amount) -> Fraction | None:
    """What so much of some lots is worth by the Value typed of all of them together. [money]

    ``None`` where that is not known of one of them, or in another dimension.

    Examples
    --------
    >>> from costing.quantities import amount
    >>> oil = Lot(ingredient="oil", amount="1 l", value="8")
    >>> worth([oil], amount("250 ml")), worth([oil], amount("250 g"))
    (Fraction(2, 1), None)
    """
    whole = paid = Fraction(0)
    for lot in lots:
        if lot.value is None or lot.amount is None or lot.amount.dimension is not amount.dimension:
            return None
        whole, paid = whole + Fraction(lot.amount.base), paid + exact_money(lot.value)
    return paid * amount.base / whole if whole else None


class CountedLot(FromRow):
    """What was there of an ingredient at the end.

    ``amount``: how much, as bought. [mass, volume or count]

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

    @property
    def is_discount(self) -> bool:
        """Whether it lowers what something cost, and says of no goods how much."""
        return self.paid < 0 and self.packs is None and self.amount is None
