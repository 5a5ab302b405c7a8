"""An estimate as a notebook shows it: a line, and the two tables that say most."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from html import escape

from costing.report.amount_words import packs, quantity
from costing.report.tables import Row, Table, Value


def notebook_html(headline: str, summary: Table, to_buy: Table, *, currency: str | None) -> str:
    """The headline, the main figures and the shopping list as HTML without style or script.

    Parameters
    ----------
    headline : str
        One line about the whole.
    summary, to_buy : Table
        The result tables of these names.
    currency : str, optional
        Code shown behind money.
    """
    money = f" {currency}" if currency else ""
    figures = [
        (row["figure"], row["value"], row["note"]) for row in summary.rows if row["value"] != ""
    ]
    bought = [
        (row["shop"], row["ingredient"], packs(row), _money(row["cost"], money), _needed(row))
        for row in to_buy.rows
    ]
    return (
        f"<p>{escape(headline)}</p>"
        + _table(("Figure", "Value", "Note"), figures)
        + _table(("Shop", "Ingredient", "Buy", "Cost", "Needed"), bought)
    )


def _money(value: Value, behind: str) -> str:
    return "not known" if value is None else f"{value}{behind}"


def _needed(row: Row) -> str:
    return quantity(row["needed"], str(row["unit"]))


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
