"""Results as pandas frames: the only door of pandas."""

from __future__ import annotations

import pandas as pd

from costing.report.tables import Table


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
