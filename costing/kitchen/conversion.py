r"""From the state a recipe measures to the state a shop sells.

Mass, volume and count never convert into each other by themselves: density and piece weight
belong to the ingredient. A piece is whole as bought, so counts take no trim yield.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from costing.kitchen.dishes import Measured
from costing.kitchen.ingredients import Ingredient
from costing.quantities import ONE, Amount, Dimension
from costing.reference import COOKED_DENSITY


class Unconvertible(ValueError):
    """A conversion needs a property of the ingredient that is not known.

    ``heading``: the column of Ingredients that would settle it.
    """

    def __init__(self, ingredient: str, heading: str, source: Dimension, target: Dimension) -> None:
        super().__init__(f"{ingredient}: {source} to {target} needs {heading}")
        self.ingredient = ingredient
        self.heading = heading
        self.source = source
        self.target = target


@dataclass(frozen=True, slots=True)
class Measure:
    """An amount in base units of one dimension. [g, ml or each]"""

    value: Fraction
    dimension: Dimension


def purchase_quantity(
    trimmed: Fraction, *, trim_yield: Fraction, spoilage: Fraction = Fraction(0)
) -> Fraction:
    r"""Quantity to buy so that ``trimmed`` is left after spoilage and trim.

    Spoilage is a part of what was bought, trim a part of what is still sound, so the two losses
    multiply. No rounding to packs happens here: see ``costing.buying.basket``.

    .. math:: Q_{buy} = Q_{trimmed} / ((1 - s)\, y)

    Parameters
    ----------
    trimmed : Fraction
        What is needed, clean and ready to use. [g, ml]
    trim_yield : Fraction
        Edible part of one sound purchased part, ``0 < y <= 1``. [fraction]
    spoilage : Fraction
        Part of the purchase lost before it is prepared, ``0 <= s < 1``. [fraction]

    Returns
    -------
    Fraction
        In the unit of ``trimmed``; exact.

    Raises
    ------
    ValueError
        If ``trim_yield`` or ``spoilage`` is outside its range.

    Examples
    --------
    Round numbers chosen for the arithmetic, not taken from a table.

    >>> purchase_quantity(Fraction(3600), trim_yield=Fraction("0.8"), spoilage=Fraction("0.1"))
    Fraction(5000, 1)
    """
    if not 0 < trim_yield <= 1:
        raise ValueError(f"trim yield {trim_yield} is not above 0 and at most 1")
    if not 0 <= spoilage < 1:
        raise ValueError(f"spoilage {spoilage} is not at least 0 and below 1")
    return trimmed / ((1 - spoilage) * trim_yield if spoilage else trim_yield)


def trimmed(amount: Amount, ingredient: Ingredient, measured: Measured) -> Measure:
    """What a line's amount is when trimmed and raw.

    In the dimension of ``amount``; pieces stay pieces.

    Parameters
    ----------
    amount : Amount
        As the recipe has it. [mass, volume or count]
    ingredient : Ingredient
        Whose losses apply; an unknown trim yield counts as 1.

    Raises
    ------
    Unconvertible
        When it is measured cooked and the cooked weight is not known, or as a volume: what fills
        a cup cooked is another weight than what fills it raw.
    """
    dimension = amount.unit.dimension
    value = amount.base
    if dimension is Dimension.COUNT or measured is Measured.TRIMMED:
        return Measure(value, dimension)
    if measured is Measured.AS_BOUGHT:
        return Measure(value * (ingredient.trim_yield or ONE), dimension)
    if ingredient.cooked_weight is None:
        raise Unconvertible(ingredient.name, "Cooked weight %", dimension, dimension)
    if dimension is Dimension.VOLUME:
        raise Unconvertible(ingredient.name, COOKED_DENSITY, dimension, Dimension.MASS)
    return Measure(value / ingredient.cooked_weight, dimension)


def converted(value: Measure, target: Dimension, ingredient: Ingredient) -> Fraction:
    """A trimmed amount in another dimension, by way of grams.

    Raises
    ------
    Unconvertible
        When density or piece weight is needed and not known.
    """
    if value.dimension is target:
        return value.value
    return (
        value.value
        * _grams_per(value.dimension, target, value.dimension, ingredient)
        / (_grams_per(target, target, value.dimension, ingredient))
    )


def _grams_per(
    dimension: Dimension, target: Dimension, source: Dimension, ingredient: Ingredient
) -> Fraction:
    if dimension is Dimension.MASS:
        return ONE
    heading, grams = {
        Dimension.VOLUME: ("Grams per ml", ingredient.density),
        Dimension.COUNT: ("Grams per piece", ingredient.piece_weight),
    }.get(dimension, ("Unit", None))
    if grams is None:
        raise Unconvertible(ingredient.name, heading, source, target)
    return grams


def as_bought(value: Measure, target: Dimension, ingredient: Ingredient) -> Fraction:
    """What must be bought, in ``target``, for a trimmed amount.

    Weight and volume bought are divided by the trim yield; pieces are whole as bought.

    Raises
    ------
    Unconvertible
        When density or piece weight is needed and not known.
    """
    # converted while trimmed: density and piece weight are printed of the trimmed food
    amount = converted(value, target, ingredient)
    if target is Dimension.COUNT or ingredient.trim_yield is None:
        return amount
    return purchase_quantity(amount, trim_yield=ingredient.trim_yield)


def bought_as(amount: Amount, target: Dimension, ingredient: Ingredient) -> Fraction:
    """An amount as bought in another dimension, such as a 500 g bag in pieces.

    Raises
    ------
    Unconvertible
        When density or piece weight is needed and not known.
    """
    if amount.unit.dimension is target:
        return amount.base
    return as_bought(trimmed(amount, ingredient, Measured.AS_BOUGHT), target, ingredient)
