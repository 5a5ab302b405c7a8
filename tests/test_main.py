"""The program as it is started."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest


def started(code: str, *words: str) -> subprocess.CompletedProcess[str]:
    """What a fresh Python prints that runs this code."""
    return subprocess.run(  # noqa: S603
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=False
    )


def test_keep_output__only_python_prints() -> None:
    """What is written past Python, before and after, is not in the output; errors are."""
    done = started(
        "import os\n"
        "from costing.__main__ import keep_output\n"
        "keep_output()\n"
        "os.write(1, b'from below\\n')\n"
        "print('Crème, 1½')\n"
        "os.write(1, b'from below\\n')\n"
        "os.write(2, b'a fault\\n')\n"
    )
    assert (done.stdout, done.stderr, done.returncode) == ("Crème, 1½\n", "a fault\n", 0)


MENDED = (
    "from costing.buying.solver import Model\n"
    "model = Model()\n"
    "for upper, whole in ((1, 1), (1, 1), (1, 1), (3, 0), (2, 1), (1, 1), (6, 0)):\n"
    "    model.column(upper=upper, whole=bool(whole))\n"
    "model.row({0: 1}, least=1)\n"
    "model.row({1: 1, 2: 1}, least=1, most=1)\n"
    "model.row({3: 1, 0: -2}, least=0)\n"
    "model.row({6: 1, 3: 1, 1: 2, 2: 3}, least=6)\n"
    "model.row({4: 27, 5: 45, 3: -10, 1: -20, 2: -30, 6: -10}, least=-30)\n"
    "print(model.minimise({5: 60}).ending)\n"
)
"""A programme of whole numbers and parts whose solution breaks a row on the way back from presolve:
the solver then looks for other parts and prints a line, whatever it is told of output."""


@pytest.mark.watched("HiGHS 1.12, which scipy 1.17.1 brings, prints a line that no option stops")
def test_keep_output__no_line_of_the_solver() -> None:
    """All at its most and column 5 at 0 is a solution: 2 x 27 - 10 x 6 is above -30."""
    assert "tmpSolver.run();" in started(MENDED).stdout
    kept = "from costing.__main__ import keep_output\nkeep_output()\n"
    assert started(kept + MENDED).stdout == "proven\n"


@pytest.mark.parametrize("closing", ["sys.stdout = None", "os.close(1)"])
def test_keep_output__without_an_output_nothing_is_changed(closing: str) -> None:
    done = started(
        f"import os, sys\n{closing}\n"
        "from costing.__main__ import keep_output\n"
        "keep_output()\n"
        "sys.stderr.write('still here')\n"
        "os._exit(0)\n"
    )
    assert done.stderr == "still here"


def test_module__is_the_command(tmp_path: Path) -> None:
    """``python -m costing`` does what ``costing`` does, and says its name."""
    whole = [sys.executable, "-m", "costing"]
    subprocess.run([*whole, "new", "--demo", tmp_path / "tart.xlsx"], check=True)  # noqa: S603
    made = subprocess.run(  # noqa: S603
        [*whole, "estimate", tmp_path / "tart.xlsx", "--json"], capture_output=True, check=True
    )
    assert json.loads(made.stdout)["totals"]["bought"] == "38.64"
    wrong = subprocess.run(  # noqa: S603
        [*whole, "estimat"], capture_output=True, text=True, check=False
    )
    assert wrong.stderr.startswith("Usage: costing ")


@pytest.mark.parametrize(("columns", "made"), [(80, False), (79, True)])
def test_module__the_help_that_is_kept_is_80_columns_wide(*, columns: int, made: bool) -> None:
    """Of a wider terminal its lines are the same; for a narrower one it is made anew."""
    code = (
        "import atexit, os, sys\n"
        f"os.environ['COLUMNS'] = '{columns}'\n"
        "sys.argv = ['costing', '--help']\n"
        "atexit.register(lambda: sys.stderr.write(str('click' in sys.modules)))\n"
        "from costing.__main__ import run\n"
        "run()\n"
    )
    done = started(code)
    assert (done.returncode, done.stderr) == (0, str(made))
    assert max(map(len, done.stdout.splitlines())) <= columns


def test_module__help_is_of_the_command_that_is_named() -> None:
    """The page that is kept is for ``--help`` alone."""
    named = subprocess.run(
        [sys.executable, "-m", "costing", "check", "--help"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert named.stdout.startswith("Usage: costing check ")


@pytest.mark.parametrize("words", ["rules", "published leek", "demo .", "estimate --json"])
def test_module__a_reader_that_stops_is_no_fault(tmp_path: Path, words: str) -> None:
    """As in ``costing rules | head``: nothing is said, and what is to be written is written."""
    whole = [sys.executable, "-m", "costing"]
    if words.startswith("estimate"):
        subprocess.run([*whole, "new", "--demo", tmp_path / "tart.xlsx"], check=True)  # noqa: S603
    reads, writes = os.pipe()
    os.close(reads)
    done = subprocess.run(  # noqa: S603
        [*whole, *words.split()],
        stdout=writes,
        stderr=subprocess.PIPE,
        text=True,
        cwd=tmp_path,
        check=False,
    )
    os.close(writes)
    assert (done.stderr, done.returncode) == ("", 1)
    assert (tmp_path / "leek-tart.xlsx").exists() == words.startswith("demo")
