"""Rows of Findings."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Finding
from costing.report.tables import FINDINGS, Table, Value


def findings_table(findings: Sequence[Finding]) -> Table:
    """One row for each finding, in the order given."""
    return Table.of(FINDINGS, [_row(finding) for finding in findings])


def _row(finding: Finding) -> list[Value]:
    place = finding.place
    return [
        str(finding.grade),
        finding.code,
        place.sheet,
        place.cell,
        place.name or (str(place.row) if place.row else ""),
        place.heading,
        finding.found,
        finding.expected,
        finding.remedy,
    ]
