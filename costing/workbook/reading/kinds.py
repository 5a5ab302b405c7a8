"""How a cell of each kind is read: one reader for each kind of cell that the layout knows."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from costing.findings import Grade, Words, choice_words, message
from costing.holding.instants import UnknownZone, known_zone
from costing.holding.messages import holding_rule_unknown
from costing.holding.models import Temperature, read_temperature
from costing.names import key, nearest, singular
from costing.quantities import (
    AmbiguousNumber,
    UnknownCurrency,
    UnreadableNumber,
    currency_digits,
    decimal_or_fraction,
    read_number,
)
from costing.reference import known_allergen_words
from costing.shoot.jurisdictions import UnknownPlace, jurisdiction, without_rules
from costing.workbook.layout import AMOUNTS, CellKind
from costing.workbook.package.numberformats import words_beside
from costing.workbook.reading.amounts import amounts, number_of_units, steps
from costing.workbook.reading.cells import RowCells, exact_number, is_number, shortened
from costing.workbook.reading.dates import clock, day, days_listed
from costing.workbook.reading.headings import nearly
from costing.workbook.reading.money import money, money_both_ways
from costing.workbook.reading.numbers import number, number_out_of_range, times, whole
from costing.workbook.reading.percents import (
    chance,
    cooked_weight,
    percent_above_0,
    percent_from_0,
    signed,
    tax_rate,
    trim_yield,
)

_DEGREES = re.compile("[°º]? *[CF]|[℃℉]")
_DENIED = re.compile(r"\b(no|not|non|without)\b|\bfree( from| of|$)")


def read_cell(cells: RowCells, heading: str) -> dict[str, Any]:
    """What a cell says, by the fields of the model; nothing where it is blank or unreadable."""
    column = cells.column(heading)
    if column.kind in SEVERAL_FIELDS:
        return SEVERAL_FIELDS[column.kind](cells, heading)
    read = number_of_units if column.unit_in else READERS[column.kind]
    value = read(cells, heading)
    if heading in cells.failed:
        value = column.careful
    return {} if value is None or value == "" else {column.field: value}


def _choice(cells: RowCells, heading: str) -> Any:
    """A word of the column's closed list."""
    return cells.choice(heading, type(cells.column(heading).choices[0]))


def _allergens(cells: RowCells, heading: str) -> tuple[str, ...] | None:
    """Words with commas between: ``None`` when the cell is blank, nothing when it says none."""
    text = cells.text(heading)
    if not text.strip():
        return None
    named = tuple(word for word in _listed(text) if key(word) not in ("none", "-"))
    known = known_allergen_words()
    for word in named:
        near = None if key(word) in known else nearly(word, sorted(known))
        if near is not None and singular(key(word)) != singular(near):
            place, found = cells.at(heading), shortened(word)
            cells.findings.append(allergen_nearly_known(place, found, near))
        elif _DENIED.search(key(word)):
            cells.findings.append(allergen_denied(cells.at(heading), shortened(word)))
    return named


def _names(cells: RowCells, heading: str) -> tuple[str, ...] | None:
    """Names with semicolons between, or commas where there are none; a line each is as good."""
    text = cells.text(heading)
    ends = r"[;\n]" if ";" in text else r"[,\n]"
    parts = [" ".join(part.split()) for part in re.split(ends, text)]
    names = tuple(dict.fromkeys(part for part in parts if part))
    # "none" answers the question that a blank cell leaves open
    return () if tuple(map(key, names)) in (("none",), ("-",)) else names or None


def _eaters(cells: RowCells, heading: str) -> dict[str, Any]:
    """Who eats, by name, or how many."""
    column, value = cells.column(heading), cells.value(heading)
    if isinstance(value, str) and _plain_number(value) is None:
        names = _names(cells, heading)
        return {column.field: names} if names else {}
    count = whole(cells, heading)
    if count is None:
        return {}
    if count < 0:
        cells.fail(heading, number_out_of_range, str(count), "a number of 0 or more")
        return {}
    return {column.other: count}


def _candidates(cells: RowCells, heading: str) -> dict[str, Any]:
    """How many pieces are looked at for one, or the part of them that is good enough."""
    column = cells.column(heading)
    if not signed(cells, heading):
        found = number(cells, heading)
        if found is not None and found < 1:
            such = "a number of 1 or more, or a part such as 80%"
            cells.fail(heading, number_out_of_range, decimal_or_fraction(found), such)
        return {} if found is None or found < 1 else {column.field: found}
    part = percent_above_0(cells, heading)
    return {} if part is None else {column.other: part}


def _listed(text: str) -> tuple[str, ...]:
    """The words between commas, semicolons or ends of lines, each once."""
    parts = (" ".join(part.split()) for part in re.split(r"[,;\n]", text))
    return tuple(dict.fromkeys(part for part in parts if part))


