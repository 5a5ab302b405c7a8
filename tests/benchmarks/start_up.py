"""What it takes to start: ``python -m tests.benchmarks.start_up``.

Each command against its floor, the least of several runs of each: time of the processor, so that
other programs on the machine count little. Printed and not asserted: machines differ. The floor of
``--help`` is ``python -c pass``; of a command without a workbook a process that only imports click;
of ``list --csv`` and ``estimate`` one that imports what they import, reads the demo workbook with
openpyxl twice, for formulas and for values, and saves it once.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

RUNS = 7
NOTHING, CLICK = ("-c", "pass"), ("-c", "import click")
IMPORTED = """
import sys
import costing.estimating, costing.workbook.reading, costing.workbook.results.write
import costing.cli.screen, costing.cli.printed_list, costing.cli
import openpyxl
for values in (False, True):
    book = openpyxl.load_workbook(sys.argv[1], data_only=values)
book.save(sys.argv[2])
"""


def seconds(*words: str) -> float:
    """The least of several runs of this Python with these words. [s of processor]"""
    least = float("inf")
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *words], stdout=subprocess.DEVNULL, check=True)  # noqa: S603
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        least = min(least, used)
    return least


def main() -> None:
    """Print a line for each command."""
    with tempfile.TemporaryDirectory() as folder:
        demo, copy = Path(folder) / "leek-tart.xlsx", Path(folder) / "copy.xlsx"
        lines = Path(folder) / "list.csv"
        here = ("-m", "costing")
        subprocess.run(  # noqa: S603
            [sys.executable, *here, "demo", folder], stdout=subprocess.DEVNULL, check=True
        )
        whole = ("-c", IMPORTED, str(demo), str(copy))
        for words, floor, against in (
            (("--help",), NOTHING, "python -c pass"),
            (("rules",), CLICK, "import click"),
            (("published", "leek"), CLICK, "import click"),
            (("list", "--csv", str(lines), str(demo)), whole, "imports, reading and saving"),
            (("estimate", str(demo), "--output", str(copy)), whole, "imports, reading and saving"),
        ):
            taken, least = seconds(*here, *words), seconds(*floor)
            sys.stdout.write(
                f"costing {words[0]:10} {taken:6.3f} s, {taken / least:4.1f} times {against} "
                f"({least:.3f} s)\n"
            )


if __name__ == "__main__":
    main()
