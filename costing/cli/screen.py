"""What the commands print: figures, lists and findings; the only door of rich."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from textwrap import fill

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.console import Console, JustifyMethod
from rich.table import Table as ScreenTable
from rich.text import Text

from costing.buying.values import Totals, shots_left_out
from costing.findings import Finding, Grade, choice_words, how_many
from costing.holding.instants import clock_words, length, without_day
from costing.holding.statuses import Status
from costing.listing import counted, summed_up
from costing.quantities import magnitude_text, money_text
from costing.report.estimates import Estimate
from costing.report.shop_words import NOT_KNOWN, at_least, till_words
from costing.report.summary_rows import NAMED_AT_MOST, how_sure
from costing.report.tables import Row, Table, Value
from costing.shoot.planning import Outing, Planned, outings

TEXT_COLUMNS = 100
"""Columns a paragraph takes at most, and all that is taken when the output goes to a file."""

GAP = 3
"""Columns of the screen between two of a table."""
LAST_COLUMN_WIDTH = 8
"""Columns that the last of a table is given at least, where its cells wrap."""
PRICED_NOTES = frozenset({"measures not chosen"})
"""Codes of notes on a default that costs money: they are printed where others are counted."""
BRIEF_ABOVE, SUMMED_UP_ABOVE = 2, 20
"""More findings of one code than this are summed up: beside an answer, and where all are asked."""


def console(*, error: bool = False) -> Console:
    """The terminal, or a plain file without colours; brackets and colons of names are text."""
    screen = Console(stderr=error, highlight=False, markup=False, emoji=False, soft_wrap=True)
    if not screen.is_terminal:
        screen.width = TEXT_COLUMNS
    return screen


def money(value: Value, currency: str | None) -> str:
    """Money with its currency, a dash when unknown."""
    return money_text(value, currency) if isinstance(value, Decimal | Fraction) else "-"


def figures(estimate: Estimate, title: str) -> None:
    """The main figures of an estimate; what nobody can know yet is not called 0."""
    totals, currency = estimate.totals, estimate.shoot.settings.currency
    out = console()
    out.print(Text(title, style="bold"))
    grid = ScreenTable.grid(padding=(0, 2))
    grid.add_column()
    grid.add_column(justify="right", style="bold", no_wrap=True)
    grid.add_column()
    unpriced = bool(totals.bought_missing) and not totals.bought
    grid.add_row(
        "Bought value",
        NOT_KNOWN if unpriced else at_least(totals.bought, totals.bought_missing, currency),
        _left_out(estimate) or ("" if unpriced else "what the tills take"),
    )
    if totals.tax:
        grid.add_row("  of which tax", money(totals.tax, currency), "")
    if totals.visits:
        paid = at_least(totals.paid, totals.bought_missing, currency)
        grid.add_row(
            "Visits and deliveries", money(totals.visits, currency), "not in the bought value"
        )
        grid.add_row("Paid in all", paid, "bought value, visits and deliveries")
    if (budget := estimate.shoot.settings.budget) is not None and not unpriced:
        grid.add_row("Budget", money(budget, currency), _of_budget(totals, budget, currency))
    if not unpriced:
        grid.add_row(
            "Used value",
            at_least(totals.used, totals.used_missing, currency),
            _about_used(totals, currency),
        )
        about = "bought + from on hand - used" if totals.on_hand_used else "bought - used"
        grid.add_row("Left value", _left(totals, currency), about + till_words(totals.left))
    for row in how_sure(estimate.books):
        name = str(row["figure"])
        of_hundred = " %" if name.endswith(" %") and row["value"] is not None else ""
        grid.add_row(name.removesuffix(" %"), _number(row["value"]) + of_hundred, str(row["note"]))
    _print_table(out, grid)


def _of_budget(totals: Totals, budget: Decimal, currency: str | None) -> str:
    """What the bought value leaves of a budget, or takes beyond it."""
    left, missing = budget - totals.bought, bool(totals.bought_missing)
    if left < 0:
        said = f"{'at least ' if missing else ''}{money(-left, currency)} over"
    else:
        said = f"{'at most ' if missing else ''}{money(left, currency)} of it left"
    return f"{said}, visits not counted" if totals.visits else said


def _about_used(totals: Totals, currency: str | None) -> str:
    """What of the used value is stock, and what it leaves out that the bought value does not."""
    said = []
    if totals.on_hand_used:
        said.append(f"{money(totals.on_hand_used, currency)} of it from on hand")
    lacks = [one for one in totals.used_missing if one not in totals.bought_missing]
    if len(lacks) > NAMED_AT_MOST:
        lacks[NAMED_AT_MOST:] = [f"{len(lacks) - NAMED_AT_MOST} more"]
    if lacks:
        said.append(f"without {'; '.join(lacks)}")
    return "; ".join(said)


def _left(totals: Totals, currency: str | None) -> str:
    """The left value, which is one in part where the bought or the used value leaves out."""
    if totals.left_missing and not totals.left:
        return NOT_KNOWN
    return f"{'in part ' if totals.left_missing else ''}{money(totals.left, currency)}"


def _print_table(out: Console, table: ScreenTable) -> None:
    """Print a table; into a file without the blanks that fill its last column."""
    if out.is_terminal:
        out.print(table)
        return
    with out.capture() as printed:
        out.print(table)
    for line in printed.get().splitlines():
        out.print(line.rstrip())


def _left_out(estimate: Estimate) -> str:
    """What the bought value leaves out, shots first; the findings say where and why."""
    values, shoot = estimate.books.values, estimate.books.shoot
    shots, unread = shots_left_out(shoot), [one for one in shoot.left_out if one.in_totals]
    said = [choice_words([one.what for one in shots], last="and")] if shots else []
    pairs = zip(estimate.books.purchases, values, strict=True)
    names = [purchase.name for purchase, one in pairs if one.bought_missing]
    if len(names) > NAMED_AT_MOST:
        said.append(f"{len(names)} of {len(values)} ingredients")
    elif names:
        said.append(choice_words(names, last="and"))
    if rows := sum(one.sheet not in ("Packs", "Shoot plan") for one in unread):
        said.append(f"{how_many(rows, 'other row' if shots else 'row')} that cannot be read")
    lacks = said or estimate.totals.bought_missing
    return f"without {'; '.join(lacks)}" if lacks else ""


def _number(value: Value) -> str:
    return magnitude_text(Fraction(value)) if isinstance(value, int | Fraction) else "-"


def wide(text: str) -> int:
    """Columns of the screen that a text takes.

    Examples
    --------
    >>> wide("leek"), wide("韭葱")
    (4, 4)
    """
    return cell_len(text)


def lines_of(text: str, width: int) -> list[str]:
    """A text in lines of at most so many columns of the screen; a longer word is folded."""
    return [str(one).rstrip() for one in Text(text).wrap(console(), width, overflow="fold")]


def _columns(*columns: tuple[str, JustifyMethod]) -> ScreenTable:
    """A table of these headings; the last one wraps, the others never do."""
    table = ScreenTable(box=SIMPLE_HEAD, show_edge=False, pad_edge=False)
    last = len(columns) - 1
    for number, (heading, justify) in enumerate(columns):
        table.add_column(heading, justify=justify, no_wrap=number < last, overflow="fold")
    return table


def listed(headings: Sequence[tuple[str, bool]], rows: Iterable[Sequence[str]]) -> None:
    """Print rows of texts below headings.

    ``headings``: each with whether its cells stand to the right.
    """
    table = _columns(*((heading, "right" if right else "left") for heading, right in headings))
    for row in rows:
        table.add_row(*row)
    _print_listed(table)


def _print_listed(listed: ScreenTable) -> None:
    """Print a table, or its rows as paragraphs where the screen would cut a figure."""
    out = console()
    headings = [str(column.header) for column in listed.columns]
    columns = [[str(cell) for cell in column.cells] for column in listed.columns]
    widths = [
        max(map(cell_len, (heading, *cells)))
        for heading, cells in zip(headings, columns, strict=True)
    ]
    widths[-1] = min(widths[-1], LAST_COLUMN_WIDTH)
    if sum(widths) + GAP * (len(widths) - 1) <= out.width:
        _print_table(out, listed)
        return
    name = ""
    for first, *cells in zip(*columns, strict=True):
        name = first or name
        said = [
            f"{heading.lower()} {cell}"
            for heading, cell in zip(headings[1:], cells, strict=True)
            if cell
        ]
        _wrapped(f"{name}: {', '.join(said)}", first="", then="    ")


CAUTION = (
    "Reminders of time and temperature. They do not show that any food is safe; when in doubt, "
    "throw it out. All cautions: costing holding --cautions"
)
"""The one line that is on the screen for all cautions."""


def holding(
    table: Table, cautions: Sequence[str] = (), *, asked: str, day: date | None = None
) -> None:
    """Every container by its strictest rule, the others below it, the reasons, a caution.

    Parameters
    ----------
    cautions : sequence of str
        To be printed whole; none: one line says how to see them.
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
            str(row["container"]) if first else "",
            str(row["rule"]),
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
            reason = without_day(str(row["reason"]), day)
            _wrapped(f"{row['container']}: {reason}")
    out.print()
    for caution in cautions or (CAUTION,):
        _wrapped(caution)


