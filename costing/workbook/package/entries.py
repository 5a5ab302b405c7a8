"""The counted lists of the formats part (fonts, fills ...), searched for an entry alike.

Alike means alike in effect: what other programs spell out, leave out or order differently when
they save is evened out first.
"""

from __future__ import annotations

from typing import NamedTuple

from costing.workbook.package.offsets import Document, Element

ORDER = (
    "numFmts",
    "fonts",
    "fills",
    "borders",
    "cellStyleXfs",
    "cellXfs",
    "cellStyles",
    "dxfs",
    "tableStyles",
    "colors",
    "extLst",
)
DEFAULTS = {
    "horizontal": "general",
    "vertical": "bottom",
    "wrapText": "0",
    "indent": "0",
    "textRotation": "0",
    "shrinkToFit": "0",
    "justifyLastLine": "0",
    "readingOrder": "0",
    "locked": "1",
    "hidden": "0",
    "quotePrefix": "0",
    "pivotButton": "0",
    "numFmtId": "0",
    "fontId": "0",
    "fillId": "0",
    "borderId": "0",
    "xfId": "0",
    "val": "1",
    "diagonalUp": "0",
    "diagonalDown": "0",
}
"""What an attribute means when it is left out."""
SWITCHES = {
    "applyNumberFormat": "numFmtId",
    "applyFont": "fontId",
    "applyFill": "fillId",
    "applyBorder": "borderId",
    "applyAlignment": "alignment",
    "applyProtection": "protection",
}
"""Attributes that say whether a part of a cell format is used, and the part."""
TOGGLES = frozenset({"b", "i", "strike", "condense", "extend", "outline", "shadow"})
"""Children of a font that are on by standing there."""


class Canonical(NamedTuple):
    """An element evened out, so that two alike in effect are equal."""

    local: str
    attributes: tuple[tuple[str, str], ...]
    children: tuple[Canonical, ...]

    @property
    def says_something(self) -> bool:
        """Whether it differs from an element left out."""
        return bool(self.attributes or self.children)


def canonical(element: Element) -> Canonical:
    """Even an element out: defaults dropped, spellings of yes and no, order of children."""
    attributes = {}
    for key, value in element.attributes.items():
        even = {"true": "1", "false": "0"}.get(value.lower(), value)
        if key not in SWITCHES and DEFAULTS.get(key) != even:
            attributes[key] = even.upper() if key == "rgb" else even
    children = []
    for child in element.children:
        even_child = canonical(child)
        if element.local == "font":
            kept = child.local not in TOGGLES or child.flag("val", default=True)
        else:
            kept = even_child.says_something
        if child.local == "bgColor" and attributes.get("patternType") == "solid":
            kept = False
        if kept:
            children.append(even_child)
    return Canonical(element.local, tuple(sorted(attributes.items())), tuple(sorted(children)))


def switched_off(element: Element, even: Canonical) -> bool:
    """Whether a cell format says of a part it has that the part is not used."""
    has = {name for name, _ in even.attributes} | {child.local for child in even.children}
    return any(
        part in has and not element.flag(switch, default=True) for switch, part in SWITCHES.items()
    )


class CountedList:
    """One counted list of the part: its entries, and those to be appended."""

    def __init__(self, document: Document, name: str) -> None:
        self.document, self.name = document, name
        self.parent = document.root.child(name)
        self.elements: list[Element] = list(self.parent.children) if self.parent else []
        self.items: list[Canonical] = [canonical(element) for element in self.elements]
        self._added: list[str] = []

    def find_or_add(self, xml: str) -> int:
        """Number of an entry alike, of the new one when there is none."""
        wanted = canonical(self._parsed(xml))
        for number, item in enumerate(self.items):
            old = self.elements[number] if number < len(self.elements) else None
            if item == wanted and (old is None or not switched_off(old, item)):
                return number
        return self.add(xml)

    def add(self, xml: str) -> int:
        """Append an entry."""
        self.items.append(canonical(self._parsed(xml)))
        self._added.append(xml)
        return len(self.items) - 1

    def write(self) -> None:
        """Note the appended entries as edits of the part."""
        if not self._added:
            return
        inside = "".join(self._added)
        count = len(self.items)
        if self.parent is None:
            tag = f"{self.document.root.prefix}{self.name}"
            self.document.insert(
                self.document.root,
                f'<{tag} count="{count}">{inside}</{tag}>',
                local=self.name,
                order=ORDER,
            )
        else:
            self.document.append(self.parent, inside)
            if "count" in self.parent.attributes:
                self.document.set_attribute(self.parent, "count", str(count))
        self._added = []

    def _parsed(self, xml: str) -> Element:
        """The entry as it will be once it stands in the part, its prefixes declared."""
        root = self.document.root
        tag = self.document.bytes[root.start : root.inner].removesuffix(b"/>").removesuffix(b">")
        return Document(tag + b">" + xml.encode() + f"</{root.tag}>".encode()).root.children[0]
