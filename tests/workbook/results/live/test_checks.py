"""The lines that say in words when an edited input has made the results out of date."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from live_workbooks import BRUNCH, Rows, calculated, run, with_formulas, workbook_of
from packages import bytes_of
from recalculation import ENGINES, Look, opened, with_numbers

from costing.workbook.results.checks import AGAIN, CHANGED

UNCHANGED = (
    "No input has changed since this run. Not watched: headings, notes, number formats, entries "
    "that change places."
)

Edit = Callable[[Any], None]

engines = pytest.mark.parametrize("engine", ENGINES.values(), ids=ENGINES)
Engine = Callable[[bytes], Look]


def said(
    data: bytes, engine: Engine, edits: Mapping[tuple[str, str], float]
) -> tuple[object, object]:
    """What Summary and To buy say after number cells were edited."""
    look = engine(with_numbers(data, edits))
    return look("Summary", "A4"), look("To buy", "A4")


@engines
@pytest.mark.parametrize("name", ["demo", "by hand", "brunch", "noodles"])
def test_check__says_that_nothing_has_changed(name: str, engine: Engine) -> None:
    look = engine(with_formulas(name)[0])
    assert (look("Summary", "A4"), look("To buy", "A4")) == (UNCHANGED, UNCHANGED)


@engines
def test_check__more_needed_than_is_bought(engine: Engine) -> None:
    """P1 takes the tart three times instead of once, two tarts more.

    Then 1750 g flour less 620 g on hand are more than 1000 g, 875 g butter than 750 g, 2400 g leek
    / 0.72 than 2250 g, 960 g beans than 800 g, 80 ml lemon juice than two lemons, 370 g hazelnut
    less 60 g than 300 g, 90 g parsley / 0.45 than 180 g, and 400 g goat cheese than 300 g: eight.
    11 eggs of 12, 240 g yoghurt of 500 g and 50 g garlic of 60 g are still enough, and so are
    honey, oil and salt on hand.
    """
    data, _ = with_formulas("demo")
    said_of_list = f"More needed than is bought: 8. {AGAIN}"
    assert said(data, engine, {("Shoot plan", "H4"): 3}) == (CHANGED, said_of_list)


@engines
def test_check__the_price_of_a_pack(engine: Engine) -> None:
    """Butter costs 2.99 instead of 2.79: cost and total follow, packs would have to be chosen."""
    data, _ = with_formulas("demo")
    assert said(data, engine, {("Packs", "E5"): 2.99}) == (CHANGED, CHANGED)


@engines
def test_check__the_price_of_a_pack_that_was_not_chosen(engine: Engine) -> None:
    """A litre of milk is bought; the bottle, once cheaper, would have been."""
    data, _ = with_formulas("by hand")
    assert said(data, engine, {("Packs", "A4"): 0.4}) == (CHANGED, CHANGED)


@engines
def test_check__no_longer_needed(engine: Engine) -> None:
    """750 g of flour on hand are more than the 630 g that were missing beside 620 g."""
    data, _ = with_formulas("demo")
    assert said(data, engine, {("On hand", "B4"): 1370}) == (CHANGED, CHANGED)


@engines
def test_check__several_at_once(engine: Engine) -> None:
    data, _ = with_formulas("demo")
    edits = {("On hand", "B4"): 1370, ("Packs", "E5"): 2.99, ("Recipes", "E8"): 500}
    assert said(data, engine, edits) == (CHANGED, f"More needed than is bought: 1. {AGAIN}")


@engines
def test_check__two_edits_that_cancel_out(engine: Engine) -> None:
    """One retake more here and one fewer there leave the sum as it was, not that of squares."""
    data, _ = with_formulas("brunch")
    edits = {("Shoot plan", "F4"): 3, ("Shoot plan", "F5"): 1}
    assert said(data, engine, edits)[0] == CHANGED


@engines
def test_check__a_text_that_held_a_number(engine: Engine) -> None:
    """The 1 1/2 cups of flour become two."""
    book = opened(with_formulas("noodles")[0], values=False)
    assert book["Recipes"]["C2"].value == "1 1/2"
    book["Recipes"]["C2"] = "2"
    assert engine(_saved(book))("Summary", "A4") == CHANGED


@engines
@pytest.mark.parametrize("title", ["Recipes", "Shoot plan", "Packs", "On hand"])
def test_check__a_row_was_added(title: str, engine: Engine) -> None:
    book = opened(with_formulas("brunch")[0], values=False)
    sheet = book[title]
    last = max(row for row in range(1, 40) if sheet.cell(row, 2).value)
    for column in range(1, 5):
        sheet.cell(last + 1, column).value = sheet.cell(last, column).value
    assert engine(_saved(book))("Summary", "A4") == CHANGED


@engines
def test_check__rows_that_changed_places_are_not_noticed(engine: Engine) -> None:
    """Sorted by hand: every column holds what it held; the words say that this goes unnoticed."""
    book = opened(with_formulas("by hand")[0], values=False)
    sheet = book["Packs"]
    for column in range(1, 6):
        first, second = sheet.cell(2, column), sheet.cell(4, column)
        first.value, second.value = second.value, first.value
    said_of_inputs = engine(_saved(book))("Summary", "A4")
    assert said_of_inputs == UNCHANGED
    assert "entries that change places" in UNCHANGED


@engines
def test_check__minutes_only_divide_but_are_an_edit(engine: Engine) -> None:
    """Ten minutes instead of six: 31.30 / 10 = 3.13; the figure itself follows."""
    data, _ = with_formulas("demo")
    look = engine(with_numbers(data, {("Episodes", "F4"): 10}))
    assert look("Summary", "A4") == CHANGED
    figures = opened(data, values=False)["Summary"]
    minute = next(
        row
        for row in range(1, 100)
        if figures.cell(row, 1).value == "Used for a minute of Leek tart"
    )
    assert look("Summary", f"B{minute}") == 3.13


@engines
def test_check__what_is_short_from_the_start_is_not_told_as_new(engine: Engine) -> None:
    """The shops have one bag of 500 g flour; that is told by a finding, not by the check."""
    packs = [row for row in BRUNCH["Packs"] if row[0] != "flour"]
    sheets: dict[str, Rows] = {**BRUNCH, "Packs": packs}
    look = engine(run(workbook_of(sheets))[0])
    assert (look("Summary", "A4"), look("To buy", "A4")) == (UNCHANGED, UNCHANGED)


@engines
def test_check__where_tax_comes_on_top_prices_are_watched_on_their_own_sheet(
    engine: Engine,
) -> None:
    data, _ = with_formulas("noodles")
    assert said(data, engine, {("Packs", "A2"): 420}) == (CHANGED, CHANGED)


def test_check__goes_back_when_the_edit_is_undone() -> None:
    data, _ = with_formulas("demo")
    there = with_numbers(data, {("Packs", "E5"): 2.99})
    back = with_numbers(there, {("Packs", "E5"): 2.79})
    assert ENGINES["ironcalc"](back)("Summary", "A4") == UNCHANGED


def _saved(book: Any) -> bytes:
    return calculated(bytes_of(book))
