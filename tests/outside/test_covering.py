"""Published covering problems through the door of the solver.

A basket couples several needs only where times are uncertain or shops ask for a minimum; these
small problems with more than one need have known optima and are solved by the same door.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from costing.buying.solver import Ending, Model

PART = Fraction(1, 1000)


@pytest.mark.source("pulp-cases", "case study A Blending Problem, whole percents")
def test_covering__blending_by_whole_percents() -> None:
    """Cheapest mix with 8 protein, 6 fat, at most 2 fibre and 0.4 salt in 100: 34 and 66, 0.97.

    In parts the optimum is a third and two thirds at 0.9667; 33 and 67 have 0.401 of salt. The
    prices and contents of the source are written from memory; they give its printed optimum.
    """
    model = Model()
    chicken, beef = model.column(upper=100), model.column(upper=100)
    model.row({chicken: 1, beef: 1}, least=100, most=100)
    model.row({chicken: 100 * PART, beef: 200 * PART}, least=8)
    model.row({chicken: 80 * PART, beef: 100 * PART}, least=6)
    model.row({chicken: 1 * PART, beef: 5 * PART}, most=2)
    model.row({chicken: 2 * PART, beef: 5 * PART}, most=Fraction(2, 5))
    costs = {chicken: 13 * PART, beef: 8 * PART}
    found = model.minimise(costs)
    assert found.ending is Ending.PROVEN
    assert (found.whole(chicken), found.whole(beef)) == (34, 66)
    assert sum(found.whole(one) * cost for one, cost in costs.items()) == Fraction(97, 100)


@pytest.mark.source("pulp-cases", "case study A Blending Problem")
def test_covering__blending_in_parts() -> None:
    """Without whole numbers: 33.33 and 66.67, printed as 96 cents, which is 96.67 cut off."""
    model = Model()
    chicken, beef = model.column(upper=100, whole=False), model.column(upper=100, whole=False)
    model.row({chicken: 1, beef: 1}, least=100, most=100)
    model.row({chicken: 2 * PART, beef: 5 * PART}, most=Fraction(2, 5))
    found = model.minimise({chicken: 13 * PART, beef: 8 * PART})
    assert found.values == pytest.approx((100 / 3, 200 / 3), abs=1e-9)
    assert found.bound == pytest.approx(0.96667, abs=1e-5)


@pytest.mark.source("pulp-cases", "examples/SpongeRollProblem1")
def test_covering__patterns() -> None:
    """Least A + B + C with 2B + 2C >= 150, A + B >= 200, A + C >= 300 in whole numbers: 300."""
    model = Model()
    a, b, c = (model.column() for _ in range(3))
    needs = [({b: 2, c: 2}, 150), ({a: 1, b: 1}, 200), ({a: 1, c: 1}, 300)]
    for parts, least in needs:
        model.row(parts, least=least)
    found = model.minimise(dict.fromkeys((a, b, c), Fraction(1)))
    assert found.ending is Ending.PROVEN
    assert sum(map(found.whole, (a, b, c))) == 300
    for parts, least in needs:
        assert sum(found.whole(one) * factor for one, factor in parts.items()) >= least


@pytest.mark.source("coin-or-data-sample", "pack1.mps")
def test_covering__each_pair_of_three() -> None:
    """One of each pair: 2 of 3, where halves of each, 1.5, would do without whole numbers."""
    for whole, least in ((True, 2.0), (False, 1.5)):
        model = Model()
        columns = [model.column(upper=1, whole=whole) for _ in range(3)]
        for left_out in range(3):
            pair = {one: 1 for at, one in enumerate(columns) if at != left_out}
            model.row(pair, least=1)
        found = model.minimise(dict.fromkeys(columns, Fraction(1)))
        assert found.bound == pytest.approx(least)
        assert sum(found.values) == pytest.approx(least)
