"""The rows of a worksheet part that is spelled in the usual way, found by patterns alone.

Nearly every program spells its cells alike, and patterns find them in a part of the time that an
XML parser takes with a call for each tag. They have to cover the rows without a gap; what is
spelled in any other way is left to the parser. The parts are known to be well-formed.
"""

from __future__ import annotations

import re

from costing.workbook.package.addresses import column_number
from costing.workbook.package.sheetrows import SheetCell, SheetRow

MAIN = rb'xmlns="http://schemas\.openxmlformats\.org/spreadsheetml/2006/main"'
ROOT = re.compile(rb"<worksheet(?=[ \n])[^<>]*?[ \n]" + MAIN)
UNUSUAL = re.compile(rb"<!|\r|AlternateContent|<rPh|<sheetData[^>]")
ATTRIBUTE = re.compile(rb' ([A-Za-z0-9:]+)="([^"<>&\t\n]*)"')
ROW = re.compile(rb'<row((?: [A-Za-z0-9:]+="[^"<>&\t\n]*")*)(/?)>')
CELL = re.compile(
    rb'<c r="([A-Z]{1,3})([0-9]{1,7})"(?: s="([0-9]{1,9})")?(?: t="([A-Za-z]+)")?'
    rb"(?:/>|>()"
    rb'(<f((?: [A-Za-z0-9]+="[^"<>&\t\n]*")*)(?:/>|>([^<]*)</f>))?'
    rb"(?:(<v>([^<]*)</v>|<v/>)|<is><t(?: xml:space=\"preserve\")?>([^<]*)</t></is>)?</c>)"
)
ROWS_BELOW = re.compile(rb"<row[ \t\n/>]")
ENTITY = re.compile(r"&(?:#x([0-9A-Fa-f]+)|#([0-9]+)|(lt|gt|amp|quot|apos));")
NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"', "apos": "'"}
LONGEST = 7
"""Digits of a row's number."""


class Unusual(ValueError):
    """Something is spelled in another way."""


def plain_rows(data: bytes, *, formulas_only: bool = False) -> list[SheetRow]:
    """The rows of a well-formed worksheet part in UTF-8, with their cells.

    Raises
    ------
    Unusual
        If anything is spelled in another way than the usual one.
    """
    start = data.find(b"<sheetData>")
    if start < 0 or ROOT.search(data, 0, start) is None or UNUSUAL.search(data):
        raise Unusual
    rows: list[SheetRow] = []
    at = start + len(b"<sheetData>")
    while (found := ROW.match(data, at)) is not None:
        row = _row(found)
        rows.append(row)
        at = row.end or _cells(data, row, formulas_only=formulas_only)
    if not data.startswith(b"</sheetData>", at) or ROWS_BELOW.search(data, at):
        raise Unusual
    return rows


def _row(found: re.Match[bytes]) -> SheetRow:
    """A row from its start tag; its end is 0 while it is not known."""
    if b"xmlns" in found.group(1):
        raise Unusual
    attributes = {
        name.decode(): value.decode()
        for name, value in ATTRIBUTE.findall(found.group(1))
        if b":" not in name
    }
    number = attributes.get("r", "")
    if not number.isdigit() or len(number) > LONGEST:
        raise Unusual
    end = found.end() if found.group(2) else 0
    return SheetRow(int(number), found.start(), found.end(), end, attributes)


def _cells(data: bytes, row: SheetRow, *, formulas_only: bool) -> int:
    """Read the cells of a row; gives where it ends."""
    at, match, cells = row.tag_end, CELL.match, row.cells
    while (found := match(data, at)) is not None:
        at = found.end()
        if not formulas_only or found.start(6) >= 0:
            cells.append(_cell(found, row.number))
    if not data.startswith(b"</row>", at):
        raise Unusual
    row.end = at + len(b"</row>")
    return row.end


def _cell(found: re.Match[bytes], row: int) -> SheetCell:
    letters, _, style, kind, _, formula, attributes, told, value, digits, text = found.groups()
    content = digits if value is not None else text
    if value is not None and digits is None:
        content = b""
    cell = SheetCell(
        row,
        column_number(letters.decode()),
        found.start(),
        found.end() if found.start(5) < 0 else found.start(5),
        found.end(),
        int(style or 0),
        kind.decode() if kind else "n",
        None if content is None else words(content),
    )
    if value is not None:
        cell.value_span = found.span(9)
    if formula is not None:
        cell.formula = words(told or b"")
        cell.formula_span = found.span(6)
        cell.formula_attributes = {
            name.decode(): value.decode() for name, value in ATTRIBUTE.findall(attributes)
        }
    return cell


def words(content: bytes) -> str:
    """The text of an element.

    Examples
    --------
    >>> words(b"salt &amp; &#x1F36F;")
    'salt & 🍯'
    """
    text = content.decode()
    return ENTITY.sub(_sign, text) if "&" in text else text


def _sign(found: re.Match[str]) -> str:
    hexadecimal, decimal, name = found.groups()
    if name:
        return NAMED[name]
    return chr(int(hexadecimal, 16) if hexadecimal else int(decimal))
