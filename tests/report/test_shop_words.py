"""Allergens beside what is bought, by the list in use, and those a substitute would bring."""

from __future__ import annotations

import pytest
from small import line, pack, shoot_of, sound

from costing.estimating import estimate
from costing.reference import AllergenList
from costing.report.estimates import Estimate
from costing.shoot import Settings, Shot
from costing.shoot.episodes import Person
from costing.workbook.results.sheets import rows_above


def bought(*rows: object, allergen_list: AllergenList = AllergenList.EU) -> Estimate:
    return estimate(
        shoot_of(
            line("porridge", "milk", "1 l"),
            pack("milk", "1 l", "1.20"),
            Shot(dish="porridge"),
            *rows,
            allergen_list=allergen_list,
        )
    )


def cell(found: Estimate, heading: str) -> object:
    (row,) = found.tables()["to_buy"].rows
    return row[heading]


def test_allergens__filled_from_tables_may_be_incomplete() -> None:
    assert cell(bought(), "allergens") == "milk; may be incomplete: read the pack"


def test_allergens__what_the_tables_list_nothing_for_reads_as_on_who_eats() -> None:
    """Of limes the table states none, from memory; of what it does not know nothing is known."""
    names = ("lime", "house paste")
    lines = [line(f"{name} plate", name, "20 g") for name in names]
    plates = [Shot(dish=f"{name} plate", purpose="bite") for name in names]
    packs = [pack(name, "50 g", "2.00") for name in names]
    person = Person(name="sound", avoids=["milk"])
    shoot = shoot_of(*lines, *packs, *plates).changed(people=[person])
    tables = estimate(shoot).tables()
    assert {row["ingredient"]: row["allergens"] for row in tables["to_buy"].rows} == {
        "lime": "nothing listed: read the pack",
        "house paste": "unknown: read the pack",
    }
    assert [row["answer"] for row in tables["who_eats"].rows] == ["nothing listed", "unknown"]
    assumed = tables["assumptions"]
    (at,) = (n for n, r in enumerate(assumed.rows) if "Allergens of lime" in str(r["about"]))
    assert at in assumed.folded
    row = assumed.rows[at]
    assert row["value_used"] == "none"
    assert "memory" in str(row["source"])


def test_allergens__typed_ones_stand_as_typed() -> None:
    assert cell(bought(sound("milk", allergens=("milk",))), "allergens") == "milk"
    assert cell(bought(sound("milk", allergens=())), "allergens") == "none given"


@pytest.mark.parametrize(
    ("substitute", "shown"),
    [
        ("", ""),
        ("oat milk", "oat milk: brings cereals containing gluten (oats)"),
        ("butter", "butter"),
        (
            "oat milk; almond milk",
            "oat milk: brings cereals containing gluten (oats); almond milk: brings nuts (almond)",
        ),
        ("mystery drink", "mystery drink: allergens unknown: read the pack"),
    ],
)
def test_substitute__new_allergens_are_flagged(substitute: str, shown: str) -> None:
    """Butter brings milk, which the milk it stands for brings too."""
    assert cell(bought(sound("milk", substitute=substitute)), "substitute") == shown


def test_substitute__row_of_its_own_comes_first_and_the_list_chooses_the_words() -> None:
    own = sound("oat milk", allergens=("oats", "milk"))
    assert cell(bought(sound("milk", substitute="oat milk"), own), "substitute") == (
        "oat milk: brings oats"
    )
    by_us_list = bought(sound("milk", substitute="oat milk"), allergen_list=AllergenList.US)
    assert cell(by_us_list, "substitute") == "oat milk"


@pytest.mark.parametrize("chosen", list(AllergenList))
def test_to_buy__the_list_in_use_stands_above_the_table(chosen: AllergenList) -> None:
    found = bought(allergen_list=chosen)
    above = rows_above(found.tables()["to_buy"], found, 200)
    texts = [cell.value for row in above for cell in row if cell is not None]
    assert f"Allergens by the {chosen} list; read the pack of what you buy." in texts


def test_settings__list_is_the_european_one_when_blank() -> None:
    assert Settings().allergen_list is AllergenList.EU
