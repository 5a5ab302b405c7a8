"""A cell to be written: its value, its style, and how the file spells it.

Numbers are spelled exactly, and texts stay texts whatever they begin with.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Literal
from xml.sax.saxutils import escape

from costing.workbook.package.addresses import address

Value = str | int | float | bool | Decimal | Fraction | date | datetime | None
Border = Literal["thin", "medium", "hair", "dashed"]

LONGEST_TEXT = 32_767
"""Longest text of a cell. [characters]"""
LONGEST_PROMPT, LONGEST_PROMPT_TITLE = 255, 32
"""A program shows no longer input message, and no longer title of one. [characters]"""
COLOUR = re.compile(r"[0-9A-F]{6}")


FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""Beginnings that a spreadsheet program takes for a formula when the cell is typed again."""
NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0d\x0e-\x1f\ufffe\uffff]")
LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
LONE_SURROGATE = re.compile("[\ud800-\udfff]")
DAY_0, DAY_0_IN_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)
"""Day 1 of the 1900 system is 1 January; one is taken off for a 29 February that never was."""
FIRST_SOUND_DAY = datetime(1900, 3, 1)
"""Before it the serial numbers of the 1900 system are off by the 29 February that never was."""


@dataclass(frozen=True, slots=True)
class CellStyle:
    """How a cell looks; what is left out is as in the workbook's ordinary cells.

    Parameters
    ----------
    number_format : str, optional
        Format code as a spreadsheet program spells it (``0.00``).
    font_colour, fill_colour : str, optional
        Red, green and blue in six hexadecimal digits, capitals (``1F3A4D``).
    fill_pattern : str
        ``solid``, or a pattern of the file format (``lightUp``) drawn in ``fill_colour``.
    font_size : float, optional
        [points]
    indent : int
        [widths of three blanks]
    quote_prefix : bool
        The cell stays text when it is edited, whatever it begins with.
    """

    number_format: str | None = None
    bold: bool = False
    italic: bool = False
    font_colour: str | None = None
    font_size: float | None = None
    fill_colour: str | None = None
    fill_pattern: str = "solid"
    wrap: bool = False
    align: Literal["left", "center", "right"] | None = None
    valign: Literal["top", "center", "bottom"] | None = None
    indent: int = 0
    border_top: Border | None = None
    border_bottom: Border | None = None
    border_sides: Border | None = None
    border_colour: str | None = None
    quote_prefix: bool = False

    def __post_init__(self) -> None:
        for colour in (self.font_colour, self.fill_colour, self.border_colour):
            if colour is not None and not COLOUR.fullmatch(colour):
                raise ValueError(f"not six hexadecimal digits in capitals: {colour!r}")


PLAIN = CellStyle()


@dataclass(frozen=True, slots=True)
class NewCell:
    """A cell to be written.

    Parameters
    ----------
    value : str, number, bool, date or None
        What the cell shows; beside a formula, what the formula gives.
    formula : str, optional
        With or without ``=``, in the words of the file format (``tNeeds[[#This Row],[Unit]]``).
    link : str, optional
        A place in the workbook the cell leads to, ``'Recipes'!E7`` with or without ``#``.

    Raises
    ------
    ValueError
        If the formula is empty, or a float is not a number.
    """

    value: Value = None
    formula: str | None = None
    style: CellStyle = PLAIN
    link: str | None = None

    def __post_init__(self) -> None:
        if self.formula is not None and not self.formula.removeprefix("="):
            raise ValueError("an empty formula")
        if isinstance(self.value, datetime) and self.value.tzinfo is not None:
            raise ValueError("a workbook knows local times only: take the time zone off")
        if isinstance(self.value, float | Decimal) and not math.isfinite(self.value):
            raise ValueError(f"not a number a cell can hold: {self.value}")

    @property
    def blank(self) -> bool:
        """Whether it holds nothing; it may have a style."""
        nothing = self.value is None or (isinstance(self.value, str) and not self.value)
        return nothing and self.formula is None


@dataclass(frozen=True, slots=True)
class ConditionalFormat:
    """A format that cells take while a formula holds, seen from the first cell of ``reference``."""

    reference: str
    formula: str
    style: CellStyle
    stop: bool = False


def cell_text(text: str) -> str:
    r"""A text as a cell spells it: line ends as line feeds, what XML cannot hold escaped.

    Examples
    --------
    >>> cell_text("salt\x01 _x0041_\r\npepper")
    'salt_x0001_ _x005F_x0041_\npepper'
    """
    if text.isprintable() and "_x" not in text and len(text) <= LONGEST_TEXT:
        return text
    text = LONE_SURROGATE.sub("\ufffd", text.replace("\r\n", "\n"))
    if len(text) > LONGEST_TEXT:
        text = text[: LONGEST_TEXT - 1] + "…"
    text = LOOKS_ESCAPED.sub("_x005F_", text)
    return NOT_XML.sub(lambda found: f"_x{ord(found.group()):04X}_", text)


