"""How often dishes are made and articles cut, for any numbers of times, and whose food it is."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from functools import partial
from itertools import takewhile

from costing.buying.activities import Activity, Linear, Run, linear_parts
from costing.buying.need import Need, Needs
from costing.buying.on_hand import Stock, by_date
from costing.buying.picking import Share, with_looked_at
from costing.buying.serving import NOTHING_CHOSEN, ByEpisode, Chosen, Makings, Served, Serving
from costing.quantities import ZERO, untraced_choice
from costing.shoot import Episode

Owners = dict[tuple[str, str], dict[Share, Fraction]]
"""By good and by the episode that draws of it, whose that is. [base unit]"""


class Making:
    """The makings of a shoot.

    Parameters
    ----------
    stocks : mapping of str to Stock
        By key of a good what is on hand of it.
    more : mapping of str to mapping of str to Fraction, optional
        What is needed besides of goods, by key and episode. [base unit]
    """

    def __init__(
        self,
        needs: Needs,
        stocks: Mapping[str, Stock],
        chosen: Chosen = NOTHING_CHOSEN,
        more: Mapping[str, ByEpisode] | None = None,
    ) -> None:
        self.needs = needs
        self.stocks = stocks
        self.chosen = chosen
        self.more = more or {}
        self.activities: Sequence[Activity] = needs.goods.activities
        self.episodes = by_date(needs.shoot.episodes)
        self.groups = list(_in_order(self.activities))
        self._alone = False
        self._open: dict[int, list[str]] = {}
        self._known: dict[tuple[tuple[int, int], ...], Makings] = {}
        self._owners: Owners = {}

    @property
    def goods(self) -> list[str]:
        """Keys of all that is made or cut."""
        return [code for codes, _ in self.groups for code in codes]

    def choosing(self, chosen: Chosen) -> Making:
        """The same makings with another choice."""
        stocks = {
            code: replace(stock, saved=tuple(chosen.saved.get(code, ())))
            for code, stock in self.stocks.items()
        }
        return Making(self.needs, stocks, chosen, self.more)

    def with_more(self, more: Mapping[str, ByEpisode]) -> Making:
        """The same makings where more of some goods is needed, by key and episode."""
        return Making(self.needs, self.stocks, self.chosen, more)

    def only(self, wanted: Mapping[str, ByEpisode]) -> Making:
        """The same makings where nothing but this is needed, by key and episode."""
        other = copy(self)
        other.more, other._alone, other._open, other._known = wanted, True, {}, {}
        other._owners = {}
        return other

    def choices(self, sold: Collection[str]) -> bool:
        """Whether a way or what is bought ready is to be chosen, when these are sold, by key."""
        return any(len(numbers) > 1 or set(codes) & set(sold) for codes, numbers in self.groups)

    def days_matter(self, dated: Collection[str]) -> bool:
        """Whether days are to be chosen, of runs or of lots, when these are there for some days."""
        numbers = {*self.kept_on, *(n for code in self._shared_lots() for n in self.givers(code))}
        return any(self.by_day(number, dated) for number in numbers) or any(
            self.activities[n].whole for code in self._shared_lots() for n in self.givers(code)
        )

    def _shared_lots(self) -> Iterator[str]:
        """Keys of goods of which there are lots for several days, and not enough."""
        for code, stock in self.stocks.items():
            users = {one.shoot_date for one in self.episodes if one.name in self._uses(code)}
            if len(users) > 1 and any(not one.lot.plenty for one in stock.lots):
                served = self.at({}).served[code]
                if served.made or served.bought or self.needs.need(code).per_time:
                    yield code

    @property
    def kept_on(self) -> list[int]:
        """The activities that may be run ahead: what they give may be kept for a later day."""
        return [
            number
            for number, activity in enumerate(self.activities)
            if len(self.open_in(number)) > 1 and max(activity.keeps.values()) >= 1
        ]

    def by_day(self, number: int, dated: Collection[str]) -> bool:
        """Whether it may matter on which day an activity is run: what it takes is there for days.

        ``dated``: keys of what is bought for days, or on hand until some day.
        """
        takes = self.activities[number].takes
        lots = [one for code in takes if code in self.stocks for one in self.stocks[code].lots]
        givers = [giver for code in takes for giver in self.givers(code)]
        return (
            not set(dated).isdisjoint(takes)
            or any(one.last for one in lots)
            or any(self.activities[n].whole or self.by_day(n, dated) for n in givers)
        )

    def drawing(self, code: str) -> set[int]:
        """Uncertain shots, or those with uncertain followers, that activities take a good for."""
        shots: set[int] = set()
        for taker in self.takers(code):
            for good in self.activities[taker].gives:
                per_time = self.needs.need(good).per_time
                shots |= {shot for shot, (_, amount) in per_time.items() if amount}
                shots |= self.drawing(good)
        return shots

    def linear(self, code: str) -> dict[str, Linear]:
        """What shots and activities take of a good, by episode."""
        parts = linear_parts(self.needs.need(code), self.needs.forest, {})
        for taker in self.takers(code):
            each = self.activities[taker].takes[code][0]
            for episode in self.open_in(taker):
                parts.setdefault(episode, Linear()).per_run[taker, episode] = each
        parts = with_looked_at(parts, self.needs.need(code).picking)
        for episode, amount in self.more.get(code, {}).items():
            parts.setdefault(episode, Linear()).constant += amount
        return parts

    def open_in(self, number: int) -> list[str]:
        """Episodes an activity may be run in: those that use what it gives, then or later.

        A day that uses nothing of it may be the better one to run it on: what it takes may be there
        on that day, and no longer on the day of use.
        """
        if number not in self._open:
            found = set(self.used_in(number))
            for code in self.activities[number].gives:
                using = self._uses(code)
                for at, user in enumerate(self.episodes):
                    if user.name in using:
                        earlier = reversed(self.episodes[:at])
                        its = takewhile(partial(self.keeps_for, number, code, user), earlier)
                        found |= {one.name for one in its if one.shoot_date != user.shoot_date}
            self._open[number] = [one.name for one in self.episodes if one.name in found]
        return self._open[number]

    def used_in(self, number: int) -> list[str]:
        """Episodes with a use of a good that an activity gives."""
        using = set().union(*map(self._uses, self.activities[number].gives))
        return [one.name for one in self.episodes if one.name in using]

    def _uses(self, code: str) -> set[str]:
        """Episodes with a use of a good."""
        return {
            episode
            for episode, part in self.linear(code).items()
            if part.constant or part.per_time or part.per_run
        }

    def keeps_for(self, number: int, code: str, user: Episode, made_on: Episode) -> bool:
        """Whether what a run gives of a good on an earlier day or the same may be used on a day."""
        if made_on is user:
            return True
        day, last = made_on.shoot_date, user.shoot_date
        # days are whole: a life of two and a half days ends with the second
        lasts = timedelta(days=math.floor(self.activities[number].keeps[code]))
        return day is not None and last is not None and last <= day + lasts

    def takers(self, code: str) -> list[int]:
        """The activities that take of a good."""
        return [number for number, one in enumerate(self.activities) if code in one.takes]

    def givers(self, code: str) -> list[int]:
        """The activities that give a good."""
        return [number for number, one in enumerate(self.activities) if code in one.gives]

    def direct(self, code: str, counts: Mapping[int, int]) -> dict[str, Fraction]:
        """What the shots themselves take of a good, by episode. [base unit]"""
        if self._alone:
            return {}
        return self.needs.need(code).used_at(self.needs.forest, counts, {})

    def at(self, counts: Mapping[int, int]) -> Makings:
        """How often everything is run.

        ``counts``: numbers of times of uncertain shots; others by their Times. [time]
        """
        known = tuple(sorted(counts.items()))
        if known not in self._known:
            self._known[known] = self._worked_out(counts)
        return self._known[known]

    def taken(self, code: str, counts: Mapping[int, int]) -> dict[str, Fraction]:
        """What making and cutting take of a good, by episode. [base unit]"""
        made, amounts = self.at(counts), dict[str, Fraction]()
        for number in self.takers(code):
            bought, _ = self.activities[number].takes[code]
            for episode, times in made.runs[number].items():
                amounts[episode] = amounts.get(episode, ZERO) + times * bought
        return amounts

    def _worked_out(self, counts: Mapping[int, int]) -> Makings:
        """Serve the goods group by group, those first that nothing takes which comes later."""
        runs: dict[int, ByEpisode] = {}
        served: dict[str, Served] = {}
        for codes, numbers in self.groups:
            wanted = {code: self.wanted(code, counts, runs) for code in codes}
            given = self.activities, self.episodes, self.stocks, self.chosen
            made = Serving(*given, numbers, wanted).makings()
            runs |= made.runs
            served |= made.served
        return Makings(runs, served)

    def wanted(
        self, code: str, counts: Mapping[int, int], runs: Mapping[int, ByEpisode]
    ) -> dict[str, Fraction]:
        """What shots, runs and what is needed besides want of a good, by episode. [base unit]"""
        wanted = self.direct(code, counts)
        for taker in filter(runs.__contains__, self.takers(code)):
            each = self.activities[taker].takes[code][0]
            for episode, times in runs[taker].items():
                wanted[episode] = wanted.get(episode, ZERO) + times * each
        wanted = self.needs.need(code).needed(wanted, counts)
        for episode, amount in self.more.get(code, {}).items():
            wanted[episode] = wanted.get(episode, ZERO) + amount
        return wanted

    def settled(self) -> dict[str, Need]:
        """Needs by key at the likeliest numbers of times, what makings take included.

        What a making takes belongs to the shots that draw what this making gives, in proportion;
        what a cutting takes to the users of its parts, each by the articles it would need alone.
        """
        needs = {**self.needs.by_ingredient, **self.needs.goods.made}
        settled = {
            code: replace(
                need,
                used=dict(need.used),
                uses=dict(need.uses),
                unknown={why: set(who) for why, who in need.unknown.items()},
            )
            for code, need in needs.items()
        }
        made, owners = self.at({}), _by_episode(settled)
        for _, numbers in self.groups:
            for number in numbers:
                self._charge(number, made, settled, owners)
        self._owners = owners
        return settled

    def drawn(self, code: str) -> dict[str, dict[Share, Fraction]]:
        """By episode on whose day a good is used, whose it is, for other days too. [base unit]

        As the needs were settled last.
        """
        owners = self._owners.items()
        return {episode: whose for (good, episode), whose in owners if good == code}

    def _charge(
        self, number: int, made: Makings, settled: Mapping[str, Need], owners: Owners
    ) -> None:
        """Count what an activity takes as need of those it is run for, run by run."""
        activity, runs = self.activities[number], made.runs[number]
        for code, why in activity.unknown:
            drawn = [episode for episode, times in runs.items() if times]
            settled[code].unknown.setdefault(why, set()).update(drawn)
        for good in activity.gives:  # how much of it is drawn is not known, nor what goes into it
            for why, episodes in settled[good].unknown.items():
                for code in {*activity.takes, *(taken for taken, _ in activity.unknown)}:
                    settled[code].unknown.setdefault(why, set()).update(episodes)
        for episode, times in runs.items():
            whose = _parts_of_one(self._users((number, episode), made, owners))
            for code, (bought, clean) in activity.takes.items():
                need = settled[code]
                need.used[episode] = need.used.get(episode, ZERO) + times * bought
                need.trimmed += times * clean
                drawing = owners.setdefault((code, episode), {})
                for share, part in whose.items():
                    amount = times * bought * part
                    need.uses[share] = need.uses.get(share, ZERO) + amount
                    drawing[share] = drawing.get(share, ZERO) + untraced_choice(amount)

    def _users(
        self, run: Run, made: Makings, owners: Owners
    ) -> Iterator[tuple[Fraction, Mapping[Share, Fraction]]]:
        """Whose the goods are that a run gives, each with its weight.

        A later day that takes only what is left of it has the part that it takes.
        """
        activity = self.activities[run[0]]
        for code, each in activity.gives.items():
            users = made.served[code].given.get(run, {})
            alone = sum(users.values(), ZERO) / each
            weight = Fraction(math.ceil(alone)) if activity.whole else alone
            for episode, amount in users.items():
                yield weight * amount / each / alone, owners.get((code, episode), {})

    def left_over(self, made: Makings) -> dict[str, Fraction]:
        """What is made or cut and not used, by key. [base unit]"""
        return {code: one.left for code, one in made.served.items() if one.left}


def _by_episode(needs: Mapping[str, Need]) -> Owners:
    """Whose it is that each episode draws of each good, before makings draw of it."""
    owners: Owners = {}
    for code, need in needs.items():
        for share, amount in need.shares.items():
            owners.setdefault((code, share[0]), {})[share] = untraced_choice(amount)
    return owners


def _parts_of_one(
    weighed: Iterator[tuple[Fraction, Mapping[Share, Fraction]]],
) -> dict[Share, Fraction]:
    """Weighed shares as parts of one."""
    parts: dict[Share, Fraction] = {}
    for weight, shares in weighed:
        whole = sum(shares.values(), ZERO)
        for share, amount in shares.items():
            if whole:
                part = untraced_choice(weight * amount / whole)
                parts[share] = parts.get(share, ZERO) + part
    total = sum(parts.values(), ZERO)
    return {share: part / total for share, part in parts.items() if total}


def _in_order(activities: Sequence[Activity]) -> Iterator[tuple[list[str], list[int]]]:
    """Goods that are made or cut together, those first that nothing takes which comes later."""
    groups: list[tuple[list[str], list[int]]] = []
    for number, activity in enumerate(activities):
        codes, numbers = list(activity.gives), [number]
        for group in [one for one in groups if set(one[0]) & set(codes)]:
            codes = [*group[0], *(code for code in codes if code not in group[0])]
            numbers = [*group[1], *numbers]
            groups.remove(group)
        groups.append((codes, sorted(numbers)))
    while groups:
        taken = {
            code for _, numbers in groups for number in numbers for code in activities[number].takes
        }
        first = next((one for one in groups if not taken & set(one[0])), groups[0])
        groups.remove(first)
        yield first


def shots_taking(needs: Needs, counts: Mapping[int, int]) -> dict[str, set[int]]:
    """By key of each good the shots that take of it, by their places in the plan.

    ``counts``: for how many times each uncertain shot is provided; one of no times takes nothing.
    [time]
    """
    takers: dict[str, set[int]] = {}
    for number, shot in enumerate(needs.shoot.shots):
        if not needs.shoot.is_dish(shot.dish) or not needs.forest.times(number, counts):
            continue
        drawn = needs.goods.drawn_by(shot)
        codes = drawn if drawn is not None else [code for _, code, _ in needs.counted_of(shot)]
        for code in codes:
            takers.setdefault(code, set()).add(number)
    found = -1
    while found != (found := sum(map(len, takers.values()))):
        for activity in needs.goods.activities:
            given = set().union(*(takers.get(code, ()) for code in activity.gives))
            for code in activity.takes if given else ():
                takers.setdefault(code, set()).update(given)
    return takers
