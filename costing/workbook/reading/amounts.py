"""Amounts and steps in cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from costing.findings import Grade, Words, choice_words, message
from costing.names import key
from costing.quantities import (
    AmbiguousNumber,
    Amount,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    UnreadableNumber,
    decimal_or_fraction,
    find_unit,
    read_number,
)
from costing.quantities.numbers import LONGEST_NUMBER
from costing.shoot.shots import MOST_STEPS, StepsUpsideDown, read_steps
from costing.workbook.layout import CellKind
from costing.workbook.package.numberformats import words_beside
from costing.workbook.reading.cells import (
    FIRST_YEAR,
    RowCells,
    exact_number,
    is_date,
    is_number,
    shortened,
)
from costing.workbook.reading.numbers import number, number_out_of_range, one_of_text, range_of_text
from costing.workbook.reading.units import unit_of

_WITH_UNIT = re.compile(r"(.*[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒])\s*([^\W\d_][^0-9]*)")


@dataclass(frozen=True, slots=True)
class AmountCell:
    """What an Amount cell says, before its unit.

    Parameters
    ----------
    low, high : Fraction, optional
        The ends of a range, equal when it is one number; ``None``: blank or unreadable.
    word : str
        ``to taste`` or ``plenty`` when one of them is there.
    """

    low: Fraction | None = None
    high: Fraction | None = None
    word: str = ""


BLANK = AmountCell()


def measure(cells: RowCells, heading: str, *, word: str = "") -> AmountCell:
    """What an Amount cell says; ``word`` is the word that may stand there instead."""
    value = cells.value(heading)
    if value is None:
        return BLANK
    if is_number(value):
        low = high = exact_number(value)
    elif is_date(value):
        cells.fail(heading, amount_is_a_date, cells.shown(heading), likely_amounts(value))
        return BLANK
    elif word and isinstance(value, str) and key(value) == word:
        return AmountCell(word=word)
    else:
        inside = _unit_inside(cells, heading, value)
        if inside or (found := range_of_text(cells, heading, value)) is None:
            return BLANK
        low, high = found.low, found.high
    if low < 0:
        shown = decimal_or_fraction(low)
        cells.fail(heading, number_out_of_range, shown, "an amount of 0 or more")
        return BLANK
    return AmountCell(low, high)


def _unit_inside(cells: RowCells, heading: str, value: Any) -> bool:
    """Tell of a unit in the Amount cell."""
    parts = _number_and_unit(value)
    if parts is None or _with_its_unit(parts, Measures.US_CUSTOMARY) is None:
        return False
    cells.fail(heading, unit_inside_amount, value, *parts)
    return True


def _number_and_unit(value: Any) -> tuple[str, str] | None:
    """A text with a word behind its number, as the two."""
    is_short = isinstance(value, str) and len(value) <= LONGEST_NUMBER
    parts = _WITH_UNIT.fullmatch(value) if is_short else None
    return None if parts is None else (parts[1], parts[2].strip())


def _with_its_unit(parts: tuple[str, str], measures: Measures) -> tuple[Amount, Amount] | None:
    """The ends of what a text says, equal when it is one number, of the unit its word names."""
    try:
        found, measured_in = read_number(parts[0]), find_unit(parts[1], measures)
        return Amount(found.low, measured_in), Amount(found.high, measured_in)
    except (UnreadableNumber, AmbiguousNumber, UnknownUnit, UnitNeedsSystem):
        return None


def amounts(cells: RowCells, heading: str) -> dict[str, Any]:
    """What an amount says with its unit, by the fields that keep it.

    Of a range the upper end is bought; of what is there the lower end counts, so that no shot
    runs short.
    """
    column = cells.column(heading)
    content = column.kind is CellKind.CONTENT
    found = _content(cells, heading) if content else measure(cells, heading, word=column.word)
    measured_in = unit_of(cells, column.unit_in)
    if found.word:
        return {column.other: True}
    if measured_in is not None and not (column.required or column.carries_down):
        _tell_of_unit_alone(cells, heading)
    if found.low is None or found.high is None:
        return {}
    if column.kind is CellKind.STOCK and found.low != found.high:
        low, shown = decimal_or_fraction(found.low), cells.text(heading)
        cells.tell(heading, range_of_stock, shown, low)
    if measured_in is None or _in_another_unit(cells, heading, column.unit_in, measured_in):
        return {}
    taken = found.low if column.kind is CellKind.STOCK else found.high
    fields = {column.field: Amount(taken, measured_in)}
    if column.lower_end and found.low != found.high:
        fields[column.lower_end] = Amount(found.low, measured_in)
    return fields


def _in_another_unit(cells: RowCells, heading: str, unit_in: str, own: Unit) -> bool:
    """Tell of a number that the sheet shows in another unit than that of its row."""
    words = words_beside(cells.number_format(heading)) if is_number(cells.value(heading)) else ""
    try:
        shown = find_unit(words, cells.area.known.measures or Measures.METRIC) if words else own
    except (UnknownUnit, UnitNeedsSystem):
        return False
    if shown == own:
        return False
    number = decimal_or_fraction(exact_number(cells.value(heading)))
    cells.fail(heading, unit_in_the_format, number, words, unit_in)
    return True


def _tell_of_unit_alone(cells: RowCells, heading: str) -> None:
    """Tell of a unit beside an amount that may be blank in all rows, and is.

    A dish that a line takes by an amount, and of which nobody knows what it makes, is told there.
    """
    unit_in = cells.column(heading).unit_in
    text = cells.name(unit_in)
    if not text or heading in cells.failed or cells.value(heading) is not None:
        return
    of_dish = cells.column(unit_in).kind is CellKind.UNIT_OF_DISH
    if not (of_dish and key(cells.name("Dish")) in cells.area.known.measured):
        cells.tell(unit_in, unit_without_number, text, heading)


def _content(cells: RowCells, heading: str) -> AmountCell:
    """One amount above 0, such as what is in a pack; a range is not accepted."""
    value = cells.value(heading)
    if isinstance(value, str) and not _unit_inside(cells, heading, value):
        found = one_of_text(cells, heading, value)
    else:
        found = measure(cells, heading).high
    found = _above_0(cells, heading, found)
    return AmountCell(found, found)


def number_of_units(cells: RowCells, heading: str) -> Amount | None:
    """A number above 0 of the unit that is in another column, such as a loose step.

    No column has its unit alone, so that one of the same kind may stand behind the number, or be
    shown there by the format of the cell.
    """
    measured_in = unit_of(cells, cells.column(heading).unit_in)
    value, measures = cells.value(heading), cells.area.known.measures
    if is_number(value) and (words := words_beside(cells.number_format(heading))):
        value = f"{decimal_or_fraction(exact_number(value))} {words}"
    parts = _number_and_unit(value)
    own = _with_its_unit(parts, measures) if parts and measures else None
    if own and own[0] == own[1] and measured_in and own[0].dimension is measured_in.dimension:
        found = _above_0(cells, heading, own[0].base / measured_in.size)
    else:
        found = _above_0(cells, heading, number(cells, heading))
    return None if found is None or measured_in is None else Amount(found, measured_in)


def _above_0(cells: RowCells, heading: str, found: Fraction | None) -> Fraction | None:
    if found is None or found > 0:
        return found
    shown, what = decimal_or_fraction(found), cells.column(heading).above_0 or "an amount"
    cells.fail(heading, number_out_of_range, shown, f"{what} above 0")
    return None


def steps(cells: RowCells, heading: str) -> tuple[int, ...] | None:
    """The steps of a cell in rising order, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    if is_date(value):
        cells.fail(heading, steps_are_a_date, cells.shown(heading), likely_steps(value))
        return None
    if is_number(value):
        one = exact_number(value)
        if one.denominator == 1 and 1 <= one <= MOST_STEPS:
            return (one.numerator,)
    elif isinstance(value, str):
        found = _steps_of(cells, heading, value)
        if found or heading in cells.failed:
            return found or None
    cells.fail(heading, steps_unreadable, cells.shown(heading))
    return None


