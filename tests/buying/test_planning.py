"""Caps and packs together: worked by hand, and against every basket there is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from budgets import spread
from hypothesis import given
from hypothesis import strategies as st
from plans import Kinds, any_plan, hard_plan, least_rank, packs_bought, shopping
from small import basket, books, codes, line, lot, pack, purchase, shoot_of, sound, value

from costing.buying.planning import Plan
from costing.kitchen import Shop
from costing.shoot import Episode, Shoot, Shot

SOUP = line("soup", "leek", "100 g")
LEEK = sound("leek")
TAKES = Shot(dish="soup", name="P1", fewest=1, times=2, most=4)
"""One to four takes: at most one with a chance of 20.9 %, two 66.9 %, three 95.6 %, which is the
beta distribution of shapes 2.5 and 3.5 on 0.5 to 4.5 by scipy.stats."""


def planned(shoot: Shoot) -> Plan:
    """The plan of a shoot."""
    plan = shopping(shoot).plan
    assert plan is not None
    return plan


def plan_of(*parts: Any, **settings: Any) -> Plan:
    """The plan of a shoot of these rows."""
    return planned(shoot_of(*parts, **settings))


@pytest.mark.parametrize(("chance", "caps"), [("0.5", [1, 2]), ("0.9", [2, 2])])
def test_search__caps_of_too_little_chance_are_cut_off_exactly(
    chance: str, caps: list[int]
) -> None:
    """One take of a shot is enough with 66.2 %, two with 97.7 %: 64.7 % is one and two, 95.5 % two.

    The row of logarithms, which rounds, is for 50 %: at 90 % it lets pass what must be cut off.
    """
    takes = (Shot(dish="soup", name=name, fewest=1, times=1, most=3) for name in ("P1", "P2"))
    found = shopping(shoot_of(SOUP, LEEK, pack("leek", "100 g", "1"), *takes))
    planner, half = found.market.planner(), Fraction(1, 2)
    question = planner.question(planner.values(half), half)
    search = planner.search(question)
    search.programme.question = replace(question, chance=Fraction(chance))
    best = search.least(search.programme.cost()).basket
    assert best is not None
    assert sorted(best.caps.values()) == caps


def bought(*parts: Any, **settings: Any) -> dict[str, int]:
    """How many packs of leek are bought, by what is in them."""
    return basket(books(*parts, **settings), "leek")


@pytest.mark.parametrize(
    ("accepted", "takes"),
    [("0", 4), ("0.04", 4), ("0.05", 3), ("0.33", 3), ("0.34", 2), ("0.8", 1)],
)
def test_plan__one_shot_is_covered_to_the_first_number_that_is_sure_enough(
    accepted: str, takes: int
) -> None:
    """95.6 % is enough for 5 % and not for 4 %; 66.9 % for 34 % and not for 33 %."""
    single = pack("leek", "100 g", "1")
    settings = {"chance_of_running_out": Fraction(accepted)}
    assert bought(SOUP, LEEK, single, TAKES, **settings) == {"100 g": takes}
    assert plan_of(SOUP, LEEK, single, TAKES, **settings).basket.caps == {0: takes}


def test_plan__a_take_more_that_fits_is_covered_too() -> None:
    """Three takes need 300 g, two packs of 250; the fourth is in them as well."""
    plan = plan_of(SOUP, LEEK, pack("leek", "250 g", "2"), TAKES)
    assert plan.basket.packs == ((2,),)
    assert plan.basket.caps == {0: 4}
    assert plan.chance == 1


def test_plan__risk_goes_where_it_saves_most() -> None:
    """Saffron is dear, salt cheap: with 5 % for both, salt is covered in full, saffron to three."""
    plan = plan_of(
        line("rice", "saffron", "1 g"),
        line("bread", "salt", "10 g"),
        pack("saffron", "1 g", "9"),
        pack("salt", "10 g", "0.01"),
        Shot(dish="rice", fewest=1, times=2, most=4),
        Shot(dish="bread", fewest=1, times=2, most=4),
    )
    assert plan.basket.caps == {0: 3, 1: 4}


def test_plan__shots_share_the_packs_of_an_ingredient() -> None:
    """Two shots up to three each need 600 g; the third pack of 250 g covers both to the full."""
    plan = plan_of(
        SOUP,
        line("pie", "leek", "50 g"),
        pack("leek", "250 g", "2"),
        TAKES,
        Shot(dish="pie", fewest=1, times=2, most=4),
        chance_of_running_out=Fraction(1, 5),
    )
    assert plan.basket.packs == ((2,),)
    assert plan.basket.caps == {0: 3, 1: 4}


def test_plan__stock_counts_for_the_takes_beyond_those_planned() -> None:
    """250 g on hand cover two planned takes; three take 300 g, so one pack is bought."""
    found = books(SOUP, LEEK, pack("leek", "50 g", "1"), lot("leek", "250 g"), TAKES)
    assert purchase(found, "leek").net == 0
    assert purchase(found, "leek").covered == 50
    assert basket(found, "leek") == {"50 g": 1}


def test_books__used_is_at_the_planned_number_and_left_balances() -> None:
    """Three packs at 1.00 are bought, two are used as planned, one is left."""
    totals = books(SOUP, LEEK, pack("leek", "100 g", "1"), TAKES, currency="EUR").totals
    assert [str(v) for v in (totals.bought, totals.used, totals.left)] == ["3.00", "2.00", "1.00"]
    assert totals.missing == ()


def test_books__what_times_takes_beyond_what_is_covered_is_named() -> None:
    """With 80 % accepted one take is covered, while two are likeliest: 100 g are not there."""
    found = books(
        SOUP, LEEK, pack("leek", "100 g", "1"), TAKES, chance_of_running_out=Fraction(4, 5)
    )
    assert value(found, "leek").used == 1
    assert found.totals.used_missing == ("100 g of leek that Times takes beyond what is covered",)
    assert found.totals.bought_missing == ()


def test_books__money_for_certainty_alone_goes_to_its_shot() -> None:
    """None is likeliest, so the need is 0; what is bought for the chance of one is the retake's."""
    found = books(
        SOUP,
        line("tea", "leaf", "5 g"),
        pack("leek", "100 g", "1"),
        pack("leaf", "5 g", "2"),
        Shot(dish="tea"),
        Shot(dish="soup", fewest=0, times=0, most=1),
        currency="EUR",
        chance_of_running_out=Fraction(0),
    )
    assert [(s.dish, str(s.bought), str(s.used)) for s in found.shares] == [
        ("tea", "2.00", "2.00"),
        ("soup", "1.00", "0.00"),
    ]


