"""Small kitchens of every kind, and the least that any way to make, buy and cut costs.

A kitchen is told twice: as a shoot, and in plain numbers from which the least cost is worked out
anew, by trying everything or as a model of a second solver.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import product
from random import Random
from typing import Any

from small import line, lot, pack, part, shoot_of, sound

from costing.kitchen import Dish, Shop
from costing.shoot import Episode, Shoot, Shot

DAY = date(2031, 5, 10)
ZERO = Fraction(0)
Offers = list[tuple[int, Fraction]]
"""What a pack brings, and its price."""


@dataclass
class Kitchen:
    """A kitchen in plain numbers.

    Parameters
    ----------
    parts : list
        The rows of the shoot.
    takes : dict of str to dict of str to int
        By shot what it takes each time. [ml, g, each]
    day_of : dict of str to int
        By shot its day.
    offers : dict of str to Offers
        By ingredient, part or dish.
    recipes : dict of str to dict of str to int
        What a batch of a dish takes.
    makes : dict of str to int
        What a batch of it gives.
    whole : set of str
        Dishes in whole batches.
    keeps : dict of str to int
        Days that what is left of a dish or a part keeps.
    ways : list of (str, dict of str to int)
        Articles and what cutting one gives.
    on_hand : dict of str to int
        Of dishes and parts.
    visits : dict of str to Fraction
        What going to a shop costs; every offer is of the shop at its place.
    """

    parts: list[Any] = field(default_factory=list)
    takes: dict[str, dict[str, int]] = field(default_factory=dict)
    day_of: dict[str, int] = field(default_factory=dict)
    offers: dict[str, Offers] = field(default_factory=dict)
    recipes: dict[str, dict[str, int]] = field(default_factory=dict)
    makes: dict[str, int] = field(default_factory=dict)
    whole: set[str] = field(default_factory=set)
    keeps: dict[str, int] = field(default_factory=dict)
    ways: list[tuple[str, dict[str, int]]] = field(default_factory=list)
    on_hand: dict[str, int] = field(default_factory=dict)
    visits: dict[str, Fraction] = field(default_factory=dict)

    def shoot(self, **settings: Any) -> Shoot:
        """It as a shoot."""
        return shoot_of(*self.parts, currency="EUR", **settings)

    def sell(self, name: str, size: int, unit: str, price: int, shop: str = "") -> None:
        """Another row of Packs."""
        self.parts.append(pack(name, f"{size} {unit}", str(Decimal(price) / 100), shop=shop))
        self.offers.setdefault(name, []).append((size, Fraction(price, 100)))

    def take(self, shot: str, day: int = 0, **how: Any) -> None:
        """Another shot."""
        self.takes[shot] = {}
        self.day_of[shot] = day
        self.parts.append(Shot(name=shot, dish=shot, episode=f"E{day}", **how))

    def of(self, shot: str, name: str, amount: int, unit: str) -> None:
        """What a shot takes each time."""
        self.parts.append(line(shot, name, f"{amount} {unit}"))
        self.takes[shot][name] = self.takes[shot].get(name, 0) + amount

    def cook(self, dish: str, makes: int, takes: Mapping[str, int], **how: Any) -> None:
        """A dish that is made, of grams of ingredients and millilitres of dishes."""
        self.parts.append(Dish(name=dish, makes=f"{makes} ml", **how))
        self.makes[dish], self.recipes[dish] = makes, dict(takes)
        for name, amount in takes.items():
            self.parts.append(line(dish, name, f"{amount} {'ml' if name in self.makes else 'g'}"))
        if how.get("whole_batches"):
            self.whole.add(dish)
        self.keeps[dish] = how.get("keeps_days", 0)

    def cut(self, article: str, way: str, gives: Mapping[str, int]) -> None:
        """A way of cutting an article."""
        self.ways.append((article, dict(gives)))
        self.parts.extend(part(article, n, f"{a} each", way=way) for n, a in gives.items())


def any_kitchen(seed: int, *, uncertain: bool = False) -> Kitchen:
    """A stock for two dishes, eggs in two ways, and packs of everything, on one day."""
    random, kitchen = Random(seed), Kitchen()  # noqa: S311 - nothing secret depends on it
    kitchen.parts += [sound(name) for name in ("bones", "herbs", "yolk", "white", "egg")]
    how: dict[str, Any] = {"whole_batches": random.random() < 0.6}
    bones, herbs = random.choice([300, 700, 1000]), random.choice([20, 60])
    kitchen.cook("stock", random.choice([800, 2000]), {"bones": bones, "herbs": herbs}, **how)
    for shot in ("gravy", "soup"):
        more: dict[str, Any] = {"times": random.randint(1, 2)}
        if uncertain:
            more |= {"fewest": more["times"] - 1, "most": more["times"] + random.randint(0, 1)}
        kitchen.take(shot, **more)
        kitchen.of(shot, "stock", random.choice([150, 400, 650]), "ml")
        kitchen.of(shot, "yolk", random.randint(0, 3) or 1, "each")
        if random.random() < 0.7:
            kitchen.of(shot, "white", random.randint(1, 3), "each")
        if random.random() < 0.5:
            kitchen.of(shot, "herbs", random.choice([5, 30]), "g")
    kitchen.cut("egg", "parted", {"yolk": 1, "white": 1})
    if random.random() < 0.4:
        kitchen.cut("egg", "yolk alone", {"yolk": random.choice([1, 2])})
    kitchen.sell("bones", random.choice([500, 1000]), "g", random.randint(80, 300))
    kitchen.sell("bones", 700, "g", random.randint(80, 300))
    kitchen.sell("herbs", random.choice([25, 40]), "g", random.randint(40, 150))
    kitchen.sell("egg", 1, "each", random.randint(20, 60))
    kitchen.sell("egg", 6, "each", random.randint(100, 250))
    if random.random() < 0.7:
        kitchen.sell("stock", random.choice([500, 1000]), "ml", random.randint(40, 250))
    if random.random() < 0.5:
        kitchen.sell("white", random.choice([2, 5]), "each", random.randint(30, 150))
    if random.random() < 0.4:
        kitchen.on_hand["stock"] = random.choice([100, 500])
        kitchen.parts.append(lot("stock", f"{kitchen.on_hand['stock']} ml", use_by="2031-12-31"))
    kitchen.parts.append(Episode(name="E0", shoot_date=DAY))
    return kitchen


def least_cost(
    kitchen: Kitchen, counts: Mapping[str, int], kept: Mapping[str, Fraction] | None = None
) -> Fraction:
    """The least that covers these numbers of times on one day, by trying everything.

    What is left of ingredients and articles in ``kept`` is worth so much a unit.

    Packs of the dish and of parts and ways of cutting are tried one by one; of the dish what is
    still lacking is made, and what that takes is bought in the cheapest packs, tried one by one.
    """
    drawn: dict[str, int] = {}
    for shot, takes in kitchen.takes.items():
        for name, amount in takes.items():
            drawn[name] = drawn.get(name, 0) + amount * counts[shot]
    least: Fraction | None = None
    (dish,) = kitchen.recipes
    for packs, paid in _bought(kitchen, dish, drawn.get(dish, 0)):
        lacking = max(0, drawn.get(dish, 0) - kitchen.on_hand.get(dish, 0) - packs)
        batches = Fraction(lacking, kitchen.makes[dish])
        batches = Fraction(math.ceil(batches)) if dish in kitchen.whole else batches
        cost = paid
        for name, each in kitchen.recipes[dish].items():
            needed = drawn.get(name, 0) + each * batches
            cost += cheapest(kitchen.offers[name], needed, (kept or {}).get(name, ZERO))
        least = cost if least is None else min(least, cost)
    assert least is not None
    return least + _least_of_parts(kitchen, drawn, (kept or {}).get("egg", ZERO))


def _least_of_parts(kitchen: Kitchen, drawn: Mapping[str, int], kept: Fraction) -> Fraction:
    """The least that articles and packs of parts cost together."""
    names = sorted({name for _, gives in kitchen.ways for name in gives})
    most = sum(drawn.get(name, 0) for name in names)
    least: Fraction | None = None
    for cuts in product(range(most + 1), repeat=len(kitchen.ways)):
        cost = ZERO
        for name in names:
            given = sum(
                times * gives.get(name, 0)
                for times, (_, gives) in zip(cuts, kitchen.ways, strict=True)
            )
            lacking = Fraction(max(0, drawn.get(name, 0) - given))
            if lacking and name not in kitchen.offers:
                break
            cost += cheapest(kitchen.offers.get(name, []), lacking)
        else:
            cost += cheapest(kitchen.offers["egg"], Fraction(sum(cuts)), kept)
            least = cost if least is None else min(least, cost)
    assert least is not None
    return least


def _bought(kitchen: Kitchen, name: str, most: int) -> Iterator[tuple[int, Fraction]]:
    """Every number of packs that may make sense: what they bring, and cost."""
    offers = kitchen.offers.get(name, [])
    for counts in product(*(range(-(-most // size) + 1) for size, _ in offers)):
        pairs = list(zip(counts, offers, strict=True))
        yield (
            sum(count * size for count, (size, _) in pairs),
            sum((count * price for count, (_, price) in pairs), ZERO),
        )


def cheapest(offers: Offers, amount: Fraction, kept: Fraction = ZERO) -> Fraction:
    """The least that packs for an amount cost, less what is left, by trying every number of them.

    ``kept``: what a unit that is left is worth; less than any costs, so that no pack too many is
    bought. [money per base unit]
    """
    if amount <= 0:
        return kept * amount
    size, price = offers[0]
    numbers = range(math.ceil(amount / size) + 1)
    if len(offers) == 1:
        numbers = range(numbers[-1], numbers[-1] + 1)
    return min(
        count * price + cheapest(offers[1:], amount - count * size, kept) for count in numbers
    )


def large_kitchen(seed: int, *, shops: bool) -> Kitchen:
    """Three days, three dishes and parts that keep or not, three ways of cutting, and two shops.

    One dish is inside another; what takes another keeps for no later day: a dish is made on
    the day it first lacks, and not sooner to use up what is left of another, which the second
    solver would do.
    """
    random, kitchen = Random(seed), Kitchen()  # noqa: S311 - nothing secret depends on it
    stuff = [f"i{number}" for number in range(5)]
    kitchen.parts += [sound(name) for name in (*stuff, "lemon")]
    for number, piece in enumerate(("juice", "zest", "wedge")):
        kitchen.keeps[piece] = (0, 1, 5)[(seed + seed // 3 * number) % 3]
        kitchen.parts.append(sound(piece, keeps_days=kitchen.keeps[piece]))
    for dish in ("stock", "sauce", "filling"):
        takes = {name: 10 * random.randint(3, 40) for name in random.sample(stuff, 2)}
        if dish == "sauce":
            takes["stock"] = 10 * random.randint(10, 60)
        kitchen.cook(
            dish,
            100 * random.randint(4, 15),
            takes,
            whole_batches=random.random() < 0.7,
            keeps_days=0 if dish == "sauce" else random.choice([0, 1, 5]),
        )
    for number in range(6):
        shot = f"d{number}"
        kitchen.take(shot, random.randint(0, 2), times=random.randint(1, 3))
        for dish in random.sample(["stock", "sauce", "filling"], 2):
            kitchen.of(shot, dish, 10 * random.randint(5, 50), "ml")
        kitchen.of(shot, random.choice(stuff), 10 * random.randint(1, 30), "g")
        for piece in random.sample(["juice", "zest", "wedge"], 2):
            kitchen.of(shot, piece, random.randint(1, 9), "each")
    kitchen.cut("lemon", "pressed", {"juice": 3, "zest": 1})
    kitchen.cut("lemon", "cut up", {"wedge": 6})
    kitchen.cut("lemon", "halved", {"juice": 1, "wedge": 3})
    for name in (*stuff, "stock", "filling", "lemon", "juice"):
        unit = "each" if name in ("lemon", "juice") else "ml" if name in kitchen.makes else "g"
        for shop in ("a", "b"):
            size = random.choice([1, 4, 10] if unit == "each" else [150, 250, 500, 1000])
            each = 30 if unit == "each" else random.uniform(0.2, 0.6)
            price = round(size * each * random.uniform(0.8, 1.3)) + 15
            kitchen.sell(name, size, unit, price, shop)
    for day in range(3):
        date_of = DAY + timedelta(days=day)
        kitchen.parts.append(Episode(name=f"E{day}", shoot_date=date_of))
    if shops:
        for shop in ("a", "b"):
            cost = Decimal(random.randint(0, 400)) / 100
            kitchen.visits[shop] = Fraction(cost)
            kitchen.parts.append(Shop(name=shop, visit_cost=cost))
    return kitchen
