"""The table of the least values by sums of coins, and the way back through it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Whole = NDArray[np.int64]

UNREACHED = 2**61
"""Stands for a sum of coins that nothing comes to; above every cost, and twice it is still a
machine integer of 64 bits. [parts of a coin]"""


def picked(coins: Sequence[Whole], values: Sequence[Whole], goal: int) -> list[int]:
    """The ways with the least value that come to a goal; none when none do."""
    tables = tables_of(coins, values, goal)
    if tables[-1][goal] >= _unreached(values):
        return []
    return back(coins, values, tables, goal)


def _unreached(values: Sequence[Whole]) -> int:
    """Above every sum of the values."""
    return UNREACHED if all(one.dtype != object for one in values) else 2**4096


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

    unreached = _unreached(values)
    dtype = np.int64 if unreached == UNREACHED else object
    tables = [np.full(goal + 1, unreached, dtype=dtype)]
    tables[0][0] = 0
    for of_good, costs in zip(coins, values, strict=True):
        before, after = tables[-1], np.full(goal + 1, unreached, dtype=dtype)
        for number, cost in zip(of_good.tolist(), costs.tolist(), strict=True):
            reached = after[number:]
            np.minimum(reached, before[: goal + 1 - number] + cost, out=reached)
            after[goal] = min(after[goal], before[goal - number :].min() + cost)
        tables.append(np.minimum(after, unreached))
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
