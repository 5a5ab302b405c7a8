"""How long results take to be written: ``python -m tests.benchmarks.result_writing``.

Printed and not asserted: machines differ. Each writing, formulas and charts included, should stay
near the time that reading the workbook takes into which it writes; the second one writes over the
results of the first. Writing makes the tables, whose time is told beside it.
"""

from __future__ import annotations

import gc
import sys
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from time import process_time
from typing import TypeVar

from costing.estimating import estimate
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes, with_results
from costing.workbook.template.cells import Row

T = TypeVar("T")

INGREDIENTS = 300
LINES_A_DISH = 20
SHOTS_AN_EPISODE = 8


def rows(count: int) -> dict[str, list[Row]]:
    """So many recipe lines, shots and packs."""
    dishes = max(1, count // LINES_A_DISH)
    return {
        "Recipes": [
            {
                "Dish": f"dish {number // LINES_A_DISH}",
                "Step": number % LINES_A_DISH // 4 + 1,
                "Ingredient": f"ingredient {number % INGREDIENTS}",
                "Amount": 100 + number % 37,
                "Unit": "g",
            }
            for number in range(count)
        ],
        "Shoot plan": [
            {
                "Shot": f"S{number}",
                "Episode": f"episode {number // SHOTS_AN_EPISODE}",
                "Dish": f"dish {number // SHOTS_AN_EPISODE % dishes}",
                "Purpose": "retake",
                "Steps": "1-3",
                "Times": 2,
            }
            for number in range(count)
        ],
        "Packs": [
            {
                "Ingredient": f"ingredient {number % INGREDIENTS}",
                "Amount": 250 + number % 13,
                "Unit": "g",
                "Price": 1 + number % 97 / 100,
            }
            for number in range(count)
        ],
        "Ingredients": [
            {"Ingredient": f"ingredient {number}", "Trim yield %": 90, "Holding class": "none"}
            for number in range(INGREDIENTS)
        ],
    }


def timed(work: Callable[[], T]) -> tuple[float, T]:
    """Seconds of the processor that work takes, and what it gives, without garbage of before."""
    gc.collect()
    start = process_time()
    found = work()
    return process_time() - start, found


def ratios(count: int) -> str:
    """The times of one size: each writing as a part of reading the workbook it writes into."""
    data = new_workbook_bytes(rows=rows(count))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        path.write_bytes(data)
        reading, (shoot, _) = timed(partial(read_workbook, path))
        estimating, result = timed(partial(estimate, shoot))
        tables, _ = timed(result.tables)
        writing, (first, _) = timed(partial(with_results, data, result))
        path.write_bytes(first.data)
        reading_results, _ = timed(partial(read_workbook, path))
        again, _ = timed(partial(with_results, first.data, result))
    return (
        f"{count} rows a sheet: reading takes {reading:.2f} s; in parts of that estimate "
        f"{estimating / reading:.2f}, tables {tables / reading:.2f}, write "
        f"{writing / reading:.2f}; with results reading takes {reading_results:.2f} s, write "
        f"again {again / reading_results:.2f}; {len(data) // 1024} KB become "
        f"{len(first.data) // 1024}\n"
    )


def main() -> None:
    """Print a line for each size."""
    for count in (200, 1_000, 5_000):
        sys.stdout.write(ratios(count))


if __name__ == "__main__":
    main()
