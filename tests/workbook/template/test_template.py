"""New workbooks: what is in them, and that they are read as they were filled in."""

from __future__ import annotations

import re
import tempfile
import zipfile
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from textwrap import wrap
from typing import Any

import openpyxl
import pytest
from budgets import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from live_workbooks import read_bytes
from openpyxl import Workbook
from openpyxl.utils import get_column_letter, range_boundaries

from costing.quantities import amount, decimal_or_mixed
from costing.workbook.layout import (
    INPUT_SHEETS,
    INSTRUCTIONS_TITLE,
    SETTINGS,
    SHOOT_PLAN,
    CellKind,
    Sheet,
)
from costing.workbook.package.refusals import Refused
from costing.workbook.reading import read_workbook
from costing.workbook.results.write import new_workbook_bytes, write_template
from costing.workbook.template import template_bytes
from costing.workbook.template.sheets import note_size

HEADINGS, FIRST = 3, 4
"""Rows of a new sheet, as the spreadsheet counts them."""


@pytest.fixture(scope="module")
def everything() -> Workbook:
    return openpyxl.load_workbook(BytesIO(template_bytes(all_sheets=True)))


def test_new__has_the_first_four_sheets_in_order() -> None:
    book = openpyxl.load_workbook(BytesIO(template_bytes()))
    assert book.sheetnames == ["Settings", "Recipes", "Shoot plan", "Packs", INSTRUCTIONS_TITLE]


def test_new__has_all_sheets_when_asked(everything: Workbook) -> None:
    titles = [sheet.title for sheet in INPUT_SHEETS]
    assert everything.sheetnames == [*titles, INSTRUCTIONS_TITLE]


def test_new__is_the_same_to_the_byte() -> None:
    assert template_bytes(all_sheets=True) == template_bytes(all_sheets=True)


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda sheet: sheet.title)
def test_sheet__is_a_table_with_our_headings(layout: Sheet, everything: Workbook) -> None:
    sheet = everything[layout.title]
    table = sheet.tables[layout.table]
    width = len(layout.headings)
    assert table.ref.startswith(f"A{HEADINGS}:")
    assert [cell.value for cell in sheet[HEADINGS]][:width] == list(layout.headings)
    assert sheet.freeze_panes == f"B{FIRST}"
    assert [sheet["A1"].value, sheet["A2"].value] == [layout.title, layout.purpose]


@pytest.mark.parametrize("layout", INPUT_SHEETS[1:], ids=lambda sheet: sheet.title)
def test_sheet__has_no_data_and_no_example_in_its_rows(layout: Sheet, everything: Workbook) -> None:
    rows = everything[layout.title].iter_rows(min_row=FIRST, values_only=True)
    assert {value for row in rows for value in row} == {None}


def test_settings__are_listed_with_a_blank_value_and_what_holds_then(everything: Workbook) -> None:
    rows = list(everything["Settings"].iter_rows(min_row=FIRST, values_only=True))
    assert [row[:3] for row in rows] == [(s.heading, None, s.default) for s in SETTINGS]


@pytest.mark.parametrize("layout", INPUT_SHEETS, ids=lambda sheet: sheet.title)
def test_heading__has_a_note_with_meaning_unit_and_example(
    layout: Sheet, everything: Workbook
) -> None:
    for cell, column in zip(everything[layout.title][HEADINGS], layout.columns, strict=False):
        assert cell.comment is not None
        assert column.meaning in cell.comment.text
        assert column.unit in cell.comment.text
        assert column.example in cell.comment.text


@pytest.mark.parametrize(
    ("title", "needed"),
    [
        ("Packs", ["Ingredient", "Amount"]),
        ("Holding", ["Event", "When"]),
        ("Settings", ["Setting"]),
    ],
)
def test_heading__says_what_no_row_goes_without(
    title: str, needed: list[str], everything: Workbook
) -> None:
    """A pack is of something and so large; a container with a blank name is the one above.

    A setting with a blank value is as what is written beside it says.
    """
    notes = {str(cell.value): cell.comment for cell in everything[title][HEADINGS]}
    said = [name for name, note in notes.items() if note and "Needed in every row." in note.text]
    assert said == needed


