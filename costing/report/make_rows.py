"""Rows of Make: the dishes to cook for other dishes, and those in whole batches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from math import floor
from zoneinfo import ZoneInfo

from costing.buying.activities import Activity
from costing.buying.books import Books
from costing.buying.choosing import same_ways
from costing.buying.making import Making, shots_taking
from costing.buying.need import Needs
from costing.buying.purchases import Purchase
from costing.buying.serving import Chosen, Makings
from costing.findings import choice_words, quoted_words
from costing.names import key
from costing.prep.bowls import ready_by
from costing.quantities import BATCH, ZERO, Measures, Unit, magnitude_text
from costing.report.layouts import MAKE
from costing.report.shop_words import base_words, day_words, quantity
from costing.report.tables import Row, Table, Value
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.leaves import inside, made_apart

MAKE_AHEAD = "Make ahead"

Ahead = frozenset[tuple[str, str]]
NOTHING_AHEAD: Ahead = frozenset()
"""Keys of ingredients, each with the name of an episode."""

Counts = Mapping[int, int]
"""For how many times each uncertain shot is provided, by its place in the plan. [time]"""


@dataclass(frozen=True, slots=True)
class Cooked:
    """A dish that is made on a day, for other dishes or in whole batches.

    Parameters
    ----------
    shots : tuple of Shot
        Those that take of it, on later days too.
    steps : tuple of int, optional
        Of the dish; ``None`` stands for all.
    ahead : frozenset of (str, str)
        Keys of what goes into it, each with the names of later days whose food is made with it.
    """

    row: Row
    day: date | None
    shots: tuple[Shot, ...]
    steps: tuple[int, ...] | None
    ahead: Ahead = NOTHING_AHEAD


def used_ahead(found: Sequence[Cooked]) -> Ahead:
    """What of an ingredient is used before the day it is for, in a dish made for several days."""
    return NOTHING_AHEAD.union(*(one.ahead for one in found))


def cooked(books: Books, *, zone: ZoneInfo) -> tuple[Cooked, ...]:
    """The dishes and days they are made on, what is first needed first."""
    shoot, shopping = books.shoot, books.shopping
    within = inside(shoot)
    if not within and not made_apart(shoot):
        return ()
    before = shopping.making if shopping else None
    caps = shopping.plan.basket.caps if shopping and shopping.plan else {}
    # made once more: for the needs dishes inside others are written out, a cook makes them apart
    making = Making(Needs(shoot, apart=within), before.stocks if before else {})
    if before:
        ahead = same_ways(before.chosen, before.activities, making.activities).ahead
        saved = before.chosen.saved
        making = making.choosing(Chosen(before.chosen.ready, ahead=ahead, saved=saved))
    return tuple(_Cooking(making, caps, zone, books.purchases).cooked())


def make(found: Sequence[Cooked]) -> Table:
    """One row for each dish and day it is made on."""
    return MAKE.table(one.row for one in found)


def make_words(row: Row, shoot: Shoot, *, brief: bool) -> str:
    """A row of Make in a line: what is made, how much, by when and for what.

    ``brief``: whether what takes of it is left out.
    """
    said, at = made_words(row, shoot.settings.measures), row["ready_by"]
    if len(shoot.episodes) > 1:
        said += f' for "{row["episode"]}"'
    if isinstance(at, datetime):
        said += f", ready by {day_words(at.date())} {at:%H:%M}"
    if row["into"] and not brief:
        said += f", into {row['into']}"
    return said


def made_words(row: Row, measures: Measures) -> str:
    """A row of Make in few words: the dish, and how much of it is made."""
    unit, said = str(row["unit"]), _batches(row["batches"])
    if unit != BATCH.name:
        said = f"{quantity(row['amount'], unit, measures)} ({said})"
    return f"{row['dish']} {said}"


def _batches(number: Value) -> str:
    """How many batches, in words."""
    if not isinstance(number, Fraction | int):
        return "batches not known"
    return f"{magnitude_text(Fraction(number))} batch{'' if number == 1 else 'es'}"


@dataclass(frozen=True, slots=True)
class _Batch:
    """A making of a dish: on a day, how often, and for whom.

    Parameters
    ----------
    served : list of Episode
        The same, and later ones that live on what is left of it; one that takes of
        several makings belongs to the last.
    uses : mapping of str to Fraction
        By episode what is used of it. [base unit]
    """

    episode: Episode
    times: Fraction
    together: list[Episode]
    served: list[Episode]
    uses: Mapping[str, Fraction]


class _Cooking:
    """The work on one shoot."""

    def __init__(
        self, making: Making, caps: Counts, zone: ZoneInfo, purchases: Sequence[Purchase]
    ) -> None:
        self.making, self.caps, self.zone = making, caps, zone
        self.bought = {purchase.demand.code: list(purchase.lines) for purchase in purchases}
        self.shoot = making.needs.shoot
        self.made: Makings = making.at(caps)
        self.takers = self._takers()
        self.shots_taking = shots_taking(making.needs, caps)
        self._known: dict[int, list[_Batch]] = {}

    def cooked(self) -> Iterator[Cooked]:
        """What is made, by episode and by when it must be ready."""
        found = []
        for number, activity in enumerate(self.making.activities):
            if activity.cut:
                continue
            (code,) = activity.gives
            batches = self._batches(number)
            for one in batches:
                ready = ready_by(one.episode, self._shots(code, [one.episode]), self.zone)
                row = {**self._row(activity, one, batches), "ready_by": ready.at}
                place = self.making.episodes.index(one.episode)
                shots = tuple(self._shots(code, one.served))
                later = [e for e in one.together if e.shoot_date != one.episode.shoot_date]
                ahead = frozenset((taken, e.name) for taken in activity.takes for e in later)
                cooked = Cooked(row, one.episode.shoot_date, shots, activity.steps, ahead)
                found.append(((place, *ready.order), cooked))
        found.sort(key=lambda pair: pair[0])
        return (one for _, one in found)

    def _batches(self, number: int) -> list[_Batch]:
        """The makings of a dish, the first first, and the episodes each of them is for."""
        if number not in self._known:
            together = list(self._at_once(number))
            uses = [self._used(number, episodes) for episodes in together]
            self._known[number] = [
                self._batch(number, episodes, uses[place:])
                for place, episodes in enumerate(together)
            ]
        return self._known[number]

    def _batch(
        self, number: int, episodes: list[Episode], uses: Sequence[Mapping[str, Fraction]]
    ) -> _Batch:
        """A making for some episodes; what is used of it, and then of each that follows."""
        runs, (used, *later) = self.made.runs[number], uses
        alone = {
            name
            for name in used
            if not runs.get(name) and not any(name in other for other in later)
        }
        served = [one for one in self.making.episodes if one in episodes or one.name in alone]
        times = sum((runs[one.name] for one in episodes), ZERO)
        return _Batch(episodes[0], times, episodes, served, used)

    def _used(self, number: int, episodes: list[Episode]) -> dict[str, Fraction]:
        """What is used of the runs for some episodes, by the episode that uses it. [base unit]"""
        (code,) = self.making.activities[number].gives
        used: dict[str, Fraction] = {}
        for one in episodes:
            for name, amount in self.made.served[code].given.get((number, one.name), {}).items():
                used[name] = used.get(name, ZERO) + amount
        return used

    def _at_once(self, number: int) -> Iterator[list[Episode]]:
        """Episodes a dish is made for at once, on the day of the first.

        What need not be in whole batches is made at once for all days on which it keeps, if all
        that goes into it is there on the first of them.
        """
        activity, runs = self.making.activities[number], self.made.runs[number]
        (keeps,) = map(floor, activity.keeps.values())
        waiting = [one for one in self.making.episodes if runs.get(one.name)]
        while waiting:
            first = waiting[0]
            together = [first] + [
                one for one in waiting[1:] if self._with_first(activity, keeps, first, one)
            ]
            waiting = [one for one in waiting if one not in together]
            yield together

    def _with_first(self, activity: Activity, keeps: int, first: Episode, one: Episode) -> bool:
        """Whether what an episode takes can be made on the day of an earlier one."""
        day, later = first.shoot_date, one.shoot_date
        if day is None or later is None or later > day + timedelta(days=keeps):
            return False
        if later == day:
            return True
        return not activity.whole and all(self._there(code, one, day) for code in activity.takes)

    def _there(self, code: str, episode: Episode, day: date) -> bool:
        """Whether what an episode takes of a good is fetched, thawed and made by a day."""
        for line in self.bought.get(code, ()):
            if not line.serves.get(episode.name):
                continue
            thawed = [at for at, _ in line.openings if at] if line.pack.thaw_days else []
            last = episode.shoot_date or day
            if (line.trip and line.trip > day) or any(day < at <= last for at in thawed):
                return False
        return not any(
            batch.episode.shoot_date is None or batch.episode.shoot_date > day
            for number in self.making.givers(code)
            if not self.making.activities[number].cut
            for batch in self._batches(number)
            if batch.uses.get(episode.name)
        )

    def _row(self, activity: Activity, batch: _Batch, batches: Sequence[_Batch]) -> Row:
        """A row of Make: one making of a dish, of all that there are of it."""
        (code,), (each,) = activity.gives, activity.gives.values()
        need = self.making.needs.need(code)
        amount = batch.times * each
        left = max(ZERO, amount - sum(batch.uses.values(), ZERO))
        return MAKE.row(
            episode=batch.episode.name,
            dish=activity.name,
            batches=batch.times,
            amount=amount / need.unit.size,
            unit=need.unit.name,
            into="; ".join(self._into(code, need.unit, batch.served)),
            left_over=left / need.unit.size,
            note="; ".join(self._notes(code, activity, batch, batches)),
        )

    def _takers(self) -> dict[str, dict[str, dict[str, Fraction]]]:
        """By key of a good and episode how much each dish takes of it. [base unit]"""
        takers: dict[str, dict[str, dict[str, Fraction]]] = {}
        needs, forest = self.making.needs, self.making.needs.forest

        def add(code: str, episode: str, dish: str, amount: Fraction) -> None:
            of_day = takers.setdefault(code, {}).setdefault(episode, {})
            of_day[dish] = of_day.get(dish, ZERO) + amount

        for code in self.making.goods:
            need = needs.need(code)
            for (episode, dish, purpose), amount in need.uses.items():
                own = key(dish) == key(need.ingredient.name)
                add(code, episode, purpose if own else dish, amount)
            for shot, ((episode, dish, purpose), amount) in need.per_time.items():
                own = key(dish) == key(need.ingredient.name)
                more = forest.times(shot, self.caps) - forest.times(shot, {})
                add(code, episode, purpose if own else dish, more * amount)
        for number, activity in enumerate(self.making.activities):
            for code, (bought, _) in activity.takes.items():
                for episode, times in self.made.runs[number].items():
                    add(code, episode, activity.name, times * bought)
        return takers

    def _into(self, code: str, unit: Unit, served: list[Episode]) -> Iterator[str]:
        """What takes of it, and how much, the episodes it is made for together."""
        whole: dict[str, Fraction] = {}
        for episode in served:
            for dish, amount in self.takers.get(code, {}).get(episode.name, {}).items():
                whole[dish] = whole.get(dish, ZERO) + amount
        for dish, amount in whole.items():
            if amount:
                yield f"{dish} {self._said(amount, unit)}"

    def _notes(
        self, code: str, activity: Activity, batch: _Batch, batches: Sequence[_Batch]
    ) -> Iterator[str]:
        """What goes into it, what is kept of it, and what else is to be known."""
        if activity.steps is not None:
            yield f"only step {choice_words([str(step) for step in activity.steps], last='and')}"
        if activity.optional:
            yield "with the optional lines"
        later = [one.name for one in batch.served if one.shoot_date != batch.episode.shoot_date]
        if later:
            yield "serves " + quoted_words(later, last="and") + " too"
        unit, served = self.making.needs.need(code).unit, {one.name for one in batch.served}
        for name, amount in batch.uses.items():
            if name not in served:
                yield f'{self._said(amount, unit)} of it are kept for "{name}"'
        if beyond := sum((self._to_pick_from(code, one) for one in served), ZERO):
            yield f"{self._said(beyond, unit)} more than is used, to pick from"
        needs = self.making.needs
        goes_in = [
            f"{self._said(clean * batch.times, need.trimmed_unit)} {need.ingredient.name}"
            for taken, (_, clean) in activity.takes.items()
            if (need := needs.need(taken)) and clean
        ]
        if goes_in:
            yield "takes " + ", ".join(goes_in)
        of_day = self.made.served[code]
        besides = [
            *(
                (other.uses, f'are left of "{other.episode.name}"')
                for other in batches
                if other is not batch
            ),
            (of_day.taken.by_episode, "are on hand"),
            (of_day.bought, "are bought ready"),
        ]
        for by_episode, words in besides:
            if amount := sum((by_episode.get(name, ZERO) for name in served), ZERO):
                yield f"{self._said(amount, unit)} besides {words}"

    def _to_pick_from(self, code: str, episode: str) -> Fraction:
        """What is looked at in an episode beyond what is used there. [base unit]"""
        picking = self.making.needs.need(code).picking
        used = sum(self.takers.get(code, {}).get(episode, {}).values(), ZERO)
        return max(ZERO, picking.looked_at(episode, self.caps) - used) if picking else ZERO

    def _said(self, base: Fraction, unit: Unit) -> str:
        """An amount as a cook says it, as on the list."""
        return base_words(base, unit, self.shoot.settings.measures)

    def _shots(self, code: str, episodes: list[Episode]) -> list[Shot]:
        """The shots of some episodes that take of a good, by whatever way."""
        names, shots = {key(one.name) for one in episodes}, self.shoot.shots
        return [
            shots[number]
            for number in sorted(self.shots_taking.get(code, ()))
            if key(shots[number].episode) in names
        ]
