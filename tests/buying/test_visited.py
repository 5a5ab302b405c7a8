"""The choice of shops, where visits cost and one of them asks for a minimum spend."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plans import Kinds, any_plan, hard_plan, least_rank, packs_bought, shopping
from small import line, pack, shoot_of, sound

from costing.buying import solver, visited
from costing.buying.planning import Planner
from costing.buying.solver import Model, Solution
from costing.buying.till import least_net
from costing.buying.visited import Visited, caps_reaching
from costing.kitchen import Shop
from costing.quantities import Rounding, round_money
from costing.shoot import Settings, Shoot, Shot
from costing.shoot.times import Times, certain

PRICES = {"leek": "18.99", "beet": "7.49", "chard": "23.89"}
NEEDS = {"leek": 256, "beet": 184, "chard": 240}


def loose_goods(minimum: str, **settings: Any) -> Shoot:
    """Three goods by steps of 50 g from one stall with a minimum spend."""
    parts: list[Any] = []
    for name, price in PRICES.items():
        parts.append(line("soup", name, f"{NEEDS[name]} g"))
        parts.append(sound(name))
        parts.append(pack(name, "1 kg", price, shop="stall", loose="50 g"))
    shop = Shop(name="stall", minimum_spend=Decimal(minimum))
    return shoot_of(*parts, shop, Shot(dish="soup"), currency="EUR", **settings)


def best_by_hand(minimum: Decimal, rate: Fraction) -> Fraction:
    """The least exact cost of all numbers of steps, each tried, with enough at the till."""
    costs = {name: Fraction(price) / 20 for name, price in PRICES.items()}
    ranges = [range(math.ceil(need / 50), math.ceil(need / 50) + 45) for need in NEEDS.values()]
    least = None
    for counts in product(*ranges):
        steps = list(zip(costs.values(), counts, strict=True))
        net = sum((round_money(price * n, 2) for price, n in steps), Decimal(0))
        if net + round_money(Fraction(net) * rate, 2) >= minimum:
            cost = sum((price * n for price, n in steps), Fraction(0)) * (1 + rate)
            least = cost if least is None else min(least, cost)
    assert least is not None
    return least


@pytest.mark.parametrize(
    ("minimum", "rate"), [("14.00", 0), ("30.00", 0), ("33.33", 7)], ids=["low", "high", "taxed"]
)
def test_visited__loose_goods_reach_a_minimum_at_least_cost(minimum: str, rate: int) -> None:
    """Brute force over some 90,000 numbers of steps, the till rounded line by line."""
    settings: dict[str, Any] = {}
    if rate:
        settings = {"prices_include_tax": False, "tax_rate": Fraction(rate, 100)}
    found = shopping(loose_goods(minimum, **settings))
    market, packs = found.market, packs_bought(found)
    assert market.terms.cost(packs) == best_by_hand(Decimal(minimum), Fraction(rate, 100))
    assert market.till_of("stall", packs) >= Decimal(minimum)
    assert found.findings == []


def test_visited__six_loose_goods_are_proven() -> None:
    """Steps of 50 g of six goods for 60.00: the till takes exactly that, and nothing is left open.

    Of prices that share no step a sum within a hundredth of a coin of the minimum can be reached;
    the cost before rounding is below 60.005 as each line is rounded by half a coin at most.
    """
    prices = ["5.67", "23.42", "6.36", "4.85", "18.17", "14.42"]
    parts: list[Any] = []
    for number, price in enumerate(prices):
        parts.append(line("soup", f"good {number}", f"{250 + 40 * number} g"))
        parts.append(sound(f"good {number}"))
        parts.append(pack(f"good {number}", "1 kg", price, shop="stall", loose="50 g"))
    shop = Shop(name="stall", minimum_spend=Decimal(60))
    found = shopping(shoot_of(*parts, shop, Shot(dish="soup"), currency="EUR"))
    assert [f.code for f in found.findings] == []
    assert found.plan is not None
    assert found.plan.gap == 0
    assert found.market.till(packs_bought(found)) == Decimal("60.00")


@given(st.integers(0, 10**6), st.booleans())
def test_visited__is_the_best_of_all_baskets(seed: int, taxed: bool) -> None:
    """Law: no basket of any shops that covers the need and reaches the minimum ranks before it."""
    shoot = any_plan(seed, Kinds(shots=1, shops=True, limits=True, taxed=taxed))
    first, second = shoot.shops
    certain = tuple(shot.model_copy(update={"fewest": None, "most": None}) for shot in shoot.shots)
    other = second.model_copy(update={"minimum_spend": Decimal(0)})
    found = shopping(shoot.changed(shots=certain, shops=(first, other)))
    market = found.market
    assert Visited(market.terms, market.shoot.settings).suits
    least = least_rank(market, Fraction(1))
    short = any(purchase.short for purchase in found.purchases)
    assert short == (least is None)
    if not short:
        assert market.terms.rank(packs_bought(found)) == least


@given(st.integers(0, 10**6))
def test_visited__costs_what_the_programme_finds(seed: int) -> None:
    """A second way: the same plan without the tills' settings goes to the programme."""
    found = shopping(any_plan(seed, Kinds(shops=True, stock=True)))
    market = found.market
    alone = Planner(
        market.terms,
        market.times,
        market.planned,
        slack={shop: Fraction(1, 10) for shop in market.terms.minimums},
        tills=market.till_of,
    )
    chance = Fraction(19, 20)
    one, two = market.planner().plan(chance), alone.plan(chance)
    assert (one is None) == (two is None)
    if one is not None and two is not None:
        assert market.terms.cost(one.basket.packs) == market.terms.cost(two.basket.packs)


