"""Fields of models: what they show of themselves, and what they say of numbers not exact."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import time

import pytest

from costing.findings import Place, Row
from costing.quantities.fields import (
    ClockOrNone,
    CountOrNone,
    FromRow,
    FrozenModel,
    default,
    exact_number,
)


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


class Placed(FromRow):
    """A model that was read, with its row and the places of its cells."""

    name: str
    places: Mapping[str, Place] = {}
    starts: ClockOrNone = default(None)
    packs: CountOrNone = default(None)


def test_frozen_model__shows_nothing_of_where_it_was_read() -> None:
    """So that of two shoots that differ the difference is seen, and not a hundred cells."""
    place = Place("Shots", 7, heading="Starts")
    found = Placed(name="curd", row=Row("Shots", 7, "curd", {}), places={"Starts": place})
    assert repr(found) == "Placed(name='curd')"


@pytest.mark.parametrize("typed", ["9:05", "09:05", " 9:05 ", time(9, 5)])
def test_clock__is_read_with_and_without_a_nought_before_it(typed: time | str) -> None:
    assert Placed(name="curd", starts=typed).starts == time(9, 5)


@pytest.mark.parametrize("typed", [2, "2", " 2 ", "4/2"])
def test_count__is_a_whole_number_however_it_is_typed(typed: int | str) -> None:
    assert Placed(name="curd", packs=typed).packs == 2


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (2.0, "found the float 2.0, expected an exact number"),
        ("2.5", "found '2.5', expected a whole number"),
        (True, "found True, expected an exact number"),
    ],
)
def test_count__a_float_is_refused_even_where_it_is_whole(typed: object, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Placed(name="curd", packs=typed)  # type: ignore[arg-type]


@pytest.mark.parametrize("typed", ["25:00", "soon", 905])
def test_clock__that_is_none_is_refused_with_an_example(typed: object) -> None:
    with pytest.raises(ValueError, match=r"expected a time such as '09:30'"):
        Placed(name="curd", starts=typed)  # type: ignore[arg-type]


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
