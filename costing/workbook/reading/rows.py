"""What a sheet gives: a model for each row; what it refuses becomes a finding with its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import ValidationError

from costing.findings import Row
from costing.kitchen.rows import FromRow
from costing.shoot import LeftOut
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.messages import values as messages

M = TypeVar("M", bound=FromRow)

BOUNDS = {
    "greater_than": ("gt", "a number above {}"),
    "greater_than_equal": ("ge", "a number of {} or more"),
    "less_than": ("lt", "a number below {}"),
    "less_than_equal": ("le", "a number of at most {}"),
}
"""What a model says of a number outside its range."""


@dataclass(slots=True)
class Read:
    """What a sheet gave.

    Parameters
    ----------
    rows : list
        Models, in the order of the sheet.
    left_out : list of LeftOut
        Rows that could not be used.
    uncertain : set of str
        Names, by their keys, of what cannot be reckoned with because a cell could not be read.
    """

    rows: list[Any] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    uncertain: set[str] = field(default_factory=set)

    def leave_out(self, what: str, row: Row) -> None:
        """Remember a row that could not be used."""
        name = f'{what} "{row.name}"' if row.name else f"{what} without a name"
        self.left_out.append(LeftOut(what=name, place=row.at(), name=row.name))


def built(
    model: type[M], cells: RowCells, headings: Mapping[str, str], fields: dict[str, Any]
) -> M | None:
    """The model of a row, or ``None`` when it refuses what it needs.

    Parameters
    ----------
    model : type
        What to build.
    cells : RowCells
        The row; a cell that is refused is added to its ``failed``.
    headings : mapping of str to str
        Heading by field, for the fields that have a range.
    fields : dict
        What was read. A field that is refused and may be blank is left blank.
    """
    try:
        return model(row=cells.row, **fields)
    except ValidationError as fault:
        refused = _told(fault, cells, headings)
    kept = {name: value for name, value in fields.items() if name not in refused}
    if len(kept) == len(fields):
        return None
    try:
        return model(row=cells.row, **kept)
    except ValidationError:
        return None


def _told(fault: ValidationError, cells: RowCells, headings: Mapping[str, str]) -> set[str]:
    """Make a finding of each thing refused; gives the fields it was refused for."""
    refused: set[str] = set()
    for error in fault.errors():
        name = str(error["loc"][0]) if error["loc"] else ""
        if error["type"] in BOUNDS and name in headings:
            bound, words = BOUNDS[error["type"]]
            heading = headings[name]
            found = cells.shown(heading)
            expected = words.format(error["ctx"][bound])
            cells.fail(heading, messages.number_out_of_range(cells.at(heading), found, expected))
            refused.add(name)
        else:
            rule = error["msg"].removeprefix("Value error, ")
            cells.findings.append(messages.row_not_accepted(cells.row.at(), rule))
    return refused
