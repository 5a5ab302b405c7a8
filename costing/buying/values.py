"""What is bought, used and left is worth; the books balance to the smallest coin."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from costing.buying import messages
from costing.buying.shopping import Purchase
from costing.buying.till import exact_price, money_digits
from costing.findings import Finding
from costing.kitchen import Lot
from costing.names import key
from costing.quantities import (
    ZERO,
    exact_money,
    is_traced,
    least,
    round_money,
    total,
    untraced_choice,
)
from costing.shoot import LeftOut, Settings, Shoot, Shot


@dataclass(slots=True)
class Values:
    """What one ingredient is worth; a part that is unknown is named and left out.

    Parameters
    ----------
    bought : Decimal
        What the till takes, tax included. [money]
    tax : Decimal
        How much of it is tax. [money]
    used : Fraction
        Need as bought, spoilage allowance included, at the average price of the packs chosen for
        what is bought and at the lot's value for what is on hand; exact. [money]
    on_hand_used : Fraction
        The part of ``used`` that comes from stock. [money]
    unit_price : Fraction, optional
        Average price of the packs chosen, before till rounding, with tax.
        [money per base unit]
    bought_missing, used_missing, stock_missing : list of str
        What is left out, in words.
    assumed : list of (Lot, Fraction)
        Lots without a value of their own, and the price they are valued at.
        [money per base unit]
    """

    bought: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    used: Fraction = ZERO
    on_hand_used: Fraction = ZERO
    unit_price: Fraction | None = None
    bought_missing: list[str] = field(default_factory=list)
    used_missing: list[str] = field(default_factory=list)
    stock_missing: list[str] = field(default_factory=list)
    assumed: list[tuple[Lot, Fraction]] = field(default_factory=list)

    @property
    def used_unknown(self) -> bool:
        """Whether nothing is known of what is used."""
        return bool(self.used_missing) and not self.used

    @property
    def bought_unknown(self) -> bool:
        """Whether nothing is known of what is bought."""
        return bool(self.bought_missing) and not self.bought

    @property
    def left(self) -> Fraction:
        """Bought and not used: the figure that balances the books. [money]"""
        return exact_money(self.bought) + self.on_hand_used - self.used


def values_of(purchase: Purchase, settings: Settings) -> tuple[Values, list[Finding]]:
    """What one ingredient's purchase is worth.

    Returns
    -------
    tuple of Values and list of Finding
        Findings name the lots that nobody can value.
    """
    values = Values()
    name = purchase.need.ingredient.name
    for why in purchase.need.unknown:
        values.bought_missing.append(why)
        values.used_missing.append(why)
    _bought(purchase, settings, values, name)
    findings = _on_hand(purchase, values, name)
    return values, findings


def _bought(purchase: Purchase, settings: Settings, values: Values, name: str) -> None:
    """Add what the tills take for a purchase, and what of it is used; say what has no price."""
    if purchase.short:
        why = f"{purchase.text(purchase.short)} of {name} that no pack covers"
        values.bought_missing.append(why)
        if purchase.wanted > purchase.bought:
            values.used_missing.append(why)
    elif purchase.wanted > purchase.bought:
        beyond = purchase.text(purchase.wanted - purchase.bought)
        values.used_missing.append(f"{beyond} of {name} that Times takes beyond what is covered")
    price = ZERO
    for bought in purchase.lines:
        paid = bought.paid
        one = exact_price(bought.pack, settings)
        if paid.cost is None or one is None:
            why = f"the price of {bought.count} x {bought.pack.unit_amount} of {name}"
            values.bought_missing.append(why)
            values.used_missing.append(why)
            continue
        values.bought += paid.cost
        values.tax += paid.tax
        price += one * bought.count
    # before till rounding, so that the price of a gram does not change with the number of packs
    if purchase.bought:
        values.unit_price = price / purchase.bought
        values.used += least(purchase.wanted, purchase.bought) * values.unit_price


def _on_hand(purchase: Purchase, values: Values, name: str) -> list[Finding]:
    """Add the value of what is used from stock; a lot without one is worth its price."""
    findings = []
    for lot, whole, used in purchase.taken.from_lots:
        if lot.supplied or not (used or is_traced(used)):
            continue
        if not whole:  # worth nothing today; of more than nothing no formula would say the worth
            values.on_hand_used += untraced_choice(used)
            continue
        price = lot_price(lot, whole, purchase)
        if price is None and not used:
            continue
        if price is None:
            if not purchase.offers:  # else the missing price has its finding
                findings.append(messages.value_of_stock_unknown(lot.at("Value"), name))
            values.stock_missing.append(f"the value of {name} on hand")
            continue
        if lot.value is None:
            values.assumed.append((lot, price))
        values.on_hand_used += price * used
    plenty = purchase.taken.plenty
    if plenty is not None and not plenty.supplied:
        values.stock_missing.append(f"the value of {name}, of which there is plenty")
    values.used_missing += values.stock_missing
    values.used += values.on_hand_used
    return findings


def lot_price(lot: Lot, whole: Fraction, purchase: Purchase) -> Fraction | None:
    """What a unit of a lot is worth: nothing when supplied, else its value, else the cheapest pack.

    Returns
    -------
    Fraction or None
        ``None`` when it has no value and there is no pack to value it by. [money per base unit]
    """
    if lot.supplied:
        return ZERO
    if lot.value is not None:
        return exact_money(lot.value) / whole
    return cheapest_price(purchase)


def cheapest_price(purchase: Purchase) -> Fraction | None:
    """Least price per base unit over the packs that cost something to get.

    Returns
    -------
    Fraction or None
        With tax, before rounding; ``None`` without a priced pack. [money per base unit]
    """
    prices = [
        offer.price / offer.amount
        for offer in purchase.offers
        if offer.price is not None and not offer.supplied
    ]
    return least(*prices) if prices else None


@dataclass(frozen=True, slots=True)
class Totals:
    """The whole shoot's money, rounded to the smallest coin so that the books balance.

    Parameters
    ----------
    bought, tax, used, on_hand_used, left : Decimal
        ``bought + on_hand_used == used + left``. [money]
    visits : Decimal
        What visits to shops and deliveries cost, beside what is bought. [money]
    bought_missing, used_missing : tuple of str
        What the totals leave out, in words; empty when they are complete.
    stock_missing : tuple of str
        What of ``used_missing`` is the value of what is on hand.

    Examples
    --------
    >>> import costing
    >>> costing.estimate(costing.Shoot()).totals.paid
    Decimal('0.00')
    """

    bought: Decimal
    tax: Decimal
    used: Decimal
    on_hand_used: Decimal
    left: Decimal
    bought_missing: tuple[str, ...]
    used_missing: tuple[str, ...]
    visits: Decimal = Decimal(0)
    stock_missing: tuple[str, ...] = ()

    @property
    def paid(self) -> Decimal:
        """Bought value, visits and deliveries together. [money]"""
        return self.bought + self.visits

    @property
    def missing(self) -> tuple[str, ...]:
        """All that any total leaves out, each once."""
        return tuple(dict.fromkeys((*self.bought_missing, *self.used_missing)))

    @property
    def left_missing(self) -> tuple[str, ...]:
        """What the left value leaves out: stock without a value is used and on hand alike."""
        return tuple(one for one in self.missing if one not in self.stock_missing)


def totals_of(
    values: Sequence[Values],
    shoot: Shoot,
    *,
    visits: Mapping[str, Decimal],
    named: Collection[str],
) -> Totals:
    """Totals over all ingredients; what could not be counted is named as left out.

    Parameters
    ----------
    visits : mapping of str to Decimal
        What visits and deliveries cost, by shop. [money]
    named : collection of str
        Keys of ingredients that are named as left out: rows of theirs that could not be read are
        the cause of it and no second lack.
    """
    digits = money_digits(shoot.settings)
    bought = round_money(exact_money(sum((v.bought for v in values), Decimal(0))), digits)
    used = round_money(total(v.used for v in values), digits)
    on_hand = round_money(total(v.on_hand_used for v in values), digits)
    rows = (row for row in shoot.left_out if row.in_totals and not told_of(row, named))
    not_counted = (*rows, *shots_not_counted(shoot, shoot.shots))
    left_out = [f"{row.what} ({row.place})" for row in not_counted]
    if not shoot.left_out_on("Recipes") and not any(line.ingredient for line in shoot.lines):
        left_out.append("every dish: there are no recipe lines")
    return Totals(
        bought=bought,
        tax=round_money(exact_money(sum((v.tax for v in values), Decimal(0))), digits),
        used=used,
        on_hand_used=on_hand,
        left=round_money(exact_money(bought + on_hand - used), digits),
        bought_missing=_once([*left_out, *(m for v in values for m in v.bought_missing)]),
        used_missing=_once([*left_out, *(m for v in values for m in v.used_missing)]),
        visits=round_money(exact_money(sum(visits.values(), Decimal(0))), digits),
        stock_missing=_once([m for v in values for m in v.stock_missing]),
    )


def told_of(row: LeftOut, named: Collection[str]) -> bool:
    """Whether a row that could not be used is the cause of a lack that is named."""
    return row.sheet in ("Packs", "Ingredients") and key(row.name) in named


def shots_not_counted(shoot: Shoot, shots: Iterable[Shot]) -> Iterator[LeftOut]:
    """Those of a dish without a recipe, and steps that a dish does not have."""
    for shot in shots:
        if not shot.batch * (shot.most or shot.times):
            continue
        if not shoot.is_dish(shot.dish):
            yield LeftOut(what=f'shot "{shot.label}"', place=shot.at("Dish"))
            continue
        known = {line.step for line in shoot.recipes[shot.dish]}
        for step in shot.steps or ():
            if step not in known:
                yield LeftOut(what=f'step {step} of shot "{shot.label}"', place=shot.at("Steps"))


def shots_left_out(shoot: Shoot) -> list[LeftOut]:
    """Shots, and steps of shots, that the totals do not count, in the order of the plan."""
    unread = [one for one in shoot.left_out if one.in_totals and one.sheet == "Shoot plan"]
    found = [*unread, *shots_not_counted(shoot, shoot.shots)]
    return sorted(found, key=lambda one: one.place.row or 0)


def _once(words: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
