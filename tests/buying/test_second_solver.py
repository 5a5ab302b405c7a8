"""Plans too large to try every basket, against a second solver and a model written anew."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import Any

import pulp
import pytest
from budgets import spread
from plans import shopping
from small import line, pack, shoot_of, sound

from costing.buying.market import Market
from costing.kitchen import Shop
from costing.shoot import Shoot, Shot

SIZES = (60, 125, 150, 250, 400, 500, 750, 1000)


def large_plan(seed: int, *, shops: bool) -> Shoot:
    """Twelve ingredients, three packs each, six uncertain shots, three shops."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names = [f"i{number}" for number in range(12)]
    parts: list[Any] = [sound(name) for name in names]
    for number in range(6):
        parts.extend(
            line(f"d{number}", name, f"{random.randint(1, 30) * 10} g")
            for name in random.sample(names, 5)
        )
        fewest = random.randint(0, 2)
        times = fewest + random.randint(0, 2)
        most = times + random.randint(1, 3)
        parts.append(Shot(dish=f"d{number}", fewest=fewest, times=times, most=most))
    for name in names:
        unit = random.uniform(0.1, 2) / 100
        for shop in "abc":
            size = random.choice(SIZES)
            price = Decimal(round(100 * size * unit * random.uniform(0.8, 1.25)) + 5) / 100
            parts.append(pack(name, f"{size} g", str(price), shop=shop))
    if shops:
        parts.extend(
            Shop(
                name=shop,
                visit_cost=Decimal(random.randint(0, 500)) / 100,
                minimum_spend=Decimal(random.randint(0, 20)),
            )
            for shop in "abc"
        )
    return shoot_of(*parts, currency="EUR")


def by_cbc(market: Market, chance: Fraction) -> float:
    """The least cost by CBC, from needs, packs and shops as they stand."""
    model = pulp.LpProblem("plan", pulp.LpMinimize)
    chosen = {
        (shot, k): model.add_variable(f"y_{shot}_{k}", cat="Binary")
        for shot, times in market.times.items()
        for k in times.numbers
    }
    for shot, times in market.times.items():
        model += pulp.lpSum(chosen[shot, k] for k in times.numbers) == 1
    model += pulp.lpSum(
        math.log(float(market.times[shot].chance_within(k))) * y for (shot, k), y in chosen.items()
    ) >= math.log(float(chance))
    visits = {shop: model.add_variable(f"v_{shop}", cat="Binary") for shop in "abc"}
    spent: dict[str, list[Any]] = {shop: [] for shop in "abc"}
    for at, purchase in enumerate(market.sold):
        need = purchase.need
        fixed = need.total - sum(
            (a * market.planned[shot] for shot, (_, a) in need.per_time.items()), Fraction(0)
        )
        wanted = float(fixed) + pulp.lpSum(
            float(need.per_time[shot][1]) * k * y
            for (shot, k), y in chosen.items()
            if shot in need.per_time
        )
        supply = []
        for row, offer in enumerate(purchase.offers):
            packs = model.add_variable(f"x_{at}_{row}", lowBound=0, cat="Integer")
            supply.append(float(offer.amount) * packs)
            assert offer.price is not None
            spent[offer.row.shop].append(float(offer.price) * packs)
            model += packs <= 500 * visits[offer.row.shop]
        model += pulp.lpSum(supply) >= wanted
    terms = market.terms
    for shop, minimum in terms.minimums.items():
        model += pulp.lpSum(spent[shop]) >= float(minimum) * visits[shop]
    model.setObjective(
        pulp.lpSum(part for parts in spent.values() for part in parts)
        + pulp.lpSum(float(terms.visits.get(shop, 0)) * v for shop, v in visits.items())
    )
    model.solve(pulp.PULP_CBC_CMD(msg=False, gapRel=0, gapAbs=1e-7, threads=1))
    assert pulp.LpStatus[model.status] == "Optimal"
    return float(pulp.value(model.objective))


@pytest.mark.filterwarnings("ignore:PULP_CBC_CMD is deprecated")  # the version is pinned
@pytest.mark.parametrize("shops", [False, True], ids=["packs alone", "visits and minimums"])
@pytest.mark.parametrize("seed", spread(range(8)))
def test_plan__second_solver_finds_the_same_cost(seed: int, shops: bool) -> None:
    """Law: CBC, from a model written independently, reaches the same cost to a thousandth cent."""
    shoot = large_plan(seed, shops=shops)
    found = shopping(shoot)
    assert found.plan is not None
    assert found.plan.gap == 0
    cost = float(found.market.terms.cost(found.plan.basket.packs))
    chance = 1 - shoot.settings.chance_of_running_out
    assert cost == pytest.approx(by_cbc(found.market, chance), abs=1e-5)
