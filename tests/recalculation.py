"""Spreadsheet engines that are none of ours, and what they make of a workbook's formulas.

Two come from packages of the test extra; LibreOffice joins in where it is installed.
"""

from __future__ import annotations

import io
import math
import re
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import formualizer
import ironcalc
import openpyxl
from office import Office
from openpyxl.utils.cell import coordinate_to_tuple
from packages import own, parts_of, sheets_of, tree_of, zipped

from costing.workbook.layout import RESULT_TITLES

NOISE = 1e-12
"""Binary numbers added up in another order differ by less. [part of the number, and of 1]"""

Value = str | float | bool | None
Look = Callable[[str, str], Value]
"""Gives the value of a cell from its sheet and its address."""


@dataclass(frozen=True)
class FormulaCell:
    """A formula of ours with what is stored beside it."""

    sheet: str
    cell: str
    formula: str
    stored: Value

    def __str__(self) -> str:
        return f"{self.sheet}!{self.cell} {self.formula[:300]}"


def opened(data: bytes, *, values: bool) -> Any:
    """A workbook as openpyxl reads it, for its formulas or for the values stored with them."""
    return openpyxl.load_workbook(io.BytesIO(data), data_only=values)


@lru_cache(maxsize=8)
def looked_at(data: bytes, *, values: bool = False) -> Any:
    """A workbook as openpyxl reads it, the same for all who look and change nothing in it."""
    return opened(data, values=values)


def with_numbers(data: bytes, numbers: Mapping[tuple[str, str], float]) -> bytes:
    """The workbook with other numbers in number cells, everything else byte for byte."""
    parts = parts_of(data)
    sheets = sheets_of(parts)
    for (title, cell), number in numbers.items():
        pattern = rb'(<c r="%s"[^>]*><v>)[^<]*(</v></c>)' % cell.encode()
        new, count = re.subn(
            pattern, rb"\g<1>%s\g<2>" % repr(number).encode(), parts[sheets[title]]
        )
        assert count == 1, (title, cell)
        parts[sheets[title]] = new
    return zipped(parts)


def formula_cells(data: bytes) -> tuple[FormulaCell, ...]:
    """All formulas on result sheets."""
    return tuple(
        FormulaCell(title, cell, formula, value)
        for (title, cell), (formula, value) in _cells(data).items()
        if title in RESULT_TITLES and formula is not None
    )


def values_of_cells(data: bytes) -> dict[tuple[str, str], Value]:
    """What is stored in each cell that holds something, by sheet and address.

    A day and a time of day are numbers.
    """
    return {place: value for place, (_, value) in _cells(data).items() if value is not None}


@lru_cache(maxsize=20)
def _cells(data: bytes) -> dict[tuple[str, str], tuple[str | None, Value]]:
    """Formula and stored value of each cell of the sheets, as their XML has them.

    An eighth of what openpyxl takes, for which each cell is an object with formats.
    """
    parts = parts_of(data)
    shared = [
        _text_of(item)
        for name, part in parts.items()
        if name.endswith("sharedStrings.xml")
        for item in tree_of(part)
    ]
    return {
        (title, cell.attrib["r"]): (_formula_of(cell), _value_of(cell, shared))
        for title, name in sheets_of(parts).items()
        for cell in tree_of(parts[name]).iter(own("c"))
    }


def _formula_of(cell: Element) -> str | None:
    formula = cell.find(own("f"))
    return None if formula is None else f"={formula.text}"


def _value_of(cell: Element, shared: Sequence[str]) -> Value:
    kind, text = cell.get("t", "n"), cell.findtext(own("v"))
    if kind == "inlineStr":
        return _text_of(cell)
    if not text:
        return None
    if kind == "s":
        return shared[int(text)]
    if kind == "b":
        return text == "1"
    return float(text) if kind == "n" else text


def _text_of(item: Element) -> str:
    """A text, in one piece or in several with formats of their own."""
    return "".join(piece.text or "" for piece in item.iter(own("t")))


def by_ironcalc(data: bytes) -> Look:
    """What ironcalc makes of it; it works out shades for blank rows too, so these are left out."""
    parts = {
        name: re.sub(rb"<conditionalFormatting.*</conditionalFormatting>", b"", part)
        for name, part in parts_of(data).items()
    }
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.xlsx"
        path.write_bytes(zipped(parts))
        model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    numbers = {sheet["name"]: n for n, sheet in enumerate(model.get_worksheets_properties())}

    def look(sheet: str, cell: str) -> Value:
        row, column = coordinate_to_tuple(cell)
        value: Value = model.get_cell_value(numbers[sheet], row, column)
        return value

    return look


def by_formualizer(data: bytes) -> Look:
    """What formualizer makes of it."""
    return values_in(formualizer.recalculate_xlsx_bytes(data)["bytes"])


ENGINES: Mapping[str, Callable[[bytes], Look]] = {
    "ironcalc": by_ironcalc,
    "formualizer": by_formualizer,
}


PRINT_TITLES = re.compile(rb'<definedName name="_xlnm.Print_Titles".*?</definedName>')


def without_print_titles(data: bytes) -> bytes:
    """The workbook without rows repeated on each printed page.

    For these LibreOffice takes as long as for the rest. They stay where what is tested is that a
    workbook lives through its saves.
    """
    parts = parts_of(data)
    parts["xl/workbook.xml"] = PRINT_TITLES.sub(b"", parts["xl/workbook.xml"])
    return zipped(parts)


def by_libreoffice(office: Office, data: bytes) -> Look:
    """What LibreOffice makes of it, every formula calculated when it is opened."""
    return values_in(office.edited(without_print_titles(data), calculated=True))


def values_in(data: bytes) -> Look:
    """What is stored in a workbook."""
    values = values_of_cells(data)
    titles = {sheet for sheet, _ in values}

    def look(sheet: str, cell: str) -> Value:
        assert sheet in titles, sheet
        return values.get((sheet, cell))

    return look


def alike(one: Value, other: Value, *, size: float = 1.0) -> bool:
    """Whether two cells hold the same; numbers up to the noise of binary ones of that size."""
    if one in (None, "") and other in (None, ""):
        return True
    if isinstance(one, (int, float)) and isinstance(other, (int, float)):
        return math.isclose(one, other, rel_tol=NOISE, abs_tol=NOISE * size)
    return one == other


def differences(cells: Iterable[FormulaCell], look: Look, *, size: float = 1e4) -> list[str]:
    """Formulas to which an engine gives another value than the one stored.

    ``size`` is that of the largest amounts: what is left of them by subtraction keeps their noise.
    """
    return [
        f"{cell}: stored {cell.stored!r}, calculated {found!r}"
        for cell in cells
        if not alike(cell.stored, found := look(cell.sheet, cell.cell), size=size)
    ]
