"""What is left over, and which part of it keeps.

The packs that are opened are those that together cost least to open, so that what stays sealed is
worth most. Loose goods are open as they are bought.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.lives import life_of
from costing.buying.need import Need
from costing.buying.on_hand import Taken, last_day
from costing.quantities import ZERO, untraced_choice
from costing.shoot import Shoot

KEEPS_LONG_ENOUGH = 7
"""Where no later shoot day is known, left-overs keep when their life is at least this. [day]"""


@dataclass(frozen=True, slots=True)
class Brought:
    """Packs of one kind that are there.

    Parameters
    ----------
    amount : Fraction
        What one brings. [base unit]
    price : Fraction
        Of one. [money]
    sealed : bool
        Whether one that is not needed stays sealed; loose goods do not.
    """

    amount: Fraction
    price: Fraction
    count: int
    sealed: bool = True


@dataclass(slots=True)
class Left:
    """What is left of packs.

    Parameters
    ----------
    sealed : Fraction
        In packs that need not be opened. [base unit]
    sealed_value : Fraction
        What these cost. [money]
    rest : Fraction
        In packs that are open. [base unit]
    """

    sealed: Fraction = ZERO
    sealed_value: Fraction = ZERO
    rest: Fraction = ZERO


def left_of(brought: Sequence[Brought], wanted: Fraction) -> Left:
    """What is left of packs when so much is taken of them; nothing when it is more than all.

    Examples
    --------
    300 g of four packs of 250 g: two are opened, two stay sealed, 200 g are open.

    >>> left_of([Brought(Fraction(250), Fraction(1), 4)], Fraction(300))
    Left(sealed=Fraction(500, 1), sealed_value=Fraction(2, 1), rest=Fraction(200, 1))
    """
    # which packs are opened is chosen, so that nothing of this follows a formula
    wanted = untraced_choice(wanted)
    loose = sum((kind.amount * kind.count for kind in brought if not kind.sealed), ZERO)
    kinds = [kind for kind in brought if kind.sealed and kind.count]
    opened = _opened(kinds, wanted - loose)
    left = Left(rest=loose - max(ZERO, wanted))
    for kind, count in zip(kinds, opened, strict=True):
        left.rest += kind.amount * count
        left.sealed += kind.amount * (kind.count - count)
        left.sealed_value += kind.price * (kind.count - count)
    left.rest = max(ZERO, left.rest)
    return left


def _opened(kinds: Sequence[Brought], needed: Fraction) -> list[int]:
    """How many of each kind are opened: the cheapest, then the least, that cover what is needed."""
    # nothing to choose, and by far the most frequent case: no search
    if len(kinds) == 1:
        (kind,) = kinds
        return [min(kind.count, max(0, -(-needed // kind.amount)))]
    offers = [Offer(kind.amount, kind.price, kind.count) for kind in kinds]
    opened = cheapest_mixtures(needed, offers).packs(()) if kinds else None
    return list(opened or ())


@dataclass(frozen=True, slots=True)
class Keeping:
    """Which left-overs of an ingredient are within their life on the next shoot day.

    ``opened``: what is left in opened packs, and of loose goods.
    """

    sealed: bool
    opened: bool


@dataclass(frozen=True, slots=True)
class _Days:
    """The days that decide what keeps; ``None`` is not known."""

    bought: date | None
    first_use: date | None
    next_shoot: date | None

    @classmethod
    def of(cls, need: Need, shoot: Shoot) -> _Days:
        dates, users = shoot.shoot_dates, need.users
        used = [day for name, day in dates.items() if name in users]
        known = [day for day in used if day is not None]
        bought = shoot.shopping_date
        if not known or len(known) < len(used):
            return cls(bought, None, None)
        last = max(known)
        later = [day for day in dates.values() if day is not None and day > last]
        return cls(bought, min(known), min(later, default=None))

    def reached(self, life: int, start: date | None) -> bool:
        """Whether a life that starts on a day reaches the next shoot day, or is long enough."""
        if self.next_shoot is None or start is None:
            return life >= KEEPS_LONG_ENOUGH
        return start + timedelta(days=life) >= self.next_shoot


def keeping(need: Need, shoot: Shoot) -> Keeping:
    """Which left-overs of an ingredient keep.

    An unknown life of sealed packs ends nothing; an unknown life after opening is no life. What
    is open counts as opened on the first day of use, the earliest it can be, so that nothing is
    said to keep that does not; it lives no longer than a sealed pack either. Rows of Packs keep by
    their State, and of several the one that keeps shortest counts.
    """
    days = _Days.of(need, shoot)
    ingredient = need.ingredient
    lives = [life_of(pack, ingredient) for pack in shoot.packs_of(ingredient.name)]
    sealed = all(one.sealed is None or days.reached(one.sealed, days.bought) for one in lives)
    opened = all(
        one.opened is not None and days.reached(one.opened, days.first_use) for one in lives
    )
    return Keeping(sealed, sealed and opened)


def stock_that_keeps(need: Need, taken: Taken, shoot: Shoot) -> Fraction:
    """What is left of the lots and keeps. [base unit]

    A lot without a last day keeps; of one that is begun the life after opening counts too.
    """
    days, kept = _Days.of(need, shoot), ZERO
    known = [day for day in shoot.shoot_dates.values() if day is not None]
    week = max(known) + timedelta(days=KEEPS_LONG_ENOUGH) if known else date.min
    for lot, whole, used in taken.from_lots:
        last = last_day(lot, need)
        life = need.ingredient.keeps_opened
        if used and lot.opened is None and life is not None and days.first_use is not None:
            opened = days.first_use + timedelta(days=floor(life))
            last = opened if last is None else min(last, opened)
        if last is None or last >= (days.next_shoot or week):
            kept += whole - used
    return kept
