"""Money in cells."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any

from costing.findings import Grade, Words, choice_words, message
from costing.quantities import (
    currencies_of,
    currency_digits,
    decimal_or_fraction,
    likely_currencies,
    terminating,
)
from costing.quantities.numbers import HALF_WIDTH
from costing.workbook.package.numberformats import BUILT_IN
from costing.workbook.reading.cells import (
    RowCells,
    exact_number,
    is_date,
    is_number,
    shortened,
)
from costing.workbook.reading.numbers import number_behind, number_out_of_range, one_of_text

_AROUND = re.compile(r"(?P<front>[^0-9]*?)(?P<number>-?[.,]?[0-9](?:.*[0-9])?)(?P<behind>[^0-9]*)")
_NO_COINS = re.compile(r"[.,] ?[-\u2013\u2014]+$")
"""Written for no coins behind a whole price: 25,- or 12. and a dash."""

_IN_FORMAT = re.compile(r'\[\$([^\]-]*)(?:-[0-9A-Fa-f]+)?\]|"([^"]*)"|[_*].|(.)')
"""Of a number format: the sign of a place, a text in quotes, a space as wide as a character or
filled with it, any other character."""

GENERIC_SIGN = "\u00a4"
"""For money of any currency."""

_COINS = re.compile(r"([0-9]{1,2}) *(?:p|c|¢|ct|cts|cents?|pence)", re.IGNORECASE)
"""A price in hundredths: ``99p``."""

_SEVERAL = re.compile(
    r"(?P<count>[2-9][0-9]?) +for +(?P<all>.+)|(?P<sum>.+) +for +(?P<of>[2-9][0-9]?)", re.IGNORECASE
)
"""A price of several packs together: ``2 for 3.00``, ``3.00 for 2``."""

_GROUPED = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{3})+")


def money(cells: RowCells, heading: str) -> Decimal | None:
    """A sum of money of 0 or more, ``None`` when blank or unreadable."""
    number = _sum_in(cells, heading, cells.area.known.currency, _fits)
    if number is not None and number < 0:
        shown = decimal_or_fraction(number)
        cells.fail(heading, number_out_of_range, shown, "money of 0 or more")
        return None
    return None if number is None else decimal_of(number)


def money_both_ways(cells: RowCells, heading: str) -> dict[str, Decimal | str]:
    """What was paid or given back, and the sign typed with it where it is of another currency."""
    currency = cells.area.known.currency
    foreign: list[str] = []

    def fits(cells: RowCells, heading: str, found: str, sign: str, currency: str | None) -> bool:
        if currency is not None and currency not in currencies_of(sign):
            foreign.append(sign)
            return True
        return _fits(cells, heading, found, sign, currency)

    number = _sum_in(cells, heading, currency, fits)
    if number is None:
        return {}
    return {"paid": decimal_of(number), "sign": foreign[0] if foreign else ""}


Fits = Callable[[RowCells, str, str, str, str | None], bool]
"""Whether a sum with a sign counts, beside a currency."""


def _sum_in(cells: RowCells, heading: str, currency: str | None, fits: Fits) -> Fraction | None:
    """A sum of money as it is in a cell, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    if is_date(value):
        about = cells.shown(heading), cells.expected(heading), _money_behind(value, cells)
        cells.fail(heading, price_is_a_date, *about)
        return None
    if is_number(value):
        number = exact_number(value)
        sign = _sign_of_format(cells.number_format(heading))
        if sign and not fits(cells, heading, decimal_or_fraction(number), sign, currency):
            return None
        return number
    return _of_text(cells, heading, value, currency, fits)


def _of_text(
    cells: RowCells, heading: str, value: Any, currency: str | None, fits: Fits
) -> Fraction | None:
    """A sum written as text, with or without the sign of its currency."""
    if not isinstance(value, str):
        return one_of_text(cells, heading, value)
    if otherwise := _said_otherwise(value.strip()):
        cells.fail(
            heading, price_said_otherwise, shortened(value), cells.expected(heading), otherwise
        )
        return None
    bare, sign = _without_sign(value)
    if sign and not fits(cells, heading, f'the text "{shortened(value)}"', sign, currency):
        return None
    if currency and not currency_digits(currency) and _GROUPED.fullmatch(bare):
        # nothing is behind the point of such a sum: a mark before three digits groups them
        bare = re.sub("[.,]", "", bare)
    return one_of_text(cells, heading, bare)


