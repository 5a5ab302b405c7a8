"""The result tables: which columns they have and what kind of value stands in each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache

Value = str | int | Fraction | Decimal | date | datetime | timedelta | None
Row = Mapping[str, Value]


class Kind(StrEnum):
    """What kind of value a column holds, which decides how it is shown."""

    TEXT = "text"
    LONG_TEXT = "long text"
    TICK = "tick"
    COUNT = "count"
    QUANTITY = "quantity"
    PERCENT = "percent"
    MONEY = "money"
    DATE = "date"
    INSTANT = "instant"
    DURATION = "duration"
    MIXED = "mixed"


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a result table.

    Parameters
    ----------
    heading : str
        As the contract of the workbook spells it.
    kind : Kind
        Of its values.
    width : float
        On the sheet. [characters]
    """

    heading: str
    kind: Kind = Kind.TEXT
    width: float = 12

    @property
    def key(self) -> str:
        """The heading in snake_case without its percent sign.

        Examples
        --------
        >>> Column("Trim yield %").key
        'trim_yield'
        """
        return snake_case(self.heading)


@cache
def snake_case(heading: str) -> str:
    """A heading as a key: small letters and low lines, percent sign dropped."""
    return "_".join(heading.replace("%", " ").casefold().split())


@dataclass(frozen=True, slots=True)
class Layout:
    """A result table without its rows.

    Parameters
    ----------
    title : str
        Of the sheet.
    about : str
        One sentence that tells what a row is.
    columns : tuple of Column
        From left to right.
    """

    title: str
    about: str
    columns: tuple[Column, ...]

    @property
    def key(self) -> str:
        """The title in snake_case."""
        return snake_case(self.title)


@dataclass(frozen=True, slots=True)
class Table:
    """A result table with its rows; each row has a value, perhaps ``None``, for every key."""

    layout: Layout
    rows: tuple[Row, ...]

    @classmethod
    def of(cls, layout: Layout, rows: Iterable[Sequence[Value]]) -> Table:
        """Build a table from rows in the order of the columns."""
        keys = [column.key for column in layout.columns]
        return cls(layout, tuple(dict(zip(keys, row, strict=True)) for row in rows))


