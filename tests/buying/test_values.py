"""What is bought, used and left is worth."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from good_workbook import good_workbook, read
from small import books, books_of_shoot, codes, line, lot, pack, row, sound, value

from costing.buying.books import Books
from costing.buying.values import shots_left_out
from costing.findings import Place
from costing.kitchen import HoldingClass, Shop
from costing.shoot import Episode, LeftOut, Shoot, Shot
from costing.shoot.defaults import completed

SHOT = Shot(dish="soup")
SOUP = line("soup", "leek", "400 g")
DRY = sound("leek", holding_class=HoldingClass.NONE)


def money(found: Books) -> tuple[str, ...]:
    """Bought, tax, used, used from on hand, left."""
    t = found.totals
    return tuple(str(sum_) for sum_ in (t.bought, t.tax, t.used, t.on_hand_used, t.left))


def test_values__used_is_at_the_average_of_the_packs_chosen() -> None:
    """400 g from 1 x 250 at 1.00 and 1 x 200 at 1.30: 2.30 / 450 x 400 = 2.0444."""
    found = books(
        SOUP,
        DRY,
        pack("leek", "250 g", "1", at_most=1),
        pack("leek", "200 g", "1.30", at_most=1),
        SHOT,
        currency="EUR",
    )
    assert value(found, "leek").used == Fraction("2.30") / 450 * 400
    assert money(found) == ("2.30", "0.00", "2.04", "0.00", "0.26")


def test_values__spoilage_allowance_is_inside_used() -> None:
    """400 / 0.8 = 500 g of the kilogram at 2.00: 1.00 used, though 400 g are cooked."""
    spoiling = sound("leek", spoilage=Fraction(1, 5))
    found = books(SOUP, spoiling, pack("leek", "1 kg", "2"), SHOT, currency="EUR")
    assert money(found) == ("2.00", "0.00", "1.00", "0.00", "1.00")


def test_values__used_is_valued_before_the_till_rounds() -> None:
    """3 steps of 50 g at 0.0945 are 0.2835, 0.28 at the till; 120 g of them are 0.2268."""
    found = books(
        line("soup", "leek", "120 g"),
        DRY,
        pack("leek", "1 kg", "1.89", loose="50 g"),
        SHOT,
        currency="EUR",
    )
    assert value(found, "leek").used == Fraction("0.2268")
    assert money(found) == ("0.28", "0.00", "0.23", "0.00", "0.05")


def test_values__left_balances_even_when_the_till_rounds_down() -> None:
    """Three lines of 1.004 cost 1.00 each; 3.012 are used, shown 3.01, so left is -0.01."""
    names = ("leek", "mint", "basil")
    found = books(
        *(line("soup", name, "100 g") for name in names),
        *(sound(name) for name in names),
        *(pack(name, "1 kg", "10.04", loose="100 g") for name in names),
        SHOT,
        currency="EUR",
    )
    assert money(found) == ("3.00", "0.00", "3.01", "0.00", "-0.01")


def test_values__tax_is_inside_all_three() -> None:
    """1.00 + 20% for 1 kg: 1.20 bought, 400 g of it used at 0.48, 0.72 left."""
    found = books(
        SOUP,
        DRY,
        pack("leek", "1 kg", "1.00"),
        SHOT,
        currency="EUR",
        prices_include_tax=False,
        tax_rate=Fraction(1, 5),
    )
    assert money(found) == ("1.20", "0.20", "0.48", "0.00", "0.72")


def test_values__lot_without_a_value_takes_the_cheapest_pack_price() -> None:
    """100 g at the 2.00 a kilogram of the larger pack, which is not bought itself: 0.20."""
    found = books(
        SOUP,
        DRY,
        pack("leek", "300 g", "0.90"),
        pack("leek", "1 kg", "2"),
        pack("leek", "1 kg", None, supplied=True, at_most=0),
        lot("leek", "100 g"),
        SHOT,
        currency="EUR",
    )
    assert value(found, "leek").on_hand_used == Fraction("0.20")
    assert [(lot.ingredient, price) for lot, price in value(found, "leek").assumed] == [
        ("leek", Fraction(2, 1000))
    ]
    assert money(found) == ("0.90", "0.00", "1.10", "0.20", "0.00")


def test_values__supplied_lot_is_worth_nothing() -> None:
    found = books(
        SOUP,
        DRY,
        pack("leek", "300 g", "0.90"),
        lot("leek", "100 g", supplied=True, value=Decimal(9)),
        SHOT,
    )
    assert money(found) == ("0.90", "0.00", "0.90", "0.00", "0.00")
    assert found.totals.missing == ()


def test_values__lot_nobody_can_value_is_left_out_by_name() -> None:
    found = books(SOUP, DRY, lot("leek", "1 kg"), SHOT)
    assert money(found) == ("0.00", "0.00", "0.00", "0.00", "0.00")
    assert found.totals.bought_missing == ()
    assert found.totals.used_missing == ("the value of leek on hand",)
    assert codes(found.findings) == ["value of stock unknown"]


def test_values__lot_that_is_not_used_needs_no_value() -> None:
    """The earlier lot covers the need, so the later one may be without a value."""
    found = books(
        SOUP,
        DRY,
        lot("leek", "400 g", use_by=date(2031, 5, 10), value=Decimal("0.80")),
        lot("leek", "1 kg"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        SHOT,
    )
    assert found.findings == ()
    assert found.totals.used == Decimal("0.80")


@pytest.mark.parametrize("worth", ["0", "2.40"], ids=["worth nothing", "worth something"])
def test_values__a_value_of_zero_is_a_value(worth: str) -> None:
    """Blank is valued at the pack price; 0 is 0."""
    found = books(
        SOUP, DRY, pack("leek", "1 kg", "2"), lot("leek", "400 g", value=Decimal(worth)), SHOT
    )
    assert value(found, "leek").used == Fraction(worth)


def test_values__unknown_price_is_named_and_the_rest_is_counted() -> None:
    """Egg is known, leek is not: bought 2.00 is unknown above 2.00, and used too."""
    found = books(
        SOUP,
        DRY,
        line("soup", "egg", "3 each"),
        pack("leek", "250 g", None),
        pack("egg", "6 each", "2"),
        SHOT,
    )
    assert money(found) == ("2.00", "0.00", "1.00", "0.00", "1.00")
    named = ("the price of 2 x 250 g of leek",)
    assert found.totals.bought_missing == named
    assert found.totals.used_missing == named


def test_values__partly_unknown_price_counts_only_what_is_known() -> None:
    """One of two packs has a price of 1.00: bought 1.00 and the other by name."""
    found = books(
        SOUP,
        DRY,
        pack("leek", "200 g", "1", at_most=1),
        pack("leek", "200 g", None),
        SHOT,
    )
    assert found.totals.bought == 1
    assert found.totals.bought_missing == ("the price of 1 x 200 g of leek",)
    assert found.totals.used == 1


def test_values__rows_that_could_not_be_used_are_named() -> None:
    row = LeftOut(what='shot "P9"', place=Place("Shoot plan", 9, "B", "Dish", "P9"))
    found = books_of_shoot(Shoot(lines=(SOUP,), ingredients=(DRY,), shots=(SHOT,), left_out=(row,)))
    assert found.totals.bought_missing[0] == (
        'shot "P9" (\'Shoot plan\'!B9 (row "P9", column "Dish"))'
    )
    assert found.totals.used_missing[0] == found.totals.bought_missing[0]


@pytest.mark.parametrize(("spoilage", "named"), [("100", False), ("5", True)])
def test_values__an_ingredient_whose_need_is_unknown_is_named_once(
    spoilage: str, named: bool, tmp_path: Path
) -> None:
    """A spoilage of 100 % cannot be: need and row of butter are one lack, not two."""
    book = good_workbook()
    book["Ingredients"].append(["butter", None, 100, None, None, spoilage])
    found = books_of_shoot(completed(read(book, tmp_path)[0])[0])
    assert found.totals.bought_missing == (
        () if named else ('how much butter goes into "leek soup"',)
    )
    assert found.left_out_of("Soup") == found.totals.missing


@pytest.mark.parametrize(
    ("currency", "expected"),
    [
        ("JPY", ("3", "0", "2", "0", "1")),
        ("EUR", ("3.00", "0.00", "2.40", "0.00", "0.60")),
        ("KWD", ("3.000", "0.000", "2.400", "0.000", "0.600")),
        (None, ("3.00", "0.00", "2.40", "0.00", "0.60")),
    ],
    ids=["no digits", "two digits", "three digits", "no currency"],
)
def test_values__balance_in_the_smallest_coin(
    currency: str | None, expected: tuple[str, ...]
) -> None:
    """400 of 500 g at 3: 2.4 used, 0.6 left; without digits 2 used and 1 left."""
    settings: dict[str, Any] = {"currency": currency}
    found = books(SOUP, DRY, pack("leek", "500 g", "3"), SHOT, **settings)
    assert money(found) == expected


def test_left_out_of__a_shot_that_does_not_count_is_missing_in_its_own_episode() -> None:
    """A dish without a recipe in Two, a step that the soup does not have in Three."""
    found = books(
        line("soup", "egg", "1 each"),
        pack("egg", "6 each", "3"),
        Shot(dish="soup", episode="One"),
        Shot(dish="stew", episode="Two", name="P2"),
        Shot(dish="soup", episode="Three", name="P3", steps=(7,)),
    )
    assert [len(found.left_out_of(name)) for name in ("One", "Two", "Three")] == [0, 1, 1]
    assert found.left_out_of("Two") + found.left_out_of("Three") == found.totals.missing


def test_totals__visits_are_paid_beside_what_is_bought() -> None:
    """Worked by hand: 1.00 and 3.00 for goods, 2.50 and 0.75 for two visits: 7.25 paid."""
    found = books(
        SOUP,
        line("soup", "beet", "100 g"),
        DRY,
        sound("beet"),
        pack("leek", "400 g", "1", shop="a"),
        pack("beet", "100 g", "3", shop="b"),
        Shop(name="a", visit_cost=Decimal("2.50")),
        Shop(name="b", visit_cost=Decimal("0.75")),
        SHOT,
        currency="EUR",
    )
    assert (found.totals.bought, found.totals.visits) == (Decimal(4), Decimal("3.25"))
    assert found.totals.paid == Decimal("7.25")


@pytest.mark.parametrize("sheet", ["Recipes", "Packs"])
def test_totals__without_recipe_lines_every_dish_is_missing_unless_they_could_not_be_read(
    sheet: str,
) -> None:
    row = LeftOut(what="a row", place=Place(sheet, 9, "B", "Amount", "leek"), sheet=sheet)
    words = "every dish: there are no recipe lines"
    found = books_of_shoot(Shoot(shots=(SHOT,), left_out=(row,)))
    assert (words in found.totals.bought_missing) is (sheet == "Packs")
    assert words not in books(SOUP, DRY, pack("leek", "1 kg", "2"), SHOT).totals.missing


def test_totals__shots_of_none_at_all_are_not_missing() -> None:
    """Of a dish without a recipe: planned 0 times it lacks nothing, planned up to once it does."""
    rows = (SOUP, DRY, pack("leek", "1 kg", "2"), SHOT)
    stew = Shot(dish="stew", name="P2", times=0)
    assert books(*rows, stew).totals.missing == ()
    none = stew.model_copy(update={"batch": Fraction(0), "times": 2})
    assert books(*rows, none).totals.missing == ()
    (words,) = books(*rows, stew.model_copy(update={"fewest": 0, "most": 1})).totals.missing
    assert words.startswith('shot "P2"')


def test_shots_left_out__in_the_order_of_the_plan() -> None:
    """Rows that could not be read among those that do not count; rows of other sheets not."""
    places = [Place("Shoot plan", 9, "B", "Dish", "P9"), Place("Packs", 3, "B", "Amount", "leek")]
    unread = [LeftOut(what=f"row {one.row}", place=one, sheet=one.sheet) for one in places]
    early, late = (
        Shot(dish="stew", name=f"P{number}", row=row("Shoot plan", number, f"P{number}", Dish="B"))
        for number in (4, 12)
    )
    shoot = Shoot(lines=(SOUP,), shots=(late, SHOT, early), left_out=tuple(unread))
    found = shots_left_out(completed(shoot)[0])
    assert [one.what for one in found] == ['shot "P4"', "row 9", 'shot "P12"']
