"""Whatever the shoot: the formulas of its workbook give what the library stored."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from any_shoot import EVERY_KIND, any_shoot
from held_packs import packs_of, tables_with
from hypothesis import given, settings
from hypothesis import strategies as st
from live_edits import Following, edited, live_cells, wrong
from live_workbooks import read_bytes, run
from recalculation import ENGINES, differences, formula_cells
from soundness import faults

from costing.kitchen import Measured
from costing.quantities import Amount
from costing.shoot import Shoot
from costing.workbook.results.new import new_workbook_bytes
from costing.workbook.template.cells import Row, Value

PERCENT = 100


def percent(part: Fraction | None) -> Value:
    return None if part is None else part * PERCENT


def measured(amount: Amount | None) -> dict[str, Value]:
    if amount is None:
        return {}
    return {"Amount": amount.magnitude, "Unit": amount.unit.name}


def rows_of(shoot: Shoot) -> dict[str, list[Row]]:
    """A shoot as rows of the input sheets."""
    return {
        "Settings": [{"Setting": name, "Value": value} for name, value in _settings(shoot)],
        "Recipes": [
            {
                "Dish": line.dish,
                "Step": line.step,
                "Ingredient": line.ingredient,
                **measured(line.amount),
                "Measured": None if line.measured is Measured.TRIMMED else str(line.measured),
                "Candidates": line.candidates,
                "Optional": line.optional or None,
            }
            for line in shoot.lines
        ],
        "Shoot plan": [
            {
                "Dish": shot.dish,
                "Episode": shot.episode,
                "Purpose": str(shot.purpose),
                "Steps": None if shot.steps is None else ", ".join(map(str, shot.steps)),
                "Batch": shot.batch,
                "Times": shot.times,
                "Optional lines": shot.optional_lines or None,
            }
            for shot in shoot.shots
        ],
        "Packs": [
            {
                "Ingredient": pack.ingredient,
                "Shop": pack.shop or None,
                **measured(pack.amount),
                "Price": pack.price,
                "Loose step": None if pack.loose_step is None else pack.loose_step.magnitude,
                "At most": pack.at_most,
                "Supplied": pack.supplied or None,
                "Tax rate %": percent(pack.tax_rate),
            }
            for pack in shoot.packs
        ],
        "Ingredients": [
            {
                "Ingredient": one.name,
                "Trim yield %": percent(one.trim_yield),
                "Cooked weight %": percent(one.cooked_weight),
                "Grams per ml": one.density,
                "Grams per piece": one.piece_weight,
                "Spoilage % per day": percent(one.spoilage) or None,
                "Keeps days": one.keeps_days,
                "Holding class": None if one.holding_class is None else str(one.holding_class),
            }
            for one in shoot.ingredients
        ],
        "On hand": [
            {
                "Ingredient": lot.ingredient,
                **measured(lot.amount),
                "Use by": lot.use_by,
                "Value": lot.value,
                "Supplied": lot.supplied or None,
            }
            for lot in shoot.lots
        ],
        "Episodes": [{"Episode": e.name, "Shoot date": e.shoot_date} for e in shoot.episodes],
        "Dishes": [
            {"Dish": dish.name, "Makes": dish.makes.magnitude, "Unit": dish.makes.unit.name}
            for dish in shoot.dishes
            if dish.makes is not None
        ],
    }


def _settings(shoot: Shoot) -> Iterator[tuple[str, Any]]:
    given_settings = shoot.settings
    yield "Currency", given_settings.currency
    yield "Prices include tax", given_settings.prices_include_tax
    yield "Food tax rate %", percent(given_settings.tax_rate)
    yield "Tax rounding", str(given_settings.tax_rounding)
    yield "Shopping date", given_settings.shopping_date


@settings(max_examples=40)
@given(any_shoot(**EVERY_KIND))
def test_formulas__of_any_shoot_give_what_is_stored(shoot: Shoot) -> None:
    data, _ = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    assert faults(data) == []
    cells = formula_cells(data)
    for engine in ENGINES.values():
        assert differences(cells, engine(data)) == []


@settings(max_examples=20)
@given(any_shoot(**EVERY_KIND))
def test_formulas__of_any_shoot_are_the_same_in_the_next_run(shoot: Shoot) -> None:
    data, _ = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    assert run(data)[0] == data


@settings(max_examples=15)
@given(any_shoot(**EVERY_KIND), st.integers(0, 1_000_000))
def test_formulas__of_any_shoot_follow_edits(shoot: Shoot, seed: int) -> None:
    """Half a dozen edits, the packs held: the formulas give what the library finds anew."""
    data, before = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    packs = packs_of(before)
    written = tables_with(read_bytes(data)[0], packs)
    every = list(live_cells(data, written))
    following = Following(every, written)
    later = edited(data, seed, edits=6)
    tables = tables_with(read_bytes(later)[0], packs)
    for engine in ENGINES.values():
        assert wrong((one for one in every if one in following), engine(later), tables) == []
