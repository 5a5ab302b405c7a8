"""Texts and files gone wrong: what ``python -m tests.fuzz`` looks for, in small and every time."""

from __future__ import annotations

import subprocess
import sys

import pytest
from budgets import examples
from fuzz import Target, search, smallest, targets
from tree_files import TREE

TRIES = {"cells": 40, "day log": 60, "packages": 120}
"""How many texts are tried under ``ci`` where reading one takes long; 300 otherwise."""


@pytest.mark.parametrize("name", targets())
def test_reader__ends_in_words_and_drops_nothing(name: str) -> None:
    """Law: whatever the text, it is read or refused in words, and no part of it is lost."""
    tries = examples(TRIES.get(name, 300))
    assert search(targets()[name], 2031 * tries, tries=tries) == {}


def test_search__finds_a_fault_and_makes_it_small() -> None:
    """A reader that fails on a bracket without its end, and one that drops a word."""

    def fault(text: str) -> str:
        if "drop" in text:
            return f"dropped: {text!r}"
        return "" if text.count("(") == text.count(")") else str(1 / 0)

    found = search(Target(lambda: ["one (two) three", "a drop of it"], fault), 1, tries=300)
    assert sorted(found.values()) in (["(", "drop"], [")", "drop"])
    assert "ZeroDivisionError: division by zero" in found
    assert smallest("aaaXbbbYccc", lambda text: "X" in text and "Y" in text) == "XY"


def test_fuzz__starts_as_developers_are_told() -> None:
    """`python -m tests.fuzz "day log" --seconds 60` of DEVELOPERS.md, for a moment."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz", "numbers", "--seconds", "0.2", "--seed", "3"],
        cwd=TREE,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stdout, done.stderr) == ("numbers: 0 kinds of failure\n", "")
