"""Findings: where they are, in the words of a spreadsheet, and lists in prose."""

from __future__ import annotations

import pytest

from costing.findings import Place, choice_words, quoted_sheet


@pytest.mark.parametrize(
    ("place", "said"),
    [
        (Place("Packs", 7, "E", "Price", "leek"), 'Packs!E7 (row "leek", column "Price")'),
        (Place("Packs", 7, "E"), "Packs!E7"),
        (Place("On hand", 7, name="leek"), "'On hand' row 7 (row \"leek\")"),
        (Place("", 7, "E"), "E7"),
        (Place("Packs", heading="Price"), 'Packs (column "Price")'),
        (Place("Packs"), "Packs"),
        (Place(name="leek"), 'row "leek"'),
        (Place(), "the shoot"),
    ],
    ids=str,
)
def test_place__says_what_is_known_of_it(place: Place, said: str) -> None:
    assert str(place) == said


@pytest.mark.parametrize(
    ("sheet", "spelled"),
    [("Packs", "Packs"), ("2nd day", "'2nd day'"), ("2031", "'2031'"), ("Tom's", "'Tom''s'")],
)
def test_quoted_sheet__as_a_formula_spells_it(sheet: str, spelled: str) -> None:
    """A name that begins with a digit would be read as a number."""
    assert quoted_sheet(sheet) == spelled


def test_choice_words__ten_are_listed_and_of_more_the_rest_is_counted() -> None:
    letters = "abcdefghijk"
    assert choice_words(letters[:10]) == "a, b, c, d, e, f, g, h, i or j"
    assert choice_words(letters) == "a, b, c, d, e, f, g, h, i, j or one of 1 more"
