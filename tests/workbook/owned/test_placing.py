"""What the person typed, put in, moved or edited on a result sheet, over the next run.

The person's hand is played by openpyxl, which saves the workbook as another program would. All
expected places are worked by hand from the rules stated in ``costing.workbook.owned.placing``:
the block stands in A1:D6, its headings in row 3.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from fractions import Fraction

import openpyxl
import pytest
from blocks import HEADINGS, LINES, Line, to_buy
from openpyxl.styles import Font
from openpyxl.utils import column_index_from_string
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.filters import AutoFilter, FilterColumn
from openpyxl.worksheet.formula import ArrayFormula
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.table import Table, TableColumn
from openpyxl.worksheet.worksheet import Worksheet
from packages import bytes_of, parts_of, plain, zipped
from soundness import faults

from costing.workbook.owned.splice import Spliced, splice
from costing.workbook.package.refusals import Refused

LEEK, CREAM, SALT = LINES
BUTTER: Line = ("butter", 1, Fraction(3))


def first_run() -> bytes:
    return splice(zipped(plain()), [to_buy()]).data


def edited_by(hand: Callable[[Worksheet], None], data: bytes | None = None) -> bytes:
    """The workbook after a person's edits to its list, saved."""
    book = openpyxl.load_workbook(io.BytesIO(data or first_run()))
    hand(book["To buy"])
    return bytes_of(book)


def sheet_after(spliced: Spliced) -> Worksheet:
    """The list as openpyxl reads it, after the format's rules were checked."""
    assert faults(spliced.data) == []
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    assert isinstance(page, Worksheet)
    return page


def column(page: Worksheet, letter: str) -> list[object]:
    return [cell.value for cell in page[letter]]


def moves(spliced: Spliced) -> list[tuple[str, str]]:
    return [(one.cell, one.now) for one in spliced.kept]


def test_rerun__untouched_sheet_has_nothing_edited_or_kept() -> None:
    spliced = splice(edited_by(lambda _: None), [to_buy()])
    assert (spliced.edited, spliced.kept, spliced.added) == ((), (), ())


def test_note_beside_a_row__goes_with_the_row() -> None:
    def note(page: Worksheet) -> None:
        page["F4"] = "from the market"

    spliced = splice(edited_by(note), [to_buy([CREAM, BUTTER, LEEK])])
    assert sheet_after(spliced)["F6"].value == "from the market"
    assert moves(spliced) == [("F4", "F6")]


def test_note_beside_a_row__stays_where_no_key_is_named() -> None:
    def note(page: Worksheet) -> None:
        page["F4"] = "from the market"

    data = edited_by(note, splice(zipped(plain()), [to_buy(keyed=False)]).data)
    spliced = splice(data, [to_buy([CREAM, BUTTER, LEEK], keyed=False)])
    assert moves(spliced) == [("F4", "F4")]
    assert sheet_after(spliced)["F4"].value == "from the market"


def test_note_beside_a_row__stays_where_no_key_is_named_though_the_row_is_gone() -> None:
    """Nobody knows which row it was beside: F6 stays F6, below the one row that is left."""

    def note(page: Worksheet) -> None:
        page["F6"] = "from the market"

    data = edited_by(note, splice(zipped(plain()), [to_buy(keyed=False)]).data)
    assert moves(splice(data, [to_buy([LEEK], keyed=False)])) == [("F6", "F6")]


def test_note_beside_a_row_that_is_gone__stands_below_with_the_name_of_the_row() -> None:
    def note(page: Worksheet) -> None:
        page["F5"] = "ask at the dairy"

    spliced = splice(edited_by(note), [to_buy([LEEK, SALT])])
    page = sheet_after(spliced)
    assert column(page, "B") == [None, None, "Ingredient", "leek", "=salt", None, "cream"]
    assert page["F7"].value == "ask at the dairy"
    assert moves(spliced) == [("B5", "B7"), ("F5", "F7")]


