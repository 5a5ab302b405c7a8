"""The rows and cells of a worksheet part, each with the bytes it stands in."""

from __future__ import annotations

import re
import xml.parsers.expat as expat
from collections.abc import Sequence
from dataclasses import dataclass, field

from costing.workbook.package.addresses import ADDRESS, column_number, whole
from costing.workbook.package.extents import IN_MAIN
from costing.workbook.package.xmlparts import TAG, XmlFault

ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(slots=True)
class SheetCell:
    """A cell as the part spells it.

    Parameters
    ----------
    row, column : int
        Both from 1.
    start, inner, end : int
        Offsets of ``<``, of the content and after the cell.
    kind : str
        Type as written (``s``, ``str``, ``b`` ...), ``n`` when none is.
    text : str, optional
        What stands in it: the digits, the text of an inline string, or the number of a shared one.
    formula : str, optional
        ``""`` for one that is told by a shared formula elsewhere.
    value_span, formula_span : tuple of two int, optional
        Bytes of the value and of the formula, their tags included.
    """

    row: int
    column: int
    start: int
    inner: int = 0
    end: int = 0
    style: int = 0
    kind: str = "n"
    text: str | None = None
    formula: str | None = None
    formula_attributes: dict[str, str] = field(default_factory=dict)
    value_span: tuple[int, int] | None = None
    formula_span: tuple[int, int] | None = None

    @property
    def holds(self) -> bool:
        """Whether there is anything in it but a format."""
        return self.formula is not None or bool(self.text)


@dataclass(slots=True)
class SheetRow:
    """A row as the part spells it; its start tag ends at ``tag_end``.

    Attributes are those of the format; what a program says in a namespace of its own is left out,
    since its prefix may mean nothing where the row is written anew.
    """

    number: int
    start: int
    tag_end: int = 0
    end: int = 0
    attributes: dict[str, str] = field(default_factory=dict)
    cells: list[SheetCell] = field(default_factory=list)


def shown(cell: SheetCell, strings: Sequence[str]) -> str | float | bool | None:
    """What a cell shows: text, number or yes and no; an error value as its text.

    Examples
    --------
    >>> shown(SheetCell(1, 1, 0, kind="s", text="0"), ["leek"])
    'leek'
    """
    text = cell.text
    if text is None:
        return None
    if cell.kind == "s":
        number = whole(text.strip(), -1)
        text = strings[number] if 0 <= number < len(strings) else ""
    elif cell.kind == "b":
        return text.strip() == "1"
    elif cell.kind == "n":
        try:
            return float(text) if text.strip() else None
        except ValueError:
            return text
    return unescaped(text)


def unescaped(text: str) -> str:
    r"""A text from the way a cell spells it, signs that XML cannot hold included.

    Examples
    --------
    >>> unescaped("a_x000D_b_x005F_x0041_")
    'a\rb_x0041_'
    """
    if "_x" not in text:
        return text
    return ESCAPED.sub(lambda found: chr(int(found.group(1), 16)), text)


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


