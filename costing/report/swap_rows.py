"""Rows of Swaps: the stages to prepare."""

from __future__ import annotations

from collections.abc import Sequence

from costing.prep.stages import Stage
from costing.report.tables import SWAPS, Table


def swaps(stages: Sequence[Stage]) -> Table:
    """One row for each stage, in the order in which they must be ready.

    Parameters
    ----------
    stages : sequence of Stage
        Of the shoot, in order.
    """
    return Table.of(
        SWAPS,
        [
            [
                stage.shot.episode,
                stage.dish,
                str(stage.shot.purpose),
                stage.to_step,
                stage.shot.batch,
                stage.times,
                stage.ready.at,
            ]
            for stage in stages
        ],
    )
