"""How often each shot was taken in the end, and what ended it.

This module says how often each shot was taken, why no more, and for how many times its own three
points provide at the accepted chance; ``learned`` the chances after that, and which three points to
take. A shot without Steps is the whole dish, or its only step. Decided besides:

- What was taken and spoiled is food that was needed: both count. A blank Ended by is enough, and
  the number of those is said.
- The user's own estimate is that of the newest shoot. Each row of a plan is one shoot that a lesson
  rests on.
- A promise was kept when no more was needed than the shot's own three points provide for (other
  shots and packs may provide more), and broken when food ran out, whatever was provided for. Where
  time ran out before, nobody knows.
- A blank Taken in an episode of which other takes are told is not a 0 here, as it is in closing:
  nobody says whether the shot was dropped or forgotten.
- Learned numbers stand in their cells with a Note that repeats them; Assumptions lists them as long
  as Note and cells agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from costing.names import key
from costing.shoot.purposes import STEPS_EXPECTED
from costing.shoot.shoot import Shoot
from costing.shoot.shots import EndedBy, Shot
from costing.shoot.taken import so_far
from costing.shoot.times import times_of

WHOLE_DISH = "whole dish"
"""Stands for the names of the steps of a shot that takes all of its dish."""


@dataclass(frozen=True, slots=True)
class StepKind:
    """A kind of step: what shots are compared with each other.

    ``steps``: names of the steps they take; none: the whole dish.

    Examples
    --------
    >>> print(StepKind("retake", ("pour", "turn")), StepKind("hero", ()), sep="; ")
    retake, pour + turn; hero, whole dish
    """

    purpose: str
    steps: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.purpose}, {self.step}"

    @property
    def step(self) -> str:
        """The names of its steps in words."""
        return " + ".join(self.steps) or WHOLE_DISH

    @property
    def key(self) -> tuple[str, ...]:
        """By which kinds are the same."""
        return key(self.purpose), *map(key, self.steps)


def kind_of(shot: Shot, shoot: Shoot) -> StepKind:
    """The kind of a shot; a step without a name is known by its number and its dish.

    Examples
    --------
    >>> from costing.kitchen import Line
    >>> lines = [Line(dish="crepe", step=2, step_name="Pour"), Line(dish="crepe", step=3)]
    >>> shoot = Shoot(lines=lines)
    >>> print(kind_of(Shot(dish="crepe", purpose="retake", steps="2-3"), shoot))
    retake, Pour + crepe: step 3
    """
    lines = shoot.recipes.get(shot.dish, ())
    names: dict[int, str] = {}
    for line in lines:
        names[line.step] = names.get(line.step) or line.step_name
    named = [names[step] or f"{shot.dish}: step {step}" for step in sorted(names)]
    if shot.steps is not None:
        named = [names.get(step) or f"{shot.dish}: step {step}" for step in shot.steps]
    elif shot.purpose not in STEPS_EXPECTED and not (len(names) == 1 and names[min(names)]):
        named = []
    return StepKind(str(shot.purpose), tuple(named))


@dataclass(frozen=True, slots=True)
class ShotEnding:
    """How often a shot was taken in the end.

    Parameters
    ----------
    times : int
        How often food went into it: takes, and those whose food was spoiled. [time]
    why : EndedBy, optional
        Why no more; ``None`` is not told and counts as enough.
    accepted : Fraction
        The chance of running out that was accepted. [fraction]
    """

    kind: StepKind
    times: int
    why: EndedBy | None
    shot: Shot
    accepted: Fraction
    day: date | None = None
    workbook: str = ""

    @property
    def at_least(self) -> bool:
        """Whether it would have gone on."""
        return self.why not in (None, EndedBy.ENOUGH)

    @property
    def promised(self) -> tuple[int, Fraction]:
        """For how many times the plan provides at least, and the chance that they are enough.

        Where other shots are uncertain too, or packs bring more, it provides for more.
        """
        times = times_of(self.shot)
        cap = times.least_within(1 - self.accepted)
        return cap, times.chance_within(cap)

    @property
    def kept(self) -> bool | None:
        """Whether that many were enough; ``None`` where it ended before anybody could know."""
        if self.times > self.promised[0] or self.why is EndedBy.FOOD:
            return False
        return None if self.at_least else True


def endings_of(shoot: Shoot, workbook: str) -> list[ShotEnding]:
    """How often each shot of a shoot was taken in the end, those that were taken or ended."""
    taken = so_far(shoot)
    return [
        ShotEnding(
            kind_of(shot, shoot),
            taken.of(number).times + taken.of(number).spoiled,
            shot.ended_by or (EndedBy.ENOUGH if taken.of(number).ended else None),
            shot,
            shoot.settings.chance_of_running_out,
            shoot.shoot_dates.get(shot.episode),
            workbook,
        )
        for number, shot in enumerate(shoot.shots)
        if number in taken.shots or shot.taken is not None
    ]
