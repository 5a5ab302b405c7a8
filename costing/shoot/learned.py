r"""What past shoots teach about numbers of times, by kind of step.

Shots of one purpose that take steps of one name are one kind. The chance that such a shot is taken
:math:`k` times is

.. math:: P(k) = \frac{4\,p(k) + n_k}{4 + n}

with :math:`n_k` of :math:`n` shoots that ended at :math:`k` and :math:`p` the user's own
estimate, which so counts as much as four shoots. It is the mean of a Dirichlet distribution [1]_.
Of the estimate 5 % lie beyond Most, each further time half as likely as the one before: what was
never thought of must be able to happen, or no shoot could teach it.

A shoot that ended because food or time ran out, or because the food was spoiled, would have gone
on: it counts as *at least* that often. The same rule is then one on hazards, the chance that a
shoot that came to :math:`k` ends there [2]_,

.. math:: h(k) = \frac{4\,p(k) + n_k}{4\,S(k) + r_k}, \qquad S(k) = \sum_{j \ge k} p(j)

with :math:`r_k` the shoots that are known to have come to :math:`k` and past the question whether
it was enough: those that ended at :math:`k` or later, and those of *at least* more than :math:`k`.
Without any of these it is the first rule again.

References
----------
.. [1] T. S. Ferguson, "A Bayesian Analysis of Some Nonparametric Problems", The Annals of
   Statistics 1 (2), 1973, pp. 209-230.
.. [2] V. Susarla, J. Van Ryzin, "Nonparametric Bayesian Estimation of Survival Curves from
   Incomplete Observations", Journal of the American Statistical Association 71 (356), 1976,
   pp. 897-902.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property

from costing.findings import how_many
from costing.quantities import ONE, ZERO
from costing.shoot.endings import ShotEnding, StepKind
from costing.shoot.shots import Shot
from costing.shoot.times import Times, three_point, times_of

PRIOR_SHOOTS = 4
"""The person's own estimate counts as much as so many shoots: a choice, by which five are the first
that outweigh it. [shoot]"""

BEYOND_MOST = Fraction(1, 20)
"""Of their estimate, the part that lies beyond their Most: a choice, as large as the chance of
running out that a plan accepts unless another is set. [fraction]"""

TAIL_RATIO = Fraction(1, 2)
"""Beyond it each number is so likely as the one before: nothing is known there, and one more is
needed or not with equal chance. [fraction]"""

ENOUGH_SHOOTS = 5
"""What fewer shoots teach is shown and, unless asked for, not used: the estimate counts as
much or more. [shoot]"""

BELOW_FEWEST = Fraction(1, 20)
"""A suggested Fewest leaves at most this chance below it, as much as beyond Most. [fraction]"""

LEAST_ACCEPTED = Fraction(1, 1000)
"""More is always possible, so that no Most is enough for who accepts no chance of it: who accepts
less than this is suggested a Most for this. [fraction]"""


@dataclass(frozen=True)
class UnboundedTimes:
    """A number of times that may be any.

    Parameters
    ----------
    within : tuple of (int, Fraction)
        Whole numbers, rising, with their chances. [fraction]
    beyond : Fraction
        The chance of more than the last of them; each further one is half as likely as the one
        before. [fraction]

    Examples
    --------
    >>> own = with_tail(three_point(1, 2, 4))
    >>> own.more_than(4), own.more_than(5)
    (Fraction(1, 20), Fraction(1, 40))
    """

    within: tuple[tuple[int, Fraction], ...]
    beyond: Fraction

    @property
    def last(self) -> int:
        """The number from which on they are halved. [time]"""
        return self.within[-1][0]

    def of(self, times: int) -> Fraction:
        """The chance of just so many. [fraction]"""
        if times > self.last:
            return self.more_than(times - 1) * (1 - TAIL_RATIO)
        return self._chances.get(times, ZERO)

    @cached_property
    def _chances(self) -> dict[int, Fraction]:
        return dict(self.within)

    @cached_property
    def _more(self) -> list[Fraction]:
        """The chance of more than each number from 0 to the last."""
        more = [self.beyond]
        for times in range(self.last, 0, -1):
            more.append(more[-1] + self.of(times))
        return more[::-1]

    def more_than(self, times: int) -> Fraction:
        """The chance of more. [fraction]"""
        if times >= self.last:
            return self.beyond * Fraction(TAIL_RATIO ** (times - self.last))
        return self._more[times]

    @property
    def mean(self) -> Fraction:
        """The expected number. [time]"""
        return self._moment(1)

    @property
    def spread(self) -> float:
        """The standard deviation. [time]"""
        return math.sqrt(self._moment(2) - self.mean**2)

    def _moment(self, power: int) -> Fraction:
        """The expected number, or that of its square; the tail by the series of halves."""
        first, second = 1 / (1 - TAIL_RATIO), (1 + TAIL_RATIO) / (1 - TAIL_RATIO) ** 2
        tail = self.last + first if power == 1 else self.last**2 + 2 * self.last * first + second
        return sum((k**power * chance for k, chance in self.within), self.beyond * tail)

    @property
    def likeliest(self) -> int:
        """The number with the greatest chance, the least of several. [time]"""
        return max(range(self.last + 2), key=lambda times: (self.of(times), -times))

    def least_within(self, chance: Fraction) -> int:
        """The least number that is enough with a chance. [time]"""
        times = 0
        while 1 - self.more_than(times) < chance:
            times += 1
        return times


def with_tail(own: Times) -> UnboundedTimes:
    """The person's own estimate with what lies beyond their Most."""
    kept = 1 - BEYOND_MOST
    return UnboundedTimes(tuple((k, chance * kept) for k, chance in own.chances), BEYOND_MOST)


