"""What stands around the block when its headings change their row.

The headings stand in row 3 first and in row 5 after two more lines above: two rows down.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace

import openpyxl
import pytest
from blocks import to_buy
from openpyxl.formatting.rule import Rule
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet
from packages import bytes_of, plain, zipped
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


@pytest.mark.parametrize("row", [3, 5])
def test_second_run__moves_nothing_more(row: int) -> None:
    sheet = {3: to_buy(), 5: with_more_above()}[row]
    data = splice(splice(zipped(plain()), [to_buy()]).data, [sheet]).data
    assert splice(data, [sheet]).data == data
