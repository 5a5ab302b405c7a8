"""What a cell holds: its kind, the exact number behind it, and how a message names it."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from fractions import Fraction
from functools import lru_cache

from openpyxl.styles.numbers import is_date_format
from openpyxl.utils.datetime import to_excel

from costing.findings import choice_words
from costing.quantities import decimal_or_fraction, exact
from costing.workbook.layout import Column

EARLY = 1910
"""A date before this year is a small number in a cell formatted as a date."""

LONGEST_QUOTE = 80
"""A longer text is cut where a message quotes it. [characters]"""

SPREADSHEET_WORDS = {True: "TRUE", False: "FALSE"}


@lru_cache(maxsize=16384)
def exact_number(value: float) -> Fraction:
    """The exact number of a number cell."""
    return exact(value)


def is_number(value: object) -> bool:
    """Whether a cell's value is a number, and not a truth value."""
    return value.__class__ is int or value.__class__ is float


def is_date(value: object) -> bool:
    """Whether the spreadsheet takes a cell's value for a date or a time."""
    return isinstance(value, (date, time, timedelta))


def serial(value: date | time | timedelta, epoch: datetime) -> float:
    """The number behind a date or a time, in days."""
    return float(to_excel(value, epoch))  # type: ignore[arg-type, no-untyped-call, unused-ignore]


def plain(value: object) -> str:
    """A value as plain text."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool):
        return SPREADSHEET_WORDS[value]
    if isinstance(value, (int, float)):
        return decimal_or_fraction(exact_number(value))
    if isinstance(value, datetime):
        whole_day = value.time() == time(0)
        return value.date().isoformat() if whole_day else value.isoformat(" ", "minutes")
    if isinstance(value, time):
        return value.isoformat("minutes")
    if isinstance(value, timedelta):
        minutes = round(value.total_seconds() / 60)
        return f"{minutes // 60}:{minutes % 60:02}"
    return str(value)


def shortened(text: str) -> str:
    r"""A text in one line, cut where it is too long to be quoted.

    Examples
    --------
    >>> shortened(" char \n the  leeks "), len(shortened("very " * 100))
    ('char the leeks', 80)
    """
    line = " ".join(text.split())
    return line if len(line) <= LONGEST_QUOTE else line[: LONGEST_QUOTE - 1].rstrip() + "…"


def in_words(value: object, epoch: datetime) -> str:
    """A value in words, for a message."""
    shown = plain(value)
    if isinstance(value, str):
        return f'the text "{shortened(value)}"'
    if isinstance(value, datetime):
        if value.year < EARLY:
            number = decimal_or_fraction(exact_number(serial(value, epoch)))
            return f"the number {number} formatted as a date"
        return f"the date {shown}"
    if isinstance(value, (time, timedelta)):
        return f"the time {shown}"
    return shown


def expected_words(column: Column) -> str:
    """What a cell of a column may hold, in words with an example."""
    if column.choices:
        return choice_words(column.choices)
    what = column.kind.words
    return f"{what} such as {column.example}" if column.example else what


def error_words(error: str, number_format: str) -> str:
    """An error in words; openpyxl gives one for a number that is too large for a date."""
    if error == "#VALUE!" and is_date_format(number_format):
        return "crosses: a number that no date has, formatted as a date"
    return f"the error {error}"
