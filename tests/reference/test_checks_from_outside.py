"""The shipped figures against figures printed elsewhere, or twice in one source."""

from __future__ import annotations

from fractions import Fraction

import pytest

from costing.reference import Filled, fill
from costing.reference.tables import published

CUP = Fraction("236.5882365")


def number(name: str, column: str, *, cut: str = "") -> Fraction:
    given = fill(name, column, cut=cut)
    assert isinstance(given, Filled), given
    return given.number


@pytest.mark.source("us-egg-weight-classes", "Large: 24 oz a dozen")
def test_trim_yield__an_egg_of_50_g_with_12_percent_shell_is_a_large_one() -> None:
    """50 / 0.88 = 56.82 g; 24 x 28.3495 / 12 = 56.70 g: 0.2% apart."""
    bought = number("large egg", "Grams per piece") / (number("egg", "Trim yield %") / 100)
    dozen = Fraction(24) * Fraction("28.349523125")
    assert abs(bought - dozen / 12) < Fraction(1, 5)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11209 Seq 2: peeled, from 1-1/4 lb, 458 g")
def test_trim_yield__aubergine_agrees_with_the_peeled_weight_of_a_pound_and_a_quarter() -> None:
    """458 / (1.25 x 453.6) = 80.8%; the refuse field, a whole percent, gives 81."""
    printed = Fraction(458) / (Fraction("1.25") * Fraction("453.6")) * 100
    assert abs(number("eggplant", "Trim yield %") - printed) < 1


@pytest.mark.source("usda-sr28", "WEIGHT NDB 09316 Seq 8: pint as purchased, yields 357 g")
def test_trim_yield__a_pint_of_strawberries_weighs_what_its_yield_says() -> None:
    """357 / 0.94 = 379.8 g bought, in a dry pint of 550.6 ml: 0.690 g/ml, 0.609 whole berries."""
    bought = Fraction(357) / (number("strawberry", "Trim yield %") / 100)
    assert round(bought, 1) == Fraction("379.8")
    per_ml = bought / Fraction("550.6")
    assert number("strawberry", "Grams per ml", cut="whole") < per_ml < Fraction("0.70")


@pytest.mark.source("bakery-business-math", "ch. 25: zucchini 95, green beans 88, onion not given")
@pytest.mark.parametrize(("name", "percent"), [("zucchini", 95), ("green beans", 88)])
def test_trim_yield__agrees_with_a_classroom_chart(name: str, percent: int) -> None:
    assert number(name, "Trim yield %") == percent


@pytest.mark.source("bakery-business-math", "ch. 25: broccoli 61, cabbage 79, cantaloupe 50")
@pytest.mark.parametrize(
    ("name", "percent"),
    [("broccoli", 61), ("green cabbage", 79), ("cantaloupe", 50), ("apple", 76), ("banana", 68)],
)
def test_trim_yield__lies_near_a_classroom_chart(name: str, percent: int) -> None:
    """Peel and trimming depth differ: within four points."""
    given = fill(name, "Trim yield %", cut="cored and peeled" if name == "apple" else "")
    assert isinstance(given, Filled)
    assert abs(given.number - percent) <= 4


@pytest.mark.source("fao-fish-factors", "FILLETS: cod raw 2.45, skin off 3.23; salmon 2.00")
def test_trim_yield__whole_fish_lies_between_the_factors_for_fillets() -> None:
    """100 / 3.23 = 31.0 and 100 / 2.45 = 40.8 of cod, 100 / 2.00 = 50.0 of salmon."""
    cod = published("cod").trim_yields
    whole = next(row for row in cod if row.before == "whole" and row.removed)
    assert whole.value == 45
    assert Fraction(100) / Fraction("3.23") < whole.value < Fraction(100) / Fraction(2)


