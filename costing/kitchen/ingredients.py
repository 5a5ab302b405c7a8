"""An ingredient with its losses, its density and the weight of a piece; what is cut from it."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import ClassVar

from costing.quantities.fields import (
    AtLeast0OrNone,
    FromRow,
    LifeOrNone,
    ManyOrNone,
    PartOrNone,
    PositiveAmount,
    PositiveOrNone,
    RatioOrNone,
    ShareBelow1,
    WordOrNone,
    default,
)


class HoldingClass(StrEnum):
    """From when on an ingredient needs time or temperature control.

    Examples
    --------
    >>> HoldingClass("when cut")
    <HoldingClass.WHEN_CUT: 'when cut'>
    """

    NONE = "none"
    WHEN_CUT = "when cut"
    WHEN_OPENED = "when opened"
    WHEN_COOKED = "when cooked"
    ALWAYS = "always"


class Ingredient(FromRow):
    """Something that is bought, with what is known of it; ``None`` means not given.

    Parameters
    ----------
    section : str
        Where it is in the shop; free text used for grouping.
    trim_yield : Fraction, optional
        Edible part of one sound purchased part, ``0 < y <= 1``. [fraction]
    cooked_weight : Fraction, optional
        Weight when cooked as a part of the trimmed weight; rice has more than 1. [fraction]
    density : Fraction, optional
        Of the trimmed ingredient. [g/ml]
    piece_weight : Fraction, optional
        Trimmed weight of one piece, as household-measure tables print it. [g]
    weighs : str
        What a cook weighed, as the user writes it; read into density, piece weight and units.
    spoilage : Fraction
        Part of the purchase lost in each day before the shoot, ``0 <= r < 1``. [fraction per day]
    keeps_days : Fraction, optional
        How long it keeps. [day]
    allergens : tuple of str, optional
        What it brings; ``None`` is unknown, ``()`` is none.
    published_keeps : Fraction, optional
        How long it keeps from the day of purchase, by the tables. [day]
    published_keeps_opened : Fraction, optional
        How long it keeps after opening, by the tables. [day]

    Examples
    --------
    A trim yield is a part of one, or a percent with its sign.

    >>> Ingredient(name="leek", trim_yield="72 %").trim_yield
    Fraction(18, 25)
    """

    sheet: ClassVar[str] = "Ingredients"
    name: str
    section: str = ""
    trim_yield: PartOrNone = default(None)
    cooked_weight: RatioOrNone = default(None)
    density: PositiveOrNone = default(None)
    piece_weight: PositiveOrNone = default(None)
    weighs: str = ""
    spoilage: ShareBelow1 = default(Fraction(0))
    keeps_days: LifeOrNone = default(None)
    holding_class: WordOrNone[HoldingClass] = default(None)
    allergens: ManyOrNone[str] = default(None)
    substitute: str = ""
    note: str = ""
    published_keeps: AtLeast0OrNone = default(None)
    published_keeps_opened: AtLeast0OrNone = default(None)

    @property
    def keeps(self) -> Fraction | None:
        """How long it keeps from the day of purchase: as given, else by the tables. [day]"""
        return self.published_keeps if self.keeps_days is None else self.keeps_days

    @property
    def keeps_opened(self) -> Fraction | None:
        """How long it keeps after opening: as given, else by the tables. [day]"""
        return self.published_keeps_opened if self.keeps_days is None else self.keeps_days

    @property
    def substitutes(self) -> list[str]:
        """What may be bought instead, each by its name."""
        parts = (" ".join(part.split()) for part in self.substitute.split(";"))
        return [part for part in parts if part]


class Part(FromRow):
    """One part of an article, cut one way.

    Rows with the same article and way belong together: one cutting gives all of their parts.

    Parameters
    ----------
    amount : Amount
        How much of it is cut. [mass, volume or count]
    name : str
        The part; an ingredient of recipes like any other.
    part_amount : Amount
        What the amount gives of it. [mass, volume or count]
    way : str
        What this way of cutting is called; may be blank.
    source : str
        Where it is published, when it was filled from a table.

    Examples
    --------
    >>> part = Part(ingredient="lemon", amount="1 each", name="lemon juice", part_amount="40 ml")
    >>> print(part.part_amount)
    40 ml
    """

    sheet: ClassVar[str] = "Parts"
    ingredient: str
    amount: PositiveAmount
    name: str
    part_amount: PositiveAmount
    way: str = ""
    note: str = ""
    source: str = ""
