"""What a command writes ends as its kind does, so that no slip of a name costs a workbook."""

from __future__ import annotations

import json
from pathlib import Path

import openpyxl
import pytest
from by_hand import save_workbook_by_hand
from click.testing import CliRunner
from good_workbook import good_workbook

from costing.cli import main


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("estimate plan.xlsx --output plan.txt", ".xlsx or .xlsm"),
        ("close plan.xlsx --output plan.txt", ".xlsx or .xlsm"),
        ("season . --output plan.txt", ".xlsx"),
        ("list plan.xlsx --csv plan.txt", ".csv"),
        ("list plan.xlsx --html plan.txt", ".html or .htm"),
        ("list plan.xlsx --calendar plan.txt", ".ics"),
        ("holding plan.xlsx --calendar plan.xlsx", ".ics"),
        ("recipe plan.xlsx --output plan.json", ".txt or .md"),
        ("recipe plan.xlsx --form json --output plan.txt", ".json or .jsonld"),
        ("day plan.xlsx --html plan.txt", ".html or .htm"),
        ("day plan.xlsx --paper plan.txt", ".html or .htm"),
    ],
)
def test_ending__of_another_kind_is_refused_before_anything_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: str, expected: str
) -> None:
    """Exit code 2; no calendar is written over the workbook, which it may not be called."""
    monkeypatch.chdir(tmp_path)
    save_workbook_by_hand(Path("plan.xlsx"))
    before = Path("plan.xlsx").read_bytes()
    result = CliRunner().invoke(main, words.split())
    name, ending = words.split()[-1], expected.split()[0]
    # never the workbook, which is there
    advised = f"{name}.xlsx" if ending == ".xlsx" else str(Path(name).with_suffix(ending))
    assert (result.exit_code, result.output) == (
        2,
        f"{name}: found {Path(name).suffix}, expected a name that ends in {expected}. Write "
        f"{advised}, for example.\n",
    )
    assert [path.name for path in tmp_path.iterdir()] == ["plan.xlsx"]
    assert Path("plan.xlsx").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("estimate plan.xlsx --json --output copy.xlsx", "Written: copy.xlsx"),
        ("holding plan.xlsx --json --calendar limits.ics", "No limit is running or planned"),
    ],
)
def test_json__what_is_said_besides_is_no_part_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: str, said: str
) -> None:
    """What a program reads is the result alone; without --json it is all one text."""
    monkeypatch.chdir(tmp_path)
    save_workbook_by_hand(Path("plan.xlsx"))
    result = CliRunner().invoke(main, words.split())
    assert "findings" in json.loads(result.stdout)
    assert result.stdout.startswith('{\n  "'), "a line for each value, for who reads it"
    assert said in result.stderr
    plain = CliRunner().invoke(main, words.replace(" --json", "").split())
    assert (said in plain.stdout, plain.stderr) == (True, "")


def test_new__a_workbook_with_macros_is_added_to_and_never_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["new", "plan.xlsm", "--with", "Holding"]
    made = CliRunner().invoke(main, words)
    assert (made.exit_code, made.output) == (
        2,
        "plan.xlsm: found .xlsm, expected a name that ends in .xlsx. Write plan.xlsx, for "
        "example.\n",
    )
    save_workbook_by_hand(Path("plan.xlsm"))
    assert CliRunner().invoke(main, words).output.startswith("Added: Holding.\n")


def test_calendar__takes_back_a_limit_that_no_longer_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next file cancels the event of a jug that is no longer logged; then nothing is left."""
    monkeypatch.chdir(tmp_path)
    book = good_workbook()
    said = []
    for _ in range(3):
        book.save("plan.xlsx")
        words = ["holding", "--at", "2031-05-10 10:30", "--calendar", "limits.ics"]
        said.append(CliRunner().invoke(main, words).output.splitlines()[-1])
        if "Holding" in book.sheetnames:
            del book["Holding"]
    assert said == [
        "Written: limits.ics, 1 event.",
        "Written: limits.ics, 0 events, 1 cancelled.",
        "Written: limits.ics, 0 events, 1 cancelled.",
    ]


def test_output__a_file_that_stood_there_is_kept_which_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another workbook of that name may be anybody's; the same again replaces nothing."""
    monkeypatch.chdir(tmp_path)
    save_workbook_by_hand(Path("plan.xlsx"))
    Path("accounts.xlsx").write_bytes(b"accounts")
    said = []
    for _ in range(2):
        result = CliRunner().invoke(main, ["estimate", "plan.xlsx", "--output", "accounts.xlsx"])
        said.append(result.stdout.splitlines()[-1])
    kept = "Written: accounts.xlsx. The version before is kept in .costing-backups."
    assert said == [kept, "Written: accounts.xlsx"]
    assert [path.read_bytes() for path in Path(".costing-backups").iterdir()] == [b"accounts"]


@pytest.mark.parametrize(
    "command", ["check", "estimate", "list", "holding", "left", "why", "close"]
)
def test_commands__an_error_in_the_workbook_gives_1_and_none_gives_0(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By the contract; a unit that nobody knows is an error for each of them."""
    monkeypatch.chdir(tmp_path)
    save_workbook_by_hand(Path("plan.xlsx"))
    assert CliRunner().invoke(main, [command, "plan.xlsx"]).exit_code == 0
    book = openpyxl.load_workbook("plan.xlsx")
    book["Recipes"]["D2"] = "grms of"
    book.save("plan.xlsx")
    assert CliRunner().invoke(main, [command, "plan.xlsx"]).exit_code == 1


@pytest.mark.parametrize("command", ["list", "estimate"])
def test_list_and_estimate__who_avoids_what_is_planned_for_them_is_said_once(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Above the list; among the findings it is counted, and `check` has its cell."""
    monkeypatch.chdir(tmp_path)
    save_workbook_by_hand(Path("plan.xlsx"))
    book = openpyxl.load_workbook("plan.xlsx")
    plan = book["Shoot plan"]
    plan["E1"], plan["E2"] = "Eaters", "Ida"
    people = book.create_sheet("People")
    for row in (["Person", "Avoids"], ["Ida", "milk"]):
        people.append(row)
    book.save("plan.xlsx")
    said = CliRunner().invoke(main, [command, "plan.xlsx"]).output
    assert said.count("Ida") == 1
    before, _, _ = said.partition("[ ] flour")
    assert "Ida avoids what is in pancakes, cook-through (milk: milk and butter)." in before
    assert "1 warning" in said
    assert '"Ida"' in CliRunner().invoke(main, ["check", "plan.xlsx"]).output
