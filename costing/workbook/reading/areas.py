"""A found input sheet: which column is which, and its rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from costing.findings import Finding, Grade, Place, Words, message
from costing.names import key
from costing.quantities import Measures
from costing.shoot import Episode
from costing.workbook.layout import Column, Sheet
from costing.workbook.package.addresses import column_letters, range_words
from costing.workbook.package.worksheets import FilledCell, Worksheet
from costing.workbook.reading.weighs import Weighed

BLANK_ROWS = 1000
"""After so many blank rows nothing below is read."""


@dataclass(slots=True)
class Known:
    """What cells are read by that is elsewhere in the workbook; shared by all its sheets.

    Parameters
    ----------
    measures : Measures, optional
        What a cup is; ``None``: the setting could not be read, and a cup may mean several things.
    currency : str, optional
        Whose sign a sum of money may have.
    rules : tuple of str
        Ids of the holding rules that may be named.
    faulty_rules : tuple of str
        Ids of a person's own that are faulty, which is told already.
    pieces : dict
        By ingredient what Weighs says, with units of its own such as a bunch; ``None`` where that
        could not be read.
    dishes : set of str, optional
        Dishes of Recipes, by their keys; ``None`` where Recipes was not read.
    measured : set of str
        What lines of Recipes take by an amount that is not in batches, by its keys.
    episodes : list of Episode
        As they were read, for times on a shoot date.
    """

    measures: Measures | None = Measures.METRIC
    currency: str | None = None
    rules: tuple[str, ...] = ()
    faulty_rules: tuple[str, ...] = ()
    pieces: dict[str, Weighed | None] = field(default_factory=dict)
    dishes: set[str] | None = None
    measured: set[str] = field(default_factory=set)
    episodes: list[Episode] = field(default_factory=list)


@dataclass(slots=True)
class Area:
    """An input sheet found in a workbook.

    Parameters
    ----------
    last : int, optional
        Last row that may be read; ``None``: to the end.
    columns : dict of int to str
        Our heading by column number.
    doubtful : set of str
        Headings whose columns are not certain; what is below them counts as unreadable.
    covered : set of (int, str)
        Rows and headings of merged cells, which count as unreadable.
    named : str
        The file it is in, where that is no workbook.
    """

    layout: Sheet
    sheet: Worksheet
    header: int
    last: int | None
    columns: dict[int, str]
    doubtful: set[str]
    epoch: datetime
    known: Known = field(default_factory=Known)
    covered: set[tuple[int, str]] = field(default_factory=set)
    named: str = ""
    letters: dict[str, str] = field(default_factory=dict)
    declared: dict[str, Column] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.declared = {column.heading: column for column in self.layout.columns}
        for number, heading in self.columns.items():
            self.letters.setdefault(heading, column_letters(number))
        self._look_for_merged_cells()

    @property
    def title(self) -> str:
        """The sheet's name in the workbook, or that of a file of its own."""
        return self.named or self.sheet.title

    def place(self, row: int | None = None, heading: str = "") -> Place:
        """Place of the cell below a heading, or of a row, or of the sheet."""
        return Place(self.title, row, self.letters.get(heading, "") if row else "", heading)

    def filled(self) -> dict[int, dict[str, Any]]:
        """Cells by heading of the rows that are filled in, by row number; nothing is said."""
        return self.filled_between(self.header, self.last)

    def filled_between(self, above: int, last: int | None) -> dict[int, dict[str, Any]]:
        """The same of the rows behind one, up to the last or to the end of the sheet."""
        found: dict[int, dict[str, Any]] = {}
        columns = self.columns
        for row, cells in self.sheet.rows.items():
            if row <= above or (last is not None and row > last):
                continue
            filled = {
                columns[column]: cell
                for column, cell in cells.items()
                if column in columns and not _is_blank(cell)
            }
            if filled:
                found[row] = filled
        return found

    def rows(self) -> Iterator[tuple[int, dict[str, Any]]]:
        """Numbers of the rows that are filled in, and their cells by heading."""
        rows = self.filled()
        header = self.header
        for row, heading in self.covered:
            if row in rows:
                rows[row].setdefault(heading, None)
        self._tell_of_hidden(rows)
        before = header
        for row in sorted(rows):
            if row - before > BLANK_ROWS:
                self.findings.append(rows_far_below(self.place(row), row - before - 1))
                return
            before = row
            if self._are_headings(rows[row]):
                self.findings.append(headings_repeated(self.place(row)))
                continue
            yield row, rows[row]

    @staticmethod
    def _are_headings(cells: Mapping[str, Any]) -> bool:
        """Whether each of several cells says what stands at the head of its column."""
        said = {heading: cell.value for heading, cell in cells.items() if cell is not None}
        return len(said) > 1 and all(key(str(text)) == key(h) for h, text in said.items())

    def _tell_of_hidden(self, rows: dict[int, dict[str, Any]]) -> None:
        hidden = self.sheet.hidden_rows & rows.keys()
        if hidden:
            self.findings.append(
                hidden_rows(self.place(min(hidden)), len(hidden), min(hidden), max(hidden))
            )

    def _look_for_merged_cells(self) -> None:
        """Say which cells of the area are merged, and leave the columns in doubt aside."""
        carried = {column.heading for column in self.layout.columns if column.carries_down}
        for top, left, bottom, right in self.sheet.merged:
            if bottom < self.header or (self.last and top > self.last):
                continue
            known = [
                (number, heading)
                for number, heading in self.columns.items()
                if left <= number <= right
            ]
            if not known:
                continue
            corner = Place(self.title, top, column_letters(left))
            merged, heading = range_words(top, left, bottom, right), known[0][1]
            if left == right and heading in carried:
                self.findings.append(merged_cells_read_down(corner, merged, heading))
                continue
            self.findings.append(merged_cells(corner, merged))
            if top <= self.header:
                self.doubtful.update(heading for _, heading in known)
            self.covered.update(
                (row, heading)
                for row in range(max(top, self.header + 1), bottom + 1)
                for _, heading in known
            )


