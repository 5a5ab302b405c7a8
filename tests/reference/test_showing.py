"""What is known of a food as text, with the row to paste."""

from __future__ import annotations

import re

import pytest

from costing.reference import all_foods, fill, pasted_row, published_text
from costing.reference.filled import Filled
from costing.reference.showing import INGREDIENT_HEADINGS
from costing.workbook.layout import INGREDIENTS

GARLIC = """\
garlic (vegetable)
  Trim yield %
    87 % as bought -> trimmed (less knob and skin) [National Nutrient Database for Standard \
Reference, Release 28; FOOD_DES NDB 11215: Garlic, raw]
"""


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 11215, Refuse 13")
def test_published_text__begins_with_the_food_and_cites_each_figure() -> None:
    text = published_text("garlic cloves")
    assert text.startswith(GARLIC)


CELERY = """\
celery (vegetable)
  Trim yield %
    89 % as bought -> trimmed (less roots and trimmings) [{usda}; FOOD_DES NDB 11143: Celery, raw]
  Weight of a measure
    101 g/US cup = 0.4269 g/ml chopped [{usda}; WEIGHT NDB 11143 Seq 1: Celery, raw]
    7.5 g/US tbsp = 0.5072 g/ml [{usda}; WEIGHT NDB 11143 Seq 3: Celery, raw]
  Grams per piece
    64 g large, stalk; shown only [{usda}; WEIGHT NDB 11143 Seq 4: Celery, raw]
    40 g medium, stalk; shown only [{usda}; WEIGHT NDB 11143 Seq 5: Celery, raw]
    17 g small, stalk; shown only [{usda}; WEIGHT NDB 11143 Seq 6: Celery, raw]
    4 g strip; shown only [{usda}; WEIGHT NDB 11143 Seq 7: Celery, raw]
  Keeps days
    300 day (300 to 360) frozen from purchase; shown only [{days} freeze: Celery]
    7 day (7 to 14) refrigerated from purchase [{days} refrigerate: Celery]
  Holding class (US): when cut, doubtful
    not named; heat-treated plant food when cooked; cut and raw it is not named in the definition; \
outside control only where the local authority agrees, so the stricter class is used \
[Food Code 2022, section 1-201.10(B), definition of TCS food; 1-201.10(B), TCS food, secondary]
  Allergens (US): none [memory]
  Allergens (EU): celery [memory]
    traces and the maker's label are not known
  Allergens (AU-NZ): none [memory]
  Allergens (CA): none [memory]
  Grams per piece is left blank: what is published is not of the food as it is used: large, stalk; \
medium, stalk; small, stalk; strip
""".format(
    usda="National Nutrient Database for Standard Reference, Release 28",
    days="FoodKeeper storage times; product 281, from date of purchase",
)


@pytest.mark.source("usda-sr28", "FOOD_DES and WEIGHT NDB 11143")
@pytest.mark.source("usda-foodkeeper", "product 281: 1 - 2 Weeks, 10 - 12 Months")
def test_published_text__has_all_that_is_published_before_the_row_to_paste() -> None:
    """Cup 101 g / 236.588 ml = 0.4269, spoon 7.5 g / 14.787 ml = 0.5072; a month is 30 days."""
    assert published_text("celery").partition("  Row for Ingredients:")[0] == CELERY


@pytest.mark.source("usda-sr28", "WEIGHT NDB 16057 Seq 1 and NDB 16058 Seq 1")
def test_published_text__says_what_is_noted_of_a_measure() -> None:
    """A cup of chickpeas weighs 164 g drained, and 240 g with the liquid of the can."""
    lines = published_text("canned chickpeas").splitlines()
    cups = [line.strip().partition(" [")[0] for line in lines if "g/US cup" in line]
    assert cups == [
        "164 g/US cup = 0.6932 g/ml; printed for boiled and drained",
        "240 g/US cup = 1.014 g/ml; shown only; with the liquid of the can",
    ]


def test_published_text__ends_with_a_row_that_can_be_pasted() -> None:
    """A clove of 3 g is no bulb, so that the weight of one garlic stays blank."""
    *_, headings, cells = published_text("garlic").splitlines()
    pasted = dict(zip(headings.split("\t"), cells.split("\t"), strict=True))
    assert tuple(pasted) == INGREDIENT_HEADINGS
    assert list(pasted) == [column.heading for column in INGREDIENTS.columns]
    assert pasted["Ingredient"] == "garlic"
    assert pasted["Trim yield %"] == "87"
    assert pasted["Grams per piece"] == ""
    assert pasted["Keeps days"] == "30"


def test_published_text__says_what_is_left_blank_and_why() -> None:
    text = published_text("apple")
    assert (
        "  Trim yield % is left blank: it depends on the state in which it is bought and used"
        in text.splitlines()
    )


def test_published_text__a_word_for_several_foods_shows_them_all() -> None:
    text = published_text("pepper")
    assert text.startswith("bell pepper (vegetable)\n")
    assert "\n\nblack pepper (spice)\n" in text


def test_published_text__is_empty_when_nothing_is_known() -> None:
    assert published_text("unobtainium") == ""
    assert published_text("") == ""


def test_published_text__never_promises_safety() -> None:
    for food in all_foods():
        assert not re.search(r"\bsafe", published_text(food.name).casefold())


def test_published_text__a_figure_only_shown_says_so() -> None:
    lines = published_text("lemon").splitlines()
    trim = next(line for line in lines if line.startswith("    53 %"))
    assert "; shown only" in trim
    assert "not for juice or zest" in trim


def test_pasted_row__allergens_recalled_as_none_are_not_pasted_as_known() -> None:
    assert pasted_row("carrot")["Allergens"] == ""
    assert pasted_row("soy sauce", allergen_list="US")["Allergens"] == "soybeans, wheat"


def test_pasted_row__an_unknown_name_gives_blanks() -> None:
    assert set(pasted_row("unobtainium").values()) == {""}


def test_pasted_row__holds_what_fills() -> None:
    for food in all_foods():
        row = pasted_row(food.name)
        for heading in ("Trim yield %", "Grams per piece", "Holding class"):
            given = fill(food.name, heading)
            assert row[heading] == (given.text if isinstance(given, Filled) else "")


def test_pasted_row__has_the_columns_of_the_sheet() -> None:
    assert tuple(column.heading for column in INGREDIENTS.columns) == INGREDIENT_HEADINGS