def _currency(cells: RowCells, heading: str) -> str | None:
    code = cells.name(heading).upper()
    if not code:
        return None
    try:
        currency_digits(code)
    except UnknownCurrency as fault:
        cells.fail(heading, currency_unknown, cells.shown(heading), fault.nearest)
        return None
    return code


def _time_zone(cells: RowCells, heading: str) -> str | None:
    name = cells.name(heading)
    if not name:
        return None
    try:
        if place := WITHOUT_SUMMER_TIME.get(name.upper()):
            cells.tell(heading, time_zone_without_summer_time, name.upper(), place)
        return known_zone(name)
    except UnknownZone as fault:
        cells.fail(heading, time_zone_unknown, cells.shown(heading), fault.nearest)
        return None


def _place(cells: RowCells, heading: str) -> str | None:
    text = cells.name(heading)
    if not text:
        return None
    try:
        found = jurisdiction(text)
        if state := without_rules(text):
            country = found.name if found.has_rules else None
            cells.tell(heading, place_without_rules, shortened(state), country)
        return text
    except UnknownPlace as fault:
        state = "" if fault.nearest or "," in text else f"United States, {shortened(text)}"
        cells.fail(heading, place_unknown, cells.shown(heading), fault.nearest, state)
        return None


def _rules(cells: RowCells, heading: str) -> tuple[str, ...] | None:
    """The holding rules that are named; those that nobody knows are reported."""
    ids = {key(rule): rule for rule in cells.area.known.rules}
    faulty = {key(rule) for rule in cells.area.known.faulty_rules}
    found: list[str] = []
    for name in _listed(cells.text(heading)):
        found.append(ids.get(key(name), name))
        if key(name) not in ids and key(name) not in faulty:
            words = list(ids.values())
            near = nearest(name, words)
            cells.tell(heading, holding_rule_unknown, shortened(name), near, words)
    return tuple(dict.fromkeys(found)) or None


def temperature(cells: RowCells, heading: str) -> Temperature | None:
    """A temperature with its unit, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    text = cells.text(heading)
    if is_number(value):
        # the unit that the sheet shows beside the number is the one that was read with it
        beside = words_beside(cells.number_format(heading))
        degrees = f" {beside}" if _DEGREES.fullmatch(beside) else ""
        text = decimal_or_fraction(exact_number(value)) + degrees
    try:
        return read_temperature(text)
    except ValueError as fault:
        why = str(fault)
    if _plain_number(text) is not None:
        cells.fail(heading, temperature_without_unit, text)
    else:
        # what cannot be is a temperature all the same, and is told as one
        cannot_be = f", {why}" if why.startswith("a temperature ") else ""
        cells.fail(heading, temperature_unreadable, f"{cells.shown(heading)}{cannot_be}")
    return None


def _plain_number(text: str) -> Fraction | None:
    """The one number a text is, ``None`` when it is anything else."""
    try:
        found = read_number(text)
    except (UnreadableNumber, AmbiguousNumber):
        return None
    return None if found.is_range else found.low


def _dates(cells: RowCells, heading: str) -> dict[str, Any]:
    """A day, or several of which the first is the one."""
    column = cells.column(heading)
    days = days_listed(cells, heading)
    if days is None:
        one = day(cells, heading)
        return {} if one is None else {column.field: one}
    first = min(days)
    return {column.field: first, column.other: tuple(sorted(set(days) - {first}))}


def _sizes(cells: RowCells, heading: str) -> tuple[Fraction, ...] | None:
    """Sizes of bowls, smallest first. [ml]"""
    value = cells.value(heading)
    if value is None:
        return None
    if is_number(value):
        sizes = [exact_number(value)]
    else:
        text = cells.text(heading)
        parts = text.split(";" if ";" in text else ",")
        read = (_plain_number(part.strip().removesuffix("ml")) for part in parts)
        # 0 stands for what cannot be read, and is refused with it below
        sizes = [Fraction(0) if size is None else size for size in read]
    if min(sizes) <= 0:
        cells.fail(heading, bowl_sizes_unreadable, cells.shown(heading))
        return None
    return tuple(sorted(set(sizes)))


READERS: dict[CellKind, Callable[[RowCells, str], Any]] = {
    CellKind.TEXT: RowCells.name,
    CellKind.REMARK: RowCells.text,
    CellKind.NAME: RowCells.name,
    CellKind.CHOICE: _choice,
    CellKind.YES_NO: RowCells.yes,
    CellKind.NUMBER: number,
    CellKind.WHOLE: whole,
    CellKind.TIMES: times,
    CellKind.PERCENT: percent_from_0,
    CellKind.PERCENT_BELOW_100: lambda cells, at: percent_from_0(cells, at, below_100=True),
    CellKind.PERCENT_FROM_0: lambda cells, at: percent_from_0(cells, at, most=None),
    CellKind.CHANCE: chance,
    CellKind.TAX_RATE: tax_rate,
    CellKind.TRIM_YIELD: trim_yield,
    CellKind.COOKED_WEIGHT: cooked_weight,
    CellKind.MONEY: money,
    CellKind.STEPS: steps,
    CellKind.ALLERGENS: _allergens,
    CellKind.NAMES: _names,
    CellKind.DATE: day,
    CellKind.TIME: clock,
    CellKind.TEMPERATURE: temperature,
    CellKind.CURRENCY: _currency,
    CellKind.TIME_ZONE: _time_zone,
    CellKind.PLACE: _place,
    CellKind.RULES: _rules,
    CellKind.SIZES: _sizes,
}
"""Readers of one value, ``None`` when the cell is blank or unreadable.

