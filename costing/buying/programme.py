r"""Caps and packs together as one mixed-integer linear programme.

Binaries :math:`y_{pk}` choose how many times :math:`k` each uncertain shot :math:`p` is provided
for, whole numbers :math:`x_{ij}` the packs. Shots are independent, so that all stay within their
caps with the chance

.. math:: \prod_p F_p(k_p) \ge 1 - r \iff \sum_{p,k} \log F_p(k)\, y_{pk} \ge \log(1 - r)

and each ingredient is covered by

.. math:: \sum_j a_{ij} x_{ij} \ge c_i + \sum_{p,k} a_{ip}\, k\, y_{pk}

for each of the linear expressions of its demand. A shot whose copies continue to others is provided
for :math:`D_p \ge k_p` and :math:`D_p \ge \sum_c D_c` times, a column of its own in place of
:math:`k_p`. What the solver proposes is checked in exact
arithmetic; what falls short is cut off.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import partial

from costing.buying.activities import Linear
from costing.buying.articles import Article, Basket, Packs, Question, Terms, log_of
from costing.buying.pack_columns import Merged, Needs, left_overs, merged, serve_days
from costing.buying.purchases import Counts
from costing.buying.runs import Candidates, Expression, ReadyBought, Runs
from costing.buying.serving import Chosen
from costing.buying.solver import Model, Solution
from costing.quantities import ONE, ZERO
from costing.shoot.copies import Forest


class Programme:
    """The columns and rows of a question; a search adds its own rows to a copy of the model.

    Parameters
    ----------
    terms : Terms
        Articles, shops and what counts.
    question : Question
        Caps to choose from and the chance that is asked for.
    """

    def __init__(self, terms: Terms, question: Question) -> None:
        self.terms = terms
        self.question = question
        self.model = Model()
        self.caps: dict[int, dict[int, int]] = {}
        self.packs: list[list[Merged]] = []
        self.missing: dict[int, tuple[int, Fraction]] = {}
        self.visits: dict[str, int] = {}
        self.paid_at: dict[str, int] = {}
        self._provided: dict[int, int] = {}
        self._most = {shot: values[-1] for shot, values in question.values.items()}
        self._candidates = Candidates(self.model, question.values)
        self._credit: Expression = {}
        self._choose_caps()
        self.runs: Runs | None = None
        if terms.making is not None:
            self.runs = Runs(self.model, terms.making, self._most, question.forbidden)
        for number, article in enumerate(terms.articles):
            self._cover(number, article)
        if self.runs is not None:
            self._cover_goods(self.runs)
        if terms.visits or terms.minimums:
            self._go_to_shops()
        if terms.counted:
            for article, columns in zip(terms.articles, self.packs, strict=True):
                self._credit |= left_overs(self.model, article, columns)

    def _choose_caps(self) -> None:
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
        by_day = self._most_of(number, article)
        most = max(ZERO, sum(by_day.values(), ZERO))
        columns = merged(self.model, article, by_day, self.terms.minimums)
        self.packs.append(columns)
        supply = {one.column: article.offers[one.numbers[0]].amount for one in columns}
        if self.question.elastic:
            lacking = self.model.column(upper=1, whole=False)
            self.missing[number] = lacking, most
            supply[lacking] = most
        if article.dated and not (article.demand.made and self.question.choosing):
            self._serve_days(number, article, columns)
            return
        if article.demand.made:
            if not self.question.choosing:
                self.model.row(supply, least=most)
            return
        more = self.question.more.get(number, {})
        for cover in article.demand.covers(self.question.planned, more):
            row = dict(supply)
            taken, least = self._in_columns(cover, article.demand.forest)
            for column, amount in taken.items():
                row[column] = row.get(column, ZERO) - amount
            self.model.row(row, least=least)

    def _serve_days(self, number: int, article: Article, columns: Sequence[Merged]) -> None:
        """Rows so that packs serve each episode on its day.

        Where the caps of all that take of it are given, what is on hand is taken off exactly;
        else it flows to where it saves most, and what that promises too much is cut off.
        """
        demand, missing = article.demand, self.missing.get(number)
        free = [shot for shot in demand.shots if len(self.question.values.get(shot, ())) > 1]
        if demand.made or number in self.question.fixed or not (free or self.question.choosing):
            needs = self._most_of(number, article)
            kept = demand.kept
            given: Needs = {n: ({}, part * kept[n]) for n, part in needs.items() if part > 0}
            serve_days(self.model, article, columns, given, missing=missing)
            return
        more = self.question.more.get(number, {})
        parts = demand.parts(self.question.planned, more)
        timed = {name: self._in_columns(part, demand.forest) for name, part in parts.items()}
        users = [one for one in demand.stock.users if one.name in timed]
        lots = [one for one in demand.stock.lots if not one.lot.plenty]
        for user in users:
            if demand.plenty_for(user):
                timed.pop(user.name)
        serve_days(self.model, article, columns, timed, lots=lots, episodes=users, missing=missing)

    def _most_of(self, number: int, article: Article) -> dict[str, Fraction]:
        """The most that may have to be bought of an article, by episode. [base unit]"""
        demand = article.demand
        if demand.making is None or not demand.made:
            return self.question.needs(number, article, self._most)
        if self.question.choosing:
            wanted = demand.making.at(self._most).served[demand.code].wanted
        else:
            wanted = dict(demand.making.chosen.ready.get(demand.code, {}))
        return {episode: amount / demand.kept[episode] for episode, amount in wanted.items()}

    def _cover_goods(self, runs: Runs) -> None:
        """Rows so that goods are made, cut or bought ready."""
        ready = {}
        for number, (article, kinds) in enumerate(
            zip(self.terms.articles, self.packs, strict=True)
        ):
            demand, supply = article.demand, dict[int, Fraction]()
            if not demand.made or demand.making is None:
                continue
            given = (
                {} if self.question.choosing else demand.making.chosen.ready.get(demand.code, {})
            )
            if self.question.choosing:
                supply = {one.column: article.offers[one.numbers[0]].amount for one in kinds}
                supply |= [self.missing[number]] if number in self.missing else []
            serves = {
                one.column: way.serves
                for one in kinds
                if article.dated and (way := article.offers[one.numbers[0]].way)
            }
            ready[demand.code] = ReadyBought(supply, demand.kept, given, serves)
        forest = runs.forest
        runs.cover(ready, lambda linear: self._in_columns(linear, forest))

    def _in_columns(self, linear: Linear, forest: Forest) -> tuple[Expression, Fraction]:
        """What a linear expression is in columns, and what of it is constant."""
        row: Expression = {}
        constant = linear.constant
        for shot, amount in linear.per_time.items():
            times, certain = self._times_of(shot, forest)
            constant += certain * amount
            for column, factor in times.items():
                row[column] = row.get(column, ZERO) + amount * factor
        if self.runs is not None:
            for run, amount in linear.per_run.items():
                column = self.runs.columns[run]
                row[column] = row.get(column, ZERO) + amount
        for one, often in linear.beyond.items():
            row[self._candidates.column(one, partial(self._in_columns, forest=forest))] = often
        return row, constant

    def _times_of(self, shot: int, forest: Forest) -> tuple[Expression, int]:
        """For how many times a shot is provided: an expression, and what is certain of it."""
        if not forest.uncertain(shot):
            return {}, forest.times(shot, {})
        takers = forest.takers.get(shot)
        caps = self.caps.get(shot, {})
        own = {column: Fraction(value) for value, column in caps.items()}
        if takers is None:
            return own, 0
        if shot not in self._provided:
            column = self.model.column(upper=forest.times(shot, self._most))
            self._provided[shot] = column
            least = 0 if own else forest.shots[shot].times
            self.model.row({column: ONE} | {at: -value for at, value in own.items()}, least=least)
            row, going_on = {column: ONE}, 0
            for taker in takers:
                times, certain = self._times_of(taker, forest)
                going_on += certain
                row |= {at: -factor for at, factor in times.items()}
            self.model.row(row, least=going_on)
        return {self._provided[shot]: ONE}, 0

    def _go_to_shops(self) -> None:
        """A shop is visited when anything comes from it; its minimum holds when one pays there."""
        spent: dict[str, Expression] = {}
        for article, kinds in zip(self.terms.articles, self.packs, strict=True):
            for one in kinds:
                offer = article.offers[one.numbers[0]]
                if not offer.shop or not one.upper:
                    continue
                if offer.shop not in self.visits:
                    self.visits[offer.shop] = self.model.column(upper=1)
                visit = self.visits[offer.shop]
                self.model.row({visit: Fraction(one.upper), one.column: -ONE}, least=0)
                if offer.shop in self.terms.minimums and not offer.supplied:
                    if offer.shop not in self.paid_at:
                        self.paid_at[offer.shop] = self.model.column(upper=1)
                    pays = self.paid_at[offer.shop]
                    self.model.row({pays: Fraction(one.upper), one.column: -ONE}, least=0)
                    spent.setdefault(offer.shop, {})[one.column] = offer.cost
        for shop, prices in spent.items():
            least = self.terms.minimums[shop] - self.question.slack.get(shop, ZERO)
            self.model.row(prices | {self.paid_at[shop]: -least}, least=0)

    def paid(self) -> Expression:
        """Packs and visits. [money]"""
        parts = {
            one.column: article.offers[one.numbers[0]].cost
            for article, kinds in zip(self.terms.articles, self.packs, strict=True)
            for one in kinds
        }
        visits = {column: self.terms.visits.get(shop, ZERO) for shop, column in self.visits.items()}
        return parts | visits

    def cost(self) -> Expression:
        """What is paid, less the counted part of what keeps. [money]"""
        return self.paid() | {
            column: -self.terms.counted * price for column, price in self._credit.items()
        }

    def left_value(self) -> Expression:
        """The less, the less value is left over: all that is bought, by its price and by a unit's.

        What is left over, at the average price of the packs, is no linear expression; but use is
        the same for all baskets, so that less paid and less brought leave less. What makings use
        is not left over.
        """
        left = {
            one.column: offer.cost + article.unit_price * offer.amount
            for article, kinds in zip(self.terms.articles, self.packs, strict=True)
            for one in kinds
            if (offer := article.offers[one.numbers[0]])
        }
        for article in self.terms.articles if self.runs is not None else ():
            demand = article.demand
            if self.runs is None or demand.making is None or demand.made:
                continue
            for part in demand.making.linear(demand.code).values():
                for run, amount in part.per_run.items():
                    column = self.runs.columns[run]
                    left[column] = left.get(column, ZERO) - article.unit_price * amount
        return left

    def packs_then_shops(self) -> Expression:
        """Number of packs, and among as many the number of shops."""
        shop = Fraction(1, len(self.visits) + 1)
        packs = {one.column: ONE for kinds in self.packs for one in kinds}
        return packs | dict.fromkeys(self.visits.values(), shop)

    def packs_then_rows(self) -> Expression:
        """Number of packs, and among as many the earlier rows of the sheet and later trips."""
        rows = self.rows_of_the_sheet()
        most = sum(one.upper * one.numbers[0] for kinds in self.packs for one in kinds)
        return {column: 1 + row / (most + 1) for column, row in rows.items()}

    def rows_of_the_sheet(self) -> Expression:
        """Rows from above, added over all packs: the less, the earlier they stand."""
        return {one.column: Fraction(one.numbers[0]) for kinds in self.packs for one in kinds}

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

    def _chosen(self, answer: Solution, caps: Counts, packs: Sequence[Packs]) -> Chosen | None:
        """What a solution makes, buys ready and cuts which way, if that was asked."""
        making = self.terms.making
        if making is None or self.runs is None or not self.question.choosing:
            return None
        runs = {
            number: self.runs.run(number, answer)
            for _, numbers in making.groups
            for number in numbers
            if len(numbers) > 1
        }
        supplies = {
            article.demand.code: article.supply(counts)
            for article, counts in zip(self.terms.articles, packs, strict=True)
            if article.demand.made
        }
        ready: dict[str, Mapping[str, Fraction]] = {}
        for code in filter(supplies.__contains__, making.goods):  # what takes a good is before it
            bought, wanted = self.runs.ready[code], dict[str, Fraction]()
            if len(bought.flows) > 1:
                wanted = making.choosing(Chosen(ready, runs)).at(caps).served[code].wanted
            batches = [making.activities[n].gives[code] for n in making.givers(code)]
            ready[code] = bought.released(supplies[code], answer, wanted, batches)
        served = making.choosing(Chosen(ready, runs)).at(caps).served
        return Chosen({code: served[code].bought for code in ready}, runs)

    def lower_caps(self, shots: Sequence[int], caps: Counts) -> Expression:
        """One when a cap of these shots is lower than it is."""
        return {
            column: ONE
            for shot in shots
            for value, column in self.caps[shot].items()
            if value < caps[shot]
        }
