"""What the takes had made of a dish, or cut of a part, and what is left of each making."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import floor

from costing.buying.making import Making
from costing.kitchen import Lot
from costing.names import key
from costing.quantities import ZERO, Amount, Dimension, Unit
from costing.shoot import Shoot

DIGITS_OF_LARGE_UNITS = 3
"""So many behind the point can be weighed of a kilogram or a pound. [digit]"""


@dataclass(frozen=True, slots=True)
class MadeOnDay:
    """What was made on one shoot day.

    Parameters
    ----------
    keeps : Fraction, optional
        For how long it keeps; 0 or none is not known. [d]
    amount, left : Fraction
        Of all that was made, and of what no take used. [base unit]
    """

    day: date | None
    keeps: Fraction | None
    amount: Fraction
    left: Fraction

    @property
    def use_by(self) -> date | None:
        """Its last day, where it is known how long it keeps."""
        return self.day + timedelta(days=floor(self.keeps)) if self.day and self.keeps else None


@dataclass(frozen=True, slots=True)
class MadeDish:
    """All that was made of one dish."""

    unit: Unit
    batches: tuple[MadeOnDay, ...]

    @property
    def amount(self) -> Fraction:
        """Of all of it. [base unit]"""
        return sum((one.amount for one in self.batches), ZERO)

    @property
    def left(self) -> Fraction:
        """What no take used. [base unit]"""
        return sum((one.left for one in self.batches), ZERO)

    def lots(self, name: str, left: Fraction) -> Iterator[Lot]:
        """What is left of a dish, or of a part, that was made for a shoot, by batch."""
        for batch, part in self.parts_of(left):
            yield _lot(name, weighable(Amount(part / self.unit.size, self.unit)), batch.use_by)

    def parts_of(self, counted: Fraction) -> list[tuple[MadeOnDay, Fraction]]:
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


def made_of(making: Making | None, code: str) -> MadeDish | None:
    """What was made of a good at the numbers of times of the shots; ``None``: nothing."""
    if making is None:
        return None
    at, batches = making.at({}), []
    for episode in making.episodes:  # by date
        for number in making.givers(code):
            activity, runs = making.activities[number], at.runs[number].get(episode.name, ZERO)
            if not runs:
                continue
            amount = Fraction(runs * activity.gives[code])
            used = at.served[code].given.get((number, episode.name), {})
            left = amount - Fraction(sum(used.values(), ZERO))
            batches.append(
                MadeOnDay(episode.shoot_date, Fraction(activity.keeps[code]), amount, left)
            )
    return MadeDish(making.needs.need(code).unit, tuple(batches)) if batches else None


def lots_of_dishes(
    shoot: Shoot,
    making: Making | None,
    bought: Container[str],
    logged: Mapping[str, Amount],
    last: date | None,
) -> Iterator[Lot]:
    """What is left of dishes that were made and are never bought, as counted or by the takes.

    ``logged``: what is left by the counts of the log, by the key of the dish.
    """
    for name in shoot.recipes:
        if name in bought:
            continue
        made, dish = made_of(making, key(name)), shoot.dish_rows.get(name)
        counted = [row.amount for row in shoot.counted if key(row.ingredient) == key(name)]
        if not counted and key(name) in logged:
            counted = [weighable(logged[key(name)])]
        if counted:
            keeps = dish.keeps_days if dish else None
            first = made.batches[0] if made else MadeOnDay(last, keeps, ZERO, ZERO)
            yield from (_lot(name, amount, first.use_by) for amount in counted)
        elif made is not None:
            yield from made.lots(name, made.left)


def _lot(name: str, amount: Amount, use_by: date | None) -> Lot:
    """The used value of the shoot it was made for has all that it cost."""
    note = "Left of the shoot before, which paid for it."
    return Lot(ingredient=name, amount=amount, use_by=use_by, value=Decimal(0), note=note)


def weighable(left: Amount) -> Amount:
    """What a person can weigh or measure of what was worked out: never more than there is.

    Examples
    --------
    >>> from costing.quantities import amount
    >>> print(weighable(amount("250/9 g")), weighable(amount("1/3 kg")))
    27 g 0.333 kg
    """
    if left.dimension in (Dimension.COUNT, Dimension.BATCH):
        return Amount(Fraction(left.magnitude), left.unit)
    parts = 1 if left.unit.size <= 1 else 10**DIGITS_OF_LARGE_UNITS
    return Amount(Fraction(floor(left.magnitude * parts), parts), left.unit)
