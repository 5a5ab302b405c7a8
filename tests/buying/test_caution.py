"""What caution costs: one more take, the chance of running out, packs for certainty's sake."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plans import Kinds, any_plan, every_caps, hard_plan, packs_bought, shopping
from small import books, line, lot, pack, shoot_of, sound

from costing.buying import caution as module
from costing.buying import market
from costing.buying.caution import Caution, Point, Take
from costing.buying.planning import Plan
from costing.buying.shopping import Shopping
from costing.kitchen import Shop
from costing.shoot import Shoot, Shot
from costing.shoot.times import Times

SOUP = line("soup", "leek", "100 g")
LEEK = sound("leek")
TAKES = Shot(dish="soup", name="P1", fewest=1, times=2, most=4)
ONE = Shot(dish="soup", name="P1")
SALT = pack("salt", "1 kg", "1")


def caution_of(*parts: Any, **settings: Any) -> Caution:
    """The caution of a shoot of these rows."""
    caution = books(*parts, **({"currency": "EUR"} | settings)).caution
    assert caution is not None
    return caution


def one_more(*parts: Any, **settings: Any) -> Decimal | None:
    """What one more of the first shot costs."""
    return caution_of(*parts, **settings).takes[0].one_more


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ([pack("leek", "250 g", "2"), ONE], "0.00"),
        ([pack("leek", "100 g", "1.25"), ONE], "1.25"),
        ([pack("leek", "100 g", "1"), pack("leek", "200 g", "1.50"), ONE], "0.50"),
        ([pack("leek", "100 g", "1"), lot("leek", "1 kg"), ONE], "0.00"),
        ([pack("leek", "100 g", "1"), lot("leek", "150 g"), ONE], "1.00"),
        ([lot("leek", "1 kg"), ONE], "0.00"),
        ([pack("leek", "100 g", "1"), TAKES], "1.00"),
        ([pack("leek", "250 g", "2"), TAKES], "0.00"),
        ([pack("leek", "1 kg", "1.89", loose="50 g"), ONE], "0.19"),
    ],
    ids=[
        "fits in the pack",
        "a further pack",
        "a larger pack instead",
        "stock has enough",
        "stock has a part",
        "stock of what nobody sells",
        "one more than is covered",
        "room for one more than is covered",
        "two loose steps of 0.0945",
    ],
)
def test_one_more__is_the_difference_of_the_cheapest_baskets(
    parts: list[Any], expected: str
) -> None:
    """Leek 100 g a take; the ids say what the second, or the fourth and fifth, takes."""
    assert str(one_more(SOUP, LEEK, *parts)) == expected


@pytest.mark.parametrize(
    ("on_hand", "times"), [("300 g", 3), ("299 g", 2)], ids=["enough for all", "a gram short"]
)
def test_caps__what_nobody_sells_limits_them_where_it_may_not_do(on_hand: str, times: int) -> None:
    """Leek 100 g a take, 1 likely of 0 to 3, and none is sold; the salt is a kilogram for 1.00.

    Where 300 g stand there nothing can run out. With a gram less the third take would lack of what
    nobody can buy, and twice are enough for 95.61 in 100.
    """
    salted = line("soup", "salt", "1 g")
    takes = Shot(dish="soup", times=1, fewest=0, most=3)
    found = books(SOUP, LEEK, salted, SALT, lot("leek", on_hand), takes)
    assert found.caps == {0: times}


@pytest.mark.parametrize(
    "parts",
    [
        [ONE],
        [pack("leek", "100 g", None), ONE],
        [pack("leek", "100 g", "1", at_most=1), ONE],
        [pack("leek", "100 g", "1"), line("soup", "salt", None), ONE],
        [lot("leek", "150 g"), ONE],
        [pack("leek", "100 g", "1", at_most=1), pack("leek", "100 g", None), ONE],
        [
            pack("leek", "100 g", "1", at_most=1, shop="a"),
            Shop(name="a", visit_cost=Decimal(1)),
            ONE,
        ],
    ],
    ids=[
        "no pack",
        "no price",
        "no further pack",
        "an amount is not known",
        "more than stock, and no pack",
        "only an unpriced pack is left",
        "no further pack at a shop with a visit",
    ],
)
def test_one_more__is_not_known_or_cannot_be_bought(parts: list[Any]) -> None:
    assert one_more(SOUP, LEEK, *parts) is None


def test_one_more__of_a_copy_begun_with_an_unknown_amount_is_not_known() -> None:
    """Leek for what goes on costs 1.00; how much salt the copy was begun with nobody wrote."""
    begun = line("soup", "salt", None, step=1, step_name="salt")
    ends = line("soup", "leek", "100 g", step=2, step_name="finish")
    begins, goes_on = (
        Shot(dish="soup", name="P1", steps="1"),
        Shot(dish="soup", name="P2", steps="2", from_shot="P1"),
    )
    rows = LEEK, pack("leek", "100 g", "1"), pack("salt", "1 kg", "1")
    for salt, price in ((begun, None), (line("soup", "salt", "1 g", step=1), 1)):
        takes = caution_of(salt, ends, *rows, begins, goes_on).takes
        assert takes[1].one_more == price


def test_one_more__unpriced_pack_with_room_is_free() -> None:
    """250 g without a price hold the second take as well."""
    assert one_more(SOUP, LEEK, pack("leek", "250 g", None), ONE) == 0


def test_one_more__with_the_visit_it_makes_necessary() -> None:
    """One at a: 1.00 and the visit of 1.00. Two are only at b: 3.00 and the visit of 2.00."""
    shops = [Shop(name="a", visit_cost=Decimal(1)), Shop(name="b", visit_cost=Decimal(2))]
    packs = [
        pack("leek", "100 g", "1", shop="a", at_most=1),
        pack("leek", "100 g", "1.50", shop="b"),
    ]
    assert one_more(SOUP, LEEK, *packs, *shops, ONE) == Decimal("3.00")


def raised(shoot: Shoot, caps: dict[int, int], which: int) -> Shoot:
    """The shoot with certain numbers, those of the caps, and one more of one shot."""
    shots = [
        shot.model_copy(
            update={
                "times": caps.get(at, shot.times) + (at == which),
                "fewest": None,
                "most": None,
            }
        )
        for at, shot in enumerate(shoot.shots)
    ]
    return shoot.changed(shots=tuple(shots))


def paid(found: Shopping) -> Fraction | None:
    """Packs and visits; ``None`` when the shops have too little."""
    if any(purchase.short for purchase in found.purchases):
        return None
    return found.market.terms.paid(packs_bought(found))


@given(
    st.integers(0, 10**6),
    st.sampled_from([Kinds(stock=True), Kinds(shops=True, limits=True, taxed=True)]),
)
def test_one_more__agrees_with_shopping_for_it(seed: int, kinds: Kinds) -> None:
    """Law: it is what a certain shoot with one take more costs more.

    Of a shot that is not taken at all it may be less: a lot may count for it that counts for no
    other, and is not looked at while nobody needs it.
    """
    shoot = any_plan(seed, kinds)
    found = shopping(shoot)
    if found.provided is not None and found.provided.shortages:
        return
    caps = dict(found.plan.basket.caps) if found.plan else {}
    takes = Caution(found, []).takes
    for at, take in enumerate(takes):
        if not take.covered:
            continue
        before, after = (paid(shopping(raised(shoot, caps, which))) for which in (-1, at))
        if before is None or after is None:
            assert take.one_more is None
        else:
            assert take.one_more is not None
            assert abs(Fraction(take.one_more) - max(Fraction(0), after - before)) <= Fraction(
                1, 200
            )


def test_takes__covered_and_the_chance_it_is_enough() -> None:
    """Three of one to four takes: 95.6 %; the certain shot has no chance of its own.

    The beta distribution of shapes 2.5 and 3.5 on 0.5 to 4.5, by scipy.stats, here and below.
    """
    sure = Shot(dish="soup", name="P2", times=2)
    takes = caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), TAKES, sure).takes
    told = [(t.shot.name, t.covered, t.chance_enough is None) for t in takes]
    assert told == [("P1", 3, False), ("P2", 2, True)]
    assert takes[0].chance_enough is not None
    assert float(takes[0].chance_enough) == pytest.approx(0.956, abs=5e-4)


def test_takes__too_many_shots_are_priced_in_a_sample(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of four shots the first two are priced; asked for, all are."""
    monkeypatch.setattr(module, "MOST_SHOTS", 3)
    monkeypatch.setattr(module, "SAMPLE", 2)
    many = [SOUP, LEEK, pack("leek", "100 g", "1"), *[ONE] * 4]
    caution = caution_of(*many)
    assert [take.priced for take in caution.takes] == [True, True, False, False]
    assert caution.takes[3] == Take(
        ONE.model_copy(update={"episode": "Episode 1"}), 1, None, None, False
    )
    found = shopping(shoot_of(*many))
    assert all(take.priced for take in Caution(found, [], every_take=True).takes)


