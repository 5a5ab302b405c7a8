"""The same workbook in any lawful package: other names, targets, types, spellings and packing.

What is lawful is taken from ISO/IEC 29500-2 (parts, relationships, content types, the mapping to
zip files) and XML 1.0; nothing here looks at how the library reads.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple
from unittest.mock import patch
from xml.sax.saxutils import quoteattr

import xlsxwriter
from good_workbook import SHEETS
from hypothesis import strategies as st
from packages import PACKAGE, TYPES, Parts, parts_of, related, tree_of, workbook_part, zipped

from costing.workbook.layout import INPUT_SHEETS

TRANSITIONAL_SPACE = re.compile(
    rb"http://schemas\.openxmlformats\.org/(spreadsheetml|drawingml|officeDocument)/2006/"
)
STRICT_SPACE = re.compile(
    rb"http://purl\.oclc\.org/ooxml/(spreadsheetml|drawingml|officeDocument)/"
)


@cache
def usual() -> bytes:
    """The good workbook with a table, formulas, texts that are shared, a link, a note, a chart."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True, "default_date_format": "yyyy-mm-dd"})
    hours = book.add_format({"num_format": "hh:mm"})
    tables = {sheet.title: sheet.table for sheet in INPUT_SHEETS}
    for title, rows in SHEETS.items():
        page = book.add_worksheet(title)
        for number, row in enumerate(rows):
            for column, value in enumerate(row):
                style = hours if hasattr(value, "hour") else None
                page.write(number, column, value, style)
        if title == "Packs":
            columns = [{"header": heading} for heading in rows[0]]
            options = {"name": tables[title], "columns": columns}
            page.add_table(0, 0, len(rows) - 1, len(rows[0]) - 1, options)
            page.write_formula("E2", "=1.5+0.39", None, 1.89)
    own = book.add_worksheet("My notes")
    own.write_url("A1", "https://cooking.example/leek", string="leek")
    own.write_comment("A1", "from the market")
    own.write_formula("B1", "=SUM(Packs!E2:E5)", None, 8.23)
    chart = book.add_chart({"type": "column"})
    chart.add_series({"values": "=Packs!$E$2:$E$5", "gap": 50})
    own.insert_chart("D2", chart)
    book.define_name("Prices", "=Packs!$E$2:$E$5")
    book.close()
    return file.getvalue()


class Relation(NamedTuple):
    """A relationship, its target a part or an address outside."""

    id: str
    kind: str
    target: str
    external: bool


@dataclass(frozen=True)
class Contents:
    """What a package says, whatever it is called: parts, their types and their relationships."""

    parts: Parts
    types: dict[str, str]
    relations: Mapping[str, list[Relation]]


def contents_of(data: bytes) -> Contents:
    """The contents of a package of the usual kind."""
    whole = parts_of(data)
    parts = dict(whole)
    listed = tree_of(parts.pop("[Content_Types].xml"))
    endings = {
        e.get("Extension"): e.get("ContentType", "") for e in listed.findall(f"{{{TYPES}}}Default")
    }
    stated = {
        e.get("PartName", "")[1:]: e.get("ContentType", "")
        for e in listed.findall(f"{{{TYPES}}}Override")
    }
    relations: dict[str, list[Relation]] = {}
    for name in [name for name in parts if name.endswith(".rels")]:
        folder, base = posixpath.split(posixpath.dirname(name))[0], posixpath.basename(name)
        source = posixpath.join(folder, base.removesuffix(".rels"))
        targets = {identity: part for identity, _, part in related(source, whole)}
        relations[source] = [
            Relation(
                e.get("Id", ""),
                e.get("Type", ""),
                targets.get(e.get("Id", ""), e.get("Target", "")),
                e.get("TargetMode") == "External",
            )
            for e in tree_of(parts.pop(name))
        ]
    kinds = {name: stated.get(name) or endings[name.rpartition(".")[2]] for name in parts}
    return Contents(parts, kinds, relations)


