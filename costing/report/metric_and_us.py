"""An amount of a recipe in metric and in US measures, rounded as a cookbook rounds.

An amount that is in a system already is exact there. Cups and spoons become grams, and grams
cups, by the weight of the ingredient as it is cut: the workbook's own, else a published one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from math import ceil

from costing.kitchen import Line, Measured
from costing.quantities import (
    GRAM,
    MILLILITRE,
    Amount,
    Dimension,
    Measures,
    Unit,
    decimal_or_mixed,
    find_unit,
    mixed,
)
from costing.reference import Filled, fill, find_food
from costing.report.shop_words import cooks_word
from costing.shoot import Shoot


class System(StrEnum):
    """In which measures a recipe is given; of both the metric amount comes first."""

    BOTH = "both"
    METRIC = "metric"
    US = "US"


METRIC_NAMES = frozenset(("mg", "g", "dag", "kg", "etto", "ml", "cl", "dl", "l"))
US_NAMES = frozenset(("oz", "lb", "stick of butter"))

SPOONS = 60
"""Less of it is measured with spoons everywhere, and stays a volume. [ml]"""

SPOON = 14
"""From a tablespoon on a fat that is sold in blocks is weighed: nobody prints 30 ml of it. [ml]"""

IN_BLOCKS = ("butter", "margarine", "lard", "dripping", "shortening")

KILO_FROM = 1000
"""From so many grams or millilitres on they are kilograms or litres."""

POURED = frozenset(("drink", "oil", "sauce"))
CUPPED = frozenset(("baking", "sweet", "grain", "dairy", "nut", "pulse", "spice", *POURED))
"""Groups of foods that are poured, and that a US cook measures by the cup."""

QUARTER, THIRD, HALF, EIGHTH = (Fraction(1, part) for part in (4, 3, 2, 8))
PARTS = {
    "lb": (QUARTER,),
    "oz": (QUARTER,),
    "US cup": (QUARTER, THIRD),
    "US tablespoon": (HALF,),
    "US teaspoon": (QUARTER, EIGHTH),
}
"""US units and the parts of one that are measured."""

MEASURED_IN_EIGHTHS = 3
"""Below so many of a unit its eighths are measured. [unit]"""

LARGE_SPOON = "US tablespoon"
"""Of which nobody has a half: a tablespoon and a half is measured, half of one is in teaspoons."""

VOLUMES = ("US cup", LARGE_SPOON, "US teaspoon")
WEIGHTS = ("lb", "oz")
LEAST_WEIGHT = 28
"""Less is not weighed in ounces, whose quarters are too coarse for it. [g]"""

UNIT_TOLERANCE = Fraction(6, 100)
"""The largest unit is taken when its parts come so near, as cups come to their thirds. [of 1]"""

CUP_TOLERANCE = Fraction(8, 100)
"""The same above half a cup, where nobody counts the tablespoons: 15 of them are a cup. [of 1]"""

IN_TWO = {
    "lb": ("oz", 16, " ", Fraction(1), Fraction(1), (QUARTER,)),
    "US cup": (LARGE_SPOON, 16, " plus ", QUARTER, HALF, (QUARTER, THIRD)),
    LARGE_SPOON: ("US teaspoon", 3, " plus ", Fraction(1), EIGHTH, (HALF,)),
}
"""Of what is said in two measures: the smaller, how many of it are one, the word between them, of
which parts either is so many, and the parts that are said in one. Common practice: 1 lb 2 oz."""
LARGER = {small: (large, of_it) for large, (small, of_it, *_) in IN_TWO.items()}
SAID_IN_ONE = {"oz": 16, LARGE_SPOON: 8, "US teaspoon": 4}
"""So many at most are counted; more are said in two: 1 lb 2 oz, 1/2 cup plus 1 tbsp."""

ROUNDING_LIMIT = Fraction(1, 3)
"""What rounding would change by more, as a pinch to an eighth of a teaspoon, stays. [of 1]"""

STEPS = (
    (2, Fraction(1, 10)),
    (10, QUARTER),
    (20, HALF),
    (100, Fraction(1)),
    (KILO_FROM, Fraction(5)),
    (None, Fraction(10)),
)
"""Up to how many grams or millilitres a converted amount is rounded to which step."""

ROUNDED = (
    "What was converted is rounded: grams and millilitres to 0.1 below 2, to 0.25 below 10, to 0.5 "
    "below 20, to 1 below 100, to 5 below 1000, then to 10; cups to quarters and thirds, "
    "tablespoons to halves, teaspoons to eighths, ounces and pounds to quarters, ounces beside a "
    "pound to whole ones; here by at most {most} %."
)


@dataclass(slots=True)
class Converted:
    """What is to be said of all amounts that were converted.

    Parameters
    ----------
    most : Fraction
        How far the rounding of one went at most. [of 1]
    by_volume, by_weight : list of str
        Ingredients left as volumes for want of a weight, or as little weights.
    cups : bool
        Whether a cup or spoon of the US is among them.
    """

    shoot: Shoot
    most: Fraction = Fraction(0)
    by_volume: list[str] = field(default_factory=list)
    by_weight: list[str] = field(default_factory=list)
    cups: bool = False

    @property
    def most_percent(self) -> Fraction:
        """How far the rounding of one went at most, up to the next tenth. [%]"""
        return Fraction(ceil(1000 * self.most), 10)

    def given(
        self,
        line: Line,
        amount: Amount,
        turned: Callable[[Amount], tuple[Fraction, Fraction, Unit]],
    ) -> RecipeAmount:
        """An amount rounded, or as it is where that would change it by too much.

        ``turned`` gives of an end what it is rounded to, what it is exactly, and the unit of both.
        """
        ends = [turned(end) for end in (amount, line.amount_low) if end is not None]
        far = max(
            (abs(value / exact - 1) for value, exact, _ in ends if exact), default=Fraction(0)
        )
        if far > ROUNDING_LIMIT:
            return RecipeAmount(amount, line.amount_low)
        self.most = max(self.most, far)
        return RecipeAmount(*(Amount(value, unit) for value, _, unit in ends))


@dataclass(frozen=True, slots=True)
class RecipeAmount:
    """An amount as it is given; ``low`` is the lower end of a range."""

    high: Amount
    low: Amount | None = None

    def __str__(self) -> str:
        if self.low is None and (two := _in_two(self.high)):
            return two
        name = self.high.unit.name
        metric = name in METRIC_NAMES
        ends = [self.high] if self.low in (None, self.high) else [self.low, self.high]
        said = [decimal_or_mixed(e.magnitude) if metric else mixed(e.magnitude) for e in ends if e]
        word = name if metric else cooks_word(name, Measures.US_CUSTOMARY)
        plural = word in ("cup", "portion") and self.high.magnitude > 1
        return f"{'-'.join(said)} {word}{'s' if plural else ''}".strip()


def _in_two(amount: Amount) -> str:
    """An amount such as 1 lb 2 oz, which no parts of one measure give; ``""`` for another."""
    if amount.unit.name not in IN_TWO:
        return ""
    small, of_it, between, part, least, in_one = IN_TWO[amount.unit.name]
    number = amount.magnitude
    first = number // part * part
    rest = (number - first) * of_it
    if not first or rest % least or any(number % one == 0 for one in in_one):
        return ""
    ends = Amount(first, amount.unit), Amount(rest, find_unit(small, Measures.US_CUSTOMARY))
    return between.join(str(RecipeAmount(end)) for end in ends)


def in_metric(line: Line, amount: Amount, converted: Converted) -> RecipeAmount:
    """An amount in g, kg, ml or l; in its own unit, exact, when that is metric."""
    if amount.unit.name in METRIC_NAMES:
        return RecipeAmount(amount, line.amount_low)
    unit, factor = GRAM, Fraction(1)
    if amount.dimension is Dimension.VOLUME:
        unit = MILLILITRE
        blocks = line.ingredient.casefold().endswith(IN_BLOCKS)
        if amount.base >= (SPOON if blocks else SPOONS) and not _poured(line.ingredient):
            density = _density(line, converted.shoot)
            if density is None:
                converted.by_volume.append(line.ingredient)
            else:
                unit, factor = GRAM, density

    size, shown = 1, unit
    if _in_steps(amount.base * factor) >= KILO_FROM:
        size, shown = KILO_FROM, find_unit("kg" if unit == GRAM else "l", Measures.METRIC)

    def turned(end: Amount) -> tuple[Fraction, Fraction, Unit]:
        exact = end.base * factor
        return _in_steps(exact) / size, exact / size, shown

    return converted.given(line, amount, turned)


def _in_steps(value: Fraction) -> Fraction:
    step = next(step for most, step in STEPS if most is None or value < most)
    return max(round(value / step), 1) * step


def in_us(line: Line, amount: Amount, converted: Converted) -> RecipeAmount:
    """An amount in cups and spoons, or in pounds and ounces; in its own unit when that is one."""
    name = amount.unit.name
    if name in US_NAMES or name.startswith("US "):
        converted.cups |= name not in US_NAMES
        return RecipeAmount(amount, line.amount_low)
    factor = Fraction(1)
    names: Sequence[str] = VOLUMES
    if amount.dimension is Dimension.MASS:
        density = _density(line, converted.shoot) if _cupped(line.ingredient) else None
        if density is not None:
            factor = 1 / density
        elif amount.base < LEAST_WEIGHT:
            converted.by_weight.append(line.ingredient)
            return RecipeAmount(amount, line.amount_low)
        else:
            names = WEIGHTS
    unit = _handy(amount.base * factor, names)

    def turned(end: Amount) -> tuple[Fraction, Fraction, Unit]:
        exact = end.base * factor / unit.size
        value = _in_parts(exact, unit)
        if line.amount_low is None and value > SAID_IN_ONE.get(unit.name, value):
            large, of_it = LARGER[unit.name]
            return value / of_it, exact / of_it, find_unit(large, Measures.US_CUSTOMARY)
        return value, exact, unit

    given = converted.given(line, amount, turned)
    converted.cups |= given.high.unit.name in VOLUMES
    return given


def _handy(base: Fraction, names: Sequence[str]) -> Unit:
    """The largest unit whose parts come near enough, else the one that comes nearest."""
    units = [find_unit(name, Measures.US_CUSTOMARY) for name in names]
    exact = [base / unit.size for unit in units]
    apart = [abs(_in_parts(e, u) / e - 1) for e, u in zip(exact, units, strict=True)]
    near = [
        unit
        for unit, number, far in zip(units, exact, apart, strict=True)
        if far <= (CUP_TOLERANCE if unit.name == "US cup" and number > HALF else UNIT_TOLERANCE)
        and (unit.name != LARGE_SPOON or number > HALF + QUARTER)
    ]
    return near[0] if near else units[apart.index(min(apart))]


def _in_parts(exact: Fraction, unit: Unit) -> Fraction:
    """The nearest number of a unit that is measured, at least one part of it.

    Nobody measures an eighth beside many whole ones: 8 1/8 tsp is 8 tsp, nor a quarter of an ounce
    beside a pound.
    """
    if unit.name == "oz" and exact > SAID_IN_ONE["oz"]:
        return Fraction(round(exact))
    parts = [part for part in PARTS[unit.name] if part != EIGHTH or exact < MEASURED_IN_EIGHTHS]
    near = [max(round(exact / part), 1) * part for part in parts]
    return min(near, key=lambda value: (abs(value - exact), value.denominator))


def _poured(name: str) -> bool:
    food = find_food(name).food
    return food is not None and (food.group in POURED or food.name.split()[-1] in ("milk", "cream"))


def _cupped(name: str) -> bool:
    food = find_food(name).food
    return food is not None and food.group in CUPPED


def _density(line: Line, shoot: Shoot) -> Fraction | None:
    """Grams per millilitre of an ingredient as it is cut; one borrowed of another cut is none."""
    if line.measured is Measured.COOKED or shoot.is_dish(line.ingredient):
        return None
    typed = shoot.ingredient(line.ingredient).density
    if typed is not None:
        return typed
    found = fill(line.ingredient, "Grams per ml", cut=line.cut)
    return found.number if isinstance(found, Filled) and not found.borrowed else None
