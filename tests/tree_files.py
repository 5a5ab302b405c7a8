"""The files of this tree, as tests about the tree itself read them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from zipfile import ZipFile, is_zipfile

TREE = Path(__file__).resolve().parent.parent
NOT_OURS = {"__pycache__", "build", "dist", "htmlcov", "venv", "mutants"}
OURS_THOUGH_HIDDEN = {".ci", ".github", ".gitignore"}


def _ours(path: Path) -> bool:
    parts = path.relative_to(TREE).parts
    return not any(
        part in NOT_OURS
        or part.endswith(".egg-info")
        or (part.startswith(".") and part not in OURS_THOUGH_HIDDEN)
        for part in parts
    )


@cache
def files() -> tuple[Path, ...]:
    """Every file that belongs to the project, in order."""
    return tuple(sorted(path for path in TREE.rglob("*") if path.is_file() and _ours(path)))


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


def texts() -> Iterator[tuple[str, str]]:
    """Name and text of every file; of a workbook the text of each part."""
    for path in files():
        if is_zipfile(path):
            with ZipFile(path) as parts:
                for part in parts.namelist():
                    yield f"{name(path)}: {part}", parts.read(part).decode("utf-8", "replace")
        else:
            yield name(path), path.read_text(encoding="utf-8", errors="replace")
