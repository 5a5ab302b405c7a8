"""How long a proven basket takes: ``python -m tests.benchmarks.basket_planning``.

Three packs of each ingredient, one at each of three shops, twelve uncertain shots that take eight
or fifteen ingredients each; with and without what a visit costs and a minimum spend. Printed and
not asserted: machines differ. Time is that of the processor, in which the solver works alone;
the growth beside it is against the line before.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random
from time import process_time

from costing.buying.books import books_of
from costing.buying.need import Needs
from costing.buying.shopping import Shopping
from costing.kitchen import Ingredient, Line, Pack, Shop
from costing.quantities import GRAM, Amount
from costing.report.summary_rows import summary
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.shoot.defaults import completed

SIZES = (60, 125, 150, 250, 400, 500, 750, 1000)
SHOPS = ("a", "b", "c")
UNCERTAIN, CERTAIN = 12, 6


def plan(ingredients: int, lines: int, seed: int, *, coupled: bool) -> Shoot:
    """A shoot of so many ingredients, its shots taking so many of them."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names = [f"ingredient {number}" for number in range(ingredients)]
    return Shoot(
        settings=Settings(currency="EUR", time_zone="Europe/Lisbon"),
        ingredients=tuple(
            Ingredient(name=name, trim_yield=Fraction(random.choice((100, 80, 72, 45)), 100))
            for name in names
        ),
        packs=tuple(pack for name in names for pack in _packs(name, random)),
        shops=tuple(
            Shop(name=shop, visit_cost=Decimal("2.50"), minimum_spend=Decimal(20))
            for shop in SHOPS
            if coupled
        ),
        lines=tuple(
            Line(
                dish=f"dish {dish}",
                ingredient=name,
                amount=Amount(Fraction(random.randint(1, 40) * 10), GRAM),
            )
            for dish in range(UNCERTAIN + CERTAIN)
            for name in random.sample(names, min(lines, ingredients))
        ),
        episodes=(Episode(name="One", shoot_date=date(2031, 5, 10)),),
        shots=tuple(_shots(random)),
    )


def _packs(name: str, random: Random) -> Iterator[Pack]:
    unit = random.uniform(0.1, 2)
    for shop in SHOPS:
        size = random.choice(SIZES)
        cents = max(5, round(size * unit * random.uniform(0.8, 1.25) * (1000 / size) ** 0.15))
        price = Decimal(cents) / 100
        yield Pack(ingredient=name, shop=shop, amount=Amount(Fraction(size), GRAM), price=price)


def _shots(random: Random) -> Iterator[Shot]:
    for number in range(UNCERTAIN):
        fewest = random.randint(0, 2)
        times = fewest + random.randint(0, 2)
        most = times + random.randint(1, 3)
        yield Shot(name=f"P{number}", dish=f"dish {number}", fewest=fewest, times=times, most=most)
    for number in range(UNCERTAIN, UNCERTAIN + CERTAIN):
        yield Shot(name=f"C{number}", dish=f"dish {number}", times=random.randint(1, 3))


def seconds(shoot: Shoot) -> tuple[float, float, float]:
    """Time to prove the cheapest basket, to settle its ties too, and for all of Summary. [s]"""
    whole = completed(shoot)[0]
    needs = Needs(whole)
    market = Shopping(needs, seconds=0.0).market
    planner = market.planner()
    chance = 1 - whole.settings.chance_of_running_out
    question = planner.question(planner.values(chance), chance)
    begun = process_time()
    search = planner.search(question)
    found = search.least(search.programme.cost())
    proven = process_time()
    if found.ending.value != "proven":
        raise SystemExit("the basket was not proven")
    planner.plan(chance)
    settled = process_time()
    summary(books_of(whole), (), ())
    return proven - begun, settled - proven, process_time() - settled


def main() -> None:
    """Print a line for each size: the slowest of three plans."""
    for coupled in (False, True):
        shops = "visits and minimums" if coupled else "packs alone"
        for lines in (8, 15):
            before = None
            for ingredients in (10, 20, 60, 100, 200):
                times = [
                    seconds(plan(ingredients, lines, seed, coupled=coupled)) for seed in range(3)
                ]
                proven, settled, shown = (max(one[at] for one in times) for at in range(3))
                growth = "" if before is None else f", {proven / before:.1f} times the line before"
                before = proven
                sys.stdout.write(
                    f"{shops}, {lines} lines a shot, {ingredients} ingredients: proven in "
                    f"{proven:.2f} s, with ties {settled:.2f} s, all of Summary {shown:.1f} s"
                    f"{growth}\n"
                )
                sys.stdout.flush()


if __name__ == "__main__":
    main()
