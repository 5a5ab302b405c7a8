"""Rows of Labels: one for each container, to be printed and cut out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from costing.holding.statuses import Verdict
from costing.report.tables import LABELS, Table

CAUTION = (
    "A reminder by published rules and by what was logged. It does not show that the food is safe. "
    "Follow the food code of the place; when in doubt, throw it out."
)


def labels_table(verdicts: Sequence[Verdict], labels: Mapping[str, Sequence[str]]) -> Table:
    """One row for each container, with the times of its strictest rule.

    Parameters
    ----------
    verdicts : sequence of Verdict
        On all containers and rules.
    labels : mapping of str to sequence of str
        Lines of the label by container, its name first.
    """
    return Table.of(
        LABELS,
        [
            [
                verdict.container,
                "\n".join(labels.get(verdict.container, (verdict.container,))[1:]),
                verdict.return_before,
                verdict.discard_at,
                verdict.rule,
                CAUTION,
            ]
            for verdict in verdicts
            if verdict.strictest
        ],
    )
