"""The first hour of somebody new, and the hour of the week after, played and counted.

Run ``python -m tests.first_hour [--show]``: a recipe in metric measures is made into a workbook,
looked at, filled in and worked out; then a second one, in cups and ounces, with the first workbook
as its price book where the command can take one. Printed are the cells typed, the lines and
messages a person reads and those of them that were acted on, and the seconds the machine took.

The recipes, shops and prices are invented. They share ten of their fifteen ingredients, as two
dishes of one kitchen do: fat, flour, eggs, milk and seasoning.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

import openpyxl

TART = """\
Spinach and potato tart

Serves 6

250 g all-purpose flour
125 g butter, diced
1/2 tsp salt
1 egg
2 tbsp olive oil
1 onion, sliced
2 cloves garlic, chopped
400 g potatoes, peeled and sliced
300 g spinach
3 eggs, beaten
200 ml whole milk
100 g cheddar cheese, grated
1/4 tsp black pepper
1/4 tsp ground nutmeg
1 lemon, zested
20 g parsley, chopped

1. Rub the butter into the flour and salt, bind with 1 egg and chill.
2. Soften the onion and garlic in the olive oil, add the potatoes and cook for 15 minutes.
3. Stir in the spinach, pepper, nutmeg and lemon zest.
4. Whisk the beaten eggs with the milk and cheddar, fill the tart and bake for 40 minutes.
5. Scatter the parsley over the tart.
"""

BUNS = """\
Cheddar herb buns

Makes 12 buns

4 cups all-purpose flour
1 tbsp sugar
2 1/4 tsp instant yeast
1 1/2 tsp salt
1 1/4 cups whole milk
4 tbsp butter, melted
2 eggs
8 oz cheddar cheese, grated
2 tbsp chopped chives
1 clove garlic, minced
1/2 tsp black pepper
1 tbsp olive oil
2 tbsp honey
1/2 tsp smoked paprika
1 lemon, zested

1. Mix the flour, sugar, yeast, salt, milk, butter and eggs into a dough.
2. Fold in the cheddar, chives, garlic, black pepper and lemon zest.
3. Shape 12 buns, brush with olive oil and let them rise. Bake for 20 minutes.
4. Warm the honey with the paprika and brush the buns.
"""

PRICES = {
    "all-purpose flour": (1, "kg", 0.95),
    "butter": (250, "g", 2.35),
    "salt": (500, "g", 0.45),
    "egg": (10, "each", 2.80),
    "olive oil": (500, "ml", 5.95),
    "onion": (1, "kg", 1.20),
    "garlic clove": (10, "each", 0.60),
    "potatoes": (1.5, "kg", 2.10),
    "spinach": (300, "g", 1.99),
    "whole milk": (1, "l", 1.10),
    "cheddar cheese": (200, "g", 2.49),
    "black pepper": (50, "g", 1.75),
    "ground nutmeg": (35, "g", 1.95),
    "lemon": (1, "each", 0.35),
    "parsley": (50, "g", 0.99),
    "sugar": (1, "kg", 1.05),
    "instant yeast": (50, "g", 1.49),
    "chives": (25, "g", 0.89),
    "honey": (350, "g", 3.40),
    "smoked paprika": (40, "g", 1.65),
}
"""Pack amount, its unit and its price, by ingredient; invented."""

PLAN = ({"Purpose": "cook-through"}, {"Purpose": "hero"}, {"Purpose": "retake", "Steps": "2"})

TypedIn: TypeAlias = Callable[[Path, Sequence[str]], str]
"""What a command prints that is given to the program in a folder."""

ACTED_ON = frozenset({"pack missing", "shoot plan empty"})
"""Codes of the messages after which the player does what they ask for."""

MESSAGE = re.compile(r"^(?:error|warning|note): .*", re.MULTILINE)
CODE = re.compile(r"\[([a-z ]+)\]")


@dataclass
class Count:
    """What one recipe took.

    Parameters
    ----------
    cells : int
        Typed by the person.
    commands : list of (str, int, int, list of str, float)
        What was typed, its lines, its words, the codes of its messages and its seconds.
    """

    cells: int = 0
    commands: list[tuple[str, int, int, list[str], float]] = field(default_factory=list)

    @property
    def lines(self) -> int:
        """Lines printed by all commands."""
        return sum(lines for _, lines, *_ in self.commands)

    @property
    def messages(self) -> list[str]:
        """Codes of the messages of all commands."""
        return [code for *_, codes, _ in self.commands for code in codes]

    @property
    def seconds(self) -> float:
        """Of the machine."""
        return sum(seconds for *_, seconds in self.commands)


def typed_by_a_person(folder: Path, arguments: Sequence[str]) -> str:
    """What a command prints that is typed in a folder."""
    done = subprocess.run(  # noqa: S603 the commands of this play
        [sys.executable, "-m", "costing", *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    return done.stdout + done.stderr


def run(
    count: Count, folder: Path, arguments: Sequence[str], *, show: bool, typed_in: TypedIn
) -> str:
    """Run a command, and count what it prints."""
    begun = time.perf_counter()
    said = typed_in(folder, arguments)
    seconds = time.perf_counter() - begun
    found = [CODE.findall(one) for one in MESSAGE.findall(said)]
    codes = [codes[-1] if codes else "" for codes in found]
    typed = " ".join(("costing", *arguments))
    count.commands.append((typed, len(said.splitlines()), len(said.split()), codes, seconds))
    if show:
        print(f"$ {typed}\n{said}")  # noqa: T201 asked for by --show
    return said


def headings(sheet: Any) -> tuple[int, dict[str, int]]:
    """Row of the headings of an input sheet, and the column of each."""
    for row in sheet.iter_rows():
        named = {str(cell.value): cell.column for cell in row if cell.value}
        if len(named) > 1:
            return row[0].row or 1, named
    raise ValueError(f"no headings on {sheet.title}")


def type_row(sheet: Any, at: int, row: Mapping[str, object]) -> int:
    """Type a row's cells that do not hold the value yet; gives how many."""
    _, columns = headings(sheet)
    typed = 0
    for heading, value in row.items():
        cell = sheet.cell(at, columns[heading])
        if cell.value != value:
            cell.value = value
            typed += 1
    return typed


