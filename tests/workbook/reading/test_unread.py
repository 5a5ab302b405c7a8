"""What is typed and not read is named in a note; what is plainly the person's own is not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from good_workbook import Change, add, copied, findings, good_workbook, put, read, renamed
from openpyxl.worksheet.table import Table


def column(sheet: str, heading: str | None, value: Any = 1) -> Change:
    """A column to the right of the others, filled in in the first row."""

    def change(book: Any) -> None:
        at = book[sheet].max_column + 1
        book[sheet].cell(1, at).value = heading
        book[sheet].cell(2, at).value = value

    return change


def sheet(title: str, *rows: list[Any]) -> Any:
    """A sheet of these rows."""

    def change(book: Any) -> None:
        made = book.create_sheet(title)
        for row in rows:
            made.append(row)

    return change


def notes(change: Change, folder: Path) -> list[tuple[str, str]]:
    """Code and place of what is said of the changed workbook."""
    book = good_workbook()
    change(book)
    return [(str(f.grade), f"{f.code}: {f.place.sheet}") for f in read(book, folder)[1]]


@pytest.mark.parametrize(
    ("where", "heading", "ours"),
    [
        ("Packs", "VAT", "Tax rate %"),
        ("Packs", "Limit", "At most"),
        ("Packs", "Free", ""),
        ("Ingredients", "Shelf life", ""),
        ("Ingredients", "Contains", ""),
        ("On hand", "Worth", "Value"),
        ("Dishes", "Serves", "Makes"),
        ("Shops", "Delivery", "Visit cost"),
        ("Packs", "Trim yield %", ""),
        ("Recipes", "Allergens", ""),
        ("Shops", "Price", ""),
    ],
)
def test_columns__that_hold_what_ours_would_are_named(
    where: str, heading: str, ours: str, tmp_path: Path
) -> None:
    """Instead of the heading of ours, or to the right of all when the sheet has none."""
    book = good_workbook()
    there = [cell for cell in book[where][1] if cell.value == ours]
    for cell in there:
        cell.value = heading
        book[where].cell(2, cell.column).value = 9
    if not there:
        column(where, heading)(book)
    said = read(book, tmp_path)[1]
    assert [(f.code, f.place.sheet) for f in said] == [("column not read", where)]


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(column(where, heading), id=f"{where}: {heading}")
        for where, heading in (
            ("Packs", "Aisle"),
            ("Packs", "Barcode"),
            ("Packs", "Rating"),
            ("Packs", "Price per kg"),
            ("Packs", "Website"),
            ("Recipes", "Temperature"),
            ("Recipes", "Minutes"),
            ("Recipes", "kcal"),
            ("Recipes", "Source"),
            ("Recipes", "Method"),
            ("Shoot plan", "Camera"),
            ("Shoot plan", "Lens"),
            ("Shoot plan", "Shop"),
            ("Shoot plan", "Who"),
            ("Shoot plan", "Done"),
            ("Ingredients", "Season"),
            ("Ingredients", "Latin name"),
            ("Episodes", "Sponsor"),
            ("Episodes", "Location"),
            ("Holding", "Initials"),
            ("Dishes", "Plate"),
            ("Shops", "Opening hours"),
            ("On hand", "Shelf"),
        )
    ],
)
def test_columns__of_the_persons_own_are_left_alone(change: Change, tmp_path: Path) -> None:
    assert notes(change, tmp_path) == []


def test_columns__without_an_entry_below_are_left_alone(tmp_path: Path) -> None:
    assert notes(column("Shops", "Delivery", None), tmp_path) == []


@pytest.mark.parametrize(
    ("there", "told"),
    [
        (("Unit", "Cost each", "At most"), None),
        (("Unit", "Cost each", "Loose step"), ("E1", '"Cost each"', '"Price"')),
        (
            ("Unit", "Cost each", "By eye", "At most"),
            ("E1", '"Cost each" and "By eye"', '"Price" and "Loose step"'),
        ),
        (("Unit", "Aisle", "Price", "Loose step"), None),
        (("Unit", "Price", "Loose step", "Cost each"), None),
        (("Loose step", "Cost each", "Unit"), None),
    ],
    ids=["one for two", "one for one", "two for two", "none absent", "at the right", "other order"],
)
def test_columns__in_the_place_of_absent_ones_are_told_once(
    there: tuple[str, ...], told: tuple[str, str, str] | None, tmp_path: Path
) -> None:
    """Our order is Unit, Price, Loose step, At most: what is absent is counted between two."""
    book = good_workbook()
    del book["Packs"]
    packs = book.create_sheet("Packs")
    packs.append(["Ingredient", "Shop", "Amount", *there])
    packs.append(["leek", "Corner", 1, *("kg" if at == "Unit" else 2 for at in there)])
    said = [f for f in read(book, tmp_path)[1] if f.code == "column in place of ours"]
    if told is None:
        assert said == []
        return
    cell, found, absent = told
    many = " and " in found
    expected = absent.replace(" and ", " or ")
    assert [str(one) for one in said] == [
        f"Packs!{cell}: found the heading{'s' if many else ''} {found} in the place of {absent}, "
        f"which {'are' if many else 'is'} absent, expected {expected}, or a column of your own "
        f"[column in place of ours]\n  {'These columns were' if many else 'The column was'} not "
        "read. If it is one of ours, name it so; leave it if it is your own."
    ]


@pytest.mark.parametrize(
    ("change", "title"),
    [
        (
            sheet(
                "Log",
                ["Container", "Event", "When", "Temperature"],
                ["milk jug", "out", "10:05", "4 C"],
            ),
            "Log",
        ),
        (sheet("Log", ["Bowl", "Time", "Temp"], ["milk jug", "10:05", "4 C"]), "Log"),
        (
            sheet("Price list", ["Product", "Shop", "Pack size", "Price"], ["leek", "A", 1, 2]),
            "Price list",
        ),
        (sheet("Prices", ["Ingredient", "Price"], ["leek", 2]), "Prices"),
        (sheet("Prices", ["Ingredient", "Price"], *[["nail", 1]] * 250, ["leek", 2]), "Prices"),
        (
            sheet("Sunday", ["Dish", "Step", "Ingredient", "Amount", "Unit"], ["pie", 1, "rye", 2]),
            "Sunday",
        ),
        (sheet("What I know", ["Ingredient", "Trim yield %"], ["Leek", 80]), "What I know"),
        (
            sheet("Allergy table", [], ["Ingredient", "Allergens"], ["milk", "milk"]),
            "Allergy table",
        ),
        (copied("Packs", "Packs of spring"), "Packs of spring"),
        (sheet("Fridge", ["Item", "Quantity"], ["butter", 2]), "Fridge"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_sheets__that_hold_what_ours_would_are_named(
    change: Change, title: str, tmp_path: Path
) -> None:
    assert notes(change, tmp_path) == [("note", f"sheet not read: {title}")]


@pytest.mark.parametrize(
    "change",
    [
        sheet("Crew", ["Name", "Phone", "Note"], ["A", "1"]),
        sheet("Log", ["Clip", "Card", "Time", "Note"], ["0001", "A", "10:05"]),
        sheet("Props to buy", ["Item", "Quantity", "Shop", "Price"], ["plate", 2, "A", 3]),
        sheet("Gear", ["Item", "Amount", "Note"], ["lamp", 2]),
        sheet("Nutrition", ["Ingredient", "kcal"], ["leek", 31]),
        sheet("Budget", ["Item", "Cost"], ["studio", 400]),
        sheet("Schedule", ["Time", "Who", "What"], ["10:00", "A", "light"]),
        sheet("Ideas", ["leek soup is good in spring"]),
        sheet("My sums", ["Ingredient", "Price per kg"], ["leek", 2]),
        sheet("People", ["Name", "Phone"], ["A", "1"]),
        sheet("Trips", ["Where", "Date"], ["the sea", "June"]),
        sheet("Tips", ["Whom", "How much"], ["driver", 5]),
        sheet("Parts", ["Lens", "Mount"], ["50 mm", "E"]),
        sheet("Menu", ["Starter", "Main"], ["leek soup", "pie"]),
        sheet("To buy, spring", ["To buy"], ["Written by costing and so on"], [], ["Ingredient"]),
    ],
)
def test_sheets__of_the_persons_own_are_left_alone(change: Change, tmp_path: Path) -> None:
    assert notes(change, tmp_path) == []


def test_heading_nearly_ours__has_one_message_though_nothing_is_made_of_it(tmp_path: Path) -> None:
    said = notes(column("Packs", "Order dayz", 2), tmp_path)
    assert said == [("error", "heading nearly known: Packs")]


def test_receipts__two_of_its_headings_make_it_ours(tmp_path: Path) -> None:
    """A sheet of receipts without what was paid is told; one with a single heading is one's own."""
    ours = sheet("Receipts", ["Date", "Shop", "Total"], ["2031-05-09", "Corner", 3])
    assert notes(ours, tmp_path) == [("error", "required heading missing: Receipts")]
    assert notes(sheet("Receipts", ["Date", "Whose"], ["2031-05-09", "A"]), tmp_path) == []


