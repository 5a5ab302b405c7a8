"""The ways to buy one ingredient where what is paid at one till counts: one for each sum of coins.

Offers are taken in one after the other. Of ways with the same coins that bring the same towards the
need only the best is kept, by cost, then by what they bring, packs and rows: whatever is bought
besides adds the same to both, and at the same cost the one that brings less leaves less over.

One way is taken for each ingredient; tables of the least value of each sum of coins say which.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from costing.buying.articles import Article, Packs
from costing.buying.basket import Offer
from costing.quantities import ZERO

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]

MOST_WAYS = 4 * 10**6
"""Ways that are looked at together. [way]"""

MACHINE_LIMIT = 2**50
"""Costs and amounts in whole parts are below it, so that sums of them are machine integers."""


@dataclass(frozen=True)
class Ways:
    """The ways to buy one ingredient, one for each sum of coins.

    Parameters
    ----------
    coins : array of int
        At the till with the minimum, before tax on top; rising. [coin]
    costs : array of int
        In all. [parts of a coin]
    packs : array of int
        By way and offer.
    left : sequence of Fraction
        Value left over less the cost, by way, as far as that differs between the ways.
    taxed : int
        Number of the tax that comes on top.
    """

    coins: Whole
    costs: Whole
    packs: Whole
    left: tuple[Fraction, ...]
    taxed: int = 0

    def kept(self, chosen: NDArray[np.bool_]) -> Ways:
        """Some of the ways."""
        import numpy as np

        left = tuple(self.left[number] for number in np.flatnonzero(chosen))
        return Ways(self.coins[chosen], self.costs[chosen], self.packs[chosen], left, self.taxed)


def coins_of(offer: Offer, count: int, digits: int) -> int:
    """What the till takes for so many before tax on top, rounded half up as it rounds. [coin]"""
    price = offer.row.unit_price or ZERO
    number, whole = price.numerator * count * int(10**digits), price.denominator
    return (2 * number + whole) // (2 * whole)


def ways_to_buy(
    article: Article,
    there: Sequence[int],
    wanted: Fraction,
    elsewhere: Callable[[Fraction], Packs | None],
    *,
    most: int,
    digits: int,
    scale: int,
    taxed: int = 0,
) -> Ways | None:
    """For each sum of coins at a till the best way to buy an ingredient.

    Parameters
    ----------
    there : sequence of int
        Its offers that are paid for at that till.
    wanted : Fraction
        To be covered. [base unit]
    elsewhere : callable
        The cheapest packs of all other offers for an amount; ``None`` when they have too little.
    most : int
        Sums from here on count alike. [coin]
    scale : int
        Parts of a coin that make every cost whole.
    taxed : int
        Number of the tax that comes on top.

    Returns
    -------
    Ways or None
        None of them when it cannot be covered; ``None`` when there are too many to look at.
    """
    import numpy as np  # here only: seldom needed

    offers = article.offers
    amounts = (wanted, article.planned, *(offer.amount for offer in offers))
    whole = math.lcm(*(amount.denominator for amount in amounts))
    need, planned = int(wanted * whole), int(article.planned * whole)
    supply = coins = costs = np.zeros(1, dtype=np.int64)
    packs = np.zeros((1, len(offers)), dtype=np.int64)
    for at in there:
        offer = offers[at]
        amount, cost = int(offer.amount * whole), int(offer.cost * scale)
        paid = _coins_by_count(offer, need, amount, most, digits)
        if (
            len(paid) * len(coins) > MOST_WAYS
            or len(paid) * max(amount, cost, need) > MACHINE_LIMIT
        ):
            return None
        counts = np.tile(np.arange(len(paid)), len(coins))
        before = np.repeat(np.arange(len(coins)), len(paid))
        supply = supply[before] + counts * amount
        coins = np.minimum(most, coins[before] + np.array(paid)[counts])
        costs = costs[before] + counts * cost
        packs = packs[before]
        packs[:, at] = counts
        kept = _best_of_each((np.minimum(supply, need), coins), costs, supply, packs)
        supply, coins, costs, packs = supply[kept], coins[kept], costs[kept], packs[kept]
    for lacking in np.unique(supply[supply < need]).tolist():
        more, alike = elsewhere(Fraction(need - lacking, whole)), supply == lacking
        if more is None:
            supply, coins, costs, packs = (one[~alike] for one in (supply, coins, costs, packs))
            continue
        brought, cost = int(article.supply(more) * whole), int(article.paid(more) * scale)
        if max(brought, cost) > MACHINE_LIMIT:
            return None
        packs[alike] += np.array(more, dtype=np.int64)
        costs = costs + alike * cost
        supply = supply + alike * brought
    kept = _best_of_each((coins,), costs, supply, packs)
    left = [
        Fraction(-cost * min(planned, brought), brought) if brought else ZERO
        for cost, brought in zip(costs[kept].tolist(), supply[kept].tolist(), strict=True)
    ]
    return Ways(coins[kept], costs[kept], packs[kept], tuple(left), taxed)


def _coins_by_count(offer: Offer, need: int, amount: int, most: int, digits: int) -> list[int]:
    """The coins of none, one, two and so on, until neither need nor till wants one more."""
    paid = [0]
    while offer.at_most is None or len(paid) <= offer.at_most:
        count = len(paid) - 1
        # what covers the need and the minimum needs no more; what is free brings no till further
        if count * amount >= need and (paid[-1] >= most or not offer.cost):
            break
        if len(paid) > MOST_WAYS:
            break
        paid.append(coins_of(offer, len(paid), digits))
    return paid


def _best_of_each(
    alike: Sequence[Whole], costs: Whole, supply: Whole, packs: Whole
) -> NDArray[np.int64]:
    """The numbers of the best ways among those that are alike, in the order of what they share."""
    import numpy as np

    rows = (packs * np.arange(packs.shape[1])).sum(axis=1)
    order = np.lexsort((rows, packs.sum(axis=1), supply, costs, *reversed(alike)))
    first = np.ones(len(order), dtype=bool)
    first[1:] = np.any([one[order][1:] != one[order][:-1] for one in alike], axis=0)
    kept: NDArray[np.int64] = order[first]
    return kept


def picked(coins: Sequence[Whole], values: Sequence[Whole], goal: int) -> list[int]:
    """The ways with the least value that come to a goal; none when none do."""
    tables = tables_of(coins, values, goal)
    if tables[-1][goal] >= unreached(values):
        return []
    return back(coins, values, tables, goal)


def unreached(values: Sequence[Whole]) -> int:
    """Stands in a table for a sum that nothing comes to: above every sum of the values."""
    return 1 + sum(int(one.max()) for one in values)


def tables_of(coins: Sequence[Whole], values: Sequence[Whole], goal: int) -> list[Whole]:
    """The least value of each sum of coins, by how many goods are counted; from the goal on alike.

    Examples
    --------
    Two goods for 1 or 2 coins at 3 or 5, and for 2 at 4: at least three coins cost 7.

    >>> import numpy as np
    >>> coins, values = [np.array([1, 2]), np.array([2])], [np.array([3, 5]), np.array([4])]
    >>> int(tables_of(coins, values, 3)[-1][3])
    7
    """
    import numpy as np

    never = unreached(values)
    dtype = np.int64 if all(one.dtype != object for one in values) else object
    tables = [np.full(goal + 1, never, dtype=dtype)]
    tables[0][0] = 0
    for of_good, costs in zip(coins, values, strict=True):
        before, after = tables[-1], np.full(goal + 1, never, dtype=dtype)
        for number, cost in zip(of_good.tolist(), costs.tolist(), strict=True):
            reached = after[number:]
            np.minimum(reached, before[: goal + 1 - number] + cost, out=reached)
            after[goal] = min(after[goal], before[goal - number :].min() + cost)
        tables.append(np.minimum(after, never))
    return tables


def back(
    coins: Sequence[Whole], values: Sequence[Whole], tables: Sequence[Whole], at: int
) -> list[int]:
    """Back from a sum of coins along ways that have its value, the first of each good."""
    import numpy as np

    goal, picks = len(tables[0]) - 1, []
    for number in reversed(range(len(coins))):
        before, value = tables[number], tables[number + 1][at]
        if at < goal:
            fits = np.flatnonzero(coins[number] <= at)
            starts = at - coins[number][fits]
            way = int(fits[np.flatnonzero(before[starts] + values[number][fits] == value)[0]])
            start = at - int(coins[number][way])
        else:
            pairs = zip(coins[number].tolist(), values[number].tolist(), strict=True)
            way, start = next(
                (way, goal - more + int(found[0]))
                for way, (more, cost) in enumerate(pairs)
                if len(found := np.flatnonzero(before[goal - more :] + cost == value))
            )
        picks.append(way)
        at = start
    return picks[::-1]
