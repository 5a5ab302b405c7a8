"""Results as pandas frames, and as a notebook shows them: the only door of pandas."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from html import escape

import pandas as pd

from costing.report.shop_words import quantity
from costing.report.shopping_list import ListLine
from costing.report.tables import Table, Value, ValueKind

IN_MONEY = frozenset({ValueKind.MONEY, ValueKind.PRICE})
NUMBERS = IN_MONEY | {ValueKind.COUNT, ValueKind.QUANTITY, ValueKind.PERCENT}
DATES = frozenset({ValueKind.DATE, ValueKind.INSTANT})


def frame(table: Table) -> pd.DataFrame:
    """A result table as a frame.

    Returns
    -------
    pandas.DataFrame
        One column for each heading in snake_case; exact numbers stay ``Fraction``, ``Decimal``
        and ``int`` objects, what is blank is ``None``.
    """
    keys = [column.key for column in table.layout.columns]
    return pd.DataFrame([dict(row) for row in table.rows], columns=keys, dtype=object)


def plotting_frame(table: Table, *, currency: str | None) -> pd.DataFrame:
    """A result table as a frame of the types that plots and statistics take.

    Returns
    -------
    pandas.DataFrame
        The columns of :func:`frame`: numbers as floats, dates and instants as datetimes, times
        as timedeltas, what is unknown as NaN or NaT. Where there is money or a mixed value, a
        column ``unit`` or ``currency`` behind says what it counts in.
    """
    exact = frame(table)
    typed = exact.copy()
    for column in table.layout.columns:
        values = exact[column.key]
        if column.kind in NUMBERS:
            typed[column.key] = pd.to_numeric(values.map(_number), errors="coerce").astype(float)
        elif column.kind in DATES:
            typed[column.key] = pd.to_datetime(values)
        elif column.kind is ValueKind.DURATION:
            typed[column.key] = pd.to_timedelta(values)
        elif column.kind is ValueKind.MIXED:
            typed[column.key] = values.map(_number)
            labels = exact[table.layout.columns[0].key]
            typed["unit"] = [
                _unit(str(label), value, currency)
                for label, value in zip(labels, values, strict=True)
            ]
    if any(column.kind in IN_MONEY for column in table.layout.columns):
        typed["currency"] = currency
    return typed


def _number(value: Value) -> object:
    """A float where there is a number; a text stays one."""
    return value if value is None or isinstance(value, str) else float(value)  # type: ignore[arg-type]


def _unit(label: str, value: Value, currency: str | None) -> str | None:
    """What a figure of mixed kinds counts in."""
    if isinstance(value, Decimal):
        return currency
    return "%" if "%" in label and not isinstance(value, str) else None


def notebook_html(
    headline: str, summary: Table, lines: Sequence[ListLine], *, currency: str | None
) -> str:
    """The headline, the main figures and the shopping list as HTML without style or script.

    Parameters
    ----------
    headline : str
        One line about the whole.
    summary : Table
        The main figures.
    lines : sequence of ListLine
        What to buy, as somebody in a shop reads it.
    currency : str, optional
        Code shown behind money.
    """
    money = f" {currency}" if currency else ""
    figures = [
        (row["figure"], row["value"], row["note"]) for row in summary.rows if row["value"] != ""
    ]
    bought = [
        (line.shop, line.name, line.buy or line.lacking, _money(line.cost, money), line.needed)
        for line in lines
    ]
    return (
        f"<p>{escape(headline)}</p>"
        + _table(("Figure", "Value", "Note"), figures)
        + _table(("Shop", "Ingredient", "Buy", "Cost", "Needed"), bought)
    )


def _money(value: Value, behind: str) -> str:
    return "not known" if value is None else f"{value}{behind}"


def _table(headings: Sequence[str], rows: Sequence[Sequence[Value]]) -> str:
    """A table; nothing where there is no row."""
    if not rows:
        return ""
    head = "".join(f"<th>{escape(heading)}</th>" for heading in headings)
    body = "".join(
        "<tr>" + "".join(f"<td>{escape(_text(value))}</td>" for value in row) + "</tr>"
        for row in rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _text(value: Value) -> str:
    if isinstance(value, Fraction):
        return quantity(value, "").strip()
    return "" if value is None else str(value)
