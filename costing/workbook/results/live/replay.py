"""The result tables once more, by the same arithmetic on numbers that remember their cells.

What was chosen is taken from the estimate: packs are bought as they were. A figure that is in
a cell is that cell for all that is added up from it, whether or not the cell itself has a formula.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from costing.buying.books import Books, balanced
from costing.buying.choosing import MakingChoice
from costing.buying.need import Needs
from costing.buying.purchases import Purchase
from costing.buying.sharing import CostShare
from costing.buying.shopping import Shopping
from costing.buying.till import TillLine
from costing.buying.values import Values, values_of
from costing.quantities import (
    exact_money,
    follows,
    is_traced,
    traced,
    traced_money,
    untraced_choice,
)
from costing.report.shopping_rows import food_cost, needs, to_buy
from costing.report.summary_rows import sums
from costing.report.tables import Row, Table
from costing.workbook.results.live.cells import Inputs


@dataclass(frozen=True, slots=True)
class ResultCell:
    """A number that is in a cell of a result table.

    Parameters
    ----------
    table : str
        Key of the table.
    of : tuple of int
        The purchase and perhaps its line, or the share, it is a figure of.
    column : str
        Key of the column.
    held : Fraction, optional
        What stands for it where the cell cannot be referred to; without one there is no formula.
    """

    table: str
    of: tuple[int, ...]
    column: str
    held: Fraction | None = None


def replayed(books: Books, inputs: Inputs) -> dict[str, Table]:
    """To buy, Needs, Food cost and Summary, row by row as in the estimate, by their keys.

    Parameters
    ----------
    books : Books
        Of the estimate.
    inputs : Inputs
        Cells that may be referred to.
    """
    shoot = inputs.followed(books.shoot)
    # the order of the steps is that of the sheets: packs stand in To buy, costs follow from them,
    # values of Needs from the costs, and shares from the values. Each step refers to the cells of
    # the one before, so that a formula stays short
    chosen = [_counted(purchase, number) for number, purchase in enumerate(books.purchases)]
    made = books.shopping.choice if books.shopping else MakingChoice()
    bought = Shopping(Needs(shoot), chosen=chosen, made=made).purchases
    paid = [_paid(purchase, number) for number, purchase in enumerate(bought)]
    values = [values_of(purchase, shoot.settings)[0] for purchase in paid]
    of_needs = needs(replace(books, shoot=shoot, purchases=tuple(paid), values=tuple(values)))
    rows = zip(values, of_needs.rows, strict=True)
    standing = [_standing(value, row, number) for number, (value, row) in enumerate(rows)]
    after = balanced(shoot, paid, standing)
    after = replace(after, shares=tuple(map(_share, range(len(after.shares)), after.shares)))
    tables = (
        to_buy(replace(books, shoot=shoot, purchases=tuple(bought))),
        of_needs,
        food_cost(after),
        sums(after),
    )
    return {table.layout.key: table for table in tables}


def _counted(purchase: Purchase, number: int) -> Purchase:
    """A purchase whose numbers of packs are those in the cells of To buy."""
    lines = []
    for at, (bought, amount) in enumerate(purchase.lines):
        name = ResultCell("to_buy", (number, at), "packs", Fraction(bought.count))
        lines.append((replace(bought, count=traced(bought.count, name)), amount))
    return replace(purchase, lines=tuple(lines))


def _paid(purchase: Purchase, number: int) -> Purchase:
    """A purchase whose costs are those in the cells of To buy."""
    till = [
        TillLine(_in_cell(line.cost, ResultCell("to_buy", (number, at), "cost")), line.tax)
        for at, line in enumerate(purchase.till)
    ]
    return replace(purchase, till=tuple(till))


def _in_cell(cost: Decimal | None, name: ResultCell) -> Decimal | None:
    return traced_money(cost, name) if cost is not None and is_traced(cost) else cost


def _standing(values: Values, row: Row, number: int) -> Values:
    """Values that stand in the cells of a row of Needs.

    What is on hand and used has no column; it is what the others leave.
    """
    bought, used = values.bought, values.used
    if row["used_value"] is not None and is_traced(used):
        used = traced(Fraction(used), ResultCell("needs", (number,), "used_value"))
    on_hand = untraced_choice(values.on_hand_used)
    if row["left_value"] is not None and is_traced(values.left):
        left = traced(Fraction(values.left), ResultCell("needs", (number,), "left_value"))
        on_hand = left - exact_money(bought) + used
    return replace(values, used=used, on_hand_used=on_hand)


def _share(number: int, share: CostShare) -> CostShare:
    """A share whose sums are those in the cells of Food cost, as far as no formula says them."""

    def standing(sum_of_money: Decimal, column: str) -> Decimal:
        if follows(sum_of_money):
            return sum_of_money
        return traced_money(sum_of_money, ResultCell("food_cost", (number,), column))

    return replace(
        share,
        used=standing(share.used, "used_value"),
        bought=standing(share.bought, "share_of_bought"),
        visits=standing(share.visits, "share_of_visits"),
    )
