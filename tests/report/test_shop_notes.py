"""What else to know in the shop: of a minimum spend, and what one day leaves for another."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from any_shoot import EVERY_KIND, any_shoot
from hypothesis import given
from small import books, books_of_shoot, line, pack, part, shoot_of, sound

from costing.estimating import estimate
from costing.kitchen import Dish, Shop
from costing.report.estimates import Estimate
from costing.report.shop_notes import PassedOn, passed_on
from costing.report.shopping_rows import to_buy
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.episodes import Trip

TWO_DAYS = (
    Episode(name="Tart", shoot_date=date(2031, 5, 9)),
    Episode(name="Soup", shoot_date=date(2031, 5, 11)),
    Shot(dish="tart", episode="Tart"),
    Shot(dish="soup", episode="Soup"),
)


def stock(size: str, **more: Any) -> tuple[Any, ...]:
    """300 ml of stock for the first day and 500 ml for the second, in packs of one size."""
    return (
        line("tart", "stock cube broth", "300 ml"),
        line("soup", "stock cube broth", "500 ml"),
        sound("stock cube broth", keeps_days=9),
        pack("stock cube broth", size, "2", **more),
        *TWO_DAYS,
    )


def broth(dish: Dish, *more: Any, onions: str = "1 kg", **settings: Any) -> Estimate:
    """The same of broth that is made, of onions by the kilogram; so many for a batch."""
    return estimate(
        shoot_of(
            line("tart", "broth", "300 ml"),
            line("soup", "broth", "500 ml"),
            line("broth", "onion", onions),
            sound("onion", keeps_days=9),
            pack("onion", "1 kg", "2"),
            *(dish, *more, *TWO_DAYS),
            **settings,
        )
    )


def test_passed_on__an_open_pack_serves_the_next_day() -> None:
    """A litre is opened for 300 ml; of the 700 ml left the second day uses 500."""
    found = books(*stock("1 l"))
    assert passed_on(found) == [PassedOn("stock cube broth", "Tart", "Soup", "500 ml")]
    (row,) = to_buy(found).rows
    assert row["note"] == '"Soup" needs 500 ml of what "Tart" leaves'


def test_passed_on__only_as_much_as_is_open() -> None:
    """Two packs of 400 ml: 100 ml are left of the first, the other 400 come from the second."""
    assert passed_on(books(*stock("400 ml"))) == [
        PassedOn("stock cube broth", "Tart", "Soup", "100 ml")
    ]


def test_passed_on__nothing_of_a_pack_that_has_ended() -> None:
    """Frozen packs of 100 g that keep a day once thawed, 90 g on the 9th and on the 12th.

    Worked by hand: one is opened each day; the 10 g of the first are gone by the 12th.
    """
    found = books(
        line("tart", "pea", "90 g"),
        line("soup", "pea", "90 g"),
        sound("pea", keeps_days=1),
        pack("pea", "100 g", "1", state="frozen", thaw_days=0),
        Episode(name="Tart", shoot_date=date(2031, 5, 9)),
        Episode(name="Soup", shoot_date=date(2031, 5, 12)),
        Shot(dish="tart", episode="Tart"),
        Shot(dish="soup", episode="Soup"),
        shopping_date=date(2031, 5, 8),
    )
    assert passed_on(found) == []
    (bought,) = found.purchases[0].lines
    assert bought.openings == ((date(2031, 5, 9), 1), (date(2031, 5, 12), 1))


def test_passed_on__nothing_that_a_pack_bought_anyway_covers() -> None:
    """Jars of 700 g for 300 g on each of three days: two are bought, 200 g more than one holds.

    Worked by hand: the second, opened for the second day, does for the third too, so nobody needs
    the jar of the first day a fortnight later.
    """
    found = books(
        line("stew", "passata", "300 g"),
        sound("passata", keeps_days=300),
        pack("passata", "700 g", "1.40"),
        Episode(name="Test", shoot_date=date(2031, 5, 2)),
        Episode(name="One", shoot_date=date(2031, 5, 16)),
        Episode(name="Two", shoot_date=date(2031, 5, 18)),
        *(Shot(dish="stew", episode=name) for name in ("Test", "One", "Two")),
        shopping_date=date(2031, 5, 1),
    )
    assert passed_on(found) == [PassedOn("passata", "One", "Two", "300 g")]
    (bought,) = found.purchases[0].lines
    assert bought.openings == ((date(2031, 5, 2), 1), (date(2031, 5, 16), 1))


def test_passed_on__nothing_where_nothing_is_left_and_nothing_of_loose_goods() -> None:
    """Packs of 100 ml come out even; what is weighed out has no pack to be open."""
    assert passed_on(books(*stock("100 ml"))) == []
    assert passed_on(books(*stock("1 l", loose="100 ml"))) == []


def test_passed_on__what_goes_into_a_dish_that_keeps_is_used_with_it() -> None:
    """Broth made for both days takes its onions on the first: Prep of the second has the broth."""
    found = broth(Dish(name="broth", makes="1 l", keeps_days=3), onions="500 g")
    assert [(row["episode"], row["batches"]) for row in found.tables()["make"].rows] == [
        ("Tart", Fraction(4, 5))
    ]
    assert [row["note"] for row in found.tables()["to_buy"].rows] == [""]
    assert found.list_lines[0].notes == ()
    notes = {(r["episode"], r["ingredient"]): r["note"] for r in found.tables()["prep"].rows}
    assert 'made for "Tart" too' not in str(notes["Tart", "broth"])
    assert str(notes["Soup", "broth"]).startswith('made for "Tart" too; ')


def test_passed_on__what_goes_into_a_dish_that_keeps_too_short_is_used_on_each_day() -> None:
    """Broth that keeps a day is made on each of two days that lie two apart: 300 g of the kilogram
    of onions on the first, 500 g on the second.
    """
    found = broth(Dish(name="broth", makes="1 l", keeps_days=1))
    assert [row["episode"] for row in found.tables()["make"].rows] == ["Tart", "Soup"]
    (onion,) = found.tables()["to_buy"].rows
    assert onion["note"] == '"Soup" needs 500 g of what "Tart" leaves'
    assert found.list_lines[0].notes == ('"Soup" needs 500 g of what "Tart" leaves',)


def test_passed_on__what_waits_for_something_fetched_later_is_used_on_its_day() -> None:
    """Broth would keep for both days, but the dill of the second is fetched the day before it."""
    found = broth(
        Dish(name="broth", makes="1 l", keeps_days=3),
        line("broth", "dill", "100 g"),
        sound("dill", keeps_days=1),
        pack("dill", "10 g", "1"),
        shopping_date=date(2031, 5, 8),
        more_shopping_dates=(date(2031, 5, 10),),
    )
    assert [row["episode"] for row in found.tables()["make"].rows] == ["Tart", "Soup"]
    notes = {row["ingredient"]: row["note"] for row in found.tables()["to_buy"].rows}
    assert notes["onion"] == '"Soup" needs 500 g of what "Tart" leaves'


def test_passed_on__what_goes_into_whole_batches_is_used_on_the_day_of_each() -> None:
    """Worked by hand: a batch of 500 ml for 300 ml leaves 200 ml, so that the second day makes one
    for its 500 ml, with 500 g of the onions that were opened for the first.
    """
    made = Dish(name="broth", makes="500 ml", keeps_days=3, whole_batches=True)
    found = broth(made, onions="500 g")
    assert [row["episode"] for row in found.tables()["make"].rows] == ["Tart", "Soup"]
    assert passed_on(found.books) == [PassedOn("onion", "Tart", "Soup", "500 g")]


def test_to_buy__says_what_is_cut_on_a_day_for_a_later_one() -> None:
    """Three yolks and two whites on the first day, a yolk and four whites four days later.

    Eggs keep three days, whites six: all four eggs of two boxes are cut on the first day, and two
    of their whites kept. The later day cuts two eggs more and keeps nothing.
    """
    takes = {"One": (9, 3, 2), "Two": (13, 1, 4)}
    found = books(
        *(row for name, (day, yolks, whites) in takes.items() for row in (
            line(name, "egg yolk", f"{yolks} each"),
            line(name, "egg white", f"{whites} each"),
            Episode(name=name, shoot_date=date(2031, 5, day)),
            Shot(dish=name, episode=name),
        )),
        *(part("egg", name, "1 each") for name in ("egg yolk", "egg white")),
        *(sound(name, keeps_days=days, holding_class="none")
          for name, days in (("egg", 3), ("egg yolk", 0), ("egg white", 6))),
        pack("egg", "2 each", "3.00"),
    )  # fmt: skip
    assert [str(row["note"]).split("; ")[1:] for row in to_buy(found).rows] == [
        ['cut 4 of it for "One" and keep 2 egg white for "Two"', "2 egg yolk left over of it"],
        [],
    ]


def test_prep__says_what_is_left_of_the_day_before() -> None:
    found = estimate(shoot_of(*stock("1 l")))
    notes = {row["episode"]: str(row["note"]) for row in found.tables()["prep"].rows}
    assert '500 ml of it left of "Tart"' in notes["Soup"]
    assert "left of" not in notes["Tart"]


MORE = "more than needed, for the minimum spend of the mill"
DEARER = "dearer than other packs that would do, for the minimum spend of the mill"


@pytest.mark.parametrize(
    ("minimum", "packs", "note"),
    [("27", 7, MORE), ("8", 2, MORE), ("4", 1, "")],
)
def test_to_buy__says_when_a_minimum_spend_asks_for_more(
    minimum: str, packs: int, note: str
) -> None:
    """Worked by hand: 1.59 lb are one bag of 2 lb at 4.00; to spend 27.00 seven, 8.00 two."""
    found = books(
        line("loaf", "flour", "1.59 lb"),
        sound("flour"),
        pack("flour", "2 lb", "4.00", shop="the mill"),
        Shop(name="the mill", minimum_spend=Decimal(minimum)),
        Shot(dish="loaf"),
    )
    (flour,) = to_buy(found).rows
    assert (flour["packs"], flour["note"]) == (packs, note)


@pytest.mark.parametrize(
    ("other", "price", "note"),
    [
        ("2 lb", "5.00", DEARER),
        ("5 lb", "6.00", DEARER),
        ("2 lb", "9.00", MORE),
    ],
    ids=["dearer", "larger", "two of the cheap ones"],
)
def test_to_buy__says_when_a_minimum_spend_asks_for_a_dearer_pack(
    other: str, price: str, note: str
) -> None:
    """Worked by hand: a bag at 4.00 would do, and 5.00 must be spent: the other bag at 5.00 or
    6.00, or two at 4.00 where the other costs 9.00.
    """
    found = books(
        line("loaf", "flour", "1.59 lb"),
        sound("flour"),
        pack("flour", "2 lb", "4.00", shop="the mill"),
        pack("flour", other, price, shop="the mill"),
        Shop(name="the mill", minimum_spend=Decimal(5)),
        Shot(dish="loaf"),
    )
    (flour,) = to_buy(found).rows
    assert (flour["cost"], flour["note"]) == (min(Decimal(price), Decimal(8)), note)


def test_to_buy__says_that_an_unknown_price_counts_for_no_minimum_spend() -> None:
    """It is bought all the same, and the minimum stands beside it."""
    found = books(
        line("loaf", "flour", "2 lb"),
        sound("flour"),
        pack("flour", "2 lb", None, shop="the mill"),
        Shop(name="the mill", minimum_spend=Decimal(5)),
        Shot(dish="loaf"),
    )
    (flour,) = to_buy(found).rows
    said = "counts nothing towards the minimum spend of the mill until its price is known"
    assert (flour["packs"], flour["note"]) == (1, f"{said}; price unknown")


def test_to_buy__says_of_each_trip_that_a_minimum_spend_asks_for_more() -> None:
    """Worked by hand: one bag of 2 lb does for both days. On the first trip 6.00 are two bags at
    4.00, on the second malt at 2.00 and a bag.
    """
    found = books(
        line("loaf", "flour", "0.5 lb"),
        line("roll", "flour", "0.5 lb"),
        line("roll", "malt", "1 kg"),
        sound("flour"),
        sound("malt", keeps_days=2),
        pack("flour", "2 lb", "4.00", shop="the mill"),
        pack("malt", "1 kg", "2.00", shop="the mill"),
        Shop(name="the mill", minimum_spend=Decimal(6)),
        *(Trip(shop="the mill", day=date(2031, 5, day)) for day in (1, 9)),
        Episode(name="A", shoot_date=date(2031, 5, 2)),
        Episode(name="B", shoot_date=date(2031, 5, 10)),
        Shot(dish="loaf", episode="A"),
        Shot(dish="roll", episode="B"),
    )
    assert [(row["ingredient"], row["packs"], row["note"]) for row in to_buy(found).rows] == [
        ("flour", 2, f"{MORE}; needed and left over are of all its trips"),
        ("flour", 1, f"{MORE}; needed and left over are of all its trips"),
        ("malt", 1, ""),
    ]


def test_to_buy__another_shop_that_would_do_explains_a_dearer_pack_by_the_minimum() -> None:
    """Worked by hand: malt is sold at the mill alone, where 6.00 must be spent. Malt at 2.00
    and the mill's flour at 4.00 are 6.00; three of malt and flour of the stall, 3.00, are 9.00.
    """
    found = books(
        line("loaf", "flour", "1 kg"),
        line("loaf", "malt", "1 kg"),
        sound("flour"),
        sound("malt"),
        pack("malt", "1 kg", "2.00", shop="the mill"),
        pack("flour", "1 kg", "4.00", shop="the mill"),
        pack("flour", "1 kg", "3.00", shop="stall"),
        Shop(name="the mill", minimum_spend=Decimal(6)),
        Shot(dish="loaf"),
    )
    rows = {row["ingredient"]: row["note"] for row in to_buy(found).rows}
    assert rows == {"malt": "", "flour": DEARER}


@pytest.mark.parametrize(("at_most", "note"), [(None, "van"), (1, "")])
def test_to_buy__says_of_a_second_trip_that_only_a_minimum_spend_asks_for_it(
    at_most: int | None, note: str
) -> None:
    """Worked by hand: cod at 6.40 is sold at the van alone, where 10.00 must be spent. A second bag
    of the market would do for the second day at 1.00; the van's is 4.00. Where the market has one
    only, the van's is needed.
    """
    found = books(
        line("loaf", "flour", "300 g"),
        line("soup", "flour", "300 g"),
        line("soup", "cod", "300 g"),
        sound("flour", keeps_days=90),
        sound("cod", keeps_days=1),
        pack("flour", "300 g", "1.00", shop="market", at_most=at_most),
        pack("flour", "300 g", "4.00", shop="the van"),
        pack("cod", "300 g", "6.40", shop="the van"),
        Shop(name="the van", minimum_spend=Decimal(10)),
        Trip(shop="market", day=date(2031, 5, 8)),
        Trip(shop="the van", day=date(2031, 5, 10)),
        Episode(name="A", shoot_date=date(2031, 5, 9)),
        Episode(name="B", shoot_date=date(2031, 5, 11)),
        Shot(dish="loaf", episode="A"),
        Shot(dish="soup", episode="B"),
    )
    of_all = "needed and left over are of all its trips"
    said = f"{DEARER.replace('mill', note)}; {of_all}" if note else of_all
    assert [(row["ingredient"], row["shop"], row["note"]) for row in to_buy(found).rows] == [
        ("flour", "market", of_all),
        ("flour", "the van", said),
        ("cod", "the van", ""),
    ]


@given(any_shoot(**EVERY_KIND))
def test_passed_on__is_between_two_days_that_both_take_of_it(shoot: Shoot) -> None:
    """Law: from an earlier date to a later one, and both are served by packs of it."""
    found = books_of_shoot(shoot)
    dates = {one.name: one.shoot_date for one in found.shoot.episodes}
    for one in passed_on(found):
        giver, taker = dates[one.giver], dates[one.taker]
        assert giver is not None
        assert taker is not None
        assert giver < taker
        served: set[str] = set()
        for purchase in found.purchases:
            if purchase.need.ingredient.name == one.ingredient:
                served = served.union(*(bought.serves for bought in purchase.lines))
        assert {one.giver, one.taker} <= served
