"""Whatever else a workbook holds: other parts stay as they are, a second run does nothing."""

from __future__ import annotations

from fractions import Fraction

from blocks import Line, summary, to_buy
from budgets import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from packages import (
    PLAIN_TYPES,
    Parts,
    parts_of,
    plain,
    sheet,
    sheets_of,
    with_part,
    zipped,
)
from soundness import faults

from costing.workbook.owned.splice import splice

TOUCHED = {"[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml"}
SHEET_TYPE = PLAIN_TYPES["/xl/worksheets/sheet1.xml"]

DEFAULTS = "".join(
    f'<Default Extension="{ending}" ContentType="application/octet-stream"/>'
    for ending in ("bin", "png", "vml", "txt")
)

words = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=12)
letters = st.sampled_from(["A", "B", "F", "AA"])
folders = st.sampled_from(["customXml", "xl/media", "docProps", "xl/theme", "odd folder"])
endings = st.sampled_from(["bin", "xml", "png", "vml", "txt"])


def escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


@st.composite
def cells(draw: st.DrawFn, row: int) -> str:
    """A cell of any kind, in any of the usual spellings and in some unusual ones."""
    at = f"{draw(letters)}{row}"
    text = escaped(draw(words))
    number = draw(st.integers(-999, 999))
    return draw(
        st.sampled_from(
            [
                f'<c r="{at}" t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>',
                f'<c r="{at}"><v>{number}</v></c>',
                f"<c r=\"{at}\" t='str'><f>A1&amp;1</f><v>{text}</v></c>",
                f'<c r="{at}" s="0" t="b"><v>1</v></c>',
                f'<c r="{at}"><!-- a remark --><v>{number}</v></c>',
                f'<c r="{at}"/>',
            ]
        )
    )


@st.composite
def workbooks(draw: st.DrawFn) -> Parts:
    """The plain workbook with more sheets, and with parts that mean something to others only."""
    parts = plain()
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(
        b"<Override", DEFAULTS.encode() + b"<Override", 1
    )
    for number in range(2, draw(st.integers(1, 4)) + 2):
        rows = "".join(
            f'<row r="{row}" spans="1:9">{draw(cells(row))}</row>'
            for row in sorted(draw(st.sets(st.integers(1, 40), max_size=5)))
        )
        name = f"xl/worksheets/sheet{number}.xml"
        parts = with_part(
            parts, name, sheet(rows), SHEET_TYPE, source="xl/workbook.xml", relation="worksheet"
        )
        listed = (
            f'<sheet name="Sheet {number}" sheetId="{number}" r:id="rId{number + 1}"/></sheets>'
        )
        parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b"</sheets>", listed.encode())
    for number in range(draw(st.integers(0, 4))):
        name = f"{draw(folders)}/part{number}.{draw(endings)}"
        xml = f'<a xmlns="urn:{number}">{escaped(draw(words))}</a>'.encode()
        parts[name] = xml if name.endswith(("xml", "vml")) else draw(st.binary(max_size=200))
    return parts


names = st.lists(st.sampled_from(["leek", "cream", "salt", "egg"]), max_size=6, unique=True)


def lines(wanted: list[str]) -> list[Line]:
    return [(name, number, Fraction(number)) for number, name in enumerate(wanted, 1)]


@settings(max_examples=examples(60))
@given(workbooks(), names, names)
def test_splice__into_any_workbook_leaves_every_other_part(
    parts: Parts, first: list[str], then: list[str]
) -> None:
    before = zipped(parts)
    spliced = splice(before, [to_buy(lines(first)), summary()])
    for wanted in (first, then, then):
        again = splice(spliced.data, [to_buy(lines(wanted)), summary()])
        after = parts_of(again.data)
        assert {name: after.get(name) for name in parts if name not in TOUCHED} == {
            name: content for name, content in parts.items() if name not in TOUCHED
        }
        assert set(sheets_of(parts).items()) <= set(sheets_of(after).items())
        assert again.kept == ()
        assert again.edited == ()
        if wanted is not then:
            assert again.data == spliced.data
        spliced = again
    assert splice(spliced.data, [to_buy(lines(then)), summary()]).data == spliced.data
    assert faults(spliced.data, titles={"To buy", "Summary"}, before=parts) == []
