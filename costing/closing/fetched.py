r"""What was bought of each ingredient, by its receipt lines, and the price of each pack as paid.

A line says how much by its Amount, or by its Packs and the row of Packs it is of: the one of its
shop, or of any shop where that has none; of several sizes those of the list, or the one whose price
gives what was paid. A line that the till would have taken at the list price is worth the list
price: a coin that a till rounds is no other price.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.buying.bought_units import in_unit_bought
from costing.buying.purchases import Purchase
from costing.buying.till import exact_price, money_digits, tax_rate
from costing.closing import messages
from costing.closing.receipts import PaidLine, packs_of
from costing.findings import Finding
from costing.kitchen import Pack, ReceiptTag
from costing.quantities import ZERO, Dimension, exact_money, money_text, round_money
from costing.shoot import Purpose, Settings, Shoot

_RETURNED = re.compile(
    r"\b(?:return|refund|(?:taken|brought) back|rückgabe|zurück|retour|rendu|devuelt|devolu"
    r"|reso\b)",
    re.IGNORECASE,
)
"""In the Note of a line that is no discount, but goods that went back."""

PLANNED_FOR = {ReceiptTag.TEST: Purpose.TEST, ReceiptTag.CREW: Purpose.CREW_MEAL}
"""Tags of goods that are of the plan where it has a shot of that purpose which takes of them."""


@dataclass(frozen=True, slots=True)
class Fetched:
    """One receipt line of an ingredient of the plan, or packs of the list that stand in for it.

    Parameters
    ----------
    amount : Fraction
        How much; below 0 where it was taken back. [base unit the ingredient is bought in]
    worth : Fraction
        What was paid for it, tax included, at the list price where that is what was paid. [money]
    pack : Pack, optional
        The row of Packs it is of; ``None``: of none.
    line : PaidLine, optional
        Of the receipt; ``None`` for packs that stand in.
    price_known : bool
        Whether their price is; else they are worth nothing known.
    discount : Fraction
        Its part of a discount on the ingredient, in ``worth`` already; 0 or less. [money]
    """

    amount: Fraction
    worth: Fraction
    pack: Pack | None = None
    line: PaidLine | None = None
    price_known: bool = True
    discount: Fraction = ZERO

    @property
    def price(self) -> Fraction:
        """What it costs without the discount, which the next shop may not give. [money]"""
        return self.worth - self.discount


def is_planned(tag: ReceiptTag, purchase: Purchase) -> bool:
    """Whether a line with that tag was bought for shots of the plan."""
    if tag is ReceiptTag.CAMERA:
        return True
    purpose = PLANNED_FOR.get(tag)
    return any(of_shots == str(purpose) for _, _, of_shots in purchase.need.uses)


def fetched_of(
    purchase: Purchase, lines: Sequence[PaidLine], shoot: Shoot, findings: list[Finding]
) -> tuple[Fetched, ...] | None:
    """What was bought of an ingredient by its lines.

    A discount on it, which says no amount, is shared over its other lines by what they cost.

    ``None`` where a line, or none, says how much was bought.
    """
    found: list[Fetched] = []
    discounts: list[PaidLine] = []
    unknown = False
    for line in lines:
        one = _fetched(line, purchase, shoot, findings)
        if one is not None:
            found.append(one)
        elif line.line.is_discount:
            discounts.append(line)
            if _RETURNED.search(line.line.note):
                said = messages.receipt_return_without_amount
                findings.append(said(line.line.at("Packs"), line.line.ingredient))
        else:
            unknown = True
    if unknown or not found:
        return None
    if sum((one.amount for one in found), ZERO) < 0:
        last = [one.line.line for one in found if one.line and one.amount < 0][-1]
        findings.append(messages.receipt_returns_exceed(last.at("Packs"), last.ingredient))
    whole = sum((one.worth for one in found), ZERO)
    discount = sum((exact_money(line.paid) for line in discounts), ZERO)
    if discount and not whole:
        row, money = discounts[0].line, money_text(-discount, shoot.settings.currency)
        findings.append(messages.discount_on_nothing(row.at("Paid"), row.ingredient, money))
    elif discount:
        parts = [(one, one.worth * discount / whole) for one in found]
        found = [replace(one, worth=one.worth + part, discount=part) for one, part in parts]
    return tuple(found)


def as_listed(
    purchase: Purchase, settings: Settings, *, supplied: bool = False
) -> Iterable[Fetched]:
    """The packs of the list at their prices.

    ``supplied``: only those that are given free.
    """
    for bought in purchase.lines:
        price = exact_price(bought.pack, settings)
        if bought.pack.supplied or not supplied:
            known = price is not None
            worth = Fraction(price) * bought.count if price is not None else ZERO
            yield Fetched(Fraction(bought.brings), worth, bought.pack, price_known=known)


def _fetched(
    line: PaidLine, purchase: Purchase, shoot: Shoot, findings: list[Finding]
) -> Fetched | None:
    """How much one line brought, and of which row of Packs; ``None`` where it does not say."""
    row = line.line
    if row.packs == 0:
        return Fetched(ZERO, exact_money(line.paid), None, line)
    offers = {id(offer.pack): Fraction(offer.amount) for offer in purchase.offers}
    candidates = [pack for pack in packs_of(row, shoot.packs) if id(pack) in offers]
    found: tuple[Fraction, Pack | None] | None = None
    if row.amount is not None and not _weighs_pieces(line, purchase):
        found = _by_amount(line, purchase, [(one, offers[id(one)]) for one in candidates], findings)
    elif row.packs is not None:
        pack = _of_packs(line, row.packs, purchase, candidates, offers, shoot.settings)
        if pack is not None:
            found = row.packs * offers[id(pack)], pack
        else:
            sizes = list(dict.fromkeys(str(one.unit_amount) for one in candidates))
            findings.append(
                messages.receipt_pack_unclear(row.at("Packs"), row.ingredient, row.packs, sizes)
            )
    elif line.paid >= 0:  # below 0 it is a discount
        findings.append(messages.receipt_amount_missing(row.at("Packs"), row.ingredient))
    if found is None:
        return None
    amount, pack = found
    worth = _worth(line, amount, pack, offers, shoot.settings)
    return Fetched(-amount if line.paid < 0 else amount, worth, pack, line)


def _weighs_pieces(line: PaidLine, purchase: Purchase) -> bool:
    """Whether a line counts packs of pieces and says what they weigh together."""
    row, dimension = line.line, purchase.need.unit.dimension
    return (
        dimension is Dimension.COUNT
        and row.packs is not None
        and row.amount is not None
        and row.amount.dimension is not dimension
    )


def _by_amount(
    line: PaidLine,
    purchase: Purchase,
    offers: Sequence[tuple[Pack, Fraction]],
    findings: list[Finding],
) -> tuple[Fraction, Pack | None] | None:
    """What a line with an amount brought: that for all of it, or in each of its packs."""
    row = line.line
    if row.amount is None:
        return None
    unclear = messages.closing_unit_unclear
    brought = in_unit_bought(row.amount, purchase.need, row.at("Amount"), findings, unclear)
    if brought is None:
        return None
    amount = Fraction(brought)
    pack = _of_amount(amount, row.packs, offers)
    if row.packs is None or row.packs == 1:
        return amount, pack
    if pack is not None:
        in_each = any(one is pack and size == amount for one, size in offers)
        return (amount * row.packs if in_each else amount), pack
    place, typed = row.at("Amount"), str(row.amount)
    findings.append(messages.receipt_packs_and_amount(place, row.ingredient, row.packs, typed))
    return amount, None


def _of_amount(
    amount: Fraction, packs: Fraction | None, offers: Sequence[tuple[Pack, Fraction]]
) -> Pack | None:
    """The row of Packs that an amount is of: loose goods, or whole packs of one size."""
    sizes = {size for _, size in offers}
    if packs is not None:
        fitting = [pack for pack, size in offers if size * packs == amount or size == amount]
    else:
        # loose goods first, of which any amount may be; then one pack, then several of one size
        fitting = [pack for pack, _ in offers if pack.loose_step is not None]
        fitting = fitting or [pack for pack, size in offers if size == amount]
        if not fitting and len(sizes) == 1:
            fitting = [pack for pack, size in offers if (amount / size).denominator == 1]
    return fitting[0] if len(fitting) == 1 else None


def _of_packs(
    line: PaidLine,
    count: Fraction,
    purchase: Purchase,
    candidates: Sequence[Pack],
    offers: dict[int, Fraction],
    settings: Settings,
) -> Pack | None:
    """The row of Packs that a number of packs is of; ``None`` where it may be several."""
    listed = {id(bought.pack) for bought in purchase.lines}
    as_priced = [pack for pack in candidates if _is_list_price(line, pack, count, settings)]
    as_listed = [pack for pack in candidates if id(pack) in listed]
    # what was paid goes before the list: it may be another size than was planned
    for fitting in (candidates, as_priced, as_listed):
        if fitting and len({offers[id(one)] for one in fitting}) == 1:
            # of rows alike in size the one that costs so much, then the one on the list
            return min(fitting, key=lambda one: (one not in as_priced, id(one) not in listed))
    return None


def _worth(
    line: PaidLine,
    amount: Fraction,
    pack: Pack | None,
    offers: dict[int, Fraction],
    settings: Settings,
) -> Fraction:
    """What was paid for a line: the exact list price where the till has taken that. [money]"""
    paid = exact_money(line.paid)
    if pack is None or line.currency:
        return paid
    price, count = exact_price(pack, settings), amount / offers[id(pack)]
    as_taxed = line.added is not settings.prices_include_tax and (
        not line.added or line.rate == tax_rate(pack, settings)
    )
    if price is not None and as_taxed and _is_list_price(line, pack, count, settings):
        worth = Fraction(price) * count
        return -worth if line.paid < 0 else worth
    return paid


def _is_list_price(line: PaidLine, pack: Pack, count: Fraction, settings: Settings) -> bool:
    """Whether a receipt prints for a line what a till takes for so many of a row of Packs."""
    price = pack.unit_price
    return price is not None and (
        round_money(price * count, money_digits(settings)) == abs(line.line.paid)
    )


def average_price(fetched: Iterable[Fetched]) -> Fraction | None:
    """What one base unit cost over all lines; ``None``: none was bought, or not known. [money]"""
    lines = list(fetched)
    amount = sum((one.amount for one in lines), ZERO)
    if amount <= 0 or not all(one.price_known for one in lines):
        return None
    return sum((one.worth for one in lines), ZERO) / amount