def test_notes_beside_equal_rows__keep_their_order() -> None:
    twice = [LEEK, ("leek", 1, Fraction(1))]

    def notes(page: Worksheet) -> None:
        page["F4"], page["F5"] = "first", "second"

    data = edited_by(notes, splice(zipped(plain()), [to_buy(twice)]).data)
    page = sheet_after(splice(data, [to_buy([CREAM, *twice])]))
    assert column(page, "F") == [None, None, None, None, "first", "second"]


def test_tick_in_a_column_for_the_person__goes_with_the_row() -> None:
    def tick(page: Worksheet) -> None:
        page["A5"] = "x"

    spliced = splice(edited_by(tick), [to_buy([SALT, CREAM])])
    page = sheet_after(spliced)
    assert column(page, "A") == ["What to buy", None, "Got it", None, "x"]
    assert spliced.edited == ()
    assert moves(spliced) == [("A5", "A5")]


def test_tick_on_a_row_that_is_gone__stands_below_with_the_name_of_the_row() -> None:
    def tick(page: Worksheet) -> None:
        page["A5"] = "x"

    page = sheet_after(splice(edited_by(tick), [to_buy([SALT])]))
    assert [page["A6"].value, page["B6"].value] == ["x", "cream"]


def test_cells_below__stay_while_the_block_does_not_reach_them() -> None:
    def total(page: Worksheet) -> None:
        page["D9"] = "=SUM(D4:D6)"

    spliced = splice(edited_by(total), [to_buy([*LINES, BUTTER])])
    assert sheet_after(spliced)["D9"].value == "=SUM(D4:D7)"
    assert moves(spliced) == [("D9", "D9")]


def test_cells_below__move_down_together_when_the_block_grows_over_them() -> None:
    def table(page: Worksheet) -> None:
        page["B8"], page["B9"] = 2, 3
        page["C9"] = "=B8+B9+D6+Recipes!B2"
        page.merge_cells("A11:C11")
        page["A11"] = "mine"
        page["A12"] = "linked"
        page["A12"].hyperlink = "#Recipes!A1"
        page.row_dimensions[9].height = 40

    lines = [*LINES, BUTTER, ("egg", 1, Fraction(1)), ("flour", 1, Fraction(1))]
    spliced = splice(edited_by(table), [to_buy(lines)])
    page = sheet_after(spliced)
    assert moves(spliced) == [
        ("B8", "B11"),
        ("B9", "B12"),
        ("C9", "C12"),
        ("A11", "A14"),
        ("A12", "A15"),
    ]
    assert page["C12"].value == "=B11+B12+D6+Recipes!B2"
    assert page.row_dimensions[12].height == 40
    assert [str(one) for one in page.merged_cells.ranges] == ["A14:C14"]
    assert page["A15"].hyperlink.target == "#Recipes!A1"


@pytest.mark.parametrize("ref", ["F4:F5", "F1:F9", "F1:F1048576"])
def test_link__over_several_cells_stays_with_each_of_them(ref: str) -> None:
    """A link put on a selection; the list turns round, and leek goes from row 4 to row 6."""

    def linked(page: Worksheet) -> None:
        page["F4"], page["F5"] = "of leek", "of cream"
        link = Hyperlink(ref=ref, location="Recipes!A1", tooltip="my recipe")
        page["F4"].hyperlink = link
        link.ref = ref  # which was made that of the cell alone

    page = sheet_after(splice(edited_by(linked), [to_buy([SALT, CREAM, LEEK])]))
    assert column(page, "F")[3:] == [None, "of cream", "of leek"]
    links = {at: page[at].hyperlink for at in ("F4", "F5", "F6")}
    assert [at for at, link in links.items() if link is not None] == ["F5", "F6"]
    assert {(one.location, one.tooltip) for one in links.values() if one} == {
        ("Recipes!A1", "my recipe")
    }


def test_cells_below__stay_when_the_block_shrinks() -> None:
    def total(page: Worksheet) -> None:
        page["D8"] = "=SUM(D4:D6)"

    page = sheet_after(splice(edited_by(total), [to_buy([LEEK])]))
    assert column(page, "D") == [None, None, "Cost", 5, None, None, None, "=SUM(D4:D4)"]


