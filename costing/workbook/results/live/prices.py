"""What packs and stock cost, as parts of a formula."""

from __future__ import annotations

from fractions import Fraction

from costing.buying.purchases import Purchase
from costing.buying.till import Bought
from costing.kitchen import Lot, Pack
from costing.quantities import Unit
from costing.shoot import Settings
from costing.workbook.results.live.conversion import Conversions
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.terms import (
    NOTHING,
    UNITY,
    Term,
    difference,
    least,
    most,
    number,
    product,
    ratio,
    total,
)


class Prices:
    """Prices and amounts of one ingredient's packs and lots.

    Parameters
    ----------
    purchase : Purchase
        What is bought of the ingredient.
    settings : Settings
        Whether prices include tax.
    unit : Unit
        The unit in which the sheet Needs shows the ingredient.
    inputs : Inputs
        Cells that may be referred to.
    """

    def __init__(self, purchase: Purchase, settings: Settings, unit: Unit, inputs: Inputs) -> None:
        self._purchase, self._settings, self._unit, self._inputs = purchase, settings, unit, inputs
        self._conversions = Conversions(purchase.need.ingredient, inputs)

    def of_one(self, unit: Unit) -> Term | None:
        """What one of a pack's unit is in the unit shown."""
        factor = self._conversions.bought_as(unit.dimension, self._purchase.need.unit.dimension)
        if factor is None:
            return None
        return product(factor, number(unit.size / self._unit.size))

    def amount(self, row: Pack | Lot, heading: str = "Amount") -> Term | None:
        """What a cell of Packs or On hand says, in the unit shown."""
        held = row.loose_step if isinstance(row, Pack) and heading != "Amount" else row.amount
        if held is None:
            return None
        factor = self.of_one(held.unit)
        cell = self._inputs.cell(row, heading, held.magnitude)
        return None if factor is None else product(cell, factor)

    def _price(self, pack: Pack) -> Term | None:
        """The price of a pack's Amount, with tax; ``None`` when no formula says it."""
        if pack.supplied:
            return NOTHING
        if pack.price is None:
            return None
        price = self._inputs.cell(pack, "Price", Fraction(pack.price))
        if self._settings.prices_include_tax:
            return price
        if pack.tax_rate is not None:
            rate = self._inputs.cell(pack, "Tax rate %", pack.tax_rate)
            return product(price, total([UNITY, rate]))
        return None if self._settings.tax_rate else price

    def _per_unit(self, pack: Pack) -> Term | None:
        price, amount = self._price(pack), self.amount(pack)
        return None if price is None or amount is None else ratio(price, amount)

    def average(self) -> Term | None:
        """Average price of the packs chosen, by the unit shown; 0 when none are."""
        lines = [bought for bought, _ in self._purchase.lines]
        if not lines:
            return NOTHING
        if len(lines) == 1:
            return self._per_unit(lines[0].pack)
        paid, brought = [], []
        for line in lines:
            heading = "Amount" if line.pack.loose_step is None else "Loose step"
            price, amount = self._per_unit(line.pack), self.amount(line.pack, heading)
            if price is None or amount is None:
                return None
            whole = self._price(line.pack) if line.pack.loose_step is None else None
            one = whole if whole is not None else product(price, amount)
            paid.append(product(one, number(line.count)))
            brought.append(product(amount, number(line.count)))
        return ratio(total(paid), total(brought))

    def _cheapest(self) -> Term | None:
        prices = [
            self._per_unit(offer.row)
            for offer in self._purchase.offers
            if offer.price is not None and not offer.supplied
        ]
        known = [price for price in prices if price is not None]
        return least(known) if known and len(known) == len(prices) else None

    def of_stock(self, used: Term) -> Term | None:
        """What the part used of the lots is worth, the lots taken in their order."""
        lots = [lot for lot, _, _ in self._purchase.taken.from_lots]
        if not lots:
            return NOTHING
        if not any(lot.supplied or lot.value is not None for lot in lots):
            price = self._cheapest()
            return None if price is None else product(used, price)
        worth, before = [], NOTHING
        for lot in lots:
            amount, price = self.amount(lot), self._of_lot(lot)
            if amount is None or price is None or not amount.value:
                return None
            part = used
            if len(lots) > 1:
                part = least([amount, most([NOTHING, difference(used, before)])])
            worth.append(product(part, price))
            before = total([before, amount])
        return total(worth)

    def _of_lot(self, lot: Lot) -> Term | None:
        """What one of the unit shown is worth in a lot."""
        if lot.supplied:
            return NOTHING
        if lot.value is None:
            return self._cheapest()
        amount = self.amount(lot)
        if amount is None or not amount.value:
            return None
        return ratio(self._inputs.cell(lot, "Value", Fraction(lot.value)), amount)

    def on_the_shelf(self, bought: Bought) -> Term | None:
        """The price of one pack or loose step as the till takes it, where no tax comes on top."""
        pack = bought.pack
        tax = self._settings.tax_rate if pack.tax_rate is None else pack.tax_rate
        if pack.price is None or pack.supplied or (tax and not self._settings.prices_include_tax):
            return None
        price = self._inputs.cell(pack, "Price", Fraction(pack.price))
        if pack.loose_step is None:
            return price
        step = self._inputs.cell(pack, "Loose step", pack.loose_step.magnitude)
        step = product(step, number(pack.loose_step.unit.size))
        whole = self._inputs.cell(pack, "Amount", pack.amount.magnitude)
        return ratio(product(price, step), product(whole, number(pack.amount.unit.size)))
