"""The constraints files of the lowest and the newest versions say what pyproject.toml allows."""

from __future__ import annotations

import importlib.util
import re
from types import ModuleType

import pytest
from tree_files import TREE


def versions() -> ModuleType:
    """``.ci/versions.py`` as a module."""
    found = importlib.util.spec_from_file_location("versions", TREE / ".ci" / "versions.py")
    assert found is not None
    assert found.loader is not None
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


def number(line: str, sign: str) -> tuple[int, ...]:
    """The version behind a sign, as numbers that compare; blanks at its end count as 0."""
    found = re.search(rf"{sign}([0-9.]+)", line)
    assert found is not None, line
    numbers = [int(part) for part in found[1].split(".")]
    return tuple(numbers + [0] * (4 - len(numbers)))


def test_lowest__are_the_lower_bounds_of_pyproject() -> None:
    run, _ = versions().named()
    lowest = versions().pinned("lowest")
    wrong = [
        line for line in run if number(line, ">=") != number(lowest[versions().name_of(line)], "==")
    ]
    assert wrong == []


def test_newest__name_every_package_and_none_below_its_lowest() -> None:
    run, _ = versions().named()
    lowest, newest = versions().pinned("lowest"), versions().pinned("newest")
    names = {versions().name_of(line) for line in run}
    assert set(newest) == names
    assert all(number(newest[n], "==") >= number(lowest[n], "==") for n in names)


@pytest.mark.parametrize("which", ["lowest", "newest"])
def test_requirements__are_what_runs_and_what_tests_without_linters(which: str) -> None:
    asked = versions().requirements(which)
    names = {versions().name_of(line) for line in asked}
    assert {"pandas", "pytest", "waitress"} <= names
    assert not [name for name in names if "stubs" in name or name in ("ruff", "mypy")]
    assert "pandas" in asked  # its version stands in the constraints file


def test_ci__tests_of_the_doors_are_there() -> None:
    """Those that are run with the lowest and the newest versions."""
    text = (TREE / ".ci" / "run").read_text(encoding="utf-8")
    doors = text.partition('doors="')[2].partition('"')[0].split()
    assert len(doors) > 10
    assert [path for path in doors if not (TREE / path).exists()] == []
