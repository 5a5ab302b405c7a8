"""Whose part of the money it is; shown amounts add up exactly at each level."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from any_shoot import EVERY_KIND, any_shoot
from hypothesis import assume, given
from hypothesis import strategies as st
from small import books, books_of_shoot, line, lot, may, pack, part, purchase, sound

from costing.buying.books import Books
from costing.buying.sharing import by_episode
from costing.kitchen import Dish, HoldingClass, Shop
from costing.names import key
from costing.report.shopping_rows import food_cost, to_buy
from costing.shoot import Episode, Purpose, Shoot, Shot, Trip


def shown(found: Books) -> list[tuple[str, str, str, str, str]]:
    """Rows of the shares."""
    return [(s.episode, s.dish, s.purpose, str(s.used), str(s.bought)) for s in found.shares]


def test_shares__in_proportion_to_the_as_bought_need() -> None:
    """400 g of 1 kg at 2.00: used 0.80; 3 of 4 parts are the cook-through's, 0.60 and 1.50."""
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "1 kg", "2"),
        Shot(dish="soup", times=3),
        Shot(dish="Soup ", purpose=Purpose.HERO),
    )
    assert shown(found) == [
        ("Episode 1", "soup", "cook-through", "0.60", "1.50"),
        ("Episode 1", "soup", "hero", "0.20", "0.50"),
    ]


def test_shares__of_what_has_no_price_are_unknown_and_not_0() -> None:
    """Worked by hand: saffron has no pack, cubes no price; 20 of 250 g of butter at 2.50 are 0.20.

    Soup takes butter besides: 5 g, 0.05, a fifth of the butter; rice takes nothing that is priced.
    """
    found = books(
        line("toast", "butter", "20 g"),
        line("soup", "butter", "5 g"),
        line("soup", "stock cube", "2 each"),
        line("rice", "saffron", "2 g"),
        line("tea", "water", "1 l"),
        *(sound("butter"), sound("saffron")),
        pack("butter", "250 g", "2.50"),
        pack("stock cube", "8 each", None),
        *(Shot(dish=dish) for dish in ("toast", "soup", "rice", "tea")),
    )
    rows = [
        (row["dish"], row["used_value"], row["share_of_bought"]) for row in food_cost(found).rows
    ]
    assert rows == [
        ("toast", Decimal("0.20"), Decimal("2.00")),
        ("soup", Decimal("0.05"), Decimal("0.50")),
        ("rice", None, None),
        ("tea", Decimal("0.00"), Decimal("0.00")),
    ]


def test_shares__of_several_trips_without_a_price_are_unknown() -> None:
    """Cod keeps two days, so that each day a fortnight apart has a pack of its own, at no price."""
    found = books(
        line("soup", "cod", "300 g"),
        line("stew", "cod", "300 g"),
        sound("cod", keeps_days=2),
        pack("cod", "300 g", None),
        Episode(name="One", shoot_date=date(2031, 5, 9)),
        Episode(name="Two", shoot_date=date(2031, 5, 23)),
        Shot(dish="soup", episode="One"),
        Shot(dish="stew", episode="Two"),
    )
    assert len(found.purchases[0].lines) == 2
    assert [row["share_of_bought"] for row in food_cost(found).rows] == [None, None]


def test_shares__a_pack_for_a_minimum_alone_is_of_those_who_use_the_ingredient() -> None:
    """3.00 are asked for on both trips; there is one pack of salt and of chive, at 1.00 each.

    So leek for 2.00 comes with both: one pack serves the soup, the other nobody. Both are its.
    """
    found = books(
        line("bread", "salt", "100 g"),
        *(line("soup", name, "100 g") for name in ("leek", "chive")),
        *(
            sound(name, keeps_days=days)
            for name, days in (("leek", 20), ("chive", 1), ("salt", 99))
        ),
        *(pack(name, "100 g", "1", shop="a", at_most=1) for name in ("salt", "chive")),
        pack("leek", "100 g", "2", shop="a"),
        Shop(name="a", minimum_spend=Decimal(3)),
        *(Trip(shop="a", day=may(day)) for day in (9, 13)),
        *(Episode(name=name, shoot_date=may(day)) for name, day in (("one", 10), ("two", 14))),
        *(Shot(dish=dish, episode=day) for dish, day in (("bread", "one"), ("soup", "two"))),
    )
    assert sorted(len(b.serves) for b in purchase(found, "leek").lines) == [0, 1]
    assert shown(found) == [
        ("one", "bread", "cook-through", "1.00", "1.00"),
        ("two", "soup", "cook-through", "3.00", "5.00"),
    ]


