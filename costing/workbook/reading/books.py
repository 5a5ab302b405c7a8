"""A workbook opened: once for its formulas, and once more for their results."""

from __future__ import annotations

import os
import warnings
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any, TypeAlias

from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from costing.findings import Finding, Grade, Place, Words, message
from costing.workbook.owned.marks import MARK_NAME
from costing.workbook.package.commit import read_file
from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import Package, without_collection
from costing.workbook.package.readingcopy import reading_copy
from costing.workbook.package.refusals import (
    Refused,
    file_place,
    links_to_other_files,
    part_twice,
)

Cells: TypeAlias = dict[tuple[int, int], Any]
"""Cells by row and column; openpyxl's, or its place holders behind a merged cell."""

FORMULA = "f"


@dataclass(frozen=True, slots=True)
class Book:
    """An opened workbook.

    Parameters
    ----------
    name : str
        The file's name.
    sheets : tuple of Worksheet
        The user's, as typed: formulas are formulas. Result sheets are left aside.
    results : dict of str to dict
        Cells of the sheets that have formulas, as last calculated, by sheet name.
    epoch : datetime
        The day from which the workbook counts dates.
    notes : tuple of Finding
        What is to be said of the file as a whole.
    """

    name: str
    sheets: tuple[Worksheet, ...]
    results: dict[str, Cells]
    epoch: datetime
    notes: tuple[Finding, ...] = ()


def cells_of(sheet: Worksheet) -> Cells:
    """The cells a sheet holds, by row and column.

    Asking the sheet for rows would make a cell for every blank one between its corners.
    """
    cells: Cells = sheet._cells
    return cells


def open_book(path: str | os.PathLike[str]) -> Book:
    """Open the workbook at ``path``.

    Raises
    ------
    Refused
        If it cannot be read; the finding says why.
    """
    file = Path(path)
    data, _ = read_file(file)
    package = open_gate(data, name=file.name)
    data = reading_copy(package, aside=MARK_NAME)
    typed = _loaded(data, file.name, results=False)
    sheets = tuple(typed.worksheets)
    with_formulas = [sheet.title for sheet in sheets if _has_formulas(sheet)]
    results: dict[str, Cells] = {}
    if with_formulas:
        calculated = _loaded(data, file.name, results=True)
        results = {title: cells_of(calculated[title]) for title in with_formulas}
    return Book(file.name, sheets, results, typed.epoch, tuple(notes_on(package)))


def notes_on(package: Package) -> list[Finding]:
    """What is to be said of a workbook as a whole: parts that are not read, links not followed."""
    place = file_place(package.name)
    links = [r for r in package.relations(package.workbook) if r.kind == "externalLink"]
    notes = [links_to_other_files(place, len(links))] if links else []
    return notes + [part_twice(place, name) for name in package.twice]


def _has_formulas(sheet: Worksheet) -> bool:
    return any(cell.data_type == FORMULA for cell in cells_of(sheet).values())


def _loaded(data: bytes, name: str, *, results: bool) -> Workbook:
    try:
        with warnings.catch_warnings(), without_collection():
            warnings.simplefilter("ignore")
            return load_workbook(BytesIO(data), data_only=results, keep_links=False)
    except MemoryError:
        raise
    except Exception as fault:  # a damaged part makes openpyxl raise anything
        raise Refused(not_understood(Place(sheet=name), type(fault).__name__)) from None


@message("workbook not understood", Grade.ERROR)
def not_understood(fault: str) -> Words:
    """A package that passed the gate and still cannot be opened."""
    return Words(
        f"a workbook with a part that cannot be read ({fault})",
        "a whole workbook",
        "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx.",
    )
