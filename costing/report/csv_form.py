"""A result table as CSV that any spreadsheet program opens without running anything in it."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from fractions import Fraction

from costing.quantities import terminating
from costing.report.json_form import plain
from costing.report.tables import Table

DIGITS = 6
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(table: Table) -> str:
    """The table with its headings, by RFC 4180.

    Numbers have at most six digits after the point; text that begins like a formula is set behind
    an apostrophe.

    Examples
    --------
    >>> from costing.report.tables import Layout, ResultColumn
    >>> layout = Layout("Trial", "", (ResultColumn("Name"), ResultColumn("Amount")))
    >>> csv_text(Table.of(layout, [layout.row(name="=leek", amount=Fraction(20, 3))])).splitlines()
    ['Name,Amount', "'=leek,6.666667"]
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([column.heading for column in table.layout.columns])
    for row in table.rows:
        writer.writerow([_field(plain(value), value) for value in row.values()])
    return out.getvalue()


def _field(text: object, value: object) -> str:
    if text is None:
        return ""
    if isinstance(value, Fraction) and terminating(value) is None:
        return format(round(Decimal(value.numerator) / value.denominator, DIGITS), "f")
    if isinstance(value, str) and value.startswith(STARTS_A_FORMULA):
        return "'" + value
    return str(text)