SUMMARY = Layout(
    "Summary",
    "The main figures of the shoot.",
    (
        Column("Figure", Kind.TEXT, 34),
        Column("Value", Kind.MIXED, 16),
        Column("Note", Kind.LONG_TEXT, 70),
    ),
)
TO_BUY = Layout(
    "To buy",
    "One row for each pack to buy, by shop and section.",
    (
        Column("Got it", Kind.TICK, 7),
        Column("Shop", Kind.TEXT, 12),
        Column("Section", Kind.TEXT, 10),
        Column("Ingredient", Kind.TEXT, 14),
        Column("Packs", Kind.COUNT, 8),
        Column("Pack amount", Kind.QUANTITY, 10),
        Column("Unit", Kind.TEXT, 8),
        Column("Price each", Kind.MONEY, 11),
        Column("Cost", Kind.MONEY, 11),
        Column("Needed", Kind.QUANTITY, 11),
        Column("From on hand", Kind.QUANTITY, 10),
        Column("Bought", Kind.QUANTITY, 10),
        Column("Left over", Kind.QUANTITY, 10),
        Column("Buy by", Kind.DATE, 12),
        Column("Allergens", Kind.LONG_TEXT, 18),
        Column("Substitute", Kind.LONG_TEXT, 16),
        Column("Note", Kind.LONG_TEXT, 28),
    ),
)
NEEDS = Layout(
    "Needs",
    "One row for each ingredient, from ready to use to bought, used and left.",
    (
        Column("Ingredient", Kind.TEXT, 14),
        Column("Trimmed need", Kind.QUANTITY, 11),
        Column("Trimmed unit", Kind.TEXT, 9),
        Column("Unit", Kind.TEXT, 8),
        Column("Trim yield %", Kind.PERCENT, 8),
        Column("As bought need", Kind.QUANTITY, 11),
        Column("Spoilage allowance", Kind.QUANTITY, 11),
        Column("On hand used", Kind.QUANTITY, 10),
        Column("Net need", Kind.QUANTITY, 10),
        Column("Bought", Kind.QUANTITY, 10),
        Column("Left over", Kind.QUANTITY, 10),
        Column("Left keeps", Kind.QUANTITY, 10),
        Column("Used value", Kind.MONEY, 11),
        Column("Bought value", Kind.MONEY, 11),
        Column("Left value", Kind.MONEY, 11),
    ),
)
FOOD_COST = Layout(
    "Food cost",
    "One row for each episode, dish and purpose; an episode with a budget has a row of its own.",
    (
        Column("Episode", Kind.TEXT, 28),
        Column("Dish", Kind.TEXT, 34),
        Column("Purpose", Kind.TEXT, 16),
        Column("Used value", Kind.MONEY, 12),
        Column("Share of bought", Kind.MONEY, 12),
        Column("Share of visits", Kind.MONEY, 12),
        Column("Budget", Kind.MONEY, 12),
        Column("Over", Kind.MONEY, 12),
    ),
)
HOLDING_TIMES = Layout(
    "Holding times",
    "One row for each container and rule, the strictest rule of a container first.",
    (
        Column("Container", Kind.TEXT, 20),
        Column("Rule", Kind.TEXT, 15),
        Column("Strictest", Kind.TEXT, 9),
        Column("Status", Kind.TEXT, 20),
        Column("Out for", Kind.DURATION, 9),
        Column("Discard at", Kind.INSTANT, 16),
        Column("Return before", Kind.INSTANT, 16),
        Column("Reason", Kind.LONG_TEXT, 64),
        Column("Source", Kind.LONG_TEXT, 36),
        Column("Verified", Kind.LONG_TEXT, 24),
    ),
)
LABELS = Layout(
    "Labels",
    "One row for each container, to be printed and cut out.",
    (
        Column("Container", Kind.TEXT, 20),
        Column("Label", Kind.LONG_TEXT, 56),
        Column("Return before", Kind.INSTANT, 16),
        Column("Discard at", Kind.INSTANT, 16),
        Column("Rule", Kind.TEXT, 14),
        Column("Caution", Kind.LONG_TEXT, 44),
    ),
)
PREP = Layout(
    "Prep",
    "One row for each container to prepare: what is in one bowl, the smallest bowl [ml] that holds "
    "it, and how many such bowls for all the times its step is performed.",
    (
        Column("Episode", Kind.TEXT, 14),
        Column("Dish", Kind.TEXT, 16),
        Column("Step", Kind.COUNT, 7),
        Column("Ingredient", Kind.TEXT, 14),
        Column("Cut", Kind.TEXT, 10),
        Column("Amount", Kind.QUANTITY, 10),
        Column("Unit", Kind.TEXT, 8),
        Column("Bowl size", Kind.QUANTITY, 8),
        Column("Bowls", Kind.COUNT, 8),
        Column("Shown", Kind.TEXT, 11),
        Column("Ready by", Kind.INSTANT, 16),
        Column("Note", Kind.LONG_TEXT, 44),
    ),
)
SWAPS = Layout(
    "Swaps",
    "One row for each stage to prepare: to which step the dish is taken, how often, by when.",
    (
        Column("Episode", Kind.TEXT, 20),
        Column("Dish", Kind.TEXT, 26),
        Column("Purpose", Kind.TEXT, 12),
        Column("To step", Kind.COUNT, 8),
        Column("Batch", Kind.QUANTITY, 8),
        Column("Times", Kind.COUNT, 8),
        Column("Ready by", Kind.INSTANT, 16),
    ),
)
ASSUMPTIONS = Layout(
    "Assumptions",
    "One row for each value that nobody typed.",
    (
        Column("Where", Kind.TEXT, 24),
        Column("About", Kind.LONG_TEXT, 34),
        Column("Value used", Kind.TEXT, 24),
        Column("Source", Kind.LONG_TEXT, 36),
        Column("How to override", Kind.LONG_TEXT, 44),
    ),
)
FINDINGS = Layout(
    "Findings",
    "One row for each problem, with its place and what to do.",
    (
        Column("Grade", Kind.TEXT, 9),
        Column("Code", Kind.TEXT, 22),
        Column("Sheet", Kind.TEXT, 13),
        Column("Cell", Kind.TEXT, 7),
        Column("Row", Kind.TEXT, 18),
        Column("Column", Kind.TEXT, 16),
        Column("Found", Kind.LONG_TEXT, 36),
        Column("Expected", Kind.LONG_TEXT, 36),
        Column("What to do", Kind.LONG_TEXT, 54),
    ),
)
RESULT_LAYOUTS = (
    SUMMARY,
    TO_BUY,
    NEEDS,
    FOOD_COST,
    HOLDING_TIMES,
    LABELS,
    PREP,
    SWAPS,
    ASSUMPTIONS,
    FINDINGS,
)
