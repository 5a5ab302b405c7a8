"""From when on a food needs time or temperature control, with the legal word."""

from __future__ import annotations

import pytest

from costing.reference import Filled, all_foods, fill
from costing.reference.tables import PublishedHolding, published

CLASSES = ("none", "when cut", "when opened", "when cooked", "always")
"""The closed words of the column."""


def holding(name: str) -> Filled:
    given = fill(name, "Holding class")
    assert isinstance(given, Filled), given
    return given


@pytest.mark.source("fda-food-code-2022-tcs", "1-201.10(B), TCS food")
@pytest.mark.parametrize(
    ("name", "holding_class", "legal_word"),
    [
        ("tomato", "when cut", "cut tomatoes"),
        ("cantaloupe", "when cut", "cut melons"),
        ("bean sprouts", "always", "raw seed sprouts"),
        ("basmati rice", "when cooked", "heat-treated plant food"),
        ("pasta", "when cooked", "heat-treated plant food"),
        ("kidney beans", "when cooked", "heat-treated plant food"),
        ("potato", "when cooked", "heat-treated plant food"),
        ("milk", "always", "animal food that is raw or heat-treated"),
        ("eggs", "always", "animal food that is raw or heat-treated"),
        ("chicken breast", "always", "animal food that is raw or heat-treated"),
    ],
)
def test_holding_class__foods_the_definition_names(
    name: str, holding_class: str, legal_word: str
) -> None:
    given = holding(name)
    assert (given.value, given.as_printed) == (holding_class, legal_word)
    assert given.verified == "secondary"
    assert "doubtful" not in given.note


def test_holding_class__animal_food_that_is_cut_needs_control_all_the_same() -> None:
    """A steak of salmon is as much animal food as the fish."""
    assert holding("salmon steaks").value == "always"


@pytest.mark.source("food-code-leafy-greens-quoted", "cut, shredded, sliced, chopped or torn")
@pytest.mark.parametrize("name", ["romaine", "spinach", "kale", "white cabbage", "rocket"])
def test_holding_class__leafy_greens_from_the_cut_on(name: str) -> None:
    given = holding(name)
    assert (given.value, given.as_printed) == ("when cut", "cut leafy greens")


@pytest.mark.parametrize(
    "name", ["cucumber", "celery", "onion", "apple", "parsley", "cilantro", "garlic"]
)
def test_holding_class__plants_the_definition_does_not_name_are_doubtful(name: str) -> None:
    """Cut and raw they are not named; the stricter reading is used and said to be doubtful."""
    given = holding(name)
    assert given.value == "when cut"
    assert given.note.startswith("doubtful; ")


def test_holding_class__garlic_in_oil_is_told_of() -> None:
    assert "garlic in oil always needs control" in holding("garlic").note


@pytest.mark.source("us-navy-p-5010-1", "unopened hermetically sealed container is outside")
@pytest.mark.parametrize("name", ["tinned tomatoes", "coconut milk", "canned tuna"])
def test_holding_class__a_can_from_the_opening_on(name: str) -> None:
    assert holding(name).value == "when opened"


@pytest.mark.trade
@pytest.mark.parametrize("name", ["flour", "sugar", "salt", "honey", "olive oil", "cumin seeds"])
def test_holding_class__dry_goods_have_none_as_recalled(name: str) -> None:
    given = holding(name)
    assert (given.value, given.verified) == ("none", "memory")


ANIMAL = ("meat", "poultry", "fish", "shellfish", "egg")


def row_of(food_id: str) -> PublishedHolding:
    row = published(food_id).holding
    assert row is not None
    return row


def test_holding_class__no_animal_food_is_ever_outside_control() -> None:
    for food in all_foods():
        if food.group in ANIMAL:
            assert row_of(food.food_id).holding_class == "always", food.name


def test_holding_class__no_fresh_plant_is_free_of_a_class_but_sharp_juice_and_dry_fruit() -> None:
    free = [
        food.name
        for food in all_foods()
        if food.group in ("vegetable", "herb", "fruit")
        and row_of(food.food_id).holding_class == "none"
    ]
    assert sorted(free) == [
        "date",
        "dried apricot",
        "dried cranberry",
        "lemon juice",
        "lime juice",
        "medjool date",
        "prune",
        "raisin",
        "sultana",
    ]


def test_holding_class__words_are_closed_and_each_has_its_jurisdiction() -> None:
    for food in all_foods():
        row = row_of(food.food_id)
        assert row.holding_class in CLASSES
        assert row.legal_word
        assert (row.jurisdiction, row.edition) == ("US", "2022")
