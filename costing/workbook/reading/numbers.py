"""Numbers, percents and money in cells."""

from __future__ import annotations

import unicodedata
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any

from costing.quantities import (
    AmbiguousNumber,
    Number,
    UnreadableNumber,
    UpsideDownRange,
    decimal_or_fraction,
    exact,
    is_currency,
    read_number,
    terminating,
)
from costing.workbook.reading.cells import (
    EARLY,
    RowCells,
    in_words,
    is_date,
    is_number,
    number_of,
    serial,
)
from costing.workbook.reading.messages import amounts as amount_messages
from costing.workbook.reading.messages import values as messages

HUNDRED = Fraction(100)

SIGNS = {"€": ("EUR",), "£": ("GBP", "EGP", "FKP", "GIP", "LBP", "SHP", "SYP"), "¥": ("JPY", "CNY")}
"""Currencies whose sign it is; a sign that is not listed goes with every currency."""

SMALL_WORDS = (
    "less than one tenth",
    "one tenth",
    "two tenths",
    "three tenths",
    "four tenths",
    "five tenths",
    "six tenths",
    "seven tenths",
    "eight tenths",
    "nine tenths",
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
        likely = _number_behind(value, cells)
        cells.fail(
            heading,
            messages.number_is_a_date(
                cells.at(heading),
                in_words(value, cells.area.epoch),
                cells.expected(heading),
                likely,
            ),
        )
        return None
    return one_of_text(cells, heading, value)


def exact_number(value: float) -> Fraction:
    """The exact number of a number cell."""
    found: Fraction = number_of(value)
    return found


def one_of_text(cells: RowCells, heading: str, value: Any) -> Fraction | None:
    """One number written as text."""
    found = range_of_text(cells, heading, value)
    if found is not None and found.is_range:
        cells.fail(
            heading,
            messages.range_not_expected(cells.at(heading), str(value), cells.expected(heading)),
        )
        return None
    return None if found is None else found.low


def range_of_text(cells: RowCells, heading: str, value: Any) -> Number | None:
    """A number or a range written as text."""
    place = cells.at(heading)
    if not isinstance(value, str):
        cells.fail(
            heading,
            messages.text_not_a_number(
                place, in_words(value, cells.area.epoch), cells.expected(heading), "a truth value"
            ),
        )
        return None
    cells.hold_text(heading)
    found = _read(value)
    if isinstance(found, UpsideDownRange):
        mixed = found.low.denominator == 1 and found.high < 1
        low, high = _as_written(value, found.low), _as_written(value, found.high)
        cells.fail(heading, messages.range_upside_down(place, value, low, high, mixed))
        return None
    if isinstance(found, UnreadableNumber):
        reason = _reason(value, found.reason)
        cells.fail(
            heading,
            messages.text_not_a_number(
                place, in_words(value, cells.area.epoch), cells.expected(heading), reason
            ),
        )
        return None
    if isinstance(found, AmbiguousNumber):
        readings = [_unmistakable(reading) for reading in found.readings]
        cells.fail(heading, messages.ambiguous_number(place, found.text, readings))
        return None
    if found.other_reading is not None:
        read, other = _unmistakable(found.high), _unmistakable(found.other_reading)
        cells.findings.append(messages.number_read_as_decimal(place, value, read, other))
    return found


def _reason(text: str, reason: str) -> str:
    return reason if any(c.isdigit() for c in text) else "there is no digit in it"


def _unmistakable(value: Fraction) -> str:
    """A number written so that nobody takes its point for a mark of thousands: 1.2340."""
    written = decimal_or_fraction(value)
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
        cells.fail(heading, amount_messages.times_negative(cells.at(heading), shown))
        return None
    if found.denominator != 1:
        unit = cells.column(heading).unit
        what = "a whole number" + (f" of {unit}" if unit else "")
        cells.fail(heading, messages.not_a_whole_number(cells.at(heading), shown, what))
        return None
    return found.numerator


def times(cells: RowCells, heading: str) -> int | None:
    """A whole number of times, 0 or more."""
    return whole(cells, heading, negative_is_times=True)


def percent(cells: RowCells, heading: str) -> Fraction | None:
    """A percent as a fraction: 72 and a percent-formatted 72% are both 0.72; not yet judged."""
    return _percent(cells, heading)[0]


def _percent(cells: RowCells, heading: str) -> tuple[Fraction | None, bool]:
    """A percent as a fraction, and whether a percent sign stood there."""
    value = cells.value(heading)
    if is_number(value) and cells.is_percent(heading):
        return exact_number(value), True
    if isinstance(value, str) and value.endswith("%"):
        found = one_of_text(cells, heading, value[:-1])
        return (None if found is None else found / HUNDRED), True
    found = number(cells, heading)
    return (None if found is None else found / HUNDRED), False


def percent_from_0(cells: RowCells, heading: str, *, below_100: bool = False) -> Fraction | None:
    """A percent from 0 to 100, as a fraction."""
    found = percent(cells, heading)
    if found is None or (found >= 0 and (found < 1 or (found == 1 and not below_100))):
        return found
    expected = "percent of at least 0 and below 100" if below_100 else "percent from 0 to 100"
    shown = decimal_or_fraction(found * HUNDRED)
    cells.fail(heading, messages.percent_out_of_range(cells.at(heading), shown, expected))
    return None


def trim_yield(cells: RowCells, heading: str) -> Fraction | None:
    """A trim yield as a fraction above 0 and at most 1."""
    found, signed = _percent(cells, heading)
    if found is None:
        return None
    shown = decimal_or_fraction(found * HUNDRED)
    if not signed and 0 < found * HUNDRED <= 1:
        words = (shown, *_unclear(found))
        cells.fail(heading, messages.trim_yield_unclear(cells.at(heading), *words))
        return None
    if not 0 < found <= 1:
        cells.fail(heading, messages.trim_yield_out_of_range(cells.at(heading), shown))
        return None
    return found


def cooked_weight(cells: RowCells, heading: str) -> Fraction | None:
    """A cooked weight as a fraction of the trimmed weight, above 0."""
    found, signed = _percent(cells, heading)
    if found is None:
        return None
    shown = decimal_or_fraction(found * HUNDRED)
    if not signed and 0 < found * HUNDRED <= 1:
        words = (shown, *_unclear(found))
        cells.fail(heading, messages.cooked_weight_unclear(cells.at(heading), *words))
        return None
    if found <= 0:
        cells.fail(
            heading, messages.percent_out_of_range(cells.at(heading), shown, "percent above 0")
        )
        return None
    if found * HUNDRED < 10:
        hundredfold = decimal_or_fraction(found * HUNDRED * HUNDRED)
        cells.findings.append(
            messages.cooked_weight_very_small(cells.at(heading), shown, hundredfold)
        )
    return found


def _unclear(found: Fraction) -> tuple[str, str]:
    """The percent that is probably meant, and the tiny one that stands there, in words."""
    number = found * HUNDRED
    tenths = round(number * 10)
    words = f"{SMALL_WORDS[tenths]} of a percent" if tenths < len(SMALL_WORDS) else "one percent"
    return decimal_or_fraction(number * HUNDRED), words


def money(cells: RowCells, heading: str, currency: str | None) -> Decimal | None:
    """A sum of money of 0 or more, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    if is_number(value):
        found = exact_number(value)
    elif is_date(value):
        shown = in_words(value, cells.area.epoch)
        likely = _money_behind(value, cells)
        cells.fail(
            heading,
            messages.price_is_a_date(cells.at(heading), shown, cells.expected(heading), likely),
        )
        return None
    else:
        bare = value
        if isinstance(value, str):
            bare, sign = _without_sign(value)
            if sign and currency and not _goes_with(sign, currency):
                cells.fail(
                    heading,
                    messages.money_of_another_currency(cells.at(heading), value, sign, currency),
                )
                return None
        read = one_of_text(cells, heading, bare)
        if read is None:
            return None
        found = read
    if found < 0:
        shown = decimal_or_fraction(found)
        cells.fail(
            heading,
            messages.number_out_of_range(cells.at(heading), shown, "money of 0 or more"),
        )
        return None
    return decimal_of(found)


def decimal_of(value: Fraction) -> Decimal:
    """Money as a decimal; a sum without an end is cut at 28 digits."""
    whole_decimal = terminating(value)
    if whole_decimal is not None:
        return whole_decimal
    return Decimal(value.numerator) / Decimal(value.denominator)


def _without_sign(text: str) -> tuple[str, str]:
    """A sum without its currency sign or code, and that sign or code."""
    letters = "".join(c for c in text if c.isalpha())
    if letters and is_currency(letters.upper()):
        bare = text.replace(letters, "").strip()
        return bare, letters.upper()
    signs = [c for c in text if unicodedata.category(c) == "Sc"]
    if len(signs) == 1:
        return text.replace(signs[0], "").strip(), signs[0]
    return text, ""


def _goes_with(sign: str, currency: str) -> bool:
    if sign.isalpha():
        return sign == currency
    return currency in SIGNS.get(sign, (currency,))


def _number_behind(value: Any, cells: RowCells) -> str:
    """The number that a date-formatted cell holds, when it is a small one."""
    if isinstance(value, datetime) and value.year >= EARLY:
        return ""
    if isinstance(value, date) and not isinstance(value, datetime):
        return ""
    return decimal_or_fraction(exact(serial(value, cells.area.epoch)))


def _money_behind(value: Any, cells: RowCells) -> str:
    """The sum that was probably typed: 1.5 becomes 1 May."""
    behind = _number_behind(value, cells)
    if behind or not isinstance(value, date):
        return behind
    readings = dict.fromkeys((f"{value.day}.{value.month}", f"{value.month}.{value.day}"))
    return " or ".join(readings)
