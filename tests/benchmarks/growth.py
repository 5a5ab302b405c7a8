"""How time grows with a shoot: ``python -m tests.benchmarks.growth``.

In turn lines of recipes, ingredients, shots, containers and episodes are doubled, all else staying
as it is, and everything is worked out, tables included; then lines of a recipe as text are doubled,
and read. Printed for each size is the time of the processor, and below the exponent of the line
fitted through the logarithms: 1 is linear growth. Then what 20,000 ingredients take to be checked,
and up to 50,000 lines to be read, beside two loads by openpyxl, and computed. Nothing is asserted:
machines differ.
"""

from __future__ import annotations

import math
import sys
import tempfile
from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from functools import partial
from pathlib import Path
from time import process_time

from openpyxl import load_workbook

from costing.estimating import estimate
from costing.holding.models import Container, Event, EventKind
from costing.kitchen import Dish, Ingredient, Line, Pack, Part
from costing.quantities import EACH, GRAM, Amount, Measures
from costing.recipe_text import read_recipe
from costing.shoot import Episode, Purpose, Shoot, Shot
from costing.shoot.checks import check_shoot
from costing.shoot.defaults import completed
from costing.shoot.episodes import DayEvent, Logged
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes

CHECKED = 20_000
"""Ingredients that are checked. [ingredient]"""

EIGHTH = Amount(Fraction(125), GRAM)
"""What a line of a season takes of an ingredient."""

READ = (3_000, 20_000, 50_000)
"""Lines that are read and computed. [line]"""


def seconds(work: Callable[[], object]) -> float:
    """What some work takes. [s of processor]"""
    begun = process_time()
    work()
    return process_time() - begun


def exponent(sizes: Sequence[int], taken: Sequence[float]) -> float:
    """The slope of the line fitted through the logarithms by least squares."""
    xs, ys = [math.log(one) for one in sizes], [math.log(one) for one in taken]
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((a - x) * (b - y) for a, b in zip(xs, ys, strict=True)) / sum(
        (a - x) ** 2 for a in xs
    )


def one_dish(lines: int, ingredients: int) -> Shoot:
    """A dish of so many lines over so many ingredients, shot once."""
    names = [f"ingredient {number}" for number in range(ingredients)]
    return Shoot(
        ingredients=tuple(Ingredient(name=name, trim_yield=Fraction(9, 10)) for name in names),
        packs=tuple(
            Pack(ingredient=name, amount=Amount(Fraction(500), GRAM), price=2) for name in names
        ),
        lines=tuple(
            Line(dish="stew", ingredient=names[n % ingredients], amount=Amount(Fraction(90), GRAM))
            for n in range(lines)
        ),
        shots=(Shot(dish="stew"),),
    )


def bowls(count: int) -> Shoot:
    """So many containers of one dish, each out and back."""
    out = datetime(2031, 5, 10, 10, 5)
    times = ((EventKind.OUT, out), (EventKind.BACK, out + timedelta(hours=1)))
    return one_dish(40, 40).changed(
        containers=tuple(
            Container(
                name=f"bowl {number}",
                holds=("stew",),
                events=tuple(Event(kind=kind, at=at) for kind, at in times),
            )
            for number in range(count)
        )
    )


def trays(count: int) -> Shoot:
    """So many bowls, ten on a tray, all of them in one box."""
    whole = bowls(count)
    names = [one.name for one in whole.containers]
    held = {f"tray {at}": names[at : at + 10] for at in range(0, count, 10)}
    log = whole.containers[0].events
    outer = [
        Container(name=n, holds=h, events=log) for n, h in (*held.items(), ("box", list(held)))
    ]
    return whole.changed(containers=(*whole.containers, *outer))


def plates(count: int) -> Shoot:
    """So many episodes, each with a plate that stands until the next shot, logged take by take."""
    whole = days(count)
    return whole.changed(
        dishes=tuple(Dish(name=one.name, photo_life=30) for one in whole.episodes),
        shots=tuple(
            one.model_copy(
                update={
                    "name": f"take {number % 4}",
                    "purpose": Purpose.HERO if number % 4 else Purpose.COOK_THROUGH,
                    "starts": time(9 + number % 4),
                }
            )
            for number, one in enumerate(whole.shots)
        ),
        day_log=tuple(
            Logged(what=f"{one.episode}: take {number % 4}", event=DayEvent.TAKEN)
            for number, one in enumerate(whole.shots)
        ),
    )


