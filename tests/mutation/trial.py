"""Tests run on a copy of the tree with a fault in it."""

from __future__ import annotations

import os
import re
import shutil
import signal
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

import pytest

from mutation.faults import TREE, Fault

COPIED = ("costing", "tests", "reference", "workbooks", ".ci")
FILES = ("pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", ".gitignore")
BESIDE = ("top", "workbook")
"""Rooms of what stands beside the folders that are rooms: of costing, and of its workbook room."""
COMPILED = ".compiled"
"""Folder of what is compiled once for all faults."""
SECONDS = 600
"""A run that takes longer has noticed the fault: something never ends. [s]"""
FAILED = "failed"
"""How tests end that notice a fault in the common way."""

IMPORTED = (
    *("_pytest.doctest", "babel.numbers", "click", "hypothesis", "numpy", "openpyxl", "pandas"),
    *("pydantic", "rapidfuzz", "rich.console", "scipy.optimize", "scipy.stats", "xlsxwriter"),
)
"""Packages that take long to import and are the same for every fault."""


def rooms() -> list[str]:
    """All rooms: the folders of costing and of its workbook room, and what stands beside them."""
    inside = TREE / "costing"
    folders = [path.parent.relative_to(inside).as_posix() for path in inside.glob("*/__init__.py")]
    floors = [path.parent.relative_to(inside).as_posix() for path in inside.glob("workbook/*/*.py")]
    return sorted({*BESIDE, *folders, *floors})


def modules_of(room: str, only: Sequence[str]) -> list[Path]:
    """The modules of a room, from the top of the tree."""
    folder = TREE / "costing" / ("" if room == "top" else room)
    found = sorted(folder.glob("*.py" if room in BESIDE else "**/*.py"))
    return [
        path.relative_to(TREE)
        for path in found
        if path.name != "__init__.py" and (not only or path.stem in only)
    ]


def tests_of(module: Path) -> list[list[str]]:
    """Tests in the order in which they are run: of the module, of its room, of others that name it.

    A module at the top has all tests at the top for its room. Others are those of other rooms that
    import the module by its name: they are there to try it, together with something of theirs.
    """
    inside = module.relative_to("costing")
    mirror = Path("tests") / inside.with_name(f"test_{inside.name}")
    near = sorted((TREE / mirror.parent).glob(f"test_{inside.stem}_*.py"))
    own = [str(module), *(str(p) for p in [mirror] if (TREE / p).exists())]
    own += [str(path.relative_to(TREE)) for path in near]
    room = next(folder for folder in mirror.parents if (TREE / folder).is_dir())
    if room == Path("tests"):
        return [own, sorted(str(path.relative_to(TREE)) for path in TREE.glob("tests/test_*.py"))]
    name = re.escape(".".join(module.with_suffix("").parts))
    imported = re.compile(rf"^(from {name} import|import {name}$)", re.MULTILINE)
    others = sorted(
        str(path.relative_to(TREE))
        for path in TREE.glob("tests/**/test_*.py")
        if TREE / room not in path.parents and imported.search(path.read_text(encoding="utf-8"))
    )
    return [own, [str(room)], *([others] if others else [])]


class _Only:
    """Of the tests of some files those that are named, in that order."""

    def __init__(self, named: Sequence[str]) -> None:
        self.order = {test: at for at, test in enumerate(named)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave out what is not named; a file that is named keeps all of its tests."""
        places = [self.order.get(i.nodeid, self.order.get(file_of(i.nodeid))) for i in items]
        wanted = [(at, item) for at, item in zip(places, items, strict=True) if at is not None]
        items[:] = [item for _, item in sorted(wanted, key=lambda pair: pair[0])]


def file_of(test: str) -> str:
    """The file that a test is in."""
    return test.partition("::")[0]


def fault_seen(tree: Path, tests: Sequence[str]) -> str:
    """How these tests show a fault of a copy of the tree; blank where all that there are pass.

    They run in a copy of this process, so that what does not change is imported once for all.
    """
    child = os.fork()
    if child == 0:
        _run(tree, tests)
    until = time.monotonic() + SECONDS
    while time.monotonic() < until:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            code = os.waitstatus_to_exitcode(status)
            return "" if code in (0, pytest.ExitCode.NO_TESTS_COLLECTED) else FAILED
        time.sleep(0.05)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return f"not ended in {SECONDS} s"


def _run(tree: Path, tests: Sequence[str]) -> NoReturn:
    """Run tests in the copy of the tree, with nothing of ours imported before, and end."""
    code: int = pytest.ExitCode.INTERNAL_ERROR
    try:
        os.setsid()
        os.chdir(tree)
        os.environ["PYTHONPATH"] = str(tree)
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix = str(tree / COMPILED)
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        sys.dont_write_bytecode = False
        ours = ("", str(TREE), str(TREE / "tests"))
        sys.path[:] = [str(tree), *(one for one in sys.path if one not in ours)]
        for name in [
            n for n in sys.modules if n.partition(".")[0] in ("tests", "mutation", "costing")
        ]:
            del sys.modules[name]
        nothing = os.open(os.devnull, os.O_RDWR)
        for stream in range(3):
            os.dup2(nothing, stream)
        # that a package was imported before is a warning, and a warning is an error
        quiet = ["-W", "ignore::pytest.PytestAssertRewriteWarning", "-p", "no:cacheprovider"]
        files = dict.fromkeys(file_of(test) for test in tests)
        only = [_Only(tests)] if any("::" in test for test in tests) else []
        code = pytest.main(["-x", "-q", "-n", "0", *quiet, *files], plugins=only)
    finally:
        os._exit(code)


def copied(folder: Path) -> Path:
    """A copy of the tree."""
    for name in COPIED:
        shutil.copytree(TREE / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in FILES:
        if (TREE / name).exists():
            shutil.copy(TREE / name, folder / name)
    return folder


def noticed(tree: Path, fault: Fault, rounds: Sequence[Sequence[str]]) -> str:
    """How the first of the rounds that shows a fault does so; blank where none does."""
    path = tree / fault.module
    good = path.read_text(encoding="utf-8")
    path.write_text(fault.source, encoding="utf-8")
    _forget_compiled(tree, path)
    try:
        return next(filter(None, (fault_seen(tree, tests) for tests in rounds)), "")
    finally:
        path.write_text(good, encoding="utf-8")
        _forget_compiled(tree, path)


def _forget_compiled(tree: Path, path: Path) -> None:
    """Another text of a module is compiled anew, even if it is as long and a moment younger."""
    for compiled in tree.glob(f"{COMPILED}/**/{path.parent.name}/{path.stem}.*.pyc"):
        compiled.unlink()