def test_books__takes_of_an_ingredient_without_a_pack_are_all_missing() -> None:
    """Three takes are covered elsewhere; leek is missing for all three."""
    found = books(SOUP, TAKES)
    assert found.totals.bought_missing == ("300 g of leek that no pack covers",)
    assert "pack missing" in codes(found.findings)


EGG = line("soup", "egg", "1 each")
ONE = Shot(dish="soup", name="P1")


def test_shops__a_visit_is_worth_what_it_saves() -> None:
    """Leek is 0.30 dearer at a, where the egg is; a visit to b costs 0.50, or 0.20."""
    parts = [
        SOUP,
        EGG,
        pack("egg", "6 each", "2", shop="a"),
        pack("leek", "100 g", "1.30", shop="a"),
        pack("leek", "150 g", "1.00", shop="b"),
        ONE,
    ]
    assert bought(*parts, Shop(name="b", visit_cost=Decimal("0.50"))) == {"100 g": 1}
    assert bought(*parts, Shop(name="B ", visit_cost=Decimal("0.20"))) == {"150 g": 1}


def test_shops__what_is_on_hand_needs_no_visit() -> None:
    shop = Shop(name="a", visit_cost=Decimal(5))
    found = books(SOUP, LEEK, pack("leek", "100 g", "1", shop="a"), lot("leek", "1 kg"), shop, ONE)
    assert purchase(found, "leek").lines == ()


def test_shops__minimum_spend_is_reached_or_the_shop_is_left() -> None:
    """Two more at 2.00 reach 5.00 at a and cost 6.00; at b one costs 3.00, or 7.00."""
    minimum = Shop(name="a", minimum_spend=Decimal(5))
    cheap = pack("leek", "100 g", "2", shop="a")
    assert bought(SOUP, cheap, minimum, ONE) == {"100 g": 3}
    near = pack("leek", "150 g", "3", shop="b")
    assert bought(SOUP, cheap, near, minimum, ONE) == {"150 g": 1}
    dear = pack("leek", "150 g", "7", shop="b")
    assert bought(SOUP, cheap, dear, minimum, ONE) == {"100 g": 3}


