"""The commands as a person types them: what they print, write and give as exit code."""

from __future__ import annotations

import csv
import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import openpyxl
import pytest
from by_hand import save_workbook_by_hand
from commands import put_demo, typed
from small import line, shoot_of, sound

import costing.cli
import costing.cli.screen
from costing.holding.models import Container
from costing.shoot import Shot
from costing.workbook.demo import DEMO_NAME, UNCERTAIN_NAME


@pytest.fixture
def plan(folder: Path) -> Path:
    """The pancake workbook made by hand."""
    path = folder / "plan.xlsx"
    save_workbook_by_hand(path)
    return path


def set_cell(path: Path, sheet: str, cell: str, value: str | float | None) -> None:
    """Change one cell of a workbook that has nothing openpyxl would lose."""
    book = openpyxl.load_workbook(path)
    book[sheet][cell] = value
    book.save(path)


def parts(path: Path) -> dict[str, bytes]:
    """Every part of a workbook."""
    with ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def test_demo__prints_list_money_and_holding_and_can_be_run_again(folder: Path) -> None:
    """38.64 bought, 31.34 used, 3.35 of it from the pantry, by the hand-worked shoot."""
    first = typed("demo", "shoots/tart")  # neither folder is there yet
    assert first.exit_code == 0, first.output
    for text in ("38.64 EUR", "31.34 EUR", "3.35 EUR", "2.25 kg", "discard", "12:05"):
        assert text in first.output
    data = (folder / "shoots" / "tart" / DEMO_NAME).read_bytes()
    again = typed("demo", "shoots/tart")
    assert again.exit_code == 0
    assert (folder / "shoots" / "tart" / DEMO_NAME).read_bytes() == data


def test_estimate__of_the_demo_judges_bowls_as_last_logged_and_not_now(folder: Path) -> None:
    """Law: what made the demo and what works it out again say the same, whatever the day is."""
    made = typed("demo").output.splitlines()
    again = typed("estimate", DEMO_NAME).output.splitlines()
    assert again == [*made[:-1], f"{DEMO_NAME}: Nothing changed."]


@pytest.mark.parametrize(
    ("title", "first"), [("Pancakes", "Pancakes (plan.xlsx)"), (None, "plan.xlsx")]
)
def test_estimate__says_which_file_and_its_title_if_it_has_one(
    plan: Path, title: str | None, first: str
) -> None:
    set_cell(plan, "Settings", "B3", title)
    assert typed("estimate", plan.name).output.splitlines()[0] == first


def test_demo__uncertain_says_how_sure_the_basket_is(folder: Path) -> None:
    """Three charrings of one to four are covered: 39.68, and 4.39 % by the beta distribution."""
    result = typed("demo", "--uncertain")
    assert result.exit_code == 0, result.output
    lines = [line.split() for line in result.output.splitlines()]
    assert ["Bought", "value", "39.68", "EUR"] in [line[:4] for line in lines]
    assert ["Chance", "of", "running", "out", "4.39", "%", "5", "%"] in [line[:8] for line in lines]
    assert ["Times", "covered,", "P5", "3", "planned", "2,"] in [line[:6] for line in lines]
    assert (folder / UNCERTAIN_NAME).exists()


def test_demo__never_overwrites_a_changed_demo(folder: Path) -> None:
    put_demo(folder)
    path = folder / DEMO_NAME
    path.write_bytes(b"mine")
    result = typed("demo")
    assert result.exit_code == 2
    assert path.read_bytes() == b"mine"


def test_new__writes_a_workbook_that_can_be_read_and_never_overwrites(folder: Path) -> None:
    assert typed("new", "plan.xlsx").exit_code == 0
    book = openpyxl.load_workbook(folder / "plan.xlsx")
    assert [s for s in book.sheetnames if s != "Instructions"] == [
        "Settings",
        "Recipes",
        "Shoot plan",
        "Packs",
        "Findings",
    ]
    data = (folder / "plan.xlsx").read_bytes()
    again = typed("new", "plan.xlsx")
    assert again.exit_code == 2
    assert "plan.xlsx" in again.output
    assert (folder / "plan.xlsx").read_bytes() == data


