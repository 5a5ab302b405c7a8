"""What the tills take: line by line, with tax where prices exclude it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil

from costing.kitchen import Pack, Shop
from costing.names import key
from costing.quantities import (
    currency_digits,
    exact_money,
    round_money,
    share_out,
    untraced_choice,
)
from costing.shoot import Settings


def money_digits(settings: Settings) -> int:
    """Digits after the point in the smallest coin."""
    return currency_digits(settings.currency)


def tax_rate(pack: Pack, settings: Settings) -> Fraction:
    """The tax inside or on a pack's price: its own, else the setting for prices without tax.

    Returns
    -------
    Fraction
        Of the price without tax. [fraction]
    """
    if pack.tax_rate is not None:
        return pack.tax_rate
    return Fraction(0) if settings.prices_include_tax else settings.tax_rate


def exact_price(pack: Pack, settings: Settings) -> Fraction | None:
    """Exact price of one pack or loose step with tax; ``None`` is unknown. [money]"""
    price = pack.unit_price
    if price is None or settings.prices_include_tax:
        return price
    return price * (1 + tax_rate(pack, settings))


@dataclass(frozen=True, slots=True)
class TillLine:
    """What the till takes for one line.

    Parameters
    ----------
    cost : Decimal, optional
        Tax included; ``None`` when the price is unknown. [money]
    tax : Decimal
        How much of it is tax. [money]
    """

    cost: Decimal | None
    tax: Decimal


NOT_PAID = TillLine(None, Decimal(0))
"""Of a line before the tills have taken anything for it."""


@dataclass(frozen=True, slots=True)
class Bought:
    """A row of Packs, how many of it are bought on one trip, and which days they serve.

    Parameters
    ----------
    count : int
        Packs, or loose steps; above 0.
    trip : date, optional
        The day it is fetched; ``None`` where no day is known.
    buy_by : date, optional
        The last day that would still do, never before the trip; ``None`` where none is known.
    openings : tuple of (date or None, int)
        On which days how many of them are opened, the first first.
    serves : mapping of str to Fraction
        By episode what is used of them, their spoilage allowance included. [base unit]
    passed_on : mapping of (str, str) to Fraction
        By giver and taker what a later episode uses of packs opened for an earlier one. [base unit]
    brings : Fraction
        What all of them bring. [base unit]
    """

    pack: Pack
    count: int
    trip: date | None = None
    buy_by: date | None = None
    openings: tuple[tuple[date | None, int], ...] = ()
    serves: Mapping[str, Fraction] = field(default_factory=dict)
    passed_on: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)
    brings: Fraction = Fraction(0)
    paid: TillLine = NOT_PAID

    @property
    def opened(self) -> date | None:
        """The first day one of them is opened; ``None`` where no day is known."""
        return next((day for day, _ in self.openings if day is not None), None)

    @property
    def visit(self) -> str:
        """The going to its shop on the day of its trip; ``""`` for a pack without a shop."""
        return visit_to(key(self.pack.shop), self.trip)

    @property
    def shelf_price(self) -> Fraction | None:
        """What the line costs before the till rounds it, as priced on the shelf. [money]"""
        price = self.pack.unit_price
        return None if price is None else price * self.count


def visit_to(shop: str, trip: date | None) -> str:
    """A name for going to a shop on a day: its receipt, its visit cost and its minimum spend.

    Examples
    --------
    >>> visit_to("corner grocer", date(2031, 5, 9)), visit_to("", date(2031, 5, 9))
    ('corner grocer on 2031-05-09', '')
    """
    return f"{shop} on {trip}" if shop and trip is not None else shop


def least_net(total: Fraction, rate: Fraction, settings: Settings) -> Fraction:
    """The least sum of lines with which a till, tax and all, comes to a total. [money]

    Tax on top is rounded once, so that the till rises with the sum of its lines and the least sum
    can be found by halving.

    Parameters
    ----------
    total : Fraction
        What has to be reached. [money]
    rate : Fraction
        Of all lines. [fraction]
    """
    digits = money_digits(settings)
    coin = Fraction(1, 10**digits)
    low, high = 0, ceil(total / coin)
    while low < high:
        middle = (low + high) // 2
        tax = round_money(middle * coin * rate, digits, settings.tax_rounding)
        low, high = (low, middle) if middle * coin + Fraction(tax) >= total else (middle + 1, high)
    return low * coin


def visit_costs(
    bought: Sequence[Bought], shops: Sequence[Shop], settings: Settings
) -> dict[str, Decimal]:
    """What visits and deliveries cost, by :attr:`Bought.visit`, for all that something is from.

    What is supplied has to be fetched too; a shop that is gone to on two days costs two visits. Of
    two rows for a shop the first counts.

    Returns
    -------
    dict of str to Decimal
        Only visits that cost something, in the order of the sheet and of the days. [money]
    """
    visits: dict[str, dict[date | None, str]] = {}
    for line in bought:
        visits.setdefault(key(line.pack.shop), {})[line.trip] = line.visit
    costs: dict[str, Decimal] = {}
    for shop in shops:
        went = visits.pop(key(shop.name), {}) if shop.name else {}
        cost = round_money(exact_money(shop.visit_cost), money_digits(settings))
        costs |= {went[day]: cost for day in sorted(went, key=lambda day: day or date.min)}
    return {name: cost for name, cost in costs.items() if cost}


def till_lines(bought: Sequence[Bought], settings: Settings) -> list[TillLine]:
    """Each line rounded half up as a till does; tax rounded once for each receipt and rate.

    Tax follows the goods it was charged on: each line carries its part of it, and the parts add
    up to what was charged.
    """
    digits = money_digits(settings)
    nets = [
        None if line.shelf_price is None else round_money(line.shelf_price, digits)
        for line in bought
    ]
    taxes = [Decimal(0)] * len(bought)
    for rate, numbers in _by_receipt_and_rate(bought, nets, settings).items():
        # which lines are taxed together hangs on their rates, so that no formula says the tax
        shares = [
            untraced_choice(exact_money(net)) for n in numbers if (net := nets[n]) is not None
        ]
        factor = rate[1] / (1 + rate[1]) if settings.prices_include_tax else rate[1]
        tax = round_money(sum(shares, Fraction(0)) * factor, digits, settings.tax_rounding)
        if tax:
            for number, part in zip(numbers, share_out(tax, shares, digits), strict=True):
                taxes[number] = part
    # tax inside the price is a part of what is paid, tax on top is added to it
    return [
        TillLine(
            net if net is None or settings.prices_include_tax else net + tax,
            tax,
        )
        for net, tax in zip(nets, taxes, strict=True)
    ]


def paid_lines(bought: Sequence[Bought], settings: Settings) -> list[Bought]:
    """The same lines with what the tills take for each."""
    tills = till_lines(bought, settings)
    return [replace(line, paid=paid) for line, paid in zip(bought, tills, strict=True)]


def _by_receipt_and_rate(
    bought: Sequence[Bought], nets: Sequence[Decimal | None], settings: Settings
) -> dict[tuple[str, Fraction], list[int]]:
    groups: dict[tuple[str, Fraction], list[int]] = {}
    for number, (line, net) in enumerate(zip(bought, nets, strict=True)):
        rate = tax_rate(line.pack, settings)
        if net and rate:
            groups.setdefault((line.visit, rate), []).append(number)
    return groups
