"""The names that the package gives, as its users spell them."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from tart import tart_shoot
from tree_files import TREE, parsed

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


def test_estimate__refuses_less_than_no_time() -> None:
    with pytest.raises(ValueError, match="found -1 seconds, expected 0 or more"):
        costing.estimate(tart_shoot(), seconds=-1)


def test_estimate__called_twice_gives_the_same() -> None:
    """Law: pure, so the second call gives what the first gave."""
    shoot = tart_shoot()
    first, second = costing.estimate(shoot), costing.estimate(shoot)
    assert first.totals == second.totals
    assert first.as_json() == second.as_json()


@pytest.mark.parametrize("name", costing.__all__)
def test_public_name__has_an_example_in_its_docstring(name: str) -> None:
    """It runs as a doctest where the name is defined."""
    assert ">>> " in (getattr(costing, name).__doc__ or "")


def test_public_names__are_listed_where_one_looks_for_them() -> None:
    """What a notebook offers behind ``costing.`` before any of it was used."""
    assert set(costing.__all__) <= set(dir(costing))


def test_public_names__are_told_to_type_checkers_too() -> None:
    """What a checker sees is what can be fetched, from the same home."""
    tree = parsed(Path(costing.__file__))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    seen = {
        alias.asname: node.module
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
        if alias.asname == alias.name
    }
    assert seen == costing._HOMES


CALLER = """
from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import costing

settings = costing.Settings(currency="EUR", measures="US customary", room_temperature="24 C")
lines = [
    costing.Line(dish="soup", ingredient="leek", amount="1 1/2 cups", measured="as bought"),
    costing.Line(dish="soup", ingredient="salt", amount=costing.amount("4 g"), candidates=2),
]
pack = costing.Pack(ingredient="leek", amount="1 kg", price="1.80", price_date="2031-05-02")
leek = costing.Ingredient(name="leek", trim_yield="80 %", holding_class="when cut")
shot = costing.Shot(dish="soup", purpose=costing.Purpose.HERO, steps="1-3", batch=Fraction(1, 2))
log = costing.Event(kind="out", at="2031-05-10 10:05", temperature="4 C")
bowl = costing.Container(name="bowl", holds=["leek"], events=[log])
shoot = costing.Shoot(
    settings=settings,
    lines=lines,
    packs=[pack],
    ingredients=[leek],
    shots=(shot for _ in range(2)),
    containers=[bowl],
).changed(shots=[shot])
bought: Decimal = costing.estimate(shoot).totals.bought
price: Decimal | None = shoot.packs[0].price
part: Fraction | None = leek.trim_yield
day: date | None = pack.price_date
amounts: list[costing.Amount | None] = [line.amount for line in shoot.lines]
try:
    read, findings = costing.read_workbook("plan.xlsx")
except costing.Refused as refused:
    findings = [refused.finding]
errors = [finding for finding in findings if finding.grade is costing.Grade.ERROR]
rule: costing.Rule = costing.load_rules()["AU-2H4H"]
costing.Ingredient(name="leek", trim_yield=0.7)  # type: ignore[arg-type]
costing.Line(dish="soup", ingrediant="leek")  # type: ignore[call-arg]
costing.reed_workbook("plan.xlsx")  # type: ignore[attr-defined]
"""
"""Ordinary calling code; with strict checks an ignore that is not needed is a fault too."""


def test_calling_code__passes_mypy_strict_without_plugins(tmp_path: Path) -> None:
    (tmp_path / "caller.py").write_text(CALLER, encoding="utf-8")
    cache = TREE / ".mypy_cache" / "calling code"  # of the same checks, where they ran before
    options = ["--strict", "--config-file=", f"--cache-dir={cache}"]
    command = [sys.executable, "-m", "mypy", *options, "caller.py"]
    done = subprocess.run(  # noqa: S603
        command, cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.stdout == "Success: no issues found in 1 source file\n", done.stdout + done.stderr


def test_repr__is_a_line_and_not_pages() -> None:
    shoot = tart_shoot()
    shoot = shoot.changed(settings=shoot.settings.model_copy(update={"title": "Tart"}))
    estimate = costing.estimate(shoot)
    assert repr(shoot) == (
        "<Shoot 'Tart': 1 recipe, 14 ingredients, 14 packs, 7 lots, 18 lines, 1 episode, 7 shots>"
    )
    assert repr(estimate) == (
        "<Estimate 'Tart': bought 38.64 EUR, used 31.34 EUR, left 10.65 EUR; 2 warnings, 1 note>"
    )
    rows = [*shoot.lines, *shoot.packs, *shoot.lots, *shoot.ingredients, *shoot.shots]
    assert max(len(repr(row)) for row in rows) < 220
    assert repr(shoot.lines[1]) == (
        "Line(dish='charred-leek and white-bean tart', ingredient='butter', amount=amount('125 g'))"
    )
