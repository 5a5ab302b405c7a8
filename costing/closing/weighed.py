"""What weighings of the day and of receipts say otherwise than was reckoned with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from costing.closing import messages
from costing.closing.closed import Closed, ClosedIngredient
from costing.findings import Finding
from costing.kitchen import Ingredient
from costing.names import key
from costing.quantities import ONE, ZERO, Dimension, round_money
from costing.shoot.weighings import trimmings_of

TRIM_YIELD, PIECE = "Trim yield %", "Grams per piece"


@dataclass(frozen=True, slots=True)
class WeighedValue:
    """What weighings say of one ingredient.

    Parameters
    ----------
    heading : str
        Of the column of Ingredients that the value would stand in.
    value : Fraction
        Trim yield [fraction], or the trimmed weight of a piece [g]; over all weighings together.
    """

    ingredient: Ingredient
    heading: str
    value: Fraction
    weighings: int

    @property
    def shown(self) -> Fraction:
        """As it would be typed: percent or grams, to a tenth."""
        value = 100 * self.value if self.heading == TRIM_YIELD else self.value
        return Fraction(round_money(value, 1))

    @property
    def used(self) -> Fraction | None:
        """What was reckoned with, as it would be typed; ``None``: nothing."""
        if self.heading == PIECE:
            return self.ingredient.piece_weight
        return None if self.ingredient.trim_yield is None else 100 * self.ingredient.trim_yield


def weighed_of(closed: Closed) -> tuple[WeighedValue, ...]:
    """Yields and weights of pieces, in the order of the recipes."""
    trimmed: dict[str, list[tuple[Fraction, Fraction]]] = {}
    for one in trimmings_of(closed.shoot):
        trimmed.setdefault(key(one.ingredient), []).append((one.left, one.whole))
    found = []
    for known in closed.ingredients:
        ingredient = known.planned.need.ingredient
        weighings = {TRIM_YIELD: trimmed.get(key(known.name), []), PIECE: list(_pieces(known))}
        for heading, pairs in weighings.items():
            if pairs:
                value = sum((a for a, _ in pairs), ZERO) / sum((b for _, b in pairs), ZERO)
                found.append(WeighedValue(ingredient, heading, value, len(pairs)))
    return tuple(found)


def _pieces(one: ClosedIngredient) -> Iterator[tuple[Fraction, Fraction]]:
    """Of receipt lines that weigh pieces the trimmed weight [g], and how many they are."""
    if one.unit.dimension is not Dimension.COUNT:
        return
    for each in one.fetched:
        amount = each.line.line.amount if each.line is not None else None
        if amount is not None and amount.dimension is Dimension.MASS and each.amount > 0:
            yield amount.base * (one.planned.need.ingredient.trim_yield or ONE), each.amount


def about_weighings(closed: Closed) -> Iterator[Finding]:
    """What weighings say otherwise than was reckoned with."""
    for one in weighed_of(closed):
        if one.used is None or one.shown != Fraction(round_money(one.used, 1)):
            yield messages.weighed_otherwise(
                one.ingredient.at(one.heading), one.heading, one.shown, one.used, one.weighings
            )
