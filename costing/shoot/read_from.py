"""What a shoot was read from: the sheets of a workbook, and what of them could not be used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pydantic import BaseModel, ConfigDict

from costing.findings import Place


class LeftOut(BaseModel):
    """A row or sheet that could not be used, so that every total can say what it leaves out.

    Parameters
    ----------
    what : str
        In words, such as ``shot "P3"``.
    sheet : str
        Which input sheet it is, or is on.
    name : str
        What the row is about; blank for a whole sheet, and for a row without a name.
    in_totals : bool
        Whether totals leave something out without it.

    Examples
    --------
    >>> LeftOut(what='shot "P3"', place=Place("Shoot plan", 6)).what
    'shot "P3"'
    """

    model_config = ConfigDict(frozen=True)

    what: str
    place: Place
    sheet: str = ""
    name: str = ""
    in_totals: bool = True


@dataclass(frozen=True, slots=True)
class InputSheet:
    """A sheet of a workbook that was read.

    Parameters
    ----------
    kind : str
        Its title in the layout.
    title : str
        Its name in the workbook.
    columns : mapping of str to str
        Letters of the columns by heading.
    """

    kind: str
    title: str
    columns: Mapping[str, str]