def test_row_typed_into_the_foot_of_the_table__stands_below() -> None:
    def row(page: Worksheet) -> None:
        page["B7"], page["C7"] = "candles", 12
        page.tables["tToBuy"].ref = "A3:D7"
        page.tables["tToBuy"].autoFilter.ref = "A3:D7"

    spliced = splice(edited_by(row), [to_buy([*LINES, BUTTER])])
    page = sheet_after(spliced)
    assert column(page, "B")[3:] == ["leek", "cream", "=salt", "butter", None, "candles"]
    assert page["C9"].value == 12
    assert page.tables["tToBuy"].ref == "A3:D7"
    assert spliced.edited == ()


def test_rows_typed_into_the_foot__stand_one_below_the_other() -> None:
    """The list ends in row 7 now; row 8 stays empty."""

    def by_hand(page: Worksheet) -> None:
        page["B7"], page["B8"] = "candles", "matches"
        page.tables["tToBuy"].ref = page.tables["tToBuy"].autoFilter.ref = "A3:D8"

    page = sheet_after(splice(edited_by(by_hand), [to_buy([*LINES, BUTTER])]))
    assert column(page, "B")[6:] == ["butter", None, "candles", "matches"]


def test_text_below__makes_way_for_a_row_typed_into_the_foot() -> None:
    """The typed row goes from 7 to 9, and what stands below it two rows further down with it."""

    def by_hand(page: Worksheet) -> None:
        page["F4"], page["B7"], page["B9"] = "washed", "candles", "ask Bo"
        page.tables["tToBuy"].ref = page.tables["tToBuy"].autoFilter.ref = "A3:D7"

    page = sheet_after(splice(edited_by(by_hand), [to_buy([*LINES, BUTTER])]))
    assert column(page, "B")[6:] == ["butter", None, "candles", None, "ask Bo"]
    assert page["F4"].value == "washed"


def test_notes_beside_lines_that_are_gone__stand_one_below_the_other() -> None:
    """The list ends in row 4 now; row 5 stays empty, and a row typed at its foot comes after."""

    def by_hand(page: Worksheet) -> None:
        page["F4"], page["F5"], page["B7"] = "washed", "cold", "candles"
        page.tables["tToBuy"].ref = page.tables["tToBuy"].autoFilter.ref = "A3:D7"

    page = sheet_after(splice(edited_by(by_hand), [to_buy([SALT])]))
    assert column(page, "F") == [None] * 5 + ["washed", "cold", None]
    assert column(page, "B")[3:] == ["=salt", None, "leek", "cream", "candles"]


def test_row_put_in_between__stands_below_and_the_rows_of_ours_are_not_called_edited() -> None:
    def row(page: Worksheet) -> None:
        page.move_range("A5:D6", rows=1)
        page["B5"] = "candles"
        page.tables["tToBuy"].ref = "A3:D7"

    spliced = splice(edited_by(row), [to_buy()])
    assert column(sheet_after(spliced), "B")[3:] == ["leek", "cream", "=salt", None, "candles"]
    assert spliced.edited == ()


def test_rows_put_in_above__are_no_result_rows() -> None:
    def shift(page: Worksheet) -> None:
        page.move_range("A3:D6", rows=2)
        page["A3"] = "a line of mine"
        page.tables["tToBuy"].ref = "A5:D8"

    spliced = splice(edited_by(shift), [to_buy()])
    page = sheet_after(spliced)
    assert column(page, "B") == [None, None, "Ingredient", "leek", "cream", "=salt"]
    assert [one.row for one in spliced.edited] == [3]


def joined(page: Worksheet, letter: str, heading: str, reference: str) -> None:
    """Let the table reach over one more column, as typing beside it does."""
    table = page.tables["tToBuy"]
    table.ref = reference
    table.autoFilter.ref = reference
    names = [column.name for column in table.tableColumns]
    at = column_index_from_string(letter) - 1
    names.insert(at, heading)
    table.tableColumns = [TableColumn(id=n, name=name) for n, name in enumerate(names, 1)]


