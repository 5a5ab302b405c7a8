"""Dishes and parts that were counted on the day: what is there of them, and what went into them.

A count takes the place of what the plan has made of a good by then. What that took is gone: as
much as the plan has of it, or as the takes drew where that is more. The shots draw first of what
was counted; what they draw beyond that is made anew, of what is there of what goes into it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from fractions import Fraction
from math import floor

from costing.buying.activities import in_makes, with_optional
from costing.buying.bought_units import in_unit_bought
from costing.buying.making import Making, shots_taking
from costing.buying.on_hand import Stock, Usable
from costing.buying.purchases import Purchase
from costing.buying.shooting_day import Day
from costing.findings import Finding, Place
from costing.kitchen import Lot
from costing.names import key
from costing.quantities import ZERO, Amount
from costing.shoot import Shoot
from costing.shoot.defaults import shoot_day
from costing.shoot.leaves import inside, made_apart
from costing.shoot.weighings import trimmed_from

Drawn = tuple[str, str]
"""What shots draw, by the key of the ingredient or the made dish, and in which episode."""

Draws = Mapping[Drawn, Fraction]
"""How much of it. [base unit it is bought in]"""


@dataclass(frozen=True, slots=True)
class GoodCount:
    """What was there of a dish or of a part when it was counted.

    Parameters
    ----------
    counted : Amount
        As typed; of several rows of the sheet Counted the sum.
    there : Fraction
        The same. [base unit]
    last : date, optional
        The last day that it serves.
    """

    name: str
    counted: Amount
    there: Fraction
    then: Day
    last: date | None


@dataclass(frozen=True, slots=True)
class CountedGoods:
    """What was counted of goods, with what their making took.

    Parameters
    ----------
    making : Making, optional
        With what was counted as if it were on hand.
    drawn : mapping of str to Fraction
        By key what was drawn of a good when it was counted. [base unit]
    went_in : mapping of str to mapping of str to Fraction
        By the key of an ingredient, and by episode, what went into the goods. [base unit]
    """

    counts: Mapping[str, GoodCount] = field(default_factory=dict)
    making: Making | None = None
    drawn: Mapping[str, Fraction] = field(default_factory=dict)
    went_in: Mapping[str, Mapping[str, Fraction]] = field(default_factory=dict)

    def serving(self, purchase: Purchase) -> Purchase:
        """A purchase whose making knows what was counted."""
        demand = purchase.demand
        if self.making is None or demand.making is None:
            return purchase
        return replace(purchase, demand=replace(demand, making=self.making))

    def code_of(self, name: str) -> str | None:
        """The key of a good of this name that was counted."""
        return next((code for code, one in self.counts.items() if key(one.name) == key(name)), None)

    def takers(self, name: str) -> set[int]:
        """Places in the plan of the shots that take of a good that was counted."""
        code = self.code_of(name)
        if self.making is None or code is None:
            return set()
        return shots_taking(self.making.needs, {}).get(code, set())

    def left_after(self, draws: Draws) -> dict[str, Amount]:
        """What is left of each when shots have drawn so much in all, by the key of its name."""
        left: dict[str, Amount] = {}
        for code, one in self.counts.items():
            if self.making is None:
                break
            drawn = sum(_drawn(self.making, code, draws, (code,)).values(), ZERO)
            unit = self.making.needs.need(code).unit
            there = max(ZERO, one.there + self.drawn[code] - drawn)
            left[key(one.name)] = Amount(there / unit.size, unit)
        return left

    def counted_later(self, on: date | None) -> bool:
        """Whether all of it was counted on a later day than this."""
        days = [one.then.last for one in self.counts.values()]
        return on is not None and all(day is not None and day > on for day in days)


def counted_dishes(day: Day) -> frozenset[str]:
    """Keys of the dishes that were counted, in the log or at the end, and that others take."""
    shoot = day.shoot
    names = {key(one.what) for one in day.so_far.counts}
    names |= {key(row.ingredient) for row in shoot.counted}
    return frozenset(names) & (inside(shoot) | made_apart(shoot))


def goods_counted(
    day: Day,
    making: Making | None,
    drawn_by: Callable[[Day], Draws],
    planned: Draws,
    findings: list[Finding],
) -> CountedGoods:
    """What was counted of the goods of a shoot.

    Parameters
    ----------
    drawn_by : callable
        What the shots had drawn by a day. [base unit]
    planned : mapping
        What they draw by the plan. [base unit]
    findings : list of Finding
        Counts that cannot be used are added to it.
    """
    counts = {} if making is None else dict(_counts(day, making, findings))
    if making is None or not counts:
        return CountedGoods()
    made = making.only(_of_the_plan(making, counts, planned))
    ready = {code: by for code, by in making.chosen.ready.items() if code not in counts}
    # what was made ahead is in what was counted
    giving = {number for code in counts for number in making.givers(code)}
    ahead = {run: times for run, times in making.chosen.ahead.items() if run[0] not in giving}
    saved = {code: lots for code, lots in making.chosen.saved.items() if code not in counts}
    now = making.choosing(replace(making.chosen, ready=ready, ahead=ahead, saved=saved))
    stocks = {**making.stocks, **dict.fromkeys(counts, Stock()), **_cut_besides(made, counts)}
    drawn: dict[str, Fraction] = {}
    for code in making.goods:  # what takes of others is before them
        if (one := counts.get(code)) is None:
            continue
        now = Making(now.needs, stocks, now.chosen)
        draws = drawn_by(one.then)
        drawn[code] = sum(_drawn(now, code, draws, (code,)).values(), ZERO)
        stocks[code] = _stock(one.name, one.there + drawn[code], one.last, now)
    taken = {code for one in making.activities for code in one.takes}
    went_in = {code: made.taken(code, {}) for code in taken}
    return CountedGoods(counts, Making(now.needs, stocks, now.chosen), drawn, went_in)


def _counts(day: Day, making: Making, findings: list[Finding]) -> Iterator[tuple[str, GoodCount]]:
    """The counts of goods: the last of the log, or what the sheet Counted says, which is later."""
    shoot, needs = day.shoot, making.needs
    sheet: dict[str, list[tuple[Amount, Place]]] = {}
    for row in shoot.counted:
        if trimmed_from(row.note) is None:
            sheet.setdefault(key(row.ingredient), []).append((row.amount, row.at("Amount")))
    for code in making.goods:
        name = needs.need(code).ingredient.name
        # made with its optional lines alone, it is that which was counted
        if code != key(name) and (key(name) in making.goods or code != with_optional(name)):
            continue
        keeps = max(making.activities[n].keeps.get(code, ZERO) for n in making.givers(code))
        need = needs.need(code)
        # of what is bought too it is told where the shoot is closed
        told: list[Finding] = [] if code in needs.by_ingredient else findings
        makes = needs.leaves.makes(name) if shoot.is_dish(name) else None
        rows = [
            in_unit_bought(in_makes(one, makes), need, at, told)
            for one, at in sheet.get(key(name), ())
        ]
        there = [amount for amount in rows if amount is not None]
        if there:
            last = _last(shoot, day.last, keeps)
            total = sum(there, ZERO)
            counted = Amount(total / need.unit.size, need.unit)
            yield code, GoodCount(name, counted, total, day, last)
            continue
        for count in reversed(day.so_far.counts):
            if key(count.what) != key(name) or count.when is None or count.amount is None:
                continue
            counted_there = in_makes(count.amount, makes)
            found = in_unit_bought(counted_there, need, count.at("Amount"), findings)
            if found is not None:
                last = _last(shoot, shoot_day(count.when, shoot), keeps)
                yield code, GoodCount(name, count.amount, found, day.at(count), last)
                break


def _last(shoot: Shoot, on: date | None, keeps: Fraction) -> date | None:
    """The last day that a good serves which was counted on a day: of the next shoot, and on."""
    days = list(shoot.shoot_dates.values())
    if on is None or not all(days):
        return None
    to_come = [day for day in days if day is not None and day >= on]
    return min(to_come, default=on) + timedelta(days=floor(keeps))


def _of_the_plan(
    making: Making, counts: Mapping[str, GoodCount], planned: Draws
) -> dict[str, dict[str, Fraction]]:
    """What the plan has made of what was counted, for the days up to its last."""
    days = {one.name: one.shoot_date for one in making.episodes}
    return {
        code: {
            episode: amount
            for episode, amount in _drawn(making, code, planned, counts).items()
            if one.last is None or (day := days[episode]) is None or day <= one.last
        }
        for code, one in counts.items()
    }


def _drawn(
    making: Making, code: str, draws: Draws, without: Collection[str]
) -> dict[str, Fraction]:
    """What is drawn of a good, by episode: by itself, and for what is made of it besides."""
    besides: dict[str, dict[str, Fraction]] = {}
    for (good, episode), amount in draws.items():
        if good not in without:
            besides.setdefault(good, {})[episode] = amount
    drawn = {episode: amount for (good, episode), amount in draws.items() if good == code}
    for episode, amount in making.only(besides).taken(code, {}).items():
        drawn[episode] = drawn.get(episode, ZERO) + amount
    return drawn


def _cut_besides(made: Making, counts: Mapping[str, GoodCount]) -> dict[str, Stock]:
    """What is there of goods that come with those that were counted: the whites of the yolks."""
    found: dict[str, Stock] = {}
    for code, one in counts.items():
        for number in made.givers(code):
            activity, runs = made.activities[number], made.at({}).runs[number]
            for good, each in activity.gives.items():
                if good in counts or not (times := sum(runs.values(), ZERO)):
                    continue
                name = made.needs.need(good).ingredient.name
                before = found.get(good) or made.stocks.get(good, Stock())
                more = _stock(name, times * each, one.last, made)
                found[good] = replace(more, lots=(*before.lots, *more.lots))
    return found


def _stock(name: str, there: Fraction, last: date | None, making: Making) -> Stock:
    """What is there of a good, as if it were on hand."""
    lots = (Usable(Lot(ingredient=name), last, there),)
    return Stock(tuple(making.episodes), lots)
