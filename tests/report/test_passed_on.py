"""What one day leaves for another: said on To buy, and on Prep of the later day."""

from __future__ import annotations

from datetime import date
from typing import Any

from any_shoot import EVERY_KIND, any_shoot
from hypothesis import given
from small import books, books_of_shoot, line, pack, shoot_of, sound

from costing.estimating import estimate
from costing.kitchen import Dish
from costing.report.passed_on import PassedOn, passed_on
from costing.report.shopping_rows import to_buy
from costing.shoot import Episode, Shoot, Shot

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


def test_passed_on__an_open_pack_serves_the_next_day() -> None:
    """A litre is opened for 300 ml; of the 700 ml left the second day uses 500."""
    found = books(*stock("1 l"))
    assert passed_on(found) == [PassedOn("stock cube broth", "Tart", "Soup", "500 ml")]
    (row,) = to_buy(found).rows
    assert row["note"] == "Tart leaves 500 ml of it for Soup"


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
    ((bought, _),) = found.purchases[0].lines
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
    ((bought, _),) = found.purchases[0].lines
    assert bought.openings == ((date(2031, 5, 2), 1), (date(2031, 5, 16), 1))


def test_passed_on__nothing_where_nothing_is_left_and_nothing_of_loose_goods() -> None:
    """Packs of 100 ml come out even; what is weighed out has no pack to be open."""
    assert passed_on(books(*stock("100 ml"))) == []
    assert passed_on(books(*stock("1 l", loose="100 ml"))) == []


def test_passed_on__what_goes_into_a_dish_that_keeps_is_used_with_it() -> None:
    """Broth made for both days takes its onions on the first: Prep of the second has the broth."""
    found = estimate(
        shoot_of(
            line("tart", "broth", "300 ml"),
            line("soup", "broth", "500 ml"),
            line("broth", "onion", "500 g"),
            sound("onion", keeps_days=9),
            Dish(name="broth", makes="1 l", keeps_days=3),
            pack("onion", "1 kg", "2"),
            *TWO_DAYS,
        )
    )
    assert passed_on(found.books) == []
    notes = {(r["episode"], r["ingredient"]): r["note"] for r in found.tables()["prep"].rows}
    assert "made for Tart too" not in str(notes["Tart", "broth"])
    assert str(notes["Soup", "broth"]).startswith("made for Tart too; ")


def test_passed_on__what_goes_into_whole_batches_is_used_on_the_day_of_each() -> None:
    """Worked by hand: a batch of 500 ml for 300 ml leaves 200 ml, so that the second day makes one
    for its 500 ml, with 500 g of the onions that were opened for the first.
    """
    found = estimate(
        shoot_of(
            line("tart", "broth", "300 ml"),
            line("soup", "broth", "500 ml"),
            line("broth", "onion", "500 g"),
            sound("onion", keeps_days=9),
            Dish(name="broth", makes="500 ml", keeps_days=3, whole_batches=True),
            pack("onion", "1 kg", "2"),
            *TWO_DAYS,
        )
    )
    assert [row["episode"] for row in found.tables()["make"].rows] == ["Tart", "Soup"]
    assert passed_on(found.books) == [PassedOn("onion", "Tart", "Soup", "500 g")]


def test_prep__says_what_is_left_of_the_day_before() -> None:
    found = estimate(shoot_of(*stock("1 l")))
    notes = {row["episode"]: str(row["note"]) for row in found.tables()["prep"].rows}
    assert "500 ml of it left of Tart" in notes["Soup"]
    assert "left of" not in notes["Tart"]


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
                served = served.union(*(bought.serves for bought, _ in purchase.lines))
        assert {one.giver, one.taker} <= served
