"""Laws of numbers that remember how they were made."""

from __future__ import annotations

import copy
import math
import operator
import pickle
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from expressions import Cells, Expression, cell_of, constant, grown
from hypothesis import assume, given
from hypothesis import strategies as st

from costing.quantities import (
    GRAM,
    Amount,
    Rounding,
    exact_money,
    excess,
    follows,
    grouped_by,
    is_traced,
    least,
    most,
    round_money,
    share_out,
    total,
    traced,
    traced_money,
    untraced_choice,
)
from costing.quantities.traced import MOST_CELLS, Cell, Made, Operation

NAMES = "ABCD"
values = st.fractions(min_value=-20, max_value=20, max_denominator=12)
cells_of = st.fixed_dictionaries(dict.fromkeys(NAMES, values))


def worked_out(number: Fraction, cells: Cells) -> Fraction:
    """What the remembered steps give for any numbers in the cells."""
    origin = getattr(number, "origin", number)
    if not isinstance(origin, Cell | Made):
        return Fraction(number)
    if isinstance(origin, Cell):
        return cells[str(origin.name)]
    parts = [worked_out(part, cells) for part in origin.parts]
    by_operation: dict[Operation, Callable[..., Fraction]] = {
        Operation.ADD: operator.add,
        Operation.SUBTRACT: operator.sub,
        Operation.MULTIPLY: operator.mul,
        Operation.DIVIDE: operator.truediv,
        Operation.POWER: operator.pow,
        Operation.LEAST: min,
        Operation.MOST: max,
        Operation.ROUND: lambda one: Fraction(round_money(one, origin.digits)),
        Operation.EXCESS: lambda amount, limit: max(Fraction(0), amount - limit),
    }
    return by_operation[origin.operation](*parts)


numbers = st.one_of(values, st.integers(-3, 3)).map(constant)
expressions = st.recursive(
    st.one_of(st.sampled_from(NAMES).map(cell_of), numbers), grown, max_leaves=10
)


@given(expressions, cells_of, cells_of)
def test_traced__remembers_steps_that_hold_for_any_numbers(
    expression: Expression, now: Cells, later: Cells
) -> None:
    """The value is that of plain numbers, and the steps give it again after every edit."""
    try:
        found = expression(lambda name: traced(now[name], name))
        plain = expression(lambda name: now[name])
        wanted = expression(lambda name: later[name])
    except ZeroDivisionError:
        assume(False)
    assert found == plain
    assert hash(found) == hash(plain)
    if follows(found):
        assert worked_out(found, now) == plain
        assert worked_out(found, later) == wanted


A, B = traced(Fraction(7, 2), "A"), traced(Fraction(2), "B")
PRICE = traced_money(Decimal("1.89"), "A")


@pytest.mark.parametrize(
    "found",
    [
        A // B,
        A % B,
        7 // A,
        7 % B,
        *divmod(A, B),
        *divmod(7, B),
        abs(A),
        math.floor(A),
        math.ceil(A),
        round(A),
        round(A, 1),
        A ** Fraction(-1),
        untraced_choice(A),
        untraced_choice(A) + B,
        least(untraced_choice(A), B),
        exact_money(round_money(A, 2, Rounding.UP)),
        exact_money(round_money(traced(Fraction("0.125"), "A"), 2)),
        exact_money(share_out(traced_money(Decimal(3), "A"), [Fraction(1), Fraction(2)], 2)[0]),
        exact_money(share_out(Decimal(3), [A, B], 2)[0]),
        exact_money(traced_money(Decimal(3), "A") * 2),
        exact_money(2 / traced_money(Decimal(3), "A")),
        exact_money(traced_money(Decimal(3), "A") + traced_money(Decimal(5), "B") * 2),
    ],
    ids=lambda found: str(found),
)
def test_traced__what_is_chosen_or_rounded_stands_alone(found: Fraction) -> None:
    """No formula is better than one that is wrong after the next edit."""
    assert is_traced(found)
    assert not follows(found)


@pytest.mark.parametrize(
    ("found", "wanted"),
    [
        (A + 0, A),
        (0 + A, A),
        (A - 0, A),
        (A * 1, A),
        (Fraction(1) * A, A),
        (A / 1, A),
        (A**1, A),
        (+A, A),
        (copy.deepcopy(A), A),
        (copy.copy(PRICE), PRICE),
        (copy.deepcopy(PRICE), PRICE),
        (sum([A], Fraction(0)), A),
        (Amount(A, GRAM).base, A),
        (round_money(A, 1), None),
    ],
)
def test_traced__nothing_added_is_the_number_itself(found: object, wanted: object) -> None:
    assert found is wanted if wanted is not None else is_traced(found)


@pytest.mark.parametrize("other", [Decimal("0.5"), "half", None])
def test_traced__goes_with_no_more_than_a_fraction_does(other: object) -> None:
    """A decimal would be money, which becomes a number by `exact_money` alone."""
    for one in (A, Fraction(1, 2)):
        with pytest.raises(TypeError):
            one + other  # type: ignore[operator]


@pytest.mark.parametrize("found", [A * 0, 0 * A, 0 / A, A**0])
def test_traced__what_nothing_moves_is_plain(found: object) -> None:
    assert not is_traced(found)


