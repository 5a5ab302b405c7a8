"""New workbooks: the sheets to fill in, and the demo with its results."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path

from costing.estimating import estimate
from costing.report.assumption_rows import findings_table
from costing.report.estimates import Estimate
from costing.shoot import Shoot
from costing.workbook.demo import DEMO_NAME, DEMO_ROWS, UNCERTAIN_NAME, uncertain_rows
from costing.workbook.owned.splice import splice
from costing.workbook.package.commit import new_file
from costing.workbook.reading import read_workbook
from costing.workbook.results.sheets import blank_sheet
from costing.workbook.results.write import with_results
from costing.workbook.template import template_bytes
from costing.workbook.template.cells import Row
from costing.workbook.template.filling import rows_of


def new_workbook_bytes(
    *,
    all_sheets: bool = False,
    rows: Mapping[str, Sequence[Row]] | None = None,
    more: Collection[str] = (),
) -> bytes:
    """A new workbook as the bytes of an .xlsx file; the same call always gives the same bytes.

    Parameters
    ----------
    all_sheets : bool
        Whether it has every input sheet; otherwise Settings, Recipes, Shoot plan and Packs, and
        those that ``rows`` fills.
    rows : mapping of str to sequence of rows, optional
        What is filled in: for each sheet its rows, each a mapping of headings to values.
    more : collection of str
        Titles of sheets it has besides.

    Raises
    ------
    ValueError
        If ``rows`` has a sheet, a heading or a setting that the layout has not.

    Examples
    --------
    >>> new_workbook_bytes()[:2]
    b'PK'
    """
    sheets = template_bytes(all_sheets=all_sheets, rows=rows, more=more, marking=True)
    return splice(sheets, [blank_sheet(findings_table([]))]).data


def write_template(path: str | os.PathLike[str], *, all_sheets: bool = False) -> None:
    """Write a new workbook to be filled in.

    Parameters
    ----------
    path : str or path
        Where to.
    all_sheets : bool
        Whether it has every input sheet; otherwise Settings, Recipes, Shoot plan and Packs.

    Raises
    ------
    Refused
        If there is a file of that name, which is never overwritten, or it cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_template(Path(folder, "tart.xlsx"))
    ...     Path(folder, "tart.xlsx").exists()
    True
    """
    new_file(Path(path), new_workbook_bytes(all_sheets=all_sheets))


def write_workbook(path: str | os.PathLike[str], shoot: Shoot) -> None:
    """Write a shoot into a new workbook, from which the same shoot is read.

    Parameters
    ----------
    path : str or path
        Where to. A shoot without a title is read with the name of the file.
    shoot : Shoot
        Built in code or read. Holding rules of your own stay in their file beside the workbook.

    Raises
    ------
    Refused
        If there is a file of that name, which is never overwritten, or it cannot be written.
    ValueError
        If the shoot holds something that a workbook cannot say; nothing is then written.

    Examples
    --------
    >>> import tempfile
    >>> from costing.kitchen import Line
    >>> shoot = Shoot(lines=[Line(dish="toast", ingredient="bread", amount="2 each")])
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_workbook(Path(folder, "toast.xlsx"), shoot)
    ...     read_workbook(Path(folder, "toast.xlsx"))[0].recipes["toast"][0].ingredient
    'bread'
    """
    target = Path(path)
    new_file(target, new_workbook_bytes(rows=rows_of(shoot)))
    read, _ = read_workbook(target)
    title = shoot.settings.title or read.settings.title
    expected = shoot.changed(settings=shoot.settings.model_copy(update={"title": title}))
    if difference := expected.difference(read):
        target.unlink()
        raise ValueError(f"a workbook cannot say this shoot: given and read again, {difference}")


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
