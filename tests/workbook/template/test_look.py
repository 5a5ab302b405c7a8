"""How a new workbook looks and what it tells at each cell, read back and held to the layout."""

from __future__ import annotations

import zipfile
from io import BytesIO
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from costing.quantities import Measures, known_unit_names
from costing.workbook.layout import (
    INPUT_SHEETS,
    INSTRUCTIONS_TITLE,
    SETTINGS,
    SETTINGS_SHEET,
    TEXTS,
    UNITS,
    CellKind,
    Column,
    Sheet,
)
from costing.workbook.template import template_bytes
from costing.workbook.template.cells import Styles
from costing.workbook.template.sheets import CHOICE_ROWS, SETTING_EXTRAS, write_sheet
from costing.workbook.template.writing import results_alone_bytes

HEADINGS, FIRST = 3, 4
"""Rows of a new sheet, as the spreadsheet counts them."""

TABLES = INPUT_SHEETS[1:]
"""All but Settings, whose rows are given."""

HIGH = [pytest.approx(height, abs=0.5) for height in (28, 20, 32)]
"""Of title, purpose and headings; a file has whole pixels. [points]"""

AIR = 0.7109375
"""What a width has besides its characters: 5 pixels of 7 to the digit, from memory."""

SHOWN_AS = {
    **dict.fromkeys((CellKind.DATE, CellKind.DATES), "yyyy-mm-dd"),
    CellKind.TIME: "hh:mm",
    **dict.fromkeys((CellKind.MONEY, CellKind.MONEY_BOTH_WAYS), "0.00"),
}


def shown_as(column: Column) -> str:
    """The number format of a blank cell: text for what would become a date, or by its kind."""
    if column.as_text:
        return "@"
    return "# ??/??" if column.as_part else SHOWN_AS.get(column.kind, "General")


@pytest.fixture(scope="module")
def book() -> Workbook:
    return openpyxl.load_workbook(BytesIO(template_bytes(all_sheets=True, marking=True)))


def drawn(page: Any, at: int) -> Any:
    """How a column is drawn; of equal ones side by side the file has one entry."""
    return next(one for one in page.column_dimensions.values() if one.min <= at <= one.max)


def rules_of(page: Any) -> dict[str, Any]:
    """What is offered and said at the cells of a sheet, by their range."""
    return {str(rule.sqref): rule for rule in page.data_validations.dataValidation}


@pytest.mark.parametrize("layout", TABLES, ids=lambda one: one.title)
def test_cells__each_has_the_format_of_its_kind_down_to_the_last_blank_row(
    layout: Sheet, book: Workbook
) -> None:
    """Twenty rows to fill in; a Note is wrapped, all else stands on one line."""
    page = book[layout.title]
    assert page.max_row == FIRST + 20 - 1
    for at, column in enumerate(layout.columns, 1):
        below = drawn(page, at)
        assert (below.width, below.number_format) == (column.width + AIR, shown_as(column))
        for row in range(FIRST, page.max_row + 1):
            cell = page.cell(row, at)
            assert cell.number_format == shown_as(column)
            assert bool(cell.alignment.wrap_text) is (column.heading == "Note")
            assert (cell.alignment.vertical, cell.alignment.horizontal) == ("center", "left")


def test_settings__stand_beside_what_they_mean_in_words_that_are_only_read(book: Workbook) -> None:
    page = book["Settings"]
    widths = [*(column.width for column in SETTINGS_SHEET.columns), *(w for _, w in SETTING_EXTRAS)]
    assert [drawn(page, at).width for at in range(1, 5)] == [one + AIR for one in widths]
    assert [cell.value for cell in page[HEADINGS]][2:] == ["When blank", "Meaning"]
    for row, setting in enumerate(SETTINGS, FIRST):
        name, value, default, meaning = page[row]
        assert (name.value, default.value) == (setting.heading, setting.default)
        assert meaning.value == setting.meaning
        assert value.number_format == shown_as(setting)
        told = [
            (c.alignment.wrap_text, c.alignment.indent, c.fill.fill_type, c.border.bottom.style)
            for c in (default, meaning)
        ]
        assert told == [(True, 1, "solid", "thin")] * 2
        assert (value.alignment.wrap_text, value.fill.fill_type) == (None, None)
    assert page.max_row == FIRST + len(SETTINGS) - 1


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda one: one.title)
def test_sheet__its_rows_and_its_printed_page(layout: Sheet, book: Workbook) -> None:
    """Title, purpose and headings are higher than the rows; the title stands over all columns."""
    page = book[layout.title]
    assert [page.row_dimensions[row].height for row in (1, 2, 3)] == HIGH
    assert page.sheet_format.defaultRowHeight == 18
    looks = [
        {(c.font.sz, bool(c.font.b), bool(c.font.i)) for c in page[row]} for row in (1, 2, HEADINGS)
    ]
    assert looks == [{(16, True, False)}, {(10.5, False, True)}, {(10.5, True, False)}]
    assert {cell.alignment.wrap_text for cell in page[HEADINGS]} == {True}
    (table,) = page.tables.values()
    right = get_column_letter(page.max_column)
    assert (table.ref, table.autoFilter) == (f"A{HEADINGS}:{right}{page.max_row}", None)
    margins = page.page_margins
    assert (margins.left, margins.right, margins.top, margins.bottom) == (0.5, 0.5, 0.6, 0.7)
    footer: Any = page.oddFooter
    assert (footer.left.text, footer.right.text) == (layout.title, "Page &P of &N")