def test_column_typed_beside_the_table__stays_in_it_and_its_cells_go_with_their_rows() -> None:
    def by_hand(page: Worksheet) -> None:
        page["E3"], page["E4"], page["E6"] = "Aisle", 7, 2
        joined(page, "E", "Aisle", "A3:E6")

    spliced = splice(edited_by(by_hand), [to_buy([SALT, CREAM, LEEK])])
    page = sheet_after(spliced)
    assert column(page, "E") == [None, None, "Aisle", 2, None, 7]
    assert page.tables["tToBuy"].ref == "A3:E6"
    assert [c.name for c in page.tables["tToBuy"].tableColumns] == [*HEADINGS, "Aisle"]
    assert spliced.edited == ()


def refused(hand: Callable[[Worksheet], None]) -> str:
    """What is said of a sheet that is not written anew."""
    with pytest.raises(Refused) as fault:
        splice(edited_by(hand), [to_buy()])
    return str(fault.value.finding)


def test_column_put_between_ours__is_refused() -> None:
    def by_hand(page: Worksheet) -> None:
        page.move_range("C3:D6", cols=1)
        page["C3"], page["C4"] = "Aisle", 7
        joined(page, "C", "Aisle", "A3:E6")

    assert refused(by_hand) == (
        "'To buy'!C3: found the column \"Aisle\" put in between the result columns, expected "
        "columns of your own to the right of the table [column between results]\n"
        "  Move it to the right of the table and run again."
    )


def test_column_put_in_before_ours__is_refused() -> None:
    def by_hand(page: Worksheet) -> None:
        page.move_range("A3:D6", cols=1)
        page.tables["tToBuy"].ref = page.tables["tToBuy"].autoFilter.ref = "B3:E6"

    assert 'found the column "A" put in between' in refused(by_hand)


def test_array_formula_over_results__is_refused() -> None:
    def by_hand(page: Worksheet) -> None:
        page["D4"] = ArrayFormula("D4:D5", "=C4:C5*2")

    assert refused(by_hand) == (
        "'To buy'!D4: found an array formula over the result cells D4:D5, expected array formulas "
        "to the right of the results, or below them [array formula in results]\n"
        "  Move it there, or delete it, and run again."
    )


@pytest.mark.parametrize("reference", ["A1:C1", "B5:B6", "D6:F6"])
def test_merged_cells_over_results__are_refused(reference: str) -> None:
    def by_hand(page: Worksheet) -> None:
        page.merge_cells(reference)

    cell = reference.split(":")[0]
    assert refused(by_hand) == (
        f"'To buy'!{cell}: found the result cells {reference} merged, expected merged cells to the "
        "right of the results, or below them [merged cells in results]\n"
        "  Unmerge them and run again."
    )


def test_merged_cells_beside__keep_their_rows_or_go_with_their_row() -> None:
    """Those of one row go with it, those over several stay; both stay merged."""

    def by_hand(page: Worksheet) -> None:
        page["F4"], page["I4"] = "from the market", "tall"
        page.merge_cells("F4:G4")
        page.merge_cells("I4:I5")

    page = sheet_after(splice(edited_by(by_hand), [to_buy([SALT, CREAM, LEEK])]))
    assert sorted(str(one) for one in page.merged_cells.ranges) == ["F6:G6", "I4:I5"]
    assert [page["F6"].value, page["I4"].value] == ["from the market", "tall"]


def test_table_beside__that_stays_is_left_as_it_was_filtered() -> None:
    def table(page: Worksheet) -> None:
        page["G4"], page["G5"], page["G6"] = "Stall", "north", "south"
        mine = Table(displayName="Stalls", ref="G4:G6")
        page.add_table(mine)
        mine.autoFilter = AutoFilter(ref="G4:G6", filterColumn=[FilterColumn(colId=0)])

    before = edited_by(table)
    after = splice(before, [to_buy([SALT, CREAM])]).data
    [name] = [name for name, part in parts_of(before).items() if b'"Stalls"' in part]
    assert b"<filterColumn" in parts_of(before)[name]
    assert parts_of(after)[name] == parts_of(before)[name]


def test_new_column_of_ours__moves_what_stands_beside() -> None:
    def note(page: Worksheet) -> None:
        page["E4"] = "from the market"

    spliced = splice(edited_by(note), [to_buy(headings=[*HEADINGS, "Note"])])
    page = sheet_after(spliced)
    assert [page["E4"].value, page["F4"].value] == ["-", "from the market"]
    assert page.tables["tToBuy"].ref == "A3:E6"


