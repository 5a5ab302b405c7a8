"""Result tables as sheets: a line that says whose they are, what was found, then the table."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from costing.findings import quoted_sheet
from costing.report.closing_rows import words_above, words_after
from costing.report.estimates import Estimate
from costing.report.layouts import RESULT_LAYOUTS
from costing.report.summary_rows import sentence
from costing.report.tables import ResultColumn, Row, Table, ValueKind
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.cellxml import CellStyle, ConditionalFormat, NewCell
from costing.workbook.results import charts, panels
from costing.workbook.results.checks import ALL, Check, checks, row_shades
from costing.workbook.results.live.cells import Inputs, Spot
from costing.workbook.results.live.formulas import follow
from costing.workbook.results.look import (
    ABOUT,
    BOX,
    CAUTION,
    CHART_DATA,
    CHECK,
    FIGURE,
    LANDSCAPE_ROOM,
    LARGE_FIGURE,
    PORTRAIT_ROOM,
    SENTENCE,
    SHADES,
    TITLE,
    Look,
    Shade,
    lines_of_row,
    row_height,
    shown_width,
    widths,
    wrapped,
)
from costing.workbook.results.panels import Line
from costing.workbook.results.target import Target

PORTRAIT = frozenset({"summary"})
TAB_COLOUR = "7F9A8F"

BOUGHT, USED, LEFT = "Bought value", "Used value", "Left value"
MONEY = {"Bought": BOUGHT, "Used": USED, "Left": LEFT}
"""Bars of the second chart, and the figures of Summary they show."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A result table with what is above it, before its formulas are found."""

    table: Table
    above: list[Line]
    widths: list[float]

    @property
    def header_row(self) -> int:
        """Row of the headings."""
        return len(self.above) + 1

    @property
    def panels_from(self) -> int:
        """First of the rows behind the charts, on Summary."""
        return len(self.above) - panels.HEIGHT

    @property
    def mark(self) -> str:
        """Key of the sheet."""
        return self.table.layout.key


Looking = Callable[[Sequence[ResultSheet]], Target]
"""Tells what the workbook calls the sheets that are to be written, and what else is in it."""


def result_sheets(estimate: Estimate, looking: Looking) -> list[ResultSheet]:
    """Every result sheet, in the order in which they are read.

    ``looking``: tells of the workbook into which they are written.
    """
    laid = [
        _laid(table, estimate)
        for table in estimate.tables().values()
        if table.rows or table.layout.always
    ]
    look = Look(estimate.shoot.settings.currency)
    target = looking([_assembled(one, [*one.above, _headings(one, look)]) for one in laid])
    spots = {
        one.mark: Spot(
            one.table, target.titles[one.mark], target.tables[one.mark], one.header_row + 1
        )
        for one in laid
    }
    inputs = Inputs(target.sheets, target.dependent)
    follow(estimate, spots, inputs)
    summary = next(one for one in laid if one.mark == ALL)
    found, apart = checks(
        estimate.shoot.read_from,
        spots,
        inputs,
        held=target.held,
        check_row=CHECK_ROW,
        apart_from=summary.panels_from + panels.FREE,
    )
    sheets = _Sheets(estimate, look, spots, target, apart)
    return [sheets.sheet(one, found.get(one.mark)) for one in laid]


def empty_marks(sheets: Sequence[ResultSheet]) -> frozenset[str]:
    """Marks of the sheets that have nothing to say in this run."""
    return frozenset(layout.key for layout in RESULT_LAYOUTS) - {sheet.mark for sheet in sheets}


def blank_sheet(table: Table) -> ResultSheet:
    """The sheet of a result in a new workbook, to be written when there is one."""
    laid, look = _laid(table, None), Look(None)
    return _assembled(laid, [*laid.above, _headings(laid, look), _blank_row(laid, look)])


def _laid(table: Table, estimate: Estimate | None) -> Laid:
    room = PORTRAIT_ROOM if table.layout.key in PORTRAIT else LANDSCAPE_ROOM
    wide = widths(table, room)
    above = rows_above(table, estimate, shown_width(table, wide))
    if table.layout.key == "summary":
        above = [*above, *([] for _ in range(panels.HEIGHT)), []]
    return Laid(table, above, wide)


def _headings(laid: Laid, look: Look) -> Line:
    return [look.heading(column) for column in laid.table.layout.columns]


