"""Tables of the least value of each sum: of the amounts of packs, and of the coins of ways to buy.

Packs of one ingredient are there as often as they are wanted; of the ways to buy each ingredient
one is taken (``ways``).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]

TABLE = 2 * 10**6
"""Amounts times kinds of packs up to which a table is filled in, about a second. [step]"""


def best_by_table(
    packs: Sequence[tuple[int, int]], wanted: int, *, most: int
) -> tuple[tuple[int, ...], ...]:
    """All mixtures that cover a need at least cost, then with least left over, then fewest packs.

    What is taken out of a best mixture leaves a best one of the rest, so that each is found by
    going back through the table, its packs in one order.

    Parameters
    ----------
    packs : sequence of (int, int)
        Amount and price of each kind, of which there are as many as are wanted.
    wanted : int
        To be covered, above 0.
    most : int
        So many mixtures are looked for. [mixture]

    Returns
    -------
    tuple of tuple of int
        How many of each kind; none where the table would be too large.

    Examples
    --------
    At least 7 of 3 for 20 and 2 for 15: one of one and two of the other.

    >>> best_by_table([(3, 20), (2, 15)], 7, most=10)
    ((1, 2),)
    """
    end = wanted + max(amount for amount, _ in packs)
    if end * len(packs) > TABLE:
        return ()
    steps = [(amount, price * end + 1) for amount, price in packs]  # the cost, then the packs
    never = sum(step for _, step in steps) * end
    table = [0, *([never] * (end - 1))]
    for at in range(1, end):
        reached = (table[at - amount] + step for amount, step in steps if amount <= at)
        table[at] = min(reached, default=never)
    least = min(range(wanted, end), key=lambda at: (table[at] // end, at, table[at] % end))
    found: list[tuple[int, ...]] = []
    waiting, visited = [(least, len(packs) - 1, (0,) * len(packs))], 0
    while waiting and visited < TABLE and len(found) < most:
        at, last, counts = waiting.pop()
        visited += 1
        if not at:
            found.append(counts)
        for kind, (amount, step) in enumerate(steps[: last + 1]):
            if amount <= at and table[at - amount] + step == table[at] < never:
                more = (*counts[:kind], counts[kind] + 1, *counts[kind + 1 :])
                waiting.append((at - amount, kind, more))
    return tuple(found)


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
