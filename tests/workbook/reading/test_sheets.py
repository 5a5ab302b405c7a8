"""Where the input sheets are found, and which rows of them are read."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from good_workbook import SHEETS, add, findings, good_workbook, merged, put, read, renamed
from openpyxl import Workbook
from openpyxl.worksheet.table import Table

from costing.quantities import amount
from costing.workbook.layout import INPUT_SHEETS, RESULT_TITLES
from costing.workbook.reading.headings import nearly


def test_sheets__titles_and_headings_without_regard_to_case_and_blanks(tmp_path: Path) -> None:
    book = good_workbook()
    for sheet in book.worksheets:
        for cell in sheet[1]:
            cell.value = f"  {str(cell.value).upper()} ".replace(" ", "\u00a0 ")
    book["On hand"].title = " ON  hand "
    shoot, said = read(book, tmp_path)
    plain, _ = read(good_workbook(), tmp_path)
    assert said == []
    assert shoot.lines == plain.lines
    assert [lot.ingredient for lot in shoot.lots] == ["butter", "salt"]


def test_sheets__columns_in_any_order_with_more_of_the_persons_own(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in SHEETS.items():
        sheet = book.create_sheet(title)
        for number, row in enumerate(rows):
            sheet.append([*reversed(row), "My remark" if number == 0 else "call the dairy"])
    book.create_sheet("My notes").append(["Dish", "Ingredient", "Amount"])
    shoot, said = read(book, tmp_path)
    plain, _ = read(good_workbook(), tmp_path)
    assert said == []
    for part in ("lines", "shots", "packs", "ingredients", "lots", "episodes", "dishes", "shops"):
        assert getattr(shoot, part) == getattr(plain, part)


@pytest.mark.parametrize("above", [1, 19])
def test_headings__stand_within_the_first_20_rows(above: int, tmp_path: Path) -> None:
    book = good_workbook()
    book["Recipes"].insert_rows(1, above)
    book["Recipes"]["A1"] = "Recipes of ours"
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [line.row.number for line in shoot.lines] == [above + n for n in (2, 3, 4, 5)]


def test_headings__below_row_20_are_not_looked_for(tmp_path: Path) -> None:
    book = good_workbook()
    book["Shops"].insert_rows(1, 20)
    assert findings(book, tmp_path) == [
        "Shops: found none of its headings in the first 20 rows, expected Shop [required heading "
        "missing]\n  Write what is missing, spelled so, into the row of headings; until then the "
        "sheet is not read."
    ]


def _with_table(book: Workbook, title: str, name: str, area: str, totals: int = 0) -> None:
    table = Table(displayName=name, ref=area, totalsRowCount=totals or None)
    book[title].add_table(table)


def test_table__is_found_by_its_name_on_any_sheet(tmp_path: Path) -> None:
    book = good_workbook()
    book["Packs"].title = "What the shops have"
    _with_table(book, "What the shops have", "PackRows", "A1:H5")
    shoot, said = read(book, tmp_path)
    assert said == []
    assert len(shoot.packs) == 4
    assert shoot.packs[0].row.sheet == "What the shops have"


def test_table__without_our_headings_is_somebody_elses(tmp_path: Path) -> None:
    book = good_workbook()
    sheet = book.create_sheet("Sums")
    sheet.append(["Shop", "Sum"])
    sheet.append(["Corner", 12])
    _with_table(book, "Sums", "PackRows", "A1:B2")
    shoot, said = read(book, tmp_path)
    assert said == []
    assert shoot.packs[0].row.sheet == "Packs"


@pytest.mark.parametrize("name", ["PackRows", "Table1"])
def test_table__its_row_of_totals_is_no_row(name: str, tmp_path: Path) -> None:
    """A person formats the sheet Packs as a table, of any name, and has its prices added up."""
    book = good_workbook()
    add("Packs", "Total", None, None, None, 8.23)(book)
    _with_table(book, "Packs", name, "A1:H6", totals=1)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [pack.ingredient for pack in shoot.packs] == ["leek", "butter", "potato", "milk"]


def test_table__rows_below_its_totals_are_told(tmp_path: Path) -> None:
    """A word by itself is a note, and what another table has below is somebody else's."""
    book = good_workbook()
    add("Packs", "Total", None, None, None, 8.23)(book)
    sheet = book["Packs"]
    sheet["A7"], sheet["A8"], sheet["A9"] = "prices of May", "salt", "oil"
    sheet["E8"], sheet["E9"] = 1, 2
    sheet["A11"], sheet["B11"], sheet["A12"], sheet["B12"] = "Month", "Spent", "May", 38.64
    _with_table(book, "Packs", "PackRows", "A1:H6", totals=1)
    _with_table(book, "Packs", "Spending", "A11:B12")
    shoot, said = read(book, tmp_path)
    assert list(map(str, said)) == [
        "Packs row 8: found rows 8 and 9 filled in below the row of totals, expected rows above "
        "it [rows below totals]\n  Not read: move them above the totals if they are meant to "
        "count."
    ]
    assert len(shoot.packs) == 4


