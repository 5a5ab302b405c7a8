"""What the tills take: line by line, with tax where prices exclude it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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

CODELESS_DIGITS = 2
"""Digits of money when no currency is given."""


def money_digits(settings: Settings) -> int:
    """Digits after the point in the smallest coin."""
    return CODELESS_DIGITS if settings.currency is None else currency_digits(settings.currency)


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
class Bought:
    """A row of Packs and how many of it are bought.

    Parameters
    ----------
    pack : Pack
        The row.
    count : int
        Packs, or loose steps; above 0.
    """

    pack: Pack
    count: int

    @property
    def shelf_price(self) -> Fraction | None:
        """What the line costs before the till rounds it, as priced on the shelf. [money]"""
        price = self.pack.unit_price
        return None if price is None else price * self.count


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
    settings : Settings
        Currency, whether prices include tax, and how tax is rounded.
    """
    digits = money_digits(settings)
    coin = Fraction(1, 10**digits)
    low, high = 0, ceil(total / coin)
    if settings.prices_include_tax or not rate:
        return high * coin
    while low < high:
        middle = (low + high) // 2
        tax = round_money(middle * coin * rate, digits, settings.tax_rounding)
        low, high = (low, middle) if middle * coin + Fraction(tax) >= total else (middle + 1, high)
    return low * coin


def visit_costs(
    bought: Sequence[Bought], shops: Sequence[Shop], settings: Settings
) -> dict[str, Decimal]:
    """What visits and deliveries cost, by key of the shop, for all shops that something is from.

    What is supplied has to be fetched too. Of two rows for a shop the first counts.

    Parameters
    ----------
    bought : sequence of Bought
        All lines of all shops.
    shops : sequence of Shop
        The rows of the sheet Shops.
    settings : Settings
        With the currency.

    Returns
    -------
    dict of str to Decimal
        Only shops whose visit costs something, in the order of the sheet. [money]
    """
    visited = {key(line.pack.shop) for line in bought if line.pack.shop}
    costs: dict[str, Decimal] = {}
    for shop in shops:
        if key(shop.name) in visited and key(shop.name) not in costs:
            cost = round_money(exact_money(shop.visit_cost), money_digits(settings))
            costs[key(shop.name)] = cost
    return {name: cost for name, cost in costs.items() if cost}


def till_lines(bought: Sequence[Bought], settings: Settings) -> list[TillLine]:
    """Each line rounded half up as a till does; tax rounded once for each shop and rate.

    Tax follows the goods it was charged on: each line carries its part of it, and the parts add
    up to what was charged.

    Parameters
    ----------
    bought : sequence of Bought
        All lines of all shops.
    settings : Settings
        Currency, whether prices include tax, and how tax is rounded.

    Returns
    -------
    list of TillLine
        One for each line, in the same order.
    """
    digits = money_digits(settings)
    nets = [
        None if line.shelf_price is None else round_money(line.shelf_price, digits)
        for line in bought
    ]
    taxes = [Decimal(0)] * len(bought)
    for rate, numbers in _by_shop_and_rate(bought, nets, settings).items():
        # which lines are taxed together hangs on their rates, so that no formula says the tax
        shares = [
            untraced_choice(exact_money(net)) for n in numbers if (net := nets[n]) is not None
        ]
        factor = rate[1] / (1 + rate[1]) if settings.prices_include_tax else rate[1]
        tax = round_money(sum(shares, Fraction(0)) * factor, digits, settings.tax_rounding)
        if tax:
            for number, part in zip(numbers, share_out(tax, shares, digits), strict=True):
                taxes[number] = part
    return [
        TillLine(
            net if net is None or settings.prices_include_tax else net + tax,
            tax,
        )
        for net, tax in zip(nets, taxes, strict=True)
    ]


def _by_shop_and_rate(
    bought: Sequence[Bought], nets: Sequence[Decimal | None], settings: Settings
) -> dict[tuple[str, Fraction], list[int]]:
    groups: dict[tuple[str, Fraction], list[int]] = {}
    for number, (line, net) in enumerate(zip(bought, nets, strict=True)):
        rate = tax_rate(line.pack, settings)
        if net and rate:
            groups.setdefault((key(line.pack.shop), rate), []).append(number)
    return groups
