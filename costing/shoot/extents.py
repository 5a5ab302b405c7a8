"""Which cells of the input sheets were read, so that a later edit of them can be noticed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Filled:
    """A column of an input sheet, as the spreadsheet program holds it.

    Parameters
    ----------
    heading : str
        Which of our columns.
    letter : str
        Of the column.
    title : str
        The heading as it stands there.
    cells : mapping of int to float or str
        What is filled in, by row: a number, also that behind a date, or a text.
    clear : bool
        Whether these are all cells that any program finds filled in, and with just that: no
        error, no truth value, nothing merged, no blanks alone, no formula without a result.
    dated : bool
        Whether some of the numbers stand behind dates or times, known to the millisecond.
    """

    heading: str
    letter: str
    title: str
    cells: Mapping[int, float | str] = field(repr=False)
    clear: bool = True
    dated: bool = False

    @property
    def numbers(self) -> dict[int, float]:
        """The cells that hold numbers."""
        return {row: held for row, held in self.cells.items() if not isinstance(held, str)}

    @property
    def texts(self) -> dict[int, str]:
        """The cells that hold texts."""
        return {row: held for row, held in self.cells.items() if isinstance(held, str)}


@dataclass(frozen=True, slots=True)
class Extent:
    """Where the rows of an input sheet stand, and what is in them.

    Parameters
    ----------
    kind : str
        Our title of the sheet.
    sheet : str
        Its name in the workbook.
    header : int
        Row of the headings.
    end : int
        Last row in which something is filled in; the row of the headings when there is none.
    room : int
        Last row that was looked at; those below ``end`` are blank.
    named_by : str
        Letter of the column that every row fills, or takes from the row above.
    columns : tuple of Filled
        By letter from the left; notes and columns of the person's own are not read.
    """

    kind: str
    sheet: str
    header: int
    end: int
    room: int
    named_by: str
    columns: tuple[Filled, ...] = ()
