r"""Where each good comes from, episode by episode: what is left, on hand, bought ready or made.

Goods are served in the order of the shoot dates, and each of what was made before and still
keeps, of its lots and of its packs; what lacks is made or cut on that day. So a whole number of
batches is rounded up from what lacks, and what is left of them serves later days while it keeps.

Why no fewer whole batches would do, as long as nothing of the dish is sold: what is made later
keeps for longer, so that no batch is gained by making it before it lacks, and on the day it lacks
the least that covers it is its amount rounded up. But what goes into it may keep for less long than
it does: an egg of the first day is no egg of the fourth, and its white still is one. So more may be
made or cut than lacks on a day where that is chosen.

What an article gives anyway for another of its parts is used before packs of the part are.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import InitVar, dataclass, field
from datetime import date, timedelta
from fractions import Fraction

from costing.buying.activities import Activity, Run
from costing.buying.lives import Release
from costing.buying.on_hand import Stock, Taken
from costing.kitchen import Lot
from costing.quantities import ZERO, is_traced, total, untraced_choice
from costing.quantities.traced import TracedNumber
from costing.shoot import Episode

ByEpisode = Mapping[str, Fraction]
"""An amount or a number of runs by the name of the episode."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is chosen between making goods, buying them, and the ways of cutting.

    Parameters
    ----------
    ready : mapping of str to mapping of Release to Fraction
        By key of a good what of its packs is there from an episode on, for it and later ones.
        [base unit]
    runs : mapping of int to mapping of str to Fraction
        By activity how often it may be run from an episode on before another way is taken.
    ahead : mapping of (int, str) to Fraction
        How often an activity is run in an episode at least, for later ones too; not what nobody
        uses of it.
    saved : mapping of str to sequence of mapping of str to Fraction
        By key of what is on hand, for each of its lots, what is kept of it until an episode.
        [base unit]
    """

    ready: Mapping[str, Mapping[Release, Fraction]] = field(default_factory=dict)
    runs: Mapping[int, ByEpisode] = field(default_factory=dict)
    ahead: Mapping[Run, Fraction] = field(default_factory=dict)
    saved: Mapping[str, Sequence[ByEpisode]] = field(default_factory=dict)


NOTHING_CHOSEN = Chosen()


@dataclass(slots=True)
class Served:
    """Where what is needed of one good comes from.

    Parameters
    ----------
    wanted : dict of str to Fraction
        Needed, by episode. [base unit]
    bought : dict of str to Fraction
        Of its packs, by episode. [base unit]
    made : Fraction
        Made or cut, and used. [base unit]
    left : Fraction
        Made or cut, and not used. [base unit]
    given : dict of (int, str) to dict of str to Fraction
        By run what is used of what it gives, by the episode that uses it. [base unit]
    """

    wanted: dict[str, Fraction] = field(default_factory=dict)
    taken: Taken = field(default_factory=Taken)
    bought: dict[str, Fraction] = field(default_factory=dict)
    made: Fraction = ZERO
    left: Fraction = ZERO
    given: dict[Run, dict[str, Fraction]] = field(default_factory=dict)

    def use(self, run: Run, episode: str, amount: Fraction) -> None:
        """Count what an episode uses of what a run gives. [base unit]"""
        self.made += amount
        if amount:
            users = self.given.setdefault(run, {})
            users[episode] = users.get(episode, ZERO) + amount


@dataclass(frozen=True, slots=True)
class Makings:
    """How often everything is run, and where each good comes from.

    Parameters
    ----------
    runs : mapping of int to mapping of str to Fraction
        By activity and episode.
    served : mapping of str to Served
        By key of a good.
    """

    runs: Mapping[int, ByEpisode]
    served: Mapping[str, Served]


@dataclass(slots=True)
class _Pool:
    """Something of a good that is there, of a lot or a run; ``last`` is its last day, if any.

    ``saved`` is kept until the episodes it names.
    """

    amount: Fraction
    last: date | None
    ends: bool
    lot: Lot | None = None
    run: Run | None = None
    saved: dict[str, Fraction] = field(default_factory=dict)

    @property
    def free(self) -> Fraction:
        """What of it may be used now."""
        return max(ZERO, self.amount - sum(self.saved.values(), ZERO))

    def good_for(self, episode: Episode) -> bool:
        if not self.ends:
            return True
        day = episode.shoot_date
        return day is not None and self.last is not None and day <= self.last

    def over(self, episode: Episode) -> bool:
        """Whether nothing of it is for this day or a later one."""
        if not self.amount and not (self.lot is not None and self.lot.plenty):
            return True
        day = episode.shoot_date
        return self.ends and day is not None and self.last is not None and self.last < day


def _chosen(number: Fraction, *, follows: bool) -> Fraction:
    """A number that a rule found: where it was made of cells no formula says it."""
    return TracedNumber(number) if follows else number


@dataclass(slots=True)
class Serving:
    """Where the goods of one group come from, worked out episode by episode.

    Parameters
    ----------
    episodes : sequence of Episode
        By date.
    numbers : sequence of int
        The activities that give the goods of the group.
    wanted : mapping of str to dict of str to Fraction
        By key of each of these goods what is needed of it, by episode. [base unit]
    """

    activities: Sequence[Activity]
    episodes: Sequence[Episode]
    stocks: Mapping[str, Stock]
    chosen: Chosen
    numbers: Sequence[int]
    wanted: InitVar[Mapping[str, dict[str, Fraction]]]
    served: dict[str, Served] = field(init=False)
    runs: dict[int, dict[str, Fraction]] = field(init=False)

    def __post_init__(self, wanted: Mapping[str, dict[str, Fraction]]) -> None:
        """Nothing is served, and no run yet."""
        self.served = {code: Served(amounts) for code, amounts in wanted.items()}
        self.runs = {number: {} for number in self.numbers}

    def makings(self) -> Makings:
        """Serve every episode, the earliest first."""
        pools = {code: self._lots(code) for code in self.served}
        useful = {code: list(of_good) for code, of_good in pools.items()}
        ready = {code: self._ready(code) for code in self.served}
        budget = dict.fromkeys(self.numbers, ZERO)
        for episode in self.episodes:
            lacking: dict[str, Fraction] = {}
            for number in self.numbers:
                budget[number] += self.chosen.runs.get(number, {}).get(episode.name, ZERO)
            for code in self.served:
                one = self.served[code]
                rest = untraced_choice(one.wanted.get(episode.name, ZERO))
                useful[code] = [pool for pool in useful[code] if not pool.over(episode)]
                for pool in useful[code]:
                    pool.saved.pop(episode.name, None)
                rest -= self._from_pools(code, useful[code], episode, rest)
                rest -= self._from_packs(code, ready[code], episode, rest)
                if rest:
                    lacking[code] = rest
            follows = any(is_traced(self.served[c].wanted.get(episode.name)) for c in self.served)
            # runs that follow cells are noted even where there are none: after an edit there may be
            ahead = {n: self.chosen.ahead.get((n, episode.name), ZERO) for n in self.numbers}
            if not lacking and not follows and not any(ahead.values()):
                continue
            for number, times in self._runs(lacking, budget, ahead).items():
                if times or follows:
                    self.runs[number][episode.name] = _chosen(times, follows=follows)
                    budget[number] = max(ZERO, budget[number] - times)
            for code, more in self._give(episode, lacking).items():
                pools[code] += more
                useful[code] += more
        for run, least in self.chosen.ahead.items():
            if run[0] in self.runs and least:
                self._take_back(run, pools)
        for code in self.served:
            self._close(code, pools[code])
        return Makings(self.runs, self.served)

    def _ready(self, code: str) -> dict[Release, Fraction]:
        """What is bought ready of a good, what ends first before the rest."""
        places = {one.name: at for at, one in enumerate(self.episodes)}
        every = self.chosen.ready.get(code, {}).items()
        return dict(sorted(every, key=lambda one: max(places[name] for name in one[0][1])))

    def _lots(self, code: str) -> list[_Pool]:
        stock = self.stocks.get(code, Stock())
        return [
            _Pool(untraced_choice(one.amount), one.last, one.last is not None, one.lot, saved=saved)
            for one, saved in stock.saving()
        ]

    def _from_pools(
        self, code: str, pools: list[_Pool], episode: Episode, wanted: Fraction
    ) -> Fraction:
        """Take of what is there, the earliest last day first."""
        one, rest = self.served[code], wanted
        # what ends soonest is used while it may be, unless it was chosen to be saved
        for pool in sorted(pools, key=lambda p: p.last or date.max):
            if rest <= 0 or not pool.good_for(episode):
                continue
            plenty = pool.lot is not None and pool.lot.plenty
            part = rest if plenty else min(rest, pool.free)
            rest -= part
            if not plenty:
                pool.amount -= part
            if pool.run is not None:
                one.use(pool.run, episode.name, part)
                continue
            before = one.taken.by_episode.get(episode.name, ZERO)
            one.taken.by_episode[episode.name] = before + part
            if plenty:
                one.taken.plenty = pool.lot
        return wanted - rest

    def _from_packs(
        self, code: str, ready: dict[Release, Fraction], episode: Episode, wanted: Fraction
    ) -> Fraction:
        """Take of what is bought ready, and of each pack only while it serves."""
        bought, rest = self.served[code].bought, wanted
        for release in ready if wanted else ():
            part = min(rest, ready[release]) if episode.name in release[1] else ZERO
            if part:
                bought[episode.name] = bought.get(episode.name, ZERO) + part
                ready[release] -= part
                rest -= part
        return wanted - rest

    def _runs(
        self,
        lacking: Mapping[str, Fraction],
        budget: Mapping[int, Fraction],
        ahead: Mapping[int, Fraction],
    ) -> dict[int, Fraction]:
        """How often each activity is run for what lacks: as chosen, and no more than it takes.

        What is chosen to be run ahead is run all the same.
        """
        activities = self.activities
        if len(self.numbers) == 1:
            (number,) = self.numbers
            return {number: max(ahead[number], self._enough(activities[number], lacking, {}))}
        runs = {number: max(ahead[number], budget[number]) for number in self.numbers}
        for code, amount in lacking.items():
            givers = [n for n in self.numbers if code in activities[n].gives]
            given = sum((runs[n] * activities[n].gives[code] for n in givers), ZERO)
            if given < amount:
                ways = [n for n in givers if runs[n]]  # those that are chosen
                # of the chosen ways one without whole batches, which makes no more than lacks
                first = min(ways, key=lambda n: activities[n].whole, default=givers[0])
                runs[first] += self._enough(activities[first], {code: amount - given}, {})
        # runs that others made needless are taken back, those of the last way of the sheet first
        for number in reversed(self.numbers):
            others = {n: times for n, times in runs.items() if n != number}
            enough = self._enough(activities[number], lacking, others)
            runs[number] = max(ahead[number], min(runs[number], enough))
        return runs

    def _enough(
        self, activity: Activity, lacking: Mapping[str, Fraction], others: Mapping[int, Fraction]
    ) -> Fraction:
        """How often an activity must be run when others are run so often."""
        times = ZERO
        for code, amount in lacking.items():
            if each := activity.gives.get(code):
                gives = ((n, self.activities[n].gives.get(code, ZERO)) for n in others)
                given = total(others[n] * of_it for n, of_it in gives)
                times = max(times, (amount - given) / each)
        return Fraction(math.ceil(times)) if activity.whole else times

    def _give(self, episode: Episode, lacking: Mapping[str, Fraction]) -> dict[str, list[_Pool]]:
        """Use what is made on the day; what is left of it is there for as long as it keeps."""
        left: dict[str, list[_Pool]] = {code: [] for code in self.served}
        for code in self.served:
            rest = lacking.get(code, ZERO)
            for number in self.numbers:
                times = self.runs[number].get(episode.name, ZERO)
                given = times * self.activities[number].gives.get(code, ZERO)
                used = min(rest, given)
                rest -= used
                run = number, episode.name
                self.served[code].use(run, episode.name, used)
                if given > used:
                    keeps, day = self.activities[number].keeps[code], episode.shoot_date
                    # days are whole: a life of two and a half days ends with the second
                    last = None if day is None else day + timedelta(days=math.floor(keeps))
                    left[code].append(_Pool(given - used, last, ends=True, run=run))
        return left

    def _take_back(self, run: Run, pools: Mapping[str, list[_Pool]]) -> None:
        """Run an activity no more often ahead than what it gives is used."""
        number, episode = run
        activity = self.activities[number]
        times = self.runs[number].get(episode, ZERO)
        left = {
            code: next((pool for pool in pools[code] if pool.run == run), None)
            for code in activity.gives
        }
        idle = min((pool.amount / activity.gives[c] if pool else ZERO) for c, pool in left.items())
        if idle := Fraction(math.floor(idle)) if activity.whole else untraced_choice(idle):
            self.runs[number][episode] = times - idle
            for code, pool in left.items():
                if pool is not None:
                    pool.amount -= idle * activity.gives[code]

    def _before_packs(self, code: str, pools: list[_Pool]) -> None:
        """What is made anyway, for other goods or in a whole batch, serves before packs do.

        What is left at the end of a day's making later days have not needed, so that it can only
        stand for packs of that day.
        """
        one = self.served[code]
        for pool in pools:
            if pool.run is None:
                continue
            _, day = pool.run
            if part := min(pool.amount, one.bought.get(day, ZERO)):
                pool.amount -= part
                one.use(pool.run, day, part)
                one.bought[day] -= part

    def _close(self, code: str, pools: list[_Pool]) -> None:
        """Note what is used of each lot and what is left of all."""
        self._before_packs(code, pools)
        one, stock = self.served[code], self.stocks.get(code, Stock())
        follows = any(map(is_traced, one.wanted.values()))
        one.made = _chosen(one.made, follows=follows)
        one.taken.by_episode = {
            episode: _chosen(amount, follows=follows)
            for episode, amount in one.taken.by_episode.items()
        }
        one.left = sum((pool.amount for pool in pools if pool.lot is None), ZERO)
        whole = {id(usable.lot): usable.amount for usable in stock.lots}
        for pool in pools:
            if pool.lot is not None and not pool.lot.plenty:
                amount = whole[id(pool.lot)]
                one.taken.from_lots.append((pool.lot, amount, amount - pool.amount))
                one.taken.left += pool.amount
