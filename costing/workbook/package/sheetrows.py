"""The rows of a worksheet part, found by patterns where it is spelled in the usual way.

Nearly every program spells its cells alike, and patterns find them in a part of the time that an
XML parser takes with a call for each tag. They have to cover the rows without a gap; what is
spelled in any other way is left to the parser. The same pass serves the gate, which counts,
reading, a later run over a result sheet, and the search for stale formulas.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from costing.workbook.package.addresses import LAST_COLUMN, column_number
from costing.workbook.package.conformance import STRICT, TRANSITIONAL
from costing.workbook.package.sheetdata import (
    CHUNK,
    NO_ATTRIBUTES,
    Keep,
    SheetCell,
    SheetRow,
    parsed_rows,
)

MAIN = f'xmlns="(?:{re.escape(TRANSITIONAL.main)}|{re.escape(STRICT.main)})"'.encode()
ROOT = re.compile(rb"<worksheet(?=[ \n])[^<>]*?[ \n]" + MAIN)
START, END = b"<sheetData>", b"</sheetData>"
SAID = rb'(?: [A-Za-z0-9:]+="[^"<>&\t\n]*")*'
ATTRIBUTE = re.compile(rb' ([A-Za-z0-9:]+)="([^"<>&\t\n]*)"')
CELL_START = (
    rb'<c r="([A-Z]{1,3})([0-9]{1,7})"(?: s="([0-9]{1,9})")?(?: t="([A-Za-z]+)")?'
    rb'(?: cm="[0-9]{1,9}")?(?: vm="[0-9]{1,9}")?'
)
FORMULA_END = rb'((?: [A-Za-z0-9]+="[^"<>&\t\n]*")*)(?:/>|>([^<]*)</f>)'
VALUE = rb'<v(?: xml:space="preserve")?>([^<]*)</v>|<v/>'
INLINE = rb'<is><t(?: xml:space="preserve")?>([^<]*)</t></is>'
CELL_WORDS = (
    CELL_START + rb"(?:/>|>()(<f" + FORMULA_END + rb")?(?:(" + VALUE + rb")|" + INLINE + rb")?</c>)"
)
CELL = re.compile(CELL_WORDS)
"""A cell: letters, row, style, type, start of the content, formula with attributes and text, value
with digits, inline text."""
UNTOLD = re.compile(rb"\((?![?])")
ROW = re.compile(
    rb'<row(?=[^<>]* r="([0-9]{1,7})")('
    + SAID
    + rb")(?:/>|>()(?:"
    # every cell in it is in the row that the row says it is
    + UNTOLD.sub(b"(?:", CELL_WORDS).replace(b"(?:[0-9]{1,7})", rb"\1")
    + rb")*+</row>)"
)
"""A whole row: its number, what it says besides, start of its cells. The cells are not gone over
again once one cannot be read (``*+``), so that the time stays in proportion to the length."""
FILLED = re.compile(
    CELL_START
    + rb">(?:(<f)"
    + UNTOLD.sub(b"(?:", FORMULA_END)
    + rb")?(?:"
    + VALUE
    + rb"|"
    + INLINE
    + rb")?</c>"
)
"""A cell with anything in it: letters, row, style, type, whether it is a formula, digits, text."""
CELL_END = b"</c>"
HOLDS = re.compile(rb"<f|<v[^/>]*>[^<]|<t[^>]*>[^<]")
FORMULA_ATTRIBUTES = re.compile(rb"<f( [^>]+?)/?>")
ROWS_BELOW = re.compile(rb"<row[ \t\n/>]")
OTHER_ENTITY = re.compile(rb"&(?!(?:lt|gt|amp|quot|apos);)")
NOT_IN_TEXT = (b"\r", b"]]>", b"\xef\xbf\xbe", b"\xef\xbf\xbf")
"""Not allowed between tags, or read as something else: line ends, and what is no sign at all."""
CONTROL_BYTES = bytes(byte for byte in range(32) if byte not in b"\t\n\r")
ENTITY = re.compile(r"&(lt|gt|amp|quot|apos);")
NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"', "apos": "'"}


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
    known: dict[bytes, dict[str, str]] = {}
    while (found := ROW.match(data, at)) is not None:
        at = found.end()
        row = _row(found, data[root.start() : start], known)
        _fill(row, data, keep=keep)
        yield row
    if at != end or ROWS_BELOW.search(data, at):
        raise Unusual


def filled_cells(data: bytes) -> Iterator[tuple[bytes, ...]]:
    """What :data:`FILLED` finds in a part whose rows :func:`plain_rows` has given, to the last.

    Without an object for each cell, nor anything for blank ones: reading has to be fast. It goes
    by pieces, as a part may hold more of them than there is room for.
    """
    at, end = data.find(START), data.find(END)
    while at < end:
        cut = data.find(CELL_END, at + CHUNK, end)
        after = end if cut < 0 else cut + len(CELL_END)
        yield from FILLED.findall(data, at, after)
        at = after


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


def _row(found: re.Match[bytes], root: bytes, known: dict[bytes, dict[str, str]]) -> SheetRow:
    """A row from its start tag.

    Most rows say the same besides their number: ``known`` has what was said before.
    """
    number = found.group(1)
    said = found.group(2).replace(b' r="' + number + b'"', b"", 1)
    if said not in known:
        known[said] = _row_attributes(said, root)
    inner = found.end() if found.group(3) is None else found.start(3)
    attributes = {"r": number.decode(), **known[said]}
    return SheetRow(int(number), found.start(), inner, found.end(), attributes)


def _row_attributes(said: bytes, root: bytes) -> dict[str, str]:
    """What a row says besides its number, but for what other programs say in their namespaces."""
    attributes = {}
    listed = ATTRIBUTE.findall(said)
    for name, value in listed:
        prefix, colon, _ = name.partition(b":")
        if not colon:
            attributes[name.decode()] = value.decode()
        elif b" xmlns:" + prefix + b'="' not in root:
            raise Unusual
    # A parser refuses an attribute that is there twice; the pattern alone would take it.
    twice = len({name for name, _ in listed}) < len(listed)
    if twice or "xmlns" in attributes or "r" in attributes:
        raise Unusual
    return attributes


def _fill(row: SheetRow, data: bytes, *, keep: Keep) -> None:
    """What a row holds that is known to be spelled in the usual way."""
    inside = row.tag_end, row.end
    row.count = data.count(b"<c ", *inside)
    if row.count > LAST_COLUMN:  # the parser says what is wrong
        raise Unusual
    row.holds = row.count > 0 and HOLDS.search(data, *inside) is not None
    if row.holds:
        for said in FORMULA_ATTRIBUTES.findall(data, *inside):
            _attributes(said)
    if keep == "all" or (keep == "formulas" and data.find(b"<f", *inside) >= 0):
        for found in CELL.finditer(data, *inside):
            if keep == "all" or found.start(6) >= 0:
                row.cells.append(_cell(found, row.number))


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