@pytest.mark.parametrize("layout", INPUT_SHEETS[1:], ids=lambda sheet: sheet.title)
def test_heading__needed_is_underlined_and_all_stand_over_their_cells(
    layout: Sheet, everything: Workbook
) -> None:
    """What must be filled in is told by a line too, not by a colour alone."""
    sheet = everything[layout.title]
    rows = zip(sheet[HEADINGS], sheet[FIRST], layout.columns, strict=False)
    for cell, below, column in rows:
        assert (cell.font.u == "single") is column.required
        assert cell.alignment.indent == below.alignment.indent == 1
        assert cell.border.bottom.style == below.border.bottom.style == "thin"


def _rules(book: Workbook, title: str) -> dict[str, Any]:
    return {
        re.sub(r"[0-9].*", "", str(rule.sqref)): rule
        for rule in book[title].data_validations.dataValidation
    }


def test_choices__of_closed_lists_are_offered(everything: Workbook) -> None:
    rules = _rules(everything, "Shoot plan")
    purpose = rules["D"]
    assert purpose.type == "list"
    assert purpose.formula1.strip('"').split(",")[:3] == ["cook-through", "retake", "swap"]
    eaten = SHOOT_PLAN.headings.index("Eaten")
    assert rules[get_column_letter(eaten + 1)].formula1 == '"yes,no"'


def test_choices__of_names_come_from_the_other_sheets_and_block_nothing(
    everything: Workbook,
) -> None:
    rules = _rules(everything, "Packs")
    assert rules["A"].formula1 == f"'Recipes'!$D${FIRST}:$D$500"
    assert rules["B"].formula1 == f"'Shops'!$A${FIRST}:$A$500"
    for layout in INPUT_SHEETS:
        for rule in _rules(everything, layout.title).values():
            assert not rule.showErrorMessage


def test_choices__of_a_sheet_that_is_not_there_are_not_offered() -> None:
    book = openpyxl.load_workbook(BytesIO(template_bytes()))
    assert _rules(book, "Packs")["B"].type is None
    assert _rules(book, "Packs")["A"].type == "list"


def test_prompts__fit_into_what_a_spreadsheet_shows(everything: Workbook) -> None:
    for layout in INPUT_SHEETS:
        for rule in _rules(everything, layout.title).values():
            assert 0 < len(rule.prompt) <= 255
            assert 0 < len(rule.promptTitle) <= 32


@pytest.mark.parametrize(
    ("title", "column"), [("Recipes", "E"), ("Shoot plan", "E"), ("On hand", "B")]
)
def test_amounts_and_steps__are_text_in_the_table_and_below_it(
    title: str, column: str, everything: Workbook
) -> None:
    sheet = everything[title]
    (table,) = sheet.tables.values()
    for row in (FIRST, range_boundaries(table.ref)[3]):
        cell = sheet[f"{column}{row}"]
        assert (cell.number_format, cell.border.bottom.style) == ("@", "thin")
    style = sheet.column_dimensions[column]
    assert style.number_format == "@"


def test_print__one_page_wide_with_the_headings_on_every_page(everything: Workbook) -> None:
    for layout in INPUT_SHEETS:
        sheet = everything[layout.title]
        properties = sheet.sheet_properties.pageSetUpPr
        assert properties is not None
        assert properties.fitToPage
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.print_title_rows == f"${HEADINGS}:${HEADINGS}"


def test_print__on_the_paper_of_whoever_prints_it(everything: Workbook) -> None:
    """Letter in the US and A4 elsewhere: nothing is said, as of the result sheets."""
    for sheet in everything:
        setup = sheet.page_setup
        assert (setup.paperSize, setup.fitToWidth, setup.fitToHeight) == (None, None, 0)


def test_instructions__name_every_sheet_and_carry_the_cautions(everything: Workbook) -> None:
    rows = everything[INSTRUCTIONS_TITLE].iter_rows(values_only=True)
    text = "\n".join(str(value) for row in rows for value in row if value)
    for layout in INPUT_SHEETS:
        assert layout.title in text
    assert "When in doubt, throw it out." in text
    assert "competent authority" in text
    assert "safe to eat" not in text


def test_instructions__no_line_is_cut_off(everything: Workbook) -> None:
    """A program that is told a height keeps it: the title needs a fifth more than its letters."""
    page = everything["Instructions"]
    title, second = page["A1"], page.row_dimensions[2].height
    assert page.row_dimensions[1].height >= 1.2 * title.font.size
    assert second is None or second < page.row_dimensions[1].height
    assert page.column_dimensions["B"].width > 2 * page.column_dimensions["A"].width


