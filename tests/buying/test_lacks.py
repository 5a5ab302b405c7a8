"""What must come besides so that one more take fits, where others may be taken more often."""

from __future__ import annotations

from fractions import Fraction
from math import prod

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
        pytest.param((2, 3), 30, (1, 2), id="more of the one with more left to win"),
        pytest.param((3, 2), 30, (2, 1), id="of the other"),
        pytest.param((3, 3), 30, (2, 2), id="more of both"),
        pytest.param((4, 2), 10, (3, 2), id="not the last of one"),
        pytest.param((4, 3), 10, (3, 2), id="nor of the other"),
    ],
)
def test_lacks__enough_for_both_and_none_to_spare(
    most: tuple[int, int], risk: int, lacks: tuple[int, int]
) -> None:
    """The toast takes the egg and the lemon that there are; two others may take more of one each.

    Each of those is taken once or not at all or more often, by the distribution of three points.
    With so many more of each the chance that both fit is what is accepted, and with one fewer of
    either it is not: counted here from the two distributions.
    """
    found = outlook(
        *(line("toast", "egg", "1 each"), line("toast", "lemon", "1 each")),
        *(line("flip", "egg", "1 each"), line("ade", "lemon", "2 each")),
        *(pack("egg", "1 each", "1", at_most=1), pack("lemon", "1 each", "1", at_most=1)),
        Shot(dish="toast", name="T"),
        Shot(dish="flip", name="F", fewest=0, times=1, most=most[0]),
        Shot(dish="ade", name="A", fewest=0, times=1, most=most[1]),
        chance_of_running_out=Fraction(risk, 100),
    )
    asked = found.takes_left[0]
    assert asked.more == 0
    assert [(one.supply.name, one.amount) for one in asked.lacks] == [
        ("egg", lacks[0]),
        ("lemon", 2 * lacks[1]),
    ]
    times = [three_point(0, 1, one).chances for one in most]

    def chance(*up_to: int) -> Fraction:
        """That neither is taken more often than so."""
        return prod(
            sum(part for often, part in one if often <= top)
            for one, top in zip(times, up_to, strict=True)
        )

    accepted = 1 - Fraction(risk, 100)
    assert chance(*lacks) >= accepted
    assert max(chance(lacks[0] - 1, lacks[1]), chance(lacks[0], lacks[1] - 1)) < accepted
