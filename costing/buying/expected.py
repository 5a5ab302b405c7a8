"""What is used and left over on average, over all numbers of times that may come.

Each ingredient's needs are enumerated exactly with their chances while they are few; those of the
others are drawn at random, always the same ones, and the mean of the draws has a standard error.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, product
from random import Random

from costing.buying.left_over import keeping, left_of
from costing.buying.on_hand import Taken
from costing.buying.purchases import Counts, Purchase
from costing.buying.values import Values, lot_price
from costing.quantities import ZERO
from costing.shoot import Shoot
from costing.shoot.times import Times

MOST_STATES = 1_000
"""Different needs of an ingredient up to which they are all worked out."""

DRAWS = 1_000
"""Numbers of times drawn where there are more."""

SEED = 1959
"""Of the random numbers, so that the same shoot has the same figures."""


@dataclass(frozen=True, slots=True)
class Worth:
    """Money over one ingredient or over all of them.

    ``used``, ``left``, ``keeps``: used value; what is left of what is bought; the part of it that
    keeps. [money]
    """

    used: float = 0.0
    left: float = 0.0
    keeps: float = 0.0

    def __add__(self, other: Worth) -> Worth:
        return Worth(self.used + other.used, self.left + other.left, self.keeps + other.keeps)

    def times(self, factor: float) -> Worth:
        """A part of it."""
        return Worth(self.used * factor, self.left * factor, self.keeps * factor)


@dataclass(frozen=True, slots=True)
class Expected:
    """What is used and left over on average.

    Parameters
    ----------
    used, left, keeps : Fraction
        Means. [money]
    left_error : Fraction
        Standard error of ``left`` where some of it is drawn at random, else 0. [money]
    """

    used: Fraction
    left: Fraction
    keeps: Fraction
    left_error: Fraction = ZERO


class Outcomes:
    """What one ingredient's packs come to for any need."""

    def __init__(self, purchase: Purchase, values: Values, shoot: Shoot) -> None:
        self.purchase = purchase
        self._values = values
        self._price = values.unit_price or ZERO
        self._keeping = keeping(purchase.need, shoot)
        self._brought = purchase.brought
        self._known: dict[tuple[tuple[str, Fraction], ...], Worth] = {}

    def worth(self, as_bought: Mapping[str, Fraction]) -> Worth:
        """Used and left for a need by episode."""
        at = tuple(as_bought.items())
        if at not in self._known:
            demand = self.purchase.demand
            on_hand = self._of_lots(demand.stock.serve(as_bought))
            self._known[at] = self._with_packs(demand.wanted(as_bought), on_hand)
        return self._known[at]

    def worth_at(self, counts: Counts, planned: Counts) -> Worth:
        """Used and left for numbers of times."""
        demand = self.purchase.demand
        if (making := demand.made_by) is None:
            return self.worth(demand.as_bought(counts, planned))
        on_hand = self._of_lots(making.at(counts).served[demand.code].taken)
        return self._with_packs(demand.wanted(demand.as_bought(counts, planned)), on_hand)

    def _of_lots(self, taken: Taken) -> Fraction:
        """What is used of lots is worth. [money]"""
        used = ((lot, whole, part) for lot, whole, part in taken.from_lots if part)
        worth = ((lot_price(lot, n, self.purchase) or ZERO) * part for lot, n, part in used)
        return sum(worth, ZERO)

    def _with_packs(self, wanted: Fraction, on_hand: Fraction) -> Worth:
        """Used and left where so much is wanted of the packs."""
        used = min(wanted, self.purchase.bought) * self._price
        left = left_of(self._brought, wanted)
        keeps = left.sealed if self._keeping.sealed else ZERO
        keeps += left.rest if self._keeping.opened else ZERO
        return Worth(
            used=float(used + on_hand),
            left=float(Fraction(self._values.bought) - used),
            keeps=float(keeps * self._price),
        )


