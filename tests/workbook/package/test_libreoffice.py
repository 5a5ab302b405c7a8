"""LibreOffice opens what was spliced, saves it, and finds its sheets again after the next runs.

It is an independent reader of the format. Where it is not installed these tests are skipped.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import openpyxl
import pytest
from blocks import LINES, summary, to_buy
from packages import bytes_of, parts_of, plain, sheet, sheets_of, zipped
from recalculation import AS_WORKBOOK, converted, in_libreoffice
from soundness import faults
from zoo import ZOO, with_titles

from costing.workbook.owned.splice import splice

pytestmark = in_libreoffice
AS_TEXT = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,true,false,false,-1"
"""Comma, quotes, UTF-8, from the first line, values as shown, one file for every sheet."""
NOT_FOR_LIBREOFFICE = {"other_folders"}
"""LibreOffice tells capitals from small letters in part names; it opens these not even before."""


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Every workbook of the zoo after a splice, as LibreOffice saved it."""
    files = {name: splice(make(), [to_buy(), summary()]).data for name, make in ZOO.items()}
    out = converted(files, AS_WORKBOOK, tmp_path_factory.mktemp("zoo"))
    return {file.stem: file.read_bytes() for file in out.iterdir()}


def test_libreoffice__opens_all_but_those_it_could_not_open_before(
    saved: dict[str, bytes], tmp_path: Path
) -> None:
    assert set(ZOO) - set(saved) == NOT_FOR_LIBREOFFICE
    before = {name: ZOO[name]() for name in NOT_FOR_LIBREOFFICE}
    assert not converted(before, AS_WORKBOOK, tmp_path).exists()


@pytest.mark.parametrize("name", sorted(set(ZOO) - NOT_FOR_LIBREOFFICE))
def test_libreoffice__sheets_are_found_again_after_it_saved(
    saved: dict[str, bytes], name: str
) -> None:
    spliced = splice(saved[name], [to_buy(), summary()])
    assert spliced.added == ()
    if name != "names_of_sheets":
        assert spliced.edited == ()
    assert spliced.kept == ()
    titles = set(spliced.titles.values())
    assert faults(spliced.data, titles=titles) == []
    again = splice(spliced.data, [to_buy(), summary()])
    assert again.data == spliced.data


def test_libreoffice__reads_the_values_and_formats(tmp_path: Path) -> None:
    data = splice(zipped(plain()), [to_buy(), summary()]).data
    out = converted({"plan": data}, AS_TEXT, tmp_path)
    with (out / "plan-To buy.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[2:] == [
        ["Got it", "Ingredient", "Packs", "Cost"],
        ["", "leek", "2", "5.00"],
        ["", "cream", "1", "2.33"],
        ["", "=salt", "3", "0.50"],
    ]
    with (out / "plan-Summary.csv").open(encoding="utf-8", newline="") as file:
        assert [row[:3] for row in csv.reader(file)] == [
            ["Bought", "7.83333333333333", ""],
            ["Shops", "TRUE", "Lines\nbroken  "],
        ]


def test_libreoffice__three_rounds_of_saving_and_splicing_let_nothing_grow(
    tmp_path: Path,
) -> None:
    data = splice(zipped(plain()), [to_buy(), summary()]).data
    counts = []
    for number in range(3):
        folder = tmp_path / str(number)
        folder.mkdir()
        saved_again = next(converted({"plan": data}, AS_WORKBOOK, folder).iterdir()).read_bytes()
        data = splice(saved_again, [to_buy(), summary()]).data
        assert list(sheets_of(parts_of(data))) == ["Recipes", "To buy", "Summary"]
        styles = parts_of(data)["xl/styles.xml"]
        counts.append((styles.count(b"<xf "), styles.count(b"<font>"), len(parts_of(data))))
    assert counts[1] == counts[2]


def test_libreoffice__calculates_the_formulas_over_results_anew(tmp_path: Path) -> None:
    """Recipes!A1 doubles the first cost and A2 adds one to A1; the stored 999 are out of date."""
    parts = with_titles("Recipes")
    parts["xl/worksheets/sheet1.xml"] = sheet(
        '<row r="1"><c r="A1"><f>\'To buy\'!D4*2</f><v>999</v></c></row>'
        '<row r="2"><c r="A2"><f>A1+1</f><v>999</v></c></row>'
        '<row r="3"><c r="A3"><f>1+1</f><v>999</v></c></row>'
    )
    data = splice(zipped(parts), [to_buy()]).data
    out = converted({"plan": data}, AS_TEXT, tmp_path)
    with (out / "plan-Recipes.csv").open(encoding="utf-8", newline="") as file:
        assert [row[0] for row in csv.reader(file)] == ["10", "11", "999"]


def test_libreoffice__notes_ticks_and_edits_survive_its_saving(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    page = book["To buy"]
    page["A4"], page["F5"], page["C6"] = "x", "ask at the dairy", 9
    saved_again = next(converted({"plan": bytes_of(book)}, AS_WORKBOOK, tmp_path).iterdir())
    spliced = splice(saved_again.read_bytes(), [to_buy(LINES[::-1])])
    assert [one.row for one in spliced.edited] == [6]
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    assert [page["A6"].value, page["F5"].value, page["C4"].value] == ["x", "ask at the dairy", 3]
