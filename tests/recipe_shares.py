"""What share of the lines of a list is read right, asked about, or silently wrong.

Run ``python -m tests.recipe_shares [--wrong]`` to print the shares of ``wild_lines.csv``, and
with ``--wrong`` each line that is not right.

*Right*: name (in either number), amount with unit, cut, Measured and Optional are those of the
list, and a line that the list says must be asked about has a finding. *Asked*: something differs,
and a finding stands at the line. *Silently wrong*: the amount differs, or is blank where the list
has one, and nothing is said of it. *Other*: the amount is right, and a name, cut or mark differs
without a word.
"""

from __future__ import annotations

import argparse
import csv
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from costing.names import key, singular_name
from costing.quantities import (
    AmbiguousNumber,
    Measures,
    UnitNeedsSystem,
    UnknownUnit,
    UnreadableNumber,
    find_unit,
    read_number,
)
from costing.recipe_text import LineParts, read_line

WILD = Path(__file__).with_name("recipe_text") / "wild_lines.csv"
PARTS = (
    *("open", "held back", "third look", "fourth look", "fifth look", "sixth look"),
    *("seventh look", "eighth look", "ninth look"),
)
VERDICTS = ("right", "asked", "silent", "other")

Size = tuple[str, Fraction, Fraction] | str
"""An amount by dimension and ends in grams, millilitres or pieces; else as written."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A line with what was wanted, what was read, and the verdict."""

    line: str
    wanted: tuple[object, ...]
    found: tuple[object, ...]
    verdict: str


def size_of(amount: str, unit: str, measures: Measures) -> Size:
    """Give an amount so that 30 ml and 2 metric tablespoons are the same."""
    if not amount:
        return ""
    try:
        number = read_number(amount)
        if not unit:
            return f"{number.low}-{number.high}"
        found = find_unit(unit, measures)
    except (UnreadableNumber, AmbiguousNumber, UnknownUnit, UnitNeedsSystem):
        return f"{amount} {unit}".strip()
    return found.dimension.value, number.low * found.size, number.high * found.size


def name_of(name: str) -> str:
    """Give a name so that its plural is the same: the tables find both."""
    return singular_name(key(name))


def judged(row: dict[str, str]) -> Judged:
    """Read a line of the list and compare."""
    measures = Measures(row["measures"])
    parts: LineParts = read_line(row["line"], measures)
    wanted_size = size_of(row["amount"], row["unit"], measures)
    found_size = size_of(parts.amount, parts.unit, measures)
    optional = "yes" if parts.optional else ""
    wanted = (name_of(row["name"]), wanted_size, key(row["cut"]), row["measured"], row["optional"])
    found = (name_of(parts.name), found_size, key(parts.cut), parts.measured, optional)
    said = bool(parts.doubts)
    if wanted == found and (said or not row["asked"]):
        verdict = "right"
    elif said:
        verdict = "asked"
    else:
        verdict = "other" if wanted_size == found_size and not row["asked"] else "silent"
    shown = [str(doubt.message.__name__) for doubt in parts.doubts]
    return Judged(row["line"], wanted, (*found, *shown), verdict)


def rows(part: str, path: Path = WILD) -> Iterator[dict[str, str]]:
    """Give the rows of a part of a list."""
    with path.open(encoding="utf-8", newline="") as file:
        yield from (row for row in csv.DictReader(file) if row["part"] == part)


def main() -> None:
    """Print the shares of each part of the list."""
    command = argparse.ArgumentParser()
    command.add_argument("--wrong", action="store_true")
    command.add_argument("--part", choices=PARTS)
    chosen = command.parse_args()
    for part in [chosen.part] if chosen.part else PARTS:
        found = [judged(row) for row in rows(part)]
        counts = {verdict: sum(one.verdict == verdict for one in found) for verdict in VERDICTS}
        shares = ", ".join(f"{v} {n} ({n / len(found):.1%})" for v, n in counts.items())
        print(f"{part}: {len(found)} lines, {shares}")  # noqa: T201 the measure is printed
        for one in found:
            if chosen.wrong and one.verdict != "right":
                print(f"{one.verdict}: {one.line}\n   want {one.wanted}\n   read {one.found}")  # noqa: T201


if __name__ == "__main__":
    main()
