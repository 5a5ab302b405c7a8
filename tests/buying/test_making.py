"""Dishes that are made ahead, and articles cut into parts: worked by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import (
    basket,
    books,
    line,
    lot,
    pack,
    part,
    purchase,
    said,
    shoot_of,
    sound,
    value,
)

from costing.buying.books import Books
from costing.kitchen import Dish, Ingredient
from costing.shoot import Episode, Purpose, Shot

STOCK: tuple[Any, ...] = (
    line("stock", "bones", "1 kg"),
    sound("bones"),
    pack("bones", "1 kg", "2.00"),
    line("gravy", "stock", "600 ml"),
    line("stuffing", "stock", "500 ml"),
)
IN_BATCHES = Dish(name="stock", makes="2 l", whole_batches=True)
BOTH = (Shot(dish="gravy"), Shot(dish="stuffing"))
EGGS: tuple[Any, ...] = (
    line("custard", "egg yolk", "6 each"),
    line("meringue", "egg white", "4 each"),
    pack("egg", "6 each", "2.40"),
    part("egg", "egg yolk", "1 each"),
    part("egg", "egg white", "1 each"),
    Shot(dish="custard"),
    Shot(dish="meringue"),
)


def runs(of: Books, name: str) -> dict[str, Fraction]:
    """How often something is made or cut, by episode."""
    making = of.shopping.making if of.shopping else None
    assert making is not None
    return next(
        dict(times)
        for number, times in making.at({}).runs.items()
        if making.activities[number].name == name
    )


def left(of: Books, code: str) -> Fraction:
    """What is made of a good and not used. [base unit]"""
    making = of.shopping.making if of.shopping else None
    assert making is not None
    return making.at({}).served[code].left


def used(of: Books) -> dict[str, Decimal]:
    """Used value by dish."""
    return {share.dish: share.used for share in of.shares}


def test_whole_batches__three_bites_of_an_eighth_are_one_cake() -> None:
    """Worked by hand: 3 x 1/8 = 3/8, rounded up 1 cake of 400 g flour; 5 of 8 portions are left.

    A bag of 500 g is 1.00, so 400 g used are 0.80. Without whole batches 150 g are used.
    """
    parts: tuple[Any, ...] = (
        line("cake", "flour", "400 g"),
        sound("flour"),
        pack("flour", "500 g", "1.00"),
        Shot(dish="cake", purpose=Purpose.BITE, batch="1/8", times=3),
    )
    whole = books(*parts, Dish(name="cake", makes="8 portions", whole_batches=True))
    assert runs(whole, "cake") == {"Episode 1": 1}
    assert left(whole, "cake") == 5
    assert value(whole, "flour").used == Fraction("0.80")
    assert value(books(*parts), "flour").used == Fraction("0.30")


def test_whole_batches__stock_for_gravy_and_stuffing_is_one_batch() -> None:
    """Worked by hand: 600 ml + 500 ml = 1.1 l of 2 l, 1 batch, 900 ml left.

    1 kg of bones used is 2.00: 6/11 for the gravy, 1.09, and 5/11 for the stuffing, 0.91.
    """
    found = books(*STOCK, IN_BATCHES, *BOTH)
    assert runs(found, "stock") == {"Episode 1": 1}
    assert left(found, "stock") == 900
    assert used(found) == {"gravy": Decimal("1.09"), "stuffing": Decimal("0.91")}


def test_whole_batches__a_dish_in_a_dish_in_whole_batches() -> None:
    """Worked by hand: 1.1 l stock for a soup in whole batches of 1 l: a bowl of 300 ml is 1 soup.

    1 soup takes 800 ml stock, 1 batch of 2 l, 1 kg bones.
    """
    found = books(
        *STOCK,
        IN_BATCHES,
        line("soup", "stock", "800 ml"),
        Dish(name="soup", makes="1 l", whole_batches=True),
        line("lunch", "soup", "300 ml"),
        Shot(dish="lunch"),
    )
    assert runs(found, "soup") == {"Episode 1": 1}
    assert left(found, "soup") == 700
    assert left(found, "stock") == 1200


def test_whole_batches__steps_are_rounded_up_step_by_step() -> None:
    """Worked by hand: two retakes of half of step 2 are 1 batch of step 2, 50 g sugar."""
    found = books(
        line("cake", "flour", "400 g", step=1),
        line("cake", "sugar", "50 g", step=2),
        Dish(name="cake", whole_batches=True),
        Shot(dish="cake", purpose=Purpose.RETAKE, steps=(2,), batch="1/2", times=2),
        Shot(dish="cake", purpose=Purpose.RETAKE, steps=(2,), batch="1/4"),
        Shot(dish="cake", purpose=Purpose.BITE, batch="1/8", times=3),
    )
    assert purchase(found, "sugar").need.total == 150
    assert purchase(found, "flour").need.total == 400


@pytest.mark.parametrize(
    ("keeps", "batches"),
    [
        pytest.param(None, {"A": 1, "B": 1, "C": 1}, id="made for each day"),
        pytest.param(1, {"A": 1, "C": 1}, id="two days"),
        pytest.param(9, {"A": 1}, id="all days"),
    ],
)
def test_keeps_days__what_is_left_serves_later_days(
    keeps: int | None, batches: dict[str, int]
) -> None:
    """Worked by hand: 600 ml on 1 and 2 May and 800 ml on 4 May, in batches of 2 l.

    Made for each day it is 3 batches. With a day of keeping what is left on 1 May serves 2 May;
    with nine of them the last 800 ml serve 4 May too.
    """
    days = {"A": date(2031, 5, 1), "B": date(2031, 5, 2), "C": date(2031, 5, 4)}
    amounts = {"A": "600 ml", "B": "600 ml", "C": "800 ml"}
    found = books(
        *STOCK,
        Dish(name="stock", makes="2 l", whole_batches=True, keeps_days=keeps),
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        *(line(f"dish {name}", "stock", amount) for name, amount in amounts.items()),
        *(Shot(dish=f"dish {name}", episode=name) for name in days),
    )
    assert runs(found, "stock") == batches


def test_keeps_days__episodes_of_one_day_share_a_batch() -> None:
    """Worked by hand: 600 ml and 500 ml on one shoot day are one batch of 2 l."""
    found = books(
        *STOCK,
        IN_BATCHES,
        Episode(name="A", shoot_date="2031-05-01"),
        Episode(name="B", shoot_date="2031-05-01"),
        Shot(dish="gravy", episode="A"),
        Shot(dish="stuffing", episode="B"),
    )
    assert runs(found, "stock") == {"A": 1}
    assert {share.episode: share.used for share in found.shares} == {
        "A": Decimal("1.09"),
        "B": Decimal("0.91"),
    }


def test_on_hand__dough_in_the_freezer() -> None:
    """Worked by hand: 2 tarts take 700 g dough, 500 g are on hand for 3.00; 200 g are made.

    A batch makes 800 g of 500 g flour: a quarter of it, 125 g, of a bag of 1 kg at 1.20 is 0.15.
    """
    found = books(
        line("dough", "flour", "500 g"),
        Dish(name="dough", makes="800 g"),
        line("tart", "dough", "350 g"),
        sound("flour"),
        pack("flour", "1 kg", "1.20"),
        lot("dough", "500 g", use_by="2031-06-01", value=Decimal("3.00")),
        Episode(name="A", shoot_date="2031-05-01"),
        Shot(dish="tart", times=2),
    )
    dough = purchase(found, "dough")
    assert [dough.need.total, dough.taken.total, dough.made, dough.net] == [700, 500, 200, 0]
    assert value(found, "flour").used == Fraction("0.15")
    assert value(found, "dough").used == 3
    assert found.totals.used == Decimal("3.15")


def test_on_hand__a_lot_in_batches() -> None:
    """Worked by hand: half a batch of 800 g is 400 g; of 700 g 300 g are made."""
    found = books(
        line("dough", "flour", "500 g"),
        Dish(name="dough", makes="800 g"),
        line("tart", "dough", "350 g"),
        lot("dough", "1/2 batch", use_by="2031-06-01"),
        Episode(name="A", shoot_date="2031-05-01"),
        Shot(dish="tart", times=2),
    )
    assert purchase(found, "dough").made == 300


def test_on_hand__what_only_more_takes_need_is_taken_of_its_lot() -> None:
    """Worked by hand: a take of soup is the 900 ml on hand; a third take makes 1.8 l of bones.

    0.9 kg of the 5 kg of bones on hand are enough for them, so that none are bought.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        Dish(name="stock", makes="2 l"),
        line("soup", "stock", "900 ml"),
        *(sound("stock"), sound("bones")),
        pack("bones", "1 kg", "9.00"),
        lot("stock", "900 ml"),
        lot("bones", "5 kg"),
        Shot(dish="soup", times=1, fewest=1, most=3),
        chance_of_running_out=0,
    )
    assert basket(found, "bones") == {}
    assert found.totals.bought == 0


