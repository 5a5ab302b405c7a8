"""What is made, bought ready and cut which way, where prices are not known: worked by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from small import books, line, pack, purchase, sound

from costing.kitchen import Dish
from costing.shoot import Shot

BONES = pack("bones", "1 kg", "1.00")
ONLY_ONE = pack("bones", "1 kg", "1.00", at_most=1)
CARTON = pack("stock", "1 l", None)
THREE: dict[str, Any] = {"times": 2, "fewest": 1, "most": 3}


@pytest.mark.parametrize(
    ("sold", "shot", "bones", "cartons", "paid", "one_more"),
    [
        ([BONES, CARTON], {"times": 2}, 2, 0, "2.00", "1.00"),
        ([ONLY_ONE, CARTON], {"times": 3}, 1, 2, "1.00", None),
        ([CARTON], {"times": 2}, 0, 2, "0.00", None),
        ([pack("bones", "1 kg", None), pack("stock", "1 l", "5")], {"times": 2}, 0, 2, "10", "5"),
        ([BONES, CARTON], THREE, 3, 0, "3.00", "1.00"),
        ([ONLY_ONE, CARTON], THREE, 1, 2, "1.00", None),
        (
            [ONLY_ONE, pack("stock", "1 l", "3.00", at_most=1), CARTON],
            {"times": 4},
            *(1, 3, "4.00", None),
        ),
    ],
    ids=[
        "made, as no carton has a price",
        "one is made, two cartons are all there is besides",
        "nobody sells bones",
        "cartons have a price and bones have none",
        "made for the takes that may come too",
        "what bones are too few for",
        "what bones and cartons with a price are too few for",
    ],
)
def test_bought_ready__what_has_no_price_at_all_is_taken_only_where_nothing_else_will_do(
    sold: list[Any], shot: dict[str, Any], bones: int, cartons: int, paid: str, one_more: str | None
) -> None:
    """Worked by hand: a litre of stock takes a kilo of bones or a carton, each gravy a litre.

    The price of one more take is known where the packs that it takes have one.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        sound("bones"),
        Dish(name="stock", makes="1 l"),
        line("gravy", "stock", "1 l"),
        *sold,
        Shot(dish="gravy", **shot),
    )
    lines = [purchase(found, name).lines for name in ("bones", "stock")]
    assert [sum(one.count for one in of_it) for of_it in lines] == [bones, cartons]
    assert found.totals.bought == Decimal(paid)
    assert found.caution is not None
    (take,) = found.caution.takes
    assert take.one_more == (None if one_more is None else Decimal(one_more))
    assert [finding.code for finding in found.findings] == ["price missing"]
