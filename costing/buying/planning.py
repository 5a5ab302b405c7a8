"""How many times each uncertain shot is provided for, and the cheapest basket that covers it.

Caps and packs are chosen together (see ``costing.buying.programme``). Where nothing couples the
articles the packs for the caps chosen are then settled by the exact search, so that no float has a
say in them; where visit costs, minimum spends or counted leftovers couple them, what the solver
proposes is checked exactly.

Ties are settled by less value left over, then fewer packs, then fewer shops, then the order in the
sheet; of the caps that the packs chosen allow, those with the best chance are taken.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.buying.articles import Basket, Mixing, Packs, Terms
from costing.buying.demand import Counts
from costing.buying.programme import Programme, Question
from costing.buying.search import HAIR, Found, Search, Tills
from costing.buying.solver import Ending
from costing.shoot.times import Times

ZERO = Fraction(0)
ONE = Fraction(1)
TIME_LIMIT = 30.0
"""A search for the cheapest basket is ended after so long and its gap stated. [s]"""

TIE_NODES = 5_000
"""Branches after which ties among equally cheap baskets stay as they are."""

More = Mapping[int, Mapping[str, Fraction]]
"""What is needed besides, by article and episode. [base unit]"""


@dataclass(frozen=True, slots=True)
class Lack:
    """What cannot be bought for the chance asked for.

    Parameters
    ----------
    article : int
        Which.
    missing : Fraction
        How much. [base unit]
    by_minimum : bool
        Whether a minimum spend stands in the way, and not the number of packs there are.
    """

    article: int
    missing: Fraction
    by_minimum: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """Caps and packs, and how good they are.

    Parameters
    ----------
    basket : Basket
        What to provide for and what to buy.
    chance : Fraction
        That every shot stays within its cap. [fraction]
    gap : Fraction, optional
        How much cheaper the best basket could be; 0 when proven, ``None`` when it is not known.
        [money]
    lacks : tuple of Lack
        What the shops do not have for the chance asked for.
    reached : bool
        Whether everything that the caps need is bought.
    """

    basket: Basket
    chance: Fraction
    gap: Fraction | None = ZERO
    lacks: tuple[Lack, ...] = ()
    reached: bool = True


class Planner:
    """Plans of one shoot for any chance, any caps, or what is needed besides.

    Parameters
    ----------
    terms : Terms
        Articles, shops and what counts.
    times : mapping of int to Times
        The number of times of each uncertain shot, by its place in the plan.
    planned : mapping of int to int
        The likeliest numbers. [time]
    slack : mapping of str to Fraction
        By how much rounding may lift the till of a shop above the exact prices. [money]
    tills : callable, optional
        What the till of a shop takes, rounded; needed where a shop has a minimum.
    seconds : float
        Time limit of a search. [s]
    """

    def __init__(
        self,
        terms: Terms,
        times: Mapping[int, Times],
        planned: Counts,
        *,
        slack: Mapping[str, Fraction] | None = None,
        tills: Tills | None = None,
        seconds: float = TIME_LIMIT,
    ) -> None:
        self.terms = terms
        self.times = times
        self.planned = planned
        self._slack = slack or {}
        self._tills = tills
        self._seconds = seconds
        self._mixing = Mixing(terms.articles)

    def question(self, values: Mapping[int, Sequence[int]], chance: Fraction = ZERO) -> Question:
        """A question about these caps."""
        return Question(values, self.times, self.planned, chance, slack=self._slack)

    def _values(self, chance: Fraction) -> dict[int, list[int]]:
        """The caps each shot may have: those that by themselves do not miss the chance."""
        return {
            shot: [
                number
                for number in times.numbers
                if (within := times.chance_within(number)) >= chance and within
            ]
            for shot, times in self.times.items()
        }

    def wanted(self, caps: Counts, more: More | None = None) -> list[Fraction]:
        """To be bought of each article. [base unit]"""
        question = replace(self.question({}), more=more or {})
        return [
            question.wanted(number, article, caps)
            for number, article in enumerate(self.terms.articles)
        ]

    def plan(self, chance: Fraction) -> Plan:
        """The cheapest basket that covers every shot with at least a chance.

        Parameters
        ----------
        chance : Fraction
            That every shot stays within its cap. [fraction]
        """
        terms = self._with_unpriced(self._least_wanted(chance))
        return self._proposed(terms, chance) or self._beyond_the_limits(terms, chance)

    def _proposed(self, terms: Terms, chance: Fraction) -> Plan | None:
        """The plan for these terms; ``None`` when it is proven that there is none."""
        search = self._search(terms, self.question(self._values(chance), chance))
        found = search.least(search.programme.cost(), seconds=self._seconds)
        if found.ending is Ending.IMPOSSIBLE:
            return None
        proven = found.basket is not None and found.ending is Ending.PROVEN
        basket = found.basket or self._even(terms, chance)
        if proven:
            basket = self._settled(search, basket)
        elif not terms.coupled:
            basket = self._better(basket, self._mixed(basket.caps))
        basket = self._surest(terms, basket)
        gap = self._gap(terms, basket, found) if found.basket else None
        return Plan(basket, self.question({}).chance_within(basket.caps), gap)

    def _gap(self, terms: Terms, basket: Basket, found: Found) -> Fraction | None:
        """How much cheaper the best basket could be; what floats alone make of it is nothing."""
        if found.bound == float("-inf"):
            return None
        cost = terms.cost(basket.packs)
        gap = cost - Fraction(found.bound)
        return gap if gap > HAIR * max(ONE, cost) else ZERO

    def _search(self, terms: Terms, question: Question) -> Search:
        return Search(Programme(terms, question), self._tills)

    def _least_wanted(self, chance: Fraction) -> list[Fraction]:
        return self.wanted({shot: values[0] for shot, values in self._values(chance).items()})

    def _with_unpriced(self, wanted: Sequence[Fraction]) -> Terms:
        """Packs without a price are for the taking where the others have too little."""
        articles = [
            replace(article, offers=article.unpriced, unpriced=None)
            if article.unpriced is not None
            and article.capacity is not None
            and article.capacity < amount
            else article
            for article, amount in zip(self.terms.articles, wanted, strict=True)
        ]
        return replace(self.terms, articles=tuple(articles))

    def _mixed(self, caps: Counts) -> Basket:
        return Basket(caps, self._mixing.packs(self.wanted(caps)))

    def _better(self, *baskets: Basket) -> Basket:
        """The best by cost, left over, packs and shops; of equals the first."""
        return min(baskets, key=lambda one: self.terms.rank(one.packs))

    def _settled(self, search: Search, basket: Basket) -> Basket:
        """The best of equally cheap baskets."""
        programme = search.programme
        terms = programme.terms
        held, value = programme.cost(), terms.cost(basket.packs)
        if not terms.coupled:
            search.hold(held, value)
            other = search.least(programme.left_value(), nodes=TIE_NODES).basket or basket
            mixed = [self._mixed(one.caps) for one in (basket, other)]
            return self._better(*mixed, basket, other)
        for objective in (
            programme.left_value(),
            programme.packs_then_shops(),
            programme.rows_of_the_sheet(),
        ):
            search.hold(held, value)
            found = search.least(objective, nodes=TIE_NODES)
            if found.basket is None or found.ending is not Ending.PROVEN:
                break
            if terms.rank(found.basket.packs) <= terms.rank(basket.packs):
                basket = found.basket
            held, value = objective, programme.value(objective, basket.packs)
        return basket

    def _surest(self, terms: Terms, basket: Basket) -> Basket:
        """The same packs with the caps that they cover with the best chance."""
        if not self.times:
            return basket
        caps = self.surest_caps(terms, basket.packs, self.wanted(basket.caps))
        question = self.question({})
        if caps is None or question.chance_within(caps) < question.chance_within(basket.caps):
            return basket
        return Basket(caps, basket.packs)

    def surest_caps(
        self, terms: Terms, packs: Sequence[Packs], wanted: Sequence[Fraction]
    ) -> Counts | None:
        """The caps that packs cover with the best chance; what is short anyway is left aside."""
        articles = tuple(
            replace(
                article,
                offers=tuple(
                    replace(offer, at_most=count)
                    for offer, count in zip(article.offers, counts, strict=True)
                ),
                unpriced=None,
            )
            for article, counts, least in zip(terms.articles, packs, wanted, strict=True)
            if article.demand.shots and article.supply(counts) >= least
        )
        search = self._search(Terms(articles), self.question(self._values(ZERO)))
        found = search.least(search.programme.unlikeliness(), nodes=TIE_NODES)
        return found.basket.caps if found.basket else None

    def _even(self, terms: Terms, chance: Fraction) -> Basket:
        """Caps with about the same chance each, for a search that ended with nothing."""
        caps = {shot: values[0] for shot, values in self._values(chance).items()}
        question = self.question({})
        while question.chance_within(caps) < chance:
            weakest = min(caps, key=lambda shot: self.times[shot].chance_within(caps[shot]))
            numbers = self.times[weakest].numbers
            caps[weakest] = numbers[numbers.index(caps[weakest]) + 1]
        packs = self.at(caps) if terms.coupled else None
        return self._mixed(caps) if packs is None else Basket(caps, packs)

    def at(self, caps: Counts, more: More | None = None) -> tuple[Packs, ...] | None:
        """The cheapest packs for these caps; ``None`` when the shops have too little.

        Parameters
        ----------
        caps : mapping of int to int
            By uncertain shot. [time]
        more : mapping, optional
            What is needed besides, by article and episode. [base unit]
        """
        if not self.terms.coupled:
            wanted = self.wanted(caps, more)
            covered = all(
                self._mixing.tied(number, amount).mixtures.covered
                for number, amount in enumerate(wanted)
            )
            return self._mixing.packs(wanted) if covered else None
        values = {shot: (cap,) for shot, cap in caps.items()}
        terms = self._with_unpriced(self.wanted(caps, more))
        search = self._search(terms, replace(self.question(values), more=more or {}))
        found = search.least(search.programme.cost(), seconds=self._seconds)
        return found.basket.packs if found.basket else None

    def proven_plan(self, chance: Fraction, *, nodes: int) -> Plan | None:
        """The cheapest basket for a chance, with the best chance at its cost.

        Returns
        -------
        Plan or None
            ``None`` when it is not proven within so many branches, or cannot be had.
        """
        terms = self._with_unpriced(self._least_wanted(chance))
        search = self._search(terms, self.question(self._values(chance), chance))
        programme = search.programme
        found = search.least(programme.cost(), nodes=nodes, seconds=self._seconds)
        if found.basket is None or found.ending is not Ending.PROVEN:
            return None
        cost = terms.cost(found.basket.packs)
        search.hold(programme.cost(), cost)
        surer = search.least(programme.unlikeliness(), nodes=nodes, seconds=self._seconds)
        best = found.basket
        if surer.basket is not None and terms.cost(surer.basket.packs) <= cost:
            best = surer.basket
        if not terms.coupled:
            best = self._better(self._mixed(best.caps), best)
        return Plan(best, self.question({}).chance_within(best.caps))

    def _beyond_the_limits(self, terms: Terms, chance: Fraction) -> Plan:
        """What comes nearest when the shops do not have enough for the chance asked for."""
        lacking = self._lacking(terms, chance)
        lacks = self._lacks(terms, lacking)
        free = {lack.article for lack in lacks if terms.articles[lack.article].unpriced}
        if free:
            articles = [
                replace(article, offers=article.unpriced or article.offers, unpriced=None)
                if number in free
                else article
                for number, article in enumerate(terms.articles)
            ]
            return self._for(replace(self.terms, articles=tuple(articles))).plan(chance)
        without = replace(terms, minimums={})
        if terms.minimums:
            still = {one.article for one in self._lacks(without, self._lacking(without, chance))}
            lacks = tuple(replace(one, by_minimum=one.article not in still) for one in lacks)
        surest = self._search(terms, self.question(self._values(ZERO)))
        best = surest.least(surest.programme.unlikeliness(), seconds=self._seconds)
        if best.basket is not None and self.times:
            reachable = self.question({}).chance_within(best.basket.caps)
            nearest = self._proposed(terms, reachable)
            if nearest is not None:
                return replace(nearest, lacks=lacks)
        basket = lacking.basket or self._mixed(self._even(terms, chance).caps)
        reached = self.question({}).chance_within(basket.caps)
        return Plan(basket, reached, lacks=lacks, reached=False)

    def _for(self, terms: Terms) -> Planner:
        return Planner(
            terms,
            self.times,
            self.planned,
            slack=self._slack,
            tills=self._tills,
            seconds=self._seconds,
        )

    def _lacking(self, terms: Terms, chance: Fraction) -> Found:
        """The cheapest of the baskets that lack least of what the chance needs."""
        question = replace(self.question(self._values(chance), chance), elastic=True)
        search = self._search(terms, question)
        least = search.least(search.programme.lacking(), seconds=self._seconds)
        if least.basket is None:
            return least
        search.programme.model.row(
            search.programme.lacking(), most=Fraction(least.bound) + Fraction(1, 10**7)
        )
        cheapest = search.least(search.programme.cost(), seconds=self._seconds)
        return cheapest if cheapest.basket else least

    def _lacks(self, terms: Terms, found: Found) -> tuple[Lack, ...]:
        if found.basket is None:
            return ()
        wanted = self.wanted(found.basket.caps)
        return tuple(
            Lack(number, amount - article.supply(packs))
            for number, (article, packs, amount) in enumerate(
                zip(terms.articles, found.basket.packs, wanted, strict=True)
            )
            if article.supply(packs) < amount
        )
