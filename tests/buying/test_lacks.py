"""What must come besides so that one more take fits, where others may be taken more often."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import prod
from typing import Any

import pytest
from buying.test_takes_left import outlook
from small import line, pack

from costing.shoot import Shot
from costing.shoot.times import three_point


@pytest.mark.parametrize(
    ("most", "risk", "lacks"),
    [
        pytest.param((2, 2), 10, (2, 2), id="all of both"),
        pytest.param((2, 2), 30, (2, 1), id="all of one"),
        pytest.param((2, 2, 2), 30, (2, 2, 1), id="all of two"),
        pytest.param((3, 2), 30, (2, 1), id="more of one"),
        pytest.param((4, 3), 15, (3, 2), id="more of the one that helps most"),
        pytest.param((4, 2), 10, (3, 2), id="not the last of one"),
    ],
)
def test_lacks__enough_for_all_and_none_to_spare(
    most: tuple[int, ...], risk: int, lacks: tuple[int, ...]
) -> None:
    """The toast takes the one there is of each; of each another shot may take more.

    Those are taken once or not at all or more often, by the distribution of three points. With so
    many more of each the chance that all fit is what is accepted, and with one fewer of any it is
    not: counted here from the distributions. The most that one gets, where another would do as
    well, has the better chance: of 4 and 3 at most, 3 and 2 have 95 %, 2 and 3 have 88 %.
    """
    fruits = ("egg", "lemon", "fig")[: len(most)]
    rows: list[Any] = [Shot(dish="toast", name="T")]
    for name, top in zip(fruits, most, strict=True):
        rows += [line("toast", name, "1 each"), line(f"{name} cup", name, "1 each")]
        rows += [pack(name, "1 each", "1", at_most=1)]
        rows += [Shot(dish=f"{name} cup", name=name, fewest=0, times=1, most=top)]
    found = outlook(*rows, chance_of_running_out=Fraction(risk, 100))
    asked = found.takes_left[0]
    assert asked.more == 0
    assert [one.supply.name for one in asked.lacks] == list(fruits)
    assert tuple(int(one.amount) for one in asked.lacks) == lacks
    times = [three_point(0, 1, one).chances for one in most]

    def chance(up_to: Sequence[int]) -> Fraction:
        """That none is taken more often than so."""
        return prod(
            (
                sum((part for often, part in one if often <= top), Fraction(0))
                for one, top in zip(times, up_to, strict=True)
            ),
            start=Fraction(1),
        )

    accepted = 1 - Fraction(risk, 100)
    assert chance(lacks) >= accepted
    for at in range(len(lacks)):
        assert chance([n - (k == at) for k, n in enumerate(lacks)]) < accepted
