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