def learned(own: UnboundedTimes, ended: Iterable[tuple[int, bool]]) -> UnboundedTimes:
    """The chances after past shoots.

    Parameters
    ----------
    own : UnboundedTimes
        The person's own estimate with its tail.
    ended : iterable of (int, bool)
        How often each was taken, and whether it is at least so often. [time]

    Examples
    --------
    >>> pours = [(times, False) for times in (2, 3, 2, 5, 1, 2, 4, 3, 2, 3)]
    >>> learned(with_tail(three_point(1, 2, 4)), pours).more_than(4) == Fraction("1.2") / 14
    True
    """
    told = list(ended)
    just = Counter(times for times, more in told if not more)
    at_least = Counter(times for times, more in told if more)
    last = max([own.last, *(times for times, _ in told)])
    # the chance to come to k, the estimate's part from k on, and the shoots known to have come to
    # it
    came, own_left, at_risk = ONE, ONE, len(told)
    chances: list[tuple[int, Fraction]] = []
    for k in range(last + 1):
        at_risk -= at_least[k]
        chance = came * (PRIOR_SHOOTS * own.of(k) + just[k]) / (PRIOR_SHOOTS * own_left + at_risk)
        came, own_left, at_risk = came - chance, own_left - own.of(k), at_risk - just[k]
        if chance or chances:
            chances.append((k, chance))
    return UnboundedTimes(tuple(chances), came)


@dataclass(frozen=True)
class Lesson:
    """What past shoots teach of one kind of step.

    ``endings``: of its shots, the newest last; its estimate is the user's own.
    """

    kind: StepKind
    endings: tuple[ShotEnding, ...]

    @property
    def shoots(self) -> int:
        """On how many it rests, each a row of a plan. [shoot]"""
        return len(self.endings)

    @property
    def rests_on_enough(self) -> bool:
        """Whether it is used without being asked for."""
        return self.shoots >= ENOUGH_SHOOTS

    @property
    def own(self) -> UnboundedTimes:
        """The person's own estimate, as they last wrote it."""
        return with_tail(times_of(self.endings[-1].shot))

    @cached_property
    def chances(self) -> UnboundedTimes:
        """What it comes to with all shoots."""
        return learned(self.own, [(one.times, one.at_least) for one in self.endings])

    @cached_property
    def suggested(self) -> tuple[int, int, int]:
        """Fewest, Times and Most to write into the next plan. [time]"""
        return suggested(self.chances, self.endings[-1].accepted)

    @property
    def kept(self) -> tuple[int, int]:
        """In how many shoots what the plan promised was kept, and of how many that is known."""
        known = [one.kept for one in self.endings if one.kept is not None]
        return sum(known), len(known)

    @property
    def promised(self) -> Fraction | None:
        """The mean chance that was promised to those. [fraction]"""
        known = [one.promised[1] for one in self.endings if one.kept is not None]
        return sum(known, ZERO) / len(known) if known else None


def suggested(chances: UnboundedTimes, accepted: Fraction) -> tuple[int, int, int]:
    """Three points that make a plan provide for as many times as the chances ask.

    Times is the likeliest number. Fewest leaves at most one chance in twenty below it. Most is the
    least with which the number that a plan of these three points provides for is exceeded with no
    more than the accepted chance: a plan promises nothing beyond its Most, so a Most at the edge of
    what is likely would promise too much.

    Examples
    --------
    >>> pours = [(times, False) for times in (2, 3, 2, 5, 1, 2, 4, 3, 2, 3)]
    >>> suggested(learned(with_tail(three_point(1, 2, 4)), pours), Fraction(1, 20))
    (1, 2, 7)
    """
    times = chances.likeliest
    fewest = max(
        k for k in range(times + 1) if not k or 1 - chances.more_than(k - 1) <= BELOW_FEWEST
    )
    sure = 1 - max(accepted, LEAST_ACCEPTED)
    needed = chances.least_within(sure)
    most = max(times, needed)
    while three_point(fewest, times, most).least_within(sure) < needed:
        most += 1
    return fewest, times, most


def lessons(endings: Sequence[ShotEnding]) -> list[Lesson]:
    """What each kind of step teaches, those that rest on most shoots first."""
    by_kind: dict[tuple[str, ...], list[ShotEnding]] = {}
    for one in sorted(endings, key=lambda one: one.day or date.min):
        by_kind.setdefault(one.kind.key, []).append(one)
    found = [Lesson(several[-1].kind, tuple(several)) for several in by_kind.values()]
    return sorted(found, key=lambda lesson: (-lesson.shoots, lesson.kind.key))


_NOTE = re.compile(r"Learned from ([0-9]+) past shoots?: ([0-9]+), ([0-9]+), ([0-9]+)\.")


def learned_note(lesson: Lesson) -> str:
    """What is beside the numbers of times of a plan that were learned.

    Examples
    --------
    >>> said = "Learned from 10 past shoots: 1, 2, 7."
    >>> shot = Shot(dish="crepe", fewest=1, times=2, most=7, note=said)
    >>> learned_from(shot)
    10
    """
    shoots = how_many(lesson.shoots, "past shoot")
    points = ", ".join(map(str, lesson.suggested))
    return f"Learned from {shoots}: {points}."


def learned_from(shot: Shot) -> int | None:
    """On how many shoots its number of times rests; ``None`` where it was typed or edited."""
    told = _NOTE.search(shot.note)
    if told is None:
        return None
    points = shot.least_times, shot.times, shot.most_times
    return int(told[1]) if points == tuple(map(int, told.groups()[1:])) else None
