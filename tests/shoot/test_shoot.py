"""When shops are open, and when two shoots are the same."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from small import line, may, pack, row, shoot_of, sound

from costing.shoot import Episode, Shoot, Shot
from costing.shoot.episodes import Trip


def test_open_days__rows_of_trips_stand_for_the_shopping_dates_of_their_shop() -> None:
    """Contract: a shop without a row on Trips is open on every Shopping date."""
    shoot = shoot_of(
        *(Trip(shop=shop, day=may(day)) for shop, day in (("Van", 9), ("van ", 7), ("Mill", 3))),
        Episode(name="E", shoot_date=may(12)),
        shopping_date=may(8),
        more_shopping_dates=(may(6),),
    )
    assert shoot.open_days("VAN") == (may(7), may(9))
    assert shoot.open_days("Mill") == (may(3),)
    assert shoot.open_days("Corner") == shoot.open_days("") == (may(6), may(8))
    assert not any(map(shoot.goes_the_day_before, ("Van", "Mill", "Corner", "")))


def test_open_days__without_dates_the_day_before_each_shoot() -> None:
    shoot = shoot_of(
        Trip(shop="Van", day=may(2)),
        *(Episode(name=f"E{day}", shoot_date=may(day)) for day in (20, 12)),
        Episode(name="Someday"),
    )
    assert shoot.open_days("Corner") == (may(11), may(19))
    went = ("Van", "Corner", "")
    assert [shoot.goes_the_day_before(shop) for shop in went] == [False, True, True]


@pytest.mark.parametrize(
    ("shopping", "dates"),
    [((14,), (11, 14)), ((9, 14), (9, 14)), ((12,), (12,)), ((19,), (11, 19))],
)
def test_shopping_dates__that_come_too_late_for_a_shoot(
    shopping: tuple[int, ...], dates: tuple[int, ...]
) -> None:
    """Shot on the 12th and the 20th: whoever shops from the 14th on went on the 11th too."""
    shoot = shoot_of(
        *(Episode(name=f"E{day}", shoot_date=may(day)) for day in (20, 12)),
        more_shopping_dates=tuple(map(may, shopping)),
    )
    assert shoot.shopping_dates == tuple(map(may, dates))


def test_shot_before_shopping__an_episode_without_shots_is_not_shot() -> None:
    episodes = [Episode(name=f"E{day}", shoot_date=may(day)) for day in (12, 20)]
    shoot = shoot_of(
        *episodes, Shot(dish="soup", episode="e20"), line("soup", "leek", "1 kg"),
        shopping_date=may(14),
    )  # fmt: skip
    assert shoot.shot_before_shopping is None
    assert shoot.changed(shots=()).shot_before_shopping == episodes[0]


SOUP = (line("soup", "leek", "1 kg"), pack("leek", "1 kg", "2.50"), sound("leek"))


@pytest.mark.parametrize(
    ("other", "difference"),
    [
        ({}, ""),
        ({"packs": (pack("leek", "1 kg", "2.50", row=row("Packs", 7, "leek")),)}, ""),
        ({"packs": ()}, "packs: 1 and 0 of them"),
        (
            {"packs": (pack("leek", "1 kg", "2.60"),)},
            f"packs[0].price: {Decimal('2.50')!r} and {Decimal('2.60')!r}",
        ),
        ({"ingredients": (sound("leek", allergens=("milk",)),)}, None),
    ],
)
def test_difference__the_first_in_words(other: dict[str, Any], difference: str | None) -> None:
    shoot = shoot_of(*SOUP)
    found = shoot.difference(shoot.changed(**other))
    assert (found == difference) if difference is not None else found
    assert (shoot == shoot.changed(**other)) is (not found)


def test_shoots__that_say_the_same_are_one_in_a_set() -> None:
    assert len({shoot_of(*SOUP), shoot_of(*SOUP), shoot_of(*SOUP[:2])}) == 2
    assert shoot_of(*SOUP) != "soup"


def test_repr__says_how_much_there_is() -> None:
    assert repr(shoot_of(*SOUP, title="Soups")) == (
        "<Shoot 'Soups': 1 recipe, 1 ingredient, 1 pack, 1 line>"
    )
    assert repr(Shoot()) == "<Shoot: nothing in it>"
