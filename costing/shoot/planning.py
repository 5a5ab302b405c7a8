"""Holding planned forward: when food may come out so that it is within its limit when eaten."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from costing.findings import Finding
from costing.holding.instants import length, possible_instants
from costing.holding.models import Container, Eaten, Event, HoldingSettings
from costing.holding.rules import LEAVES_CONTROL, Rule
from costing.holding.statuses import NOT_TO_BE_EATEN, Status, Verdict
from costing.holding.verdicts import strictest_at
from costing.names import key
from costing.shoot import messages
from costing.shoot.containers import part_of_dish
from costing.shoot.copies import steps_shown
from costing.shoot.shoot import Shoot
from costing.shoot.shots import Shot

CODES_OF_LONG_TIMES = ("comes out too early", "stands too long")
CODES_WITHOUT_READING = ("back without temperature", "reading without temperature")
FOLLOWED_BY = {
    "Event": (*CODES_WITHOUT_READING, *CODES_OF_LONG_TIMES),
    "When": ("container without times", *CODES_OF_LONG_TIMES),
    "Temperature": (*CODES_WITHOUT_READING, *CODES_OF_LONG_TIMES),
}
"""What a column of Holding brings about that cannot be read, by its heading."""

DAY_AND_TIME = "%Y-%m-%d %H:%M"
MOMENT = timedelta(seconds=1)
"""So long before an event it has not happened yet. [time]"""


@dataclass(frozen=True, slots=True)
class Planned:
    """When a container may come out for a shot in which its food is eaten.

    Parameters
    ----------
    container, shot, rule : str
        Their names; the rule is the strictest of those chosen.
    out_after : datetime
        Food that comes out once, after this, is within the limit then.
    used : timedelta
        What of it was used up before it last went back, as logged.
    """

    container: str
    shot: str
    rule: str
    eaten_at: datetime
    out_after: datetime
    limit: timedelta
    used: timedelta = timedelta(0)


@dataclass(frozen=True, slots=True)
class Outing:
    """One container brought out once, for as many shots as a single time can serve.

    ``uses``: the shots in which its food is eaten, the earliest first.
    """

    uses: tuple[Planned, ...]

    @property
    def out_after(self) -> datetime:
        """Out after this it is within its limit in every one of them."""
        return max((use.out_after for use in self.uses), key=_universal)


def outings(planned: Sequence[Planned]) -> list[list[Outing]]:
    """For each container how it is brought out: several of it where no one time serves all shots.

    Food must be out by the first shot that eats of it, and after the latest of the times that the
    limits ask for. Each outing takes as many shots as it can, from the earliest on, so there are
    as few as can be.
    """
    by_container: dict[str, list[Planned]] = {}
    for use in planned:
        by_container.setdefault(key(use.container), []).append(use)
    found = []
    for uses in by_container.values():
        groups: list[list[Planned]] = []
        for use in sorted(uses, key=lambda one: _universal(one.eaten_at)):
            first = groups[-1][0].eaten_at if groups else None
            if first is None or _universal(use.out_after) >= _universal(first):
                groups.append([])
            groups[-1].append(use)
        found.append([Outing(tuple(group)) for group in groups])
    return found


def still_to_come(planned: Sequence[Planned], verdicts: Sequence[Verdict]) -> list[Planned]:
    """Uses after the instant asked about, of containers that are not past their limit."""
    known = {verdict.container: verdict for verdict in verdicts if verdict.strictest}
    return [
        use
        for use in planned
        if use.container not in known
        or (
            known[use.container].status not in NOT_TO_BE_EATEN
            and _universal(use.eaten_at) > _universal(known[use.container].asked_at)
        )
    ]


def _universal(at: datetime) -> datetime:
    return at.astimezone(UTC)


def plan_holding(
    shoot: Shoot,
    containers: Sequence[Container],
    rules: Mapping[str, Rule],
    settings: HoldingSettings,
) -> tuple[list[Planned], list[Finding]]:
    """The latest instants of coming out, and warnings about what comes out too early.

    ``shoot``: with its episodes and shots filled in; a shot without Starts, or of an episode
    without a shoot date, is not planned for.
    """
    if all(container.eaten is not Eaten.YES for container in containers):
        return [], []
    served = _Served(shoot)
    pairs = [
        (number, shot, at)
        for number, container in enumerate(containers)
        if container.eaten is Eaten.YES
        for shot, at in served.shots_of(container)
    ]
    if not pairs:
        return [], []
    verdicts = strictest_at(containers, rules, settings, ((number, at) for number, _, at in pairs))
    before = _used_before(containers, rules, settings, pairs, verdicts)
    planned: list[Planned] = []
    early: list[tuple[Event, Shot, Planned]] = []
    warned: set[tuple[int, bool]] = set()
    for at, ((number, shot, _), verdict) in enumerate(zip(pairs, verdicts, strict=True)):
        if verdict is None or not verdict.limit or _may_not_come_out(verdict, rules):
            continue
        one = _planned(shot, verdict, before.get(at, timedelta(0)))
        if shot.is_eaten:
            planned.append(one)
        first = _first_out(containers[number])
        # food that another shot eats of is warned of there, where it matters
        if not shot.is_eaten and served.eaten_of(containers[number]):
            continue
        if first is not None and _too_long(verdict) and (number, shot.is_eaten) not in warned:
            warned.add((number, shot.is_eaten))
            early.append((first, shot, one))
    after = {
        key(several[0].uses[0].container): [f"{one.out_after:{DAY_AND_TIME}}" for one in several]
        for several in outings(planned)
    }
    return planned, [_finding(*one, after.get(key(one[2].container), [])) for one in early]


def without_followers(shoot: Shoot, findings: Iterable[Finding]) -> list[Finding]:
    """Findings of containers but for those that what nobody could read in Holding brings about.

    What is in an unread column counts against the food, so that each row would have a finding;
    a container of which no time could be read has its finding at each of them. A rule that Settings
    names in vain is told of there.
    """
    rules_read = "Holding rules" in shoot.settings.places
    unread = {
        (left.place.sheet, key(left.name), code)
        for left in shoot.left_out
        if left.sheet == "Holding"
        for code in FOLLOWED_BY.get(left.place.heading, ())
    }
    return [
        f
        for f in findings
        if not unread & {(f.place.sheet, name, f.code) for name in ("", key(f.place.name))}
        and not (rules_read and f.code == "holding rule unknown")
    ]


def _may_not_come_out(verdict: Verdict, rules: Mapping[str, Rule]) -> bool:
    """Whether its one period is over, which the reason of its status says."""
    over = verdict.discard_at is None and verdict.out_for > timedelta(0)
    return over and rules[verdict.rule].once_only


def _used_before(
    containers: Sequence[Container],
    rules: Mapping[str, Rule],
    settings: HoldingSettings,
    pairs: Sequence[tuple[int, Shot, datetime]],
    verdicts: Sequence[Verdict | None],
) -> dict[int, timedelta]:
    """How long food that is out when it is eaten was out before it last left control, by pair.

    Asked just before each time it left: the last at which it was in control tells.
    """
    asked = [
        (at, number, event.at - MOMENT)
        for at, ((number, _, _), verdict) in enumerate(zip(pairs, verdicts, strict=True))
        if verdict is not None and verdict.status is Status.WITHIN and verdict.discard_at
        # before its first event it had not left control
        for event in containers[number].events[1:]
        if event.kind in LEAVES_CONTROL
        and possible_instants(event.at, ZoneInfo(settings.zone))[0] <= _universal(verdict.asked_at)
    ]
    told = strictest_at(containers, rules, settings, ((number, at) for _, number, at in asked))
    return {
        at: verdict.out_for
        for (at, _, _), verdict in zip(asked, told, strict=True)
        if verdict is not None and verdict.status is Status.WITHIN and verdict.discard_at is None
    }


def _planned(shot: Shot, verdict: Verdict, before: timedelta) -> Planned:
    """When it may come out; food that was in control until then has what is left of its limit."""
    eaten_at = verdict.asked_at
    used = verdict.out_for if verdict.discard_at is None else before
    left = verdict.limit - used
    out_after = (eaten_at.astimezone(UTC) - left).astimezone(eaten_at.tzinfo)
    return Planned(
        verdict.container, shot.label, verdict.rule, eaten_at, out_after, verdict.limit, used
    )


def _too_long(verdict: Verdict) -> bool:
    """Whether the time out alone is too long."""
    return verdict.status is Status.DISCARD and verdict.out_for >= verdict.limit


def _first_out(container: Container) -> Event | None:
    kinds = container.starts_by or LEAVES_CONTROL
    return next((event for event in container.events if event.kind in kinds), None)


def _finding(first: Event, shot: Shot, one: Planned, after: Sequence[str]) -> Finding:
    """What is said of food that comes out too early for a shot."""
    out, when = f"{first.kind} at {first.at:{DAY_AND_TIME}}", f"{one.eaten_at:{DAY_AND_TIME}}"
    limit = f"{length(one.limit)} of {one.rule}"
    if shot.is_eaten:
        return messages.comes_out_too_early(
            first.place, one.container, out, one.shot, when, limit, after
        )
    return messages.stands_too_long(
        first.place, one.container, out, one.shot, when, limit, f"{one.out_after:{DAY_AND_TIME}}"
    )


class _Served:
    """Which shots take food out of a container."""

    def __init__(self, shoot: Shoot) -> None:
        self.shoot = shoot
        self.first = key(shoot.episodes[0].name) if shoot.episodes else ""
        self.by_name: dict[tuple[str, str], list[tuple[Shot, datetime]]] = {}
        self.eaten: set[tuple[str, str]] = set()
        for shot in shoot.shots:
            names = {(key(shot.episode), name) for name in self._taken_by(shot)}
            if shot.is_eaten:
                self.eaten |= names
            day = shoot.shoot_dates.get(shot.episode)
            if shot.starts is not None and day is not None and shot.times:
                at = datetime.combine(day, shot.starts)
                for name in names:
                    self.by_name.setdefault(name, []).append((shot, at))

    def _taken_by(self, shot: Shot) -> set[str]:
        """Ingredients, dishes and steps that the copy in a shot has taken, as keys."""
        taken = {key(shot.dish)}
        waiting = []
        steps = steps_shown(shot, self.shoot)
        for line in self.shoot.recipes.get(shot.dish, ()):
            if line.step in steps:
                taken.add(_step(shot.dish, line.step))
                waiting.append(line.ingredient)
        while waiting:
            name = waiting.pop()
            if not name or key(name) in taken:
                continue
            taken.add(key(name))
            for line in self.shoot.recipes.get(name, ()):
                taken.add(_step(name, line.step))
                waiting.append(line.ingredient)
        return taken

    def shots_of(self, container: Container) -> list[tuple[Shot, datetime]]:
        """Shots that take its food, the earliest first."""
        found: dict[int, tuple[Shot, datetime]] = {}
        for name in self._held(container):
            for shot, at in self.by_name.get(name, ()):
                found[id(shot)] = (shot, at)
        return sorted(found.values(), key=lambda pair: pair[1])

    def eaten_of(self, container: Container) -> bool:
        """Whether a shot in which its food is eaten takes some, at whatever time."""
        return bool(self._held(container) & self.eaten)

    def _held(self, container: Container) -> set[tuple[str, str]]:
        """Episode and name of everything it holds, as keys."""
        episode = key(container.episode) or self.first
        held: set[str] = set()
        waiting = list(container.holds)
        seen = {key(container.name)}
        while waiting:
            text = waiting.pop()
            part = part_of_dish(text)
            if part is None:
                held.add(key(text))
            else:  # a shot that takes the last of its steps takes from it
                first = part.first if part.only else part.last
                held |= {_step(part.dish, step) for step in range(first, part.last + 1)}
            other = self.shoot.container_rows.get(text)
            if other is not None and key(text) not in seen:
                seen.add(key(text))
                waiting.extend(other.holds)
        return {(episode, name) for name in held}


def _step(dish: str, step: int) -> str:
    return f"{key(dish)}: step {step}"
