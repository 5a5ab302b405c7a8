"""Formulas of the sheet To buy: cost, bought and left over of the packs that were chosen."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from costing.buying.books import Books
from costing.buying.till import money_digits
from costing.report.tables import Row
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.needs import shown_unit
from costing.workbook.results.live.prices import Prices
from costing.workbook.results.live.spots import Spot, can_be_looked_up
from costing.workbook.results.live.terms import Term, product, ratio, rounded, total


def follow_to_buy(books: Books, spot: Spot, needs: Spot, inputs: Inputs) -> None:
    """Find what each row says by itself; what it looks up in Needs follows later."""
    digits = money_digits(books.shoot.settings)
    for row, (number, line) in enumerate(_purchases_of_rows(books, spot)):
        if line is None:
            continue
        purchase = books.purchases[number]
        prices = _prices(books, number, needs, inputs)
        bought, _ = purchase.lines[line]
        heading = "Amount" if bought.pack.loose_step is None else "Loose step"
        one = inputs.cell(bought.pack, heading, bought.pack.unit_amount.magnitude)
        spot.follow(row, "pack_amount", one)
        packs, amount = spot.cell(row, "packs"), spot.cell(row, "pack_amount")
        if packs is None or amount is None:
            continue
        spot.follow(row, "bought", product(packs, amount))
        price = prices.on_the_shelf(bought)
        if price is not None:
            spot.follow(row, "cost", rounded(product(packs, price), digits))


def follow_needs_from_to_buy(books: Books, spot: Spot, needs: Spot, inputs: Inputs) -> None:
    """Let what a row says of the whole ingredient follow the sheet Needs."""
    for row, (number, line) in enumerate(_purchases_of_rows(books, spot)):
        purchase = books.purchases[number]
        unit = purchase.need.unit
        if line is not None:
            unit = purchase.lines[line][0].pack.unit_amount.unit
        looked_up = _LookedUp(spot, row, needs, number)
        factor = _prices(books, number, needs, inputs).of_one(unit)
        if factor is None or not can_be_looked_up(purchase.need.ingredient.name):
            continue
        for key, columns in (
            ("needed", ("as_bought_need", "spoilage_allowance")),
            ("from_on_hand", ("on_hand_used",)),
            ("left_over", ("left_over",)),
        ):
            whole = looked_up.sum_of(columns)
            if whole is not None:
                spot.follow(row, key, ratio(whole, factor))


def _prices(books: Books, number: int, needs: Spot, inputs: Inputs) -> Prices:
    """Prices and amounts of one purchase, in the unit in which Needs shows it."""
    purchase = books.purchases[number]
    unit = shown_unit(purchase.need, needs.table.rows[number])
    return Prices(purchase, books.shoot.settings, unit, inputs)


class _LookedUp:
    """Cells of a row of Needs, found by the ingredient's name wherever the rows are sorted to."""

    def __init__(self, spot: Spot, row: int, needs: Spot, number: int) -> None:
        self._name, self._needs, self._number = spot.address(row, "ingredient"), needs, number

    def sum_of(self, columns: Sequence[str]) -> Term | None:
        """The sum of cells that all follow; those that are 0 whatever happens are left out."""
        match = f"MATCH({self._name},{self._needs.to_look_in('ingredient')},0)"
        terms = []
        for key in columns:
            at = (self._number, key)
            value = self._needs.value(*at)
            if at not in self._needs.followed or value is None:
                return None
            if value or at in self._needs.formulas:
                terms.append(Term(f"INDEX({self._needs.to_look_in(key)},{match})", value))
        return total(terms)


def _purchases_of_rows(books: Books, spot: Spot) -> list[tuple[int, int | None]]:
    """For each row of To buy the number of its purchase, and of its line unless it has no pack."""
    waiting: dict[tuple[object, ...], deque[tuple[int, int | None]]] = {}
    for number, purchase in enumerate(books.purchases):
        name = purchase.need.ingredient.name
        for line, (bought, _) in enumerate(purchase.lines):
            amount = bought.pack.unit_amount
            known = (name, bought.pack.shop, bought.count, amount.magnitude, amount.unit.name)
            waiting.setdefault(known, deque()).append((number, line))
        waiting.setdefault((name, None), deque()).append((number, None))
    return [waiting[_key(row)].popleft() for row in spot.table.rows]


def _key(row: Row) -> tuple[object, ...]:
    if row["packs"] is None:
        return row["ingredient"], None
    return tuple(row[key] for key in ("ingredient", "shop", "packs", "pack_amount", "unit"))
