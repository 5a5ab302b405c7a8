"""Where result tables stand, and the formulas that are found for their cells."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from costing.report.tables import Table, Value
from costing.workbook.package.addresses import address, column_letters
from costing.workbook.results.live.inputs import absolute

LONGEST_FORMULA = 8_000
"""A longer formula is not written; spreadsheet programs take 8,192. [characters]"""

NAME = re.compile(r"[^\W\d_][^*?~\"]{0,200}")
"""A name that can be looked up: it does not read like a number or a pattern."""


OTHER_MEANING = ("true", "false", "ingredient")
"""Names that are truth values, or the heading they would be found in."""


def can_be_looked_up(name: str) -> bool:
    """Whether a lookup of a name finds that name and nothing else.

    Examples
    --------
    >>> [can_be_looked_up(name) for name in ("leek", "any*", ">5", "1/2", "true", "Ingredient")]
    [True, False, False, False, False, False]
    """
    return NAME.fullmatch(name) is not None and name.casefold() not in OTHER_MEANING


def exact_value(value: Value) -> Fraction | None:
    """The number in a result cell, ``None`` for anything else."""
    return Fraction(value) if isinstance(value, (int, Fraction, Decimal)) else None


@dataclass
class Spot:
    """A result table on its sheet.

    Parameters
    ----------
    table : Table
        Its rows.
    title : str
        Name of the tab.
    name : str
        Name of the table in the workbook.
    first : int
        Row of the sheet in which its first row stands.
    formulas : dict
        What was found for its cells, by number of the row, from 0, and key of the column.
    """

    table: Table
    title: str
    name: str
    first: int
    formulas: dict[tuple[int, str], str] = field(default_factory=dict)
    headings: Mapping[str, str] = field(init=False)
    places: Mapping[str, int] = field(init=False)

    def __post_init__(self) -> None:
        columns = self.table.layout.columns
        self.headings = {column.key: column.heading for column in columns}
        self.places = {column.key: number for number, column in enumerate(columns, 1)}

    def column(self, key: str) -> str:
        """A column of the table, whatever its rows are."""
        return f"{self.name}[{self.headings[key]}]"

    def to_look_in(self, key: str) -> str:
        """A column with its heading, for lookups.

        One engine takes a column of a single row for a single value; with the heading it has two.
        """
        return f"{self.name}[[#All],[{self.headings[key]}]]"

    def address(self, row: int, key: str) -> str:
        """A cell as it is called on its own sheet."""
        return address(self.first + row, self.places[key])

    def reference(self, row: int, key: str) -> str:
        """A cell as it is called from any sheet."""
        return absolute(self.title, column_letters(self.places[key]), self.first + row)

    def row_of(self, key: str, text: str) -> int | None:
        """The first row whose cell in a column holds a text."""
        found = (n for n, row in enumerate(self.table.rows) if row[key] == text)
        return next(found, None)

    def corner(self, row: int) -> str:
        """The cell in column A of a row of the sheet, as it is called from any sheet."""
        return absolute(self.title, "A", row)

    def value(self, row: int, key: str) -> Fraction | None:
        """The number in a cell."""
        return exact_value(self.table.rows[row][key])
