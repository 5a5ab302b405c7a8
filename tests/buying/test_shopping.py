"""From needs to packs: limits, loose goods, spoilage, units of two kinds, ties."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import basket, books, codes, line, lot, pack, purchase, sound

from costing.kitchen import Shop
from costing.shoot import Episode, Purpose, Shot

SHOT = Shot(dish="soup")
SHOT_OF_FOUR = Shot(dish="soup", times=4)


def bought(need: str, *packs: Any, name: str = "leek", **known: Any) -> dict[str, int]:
    """Packs taken for one need of one ingredient."""
    return basket(books(line("soup", name, need), sound(name, **known), *packs, SHOT), name)


def test_shopping__need_that_fills_the_packs_exactly_takes_no_further_one() -> None:
    assert bought("1 kg", pack("leek", "250 g", "1")) == {"250 g": 4}
    assert bought("1000.0001 g", pack("leek", "250 g", "1")) == {"250 g": 5}


@pytest.mark.parametrize(
    ("need", "steps"),
    [("1 lb", 8), ("16 oz", 8), ("454 g", 9), ("453.59237 g", 8), ("1/8 lb", 1)],
)
def test_shopping__loose_in_pounds_by_two_ounces(need: str, steps: int) -> None:
    """A pound is 453.59237 g and 8 steps of 2 oz; 454 g is more and takes a ninth."""
    assert bought(need, pack("leek", "1 lb", "3.20", loose="2 oz")) == {"2 oz": steps}


def test_shopping__loose_step_is_counted_from_nothing() -> None:
    """120 g in steps of 50 g is 3 steps; at 1.89 a kilogram 0.2835, which the till rounds."""
    found = books(
        line("soup", "leek", "120 g"),
        sound("leek"),
        pack("leek", "1 kg", "1.89", loose="50 g"),
        SHOT,
        currency="EUR",
    )
    assert basket(found, "leek") == {"50 g": 3}
    assert str(found.totals.bought) == "0.28"


def test_shopping__pieces_and_grams_in_one_mixture() -> None:
    """1 kg trimmed of 125 g pieces is 8 pieces; a bag of 500 g at 80% is 400 g, 3.2 pieces.

    Bags at 1.50 are 0.469 a piece, singles 0.60. Three bags cover 9.6 at 4.50; two bags leave 1.6
    pieces, two singles, at 3.00 + 1.20 = 4.20.
    """
    packs = [pack("onion", "1 each", "0.60"), pack("onion", "500 g", "1.50")]
    known = {"trim_yield": Fraction("0.8"), "piece_weight": Fraction(125)}
    expected = {"1 each": 2, "500 g": 2}
    for rows in (packs, packs[::-1]):
        assert bought("1 kg", *rows, name="onion", **known) == expected
        assert bought("8 each", *rows, name="onion", **known) == expected


def test_shopping__at_most_sends_the_rest_to_the_dearer_pack() -> None:
    """Two at 1.00 and the third at 1.50."""
    packs = [pack("leek", "100 g", "1", at_most=2), pack("leek", "100 g", "1.50", shop="b")]
    found = books(line("soup", "leek", "300 g"), sound("leek"), *packs, SHOT)
    assert [(b.count, str(b.pack.price)) for b in purchase(found, "leek").lines] == [
        (2, "1"),
        (1, "1.50"),
    ]


def test_shopping__shortage_buys_all_there_is_and_names_the_rest() -> None:
    """3 x 100 + 1 x 250 = 550 of 700 g; 150 g are missing from every total."""
    found = books(
        line("soup", "leek", "700 g"),
        sound("leek"),
        pack("leek", "100 g", "1", at_most=3),
        pack("leek", "250 g", "2", at_most=1),
        pack("leek", "1 kg", "2", at_most=0),
        SHOT,
    )
    assert basket(found, "leek") == {"100 g": 3, "250 g": 1}
    assert purchase(found, "leek").short == 150
    assert codes(found.findings) == ["shops have too little"]
    assert found.totals.bought == 5
    assert found.totals.bought_missing == ("150 g of leek that no pack covers",)


def test_shopping__no_pack_at_all_still_gives_the_quantity() -> None:
    found = books(line("soup", "leek", "700 g"), sound("leek"), lot("leek", "100 g"), SHOT)
    assert purchase(found, "leek").net == 600
    assert purchase(found, "leek").short == 600
    assert purchase(found, "leek").lines == ()
    assert codes(found.findings)[:2] == ["lot taken as good", "pack missing"]
    assert found.totals.bought_missing == ("600 g of leek that no pack covers",)


def test_shopping__unpriced_pack_is_taken_only_when_no_other_will_do() -> None:
    packs = [pack("leek", "1 kg", None), pack("leek", "100 g", "1")]
    assert bought("300 g", *packs) == {"100 g": 3}
    assert bought("300 g", pack("leek", "300 g", None), pack("leek", "500 g", "1")) == {"500 g": 1}
    limited = [pack("leek", "250 g", None), pack("leek", "100 g", "1", at_most=2)]
    assert bought("300 g", *limited) == {"250 g": 1, "100 g": 1}
    assert bought("300 g", pack("leek", "1 kg", None), pack("leek", "150 g", None)) == {"150 g": 2}


@pytest.mark.parametrize(
    "more",
    [
        [SHOT_OF_FOUR],
        [SHOT_OF_FOUR, Shop(name="a", visit_cost=Decimal(1))],
        [Shot(dish="soup", fewest=1, times=2, most=4)],
        [Shot(dish="soup", fewest=1, times=2, most=4), Shop(name="a", visit_cost=Decimal(1))],
        [Shot(dish="soup", times=1), Shot(dish="soup", fewest=1, times=2, most=3)],
    ],
    ids=["alone", "visits", "takes", "takes and visits", "two shots"],
)
def test_shopping__packs_without_a_price_only_fill_what_the_priced_are_too_few_for(
    more: list[Any],
) -> None:
    """Worked by hand: 1,000 g is 2 x 250 g at 2.00 and, as there are no more, 2 without a price.

    Visits to the shop of all of them, or takes that are all covered, change nothing in that.
    """
    found = books(
        line("soup", "leek", "250 g"),
        sound("leek"),
        pack("leek", "250 g", None, shop="a"),
        pack("leek", "250 g", "2", at_most=2, shop="a"),
        *more,
        chance_of_running_out=Fraction(0),
    )
    lines = [(one.count, one.pack.price) for one in purchase(found, "leek").lines]
    assert lines == [(2, None), (2, Decimal(2))]
    assert found.totals.bought == 4
    assert found.totals.bought_missing == ("the price of 2 x 250 g of leek",)


def test_shopping__least_without_a_price_comes_before_least_cost() -> None:
    """Worked by hand: at most 2 x 250 g and 3 x 100 g have a price, 800 g in all.

    900 g lack 100 g: one of 150 g without a price, and all priced ones, as 750 g are left to them.
    """
    packs = [
        pack("leek", "250 g", "9", at_most=2),
        pack("leek", "100 g", "1", at_most=3),
        pack("leek", "200 g", None),
        pack("leek", "150 g", None),
    ]
    assert bought("900 g", *packs) == {"250 g": 2, "100 g": 3, "150 g": 1}
    # without a price nothing is bought where the priced are enough
    assert bought("700 g", *packs) == {"250 g": 2, "100 g": 2}
    # 1 kg is short of 200 g: one of them, and 800 g priced; 1.1 kg of 300 g: two of 150 g
    assert bought("1 kg", *packs) == {"250 g": 2, "100 g": 3, "200 g": 1}
    assert bought("1.1 kg", *packs) == {"250 g": 2, "100 g": 3, "150 g": 2}
    # 810 g: 150 g without a price leave 660 g, for which 2 x 250 g and 2 x 100 g are enough
    assert bought("810 g", *packs) == {"250 g": 2, "100 g": 2, "150 g": 1}


def test_shopping__packs_without_a_price_beside_a_minimum_spend_that_is_not_reached() -> None:
    """Worked by hand: 2 x 2.00 never reach 20.00, so that b has 2 of the 4 packs for 3.00 each."""
    packs = [
        pack("leek", "250 g", None, shop="c"),
        pack("leek", "250 g", "2", at_most=2, shop="a"),
        pack("leek", "250 g", "3", at_most=2, shop="b"),
    ]
    shop = Shop(name="a", minimum_spend=Decimal(20))
    found = books(line("soup", "leek", "1 kg"), sound("leek"), *packs, shop, SHOT)
    lines = [(one.count, one.pack.shop) for one in purchase(found, "leek").lines]
    assert lines == [(2, "c"), (2, "b")]
    assert found.totals.bought == 6


def test_shopping__what_has_no_price_is_not_held_to_a_minimum_spend() -> None:
    """Only "a" has the lamb, whose price nobody typed: what its till comes to is not known.

    The lamb is on the list all the same; the rice stays at 1.00 where no minimum is asked, as
    0.90 at "a" would not reach its 20.00.
    """
    found = books(
        *(line("stew", name, "1 kg") for name in ("lamb", "rice")),
        *map(sound, ("lamb", "rice")),
        pack("lamb", "1 kg", None, shop="a"),
        pack("rice", "1 kg", "0.90", shop="a", at_most=1),
        pack("rice", "1 kg", "1", shop="b"),
        Shop(name="a", minimum_spend=Decimal(20)),
        SHOT.model_copy(update={"dish": "stew"}),
    )
    bought = {one.name: [each.pack.shop for each in one.lines] for one in found.purchases}
    assert bought == {"lamb": ["a"], "rice": ["b"]}
    assert codes(found.findings) == ["price missing"]


def test_shopping__supplied_packs_come_first_and_cost_nothing() -> None:
    """Two of three are given; the third is bought at 1.00."""
    found = books(
        line("soup", "leek", "300 g"),
        sound("leek"),
        pack("leek", "100 g", "1"),
        pack("leek", "100 g", None, supplied=True, at_most=2),
        SHOT,
    )
    assert [(b.count, b.pack.supplied) for b in purchase(found, "leek").lines] == [
        (1, False),
        (2, True),
    ]
    assert found.totals.bought == 1
    assert found.totals.missing == ()
    assert codes(found.findings) == []


@pytest.mark.parametrize(
    ("days", "expected"),
    [(0, "100"), (1, "125"), (2, "156.25"), (3, "195.3125")],
    ids=["same day", "one day", "two days", "three days"],
)
def test_shopping__spoilage_grows_with_each_day(days: int, expected: str) -> None:
    """A fifth of what is left each day: 100 / 0.8^days."""
    found = books(
        line("soup", "leek", "80 g"),
        sound("leek", trim_yield=Fraction("0.8"), spoilage=Fraction(1, 5)),
        pack("leek", "1 g", "0.01"),
        Episode(name="One", shoot_date=date(2031, 5, 7 + days)),
        SHOT,
        shopping_date=date(2031, 5, 7),
    )
    bought_of_it = purchase(found, "leek")
    assert bought_of_it.net == 100
    assert bought_of_it.wanted == Fraction(expected)
    assert bought_of_it.allowance == Fraction(expected) - 100


def test_shopping__spoilage_counts_the_days_of_each_episode() -> None:
    """Half a day: 100 g for the next day is 200, for the day after 400; 600 together.

    Stock of 40 g spares most on the second: 100 / 0.5 + 60 / 0.25 = 440, where it would be 60 / 0.5
    + 100 / 0.25 = 520 with the first; 160 are the need either way. Where no date is
    set each shoot has its own trip the day before: 60 / 0.5 + 100 / 0.5 = 320.
    """
    parts = [
        line("soup", "leek", "100 g"),
        sound("leek", spoilage=Fraction(1, 2)),
        pack("leek", "10 g", "1"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 11)),
        Shot(dish="soup", episode="One"),
        Shot(dish="soup", episode="Two"),
    ]
    assert purchase(books(*parts, shopping_date=date(2031, 5, 9)), "leek").wanted == 600
    stocked = [*parts, lot("leek", "40 g")]
    one_day = purchase(books(*stocked, shopping_date=date(2031, 5, 9)), "leek")
    assert [one_day.net, one_day.wanted] == [160, 440]
    the_day_before = purchase(books(*stocked), "leek")
    assert [the_day_before.net, the_day_before.wanted, the_day_before.bought] == [160, 320, 320]


def shops_of(found: Any) -> list[tuple[str, str]]:
    """Ingredient and shop of each line bought."""
    return [(p.need.ingredient.name, b.pack.shop) for p in found.purchases for b in p.lines]


def test_shopping__equally_cheap_goes_to_the_fewest_shops() -> None:
    """Leek is sold alike at a and b, egg only at b: all at b, though a stands first."""
    found = books(
        line("soup", "leek", "100 g"),
        line("soup", "egg", "1 each"),
        pack("leek", "100 g", "1", shop="a"),
        pack("leek", "100 g", "1", shop="b"),
        pack("egg", "6 each", "2", shop="B "),
        SHOT,
    )
    assert shops_of(found) == [("leek", "b"), ("egg", "B ")]


def test_shopping__then_the_order_in_the_sheet_decides() -> None:
    for shops in (("a", "b"), ("b", "a")):
        found = books(
            line("soup", "leek", "100 g"),
            *(pack("leek", "100 g", "1", shop=shop) for shop in shops),
            SHOT,
        )
        assert shops_of(found) == [("leek", shops[0])]


def test_shopping__fewest_shops_never_costs_a_cent() -> None:
    """Leek is one cent cheaper at a, so a is visited for it."""
    found = books(
        line("soup", "leek", "100 g"),
        line("soup", "egg", "1 each"),
        pack("leek", "100 g", "1", shop="b"),
        pack("leek", "100 g", "0.99", shop="a"),
        pack("egg", "6 each", "2", shop="b"),
        SHOT,
    )
    assert shops_of(found) == [("leek", "a"), ("egg", "b")]


def test_shopping__of_many_shops_none_is_left_that_could_be_spared() -> None:
    """Forty things, each sold alike in two of 24 shops: found at once, and no shop too many."""
    pairs = [(n % 24, (n * 7 + 5) % 24) for n in range(40)]
    parts: list[Any] = []
    for n, pair in enumerate(pairs):
        parts.append(line("soup", f"thing {n}", "100 g"))
        parts += [pack(f"thing {n}", "100 g", "1", shop=f"shop {shop}") for shop in pair]
    chosen = {shop for _, shop in shops_of(books(*parts, SHOT))}
    sold_in = [{f"shop {shop}" for shop in pair} for pair in pairs]
    assert all(shops & chosen for shops in sold_in)
    assert not any(all(shops & (chosen - {spared}) for shops in sold_in) for spared in chosen)


def test_shopping__ties_leave_less_over_then_take_fewer_packs() -> None:
    """600 g: 2 x 300 or 3 x 200 both cost 3.00 and leave nothing, two packs win."""
    assert bought("600 g", pack("leek", "200 g", "1"), pack("leek", "300 g", "1.50")) == {
        "300 g": 2
    }
    assert bought("500 g", pack("leek", "600 g", "3"), pack("leek", "500 g", "3")) == {"500 g": 1}


def test_shopping__one_need_of_two_shots_is_bought_together() -> None:
    """3 x 60 = 180 g are two packs of 100 g; each shot for itself would take one, three in all."""
    found = books(
        line("soup", "leek", "60 g"),
        sound("leek"),
        pack("leek", "100 g", "1"),
        SHOT,
        Shot(dish="soup", purpose=Purpose.HERO),
        Shot(dish="soup", purpose=Purpose.BITE),
    )
    assert basket(found, "leek") == {"100 g": 2}


def test_shopping__same_shoot_gives_the_same_list_every_time() -> None:
    """Many equally good mixtures, the same one each time."""
    parts = [
        line("soup", "leek", "1 kg"),
        line("soup", "egg", "12 each"),
        *(pack("leek", "100 g", "1", shop=shop) for shop in "cab"),
        *(pack("egg", "4 each", "1", shop=shop) for shop in "bca"),
        SHOT,
    ]
    lists = {tuple(shops_of(books(*parts))) for _ in range(5)}
    assert lists == {(("leek", "c"), ("egg", "c"))}