def test_shops__minimum_is_the_tills_total_with_tax() -> None:
    """0.99 and 7 % are 1.0593 exactly, and 1.06 at the till: that reaches 1.06."""
    parts = [SOUP, pack("leek", "100 g", "0.99", shop="a"), ONE]
    settings: dict[str, Any] = {
        "currency": "EUR",
        "prices_include_tax": False,
        "tax_rate": Fraction(7, 100),
    }
    reached = Shop(name="a", minimum_spend=Decimal("1.06"))
    assert bought(*parts, reached, **settings) == {"100 g": 1}
    above = Shop(name="a", minimum_spend=Decimal("1.07"))
    assert bought(*parts, above, **settings) == {"100 g": 2}


def test_shops__rounding_down_at_the_till_does_not_reach_the_minimum() -> None:
    """1.21 and 7 % are 1.2947 exactly but 1.29 at the till, below 1.294: a second is bought."""
    found = bought(
        SOUP,
        pack("leek", "100 g", "1.21", shop="a"),
        Shop(name="a", minimum_spend=Decimal("1.294")),
        ONE,
        currency="EUR",
        prices_include_tax=False,
        tax_rate=Fraction(7, 100),
    )
    assert found == {"100 g": 2}


def test_shops__what_is_supplied_is_fetched_and_not_paid() -> None:
    """Supplied packs at a make the visit, but no till and so no minimum."""
    found = books(
        SOUP,
        pack("leek", "100 g", None, shop="a", supplied=True),
        pack("leek", "100 g", "1.50", shop="b"),
        Shop(name="a", visit_cost=Decimal(1), minimum_spend=Decimal(9)),
        ONE,
    )
    assert [(b.pack.shop, b.count) for b in purchase(found, "leek").lines] == [("a", 1)]
    dear = books(
        SOUP,
        pack("leek", "100 g", None, shop="a", supplied=True),
        pack("leek", "100 g", "1.50", shop="b"),
        Shop(name="a", visit_cost=Decimal(2)),
        ONE,
    )
    assert [(b.pack.shop, b.count) for b in purchase(dear, "leek").lines] == [("b", 1)]


def test_shops__unpriced_pack_is_taken_only_when_no_other_will_do() -> None:
    visit = Shop(name="a", visit_cost=Decimal(1))
    unpriced = pack("leek", "1 kg", None, shop="b")
    assert bought(SOUP, unpriced, pack("leek", "100 g", "1", shop="a"), visit, ONE) == {"100 g": 1}
    none = pack("leek", "100 g", "1", shop="a", at_most=0)
    assert bought(SOUP, unpriced, none, visit, ONE) == {"1 kg": 1}


@pytest.mark.parametrize(
    ("counted", "keeps", "packs"),
    [("0", 10, {"250 g": 1}), ("1", 10, {"1 kg": 1}), ("1", 6, {"250 g": 1})],
    ids=["not counted", "counted and keeps", "counted and does not keep"],
)
def test_counted__an_open_rest_counts_when_it_keeps(
    counted: str, keeps: int, packs: dict[str, int]
) -> None:
    """250 g at 1.50, or a kilogram at 3.00 of which 750 g at 0.003 are left: 0.75 net."""
    found = bought(
        line("soup", "leek", "250 g"),
        sound("leek", keeps_days=Fraction(keeps)),
        pack("leek", "250 g", "1.50"),
        pack("leek", "1 kg", "3"),
        ONE,
        leftovers_counted=Fraction(counted),
    )
    assert found == packs


def test_counted__what_stays_sealed_counts_at_its_price() -> None:
    """Three takes are covered, two planned: of 3 x 1.20 one stays sealed, of 3.40 nothing does.

    3.60 is more than 3.40, and 3.60 less a half of 1.20 is 3.00.
    """
    parts = [SOUP, LEEK, pack("leek", "100 g", "1.20"), pack("leek", "400 g", "3.40"), TAKES]
    assert bought(*parts) == {"400 g": 1}
    assert bought(*parts, leftovers_counted=Fraction(1, 2)) == {"100 g": 3}


