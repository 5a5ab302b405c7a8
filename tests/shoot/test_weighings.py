"""What was weighed before and after trimming, and from when on it counts."""

from __future__ import annotations

from fractions import Fraction

import pytest
from small import shoot_of

from costing.kitchen import CountedLot, Ingredient
from costing.quantities import amount
from costing.shoot.episodes import Logged
from costing.shoot.weighings import (
    Trimming,
    TrimYieldLearned,
    trimmed_from,
    trimmings_of,
    weighings_behind,
    yields_learned,
)


@pytest.mark.parametrize(
    ("note", "whole"),
    [
        ("Trimmed from 800 g", "800 g"),
        ("second box; trimmed  from 0.8 kg (wet)", "0.8 kg"),
        ("trimmed from 3 kg; the rest is stock", "3 kg"),
        ("trimmed from 0 g", None),
        ("trimmed from a whole box", None),
        ("untrimmed from 800 g", None),
        ("", None),
    ],
)
def test_trimmed_from__an_amount_behind_the_words(note: str, whole: str | None) -> None:
    assert trimmed_from(note) == (None if whole is None else amount(whole))


def test_trimmings_of__what_can_be_a_part_of_what_was_there() -> None:
    """All of it may be left; more, nothing, millilitres of grams and pieces teach no part."""
    left = ["450 g", "0.8 kg", "801 g", "0 g", "400 ml"]
    rows = [CountedLot(ingredient="leek", amount=one, note="trimmed from 800 g") for one in left]
    log = [
        Logged(what="chard", event="counted", amount="1 lb", note="trimmed from 2 lb"),
        Logged(what="egg", event="counted", amount="3 each", note="trimmed from 4 each"),
        Logged(what="kale", event="counted", note="trimmed from 1 kg"),
        Logged(what="kale", event="counted", amount="1 kg", note="from the market"),
    ]
    found = [(one.ingredient, one.left / one.whole) for one in trimmings_of(shoot_of(*rows, *log))]
    assert found == [("leek", Fraction(450, 800)), ("leek", 1), ("chard", Fraction(1, 2))]


def test_yields_learned__the_most_weighed_first_and_five_are_enough() -> None:
    """Beet 4 of 5, thrice and again: of 4 weighings not enough, of 5 enough; ends 70 and 90."""
    beet = [Trimming("beet", Fraction(n), Fraction(10)) for n in (8, 7, 9, 8)]
    ash = [Trimming("Ash", Fraction(1), Fraction(3))]
    few = yields_learned([*ash, *beet])
    assert [(one.ingredient, one.rests_on_enough) for one in few] == [
        ("beet", False),
        ("Ash", False),
    ]
    [more, _] = yields_learned([*ash, *beet, Trimming("BEET", Fraction(8), Fraction(10))])
    assert [more.percent, *more.ends] == [80, 70, 90]
    assert more.rests_on_enough
    assert [one.note for one in (more, few[1])] == [
        "Learned from 5 weighings: 80 %.",
        "Learned from 1 weighing: 33.3 %.",
    ]


@pytest.mark.parametrize(
    ("trim_yield", "note", "number"),
    [
        ("33.3%", None, 1),
        ("33.4%", None, None),
        (None, None, None),
        ("33.3%", "about a third is left", None),
    ],
)
def test_weighings_behind__as_long_as_note_and_cell_agree(
    trim_yield: str | None, note: str | None, number: int | None
) -> None:
    learned = TrimYieldLearned("ash", (Trimming("ash", Fraction(1), Fraction(3)),)).note
    row = Ingredient(name="ash", trim_yield=trim_yield, note=f"{note or learned} Peeled.")
    assert weighings_behind(row) == number