def prompt_of(column: Column) -> str:
    """Meaning, example and what holds when blank, as many of them as have room in 255 letters."""
    parts = [column.meaning]
    parts += [f"Example: {column.example}"] if column.example else []
    parts += [f"Blank: {column.default}."] if column.default else []
    fitting = ["\n".join(parts[:many]) for many in (1, 2, 3)]
    return max((one for one in fitting if len(one) <= 255), key=len)


@pytest.mark.parametrize("layout", TABLES, ids=lambda one: one.title)
def test_prompts__stand_at_every_cell_that_is_no_free_text(layout: Sheet, book: Workbook) -> None:
    rules = rules_of(book[layout.title])
    said = {
        f"{letter}{FIRST}:{letter}{CHOICE_ROWS + 1}": (column.heading, prompt_of(column))
        for letter, column in (
            (get_column_letter(at), column) for at, column in enumerate(layout.columns, 1)
        )
        if column.kind not in TEXTS
    }
    assert {at: (rule.promptTitle, rule.prompt) for at, rule in rules.items()} == said


def test_prompts__of_settings_stand_at_their_values(book: Workbook) -> None:
    rules = rules_of(book["Settings"])
    assert {at: (rule.promptTitle, rule.prompt) for at, rule in rules.items()} == {
        f"B{row}": (setting.heading[:32], prompt_of(setting))
        for row, setting in enumerate(SETTINGS, FIRST)
    }


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda one: one.title)
def test_choices__are_those_declared_the_units_of_everyday_or_names_of_another_sheet(
    layout: Sheet, book: Workbook
) -> None:
    """Nine units, the first that are known in metric measures; of all a list is no help."""
    columns = SETTINGS if layout is SETTINGS_SHEET else layout.columns
    rules = {rule.promptTitle: rule for rule in rules_of(book[layout.title]).values()}
    units = known_unit_names(Measures.METRIC)[:9]
    assert units == ["g", "kg", "ml", "l", "tsp", "tbsp", "cup", "each", "oz"]
    for column in columns:
        rule = rules.get(column.heading[:32])
        if rule is None:
            continue
        offered = units if column.kind in UNITS else column.choices
        if offered:
            assert (rule.type, rule.formula1) == ("list", f'"{",".join(offered)}"')
        elif column.listed:
            sheet, heading = column.listed
            named = next(one for one in INPUT_SHEETS if one.title == sheet)
            letter = get_column_letter(1 + named.headings.index(heading))
            assert rule.formula1 == f"'{sheet}'!${letter}${FIRST}:${letter}${CHOICE_ROWS}"
        else:
            assert (rule.type, rule.formula1) == (None, None)


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda one: one.title)
def test_notes__say_it_in_the_order_of_the_declaration(layout: Sheet, book: Workbook) -> None:
    for cell, column in zip(book[layout.title][HEADINGS], layout.columns, strict=False):
        assert cell.comment is not None
        *choices, last = column.choices or ("",)
        told = f"{', '.join(choices)} or {last}" if choices else last
        lines = [
            column.meaning,
            column.unit and f"Unit: {column.unit}.",
            told and f"One of: {told}.",
            column.example and f"Example: {column.example}",
            column.default and f"Blank: {column.default}.",
            "Needed in every row." if column.required and not column.default else "",
        ]
        assert cell.comment.text == "\n".join(filter(None, lines))


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda one: one.title)
def test_marking__errors_are_dark_and_warnings_pale(layout: Sheet, book: Workbook) -> None:
    """From the headings on over all columns; letters are told from the ground in both."""
    page = book[layout.title]
    ((where, found),) = [(str(one.sqref), one.rules) for one in page.conditional_formatting]
    right = get_column_letter(len(layout.columns))
    assert where == f"A{HEADINGS}:{right}{CHOICE_ROWS + 1}"
    graded = zip(found, ("error", "warning"), strict=True)
    assert all(f'"{grade}"' in rule.formula[0] for rule, grade in graded)
    looks = [
        (
            rule.dxf.fill.bgColor.rgb[2:],
            rule.dxf.font.color.rgb[2:],
            rule.dxf.font.b,
            rule.dxf.border.left.style,
        )
        for rule in found
    ]
    assert looks == [("564A66", "FFFFFF", True, "thin"), ("CFC6DB", "2E2A3B", True, "thin")]


