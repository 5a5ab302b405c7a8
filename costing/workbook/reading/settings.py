"""The sheet Settings as it is read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from costing.findings import Place
from costing.holding.messages import holding_rule_unknown
from costing.holding.models import Temperature, read_temperature
from costing.names import key, nearest
from costing.quantities import (
    AmbiguousNumber,
    Measures,
    Rounding,
    UnknownCurrency,
    UnreadableNumber,
    currency_digits,
    decimal_or_fraction,
    read_number,
)
from costing.shoot import LeftOut, Settings
from costing.shoot.jurisdictions import UnknownPlace, jurisdiction
from costing.shoot.settings import AllergenList, UnknownZone, known_zone
from costing.workbook.layout import SETTINGS, Column
from costing.workbook.layout.not_yet import SETTINGS_NOT_READ_YET
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.dates import day, days_listed
from costing.workbook.reading.messages import settings as messages
from costing.workbook.reading.messages.books import not_read_yet
from costing.workbook.reading.money import money
from costing.workbook.reading.percents import percent_from_0, tax_rate
from costing.workbook.reading.values import exact_number, is_number
from costing.workbook.reading.wording import shortened

VALUE = "Value"


@dataclass(frozen=True, slots=True)
class ReadSettings:
    """The settings, and what must be left out because one could not be read.

    Parameters
    ----------
    settings : Settings
        With the defaults of what is blank or unreadable.
    measures : Measures, optional
        ``None``: the setting could not be read, and tsp may mean several things.
    left_out : tuple of LeftOut
        Settings about tax that could not be read: without them no price is certain.
    """

    settings: Settings
    measures: Measures | None
    left_out: tuple[LeftOut, ...] = ()


class SettingCells(RowCells):
    """A row of Settings whose Value is what its setting declares."""

    __slots__ = ("currency", "rules", "setting")
    setting: Column
    rules: Sequence[str]
    currency: str | None

    def column(self, heading: str) -> Column:
        """What the layout declares of the setting."""
        return self.setting if heading == VALUE else super().column(heading)


def settings(area: Area | None, file_name: str, rules: Sequence[str]) -> ReadSettings:
    """The settings of a workbook; without the sheet all are blank.

    ``rules`` are the ids of the holding rules that may be named.
    """
    fields: dict[str, Any] = {"title": file_name}
    if area is None:
        return ReadSettings(Settings(**fields), Measures.METRIC)
    known = {key(column.heading): column for column in SETTINGS}
    given: set[str] = set()
    places: dict[str, Place] = {}
    rows: list[SettingCells] = []
    broken: set[str] = set()
    seen: dict[str, RowCells] = {}
    for row, filled in area.rows():
        cells = SettingCells(area, row, filled, ("Setting",))
        column = None if cells.blank else _known(cells, known, seen)
        if column is None:
            continue
        cells.setting, cells.rules = column, rules
        rows.append(cells)
    # the currency first: it says which signs a sum of money may have
    for cells in sorted(rows, key=lambda one: one.setting.heading != "Currency"):
        column, cells.currency = cells.setting, fields.get("currency")
        value = READERS[column.heading](cells)
        if cells.failed:
            broken.add(column.heading)
        elif value is not None:
            fields[column.field] = value
        if cells.failed or value is not None:
            given.add(column.heading)
            places[column.heading] = cells.at(VALUE)
    fields["given"], fields["places"] = frozenset(given), places
    found = Settings(**fields)
    doubtful = [
        LeftOut(what=f'column "{heading}"', place=area.place(area.header, heading))
        for heading in sorted(area.doubtful)
    ]
    return ReadSettings(
        found,
        None if "Measures" in broken else found.measures,
        tuple(doubtful)
        + tuple(
            LeftOut(what=f'setting "{name}"', place=places[name], sheet="Settings", name=name)
            for name in ("Prices include tax", "Food tax rate %")
            if name in broken
        ),
    )


def _known(
    cells: SettingCells, known: dict[str, Column], seen: dict[str, RowCells]
) -> Column | None:
    """Which setting a row is; a finding where it is none or stands there already."""
    name = cells.required("Setting")
    column = known.get(key(name))
    if not name:
        return None
    if column is None and key(name) in map(key, SETTINGS_NOT_READ_YET):
        if VALUE in cells.cells:
            cells.findings.append(not_read_yet(cells.at(VALUE), f'the setting "{name}" filled in'))
        return None
    if column is None:
        words = [column.heading for column in SETTINGS]
        akin = [one.heading for one in SETTINGS if key(name) in map(key, one.akin)]
        finding = messages.setting_unknown(
            cells.at("Setting"), shortened(name), words, akin or nearest(name, words)
        )
        cells.fail("Setting", finding)
        return None
    first = seen.setdefault(key(name), cells)
    if first is not cells:
        finding = messages.setting_twice(cells.at("Setting"), name, first.at("Setting").cell)
        cells.fail("Setting", finding)
        return None
    return column


def _currency(cells: RowCells) -> str | None:
    code = cells.name(VALUE).upper()
    if not code:
        return None
    try:
        currency_digits(code)
    except UnknownCurrency as fault:
        finding = messages.currency_unknown(cells.at(VALUE), cells.shown(VALUE), fault.nearest)
        cells.fail(VALUE, finding)
        return None
    return code


def _time_zone(cells: RowCells) -> str | None:
    name = cells.name(VALUE)
    if not name:
        return None
    try:
        return known_zone(name)
    except UnknownZone as fault:
        shown = cells.shown(VALUE)
        cells.fail(VALUE, messages.time_zone_unknown(cells.at(VALUE), shown, fault.nearest))
        return None


def _place(cells: RowCells) -> str | None:
    text = cells.name(VALUE)
    if not text:
        return None
    try:
        return jurisdiction(text).name
    except UnknownPlace as fault:
        shown = cells.shown(VALUE)
        cells.fail(VALUE, messages.place_unknown(cells.at(VALUE), shown, fault.nearest))
        return None


def _holding_rules(cells: SettingCells) -> tuple[str, ...] | None:
    text = cells.name(VALUE)
    names = [name.strip() for name in text.replace(";", ",").split(",") if name.strip()]
    ids = {key(rule): rule for rule in cells.rules}
    for name in names:
        if key(name) not in ids:
            words = list(ids.values())
            near = nearest(name, words)
            cells.findings.append(
                holding_rule_unknown(cells.at(VALUE), shortened(name), near, words)
            )
    known = [ids[key(name)] for name in names if key(name) in ids]
    return tuple(dict.fromkeys(known)) or None


def temperature(cells: RowCells, heading: str) -> Temperature | None:
    """A temperature with its unit, ``None`` when blank or unreadable."""
    value = cells.value(heading)
    if value is None:
        return None
    if is_number(value):
        number = decimal_or_fraction(exact_number(value))
        cells.fail(heading, messages.temperature_without_unit(cells.at(heading), number))
        return None
    text = cells.text(heading)
    try:
        return read_temperature(text)
    except ValueError:
        pass
    if _is_plain_number(text):
        cells.fail(heading, messages.temperature_without_unit(cells.at(heading), text))
    else:
        finding = messages.temperature_unreadable(cells.at(heading), cells.shown(heading))
        cells.fail(heading, finding)
    return None


def _is_plain_number(text: str) -> bool:
    try:
        return not read_number(text).is_range
    except (UnreadableNumber, AmbiguousNumber):
        return False


def _shopping_date(cells: SettingCells) -> date | None:
    """The day of shopping; of several, which are not read yet, the first."""
    days = days_listed(cells, VALUE)
    if days is None:
        return day(cells, VALUE)
    what = f"{len(days)} days of shopping, of which {min(days).isoformat()} is used,"
    cells.findings.append(not_read_yet(cells.at(VALUE), f"{what} filled in"))
    return min(days)


def _bowl_sizes(cells: RowCells) -> tuple[Fraction, ...] | None:
    """Sizes of bowls, smallest first. [ml]"""
    value = cells.value(VALUE)
    if value is None:
        return None
    if is_number(value):
        sizes = [exact_number(value)]
    else:
        text = cells.text(VALUE)
        sizes = []
        for part in text.split(";" if ";" in text else ","):
            try:
                number = read_number(part.strip().removesuffix("ml"))
            except (UnreadableNumber, AmbiguousNumber):
                number = None
            sizes.append(Fraction(0) if number is None or number.is_range else number.low)
    if min(sizes) <= 0:
        cells.fail(VALUE, messages.bowl_sizes_unreadable(cells.at(VALUE), cells.shown(VALUE)))
        return None
    return tuple(sorted(set(sizes)))


READERS: dict[str, Callable[[SettingCells], Any]] = {
    "Title": lambda cells: cells.name(VALUE) or None,
    "Currency": _currency,
    "Prices include tax": lambda cells: cells.yes(VALUE),
    "Food tax rate %": lambda cells: tax_rate(cells, VALUE),
    "Tax rounding": lambda cells: cells.choice(VALUE, Rounding),
    "Measures": lambda cells: cells.choice(VALUE, Measures),
    "Time zone": _time_zone,
    "Time control procedures": lambda cells: cells.yes(VALUE),
    "Place": _place,
    "Holding rules": _holding_rules,
    "Room temperature": lambda cells: temperature(cells, VALUE),
    "Shopping date": _shopping_date,
    "Chance of running out accepted %": lambda cells: percent_from_0(cells, VALUE, below_100=True),
    "Count leftovers that keep at %": lambda cells: percent_from_0(cells, VALUE),
    "Allergen list": lambda cells: cells.choice(VALUE, AllergenList),
    "Budget": lambda cells: money(cells, VALUE, cells.currency),
    "Bowl sizes": _bowl_sizes,
}
"""How the value of each setting is read."""
