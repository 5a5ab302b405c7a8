"""How long a plate looks right on set, by the starts of the shots.

A plate stands from the start of its hero or reset until the next hero, hero spare or reset of the
same dish starts, or where there is none until the next shot of the episode does.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import time
from fractions import Fraction

from costing.findings import Finding, choice_words
from costing.names import is_water, key
from costing.quantities import Amount, Unit
from costing.shoot import messages
from costing.shoot.leaves import Leaves
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Purpose, Shot

FRESH = frozenset({Purpose.HERO, Purpose.HERO_SPARE, Purpose.RESET})
"""Purposes that put a fresh plate on set."""


def check_photo_life(shoot: Shoot) -> Iterator[Finding]:
    """Plates that stand on set for longer than they look right.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in.
    """
    for dish in shoot.dishes:
        if not dish.photo_life:
            continue
        stands = list(_stands(shoot, dish.name))
        for first, last, plates in stands:
            minutes = _minutes(last) - _minutes(first.starts or last)
            needed = math.ceil(minutes / dish.photo_life)
            if needed > plates:
                more = needed - plates
                taken = choice_words(_taken(shoot, first, more), last="and")
                takes = f", which take{'s' if more == 1 else ''} {taken}" if taken else ""
                yield messages.stands_past_photo_life(
                    first.at("Starts"),
                    "1 plate" if plates == 1 else f"{plates} plates",
                    dish.name,
                    f"from {first.starts:%H:%M} to {last:%H:%M}",
                    dish.photo_life,
                    f"{more} more reset{'' if more == 1 else 's'}{takes}",
                )
        if not stands and any(key(shot.dish) == key(dish.name) for shot in shoot.shots):
            yield messages.entry_changes_nothing(
                dish.at("Photo life minutes"),
                f'the photo life of "{dish.name}"',
                "which needs a hero or a reset and a shot after it, both with Starts",
            )


def _stands(shoot: Shoot, dish: str) -> Iterator[tuple[Shot, time, int]]:
    """The first shot of plates put on set together, until when they stand, and how many."""
    for episode in shoot.episodes:
        timed = [
            shot
            for shot in shoot.shots
            if key(shot.episode) == key(episode.name) and shot.starts is not None and shot.times
        ]
        fresh = [s for s in timed if key(s.dish) == key(dish) and s.purpose in FRESH]
        for start in sorted({shot.starts for shot in fresh if shot.starts is not None}):
            later = [s.starts for s in fresh if s.starts and s.starts > start]
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