def test_traced__a_number_without_a_cell_stays_plain() -> None:
    """So that an estimate pays nothing for what only the writing of formulas needs."""
    half = Fraction(1, 2)
    for found in (least(half, half), most(half, half), untraced_choice(half), half + half):
        assert type(found) is Fraction
    assert type(exact_money(Decimal("1.5"))) is Fraction
    assert type(round_money(half, 2)) is Decimal
    assert grouped_by(half) == half


def test_traced__equal_numbers_of_different_cells_are_not_put_together() -> None:
    one, other = traced(Fraction(3), "A"), traced(Fraction(3), "B")
    assert one == other
    assert hash(one) == hash(other) == hash(3)
    assert grouped_by(one) != grouped_by(other)


def test_traced__more_cells_than_a_formula_holds_are_not_followed() -> None:
    found = Fraction(0)
    for _ in range(MOST_CELLS):
        found += A
    assert follows(found)
    assert not follows(found + A)
    assert found + A == (MOST_CELLS + 1) * Fraction(7, 2)


def test_money__of_more_cells_than_a_formula_holds_is_not_followed() -> None:
    coin, found = traced_money(Decimal("0.01"), "A"), Decimal(0)
    for _ in range(MOST_CELLS):
        found += coin
    assert follows(exact_money(found))
    assert not follows(exact_money(found + coin))


@pytest.mark.parametrize(
    ("bought", "budget", "over"),
    [
        ("12.50", "10", "2.50"),
        ("10.01", "10", "0.01"),
        ("10", "10", None),
        ("9", "10", None),
    ],
)
def test_excess__is_blank_when_there_is_none(bought: str, budget: str, over: str | None) -> None:
    """Of traced sums it is 0: after an edit there may be one."""
    plain = None if over is None else Decimal(over)
    assert excess(Decimal(bought), Decimal(budget), 2) == plain
    found = excess(traced_money(Decimal(bought), "A"), Decimal(budget), 2)
    assert found == (plain or 0)
    assert follows(found)


@given(st.lists(st.tuples(st.booleans(), st.integers(-500, 500)), min_size=1, max_size=5))
def test_money__sums_and_differences_are_followed(steps: list[tuple[bool, int]]) -> None:
    """Each step adds or takes away a sum that stands in a cell."""
    total, wanted, cells = Decimal(0), Fraction(0), {}
    for number, (adds, coins) in enumerate(steps):
        sum_of_money = traced_money(Decimal(coins) / 100, str(number))
        total = total + sum_of_money if adds else total - sum_of_money
        wanted += Fraction(coins if adds else -coins, 100)
        cells[str(number)] = Fraction(coins + number, 100)
    found = exact_money(total)
    assert found == wanted
    more = sum(Fraction(n if adds else -n, 100) for n, (adds, _) in enumerate(steps))
    assert worked_out(found, cells) == wanted + more


def test_money__turned_round_follows_its_cell() -> None:
    """-3.20 where 3.20 stands in a cell; after an edit to 5 it is -5."""
    found = exact_money(-traced_money(Decimal("3.20"), "A"))
    assert found == Fraction("-3.2")
    assert follows(found)
    assert worked_out(found, {"A": Fraction(5)}) == -5


def test_traced__a_whole_number_still_counts() -> None:
    assert list(range(traced(3, "A"))) == [0, 1, 2]
    with pytest.raises(TypeError, match="7/2 is not a whole number"):
        range(A)  # type: ignore[call-overload]


def test_traced__pickled_it_is_its_value() -> None:
    """The cells are those of one run."""
    again = pickle.loads(pickle.dumps((A, traced_money(Decimal("1.20"), "C"))))  # noqa: S301
    assert again == (Fraction(7, 2), Decimal("1.20"))
    assert not any(map(is_traced, again))


@given(st.lists(st.fractions(max_denominator=1_000)))
def test_total__is_the_sum_to_the_last_digit(numbers: list[Fraction]) -> None:
    found = total(numbers)
    assert found == sum(numbers, Fraction(0))
    assert type(found) is Fraction


@given(st.lists(st.tuples(st.booleans(), st.fractions(max_denominator=100)), min_size=1))
def test_total__of_traced_numbers_is_made_of_all_that_counts(
    numbers: list[tuple[bool, Fraction]],
) -> None:
    """A plain 0 changes nothing, so that no formula shows it; a cell that holds 0 may change."""
    addends = [traced(n, at) if is_cell else n for at, (is_cell, n) in enumerate(numbers)]
    found = total(iter(addends))
    assert found == sum((n for _, n in numbers), Fraction(0))
    counting = [one for one in addends if is_traced(one) or one]
    assert is_traced(found) == any(map(is_traced, addends))
    if not is_traced(found):
        return
    origin = getattr(found, "origin")  # noqa: B009 - of a fraction nothing says so
    if len(counting) == 1:
        assert found is counting[0]
    else:
        assert isinstance(origin, Made)
        assert origin.operation is Operation.ADD
        assert all(one is other for one, other in zip(origin.parts, counting, strict=True))


def test_total__of_what_cannot_be_followed_cannot_be_followed() -> None:
    cell = traced(Fraction(3), "B7")
    assert follows(total([cell, Fraction(1)]))
    assert not follows(total([cell, untraced_choice(cell)]))
