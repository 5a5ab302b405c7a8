"""The formulas of the result tables, in the order in which their cells refer to each other.

The tables are made once more, by the same arithmetic on numbers that remember their cells. What
was chosen is taken from the estimate: packs are bought as they were. A figure that is in a cell is
that cell for all that is added up from it, whether or not the cell itself has a formula.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from costing.buying.books import Books, balanced
from costing.buying.choosing import MakingChoice
from costing.buying.need import Needs
from costing.buying.purchases import Purchase
from costing.buying.sharing import CostShare
from costing.buying.shopping import Shopping
from costing.buying.values import Values, values_of
from costing.names import key
from costing.quantities import (
    exact_money,
    follows,
    is_traced,
    traced,
    traced_money,
    untraced_choice,
)
from costing.quantities.traced import Cell, TracedNumber
from costing.quantities.traced_money import TracedMoney
from costing.report.estimates import Estimate
from costing.report.shopping_rows import food_cost, needs, to_buy
from costing.report.summary_rows import sums
from costing.report.tables import Row, Table, Value
from costing.workbook.results.live.cells import (
    Inputs,
    ResultCell,
    Spot,
    can_be_looked_up,
    exact_value,
)
from costing.workbook.results.live.forms import Form, Forms
from costing.workbook.results.live.writer import SUM, NamedForm, NotWritten, Text, Writer

OF_THE_PACK = ("pack_amount", "cost", "bought")
OF_THE_INGREDIENT = ("needed", "from_on_hand", "left_over")
"""Columns of To buy: what a row says by itself, and what it looks up in Needs."""

NEEDS = (
    *("trimmed_need", "trim_yield", "as_bought_need", "on_hand_used", "net_need"),
    *("spoilage_allowance", "bought", "left_over", "used_value", "bought_value", "left_value"),
)
FOOD_COST = ("used_value", "share_of_bought", "share_of_visits", "budget", "over")
"""Columns with formulas, each of which may refer to those before it.

