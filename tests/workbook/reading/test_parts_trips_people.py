"""Parts, Trips, People, Receipts and Counted, and cells that say a thing in two forms.

What is expected follows by hand from the rows of each workbook.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from good_workbook import add, good_workbook, read

from costing.kitchen import PackState, PaidFrom, ReceiptTag
from costing.shoot import Shoot
from costing.shoot.shots import EndedBy
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import write_workbook

HEADINGS = {layout.title: list(layout.headings) for layout in INPUT_SHEETS}


def with_rows(folder: Path, title: str, *rows: list[Any]) -> tuple[Shoot, list[tuple[str, str]]]:
    """The good workbook with a further sheet, and what is said of it: code and cell."""
    book = good_workbook()
    made = book.create_sheet(title)
    for row in (HEADINGS[title], *rows):
        made.append(row)
    shoot, said = read(book, folder)
    return shoot, [(f.code, f.place.cell) for f in said]


def with_column(
    folder: Path, title: str, heading: str, *values: Any
) -> tuple[Shoot, list[tuple[str, str]]]:
    """The good workbook with a column, and what is said of it."""
    book = good_workbook()
    sheet = book[title]
    headings = [cell.value for cell in sheet[1]]
    at = headings.index(heading) + 1 if heading in headings else sheet.max_column + 1
    sheet.cell(1, at).value = heading
    for row, value in enumerate(values, 2):
        cell = sheet.cell(row, at)
        cell.value = value[0] if isinstance(value, tuple) else value
        if isinstance(value, tuple):
            cell.number_format = value[1]
    shoot, said = read(book, folder)
    return shoot, [(f.code, f.place.cell) for f in said]


def test_parts__ingredient_amount_unit_and_way_carry_down(tmp_path: Path) -> None:
    shoot, said = with_rows(
        tmp_path,
        "Parts",
        ["lemon", 1, "each", "lemon juice", 40, "ml", "pressed", None],
        [None, None, None, "lemon zest", 4, "g", None, None],
        [None, None, None, "lemon wedge", 6, None, "in wedges", None],
        ["chicken", "1 1/2", "kg", "breast", 600, "g", "jointed", "legs too"],
    )
    assert said == []
    assert [
        (p.ingredient, str(p.amount), p.name, str(p.part_amount), p.way) for p in shoot.parts
    ] == [
        ("lemon", "1 each", "lemon juice", "40 ml", "pressed"),
        ("lemon", "1 each", "lemon zest", "4 g", "pressed"),
        ("lemon", "1 each", "lemon wedge", "6 each", "in wedges"),
        ("chicken", "1.5 kg", "breast", "600 g", "jointed"),
    ]
    assert shoot.parts[1].at("Part").cell == "D3"


def test_parts__a_number_of_the_row_above_stands_in_no_cell_of_this_row(tmp_path: Path) -> None:
    """So that no formula refers to the blank cell below it."""
    shoot, _ = with_rows(
        tmp_path, "Parts", ["egg", 1, "each", "yolk", 1], [None, None, None, "white", 1]
    )
    assert [sorted(part.row.held) for part in shoot.parts] == [
        ["Amount", "Part amount"],
        ["Part amount"],
    ]


def test_parts__a_fault_is_told_once_and_leaves_out_the_rows_that_rest_on_it(
    tmp_path: Path,
) -> None:
    """Row 3 has an amount of 0, on which row 4 rests; rows 2, 5 and 6 lack an amount or a part.

    Row 2 lacks what is cut, and no amount stands above it: its unit alone is the same fault.
    """
    shoot, said = with_rows(
        tmp_path,
        "Parts",
        ["pear", None, "each", "pear half", 2, "each"],
        ["egg", 0, "each", "yolk", 1, "each"],
        [None, None, None, "white", 1, "each"],
        ["lime", 1, "each", "lime juice", None, "ml"],
        ["lime", 1, "each", None, 20, "ml"],
        ["plum", 2, "portions", "stone", 2, "each"],
    )
    assert said == [
        ("entry missing", "B2"),
        ("number out of range", "B3"),
        ("entry missing", "E5"),
        ("entry missing", "D6"),
        ("unit of dishes only", "C7"),
    ]
    assert shoot.parts == ()
    assert [(left.sheet, left.in_totals) for left in shoot.left_out] == [("Parts", True)] * 6


def test_trips__a_shop_and_a_day(tmp_path: Path) -> None:
    shoot, said = with_rows(
        tmp_path, "Trips", ["Corner", date(2031, 5, 8)], ["Corner", "10 May 2031"]
    )
    assert said == []
    assert [(trip.shop, str(trip.day)) for trip in shoot.trips] == [
        ("Corner", "2031-05-08"),
        ("Corner", "2031-05-10"),
    ]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ([None, date(2031, 5, 8)], ("entry missing", "A2")),
        (["Corner", None], ("entry missing", "B2")),
        (["Corner", "soon"], ("date unreadable", "B2")),
        (["Corner", "Sun 10 May 2031"], ("date unreadable", "B2")),  # it is a Saturday
        (["Corner", "8/5/2031"], ("date ambiguous", "B2")),
    ],
)
def test_trips__a_row_without_shop_or_day_is_left_out(
    row: list[Any], said: tuple[str, str], tmp_path: Path
) -> None:
    """No total leaves something out for a trip that cannot be read."""
    shoot, found = with_rows(tmp_path, "Trips", row)
    assert found == [said]
    assert shoot.trips == ()
    assert [left.in_totals for left in shoot.left_out] == [False]


def test_people__what_they_avoid_stands_between_semicolons(tmp_path: Path) -> None:
    """Commas part the names only where there is no semicolon; none is nothing, blank unknown."""
    shoot, said = with_rows(
        tmp_path,
        "People",
        ["camera", "milk; tomatoes, canned"],
        ["sound", "milk, leek, milk"],
        ["light", "none"],
        ["edit", None],
    )
    assert said == []
    assert [(person.name, person.avoids) for person in shoot.people] == [
        ("camera", ("milk", "tomatoes, canned")),
        ("sound", ("milk", "leek")),
        ("light", ()),
        ("edit", None),
    ]


def test_receipts__number_date_and_shop_carry_down(tmp_path: Path) -> None:
    shoot, said = with_rows(
        tmp_path,
        "Receipts",
        ["R1", date(2031, 5, 9), "Corner", "leek", 2, None, None, 3.78, 6, "card"],
        [None, None, None, "potato", None, 1.2, "kg", "2,40 €", None, "float", "crew"],
        [None, None, None, None, None, None, None, 1.5, None, None, None, "delivery"],
    )
    assert said == []
    leek, potato, delivery = shoot.receipts
    assert (leek.receipt, leek.day, leek.shop) == ("R1", date(2031, 5, 9), "Corner")
    assert leek.packs == Fraction(2)
    assert (leek.tax_rate, leek.paid_from, leek.tag) == (
        Fraction(6, 100),
        PaidFrom.CARD,
        ReceiptTag.CAMERA,
    )
    assert (potato.receipt, potato.day, potato.shop) == ("R1", date(2031, 5, 9), "Corner")
    assert (str(potato.amount), str(potato.paid), potato.tag) == ("1.2 kg", "2.4", ReceiptTag.CREW)
    assert (delivery.ingredient, delivery.note, str(delivery.paid)) == ("", "delivery", "1.5")
    assert delivery.shop == "Corner"


def test_receipts__discounts_are_below_nothing_and_other_currencies_keep_their_sign(
    tmp_path: Path,
) -> None:
    """The currency is EUR; a price below nothing is still refused on Packs."""
    book = good_workbook()
    made = book.create_sheet("Receipts")
    for row in (
        HEADINGS["Receipts"],
        ["R1", date(2031, 5, 9), "Corner", "leek", None, None, None, -0.5],
        ["R2", date(2031, 5, 9), "Corner", "leek", 1, None, None, "12,50 USD"],
        [None, None, None, "potato", 1, None, None, 3],
    ):
        made.append(row)
    made["H4"].number_format = "[$£-809]0.00"
    add("Packs", "leek", "Corner", 1, "kg", -2)(book)
    shoot, said = read(book, tmp_path)
    assert [(str(line.paid), line.sign) for line in shoot.receipts] == [
        ("-0.5", ""),
        ("12.5", "USD"),
        ("3", "£"),
    ]
    assert [finding.code for finding in said] == ["number out of range"]


def test_receipts__what_was_given_back_may_be_below_nothing(tmp_path: Path) -> None:
    """As bookkeepers write a return; a number below 0 beside money that was paid is an error."""
    shoot, said = with_rows(
        tmp_path,
        "Receipts",
        ["R1", date(2031, 5, 9), "Corner", "leek", -1, None, None, -1.89],
        [None, None, None, "potato", None, -1.2, "kg", "-2,40"],
        [None, None, None, "leek", 1, None, None, -1.89],
        [None, None, None, "leek", -2, None, None, 3.78],
    )
    given_back = [(line.packs, line.amount and str(line.amount)) for line in shoot.receipts]
    assert given_back == [(1, None), (None, "1.2 kg"), (1, None), (None, None)]
    assert said == [("number out of range", "E5")]


def test_receipts__what_was_paid_is_needed_and_words_are_closed(tmp_path: Path) -> None:
    shoot, said = with_rows(
        tmp_path,
        "Receipts",
        ["R1", date(2031, 5, 9), "Corner", "leek", 2],
        ["R2", "soon", "Corner", "leek", 2, None, None, 3, None, "bank", "gift"],
        [None, None, None, "leek", 1, None, None, 2],
    )
    assert said == [
        ("entry missing", "H2"),
        ("date unreadable", "B3"),
        ("choice unknown", "J3"),
        ("choice unknown", "K3"),
    ]
    (line,) = shoot.receipts
    assert (line.receipt, line.day) == ("R2", None)


def test_counted__what_was_there_at_the_end(tmp_path: Path) -> None:
    """Of a range the lower end counts, as of what is on hand; 0 is an amount."""
    shoot, said = with_rows(
        tmp_path, "Counted", ["leek", "300-350", "g"], ["butter", 0, "g"], ["milk", None, "ml"]
    )
    assert said == [("range of stock", "B2"), ("entry missing", "B4")]
    assert [str(one.amount) for one in shoot.counted] == ["300 g", "0 g"]


@pytest.mark.parametrize("sheet", ["Packs", "On hand"])
def test_unit__portions_and_batches_of_a_dish_may_be_bought_or_there(
    sheet: str, tmp_path: Path
) -> None:
    """Leek soup is a dish of Recipes and leek is none; each row ends below the last one."""
    for name, fault in (("leek soup", []), ("leek", ["unit of dishes only"])):
        for unit in ("portions", "batches"):
            book = good_workbook()
            row = [name, "Corner", 2, unit] if sheet == "Packs" else [name, 2, unit]
            add(sheet, *row)(book)
            shoot, said = read(book, tmp_path)
            rows = shoot.packs if sheet == "Packs" else shoot.lots
            assert [f.code for f in said] == fault
            assert (rows[-1].ingredient == name) is not bool(fault)


def test_candidates__a_part_says_how_many_are_good_enough(tmp_path: Path) -> None:
    """A number is how many are looked at for one, 80% and a cell shown as percent a part."""
    shoot, said = with_column(tmp_path, "Recipes", "Candidates", 3, "80%", (0.75, "0%"), None)
    assert said == []
    assert [(line.candidates, line.good_enough) for line in shoot.lines] == [
        (Fraction(3), None),
        (Fraction(1), Fraction(4, 5)),
        (Fraction(1), Fraction(3, 4)),
        (Fraction(1), None),
    ]


def test_candidates__out_of_range_leaves_the_need_unknown(tmp_path: Path) -> None:
    shoot, said = with_column(tmp_path, "Recipes", "Candidates", 0.5, "0%", "120 %", "many")
    assert said == [
        ("number out of range", "H2"),
        ("percent out of range", "H3"),
        ("percent out of range", "H4"),
        ("text not a number", "H5"),
    ]
    assert [line.amount for line in shoot.lines] == [None] * 4


@pytest.mark.parametrize(
    ("typed", "names", "count"),
    [
        ("camera; sound", ("camera", "sound"), None),
        ("camera", ("camera",), None),
        ("camera, sound", ("camera", "sound"), None),
        ("camera\n first  sound;\n", ("camera", "first sound"), None),
        ("camera,\nsound\nlight", ("camera", "sound", "light"), None),
        (3, (), 3),
        ("3", (), 3),
        (None, (), None),
    ],
)
def test_eaters__names_or_a_number(
    typed: Any, names: tuple[str, ...], count: int | None, tmp_path: Path
) -> None:
    shoot, said = with_column(tmp_path, "Shoot plan", "Eaters", typed)
    assert said == []
    assert (shoot.shots[0].eaters, shoot.shots[0].eater_count) == (names, count)


def test_avoids_and_allergens__a_line_each_is_read_as_well(tmp_path: Path) -> None:
    shoot, _ = with_column(tmp_path, "Ingredients", "Allergens", "milk,\ntree  nuts\negg")
    assert shoot.ingredients[0].allergens == ("milk", "tree nuts", "egg")


def test_eaters__fewer_than_none_is_out_of_range(tmp_path: Path) -> None:
    shoot, said = with_column(tmp_path, "Shoot plan", "Eaters", -1)
    assert said == [("number out of range", "K2")]
    assert (shoot.shots[0].eaters, shoot.shots[0].eater_count) == ((), None)


def test_shot__how_often_it_was_taken_and_why_it_ended(tmp_path: Path) -> None:
    shoot, said = with_column(tmp_path, "Shoot plan", "Taken", 2, -1)
    assert said == [("times negative", "K3")]
    assert [shot.taken for shot in shoot.shots] == [2, None]
    shoot, said = with_column(tmp_path, "Shoot plan", "Ended by", "Food", "boredom")
    assert said == [("choice unknown", "K3")]
    assert [shot.ended_by for shot in shoot.shots] == [EndedBy.FOOD, None]


def test_pack__its_state_and_how_long_before(tmp_path: Path) -> None:
    shoot, said = with_column(tmp_path, "Packs", "State", "frozen", "warm")
    assert said == [("choice unknown", "I3")]
    assert [pack.state for pack in shoot.packs[:2]] == [PackState.FROZEN, None]
    shoot, said = with_column(tmp_path, "Packs", "Thaw days", 2, 1.5, -1)
    assert said == [("not a whole number", "I3"), ("number out of range", "I4")]
    assert [pack.thaw_days for pack in shoot.packs[:3]] == [2, None, None]


def test_dish__whole_batches_and_how_long_it_keeps(tmp_path: Path) -> None:
    shoot, said = with_column(tmp_path, "Dishes", "Whole batches", "yes")
    assert (said, shoot.dishes[0].whole_batches) == ([], True)
    shoot, said = with_column(tmp_path, "Dishes", "Keeps days", 3)
    assert said == []
    assert shoot.dishes[0].keeps_days == 3
    shoot, said = with_column(tmp_path, "Dishes", "Whole batches", "mostly")
    assert said == [("choice unknown", "D2")]
    assert [left.name for left in shoot.left_out] == ["leek soup"]


def test_settings__days_of_shopping_and_what_is_charged(tmp_path: Path) -> None:
    book = good_workbook()
    for row in (
        ("Shopping date", "2031-05-09; 2031-05-06; 2031-05-09"),
        ("Charge mark-up %", 120),
        ("Mark-up on", "before tax"),
        ("Cash float", 100),
        ("Cash counted", "12,40 €"),
    ):
        add("Settings", *row)(book)
    settings = read(book, tmp_path)[0].settings
    assert settings.shopping_dates == (date(2031, 5, 6), date(2031, 5, 9))
    assert settings.shopping_date == date(2031, 5, 6)
    assert (settings.charge_mark_up, settings.mark_up_on) == (Fraction(6, 5), "before tax")
    assert (str(settings.cash_float), str(settings.cash_counted)) == ("100", "12.4")


def test_settings__a_mark_up_below_0_is_out_of_range(tmp_path: Path) -> None:
    book = good_workbook()
    add("Settings", "Charge mark-up %", -5)(book)
    said = [str(f) for f in read(book, tmp_path)[1]]
    assert said == [
        'Settings!B7 (row "Charge mark-up %", column "Value"): found -5 percent, expected percent '
        "of at least 0 [percent out of range]\n"
        "  Write 6 for six percent, or format the cell as 6%."
    ]


def test_write_workbook__the_further_sheets_are_read_again_as_given(tmp_path: Path) -> None:
    """Law: what was written is read as the same shoot, in either form of a cell."""
    rows: dict[str, list[list[Any]]] = {
        "Parts": [["lemon", 1, "each", "lemon juice", 40, "ml", "pressed", "ripe"]],
        "Trips": [["Corner", date(2031, 5, 8), None]],
        "People": [["camera", "milk; tomatoes, canned", None], ["light", "none", None]],
        "Receipts": [["R1", date(2031, 5, 9), "Corner", "leek", 2, None, None, 3.78, 6, "card"]],
        "Counted": [["leek", 300, "g", None]],
    }
    book = good_workbook()
    for title, given in rows.items():
        made = book.create_sheet(title)
        for row in (HEADINGS[title], *given):
            made.append(row)
    for title, heading, values in (
        ("Recipes", "Candidates", (3, "80%", "1.5%")),
        ("Shoot plan", "Eaters", ("camera; light", 3)),
        ("Shoot plan", "Ended by", ("food",)),
        ("Packs", "State", ("frozen",)),
        ("Dishes", "Whole batches", ("yes",)),
    ):
        sheet = book[title]
        headings = [cell.value for cell in sheet[1]]
        at = headings.index(heading) + 1 if heading in headings else sheet.max_column + 1
        for number, value in enumerate((heading, *values), 1):
            sheet.cell(number, at).value = value
    add("Settings", "Shopping date", "2031-05-06; 2031-05-09")(book)
    shoot, _ = read(book, tmp_path)
    write_workbook(tmp_path / "again.xlsx", shoot)
    again, _ = read_workbook(tmp_path / "again.xlsx")
    assert shoot.difference(again) == ""
    assert again.people[0].avoids == ("milk", "tomatoes, canned")
    assert again.lines[2].good_enough == Fraction(15, 1000)
