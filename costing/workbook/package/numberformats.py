"""Number formats, and the days and times that they show.

A workbook keeps a day as the number of days since its day 0, and a time as a part of a day; the
format of the cell alone says that a number is one. Strict workbooks may spell them out instead.

Which formats have only a number, which of them show days and how a day is a number are facts that
openpyxl keeps (ISO/IEC 29500-1, 18.8.30 and 18.17.4); this module is its door.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import from_excel, from_ISO8601, to_excel

from costing.workbook.package.addresses import whole
from costing.workbook.package.xmlparts import Document, Element

GENERAL, TEXT = "General", "@"
LONGEST_CODE = 255
"""No program takes a longer format code, from memory, and a longer one takes for ever to look
through. [characters]"""
SPELLED = frozenset("0123456789-:.TZPHMS")
"""What days, times and lengths of time are spelled with where they are spelled out."""
BUILT_IN: Mapping[int, str] = BUILTIN_FORMATS
"""Formats that a workbook names by their number alone."""

_BESIDE = re.compile(r'"([^"]*)"|\\(.)|\[[^\]]*\]|[_*].|General|[#0?.,]', re.IGNORECASE)
"""Of a number format: a text in quotes, a character as it is, a colour or condition, a space, or
the number."""
_OTHERWISE = re.compile(r"\[[<>=]|[#0?],+(?![#0?,.])")
"""A condition on the number, or commas that divide what is shown by a thousand."""


@dataclass(frozen=True, slots=True)
class NumberFormat:
    """How a cell shows its number.

    Parameters
    ----------
    dated : bool
        Whether it shows a date or a time.
    elapsed : bool
        Whether it shows a time that may be longer than a day.
    """

    code: str
    dated: bool
    elapsed: bool


@lru_cache(maxsize=4096)
def number_format(code: str) -> NumberFormat:
    """A format by its code; what it shows of numbers above 0 decides.

    Examples
    --------
    >>> number_format("yyyy-mm-dd").dated, number_format('0 "days"').dated
    (True, False)
    >>> number_format("[h]:mm").elapsed
    True
    """
    start = code[:LONGEST_CODE]
    dated = is_date_format(start)
    return NumberFormat(code, dated, dated and is_timedelta_format(start))


@lru_cache(maxsize=4096)
def words_beside(code: str) -> str:
    r"""What a format shows beside a number above 0, such as a unit.

    Examples
    --------
    >>> words_beside('#,##0.0" kg"'), words_beside(r"0\ \g;-0"), words_beside('0.0," kg"')
    ('kg', 'g', '')
    """
    start = code[:LONGEST_CODE]
    if start == TEXT or _OTHERWISE.search(start):
        return ""
    return _BESIDE.sub(r"\1\2", start.partition(";")[0]).strip()


def cell_formats(styles: bytes | None) -> list[NumberFormat]:
    """The number format of each cell format of a formats part, in the order of their numbers.

    Raises
    ------
    ValueError
        If one is named by what is no number.
    """
    root = Document(styles).root if styles is not None else None
    listed, formats = (root.child("numFmts"), root.child("cellXfs")) if root else (None, None)
    own = {_number(one): one.attributes.get("formatCode") for one in _entries(listed)}
    numbers = [_number(one) for one in _entries(formats)]
    codes = (own.get(number) or BUILT_IN.get(number, GENERAL) for number in numbers or [0])
    return [number_format(code) for code in codes]


def _entries(listed: Element | None) -> Iterator[Element]:
    return listed.entries if listed is not None else iter(())


def _number(element: Element) -> int:
    """The number of the format that an element names."""
    said = element.attributes.get("numFmtId", "0")
    number = whole(said, -1)
    if number < 0:
        raise ValueError(f'the number format "{said}"')
    return number


def moment(days: float, epoch: datetime, *, elapsed: bool = False) -> datetime | time | timedelta:
    """What a number shows in a format of dates: a part of the first day is a time.

    Parameters
    ----------
    days : float
        [days]
    epoch : datetime
        Day 0 of the workbook.
    elapsed : bool
        Whether it is shown as a length of time.

    Raises
    ------
    OverflowError
        If there is no such day.

    Examples
    --------
    >>> print(moment(47978.5, datetime(1899, 12, 30)))
    2031-05-10 12:00:00
    """
    shown: datetime | time | timedelta = from_excel(days, epoch, timedelta=elapsed)  # type: ignore[no-untyped-call, unused-ignore]
    return shown


def days_of(shown: date | time | timedelta, epoch: datetime) -> float:
    """The number behind a day or a time: the contrary of :func:`moment`. [days]

    Examples
    --------
    >>> days_of(date(2031, 5, 10), datetime(1899, 12, 30))
    47978.0
    """
    days: float = to_excel(shown, epoch)  # type: ignore[no-untyped-call, unused-ignore]
    return days


def spelled_out(text: str) -> datetime | date | time | timedelta:
    """A day, a time or a length of time written as ISO 8601 has it.

    Examples
    --------
    >>> spelled_out("2031-05-10"), spelled_out("PT1H30M")
    (datetime.date(2031, 5, 10), datetime.timedelta(seconds=5400))
    """
    if not SPELLED.issuperset(text):  # what follows a day would be passed over
        raise ValueError(text)
    meant: datetime | date | time | timedelta = from_ISO8601(text)  # type: ignore[no-untyped-call, unused-ignore]
    return meant
