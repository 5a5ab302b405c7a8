"""The rows of an input sheet, read as its layout declares them: a model for each row.

What a model refuses becomes a finding with its place. A sheet that has a rule which no column can
declare extends :class:`SheetReader`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import ValidationError

from costing.findings import Grade, Place, Row, Words, message, quoted_words
from costing.names import key
from costing.quantities.fields import FromRow
from costing.shoot import LeftOut
from costing.shoot.unused import rows_change_nothing
from costing.workbook.layout import UNITS, Without
from costing.workbook.reading.areas import Area
from costing.workbook.reading.cells import RowCells
from costing.workbook.reading.kinds import read_cell
from costing.workbook.reading.numbers import number_out_of_range

M = TypeVar("M", bound=FromRow)

BOUNDS = {
    "greater_than": ("gt", "a number above {}"),
    "greater_than_equal": ("ge", "a number of {} or more"),
    "less_than": ("lt", "a number below {}"),
    "less_than_equal": ("le", "a number of at most {}"),
}
"""What a model says of a number outside its range."""


@dataclass(slots=True)
class Read:
    """What a sheet gave.

    Parameters
    ----------
    unusable : list
        Models of those rows without the cell that could not be read, where it may be blank.
    waiting : list of Row
        Rows that name something and are not filled in yet.
    uncertain : set of str
        Names, by their keys, of what cannot be reckoned with because a cell could not be read.
    """

    rows: list[Any] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    unusable: list[Any] = field(default_factory=list)
    waiting: list[Row] = field(default_factory=list)
    uncertain: set[str] = field(default_factory=set)

    def leave_out(self, what: str, row: Row, *, in_totals: bool = True) -> None:
        """Remember a row that could not be used."""
        words = f'{what} "{row.name}"' if row.name else f"{what} without a name"
        left = LeftOut(what=words, place=row.at(), name=row.name, in_totals=in_totals)
        self.left_out.append(left)


class Carried:
    """Cells of the rows above that hold where a row leaves a column blank that carries down."""

    def __init__(self, area: Area) -> None:
        columns = area.layout.columns
        self.headings = [c.heading for c in columns if c.carries_down and not c.by_hand]
        self.needed = {c.heading for c in columns if c.in_each_row}
        self.named_from = area.layout.named_from
        self.names: dict[str, str] = {}
        self._cells: dict[str, Any] = {}
        self._broken: set[str] = set()
        self._waiting: dict[str, tuple[str, Row]] = {}
        self._alone: dict[str, list[tuple[str, Row]]] = {}

    @property
    def name(self) -> str:
        """What a row is about that does not say so itself."""
        return next((self.names[at] for at in self.named_from if self.names.get(at)), "")

    def fill(self, cells: RowCells) -> dict[str, str]:
        """Give a row the cells of the one above where it has none; below a fault, the fault.

        Returns what it says itself.
        """
        typed: dict[str, str] = {}
        for heading in self.headings:
            if cells.value(heading) is not None:
                self._broken.discard(heading)
                self._cells[heading] = cells.cells[heading]
                self.names[heading] = typed[heading] = cells.name(heading)
            elif heading in cells.failed or heading in self._broken:
                self.lose(heading)
                cells.failed.add(heading)
            elif heading in self._cells:
                cells.carry(heading, self._cells[heading])
        return typed

    def take_over(self, typed: Mapping[str, str], row: Row, *, is_row: bool) -> None:
        """A row takes over the cells that wait above it; one that is none waits with its own."""
        for heading, (name, _) in list(self._waiting.items()):
            if heading in typed and key(typed[heading]) != key(name):
                self._alone.setdefault(heading, []).append(self._waiting.pop(heading))
            elif is_row or heading in typed:
                del self._waiting[heading]
        if not is_row:
            self._waiting |= {heading: (name, row) for heading, name in typed.items()}

    def without_rows(self) -> Iterator[tuple[Place, str]]:
        """Cells of rows that are none, which no row takes over: the first of each column."""
        for heading, waiting in self._waiting.items():
            self._alone.setdefault(heading, []).append(waiting)
        for heading, cells in self._alone.items():
            yield cells[0][1].at(heading), quoted_words((n for n, _ in cells), last="and")

    def lose(self, heading: str) -> None:
        """Remember that a cell could not be read, and neither can those below that rest on it."""
        self._broken.add(heading)
        self._cells.pop(heading, None)
        self.names.pop(heading, None)

    def lose_failed(self, cells: RowCells) -> None:
        """Remember what of a row could not be read once all of it was."""
        for heading in self.headings:
            if heading in cells.failed:
                self.lose(heading)


class SheetReader:
    """Reads the rows of a sheet."""

    def __init__(self, area: Area) -> None:
        self.area = area
        self.layout = area.layout
        self.found = Read()
        columns = [c for c in self.layout.columns if c.kind not in UNITS]
        self.headings = {column.field: column.heading for column in columns}
        self._read = [column for column in columns if not column.by_hand]
        self._needed = [c.heading for c in self._read if c.in_each_row]
        fields = self.layout.model.model_fields if self.layout.model else {}
        self._required = {name for name, one in fields.items() if one.is_required()}
        # headings of the columns that take it with them when a cell cannot be read
        self.lost = {
            what: {c.heading for c in self.layout.columns if c.without is what} for what in Without
        }

    def read(self) -> Read:
        """The rows, and what could not be used of them."""
        layout = self.layout
        carried = Carried(self.area)
        for number, filled in self.area.rows():
            cells = RowCells(self.area, number, filled, layout.named_from, carried.name)
            if cells.blank:
                continue
            # looked at before the cells above are carried down, which would make a row of any
            # remark
            is_remark = cells.cells.keys() <= layout.remarks
            typed = carried.fill(cells)
            if is_remark:
                carried.take_over(typed, cells.row, is_row=False)
                self.found.waiting.append(cells.row)
                continue
            fields = self.fields(cells)
            carried.lose_failed(cells)
            row = None if fields is None else self.row(cells, fields)
            is_row = fields is not None or bool(cells.failed)
            carried.take_over(typed, cells.row, is_row=is_row)
            if not is_row:
                continue
            usable = row is not None and cells.failed.isdisjoint(self.lost[Without.ROW])
            if usable:
                self.found.rows.append(row)
            elif row is not None:
                self.found.unusable.append(row)
            if not usable or not cells.failed.isdisjoint(self.lost[Without.RESULTS]):
                self.leave_out(cells, usable=usable)
        for place, names in carried.without_rows():
            self.area.findings.append(
                rows_change_nothing(place, names, "with nothing beside or below")
            )
        return self.found

    def fields(self, cells: RowCells) -> dict[str, Any] | None:
        """What the cells of a row say, by the fields of its model; ``None``: it is no row."""
        fields: dict[str, Any] = {}
        for column in self._read:
            if column.heading in cells.cells or column.unit_in in cells.cells:
                fields |= read_cell(cells, column.heading)
        for heading in self._needed:
            if cells.value(heading) is None:
                cells.required(heading)
        return fields

    def row(self, cells: RowCells, fields: dict[str, Any]) -> FromRow | None:
        """The model of a row; ``None`` where it lacks what it needs."""
        model = self.layout.model
        if model is None or not fields.keys() >= self._required:
            return None
        return built(model, cells, self.headings, fields)

    def leave_out(self, cells: RowCells, *, usable: bool) -> None:
        """Say that a row cannot be used, or that results which depend on it cannot."""
        self.found.leave_out(self.layout.row, cells.row, in_totals=self.layout.in_totals)
        if usable:
            self.found.uncertain.add(key(cells.row.name))


def built(
    model: type[M], cells: RowCells, headings: Mapping[str, str], fields: dict[str, Any]
) -> M | None:
    """The model of a row, or ``None`` when it refuses what it needs.

    Parameters
    ----------
    cells : RowCells
        The row; a cell that is refused is added to its ``failed``.
    headings : mapping of str to str
        Heading by field, for the fields that have a range.
    fields : dict
        What was read. A field that is refused and may be blank is left blank.
    """
    try:
        return model(row=cells.row, **fields)
    except ValidationError as fault:
        refused = _told(fault, cells, headings)
    kept = {name: value for name, value in fields.items() if name not in refused}
    # refused as a whole, such as two columns that exclude each other: no field can be left out for
    # it
    if len(kept) == len(fields):
        return None
    try:
        return model(row=cells.row, **kept)
    except ValidationError:
        return None


def _told(fault: ValidationError, cells: RowCells, headings: Mapping[str, str]) -> set[str]:
    """Make a finding of each thing refused; gives the fields it was refused for."""
    refused: set[str] = set()
    for error in fault.errors():
        name = str(error["loc"][0]) if error["loc"] else ""
        if error["type"] in BOUNDS and name in headings:
            bound, words = BOUNDS[error["type"]]
            heading = headings[name]
            found = cells.shown(heading)
            expected = words.format(error["ctx"][bound])
            cells.fail(heading, number_out_of_range, found, expected)
            refused.add(name)
        else:
            rule = error["msg"].removeprefix("Value error, ")
            cells.findings.append(row_not_accepted(cells.row.at(), rule))
    return refused


@message("row not accepted", Grade.ERROR)
def row_not_accepted(rule: str) -> Words:
    return Words(
        "cells that do not go together",
        f"a row that keeps the rule: {rule}",
        "Mend the row; until then it is left out.",
    )