class _Reader:
    """Collects rows and cells while expat passes over the part."""

    def __init__(self, data: bytes, *, formulas_only: bool) -> None:
        self.data = data
        self.formulas_only = formulas_only
        self.rows: list[SheetRow] = []
        self._parser = expat.ParserCreate("utf-8", " ")
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._text
        self._cell: SheetCell | None = None
        self._row: SheetRow | None = None
        self._open: list[tuple[str, int]] = []
        self._pieces: list[str] | None = None
        self._reading = False
        self._column = 0

    def read(self) -> list[SheetRow]:
        try:
            self._parser.Parse(self.data, True)
        except expat.ExpatError as fault:
            raise XmlFault(f"broken XML ({fault})") from None
        return self.rows

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        local, at = name.removeprefix(IN_MAIN), self._parser.CurrentByteIndex
        self._open.append((local, at))
        if self._cell is not None:
            self._start_inside(local, attributes)
        elif local == "row" and self._row is None:
            before = self.rows[-1].number if self.rows else 0
            number = whole(attributes.get("r"), before + 1)
            plain = {name: value for name, value in attributes.items() if " " not in name}
            self._row, self._column = SheetRow(number, at, attributes=plain), 0
            self._row.tag_end = self._tag_end(at)
            self.rows.append(self._row)
        elif local == "c" and self._row is not None:
            self._cell = self._new_cell(self._row, at, attributes)

    def _start_inside(self, local: str, attributes: dict[str, str]) -> None:
        assert self._cell is not None  # noqa: S101 - told by the caller
        if local == "f":
            self._cell.formula_attributes = attributes
            self._pieces = []
        elif local == "rPh":
            self._reading = True
        elif local == "v" or (local == "t" and not self._reading):
            self._pieces = []

    def _new_cell(self, row: SheetRow, at: int, attributes: dict[str, str]) -> SheetCell:
        found = ADDRESS.fullmatch(attributes.get("r", ""))
        self._column = column_number(found.group(1)) if found else self._column + 1
        return SheetCell(
            row.number,
            self._column,
            at,
            inner=self._tag_end(at),
            style=whole(attributes.get("s"), 0),
            kind=attributes.get("t", "n"),
        )

    def _tag_end(self, at: int) -> int:
        found = TAG.match(self.data, at)
        if found is None:
            raise XmlFault(f"a tag that cannot be read at byte {at}")
        return found.end()

    def _text(self, piece: str) -> None:
        if self._pieces is not None:
            self._pieces.append(piece)

    def _end(self, _: str) -> None:
        local, at = self._open.pop()
        cell = self._cell
        if cell is None and local != "row":
            return
        end = self._end_of(at)
        if local == "row" and self._row is not None and at == self._row.start:
            self._row.end = end
            self._row = None
        elif cell is None:
            return
        elif local == "c" and at == cell.start:
            cell.end = end
            self._cell = None
            if self._row is not None and (cell.formula is not None or not self.formulas_only):
                self._row.cells.append(cell)
        elif local == "rPh":
            self._reading = False
        elif self._pieces is not None and local in ("f", "v", "t"):
            self._end_inside(cell, local, at, end)

    def _end_inside(self, cell: SheetCell, local: str, at: int, end: int) -> None:
        text = "".join(self._pieces or [])
        self._pieces = None
        if local == "f":
            cell.formula, cell.formula_span = text, (at, end)
        elif local == "v":
            cell.text, cell.value_span = text, (at, end)
        else:
            cell.text = (cell.text or "") + text

    def _end_of(self, start: int) -> int:
        """After an element that ends here."""
        tag_end = self._tag_end(start)
        if self.data[tag_end - 2 : tag_end] == b"/>":
            return tag_end
        return self.data.index(b">", self._parser.CurrentByteIndex) + 1


def read_rows(data: bytes, *, formulas_only: bool = False) -> list[SheetRow]:
    """The rows of a worksheet part in UTF-8, with their cells.

    Raises
    ------
    XmlFault
        If it is not well-formed.
    """
    try:
        return plain_rows(data, formulas_only=formulas_only)
    except Unusual:
        return parsed_rows(data, formulas_only=formulas_only)


def parsed_rows(data: bytes, *, formulas_only: bool = False) -> list[SheetRow]:
    """The same, however the part is spelled."""
    return _Reader(data, formulas_only=formulas_only).read()


def shared_strings(data: bytes) -> list[str]:
    """The texts of a shared strings part in UTF-8; runs of one text joined, readings left out."""
    texts: list[str] = []
    parser = expat.ParserCreate("utf-8")
    parser.buffer_text = True
    open_elements: list[str] = []

    def start(name: str, _: dict[str, str]) -> None:
        local = name.rpartition(":")[2]
        open_elements.append(local)
        if local == "si":
            texts.append("")

    def end(_: str) -> None:
        open_elements.pop()

    def text(piece: str) -> None:
        if open_elements[-1] == "t" and "rPh" not in open_elements:
            texts[-1] += piece

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    try:
        parser.Parse(data, True)
    except expat.ExpatError as fault:
        raise XmlFault(f"broken XML ({fault})") from None
    return texts
