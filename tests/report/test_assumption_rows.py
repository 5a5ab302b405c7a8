"""Values that no cell holds: each with where it came from and how it is overruled."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from small import line, lot, pack, shoot_of, sound

from costing.estimating import estimate
from costing.holding.models import Container
from costing.kitchen import Ingredient
from costing.shoot import Shot


def assumed(*parts: Any, about: str, **settings: Any) -> list[tuple[Any, ...]]:
    """Where, used value, source and remedy of the rows about something."""
    rows = estimate(shoot_of(*parts, currency="EUR", **settings)).tables()["assumptions"].rows
    return [
        (row["where"], row["value_used"], row["source"], row["how_to_override"])
        for row in rows
        if str(row["about"]).startswith(about)
    ]


LEEK = line("soup", "leek", "1 kg")
NOTED = "Learned from 10 past shoots: 1, 2, 7."


@pytest.mark.parametrize(
    ("note", "times", "source"),
    [
        (NOTED, (1, 2, 7), "learned from 10 past shoots"),
        ("Learned from 1 past shoot: 1, 2, 7.", (1, 2, 7), "learned from 1 past shoot"),
        (NOTED, (1, 3, 7), None),
        (NOTED, (2, 2, 7), None),
        (NOTED, (1, 2, 6), None),
        ("as the last time", (1, 2, 7), None),
    ],
)
def test_assumptions__numbers_of_takes_that_were_learned(
    note: str, times: tuple[int, int, int], source: str | None
) -> None:
    """They are the person's own as soon as one of the three was edited, or the note is gone."""
    fewest, likely, most = times
    shot = Shot(dish="soup", name="P", fewest=fewest, times=likely, most=most, note=note)
    told = assumed(LEEK, sound("leek"), shot, about="How often")
    place = '\'Shoot plan\' (row "P", column "Times")'
    remedy = "Write your own Fewest, Times and Most."
    assert told == ([(place, "1, 2, 7", source, remedy)] if source else [])


@pytest.mark.parametrize(("typed", "told"), [("88 %", True), ("87 %", False)])
def test_assumptions__a_trim_yield_that_was_weighed(typed: str, *, told: bool) -> None:
    leek = Ingredient(name="leek", trim_yield=typed, note="Learned from 5 weighings: 88 %.")
    where = 'Ingredients (row "leek", column "Trim yield %")'
    row = (where, "88 %", "learned from 5 weighings", "Fill Trim yield % for leek.")
    assert assumed(LEEK, leek, Shot(dish="soup"), about="Trim yield") == ([row] if told else [])


def test_assumptions__what_a_place_chooses() -> None:
    """Australia has a list of allergens and rules of its own; a list that is typed is not told."""
    rows = (LEEK, sound("leek"), Shot(dish="soup"))
    [(where, used, source, remedy)] = assumed(*rows, about="Allergen list", place="Australia")
    assert (where, used, source, remedy) == (
        *("Settings", "AU-NZ", "Australia"),
        "Fill Allergen list.",
    )
    assert assumed(*rows, about="Allergen list") == []
    bowl = (*rows, Container(name="bowl", holds=("leek",)))
    rules = "Fill Place, or Holding rules with the ids of the rules of the place."
    [(_, _, source, remedy)] = assumed(*bowl, about="Holding rules", place="Australia")
    assert (source, remedy) == ("Australia", rules)
    [(_, used, source, _)] = assumed(*bowl, about="Holding rules", place="Mexico")
    assert (used, source) == ("HOME-2H-5C", "none is known here for Mexico")
    [(_, used, source, _)] = assumed(*bowl, about="Holding rules", measures="metric")
    assert (used, source) == ("HOME-2H-5C", "the general rule for homes")
    assert assumed(*bowl, about="Holding rules", holding_rules=("US-HOME-2H",)) == []


@pytest.mark.trade
def test_assumptions__one_egg_has_one_yolk() -> None:
    rows = (line("soup", "egg yolk", "3 each"), sound("egg"), pack("egg", "6 each", "2"))
    [(where, used, _, remedy)] = assumed(*rows, Shot(dish="soup"), about="egg yolk from 1 each")
    assert (where, used) == ("Parts", "1 each")
    assert remedy == "Write what yours gives into a row of Parts."


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ((), False),
        ((lot("milk", "1 l", use_by=date(2031, 5, 10)),), True),
        ((lot("salt", "1 kg"),), False),
        ((Container(name="jug", holds=("milk",)),), True),
    ],
    ids=["bought alone", "on hand", "something else on hand", "a bowl is logged"],
)
def test_assumptions__a_holding_class_where_it_decides_something(
    more: tuple[Any, ...], *, told: bool
) -> None:
    """Of what is bought fresh and in no bowl nothing asks whether it is perishable."""
    rows = (line("soup", "milk", "100 ml"), pack("milk", "1 l", "2"), Shot(dish="soup"))
    found = assumed(*rows, *more, about="Holding class of milk")
    assert [used for _, used, *_ in found] == ["always"] * told
