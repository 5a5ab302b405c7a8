"""From needs to what is bought: net of stock, with spoilage, in the cheapest packs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar

from costing.buying import messages
from costing.buying.basket import Mixtures, Offer, cheapest_mixtures
from costing.buying.need import Need, Needs
from costing.buying.on_hand import Taken, taken_from_stock
from costing.buying.shops import Tied, packs_from_fewest_shops
from costing.buying.till import Bought, TillLine, exact_price, till_lines
from costing.findings import Finding, Place
from costing.kitchen import Lot, Pack
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.names import key
from costing.quantities import Amount, decimal_or_fraction
from costing.shoot.defaults import days_since, shopping_date

T = TypeVar("T")
ZERO = Fraction(0)


@dataclass(slots=True)
class Purchase:
    """What is bought of one ingredient, and why.

    Parameters
    ----------
    need : Need
        As bought, by episode.
    taken : Taken
        What stock covers of it.
    net : Fraction
        Need that stock does not cover. [base unit of ``need.unit``]
    allowance : Fraction
        Bought besides, to be lost before the shoot. [base unit of ``need.unit``]
    offers : list of (Pack, Fraction, Fraction or None)
        Rows of Packs, what one brings in base units, and its exact price with tax.
    lines : list of (Bought, Fraction)
        What is bought, and what it brings.
    till : list of TillLine
        What the till takes for each line.
    short : Fraction
        What the shops do not have. [base unit of ``need.unit``]
    """

    need: Need
    taken: Taken
    net: Fraction = ZERO
    allowance: Fraction = ZERO
    offers: list[tuple[Pack, Fraction, Fraction | None]] = field(default_factory=list)
    lines: list[tuple[Bought, Fraction]] = field(default_factory=list)
    till: list[TillLine] = field(default_factory=list)
    short: Fraction = ZERO

    @property
    def wanted(self) -> Fraction:
        """To be bought, spoilage allowance included. [base unit of ``need.unit``]"""
        return self.net + self.allowance

    @property
    def wanted_with_stock(self) -> Fraction:
        """All that must be there, stock and spoilage allowance included.

        [base unit of ``need.unit``]
        """
        return self.need.total + self.allowance

    @property
    def bought(self) -> Fraction:
        """What all lines bring. [base unit of ``need.unit``]"""
        return sum((amount for _, amount in self.lines), ZERO)

    @property
    def in_unit(self) -> Fraction:
        """What one of ``need.unit`` is in base units."""
        return self.need.unit.size

    def text(self, value: Fraction) -> str:
        """An amount in the unit the ingredient is bought in."""
        return str(Amount(value / self.in_unit, self.need.unit))


class Shopping:
    """The purchases of a whole shoot, in the order of the recipes.

    Parameters
    ----------
    needs : Needs
        What the shots need.
    """

    def __init__(self, needs: Needs) -> None:
        self.shoot = needs.shoot
        self.findings: list[Finding] = []
        bought = shopping_date(self.shoot)
        self._days = {e.name: days_since(bought, e) for e in self.shoot.episodes}
        packs = _by_name((pack.ingredient, pack) for pack in self.shoot.packs)
        lots = _by_name((lot.ingredient, lot) for lot in self.shoot.lots)
        self.purchases = [
            self._purchase(need, packs.get(name, []), lots.get(name, []))
            for name, need in _in_recipe_order(needs)
        ]
        self._choose()
        self._pay()

    def _purchase(self, need: Need, packs: Sequence[Pack], lots: Sequence[Lot]) -> Purchase:
        taken = taken_from_stock(need, lots, self.shoot.episodes)
        self.findings.extend(taken.findings)
        purchase = Purchase(need, taken)
        for episode, wanted in need.as_bought.items():
            net = wanted - taken.by_episode.get(episode, ZERO)
            kept = (1 - need.ingredient.spoilage) ** self._days[episode]
            purchase.net += net
            purchase.allowance += net / kept - net
        for pack in packs:
            self._offer(purchase, pack)
        return purchase

    def _offer(self, purchase: Purchase, pack: Pack) -> None:
        need = purchase.need
        try:
            amount = bought_as(pack.unit_amount, need.unit.dimension, need.ingredient)
        except Unconvertible as fault:
            self.findings.append(
                messages.pack_unit_unclear(
                    pack.at("Unit"),
                    need.ingredient.name,
                    str(pack.amount),
                    need.unit.name,
                    fault.heading,
                )
            )
            return
        price = exact_price(pack, self.shoot.settings)
        if price is None:
            self.findings.append(messages.price_missing(pack.at("Price"), need.ingredient.name))
        purchase.offers.append((pack, amount, price))

    def _choose(self) -> None:
        """Take the cheapest packs of each ingredient, together from as few shops as may be."""
        open_purchases = []
        for purchase in self.purchases:
            if purchase.wanted <= 0:
                continue
            if not purchase.offers:
                self._without_a_pack(purchase)
                continue
            offers = _offers(purchase)
            mixtures = cheapest_mixtures(purchase.wanted, offers)
            if not mixtures.covered and any(price is None for _, _, price in purchase.offers):
                offers = _offers(purchase, unpriced=True)
                mixtures = cheapest_mixtures(purchase.wanted, offers)
            self._tell(purchase, mixtures)
            open_purchases.append((purchase, Tied(offers, mixtures)))
        vectors = packs_from_fewest_shops([tied for _, tied in open_purchases])
        for (purchase, _), vector in zip(open_purchases, vectors, strict=True):
            purchase.lines = [
                (Bought(pack, count), amount * count)
                for (pack, amount, _), count in zip(purchase.offers, vector, strict=True)
                if count
            ]
            purchase.short = max(ZERO, purchase.wanted - purchase.bought)
            if purchase.short:
                self._tell_short(purchase)

    def _pay(self) -> None:
        lines = [line for purchase in self.purchases for line, _ in purchase.lines]
        paid = iter(till_lines(lines, self.shoot.settings))
        for purchase in self.purchases:
            purchase.till = [next(paid) for _ in purchase.lines]

    def _without_a_pack(self, purchase: Purchase) -> None:
        purchase.short = purchase.wanted
        name = purchase.need.ingredient.name
        self.findings.append(messages.pack_missing(Place("Packs", name=name), name))

    def _tell(self, purchase: Purchase, mixtures: Mixtures) -> None:
        if mixtures.gap:
            pack = purchase.offers[0][0]
            self.findings.append(
                messages.basket_not_proven(
                    pack.at("Ingredient"),
                    purchase.need.ingredient.name,
                    decimal_or_fraction(mixtures.gap),
                )
            )

    def _tell_short(self, purchase: Purchase) -> None:
        limits = [pack.where("At most") for pack, _, _ in purchase.offers]
        self.findings.append(
            messages.shops_have_too_little(
                purchase.offers[0][0].at("At most"),
                purchase.need.ingredient.name,
                purchase.text(purchase.short),
                limits,
            )
        )


def _offers(purchase: Purchase, *, unpriced: bool = False) -> list[Offer]:
    """What the search may take; packs without a price only when no other will do.

    With ``unpriced`` every pack is taken for free, so that the fewest left over and the fewest
    packs decide.
    """
    priced = any(price is not None for _, _, price in purchase.offers)
    offers = []
    for pack, amount, price in purchase.offers:
        limit = pack.at_most
        if price is None and priced and not unpriced:
            limit = 0
        cost = ZERO if unpriced or price is None else price
        offers.append(Offer(amount, cost, limit, key(pack.shop)))
    return offers


def _by_name(pairs: Iterable[tuple[str, T]]) -> dict[str, list[T]]:
    by_name: dict[str, list[T]] = {}
    for name, row in pairs:
        by_name.setdefault(key(name), []).append(row)
    return by_name


def _in_recipe_order(needs: Needs) -> list[tuple[str, Need]]:
    order: dict[str, int] = {}
    for line in needs.shoot.lines:
        order.setdefault(key(line.ingredient), len(order))
    return sorted(needs.by_ingredient.items(), key=lambda pair: order[pair[0]])
