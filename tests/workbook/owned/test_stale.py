"""Stored values of the person's formulas that need a changed result are taken out."""

from __future__ import annotations

import io

import openpyxl
import pytest
from blocks import LINES, to_buy
from packages import bytes_of, parts_of, sheet, workbook_xml, zipped
from soundness import faults
from zoo import with_titles

from costing.workbook.owned.splice import splice
from costing.workbook.owned.stale import read_formulas

NAMES = (
    "<definedNames><definedName name=\"Bill\">SUM('To buy'!$D$4:$D$99)</definedName>"
    '<definedName name="Twice">Bill*2</definedName><definedName name="Other">Recipes!$A$1'
    "</definedName></definedNames>"
)


def workbook(first: str, second: str = "") -> bytes:
    """A workbook of the sheets ``Recipes`` and ``Notes`` with these rows."""
    parts = with_titles("Recipes", "Notes")
    parts["xl/worksheets/sheet1.xml"] = sheet(first)
    parts["xl/worksheets/sheet2.xml"] = sheet(second)
    parts["xl/workbook.xml"] = workbook_xml(("Recipes", "rId1"), ("Notes", "rId2"), after=NAMES)
    return zipped(parts)


def cell(reference: str, formula: str, kind: str = "") -> str:
    row = reference.lstrip("ABCDEFGH")
    return f'<row r="{row}"><c r="{reference}"{kind}><f>{formula}</f><v>9</v></c></row>'


@pytest.mark.parametrize(
    "formula",
    [
        "'To buy'!D4",
        "'to BUY'!D4:D9*2",
        "SUM(tToBuy[Cost])",
        "sum(TTOBUY[[#All],[Cost]])",
        "Bill",
        "Twice+1",
        "IF(1=1,'To buy'!A:A)",
    ],
)
def test_formula_over_results__loses_its_stored_value(formula: str) -> None:
    spliced = splice(workbook(cell("A1", formula)), [to_buy()])
    text = parts_of(spliced.data)["xl/worksheets/sheet1.xml"].decode()
    assert f'<c r="A1"><f>{formula}</f></c>' in text
    assert spliced.recalculated == (("Recipes", "A1"),)


@pytest.mark.parametrize("encoding", ["utf-16", "iso-8859-1"])
def test_formula_over_results__in_a_sheet_of_another_encoding(encoding: str) -> None:
    parts = parts_of(workbook(cell("A1", "'To buy'!D4")))
    name = "xl/worksheets/sheet1.xml"
    text = parts[name].decode().replace('encoding="UTF-8"', f'encoding="{encoding}"')
    parts[name] = text.encode(encoding)
    spliced = splice(zipped(parts), [to_buy()])
    assert spliced.recalculated == (("Recipes", "A1"),)
    assert "<f>'To buy'!D4</f></c>" in parts_of(spliced.data)[name].decode(encoding)


@pytest.mark.parametrize(
    "formula",
    ["1+2", "'To buy 2'!A1", '"To buy!"&amp;A9', "Other", "tToBuyer[Cost]", "[1]Notes!A1"],
)
def test_other_formula__keeps_its_stored_value_and_its_sheet_every_byte(formula: str) -> None:
    before = workbook(cell("A1", formula))
    spliced = splice(before, [to_buy()])
    name = "xl/worksheets/sheet1.xml"
    assert parts_of(spliced.data)[name] == parts_of(before)[name]
    assert spliced.recalculated == ()


def test_chain_of_formulas__loses_every_value_along_it() -> None:
    """A1 needs a result, Notes!B2 needs A1, A5 needs B2 in a range; A7 needs none of them."""
    first = cell("A1", "'To buy'!D4") + cell("A5", "SUM(Notes!A1:C9)") + cell("A7", "A6+1")
    spliced = splice(workbook(first, cell("B2", "Recipes!A1*2")), [to_buy()])
    assert spliced.recalculated == (("Recipes", "A1"), ("Recipes", "A5"), ("Notes", "B2"))
    parts = parts_of(spliced.data)
    assert b"<f>A6+1</f><v>9</v>" in parts["xl/worksheets/sheet1.xml"]
    assert faults(spliced.data) == []


def test_text_formula__loses_its_type_with_its_value() -> None:
    spliced = splice(workbook(cell("A1", "'To buy'!B4", ' t="str"')), [to_buy()])
    text = parts_of(spliced.data)["xl/worksheets/sheet1.xml"].decode()
    assert "<c r=\"A1\"><f>'To buy'!B4</f></c>" in text


