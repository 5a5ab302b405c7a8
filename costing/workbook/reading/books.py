"""A workbook opened: its worksheets, and what is to be said of the file as a whole."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from costing.findings import Finding, Grade, Place, Words, message
from costing.workbook.owned.marks import MARK_NAME
from costing.workbook.package.commit import read_file
from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import Package
from costing.workbook.package.refusals import (
    Refused,
    file_place,
    links_to_other_files,
    part_twice,
)
from costing.workbook.package.workbookpart import WorkbookPart
from costing.workbook.package.worksheets import Unreadable, Worksheet, epoch_of, read_worksheets


@dataclass(frozen=True, slots=True)
class Book:
    """An opened workbook.

    Parameters
    ----------
    name : str
        The file's name.
    sheets : tuple of Worksheet
        The user's; result sheets are left aside.
    epoch : datetime
        The day from which the workbook counts dates.
    notes : tuple of Finding
        What is to be said of the file as a whole.
    """

    name: str
    sheets: tuple[Worksheet, ...]
    epoch: datetime
    notes: tuple[Finding, ...] = ()


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
    book = WorkbookPart(package)
    try:
        sheets = tuple(read_worksheets(book, aside=MARK_NAME))
    except Unreadable as fault:
        raise Refused(not_understood(Place(sheet=file.name), str(fault))) from None
    return Book(file.name, sheets, epoch_of(book), tuple(notes_on(package)))


def notes_on(package: Package) -> list[Finding]:
    """What is to be said of a workbook as a whole: parts that are not read, links not followed."""
    place = file_place(package.name)
    links = [r for r in package.relations(package.workbook) if r.kind == "externalLink"]
    notes = [links_to_other_files(place, len(links))] if links else []
    return notes + [part_twice(place, name) for name in package.twice]


@message("workbook not understood", Grade.ERROR)
def not_understood(fault: str) -> Words:
    """A package that passed the gate and still cannot be opened."""
    return Words(
        f"a workbook with a part that cannot be read ({fault})",
        "a whole workbook",
        "Open it in a spreadsheet program, look it over and save it under a new name as .xlsx.",
    )
