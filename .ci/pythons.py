"""The Pythons of this machine that the project says it runs on, one for each minor version.

Prints version and path of each. Those of PATH come before those of pyenv; one that cannot run or
cannot make environments (a shim that leads nowhere, a Python without ensurepip, a preview) leaves
its place to the next. Runs on older Pythons too, so that it can be asked by any ``python3``.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

TREE = Path(__file__).resolve().parent.parent
NAME = re.compile(r"python3(\.\d+)?")
ASKED = (
    "import sys, venv, ensurepip; v = sys.version_info; "
    "print(v.major, v.minor, v.micro, v.releaselevel, sys.executable)"
)
ANSWER = re.compile(r"(\d+) (\d+) (\d+) (?:candidate|final) (.+)\n")
SECONDS_TO_ANSWER = 60


def oldest() -> tuple[int, int]:
    """The oldest version that pyproject.toml names."""
    text = (TREE / "pyproject.toml").read_text(encoding="utf-8")
    named = re.search(r'^requires-python = ">=(\d+)\.(\d+)"$', text, re.MULTILINE)
    if named is None:
        raise SystemExit("pyproject.toml does not say which Python is the oldest")
    return int(named[1]), int(named[2])


def folders(environment: Mapping[str, str]) -> Iterator[Path]:
    """Where a Python may lie: on PATH, then in pyenv's versions."""
    for folder in environment.get("PATH", "").split(os.pathsep):
        if folder:
            yield Path(folder)
    home = environment.get("HOME") or str(Path.home())
    versions = Path(environment.get("PYENV_ROOT") or Path(home, ".pyenv")) / "versions"
    if versions.is_dir():
        yield from sorted(one / "bin" for one in versions.iterdir())


def answers(environment: Mapping[str, str]) -> Iterator[tuple[tuple[int, int, int], str]]:
    """Version and own path of everything called python3, or python3 with a minor version."""
    for folder in folders(environment):
        if not folder.is_dir():
            continue
        for name in sorted(one.name for one in folder.iterdir() if NAME.fullmatch(one.name)):
            try:
                done = subprocess.run(
                    [str(folder / name), "-c", ASKED],
                    capture_output=True,
                    text=True,
                    check=False,
                    timeout=SECONDS_TO_ANSWER,
                )
            except (OSError, subprocess.TimeoutExpired):
                continue
            said = ANSWER.fullmatch(done.stdout)
            if done.returncode == 0 and said is not None:
                yield (int(said[1]), int(said[2]), int(said[3])), said[4]


def pythons(environment: Mapping[str, str]) -> dict[str, str]:
    """Path by version, the oldest version first."""
    found: dict[tuple[int, int], tuple[tuple[int, int, int], str]] = {}
    for version, path in answers(environment):
        if version[:2] >= oldest():
            found.setdefault(version[:2], (version, path))
    return {".".join(map(str, version)): path for version, path in sorted(found.values())}


if __name__ == "__main__":
    all_found = pythons(os.environ)
    if not all_found:
        raise SystemExit(f"no Python {'.'.join(map(str, oldest()))} or later was found")
    sys.stdout.writelines(f"{version} {path}\n" for version, path in all_found.items())
