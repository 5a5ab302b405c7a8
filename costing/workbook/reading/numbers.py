"""Numbers in cells."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction
from functools import lru_cache
from typing import Any

from costing.findings import Grade, Words, choice_words, message
from costing.quantities import (
    AmbiguousNumber,
    Number,
    UnreadableNumber,
    UpsideDownRange,
    decimal_or_fraction,
    decimal_or_mixed,
    exact,
    read_number,
)
from costing.workbook.package.numberformats import days_of
from costing.workbook.reading.cells import (
    FIRST_YEAR,
    RowCells,
    exact_number,
    in_words,
    is_date,
    is_number,
)


@lru_cache(maxsize=16384)
def _read(text: str) -> Number | AmbiguousNumber | UnreadableNumber:
    try:
        return read_number(text)
    except (AmbiguousNumber, UnreadableNumber) as fault:
        return fault


def number(cells: RowCells, heading: str) -> Fraction | None:
    """One number, ``None`` when the cell is blank or cannot be read."""
    value = cells.value(heading)
    if value is None:
        return None
    if is_number(value):
        return exact_number(value)
    if is_date(value):
        about = cells.shown(heading), cells.expected(heading), number_behind(value, cells)
        cells.fail(heading, number_is_a_date, *about)
        return None
    return one_of_text(cells, heading, value)


def one_of_text(cells: RowCells, heading: str, value: Any) -> Fraction | None:
    """One number written as text."""
    found = range_of_text(cells, heading, value)
    if found is not None and found.is_range:
        cells.fail(heading, range_not_expected, str(value), cells.expected(heading))
        return None
    return None if found is None else found.low


def range_of_text(cells: RowCells, heading: str, value: Any) -> Number | None:
    """A number or a range written as text."""
    words = in_words(value, cells.area.epoch), cells.expected(heading)
    if not isinstance(value, str):
        cells.fail(heading, text_not_a_number, *words, "a truth value")
        return None
    cells.hold_text(heading)
    found = _read(value)
    if isinstance(found, UpsideDownRange):
        mixed = found.low.denominator == 1 and found.high < 1
        low, high = _as_written(value, found.low), _as_written(value, found.high)
        cells.fail(heading, range_upside_down, value, low, high, mixed)
        return None
    if isinstance(found, UnreadableNumber):
        cells.fail(heading, text_not_a_number, *words, _reason(value, found.reason))
        return None
    if isinstance(found, AmbiguousNumber):
        readings = [_unmistakable(reading) for reading in found.readings]
        cells.fail(heading, ambiguous_number, found.text, readings)
        return None
    if found.other_reading is not None:
        read, other = _unmistakable(found.high), _unmistakable(found.other_reading)
        cells.tell(heading, number_read_as_decimal, value, read, other)
    return found


def _reason(text: str, reason: str) -> str:
    return reason if any(c.isdigit() for c in text) else "there is no digit in it"


def _unmistakable(value: Fraction) -> str:
    """A number written so that nobody takes its point for a mark of thousands: 1.2340."""
    written = decimal_or_mixed(value)
    whole_part, _, behind = written.partition(".")
    return f"{whole_part}.{behind}0" if len(behind) == len("000") else written


def _as_written(text: str, end: Fraction) -> str:
    """An end of a range in the way the range is written."""
    return str(end) if "/" in text else decimal_or_fraction(end)


def whole(cells: RowCells, heading: str, *, negative_is_times: bool = False) -> int | None:
    """A whole number, ``None`` when the cell is blank or holds something else."""
    found = number(cells, heading)
    if found is None:
        return None
    shown = decimal_or_fraction(found)
    if negative_is_times and found < 0:
        cells.fail(heading, times_negative, shown)
        return None
    if found.denominator != 1:
        unit = cells.column(heading).unit
        what = "a whole number" + (f" of {unit}" if unit else "")
        cells.fail(heading, not_a_whole_number, shown, what)
        return None
    return found.numerator


def times(cells: RowCells, heading: str) -> int | None:
    """A whole number of times, 0 or more."""
    return whole(cells, heading, negative_is_times=True)


def number_behind(value: Any, cells: RowCells) -> str:
    """The number that a date-formatted cell holds, when it is a small one."""
    if isinstance(value, datetime) and value.year >= FIRST_YEAR:
        return ""
    if isinstance(value, date) and not isinstance(value, datetime):
        return ""
    return decimal_or_fraction(exact(days_of(value, cells.area.epoch)))


@message("times negative", Grade.ERROR)
def times_negative(found: str) -> Words:
    return Words(found, "0 times or more", "Write how many times, or leave the cell blank.")


@message("text not a number", Grade.ERROR)
def text_not_a_number(text: str, expected: str, reason: str) -> Words:
    return Words(
        text,
        expected,
        f"Write the number alone. What is wrong with it: {reason}.",
    )


@message("ambiguous number", Grade.ERROR)
def ambiguous_number(text: str, readings: Sequence[str]) -> Words:
    return Words(
        f'the text "{text}", which may be ' + choice_words(readings),
        "a number that can be read in one way only",
        "Write " + choice_words(readings) + ".",
    )


@message("number read as decimal", Grade.WARNING)
def number_read_as_decimal(text: str, read: str, other: str) -> Words:
    return Words(
        f'the text "{text}", read as {read}',
        "a number that can be read in one way only",
        f"Write {other} if that is meant, or {read}.",
    )


@message("range not expected", Grade.ERROR)
def range_not_expected(text: str, expected: str) -> Words:
    return Words(
        f'the range "{text}"',
        expected,
        "Write one number.",
    )


@message("range upside down", Grade.ERROR)
def range_upside_down(text: str, low: str, high: str, mixed: bool) -> Words:
    also = f"; for {low} and {high} write {low} {high}" if mixed else ""
    return Words(
        f'the range "{text}", which goes down from {low} to {high}',
        "a range that goes up, such as 2-3",
        f"Write {high}-{low} if a range is meant{also}.",
    )


@message("number is a date", Grade.ERROR)
def number_is_a_date(shown: str, expected: str, likely: str) -> Words:
    return Words(
        shown,
        expected,
        "Format the cell as a number and write the number again"
        + (f"; {likely} was probably typed." if likely else "."),
    )


@message("number out of range", Grade.ERROR)
def number_out_of_range(found: str, expected: str) -> Words:
    return Words(found, expected, "Write a number in this range.")


@message("not a whole number", Grade.ERROR)
def not_a_whole_number(found: str, expected: str) -> Words:
    return Words(
        found,
        expected,
        "Write a whole number; for a part of a recipe use the column Batch."
        if expected.endswith("times")
        else "Write a whole number.",
    )
