"""The cells formulas refer to: the user's numbers, and the result tables on their sheets."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from costing.findings import Row
from costing.quantities import Amount, exact, traced, traced_money
from costing.quantities.fields import FromRow
from costing.quantities.traced import TracedNumber
from costing.quantities.traced_money import TracedMoney
from costing.report.tables import Table, Value
from costing.shoot import Settings, Shoot
from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.package.addresses import address, column_letters, quoted

M = TypeVar("M", bound=FromRow)

PARTS_OF = (Fraction(1), Fraction(1, 100))
"""What a number in a cell may count: ones, or percent."""

NUMBERS: dict[type[FromRow] | None, dict[str, str]] = {
    layout.model: {
        field: column.heading
        for column in layout.columns
        if column.followed
        for field in column.number_fields
    }
    for layout in INPUT_SHEETS
}
"""The numbers that results are made of, and the headings they stand below."""


def absolute(sheet: str, column: str, row: int) -> str:
    """A cell of a sheet, the same wherever the formula is.

    Examples
    --------
    >>> absolute("Packs", "F", 5)
    "'Packs'!$F$5"
    """
    return f"{quoted(sheet)}!${column}${row}"


@dataclass(frozen=True, slots=True)
class InputCell:
    """A cell of the user's, as it is called from any sheet."""

    reference: str


@dataclass(frozen=True, slots=True)
class ResultCell:
    """A number that is in a cell of a result table.

    Parameters
    ----------
    of : tuple of int
        The purchase and perhaps its line, or the share, it is a figure of.
    held : Fraction, optional
        What stands for it where the cell cannot be referred to; without one there is no formula.
    """

    table: str
    of: tuple[int, ...]
    column: str
    held: Fraction | None = None


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

    def followed(self, shoot: Shoot) -> Shoot:
        """The shoot with numbers that remember their cells, where formulas may refer to these."""
        return shoot.changed(
            settings=_settings(shoot.settings),
            lines=self._rows(shoot.lines),
            packs=self._rows(shoot.packs),
            lots=self._rows(shoot.lots),
            ingredients=self._rows(shoot.ingredients),
            dishes=self._rows(shoot.dishes),
            shots=self._rows(shoot.shots),
            episodes=self._rows(shoot.episodes),
            shops=self._rows(shoot.shops),
        )

    def _rows(self, rows: Iterable[M]) -> tuple[M, ...]:
        return tuple(map(self._row, rows))

    def _row(self, row: M) -> M:
        if row.row.sheet not in self.sheets:
            return row
        changes: dict[str, Any] = {}
        for name, heading in NUMBERS[type(row)].items():
            value = getattr(row, name)
            held = self._number(row.row, heading) if value is not None else None
            if held is not None:
                changes[name] = _remembered(value, held, heading, row.row)
        return row.model_copy(update=changes) if changes else row

    def _number(self, row: Row, heading: str) -> Fraction | None:
        """The number in the cell below a heading, if it can be referred to."""
        held = row.held.get(heading)
        if held is None or isinstance(held, str):
            return None
        cell = row.at(heading).cell
        return exact(held) if cell and (row.sheet, cell) not in self._dependent else None


def _remembered(value: Any, held: Fraction, heading: str, row: Row) -> Any:
    """What was read from a cell, with its origin; without one when the cell does not say it."""
    place = row.at(heading)
    name = InputCell(absolute(place.sheet, place.column, place.row or 0))
    if isinstance(value, Amount):
        # an amount in other units than it was typed in, such as cups weighed, is a multiple of it
        times = value.magnitude / held if held else Fraction(1)
        same = held * times == value.magnitude
        return Amount(traced(held, name) * times, value.unit) if same else value
    if isinstance(value, Decimal):
        return traced_money(value, name) if Fraction(value) == held else value
    for part in PARTS_OF:
        if held * part == value and (held or not heading.endswith("%")):
            return traced(held, name) * part
    return value


def _settings(settings: Settings) -> Settings:
    """Settings have no cells that formulas follow: what is made of them is a value."""
    budget = None if settings.budget is None else TracedMoney(settings.budget)
    changes: dict[str, Any] = {"budget": budget}
    if settings.tax_rate:
        changes["tax_rate"] = TracedNumber(settings.tax_rate)
    return settings.model_copy(update=changes)


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
    name : str
        Name of the table in the workbook.
    first : int
        Row of the sheet in which its first row is.
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
