"""How long shopping over days takes: ``python -m tests.benchmarks.shopping_over_days``.

Twelve episodes over eight weeks, eighty ingredients of which a half keeps for days and a quarter
for weeks, a pack of each at each of three shops that open on days of their own; with and without
what a visit costs. Printed and not asserted: machines differ. Time is that of the processor, in
which the solver works alone.
"""

from __future__ import annotations

import sys
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random
from time import process_time

from costing.buying.need import Needs
from costing.buying.shopping import Shopping
from costing.kitchen import Ingredient, Line, Pack, Shop
from costing.quantities import GRAM, Amount
from costing.shoot import Episode, Settings, Shoot, Shot, Trip
from costing.shoot.defaults import completed

EPISODES, WEEKS, INGREDIENTS, SHOPS = 12, 8, 80, ("market", "grocer", "delivery")
SIZES = (60, 125, 150, 250, 400, 500, 750, 1000)
FIRST = date(2031, 5, 5)


def plan(seed: int, *, visits: bool, uncertain: int = 0) -> Shoot:
    """A season; each dish takes twelve of the ingredients."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names = [f"ingredient {number}" for number in range(INGREDIENTS)]
    days = sorted(random.sample(range(4, 7 * WEEKS), EPISODES))
    return Shoot(
        settings=Settings(
            currency="EUR",
            time_zone="Europe/Lisbon",
            shopping_date=FIRST,
            more_shopping_dates=tuple(FIRST + timedelta(days=7 * week) for week in range(1, WEEKS)),
        ),
        ingredients=tuple(_ingredient(name, random) for name in names),
        packs=tuple(pack for name in names for pack in _packs(name, random)),
        shops=tuple(Shop(name=shop, visit_cost=Decimal("2.50")) for shop in SHOPS if visits),
        trips=tuple(
            Trip(shop=shop, day=FIRST + timedelta(days=day))
            for shop, weekdays in (("market", (1, 4)), ("delivery", (2,)))
            for week in range(WEEKS)
            for day in (7 * week + weekday for weekday in weekdays)
        ),
        lines=tuple(
            Line(dish=f"dish {dish}", ingredient=name, amount=Amount(Fraction(grams), GRAM))
            for dish in range(EPISODES)
            for name in random.sample(names, 12)
            for grams in [random.randint(1, 40) * 10]
        ),
        episodes=tuple(
            Episode(name=f"E{number}", shoot_date=FIRST + timedelta(days=day))
            for number, day in enumerate(days)
        ),
        shots=tuple(
            Shot(
                dish=f"dish {number}",
                episode=f"E{number}",
                times=2,
                most=4 if number < uncertain else None,
            )
            for number in range(EPISODES)
        ),
    )


def _ingredient(name: str, random: Random) -> Ingredient:
    sealed, opened = random.choice(((3, 2), (6, 3), (30, 5), (400, 30)))
    return Ingredient(
        name=name,
        trim_yield=Fraction(1),
        published_keeps=Fraction(sealed),
        published_keeps_opened=Fraction(opened),
    )


def _packs(name: str, random: Random) -> list[Pack]:
    unit = random.uniform(0.1, 2)
    packs = []
    for shop in SHOPS:
        size = random.choice(SIZES)
        cents = max(5, round(size * unit * random.uniform(0.8, 1.25) * (1000 / size) ** 0.15))
        price = Decimal(cents) / 100
        packs.append(
            Pack(ingredient=name, shop=shop, amount=Amount(Fraction(size), GRAM), price=price)
        )
    return packs


def main() -> None:
    """Print a line for each kind of plan: the slowest of three."""
    for visits, uncertain in ((False, 0), (False, 6), (True, 0), (True, 6)):
        slowest, proofs = 0.0, []
        for seed in range(3):
            whole = completed(plan(seed, visits=visits, uncertain=uncertain))[0]
            needs = Needs(whole)
            begun = process_time()
            shopping = Shopping(needs)
            slowest = max(slowest, process_time() - begun)
            told = [f.remedy for f in shopping.findings if f.code.endswith("not proven")]
            proofs += [words.split(". ")[0] for words in told] or ["proven"]
        what = "visits cost" if visits else "visits are free"
        sys.stdout.write(
            f"{EPISODES} episodes over {WEEKS} weeks, {INGREDIENTS} ingredients, {len(SHOPS)} "
            f"shops, {what}, {uncertain} uncertain shots: {slowest:.1f} s; {'; '.join(proofs)}\n"
        )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
