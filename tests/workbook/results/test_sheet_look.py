"""What a result sheet looks like: widths, folds, the box to tick, and the order of the sheets."""

from __future__ import annotations

import io

import openpyxl
import pytest
from live_workbooks import MAKERS, run, with_formulas, workbook_of
from packages import bytes_of, parts_of, sheets_of
from recalculation import looked_at, opened
from soundness import faults

from costing.report.layouts import RESULT_LAYOUTS, TAKES_LEFT, TO_BUY
from costing.report.tables import Layout, ResultColumn, ValueKind
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.results.look import (
    LANDSCAPE_ROOM,
    PORTRAIT_ROOM,
    shown_width,
    widths,
    wrapped,
)
from costing.workbook.results.sheets import MONEY, PORTRAIT

LONG = " ".join(["a rather long remark about this row"] * 6)
INPUTS = [sheet.title for sheet in INPUT_SHEETS]


demo = MAKERS["demo"]


@pytest.fixture
def written() -> bytes:
    return with_formulas("demo")[0]


def titles(data: bytes) -> list[str]:
    return list(sheets_of(parts_of(data)))


@pytest.mark.parametrize("layout", RESULT_LAYOUTS, ids=lambda layout: layout.title)
@pytest.mark.parametrize("word", ["leek", "charred-leek and white-bean tart of the house"])
def test_widths__of_every_sheet_fill_the_same_page(layout: Layout, word: str) -> None:
    """So that all are printed at one size, however long the names are.

    A page of A4 lies 10.89 inches wide between margins of 0.4, one of Letter 10.2; a character of
    11 points is 7 of 96 pixels an inch. 10.2 * 96 / (168 * 7) = 0.83, and 11 points are 9.2.
    """
    long = {ValueKind.LONG_TEXT: LONG, ValueKind.TEXT: word, ValueKind.STATUS: word}
    row = layout.row(**{c.key: long[c.kind] for c in layout.columns if c.kind in long})
    for room in (LANDSCAPE_ROOM, PORTRAIT_ROOM) if layout.key == "summary" else (LANDSCAPE_ROOM,):
        for rows in ([], [row]):
            table = layout.table(rows)
            assert shown_width(table, widths(table, room)) == pytest.approx(room, abs=1)
    assert 11 * 10.2 * 96 / (LANDSCAPE_ROOM * 7) > 9
    assert 11 * (8.27 - 0.8) * 96 / (PORTRAIT_ROOM * 7) > 9


@pytest.mark.parametrize("layout", RESULT_LAYOUTS, ids=lambda one: one.key)
def test_about__is_one_line_above_the_line_that_says_what_is_out_of_date(layout: Layout) -> None:
    """What a sheet is about stands in row 3, the check in row 4: a second line had it inside."""
    room = PORTRAIT_ROOM if layout.key in PORTRAIT else LANDSCAPE_ROOM
    assert wrapped(layout.about, room) == [layout.about]


def test_widths__the_note_of_takes_left_has_most_of_the_page() -> None:
    """Episode and shots of a dozen letters, a count each: most is left to the note."""
    row = dict.fromkeys(TAKES_LEFT.keys, "P1 herb pie") | dict.fromkeys(
        ("planned", "taken", "more"), 2
    )
    table = TAKES_LEFT.table([TAKES_LEFT.row(**(row | {"note": "One more lacks leek. " * 9}))])
    assert widths(table, LANDSCAPE_ROOM)[-1] > LANDSCAPE_ROOM / 2


def test_widths__long_texts_give_room_before_names_do() -> None:
    """40 + 60 are 10 more than there is: the text gives them, the name of 38 letters stays."""
    columns = (ResultColumn("Name"), ResultColumn("Note", kind=ValueKind.LONG_TEXT, width=60))
    layout = Layout("Trial", "", columns)
    table = layout.table([layout.row(name="n" * 38, note="a text of words")])
    assert widths(table, 90) == [40, 50]
    assert widths(table, 120) == [40, 80]


