"""What a cell holds and how a message names it; what cannot be read becomes a finding."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Any, Concatenate, ParamSpec, TypeVar

from costing.findings import Finding, Grade, Place, Row, Words, choice_words, message, quoted_words
from costing.names import key, nearest
from costing.quantities import Unit, decimal_or_fraction, exact
from costing.workbook.layout import CellKind, Column
from costing.workbook.package.numberformats import days_of
from costing.workbook.package.worksheets import LONGEST_QUOTE, NO_DATE, FilledCell
from costing.workbook.reading.areas import Area

FIRST_YEAR = 1910
"""A date before this year is a small number in a cell formatted as a date."""

SPREADSHEET_WORDS = {True: "TRUE", False: "FALSE"}


@lru_cache(maxsize=16384)
def exact_number(value: float) -> Fraction:
    """The exact number of a number cell."""
    return exact(value)


def is_number(value: object) -> bool:
    """Whether a cell's value is a number, and not a truth value."""
    return value.__class__ is int or value.__class__ is float


def is_date(value: object) -> bool:
    """Whether the spreadsheet takes a cell's value for a date or a time."""
    return isinstance(value, (date, time, timedelta))


def plain(value: object) -> str:
    """A value as plain text."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool):
        return SPREADSHEET_WORDS[value]
    if isinstance(value, (int, float)):
        return decimal_or_fraction(exact_number(value))
    if isinstance(value, datetime):
        whole_day = value.time() == time(0)
        return value.date().isoformat() if whole_day else value.isoformat(" ", "minutes")
    if isinstance(value, time):
        return value.isoformat("minutes")
    if isinstance(value, timedelta):
        minutes = round(value.total_seconds() / 60)
        return f"{minutes // 60}:{minutes % 60:02}"
    return str(value)


def shortened(text: str) -> str:
    r"""A text in one line, cut where it is too long to be quoted.

    Examples
    --------
    >>> shortened(" char \n the  leeks "), len(shortened("very " * 100))
    ('char the leeks', 80)
    """
    line = " ".join(text.split())
    return line if len(line) <= LONGEST_QUOTE else line[: LONGEST_QUOTE - 1].rstrip() + "…"


def words_of(cell: FilledCell | None) -> str:
    """What a cell says, in one line; nothing where it cannot be read."""
    if cell is None or cell.value is None or cell.error:
        return ""
    return shortened(plain(cell.value))


def in_words(value: object, epoch: datetime) -> str:
    """A value in words, for a message."""
    shown = plain(value)
    if isinstance(value, str):
        return f'the text "{shortened(value)}"'
    if isinstance(value, datetime):
        if value.year < FIRST_YEAR:
            number = decimal_or_fraction(exact_number(days_of(value, epoch)))
            return f"the number {number} formatted as a date"
        return f"the date {shown}"
    if isinstance(value, (time, timedelta)):
        return f"the time {shown}"
    return shown


def expected_words(column: Column) -> str:
    """What a cell of a column may hold, in words with an example."""
    if column.choices:
        return choice_words(column.choices)
    what = column.kind.words
    return f"{what} such as {column.example}" if column.example else what


def error_words(error: str) -> str:
    """An error in words."""
    if error == NO_DATE:
        return "crosses: a number that no date has, formatted as a date"
    return f"the error {shortened(error)}"


E = TypeVar("E", bound=StrEnum)
P = ParamSpec("P")

_QUOTED = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]')


class RowCells:
    """One row of an input sheet.

    Parameters
    ----------
    name_from : sequence of str
        Headings whose cells say what the row is about, the best first.
    carried : str
        What it is about when none of them is filled in.
    """

    __slots__ = ("area", "cells", "failed", "findings", "number", "row", "units")

    def __init__(
        self,
        area: Area,
        number: int,
        cells: dict[str, FilledCell | None],
        name_from: tuple[str, ...],
        carried: str = "",
    ) -> None:
        self.area = area
        self.number = number
        self.cells = cells
        self.findings: list[Finding] = area.findings
        self.failed: set[str] = set()
        self.units: dict[str, Unit | None] = {}
        # without a word about cells that cannot be read
        name = next((name for h in name_from if (name := words_of(cells.get(h)))), carried)
        self.row = Row(area.title, number, name, area.letters)

    def at(self, heading: str) -> Place:
        """Place of the cell below a heading."""
        return self.row.at(heading)

    def tell(
        self,
        heading: str,
        finding: Callable[Concatenate[Place, P], Finding],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> None:
        """Report something about the cell below a heading."""
        self.findings.append(finding(self.at(heading), *args, **kwargs))

    def fail(
        self,
        heading: str,
        finding: Callable[Concatenate[Place, P], Finding],
        *args: P.args,
        **kwargs: P.kwargs,
    ) -> None:
        """Remember that a cell cannot be used, and report why."""
        self.failed.add(heading)
        self.tell(heading, finding, *args, **kwargs)

    def column(self, heading: str) -> Column:
        """What the layout declares of a cell."""
        return self.area.declared[heading]

    def expected(self, heading: str) -> str:
        """What a cell may hold, in words with an example."""
        return expected_words(self.column(heading))

    @property
    def blank(self) -> bool:
        """Whether nothing is filled in: formulas may have given empty texts."""
        return all(cell is None or cell.value == "" for cell in self.cells.values())

    def value(self, heading: str) -> Any:
        """What a cell holds: a text without outer blanks, a number, a date; ``None`` when blank.

        A cell that holds an error, or a formula that was never calculated, has a finding and is
        listed in ``failed``.
        """
        if heading not in self.cells or heading in self.failed:
            return None
        if heading in self.area.doubtful or (self.number, heading) in self.area.covered:
            self.failed.add(heading)
            return None
        cell = self._cell(heading)
        value = cell.value
        if value is None:
            expected = self.expected(heading)
            self.fail(heading, formula_never_calculated, expected)
            return None
        if cell.error:
            found = error_words(str(value))
            self.fail(heading, error_cell, found, self.expected(heading))
            return None
        if value.__class__ is str:
            return value.strip() or None
        # a cell carried down from above is held by the row it stands in, which is where it is
        # looked for
        if (value.__class__ is float or value.__class__ is int) and cell.row == self.number:
            self.row.held[heading] = value
        return value

    def hold_text(self, heading: str) -> None:
        """Remember the text of a cell, blanks and all, from which a number is read."""
        cell = self._cell(heading)
        if cell.row == self.number and isinstance(cell.value, str):
            self.row.held[heading] = cell.value

    def _cell(self, heading: str) -> FilledCell:
        """A cell that is filled in."""
        cell = self.cells[heading]
        if cell is None:
            raise KeyError(heading)
        return cell

    def number_format(self, heading: str) -> str:
        """How the spreadsheet shows a cell's number."""
        return self._cell(heading).number_format

    def carry(self, heading: str, cell: FilledCell) -> None:
        """Let a cell of a row above hold for this one."""
        self.cells[heading] = cell

    def shown(self, heading: str) -> str:
        """What a cell holds, in words, for a message."""
        value = self.value(heading)
        return "a blank cell" if value is None else in_words(value, self.area.epoch)

    def text(self, heading: str) -> str:
        """A cell as text, ``""`` when blank."""
        value = self.value(heading)
        if value.__class__ is str:
            return str(value)
        return "" if value is None else plain(value)

    def name(self, heading: str) -> str:
        """A name, runs of blanks in it taken as one."""
        return " ".join(self.text(heading).split())

    def required(self, heading: str) -> str:
        """A name the row needs; a finding when it is blank."""
        name = self.name(heading)
        if not name and heading not in self.failed:
            column = self.column(heading)
            named = column.kind is CellKind.NAME
            what = column.entry or (f"the {heading.lower()}," if named else "an entry")
            words = f"{what} such as {column.example}"
            self.fail(heading, entry_missing, words)
        return name

    def choice(self, heading: str, kind: type[E]) -> E | None:
        """A word of a closed list, ``None`` when blank or unknown."""
        value = self.value(heading)
        if value is None:
            return None
        if value.__class__ is bool:
            value = "yes" if value else "no"
        found = _member(kind, value) if value.__class__ is str else None
        if found is None:
            words = [str(member) for member in kind]
            near = nearest(value, words) if value.__class__ is str else []
            self.fail(heading, choice_unknown, self.shown(heading), words, near)
        return found

    def yes(self, heading: str) -> bool | None:
        """Whether a cell says yes, ``None`` when blank or unknown."""
        answer = self.choice(heading, YesNo)
        return None if answer is None else answer is YesNo.YES

    def is_percent(self, heading: str) -> bool:
        """Whether the spreadsheet shows a cell's number with a percent sign that multiplies."""
        return _has_percent(self.number_format(heading))


