"""A new workbook: the sheets to fill in, and the sheet Findings by which they are marked."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import BinaryIO

from costing.report.finding_rows import findings_table
from costing.workbook.owned.splice import splice
from costing.workbook.results.sheets import blank_sheet
from costing.workbook.template import template_bytes
from costing.workbook.template.cells import Row


def new_workbook_bytes(
    *, all_sheets: bool = False, rows: Mapping[str, Sequence[Row]] | None = None
) -> bytes:
    """A new workbook as the bytes of an .xlsx file; the same call always gives the same bytes.

    Parameters
    ----------
    all_sheets : bool
        Whether it has every input sheet; otherwise Settings, Recipes, Shoot plan and Packs, and
        those that ``rows`` fills.
    rows : mapping of str to sequence of rows, optional
        What is filled in: for each sheet its rows, each a mapping of headings to values.

    Raises
    ------
    ValueError
        If ``rows`` has a sheet, a heading or a setting that the layout has not.

    Examples
    --------
    >>> new_workbook_bytes()[:2]
    b'PK'
    """
    sheets = template_bytes(all_sheets=all_sheets, rows=rows, marking=True)
    return splice(sheets, [blank_sheet(findings_table([]))]).data


def write_template(
    target: str | os.PathLike[str] | BinaryIO,
    *,
    all_sheets: bool = False,
    rows: Mapping[str, Sequence[Row]] | None = None,
) -> None:
    """Write a new workbook to be filled in.

    Parameters
    ----------
    target : path or binary file
        Where to; a file that is there is overwritten.
    all_sheets, rows
        As for :func:`new_workbook_bytes`.
    """
    data = new_workbook_bytes(all_sheets=all_sheets, rows=rows)
    if isinstance(target, (str, os.PathLike)):
        Path(target).write_bytes(data)
    else:
        target.write(data)