def test_table__rows_typed_below_it_are_read_too(tmp_path: Path) -> None:
    """Not every program makes the table longer when somebody types below it."""
    book = good_workbook()
    _with_table(book, "Packs", "PackRows", "A1:H4")
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [pack.ingredient for pack in shoot.packs] == ["leek", "butter", "potato", "milk"]


def test_table__another_one_below_ends_the_sheet(tmp_path: Path) -> None:
    book = good_workbook()
    sheet = book["Packs"]
    sheet["A8"], sheet["B8"], sheet["A9"], sheet["B9"] = "Month", "Spent", "May", 38.64
    _with_table(book, "Packs", "PackRows", "A1:H5")
    _with_table(book, "Packs", "Spending", "A8:B9")
    shoot, said = read(book, tmp_path)
    assert said == []
    assert len(shoot.packs) == 4


@pytest.mark.parametrize("title", RESULT_TITLES)
def test_result_sheets__are_no_input(title: str, tmp_path: Path) -> None:
    book = good_workbook()
    book.create_sheet(title).append(["Ingredient", "Amount", "Trim yield"])
    assert findings(book, tmp_path) == []


def test_hidden_sheet__of_the_persons_own_is_ignored(tmp_path: Path) -> None:
    book = good_workbook()
    book.create_sheet("Recipe").sheet_state = "hidden"
    assert findings(book, tmp_path) == []


def test_optional_sheets__missing_means_nothing_given(tmp_path: Path) -> None:
    book = good_workbook()
    for title in SHEETS:
        if title != "Recipes":
            book.remove(book[title])
    shoot, said = read(book, tmp_path)
    assert said == []
    assert (shoot.packs, shoot.shots, shoot.episodes) == ((), (), ())
    assert len(shoot.lines) == 4


@pytest.mark.parametrize("title", [title for title in SHEETS if title != "Recipes"])
def test_optional_sheets__blank_means_nothing_given(title: str, tmp_path: Path) -> None:
    book = good_workbook()
    book[title].delete_rows(1, 50)
    if title == "Episodes":
        book["Holding"].delete_rows(1, 50)
    assert findings(book, tmp_path) == []


def test_blank_rows__are_skipped(tmp_path: Path) -> None:
    book = good_workbook()
    book["Recipes"].insert_rows(3, 4)
    book["Recipes"]["E4"] = "   "
    book["Recipes"]["L5"] = "a remark in a column of my own"
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [line.row.number for line in shoot.lines] == [2, 7, 8, 9]


def test_cells_far_apart__cost_nothing(tmp_path: Path) -> None:
    """One cell in the last row and column of a sheet does not make a cell for each between."""
    book = good_workbook()
    book.create_sheet("Far").cell(200_000, 500, "here")
    book["Recipes"].cell(100_000, 400, "here")
    shoot, said = read(book, tmp_path)
    assert (said, len(shoot.lines)) == ([], 4)


def test_carried_down__a_dish_alone_in_its_row(tmp_path: Path) -> None:
    book = good_workbook()
    add("Recipes", "bread", None, None, None)(book)
    add("Recipes", None, None, None, "flour", 500, "g")(book)
    add("Recipes", None, 2, "rest")(book)
    add("Recipes", "leek soup", None, None, "salt", 4, "g")(book)
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [(line.dish, line.step, line.ingredient) for line in shoot.lines[4:]] == [
        ("bread", 1, "flour"),
        ("bread", 2, ""),
        ("leek soup", 2, "salt"),
    ]


