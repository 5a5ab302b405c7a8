"""What is looked at before a workbook is read.

A reader that is given a hostile or damaged file takes gigabytes of memory, ends the process, or
reads nothing and says nothing. Everything else in the project gets a
:class:`~costing.workbook.package.opc.Package` that passed here.
"""

from __future__ import annotations

import codecs
import zipfile
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from costing.findings import Place
from costing.workbook.package.conformance import STRICT, TRANSITIONAL, Conformance
from costing.workbook.package.extents import (
    LIMITS,
    Limits,
    NotWellFormed,
    Scan,
    cells_in,
)
from costing.workbook.package.members import (
    DEFLATED,
    STORED,
    Member,
    ZipFault,
    read_directory,
    read_members,
)
from costing.workbook.package.opc import (
    CONTENT_TYPES,
    Package,
    Relation,
    content_types,
    name_key,
    relations_name,
    relations_of,
)
from costing.workbook.package.refusals import (
    Refused,
    binary_workbook,
    damaged,
    encrypted_part,
    file_empty,
    file_place,
    file_too_large,
    not_a_workbook,
    old_format,
    packed_too_tightly,
    password_protected,
    too_many_parts,
    unpacks_too_large,
    unsafe_part_name,
)
from costing.workbook.package.xmlparts import Document, XmlFault

COMPOUND = bytes.fromhex("d0cf11e0a1b11ae1")
"""How a compound file begins: a workbook before .xlsx, or a package behind a password."""
ENTRY = 128
"""Length of a directory entry; entries stand at multiples of it. [bytes]"""
NAME_FIELD = 64
"""Length of the name in a directory entry, its end mark included. [bytes]"""


def has_stream(data: bytes, name: str) -> bool:
    """Whether the directory of a compound file holds a stream of this name.

    A directory entry begins with the name in UTF-16, and tells at byte 64 how long it is.
    """
    wanted = (name + "\0").encode("utf-16-le")
    at = data.find(wanted)
    while at >= 0:
        length = int.from_bytes(data[at + NAME_FIELD : at + NAME_FIELD + 2], "little")
        if at % ENTRY == 0 and length == len(wanted):
            return True
        at = data.find(wanted, at + 1)
    return False


WORKBOOK_TYPES = (
    "spreadsheetml.sheet.main+xml",
    "spreadsheetml.template.main+xml",
    "ms-excel.sheet.macroenabled.main+xml",
    "ms-excel.template.macroenabled.main+xml",
    "ms-excel.addin.macroenabled.main+xml",
)
BINARY_TYPE = "ms-excel.sheet.binary.macroenabled.main"
SHEET_TYPE = "spreadsheetml.worksheet+xml"
READ_TYPE = "spreadsheetml."
"""In the content types of parts that a reader needs; a broken one makes the workbook unreadable."""
OPENED = {
    kind: f"spreadsheetml.{kind}+xml" for kind in ("worksheet", "styles", "sharedStrings", "table")
}
"""What a part is that a reader opens for a relationship of this kind, whatever type is stated."""
KINDS = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"<!DOCTYPE html", "a web page"),
    (b"<html", "a web page"),
    (b"<?xml", "an XML document"),
)
OPEN_DOCUMENT = b"application/vnd.oasis.opendocument."


def open_gate(data: bytes, *, name: str = "", limits: Limits = LIMITS) -> Package:
    """Let a workbook in, or refuse it.

    Raises
    ------
    Refused
        With the finding that says why and what to do.
    """
    try:
        return replace(_let_in(data, limits), name=name)
    except Refused as refused:
        raise Refused(replace(refused.finding, place=file_place(name))) from None


@lru_cache(maxsize=2)  # a workbook is read, and written into
def _let_in(data: bytes, limits: Limits) -> Package:
    """The same for a file without a name."""
    place = file_place("")
    # From the cheapest check to the dearest: the size, the directory, then every part once. No
    # part is unpacked before the directory has said how large it will be.
    check_outside(data, place, limits)
    try:
        directory, comment = read_directory(data)
        check_directory(directory, place, limits)
        members = read_members(data, directory)
        package = _package(members, place, limits)
        return replace(package, comment=comment)
    except ZipFault as fault:
        raise Refused(damaged(place, str(fault))) from None


