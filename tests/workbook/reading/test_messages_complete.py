"""Every finding of the reader has a test that compares its whole text."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from good_workbook import add, findings, good_workbook
from packages import parts_of, zipped
from workbook.reading import (
    test_day_log,
    test_messages_amounts,
    test_messages_books,
    test_messages_dates,
    test_messages_percents,
    test_messages_settings,
    test_messages_values,
    test_unread,
    test_weighs,
)

from costing.findings import NOWHERE, Grade, choice_words
from costing.holding.rules import load_rules
from costing.kitchen import Line
from costing.shoot import Shot
from costing.workbook import reading
from costing.workbook.layout import SHOOT_PLAN
from costing.workbook.package.cellxml import DAY_0
from costing.workbook.package.refusals import Refused
from costing.workbook.package.worksheets import FilledCell, Worksheet
from costing.workbook.reading import read_workbook
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.rows import built

CASES = [
    case
    for module in (
        test_messages_amounts,
        test_messages_books,
        test_messages_dates,
        test_messages_percents,
        test_messages_settings,
        test_messages_values,
        test_unread,
        test_weighs,
    )
    for case in module.CASES
]

IN_THIS_FILE = {"workbook not understood", "row not accepted"}


def test_cases__are_named_after_the_code_they_show() -> None:
    for case in CASES:
        code = str(case.id).partition(":")[0]
        assert f"[{code}]" in "\n".join(case.values[1])


def test_messages__each_code_has_a_case() -> None:
    folder = Path(str(reading.__file__)).parent
    codes = {
        code
        for file in folder.glob("*.py")
        for code in re.findall(r'@message\("([^"]+)"', file.read_text(encoding="utf-8"))
    }
    shown = {str(case.id).partition(":")[0] for case in CASES}
    shown |= {text.partition("[")[2].partition("]")[0] for text in test_day_log.MESSAGES}
    assert codes - shown == IN_THIS_FILE


def test_messages__codes_are_two_to_five_plain_words() -> None:
    for case in CASES:
        code = str(case.id).partition(":")[0]
        assert re.fullmatch(r"[a-z0-9]+( [a-z0-9]+){1,4}", code)


def test_trim_yield_unclear__is_the_example_of_the_house(tmp_path: Path) -> None:
    """The same words wherever the row stands: leek in row 14, after blank rows."""
    book = good_workbook()
    sheet = book["Ingredients"]
    sheet.delete_rows(2)
    sheet["A14"], sheet["C14"] = "leek", 0.72
    assert findings(book, tmp_path) == [
        'Ingredients!C14 (row "leek", column "Trim yield %"): found 0.72 as a plain number, '
        "expected percent above 1 and at most 100 [trim yield unclear]\n"
        "  Write 72, or format the cell as 72%. If seven tenths of a percent is meant, the number "
        "is too small for a trim yield."
    ]


def test_holding_rule_unknown__lists_the_known_rules(tmp_path: Path) -> None:
    book = good_workbook()
    add("Settings", "Holding rules", "AU-2H4H, US-TPHC")(book)
    (said,) = findings(book, tmp_path)
    assert said.startswith(
        'Settings!B7 (row "Holding rules", column "Value"): found the holding rule "US-TPHC", '
        f"expected one or more of {choice_words(load_rules())} [holding rule unknown]"
    )


def test_read_workbook__a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        read_workbook(tmp_path / "plan.xlsx")
    assert (refused.value.finding.code, refused.value.finding.grade) == (
        "file not found",
        Grade.ERROR,
    )


def test_workbook_not_understood__what_the_gate_cannot_see(tmp_path: Path) -> None:
    """A part that is well-formed and says what no program can mean: a format, and a text."""
    good, broken = tmp_path / "good.xlsx", tmp_path / "plan.xlsx"
    good_workbook().save(good)
    parts = parts_of(good.read_bytes())

    def refused(part: str, old: bytes, new: bytes) -> str:
        broken.write_bytes(zipped(parts | {part: parts[part].replace(old, new)}))
        with pytest.raises(Refused) as refused:
            read_workbook(broken)
        return str(refused.value.finding)

    assert refused("xl/styles.xml", b'numFmtId="0"', b'numFmtId="none"') == (
        "'plan.xlsx': found a workbook with a part that cannot be read (the number format "
        '"none"), expected a whole workbook [workbook not understood]\n'
        "  Open it in a spreadsheet program, look it over and save it under a new name as .xlsx."
    )
    odd = b'<row r="99"><c r="Z99" t="s"><v>9999</v></c></row></sheetData>'
    assert refused("xl/worksheets/sheet1.xml", b"</sheetData>", odd) == (
        "'plan.xlsx': found a workbook with a part that cannot be read (Settings!Z99: \"9999\" as "
        "a cell of the type s), expected a whole workbook [workbook not understood]\n"
        "  Open it in a spreadsheet program, look it over and save it under a new name as .xlsx."
    )


def _cells() -> RowCells:
    filled = FilledCell(2, 3, "leek soup")
    sheet = Worksheet("Shoot plan", rows={2: {3: filled}})
    area = Area(SHOOT_PLAN, sheet, 1, None, {3: "Dish"}, set(), DAY_0)
    return RowCells(area, 2, {"Dish": filled}, ("Dish",))


def test_row_not_accepted__a_rule_of_a_model_that_no_cell_check_knows() -> None:
    cells = _cells()
    assert built(Shot, cells, {}, {"dish": "soup", "fewest": 3, "times": 2}) is None
    (said,) = cells.findings
    assert str(said) == (
        "'Shoot plan' row 2 (row \"leek soup\"): found cells that do not go together, expected "
        "a row that keeps the rule: fewest, times and most must rise in this order [row not "
        "accepted]\n"
        "  Mend the row; until then it is left out."
    )


def test_built__a_field_that_may_be_blank_is_left_blank_when_it_is_refused() -> None:
    cells = _cells()
    shot = built(Shot, cells, {"batch": "Dish"}, {"dish": "soup", "batch": -1})
    assert shot is not None
    assert shot.batch == 1
    assert cells.failed == {"Dish"}


def test_built__a_field_that_is_needed_gives_no_model() -> None:
    cells = _cells()
    assert built(Line, cells, {"step": "Dish"}, {"step": 0}) is None
    assert NOWHERE not in [finding.place for finding in cells.findings]
