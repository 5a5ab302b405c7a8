"""Names, relationships and content types of parts, as ISO/IEC 29500-2 has them."""

from __future__ import annotations

import gc
import zipfile
from io import BytesIO

import pytest
from packages import OFFICE, PLAIN_TYPES, Parts, parts_of, plain, relations, types, zipped

from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import (
    ContentTypes,
    Package,
    Relation,
    RelationsPart,
    content_types,
    relations_of,
    target_part,
    target_words,
    without_collection,
)
from costing.workbook.package.xmlparts import Document

BOOK = "xl/workbook.xml"


def package(parts: Parts | None = None) -> Package:
    return open_gate(zipped(plain() | (parts or {})))


def test_find__small_letters_and_codes_are_one_name_and_the_exact_spelling_goes_first() -> None:
    """6.2.2.3: names are compared without regard to the case of ASCII letters."""
    found = package({"xl/My%20notes.bin": b"1"})
    for name in ("xl/My%20notes.bin", "xl/my notes.BIN", "XL/MY%20NOTES.bin"):
        assert found.find(name) == "xl/My%20notes.bin"
    assert found.find("xl/notes.bin") is None
    assert found.read("xl/My%20notes.bin") == b"1"
    with pytest.raises(KeyError):
        found.read("xl/notes.bin")


@pytest.mark.parametrize(
    ("source", "target", "part"),
    [
        ("xl/workbook.xml", "worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"),
        ("xl/worksheets/sheet1.xml", "../tables/t.xml", "xl/tables/t.xml"),
        ("xl/worksheets/sheet1.xml", "/tables/t.xml", "tables/t.xml"),
        ("workbook.xml", "sheet1.xml#A1", "sheet1.xml"),
        ("", "xl/workbook.xml", "xl/workbook.xml"),
        ("", "/xl/./a/../workbook.xml", "xl/workbook.xml"),
    ],
)
def test_target__is_seen_from_its_part_or_from_the_top(source: str, target: str, part: str) -> None:
    """8.2 and RFC 3986, 5.2: what we write in its place leads to the same part."""
    assert target_part(source, target) == part
    assert target_part(source, target_words(source, part)) == part


def test_relations__of_the_package_of_a_part_and_of_one_without() -> None:
    listed = relations(
        ("rId1", "worksheet", "worksheets/sheet1.xml"),
        ("rId7", "hyperlink", "https://cooking.example/a/../b"),
        external=("rId7",),
    )
    found = package({"xl/_rels/workbook.xml.rels": listed})
    assert found.relations("") == [Relation("rId1", "officeDocument", BOOK, external=False)]
    assert found.relations(BOOK) == [
        Relation("rId1", "worksheet", "xl/worksheets/sheet1.xml", external=False),
        Relation("rId7", "hyperlink", "https://cooking.example/a/../b", external=True),
    ]
    assert found.relations("xl/worksheets/sheet1.xml") == []


def test_content_types__one_of_its_own_goes_before_that_of_its_extension() -> None:
    """7.2.3.3: by its name first, by what stands behind the last dot second."""
    stated = types(
        {"/xl/Sheet%201.xml": "own"}, workbook="book", defaults='<Default Extension="PNG" '
        'ContentType="image"/>',
    )  # fmt: skip
    names = ["xl/workbook.xml", "xl/sheet 1.xml", "xl/a.b.png", "xl/x.XML", "xl/none", "a.rel"]
    found = content_types(Document(stated), names)
    assert found == {
        "xl/workbook.xml": "book",
        "xl/sheet 1.xml": "own",
        "xl/a.b.png": "image",
        "xl/x.XML": "application/xml",
        "xl/none": "",
        "a.rel": "",
    }


def test_rewritten__changes_what_is_named_and_copies_the_rest() -> None:
    """A changed part keeps its place, new ones follow, and what is the same keeps its date."""
    before = zipped(plain() | {"xl/b.bin": b"b", "xl/a.bin": b"a"})
    found = open_gate(before)
    changed = {"xl/new2.bin": b"2", "xl/b.bin": b"other", "xl/a.bin": b"a", "xl/new1.bin": b"1"}
    after = found.rewritten(changed, removed=["xl/styles.xml"]).data
    kept = [name for name in parts_of(before) if name != "xl/styles.xml"]
    assert list(parts_of(after)) == [*kept, "xl/new2.bin", "xl/new1.bin"]
    assert parts_of(after) == {
        **{name: data for name, data in parts_of(before).items() if name in kept},
        **changed,
    }
    old, new = (zipfile.ZipFile(BytesIO(data)) for data in (before, after))
    same = [name for name in kept if name != "xl/b.bin"]
    assert [new.getinfo(name).date_time for name in same] == [
        old.getinfo(name).date_time for name in same
    ]


def test_relations_part__new_names_are_free_and_lead_to_their_parts() -> None:
    found = package({"xl/_rels/workbook.xml.rels": relations(
        ("rId1", "worksheet", "worksheets/sheet1.xml"), ("rId3", "styles", "styles.xml")
    )})  # fmt: skip
    part = RelationsPart(found, BOOK)
    assert not part.added
    names = [part.add(kind, f"xl/{kind}/a & b.xml") for kind in ("table", "drawing")]
    part.remove("rId3")
    assert part.added
    assert len({"rId1", "rId3", *names}) == 4
    read = relations_of(BOOK, Document(part.document.result()))
    assert [(one.id, one.kind, one.target) for one in read] == [
        ("rId1", "worksheet", "xl/worksheets/sheet1.xml"),
        (names[0], "table", "xl/table/a & b.xml"),
        (names[1], "drawing", "xl/drawing/a & b.xml"),
    ]
    assert f'Type="{OFFICE}/table"'.encode() in part.document.result()


def test_relations_part__of_a_part_without_any_is_begun() -> None:
    part = RelationsPart(package(), "xl/worksheets/sheet1.xml")
    assert (part.name, part.relations) == ("xl/worksheets/_rels/sheet1.xml.rels", [])
    name = part.add("table", "xl/tables/table1.xml")
    [read] = relations_of("xl/worksheets/sheet1.xml", Document(part.document.result()))
    assert read == Relation(name, "table", "xl/tables/table1.xml", external=False)


def test_content_types_part__a_type_is_stated_once_and_forgotten() -> None:
    stated = types(PLAIN_TYPES | {"/xl/My%20table.xml": "old"})
    part = ContentTypes(package({"[Content_Types].xml": stated, "xl/My table.xml": b"<t/>"}))
    part.add("xl/my table.xml", "new")
    part.remove("xl/styles.xml")
    text = part.document.result()
    assert text.lower().count(b"table.xml") == 1
    read = content_types(Document(text), ["xl/My table.xml", "xl/styles.xml", BOOK])
    assert [read["xl/My table.xml"], read["xl/styles.xml"]] == ["new", "application/xml"]
    assert "sheet.main" in read[BOOK]


@pytest.mark.parametrize("on", [True, False])
def test_without_collection__it_is_as_before_afterwards(*, on: bool) -> None:
    """Even where reading fails: whoever calls the library has a setting of their own."""
    was_on = gc.isenabled()
    try:
        (gc.enable if on else gc.disable)()
        with pytest.raises(ZeroDivisionError), without_collection():
            assert 1 / int(gc.isenabled())
        assert gc.isenabled() is on
    finally:
        (gc.enable if was_on else gc.disable)()
