"""The relationships of a part and the list of content types: what is added, what is taken out."""

from __future__ import annotations

from costing.workbook.package.offsets import Document, attribute_text
from costing.workbook.package.parts import (
    CONTENT_TYPES,
    TRANSITIONAL,
    Package,
    relations_name,
    relations_of,
    target_words,
)

EMPTY_RELATIONS = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    b"</Relationships>"
)


class RelationsPart:
    """The relationships of one part, and those to be added."""

    def __init__(self, package: Package, source: str) -> None:
        self.source = source
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
            f'<{prefix}Relationship Id="rId{number}" Type="{TRANSITIONAL}{kind}" '
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

    def add(self, part: str, content_type: str) -> None:
        """State the type of a new part."""
        self.remove(part)
        prefix = self.document.root.prefix
        self.document.append(
            self.document.root,
            f'<{prefix}Override PartName="/{attribute_text(part)}" ContentType="{content_type}"/>',
        )

    def remove(self, part: str) -> None:
        """Forget the type of a part that is gone."""
        for element in self.document.root.all("Override"):
            if element.attributes.get("PartName", "").lstrip("/").lower() == part.lower():
                self.document.remove(element)
