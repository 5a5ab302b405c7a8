"""Packs for the next shoot: prices as they were paid, with the day of the receipt."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from costing.buying.till import exact_price, money_digits, tax_rate
from costing.closing.closed import Closed, ClosedIngredient
from costing.closing.fetched import Fetched
from costing.closing.next_shoot import fetched_on
from costing.closing.receipts import PaidLine
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import Amount, round_money
from costing.shoot import Shoot

MORE_DIGITS = 2
"""Of a price for a pack behind the smallest coin: two packs for 3.79 are 1.895 each. [digit]"""


def packs_as_paid(closed: Closed, packs: Sequence[Pack]) -> tuple[Pack, ...]:
    """The rows of Packs with the prices of the receipts and their day, and rows for new packs.

    Of a pack on several receipts the latest price stands.

    Parameters
    ----------
    closed : Closed
        The shoot after its end.
    packs : sequence of Pack
        The rows as they were typed, in the order of the shoot.
    """
    shoot = closed.shoot
    typed = {id(one): pack for one, pack in zip(shoot.packs, packs, strict=False)}
    new: list[Pack] = []
    rows = [
        (one, row, row.line)
        for one in closed.ingredients
        for row in one.fetched
        if row.line is not None and row.amount > 0 and row.worth > 0
    ]
    rows.sort(key=lambda found: fetched_on(found[1], shoot) or date.min)
    for one, row, line in rows:
        if row.pack is None or not _same_shop(row.pack, line):
            new.append(_new_pack(one, row, line, shoot))
        elif id(row.pack) in typed:
            price = _price_paid(row.pack, one, row, shoot)
            day = fetched_on(row, shoot) or row.pack.price_date
            changes = {"price_date": day} | ({} if price is None else {"price": price})
            typed[id(row.pack)] = typed[id(row.pack)].model_copy(update=changes)
    return (*typed.values(), *new)


def _same_shop(pack: Pack, line: PaidLine) -> bool:
    """Whether a receipt is from the shop of a row of Packs, as far as both say it."""
    return not pack.shop or not line.line.shop or key(pack.shop) == key(line.line.shop)


def _price_paid(pack: Pack, one: ClosedIngredient, row: Fetched, shoot: Shoot) -> Decimal | None:
    """The price of a pack as its row says it; ``None`` where it was paid as listed."""
    brings = next(Fraction(offer.amount) for offer in one.planned.offers if offer.pack is pack)
    each = row.worth / row.amount * brings
    if each == exact_price(pack, shoot.settings):
        return None
    steps = pack.amount.base / pack.unit_amount.base
    return _listed(each * steps, row.line, tax_rate(pack, shoot.settings), shoot)


def _new_pack(one: ClosedIngredient, row: Fetched, line: PaidLine, shoot: Shoot) -> Pack:
    """A row for what was bought and is on no row of Packs."""
    count = line.line.packs or Fraction(1)
    rate = line.line.tax_rate
    if rate is None and (shoot.settings.prices_include_tax or line.rate != shoot.settings.tax_rate):
        rate = line.rate  # that of its other packs, with which the receipt was reckoned
    return Pack(
        ingredient=one.name,
        shop=line.line.shop,
        amount=Amount(row.amount / count / one.unit.size, one.unit),
        price=_listed(row.worth / count, line, shoot.settings.tax_rate, shoot),
        tax_rate=rate,
        price_date=fetched_on(row, shoot),
    )


def _listed(paid: Fraction, line: PaidLine | None, rate: Fraction, shoot: Shoot) -> Decimal:
    """What was paid as a row of Packs says it: with tax or without, by the setting."""
    settings = shoot.settings
    if not settings.prices_include_tax:
        if line is not None and line.tax is not None and line.paid:
            paid *= 1 - Fraction(line.tax) / Fraction(line.paid)
        else:
            paid /= 1 + rate
    return round_money(paid, money_digits(settings) + MORE_DIGITS)