def expected(
    purchases: Sequence[Purchase],
    values: Sequence[Values],
    times: Mapping[int, Times],
    planned: Counts,
    shoot: Shoot,
    *,
    most_states: int = MOST_STATES,
) -> Expected:
    """Used and left-over value on average.

    Parameters
    ----------
    planned : mapping of int to int
        The likeliest numbers. [time]
    most_states : int
        Needs of an ingredient up to which they are enumerated.
    """
    total, drawn = Worth(), []
    for purchase, value in zip(purchases, values, strict=True):
        outcomes = Outcomes(purchase, value, shoot)
        states = _states(purchase, times, planned, most_states)
        if states is None:
            drawn.append(outcomes)
            continue
        for at, chance in states.items():
            total += outcomes.worth(dict(at)).times(chance)
    sums = _drawn(drawn, times, planned)
    mean = Worth()
    for one in sums:
        mean += one.times(1 / len(sums))
    # of the sums and not of each ingredient: they hang on the same takes
    variance = sum((one.left - mean.left) ** 2 for one in sums) / max(1, len(sums) - 1)
    total += mean
    return Expected(
        Fraction(total.used),
        Fraction(total.left),
        Fraction(total.keeps),
        Fraction(math.sqrt(variance / len(sums))) if sums else ZERO,
    )


State = tuple[tuple[str, Fraction], ...]
"""Need by episode. [base unit]"""


def _states(
    purchase: Purchase, times: Mapping[int, Times], planned: Counts, most: int
) -> dict[State, float] | None:
    """Every need of an ingredient with its chance; ``None`` when they are too many."""
    need, demand = purchase.need, purchase.demand
    if demand.made and demand.stock.lots:
        return None  # what is used of the lots hangs on what is made besides
    together = any(shot in demand.forest.takers for shot in need.per_time)
    if together or need.picking is not None or demand.making is not None:
        return _combined(purchase, times, planned, most)  # they depend on several shots at once
    base = dict(need.as_bought)
    for shot, ((episode, _, _), amount) in need.per_time.items():
        base[episode] -= planned[shot] * amount
    states: dict[State, float] = {tuple(base.items()): 1.0}
    for shot in purchase.demand.shots:
        (episode, _, _), amount = need.per_time[shot]
        after: dict[State, float] = {}
        for state, chance in states.items():
            for number, part in times[shot].chances:
                at = tuple(
                    (name, value + number * amount if name == episode else value)
                    for name, value in state
                )
                after[at] = after.get(at, 0.0) + chance * float(part)
            if len(after) > most:
                return None
        states = after
    return states


def _combined(
    purchase: Purchase, times: Mapping[int, Times], planned: Counts, most: int
) -> dict[State, float] | None:
    """The same by every combination of numbers of times; ``None`` when they are too many."""
    shots = purchase.demand.shots
    if math.prod(len(times[shot].chances) for shot in shots) > most:
        return None
    states: dict[State, float] = {}
    for numbers in product(*(times[shot].chances for shot in shots)):
        counts = {shot: number for shot, (number, _) in zip(shots, numbers, strict=True)}
        state = tuple(purchase.demand.as_bought({**planned, **counts}, planned).items())
        chance = math.prod(float(part) for _, part in numbers)
        states[state] = states.get(state, 0.0) + chance
    return states


def _drawn(
    outcomes: Sequence[Outcomes], times: Mapping[int, Times], planned: Counts
) -> list[Worth]:
    """For each draw of all numbers of times what these ingredients come to together."""
    if not outcomes:
        return []
    random = Random(SEED)  # noqa: S311 - nothing secret depends on it
    within = {
        shot: list(accumulate(float(chance) for _, chance in one.chances))
        for shot, one in times.items()
    }
    last = {shot: len(one.numbers) - 1 for shot, one in times.items()}
    sums = []
    for _ in range(DRAWS):
        counts = {
            shot: one.numbers[min(bisect_right(within[shot], random.random()), last[shot])]
            for shot, one in times.items()
        }
        total = Worth()
        for one in outcomes:
            total += one.worth_at(counts, planned)
        sums.append(total)
    return sums
