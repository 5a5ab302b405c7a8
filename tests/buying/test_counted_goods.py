"""Takes left where a dish that is made, or a part, was counted on the day."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from math import ceil

import pytest
from budgets import examples
from buying.test_takes_left import DAY, EGGS, logged, more_of, outlook
from hypothesis import given, settings
from hypothesis import strategies as st
from small import line, pack, shoot_of

from costing.buying.activities import Activity
from costing.buying.choosing import same_ways
from costing.buying.serving import Chosen
from costing.buying.takes_left import Outlook
from costing.estimating import estimate
from costing.kitchen import CountedLot, Dish
from costing.quantities import amount
from costing.report.day_rows import counted_words
from costing.shoot import Episode, Shot
from costing.shoot.episodes import Logged

STOCK = (
    line("stock", "bones", "500 g"),
    line("soup", "stock", "400 ml"),
    Dish(name="stock", makes=amount("1000 ml")),
    Shot(dish="soup", name="S", times=2),
)
BONES = pack("bones", "500 g", "2")
"""A litre of stock of 500 g of bones; two takes of 400 ml are planned, of 400 g of bones."""


def lacks_of(found: Outlook) -> list[tuple[str, int]]:
    """What one more of the first shot lacks."""
    return [(one.supply.name, int(one.amount)) for one in found.takes_left[0].lacks]


@pytest.mark.parametrize(("date_of_second", "last"), [("2031-05-14", 13), (None, None)])
def test_counted_goods__last_as_long_as_all_days_are_known(
    date_of_second: str | None, last: int | None
) -> None:
    """Counted on 10 May, stock keeps 3 days; with a day unknown nobody can say whom it serves."""
    found = outlook(
        *STOCK[:2],
        Dish(name="stock", makes=amount("1000 ml"), keeps_days=3),
        BONES,
        Episode(name="one", shoot_date="2031-05-10"),
        Episode(name="two", shoot_date=date_of_second),
        *(Shot(dish="soup", name=name, episode=name) for name in ("one", "two")),
        log=logged(("stock", "counted", "500 ml")),
    )
    there = found.supplies.goods.counts["stock"].last
    assert (there and there.day) == last


@pytest.mark.parametrize(
    ("counted", "more", "grams"),
    [("0 ml", 0, 100), ("100 ml", 0, 50), ("500 ml", 1, 50), ("0.7 batch", 2, 150)],
)
def test_counted_goods__a_count_of_a_dish_takes_the_place_of_what_was_made(
    counted: str, more: int, grams: int
) -> None:
    """400 g of bones went into what the plan makes; the other 100 g make 200 ml more.

    100 + 200 ml are no take of 400 ml, 50 g short; 500 + 200 are one, and two lack 100 ml, 50 g;
    700 + 200 are two, and three lack 300 ml, 150 g. Without a count there are two of 1,000 ml.
    """
    assert more_of(outlook(*STOCK, BONES)) == {"S": 2}
    found = outlook(*STOCK, BONES, log=logged(("stock", "counted", counted)))
    assert more_of(found) == {"S": more}
    assert lacks_of(found) == [("bones", grams)]
    (bones,) = found.balances
    assert tuple(map(int, (bones.bought, bones.used, bones.there))) == (500, 400, 100)


def test_counted_goods__a_take_after_the_count_of_a_dish_comes_off_it() -> None:
    """500 ml counted after the first take; the second leaves 100, and 200 of the bones."""
    counted = logged(("S", "taken"), ("stock", "counted", "500 ml"), ("S", "taken"))
    assert more_of(outlook(*STOCK, BONES, log=counted[:2])) == {"S": 1}
    assert more_of(outlook(*STOCK, BONES, log=counted)) == {"S": 0}


def test_counted_goods__what_a_counted_dish_is_made_of_may_be_counted_too() -> None:
    """300 g of bones are there beside 100 ml: 600 ml more, 700 in all, one take."""
    both = logged(("bones", "counted", "300 g"), ("stock", "counted", "100 ml"))
    assert more_of(outlook(*STOCK, BONES, log=both)) == {"S": 1}
    none = logged(("stock", "counted", "900 ml"), ("bones", "counted", "0 g"))
    assert more_of(outlook(*STOCK, BONES, log=none)) == {"S": 2}


def test_counted_goods__bones_counted_a_day_before_went_into_the_stock() -> None:
    """500 g the evening before; 400 g of them were boiled by the plan: as if bought, 100 are left.

    100 ml and 200 ml of the rest are no take.
    """
    before = Logged(
        what="bones", event="counted", when=DAY - timedelta(days=1), amount=amount("500 g")
    )
    counted = [before, *logged(("stock", "counted", "100 ml"))]
    assert more_of(outlook(*STOCK, BONES, log=counted)) == {"S": 0}


def test_counted_goods__the_sheet_counted_is_later_than_the_log() -> None:
    """100 ml at the end, whatever the log had counted before."""
    at_the_end = CountedLot(ingredient="stock", amount=amount("100 ml"))
    log = logged(("stock", "counted", "900 ml"))
    assert more_of(outlook(*STOCK, BONES, at_the_end, log=log)) == {"S": 0}


def test_counted_goods__a_counted_dish_of_which_no_more_can_be_made() -> None:
    """Nothing says how much bones there are: 500 ml are one take, and the next lacks 300 ml."""
    found = outlook(*STOCK, log=logged(("stock", "counted", "500 ml")))
    assert more_of(found) == {"S": 1}
    assert lacks_of(found) == [("stock", 300)]


def test_counted_goods__a_count_of_a_dish_has_its_ready_packs_in_it() -> None:
    """Stock is bought ready, a litre, two takes; of it 100 ml are there: 300 ml lack, 150 g."""
    ready = pack("stock", "1000 ml", "1")
    assert more_of(outlook(*STOCK, BONES, ready)) == {"S": 2}
    found = outlook(*STOCK, BONES, ready, log=logged(("stock", "counted", "100 ml")))
    assert more_of(found) == {"S": 0}
    assert lacks_of(found) == [("bones", 150)]


def test_counted_goods__a_count_of_a_dish_in_whole_batches() -> None:
    """The plan boils one batch, all 500 g: 100 ml are no take, and the next lacks a batch.

    900 ml are two takes.
    """
    rows = (*STOCK[:2], STOCK[2].model_copy(update={"whole_batches": True}), STOCK[3], BONES)
    assert more_of(outlook(*rows, log=logged(("stock", "counted", "900 ml")))) == {"S": 2}
    found = outlook(*rows, log=logged(("stock", "counted", "100 ml")))
    assert more_of(found) == {"S": 0}
    assert lacks_of(found) == [("bones", 500)]


def test_counted_goods__a_count_of_a_part() -> None:
    """A custard takes 3 yolks, a meringue 2 whites; of 12 eggs the plan cuts 3 for one custard.

    No yolk is there of them: 9 eggs are three custards. The 3 whites stand, with 9 more: six
    meringues. With 3 yolks there are 12 for four custards.
    """
    none = outlook(*EGGS, log=logged(("egg yolk", "counted", "0 each")))
    assert more_of(none) == {"C": 3, "M": 6}
    three = outlook(*EGGS, log=logged(("egg yolk", "counted", "3 each")))
    assert more_of(three) == {"C": 4, "M": 6}


def test_counted_goods__a_part_is_in_no_batches() -> None:
    """Two batches of yolks are told and not used: as many takes are left as without the count."""
    found = outlook(*EGGS, log=logged(("egg yolk", "counted", "2 batch")))
    assert more_of(found) == more_of(outlook(*EGGS))
    assert {one.code for one in found.supplies.findings} == {"pack unit unclear"}


def test_counted_goods__a_count_of_a_dish_that_is_not_used_is_told_without_a_log_too() -> None:
    """Stock is made by the millilitre, and two pieces of it are on the sheet Counted alone."""
    rows = (*STOCK, BONES, CountedLot(ingredient="stock", amount=amount("2 each")))
    (told,) = (one for one in estimate(shoot_of(*rows)).findings if one.code == "pack unit unclear")
    assert (told.place.sheet, told.place.name) == ("Counted", "stock")
    assert told.found == "2 each of stock, which is counted in ml"


def test_counted_goods__a_count_serves_for_as_long_as_the_dish_keeps() -> None:
    """700 ml on the first day; what does not keep is boiled anew for the second, of 500 - 200 g.

    A takes 400 ml, B as much two days later: 200 g each, 500 g bought. Kept, 700 ml and the 100 g
    that are over are 900 ml, two takes: with one kept for the other one is left of each. Not
    kept, A has 700 ml and what is over of 300 g when B has 200 g: 900 ml, two takes; B has 600 ml
    of 300 g, one.
    """
    rows = (
        *(STOCK[0], STOCK[1], BONES),
        Episode(name="A", shoot_date=DAY.date()),
        Episode(name="B", shoot_date=DAY.date() + timedelta(days=2)),
        Shot(dish="soup", name="A1", episode="A"),
        Shot(dish="soup", name="B1", episode="B"),
    )
    log = logged(("stock", "counted", "700 ml"))
    fresh, kept = (
        Dish(name="stock", makes=amount("1000 ml"), keeps_days=days) for days in (None, 2)
    )
    assert more_of(outlook(*rows, fresh, log=log)) == {"A1": 2, "B1": 1}
    assert more_of(outlook(*rows, kept, log=log)) == {"A1": 1, "B1": 1}


def test_counted_goods__a_count_before_the_day_serves_the_next_shoot() -> None:
    """700 ml the evening before, of a stock that does not keep: it was boiled for the day's take.

    One of 400 ml, and of what was not boiled, 300 g, 600 ml: with the 300 ml over, two more.
    """
    rows = (*STOCK[:3], BONES, Shot(dish="soup", name="S", episode="A"))
    day = Episode(name="A", shoot_date=DAY.date())
    counted = logged(("stock", "counted", "700 ml"))
    before = [one.model_copy(update={"when": DAY - timedelta(days=1)}) for one in counted]
    assert more_of(outlook(*rows, day, log=before)) == {"S": 3}


def test_counted_goods__of_counted_cakes_no_other_shot_loses() -> None:
    """Butter for the cake and for toast: what went into the cakes by the plan is gone.

    200 g of butter are in a pack, 100 g go into the planned cake, 10 g into a toast. Half a cake
    is counted: it is no take, and half a one more takes 50 g, which leaves toast 50 g of 100.
    """
    rows = (
        line("cake", "butter", "100 g"),
        line("plate", "cake", "1 portion"),
        Dish(name="cake", makes=amount("1 portion")),
        line("toast", "butter", "10 g"),
        pack("butter", "200 g", "2"),
        Shot(dish="plate", name="P"),
        Shot(dish="toast", name="T"),
    )
    found = outlook(*rows, log=logged(("cake", "counted", "0.5 portion")))
    assert more_of(found) == {"P": 1, "T": 5}


@pytest.mark.parametrize(("counted", "more"), [("0 ml", 0), ("500 ml", 1), ("900 ml", 2)])
def test_counted_goods__made_with_its_optional_lines_alone(counted: str, more: int) -> None:
    """Two soups as before, of stock with bay: 100 g of bones are over for 200 ml."""
    rows = (
        *(*STOCK[:3], BONES, line("stock", "bay", "1 g", optional=True)),
        *(pack("bay", "20 g", "1"), Shot(dish="soup", name="S", times=2, optional_lines=True)),
    )
    found = outlook(*rows, log=logged(("stock", "counted", counted)))
    assert more_of(found) == {"S": more}
    assert found.supplies.findings == []
    assert found.supplies.goods.takers("Stock") == {0}


def test_same_ways__a_choice_follows_its_activities() -> None:
    """Syrup is made first now, so that the ways of the lemon stand one place later."""
    squeezed, cut = (
        Activity("lemon", {"part": Fraction(1)}, {}, whole=True, keeps={}, cut=True, way=way)
        for way in ("squeezed", "wedges")
    )
    syrup = Activity("syrup", {"syrup": Fraction(1)}, {}, whole=False, keeps={})
    chosen = Chosen(runs={0: {"A": Fraction(2)}}, ahead={(1, "A"): Fraction(3)})
    moved = same_ways(chosen, [squeezed, cut], [syrup, squeezed, cut])
    assert moved.runs == {1: {"A": Fraction(2)}}
    assert moved.ahead == {(2, "A"): Fraction(3)}


def test_same_ways__a_dish_whose_making_is_shown_is_another() -> None:
    """Stock is sold ready, so that the one which is made before the camera is told apart."""
    plain, shown = (
        Activity("stock", {code: Fraction(1)}, {}, whole=True, keeps={})
        for code in ("stock", "stock|None|False|True")
    )
    chosen = Chosen(ahead={(0, "A"): Fraction(1), (1, "A"): Fraction(2)})
    assert same_ways(chosen, [plain, shown], [plain, shown]) == chosen


def test_counted_words__what_a_count_does_is_said() -> None:
    """Beside the takes that are left."""
    log = logged(("stock", "counted", "100 ml"))
    assert counted_words("stock", outlook(*STOCK, BONES, log=log)) == (
        "stock: 100 ml counted, in place of what the plan has made of it. More than that is made "
        "of what is there."
    )
    assert counted_words("stock", outlook(*STOCK, log=log)) == (
        "stock: 100 ml counted, in place of what the plan has made of it. Nothing says how much is "
        "there to make more of it."
    )
    herbs = (line("stock", "thyme", "5 g", optional=True), pack("thyme", "50 g", "1"))
    also = Shot(dish="soup", name="O", optional_lines=True)
    assert counted_words("stock", outlook(*STOCK, BONES, *herbs, also, log=log)).startswith(
        "stock: 100 ml counted, for shots without its optional lines, in place of what the plan "
    )
    ready = pack("stock", "1000 ml", "0.50")
    assert counted_words("stock", outlook(*STOCK, BONES, ready, log=log)) == (
        "stock: 100 ml counted, in place of what was bought of it."
    )
    dearer = pack("stock", "1000 ml", "5")
    assert "the plan has made of it. More " in counted_words(
        "stock", outlook(*STOCK, BONES, dearer, log=log)
    )


@given(
    batch=st.integers(1, 9),
    portions=st.tuples(st.integers(1, 9), st.integers(1, 9)),
    times=st.tuples(st.integers(1, 3), st.integers(1, 3)),
    taken=st.tuples(st.integers(0, 3), st.integers(0, 3)),
    sold=st.integers(1, 40),
    whole=st.booleans(),
)
@settings(max_examples=examples(40))
def test_counted_goods__a_count_of_what_the_plan_has_there_changes_nothing(
    *,
    batch: int,
    portions: tuple[int, int],
    times: tuple[int, int],
    taken: tuple[int, int],
    sold: int,
    whole: bool,
) -> None:
    """A batch of 10 portions takes some bones, and two dishes take some portions each.

    What the plan makes, in whole batches or not, less what the takes drew, is there: counted or
    not, as many takes are left.
    """
    made = Fraction(sum(n * each for n, each in zip(times, portions, strict=True)))
    made = Fraction(ceil(made / 10) * 10) if whole else made
    so_far = [min(pair) for pair in zip(taken, times, strict=True)]
    there = made - sum(n * each for n, each in zip(so_far, portions, strict=True))
    rows = (
        line("stock", "bones", f"{batch * 100} g"),
        Dish(name="stock", makes=amount("10 portion"), whole_batches=whole),
        pack("bones", f"{sold * 50} g", "1"),
        *(line(f"D{n}", "stock", f"{each} portion") for n, each in enumerate(portions)),
        *(Shot(dish=f"D{n}", name=f"S{n}", times=most) for n, most in enumerate(times)),
    )
    events = [(f"S{n}", "taken") for n, number in enumerate(so_far) for _ in range(number)]
    before = more_of(outlook(*rows, log=logged(*events)))
    counted = logged(*events, ("stock", "counted", f"{there} portion"))
    assert more_of(outlook(*rows, log=counted)) == before
