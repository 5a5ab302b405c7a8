"""What a workbook shows is read in one pass, and as two passes of openpyxl read it."""

from __future__ import annotations

import io
import re
import tempfile
import zipfile
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from xml.sax.saxutils import quoteattr

import pytest
from any_shoot import any_shoot
from blocks import to_buy
from budgets import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from live_edits import edited
from live_workbooks import MAKERS, with_formulas
from office import Office
from packages import MAIN, SHEETML, STYLES, parts_of, plain, sheet, with_part, zipped
from packages_at_random import Made, in_strict, packages, usual
from python_calamine import load_workbook
from two_passes import differences
from zoo import ZOO

import costing
from costing.workbook.owned.marks import MARK_NAME
from costing.workbook.owned.splice import splice
from costing.workbook.package.addresses import address
from costing.workbook.package.gate import open_gate
from costing.workbook.package.numberformats import LONGEST_CODE, number_format
from costing.workbook.package.opc import Package
from costing.workbook.package.refusals import Refused
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.worksheets import (
    NO_DATE,
    Unreadable,
    Worksheet,
    read_worksheets,
)


def read(data: bytes) -> list[Worksheet]:
    return read_worksheets(WorkbookPart(open_gate(data)), aside=MARK_NAME)


def shown(data: bytes) -> dict[str, dict[str, object]]:
    """What the cells of each sheet show, by their addresses."""
    return {
        one.title: {
            address(row, column): cell.value
            for row, cells in one.rows.items()
            for column, cell in cells.items()
        }
        for one in read(data)
    }


FORMATS = ("General", "0.00%", "yyyy-mm-dd", "hh:mm", "[h]:mm", '0 "days"', "[$€-407] #,##0.00")
TEXTS = (
    "<t>leek</t>",
    "<t>salt &amp; pepper</t>",
    '<t xml:space="preserve"> 1 1/2 </t>',
    "<r><t>char the </t></r><r><rPr><b/></rPr><t>leeks</t></r>",
    '<t>葱</t><rPh sb="0" eb="1"><t>ねぎ</t></rPh><phoneticPr fontId="0"/>',
    "<t/>",
    "",
)


def workbook(rows: str, *, after: str = "", texts: Sequence[str] = TEXTS, first: str = "") -> bytes:
    """A workbook with these rows, the formats above as its cell formats, and shared texts."""
    listed = "".join(
        f"<numFmt numFmtId={quoteattr(str(number))} formatCode={quoteattr(code)}/>"
        for number, code in enumerate(FORMATS, 164)
    )
    formats = "".join(f'<xf numFmtId="{n}"/>' for n, _ in enumerate(FORMATS, 164))
    parts = with_part(
        plain(), "xl/sharedStrings.xml",
        f'<sst xmlns="{MAIN}">{"".join(f"<si>{text}</si>" for text in texts)}</sst>'.encode(),
        f"{SHEETML}.sharedStrings+xml", source="xl/workbook.xml", relation="sharedStrings",
    )  # fmt: skip
    styles = STYLES.replace("<fonts", f"<numFmts>{listed}</numFmts><fonts", 1)
    own = f'<cellXfs>{formats}<xf numFmtId="14"/></cellXfs>'
    parts["xl/styles.xml"] = re.sub("<cellXfs.*</cellXfs>", own, styles).encode()
    book = parts["xl/workbook.xml"].decode()
    parts["xl/workbook.xml"] = book.replace("<sheets>", first + "<sheets>").encode()
    parts["xl/worksheets/sheet1.xml"] = sheet(rows, after=after)
    return zipped(parts)