def test_to_buy__shows_nine_columns_and_folds_the_rest(written: bytes) -> None:
    sheet = looked_at(written)["To buy"]
    folded = [
        column.heading
        for column, letter in zip(TO_BUY.columns, "ABCDEFGHIJKLMNOPQR", strict=True)
        if sheet.column_dimensions[letter].hidden
    ]
    assert folded == [column.heading for column in TO_BUY.columns if column.folded]
    assert len(TO_BUY.columns) - len(folded) == 9
    assert sheet.column_dimensions["D"].outlineLevel == 1
    assert sheet.column_dimensions["E"].collapsed
    assert sheet.sheet_format.outlineLevelCol == 1


def test_to_buy__has_a_box_to_tick(written: bytes) -> None:
    sheet = looked_at(written)["To buy"]
    (table,) = sheet.tables.values()
    box = sheet[table.ref][1][0].border
    assert [getattr(box, side).style for side in ("left", "right", "top", "bottom")] == ["thin"] * 4


@pytest.mark.parametrize("title", ["To buy", "Summary", "Holding times"])
def test_heading__says_what_it_means_when_it_is_chosen(written: bytes, title: str) -> None:
    sheet = looked_at(written)[title]
    (table,) = sheet.tables.values()
    layout = next(layout for layout in RESULT_LAYOUTS if layout.title == title)
    told = {
        str(one.sqref): (one.promptTitle, one.prompt)
        for one in sheet.data_validations.dataValidation
    }
    assert told == {
        cell.coordinate: (column.heading, column.meaning)
        for cell, column in zip(sheet[table.ref][0], layout.columns, strict=True)
    }


def test_heading__keeps_its_meaning_when_lines_come_above_it() -> None:
    """The price of butter goes: a line on To buy says that the total leaves it out."""
    book = openpyxl.load_workbook(io.BytesIO(with_formulas("demo")[0]))
    row = next(row for row in book["Packs"].iter_rows(min_row=4) if row[0].value == "butter")
    before = opened(bytes_of(book), values=False)["To buy"]
    row[4].value = None
    after = opened(run(bytes_of(book))[0], values=False)["To buy"]
    rows = [next(iter(page.tables.values())).ref for page in (before, after)]
    assert rows[0] != rows[1]
    (table,) = after.tables.values()
    headings = {cell.coordinate for cell in after[table.ref][0]}
    assert {str(one.sqref) for one in after.data_validations.dataValidation} == headings


def test_assumptions__that_change_nothing_are_folded_and_counted_above(written: bytes) -> None:
    sheet = looked_at(written)["Assumptions"]
    (table,) = sheet.tables.values()
    rows = [row[0].row for row in sheet[table.ref][1:]]
    folded = [row for row in rows if sheet.row_dimensions[row].hidden]
    assert folded == rows[-len(folded) :]
    assert all(sheet.row_dimensions[row].outlineLevel == 1 for row in folded)
    told = [str(cell.value) for cell in sheet["A"][: rows[0]] if cell.value]
    assert any(f"the {len(folded)} that change nothing of it are folded" in text for text in told)


def test_prep__a_line_parts_the_trays_of_the_steps(written: bytes) -> None:
    """The tart has six steps: five lines."""
    sheet = looked_at(written)["Prep"]
    (table,) = sheet.tables.values()
    starts = [row for row in sheet[table.ref][1:] if row[0].border.top.style == "medium"]
    assert [row[2].value for row in starts] == [2, 3, 4, 5, 6]


def test_summary__large_figures_follow_those_below(written: bytes) -> None:
    """38.64 bought, 31.34 used, 10.65 left, by the shoot worked by hand."""
    sheet = looked_at(written, values=True)["Summary"]
    assert sheet["A2"].value == "Buy for 38.64 EUR in 2 shops; every shot is covered as planned."
    assert sheet.row_dimensions[3].hidden
    assert [sheet.cell(6, n).value for n in (1, 2, 3)] == list(MONEY.values())
    assert [sheet.cell(7, n).value for n in (1, 2, 3)] == [38.64, 31.34, 10.65]


