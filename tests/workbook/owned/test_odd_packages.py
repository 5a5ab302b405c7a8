"""Workbooks in odd but lawful packages: other folders and names, targets, packing, remarks."""

from __future__ import annotations

import io
import zipfile
from typing import NamedTuple

from blocks import LINES, to_buy
from hypothesis import given
from hypothesis import strategies as st
from packages import (
    DECLARATION,
    SHEET_1,
    SHEET_TYPE,
    STYLES,
    STYLES_TYPE,
    WORKBOOK_TYPE,
    Parts,
    parts_of,
    relations,
    sheets_of,
    types,
    workbook_xml,
)
from soundness import faults

from costing.workbook.owned.splice import splice
from costing.workbook.package.gate import open_gate


class Names(NamedTuple):
    """Where the parts stand, and how they are named in relationships and types."""

    folder: str
    workbook: str
    sheet: str
    styles: str
    absolute: bool
    capitals: bool


def case(name: str, *, capitals: bool) -> str:
    """A reference to a part: names do not tell capitals from small letters."""
    return name.upper() if capitals else name


def odd_parts(names: Names) -> Parts:
    """A workbook with one sheet."""
    workbook = names.folder + names.workbook
    root = "/" if names.absolute else ""
    inside = f"/{names.folder}" if names.absolute else ""
    named = f"/{case(workbook, capitals=names.capitals)}"
    listed = types(
        {
            named: WORKBOOK_TYPE,
            f"/{names.folder}{names.sheet}": SHEET_TYPE,
            f"/{names.folder}{names.styles}": STYLES_TYPE,
            "/odd/thing.xml": "application/x-odd+xml",
        }
    )
    if named != "/xl/workbook.xml":
        usual = f'<Override PartName="/xl/workbook.xml" ContentType="{WORKBOOK_TYPE}"/>'
        listed = listed.replace(usual.encode(), b"")
    return {
        "[Content_Types].xml": listed,
        "_rels/.rels": relations(
            ("rId7", "officeDocument", root + case(workbook, capitals=names.capitals)),
            ("odd", "https://odd.example/thing", root + "odd/thing.xml"),
        ),
        workbook: workbook_xml(("Recipes", "main")),
        f"{names.folder}_rels/{names.workbook}.rels": relations(
            ("main", "worksheet", inside + case(names.sheet, capitals=names.capitals)),
            ("look", "styles", inside + names.styles),
        ),
        names.folder + names.sheet: (DECLARATION + SHEET_1).encode(),
        names.folder + names.styles: (DECLARATION + STYLES).encode(),
        "odd/thing.xml": b"<thing xmlns='https://odd.example/thing'/>",
    }


NAMES = st.builds(
    Names,
    folder=st.sampled_from(["", "xl/", "XL/", "a b/c/", "deep/er/still/"]),
    workbook=st.sampled_from(["workbook.xml", "Book-1.xml", "sheet1.xml"]),
    sheet=st.sampled_from(["worksheets/sheet1.xml", "first.xml", "s/1.xml"]),
    styles=st.sampled_from(["styles.xml", "Formats/look.xml"]),
    absolute=st.booleans(),
    capitals=st.booleans(),
)


class Unseekable(io.BytesIO):
    """A file to which sizes are written behind the content, as they are when streaming."""

    def seekable(self) -> bool:
        """It is not."""
        return False

    def seek(self, *_: int) -> int:
        """Not possible."""
        raise OSError

    def tell(self) -> int:
        """Not known."""
        raise OSError


@st.composite
def packed(draw: st.DrawFn, parts: Parts) -> bytes:
    """The package, in any order, each part packed or not, with or without remarks."""
    file = Unseekable() if draw(st.booleans()) else io.BytesIO()
    order = draw(st.permutations(sorted(parts)))
    with zipfile.ZipFile(file, "w") as archive:
        for name in order:
            info = zipfile.ZipInfo(name, (2025, 3, 1, 8, 30, 0))
            info.compress_type = draw(st.sampled_from([zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED]))
            info.comment = draw(st.sampled_from([b"", b"a remark"]))
            wide = draw(st.booleans())
            with archive.open(info, "w", force_zip64=wide) as part:
                part.write(parts[name])
        archive.comment = draw(st.sampled_from([b"", b"made by hand"]))
    return file.getvalue()


@given(st.data(), NAMES)
def test_odd_package__takes_results_and_every_other_part_stays(
    data: st.DataObject, names: Names
) -> None:
    before = data.draw(packed(odd_parts(names)))
    once = splice(before, [to_buy()])
    assert faults(once.data, titles={"To buy"}) == []
    parts = parts_of(once.data)
    for name, content in parts_of(before).items():
        if name.endswith(("thing.xml", names.sheet)):
            assert parts[name] == content
    assert set(sheets_of(parts)) == {"Recipes", "To buy"}
    assert all(open_gate(once.data).find(part) for part in sheets_of(parts).values())
    assert splice(once.data, [to_buy()]).data == once.data
    later = splice(once.data, [to_buy(LINES[:1])])
    assert later.added == ()
    assert set(parts_of(later.data)) == set(parts)


def test_workbook_part_at_the_top_of_the_package__new_parts_stand_beside_it() -> None:
    names = Names("", "workbook.xml", "sheet1.xml", "styles.xml", absolute=False, capitals=False)
    parts = odd_parts(names)
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    once = splice(file.getvalue(), [to_buy()])
    new = sorted(set(parts_of(once.data)) - set(parts))
    assert new == ["tables/table1.xml", "worksheets/_rels/sheet1.xml.rels", "worksheets/sheet1.xml"]
    assert splice(once.data, [to_buy()]).data == once.data
