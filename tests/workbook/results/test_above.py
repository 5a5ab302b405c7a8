"""What is said above a result table."""

from __future__ import annotations

from decimal import Decimal

from small import line, pack, shoot_of, sound

from costing.estimating import estimate
from costing.shoot import Episode, Shot
from costing.workbook.results.above import rows_above

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
