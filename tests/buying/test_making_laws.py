"""What is made, bought ready and cut: against every possibility, and against a second solver."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pulp
import pytest
from budgets import examples, spread
from hypothesis import given, settings
from hypothesis import strategies as st
from kitchens import Kitchen, any_kitchen, large_kitchen, least_cost
from plans import every_caps, shopping
from small import books_of_shoot, line, pack, part, shoot_of, sound

from costing.buying.shopping import Shopping
from costing.kitchen import Dish
from costing.shoot import Shoot, Shot


def paid(found: Shopping) -> Fraction:
    """What all packs cost, before any rounding."""
    total = Fraction(0)
    for one in found.purchases:
        for bought in one.lines:
            assert bought.pack.unit_price is not None
            total += bought.pack.unit_price * bought.count
    return total


@pytest.mark.parametrize("seed", spread(range(60)))
def test_certain__no_way_to_make_buy_and_cut_is_cheaper(seed: int) -> None:
    """Law: what is bought costs what the best of all possibilities does, and is told so."""
    kitchen = any_kitchen(seed)
    shoot = kitchen.shoot()
    found = shopping(shoot)
    assert paid(found) == least_cost(kitchen, {shot.label: shot.times for shot in shoot.shots})
    assert not any("not proven" in finding.code for finding in found.findings)


@pytest.mark.parametrize("seed", spread(range(30)))
def test_uncertain__no_caps_and_ways_are_cheaper(seed: int) -> None:
    """Law: over all caps with the chance asked for, and all possibilities for each of them."""
    kitchen = any_kitchen(seed, uncertain=True)
    shoot = kitchen.shoot(chance_of_running_out="10 %")
    found = shopping(shoot)
    labels = {number: shot.label for number, shot in enumerate(found.shoot.shots)}
    least = min(
        least_cost(kitchen, {labels[shot]: cap for shot, cap in caps.items()})
        for caps in every_caps(found.market, Fraction(9, 10))
    )
    assert found.plan is not None
    assert paid(found) == least
    assert not any(finding.code == "plan not proven" for finding in found.findings)


THAT_KEEP = ("bones", "herbs", "egg")


def counted_at_half(kitchen: Kitchen) -> Shoot:
    """A shoot in which half of what is left of some ingredients counts."""
    shoot = kitchen.shoot(leftovers_counted="50 %")
    keeping = (
        one.model_copy(update={"keeps_days": Fraction(30)}) if one.name in THAT_KEEP else one
        for one in shoot.ingredients
    )
    return shoot.changed(ingredients=tuple(keeping))


@pytest.mark.parametrize("seed", spread(range(40)))
def test_counted__no_way_is_cheaper_less_half_of_what_keeps(seed: int) -> None:
    """Law: bones, herbs and eggs keep, and what is left of them counts at half its least price."""
    kitchen = any_kitchen(seed)
    shoot = counted_at_half(kitchen)
    half = {
        name: min(price / size for size, price in kitchen.offers[name]) / 2 for name in THAT_KEEP
    }
    found = shopping(shoot)
    left = sum(
        (half[one.name] * (one.bought - one.wanted) for one in found.purchases if one.name in half),
        Fraction(0),
    )
    counts = {shot.label: shot.times for shot in shoot.shots}
    assert paid(found) - left == least_cost(kitchen, counts, half)
    assert not any("not proven" in finding.code for finding in found.findings)


@pytest.mark.parametrize("seed", [8, 17, 21])
def test_counted__one_more_take_costs_what_the_list_with_it_costs_more(seed: int) -> None:
    """What is made for it is another than for the list, and leaves other packs."""
    shoot = counted_at_half(any_kitchen(seed))
    found = books_of_shoot(shoot)
    assert found.caution is not None
    for number, take in enumerate(found.caution.takes):
        shots = list(shoot.shots)
        shots[number] = shots[number].model_copy(update={"times": shots[number].times + 1})
        more = books_of_shoot(shoot.changed(shots=tuple(shots)))
        assert take.one_more == more.totals.bought - found.totals.bought


def by_cbc(kitchen: Kitchen, counts: dict[str, int]) -> float:
    """The least cost by CBC, from a model written of the kitchen alone."""
    model = pulp.LpProblem("kitchen", pulp.LpMinimize)
    names = iter(range(10**6))

    def column(*, whole: bool) -> Any:
        return model.add_variable(
            f"x{next(names)}", lowBound=0, cat="Integer" if whole else "Continuous"
        )

    days = sorted(set(kitchen.day_of.values()))
    runs = {
        (dish, day): column(whole=dish in kitchen.whole) for dish in kitchen.recipes for day in days
    }
    cuts = {(way, day): column(whole=True) for way in range(len(kitchen.ways)) for day in days}
    costs, bought = [], {}
    visits = {shop: model.add_variable(f"v_{shop}", cat="Binary") for shop in kitchen.visits}
    for name, offers in kitchen.offers.items():
        packs = [column(whole=True) for _ in offers]
        bought[name] = pulp.lpSum(size * x for (size, _), x in zip(offers, packs, strict=True))
        costs += [float(price) * x for (_, price), x in zip(offers, packs, strict=True)]
        for x, visit in zip(packs, visits.values(), strict=False):
            model += x <= 500 * visit
    need: dict[tuple[str, int], Any] = {}
    for shot, takes in kitchen.takes.items():
        for name, amount in takes.items():
            at = name, kitchen.day_of[shot]
            need[at] = need.get(at, 0) + amount * counts[shot]
    for dish, takes in kitchen.recipes.items():
        for day in days:
            for name, amount in takes.items():
                need[name, day] = need.get((name, day), 0) + amount * runs[dish, day]
    pieces = {name for _, gives in kitchen.ways for name in gives}
    for (way, day), x in cuts.items():
        article = kitchen.ways[way][0]
        need[article, day] = need.get((article, day), 0) + x
    for name in {name for name, _ in need}:
        if name not in pieces and name not in kitchen.recipes:
            model += bought[name] >= pulp.lpSum(need.get((name, day), 0) for day in days)
            continue
        sent: dict[tuple[str, int, int], Any] = {}
        used = {day: column(whole=False) for day in days}
        model += pulp.lpSum(used.values()) <= bought.get(name, 0)
        for made_on in days:
            for day in days:
                late = day > made_on + kitchen.keeps[name]
                if made_on <= day and not late:
                    sent[name, made_on, day] = column(whole=False)
            given = (
                kitchen.makes[name] * runs[name, made_on]
                if name in kitchen.recipes
                else pulp.lpSum(
                    gives.get(name, 0) * cuts[way, made_on]
                    for way, (_, gives) in enumerate(kitchen.ways)
                )
            )
            model += pulp.lpSum(x for (_, on, _), x in sent.items() if on == made_on) <= given
        for day in days:
            arriving = pulp.lpSum(x for (_, _, to), x in sent.items() if to == day)
            model += arriving + used[day] >= need.get((name, day), 0)
    fees = [float(kitchen.visits[shop]) * visit for shop, visit in visits.items()]
    model.setObjective(pulp.lpSum(costs) + pulp.lpSum(fees))
    model.solve(pulp.PULP_CBC_CMD(msg=False, gapRel=0, gapAbs=1e-7, threads=1))
    assert pulp.LpStatus[model.status] == "Optimal"
    return float(pulp.value(model.objective))


@pytest.mark.filterwarnings("ignore:PULP_CBC_CMD is deprecated")  # the version is pinned
@pytest.mark.parametrize("shops", [False, True], ids=["packs alone", "visits"])
@pytest.mark.parametrize("seed", spread(range(8)))
def test_large__second_solver_finds_the_same_cost(seed: int, shops: bool) -> None:
    """Law: CBC, from a model written independently, reaches the same cost to a thousandth cent."""
    kitchen = large_kitchen(seed, shops=shops)
    shoot = kitchen.shoot()
    found = shopping(shoot)
    counts = {shot.label: shot.times for shot in shoot.shots}
    lines = {b.pack.shop for one in found.purchases for b in one.lines}
    cost = float(paid(found) + sum(kitchen.visits.get(shop, Fraction(0)) for shop in lines))
    assert cost == pytest.approx(by_cbc(kitchen, counts), abs=1e-5)


@pytest.mark.parametrize("seed", spread(range(20)))
def test_whole_batches__never_cost_less(seed: int) -> None:
    """Law: to have a dish in whole batches never costs less than to have it as it comes."""
    kitchen = any_kitchen(seed)
    rest = [row for row in kitchen.parts if not isinstance(row, Dish)]
    stock = next(row for row in kitchen.parts if isinstance(row, Dish))
    costs = [
        paid(
            shopping(
                replace(
                    kitchen,
                    parts=[*rest, stock.model_copy(update={"whole_batches": whole})],
                ).shoot()
            )
        )
        for whole in (False, True)
    ]
    assert costs[0] <= costs[1]


@pytest.mark.parametrize("seed", spread(range(20)))
def test_one_more__adds_what_the_best_of_all_possibilities_does(seed: int) -> None:
    """Law: the price of one more take is the difference of two least costs, to the coin."""
    kitchen = any_kitchen(seed)
    shoot = kitchen.shoot()
    counts = {shot.label: shot.times for shot in shoot.shots}
    caution = books_of_shoot(shoot).caution
    assert caution is not None
    for take in caution.takes:
        more = {**counts, take.shot.label: take.shot.times + 1}
        added = least_cost(kitchen, more) - least_cost(kitchen, counts)
        assert take.one_more == pytest.approx(Decimal(float(added)), abs=Decimal("0.0001"))


@pytest.mark.parametrize("seed", spread(range(8)))
def test_points__are_the_least_for_their_chance(seed: int) -> None:
    """Law: no caps with that chance, and no way to make and buy for them, cost less."""
    kitchen = any_kitchen(seed, uncertain=True)
    books = books_of_shoot(kitchen.shoot())
    assert books.caution is not None
    assert books.shopping is not None
    points, left_out = books.caution.points
    labels = {number: shot.label for number, shot in enumerate(books.shoot.shots)}
    assert left_out == []
    for point in points:
        least = min(
            least_cost(kitchen, {labels[shot]: cap for shot, cap in caps.items()})
            for caps in every_caps(books.shopping.market, 1 - point.chance_of_running_out)
        )
        assert Fraction(point.bought) == least


@pytest.mark.parametrize("seed", spread(range(20)))
def test_books__balance_with_makings(seed: int) -> None:
    """Law: bought and on hand are used and left, and the shares add up to the coin."""
    found = books_of_shoot(any_kitchen(seed, uncertain=seed % 2 == 0).shoot())
    totals = found.totals
    assert totals.bought + totals.on_hand_used == totals.used + totals.left
    assert sum(share.used for share in found.shares) == totals.used
    assert sum(share.bought for share in found.shares) == totals.bought
    for one in found.purchases:
        assert sum(one.need.shares.values(), Fraction(0)) == one.need.total
        assert one.bought >= one.wanted
        assert one.need.total == one.made + one.taken.total + one.net
        assert math.isclose(float(one.short), 0)


@given(
    juice=st.integers(0, 300),
    zest=st.integers(0, 30),
    sizes=st.sampled_from([("40 ml", "4 g"), ("30 ml", "7 g"), ("1 ml", "1 g")]),
    price=st.integers(1, 300),
    box=st.none() | st.tuples(st.integers(2, 6), st.integers(1, 900)),
    times=st.integers(0, 3),
)
@settings(max_examples=examples(40))
def test_parts__never_cost_more_than_articles_bought_apart(
    juice: int,
    zest: int,
    sizes: tuple[str, str],
    price: int,
    box: tuple[int, int] | None,
    times: int,
) -> None:
    """Law: juice and zest of the same lemons never cost more than of lemons bought for each.

    Apart, the lemons of each are its amount by what one gives, rounded up.
    """
    of_juice, of_zest = (int(text.split()[0]) for text in sizes)
    packs = [pack("lemon", "1 each", str(Decimal(price) / 100))]
    if box is not None:
        packs.append(pack("lemon", f"{box[0]} each", str(Decimal(box[1]) / 100)))
    shots = [Shot(dish="curd", times=times), Shot(dish="cake")]
    rows = [*packs, *shots, sound("lemon"), sound("juice"), sound("zest")]
    together = shopping(
        shoot_of(
            line("curd", "juice", f"{juice} ml"),
            line("cake", "zest", f"{zest} g"),
            part("lemon", "juice", sizes[0]),
            part("lemon", "zest", sizes[1]),
            *rows,
        )
    )
    apart = shopping(
        shoot_of(
            line("curd", "lemon", f"{math.ceil(Fraction(juice, of_juice))} each"),
            line("cake", "lemon", f"{math.ceil(Fraction(zest, of_zest))} each"),
            *rows,
        )
    )
    assert paid(together) <= paid(apart)


@given(
    yolks=st.integers(0, 9),
    whites=st.integers(0, 9),
    offers=st.lists(st.tuples(st.integers(1, 12), st.integers(1, 500)), min_size=1, max_size=3),
)
@settings(max_examples=examples(40))
def test_parts__yolk_and_white_of_one_egg_cost_what_the_more_of_them_does(
    yolks: int, whites: int, offers: list[tuple[int, int]]
) -> None:
    """Law: an egg gives both: the cost is that of the larger number of eggs, not of their sum."""
    packs = [pack("egg", f"{size} each", str(Decimal(cents) / 100)) for size, cents in offers]
    rows = [*packs, sound("egg"), sound("yolk"), sound("white"), Shot(dish="pie")]

    def cost(*lines: tuple[str, int]) -> Fraction:
        eggs = [part("egg", name, "1 each") for name in ("yolk", "white")]
        given = [line("pie", name, f"{number} each") for name, number in lines]
        return paid(shopping(shoot_of(*given, *eggs, *rows)))

    both = cost(("yolk", yolks), ("white", whites))
    assert both == cost(("egg", max(yolks, whites)))
    assert both <= cost(("egg", yolks + whites))
