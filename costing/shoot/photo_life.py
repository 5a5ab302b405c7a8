"""How long a plate looks right on set, by the starts of the shots.

A plate stands from the start of its hero or reset until the next hero, hero spare or reset of the
same dish starts, or where there is none until the next shot of the episode does.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import time
from fractions import Fraction

from costing.findings import Finding
from costing.names import key
from costing.shoot import messages
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
                yield messages.stands_past_photo_life(
                    first.at("Starts"),
                    dish.name,
                    f"from {first.starts:%H:%M} to {last:%H:%M}",
                    plates,
                    dish.photo_life,
                    needed - plates,
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


def _minutes(clock: time) -> Fraction:
    return clock.hour * 60 + clock.minute + Fraction(clock.second, 60)
