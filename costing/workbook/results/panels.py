"""The rows behind the charts of Summary: what the charts show, and which of the rows are hidden.

The charts are drawn once, when the sheet is made, over rows that never change their place; later
runs change the cells and hide rows, and leave the charts alone. So each panel has as many rows as
it can ever need. Rows without content are hidden, because a chart leaves hidden rows out
(``plotVisOnly``, ECMA-376 part 1, 21.2.2.146), and rows that only make room are shown in their
place where the size of the chart is to stay. A panel that has nothing to show shrinks to rows of
almost no height, and its chart, which grows and shrinks with the rows under it, shrinks with it;
the title of such a chart is a row above it, since one within the chart would stay.
They are not hidden all of them: LibreOffice writes a chart whose cells are all hidden without its
references when it saves.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, timedelta
from decimal import Decimal
from fractions import Fraction

from costing.buying.caution import MOST_LEVELS, Caution, Point
from costing.buying.sharing import CostShare
from costing.holding.rules import TIMES_OUT, Rule, load_rules
from costing.holding.statuses import Status, Verdict
from costing.quantities import ONE
from costing.shoot.times import OWN_MOST, percent
from costing.workbook.package.cellxml import NewCell
from costing.workbook.results.look import CAUTION, CHART_DATA, TITLE_OF_CHART, Look

Line = list[NewCell | None]

PURPOSES = 6
"""So many purposes have a bar; the smallest are taken together in the last one."""

ALL_OTHERS = "all others"
BY_PURPOSE, BALANCE = "Used value by purpose", "Bought, used and left"
MONEY_BARS = 3
MONEY_ROOM = 5
"""Rows below what the two charts of money show; the last one is always seen."""

FREE = 2 + 2 * PURPOSES + MONEY_BARS
"""The first of those rows, from 0: no chart shows what stands in them."""

POINTS = MOST_LEVELS + 1
"""At most so many efficient points: all chances that are tried, and that of the basket bought."""
PLANNED, LEAST = "planned", "the least for this chance"
CHANCE_HEADING, BOUGHT_HEADING = "Chance of running out %", "Bought value"
GAP_HEIGHT = 9.0
"""Height of the row above its title, for programs that draw a shrunk chart larger. [points]"""
CAUTION_ROW_HEIGHT = 12.0
"""Height of a row behind the chart of caution. [points]"""
SMALL_PRINT = replace(CHART_DATA, font_size=8)
"""The style that fits into it."""

CONTAINERS = 12
"""At most so many containers have bars."""

TIMES_TITLE = "Time out as logged, limits by published rules (hours:minutes)"
ABOUT = f"{TIMES_TITLE}. Other hazards are not checked: see Holding times."
PAST_LIMIT = (Status.DISCARD, Status.CANNOT_BE_USED)
WITHIN_LIMIT = (Status.WITHIN, Status.DO_NOT_RETURN)
ZERO, SECOND = timedelta(0), timedelta(seconds=1)

OUT, LIMIT = "Out, as logged", "Limit of the rule"
BAR_HEIGHT = 24.0
"""Height of the row behind the two bars of a container. [points]"""
ROW_HEIGHT = 15.0
"""Height of an ordinary row; given where the row may have been shrunk before. [points]"""
UNSEEN = ";;;"
"""The number format that shows nothing."""
SHRUNK_HEIGHT = 0.75
"""Height of the rows that stand for a panel with nothing to show. [points]"""
TIMES_ROOM = 3
"""Rows of the holding chart for its legend, besides that of the headings."""
CAUTION_TITLE = f"Bought value against the chance of running out (%), {OWN_MOST}"


def bar(name: str = "", cell: NewCell | None = None) -> Line:
    """The row behind a bar: its name, and the cell that says how long it is."""
    return [_text(name), cell]


@dataclass(frozen=True, slots=True)
class Panel:
    """Rows that charts lie over.

    Parameters
    ----------
    rows : sequence of list
        All rows, those of text above the charts first.
    hidden : frozenset of int
        Those that are hidden, from 0.
    texts : int
        Rows of text above the charts.
    heights : mapping of int to float
        Heights of rows, from 0. [points]
    """

    rows: Sequence[Line]
    hidden: frozenset[int] = frozenset()
    texts: int = 0
    heights: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Panels:
    """The panels of Summary below each other.

    ``first``: row of the sheet in which they begin.
    """

    first: int
    money: Panel
    times_out: Panel
    caution: Panel

    @property
    def _starts(self) -> list[tuple[int, Panel]]:
        at, starts = self.first, []
        for panel in (self.money, self.times_out, self.caution):
            starts.append((at, panel))
            at += len(panel.rows)
        return starts

    @property
    def rows(self) -> list[Line]:
        """All rows."""
        return [row for _, panel in self._starts for row in panel.rows]

    @property
    def hidden(self) -> frozenset[int]:
        """Rows of the sheet that are hidden."""
        return frozenset(at + number for at, panel in self._starts for number in panel.hidden)

    @property
    def heights(self) -> dict[int, float]:
        """Heights of rows of the sheet. [points]"""
        return {at + n: height for at, panel in self._starts for n, height in panel.heights.items()}

    @property
    def charted(self) -> list[tuple[int, int]]:
        """First and last row of the sheet under the charts of each panel."""
        return [(at + panel.texts, at + len(panel.rows) - 1) for at, panel in self._starts]


HEIGHT = 2 + 2 * PURPOSES + MONEY_BARS + MONEY_ROOM + 3 + CONTAINERS + TIMES_ROOM + 4 + POINTS
"""Rows of all panels, whatever they show."""


def used_by_purpose(
    shares: Sequence[CostShare], used_column: str, purposes: str, look: Look
) -> list[Line]:
    """A bar for each purpose, the longest first.

    ``used_column``, ``purposes``: the columns of Food cost that are added up.
    """
    by_purpose: dict[str, Decimal] = {}
    for share in shares:
        by_purpose[share.purpose] = by_purpose.get(share.purpose, Decimal(0)) + share.used
    ordered = sorted(by_purpose.items(), key=lambda pair: -pair[1])
    kept = ordered if len(ordered) <= PURPOSES else ordered[: PURPOSES - 1]
    bars = []
    for name, value in kept:
        formula = f'SUMIF({purposes},"{name}",{used_column})'
        bars.append(bar(name, look.money(value, formula, CHART_DATA)))
    rest = [value for _, value in ordered[len(kept) :]]
    if rest:
        bars.append(bar(ALL_OTHERS, look.money(sum(rest, Decimal(0)), None, CHART_DATA)))
    return bars


def money_panel(purposes: Sequence[Line], money: Sequence[Line]) -> Panel:
    """What the charts of money show; as many rows are seen whatever the number of purposes.

    One row of a bar is always seen: LibreOffice takes the references of a chart whose rows are all
    hidden away.
    """
    free = PURPOSES - max(len(purposes), 1)
    rows: list[Line] = [
        [_text(BY_PURPOSE)],
        *(*purposes, *(bar() for _ in range(PURPOSES)))[:PURPOSES],
        [_text(BALANCE)],
        *money,
    ]
    fillers = len(rows)
    unused = range(1 + max(len(purposes), 1), 1 + PURPOSES)
    not_needed = range(fillers + free, fillers + PURPOSES)
    blank: list[Line] = [[] for _ in range(PURPOSES + MONEY_ROOM)]
    return Panel([*rows, *blank], frozenset([*unused, *not_needed]))


@dataclass(frozen=True, slots=True)
class TimeOut:
    """Two bars.

    Parameters
    ----------
    name : str
        The container, its status and the rule.
    out : timedelta, optional
        Time used up; ``None`` where hours are not what the rule counts.
    limit : timedelta, optional
        What the rule allows; ``None`` where it is not the hours that decide.
    """

    name: str
    out: timedelta | None
    limit: timedelta | None


@dataclass(frozen=True, slots=True)
class TimeBars:
    """The bars, and the words above them.

    Parameters
    ----------
    times : tuple of TimeOut
        Those furthest past their limit, or nearest to it, first.
    about, left_out : str
        What the times are, and which containers have no bar.
    """

    times: tuple[TimeOut, ...] = ()
    about: str = ABOUT
    left_out: str = ""


def times_out(verdicts: Sequence[Verdict], own_rules: Sequence[Rule] = ()) -> TimeBars:
    """The bars of the containers that a rule judges."""
    own = {rule.id: rule for rule in own_rules}
    rules = load_rules() | own
    strictest = [verdict for verdict in verdicts if verdict.strictest]
    judged = [verdict for verdict in strictest if _is_judged(verdict, rules.get(verdict.rule))]
    judged.sort(key=lambda verdict: _nearness(verdict, rules.get(verdict.rule)), reverse=True)
    times = tuple(_time_out(one, rules.get(one.rule)) for one in judged[:CONTAINERS])
    named = sorted({one.rule for one in judged[:CONTAINERS]} & own.keys())
    about = f"{ABOUT} Not published, but rules of your own: {', '.join(named)}." if named else ABOUT
    return TimeBars(times, about, " ".join(_left_out(len(judged), len(strictest))))


def _is_judged(verdict: Verdict, rule: Rule | None) -> bool:
    """Whether there is a time to show, or a limit that is past."""
    return verdict.status in PAST_LIMIT or (
        verdict.status in WITHIN_LIMIT and _in_hours(verdict, rule)
    )


def _in_hours(verdict: Verdict, rule: Rule | None) -> bool:
    return rule is not None and rule.clock in TIMES_OUT and verdict.limit > ZERO


def _nearness(verdict: Verdict, rule: Rule | None) -> tuple[bool, Fraction]:
    """Sorts what is past a limit last, then by the part of the limit that is used up."""
    used = ONE
    if _in_hours(verdict, rule):
        used = Fraction(verdict.out_for // SECOND, _limit(verdict) // SECOND or 1)
    return verdict.status in PAST_LIMIT, used


def _limit(verdict: Verdict) -> timedelta:
    """The limit, or what a mark or a reading makes of it while the clock runs. [time out]"""
    if verdict.status in PAST_LIMIT or verdict.discard_at is None:
        return verdict.limit
    left = verdict.discard_at.astimezone(UTC) - verdict.asked_at.astimezone(UTC)
    return min(verdict.limit, verdict.out_for + max(left, ZERO))


def _time_out(verdict: Verdict, rule: Rule | None) -> TimeOut:
    name = f"{verdict.container}: {verdict.status} ({verdict.rule})"
    if not _in_hours(verdict, rule):
        return TimeOut(name, None, None)
    limit = _limit(verdict)
    shown = verdict.status not in PAST_LIMIT or verdict.out_for >= limit
    return TimeOut(name, verdict.out_for, limit if shown else None)


def _left_out(judged: int, containers: int) -> Iterator[str]:
    if judged > CONTAINERS:
        yield (
            f"{CONTAINERS} of {judged} containers are shown, those furthest past their limit or "
            "nearest to it."
        )
    others = containers - judged
    if others:
        yield (
            f"Without bars: {others} {'container' if others == 1 else 'containers'} discarded, "
            "never eaten, or without a limit in hours."
        )


def times_out_panel(shown: TimeBars, look: Look) -> Panel:
    """What the holding chart shows, and the words that belong to it."""
    rows: list[Line] = [
        [NewCell(shown.about, style=TITLE_OF_CHART)],
        [NewCell(shown.left_out, style=CAUTION)],
        [_text("Container: status (rule)"), _text(OUT), _text(LIMIT)],
        *(_time(one, look) for one in shown.times),
        *([] for _ in range(CONTAINERS - len(shown.times) + TIMES_ROOM)),
    ]
    first = 3
    hidden = {*range(first + len(shown.times), first + CONTAINERS)}
    if not shown.left_out:
        hidden.add(1)
    heights = {first - 1: ROW_HEIGHT, **dict.fromkeys(range(first, first + CONTAINERS), BAR_HEIGHT)}
    if not shown.times:
        return _shrunk(Panel(rows, texts=2, heights=heights), seen=(first - 1, first))
    return Panel(rows, frozenset(hidden), 2, heights)


def _shrunk(panel: Panel, *, seen: Collection[int]) -> Panel:
    """A panel with nothing to show: of each series of its chart one row of cells is not hidden.

    Its cells have a format that shows nothing, which the axes of the chart take over.
    """
    return replace(
        panel,
        rows=[[_unseen(cell, column) for column, cell in enumerate(row)] for row in panel.rows],
        hidden=frozenset(range(len(panel.rows))) - frozenset(seen),
        heights={**panel.heights, **dict.fromkeys(seen, SHRUNK_HEIGHT)},
    )


def _unseen(cell: NewCell | None, column: int) -> NewCell | None:
    """The cell, a number in it not shown.

    An axis over blank cells alone would count in a format of its own, so they hold a point that
    lies beside the chart of caution, which begins at a chance of 0.
    """
    if cell is None or (isinstance(cell.value, str) and column == 0):
        return cell
    if isinstance(cell.value, str):
        return replace(cell, value=" ")  # the names of series, for a legend without words
    style = replace(cell.style, number_format=UNSEEN)
    return replace(cell, value=-1 if column == 1 else 0, style=style)


def _time(time: TimeOut, look: Look) -> Line:
    limit = look.duration(time.limit, CHART_DATA)
    return [_text(time.name), look.duration(time.out, CHART_DATA), to_the_left(limit)]


def caution_panel(caution: Caution | None, look: Look) -> Panel:
    """What the chart of cost against the chance of running out shows."""
    points = caution.points[0] if caution is not None else []
    rows: list[Line] = [
        [],
        [NewCell(CAUTION_TITLE, style=TITLE_OF_CHART)],
        [*(NewCell(text, style=SMALL_PRINT) for text in (LEAST, CHANCE_HEADING, BOUGHT_HEADING))],
        _point(PLANNED, planned_point(points, caution), look),
        *(_point("", point, look) for point in points),
        *(_point("", None, look) for _ in range(POINTS - len(points))),
    ]
    heights = {0: GAP_HEIGHT, 1: ROW_HEIGHT}
    heights |= dict.fromkeys(range(2, len(rows)), CAUTION_ROW_HEIGHT)
    panel = Panel(rows, texts=2, heights=heights)
    return panel if points else _shrunk(panel, seen=(3, 4))


def planned_point(points: Sequence[Point], caution: Caution | None) -> Point | None:
    """The point of the basket that is bought: the cheapest that does not exceed its chance."""
    chance = caution.chance_of_running_out if caution is not None else None
    if chance is None:
        return None
    within = [point for point in points if point.chance_of_running_out <= chance]
    return max(within, key=lambda point: point.chance_of_running_out, default=None)


def _point(name: str, point: Point | None, look: Look) -> Line:
    """A row of the chart of caution; blank cells keep the format, which its axes take over."""
    chance = percent(point.chance_of_running_out, up=True) if point else None
    bought = look.money(point.bought if point else None, None, SMALL_PRINT)
    words = [NewCell(one, style=SMALL_PRINT) for one in (name, chance)]
    return [*words, to_the_left(bought)]


def _text(text: str) -> NewCell:
    return NewCell(text, style=CHART_DATA)


def to_the_left(cell: NewCell) -> NewCell:
    """A number in the last column: at the right it could stand beside the chart."""
    return replace(cell, style=replace(cell.style, align="left"))
