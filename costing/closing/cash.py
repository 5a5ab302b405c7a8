"""The cash that was there, what was paid from it, and what was counted at the end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from costing.closing import messages
from costing.closing.closed import Closed
from costing.findings import Finding
from costing.quantities import money_text
from costing.shoot.receipts import PaidFrom


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
    if cash is None or cash.counted is None or cash.difference is None:
        names = ("Cash counted", "Cash float")
        given, lacking = names if settings.cash_counted is not None else names[::-1]
        if cash is not None or settings.cash_counted is not None:
            yield messages.cash_half_given(settings.at(given), given, lacking)
        return
    if not cash.difference:
        return
    unknown = [line.paid for line in closed.lines if line.line.paid_from is None and line.paid]

    def money(value: Decimal) -> str:
        return money_text(value, settings.currency)

    yield messages.cash_differs(
        settings.at("Cash counted"),
        money(cash.counted),
        money(cash.due),
        money(abs(cash.difference)),
        less=cash.difference < 0,
        unknown=money(sum(unknown, Decimal(0))) if unknown else "",
    )
