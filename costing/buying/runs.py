r"""The columns and rows of what is made and cut, in a programme.

A whole number :math:`x_{ae}` says how often activity :math:`a` is run in episode :math:`e`; of a
dish that need not be in whole batches it is any number. With :math:`g_{ia}` what a run gives of
good :math:`i`, :math:`s_i` what is bought of it ready and :math:`d_{ie}` what is needed, in one
episode

.. math:: s_i + \sum_a g_{ia} x_{ae} \ge d_{ie}

holds; over several, flows from each source to the episodes that it may serve stand for the two
terms on the left.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from fractions import Fraction

from costing.buying.activities import Linear, Run
from costing.buying.making import Making
from costing.buying.on_hand import Usable
from costing.buying.picking import GoodEnough, LookedAt, Picking, pieces_to_pick_from
from costing.buying.serving import ByEpisode
from costing.buying.solver import Model, Solution
from costing.quantities import ONE, ZERO
from costing.shoot import Episode
from costing.shoot.copies import Forest

Expression = dict[int, Fraction]
"""For each column its factor."""

MOST_PARTS = 10_000
"""The largest denominator of a number that a solution names in floats."""

TOLERANCE = Fraction(1, 10**6)
"""So far a float may be from the number that it stands for: the tolerance of the solver's rows, of
1 and of the number itself if that is more."""

Timed = Callable[[Linear], tuple[Expression, Fraction]]
"""What a linear expression is in columns, and what of it is constant."""


@dataclass(slots=True)
class ReadyBought:
    """What of a good may be bought ready, as columns.

    Parameters
    ----------
    supply : dict of int to Fraction
        What each pack brings. [base unit]
    kept : mapping of str to Fraction
        By episode the part of it that is sound on the day. [fraction]
    given : mapping of str to Fraction
        What is there for certain, from an episode on. [base unit]
    serves : mapping of int to frozenset of str
        Whom a pack may serve, by its column, where the days decide.
    flows : dict of str to int, optional
        By episode the column of what is used of it; ``None`` where one episode needs the good.
    """

    supply: Expression
    kept: ByEpisode
    given: ByEpisode = field(default_factory=dict)
    serves: Mapping[int, frozenset[str]] = field(default_factory=dict)
    flows: dict[str, int | None] = field(default_factory=dict)

    def for_one(self, episode: str) -> Expression:
        """What of it may serve one episode. [base unit]"""
        everyone = frozenset((episode,))
        return {c: a for c, a in self.supply.items() if episode in self.serves.get(c, everyone)}

    def by_serving(self, names: Collection[str]) -> dict[frozenset[str], Expression]:
        """What of it may serve some of these episodes, by whom it serves. [base unit]"""
        sources: dict[frozenset[str], Expression] = {}
        for column, amount in self.supply.items():
            served = self.serves.get(column, frozenset(names)).intersection(names)
            sources.setdefault(served, {})[column] = amount
        return sources

    def released(
        self, supply: Fraction, answer: Solution, wanted: ByEpisode, batches: Collection[Fraction]
    ) -> dict[str, Fraction]:
        """From which episode on how much of a supply is there, as a solution uses it.

        Where it uses all that an episode wants, or all but some batches, that is released exactly:
        were it less by the rounding of a float, the rest would be made.
        """
        released: dict[str, Fraction] = {}
        last = next(reversed(self.flows), None)
        for episode, column in self.flows.items():
            kept = self.kept[episode]
            part = supply * kept
            if episode != last and column is not None:
                used = Fraction(answer.values[column])
                whole = wanted.get(episode, ZERO)
                likely = [whole - round((whole - used) / each) * each for each in batches]
                near = used.limit_denominator(MOST_PARTS)
                exact = (n for n in (ZERO, whole, *likely) if n >= 0 and _stands_for(used, n))
                part = min(part, next(exact, max(ZERO, near)))
            released[episode] = part
            supply -= part / kept
        return released


class Runs:
    """The runs of all activities in one model.

    Parameters
    ----------
    model : Model
        To be added to.
    making : Making
        Activities, and what is on hand of goods.
    most : mapping of int to int
        The highest caps. [time]
    forbidden : collection of int
        Activities that are not to be run.
    """

    def __init__(
        self,
        model: Model,
        making: Making,
        most: Mapping[int, int],
        forbidden: frozenset[int] = frozenset(),
    ) -> None:
        self._model, self._making = model, making
        self._dates = {one.name: one.shoot_date for one in making.episodes}
        self._order = {one.name: at for at, one in enumerate(making.episodes)}
        self.columns: dict[Run, int] = {}
        self.ready: dict[str, ReadyBought] = {}
        made = making.at(most)
        for number, activity in enumerate(making.activities):
            upper = ONE
            for code, each in activity.gives.items():
                upper += sum(made.served[code].wanted.values(), ZERO) / each + 1
            for episode in making.open_in(number):
                self.columns[number, episode] = model.column(
                    upper=0 if number in forbidden else math.ceil(upper), whole=activity.whole
                )

    @property
    def forest(self) -> Forest:
        """For how many times the shots are provided."""
        return self._making.needs.forest

    def cover(self, ready: Mapping[str, ReadyBought], timed: Timed) -> None:
        """Rows so that what is needed of each good is covered.

        Parameters
        ----------
        ready : mapping of str to ReadyBought
            By key of a good what may be bought of it.
        timed : callable
            Turns numbers of times and runs into columns.
        """
        self.ready = dict(ready)
        for codes, _ in self._making.groups:
            for code in codes:
                self._cover(code, self.ready.get(code), timed)

    def _cover(self, code: str, ready: ReadyBought | None, timed: Timed) -> None:
        """The rows that make a good suffice: one where one episode needs it, else flows."""
        parts = self._making.linear(code)
        lots = self._making.stocks[code].lots if code in self._making.stocks else ()
        wanting = [
            one
            for one in self._making.episodes
            if one.name in parts and not any(u.lot.plenty and u.good_for(one) for u in lots)
        ]
        if len(wanting) == 1:
            (episode,) = wanting
            row, constant = timed(parts[episode.name])
            row = {column: -factor for column, factor in row.items()}
            constant -= sum((u.amount for u in lots if u.good_for(episode)), ZERO)
            for run, each in self._giving(code, episode):
                row[self.columns[run]] = row.get(self.columns[run], ZERO) + each
            if ready is not None:
                kept = ready.kept[episode.name]
                supply = ready.for_one(episode.name)
                row |= {column: amount * kept for column, amount in supply.items()}
                constant -= sum(ready.given.values(), ZERO)
                ready.flows[episode.name] = None
            self._model.row(row, least=constant)
        elif wanting:
            self._flows(code, wanting, parts, ready, lots, timed)

    def _giving(self, code: str, episode: Episode) -> Iterator[tuple[Run, Fraction]]:
        """The runs whose goods serve an episode, and what each gives."""
        dates, order = self._dates, self._order
        for number in self._making.givers(code):
            activity = self._making.activities[number]
            for name in self._making.open_in(number):
                if order[name] > order[episode.name]:
                    continue
                day, keeps = dates[name], activity.keeps[code]
                if name != episode.name:
                    if day is None or episode.shoot_date is None:
                        continue
                    if day + timedelta(days=math.floor(keeps)) < episode.shoot_date:
                        continue
                yield (number, name), activity.gives[code]

    def _flows(
        self,
        code: str,
        wanting: list[Episode],
        parts: Mapping[str, Linear],
        ready: ReadyBought | None,
        lots: tuple[Usable, ...],
        timed: Timed,
    ) -> None:
        """Columns for what each source gives to each episode, and rows that keep them."""
        of_run: dict[Run, Expression] = {}
        of_lot: dict[int, Expression] = {}
        of_packs: Expression = {}
        there = ZERO
        for episode in wanting:
            needed, constant = timed(parts[episode.name])
            row = {column: -factor for column, factor in needed.items()}
            for run, _ in self._giving(code, episode):
                flow = self._model.column(whole=False)
                row[flow] = ONE
                of_run.setdefault(run, {})[flow] = ONE
            for number, usable in enumerate(lots):
                if usable.good_for(episode):
                    flow = self._model.column(whole=False)
                    row[flow] = ONE
                    of_lot.setdefault(number, {})[flow] = ONE
            if ready is not None:
                flow = self._model.column(whole=False)
                row[flow] = ONE
                of_packs[flow] = 1 / ready.kept[episode.name]
                ready.flows[episode.name] = flow
                if ready.given:
                    there += ready.given.get(episode.name, ZERO)
                    self._model.row(dict.fromkeys(of_packs, ONE), most=there)
            self._model.row(row, least=constant)
        for run, flows in of_run.items():
            each = self._making.activities[run[0]].gives[code]
            self._model.row(flows | {self.columns[run]: -each}, most=0)
        for number, flows in of_lot.items():
            self._model.row(flows, most=lots[number].amount)
        if ready is not None and not ready.given:
            self._flow_from_packs(ready, of_packs, [one.name for one in wanting])

    def _flow_from_packs(
        self, ready: ReadyBought, of_packs: Expression, names: Collection[str]
    ) -> None:
        """Rows so that what episodes use of packs is there, on their days too."""
        sources = ready.by_serving(names)
        if list(sources) == [frozenset(names)]:
            supply = {column: -amount for column, amount in ready.supply.items()}
            self._model.row(of_packs | supply, most=0)
            return
        taken: dict[str, Expression] = {name: {} for name in names}
        for served, supply in sources.items():
            flows = {self._model.column(whole=False): name for name in sorted(served)}
            for flow, name in flows.items():
                taken[name][flow] = -ONE
            less = {column: -amount for column, amount in supply.items()}
            self._model.row(dict.fromkeys(flows, ONE) | less, most=0)
        for name in names:
            used = ready.flows[name]
            if used is not None:
                self._model.row(taken[name] | {used: of_packs[used]}, most=0)

    def run(self, number: int, answer: Solution) -> dict[str, Fraction]:
        """How often an activity is run in a solution, by episode."""
        columns = {run[1]: column for run, column in self.columns.items() if run[0] == number}
        if self._making.activities[number].whole:
            return {name: Fraction(answer.whole(column)) for name, column in columns.items()}
        times = {name: Fraction(answer.values[column]) for name, column in columns.items()}
        return {
            name: ZERO if _stands_for(often, ZERO) else often.limit_denominator(MOST_PARTS)
            for name, often in times.items()
        }


def _stands_for(given: Fraction, number: Fraction) -> bool:
    """Whether a float of a solution may be a number."""
    return abs(given - number) <= TOLERANCE * max(ONE, number)


class Candidates:
    r"""The columns for pieces to pick from, in one model.

    What is looked at beyond the pieces used is a column :math:`e` for each episode, with

    .. math:: e \ge \sum_{l,p} C_l\, a_{lp} D_p + \sum_m n(m)\, w\, z_m - U, \qquad
       \sum_m m\, z_m \ge \sum_p a_p D_p, \qquad \sum_m z_m = 1,

    :math:`U` and :math:`D_p` linear in the caps. Where a part of the pieces is good enough,
    binaries :math:`z_m` say for how many pieces :math:`m` of the weight :math:`w` there are enough
    good ones among :math:`n(m)`.

    Parameters
    ----------
    model : Model
        To be added to.
    values : mapping of int to sequence of int
        The numbers of times there may be, the lowest first. [time]
    """

    def __init__(self, model: Model, values: Mapping[int, Sequence[int]]) -> None:
        self._model, self._values = model, values
        self._lowest = {shot: numbers[0] for shot, numbers in values.items()}
        self._highest = {shot: numbers[-1] for shot, numbers in values.items()}
        self._columns: dict[LookedAt, int] = {}

    def column(self, one: LookedAt, timed: Timed) -> int:
        """The column for what is looked at in an episode beyond the pieces used there.

        Parameters
        ----------
        one : LookedAt
            Of which ingredient and episode.
        timed : callable
            Turns numbers of times and runs into columns.
        """
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
