"""What is used and left over on average, against every outcome worked out by itself."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from budgets import spread
from plans import Kinds, any_plan, shopping
from small import books, line, lot, pack, shoot_of, sound

from costing.buying.expected import Expected, expected
from costing.buying.left_over import keeping
from costing.buying.shopping import Shopping
from costing.buying.till import paid_lines
from costing.buying.values import Values, values_of
from costing.kitchen import Dish
from costing.quantities import ZERO
from costing.shoot import Shoot, Shot

LEEK = line("soup", "leek", "100 g"), sound("leek"), Shot(dish="soup", times=1, most=2)
KINDS = Kinds(shots=3, stock=True, spoils=True, counted=True)


def valued(found: Shopping) -> list[Values]:
    """What each ingredient is worth."""
    return [values_of(purchase, found.shoot.settings)[0] for purchase in found.purchases]


def on_average(found: Shopping, **how: Any) -> Expected:
    """Expected values of a shopping."""
    market = found.market
    return expected(
        found.purchases, valued(found), market.times, market.planned, found.shoot, **how
    )


def outcome(shoot: Shoot, counts: dict[int, int], held: Shopping) -> tuple[Fraction, ...]:
    """Used, left and what keeps when the numbers of times are these and the packs are held."""
    shots = tuple(
        shot.model_copy(update={"times": counts[at], "fewest": None, "most": None})
        if at in counts
        else shot
        for at, shot in enumerate(shoot.shots)
    )
    certain = shopping(shoot.changed(shots=shots, shops=()))
    used, left, keeps = Fraction(0), Fraction(0), Fraction(0)
    for purchase, before in zip(certain.purchases, held.purchases, strict=True):
        lines = tuple(paid_lines(before.lines, shoot.settings))
        with_packs = replace(purchase, lines=lines, short=Fraction(0))
        values = values_of(with_packs, shoot.settings)[0]
        used += values.used
        left += Fraction(values.bought) - values.used + values.on_hand_used
        kept = keeping(before.need, shoot)
        keeps += (with_packs.left.sealed * kept.sealed + with_packs.left.rest * kept.opened) * (
            values.unit_price or 0
        )
    return used, left, keeps


@pytest.mark.parametrize("seed", spread(range(12)))
def test_expected__is_the_mean_over_every_outcome(seed: int) -> None:
    """Brute force: every combination of numbers of times with its chance, exactly."""
    shoot = any_plan(f"expected {seed}", KINDS)
    found = shopping(shoot)
    times = found.market.times
    means = [Fraction(0)] * 3
    for numbers in product(*(one.chances for one in times.values())):
        counts = dict(zip(times, (number for number, _ in numbers), strict=True))
        chance = Fraction(1)
        for _, part in numbers:
            chance *= part
        for at, value in enumerate(outcome(shoot, counts, found)):
            means[at] += chance * value
    told = on_average(found)
    assert told.left_error == 0
    assert [float(v) for v in (told.used, told.left, told.keeps)] == pytest.approx(
        [float(mean) for mean in means], abs=1e-9
    )


@pytest.mark.parametrize("seed", range(4))
def test_expected__drawn_at_random_comes_near_within_its_error(seed: int) -> None:
    """Law: the mean of the draws is within four standard errors of the exact mean."""
    found = shopping(any_plan(f"expected {seed}", KINDS))
    exact, drawn = on_average(found), on_average(found, most_states=0)
    uncertain = any(one.demand.shots for one in found.purchases)
    assert (drawn.left_error > 0) == uncertain
    assert abs(drawn.left - exact.left) <= 4 * drawn.left_error + Fraction(1, 10**9)
    assert abs(drawn.used + drawn.left - exact.used - exact.left) <= 1
    assert on_average(found, most_states=0) == drawn


@pytest.mark.parametrize(
    "recipe",
    [
        [line("soup", "leek", "100 g")],
        [
            line("broth", "leek", "100 g"),
            line("soup", "broth", "1 portion"),
            Dish(name="broth", makes="1 portion", whole_batches=True),
        ],
    ],
    ids=["in the dish", "only in one that is made for it"],
)
def test_expected__worked_by_hand(recipe: list[Any]) -> None:
    """One or two takes, one likeliest: the beta distribution of shapes 2 and 4 has 13/16 below 1/2.

    Of two packs of 100 g at 1.00 that uses 1.1875 on average and leaves 0.8125, all of it sealed.
    """
    found = books(
        *recipe,
        sound("leek"),
        pack("leek", "100 g", "1"),
        Shot(dish="soup", times=1, most=2),
        currency="EUR",
    )
    assert found.caution is not None
    told = found.caution.expected
    assert told is not None
    assert float(told.used) == pytest.approx(1.1875)
    assert float(told.left) == float(told.keeps) == pytest.approx(0.8125)


def test_expected__stock_is_used_first_and_valued_by_lot() -> None:
    """150 g on hand worth 3.00: one take uses 2.00 of it, two use 3.00 and half a pack at 1.00.

    13/16 x 2.00 + 3/16 x 3.50 = 2.28125 used; 13/16 x 1.00 + 3/16 x 0.50 = 0.90625 left.
    """
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "100 g", "1"),
        lot("leek", "150 g", value=3),
        Shot(dish="soup", times=1, most=2),
    )
    assert found.caution is not None
    told = found.caution.expected
    assert told is not None
    assert float(told.used) == pytest.approx(2.28125)
    assert float(told.left) == pytest.approx(0.90625)


def test_expected__none_for_a_certain_shoot() -> None:
    found = books(line("soup", "leek", "100 g"), pack("leek", "100 g", "1"), Shot(dish="soup"))
    assert found.caution is not None
    assert found.caution.expected is None


def test_expected__a_lot_that_nobody_can_value_is_left_out() -> None:
    """100 g or 200 g of leek from a lot without a value, of which no pack says the price."""
    (found,) = {on_average(shopping(shoot_of(*LEEK, lot("leek", "500 g"))))}
    assert found == Expected(ZERO, ZERO, ZERO)