def test_shares__ingredient_by_ingredient() -> None:
    """Egg is only in step 2, so the retake of step 1 pays for flour alone.

    Flour 4 x 100 g of 1 kg at 1.00: 0.40 used, a quarter each. Egg 1 of 6 at 1.80: 0.30 used.
    """
    found = books(
        line("tart", "flour", "100 g", step=1),
        line("tart", "egg", "1 each", step=2),
        sound("flour"),
        pack("flour", "1 kg", "1"),
        pack("egg", "6 each", "1.80"),
        Shot(dish="tart"),
        Shot(dish="tart", purpose=Purpose.RETAKE, steps=(1,), times=3),
    )
    assert shown(found) == [
        ("Episode 1", "tart", "cook-through", "0.40", "2.05"),
        ("Episode 1", "tart", "retake", "0.30", "0.75"),
    ]


def test_shares__coins_go_to_the_largest_remainders_at_each_level() -> None:
    """1.00 over three episodes of one third each: 0.34, 0.33, 0.33; the first over two alike."""
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek"),
        pack("leek", "600 g", "1"),
        *(Episode(name=name) for name in "ABC"),
        *(Shot(dish="soup", episode=name, purpose=p) for name in "ABC" for p in TWO),
    )
    assert [bought for _, _, _, _, bought in shown(found)] == [
        "0.17",
        "0.17",
        "0.17",
        "0.16",
        "0.17",
        "0.16",
    ]


TWO = (Purpose.COOK_THROUGH, Purpose.HERO)


def test_shares__episodes_in_their_own_order_and_shots_in_theirs() -> None:
    found = books(
        line("soup", "leek", "100 g"),
        pack("leek", "1 kg", "2"),
        Episode(name="One"),
        Episode(name="Two"),
        Shot(dish="soup", episode="Two"),
        Shot(dish="soup", episode="One", purpose=Purpose.HERO),
        Shot(dish="soup", episode="Two"),
        Shot(dish="soup", episode="One"),
    )
    assert [(s.episode, s.purpose) for s in found.shares] == [
        ("One", "hero"),
        ("One", "cook-through"),
        ("Two", "cook-through"),
    ]


def test_shares__nothing_to_share_is_nothing_for_each() -> None:
    found = books(
        line("soup", "water", "1 l"), Shot(dish="soup"), Shot(dish="soup", purpose=Purpose.HERO)
    )
    assert shown(found) == [
        ("Episode 1", "soup", "cook-through", "0.00", "0.00"),
        ("Episode 1", "soup", "hero", "0.00", "0.00"),
    ]


def test_shares__stock_is_shared_like_what_is_bought() -> None:
    """All on hand at 0.80 for 400 g: a quarter each, whoever's day comes first."""
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek", holding_class=HoldingClass.NONE),
        lot("leek", "400 g", value=Decimal("0.80")),
        *(Episode(name=name) for name in "ABCD"),
        *(Shot(dish="soup", episode=name) for name in "ABCD"),
    )
    assert [used for _, _, _, used, _ in shown(found)] == ["0.20"] * 4


def test_visits__shared_by_what_is_bought_at_each_shop() -> None:
    """A visit of 3.00 to the stall, of 1.00 to the market; the street costs nothing.

    Stall: leek 4.00 and egg 2.00. Leek is 3 parts of 4 the soup's, so 3.00 of its 4.00; the egg
    is the tart's: 3.00 for each, so half the visit each, 1.50. Market: flour, all the tart's.
    """
    found = books(
        line("soup", "leek", "300 g"),
        line("tart", "leek", "100 g"),
        line("tart", "egg", "1 each"),
        line("tart", "flour", "10 g"),
        *(sound(name) for name in ("leek", "flour")),
        pack("leek", "400 g", "4", shop="Stall"),
        pack("egg", "1 each", "2", shop="stall"),
        pack("flour", "10 g", "9", shop="market"),
        *(Episode(name=name) for name in ("A", "B")),
        Shot(dish="soup", episode="A"),
        Shot(dish="tart", episode="B"),
        Shop(name="stall", visit_cost=Decimal(3)),
        Shop(name="market", visit_cost=Decimal(1)),
        Shop(name="nobody goes there", visit_cost=Decimal(50)),
        currency="EUR",
    )
    totals = found.totals
    assert [str(n) for n in (totals.bought, totals.visits, totals.paid)] == [
        "15.00",
        "4.00",
        "19.00",
    ]
    assert [(s.episode, str(s.bought), str(s.visits)) for s in found.shares] == [
        ("A", "3.00", "1.50"),
        ("B", "12.00", "2.50"),
    ]
    costs = by_episode(found.shares, totals)
    parts = {n: (one.bought, one.visits, one.paid) for n, one in costs.items()}
    assert {name: tuple(map(str, three)) for name, three in parts.items()} == {
        "A": ("3.00", "1.50", "4.50"),
        "B": ("12.00", "2.50", "14.50"),
    }
    assert sum((one.used for one in costs.values()), Decimal(0)) == totals.used


