"""Dates and clock times in cells; the workbook's times are local times."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from costing.findings import Grade, Words, choice_words, lack, message
from costing.quantities.numbers import HALF_WIDTH
from costing.shoot.defaults import of_a_shoot
from costing.workbook.package.numberformats import days_of, moment
from costing.workbook.reading.cells import RowCells, exact_number, is_number
from costing.workbook.reading.written_days import days_written

FIRST_YEAR, LAST_YEAR = 2000, 2100
"""Of a shoot and its food: a number or a year outside of them is a slip, and no day."""

DAY = timedelta(days=1)

_CLOCK = re.compile(
    r"(?P<hours>[0-9]{1,3})(?::|\.|h|時)(?P<minutes>[0-9]{2}|[0-9](?=分))(?::(?P<seconds>[0-9]{2})|分)?"
    r"\s*(?P<half>[ap]\.?m?\.?)?",
    re.IGNORECASE,
)
_HOUR = re.compile(r"(?P<hours>[0-9]{1,2})(?:\s*(?P<half>[ap]\.?m\.?)|h|時)", re.IGNORECASE)
_DIGITS = re.compile(r"(?P<hours>[0-9]{1,2})(?P<minutes>[0-9]{2})")
"""The forms a time is typed in: 10:05, 10.05, 10h05, 10時5分, with am or pm; 11am, 11h; 1005."""


def day(cells: RowCells, heading: str) -> date | None:
    """A date, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    found = _day_of(cells, heading, value)
    return None if found is None or not _in_range(cells, heading, found) else found


def days_listed(cells: RowCells, heading: str) -> list[date] | None:
    """Several dates in one cell, ``None`` when it holds no such list."""
    value = cells.value(heading)
    parts = re.split(r"[;,\n]", value) if isinstance(value, str) else []
    found = [days_written(part.strip()) for part in parts if part.strip()]
    if len(found) < 2 or any(len(readings) != 1 for readings in found):
        return None
    return [readings[0] for readings in found]


def _day_of(cells: RowCells, heading: str, value: Any) -> date | None:
    """The day a cell holds; ``None``, with a finding, where it may mean several or none."""
    if is_number(value):
        value = _from_serial(value, cells) or value
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, str):
        readings = days_written(value)
        if len(readings) == 1:
            return readings[0]
        if readings:
            words = [reading.isoformat() for reading in readings]
            cells.fail(heading, date_ambiguous, value, words)
            return None
    cells.fail(heading, date_unreadable, cells.shown(heading), cells.expected(heading))
    return None


def _from_serial(value: float, cells: RowCells) -> datetime | None:
    """The date a plain number stands for, when it is one of our time."""
    try:
        found = moment(value, cells.area.epoch)
    except OverflowError:
        return None
    return found if isinstance(found, datetime) and _of_our_time(found) else None


def _of_our_time(found: date) -> bool:
    return FIRST_YEAR <= found.year <= LAST_YEAR


def _in_range(cells: RowCells, heading: str, found: date) -> bool:
    if _of_our_time(found):
        return True
    cells.fail(heading, date_out_of_range, cells.shown(heading))
    return False


