"""Small plans of every kind, and the best of all baskets found by trying every one."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import product
from random import Random
from typing import Any

from small import line, lot, pack, shoot_of, sound

from costing.buying.articles import Packs
from costing.buying.market import Market
from costing.buying.need import Needs
from costing.buying.shopping import Shopping
from costing.kitchen import Shop
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.defaults import completed

DAY = date(2031, 5, 10)
ZERO = Fraction(0)
Rank = tuple[Fraction, Fraction, int, int]
"""Cost, value left over, packs, shops."""


@dataclass(frozen=True)
class Kinds:
    """What a plan may have."""

    shots: int = 2
    ingredients: int = 2
    shops: bool = False
    counted: bool = False
    limits: bool = False
    stock: bool = False
    spoils: bool = False
    taxed: bool = False


def hard_plan(shots: int = 10, ingredients: int = 8) -> Shoot:
    """So many uncertain shots of so many ingredients, far too many to settle in no time."""
    names = [f"i{number}" for number in range(ingredients)]
    parts: list[Any] = [sound(name) for name in names]
    for number in range(shots):
        parts += [
            line(f"d{number}", name, f"{37 + 91 * number * at % 173} g")
            for at, name in enumerate(names, start=1)
        ]
        parts.append(Shot(dish=f"d{number}", name=f"P{number}", fewest=0, times=2, most=6))
    for at, name in enumerate(names, start=1):
        parts += [
            pack(name, f"{size} g", str(Decimal(size * at + 23) / 100)) for size in (110, 230, 540)
        ]
    return shoot_of(*parts, currency="EUR")


def any_plan(seed: str | int, kinds: Kinds) -> Shoot:
    """A plan small enough to try every basket, the same one for the same seed."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names = ["almond", "beet", "chard"][: kinds.ingredients]
    days = [0, random.choice([0, 1, 2])]
    parts: list[Any] = [
        Episode(name=f"E{number}", shoot_date=DAY + timedelta(days=day))
        for number, day in enumerate(days)
    ]
    for number in range(kinds.shots):
        dish = f"dish {number}"
        parts.extend(
            line(dish, name, f"{random.choice([40, 90, 125, 130])} g")
            for name in random.sample(names, random.randint(1, len(names)))
        )
        fewest = random.randint(0, 2)
        times = fewest + random.randint(0, 1)
        uncertain = random.random() < 0.8
        parts.append(
            Shot(
                name=f"P{number}",
                dish=dish,
                episode=f"E{random.randint(0, 1)}",
                times=times,
                fewest=fewest if uncertain else None,
                most=times + random.randint(0, 2) if uncertain else None,
            )
        )
    for name in names:
        parts.append(
            sound(
                name,
                spoilage=random.choice([ZERO, Fraction(1, 10)]) if kinds.spoils else ZERO,
                keeps_days=random.choice([None, Fraction(10)]) if kinds.counted else None,
            )
        )
        parts.extend(_packs(random, name, kinds))
        if kinds.stock and random.random() < 0.6:
            day = random.choice([None, 0, 1])
            use_by = None if day is None else DAY + timedelta(days=day)
            parts.append(lot(name, f"{random.choice([50, 120])} g", use_by=use_by))
    if kinds.shops:
        parts.extend(
            Shop(
                name=name,
                visit_cost=Decimal(random.choice([0, 1, 2])),
                minimum_spend=Decimal(random.choice([0, 0, 3, 6])),
            )
            for name in ("a", "b")
        )
    return shoot_of(
        *parts,
        currency="EUR",
        prices_include_tax=not kinds.taxed,
        tax_rate=Fraction(7, 100),
        chance_of_running_out=Fraction(random.choice([0, 1, 5, 20, 40]), 100),
        leftovers_counted=Fraction(random.choice([1, 2]), 2) if kinds.counted else ZERO,
        shopping_date=DAY - timedelta(days=1),
    )


def _packs(random: Random, name: str, kinds: Kinds) -> Iterator[Any]:
    for shop in random.sample(["a", "b", ""], random.randint(1, 2)):
        size = random.choice([100, 150, 250])
        loose = random.random() < 0.2
        yield pack(
            name,
            f"{size} g",
            str(Decimal(random.randint(50, 300)) / 100),
            shop=shop,
            loose="50 g" if loose else None,
            at_most=random.choice([None, 1, 2, 4]) if kinds.limits else None,
        )


def shopping(shoot: Shoot, **how: Any) -> Shopping:
    """The shopping of a shoot."""
    return Shopping(Needs(completed(shoot)[0]), **how)


def packs_bought(found: Shopping) -> list[Packs]:
    """What is bought, as baskets are compared: by article and offer."""
    bought = {id(one.demand): one.lines for one in found.purchases}
    return [
        tuple(
            sum(line.count for line in bought[id(one.demand)] if line.pack is offer.pack)
            for offer in one.offers
        )
        for one in found.market.sold
    ]


def every_caps(market: Market, chance: Fraction) -> Iterator[dict[int, int]]:
    """All caps within which every shot stays with at least a chance."""
    shots = list(market.times)
    for caps in product(*(market.times[shot].numbers for shot in shots)):
        within = math.prod(
            (market.times[s].chance_within(k) for s, k in zip(shots, caps, strict=True)),
            start=Fraction(1),
        )
        if within >= chance:
            yield dict(zip(shots, caps, strict=True))


def wanted(market: Market, caps: Mapping[int, int]) -> tuple[Fraction, ...]:
    """What must be bought for these caps."""
    return tuple(
        max(ZERO, one.demand.wanted(one.demand.as_bought(caps, market.planned)))
        for one in market.sold
    )


def least_rank(market: Market, chance: Fraction) -> Rank | None:
    """The rank of the best of all baskets; ``None`` when none will do."""
    needs = {wanted(market, caps) for caps in every_caps(market, chance)}
    least = [n for n in needs if not any(m != n and _within(m, n) for m in needs)]
    ranks = (
        market.terms.rank(packs)
        for packs in every_basket(market, needs)
        if any(_covers(market, packs, need) for need in least)
        and all(
            not market.terms.pays(shop, packs) or market.till_of(shop, packs) >= minimum
            for shop, minimum in market.terms.minimums.items()
        )
    )
    return min(ranks, default=None)


def _within(one: Sequence[Fraction], other: Sequence[Fraction]) -> bool:
    return all(a <= b for a, b in zip(one, other, strict=True))


def _covers(market: Market, packs: Sequence[Packs], need: Sequence[Fraction]) -> bool:
    articles = zip(market.terms.articles, packs, need, strict=True)
    return all(article.supply(counts) >= amount for article, counts, amount in articles)


def every_basket(market: Market, needs: set[tuple[Fraction, ...]]) -> Iterator[tuple[Packs, ...]]:
    """All packs that may make sense: none more of a kind than the need or a minimum asks for."""
    choices = []
    for number, article in enumerate(market.terms.articles):
        most = max((need[number] for need in needs), default=ZERO)
        ranges = []
        for offer in article.offers:
            upper = math.ceil(most / offer.amount)
            minimum = market.terms.minimums.get(offer.shop, ZERO)
            if minimum and offer.price and most:
                upper += math.ceil(minimum / offer.price)
            ranges.append(
                range(1 + (upper if offer.at_most is None else min(upper, offer.at_most)))
            )
        choices.append(list(product(*ranges)))
    yield from product(*choices)
