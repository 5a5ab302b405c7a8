"""A workbook as a package: its parts, their relationships and their content types.

The words are those of the Open Packaging Conventions, ECMA-376 part 2.
"""

from __future__ import annotations

import gc
import posixpath
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from urllib.parse import unquote

from costing.workbook.package.conformance import STRICT, TRANSITIONAL, Conformance, as_strict
from costing.workbook.package.members import Member, packed_member, write_members
from costing.workbook.package.xmlparts import Document, Element, attribute_text

CONTENT_TYPES = "[Content_Types].xml"
RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"
"""Namespace of the parts that hold relationships."""


@dataclass(frozen=True, slots=True)
class Relation:
    """A relationship of a part.

    Parameters
    ----------
    id : str
        Its name in the part (``rId1``).
    kind : str
        The last word of its type (``worksheet``).
    target : str
        Name of the part it leads to; of an external one the address as written.
    """

    id: str
    kind: str
    target: str
    external: bool


def name_key(name: str) -> str:
    """What two spellings of a part's name have in common.

    Examples
    --------
    >>> name_key("xl/My%20sheet.xml") == name_key("XL/My sheet.XML")
    True
    """
    return unquote(name).lower()


def relations_name(part: str) -> str:
    """The part that holds the relationships of a part.

    Examples
    --------
    >>> relations_name("xl/workbook.xml"), relations_name("")
    ('xl/_rels/workbook.xml.rels', '_rels/.rels')
    """
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def target_part(source: str, target: str) -> str:
    """The part a target means, seen from the part ``source``.

    Examples
    --------
    >>> target_part("xl/worksheets/sheet1.xml", "../tables/table1.xml")
    'xl/tables/table1.xml'
    >>> target_part("xl/workbook.xml", "/xl/worksheets/sheet1.xml")
    'xl/worksheets/sheet1.xml'
    """
    path = target.split("#")[0]
    if path.startswith("/"):
        return posixpath.normpath(path).lstrip("/")
    return posixpath.normpath(posixpath.join(posixpath.dirname(source), path)).lstrip("/")


def target_words(source: str, part: str) -> str:
    """A part as a relationship of ``source`` spells it.

    Examples
    --------
    >>> target_words("xl/worksheets/sheet1.xml", "xl/tables/table1.xml")
    '../tables/table1.xml'
    """
    return posixpath.relpath(part, posixpath.dirname(source) or ".")


@dataclass(frozen=True)
class Package:
    """A workbook that passed the gate.

    Parameters
    ----------
    members : tuple of Member
        Its entries in the order of the file; each name once.
    comment : bytes
        The remark on the whole zip file.
    twice : tuple of str
        Names that stood more than once in the file, with different content.
    """

    members: tuple[Member, ...]
    workbook: str
    conformance: Conformance = TRANSITIONAL
    name: str = ""
    comment: bytes = b""
    twice: tuple[str, ...] = ()
    _by_name: dict[str, Member] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        # Names do not tell capitals from small letters, nor a sign from its number (%20). Of names
        # that differ in nothing else the one spelled as asked for is meant, as readers have it.
        self._by_name.update((name_key(member.name), member) for member in self.members)
        self._by_name.update((member.name, member) for member in self.members)

    @property
    def names(self) -> list[str]:
        """Names of the parts, in the order of the file."""
        return [member.name for member in self.members if not member.folder]

    def find(self, name: str) -> str | None:
        """The part's name as the file spells it, None when there is no such part."""
        found = self._by_name.get(name) or self._by_name.get(name_key(name))
        return None if found is None else found.name

    def member(self, name: str) -> Member:
        """The entry of a part, by its name as the file spells it."""
        return self._by_name[name]

    def read(self, name: str) -> bytes:
        """The unpacked content of a part, by its name as the file spells it."""
        return b"".join(self.member(name).unpacked())

    def relations(self, part: str) -> list[Relation]:
        """The relationships of a part, none when it has none; ``""`` is the package itself."""
        name = self.find(relations_name(part))
        return [] if name is None else relations_of(part, Document(self.read(name)))

    @property
    def data(self) -> bytes:
        """The file."""
        return write_members(self.members, comment=self.comment)

    def rewritten(self, changed: Mapping[str, bytes], *, removed: Collection[str] = ()) -> Package:
        """The package with some parts changed or added; every other entry as it is.

        A changed part keeps its place, added ones follow in the order of ``changed``. A part
        whose content stays the same keeps its packed bytes and its date. An added part is put
        into the namespaces of the workbook.
        """
        return replace(self, members=tuple(self._members(changed, frozenset(removed))))

    def _members(self, changed: Mapping[str, bytes], removed: frozenset[str]) -> Iterator[Member]:
        written = set()
        for member in self.members:
            content = changed.get(member.name)
            written.add(member.name)
            if member.name in removed:
                continue
            if content is None or b"".join(member.unpacked()) == content:
                yield member
            else:
                yield packed_member(member.name, content)
        for name, content in changed.items():
            if name not in written:
                new = as_strict(content) if self.conformance is STRICT else content
                yield packed_member(name, new)


