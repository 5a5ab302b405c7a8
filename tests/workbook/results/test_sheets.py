"""What is said above a result table."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

import pytest
from small import line, pack, shoot_of, sound

from costing.estimating import estimate
from costing.holding.models import Container, Event, EventKind
from costing.shoot import Episode, Shot
from costing.workbook.results.sheets import rows_above

WIDE = 200.0


def said(price: str | None) -> list[str]:
    """The texts above Food cost of two episodes, one of which takes mint at this price."""
    shoot = shoot_of(
        line("soup", "leek", "100 g"),
        line("tea", "mint", "10 g"),
        *(sound("leek"), sound("mint"), pack("leek", "1 kg", "3"), pack("mint", "50 g", price)),
        Episode(name="One"),
        Episode(name="Two", budget=Decimal(5)),
        Shot(dish="soup", episode="One"),
        Shot(dish="tea", episode="Two"),
    )
    result = estimate(shoot)
    rows = rows_above(result.tables()["food_cost"], result, WIDE)
    return [str(cell.value) for row in rows for cell in row if cell is not None]


def test_above__food_cost_says_which_episode_leaves_something_out() -> None:
    told = "Two: unknown above these figures, without the price of 1 x 50 g of mint"
    assert [text for text in said(None) if "unknown" in text] == [told]
    assert [text for text in said("2") if "unknown" in text] == []


@pytest.mark.parametrize(
    ("at", "told"),
    [
        (
            None,
            "Instant asked about: 2031-05-10 12:00 (Europe/Lisbon)",
        ),
        (
            datetime(2031, 5, 10, 13),
            "Instant asked about: 2031-05-10 13:00 (Europe/Lisbon)",
        ),
    ],
    ids=["no instant", "an instant"],
)
def test_above__holding_times_say_of_which_instant_they_are(at: datetime | None, told: str) -> None:
    bowls = [
        Container(
            name=f"bowl {hour}",
            holds=("leek",),
            events=(Event(kind=EventKind.OUT, at=datetime(2031, 5, 10, hour)),),
        )
        for hour in (10, 12)
    ]
    shoot = shoot_of(
        line("soup", "leek", "100 g"), *bowls, Shot(dish="soup"), time_zone="Europe/Lisbon"
    )
    result = estimate(shoot, at=at)
    rows = rows_above(result.tables()["holding_times"], result, 400.0)
    assert told in [str(cell.value) for row in rows for cell in row if cell is not None]
