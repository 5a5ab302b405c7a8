"""The command that checks everything finds each Python of a machine."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tree_files import TREE


def fake(folder: Path, name: str, says: str, *, fails: bool = False) -> Path:
    """A program in the place of a Python, which answers what it is asked for."""
    folder.mkdir(parents=True, exist_ok=True)
    program = folder / name
    program.write_text(f"#!/bin/sh\necho '{says}'\nexit {int(fails)}\n", encoding="utf-8")
    program.chmod(0o755)
    return program


def listed(home: Path, *folders: Path) -> list[str]:
    """What ``.ci/run --list`` prints where these folders stand first on PATH.

    Behind them stand a python3, the one that runs this test, and the system's own programs.
    """
    own = home / "own"
    own.mkdir()
    (own / "python3").symlink_to(sys.executable)
    path = os.pathsep.join(map(str, [*folders, own, *os.defpath.split(os.pathsep)]))
    done = subprocess.run(  # noqa: S603
        [TREE / ".ci" / "run", "--list"],
        env={"PATH": path, "HOME": str(home)},
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    return done.stdout.splitlines()


def test_ci__finds_every_python_on_path_and_under_pyenv(tmp_path: Path) -> None:
    """One for each minor version: PATH before pyenv, the oldest first."""
    on_path, versions = tmp_path / "bin", tmp_path / ".pyenv" / "versions"
    fake(on_path, "python3.97", "3 97 2 final /on/path/python3.97")
    fake(versions / "3.97.9" / "bin", "python3.97", "3 97 9 final /pyenv/3.97.9/python3.97")
    fake(versions / "3.98.0" / "bin", "python3.98", "3 98 0 final /pyenv/3.98.0/python3.98")
    found = listed(tmp_path, on_path)
    assert found[-2:] == ["3.97.2 /on/path/python3.97", "3.98.0 /pyenv/3.98.0/python3.98"]
    assert len({line.rpartition(".")[0] for line in found}) == len(found)


def test_ci__leaves_out_what_cannot_run_the_suite(tmp_path: Path) -> None:
    """A shim that leads nowhere, a preview, one that is too old, a tool of another name."""
    on_path = tmp_path / "bin"
    fake(on_path, "python3.95", "3 95 0 final /a/shim", fails=True)
    fake(on_path, "python3.96", "3 96 0 alpha /a/preview")
    fake(on_path, "python3.9", "3 9 18 final /too/old")
    fake(on_path, "python3.97-config", "3 97 0 final /a/tool")
    found = listed(tmp_path, on_path)
    assert found
    assert not [line for line in found if line.startswith(("3.9.", "3.95", "3.96", "3.97"))]


def test_ci__a_shim_that_leads_nowhere_gives_way_to_pyenv(tmp_path: Path) -> None:
    fake(tmp_path / "bin", "python3.97", "command not found", fails=True)
    inside = tmp_path / ".pyenv" / "versions" / "3.97.1" / "bin"
    fake(inside, "python3.97", "3 97 1 final /pyenv/3.97.1/python3.97")
    assert listed(tmp_path, tmp_path / "bin")[-1] == "3.97.1 /pyenv/3.97.1/python3.97"


def test_ci__without_pyenv_the_python_that_is_there(tmp_path: Path) -> None:
    """A new machine: what PATH calls python3 is listed, whatever else there is."""
    own = ".".join(map(str, sys.version_info[:3]))
    assert own in [line.split()[0] for line in listed(tmp_path)]


def test_readme__test_command_is_one_line_that_makes_its_own_environment() -> None:
    """`.ci/run` runs it as it stands, with python3 being each Python in turn."""
    text = (TREE / "README.md").read_text(encoding="utf-8")
    after = text.partition("<!-- test command -->\n```sh\n")[2].partition("```")[0]
    (line,) = after.splitlines()
    assert line.startswith("python3 -m venv .venv && ")
    assert ".venv/bin/python -m pytest" in line