def _blank_row(laid: Laid, look: Look) -> Line:
    """The row of a table that has none: a table is never without."""
    return [look.cell(column, None) for column in laid.table.layout.columns]


def _assembled(
    laid: Laid,
    rows: list[Line],
    *,
    formats: Sequence[ConditionalFormat] = (),
) -> ResultSheet:
    """A sheet of these rows, set up for the screen and for printing."""
    layout = laid.table.layout
    places = {key: number for number, key in enumerate(layout.keys, 1)}
    ticks = [places[column.key] for column in layout.columns if column.kind is ValueKind.TICK]
    return ResultSheet(
        mark=laid.mark,
        title=layout.title,
        rows=rows,
        header_row=laid.header_row,
        table=layout.table_name,
        table_rows=max(1, len(laid.table.rows)),
        user_columns=frozenset(ticks),
        key_columns=tuple(places[key] for key in layout.told_apart_by),
        then_columns=tuple(places[key] for key in layout.then_by),
        widths=laid.widths,
        # of Summary nothing is frozen: above its headings are the charts, higher than a screen
        freeze=None if laid.mark == "summary" else f"A{laid.header_row + 1}",
        formats=formats,
        meanings=[column.meaning for column in layout.columns],
        landscape=laid.mark not in PORTRAIT,
        folded_rows=frozenset(laid.header_row + 1 + row for row in laid.table.folded),
        folded=frozenset(places[column.key] for column in layout.columns if column.folded),
        tab_colour=TAB_COLOUR,
        heights=_heights(laid),
    )


class _Sheets:
    """Makes the sheets of one estimate for one workbook."""

    def __init__(
        self,
        estimate: Estimate,
        look: Look,
        spots: Mapping[str, Spot],
        target: Target,
        apart: Sequence[Check],
    ) -> None:
        self.estimate, self.look, self.spots, self.target = estimate, look, spots, target
        self.apart = apart
        self.currency = estimate.shoot.settings.currency

    def sheet(self, laid: Laid, check: Check | None) -> ResultSheet:
        """One sheet, with its check where it has one."""
        spot = self.spots[laid.mark]
        rows = list(laid.above)
        if check is not None:
            rows[CHECK_ROW - 1] = [NewCell(check.shown, check.formula, style=CHECK)]
        if laid.mark == "to_buy":
            rows[TOTAL_ROW - 1] = self._total_row(rows[TOTAL_ROW - 1])
        found = None
        if laid.mark == "summary":
            rows[LABEL_ROW - 1], rows[FIGURE_ROW - 1] = self._large_figures()
            found = self._put_panels(rows, laid.panels_from)
        rows.append(_headings(laid, self.look))
        rows.extend(self._row(laid, number, spot) for number in range(len(laid.table.rows)))
        if not laid.table.rows:
            rows.append(_blank_row(laid, self.look))
        shades = row_shades(spot, self.spots["needs"]) if laid.mark == "to_buy" else ()
        sheet = _assembled(laid, rows, formats=shades)
        if found is None:
            return sheet
        return replace(
            sheet,
            heights={**sheet.heights, **found.heights},
            hidden=found.hidden | {row for row in SENTENCE_LINES if not rows[row - 1]},
            drawing_from=partial(
                charts.drawing,
                self.target.titles[laid.mark],
                found,
                widths=laid.widths,
                currency=self.currency,
            ),
        )

    def _total_row(self, label: Line) -> Line:
        """The total at the tills, above the column it adds up."""
        at = self.spots["to_buy"].places["cost"]
        return [*label, *[None] * (at - 1 - len(label)), self._shown(BOUGHT, FIGURE)]

    def _large_figures(self) -> tuple[Line, Line]:
        """Bought, used and left value in large letters; one of which nothing is known says so."""
        totals = self.estimate.totals
        sums = {
            BOUGHT: (totals.bought, totals.bought_missing),
            USED: (totals.used, totals.used_missing),
            LEFT: (totals.left, totals.left_missing),
        }
        names: Line = []
        figures: Line = []
        for figure, (value, missing) in sums.items():
            known = value or not missing
            name = f"{figure}, in part" if missing and known else figure
            names.append(NewCell(name, style=CHART_DATA))
            shown = self._shown(figure, LARGE_FIGURE)
            figures.append(shown if known else NewCell("not known yet", style=LARGE_FIGURE))
        return names, figures

    def _shown(self, figure: str, style: CellStyle) -> NewCell | None:
        """A figure of Summary shown in another place."""
        spot = self.spots["summary"]
        row = spot.row_of("figure", figure)
        if row is None:
            return None
        value = spot.table.rows[row]["value"]
        return self.look.money(value, spot.reference(row, "value"), style)

    def _put_panels(self, rows: list[Line], first: int) -> panels.Panels:
        """Put what the charts show behind them, and what is watched apart."""
        costs, books = self.spots["food_cost"], self.estimate.books
        used = panels.used_by_purpose(
            books.shares, costs.to_look_in("used_value"), costs.to_look_in("purpose"), self.look
        )
        money = [panels.bar(name, self._shown(one, CHART_DATA)) for name, one in MONEY.items()]
        times = panels.times_out(self.estimate.verdicts, self.estimate.shoot.own_rules)
        found = panels.Panels(
            first,
            panels.money_panel(used, money),
            panels.times_out_panel(times, self.look),
            panels.caution_panel(books.caution, self.look),
        )
        rows[first - 1 : -1] = found.rows
        for row, check in enumerate(self.apart, first + panels.FREE):
            rows[row - 1] = [NewCell(check.shown, check.formula, style=CHART_DATA)]
        return found

    def _row(self, laid: Laid, number: int, spot: Spot) -> list[NewCell | None]:
        """A row of a table as cells, with its colour, formulas and links."""
        row, lines = laid.table.rows[number], lines_of_row(laid.table, number)
        cells: list[NewCell | None] = []
        for column, width in zip(laid.table.layout.columns, laid.widths, strict=True):
            if column.kind is ValueKind.TICK:
                cells.append(NewCell("", style=BOX))
                continue
            cells.append(
                self.look.cell(
                    column,
                    row[column.key],
                    shade=_shade(column, row),
                    lines=lines,
                    width=width,
                    formula=spot.formulas.get((number, column.key)),
                    link=_link(row) if column.kind is ValueKind.CELL else None,
                )
            )
        return cells


