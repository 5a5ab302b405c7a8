"""What an environment of the lowest or the newest versions is made of.

``python .ci/versions.py lowest`` prints the packages that pyproject.toml names and the tools of the
tests, without a version where ``.ci/lowest.txt`` has one; linters and stubs are left out.
"""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path

TREE = Path(__file__).resolve().parent.parent
NO_TEST_NEEDS = re.compile(r"ruff|mypy|types-.*|.*-stubs")
_NAME = re.compile(r"[A-Za-z0-9._-]+")


def name_of(requirement: str) -> str:
    """The package that a line asks for."""
    found = _NAME.match(requirement)
    if found is None:
        raise SystemExit(f"no package is named by {requirement!r}")
    return found[0].lower()


def pinned(which: str) -> dict[str, str]:
    """Lines of a constraints file by package; of several for one package the last."""
    text = (TREE / ".ci" / f"{which}.txt").read_text(encoding="utf-8")
    lines = [line.strip() for line in text.splitlines()]
    return {name_of(line): line for line in lines if line and not line.startswith("#")}


def named() -> tuple[list[str], list[str]]:
    """What pyproject.toml asks for: to run, extras among it, and to test."""
    project = tomllib.loads((TREE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = dict(project["optional-dependencies"])
    tools = [line for line in extras.pop("test") if not NO_TEST_NEEDS.fullmatch(name_of(line))]
    return [*project["dependencies"], *(line for lines in extras.values() for line in lines)], tools


def requirements(which: str) -> list[str]:
    """Packages to install, those without a version whose version the constraints file says."""
    known = pinned(which)
    run, tools = named()
    lines = {name_of(line): line for line in (*tools, *run)}
    return sorted(name if name in known else line for name, line in lines.items())


if __name__ == "__main__":
    sys.stdout.write(" ".join(requirements(sys.argv[1])) + "\n")
