"""What the takes had made of a dish, or cut of a part, and what is left of each making."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from costing.buying.making import Making
from costing.quantities import ZERO, Unit


@dataclass(frozen=True, slots=True)
class Batch:
    """What was made on one shoot day.

    Parameters
    ----------
    day : date, optional
        Of the shoot.
    keeps : Fraction
        For how long it keeps; 0 is not known. [d]
    amount, left : Fraction
        Of all that was made, and of what no take used. [base unit]
    """

    day: date | None
    keeps: Fraction
    amount: Fraction
    left: Fraction

    @property
    def use_by(self) -> date | None:
        """Its last day, where it is known how long it keeps."""
        return self.day + timedelta(days=floor(self.keeps)) if self.day and self.keeps else None


@dataclass(frozen=True, slots=True)
class Made:
    """All that was made of one dish.

    Parameters
    ----------
    unit : Unit
        Of its amounts.
    batches : tuple of Batch
        The first first.
    """

    unit: Unit
    batches: tuple[Batch, ...]

    @property
    def amount(self) -> Fraction:
        """Of all of it. [base unit]"""
        return sum((one.amount for one in self.batches), ZERO)

    @property
    def left(self) -> Fraction:
        """What no take used. [base unit]"""
        return sum((one.left for one in self.batches), ZERO)

    def parts_of(self, counted: Fraction) -> list[tuple[Batch, Fraction]]:
        """What was counted of each batch [base unit].

        It is of what the takes left of the first, then of the next; what is there beyond that is
        of the first.
        """
        rest, parts = counted, []
        for one in self.batches:
            parts.append((one, min(one.left, rest)))
            rest -= parts[-1][1]
        if parts:
            parts[0] = (parts[0][0], parts[0][1] + rest)
        return parts


def made_of(making: Making | None, code: str) -> Made | None:
    """What was made of a good at the numbers of times of the shots; ``None``: nothing.

    Parameters
    ----------
    making : Making, optional
        Of the takes there were.
    code : str
        Key of the good.
    """
    if making is None or not making.givers(code):
        return None
    at, batches = making.at({}), []
    for number in making.givers(code):
        activity = making.activities[number]
        for episode in making.episodes:
            runs = at.runs[number].get(episode.name, ZERO)
            if not runs:
                continue
            amount = Fraction(runs * activity.gives[code])
            used = at.served[code].given.get((number, episode.name), {})
            left = amount - Fraction(sum(used.values(), ZERO))
            batches.append(Batch(episode.shoot_date, Fraction(activity.keeps[code]), amount, left))
    batches.sort(key=lambda one: one.day or date.min)
    return Made(making.needs.need(code).unit, tuple(batches)) if batches else None
