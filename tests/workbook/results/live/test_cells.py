"""Which input cells a formula refers to, and where the number itself stands instead."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from typing import Any

import openpyxl
import pytest
from by_hand import PACKS, PLAN, RECIPES
from live_workbooks import calculated, run, workbook_of
from openpyxl.worksheet.table import Table
from packages import bytes_of, parts_of, sheets_of, zipped
from recalculation import ENGINES, differences, formula_cells, opened

from costing.estimating import estimate
from costing.findings import NO_ROW
from costing.workbook.results.write import with_results

Edit = Callable[[Any], None]


def pancakes(edit: Edit, title: str = "Packs") -> bytes:
    """The pancakes with one change on a sheet, before the first run."""
    book = openpyxl.load_workbook(
        io.BytesIO(workbook_of({"Recipes": RECIPES, "Shoot plan": PLAN, title: PACKS}))
    )
    edit(book)
    return calculated(bytes_of(book))


def unchanged(book: Any) -> None:
    """No change."""


def formula(data: bytes, sheet: str, ingredient: str, heading: str) -> object:
    """What stands below a heading in the row of an ingredient; # is the number of the row."""
    written = opened(data, values=False)[sheet]
    (table,) = written.tables.values()
    header, *rows = written[table.ref]
    at = {cell.value: number for number, cell in enumerate(header)}
    row = next(row for row in rows if row[at["Ingredient"]].value == ingredient)
    found = row[at[heading]]
    own_row = re.compile(rf"(?<![$A-Z])([A-Z]){found.row}\b")
    return own_row.sub(r"\1#", found.value) if found.data_type == "f" else found.value


def cost_of_flour(data: bytes) -> object:
    return formula(run(data)[0], "To buy", "flour", "Cost")


@pytest.mark.parametrize(
    ("cell", "wanted"),
    [
        (1.2, "=ROUND(F#*'Packs'!$A$2,2)"),
        ("1,20", "=ROUND(F#*1.2,2)"),
        ("1 1/5", "=ROUND(F#*1.2,2)"),
        ("=0.6*2", "=ROUND(F#*'Packs'!$A$2,2)"),
    ],
    ids=["a number", "a comma", "a fraction", "a formula"],
)
def test_reference__to_a_cell_that_holds_a_number(cell: object, wanted: str) -> None:
    def edit(book: Any) -> None:
        book["Packs"]["A2"] = cell

    assert cost_of_flour(pancakes(edit)) == wanted


def test_reference__a_price_that_the_next_row_shares_is_none() -> None:
    """Merged cells are told of and not read; the price of flour is unknown then."""

    def edit(book: Any) -> None:
        book["Packs"].merge_cells("A2:A3")

    assert cost_of_flour(pancakes(edit)) is None


def test_reference__an_error_is_none() -> None:
    def edit(book: Any) -> None:
        book["Packs"]["A2"] = "=1/0"

    assert cost_of_flour(pancakes(edit)) is None


@pytest.mark.parametrize(
    ("number", "number_format", "shown", "wanted"),
    [
        (80, "General", "='Ingredients'!$B$2", "=B#/E#*100"),
        (0.8, "0%", "='Ingredients'!$B$2*100", "=B#/E#*100"),
    ],
    ids=["80", "80%"],
)
def test_reference__a_percent_counts_as_it_is_formatted(
    number: float, number_format: str, shown: str, wanted: str
) -> None:
    def edit(book: Any) -> None:
        sheet = book.create_sheet("Ingredients")
        sheet.append(["Ingredient", "Trim yield %"])
        sheet.append(["flour", number])
        sheet["B2"].number_format = number_format

    data, _ = run(pancakes(edit))
    assert formula(data, "Needs", "flour", "Trim yield %") == shown
    assert formula(data, "Needs", "flour", "As bought need") == wanted
    for engine in ENGINES.values():
        assert differences(formula_cells(data), engine(data)) == []


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20081 Seq 1")
def test_reference__cups_that_are_weighed_follow_their_cell() -> None:
    """Two US cups of flour are bought by weight: 125 g each by the source.

    They are taken in three takes, 2 x 3 x 125 = 750 g.
    """

    def edit(book: Any) -> None:
        book["Recipes"]["C2"], book["Recipes"]["D2"] = 2, "US cup"

    data, _ = run(pancakes(edit))
    takes = "('Shoot plan'!$A$2+'Shoot plan'!$A$3)"
    assert formula(data, "Needs", "flour", "Trimmed need") == f"='Recipes'!$C$2*{takes}*125"
    for engine in ENGINES.values():
        assert differences(formula_cells(data), engine(data)) == []


