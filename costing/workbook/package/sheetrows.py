"""The rows of a worksheet part, found by patterns where it is spelled in the usual way.

Nearly every program spells its cells alike, and patterns find them in a part of the time that an
XML parser takes with a call for each tag. They have to cover the rows without a gap; what is
spelled in any other way is left to the parser. One pass serves the gate, which counts, a later run
over a result sheet, and the search for stale formulas.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from costing.workbook.package.addresses import column_number
from costing.workbook.package.conformance import STRICT, TRANSITIONAL
from costing.workbook.package.sheetdata import (
    NO_ATTRIBUTES,
    Keep,
    SheetCell,
    SheetRow,
    parsed_rows,
)

MAIN = f'xmlns="(?:{re.escape(TRANSITIONAL.main)}|{re.escape(STRICT.main)})"'.encode()
ROOT = re.compile(rb"<worksheet(?=[ \n])[^<>]*?[ \n]" + MAIN)
START, END = b"<sheetData>", b"</sheetData>"
ATTRIBUTE = re.compile(rb' ([A-Za-z0-9:]+)="([^"<>&\t\n]*)"')
ROW = re.compile(rb'<row((?: [A-Za-z0-9:]+="[^"<>&\t\n]*")*)(/?)>')
CELL = re.compile(
    rb'<c r="([A-Z]{1,3})([0-9]{1,7})"(?: s="([0-9]{1,9})")?(?: t="([A-Za-z]+)")?'
    rb"(?:/>|>()"
    rb'(<f((?: [A-Za-z0-9]+="[^"<>&\t\n]*")*)(?:/>|>([^<]*)</f>))?'
    rb"(?:(<v>([^<]*)</v>|<v/>)|<is><t(?: xml:space=\"preserve\")?>([^<]*)</t></is>)?</c>)"
)
ROWS_BELOW = re.compile(rb"<row[ \t\n/>]")
OTHER_ENTITY = re.compile(rb"&(?!(?:lt|gt|amp|quot|apos);)")
NOT_IN_TEXT = (b"\r", b"]]>", b"\xef\xbf\xbe", b"\xef\xbf\xbf")
"""Not allowed between tags, or read as something else: line ends, and what is no sign at all."""
CONTROL_BYTES = bytes(byte for byte in range(32) if byte not in b"\t\n\r")
ENTITY = re.compile(r"&(lt|gt|amp|quot|apos);")
NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"', "apos": "'"}
LONGEST_ROW_NUMBER = 7
"""Digits of a row's number."""


class Unusual(ValueError):
    """Something is spelled in another way."""


class _Columns(dict[bytes, int]):
    """Column numbers by letters, looked up once each."""

    def __missing__(self, letters: bytes) -> int:
        number = self[letters] = column_number(letters.decode())
        return number


COLUMNS = _Columns()


def plain_rows(data: bytes, *, keep: Keep = "all") -> Iterator[SheetRow]:
    """The rows of a worksheet part in UTF-8 that is spelled in the usual way, with their cells.

    What lies outside ``sheetData`` is not looked at, but for its root: see :func:`without_rows`.

    Raises
    ------
    Unusual
        If anything is spelled in another way than the usual one, or is not well-formed; rows
        before it may have been given.
    """
    start = data.find(START)
    root = ROOT.search(data, 0, start) if start >= 0 else None
    if root is None or b"<!" in data[:start]:
        raise Unusual
    at = start + len(START)
    end = data.find(END, at)
    _check_text(data[at:end])
    prefixes = {b"xml"}
    while (found := ROW.match(data, at)) is not None:
        row = _row(found, data[root.start() : start], prefixes)
        at = row.end or _cells(data, row, keep=keep)
        yield row
    if at != end or ROWS_BELOW.search(data, at):
        raise Unusual


def without_rows(data: bytes) -> tuple[bytes, bytes]:
    """What is before and behind the rows of a part that is spelled in the usual way."""
    return data[: data.find(START) + len(START)], data[data.find(END) :]


