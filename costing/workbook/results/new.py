"""New workbooks: the sheets to fill in, and the demo with its results."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import BinaryIO

from costing.estimating import Estimate, estimate
from costing.report.finding_rows import findings_table
from costing.workbook.demo import DEMO_NAME, DEMO_ROWS, UNCERTAIN_NAME, uncertain_rows
from costing.workbook.owned.splice import splice
from costing.workbook.reading import read_workbook
from costing.workbook.results.sheets import blank_sheet
from costing.workbook.results.write import with_results
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


def demo_with_results(*, uncertain: bool = False) -> tuple[bytes, Estimate]:
    """The demo workbook and its estimate; the same bytes at every call.

    Parameters
    ----------
    uncertain : bool
        With one shot whose number of times is not certain.
    """
    name = UNCERTAIN_NAME if uncertain else DEMO_NAME
    data = new_workbook_bytes(all_sheets=True, rows=uncertain_rows() if uncertain else DEMO_ROWS)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        shoot, _ = read_workbook(path)
    result = estimate(shoot)
    spliced, _ = with_results(data, result, name)
    return spliced.data, result
