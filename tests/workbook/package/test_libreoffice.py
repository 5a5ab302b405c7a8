"""LibreOffice opens what was spliced, saves it, and finds its sheets again after the next runs.

It is an independent reader of the format. Where it is not installed these tests are skipped.
"""

from __future__ import annotations

import csv
import io

import openpyxl
import pytest
from blocks import LINES, summary, to_buy
from office import AS_TEXT, Office
from packages import bytes_of, parts_of, plain, sheet, sheets_of, zipped
from soundness import faults
from zoo import ZOO, with_titles

from costing.workbook.owned.splice import splice

NOT_FOR_LIBREOFFICE = {"other_folders"}
"""LibreOffice tells capitals from small letters in part names; it opens these not even before."""


def sheet_texts(office: Office, data: bytes) -> dict[str, list[list[str]]]:
    """Rows of each sheet as LibreOffice shows them."""
    return {
        name.removeprefix("plan-").removesuffix(".csv"): list(
            csv.reader(io.StringIO(text.decode(), newline=""))
        )
        for name, text in office.files(data, AS_TEXT).items()
    }


@pytest.mark.parametrize("name", sorted(NOT_FOR_LIBREOFFICE))
def test_libreoffice__does_not_open_what_it_could_not_open_before(
    name: str, office: Office
) -> None:
    assert office.files(ZOO[name]()) == {}
    assert office.files(splice(ZOO[name](), [to_buy(), summary()]).data) == {}


@pytest.mark.parametrize("name", sorted(set(ZOO) - NOT_FOR_LIBREOFFICE))
def test_libreoffice__sheets_are_found_again_after_it_saved(name: str, office: Office) -> None:
    saved = office.edited(splice(ZOO[name](), [to_buy(), summary()]).data)
    spliced = splice(saved, [to_buy(), summary()])
    assert spliced.added == ()
    if name != "names_of_sheets":
        assert spliced.edited == ()
    assert spliced.kept == ()
    titles = set(spliced.titles.values())
    assert faults(spliced.data, titles=titles) == []
    again = splice(spliced.data, [to_buy(), summary()])
    assert again.data == spliced.data


def test_libreoffice__reads_the_values_and_formats(office: Office) -> None:
    data = splice(zipped(plain()), [to_buy(), summary()]).data
    shown = sheet_texts(office, data)
    assert shown["To buy"][2:] == [
        ["Got it", "Ingredient", "Packs", "Cost"],
        ["", "leek", "2", "5.00"],
        ["", "cream", "1", "2.33"],
        ["", "=salt", "3", "0.50"],
    ]
    assert [row[:3] for row in shown["Summary"]] == [
        ["Bought", "7.83333333333333", ""],
        ["Shops", "TRUE", "Lines\nbroken  "],
    ]


def test_libreoffice__three_rounds_of_saving_and_splicing_let_nothing_grow(
    office: Office,
) -> None:
    data = splice(zipped(plain()), [to_buy(), summary()]).data
    counts = []
    for _ in range(3):
        data = splice(office.edited(data), [to_buy(), summary()]).data
        assert list(sheets_of(parts_of(data))) == ["Recipes", "To buy", "Summary"]
        styles = parts_of(data)["xl/styles.xml"]
        counts.append((styles.count(b"<xf "), styles.count(b"<font>"), len(parts_of(data))))
    assert counts[1] == counts[2]


def test_libreoffice__calculates_the_formulas_over_results_anew(office: Office) -> None:
    """Recipes!A1 doubles the first cost and A2 adds one to A1; the stored 999 are out of date."""
    parts = with_titles("Recipes")
    parts["xl/worksheets/sheet1.xml"] = sheet(
        '<row r="1"><c r="A1"><f>\'To buy\'!D4*2</f><v>999</v></c></row>'
        '<row r="2"><c r="A2"><f>A1+1</f><v>999</v></c></row>'
        '<row r="3"><c r="A3"><f>1+1</f><v>999</v></c></row>'
    )
    data = splice(zipped(parts), [to_buy()]).data
    assert [row[0] for row in sheet_texts(office, data)["Recipes"]] == ["10", "11", "999"]


def test_libreoffice__notes_ticks_and_edits_survive_its_saving(office: Office) -> None:
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    page = book["To buy"]
    page["A4"], page["F5"], page["C6"] = "x", "ask at the dairy", 9
    spliced = splice(office.edited(bytes_of(book)), [to_buy(LINES[::-1])])
    assert [one.row for one in spliced.edited] == [6]
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    assert [page["A6"].value, page["F5"].value, page["C4"].value] == ["x", "ask at the dairy", 3]
