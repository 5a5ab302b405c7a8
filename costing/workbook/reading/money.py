"""Money in cells."""

from __future__ import annotations

import unicodedata
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from costing.quantities import decimal_or_fraction, is_currency, terminating
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.messages import values as messages
from costing.workbook.reading.numbers import number_behind, one_of_text
from costing.workbook.reading.values import exact_number, is_date, is_number
from costing.workbook.reading.wording import in_words

SIGNS = {"€": ("EUR",), "£": ("GBP", "EGP", "FKP", "GIP", "LBP", "SHP", "SYP"), "¥": ("JPY", "CNY")}
"""Currencies whose sign it is; a sign that is not listed goes with every currency."""


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


def _money_behind(value: Any, cells: RowCells) -> str:
    """The sum that was probably typed: 1.5 becomes 1 May."""
    behind = number_behind(value, cells)
    if behind or not isinstance(value, date):
        return behind
    readings = dict.fromkeys((f"{value.day}.{value.month}", f"{value.month}.{value.day}"))
    return " or ".join(readings)