def test_shared_formula__cells_told_by_it_are_followed() -> None:
    """A1 reads Notes!A1; A2 and A3 are told by it and read Notes!A2 and A3; only A2 is stale."""
    shared = (
        '<row r="1"><c r="A1"><f t="shared" ref="A1:A3" si="0">Notes!A1</f><v>1</v></c></row>'
        '<row r="2"><c r="A2"><f t="shared" si="0"/><v>2</v></c></row>'
        '<row r="3"><c r="A3"><f t="shared" si="0"/><v>3</v></c></row>'
    )
    spliced = splice(workbook(shared, cell("A2", "'To buy'!D4")), [to_buy()])
    assert spliced.recalculated == (("Recipes", "A2"), ("Notes", "A2"))


def test_array_formula__all_its_cells_count_as_stale() -> None:
    array = (
        '<row r="1"><c r="A1"><f t="array" ref="A1:A2">\'To buy\'!D4:D5</f><v>1</v></c></row>'
        '<row r="2"><c r="A2"><v>2</v></c></row>'
    )
    spliced = splice(workbook(array, cell("B2", "Recipes!A2")), [to_buy()])
    assert spliced.recalculated == (("Recipes", "A1"), ("Notes", "B2"))


@pytest.mark.parametrize(
    ("reference", "covers"),
    [
        ("B3:E25002", (3, 2, 25002, 5)),
        ("B3:E25003", (3, 2, 3, 2)),
        ("B3:B100003", (3, 2, 3, 2)),
        ("everything", (3, 2, 3, 2)),
    ],
    ids=["100,000 cells", "4 more", "1 more", "no range"],
)
def test_array_formula__of_more_than_100_000_cells_its_first_alone_counts(
    reference: str, covers: tuple[int, ...]
) -> None:
    array = f'<row r="3"><c r="B3"><f t="array" ref="{reference}">A1</f><v>1</v></c></row>'
    [formula] = read_formulas("Recipes", sheet(array))
    assert formula.covers == covers


def test_second_run__takes_values_out_only_when_a_result_changed() -> None:
    once = splice(workbook(cell("A1", "'To buy'!D4")), [to_buy()]).data
    parts = parts_of(once)
    name = "xl/worksheets/sheet1.xml"
    calculated = zipped(parts | {name: parts[name].replace(b"</f></c>", b"</f><v>5</v></c>")})
    assert splice(calculated, [to_buy()]).recalculated == ()
    assert splice(calculated, [to_buy(LINES[1:])]).recalculated == (("Recipes", "A1"),)


def test_renamed_tab__is_followed_by_its_new_name() -> None:
    book = openpyxl.load_workbook(io.BytesIO(splice(workbook(""), [to_buy()]).data))
    book["To buy"].title = "A & B"
    parts = parts_of(bytes_of(book))
    name = "xl/worksheets/sheet1.xml"
    rows = f"<sheetData>{cell('A1', 'SUM(&apos;A &amp; B&apos;!D:D)')}</sheetData>"
    import re

    text = re.sub(r"<sheetData\s*/>|<sheetData>.*</sheetData>", rows, parts[name].decode())
    spliced = splice(zipped(parts | {name: text.encode()}), [to_buy(LINES[1:])])
    assert spliced.recalculated == (("Recipes", "A1"),)


def test_formula_of_the_persons_on_a_sheet_of_ours__loses_its_value() -> None:
    once = splice(workbook(""), [to_buy()]).data
    parts = parts_of(once)
    name = "xl/worksheets/sheet3.xml"
    own = parts[name].replace(
        b"</c></row></sheetData>",
        b'</c><c r="G6" t="str"><f>B6&amp;"!"</f><v>=salt!</v></c></row></sheetData>',
    )
    assert own != parts[name]
    spliced = splice(zipped(parts | {name: own}), [to_buy()])
    assert b'<c r="G6"><f>B6&amp;"!"</f></c>' in parts_of(spliced.data)[name]


def test_formula_over_a_stale_cell__is_stale_and_its_neighbours_are_not() -> None:
    """A3 and G7 to G9 need the results; what reads up to A2, or of A to C from row 4 on, does not.

    A range of fewer cells than are stale is looked up cell by cell, a larger one the other way.
    """
    needing = ["A3", "G7", "G8", "G9"]
    ranges = {"D1": "A1:A2", "D2": "A2:A3", "D4": "A4:A9", "D5": "A4:C9000", "D6": "A1:B9000"}
    rows = "".join(
        cell(at, formula)
        for at, formula in sorted(
            [
                *((at, "'To buy'!D4") for at in needing),
                *((at, f"SUM({span})") for at, span in ranges.items()),
            ],
            key=lambda pair: pair[0][1:],
        )
    )
    spliced = splice(workbook(rows), [to_buy()])
    assert set(spliced.recalculated) == {("Recipes", at) for at in (*needing, "D2", "D6")}
