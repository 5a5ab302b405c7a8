"""Amounts, units and steps in cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from costing.names import key
from costing.quantities import (
    BATCH,
    EACH,
    PORTION,
    Amount,
    Measures,
    Unit,
    UnitNeedsSystem,
    UnknownUnit,
    UnreadableNumber,
    decimal_or_fraction,
    find_unit,
    known_unit_names,
    read_number,
)
from costing.quantities.numbers import LONGEST_NUMBER, AmbiguousNumber
from costing.recipe_text import cooks_unit
from costing.shoot.shots import MOST_STEPS, StepsUpsideDown, read_steps
from costing.workbook.layout import CellKind
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.messages import amounts as messages
from costing.workbook.reading.messages import values
from costing.workbook.reading.numbers import number, one_of_text, range_of_text
from costing.workbook.reading.values import EARLY, exact_number, is_date, is_number
from costing.workbook.reading.weighs import own_word
from costing.workbook.reading.wording import in_words, shortened

LONGEST_WORD = 30
"""A longer text in Unit is no cook's word for one. [characters]"""

_WITH_UNIT = re.compile(r"(.*[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒])\s*([^\W\d_][^0-9]*)")


@dataclass(frozen=True, slots=True)
class AmountCell:
    """What an Amount cell says, before its unit.

    Parameters
    ----------
    low, high : Fraction, optional
        The ends of a range, equal when it is one number; ``None``: blank or unreadable.
    word : str
        ``to taste`` or ``plenty`` when one of them stands there.
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
        shown, likely = in_words(value, cells.area.epoch), likely_amounts(value)
        cells.fail(heading, messages.amount_is_a_date(cells.at(heading), shown, likely))
        return BLANK
    elif word and isinstance(value, str) and key(value) == word:
        return AmountCell(word=word)
    else:
        found = (
            None if _unit_inside(cells, heading, value) else range_of_text(cells, heading, value)
        )
        if found is None:
            return BLANK
        low, high = found.low, found.high
    if low < 0:
        shown = decimal_or_fraction(low)
        cells.fail(
            heading, values.number_out_of_range(cells.at(heading), shown, "an amount of 0 or more")
        )
        return BLANK
    return AmountCell(low, high)


def _unit_inside(cells: RowCells, heading: str, value: Any) -> bool:
    """Tell of a unit in the Amount cell."""
    is_short = isinstance(value, str) and len(value) <= LONGEST_NUMBER
    parts = _WITH_UNIT.fullmatch(value) if is_short else None
    if parts is None:
        return False
    try:
        read_number(parts[1])
        find_unit(parts[2], Measures.US_CUSTOMARY)
    except (UnreadableNumber, AmbiguousNumber, UnknownUnit, UnitNeedsSystem):
        return False
    cells.fail(
        heading, messages.unit_inside_amount(cells.at(heading), value, parts[1], parts[2].strip())
    )
    return True


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
    if found.low is None or found.high is None:
        return {}
    if column.kind is CellKind.STOCK and found.low != found.high:
        low, shown = decimal_or_fraction(found.low), cells.text(heading)
        cells.findings.append(messages.range_of_stock(cells.at(heading), shown, low))
    if measured_in is None:
        return {}
    taken = found.low if column.kind is CellKind.STOCK else found.high
    fields = {column.field: Amount(taken, measured_in)}
    if column.lower_end and found.low != found.high:
        fields[column.lower_end] = Amount(found.low, measured_in)
    return fields


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
    """A number above 0 of the unit that stands in another column, such as a loose step."""
    found = _above_0(cells, heading, number(cells, heading))
    measured_in = unit_of(cells, cells.column(heading).unit_in)
    return None if found is None or measured_in is None else Amount(found, measured_in)


def _above_0(cells: RowCells, heading: str, found: Fraction | None) -> Fraction | None:
    if found is None or found > 0:
        return found
    shown, what = decimal_or_fraction(found), cells.column(heading).above_0 or "an amount"
    cells.fail(heading, values.number_out_of_range(cells.at(heading), shown, f"{what} above 0"))
    return None


def unit_of(cells: RowCells, heading: str) -> Unit | None:
    """The unit below a heading, read once for all the amounts of a row that are in it."""
    if heading not in cells.units:
        found = unit(cells, heading, cells.area.known.measures)
        kind, of_goods = cells.column(heading).kind, _named(cells, heading)
        if kind is CellKind.UNIT_OF_GOODS and found in (PORTION, BATCH):
            made = cells.area.known.dishes
            if made is not None and key(of_goods) not in made:
                about = cells.name(heading), cells.row.name
                cells.fail(heading, messages.unit_of_dishes_only(cells.at(heading), *about))
                found = None
        elif kind is CellKind.UNIT_OF_DISH and found == BATCH:
            known = ("portions", "g", "ml", "each")
            about_it = cells.name(heading), (), known
            cells.fail(heading, messages.unknown_unit(cells.at(heading), *about_it))
            found = None
        cells.units[heading] = found
    return cells.units[heading]


def _named(cells: RowCells, heading: str) -> str:
    """What a unit measures, by the name in its row."""
    return cells.name(cells.column(heading).unit_of)


def unit(cells: RowCells, heading: str, measures: Measures | None) -> Unit | None:
    """The unit of a cell, each when blank; ``None`` when it cannot be read.

    Without ``measures``, because that setting could not be read, a word that means another unit
    under another setting cannot be read either.
    """
    text = cells.name(heading)
    if not text:
        return None if heading in cells.failed else _pieces(cells, heading)
    try:
        if measures is not None:
            one = find_unit(text, measures)
            return _pieces(cells, heading) if one == EACH else one
        found = {find_unit(text, each) for each in Measures}
    except UnknownUnit as fault:
        return _unit_of_its_own(cells, heading, text, measures or Measures.METRIC, fault.nearest)
    except UnitNeedsSystem as fault:
        if measures is None:
            cells.failed.add(heading)
        else:
            finding = messages.unit_needs_its_country(cells.at(heading), text, fault.choices)
            cells.fail(heading, finding)
        return None
    if len(found) == 1:
        return found.pop()
    cells.failed.add(heading)
    return None


def _pieces(cells: RowCells, heading: str) -> Unit:
    """Each; with a warning where all that Weighs says is what a part of it is, such as a clove."""
    named = _named(cells, heading)
    weighed = cells.area.known.pieces.get(key(named))
    columns = cells.area.layout.columns
    is_counted = any(c.unit_in == heading and c.heading in cells.cells for c in columns)
    if weighed is not None and weighed.part and is_counted:
        finding = messages.each_of_what(cells.at(heading), named, weighed.part)
        cells.findings.append(finding)
    return EACH


def _unit_of_its_own(
    cells: RowCells, heading: str, text: str, measures: Measures, near: Sequence[str]
) -> Unit | None:
    """A unit that Weighs says of the ingredient; else what to write for a cook's word, by name."""
    ingredient = _named(cells, heading)
    weighed = cells.area.known.pieces.get(key(ingredient))
    own = weighed.units.get(own_word(text)) if weighed else None
    if own is not None:
        return own
    if weighed is None and key(ingredient) in cells.area.known.pieces:
        cells.failed.add(heading)  # what it is may stand there, and that is told
        return None
    is_short = ingredient and len(text) <= LONGEST_WORD
    said = cooks_unit(text, ingredient, measures) if is_short else None
    if said is not None and said.name:
        about = (text, own_word(text), ingredient, said.name, said.published)
        cells.fail(heading, messages.unit_of_pieces(cells.at(heading), *about))
        return None
    finding = messages.unknown_unit(
        cells.at(heading),
        shortened(text),
        [said.unit] if said is not None else near,
        known_unit_names(measures),
        weighs=bool(ingredient),
    )
    cells.fail(heading, finding)
    return None