def _check_text(rows: bytes) -> None:
    """What no pattern looks at: a parser would refuse it, or read it as something else."""
    if (
        any(sign in rows for sign in NOT_IN_TEXT)
        or OTHER_ENTITY.search(rows)
        or len(rows.translate(None, CONTROL_BYTES)) != len(rows)
    ):
        raise Unusual
    if not rows.isascii():
        try:
            rows.decode()
        except UnicodeDecodeError:
            raise Unusual from None


def _row(found: re.Match[bytes], root: bytes, prefixes: set[bytes]) -> SheetRow:
    """A row from its start tag; its end is 0 while it is not known.

    ``prefixes`` are those known to be declared in the root's tag.
    """
    attributes = {}
    listed = ATTRIBUTE.findall(found.group(1))
    for name, value in listed:
        prefix, colon, _ = name.partition(b":")
        if not colon:
            attributes[name.decode()] = value.decode()
        elif prefix not in prefixes:
            if b" xmlns:" + prefix + b'="' not in root:
                raise Unusual
            prefixes.add(prefix)
    number = attributes.get("r", "")
    twice = len({name for name, _ in listed}) < len(listed)
    # A parser refuses an attribute that is there twice; the pattern alone would take it.
    if twice or "xmlns" in attributes or not number.isdigit() or len(number) > LONGEST_ROW_NUMBER:
        raise Unusual
    end = found.end() if found.group(2) else 0
    return SheetRow(int(number), found.start(), found.end(), end, attributes)


def _cells(data: bytes, row: SheetRow, *, keep: Keep) -> int:
    """Read the cells of a row; gives where it ends."""
    at, match, cells, count = row.tag_end, CELL.match, row.cells, 0
    digits = b"%d" % row.number
    all_cells, wanted, holds = keep == "all", keep != "none", False
    while (found := match(data, at)) is not None:
        at = found.end()
        count += 1
        if found.group(2) != digits:
            raise Unusual
        if found.group(10) or found.group(11) or found.start(6) >= 0:
            holds = True
        if all_cells or (wanted and found.start(6) >= 0):
            cells.append(_cell(found, row.number))
        elif found.start(7) < found.end(7):
            _attributes(found.group(7))
    if not data.startswith(b"</row>", at):
        raise Unusual
    row.end, row.count, row.holds = at + len(b"</row>"), count, holds
    return row.end


def _attributes(listed: bytes) -> dict[str, str]:
    """The attributes of a formula."""
    found = ATTRIBUTE.findall(listed)
    attributes = {name.decode(): value.decode() for name, value in found}
    if len(attributes) < len(found):
        raise Unusual
    return attributes


def _cell(found: re.Match[bytes], row: int) -> SheetCell:
    """A cell; as this runs for every one of them, nothing is made that most have not."""
    letters, _, style, kind, opened, formula, attributes, inside, value, digits, text = (
        found.groups()
    )
    content = digits if digits is not None else b"" if value is not None else text
    cell = SheetCell(
        row,
        COLUMNS[letters],
        found.start(),
        found.end() if opened is None else found.start(5),
        found.end(),
        int(style) if style else 0,
        kind.decode() if kind else "n",
        None if content is None else words(content),
        None,
        NO_ATTRIBUTES,
        None if value is None else found.span(9),
    )
    if formula is not None:
        cell.formula = words(inside or b"")
        cell.formula_span = found.span(6)
        if attributes:
            cell.formula_attributes = _attributes(attributes)
    return cell


def words(content: bytes) -> str:
    """The text of an element.

    Examples
    --------
    >>> words(b"salt &amp; pepper")
    'salt & pepper'
    """
    text = content.decode()
    return ENTITY.sub(lambda found: NAMED[found.group(1)], text) if "&" in text else text


def read_rows(data: bytes, *, keep: Keep = "all") -> list[SheetRow]:
    """The rows of a worksheet part in UTF-8, with the cells that are wanted.

    Raises
    ------
    XmlFault
        If it is not well-formed.
    """
    try:
        return list(plain_rows(data, keep=keep))
    except Unusual:
        return list(parsed_rows(data, keep=keep))
