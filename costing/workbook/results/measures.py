"""Widths of columns and heights of rows of a result table."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from textwrap import wrap

from costing.report.tables import ResultColumn, Row, Table, Value, ValueKind

WIDEST = 44.0
"""Widest a column of names becomes. [characters]"""
CHARACTERS_WIDE = 1.1
"""Room a character takes, with some air, in units of the width of a column."""
BOLD_WIDE = 1.25
"""The same of a bold one in a heading."""
INSTANT_WIDE = 18.0
"""Room that a date with its time takes. [characters]"""
LINE_HEIGHT = 15.0
"""Height of a line of text. [points]"""
ROW_AIR = 4.0
"""Room above and below the lines of a row. [points]"""
BLANK_SHARE = 0.7
"""Part of its width that a column of long texts keeps while no row has one."""


def widths(table: Table) -> list[float]:
    """Widths that show names whole; long texts keep theirs and wrap. [characters]"""
    return [
        _width(column, [row[column.key] for row in table.rows]) for column in table.layout.columns
    ]


def _width(column: ResultColumn, values: Sequence[Value]) -> float:
    if column.kind is ValueKind.LONG_TEXT:
        filled = not values or any(value not in (None, "") for value in values)
        return column.width if filled else round(column.width * BLANK_SHARE, 1)
    word = max(map(len, column.heading.split()))
    least = INSTANT_WIDE if column.kind is ValueKind.INSTANT else column.width
    return min(WIDEST, max(least, word * BOLD_WIDE + 1, *map(_length, values), 0))


def _length(value: Value) -> float:
    return len(value) * CHARACTERS_WIDE + 2 if isinstance(value, str) else 0


def wrapped(text: str, width: float) -> list[str]:
    """A text in lines that fit into a width. [characters]"""
    return wrap(text, int(width / CHARACTERS_WIDE))


@lru_cache(maxsize=4096)
def _lines(text: str, width: float) -> int:
    """How many lines a text takes in a width, at least one."""
    fits = len(text) * CHARACTERS_WIDE <= width and "\t" not in text
    return 1 if fits else len(wrapped(text, width)) or 1


def row_height(columns: Sequence[ResultColumn], row: Row) -> float:
    """Height in which the fullest cell of a row is shown whole. [points]"""
    lines = max(
        (
            sum(_lines(line, column.width - 2) for line in value.splitlines())
            for column in columns
            if column.kind is ValueKind.LONG_TEXT and isinstance(value := row[column.key], str)
        ),
        default=1,
    )
    return LINE_HEIGHT * max(lines, 1) + ROW_AIR
