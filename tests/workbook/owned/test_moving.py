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
from blocks import HEADINGS, LINES, Line, to_buy
from openpyxl.formatting.rule import Rule
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet
from packages import MAIN, bytes_of, parts_of, plain, sheets_of, zipped
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
        for cell in ("C2", "C3"):  # above the headings, and one of them
            page.add_data_validation(DataValidation(type="custom", formula1="1=1", sqref=cell))

    page = after(colour)
    assert rules(page)["D6:D11"] == ["D6>$D$1+A$2"]
    assert rules(page)["A1:D9"] == ["A1=1"]
    found = {str(one.sqref): one.formula1 for one in page.data_validations.dataValidation}
    assert found == {"A6:A11 A14": '"yes,no"', "C6": "C6>0", "C2": "1=1", "C5": "1=1"}


Prefixed = Callable[[str], str]


def with_cells(cells: dict[int, str], change: Prefixed = str) -> bytes:
    """The list with cells of the person's behind those of its rows, its XML spelled otherwise."""
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    name = sheets_of(parts)["To buy"]
    text = parts[name].decode()
    for row, cell in cells.items():
        text = re.sub(rf'(<row r="{row}".*?)(</row>)', rf"\1{cell}\2", text, count=1, flags=re.S)
    parts[name] = change(text).encode()
    return zipped(parts)


def list_after(data: bytes, lines: Sequence[Line], headings: Sequence[str] = HEADINGS) -> Worksheet:
    """The list after a run with other lines."""
    spliced = splice(data, [to_buy(lines, headings=headings)])
    assert faults(spliced.data) == []
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    assert isinstance(page, Worksheet)
    return page


def test_formula_filled_down_beside__is_that_of_its_own_row_wherever_the_row_goes() -> None:
    """ISO/IEC 29500-1, 18.3.1.40: the cells below the first have its formula, moved down.

    Leek, cream and salt stand in rows 4 to 6; of the next run in 6, 5 and 4.
    """
    first = '<c r="F4"><f t="shared" ref="F4:F6" si="0">C4*2+$B$1</f><v>4</v></c>'
    others = {row: f'<c r="F{row}"><f t="shared" si="0"/><v>2</v></c>' for row in (5, 6)}
    data = with_cells({4: first} | others)
    page = list_after(data, LINES[::-1])
    assert [page[f"F{row}"].value for row in (4, 5, 6)] == [
        *("=C4*2+$B$1", "=C5*2+$B$1", "=C6*2+$B$1")
    ]
    assert list_after(data, LINES[2:])["F4"].value == "=C4*2+$B$1"


def prefixed(text: str) -> str:
    """All elements with a prefix, which says the same where it stands for the same namespace."""
    text = re.sub(r"<(/?)(?=[a-zA-Z])", r"<\1x:", text)
    return text.replace(f'xmlns="{MAIN}"', f'xmlns:x="{MAIN}"')


def test_formula_beside__is_written_with_the_prefixes_of_its_sheet() -> None:
    data = with_cells({4: '<c r="F4"><f>C4*2</f><v>4</v></c>'}, prefixed)
    assert list_after(data, LINES[::-1])["F6"].value == "=C6*2"


def test_array_formula_of_one_cell_beside__is_over_its_cell_wherever_the_row_goes() -> None:
    """Leek stands in row 4, and in row 6 of the next run."""
    data = with_cells({4: '<c r="F4"><f t="array" ref="F4">SUM(C4*{2,3})</f><v>5</v></c>'})
    formula = list_after(data, LINES[::-1])["F6"].value
    assert (formula.ref, formula.text) == ("F6:F6", "=SUM(C6*{2,3})")


def test_array_formula_of_one_row_beside__goes_right_with_its_cells() -> None:
    """The list gets a column more, so that F4:G4 stands in G and H; leek goes from row 4 to 6."""
    array = '<c r="F4"><f t="array" ref="F4:G4">C4*{2,3}</f><v>4</v></c><c r="G4"><v>6</v></c>'
    page = list_after(with_cells({4: array}), LINES[::-1], [*HEADINGS, "Note"])
    assert (page["G6"].value.ref, page["G6"].value.text) == ("G6:H6", "=C6*{2,3}")


def test_cell_without_an_address__stands_behind_the_one_before_it() -> None:
    """ISO/IEC 29500-1, 18.3.1.4: the address of a cell is optional."""
    three = '<c r="E4"><v>7</v></c><c><v>8</v></c><c t="inlineStr"><is><t>mine</t></is></c>'
    page = list_after(with_cells({4: three}), LINES[::-1])
    assert [page.cell(6, column).value for column in (2, 5, 6, 7)] == ["leek", 7, 8, "mine"]


@pytest.mark.parametrize("row", [3, 5])
def test_second_run__moves_nothing_more(row: int) -> None:
    sheet = {3: to_buy(), 5: with_more_above()}[row]
    data = splice(splice(zipped(plain()), [to_buy()]).data, [sheet]).data
    assert splice(data, [sheet]).data == data
