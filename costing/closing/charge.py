"""What the client pays, by receipt lines and the mark-up agreed, and the cash that was given out.

The tag says whose a line is: what is bought for the camera, a delivery or a discount without an
ingredient too, is charged; tests, the crew, the household and what is no food are charged only
where they are tagged camera. Supplied goods are never charged, and nothing is without a line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from costing.buying.till import money_digits
from costing.closing import messages
from costing.closing.closed import Closed, ClosedIngredient
from costing.closing.receipts import PaidLine, adding_up, packs_of
from costing.findings import Finding, choice_words
from costing.kitchen import PaidFrom, ReceiptTag
from costing.names import key
from costing.quantities import ZERO, exact_money, money_text, round_money, total
from costing.shoot import Shoot
from costing.shoot.settings import MarkUpOn


@dataclass(frozen=True, slots=True)
class Charged:
    """One line of a receipt that is charged.

    ``mark_up``: put on what was paid. [money]
    """

    line: PaidLine
    mark_up: Decimal

    @property
    def charged(self) -> Decimal:
        """What the client pays for it. [money]"""
        return self.line.paid + self.mark_up


@dataclass(frozen=True, slots=True)
class Supplied:
    """What the client brought of one ingredient; amounts in the unit it is bought in.

    ``supplied``, ``used``, ``left``: of what was supplied, what the shoot used and what is left.
    [base unit]
    """

    ingredient: ClosedIngredient
    supplied: Fraction
    used: Fraction
    left: Fraction


@dataclass(frozen=True)
class Charge:
    """What is charged for a shoot."""

    closed: Closed

    @cached_property
    def lines(self) -> tuple[Charged, ...]:
        """The lines that are charged, in the order of the receipts.

        The mark-up is rounded once, of all they were paid, and shared to the coin.
        """
        lines = [
            line
            for line in self.closed.lines
            if line.paid and line.line.tag is ReceiptTag.CAMERA and not self._supplied(line)
        ]
        exact = [self._mark_up(line) for line in lines]
        digits = money_digits(self.closed.shoot.settings)
        shared = adding_up(round_money(sum(exact, ZERO), digits), exact, digits)
        return tuple(Charged(line, mark_up) for line, mark_up in zip(lines, shared, strict=True))

    @property
    def paid(self) -> Decimal:
        """What was paid for them. [money]"""
        return sum((one.line.paid for one in self.lines), self._nothing)

    @property
    def tax(self) -> Decimal | None:
        """How much of that is tax, where a rate is known; ``None``: of no line it is. [money]"""
        known = [tax for one in self.lines if (tax := one.line.tax) is not None]
        return sum(known, self._nothing) if known else None

    @property
    def mark_up(self) -> Decimal:
        """Put on all of them. [money]"""
        return sum((one.mark_up for one in self.lines), self._nothing)

    @property
    def charged(self) -> Decimal:
        """What the client pays. [money]"""
        return self.paid + self.mark_up

    @property
    def _nothing(self) -> Decimal:
        # a sum of nothing is shown with its coins too
        return round_money(ZERO, money_digits(self.closed.shoot.settings))

    def _mark_up(self, line: PaidLine) -> Fraction:
        """The part of what was paid, or of that before tax, that is put on it. [money]"""
        settings = self.closed.shoot.settings
        on = exact_money(line.paid)
        if settings.mark_up_on is MarkUpOn.BEFORE_TAX:
            on -= exact_money(line.tax or Decimal(0))
        return on * Fraction(settings.charge_mark_up or 0)

    def _supplied(self, line: PaidLine) -> bool:
        """Whether a line can only be of packs that are given free."""
        packs = packs_of(line.line, self.closed.shoot.packs)
        return bool(packs) and all(pack.supplied for pack in packs)

    @property
    def supplied(self) -> tuple[Supplied, ...]:
        """What was supplied, used of it and left, ingredient by ingredient.

        Where some was bought besides, what was supplied is taken as used first.
        """
        return tuple(one for each in self.closed.ingredients if (one := _supplied_of(each)))

    @property
    def findings(self) -> Iterator[Finding]:
        """What is not charged, with its sum, and what a mark-up cannot be sure of."""
        settings = self.closed.shoot.settings
        for line in self.closed.lines:
            if line.paid and line.line.tag is ReceiptTag.CAMERA and self._supplied(line):
                money = money_text(line.paid, settings.currency)
                yield messages.supplied_paid_for(line.line.at("Paid"), line.line.ingredient, money)
        others = costs_by_tag(self.closed)
        others.pop(ReceiptTag.CAMERA, None)
        if others and self.lines:
            words = [f"{tag} {money_text(sum_, settings.currency)}" for tag, sum_ in others.items()]
            first = next(one for one in self.closed.lines if one.line.tag in others)
            place = first.line.at("Tag")
            yield messages.not_charged(place, choice_words(words, last="and"))
        if settings.mark_up_on is MarkUpOn.BEFORE_TAX and settings.charge_mark_up:
            for row in (one.line.line for one in self.lines if one.line.tax is None):
                name = row.ingredient or row.note or row.receipt
                yield messages.receipt_tax_unknown(row.at("Tax rate %"), name)


def costs_by_tag(closed: Closed) -> dict[ReceiptTag, Decimal]:
    """What was paid, by what it was bought for, in the order of the tags. [money]"""
    sums: dict[ReceiptTag, Decimal] = {}
    for tag in ReceiptTag:
        paid = [line.paid for line in closed.lines if line.line.tag is tag]
        if paid:
            sums[tag] = sum(paid, Decimal(0))
    return sums


def rows_not_read(shoot: Shoot) -> list[str]:
    """Rows of the receipts, or all of them, that cannot be used."""
    rows = [left for left in shoot.left_out if left.sheet == "Receipts"]
    return [
        f"{left.what} in row {left.place.row}" if left.place.row else left.what for left in rows
    ]


def not_counted(closed: Closed) -> list[str]:
    """What of the receipts is in no sum: rows that cannot be used, receipts without a rate."""
    counted = {(key(one.number), key(one.shop), one.day) for one in closed.receipts}
    without = {
        f'receipt "{line.receipt or line.shop or "without a number"}"': None
        for line in closed.shoot.receipts
        if (key(line.receipt), key(line.shop), line.day) not in counted
    }
    return [*rows_not_read(closed.shoot), *without]


def _supplied_of(one: ClosedIngredient) -> Supplied | None:
    lots = [(lot, whole) for lot, whole, _ in one.used_up.taken.from_lots if lot.supplied]
    fetched = (each for each in one.fetched if each.pack is not None and each.pack.supplied)
    supplied = total((*(Fraction(whole) for _, whole in lots), *(each.amount for each in fetched)))
    if not supplied:
        return None
    used = min(supplied, max(one.used, ZERO))
    return Supplied(one, supplied, used, supplied - used)


@dataclass(frozen=True, slots=True)
class Cash:
    """A float against what is left of it.

    Parameters
    ----------
    at_first : Decimal
        The float. [money]
    paid : Decimal
        What the receipts say was paid from it. [money]
    counted : Decimal, optional
        What was there at the end; ``None``: nobody counted. [money]
    """

    at_first: Decimal
    paid: Decimal
    counted: Decimal | None

    @property
    def due(self) -> Decimal:
        """What should be there. [money]"""
        return self.at_first - self.paid

    @property
    def difference(self) -> Decimal | None:
        """Counted less due: above 0 there is more than the receipts explain. [money]"""
        return None if self.counted is None else self.counted - self.due


def cash_of(closed: Closed) -> Cash | None:
    """The float of a shoot; ``None`` where the settings have none."""
    settings = closed.shoot.settings
    if settings.cash_float is None:
        return None
    paid = (line.paid for line in closed.lines if line.line.paid_from is PaidFrom.FLOAT)
    return Cash(settings.cash_float, sum(paid, Decimal(0)), settings.cash_counted)


def about_cash(closed: Closed) -> Iterator[Finding]:
    """Cash that does not agree, and what keeps it from being reconciled."""
    settings, cash = closed.shoot.settings, cash_of(closed)
    if cash is None or cash.counted is None:
        names = ("Cash counted", "Cash float")
        given, lacking = names if settings.cash_counted is not None else names[::-1]
        if cash is not None or settings.cash_counted is not None:
            yield messages.cash_half_given(settings.at(given), given, lacking)
        return
    difference = cash.counted - cash.due
    if not difference:
        return
    unknown = sum((one.paid for one in closed.lines if one.line.paid_from is None), Decimal(0))

    def money(value: Decimal) -> str:
        return money_text(value, settings.currency)

    yield messages.cash_differs(
        settings.at("Cash counted"),
        money(cash.counted),
        money(cash.due),
        money(abs(difference)),
        less=difference.is_signed(),
        unknown=money(unknown) if unknown else "",
    )
