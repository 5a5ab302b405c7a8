"""After edits of prices, amounts and yields the formulas give what the library finds."""

from __future__ import annotations

from functools import cache

import pytest
from budgets import spread
from live_edits import (
    Following,
    Live,
    edited,
    live_cells,
    packs_of,
    tables_with,
    tables_written,
    wrong,
)
from live_workbooks import MAKERS, read_bytes, with_formulas
from office import Office
from recalculation import ENGINES, by_libreoffice

from costing.estimating import estimate
from costing.workbook.results.checks import AGAIN, CHANGED

SEEDS = (1, 2, 3, 4)
EDITED_FILES = tuple((name, seed) for name in MAKERS for seed in SEEDS[:2])


@cache
def that_follow(name: str) -> list[Live]:
    """The formulas of a workbook that follow all they rest on: more than half of them."""
    data, before = with_formulas(name)
    written = tables_written(before)
    every = list(live_cells(data, written))
    following = Following(every, written)
    cells = [cell for cell in every if cell in following]
    assert len(cells) > len(every) / 2
    return cells


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("name", MAKERS)
def test_edits__are_followed_as_the_library_reckons_them(name: str, seed: int) -> None:
    """Ten random edits, the packs held: both engines give the library's own figures."""
    data, before = with_formulas(name)
    packs = packs_of(before)
    later = edited(data, seed)
    tables = tables_with(read_bytes(later)[0], packs)
    assert tables["Needs"].rows != tables_written(before)["Needs"].rows
    for engine in ENGINES.values():
        look = engine(later)
        assert wrong(that_follow(name), look, tables) == []
        assert look("Summary", "A4") == CHANGED
        assert str(look("To buy", "A4")).endswith(AGAIN)


@pytest.mark.parametrize(("name", "seed"), spread(EDITED_FILES))
def test_edits__are_followed_by_libreoffice(name: str, seed: int, office: Office) -> None:
    """The same edits, calculated on opening."""
    data, before = with_formulas(name)
    packs = packs_of(before)
    later = edited(data, seed)
    tables = tables_with(read_bytes(later)[0], packs)
    look = by_libreoffice(office, later)
    assert wrong(that_follow(name), look, tables) == []
    assert look("Summary", "A4") == CHANGED


@pytest.mark.parametrize("name", MAKERS)
def test_edits__the_list_says_so_where_other_packs_would_be_chosen(name: str) -> None:
    """The library run anew chooses other packs after an edit: To buy must not say all is well."""
    data, before = with_formulas(name)
    chosen_anew = 0
    for seed in SEEDS:
        later = edited(data, seed)
        now = packs_of(estimate(read_bytes(later)[0]))
        if now != packs_of(before):
            chosen_anew += 1
            assert str(ENGINES["ironcalc"](later)("To buy", "A4")).endswith(AGAIN)
    assert chosen_anew


def test_edits__a_formula_that_does_not_follow_would_be_seen() -> None:
    """The comparison can fail: against the figures from before the edits it does."""
    data, before = with_formulas("by hand")
    written = tables_written(before)
    later = edited(data, SEEDS[0])
    found = wrong(list(live_cells(data, written)), ENGINES["ironcalc"](later), written)
    assert any("Needs" in one for one in found)
