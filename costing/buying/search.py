"""Searching a programme, each proposal checked in exact arithmetic and cut off when it falls short.

A float may take a pack too few for enough, or a chance a little too small for the one asked for. A
cut forbids exactly such a proposal, and what is no better, and the programme is solved again.

Why what is found is the best: every cut is a row that each basket which keeps all rows exactly
keeps too, so that no such basket is lost; the solver proves its proposal to be the least of all
that is left; and the proposal is returned only when it keeps every row exactly itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.buying.articles import Basket, Packs
from costing.buying.lives import allotted, short_together
from costing.buying.pack_columns import PackColumn, brought_by
from costing.buying.programme import Programme
from costing.buying.purchases import Counts
from costing.buying.solver import ROOT, Deadline, Ending, Expression
from costing.quantities import ONE, ZERO

MOST_ROUNDS = 200
"""Proposals that are cut off before a search is given up."""

FLOAT_ERROR = Fraction(1, 10**6)
"""A shortfall below this part of what is wanted comes from floats alone: the solver keeps its rows
to 1e-6 and the rows are scaled so that their largest factor is 1. [fraction]"""

GAP_STEPS = 10_000
"""Parts of the unit of money that a gap is said in."""

SHORTFALL_ERROR = Fraction(1, 10**7)
"""By how much a float may miss the least that is lacking. [part of what is wanted]"""

Tills = Callable[[str, tuple[Packs, ...]], Fraction]
"""What the till of a shop takes for packs, rounded as it rounds."""


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What a search ended with.

    Parameters
    ----------
    basket : Basket, optional
        The best, checked exactly.
    bound : float
        No basket has a smaller objective.
    """

    basket: Basket | None
    ending: Ending
    bound: float

    @property
    def proven(self) -> Basket | None:
        """The basket, where it is proven to be the best."""
        return self.basket if self.ending is Ending.PROVEN else None

    def gap(self, cost: Fraction) -> Fraction | None:
        """How much cheaper than this anything could be; ``None`` when it is not known. [money]"""
        return None if self.bound == -math.inf else gap_to(self.bound, cost)


