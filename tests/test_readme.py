"""The README's Python runs as it is printed, and its commands print what stands there."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterable, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import tutorial
from click.testing import CliRunner
from tree_files import TREE

import costing
from costing.cli import main
from costing.workbook.demo import DEMO_ROWS
from costing.workbook.results.write import new_workbook_bytes

BLOCKS = re.findall(
    r"^```python\n(.*?)^```$",
    (TREE / "README.md").read_text(encoding="utf-8"),
    re.MULTILINE | re.DOTALL,
)


PRINTED = re.findall(
    r"^<!-- output: costing (.+?) -->\n```\n(.*?)^```$",
    (TREE / "README.md").read_text(encoding="utf-8"),
    re.MULTILINE | re.DOTALL,
)
"""Commands of the README, and what they print, or lines of it in their order."""

RECEIPTS, CLOSING = re.findall(
    r"^(\| Receipt \|.*?)\n\n<!-- closing -->\n```\n(.*?)^```$",
    (TREE / "README.md").read_text(encoding="utf-8"),
    re.MULTILINE | re.DOTALL,
)[0]
"""Receipt lines of the README, and what closing says with them."""


@pytest.fixture(scope="module")
def demos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which both demos were written."""
    folder = tmp_path_factory.mktemp("readme")
    for more in ((), ("--uncertain",)):
        done = CliRunner().invoke(main, ["demo", str(folder / "demo"), *more])
        assert done.exit_code == 0, done.output
    return folder


@pytest.mark.parametrize(("command", "shown"), PRINTED, ids=[command for command, _ in PRINTED])
def test_readme__prints_what_the_commands_print(
    command: str, shown: str, demos: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Law: each line stands in the output, in this order."""
    monkeypatch.chdir(demos)
    printed = iter(CliRunner().invoke(main, command.split()).output.splitlines())
    for line in filter(None, shown.splitlines()):
        assert line.rstrip() in (one.rstrip() for one in printed), line


def receipt_rows(listed: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The README's receipt lines by heading, each receipt with what else is listed of its shop."""
    lines = [[one.strip() for one in line.split("|")[1:-1]] for line in RECEIPTS.splitlines()]
    shown = [dict(zip(lines[0], line, strict=True)) for line in lines[2:]]
    told = {row["Ingredient"] for row in shown if row["Packs"] or row["Amount"]}
    rows: list[dict[str, Any]] = []
    for row in shown:
        numbers = {h: Decimal(row[h]) for h in ("Packs", "Amount", "Paid", "Tax rate %") if row[h]}
        rows.append({heading: cell for heading, cell in row.items() if cell} | numbers)
        rows += [
            {"Ingredient": one["ingredient"], "Packs": one["packs"], "Paid": one["cost"]}
            | {"Tax rate %": numbers["Tax rate %"], "Paid from": row["Paid from"]}
            for one in listed
            if one["shop"] == row["Shop"] and one["ingredient"] not in told
        ]
    return rows


def test_readme__closing_is_what_its_receipts_give(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Paid 30.27 (8.67 for 8.37, 0.30 off), 8.56 for greens and 3.50, with the tax of each rate.

    Tax 30.27 x 6/106 = 1.71, 8.56 x 6/106 = 0.48 and 3.50 x 23/123 = 0.65. Due 50.00 - 30.27.
    Leek: 400 g / 0.72 = 555.6 g more, at 1.89 the kg 1.05.
    """
    monkeypatch.chdir(tmp_path)
    shoot, _ = costing.read_workbook(TREE / "workbooks" / "leek-tart.xlsx")
    after: dict[str, Any] = {"Charge mark-up %": 15, "Mark-up on": "before tax"}
    after |= {"Cash float": 50, "Cash counted": Decimal("19.30")}
    plan = zip(DEMO_ROWS["Shoot plan"], (1, 1, 1, 2, 3, 1, 4), strict=True)
    rows: dict[str, Any] = {
        **DEMO_ROWS,
        "Settings": [
            {**row, "Value": after.get(row["Setting"], row["Value"])}
            for row in DEMO_ROWS["Settings"]
        ],
        "Shoot plan": [{**shot, "Taken": times} for shot, times in plan],
        "Receipts": receipt_rows(costing.estimate(shoot).tables()["to_buy"].rows),
        "Counted": [{"Ingredient": "leek", "Amount": 150, "Unit": "g"}],
    }
    Path("tart.xlsx").write_bytes(new_workbook_bytes(rows=rows, all_sheets=True))
    printed = iter(CliRunner().invoke(main, ["close", "tart.xlsx"]).output.splitlines())
    for line in CLOSING.splitlines():
        assert line in printed, line


def test_readme__its_pictures_are_those_that_are_made() -> None:
    """Law: each picture shown is one of the script's, and each of the script's is shown."""
    shown = re.findall(r"!\[[^]]+\]\(([^)]+)\)", (TREE / "README.md").read_text(encoding="utf-8"))
    made = [tutorial.PICTURES / name for name in tutorial.NAMES]
    assert sorted(TREE / path for path in shown) == sorted(made)
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in made)


def test_readme__shows_several_outputs() -> None:
    assert len(PRINTED) >= 4


def run(code: str) -> dict[str, Any]:
    """The names that a block leaves behind."""
    names: dict[str, Any] = {}
    exec(compile(code, "README.md", "exec"), names)  # noqa: S102
    return names


def test_readme__reads_works_out_and_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On the demo: 38.64 bought, by the hand-worked shoot; its results stand there already."""
    shutil.copy(TREE / "workbooks" / "leek-tart.xlsx", tmp_path / "tart.xlsx")
    monkeypatch.chdir(tmp_path)
    names = run(BLOCKS[0])
    assert str(names["estimate"].totals.bought) == "38.64"
    demo = TREE / "workbooks" / "leek-tart.xlsx"
    assert (tmp_path / "tart.xlsx").read_bytes() == demo.read_bytes()


def test_readme__builds_a_shoot_from_nothing_and_plots_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Leek: 4 x 400 g / 0.72 = 2222.2 g, 45 steps of 50 g at 0.0945 = 4.2525; one litre of milk.

    The hero and three retakes of step 1 take the leeks, the hero alone 375 ml of milk:
    4.25 + 1.05 = 5.30.
    """
    monkeypatch.chdir(tmp_path)
    names = run(BLOCKS[1])
    assert str(names["estimate"].totals.bought) == "5.30"
    assert (tmp_path / "used.png").read_bytes().startswith(b"\x89PNG")
    assert costing.read_workbook("soup.xlsx")[0] == names["shoot"]
    built = BLOCKS[1].partition("costing.Shoot(")[2].partition("\n)\n")[0]
    assert built.count("\n") <= 15