def relations_of(part: str, document: Document) -> list[Relation]:
    """The relationships that a relationships part lists for ``part``."""
    found = []
    for element in document.root.all("Relationship"):
        at = element.attributes
        external = at.get("TargetMode") == "External"
        target = at.get("Target", "")
        kind = at.get("Type", "").rpartition("/")[2]
        found.append(
            Relation(
                at.get("Id", ""),
                kind,
                target if external else target_part(part, target),
                external,
            )
        )
    return found


_RELATIONS = "application/vnd.openxmlformats-package.relationships+xml"


def content_types(document: Document, names: Collection[str]) -> dict[str, str]:
    """The content type of each part, ``""`` where none is stated."""
    defaults, overrides = {}, {}
    for element in document.root.children:
        kind = element.attributes.get("ContentType", "")
        if element.local == "Default":
            defaults[element.attributes.get("Extension", "").lower()] = kind
        elif element.local == "Override":
            overrides[_stated_key(element)] = kind
    return {
        name: overrides.get(name_key(name)) or defaults.get(name.rpartition(".")[2].lower(), "")
        for name in names
    }


def _stated_key(override: Element) -> str:
    return name_key(override.attributes.get("PartName", "").lstrip("/"))


EMPTY_RELATIONS = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<Relationships xmlns="%s"></Relationships>' % RELATIONSHIPS.encode()
)


class RelationsPart:
    """The relationships of one part, and those to be added."""

    def __init__(self, package: Package, source: str) -> None:
        self.source, self._types = source, package.conformance.relations
        self.name = package.find(relations_name(source)) or relations_name(source)
        known = package.find(self.name) is not None
        self.document = Document(package.read(self.name) if known else EMPTY_RELATIONS)
        self.relations = relations_of(source, self.document)
        self._ids = {relation.id for relation in self.relations}
        self.added = False

    def add(self, kind: str, part: str) -> str:
        """Add a relationship to a part; its new name is given back."""
        number = 1
        while f"rId{number}" in self._ids:
            number += 1
        self._ids.add(f"rId{number}")
        self.added = True
        prefix = self.document.root.prefix
        target = attribute_text(target_words(self.source, part))
        self.document.append(
            self.document.root,
            f'<{prefix}Relationship Id="rId{number}" Type="{self._types}/{kind}" '
            f'Target="{target}"/>',
        )
        return f"rId{number}"

    def remove(self, identity: str) -> None:
        """Take a relationship out."""
        for element in self.document.root.all("Relationship"):
            if element.attributes.get("Id") == identity:
                self.document.remove(element)


class ContentTypes:
    """The list of content types, and what is added to it."""

    def __init__(self, package: Package) -> None:
        self.name = package.find(CONTENT_TYPES) or CONTENT_TYPES
        self.document = Document(package.read(self.name))
        self._types_relations = _RELATIONS in content_types(self.document, ["rels"]).values()

    def add(self, part: str, content_type: str) -> None:
        """State the type of a new part, which may bring relationships of its own."""
        self.remove(part)
        prefix = self.document.root.prefix
        if not self._types_relations:  # some list each relationships part by its name instead
            self._types_relations = True
            self.document.append(
                self.document.root,
                f'<{prefix}Default Extension="rels" ContentType="{_RELATIONS}"/>',
            )
        self.document.append(
            self.document.root,
            f'<{prefix}Override PartName="/{attribute_text(part)}" ContentType="{content_type}"/>',
        )

    def remove(self, part: str) -> None:
        """Forget the type of a part that is gone."""
        for element in self.document.root.all("Override"):
            if _stated_key(element) == name_key(part):
                self.document.remove(element)


@contextmanager
def without_collection() -> Iterator[None]:
    """Hold the collection of garbage back: a large shoot is millions of objects and no garbage."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