def test_carried_down__nothing_above_is_told_once(tmp_path: Path) -> None:
    book = good_workbook()
    put("Recipes!A2", None)(book)
    shoot, said = read(book, tmp_path)
    assert [(finding.code, finding.place.cell) for finding in said] == [
        ("entry missing", "A2"),
    ]
    assert shoot.lines == ()


def test_carried_down__an_unreadable_dish_is_told_once_and_its_lines_left_out(
    tmp_path: Path,
) -> None:
    book = good_workbook()
    put("Recipes!A2", "=B2")(book)
    shoot, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["formula never calculated"]
    assert shoot.lines == ()
    assert [left.what for left in shoot.left_out] == [
        'recipe line "leek"',
        'recipe line "butter"',
        'recipe line "potato"',
        'recipe line "milk"',
    ]


def test_left_out__what_cannot_be_used_is_named(tmp_path: Path) -> None:
    book = good_workbook()
    for address, value in (
        ("Shoot plan!G3", "two"),
        ("Packs!C3", "some"),
        ("On hand!D2", "soon"),
        ("Episodes!A2", None),
        ("Holding!D2", "early"),
    ):
        put(address, value)(book)
    shoot, _ = read(book, tmp_path)
    assert [(left.what, str(left.place)) for left in shoot.left_out] == [
        ('shot "S2"', "'Shoot plan' row 3 (row \"S2\")"),
        ('pack of "butter"', 'Packs row 3 (row "butter")'),
        ('on hand "butter"', "'On hand' row 2 (row \"butter\")"),
        ("episode without a name", "Episodes row 2"),
        ('events of container "milk jug"', 'Holding!D2 (row "milk jug", column "When")'),
    ]


def test_left_out__a_sheet_without_a_heading_it_needs(tmp_path: Path) -> None:
    book = good_workbook()
    put("Packs!C1", "How much")(book)
    shoot, _ = read(book, tmp_path)
    assert [(left.what, str(left.place)) for left in shoot.left_out] == [
        ('sheet "Packs"', "Packs row 1")
    ]


def test_left_out__a_recipe_line_with_an_unreadable_amount_stays_with_its_need_unknown(
    tmp_path: Path,
) -> None:
    book = good_workbook()
    put("Recipes!E2", "a handful")(book)
    shoot, _ = read(book, tmp_path)
    assert (shoot.lines[0].ingredient, shoot.lines[0].amount) == ("leek", None)
    assert shoot.left_out == ()


def test_left_out__an_unreadable_loss_makes_the_need_unknown(tmp_path: Path) -> None:
    """Without it the published yield would be taken, and look as good as the person's own."""
    book = good_workbook()
    put("Ingredients!C2", "much")(book)
    shoot, _ = read(book, tmp_path)
    assert [line.amount for line in shoot.lines if line.ingredient == "leek"] == [None]
    assert [line.amount for line in shoot.lines if line.ingredient == "butter"] == [amount("30 g")]
    assert [left.what for left in shoot.left_out] == ['ingredient "leek"']


def test_left_out__a_doubtful_column_makes_the_need_unknown(tmp_path: Path) -> None:
    book = good_workbook()
    put("Ingredients!C1", "Trim yeild %")(book)
    shoot, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["heading nearly known"]
    assert [(line.ingredient, line.amount is None) for line in shoot.lines] == [
        ("leek", True),
        ("butter", False),
        ("potato", False),
        ("milk", True),
    ]


def test_left_out__unreadable_measures_leave_out_what_depends_on_them(tmp_path: Path) -> None:
    book = good_workbook()
    put("Settings!B4", "mine")(book)
    shoot, said = read(book, tmp_path)
    assert [finding.code for finding in said] == ["choice unknown"]
    assert shoot.lines[0].amount == amount("400 g")
    assert shoot.lines[3].amount is None


def test_left_out__an_unreadable_tax_setting_makes_prices_unknown(tmp_path: Path) -> None:
    book = good_workbook()
    add("Settings", "Prices include tax", "perhaps")(book)
    shoot, _ = read(book, tmp_path)
    assert {pack.price for pack in shoot.packs} == {None}


