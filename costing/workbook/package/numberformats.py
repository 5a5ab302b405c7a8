"""Number formats, and the days and times that they show.

A workbook keeps a day as the number of days since its day 0, and a time as a part of a day; the
format of the cell alone says that a number is one. Strict workbooks may spell them out instead.

Notes
-----
ISO/IEC 29500-1, 18.8.30 (formats known by their number) and 18.17.4 (dates). The formats 5 to 8
and 41 to 44, which show the money of whoever opens the file, are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from costing.workbook.package.addresses import whole
from costing.workbook.package.cellxml import DAY_0
from costing.workbook.package.xmlparts import Document, Element

GENERAL = "General"
BUILT_IN: Mapping[int, str] = {
    0: GENERAL,
    1: "0",
    2: "0.00",
    3: "#,##0",
    4: "#,##0.00",
    5: '"$"#,##0_);("$"#,##0)',
    6: '"$"#,##0_);[Red]("$"#,##0)',
    7: '"$"#,##0.00_);("$"#,##0.00)',
    8: '"$"#,##0.00_);[Red]("$"#,##0.00)',
    9: "0%",
    10: "0.00%",
    11: "0.00E+00",
    12: "# ?/?",
    13: "# ??/??",
    14: "mm-dd-yy",
    15: "d-mmm-yy",
    16: "d-mmm",
    17: "mmm-yy",
    18: "h:mm AM/PM",
    19: "h:mm:ss AM/PM",
    20: "h:mm",
    21: "h:mm:ss",
    22: "m/d/yy h:mm",
    37: "#,##0_);(#,##0)",
    38: "#,##0_);[Red](#,##0)",
    39: "#,##0.00_);(#,##0.00)",
    40: "#,##0.00_);[Red](#,##0.00)",
    41: r'_(* #,##0_);_(* \(#,##0\);_(* "-"_);_(@_)',
    42: r'_("$"* #,##0_);_("$"* \(#,##0\);_("$"* "-"_);_(@_)',
    43: r'_(* #,##0.00_);_(* \(#,##0.00\);_(* "-"??_);_(@_)',
    44: r'_("$"* #,##0.00_)_("$"* \(#,##0.00\)_("$"* "-"??_)_(@_)',
    45: "mm:ss",
    46: "[h]:mm:ss",
    47: "mmss.0",
    48: "##0.0E+0",
    49: "@",
}
"""Formats that a workbook names by their number alone."""

_ELAPSED = re.compile(r"\[(?:hh?|mm?|ss?)\]", re.IGNORECASE)
"""Hours, minutes or seconds that are counted on, 25 after 24."""
_NOT_SHOWN_AS_DATE = re.compile(
    r'"[^"]*"|\[(?!(?:hh?|mm?|ss?)\])[^\]]*\]|[_\\].', re.IGNORECASE | re.DOTALL
)
"""Texts, colours and conditions, a space as wide as a letter, a letter that stands for itself."""
_DATE_LETTER = re.compile(r"[dmhys]", re.IGNORECASE)
_DURATION = re.compile(
    r"PT(?:(?P<hours>\d+)H)?(?:(?P<minutes>\d+)M)?(?:(?P<seconds>\d+(?:\.\d+)?)S)?"
)

A_DAY = timedelta(days=1)
LEAP_DAY_1900 = 60
"""The number of 29 February 1900, which never was: programs count it, so that days before it have
the number of the day after them."""


@dataclass(frozen=True, slots=True)
class NumberFormat:
    """How a cell shows its number.

    Parameters
    ----------
    code : str
        As spreadsheet programs spell it.
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
    first = code.split(";")[0]
    dated = _DATE_LETTER.search(_NOT_SHOWN_AS_DATE.sub("", first)) is not None
    return NumberFormat(code, dated, dated and _ELAPSED.search(first) is not None)


def cell_formats(styles: bytes | None) -> list[NumberFormat]:
    """The number format of each cell format of a formats part, in the order of their numbers.

    Raises
    ------
    ValueError
        If one is named by what is no number.
    """
    root = Document(styles).root if styles is not None else None
    listed, formats = (root.child("numFmts"), root.child("cellXfs")) if root else (None, None)
    own = {_number(one): one.attributes.get("formatCode") for one in _all(listed, "numFmt")}
    numbers = [_number(one) for one in _all(formats, "xf")]
    codes = (own.get(number) or BUILT_IN.get(number, GENERAL) for number in numbers or [0])
    return [number_format(code) for code in codes]


def _all(listed: Element | None, local: str) -> Iterator[Element]:
    return listed.all(local) if listed is not None else iter(())


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
    >>> print(moment(47978.5, DAY_0), moment(0.5, DAY_0), moment(1.5, DAY_0, elapsed=True))
    2031-05-10 12:00:00 12:00:00 1 day, 12:00:00
    """
    day, part = divmod(days, 1)
    # A float of days is exact to about a thousandth of a second in our time.
    after = timedelta(milliseconds=round(part * (A_DAY // timedelta(milliseconds=1))))
    if elapsed:
        return timedelta(days=day) + after
    if day == 0 and after < A_DAY:
        return (datetime.min + after).time()
    if 0 < days < LEAP_DAY_1900 and epoch == DAY_0:
        day += 1
    return epoch + timedelta(days=day) + after


def days_of(shown: date | time | timedelta, epoch: datetime) -> float:
    """The number behind a day or a time: the contrary of :func:`moment`. [days]

    Examples
    --------
    >>> days_of(date(2031, 5, 10), DAY_0), days_of(time(12), DAY_0)
    (47978.0, 0.5)
    """
    if isinstance(shown, time):
        shown = datetime.combine(datetime.min, shown) - datetime.min
    if isinstance(shown, timedelta):
        return shown / A_DAY
    if not isinstance(shown, datetime):
        shown = datetime.combine(shown, time())
    days = (shown - epoch) / A_DAY
    return days - 1 if 0 < int(days) <= LEAP_DAY_1900 and epoch == DAY_0 else days


def spelled_out(text: str) -> datetime | date | time | timedelta:
    """A day, a time or a length of time written as ISO 8601 has it.

    Raises
    ------
    ValueError
        If it is none.

    Examples
    --------
    >>> spelled_out("2031-05-10"), spelled_out("PT1H30M")
    (datetime.date(2031, 5, 10), datetime.timedelta(seconds=5400))
    """
    duration = _DURATION.fullmatch(text)
    if duration and len(text) > len("PT"):
        parts = {name: float(number) for name, number in duration.groupdict("0").items()}
        return timedelta(**parts)
    if "-" not in text:
        return time.fromisoformat(text.removeprefix("T")).replace(tzinfo=None)
    if ":" not in text:
        return date.fromisoformat(text.rstrip("TZ"))
    return datetime.fromisoformat(text).replace(tzinfo=None)