FOLDERS = ("", "xl/", "Book/", "XL/", "a%20b/c/", "%C3%A9t%C3%A9/", "deep/er/still/", "x~1/")
PATTERNS = {
    "sheet.main+xml": ("workbook.xml", "Book-1.xml", "sheet1.xml", "main.part", "Workbook.XML"),
    "worksheet+xml": ("worksheets/sheet%d.xml", "%d.xml", "pages/Page-%d.page", "s/S%d.XML"),
    "styles+xml": ("styles.xml", "Formats/look.xml", "styles%d.xml", "looks.part"),
    "sharedStrings+xml": ("sharedStrings.xml", "Texts.xml", "words/%d.part"),
    "table+xml": ("tables/table%d.xml", "t/Table.%d.xml", "list%d.part"),
}


@st.composite
def renamed(draw: st.DrawFn, contents: Contents) -> Contents:
    """The contents under other names; parts of one kind are named alike."""
    folder = draw(st.sampled_from(FOLDERS))
    patterns = {kind: draw(st.sampled_from(names)) for kind, names in PATTERNS.items()}
    names: dict[str, str] = {}
    for number, (old, kind) in enumerate(contents.types.items(), 1):
        pattern = next((p for end, p in patterns.items() if kind.endswith(end)), None)
        new = (
            old if pattern is None else folder + (pattern % number if "%d" in pattern else pattern)
        )
        taken = {name.lower() for name in names.values()}
        names[old] = (
            new if new.lower() not in taken else f"other/{number}-{posixpath.basename(new)}"
        )
    names[""] = ""
    return Contents(
        {names[old]: content for old, content in contents.parts.items()},
        {names[old]: kind for old, kind in contents.types.items()},
        {
            names[old]: [r if r.external else r._replace(target=names[r.target]) for r in listed]
            for old, listed in contents.relations.items()
        },
    )


def strict(contents: Contents) -> Contents:
    """The contents in the Strict class."""

    def put(data: bytes) -> bytes:
        return TRANSITIONAL_SPACE.sub(rb"http://purl.oclc.org/ooxml/\1/", data)

    parts = {
        name: re.sub(rb'(<c:(?:gapWidth|overlap) val="-?\d+)"', rb'\1%"', put(content))
        for name, content in contents.parts.items()
    }
    for name in parts:
        if contents.types[name].endswith("sheet.main+xml"):
            parts[name] = parts[name].replace(b"<workbook ", b'<workbook conformance="strict" ', 1)
    return Contents(
        parts,
        contents.types,
        {
            source: [r._replace(kind=put(r.kind.encode()).decode()) for r in listed]
            for source, listed in contents.relations.items()
        },
    )


def in_strict(data: bytes) -> bytes:
    """A workbook of usual names in the Strict class."""
    contents = strict(contents_of(data))
    listings = {name: c for name, c in parts_of(data).items() if name not in contents.parts}
    old, new = (
        b"schemas.openxmlformats.org/officeDocument/2006/",
        b"purl.oclc.org/ooxml/officeDocument/",
    )
    return zipped(contents.parts | {n: c.replace(old, new) for n, c in listings.items()})


