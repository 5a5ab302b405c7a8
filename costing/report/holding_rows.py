"""Rows of Holding times."""

from __future__ import annotations

from collections.abc import Sequence

from costing.holding.statuses import Verdict
from costing.report.tables import HOLDING_TIMES, Table, Value


def holding_times(verdicts: Sequence[Verdict]) -> Table:
    """One row for each container and rule, in the order of the verdicts."""
    return Table.of(HOLDING_TIMES, [_row(verdict) for verdict in verdicts])


def _row(verdict: Verdict) -> list[Value]:
    return [
        verdict.container,
        verdict.rule,
        "yes" if verdict.strictest else "",
        str(verdict.status),
        verdict.out_for,
        verdict.discard_at,
        verdict.return_before,
        verdict.reason,
        verdict.source,
        verdict.verified,
    ]
