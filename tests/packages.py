"""Small workbooks made by hand, part by part, and what every spliced workbook must satisfy."""

from __future__ import annotations

import io
import posixpath
import zipfile
from collections.abc import Collection, Iterable
from xml.etree.ElementTree import Element, fromstring
from xml.sax.saxutils import quoteattr

import openpyxl

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
SHEETML = "application/vnd.openxmlformats-officedocument.spreadsheetml"
OPEN = "application/vnd.openxmlformats-officedocument"
DECLARATION = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'

Parts = dict[str, bytes]

WORKBOOK_TYPE = f"{SHEETML}.sheet.main+xml"
MACRO_TYPE = "application/vnd.ms-excel.sheet.macroEnabled.main+xml"

STYLES = (
    f'<styleSheet xmlns="{MAIN}">'
    '<fonts count="1"><font><sz val="10"/><name val="Arial"/><family val="2"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill>'
    '<fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
    "</styleSheet>"
)
SHEET_1 = (
    f'<worksheet xmlns="{MAIN}"><dimension ref="A1:B2"/><sheetData>'
    '<row r="1"><c r="A1" t="inlineStr"><is><t>Dish</t></is></c></row>'
    '<row r="2"><c r="A2" t="inlineStr"><is><t>leek tart</t></is></c><c r="B2"><v>3</v></c></row>'
    "</sheetData></worksheet>"
)


def sheet(rows: str, *, after: str = "", attributes: str = "") -> bytes:
    """A worksheet part with these rows."""
    return (
        f'{DECLARATION}<worksheet xmlns="{MAIN}" xmlns:r="{OFFICE}"{attributes}>'
        f"<sheetData>{rows}</sheetData>{after}</worksheet>"
    ).encode()


def types(overrides: dict[str, str], *, workbook: str = WORKBOOK_TYPE, defaults: str = "") -> bytes:
    """The list of content types."""
    listed = {"/xl/workbook.xml": workbook} | overrides
    inside = "".join(
        f'<Override PartName="{name}" ContentType="{kind}"/>' for name, kind in listed.items()
    )
    return (
        f'{DECLARATION}<Types xmlns="{TYPES}">'
        '<Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{defaults}{inside}</Types>'
    ).encode()


def relations(*targets: tuple[str, str, str], external: Collection[str] = ()) -> bytes:
    """A relationships part from names, kinds and targets."""
    inside = "".join(
        f'<Relationship Id="{name}" Type="{kind if "://" in kind else f"{OFFICE}/{kind}"}" '
        f"Target={quoteattr(target)}"
        f"{' TargetMode=' + quoteattr('External') if name in external else ''}/>"
        for name, kind, target in targets
    )
    return f'{DECLARATION}<Relationships xmlns="{PACKAGE}">{inside}</Relationships>'.encode()


def workbook_xml(
    *sheets: tuple[str, str], before: str = "", after: str = "", attributes: str = ""
) -> bytes:
    """The workbook part from titles and relationship names."""
    inside = "".join(
        f'<sheet name={quoteattr(title)} sheetId="{number}" r:id="{relation}"/>'
        for number, (title, relation) in enumerate(sheets, 1)
    )
    return (
        f'{DECLARATION}<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"{attributes}>{before}'
        f"<sheets>{inside}</sheets>{after}</workbook>"
    ).encode()


SHEET_TYPE = f"{SHEETML}.worksheet+xml"
STYLES_TYPE = f"{SHEETML}.styles+xml"
PLAIN_TYPES = {"/xl/worksheets/sheet1.xml": SHEET_TYPE, "/xl/styles.xml": STYLES_TYPE}


