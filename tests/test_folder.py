"""What ``costing`` alone says of the folder it stands in, and names that are left out or short."""

from __future__ import annotations

from contextlib import nullcontext
from pathlib import Path

import pytest
from by_hand import save_workbook_by_hand
from commands import put_demo, typed
from good_workbook import good_workbook

import costing.cli.screen
from costing.cli import main

ALL = "All commands:                costing --help"


def said() -> list[str]:
    done = typed()
    assert done.exit_code == 0, done.output
    return done.output.splitlines()


def test_alone__in_a_folder_without_a_workbook(folder: Path) -> None:
    assert said() == [
        "There is no workbook in this folder yet.",
        "From a recipe as plain text: costing new tart.xlsx --recipe tart.txt",
        "A workbook to fill in:       costing new plan.xlsx",
        "A whole shoot to look at:    costing demo demo",
        ALL,
    ]
    (folder / "my soup.txt").write_text("Soup\n\n1 leek\n", encoding="utf-8")
    assert said()[1] == (
        'From a recipe that is here: costing new "my soup.xlsx" --recipe "my soup.txt"'
    )


def test_alone__says_what_a_new_workbook_lacks(folder: Path) -> None:
    (folder / "soup.txt").write_text("Soup\n\n1 leek\n100 g butter\n", encoding="utf-8")
    typed("new", "plan.xlsx")
    assert said()[1:2] == ["Still to fill in: Recipes, a row for each ingredient of each step."]
    (folder / "plan.xlsx").unlink()
    typed("new", "soup.xlsx", "--recipe", "soup.txt")
    assert said() == [
        "This folder holds soup.xlsx.",
        "Still to fill in: Shoot plan, a row for each use of food.",
        "Still to fill in: Packs, rows 4 and 5: Amount, Unit and Price.",
        "Work it out:                 costing estimate soup.xlsx",
        ALL,
    ]


def test_alone__with_results_names_the_answers(folder: Path) -> None:
    put_demo(folder)
    assert said() == [
        "This folder holds leek-tart.xlsx.",
        "After a change:              costing estimate leek-tart.xlsx",
        "For the shop:                costing list leek-tart.xlsx --html",
        "Why the list is as it is:    costing why leek-tart.xlsx",
        "Bowls that are out:          costing holding leek-tart.xlsx",
        ALL,
    ]


def test_alone__errors_come_first_and_of_several_the_newest(folder: Path) -> None:
    (folder / "a.xlsx").write_bytes(b"no workbook")
    assert said()[1].startswith("It cannot be read: 'a.xlsx': found ")
    save_workbook_by_hand(folder / "plan.xlsx")
    put_demo(folder)
    assert said()[:2] == [
        "This folder holds 3 workbooks; the one saved last is leek-tart.xlsx.",
        "After a change:              costing estimate leek-tart.xlsx",
    ]


def test_alone__errors_to_mend_are_counted_before_all_else(folder: Path) -> None:
    """A price that is no number, and then the amount of another pack too."""
    book = good_workbook()
    for cell, counted in (("E3", "1 error"), ("C4", "2 errors")):
        book["Packs"][cell] = "blobs"
        book.save("plan.xlsx")
        assert said()[1] == f"{counted} to mend:             costing check plan.xlsx"


def test_alone__results_may_stand_beside_the_workbook(folder: Path) -> None:
    """The structure of the workbook is protected, so that no sheet can be put into it."""
    book = good_workbook()
    book.security.lockStructure = True
    book.save("plan.xlsx")
    assert said()[1] == "Work it out:                 costing estimate plan.xlsx"
    assert typed("estimate", "plan.xlsx").exit_code == 0
    assert said()[:2] == [
        "This folder holds plan.xlsx.",
        "After a change:              costing estimate plan.xlsx",
    ]


@pytest.mark.parametrize("name", ["plan", "plan.xlsx"])
def test_file__is_found_without_its_ending(folder: Path, name: str) -> None:
    save_workbook_by_hand(folder / "plan.xlsx")
    assert typed("check", name).exit_code == 0