@pytest.mark.source("usda-sr28", "NUT_DATA 255 of raw and cooked dry goods")
@pytest.mark.parametrize(
    ("name", "ratio"),
    [
        ("long-grain rice", "2.80"),
        ("medium-grain rice", "2.78"),
        ("short-grain rice", "2.76"),
        ("glutinous rice", "3.83"),
        ("brown rice", "2.97"),
        ("pasta", "2.38"),
        ("whole-wheat pasta", "2.40"),
        ("egg noodles", "2.82"),
        ("soba", "3.45"),
        ("somen", "2.83"),
        ("rice noodles", "3.36"),
        ("bulgur", "4.09"),
        ("quinoa", "3.05"),
        ("oats", "5.44"),
        ("black beans", "2.60"),
        ("chickpeas", "2.32"),
        ("lentils", "3.02"),
        ("mung beans", "3.33"),
    ],
)
def test_cooked_weight__dry_goods_agree_with_ratios_worked_out_apart(name: str, ratio: str) -> None:
    """Ratios to two places, worked out by hand from the water contents."""
    given = number(name, "Cooked weight %") / 100
    assert abs(given - Fraction(ratio)) <= Fraction("0.0055")


@pytest.mark.source("usda-food-buying-guide", "ground beef up to 20% fat: 0.74 cooked of raw")
def test_cooked_weight__minced_beef_reaches_up_to_the_buying_guide() -> None:
    """61.3 to 73.2 by fat and pan; the guide's 74 is for lean meat, so just above the highest."""
    values = [row.value for row in published("minced-beef").cooked_weights if row.value]
    assert max(values) < 74 < max(values) * Fraction(105, 100)


@pytest.mark.source("usda-sr28", "WEIGHT, cups of common foods")
@pytest.mark.parametrize(
    ("name", "cut", "grams"),
    [
        ("flour", "", 125),
        ("bread flour", "", 137),
        ("icing sugar", "sifted", 100),
        ("icing sugar", "unsifted", 120),
        ("salt", "", 292),
        ("onion", "chopped", 160),
        ("onion", "sliced", 115),
        ("carrot", "chopped", 128),
        ("carrot", "grated", 110),
        ("cabbage", "chopped", 89),
        ("cabbage", "shredded", 70),
        ("water", "", 237),
    ],
)
def test_density__a_us_cup_weighs_what_is_printed_exactly(name: str, cut: str, grams: int) -> None:
    """Two cups of 236.5882365 ml at the density filled weigh exactly twice the printed grams."""
    assert number(name, "Grams per ml", cut=cut) * 2 * CUP == 2 * grams


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20081 and 19335, scaled by hand")
def test_density__flour_scales_to_a_metric_cup() -> None:
    """125 / 236.588 x 250 = 132.1 g; 200 / 236.588 x 250 = 211.3 g of sugar."""
    assert round(number("flour", "Grams per ml") * 250) == 132
    assert round(number("sugar", "Grams per ml") * 250) == 211


@pytest.mark.source("usda-sr28", "WEIGHT, pieces of common foods")
@pytest.mark.parametrize(
    ("name", "grams"),
    [
        ("garlic clove", "3"),
        ("medium onion", "110"),
        ("medium carrot", "61"),
        ("medium tomato", "123"),
        ("cherry tomato", "17"),
        ("jalapeño", "14"),
        ("serrano", "6.1"),
        ("lemon juice", "48"),
        ("lime juice", "44"),
        ("large prawns", "7"),
        ("bok choy", "840"),
        ("medium iceberg lettuce", "539"),
        ("medium celery stalk", "40"),
        ("medium spring onion", "15"),
    ],
)
def test_piece_weight__common_pieces_weigh_what_is_printed(name: str, grams: str) -> None:
    """Four large prawns are 28 g."""
    assert number(name, "Grams per piece") == Fraction(grams)


@pytest.mark.source("usda-sr28", "documentation p. 25: weights are of the edible part")
def test_piece_weight__an_apple_bought_is_its_piece_over_its_yield() -> None:
    """182 / 0.90 = 202.2 g bought for a medium apple, cored."""
    bought = number("medium apple", "Grams per piece") / Fraction(90, 100)
    assert round(bought, 1) == Fraction("202.2")