def test_counted__what_is_sealed_is_soon_proven() -> None:
    """Four uncertain shots of six ingredients: a hundred branches are enough.

    A programme that counts what is left, and not what is opened, finds the same cost in 2,000.
    """
    shoot = hard_plan(4, 6)
    settings = shoot.settings.model_copy(update={"leftovers_counted": Fraction(1, 2)})
    planner = shopping(shoot.changed(settings=settings), seconds=0.0).market.planner()
    chance = Fraction(95, 100)
    search = planner.search(planner.question(planner.values(chance), chance))
    best = search.least(search.programme.cost(), nodes=100).proven
    assert best is not None
    assert planner.terms.cost(best.packs) == Fraction("260.385")


def test_counted__reaching_a_minimum_is_cheap_when_the_rest_stays_sealed() -> None:
    """Three tins at 2.00 reach 5.00, two stay sealed: 2.00 net against 3.00 at b."""
    parts = [
        SOUP,
        LEEK,
        pack("leek", "100 g", "2", shop="a"),
        pack("leek", "150 g", "3", shop="b"),
        Shop(name="a", minimum_spend=Decimal(5)),
        ONE,
    ]
    assert bought(*parts) == {"150 g": 1}
    assert bought(*parts, leftovers_counted=Fraction(1)) == {"100 g": 3}


@pytest.mark.parametrize(("most", "packs"), [(1, {"100 g": 4}), (2, {"250 g": 2, "100 g": 3})])
def test_unpriced__where_nothing_has_a_price_the_least_is_left_over(
    most: int, packs: dict[str, int]
) -> None:
    """390 g once are four packs of 100 g; for twice 780 g are 800 g, with the fewest packs.

    Without a price four of 250 g cost no more than that: 220 g too many were bought.
    """
    sold = [pack("leek", size, None) for size in ("250 g", "100 g")]
    shot = Shot(dish="soup", name="P1", fewest=1, times=1, most=most)
    assert bought(line("soup", "leek", "390 g"), LEEK, *sold, shot) == packs


def test_counted__where_the_time_is_short_minimums_are_kept_all_the_same() -> None:
    """300 g for three takes: three tins of a are 4.50 and do not come to 5.00, four are 6.00.

    Two tins of b are 5.80. Leftovers that count are left to the programme, which has no time.
    """
    packs = pack("leek", "100 g", "1.50", shop="a"), pack("leek", "150 g", "2.90", shop="b")
    least = Shop(name="a", minimum_spend=Decimal(5))
    shoot = shoot_of(SOUP, LEEK, *packs, least, TAKES, leftovers_counted=Fraction(1))
    assert packs_bought(shopping(shoot, seconds=0.0)) == [(0, 2)]


def test_ties__equally_cheap_leaves_less_over() -> None:
    """Three takes of 100 g: 300 or 350 g for 3.00 each, with and without a visit to pay."""
    packs = [pack("leek", "350 g", "3"), pack("leek", "300 g", "3")]
    assert bought(SOUP, LEEK, *packs, TAKES) == {"300 g": 1}
    visit = Shop(name="a", visit_cost=Decimal(1))
    both = [p.model_copy(update={"shop": "a"}) for p in packs]
    assert bought(SOUP, LEEK, *both, visit, TAKES) == {"300 g": 1}


def test_ties__then_fewer_packs_then_fewer_shops_then_the_sheet() -> None:
    visits = [Shop(name=name, visit_cost=Decimal(1)) for name in "ab"]
    packs = [pack("leek", "50 g", "1"), pack("leek", "100 g", "2")]
    assert bought(SOUP, LEEK, *packs, *visits, ONE) == {"100 g": 1}
    for shops in (("a", "b"), ("b", "a")):
        alike = [pack("leek", "100 g", "2", shop=shop) for shop in shops]
        found = books(SOUP, LEEK, *alike, *visits, ONE)
        assert [b.pack.shop for b in purchase(found, "leek").lines] == [shops[0]]
    egg = pack("egg", "6 each", "2", shop="b")
    alike = [pack("leek", "100 g", "2", shop=shop) for shop in "ab"]
    free = [Shop(name="c", minimum_spend=Decimal(9)), pack("egg", "6 each", "9", shop="c")]
    found = books(SOUP, EGG, LEEK, egg, *alike, *free, ONE)
    assert [b.pack.shop for b in purchase(found, "leek").lines] == ["b"]


