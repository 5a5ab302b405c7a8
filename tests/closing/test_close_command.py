"""`costing close` as a person types it: what it prints and writes, and what it leaves alone."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from by_hand import save_workbook_by_hand
from click.testing import CliRunner
from commands import typed
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from packages import foreign_parts_changed
from small import line, pack, shoot_of
from soundness import faults

import costing
from costing.cli import main
from costing.kitchen import CountedLot, Dish
from costing.quantities import amount
from costing.shoot import Episode, Shot
from costing.workbook.demo import DEMO_ROWS, DRY, FRESH
from costing.workbook.reading import read_workbook
from costing.workbook.template import template_bytes

DAY = date(2031, 5, 9)
HEADINGS = ("Receipt", "Date", "Shop", "Ingredient", "Packs", "Amount", "Unit", "Paid")
RECEIPTS = [
    ("A1", DAY, DRY, "butter", 3, None, None, 8.67),
    ("A1", DAY, DRY, "egg", 2, None, None, 3.98),
    ("B2", DAY, FRESH, "leek", None, 2.2, "kg", 4.40),
]
MORE: list[dict[str, Any]] = [
    {"Paid from": "float", "Tax rate %": 6},
    {"Paid from": "float"},
    {"Paid from": "card"},
]
TAKEN = (1, 1, 1, 2, 3, 1, 4)


def rows() -> dict[str, list[dict[str, Any]]]:
    """The demo, closed: three receipt lines, a count, takes, a float and a mark-up."""
    filled = {sheet: [dict(row) for row in given] for sheet, given in DEMO_ROWS.items()}
    filled["Receipts"] = [
        {**dict(zip(HEADINGS, row, strict=True)), **more}
        for row, more in zip(RECEIPTS, MORE, strict=True)
    ]
    filled["Counted"] = [{"Ingredient": "leek", "Amount": 100, "Unit": "g"}]
    for row, taken in zip(filled["Shoot plan"], TAKEN, strict=True):
        row["Taken"] = taken
    given = {"Charge mark-up %": 10, "Cash float": 20, "Cash counted": 7.35}
    filled["Settings"] = [row for row in filled["Settings"] if row["Setting"] not in given] + [
        {"Setting": name, "Value": value} for name, value in given.items()
    ]
    return filled


@pytest.fixture
def plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The workbook in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "plan.xlsx"
    path.write_bytes(template_bytes(all_sheets=True, rows=rows()))
    return path


def test_close__prints_writes_and_changes_nothing_the_second_time(plan: Path) -> None:
    """Charged: (8.67 + 3.98 + 4.40) = 17.05, and 10 % of each line: 0.87 + 0.40 + 0.44 = 1.71.

    Float 20.00 less 12.65 leaves the 7.35 that were counted.
    """
    first = typed("close", plan)
    assert first.exit_code == 0, first.output
    assert "Charged: 18.76 EUR, which is 17.05 EUR paid, 0.49 EUR of it tax" in first.output
    assert (
        "Cash: float 20.00 EUR less 12.65 EUR paid from it leaves 7.35 EUR; counted 7.35 EUR"
        in (" ".join(first.output.split()))
    )
    book = openpyxl.load_workbook(plan)
    charge = [[cell.value for cell in row] for row in book["Charge"].iter_rows()]
    assert [row[:6] for row in charge if row[0] in ("A1", "B2")] == [
        ["A1", DRY, "butter, 3 x", 8.67, 0.49, 9.54],
        ["A1", DRY, "egg, 2 x", 3.98, None, 4.38],
        ["B2", FRESH, "leek, 2.2 kg", 4.4, None, 4.84],
    ]
    setup = book["Charge"].page_setup
    assert (setup.orientation, setup.fitToHeight) == ("landscape", 0)
    closed = plan.read_bytes()
    for again in (typed("close", plan), typed("estimate", plan)):
        assert "Nothing changed." in again.output
        assert plan.read_bytes() == closed


def test_close__json_prints_both_tables_and_writes_nothing(plan: Path) -> None:
    before = plan.read_bytes()
    result = typed("close", plan, "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.output)
    assert [row["charged"] for row in found["charge"]] == ["9.54", "4.38", "4.84"]
    leek = next(row for row in found["differences"] if row["ingredient"] == "leek")
    parts = ("takes", "use", "price", "packs", "not_logged")
    added = sum(round(100 * float(leek[name])) for name in parts)
    assert added == round(100 * float(leek["actual"])) - round(100 * float(leek["planned"]))
    assert found["closed"]["cash"] == {
        "float": "20",
        "paid_from_float": "12.65",
        "counted": "7.35",
        "difference": "0.00",
    }
    assert found["closed"]["paid"]["camera"] == "17.05"
    assert plan.read_bytes() == before


def test_close__without_receipts_says_what_to_fill_and_charges_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    save_workbook_by_hand(Path("plan.xlsx"))
    result = typed("close")
    assert result.exit_code == 0, result.output
    assert "no receipt" in result.output
    assert "Charged" not in result.output
    assert "Charge" not in openpyxl.load_workbook("plan.xlsx").sheetnames


def test_close__shots_with_a_blank_taken_are_told_once_and_the_rest_is_where_it_says(
    plan: Path,
) -> None:
    """P3 and P4 are not told while others are; notes are not printed, and stand on Findings."""
    book = openpyxl.load_workbook(plan)
    for cell in ("O6", "O7"):
        book["Shoot plan"][cell] = None
    book.save(plan)
    said = " ".join(typed("close", plan).output.split())
    told = "found P3 (O6) and P4 (O7) with Taken blank, while other shots of the episode say"
    assert said.count(told) == said.count("[taken not given]") == 1
    assert "They count as not taken, and their food as not needed; Takes left has" in said
    assert " bearing on the closing; all findings: on the sheet Findings Written:" in said
    noted = [row[1] for row in openpyxl.load_workbook(plan)["Findings"].values if row[0] == "note"]
    assert "not counted at the end" in noted
    assert "not counted at the end" not in said


def test_close__an_error_gives_its_exit_code(plan: Path) -> None:
    book = openpyxl.load_workbook(plan)
    book["Receipts"]["H4"] = "8.67 USD"
    book.save(plan)
    result = typed("close", plan, "--json")
    assert result.exit_code == 1
    assert "receipt without a rate" in result.output


def test_close__what_is_the_persons_stays_byte_for_byte(plan: Path) -> None:
    """A sheet of their own with a chart and a comment, and a sum over our inputs."""
    book = openpyxl.load_workbook(plan)
    own = book.create_sheet("My notes")
    own["A1"], own["A2"] = "paid", "=SUM(Receipts!H4:H6)"
    own["A1"].comment = Comment("mine", "me")
    chart = BarChart()
    chart.add_data(Reference(own, min_col=1, min_row=1, max_row=2))
    own.add_chart(chart, "C3")
    book.save(plan)
    before, shoot = plan.read_bytes(), read_workbook(plan)[0]
    assert typed("close", plan).exit_code == 0
    after = plan.read_bytes()
    assert foreign_parts_changed(before, after) == []
    assert faults(after, titles={"Differences", "Charge"}) == []
    assert read_workbook(plan)[0].difference(shoot) == ""


@pytest.mark.parametrize("keeps", [None, 4])
def test_close__next_names_what_was_made_and_keeps_nobody_knows_how_long(
    keeps: int | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A batch of 1 l in whole batches, of which the soup takes 600 ml: 400 ml are carried."""
    monkeypatch.chdir(tmp_path)
    shoot = shoot_of(
        line("stock", "salt", "5 g"),
        line("soup", "stock", "600 ml"),
        Dish(name="stock", makes="1 l", whole_batches=True, keeps_days=keeps),
        pack("salt", "1 kg", "1.00"),
        Episode(name="E", shoot_date="2031-05-10"),
        Shot(dish="soup", episode="E", taken=1),
    )
    costing.write_workbook("soup.xlsx", shoot)
    said = CliRunner().invoke(main, ["close", "soup.xlsx", "--next", "next.xlsx"]).output
    assert "0.4 l of stock" in said
    words = "Nothing says how long it keeps: stock. Write Use by, or delete its row.\n"
    assert (words in said) is (keeps is None)


