"""Run after run: nothing grows, and what a spreadsheet program saved in between is found again."""

from __future__ import annotations

import re
import zipfile
from io import BytesIO

import pytest
from budgets import EXAMPLES
from hypothesis import settings
from live_workbooks import MAKERS, read_bytes, run, with_formulas
from office import Office
from packages import bytes_of
from recalculation import (
    ENGINES,
    differences,
    formula_cells,
    opened,
    values_in,
)
from soundness import faults


@pytest.mark.parametrize("name", MAKERS)
def test_runs__many_in_a_row_change_nothing(name: str) -> None:
    """A run hangs on nothing but the file: twice in a plain run, twenty times under ``ci``."""
    first, _ = with_formulas(name)
    for _ in range(2 if settings().max_examples < EXAMPLES["ci"] else 20):
        again, _ = run(first)
        assert len(again) == len(first)
        assert again == first


@pytest.mark.parametrize("name", MAKERS)
def test_runs__the_file_is_sound(name: str) -> None:
    assert faults(with_formulas(name)[0]) == []


def test_runs__sheets_stay_found_and_live_between_saves_by_libreoffice(office: Office) -> None:
    """Three times: calculated and saved by LibreOffice, then written anew.

    formualizer refuses what LibreOffice writes, lists of tables without their count, so ironcalc
    alone looks at these.
    """
    data, _ = with_formulas("demo")
    formulas = {(cell.sheet, cell.cell) for cell in formula_cells(data)}
    titles = opened(data, values=False).sheetnames
    for _ in range(3):
        saved = office.edited(data, calculated=True)
        assert differences(formula_cells(data), values_in(saved)) == []
        data, _ = run(saved)
        assert opened(data, values=False).sheetnames == titles
        assert {(cell.sheet, cell.cell) for cell in formula_cells(data)} == formulas
        assert differences(formula_cells(data), ENGINES["ironcalc"](data)) == []
        assert len(_charts(data)) == 4


def test_runs__charts_are_made_once_and_show_the_cells_behind_them() -> None:
    data, _ = with_formulas("demo")
    again, _ = run(data)
    charts = _charts(data)
    assert _charts(again) == charts
    references = {
        reference.replace("&apos;", "'")
        for xml in charts.values()
        for reference in re.findall(r"<c:f>(.*?)</c:f>", xml.decode())
    }
    assert references == {
        *("Summary!$A$10:$A$15", "Summary!$B$10:$B$15"),
        *("Summary!$A$17:$A$19", "Summary!$B$17:$B$19"),
        *("Summary!$A$34:$A$45", "Summary!$B$33", "Summary!$B$34:$B$45"),
        *("Summary!$C$33", "Summary!$C$34:$C$45"),
        *("Summary!$A$51", "Summary!$B$53:$B$69", "Summary!$C$53:$C$69"),
        *("Summary!$A$52", "Summary!$B$52", "Summary!$C$52"),
    }
    shown = opened(data, values=True)["Summary"]
    assert [shown[f"A{row}"].value for row in range(17, 20)] == ["Bought", "Used", "Left"]
    assert [shown[f"B{row}"].value for row in range(17, 20)] == [38.64, 31.34, 10.65]
    purposes = [(shown[f"A{row}"].value, shown[f"B{row}"].value) for row in range(10, 16)]
    assert [name for name, _ in purposes if name] == [
        *("retake", "cook-through", "hero", "reset", "swap"),
    ]
    assert sum(value for _, value in purposes if value) == pytest.approx(31.34)


def test_runs__a_chart_the_person_deleted_stays_away() -> None:
    """Charts are the person's once they are there."""
    data, _ = with_formulas("by hand")
    book = opened(data, values=False)
    book["Summary"]._charts = []
    assert _charts(run(bytes_of(book))[0]) == {}


def test_runs__a_result_sheet_is_never_read_as_input_whatever_it_is_called() -> None:
    """Needs renamed to Recipe is nearly a sheet of the inputs, and is ours all the same."""
    data, before = with_formulas("by hand")
    book = opened(data, values=False)
    book["Needs"].title = "Recipe"
    shoot, said = read_bytes(bytes_of(book))
    assert shoot.lines == before.shoot.lines
    assert said == read_bytes(data)[1]


def _charts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist() if "/charts/chart" in name}