NUMBERS = ("0", "3", "0.5", "0.04166666666666666", "1.5", "59", "60", "61", "47978", "47978.4375")
MORE = ("-2", "1E3", "1e-3", "0.1", "3000000", "12345678901234567890", "2.5E+2", " 7 ")
SPELLED_DAYS = ("2031-05-10", "2031-05-10T10:05:00", "2031-05-10T10:05:00.250Z", "10:05:00")
VALUES = st.one_of(
    st.tuples(st.sampled_from(["", ' t="n"']), st.sampled_from(NUMBERS + MORE)),
    st.tuples(st.just(' t="s"'), st.integers(0, len(TEXTS) - 1).map(str)),
    st.tuples(st.just(' t="str"'), st.sampled_from(["leek", "a &lt; b", "é", ""])),
    st.tuples(st.just(' t="b"'), st.sampled_from("01")),
    st.tuples(st.just(' t="e"'), st.sampled_from(["#DIV/0!", "#VALUE!", "#N/A"])),
    st.tuples(st.just(' t="d"'), st.sampled_from(SPELLED_DAYS)),
).map(lambda one: (one[0], f"<v>{one[1]}</v>"))
NOTHING = st.sampled_from([("", ""), ("", "<v/>"), (' t="s"', ""), (' t="inlineStr"', "")])
FORMULAS = st.sampled_from(
    [
        *("", "", "", "<f>A1*2</f>", "<f/>", '<f ca="1">NOW()</f>'),
        *('<f t="array" ref="A1:B2">A1:B2*2</f>', '<f t="shared" si="0"/>'),
        '<f t="shared" ref="A1:E9" si="0">$J$20+1</f>',
    ]
)


@st.composite
def cells(draw: st.DrawFn, row: int, column: int, usual: bool) -> str:
    """A cell, spelled as most programs do or in another lawful way."""
    texts = TEXTS[:3] if usual else TEXTS
    inline = st.sampled_from(texts).map(lambda text: (' t="inlineStr"', f"<is>{text}</is>"))
    kind, content = draw(st.one_of(VALUES, VALUES, inline, NOTHING))
    formula = draw(FORMULAS) if "inlineStr" not in kind else ""
    style = draw(st.sampled_from(["", "", *(f' s="{n}"' for n in range(len(FORMATS) + 1))]))
    said = [f' r="{address(row, column)}"', style, kind]
    if usual:
        return f"<c{''.join(said)}>{formula}{content}</c>"
    space = draw(st.sampled_from(["", "", "\n  ", "<!-- ours -->"]))
    content = content.replace("leek", draw(st.sampled_from(["leek", "l&#233;ek", "<![CDATA[l]]>"])))
    return f"<c{''.join(draw(st.permutations(said)))}>{space}{formula}{content}</c>"


@st.composite
def sheets(draw: st.DrawFn) -> bytes:
    """A workbook with a sheet at random: rows and cells in any order, merged and hidden ones."""
    rows, usual = [], draw(st.booleans())
    for row in draw(st.lists(st.integers(1, 9), unique=True, max_size=5)):
        columns = draw(st.lists(st.integers(1, 5), unique=True, max_size=5))
        inside = "".join(draw(cells(row, column, usual)) for column in columns)
        hidden = draw(st.sampled_from(["", "", ' hidden="1"', ' hidden="0"', ' ht="20"']))
        rows.append(f'<row r="{row}"{hidden}>{inside}</row>')
    merged = draw(st.sampled_from(["", "A1:B2", "B2:B9", "A3:E3"]))
    after = f'<mergeCells><mergeCell ref="{merged}"/></mergeCells>' if merged else ""
    first = draw(st.sampled_from(["", '<workbookPr date1904="1"/>']))
    data = workbook("".join(rows), after=after, first=first)
    return in_strict(data) if draw(st.booleans()) else data


@settings(max_examples=examples(400))
@given(sheets())
def test_sheet_at_random__is_read_as_openpyxl_reads_it(data: bytes) -> None:
    assert differences(data) == []


@pytest.mark.parametrize("name", sorted(ZOO))
def test_zoo__is_read_as_openpyxl_reads_it(name: str) -> None:
    assert differences(ZOO[name]()) == []


@settings(max_examples=examples(40))
@given(packages())
def test_package_at_random__is_read_as_openpyxl_reads_it(made: Made) -> None:
    assert differences(made.data) == []


@pytest.mark.parametrize("name", sorted(MAKERS))
def test_workbook_with_results__is_read_as_openpyxl_reads_it_after_edits(name: str) -> None:
    """The result sheets too, whose cells are formulas with a value of every type."""
    data = with_formulas(name)[0]
    for one in (MAKERS[name](), data, edited(data, 1)):
        assert differences(one) == []


@settings(max_examples=examples(20))
@given(any_shoot())
def test_any_shoot__is_read_as_openpyxl_reads_it(shoot: costing.Shoot) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "plan.xlsx")
        costing.write_workbook(path, shoot)
        costing.write_results(path, costing.estimate(shoot))
        assert differences(path.read_bytes()) == []