def own_sheet(*columns: Column, rows: int = 0) -> Any:
    """A sheet of columns of our own, with so many rows filled in, read back."""
    layout = Sheet("Own", "OwnRows", "One row for each test.", columns)
    file = BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as made:
        given = [{columns[0].heading: "x"}] * rows
        write_sheet(made, layout, given, ["Own"], Styles(made))
    return openpyxl.load_workbook(file)["Own"]


@pytest.mark.parametrize(("longer", "said"), [(0, "Example: x"), (1, "m")])
def test_prompts__what_just_fits_is_said(longer: int, said: str) -> None:
    """255 letters are the most: 244 of the meaning, a new line, and ten of the example."""
    column = Column("Size", "m" * (244 + longer), CellKind.NUMBER, example="x")
    (rule,) = rules_of(own_sheet(column)).values()
    assert len(rule.prompt) == 255 - 10 * longer
    assert rule.prompt.endswith(said)


@pytest.mark.parametrize(("rows", "last"), [(19, 23), (20, 23), (21, 24)])
def test_table__holds_all_that_is_filled_in_and_at_least_twenty_rows(rows: int, last: int) -> None:
    page = own_sheet(Column("Size", "How large."), rows=rows)
    (table,) = page.tables.values()
    assert (table.ref, page.max_row) == (f"A3:A{last}", last)
    assert [page.cell(row, 1).value for row in range(4, last + 1)] == [
        *("x" for _ in range(rows)),
        *(None for _ in range(last - 3 - rows)),
    ]


def test_remark__stands_at_the_title_beside_the_notes_of_the_headings() -> None:
    data = template_bytes(only=["Shops", "Trips"], remarks={"Shops": "Prices of the stall."})
    book = openpyxl.load_workbook(BytesIO(data))
    shops, trips = book["Shops"], book["Trips"]
    assert shops["A1"].comment is not None
    assert shops["A1"].comment.text == "Prices of the stall."
    assert trips["A1"].comment is None
    assert shops["A3"].comment is not None


@pytest.mark.watched("how large notes are drawn is taste; that they hold their words is tested")
def test_notes__are_drawn_in_their_size() -> None:
    """A note of xlsxwriter is 96 points wide and 55.5 high: 2.1 times as wide, 3 of 4 lines."""
    data = template_bytes(only=["Shops"], remarks={"Shops": "short"})
    with zipfile.ZipFile(BytesIO(data)) as package:
        drawn = package.read("xl/drawings/vmlDrawing1.vml").decode()
    assert drawn.count("width:201.75pt") == 5, "four headings and the title"
    assert "height:42pt" in drawn


def test_results_alone__say_where_they_are_from() -> None:
    """Both lines are there in words that anyone can read without widening the column."""
    page = openpyxl.load_workbook(BytesIO(results_alone_bytes("plan.xlsm", "macros")))["Where from"]
    told = [str(cell.value) for (cell,) in page.iter_rows()]
    assert told == [
        "Results of plan.xlsm, which has macros and is left as it is.",
        "Cells named here as Sheet!Cell stand in that workbook.",
    ]
    (wide,) = page.column_dimensions.values()
    assert (wide.min, wide.max, wide.width) == (1, 1, 90 + AIR)
    assert max(map(len, told)) < 90


def test_instructions__columns_are_as_wide_as_their_rows_are_high_for(book: Workbook) -> None:
    page = book[INSTRUCTIONS_TITLE]
    assert [drawn(page, at).width for at in (1, 2)] == [28 + AIR, 86 + AIR]
    assert max(one.max or 0 for one in page.column_dimensions.values()) == 2
    assert (page.row_dimensions[1].height, page["A1"].font.sz) == (HIGH[0], 16)


def test_rows__nothing_stays_blank_and_a_float_a_number() -> None:
    """0.1 + 0.2 has more digits than a cell shows; it is a number all the same."""
    rows = {"Packs": [{"Ingredient": "leek", "Shop": "", "Price": 0.1 + 0.2}]}
    page = openpyxl.load_workbook(BytesIO(template_bytes(rows=rows)))["Packs"]
    assert [(page[at].data_type, page[at].value) for at in ("A4", "B4", "E4")] == [
        *(("s", "leek"), ("n", None), ("n", pytest.approx(0.3))),
    ]
