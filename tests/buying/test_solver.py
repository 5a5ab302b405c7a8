"""The door of the solver, and the cuts that its floats make necessary."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from plans import shopping
from small import line, pack, shoot_of, sound

from costing.buying.articles import Basket
from costing.buying.search import Search
from costing.buying.solver import Deadline, Ending, Model, Solution
from costing.shoot import Shot


def test_minimise__nothing_to_choose_is_proven() -> None:
    assert Model().minimise({}) == Solution(Ending.PROVEN, (), 0.0)


def test_minimise__no_solution_is_told() -> None:
    """Two of at most one."""
    model = Model()
    one = model.column(upper=1)
    model.row({one: 1}, least=2)
    answer = model.minimise({one: Fraction(1)})
    assert (answer.ending, answer.values, answer.bound) == (Ending.IMPOSSIBLE, (), math.inf)


def test_minimise__bound_is_in_the_unit_of_the_objective() -> None:
    """Three packs at 1/300 each, though the solver is given whole numbers."""
    model = Model()
    packs = model.column()
    model.row({packs: 2}, least=5)
    answer = model.minimise({packs: Fraction(1, 300)})
    assert answer.ending is Ending.PROVEN
    assert answer.whole(packs) == 3
    assert math.isclose(answer.bound, 0.01)


def test_minimise__ended_search_has_a_bound_and_says_so() -> None:
    """No time at all: nothing found, nothing claimed."""
    model = Model()
    columns = [model.column() for _ in range(12)]
    for row in range(12):
        parts = {c: Fraction(37 * (row + 3) * (c + 5) % 101 + 1) for c in columns}
        model.row(parts, least=5000 + 7 * row)
    costs = {c: Fraction(59 * (c + 2) % 97 + 1, 7) for c in columns}
    ended = model.minimise(costs, seconds=0.0)
    proven = model.minimise(costs)
    assert ended.ending is Ending.ENDED
    assert proven.ending is Ending.PROVEN
    assert ended.bound <= proven.bound


def test_minimise__a_continuous_column_may_be_a_part() -> None:
    model = Model()
    part = model.column(whole=False)
    model.row({part: 3}, least=1)
    assert math.isclose(model.minimise({part: Fraction(1)}).values[part], 1 / 3)


def search_of(need: str, *packs: tuple[str, str], most: int = 2, chance: str = "0.99") -> Search:
    """A search for one ingredient and one shot of one or two takes."""
    found = shopping(
        shoot_of(
            line("soup", "leek", need),
            sound("leek"),
            *(pack("leek", text, price) for text, price in packs),
            Shot(dish="soup", times=1, most=most),
        )
    )
    planner = found.market.planner()
    least = Fraction(chance)
    return planner.search(planner.question(planner.values(least), least))


def test_search__a_hair_too_little_is_cut_off() -> None:
    """Two takes need 200.0000002 g: two packs of 100 g pass the solver's tolerance, not ours."""
    search = search_of("100.0000001 g", ("100 g", "1"))
    short = Basket({0: 2}, ((2,),))
    assert not search.verify(short)
    found = search.least(search.programme.cost())
    assert found.ending is Ending.PROVEN
    assert found.basket == Basket({0: 2}, ((3,),))


def test_search__cut_leaves_lower_caps_alone() -> None:
    """What is too little for two takes is enough for one, when that is all that is asked for."""
    search = search_of("100.0000001 g", ("100 g", "1"), chance="0")
    assert not search.verify(Basket({0: 2}, ((2,),)))
    assert search.least(search.programme.cost()).basket == Basket({0: 1}, ((2,),))


def test_search__exactly_enough_is_enough() -> None:
    """Three times two thirds of 150 g are 300 g: two packs of 150."""
    search = search_of("100 g", ("150 g", "1"), most=3)
    found = search.least(search.programme.cost())
    assert found.basket is not None
    assert found.basket == Basket({0: 3}, ((2,),))
    assert search.verify(found.basket)


def test_search__too_small_a_chance_is_cut_off() -> None:
    search = search_of("100 g", ("150 g", "1"), most=3)
    assert not search.verify(Basket({0: 1}, ((2,),)))


def test_minimise__a_programme_that_cannot_be_read_proves_nothing() -> None:
    """Factors beyond what floats hold are no proof that there is no solution."""
    model = Model()
    one, other = model.column(), model.column()
    model.row({one: 1, other: 1}, least=math.inf, most=math.inf)
    assert model.minimise({one: 1, other: 1}).ending is Ending.ENDED


@pytest.mark.parametrize("bounds", [{"least": math.inf}, {"most": -math.inf}])
def test_row__one_infinite_bound_is_enough_not_to_be_read(bounds: dict[str, float]) -> None:
    model = Model()
    model.row({model.column(): 1}, **bounds)
    assert model.minimise({}).ending is Ending.ENDED


