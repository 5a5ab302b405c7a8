"""The sheet Settings as it is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from costing.findings import Grade, Place, Words, choice_words, message
from costing.names import key, nearest
from costing.shoot import LeftOut, Settings
from costing.workbook.layout import SETTINGS, Column
from costing.workbook.reading.areas import Area, Known
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.kinds import read_cell
from costing.workbook.reading.unread import not_read_yet
from costing.workbook.reading.values import shortened

VALUE = "Value"


@dataclass(frozen=True, slots=True)
class ReadSettings:
    """The settings, and what must be left out because one could not be read.

    Parameters
    ----------
    settings : Settings
        With the defaults of what is blank or unreadable.
    left_out : tuple of LeftOut
        Settings about tax that could not be read: without them no price is certain.
    """

    settings: Settings
    left_out: tuple[LeftOut, ...] = ()


class SettingCells(RowCells):
    """A row of Settings whose Value is what its setting declares."""

    __slots__ = ("setting",)
    setting: Column

    def column(self, heading: str) -> Column:
        """What the layout declares of the setting."""
        return self.setting if heading == VALUE else super().column(heading)


def settings(area: Area | None, file_name: str, knows: Known) -> ReadSettings:
    """The settings of a workbook; without the sheet all are blank.

    What the other sheets are read by is kept in ``knows``: the measures and the currency.
    """
    fields: dict[str, Any] = {"title": file_name}
    if area is None:
        return ReadSettings(Settings(**fields))
    known = {key(column.heading): column for column in SETTINGS}
    places: dict[str, Place] = {}
    rows: list[SettingCells] = []
    broken: set[str] = set()
    seen: dict[str, RowCells] = {}
    for row, filled in area.rows():
        cells = SettingCells(area, row, filled, ("Setting",))
        column = None if cells.blank else _known(cells, known, seen)
        if column is None:
            continue
        cells.setting = column
        rows.append(cells)
    # the currency first: it says which signs a sum of money may have
    for cells in sorted(rows, key=lambda one: one.setting.heading != "Currency"):
        column = cells.setting
        value = read_cell(cells, VALUE)
        fields |= value
        knows.currency = fields.get("currency")
        if cells.failed:
            broken.add(column.heading)
        if value and not column.used:
            what = f'the setting "{column.heading}" filled in'
            cells.findings.append(not_read_yet(cells.at(VALUE), what))
        if cells.failed or value:
            places[column.heading] = cells.at(VALUE)
    fields["places"] = places
    found = Settings(**fields)
    doubtful = [
        LeftOut(what=f'column "{heading}"', place=area.place(area.header, heading))
        for heading in sorted(area.doubtful)
    ]
    knows.measures = None if "Measures" in broken else found.measures
    return ReadSettings(
        found,
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
    if column is None:
        words = [column.heading for column in SETTINGS]
        akin = [one.heading for one in SETTINGS if key(name) in map(key, one.akin)]
        finding = setting_unknown(
            cells.at("Setting"), shortened(name), words, akin or nearest(name, words)
        )
        cells.fail("Setting", finding)
        return None
    first = seen.setdefault(key(name), cells)
    if first is not cells:
        finding = setting_twice(cells.at("Setting"), name, first.at("Setting").cell)
        cells.fail("Setting", finding)
        return None
    return column


@message("setting unknown", Grade.ERROR)
def setting_unknown(name: str, known: Sequence[str], near: Sequence[str]) -> Words:
    """A setting nobody knows."""
    return Words(
        f'the setting "{name}"',
        choice_words(known),
        (f"Write {choice_words(near)} if that is meant, or delete" if near else "Delete")
        + " the row.",
    )


@message("setting twice", Grade.ERROR)
def setting_twice(name: str, first: str) -> Words:
    """A setting that stands there a second time."""
    return Words(
        f'the setting "{name}" a second time; the first is at {first}',
        "each setting once",
        "Delete one of the rows; until then the first is used.",
    )
