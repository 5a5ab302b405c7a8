"""How long a season takes: ``python -m tests.benchmarks.season_of_workbooks [HOW MANY]``.

Small workbooks (two dishes of four lines, four shots, eight packs), 1,000 of them unless said
otherwise. Printed beside what openpyxl takes to load each of them twice, for its formulas and for
its values, which is the least that reading them takes. Not asserted: machines differ.
"""

from __future__ import annotations

import resource
import sys
import tempfile
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from time import perf_counter

from openpyxl import load_workbook

from costing.kitchen import Ingredient, Line, Pack
from costing.past import takes_learned
from costing.seasons import season
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.workbook.results.write import new_workbook_bytes
from costing.workbook.template.filling import rows_of

FIRST_DAY = date(2031, 1, 6)
DIFFERENT = 10
"""So many different workbooks, each written under many names."""


def small(number: int) -> Shoot:
    """Two dishes with four ingredients each."""
    names = [f"ingredient {one}" for one in range(8)]
    return Shoot(
        settings=Settings(currency="EUR", time_zone="Europe/Lisbon"),
        ingredients=[Ingredient(name=name, trim_yield=Fraction(4, 5)) for name in names],
        packs=[
            Pack(ingredient=name, amount="500 g", price=Decimal(100 + 10 * number + at) / 100)
            for at, name in enumerate(names)
        ],
        lines=[
            Line(dish=f"dish {at // 4}", step=1 + at % 4, ingredient=name, amount="120 g")
            for at, name in enumerate(names)
        ],
        episodes=[
            Episode(
                name=f"E{number}",
                shoot_date=FIRST_DAY + timedelta(days=number),
                portions=4,
                minutes=9,
            )
        ],
        shots=[
            Shot(dish=f"dish {dish}", purpose=purpose, taken=1 + number % 3, ended_by="enough")
            for dish in range(2)
            for purpose in ("cook-through", "hero")
        ],
    )


def main() -> None:
    """Print the time of openpyxl, of a season and of what is learned, and their ratios."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000
    files = [new_workbook_bytes(rows=rows_of(small(number))) for number in range(DIFFERENT)]
    with tempfile.TemporaryDirectory() as folder:
        for number in range(count):
            Path(folder, f"shoot {number}.xlsx").write_bytes(files[number % DIFFERENT])
        begun = perf_counter()
        for path in sorted(Path(folder).iterdir()):
            load_workbook(path)
            load_workbook(path, data_only=True)
        loaded = perf_counter()
        found = season(folder)
        done = perf_counter()
        takes_learned(folder)
        learned = perf_counter()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    least = loaded - begun
    sys.stdout.write(
        f"{len(found.episodes)} workbooks: openpyxl {least:.1f} s, season {done - loaded:.1f} s "
        f"({(done - loaded) / least:.2f} x), takes {learned - done:.1f} s "
        f"({(learned - done) / least:.2f} x), {peak:.0f} MiB\n"
    )


if __name__ == "__main__":
    main()
