"""Plates that stand on set for longer than they look right."""

from __future__ import annotations

from datetime import time
from fractions import Fraction
from typing import Any

import pytest
from small import line, row, shoot_of

from costing.kitchen import Dish
from costing.shoot import Purpose, Shot
from costing.shoot.defaults import completed
from costing.shoot.standing import check_photo_life

LIFE = Dish(
    name="tart",
    photo_life=Fraction(20),
    row=row("Dishes", 2, "tart", Photo_life_minutes="F"),
)


def shot(purpose: str, clock: str | None, times: int = 1, dish: str = "tart", **more: Any) -> Shot:
    """A shot at a time on the clock."""
    starts = None if clock is None else time.fromisoformat(clock)
    return Shot(dish=dish, purpose=Purpose(purpose), starts=starts, times=times, **more)


def told(*shots: Shot) -> list[str]:
    """What is said of these shots."""
    parts = (line("tart", "leek", "1 each"), line("soup", "leek", "1 each"), LIFE)
    return [str(one) for one in check_photo_life(completed(shoot_of(*parts, *shots))[0])]


def test_stands_past_photo_life__whole_text() -> None:
    """70 minutes at 20 minutes each are 4 plates: 3 more than the one, each with its leek."""
    hero = shot("hero", "13:00", row=row("Shoot plan", 4, "P3", Starts="M"))
    assert told(hero, shot("reset", "14:10"), shot("bite", "14:30")) == [
        '\'Shoot plan\'!M4 (row "P3", column "Starts"): found 1 plate of "tart" on set from 13:00 '
        "to 14:10, expected a fresh plate for every 20 minutes [stands past photo life]\n"
        "  Plan 3 more resets, which take 3 leek, or shoot it sooner. How long it looks right is "
        "no limit for eating it."
    ]


@pytest.mark.parametrize(
    ("shots", "more"),
    [
        pytest.param([shot("hero", "13:00"), shot("reset", "13:20")], None, id="just in time"),
        pytest.param([shot("hero", "13:00"), shot("reset", "13:21")], 1, id="a minute too long"),
        pytest.param(
            [shot("reset", "13:00", 3), shot("crew meal", "14:00", dish="soup")],
            None,
            id="three resets in an hour, until the next shot of anything",
        ),
        pytest.param(
            [shot("hero", "13:00"), shot("close-up", "13:10"), shot("reset", "13:50")],
            2,
            id="the next plate counts, not the shots between",
        ),
        pytest.param(
            [shot("hero", "13:00"), shot("reset", "13:20"), shot("reset", "13:40")],
            None,
            id="each until the next",
        ),
        pytest.param(
            [shot("hero", "13:00"), shot("hero spare", "13:00"), shot("bite", "13:40")],
            None,
            id="hero and spare side by side",
        ),
        pytest.param(
            [
                shot("swap", "13:00"),
                shot("bite", "15:00"),
                shot("hero", "15:10"),
                shot("bite", "15:20"),
            ],
            None,
            id="a swap is no plate",
        ),
    ],
)
def test_plates__as_many_as_the_time_on_set_asks_for(shots: list[Shot], more: int | None) -> None:
    said = told(*shots)
    assert [text.partition("Plan ")[2].partition(" more")[0] for text in said] == (
        [] if more is None else [str(more)]
    )


def test_stands_past_photo_life__resets_take_what_the_one_of_the_plan_does() -> None:
    """Two more of half a batch of step 2: 2 x 1/2 x 30 g of basil, 2 x 1/2 x 1 tsp of oil."""
    parts = (
        line("tart", "leek", "1 each"),
        line("tart", "basil", "20 g", step=2),
        line("tart", "basil", "10 g", step=2),
        line("tart", "oil", "1 tsp", step=2),
        line("tart", "water", "1 l", step=2),
        LIFE,
    )
    reset = shot("reset", "14:00", steps="2", batch="1/2")
    shoot = completed(shoot_of(*parts, shot("hero", "13:00"), reset))[0]
    (said,) = check_photo_life(shoot)
    assert "Plan 2 more resets, which take 30 g basil and 1 metric teaspoon oil, or shoot" in str(
        said
    )


@pytest.mark.parametrize(
    "shots",
    [[shot("hero", None), shot("reset", "14:00")], [shot("cook-through", "10:00")]],
    ids=["no start", "no plate"],
)
def test_photo_life__that_cannot_be_looked_at_is_named(shots: list[Shot]) -> None:
    (said,) = told(*shots)
    assert said.startswith(
        'Dishes!F2 (row "tart", column "Photo life minutes"): found the photo life of "tart", '
        "which needs a hero or a reset and a shot after it, both with Starts"
    )