def test_new__another_ending_is_told(folder: Path) -> None:
    result = typed("new", "plan.ods")
    assert result.exit_code == 2
    assert result.output == (
        "plan.ods: found .ods, expected a name that ends in .xlsx. Write plan.xlsx, for example.\n"
    )


@pytest.mark.parametrize("name", [".", "..", "/"])
def test_new__a_folder_that_has_no_name_of_its_own_is_told(folder: Path, name: str) -> None:
    """Neither this folder nor the one above it can be a file: nothing is written beside them."""
    result = typed("new", name)
    assert (result.exit_code, list(folder.iterdir())) == (2, [])
    assert result.output == (
        f"{name}: found no ending, expected a name that ends in .xlsx. Write plan.xlsx, for "
        "example.\n"
    )


def test_estimate__workbook_made_by_hand_gives_the_hand_worked_total(plan: Path) -> None:
    """6.60 bought, see by_hand.py; used 600/1000 x 1.20 + 6/6 x 2.10 + 750/1000 x 1.50
    + 15/125 x 1.80 = 0.72 + 2.10 + 1.125 + 0.216 = 4.161, shown as 4.16.
    """
    result = typed("estimate", plan)
    assert result.exit_code == 0, result.output
    assert "6.60 EUR" in result.output
    assert "4.16 EUR" in result.output
    sheets = openpyxl.load_workbook(plan).sheetnames
    assert sheets[:5] == ["Notes of mine", "Recipes", "Shoot plan", "Packs", "Settings"]
    assert {"Summary", "To buy", "Needs", "Food cost", "Findings"} <= set(sheets)


def test_estimate__its_search_may_end_at_once_and_not_before(plan: Path) -> None:
    """A plan without a choice needs no search; less than no time is refused."""
    assert typed("estimate", plan, "--json", "--seconds", "0").exit_code == 0
    assert typed("estimate", plan, "--json", "--seconds", "-1").exit_code == 2


def test_estimate__what_was_found_stands_apart_from_the_answers(folder: Path) -> None:
    said = typed("demo").output.splitlines()
    first = next(at for at, line in enumerate(said) if line.startswith("warning: "))
    assert said[first - 1] == ""


def test_estimate__twice_gives_the_same_file(plan: Path) -> None:
    """Law: a second run with nothing changed leaves every byte as it is."""
    typed("estimate", plan)
    first = plan.read_bytes()
    result = typed("estimate", plan)
    assert plan.read_bytes() == first
    assert result.output.endswith("Nothing changed.\n")


def test_estimate__input_sheets_and_extras_stay_byte_for_byte(plan: Path) -> None:
    """Law: only the workbook part, its lists and the formats differ, all else is as it was."""
    before = parts(plan)
    typed("estimate", plan)
    after = parts(plan)
    touched = {name for name in before if after.get(name) != before[name]}
    assert touched <= {
        "xl/workbook.xml",
        "xl/_rels/workbook.xml.rels",
        "[Content_Types].xml",
        "xl/styles.xml",
    }


def test_estimate__output_leaves_the_workbook_alone(plan: Path) -> None:
    before = plan.read_bytes()
    result = typed("estimate", plan, "--output", "copy.xlsx")
    assert result.exit_code == 0
    assert plan.read_bytes() == before
    assert "To buy" in openpyxl.load_workbook(plan.parent / "copy.xlsx").sheetnames


def test_estimate__json_has_every_table_and_writes_nothing(plan: Path) -> None:
    """One bag of flour of 1 kg at 1.20 leaves 400 g of 1000 g."""
    before = plan.read_bytes()
    result = typed("estimate", plan, "--json")
    told: dict[str, Any] = json.loads(result.output)
    assert plan.read_bytes() == before
    assert {"to_buy", "needs", "food_cost", "holding_times", "assumptions", "findings"} <= set(told)
    assert told["totals"]["bought"] == "6.60"
    assert told["totals"]["bought_complete"] is True
    assert told["totals"]["missing"] == []
    (episode,) = told["totals"]["episodes"].values()
    assert episode == {
        "title": "",
        "used": "4.16",
        "share_of_bought": "6.60",
        "share_of_visits": "0.00",
    }
    (flour,) = [row for row in told["to_buy"] if row["ingredient"] == "flour"]
    assert (flour["packs"], flour["pack_amount"], flour["unit"]) == (1, "1", "kg")
    assert (flour["cost"], Fraction(flour["left_over"])) == ("1.20", Fraction(2, 5))