def test_setting__by_another_word_is_offered_ours(tmp_path: Path) -> None:
    (said,) = read_with(add("Settings", "VAT", 6), tmp_path)
    assert "Write Food tax rate % if that is meant" in said
    (said,) = read_with(add("Settings", "Budget limit", 250), tmp_path)
    assert "Write Budget if that is meant" in said


def read_with(change: Change, folder: Path) -> list[str]:
    """What is said of the changed workbook."""
    book = good_workbook()
    change(book)
    return findings(book, folder)


def below_totals(book: Any) -> None:
    """A row of Packs below the row of totals of its table."""
    add("Packs", "Total", None, None, None, 8.23)(book)
    add("Packs", "salt", 1, "kg", None, 1)(book)
    book["Packs"].add_table(Table(displayName="PackRows", ref="A1:H6", totalsRowCount=1))


CASES = [
    pytest.param(
        below_totals,
        [
            "Packs row 7: found row 7 filled in below the row of totals, expected rows above it "
            "[rows below totals]\n"
            "  Not read: move them above the totals if they are meant to count."
        ],
        id="rows below totals",
    ),
    pytest.param(
        column("Ingredients", "Contains", "milk"),
        [
            'Ingredients!G1: found the heading "Contains", expected "Allergens", or a column '
            "of your own [column not read]\n"
            '  The column was not read. If it is meant to count, write it as "Allergens"; '
            "leave it if it is your own."
        ],
        id="column not read",
    ),
    pytest.param(
        column("Ingredients", "Waste %", 28),
        [
            'Ingredients!G1: found the heading "Waste %", expected "Trim yield %" with what is '
            "left of 100 percent: 72 where 28 are lost, or a column of your own [column not read]\n"
            '  The column was not read. If it is meant to count, write it as "Trim yield %" with '
            "what is left of 100 percent: 72 where 28 are lost; leave it if it is your own."
        ],
        id="column not read: what is lost",
    ),
    pytest.param(
        column("Recipes", "Qty", 3),
        [
            'Recipes!I1: found the heading "Qty", expected entries of "Amount", which is here '
            "too, or a column of your own [column not read]\n"
            '  The column was not read. If it is meant to count, write it as entries of "Amount", '
            "which is here too; leave it if it is your own."
        ],
        id="column not read: beside ours",
    ),
    pytest.param(
        put("Packs!F1", "By eye"),
        [
            'Packs!F1: found the heading "By eye" in the place of "Loose step", which is absent, '
            'expected "Loose step", or a column of your own [column in place of ours]\n'
            "  The column was not read. If it is one of ours, name it so; leave it if it is your "
            "own."
        ],
        id="column in place of ours",
    ),
    pytest.param(
        put("Packs!F1", None),
        [
            "Packs!F1: found entries below a blank heading, expected a heading above every "
            "column [column without heading]\n"
            "  The column was not read. Write its heading above it."
        ],
        id="column without heading",
    ),
    pytest.param(
        sheet("Prices", ["Ingredient", "Price"], ["leek", 2]),
        [
            'Prices: found the sheet "Prices" with what the sheet Packs would hold, expected '
            'rows on a sheet named "Packs", or a sheet of your own [sheet not read]\n'
            '  Not read: sheet Prices. Put its rows on "Packs" if they are meant to count; '
            "leave it if it is your own."
        ],
        id="sheet not read",
    ),
]


@pytest.mark.parametrize(("change", "said"), CASES)
def test_said(change: Change, said: list[str], tmp_path: Path) -> None:
    assert read_with(change, tmp_path) == said


def test_sheet_nearly_ours__is_an_error_and_no_note_besides(tmp_path: Path) -> None:
    assert notes(renamed("Packs", "Pakcs"), tmp_path) == [("error", "sheet nearly known: Pakcs")]