def test_reference__a_sheet_with_a_sign_in_its_name() -> None:
    """The table is found by its name; the sheet may be called anything."""

    def edit(book: Any) -> None:
        sheet = book["Cook's packs"]
        table = Table(displayName="PackRows", ref="A1:E6")
        sheet.add_table(table)

    data = pancakes(edit, "Cook's packs")
    assert cost_of_flour(data) == "=ROUND(F#*'Cook''s packs'!$A$2,2)"
    written, _ = run(data)
    for engine in ENGINES.values():
        assert differences(formula_cells(written), engine(written)) == []


def test_reference__never_in_a_circle() -> None:
    """The price of flour comes to hang on what the list costs: its number is taken, not its cell.

    The formulas are put into the file as a program would have saved them.
    """

    def edit(book: Any) -> None:
        book.create_sheet("Notes")["A1"] = 0

    first, _ = run(pancakes(edit))
    assert formula(first, "To buy", "flour", "Cost") == "=ROUND(F#*'Packs'!$A$2,2)"
    parts = parts_of(first)
    sheets = sheets_of(parts)
    for title, cell, text in (
        ("Packs", "A2", "<f>1.2+Notes!$A$1</f><v>1.2</v>"),
        ("Notes", "A1", "<f>Summary!$B$24*0</f><v>0</v>"),
    ):
        pattern = rb'(<c r="%s"[^>]*>).*?</c>' % cell.encode()
        new, count = re.subn(pattern, rb"\g<1>%s</c>" % text.encode(), parts[sheets[title]])
        assert count == 1
        parts[sheets[title]] = new
    second, _ = run(zipped(parts))
    assert formula(second, "To buy", "flour", "Cost") == "=ROUND(F#*1.2,2)"
    assert formula(second, "To buy", "egg", "Cost") == "=ROUND(F#*'Packs'!$A$3,2)"


def test_reference__none_into_a_workbook_that_lacks_the_sheets() -> None:
    """Written into another workbook than it was read from, the results hold their numbers."""
    _, result = run(pancakes(unchanged))
    other = workbook_of({"Mine": [["call the dairy"]]})
    spliced, _ = with_results(other, result)
    assert formula(spliced.data, "To buy", "flour", "Cost") == "=ROUND(F#*1.2,2)"
    assert not any("'Packs'" in cell.formula for cell in formula_cells(spliced.data))


def test_reference__none_for_a_shoot_built_in_code() -> None:
    _, read = run(pancakes(unchanged))
    packs = tuple(pack.model_copy(update={"row": NO_ROW}) for pack in read.shoot.packs)
    built = read.shoot.changed(packs=packs)
    spliced, _ = with_results(pancakes(unchanged), estimate(built))
    assert formula(spliced.data, "To buy", "flour", "Cost") == "=ROUND(F#*1.2,2)"


def test_formula__a_name_that_reads_like_a_pattern_is_held() -> None:
    """A lookup of an asterisk would find any name."""

    def edit(book: Any) -> None:
        book["Packs"]["D2"] = "flo*r"
        book["Recipes"]["A2"] = "flo*r"

    data, _ = run(pancakes(edit))
    assert formula(data, "Needs", "flo*r", "Bought") == "='Packs'!$C$2*1000"
    assert formula(data, "To buy", "flo*r", "Left over") == 0.4
    assert formula(data, "To buy", "flo*r", "Cost") == "=ROUND(F#*'Packs'!$A$2,2)"


def test_formula__longer_than_a_cell_takes_is_held() -> None:
    """Five hundred retakes of one dish are more references than one formula holds."""

    def edit(book: Any) -> None:
        for _ in range(500):
            book["Shoot plan"].append([1, "pancakes", "retake", "1"])

    data, _ = run(pancakes(edit))
    assert formula(data, "Needs", "flour", "Trimmed need") == 503 * 200
    assert formula(data, "Needs", "flour", "As bought need") == 503 * 200
    assert formula(data, "Needs", "butter", "Trimmed need") == "='Shoot plan'!$A$2*'Recipes'!$C$5"
    assert all(len(cell.formula) < 8192 for cell in formula_cells(data))