@pytest.mark.parametrize("name", ["demo", "brunch", "usual"])
def test_saved_by_libreoffice__is_read_as_openpyxl_reads_it(name: str, office: Office) -> None:
    data = usual() if name == "usual" else with_formulas(name)[0]
    assert differences(office.edited(data, calculated=True)) == []


def by_calamine(data: bytes) -> dict[str, object]:
    """What the first sheet shows, as calamine reads it."""
    rows = load_workbook(io.BytesIO(data)).get_sheet_by_index(0).to_python(skip_empty_area=False)
    return {
        address(number, column): value
        for number, row in enumerate(rows, 1)
        for column, value in enumerate(row, 1)
        if value != ""
    }


@settings(max_examples=examples(100))
@given(sheets())
def test_sheet_at_random__is_read_as_calamine_reads_it(data: bytes) -> None:
    """Numbers, texts and truth values; it gives no errors, and dates of 1900 in its own way.

    All numbers are floats to it, it refuses one with blanks around it, and blanks at the ends of a
    piece of text are left out by it unless they are said to be meant.
    """
    assume(b"<v> 7 </v>" not in parts_of(data)["xl/worksheets/sheet1.xml"])
    ours, theirs = shown(data)["Recipes"], by_calamine(data)
    for at, value in ours.items():
        if isinstance(value, int) and not isinstance(value, bool):
            assert theirs.get(at, "") == float(value), at
        elif isinstance(value, bool | float):
            assert theirs.get(at, "") == value, at
        elif isinstance(value, str) and value[:1] != "#":
            assert "".join(str(theirs.get(at, "")).split()) == "".join(value.split()), at


ROW = '<row r="1">%s</row>'


@pytest.mark.parametrize(
    ("rows", "cells"),
    [
        pytest.param("<row><c><v>1</v></c><c/><c><v>2</v></c></row><row><c><v>3</v></c></row>",
                     {"A1": 1, "C1": 2, "A2": 3}, id="no addresses"),
        pytest.param('<row r="4"><c r="C4"><v>1</v></c><c><v>2</v></c></row>',
                     {"C4": 1, "D4": 2}, id="some addresses"),
        pytest.param(ROW % '<c r="B1"><v>1</v></c><c r="A1"><v>2</v></c>', {"A1": 2, "B1": 1},
                     id="out of order"),
        pytest.param(ROW % '<c r="A1"><v>1</v></c><c r="A1"><v>2</v></c>', {"A1": 2},
                     id="twice: the later one"),
        pytest.param(ROW % '<c r="A1"><v>1</v></c><c r="A1" s="1"/>', {"A1": 1},
                     id="twice: a blank one takes nothing away"),
        pytest.param(ROW % '<c r="A1" t="b"><v>true</v></c><c r="B1" t="b"><v>false</v></c>',
                     {"A1": True, "B1": False}, id="truth in words"),
        pytest.param(ROW % '<c r="A1" s="2"><v>3000000</v></c>', {"A1": NO_DATE}, id="no date"),
        pytest.param(ROW % '<c r="A1" t="d"><v>PT25H30M</v></c>',
                     {"A1": timedelta(hours=25, minutes=30)}, id="a length of time"),
    ],
)  # fmt: skip
def test_cell__spelled_as_few_programs_do(rows: str, cells: dict[str, object]) -> None:
    assert shown(workbook(rows))["Recipes"] == cells


@pytest.mark.parametrize(
    "behind",
    [
        '<!--<c r="A1"><v>9</v></c>-->',
        '<?price <c r="A1"><v>9</v></c>?>',
        '<extLst><ext uri="urn:example"><c r="A1"><v>9</v></c></ext></extLst>',
    ],
)
def test_cell__behind_the_rows_is_none(behind: str) -> None:
    assert shown(workbook(ROW % '<c r="A1"><v>1</v></c>', after=behind)) == {"Recipes": {"A1": 1}}


@pytest.mark.parametrize("spelled", ['<c r="A1" s="99"></c>', '<c  r="A1" s="99"/>'])
def test_cell__a_blank_one_in_a_format_that_is_not_there(spelled: str) -> None:
    assert shown(workbook(ROW % spelled)) == {"Recipes": {}}


