"""The names that the package gives, as its users spell them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from tart import tart_shoot

import costing


@pytest.mark.parametrize("name", costing.__all__)
def test_public_name__can_be_fetched(name: str) -> None:
    assert getattr(costing, name) is not None


def test_estimate__stays_a_function_whatever_was_imported_before() -> None:
    """No module of the package may bear the name of a public function and so hide it."""
    code = (
        "import costing, costing.cli, costing.workbook.results.write\n"
        "shoot = costing.Shoot()\n"
        "for _ in range(2): costing.estimate(shoot)\n"
        "costing.read_workbook, costing.write_results, costing.write_template, costing.amount\n"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    folder = Path(costing.__file__).parent
    modules = {path.stem for path in folder.iterdir() if path.suffix == ".py" or path.is_dir()}
    assert not modules & set(costing.__all__)


def test_estimate__called_twice_gives_the_same() -> None:
    """Law: pure, so the second call gives what the first gave."""
    shoot = tart_shoot()
    first, second = costing.estimate(shoot), costing.estimate(shoot)
    assert first.totals == second.totals
    assert first.as_json() == second.as_json()
