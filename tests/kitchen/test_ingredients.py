"""What an article gives of its parts."""

from __future__ import annotations

import pytest

from costing.kitchen import Part


@pytest.mark.parametrize(("amount", "part_amount"), [("0 each", "40 ml"), ("1 each", "0 ml")])
def test_part__of_nothing_or_of_which_nothing_comes_is_refused(
    amount: str, part_amount: str
) -> None:
    with pytest.raises(ValueError, match="an amount in Parts must be above 0"):
        Part(ingredient="lemon", amount=amount, name="juice", part_amount=part_amount)
    assert Part(ingredient="lemon", amount="1 each", name="juice", part_amount="40 ml")
