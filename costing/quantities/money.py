"""Money: exact until it is rounded, and rounded only where it is paid or shown."""

from __future__ import annotations

import csv
import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache
from math import lcm
from pathlib import Path

from costing.names import UnknownWord, nearest
from costing.quantities.traced import TracedNumber, is_traced
from costing.quantities.traced_money import TracedMoney, rounded_money

CODELESS_DIGITS = 2
"""Digits of money when no currency is given: amounts as most people write them."""

LIKENESS_OF_A_CODE = 0.6
"""Of the three letters of a code two are right in their order: EUO for EUR. [ratio]"""

CURRENCY_FILE = Path(__file__).with_name("currencies.csv")
"""Minor units of the currencies in use, by ISO 4217.

Babel carries CLDR's digits, which follow the coins in use and change with its version: none for
the forint, whose prices end in ,99 all the same. Rounding prices to them would lose money, so
Babel is asked only for codes that are no longer in use.
"""


SIGN_FILE = Path(__file__).with_name("currency_signs.csv")
"""Signs and short words of prices, and the currencies each is written for."""


class Rounding(StrEnum):
    """What happens to a part of the smallest coin.

    Examples
    --------
    >>> Rounding("half up")
    <Rounding.HALF_UP: 'half up'>
    """

    HALF_UP = "half up"
    DOWN = "down"
    UP = "up"


class UnknownCurrency(UnknownWord):
    """The text is no currency code.

    Examples
    --------
    >>> currency_digits("EURO")
    Traceback (most recent call last):
        ...
    costing.quantities.money.UnknownCurrency: 'EURO' is not a currency code ...; nearest: EUR
    """

    said = "{} is not a currency code of ISO 4217"


@cache
def _codes() -> frozenset[str]:
    from babel.numbers import list_currencies  # here only, to keep --help fast

    return frozenset(list_currencies())


@cache
def _codes_in_use() -> list[str]:
    """Codes that are legal tender somewhere today, as far as Babel knows."""
    from babel.core import get_global  # here only, to keep --help fast

    periods = (p for of_place in get_global("territory_currencies").values() for p in of_place)
    return sorted({code for code, _, until, tender in periods if tender and until is None})


@cache
def countries() -> dict[str, str]:
    """Countries and territories that have money, in English, by their codes of ISO 3166.

    Examples
    --------
    >>> countries()["MX"], countries()["CH"], "EU" in countries()
    ('Mexico', 'Switzerland', False)
    """
    from babel.core import Locale, get_global  # here only, to keep --help fast

    names, having = Locale("en").territories, get_global("territory_currencies")
    return {code: names[code] for code in sorted(having) if code in names and code != "EU"}


@cache
def _iso_digits() -> dict[str, int]:
    with CURRENCY_FILE.open(encoding="utf-8", newline="") as file:
        return {row["code"]: int(row["digits"]) for row in csv.DictReader(file)}


@cache
def _signs() -> dict[str, frozenset[str]]:
    signs: dict[str, frozenset[str]] = {}
    with SIGN_FILE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            word = row["sign"].casefold() if len(row["sign"]) > 1 else row["sign"]
            for sign in {row["sign"], word}:
                signs[sign] = signs.get(sign, frozenset()) | {row["code"]}
    return signs


def currencies_of(sign: str) -> frozenset[str]:
    """The currencies for which a sign, a short word or a code is written; none is no sign.

    Examples
    --------
    >>> sorted(currencies_of("kr")), sorted(currencies_of("Usd")), currencies_of("each")
    (['DKK', 'ISK', 'NOK', 'SEK'], ['USD'], frozenset())
    """
    if is_currency(sign.upper()):
        return frozenset((sign.upper(),))
    plain = unicodedata.normalize("NFKC", sign)
    word = plain.casefold() if len(plain) > 1 else plain  # P is the pula, p is pence
    return _signs().get(sign) or _signs().get(plain) or _signs().get(word, frozenset())


def likely_currencies(sign: str) -> list[str]:
    """The currencies a sign is likely to mean: the one it is for in English by itself, else all.

    Examples
    --------
    >>> likely_currencies("£"), likely_currencies("kr")
    (['GBP'], ['DKK', 'ISK', 'NOK', 'SEK'])
    """
    from babel.numbers import get_currency_symbol  # here only, to keep --help fast

    codes = sorted(currencies_of(sign))
    plain = unicodedata.normalize("NFKC", sign)
    by_itself = [code for code in codes if get_currency_symbol(code, "en") in (sign, plain)]
    return by_itself or codes


def is_currency(code: str) -> bool:
    """Whether the text is a currency code, in capitals as ISO 4217 writes it."""
    return code in _codes()


def _checked(code: str) -> str:
    if is_currency(code):
        return code
    near = nearest(code.strip(), _codes_in_use(), least=LIKENESS_OF_A_CODE)
    raise UnknownCurrency(code, near)