def steps(cells: RowCells, heading: str) -> tuple[int, ...] | None:
    """The steps of a cell in rising order, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    if is_date(value):
        shown, likely = in_words(value, cells.area.epoch), likely_steps(value)
        cells.fail(heading, messages.steps_are_a_date(cells.at(heading), shown, likely))
        return None
    if is_number(value):
        one = exact_number(value)
        if one.denominator == 1 and 1 <= one <= MOST_STEPS:
            return (one.numerator,)
    elif isinstance(value, str):
        found = _steps_of(cells, heading, value)
        if found or heading in cells.failed:
            return found or None
    cells.fail(
        heading, messages.steps_unreadable(cells.at(heading), in_words(value, cells.area.epoch))
    )
    return None


def _steps_of(cells: RowCells, heading: str, text: str) -> tuple[int, ...]:
    """The steps a text lists; none when it cannot be read."""
    try:
        return read_steps(text)
    except StepsUpsideDown as fault:
        shown = shortened(text)
        finding = messages.step_range_upside_down(cells.at(heading), shown, fault.upright)
        cells.fail(heading, finding)
    except ValueError:
        pass
    return ()


def likely_amounts(value: Any) -> list[str]:
    """What was probably typed when a date came of it: 1/2 and 1-2 become 1 February."""
    if not isinstance(value, date) or value.year < EARLY:
        return []
    small, large = sorted((value.day, value.month))
    return [f"{small}/{large}", f"{small}-{large}"]


def likely_steps(value: Any) -> list[str]:
    """What was probably typed when a date came of it: 1-3 becomes 1 March or 3 January."""
    return likely_amounts(value)[1:]