def test_formula_beside_a_row__points_at_its_row_after_it_moved() -> None:
    def formula(page: Worksheet) -> None:
        page["F4"] = "=D4*1.1+$D$4+Recipes!B4"

    page = sheet_after(splice(edited_by(formula), [to_buy([CREAM, LEEK])]))
    assert page["F5"].value == "=D5*1.1+$D$4+Recipes!B4"


def test_edited_result__its_row_is_told_and_written_anew() -> None:
    def edit(page: Worksheet) -> None:
        page["C5"] = 4

    spliced = splice(edited_by(edit), [to_buy()])
    assert [(one.sheet, one.row) for one in spliced.edited] == [("To buy", 5)]
    assert sheet_after(spliced)["C5"].value == 1


def test_edited_results__several_rows_and_none_that_was_only_emptied() -> None:
    def edit(page: Worksheet) -> None:
        page["C5"], page["B4"] = 4, "leeks"
        for letter in "ABCD":
            page[f"{letter}6"] = None

    spliced = splice(edited_by(edit), [to_buy()])
    assert [one.row for one in spliced.edited] == [4, 5]
    assert sheet_after(spliced)["B6"].value == "=salt"


def test_sorted_list__is_not_called_edited() -> None:
    def sort(page: Worksheet) -> None:
        rows = [[cell.value for cell in row] for row in page["A4:D6"]]
        for at, row in enumerate([rows[2], rows[0], rows[1]], 4):
            for column_number, value in enumerate(row, 1):
                page.cell(at, column_number).value = value
                page.cell(at, column_number).data_type = "s" if isinstance(value, str) else "n"

    assert splice(edited_by(sort), [to_buy()]).edited == ()


def test_filtered_list__shows_every_row_again() -> None:
    def choose(page: Worksheet) -> None:
        page.tables["tToBuy"].autoFilter.filterColumn = [FilterColumn(colId=1)]
        page.row_dimensions[5].hidden = True

    page = sheet_after(splice(edited_by(choose), [to_buy()]))
    assert page.tables["tToBuy"].autoFilter.filterColumn == []
    assert not page.row_dimensions[5].hidden


def test_look_of_the_sheet__stays_as_the_person_made_it() -> None:
    def look(page: Worksheet) -> None:
        page.column_dimensions["B"].width = 50
        page.freeze_panes = "A2"
        page.row_dimensions[3].height = 33
        page.page_setup.orientation = "portrait"
        page.sheet_properties.tabColor = "FFFF00FF"
        page["F4"].font = Font(bold=True)
        page["F4"] = "loud"

    page = sheet_after(splice(edited_by(look), [to_buy([*LINES, BUTTER])]))
    assert page.column_dimensions["B"].width == 50
    assert page.freeze_panes == "A2"
    assert page.row_dimensions[3].height == 33
    assert page.page_setup.orientation == "portrait"
    colour = page.sheet_properties.tabColor
    assert colour is not None
    assert colour.rgb == "FFFF00FF"
    assert page["F4"].font.b is True


def persons_table(page: Worksheet, reference: str, values: list[list[object]]) -> None:
    """A table of the person's own on our sheet."""
    cells = page[reference]
    for row, line in zip(cells, values, strict=True):
        for cell, value in zip(row, line, strict=True):
            cell.value = value
    page.add_table(Table(displayName="Mine", ref=reference))


def test_persons_table_below__moves_as_one_with_its_range() -> None:
    def by_hand(page: Worksheet) -> None:
        persons_table(page, "A8:B10", [["Tool", "How many"], ["tongs", 2], ["bowl", 5]])

    lines = [*LINES, BUTTER, ("egg", 1, Fraction(1))]
    spliced = splice(edited_by(by_hand), [to_buy(lines)])
    page = sheet_after(spliced)
    assert page.tables["Mine"].ref == "A10:B12"
    assert [[cell.value for cell in row] for row in page["A10:B12"]] == [
        ["Tool", "How many"],
        ["tongs", 2],
        ["bowl", 5],
    ]


