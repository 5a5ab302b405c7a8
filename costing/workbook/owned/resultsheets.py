"""A sheet that belongs to the library, said without XML: what is on it and what is whose."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from costing.workbook.package.addresses import LAST_COLUMN, LAST_ROW
from costing.workbook.package.cellxml import ConditionalFormat, NewCell

MARK = re.compile(r"[a-z][a-z0-9_]{0,30}")
NOT_IN_TITLES = re.compile(r"[\[\]:*?/\\\x00-\x1f]")
LONGEST_TITLE = 31
"""Longest name of a tab. [characters]"""


@dataclass(frozen=True, slots=True)
class ResultSheet:
    """A sheet that belongs to the library.

    Parameters
    ----------
    mark : str
        Its key for ever (``to_buy``); the tab may be renamed by anyone.
    title : str
        Name of the tab when it is first made.
    rows : sequence of sequences of NewCell or None
        The block from A1 on.
    header_row : int
        Row of the headings, from 1; 0 when it has none.
    table : str, optional
        Name of a table over the headings and ``table_rows`` rows below them.
    table_rows : int, optional
        Rows of the table; all below the headings when left out.
    user_columns : frozenset of int
        Columns, from 1, whose rows below the headings are there for the user to write in:
        what is there is never called edited.
    key_columns : tuple of int
        Columns of the table, from 1, that together tell a row from the others: what the user
        wrote beside a row, or into ``user_columns``, then goes with it to its new place.
    then_columns : tuple of int
        Columns of the table, from 1, that tell rows apart which are alike in the key columns.
        They may change of a row that stays: where as many such rows are left as there were, the
        rows are taken to be the same in their order.
    widths : sequence of float
        Of the first columns; 0 for as it comes. [characters]
    freeze : str, optional
        First cell that scrolls (``B5``).
    meanings : sequence of str
        Of the headings, shown when one is chosen; ``""`` for none.
    landscape, repeat_headings : bool
        For printing; the width is always fitted to one page.
    folded, folded_rows : frozenset of int
        Columns and rows, from 1, that are folded away below an outline.
    heights : mapping of int to float
        Heights of rows. [points]
    hidden : frozenset of int
        Rows, from 1, that are hidden; one in which the user wrote something is shown all the
        same.
    drawing_from : callable, optional
        Gives an .xlsx file when the sheet is made: the new sheet takes over the drawing on the
        file's sheet of the same title. Later runs leave the drawing alone.

    Notes
    -----
    Widths, folded columns, panes, formats, meanings, print set-up, colour and drawing are written
    when the sheet is first made. Later runs write cells, heights, hidden and folded rows, table and
    links only, so that what the user changed stays; a pane, formats and repeated rows at the
    headings follow them when these change their row.

    Raises
    ------
    ValueError
        If the title, the mark, the size or the table's headings cannot stand in a workbook.
    """

    mark: str
    title: str
    rows: Sequence[Sequence[NewCell | None]]
    header_row: int = 0
    table: str | None = None
    table_rows: int | None = None
    user_columns: frozenset[int] = frozenset()
    key_columns: tuple[int, ...] = ()
    then_columns: tuple[int, ...] = ()
    widths: Sequence[float] = ()
    freeze: str | None = None
    formats: Sequence[ConditionalFormat] = ()
    meanings: Sequence[str] = ()
    landscape: bool = False
    repeat_headings: bool = True
    tab_colour: str | None = None
    folded: frozenset[int] = frozenset()
    folded_rows: frozenset[int] = frozenset()
    heights: Mapping[int, float] = field(default_factory=dict)
    hidden: frozenset[int] = frozenset()
    drawing_from: Callable[[], bytes] | None = None

    def __post_init__(self) -> None:
        if not MARK.fullmatch(self.mark):
            raise ValueError(f"not a mark: {self.mark!r}")
        check_title(self.title)
        if self.height > LAST_ROW or self.width > LAST_COLUMN:
            raise ValueError(
                f"{self.height} rows and {self.width} columns are more than a sheet has"
            )
        if self.header_row > len(self.rows):
            raise ValueError(f"no row {self.header_row} for the headings")
        if self.table is not None:
            if not re.fullmatch(r"[A-Za-z_][A-Za-z0-9_.]{2,200}", self.table):
                raise ValueError(f"not a table name: {self.table!r}")
            headings = [heading.casefold() for heading in self.headings]
            if not headings or "" in headings or len(set(headings)) < len(headings):
                raise ValueError(f"a table needs headings, each once: {self.headings}")
            if self.width > len(headings):
                raise ValueError("a row is wider than the table's headings")

    @property
    def headings(self) -> list[str]:
        """The texts of the heading row up to its last one."""
        if not self.header_row:
            return []
        texts = [
            cell.value if cell is not None and isinstance(cell.value, str) else ""
            for cell in self.rows[self.header_row - 1]
        ]
        while texts and not texts[-1]:
            texts.pop()
        return texts

    @property
    def table_height(self) -> int:
        """Rows of the table below its headings, at least one: a table is never without a row."""
        below = len(self.rows) - self.header_row
        return max(below if self.table_rows is None else self.table_rows, 1)

    @property
    def trailing(self) -> int:
        """Rows of the block below its table."""
        return self.height - self.header_row - self.table_height if self.table is not None else 0

    @property
    def height(self) -> int:
        """Rows of the block."""
        needed = self.header_row + self.table_height if self.table is not None else 0
        return max(len(self.rows), needed)

    @property
    def width(self) -> int:
        """Columns of the block."""
        return max((len(row) for row in self.rows), default=0)


def check_title(title: str) -> None:
    r"""Refuse a name that no tab can have.

    Raises
    ------
    ValueError
        If it is empty, longer than 31 characters or holds one of ``[]:*?/\``.
    """
    if (
        not 0 < len(title) <= LONGEST_TITLE
        or NOT_IN_TITLES.search(title)
        or title.startswith("'")
        or title.endswith("'")
        or title.casefold() == "history"  # which a spreadsheet program keeps for itself
    ):
        raise ValueError(f"not a name for a tab: {title!r}")


def free_title(title: str, taken: set[str]) -> str:
    """The title, numbered when a tab has it already; ``taken`` is in small letters.

    Examples
    --------
    >>> free_title("To buy", {"to buy", "to buy (2)"})
    'To buy (3)'
    """
    number, candidate = 1, title
    while candidate.casefold() in taken:
        number += 1
        ending = f" ({number})"
        candidate = title[: LONGEST_TITLE - len(ending)].rstrip() + ending
    return candidate
