r"""The cheapest packs that come to a minimum spend at one shop together: a subset sum over coins.

A *way* to buy an ingredient brings :math:`c` coins to the till with the minimum, its lines rounded
as the till rounds them, and costs :math:`p` in all, elsewhere too. With one price :math:`\lambda`
for every coin that is still lacking, each ingredient is separate, and no choice of ways with
:math:`\sum c \ge T` costs less than

.. math:: b = \lambda T + \sum_i \min (p - \lambda c)

A way whose :math:`p - \lambda c` is more than :math:`u - b` above the least of its ingredient is in
no choice that costs :math:`u` or less. So few ways are looked at first, then more, until what is
found proves that no others are needed. Among those that are left

.. math:: f_i(\min(t + c, T)) = \min_{(c, p)} f_{i-1}(t) + p

is filled in by coins, in whole numbers of a common denominator. Ties, by value left over, packs and
rows from above, are lower digits of the same numbers. Goods of different tax on top are added up
by themselves first, since each sum is taxed and rounded by itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from costing.buying.solver import Deadline
from costing.buying.till import least_net
from costing.buying.ways import Ways, back, picked, tables_of, unreached
from costing.quantities import Rounding, round_money
from costing.shoot import Settings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]

STEPS = 4 * 10**9
"""Ways times coins up to which a table is filled in, some seconds of work. [step]"""

EXACT_STEPS = 10**7
"""The same where ties need numbers that are larger than a machine's. [step]"""

UNREACHED = 2**61
"""Stands for the cost of what cannot be had; above every cost, and twice it is still a machine
integer of 64 bits. [parts of a coin]"""

FINENESS = 256
"""The price of a coin is a multiple of this part of a cost's unit."""

WIDENING = 8
"""By how much the ways looked at may be further from the least when too few were."""


@dataclass(frozen=True, slots=True)
class Goal:
    """What a till has to come to.

    Parameters
    ----------
    minimum : Fraction
        Tax and all. [money]
    rates : tuple of Fraction
        Of the taxes that come on top, each rounded by itself; one of 0 when none does. [fraction]
    """

    minimum: Fraction
    rates: tuple[Fraction, ...]
    settings: Settings
    digits: int

    @property
    def due(self) -> int:
        """The minimum. [coin]"""
        return math.ceil(self.minimum * int(10**self.digits))

    def net(self, taxed: int, due: int | None = None) -> int:
        """What goods of one tax must come to before it, to be due so much with it. [coin]"""
        coins = Fraction(self.due if due is None else due, 10**self.digits)
        return int(least_net(coins, self.rates[taxed], self.settings) * 10**self.digits)

    def due_for(self, taxed: int, net: int) -> int:
        """What goods of one tax come to with it. [coin]"""
        rate = self.rates[taxed]
        if not rate:
            return net
        money = net * rate / 10**self.digits
        tax = round_money(money, self.digits, self.settings.tax_rounding)
        return net + int(tax.scaleb(self.digits))

    def reached(self, nets: Sequence[int]) -> int:
        """What goods come to by the sums of each tax. [coin]"""
        return sum(self.due_for(taxed, net) for taxed, net in enumerate(nets))

    @property
    def weights(self) -> tuple[tuple[int, ...], int]:
        """What a coin of each tax counts for at least, and what all coins count for together."""
        if len(self.rates) == 1:
            return (1,), self.net(0)
        # by how much of a coin rounding may lift the tax of one rate; half coins ask for the 2
        # below
        up_to = {Rounding.HALF_UP: Fraction(1, 2), Rounding.DOWN: Fraction(0)}
        rounded = up_to.get(self.settings.tax_rounding, Fraction(1))
        least = self.due - rounded * sum(1 for rate in self.rates if rate)
        scale = math.lcm(2, *(rate.denominator for rate in self.rates))
        return tuple(int((1 + rate) * scale) for rate in self.rates), int(least * scale)


@dataclass(frozen=True, slots=True)
class Reached:
    """The best ways that come to a minimum.

    Parameters
    ----------
    packs : tuple of tuple of int, optional
        By ingredient and offer; ``None`` when no ways come to it, or when none is as cheap as was
        asked for.
    bound : int
        No ways cost less. [parts of a coin]
    """

    packs: tuple[tuple[int, ...], ...] | None
    bound: int


