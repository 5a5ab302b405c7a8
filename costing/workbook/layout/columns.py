"""What a sheet, a column and a setting are, as the layout declares them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class CellKind(StrEnum):
    """What a cell may hold."""

    TEXT = "text"
    NAME = "name"
    CHOICE = "choice"
    YES_NO = "yes or no"
    NUMBER = "number"
    WHOLE = "whole number"
    PERCENT = "percent"
    MONEY = "money"
    AMOUNT = "amount"
    UNIT = "unit"
    STEPS = "steps"
    DATE = "date"
    TIME = "clock time"
    DATE_TIME = "date and time"
    TEMPERATURE = "temperature"
    CURRENCY = "currency"
    TIME_ZONE = "time zone"
    RULES = "rule ids"
    SIZES = "sizes"


YES_NO = ("yes", "no")


@dataclass(frozen=True, slots=True)
class Column:
    """A column of an input sheet, or a setting.

    Parameters
    ----------
    heading : str
        As it is written; a setting's name.
    meaning : str
        One or two sentences for the person who fills it in.
    kind : CellKind
        What a cell may hold.
    unit : str
        What a number in it counts, in words; ``""`` for what has none.
    required : bool
        Whether the heading must be there and each row needs it.
    choices : tuple of str
        The closed list of words, for ``CellKind.CHOICE`` and ``CellKind.YES_NO``.
    example : str
        What a cell may look like.
    default : str
        What holds when the cell is blank, in words.
    carries_down : bool
        Whether a blank cell means the value of the row above.
    listed : tuple of (str, str), optional
        Sheet and heading whose cells are offered as choices; any other name may be written.
    older : tuple of str
        Other words for it; while the heading is missing, one of them is suggested for it.
    akin : tuple of str
        Words that people write for it and for other things too; while the heading is missing, a
        note says that the column was not read.
    width : int
        Of the column in a new workbook. [characters]
    as_text : bool
        Whether a new workbook formats the column as text, so that no date comes of 1/2 or 1-3.
    as_part : bool
        Whether a new workbook formats the column as fractions, for the same reason.
    kept_as : str
        Field of the row's model that keeps what is read; blank: the heading in snake_case.
    """

    heading: str
    meaning: str
    kind: CellKind = CellKind.TEXT
    unit: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    example: str = ""
    default: str = ""
    carries_down: bool = False
    listed: tuple[str, str] | None = None
    older: tuple[str, ...] = ()
    akin: tuple[str, ...] = ()
    width: int = 12
    as_text: bool = False
    as_part: bool = False
    kept_as: str = ""

    @property
    def field(self) -> str:
        """Field of the row's model that keeps what is read.

        Examples
        --------
        >>> Column("Trim yield %", "What is left.").field
        'trim_yield'
        """
        return self.kept_as or "_".join(self.heading.replace("%", "").lower().split())


@dataclass(frozen=True, slots=True)
class Sheet:
    """An input sheet.

    Parameters
    ----------
    title : str
        Name of the sheet.
    table : str
        Name of the Excel table in it; a table of this name is found on any sheet.
    purpose : str
        One sentence: what a row is.
    columns : tuple of Column
        In the order of a new workbook.
    required : bool
        Whether nothing can be worked out without it.
    first : bool
        Whether a new workbook has it without being asked for all sheets.
    older : tuple of str
        Other words for it; while the sheet is missing, one of them is suggested for it.
    kept_as : str
        Field of the shoot that keeps its rows.
    akin : tuple of str
        Titles that people give to such a sheet and to others; what stands on it decides whether a
        note says that it was not read.
    """

    title: str
    table: str
    purpose: str
    columns: tuple[Column, ...]
    required: bool = False
    first: bool = False
    older: tuple[str, ...] = ()
    kept_as: str = ""
    akin: tuple[str, ...] = ()

    @property
    def headings(self) -> tuple[str, ...]:
        """Headings in the order of a new workbook."""
        return tuple(column.heading for column in self.columns)

    @property
    def required_headings(self) -> tuple[str, ...]:
        """Headings that must be there."""
        return tuple(column.heading for column in self.columns if column.required)

    def column(self, heading: str) -> Column:
        """The column of that heading.

        Raises
        ------
        KeyError
            If there is none.
        """
        for column in self.columns:
            if column.heading == heading:
                return column
        raise KeyError(heading)


NOTE = Column("Note", "Whatever you want to remember about this row.", width=40)
