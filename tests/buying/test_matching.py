"""The largest matching, against a published implementation and every possibility."""

from __future__ import annotations

from random import Random

import pytest
from scipy.optimize import linear_sum_assignment
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from costing.buying.matching import largest_matching


@pytest.mark.parametrize("seed", range(200))
def test_outside__as_many_pairs_as_scipy_finds(seed: int) -> None:
    """Outside: ``scipy.sparse.csgraph.maximum_bipartite_matching`` (Hopcroft and Karp) for the
    number, ``scipy.optimize.linear_sum_assignment`` for the first on the left among the largest.
    """
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    left = {number: random.randint(0, 3) for number in range(random.randint(1, 6))}
    right = {number: random.randint(0, 3) for number in range(random.randint(1, 6))}
    allowed = [(p, c) for p in left for c in right if random.random() < 0.5]
    found = largest_matching(left, right, allowed)
    assert set(found) <= set(allowed)
    for one, number in left.items():
        assert sum(times for (p, _), times in found.items() if p == one) <= number
    for one, number in right.items():
        assert sum(times for (_, c), times in found.items() if c == one) <= number
    rows = [p for p in left for _ in range(left[p])]
    columns = [c for c in right for _ in range(right[c])]
    if not rows or not columns:
        assert found == {}
        return
    pairs = [[int((p, c) in allowed) for c in columns] for p in rows]
    matched = maximum_bipartite_matching(csr_array(pairs), perm_type="column")
    assert sum(found.values()) == int((matched >= 0).sum())
    first = {p: 1000 + len(left) - p for p in left}
    worth = [[one * first[p] for one in row] for p, row in zip(rows, pairs, strict=True)]
    best = linear_sum_assignment(worth, maximize=True)
    most = sum(worth[row][column] for row, column in zip(*best, strict=True))
    assert sum(times * first[p] for (p, _), times in found.items()) == most
