"""From the state a recipe measures to the state a shop sells."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.kitchen import Ingredient, Measured
from costing.kitchen.conversion import (
    Measure,
    Unconvertible,
    as_bought,
    bought_as,
    converted,
    purchase_quantity,
    trimmed,
)
from costing.quantities import Amount, Dimension, Measures, amount, find_unit

MASS, VOLUME, COUNT = Dimension.MASS, Dimension.VOLUME, Dimension.COUNT

quantities = st.builds(Fraction, st.integers(0, 10_000), st.integers(1, 60))
parts_left = st.builds(Fraction, st.integers(1, 40), st.just(40))
parts_lost = st.builds(Fraction, st.integers(0, 39), st.just(40))
ratios = st.builds(Fraction, st.integers(1, 80), st.integers(1, 80))


def test_purchase_quantity__losses_multiply_not_add() -> None:
    """3600 / (0.9 x 0.8) = 5000; added, the losses would give 3600 / 0.7 = 5142.86."""
    bought = purchase_quantity(Fraction(3600), trim_yield=Fraction("0.8"), spoilage=Fraction("0.1"))
    assert bought == 5000


@given(quantities)
def test_purchase_quantity__nothing_lost_changes_nothing(need: Fraction) -> None:
    """Law."""
    assert purchase_quantity(need, trim_yield=Fraction(1), spoilage=Fraction(0)) == need


@given(quantities, parts_left, parts_lost)
def test_purchase_quantity__what_is_left_is_the_need(
    need: Fraction, trim_yield: Fraction, spoilage: Fraction
) -> None:
    """Law: the purchase less spoilage, then less trim, is what the recipe needs."""
    bought = purchase_quantity(need, trim_yield=trim_yield, spoilage=spoilage)
    assert bought * (1 - spoilage) * trim_yield == need


@given(quantities, parts_left, parts_left)
def test_purchase_quantity__worse_yield_never_buys_less(
    need: Fraction, one: Fraction, other: Fraction
) -> None:
    """Law."""
    worse, better = sorted((one, other))
    assert purchase_quantity(need, trim_yield=worse) >= purchase_quantity(need, trim_yield=better)


@pytest.mark.parametrize("trim_yield", ["0", "-0.1", "1.01", "72"])
def test_purchase_quantity__refuses_a_yield_that_is_no_part(trim_yield: str) -> None:
    with pytest.raises(ValueError, match=r"trim yield .* is not above 0 and at most 1"):
        purchase_quantity(Fraction(1), trim_yield=Fraction(trim_yield))


@pytest.mark.parametrize("spoilage", ["-0.01", "1", "5"])
def test_purchase_quantity__refuses_spoilage_that_leaves_nothing(spoilage: str) -> None:
    with pytest.raises(ValueError, match=r"spoilage .* is not at least 0 and below 1"):
        purchase_quantity(Fraction(1), trim_yield=Fraction(1), spoilage=Fraction(spoilage))


RICE = Ingredient(
    name="rice",
    trim_yield=Fraction("0.8"),
    cooked_weight=Fraction("2.5"),
    density=Fraction("0.9"),
    piece_weight=Fraction(30),
)


@pytest.mark.parametrize(
    ("text", "measured", "expected"),
    [
        ("400 g", Measured.TRIMMED, Measure(Fraction(400), MASS)),
        ("400 g", Measured.AS_BOUGHT, Measure(Fraction(320), MASS)),
        ("400 g", Measured.COOKED, Measure(Fraction(160), MASS)),
        ("2 each", Measured.TRIMMED, Measure(Fraction(2), COUNT)),
        ("2 each", Measured.AS_BOUGHT, Measure(Fraction(2), COUNT)),
        ("2 each", Measured.COOKED, Measure(Fraction(2), COUNT)),
        ("1/2 l", Measured.AS_BOUGHT, Measure(Fraction(400), VOLUME)),
    ],
    ids=lambda value: str(value) if isinstance(value, str) else "",
)
def test_trimmed__by_the_state_it_is_measured_in(
    text: str, measured: Measured, expected: Measure
) -> None:
    """As bought x 0.8; cooked / 2.5; pieces stay pieces in every state."""
    assert trimmed(amount(text), RICE, measured) == expected


def test_trimmed__as_bought_with_no_trim_yield_known_is_all_used() -> None:
    """400 g x 100 %: where no loss is known none is reckoned with."""
    salt = Ingredient(name="salt")
    assert trimmed(amount("400 g"), salt, Measured.AS_BOUGHT) == Measure(Fraction(400), MASS)


def test_trimmed__cooked_without_a_cooked_weight_names_the_column() -> None:
    with pytest.raises(Unconvertible, match="rice: mass to mass needs Cooked weight %") as caught:
        trimmed(amount("400 g"), Ingredient(name="rice"), Measured.COOKED)
    assert caught.value.heading == "Cooked weight %"


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        ("90", MASS, VOLUME, "100"),
        ("100", VOLUME, MASS, "90"),
        ("90", MASS, COUNT, "3"),
        ("3", COUNT, MASS, "90"),
        ("100", VOLUME, COUNT, "3"),
        ("3", COUNT, VOLUME, "100"),
        ("7", VOLUME, VOLUME, "7"),
    ],
    ids=[
        "g to ml",
        "ml to g",
        "g to pieces",
        "pieces to g",
        "ml to pieces",
        "pieces to ml",
        "same",
    ],
)
def test_converted__by_way_of_grams(
    value: str, source: Dimension, target: Dimension, expected: str
) -> None:
    """0.9 g per ml and 30 g a piece: 90 g are 100 ml and 3 pieces."""
    assert converted(Measure(Fraction(value), source), target, RICE) == Fraction(expected)


@given(quantities, ratios, ratios, st.permutations([MASS, VOLUME, COUNT]))
def test_converted__round_trip_gives_the_same(
    value: Fraction, density: Fraction, piece: Fraction, dimensions: list[Dimension]
) -> None:
    """Law: through all three kinds of unit and back is exact."""
    ingredient = Ingredient(name="a", density=density, piece_weight=piece)
    first, *others = dimensions
    measure = Measure(value, first)
    for target in (*others, first):
        measure = Measure(converted(measure, target, ingredient), target)
    assert measure == Measure(value, first)


@pytest.mark.parametrize(
    ("source", "target", "heading"),
    [
        (MASS, VOLUME, "Grams per ml"),
        (VOLUME, MASS, "Grams per ml"),
        (MASS, COUNT, "Grams per piece"),
        (COUNT, MASS, "Grams per piece"),
    ],
)
def test_converted__never_by_itself(source: Dimension, target: Dimension, heading: str) -> None:
    """Nothing is known of the ingredient, so the column that would settle it is named."""
    with pytest.raises(Unconvertible) as caught:
        converted(Measure(Fraction(1), source), target, Ingredient(name="a"))
    assert caught.value.heading == heading
    assert (caught.value.source, caught.value.target) == (source, target)


def test_as_bought__pieces_take_no_trim_yield() -> None:
    """90 g trimmed at 30 g trimmed a piece are 3 pieces, whatever is cut off each."""
    assert as_bought(Measure(Fraction(90), MASS), COUNT, RICE) == 3
    assert as_bought(Measure(Fraction(90), MASS), MASS, RICE) == Fraction("112.5")
    assert as_bought(Measure(Fraction(3), COUNT), MASS, RICE) == Fraction("112.5")


def test_bought_as__a_bag_by_weight_in_pieces() -> None:
    """A bag of 300 g as bought is 240 g trimmed at 0.8, which is 8 pieces of 30 g."""
    assert bought_as(amount("300 g"), COUNT, RICE) == 8
    assert bought_as(amount("300 g"), MASS, RICE) == 300


@given(
    value=quantities,
    pack=quantities,
    density=ratios,
    piece=ratios,
    trim_yield=parts_left,
    source=st.sampled_from(["g", "ml", "each"]),
    sold=st.sampled_from(["g", "ml", "each"]),
)
def test_as_bought__packs_needed_do_not_depend_on_the_unit_counted_in(
    value: Fraction,
    pack: Fraction,
    density: Fraction,
    piece: Fraction,
    trim_yield: Fraction,
    source: str,
    sold: str,
) -> None:
    """Law: need / pack is one number, in grams, in millilitres and in pieces."""
    ingredient = Ingredient(name="a", density=density, piece_weight=piece, trim_yield=trim_yield)
    line = Amount(value, find_unit(source, Measures.METRIC))
    one_pack = Amount(pack + 1, find_unit(sold, Measures.METRIC))
    clean = trimmed(line, ingredient, Measured.TRIMMED)
    needed = {
        as_bought(clean, target, ingredient) / bought_as(one_pack, target, ingredient)
        for target in (MASS, VOLUME, COUNT)
    }
    assert len(needed) == 1