def _heights(laid: Laid) -> dict[int, float]:
    heights = {1: 24.0, laid.header_row: 32.0}
    if laid.mark == "summary":
        heights |= dict.fromkeys(SENTENCE_LINES, 20.0) | {FIGURE_ROW: 24.0}
    for number, row in enumerate(laid.table.rows, start=laid.header_row + 1):
        heights[number] = row_height(laid.table.layout.columns, row, laid.widths)
    return heights


def _shade(column: ResultColumn, row: Row) -> Shade | None:
    return SHADES.get(str(row[column.key])) if column.kind is ValueKind.STATUS else None


def _link(row: Row) -> str | None:
    known = row["sheet"] and row["cell"]
    return f"#{quoted_sheet(str(row['sheet']))}!{row['cell']}" if known else None


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


def rows_above(table: Table, estimate: Estimate | None, width: float) -> list[Line]:
    """The rows between the top of the sheet and the headings, checks and figures left blank.

    Parameters
    ----------
    estimate : Estimate, optional
        What was worked out; ``None`` in a new workbook.
    width : float
        Of the whole table. [characters]
    """
    layout = table.layout
    rows: list[Line] = [[NewCell(layout.title, style=TITLE)]]
    if layout.key == ALL:
        words = (words_after(estimate.closed) or sentence(estimate.books)) if estimate else ""
        said = _lines(words, SENTENCE, width / SENTENCE_WIDE)[: len(SENTENCE_LINES)]
        rows += [*said, *([] for _ in SENTENCE_LINES[len(said) :]), []]
        rows += [[NewCell(OWNED, style=ABOUT)], [], []]
    else:
        rows += [[NewCell(OWNED, style=ABOUT)], [NewCell(layout.about, style=ABOUT)], []]
        if layout.key == "to_buy":
            rows.append([NewCell("Total at the tills", style=FIGURE)])
        rows += _lines(layout.live, ABOUT, width)
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
            asked = estimate.verdicts[0].asked_at  # or the last event of the log
            yield f"Instant asked about: {asked:%Y-%m-%d %H:%M} ({estimate.zone})", FIGURE
        for caution in estimate.cautions:
            yield caution, CAUTION
    if estimate.closed is not None:
        for words in words_above(table, estimate.closed):
            yield words, FIGURE
