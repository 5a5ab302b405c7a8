"""Values as they are written into cells, and how a new workbook looks.

Numbers as numbers, text never as a formula; our own quiet palette,
never a meaning in a colour alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias

from costing.quantities import decimal_or_mixed
from costing.workbook.layout import CellKind, Column

INK = "#2E2A3B"
SOFT_INK = "#6B667A"
HEADING = "#E4E1EC"
NEEDED_HEADING = "#CBC4DC"
LINE = "#D9D6E1"
PAPER = "#FFFFFF"
GIVEN = "#F6F5F9"
FAULT_COLOUR = "#564A66"
DOUBT_COLOUR = "#CFC6DB"
FONT = "Calibri"

NO_GRIDLINES = 2
"""Between cells neither on the screen nor on paper, as xlsxwriter calls it."""

TEXT = "@"
DATE = "yyyy-mm-dd"
TIME = "hh:mm"
DATE_TIME = "yyyy-mm-dd hh:mm"
MONEY = "0.00"
PART = "# ??/??"
"""Shows 0.5 as 1/2, and lets 1/2 be typed without a date coming of it."""


class Styles:
    """The formats of a workbook, each made once."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, Any], ...], Any] = {}

    def of(self, **given: Any) -> Any:
        """A format, with our font and ink unless others are given."""
        properties = {"font_name": FONT, "font_size": 10.5, "font_color": INK, **given}
        key = tuple(sorted(properties.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(properties)
        return self._made[key]

    def title(self) -> Any:
        """Of the sheet's title."""
        return self.of(font_size=16, bold=True, valign="vcenter")

    def purpose(self) -> Any:
        """Of the sentence below the title."""
        return self.of(font_color=SOFT_INK, italic=True, valign="vcenter")

    def heading(self, *, needed: bool) -> Any:
        """Of a heading; one that is needed is darker and underlined."""
        return self.of(
            bold=True,
            bg_color=NEEDED_HEADING if needed else HEADING,
            underline=1 if needed else 0,
            text_wrap=True,
            valign="vcenter",
            align="left",
            indent=1,
            bottom=1,
            bottom_color=SOFT_INK,
        )

    def cell(self, number_format: str = "", *, wrap: bool = False) -> Any:
        """Of a cell to be filled in; all stand to the left, a little off the line."""
        given: dict[str, Any] = {
            "bottom": 1,
            "bottom_color": LINE,
            "valign": "vcenter",
            "align": "left",
            "indent": 1,
        }
        if number_format:
            given["num_format"] = number_format
        if wrap:
            given["text_wrap"] = True
        return self.of(**given)

    def fault(self, *, error: bool) -> Any:
        """Laid over a cell that something was found in: dark for errors, pale for warnings."""
        return self._book.add_format(
            {
                "bg_color": FAULT_COLOUR if error else DOUBT_COLOUR,
                "font_color": PAPER if error else INK,
                "bold": True,
                "border": 1,
                "border_color": FAULT_COLOUR,
            }
        )

    def given(self) -> Any:
        """Of a cell that is given and only to be read."""
        return self.of(
            font_color=SOFT_INK,
            bg_color=GIVEN,
            bottom=1,
            bottom_color=LINE,
            text_wrap=True,
            valign="vcenter",
            align="left",
            indent=1,
        )


Value: TypeAlias = str | int | float | bool | Decimal | Fraction | date | time | None
Row: TypeAlias = Mapping[str, Any]
"""A row as it is filled in: values by heading."""

FORMATS = {
    CellKind.DATE: DATE,
    CellKind.DATES: DATE,
    CellKind.TIME: TIME,
    CellKind.MONEY: MONEY,
    CellKind.MONEY_BOTH_WAYS: MONEY,
    CellKind.STEPS: TEXT,
}
"""Number formats by kind of cell; others are general, or text where the layout says so."""


def number_format(column: Column) -> str:
    """The format of a column's blank cells."""
    if column.as_text:
        return TEXT
    if column.as_part:
        return PART
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
    elif isinstance(value, bool):  # before numbers, as it is one; a datetime is a date likewise
        sheet.write_string(row, at, "yes" if value else "no", cell_format)
    elif isinstance(value, str):
        sheet.write_string(row, at, value, cell_format)
    elif isinstance(value, datetime):
        sheet.write_datetime(row, at, value, look.cell(DATE_TIME))
    elif isinstance(value, date):
        sheet.write_datetime(row, at, value, look.cell(DATE))
    elif isinstance(value, time):
        sheet.write_datetime(row, at, value, look.cell(TIME))
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
