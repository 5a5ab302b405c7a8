"""Rows found by patterns are those that a parser finds, and attributes of other programs go."""

from __future__ import annotations

import re

import pytest
from blocks import LINES, to_buy
from hypothesis import given
from hypothesis import strategies as st
from packages import parts_of, plain, sheets_of, zipped
from soundness import faults
from zoo import ZOO

from costing.workbook.owned.splice import splice
from costing.workbook.package.sheetdata import Keep, parsed_rows
from costing.workbook.package.sheetrows import Unusual, plain_rows, read_rows
from costing.workbook.package.xmlparts import XmlFault, decoded

MAIN = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
HEIGHTS = b'xmlns:x14ac="http://schemas.microsoft.com/office/spreadsheetml/2009/9/ac"'


def sheet(rows: bytes, root: bytes = MAIN) -> bytes:
    return b"<worksheet " + root + b"><sheetData>" + rows + b"</sheetData></worksheet>"


CELLS = [
    b'<c r="A1"/>',
    b'<c r="A1" s="3"/>',
    b'<c r="AB1" s="3" t="s"><v>0</v></c>',
    b'<c r="A1" t="str"><f>A2&amp;"x"</f><v>salt &lt;</v></c>',
    b'<c r="A1"><f t="shared" ref="A1:A9" si="0">B1</f><v>1</v></c>',
    b'<c r="A1"><f t="shared" si="0"/><v>1</v></c>',
    b'<c r="A1"><f>B1</f></c>',
    b'<c r="A1"><v/></c>',
    b'<c r="A1"></c>',
    b'<c r="A1" t="inlineStr"><is><t>leek</t></is></c>',
    b'<c r="A1" t="inlineStr"><is><t xml:space="preserve"> leek\n</t></is></c>',
    '<c r="A1" t="str"><v>crème</v></c>'.encode(),
]

UNUSUAL = [
    b'<row r="1"><c r="A1"><v>&#x1F36F;</v></c></row>',
    b'<row r="1"><c r="A2"><v>1</v></c></row>',
    b'<row r="1"><c s="1" r="A1"/></row>',
    b"<row r=\"1\"><c r='A1'/></row>",
    b'<row r="1"><c><v>1</v></c></row>',
    b'<row><c r="A1"/></row>',
    b'<row r="1"> <c r="A1"/></row>',
    b'<row r="1"><c r="A1"><v>1</v><f>B1</f></c></row>',
    b'<row r="1"><c r="A1" t="inlineStr"><is><r><t>a</t></r></is></c></row>',
    b'<row r="1"><c r="A1"><v>a<!-- b --></v></c></row>',
    b'<row r="1"><c r="A1"><v><![CDATA[a]]></v></c></row>',
    b'<row r="1"><c r="A1"><v>a\r\nb</v></c></row>',
    b'<row r="1"><c r="A1"><is><t>a</t><rPh sb="0" eb="1"><t>b</t></rPh></is></c></row>',
    b'<row r="1"><x:c xmlns:x="other" r="A1"/></row>',
    b'<row r="1" xmlns="other"><c r="A1"/></row>',
]


@pytest.mark.parametrize("keep", ["all", "formulas", "none"])
def test_plain_rows__of_every_cell_that_is_spelled_as_usual(keep: Keep) -> None:
    own_row = re.compile(rb'r="([A-Z]+)1"')
    cells = [own_row.sub(rb'r="\g<1>%d"' % n, cell, count=1) for n, cell in enumerate(CELLS, 1)]
    rows = b"".join(b'<row r="%d" spans="1:2">%s</row>' % one for one in enumerate(cells, 1))
    data = sheet(rows + b'<row r="99" ht="20"/>')
    found = list(plain_rows(data, keep=keep))
    assert found == list(parsed_rows(data, keep=keep))
    assert len(found) == len(CELLS) + 1


def test_plain_rows__heights_of_another_namespace_need_no_parser() -> None:
    """So the commonest program writes every row: left to the parser they take several times as
    long.
    """
    data = sheet(b'<row r="1" x14ac:dyDescent="0.25"><c r="A1"/></row>', MAIN + b" " + HEIGHTS)
    assert list(plain_rows(data)) == list(parsed_rows(data))


@pytest.mark.parametrize("rows", UNUSUAL)
def test_plain_rows__what_is_spelled_otherwise_is_left_to_the_parser(rows: bytes) -> None:
    data = sheet(rows)
    with pytest.raises(Unusual):
        list(plain_rows(data))
    assert read_rows(data) == list(parsed_rows(data))


