"""What stands above a result table: whose it is, what a row is, what has become out of date."""

from __future__ import annotations

from collections.abc import Iterator

from costing.report.estimates import Estimate
from costing.report.summary_rows import sentence
from costing.report.tables import Table
from costing.workbook.package.cellxml import CellStyle, NewCell
from costing.workbook.results.checks import ALL
from costing.workbook.results.look import ABOUT, CAUTION, FIGURE, SENTENCE, TITLE, wrapped

OWNED = (
    "Written by costing and rewritten at each run; write your own notes to the right of the table."
)
"""The line by which a result sheet is recognised."""

SENTENCE_LINES = (2, 3)
"""Rows that the first sentence of Summary may take, whether it does or not."""
SENTENCE_WIDE = 1.2
"""Room its letters take in units of those of the tables."""

CHECK_ROW = 4
"""Row of the check; charts and shades rely on its place."""
LABEL_ROW, FIGURE_ROW = 6, 7
"""Rows of the three figures above the charts of Summary, and of their names."""

TOTAL_ROW = 5
"""Row of the total on To buy."""

Line = list[NewCell | None]


def rows_above(table: Table, estimate: Estimate | None, width: float) -> list[Line]:
    """The rows between the top of the sheet and the headings, checks and figures left blank.

    Parameters
    ----------
    table : Table
        Which result.
    estimate : Estimate, optional
        What was worked out; ``None`` in a new workbook.
    width : float
        Of the whole table. [characters]
    """
    layout = table.layout
    rows: list[Line] = [[NewCell(layout.title, style=TITLE)]]
    if layout.key == ALL:
        words = sentence(estimate.books) if estimate else ""
        said = _lines(words, SENTENCE, width / SENTENCE_WIDE)[: len(SENTENCE_LINES)]
        rows += [*said, *([] for _ in SENTENCE_LINES[len(said) :]), []]
        rows += [[NewCell(OWNED, style=ABOUT)], [], []]
    else:
        first, *more = _lines(layout.about, ABOUT, width)
        rows += [[NewCell(OWNED, style=ABOUT)], first, []]
        if layout.key == "to_buy":
            rows.append([NewCell("Total at the tills", style=FIGURE)])
        rows += [*more, *_lines(layout.live, ABOUT, width)]
    for text, style in _said(table, estimate) if estimate else ():
        rows += _lines(text, style, width)
    return [*rows, []]


def _lines(text: str, style: CellStyle, width: float) -> list[Line]:
    return [[NewCell(line, style=style)] for line in wrapped(text, width)]


def _said(table: Table, estimate: Estimate) -> Iterator[tuple[str, CellStyle]]:
    """What is to be known before the rows are read."""
    if table.layout.key == "to_buy" and estimate.totals.bought_missing:
        missing = "; ".join(estimate.totals.bought_missing)
        yield f"The total is unknown above this, without {missing}", FIGURE
    if table.layout.key == "food_cost":
        for episode in estimate.shoot.episodes:
            left_out = estimate.books.left_out_of(episode.name)
            if left_out:
                missing = "; ".join(left_out)
                yield f"{episode.name}: unknown above these figures, without {missing}", FIGURE
    if table.layout.key == "to_buy":
        yield (
            f"Allergens by the {estimate.shoot.settings.allergen_list} list; read the pack of what "
            "you buy.",
            CAUTION,
        )
    if table.layout.key == "assumptions" and table.folded:
        yield (
            f"By what they could change of what is paid; the {len(table.folded)} that change "
            "nothing of it are folded at the end: the sign + beside the rows opens them.",
            CAUTION,
        )
    if table.layout.key == "holding_times":
        if estimate.verdicts:
            yield _asked(estimate), FIGURE
        for caution in estimate.cautions:
            yield caution, CAUTION


def _asked(estimate: Estimate) -> str:
    """Of which instant the statuses are: the one asked about, or the last event of the log."""
    asked = estimate.verdicts[0].asked_at
    return f"Instant asked about: {asked:%Y-%m-%d %H:%M} ({estimate.zone})"
