"""How many small faults in the rooms the tests notice.

``python -m tests.mutation --note`` runs the whole suite once and keeps which tests go through which
line. ``python -m tests.mutation buying --sample 20 --seed 1`` then puts one small fault at a time
into a copy of the tree (another comparison, ``and`` for ``or``, a number one larger, a condition
turned round, a statement left out), runs the tests that go through it until one fails, and prints
the faults that none noticed, those in which tests did not end, and the score. Where no test is
known to go through it, and where nothing was noted, those of its module, its room and others that
import it are run. Tests that have come since are run without a fault first: they must pass.

Without a room all are sampled. ``--module units`` keeps to one module; ``--more tests/report``
names further tests for faults that those let pass.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from importlib import import_module
from itertools import groupby
from pathlib import Path
from random import Random

from mutation.faults import changes_nothing, fault_at, places
from mutation.through import Noted, note
from mutation.trial import (
    FAILED,
    IMPORTED,
    copied,
    fault_seen,
    file_of,
    modules_of,
    noticed,
    rooms,
    tests_of,
)


def main() -> None:
    """Sample faults as the command line asks, and print the score of each room."""
    parser = argparse.ArgumentParser(prog="tests.mutation")
    parser.add_argument("rooms", nargs="*", metavar="ROOM", help="as buying or workbook/owned; top")
    parser.add_argument("--note", action="store_true", help="run the suite, keep what it runs")
    parser.add_argument("--sample", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--module", action="append", default=[])
    parser.add_argument("--more", action="append", default=[])
    asked = parser.parse_args()
    if asked.note:
        sys.exit(note())
    os.environ["OPENPYXL_LXML"] = "False"  # as the tests' own, before the import
    for package in IMPORTED:
        import_module(package)
    suite = Noted.read()
    if suite is None:
        print("No tests noted (--note): those of each room are run.")  # noqa: T201
    with tempfile.TemporaryDirectory() as name:
        tree = copied(Path(name))
        shown = ((file, fault_seen(tree, tests)) for file, tests in added_by_file(suite))
        if broken := [f"{file}: {how} without a fault" for file, how in shown if how]:
            # in the last round they would notice every fault there is
            sys.exit("\n".join([*broken, "Mend what fails, then run this again."]))
        for room in asked.rooms or rooms():
            score(tree, room, asked, suite)


def added_by_file(suite: Noted | None) -> Iterator[tuple[str, list[str]]]:
    """The tests that have come since the suite was noted, by the files they are in."""
    for file, tests in groupby(suite.added if suite else (), key=file_of):
        yield file, list(tests)


def score(tree: Path, room: str, asked: argparse.Namespace, suite: Noted | None) -> None:
    """Try a sample of the faults of a room in a copy of the tree, and print its score."""
    sources = {m: (tree / m).read_text(encoding="utf-8") for m in modules_of(room, asked.module)}
    every = [(module, place) for module, text in sources.items() for place in places(text)]
    chosen = Random(asked.seed).sample(every, min(asked.sample, len(every)))  # noqa: S311 - no secret
    survived, equivalent, started = 0, 0, time.monotonic()
    for module, place in chosen:
        fault = fault_at(sources[module], module, place)
        if changes_nothing(fault):
            equivalent += 1
            continue
        own, *others = tests_of(module)
        through = suite.rounds(fault, sources[module]) if suite else []
        # what a fixture runs for a whole file is noted of the first test alone: all its own last
        rounds = [*through, own] if through else [own, *others]
        how = noticed(tree, fault, [*rounds, *([asked.more] if asked.more else [])])
        survived += not how
        if how != FAILED:
            said = how or "not noticed"
            print(f"{said}: {module}:{fault.line}: {fault.words}", flush=True)  # noqa: T201
    tried = len(chosen) - equivalent
    print(  # noqa: T201
        f"{room}: {tried - survived} of {tried} noticed "
        f"({100 * (tried - survived) / max(1, tried):.1f} %) of {len(every)} that can be made; "
        f"seed {asked.seed}, {time.monotonic() - started:.0f} s",
        flush=True,
    )


if __name__ == "__main__":
    main()