def test_instructions__each_row_is_as_high_as_its_words(everything: Workbook) -> None:
    """Law: a line needs 15 points, as a row has by default, and there is air for one more at most.

    The columns have 28 and 86 characters; a caution goes over both.
    """
    page = everything[INSTRUCTIONS_TITLE]
    for at, (name, words) in enumerate(page.iter_rows(min_row=3), 3):
        caution = name.coordinate in page.merged_cells
        if caution or words.value:
            text, room = (name.value, 28 + 86) if caution else (words.value, 86)
            needed = 15 * len(wrap(str(text), room))
            assert needed < page.row_dimensions[at].height <= needed + 18


def test_instructions__look_as_the_other_sheets_do(everything: Workbook) -> None:
    """No lines between the cells, the title as high, and each name in bold beside its words."""
    page, other = everything[INSTRUCTIONS_TITLE], everything["Packs"]
    assert page.sheet_view.showGridLines is other.sheet_view.showGridLines is False
    assert page.row_dimensions[1].height == other.row_dimensions[1].height
    named = [row for row in page.iter_rows(min_row=3) if row[1].value]
    assert [(row[0].font.b, row[1].font.b) for row in named] == [(True, False)] * len(named)
    assert len(named) > len(INPUT_SHEETS)


def test_rows__text_like_a_formula_stays_text() -> None:
    rows = {"Packs": [{"Ingredient": "leek", "Amount": 1, "Note": '=HYPERLINK("x")'}]}
    book = openpyxl.load_workbook(BytesIO(template_bytes(rows=rows)))
    cell = book["Packs"][f"N{FIRST}"]
    assert (cell.data_type, cell.value) == ("s", '=HYPERLINK("x")')


