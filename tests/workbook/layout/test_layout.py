"""The declaration of the input sheets against the page that describes them."""

from __future__ import annotations

import pytest

from costing.shoot import Settings
from costing.workbook.layout import (
    AMOUNTS,
    INPUT_SHEETS,
    PERCENTS,
    RECIPES,
    SETTINGS,
    TEXTS,
    UNITS,
    CellKind,
    Column,
    Sheet,
)
from costing.workbook.layout.records import DAY_LOG
from costing.workbook.reading.kinds import READERS, SEVERAL_FIELDS

CONTRACT = {
    "Settings": "Setting | Value",
    "Recipes": "Dish | Step | Step name | Ingredient | Amount | Unit | Cut | Measured | Candidates"
    " | Shown | Optional | Note",
    "Shoot plan": "Shot | Episode | Dish | Purpose | Steps | From | Batch | Times | Fewest | Most"
    " | Eaten | Eaters | Optional lines | Starts | Taken | Ended by | Note",
    "Packs": "Ingredient | Shop | Amount | Unit | Price | Loose step | At most | Supplied"
    " | Tax rate % | State | Order days | Thaw days | Price date | Note",
    "Ingredients": "Ingredient | Section | Trim yield % | Cooked weight % | Grams per ml"
    " | Grams per piece | Weighs | Spoilage % per day | Keeps days | Holding class | Allergens"
    " | Substitute | Note",
    "On hand": "Ingredient | Amount | Unit | Use by | Opened | Value | Supplied | Note",
    "Episodes": "Episode | Title | Shoot date | Call time | Portions | Minutes | Budget | Note",
    "Dishes": "Dish | Makes | Unit | Cooked weight % | Whole batches | Keeps days | Holding class"
    " | Photo life minutes | Note",
    "Parts": "Ingredient | Amount | Unit | Part | Part amount | Part unit | Way | Note",
    "Trips": "Shop | Date | Note",
    "People": "Person | Avoids | Note",
    "Shops": "Shop | Visit cost | Minimum spend | Note",
    "Holding": "Container | Holds | Event | When | Temperature | Marked until | Eaten | Episode"
    " | Note",
    "Receipts": "Receipt | Date | Shop | Ingredient | Packs | Amount | Unit | Paid | Tax rate %"
    " | Paid from | Tag | Note",
    "Counted": "Ingredient | Amount | Unit | Note",
}
SETTING_NAMES = """Title, Currency, Prices include tax, Food tax rate %, Tax rounding, Measures,
Time zone, Time control procedures, Place, Holding rules, Room temperature, Shopping date,
Chance of running out accepted %, Count leftovers that keep at %, Allergen list, Budget,
Bowl sizes, Charge mark-up %, Mark-up on, Cash float, Cash counted"""

EVERY_COLUMN = [
    pytest.param(sheet, column, id=f"{sheet.title}, {column.heading}")
    for sheet in INPUT_SHEETS
    for column in sheet.columns
] + [pytest.param(INPUT_SHEETS[0], column, id=f"setting {column.heading}") for column in SETTINGS]


def test_input_sheets__are_those_of_the_contract_in_its_order() -> None:
    assert {sheet.title: " | ".join(sheet.headings) for sheet in INPUT_SHEETS} == CONTRACT
    assert [sheet.title for sheet in INPUT_SHEETS] == list(CONTRACT)


def test_input_sheets__recipes_alone_are_required_and_four_come_first() -> None:
    assert [sheet.title for sheet in INPUT_SHEETS if sheet.required] == ["Recipes"]
    assert [sheet.title for sheet in INPUT_SHEETS if sheet.first] == [
        "Settings",
        "Recipes",
        "Shoot plan",
        "Packs",
    ]


def test_settings__are_those_of_the_contract_and_each_has_its_field() -> None:
    names = [" ".join(name.split()) for name in SETTING_NAMES.split(",")]
    assert [setting.heading for setting in SETTINGS] == names
    assert {setting.field for setting in SETTINGS} <= Settings.model_fields.keys()


