"""A shot: one use of food, on camera or for it."""

from __future__ import annotations

from datetime import time
from enum import StrEnum
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import Field, model_validator

from costing.kitchen.rows import FromRow

Count = Annotated[int, Field(ge=0)]


class Purpose(StrEnum):
    """What a shot is for; it sets the defaults of the shot's other columns."""

    COOK_THROUGH = "cook-through"
    RETAKE = "retake"
    SWAP = "swap"
    HERO = "hero"
    HERO_SPARE = "hero spare"
    CLOSE_UP = "close-up"
    RESET = "reset"
    BITE = "bite"
    VERTICAL_PASS = "vertical pass"
    TEST = "test"
    STAND_IN = "stand-in"
    CREW_MEAL = "crew meal"
    GIVEAWAY = "giveaway"


STEPS_EXPECTED = frozenset({Purpose.SWAP, Purpose.RETAKE, Purpose.CLOSE_UP, Purpose.RESET})
"""Purposes whose Steps should be given; all steps are taken, with a warning, when they are not."""

EATEN = frozenset({Purpose.BITE, Purpose.CREW_MEAL, Purpose.GIVEAWAY})
"""Purposes whose food is eaten unless the shot says otherwise."""


class Shot(FromRow):
    """One use of food.

    Parameters
    ----------
    dish : str
        Which dish.
    name : str
        Blank: named from dish and purpose.
    episode : str
        Blank: the only episode.
    steps : tuple of int, optional
        The steps it takes; ``None`` takes all.
    from_shot : str
        The shot whose copy of the dish goes on here, or ``nothing`` when the steps stand for
        themselves; blank: the copy is begun anew.
    batch : Fraction
        How much of the recipe each time. [recipe]
    times : int
        How many times in all; with ``fewest`` or ``most`` the likeliest number.
    fewest, most : int, optional
        Three-point estimate of an uncertain number of times.
    eaten : bool, optional
        ``None``: by purpose.
    optional_lines : bool
        Whether the recipe's optional lines are taken.
    starts : time, optional
        Clock time on the shoot date.
    source : int, optional
        Place in the plan of the shot that ``from_shot`` names, once that is found to go; filled
        in by ``costing.shoot.defaults``.
    """

    sheet: ClassVar[str] = "Shoot plan"
    named_by: ClassVar[str] = "label"
    dish: str
    name: str = ""
    episode: str = ""
    purpose: Purpose = Purpose.COOK_THROUGH
    steps: tuple[int, ...] | None = None
    from_shot: str = ""
    batch: Annotated[Fraction, Field(ge=0)] = Fraction(1)
    times: Count = 1
    fewest: Count | None = None
    most: Count | None = None
    eaten: bool | None = None
    optional_lines: bool = False
    starts: time | None = None
    source: Count | None = None
    note: str = ""

    @model_validator(mode="after")
    def _points_in_order(self) -> Shot:
        low = self.times if self.fewest is None else self.fewest
        high = self.times if self.most is None else self.most
        if not low <= self.times <= high:
            raise ValueError("fewest, times and most must rise in this order")
        return self

    @property
    def is_eaten(self) -> bool:
        """Whether its food is eaten, by the shot's own word or else by its purpose."""
        return self.purpose in EATEN if self.eaten is None else self.eaten

    @property
    def uncertain(self) -> bool:
        """Whether its number of times is an estimate."""
        return self.fewest is not None or self.most is not None

    @property
    def label(self) -> str:
        """Its name, or a name made from dish and purpose."""
        return self.name or f"{self.dish}, {self.purpose}"
