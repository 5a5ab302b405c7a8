"""Rows of To buy, Needs and Food cost."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from any_shoot import EVERY_KIND, any_shoot
from hypothesis import given
from small import books, books_of_shoot, line, lot, pack, shoot_of, sound
from tart import DRY, FRESH, tart_shoot

from costing.estimating import estimate
from costing.findings import Place
from costing.kitchen import HoldingClass, Shop
from costing.report.shopping_list import list_lines
from costing.report.shopping_rows import food_cost, needs, to_buy
from costing.report.tables import Row, Table
from costing.shoot import Episode, LeftOut, Purpose, Shoot, Shot
from costing.shoot.defaults import completed
from costing.shoot.episodes import Trip

SHOT = Shot(dish="soup")


def row_of(table: Table, ingredient: str) -> Row:
    """The only row of an ingredient."""
    (row,) = [row for row in table.rows if row["ingredient"] == ingredient]
    return row


@pytest.fixture(scope="module")
def tart() -> Any:
    return books_of_shoot(tart_shoot())


def test_to_buy__by_shop_in_the_order_of_packs_then_by_recipe(tart: Any) -> None:
    rows = [(row["shop"], row["ingredient"]) for row in to_buy(tart).rows]
    assert rows == [
        (DRY, "flour"),
        (DRY, "butter"),
        (DRY, "egg"),
        (DRY, "white beans"),
        (DRY, "yoghurt"),
        (DRY, "hazelnut"),
        (DRY, "goat cheese"),
        (FRESH, "leek"),
        (FRESH, "lemon juice"),
        (FRESH, "garlic"),
        (FRESH, "parsley leaf"),
    ]


def test_to_buy__sealed_pack_in_its_own_unit(tart: Any) -> None:
    """1250 g needed, 620 on hand, 1 kg bought: 0.37 kg left over."""
    assert dict(row_of(to_buy(tart), "flour")) == {
        "got_it": None,
        "shop": DRY,
        "trip": date(2031, 5, 9),
        "section": "",
        "ingredient": "flour",
        "packs": 1,
        "pack_amount": 1,
        "unit": "kg",
        "price_each": Fraction("0.89"),
        "cost": Decimal("0.89"),
        "needed": Fraction("1.25"),
        "from_on_hand": Fraction("0.62"),
        "bought": 1,
        "left_over": Fraction("0.37"),
        "buy_by": date(2031, 5, 9),
        "allergens": "unknown: read the pack",
        "substitute": "",
        "note": "",
    }


def test_to_buy__loose_goods_count_steps_and_say_what_they_come_to(tart: Any) -> None:
    leek = row_of(to_buy(tart), "leek")
    assert (leek["packs"], leek["pack_amount"], leek["unit"]) == (45, 50, "g")
    assert leek["price_each"] == Fraction("0.0945")
    assert leek["note"] == "2.25 kg loose"


def test_to_buy__figures_are_in_the_unit_of_the_row() -> None:
    """400 g trimmed at 0.8 are 500 g; a piece of 100 g trimmed is 125 g bought, so 4 pieces."""
    found = books(
        line("soup", "onion", "400 g"),
        sound("onion", trim_yield=Fraction("0.8"), piece_weight=Fraction(100)),
        pack("onion", "1 kg", "9"),
        pack("onion", "3 each", "1"),
        SHOT,
    )
    onion = row_of(to_buy(found), "onion")
    assert (onion["packs"], onion["unit"]) == (2, "each")
    assert (onion["needed"], onion["bought"], onion["left_over"]) == (4, 6, 2)


def test_to_buy__sections_come_together_within_a_shop() -> None:
    names = {"leek": "greens", "milk": "dairy", "chard": "Greens"}
    found = books(
        *(line("soup", name, "100 g") for name in names),
        *(sound(name, section=section) for name, section in names.items()),
        *(pack(name, "100 g", "1", shop="stall") for name in names),
        SHOT,
    )
    assert [row["ingredient"] for row in to_buy(found).rows] == ["milk", "leek", "chard"]


def test_to_buy__notes_say_what_is_odd_about_a_line() -> None:
    settings: dict[str, Any] = {"prices_include_tax": False, "tax_rate": Fraction(1, 5)}
    found = books(
        line("soup", "leek", "100 g"),
        line("soup", "mint", "100 g"),
        line("soup", "chard", "100 g"),
        pack("leek", "100 g", "1", note="ask for the thin ones"),
        pack("mint", "100 g", "1", supplied=True),
        pack("chard", "100 g", None),
        SHOT,
        **settings,
    )
    table = to_buy(found)
    assert row_of(table, "leek")["note"] == (
        "on the shelf 1.00 for 100 g, 0.20 tax on top; ask for the thin ones"
    )
    assert row_of(table, "leek")["price_each"] == Fraction(6, 5)
    assert row_of(table, "mint")["note"] == "supplied, costs nothing"
    assert row_of(table, "mint")["price_each"] == 0
    assert row_of(table, "chard")["note"] == "price unknown"
    assert row_of(table, "chard")["price_each"] is None
    assert row_of(table, "chard")["cost"] is None


def test_to_buy__rows_of_one_ingredient_name_each_other() -> None:
    """250 g are cheapest as one pack of 200 g and one of 50 g; each row has the whole need."""
    found = books(
        line("soup", "leek", "250 g"),
        sound("leek"),
        pack("leek", "200 g", "1", shop="stall"),
        pack("leek", "50 g", "0.40"),
        SHOT,
    )
    assert [row["note"] for row in to_buy(found).rows] == [
        "together with 1 x 50 g for the whole need",
        "together with 1 x 200 g from stall for the whole need",
    ]


def test_to_buy__rows_of_another_trip_are_named_with_its_day() -> None:
    """Three bags of one kilogram each, two to be had on the 8th of May and one on the 9th."""
    shops = {"Hall": 8, "Market": 8, "Mill": 9}
    found = books(
        *(line("soup", "leek", "3 kg"), sound("leek", keeps_days=9), Shot(dish="soup")),
        *(pack("leek", "1 kg", "2", shop=shop, at_most=1) for shop in shops),
        *(Trip(shop=shop, day=date(2031, 5, day)) for shop, day in shops.items()),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
    )
    day = "on Thu 8 May 2031"
    assert [str(row["note"]).partition(" for the whole")[0] for row in to_buy(found).rows] == [
        "together with 1 x 1 kg from Market and 1 x 1 kg from Mill on Fri 9 May 2031",
        "together with 1 x 1 kg from Hall and 1 x 1 kg from Mill on Fri 9 May 2031",
        f"together with 1 x 1 kg from Hall {day} and 1 x 1 kg from Market {day}",
    ]


def test_to_buy__of_five_packs_for_one_need_each_names_three_others() -> None:
    """Five shops with 1 kg each, of which one may be had, and all five are needed."""
    found = books(
        *(line("soup", "leek", "5 kg"), sound("leek"), Shot(dish="soup")),
        *(pack("leek", "1 kg", "2", shop=shop, at_most=1) for shop in "ABCDE"),
    )
    notes = [row["note"] for row in to_buy(found).rows]
    assert notes[0] == (
        "together with 1 x 1 kg from B, 1 x 1 kg from C, 1 x 1 kg from D and 1 more for the whole "
        "need"
    )


def test_to_buy__says_what_is_there_for_takes_that_may_come() -> None:
    """Twice, perhaps four times: three are covered by 95 %, one more than Needed counts."""
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "100 g", "1"),
        Shot(dish="soup", fewest=1, times=2, most=4),
    )
    (leek,) = to_buy(found).rows
    assert (leek["packs"], leek["needed"]) == (3, 200)
    assert leek["note"] == "100 g more for the times covered"


def test_to_buy__says_what_is_there_to_pick_from() -> None:
    """Four looked at for one hero: one is used, three more are there to pick from."""
    found = books(
        line("burger", "bun", "1 each", candidates=4),
        sound("bun"),
        pack("bun", "1 each", "0.50"),
        Shot(dish="burger", purpose=Purpose.HERO),
    )
    assert [row["note"] for row in to_buy(found).rows] == ["3 more than is used, to pick from"]


def test_to_buy__what_no_pack_covers_stands_on_the_list() -> None:
    """700 g needed, 100 on hand, no pack at all."""
    found = books(
        line("soup", "leek", "700 g"),
        sound("leek", holding_class=HoldingClass.NONE, section="greens"),
        lot("leek", "100 g"),
        SHOT,
    )
    leek = row_of(to_buy(found), "leek")
    assert leek["packs"] is None
    assert leek["cost"] is None
    assert (leek["needed"], leek["from_on_hand"], leek["bought"]) == (700, 100, 0)
    assert leek["unit"] == "g"
    assert leek["section"] == "greens"
    assert leek["note"] == "still missing: 600 g; no pack on the sheet Packs covers it"


def test_to_buy__shortage_has_a_row_beside_the_packs() -> None:
    found = books(
        line("soup", "leek", "700 g"), pack("leek", "1 kg", "1", loose="100 g", at_most=5), SHOT
    )
    rows = [(row["packs"], row["note"]) for row in to_buy(found).rows]
    assert rows == [
        (5, "500 g loose"),
        (None, "still missing: 200 g; no pack on the sheet Packs covers it"),
    ]


def test_to_buy__a_pack_that_could_not_be_read_is_not_called_missing() -> None:
    unread = LeftOut(what="a pack", place=Place("Packs", 2), sheet="Packs", name="leek")
    shoot, _ = completed(shoot_of(line("soup", "leek", "700 g"), SHOT))
    found = books_of_shoot(shoot.changed(left_out=[unread]))
    assert row_of(to_buy(found), "leek")["note"] == "still missing: 700 g; its pack cannot be read"
    assert [one.lacking for one in list_lines(found)] == ["its pack cannot be read"]
    assert [one.lacking for one in list_lines(books_of_shoot(shoot))] == ["no pack yet"]


def test_to_buy__what_nobody_gave_the_amount_of_stands_on_the_list() -> None:
    found = books(line("soup", "leek", None), pack("leek", "1 kg", "1.89", shop="stall"), SHOT)
    leek = row_of(to_buy(found), "leek")
    assert (leek["shop"], leek["packs"], leek["needed"]) == ("stall", None, None)
    assert leek["note"] == 'at least; not known: how much leek goes into "soup"'


def test_to_buy__partly_unknown_is_bought_at_least() -> None:
    found = books(
        line("soup", "leek", "100 g"),
        line("soup", "leek", None),
        pack("leek", "1 kg", "1.89"),
        SHOT,
    )
    note = row_of(to_buy(found), "leek")["note"]
    assert note == 'at least; not known: how much leek goes into "soup"'


def test_to_buy__unknown_of_which_there_is_plenty_is_not_on_the_list() -> None:
    found = books(line("soup", "leek", None), lot("leek", None, plenty=True), SHOT)
    assert to_buy(found).rows == ()


def test_to_buy__dish_in_a_loop_is_not_on_the_list() -> None:
    found = books(line("soup", "soup", "1 batch"), SHOT)
    assert to_buy(found).rows == ()


@pytest.mark.parametrize(
    ("allergens", "shown"),
    [(None, "unknown: read the pack"), ((), "none given"), (("milk", "nuts"), "milk, nuts")],
    ids=["unknown", "none", "two"],
)
def test_to_buy__unknown_allergens_are_not_none(
    allergens: tuple[str, ...] | None, shown: str
) -> None:
    found = books(
        line("soup", "leek", "1 g"),
        sound("leek", allergens=allergens),
        pack("leek", "1 g", "1"),
        SHOT,
    )
    assert row_of(to_buy(found), "leek")["allergens"] == shown


def test_needs__every_step_from_trimmed_to_left() -> None:
    """300 g x 2 / 0.75 = 800 g; 100 on hand; 700 / 0.8 = 875 g, of which 175 to be lost.

    Two bags of 500 g at 2.00 bring 1000 g, 125 g left. Used 100 x 0.004 + 875 x 0.004 = 3.90.
    """
    found = books(
        line("soup", "leek", "300 g"),
        sound("leek", trim_yield=Fraction(3, 4), spoilage=Fraction(1, 5), holding_class="none"),
        lot("leek", "100 g"),
        pack("leek", "1/2 kg", "2"),
        Shot(dish="soup", times=2),
        currency="EUR",
    )
    assert dict(row_of(needs(found), "leek")) == {
        "ingredient": "leek",
        "trimmed_need": 600,
        "trimmed_unit": "g",
        "unit": "g",
        "trim_yield": 75,
        "as_bought_need": 800,
        "spoilage_allowance": 175,
        "on_hand_used": 100,
        "net_need": 700,
        "bought": 1000,
        "left_over": 125,
        "left_keeps": 0,
        "used_value": Fraction("3.90"),
        "bought_value": Decimal("4.00"),
        "left_value": Fraction("0.50"),
    }


def test_to_buy__needed_is_what_must_be_there_allowance_included() -> None:
    """300 g net of stock, / 0.75 = 400 bought to keep 300; with the 100 g of stock 500."""
    found = books(
        line("soup", "leek", "400 g"),
        sound("leek", spoilage=Fraction(1, 4), holding_class=HoldingClass.NONE),
        lot("leek", "100 g"),
        pack("leek", "250 g", "1"),
        SHOT,
    )
    leek = row_of(to_buy(found), "leek")
    assert (leek["needed"], leek["from_on_hand"]) == (500, 100)
    assert (leek["bought"], leek["left_over"]) == (500, 100)


def test_needs__recipe_unit_where_the_shop_has_the_same_kind(tart: Any) -> None:
    """Flour is measured in g and sold in kg; lemon juice in ml and sold by the piece."""
    table = needs(tart)
    flour, lemon = row_of(table, "flour"), row_of(table, "lemon juice")
    assert (flour["unit"], flour["as_bought_need"]) == ("g", 1250)
    assert (lemon["trimmed_need"], lemon["trimmed_unit"]) == (40, "ml")
    assert (lemon["unit"], lemon["as_bought_need"]) == ("each", Fraction(4, 3))


def test_needs__pieces_have_no_trim_yield_unless_it_is_given() -> None:
    found = books(line("tart", "egg", "2 each"), line("tart", "leek", "2 g"), Shot(dish="tart"))
    assert row_of(needs(found), "egg")["trim_yield"] is None
    assert row_of(needs(found), "leek")["trim_yield"] == 100


def test_needs__a_yield_that_could_not_be_read_is_blank_and_not_100() -> None:
    unread = LeftOut(what="a row", place=Place("Ingredients", 2), sheet="Ingredients", name="leek")
    found = books_of_shoot(
        completed(shoot_of(line("soup", "leek", "2 g"), SHOT))[0].changed(left_out=[unread])
    )
    assert row_of(needs(found), "leek")["trim_yield"] is None


def test_needs__unknown_money_is_blank_and_not_zero() -> None:
    found = books(
        line("soup", "leek", "100 g"),
        line("soup", "mint", "100 g"),
        pack("leek", "100 g", None),
        pack("mint", "100 g", "0"),
        SHOT,
    )
    leek, mint = row_of(needs(found), "leek"), row_of(needs(found), "mint")
    assert (leek["used_value"], leek["bought_value"], leek["left_value"]) == (None, None, None)
    assert (mint["used_value"], mint["bought_value"], mint["left_value"]) == (0, 0, 0)


def test_needs__what_is_left_is_blank_when_only_the_use_is_unknown() -> None:
    """Of the leek there is plenty: nothing is bought, and nobody knows what it is worth."""
    found = books(line("soup", "leek", "1 g"), lot("leek", None, plenty=True), SHOT)
    leek = row_of(needs(found), "leek")
    assert (leek["used_value"], leek["bought_value"], leek["left_value"]) == (None, 0, None)


@pytest.mark.parametrize(
    ("keeps", "expected"),
    [(None, 0), (Fraction(6), 0), (Fraction(7), 150)],
    ids=["unknown life", "six days", "seven days"],
)
def test_needs__opened_pack_keeps_if_it_lives_seven_days(
    keeps: Fraction | None, expected: int
) -> None:
    """850 g from a kilogram: the 150 g left are in an opened pack."""
    found = books(
        line("soup", "leek", "850 g"),
        sound("leek", keeps_days=keeps),
        pack("leek", "1 kg", "1"),
        SHOT,
    )
    assert row_of(needs(found), "leek")["left_over"] == 150
    assert row_of(needs(found), "leek")["left_keeps"] == expected


def test_needs__loose_rest_is_open_and_a_dated_lot_keeps_to_its_day() -> None:
    """50 g loose are left; of the lots 100 g end eight days later and 60 g two."""
    parts = [
        line("soup", "leek", "150 g"),
        sound("leek"),
        pack("leek", "1 kg", "1", loose="100 g"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        SHOT,
    ]
    loose = row_of(needs(books(*parts)), "leek")
    assert (loose["left_over"], loose["left_keeps"]) == (50, 0)
    dated = [
        lot("leek", "200 g", use_by=date(2031, 5, 12)),
        lot("leek", "100 g", use_by=date(2031, 5, 18)),
    ]
    stocked = row_of(needs(books(*parts, *dated)), "leek")
    assert (stocked["left_over"], stocked["left_keeps"]) == (150, 100)


def test_needs__live_mussels_that_keep_a_day_do_not_live_on() -> None:
    """1.2 of a net of 2 kg, bought on the 9th, opened on the 10th: dead before the 13th."""
    parts = [
        line("pot", "mussels", "1.2 kg"),
        pack("mussels", "2 kg", "9"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 13)),
        Shot(dish="pot", episode="One"),
    ]
    dead = row_of(needs(books(*parts, sound("mussels", keeps_days=Fraction(1)))), "mussels")
    assert (dead["left_over"], dead["left_keeps"]) == (Fraction(4, 5), 0)
    alive = row_of(needs(books(*parts, sound("mussels", keeps_days=Fraction(4)))), "mussels")
    assert (alive["left_over"], alive["left_keeps"]) == (Fraction(4, 5), Fraction(4, 5))


def test_needs__a_lot_that_is_begun_lives_as_long_as_opened() -> None:
    """100 of 300 g taken on the 10th; opened it keeps two days, the next shoot is on the 13th."""
    found = books(
        line("soup", "cream", "100 g"),
        sound("cream", published_keeps_opened=Fraction(2), holding_class="none"),
        lot("cream", "300 g", use_by=date(2031, 6, 30)),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 13)),
        Shot(dish="soup", episode="One"),
    )
    cream = row_of(needs(found), "cream")
    assert (cream["left_over"], cream["left_keeps"]) == (200, 0)


def test_to_buy__loose_goods_beside_packs_are_an_amount() -> None:
    """1.3 kg: a pack of a kilogram at 1.00, and six steps of 50 g at 2.00 a kilogram, 0.60."""
    found = books(
        line("soup", "leek", "1.3 kg"),
        sound("leek"),
        pack("leek", "1 kg", "1", shop="stall", at_most=1),
        pack("leek", "1 kg", "2", shop="Dock", loose="50 g"),
        SHOT,
    )
    assert [row["note"] for row in to_buy(found).rows] == [
        "together with 300 g from Dock for the whole need",
        "300 g loose; together with 1 x 1 kg from stall for the whole need",
    ]


def test_food_cost__one_row_for_each_share_and_one_for_a_budget() -> None:
    """300 g of a kilogram at 3.00; budget 2.00 for the first, 9.00 for the second episode."""
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "1 kg", "3"),
        Episode(name="One", budget=Decimal(2)),
        Episode(name="Two", budget=Decimal(9)),
        Shot(dish="soup", episode="One"),
        Shot(dish="soup", episode="One", purpose=Purpose.HERO),
        Shot(dish="soup", episode="Two"),
        currency="EUR",
    )
    assert [tuple(row.values()) for row in food_cost(found).rows] == [
        ("One", None, None, Decimal("0.60"), Decimal("2.00"), 0, Decimal(2), None),
        ("One", "soup", "cook-through", Decimal("0.30"), Decimal("1.00"), 0, None, None),
        ("One", "soup", "hero", Decimal("0.30"), Decimal("1.00"), 0, None, None),
        ("Two", None, None, Decimal("0.30"), Decimal("1.00"), 0, Decimal(9), None),
        ("Two", "soup", "cook-through", Decimal("0.30"), Decimal("1.00"), 0, None, None),
    ]


def test_food_cost__one_budget_over_a_test_a_travel_day_and_the_shoot() -> None:
    """Three with their own purse: 100 g of leek each, a kilogram at 3.00: 1.00 each, 3.00 in all.

    The test may cost 0.50 and is 0.50 over; the job may cost 2.00 and is 1.00 over.
    """
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "1 kg", "3"),
        Episode(name="Recipe test", shoot_date=date(2031, 5, 2), budget=Decimal("0.50")),
        Episode(name="Travel day", shoot_date=date(2031, 5, 8)),
        Episode(name="Soup", shoot_date=date(2031, 5, 9)),
        Shot(dish="soup", episode="Recipe test", purpose=Purpose.TEST),
        Shot(dish="soup", episode="Travel day", purpose=Purpose.CREW_MEAL),
        Shot(dish="soup", episode="Soup"),
        currency="EUR",
        budget=2,
        shopping_date=date(2031, 5, 1),
    )
    rows = food_cost(found).rows
    wanted = ("episode", "dish", "share_of_bought", "budget", "over")
    assert [tuple(row[column] for column in wanted) for row in rows] == [
        ("Recipe test", None, 1, Decimal("0.50"), Decimal("0.50")),
        ("Recipe test", "soup", 1, None, None),
        ("Travel day", "soup", 1, None, None),
        ("Soup", "soup", 1, None, None),
        ("Whole job", None, 3, 2, 1),
    ]


def test_food_cost__over_is_share_of_bought_less_budget() -> None:
    found = books(
        line("soup", "leek", "100 g"),
        pack("leek", "1 kg", "3"),
        Episode(name="One", budget=Decimal("2.50")),
        SHOT,
        currency="EUR",
    )
    assert food_cost(found).rows[0]["over"] == Decimal("0.50")


@pytest.mark.parametrize(("budget", "over"), [("3.50", None), ("2.50", Decimal("0.50"))])
def test_food_cost__over_is_without_visits(budget: str, over: Decimal | None) -> None:
    """3.00 bought is within 3.50 and 0.50 over 2.50; the 2.00 for the way are no food."""
    found = books(
        line("soup", "leek", "100 g"),
        pack("leek", "1 kg", "3", shop="stall"),
        Shop(name="stall", visit_cost=Decimal(2)),
        Episode(name="One", budget=Decimal(budget)),
        SHOT,
        currency="EUR",
    )
    whole, share = food_cost(found).rows
    assert (whole["share_of_visits"], whole["over"]) == (2, over)
    assert (share["share_of_bought"], share["share_of_visits"]) == (3, 2)


def test_list__what_the_shops_have_too_little_of_stands_below_what_they_have() -> None:
    """3 kg are needed, and the only shop has a bag of 1 kg: 2 kg are lacking, and nothing else."""
    found = estimate(
        shoot_of(
            *(line("soup", "leek", "3 kg"), line("soup", "salt", "5 g")),
            *(sound("leek"), sound("salt")),
            pack("leek", "1 kg", "2", shop="Mill", at_most=1),
            *(pack("salt", "1 kg", "1", shop="Mill"), SHOT),
        )
    )
    lines = [(one.name, one.shop, one.needed, one.lacking) for one in found.list_lines]
    assert sorted(lines) == [
        ("leek", "", "2 kg", "more than the shops have"),
        ("leek", "Mill", "3 kg", ""),
        ("salt", "Mill", "5 g", ""),
    ]


@given(any_shoot(**EVERY_KIND))
def test_tables__hold_together_for_every_shoot(shoot: Shoot) -> None:
    """Law: costs of To buy are the total, Needs balance row by row, the unknown is blank."""
    found = books_of_shoot(shoot)
    costs = [row["cost"] for row in to_buy(found).rows]
    assert sum(cost for cost in costs if isinstance(cost, Decimal)) == found.totals.bought
    for row in needs(found).rows:
        numbers = {
            key: Fraction(value)
            for key, value in row.items()
            if isinstance(value, Fraction | int | Decimal)
        }
        assert numbers["on_hand_used"] + numbers["net_need"] == numbers["as_bought_need"]
        assert numbers["left_keeps"] <= numbers["left_over"]
        assert all(value >= 0 for key, value in numbers.items() if key != "left_value")
    shown = [row for row in food_cost(found).rows if row["dish"] is not None]
    for row, share in zip(shown, found.shares, strict=True):
        assert row["used_value"] == (None if share.used_unknown else share.used)
        assert not (share.used_unknown and share.used)
        assert not (share.bought_unknown and share.bought)
