"""The workbook's formats: looked up first, appended only when there is none alike.

Looking up is what keeps a workbook from growing with every run.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from costing.workbook.package.addresses import whole
from costing.workbook.package.cellxml import PLAIN, CellStyle
from costing.workbook.package.conformance import MAIN
from costing.workbook.package.xmlparts import Document, Element, attribute_text

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
        # a solid fill shows its foreground alone, and programs write any background with it
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
        self.elements: list[Element] = list(self.parent.entries) if self.parent else []
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
        """The entry as it will be once it is in the part, its prefixes declared."""
        root = self.document.root
        tag = self.document.bytes[root.start : root.inner].removesuffix(b"/>").removesuffix(b">")
        return Document(tag + b">" + xml.encode() + f"</{root.tag}>".encode()).root.children[0]


LISTS = ("numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "dxfs")
FONT_ORDER = (
    *("b", "i", "strike", "condense", "extend", "outline", "shadow", "u", "vertAlign"),
    *("sz", "color", "name", "family", "charset", "scheme"),
)
BUILT_IN = {
    "General": 0,
    "0": 1,
    "0.00": 2,
    "#,##0": 3,
    "#,##0.00": 4,
    "0%": 9,
    "0.00%": 10,
    "@": 49,
}
"""Format codes that every program knows by number, whatever its language."""
FIRST_OWN_FORMAT = 164  # lower numbers are those of built-in formats
MINIMAL = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<styleSheet xmlns="%s">'
    b'<fonts count="1"><font><sz val="11"/><name val="Calibri"/><family val="2"/></font></fonts>'
    b'<fills count="2"><fill><patternFill patternType="none"/></fill>'
    b'<fill><patternFill patternType="gray125"/></fill></fills>'
    b'<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    b'<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    b'<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>'
    b'<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
    b"</styleSheet>"
) % MAIN.encode()
"""The formats of a workbook that came without any."""


class Stylesheet:
    """The formats part of a workbook, and what is to be appended to it."""

    def __init__(self, data: bytes) -> None:
        self.document = Document(data)
        self.prefix = self.document.root.prefix
        self._lists = {name: CountedList(self.document, name) for name in LISTS}
        self._numbers: dict[CellStyle, int] = {}
        self._differences: dict[CellStyle, int] = {}
        self._formats = self._read_formats()

    @property
    def count(self) -> int:
        """How many cell formats there are."""
        return len(self._lists["cellXfs"].items)

    def number(self, style: CellStyle) -> int:
        """Number of the cell format for a style, appended when there is none alike."""
        if style not in self._numbers:
            self._numbers[style] = self._cell_format(style)
        return self._numbers[style]

    def like(self, other: Stylesheet, number: int) -> int:
        """Number of the cell format that looks like one of another workbook."""
        self._add_base()
        own = other._lists["cellXfs"].elements[number]
        attributes = dict(own.attributes)
        for name, of in (("font", "fonts"), ("fill", "fills"), ("border", "borders")):
            element = other._lists[of].elements[whole(attributes.get(f"{name}Id"), 0)]
            found = self._lists[of].find_or_add(self._respelled(other, element))
            attributes[f"{name}Id"] = str(found)
        form = whole(attributes.get("numFmtId"), 0)
        code = next((code for code, known in other._formats.items() if known == form), None)
        attributes["numFmtId"] = str(form if code is None else self._format_number(code))
        # the named style it was made from is of the other workbook
        attributes.pop("xfId", None)
        if self._lists["cellStyleXfs"].items:
            attributes["xfId"] = "0"
        said = " ".join(f'{key}="{attribute_text(value)}"' for key, value in attributes.items())
        inside = "".join(self._respelled(other, child) for child in own.children)
        tag = f"{self.prefix}xf"
        return self._lists["cellXfs"].find_or_add(f"<{tag} {said}>{inside}</{tag}>")

    def _respelled(self, other: Stylesheet, element: Element) -> str:
        """An element of another formats part with the prefix of this one."""
        xml = other.document.raw(element).decode()
        return re.sub(rf"<(/?){re.escape(other.prefix)}(?=\w)", rf"<\1{self.prefix}", xml)

    def difference(self, style: CellStyle) -> int:
        """Number of the format that a conditional format lays over a cell."""
        if style not in self._differences:
            self._differences[style] = self._lists["dxfs"].find_or_add(self._dxf_xml(style))
        return self._differences[style]

    def result(self) -> bytes:
        """The part with what was appended; the same bytes when nothing was."""
        for one in self._lists.values():
            one.write()
        return self.document.result()

    def _read_formats(self) -> dict[str, int]:
        found: dict[str, int] = {}
        for item in self._lists["numFmts"].items:
            attributes = dict(item.attributes)
            number = whole(attributes.get("numFmtId"), 0)
            if number:  # 0 is the general format, whatever is listed under it
                found.setdefault(attributes.get("formatCode", ""), number)
        return found

    def _format_number(self, code: str | None) -> int:
        if code is None:
            return 0
        if code in BUILT_IN:
            return BUILT_IN[code]
        if code not in self._formats:
            number = max([FIRST_OWN_FORMAT - 1, *self._formats.values()]) + 1
            p = self.prefix
            self._lists["numFmts"].add(
                f'<{p}numFmt numFmtId="{number}" formatCode="{attribute_text(code)}"/>'
            )
            self._formats[code] = number
        return self._formats[code]

    def _add_base(self) -> None:
        """The entries that every program takes for granted, where the workbook lacks them."""
        p = self.prefix
        fills = self._lists["fills"]
        for kind in ("none", "gray125")[len(fills.items) :]:
            fills.add(f'<{p}fill><{p}patternFill patternType="{kind}"/></{p}fill>')
        if not self._lists["borders"].items:
            self._lists["borders"].add(self._border_xml(PLAIN))
        if not self._lists["fonts"].items:
            self._lists["fonts"].add(f"<{p}font>{''.join(self._base_pieces().values())}</{p}font>")
        if not self.count:
            self._lists["cellXfs"].add(f'<{p}xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>')

    def _cell_format(self, style: CellStyle) -> int:
        """The number of a cell format, found among those there are or added."""
        self._add_base()
        if style == PLAIN:
            return 0
        font = self._font(style)
        fill = self._lists["fills"].find_or_add(self._fill_xml(style)) if style.fill_colour else 0
        edged = style.border_top or style.border_bottom or style.border_sides
        border = self._lists["borders"].find_or_add(self._border_xml(style)) if edged else 0
        form = self._format_number(style.number_format)
        alignment = _alignment(style)
        attributes = f'numFmtId="{form}" fontId="{font}" fillId="{fill}" borderId="{border}"'
        if self._lists["cellStyleXfs"].items:
            attributes += ' xfId="0"'
        if style.quote_prefix:
            attributes += ' quotePrefix="1"'
        for number, name in (
            (form, "NumberFormat"),
            (font, "Font"),
            (fill, "Fill"),
            (border, "Border"),
            (bool(alignment), "Alignment"),
        ):
            if number:
                attributes += f' apply{name}="1"'
        p = self.prefix
        inside = f"<{p}alignment {alignment}/>" if alignment else ""
        xml = f"<{p}xf {attributes}>{inside}</{p}xf>" if inside else f"<{p}xf {attributes}/>"
        return self._lists["cellXfs"].find_or_add(xml)

    def _font(self, style: CellStyle) -> int:
        """The workbook's first font, with what the style changes."""
        fonts = self._lists["fonts"]
        if not (style.bold or style.italic or style.font_colour or style.font_size):
            return 0
        p = self.prefix
        pieces = self._base_pieces()
        if style.bold:
            pieces["b"] = f"<{p}b/>"
        if style.italic:
            pieces["i"] = f"<{p}i/>"
        if style.font_colour:
            pieces["color"] = f'<{p}color rgb="FF{style.font_colour}"/>'
        if style.font_size:
            pieces["sz"] = f'<{p}sz val="{style.font_size:g}"/>'
        inside = "".join(pieces[name] for name in FONT_ORDER if name in pieces)
        return fonts.find_or_add(f"<{p}font>{inside}</{p}font>")

    def _base_pieces(self) -> dict[str, str]:
        """What the workbook's first font says."""
        elements, p = self._lists["fonts"].elements, self.prefix
        if not elements:
            return {"sz": f'<{p}sz val="11"/>', "name": f'<{p}name val="Calibri"/>'}
        return {child.local: self.document.raw(child).decode() for child in elements[0].children}

    def _fill_xml(self, style: CellStyle) -> str:
        p = self.prefix
        return (
            f'<{p}fill><{p}patternFill patternType="{style.fill_pattern}">'
            f'<{p}fgColor rgb="FF{style.fill_colour}"/><{p}bgColor indexed="64"/>'
            f"</{p}patternFill></{p}fill>"
        )

    def _border_xml(self, style: CellStyle) -> str:
        p = self.prefix

        def side(name: str, kind: str | None) -> str:
            if kind is None:
                return f"<{p}{name}/>"
            at = f'rgb="FF{style.border_colour}"' if style.border_colour else 'indexed="64"'
            return f'<{p}{name} style="{kind}"><{p}color {at}/></{p}{name}>'

        return (
            f"<{p}border>{side('left', style.border_sides)}{side('right', style.border_sides)}"
            f"{side('top', style.border_top)}{side('bottom', style.border_bottom)}"
            f"{side('diagonal', None)}</{p}border>"
        )

    def _dxf_xml(self, style: CellStyle) -> str:
        """The XML of a format that a condition puts over a cell."""
        p = self.prefix
        font = f"<{p}b/>" * style.bold + f"<{p}i/>" * style.italic
        if style.font_colour:
            font += f'<{p}color rgb="FF{style.font_colour}"/>'
        xml = f"<{p}font>{font}</{p}font>" if font else ""
        if style.fill_colour and style.fill_pattern == "solid":
            xml += (
                f'<{p}fill><{p}patternFill><{p}bgColor rgb="FF{style.fill_colour}"/>'
                f"</{p}patternFill></{p}fill>"
            )
        elif style.fill_colour:
            xml += (
                f'<{p}fill><{p}patternFill patternType="{style.fill_pattern}">'
                f'<{p}fgColor rgb="FF{style.fill_colour}"/></{p}patternFill></{p}fill>'
            )
        return f"<{p}dxf>{xml}</{p}dxf>" if xml else f"<{p}dxf/>"


def _alignment(style: CellStyle) -> str:
    words: Iterable[tuple[str, object]] = (
        ("horizontal", style.align),
        ("vertical", style.valign),
        ("wrapText", int(style.wrap) or None),
        ("indent", style.indent or None),
    )
    return " ".join(f'{name}="{value}"' for name, value in words if value is not None)
