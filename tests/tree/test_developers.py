"""DEVELOPERS.md names files and functions that are there."""

from __future__ import annotations

import importlib
import re

import pytest
from tree_files import TREE, files, modules, name

TEXT = (TREE / "DEVELOPERS.md").read_text(encoding="utf-8")
ROOMS = TREE / "costing"
NAMED = sorted(set(re.findall(r"`([^`\n]+)`", TEXT)))
FILES = [one for one in NAMED if re.fullmatch(r"[\w/.-]+\.(py|txt|csv|toml|md)", one)]
PATH_OF_ONE_CELL = TEXT.partition("## The path of one cell")[2].partition("\n## ")[0]
DOTTED = sorted(set(re.findall(r"`((?:[a-z_]+\.)+\w+)`", PATH_OF_ONE_CELL)))
MODULES = [
    ".".join(path.relative_to(TREE).with_suffix("").parts).removesuffix(".__init__")
    for path in modules("costing")
]


def test_developers__names_something() -> None:
    """The two lists below are not empty because the paper is written otherwise."""
    assert len(FILES) > 30
    assert len(DOTTED) > 10


@pytest.mark.parametrize("file", FILES)
def test_developers__files_are_there(file: str) -> None:
    """By its whole path, from the package on, or by its last parts."""
    assert any(f"/{name(path)}".endswith(f"/{file}") for path in files())


@pytest.mark.parametrize("said", DOTTED)
def test_developers__path_of_one_cell_is_by_names_that_are_there(said: str) -> None:
    """The last part is a name of the module that the others say, or that module itself."""
    module, _, what = said.rpartition(".")
    if any(one.endswith(f".{said}") for one in MODULES):
        return
    found = [one for one in MODULES if one.endswith(f".{module}")]
    assert any(hasattr(importlib.import_module(one), what) for one in found), found


def test_developers__modules_of_the_large_rooms_are_there() -> None:
    """The table of questions; a room that is left blank is that of the row above."""
    rows = TEXT.partition("| room | question | modules |\n|---|---|---|\n")[2].partition("\n\n")[0]
    room, missing = "", []
    for row in rows.splitlines():
        cells = row.split("|")
        room = cells[1].strip(" `") or room
        named = re.findall(r"`([a-z_]+)`", cells[3])
        missing += [f"{room}/{one}" for one in named if not (ROOMS / room / f"{one}.py").exists()]
    assert room
    assert not missing, missing
