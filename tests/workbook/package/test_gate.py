"""What is let in and what is refused, each limit just under and just over."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from packages import (
    DECLARATION,
    MAIN,
    PLAIN_TYPES,
    Parts,
    plain,
    relations,
    sheet,
    types,
    with_part,
    workbook_xml,
    zipped,
)
from zoo import ZOO

from costing.findings import Place
from costing.workbook.package.extents import LIMITS, Limits, cells_in
from costing.workbook.package.gate import open_gate
from costing.workbook.package.refusals import Refused, size_words

AGAIN = "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx."
AS_XLSX = "Open it in a spreadsheet program and save it as an ordinary .xlsx workbook."


def refusal(data: bytes, limits: Limits = LIMITS) -> str:
    """The whole text of the finding with which a file is refused."""
    with pytest.raises(Refused) as caught:
        open_gate(data, name="plan.xlsx", limits=limits)
    assert str(caught.value) == str(caught.value.finding)
    return str(caught.value.finding)


def changed(change: Callable[[Parts], None]) -> bytes:
    """The plain workbook after a change to its parts."""
    parts = plain()
    change(parts)
    return zipped(parts)


@pytest.mark.parametrize("name", sorted(ZOO))
def test_gate__lets_in(name: str) -> None:
    package = open_gate(ZOO[name]())
    assert package.find(package.workbook) == package.workbook
    assert package.read(package.workbook)


def test_gate__knows_a_workbook_again_under_any_name() -> None:
    """What is read is written into: it is judged once, and named as each caller names it."""
    data = zipped(plain())
    one, other = open_gate(data, name="one.xlsx"), open_gate(data, name="other.xlsx")
    assert (one.name, other.name) == ("one.xlsx", "other.xlsx")
    assert one.members is other.members
    for name in ("one.xlsx", "other.xlsx"):
        with pytest.raises(Refused) as caught:
            open_gate(data, name=name, limits=replace(LIMITS, parts=1))
        assert caught.value.finding.place.sheet == name


def cells_of(rows: str, after: str = "") -> int:
    """How many cells the gate counts."""
    return cells_in("sheet1.xml", sheet(rows, after=after), LIMITS, Place(), before=0)


def test_cells_in__counts_cells_be_they_blank_or_without_an_address() -> None:
    rows = (
        '<row r="2"><c r="B2"><v>1</v></c><c r="Z2" s="1"/></row>'
        '<row r="7"><c r="D7"><f>B2</f></c></row><row r="99"><c r="A99" s="1"/></row>'
    )
    assert cells_of(rows) == 4
    rows = "<row><c><v>1</v></c></row><row><c/><c/><c t='inlineStr'><is><t>a</t></is></c></row>"
    assert cells_of(rows) == 4


@pytest.mark.parametrize(
    "cell",
    ["<c r='B9'><v>1</v></c>", "<c r='XFD1048576' t='inlineStr'><is><t>a</t></is></c>"],
)
def test_gate__lets_in_cells_wherever_they_stand(cell: str) -> None:
    """Extents are not judged: neither far cells nor what only claims to reach far."""
    open_gate(with_cells(f"<row>{cell}</row>"))
    assert cells_of(f"<row>{cell}</row>") == 1


@pytest.mark.parametrize(
    "around",
    [
        b'<dimension ref="A1:XFD1048576"/>',
        b'<cols><col min="1" max="16384" width="9" style="0"/></cols>',
        b'<sheetFormatPr defaultRowHeight="15" customHeight="1"/>',
    ],
)
def test_gate__claims_of_extent_are_no_cells(around: bytes) -> None:
    part = sheet('<row r="1"><c r="A1"><v>1</v></c></row>').replace(
        b"<sheetData>", around + b"<sheetData>"
    )
    assert cells_in("sheet1.xml", part, LIMITS, Place(), before=0) == 1


def test_cells_in__long_runs_of_rows_without_content_are_no_cells() -> None:
    """A run of 1000 rows counts, one of 1001 does not, wherever it stands."""

    def run(first: int, count: int) -> str:
        return "".join(
            f'<row r="{n}"><c r="A{n}" s="0"/></row>' for n in range(first, first + count)
        )

    def one(row: int) -> str:
        return f'<row r="{row}"><c r="A{row}"><v>1</v></c></row>'

    assert cells_of(run(1, 1000) + one(1001) + run(1002, 1000)) == 2001
    assert cells_of(one(1) + run(2, 1001) + one(1003) + run(1004, 5000)) == 2
    prefixed = run(1, 2000).replace("<", "<z:").replace("<z:/", "</z:")
    spaced = prefixed.replace("<z:row ", f'<z:row xmlns:z="{MAIN}" ')
    assert cells_of(spaced) == 0


def test_file_empty() -> None:
    assert refusal(b"") == (
        "'plan.xlsx': found a file without any content, expected an .xlsx workbook [file empty]\n"
        "  If it comes from an online drive, let it download first; else take the last good copy."
    )


def test_file_too_large() -> None:
    data = zipped(plain())
    open_gate(data, limits=replace(LIMITS, file_bytes=len(data)))
    assert refusal(data, replace(LIMITS, file_bytes=len(data) - 1)) == (
        f"'plan.xlsx': found a file of {size_words(len(data))}, expected at most "
        f"{size_words(len(data) - 1)} [file too large]\n"
        "  Take pictures and sheets that are not needed out of the workbook."
    )


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (b"Dish,Amount\r\nleek tart,1\r\n", "a plain text file"),
        ("Gericht;Lauch\nfür 2".encode(), "a plain text file"),
        ("Gericht;Soße\nfür 2 – „groß“".encode("cp1252"), "a plain text file"),
        ("Gericht;Soße\nfür 2".encode("cp850"), "a plain text file"),
        ("料理;ねぎ".encode(), "a plain text file"),
        ("Gericht;Soße".encode("utf-16"), "a plain text file"),
        (b"%PDF-1.7\n\x80\x81", "a PDF document"),
        (b"\x89PNG\r\n\x1a\n\0\0", "a picture"),
        (b"  <!doctype HTML><html>", "a web page"),
        (b"<?xml version='1.0'?><a/>", "an XML document"),
        (b"\0\1\2\3" * 9, "a file of another kind"),
        (b"a" * 511 + b"\0", "a file of another kind"),
        (b"a" * 512 + b"\0", "a plain text file"),
    ],
)
def test_not_a_workbook__other_kinds_of_file(data: bytes, kind: str) -> None:
    assert refusal(data) == (
        f"'plan.xlsx': found {kind}, expected an .xlsx workbook [not a workbook]\n  {AS_XLSX}"
    )


def without(name: str) -> bytes:
    """The plain workbook without one of its parts."""
    return zipped({part: content for part, content in plain().items() if part != name})


def document(content_type: str) -> bytes:
    """A package whose main document has this type."""
    return changed(
        lambda parts: parts.update({"[Content_Types].xml": types({}, workbook=content_type)})
    )


OFFICE_TYPE = "application/vnd.openxmlformats-officedocument."


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (document(f"{OFFICE_TYPE}wordprocessingml.document.main+xml"), "a text document"),
        (document(f"{OFFICE_TYPE}presentationml.presentation.main+xml"), "a presentation"),
        (document("application/pdf"), "a package of the type 'application/pdf'"),
        (
            zipped(
                {"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "a.xml": b"<a/>"}
            ),
            "an OpenDocument file",
        ),
        (zipped({"photo.jpg": b"1"}), "a zip file without a list of content types"),
        (
            without("_rels/.rels"),
            "a package without a main document",
        ),
        (
            without("xl/workbook.xml"),
            "a package without a main document",
        ),
    ],
)
def test_not_a_workbook__other_packages(data: bytes, kind: str) -> None:
    assert refusal(data) == (
        f"'plan.xlsx': found {kind}, expected an .xlsx workbook [not a workbook]\n  {AS_XLSX}"
    )


def compound(*streams: str) -> bytes:
    """A compound file as far as its first bytes and its directory go."""
    entries = b""
    for stream in ("Root Entry", *streams):
        name = (stream + "\0").encode("utf-16-le")
        entries += name.ljust(64, b"\0") + struct.pack("<H", len(name)) + b"\0" * 62
    return bytes.fromhex("d0cf11e0a1b11ae1").ljust(512, b"\0") + entries


def test_password_protected() -> None:
    assert refusal(compound("EncryptionInfo", "EncryptedPackage")) == (
        "'plan.xlsx': found a workbook protected by a password for opening, expected a workbook "
        "that opens without a password [password protected]\n"
        "  Open it in a spreadsheet program, take the password off and save it."
    )


@pytest.mark.parametrize("stream", ["Workbook", "Book"])
def test_old_workbook_format(stream: str) -> None:
    assert refusal(compound(stream)) == (
        "'plan.xlsx': found a workbook in the old .xls format, expected an .xlsx workbook "
        f"[old workbook format]\n  {AS_XLSX}"
    )


def test_not_a_workbook__compound_file_of_another_program() -> None:
    """A stream whose name only begins like the one of a workbook is none."""
    assert refusal(compound("WordDocument", "Workbooks")).startswith(
        "'plan.xlsx': found a document of another program, expected an .xlsx workbook"
    )


def test_binary_workbook() -> None:
    assert refusal(document("application/vnd.ms-excel.sheet.binary.macroEnabled.main")) == (
        "'plan.xlsx': found a binary workbook (.xlsb), expected an .xlsx workbook "
        f"[binary workbook]\n  {AS_XLSX}"
    )


def test_workbook_damaged__zip_cut_short() -> None:
    data = zipped(plain())[:-40]
    assert refusal(data) == (
        "'plan.xlsx': found a zip file without a readable directory (File is not a zip file), "
        f"expected a whole workbook [workbook damaged]\n  {AGAIN}"
    )


def test_workbook_damaged__bytes_of_a_part_changed() -> None:
    data = bytearray(zipped(plain(), stored=True))
    at = data.index(b"leek tart")
    data[at] ^= 1
    assert refusal(bytes(data)) == (
        "'plan.xlsx': found the part 'xl/worksheets/sheet1.xml' cut short or changed by a fault, "
        f"expected a whole workbook [workbook damaged]\n  {AGAIN}"
    )


@pytest.mark.parametrize(
    "name",
    [
        "xl/workbook.xml",
        "xl/styles.xml",
        "xl/worksheets/sheet1.xml",
        "[Content_Types].xml",
        "xl/_rels/workbook.xml.rels",
    ],
)
def test_workbook_damaged__broken_xml_where_a_reader_needs_it(name: str) -> None:
    data = changed(lambda parts: parts.update({name: parts[name] + b"<"}))
    assert refusal(data).startswith("'plan.xlsx': found broken XML (")
    assert refusal(data).endswith(f"in the part {name!r}, expected a whole workbook "
                                  f"[workbook damaged]\n  {AGAIN}")  # fmt: skip


SHEET, TABLE = "xl/worksheets/sheet1.png", "xl/table1.png"
RELATED = "xl/worksheets/_rels/sheet1.png.rels"
UNCLOSED = "broken XML (unclosed token: line 1, column 0) in the part"


@pytest.mark.parametrize(
    ("part", "content", "found"),
    [
        (SHEET, b"<worksheet", UNCLOSED),
        (SHEET, b"<!DOCTYPE worksheet><worksheet/>", "a document type declaration in the part"),
        (SHEET, b"<c>" * 999 + b"</c>" * 999, "more than 256 elements inside each other"),
        (SHEET, sheet('<row r="1"><c/><c/><c/><c><v>1</v></c></row>'), "more than 3 cells"),
        (TABLE, b"<table", UNCLOSED),
        (RELATED, b"<Relationships", UNCLOSED),
    ],
)
def test_part_that_a_reader_opens__is_judged_whatever_type_is_stated(
    part: str, content: bytes, found: str
) -> None:
    """Neither its type nor its name says that it is XML; its relationship does."""
    parts = with_part(
        plain(), TABLE, b"<table/>", "", source="xl/worksheets/sheet1.xml", relation="table"
    )
    parts = {
        name.replace("sheet1.xml", "sheet1.png"): one.replace(b"sheet1.xml", b"sheet1.png")
        for name, one in parts.items()
    }
    parts["[Content_Types].xml"] = types({}).replace(b"package.relationships+xml", b"png")
    assert open_gate(zipped(parts)).find(part) == part
    parts[part] = content
    assert found in refusal(zipped(parts), replace(LIMITS, cells=3))


def test_broken_xml__in_a_part_that_no_reader_needs_is_let_in() -> None:
    drawing = {"xl/drawings/vmlDrawing1.vml": b"<xml><br></xml>"}
    assert open_gate(zipped(plain() | drawing)).workbook == "xl/workbook.xml"


def test_broken_xml__beside_what_an_archiver_knows_of_a_file_is_let_in() -> None:
    """AppleDouble (RFC 1740), as a Mac packs it under the name of the part it is of."""
    known = b"\x00\x05\x16\x07\x00\x02\x00\x00Mac OS X"
    beside = {f"__MACOSX/{at}": known for at in ("_rels/._.rels", "xl/._workbook.xml")}
    assert open_gate(zipped(plain() | beside)).workbook == "xl/workbook.xml"


def test_workbook_damaged__no_workbook_in_its_part() -> None:
    data = changed(lambda parts: parts.update({"xl/workbook.xml": b"<workbook/>"}))
    assert refusal(data).startswith(
        "'plan.xlsx': found no workbook in the part 'xl/workbook.xml', expected a whole workbook"
    )


def test_workbook_damaged__packed_in_an_unusual_way() -> None:
    file = io.BytesIO(zipped(plain()))
    with zipfile.ZipFile(file, "a", zipfile.ZIP_BZIP2) as archive:
        archive.writestr("xl/extra.bin", b"a" * 100)
    assert refusal(file.getvalue()).startswith(
        "'plan.xlsx': found the part 'xl/extra.bin' packed in an unusual way, expected a whole"
    )


def test_workbook_damaged__more_bytes_than_the_directory_says() -> None:
    """The size in the directory is not believed: unpacking stops where it is passed."""
    data = bytearray(zipped(plain() | {"big.bin": b"a" * 5000}, order=["big.bin"]))
    directory = data.index(b"PK\x01\x02")
    struct.pack_into("<L", data, directory + 24, 10)
    assert refusal(bytes(data)).startswith(
        "'plan.xlsx': found more bytes than it says in the part 'big.bin', expected a whole"
    )


def test_workbook_damaged__parts_that_overlap() -> None:
    data = bytearray(zipped(plain(), stored=True))
    first = data.index(b"PK\x01\x02")
    second = data.index(b"PK\x01\x02", first + 4)
    local = struct.unpack_from("<L", data, second + 42)[0]
    struct.pack_into("<LL", data, first + 20, local + 4, local + 4)
    assert "lying across another one, expected a whole workbook" in refusal(bytes(data))


@pytest.mark.parametrize(
    "name",
    [
        "xl/../../evil.xml",
        "/abs.xml",
        "xl\\evil.xml",
        "./a.xml",
        "xl//a.xml",
        "C:/a.xml",
        "xl/wor\x01kbook.xml",
    ],
)
def test_unsafe_part_name(name: str) -> None:
    assert refusal(zipped(plain() | {name: b"<a/>"})) == (
        f"'plan.xlsx': found a part named {name!r} inside the file, expected part names that "
        f"stay inside the workbook [unsafe part name]\n  {AGAIN}"
    )


def test_encrypted_part() -> None:
    data = bytearray(zipped(plain()))
    at = data.index(b"PK\x01\x02")
    data[at + 8] |= 1
    assert refusal(bytes(data)) == (
        "'plan.xlsx': found the part '[Content_Types].xml' encrypted inside the file, expected a "
        f"workbook without encryption [encrypted part]\n  {AGAIN}"
    )


def test_too_many_parts() -> None:
    data = zipped(plain())
    open_gate(data, limits=replace(LIMITS, parts=6))
    assert refusal(data, replace(LIMITS, parts=5)) == (
        "'plan.xlsx': found 6 parts inside the file, expected at most 5 [too many parts]\n"
        "  Take pictures and sheets that are not needed out of the workbook."
    )


def test_unpacks_too_large() -> None:
    parts = plain()
    size = sum(map(len, parts.values()))
    open_gate(zipped(parts), limits=replace(LIMITS, unpacked_bytes=size))
    assert refusal(zipped(parts), replace(LIMITS, unpacked_bytes=size - 1)) == (
        f"'plan.xlsx': found a file that unpacks to at least {size_words(size)}, expected at most "
        f"{size_words(size - 1)} [unpacks too large]\n"
        "  Delete rows and sheets that are not needed and save the workbook again."
    )


def test_packed_too_tightly() -> None:
    """20,000 like bytes pack to about 1 in 500; the size above which that counts is 20,000."""
    data = zipped(plain() | {"zeros.bin": bytes(20_000)})
    open_gate(data, limits=replace(LIMITS, ratio_above=20_000))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        info = archive.getinfo("zeros.bin")
    ratio = info.file_size // info.compress_size
    open_gate(data, limits=replace(LIMITS, ratio_above=19_999, ratio=ratio))
    assert refusal(data, replace(LIMITS, ratio_above=19_999, ratio=ratio - 1)) == (
        f"'plan.xlsx': found the part 'zeros.bin' packed to one part in {ratio}, expected at most "
        f"one part in {ratio - 1} [packed too tightly]\n"
        "  A file like this can be made to harm; use it only if you know where it comes from, "
        "after saving it again in a spreadsheet program."
    )


LAUGHS = b'<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;">]>'


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize(
    "name", ["xl/worksheets/sheet1.xml", "customXml/item1.xml", "xl/workbook.xml", "a.vml"]
)
def test_entity_declaration(name: str, encoding: str) -> None:
    parts = plain()
    body = parts.get(name, b"<a/>").removeprefix(DECLARATION.encode())
    parts[name] = (LAUGHS + body).decode().encode(encoding)
    assert refusal(zipped(parts)) == (
        f"'plan.xlsx': found a document type declaration in the part {name!r}, expected none, as "
        "spreadsheet programs write none [entity declaration]\n"
        "  A file like this can be made to harm; use it only if you know where it comes from, "
        "after saving it again in a spreadsheet program."
    )


def nested(depth: int) -> bytes:
    return b"<a>" * depth + b"</a>" * depth


@pytest.mark.parametrize("name", ["customXml/item1.xml", "xl/worksheets/sheet1.xml"])
def test_nested_too_deeply(name: str) -> None:
    limits = replace(LIMITS, depth=40)
    open_gate(zipped(plain() | {name: nested(40)}), limits=limits)
    assert refusal(zipped(plain() | {name: nested(41)}), limits) == (
        f"'plan.xlsx': found more than 40 elements inside each other in the part {name!r}, "
        f"expected at most 40 [nested too deeply]\n  {AGAIN}"
    )


@pytest.mark.parametrize("name", ["xl/styles.xml", "[Content_Types].xml", "_rels/.rels"])
def test_a_tag_without_end__is_not_searched_for_ever(name: str) -> None:
    data = zipped(plain() | {name: b"<a b='" + b"x" * 9_000_000})
    assert refusal(data, replace(LIMITS, ratio=10**9)).startswith(
        "'plan.xlsx': found broken XML (a tag longer than 8388608 bytes) in the part "
        f"{name!r}, expected a whole workbook"
    )


def with_cells(rows: str, after: str = "") -> bytes:
    return zipped(plain() | {"xl/worksheets/sheet1.xml": sheet(rows, after=after)})


@pytest.mark.parametrize("spelled", ['<c r="B2" s="1"/>', "<c r='B2' />"])
def test_a_row_of_more_cells_than_columns__is_not_passed_over_to_its_end(spelled: str) -> None:
    """Law: 16,384 of them are let in, as a sheet has columns; one more is not, however spelled."""
    lawful, more = (with_cells(f'<row r="2">{spelled * n}</row>') for n in (16_384, 16_385))
    open_gate(lawful, limits=replace(LIMITS, ratio=10**9))
    assert refusal(more, replace(LIMITS, ratio=10**9)) == (
        "'plan.xlsx': found broken XML (row 2 holds more cells than a sheet has columns) in the "
        "part 'xl/worksheets/sheet1.xml', expected a whole workbook [workbook damaged]\n  " + AGAIN
    )


def test_elements_of_other_namespaces__are_no_rows_and_no_content() -> None:
    """A control says in which row it stands, a sparkline holds a formula; neither is a cell."""
    after = (
        '<extLst><ext uri="{1}"><x:f xmlns:x="urn:example:f">A1</x:f>'
        '<y:row xmlns:y="urn:example:row"><y:c><y:v>9</y:v></y:c></y:row></ext></extLst>'
    )
    assert cells_of('<row r="1048576"><c r="A1048576" s="0"/></row>', after) == 1


def test_too_many_cells__of_all_sheets_together() -> None:
    parts = with_part(
        plain(), "xl/worksheets/sheet2.xml", sheet('<row r="1"><c r="A1" s="1"/></row>'),
        PLAIN_TYPES["/xl/worksheets/sheet1.xml"], source="xl/workbook.xml", relation="worksheet",
    )  # fmt: skip
    open_gate(zipped(parts), limits=replace(LIMITS, cells=4))
    assert refusal(zipped(parts), replace(LIMITS, cells=3)) == (
        "'plan.xlsx': found more than 3 cells, blank ones with a format counted, expected at "
        "most 3 [too many cells]\n"
        "  Delete (not only clear) the rows and columns that hold nothing but a format, and save."
    )


def test_too_many_merges() -> None:
    def data(count: int) -> bytes:
        merges = "".join(f'<mergeCell ref="A{n}:B{n}"/>' for n in range(1, count + 1))
        return with_cells("", f"<mergeCells>{merges}</mergeCells>")

    open_gate(data(10), limits=replace(LIMITS, merges=10))
    assert refusal(data(11), replace(LIMITS, merges=10)) == (
        "'plan.xlsx': found more than 10 merged ranges in one sheet, expected at most 10 "
        "[too many merges]\n  Unmerge the cells of that sheet and save."
    )


def test_merged_area_too_large() -> None:
    """A1:B10 covers 20 cells, A1:C7 covers 21; a link over as many fills none."""
    limits = replace(LIMITS, covered_cells=20)
    merged = '<mergeCells><mergeCell ref="A1:%s"/></mergeCells>'
    linked = '<hyperlinks><hyperlink ref="A1:%s" location="A1"/></hyperlinks>'
    open_gate(with_cells("", merged % "B10"), limits=limits)
    open_gate(with_cells("", linked % "C7"), limits=limits)
    assert refusal(with_cells("", merged % "C7"), limits) == (
        "'plan.xlsx': found merged cells that cover more than 20 cells of one sheet, expected at "
        "most 20 [merged area too large]\n  Unmerge the cells of that sheet and save."
    )


def test_refusal__without_a_name_of_the_file() -> None:
    with pytest.raises(Refused) as caught:
        open_gate(b"")
    assert str(caught.value.finding).startswith("the shoot: found a file without any content")


def test_relations_and_targets__outside_the_package_are_no_parts() -> None:
    parts = plain()
    parts["_rels/.rels"] = relations(("rId1", "officeDocument", "../../xl/workbook.xml"))
    parts["xl/workbook.xml"] = workbook_xml(("Recipes", "rId1"))
    assert refusal(zipped(parts)).startswith("'plan.xlsx': found a package without a main document")


@given(st.binary(max_size=300))
def test_any_bytes__are_refused_and_never_raise_anything_else(data: bytes) -> None:
    for start in (b"", b"PK\x03\x04", bytes.fromhex("d0cf11e0a1b11ae1")):
        with pytest.raises(Refused):
            open_gate(start + data)


@given(st.data())
def test_changed_bytes__are_let_in_or_refused_and_never_raise_anything_else(
    data: st.DataObject,
) -> None:
    workbook = bytearray(zipped(plain()))
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(workbook) - 1))
        workbook[at] = data.draw(st.integers(0, 255))
    try:
        package = open_gate(bytes(workbook))
    except Refused as refused:
        told = refused.finding.remedy
    else:
        told = package.workbook
    assert told
