"""How long results take to be written: ``python -m tests.benchmarks.result_writing``.

Printed and not asserted: machines differ. The time of the first writing, formulas and charts
included, should stay near the time that reading the same workbook takes.
"""

from __future__ import annotations

import sys
import tempfile
from itertools import pairwise
from pathlib import Path
from time import perf_counter

from costing.estimating import estimate
from costing.workbook.reading import read_workbook
from costing.workbook.results.new import new_workbook_bytes
from costing.workbook.results.write import with_results
from costing.workbook.template.cells import Row

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
                "Dish": f"dish {number % dishes}",
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


def ratios(count: int) -> str:
    """The times of one size, as parts of the time that reading takes."""
    data = new_workbook_bytes(rows=rows(count))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        path.write_bytes(data)
        clock = [perf_counter()]
        shoot, findings = read_workbook(path)
    clock.append(perf_counter())
    result = estimate(shoot)
    clock.append(perf_counter())
    first, _ = with_results(data, result, findings)
    clock.append(perf_counter())
    with_results(first.data, result, findings)
    clock.append(perf_counter())
    reading, estimating, writing, again = (b - a for a, b in pairwise(clock))
    return (
        f"{count} rows a sheet: reading takes {reading:.2f} s; in parts of that estimate "
        f"{estimating / reading:.2f}, write {writing / reading:.2f}, again {again / reading:.2f}\n"
    )


def main() -> None:
    """Print a line for each size."""
    for count in (200, 1_000, 5_000):
        sys.stdout.write(ratios(count))


if __name__ == "__main__":
    main()
