"""The command that gives a recipe to publish, and the one that takes it in again."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from costing.cli import main
from costing.workbook.demo import DEMO_NAME


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def typed(*words: str) -> Result:
    """What a command prints and gives."""
    return CliRunner().invoke(main, words)


def test_recipe__is_printed_written_and_taken_into_a_new_workbook(folder: Path) -> None:
    """Out of the demo as text, into a new workbook, out of that again: word for word the same."""
    assert typed("demo").exit_code == 0
    printed = typed("recipe", DEMO_NAME)
    assert printed.exit_code == 0
    assert "- 250 g (2 cups) flour\n" in printed.output
    assert "here by at most 5.9 %." in printed.output
    assert typed("recipe", DEMO_NAME, "--form", "markdown", "--output", "tart.md").exit_code == 0
    assert typed("new", "tart.xlsx", "--recipe", "tart.md").exit_code == 0
    assert typed("recipe", "tart.xlsx").output == printed.output


def test_recipe__says_what_it_lacks(folder: Path) -> None:
    typed("demo")
    dish = "charred-leek and white-bean tart"
    unknown = typed("recipe", DEMO_NAME, "charred leek and white bean tart")
    assert unknown.exit_code == 1
    assert unknown.output == (
        f'There is no dish "charred leek and white bean tart"; known are {dish}. Nearest: {dish}.\n'
    )
    wrong = typed("recipe", DEMO_NAME, "--form", "pdf")
    assert wrong.exit_code == 2
    assert wrong.output == '--form: found "pdf", expected one of text, markdown, json.\n'
    assert typed("recipe", DEMO_NAME, "--output", DEMO_NAME).exit_code == 2
