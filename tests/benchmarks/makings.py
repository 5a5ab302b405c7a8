"""How long a large plan with makings takes: ``python -m tests.benchmarks.makings``.

60 shots, half of them in chains that go on with one copy, 20 uncertain; 80 ingredients, ten dishes
that go into others, some in whole batches and some sold ready; lemons that are cut two ways; three
shops with what a visit costs and one minimum spend. Printed and not asserted: machines differ. It
says whether the basket is proven, or the gap that is told.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random
from time import process_time, time

from costing.buying.need import Needs
from costing.buying.shopping import Shopping
from costing.kitchen import Dish, Ingredient, Line, Pack, Part, Shop
from costing.quantities import EACH, GRAM, MILLILITRE, Amount, Unit
from costing.shoot import Episode, Purpose, Settings, Shoot, Shot
from costing.shoot.defaults import completed

SHOPS = ("a", "b", "c")
INGREDIENTS, MADE, DISHES, UNCERTAIN = 80, 10, 30, 20
CUT = (("pressed", "juice", 3), ("pressed", "zest", 1), ("", "wedge", 6))
"""Ways of cutting a lemon: the part, and how many a lemon gives. [piece]"""


def plan(seed: int, *, shops: bool) -> Shoot:
    """A plan, the same one for the same seed."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names = [f"ingredient {number}" for number in range(INGREDIENTS)]
    made = [f"made {number}" for number in range(MADE)]
    pieces = ["juice", "zest", "wedge"]
    sold = [*names, *random.sample(made, 4), "lemon", "juice"]
    return Shoot(
        settings=Settings(currency="EUR", time_zone="Europe/Lisbon"),
        ingredients=tuple(
            Ingredient(name=name, trim_yield=Fraction(1)) for name in (*names, "lemon", *pieces)
        ),
        packs=tuple(pack for name in sold for pack in _packs(name, random)),
        parts=tuple(
            Part(
                ingredient="lemon",
                amount=Amount(Fraction(1), EACH),
                name=name,
                part_amount=Amount(Fraction(gives), EACH),
                way=way,
            )
            for way, name, gives in CUT
        ),
        shops=tuple(
            Shop(
                name=shop,
                visit_cost=Decimal("2.50"),
                minimum_spend=Decimal(20) if shop == "c" else Decimal(0),
            )
            for shop in SHOPS
            if shops
        ),
        dishes=tuple(
            Dish(
                name=name,
                makes=Amount(Fraction(random.randint(5, 20) * 100), MILLILITRE),
                whole_batches=number % 2 == 0,
            )
            for number, name in enumerate(made)
        ),
        lines=tuple(_lines(random, names, made, pieces)),
        episodes=(Episode(name="One", shoot_date=date(2031, 5, 10)),),
        shots=tuple(_shots(random)),
    )


def _unit(name: str) -> Unit:
    if name.startswith("made"):
        return MILLILITRE
    return GRAM if name.startswith("ingredient") else EACH


def _packs(name: str, random: Random) -> Iterator[Pack]:
    each = random.uniform(0.2, 1.5) if _unit(name) is not EACH else 30
    for shop in SHOPS:
        size = random.choice((1, 6) if _unit(name) is EACH else (125, 250, 500, 750, 1000))
        cents = max(5, round(size * each * random.uniform(0.8, 1.25)))
        price = Decimal(cents) / 100
        amount = Amount(Fraction(size), _unit(name))
        yield Pack(ingredient=name, shop=shop, amount=amount, price=price)


def _lines(random: Random, names: list[str], made: list[str], pieces: list[str]) -> Iterator[Line]:
    def line(dish: str, name: str, step: int, most: int) -> Line:
        amount = Amount(Fraction(random.randint(1, most)), _unit(name))
        return Line(dish=dish, ingredient=name, step=step, amount=amount)

    for number, dish in enumerate(made):
        yield from (line(dish, name, 1, 400) for name in random.sample(names, 4))
        if number % 3 == 2:
            yield line(dish, made[number - 1], 1, 300)
    for number in range(DISHES):
        dish = f"dish {number}"
        for step in (1, 2):
            yield from (line(dish, name, step, 300) for name in random.sample(names, 4))
        yield line(dish, random.choice(made), 2, 400)
        if number % 2:
            yield line(dish, random.choice(pieces), 2, 6)


def _shots(random: Random) -> Iterator[Shot]:
    """Two shots of each dish: the second goes on with the copy of the first, or stands alone."""
    for number in range(DISHES):
        dish, chained = f"dish {number}", number % 2 == 0
        fewest = random.randint(0, 1)
        times = fewest + random.randint(0, 1)
        most, uncertain = times + random.randint(1, 2), number < UNCERTAIN
        steps = (1,) if chained else None
        yield Shot(name=f"A{number}", dish=dish, purpose=Purpose.COOK_THROUGH, steps=steps)
        yield Shot(
            name=f"B{number}",
            dish=dish,
            purpose=Purpose.HERO,
            from_shot=f"A{number}" if chained else "",
            times=times,
            fewest=fewest if uncertain else None,
            most=most if uncertain else None,
        )


def main() -> None:
    """Print a line for each plan."""
    sys.stdout.write("shops     seed  processor s  clock s  packs  proven\n")
    for shops in (False, True):
        for seed in range(3):
            whole = completed(plan(seed, shops=shops))[0]
            begun, at = process_time(), time()
            found = Shopping(Needs(whole), seconds=10.0)
            taken, clock = process_time() - begun, time() - at
            told = [f for f in found.findings if "not proven" in f.code]
            packs = sum(line.count for one in found.purchases for line in one.lines)
            words = told[0].remedy.split(". ")[0] if told else "yes"
            kind = "visits" if shops else "packs"
            figures = f"{kind:9} {seed:4}  {taken:11.1f}  {clock:7.1f}  {packs:5}"
            sys.stdout.write(f"{figures}  {words}\n")


if __name__ == "__main__":
    main()
