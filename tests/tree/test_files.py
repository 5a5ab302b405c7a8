"""What no file of the tree may hold."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest
from tree_files import modules, name, texts

from costing.__main__ import columns, help_page
from costing.cli import main

HOSTS = tuple(
    "".join(parts)
    for parts in (
        ("py", "pi.org"),
        ("python", "hosted.org"),
        ("npm", "js."),
        ("ana", "conda.org"),
        ("conda.", "io"),
        ("crates", ".io"),
        ("ruby", "gems.org"),
        ("proxy.", "golang"),
        ("repo1.", "maven"),
    )
)
"""Hosts of package registries; where a package comes from is each computer's own setting."""

MACHINE_PATH = re.compile(
    r"(?<![\w.~:/<*-])/(?:home|root|tmp|work|mnt|opt|Users|private|var/folders)/\w"
    r"|\b[A-Z]:\\(?:Users|Documents)\b"
)
PROMISE = " ".join(("safe", "to", "eat"))


def test_files__name_no_package_registry() -> None:
    found = [where for where, text in texts() if any(host in text.casefold() for host in HOSTS)]
    assert not found, "\n".join(found)


def test_files__hold_no_path_of_one_machine() -> None:
    found = [
        f"{where}: {match.group()}"
        for where, text in texts()
        if (match := MACHINE_PATH.search(text))
    ]
    assert not found, "\n".join(found)


def test_files__promise_nothing_about_food() -> None:
    """The library speaks of rules and limits; it never says that food may be eaten."""
    found = [
        where
        for where, text in texts()
        if PROMISE in text.casefold() and not where.startswith("tests/")
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("open('/ho" + "me/cook/plan.xlsx')", True),
        ("C:\\Us" + "ers\\cook", True),
        ("https://example.org/ho" + "me/page", False),
        ("</work" + "sheet>", False),
    ],
    ids=["a home", "a home on Windows", "a page", "a closing tag"],
)
def test_machine_path__a_wrong_one_would_be_seen(text: str, seen: bool) -> None:
    assert bool(MACHINE_PATH.search(text)) is seen


@pytest.mark.parametrize(("folder", "most"), [("costing", 400), ("tests", 600)])
def test_module__is_cut_before_it_is_too_long(folder: str, most: int) -> None:
    """A module of the product is cut along a noun at 400 lines; cases of a test may run on."""
    lines = {name(path): path.read_text(encoding="utf-8").count("\n") for path in modules(folder)}
    long = [f"{count} {where}" for where, count in lines.items() if count > most]
    assert not long, "\n".join(long)


def test_class__has_a_name_of_its_own() -> None:
    """One word, one thing: DEVELOPERS.md says that no two public classes have one name."""
    places: dict[str, list[str]] = defaultdict(list)
    for path in modules("costing"):
        for called in re.findall(r"(?m)^class ([A-Z]\w*)", path.read_text(encoding="utf-8")):
            places[called].append(name(path))
    assert "Shoot" in places
    twice = {called: where for called, where in places.items() if len(where) > 1}
    assert not twice


def test_files__the_help_page_is_what_click_says(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Kept in ``costing/help.txt`` so that ``--help`` imports nothing; a new command changes it.

    Made again by ``COLUMNS=80 python -c "from costing.cli import main; main()" --help``, with
    ``costing`` for the name of the program.
    """
    monkeypatch.setenv("COLUMNS", "80")
    main(["--help"], prog_name="costing", standalone_mode=False)
    assert help_page() == capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", "60")
    assert columns() == 60
