"""Cells and ranges by their addresses."""

from __future__ import annotations

import re
from functools import lru_cache

ADDRESS = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})")
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
"""Of every worksheet, counted from 1; this and other limits of the programs are as "Excel
specifications and limits" has them, from memory."""
LONGEST_NUMBER = 9
"""Digits of the largest whole number that is believed."""


def whole(text: str | None, otherwise: int) -> int:
    """The whole number that a text spells, ``otherwise`` when it spells none.

    Examples
    --------
    >>> whole("12", 0), whole("twelve", 0), whole(None, 7), whole("²", 0)
    (12, 0, 7, 0)
    """
    if text and text.isascii() and text.isdigit() and len(text) <= LONGEST_NUMBER:
        return int(text)
    return otherwise


@lru_cache(maxsize=1024)
def column_number(letters: str) -> int:
    """Number of a column, from 1.

    Examples
    --------
    >>> column_number("A"), column_number("XFD")
    (1, 16384)
    """
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number


@lru_cache(maxsize=1024)
def column_letters(number: int) -> str:
    """Letters of a column, counted from 1.

    Examples
    --------
    >>> column_letters(1), column_letters(16384)
    ('A', 'XFD')
    """
    letters = ""
    while number:
        number, last = divmod(number - 1, 26)
        letters = chr(65 + last) + letters
    return letters


def address(row: int, column: int) -> str:
    """A cell's address, both counted from 1.

    Examples
    --------
    >>> address(7, 5)
    'E7'
    """
    return f"{column_letters(column)}{row}"


def quoted(title: str) -> str:
    """A sheet's title as every program takes it in a formula.

    Examples
    --------
    >>> quoted("Cook's plan")
    "'Cook''s plan'"
    """
    return "'" + title.replace("'", "''") + "'"


def corners(reference: str) -> tuple[int, int, int, int] | None:
    """First row, first column, last row, last column of ``A1`` or ``A1:C7``; None if it is neither.

    Examples
    --------
    >>> corners("B2:$D$9"), corners("A:A")
    ((2, 2, 9, 4), None)
    """
    ends = [ADDRESS.fullmatch(part) for part in reference.strip().split(":")]
    if not 1 <= len(ends) <= 2 or None in ends:
        return None
    points = [(int(e.group(2)), column_number(e.group(1))) for e in ends if e]
    rows, columns = sorted(p[0] for p in points), sorted(p[1] for p in points)
    return rows[0], columns[0], rows[-1], columns[-1]


def range_words(top: int, left: int, bottom: int, right: int) -> str:
    """A range by its corners.

    Examples
    --------
    >>> range_words(4, 1, 9, 3)
    'A4:C9'
    """
    return f"{address(top, left)}:{address(bottom, right)}"
