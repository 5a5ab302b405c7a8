"""A new workbook, made from the layout; the same call always gives the same bytes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from io import BytesIO
from typing import Any

import xlsxwriter

from costing.workbook.layout import INPUT_SHEETS, Sheet
from costing.workbook.template.cells import Row
from costing.workbook.template.instructions import write_instructions
from costing.workbook.template.sheets import CHOICE_ROWS, HEADINGS, write_sheet
from costing.workbook.template.styles import Styles

FINDINGS = "Findings"
"""Title of the sheet; a program that renames it changes the formulas here too."""

GRADE, SHEET, CELL = "A", "C", "D"
"""Its columns that are looked into."""

ROWS = 2_000
"""So many rows of it are looked through."""

GRADES = ("error", "warning")
"""Grades that are marked; a note finds no fault."""

MADE = datetime(2026, 1, 1)
"""Stands in every new workbook as the day it was made, so that its bytes do not change."""


def template_bytes(
    *,
    all_sheets: bool = False,
    rows: Mapping[str, Sequence[Row]] | None = None,
    more: Collection[str] = (),
    only: Collection[str] = (),
    marking: bool = False,
) -> bytes:
    """A new workbook as the bytes of an .xlsx file.

    Parameters
    ----------
    all_sheets : bool
        Whether it has every input sheet; otherwise Settings, Recipes, Shoot plan and Packs, and
        those that ``rows`` fills.
    rows : mapping of str to sequence of rows, optional
        What is filled in: for each sheet its rows, each a mapping of headings to values.
    more : collection of str
        Titles of sheets it has besides.
    only : collection of str
        Titles of the only sheets it has; then it has no Instructions either.
    marking : bool
        Whether cells that the sheet Findings names are marked; that sheet must then be added.

    Raises
    ------
    ValueError
        If ``rows`` has a sheet, a heading or a setting that the layout has not.

    Examples
    --------
    >>> template_bytes()[:2]
    b'PK'
    """
    given = rows or {}
    unknown = {*given, *more, *only} - {layout.title for layout in INPUT_SHEETS}
    if unknown:
        raise ValueError(f"there is no input sheet {sorted(unknown)}")
    asked = {*given, *more}
    layouts = [
        layout
        for layout in INPUT_SHEETS
        if (layout.title in only if only else all_sheets or layout.first or layout.title in asked)
    ]
    made = [layout.title for layout in layouts]
    file = BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(file, options) as book:
        book.set_properties({"created": MADE, "title": "", "author": ""})
        look = Styles(book)
        for layout in layouts:
            sheet = write_sheet(book, layout, given.get(layout.title, ()), made, look)
            if marking:
                mark_faulty_cells(sheet, layout, look)
        if not only:
            write_instructions(book, made, look)
    return file.getvalue()


def results_alone_bytes(source: str, why: str) -> bytes:
    """A workbook for the results of one that must not be changed.

    Parameters
    ----------
    source : str
        Name of that workbook.
    why : str
        What was found in it.
    """
    file = BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True, "strings_to_formulas": False}) as book:
        book.set_properties({"created": MADE, "title": "", "author": ""})
        sheet = book.add_worksheet("Where from")
        sheet.set_column(0, 0, 90)
        sheet.write_string(0, 0, f"Results of {source}, which has {why} and is left as it is.")
        sheet.write_string(1, 0, "Cells named here as Sheet!Cell stand in that workbook.")
    return file.getvalue()


def mark_faulty_cells(sheet: Any, layout: Sheet, look: Styles) -> None:
    """Let the cells of an input sheet show what Findings says of them.

    Parameters
    ----------
    sheet : xlsxwriter.Worksheet
        The input sheet.
    layout : Sheet
        Which input sheet.
    look : Styles
        The workbook's formats.
    """
    for grade in GRADES:
        sheet.conditional_format(
            HEADINGS,
            0,
            CHOICE_ROWS,
            len(layout.columns) - 1,
            {
                "type": "formula",
                "criteria": fault_formula(layout.title, grade),
                "format": look.fault(error=grade == "error"),
            },
        )


def fault_formula(title: str, grade: str) -> str:
    r"""Whether Findings names the cell the formula stands in.

    Examples
    --------
    >>> print(fault_formula("Packs", "error").replace(",Findings", ",\n    Findings"))
    =COUNTIFS(Findings!$A$1:$A$2000,"error",
        Findings!$C$1:$C$2000,"Packs",
        Findings!$D$1:$D$2000,ADDRESS(ROW(),COLUMN(),4))>0
    """
    conditions = (
        (GRADE, f'"{grade}"'),
        (SHEET, f'"{title}"'),
        (CELL, "ADDRESS(ROW(),COLUMN(),4)"),
    )
    listed = ",".join(
        f"{FINDINGS}!${column}$1:${column}${ROWS},{words}" for column, words in conditions
    )
    return f"=COUNTIFS({listed})>0"
