"""Results as pandas frames: the only door of pandas."""

from __future__ import annotations

from decimal import Decimal

import pandas as pd

from costing.report.tables import Table, Value, ValueKind

NUMBERS = frozenset({ValueKind.COUNT, ValueKind.QUANTITY, ValueKind.PERCENT, ValueKind.MONEY})
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
    if any(column.kind is ValueKind.MONEY for column in table.layout.columns):
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
