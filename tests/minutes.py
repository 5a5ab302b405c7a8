"""A clock written apart: each minute is judged by itself, in sets, and nothing is carried along.

It knows rules that add up the time out of control, that count from the first of it, and that allow
one period. Of each minute it asks what was last done to the food, what was measured before and
after, and whether cooling is proven. Figures are typed from the sources; nothing of
``costing.holding`` is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

HEATING = ("cooked", "reheated")
REMOVING = ("out", "prep", "cut", "opened", "served")


@dataclass(frozen=True)
class Row:
    """A row of a log: minute, what happened, degrees Celsius of the food."""

    minute: int
    kind: str
    food: Fraction | None = None


@dataclass(frozen=True)
class Cooling:
    """From where cooling counts, and the time to 21 °C and to 5 °C.

    ``from_first``: the second time is counted from 21 °C on.
    """

    falls_from: Fraction
    first: int
    second: int
    from_first: bool = False


FALLS_FROM = (Fraction(135) - 32) * 5 / 9
"""135 °F. [°C]"""

US_COOL = Cooling(FALLS_FROM, 120, 360)
AU_COOL = Cooling(Fraction(60), 120, 240, from_first=True)


@dataclass(frozen=True)
class Figures:
    """Cold up to, hot from (itself or above it), and the minutes to throw away at.

    ``cooling``: by which proven cooling is no time out. ``running``: all counts from the first
    minute out. ``one_period``: it may be put out once. ``no_return``: minutes from which nothing
    that is out may go back. ``hot_room``: minutes in a hot room.
    """

    cold: Fraction
    hot: Fraction
    hot_itself: bool
    limit: int
    cooling: Cooling = US_COOL
    running: bool = False
    one_period: bool = False
    no_return: int | None = None
    hot_room: int | None = None

    def side(self, food: Fraction | None) -> str:
        """cold, hot, warm, or nothing measured."""
        if food is None:
            return ""
        if food <= self.cold:
            return "cold"
        is_hot = food >= self.hot if self.hot_itself else food > self.hot
        return "hot" if is_hot else "warm"


FIGURES = {
    "HOME-2H-5C": Figures(Fraction(5), Fraction(60), hot_itself=False, limit=120),
    "CA-2H": Figures(Fraction(4), Fraction(60), hot_itself=True, limit=120),
    "HK-2H4H": Figures(Fraction(4), Fraction(60), hot_itself=False, limit=240, no_return=120),
    "AU-2H4H": Figures(
        Fraction(5), Fraction(60), hot_itself=True, limit=240, no_return=120, cooling=AU_COOL
    ),
    "US-HOME-2H": Figures(Fraction(4), Fraction(60), hot_itself=True, limit=120, hot_room=60),
    "US-TPHC-4": Figures(
        Fraction(5), (Fraction(135) - 32) * 5 / 9, hot_itself=True, limit=240, running=True
    ),
    "UK-CHILL4": Figures(Fraction(8), Fraction(63), hot_itself=True, limit=240, one_period=True),
    "UK-HOT2": Figures(Fraction(8), Fraction(63), hot_itself=True, limit=120, one_period=True),
}

HOT_ROOM = Fraction(32)
"""90 °F, in °C by the stricter of what is printed."""


@dataclass(frozen=True)
class Pass:
    """Cooling from the last row that shows the food hot, or heats it.

    ``until``: when it was cold, or the minute asked about. ``late_at``: the end of a time in which
    it had not come to 21 °C, or to 5 °C.
    """

    rows: list[Row]
    until: int
    cold: bool
    cool: bool
    late_at: int | None


def passes(rows: list[Row], by: Cooling, asked: int) -> list[Pass]:
    """Cooling by ``asked``: what is warmed again has not come to 21 °C, and a miss is the last."""
    happened = [row for row in rows if row.minute <= asked and row.kind != "room"]
    found: list[Pass] = []
    while happened := _from_where_it_cools(happened, by):
        cools = _cools(happened, by, asked)
        found.append(cools)
        if cools.late_at is not None or not cools.cold:
            break
        happened = [row for row in happened if row.minute > cools.until]
    return found


def _cools(rows: list[Row], by: Cooling, asked: int) -> Pass:
    """How far the cooling has come that begins with the first row."""
    begin = rows[0].minute
    cool: int | None = None
    for row in rows[1:]:
        warm = row.kind in HEATING or (row.food is not None and row.food > 21)
        if row.minute > _due(begin, cool, by):
            return Pass(rows, row.minute, False, cool is not None, _due(begin, cool, by))
        cool = None if warm else cool
        if row.minute > _due(begin, cool, by):
            return Pass(rows, row.minute, False, False, _due(begin, cool, by))
        if row.food is not None and not warm:
            cool = row.minute if cool is None else cool
            if row.food <= 5:
                return Pass(rows, row.minute, True, True, None)
    due = _due(begin, cool, by)
    return Pass(rows, asked, False, cool is not None, due if due <= asked else None)


def _due(begin: int, cool: int | None, by: Cooling) -> int:
    """By when it must have come to 21 °C, or then to 5 °C."""
    if cool is None:
        return begin + by.first
    return (cool if by.from_first else begin) + by.second


@dataclass(frozen=True)
class Cooled:
    """Minutes of cooling that count for nothing, and whether the food was left to cool until then.

    ``cold``: it was measured cold at the end of them.
    """

    minutes: range
    left_alone: bool
    cold: bool


def cooled(rows: list[Row], by: Cooling, asked: int) -> list[Cooled]:
    """Cooling that readings prove by ``asked``."""
    found: list[Cooled] = []
    for one in passes(rows, by, asked):
        first = one.rows[0]
        in_time = one.cool and one.late_at is None
        if in_time and (first.food is None or first.food >= by.falls_from):
            out = [r.minute for r in one.rows if r.kind in REMOVING and r.minute < one.until]
            minutes = range(first.minute, out[0] if out else one.until)
            found.append(Cooled(minutes, not out, one.cold and not out))
    return found


def _from_where_it_cools(rows: list[Row], by: Cooling) -> list[Row]:
    """The rows from the last one that shows the food still hot, or that heated it."""
    begins = [
        at
        for at, row in enumerate(rows)
        if row.kind in HEATING or (row.food is not None and row.food >= by.falls_from)
    ]
    if not begins:
        return []
    rows = rows[begins[0] :]
    for at, row in enumerate(rows[1:], start=1):
        if row.kind in HEATING and row.minute > rows[0].minute + by.first:
            break
        if row.food is None:
            continue
        if row.food < by.falls_from:
            break
        return _from_where_it_cools(rows[at:], by)
    return rows


def out_minutes(rows: list[Row], figures: Figures, asked: int, *, cooling: bool) -> set[int]:
    """The minutes before ``asked`` in which the food was out of control."""
    happened = [row for row in rows if row.minute <= asked]
    proven = cooled(rows, figures.cooling, asked) if cooling else []
    finished = {one.minutes.stop for one in proven if one.cold}
    aside = {minute for one in proven for minute in one.minutes}
    out: set[int] = set()
    late = asked
    for minute in range(asked):
        if figures.no_return is not None and len(out - aside) >= figures.no_return:
            late = min(late, minute)
        if _is_out(happened, minute, figures, finished, late):
            out.add(minute)
    if not figures.running:
        return out - aside
    for one in proven:
        before = {minute for minute in out if minute < one.minutes.start}
        shown = [r for r in happened if r.kind in ("out", "served") and r.minute < one.minutes.stop]
        if (
            one.left_alone
            and not shown
            and one.minutes.start - min(before, default=asked) < figures.limit
        ):
            out = {minute for minute in out if minute >= one.minutes.stop}
    return set(range(min(out), asked)) if out else out


def thrown_away_at(
    out: set[int], rows: list[Row], figures: Figures, *, still: bool = False
) -> int | None:
    """The minute at which the food is past its limit or put out a second time, as logged.

    ``still``: it is out at the last row or later, when it is asked about.
    """
    limit = figures.limit
    exposed = out | {rows[-1].minute} if still else out
    if figures.hot_room and _hot_room(exposed, rows):
        limit = figures.hot_room
    ends = [sorted(out)[limit - 1] + 1] if len(out) >= limit else []
    if figures.one_period:
        over = [
            back.minute
            for back in rows
            if back.kind == "back"
            and back.minute - 1 in out
            and any(row.kind == "out" and row.minute < back.minute for row in rows)
        ]
        again = [row.minute for row in rows if row.kind == "out"]
        ends += [minute for minute in again if over and minute > min(over)][:1]
    return min(ends, default=None)


def _hot_room(out: set[int], rows: list[Row]) -> bool:
    """Whether food was out while a hot reading of the room held, until the next reading of it."""
    read = [(row.minute, row.food) for row in rows if row.kind == "room" and row.food is not None]
    for minute, degrees in read:
        until = min((later for later, _ in read if later > minute), default=99_999)
        if degrees >= HOT_ROOM and out & set(range(minute, until)):
            return True
    return False


def _is_out(rows: list[Row], minute: int, figures: Figures, finished: set[int], late: int) -> bool:
    """Whether the food is out in one minute; from ``late`` on no return ends it."""
    rows = [row for row in rows if row.kind != "room"]
    before = [row for row in rows if row.minute <= minute]
    after = [row for row in rows if row.minute > minute]
    read_before = [(row, figures.side(row.food)) for row in before if row.food is not None]
    read_after = [(row, figures.side(row.food)) for row in after if row.food is not None]
    last = read_before[-1] if read_before else None
    following = read_after[0] if read_after else None
    leaves = _leaves_since_in_control(before, figures, finished, late)
    heated = [row.minute for row in rows if row.kind in HEATING and row.food is None]
    has_cooled = (
        last is not None
        and following is not None
        and last[1] == "cold"
        and any(last[0].minute < when < following[0].minute for when in heated)
    )
    if last and following and last[1] == following[1] != "warm" and not has_cooled:
        between = [row for row in after if row.minute < following[0].minute]
        removed = any(row.kind in REMOVING for row in leaves + between)
        measured = following[0].kind == "reading" and not figures.running
        if measured or not (removed or following[0].kind in HEATING):
            return False
    if leaves or minute >= late:
        return True
    if last is None:
        return False
    if last[1] == "warm":
        return True
    if following is None:
        return False
    taken = [row for row in after if row.kind in REMOVING + HEATING]
    if taken and taken[0].minute < following[0].minute:
        return False  # what was measured is explained by that
    if following[0].kind in HEATING:  # heating explains warm food, not cold food that was hot
        return last[1] == "hot" and following[1] == "cold"
    return following[1] != last[1]


def _leaves_since_in_control(
    before: list[Row], figures: Figures, finished: set[int], late: int
) -> list[Row]:
    """What took the food out, since it last went back measured in control."""
    leaves: list[Row] = []
    for row in before:
        side = figures.side(row.food)
        if row.minute in finished and row.minute < late:
            leaves = []
        if row.kind in REMOVING or row.kind in HEATING:
            leaves.append(row)
        elif row.kind == "back" and side in ("cold", "hot") and row.minute < late:
            leaves = []
    return leaves
