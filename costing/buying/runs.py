r"""The columns and rows of what is made and cut, in a programme.

A whole number :math:`x_{ae}` says how often activity :math:`a` is run in episode :math:`e`; of a
dish that need not be in whole batches it is any number. With :math:`g_{ia}` what a run gives of
good :math:`i`, :math:`s_i` what is bought of it ready and :math:`d_{ie}` what is needed, in one
episode

.. math:: s_i + \sum_a g_{ia} x_{ae} \ge d_{ie}

holds; over several, flows from each source to the episodes that it may serve stand for the two
terms on the left (``pack_columns``).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from itertools import takewhile

from costing.buying.activities import Linear, Run
from costing.buying.lives import OpenedPacks, Release, by_first, released
from costing.buying.making import Making
from costing.buying.on_hand import Stock
from costing.buying.pack_columns import FlowSource, serve
from costing.buying.picking import GoodEnough, LookedAt, Picking, pieces_to_pick_from
from costing.buying.serving import ByEpisode, Chosen
from costing.buying.solver import Expression, Model, Solution
from costing.quantities import ONE, ZERO, total
from costing.shoot import Episode
from costing.shoot.copies import Forest

MOST_PARTS = 10_000
"""The largest denominator of a number that a solution names in floats."""

TOLERANCE = Fraction(1, 10**6)
"""So far a float may be from the number that it stands for: the tolerance of the solver's rows, of
1 and of the number itself if that is more."""

Timed = Callable[[Linear], tuple[Expression, Fraction]]
"""What a linear expression is in columns, and what of it is constant."""


Ready = Callable[[Sequence[str]], Sequence[FlowSource]]
"""What is bought of a good ready, as sources for some episodes."""


class Runs:
    """The runs of all activities in one model.

    Parameters
    ----------
    most : mapping of int to int
        The highest caps. [time]
    by_day : collection of str
        Keys of articles of which it matters on which day they are used: what takes none is run on
        no day that does not use it.
    """

    def __init__(
        self,
        model: Model,
        making: Making,
        most: Mapping[int, int],
        forbidden: frozenset[int] = frozenset(),
        by_day: Collection[str] = (),
    ) -> None:
        self._model, self._making = model, making
        self._order = {one.name: at for at, one in enumerate(making.episodes)}
        self.columns: dict[Run, int] = {}
        self._used: dict[str, dict[str, Expression]] = {}
        self._of_lots: dict[str, list[dict[str, Expression]]] = {}
        self._most = most
        self._most_runs: dict[int, dict[str, Fraction]] = {}
        self._most_together: dict[int, Fraction] = {}
        for _, numbers in making.groups:  # what takes of others is before them
            for number in numbers:
                self._limit(number, by_day, forbidden=number in forbidden)
        for number, activity in enumerate(making.activities):
            for episode, times in self._most_runs[number].items():
                self.columns[number, episode] = model.column(upper=times, whole=activity.whole)

    def _limit(self, number: int, by_day: Collection[str], *, forbidden: bool) -> None:
        """Work out how often an activity may be run at most, on each day and in all.

        A run is of use only where without it something would lack that is used while it keeps.
        """
        making, activity = self._making, self._making.activities[number]
        matters = making.by_day(number, by_day)
        days = making.open_in(number) if matters else making.used_in(number)
        most = self._most_runs[number] = dict.fromkeys(days, ZERO)
        together = Fraction(len(days) if activity.whole else 0)  # each day may round up by one
        for code, each in activity.gives.items() if not forbidden else ():
            wanted = self.most_wanted(code)
            together += sum(wanted.values(), ZERO) / each
            for made_on in (one for one in making.episodes if one.name in most):
                later = making.episodes[self._order[made_on.name] :]
                users = takewhile(partial(making.keeps_for, number, code, made_on=made_on), later)
                times = sum((wanted.get(one.name, ZERO) for one in users), ZERO) / each
                times = Fraction(math.ceil(times)) if activity.whole else times
                most[made_on.name] = max(most[made_on.name], times)
        self._most_together[number] = together

    def most_wanted(self, code: str) -> dict[str, Fraction]:
        """The most that may be wanted of a good or an article, by episode. [base unit]"""
        return self._making.wanted(code, self._most, self._most_runs)

    def most_taken(self, code: str) -> Fraction:
        """The most that may be wanted of it over all episodes together. [base unit]"""
        making = self._making
        taken = ((n, making.activities[n].takes[code][0]) for n in making.takers(code))
        own = making.wanted(code, self._most, {})
        return sum((self._most_together[n] * each for n, each in taken), sum(own.values(), ZERO))

    def in_columns(self, linear: Linear) -> Expression:
        """The runs of a linear expression, but for those of days that are not looked at."""
        runs = linear.per_run.items()
        return {self.columns[run]: amount for run, amount in runs if run in self.columns}

    def cover(self, ready: Mapping[str, Ready], timed: Timed) -> None:
        """Rows so that what is needed of each good is covered."""
        for codes, _ in self._making.groups:
            for code in codes:
                self._cover(code, ready.get(code), timed)

    def _cover(self, code: str, ready: Ready | None, timed: Timed) -> None:
        """The rows that make a good suffice: of its runs, its lots and what is bought of it."""
        parts = self._making.linear(code)
        lots = self._making.stocks[code].lots if code in self._making.stocks else ()
        wanting = [
            one
            for one in self._making.episodes
            if one.name in parts and not any(u.lot.plenty and u.good_for(one) for u in lots)
        ]
        runs: dict[Run, tuple[Fraction, list[str]]] = {}
        for episode in wanting:
            for run, each in self._giving(code, episode):
                runs.setdefault(run, (each, []))[1].append(episode.name)
        sources = [
            FlowSource({self.columns[run]: each}, dict.fromkeys(served, ONE))
            for run, (each, served) in runs.items()
        ]
        for usable in lots:
            good = dict.fromkeys((one.name for one in wanting if usable.good_for(one)), ONE)
            sources.append(FlowSource({}, good, usable.amount))
        names = [one.name for one in wanting]
        packs = ready(names) if ready is not None else []
        used = serve(self._model, {n: timed(parts[n]) for n in names}, [*sources, *packs])
        of_packs = self._used[code] = {name: {} for name in names}
        self._of_lots[code] = used[len(runs) : len(sources)]
        for uses in used[len(sources) :]:
            for name, use in uses.items():
                of_packs[name] |= use

    def _giving(self, code: str, episode: Episode) -> Iterator[tuple[Run, Fraction]]:
        """The runs whose goods serve an episode, and what each gives."""
        making = self._making
        until = making.episodes[: self._order[episode.name] + 1]
        for number in making.givers(code):
            for one in until:
                run = number, one.name
                if run in self.columns and making.keeps_for(number, code, episode, one):
                    yield run, making.activities[number].gives[code]

    def chosen(
        self,
        answer: Solution,
        caps: Mapping[int, int],
        bought: Mapping[str, tuple[Sequence[OpenedPacks], ByEpisode]],
    ) -> Chosen:
        """What a solution makes, buys ready and cuts which way.

        Parameters
        ----------
        caps : mapping of int to int
            By uncertain shot. [time]
        bought : mapping of str to (sequence of OpenedPacks, mapping)
            By key of a good its packs, and by episode the part of them that is sound on the day.
            [fraction]
        """
        making = self._making
        runs = {
            number: self._run(number, answer)
            for _, numbers in making.groups
            for number in numbers
            if len(numbers) > 1
        }
        ahead = {
            (number, episode): times
            for number in making.kept_on
            for episode, times in self._run(number, answer).items()
            if times
        }
        ready: dict[str, Mapping[Release, Fraction]] = {}
        saved: dict[str, Sequence[ByEpisode]] = {}
        for code in making.goods:  # what takes a good is before it
            wanted: ByEpisode = {}
            if len(self._used[code]) > 1:
                chosen = Chosen(ready, runs, ahead, saved)
                wanted = making.choosing(chosen).at(caps).served[code].wanted
            stock, of_lots = making.stocks.get(code, Stock()), dict[str, Fraction]()
            for usable, uses in zip(stock.lots, self._of_lots[code], strict=True):
                lot, kept = OpenedPacks(usable.amount, frozenset(uses)), dict.fromkeys(uses, ONE)
                its = by_first(self._released(code, [lot], kept, wanted, answer, uses))
                for episode, part in its.items() if not usable.lot.plenty else ():
                    of_lots[episode] = of_lots.get(episode, ZERO) + part
            if stock.lots:
                saved[code] = stock.earliest_first(of_lots)
            if code in bought:
                given = *bought[code], wanted, answer, self._used[code]
                ready[code] = self._released(code, *given)
        served = making.choosing(Chosen(ready, runs, ahead, saved)).at(caps).served
        days = {one.name: one.shoot_date for one in making.episodes}
        used = {
            code: released(packs, served[code].bought, kept, days)
            for code, (packs, kept) in bought.items()
        }
        return Chosen(used, runs, ahead, saved)

    def _released(
        self,
        code: str,
        packs: Sequence[OpenedPacks],
        kept: ByEpisode,
        wanted: ByEpisode,
        answer: Solution,
        uses: Mapping[str, Expression],
    ) -> dict[Release, Fraction]:
        """From which episode on how much of packs is there, as a solution uses it. [base unit]

        Where it uses all that an episode wants, or all but some batches, that is released exactly:
        were it less by the rounding of a float, the rest would be made.
        """
        making, used = self._making, dict[str, Fraction]()
        batches = [making.activities[number].gives[code] for number in making.givers(code)]
        for episode, use in uses.items():
            values = ((factor, answer.values[column]) for column, factor in use.items())
            whole = wanted.get(episode, ZERO)
            # what serves one episode alone is used whole there, needed or not
            part = min(whole, total(factor * Fraction(value) for factor, value in values))
            likely = [whole - round((whole - part) / each) * each for each in batches]
            near = part.limit_denominator(MOST_PARTS)
            exact = (n for n in (whole, *likely) if _stands_for(part, n))
            used[episode] = max(ZERO, next(exact, near))
        days = {one.name: one.shoot_date for one in making.episodes if one.name in uses}
        return released(packs, used, kept, days, rest_on=-1)

    def _run(self, number: int, answer: Solution) -> dict[str, Fraction]:
        """How often an activity is run in a solution, by episode."""
        columns = {run[1]: column for run, column in self.columns.items() if run[0] == number}
        if self._making.activities[number].whole:
            return {name: Fraction(answer.whole(column)) for name, column in columns.items()}
        times = {name: Fraction(answer.values[column]) for name, column in columns.items()}
        return {name: often.limit_denominator(MOST_PARTS) for name, often in times.items()}


def _stands_for(given: Fraction, number: Fraction) -> bool:
    """Whether a float of a solution may be a number: a millionth of it off, or of 1.

    Examples
    --------
    >>> [_stands_for(Fraction(grams), Fraction(3_000_000)) for grams in (3_000_002, 3_000_004)]
    [True, False]
    """
    return abs(given - number) <= TOLERANCE * max(ONE, number)


class Candidates:
    r"""The columns for pieces to pick from, in one model.

    What is looked at beyond the pieces used is a column :math:`e` for each episode, with

    .. math:: e \ge \sum_{l,p} C_l\, a_{lp} D_p + \sum_m n(m)\, w\, z_m - U, \qquad
       \sum_m m\, z_m \ge \sum_p a_p D_p, \qquad \sum_m z_m = 1,

    :math:`U` and :math:`D_p` linear in the caps. Where a part of the pieces is good enough,
    binaries :math:`z_m` say for how many pieces :math:`m` of the weight :math:`w` there are enough
    good ones among :math:`n(m)`.

    ``values``: the numbers of times there may be, the lowest first. [time]
    """

    def __init__(self, model: Model, values: Mapping[int, Sequence[int]]) -> None:
        self._model, self._values = model, values
        self._lowest = {shot: numbers[0] for shot, numbers in values.items()}
        self._highest = {shot: numbers[-1] for shot, numbers in values.items()}
        self._columns: dict[LookedAt, int] = {}

    def column(self, one: LookedAt, timed: Timed) -> int:
        """The column for what is looked at in an episode beyond the pieces used there."""
        if one in self._columns:
            return self._columns[one]
        picking = one.picking
        most = picking.looked_at(one.episode, self._highest)
        column = self._columns[one] = self._model.column(upper=most, whole=False)
        looked_at, row = Linear(), {column: ONE}
        looked_at.add(one.used, -ONE)
        for pick in picking.by_number(one.episode):
            candidates = pick.leaf.candidates * pick.amount
            looked_at.add(Linear(per_time={pick.shot: candidates}), ONE)
        for group in picking.by_part(one.episode):
            for shown, pieces in self._numbers_shown(group, picking, timed).items():
                row[shown] = -group.each * pieces_to_pick_from(
                    Fraction(pieces), good_enough=group.part, risk=picking.risk
                )
        expression, constant = timed(looked_at)
        row |= {at: -factor for at, factor in expression.items()}
        self._model.row(row, least=constant)
        return column

    def _numbers_shown(self, group: GoodEnough, picking: Picking, timed: Timed) -> dict[int, int]:
        """A column for each number of pieces that may be shown; one is chosen. [piece]"""
        shown = Linear()
        for pick in group.picks:
            shown.add(Linear(per_time={pick.shot: pick.pieces}), ONE)
        sums = self._sums(shown, picking.forest)
        numbers = {self._model.column(upper=1): pieces for pieces in sums}
        self._model.row(dict.fromkeys(numbers, ONE), least=1, most=1)
        expression, constant = timed(shown)
        row = {column: Fraction(pieces) for column, pieces in numbers.items()}
        row |= {column: -factor for column, factor in expression.items()}
        self._model.row(row, least=constant)
        return numbers

    def _sums(self, shown: Linear, forest: Forest) -> list[int]:
        """The numbers of pieces that the numbers of times can come to. [piece]"""
        sums = {ZERO}
        highest = sum(
            (n * forest.times(shot, self._highest) for shot, n in shown.per_time.items()), ZERO
        )
        for shot, pieces in shown.per_time.items():
            fewest, most = (forest.times(shot, caps) for caps in (self._lowest, self._highest))
            times = self._values.get(shot, ()) if shot not in forest.takers else ()
            sums = {one + pieces * n for one in sums for n in times or range(fewest, most + 1)}
            if len(sums) > highest + 1:  # parts of pieces add up to ever more numbers
                return list(range(math.ceil(highest) + 1))
        return sorted({math.ceil(one) for one in sums})
