"""Cups and spoons while nobody chose whose: what is said, and what others would change."""

from __future__ import annotations

from fractions import Fraction

import pytest
from small import line, pack, part, shoot_of, sound

from costing.buying.alternatives import unchosen_words
from costing.estimating import estimate
from costing.quantities import Measures
from costing.shoot import Settings, Shoot, Shot

SHOT = Shot(dish="soup")
OIL = sound("moon oil", density=Fraction(1))


def said(shoot: Shoot) -> list[str]:
    """The notes about measures."""
    found = estimate(shoot).findings
    return [str(finding) for finding in found if finding.code == "measures not chosen"]


def test_message__measures_not_chosen() -> None:
    """4 cups of 250, 236.6, 240, 284.1 and 200 ml are 10, 9.5, 9.6, 11.4 and 8 packs of 100 ml."""
    parts = [line("soup", "moon oil", "4 cup"), OIL, pack("moon oil", "100 ml", "1"), SHOT]
    assert said(shoot_of(*parts)) == [
        'Settings (row "Measures"): found a blank cell, while amounts are in cup, expected the '
        "measures of the recipes, as they differ by country [measures not chosen]\n"
        "  Choose Measures on the sheet Settings; until then they are metric, which buys for "
        "10.00; it would be 12.00 by UK imperial and 8.00 by Japanese."
    ]


def test_message__measures_not_chosen_where_nothing_changes() -> None:
    parts = [line("soup", "moon oil", "4 tbsp"), OIL, pack("moon oil", "1 l", "3"), SHOT]
    assert said(shoot_of(*parts)) == [
        'Settings (row "Measures"): found a blank cell, while amounts are in tbsp, expected the '
        "measures of the recipes, as they differ by country [measures not chosen]\n"
        "  Choose Measures on the sheet Settings; until then they are metric, and all others buy "
        "for 3.00 too."
    ]


def test_message__measures_not_chosen_where_each_run_is_a_search() -> None:
    """An uncertain number of times makes each trial a search of its own: no money is named."""
    shot = Shot(dish="soup", times=2, most=4)
    parts = [line("soup", "moon oil", "1 cup"), OIL, pack("moon oil", "100 ml", "1"), shot]
    (text,) = said(shoot_of(*parts))
    assert text.endswith("until then they are metric.")


def test_message__measures_not_chosen_where_what_is_cut_takes_too_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two ways of cutting make each trial a search: there is work for all of them, or for none.

    The lemon is 1.00 by every measure; of the oil as above.
    """
    lemons = shoot_of(
        *(line("soup", "wedge", "6 each"), line("soup", "zest", "1 each")),
        *(part("lemon", "wedge", "6 each", way="cut"), part("lemon", "zest", "1 each", way="cut")),
        part("lemon", "zest", "2 each", way="grated"),
        pack("lemon", "1 each", "1"),
        *(line("soup", "moon oil", "4 cup"), OIL, pack("moon oil", "100 ml", "1"), SHOT),
    )
    (text,) = said(lemons)
    assert "which buys for 11.00; it would be 13.00 by UK imperial and 9.00 by Japanese" in text
    monkeypatch.setattr("costing.buying.alternatives.WORK", 0)
    (text,) = said(lemons)
    assert text.endswith("until then they are metric.")


def test_message__measures_not_chosen_names_no_money_that_leaves_something_out() -> None:
    """Without a pack of the oil nothing is known of what other measures would buy for."""
    (text,) = said(shoot_of(line("soup", "moon oil", "4 cup"), OIL, SHOT))
    assert text.endswith("until then they are metric.")


@pytest.mark.parametrize("text", ["4 US cup", "400 g", "3 each"])
def test_unchosen_words__are_those_that_differ_by_country(text: str) -> None:
    assert unchosen_words(shoot_of(line("soup", "moon oil", text), SHOT)) == ()


def test_measures__chosen_are_not_remarked_on() -> None:
    shoot = shoot_of(line("soup", "moon oil", "4 cup"), OIL, SHOT)
    chosen = shoot.changed(settings=Settings(measures=Measures.METRIC))
    assert unchosen_words(shoot) == ("cup",)
    assert said(chosen) == []


def test_assumptions__name_the_words_although_cups_were_turned_into_grams() -> None:
    parts = [line("soup", "flour", "2 cup"), line("soup", "milk", "3 tbsp")]
    rows = estimate(shoot_of(*parts, pack("flour", "1 kg", "1"), SHOT)).assumptions
    (row,) = [row for _, row in rows.iterrows() if row["value_used"] == "metric"]
    assert row["about"] == "What cup and tbsp mean"
