"""The person's number cells as parts of a formula."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from costing.findings import Row
from costing.kitchen.rows import FromRow
from costing.quantities import exact
from costing.workbook.results.live.terms import Term, number, product

PARTS_OF = (Fraction(1), Fraction(1, 100))
"""What a number in a cell may count: ones, or percent."""


def quoted(sheet: str) -> str:
    """A sheet's name as every program takes it in a formula.

    Examples
    --------
    >>> quoted("Cook's plan")
    "'Cook''s plan'"
    """
    return "'" + sheet.replace("'", "''") + "'"


def absolute(sheet: str, column: str, row: int) -> str:
    """A cell of a sheet, the same wherever the formula stands.

    Examples
    --------
    >>> absolute("Packs", "F", 5)
    "'Packs'!$F$5"
    """
    return f"{quoted(sheet)}!${column}${row}"


class Inputs:
    """The input cells that a formula may refer to.

    Parameters
    ----------
    sheets : collection of str
        Names of the sheets in the workbook that is written; other sheets cannot be referred to.
    dependent : collection of (str, str)
        Sheet and address of cells that themselves need a result: a reference to one would be a
        reference in a circle.
    """

    def __init__(
        self, sheets: Collection[str] = (), dependent: Collection[tuple[str, str]] = ()
    ) -> None:
        self.sheets = frozenset(sheets)
        self._dependent = frozenset(dependent)

    def depending_columns(self, sheet: str) -> frozenset[str]:
        """Letters of the columns of a sheet in which a cell itself needs a result."""
        return frozenset(
            cell.rstrip("0123456789") for title, cell in self._dependent if title == sheet
        )

    def holds(self, row: Row, heading: str) -> float | str | None:
        """What the cell below a heading holds, if it can be referred to."""
        held = row.held.get(heading)
        if held is None or row.sheet not in self.sheets or not row.at(heading).cell:
            return None
        return None if (row.sheet, row.at(heading).cell) in self._dependent else held

    def cell(self, model: FromRow, heading: str, value: Fraction, *, times: int = 1) -> Term:
        """The cell that says ``value``, or the number itself where no number cell says it.

        Parameters
        ----------
        model : FromRow
            What was read from the row.
        heading : str
            Of the cell.
        value : Fraction
            What the library reckons with: the cell's number, or a hundredth of a percent cell's.
        times : int
            A factor for the whole.
        """
        held = self.holds(model.row, heading)
        if held is None or isinstance(held, str):
            return number(value * times)
        found = exact(held)
        place = model.row.at(heading)
        for part in PARTS_OF:
            if found * part == value and (found or not heading.endswith("%")):
                reference = absolute(place.sheet, place.column, place.row or 0)
                return product(Term(reference, found), number(part * times))
        return number(value * times)
