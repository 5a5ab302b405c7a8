"""What a shoot is taken to be where its plan is blank."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

from costing.findings import Finding, Place
from costing.names import Named, key
from costing.shoot import messages
from costing.shoot.copies import with_copies
from costing.shoot.episodes import Episode
from costing.shoot.purposes import OF_AN_EMPTY_PLAN
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot

ONLY_EPISODE = "Episode 1"
"""Name of the only episode when neither the plan nor the title gives one."""

NIGHT_ENDS = time(6)
"""Until then a shoot may go on that began the day before, where no call says otherwise."""


def completed(shoot: Shoot) -> tuple[Shoot, list[Finding]]:
    """The shoot with an episode for every shot and at least one shot for every whole dish.

    Where shots were planned and could not be read, none are put in their place.

    Nothing the user wrote is changed; each value filled in has its finding.
    """
    findings: list[Finding] = []
    shots = shoot.shots
    if not shots and shoot.recipes and not shoot.left_out_on("Shoot plan"):
        dishes = shoot.whole_dishes or tuple(shoot.recipes)  # none is whole where all are in a loop
        shots = tuple(
            Shot(dish=dish, purpose=purpose) for dish in dishes for purpose in OF_AN_EMPTY_PLAN
        )
        findings.append(messages.shoot_plan_empty(Place("Shoot plan"), dishes))
    episodes = _episodes(shoot, shots)
    names = Named((episode.name, episode.name) for episode in episodes)
    first = episodes[0].name
    if len(episodes) > 1:
        findings.extend(
            messages.episode_missing(shot.at("Episode"), first)
            for shot in shots
            if not shot.episode
        )
    shots = tuple(
        shot.model_copy(update={"episode": names[shot.episode] if shot.episode else first})
        for shot in shots
    )
    shots, about_copies = with_copies(shoot, shots)
    return shoot.changed(episodes=episodes, shots=shots), [*findings, *about_copies]


def _episodes(shoot: Shoot, shots: tuple[Shot, ...]) -> tuple[Episode, ...]:
    episodes = list(shoot.episodes)
    known = {key(episode.name) for episode in episodes}
    for shot in shots:
        if shot.episode and key(shot.episode) not in known:
            known.add(key(shot.episode))
            episodes.append(Episode(name=shot.episode))
    if not episodes:
        episodes.append(Episode(name=shoot.settings.title or ONLY_EPISODE))
    return tuple(Named((episode.name, episode) for episode in episodes).values())


def days_since(bought: date | None, episode: Episode) -> int:
    """Days from one day to an episode's shoot; one when either day is not known. [day]"""
    # as a trip without a day of its own is the day before the shoot
    if bought is None or episode.shoot_date is None:
        return 1
    return max(0, (episode.shoot_date - bought).days)


def shoot_day(at: datetime, shoot: Shoot) -> date:
    """The day that a moment is shot on: the small hours after a shoot day are of that night."""
    on, before = at.date(), at.date() - timedelta(days=1)
    if before not in shoot.shoot_dates.values():
        return on
    return before if at.time() < day_begins(on, shoot) else on


def of_a_shoot(days: Iterable[date], shoot_dates: Iterable[date | None]) -> date | None:
    """The one of some days that is a shoot date, or next to one; ``None``: none is, or several.

    Examples
    --------
    >>> days = [date(2026, 10, 5), date(2026, 5, 10)]
    >>> str(of_a_shoot(days, [date(2026, 5, 11)])), of_a_shoot(days, days)
    ('2026-05-10', None)
    """
    shot = [day for day in shoot_dates if day is not None]
    near = [one for one in days if any(abs((one - day).days) <= 1 for day in shot)]
    return near[0] if len(near) == 1 else None


def day_begins(day: date, shoot: Shoot) -> time:
    """When the night before a day ends: with its first call or start, where one is known."""
    begins = [one.call_time for one in shoot.episodes if one.shoot_date == day and one.call_time]
    dated = ((shoot.shoot_dates.get(shot.episode), shot.starts) for shot in shoot.shots)
    begins += [starts for on, starts in dated if on == day and starts is not None]
    return min(begins, default=NIGHT_ENDS)
