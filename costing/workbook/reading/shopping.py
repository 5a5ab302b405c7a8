"""Packs, On hand and Shops as they are read."""

from __future__ import annotations

from typing import Any

from costing.kitchen import Lot, Pack, Shop
from costing.quantities import Amount, Measures, decimal_or_fraction
from costing.shoot import LeftOut
from costing.workbook.reading.amounts import (
    PLENTY,
    amount_above_0,
    amount_of,
    measure,
    unit_of_goods,
)
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.dates import day
from costing.workbook.reading.messages import amounts as messages
from costing.workbook.reading.messages import values
from costing.workbook.reading.money import money
from costing.workbook.reading.numbers import number, whole
from costing.workbook.reading.percents import tax_rate
from costing.workbook.reading.rows import Read, built

PACK = ("Ingredient", "Shop", "Amount", "Unit", "Loose step", "At most", "Supplied")
"""Columns of Packs without which a pack cannot be bought."""

PRICED = {"Price", "Tax rate %"}
"""Columns of Packs without which a pack can be bought, and nobody knows for how much."""

LOT = ("Ingredient", "Amount", "Unit", "Use by", "Opened", "Supplied")
"""Columns of On hand without which a lot cannot be counted."""


NOT_YET_FILLED = frozenset({"Ingredient", "Shop", "Note"})
"""A row of Packs with nothing else in it waits to be filled in; it counts as no pack."""


def packs(area: Area, measures: Measures | None, currency: str | None) -> Read:
    """The rows of the sheet Packs."""
    read = Read()
    for heading in sorted(area.doubtful & PRICED):
        place = area.place(area.header, heading)
        read.left_out.append(LeftOut(what=f'column "{heading}"', place=place))
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Ingredient",))
        if cells.blank or cells.cells.keys() <= NOT_YET_FILLED:
            continue
        pack = _pack(cells, measures, currency)
        if pack is None or not cells.failed.isdisjoint(PACK):
            read.leave_out("pack of", cells.row)
        else:
            read.rows.append(pack)
    return read


def _pack(cells: RowCells, measures: Measures | None, currency: str | None) -> Pack | None:
    """A row of Packs as a pack; ``None`` without an amount and a unit."""
    name = cells.required("Ingredient")
    held = amount_above_0(cells, "Amount", "an amount")
    measured_in = unit_of_goods(cells, "Unit", measures)
    if held is None and "Amount" not in cells.failed:
        missing = values.entry_missing(cells.at("Amount"), "what is in one pack, such as 250")
        cells.fail("Amount", missing)
    step = number(cells, "Loose step")
    if step is not None and step <= 0:
        shown = decimal_or_fraction(step)
        finding = values.number_out_of_range(cells.at("Loose step"), shown, "a step above 0")
        cells.fail("Loose step", finding)
    rate = tax_rate(cells, "Tax rate %")
    price = money(cells, "Price", currency)
    fields: dict[str, Any] = {
        "ingredient": name,
        "shop": cells.name("Shop"),
        "price": None if "Tax rate %" in cells.failed else price,
        "at_most": whole(cells, "At most"),
        "supplied": cells.yes("Supplied") or False,
        "tax_rate": rate,
        "price_date": day(cells, "Price date"),
        "note": cells.text("Note"),
    }
    if held is None or measured_in is None or "Loose step" in cells.failed or not name:
        return None
    fields["amount"] = Amount(held, measured_in)
    fields["loose_step"] = amount_of(step, measured_in)
    return built(Pack, cells, {"at_most": "At most"}, fields)


def lots(area: Area, measures: Measures | None, currency: str | None) -> Read:
    """The rows of the sheet On hand."""
    read = Read()
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Ingredient",))
        if cells.blank:
            continue
        lot = _lot(cells, measures, currency)
        if lot is None or not cells.failed.isdisjoint((*LOT, "Value")):
            read.leave_out("on hand", cells.row)
        else:
            read.rows.append(lot)
    return read


def _lot(cells: RowCells, measures: Measures | None, currency: str | None) -> Lot | None:
    """A row of On hand as a lot; of a range the lower end is counted."""
    name = cells.required("Ingredient")
    found = measure(cells, "Amount", word=PLENTY)
    measured_in = unit_of_goods(cells, "Unit", measures)
    if found.low is not None and found.low != found.high:
        low = decimal_or_fraction(found.low)
        shown = cells.text("Amount")
        cells.findings.append(messages.range_of_stock(cells.at("Amount"), shown, low))
    fields: dict[str, Any] = {
        "ingredient": name,
        "amount": amount_of(found.low, measured_in),
        "plenty": bool(found.word),
        "use_by": day(cells, "Use by"),
        "opened": day(cells, "Opened"),
        "value": money(cells, "Value", currency),
        "supplied": cells.yes("Supplied") or False,
        "note": cells.text("Note"),
    }
    return built(Lot, cells, {}, fields) if name else None


def shops(area: Area, currency: str | None) -> Read:
    """The rows of the sheet Shops."""
    read = Read()
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Shop",))
        if cells.blank:
            continue
        name = cells.required("Shop")
        fields: dict[str, Any] = {"name": name, "note": cells.text("Note")}
        for field, heading in (("visit_cost", "Visit cost"), ("minimum_spend", "Minimum spend")):
            sum_of_money = money(cells, heading, currency)
            if sum_of_money is not None:
                fields[field] = sum_of_money
        shop = built(Shop, cells, {}, fields) if name else None
        if shop is not None:
            read.rows.append(shop)
        if cells.failed:
            read.leave_out("shop", cells.row)
    return read
