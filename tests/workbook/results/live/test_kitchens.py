"""Workbooks in which dishes are made, bought ready and cut: their formulas give what is stored."""

from __future__ import annotations

import pytest
from budgets import spread
from kitchens import any_kitchen
from live_edits import Following, edited, live_cells, packs_of, tables_with, tables_written, wrong
from live_workbooks import read_bytes, run
from recalculation import ENGINES, differences, formula_cells
from soundness import faults

from costing.workbook.results.write import new_workbook_bytes
from costing.workbook.template.filling import rows_of


@pytest.mark.parametrize("seed", spread(range(6)))
def test_formulas__give_what_is_stored_and_follow_edits(seed: int) -> None:
    """Half a dozen edits, packs and choices held: the formulas give what the library then finds."""
    shoot = any_kitchen(seed).shoot()
    data, before = run(new_workbook_bytes(all_sheets=True, rows=rows_of(shoot)))
    assert len(before.shoot.parts) == len(shoot.parts)
    assert faults(data) == []
    for engine in ENGINES.values():
        assert differences(formula_cells(data), engine(data)) == []
    assert before.books.shopping is not None
    held = packs_of(before), before.books.shopping.choice
    written = tables_written(before)
    every = list(live_cells(data, written))
    following = Following(every, written)
    for engine in ENGINES.values():
        later = edited(data, seed, edits=6)
        tables = tables_with(read_bytes(later)[0], *held)
        assert wrong((one for one in every if one in following), engine(later), tables) == []
