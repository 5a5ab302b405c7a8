"""Result sheets as other programs spell them when they save: shared formulas, no addresses, blanks.

The sheet's XML is changed by hand between two runs; expected XML is worked by hand.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from blocks import LINES, summary, to_buy
from packages import SHEETML, parts_of, plain, relations, sheets_of, with_part, zipped
from soundness import faults

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import Spliced, splice
from costing.workbook.package.cellxml import NewCell

SHEET = "xl/worksheets/sheet2.xml"


def respelled(change: Callable[[str], str]) -> bytes:
    """The workbook after a first run, the XML of its list changed."""
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    text = change(parts[SHEET].decode())
    assert text != parts[SHEET].decode()
    return zipped(parts | {SHEET: text.encode()})


def beside(row: int, xml: str) -> Callable[[str], str]:
    """Puts cells at the end of a row of the list."""
    return lambda text: re.sub(rf'(<row r="{row}">.*?)</row>', rf"\1{xml}</row>", text)


def sheet_xml(spliced: Spliced) -> str:
    assert faults(spliced.data) == []
    return parts_of(spliced.data)[SHEET].decode()


def test_shared_formula_beside__is_spelled_out_where_its_cells_go() -> None:
    def share(text: str) -> str:
        text = beside(4, '<c r="F4"><f t="shared" ref="F4:F5" si="0">D4*2</f><v>10</v></c>')(text)
        return beside(5, '<c r="F5"><f t="shared" si="0"/><v>4</v></c>')(text)

    leek, cream, salt = LINES
    text = sheet_xml(splice(respelled(share), [to_buy([cream, salt, leek])]))
    assert '<c r="F6"><f>D6*2</f></c>' in text
    assert '<c r="F4"><f>D4*2</f></c>' in text
    assert "shared" not in text


def test_cells_without_addresses__are_read_by_their_order_and_written_with_one() -> None:
    def drop(text: str) -> str:
        return beside(4, "<c><v>7</v></c>")(text)

    spliced = splice(respelled(drop), [to_buy(LINES[::-1])])
    assert '<c r="E6"><v>7</v></c>' in sheet_xml(spliced)


def test_sheet_without_rows__gets_them() -> None:
    def empty(text: str) -> str:
        return re.sub(r"<sheetData>.*</sheetData>", "<sheetData/>", text)

    text = sheet_xml(splice(respelled(empty), [to_buy()]))
    assert text.count("<row ") == 5
    assert text.count("<sheetData>") == 1


def test_merge_beside_rows_that_part__stays_where_it_stands() -> None:
    def merge(text: str) -> str:
        merges = '<mergeCells count="1"><mergeCell ref="F4:F5"/></mergeCells>'
        text = beside(4, '<c r="F4"><v>1</v></c>')(text)
        text = beside(5, '<c r="F5" s="0"/>')(text)
        return text.replace("<conditionalFormatting", f"{merges}<conditionalFormatting", 1)

    text = sheet_xml(splice(respelled(merge), [to_buy(LINES[::-1])]))
    assert '<mergeCells count="1"><mergeCell ref="F4:F5"/></mergeCells>' in text
    assert '<c r="F4"><v>1</v></c>' in text


def test_links_of_the_block__are_those_of_the_new_rows() -> None:
    spliced = splice(
        respelled(lambda text: text.replace("B4", "B4", 1) + "\n"), [to_buy(LINES[:1])]
    )
    text = sheet_xml(spliced)
    assert re.findall(r"<hyperlink [^>]*>", text) == [
        '<hyperlink ref="B4" location="\'Recipes\'!A2"/>'
    ]
    without = splice(spliced.data, [to_buy([])])
    assert "hyperlink" not in sheet_xml(without)
    again = splice(without.data, [to_buy(LINES[:1])])
    assert sheet_xml(again).count("<hyperlink ") == 1


def test_list_of_tables_that_is_there__gets_the_table_of_ours() -> None:
    """The person's table stays beside; ours was turned into a range and is made anew."""
    table = (
        b'<table xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" id="9" '
        b'name="Mine" displayName="Mine" ref="F3:F4"><tableColumns count="1">'
        b'<tableColumn id="1" name="Tool"/></tableColumns></table>'
    )
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    own = next(name for name in parts if name.startswith("xl/tables/"))
    parts[own] = table
    text = beside(3, '<c r="F3" t="inlineStr"><is><t>Tool</t></is></c>')(parts[SHEET].decode())
    parts[SHEET] = text.encode()
    spliced = splice(zipped(parts), [to_buy()])
    assert faults(spliced.data) == []
    tables = [name for name in parts_of(spliced.data) if name.startswith("xl/tables/")]
    assert len(tables) == 2
    assert parts_of(spliced.data)[own] == table


