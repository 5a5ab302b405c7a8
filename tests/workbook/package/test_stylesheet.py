"""Formats: looked up by what they do, appended once, in whatever stylesheet there is."""

from __future__ import annotations

import io
import re
from typing import Any

import openpyxl
import pytest
from blocks import HEADING, MONEY
from openpyxl.styles import PatternFill
from packages import DECLARATION, MAIN, STYLES, plain, sheet, zipped
from soundness import faults

from costing.workbook.package.cellxml import CellStyle
from costing.workbook.package.stylesheet import MINIMAL, Stylesheet, canonical
from costing.workbook.package.xmlparts import Document


def test_stylesheet__looks_up_before_it_appends() -> None:
    styles = Stylesheet(STYLES.encode())
    numbers = [styles.number(style) for style in (HEADING, MONEY, HEADING, CellStyle())]
    assert numbers == [1, 2, 1, 0]
    again = Stylesheet(styles.result())
    assert [again.number(style) for style in (MONEY, HEADING)] == [2, 1]
    assert again.result() == styles.result()


def test_stylesheet__takes_the_workbooks_own_font_as_the_base() -> None:
    styles = Stylesheet(STYLES.encode())
    styles.number(CellStyle(bold=True, font_colour="1F3A4D", font_size=14))
    font = (
        '<font><b/><sz val="14"/><color rgb="FF1F3A4D"/><name val="Arial"/><family val="2"/></font>'
    )
    assert (
        f'<fonts count="2">{STYLES[STYLES.index("<font>") : STYLES.index("</fonts>")]}{font}'
        in (styles.result().decode())
    )


def test_stylesheet__counts_what_alternatives_come_to() -> None:
    """Two cell formats in one fallback: what is appended is the third, and theirs can be found."""
    first = STYLES[STYLES.index("<cellXfs") : STYLES.index("</cellXfs>")].partition(">")[2]
    alternatives = (
        '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
        f'<mc:Choice Requires="own" xmlns:own="urn:own">{first}{first}</mc:Choice><mc:Fallback>'
        f'{first}<xf numFmtId="2" fontId="0" fillId="0" borderId="0" xfId="0"/></mc:Fallback>'
        "</mc:AlternateContent>"
    )
    styles = Stylesheet(STYLES.replace(first, alternatives).encode())
    assert (styles.count, styles.number(HEADING), styles.number(CellStyle())) == (2, 2, 0)
    assert styles.number(CellStyle(number_format="0.00")) == 1


LOOSE = (
    '<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    '<numFmts count="1"><numFmt numFmtId="170" formatCode="0.000"/></numFmts>'
    '<fonts count="2"><font><sz val="10"/><name val="Arial"/></font>'
    '<font><name val="Arial"/><i val="false"/><b val="true"/><sz val="10"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill>'
    '<fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border diagonalUp="false"><left/></border></borders>'
    '<cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>'
    '<xf numFmtId="170" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="%s" '
    'applyBorder="false" applyAlignment="true"><alignment horizontal="general" wrapText="true" '
    'textRotation="0"/><protection locked="true" hidden="false"/></xf></cellXfs></styleSheet>'
)


def test_stylesheet__a_new_format_is_of_a_named_style_only_where_there_are_any() -> None:
    """ISO/IEC 29500-1, 18.8.45: xfId counts in the list of named styles, which may be left out."""
    for given, said in ((STYLES, [' xfId="0"']), (LOOSE % "1", [])):
        styles = Stylesheet(given.encode())
        styles.number(CellStyle(italic=True))
        added = styles.result().decode().partition("</cellXfs>")[0].rpartition("<xf ")[2]
        assert re.findall(r' xfId="[^"]*"', added) == said


@pytest.mark.parametrize(("applied", "number"), [("true", 1), ("1", 1), ("0", 2), ("false", 2)])
def test_stylesheet__alike_in_effect_is_alike(applied: str, number: int) -> None:
    """Only a part that is there and said not to apply makes a difference."""
    styles = Stylesheet((LOOSE % applied).encode())
    assert styles.number(CellStyle(number_format="0.000", bold=True, wrap=True)) == number