def _most_urgent_first(rows: Sequence[Row]) -> list[Row]:
    """Rows container by container: what cannot be judged, then the earliest discard time first."""
    groups: list[list[Row]] = []
    for row in rows:
        if row["strictest"] == "yes":  # the first of each container
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
            left = f"{length(use.limit - use.used)} left of the " if use.used else ""
            yield f"{left}{length(use.limit)} of {use.rule}"


def paragraph(text: str) -> None:
    """A text in lines of the screen's width, each further in than the first where it begins so."""
    indent = text[: len(text) - len(text.lstrip())]
    _wrapped(text.strip(), first=indent, then=indent + "  ")


@contextmanager
def busy(what: str) -> Iterator[None]:
    """Say on a terminal what takes its time, and take it away when it is done."""
    out = console(error=True)
    if not out.is_terminal:
        yield
        return
    with out.status(Text(f"{what} ...")):
        yield


def _wrapped(text: str, *, first: str = "- ", then: str = "  ") -> None:
    """A paragraph with its first line further out."""
    out = console()
    width = min(out.width, TEXT_COLUMNS)
    lines = fill(text, width, initial_indent=first, subsequent_indent=then, break_on_hyphens=False)
    out.print(lines)


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
    return clock_words(value, day) if isinstance(value, datetime) else ""


def tell(
    findings: Sequence[Finding],
    *,
    rest: str = "",
    shown: Sequence[Finding] | None = None,
    bearing_on: str = "",
    said: str = "",
) -> None:
    """Findings in their order, summed up where one code comes often, counted at the end.

    Parameters
    ----------
    rest : str
        Where all are read: more than a few of one kind are then one. Blank: all are printed.
    shown : sequence of Finding, optional
        Those to be printed, where the others are only counted; by default all but the notes.
    bearing_on : str
        What all of them may change, where a workbook has others besides.
    said : str
        A code whose findings were said above, and are only counted.
    """
    out = console()
    every = findings if shown is None else shown
    if rest and shown is None:
        every = [one for one in findings if one.grade is not Grade.NOTE or one.code in PRICED_NOTES]
    above = BRIEF_ABOVE if rest else SUMMED_UP_ABOVE
    unsaid = [one for one in every if one.code != said]
    printed = summed_up(unsaid, above=above, each=rest)
    for finding in printed:
        out.print(f"{finding.grade}: {finding}")
    more = f"; all findings: {rest}" if rest and len(printed) < len(findings) else ""
    whose = f" bearing on {bearing_on}" if bearing_on else ""
    out.print(counted(findings) + whose + more)
