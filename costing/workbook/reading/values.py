"""What kind of value a cell holds, and the exact number behind it."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from fractions import Fraction
from functools import lru_cache

from openpyxl.utils.datetime import to_excel

from costing.quantities import exact

EARLY = 1910
"""A date before this year is a small number in a cell formatted as a date."""


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
