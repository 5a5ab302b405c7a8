"""Checksums of a block's columns and rows, over what programs leave alone when they save."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

CHECK_LENGTH = 3
"""Length of a checksum. [characters of 6 bits]"""
CHECKS = 1 << 6 * CHECK_LENGTH
DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
YES_NO = ("TRUE()", "FALSE()")
FORMULA_WORDS = "="
"""Content of a cell with a formula, whatever it gives."""

At = tuple[int, int]
Cells = Mapping[tuple[int, int], str]
"""Content of a block by row and column, as :func:`content_words` gives it."""


def content_words(value: str | float | bool | None, *, formula: str | None) -> str:
    """What a cell holds, evened out over what programs do to it when they save.

    Numbers at the 15 digits that every program keeps; of a formula only that it is one, since its
    value may change and its spelling may too. Some programs keep yes and no as formulas.

    Examples
    --------
    >>> content_words(0.1 + 0.2, formula=None), content_words("leek", formula=None)
    ('n0.3', 'sleek')
    """
    if formula is not None and formula.upper() not in YES_NO:
        return FORMULA_WORDS
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return f"b{int(value)}"
    if isinstance(value, str):
        return "s" + value.replace("\r\n", "\n")
    return f"n{value:.15g}"


def checksum(words: Iterable[str]) -> int:
    """A number for the contents, whatever their order; blank ones count for nothing."""
    return sum(_hash(word) for word in words if word) % CHECKS


@lru_cache(maxsize=65_536)
def _hash(word: str) -> int:
    return int.from_bytes(hashlib.sha256(word.encode()).digest()[:8], "big")


def check_text(number: int) -> str:
    """A checksum as the mark spells it.

    Examples
    --------
    >>> check_text(0), check_text(CHECKS - 1)
    ('AAA', '___')
    """
    return "".join(DIGITS[number >> 6 * place & 63] for place in reversed(range(CHECK_LENGTH)))


def check_number(text: str) -> int:
    """A checksum from the way the mark spells it.

    Examples
    --------
    >>> check_number("__-")
    262142
    """
    number = 0
    for sign in text:
        number = number << 6 | max(DIGITS.find(sign), 0)
    return number


@dataclass(frozen=True, slots=True)
class Sums:
    """Checksums of columns, by their number, and of rows taken some together."""

    columns: dict[int, int]
    rows: list[int]


def block_sums(cells: Cells, *, height: int, columns: Iterable[int], rows_a_check: int) -> Sums:
    """Checksums of the columns, and of the rows taken ``rows_a_check`` together."""
    by_column: dict[int, list[str]] = {column: [] for column in columns}
    by_row: list[list[str]] = [[] for _ in range(-(-height // rows_a_check))]
    for (row, column), words in cells.items():
        if column in by_column and row <= height:
            by_column[column].append(words)
            by_row[(row - 1) // rows_a_check].append(words)
    return Sums(
        {column: checksum(words) for column, words in by_column.items()},
        [checksum(words) for words in by_row],
    )
