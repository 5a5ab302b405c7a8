"""Imports point down the floors, never in a ring, and each dependency has one door."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from tree_files import TREE, modules, name, parsed

FLOORS = {
    "costing.findings": 0,
    "costing.listing": 0,
    "costing.names": 0,
    "costing.quantities": 0,
    "costing.workbook.package": 1,  # the file format of any workbook, knows nothing of ours
    "costing.workbook.owned": 2,
    "costing.reference": 1,
    "costing.recipe_text": 2,  # knows the published foods, so that a strange word is noticed
    "costing.holding": 2,
    "costing.kitchen": 2,
    "costing.shoot": 3,
    "costing.buying": 4,
    "costing.prep": 4,
    "costing.closing": 5,  # what happened, beside what was planned: knows no table yet
    "costing.report.tables": 3,  # what a result table is, and which there are: no rows yet, so
    "costing.report.layouts": 4,  # that the readers know the sheets they are not to read
    "costing.report": 6,
    "costing.workbook": 6,
    "costing.estimating": 7,
    "costing.workbook.results": 8,  # writes an estimate into a workbook, so it is above both
    "costing.past": 9,
    "costing.seasons": 10,
    "costing.new_workbook": 10,
    "costing.asked": 8,
    "costing.day": 10,
    "costing.cli": 11,
    "costing.__main__": 12,
}
"""The longest name that fits decides; a module may import what stands lower, and its own room."""

GROUND = ("costing.findings", "costing.listing", "costing.names", "costing.quantities")
"""May import each other: words, names and amounts, which know nothing of food."""

DOORS = {
    "babel": ("costing.quantities.money",),
    "click": ("costing.cli",),
    "numpy": (
        "costing.buying.solver",
        "costing.buying.minimum_spend",
        "costing.buying.ways",
    ),
    "icalendar": ("costing.report.calendar",),
    "openpyxl": ("costing.workbook.package.numberformats",),
    "pandas": ("costing.report.exchange",),
    "pydantic": ("costing",),
    "pydantic_core": ("costing.quantities.fields",),
    "rapidfuzz": ("costing.names",),
    "rich": ("costing.cli.screen",),
    "scipy": ("costing.buying.solver", "costing.shoot.times"),
    "segno": ("costing.day.server",),
    "tzlocal": ("costing.shoot.settings",),
    "waitress": ("costing.day.server",),
    "xlsxwriter": ("costing.workbook.template", "costing.workbook.results.charts"),
}
"""Where each third-party package may be imported; one that is not listed has no door yet."""

PUBLIC_NAMES = "costing"
"""The package itself names what is public, from every floor."""


@dataclass(frozen=True)
class Import:
    """One import statement."""

    importer: str
    imported: str
    line: int
    when_run: bool
    at_once: bool

    def __str__(self) -> str:
        return f"{self.importer}, line {self.line}: {self.imported}"


def module_name(path: Path) -> str:
    parts = path.relative_to(TREE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


PATHS = {module_name(path): path for path in modules("costing")}


@cache
def imports_of(module: str) -> list[Import]:
    """Every import of a module, those inside functions and those for types alone too."""

    def walk(node: ast.AST, when_run: bool, at_once: bool) -> Iterator[Import]:
        for child in ast.iter_child_nodes(node):
            runs, now = when_run, at_once
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
                runs = False
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                now = False
            if isinstance(child, ast.Import):
                for alias in child.names:
                    yield Import(module, alias.name, child.lineno, runs, now)
            elif isinstance(child, ast.ImportFrom):
                source = child.module or ""
                for alias in child.names:
                    deeper = f"{source}.{alias.name}"
                    target = deeper if deeper in PATHS else source
                    yield Import(module, target, child.lineno, runs, now)
            else:
                yield from walk(child, runs, now)

    return list(walk(parsed(PATHS[module]), True, True))


def within(module: str, room: str) -> bool:
    return module == room or module.startswith(room + ".")


def room_of(module: str) -> str | None:
    """The room a module belongs to; ``None`` for a module that has no floor."""
    return max((room for room in FLOORS if within(module, room)), key=len, default=None)


@pytest.mark.parametrize("module", sorted(set(PATHS) - {PUBLIC_NAMES}))
def test_imports__every_module_has_a_floor(module: str) -> None:
    """A new room is given its floor here before it is built."""
    assert room_of(module) is not None


def test_imports__point_down() -> None:
    """From a room into a lower one, or about in the same room; types count too."""
    wrong = []
    for module in PATHS:
        if module == PUBLIC_NAMES:
            continue
        room = room_of(module)
        for one in imports_of(module):
            other = room_of(one.imported)
            if not within(one.imported, "costing") or room is None or room == other:
                continue
            if other is None and one.imported == PUBLIC_NAMES and FLOORS[room] >= 6:
                continue  # the version, for those who show it
            on_the_ground = room in GROUND and other in GROUND
            if other is None or (FLOORS[other] >= FLOORS[room] and not on_the_ground):
                wrong.append(str(one))
    assert not wrong, "\n".join(dict.fromkeys(wrong))


def test_imports__the_file_format_could_stand_alone() -> None:
    """The room of the file format takes from the others nothing but how a finding is worded."""
    taken = {
        one.imported
        for module in PATHS
        if within(module, "costing.workbook.package")
        for one in imports_of(module)
        if within(one.imported, "costing") and not within(one.imported, "costing.workbook.package")
    }
    assert taken == {"costing.findings"}


def test_imports__each_dependency_has_one_door() -> None:
    """Names for types alone may be used anywhere: they bring nothing in."""
    wrong = []
    for module in PATHS:
        for one in imports_of(module):
            package = one.imported.partition(".")[0]
            if package in sys.stdlib_module_names or package in ("costing", "") or not one.when_run:
                continue
            if not any(within(module, door) for door in DOORS.get(package, ())):
                wrong.append(str(one))
    assert not wrong, "\n".join(dict.fromkeys(wrong))


def test_imports__every_door_is_used() -> None:
    """A door nobody goes through belongs out of the list."""
    packages = {one.imported.partition(".")[0] for module in PATHS for one in imports_of(module)}
    assert sorted(DOORS.keys() - packages) == []


def test_imports__no_rings() -> None:
    """No module that imports itself by way of others while it is being imported."""
    below = {
        module: {
            target
            for one in imports_of(module)
            if one.when_run and one.at_once and (target := one.imported) in PATHS
        }
        - {module}
        for module in PATHS
    }
    done: set[str] = set()
    rings: list[str] = []

    def visit(module: str, path: list[str]) -> None:
        if module in path:
            rings.append(" > ".join([*path[path.index(module) :], module]))
        elif module not in done:
            for target in sorted(below[module]):
                visit(target, [*path, module])
            done.add(module)

    for module in sorted(below):
        visit(module, [])
    assert not rings, "\n".join(rings)


def test_imports__a_wrong_one_would_be_seen() -> None:
    """The check can fail: it sees imports in functions, for types, and of single names."""
    seen = {str(one).partition(": ")[2] for one in imports_of("costing.quantities.money")}
    assert {"babel.numbers", "decimal", "fractions"} <= seen
    assert any(
        one.imported == "pandas" and not one.when_run
        for one in imports_of("costing.report.estimates")
    )
    assert room_of("costing.workbook.results.write") == "costing.workbook.results"
    assert name(PATHS["costing.estimating"]) == "costing/estimating.py"
