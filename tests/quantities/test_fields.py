"""Fields of models: what they show of themselves, and what they say of numbers not exact."""

from __future__ import annotations

import pytest

from costing.quantities.fields import FrozenModel, exact_number


class Bowl(FrozenModel):
    """A model of one field that must be given and one that need not."""

    name: str
    note: str = "cold"


@pytest.mark.parametrize(
    ("bowl", "shown"),
    [
        (Bowl(name="curd"), "Bowl(name='curd')"),
        (Bowl(name="curd", note="cold"), "Bowl(name='curd')"),
        (Bowl(name="curd", note="warm"), "Bowl(name='curd', note='warm')"),
    ],
)
def test_frozen_model__shows_what_is_not_as_when_nothing_is_given(bowl: Bowl, shown: str) -> None:
    assert repr(bowl) == shown


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (
            0.5,
            "found the float 0.5, expected an exact number: write '0.5', Decimal('0.5') or "
            "Fraction(1, 2)",
        ),
        (
            float("inf"),
            "found inf, expected an exact number such as '1 1/2' or Fraction(3, 2)",
        ),
        (
            float("nan"),
            "found nan, expected an exact number such as '1 1/2' or Fraction(3, 2)",
        ),
        (True, "found True, expected an exact number such as '1 1/2' or Fraction(3, 2)"),
    ],
)
def test_exact_number__offers_the_exact_form_of_a_float_that_has_one(
    value: object, said: str
) -> None:
    """Half is 1/2; what is endless, no number or a truth value can be written in no other way."""
    with pytest.raises(ValueError, match="expected an exact number") as refused:
        exact_number(value)
    assert str(refused.value) == said
