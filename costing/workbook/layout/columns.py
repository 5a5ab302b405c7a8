"""What a sheet, a column and a setting are, as the layout declares them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from costing.quantities.fields import FromRow
from costing.report.tables import snake_case


class CellKind(StrEnum):
    """What a cell may hold; each kind has one reader in ``costing.workbook.reading.kinds``.

    Examples
    --------
    >>> CellKind.TRIM_YIELD.words, CellKind.STOCK.words, CellKind.NUMBER.words
    ('percent', 'an amount', 'a number')
    """

    TEXT = "text"
    REMARK = "text as it is"
    NAME = "name"
    CHOICE = "choice"
    YES_NO = "yes or no"
    NUMBER = "number"
    CANDIDATES = "number, or part"
    EATERS = "names, or number"
    WHOLE = "whole number"
    TIMES = "number of times"
    PERCENT = "percent"
    PERCENT_BELOW_100 = "percent below 100"
    PERCENT_FROM_0 = "percent from 0"
    CHANCE = "chance in percent"
    TAX_RATE = "tax rate"
    TRIM_YIELD = "trim yield"
    COOKED_WEIGHT = "cooked weight"
    MONEY = "money"
    MONEY_BOTH_WAYS = "money, taken or given back"
    AMOUNT = "amount"
    STOCK = "amount there is"
    CONTENT = "amount above 0"
    UNIT = "unit"
    UNIT_OF_GOODS = "unit of goods"
    UNIT_OF_DISH = "unit of a dish"
    STEPS = "steps"
    ALLERGENS = "allergens"
    NAMES = "names in a list"
    DATE = "date"
    DATES = "date, or several"
    TIME = "clock time"
    DATE_TIME = "date and time"
    TEMPERATURE = "temperature"
    CURRENCY = "currency"
    TIME_ZONE = "time zone"
    PLACE = "place"
    RULES = "rule ids"
    SIZES = "sizes"

    @property
    def words(self) -> str:
        """What a cell of this kind may hold, in words for a message."""
        return IN_WORDS.get(self, f"a {self}")


PERCENTS = frozenset(
    {
        CellKind.PERCENT,
        CellKind.PERCENT_BELOW_100,
        CellKind.PERCENT_FROM_0,
        CellKind.CHANCE,
        CellKind.TAX_RATE,
        CellKind.TRIM_YIELD,
        CellKind.COOKED_WEIGHT,
    }
)
AMOUNTS = frozenset({CellKind.AMOUNT, CellKind.STOCK, CellKind.CONTENT})
UNITS = frozenset({CellKind.UNIT, CellKind.UNIT_OF_GOODS, CellKind.UNIT_OF_DISH})
TEXTS = frozenset({CellKind.TEXT, CellKind.REMARK, CellKind.PLACE})

IN_WORDS = {
    **dict.fromkeys(TEXTS, "text"),
    **dict.fromkeys(PERCENTS, "percent"),
    **dict.fromkeys(AMOUNTS, "an amount"),
    **dict.fromkeys(UNITS, "a unit"),
    CellKind.MONEY: "money",
    CellKind.MONEY_BOTH_WAYS: "money, below 0 where it was given back",
    CellKind.STEPS: "steps",
    CellKind.TIMES: "a whole number",
    CellKind.DATES: "a date",
    CellKind.CANDIDATES: "a number",
    CellKind.EATERS: "names or a number",
    CellKind.ALLERGENS: "allergens",
    CellKind.NAMES: "names",
}


class Without(StrEnum):
    """What is given up when a cell cannot be read."""

    CELL = "the cell counts as blank"
    RESULTS = "the row stays; results that depend on it are left out"
    ROW = "the row is left out"


YES_NO = ("yes", "no")
UNIT_WORDS = {
    CellKind.MONEY: "money",
    CellKind.MONEY_BOTH_WAYS: "money",
    CellKind.TIMES: "times",
    **dict.fromkeys(PERCENTS, "percent"),
}
"""What numbers of a kind count, where their column says nothing else."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of an input sheet, or a setting.

    Parameters
    ----------
    heading : str
        As it is written; a setting's name.
    meaning : str
        One or two sentences for whoever fills it in.
    unit : str
        What a number in it counts, in words; ``""`` for what has none or is in ``unit_in``.
    required : bool
        Whether the heading must be there and each row needs it; so it is where each row has a
        cell of its own without which it cannot be used.
    choices : tuple of str
        The closed list of words, for ``CellKind.CHOICE`` and ``CellKind.YES_NO``.
    default : str
        What holds when the cell is blank, in words; with ``carries_down`` that is the cell above.
    carries_down : bool
        Whether a blank cell means the value of the row above.
    listed : tuple of (str, str), optional
        Sheet and heading whose cells are offered as choices; any other name may be written.
    older : tuple of str
        Other words for it; while the heading is missing, one of them is suggested for it.
    akin : tuple of str
        Words that people write for it and for other things too; while the heading is missing, a
        note says that the column was not read.
    one_meaning : bool
        Whether its heading means the same on another sheet, where a note says that it is read here.
    width : int
        Of the column in a new workbook. [characters]
    as_part : bool
        Whether a new workbook formats the column as fractions, so that no date comes of 1/2.
    kept_as : str
        Field of the row's model that keeps what is read; blank: the heading in snake_case, of a
        unit ``amount``.
    unit_in : str
        Heading of the column that holds the unit of the number in it.
    unit_of : str
        Heading of the column that names what a unit measures.
    above_0 : str
        What its number must be above 0 of, in words; blank where 0 is no fault or the model says.
    word : str
        A word that may stand there instead of an amount.
    other : str
        Field that keeps what is said in another form: whether that word is there, a part
        instead of a number, a number instead of names, further dates.
    in_each_row : bool
        Whether a row in which it is blank or unreadable cannot be used.
    entry : str
        What such a row lacks, in words; blank: by the heading.
    without : Without
        What is given up when a cell cannot be read.
    careful : object
        What holds when a cell cannot be read, where blank would be the less careful.
    by_hand : bool
        Whether the sheet's own reader reads it, because other rows or cells say how.
    followed : bool
        Whether formulas of result sheets refer to its numbers.
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
    one_meaning: bool = False
    width: int = 12
    as_part: bool = False
    kept_as: str = ""
    unit_in: str = ""
    unit_of: str = "Ingredient"
    above_0: str = ""
    word: str = ""
    other: str = ""
    lower_end: str = ""
    in_each_row: bool = False
    entry: str = ""
    without: Without = Without.CELL
    careful: object = None
    by_hand: bool = False
    followed: bool = False

    def __post_init__(self) -> None:
        """What follows from the rest is not declared again."""
        if self.in_each_row:
            object.__setattr__(self, "without", Without.ROW)
            object.__setattr__(self, "required", self.required or not self.carries_down)
        above = f"the {self.heading.lower()} of the row above" if self.carries_down else ""
        yes_no = self.kind is CellKind.YES_NO
        unit = f"what is in {self.unit_in}" if self.unit_in else UNIT_WORDS.get(self.kind, "")
        for name, value in (
            ("unit", unit),
            ("choices", YES_NO if yes_no else ()),
            ("example", "yes" if yes_no else ""),
            ("default", "no" if yes_no else above),
            ("kept_as", "amount" if self.kind in UNITS else ""),
        ):
            if not getattr(self, name):
                object.__setattr__(self, name, value)

    @property
    def field(self) -> str:
        """Field of the row's model that keeps what is read.

        Examples
        --------
        >>> Column("Trim yield %", "What is left.").field
        'trim_yield'
        """
        return self.kept_as or snake_case(self.heading)

    @property
    def as_text(self) -> bool:
        """Whether a new workbook formats it as text, so that no date comes of 1/2 or 1-3."""
        return self.kind in (CellKind.AMOUNT, CellKind.STOCK, CellKind.STEPS)

    @property
    def number_fields(self) -> tuple[str, ...]:
        """Fields that keep the number of a cell: its other form is one too, or a word or names."""
        return (self.field, self.other) if self.kind is CellKind.CANDIDATES else (self.field,)