def in_transitional(data: bytes) -> bytes:
    """A package with its Strict namespaces replaced, for checks that know one class."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, content in parts_of(data).items():
            wide = content.startswith(b"\xff\xfe")
            text = content.decode("utf-16").encode("utf-8") if wide else content
            new = STRICT_SPACE.sub(rb"http://schemas.openxmlformats.org/\1/2006/", text)
            new = re.sub(rb'(<c:(?:gapWidth|overlap) val="-?\d+)%', rb"\1", new)
            archive.writestr(name, new.decode().encode("utf-16") if wide else new)
    return file.getvalue()


def prefixed(xml: bytes, prefix: str) -> bytes:
    """A part whose own elements carry a prefix instead of the default namespace."""
    text = re.sub(rb"<(/?)([A-Za-z]\w*)(?=[\s/>])", rb"<\1%s:\2" % prefix.encode(), xml)
    return re.sub(rb"\sxmlns=", b" xmlns:%s=" % prefix.encode(), text, count=1)


SPELLINGS = ("as it is", "remark", "lines", "no declaration", "mark", "prefix", "UTF-16")


def respelled(xml: bytes, spelling: str) -> bytes:
    """The same XML written in another way."""
    declaration, root = re.match(rb"(<\?xml[^>]*\?>)?\s*(.*)", xml, re.DOTALL).groups()  # type: ignore[union-attr]
    head = declaration or b'<?xml version="1.0" encoding="UTF-8"?>'
    if spelling == "remark":
        return head + b"\r\n<!-- <sheets> -->" + root + b"<!-- end -->\n"
    if spelling == "no declaration":
        return bytes(root)
    if spelling == "mark":
        return b"\xef\xbb\xbf" + head + root
    if spelling == "prefix" and b"<x:" not in root and b"xmlns:x=" not in root:
        return head + prefixed(root, "x")
    if spelling == "UTF-16":
        return (b'<?xml version="1.0" encoding="UTF-16"?>' + root).decode().encode("utf-16")
    if spelling == "lines":
        return head + root.replace(b"><row", b">\n  <row").replace(b"><sheet ", b">\n<sheet ")
    return xml


KEY_KINDS = ("main+xml", "worksheet+xml", "styles+xml", "sharedStrings+xml", "table+xml")


@st.composite
def listings(draw: st.DrawFn, contents: Contents, *, everything: bool) -> Parts:
    """The content types and relationships as parts; targets relative or from the top."""

    def cased(words: str) -> str:
        way = draw(st.sampled_from(["as is", "upper", "title"])) if everything else "as is"
        return {"as is": words, "upper": words.upper(), "title": words.title()}[way]

    def target(source: str, part: str) -> str:
        if draw(st.booleans()):
            return cased(f"/{part}")
        here = posixpath.dirname(source)
        way = posixpath.relpath(f"/{part}", f"/{here}")
        return draw(st.sampled_from(["", "./"] if everything else [""])) + cased(way)

    found: Parts = {}
    for source, listed in contents.relations.items():
        inside = ""
        for r in draw(st.permutations(listed)):
            mode = "External" if r.external else draw(st.sampled_from(["", "Internal"]))
            where = r.target if r.external else target(source, r.target)
            said = f" TargetMode={quoteattr(mode)}" if mode else ""
            inside += (
                f"<Relationship Target={quoteattr(where)}{said} Type={quoteattr(r.kind)} "
                f"Id={quoteattr(r.id)}/>"
            )
        folder, base = posixpath.split(source)
        name = posixpath.join(folder, "_rels", f"{base}.rels")
        found[name] = f'<Relationships xmlns="{PACKAGE}">{inside}</Relationships>'.encode()
    by_ending: dict[str, str] = {"rels": "application/vnd.openxmlformats-package.relationships+xml"}
    for name, kind in contents.types.items():
        if draw(st.booleans()):
            by_ending.setdefault(name.rpartition(".")[2].lower(), kind)
    defaults = "".join(
        f"<Default Extension={quoteattr(cased(end))} ContentType={quoteattr(kind)}/>"
        for end, kind in by_ending.items()
    )
    overrides = "".join(
        f"<Override ContentType={quoteattr(kind)} PartName={quoteattr(cased('/' + name))}/>"
        for name, kind in draw(st.permutations(sorted(contents.types.items())))
        if by_ending.get(name.rpartition(".")[2].lower()) != kind
    )
    inside = "".join(draw(st.permutations([defaults, overrides])))
    found["[Content_Types].xml"] = f'<Types xmlns="{TYPES}">{inside}</Types>'.encode()
    return found


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


EXTRA_FIELDS = (b"", b"\xfe\xca\x00\x00", b"UT\x05\x00\x01\x00\x00\x00\x60")


@st.composite
def packed(draw: st.DrawFn, parts: Parts, *, wide: bool) -> bytes:
    """The package in any order, each part packed or not, with or without remarks and folders."""
    file = Unseekable() if draw(st.booleans()) else io.BytesIO()
    # Above this size all places and sizes are of 64 bits, and so is the end of the directory.
    most = 100 if wide and draw(st.booleans()) else zipfile.ZIP64_LIMIT
    order = draw(st.permutations(sorted(parts)))
    with patch.object(zipfile, "ZIP64_LIMIT", most), zipfile.ZipFile(file, "w") as archive:
        for name in order:
            info = zipfile.ZipInfo(name, (2025, 3, 1, 8, 30, 0))
            info.compress_type = draw(st.sampled_from([zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED]))
            info.comment = draw(st.sampled_from([b"", b"a remark"]))
            info.extra = draw(st.sampled_from(EXTRA_FIELDS))
            with archive.open(
                info, "w", force_zip64=most == 100 or (wide and draw(st.booleans()))
            ) as part:
                part.write(parts[name])
        if draw(st.booleans()):
            archive.writestr(zipfile.ZipInfo("docs/", (2025, 3, 1, 8, 30, 0)), b"")
        archive.comment = draw(st.sampled_from([b"", b"made by hand"]))
    return file.getvalue()


UNKNOWN = {
    "customXml/item1.xml": ("application/xml", b"<shoot xmlns='urn:example:shoot'/>"),
    "odd/Thing.BIN": ("application/octet-stream", bytes(range(256))),
    "odd/thing.xml": ("application/x-odd+xml", b"<thing xmlns='https://odd.example/thing'/>"),
    "docProps/thumbnail.jpeg": ("image/jpeg", b"\xff\xd8\xff\xe0 no picture"),
}


class Made:
    """A package that was made, shown by what tells it from others."""

    def __init__(self, data: bytes, *, strict: bool, spellings: tuple[str, ...]) -> None:
        self.data = data
        self._told = f"strict={strict} {sorted(parts_of(data))} {spellings}"

    def __repr__(self) -> str:
        return self._told


@st.composite
def packages(draw: st.DrawFn, *, everything: bool = True) -> Made:
    """The workbook in a package of any lawful kind.

    Parameters
    ----------
    everything : bool
        Also what LibreOffice 7.4 does not read: targets in other capitals than the names of parts
        or with a step of one dot, sizes of 64 bits, some spellings of XML.
    """
    contents = draw(renamed(contents_of(usual())))
    is_strict = draw(st.booleans())
    if is_strict:
        contents = strict(contents)
    for name, (kind, content) in UNKNOWN.items():
        if draw(st.booleans()):
            contents.parts[name] = content
            contents.types[name] = kind
            if draw(st.booleans()):
                contents.relations[""].append(
                    Relation(f"odd{len(contents.parts)}", "https://odd.example/t", name, False)
                )
    parts = contents.parts | draw(listings(contents, everything=everything))
    ways = {}
    for name in parts:
        if contents.types.get(name, "main+xml").endswith(KEY_KINDS):
            ways[name] = draw(st.sampled_from(SPELLINGS if everything else SPELLINGS[:3]))
            parts[name] = respelled(parts[name], ways[name])
    told = tuple(f"{name}: {way}" for name, way in ways.items() if way != SPELLINGS[0])
    return Made(draw(packed(parts, wide=everything)), strict=is_strict, spellings=told)


def changeable(parts: Parts) -> set[str]:
    """Names of the parts that results may change: workbook, relations, types and formats."""
    workbook = workbook_part(parts)
    folder, base = posixpath.split(workbook)
    kinds = {kind: part for _, kind, part in related(workbook, parts)}
    wanted = {
        "[content_types].xml",
        workbook.lower(),
        posixpath.join(folder, "_rels", f"{base}.rels").lower(),
        kinds.get("styles", "").lower(),
    }
    return {name for name in parts if name.lower() in wanted}