@pytest.mark.parametrize(
    "style",
    [
        CellStyle(number_format='#,##0.00 "x"'),
        CellStyle(italic=True),
        CellStyle(fill_colour="DDE6ED", fill_pattern="lightUp"),
        CellStyle(border_top="thin", border_bottom="medium", border_colour="808080"),
        CellStyle(border_bottom="hair"),
        CellStyle(border_sides="hair"),
        CellStyle(align="right", valign="top", wrap=True, indent=2),
        CellStyle(quote_prefix=True),
        CellStyle(number_format="0%"),
    ],
)
@pytest.mark.parametrize("sheet_of_styles", [STYLES.encode(), MINIMAL, LOOSE.encode() % b"1"])
def test_stylesheet__every_style_is_found_again(style: CellStyle, sheet_of_styles: bytes) -> None:
    styles = Stylesheet(sheet_of_styles)
    number = styles.number(style)
    again = Stylesheet(styles.result())
    assert again.number(style) == number != again.number(CellStyle())
    assert again.result() == styles.result()


EMPTY = f'<styleSheet xmlns="{MAIN}"/>'
PREFIXED = f'<x:styleSheet xmlns:x="{MAIN}"><x:fonts count="0"/></x:styleSheet>'


def looks(styles: Stylesheet, *numbers: int) -> list[Any]:
    """Cells with formats of these numbers, as openpyxl reads them from a workbook."""
    cells = "".join(
        f'<c r="{"ABCDEFGH"[n]}1" s="{one}"><v>1</v></c>' for n, one in enumerate(numbers)
    )
    parts = plain() | {
        "xl/styles.xml": styles.result(),
        "xl/worksheets/sheet1.xml": sheet(f'<row r="1">{cells}</row>'),
    }
    data = zipped(parts)
    assert set(faults(data)) <= {"not calculated on opening"}  # nothing to be calculated
    return list(openpyxl.load_workbook(io.BytesIO(data)).worksheets[0][1])


WITHOUT_NAMES = pytest.mark.filterwarnings("ignore:Workbook contains no default style")
"""Named styles may be left out; openpyxl says so."""


@WITHOUT_NAMES
@pytest.mark.parametrize("part", [EMPTY, PREFIXED, STYLES, MINIMAL.decode()])
def test_number__a_cell_looks_as_its_style_says(part: str) -> None:
    """Whatever was there; the first format of all stays that of a cell without any."""
    styles = Stylesheet(part.encode())
    style = CellStyle(
        number_format='0.00 "x"',
        bold=True,
        font_colour="1F3A4D",
        font_size=14,
        fill_colour="DDE6ED",
        border_top="thin",
        border_sides="hair",
        border_colour="808080",
        align="right",
        wrap=True,
        indent=2,
    )
    plain_cell, cell, money, percent = looks(
        styles,
        *(styles.number(one) for one in (CellStyle(), style, MONEY, CellStyle(number_format="0%"))),
    )
    assert (plain_cell.font.bold, plain_cell.number_format) == (False, "General")
    assert (plain_cell.fill.patternType, plain_cell.border.top.style) == (None, None)
    assert (cell.number_format, cell.font.bold, cell.font.italic) == ('0.00 "x"', True, False)
    assert (cell.font.size, cell.font.color.rgb) == (14, "FF1F3A4D")
    assert (cell.fill.patternType, cell.fill.fgColor.rgb) == ("solid", "FFDDE6ED")
    sides = [getattr(cell.border, side) for side in ("top", "left", "right", "bottom")]
    assert [side.style for side in sides] == ["thin", "hair", "hair", None]
    assert {side.color.rgb for side in sides[:3]} == {"FF808080"}
    alignment = cell.alignment
    assert (alignment.horizontal, alignment.wrapText, alignment.indent) == ("right", True, 2)
    assert [one.number_format for one in (money, percent)] == ["0.00", "0%"]
    assert money.alignment.horizontal is None


