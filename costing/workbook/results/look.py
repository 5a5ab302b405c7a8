"""How result sheets look: one palette, one style for each kind of value, widths and heights."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from textwrap import wrap

from costing.quantities import currency_digits
from costing.report.tables import ResultColumn, Row, Table, Value, ValueKind
from costing.workbook.package.cellxml import Border, CellStyle, NewCell
from costing.workbook.package.cellxml import Value as CellValue

INK = "2B3A42"
QUIET_INK = "66757D"
HEADING_FILL = "DDE5E1"
RULE = "9FB0A9"
STEP = "E3E8E6"
SAGE = "7F9A8F"

TITLE = CellStyle(bold=True, font_size=15, font_colour=INK, valign="center")
SENTENCE = CellStyle(bold=True, font_size=13, font_colour=INK, valign="center")
LARGE_FIGURE = CellStyle(bold=True, font_size=15, font_colour=INK, align="left", valign="center")
ABOUT = CellStyle(italic=True, font_colour=QUIET_INK, valign="top")
CAUTION = CellStyle(font_colour=INK)
FIGURE = CellStyle(bold=True, font_colour=INK)
CHECK = CellStyle(bold=True, font_colour=INK)
BOX = CellStyle(
    border_top="thin",
    border_bottom="thin",
    border_sides="thin",
    border_colour=INK,
    align="center",
    valign="center",
)
"""A box to tick."""
TITLE_OF_CHART = CellStyle(bold=True, font_colour=INK)
CHART_DATA = CellStyle(font_colour=QUIET_INK)
HEADING = CellStyle(
    bold=True,
    font_colour=INK,
    fill_colour=HEADING_FILL,
    wrap=True,
    align="left",
    indent=1,
    valign="center",
    border_bottom="medium",
    border_colour=RULE,
)
NUMBER_HEADING = replace(HEADING, align="right", indent=0)
NUMBERS = frozenset(
    {
        ValueKind.COUNT,
        ValueKind.QUANTITY,
        ValueKind.PERCENT,
        ValueKind.MONEY,
        ValueKind.PRICE,
        ValueKind.DURATION,
        ValueKind.MIXED,
    }
)
WHOLE_FORMAT = "#,##0"
PART_FORMAT = "#,##0.0##"
FORMATTED_WHOLE_FROM = 100
"""A smaller whole number that follows edits is shown with whatever parts an edit brings."""
# escaped, since programs put the signs of the reader's own country in the place of bare ones
DATE_FORMAT = "ddd\\ d\\ mmm\\ yyyy"
INSTANT_FORMAT = "yyyy\\-mm\\-dd hh:mm"
DURATION_FORMAT = "[h]:mm"


@dataclass(frozen=True, slots=True)
class Shade:
    """A shade behind a word: darker for worse, so that it also works without colour."""

    fill: str
    font: str = INK
    bold: bool = False


@dataclass(frozen=True, slots=True)
class RowLines:
    """The lines above and below a row, in one colour."""

    above: Border | None
    below: Border
    colour: str


BETWEEN_ROWS = RowLines(None, "hair", RULE)
FIRST_OF_GROUP = RowLines("medium", "hair", INK)
TO_CUT = RowLines("dashed", "dashed", INK)

WORST, BAD, PAST = Shade("564A66", "FFFFFF", bold=True), Shade("CFC6DB", bold=True), Shade("E4E7E5")
SHADES = {
    "discard": WORST,
    "rule cannot be used": WORST,
    "do not return": BAD,
    "discarded": PAST,
    "never eat": PAST,
    "error": WORST,
    "warning": BAD,
}
"""Of the words in columns of kind status."""


def money_format(currency: str | None, *, fine: bool = False) -> str:
    """The number format of a currency.

    ``fine``: whether digits below the smallest coin are shown where there are any.
    """
    digits = currency_digits(currency)
    decimals = "0" * digits + ("##" if fine else "")
    code = "#,##0" + (f".{decimals}" if decimals.strip("#") else "")
    return code if currency is None else f'{code}\\ "{currency}"'


class Look:
    """The cells of a table for one currency."""

    def __init__(self, currency: str | None) -> None:
        self._money = money_format(currency)
        self._fine = money_format(currency, fine=True)
        self._styles: dict[tuple[object, ...], CellStyle] = {}

    def heading(self, column: ResultColumn) -> NewCell:
        """The heading of a column, over numbers at the right."""
        style = NUMBER_HEADING if column.kind in NUMBERS else HEADING
        return NewCell(column.heading, style=style)

    def money(self, value: Value, formula: str | None, style: CellStyle) -> NewCell:
        """A sum of money outside a table."""
        number_format = replace(style, number_format=self._money, align=style.align or "right")
        return NewCell(_stored(value), formula, style=number_format)

    def duration(self, value: timedelta | None, style: CellStyle) -> NewCell:
        """A span of time outside a table, in hours and minutes."""
        form = replace(style, number_format=DURATION_FORMAT, align="right")
        return NewCell(_stored(value), style=form)

    def cell(
        self,
        column: ResultColumn,
        value: Value,
        *,
        shade: Shade | None = None,
        lines: RowLines = BETWEEN_ROWS,
        width: float = 0,
        formula: str | None = None,
        link: str | None = None,
    ) -> NewCell:
        """One value as it is shown in its column, with the formula that follows it.

        Parameters
        ----------
        width : float
            Of the column; a text that is longer wraps. [characters]
        formula, link : str, optional
            What it follows, and where it leads.
        """
        number_format = self._number_format(column, value, live=formula is not None)
        wraps = column.kind in WORDS and lines_of(value, column.kind, width) > 1
        style = self._style(column.kind, number_format, shade, lines, wrap=wraps)
        shown = "" if value is None and formula is not None else _stored(value)
        return NewCell(shown, formula, style=style, link=link)

    def _style(
        self,
        kind: ValueKind,
        number_format: str | None,
        shade: Shade | None,
        lines: RowLines,
        *,
        wrap: bool,
    ) -> CellStyle:
        """The style of a cell in a table; alike ones are made once."""
        wanted = (kind, number_format, shade, lines, wrap)
        if wanted not in self._styles:
            self._styles[wanted] = CellStyle(
                number_format=number_format,
                align="right" if kind in NUMBERS else "left",
                valign="center",
                indent=0 if kind in NUMBERS else 1,
                wrap=wrap or kind is ValueKind.LONG_TEXT,
                border_top=lines.above,
                border_bottom=lines.below,
                border_colour=lines.colour,
                bold=shade is not None and shade.bold,
                font_colour=shade.font if shade else None,
                fill_colour=shade.fill if shade else None,
            )
        return self._styles[wanted]

    def _number_format(self, column: ResultColumn, value: Value, *, live: bool) -> str | None:
        """The number format of a value in its column; ``None`` leaves it to the program."""
        if column.kind is ValueKind.PRICE and isinstance(value, Fraction):
            return self._fine
        if column.kind in (ValueKind.MONEY, ValueKind.PRICE) or isinstance(value, Decimal):
            return self._money
        if isinstance(value, datetime):
            return INSTANT_FORMAT
        if column.kind is ValueKind.DATE:
            return DATE_FORMAT
        if column.kind is ValueKind.DURATION:
            return DURATION_FORMAT
        if isinstance(value, int):
            return WHOLE_FORMAT
        if isinstance(value, Fraction):
            if value.denominator != 1:
                return PART_FORMAT
            return None if live and abs(value) < FORMATTED_WHOLE_FROM else WHOLE_FORMAT
        return None


def _stored(value: Value) -> CellValue:
    """What the cell holds: times are local, spans are parts of a day, both in whole seconds."""
    if isinstance(value, datetime):
        return value.replace(tzinfo=None, microsecond=0)
    if isinstance(value, timedelta):
        return Fraction(int(value.total_seconds()), 86400)
    return value


LANDSCAPE_ROOM, PORTRAIT_ROOM = 168.0, 115.0
"""Width of every result table, in the proportion of the pages between their margins, so that all
sheets are printed at one size when they are fitted to the page: letters of 11 points are 9.8 points
on A4 and 9.2 on Letter. [characters]
"""
WORDS = frozenset({ValueKind.TEXT, ValueKind.LONG_TEXT, ValueKind.STATUS})
"""Kinds whose columns give room where there is too little, and wrap."""
NAME_WIDTH = 44.0
"""Widest a column of names becomes. [characters]"""
TEXT_WIDTH = 30.0
"""Width down to which long texts give room before names do. [characters]"""
WIDEST_WORD = 20.0
"""A column gives no more room than leaves so much for its longest word. [characters]"""
CHARACTERS_WIDE = 1.1
"""Room a character of a long text takes, with some air, in units of the width of a column."""
BOLD_WIDE = 1.25
"""The same of a bold one in a heading."""
INSTANT_WIDE = 18.0
"""Room that a date with its time takes. [characters]"""
ROUNDED = 0.1
"""What a width may lack since it was rounded. [characters]"""
LINE_HEIGHT = 15.0
"""Height of a line of text. [points]"""
ROW_AIR = 4.0
"""Room above and below the lines of a row. [points]"""
BLANK_SHARE = 0.7
"""Part of its width that a column of long texts keeps while no row has one."""


def widths(table: Table, room: float) -> list[float]:
    """Widths of the columns, which take up the whole room together.

    Names are shown whole as far as there is room; where there is too little, long texts give of
    theirs, then all columns of words, and where there is more, the long texts take it.

    ``room``: for all columns that are not folded. [characters]
    """
    columns = table.layout.columns
    values = [[row[column.key] for row in table.rows] for column in columns]
    wanted = [_width(*one) for one in zip(columns, values, strict=True)]
    long_texts = frozenset({ValueKind.LONG_TEXT})
    for kinds, least in ((long_texts, TEXT_WIDTH), (WORDS, 0.0)):
        over = shown_width(table, wanted) - room
        pairs = zip(columns, values, wanted, strict=True)
        parts = [max(0.0, width - max(least, _least(one, held))) for one, held, width in pairs]
        spare = _of(columns, parts, kinds)
        if over > 0:
            wanted = _shared(wanted, spare, -min(over, sum(spare)))
    more = max(0.0, room - shown_width(table, wanted))
    wide = _of(columns, wanted, long_texts)
    return _shared(wanted, wide if any(wide) else _of(columns, wanted, WORDS), more)


def _of(
    columns: Sequence[ResultColumn], parts: Sequence[float], kinds: Collection[ValueKind]
) -> list[float]:
    """The parts of columns of these kinds that are shown; of all others none."""
    pairs = zip(columns, parts, strict=True)
    return [part if one.kind in kinds and not one.folded else 0.0 for one, part in pairs]


def _shared(wide: Sequence[float], parts: Sequence[float], more: float) -> list[float]:
    """The widths with more, or less, in proportion to some parts."""
    whole = sum(parts)
    pairs = zip(wide, parts, strict=True)
    return [round(width + (more * part / whole if whole else 0.0), 1) for width, part in pairs]


def shown_width(table: Table, wide: Sequence[float]) -> float:
    """Width of the columns that are not folded. [characters]"""
    pairs = zip(table.layout.columns, wide, strict=True)
    return sum(width for column, width in pairs if not column.folded)


def _width(column: ResultColumn, values: Sequence[Value]) -> float:
    if column.kind is ValueKind.LONG_TEXT:
        filled = not values or any(value not in (None, "") for value in values)
        return column.width if filled else round(column.width * BLANK_SHARE, 1)
    least = INSTANT_WIDE if column.kind is ValueKind.INSTANT else column.width
    return min(NAME_WIDTH, max(least, _heading_width(column), *map(_length, values), 0))


def _least(column: ResultColumn, values: Sequence[Value]) -> float:
    """Width in which the words of a column are whole, very long ones apart. [characters]"""
    words = [word for value in values if isinstance(value, str) for word in value.split()]
    longest = max(map(_length, words), default=0.0)
    return max(_heading_width(column), min(WIDEST_WORD, longest))


def _heading_width(column: ResultColumn) -> float:
    return max(map(len, column.heading.split())) * BOLD_WIDE + 1


def _length(value: Value) -> float:
    return len(value) + 2 if isinstance(value, str) else 0


def wrapped(text: str, width: float) -> list[str]:
    """A text in lines that fit into a width. [characters]"""
    return wrap(text, int(width / CHARACTERS_WIDE))


@lru_cache(maxsize=4096)
def _lines(text: str, width: float) -> int:
    """How many lines a text takes in a width, at least one."""
    fits = len(text) * CHARACTERS_WIDE <= width and "\t" not in text
    return 1 if fits else len(wrapped(text, width)) or 1


def lines_of(value: Value, kind: ValueKind, width: float) -> int:
    """How many lines a value takes in a column of a kind and a width. [characters]"""
    if not isinstance(value, str):
        return 1
    if kind is not ValueKind.LONG_TEXT and _length(value) <= width + ROUNDED:
        return 1
    room = width - 2 + ROUNDED
    return sum(_lines(line, room) for line in value.splitlines()) or 1


def row_height(columns: Sequence[ResultColumn], row: Row, wide: Sequence[float]) -> float:
    """Height in which the fullest cell of a row is shown whole. [points]"""
    lines = (
        lines_of(row[column.key], column.kind, width)
        for column, width in zip(columns, wide, strict=True)
        if column.kind in WORDS and not column.folded
    )
    return LINE_HEIGHT * max(lines, default=1) + ROW_AIR


def lines_of_row(table: Table, number: int) -> RowLines:
    """The lines above and below a row of a table, from 0."""
    if table.layout.cut_out:
        return TO_CUT
    return FIRST_OF_GROUP if number in table.starts else BETWEEN_ROWS
