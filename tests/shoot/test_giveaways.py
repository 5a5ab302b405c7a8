"""Food given away: only what is given as it is bought passes without a warning."""

from __future__ import annotations

from typing import Any

import pytest
from small import line, shoot_of

from costing.kitchen import Measured
from costing.shoot import Purpose, Shot
from costing.shoot.checks import check_shoot

AS_BOUGHT = {"measured": Measured.AS_BOUGHT}


def warned(*lines: Any, purpose: Purpose = Purpose.GIVEAWAY, times: int = 1) -> list[str]:
    shot = Shot(dish="bag", purpose=purpose, times=times)
    return [str(f) for f in check_shoot(shoot_of(*lines, shot)) if f.code == "giveaway handled"]


def test_giveaway__whole_text() -> None:
    assert warned(line("bag", "apple", "2 each", cut="sliced", **AS_BOUGHT)) == [
        '\'Shoot plan\' (row "bag, giveaway", column "Purpose"): found a giveaway of "bag", which '
        "the recipe has cut, cooked or opened, expected sealed packs or whole, uncut produce: one "
        "step without a name, measured as bought, no cut [giveaway handled]\n"
        "  Nobody follows its time and temperature once it is given away: ask the competent "
        "authority of the place first, or plan what is given as it is bought."
    ]


@pytest.mark.parametrize(
    ("lines", "count"),
    [
        ([line("bag", "apple", "2 each", **AS_BOUGHT)], 0),
        ([line("bag", "apple", "2 each")], 1),
        ([line("bag", "apple", "2 each", step_name="bake", **AS_BOUGHT)], 1),
        (
            [
                line("bag", "apple", "2 each", **AS_BOUGHT),
                line("bag", "oats", "1 each", step=2, **AS_BOUGHT),
            ],
            1,
        ),
        (
            [line("bag", "tart", "1 batch", **AS_BOUGHT), line("tart", "apple", "1 each")],
            1,
        ),
    ],
    ids=["whole, as bought", "trimmed", "a named step", "two steps", "another dish"],
)
def test_giveaway__only_as_bought_passes(lines: list[Any], count: int) -> None:
    assert len(warned(*lines)) == count


def test_giveaway__other_purposes_and_none_at_all_pass() -> None:
    apple = line("bag", "apple", "2 each")
    assert warned(apple, purpose=Purpose.BITE) == []
    assert warned(apple, times=0) == []