def currency_digits(code: str | None) -> int:
    """Digits behind the point of a currency, the minor units of ISO 4217.

    ``code``: ISO 4217 code; codes that are no longer in use are known too. Without one, two digits.

    Raises
    ------
    UnknownCurrency
        If there is no such code.

    Examples
    --------
    >>> currency_digits("EUR"), currency_digits("JPY"), currency_digits("KWD")
    (2, 0, 3)
    """
    from babel.numbers import get_currency_precision  # here only, to keep --help fast

    if code is None:
        return CODELESS_DIGITS
    digits = _iso_digits().get(_checked(code))
    return int(get_currency_precision(code)) if digits is None else digits


def _coins(count: int, digits: int) -> Decimal:
    """Give a number of smallest coins as money; exact whatever the decimal context."""
    return Decimal((int(count < 0), tuple(map(int, str(abs(count)))), -digits))


def round_money(value: Fraction, digits: int, rounding: Rounding = Rounding.HALF_UP) -> Decimal:
    """Round an exact sum to the smallest coin.

    Exactly ``digits`` digits are behind the point.

    Parameters
    ----------
    value : Fraction
        The sum. [money]
    digits : int
        Digits behind the point, 0 or more.
    rounding : Rounding
        Half up and up go away from zero, down goes towards it.

    Raises
    ------
    ValueError
        If ``digits`` is below 0.

    Examples
    --------
    >>> round_money(Fraction("2.345"), 2), round_money(Fraction("2.349"), 2, Rounding.DOWN)
    (Decimal('2.35'), Decimal('2.34'))
    """
    if digits < 0:
        raise ValueError(f"digits must be 0 or more, not {digits}")
    if isinstance(value, TracedNumber):
        rounded = round_money(Fraction(value), digits, rounding)
        if rounding is Rounding.HALF_UP:
            return rounded_money(rounded, value, digits)
        return TracedMoney(rounded)
    coins, part = divmod(abs(value.numerator) * 10**digits, value.denominator)
    if rounding is Rounding.HALF_UP:
        coins += 2 * part >= value.denominator
    elif rounding is Rounding.UP:
        coins += part > 0
    return _coins(coins if value >= 0 else -coins, digits)


def share_out(total: Decimal, weights: Sequence[Fraction], digits: int) -> list[Decimal]:
    """Share a sum in proportion to weights so that the shares add up to it exactly.

    Each share is rounded down to the smallest coin, and the coins left over go to the largest
    remainders, the earlier first among equals.

    Parameters
    ----------
    total : Decimal
        What is shared, in whole smallest coins; a negative sum is shared like a positive one.
        [money]
    weights : sequence of Fraction
        Nobody's share is negative: 0 or more each.

    Raises
    ------
    ValueError
        If a weight is negative, the total is not in whole coins, or a total other than 0 has
        nobody to go to because all weights are 0.

    Examples
    --------
    >>> share_out(Decimal("1.00"), [Fraction(1)] * 3, 2)
    [Decimal('0.34'), Decimal('0.33'), Decimal('0.33')]
    """
    if is_traced(total) or any(map(is_traced, weights)):
        shares = share_out(Decimal(total), [Fraction(weight) for weight in weights], digits)
        # who gets a coin more is chosen, but what is not divided is the whole
        return [total] if len(shares) == 1 else [TracedMoney(share) for share in shares]
    coins = abs(Fraction(total)) * 10**digits
    if coins.denominator != 1:
        raise ValueError(f"{total} is not a whole number of coins at {digits} digits")
    if any(weight < 0 for weight in weights):
        raise ValueError("a weight is negative")
    bottom = lcm(*(weight.denominator for weight in weights))
    tops = [weight.numerator * (bottom // weight.denominator) for weight in weights]
    whole = sum(tops)
    if whole == 0:
        if coins:
            raise ValueError(f"{total} has nobody to go to: all weights are 0")
        return [_coins(0, digits) for _ in weights]
    divided = [divmod(coins.numerator * top, whole) for top in tops]
    coins_of = [share for share, _ in divided]
    by_remainder = sorted(range(len(tops)), key=lambda at: divided[at][1], reverse=True)
    for at in by_remainder[: coins.numerator - sum(coins_of)]:
        coins_of[at] += 1
    sign = -1 if total < 0 else 1
    return [_coins(sign * share, digits) for share in coins_of]


def money_text(value: Decimal | Fraction, currency: str | None) -> str:
    """Write a sum of money.

    Parameters
    ----------
    value : Decimal or Fraction
        The sum, rounded half up to the currency's digits. [money]
    currency : str, optional
        ISO 4217 code; without one, two digits and no sign.

    Examples
    --------
    >>> money_text(Decimal("38.64"), "EUR"), money_text(Fraction(1000, 3), None)
    ('38.64 EUR', '333.33')
    """
    digits = currency_digits(currency)
    plain = format(round_money(Fraction(value), digits), "f")
    return plain if currency is None else f"{plain} {currency}"
