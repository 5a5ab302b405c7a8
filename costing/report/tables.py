"""What a result table is: its columns, what kind of value is in each, and its rows by name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, cached_property
from itertools import chain

Value = str | int | Fraction | Decimal | date | datetime | timedelta | None
Row = Mapping[str, Value]


class ValueKind(StrEnum):
    """What kind of value a column holds, which decides how it is shown."""

    TEXT = "text"
    LONG_TEXT = "long text"
    STATUS = "status"
    CELL = "cell"
    TICK = "tick"
    COUNT = "count"
    QUANTITY = "quantity"
    PERCENT = "percent"
    MONEY = "money"
    PRICE = "price"
    DATE = "date"
    INSTANT = "instant"
    DURATION = "duration"
    MIXED = "mixed"


@dataclass(frozen=True, slots=True)
class ResultColumn:
    """A column of a result table.

    Parameters
    ----------
    kind : ValueKind
        Of its values: a status is shaded by its word, a cell is a link to it, and a price shows
        what is below the smallest coin.
    width : float
        On the sheet, at least. [characters]
    folded : bool
        Whether a new sheet has it folded away.
    as_typed : bool
        Whether it shows what was typed into the column of the same heading, of what a row is about.

    Examples
    --------
    >>> ResultColumn("Trim yield %", "What is left after trimming.").key
    'trim_yield'
    """

    heading: str
    meaning: str = ""
    kind: ValueKind = ValueKind.TEXT
    width: float = 12
    folded: bool = False
    as_typed: bool = False

    @property
    def key(self) -> str:
        """The heading in snake_case without its percent sign."""
        return snake_case(self.heading)


@cache
def snake_case(heading: str) -> str:
    """A heading as a key: small letters and low lines, percent sign dropped."""
    return "_".join(heading.replace("%", " ").casefold().split())


@dataclass(frozen=True)
class Layout:
    """A result table without its rows.

    Parameters
    ----------
    about : str
        One sentence that tells what a row is.
    told_apart_by : tuple of str
        Keys of the columns that tell a row from the others: ticks and notes of the user go with
        it when rows move.
    then_by : tuple of str
        Keys of columns that tell rows apart which are alike in these, and may change of a row
        that stays: the day of its trip, the size of its pack.
    always : bool
        Whether there is a sheet even without a row, because formulas of others refer to it.
    live : str
        What on the sheet follows edits, in words.
    cut_out : bool
        Whether the rows are parted by dashed lines, to be cut.

    Examples
    --------
    >>> trial = Layout("Takes left", "", (ResultColumn("Shot"), ResultColumn("For")))
    >>> trial.key, trial.table_name
    ('takes_left', 'ResultTakesLeft')
    >>> trial.row(shot="P1", for_="the pan"), trial.row(shot="P2")
    ({'shot': 'P1', 'for': 'the pan'}, {'shot': 'P2', 'for': None})
    """

    title: str
    about: str
    columns: tuple[ResultColumn, ...]
    told_apart_by: tuple[str, ...] = ()
    then_by: tuple[str, ...] = ()
    always: bool = False
    live: str = ""
    cut_out: bool = False

    @property
    def key(self) -> str:
        """The title in snake_case."""
        return snake_case(self.title)

    @property
    def table_name(self) -> str:
        """Of the table in the workbook."""
        return "Result" + "".join(word.capitalize() for word in self.title.split())

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Keys of the columns from left to right."""
        return tuple(column.key for column in self.columns)

    @cached_property
    def typed(self) -> tuple[str, ...]:
        """Keys of the columns that show what was typed."""
        return tuple(column.key for column in self.columns if column.as_typed)

    def table(self, rows: Iterable[Row]) -> Table:
        """A table of rows that :meth:`row` made."""
        return Table(self, tuple(rows))

    def row(self, *about: object, **cells: Value) -> Row:
        """A row, its cells by the keys of their columns; a column that is left out is blank.

        Parameters
        ----------
        *about : object
            Rows of the input sheets it is about, in which columns with ``as_typed`` find theirs.
        **cells : Value
            A key that is a word of Python has a low line behind it: ``for_`` stands for ``for``.
        """
        by_key = {name.removesuffix("_"): value for name, value in cells.items()}
        if unknown := by_key.keys() - set(self.keys):
            raise ValueError(f"{self.title} has no column {', '.join(sorted(unknown))}")
        for key in self.typed:
            if key not in by_key:
                by_key[key] = next((getattr(one, key) for one in about if hasattr(one, key)), None)
        return {key: by_key.get(key) for key in self.keys}


@dataclass(frozen=True, slots=True)
class Table:
    """A result table with its rows; each row has a value, perhaps ``None``, for every key.

    Parameters
    ----------
    starts : frozenset of int
        Rows, from 0, before which a line parts one group from another.
    folded : frozenset of int
        Rows, from 0, that a sheet shows folded away.
    """

    layout: Layout
    rows: tuple[Row, ...]
    starts: frozenset[int] = frozenset()
    folded: frozenset[int] = frozenset()

    @classmethod
    def grouped(
        cls, layout: Layout, groups: Iterable[Iterable[Row]], *, folded: Iterable[Row] = ()
    ) -> Table:
        """Build a table whose groups of rows are parted by lines, the last one perhaps folded.

        Examples
        --------
        >>> trial = Layout("Trial", "", (ResultColumn("Shot"),))
        >>> one, two, three = (trial.row(shot=name) for name in ("P1", "P2", "P3"))
        >>> table = Table.grouped(trial, [[one], [], [two]], folded=[three])
        >>> len(table.rows), sorted(table.starts), sorted(table.folded)
        (3, [1, 2], [2])
        """
        rows: list[Row] = []
        starts = set()
        for group in chain(groups, [folded]):
            first = len(rows)
            rows += group
            if 0 < first < len(rows):
                starts.add(first)
        hidden = range(first, len(rows))
        return cls(layout, tuple(rows), frozenset(starts), frozenset(hidden))
