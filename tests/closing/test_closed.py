"""What became of a shoot: takes told, receipts by pack or weight, counts, by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from small import books_of_shoot, line, lot, pack, paid, shoot_of, sound

from costing.closing.closed import Closed, closed
from costing.kitchen import CountedLot
from costing.shoot import Shot
from costing.shoot.episodes import Logged

LEEK = sound("leek")
TART = line("tart", "leek", "200 g")
LOOSE = pack("leek", "1 kg", "2.00", loose="50 g", shop="Market")
TWO_PACKS = (
    LEEK,
    TART,
    pack("leek", "500 g", "1.20", shop="Market"),
    Shot(dish="tart", times=5),
    paid("leek", "2.40", packs=2, shop="Market"),
)


def of(*parts: object, **settings: str) -> Closed:
    """A shoot of these rows, closed."""
    return closed(books_of_shoot(shoot_of(*parts, **settings)))


def test_closed__used_is_bought_and_on_hand_less_what_was_counted() -> None:
    """1200 g bought by weight, 250 g counted in two lots: 950 g used."""
    found = of(
        LEEK,
        TART,
        LOOSE,
        lot("leek", "300 g", use_by="2031-06-01"),
        Shot(dish="tart", times=5, taken=6),
        paid("leek", "2.40", amount="1.2 kg", shop="Market"),
        CountedLot(ingredient="leek", amount="200 g"),
        CountedLot(ingredient="leek", amount="50 g"),
    )
    (leek,) = found.ingredients
    assert leek.on_hand == 0, "without a shoot date no dated lot counts"
    assert [leek.bought, leek.used, leek.left, leek.counted] == [1200, 950, 250, True]


def test_closed__a_count_of_the_log_goes_on_with_the_takes_after_it() -> None:
    """1000 g bought; 700 g counted after one take of 200 g; two more takes leave 300 g."""
    found = of(
        LEEK,
        TART,
        LOOSE,
        Shot(dish="tart", name="P1", times=3),
        paid("leek", "2.00", amount="1 kg", shop="Market"),
        *(Logged(what="P1", event="taken", when=f"2031-05-10 {hour}:00") for hour in (10, 12, 13)),
        Logged(what="leek", event="counted", amount="700 g", when="2031-05-10 11:00"),
    )
    (leek,) = found.ingredients
    assert [leek.left, leek.used] == [300, 700]
    assert [found.taken[0].times, found.taken[0].given] == [3, True]


def test_closed__spoiled_food_is_used_though_it_was_no_take() -> None:
    """Three takes and one that spoiled use 4 x 200 g; what the takes needed is 600 g."""
    found = of(
        LEEK,
        TART,
        LOOSE,
        Shot(dish="tart", name="P1", times=3, taken=3),
        Logged(what="P1", event="spoiled"),
    )
    (leek,) = found.ingredients
    assert [leek.used, leek.taken.need.total] == [800, 600]


def test_closed__a_copy_that_goes_on_is_used_as_often_as_it_was_taken_over() -> None:
    """P2 went on with the copy of P1 three times: 3 x 200 g, though P1 was taken twice."""
    found = of(
        LEEK,
        TART,
        line("tart", "cream", "50 g", step=2),
        sound("cream"),
        LOOSE,
        pack("cream", "500 g", "1.50"),
        Shot(dish="tart", name="P1", steps=(1,), times=2, taken=2, purpose="swap"),
        Shot(dish="tart", name="P2", steps=(2,), from_shot="P1", times=2, taken=3, purpose="hero"),
    )
    assert {one.name: one.used for one in found.ingredients} == {"leek": 600, "cream": 150}


def test_closed__packs_of_a_receipt_are_those_of_its_shop() -> None:
    """Two packs of the market hold 500 g each, of the corner shop 250 g each."""
    rows = (
        LEEK,
        TART,
        pack("leek", "500 g", "1.20", shop="Market"),
        pack("leek", "250 g", "0.70", shop="Corner"),
        Shot(dish="tart", times=5),
    )
    market = of(*rows, paid("leek", "2.40", packs=2, shop="Market"))
    corner = of(*rows, paid("leek", "1.40", packs=2, shop="Corner"))
    assert [market.ingredients[0].bought, corner.ingredients[0].bought] == [1000, 500]


def test_closed__a_pack_taken_back_was_not_bought() -> None:
    """Of two packs of 500 g at 1.20 one goes back: 500 g for 1.20."""
    found = of(*TWO_PACKS, paid("leek", "-1.20", packs=1, shop="Market"))
    (leek,) = found.ingredients
    assert [leek.bought, sum(one.worth for one in leek.fetched)] == [500, Fraction(6, 5)]


def test_closed__a_discount_lowers_the_price_of_the_other_lines() -> None:
    """Two packs of 500 g at 1.20 less 0.40: 1000 g for 2.00."""
    found = of(*TWO_PACKS, paid("leek", "-0.40", shop="Market", note="discount"))
    (leek,) = found.ingredients
    assert [[one.amount, one.worth] for one in leek.fetched] == [[1000, 2]]


def test_closed__what_no_receipt_has_was_bought_as_listed() -> None:
    found = of(LEEK, TART, LOOSE, Shot(dish="tart", times=5))
    (leek,) = found.ingredients
    assert [leek.as_listed, leek.bought, leek.used, leek.left] == [True, 1000, 1000, 0]
    assert not found.taken[0].given


def test_closed__brought_is_what_receipts_say_and_nothing_that_is_as_listed() -> None:
    """Two packs of 500 g without a date, of which one is taken back on the 9th."""
    assert of(*TWO_PACKS).brought == {"leek": {None: 1000}}
    back = paid("leek", "-1.20", packs=1, shop="Market", day="2031-12-09")
    found = of(*TWO_PACKS, back).brought
    assert {str(day): int(amount) for day, amount in found["leek"].items()} == {
        "None": 1000,
        "2031-12-09": -500,
    }
    assert of(*TWO_PACKS[:-1]).brought == {}


@pytest.mark.parametrize(
    ("money", "row"), [("1.20", 0), ("1.80", 1), ("1.50", 0)], ids=["listed", "other", "neither"]
)
def test_closed__of_packs_of_one_size_it_is_the_one_that_costs_so_much(
    money: str, row: int
) -> None:
    """Bags of 500 g, fresh at 1.20 and frozen at 1.80; at another price the one on the list."""
    bags = (
        pack("leek", "500 g", "1.20", shop="Market"),
        pack("leek", "500 g", "1.80", shop="Market", state="frozen"),
    )
    found = of(LEEK, TART, *bags, Shot(dish="tart"), paid("leek", money, packs=1, shop="Market"))
    assert [one.pack for one in found.ingredients[0].fetched] == [bags[row]]


def test_closed__a_line_of_less_than_one_at_the_list_price_is_worth_that() -> None:
    """One pack at 0.89, and one given back at the same price: 0.89 and -0.89."""
    rows = (LEEK, TART, pack("leek", "500 g", "0.89", shop="Market"), Shot(dish="tart"))
    found = of(
        *rows,
        paid("leek", "0.89", packs=1, shop="Market"),
        paid("leek", "-0.89", packs=1, shop="Market"),
    )
    assert [one.worth for one in found.ingredients[0].fetched] == [
        Fraction("0.89"),
        Fraction("-0.89"),
    ]


@pytest.mark.parametrize("amount", ["500 g", "1.5 kg"], ids=["of each", "of all"])
def test_closed__an_amount_beside_packs_is_that_of_each_or_of_all(amount: str) -> None:
    """Three bags of 500 g, though bags of 1 kg are sold too: 1500 g whichever way it is said."""
    bags = [pack("leek", size, "1", shop="Market") for size in ("1 kg", "500 g")]
    receipt = paid("leek", "3.30", packs=3, amount=amount, shop="Market")
    found = of(LEEK, TART, *bags, Shot(dish="tart"), receipt)
    (leek,) = found.ingredients
    assert leek.bought == 1500
    assert leek.fetched[0].pack == bags[1]


def test_closed__whole_packs_of_one_size_are_told_by_their_weight() -> None:
    """1.5 kg are three bags of 500 g, the only size there is; 1.2 kg are of no bag."""
    bag = pack("leek", "500 g", "1.20", shop="Market")
    found = [
        of(LEEK, TART, bag, Shot(dish="tart"), paid("leek", "3", amount=size, shop="Market"))
        for size in ("1.5 kg", "1.2 kg")
    ]
    assert [one.ingredients[0].fetched[0].pack for one in found] == [bag, None]


def test_closed__a_line_without_an_amount_leaves_all_of_it_as_listed() -> None:
    """How many leeks 2.10 were nobody says; it is no discount on those of the other line."""
    rows = (LEEK, TART, LOOSE, Shot(dish="tart", times=5))
    known = paid("leek", "1.00", amount="500 g", shop="Market")
    (leek,) = of(*rows, known, paid("leek", "2.10", shop="Market")).ingredients
    assert [leek.as_listed, leek.bought] == [True, 1000]


def test_closed__of_an_episode_with_takes_told_a_blank_is_no_take() -> None:
    shots = (Shot(dish="tart", name="A", times=3, taken=2), Shot(dish="tart", name="B", times=3))
    found = of(LEEK, TART, LOOSE, *shots)
    assert [found.taken[number].times for number in (0, 1)] == [2, 0]
    untold = of(LEEK, TART, LOOSE, Shot(dish="tart", name="A", times=3))
    assert untold.taken[0].times == 3, "as planned where nothing is told"


def test_closed__goods_of_a_household_are_not_of_the_plan_and_of_the_crew_where_it_eats() -> None:
    """A crew meal in the plan takes leek; without one what is bought for the crew is its own."""
    rows = (LEEK, TART, LOOSE, paid("leek", "1.00", amount="500 g", shop="Market", tag="crew"))
    eaten = of(*rows, Shot(dish="tart", times=2), Shot(dish="tart", purpose="crew meal"))
    only = of(*rows, Shot(dish="tart", times=2))
    assert [eaten.ingredients[0].bought, eaten.ingredients[0].as_listed] == [500, False]
    assert [only.ingredients[0].bought, only.ingredients[0].as_listed] == [400, True]


SALTED = (line("soup", "salt", None), line("stew", "salt", "5 g"), pack("salt", "500 g", "1.00"))


@pytest.mark.parametrize(
    ("rows", "known"),
    [
        ((*SALTED, Shot(dish="stew", taken=1), Shot(dish="soup", times=0, taken=0)), True),
        ((*SALTED, Shot(dish="stew", taken=1), Shot(dish="soup", taken=0)), False),
        ((*SALTED, Shot(dish="stew", taken=1), Shot(dish="soup", times=0, taken=1)), False),
        (
            (
                *(*SALTED, Shot(dish="stew", taken=1), Shot(dish="soup", name="S", times=0)),
                Logged(what="S", event="spoiled", when="2031-05-10 10:00"),
            ),
            False,
        ),
        (
            (
                *(*SALTED[1:], Shot(dish="stew", taken=1)),
                *(lot("salt", "100 g"), lot("salt", None, plenty=True)),
            ),
            False,
        ),
        ((*SALTED[1:], Shot(dish="stew", taken=1), lot("salt", "100 g")), True),
    ],
    ids=["not begun", "planned", "taken", "spoiled", "some is plenty", "a lot"],
)
def test_closed__how_much_is_known_by_the_plan_and_by_all_that_was_begun(
    rows: tuple[object, ...], known: bool
) -> None:
    """By the rule: the soup takes an amount of salt that nobody typed, where there was one."""
    (salt,) = of(*rows).ingredients
    assert salt.is_known is known
