"""What the commands print: figures, lists and findings; the only door of rich."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from textwrap import fill

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.console import Console, JustifyMethod
from rich.table import Table as ScreenTable
from rich.text import Text

from costing.findings import Finding, Grade
from costing.holding.instants import length
from costing.holding.statuses import Status
from costing.listing import counted
from costing.quantities import magnitude_text, money_text
from costing.report.estimates import Estimate
from costing.report.shop_words import packs, quantity
from costing.report.summary_rows import how_sure
from costing.report.tables import Row, Table, Value
from costing.shoot.planning import Outing, Planned, outings

WIDEST = 100
"""Columns a paragraph takes at most, and all that is taken when the output goes to a file."""

GAP = 3
"""Columns of the screen between two of a table."""
NARROWEST = 8
"""Columns that the last of a table is given at least, where its cells wrap."""
SUMMED_UP_ABOVE = 20
"""More findings of one code than this are summed up when they are printed."""


def console(*, error: bool = False) -> Console:
    """The terminal, or a plain file without colours."""
    screen = Console(stderr=error, highlight=False, soft_wrap=True)
    return (
        screen
        if screen.is_terminal
        else Console(stderr=error, highlight=False, soft_wrap=True, width=WIDEST, no_color=True)
    )


def money(value: Value, currency: str | None) -> str:
    """Money with its currency, a dash when unknown."""
    return money_text(value, currency) if isinstance(value, Decimal | Fraction) else "-"


def figures(estimate: Estimate, title: str) -> None:
    """The main figures of an estimate."""
    totals, currency = estimate.totals, estimate.shoot.settings.currency
    out = console()
    out.print(Text(title, style="bold"))
    grid = ScreenTable.grid(padding=(0, 2))
    grid.add_column()
    grid.add_column(justify="right", style="bold", no_wrap=True)
    grid.add_column()
    rows: list[tuple[str, Decimal, str]] = [
        ("Bought value", totals.bought, "what the tills take"),
        ("Used value", totals.used, f"{money(totals.on_hand_used, currency)} of it from on hand"),
        ("Left value", totals.left, "bought + from on hand - used"),
    ]
    if totals.visits:
        rows.insert(1, ("Visits and deliveries", totals.visits, "not in the bought value"))
        rows.insert(2, ("Paid in all", totals.paid, "bought value, visits and deliveries"))
    if totals.tax:
        rows.insert(1, ("  of which tax", totals.tax, ""))
    for word, value, note in rows:
        grid.add_row(word, money(value, currency), note)
    for row in how_sure(estimate.books):
        grid.add_row(str(row["figure"]), _number(row["value"]), str(row["note"]))
    out.print(grid)
    for missing in totals.missing:
        out.print(f"  left out, so the true value is higher: {missing}", markup=False)


def _number(value: Value) -> str:
    return magnitude_text(Fraction(value)) if isinstance(value, int | Fraction) else "-"


def shopping_list(table: Table, currency: str | None) -> None:
    """What to buy, shop by shop."""
    out = console()
    for shop, rows in _by(table.rows, "shop"):
        listed = _columns(
            ("", "left"),
            ("Ingredient", "left"),
            ("Buy", "right"),
            ("Cost", "right"),
            ("Needed", "right"),
            ("Left over", "right"),
            ("Note", "left"),
        )
        for row in rows:
            unit = str(row["unit"])
            listed.add_row(
                Text("[ ]"),
                Text(str(row["ingredient"])),
                Text(packs(row)),
                money(row["cost"], currency),
                Text(quantity(row["needed"], unit)),
                Text(quantity(row["left_over"], unit)),
                Text(str(row["note"] or "")),
            )
        out.print()
        out.print(Text(shop or "No shop given", style="bold"))
        _print_listed(listed)


def _columns(*columns: tuple[str, JustifyMethod]) -> ScreenTable:
    """A table of these headings; the last one wraps, the others never do."""
    table = ScreenTable(box=SIMPLE_HEAD, show_edge=False, pad_edge=False)
    last = len(columns) - 1
    for number, (heading, justify) in enumerate(columns):
        table.add_column(heading, justify=justify, no_wrap=number < last, overflow="fold")
    return table


def _print_listed(listed: ScreenTable) -> None:
    """Print a table, or its rows as paragraphs where the screen would cut a figure."""
    out = console()
    headings = [str(column.header) for column in listed.columns]
    columns = [[str(cell) for cell in column.cells] for column in listed.columns]
    widths = [
        max(map(cell_len, (heading, *cells)))
        for heading, cells in zip(headings, columns, strict=True)
    ]
    widths[-1] = min(widths[-1], NARROWEST)
    if sum(widths) + GAP * (len(widths) - 1) <= out.width:
        out.print(listed)
        return
    named = next(number for number, heading in enumerate(headings) if heading)
    name = ""
    for row in zip(*columns, strict=True):
        name = " ".join(row[: named + 1]) if row[named] else name
        said = [
            f"{heading.lower()} {cell}"
            for heading, cell in zip(headings[named + 1 :], row[named + 1 :], strict=True)
            if cell
        ]
        _wrapped(f"{name}: {', '.join(said)}", first="", then="    ")


CAUTION = (
    "Reminders of time and temperature. They do not show that any food is safe; when in doubt, "
    "throw it out. All cautions: costing holding --cautions"
)
"""The one line that stands on the screen for all cautions."""


def holding(
    table: Table, cautions: Sequence[str] = (), *, asked: str, day: date | None = None
) -> None:
    """Every container by its strictest rule, the others below it, the reasons, a caution.

    Parameters
    ----------
    table : Table
        Holding times.
    cautions : sequence of str
        To be printed whole; none: one line says how to see them.
    asked : str
        The instant asked about, in words.
    day : date, optional
        Its day, which the times of that day do not repeat.
    """
    out = console()
    listed = _columns(
        ("Container", "left"),
        ("Rule", "left"),
        ("Status", "left"),
        ("Out for", "right"),
        ("Discard at", "left"),
        ("Return before", "left"),
    )
    rows = _most_urgent_first(table.rows)
    for row in rows:
        first = row["strictest"] == "yes"
        listed.add_row(
            Text(str(row["container"]) if first else ""),
            Text(str(row["rule"])),
            Text(str(row["status"]), style="bold reverse" if first else ""),
            span(row["out_for"]),
            moment(row["discard_at"], day),
            moment(row["return_before"], day),
        )
    out.print()
    out.print(Text(f"Holding times {asked}".strip(), style="bold"))
    if rows:
        _print_listed(listed)
    else:
        _wrapped("No container is logged: no row was read from a sheet Holding. Nothing is judged.")
    for row in rows:
        if row["strictest"] == "yes":
            reason = str(row["reason"]).replace(f"{day} ", "")
            _wrapped(f"{row['container']}: {reason}")
    out.print()
    for caution in cautions or (CAUTION,):
        _wrapped(caution)


def _most_urgent_first(rows: Sequence[Row]) -> list[Row]:
    """Rows container by container: what cannot be judged, then the earliest discard time first."""
    groups: list[list[Row]] = []
    for row in rows:
        if row["strictest"] == "yes" or not groups:
            groups.append([])
        groups[-1].append(row)

    def order(group: list[Row]) -> tuple[bool, datetime]:
        times = [
            at.astimezone(UTC) for row in group if isinstance(at := row["discard_at"], datetime)
        ]
        judged = group[0]["status"] != Status.CANNOT_BE_USED
        return judged, min(times, default=datetime.max.replace(tzinfo=UTC))

    return [row for group in sorted(groups, key=order) for row in group]


def planned(plans: Sequence[Planned], day: date | None = None) -> None:
    """When containers may come out for the shots in which their food is eaten."""
    if plans:
        console().print()
    for several in outings(plans):
        name, limits = several[0].uses[0].container, dict.fromkeys(_limits(several))
        limit = f"({'; '.join(limits)})"
        if len(several) == 1:
            _wrapped(f"{name}: take it out {_outing(several[0], day)} {limit}")
        else:
            each = "; ".join(_outing(one, day) for one in several)
            _wrapped(
                f"{name}: no one time serves all its shots, have {len(several)} of it, out {each} "
                f"{limit}"
            )


def _outing(one: Outing, day: date | None) -> str:
    eaten = [f'"{use.shot}" at {moment(use.eaten_at, day)}' for use in one.uses]
    return f"after {moment(one.out_after, day)}, once, to be eaten in {' and '.join(eaten)}"


def _limits(several: Sequence[Outing]) -> Iterator[str]:
    for one in several:
        for use in one.uses:
            yield f"{length(use.limit)} of {use.rule}"


def _wrapped(text: str, *, first: str = "- ", then: str = "  ") -> None:
    """A paragraph with its first line further out."""
    out = console()
    width = min(out.width, WIDEST)
    lines = fill(text, width, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)
    out.print(lines, markup=False)


def span(value: Value) -> str:
    """A span of time in hours and minutes.

    Examples
    --------
    >>> span(timedelta(hours=2, minutes=5))
    '2 h 05'
    """
    if not isinstance(value, timedelta):
        return ""
    hours, minutes = divmod(int(value.total_seconds()) // 60, 60)
    return f"{hours} h {minutes:02}"


def moment(value: Value, day: date | None = None) -> str:
    """An instant as the clock of the place shows it, without the date on the day ``day``."""
    if not isinstance(value, datetime):
        return ""
    return f"{value:%H:%M}" if value.date() == day else f"{value:%Y-%m-%d %H:%M}"


def summed_up(findings: Iterable[Finding]) -> list[Finding]:
    """Keep the first of each code up to the stated number, the last one telling of the rest."""
    kept: list[Finding] = []
    seen: Counter[str] = Counter()
    last: dict[str, int] = {}
    for finding in findings:
        seen[finding.code] += 1
        if seen[finding.code] <= SUMMED_UP_ABOVE:
            last[finding.code] = len(kept)
            kept.append(finding)
    for code, at in last.items():
        more = seen[code] - SUMMED_UP_ABOVE
        if more > 0:
            kept[at] = replace(
                kept[at], remedy=f"{kept[at].remedy} {more} more like this are not printed."
            )
    return kept


def tell(findings: Sequence[Finding], *, notes: bool = True) -> None:
    """Findings in their order, summed up where one code comes often, counted at the end."""
    out = console()
    shown = [finding for finding in findings if notes or finding.grade is not Grade.NOTE]
    for finding in summed_up(shown):
        out.print(f"{finding.grade}: {finding}", markup=False)
    out.print(counted(findings), markup=False)


def _by(rows: Sequence[Row], key: str) -> Iterator[tuple[str, list[Row]]]:
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(str(row[key] or ""), []).append(row)
    yield from groups.items()
