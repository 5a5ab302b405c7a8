"""Whatever the shoot: the formulas of its workbook give what the library stored."""

from __future__ import annotations

from any_shoot import EVERY_KIND, any_shoot
from budgets import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from live_edits import Following, edited, live_cells, packs_of, tables_with, tables_written, wrong
from live_workbooks import read_bytes, run
from recalculation import ENGINES, differences, formula_cells
from soundness import faults

from costing.shoot import Shoot
from costing.workbook.results.write import new_workbook_bytes
from costing.workbook.template.filling import rows_of


@settings(max_examples=examples(40))
@given(any_shoot(**EVERY_KIND))
def test_formulas__of_any_shoot_give_what_is_stored(shoot: Shoot) -> None:
    data, _ = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    assert faults(data) == []
    cells = formula_cells(data)
    for engine in ENGINES.values():
        assert differences(cells, engine(data)) == []


@settings(max_examples=examples(20))
@given(any_shoot(**EVERY_KIND))
def test_formulas__of_any_shoot_are_the_same_in_the_next_run(shoot: Shoot) -> None:
    data, _ = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    assert run(data)[0] == data


@settings(max_examples=examples(15))
@given(any_shoot(**EVERY_KIND), st.integers(0, 1_000_000))
def test_formulas__of_any_shoot_follow_edits(shoot: Shoot, seed: int) -> None:
    """Half a dozen edits, the packs held: the formulas give what the library then finds."""
    data, before = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    packs = packs_of(before)
    written = tables_written(before)
    every = list(live_cells(data, written))
    following = Following(every, written)
    later = edited(data, seed, edits=6)
    tables = tables_with(read_bytes(later)[0], packs)
    for engine in ENGINES.values():
        assert wrong((one for one in every if one in following), engine(later), tables) == []
