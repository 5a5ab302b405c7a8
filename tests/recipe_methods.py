"""What share of the ingredients of invented recipes is put to the right step.

Run ``python -m tests.recipe_methods [--wrong]``.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from costing.quantities import Measures
from costing.recipe_text import read_line
from costing.recipe_text.guesses import Placed
from costing.recipe_text.method import NamedLine, placed

RECIPES = Path(__file__).with_name("recipe_text") / "method_recipes.txt"
PARTS = ("open", "held back")


@dataclass(slots=True)
class Recipe:
    """A recipe with the step that takes each ingredient."""

    title: str
    part: str
    lines: list[str] = field(default_factory=list)
    wanted: list[int | None] = field(default_factory=list)
    groups: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)

    def found(self) -> list[Placed | None]:
        """Where the reader puts each ingredient."""
        names = [read_line(line, Measures.METRIC).name for line in self.lines]
        both = zip(names, self.groups, strict=True)
        return placed([NamedLine(name, group) for name, group in both], self.steps)

    def wrong(self) -> Iterator[str]:
        """What stands in another step than it should."""
        for line, wanted, found in zip(self.lines, self.wanted, self.found(), strict=True):
            if (found.step if found else None) != wanted:
                yield f"{self.title}: {line}: {found}, not {wanted}"


def recipes() -> list[Recipe]:
    """Read the list."""
    found: list[Recipe] = []
    part, group = PARTS[0], ""
    for row in RECIPES.read_text(encoding="utf-8").splitlines():
        if row.startswith("== "):
            part = row.removeprefix("== ")
        elif row.startswith("= "):
            found.append(Recipe(row.removeprefix("= "), part))
            group = ""
        elif row.startswith("> "):
            found[-1].steps.append(row.removeprefix("> "))
        elif row.endswith(":"):
            group = row.removesuffix(":")
        elif row and not row.startswith("#"):
            step, _, line = row.partition(": ")
            found[-1].lines.append(line)
            found[-1].wanted.append(None if step == "-" else int(step))
            found[-1].groups.append(group)
    return found


def main() -> None:
    """Print the shares."""
    command = argparse.ArgumentParser()
    command.add_argument("--wrong", choices=PARTS)
    chosen = command.parse_args()
    for part in PARTS:
        mine = [one for one in recipes() if one.part == part]
        lines = sum(len(one.lines) for one in mine)
        wrong = [fault for one in mine for fault in one.wrong()]
        print(f"{part}: {len(mine)} recipes, {lines - len(wrong)} of {lines} lines right")  # noqa: T201
        if chosen.wrong == part:
            print("\n".join(wrong))  # noqa: T201


if __name__ == "__main__":
    main()
