"""How far the day is: how often each shot was taken by its log, and whose day is over."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from costing.shoot import Shoot
from costing.shoot.copies import Forest
from costing.shoot.defaults import shoot_day
from costing.shoot.episodes import Logged
from costing.shoot.taken import SoFar, clock_face, so_far

Numbers = Mapping[int, int]
"""How often each shot is taken in all, by its place in the plan. [time]"""

InAll = int | None
"""How often a shot is taken in all; ``None``: as often as is planned. [time]"""


@dataclass(frozen=True)
class Day:
    """How far the day is.

    ``last``: the shoot day of the last line of the log; episodes shot before it are over.
    """

    shoot: Shoot
    so_far: SoFar
    last: date | None = None

    @classmethod
    def of(cls, shoot: Shoot) -> Day:
        """The day as the log has it."""
        timed = (clock_face(line.when) for line in shoot.day_log if line.when)
        last = max(timed, default=None)
        return cls(shoot, so_far(shoot), last and shoot_day(last, shoot))

    def at(self, count: Logged) -> Day:
        """The same when something was counted."""
        if count.when is None:
            raise ValueError("a count has a time")
        until = so_far(self.shoot, until=count.when)
        return Day(self.shoot, until, shoot_day(count.when, self.shoot))

    def is_over(self, number: int) -> bool:
        """Whether a shot's day has passed."""
        day = self.shoot.shoot_dates.get(self.shoot.shots[number].episode)
        return day is not None and self.last is not None and day < self.last

    def is_assumed(self, number: int) -> bool:
        """Whether a shot's day has passed and nothing says how often it was taken."""
        return number not in self.so_far.shots and self.is_over(number)

    def taken(self, number: int) -> int:
        """How often a shot was taken; one whose day has passed and is not logged, as planned."""
        if self.is_assumed(number):
            return self.shoot.shots[number].times
        return self.so_far.of(number).times

    @property
    def numbers(self) -> dict[int, int]:
        """How often each shot was taken. [time]"""
        return {number: self.taken(number) for number in range(len(self.shoot.shots))}

    def provided(self, forest: Forest, shots: Iterable[int], numbers: Numbers) -> dict[int, int]:
        """For how many times the steps of shots are used when they are taken so often. [time]

        ``numbers``: how often each of them is taken, and each that continues with its copies.
        [time]
        """
        asked, found = list(shots), dict[int, int]()
        for number in forest.takers_first(asked):
            copies = sum(found[taker] for taker in forest.takers.get(number, ()))
            found[number] = max(numbers[number], copies) + self.so_far.of(number).spoiled
        return {number: found[number] for number in asked}
