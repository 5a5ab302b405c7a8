"""Results as JSON: exact numbers as strings, instants as ISO 8601 with their offset."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

from costing.quantities import decimal_or_fraction
from costing.report.tables import Table, Value

Plain = str | int | bool | None


def plain(value: Value) -> Plain:
    """One value in the form JSON carries it.

    Examples
    --------
    >>> plain(Fraction(20, 3)), plain(Decimal("38.60")), plain(timedelta(hours=2, minutes=15))
    ('20/3', '38.60', 'PT2H15M')
    """
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, Fraction):
        return decimal_or_fraction(value)
    if isinstance(value, timedelta):
        return duration(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    return value


def duration(value: timedelta) -> str:
    """A span of time by ISO 8601, in hours, minutes and seconds.

    Examples
    --------
    >>> duration(timedelta(days=1, hours=1)), duration(timedelta(0))
    ('PT25H', 'PT0M')
    """
    minutes, seconds = divmod(int(value.total_seconds()), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [f"{n}{sign}" for n, sign in ((hours, "H"), (minutes, "M"), (seconds, "S")) if n]
    return "PT" + ("".join(parts) or "0M")


def rows(table: Table) -> list[dict[str, Plain]]:
    """A table's rows with the headings in snake_case as keys."""
    return [{key: plain(value) for key, value in row.items()} for row in table.rows]