@pytest.mark.parametrize(
    ("price", "cartons", "bones", "paid"),
    [
        pytest.param("0.60", {"500 ml": 3}, {}, "1.80", id="cartons"),
        pytest.param("0.90", {}, {"1 kg": 1}, "2.00", id="home-made"),
    ],
)
def test_carton_or_home_made__the_cheaper(
    price: str, cartons: dict[str, int], bones: dict[str, int], paid: str
) -> None:
    """Worked by hand: 1.1 l is 3 cartons of 500 ml or 1 batch of 2 l from 1 kg bones at 2.00.

    At 0.60 cartons are 1.80; at 0.90 they are 2.70.
    """
    found = books(*STOCK, IN_BATCHES, *BOTH, pack("stock", "500 ml", price))
    assert basket(found, "stock") == cartons
    assert basket(found, "bones") == bones
    assert found.totals.bought == Decimal(paid)
    assert not any("not proven" in finding.code for finding in found.findings)


def test_carton_or_home_made__a_batch_and_a_carton_together() -> None:
    """Worked by hand: 2.2 l of stock in batches of 2 l.

    Two batches are 4.00, five cartons at 0.90 4.50, one batch and one carton 2.90.
    """
    found = books(*STOCK, IN_BATCHES, *BOTH, *BOTH, pack("stock", "500 ml", "0.90"))
    assert runs(found, "stock") == {"Episode 1": 1}
    assert basket(found, "stock") == {"500 ml": 1}
    assert found.totals.bought == Decimal("2.90")