@pytest.mark.parametrize("name", ["WAYS", "STEPS"])
def test_visited__what_is_too_large_goes_to_the_programme(
    monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    shoot = loose_goods("14.00")
    exact = packs_bought(shopping(shoot))
    monkeypatch.setattr(visited, name, 0)
    found = shopping(shoot)
    assert found.market.planner().plan(Fraction(1)) is not None
    assert found.market.terms.cost(packs_bought(found)) == found.market.terms.cost(exact)


totals = st.integers(1, 5000).map(lambda cents: Fraction(cents, 100))


@given(totals, st.integers(0, 30), st.sampled_from(list(Rounding)))
def test_least_net__is_the_least_that_comes_to_a_total(
    total: Fraction, percent: int, rounding: Rounding
) -> None:
    """Law: with it the till comes to the total, with a cent less it does not."""
    rate = Fraction(percent, 100)
    settings = Settings(currency="EUR", prices_include_tax=False, tax_rounding=rounding)
    net, cent = least_net(total, rate, settings), Fraction(1, 100)

    def due(sum_of_lines: Fraction) -> Fraction:
        return sum_of_lines + Fraction(round_money(sum_of_lines * rate, 2, rounding))

    assert due(net) >= total > due(net - cent)


@st.composite
def any_times(draw: st.DrawFn) -> Times:
    """Up to four numbers from 0, the chances in ninths."""
    parts = [*sorted(draw(st.sets(st.integers(1, 8), max_size=3))), 9]
    steps = [b - a for a, b in pairwise([0, *parts])]
    return Times(tuple((number, Fraction(step, 9)) for number, step in enumerate(steps)))


@given(st.lists(any_times(), max_size=3), st.integers(0, 9))
def test_caps_reaching__none_of_the_least_can_be_lowered(many: list[Times], ninths: int) -> None:
    """Law, by every choice of caps: those that reach it and are above no other that does."""
    chance, times = Fraction(ninths, 9), dict(enumerate(many))
    values = {shot: one.numbers for shot, one in times.items()}
    every = [dict(enumerate(choice)) for choice in product(*values.values())]
    reaching = [
        caps
        for caps in every
        if math.prod((times[n].chance_within(k) for n, k in caps.items()), start=Fraction(1))
        >= chance
    ]
    least = [
        caps
        for caps in reaching
        if not any(o != caps and all(o[n] <= caps[n] for n in caps) for o in reaching)
    ]
    assert caps_reaching(times, values, chance, least=False) == reaching
    assert caps_reaching(times, values, chance) == least


def test_caps_reaching__too_many_are_left_to_the_programme(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(visited, "CAPS_COMBINED", 3)
    times = dict.fromkeys(range(2), certain(2))
    assert caps_reaching(times, {0: (1, 2), 1: (1, 2)}, Fraction(0)) is None


def test_plan__one_deadline_for_all_its_searches(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock that goes on by a second when it is looked at: each search gets less than the last.

    So cut-off proposals and tie-breaks are within the limit, however many there are.
    """
    ticks = iter(range(10**6))
    given_: list[float] = []
    minimise = Model.minimise

    def noted(self: Model, objective: Any, *, seconds: float, nodes: int | None = None) -> Solution:
        given_.append(seconds)
        return minimise(self, objective, seconds=30.0, nodes=nodes)

    monkeypatch.setattr(solver, "monotonic", lambda: float(next(ticks)))
    monkeypatch.setattr(Model, "minimise", noted)
    shopping(hard_plan(3, 2), seconds=10.0)
    assert len(given_) > 2
    assert all(later < earlier for earlier, later in pairwise(given_))
    assert given_[0] < 10