def test_visits__to_fetch_what_has_no_price_are_shared_by_lines() -> None:
    """Two supplied things, one for each dish: half of 5.00 each, the coin left to the first."""
    found = books(
        line("soup", "leek", "100 g"),
        line("tart", "egg", "1 each"),
        sound("leek"),
        pack("leek", "100 g", "4", shop="stall", supplied=True),
        pack("egg", "1 each", None, shop="stall"),
        Shot(dish="soup"),
        Shot(dish="tart"),
        Shop(name="stall", visit_cost=Decimal("5.01")),
    )
    assert [share.visits for share in found.shares] == [Decimal("2.51"), Decimal("2.50")]


def test_visits__what_has_no_price_has_no_part_beside_what_has_one() -> None:
    """Leek for 4.00 and an egg of unknown price from one stall: the visit of 5.01 is the soup's."""
    found = books(
        line("soup", "leek", "100 g"),
        line("tart", "egg", "1 each"),
        sound("leek"),
        pack("leek", "100 g", "4", shop="stall"),
        pack("egg", "1 each", None, shop="stall"),
        Shot(dish="soup"),
        Shot(dish="tart"),
        Shop(name="stall", visit_cost=Decimal("5.01")),
    )
    assert [share.visits for share in found.shares] == [Decimal("5.01"), Decimal(0)]


@given(any_shoot(**EVERY_KIND), st.integers(0, 999), st.integers(0, 999))
def test_visits__shares_add_up_to_the_coin(shoot: Shoot, first: int, second: int) -> None:
    """Law: shares of visits add up to a visit for each shop on the list and day, and to no more."""
    cents = Decimal("0.01")
    shops = (
        Shop(name="Stall", visit_cost=first * cents),
        Shop(name="market", visit_cost=second * cents),
    )
    euro = shoot.settings.model_copy(update={"currency": "EUR"})
    found = books_of_shoot(shoot.changed(shops=shops, settings=euro))
    went = {(key(one.pack.shop), one.trip) for p in found.purchases for one in p.lines}
    costs = {key(shop.name): shop.visit_cost for shop in shops}
    due = sum((costs.get(name, Decimal(0)) for name, _ in went), Decimal(0))
    assert found.totals.visits == due
    assert found.totals.paid == found.totals.bought + due
    if found.shares:
        assert sum((share.visits for share in found.shares), Decimal(0)) == due
        assert all(share.visits >= 0 for share in found.shares)


def test_shares__a_trip_is_paid_by_the_days_it_serves() -> None:
    """Worked by hand: cod that keeps two days, 300 g for each of two days a fortnight apart.

    Each day has its own pack, 6.40, and its own way to the van, 2.00. Onions keep: a kilogram for
    1.20 is fetched once, with the first cod; 100 g for the first day and 300 g for the second make
    0.30 and 0.90. Their part of the first way, 2.00, is 1.20/7.60 of it, 0.3158, of which the
    second day has three quarters: 0.24; the first day the rest of it, 1.76.
    """
    found = books(
        line("soup", "cod", "300 g"),
        line("stew", "cod", "300 g"),
        line("soup", "onion", "100 g"),
        line("stew", "onion", "300 g"),
        sound("cod", keeps_days=2),
        sound("onion", keeps_days=60),
        pack("cod", "300 g", "6.40", shop="van"),
        pack("onion", "1 kg", "1.20", shop="van"),
        Shop(name="van", visit_cost=2),
        Episode(name="One", shoot_date=date(2031, 5, 9)),
        Episode(name="Two", shoot_date=date(2031, 5, 23)),
        Shot(dish="soup", episode="One"),
        Shot(dish="stew", episode="Two"),
        currency="EUR",
    )
    assert found.totals.visits == 4
    assert [(s.episode, s.bought, s.visits) for s in found.shares] == [
        ("One", Decimal("6.70"), Decimal("1.76")),
        ("Two", Decimal("7.30"), Decimal("2.24")),
    ]


