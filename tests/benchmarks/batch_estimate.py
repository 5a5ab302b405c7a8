"""How long a batch of episodes takes: ``python -m tests.benchmarks.batch_estimate``.

Episodes of a dish each, 40 lines and 8 shots, no uncertainty, over 300 ingredients with packs,
some stock and some spoilage. Printed and not asserted: machines differ. The time for each episode
should stay about the same from line to line, which is linear growth.
"""

from __future__ import annotations

import resource
import sys
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from time import process_time

from costing.buying.books import books_of
from costing.estimating import estimate
from costing.kitchen import Ingredient, Line, Lot, Pack
from costing.quantities import GRAM, Amount
from costing.shoot import Episode, Purpose, Settings, Shoot, Shot
from costing.shoot.defaults import completed

FIRST_DAY = date(2031, 1, 6)
LINES, SHOTS, INGREDIENTS = 40, 8, 300
PURPOSES = (Purpose.COOK_THROUGH, Purpose.SWAP, Purpose.HERO, Purpose.RETAKE)


def batch(episodes: int) -> Shoot:
    """So many episodes, ten a day."""
    names = [f"ingredient {number}" for number in range(INGREDIENTS)]
    return Shoot(
        settings=Settings(currency="EUR", time_zone="Europe/Lisbon", shopping_date=FIRST_DAY),
        ingredients=tuple(
            Ingredient(
                name=name,
                trim_yield=Fraction(60 + number % 40, 100),
                spoilage=Fraction(number % 3, 100),
            )
            for number, name in enumerate(names)
        ),
        packs=tuple(
            Pack(
                ingredient=name,
                shop=f"shop {number % 3}",
                amount=Amount(Fraction(size + 10 * (number % 7)), GRAM),
                price=Decimal(size + number % 50 * 3) / 200,
            )
            for number, name in enumerate(names)
            for size in (250, 1000)
        ),
        lots=tuple(
            Lot(
                ingredient=name,
                amount=Amount(Fraction(5000), GRAM),
                use_by=FIRST_DAY + timedelta(days=20 + number),
            )
            for number, name in enumerate(names)
            if number % 3 == 0
        ),
        lines=tuple(
            Line(
                dish=f"dish {episode}",
                step=1 + at // 10,
                ingredient=names[(7 * episode + at) % INGREDIENTS],
                amount=Amount(Fraction(20 + at), GRAM),
            )
            for episode in range(episodes)
            for at in range(LINES)
        ),
        episodes=tuple(
            Episode(name=f"episode {number}", shoot_date=FIRST_DAY + timedelta(days=number // 10))
            for number in range(episodes)
        ),
        shots=tuple(
            Shot(
                dish=f"dish {episode}",
                episode=f"episode {episode}",
                purpose=PURPOSES[number % 4],
                steps=None if number < 3 else (1 + number % 4,),
                times=1 + number % 3,
            )
            for episode in range(episodes)
            for number in range(SHOTS)
        ),
    )


def main() -> None:
    """Print a line for each size: books alone, then the whole estimate with its tables."""
    for count in (125, 250, 500, 1_000):
        shoot = batch(count)
        begun = process_time()
        books_of(completed(shoot)[0])
        books_done = process_time()
        found = estimate(shoot)
        worked_out = process_time()
        found.tables()
        done = process_time()
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        sys.stdout.write(
            f"{count} episodes: books {books_done - begun:.2f} s "
            f"({1000 * (books_done - begun) / count:.1f} ms each), estimate "
            f"{worked_out - books_done:.2f} s, its tables {done - worked_out:.2f} s "
            f"({1000 * (done - books_done) / count:.1f} ms each), "
            f"{peak:.0f} MiB so far\n"
        )


if __name__ == "__main__":
    main()