Price each has none: it says what was paid, so that a changed price is noticed.
"""


def follow(estimate: Estimate, spots: Mapping[str, Spot], inputs: Inputs) -> None:
    """Find the formulas of To buy, Needs, Food cost and Summary.

    ``spots``: the result tables by key, which take the formulas up.
    """
    _Formulas(spots, replayed(estimate.books, inputs)).find()


class _Formulas:
    """The formulas of one estimate.

    ``tables``: the same rows with numbers that remember how they were made.
    """

    def __init__(self, spots: Mapping[str, Spot], tables: Mapping[str, Table]) -> None:
        self.forms = Forms()
        self.to_buy, self.needs = spots["to_buy"], spots["needs"]
        self.food_cost, self.summary = spots["food_cost"], spots["summary"]
        self.rows: dict[str, Sequence[Row]] = {name: one.rows for name, one in tables.items()}
        self._to_buy_of: dict[str, list[int]] = {}
        for number, row in enumerate(self.rows["to_buy"]):
            if row["packs"] is not None:
                self._to_buy_of.setdefault(key(str(row["ingredient"])), []).append(number)
        self._needs_of = {
            key(str(row["ingredient"])): number for number, row in enumerate(self.rows["needs"])
        }

    def find(self) -> None:
        """Find all formulas."""
        of_packs = [self._follow_pack(row) for row in range(len(self.rows["to_buy"]))]
        for number in range(len(self.rows["needs"])):
            self._follow_need(number, of_packs)
        for number in range(len(self.rows["to_buy"])):
            self._look_up(number)
        sums = self._column_sums()
        self._follow_summary(sums)
        for number in range(len(self.rows["food_cost"])):
            self._follow_share(number, sums)

    def _form(self, value: Value) -> Form | None:
        """The form of a number in a table; ``None`` when it cannot be followed."""
        if isinstance(value, TracedMoney):
            value = exact_money(value)
        number = value if is_traced(value) else exact_value(value)
        if not isinstance(number, Fraction) or not follows(number):
            return None
        return self.forms.of(number)

    def _follow(
        self, spot: Spot, at: tuple[int, str], value: Value, names: list[NamedForm]
    ) -> Form | None:
        """Let a cell follow what its number is made of, where that gives what is in the cell.

        Gives what the cell follows: by a formula, which is then put before the names, or because
        nothing moves it; ``None`` where it does not follow its inputs.
        """
        form = self._form(value)
        if form is None or exact_value(value) != (spot.value(*at) or 0):
            return None
        if not form.constant:
            try:
                spot.formulas[at] = Writer(self.forms, names).text(form).text
            except NotWritten:
                return None
            names.insert(0, NamedForm(form, Text(spot.address(*at))))
        return form

    def _follow_pack(self, row: int) -> Form | None:
        """What a row of To buy says by itself; the form of its Bought where that follows."""
        cells = self.rows["to_buy"][row]
        packs = self._form(cells["packs"])
        if packs is None:
            return None
        names = [NamedForm(packs, Text(self.to_buy.address(row, "packs")))]
        found = {
            column: self._follow(self.to_buy, (row, column), cells[column], names)
            for column in OF_THE_PACK
        }
        return found["bought"]

    def _follow_need(self, row: int, of_packs: Sequence[Form | None]) -> None:
        cells = self.rows["needs"][row]
        names = self._bought_in_all(row, of_packs)
        for column in NEEDS:
            at = row, column
            self._follow(self.needs, at, cells[column], names)
            if column == "spoilage_allowance" and at in self.needs.formulas:
                net, allowance = cells["net_need"], cells[column]
                places = [self.needs.address(row, one) for one in ("net_need", column)]
                if (row, "net_need") in self.needs.formulas:
                    self._name_sum(names, (net, allowance), places)

    def _name_sum(
        self, names: list[NamedForm], values: Sequence[Value], texts: Sequence[str]
    ) -> None:
        """Give the sum of cells a name, before all others."""
        whole = sum(value for value in values if isinstance(value, Fraction))
        form = self._form(whole)
        if form is not None:
            names.insert(0, NamedForm(form, Text("+".join(texts), SUM)))

    def _bought_in_all(self, row: int, of_packs: Sequence[Form | None]) -> list[NamedForm]:
        """What all rows of To buy bring and cost of the ingredient of a row of Needs."""
        name = str(self.rows["needs"][row]["ingredient"])
        rows = self._to_buy_of.get(key(name), [])
        if not rows or not can_be_looked_up(name):
            return []
        to_buy = self.to_buy
        names = f"{to_buy.to_look_in('ingredient')},{self.needs.address(row, 'ingredient')}"
        costs = [self._standing(one, "cost") for one in rows]
        text = f"SUMIF({names},{to_buy.to_look_in('cost')})"
        found = [NamedForm(self._sum(costs), Text(text))]
        by_unit: dict[str, list[int]] = {}
        for one in rows:
            by_unit.setdefault(str(self.rows["to_buy"][one]["unit"]), []).append(one)
        for unit, of_unit in by_unit.items():
            text = f"SUMIF({names},{to_buy.to_look_in('bought')})"
            if len(by_unit) > 1:
                where = f'{names},{to_buy.to_look_in("unit")},"{unit}"'
                text = f"SUMIFS({to_buy.to_look_in('bought')},{where})"
            if all(of_packs[one] is not None for one in of_unit):
                amounts = [self.rows["to_buy"][one]["bought"] for one in of_unit]
                found.append(NamedForm(self._sum(amounts), Text(text)))
        return found

    def _standing(self, row: int, column: str) -> Value:
        """A number of To buy as that which is in its cell."""
        cells = self.rows["to_buy"][row]
        value, packs = cells[column], cells["packs"]
        origin = packs.origin if isinstance(packs, TracedNumber) else None
        if not is_traced(value) or not isinstance(origin, Cell):
            return value
        assert isinstance(origin.name, ResultCell)  # noqa: S101
        return traced(
            exact_value(value) or Fraction(0), ResultCell("to_buy", origin.name.of, column)
        )

    def _sum(self, values: Sequence[Value]) -> Form:
        """The form of a sum; blank cells count for nothing."""
        numbers = (one if isinstance(one, Fraction) else exact_value(one) for one in values)
        return self.forms.of(sum((one for one in numbers if one is not None), Fraction(0)))

    def _look_up(self, row: int) -> None:
        """What a row of To buy says of the whole ingredient, found in Needs by its name."""
        cells = self.rows["to_buy"][row]
        name = str(cells["ingredient"])
        if not can_be_looked_up(name):
            return
        of_needs = self._needs_of[key(name)]
        own, needs = self.to_buy.address(row, "ingredient"), self.needs
        match = f"MATCH({own},{needs.to_look_in('ingredient')},0)"
        names: list[NamedForm] = []
        texts: dict[str, str] = {}
        for column in ("as_bought_need", "spoilage_allowance", "on_hand_used", "left_over"):
            form = self._form(self.rows["needs"][of_needs][column])
            if form is not None and (of_needs, column) in needs.formulas:
                texts[column] = f"INDEX({needs.to_look_in(column)},{match})"
                names.append(NamedForm(form, Text(texts[column])))
        both = ("as_bought_need", "spoilage_allowance")
        if all(column in texts for column in both):
            values = [self.rows["needs"][of_needs][column] for column in both]
            self._name_sum(names, values, [texts[column] for column in both])
        for column in OF_THE_INGREDIENT:
            self._follow(self.to_buy, (row, column), cells[column], list(names))

    def _column_sums(self) -> list[NamedForm]:
        """The sums of columns that totals are made of."""
        costs = [self._standing(row, "cost") for row in range(len(self.rows["to_buy"]))]
        sums = [NamedForm(self._sum(costs), Text(f"SUM({self.to_buy.column('cost')})"))]
        for column in ("used_value", "left_value"):
            values = [
                traced(Fraction(value), ResultCell("needs", (number,), column))
                if is_traced(value := row[column]) and isinstance(value, Fraction)
                else value
                for number, row in enumerate(self.rows["needs"])
            ]
            text = Text(f"SUM({self.needs.column(column)})")
            sums.append(NamedForm(self._sum(values), text, noisy=True))
        return sums

    def _follow_summary(self, sums: Sequence[NamedForm]) -> None:
        """The figures of Summary, by what they are called; they stand in the same order there."""
        names = list(sums)
        for row in self.rows["summary"]:
            number = self.summary.row_of("figure", str(row["figure"]))
            if number is None or not is_traced(row["value"]):
                continue
            self._follow(self.summary, (number, "value"), row["value"], names)
            if (number, "value") in self.summary.formulas:
                reference = Text(self.summary.reference(number, "value"))
                names[0] = replace(names[0], text=reference)

    def _follow_share(self, row: int, sums: Sequence[NamedForm]) -> None:
        """A row of Food cost; what is over may refer to sums whatever they are made of."""
        names = list(sums)
        own: list[NamedForm] = []
        for column in FOOD_COST:
            value = self.rows["food_cost"][row][column]
            at = row, column
            self._follow(self.food_cost, at, value, [*own, *names])
            form = self._form(value)
            if form is not None:
                own.append(NamedForm(form, Text(self.food_cost.address(*at))))


def replayed(books: Books, inputs: Inputs) -> dict[str, Table]:
    """To buy, Needs, Food cost and Summary, row by row as in the estimate, by their keys."""
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
    for at, bought in enumerate(purchase.lines):
        name = ResultCell("to_buy", (number, at), "packs", Fraction(bought.count))
        lines.append(replace(bought, count=traced(bought.count, name)))
    return replace(purchase, lines=tuple(lines))


def _paid(purchase: Purchase, number: int) -> Purchase:
    """A purchase whose costs are those in the cells of To buy."""
    lines = []
    for at, line in enumerate(purchase.lines):
        cost = _in_cell(line.paid.cost, ResultCell("to_buy", (number, at), "cost"))
        lines.append(replace(line, paid=replace(line.paid, cost=cost)))
    return replace(purchase, lines=tuple(lines))


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
