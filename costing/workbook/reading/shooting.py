"""Shoot plan and Episodes as they are read."""

from __future__ import annotations

from typing import Any

from costing.shoot import Episode, LeftOut, Purpose, Shot
from costing.workbook.reading.amounts import steps
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import Carried, RowCells
from costing.workbook.reading.dates import clock, day
from costing.workbook.reading.messages import amounts as messages
from costing.workbook.reading.money import money
from costing.workbook.reading.numbers import number, times
from costing.workbook.reading.rows import Read, built

SHOT = (
    "Episode",
    "Dish",
    "Purpose",
    "Steps",
    "From",
    "Batch",
    "Times",
    "Fewest",
    "Most",
    "Optional lines",
)
"""Columns of Shoot plan without which a shot's need is unknown."""

NO_SHOT = frozenset({"Episode", "Note"})
"""A row with nothing else in it is a heading or a remark between the shots."""


def shots(area: Area) -> Read:
    """The rows of the sheet Shoot plan."""
    read = Read()
    episodes, dishes = Carried("Episode"), Carried("Dish")
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Shot", "Dish"), dishes.value)
        if cells.blank:
            continue
        episode = episodes.read(cells)
        if cells.cells.keys() <= NO_SHOT:
            continue
        shot = _shot(cells, episode, dishes.required(cells))
        if shot is None or not cells.failed.isdisjoint(SHOT):
            read.leave_out("shot", cells.row)
        else:
            read.rows.append(shot)
    return read


def _shot(cells: RowCells, episode: str, dish: str) -> Shot | None:
    """A row of Shoot plan as a shot; what cannot be read counts as eaten, the careful way."""
    batch = number(cells, "Batch")
    counted = times(cells, "Times")
    fields: dict[str, Any] = {
        "dish": dish,
        "name": cells.name("Shot"),
        "episode": episode,
        "purpose": cells.choice("Purpose", Purpose) or Purpose.COOK_THROUGH,
        "steps": steps(cells, "Steps"),
        "from_shot": cells.name("From"),
        "times": 1 if counted is None else counted,
        "fewest": times(cells, "Fewest"),
        "most": times(cells, "Most"),
        "eaten": cells.yes("Eaten"),
        "optional_lines": cells.yes("Optional lines") or False,
        "starts": clock(cells, "Starts"),
        "note": cells.text("Note"),
    }
    if batch is not None:
        fields["batch"] = batch
    if "Eaten" in cells.failed:
        fields["eaten"] = True
    if not dish or not _in_order(cells, fields):
        return None
    return built(Shot, cells, {"batch": "Batch"}, fields)


def _in_order(cells: RowCells, fields: dict[str, Any]) -> bool:
    """Whether the three-point estimate rises; a finding when it does not."""
    if not cells.failed.isdisjoint(("Times", "Fewest", "Most")):
        return True
    fewest, counted, most = fields["fewest"], fields["times"], fields["most"]
    if (fewest is None or fewest <= counted) and (most is None or counted <= most):
        return True
    shown = ["blank" if count is None else str(count) for count in (fewest, counted, most)]
    if "Times" not in cells.cells:
        shown[1] = "blank"
    cells.fail("Times", messages.times_out_of_order(cells.at("Times"), *shown))
    return False


def episodes(area: Area, currency: str | None) -> Read:
    """The rows of the sheet Episodes."""
    read = Read()
    headings = {"portions": "Portions", "minutes": "Minutes"}
    for row, filled in area.rows():
        cells = RowCells(area, row, filled, ("Episode",))
        if cells.blank:
            continue
        name = cells.required("Episode")
        fields: dict[str, Any] = {
            "name": name,
            "title": cells.name("Title"),
            "shoot_date": day(cells, "Shoot date"),
            "call_time": clock(cells, "Call time"),
            "portions": number(cells, "Portions"),
            "minutes": number(cells, "Minutes"),
            "budget": money(cells, "Budget", currency),
            "note": cells.text("Note"),
        }
        episode = built(Episode, cells, headings, fields) if name else None
        if "Shoot date" in cells.failed:
            what = f'the date of episode "{name}"'
            place = cells.at("Shoot date")
            read.left_out.append(LeftOut(what=what, place=place, name=name, in_totals=False))
        if episode is None:
            read.leave_out("episode", cells.row)
        else:
            read.rows.append(episode)
    return read
