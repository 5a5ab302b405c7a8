"""Numbers of times: the three-point distribution against an independent one, and its laws."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from costing.shoot import Shot
from costing.shoot.times import Times, certain, three_point, times_of

three_points = st.tuples(st.integers(0, 12), st.integers(0, 12), st.integers(0, 12)).map(sorted)


def independent(fewest: int, likeliest: int, most: int) -> list[float]:
    """The same chances by differences of the cumulative beta distribution of scipy.stats."""
    low, high = fewest - 0.5, most + 0.5
    shapes = 1 + 4 * (likeliest - low) / (high - low), 1 + 4 * (high - likeliest) / (high - low)
    spread = beta(*shapes, loc=low, scale=high - low)
    numbers = range(fewest, most + 1)
    return [float(spread.cdf(k + 0.5) - spread.cdf(k - 0.5)) for k in numbers]


@given(three_points)
def test_three_point__agrees_with_the_beta_distribution(points: list[int]) -> None:
    """Law: each chance is that of scipy.stats.beta, to 12 digits after the point."""
    times = three_point(*points)
    assert times.numbers == tuple(range(points[0], points[2] + 1))
    for (_, chance), expected in zip(times.chances, independent(*points), strict=True):
        assert float(chance) == pytest.approx(expected, abs=1e-12)


@given(three_points)
def test_three_point__chances_are_a_distribution_exactly(points: list[int]) -> None:
    """Law: they add up to 1 exactly, so that the most is reached for certain and not before."""
    times = three_point(*points)
    assert sum(chance for _, chance in times.chances) == 1
    assert times.chance_within(points[2]) == 1
    assert times.chance_within(points[2] - 1) < 1
    assert times.chance_within(points[0] - 1) == 0


@pytest.mark.source("malcolm-1959", "mean of the estimate, (a + 4m + b)/6")
@given(three_points)
def test_three_point__mean_is_near_that_of_the_method(points: list[int]) -> None:
    """Published: (a + 4m + b)/6. Whole numbers move it by at most 0.03, and not when symmetric."""
    fewest, likeliest, most = points
    mean = float(three_point(*points).mean)
    published = (fewest + 4 * likeliest + most) / 6
    assert mean == pytest.approx(published, abs=0.03)
    if likeliest - fewest == most - likeliest:
        assert mean == pytest.approx(published, abs=1e-12)


def test_three_point__whole_numbers_move_the_mean_most_for_0_0_3() -> None:
    """Worked with scipy.stats.beta: 0.52851, where (0 + 0 + 3)/6 = 0.5."""
    assert float(three_point(0, 0, 3).mean) == pytest.approx(0.52851, abs=1e-5)


def test_three_point__spread_is_wider_than_the_rule_of_thumb() -> None:
    """0, 2, 4: variance 0.98, where ((4 - 0)/6)^2 = 0.44."""
    times = three_point(0, 2, 4)
    variance = sum((k - 2) ** 2 * float(chance) for k, chance in times.chances)
    assert variance == pytest.approx(0.98, abs=0.005)


@given(three_points)
def test_three_point__likeliest_is_the_likeliest(points: list[int]) -> None:
    """Law: no number has a greater chance than the mode by more than the ends allow.

    With the mode at an end the half range beyond it is cut off, and its neighbour may win; inside
    the range the mode's own interval holds the peak, so that only a neighbour can come near.
    """
    times = three_point(*points)
    best = max(times.chances, key=lambda pair: pair[1])[0]
    assert abs(best - points[1]) <= 1


@given(three_points)
def test_three_point__turned_round_it_is_the_same(points: list[int]) -> None:
    """Law: counted down from the most it is the distribution with the points turned round."""
    fewest, likeliest, most = points
    there = [float(chance) for _, chance in three_point(*points).chances]
    back = three_point(0, most - likeliest, most - fewest).chances
    assert [float(chance) for _, chance in reversed(back)] == pytest.approx(there, abs=1e-14)


def test_three_point__small_chance_keeps_its_digits() -> None:
    """0, 0, 300: the last number's chance is about 1e-12, and 1 less it is below 1."""
    times = three_point(0, 0, 300)
    last = times.chances[-1][1]
    assert 0 < last < Fraction(1, 10**9)
    assert times.chance_within(299) == 1 - last


@pytest.mark.parametrize("points", [(2, 1, 3), (1, 4, 3), (-1, 0, 1)])
def test_three_point__refuses_points_out_of_order(points: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="must rise in this order"):
        three_point(*points)


@pytest.mark.parametrize(
    ("chances", "fault"),
    [
        ((), "numbers of times rise"),
        (((1, Fraction(1, 2)), (1, Fraction(1, 2))), "numbers of times rise"),
        (((-1, Fraction(1)),), "numbers of times rise"),
        (((1, Fraction(1, 2)),), "chances are 0 or more"),
        (((0, Fraction(3, 2)), (1, Fraction(-1, 2))), "chances are 0 or more"),
    ],
    ids=["none", "twice", "below 0", "half is missing", "negative"],
)
def test_times__refuses_what_is_no_distribution(
    chances: tuple[tuple[int, Fraction], ...], fault: str
) -> None:
    with pytest.raises(ValueError, match=fault):
        Times(chances)


def test_times__any_distribution_may_have_gaps() -> None:
    times = Times(((1, Fraction(1, 4)), (4, Fraction(3, 4))))
    assert [times.chance_within(k) for k in (0, 1, 3, 4, 9)] == [0, *[Fraction(1, 4)] * 2, 1, 1]
    assert times.most == 4
    assert times.mean == Fraction(13, 4)


@pytest.mark.parametrize(
    ("given_", "points"),
    [
        ({"times": 2}, None),
        ({"times": 2, "fewest": 1}, (1, 2, 2)),
        ({"times": 2, "most": 4}, (2, 2, 4)),
        ({"times": 2, "fewest": 1, "most": 4}, (1, 2, 4)),
        ({"times": 2, "fewest": 2, "most": 2}, None),
    ],
    ids=["certain", "no most", "no fewest", "both", "all the same"],
)
def test_times_of__blank_fewest_or_most_equals_times(
    given_: dict[str, Any], points: tuple[int, int, int] | None
) -> None:
    expected = certain(2) if points is None else three_point(*points)
    assert times_of(Shot(dish="soup", **given_)) == expected
