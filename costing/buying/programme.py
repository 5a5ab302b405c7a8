r"""Caps and packs together as one mixed-integer linear programme.

Binaries :math:`y_{pk}` choose how many times :math:`k` each uncertain shot :math:`p` is provided
for, whole numbers :math:`x_{ij}` the packs. Shots are independent, so that all stay within their
caps with the chance

.. math:: \prod_p F_p(k_p) \ge 1 - r \iff \sum_{p,k} \log F_p(k)\, y_{pk} \ge \log(1 - r)

and each ingredient is covered by

.. math:: \sum_j a_{ij} x_{ij} \ge c_i + \sum_{p,k} a_{ip}\, k\, y_{pk}

for each of the linear expressions of its demand. A shot whose copies continue to others is provided
for :math:`D_p \ge k_p` and :math:`D_p \ge \sum_c D_c` times, a column of its own in place of
:math:`k_p`. Where days decide, and for what is made or cut, flows from what is there take the place
of the second row (``pack_columns``, ``runs``). What the solver proposes is checked in exact
arithmetic; what falls short is cut off (``search``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import partial

from costing.buying.activities import Linear
from costing.buying.articles import Article, Basket, Packs, Question, Terms, log_of
from costing.buying.lives import by_first
from costing.buying.making import Making
from costing.buying.pack_columns import (
    FlowSource,
    PackColumn,
    brought_by,
    left_overs,
    pack_columns,
    serve,
)
from costing.buying.purchases import Counts
from costing.buying.runs import Candidates, Ready, Runs
from costing.buying.serving import NOTHING_CHOSEN, Chosen
from costing.buying.solver import Expression, Model, Solution
from costing.quantities import ONE, ZERO
from costing.shoot.copies import Forest


class Programme:
    """The columns and rows of a question; a search adds its own rows to a copy of the model."""

    def __init__(self, terms: Terms, question: Question) -> None:
        self.terms = terms
        self.question = question
        self.model = Model()
        self.caps: dict[int, dict[int, int]] = {}
        self.packs: list[list[PackColumn]] = []
        self.missing: dict[int, tuple[int, Fraction]] = {}
        self.visits: dict[str, int] = {}
        self.paid_at: dict[str, int] = {}
        self._provided: dict[int, int] = {}
        self._most = {shot: values[-1] for shot, values in question.values.items()}
        self._candidates = Candidates(self.model, question.values)
        self._credit: Expression = {}
        self._left: list[Expression] = []  # of each article, to be taken off its packs
        forests = [article.demand.forest for article in terms.articles]
        self._forest = forests[0] if forests else Forest(())  # they are of one shoot
        self._choose_caps()
        self.runs: Runs | None = None
        if terms.making is not None:
            given = self.model, terms.making, self._most, question.forbidden
            self.runs = Runs(*given, by_day=terms.by_day)
        for number, article in enumerate(terms.articles):
            self._cover(number, article)
        if self.runs is not None and terms.making is not None:
            self._cover_goods(self.runs, terms.making)
        if terms.visits or terms.minimums:
            self._go_to_shops()

    @property
    def _every(self) -> list[PackColumn]:
        """The columns of the packs of all articles."""
        return [one for columns in self.packs for one in columns]

    def _choose_caps(self) -> None:
        """A column for each cap that a shot may have, and the chance of all of them together."""
        logs: Expression = {}
        for shot, values in self.question.values.items():
            self.caps[shot] = {}
            for value in values:
                column = self.model.column(upper=1)
                self.caps[shot][value] = column
                within = self.question.times[shot].chance_within(value)
                logs[column] = log_of(within)
            self.model.row(dict.fromkeys(self.caps[shot].values(), ONE), least=1, most=1)
        if self.question.chance:
            self.model.row(logs, least=log_of(self.question.chance))

    def unlikeliness(self) -> Expression:
        """The less, the greater the chance that every shot stays within its cap."""
        return {
            column: -log_of(self.question.times[shot].chance_within(value))
            for shot, columns in self.caps.items()
            for value, column in columns.items()
        }

    def weighed(self, weights: Mapping[int, Fraction]) -> Expression:
        """Caps times the weight of their shot, added up."""
        return {
            column: weights[shot] * value
            for shot, columns in self.caps.items()
            if shot in weights
            for value, column in columns.items()
        }

    def _cover(self, number: int, article: Article) -> None:
        """Columns for the packs of an article, and rows so that they cover the caps."""
        demand, choosing = article.demand, self.question.choosing
        by_day = self._most_of(number, article)
        most = max(ZERO, sum(by_day.values(), ZERO))
        if self.runs is not None and choosing and demand.making is not None:
            # what may be made on one day or on another is in the most of both
            besides = sum(self.question.more.get(number, {}).values(), ZERO)
            together = self.runs.most_taken(demand.code) + besides
            most = min(most, together / min(demand.kept.values()))
        columns = pack_columns(self.model, article, by_day, most, self.terms.minimums)
        self.packs.append(columns)
        self._left.append({})
        if self.terms.counted:
            chosen = choosing and demand.making is not None
            least = self.question.least(number, article)
            left = left_overs(self.model, article, columns, chosen=chosen, least=least)
            worth, self._left[-1] = left
            self._credit |= worth
        if self.question.elastic:
            self.missing[number] = self.model.column(upper=1, whole=False), most
        if demand.made and choosing:
            return  # what is bought of it ready is covered together with what is made
        if article.dated:
            self._serve_days(number, article)
            return
        supply = brought_by(columns) | self._left[number]
        supply |= [self.missing[number]] if number in self.missing else []
        if demand.made:
            self.model.row(supply, least=most)
            return
        for cover in demand.covers(self.question.planned, self.question.more.get(number, {})):
            row = dict(supply)
            taken, least = self._in_columns(cover)
            for column, amount in taken.items():
                row[column] = row.get(column, ZERO) - amount
            self.model.row(row, least=least)

    def _serve_days(self, number: int, article: Article) -> None:
        """Rows so that packs serve each episode on its day.

        Where the caps of all that take of it are given, what is on hand is taken off exactly;
        else it flows to where it saves most, and what that promises too much is cut off.
        """
        demand = article.demand
        free = [shot for shot in demand.shots if len(self.question.values.get(shot, ())) > 1]
        needs: dict[str, tuple[Expression, Fraction]]
        sources: list[FlowSource] = []
        fixed = number in self.question.fixed or not (free or self.question.choosing)
        if demand.made or fixed:
            amounts, kept = self._most_of(number, article), demand.kept
            needs = {name: ({}, part * kept[name]) for name, part in amounts.items() if part > 0}
        else:
            parts = demand.parts(self.question.planned, self.question.more.get(number, {}))
            needs = {name: self._in_columns(part) for name, part in parts.items()}
        if self.question.saving or not (demand.made or fixed):
            users = [one for one in demand.stock.users if one.name in needs]
            for usable in demand.stock.lots:
                if not usable.lot.plenty:
                    good = dict.fromkeys((u.name for u in users if usable.good_for(u)), ONE)
                    sources.append(FlowSource({}, good, usable.amount))
            for user in users:
                if demand.plenty_for(user):
                    needs.pop(user.name)
        serve(self.model, needs, [*self._fetched(number, list(needs)), *sources], together=True)

    def _fetched(self, number: int, names: Sequence[str]) -> list[FlowSource]:
        """The packs of an article by whom they may serve, and what may be missing of it."""
        article, by_serving = self.terms.articles[number], dict[frozenset[str], Expression]()
        for one in (pack for pack in self.packs[number] if pack.offer.at_most != 0):
            way = one.offer.way if article.dated else None
            served = frozenset(names) if way is None else way.serves.intersection(names)
            by_serving.setdefault(served, {})[one.column] = one.offer.amount
        if self._left[number]:
            by_serving.setdefault(frozenset(names), {}).update(self._left[number])
        if number in self.missing:
            column, most = self.missing[number]
            by_serving.setdefault(frozenset(names), {})[column] = most
        kept = article.demand.kept
        return [
            FlowSource(brings, {name: kept[name] for name in names if name in served})
            for served, brings in by_serving.items()
        ]

    def _most_of(self, number: int, article: Article) -> dict[str, Fraction]:
        """The most that may have to be bought of an article, by episode. [base unit]"""
        demand = article.demand
        if self.question.choosing and self.runs is not None and demand.making is not None:
            wanted = self.runs.most_wanted(demand.code)
            for episode, amount in self.question.more.get(number, {}).items():
                wanted[episode] = wanted.get(episode, ZERO) + amount
        elif demand.making is not None and demand.made:
            wanted = by_first(demand.making.chosen.ready.get(demand.code, {}))
        else:
            return self.question.needs(number, article, self._most)
        return {episode: amount / demand.kept[episode] for episode, amount in wanted.items()}

    def _cover_goods(self, runs: Runs, making: Making) -> None:
        """Rows so that goods are made, cut or bought ready."""

        def chosen(code: str, names: Sequence[str]) -> list[FlowSource]:
            """What is chosen to be bought of a good, for whom it serves."""
            return [
                FlowSource({}, dict.fromkeys((n for n in names if n in serves), ONE), amount)
                for (_, serves), amount in making.chosen.ready.get(code, {}).items()
            ]

        ready: dict[str, Ready] = {}
        for number, article in enumerate(self.terms.articles):
            if article.demand.made:
                fetched, code = partial(self._fetched, number), article.demand.code
                ready[code] = fetched if self.question.choosing else partial(chosen, code)
        runs.cover(ready, self._in_columns)

    def _in_columns(self, linear: Linear) -> tuple[Expression, Fraction]:
        """What a linear expression is in columns, and what of it is constant."""
        row: Expression = {}
        constant = linear.constant
        for shot, amount in linear.per_time.items():
            times, certain = self._times_of(shot)
            constant += certain * amount
            for column, factor in times.items():
                row[column] = row.get(column, ZERO) + amount * factor
        if self.runs is not None:
            for column, amount in self.runs.in_columns(linear).items():
                row[column] = row.get(column, ZERO) + amount
        for one, often in linear.beyond.items():
            row[self._candidates.column(one, self._in_columns)] = often
        return row, constant

    def _times_of(self, shot: int) -> tuple[Expression, int]:
        """For how many times a shot is provided: an expression, and what is certain of it."""
        forest = self._forest
        if not forest.uncertain(shot):
            return {}, forest.times(shot, {})
        takers = forest.takers.get(shot)
        caps = self.caps.get(shot, {})
        own = {column: Fraction(value) for value, column in caps.items()}
        if takers is None:
            return own, 0
        if shot not in self._provided:
            # the larger of two as one column above both: it is worth nothing to have it larger
            column = self.model.column(upper=forest.times(shot, self._most))
            self._provided[shot] = column
            # a shot whose own number is certain has no column of caps: its number bounds from below
            least = 0 if own else forest.shots[shot].times
            self.model.row({column: ONE} | {at: -value for at, value in own.items()}, least=least)
            row, going_on = {column: ONE}, 0
            for taker in takers:
                times, certain = self._times_of(taker)
                going_on += certain
                row |= {at: -factor for at, factor in times.items()}
            self.model.row(row, least=going_on)
        return {self._provided[shot]: ONE}, 0

    def _go_to_shops(self) -> None:
        """A shop is visited when anything comes from it; its minimum holds when one pays there."""
        spent: dict[str, Expression] = {}
        for one in self._every:
            shop = one.offer.shop
            if not shop or not one.upper:
                continue
            if shop not in self.visits:
                self.visits[shop] = self.model.column(upper=1)
            visit = self.visits[shop]  # 1 where any of its packs is bought
            self.model.row({visit: Fraction(one.upper), one.column: -ONE}, least=0)
            if shop in self.terms.minimums and one.offer.asked:
                if shop not in self.paid_at:
                    self.paid_at[shop] = self.model.column(upper=1)
                pays = self.paid_at[shop]
                self.model.row({pays: Fraction(one.upper), one.column: -ONE}, least=0)
                spent.setdefault(shop, {})[one.column] = one.offer.cost
        # less by what rounding may add: a till that does not come to the minimum is cut off
        for shop, prices in spent.items():
            least = self.terms.minimums[shop] - self.question.slack.get(shop, ZERO)
            self.model.row(prices | {self.paid_at[shop]: -least}, least=0)

    def paid(self) -> Expression:
        """Packs and visits. [money]"""
        parts = {one.column: one.offer.cost for one in self._every}
        visits = {column: self.terms.visits.get(shop, ZERO) for shop, column in self.visits.items()}
        return parts | visits

    def cost(self) -> Expression:
        """What is paid, less the counted part of what keeps. [money]"""
        cost = self.paid()
        for column, price in self._credit.items():
            cost[column] = cost.get(column, ZERO) - self.terms.counted * price
        return cost

    def left_value(self) -> Expression:
        """The less, the less value is left over: all that is bought, by its price and by a unit's.

        What is left over, at the average price of the packs, is no linear expression; but use is
        the same for all baskets, so that less paid and less brought leave less. What makings use
        is not left over.
        """
        left = {
            one.column: one.offer.cost + article.unit_price * one.offer.amount
            for article, columns in zip(self.terms.articles, self.packs, strict=True)
            for one in columns
        }
        for article in self.terms.articles if self.runs is not None else ():
            demand = article.demand
            if self.runs is None or demand.making is None or demand.made:
                continue
            for part in demand.making.linear(demand.code).values():
                for column, amount in self.runs.in_columns(part).items():
                    left[column] = left.get(column, ZERO) - article.unit_price * amount
        return left

    def packs_then_shops(self) -> Expression:
        """Number of packs, and among as many the number of shops."""
        shop = Fraction(1, len(self.visits) + 1)  # all shops together weigh less than a pack
        packs = {one.column: ONE for one in self._every}
        return packs | dict.fromkeys(self.visits.values(), shop)

    def packs_then_rows(self) -> Expression:
        """Number of packs, and among as many the earlier rows of the sheet and later trips."""
        rows = self.rows_of_the_sheet()
        most = sum(one.upper * one.numbers[0] for one in self._every)
        # all rows together weigh less than a pack
        return {column: 1 + row / (most + 1) for column, row in rows.items()}

    def rows_of_the_sheet(self) -> Expression:
        """Rows from above, added over all packs: the less, the earlier they stand."""
        return {one.column: Fraction(one.numbers[0]) for one in self._every}

    def lacking(self) -> Expression:
        """What is missing, as parts of what is wanted at most."""
        return {column: ONE for column, _ in self.missing.values()}

    def spared(self, answer: Solution) -> dict[int, Fraction]:
        """What a solution says is missing, by article. [base unit]"""
        return {
            number: most * Fraction(answer.values[column])
            for number, (column, most) in self.missing.items()
        }

    def value(self, objective: Expression, packs: Sequence[Packs]) -> Fraction:
        """What an objective over packs and visits comes to for packs."""
        total = ZERO
        visited = self.terms.shops(packs)
        for kinds, counts in zip(self.packs, packs, strict=True):
            for one in kinds:
                number = sum(counts[at] for at in one.numbers)
                total += objective.get(one.column, ZERO) * number
        for shop, column in self.visits.items():
            total += objective.get(column, ZERO) if shop in visited else ZERO
        return total

    def basket(self, answer: Solution) -> Basket:
        """The basket the solver proposes, its packs from the earliest rows."""
        caps = {
            shot: max(columns, key=lambda value: answer.values[columns[value]])
            for shot, columns in self.caps.items()
        }
        packs = []
        for article, kinds in zip(self.terms.articles, self.packs, strict=True):
            counts = [0] * len(article.offers)
            for one in kinds:
                rest = answer.whole(one.column)
                for number in one.numbers:
                    limit = article.offers[number].at_most
                    counts[number] = rest if limit is None else min(rest, limit)
                    rest -= counts[number]
            packs.append(tuple(counts))
        return Basket(caps, tuple(packs), self._chosen(answer, caps, packs))

    def _chosen(self, answer: Solution, caps: Counts, packs: Sequence[Packs]) -> Chosen:
        """What a solution makes, buys ready and cuts which way, if that was asked."""
        if self.runs is None or not self.question.choosing:
            return NOTHING_CHOSEN
        bought = {
            article.demand.code: (article.opened(counts), article.demand.kept)
            for article, counts in zip(self.terms.articles, packs, strict=True)
            if article.demand.made
        }
        return self.runs.chosen(answer, caps, bought)

    def lower_caps(self, shots: Sequence[int], caps: Counts) -> Expression:
        """One when a cap of these shots is lower than it is; given needs have no caps to lower."""
        return {
            column: ONE
            for shot in shots
            for value, column in self.caps.get(shot, {}).items()
            if value < caps[shot]
        }