def _steps_of(cells: RowCells, heading: str, text: str) -> tuple[int, ...]:
    """The steps a text lists; none when it cannot be read."""
    try:
        return read_steps(text)
    except StepsUpsideDown as fault:
        cells.fail(heading, step_range_upside_down, shortened(text), fault.upright)
    except ValueError:
        pass
    return ()


def likely_amounts(value: Any) -> list[str]:
    """What was probably typed when a date came of it: 1/2 and 1-2 become 1 February."""
    if not isinstance(value, date) or value.year < FIRST_YEAR:
        return []
    small, large = sorted((value.day, value.month))
    return [f"{small}/{large}", f"{small}-{large}"]


def likely_steps(value: Any) -> list[str]:
    """What was probably typed when a date came of it: 1-3 becomes 1 March or 3 January."""
    return likely_amounts(value)[1:]


@message("amount is a date", Grade.ERROR)
def amount_is_a_date(shown: str, likely: Sequence[str]) -> Words:
    return Words(
        f"{shown}, where an amount belongs",
        "a number, a fraction such as 1 1/2, or a range such as 2-3",
        "Format the cell as text and write the amount again"
        + (f"; {choice_words(likely)} was probably typed." if likely else "."),
    )


@message("unit inside amount", Grade.ERROR)
def unit_inside_amount(text: str, number: str, unit: str) -> Words:
    return Words(
        f'the text "{text}"',
        "the number alone, and the unit in the column Unit",
        f"Write {number} here and {unit} into Unit.",
    )


@message("unit in the format", Grade.ERROR)
def unit_in_the_format(number: str, unit: str, heading: str) -> Words:
    return Words(
        f'{number}, which the format of the cell shows as "{number} {unit}"',
        f"the same unit in the column {heading}",
        f"Write {unit} into {heading} if that is meant, or give the cell a format without it.",
    )


@message("unit without number", Grade.WARNING)
def unit_without_number(unit: str, heading: str) -> Words:
    return Words(
        f'the unit "{unit}" and nothing in {heading}',
        f"a number in {heading} that is in this unit, or a blank",
        f"Write the number into {heading}, or clear this cell; until then it changes nothing.",
    )


@message("range of stock", Grade.NOTE)
def range_of_stock(text: str, low: str) -> Words:
    return Words(
        f'the range "{text}"',
        "one number",
        f"The lower end counts, {low}, so that no shot runs short; weigh it for a better list.",
    )


@message("steps are a date", Grade.ERROR)
def steps_are_a_date(shown: str, likely: Sequence[str]) -> Words:
    return Words(
        f"{shown}, where steps belong",
        "steps such as 2, 1-3 or 1-3, 5",
        "Format the cell as text and write the steps again"
        + (f"; {choice_words(likely)} was probably typed." if likely else "."),
    )


@message("steps unreadable", Grade.ERROR)
def steps_unreadable(found: str) -> Words:
    return Words(
        found,
        "steps such as 2, 1-3 or 1-3, 5, from 1 to 999",
        "Write the numbers of the steps with commas between them; blank means all steps.",
    )


@message("step range upside down", Grade.ERROR)
def step_range_upside_down(text: str, upright: str) -> Words:
    return Words(
        f'the steps "{text}", which go down',
        "steps that go up, such as 1-3",
        f"Write {upright}.",
    )