@pytest.mark.parametrize(
    ("asked", "there"),
    [
        ("plam.xlsx", "plan.xlsx"),
        ("plna", "plan.xlsx"),
        ("PLAN.xslx", "plan.xlsx"),  # a slip in the ending
        ("next weak.xlsx", '"next week.xlsx"'),
        ("autumn.xlsx", ""),
        ("nowhere/plam.xlsx", ""),
        ("old/autumn.xlsx", "old/winter.xlsx"),  # the only one there
    ],
)
def test_file__not_there_names_the_one_that_may_be_meant(
    asked: str, there: str, folder: Path
) -> None:
    """A slip of the finger is told with what is there; locks, results and texts are not it."""
    (folder / "old").mkdir()
    for name in ("plan.xlsx", "next week.xlsx", "~$plam.xlsx", "plan results.xlsx", "plam.txt"):
        (folder / name).touch()
    (folder / "old" / "winter.xlsx").touch()
    told = typed("check", asked)
    assert told.exit_code == 2
    said = f"{asked}: found no file of this name. Name the one that is there: {there}.\n"
    if there:
        assert told.output == said
    else:
        assert "[file not found]" in told.output


@pytest.mark.parametrize(
    ("asked", "there"),
    [("tatr.txt", "tart.txt"), ("tart.json", "tart.txt"), ("none.txt", "")],
)
def test_recipe__not_there_names_the_one_that_may_be_meant(
    asked: str, there: str, folder: Path
) -> None:
    """As a workbook's name; workbooks are not it."""
    for name in ("tart.txt", "leek soup.txt", "none.xlsx"):
        (folder / name).touch()
    told = typed("new", "plan.xlsx", "--recipe", asked)
    assert told.exit_code == 2
    said = f"{asked}: found no file of this name. Name the one that is there: {there}.\n"
    if there:
        assert told.output == said
    else:
        assert "[file not found]" in told.output


def test_file__with_too_long_a_name_is_told(folder: Path) -> None:
    assert "[file cannot be read]" in typed("check", f"{'plan' * 80}.xlsx").output


def test_file__to_be_made_may_be_nearly_another(folder: Path) -> None:
    save_workbook_by_hand(folder / "plan.xlsx")
    assert typed("new", "plan2").exit_code == 0
    assert (folder / "plan2.xlsx").is_file()


@pytest.mark.parametrize(
    "words",
    [("plan", "--html"), ("--html", "plan.xlsx"), ("--html",)],
    ids=["behind", "before", "alone"],
)
def test_html__alone_names_its_file(folder: Path, words: tuple[str, ...]) -> None:
    save_workbook_by_hand(folder / "plan.xlsx")
    before = (folder / "plan.xlsx").read_bytes()
    done = typed("list", *words)
    assert done.output.splitlines()[0] == (
        "Written: plan list.html. Send it to the phone as a file (mail, chat, shared folder, "
        "cable) and open it in the browser there; it needs no network, and the ticks stay on that "
        "phone."
    )
    assert (folder / "plan list.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert (folder / "plan.xlsx").read_bytes() == before


def test_csv__alone_names_its_file(folder: Path) -> None:
    save_workbook_by_hand(folder / "plan.xlsx")
    for words in (("list", "--csv"), ("list", "--csv", "plan.xlsx")):
        assert typed(*words).output.startswith("Written: plan list.csv\n")
    for kind in ("csv", "html"):
        done = typed("list", "plan", f"--{kind}", f"food.{kind}")
        assert done.output.startswith(f"Written: food.{kind}"), done.output
        assert (folder / f"food.{kind}").exists()


@pytest.mark.parametrize(("words", "said"), [(("list",), True), (("list", "--quiet"), False)])
def test_quiet__says_nothing_of_what_takes_its_time(
    folder: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: bool
) -> None:
    """Counted where the screen would say it; a test has no terminal to say it on."""
    save_workbook_by_hand(folder / "plan.xlsx")
    told: list[str] = []

    def busy(what: str) -> nullcontext[None]:
        told.append(what)
        return nullcontext()

    monkeypatch.setattr(costing.cli.screen, "busy", busy)
    assert typed(*words).exit_code == 0
    assert bool(told) is said


def test_quiet__may_stand_in_every_command(folder: Path) -> None:
    """Progress is for terminals alone, so that what is printed into a file is the answer."""
    save_workbook_by_hand(folder / "plan.xlsx")
    assert typed("list", "--quiet").output == typed("list").output
    for command in main.commands.values():
        assert any("--quiet" in option.opts for option in command.params), command.name


@pytest.mark.parametrize("command", ["check", "estimate", "list", "left"])
def test_command__of_a_recipe_says_how_a_workbook_of_it_is_made(folder: Path, command: str) -> None:
    """It is no workbook that a spreadsheet program could save."""
    (folder / "my soup.txt").write_text("Soup\n\n1 leek\n", encoding="utf-8")
    result = typed(command, "my soup.txt")
    assert (result.exit_code, result.output) == (
        2,
        "my soup.txt: found a text, expected a workbook. If it is a recipe, a workbook of it is "
        'made by: costing new "my soup.xlsx" --recipe "my soup.txt"\n',
    )
