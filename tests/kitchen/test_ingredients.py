"""How long an ingredient keeps, and what an article gives of its parts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from costing.kitchen import Ingredient, Part


@pytest.mark.parametrize(("typed", "keeps", "opened"), [(None, 30, 4), (5, 5, 5), (0, 0, 0)])
def test_ingredient__keeps_as_typed_or_else_by_the_tables(
    typed: int | None, keeps: int, opened: int
) -> None:
    """What is typed goes before what is published, a nought too, for sealed and opened alike."""
    cream = Ingredient(name="cream", keeps_days=typed, published_keeps=30, published_keeps_opened=4)
    assert (cream.keeps, cream.keeps_opened) == (Fraction(keeps), Fraction(opened))


@pytest.mark.parametrize(("amount", "part_amount"), [("0 each", "40 ml"), ("1 each", "0 ml")])
def test_part__of_nothing_or_of_which_nothing_comes_is_refused(
    amount: str, part_amount: str
) -> None:
    with pytest.raises(ValueError, match="greater than 0"):
        Part(ingredient="lemon", amount=amount, name="juice", part_amount=part_amount)
    assert Part(ingredient="lemon", amount="1 each", name="juice", part_amount="40 ml")