@pytest.mark.parametrize(
    ("spelled", "meant"),
    [
        pytest.param("_xD83C__xDF72_", "\N{POT OF FOOD}", id="two halves of a sign"),
        pytest.param("leek_xD83C_", "leek\ufffd", id="a half alone"),
        pytest.param("_x001B_[2Jleek", "\ufffd[2Jleek", id="what would clear the screen"),
        pytest.param("\x9b2Jleek", "\ufffd2Jleek", id="the same in one sign"),
    ],
)
def test_cell__signs_that_nobody_sees(spelled: str, meant: str) -> None:
    data = workbook(ROW % '<c r="A1" t="s"><v>0</v></c>', texts=[f"<t>{spelled}</t>"])
    assert shown(data)["Recipes"] == {"A1": meant}


@pytest.mark.parametrize("spelled", ["<t>%s</t>", "<r><t>%s</t></r>"])
def test_cell__a_long_text_in_many_pieces(spelled: str) -> None:
    """Put together once, and not once more for each piece."""
    inside = spelled % "leek" * 2000
    cells = f'<c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is>{inside}</is></c>'
    assert shown(workbook(ROW % cells, texts=[inside]))["Recipes"] == {
        "A1": "leek" * 2000,
        "B1": "leek" * 2000,
    }


def test_shared_texts__what_is_between_them_is_none() -> None:
    data = workbook(ROW % '<c r="A1" t="s"><v>0</v></c>', texts=["<t>leek</t>"])
    parts = parts_of(data)
    strings = "xl/sharedStrings.xml"
    parts[strings] = parts[strings].replace(b"<si>", b"<t>tart</t><si>")
    assert shown(zipped(parts)) == shown(data) == {"Recipes": {"A1": "leek"}}


def test_number_format__is_judged_by_as_much_of_it_as_a_program_takes() -> None:
    """Brackets that do not close would be looked for to the end, from each of them."""
    assert number_format("yyyy" + "[" * 100_000).dated
    assert not number_format("0" * LONGEST_CODE + "yyyy").dated


def test_worksheet__many_merged_ranges_beside_many_rows() -> None:
    """Rows are not gone through again for each of the ranges."""
    numbers = range(1, 20_001)
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in numbers)
    merged = "".join(f'<mergeCell ref="B{n}:C{n}"/>' for n in numbers)
    merged += '<mergeCell ref="A1:A9"/>'
    (found,) = read(workbook(rows, after=f"<mergeCells>{merged}</mergeCells>"))
    assert list(found.rows) == [1, *range(10, 20_001)]
    assert len(found.merged) == 20_001


def test_worksheet__two_tabs_that_lead_to_one_part() -> None:
    parts = parts_of(workbook(ROW % '<c r="A1"><v>1</v></c>'))
    again = b'<sheet name="Again" sheetId="9" state="hidden" r:id="rId1"/></sheets>'
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b"</sheets>", again)
    one, other = read(zipped(parts))
    assert (one.title, one.hidden, other.title, other.hidden) == ("Recipes", False, "Again", True)
    assert other.rows is one.rows


@pytest.mark.parametrize(("spelled", "meant"), [("a_x000D_b", "a\rb"), ("_x005F_x41_", "_x41_")])
def test_cell__signs_that_are_escaped(spelled: str, meant: str) -> None:
    """What XML cannot hold, and what looks like it: ISO/IEC 29500-1, 22.9.2.19.

    openpyxl 3.1 gives the first as it is spelled.
    """
    data = workbook(
        ROW % f'<c r="A1" t="s"><v>0</v></c><c r="B1" t="str"><v>{spelled}</v></c>'
        f'<c r="C1" t="inlineStr"><is><t>{spelled}</t></is></c>',
        texts=[f"<t>{spelled}</t>"],
    )
    assert shown(data)["Recipes"] == {"A1": meant, "B1": meant, "C1": meant}
    assert by_calamine(data)["A1"] == meant


def test_cell__a_link_on_a_blank_one_is_no_value() -> None:
    """Programs show such a cell blank; openpyxl gives the address."""
    links = '<hyperlinks><hyperlink ref="B1" location="Recipes!A1"/></hyperlinks>'
    data = workbook(ROW % '<c r="A1"><v>1</v></c><c r="B1"/>', after=links)
    assert shown(data)["Recipes"] == by_calamine(data) == {"A1": 1}


