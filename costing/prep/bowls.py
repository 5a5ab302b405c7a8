"""Bowls to prepare: every line of a recipe in a bowl of its own, each time its step is performed.

Everything of the episode is here, water and lines to taste too, because a cook reaches for
them; optional lines only where the shot takes them. A dish that goes into another is here as
it is when it is made, and what is served of a dish in whole batches, on hand or sold ready is
not: the table Make says what to cook. What is used in a swap or a hero is weighed out as well.

Worked by hand on the demo, the leek tart: step 2 is performed by the cook-through and the hero,
once each, and twice by a retake, so four times. Its 30 ml of olive oil just fill a bowl of 30 ml:
4 bowls. Its 400 g of leek are, at the published 89 g in a US cup of 236.5882365 ml, 1063.3 ml,
more than the largest bowl of 1000 ml holds, so they stand in two bowls of 200 g and 531.7 ml each,
for which 500 ml is too small: 8 bowls of 1000 ml. All is ready by 10:00, when the cook-through
starts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, time
from fractions import Fraction
from zoneinfo import ZoneInfo

from costing.holding.instants import possible_instants
from costing.kitchen import Line
from costing.kitchen.conversion import Unconvertible, trimmed
from costing.names import key
from costing.prep.volumes import Chosen, Volume, Volumes
from costing.quantities import Amount, Dimension
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.leaves import Leaf, Leaves, inside, made_apart
from costing.shoot.purposes import SHOWS_MAKING


@dataclass(frozen=True, slots=True)
class Ready:
    """By when something must be ready.

    Parameters
    ----------
    at : datetime, optional
        Local time; ``None`` when it is not known.
    clock : time, optional
        The time on the clock, known too where the shoot date is not.
    no_start : tuple of Shot
        Shots that need it and have no start, while others have and there is no call time.
    """

    at: datetime | None
    clock: time | None = None
    no_start: tuple[Shot, ...] = ()

    @property
    def order(self) -> tuple[datetime, time]:
        """The earliest first, what is not known last."""
        at = datetime.max.replace(tzinfo=UTC) if self.at is None else self.at.astimezone(UTC)
        return at, self.clock or time.max


def ready_by(episode: Episode, shots: Sequence[Shot], zone: ZoneInfo) -> Ready:
    """The earliest start of these shots; one without a start may be the first after the call.

    Starts and Call time are clock times on the shoot date; of a time that the clock shows twice
    the earlier is meant.

    Examples
    --------
    >>> from datetime import date
    >>> day = Episode(name="One", shoot_date=date(2031, 5, 10), call_time=time(9, 30))
    >>> shots = [Shot(dish="tart", starts=time(13)), Shot(dish="tart", starts=time(10, 30))]
    >>> f"{ready_by(day, shots, ZoneInfo('Europe/Lisbon')).at:%H:%M}"
    '10:30'
    >>> f"{ready_by(day, [Shot(dish='tart')], ZoneInfo('Europe/Lisbon')).at:%H:%M}"
    '09:30'
    """
    times = [shot.starts or episode.call_time for shot in shots]
    known = [time for time in times if time is not None]
    clock = min(known, default=None)
    missing = tuple(s for s, time in zip(shots, times, strict=True) if known and time is None)
    return Ready(starts_at(clock, episode, zone), clock, missing)


def starts_at(clock: time | None, episode: Episode, zone: ZoneInfo) -> datetime | None:
    """A clock time on the shoot date, the earlier where the clock shows it twice.

    ``None`` where time or date is not known.
    """
    if clock is None or episode.shoot_date is None:
        return None
    local = datetime.combine(episode.shoot_date, clock)
    return possible_instants(local, zone)[0].astimezone(zone)


Covered = Mapping[int, int]
"""For how many times shots are provided, by their place in the plan; else Times. [time]"""


@dataclass(frozen=True, slots=True)
class Use:
    """A shot that empties bowls.

    ``times``: how many times it is provided for. [time]
    """

    shot: Shot
    times: int


@dataclass(frozen=True, slots=True)
class Bowls:
    """The bowls of one line, all alike.

    Parameters
    ----------
    episode, dish : str
        Where they are used; the dish is the one that is shot, not one inside it.
    step_name : str
        What the recipe calls it; may be blank.
    leaf : Leaf
        As the whole dish takes it.
    each_time : Amount, optional
        Trimmed and ready to use, for one performance of the step; ``None`` is unknown.
        [mass, volume or count]
    parts : int
        In how many bowls that is.
    volume : Volume
        Of what is in one bowl.
    size : Fraction, optional
        Of the smallest bowl that holds it; ``None`` is unknown. [ml]
    uses : tuple of Use
        Shots that use them, in the order of the plan.
    made : bool
        Whether the line takes a dish, which is made before.
    """

    episode: str
    dish: str
    step: int
    step_name: str
    line: Line
    leaf: Leaf
    each_time: Amount | None
    parts: int
    volume: Volume
    size: Fraction | None
    uses: tuple[Use, ...]
    ready: Ready
    made: bool = False

    @property
    def amount(self) -> Amount | None:
        """What is in one bowl. [mass, volume or count]"""
        return None if self.each_time is None else self.each_time / self.parts

    @property
    def count(self) -> int:
        """How many bowls there are."""
        return self.parts * sum(use.times for use in self.uses)


def bowls_of(
    shoot: Shoot,
    *,
    written: Sequence[Line],
    covered: Covered,
    chosen: Chosen,
    zone: ZoneInfo,
) -> list[Bowls]:
    """The bowls of a whole shoot, by episode, by when they must be ready, by dish and step.

    Parameters
    ----------
    shoot : Shoot
        With its episodes and shots filled in, and its blanks.
    written : sequence of Line
        Its lines as the recipes have them, before a cup was turned into grams.
    covered : mapping of int to int
        For how many times each uncertain shot is provided.
    chosen : mapping of (str, str) to Fraction
        Published densities that have been taken already. [g/ml]

    Raises
    ------
    ValueError
        If ``written`` is not line by line what the shoot has.
    """
    return list(_Preparing(shoot, written, covered, chosen, zone).in_order())


@dataclass(slots=True)
class _Group:
    """Uses of one line in the same amount."""

    leaf: Leaf
    batch: Fraction
    uses: list[Use] = field(default_factory=list)


class _Preparing:
    """The work on one shoot."""

    def __init__(
        self,
        shoot: Shoot,
        written: Sequence[Line],
        covered: Covered,
        chosen: Chosen,
        zone: ZoneInfo,
    ) -> None:
        self.shoot, self.zone = shoot, zone
        pairs = zip(shoot.lines, written, strict=True)
        self.written = {id(line): as_written for line, as_written in pairs}
        self.volumes = Volumes(shoot, chosen)
        self.leaves = Leaves(shoot, to_taste=True, apart=inside(shoot))
        self.apart = made_apart(shoot)
        self.names = {
            (key(line.dish), line.step): line.step_name
            # backwards, so that of a step with several names the first stays
            for line in reversed(shoot.lines)
            if line.step_name
        }
        self.places = shoot.recipes.order
        self.groups: dict[str, dict[tuple[int, Fraction | None], _Group]] = {}
        for number, shot in enumerate(shoot.shots):
            times = covered.get(number, shot.times)
            if times and shot.batch and shoot.is_dish(shot.dish) and not self._served(shot):
                self._use(Use(shot, times))

    def _use(self, use: Use) -> None:
        groups = self.groups.setdefault(key(use.shot.episode), {})
        for leaf in self.leaves.taken_by(use.shot):
            made = key(leaf.line.ingredient) in self.leaves.apart
            # what is not known is unknown in every batch, so that all of it is one group
            unknown = leaf.line.amount is None or (leaf.times is None and not made)
            alike = id(leaf), None if unknown else use.shot.batch
            groups.setdefault(alike, _Group(leaf, use.shot.batch)).uses.append(use)

    def _served(self, shot: Shot) -> bool:
        """Whether a shot takes of a dish that is made as a whole, and its making is not shown."""
        apart = key(shot.dish) in self.apart and shot.purpose not in SHOWS_MAKING
        return apart and self.leaves.takes_all(shot)

    def in_order(self) -> Iterator[Bowls]:
        for episode in self.shoot.episodes:
            groups = self.groups.get(key(episode.name), {}).values()
            found = (self._bowls(episode, group) for group in groups)
            yield from sorted((b for b in found if b is not None), key=self._order)

    def _order(self, bowls: Bowls) -> tuple[object, ...]:
        return *bowls.ready.order, self.places[key(bowls.dish)], bowls.step

    def _bowls(self, episode: Episode, group: _Group) -> Bowls | None:
        """The bowls of a group; ``None`` where the recipe takes nothing of it."""
        leaf, line = group.leaf, self.written[id(group.leaf.line)]
        amount = self._each_time(leaf, line, group.batch)
        if amount is not None and not amount.base:
            return None
        volume = Volume() if amount is None else self.volumes.of(line, amount)
        parts, size = 1, None
        if volume.value is not None:
            parts, size = bowls_for(volume.value, self.shoot.settings.bowl_sizes)
        return Bowls(
            episode.name,
            self.shoot.recipes.spelling(group.uses[0].shot.dish),
            leaf.step,
            self.names.get((key(group.uses[0].shot.dish), leaf.step), ""),
            line,
            leaf,
            amount,
            parts,
            volume,
            size,
            tuple(group.uses),
            ready_by(episode, [use.shot for use in group.uses], self.zone),
            made=key(line.ingredient) in self.leaves.apart,
        )

    def _each_time(self, leaf: Leaf, line: Line, batch: Fraction) -> Amount | None:
        """Trimmed and ready to use, for one performance; ``None`` is unknown."""
        if line.amount is None or line.to_taste:
            return None
        if key(line.ingredient) in self.leaves.apart:
            return line.amount * batch
        unit = line.amount.unit
        if leaf.times is None or unit.dimension in (Dimension.PORTION, Dimension.BATCH):
            return None
        try:
            clean = trimmed(line.amount, self.shoot.ingredient(line.ingredient), line.measured)
        except Unconvertible:
            return None
        return Amount(clean.value * leaf.times * batch / unit.size, unit)


def bowls_for(volume: Fraction, sizes: Sequence[Fraction]) -> tuple[int, Fraction | None]:
    """The fewest bowls that hold a volume, and the smallest size in which they do.

    A bowl holds what its size says, filled to the brim. What is too much for the largest bowl is
    shared evenly among as few as hold it.

    Gives how many bowls of which size; one of unknown size when there are no sizes. [ml]

    Parameters
    ----------
    volume : Fraction
        To be held. [ml]
    sizes : sequence of Fraction
        Of the bowls at hand; ``()`` when none is known. [ml]

    Examples
    --------
    2100 ml need three bowls of up to 1000 ml, 700 ml in each; 30 ml just fit the smallest.

    >>> sizes = [Fraction(size) for size in (30, 250, 500, 750, 1000)]
    >>> bowls_for(Fraction(2100), sizes)
    (3, Fraction(750, 1))
    >>> bowls_for(Fraction(30), sizes)
    (1, Fraction(30, 1))
    """
    if not sizes:
        return 1, None
    number = max(1, math.ceil(volume / max(sizes)))
    return number, min(size for size in sizes if size * number >= volume)
