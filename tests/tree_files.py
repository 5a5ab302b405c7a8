"""The files of this tree, as tests about the tree itself read them."""

from __future__ import annotations

import ast
import os
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from zipfile import ZipFile, is_zipfile

TREE = Path(__file__).resolve().parent.parent
NOT_OURS = {"__pycache__", "build", "dist", "htmlcov", "venv", "mutants"}
OURS_THOUGH_HIDDEN = {".ci", ".github", ".gitignore"}


def _ours(part: str) -> bool:
    """Whether a file or folder of this name belongs to the project."""
    hidden = part.startswith(".") and part not in OURS_THOUGH_HIDDEN
    return part not in NOT_OURS and not part.endswith(".egg-info") and not hidden


@cache
def files() -> tuple[Path, ...]:
    """Every file that belongs to the project, in order; an environment beside it is not entered."""
    found: list[Path] = []
    for folder, inside, names in os.walk(TREE):
        inside[:] = filter(_ours, inside)
        found += (Path(folder, one) for one in filter(_ours, names))
    return tuple(sorted(found))


def modules(*folders: str) -> list[Path]:
    """Python files below these folders."""
    return [
        path
        for path in files()
        if path.suffix == ".py" and path.relative_to(TREE).parts[0] in folders
    ]


def name(path: Path) -> str:
    """A file as seen from the root of the tree."""
    return path.relative_to(TREE).as_posix()


@cache
def parsed(path: Path) -> ast.Module:
    """A Python file as its syntax tree."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


@cache
def texts() -> tuple[tuple[str, str], ...]:
    """Name and text of every file; of a workbook the text of each part."""
    return tuple(_texts())


def _texts() -> Iterator[tuple[str, str]]:
    for path in files():
        if is_zipfile(path):
            with ZipFile(path) as parts:
                for part in parts.namelist():
                    yield f"{name(path)}: {part}", parts.read(part).decode("utf-8", "replace")
        else:
            yield name(path), path.read_text(encoding="utf-8", errors="replace")