def days(count: int) -> Shoot:
    """So many episodes, ten a day, each of a dish of its own with 40 lines and four shots."""
    whole, first = one_dish(40, 40), date(2031, 1, 6)
    names = [f"episode {number}" for number in range(count)]
    return whole.changed(
        lines=tuple(one.model_copy(update={"dish": name}) for name in names for one in whole.lines),
        episodes=tuple(
            Episode(name=name, shoot_date=first + timedelta(days=number // 10))
            for number, name in enumerate(names)
        ),
        shots=tuple(
            Shot(name=f"{name} {number}", dish=name, episode=name, times=1 + number)
            for name in names
            for number in range(4)
        ),
    )


def cut(count: int) -> Shoot:
    """So many episodes, each of which takes parts of one article that is cut two ways."""
    whole, one = days(count), Amount(Fraction(1), EACH)
    parts = (("pressed", "juice", 3), ("pressed", "zest", 1), ("", "juice", 2), ("", "wedge", 6))
    return whole.changed(
        parts=tuple(
            Part(ingredient="lemon", amount=one, name=name, part_amount=gives, way=way)
            for way, name, number in parts
            for gives in (Amount(Fraction(number), EACH),)
        ),
        packs=(*whole.packs, Pack(ingredient="lemon", amount=one, price=1)),
        lines=(
            *whole.lines,
            *(
                Line(dish=episode.name, ingredient=name, amount=Amount(Fraction(2), EACH))
                for number, episode in enumerate(whole.episodes)
                for name in ("juice", "zest", "wedge")[number % 2 :]
            ),
        ),
    )


def sheets(lines: int) -> dict[str, list[dict[str, object]]]:
    """So many lines in dishes of 20 over 300 ingredients, each dish shot once."""
    names = [f"ingredient {number}" for number in range(300)]
    return {
        "Recipes": [
            {
                "Dish": f"dish {number // 20}",
                "Step": number % 20 // 4 + 1,
                "Ingredient": names[number % 300],
                "Amount": 100 + number % 37,
                "Unit": "g",
            }
            for number in range(lines)
        ],
        "Shoot plan": [{"Dish": f"dish {n}", "Purpose": "hero"} for n in range(lines // 20)],
        "Packs": [{"Ingredient": name, "Amount": 250, "Unit": "g", "Price": 2} for name in names],
    }


def shots(count: int) -> Shoot:
    """So many shots of one dish with 40 lines."""
    return one_dish(40, 40).changed(shots=tuple(Shot(dish="stew") for _ in range(count)))


def uncertain(count: int) -> Shoot:
    """So many shots of dishes all different, each taken one to six times, and food too little."""
    foods = [f"food {number}" for number in range(8)]
    return Shoot(
        ingredients=tuple(Ingredient(name=name, trim_yield=Fraction(1)) for name in foods),
        packs=tuple(
            Pack(ingredient=name, amount=Amount(Fraction(100), GRAM), price=1, at_most=3 * count)
            for name in foods
        ),
        lines=tuple(
            Line(
                dish=f"dish {n}",
                ingredient=foods[(3 * n + at) % 8],
                amount=Amount(Fraction(20 + (7 * n + 11 * at) % 60), GRAM),
            )
            for n in range(count)
            for at in range(3)
        ),
        shots=tuple(Shot(dish=f"dish {n}", times=2, fewest=1, most=6) for n in range(count)),
    )


def started(count: int) -> Shoot:
    """The same, each half a minute after the one before: one copy could go through all of them."""
    first = datetime(2031, 5, 10)
    starts = ((first + timedelta(seconds=30 * n)).time() for n in range(count))
    return one_dish(40, 40).changed(
        shots=tuple(Shot(dish="stew", name=f"shot {n}", starts=at) for n, at in enumerate(starts))
    )


def season(count: int) -> Shoot:
    """So many episodes, ten a day, each of a dish of its own with eight lines and 40 shots."""
    whole = days(count)
    names = [one.name for one in whole.ingredients]
    return whole.changed(
        lines=tuple(
            Line(
                dish=one.name, ingredient=names[(8 * n + at) % 40], step=1 + at // 2, amount=EIGHTH
            )
            for n, one in enumerate(whole.episodes)
            for at in range(8)
        ),
        shots=tuple(
            Shot(
                name=f"{one.name} {number}",
                dish=one.name,
                episode=one.name,
                purpose=Purpose.RETAKE if number % 2 else Purpose.HERO,
                steps=(1 + number % 4,) if number % 2 else None,
                times=1 + number % 3,
            )
            for one in whole.episodes
            for number in range(40)
        ),
    )


def one_in_another(count: int) -> Shoot:
    """So many bowls, each emptied into the next."""
    whole = bowls(count)
    first, *others = whole.containers
    pairs = zip(whole.containers, others, strict=False)
    outer = [one.model_copy(update={"holds": (inner.name,)}) for inner, one in pairs]
    return whole.changed(containers=(first, *outer))


def one_copy(count: int) -> Shoot:
    """So many shots of one copy of a dish, each going on with that of the shot before."""
    return one_dish(40, 40).changed(
        shots=tuple(
            Shot(dish="stew", name=f"shot {n}", from_shot=f"shot {n - 1}" if n else "")
            for n in range(count)
        )
    )


GROWING: dict[str, tuple[Sequence[int], Callable[[int], Shoot]]] = {
    "lines": ((2_000, 4_000, 8_000, 16_000), lambda n: one_dish(n, 300)),
    "ingredients": ((250, 500, 1_000, 2_000), lambda n: one_dish(n, n)),
    "shots": ((250, 500, 1_000), shots),
    "shots with Starts": ((250, 500, 1_000), started),
    "uncertain shots": ((3, 4, 5, 6), uncertain),
    "shots of a copy": ((20, 40, 80), one_copy),
    "containers": ((100, 200, 400, 800), bowls),
    "bowls on trays": ((200, 400, 800, 1_600), trays),
    "bowl in bowl": ((20, 40, 80), one_in_another),
    "ways of cut": ((20, 40, 80), cut),
    "episodes": ((20, 40, 80, 160), days),
    "episodes of 40 shots": ((50, 100, 200), season),
    "plates": ((40, 80, 160), plates),
}
"""What is doubled, in which sizes."""

WRITTEN = (475, 950, 1_900)
"""Lines of a recipe as text. [line]"""

RECIPES: dict[str, Callable[[int], str]] = {
    "list with a method": lambda n: (
        "Stew\n\nIngredients\n"
        + "".join(f"{number} g sugar\n" for number in range(1, n // 2))
        + "\nMethod\n"
        + "".join(f"{number}. Stir in the sugar.\n" for number in range(1, n // 2))
    ),
    "row of ingredients": lambda n: "Stew\n\nIngredients: 1 leek, salt,\n" + "2 eggs,\n" * n,
}
"""How many lines are written: each step names all there is, or all are one row."""


def main() -> None:
    """Print the times and the fits."""
    worked_out(cut(2))  # what is imported once counts for nothing that grows
    for what, (sizes, made) in GROWING.items():
        say(what, sizes, [seconds(partial(worked_out, made(size))) for size in sizes])
    for what, written in RECIPES.items():
        say(what, WRITTEN, [seconds(partial(read, written(size))) for size in WRITTEN])
    many = completed(one_dish(CHECKED, CHECKED))[0]
    checking = seconds(lambda: check_shoot(many))
    sys.stdout.write(f"{CHECKED} ingredients checked in {checking:.1f} s\n")
    for lines in READ:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "plan.xlsx"
            path.write_bytes(new_workbook_bytes(rows=sheets(lines)))
            loading = seconds(partial(load_twice, path))
            reading = seconds(partial(read_workbook, path))
            shoot, _ = read_workbook(path)
            computing = seconds(partial(estimate, shoot))
        sys.stdout.write(
            f"{lines} lines: read in {reading:.1f} s, {reading / loading:.2f} of two loads by "
            f"openpyxl; computed in {computing:.1f} s, {computing / reading:.2f} times as long\n"
        )
        sys.stdout.flush()


def say(what: str, sizes: Sequence[int], taken: Sequence[float]) -> None:
    """Print the time of each size, and the fit."""
    said = ", ".join(f"{n}: {t:.2f} s" for n, t in zip(sizes, taken, strict=True))
    sys.stdout.write(f"{what:20} {said}; exponent {exponent(sizes, taken):.2f}\n")
    sys.stdout.flush()


def read(text: str) -> None:
    """A recipe as text."""
    read_recipe(text, kind="text", measures=Measures.METRIC, file_name="stew.txt")


def worked_out(shoot: Shoot) -> None:
    """All there is to say of a shoot."""
    estimate(shoot).tables()


def load_twice(path: Path) -> None:
    """For its formulas, and for their results."""
    load_workbook(path)
    load_workbook(path, data_only=True)


if __name__ == "__main__":
    main()
