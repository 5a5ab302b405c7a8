"""Build the wheel, install it into a fresh environment, and use it in an empty folder."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import venv
from fractions import Fraction
from pathlib import Path

TREE = Path(__file__).resolve().parent.parent


def run(*command: str | Path, folder: Path) -> str:
    """Output of a command that must succeed."""
    clean = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [str(word) for word in command],
        cwd=folder,
        env=clean,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(f"{command}: exit {done.returncode}\n{done.stdout}\n{done.stderr}")
    return done.stdout


def workbook_by_hand(path: Path) -> None:
    """Plain sheets as anybody may make them, the columns in another order, with extras."""
    sys.path.insert(0, str(TREE / "tests"))
    from by_hand import save_workbook_by_hand

    save_workbook_by_hand(path)


def main() -> None:
    """Fail unless the wheel does its main job away from the tree."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        built, empty = folder / "wheel", folder / "empty"
        empty.mkdir()
        run(
            sys.executable,
            "-m",
            "pip",
            "wheel",
            "-q",
            "--no-deps",
            "-w",
            built,
            TREE,
            folder=folder,
        )
        wheel = next(built.glob("*.whl"))
        environment = folder / "environment"
        venv.create(environment, with_pip=True)
        python = environment / "bin" / "python"
        run(python, "-m", "pip", "install", "-q", wheel, folder=folder)
        costing = environment / "bin" / "costing"
        shown = run(costing, "demo", folder=empty)
        for figure in ("38.64 EUR", "31.34 EUR", "discard"):
            if figure not in shown:
                raise SystemExit(f"costing demo does not print {figure}:\n{shown}")
        plan = folder / "plan.xlsx"
        workbook_by_hand(plan)
        run(costing, "estimate", plan, folder=empty)
        told = json.loads(run(costing, "estimate", plan, "--json", folder=empty))
        bought = Fraction(told["totals"]["bought"])
        if bought != Fraction("6.60"):
            raise SystemExit(f"the workbook made by hand costs {bought}, not 6.60")
        print(f"{wheel.name}: demo and a workbook made by hand, figures as expected")


main()
