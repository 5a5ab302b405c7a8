"""A rule of the library stands once: a figure and its formula change together."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from live_edits import held_cells
from live_workbooks import MAKERS, run, with_formulas
from recalculation import ENGINES, differences, formula_cells

from costing.buying import need, shopping, till
from costing.kitchen import conversion
from costing.report.estimates import Estimate

MORE = Fraction(101, 100)


def a_hundredth_more(rule: Callable[..., Any]) -> Callable[..., Any]:
    return lambda *args, **kwargs: rule(*args, **kwargs) * MORE


RULES = {
    "what is bought for a trimmed amount": (conversion, "purchase_quantity"),
    "what must be bought, of a line": (need, "as_bought"),
    "one dimension in another": (conversion, "converted"),
    "what a pack brings": (shopping, "bought_as"),
}


def between_two_coins(estimate: Estimate) -> set[tuple[str, str]]:
    """Costs that lie half way: binary numbers would tip them either way, so they have none."""
    return {
        (purchase.need.ingredient.name, "Cost")
        for purchase in estimate.books.purchases
        for bought in purchase.lines
        if bought.shelf_price is not None and (bought.shelf_price * 200) % 2 == 1
    }


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("name", ["demo", "brunch", "noodles"])
def test_rule__changed_in_one_place_keeps_every_formula(
    name: str, rule: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One hundredth more by one rule: no cell turns from a formula into a value.

    Other packs may be chosen, so that rows come or go; every formula gives the figure beside it.
    Of two formulas one below the other that differ in one number alone, ``*100/101`` and
    ``*100000/101``, formualizer calculates both with the first.
    """
    held = set(held_cells(with_formulas(name)[0]))
    where, what = RULES[rule]
    monkeypatch.setattr(where, what, a_hundredth_more(getattr(where, what)))
    data, after = run(MAKERS[name]())
    assert after.books.values != with_formulas(name)[1].books.values
    assert set(held_cells(data)) - between_two_coins(after) <= held
    assert len(formula_cells(data)) > 60
    for engine in ENGINES if rule != "what a pack brings" else ("ironcalc",):
        assert differences(formula_cells(data), ENGINES[engine](data)) == []


def test_rule__that_no_formula_can_say_leaves_values(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rounded up to whole grams, what is bought stands alone, and so does all that hangs on it."""
    monkeypatch.setattr(need, "as_bought", whole(conversion.as_bought))
    data, after = run(MAKERS["demo"]())
    held = set(held_cells(data))
    needed = [purchase.need.ingredient.name for purchase in after.books.purchases]
    for heading in ("As bought need", "Net need"):
        assert {name for name, what in held if what == heading} <= set(needed)
        assert sum(what == heading for _, what in held) > len(needed) / 2
    assert not any(what == "Trimmed need" for _, what in held)
    for engine in ENGINES.values():
        assert differences(formula_cells(data), engine(data)) == []


def whole(rule: Callable[..., Any]) -> Callable[..., Any]:
    return lambda *args: -(-rule(*args) // 1)


def test_rule__of_the_till_moves_figure_and_formula(monkeypatch: pytest.MonkeyPatch) -> None:
    """A till that takes twice the price on the shelf."""
    _, before = with_formulas("by hand")
    shelf = till.Bought.shelf_price
    assert isinstance(shelf, property)
    price = shelf.fget
    assert price is not None
    monkeypatch.setattr(till.Bought, "shelf_price", property(lambda line: price(line) * 2))
    data, after = run(MAKERS["by hand"]())
    assert after.totals.bought == 2 * before.totals.bought
    costs = [cell.formula for cell in formula_cells(data) if cell.cell.startswith("J")]
    assert sum(formula.endswith("*2,2)") for formula in costs) == len(before.books.purchases)
    for engine in ENGINES.values():
        assert differences(formula_cells(data), engine(data)) == []
