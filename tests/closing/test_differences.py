"""Actual less planned, split into parts: closed by hand, by a textbook, and by its laws."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from any_shoot import any_shoot
from hypothesis import given
from hypothesis import strategies as st
from kitchens import any_kitchen, large_kitchen
from small import books_of_shoot, line, lot, pack, paid, shoot_of, sound

from costing.buying.sharing import by_episode
from costing.closing.closed import closed
from costing.closing.differences import (
    PARTS,
    Difference,
    ShownDifference,
    differences_of,
    largest,
    shown_of,
    sum_of_known,
)
from costing.kitchen import CountedLot, Dish
from costing.quantities import ZERO, exact_money, round_money
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.shoot.defaults import completed
from costing.shoot.episodes import Logged

FLOUR = (sound("flour"), line("bread", "flour", "200 g"))


def rows_of(*parts: Any, **settings: Any) -> tuple[Difference, ...]:
    """The exact differences of a shoot of these rows."""
    return differences_of(closed(books_of_shoot(shoot_of(*parts, **settings))))


def only(*parts: Any, **settings: Any) -> dict[str, Fraction | None]:
    """The only row, by the names of its columns."""
    (row,) = rows_of(*parts, **settings)
    parts_of_it = row.parts or (None,) * len(PARTS)
    return {
        "planned": row.planned,
        "actual": row.actual,
        **dict(zip(PARTS, parts_of_it, strict=True)),
    }


def test_differences__closed_by_hand() -> None:
    """Three takes of 200 g planned: 600 g of two bags of 500 g at 1.20, 0.0024 a gram, 1.44.

    Four were taken: 200 g more at 0.0024 are 0.48. One bag was bought at 1.30 and one of 750 g at
    2.10: 1250 g for 3.40, 0.00272 a gram. 350 g were left, so 900 g were used, 100 g more than the
    takes needed: 0.24. The bags listed would have cost 2.60, 0.0026 a gram: 900 g x 0.0002 = 0.18.
    That other bags were bought: 900 g x 0.00012 = 0.108. Together 1.44 + 0.48 + 0.24 + 0.18 + 0.108
    = 2.448 = 900 g x 0.00272.
    """
    assert only(
        *FLOUR,
        pack("flour", "500 g", "1.20", shop="Mill"),
        pack("flour", "750 g", "2.50", shop="Mill"),
        Shot(dish="bread", times=3, taken=4),
        paid("flour", "1.30", shop="Mill", packs=1, amount="500 g"),
        paid("flour", "2.10", shop="Mill", packs=1, amount="750 g"),
        CountedLot(ingredient="flour", amount="350 g"),
    ) == {
        "planned": Fraction("1.44"),
        "actual": Fraction("2.448"),
        "takes": Fraction("0.48"),
        "use": Fraction("0.24"),
        "price": Fraction("0.18"),
        "packs": Fraction("0.108"),
        "not_logged": ZERO,
    }


def test_differences__stock_is_used_first_at_its_own_value() -> None:
    """On hand 500 g worth 0.50 (0.001 a gram), one bag of 1 kg at 2.00 (0.002 a gram).

    Three takes: 600 g = 0.50 + 100 g x 0.002 = 0.70. Two takes: 400 g of the stock = 0.40, 0.30
    less. Counted 1200 g of 1500 g: 300 g used, 100 g less, of the stock: 0.10 less. Left 0.30.
    """
    assert only(
        *FLOUR,
        pack("flour", "1 kg", "2.00", shop="Mill"),
        lot("flour", "500 g", value=Decimal("0.50")),
        Shot(dish="bread", times=3, taken=2),
        paid("flour", "2.00", shop="Mill", packs=1),
        CountedLot(ingredient="flour", amount="1200 g"),
    ) == {
        "planned": Fraction("0.70"),
        "actual": Fraction("0.30"),
        "takes": Fraction("-0.30"),
        "use": Fraction("-0.10"),
        "price": ZERO,
        "packs": ZERO,
        "not_logged": ZERO,
    }


def test_differences__less_than_planned_leaves_what_is_bought_and_not_the_stock() -> None:
    """On hand 100 g worth 2.00 (0.02 a gram), one bag of 500 g at 5.00 (0.01 a gram).

    Two takes of 200 g: 2.00 + 300 g x 0.01 = 5.00. Counted 400 g of 600 g: 200 g used, the stock
    and 100 g of the bag, 2.00 + 1.00.
    """
    found = only(
        *FLOUR,
        pack("flour", "500 g", "5.00", shop="Mill"),
        lot("flour", "100 g", value=Decimal("2.00")),
        Shot(dish="bread", times=2, taken=2),
        paid("flour", "5.00", shop="Mill", packs=1),
        CountedLot(ingredient="flour", amount="400 g"),
    )
    assert (found["planned"], found["actual"]) == (Fraction(5), Fraction(3))
    assert (found["takes"], found["use"]) == (ZERO, Fraction(-2))


def test_differences__what_was_not_to_be_bought_has_the_price_of_the_cheapest_pack() -> None:
    """On hand 500 g worth 0.50, of which two takes need 400 g: 0.40, and nothing is listed.

    1 kg was bought at its 2.00, and 800 g of 1500 g are left: 500 g of the stock for 0.50 and 200 g
    at 0.002 were used, 0.50 more than the takes needed.
    """
    found = only(
        *FLOUR,
        pack("flour", "1 kg", "2.00", shop="Mill"),
        lot("flour", "500 g", value=Decimal("0.50")),
        Shot(dish="bread", times=2, taken=2),
        paid("flour", "2.00", shop="Mill", packs=1),
        CountedLot(ingredient="flour", amount="800 g"),
    )
    assert (found["planned"], found["actual"]) == (Fraction("0.40"), Fraction("0.90"))
    assert (found["use"], found["price"], found["packs"]) == (Fraction("0.50"), ZERO, ZERO)


def test_differences__other_packs_than_all_that_were_listed() -> None:
    """600 g of two bags of 500 g at 1.20 were planned, 0.0024 a gram: 1.44.

    One bag of 1 kg was bought instead at 2.00, typed at 2.50. Nothing says that the bags listed
    cost other than their 2.40, so that Price is 0; Packs is 600 g x (0.0020 - 0.0024) = -0.24.
    """
    assert only(
        *FLOUR,
        pack("flour", "500 g", "1.20", shop="Mill"),
        pack("flour", "1 kg", "2.50", shop="Mill"),
        Shot(dish="bread", times=3, taken=3),
        paid("flour", "2.00", shop="Mill", packs=1, amount="1 kg"),
    ) == {
        "planned": Fraction("1.44"),
        "actual": Fraction("1.20"),
        "takes": ZERO,
        "use": ZERO,
        "price": ZERO,
        "packs": Fraction("-0.24"),
        "not_logged": ZERO,
    }


def test_differences__what_was_used_beyond_what_was_bought_is_not_logged() -> None:
    """Takes need 600 g of two bags of 500 g at 1.00; one was bought: 100 g at 0.002 lack."""
    found = only(
        *FLOUR,
        pack("flour", "500 g", "1.00", shop="Mill"),
        Shot(dish="bread", times=3, taken=3),
        paid("flour", "1.00", shop="Mill", packs=1),
    )
    assert (found["planned"], found["actual"]) == (Fraction("1.20"), Fraction(1))
    assert found["not_logged"] == Fraction("-0.20")


def test_differences__what_no_plan_knows_is_not_logged_and_the_rest_is_untouched() -> None:
    flour, mint = rows_of(
        *FLOUR,
        pack("flour", "500 g", "1.00", shop="Mill"),
        Shot(dish="bread", episode="One", times=2, taken=2),
        paid("flour", "1.00", shop="Mill", packs=1),
        paid("mint", "0.40"),
        paid(" Mint", "0.50"),
        paid("mint", "9.90", tag="household"),
    )
    assert flour.parts == (ZERO,) * 5
    assert (mint.episode, mint.ingredient, mint.planned) == ("One", "mint", ZERO)
    assert mint.parts == (ZERO, ZERO, ZERO, ZERO, Fraction("0.90"))


def test_differences__episodes_share_by_what_they_need() -> None:
    """One bag of 1 kg at 2.00. One takes 200 g, Two 400 g; Two was taken once and not twice.

    Planned 0.40 and 0.80. At the takes 0.40 and 0.40, so Two has -0.40. 40 g more than these 400 g
    were used, 0.08: half each.
    """
    one, two = rows_of(
        *FLOUR,
        pack("flour", "1 kg", "2.00", shop="Mill"),
        Shot(dish="bread", episode="One", taken=1),
        Shot(dish="bread", episode="Two", times=2, taken=1),
        Episode(name="One"),
        Episode(name="Two"),
        paid("flour", "2.00", shop="Mill", packs=1),
        CountedLot(ingredient="flour", amount="560 g"),
    )
    assert (one.planned, two.planned) == (Fraction("0.40"), Fraction("0.80"))
    assert one.parts == (ZERO, Fraction("0.04"), ZERO, ZERO, ZERO)
    assert two.parts == (Fraction("-0.40"), Fraction("0.04"), ZERO, ZERO, ZERO)


def test_differences__an_unknown_price_leaves_its_cells_blank() -> None:
    """Nothing says what flour was to cost: planned and parts are unknown, what was paid is not."""
    found = only(
        *FLOUR,
        pack("flour", "500 g", None, shop="Mill"),
        Shot(dish="bread", times=2, taken=2),
        paid("flour", "1.00", shop="Mill", packs=1),
    )
    assert (found["planned"], found["actual"], found["use"]) == (None, Fraction("0.80"), None)
    shared = rows_of(
        *FLOUR,
        pack("flour", "500 g", None, shop="Mill"),
        *(Episode(name=name) for name in ("One", "Two")),
        Shot(dish="bread", episode="One", taken=1),
        Shot(dish="bread", episode="Two", times=3, taken=3),
        paid("flour", "2.00", shop="Mill", packs=2),
    )
    told = [(row.planned, row.actual) for row in shared]
    assert told == [(None, Fraction("0.40")), (None, Fraction("1.20"))], "1 and 3 takes of 200 g"


@pytest.mark.parametrize(
    ("told", "actual"),
    [
        ((pack("flour", "500 g", None, shop="Mill"),), None),
        ((), None),
        (
            (pack("flour", "500 g", None), CountedLot(ingredient="flour", amount="100 g")),
            None,
        ),
        ((pack("flour", "500 g", None), paid("flour", "0", packs=0)), ZERO),
        ((paid("flour", "0.80", amount="400 g"),), Fraction("0.40")),
    ],
    ids=["no price", "no pack", "counted", "nothing bought", "a receipt"],
)
def test_differences__what_has_no_price_and_is_on_no_receipt_is_not_worth_nothing(
    told: tuple[Any, ...], actual: Fraction | None
) -> None:
    """One take of 200 g: of a pack on the list without a price, of none, and of a counted one.

    A receipt of nothing says that nothing was paid; one of 400 g for 0.80, half of that.
    """
    found = only(*FLOUR, *told, Shot(dish="bread", taken=1))
    assert (found["planned"], found["actual"], found["use"]) == (None, actual, None)


@pytest.mark.source("openstax-managerial", "section 8.2, from memory")
def test_differences__price_and_quantity_variance_of_a_textbook() -> None:
    """One box: 0.25 lb at 7.00 planned, 0.50 lb at 9.00 used.

    Price variance (9.00 - 7.00) x 0.50 = 1.00, quantity variance (0.50 - 0.25) x 7.00 = 1.75, total
    2.75, all unfavourable: price at the actual quantity, quantity at the standard price.
    """
    found = only(
        sound("chocolate"),
        line("box", "chocolate", "0.25 lb"),
        pack("chocolate", "1 lb", "7.00", loose="0.25 lb", shop="Mill"),
        Shot(dish="box", taken=1),
        paid("chocolate", "9.00", shop="Mill", amount="1 lb"),
        CountedLot(ingredient="chocolate", amount="0.5 lb"),
    )
    assert (found["price"], found["use"]) == (Fraction(1), Fraction("1.75"))
    assert not any(found[name] for name in ("takes", "packs", "not_logged"))
    assert (found["planned"], found["actual"]) == (Fraction("1.75"), Fraction("4.50"))


PRICES = st.integers(1, 900).map(lambda coins: str(Decimal(coins) / 100))
TIMES = st.integers(0, 6)


@st.composite
def shoots(draw: st.DrawFn, *, as_planned: bool = False) -> Shoot:
    """A shoot of two episodes and two ingredients; what happened is as planned, or anything."""
    episodes = ("One", "Two")
    rows: list[Any] = [Episode(name=name) for name in episodes]
    bought: list[Any] = []
    for name in ("flour", "milk"):
        size, price = draw(st.integers(100, 700)), draw(PRICES)
        rows += [
            sound(name),
            line("bread", name, f"{draw(st.integers(1, 400))} g"),
            pack(name, f"{size} g", price, shop="Mill"),
            pack(name, f"{2 * size} g", draw(PRICES), shop="Mill"),
        ]
        if draw(st.booleans()):
            rows.append(lot(name, f"{draw(st.integers(1, 900))} g", value=Decimal(draw(PRICES))))
        if draw(st.booleans()):
            bought += draw(
                st.lists(
                    st.builds(
                        lambda name, packs, size, price: paid(
                            name, price, shop="Mill", packs=packs, amount=f"{packs * size} g"
                        ),
                        st.just(name),
                        st.integers(1, 4),
                        st.sampled_from((size, 2 * size)),
                        PRICES,
                    ),
                    max_size=3,
                )
            )
        if draw(st.booleans()):
            bought.append(CountedLot(ingredient=name, amount=f"{draw(st.integers(0, 900))} g"))
    for name in episodes:
        times = draw(TIMES)
        taken = times if as_planned else draw(st.none() | TIMES)
        rows.append(Shot(dish="bread", episode=name, times=times, taken=taken))
    return shoot_of(*rows, *(() if as_planned else bought), currency="EUR")


def list_bought(shoot: Shoot) -> Shoot:
    """The same with a receipt for all that the list says, at what its tills take."""
    books = books_of_shoot(shoot)
    lines = [
        paid(one.pack.ingredient, str(one.paid.cost), shop=one.pack.shop, packs=one.count)
        for purchase in books.purchases
        for one in purchase.lines
    ]
    return shoot.changed(receipts=lines)


@given(shoots(as_planned=True), st.booleans())
def test_differences__takes_and_prices_as_planned_give_nothing(
    shoot: Shoot, with_receipts: bool
) -> None:
    """Law: with the takes planned and the list paid, planned is actual and every part is 0."""
    whole = list_bought(shoot) if with_receipts else shoot
    books = books_of_shoot(whole)
    rows = differences_of(closed(books))
    assert all(row.planned == row.actual for row in rows)
    assert all(row.parts == (ZERO,) * 5 for row in rows)
    planned = sum((row.planned for row in rows if row.planned is not None), ZERO)
    assert planned == sum((Fraction(value.used) for value in books.values), ZERO)
    shown = shown_of(rows, whole.settings)
    assert all(row.planned == row.actual and not any(row.parts or ()) for row in shown)
    assert sum_of_known(shown) == (books.totals.used, books.totals.used, 0)
    for episode, cost in by_episode(books.shares, books.totals).items():
        of_it = [row for row in shown if row.episode == episode]
        assert sum_of_known(of_it) == (cost.used, cost.used, 0)


def test_shown_of__rows_add_up_to_the_used_value() -> None:
    """0.004 three times: 0.01 of 0.012, in the first row. Rounded alone each would be 0.00.

    Of an actual 0.004, 0.006 and 0.036, 0.046 in all: 0.05, which is 0.04 more, none of it for the
    first, 0.002 and 0.032 for the others: 0.03 and of two equal remainders a coin to the earlier.
    """
    planned = Fraction("0.004")
    rows = [
        Difference("", name, planned, actual, (actual - planned, ZERO, ZERO, ZERO, ZERO))
        for name, actual in zip(
            ("flour", "milk", "salt"), map(Fraction, ("0.004", "0.006", "0.036")), strict=True
        )
    ]
    shown = shown_of(rows, Settings(currency="EUR"))
    assert [str(one.planned) for one in shown] == ["0.01", "0.00", "0.00"]
    assert [str(one.actual) for one in shown] == ["0.01", "0.01", "0.03"]
    assert [str((one.parts or ())[0]) for one in shown] == ["0.00", "0.01", "0.03"]


def test_shown_of__episodes_are_shared_as_on_food_cost() -> None:
    """0.0051 and 0.0153 are a quarter and three of 0.02: 0.005 and 0.015, the coin to the first."""
    rows = [
        Difference(episode, "milk", Fraction(value), Fraction(value), (ZERO,) * 5)
        for episode, value in (("One", "0.0051"), ("Two", "0.0153"))
    ]
    shown = shown_of(rows, Settings(currency="EUR"))
    assert [str(one.planned) for one in shown] == ["0.01", "0.01"]


@given(any_shoot(), st.booleans())
def test_differences__of_any_shoot_as_planned_give_nothing(
    shoot: Shoot, with_receipts: bool
) -> None:
    """The same law of any shoot, with dishes in dishes, spoilage, stock and unknown prices."""
    whole, _ = completed(shoot)
    taken = [shot.model_copy(update={"taken": shot.times}) for shot in whole.shots]
    whole = whole.changed(shots=taken)
    lines = (line for one in books_of_shoot(whole).purchases for line in one.lines)
    priced = all(line.paid.cost is not None for line in lines)
    if with_receipts and priced:
        whole = list_bought(whole)
    for row in differences_of(closed(books_of_shoot(whole))):
        assert row.parts in (None, (ZERO,) * 5)
        assert row.planned == row.actual or row.parts is None


@pytest.mark.parametrize("seed", range(6))
def test_differences__of_what_is_made_and_cut_as_planned_give_nothing(seed: int) -> None:
    """The same law where making, buying ready and ways of cutting compete, on one day and on three.

    Each episode has what it has on Food cost.
    """
    kitchen = (
        any_kitchen(seed, uncertain=seed == 0) if seed < 3 else large_kitchen(seed, shops=False)
    )
    whole, _ = completed(kitchen.shoot())
    taken = [shot.model_copy(update={"taken": shot.times}) for shot in whole.shots]
    whole = list_bought(whole.changed(shots=taken))
    books = books_of_shoot(whole)
    rows = differences_of(closed(books))
    assert all(row.parts in (None, (ZERO,) * 5) for row in rows)
    shown = shown_of(rows, whole.settings)
    for episode, cost in by_episode(books.shares, books.totals).items():
        planned = (row.planned for row in shown if row.episode == episode)
        assert sum((one for one in planned if one is not None), Decimal(0)) == cost.used


GHEE = (
    *(line("ghee", "butter", "500 g"), line("dal", "ghee", "60 g")),
    Dish(name="ghee", makes="400 g", whole_batches=True, keeps_days=30),
    pack("butter", "500 g", "280"),
    *(
        Episode(name=name, shoot_date=day)
        for name, day in (("A", "2031-12-08"), ("B", "2031-12-10"))
    ),
    Shot(dish="dal", episode="A", times=2, taken=2),
    Shot(dish="dal", episode="B", times=1, taken=1),
)
"""One batch of ghee, of 500 g of butter for 280, serves both days: 120 g and 60 g."""
NO_BUTTER = Logged(what="butter", event="counted", amount="0 g", when="2031-12-08 18:00")
OF_BOTH = {("A", "butter"): Fraction("560/3"), ("B", "butter"): Fraction("280/3")}


@pytest.mark.parametrize(
    ("more", "planned"),
    [
        ((), OF_BOTH),
        ((NO_BUTTER,), OF_BOTH),
        (
            (lot("ghee", "120 g", use_by="2032-03-01", value="3"),),
            {("A", "ghee"): Fraction(3), ("B", "butter"): Fraction(280)},
        ),
    ],
    ids=["made for both", "counted in between", "the first has the lot"],
)
def test_differences__what_is_made_is_of_the_days_it_serves(
    more: tuple[Any, ...], planned: dict[tuple[str, str], Fraction]
) -> None:
    """By hand: two thirds and a third of 280; with 120 g on hand the first day takes only these.

    The butter that a count between the days says was used on the first is of both days too.
    """
    rows = rows_of(*GHEE, *more)
    assert {(row.episode, row.ingredient): row.planned for row in rows} == planned
    assert {(row.episode, row.ingredient): row.actual for row in rows} == planned


@given(shoots())
def test_differences__the_parts_always_add_up(shoot: Shoot) -> None:
    """Law: exactly, and in whole coins as shown, whatever was taken, bought, paid and counted."""
    rows = differences_of(closed(books_of_shoot(shoot)))
    for row in rows:
        assert row.planned is not None
        assert row.parts is not None
        assert row.planned + sum(row.parts) == row.actual
    for exact, shown in zip(rows, shown_of(rows, shoot.settings), strict=True):
        assert shown.planned is not None
        assert shown.parts is not None
        assert shown.planned + sum(shown.parts) == shown.actual
        for part, coins in zip(exact.parts or (), shown.parts, strict=True):
            assert bool(part) or not coins, "nothing stays nothing"
            assert abs(exact_money(coins) - part) < Fraction(3, 100)
    actual = sum((row.actual for row in rows if row.actual is not None), ZERO)
    assert sum_of_known(shown_of(rows, shoot.settings))[1] == round_money(actual, 2)


def test_shown_of__a_coin_goes_where_most_was_rounded_away() -> None:
    """0.004 + 0.004 + 0.004 = 0.012: 0.01 as shown, in the first of the three equal parts."""
    third = Fraction("0.004")
    exact = Difference("", "flour", ZERO, 3 * third, (third, ZERO, third, third, ZERO))
    (shown,) = shown_of([exact], Settings(currency="EUR"))
    assert shown.parts is not None
    assert [str(part) for part in shown.parts] == ["0.01", "0.00", "0.00", "0.00", "0.00"]


def test_largest__are_ordered_by_size_and_name_their_part() -> None:
    one = ShownDifference("", "flour", None, None, tuple(map(Decimal, (1, -3, 0, 2, 0))))
    assert [f"{name} {value}" for _, name, value in largest([one])] == [
        *("use -3", "packs 2", "takes 1")
    ]


def test_differences__a_count_of_a_dish_that_was_on_hand() -> None:
    """1 l of stock for 3.00, 600 ml needed, 300 ml left: 700 ml used, 0.30 more than the 1.80."""
    rows = rows_of(
        *(line("soup", "stock", "600 ml"), line("stock", "bones", "500 g")),
        Dish(name="stock", makes="1 l"),
        lot("stock", "1 l", use_by="2031-05-12", value="3.00"),
        Episode(name="E", shoot_date="2031-05-10"),
        *(Shot(dish="soup", taken=1), CountedLot(ingredient="stock", amount="300 ml")),
    )
    (stock,) = (row for row in rows if row.ingredient == "stock")
    assert (stock.planned, stock.actual) == (Fraction("1.80"), Fraction("2.10"))
    assert stock.parts == (ZERO, Fraction("0.30"), ZERO, ZERO, ZERO)


def test_sum_of_known__leaves_out_rows_of_which_one_side_is_unknown() -> None:
    """2.00 planned and 3.10 actual are known; of two other rows one side is: they count as 2."""
    rows = [
        ShownDifference("E", "flour", Decimal("2.00"), Decimal("3.10"), None),
        ShownDifference("E", "milk", Decimal("1.00"), None, None),
        ShownDifference("E", "eggs", None, Decimal("4.00"), None),
    ]
    assert sum_of_known(rows) == (Decimal("2.00"), Decimal("3.10"), 2)