def fill_in(path: Path, dish: str) -> int:
    """Type what the workbook lacks: currency, plan, and packs without a price."""
    book = openpyxl.load_workbook(path)
    settings: Any = book["Settings"]
    plan: Any = book["Shoot plan"]
    packs: Any = book["Packs"]
    typed = 0
    for name, value, *_ in settings.iter_rows():
        if name.value == "Currency" and value.value is None:
            settings.cell(value.row, value.column, "EUR")
            typed += 1
    first, _ = headings(plan)
    for number, shot in enumerate(PLAN, start=first + 1):
        about = {"Dish": dish, **shot} if number == first + 1 else shot
        typed += type_row(plan, number, about)
    first, columns = headings(packs)
    for at in range(first + 1, packs.max_row + 1):
        name = packs.cell(at, columns["Ingredient"]).value
        if name and packs.cell(at, columns["Price"]).value is None:
            amount, unit, price = PRICES[str(name)]
            typed += type_row(packs, at, {"Amount": amount, "Unit": unit, "Price": price})
    book.save(path)
    return typed


def play(
    folder: Path, *, show: bool = False, typed_in: TypedIn = typed_by_a_person
) -> dict[str, Count]:
    """Both recipes, the second with the first as its price book where that can be asked for."""
    counts = {"first": Count(), "second": Count()}
    helped = typed_in(folder, ["new", "--help"])
    told: dict[str, Any] = {"show": show, "typed_in": typed_in}
    like = ["--like", "tart.xlsx"] if "--like" in helped else []
    for name, recipe, key in (("tart", TART, "first"), ("buns", BUNS, "second")):
        count, workbook = counts[key], f"{name}.xlsx"
        (folder / f"{name}.txt").write_text(recipe, encoding="utf-8")
        more = like if key == "second" else []
        run(count, folder, ["new", workbook, "--recipe", f"{name}.txt", *more], **told)
        run(count, folder, ["estimate", workbook], **told)
        count.cells = fill_in(folder / workbook, recipe.partition("\n")[0])
        run(count, folder, ["estimate", workbook], **told)
        run(count, folder, ["list", workbook], **told)
    return counts


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--show", action="store_true", help="Print what the commands print.")
    show = parser.parse_args().show
    with tempfile.TemporaryDirectory() as folder:
        counts = play(Path(folder), show=show)
    for key, count in counts.items():
        acted = sum(code in ACTED_ON for code in count.messages)
        print(  # noqa: T201 the measure is printed
            f"{key} recipe: {count.cells} cells typed, {count.lines} lines printed, "
            f"{len(count.messages)} messages, {acted} of them acted on, "
            f"{count.seconds:.1f} s of machine time"
        )
        for typed, lines, words, codes, seconds in count.commands:
            print(  # noqa: T201
                f"  {typed}: {lines} lines, {words} words, {len(codes)} messages, {seconds:.1f} s"
            )


if __name__ == "__main__":
    main()
