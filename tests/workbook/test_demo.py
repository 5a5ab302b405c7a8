"""The demo workbook: the figures that were put in are the figures that are read."""

from __future__ import annotations

from collections import Counter
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from tart import ON_HAND, PACKS, YIELDS, lines, packs, shots, tart_shoot

from costing.kitchen import HoldingClass
from costing.shoot import Shoot
from costing.workbook.demo import DEMO_NAME, DEMO_ROWS, TART
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.reading import read_workbook
from costing.workbook.template import template_bytes


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("demo") / DEMO_NAME
    file.write_bytes(template_bytes(all_sheets=True, rows=DEMO_ROWS))
    return file


@pytest.fixture(scope="module")
def shoot(path: Path) -> Shoot:
    read, said = read_workbook(path)
    assert said == []
    return read


def test_demo__fills_in_the_sheets_of_a_plan_in_their_order() -> None:
    titles = [sheet.title for sheet in INPUT_SHEETS]
    assert list(DEMO_ROWS) == [title for title in titles if title in DEMO_ROWS]
    assert len(DEMO_ROWS) >= 10
    assert all(DEMO_ROWS.values())


def test_demo__is_the_same_to_the_byte(path: Path) -> None:
    assert template_bytes(all_sheets=True, rows=DEMO_ROWS) == path.read_bytes()


def test_demo__its_recipe_is_the_one_worked_by_hand(shoot: Shoot) -> None:
    read = [(line.dish, line.step, line.ingredient, line.amount) for line in shoot.lines]
    by_hand = [(line.dish, line.step, line.ingredient, line.amount) for line in lines()]
    assert Counter(read) == Counter(by_hand)
    assert [line.step_name for line in shoot.lines if line.step_name] == [
        "dough",
        "char leeks",
        "bean puree",
        "assemble",
        "egg wash",
        "plate",
    ]


def test_demo__feeds_each_step_as_often_as_the_plan_worked_by_hand(shoot: Shoot) -> None:
    """Step 1 five times, 2 four, 3 two, 4 three, 5 two, 6 six."""
    fed = Counter(
        step for shot in shoot.shots for step in shot.steps or () for _ in range(shot.times)
    )
    assert dict(sorted(fed.items())) == {1: 5, 2: 4, 3: 2, 4: 3, 5: 2, 6: 6}
    assert [(s.name, s.purpose, s.steps, s.times) for s in shoot.shots] == [
        (s.name, s.purpose, s.steps, s.times) for s in shots()
    ]


def test_demo__its_packs_are_those_worked_by_hand(shoot: Shoot) -> None:
    def said(of: object) -> list[tuple[object, ...]]:
        return [
            (pack.ingredient, pack.shop, pack.amount, pack.price, pack.loose_step)
            for pack in of  # type: ignore[attr-defined]
        ]

    assert Counter(said(shoot.packs)) == Counter(said(packs()))
    assert len(PACKS) == 14


def test_demo__a_price_stands_there_with_a_comma_as_text(path: Path, shoot: Shoot) -> None:
    cell = openpyxl.load_workbook(path)["Packs"]["E4"]
    assert (cell.value, cell.data_type) == ("0,89", "s")
    assert shoot.packs[0].price == Decimal("0.89")


def test_demo__trim_yields_are_those_worked_by_hand(shoot: Shoot) -> None:
    assert {row.name: row.trim_yield for row in shoot.ingredients} == {
        row.name: Fraction(YIELDS.get(row.name, "1")) for row in tart_shoot().ingredients
    }
    lemon = shoot.ingredient("lemon juice")
    assert (lemon.density, lemon.piece_weight) == (Fraction(1), Fraction(30))


def test_demo__what_is_past_its_date_is_on_hand_too(shoot: Shoot) -> None:
    day = date(2031, 5, 10)
    on_hand = {lot.ingredient: str(lot.amount) for lot in shoot.lots}
    assert on_hand == {name: text for name, text, _ in ON_HAND}
    past = {lot.ingredient: lot.use_by for lot in shoot.lots if lot.use_by and lot.use_by < day}
    assert past == {"egg": date(2031, 5, 8), "yoghurt": date(2031, 5, 9)}
    assert {lot.value for lot in shoot.lots} == {None}
    for lot in shoot.lots:
        perishable = shoot.ingredient(lot.ingredient).holding_class is not HoldingClass.NONE
        assert perishable == (lot.ingredient in past)


def test_demo__day_zone_rules_and_room(shoot: Shoot) -> None:
    (episode,) = shoot.episodes
    assert (episode.shoot_date, episode.call_time) == (date(2031, 5, 10), time(9, 30))
    settings = shoot.settings
    assert (settings.currency, settings.time_zone, settings.procedures) == (
        "EUR",
        "Europe/Lisbon",
        True,
    )
    assert settings.holding_rules == ("US-HOME-2H", "US-TPHC-4", "AU-2H4H")
    assert str(settings.room_temperature) == "24 °C"


def test_demo__log_of_the_bean_puree_bowl(shoot: Shoot) -> None:
    (bowl,) = shoot.containers
    assert bowl.holds == (f"{TART}: only step 3",)
    assert bowl.marked_until == datetime(2031, 5, 10, 14, 5)
    log = [(str(e.kind), e.at.time(), e.temperature and str(e.temperature)) for e in bowl.events]
    assert log == [
        ("out", time(10, 5), "4 °C"),
        ("back", time(12, 20), "5 °C"),
        ("out", time(13, 30), None),
        ("back", time(14, 50), None),
    ]


def test_demo__every_ingredient_says_its_allergens_and_its_class(shoot: Shoot) -> None:
    assert {row.name: row.allergens for row in shoot.ingredients if row.allergens} == {
        "flour": ("cereals containing gluten",),
        "butter": ("milk",),
        "egg": ("eggs",),
        "yoghurt": ("milk",),
        "hazelnut": ("nuts",),
        "goat cheese": ("milk",),
    }
    assert all(row.allergens is not None for row in shoot.ingredients)
    assert all(row.holding_class is not None for row in shoot.ingredients)