A unit is read with its amount, a date and time by the log, which knows of which day it is.
"""

SEVERAL_FIELDS: dict[CellKind, Callable[[RowCells, str], dict[str, Any]]] = {
    **dict.fromkeys(AMOUNTS, amounts),
    CellKind.CANDIDATES: _candidates,
    CellKind.MONEY_BOTH_WAYS: money_both_ways,
    CellKind.EATERS: _eaters,
    CellKind.DATES: _dates,
}
"""Readers of what fills more fields than one, such as both ends of a range."""


@message("currency unknown", Grade.ERROR)
def currency_unknown(found: str, near: Sequence[str]) -> Words:
    return Words(
        found,
        "a currency code of three letters (ISO 4217), such as EUR",
        (f"Write {choice_words(near)} if that is meant. " if near else "")
        + "Until then money is shown without a sign.",
    )


@message("place unknown", Grade.ERROR)
def place_unknown(found: str, near: Sequence[str], state: str = "") -> Words:
    """A country or state for which no rules are known.

    ``state`` is how it would be written if it were one of the United States.
    """
    return Words(
        found,
        "a country, and its state where it matters, such as France or United States, California",
        (f"Write {choice_words(near)} if that is meant. " if near else "")
        + (f"If it is a state, write its country before it: {state}. " if state else "")
        + "Where it has no rules here, leave it blank and fill Holding rules and Allergen list. "
        "Until then it counts as blank.",
    )


@message("place without rules", Grade.NOTE)
def place_without_rules(place: str, country: str | None) -> Words:
    """A state for which its country has to do, or a country for which general rules have to do."""
    if country is None:
        used = "The general rule for homes is used, and the list of allergens of the EU"
    else:
        used = f"Those of {country} are used, and its list of allergens"
    return Words(
        f"{place}, which has no rules of its own here",
        "the rules of the place where is cooked",
        f"{used}. Ask for the local food code; if it says otherwise, fill Holding rules and "
        "Allergen list.",
    )


@message("time zone unknown", Grade.ERROR)
def time_zone_unknown(found: str, near: Sequence[str]) -> Words:
    return Words(
        found,
        "the name of a time zone of the IANA list, such as Europe/Lisbon",
        (f"Write {choice_words(near)} if that is meant. " if near else "")
        + "Until then clock times are taken in the computer's zone.",
    )


WITHOUT_SUMMER_TIME = {
    "EST": "America/New_York",
    "MST": "America/Denver",
    "GMT": "Europe/London",
}
"""Zones of the IANA list whose clocks are never put forward, and the place that is mostly meant."""


@message("time zone without summer time", Grade.WARNING)
def time_zone_without_summer_time(found: str, place: str) -> Words:
    """A zone of winter time alone, written for a place that has summer time."""
    return Words(
        f"{found}, a time zone without summer time",
        f"the zone of a place, such as {place}",
        f"Write {place}, or the place that is meant. Until then the hour is an hour behind in "
        "summer, and food has stood out longer than is reckoned.",
    )


@message("temperature without unit", Grade.ERROR)
def temperature_without_unit(number: str) -> Words:
    return Words(
        f"{number} without a unit",
        f"a temperature with its unit, such as {number} C or {number} F",
        f"Write {number} C or {number} F; until then it counts as not measured.",
    )


@message("temperature unreadable", Grade.ERROR)
def temperature_unreadable(found: str) -> Words:
    return Words(
        found,
        "a temperature with its unit, such as 4 C or 39 F",
        "Write a number and C or F; until then it counts as not measured.",
    )


@message("bowl sizes unreadable", Grade.ERROR)
def bowl_sizes_unreadable(found: str) -> Words:
    return Words(
        found,
        "sizes in ml above 0 with commas between them, such as 60, 120, 250",
        "Write the numbers alone; until then the usual sizes are used.",
    )


@message("allergen denied", Grade.WARNING)
def allergen_denied(found: str) -> Words:
    return Words(
        f'the words "{found}"',
        "the allergens that it brings, with commas between, or none",
        "Take them out of the cell; until then it counts as bringing what they name.",
    )


@message("allergen nearly known", Grade.WARNING)
def allergen_nearly_known(found: str, near: str) -> Words:
    return Words(
        f'the allergen "{found}"',
        f'a word of an allergen list, of which "{near}" is nearest',
        f"Write {near} if that is meant; until then {found} is shown as it is, and nobody who "
        f"avoids {near} is warned of it.",
    )