@dataclass(frozen=True, slots=True)
class Sheet:
    """An input sheet.

    Parameters
    ----------
    table : str
        Name of the Excel table in it; a table of this name is found on any sheet.
    purpose : str
        One sentence: what a row is.
    required : bool
        Whether nothing can be worked out without it.
    first : bool
        Whether a new workbook has it without being asked for all sheets.
    older : tuple of str
        Other words for it; while the sheet is missing, one of them is suggested for it.
    kept_as : str
        Field of the shoot that keeps its rows.
    akin : tuple of str
        Titles that people give to such a sheet and to others; what is on it decides whether a
        note says that it was not read.
    named_from : tuple of str
        Headings whose cells say what a row is about, the best first; blank: ``known_by`` alone.
    row : str
        What a row is called where it is left out.
    remarks : frozenset of str
        A row in which nothing else is filled in is no row yet.
    in_totals : bool
        Whether totals leave something out without one of its rows.
    known_by : str
        Heading whose entries, if they are known names, tell what a sheet of another title is.
    told_by : tuple of str
        Headings of which one must be there, at least nearly, for a sheet of this everyday title;
        without them it is the user's own. Blank where the title alone decides.
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
    model: type[FromRow] | None = None
    named_from: tuple[str, ...] = ()
    row: str = ""
    remarks: frozenset[str] = frozenset()
    in_totals: bool = True
    known_by: str = "Ingredient"
    told_by: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """What a sheet is known by says what its rows are about, where nothing else does."""
        if not self.named_from:
            object.__setattr__(self, "named_from", (self.known_by,))

    @property
    def headings(self) -> tuple[str, ...]:
        """Headings in the order of a new workbook."""
        return tuple(column.heading for column in self.columns)

    @property
    def required_headings(self) -> tuple[str, ...]:
        """Headings that must be there."""
        return tuple(column.heading for column in self.columns if column.required)

    def column(self, heading: str) -> Column:
        """The column of that heading."""
        for column in self.columns:
            if column.heading == heading:
                return column
        raise KeyError(heading)


INGREDIENT = Column(
    "Ingredient",
    "As in the recipes.",
    CellKind.NAME,
    listed=("Recipes", "Ingredient"),
    width=22,
    in_each_row=True,
)
SUPPLIED = Column(
    "Supplied",
    "yes: given free, never in cost.",
    CellKind.YES_NO,
    width=10,
    akin=("Free", "Sponsored", "Donated"),
    without=Without.ROW,
)
UNIT = Column(
    "Unit",
    "What the amount counts.",
    CellKind.UNIT_OF_GOODS,
    example="g",
    default="each",
    width=9,
    without=Without.ROW,
)
NOTE = Column("Note", "Whatever you want to remember about this row.", CellKind.REMARK, width=40)
"""Columns of several sheets, which say with ``replace`` what is their own."""