def test_persons_table_beside__is_not_torn_when_the_rows_of_the_block_change_places() -> None:
    def by_hand(page: Worksheet) -> None:
        persons_table(page, "F3:G5", [["Tool", "How many"], ["tongs", 2], ["bowl", 5]])
        page["I4"] = "from the market"

    spliced = splice(edited_by(by_hand), [to_buy([SALT, CREAM, LEEK])])
    page = sheet_after(spliced)
    assert page.tables["Mine"].ref == "F3:G5"
    assert column(page, "F")[2:5] == ["Tool", "tongs", "bowl"]
    assert page["I6"].value == "from the market"


def test_note_whose_new_place_is_taken__stands_below_with_the_name_of_its_row() -> None:
    """The note beside leek would go to F6, where the person's table stands."""

    def by_hand(page: Worksheet) -> None:
        persons_table(page, "F5:G6", [["Tool", "How many"], ["tongs", 2]])
        page["F4"] = "from the market"

    page = sheet_after(splice(edited_by(by_hand), [to_buy([SALT, CREAM, LEEK])]))
    assert column(page, "F") == [None, None, None, None, "Tool", "tongs", None, "from the market"]
    assert page["B8"].value == "leek"


def test_array_formula_beside__is_not_torn() -> None:
    def by_hand(page: Worksheet) -> None:
        page["F4"] = ArrayFormula("F4:F5", "=D4:D5*2")
        page["F5"] = 9

    page = sheet_after(splice(edited_by(by_hand), [to_buy([SALT, CREAM, LEEK])]))
    assert (page["F4"].value.ref, page["F4"].value.text) == ("F4:F5", "=D4:D5*2")


def test_renamed_and_moved_tab__is_found_and_keeps_its_name() -> None:
    book = openpyxl.load_workbook(io.BytesIO(first_run()))
    book["To buy"].title = "Shopping & more"
    book.move_sheet("Shopping & more", -1)
    spliced = splice(bytes_of(book), [to_buy([BUTTER])])
    assert spliced.titles == {"to_buy": "Shopping & more"}
    book = openpyxl.load_workbook(io.BytesIO(spliced.data))
    assert book.sheetnames == ["Shopping & more", "Recipes"]
    assert book["Shopping & more"]["B4"].value == "butter"


@pytest.mark.parametrize("in_front", [False, True])
def test_copied_tab__stays_the_persons(*, in_front: bool) -> None:
    """A program gives a copy the next free number, wherever it puts it."""
    book = openpyxl.load_workbook(io.BytesIO(first_run()))
    copy = book.copy_worksheet(book["To buy"])
    copy.title = "Old list"
    for name, defined in book["To buy"].defined_names.items():
        copy.defined_names[name] = DefinedName(name, attr_text=defined.attr_text, hidden=True)
    if in_front:
        book.move_sheet(copy, -2)
    parts = parts_of(bytes_of(book))
    listed = parts["xl/workbook.xml"].replace(b' sheetId="', b' sheetId="1')
    listed = re.sub(rb'(name="Old list" sheetId=)"\d+"', rb'\1"19"', listed)
    spliced = splice(zipped(parts | {"xl/workbook.xml": listed}), [to_buy([BUTTER])])
    book = openpyxl.load_workbook(io.BytesIO(spliced.data))
    assert [book["To buy"]["B4"].value, book["Old list"]["B4"].value] == ["butter", "leek"]


def test_table_turned_into_a_plain_range__gets_a_table_again() -> None:
    def plain_range(page: Worksheet) -> None:
        del page.tables["tToBuy"]

    spliced = splice(edited_by(plain_range), [to_buy([LEEK])])
    page = sheet_after(spliced)
    assert page.tables["tToBuy"].ref == "A3:D4"
    assert column(page, "B") == [None, None, "Ingredient", "leek"]


def test_title_row_of_the_persons_own__is_told_as_edited() -> None:
    def title(page: Worksheet) -> None:
        page["A1"] = "Friday"

    spliced = splice(edited_by(title), [to_buy()])
    assert [one.row for one in spliced.edited] == [1]
