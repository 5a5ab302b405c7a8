"""The largest matching of what is left with what is wanted, each as often as there is of it."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Hashable, Mapping
from itertools import pairwise
from typing import TypeVar

Left = TypeVar("Left", bound=Hashable)
Right = TypeVar("Right", bound=Hashable)


def largest_matching(
    left: Mapping[Left, int], right: Mapping[Right, int], allowed: Collection[tuple[Left, Right]]
) -> dict[tuple[Left, Right], int]:
    """As many pairs as there can be; of those on the left the first are matched first.

    Paths that lengthen the matching are sought from each on the left in turn. What is matched
    once stays matched, so that among all largest matchings the earliest on the left are taken
    (the greedy algorithm on a transversal matroid [1]_). It is written here because the solver
    takes longer to import than a plan takes to match.

    Parameters
    ----------
    left, right : mapping of hashable to int
        How often each may be matched.
    allowed : collection of tuple
        The pairs that may be.

    Returns
    -------
    dict of tuple to int
        How often each pair is matched.

    References
    ----------
    .. [1] J. Edmonds, D. R. Fulkerson, "Transversals and Matroid Partition", Journal of Research
       of the National Bureau of Standards 69B, 1965, pp. 147-153.

    Examples
    --------
    >>> pairs = [("a", "x"), ("a", "y"), ("b", "x")]
    >>> sorted(largest_matching({"a": 1, "b": 1}, {"x": 1, "y": 1}, pairs))
    [('a', 'y'), ('b', 'x')]
    """
    reaches: dict[Left, list[Right]] = {}
    for one, other in allowed:
        reaches.setdefault(one, []).append(other)
    open_right = dict(right)
    matched: dict[Right, dict[Left, int]] = {other: {} for other in right}
    for first, number in left.items():
        rest = number
        while rest and (path := _path(first, reaches, open_right, matched)):
            back = [(two[0], one[1]) for one, two in pairwise(path)]
            # each pair of the path is matched once more, each between two of them once less
            times = min(rest, open_right[path[-1][1]], *(matched[b][a] for a, b in back))
            for a, b in path:
                matched[b][a] = matched[b].get(a, 0) + times
            for a, b in back:
                matched[b][a] -= times
            open_right[path[-1][1]] -= times
            rest -= times
    return {(a, b): times for b, of in matched.items() for a, times in of.items() if times}


def _path(
    first: Left,
    reaches: Mapping[Left, list[Right]],
    open_right: Mapping[Right, int],
    matched: Mapping[Right, Mapping[Left, int]],
) -> list[tuple[Left, Right]]:
    """Pairs from one on the left to one on the right that is still open; none is no path."""
    came: dict[Right, tuple[Left, Right | None]] = {}
    waiting: deque[tuple[Left, Right | None]] = deque([(first, None)])
    seen = {first}
    while waiting:
        one, before = waiting.popleft()
        for other in reaches.get(one, ()):
            if other in came:
                continue
            came[other] = one, before
            if open_right[other]:
                path: list[tuple[Left, Right]] = []
                at: Right | None = other
                while at is not None:
                    by, earlier = came[at]
                    path.insert(0, (by, at))
                    at = earlier
                return path
            for taker, times in matched[other].items():
                if times and taker not in seen:
                    seen.add(taker)
                    waiting.append((taker, other))
    return []
