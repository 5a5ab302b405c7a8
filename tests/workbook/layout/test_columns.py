"""What follows from a column's declaration."""

from __future__ import annotations

from costing.workbook.layout import CellKind, Column
from costing.workbook.layout.columns import Without


def test_column__one_in_each_row_takes_its_row_with_it() -> None:
    assert Column("Ingredient", "As in the recipes.", in_each_row=True).without == Without.ROW
    assert Column("Ingredient", "As in the recipes.").without == Without.CELL


def test_column__its_unit_is_the_one_typed_beside_it_unless_it_has_its_own() -> None:
    beside = Column("Amount", "How much.", unit_in="Unit")
    assert beside.unit == "what is in Unit"
    assert Column("Amount", "How much.", unit_in="Unit", unit="g").unit == "g"
    assert Column("Amount", "How much.").unit == ""


def test_column__blank_is_the_row_above_where_it_carries_down_and_no_to_a_question() -> None:
    carried = Column("Dish", "The dish.", carries_down=True)
    assert (carried.default, carried.choices) == ("the dish of the row above", ())
    answer = Column("Whole batches", "yes: nobody bakes half a cake.", CellKind.YES_NO)
    assert (answer.default, answer.example, answer.choices) == ("no", "yes", ("yes", "no"))
    assert Column("Shop", "Where it is sold.").default == ""
