"""Two engines of other makers calculate every formula to the figure the library stored.

Where LibreOffice is installed it is a third one.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from live_edits import held_cells
from live_workbooks import MAKERS, with_formulas
from office import Office
from recalculation import (
    ENGINES,
    by_libreoffice,
    differences,
    formula_cells,
)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("name", MAKERS)
def test_formulas__give_what_is_stored(name: str, engine: str) -> None:
    data, _ = with_formulas(name)
    assert differences(formula_cells(data), ENGINES[engine](data)) == []


@pytest.mark.parametrize("name", MAKERS)
def test_formulas__give_what_is_stored_in_libreoffice(name: str, office: Office) -> None:
    """It calculates every formula on opening, as a setting of its own tells it to."""
    data, _ = with_formulas(name)
    assert differences(formula_cells(data), by_libreoffice(office, data)) == []


PAID_IN_TAX = {"Cost", "Used value", "Left value"}
DATED = {
    *("Spoilage allowance", "On hand used", "Net need", "Left over", "Used value", "Left value"),
    *("Needed", "From on hand"),
}


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("demo", {}),
        ("by hand", {}),
        ("brunch", {}),
        (
            "noodles",
            {
                "wheat flour": PAID_IN_TAX,
                "baker's rice": PAID_IN_TAX,
                "tofu": DATED | {"Cost"},
            },
        ),
    ],
)
def test_formulas__stand_in_every_cell_but_those_that_are_held(
    name: str, held: dict[str, set[str]]
) -> None:
    """Held are values that are not 0 and have no formula.

    In the noodle workbook tax comes on top of prices and is rounded once for each shop, so that
    no line says its own cost; salt is free of it. Of the tofu one lot is good on Monday only, so
    that how much of it is used hangs on the days.
    """
    data, _ = with_formulas(name)
    found: dict[str, set[str]] = {}
    for ingredient, column in held_cells(data):
        found.setdefault(ingredient, set()).add(column)
    assert found == held


def test_formulas__only_use_what_every_engine_computes_alike() -> None:
    """The functions on which the engines and LibreOffice agreed in a battery of cases."""
    known = {
        *("SUM", "SUMIF", "SUMIFS", "SUMPRODUCT", "ROUND", "MAX", "MIN", "IF", "ABS"),
        *("INDEX", "MATCH", "COUNTA", "IFERROR"),
    }
    used: set[str] = set()
    for name in MAKERS:
        for cell in formula_cells(with_formulas(name)[0]):
            used |= _functions(cell.formula)
    assert used <= known


def _functions(formula: str) -> set[str]:
    """Words before an opening bracket, texts in quotes left aside."""
    outside = "".join(formula.split('"')[::2])
    words = outside.replace("(", " ( ").replace(",", " ").replace("+", " ").split()
    return {
        word.strip("=-*/<>^&")
        for word, after in pairwise(words)
        if after == "(" and word.strip("=-*/<>^&(").isalpha()
    }
