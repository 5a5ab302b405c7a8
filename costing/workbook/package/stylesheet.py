"""The workbook's formats: looked up first, appended only when there is none alike.

Looking up is what keeps a workbook from growing with every run.
"""

from __future__ import annotations

from collections.abc import Iterable

from costing.workbook.package.addresses import whole
from costing.workbook.package.cells import PLAIN, CellStyle
from costing.workbook.package.entries import CountedList
from costing.workbook.package.offsets import Document, attribute_text

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
FIRST_OWN_FORMAT = 164
MINIMAL = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    b'<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    b'<fonts count="1"><font><sz val="11"/><name val="Calibri"/><family val="2"/></font></fonts>'
    b'<fills count="2"><fill><patternFill patternType="none"/></fill>'
    b'<fill><patternFill patternType="gray125"/></fill></fills>'
    b'<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    b'<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    b'<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>'
    b'<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>'
    b"</styleSheet>"
)
"""The formats of a workbook that came without any."""


class Stylesheet:
    """The formats part of a workbook, and what is to be appended to it.

    Parameters
    ----------
    data : bytes
        The part as it stands.
    """

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
            number = whole(attributes.get("numFmtId"), -1)
            if number >= 0:
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
        self._add_base()
        if style == PLAIN:
            return 0
        font = self._font(style)
        fill = self._lists["fills"].find_or_add(self._fill_xml(style)) if style.fill_colour else 0
        edged = style.border_top or style.border_bottom
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
            f"<{p}border>{side('left', None)}{side('right', None)}{side('top', style.border_top)}"
            f"{side('bottom', style.border_bottom)}{side('diagonal', None)}</{p}border>"
        )

    def _dxf_xml(self, style: CellStyle) -> str:
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
