"""Singulars."""

from __future__ import annotations

import pytest

from costing.recipe_text.singular import singular, singular_name


@pytest.mark.trade
@pytest.mark.parametrize(
    ("plural", "one"),
    [
        ("onions", "onion"),
        ("tomatoes", "tomato"),
        ("potatoes", "potato"),
        ("cherries", "cherry"),
        ("anchovies", "anchovy"),
        ("cookies", "cookie"),
        ("chillies", "chilli"),
        ("peaches", "peach"),
        ("radishes", "radish"),
        ("quiches", "quiche"),
        ("leaves", "leaf"),
        ("loaves", "loaf"),
        ("olives", "olive"),
        ("cloves", "clove"),
        ("boxes", "box"),
        ("asparagus", "asparagus"),
        ("hummus", "hummus"),
        ("watercress", "watercress"),
        ("cos", "cos"),
        ("Limes", "Lime"),
        ("gas", "gas"),
    ],
)
def test_singular__english_plurals(plural: str, one: str) -> None:
    assert singular(plural) == one


def test_singular_name__changes_the_last_word_alone() -> None:
    assert singular_name("limes leaves") == "limes leaf"