def test_merged_cells__make_their_rows_unreadable(tmp_path: Path) -> None:
    book = good_workbook()
    merged("Packs", "C2:C3")(book)
    shoot, _ = read(book, tmp_path)
    assert [pack.ingredient for pack in shoot.packs] == ["potato", "milk"]


def test_merged_cells__of_two_headings_leave_both_columns_unread(tmp_path: Path) -> None:
    """E1 Price and F1 Loose step merged: it is said once, and no price is believed."""
    book = good_workbook()
    merged("Packs", "E1:F1")(book)
    shoot, said = read(book, tmp_path)
    assert [str(finding).partition(", expected")[0] for finding in said] == [
        "Packs!E1: found the cells E1:F1 merged"
    ]
    assert {(pack.price, pack.loose_step) for pack in shoot.packs} == {(None, None)}
    assert [str(pack.amount) for pack in shoot.packs] == ["1 kg", "250 g", "10 each", "1 l"]


def test_merged_cells__in_columns_of_the_persons_own_do_not_matter(tmp_path: Path) -> None:
    book = good_workbook()
    book["Packs"]["K1"] = "Aisle"
    merged("Packs", "K2:M4")(book)
    assert findings(book, tmp_path) == []


@pytest.mark.parametrize(
    ("columns", "ends"),
    [("A:B", True), ("I:J", True), ("C:D", True), ("J:K", False)],
    ids=["below the first column", "below the last", "in the middle", "beside"],
)
def test_list__ends_above_another_table_that_stands_below_it(
    columns: str, ends: bool, tmp_path: Path
) -> None:
    """Packs in columns B to I, rows 2 to 5; a table of the person's own from row 4 or 8 on."""
    book = good_workbook()
    page = book["Packs"]
    page.insert_cols(1)
    left, right = columns.split(":")
    top = 8 if ends else 4
    page[f"{left}{top}"], page[f"{right}{top}"] = "Aisle", "Row"
    page[f"{left}{top + 1}"], page[f"{right}{top + 1}"] = "dairy", 7
    page.add_table(Table(displayName="Aisles", ref=f"{left}{top}:{right}{top + 1}"))
    shoot, said = read(book, tmp_path)
    assert said == []
    assert [pack.ingredient for pack in shoot.packs] == ["leek", "butter", "potato", "milk"]


@pytest.mark.parametrize(
    ("text", "known", "meant"),
    [
        ("Trim yield", "Trim yield %", True),
        ("Trim-yield%", "Trim yield %", True),
        ("Notes", "Note", True),
        ("Dishs", "Dish", True),
        ("Batches", "Batch", True),
        ("Ammount", "Amount", True),
        ("Amuont", "Amount", True),
        ("Ingredeints", "Ingredient", True),
        ("Meesurrd", "Measured", True),
        ("Epusade", "Episode", False),
        ("Unut", "Unit", True),
        ("Cat", "Cut", False),
        ("Trice", "Price", False),
        ("Prise", "Price", True),
        ("Bmount", "Amount", True),
        ("Note 2", "Note", False),
        ("Cost", "Most", False),
        ("Cut", "Cup", False),
        ("Recipes old", "Recipes", False),
        ("Price per kg", "Price", False),
    ],
)
def test_nearly(text: str, known: str, meant: bool) -> None:
    assert (nearly(text, [known]) is not None) is meant


def test_nearly__no_heading_of_ours_is_nearly_another_of_its_sheet() -> None:
    for layout in INPUT_SHEETS:
        for heading in layout.headings:
            others = [other for other in layout.headings if other != heading]
            assert nearly(heading, others) is None


def test_heading__of_another_sheet_of_ours_is_the_persons_own(tmp_path: Path) -> None:
    """Shop is one slip from Shot; in the shoot plan it is a column of one's own."""
    book = good_workbook()
    book["Shoot plan"]["K1"] = "Shop"
    assert findings(book, tmp_path) == []


def test_older_word__beside_the_heading_is_the_persons_own(tmp_path: Path) -> None:
    book = good_workbook()
    book["Packs"]["K1"] = "Cost"
    renamed("Shops", "Shops")(book)
    assert findings(book, tmp_path) == []
