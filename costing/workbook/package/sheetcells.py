"""The rows and cells of a worksheet part, each with the bytes it stands in."""

from __future__ import annotations

import xml.parsers.expat as expat

from costing.workbook.package.addresses import ADDRESS, column_number, whole
from costing.workbook.package.encodings import BadXml
from costing.workbook.package.extents import IN_MAIN
from costing.workbook.package.offsets import TAG
from costing.workbook.package.plainrows import Unusual, plain_rows
from costing.workbook.package.sheetrows import SheetCell, SheetRow


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
            raise BadXml(f"broken XML ({fault})") from None
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
            raise BadXml(f"a tag that cannot be read at byte {at}")
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
    BadXml
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
        raise BadXml(f"broken XML ({fault})") from None
    return texts