class YesNo(StrEnum):
    """Yes or no."""

    YES = "yes"
    NO = "no"


@lru_cache(maxsize=4096)
def _member(kind: type[E], word: str) -> E | None:
    """The member of a closed list that a word is."""
    for member in kind:
        if key(member) == key(word):
            return member
    return None


@lru_cache(maxsize=1024)
def _has_percent(number_format: str) -> bool:
    return "%" in _QUOTED.sub("", number_format)


@message("entry missing", Grade.ERROR)
def entry_missing(expected: str) -> Words:
    return Words(
        "a blank cell in a row that is filled in",
        expected,
        "Fill the cell, or clear the rest of the row; until then the row cannot be used.",
    )


@message("formula never calculated", Grade.ERROR)
def formula_never_calculated(expected: str) -> Words:
    return Words(
        "a formula that was never calculated",
        expected,
        "Open the workbook in your spreadsheet program and save it there; then its results are "
        "in the file.",
    )


@message("error cell", Grade.ERROR)
def error_cell(found: str, expected: str) -> Words:
    return Words(
        found,
        expected,
        "Mend the formula or the entry so that the cell shows a value, or clear the cell.",
    )


@message("choice unknown", Grade.ERROR)
def choice_unknown(found: str, choices: Sequence[str], near: Sequence[str]) -> Words:
    listed = quoted_words(near)
    return Words(
        found,
        choice_words(choices),
        (f"Write {listed} if that is meant, or another" if near else "Write one")
        + " of the words that are offered there.",
    )