def test_shares__what_is_bought_ready_is_paid_by_those_that_have_it_ready() -> None:
    """Worked by hand: 600 ml of stock for each of two days that are ten days apart.

    A litre takes a kilogram of bones at 3.00, of which the shop has one; two ready packs of 500 ml
    are 4.00. The first day makes its stock: it pays 3.00 and uses 600 g, 1.80. The second has it
    ready: 4.00, of which it uses 600 of 1000 ml, 2.40.
    """
    found = books(
        line("stock", "bones", "1 kg"),
        line("soup", "stock", "600 ml"),
        Dish(name="stock", makes="1 l", keeps_days=2),
        sound("bones", keeps_days=3, holding_class=HoldingClass.NONE),
        sound("stock", keeps_days=2, holding_class=HoldingClass.NONE),
        pack("bones", "1 kg", "3", at_most=1),
        pack("stock", "500 ml", "2"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 20)),
        Shot(dish="soup", episode="One"),
        Shot(dish="soup", episode="Two"),
    )
    assert shown(found) == [
        ("One", "soup", "cook-through", "1.80", "3.00"),
        ("Two", "soup", "cook-through", "2.40", "4.00"),
    ]


DUCK_EGGS = (
    line("curd", "yolk", "6 each"),
    line("meringue", "white", "6 each"),
    line("glaze", "yolk", "2 each"),
    part("duck egg", "yolk", "1 each"),
    part("duck egg", "white", "1 each"),
    sound("yolk", keeps_days=1),
    sound("white", keeps_days=4),
    sound("duck egg", keeps_days=2),
    pack("duck egg", "2 each", "3", shop="Farm"),
)


def test_shares__a_trip_for_an_article_is_paid_by_the_later_day_too_that_uses_a_part() -> None:
    """Worked by hand: eggs that keep two days, two for 3.00; whites keep four days, yolks one.

    The first day needs six yolks, the second six whites and two yolks. Six eggs are fetched for the
    first day and two more for the second: 9.00 and 3.00. The whites of the first six serve the
    second day, and halve the 9.00 with the yolks. Two whites are over, said once.
    """
    found = books(
        *DUCK_EGGS,
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 12)),
        Shot(dish="curd", episode="One"),
        Shot(dish="meringue", episode="Two"),
        Shot(dish="glaze", episode="Two"),
    )
    assert shown(found) == [
        ("One", "curd", "cook-through", "4.50", "4.50"),
        ("Two", "meringue", "cook-through", "4.50", "4.50"),
        ("Two", "glaze", "cook-through", "3.00", "3.00"),
    ]
    of_all = "needed and left over are of all its trips"
    assert [(row["packs"], row["note"]) for row in to_buy(found).rows] == [
        (3, f"{of_all}; 2 white left over of it"),
        (1, of_all),
    ]


@given(any_shoot(**EVERY_KIND))
def test_shares__of_episodes_are_those_of_plain_fractions(shoot: Shoot) -> None:
    """Each ingredient's used value by its need, fraction by fraction; then within a coin."""
    found = books_of_shoot(shoot)
    # what is made goes by what is drawn of it, day by day
    assume(not any(one.demand.making for one in found.purchases))
    exact: dict[str, Fraction] = {}
    for one, value in zip(found.purchases, found.values, strict=True):
        parts = [(share, amount) for share, amount in one.need.shares.items() if amount]
        parts = parts or list(one.need.per_time.values())
        whole = sum((amount for _, amount in parts), Fraction(0))
        for (episode, _, _), amount in parts:
            exact[episode] = exact.get(episode, Fraction(0)) + (
                amount * value.used / whole if whole else 0
            )
    coin = Fraction(1, 10 ** -int(found.totals.used.as_tuple().exponent))
    all_of_it = sum(exact.values(), Fraction(0))
    for episode, of_it in exact.items() if all_of_it else ():
        shown_of_it = sum((s.used for s in found.shares if s.episode == episode), Decimal(0))
        quota = Fraction(found.totals.used) * of_it / all_of_it
        assert abs(Fraction(shown_of_it) - quota) < coin