@pytest.mark.parametrize(
    ("stew", "whole", "spoilage", "cartons"),
    [
        pytest.param("354.88235475 ml", False, "0", 6, id="as it comes"),
        pytest.param("591.47059125 ml", True, "0", 9, id="whole batches"),
        pytest.param("354.88235475 ml", False, "1/20", 7, id="spoilage"),
    ],
)
def test_bought_ready__cups_over_two_days_are_all_bought(
    stew: str, whole: bool, spoilage: str, cartons: int
) -> None:
    """Worked by hand: a cup of 236.5882365 ml on 1 May, one and a half or two and a half on 3 May.

    591.47 ml are 6 cartons of 100 ml, 828.06 ml 9. With 5 % lost a day from 1 May, 354.88 ml on
    3 May are 354.88 / 0.95 / 0.95 = 393.2 ml, and 629.8 ml are 7. Bones for 9.00 are not bought.
    """
    found = books(
        *(
            line("stock", "bones", "1 kg"),
            pack("bones", "1 kg", "9.00"),
            pack("stock", "100 ml", "0.10"),
            sound("stock", spoilage=Fraction(spoilage)),
            Dish(name="stock", makes="2 l", whole_batches=whole),
            line("soup", "stock", "236.5882365 ml"),
            line("stew", "stock", stew),
        ),
        Episode(name="A", shoot_date="2031-05-01"),
        Episode(name="B", shoot_date="2031-05-03"),
        Shot(dish="soup", episode="A"),
        Shot(dish="stew", episode="B"),
    )
    assert (basket(found, "stock"), basket(found, "bones")) == ({"100 ml": cartons}, {})
    assert not any("not proven" in finding.code for finding in found.findings)


