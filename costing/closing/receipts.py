r"""Receipts in the shoot's currency, each line with the tax in it.

Tax is reckoned once for each receipt and rate, as tills do, and shared over the lines it was
charged on: with :math:`S` the sum of the lines of a rate :math:`r`, it is :math:`S r / (1 + r)`
where the printed prices include it and :math:`S r` where it is added. A tax that the receipt prints
stands in place of it; one without a rate is of all lines, each by its own rate. Which of the two a
receipt does, its printed total tells; without one, or where neither gives it, the setting Prices
include tax.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from costing.buying.till import money_digits
from costing.closing import messages
from costing.findings import Finding
from costing.kitchen import Pack, ReceiptLine
from costing.names import key
from costing.quantities import (
    ONE,
    ZERO,
    currencies_of,
    currency_digits,
    exact_money,
    is_currency,
    money_text,
    round_money,
)
from costing.shoot import Settings, Shoot

TOTAL_WORDS = frozenset({"total", "grand total", "receipt total", "sum", "to pay", "amount due"})
TAX_WORDS = frozenset({"tax", "sales tax", "vat", "gst", "of which tax", "included tax"})
"""Notes of rows without ingredient that are printed on a receipt and are no costs of their own."""

_SUM = r"([0-9]+(?:[.,][0-9]+)?)\s*([A-Z]{3})"
RATE = re.compile(rf"{_SUM}\s*=\s*{_SUM}\b")
"""Such as 1 USD = 0.92 EUR."""

_MARK = re.compile(r"\s*[;,:(]")


@dataclass(frozen=True, slots=True)
class PaidLine:
    """One line of a receipt in the shoot's currency.

    Parameters
    ----------
    paid : Decimal
        What was paid for it, tax included. [money]
    tax : Decimal, optional
        How much of that is tax; ``None``: no rate is known. [money]
    rate : Fraction, optional
        Of the tax. [fraction]
    added : bool
        Whether the tax was added to what is printed beside the line.
    currency : str
        Another one in which it was paid; ``""``: in the shoot's.
    """

    line: ReceiptLine
    paid: Decimal
    tax: Decimal | None
    rate: Fraction | None
    added: bool
    currency: str = ""


@dataclass(frozen=True, slots=True)
class Receipt:
    """One receipt.

    ``lines``: what was bought, without the rows that repeat its total or its tax.
    """

    number: str
    shop: str
    day: date | None
    lines: tuple[PaidLine, ...]


def receipts_of(shoot: Shoot) -> tuple[tuple[Receipt, ...], list[Finding]]:
    """The receipts of a shoot, in the order of their first lines, and what is wrong with them."""
    groups: dict[tuple[str, str, date | None], list[ReceiptLine]] = {}
    for line in shoot.receipts:
        groups.setdefault((key(line.receipt), key(line.shop), line.day), []).append(line)
    findings: list[Finding] = []
    found = (_receipt(rows, shoot, findings) for rows in groups.values())
    return tuple(one for one in found if one is not None), findings


def _receipt(rows: Sequence[ReceiptLine], shoot: Shoot, findings: list[Finding]) -> Receipt | None:
    """A receipt of its rows; ``None`` where its currency has no rate."""
    totals = [row for row in rows if _is(row, TOTAL_WORDS)]
    taxes = [row for row in rows if _is(row, TAX_WORDS)]
    lines = [row for row in rows if row not in totals and row not in taxes]
    exchange = _exchange(rows, shoot.settings, findings)
    if exchange is None:
        return None
    currency, worth = exchange
    till = _Till(shoot, lines, taxes, currency)
    added = till.adds(totals)
    due = till.due(added=added)
    findings += (
        messages.receipt_total_differs(
            row.at("Paid"),
            money_text(row.paid, currency),
            money_text(due, currency),
            money_text(abs(row.paid - due), currency),
            above=row.paid > due,
            added=added,
        )
        for row in totals
        if due != row.paid
    )
    paid = tuple(till.paid_lines(added=added))
    for one in paid if added and not totals and not taxes else ():
        if one.tax and one.line.tax_rate is None and not one.line.ingredient:
            said = f"{one.line.note or one.line.receipt} ({money_text(one.tax, currency)} of tax)"
            findings.append(messages.cost_taxed_as_food(one.line.at("Tax rate %"), said))
    if currency != shoot.settings.currency:
        paid = _exchanged(paid, worth, currency or "", money_digits(shoot.settings))
    first = rows[0]
    return Receipt(first.receipt, first.shop, first.day, paid)


def _is(row: ReceiptLine, words: frozenset[str]) -> bool:
    """Whether a note begins with such words, before a mark, and besides a rate."""
    said = _MARK.split(RATE.sub(" ", row.note).strip(), maxsplit=1)[0]
    return not row.ingredient and key(said) in words


class _Till:
    """What the till of one receipt did, in its own currency."""

    def __init__(
        self,
        shoot: Shoot,
        lines: Sequence[ReceiptLine],
        taxes: Sequence[ReceiptLine],
        currency: str | None,
    ) -> None:
        self.settings = shoot.settings
        self.lines = lines
        self.digits = currency_digits(currency or shoot.settings.currency)
        self.rates = [tax_rate_of(line, shoot.packs, shoot.settings) for line in lines]
        self.printed: dict[Fraction | None, Decimal] = {}
        for row in taxes:
            before = self.printed.get(row.tax_rate, Decimal(0))
            self.printed[row.tax_rate] = before + row.paid

    def adds(self, totals: Sequence[ReceiptLine]) -> bool:
        """Whether tax was added to the lines: as the printed total tells, or the setting."""
        for row in totals:
            fitting = [added for added in (False, True) if self.due(added=added) == row.paid]
            if len(fitting) == 1:
                return fitting[0]
        return not self.settings.prices_include_tax

    def due(self, *, added: bool) -> Decimal:
        """What the lines come to. [money]"""
        net = sum((line.paid for line in self.lines), Decimal(0))
        return (
            net + sum((tax or 0 for tax in self.taxes(added=added)), Decimal(0)) if added else net
        )

    def taxes(self, *, added: bool) -> list[Decimal | None]:
        """The tax in each line; ``None`` where no rate is known. [money]"""
        found: list[Decimal | None] = [None] * len(self.lines)
        for rate, numbers in self._taxed_together().items():
            if rate is None:
                found = [
                    None if one is None else round_money(ZERO, self.digits) for one in self.rates
                ]
                numbers, exact = self._shares_of_all(added=added)
            else:
                exact = [self._exact(n, rate, added=added) for n in numbers]
            tax = self.printed.get(rate)
            if tax is None:
                tax = round_money(sum(exact, ZERO), self.digits, self.settings.tax_rounding)
            for n, share in zip(numbers, adding_up(tax, exact, self.digits), strict=True):
                found[n] = share
        return found

    def _exact(self, number: int, rate: Fraction, *, added: bool) -> Fraction:
        """The tax in a line at a rate. [money]"""
        return exact_money(self.lines[number].paid) * (rate if added else rate / (1 + rate))

    def _shares_of_all(self, *, added: bool) -> tuple[list[int], list[Fraction]]:
        """The lines with a part in a tax that is printed without a rate, and how large it is.

        Each line of a known rate has the tax it gives, and none at a rate of 0. What is printed
        above that is of the lines without a rate, by what they cost. Where it is less than the
        known rates give, or there are none but of 0, it is of all lines by what they cost.
        """
        printed = exact_money(self.printed[None])
        taxed = [n for n, rate in enumerate(self.rates) if rate]
        exact = {n: self._exact(n, self.rates[n] or ZERO, added=added) for n in taxed}
        unknown = [n for n, rate in enumerate(self.rates) if rate is None]
        rest = printed - sum(exact.values(), ZERO)
        worth = sum((exact_money(self.lines[n].paid) for n in unknown), ZERO)
        # of one sign: for a refund both are below 0; where none is printed none is left
        if unknown and worth and (not rest or rest * printed > 0):
            exact |= {n: rest * exact_money(self.lines[n].paid) / worth for n in unknown}
        elif unknown or not taxed:
            exact = {n: exact_money(line.paid) for n, line in enumerate(self.lines)}
        numbers = sorted(exact)
        return numbers, [exact[n] for n in numbers]

    def _taxed_together(self) -> dict[Fraction | None, list[int]]:
        """Lines by their rate; all together where the tax is printed without one."""
        if None in self.printed:
            return {None: list(range(len(self.lines)))}
        groups: dict[Fraction | None, list[int]] = {}
        for number, rate in enumerate(self.rates):
            if rate is not None:
                groups.setdefault(rate, []).append(number)
        return groups

    def paid_lines(self, *, added: bool) -> Iterator[PaidLine]:
        """The lines with tax, in the currency of the receipt."""
        for line, rate, tax in zip(self.lines, self.rates, self.taxes(added=added), strict=True):
            paid = line.paid + tax if added and tax is not None else line.paid
            yield PaidLine(line, in_coins(paid, self.digits), tax, rate, added)


def tax_rate_of(line: ReceiptLine, packs: Sequence[Pack], settings: Settings) -> Fraction | None:
    """The tax rate of a line: as typed, that of its pack, or the setting for prices without tax.

    ``None`` when nothing says it. [fraction]
    """
    if line.tax_rate is not None:
        return line.tax_rate
    rates = {pack.tax_rate for pack in packs_of(line, packs)}
    if len(rates) == 1 and (rate := rates.pop()) is not None:
        return rate
    return None if settings.prices_include_tax else settings.tax_rate


def packs_of(line: ReceiptLine, packs: Sequence[Pack]) -> list[Pack]:
    """The rows of Packs a line may be of: of its shop, or of any where its shop has none."""
    named = [
        pack for pack in packs if line.ingredient and key(pack.ingredient) == key(line.ingredient)
    ]
    return [pack for pack in named if key(pack.shop) == key(line.shop)] or named


def in_coins(money: Decimal, digits: int) -> Decimal:
    """Money with all digits of its coins; what was typed to a part of a coin stays.

    Examples
    --------
    >>> in_coins(Decimal("1.8"), 2), in_coins(Decimal("1.805"), 2)
    (Decimal('1.80'), Decimal('1.805'))
    """
    rounded = round_money(exact_money(money), digits)
    return rounded if rounded == money else money


def adding_up(total: Decimal, exact: Sequence[Fraction], digits: int) -> list[Decimal]:
    """Sums in whole coins that add up to a total and are as near as may be to exact ones.

    Each is rounded down, and the coins that lack go to the largest remainders, the earlier first;
    the sums may be below 0. A total that is far from the exact sums is scaled first.

    Examples
    --------
    >>> adding_up(Decimal("0.10"), [Fraction("0.045"), Fraction("0.055")], 2)
    [Decimal('0.05'), Decimal('0.05')]
    >>> adding_up(Decimal("-0.01"), [Fraction("-0.005"), Fraction("-0.005")], 2)
    [Decimal('0.00'), Decimal('-0.01')]
    """
    whole = sum(exact, ZERO)
    coin = Fraction(1, 10**digits)
    if whole and abs(whole - exact_money(total)) >= coin * len(exact):
        exact = [one * exact_money(total) / whole for one in exact]
    coins = [one // coin for one in exact]
    lacking = int(exact_money(total) / coin) - sum(coins)
    order = sorted(range(len(exact)), key=lambda n: coins[n] - exact[n] / coin)
    for n in range(abs(lacking) if exact else 0):
        coins[order[n % len(order)]] += 1 if lacking > 0 else -1
    return [round_money(count * coin, digits) for count in coins]


def _exchanged(
    lines: Sequence[PaidLine], worth: Fraction, currency: str, digits: int
) -> tuple[PaidLine, ...]:
    """Lines in the shoot's currency, adding up to what the whole receipt is worth there."""
    paid = [exact_money(one.paid) * worth for one in lines]
    tax = [exact_money(one.tax or Decimal(0)) * worth for one in lines]
    paid_coins = adding_up(round_money(sum(paid, ZERO), digits), paid, digits)
    tax_coins = adding_up(round_money(sum(tax, ZERO), digits), tax, digits)
    return tuple(
        PaidLine(one.line, coins, None if one.tax is None else of_it, one.rate, one.added, currency)
        for one, coins, of_it in zip(lines, paid_coins, tax_coins, strict=True)
    )