def _said_otherwise(text: str) -> str:
    """What to write for a price in hundredths or of several packs; blank for any other text."""
    if coins := _COINS.fullmatch(text):
        return f"Write 0.{coins[1]:0>2} if that is meant."
    if several := _SEVERAL.fullmatch(text):
        of_all = _without_sign(several["all"] or several["sum"])[0]
        count = several["count"] or several["of"]
        return (
            f"Write {of_all} if the row is for all {count}, with the Amount of all of them; else "
            "what one of them costs."
        )
    return ""


def decimal_of(value: Fraction) -> Decimal:
    """Money as a decimal; a sum without an end is cut at 28 digits."""
    whole_decimal = terminating(value)
    if whole_decimal is not None:
        return whole_decimal
    return Decimal(value.numerator) / Decimal(value.denominator)


def _without_sign(text: str) -> tuple[str, str]:
    """A sum without its currency sign, word or code, and that sign; unknown words stay."""
    plain = text.translate(HALF_WIDTH).strip()
    parts = _AROUND.fullmatch(_NO_COINS.sub("", plain))
    if parts is None:
        return text, ""
    minus = "-" if parts["front"].startswith("-") else ""
    around = (parts["front"].removeprefix("-").strip(), parts["behind"].strip())
    signs = [sign for sign in around if sign]
    meant = [currencies_of(sign) for sign in signs]
    # a sign in front and a code behind must have a currency in common: $ 5 CAD
    if signs and not frozenset.intersection(*meant):
        return text, ""
    return minus + parts["number"], signs[-1] if signs else ""


@lru_cache(maxsize=1024)
def _sign_of_format(number_format: str) -> str:
    """The currency sign with which a spreadsheet shows a number, ``""`` when there is none.

    A built-in format shows the sign of whoever opens the file and says nothing, nor does the
    generic sign.
    """
    if number_format in BUILT_IN.values():
        return ""
    # the first part is for sums above 0; those below it show the same sign or none
    for placed, quoted, other in _IN_FORMAT.findall(number_format.split(";")[0]):
        sign = (placed or quoted).strip()
        is_sign = unicodedata.category(other or " ") == "Sc" and other != GENERIC_SIGN
        if is_sign or (sign and currencies_of(sign)):
            return sign or str(other)
    return ""


def _fits(cells: RowCells, heading: str, found: str, sign: str, currency: str | None) -> bool:
    """Whether a sign goes with the currency; without one that is said once for each sign."""
    if currency in currencies_of(sign):
        return True
    if currency is not None:
        cells.fail(heading, money_of_another_currency, found, sign, currency)
        return False
    finding = sign_without_a_currency(cells.at(heading), found, sign, likely_currencies(sign))
    if not any(finding.remedy == said.remedy for said in cells.findings):
        cells.findings.append(finding)
    return True


def _money_behind(value: Any, cells: RowCells) -> str:
    """The sum that was probably typed: 1.5 becomes 1 May."""
    behind = number_behind(value, cells)
    if behind or not isinstance(value, date):
        return behind
    readings = dict.fromkeys((f"{value.day}.{value.month}", f"{value.month}.{value.day}"))
    return " or ".join(readings)


@message("price said otherwise", Grade.ERROR)
def price_said_otherwise(found: str, expected: str, remedy: str) -> Words:
    """A price in hundredths, or of several packs together."""
    return Words(f'the text "{found}"', expected, remedy)


@message("price is a date", Grade.ERROR)
def price_is_a_date(shown: str, expected: str, likely: str) -> Words:
    return Words(
        f"{shown}, where a price belongs",
        expected,
        "Format the cell as a number and write the price again"
        + (f"; {likely} was probably typed." if likely else "."),
    )


@message("money of another currency", Grade.ERROR)
def money_of_another_currency(found: str, sign: str, currency: str) -> Words:
    """A price with a sign, its own or of the cell's format, of another currency."""
    return Words(
        f"{found} with the sign {sign}",
        f"money in {currency}, the setting Currency",
        f"Write the price in {currency} without a sign, in a cell whose format has none, or mend "
        "the setting.",
    )


@message("sign without a currency", Grade.WARNING)
def sign_without_a_currency(found: str, sign: str, codes: Sequence[str]) -> Words:
    """A price with a sign, while no currency is chosen; said once for each sign of a sheet."""
    such = f", such as {choice_words(codes)} for {sign}" if codes else ""
    return Words(
        f"{found} with the sign {sign}, while no currency is chosen",
        "amounts without a sign, or their currency on the sheet Settings",
        f"Write the code into Currency{such}; until then amounts count as if all were of one "
        "currency.",
    )