KINDS = {
    "takes": Kinds(),
    "three shots": Kinds(shots=3),
    "stock that spoils": Kinds(stock=True, spoils=True),
    "limits": Kinds(limits=True),
    "shops": Kinds(shops=True),
    "shops with limits and stock": Kinds(shops=True, limits=True, stock=True),
    "shops and tax": Kinds(shops=True, taxed=True),
    "counted leftovers": Kinds(counted=True),
    "everything": Kinds(shops=True, counted=True, limits=True, stock=True, spoils=True, taxed=True),
}


@pytest.mark.parametrize("seed", spread(range(40)))
@pytest.mark.parametrize("kinds", KINDS.values(), ids=KINDS)
def test_plan__no_basket_of_all_there_are_is_better(kinds: Kinds, seed: int) -> None:
    """Brute force: every caps, every packs. Same cost, and without counting the same rank."""
    shoot = any_plan(f"{kinds} {seed}", kinds)
    found = shopping(shoot)
    market, chance = found.market, 1 - shoot.settings.chance_of_running_out
    best = least_rank(market, chance)
    if found.plan is None:
        packs = market.planner().mixing.packs([one.by_episode for one in market.sold])
        short = any(purchase.short for purchase in found.purchases)
    else:
        packs, short = found.plan.basket.packs, bool(found.provided and found.provided.shortages)
        assert found.plan.gap == 0
        assert short or found.plan.chance >= chance
    assert short == (best is None)
    if best is not None:
        rank = market.terms.rank(packs)
        assert rank[0] == best[0]
        assert kinds.counted or rank == best


def two_days(*more: Any, **settings: Any) -> dict[str, Any]:
    """Basil for two days, some on hand, some of it lost each day; flour that nobody has left."""
    days = (("one", date(2031, 6, 14)), ("two", date(2031, 6, 16)))
    return {
        name: purchase(
            books(
                line("pie", "flour", "200 g"),
                line("pie", "basil", "30 g"),
                sound("flour"),
                sound("basil", spoilage=Fraction(1, 20)),
                *(Episode(name=name, shoot_date=day) for name, day in days),
                Shot(dish="pie", episode="one"),
                Shot(dish="pie", episode="two", times=2),
                *more,
                **{"shopping_date": date(2031, 6, 13), **settings},
            ),
            name,
        )
        for name in ("flour", "basil")
    }


@pytest.mark.parametrize("visits", [(1, 3), (3, 0)], ids=["both visits cost", "one does"])
def test_shops__what_one_ingredient_lacks_takes_nothing_from_another(
    visits: tuple[int, int],
) -> None:
    """20 g on hand serve the first day: 10/0.95 + 60/0.95^3 = 80.51 g of basil are to be bought.

    From one shop that is 4 x 25 g at 2.50, or 6 x 15 g at 2.00, the dearer by 2.00.
    """
    found = two_days(
        pack("flour", "1 kg", "2", shop="Red", at_most=0),
        pack("basil", "25 g", "2.50", shop="Red"),
        pack("basil", "15 g", "2", shop="Blue"),
        lot("basil", "20 g", use_by=date(2031, 6, 14)),
        *(
            Shop(name=name, visit_cost=Decimal(cost))
            for name, cost in zip(("Red", "Blue"), visits, strict=True)
        ),
    )
    wanted = 10 / Fraction("0.95") + 60 / Fraction("0.95") ** 3
    assert found["flour"].short == 600
    assert found["basil"].wanted == wanted
    assert found["basil"].bought == (100 if visits == (1, 3) else 90)
    assert found["basil"].short == 0


@given(st.integers(0, 10**6))
def test_shops__a_shortage_leaves_everything_else_covered(seed: int) -> None:
    """Law: with stock, spoilage, visits and uncertain takes, what can be had is bought."""
    shoot = any_plan(f"shortage {seed}", Kinds(stock=True, spoils=True, shops=True))
    found = shopping(shoot)
    if found.provided is None or found.provided.shortages:
        return
    missing = "what nobody has"
    dish = shoot.lines[0].dish
    short = shopping(
        shoot.changed(
            lines=(*shoot.lines, line(dish, missing, "1 g")),
            ingredients=(*shoot.ingredients, sound(missing)),
            packs=(*shoot.packs, pack(missing, "1 g", "1", shop="a", at_most=0)),
        )
    )
    assert {one.need.ingredient.name for one in short.purchases if one.short} <= {missing}
