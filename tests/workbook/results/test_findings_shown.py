"""What reading found and what working out found stand together in every form of the results.

The recipe line has an unknown unit, which only reading can find; the packs lack the potato, which
only working it out can find.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner
from good_workbook import good_workbook

import costing
from costing.cli import main

BY_READING, BY_WORKING_OUT = "unknown unit", "pack missing"


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """A workbook in which each of the two finds something."""
    path = tmp_path / "plan.xlsx"
    book = good_workbook()
    book["Recipes"]["F3"] = "blob"
    book["Packs"].delete_rows(4)
    book.save(path)
    return path


def codes_on_sheet(path: Path) -> set[Any]:
    """Codes of the sheet Findings."""
    sheet = openpyxl.load_workbook(path)["Findings"]
    return {row[1] for row in sheet.iter_rows(values_only=True)}


def test_estimate__has_the_findings_of_reading_and_its_own(plan: Path) -> None:
    shoot, read = costing.read_workbook(plan)
    assert list(shoot.findings) == read
    assert BY_WORKING_OUT not in {finding.code for finding in read}
    estimate = costing.estimate(shoot)
    assert {BY_READING, BY_WORKING_OUT} <= {finding.code for finding in estimate.findings}
    assert {BY_READING, BY_WORKING_OUT} <= {row["code"] for row in estimate.as_json()["findings"]}
    assert {BY_READING, BY_WORKING_OUT} <= {
        row["code"] for row in estimate.tables()["findings"].rows
    }
    assert "The list is not whole: 1 error was found" in estimate.phone_page()


@pytest.mark.parametrize("passed", [False, True], ids=["without findings", "with findings"])
def test_write_results__shows_both_whatever_is_passed(plan: Path, passed: bool) -> None:
    """The line of the contract, and the same line without the findings."""
    shoot, findings = costing.read_workbook(plan)
    estimate = costing.estimate(shoot)
    if passed:
        costing.write_results(plan, estimate, findings)
    else:
        costing.write_results(plan, estimate)
    assert {BY_READING, BY_WORKING_OUT} <= codes_on_sheet(plan)


def test_library_and_command_line__say_the_same(plan: Path) -> None:
    estimate = costing.estimate(costing.read_workbook(plan)[0])
    printed = CliRunner().invoke(main, ["check", str(plan)]).output
    assert all(str(finding).splitlines()[0] in printed for finding in estimate.findings)
    counted = [line for line in printed.splitlines() if "error" in line or "warning" in line]
    assert counted