def test_takes__the_work_is_for_all_prices_together(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "WORK", 0)
    caution = caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), ONE, ONE)
    assert [take.priced for take in caution.takes] == [False, False]


def test_takes__equal_takes_are_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two takes of 100 g of one episode add 1.00 each, a batch of two adds 2.00."""
    looked_up, plain = list[Shot](), Caution._price

    def priced(self: Caution, shot: Shot, *of_it: Any) -> Decimal | None:
        looked_up.append(shot)
        return plain(self, shot, *of_it)

    monkeypatch.setattr(Caution, "_price", priced)
    double = ONE.model_copy(update={"batch": Fraction(2)})
    takes = caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), ONE, ONE, double).takes
    assert [str(take.one_more) for take in takes] == ["1.00", "1.00", "2.00"]
    assert [shot.batch for shot in looked_up] == [1, 2]


def test_takes__sixty_shots_of_coupled_shops_are_priced() -> None:
    """Each take is 100 g; 60 of them fill 24 packs of 250 g, and the next opens one for 1.00.

    The visit is paid for already. A second soup takes 50 g of beet, of which 50 g are left over.
    """
    parts = [
        line("soup", "leek", "100 g"),
        line("broth", "beet", "50 g"),
        sound("leek"),
        sound("beet"),
        pack("leek", "250 g", "1", shop="stall"),
        pack("beet", "100 g", "3", shop="stall"),
        Shop(name="stall", visit_cost=Decimal(2), minimum_spend=Decimal(5)),
        *(Shot(dish="soup", name=f"P{number}") for number in range(60)),
        Shot(dish="broth", name="P60"),
    ]
    takes = caution_of(*parts, currency="EUR").takes
    assert all(take.priced for take in takes)
    assert [str(take.one_more) for take in takes] == ["1.00"] * 60 + ["0.00"]


@pytest.mark.parametrize(
    ("parts", "chance"),
    [
        ([pack("leek", "100 g", "1"), ONE], "0"),
        ([pack("leek", "250 g", "2"), TAKES], "0"),
        ([pack("leek", "100 g", "1", at_most=0), ONE], "1"),
        ([pack("leek", "100 g", "1", at_most=0), TAKES], "1"),
        ([ONE], "0"),
        ([line("soup", "salt", "1 g"), pack("leek", "9 kg", "1", at_most=0), SALT, ONE], "1"),
        ([line("soup", "salt", "1 g"), SALT, ONE], "0"),
        ([pack("leek", "100 g", "1"), line("soup", "salt", None), TAKES], None),
    ],
    ids=[
        "certain",
        "covered to the most",
        "nothing to be had",
        "not even the fewest",
        "no pack yet",
        "nothing to be had of one, enough of another",
        "no pack yet of one, enough of another",
        "an amount is not known",
    ],
)
def test_chance_of_running_out__at_the_ends(parts: list[Any], chance: str | None) -> None:
    expected = None if chance is None else Fraction(chance)
    assert caution_of(SOUP, LEEK, *parts).chance_of_running_out == expected


def test_spares__what_is_there_for_certainty() -> None:
    """Three packs are bought where two takes are likeliest: a third of them, 1.00."""
    (spare,) = caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), TAKES).spares
    assert (spare.packs, spare.planned_packs, spare.part) == (3, 2, Fraction(1, 3))
    assert str(spare.cost) == "1.00"


def test_spares__none_when_the_packs_hold_it_anyway() -> None:
    assert caution_of(SOUP, LEEK, pack("leek", "1 kg", "5"), TAKES).spares == []
    assert caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), ONE).spares == []


def test_points__each_take_less_is_a_point_up_to_a_half() -> None:
    """Four takes 4.00, three 3.00 at 4.4 %, two 2.00 at 33.0 %; one would be 79.1 %."""
    points, left_out = caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), TAKES).points
    assert left_out == []
    assert [(round(float(p.chance_of_running_out), 3), str(p.bought)) for p in points] == [
        (0, "4.00"),
        (0.044, "3.00"),
        (0.33, "2.00"),
    ]


def test_points__a_plan_that_is_less_sure_than_a_half_is_one_too() -> None:
    """With 80 % accepted one take is bought for, 79.1 % that it is not enough: 1.00."""
    accepted = {"chance_of_running_out": Fraction(4, 5)}
    points, _ = caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), TAKES, **accepted).points
    assert [(round(float(p.chance_of_running_out), 3), str(p.bought)) for p in points] == [
        (0, "4.00"),
        (0.044, "3.00"),
        (0.33, "2.00"),
        (0.791, "1.00"),
    ]


def test_points__none_for_a_certain_shoot() -> None:
    assert caution_of(SOUP, LEEK, pack("leek", "100 g", "1"), ONE).points == ([], [])


def test_points__not_where_the_shops_have_too_little() -> None:
    """No chance of running out cannot be had from three packs; the other points can."""
    limited = pack("leek", "100 g", "1", at_most=3)
    points, left_out = caution_of(SOUP, LEEK, limited, TAKES).points
    assert [str(point.bought) for point in points] == ["3.00", "2.00"]
    assert left_out == []
    nothing = caution_of(SOUP, LEEK, pack("leek", "100 g", "1", at_most=0), TAKES)
    assert nothing.points == ([], [])


@given(
    st.integers(0, 10**6),
    st.sampled_from([Kinds(stock=True), Kinds(shops=True), Kinds(shots=3)]),
)
def test_points__are_the_efficient_ones_of_all_caps(seed: int, kinds: Kinds) -> None:
    """Brute force over caps: for each chance the least cost, and nothing that something beats."""
    found = shopping(any_plan(seed, kinds))
    market = found.market
    points, left_out = Caution(found, []).points
    assert left_out == []
    if found.plan is None or not market.times or (found.provided and found.provided.shortages):
        return
    planner = market.planner()
    costs: dict[Fraction, Fraction] = {}
    for caps in every_caps(market, Fraction(1, 2)):
        at_caps = planner.cheapest(caps)
        if isinstance(at_caps, Plan):
            risk = 1 - planner.chance_within(caps)
            cost = market.terms.cost(at_caps.basket.packs)
            costs[risk] = min(cost, costs.get(risk, cost))
    best: list[tuple[Fraction, Fraction]] = []
    for risk, cost in sorted(costs.items()):
        if not best or cost < best[-1][1]:
            best.append((risk, cost))
    if found.plan.chance < Fraction(1, 2):
        best.append((1 - found.plan.chance, market.terms.cost(found.plan.basket.packs)))
    told = [point.chance_of_running_out for point in points]
    tried = math.prod(
        sum(one.chance_within(k) >= Fraction(1, 2) for k in one.numbers)
        for one in market.times.values()
    )
    if tried <= module.MOST_LEVELS:
        assert told == [risk for risk, _ in best]
    else:
        assert set(told) <= {risk for risk, _ in best}
        assert told[0] == 0


def test_points__what_is_not_proven_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a branch to spare the harder chances are named and not shown."""
    monkeypatch.setattr(module, "WORK", math.inf)
    found = shopping(hard_plan(4, 4))
    all_points, none_left = Caution(found, []).points
    monkeypatch.setattr(module, "NODES", 0)
    some_points, left_out = Caution(found, []).points
    assert none_left == []
    assert left_out
    assert 0 < len(some_points) < len(all_points)
    assert set(some_points) <= set(all_points)


