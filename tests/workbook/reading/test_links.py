"""What is told of a workbook that is let in."""

from __future__ import annotations

from zoo import ZOO

from costing.workbook.package.gate import open_gate
from costing.workbook.package.refusals import file_place, links_to_other_files
from costing.workbook.reading.sheets import notes_on


def test_links_to_other_files() -> None:
    (note,) = notes_on(open_gate(ZOO["external_link"](), name="plan.xlsx"))
    assert str(note) == (
        "'plan.xlsx': found formulas that take values from another file, expected numbers that "
        "stand in this workbook [links to other files]\n"
        "  The values stored at the last saving are used and the links are left as they are. Open "
        "the workbook in a spreadsheet program and update the links where they may have changed."
    )


def test_links_to_other_files__several() -> None:
    told = links_to_other_files(file_place("plan.xlsx"), 2)
    assert told.found == "formulas that take values from 2 other files"


def test_notes_on__most_workbooks_have_none() -> None:
    assert [name for name, make in ZOO.items() if notes_on(open_gate(make()))] == ["external_link"]
