"""What must come besides for one more take, and the packs that bring it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from small import books, line, pack

from costing.buying.takes_left import Outlook
from costing.shoot import Shot


def _bread(text: str, price: str | None, at_most: int | None = None) -> Any:
    return pack("bread", text, price, at_most=at_most)


@pytest.mark.parametrize(
    ("rows", "packs", "price"),
    [
        ([_bread("10 each", "1.80", 2)], {10: 1}, "1.80"),
        ([_bread("10 each", "1.80", 1)], {}, None),
        ([_bread("10 each", None, 2)], {10: 1}, None),
        ([_bread("1 each", "0.20")], {1: 2}, "0.40"),
        ([_bread("10 each", "1.80", 1), _bread("2 each", "0.50", 1)], {2: 1}, "0.50"),
        ([_bread("10 each", "1.80"), _bread("50 each", None)], {10: 1}, "1.80"),
    ],
    ids=["one more", "sold out", "without a price", "two more", "the last", "one without a price"],
)
def test_takes_left__what_lacks_is_sold_by_packs_not_yet_bought(
    rows: list[Any], packs: dict[int, int], price: str | None
) -> None:
    """Five takes of two slices are planned: two slices lack for a sixth."""
    toast = (line("toast", "bread", "2 each"), Shot(dish="toast", times=5))
    (one,) = Outlook(books(*toast, *rows)).takes_left
    (lack,) = one.lacks
    assert {int(offer.amount): count for offer, count in lack.packs} == packs
    assert lack.price == (None if price is None else Fraction(price))
