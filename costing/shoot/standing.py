"""Copies that are eaten after they stood through other shots, warned of before the day.

A copy carries its whole history: what was shot from 10:00 on and is eaten at 15:00 has been on set
for five hours unless somebody kept it in control. Where a container of the log holds the dish, its
log is judged instead (``planning``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, time

from costing.findings import Finding
from costing.holding.instants import length
from costing.holding.models import Container, Event, EventKind, HoldingSettings
from costing.holding.rules import Rule
from costing.holding.statuses import Status
from costing.holding.verdicts import strictest_at
from costing.names import Named, key
from costing.shoot import copy_messages as messages
from costing.shoot.containers import Contents, part_of_dish
from costing.shoot.copies import shots_before, steps_shown
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot


def check_standing(
    shoot: Shoot, rules: Mapping[str, Rule], settings: HoldingSettings
) -> list[Finding]:
    """Warnings about copies that would be past their limit when they are eaten.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in; shots without a start or a date say nothing.
    rules : mapping of str to Rule
        All there are.
    settings : HoldingSettings
        Which rules are chosen.
    """
    eaten = list(_eaten_later(shoot))
    if not eaten:
        return []
    copies = [_as_container(number, one, shoot) for number, one in enumerate(eaten)]
    containers = Contents(shoot.changed(containers=tuple(copies))).classed()
    asked = ((number, at) for number, (_, _, _, at) in enumerate(eaten))
    return [
        messages.copy_stands_too_long(
            shot.at("From"),
            first.label,
            f"{start:%H:%M}",
            shot.label,
            f"{at:%H:%M}",
            length(verdict.limit),
            verdict.rule,
        )
        for (first, shot, start, at), verdict in zip(
            eaten, strictest_at(containers, rules, settings, asked), strict=True
        )
        if verdict is not None and verdict.status is Status.DISCARD and verdict.limit
        if verdict.out_for >= verdict.limit
    ]


Standing = tuple[Shot, Shot, datetime, datetime]
"""The first shot of a copy, the one in which it is eaten, and when they start."""


def _eaten_later(shoot: Shoot) -> Iterator[Standing]:
    """Copies that are eaten after other shots, but for those of which a log is kept."""
    days = Named((episode.name, episode.shoot_date) for episode in shoot.episodes)
    logged = {(key(one.episode), dish) for one in shoot.containers for dish in _dishes(one)}
    for shot in shoot.shots:
        day = days.get(shot.episode)
        if not shot.is_eaten or not shot.times or shot.starts is None or day is None:
            continue
        if {(key(shot.episode), key(shot.dish)), ("", key(shot.dish))} & logged:
            continue
        before = [one for one in shots_before(shot, shoot.shots) if one.starts is not None]
        first = min(before, key=lambda one: one.starts or time.max, default=None)
        if first is not None and first.starts is not None and steps_shown(shot, shoot):
            start, eaten = (datetime.combine(day, at) for at in (first.starts, shot.starts))
            yield first, shot, start, eaten


def _dishes(container: Container) -> Iterator[str]:
    """Keys of the dishes that a container may hold, whole or in part."""
    for text in container.holds:
        part = part_of_dish(text)
        yield key(text if part is None else part.dish)


def _as_container(number: int, one: Standing, shoot: Shoot) -> Container:
    """A copy as a container that is out from the start of its first shot on."""
    _, shot, start, _ = one
    first = min(line.step for line in shoot.recipes[shot.dish])
    return Container(
        name=f"copy {number}",
        holds=[f"{shot.dish}: steps {first}-{max(steps_shown(shot, shoot))}"],
        events=[Event(kind=EventKind.OUT, at=start)],
        episode=shot.episode,
    )