def test_bought_ready__a_batch_and_a_cup_of_cartons_on_the_first_day() -> None:
    """Worked by hand: 2 l and a cup on 1 May, a cup and a half on 3 May, batches of 2 l for 0.55.

    1 batch and 6 cartons for 591.47 ml are 1.15; 2 batches and 4 cartons 1.50, 26 cartons 2.60.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        pack("bones", "1 kg", "0.55"),
        pack("stock", "100 ml", "0.10"),
        Dish(name="stock", makes="2 l", whole_batches=True),
        line("soup", "stock", "2236.5882365 ml"),
        line("stew", "stock", "354.88235475 ml"),
        *(sound("stock"), sound("bones")),
        Episode(name="A", shoot_date="2031-05-01"),
        Episode(name="B", shoot_date="2031-05-03"),
        Shot(dish="soup", episode="A"),
        Shot(dish="stew", episode="B"),
    )
    assert (basket(found, "stock"), basket(found, "bones")) == ({"100 ml": 6}, {"1 kg": 1})
    assert not any("not proven" in finding.code for finding in found.findings)


def test_bought_ready__shots_that_show_the_making_cook_it() -> None:
    """Worked by hand: a cook-through of stock takes 1 kg bones although a carton is cheaper."""
    found = books(
        *STOCK,
        Dish(name="stock", makes="2 l"),
        pack("stock", "500 ml", "0.10"),
        Shot(dish="stock", purpose=Purpose.COOK_THROUGH),
        Shot(dish="gravy"),
    )
    assert purchase(found, "bones").need.total == 1000
    assert basket(found, "stock") == {"500 ml": 2}


def test_bought_ready__when_nobody_sells_what_goes_into_it() -> None:
    """Worked by hand: without a pack of bones the dear carton is all that can be had."""
    found = books(
        line("stock", "bones", "1 kg"),
        line("gravy", "stock", "600 ml"),
        Dish(name="stock", makes="2 l"),
        pack("stock", "1 l", "9.00"),
        Shot(dish="gravy"),
    )
    assert basket(found, "stock") == {"1 l": 1}


@pytest.mark.parametrize(
    ("carton", "times", "cartons", "bones", "paid"),
    [
        ("0.10", 2, {"1 l": 2}, {}, "0.20"),
        ("5.00", 2, {"1 l": 1}, {"1 kg": 1}, "6.00"),
        ("5.00", 4, {}, {"1 kg": 1, "3 kg": 1}, "1.00"),
    ],
)
def test_bought_ready__bones_without_a_price_only_where_nothing_with_one_will_do(
    carton: str, times: int, cartons: dict[str, int], bones: dict[str, int], paid: str
) -> None:
    """Worked by hand: 1 kg of bones for 1.00 and two cartons make at most 3 l, in any mixture.

    What has no price must not look like the cheapest; where 4 l need it, it counts as nothing.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        sound("bones"),
        Dish(name="stock", makes="1 l"),
        pack("bones", "1 kg", "1.00", at_most=1),
        pack("bones", "3 kg", None),
        pack("stock", "1 l", carton, at_most=2),
        line("gravy", "stock", "1 l"),
        Shot(dish="gravy", times=times),
    )
    assert (basket(found, "stock"), basket(found, "bones")) == (cartons, bones)
    assert found.totals.bought == Decimal(paid)
    assert not any("not proven" in finding.code for finding in found.findings)


def test_parts__custard_and_meringue_from_the_same_eggs() -> None:
    """Worked by hand: 6 yolks and 4 whites are 6 eggs, one box of 6 at 2.40; 2 whites are left.

    Alone the yolks would need 6 eggs and the whites 4: 2.40 x 6/10 = 1.44 and 0.96.
    """
    found = books(*EGGS)
    assert basket(found, "egg") == {"6 each": 1}
    assert left(found, "egg white") == 2
    assert used(found) == {"custard": Decimal("1.44"), "meringue": Decimal("0.96")}
    assert found.totals.bought == Decimal("2.40")


def test_parts__what_the_articles_give_is_used_before_packs_of_the_part() -> None:
    """Worked by hand: 6 yolks are 6 eggs at 1.80, whose 6 whites come with them.

    14 whites of 33 g are 462 g; the other 8, 264 g, are from 2 packs of 250 g at 1.75 (6 more
    eggs are 1.80, and 14 eggs 5.40). Used 1.80 + 3.50 x 264/500 = 3.648, left 1.652: 236 g.
    """
    found = books(
        line("custard", "egg yolk", "6 each"),
        line("meringue", "egg white", "14 each"),
        Ingredient(name="egg white", piece_weight=Fraction(33)),
        pack("egg", "6 each", "1.80", at_most=1),
        pack("egg white", "250 g", "1.75"),
        part("egg", "egg yolk", "1 each"),
        part("egg", "egg white", "1 each"),
        Shot(dish="custard"),
        Shot(dish="meringue"),
    )
    assert (basket(found, "egg"), basket(found, "egg white")) == ({"6 each": 1}, {"250 g": 2})
    assert left(found, "egg white") == 0
    whites = purchase(found, "egg white")
    assert [whites.wanted, whites.made] == [Fraction(264), Fraction(198)]
    totals = found.totals
    assert (totals.bought, totals.used, totals.left) == tuple(
        map(Decimal, ("5.30", "3.65", "1.65"))
    )