def check_outside(data: bytes, place: Place, limits: Limits) -> None:
    """Judge the file by its size and its first bytes."""
    if not data:
        raise Refused(file_empty(place))
    if len(data) > limits.file_bytes:
        raise Refused(file_too_large(place, len(data), limits.file_bytes))
    if data.startswith(COMPOUND):
        if has_stream(data, "EncryptedPackage"):
            raise Refused(password_protected(place))
        if has_stream(data, "Workbook") or has_stream(data, "Book"):
            raise Refused(old_format(place))
        raise Refused(not_a_workbook(place, "a document of another program"))
    if not data.startswith(b"PK"):
        raise Refused(not_a_workbook(place, _kind_words(data)))


def _kind_words(data: bytes) -> str:
    """What a file that is no package looks like."""
    # enough to tell a kind, and no more of a large file than that is looked at
    start = data[:512].lstrip(b"\xef\xbb\xbf\r\n\t ")
    for magic, words in KINDS:
        if start[: len(magic)].lower() == magic.lower():
            return words
    # whatever its encoding, a text may have letters from 128 on
    printable = sum(32 <= byte < 127 or byte in b"\t\r\n\f" or byte >= 128 for byte in start)
    marked = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    is_text = marked or (start and printable == len(start))
    return "a plain text file" if is_text else "a file of another kind"


def check_directory(directory: Collection[zipfile.ZipInfo], place: Place, limits: Limits) -> None:
    """Judge the directory of the package: how many parts, their names and their sizes."""
    if len(directory) > limits.parts:
        raise Refused(too_many_parts(place, len(directory), limits.parts))
    unpacked = sum(info.file_size for info in directory)
    if unpacked > limits.unpacked_bytes:
        raise Refused(unpacks_too_large(place, unpacked, limits.unpacked_bytes))
    for info in directory:
        part = info.orig_filename
        if not is_safe_name(part):
            raise Refused(unsafe_part_name(place, part))
        if info.flag_bits & 1:
            raise Refused(encrypted_part(place, part))
        if info.compress_type not in (STORED, DEFLATED):
            raise Refused(damaged(place, f"the part {part!r} packed in an unusual way"))
        ratio = info.file_size // max(info.compress_size, 1)
        if info.file_size > limits.ratio_above and ratio > limits.ratio:
            raise Refused(packed_too_tightly(place, part, ratio, limits.ratio))


def is_safe_name(name: str) -> bool:
    """Whether a part's name stays inside the package.

    Examples
    --------
    >>> is_safe_name("xl/workbook.xml"), is_safe_name("xl/../../evil"), is_safe_name("/abs")
    (True, False, False)
    """
    steps = name.removesuffix("/").split("/")
    return (
        not any(step in ("", ".", "..") for step in steps)
        and "\\" not in name
        and ":" not in steps[0]
        and name.isprintable()
    )


def _package(all_members: list[Member], place: Place, limits: Limits) -> Package:
    """Judge the content of the parts, and find the workbook."""
    # Of two entries of one name LibreOffice, openpyxl, calamine, ironcalc and formualizer all
    # read the later one.
    last = {member.name: member for member in all_members}
    members = tuple(member for member in all_members if last[member.name] is member)
    twice = (m.name for m in all_members if (m.crc, m.size) != _sum(last[m.name]))
    parts = {name_key(member.name): member for member in members if not member.folder}
    kind = b"".join(parts["mimetype"].unpacked()) if "mimetype" in parts else b""
    if kind.startswith(OPEN_DOCUMENT):
        raise Refused(not_a_workbook(place, "an OpenDocument file"))
    if CONTENT_TYPES.lower() not in parts:
        raise Refused(not_a_workbook(place, "a zip file without a list of content types"))
    types = content_types(
        _document(parts[CONTENT_TYPES.lower()], place, limits),
        [member.name for member in members],
    )
    workbook = _workbook_part(Package(members, ""), place, limits)
    check_workbook_type(types[workbook.name], place)
    opened = _opened(Package(members, workbook.name), place, limits)
    check_parts(members, types | opened, place, limits)
    # Last, as it builds the workbook part in memory: by now its depth and size are judged.
    conformance = _conformance(workbook, place)
    return Package(members, workbook.name, conformance, twice=tuple(dict.fromkeys(twice)))


