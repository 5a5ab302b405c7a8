"""The good workbook of these tests: nothing is said of it, and it is read as it stands."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from good_workbook import findings, good_workbook, read

from costing.holding.models import EventKind
from costing.kitchen import Measured
from costing.quantities import amount
from costing.shoot import Purpose


def test_good_workbook__nothing_is_said(tmp_path: Path) -> None:
    assert findings(good_workbook(), tmp_path) == []


def test_good_workbook__recipe_lines_carry_dish_and_step_down(tmp_path: Path) -> None:
    """Read off the rows: leek and butter in step 1, potato and milk in step 2."""
    shoot, _ = read(good_workbook(), tmp_path)
    assert [(line.dish, line.step, line.step_name, line.ingredient) for line in shoot.lines] == [
        ("leek soup", 1, "sweat", "leek"),
        ("leek soup", 1, "", "butter"),
        ("leek soup", 2, "simmer", "potato"),
        ("leek soup", 2, "", "milk"),
    ]
    assert [line.amount for line in shoot.lines] == [
        amount("400 g"),
        amount("30 g"),
        amount("3 each"),
        amount("1 1/2 cup"),
    ]
    assert [line.amount_low for line in shoot.lines] == [None, None, amount("2 each"), None]
    assert [line.measured for line in shoot.lines][2] is Measured.AS_BOUGHT


def test_good_workbook__shots_are_read_with_their_estimate(tmp_path: Path) -> None:
    shoot, _ = read(good_workbook(), tmp_path)
    first, second = shoot.shots
    assert (first.name, first.episode, first.purpose, first.steps, first.times) == (
        "S1",
        "Soup",
        Purpose.COOK_THROUGH,
        None,
        1,
    )
    assert first.starts == time(10, 0)
    assert (second.episode, second.steps, second.batch) == ("Soup", (1, 2), Fraction(1, 2))
    assert (second.fewest, second.times, second.most) == (1, 2, 4)


def test_good_workbook__packs_are_exact(tmp_path: Path) -> None:
    shoot, _ = read(good_workbook(), tmp_path)
    leek, butter, potato, milk = shoot.packs
    assert (leek.price, leek.loose_step) == (Decimal("1.89"), amount("0.05 kg"))
    assert (butter.at_most, butter.tax_rate) == (4, Fraction(6, 100))
    assert potato.amount == amount("10 each")
    assert milk.shop == ""


def test_good_workbook__ingredients_lots_episodes_dishes_and_shops(tmp_path: Path) -> None:
    shoot, _ = read(good_workbook(), tmp_path)
    leek, milk = shoot.ingredients
    assert (leek.trim_yield, leek.spoilage) == (Fraction(18, 25), Fraction(1, 50))
    assert (milk.trim_yield, milk.density) == (Fraction(1), Fraction(103, 100))
    butter, salt = shoot.lots
    assert (butter.amount, butter.use_by, butter.value) == (
        amount("40 g"),
        date(2031, 6, 1),
        Decimal("0.4"),
    )
    assert (salt.amount, salt.plenty) == (None, True)
    assert shoot.episodes[0].shoot_date == date(2031, 5, 10)
    assert shoot.episodes[0].call_time == time(9, 30)
    assert shoot.dishes[0].makes == amount("4 portion")
    assert shoot.shops[0].visit_cost == Decimal("1.5")


def test_good_workbook__container_says_once_what_holds_for_all_its_rows(tmp_path: Path) -> None:
    shoot, _ = read(good_workbook(), tmp_path)
    (jug,) = shoot.containers
    assert (jug.name, jug.holds) == ("milk jug", ("milk",))
    assert jug.marked_until == datetime(2031, 5, 10, 14, 5)
    assert [(event.kind, event.at, str(event.temperature)) for event in jug.events] == [
        (EventKind.OUT, datetime(2031, 5, 10, 10, 5), "4 °C"),
        (EventKind.BACK, datetime(2031, 5, 10, 12, 20), "5 °C"),
    ]


def test_good_workbook__every_row_knows_its_place(tmp_path: Path) -> None:
    shoot, _ = read(good_workbook(), tmp_path)
    assert str(shoot.lines[3].row.at("Unit")) == 'Recipes!F5 (row "milk", column "Unit")'
    assert str(shoot.lots[1].row.at("Amount")) == '\'On hand\'!B3 (row "salt", column "Amount")'
    assert str(shoot.containers[0].events[1].place) == (
        'Holding!D3 (row "milk jug", column "When")'
    )
