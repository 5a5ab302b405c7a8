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


class ValueKind(StrEnum):
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
class ResultColumn:
    """A column of a result table.

    Parameters
    ----------
    heading : str
        As the contract of the workbook spells it.
    kind : ValueKind
        Of its values.
    width : float
        On the sheet. [characters]
    """

    heading: str
    kind: ValueKind = ValueKind.TEXT
    width: float = 12

    @property
    def key(self) -> str:
        """The heading in snake_case without its percent sign.

        Examples
        --------
        >>> ResultColumn("Trim yield %").key
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
    columns : tuple of ResultColumn
        From left to right.
    """

    title: str
    about: str
    columns: tuple[ResultColumn, ...]

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
        ResultColumn("Figure", ValueKind.TEXT, 34),
        ResultColumn("Value", ValueKind.MIXED, 16),
        ResultColumn("Note", ValueKind.LONG_TEXT, 70),
    ),
)
TO_BUY = Layout(
    "To buy",
    "One row for each pack to buy, by shop and section.",
    (
        ResultColumn("Got it", ValueKind.TICK, 7),
        ResultColumn("Shop", ValueKind.TEXT, 12),
        ResultColumn("Section", ValueKind.TEXT, 10),
        ResultColumn("Ingredient", ValueKind.TEXT, 14),
        ResultColumn("Packs", ValueKind.COUNT, 8),
        ResultColumn("Pack amount", ValueKind.QUANTITY, 10),
        ResultColumn("Unit", ValueKind.TEXT, 8),
        ResultColumn("Price each", ValueKind.MONEY, 11),
        ResultColumn("Cost", ValueKind.MONEY, 11),
        ResultColumn("Needed", ValueKind.QUANTITY, 11),
        ResultColumn("From on hand", ValueKind.QUANTITY, 10),
        ResultColumn("Bought", ValueKind.QUANTITY, 10),
        ResultColumn("Left over", ValueKind.QUANTITY, 10),
        ResultColumn("Buy by", ValueKind.DATE, 12),
        ResultColumn("Allergens", ValueKind.LONG_TEXT, 18),
        ResultColumn("Substitute", ValueKind.LONG_TEXT, 16),
        ResultColumn("Note", ValueKind.LONG_TEXT, 28),
    ),
)
NEEDS = Layout(
    "Needs",
    "One row for each ingredient, from ready to use to bought, used and left.",
    (
        ResultColumn("Ingredient", ValueKind.TEXT, 14),
        ResultColumn("Trimmed need", ValueKind.QUANTITY, 11),
        ResultColumn("Trimmed unit", ValueKind.TEXT, 9),
        ResultColumn("Unit", ValueKind.TEXT, 8),
        ResultColumn("Trim yield %", ValueKind.PERCENT, 8),
        ResultColumn("As bought need", ValueKind.QUANTITY, 11),
        ResultColumn("Spoilage allowance", ValueKind.QUANTITY, 11),
        ResultColumn("On hand used", ValueKind.QUANTITY, 10),
        ResultColumn("Net need", ValueKind.QUANTITY, 10),
        ResultColumn("Bought", ValueKind.QUANTITY, 10),
        ResultColumn("Left over", ValueKind.QUANTITY, 10),
        ResultColumn("Left keeps", ValueKind.QUANTITY, 10),
        ResultColumn("Used value", ValueKind.MONEY, 11),
        ResultColumn("Bought value", ValueKind.MONEY, 11),
        ResultColumn("Left value", ValueKind.MONEY, 11),
    ),
)
FOOD_COST = Layout(
    "Food cost",
    "One row for each episode, dish and purpose; an episode with a budget has a row of its own.",
    (
        ResultColumn("Episode", ValueKind.TEXT, 28),
        ResultColumn("Dish", ValueKind.TEXT, 34),
        ResultColumn("Purpose", ValueKind.TEXT, 16),
        ResultColumn("Used value", ValueKind.MONEY, 12),
        ResultColumn("Share of bought", ValueKind.MONEY, 12),
        ResultColumn("Share of visits", ValueKind.MONEY, 12),
        ResultColumn("Budget", ValueKind.MONEY, 12),
        ResultColumn("Over", ValueKind.MONEY, 12),
    ),
)
HOLDING_TIMES = Layout(
    "Holding times",
    "One row for each container and rule, the strictest rule of a container first.",
    (
        ResultColumn("Container", ValueKind.TEXT, 20),
        ResultColumn("Rule", ValueKind.TEXT, 15),
        ResultColumn("Strictest", ValueKind.TEXT, 9),
        ResultColumn("Status", ValueKind.TEXT, 20),
        ResultColumn("Out for", ValueKind.DURATION, 9),
        ResultColumn("Discard at", ValueKind.INSTANT, 16),
        ResultColumn("Return before", ValueKind.INSTANT, 16),
        ResultColumn("Reason", ValueKind.LONG_TEXT, 64),
        ResultColumn("Source", ValueKind.LONG_TEXT, 36),
        ResultColumn("Verified", ValueKind.LONG_TEXT, 24),
    ),
)
LABELS = Layout(
    "Labels",
    "One row for each container, to be printed and cut out.",
    (
        ResultColumn("Container", ValueKind.TEXT, 20),
        ResultColumn("Label", ValueKind.LONG_TEXT, 56),
        ResultColumn("Return before", ValueKind.INSTANT, 16),
        ResultColumn("Discard at", ValueKind.INSTANT, 16),
        ResultColumn("Rule", ValueKind.TEXT, 14),
        ResultColumn("Caution", ValueKind.LONG_TEXT, 44),
    ),
)
PREP = Layout(
    "Prep",
    "One row for each container to prepare: what is in one bowl, the smallest bowl [ml] that holds "
    "it, and how many such bowls for all the times its step is performed.",
    (
        ResultColumn("Episode", ValueKind.TEXT, 14),
        ResultColumn("Dish", ValueKind.TEXT, 16),
        ResultColumn("Step", ValueKind.COUNT, 7),
        ResultColumn("Ingredient", ValueKind.TEXT, 14),
        ResultColumn("Cut", ValueKind.TEXT, 10),
        ResultColumn("Amount", ValueKind.QUANTITY, 10),
        ResultColumn("Unit", ValueKind.TEXT, 8),
        ResultColumn("Bowl size", ValueKind.QUANTITY, 8),
        ResultColumn("Bowls", ValueKind.COUNT, 8),
        ResultColumn("Shown", ValueKind.TEXT, 11),
        ResultColumn("Ready by", ValueKind.INSTANT, 16),
        ResultColumn("Note", ValueKind.LONG_TEXT, 44),
    ),
)
SWAPS = Layout(
    "Swaps",
    "One row for each stage to prepare: to which step the dish is taken, how often, by when.",
    (
        ResultColumn("Episode", ValueKind.TEXT, 20),
        ResultColumn("Dish", ValueKind.TEXT, 26),
        ResultColumn("Purpose", ValueKind.TEXT, 12),
        ResultColumn("To step", ValueKind.COUNT, 8),
        ResultColumn("Batch", ValueKind.QUANTITY, 8),
        ResultColumn("Times", ValueKind.COUNT, 8),
        ResultColumn("Ready by", ValueKind.INSTANT, 16),
    ),
)
ASSUMPTIONS = Layout(
    "Assumptions",
    "One row for each value that nobody typed.",
    (
        ResultColumn("Where", ValueKind.TEXT, 24),
        ResultColumn("About", ValueKind.LONG_TEXT, 34),
        ResultColumn("Value used", ValueKind.TEXT, 24),
        ResultColumn("Source", ValueKind.LONG_TEXT, 36),
        ResultColumn("How to override", ValueKind.LONG_TEXT, 44),
    ),
)
FINDINGS = Layout(
    "Findings",
    "One row for each problem, with its place and what to do.",
    (
        ResultColumn("Grade", ValueKind.TEXT, 9),
        ResultColumn("Code", ValueKind.TEXT, 22),
        ResultColumn("Sheet", ValueKind.TEXT, 13),
        ResultColumn("Cell", ValueKind.TEXT, 7),
        ResultColumn("Row", ValueKind.TEXT, 18),
        ResultColumn("Column", ValueKind.TEXT, 16),
        ResultColumn("Found", ValueKind.LONG_TEXT, 36),
        ResultColumn("Expected", ValueKind.LONG_TEXT, 36),
        ResultColumn("What to do", ValueKind.LONG_TEXT, 54),
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
