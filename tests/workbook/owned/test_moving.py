"""What stands around the block when its headings change their row.

The headings stand in row 3 first and in row 5 after two more lines above: two rows down.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Sequence
from dataclasses import replace

import openpyxl
import pytest
from blocks import LINES, Line, to_buy
from openpyxl.formatting.rule import Rule
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet
from packages import bytes_of, parts_of, plain, sheets_of, zipped
from soundness import faults

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import splice
from costing.workbook.package.cellxml import NewCell


def with_more_above() -> ResultSheet:
    """The list with two more lines above its headings."""
    sheet = to_buy()
    lines = [[NewCell("Total: 7.83")], [NewCell("Two shops")]]
    return replace(sheet, rows=[*sheet.rows[:2], *lines, *sheet.rows[2:]], header_row=5)


def after(hand: Callable[[Worksheet], None] = lambda _: None) -> Worksheet:
    """The list two rows further down, after a person's changes to it."""
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    hand(book["To buy"])
    spliced = splice(bytes_of(book), [with_more_above()])
    assert faults(spliced.data) == []
    assert spliced.edited == ()
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    assert isinstance(page, Worksheet)
    return page


def rules(page: Worksheet) -> dict[str, list[str]]:
    return {
        str(one.sqref): [formula for rule in one.rules for formula in rule.formula]
        for one in page.conditional_formatting
    }


def test_pane_formats_and_repeated_rows__follow_the_headings() -> None:
    page = after()
    assert page.tables["tToBuy"].ref == "A5:D8"
    assert page.freeze_panes == "C6"
    assert page.print_title_rows == "$5:$5"
    assert rules(page) == {"A6:D1002": ['$A6<>""']}


def test_pane_of_the_persons__stays() -> None:
    def freeze(page: Worksheet) -> None:
        page.freeze_panes = "B2"
        page.print_title_rows = "1:3"

    page = after(freeze)
    assert page.freeze_panes == "B2"
    assert page.print_title_rows == "$1:$3"


def test_formats_and_choices_of_the_persons__move_with_their_rows() -> None:
    def colour(page: Worksheet) -> None:
        page.conditional_formatting.add("D4:D9", Rule(type="expression", formula=["D4>$D$1+A$2"]))
        page.conditional_formatting.add("A1:D9", Rule(type="expression", formula=["A1=1"]))
        choice = DataValidation(type="list", formula1='"yes,no"', sqref="A4:A9 A12")
        page.add_data_validation(choice)
        page.add_data_validation(DataValidation(type="custom", formula1="C4>0", sqref="C4"))

    page = after(colour)
    assert rules(page)["D6:D11"] == ["D6>$D$1+A$2"]
    assert rules(page)["A1:D9"] == ["A1=1"]
    found = {str(one.sqref): one.formula1 for one in page.data_validations.dataValidation}
    assert found == {"A6:A11 A14": '"yes,no"', "C6": "C6>0"}


def beside(cells: dict[str, str], lines: Sequence[Line]) -> dict[str, object]:
    """Column F after a run with other lines; cells as their XML behind those of the block."""
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    name = sheets_of(parts)["To buy"]
    text = parts[name].decode()
    for row, cell in cells.items():
        text = re.sub(rf'(<row r="{row}".*?)(</row>)', rf"\1{cell}\2", text, count=1, flags=re.S)
    parts[name] = text.encode()
    spliced = splice(zipped(parts), [to_buy(lines)])
    assert faults(spliced.data) == []
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    return {cell.coordinate: cell.value for cell in page["F"] if cell.value is not None}


def test_formula_filled_down_beside__is_that_of_its_own_row_wherever_the_row_goes() -> None:
    """ISO/IEC 29500-1, 18.3.1.40: the cells below the first have its formula, moved down.

    Leek, cream and salt stand in rows 4 to 6; of the next run in 6, 5 and 4.
    """
    cells = {
        "4": '<c r="F4"><f t="shared" ref="F4:F6" si="0">C4*2+$B$1</f><v>4</v></c>',
        "5": '<c r="F5"><f t="shared" si="0"/><v>2</v></c>',
        "6": '<c r="F6"><f t="shared" si="0"/><v>6</v></c>',
    }
    found = beside(cells, LINES[::-1])
    assert found == {f"F{row}": f"=C{row}*2+$B$1" for row in (4, 5, 6)}
    only_salt = beside(cells, LINES[2:])
    assert only_salt["F4"] == "=C4*2+$B$1"


def test_cell_without_an_address__stands_behind_the_one_before_it() -> None:
    """ISO/IEC 29500-1, 18.3.1.4: the address of a cell is optional."""
    cells = {"4": '<c r="E4"><v>7</v></c><c><v>8</v></c><c t="inlineStr"><is><t>mine</t></is></c>'}
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    name = sheets_of(parts)["To buy"]
    parts[name] = re.sub(
        rb'(<row r="4".*?)(</row>)',
        rb"\1" + cells["4"].encode() + rb"\2",
        parts[name],
        count=1,
        flags=re.S,
    )
    data = splice(zipped(parts), [to_buy(LINES[::-1])]).data
    assert faults(data) == []
    page = openpyxl.load_workbook(io.BytesIO(data))["To buy"]
    assert [page.cell(6, column).value for column in (2, 5, 6, 7)] == ["leek", 7, 8, "mine"]


@pytest.mark.parametrize("row", [3, 5])
def test_second_run__moves_nothing_more(row: int) -> None:
    sheet = {3: to_buy(), 5: with_more_above()}[row]
    data = splice(splice(zipped(plain()), [to_buy()]).data, [sheet]).data
    assert splice(data, [sheet]).data == data