def test_number__formats_of_its_own_have_numbers_from_164_on() -> None:
    """ISO/IEC 29500-1, 18.8.30: those below belong to the programs; one there is not used twice."""
    listed = '<numFmts count="1"><numFmt numFmtId="170" formatCode="0.0"/></numFmts><fonts'
    for part, numbers in ((STYLES, [164, 165]), (STYLES.replace("<fonts", listed, 1), [171, 172])):
        styles = Stylesheet(part.encode())
        for code in ("0.000", "0.00", "0.0000", "0.000"):
            styles.number(CellStyle(number_format=code))
        root = Document(styles.result()).root
        found = root.child("numFmts")
        assert found is not None
        own = [int(one.attributes["numFmtId"]) for one in found.all("numFmt")]
        assert own[-2:] == numbers
        assert int(found.attributes["count"]) == len(own)


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ('<xf numFmtId="0"/>', "<xf/>", True),
        ('<xf fontId="1"/>', "<xf/>", False),
        ('<xf><protection locked="true"/></xf>', "<xf/>", True),
        ('<xf><protection locked="0"/></xf>', "<xf/>", False),
        ('<xf><alignment wrapText="TRUE"/></xf>', '<xf><alignment wrapText="1"/></xf>', True),
        ("<font><b/><i/></font>", '<font><i val="1"/><b val="true"/></font>', True),
        ('<font><b val="0"/></font>', "<font/>", True),
        ('<font><sz val="10"/></font>', "<font/>", False),
        ('<font><color rgb="ff00aa11"/></font>', '<font><color rgb="FF00AA11"/></font>', True),
        ("<border><left/><top/></border>", "<border/>", True),
        ('<border><left style="thin"/></border>', "<border/>", False),
        (
            '<fill><patternFill patternType="solid"><fgColor rgb="FF0A0A0A"/>'
            '<bgColor indexed="64"/></patternFill></fill>',
            '<fill><patternFill patternType="solid"><fgColor rgb="FF0A0A0A"/></patternFill></fill>',
            True,
        ),
        (
            '<fill><patternFill patternType="lightUp"><bgColor indexed="64"/></patternFill></fill>',
            '<fill><patternFill patternType="lightUp"/></fill>',
            False,
        ),
    ],
)
def test_canonical__what_is_alike_in_effect_is_equal(one: str, other: str, *, alike: bool) -> None:
    """Defaults may be left out, yes is 1 or true, and pieces of a font stand in any order."""
    both = [canonical(Document(text.encode()).root) for text in (one, other)]
    assert (both[0] == both[1]) is alike


@WITHOUT_NAMES
@pytest.mark.parametrize("part", [EMPTY, PREFIXED, STYLES])
@pytest.mark.parametrize("before", [STYLES.encode(), PREFIXED.encode()])
def test_like__a_format_of_another_workbook_looks_the_same_here(part: str, before: bytes) -> None:
    other = Stylesheet(before)
    numbers = [other.number(style) for style in (HEADING, MONEY, CellStyle(number_format='0 "x"'))]
    other = Stylesheet(other.result())
    styles = Stylesheet(part.encode())
    found = [styles.like(other, number) for number in numbers]
    assert [styles.like(other, number) for number in numbers] == found
    heading, money, own = looks(styles, *found)
    assert (heading.font.bold, heading.fill.fgColor.rgb) == (True, "FFDDE6ED")
    assert heading.border.bottom.style == "thin"
    assert [money.number_format, own.number_format] == ["0.00", '0 "x"']


def test_difference__what_a_condition_lays_over_a_cell() -> None:
    """A solid fill of a condition has its colour behind, a pattern in front (18.8.14, 18.8.32)."""
    styles = Stylesheet(STYLES.encode())
    wanted = [
        CellStyle(bold=True, italic=True, font_colour="6B6B6B"),
        CellStyle(fill_colour="DDE6ED"),
        CellStyle(fill_colour="DDE6ED", fill_pattern="lightUp"),
        CellStyle(),
    ]
    assert [styles.difference(style) for style in (*wanted, *wanted)] == [0, 1, 2, 3, 0, 1, 2, 3]
    rules = "".join(
        f'<conditionalFormatting sqref="A{n + 1}"><cfRule type="expression" dxfId="{n}" '
        f'priority="{n + 1}"><formula>TRUE</formula></cfRule></conditionalFormatting>'
        for n in range(4)
    )
    parts = plain() | {
        "xl/styles.xml": styles.result(),
        "xl/worksheets/sheet1.xml": sheet("", after=rules),
    }
    page = openpyxl.load_workbook(io.BytesIO(zipped(parts))).worksheets[0]
    font, solid, pattern, nothing = (
        rule.dxf for one in page.conditional_formatting for rule in one.rules
    )
    assert (font.font.b, font.font.i, font.font.color.rgb) == (True, True, "FF6B6B6B")
    assert isinstance(solid.fill, PatternFill)
    assert (solid.fill.bgColor.rgb, solid.font) == ("FFDDE6ED", None)
    assert (pattern.fill.patternType, pattern.fill.fgColor.rgb) == ("lightUp", "FFDDE6ED")
    assert (nothing.font, nothing.fill) == (None, None)


def test_result__is_the_part_as_it_was_where_nothing_is_added() -> None:
    text = (DECLARATION + STYLES).encode()
    styles = Stylesheet(text)
    assert styles.number(CellStyle()) == 0
    assert styles.result() == text
