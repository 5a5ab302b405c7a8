"""Weighings before and after trimming, and the trim yields they teach.

What several shoots weighed is one trim yield: all that trimming left by all that was trimmed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from costing.findings import how_many
from costing.kitchen import Ingredient
from costing.names import key
from costing.quantities import ZERO, Amount, Dimension, amount, decimal_or_fraction, round_money
from costing.shoot.shoot import Shoot

ENOUGH_WEIGHINGS = 5
"""What fewer weighings say is shown and, unless asked for, not used."""


TRIMMED_FROM = re.compile(r"\btrimmed\s+from\s+(.+?)\s*(?:[;,(].*)?$", re.IGNORECASE)
"""At the end of a note, or before a mark; what follows is an amount as it was bought."""


def trimmed_from(note: str) -> Amount | None:
    """What was weighed before trimming, where a note says so.

    Examples
    --------
    >>> print(trimmed_from("trimmed from 1.2 kg"))
    1.2 kg
    >>> trimmed_from("what was trimmed from it is in the bin") is None
    True
    """
    found = TRIMMED_FROM.search(note)
    if found is None:
        return None
    try:
        whole = amount(found[1])
    except ValueError:
        return None
    # nothing weighed teaches nothing
    return whole if whole.base > 0 else None


@dataclass(frozen=True, slots=True)
class Trimming:
    """One weighing of an ingredient before and after trimming.

    ``left``, ``whole``: what trimming left, of what. [base unit]
    """

    ingredient: str
    left: Fraction
    whole: Fraction


def trimmings_of(shoot: Shoot) -> Iterator[Trimming]:
    """The weighings on Counted and in the day log; those that cannot be are left aside."""
    rows = [
        *((row.ingredient, row.amount, row.note) for row in shoot.counted),
        *((row.what, row.amount, row.note) for row in shoot.day_log),
    ]
    for name, left, note in rows:
        whole = trimmed_from(note)
        if left is None or whole is None or left.dimension is not whole.dimension:
            continue
        # more than was there is a slip, and pieces are bought whole
        if ZERO < left.base <= whole.base and whole.dimension is not Dimension.COUNT:
            yield Trimming(name, left.base, whole.base)


@dataclass(frozen=True, slots=True)
class TrimYieldLearned:
    """What all weighings say of one ingredient."""

    ingredient: str
    weighings: tuple[Trimming, ...]

    @property
    def percent(self) -> Fraction:
        """Trim yield over all of them, to a tenth. [percent]"""
        left = sum((one.left for one in self.weighings), ZERO)
        whole = sum((one.whole for one in self.weighings), ZERO)
        return _tenths(left / whole)

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        """The least and the most of one weighing. [percent]"""
        each = [one.left / one.whole for one in self.weighings]
        return _tenths(min(each)), _tenths(max(each))

    @property
    def rests_on_enough(self) -> bool:
        """Whether it is used without being asked for."""
        return len(self.weighings) >= ENOUGH_WEIGHINGS

    @property
    def note(self) -> str:
        """What stands beside it where it was taken over."""
        weighings = how_many(len(self.weighings), "weighing")
        percent = decimal_or_fraction(self.percent)
        return f"Learned from {weighings}: {percent} %."


def _tenths(part: Fraction) -> Fraction:
    return Fraction(round_money(100 * part, 1))


def yields_learned(trimmings: Iterable[Trimming]) -> tuple[TrimYieldLearned, ...]:
    """What weighings teach, ingredient by ingredient, the most weighed first.

    Examples
    --------
    >>> once, again = Fraction(850) / 1200, Fraction(7) / 8
    >>> told = [Trimming("leek", 1200 * once, Fraction(1200)), Trimming("Leek", again, Fraction(1))]
    >>> [leek] = yields_learned(told)
    >>> [float(percent) for percent in (leek.percent, *leek.ends)]
    [70.8, 70.8, 87.5]
    """
    by_name: dict[str, list[Trimming]] = {}
    for one in trimmings:
        by_name.setdefault(key(one.ingredient), []).append(one)
    found = [
        TrimYieldLearned(several[0].ingredient, tuple(several)) for several in by_name.values()
    ]
    return tuple(sorted(found, key=lambda one: (-len(one.weighings), key(one.ingredient))))


_NOTE = re.compile(r"Learned from ([0-9]+) weighings?: ([0-9.]+) %\.")


def weighings_behind(ingredient: Ingredient) -> int | None:
    """On how many weighings its trim yield rests; ``None`` where it was typed or edited."""
    told = _NOTE.search(ingredient.note)
    if told is None or ingredient.trim_yield != Fraction(told[2]) / 100:
        return None
    return int(told[1])