@pytest.mark.parametrize(
    ("price", "names", "figures"),
    [
        (None, ["Bought value", "Used value", "Left value"], ["not known yet"] * 3),
        (
            2,
            ["Bought value, in part", "Used value, in part", "Left value, in part"],
            [2, 0.8, 1.2],
        ),
    ],
    ids=["nothing", "one of two"],
)
def test_summary__large_figures_say_what_is_not_known(
    price: int | None, names: list[str], figures: list[object]
) -> None:
    """400 g of a kilo of leek at 2 are 0.80; of mint no price is known."""
    rows: dict[str, list[tuple[object, ...]]] = {
        "Recipes": [
            ("Dish", "Ingredient", "Amount", "Unit"),
            ("soup", "leek", 400, "g"),
            ("soup", "mint", 10, "g"),
        ],
        "Shoot plan": [("Dish", "Purpose"), ("soup", "cook-through")],
        "Packs": [
            ("Ingredient", "Amount", "Unit", "Price"),
            ("leek", 1, "kg", price),
            ("mint", 10, "g", None),
        ],
        "Ingredients": [("Ingredient", "Trim yield %"), ("leek", 100), ("mint", 100)],
    }
    sheet = opened(run(workbook_of(rows))[0], values=True)["Summary"]
    assert [sheet.cell(6, n).value for n in (1, 2, 3)] == names
    assert [sheet.cell(7, n).value for n in (1, 2, 3)] == figures


def test_order__results_come_before_the_inputs_of_a_new_workbook(written: bytes) -> None:
    """And it opens on Summary, the only sheet that is selected; each name stays with its sheet."""
    book = looked_at(written)
    results = [layout.title for layout in RESULT_LAYOUTS if layout.title in book.sheetnames]
    assert book.sheetnames == [*results, *INPUTS, "Instructions"]
    assert results[:2] == ["Summary", "To buy"]
    assert book.active.title == "Summary"
    assert [page.title for page in book if page.sheet_view.tabSelected] == ["Summary"]
    for page in book:
        if page.title in results:
            assert "_costing_sheet" in page.defined_names
        assert page.title == "Instructions" or page.print_title_rows
    assert faults(written) == []


def test_order__stays_in_later_runs_and_a_new_sheet_stands_among_its_like(written: bytes) -> None:
    """Without its log the holding sheets go; with it they come back to their place."""
    book = openpyxl.load_workbook(io.BytesIO(demo()))
    rows = [[cell.value for cell in row] for row in book["Holding"].iter_rows()]
    for line in book["Holding"].iter_rows(min_row=4):
        for cell in line:
            cell.value = None
    first = run(bytes_of(book))[0]
    assert "Holding times" not in titles(first)
    again = openpyxl.load_workbook(io.BytesIO(first))
    again.active = again.sheetnames.index("Packs")
    for number, row in enumerate(rows, 1):
        for column, value in enumerate(row, 1):
            if number >= 4 and value is not None:
                again["Holding"].cell(number, column, value)
    second = run(bytes_of(again))[0]
    assert titles(second) == titles(written)
    assert opened(second, values=False).active.title == "Packs"


def test_order__of_a_workbook_of_ones_own_stays() -> None:
    """The sheets of somebody else come first, in their order; the results stand behind them."""
    book = openpyxl.load_workbook(io.BytesIO(demo()))
    del book["Findings"], book["Instructions"]
    book.create_sheet("My notes", 0)
    data = run(bytes_of(book))[0]
    assert titles(data)[: len(INPUTS) + 1] == ["My notes", *INPUTS]
    assert titles(data)[len(INPUTS) + 1] == "Summary"


def test_order__sheets_added_to_a_new_workbook_keep_theirs() -> None:
    """Results are put before them; every part of theirs is the same, byte for byte."""
    book = openpyxl.load_workbook(io.BytesIO(demo()))
    book.create_sheet("My notes", 0)["A1"] = "call the dairy"
    before = bytes_of(book)
    after = run(before)[0]
    inputs = [title for title in titles(before) if title != "Findings"]
    assert [title for title in titles(after) if title in inputs] == inputs
    assert titles(after)[0] == "Summary"
    old, new = parts_of(before), parts_of(after)
    changed = [
        title
        for title, part in sheets_of(old).items()
        if title in inputs and old[part] != new[sheets_of(new)[title]]
    ]
    assert changed == [page.title for page in book if page.sheet_view.tabSelected]
