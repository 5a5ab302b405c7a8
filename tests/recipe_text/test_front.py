"""Words before a name that nobody knows."""

from __future__ import annotations

import pytest

from costing.recipe_text.front import strange_word


@pytest.mark.parametrize(
    ("name", "strange"),
    [
        ("zorblet onions", "zorblet"),
        ("Zorblet onions", ""),  # with a capital before a food: the name of a kind
        ("Zorblet quambits", "Zorblet"),
        ("red onions", ""),
        ("zorblet", ""),
    ],
)
def test_strange_word__a_kind_has_a_capital_and_a_food_behind_it(name: str, strange: str) -> None:
    assert strange_word(name) == strange