def number_words(value: int | float | Decimal | Fraction) -> str:
    """A number as a cell spells it: 16 digits of a fraction, all digits of a decimal.

    16 are what common programs write. Of more, what is left after they saved it may be another
    number at the 15 digits that all of them keep.

    Raises
    ------
    ValueError
        If it is too large for a cell.

    Examples
    --------
    >>> number_words(Fraction(2, 3)), number_words(Decimal("12.50")), number_words(0.1 + 0.2)
    ('0.6666666666666666', '12.50', '0.30000000000000004')
    """
    if isinstance(value, Fraction):
        if value.denominator == 1:
            return number_words(value.numerator)
        return f"{value.numerator / value.denominator:.16g}"
    if isinstance(value, Decimal):
        # only for its complaint about a number too large
        number_words(float(value))
        # digits as far as they are readable, since 0E+2 is not what somebody typed
        return format(value, "f") if -20 < value.adjusted() < 20 else str(value)
    try:
        near = float(value)
    except OverflowError:
        raise ValueError(f"a number too large for a cell: {value}") from None
    # not 0 of what is infinite or no number alone
    if near - near != 0:
        raise ValueError(f"a number too large for a cell: {value}")
    return str(value)


def serial(moment: date | datetime, *, from_1904: bool) -> Fraction:
    """A day, or an instant, as the workbook counts days.

    Exact, from the workbook's day 0. [days]

    Raises
    ------
    ValueError
        If it lies before the first day the workbook counts rightly.

    Examples
    --------
    >>> serial(date(2026, 3, 1), from_1904=False), serial(date(2026, 3, 1), from_1904=True)
    (Fraction(46082, 1), Fraction(44620, 1))
    """
    instant = moment if isinstance(moment, datetime) else datetime(*moment.timetuple()[:3])
    if instant < (DAY_0_IN_1904 if from_1904 else FIRST_SOUND_DAY):
        raise ValueError(f"before the first day of the workbook: {moment}")
    gone = instant - (DAY_0_IN_1904 if from_1904 else DAY_0)
    return Fraction(gone // timedelta(microseconds=1), 86_400_000_000)


def style_of(cell: NewCell) -> CellStyle:
    """The cell's style; a text that begins like a formula is kept from becoming one."""
    text = cell.value
    if cell.formula is None and isinstance(text, str) and text.startswith(FORMULA_STARTS):
        return replace(cell.style, quote_prefix=True)
    return cell.style


def cell_xml(
    cell: NewCell, *, row: int, column: int, style: int, prefix: str, from_1904: bool
) -> str:
    """The cell's element; ``style`` is the number of its format in the workbook."""
    kind, content = _content(cell, prefix, from_1904)
    attributes = f'r="{address(row, column)}"'
    if style:
        attributes += f' s="{style}"'
    if kind:
        attributes += f' t="{kind}"'
    if not content:
        return f"<{prefix}c {attributes}/>"
    return f"<{prefix}c {attributes}>{content}</{prefix}c>"


def _content(cell: NewCell, prefix: str, from_1904: bool) -> tuple[str, str]:
    """The cell's type and what is in it."""
    value = cell.value
    formula = ""
    if cell.formula is not None:
        words = escape(cell.formula.removeprefix("="))
        formula = f"<{prefix}f{space(words)}>{words}</{prefix}f>"
    if value is None or cell.blank:
        return "", formula
    if isinstance(value, str):
        text = escape(cell_text(value))
        if formula:
            return "str", f"{formula}<{prefix}v{space(text)}>{text}</{prefix}v>"
        return "inlineStr", f"<{prefix}is><{prefix}t{space(text)}>{text}</{prefix}t></{prefix}is>"
    # before the numbers, of which Python takes it for one
    if isinstance(value, bool):
        return "b", f"{formula}<{prefix}v>{int(value)}</{prefix}v>"
    number = serial(value, from_1904=from_1904) if isinstance(value, date) else value
    return "", f"{formula}<{prefix}v>{number_words(number)}</{prefix}v>"


def space(text: str) -> str:
    """The attribute that keeps blanks at the ends and line feeds, where there are any."""
    kept = text != text.strip() or "\n" in text or "  " in text
    return ' xml:space="preserve"' if kept else ""