def _sum(member: Member) -> tuple[int, int]:
    return member.crc, member.size


def _document(member: Member, place: Place, limits: Limits) -> Document:
    """A small part, parsed; its depth is judged first."""
    scan_part(member, place, limits, sheet=False, needed=True, cells=0)
    try:
        return Document(b"".join(member.unpacked()))
    except XmlFault as fault:
        raise Refused(damaged(place, f"{fault} in the part {member.name!r}")) from None


def _workbook_part(package: Package, place: Place, limits: Limits) -> Member:
    """The part that the package names as its document."""
    for relation, part in _related(package, "", place, limits):
        if relation.kind == "officeDocument":
            return package.member(part)
    raise Refused(not_a_workbook(place, "a package without a main document"))


def _related(
    package: Package, source: str, place: Place, limits: Limits
) -> Iterator[tuple[Relation, str]]:
    """The relationships of a part to others of the package, judged as they are read."""
    listed = package.find(relations_name(source))
    document = _document(package.member(listed), place, limits) if listed else None
    for relation in relations_of(source, document) if document else ():
        part = package.find(relation.target)
        if part is not None:
            yield relation, part


def _opened(package: Package, place: Place, limits: Limits) -> dict[str, str]:
    """The parts that a reader opens, and what each of them is to it."""
    found: dict[str, str] = {}
    sources = [package.workbook]
    for source in sources:
        for relation, part in _related(package, source, place, limits):
            if relation.kind in OPENED and part not in found:
                found[part] = OPENED[relation.kind]
                sources += [part] if relation.kind == "worksheet" else []
    return found


def check_workbook_type(content_type: str, place: Place) -> None:
    """Judge the content type of the main document."""
    kind = content_type.lower()
    if kind.endswith(BINARY_TYPE):
        raise Refused(binary_workbook(place))
    if "wordprocessingml" in kind:
        raise Refused(not_a_workbook(place, "a text document"))
    if "presentationml" in kind:
        raise Refused(not_a_workbook(place, "a presentation"))
    if not kind.endswith(WORKBOOK_TYPES):
        raise Refused(not_a_workbook(place, f"a package of the type {content_type!r}"))


def check_parts(
    members: Iterable[Member], types: Mapping[str, str], place: Place, limits: Limits
) -> None:
    """Unpack every part once, and judge those that are XML."""
    cells = 0
    for member in members:
        kind, name = types[member.name].lower(), member.name.lower()
        # Types alone do not say: programs state one for all endings, or leave parts without any.
        xml = kind.endswith(("+xml", "/xml")) or name.endswith((".xml", ".rels", ".vml"))
        if not xml:
            for _ in member.unpacked():
                pass
            continue
        sheet = kind.endswith(SHEET_TYPE)
        # An archiver puts beside each file what it knows of it, under the file's own ending.
        related = name.endswith(".rels") and not name.startswith("__macosx/")
        needed = READ_TYPE in kind or related
        cells += scan_part(member, place, limits, sheet=sheet, needed=needed, cells=cells)


def scan_part(
    member: Member, place: Place, limits: Limits, *, sheet: bool, needed: bool, cells: int
) -> int:
    """Pass over an XML part; a broken one is refused only when a reader needs it.

    Gives how many cells it holds.
    """
    try:
        if sheet:
            data = b"".join(member.unpacked())
            return cells_in(member.name, data, limits, place, before=cells)
        Scan(member.name, limits, place).read(member.unpacked())
    except NotWellFormed as fault:
        if needed:
            raise Refused(
                damaged(place, f"broken XML ({fault}) in the part {member.name!r}")
            ) from None
    return 0


def _conformance(workbook: Member, place: Place) -> Conformance:
    """The class that the workbook part is written in."""
    try:
        root = Document(b"".join(workbook.unpacked())).root
    except XmlFault as fault:
        raise Refused(damaged(place, f"{fault} in the part {workbook.name!r}")) from None
    for conformance in (TRANSITIONAL, STRICT):
        if root.local == "workbook" and root.namespace == conformance.main:
            return conformance
    raise Refused(damaged(place, f"no workbook in the part {workbook.name!r}"))
