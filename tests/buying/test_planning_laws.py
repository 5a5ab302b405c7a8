"""Laws of plans: what must hold whatever the packs, the shops and the numbers of times."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from plans import Kinds, any_plan, packs_bought, shopping

from costing.buying.shopping import Shopping
from costing.kitchen import Shop
from costing.shoot import Shoot

TAKES = Kinds(shots=3, shops=True, stock=True, taxed=True)
seeds = st.integers(0, 10**6)


def cost(found: Shopping) -> Fraction | None:
    """What is compared; ``None`` when the shops have too little."""
    if any(purchase.short for purchase in found.purchases):
        return None
    return found.market.terms.cost(packs_bought(found))


def never_less(shoot: Shoot, other: Shoot) -> None:
    """The second of two shoots costs as much or more, or cannot be bought for."""
    before, after = cost(shopping(shoot)), cost(shopping(other))
    assert after is None or (before is not None and before <= after)


def with_settings(shoot: Shoot, **settings: Any) -> Shoot:
    """The shoot with other settings."""
    return shoot.changed(settings=shoot.settings.model_copy(update=settings))


@given(seeds, st.sampled_from(["0", "0.02", "0.1", "0.25"]), st.sampled_from(["0", "0.1", "0.3"]))
def test_law__more_risk_accepted_never_costs_more(seed: int, risk: str, more: str) -> None:
    """Law: with limits too, where less risk may not be had at all."""
    shoot = any_plan(seed, replace(TAKES, limits=True))
    lower = with_settings(shoot, chance_of_running_out=Fraction(risk))
    higher = with_settings(shoot, chance_of_running_out=Fraction(risk) + Fraction(more))
    never_less(higher, lower)


@given(seeds, st.integers(0, 2), st.integers(1, 2))
def test_law__wider_range_never_costs_less(seed: int, which: int, by: int) -> None:
    """Law, for a chance of running out of 5 % or less: more spread asks for more.

    At a chance near a half the wider range may be the cheaper one: it is at both ends.
    """
    shoot = with_settings(any_plan(seed, TAKES), chance_of_running_out=Fraction(1, 20))
    shots = list(shoot.shots)
    shot = shots[which]
    fewest = shot.times if shot.fewest is None else shot.fewest
    most = shot.times if shot.most is None else shot.most
    shots[which] = shot.model_copy(update={"fewest": max(0, fewest - by), "most": most + by})
    never_less(shoot, shoot.changed(shots=tuple(shots)))


@given(seeds, st.sampled_from(["a", "b"]))
def test_law__shop_removed_never_costs_less(seed: int, name: str) -> None:
    """Law: fewer places to buy cost as much or more, or leave something without a pack."""
    shoot = any_plan(seed, TAKES)
    packs = tuple(pack for pack in shoot.packs if pack.shop != name)
    never_less(shoot, shoot.changed(packs=packs))


@given(seeds, st.sampled_from(["a", "b"]), st.integers(1, 300), st.booleans())
def test_law__dearer_visit_or_minimum_never_costs_less(
    seed: int, name: str, by: int, visit: bool
) -> None:
    """Law: neither a visit that costs more nor a higher minimum makes a basket cheaper."""
    shoot = any_plan(seed, TAKES)
    field = "visit_cost" if visit else "minimum_spend"
    shops = tuple(
        shop.model_copy(update={field: getattr(shop, field) + Decimal(by) / 100})
        if shop.name == name
        else shop
        for shop in shoot.shops
    )
    never_less(shoot, shoot.changed(shops=shops))


@given(seeds, st.integers(0, 2), st.integers(0, 3))
def test_law__one_shot_split_into_certain_ones_changes_nothing(
    seed: int, which: int, first: int
) -> None:
    """Law: n times is k times and n - k times, beside uncertain shots and shops too."""
    shoot = any_plan(seed, TAKES)
    shots = list(shoot.shots)
    certain = shots[which].model_copy(update={"fewest": None, "most": None})
    shots[which] = certain
    whole = shopping(shoot.changed(shots=tuple(shots)))
    parts = [
        certain.model_copy(update={"times": times})
        for times in (min(first, certain.times), max(0, certain.times - first))
    ]
    shots[which : which + 1] = parts
    split = shopping(shoot.changed(shots=tuple(shots)))
    assert cost(split) == cost(whole)
    assert [p.lines for p in split.purchases] == [p.lines for p in whole.purchases]


@given(seeds)
def test_law__range_of_one_number_is_a_certain_number(seed: int) -> None:
    """Law: fewest and most equal to the likeliest say no more than the likeliest alone."""
    shoot = any_plan(seed, TAKES)
    plain = tuple(s.model_copy(update={"fewest": None, "most": None}) for s in shoot.shots)
    narrow = tuple(s.model_copy(update={"fewest": s.times, "most": s.times}) for s in shoot.shots)
    without, with_ranges = (shopping(shoot.changed(shots=shots)) for shots in (plain, narrow))
    assert [p.lines for p in without.purchases] == [p.lines for p in with_ranges.purchases]


@given(seeds)
def test_law__free_visits_without_minimums_change_nothing(seed: int) -> None:
    """Law: shops that cost nothing to visit are as if they were not listed."""
    shoot = any_plan(seed, TAKES)
    free = tuple(Shop(name=shop.name) for shop in shoot.shops)
    listed, unlisted = (shopping(shoot.changed(shops=shops)) for shops in (free, ()))
    assert [p.lines for p in listed.purchases] == [p.lines for p in unlisted.purchases]


@given(seeds, st.sampled_from([TAKES, replace(TAKES, limits=True, counted=True, spoils=True)]))
def test_law__what_is_bought_covers_what_is_said_to_be_covered(seed: int, kinds: Kinds) -> None:
    """Law: exactly, within the limits, with at least the chance asked for or a finding."""
    shoot = any_plan(seed, kinds)
    found = shopping(shoot)
    for purchase in found.purchases:
        assert purchase.bought + purchase.short >= purchase.covered
        for bought in purchase.lines:
            assert bought.pack.at_most is None or bought.count <= bought.pack.at_most
    if found.plan is not None and not found.findings:
        assert found.plan.chance >= 1 - shoot.settings.chance_of_running_out
        assert found.plan.gap == 0
    for shop, minimum in found.market.terms.minimums.items():
        packs = found.plan.basket.packs if found.plan else ()
        if packs and found.market.terms.pays(shop, packs):
            assert found.market.till_of(shop, packs) >= minimum


@given(seeds)
def test_law__same_shoot_same_list(seed: int) -> None:
    """Law: nothing depends on an earlier run, whatever couples the packs."""
    shoot = any_plan(seed, replace(TAKES, counted=True, limits=True))
    one, other = shopping(shoot), shopping(shoot.changed())
    assert [p.lines for p in one.purchases] == [p.lines for p in other.purchases]
    assert one.plan == other.plan