@pytest.mark.parametrize(("sheet", "column"), EVERY_COLUMN)
def test_column__is_read_into_a_field_of_its_model(sheet: Sheet, column: Column) -> None:
    """The log alone is read by hand: its rows are events of containers."""
    assert column.by_hand or column.kind in {*READERS, *SEVERAL_FIELDS, *UNITS}
    if sheet.model is not None:
        fields = {column.field, column.other, column.lower_end} - {""}
        assert fields <= sheet.model.model_fields.keys()
    if column.unit_in:
        assert sheet.column(column.unit_in).kind in UNITS


def test_carries_down__what_people_write_once_in_a_list() -> None:
    carried = [
        (sheet.title, c.heading) for sheet in INPUT_SHEETS for c in sheet.columns if c.carries_down
    ]
    assert carried == [
        ("Recipes", "Dish"),
        ("Recipes", "Step"),
        ("Shoot plan", "Episode"),
        ("Shoot plan", "Dish"),
        ("Parts", "Ingredient"),
        ("Parts", "Amount"),
        ("Parts", "Unit"),
        ("Parts", "Way"),
        ("Holding", "Container"),
        ("Receipts", "Receipt"),
        ("Receipts", "Date"),
        ("Receipts", "Shop"),
    ]


@pytest.mark.parametrize(("sheet", "column"), EVERY_COLUMN)
def test_column__says_what_it_is(sheet: Sheet, column: Column) -> None:
    assert column.meaning.endswith((".", '".'))
    if column.kind not in TEXTS:
        assert column.example
    if column.choices:
        assert column.example in column.choices
        assert column.kind in (CellKind.CHOICE, CellKind.YES_NO)
    numbers = {CellKind.NUMBER, CellKind.WHOLE, CellKind.TIMES, CellKind.MONEY}
    if column.kind in numbers | PERCENTS | AMOUNTS:
        assert column.unit
    assert "safe" not in f"{column.meaning} {column.default}"


@pytest.mark.parametrize(("sheet", "column"), EVERY_COLUMN)
def test_column__older_words_are_no_headings_of_ours(sheet: Sheet, column: Column) -> None:
    assert set(sheet.headings).isdisjoint(column.older)


@pytest.mark.parametrize("sheet", INPUT_SHEETS, ids=lambda sheet: sheet.title)
def test_listed__names_another_column_of_the_layout(sheet: Sheet) -> None:
    for column in sheet.columns:
        if column.listed is not None:
            title, heading = column.listed
            source = next(each for each in INPUT_SHEETS if each.title == title)
            assert source.column(heading).kind in (CellKind.NAME, CellKind.TEXT)


def test_tables__are_named_once_each_and_are_no_cell_addresses() -> None:
    names = [sheet.table for sheet in INPUT_SHEETS]
    assert len(set(names)) == len(names)
    assert all(name.isalpha() and name.endswith("Rows") for name in names)


def test_column__of_an_unknown_heading_is_the_programmers_fault() -> None:
    with pytest.raises(KeyError):
        RECIPES.column("Price")


def headings_with(mark: str) -> dict[str, str]:
    """Headings of the columns that have a mark, by sheet."""
    found = {
        sheet.title: " | ".join(c.heading for c in sheet.columns if getattr(c, mark))
        for sheet in INPUT_SHEETS
    }
    return {title: headings for title, headings in found.items() if headings}


def test_required__the_headings_without_which_a_sheet_says_nothing() -> None:
    """What a row is about, and where only that matters how much, when or of what.

    A cook-through needs a dish alone; a receipt may have a cost that is no ingredient.
    """
    assert {sheet.title: " | ".join(sheet.required_headings) for sheet in INPUT_SHEETS} == {
        "Settings": "Setting | Value",
        "Recipes": "Dish | Ingredient | Amount",
        "Shoot plan": "Dish",
        "Packs": "Ingredient | Amount",
        "Ingredients": "Ingredient",
        "On hand": "Ingredient | Amount",
        "Episodes": "Episode",
        "Dishes": "Dish",
        "Parts": "Ingredient | Part | Part amount",
        "Trips": "Shop | Date",
        "People": "Person | Avoids",
        "Shops": "Shop",
        "Holding": "Container | Event | When",
        "Receipts": "Paid",
        "Counted": "Ingredient | Amount",
    }