def _is_blank(cell: FilledCell) -> bool:
    """Whether a cell holds nothing but blanks; a formula is something."""
    return isinstance(cell.value, str) and not cell.formula and not cell.value.strip()


@message("merged cells", Grade.ERROR)
def merged_cells(area: str) -> Words:
    return Words(
        f"the cells {area} merged",
        "each value in a cell of its own",
        "Unmerge them and write the value into every cell it is meant for; until then they count "
        "as unreadable.",
    )


@message("merged cells read down", Grade.NOTE)
def merged_cells_read_down(area: str, heading: str) -> Words:
    """Cells merged downwards in a column where a blank cell means the value above anyway."""
    return Words(
        f"the cells {area} merged",
        "each value in a cell of its own",
        f"The value was taken for all these rows, as for blank cells below {heading}. Unmerge "
        "them if you want to sort or filter.",
    )


@message("hidden rows", Grade.NOTE)
def hidden_rows(count: int, first: int, last: int) -> Words:
    rows = f"1 hidden row (row {first})" if count == 1 else f"{count} hidden rows"
    between = "" if count == 1 else f" between row {first} and row {last}"
    return Words(
        f"{rows}{between}",
        "rows that are read to be in view",
        "They were included like the others. Unhide them or clear the filter to look them over, "
        "and delete what is not meant.",
    )


@message("headings repeated", Grade.NOTE)
def headings_repeated() -> Words:
    return Words(
        "the headings once more",
        "one row of headings, above all rows",
        "It is passed over; delete the row.",
    )


@message("rows far below", Grade.WARNING)
def rows_far_below(blank: int) -> Words:
    return Words(
        f"something after {blank} blank rows",
        "the rows of the sheet to follow each other",
        "It was not read. Move it up to the other rows if it belongs to them, or delete it.",
    )