def test_cell__a_shared_formula_that_leads_off_the_sheet() -> None:
    """Openpyxl opens no workbook with one; what was stored with it is read."""
    row = '<row r="%d"><c r="A%d"><f t="shared"%s</f><v>%d</v></c></row>'
    rows = row % (2, 2, ' ref="A1:A2" si="0">B1', 8) + row % (1, 1, ' si="0">', 9)
    assert shown(workbook(rows))["Recipes"] == by_calamine(workbook(rows)) == {"A1": 9, "A2": 8}


@pytest.mark.parametrize(
    ("cell", "where"),
    [
        ('<c r="A1" t="s"><v>99</v></c>', "'Recipes!A1: \"99\" as a cell of the type s'"),
        ('<c r="A1" t="s"><v>-1</v></c>', "'Recipes!A1: \"-1\" as a cell of the type s'"),
        ('<c r="A1" s="99"><v>1</v></c>', "'Recipes!A1: \"1\" in a format that is not there'"),
        ('<c r="A1"><v>1x</v></c>', "'Recipes!A1: \"1x\" as a cell of the type n'"),
        ('<c r="A1"><v>1e999</v></c>', "'Recipes!A1: \"1e999\" as a cell of the type n'"),
        ('<c r="A1" t="b"><v>maybe</v></c>', "'Recipes!A1: \"maybe\" as a cell of the type b'"),
        ('<c r="A1"><v>1_0</v></c>', "'Recipes!A1: \"1_0\" as a cell of the type n'"),
        ('<c  r="A1"><v>٣</v></c>', "'Recipes!A1: \"٣\" as a cell of the type n'"),
        ('<c r="A1" t="d"><v>soon</v></c>', "'Recipes!A1: \"soon\" as a cell of the type d'"),
        ('<c r="A1" t="d"><v>2031-05-10 or so</v></c>',
         "'Recipes!A1: \"2031-05-10 or so\" as a cell of the type d'"),
        ('<c r="A1" t="d"><v>PT9999999999999999H</v></c>',
         "'Recipes!A1: \"PT9999999999999999H\" as a cell of the type d'"),
        (f'<c r="A1"><v>{"x" * 500}</v></c>',
         f"'Recipes!A1: \"{'x' * 80}\" as a cell of the type n'"),
    ],
)  # fmt: skip
def test_cell__that_says_what_no_program_can_mean(cell: str, where: str) -> None:
    with pytest.raises(Unreadable) as fault:
        read(workbook(ROW % cell))
    assert repr(str(fault.value)) == where


def test_read_workbook__cells_at_the_end_of_a_sheet_are_read_past(tmp_path: Path) -> None:
    """The last cell of every sheet is filled in; nothing between is built."""
    path = tmp_path / "plan.xlsx"
    path.write_bytes(usual())
    shoot, _ = costing.read_workbook(path)
    last = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    parts = parts_of(usual())
    pages = {name: c for name, c in parts.items() if name.startswith("xl/worksheets/sheet")}
    far_pages = {name: c.replace(b"</sheetData>", last) for name, c in pages.items()}
    path.write_bytes(zipped(parts | far_pages))
    far, _ = costing.read_workbook(path)
    assert far == shoot