def plain() -> Parts:
    """A workbook with one sheet, ``Recipes``."""
    return {
        "[Content_Types].xml": types(PLAIN_TYPES),
        "_rels/.rels": relations(("rId1", "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": workbook_xml(("Recipes", "rId1")),
        "xl/_rels/workbook.xml.rels": relations(
            ("rId1", "worksheet", "worksheets/sheet1.xml"), ("rId2", "styles", "styles.xml")
        ),
        "xl/worksheets/sheet1.xml": (DECLARATION + SHEET_1).encode(),
        "xl/styles.xml": (DECLARATION + STYLES).encode(),
    }


def with_part(
    parts: Parts, name: str, content: bytes, kind: str, *, source: str = "", relation: str = ""
) -> Parts:
    """The workbook with one more part, its type, and a relationship from ``source`` to it."""
    new = dict(parts)
    new[name] = content
    new["[Content_Types].xml"] = new["[Content_Types].xml"].replace(
        b"</Types>", f'<Override PartName="/{name}" ContentType="{kind}"/></Types>'.encode()
    )
    if source:
        folder, base = posixpath.split(source)
        listed = posixpath.join(folder, "_rels", f"{base}.rels")
        old = new.get(listed, relations())
        number = old.count(b"<Relationship ") + 1
        one = relations((f"rId{number}", relation, "/" + name))
        element = one[one.index(b"<Relationship ") : one.index(b"</Relationships>")]
        new[listed] = old.replace(b"</Relationships>", element + b"</Relationships>")
    return new


def bytes_of(book: openpyxl.Workbook) -> bytes:
    """A workbook as openpyxl saves it."""
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def zipped(parts: Parts, *, stored: bool = False, order: Iterable[str] = ()) -> bytes:
    """The package, with fixed dates."""
    file = io.BytesIO()
    method = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
    with zipfile.ZipFile(file, "w", method) as archive:
        for name in [*order, *(n for n in parts if n not in set(order))]:
            archive.writestr(zipfile.ZipInfo(name, (2025, 3, 1, 8, 30, 0)), parts[name], method)
    return file.getvalue()


def parts_of(data: bytes) -> Parts:
    """Every part of a package, unpacked."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert len(set(names)) == len(names)
        return {name: archive.read(name) for name in names if not name.endswith("/")}


TOUCHED = ("workbook.xml", "workbook.xml.rels", "[Content_Types].xml", "styles.xml")
"""Endings of the parts of a workbook that adding a sheet may change."""


def foreign_parts_changed(
    before: bytes, after: bytes, *, but: Collection[str] = (), touched: Collection[str] = TOUCHED
) -> list[str]:
    """Parts that are not the same bytes after, or are gone; ``but`` and ``touched`` left out."""
    old, new = parts_of(before), parts_of(after)
    return [
        name
        for name, content in old.items()
        if new.get(name) != content
        and name not in but
        and posixpath.basename(name).lower() not in {one.lower() for one in touched}
        and "calcchain" not in name.lower()
    ]


def tree_of(part: bytes) -> Element:
    """A part as a tree; ours need no care, which takes more than twice as long."""
    return fromstring(part)  # noqa: S314


def related(name: str, parts: Parts) -> list[tuple[str, str, str]]:
    """Name, kind and target part of every relationship of a part inside the package."""
    folder, base = posixpath.split(name)
    listed = posixpath.join(folder, "_rels", f"{base}.rels")
    by_key = {one.lower(): one for one in parts}
    if listed.lower() not in by_key:
        return []
    found = []
    for element in tree_of(parts[by_key[listed.lower()]]):
        if element.get("TargetMode") == "External":
            continue
        target = element.get("Target", "").split("#")[0]
        path = target if target.startswith("/") else posixpath.join("/" + folder, target)
        part = posixpath.normpath(path).lstrip("/")
        kind = element.get("Type", "").rpartition("/")[2]
        found.append((element.get("Id", ""), kind, by_key.get(part.lower(), part)))
    return found


def own(tag: str) -> str:
    """A name in the namespace of workbooks."""
    return f"{{{MAIN}}}{tag}"


def sheets_of(parts: Parts) -> dict[str, str]:
    """Part of every sheet by its title."""
    workbook = workbook_part(parts)
    by_id = {name: part for name, _, part in related(workbook, parts)}
    root = tree_of(parts[workbook])
    listed = root.find(own("sheets"))
    assert listed is not None
    return {one.get("name", ""): by_id[one.get(f"{{{OFFICE}}}id", "")] for one in listed}


def workbook_part(parts: Parts) -> str:
    """Name of the workbook part."""
    return next(part for _, kind, part in related("", parts) if kind == "officeDocument")
