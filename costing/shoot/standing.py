"""What would stand on set too long: past its photo life, or past a limit before it is eaten.

A plate stands from the start of its hero or reset until the next hero, hero spare or reset of the
same dish starts, or where there is none until the next shot of the episode does.

A copy carries its whole history: what was shot from 10:00 on and is eaten at 15:00 has been on set
for five hours unless somebody kept it in control. Where a container of the log holds the dish, its
log is judged instead (``planning``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, time
from fractions import Fraction

from costing.findings import Finding, Grade, Words, choice_words, how_many, message
from costing.holding.instants import length
from costing.holding.models import Container, Event, EventKind, HoldingSettings
from costing.holding.rules import Rule
from costing.holding.statuses import Status
from costing.holding.verdicts import strictest_at
from costing.names import by_name, is_water, key
from costing.quantities import Amount, Unit, decimal_or_fraction
from costing.shoot import messages
from costing.shoot.containers import Contents, dishes_named
from costing.shoot.copies import shots_before, steps_shown
from costing.shoot.leaves import Leaves
from costing.shoot.purposes import FRESH_PLATE, Purpose
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot


@message("copy stands too long", Grade.WARNING)
def copy_stands_too_long(
    first: str, start: str, shot: str, when: str, limit: str, rule: str
) -> Words:
    """A copy that is eaten after it has stood through other shots, with no log of it."""
    return Words(
        f'a copy first shot in "{first}" at {start} and eaten in "{shot}" at {when}: past the '
        f"{limit} of {rule} if it is out in between",
        "food within its limit when it is eaten, with all that it has been through",
        "Keep it in control between its shots and log it on the sheet Holding with its "
        f'temperatures, or begin a new copy for "{shot}".',
    )


@message("stands past photo life", Grade.WARNING)
def stands_past_photo_life(
    plates: str, dish: str, when: str, minutes: Fraction, resets: str
) -> Words:
    """Plates that are on set for longer than they look right, and the resets that are missing."""
    return Words(
        f'{plates} of "{dish}" on set {when}',
        f"a fresh plate for every {decimal_or_fraction(minutes)} minutes",
        f"Plan {resets}, or shoot it sooner. How long it looks right is no limit for eating it.",
    )


def check_standing(
    shoot: Shoot, rules: Mapping[str, Rule], settings: HoldingSettings
) -> list[Finding]:
    """Warnings about copies that would be past their limit when they are eaten.

    ``shoot``: with its episodes and shots filled in; shots without a start or a date say nothing.
    """
    eaten = list(_eaten_later(shoot))
    if not eaten:
        return []
    copies = [_as_container(number, one, shoot) for number, one in enumerate(eaten)]
    containers = Contents(shoot.changed(containers=tuple(copies))).classed()
    asked = ((number, at) for number, (_, _, _, at) in enumerate(eaten))
    return [
        copy_stands_too_long(
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
    logged = {(key(one.episode), dish) for one in shoot.containers for dish in dishes_named(one)}
    for shot in shoot.shots:
        day = shoot.shoot_dates.get(shot.episode)
        if not shot.is_eaten or not shot.times or shot.starts is None or day is None:
            continue
        # its log is judged instead
        if {(key(shot.episode), key(shot.dish)), ("", key(shot.dish))} & logged:
            continue
        before = [one for one in shots_before(shot, shoot.shots) if one.starts is not None]
        first = min(before, key=lambda one: one.starts or time.max, default=None)
        if first is not None and first.starts is not None and steps_shown(shot, shoot):
            start, eaten = (datetime.combine(day, at) for at in (first.starts, shot.starts))
            yield first, shot, start, eaten


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


def check_photo_life(shoot: Shoot) -> Iterator[Finding]:
    """Plates that stand on set for longer than they look right."""
    timed = by_name((s.episode, s) for s in shoot.shots if s.starts is not None and s.times)
    on_set = by_name((shot.dish, shot) for shot in shoot.shots)
    places = shoot.episode_rows.order
    for dish in shoot.dishes:
        if dish.photo_life is None or dish.name not in on_set:
            continue
        fresh = by_name(
            (shot.episode, shot)
            for shot in on_set[dish.name]
            if shot.purpose in FRESH_PLATE and shot.starts is not None and shot.times
        )
        stands = [
            stand
            for episode in sorted(fresh, key=lambda name: places[key(name)])
            for stand in _stands(fresh[episode], timed[episode])
        ]
        for first, last, plates in stands:
            minutes = _minutes(last) - _minutes(first.starts or last)
            needed = math.ceil(minutes / dish.photo_life)
            if needed > plates:
                more = needed - plates
                taken = choice_words(_taken(shoot, first, more), last="and")
                takes = f", which take{'s' if more == 1 else ''} {taken}" if taken else ""
                yield stands_past_photo_life(
                    first.at("Starts"),
                    how_many(plates, "plate"),
                    dish.name,
                    f"from {first.starts:%H:%M} to {last:%H:%M}",
                    dish.photo_life,
                    f"{how_many(more, 'more reset')}{takes}",
                )
        if not stands:
            yield messages.entry_changes_nothing(
                dish.at("Photo life minutes"),
                f'the photo life of "{dish.name}"',
                "which needs a hero or a reset and a shot after it, both with Starts",
            )


def _stands(fresh: Sequence[Shot], timed: Sequence[Shot]) -> Iterator[tuple[Shot, time, int]]:
    """The first shot of plates put on set together, until when they stand, and how many.

    Of one dish and one episode: the shots with fresh plates, and all shots of the episode.
    """
    for start in sorted({shot.starts for shot in fresh if shot.starts is not None}):
        later = [s.starts for s in fresh if s.starts and s.starts > start]
        # without a fresh plate the first stands until the next shot needs the set
        later = later or [s.starts for s in timed if s.starts and s.starts > start]
        together = [shot for shot in fresh if shot.starts == start]
        if later:
            yield together[0], min(later), sum(shot.times for shot in together)


def _taken(shoot: Shoot, plate: Shot, more: int) -> list[str]:
    """What more resets take: each what a reset of the dish in the plan does, or else the plate."""
    like = next(
        (s for s in shoot.shots if s.purpose is Purpose.RESET and key(s.dish) == key(plate.dish)),
        plate,
    )
    taken: dict[tuple[str, Unit | None], tuple[str, Amount | None]] = {}
    for leaf in Leaves(shoot).taken_by(like):
        name, amount = leaf.line.ingredient, leaf.line.amount
        if is_water(name):
            continue
        if amount is not None:
            amount = None if leaf.times is None else amount * (leaf.times * like.batch * more)
        of_unit = (key(name), None if amount is None else amount.unit)
        before = taken[of_unit][1] if of_unit in taken else None
        if amount is not None and before is not None:
            amount += before
        taken[of_unit] = (name, amount)
    return [
        name if amount is None else f"{str(amount).removesuffix(' each')} {name}"
        for name, amount in taken.values()
    ]


def _minutes(clock: time) -> Fraction:
    return clock.hour * 60 + clock.minute + Fraction(clock.second, 60)