def test_rows__each_kind_of_value(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    data = template_bytes(
        rows={
            "Recipes": [
                {"Dish": "soup", "Ingredient": "leek", "Amount": Fraction(2, 3), "Optional": True},
            ],
            "Packs": [
                {
                    "Ingredient": "leek",
                    "Amount": Decimal("0.5"),
                    "Unit": "kg",
                    "Price": Decimal("1.89"),
                    "Price date": date(2031, 5, 2),
                }
            ],
            "Episodes": [{"Episode": "One", "Shoot date": date(2031, 5, 10), "Call time": time(9)}],
            "Holding": [{"Container": "jug", "Event": "out", "When": datetime(2031, 5, 10, 10, 5)}],
            "Settings": [{"Setting": "Currency", "Value": "EUR"}],
        },
    )
    path.write_bytes(data)
    shoot, said = read_workbook(path)
    assert said == []
    assert (shoot.lines[0].amount, shoot.lines[0].optional) == (amount("2/3 each"), True)
    assert (shoot.packs[0].amount, shoot.packs[0].price) == (amount("0.5 kg"), Decimal("1.89"))
    assert shoot.packs[0].price_date == date(2031, 5, 2)
    assert shoot.episodes[0].call_time == time(9)
    assert shoot.containers[0].events[0].at == datetime(2031, 5, 10, 10, 5)
    assert shoot.settings.currency == "EUR"


@settings(max_examples=examples(25))
@given(
    st.lists(
        st.tuples(
            st.fractions(min_value=0, max_value=5000, max_denominator=97),
            st.sampled_from(["g", "kg", "cup", "each", "US fl oz"]),
            st.sampled_from(["trimmed", "as bought", "cooked"]),
        ),
        min_size=1,
        max_size=30,
    )
)
def test_rows__what_was_written_is_read(lines: list[tuple[Fraction, str, str]]) -> None:
    """Law: reading what was written gives the same amounts, exactly."""
    rows = [
        {"Dish": "soup", "Ingredient": "leek", "Amount": number, "Unit": unit, "Measured": measured}
        for number, unit, measured in lines
    ]
    shoot, said = read_bytes(template_bytes(rows={"Recipes": rows}))
    assert said == []
    assert [(line.amount, str(line.measured)) for line in shoot.lines] == [
        (amount(f"{decimal_or_mixed(number)} {unit}"), measured) for number, unit, measured in lines
    ]


def test_write_template__gives_a_new_workbook_and_overwrites_nothing(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    write_template(path, all_sheets=True)
    assert path.read_bytes() == new_workbook_bytes(all_sheets=True)
    path.write_bytes(b"mine")
    with pytest.raises(Refused, match="file exists"):
        write_template(path)
    assert path.read_bytes() == b"mine"


@pytest.mark.parametrize(
    "rows",
    [
        {"Pantry": []},
        {"Packs": [{"Cost": 1}]},
        {"Settings": [{"Setting": "Curency", "Value": "EUR"}]},
    ],
    ids=["sheet", "heading", "setting"],
)
def test_rows__what_the_layout_has_not_is_the_programmers_fault(rows: Any) -> None:
    with pytest.raises(ValueError, match=r"there is no|has no heading"):
        template_bytes(rows=rows)


def test_rows__a_value_no_cell_can_hold_is_the_programmers_fault() -> None:
    with pytest.raises(TypeError, match="cannot hold"):
        template_bytes(rows={"Packs": [{"Ingredient": ["leek"]}]})


def test_new__needs_no_room_for_files_in_between(monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder for such files may be full, or missing."""
    monkeypatch.setattr(tempfile, "tempdir", "/no/such/folder")
    assert template_bytes()[:2] == b"PK"


def test_new__names_no_person_and_no_clock_time() -> None:
    with zipfile.ZipFile(BytesIO(template_bytes())) as package:
        core = package.read("docProps/core.xml").decode()
        assert {item.date_time for item in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert "2026-01-01T00:00:00Z" in core
    assert re.findall(r"<dc:creator>(.*?)</dc:creator>", core) == [""]


def test_kinds__every_kind_of_the_layout_can_be_written() -> None:
    kinds = {column.kind for sheet in INPUT_SHEETS for column in sheet.columns}
    assert kinds | {setting.kind for setting in SETTINGS} == set(CellKind)


def test_rows__are_as_high_as_their_notes() -> None:
    """80 letters in a column of 40 take three lines with some air: 18 + 2 * 15 points; 51 letters
    take two: 18 + 15.
    """
    note = "a note of words that is quite long, so that it takes more lines than one, indeed"
    notes = [note, "short", "a note of words that takes no more lines than a two"]
    rows = {"Recipes": [{"Dish": "soup", "Ingredient": "leek", "Note": one} for one in notes]}
    book = openpyxl.load_workbook(BytesIO(template_bytes(rows=rows)))
    heights = [book["Recipes"].row_dimensions[row].height for row in (4, 5, 6)]
    assert heights[0] == 48
    assert heights[1] in (None, 18)
    assert heights[2] == 33


def test_instructions__have_their_parts_in_order_a_blank_row_before_each(
    everything: Workbook,
) -> None:
    """The heading of a part is of one colour over both columns; what is below it is wrapped."""
    parts = ["What to fill in", "The sheets", "The commands", "Words", "Cautions"]
    rows = list(everything[INSTRUCTIONS_TITLE].iter_rows())
    heads = [at for at, row in enumerate(rows) if row[0].value in parts]
    assert [rows[at][0].value for at in heads] == parts
    for at in heads:
        assert [cell.value for cell in rows[at - 1]] == [None, None]
        assert rows[at - 2][0].value
        name, beside = rows[at]
        assert name.fill.fgColor.rgb == beside.fill.fgColor.rgb != rows[0][0].fill.fgColor.rgb
        assert name.font.u is None
    below = [row for at, row in enumerate(rows) if at > heads[0] and at not in heads]
    told = [words if words.value else name for name, words in below if name.value]
    assert {(cell.alignment.wrap_text, cell.alignment.indent) for cell in told} == {(True, 1)}


def test_notes__say_all_that_is_declared_of_a_column_and_no_more(everything: Workbook) -> None:
    for layout in INPUT_SHEETS:
        for cell, column in zip(everything[layout.title][HEADINGS], layout.columns, strict=False):
            assert cell.comment is not None
            lines = cell.comment.text.splitlines()
            for said, declared in (
                ("Unit: ", column.unit),
                ("One of: ", column.choices),
                ("Example: ", column.example),
                ("Blank: ", column.default),
            ):
                assert any(line.startswith(said) for line in lines) is bool(declared)
            needed = column.required and not column.default
            assert ("Needed in every row." in lines) is needed


def test_note_size__holds_its_text_in_lines_of_forty_with_two_to_spare() -> None:
    """Own notes hold four lines of some twenty: 42 wide, and (4 + 1 + 2) / 4 as high."""
    assert note_size(f"{'x' * 120}\nshort") == {"x_scale": 2.1, "y_scale": 1.75}
