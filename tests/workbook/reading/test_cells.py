"""What one cell may hold, and how it is told apart from what looks the same."""

from __future__ import annotations

import re
import tempfile
import zipfile
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from budgets import examples
from good_workbook import add, good_workbook, put, read
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from costing.quantities import Measures, amount
from costing.shoot import Purpose, Shoot
from costing.workbook.reading import read_workbook
from costing.workbook.reading.amounts import likely_amounts, likely_steps


def _read_with(folder: Path, address: str, value: Any, number_format: str = "") -> Shoot:
    """The good workbook with one cell changed, which nothing is to be said of."""
    book = good_workbook()
    put(address, value, number_format)(book)
    shoot, said = read(book, folder)
    assert said == []
    return shoot


@pytest.mark.parametrize(
    ("value", "number_format"),
    [
        pytest.param(72, "", id="72"),
        pytest.param(0.72, "0%", id="72% as the spreadsheet holds it"),
        pytest.param(0.72, "0.0 %", id="72.0 %"),
        pytest.param(72, '0"%"', id="72 with a percent sign that does not multiply"),
        pytest.param(72, "0\\%", id="72 with an escaped percent sign"),
        pytest.param("72%", "", id="72% as text"),
        pytest.param("72,0 %", "", id="72,0 % as text"),
        pytest.param("72", "", id="72 as text"),
    ],
)
def test_trim_yield__one_meaning_of_72(value: Any, number_format: str, tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Ingredients!C2", value, number_format)
    assert shoot.ingredients[0].trim_yield == Fraction(72, 100)


@pytest.mark.parametrize(
    ("address", "wide", "narrow"),
    [
        ("Ingredients!C2", "７２％", "72%"),
        ("Packs!E2", "１．８９", "1.89"),
        ("Recipes!E4", "２～３", "2-3"),
        ("Shoot plan!E3", "１、２", "1, 2"),
        ("Shoot plan!J2", "１０：００", "10:00"),
        ("Shoot plan!J2", "10時", "10:00"),
        ("Settings!B6", "２４　℃", "24 C"),
        ("Holding!E2", "４Ｃ", "4 C"),
        ("Holding!D2", "１０時５分", "10:05"),
        ("Holding!D2", "２０３１-０５-１０　１０：０５", "2031-05-10 10:05"),
        ("Holding!D2", "2031年5月10日 10時05分", "2031-05-10 10:05"),
    ],
)
def test_signs_of_a_japanese_keyboard__mean_the_same_in_every_kind_of_cell(
    address: str, wide: str, narrow: str, tmp_path: Path
) -> None:
    assert _read_with(tmp_path, address, wide) == _read_with(tmp_path, address, narrow)


@pytest.mark.parametrize("number_format", ['0.0" °C"', "0\\°\\C", '0"C";-0"C"', '0" ℃"'])
def test_temperature__has_the_unit_that_the_sheet_shows(number_format: str, tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Holding!E2", 4, number_format)
    assert shoot == _read_with(tmp_path, "Holding!E2", "4 C")


def test_spoilage__half_a_percent_is_half_a_percent(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Ingredients!F2", 0.5)
    assert shoot.ingredients[0].spoilage == Fraction(1, 200)


def test_cooked_weight__what_swells_has_more_than_100(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Ingredients!D2", 2.5, "0%")
    assert shoot.ingredients[0].cooked_weight == Fraction(5, 2)


@pytest.mark.parametrize(
    ("value", "price"),
    [
        pytest.param("0,89", "0.89", id="decimal comma"),
        pytest.param("2,79 €", "2.79", id="sign behind"),
        pytest.param("€2.79", "2.79", id="sign in front"),
        pytest.param("EUR 2.79", "2.79", id="code"),
        pytest.param("1 000,50", "1000.5", id="thousands by a blank"),
        pytest.param("1\u00a0000,50", "1000.5", id="thousands by a hard blank"),
        pytest.param(0, "0", id="zero is not blank"),
        pytest.param(0.1 + 0.2, "0.3", id="noise of binary numbers"),
    ],
)
def test_price__is_exact(value: Any, price: str, tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Packs!E3", value)
    assert shoot.packs[1].price == Decimal(price)


def test_price__a_currency_format_changes_nothing(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Packs!E3", 2.79, "[$€-2] #,##0.00")
    assert shoot.packs[1].price == Decimal("2.79")


@pytest.mark.parametrize(
    ("typed", "price"), [("¥1,200", 1200), ("1.200", 1200), ("１２００", 1200), ("12,-", 12)]
)
def test_price__of_a_currency_without_cents(typed: str, price: int, tmp_path: Path) -> None:
    """Where there are no cents a mark before three digits can only group thousands."""
    book = good_workbook()
    put("Settings!B3", "JPY")(book)
    put("Packs!E3", typed)(book)
    shoot, _ = read(book, tmp_path)
    assert shoot.packs[1].price == Decimal(price)


def test_price__no_cents_written_as_a_dash(tmp_path: Path) -> None:
    assert _read_with(tmp_path, "Packs!E3", "€ 3,-").packs[1].price == Decimal(3)


def test_price__blank_is_unknown(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Packs!E3", None)
    assert shoot.packs[1].price is None


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        pytest.param("1 1/2", "1 1/2 g", id="mixed number"),
        pytest.param("1½", "1 1/2 g", id="vulgar fraction"),
        pytest.param("3/4", "3/4 g", id="fraction"),
        pytest.param("0,89", "0.89 g", id="decimal comma"),
        pytest.param(2 / 3, "2/3 g", id="two thirds as a binary number"),
        pytest.param(1.1 * 1.1 * 100, "121 g", id="121 with noise"),
        pytest.param(0, "0 g", id="zero"),
    ],
)
def test_amount__is_exact(value: Any, expected: str, tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Recipes!E2", value)
    assert shoot.lines[0].amount == amount(expected)


def test_amount__of_a_range_the_upper_end_is_bought(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Recipes!E2", "1/2–3/4")
    assert shoot.lines[0].amount == amount("3/4 g")
    assert shoot.lines[0].amount_low == amount("1/2 g")


def test_amount__to_taste_is_no_amount_and_not_unknown(tmp_path: Path) -> None:
    book = good_workbook()
    put("Recipes!E2", "to  TASTE")(book)
    shoot, _ = read(book, tmp_path)
    assert (shoot.lines[0].to_taste, shoot.lines[0].amount) == (True, None)


def test_unit__blank_means_pieces(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Recipes!F2", None)
    assert shoot.lines[0].amount == amount("400 each")


def test_unit__the_setting_says_which_cup(tmp_path: Path) -> None:
    """1 1/2 cups of 236.5882365 ml each, instead of 250 ml each."""
    shoot = _read_with(tmp_path, "Settings!B4", "us CUSTOMARY")
    assert shoot.settings.measures is Measures.US_CUSTOMARY
    assert shoot.lines[3].amount == amount("1 1/2 US cup")


@pytest.mark.parametrize(
    ("value", "steps"),
    [
        pytest.param(2, (2,), id="number"),
        pytest.param("2", (2,), id="text"),
        pytest.param("1-3, 5", (1, 2, 3, 5), id="range and number"),
        pytest.param("5; 1 – 2", (1, 2, 5), id="in any order"),
        pytest.param("2 to 4", (2, 3, 4), id="in words"),
        pytest.param(None, None, id="all"),
    ],
)
def test_steps(value: Any, steps: tuple[int, ...] | None, tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Shoot plan!E3", value)
    assert shoot.shots[1].steps == steps


@settings(max_examples=examples(20))
@given(st.sets(st.integers(1, 999), min_size=1, max_size=8))
def test_steps__a_list_of_numbers_is_read_as_these_numbers(steps: set[int]) -> None:
    """Law: writing out a set of steps and reading it gives the set, in rising order."""
    book = good_workbook()
    put("Shoot plan!E3", ", ".join(map(str, steps)))(book)
    shoot, said = _in_memory(book)
    assert (said, shoot.shots[1].steps) == ([], tuple(sorted(steps)))


def test_step__is_named_in_a_row_of_its_own_below_its_lines(tmp_path: Path) -> None:
    """The number carries down: the row is about step 2 like the two above it."""
    book = good_workbook()
    put("Recipes!C4", None)(book)
    add("Recipes", None, None, "simmer")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [(line.step, line.step_name, line.ingredient) for line in shoot.lines[2:]] == [
        (2, "", "potato"),
        (2, "", "milk"),
        (2, "simmer", ""),
    ]


def _in_memory(book: Workbook) -> tuple[Shoot, list[Any]]:
    with tempfile.TemporaryDirectory() as folder:
        return read(book, Path(folder))


@pytest.mark.parametrize(
    ("value", "number_format", "expected"),
    [
        pytest.param(date(2031, 6, 1), "", date(2031, 6, 1), id="date cell"),
        pytest.param("2031-06-01", "", date(2031, 6, 1), id="ISO text"),
        pytest.param("2031/6/1", "", date(2031, 6, 1), id="year first"),
        pytest.param("13/06/2031", "", date(2031, 6, 13), id="only one reading"),
        pytest.param("06.06.2031", "", date(2031, 6, 6), id="both readings the same day"),
        pytest.param("01.06.2031", "", date(2031, 6, 1), id="dots are day first"),
        pytest.param("1 June 2031", "", date(2031, 6, 1), id="a month by its name"),
        pytest.param("Jun 1st, 2031", "", date(2031, 6, 1), id="a short month first"),
        pytest.param("1. Juni 2031", "", date(2031, 6, 1), id="a German month"),
        pytest.param("1 de junio de 2031", "", date(2031, 6, 1), id="a Spanish month"),
        pytest.param("2031年6月1日", "", date(2031, 6, 1), id="a Japanese date"),
        pytest.param("２０３１-０６-０１", "", date(2031, 6, 1), id="full-width digits"),
        pytest.param(48000, "General", date(2031, 6, 1), id="a date that lost its format"),
        pytest.param("5.13.2031", "", date(2031, 5, 13), id="a dot, and no month of that number"),
        pytest.param("10.12.2031", "", date(2031, 12, 10), id="the last month with a dot"),
        pytest.param("2000-01-01", "", date(2000, 1, 1), id="the first day of our time"),
        pytest.param("2100-12-31", "", date(2100, 12, 31), id="the last day of our time"),
        pytest.param(36526, "General", date(2000, 1, 1), id="the first one, without its format"),
        pytest.param("Sun 1 June 2031", "", date(2031, 6, 1), id="a day of the week before it"),
        pytest.param("Sunday, June 1, 2031", "", date(2031, 6, 1), id="one with a comma"),
        pytest.param("So., 01.06.2031", "", date(2031, 6, 1), id="a German one"),
        pytest.param("Sun 06/01/2031", "", date(2031, 6, 1), id="one that tells day and month"),
        pytest.param("May 3 2031", "", date(2031, 5, 3), id="a whole month first"),
        pytest.param("31 dicembre 2031", "", date(2031, 12, 31), id="an Italian month"),
    ],
)
def test_date(value: Any, number_format: str, expected: date, tmp_path: Path) -> None:
    """48000 days after 1899-12-30 is 2031-06-01, and 36526 days are 2000-01-01.

    By the calendar 2031-06-01 is a Sunday and 2031-01-06 a Monday.
    """
    shoot = _read_with(tmp_path, "On hand!D2", value, number_format)
    assert shoot.lots[0].use_by == expected


@pytest.mark.parametrize(
    ("value", "number_format", "expected"),
    [
        pytest.param(time(9, 30), "", time(9, 30), id="time cell"),
        pytest.param("9:30", "", time(9, 30), id="text"),
        pytest.param("09:30:15", "", time(9, 30, 15), id="with seconds"),
        pytest.param("2:30 pm", "", time(14, 30), id="afternoon"),
        pytest.param("12:05 a.m.", "", time(0, 5), id="after midnight"),
        pytest.param("12:05 pm", "", time(12, 5), id="after noon"),
        pytest.param("1 pm", "", time(13), id="the first hour after noon"),
        pytest.param("12 a.m.", "", time(0), id="midnight"),
        pytest.param("10:59:59", "", time(10, 59, 59), id="the last second of a minute"),
        pytest.param("0:00", "", time(0), id="the first minute"),
        pytest.param("23:59", "", time(23, 59), id="the last minute"),
        pytest.param(2359, "General", time(23, 59), id="the last minute as a number"),
        pytest.param(100, "General", time(1), id="a full hour as a number"),
        pytest.param(930, "General", time(9, 30), id="a number of three digits"),
        pytest.param(23.59, "General", time(23, 59), id="the last minute with a point"),
        pytest.param(1.05, "General", time(1, 5), id="an hour of one digit with a point"),
        pytest.param(0, "General", time(0), id="midnight without its format"),
        pytest.param(0.25, "General", time(6), id="a time that lost its format"),
        pytest.param(605 / 1440, "hh:mm", time(10, 5), id="noise of binary numbers"),
    ],
)
def test_clock_time(value: Any, number_format: str, expected: time, tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Shoot plan!J2", value, number_format)
    assert shoot.shots[0].starts == expected


@pytest.mark.parametrize(
    ("value", "number_format"),
    [
        ("10:60", ""),
        ("10:05:60", ""),
        ("13 pm", ""),
        ("0:30 am", ""),
        (2400, "General"),
        (2360, "General"),
        (99, "General"),
        (1, "General"),
        (10.5, "General"),
        (10.055, "General"),
        (-930, "General"),
        (-0.25, "General"),
    ],
)
def test_clock_time__what_no_clock_shows(value: Any, number_format: str, tmp_path: Path) -> None:
    """Nor 10.5, which is left of 10.50 and may mean half past ten."""
    book = good_workbook()
    put("Shoot plan!J2", value, number_format)(book)
    shoot, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["time unreadable"]
    assert shoot.shots[0].starts is None


@pytest.mark.parametrize(
    ("value", "number_format"),
    [
        ("1999-12-31", ""),
        ("2101-01-01", ""),
        (date(1999, 12, 31), "yyyy-mm-dd"),
        (date(2101, 1, 1), "yyyy-mm-dd"),
    ],
)
def test_date__of_another_century(value: Any, number_format: str, tmp_path: Path) -> None:
    book = good_workbook()
    put("On hand!D2", value, number_format)(book)
    _, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["date out of range"]


@pytest.mark.parametrize(
    "value",
    [
        pytest.param(datetime(2031, 5, 10, 23, 30), id="date and time cell"),
        pytest.param(datetime(2031, 5, 10, 23, 29, 59, 600_000), id="noise of binary numbers"),
        pytest.param("2031-05-10 23:30", id="ISO text"),
        pytest.param("2031-05-10T23:30:00", id="ISO text with a T"),
        pytest.param("13/05/2031 11:30 pm", id="only one reading"),
        pytest.param("10.05.2031 23:30", id="dots are day first"),
        pytest.param("10 May 2031 11:30 pm", id="a month by its name"),
        pytest.param("Sat 10 May 2031 23:30", id="a day of the week before it"),
    ],
)
def test_when__takes_a_date_and_a_time(value: Any, tmp_path: Path) -> None:
    book = good_workbook()
    put("Holding!D3", value)(book)
    shoot, said = read(book, tmp_path)
    day = 13 if str(value).startswith("13") else 10
    assert said == []
    assert shoot.containers[0].events[1].at == datetime(2031, 5, day, 23, 30)


def test_when__midnight_of_a_cell_that_shows_hours_is_a_time(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Holding!D3", datetime(2031, 5, 11), "yyyy-mm-dd hh:mm")
    assert shoot.containers[0].events[1].at == datetime(2031, 5, 11)


def test_dates__counted_from_1904(tmp_path: Path) -> None:
    """A workbook may count its days from 1904; the same days and times come out."""
    book = good_workbook()
    book.epoch = CALENDAR_MAC_1904
    shoot, said = read(book, tmp_path)
    assert said == []
    assert shoot.episodes[0].shoot_date == date(2031, 5, 10)
    assert shoot.episodes[0].call_time == time(9, 30)
    assert shoot.containers[0].events[0].at == datetime(2031, 5, 10, 10, 5)


@pytest.mark.parametrize(
    ("value", "eaten"),
    [("yes", True), ("No", False), (True, True), (False, False), (None, None)],
)
def test_yes_or_no(value: Any, eaten: bool | None, tmp_path: Path) -> None:
    book = good_workbook()
    book["Shoot plan"]["K1"], book["Shoot plan"]["K3"] = "Eaten", value
    shoot, said = read(book, tmp_path)
    assert (said, shoot.shots[1].eaten) == ([], eaten)


def test_text__typed_like_an_error_or_a_formula_is_text(tmp_path: Path) -> None:
    book = good_workbook()
    sheet = book["Packs"]
    sheet["I1"], sheet["I2"] = "Note", "=1+1"
    sheet["I2"].data_type = "s"
    shoot, said = read(book, tmp_path)
    assert (said, shoot.packs[0].note) == ([], "=1+1")


def test_name__a_number_is_a_name(tmp_path: Path) -> None:
    book = good_workbook()
    put("Shoot plan!A2", 7)(book)
    shoot, said = read(book, tmp_path)
    assert (said, shoot.shots[0].name) == ([], "7")


def _with_formulas(path: Path, *cells: tuple[str, str, Any]) -> None:
    """Recipes and Packs with formulas whose results the file holds."""
    with xlsxwriter.Workbook(path) as book:
        recipes, packs = book.add_worksheet("Recipes"), book.add_worksheet("Packs")
        recipes.write_row(0, 0, ["Dish", "Ingredient", "Amount", "Unit"])
        recipes.write_row(1, 0, ["soup", "leek", 400, "g"])
        packs.write_row(0, 0, ["Ingredient", "Amount", "Unit", "Price", "Shop"])
        packs.write_row(1, 0, ["leek", 1, "kg", 1.89, "Corner"])
        for address, formula, result in cells:
            packs.write_formula(address, formula, None, result)


def test_formula__is_taken_by_its_result(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    _with_formulas(path, ("D2", "=2*0.945", 1.89), ("A2", '="le"&"ek"', "leek"))
    shoot, said = read_workbook(path)
    assert said == []
    assert (shoot.packs[0].ingredient, shoot.packs[0].price) == ("leek", Decimal("1.89"))


def _as_saved_by_a_spreadsheet(path: Path) -> None:
    """Mark blank results as texts, as spreadsheet programs do when they have calculated them."""
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name, data in parts.items():
            marked = re.sub(rb'<c r="([A-Z]+[0-9]+)"><f>', rb'<c r="\1" t="str"><f>', data)
            new.writestr(name, marked)


def test_formula__an_empty_text_is_a_blank_cell(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    _with_formulas(path, ("D2", '=IF(1,"","x")', ""), ("A3", '=""', ""), ("D3", '=""', ""))
    _as_saved_by_a_spreadsheet(path)
    shoot, said = read_workbook(path)
    assert said == []
    assert [(pack.ingredient, pack.price) for pack in shoot.packs] == [("leek", None)]


def test_formula__its_error_is_told_with_the_cell(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    _with_formulas(path, ("D2", "=1/0", "#DIV/0!"))
    shoot, said = read_workbook(path)
    assert [(finding.code, finding.place.cell) for finding in said] == [("error cell", "D2")]
    assert shoot.packs[0].price is None


def test_formula__a_percent_format_counts_for_its_result(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    with xlsxwriter.Workbook(path) as book:
        recipes, rows = book.add_worksheet("Recipes"), book.add_worksheet("Ingredients")
        recipes.write_row(0, 0, ["Dish", "Ingredient", "Amount"])
        recipes.write_row(1, 0, ["soup", "leek", 4])
        rows.write_row(0, 0, ["Ingredient", "Trim yield %"])
        rows.write(1, 0, "leek")
        rows.write_formula(1, 1, "=36/50", book.add_format({"num_format": "0%"}), 0.72)
    shoot, said = read_workbook(path)
    assert (said, shoot.ingredients[0].trim_yield) == ([], Fraction(18, 25))


def test_likely_amounts__the_two_numbers_of_the_date() -> None:
    """1/2 and 1-2 become 1 February where the day comes first, 2 January where the month does."""
    for typed in (datetime(2031, 2, 1), datetime(2031, 1, 2)):
        assert likely_amounts(typed) == ["1/2", "1-2"]
        assert likely_steps(typed) == ["1-2"]
    assert likely_amounts(time(12)) == []


def test_read_workbook__leaves_the_file_alone(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    good_workbook().save(path)
    before = path.read_bytes()
    read_workbook(str(path))
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_purpose__words_are_matched_without_regard_to_case(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Shoot plan!D3", " Hero  Spare ")
    assert shoot.shots[1].purpose is Purpose.HERO_SPARE


def test_settings__every_one_of_them(tmp_path: Path) -> None:
    book = good_workbook()
    for name, value in (
        ("Prices include tax", "no"),
        ("food TAX rate %", 6),
        ("Tax rounding", "up"),
        ("Time control procedures", True),
        ("Holding rules", "us-tphc-4; AU-2H4H"),
        ("Shopping date", date(2031, 5, 9)),
        ("Chance of running out accepted %", 2.5),
        ("Count leftovers that keep at %", 0.5),
        ("Allergen list", "au-nz"),
        ("Budget", "250,50"),
        ("Bowl sizes", "250, 60 ml, 60"),
    ):
        add("Settings", name, value)(book)
    shoot, said = read(book, tmp_path)
    settings = shoot.settings
    assert said == []
    assert (settings.title, settings.currency, settings.time_zone) == (
        "Soup day",
        "EUR",
        "Europe/Lisbon",
    )
    assert (settings.prices_include_tax, settings.tax_rate, str(settings.tax_rounding)) == (
        False,
        Fraction(6, 100),
        "up",
    )
    assert (settings.procedures, settings.holding_rules) == (True, ("US-TPHC-4", "AU-2H4H"))
    assert settings.shopping_date == date(2031, 5, 9)
    assert settings.chance_of_running_out == Fraction(25, 1000)
    assert settings.leftovers_counted == Fraction(5, 1000)
    assert (str(settings.allergen_list), settings.bowl_sizes) == (
        "AU-NZ",
        (Fraction(60), Fraction(250)),
    )
    assert settings.budget == Decimal("250.50")
    assert len(settings.places) == 16
    assert settings.at("Budget").cell.startswith("B")


def test_settings__what_is_blank_is_not_given(tmp_path: Path) -> None:
    book = good_workbook()
    for row in book["Settings"].iter_rows(min_row=2, min_col=2, max_col=2):
        row[0].value = None
    shoot, said = read(book, tmp_path)
    assert said == []
    assert shoot.settings.title == "plan"
    assert shoot.settings.places == {}


def test_time_zone__is_matched_without_regard_to_case(tmp_path: Path) -> None:
    shoot = _read_with(tmp_path, "Settings!B5", "europe/LISBON")
    assert shoot.settings.time_zone == "Europe/Lisbon"