def _exchange(
    rows: Sequence[ReceiptLine], settings: Settings, findings: list[Finding]
) -> tuple[str | None, Fraction] | None:
    """The currency of a receipt and what one of it is worth; ``None`` where no rate says so."""
    own, signed = settings.currency, [row for row in rows if row.sign]
    for row in rows:
        found = _rate_in(row.note, own)
        # a rate is of the currency that was paid in; a sign of none goes with any
        if found and all(found[0] in (currencies_of(one.sign) or found) for one in signed):
            return found
    if not signed or own is None:
        return own, ONE
    first = signed[0]
    name = first.receipt or first.shop or "without a number"
    # of several currencies of a sign always the same is named in the example
    code = min(currencies_of(first.sign), default=first.sign)
    place = first.at("Paid")
    findings.append(messages.receipt_without_a_rate(place, name, first.sign, code, own))
    return None


def _rate_in(note: str, own: str | None) -> tuple[str, Fraction] | None:
    """A currency and its worth in the shoot's, as a note has it: ``1 USD = 0.92 EUR``."""
    for one, code, other, another in RATE.findall(note):
        left, right = (Fraction(text.replace(",", ".")) for text in (one, other))
        if own is None or own not in (code, another) or code == another or not left * right:
            continue
        foreign = code if another == own else another
        if is_currency(foreign):
            return foreign, right / left if another == own else left / right
    return None
