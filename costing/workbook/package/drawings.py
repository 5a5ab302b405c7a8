"""A drawing with its charts, made in a scratch workbook, carried across into a new result sheet.

Drawings and charts name sheets by title and hold no format numbers, so that their parts can be
taken as they are; only their part names change, to ones that are free.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import (
    CONTENT_TYPES,
    ContentTypes,
    Package,
    content_types,
    relations_name,
    relations_of,
    target_words,
)
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.xmlparts import Document


class Carrier:
    """Carries parts from a scratch workbook.

    Parameters
    ----------
    scratch : bytes
        The scratch workbook.
    new_part : callable
        Gives a free part name from a folder, a stem and an ending.
    types : ContentTypes
        Where the types of the carried parts are stated.
    """

    def __init__(
        self, scratch: bytes, *, new_part: Callable[[str, str, str], str], types: ContentTypes
    ) -> None:
        self.source = open_gate(scratch)
        self.new_part, self.types = new_part, types
        document = Document(self.source.read(CONTENT_TYPES))
        self._kinds = content_types(document, self.source.names)
        self._carried: dict[str, str] = {}
        self.parts: dict[str, bytes] = {}

    def drawing(self, title: str) -> str:
        """Carry the drawing of the sheet with this title; its new part.

        Raises
        ------
        ValueError
            If there is no such sheet, or no drawing on it.
        """
        for tab in WorkbookPart(self.source).tabs:
            if tab.title == title:
                for relation in self.source.relations(tab.part):
                    if relation.kind == "drawing":
                        return self._carry(relation.target)
        raise ValueError(f"the scratch workbook has no drawing on a sheet {title!r}")

    def _carry(self, part: str) -> str:
        """Carry a part and all it is related to; a part is carried once."""
        if part in self._carried:
            return self._carried[part]
        folder, _, name = part.rpartition("/")
        stem, ending = re.sub(r"\d*\.", ".", name).rsplit(".", 1)
        new = self.new_part(folder.rpartition("/")[2], stem, ending)
        self._carried[part] = new
        self.parts[new] = self.source.read(part)
        self.types.add(new, self._kinds[part])
        self._carry_relations(self.source, part, new)
        return new

    def _carry_relations(self, source: Package, part: str, new: str) -> None:
        name = source.find(relations_name(part))
        if name is None:
            return
        document = Document(source.read(name))
        for element, relation in zip(
            document.root.all("Relationship"), relations_of(part, document), strict=True
        ):
            if not relation.external:
                target = target_words(new, self._carry(relation.target))
                document.set_attribute(element, "Target", target)
        self.parts[relations_name(new)] = document.result()
