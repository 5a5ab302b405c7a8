"""An ingredient with its losses, its density and the weight of a piece."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import Field

from costing.kitchen.rows import FromRow

Part = Annotated[Fraction, Field(gt=0, le=1)]
"""A part that is left, above 0 and at most 1. [fraction]"""

Positive = Annotated[Fraction, Field(gt=0)]


class HoldingClass(StrEnum):
    """From when on an ingredient needs time or temperature control."""

    NONE = "none"
    WHEN_CUT = "when cut"
    WHEN_OPENED = "when opened"
    WHEN_COOKED = "when cooked"
    ALWAYS = "always"


class Ingredient(FromRow):
    """Something that is bought, with what is known of it; ``None`` means not given.

    Parameters
    ----------
    name : str
        As the person writes it.
    section : str
        Where it stands in the shop; free text used for grouping.
    trim_yield : Fraction, optional
        Edible part of one sound purchased part, ``0 < y <= 1``. [fraction]
    cooked_weight : Fraction, optional
        Weight when cooked as a part of the trimmed weight; rice has more than 1. [fraction]
    density : Fraction, optional
        Of the trimmed ingredient. [g/ml]
    piece_weight : Fraction, optional
        Trimmed weight of one piece, as household-measure tables print it. [g]
    spoilage : Fraction
        Part of the purchase lost in each day before the shoot, ``0 <= r < 1``. [fraction per day]
    keeps_days : Fraction, optional
        How long it keeps. [day]
    holding_class : HoldingClass, optional
        From when on it needs time or temperature control.
    allergens : tuple of str, optional
        What it brings; ``None`` is unknown, ``()`` is none.
    substitute : str
        What may be bought instead.
    published_keeps : Fraction, optional
        How long it keeps from the day of purchase, by the tables. [day]
    published_keeps_opened : Fraction, optional
        How long it keeps after opening, by the tables. [day]
    """

    sheet: ClassVar[str] = "Ingredients"
    name: str
    section: str = ""
    trim_yield: Part | None = None
    cooked_weight: Positive | None = None
    density: Positive | None = None
    piece_weight: Positive | None = None
    spoilage: Annotated[Fraction, Field(ge=0, lt=1)] = Fraction(0)
    keeps_days: Annotated[Fraction, Field(ge=0)] | None = None
    holding_class: HoldingClass | None = None
    allergens: tuple[str, ...] | None = None
    substitute: str = ""
    note: str = ""
    published_keeps: Annotated[Fraction, Field(ge=0)] | None = None
    published_keeps_opened: Annotated[Fraction, Field(ge=0)] | None = None

    @property
    def keeps(self) -> Fraction | None:
        """How long it keeps from the day of purchase: as given, else by the tables. [day]"""
        return self.published_keeps if self.keeps_days is None else self.keeps_days

    @property
    def keeps_opened(self) -> Fraction | None:
        """How long it keeps after opening: as given, else by the tables. [day]"""
        return self.published_keeps_opened if self.keeps_days is None else self.keeps_days