@pytest.mark.parametrize("counts", [(), ("1 l",)], ids=["not counted", "counted"])
def test_close__next_tells_of_what_was_made_ahead_and_no_take_needed(
    counts: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """500 ml a soup, provided for three times: Make has 1.5 l, the one take needs 500 ml of it."""
    monkeypatch.chdir(tmp_path)
    shoot = shoot_of(
        line("stock", "salt", "5 g"),
        line("soup", "stock", "500 ml"),
        Dish(name="stock", makes="1 l", keeps_days=4),
        pack("salt", "1 kg", "1.00"),
        Episode(name="E", shoot_date="2031-05-10"),
        Shot(dish="soup", episode="E", times=2, fewest=1, most=3, taken=1),
        *(CountedLot(ingredient="stock", amount=amount(one)) for one in counts),
    )
    costing.write_workbook("soup.xlsx", shoot)
    said = CliRunner().invoke(main, ["close", "soup.xlsx", "--next", "next.xlsx"]).output
    words = (
        "stock: Make has 1.5 l, 1 l more than the takes need. Where that was made, it is on hand "
        "and what went into it is not: correct On hand."
    )
    assert (words in " ".join(said.split())) is (not counts)
    assert ("1 l of stock" in said) is bool(counts)


def test_estimate__keeps_what_close_wrote_by_a_count_of_the_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a receipt and without the sheet Counted: 500 of 1000 g for 4.00 are not left."""
    monkeypatch.chdir(tmp_path)
    bread = shoot_of(
        *(line("bread", "flour", "400 g"), pack("flour", "1 kg", "4.00")),
        Shot(dish="bread", taken=1),
    )
    costing.write_workbook(tmp_path / "plan.xlsx", bread)
    assert typed("log", "flour", "counted", "500", "g").exit_code == 0
    for command in ("close", "estimate"):
        assert typed(command).exit_code == 0
        book = openpyxl.load_workbook("plan.xlsx")
        assert "Differences" in book.sheetnames, command
        shown = [[cell.value for cell in row] for row in book["Differences"].iter_rows()]
        assert any("flour" in row and 2 in row for row in shown), (command, shown)
