"""Result tables as sheets: a line that says whose they are, what was found, then the table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from costing.estimate import Estimate
from costing.findings import Finding, quoted_sheet
from costing.quantities import money_text
from costing.report.tables import Column, Kind, Row, Table, Value
from costing.workbook.package.cells import CellStyle, ResultCell, ResultSheet
from costing.workbook.results.look import (
    ABOUT,
    CAUTION,
    FIGURE,
    GRADE_SHADES,
    RULE,
    STATUS_SHADES,
    TITLE,
    Look,
    Shade,
)

OWNED = (
    "Written by costing and written anew at each run; write your own notes to the right of the "
    "table."
)
"""The line by which a result sheet is recognised."""

PORTRAIT = frozenset({"summary"})
TAB_COLOUR = "7F9A8F"
WIDEST = 44.0
"""Widest a column of names becomes. [characters]"""
CHARACTERS_WIDE = 1.1
"""Room a character takes, with some air, in units of the width of a column."""
LINE_HEIGHT = 15.0
"""Height of a line of text. [points]"""
TABLE_NAMES = {
    "summary": "ResultSummary",
    "to_buy": "ResultToBuy",
    "needs": "ResultNeeds",
    "food_cost": "ResultFoodCost",
    "holding_times": "ResultHoldingTimes",
    "assumptions": "ResultAssumptions",
    "findings": "ResultFindings",
}


def result_sheets(estimate: Estimate, findings: Sequence[Finding]) -> list[ResultSheet]:
    """Every result sheet, in the order in which they are read.

    Parameters
    ----------
    estimate : Estimate
        What was worked out.
    findings : sequence of Finding
        All findings, those of the reading too, in the order in which they are shown.
    """
    look = Look(estimate.shoot.settings.currency)
    tables = estimate.tables(findings)
    return [
        _sheet(table, look, list(_above(table, estimate)))
        for key, table in tables.items()
        if table.rows or key in ("summary", "to_buy", "findings")
    ]


def empty_marks(sheets: Sequence[ResultSheet]) -> frozenset[str]:
    """Marks of the sheets that have nothing to say in this run."""
    return frozenset(TABLE_NAMES) - {sheet.mark for sheet in sheets}


def _above(table: Table, estimate: Estimate) -> Iterator[tuple[str, CellStyle]]:
    """Lines between the title and the table."""
    yield OWNED, ABOUT
    yield table.layout.about, ABOUT
    totals = estimate.totals
    currency = estimate.shoot.settings.currency
    if table.layout.key == "to_buy":
        text = f"Total at the tills: {money_text(totals.bought, currency)}"
        if totals.bought_missing:
            text += f"; unknown above this, without {'; '.join(totals.bought_missing)}"
        yield text, FIGURE
    if table.layout.key == "holding_times":
        if estimate.verdicts:
            asked = max(verdict.asked_at for verdict in estimate.verdicts)
            yield f"Latest instant asked about: {asked:%Y-%m-%d %H:%M} ({estimate.zone})", FIGURE
        for caution in estimate.cautions:
            yield caution, CAUTION


def _sheet(table: Table, look: Look, above: Sequence[tuple[str, CellStyle]]) -> ResultSheet:
    layout = table.layout
    rows: list[list[ResultCell | None]] = [[ResultCell(layout.title, style=TITLE)]]
    widths = _widths(table)
    rows.extend(
        [ResultCell(line, style=style)]
        for text, style in above
        for line in wrap(text, int(sum(widths) / CHARACTERS_WIDE))
    )
    rows.append([])
    rows.append([look.heading(column) for column in layout.columns])
    header_row = len(rows)
    rows.extend(_row(table, row, look) for row in table.rows)
    heights = {1: 24.0, header_row: 32.0}
    for number, row in enumerate(table.rows, start=header_row + 1):
        lines = _lines(layout.columns, row)
        if lines > 1:
            heights[number] = LINE_HEIGHT * lines
    return ResultSheet(
        mark=layout.key,
        title=layout.title,
        rows=rows,
        header_row=header_row,
        table=TABLE_NAMES[layout.key],
        table_rows=max(1, len(table.rows)),
        persons_columns=frozenset(
            number
            for number, column in enumerate(layout.columns, start=1)
            if column.kind is Kind.TICK
        ),
        widths=widths,
        freeze=f"A{header_row + 1}",
        landscape=layout.key not in PORTRAIT,
        tab_colour=TAB_COLOUR,
        heights=heights,
    )


def _row(table: Table, row: Row, look: Look) -> list[ResultCell | None]:
    shade = _shade(row)
    cells: list[ResultCell | None] = []
    for column in table.layout.columns:
        if column.kind is Kind.TICK:
            cells.append(ResultCell("", style=_TICK))
            continue
        wanted = shade if column.key in ("status", "grade") else None
        cell = look.cell(column, row[column.key], shade=wanted)
        link = _link(row) if table.layout.key == "findings" and column.key == "cell" else None
        cells.append(cell if link is None else ResultCell(cell.value, style=cell.style, link=link))
    return cells


_TICK = CellStyle(border_bottom="medium", border_colour=RULE, align="center", valign="top")


def _shade(row: Row) -> Shade | None:
    return STATUS_SHADES.get(str(row.get("status"))) or GRADE_SHADES.get(str(row.get("grade")))


def _link(row: Row) -> str | None:
    if not row["sheet"] or not row["cell"]:
        return None
    return f"#{quoted_sheet(str(row['sheet']))}!{row['cell']}"


def _widths(table: Table) -> list[float]:
    """Widths that show names whole; long texts keep theirs and wrap. [characters]"""
    return [
        column.width
        if column.kind is Kind.LONG_TEXT
        else min(WIDEST, max(column.width, *(_length(row[column.key]) for row in table.rows), 0))
        for column in table.layout.columns
    ]


def _length(value: Value) -> float:
    return len(value) * CHARACTERS_WIDE + 2 if isinstance(value, str) else 0


def _lines(columns: Sequence[Column], row: Row) -> int:
    """How many lines of text the fullest cell of a row needs."""
    return max(
        (
            len(wrap(value, int((column.width - 2) / CHARACTERS_WIDE)))
            for column in columns
            if column.kind is Kind.LONG_TEXT and isinstance(value := row[column.key], str)
        ),
        default=1,
    )