def test_points__fewer_levels_for_a_large_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where not all chances are tried, those shown are points of the full line."""
    parts = [SOUP, LEEK, pack("leek", "100 g", "1"), TAKES]
    every = caution_of(*parts).points[0]
    monkeypatch.setattr(module, "MOST_LEVELS", 1)
    assert caution_of(*parts).points[0] == every
    monkeypatch.setattr(market, "SHOTS_TIMES_INGREDIENTS", 0)
    some = caution_of(*parts).points[0]
    assert set(some) <= set(every)
    assert some[0] == Point(Fraction(0), Decimal("4.00"))


@pytest.mark.watched("which chances are tried where there are too many for all is our choice")
@pytest.mark.parametrize(
    ("large", "thousandths"),
    [(True, (0, 10, 50, 200, 500)), (False, (0, 1, 10, 20, 50, 100, 150, 200, 300, 400, 500))],
    ids=["large", "many chances"],
)
def test_points__of_some_levels_are_the_cheapest_within_each(
    monkeypatch: pytest.MonkeyPatch, large: bool, thousandths: tuple[int, ...]
) -> None:
    """Worked by hand: once is enough but for a ten-thousandth less than a level.

    Twice is enough but for a ten-thousandth more than the level before, where three times are
    taken: it is never the cheapest within a level.
    """
    monkeypatch.setattr(module, "MOST_LEVELS", 1)
    monkeypatch.setattr(market, "SHOTS_TIMES_INGREDIENTS", 0 if large else 300)
    for level, after in pairwise(thousandths):
        twice, once = Fraction(10 * level + 1, 10_000), Fraction(10 * after - 1, 10_000)
        chances = ((1, 1 - once), (2, once - twice), (3, twice))
        monkeypatch.setattr(market, "times_of", lambda _, these=chances: Times(these))
        found = shopping(shoot_of(SOUP, LEEK, pack("leek", "100 g", "1"), TAKES, currency="EUR"))
        points, left_out = Caution(found, []).points
        ends = [Point(Fraction(0), Decimal("3.00")), Point(once, Decimal("1.00"))]
        assert (points, left_out) == (ends, [])


def test_visits_counted__when_a_shop_on_the_list_may_cost_something() -> None:
    shops = [Shop(name=name, visit_cost=Decimal(cost)) for name, cost in (("a", 1), ("b", 2))]
    packs = [pack("leek", "100 g", "1", shop="a"), pack("leek", "50 g", "1", shop="b")]
    assert caution_of(SOUP, LEEK, *packs, *shops, ONE).visits_counted
    assert not caution_of(SOUP, LEEK, *packs, ONE).visits_counted