def clock(cells: RowCells, heading: str) -> time | None:
    """A clock time, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    since_midnight = _since_midnight(value, cells)
    if since_midnight is None:
        cells.fail(heading, time_unreadable, cells.shown(heading), cells.expected(heading))
        return None
    return _on_one_day(cells, heading, since_midnight, value)


def _since_midnight(value: Any, cells: RowCells) -> timedelta | None:
    """How long after midnight; more than a day for 25:30."""
    if is_number(value):
        # spreadsheet programs keep a time as a part of a day
        return timedelta(days=value) if 0 <= value < 1 else _of_number(value)
    if isinstance(value, datetime):
        # a time past midnight in a clock format comes as a day of 1900, or of 1904
        days = days_of(value, cells.area.epoch)
        after = timedelta(days=days)
        # and 1005 or 10.05 in a cell formatted for times as a day of a few years later
        # the clock of such a day is kept to the second, which five places of a day hold
        return after if timedelta(0) <= after < 2 * DAY else _of_number(round(days, 5))
    if isinstance(value, time):
        return timedelta(
            hours=value.hour,
            minutes=value.minute,
            seconds=value.second,
            microseconds=value.microsecond,
        )
    if isinstance(value, timedelta):
        return value if value >= timedelta(0) else None
    return clock_text(value) if isinstance(value, str) else None


def clock_text(text: str) -> timedelta | None:
    """How long after midnight a time is, in any of the forms people type; else ``None``.

    Examples
    --------
    >>> [str(clock_text(text)) for text in ("10.05", "10h05", "1005", "11am", "11:30 pm")]
    ['10:05:00', '10:05:00', '10:05:00', '11:00:00', '23:30:00']
    """
    text = text.translate(HALF_WIDTH)
    found = next((f for form in (_CLOCK, _HOUR, _DIGITS) if (f := form.fullmatch(text))), None)
    if found is None:
        return None
    parts = found.groupdict()
    hours, minutes, seconds = (int(parts.get(n) or 0) for n in ("hours", "minutes", "seconds"))
    if minutes > 59 or seconds > 59:
        return None
    if half := parts.get("half"):
        if not 1 <= hours <= 12:
            return None
        # 12 am is midnight and 12 pm noon
        hours = hours % 12 + (12 if half[0].lower() == "p" else 0)
    return timedelta(hours=hours, minutes=minutes, seconds=seconds)


def _of_number(value: float) -> timedelta | None:
    """A time typed as 1005 or 10.05, which a spreadsheet program takes for a number.

    10.5 is what is left of 10.50 and may mean half past ten as well, so it is no time; nor is 10.
    """
    number = exact_number(value)
    hundredfold = number if number.denominator == 1 else number * 100
    if hundredfold.denominator != 1 or hundredfold >= 2400:
        return None
    if number.denominator != 1 and hundredfold % 10 == 0:
        return None
    return clock_text(str(hundredfold.numerator))


def _on_one_day(cells: RowCells, heading: str, after: timedelta, value: Any) -> time | None:
    rounded = timedelta(seconds=round(after.total_seconds()))
    if rounded >= DAY:
        minutes = int(rounded.total_seconds()) // 60
        found = value if isinstance(value, str) else f"{minutes // 60}:{minutes % 60:02}"
        over = (datetime.min + rounded % DAY).time().isoformat("minutes")
        cells.fail(heading, time_past_midnight, f"the time {found}", over)
        return None
    return (datetime.min + rounded).time()


def instant(cells: RowCells, heading: str, on: date | None, unknown: str = "") -> datetime | None:
    """A date and time, or a clock time on the day ``on``; ``None`` when blank or unreadable.

    Where an ``unknown`` episode is why there is no such day, that is said.
    """
    value = cells.value(heading)
    if value is None:
        return None
    # a time alone is by far the most common, and no date can be read as one
    if is_clock(cells, heading):
        at = clock(cells, heading)
        if at is None:
            return None
        if on is None:
            cells.fail(heading, date_missing, at.isoformat("minutes"), unknown)
            return None
        return datetime.combine(on, at)
    # before the clock is looked at: which of two days is meant, no clock time behind it decides
    said = value.translate(HALF_WIDTH) if isinstance(value, str) else ""
    text, _, clock_time = said.partition(" ")
    days = days_written(text)
    words = [each.isoformat() for each in days]
    if len(days) > 1:
        one = of_a_shoot(days, (row.shoot_date for row in cells.area.known.episodes))
        if one is None:
            cells.fail(heading, date_ambiguous, value, words)
            return None
        value = f"{one} {clock_time}"
    found = None if _day_only(cells, heading, value) else _date_and_time(value, cells)
    if found is None:
        such = "a date and time such as 2031-05-10 10:05, or a time on the shoot date"
        cells.fail(heading, time_unreadable, cells.shown(heading), such)
        return None
    if not _in_range(cells, heading, found.date()):
        return None
    if len(days) > 1:
        cells.tell(heading, date_by_shoot_date, text, words, found.date().isoformat())
    return found


def is_day(cells: RowCells, heading: str) -> bool:
    """Whether a cell holds a date alone."""
    value = cells.value(heading)
    return _day_only(cells, heading, value) or (
        isinstance(value, str) and len(days_written(value)) == 1
    )


def is_clock(cells: RowCells, heading: str) -> bool:
    """Whether a cell holds a time alone."""
    return _since_midnight(cells.value(heading), cells) is not None


def _day_only(cells: RowCells, heading: str, value: Any) -> bool:
    """Whether a cell shows a date without a time; midnight itself shows its hours."""
    if not isinstance(value, datetime):
        return isinstance(value, date)
    return value.time() == time() and "h" not in cells.number_format(heading).lower()


def _date_and_time(value: Any, cells: RowCells) -> datetime | None:
    """The date and time a cell holds together, to the second; ``None`` where it holds less."""
    if is_number(value):
        value = _from_serial(value, cells)
    if isinstance(value, datetime):
        whole = value.replace(microsecond=0)
        return whole + timedelta(seconds=round(value.microsecond / 1_000_000))
    found = instants_of(value) if isinstance(value, str) else []
    return found[0] if len(found) == 1 else None


def instants_of(text: str) -> list[datetime]:
    """The instants that a date and a time may mean, in any of the forms people type.

    Examples
    --------
    >>> [str(at) for at in instants_of("10 May 2031 1:50 pm")]
    ['2031-05-10 13:50:00']
    >>> [str(at.date()) for at in instants_of("10/05/2031 13:50")]
    ['2031-10-05', '2031-05-10']
    """
    try:
        if ":" in text:  # a date alone would be read as its midnight
            return [datetime.fromisoformat(text)]
    except ValueError:
        pass
    words = text.split()
    for at in range(1, len(words)):  # 10 May 2031 has blanks, and so has 10:05 pm
        readings, after = days_written(" ".join(words[:at])), clock_text(" ".join(words[at:]))
        if readings and after is not None and after < DAY:
            return [datetime.combine(one, time()) + after for one in readings]
    return []


@message("date unreadable", Grade.ERROR)
def date_unreadable(found: str, expected: str) -> Words:
    return Words(found, expected, "Write the date as year-month-day, such as 2031-05-10.")


@message("date ambiguous", Grade.ERROR)
def date_ambiguous(text: str, readings: Sequence[str]) -> Words:
    return Words(
        f'the text "{text}", which may be ' + choice_words(readings),
        "a date that can be read in one way only",
        "Write " + choice_words(readings) + ".",
    )


@message("date by shoot date", Grade.NOTE)
def date_by_shoot_date(text: str, readings: Sequence[str], taken: str) -> Words:
    """A text that two countries read as two days, of which one is that of a shoot."""
    other = choice_words(one for one in readings if one != taken)
    return Words(
        f'the date "{text}", which may be ' + choice_words(readings),
        "a date that can be read in one way only",
        f"Read as {taken}, as only that is a shoot date or the day before or after one. Write "
        f"{other} if that is meant.",
    )


@message("date out of range", Grade.ERROR)
def date_out_of_range(found: str) -> Words:
    return Words(
        found,
        "a date from 2000-01-01 to 2100-12-31",
        "Write the date with all four digits of its year.",
    )


@message("time unreadable", Grade.ERROR)
def time_unreadable(found: str, expected: str) -> Words:
    return Words(
        found, expected, "Write hours and minutes with a colon between them, such as 09:30."
    )


@message("time past midnight", Grade.ERROR)
def time_past_midnight(found: str, clock: str) -> Words:
    return Words(
        found,
        "a clock time from 00:00 to 23:59",
        f"Write {clock} if that is meant; where the sheet takes a date, write the date of the "
        "next day before it.",
    )


@lack("date missing", Grade.ERROR)
def date_missing(clock: str, unknown: str) -> Words:
    """A clock time that no date goes with, or several."""
    why = f', as the episode "{unknown}" has no row on the sheet Episodes' if unknown else ""
    mend = f'mend "{unknown}" in Episode' if unknown else "fill Shoot date on the sheet Episodes"
    return Words(
        f"{clock}, and no shoot date that such a time is on{why}",
        "date and time, such as 2031-05-10 10:05, or a time on a known shoot date",
        f"Write the date before the time, or {mend}; until then such a time counts as unreadable.",
    )
