"""Every kind of workbook gets its result sheets and keeps everything else byte for byte."""

from __future__ import annotations

import io
import warnings
import zipfile
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from blocks import LINES, summary, to_buy
from packages import TOUCHED, foreign_parts_changed, parts_of, sheets_of
from python_calamine import CalamineError, SheetTypeEnum, load_workbook
from soundness import faults
from zoo import ZOO

from costing.workbook.owned.splice import Spliced, splice

animals = pytest.mark.parametrize("name", sorted(ZOO))
RUNS = 20
NOT_FOR_OPENPYXL = {"other_folders"}
NOT_FOR_CALAMINE = {"other_folders", "latin_1", "utf_16"}
"""These libraries cannot read the workbooks even before; see the last two tests."""
OTHER_NAMES = (*TOUCHED, "Book.xml", "Book.xml.rels", "looks.xml")


def spliced(name: str) -> Spliced:
    return splice(ZOO[name](), [to_buy(), summary()])


@animals
def test_foreign_parts__stay_byte_for_byte(name: str) -> None:
    before, after = ZOO[name](), spliced(name).data
    assert foreign_parts_changed(before, after, touched=OTHER_NAMES) == []


@animals
def test_foreign_entries__stay_packed_as_they_were(name: str) -> None:
    """The packed bytes, dates and attributes of an entry that is not touched are copied unread."""

    def entries(data: bytes) -> dict[str, tuple[object, ...]]:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            found: dict[str, tuple[object, ...]] = {}
            for info in archive.infolist():
                start = info.header_offset
                lengths = data[start + 26 : start + 30]
                at = start + 30 + int.from_bytes(lengths[:2], "little")
                at += int.from_bytes(lengths[2:], "little")
                packed = data[at : at + info.compress_size]
                told = (info.date_time, info.external_attr, info.comment, info.extra)
                found[info.filename] = (packed, *told)
            return found

    before, after = entries(ZOO[name]()), entries(spliced(name).data)
    untouched = [n for n in before if n.rpartition("/")[2] not in OTHER_NAMES and n in after]
    assert untouched
    assert {n: before[n] for n in untouched} == {n: after[n] for n in untouched}


@animals
def test_spliced_workbook__keeps_the_rules_of_the_format(name: str) -> None:
    assert faults(spliced(name).data) == []


@animals
def test_same_input__gives_the_same_bytes(name: str) -> None:
    assert spliced(name).data == spliced(name).data


@animals
def test_twenty_runs__change_nothing_after_the_first(name: str) -> None:
    once = spliced(name)
    data = once.data
    for _ in range(RUNS):
        again = splice(data, [to_buy(), summary()])
        assert (again.edited, again.kept, again.recalculated, again.added) == ((), (), (), ())
        data = again.data
    assert data == once.data


@animals
def test_two_lists_in_turn__do_not_let_the_workbook_grow(name: str) -> None:
    """Sizes after a long and after a short list are the same every time."""
    data = spliced(name).data
    sizes = set()
    for _ in range(5):
        data = splice(data, [to_buy(LINES[:1]), summary()]).data
        data = splice(data, [to_buy(), summary()]).data
        sizes.add(len(data))
    assert len(sizes) == 1


@pytest.mark.parametrize("name", sorted(set(ZOO) - NOT_FOR_OPENPYXL))
def test_openpyxl__reads_what_was_written(name: str) -> None:
    """16 digits of 7/3 are a 2 and 15 times 3."""
    result = spliced(name)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        book = openpyxl.load_workbook(io.BytesIO(result.data), data_only=True)
    page = book[result.titles["to_buy"]]
    assert [[cell.value for cell in row] for row in page["A3:D6"]] == [
        ["Got it", "Ingredient", "Packs", "Cost"],
        [None, "leek", 2, 5],
        [None, "cream", 1, 2.333333333333333],
        [None, "=salt", 3, 0.5],
    ]
    assert page["D5"].number_format == "0.00"
    assert page["A3"].font.b is True
    assert page["A3"].fill.fgColor.rgb == "FFDDE6ED"
    assert page["B6"].data_type == "s"
    assert page["B6"].quotePrefix is True
    assert page["B4"].hyperlink.location == "'Recipes'!A2"
    assert page.freeze_panes == "C4"
    assert page.tables[result.tables["to_buy"]].ref == "A3:D6"
    assert book[result.titles["summary"]]["B1"].value == 47 / 6


