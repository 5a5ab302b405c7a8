"""The best mixtures of near-equal packs, from a table of what each amount costs at least."""

from __future__ import annotations

from collections.abc import Sequence

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