@pytest.mark.parametrize(
    "data",
    [
        b"<worksheet " + MAIN + b"><sheetData/></worksheet>",
        b'<x:worksheet xmlns:x="a"><sheetData></sheetData></x:worksheet>',
        sheet(b"").replace(b"</worksheet>", b'<row r="1"/></worksheet>'),
    ],
    ids=["no rows", "prefix", "a row elsewhere"],
)
def test_plain_rows__of_another_sheet_are_left_to_the_parser(data: bytes) -> None:
    with pytest.raises(Unusual):
        list(plain_rows(data))


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param(b'<row r="1"><c r="A1"><v>&salt;</v></c></row>', id="unknown entity"),
        pytest.param(b'<row r="1"><c r="A1"><v>a & b</v></c></row>', id="bare ampersand"),
        pytest.param(b'<row r="1"><c r="A1"><v>a]]>b</v></c></row>', id="end of a section"),
        pytest.param(b'<row r="1"><c r="A1"><v>\x07</v></c></row>', id="control byte"),
        pytest.param(b'<row r="1"><c r="A1"><v>\xe9</v></c></row>', id="not UTF-8"),
        pytest.param("<row r='1'><c r='A1'><v>\uffff</v></c></row>".encode(), id="no sign"),
        pytest.param(b'<row r="1" r="1"><c r="A1"/></row>', id="attribute twice"),
        pytest.param(b'<row r="1"><c r="A1"><f t="n" t="n">B1</f></c></row>', id="in a formula"),
        pytest.param(b'<row r="1" x:a="1"><c r="A1"/></row>', id="prefix of nothing"),
        pytest.param(b'<row r="1"><c r="A1"></row>', id="not closed"),
    ],
)
@pytest.mark.parametrize("keep", ["all", "formulas", "none"])
def test_plain_rows__what_is_not_well_formed_is_left_to_the_parser(rows: bytes, keep: Keep) -> None:
    """The gate rests on it: what patterns let pass, no parser looks at again."""
    with pytest.raises(Unusual):
        list(plain_rows(sheet(rows), keep=keep))
    with pytest.raises(XmlFault):
        list(parsed_rows(sheet(rows), keep=keep))


def test_parsed_rows__what_another_program_puts_inside_a_text_is_passed_over() -> None:
    """The text around it is one: half a formula would be another formula."""
    note = b'<y:note xmlns:y="other"/>'
    cell = b'<c r="A1"><f>B1' + note + b"*2</f><v>1" + note + b"4</v></c>"
    ((found,),) = [row.cells for row in parsed_rows(sheet(b'<row r="1">' + cell + b"</row>"))]
    assert (found.formula, found.text) == ("B1*2", "14")


@given(
    st.sampled_from([b'<row r="1" ht="3">' + cell + b"</row>" for cell in CELLS[:6]]),
    st.lists(st.tuples(st.integers(0, 400), st.binary(max_size=2)), max_size=3),
)
def test_plain_rows__what_a_parser_refuses_patterns_refuse(
    row: bytes, changes: list[tuple[int, bytes]]
) -> None:
    for at, new in changes:
        place = at % len(row)
        row = row[:place] + new + row[place + 1 :]
    try:
        found = list(plain_rows(sheet(row)))
    except Unusual:
        return
    assert found == list(parsed_rows(sheet(row)))


@pytest.mark.parametrize("name", ZOO)
def test_plain_rows__of_the_zoo_are_those_of_the_parser(name: str) -> None:
    parts = parts_of(splice(ZOO[name](), [to_buy()]).data)
    for part in sheets_of(parts).values():
        text = decoded(parts[part]).text
        assert read_rows(text) == list(parsed_rows(text))


@given(st.lists(st.sampled_from(CELLS + UNUSUAL + [b" ", b"</row>", b'<row r="2">', b"<"])))
def test_plain_rows__of_anything_well_formed_are_those_of_the_parser(pieces: list[bytes]) -> None:
    data = sheet(b'<row r="1">' + b"".join(pieces) + b"</row>")
    try:
        wanted = list(parsed_rows(data))
    except XmlFault:
        return
    assert read_rows(data) == wanted


@pytest.mark.parametrize("parsed", [False, True])
def test_kept_row__loses_what_another_program_says_of_it(*, parsed: bool) -> None:
    """A program writes its own attribute on every row; a note of the person's stands below."""
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    part = sheets_of(parts)["To buy"]
    note = b'<row r="9" ht="30" customHeight="1"><c r="B9" t="str"><v>ask</v></c></row></sheetData>'
    data = parts[part].replace(b"</sheetData>", note).replace(MAIN, MAIN + b" " + HEIGHTS, 1)
    parts[part] = re.sub(rb"<row ", rb'<row x14ac:dyDescent="0.25" ', data)
    if parsed:
        parts[part] = parts[part].replace(b"<sheetData>", b"<sheetData><!-- -->")
    again = splice(zipped(parts), [to_buy([*LINES, *LINES, *LINES])])
    assert faults(again.data) == []
    ((old, new),) = [(one.cell, one.now) for one in again.kept]
    assert old == "B9"
    written = parts_of(again.data)
    row = b'<row r="%d" ht="30" customHeight="1">' % int(new[1:])
    assert row in written[sheets_of(written)["To buy"]]