class Search:
    """Searches of one programme, on a model of its own.

    What is cut off by one search stays cut off for the next.

    Parameters
    ----------
    tills : callable, optional
        Needed where a shop has a minimum.
    deadline : Deadline, optional
        Of all searches of the programme together, cut-off proposals included.
    """

    def __init__(
        self,
        programme: Programme,
        tills: Tills | None = None,
        deadline: Deadline | None = None,
    ) -> None:
        self.programme = programme
        self._model = programme.model.copy()
        self._tills = tills
        self._deadline = deadline or Deadline()

    def least(self, objective: Expression, *, nodes: int | None = None) -> SearchResult:
        """The basket with the least objective.

        ``nodes``: each attempt is ended after so many branches.
        """
        bound = -math.inf
        for _ in range(MOST_ROUNDS):
            columns = self._model.columns
            allowed = self._deadline.branches(columns, nodes)
            if allowed is not None and allowed < 0:
                self._deadline.spend(columns * ROOT)  # what is left is too little: it is over
                break
            answer = self._model.minimise(objective, seconds=self._deadline.left, nodes=allowed)
            self._deadline.spend(columns * (ROOT + answer.branches))
            # rows are only added, so that an earlier bound stays true: the largest is the best
            # known
            bound = max(bound, answer.bound)
            if not answer.values:
                return SearchResult(None, answer.ending, bound)
            basket = self.programme.basket(answer)
            if self.verify(basket, self.programme.spared(answer)):
                return SearchResult(basket, answer.ending, bound)
            if self._deadline.passed:
                break
        return SearchResult(None, Ending.ENDED, bound)

    def cheapest(
        self, fewest: Expression | None = None, *, nodes: int | None = None
    ) -> SearchResult:
        """The cheapest basket, or the cheapest of those with the fewest of some packs.

        Parameters
        ----------
        fewest : mapping of int to Fraction, optional
            The columns of these packs.
        nodes : int, optional
            Each attempt is ended after so many branches.
        """
        if fewest:
            found = self.least(fewest, nodes=nodes)
            if found.basket is None:
                return found
            self.keep(fewest, self.programme.value(fewest, found.basket.packs))
        return self.least(self.programme.cost(), nodes=nodes)

    def least_lacking(
        self, fewest: Expression | None = None, *, nodes: int | None = None
    ) -> SearchResult:
        """The cheapest of the baskets that lack least of what an elastic question asks for.

        ``nodes``: each attempt is ended after so many branches.
        """
        lacking = self.programme.lacking()
        least = self.least(lacking, nodes=nodes)
        if least.basket is None:
            return least
        self.keep_at_most(lacking, Fraction(max(least.bound, 0)) + SHORTFALL_ERROR)
        cheapest = self.cheapest(fewest, nodes=nodes)
        return cheapest if cheapest.basket else least

    def keep_at_most(self, objective: Expression, most: Fraction) -> None:
        """From now on the objective is at most ``most``, as far as floats can say."""
        self._model.row(objective, most=most)

    def keep(self, objective: Expression, value: Fraction) -> None:
        """From now on the objective is at most ``value``."""
        self._model.row(objective, most=value + _half_step(objective))

    def settled(self, basket: Basket, *, nodes: int) -> Basket:
        """The best of equally cheap baskets: less left over, fewer packs and shops, earlier rows.

        Parameters
        ----------
        basket : Basket
            The cheapest, proven.
        nodes : int
            Each step is ended after so many branches, with what was settled before.
        """
        programme, choosing = self.programme, self.programme.question.choosing
        terms, runs = programme.terms, programme.runs
        run_columns = set() if runs is None else set(runs.columns.values())
        held, value = programme.cost(), terms.cost(basket.packs)
        for objective in (
            programme.left_value(),
            programme.packs_then_shops(),
            programme.rows_of_the_sheet(),
        ):
            self.keep(held, value)
            found = self.least(objective, nodes=nodes)
            if (better := found.proven) is None:
                break
            if choosing or terms.rank(better.packs) <= terms.rank(basket.packs):
                basket = better
            if choosing and not run_columns.isdisjoint(objective):
                # how often something is run is no number of packs: only floats know this objective
                error = SHORTFALL_ERROR * max(ONE, abs(value))
                self.keep_at_most(objective, Fraction(found.bound) + error)
                held, value = programme.cost(), terms.cost(basket.packs)
            else:
                held, value = objective, programme.value(objective, basket.packs)
        return basket

    def verify(self, basket: Basket, spared: Mapping[int, Fraction] | None = None) -> bool:
        """Whether a basket keeps every row exactly; what it breaks is cut off.

        ``spared``: what may be missing, by article. [base unit]
        """
        question = self.programme.question
        sound = True
        if question.chance_within(basket.caps) < question.chance:
            self._forbid_caps(basket.caps)
            sound = False
        # what is made and cut is worked out again in exact numbers, and packs are chosen for that
        for number, packs in enumerate(() if question.choosing else basket.packs):
            sound &= self._covers(number, packs, basket, (spared or {}).get(number))
        for shop in self.programme.terms.minimums:
            sound &= self._reaches(shop, basket)
        return sound

    def _covers(self, number: int, packs: Packs, basket: Basket, spared: Fraction | None) -> bool:
        """Whether the packs of an article bring what the caps want; too few are cut off."""
        programme = self.programme
        article = programme.terms.articles[number]
        needs = programme.question.needs(number, article, basket.caps)
        wanted = max(ZERO, sum(needs.values(), ZERO))
        lacking = article.lacking(packs, needs) - (spared or ZERO)
        if lacking <= 0 or (spared is not None and lacking <= FLOAT_ERROR * wanted):
            return True
        lower = programme.lower_caps(article.demand.shots, basket.caps)
        # a real shortfall is cut off by the exact row. A tiny one the solver would take for kept
        # within its tolerance again, so that exactly these packs are forbidden
        if lacking > FLOAT_ERROR * wanted:
            self._demand_more(number, packs, needs, lower)
        else:
            self._forbid_packs([(programme.packs[number], packs)], lower)
        return False

    def _reaches(self, shop: str, basket: Basket) -> bool:
        """Whether the till of a shop takes at least its minimum, or nothing is paid there."""
        programme = self.programme
        terms = programme.terms
        if self._tills is None or not terms.pays(shop, basket.packs):
            return True
        if self._tills(shop, basket.packs) >= terms.minimums[shop]:
            return True
        taken = [
            ([one for one in columns if one.offer.shop == shop], packs)
            for columns, packs in zip(programme.packs, basket.packs, strict=True)
        ]
        self._forbid_packs(taken, self._stays_away(shop))
        return False

    def _forbid_caps(self, caps: Counts) -> None:
        """Cut off caps that are reached with too little chance, and all that are no higher."""
        higher = {
            column: ONE
            for shot, columns in self.programme.caps.items()
            for value, column in columns.items()
            if value > caps[shot]
        }
        # fewer takes of every shot have less chance still: at least one cap must be higher
        self._model.row(higher, least=1)

    def _forbid_packs(
        self, taken: Sequence[tuple[Sequence[PackColumn], Packs]], unless: Expression
    ) -> None:
        """Cut off packs that are too few, and all that are no more, unless something else helps."""
        helps = dict(unless)
        for kinds, counts in taken:
            for one in kinds:
                more = sum(counts[number] for number in one.numbers) + 1
                if more <= one.upper:
                    enough = self._model.column(upper=1)
                    self._model.row({one.column: ONE, enough: Fraction(-more)}, least=0)
                    helps[enough] = ONE
        self._model.row(helps, least=1)

    def _stays_away(self, shop: str) -> Expression:
        """At least one when nothing is paid at a shop."""
        zero = self._model.column(upper=1)
        self._model.row({zero: ONE, self.programme.paid_at[shop]: ONE}, most=1)
        return {zero: ONE}

    def _demand_more(
        self, number: int, packs: Packs, needs: Mapping[str, Fraction], unless: Expression
    ) -> None:
        """Cut off supplies that are too small, unless a cap is lower or the rest is missing.

        Where days decide, those of all packs that may serve episodes which lack together.
        """
        programme = self.programme
        article, short = programme.terms.articles[number], frozenset(needs)
        columns = programme.packs[number]
        if article.dated:
            opened = article.opened(packs)
            short = short_together(opened, allotted(opened, needs, article.days))
            ways = ((one, one.offer.way) for one in columns)
            columns = [one for one, way in ways if not (way and short.isdisjoint(way.serves))]
        row = brought_by(columns)
        wanted = sum((amount for name, amount in needs.items() if name in short), ZERO)
        row |= [programme.missing[number]] if number in programme.missing else []
        self._model.row(row | {c: wanted * part for c, part in unless.items()}, least=wanted)


def _half_step(objective: Expression) -> Fraction:
    """Half of what two values of an objective of whole columns differ by at least."""
    factors = [factor for factor in objective.values() if factor]
    if not factors:
        return ZERO
    whole = math.lcm(*(factor.denominator for factor in factors))
    common = math.gcd(*(int(factor * whole) for factor in factors))
    return Fraction(common, 2 * whole)


def gap_to(bound: float, cost: Fraction) -> Fraction:
    """How much cheaper than this anything could be, rounded up; what floats make of it is nothing.

    [money]
    """
    gap, error = cost - Fraction(bound), FLOAT_ERROR * max(ONE, cost)
    return Fraction(math.ceil((gap - error) * GAP_STEPS), GAP_STEPS) if gap > error else ZERO