def test_estimate__missing_price_is_told_and_the_total_says_so(plan: Path) -> None:
    """Without the eggs at 2.10 the tills take 4.50 and more."""
    set_cell(plan, "Packs", "A3", None)
    result = typed("estimate", plan, "--json")
    totals = json.loads(result.output)["totals"]
    assert result.exit_code == 0
    assert totals["bought"] == "4.50"
    assert totals["bought_complete"] is False
    assert totals["missing"] == ["the price of 1 x 6 each of egg"]


def test_check__error_gives_1_and_the_place(plan: Path) -> None:
    set_cell(plan, "Recipes", "D2", "grms of")
    result = typed("check", plan)
    assert result.exit_code == 1
    assert result.output.startswith("error: Recipes!D2 (")
    assert "1 error" in result.output


def test_check__unreadable_gives_2(folder: Path) -> None:
    (folder / "plan.xlsx").write_text("hello")
    result = typed("check", "plan.xlsx")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "[not a workbook]" in result.stderr


def test_list__by_shop_and_as_csv(plan: Path) -> None:
    result = typed("list", plan)
    assert result.exit_code == 0
    assert "flour" in result.output
    (plan.parent / "list.csv").write_text("mine")
    said = typed("list", plan, "--csv", "list.csv").output
    assert said.startswith("Written: list.csv. The version before is kept in .costing-backups.\n")
    (kept,) = (plan.parent / ".costing-backups").glob("list.*.csv")
    assert kept.read_text() == "mine"
    assert typed("list", plan, "--csv", "list.csv").output.startswith("Written: list.csv\n")
    with (plan.parent / "list.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["Ingredient"] for row in rows] == ["flour", "egg", "milk", "butter"]
    assert sum(Fraction(row["Cost"]) for row in rows) == Fraction("6.60")


def test_list_and_why__do_not_repeat_what_estimate_said(plan: Path) -> None:
    """Two lots of the demo are past their date; a missing price stands on the list itself."""
    assert "[lot past its date]" in typed("demo").output
    for command in ("list", "why"):
        result = typed(command, DEMO_NAME)
        assert "warning:" not in result.output
        counted = result.output.splitlines()[-1]
        assert counted.startswith("2 warnings, ")
        assert counted.endswith(f" on what is bought; all findings: costing check {DEMO_NAME}")
    set_cell(plan, "Packs", "A3", None)
    for command in ("list", "why", "left"):
        said = typed(command, plan).output
        assert "warning:" not in said
        assert said.splitlines()[-1].startswith("1 warning")
    listed = typed("list", plan).output
    assert "at least " in listed
    assert listed.splitlines()[-2] == "", "what was found stands apart"
    set_cell(plan, "Packs", "A3", "two")
    for command in ("list", "why", "left"):
        assert "error:" in typed(command, plan).output, "it leaves something out of this too"


def test_list__csv_keeps_text_that_begins_like_a_formula_as_text(plan: Path) -> None:
    set_cell(plan, "Recipes", "A2", "@flour")
    set_cell(plan, "Packs", "D2", "@flour")
    typed("list", plan, "--csv", "list.csv")
    with (plan.parent / "list.csv").open(encoding="utf-8-sig", newline="") as file:
        assert next(csv.DictReader(file))["Ingredient"] == "'@flour"


def test_holding__past_a_limit_gives_3_and_before_it_0(folder: Path) -> None:
    """Out from 10:05 without a break that counts: the two hours end at 12:05."""
    put_demo(folder)
    before = typed("holding", DEMO_NAME, "--at", "12:04")
    assert (before.exit_code, "within the limit" in before.output) == (0, True)
    assert "1 warning, 1 note bearing on the containers; all findings: " in before.output
    after = typed("holding", DEMO_NAME, "--at", "2031-05-10 12:05")
    assert after.exit_code == 3
    assert "They do not show that any food is safe" in after.output
    assert "safe to eat" not in after.output
    told = json.loads(typed("holding", DEMO_NAME, "--at", "12:05", "--json").output)
    assert set(told) == {"holding_times", "findings", "cautions"}
    first = told["holding_times"][0]
    assert (first["rule"], first["status"]) == ("US-HOME-2H", "discard")
    assert first["discard_at"] == "2031-05-10T12:05:00+01:00"


def test_holding__of_food_it_says_what_takes_a_bowl_from_the_rules_and_counts_the_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A class of none against the tables is a warning; a blank amount was told by check."""
    monkeypatch.chdir(tmp_path)
    shoot = shoot_of(
        line("flan", "milk", "1 l"),
        line("flan", "cream", None),
        sound("milk", holding_class="none"),
        Shot(dish="flan"),
        Container(name="jug", holds=("milk",)),
    )
    costing.write_workbook("flan.xlsx", shoot)
    said = typed("holding").output
    assert "[class against the tables]" in said
    assert "[amount missing]" in typed("check").output
    assert "[amount missing]" not in said
    assert "2 warnings bearing on the containers; all findings" in said
    assert "[amount missing]" in typed("left").output, "no take is short of it there"


def test_holding__time_that_cannot_be_read_is_told(folder: Path) -> None:
    put_demo(folder)
    result = typed("holding", DEMO_NAME, "--at", "noon")
    assert result.exit_code == 2
    assert result.output == (
        '--at: found "noon", expected a time such as 13:50 on the shoot date, or a date and a '
        "time such as 2031-05-10 13:50. Write it in one of these forms.\n"
    )


def test_holding__calendar_is_written_beside_the_table(folder: Path) -> None:
    put_demo(folder)
    result = typed("holding", DEMO_NAME, "--at", "11:00", "--calendar", "limits.ics")
    assert "Written: limits.ics, 1 event.\n" in result.output
    text = (folder / "limits.ics").read_bytes().decode()
    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert "BEGIN:VALARM" in text


def test_holding__calendar_of_no_limit_is_not_written(plan: Path) -> None:
    result = typed("holding", plan.name, "--calendar", "limits.ics")
    assert "No limit is running or planned: no calendar is written.\n" in result.output
    assert not (plan.parent / "limits.ics").exists()


def test_holding__calendar_of_another_program_is_left_alone(folder: Path) -> None:
    put_demo(folder)
    (folder / "mine.ics").write_text("BEGIN:VCALENDAR\r\nPRODID:me\r\nEND:VCALENDAR\r\n")
    result = typed("holding", DEMO_NAME, "--at", "11:00", "--calendar", "mine.ics")
    assert result.exit_code == 2
    assert "mine.ics: found a file that this command has not written, expected a free name" in (
        result.output
    )


def test_holding__cautions_are_one_line_unless_asked_for(folder: Path) -> None:
    put_demo(folder)
    short = typed("holding", DEMO_NAME, "--at", "11:00").output
    assert "All cautions: costing holding --cautions" in " ".join(short.split())
    assert "weak immune systems" not in short
    assert (
        "weak immune systems" in typed("holding", DEMO_NAME, "--at", "11:00", "--cautions").output
    )


def test_rules__listed_explained_and_unknown() -> None:
    listed = typed("rules")
    assert listed.exit_code == 0
    for rule in ("US-HOME-2H", "US-TPHC-4", "AU-2H4H", "UK-CHILL4", "UK-HOT2"):
        assert rule in listed.output
    explained = typed("rules", "uk-chill4")
    assert explained.exit_code == 0
    assert "Schedule 4" in explained.output
    unknown = typed("rules", "UK-CHILL")
    assert unknown.exit_code == 2
    assert "Nearest: UK-CHILL4." in unknown.output
    several = typed("rules", "US-TPHC-5").output
    assert several.endswith(" Nearest: US-TPHC-4.\n"), "one is named, though three are near"


def test_file_left_out__the_only_workbook_is_taken(plan: Path) -> None:
    assert typed("check").exit_code == 0
    save_workbook_by_hand(plan.with_name("other.xlsx"))
    two = typed("check")
    assert two.exit_code == 2
    assert two.output == (
        "This folder holds 2 workbooks (other.xlsx, plan.xlsx); name the one you mean.\n"
    )


def test_file_left_out__none_there_is_told(folder: Path) -> None:
    result = typed("list")
    assert result.exit_code == 2
    assert result.stderr == (
        "This folder holds no workbook; name one: costing estimate plan.xlsx\n"
    )


def test_estimate__workbook_open_elsewhere_gets_its_results_beside_it(plan: Path) -> None:
    before = plan.read_bytes()
    (plan.parent / ".~lock.plan.xlsx#").write_text(",ana,kitchen,25.11.2026 10:00,file:///x;")
    result = typed("estimate", plan)
    assert result.exit_code == 0, result.output
    assert plan.read_bytes() == before
    assert "plan.xlsx is open elsewhere" in result.output
    assert "Written beside it: " in result.output
    assert "To buy" in openpyxl.load_workbook(plan.parent / "plan results.xlsx").sheetnames


def test_estimate__protected_structure_gets_results_alone_beside_it(plan: Path) -> None:
    book = openpyxl.load_workbook(plan)
    book.security.lockStructure = True
    book.save(plan)
    before = plan.read_bytes()
    result = typed("estimate", plan)
    assert result.exit_code == 0, result.output
    assert plan.read_bytes() == before
    assert "whose structure is protected, so it is left as it is" in result.output
    titles = openpyxl.load_workbook(plan.parent / "plan results.xlsx").sheetnames
    assert titles[:3] == ["Where from", "Summary", "To buy"]


def test_own_fault__is_told_without_a_traceback(
    plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("leek")

    monkeypatch.setattr(costing.cli.answers, "estimated", broken)
    result = typed("check", plan)
    assert result.exit_code == 2
    assert result.stderr == (
        "costing met a fault of its own (KeyError: 'leek'). Your own cells are as they were. "
        "Please report this line; with COSTING_TRACEBACK=1 set the whole story is printed.\n"
    )


def test_help__imports_nothing_heavy() -> None:
    """The command line answers --help without the libraries that compute."""
    import subprocess
    import sys

    code = (
        "import sys; from costing.cli import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'scipy', 'openpyxl', 'numpy', 'pint', 'pydantic', 'rich'}\n"
        "sys.exit(sorted(heavy & set(sys.modules)) or 0)"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "estimate" in done.stdout


def test_list_and_holding__a_narrow_screen_cuts_no_figure(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A column that does not fit was cut: 13.16 USD stood there as 13.1."""
    typed("new", "tart.xlsx", "--demo")
    monkeypatch.setattr(costing.cli.screen, "TEXT_COLUMNS", 50)
    listed = typed("list").output
    assert "[ ] butter                 3 x 250 g  8.37 EUR\n" in listed
    assert "\n      jar of 570 g, 400 g drained\n" in listed
    held = " ".join(typed("holding", "--at", "11:00").output.split())
    for rule, gone in (("US-HOME-2H", "12:05"), ("AU-2H4H", "14:05")):
        assert (
            f"bean puree bowl: rule {rule}, status within the limit, out for 0 h 55, discard at "
            f"{gone}, return before 12:05"
        ) in held


def test_published__shows_sources_and_the_row_to_paste() -> None:
    known = typed("published", "spring", "onion")
    assert known.exit_code == 0
    assert "Trim yield %" in known.output
    assert "Row for Ingredients:" in known.output
    nothing = typed("published")
    assert (nothing.exit_code, "Missing argument 'WORDS...'" in nothing.output) == (2, True)
    unknown = typed("published", "leeek")
    assert unknown.exit_code == 1
    assert unknown.output == 'Nothing is published here under "leeek". Nearest: leek.\n'


@pytest.mark.parametrize("form", ["--csv", "--html"])
def test_list__never_overwrites_a_workbook(plan: Path, form: str) -> None:
    before = plan.read_bytes()
    result = typed("list", plan, form, plan)
    assert result.exit_code == 2
    assert plan.read_bytes() == before


def test_list__as_a_page_for_a_phone(plan: Path) -> None:
    """The four ingredients in the order of the list, and what the tills take, 6.60."""
    result = typed("list", plan, "--html", "list.html")
    assert result.exit_code == 0
    assert result.output.startswith("Written: list.html. Send it to the phone as a file ")
    page = (plan.parent / "list.html").read_text(encoding="utf-8")
    assert re.findall(r'class="name">(\w+)<', page) == ["flour", "egg", "milk", "butter"]
    assert "Total at the tills: 6.60" in page


def test_list__page_says_that_errors_leave_something_out(plan: Path) -> None:
    set_cell(plan, "Recipes", "D2", "grms of")
    result = typed("list", plan, "--html", "list.html")
    assert result.exit_code == 1
    page = (plan.parent / "list.html").read_text(encoding="utf-8")
    assert "The list is not whole: 1 error was found" in page


def test_list__one_form_at_a_time(plan: Path) -> None:
    result = typed("list", plan, "--html", "list.html", "--csv", "list.csv")
    assert result.exit_code == 2
    assert result.output == ("--html and --csv: found both, expected one of them. Leave one out.\n")
    assert [path.name for path in plan.parent.iterdir()] == [plan.name]


def test_list__page_that_cannot_be_written_is_told(plan: Path) -> None:
    result = typed("list", plan, "--html", "nowhere/list.html")
    assert result.exit_code == 2
    assert result.output == (
        "nowhere/list.html: cannot be written (No such file or directory). Close it where it is "
        "open, or name another file.\n"
    )


def test_estimate__output_must_be_named_as_a_workbook(plan: Path) -> None:
    result = typed("estimate", plan, "--output", "out.csv")
    assert result.exit_code == 2
    assert not (plan.parent / "out.csv").exists()


def test_brackets_in_names__are_printed_as_they_are(plan: Path) -> None:
    """What looks like a mark of the printing library is somebody's own text."""
    set_cell(plan, "Recipes", "A2", "flour [plain]")
    set_cell(plan, "Packs", "D2", "flour [plain]")
    set_cell(plan, "Packs", "F1", "Note")
    set_cell(plan, "Packs", "F2", "half [/fat]")
    result = typed("list", plan)
    assert result.exit_code == 0, result.output
    assert "flour [plain]" in result.output
    assert "half [/fat]" in result.output


def test_holding__an_instant_with_an_offset_is_shown_in_the_zone_of_the_shoot(
    folder: Path,
) -> None:
    """11:00 in UTC is noon in Lisbon in May."""
    put_demo(folder)
    result = typed("holding", DEMO_NAME, "--at", "2031-05-10T11:00+00:00")
    assert "at 2031-05-10 12:00 (Europe/Lisbon)" in result.output
    assert typed("holding", DEMO_NAME, "--at", "").exit_code == 2


def test_demo__a_name_that_is_no_folder_is_told(folder: Path) -> None:
    (folder / "taken").write_text("x")
    result = typed("demo", "taken")
    assert result.exit_code == 2
    assert result.output == (
        "taken: found no folder to write into (File exists), expected a folder or a free name for "
        "one. Name another folder.\n"
    )


def test_findings__a_price_that_cannot_be_read_is_not_called_missing_too(plan: Path) -> None:
    set_cell(plan, "Packs", "A2", "1,234")
    result = typed("check", plan)
    assert "[ambiguous number]" in result.output
    assert "[price missing]" not in result.output


def test_estimate__a_workbook_that_may_not_be_written_gets_its_results_beside_it(
    plan: Path,
) -> None:
    before = plan.read_bytes()
    plan.chmod(0o444)
    result = typed("estimate", plan)
    assert result.exit_code == 0, result.output
    assert plan.read_bytes() == before
    assert "To buy" in openpyxl.load_workbook(plan.parent / "plan results.xlsx").sheetnames


def test_estimate__an_episode_whose_figures_leave_something_out_says_so(plan: Path) -> None:
    """The eggs without a price belong to the only episode."""
    set_cell(plan, "Packs", "A3", None)
    totals = json.loads(typed("estimate", plan, "--json").output)["totals"]
    (episode,) = totals["episodes"].values()
    assert episode["complete"] is False
    assert episode["missing"] == ["the price of 1 x 6 each of egg"]


def test_estimate__an_empty_workbook_has_no_complete_total(folder: Path) -> None:
    typed("new", "empty.xlsx")
    result = typed("estimate", "empty.xlsx", "--json")
    totals = json.loads(result.output)["totals"]
    assert result.exit_code == 1
    assert totals["bought_complete"] is False
    assert totals["missing"] == ["every dish: there are no recipe lines"]
