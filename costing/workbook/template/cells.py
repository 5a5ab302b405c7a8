"""Values as they are written into cells: numbers as numbers, text never as a formula."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias

from costing.quantities import decimal_or_mixed
from costing.workbook.layout import CellKind, Column
from costing.workbook.template import styles
from costing.workbook.template.styles import Styles

Value: TypeAlias = str | int | float | bool | Decimal | Fraction | date | time | None
Row: TypeAlias = Mapping[str, Any]
"""A row as it is filled in: values by heading."""

FORMATS = {
    CellKind.DATE: styles.DATE,
    CellKind.DATES: styles.DATE,
    CellKind.TIME: styles.TIME,
    CellKind.MONEY: styles.MONEY,
    CellKind.STEPS: styles.TEXT,
}
"""Number formats by kind of cell; others are general, or text where the layout says so."""


def number_format(column: Column) -> str:
    """The format of a column's blank cells."""
    if column.as_text:
        return styles.TEXT
    if column.as_part:
        return styles.PART
    return FORMATS.get(column.kind, "")


def write_value(sheet: Any, row: int, at: int, value: Value, column: Column, look: Styles) -> None:
    """Write a value below a heading, in the format of its kind.

    Raises
    ------
    TypeError
        If the value is none that a cell can hold.
    """
    cell_format = look.cell(number_format(column), wrap=column.heading == "Note")
    if value is None or value == "":
        sheet.write_blank(row, at, None, cell_format)
    elif isinstance(value, bool):
        sheet.write_string(row, at, "yes" if value else "no", cell_format)
    elif isinstance(value, str):
        sheet.write_string(row, at, value, cell_format)
    elif isinstance(value, datetime):
        sheet.write_datetime(row, at, value, look.cell(styles.DATE_TIME))
    elif isinstance(value, date):
        sheet.write_datetime(row, at, value, look.cell(styles.DATE))
    elif isinstance(value, time):
        sheet.write_datetime(row, at, value, look.cell(styles.TIME))
    elif isinstance(value, (int, float, Decimal, Fraction)):
        _write_number(sheet, row, at, value, cell_format)
    else:
        raise TypeError(f"a cell cannot hold {type(value).__name__} {value!r}")


def _write_number(
    sheet: Any, row: int, at: int, value: int | float | Decimal | Fraction, cell_format: Any
) -> None:
    """Write a number; one that a cell would not hold exactly goes in as its text."""
    exact = Fraction(value)
    if isinstance(value, float) or number_holds(exact):
        sheet.write_number(row, at, float(value), cell_format)
    else:
        sheet.write_string(row, at, decimal_or_mixed(exact), cell_format)


def number_holds(value: Fraction) -> bool:
    """Whether a number cell, which shows 15 digits, gives the value again exactly.

    Examples
    --------
    >>> number_holds(Fraction(1, 4)), number_holds(Fraction(1, 3)), number_holds(Fraction(1, 2**60))
    (True, False, False)
    """
    return Fraction(format(float(value), ".15g")) == value
