"""Formulas of the sheet Needs: each row from the recipe to what is left, link by link."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.buying.books import Books
from costing.buying.need import Need
from costing.buying.on_hand import last_day
from costing.buying.purchases import Purchase
from costing.names import key
from costing.quantities import Unit
from costing.report.tables import Row
from costing.shoot import Episode, Shoot
from costing.shoot.copies import Forest
from costing.shoot.defaults import days_before_shoot
from costing.workbook.results.live.conversion import Conversions
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.prices import Prices
from costing.workbook.results.live.spots import Spot, can_be_looked_up
from costing.workbook.results.live.terms import (
    NOTHING,
    UNITY,
    Term,
    difference,
    least,
    most,
    number,
    power,
    product,
    ratio,
    total,
)
from costing.workbook.results.live.uses import Use, Uses

PERCENT = number(100)


@dataclass(frozen=True, slots=True)
class Taking:
    """What a group of shots takes alike of one ingredient: so many batches of the same lines."""

    batches: Term
    uses: tuple[Use, ...]


def takings(shoot: Shoot, inputs: Inputs) -> dict[str, list[Taking]]:
    """What the shots take, by the key of the ingredient."""
    uses = Uses(shoot, inputs)
    groups: dict[str, dict[tuple[int, ...], tuple[tuple[Use, ...], list[Term]]]] = {}
    forest = Forest(shoot.shots)
    for place, shot in enumerate(shoot.shots):
        if not shoot.is_dish(shot.dish):
            continue
        batches = product(
            _times(place, forest, inputs),
            inputs.cell(shot, "Batch", shot.batch),
        )
        by_ingredient: dict[str, list[Use]] = {}
        for use in uses.taken_by(shot):
            by_ingredient.setdefault(key(use.line.ingredient), []).append(use)
        for name, taken in by_ingredient.items():
            alike = groups.setdefault(name, {})
            alike.setdefault(tuple(map(id, taken)), (tuple(taken), []))[1].append(batches)
    return {
        name: [Taking(total(batches), taken) for taken, batches in alike.values()]
        for name, alike in groups.items()
    }


def _times(place: int, forest: Forest, inputs: Inputs) -> Term:
    """For how many times the steps of a shot are provided."""
    shot = forest.shots[place]
    own = inputs.cell(shot, "Times", Fraction(shot.times))
    takers = forest.takers.get(place)
    if takers is None:
        return own
    return most([own, total(_times(taker, forest, inputs) for taker in takers)])


def shown_unit(need: Need, row: Row) -> Unit:
    """The unit in which a row of Needs shows what is bought."""
    trimmed = need.trimmed_unit
    alike = trimmed.dimension is need.unit.dimension and trimmed.name == row["unit"]
    return trimmed if alike else need.unit


def follow_needs(books: Books, spot: Spot, to_buy: Spot, inputs: Inputs) -> None:
    """Find the formulas of every row of Needs."""
    taken = takings(books.shoot, inputs)
    plenty = {key(lot.ingredient) for lot in books.shoot.lots if lot.plenty}
    for row, purchase in enumerate(books.purchases):
        name = key(purchase.need.ingredient.name)
        need_row = _NeedRow(books.shoot, purchase, row, spot, inputs, plenty=name in plenty)
        need_row.follow(taken.get(name, []), to_buy)


class _NeedRow:
    """The formulas of one row; a link that no formula says holds all that hang on it."""

    def __init__(
        self,
        shoot: Shoot,
        purchase: Purchase,
        row: int,
        spot: Spot,
        inputs: Inputs,
        *,
        plenty: bool,
    ) -> None:
        self.shoot, self.purchase, self.row, self.spot = shoot, purchase, row, spot
        self.plenty = plenty
        self.need = purchase.need
        self.unit = shown_unit(purchase.need, spot.table.rows[row])
        self.inputs = inputs
        self.conversions = Conversions(self.need.ingredient, inputs)
        self.prices = Prices(purchase, shoot.settings, self.unit, inputs)
        self.links: dict[str, Term] = {}

    def link(self, column: str, term: Term | None) -> None:
        """Let a cell follow; later links refer to it by its place."""
        if term is not None and self.spot.follow(self.row, column, term):
            cell = self.spot.cell(self.row, column)
            plain = cell is None or (term.constant and column != "trim_yield")
            self.links[column] = term if cell is None or plain else cell

    def known(self, *columns: str) -> list[Term] | None:
        """The cells of columns as parts of a formula, unless one of them does not follow."""
        found = [self.links[column] for column in columns if column in self.links]
        return found if len(found) == len(columns) else None

    def follow(self, taken: Sequence[Taking], to_buy: Spot) -> None:
        self.link("trimmed_need", self._trimmed(taken))
        self.link("trim_yield", self.conversions.trim_yield_percent)
        self.link("as_bought_need", self._as_bought(taken))
        self.link("on_hand_used", self._on_hand_used())
        self.link("net_need", self._net_need())
        self.link("spoilage_allowance", self._allowance())
        self.link("bought", self._bought(to_buy))
        self.link("left_over", self._left_over())
        self.link("used_value", self._used_value())
        self.link("bought_value", self._bought_value(to_buy))
        self.link("left_value", self._left_value())

    def _cleaned(self, use: Use) -> Term | None:
        """A line's amount, trimmed, in one batch. [base unit of the trimmed unit]"""
        if use.times is None or use.line.amount is None:
            return None
        clean = self.conversions.trimmed(
            use.line, use.line.amount, self.need.trimmed_unit.dimension
        )
        return None if clean is None else product(use.times, clean)

    def _summed(self, taken: Sequence[Taking], *, candidates: bool) -> Term | None:
        """What all shots take. [base unit of the trimmed unit]"""
        sums = []
        for taking in taken:
            parts = []
            for use in taking.uses:
                clean = self._cleaned(use)
                if clean is None:
                    return None
                parts.append(product(clean, use.candidates) if candidates else clean)
            sums.append(product(taking.batches, total(parts)))
        return total(sums)

    def _trimmed(self, taken: Sequence[Taking]) -> Term | None:
        clean = self._summed(taken, candidates=False)
        return clean and product(clean, number(1 / self.need.trimmed_unit.size))

    def _as_bought(self, taken: Sequence[Taking]) -> Term | None:
        trimmed = self.known("trimmed_need")
        if trimmed is None:
            return None
        single = all(use.candidates == UNITY for taking in taken for use in taking.uses)
        if single:
            clean = product(trimmed[0], number(self.need.trimmed_unit.size))
        else:
            candidates = self._summed(taken, candidates=True)
            if candidates is None:
                return None
            clean = candidates
        shown = self.known("trim_yield")
        whole = ratio(shown[0], PERCENT) if shown else self.conversions.trim_yield
        if whole.value == 1 and self.conversions.trim_yield.constant:
            whole = UNITY
        source, target = self.need.trimmed_unit.dimension, self.need.unit.dimension
        bought = self.conversions.bought(clean, source, target, whole)
        return bought and product(bought, number(1 / self.unit.size))

    def _users(self) -> list[Episode]:
        return [e for e in self.shoot.episodes if self.need.as_bought.get(e.name)]

    def _stock(self) -> Term | None:
        """All that is on hand and counts; ``None`` when who may use it decides how much."""
        lots = self.purchase.taken.from_lots
        if lots and self.plenty:
            return None
        amounts = []
        for lot, _, _ in lots:
            last = last_day(lot, self.need)
            for user in self._users():
                if last is not None and (user.shoot_date is None or last < user.shoot_date):
                    return None
            amount = self.prices.amount(lot)
            if amount is None:
                return None
            amounts.append(amount)
        return total(amounts)

    def _on_hand_used(self) -> Term | None:
        needed, stock = self.known("as_bought_need"), self._stock()
        if needed is None or stock is None:
            return None
        if not self.plenty:
            return NOTHING if stock == NOTHING else least([needed[0], stock])
        lot = self.purchase.taken.plenty
        return None if lot is None or last_day(lot, self.need) is not None else needed[0]

    def _net_need(self) -> Term | None:
        links = self.known("as_bought_need", "on_hand_used")
        return None if links is None else difference(*links)

    def _allowance(self) -> Term | None:
        spoilage, net = self.need.ingredient.spoilage, self.known("net_need")
        if not spoilage:
            return NOTHING
        days = {days_before_shoot(self.shoot, user) for user in self._users()}
        if net is None or len(days) != 1:
            return None
        rate = self.inputs.cell(self.need.ingredient, "Spoilage % per day", spoilage)
        kept = power(difference(UNITY, rate), days.pop())
        return product(net[0], difference(ratio(UNITY, kept), UNITY))

    def _name(self) -> str | None:
        """The ingredient as a lookup refers to it."""
        name = self.need.ingredient.name
        return self.spot.address(self.row, "ingredient") if can_be_looked_up(name) else None

    def _bought(self, to_buy: Spot) -> Term | None:
        brought: dict[Unit, Fraction] = {}
        for bought, _ in self.purchase.lines:
            pack = bought.pack.unit_amount
            before = brought.get(pack.unit, Fraction(0))
            brought[pack.unit] = before + bought.count * pack.magnitude
        if not brought:
            return NOTHING
        name = self._name()
        if name is None:
            return None
        sums = []
        for unit, amount in brought.items():
            factor = self.prices.of_one(unit)
            if factor is None:
                return None
            names = f"{to_buy.to_look_in('ingredient')},{name}"
            text = f"SUMIF({names},{to_buy.to_look_in('bought')})"
            if len(brought) > 1:
                units = f'{to_buy.to_look_in("unit")},"{unit.name}"'
                text = f"SUMIFS({to_buy.to_look_in('bought')},{names},{units})"
            sums.append(product(Term(text, amount), factor))
        return total(sums)

    def _left_over(self) -> Term | None:
        links = self.known("bought", "net_need", "spoilage_allowance", "on_hand_used")
        stock = self._stock()
        if links is None or stock is None:
            return None
        bought, net, allowance, used = links
        if bought == NOTHING:
            return difference(stock, used)
        left = most([NOTHING, difference(difference(bought, net), allowance)])
        return left if stock == NOTHING else total([left, difference(stock, used)])

    def _paid_for_use(self) -> Term | None:
        """What is used of the packs, at their average price."""
        links = self.known("net_need", "spoilage_allowance", "bought")
        average = self.prices.average()
        if average is None or average == NOTHING:
            return average
        if links is None:
            return None
        net, allowance, bought = links
        return product(least([total([net, allowance]), bought]), average)

    def _used_value(self) -> Term | None:
        used = self.known("on_hand_used")
        paid = self._paid_for_use()
        stock = self.prices.of_stock(used[0]) if used else None
        return None if paid is None or stock is None else total([paid, stock])

    def _bought_value(self, to_buy: Spot) -> Term | None:
        costs = [Fraction(paid.cost) for paid in self.purchase.till if paid.cost is not None]
        if not any(costs):
            return NOTHING
        name = self._name()
        text = f"SUMIF({to_buy.to_look_in('ingredient')},{name},{to_buy.to_look_in('cost')})"
        return None if name is None else Term(text, sum(costs, Fraction(0)))

    def _left_value(self) -> Term | None:
        links = self.known("bought_value", "used_value")
        paid = self._paid_for_use()
        if links is None or paid is None:
            return None
        bought, used = links
        return difference(bought, paid if self.purchase.taken.from_lots else used)