def test_table_that_claims_the_whole_sheet__is_believed_as_far_as_cells_hold_something() -> None:
    """The person's note in F5 lies inside the claim; the list itself changes in size."""
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    name = "xl/tables/table1.xml"
    parts[name] = parts[name].replace(b"A3:D6", b"A3:XFD1048576")
    note = beside(5, '<c r="F5"><v>7</v></c>')
    parts[SHEET] = note(parts[SHEET].decode()).encode()
    spliced = splice(zipped(parts), [to_buy(LINES[:2])])
    text = parts_of(spliced.data)[SHEET].decode()
    assert "<v>7</v>" in text
    assert text.count("<row ") <= 9


@pytest.mark.parametrize("size", ["9999999x4;3+3/1", "6x99999;3+3/1", "9999999x4;3+9999990/1"])
def test_mark_that_claims_more_than_there_is__is_believed_as_far_as_cells_hold_something(
    size: str,
) -> None:
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    text = parts["xl/workbook.xml"].decode()
    assert "6x4;3+3/1" in text
    parts["xl/workbook.xml"] = text.replace("6x4;3+3/1", size).encode()
    assert sheet_xml(splice(zipped(parts), [to_buy()])) == parts[SHEET].decode()


def test_block_without_a_table__grows_and_shrinks() -> None:
    def notes(count: int) -> ResultSheet:
        return ResultSheet("notes", "Notes", [[NewCell(n)] for n in range(count)])

    data = splice(zipped(plain()), [notes(2)]).data
    for count in (5, 1, 3):
        spliced = splice(data, [notes(count)])
        assert (spliced.kept, spliced.edited) == ((), ())
        name = sheets_of(parts_of(spliced.data))["Notes"]
        text = parts_of(spliced.data)[name].decode()
        assert re.findall(r"<v>(\d)</v>", text) == [str(n) for n in range(count)]
        data = spliced.data


def test_shared_texts__runs_are_joined_and_readings_left_out() -> None:
    """Texts that another program keeps apart: they still count as what was written."""
    strings = (
        b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        b"<si><r><t>le</t></r><r><t>ek</t></r><rPh><t>reading</t></rPh></si></sst>"
    )
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    text = parts[SHEET].decode()
    inline = '<c r="B4" t="inlineStr"><is><t>leek</t></is></c>'
    assert inline in text
    parts[SHEET] = text.replace(inline, '<c r="B4" t="s"><v>0</v></c>').encode()
    parts = with_part(
        parts,
        "xl/sharedStrings.xml",
        strings,
        f"{SHEETML}.sharedStrings+xml",
        source="xl/workbook.xml",
        relation="sharedStrings",
    )
    assert splice(zipped(parts), [to_buy()]).edited == ()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("<c ", "<c\n  "),
        ("<v>2</v>", "<v>2.0</v>"),
        ("<v>5</v>", "<v> 5</v>"),
        ("<is><t>leek</t></is>", "<is><t><![CDATA[leek]]></t></is>"),
        ("<t>leek</t>", "<r><t>le</t></r><r><t>ek</t></r>"),
        ('r="B4" t="inlineStr"', "t='inlineStr' r='B4'"),
    ],
)
def test_other_spellings_of_the_same__are_not_called_edited(old: str, new: str) -> None:
    spliced = splice(respelled(lambda text: text.replace(old, new)), [to_buy()])
    assert spliced.edited == ()
    assert sheet_xml(spliced) == parts_of(splice(zipped(plain()), [to_buy()]).data)[SHEET].decode()


def test_texts_with_signs_that_xml_cannot_hold__are_not_called_edited() -> None:
    texts = ["a\x01b", "_x0041_", "a\rb", "a\r\nb", "\ud800", "\ufffe", "=1", " a ", "𝄞"]
    sheet = ResultSheet("notes", "Notes", [[NewCell(text)] for text in texts])
    once = splice(zipped(plain()), [sheet])
    again = splice(once.data, [sheet])
    assert again.edited == ()
    assert again.data == once.data


def test_relationship_to_a_part_that_is_missing__is_no_sheet_of_ours() -> None:
    """The name is there, its sheet's part is not: the sheet is made anew."""
    parts = parts_of(splice(zipped(plain()), [summary()]).data)
    del parts[SHEET]
    text = parts["[Content_Types].xml"].decode()
    parts["[Content_Types].xml"] = re.sub(r"<Override[^>]*sheet2[^>]*/>", "", text).encode()
    parts["xl/_rels/workbook.xml.rels"] = relations(
        ("rId1", "worksheet", "worksheets/sheet1.xml"), ("rId2", "styles", "styles.xml")
    )
    assert splice(zipped(parts), [summary()]).titles == {"summary": "Summary (2)"}