def cheapest_reaching(
    every: Sequence[Ways], goal: Goal, *, below: int | None = None, deadline: Deadline | None = None
) -> Reached:
    """The cheapest way for each ingredient so that all come to a minimum together.

    Parameters
    ----------
    every : sequence of Ways
        One for each ingredient, none empty.
    below : int, optional
        What costs more is of no use. [parts of a coin]

    Returns
    -------
    Reached
        Proven where its cost is its bound.
    """
    deadline = deadline or Deadline()
    above, least = _excess(every, goal)
    bound = -(-least // FINENESS)
    if below is not None and bound > below:
        return Reached(None, bound)
    picks = _filled_up(every, above, goal)
    if picks is None:
        return Reached(None, UNREACHED)
    cost = _cost(every, picks)
    # few ways first: what they find lowers the cost, and with it the number of ways that matter
    width = max((cost * FINENESS - least) // WIDENING**3, 1)
    while not deadline.passed:
        tried = [ways.kept(over <= width) for ways, over in zip(every, above, strict=True)]
        deadline.spend(sum(len(ways.costs) for ways in tried))
        found = _best(tried, goal, ties=False)
        if found is None:
            return Reached(_packs(every, picks), bound)
        if found and _cost(tried, found) < cost:
            cost = _cost(tried, found)
            picks = _same_ways(every, tried, found)
        if width >= cost * FINENESS - least:  # no way left out is in a choice as cheap
            break
        width = min(width * WIDENING, cost * FINENESS - least)
    else:
        return Reached(_packs(every, picks), bound)
    needed = cost * FINENESS - least
    tried = [ways.kept(over <= needed) for ways, over in zip(every, above, strict=True)]
    found = _best(tried, goal, ties=True)
    return Reached(_packs(tried, found) if found else _packs(every, picks), cost)


def _excess(every: Sequence[Ways], goal: Goal) -> tuple[list[Whole], int]:
    """How far each way is above the least of its ingredient, and the least of all together.

    In :data:`FINENESS` parts of a cost's unit, with the price of a coin that gives the most.
    """
    weights, whole = goal.weights
    worth = [(ways.costs * FINENESS, ways.coins * weights[ways.taxed]) for ways in every]

    def at_price(price: int) -> tuple[int, int]:
        """The least of all at a price of a coin, and what the ways with it come to."""
        total = price * whole
        coins = 0
        for costs, counted in worth:
            reduced = costs - price * counted
            at = int(reduced.argmin())
            total += int(reduced[at])
            coins += int(counted[at])
        return total, coins

    # the least of all is concave in the price of a coin, and rises while the ways with it come to
    # less than is due: its top is where that turns, found by doubling and halving
    low, high = 0, 1
    most = sum(int(costs.max()) for costs, _ in worth)
    # no coin is worth more than the dearest choice of ways
    while high <= most and at_price(high)[1] < whole:
        low, high = high, 2 * high
    while low + 1 < high:
        middle = (low + high) // 2
        low, high = (middle, high) if at_price(middle)[1] < whole else (low, middle)
    price = max((low, high), key=lambda one: at_price(one)[0])
    reduced = [costs - price * counted for costs, counted in worth]
    return [one - one.min() for one in reduced], at_price(price)[0]


def _filled_up(every: Sequence[Ways], above: Sequence[Whole], goal: Goal) -> list[int] | None:
    """Ways that come to the goal: the least of each, and one that makes up for what they lack."""
    picks = [int(over.argmin()) for over in above]
    best: tuple[int, list[int]] | None = None
    for at in [*range(len(every)), *range(len(every))]:  # once more: several may have to give
        nets = _nets(every, picks, goal)
        if goal.reached(nets) >= goal.due:
            cost = _cost(every, picks)
            best = min(best or (cost, picks), (cost, picks))
            break
        ways = every[at]
        others = list(nets)
        others[ways.taxed] -= int(ways.coins[picks[at]])
        rest = goal.due - goal.reached([n if k != ways.taxed else 0 for k, n in enumerate(others)])
        lacking = goal.net(ways.taxed, max(0, rest)) - others[ways.taxed]
        enough = ways.coins >= lacking
        if enough.any():
            # half of it, so that with a cost on top it is still a machine integer
            number = int((ways.costs + (~enough) * UNREACHED // 2).argmin())
            trial = [*picks[:at], number, *picks[at + 1 :]]
            cost = _cost(every, trial)
            if best is None or cost < best[0]:
                best = cost, trial
        elif best is None:
            picks = [*picks[:at], len(ways.coins) - 1, *picks[at + 1 :]]
    return best[1] if best else None


def _nets(every: Sequence[Ways], picks: Sequence[int], goal: Goal) -> list[int]:
    nets = [0] * len(goal.rates)
    for ways, pick in zip(every, picks, strict=True):
        nets[ways.taxed] += int(ways.coins[pick])
    return nets


def _cost(every: Sequence[Ways], picks: Sequence[int]) -> int:
    return sum(int(ways.costs[pick]) for ways, pick in zip(every, picks, strict=True))


def _packs(every: Sequence[Ways], picks: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    rows = (ways.packs[pick] for ways, pick in zip(every, picks, strict=True))
    return tuple(tuple(int(count) for count in row) for row in rows)


def _same_ways(every: Sequence[Ways], tried: Sequence[Ways], picks: Sequence[int]) -> list[int]:
    """The numbers that some of the ways have among all of them; coins tell them apart."""
    import numpy as np

    return [
        int(np.searchsorted(ways.coins, some.coins[pick]))
        for ways, some, pick in zip(every, tried, picks, strict=True)
    ]


def _best(every: Sequence[Ways], goal: Goal, *, ties: bool) -> list[int] | None:
    """The ways that cost least; none when they do not come to the goal.

    Returns
    -------
    list of int or None
        ``None`` when the table would be too large.
    """
    steps = sum(len(ways.coins) * goal.net(ways.taxed) for ways in every)
    if steps > STEPS:
        return None
    values = _with_ties(every, steps) if ties else [ways.costs for ways in every]
    if len(goal.rates) == 1:
        coins = [ways.coins for ways in every]
        return picked(coins, values, goal.net(0))
    return _by_tax(every, values, goal)


def _by_tax(every: Sequence[Ways], values: Sequence[Whole], goal: Goal) -> list[int] | None:
    """The ways of the goods of each tax by what they come to, then those sums together."""
    import numpy as np

    whole = goal.due
    numbers = [[n for n, w in enumerate(every) if w.taxed == t] for t in range(len(goal.rates))]
    tables, sums = [], []
    for taxed, members in enumerate(numbers):
        coins, costs = [every[n].coins for n in members], [values[n] for n in members]
        tables.append(tables_of(coins, costs, goal.net(taxed)))
        sums.append(np.flatnonzero(tables[-1][-1] < unreached(costs)))
    due = [
        np.array([min(whole, goal.due_for(taxed, int(net))) for net in nets])
        for taxed, nets in enumerate(sums)
    ]
    chosen = picked(due, [t[-1][nets] for t, nets in zip(tables, sums, strict=True)], whole)
    picks = [0] * len(every)
    for taxed, at in enumerate(chosen):
        members = numbers[taxed]
        coins, costs = [every[n].coins for n in members], [values[n] for n in members]
        net = int(sums[taxed][at])
        for member, pick in zip(members, back(coins, costs, tables[taxed], net), strict=True):
            picks[member] = pick
    return picks if chosen else []


def _with_ties(every: Sequence[Ways], steps: int) -> list[Whole]:
    """Cost, value left over, packs and rows from above as the digits of one number.

    Where a machine's numbers are too small and there are too many ways for larger ones, value left
    over is compared in coarser parts, and rows last.
    """
    import numpy as np

    cost = [[int(one) for one in ways.costs] for ways in every]
    scale = math.lcm(*(one.denominator for ways in every for one in set(ways.left)))
    left = [[int(one * scale) for one in ways.left] for ways in every]
    packs = [[int(one) for one in ways.packs.sum(axis=1)] for ways in every]
    rows = [
        [int(one) for one in (ways.packs * np.arange(ways.packs.shape[1])).sum(axis=1)]
        for ways in every
    ]
    digits = [_from_least(one) for one in (cost, left, packs, rows)]
    sizes = [1 + sum(map(max, one)) for one in digits]
    small = math.prod(sizes) < UNREACHED
    if not small and steps > EXACT_STEPS:
        coarser = -(-math.prod(sizes) // UNREACHED)
        # rows are given up first: they decide only between packs alike in all else
        if coarser > sizes[1]:
            digits, sizes = digits[:3], sizes[:3]
            coarser = -(-math.prod(sizes) // UNREACHED)
        digits[1] = [[one // coarser for one in of_way] for of_way in digits[1]]
        sizes[1] = 1 + sum(map(max, digits[1]))
        small = math.prod(sizes) < UNREACHED
    if not small and steps > EXACT_STEPS:
        return [np.array(one) for one in digits[0]]
    combined = []
    for number in range(len(every)):
        value = [0] * len(cost[number])
        for digit, size in zip(digits, sizes, strict=True):
            value = [high * size + low for high, low in zip(value, digit[number], strict=True)]
        combined.append(np.array(value, dtype=np.int64 if small else object))
    return combined


def _from_least(values: Sequence[Sequence[int]]) -> list[list[int]]:
    """Each counted from the least of its ingredient, in their greatest common step."""
    above = [[one - min(of_good) for one in of_good] for of_good in values]
    step = math.gcd(*(one for of_good in above for one in of_good)) or 1
    return [[one // step for one in of_good] for of_good in above]