@pytest.mark.parametrize("name", sorted(set(ZOO) - NOT_FOR_CALAMINE))
def test_calamine__reads_old_and_new_sheets(name: str, tmp_path: Path) -> None:
    before, after = tmp_path / "before.xlsx", tmp_path / "after.xlsx"
    before.write_bytes(ZOO[name]())
    result = spliced(name)
    after.write_bytes(result.data)
    old, new = load_workbook(before), load_workbook(after)
    assert new.sheet_names == [*old.sheet_names, *result.titles.values()]
    sheets = [s.name for s in old.sheets_metadata if s.typ == SheetTypeEnum.WorkSheet]
    for title in sheets:
        assert new.get_sheet_by_name(title).to_python() == old.get_sheet_by_name(title).to_python()
    rows = new.get_sheet_by_name(result.titles["to_buy"]).to_python()
    assert rows[-1] == ["", "=salt", 3.0, 0.5]


def test_zoo__has_at_least_twenty_kinds() -> None:
    assert len(ZOO) >= 20


def test_clashing_title_and_table__get_a_number() -> None:
    result = spliced("same_title_and_table_name")
    assert result.titles == {"to_buy": "To buy (2)", "summary": "Summary"}
    assert result.tables == {"to_buy": "tToBuy_2"}


def test_names_of_other_sheets__keep_their_positions_and_the_same_tab_is_open() -> None:
    parts = parts_of(spliced("names_of_sheets").data)
    text = parts["xl/workbook.xml"].decode()
    assert 'activeTab="1"' in text
    assert 'name="_xlnm.Print_Area" localSheetId="1"' in text
    assert '<calcPr calcId="191029" calcMode="manual" fullCalcOnLoad="1"/>' in text or (
        '<calcPr fullCalcOnLoad="1" calcId="191029" calcMode="manual"/>' in text
    )
    assert list(sheets_of(parts)) == ["Recipes", "Cook's list", "To buy", "Summary"]


def test_prefix_of_the_part__is_used() -> None:
    text = parts_of(spliced("prefix_x").data)["xl/workbook.xml"].decode()
    assert '<x:sheet name="To buy" sheetId="2"' in text
    assert '<x:definedName name="_costing_sheet" localSheetId="1" hidden="1">' in text
    assert '<x:calcPr fullCalcOnLoad="1"/>' in text


def test_encoding_of_the_part__is_kept() -> None:
    parts = parts_of(spliced("utf_16").data)
    assert parts["xl/workbook.xml"].startswith(b"\xff\xfe")
    assert 'name="To buy"' in parts["xl/workbook.xml"].decode("utf-16")
    assert "é" in parts_of(spliced("latin_1").data)["xl/workbook.xml"].decode("latin-1")


def test_order_of_calculation__is_dropped_with_its_type_and_relationship() -> None:
    parts = parts_of(spliced("order_of_calculation").data)
    assert "xl/calcChain.xml" not in parts
    assert not [n for n, content in parts.items() if b"calcChain" in content]


def test_live_formula__stands_beside_its_value() -> None:
    parts = parts_of(spliced("plain_workbook").data)
    text = parts[sheets_of(parts)["Summary"]].decode()
    assert f"<f>SUM(tToBuy[Cost])</f><v>{float(Fraction(47, 6))!r}</v>" in text
    assert '<c r="B2" t="b"><v>1</v></c>' in text
    assert '<is><t xml:space="preserve">Lines\nbroken  </t></is>' in text


@pytest.mark.parametrize("name", sorted(NOT_FOR_OPENPYXL))
def test_openpyxl__cannot_read_the_workbook_before_either(name: str) -> None:
    assert openpyxl.load_workbook(io.BytesIO(ZOO[name]())).sheetnames == []


@pytest.mark.parametrize("name", sorted(NOT_FOR_CALAMINE))
def test_calamine__cannot_read_the_workbook_before_either(name: str, tmp_path: Path) -> None:
    file = tmp_path / "before.xlsx"
    file.write_bytes(ZOO[name]())
    with pytest.raises(CalamineError):
        load_workbook(file)
