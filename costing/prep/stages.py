"""What is made of a dish: stages to have ready before a shot, and each copy that is begun.

The words of the trade decide which shots have a stage. A *swap* is a copy of the dish at a given
stage; a *hero* is the specimen that is shot as the finished dish, and a *hero spare* its copy; a
*stand-in* is food that stands in for light and framing. All four are carried onto the set as they
are when their shot starts. Every other purpose cooks, repeats, puts back or eats in front of the
camera or away from it, and what it needs are bowls: a reset takes garnish, a bite takes of a dish
that has been made for another shot.

Worked by hand on the demo, the leek tart: the swap P2 takes step 1 and starts at 11:30, the hero P3
takes steps 1 to 6 and starts at 13:00. So one case taken to step 1 is ready by 11:30 and one tart
taken to step 6 by 13:00; the cook-through, the retakes and the resets have no stage.

A shot that shows a dish begins a copy of it each time, unless From lets the copy of another shot
continue. A retake, close-up, reset, vertical pass or giveaway of some steps begins none: it
uses what these steps add. Copies are begun for as many times as the plan provides for; those that
exist only so that food does not run out are the last of their shot, and copies that the likeliest
numbers of times need come first.

Worked by hand: a cook-through R1 of steps 1-2, taken once, continues to a hero H of step 3, once or
twice. Provided for two heroes, two copies are begun: the first goes through R1 and H, the second
through both too, though R1 is shot once, and only if there is a second hero.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from costing.names import Named, key
from costing.prep.bowls import Covered, Ready, ready_by, starts_at
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.copies import Forest, steps_shown
from costing.shoot.purposes import READY_MADE, STEPS_ALONE


@dataclass(frozen=True, slots=True)
class Stage:
    """A dish to be taken to a step before a shot.

    Parameters
    ----------
    to_step : int
        The last of the steps of the shot.
    times : int
        How many are provided for. [time]
    """

    shot: Shot
    dish: str
    to_step: int
    times: int
    ready: Ready


def stages_of(shoot: Shoot, *, covered: Covered, zone: ZoneInfo) -> list[Stage]:
    """The stages of a whole shoot, by episode, by when they must be ready, by dish and step.

    ``covered``: for how many times each uncertain shot is provided.

    Examples
    --------
    >>> shoot = Shoot(
    ...     lines=[{"dish": "tart", "step": n, "ingredient": "flour"} for n in (1, 2, 3)],
    ...     episodes=[Episode(name="One")],
    ...     shots=[Shot(dish="tart", episode="One", purpose="swap", steps=(1, 2), times=2)],
    ... )
    >>> [stage] = stages_of(shoot, covered={}, zone=ZoneInfo("Europe/Lisbon"))
    >>> stage.to_step, stage.times, stage.ready.at
    (2, 2, None)
    """
    days = shoot.episode_rows
    order, places = days.order, shoot.recipes.order
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


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of a dish.

    Parameters
    ----------
    number : int
        Among those of the dish in its episode, from 1.
    shots : tuple of Shot
        In the order in which it goes through them.
    take : tuple of int
        Place in the plan of the first of them, and which of its takes, from 0.
    steps : tuple of int
        Those that are made on it, rising.
    first, last : datetime, optional
        When the first and the last of its shots start that have a start.
    spare : bool
        Whether it is begun only if there are more takes than Times.
    not_shot : tuple of Shot
        Those whose steps are made on it without a take of its own.
    """

    number: int
    dish: str
    shots: tuple[Shot, ...]
    take: tuple[int, int]
    steps: tuple[int, ...]
    first: datetime | None
    last: datetime | None
    spare: bool
    not_shot: tuple[Shot, ...]

    @property
    def episode(self) -> str:
        """Whose."""
        return self.shots[0].episode


def begins_a_copy(number: int, shoot: Shoot, forest: Forest) -> bool:
    """Whether a shot shows a dish that is begun for it."""
    shot = shoot.shots[number]
    if shot.source is not None or not shoot.is_dish(shot.dish) or not shot.batch:
        return False
    if shot.purpose not in STEPS_ALONE or number in forest.takers or shot.steps is None:
        return True
    return set(shot.steps) >= {line.step for line in shoot.recipes[shot.dish]}


def copies_of(shoot: Shoot, *, caps: Mapping[int, int], zone: ZoneInfo) -> list[Copy]:
    """The copies of a whole shoot, by episode and dish, in the order of the plan.

    ``caps``: for how many times each uncertain shot is provided. [time]
    """
    forest = Forest(shoot.shots)
    days = shoot.episode_rows
    numbers: dict[tuple[str, str], int] = {}
    copies = []
    for root in range(len(shoot.shots)):
        if not begins_a_copy(root, shoot, forest):
            continue
        dish = shoot.recipes.spelling(shoot.shots[root].dish)
        surely = forest.times(root, {})
        for take, path in enumerate(_paths(root, forest, caps)):
            whose = shoot.shots[root].episode, dish
            numbers[whose] = numbers.get(whose, 0) + 1
            shots = tuple(shoot.shots[number] for number, _ in path)
            day = days[whose[0]]
            starts = [at for shot in shots if (at := starts_at(shot.starts, day, zone))]
            copies.append(
                Copy(
                    numbers[whose],
                    dish,
                    shots,
                    (root, take),
                    tuple(sorted(steps_shown(shots[-1], shoot))),
                    min(starts, default=None),
                    max(starts, default=None),
                    take >= surely,
                    tuple(shoot.shots[number] for number, shot in path if not shot),
                )
            )
    order, dishes = days.order, shoot.recipes.order
    return sorted(
        copies, key=lambda one: (order[key(one.episode)], dishes[key(one.dish)], one.number)
    )


Path = list[tuple[int, bool]]
"""Places of shots in the plan, and whether the copy is shot in each."""


def _paths(root: int, forest: Forest, caps: Mapping[int, int]) -> list[Path]:
    """The ways of the copies begun by a shot, those that Times needs first."""
    reached = forest.takers_first([root])
    all_times, sure_times = forest.times_of(reached, caps), forest.times_of(reached, {})
    paths: list[Path] = [[] for _ in range(all_times[root])]
    waiting: list[tuple[int, list[Path]]] = [(root, paths)]
    while waiting:
        number, copies = waiting.pop()
        takes = caps.get(number, forest.shots[number].times)
        for at, path in enumerate(copies):
            path.append((number, at < takes))
        wanted = [(taker, all_times[taker]) for taker in forest.takers.get(number, ())]
        surely = [(taker, min(times, sure_times[taker])) for taker, times in wanted]
        more = [(t, times - sure) for (t, times), (_, sure) in zip(wanted, surely, strict=True)]
        # the sure takes of every shot come first, so that copies for more of them are the last
        slots = [taker for taker, times in (*surely, *more) for _ in range(times)]
        for taker, _ in wanted:
            pairs = zip(copies, slots, strict=False)
            waiting.append((taker, [path for path, slot in pairs if slot == taker]))
    return paths