def test_parts__juice_and_zest_and_a_bottle() -> None:
    """Worked by hand: 100 ml juice of 40 ml a lemon is 3 lemons, 14 g zest of 4 g is 4.

    4 lemons at 0.50 give both; no bottle is needed. With 300 ml juice 8 lemons are 4.00,
    4 lemons (160 ml) and 2 bottles of 100 ml at 0.80 are 3.60, 5 (200 ml) and 1 bottle 3.30.
    """
    parts: tuple[Any, ...] = (
        line("curd", "lemon zest", "14 g"),
        sound("lemon juice"),
        sound("lemon zest"),
        pack("lemon", "1 each", "0.50"),
        pack("lemon juice", "100 ml", "0.80"),
        part("lemon", "lemon juice", "40 ml"),
        part("lemon", "lemon zest", "4 g"),
        Shot(dish="curd"),
    )
    few = books(line("curd", "lemon juice", "100 ml"), *parts)
    assert (basket(few, "lemon"), basket(few, "lemon juice")) == ({"1 each": 4}, {})
    many = books(line("curd", "lemon juice", "300 ml"), *parts)
    assert (basket(many, "lemon"), basket(many, "lemon juice")) == ({"1 each": 5}, {"100 ml": 1})
    assert many.totals.bought == Decimal("3.30")


def test_parts__two_ways_of_cutting() -> None:
    """Worked by hand: a lemon gives 40 ml juice and 4 g zest, or six wedges.

    80 ml juice are 2 lemons, 8 wedges are 2 more; 4 in all, and 4 wedges are left.
    """
    found = books(
        line("fish", "lemon juice", "80 ml"),
        line("fish", "lemon wedge", "8 each"),
        sound("lemon juice"),
        pack("lemon", "1 each", "0.50"),
        part("lemon", "lemon juice", "40 ml", way="pressed"),
        part("lemon", "lemon zest", "4 g", way="pressed"),
        part("lemon", "lemon wedge", "6 each", way="in wedges"),
        Shot(dish="fish"),
    )
    assert basket(found, "lemon") == {"1 each": 4}
    assert left(found, "lemon wedge") == 4


@pytest.mark.parametrize(
    ("breast", "grams"),
    [("100 g", 250), ("1 kg", 2500), ("236.5882365 g", 592)],
)
def test_parts__an_article_by_weight_is_cut_the_better_way(breast: str, grams: int) -> None:
    """Worked by hand: a kilogram of bird gives 200 g of breast one way and 400 g another.

    100 g are 250 g of bird, 1 kg is 2.5 kg, and 236.588 g are 591.47 g, bought by the gram.
    """
    found = books(
        line("roast", "breast", breast),
        sound("breast"),
        sound("bird"),
        pack("bird", "1 kg", "10.00", loose="1 g"),
        part("bird", "breast", "200 g", of="1 kg", way="one"),
        part("bird", "breast", "400 g", of="1 kg", way="two"),
        Shot(dish="roast"),
    )
    assert basket(found, "bird") == {"1 g": grams}
    assert not any("not proven" in finding.code for finding in found.findings)


def test_unknown_draw__leaves_what_goes_into_the_dish_unknown() -> None:
    """Nobody says how much a batch makes: 600 ml of it are an unknown amount of bones."""
    found = books(*STOCK, Dish(name="stock", whole_batches=True), *BOTH)
    assert list(purchase(found, "bones").need.unknown) == [
        'how much stock goes into "gravy"',
        *(['how much stock goes into "stuffing"']),
    ]
    assert found.totals.bought_missing