def test_row__holds_however_small_or_large_its_factors() -> None:
    """Three of the small packs and two of the large: the largest factor of each row becomes 1."""
    model = Model()
    small, large = model.column(), model.column()
    tiny, huge = Fraction(1, 10**12), Fraction(10**12)
    model.row({small: tiny, large: 0}, least=3 * tiny)
    model.row({small: 0, large: huge}, least=2 * huge, most=3 * huge)
    answer = model.minimise({small: Fraction(1), large: Fraction(1)})
    assert answer.ending is Ending.PROVEN
    assert [answer.whole(column) for column in (small, large)] == [3, 2]


def test_minimise__no_branch_to_spare_proves_nothing() -> None:
    """Six needs of two of eight columns each cannot be settled without a branch."""
    model = Model()
    columns = [model.column(upper=3) for _ in range(8)]
    for number in range(24):
        parts = {one: 37 + 91 * number * at % 173 for at, one in enumerate(columns, 1)}
        model.row(parts, least=400 + 13 * number)
    objective = {one: 101 + 7 * at * at % 89 for at, one in enumerate(columns)}
    assert model.minimise(objective, nodes=0).ending is Ending.ENDED
    assert model.minimise(objective).ending is Ending.PROVEN


def test_minimise__no_time_for_parts_proves_nothing() -> None:
    """Cut off before it has a solution in parts, the solver calls its numbers infeasible."""
    model = Model()
    columns = [model.column(whole=False) for _ in range(400)]
    for number in range(300):
        parts = {one: 1 + 91 * (number + 3) * (at + 5) % 173 for at, one in enumerate(columns)}
        model.row(parts, least=5000 + 13 * number)
    objective = {one: 101 + 7 * at * at % 89 for at, one in enumerate(columns)}
    assert model.minimise(objective, seconds=0.0).ending is Ending.ENDED
    assert model.minimise(objective).ending is Ending.PROVEN


@pytest.mark.watched("HiGHS 1.12, which scipy 1.17.1 brings, presolves this to nothing")
def test_minimise__no_solution_is_not_believed_of_the_presolve() -> None:
    """Two shots with caps of two or three, the second 3: a copy goes on, pieces are picked.

    The first at two or three: its copies are at least three too. Then column 8 is 1, 0.2 x 3 + 0.6
    is above it, and packs of 1 and of 0.4 cover 0.8; those of 0.6 and 1 cover 0.67 in the same way.
    """
    model = Model()
    for upper, whole in (*[(1, True)] * 5, (2, True), (3, False), (5, False)):
        model.column(upper=upper, whole=whole)
    for upper, whole in ((1, True), (2, True), (1, True), (6, False)):
        model.column(upper=upper, whole=whole)
    fifth, ninth = Fraction(1, 5), Fraction(2, 9)
    model.row({0: 1, 1: 1}, least=1, most=1)
    model.row({2: 1, 3: 1}, least=1, most=1)
    model.row({0: -1, 2: -1}, least=-9.607313456177831)
    model.row({6: 1, 0: -2, 1: -3}, least=0)
    model.row({6: 1}, least=2)
    model.row({8: 1}, least=1, most=1)
    model.row({8: 1}, least=1)
    model.row({7: 1, 8: -5, 6: 1, 2: 2, 3: 3}, least=0)
    model.row({4: 5, 5: 2, 6: -1, 2: -2, 3: -3, 7: -1}, least=-2)
    model.row({11: 1, 6: 1, 2: 2, 3: 3}, least=6)
    model.row(
        {9: 3 * fifth, 10: 1, 6: -ninth, 2: -2 * ninth, 3: -3 * ninth, 11: -ninth},
        least=-Fraction(2, 3),
    )
    answer = model.minimise({4: Fraction(100), 5: Fraction(97), 9: Fraction(50), 10: Fraction(60)})
    assert answer.ending is Ending.PROVEN


def test_deadline__work_is_counted_by_columns_and_branches() -> None:
    """Of 1000 a programme of 10 columns has 100 branches, of which its root counts for 20."""
    deadline = Deadline(work=1000)
    assert (deadline.branches(10), deadline.branches(10, 5), deadline.passed) == (80, 5, False)
    deadline.spend(801)
    assert deadline.branches(10) == 0
    deadline.spend(10)
    assert (deadline.branches(10), deadline.passed) == (-1, False)
    deadline.spend(189)
    assert deadline.passed
    # a part of a branch is one more; what has no column yet counts as one; the fewer branches count
    assert [Deadline(work=101).branches(columns, 50) for columns in (4, 1, 0)] == [6, 50, 50]
    assert Deadline().branches(10) is None


def test_minimise__says_how_many_branches_it_took() -> None:
    """Whole numbers that no linear programme finds: at least the root is looked at."""
    model = Model()
    columns = [model.column(upper=1) for _ in range(12)]
    weights = [Fraction(31 + 7 * n * n % 41) for n in range(12)]
    model.row(dict(zip(columns, weights, strict=True)), least=Fraction(201))
    answer = model.minimise(dict(zip(columns, weights, strict=True)))
    assert answer.ending is Ending.PROVEN
    assert answer.branches >= 1
    assert model.columns == 12
