"""Names: singulars, waters, and which names are near each other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.names import is_water, key, nearest, singular, slips


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
        ("lbs", "lb"),
        ("kiwis", "kiwi"),
        ("tofus", "tofu"),
        ("haggis", "haggis"),
        ("pies", "pie"),
    ],
)
def test_singular__english_plurals(plural: str, one: str) -> None:
    assert singular(plural) == one


@given(st.text(st.characters(codec="ascii", categories=["Ll"]), min_size=1, max_size=12))
def test_singular__of_a_singular_food_name_is_that_name(word: str) -> None:
    """Law: what has no plural ending stays as it is."""
    assert word.endswith("s") or singular(word) == word


@pytest.mark.parametrize(
    "name", ["water", "Tap  Water", "iced water", "very hot tap water", "Água", "水"]
)
def test_is_water__in_any_case_and_spacing(name: str) -> None:
    assert is_water(name)
    assert not is_water(f"rose {name}")
    assert not is_water(f"{name} chestnuts")
    assert not is_water("")


def test_nearest__one_slip_is_near_whatever_it_is() -> None:
    """A letter missing, added, changed or swapped: each is one slip and is suggested."""
    for slip in ("retak", "retakee", "retoke", "reatke"):
        assert slips(slip, "retake") == 1
        assert nearest(slip, ["hero", "swap", "retake"]) == ["retake"]


@pytest.mark.parametrize("name", ["onion red", "Onions, red", "red-onion", "red oniom"])
def test_nearest__the_same_words_in_any_order_are_near(name: str) -> None:
    """Never taken for the same, as no name is; a name that shares one word is another food."""
    assert nearest(name, ["red wine", "onion soup", "red onion", "spring onion"]) == ["red onion"]


def test_nearest__the_likeliest_comes_first_and_the_far_not_at_all() -> None:
    assert nearest("flowr", ["flour", "flower", "butter"]) == ["flower", "flour"]
    assert nearest("butter", ["sugar"]) == []
    assert nearest("flor", ["flour", "floor", "flora", "flori"]) == ["flour", "floor", "flora"]


UNSEEN = "\u00ad\u200b\u200e\u200f\u202a\u202e\u2060\u206f\ufeff"


@pytest.mark.parametrize("sign", UNSEEN, ids=[f"{ord(sign):04x}" for sign in UNSEEN])
def test_key__signs_that_nobody_sees_count_for_nothing(sign: str) -> None:
    """As a copied page holds them; joiners, which shape letters, stay."""
    assert key(f"{sign}olive{sign} oil{sign}") == key("Olive oil")
    assert key("نیم\u200cپز") != key("نیمپز")


@pytest.mark.parametrize("sign", ["\u202f", "\u2010", "\u2070"], ids=["blank", "hyphen", "power"])
def test_key__signs_beside_them_are_seen(sign: str) -> None:
    """A narrow blank is a blank; a hyphen and a raised zero are letters like any other."""
    assert key(f"olive{sign}oil") != key("oliveoil")
    assert (key(f"olive{sign}oil") == key("olive oil")) is sign.isspace()
