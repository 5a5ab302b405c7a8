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
from costing.buying.making import Making, shots_taking
from costing.buying.need import Needs
from costing.buying.serving import Chosen, Makings
from costing.findings import choice_words
from costing.names import key
from costing.prep.bowls import ready_by
from costing.quantities import BATCH, ZERO, Measures, Unit, magnitude_text
from costing.report.layouts import MAKE
from costing.report.shop_words import day_words, quantity
from costing.report.tables import Row, Table, Value
from costing.shoot import Episode, Shoot, Shot
from costing.shoot.leaves import inside, made_apart

MAKE_AHEAD = "Make ahead"

Counts = Mapping[int, int]
"""For how many times each uncertain shot is provided, by its place in the plan. [time]"""


@dataclass(frozen=True, slots=True)
class Cooked:
    """A dish that is made on a day, for other dishes or in whole batches.

    Parameters
    ----------
    row : Row
        Of Make.
    day : date, optional
        The shoot date it is made for.
    shots : tuple of Shot
        Those that take of it, on later days too.
    steps : tuple of int, optional
        Of the dish; ``None`` stands for all.
    """

    row: Row
    day: date | None
    shots: tuple[Shot, ...]
    steps: tuple[int, ...] | None


def cooked(books: Books, *, zone: ZoneInfo) -> tuple[Cooked, ...]:
    """The dishes and days they are made on, what is first needed first.

    Parameters
    ----------
    books : Books
        With what was chosen between making and buying ready.
    zone : ZoneInfo
        Of the local times.
    """
    shoot, shopping = books.shoot, books.shopping
    within = inside(shoot)
    if not within and not made_apart(shoot):
        return ()
    before = shopping.making if shopping else None
    caps = shopping.plan.basket.caps if shopping and shopping.plan else {}
    chosen = Chosen(before.chosen.ready) if before else Chosen()
    # made once more: for the needs dishes inside others are written out, a cook makes them apart
    making = Making(Needs(shoot, apart=within), before.stocks if before else {}, chosen)
    return tuple(_Cooking(making, caps, zone).cooked())


def make(found: Sequence[Cooked]) -> Table:
    """One row for each dish and day it is made on."""
    return Table.of(MAKE, (one.row for one in found))


def make_words(row: Row, shoot: Shoot, *, brief: bool = False) -> str:
    """A row of Make in a line: what is made, how much, by when and for what.

    Parameters
    ----------
    row : Row
        Of Make.
    shoot : Shoot
        Whose episodes are named where there are several.
    brief : bool
        Whether what takes of it is left out.
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


class _Cooking:
    """The work on one shoot."""

    def __init__(self, making: Making, caps: Counts, zone: ZoneInfo) -> None:
        self.making, self.caps, self.zone = making, caps, zone
        self.shoot = making.needs.shoot
        self.made: Makings = making.at(caps)
        self.takers = self._takers()
        self.shots_taking = shots_taking(making.needs, caps)

    def cooked(self) -> Iterator[Cooked]:
        """What is made, by episode and by when it must be ready."""
        found = []
        for number, activity in enumerate(self.making.activities):
            if activity.cut:
                continue
            (code,) = activity.gives
            at_once = list(self._at_once(number, activity))
            for episode, times, served in at_once:
                left = self.made.served[code].left if episode is at_once[-1][0] else ZERO
                ready = ready_by(episode, self._shots(code, [episode]), self.zone)
                row = self._row(activity, times, (episode, served), left)
                place = self.making.episodes.index(episode)
                one = Cooked(
                    {**row, "ready_by": ready.at},
                    episode.shoot_date,
                    tuple(self._shots(code, served)),
                    activity.steps,
                )
                found.append(((place, *ready.order), one))
        found.sort(key=lambda pair: pair[0])
        return (one for _, one in found)

    def _at_once(
        self, number: int, activity: Activity
    ) -> Iterator[tuple[Episode, Fraction, list[Episode]]]:
        """Days a dish is made on, how often, and the episodes it is made for.

        What need not be in whole batches is made at once for all days on which it keeps.
        """
        runs, (keeps,) = self.made.runs[number], map(floor, activity.keeps.values())
        waiting = [one for one in self.making.episodes if self._takes(number, one)]
        while waiting:
            first, day = waiting[0], waiting[0].shoot_date
            together = [first] + [
                one
                for one in waiting[1:]
                if day is not None
                and one.shoot_date is not None
                and one.shoot_date <= day + timedelta(days=keeps)
                and not (activity.whole and runs.get(one.name) and one.shoot_date != day)
            ]
            waiting = [one for one in waiting if one not in together]
            times = sum((runs.get(one.name, ZERO) for one in together), ZERO)
            if times:
                yield first, times, together

    def _takes(self, number: int, episode: Episode) -> bool:
        """Whether anything is taken of what an activity gives in an episode."""
        (code,) = self.making.activities[number].gives
        return bool(self.made.served[code].wanted.get(episode.name))

    def _row(
        self,
        activity: Activity,
        times: Fraction,
        days: tuple[Episode, list[Episode]],
        left: Fraction,
    ) -> Row:
        """A row of Make: the batches of one dish for the days that they serve."""
        (code,), (each,) = activity.gives, activity.gives.values()
        need = self.making.needs.need(code)
        episode, served = days
        return MAKE.row(
            episode=episode.name,
            dish=activity.name,
            batches=times,
            amount=times * each / need.unit.size,
            unit=need.unit.name,
            into="; ".join(self._into(code, need.unit, served)),
            left_over=left / need.unit.size,
            note="; ".join(self._notes(code, activity, times, days)),
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
        self,
        code: str,
        activity: Activity,
        times: Fraction,
        days: tuple[Episode, list[Episode]],
    ) -> Iterator[str]:
        """What goes into it, and what else is to be known."""
        episode, served = days
        if activity.steps is not None:
            yield f"only step {choice_words([str(step) for step in activity.steps], last='and')}"
        if activity.optional:
            yield "with the optional lines"
        later = [one.name for one in served if one.shoot_date != episode.shoot_date]
        if later:
            yield "serves " + choice_words([f'"{name}"' for name in later], last="and") + " too"
        needs = self.making.needs
        goes_in = [
            f"{self._said(clean * times, need.trimmed_unit)} {need.ingredient.name}"
            for taken, (_, clean) in activity.takes.items()
            if (need := needs.need(taken)) and clean
        ]
        if goes_in:
            yield "takes " + ", ".join(goes_in)
        of_day = self.made.served[code]
        unit = needs.need(code).unit
        for amount, words in (
            (of_day.taken.total, "are on hand"),
            (sum(of_day.bought.values(), ZERO), "are bought ready"),
        ):
            if amount:
                yield f"{self._said(amount, unit)} besides {words}"

    def _said(self, base: Fraction, unit: Unit) -> str:
        """An amount as a cook says it, as on the list."""
        return quantity(base / unit.size, unit.name, self.shoot.settings.measures)

    def _shots(self, code: str, episodes: list[Episode]) -> list[Shot]:
        """The shots of some episodes that take of a good, by whatever way."""
        names, shots = {key(one.name) for one in episodes}, self.shoot.shots
        return [
            shots[number]
            for number in sorted(self.shots_taking.get(code, ()))
            if key(shots[number].episode) in names
        ]
