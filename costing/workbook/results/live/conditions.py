"""Conditions that hold when a cell of an input sheet is not what it was.

They are made of sums, counts and comparisons of whole columns: the engines in which formulas are
tried lift comparisons and products over a range, but neither ``LEN`` nor ``ROW``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from itertools import pairwise
from math import fsum

from costing.shoot import Extent, Filled
from costing.workbook.package.addresses import column_number
from costing.workbook.results.live.inputs import Inputs, absolute

LONGEST_TEXT = 250
"""A longer text cannot stand in a formula. [characters]"""

MOST_COMPARED = 300_000
"""A column is left out when more pairs of cells and texts would have to be compared. [pairs]"""

LEAST_DOUBT = 1e-9
SHARE_OF_DOUBT = 1e-12
"""How far sums may differ that programs add up in another order."""

MILLISECOND = 1 / 86_400_000
"""How exactly dates are read. [days]"""

DATES = 10_000
"""Numbers above this may be dates and outweigh the others of their row."""


class Weight(IntEnum):
    """What is watched first when there is no room for everything."""

    ROWS = 1
    NUMBERS = 2
    NAMES = 3
    TEXTS = 4
    PLACES = 5
    HEADINGS = 6


@dataclass(frozen=True, slots=True)
class Condition:
    """A part of a check.

    Parameters
    ----------
    weight : Weight
        Its rank.
    text : str
        A formula in brackets, true when something changed.
    watches : str
        What goes unwatched without it, in words; blank when that is said anyway.
    """

    weight: Weight
    text: str
    watches: str = ""


def conditions_of(extent: Extent, inputs: Inputs) -> tuple[list[Condition], list[str]]:
    """All conditions of a sheet, and the columns that cannot be watched."""
    depending = inputs.depending_columns(extent.sheet)
    free = [one for one in extent.columns if one.letter not in depending]
    clear = [one for one in free if one.clear]
    unclear = [_words(extent, one) for one in extent.columns if one not in clear]
    found = list(_counted(extent, clear))
    texts = []
    for column in clear:
        found.extend(_changed_numbers(extent, column))
        if column.texts:
            condition = _changed_texts(extent, column, _beside(extent, column, clear))
            if condition is None:
                unclear.append(_words(extent, column))
            else:
                texts.append(condition)
    found.extend(sorted(texts, key=lambda one: len(one.text)))
    found.extend(_changed_headings(extent, free))
    return found, unclear


def _words(extent: Extent, column: Filled) -> str:
    return f"{extent.sheet} {column.title}"


def span(extent: Extent, letter: str, first: int, last: int, to: str = "") -> str:
    """Cells of a sheet, the same wherever the formula stands."""
    start = absolute(extent.sheet, letter, first)
    return start if first == last and to in ("", letter) else f"{start}:${to or letter}${last}"


def number(value: float) -> str:
    """A number as a formula spells it.

    Examples
    --------
    >>> number(1e-09), number(0.1), number(-2.0)
    ('1E-09', '0.1', '(-2)')
    """
    text = repr(value).upper().removesuffix(".0")
    return f"({text})" if value < 0 else text


def literal(text: str) -> str:
    """A text as a formula spells it.

    Examples
    --------
    >>> literal('6" tin')
    '"6"" tin"'
    """
    return '"' + text.replace('"', '""') + '"'


def _differs(text: str, value: float, size: float, more: float = 0) -> str:
    doubt = f"{LEAST_DOUBT + SHARE_OF_DOUBT * size + more:.1E}"
    return f"(ABS({text}-{number(value)})>{doubt})"


def _counted(extent: Extent, clear: list[Filled]) -> Iterator[Condition]:
    """More or fewer cells filled in; those of rows added below too."""
    if clear and extent.room > extent.header:
        pieces = ",".join(
            span(extent, block[0].letter, extent.header + 1, extent.room, block[-1].letter)
            for block in blocks(clear)
        )
        text = f"(COUNTA({pieces})<>{sum(len(one.cells) for one in clear)})"
        yield Condition(Weight.ROWS, text, f"rows of {extent.sheet}")


def blocks(columns: Iterable[Filled]) -> list[list[Filled]]:
    """Columns that stand side by side, together."""
    found: list[list[Filled]] = []
    for column in columns:
        if found and column_number(found[-1][-1].letter) == column_number(column.letter) - 1:
            found[-1].append(column)
        else:
            found.append([column])
    return found


def _changed_numbers(extent: Extent, column: Filled) -> Iterator[Condition]:
    """Another number, or numbers that changed places.

    Besides the sum, the products of neighbours are added up, so that two edits that cancel out,
    and numbers that change places, are noticed too; not a column turned upside down.
    """
    numbers = column.numbers
    if not numbers:
        return
    blurred = MILLISECOND * len(numbers) if column.dated else 0.0
    largest = max(1.0, *map(abs, numbers.values()))
    where = span(extent, column.letter, extent.header + 1, extent.end)
    values = numbers.values()
    text = _differs(f"SUM({where})", fsum(values), fsum(map(abs, values)), blurred)
    yield Condition(Weight.NUMBERS, text, _words(extent, column))
    rows = range(extent.header + 1, extent.end + 1)
    products = [numbers.get(one, 0.0) * numbers.get(other, 0.0) for one, other in pairwise(rows)]
    if any(products):
        upper = span(extent, column.letter, extent.header + 1, extent.end - 1)
        lower = span(extent, column.letter, extent.header + 2, extent.end)
        size = fsum(map(abs, products))
        text = f"SUMPRODUCT({upper},{lower})"
        text = _differs(text, fsum(products), size, 2 * largest * blurred)
        yield Condition(Weight.PLACES, text)


def _beside(extent: Extent, names: Filled, clear: list[Filled]) -> Filled | None:
    """The column of numbers that tells the rows apart best, for the column of names."""
    if names.letter != extent.named_by:
        return None
    best, most = None, 1
    for column in clear:
        numbers = column.numbers.values()
        small = not column.texts and max(map(abs, numbers), default=DATES) < DATES
        if small and len(set(numbers)) > most:
            best, most = column, len(set(numbers))
    return best


def _changed_texts(extent: Extent, column: Filled, beside: Filled | None) -> Condition | None:
    """Another text than it was; ``None`` when that cannot be said in a formula.

    Every text of the column has its own factor; with numbers of the row as a second factor, names
    that change places are noticed too.
    """
    texts = column.texts
    if any(not _plain(text) for text in texts.values()):
        return None
    quoting = {row: text for row, text in texts.items() if '"' in text}
    spelled: dict[str, str] = {}
    for row, text in texts.items():
        if row in quoting:
            continue
        first = spelled.setdefault(text.casefold(), text)
        if first != text and not (first + text).isascii():
            return None
    factors = {text: number for number, text in enumerate(spelled, 1)}
    if len(factors) * (extent.end - extent.header) > MOST_COMPARED:
        return None
    parts = [
        f"({absolute(extent.sheet, column.letter, row)}<>{literal(text)})"
        for row, text in quoting.items()
    ]
    if factors:
        where = span(extent, column.letter, extent.header + 1, extent.end)
        listed = ",".join(map(literal, spelled.values()))
        product = f"({where}={{{listed}}})*{{{','.join(map(str, factors.values()))}}}"
        of_row = beside.numbers if beside else {}
        if beside:
            product += f"*(1+{span(extent, beside.letter, extent.header + 1, extent.end)})"
        values = [
            factors[text.casefold()] * (1 + of_row.get(row, 0.0))
            for row, text in texts.items()
            if row not in quoting
        ]
        text, known = f"SUMPRODUCT({product})", fsum(values)
        size = fsum(map(abs, values))
        parts.append(_differs(text, known, size) if beside else f"({text}<>{number(known)})")
    weight = Weight.NAMES if column.letter == extent.named_by else Weight.TEXTS
    return Condition(weight, "+".join(parts), _words(extent, column))


def _plain(text: str) -> bool:
    """Whether a text can stand in a formula just as it is."""
    return text.replace("\xa0", " ").isprintable() and len(text) <= LONGEST_TEXT


def _changed_headings(extent: Extent, columns: Iterable[Filled]) -> Iterator[Condition]:
    """Another heading than it was."""
    pieces = []
    for block in blocks(one for one in columns if _plain(one.title) and '"' not in one.title):
        where = span(extent, block[0].letter, extent.header, extent.header, block[-1].letter)
        listed = ",".join(literal(one.title) for one in block)
        pieces.append(f"(SUMPRODUCT(({where}={{{listed}}})*1)<>{len(block)})")
    if pieces:
        yield Condition(Weight.HEADINGS, "+".join(pieces), f"headings of {extent.sheet}")
