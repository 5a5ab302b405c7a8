"""How long each container was out against the limit of its strictest rule, as the chart shows it.

A bar and its limit side by side say that time is left where the first is the shorter one. Where
that would be untrue, because a mark, a reading or a gap in the log decides before the hours do, the
limit is left out and only the word of the status is there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, timedelta
from fractions import Fraction

from costing.holding.rules import TIMES_OUT, Rule, load_rules
from costing.holding.statuses import Status, Verdict

CONTAINERS = 12
"""At most so many containers have bars."""

ABOUT = (
    "Time out as logged, limits by published rules (hours:minutes). Other hazards are not checked: "
    "see Holding times."
)
PAST_LIMIT = (Status.DISCARD, Status.CANNOT_BE_USED)
WITHIN_LIMIT = (Status.WITHIN, Status.DO_NOT_RETURN)
ZERO, SECOND = timedelta(0), timedelta(seconds=1)


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
    """The bars of the containers that a rule judges.

    Parameters
    ----------
    verdicts : sequence of Verdict
        On every container and rule.
    own_rules : sequence of Rule
        The user's own rules besides the published ones.
    """
    own = {rule.id: rule for rule in own_rules}
    rules = load_rules() | own
    strictest = [verdict for verdict in verdicts if verdict.strictest]
    judged = [verdict for verdict in strictest if _is_judged(verdict, rules[verdict.rule])]
    judged.sort(key=lambda verdict: _nearness(verdict, rules[verdict.rule]), reverse=True)
    times = tuple(_time_out(one, rules[one.rule]) for one in judged[:CONTAINERS])
    named = sorted({one.rule for one in judged[:CONTAINERS]} & own.keys())
    about = f"{ABOUT} Not published, but rules of your own: {', '.join(named)}." if named else ABOUT
    return TimeBars(times, about, " ".join(_left_out(len(judged), len(strictest))))


def _is_judged(verdict: Verdict, rule: Rule) -> bool:
    """Whether there is a time to show, or a limit that is past."""
    return verdict.status in PAST_LIMIT or (
        verdict.status in WITHIN_LIMIT and _in_hours(verdict, rule)
    )


def _in_hours(verdict: Verdict, rule: Rule) -> bool:
    return rule.clock in TIMES_OUT and verdict.limit > ZERO


def _nearness(verdict: Verdict, rule: Rule) -> tuple[bool, Fraction]:
    """Sorts what is past a limit last, then by the part of the limit that is used up."""
    used = Fraction(1)
    if _in_hours(verdict, rule):
        used = Fraction(verdict.out_for // SECOND, _limit(verdict) // SECOND or 1)
    return verdict.status in PAST_LIMIT, used


def _limit(verdict: Verdict) -> timedelta:
    """The limit, or what a mark or a reading makes of it while the clock runs. [time out]"""
    if verdict.status in PAST_LIMIT or verdict.discard_at is None:
        return verdict.limit
    left = verdict.discard_at.astimezone(UTC) - verdict.asked_at.astimezone(UTC)
    return min(verdict.limit, verdict.out_for + max(left, ZERO))


def _time_out(verdict: Verdict, rule: Rule) -> TimeOut:
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