def test_required__a_line_of_the_day_log_is_what_happened_to_what_and_when() -> None:
    """Contract: `When,What,Event,Temperature,Amount,Note`; the last three are said of some."""
    assert " | ".join(DAY_LOG.headings) == "When | What | Event | Temperature | Amount | Note"
    assert DAY_LOG.required_headings == ("When", "What", "Event")


def test_by_hand__cells_that_others_say_how_to_read() -> None:
    """A blank step is that of the line above only within a dish, and a time of the log is on the
    day of its container's episode.
    """
    assert headings_with("by_hand") == {
        "Recipes": "Step | Step name",
        "Holding": "Holds | Event | When | Temperature | Marked until | Eaten | Episode",
    }


def test_formats__no_date_comes_of_what_is_typed() -> None:
    """Contract: Amount of Recipes and Steps are text; amounts of the other lists are as in
    Recipes, and half a batch is typed as 1/2 too, but is a number.
    """
    assert headings_with("as_text") == {
        "Recipes": "Amount",
        "Shoot plan": "Steps",
        "On hand": "Amount",
        "Counted": "Amount",
    }
    assert headings_with("as_part") == {"Shoot plan": "Batch"}


def test_rows__that_cannot_be_used_without_a_cell() -> None:
    """A blank amount in a recipe is a need that is unknown; a pack of no size cannot be bought."""
    assert headings_with("in_each_row") == {
        "Recipes": "Dish",
        "Shoot plan": "Dish",
        "Packs": "Ingredient | Amount",
        "Ingredients": "Ingredient",
        "On hand": "Ingredient",
        "Episodes": "Episode",
        "Dishes": "Dish",
        "Parts": "Ingredient | Amount | Part | Part amount",
        "Trips": "Shop | Date",
        "People": "Person",
        "Shops": "Shop",
        "Holding": "Container",
        "Receipts": "Paid",
        "Counted": "Ingredient | Amount",
    }


def test_followed__numbers_that_change_a_line_of_the_list_or_its_cost() -> None:
    """Times and days of keeping choose what is bought: no formula follows a choice."""
    assert headings_with("followed") == {
        "Recipes": "Amount | Candidates",
        "Shoot plan": "Batch | Times",
        "Packs": "Amount | Price | Loose step | Tax rate %",
        "Ingredients": "Trim yield % | Cooked weight % | Grams per ml | Grams per piece"
        " | Spoilage % per day",
        "On hand": "Amount | Value",
        "Episodes": "Portions | Minutes | Budget",
        "Dishes": "Makes | Cooked weight %",
        "Shops": "Visit cost",
    }


def test_one_meaning__headings_that_say_on_any_sheet_where_they_are_read() -> None:
    """Of a pack, of what is known of an ingredient, of a day; amounts, names and notes may stand
    anywhere and mean anything there.
    """
    assert headings_with("one_meaning") == {
        "Recipes": "Candidates",
        "Packs": "Price | Loose step | At most | Tax rate % | Order days | Thaw days | Price date",
        "Ingredients": "Section | Trim yield % | Cooked weight % | Grams per ml | Grams per piece"
        " | Spoilage % per day | Keeps days | Holding class | Allergens | Substitute",
        "On hand": "Use by",
        "Episodes": "Shoot date | Call time",
        "Dishes": "Whole batches | Photo life minutes",
        "Shops": "Visit cost | Minimum spend",
        "Holding": "Marked until",
    }


def test_totals__leave_nothing_out_for_a_row_of_trips_people_receipts_or_counts() -> None:
    """What is bought and used by the plan has no number of theirs in it."""
    without = [sheet.title for sheet in INPUT_SHEETS if not sheet.in_totals]
    assert without == ["Trips", "People", "Receipts", "Counted"]


def test_number_fields__candidates_are_a_number_or_a_part_of_a_hundred() -> None:
    """Contract: `80%` instead of a number says how many of a hundred are good enough."""
    both = RECIPES.column("Candidates")
    assert both.number_fields == (both.field, both.other) == ("candidates", "good_enough")
    others = [c for sheet in INPUT_SHEETS for c in sheet.columns if c is not both]
    assert all(column.number_fields == (column.field,) for column in others)
