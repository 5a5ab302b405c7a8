"""How long a plan of things takes: ``python -m tests.benchmarks.copies_and_picking``.

Sixty shots of eight dishes, most of them going on with the copy of an earlier one, twenty of them
uncertain; eighty ingredients in three packs each at three shops; ten dishes that go into others,
five of them in whole batches; pieces to pick from by number and by part. With and without what a
visit costs. Printed and not asserted: machines differ. Time is that of the processor.
"""

from __future__ import annotations

import sys
from random import Random
from time import process_time
from typing import Any

from costing.buying.books import books_of
from costing.buying.continuing import could_continue
from costing.kitchen import Dish, Ingredient, Line, Pack, Shop
from costing.shoot import Purpose, Settings, Shoot, Shot
from costing.shoot.defaults import completed

SHOTS, UNCERTAIN, INGREDIENTS, MADE, DISHES, STEPS = 60, 20, 80, 10, 8, 5
SHOPS = ("a", "b", "c")


def plan(seed: int, *, coupled: bool) -> Shoot:
    """A shoot of so many shots; the same one for the same seed."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names = [f"ingredient {number}" for number in range(INGREDIENTS)]
    return Shoot(
        settings=Settings(currency="EUR", time_zone="Europe/Lisbon"),
        ingredients=[Ingredient(name=name, trim_yield=1, piece_weight=40) for name in names],
        packs=[
            Pack(
                ingredient=name,
                amount=f"{size} g",
                price=f"{size * random.randint(80, 120) / 10000:.2f}",
                shop=random.choice(SHOPS),
            )
            for name in names
            for size in (100, 250, 400)
        ],
        shops=[Shop(name=shop, visit_cost=3) for shop in SHOPS if coupled],
        dishes=[
            Dish(name=f"made {number}", makes="1000 g", whole_batches=number % 2 == 0)
            for number in range(MADE)
        ],
        lines=[*_made(random, names), *_shown(random, names)],
        shots=list(_shots(random)),
    )


def _made(random: Random, names: list[str]) -> list[Line]:
    """What goes into the dishes inside others."""
    return [
        Line(dish=f"made {number}", ingredient=name, amount=f"{random.randint(50, 300)} g")
        for number in range(MADE)
        for name in random.sample(names, 3)
    ]


def _shown(random: Random, names: list[str]) -> list[Line]:
    """What goes into the dishes that are shot, two of their lines from other dishes."""
    lines: list[Line] = []
    for number in range(DISHES):
        dish: dict[str, Any] = {"dish": f"dish {number}"}
        for step in range(1, STEPS + 1):
            lines += [
                Line(**dish, step=step, ingredient=name, amount=f"{random.randint(5, 90)} g")
                for name in random.sample(names, 2)
            ]
        for step, other in ((2, number), (3, number + 1)):
            lines.append(Line(**dish, step=step, ingredient=f"made {other}", amount="100 g"))
        how: dict[str, Any] = random.choice([{"candidates": 3}, {"good_enough": "70%"}])
        lines.append(Line(**dish, step=4, ingredient=random.choice(names), amount="2 each", **how))
    return lines


def _shots(random: Random) -> list[Shot]:
    shots: list[Shot] = []
    last: dict[int, tuple[str, int]] = {}
    for number in range(SHOTS):
        dish = number % DISHES
        name, before = last.get(dish, ("", 0))
        if before == STEPS or random.random() < 0.4:
            name, before = "", 0
        to = random.randint(before + 1, STEPS)
        uncertain: dict[str, Any] = {"fewest": 1, "most": 3} if number < UNCERTAIN else {}
        shots.append(
            Shot(
                dish=f"dish {dish}",
                name=f"P{number}",
                purpose=random.choice([Purpose.SWAP, Purpose.HERO, Purpose.COOK_THROUGH]),
                steps=tuple(range(before + 1, to + 1)),
                from_shot=name,
                **uncertain,
            )
        )
        last[dish] = f"P{number}", to
    return shots


def main() -> None:
    """Print the seconds of the books and of the copies that could continue."""
    for coupled in (False, True):
        for seed in (1, 2):
            whole, _ = completed(plan(seed, coupled=coupled))
            start = process_time()
            books = books_of(whole)
            worked_out = process_time()
            found = could_continue(books)
            ended = process_time()
            shopping = books.shopping
            proven = shopping is not None and shopping.plan is not None and shopping.plan.gap == 0
            sys.stdout.write(
                f"{'visits' if coupled else 'no visits':9}  plan {seed}: "
                f"{worked_out - start:5.2f} s, {'proven' if proven else 'not proven'}; "
                f"{len(found)} could go on: {ended - worked_out:.2f} s\n"
            )


if __name__ == "__main__":
    main()
