"""Stages of a dish to prepare before the shot that shows them.

The words of the trade decide which shots have one. A *swap* is a copy of the dish at a given
stage; a *hero* is the specimen that is shot as the finished dish, and a *hero spare* its copy; a
*stand-in* is food that stands in for light and framing. All four are carried onto the set as they
are when their shot starts. Every other purpose cooks, repeats, puts back or eats in front of the
camera or away from it, and what it needs are bowls: a reset takes garnish, a bite takes of a dish
that has been made for another shot.

Worked by hand on the demo, the leek tart: the swap P2 takes step 1 and starts at 11:30, the hero P3
takes steps 1 to 6 and starts at 13:00. So one case taken to step 1 is ready by 11:30 and one tart
taken to step 6 by 13:00; the cook-through, the retakes and the resets have no stage.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from costing.names import Named, key
from costing.prep.bowls import Covered, Ready, ready_by
from costing.shoot import Episode, Purpose, Shoot, Shot

READY_MADE = frozenset({Purpose.SWAP, Purpose.HERO, Purpose.HERO_SPARE, Purpose.STAND_IN})
"""Purposes whose dish stands ready when the shot starts."""


@dataclass(frozen=True, slots=True)
class Stage:
    """A dish to be taken to a step before a shot.

    Parameters
    ----------
    shot : Shot
        Which shows it.
    dish : str
        As the recipe spells it.
    to_step : int
        The last of the steps of the shot.
    times : int
        How many are provided for. [time]
    ready : Ready
        By when.
    """

    shot: Shot
    dish: str
    to_step: int
    times: int
    ready: Ready


def stages_of(shoot: Shoot, *, covered: Covered, zone: ZoneInfo) -> list[Stage]:
    """The stages of a whole shoot, by episode, by when they must be ready, by dish and step.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in.
    covered : mapping of int to int
        For how many times each uncertain shot is provided.
    zone : ZoneInfo
        Of the local times.

    Examples
    --------
    >>> shoot = Shoot(
    ...     lines=[{"dish": "tart", "step": n, "ingredient": "flour"} for n in (1, 2, 3)],
    ...     episodes=[Episode(name="One")],
    ...     shots=[Shot(dish="tart", episode="One", purpose=Purpose.SWAP, steps=(1, 2), times=2)],
    ... )
    >>> [stage] = stages_of(shoot, covered={}, zone=ZoneInfo("Europe/Lisbon"))
    >>> stage.to_step, stage.times, stage.ready.at
    (2, 2, None)
    """
    days = Named((episode.name, episode) for episode in shoot.episodes)
    order = {key(name): number for number, name in enumerate(days)}
    places = {key(dish): number for number, dish in enumerate(shoot.recipes)}
    return sorted(
        _stages(shoot, covered, days, zone),
        key=lambda stage: (
            order[key(stage.shot.episode)],
            *stage.ready.order,
            places[key(stage.dish)],
            stage.to_step,
        ),
    )


def _stages(
    shoot: Shoot, covered: Covered, days: Named[Episode], zone: ZoneInfo
) -> Iterator[Stage]:
    for number, shot in enumerate(shoot.shots):
        times = covered.get(number, shot.times)
        if shot.purpose not in READY_MADE or not shoot.is_dish(shot.dish):
            continue
        steps = {line.step for line in shoot.recipes[shot.dish]}
        if shot.steps is not None:
            steps &= set(shot.steps)
        if steps and times and shot.batch:
            ready = ready_by(days[shot.episode], [shot], zone)
            dish = shoot.recipes.spelling(shot.dish)
            yield Stage(shot, dish, max(steps), times, ready)
