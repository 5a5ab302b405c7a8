"""Input cells that the sheet Findings names are marked, until a run no longer finds fault."""

from __future__ import annotations

from typing import Any

from costing.workbook.layout import Sheet
from costing.workbook.template.sheets import CHOICE_ROWS, HEADINGS
from costing.workbook.template.styles import Styles

FINDINGS = "Findings"
"""Title of the sheet; a program that renames it changes the formulas here too."""

GRADE, SHEET, CELL = "A", "C", "D"
"""Its columns that are looked into."""

ROWS = 2_000
"""So many rows of it are looked through."""

GRADES = ("error", "warning")
"""Grades that are marked; a note finds no fault."""


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
