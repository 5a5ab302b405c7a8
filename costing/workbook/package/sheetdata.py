"""Rows and cells of a worksheet part, each with the bytes it is in, and what a cell shows."""

from __future__ import annotations

import re
import xml.parsers.expat as expat
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from costing.workbook.package.addresses import ADDRESS, LAST_COLUMN, column_number, whole
from costing.workbook.package.conformance import local_name
from costing.workbook.package.xmlparts import TAG, XmlFault

CHUNK = 64 * 1024
"""So much is parsed before the rows it completes are handed out. [bytes]"""
ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


Keep = Literal["all", "filled", "formulas", "none"]
"""Which cells are wanted besides their number."""
NO_ATTRIBUTES: Mapping[str, str] = {}


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
        What is in it: the digits, the text of an inline string, or the number of a shared one.
    formula : str, optional
        ``""`` for one that a shared formula elsewhere gives.
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
    formula_attributes: Mapping[str, str] = field(default_factory=lambda: NO_ATTRIBUTES)
    value_span: tuple[int, int] | None = None
    formula_span: tuple[int, int] | None = None

    @property
    def holds(self) -> bool:
        """Whether there is anything in it but a format."""
        return self.formula is not None or bool(self.text)


@dataclass(slots=True)
class SheetRow:
    """A row as the part spells it.

    Parameters
    ----------
    number : int
        From 1.
    start, tag_end, end : int
        Offsets of ``<``, after the start tag, and after the row.
    attributes : dict of str to str
        Those of the format; what a program says in a namespace of its own is left out, since its
        prefix may mean nothing in another row.
    cells : list of SheetCell
        Those that were asked for.
    count : int
        Number of all its cells.
    holds : bool
        Whether one of them holds something.
    """

    number: int
    start: int
    tag_end: int = 0
    end: int = 0
    attributes: dict[str, str] = field(default_factory=dict)
    cells: list[SheetCell] = field(default_factory=list)
    count: int = 0
    holds: bool = False


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
    text = ESCAPED.sub(lambda found: chr(int(found.group(1), 16)), text)
    # a sign beyond 16 bits is spelled as two halves; a half alone is no sign
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


class _Reader:
    """Collects rows and cells while expat passes over the part."""

    def __init__(self, data: bytes, *, keep: Keep) -> None:
        self.data = data
        self.keep = keep
        self.rows: list[SheetRow] = []
        self._parser = expat.ParserCreate("utf-8", " ")
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._text
        self._cell: SheetCell | None = None
        self._row: SheetRow | None = None
        self._open: list[tuple[str, int]] = []
        self._pieces: list[str] | None = None
        self._runs: list[str] = []
        self._reading = False
        self._column = self._number = 0

    def read(self) -> Iterator[SheetRow]:
        """The rows, handed out while the part is parsed."""
        try:
            for start in range(0, len(self.data), CHUNK):
                self._parser.Parse(self.data[start : start + CHUNK], False)
                yield from self._complete()
            self._parser.Parse(b"", True)
        except expat.ExpatError as fault:
            raise XmlFault(f"broken XML ({fault})") from None
        yield from self._complete()

    def _complete(self) -> list[SheetRow]:
        """Rows that ended since they were last asked for."""
        # the last one is still open where its end was not parsed yet
        done = self.rows if self._row is None else self.rows[:-1]
        self.rows = self.rows[len(done) :]
        return done

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        local, at = local_name(name), self._parser.CurrentByteIndex
        self._open.append((local, at))
        if self._cell is not None:
            self._start_inside(local, attributes)
        elif local == "row" and self._row is None:
            self._number = number = whole(attributes.get("r"), self._number + 1)
            plain = {name: value for name, value in attributes.items() if " " not in name}
            self._row, self._column = SheetRow(number, at, attributes=plain), 0
            self._row.tag_end = self._tag_end(at)
            self.rows.append(self._row)
        elif local == "c" and self._row is not None:
            self._cell = self._new_cell(self._row, at, attributes)

    def _start_inside(self, local: str, attributes: dict[str, str]) -> None:
        assert self._cell is not None  # noqa: S101 - the caller has looked
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
            whole(found.group(2), row.number) if found else row.number,
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
        """Note where a row or cell ends when its closing tag comes."""
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
            if self._row is not None:
                self._end_cell(self._row, cell)
        elif local == "rPh":
            self._reading = False
        elif self._pieces is not None and local in ("f", "v", "t"):
            self._end_inside(cell, local, at, end)

    def _end_cell(self, row: SheetRow, cell: SheetCell) -> None:
        if self._runs and cell.value_span is None:
            cell.text = "".join(self._runs)
        self._runs.clear()
        row.count += 1
        if row.count > LAST_COLUMN:  # before millions more of them are passed over
            raise XmlFault(f"row {row.number} holds more cells than a sheet has columns")
        row.holds = row.holds or cell.holds
        wanted = cell.formula is not None if self.keep == "formulas" else cell.holds
        if self.keep == "all" or (self.keep != "none" and wanted):
            row.cells.append(cell)

    def _end_inside(self, cell: SheetCell, local: str, at: int, end: int) -> None:
        text = "".join(self._pieces or [])
        self._pieces = None
        if local == "f":
            cell.formula, cell.formula_span = text, (at, end)
        elif local == "v":
            cell.text, cell.value_span = text, (at, end)
        else:
            self._runs.append(text)

    def _end_of(self, start: int) -> int:
        """After an element that ends here."""
        tag_end = self._tag_end(start)
        # of an empty element the parser gives the place of its one tag for the end too
        if self.data[tag_end - 2 : tag_end] == b"/>":
            return tag_end
        return self.data.index(b">", self._parser.CurrentByteIndex) + 1


def parsed_rows(data: bytes, *, keep: Keep = "all") -> Iterator[SheetRow]:
    """The rows of a worksheet part in UTF-8, however it is spelled.

    Raises
    ------
    XmlFault
        If it is not well-formed; rows before may have been given.
    """
    return _Reader(data, keep=keep).read()


def shared_strings(data: bytes) -> list[str]:
    """The texts of a shared strings part in UTF-8; runs of one text joined, readings left out."""
    texts: list[str] = []
    pieces: list[str] = []
    parser = expat.ParserCreate("utf-8")
    open_elements: list[str] = []

    def start(name: str, _: dict[str, str]) -> None:
        local = name.rpartition(":")[2]
        open_elements.append(local)
        if local == "si":
            pieces.clear()

    def end(_: str) -> None:
        if open_elements.pop() == "si":
            texts.append("".join(pieces))

    def text(piece: str) -> None:
        if open_elements[-1] == "t" and "rPh" not in open_elements:
            pieces.append(piece)

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    try:
        parser.Parse(data, True)
    except expat.ExpatError as fault:
        raise XmlFault(f"broken XML ({fault})") from None
    return texts
