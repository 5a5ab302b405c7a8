"""Dishes and the lines of their recipes, step by step."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import Any, ClassVar

from pydantic import model_validator

from costing.kitchen.ingredients import HoldingClass
from costing.names import key
from costing.quantities import Dimension, is_traced
from costing.quantities.fields import (
    AmountOrNone,
    AtLeast0OrNone,
    AtLeast1,
    CountFrom1,
    FromRow,
    LifeOrNone,
    PartOrNone,
    PositiveAmountOrNone,
    PositiveOrNone,
    RatioOrNone,
    Word,
    WordOrNone,
    default,
)


class Measured(StrEnum):
    """In which state a line's amount is measured.

    Examples
    --------
    >>> Measured("as bought")
    <Measured.AS_BOUGHT: 'as bought'>
    """

    TRIMMED = "trimmed"
    AS_BOUGHT = "as bought"
    COOKED = "cooked"


class Shown(StrEnum):
    """Whether a line is made ready ahead or prepared on camera.

    Examples
    --------
    >>> Shown("on camera")
    <Shown.ON_CAMERA: 'on camera'>
    """

    AHEAD = "ahead"
    ON_CAMERA = "on camera"


def is_picked(candidates: Fraction, good_enough: Fraction | None) -> bool:
    """Whether pieces are chosen from more of them, or may be once a cell is edited.

    Parameters
    ----------
    candidates : Fraction
        Looked at for each piece that is shown.
    good_enough : Fraction, optional
        Or the part of the pieces that is good enough to be shown. [fraction]
    """
    return candidates != 1 or good_enough is not None or is_traced(candidates)


class Line(FromRow):
    """One ingredient, or another dish, in one step of a dish.

    Parameters
    ----------
    step : int
        In cooking order, from 1.
    ingredient : str
        An ingredient or another dish; ``""`` for a step that takes none.
    amount : Amount, optional
        ``None`` is unknown, unless ``to_taste``; of a range the upper end.
    to_taste : bool
        Nothing is computed for it.
    candidates : Fraction
        Pieces looked at for each piece that a hero, hero spare or close-up shows.
    good_enough : Fraction, optional
        Or the part of the pieces that is good enough to be shown. [fraction]
    pieces : Fraction, optional
        How many its amount is, where published weights turned pieces into grams.
    optional : bool
        Left out unless the shot takes the optional lines.

    Examples
    --------
    >>> line = Line(dish="tart", step=2, ingredient="leek", amount="1 1/2 kg")
    >>> print(line.amount)
    1.5 kg
    """

    sheet: ClassVar[str] = "Recipes"
    named_by: ClassVar[str] = "ingredient"
    dish: str
    step: CountFrom1 = default(1)
    step_name: str = ""
    ingredient: str = ""
    amount: AmountOrNone = default(None)
    amount_low: AmountOrNone = default(None)
    to_taste: bool = False
    cut: str = ""
    measured: Word[Measured] = default(Measured.TRIMMED)
    candidates: AtLeast1 = default(Fraction(1))
    good_enough: PartOrNone = default(None)
    pieces: AtLeast0OrNone = default(None)
    shown: Word[Shown] = default(Shown.AHEAD)
    optional: bool = False
    note: str = ""

    @model_validator(mode="before")
    @classmethod
    def _taste(cls, given: Any) -> Any:
        """Take the words of the Amount cell in code too."""
        words = given.get("amount") if isinstance(given, dict) else None
        if isinstance(words, str) and key(words) == "to taste":
            return {**given, "amount": None, "to_taste": True}
        return given

    @property
    def counted(self) -> Fraction | None:
        """How many pieces its amount is; ``None`` where it is not counted in pieces."""
        if self.pieces is not None or self.amount is None:
            return self.pieces
        return self.amount.base if self.amount.unit.dimension is Dimension.COUNT else None

    @property
    def picked(self) -> bool:
        """Whether its pieces are chosen from more of them, or may be once a cell is edited."""
        return is_picked(self.candidates, self.good_enough)


class Dish(FromRow):
    """What a dish makes.

    Parameters
    ----------
    makes : Amount, optional
        Needed when the dish is an ingredient of another by amount.
        [portion, mass, volume or count]
    cooked_weight : Fraction, optional
        Finished weight as a part of the trimmed weight put in. [fraction]
    whole_batches : bool
        Whether it is made in whole batches only; what nobody takes of the last is left over.
    keeps_days : Fraction, optional
        For so long what is made serves later shoot days; ``None``: made for each shoot day. [day]
    holding_class : HoldingClass, optional
        When the finished dish needs control of its temperature; ``None``: by what is in it.
    photo_life : Fraction, optional
        How long it looks right on camera. [minute]

    Examples
    --------
    >>> Dish(name="bean puree", makes="330 g", cooked_weight="95 %").cooked_weight
    Fraction(19, 20)
    """

    sheet: ClassVar[str] = "Dishes"
    name: str
    makes: PositiveAmountOrNone = default(None)
    cooked_weight: RatioOrNone = default(None)
    whole_batches: bool = False
    keeps_days: LifeOrNone = default(None)
    holding_class: WordOrNone[HoldingClass] = default(None)
    photo_life: PositiveOrNone = default(None)
    note: str = ""