def test_part_of_itself__whole_text() -> None:
    """An article that is cut from its own part is not cut."""
    shoot = shoot_of(
        line("fish", "lemon half", "2 each"),
        part("lemon", "lemon half", "2 each"),
        part("lemon half", "lemon", "1 each"),
        Shot(dish="fish"),
    )
    assert said(shoot, "part of itself") == [
        'Parts (row "lemon half", column "Ingredient"): found lemon cut into something that '
        "lemon is itself cut from, expected an article that is bought [part of itself]\n"
        "  Nothing is cut from it until one of the two rows is changed."
    ]


@pytest.mark.parametrize(
    ("keeps", "first", "second", "shares"),
    [
        pytest.param(None, "200 ml", "1800 ml", ("2.00", "2.00"), id="a batch for each"),
        pytest.param(9, "200 ml", "1800 ml", ("0.20", "1.80"), id="one batch for both"),
        pytest.param(9, "500 ml", "1800 ml", ("0.50", "3.50"), id="what is left and a batch"),
    ],
)
def test_whole_batches__each_pays_for_the_batches_that_serve_it(
    keeps: int | None, first: str, second: str, shares: tuple[str, str]
) -> None:
    """Worked by hand: 2 l of stock take 1 kg of bones, 2.00.

    Without keeping each day makes a batch for itself. With it 200 ml and 1800 ml share one by
    what they take; of 500 ml and 1800 ml the first has 1/4 of the first batch, 0.50, and the
    second the rest of it, 1.50, and a batch for the 300 ml that lack, 2.00.
    """
    found = books(
        *STOCK[:3],
        Dish(name="stock", makes="2 l", whole_batches=True, keeps_days=keeps),
        Episode(name="A", shoot_date="2031-05-01"),
        Episode(name="B", shoot_date="2031-05-03"),
        line("broth", "stock", first),
        line("soup", "stock", second),
        Shot(dish="broth", episode="A"),
        Shot(dish="soup", episode="B"),
    )
    assert {share.episode: share.used for share in found.shares} == {
        "A": Decimal(shares[0]),
        "B": Decimal(shares[1]),
    }


def test_whole_batches__what_a_later_day_draws_of_a_dish_in_the_dish() -> None:
    """Worked by hand: a batch of soup, 1 l, takes a batch of stock, 1 kg bones, on the first day.

    A takes 250 ml of the soup and B the other 750 ml: 0.50 and 1.50.
    """
    found = books(
        *STOCK[:3],
        IN_BATCHES,
        line("soup", "stock", "800 ml"),
        Dish(name="soup", makes="1 l", whole_batches=True, keeps_days=3),
        Episode(name="A", shoot_date="2031-05-01"),
        Episode(name="B", shoot_date="2031-05-02"),
        line("lunch", "soup", "250 ml"),
        line("supper", "soup", "750 ml"),
        Shot(dish="lunch", episode="A"),
        Shot(dish="supper", episode="B"),
    )
    assert runs(found, "stock") == {"A": 1}
    assert used(found) == {"lunch": Decimal("0.50"), "supper": Decimal("1.50")}


@pytest.mark.parametrize(
    ("keeps", "boxes"), [(None, 2), (Fraction(13), 2), (Fraction(14), 1)], ids=str
)
def test_parts__what_is_left_of_a_cutting_serves_as_long_as_the_part_keeps(
    keeps: Fraction | None, boxes: int
) -> None:
    """Worked by hand: 6 yolks on 10 May and 6 whites on 24 May, 14 days later.

    The whites of the first 6 eggs serve the second day only when they keep for 14 days; otherwise
    it is 6 eggs for each day, two boxes of 6.
    """
    found = books(
        line("custard", "egg yolk", "6 each"),
        line("meringue", "egg white", "6 each"),
        sound("egg white", keeps_days=keeps),
        pack("egg", "6 each", "2.40"),
        part("egg", "egg yolk", "1 each"),
        part("egg", "egg white", "1 each"),
        Episode(name="A", shoot_date="2031-05-10"),
        Episode(name="B", shoot_date="2031-05-24"),
        Shot(dish="custard", episode="A"),
        Shot(dish="meringue", episode="B"),
    )
    assert basket(found, "egg") == {"6 each": boxes}