def test_strict_workbook__is_read_as_the_same_shoot_and_stays_strict(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(usual())
    shoot, _ = costing.read_workbook(path)
    path.write_bytes(in_strict(usual()))
    read, findings = costing.read_workbook(path)
    assert read == shoot
    costing.write_results(path, costing.estimate(read), findings)
    parts = parts_of(path.read_bytes())
    mixed = [
        name
        for name, content in parts.items()
        if b"schemas.openxmlformats.org/spreadsheetml" in content
        or b"schemas.openxmlformats.org/drawingml" in content
        or b"schemas.openxmlformats.org/officeDocument/2006/relationships" in content
    ]
    assert mixed == []
    chart = next(content for name, content in parts.items() if "charts/chart2" in name)
    assert b'<c:gapWidth val="45%"/>' in chart


def test_strict_workbook__days_written_as_iso_8601(tmp_path: Path) -> None:
    """Programs that save as Strict may write a day as the cell type d; the shoot is the same."""
    parts = parts_of(in_strict(usual()))
    page = "xl/worksheets/sheet7.xml"
    text = parts[page].decode()
    assert "<v>47978</v>" in text  # 10 May 2031
    cell = text.index("<v>47978</v>")
    start = text.rindex("<c ", 0, cell)
    text = text[:start] + text[start:].replace("<c ", '<c t="d" ', 1)
    parts[page] = text.replace("<v>47978</v>", "<v>2031-05-10</v>").encode()
    path = tmp_path / "plan.xlsx"
    path.write_bytes(zipped(parts))
    shoot, _ = costing.read_workbook(path)
    assert str(shoot.episodes[0].shoot_date) == "2031-05-10"


def repeated(name: str, content: bytes, *, parts: dict[str, bytes]) -> bytes:
    """A package in which a name stands once more behind the others."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for one, old in parts.items():
            archive.writestr(one, old)
        with pytest.warns(UserWarning, match="Duplicate name"):
            archive.writestr(name, content)
    return file.getvalue()


def gated(data: bytes) -> Package:
    return open_gate(data, name="plan.xlsx")


def test_part_twice__the_later_one_is_read_and_written_and_a_warning_says_so(
    tmp_path: Path,
) -> None:
    """So do LibreOffice 7.4, openpyxl 3.1, calamine 0.9, ironcalc 0.9 and formualizer 0.13."""
    parts = parts_of(usual())
    name = "xl/sharedStrings.xml"
    path = tmp_path / "plan.xlsx"
    path.write_bytes(repeated(name, parts[name].replace(b"leek soup", b"leek stew"), parts=parts))
    shoot, findings = costing.read_workbook(path)
    assert [dish.name for dish in shoot.dishes] == ["leek stew"]
    assert [str(one) for one in findings if one.code == "part twice"] == [
        "'plan.xlsx': found two different parts named 'xl/sharedStrings.xml' inside the file, "
        "expected each part once [part twice]\n"
        "  The later one was read, as spreadsheet programs do, and only that one is written. Open "
        "the workbook in yours, look it over and save it under a new name as .xlsx."
    ]
    costing.write_results(path, costing.estimate(shoot), findings)
    assert b"leek stew" in parts_of(path.read_bytes())[name]
    assert open_gate(path.read_bytes()).twice == ()


def test_part_twice__the_same_content_twice_is_not_worth_a_word() -> None:
    parts = plain()
    assert gated(repeated("xl/styles.xml", parts["xl/styles.xml"], parts=parts)).twice == ()


def test_names_that_differ_in_capitals_only__the_one_as_spelled_is_meant() -> None:
    """So do four of the five readers; both parts stay."""
    other = sheet('<row r="1"><c r="A1"><v>9</v></c></row>')
    parts = plain() | {"xl/worksheets/SHEET1.xml": other}
    assert shown(zipped(parts)) == {"Recipes": {"A1": "Dish", "A2": "leek tart", "B2": 3}}
    after = parts_of(splice(zipped(parts), [to_buy()]).data)
    assert after["xl/worksheets/SHEET1.xml"] == other
    assert after["xl/worksheets/sheet1.xml"] == parts["xl/worksheets/sheet1.xml"]


def test_remark_on_the_whole_file__is_kept() -> None:
    file = io.BytesIO(zipped(plain()))
    with zipfile.ZipFile(file, "a") as archive:
        archive.comment = b"from the market"
    with zipfile.ZipFile(io.BytesIO(splice(file.getvalue(), [to_buy()]).data)) as archive:
        assert archive.comment == b"from the market"


def test_workbook_damaged__sheets_of_neither_class() -> None:
    text = plain()["xl/workbook.xml"].replace(MAIN.encode(), b"urn:example:sheets")
    with pytest.raises(Refused, match="no workbook in the part"):
        gated(zipped(plain() | {"xl/workbook.xml": text}))


def test_table_whose_part_is_missing__its_cells_are_read() -> None:
    table = b'<table xmlns="%s" id="1" name="t" displayName="t" ref="A1:A2"/>' % MAIN.encode()
    parts = with_part(
        plain(), "xl/tables/table1.xml", table, "application/xml",
        source="xl/worksheets/sheet1.xml", relation="table",
    )  # fmt: skip
    assert [len(one.tables) for one in read(zipped(parts))] == [1]
    del parts["xl/tables/table1.xml"]
    assert [len(one.tables) for one in read(zipped(parts))] == [0]
    assert shown(zipped(parts)) == shown(zipped(plain()))
