"""How many times each uncertain shot is provided for, and the cheapest basket that covers it.

:class:`Planner` is the one face of three ways: :meth:`Planner.cheapest` for caps that are given,
:meth:`Planner.plan` for a chance. Where nothing couples the articles, each is settled by the exact
search (``basket``). Where visits or minimum spends couple them, every choice of shops is tried
(``visited``). Both are proven without a float. All else goes to the mixed-integer programme
(``programme``), which chooses caps and packs together and whose proposals are checked exactly
(``search``); where that ends by a limit, what the choice of shops finds is taken if it is better.

Ties are settled by less value left over, then fewer packs, then fewer shops, then the order in the
sheet; of the caps that the packs chosen allow, those with the best chance are taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.buying.articles import Basket, Packs, Question, Terms
from costing.buying.mixing import Mixing
from costing.buying.programme import Programme
from costing.buying.purchases import Counts
from costing.buying.search import Search, Tills
from costing.buying.solver import Deadline, Ending
from costing.buying.visited import Choice, Visited
from costing.quantities import ZERO
from costing.shoot import Settings
from costing.shoot.times import Times, caps_reaching

TIME_LIMIT = 30.0
"""A search for the cheapest basket is ended after so long and its gap stated. [s]"""

TIE_NODES = 5_000
"""Branches after which ties among equally cheap baskets stay as they are."""

More = Mapping[int, Mapping[str, Fraction]]
"""What is needed besides, by article and episode. [base unit]"""


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
    """

    basket: Basket
    chance: Fraction
    gap: Fraction | None = ZERO


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
    unsold : mapping of int to Fraction
        How much each time of a shot wants of what nobody sells, against other shots.
    seconds : float
        Time limit of a search. [s]
    settings : Settings, optional
        Of the tills; without them a minimum spend is left to the programme.
    """

    def __init__(
        self,
        terms: Terms,
        times: Mapping[int, Times],
        planned: Counts,
        *,
        slack: Mapping[str, Fraction] | None = None,
        tills: Tills | None = None,
        unsold: Mapping[int, Fraction] | None = None,
        seconds: float = TIME_LIMIT,
        settings: Settings | None = None,
    ) -> None:
        self.terms = terms
        self.times = times
        self.planned = planned
        self.tills = tills
        self._slack = slack or {}
        self._unsold = unsold or {}
        self.seconds = seconds
        self._settings = settings
        self._mixing = Mixing(terms.articles)
        self._visited: dict[int, tuple[Terms, Visited]] = {}

    def comparing(self, terms: Terms) -> Planner:
        """A planner of the same shots that compares by other terms."""
        return Planner(
            terms,
            self.times,
            self.planned,
            slack=self._slack,
            tills=self.tills,
            unsold=self._unsold,
            seconds=self.seconds,
            settings=self._settings,
        )

    def question(self, values: Mapping[int, Sequence[int]], chance: Fraction = ZERO) -> Question:
        """A question about these caps."""
        return Question(values, self.times, self.planned, chance, slack=self._slack)

    def values(self, chance: Fraction) -> dict[int, list[int]]:
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
        return [max(ZERO, sum(one.values(), ZERO)) for one in self.needs(caps, more)]

    def needs(
        self, caps: Counts, more: More | None = None, *, only: Iterable[int] | None = None
    ) -> list[dict[str, Fraction]]:
        """The same by episode, of all articles or only of those of some numbers. [base unit]"""
        question, articles = replace(self.question({}), more=more or {}), self.terms.articles
        numbers = range(len(articles)) if only is None else only
        return [question.needs(number, articles[number], caps) for number in numbers]

    def plan(
        self, chance: Fraction, terms: Terms | None = None, *, deadline: Deadline | None = None
    ) -> Plan | None:
        """The cheapest basket that covers every shot with at least a chance.

        Parameters
        ----------
        chance : Fraction
            That every shot stays within its cap. [fraction]
        terms : Terms, optional
            To compare by instead of the planner's own with what is unpriced.
        deadline : Deadline, optional
            Of the whole of it, tie-breaks included; by default the planner's seconds from now.

        Returns
        -------
        Plan or None
            ``None`` when it is proven that the shops do not have enough.
        """
        if terms is None and not (self.terms.coupled or self.times):
            return self.cheapest({})
        terms, deadline = terms or self.with_unpriced(chance), deadline or self.deadline()
        caps, shops = self._by_caps(terms, chance, deadline) or ({}, Choice(None, None))
        filled = None if shops.packs is None else Basket(caps, shops.packs)
        if shops.gap == 0:
            return None if filled is None else self._surest(terms, filled, chance, deadline, ZERO)
        search = self.search(terms, self.question(self.values(chance), chance), deadline)
        found = search.least(search.programme.cost())
        if found.ending is Ending.IMPOSSIBLE:
            return None
        basket = found.basket or filled or self.even(terms, chance, deadline)
        if found.basket is not None and found.ending is Ending.PROVEN:
            basket = self._settled(search, basket)
        elif not terms.coupled:
            basket = self._better(basket, self._mixed(basket.caps))
        else:
            packs = self._filled(terms, self.wanted(basket.caps), deadline)
            others = [] if packs is None else [Basket(basket.caps, packs)]
            basket = self._better(*others, basket, *([] if filled is None else [filled]))
        cost = terms.cost(basket.packs)
        gaps = [] if (gap := found.gap(cost)) is None else [gap]
        if shops.gap is not None and shops.packs is not None:
            gaps.append(max(ZERO, cost - terms.cost(shops.packs) + shops.gap))
        gap = min(gaps, default=None)
        return self._surest(terms, basket, chance, deadline, gap)

    def _by_caps(
        self, terms: Terms, chance: Fraction, deadline: Deadline | None, *, surest: bool = False
    ) -> tuple[Counts, Choice] | None:
        """The cheapest packs over all caps that reach a chance, by the choice of shops.

        Returns
        -------
        tuple of caps and Choice, or None
            ``None`` where the caps are too many, or the terms are not for it.
        """
        visited = self._visited_under(terms)
        if visited is None or not visited.suits:
            return None
        every = caps_reaching(self.times, self.values(chance), chance, least=not surest)
        if every is None:
            return None
        wants = ((caps, self.wanted(caps)) for caps in every)
        risk = self._risk if surest else None
        return visited.cheapest_over(wants, risk, deadline=deadline or self.deadline())

    def _risk(self, caps: Counts) -> Fraction:
        """That some shot goes beyond its cap. [fraction]"""
        return 1 - self.question({}).chance_within(caps)

    def _filled(
        self, terms: Terms, wanted: Sequence[Fraction], deadline: Deadline
    ) -> tuple[Packs, ...] | None:
        """Packs that cover what is wanted and reach the minimums, if not proven the cheapest."""
        visited = self._visited_under(terms)
        return None if visited is None else visited.cheapest(wanted, deadline).packs

    def _visited_under(self, terms: Terms) -> Visited | None:
        """The choice of shops under these terms, if anything couples them."""
        if self._settings is None or not terms.coupled:
            return None
        if id(terms) not in self._visited:  # the terms are kept, so that no other has their id
            self._visited[id(terms)] = terms, Visited(terms, self._settings)
        visited = self._visited[id(terms)][1]
        return visited if visited.fills else None

    def deadline(self) -> Deadline:
        """The planner's seconds from now on."""
        return Deadline(self.seconds)

    def search(self, terms: Terms, question: Question, deadline: Deadline | None = None) -> Search:
        """A search for baskets that answer a question."""
        return Search(Programme(terms, question), self.tills, deadline or self.deadline())

    def with_unpriced(self, chance: Fraction) -> Terms:
        """What is compared by, packs without a price for the taking where it takes them."""
        least = {shot: values[0] for shot, values in self.values(chance).items()}
        return self._with_unpriced(self.wanted(least))

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
        same = all(a is b for a, b in zip(articles, self.terms.articles, strict=True))
        return self.terms if same else replace(self.terms, articles=tuple(articles))

    def _mixed(self, caps: Counts) -> Basket:
        return Basket(caps, self._mixing.packs(self.needs(caps)))

    def _better(self, *baskets: Basket) -> Basket:
        """The best by cost, left over, packs and shops; of equals the first."""
        return min(baskets, key=lambda one: self.terms.rank(one.packs))

    def _settled(self, search: Search, basket: Basket) -> Basket:
        """The best of equally cheap baskets."""
        programme = search.programme
        terms = programme.terms
        held, value = programme.cost(), terms.cost(basket.packs)
        if not terms.coupled:
            search.keep(held, value)
            other = search.least(programme.left_value(), nodes=TIE_NODES).basket or basket
            mixed = [self._mixed(one.caps) for one in (basket, other)]
            return self._better(*mixed, basket, other)
        return search.settled(basket, nodes=TIE_NODES)

    def _surest(
        self, terms: Terms, basket: Basket, chance: Fraction, until: Deadline, gap: Fraction | None
    ) -> Plan:
        """The same packs with the caps that they cover with the best chance.

        What nobody sells is wanted as little as the chance asked for allows.
        """
        question, caps = self.question(self.values(chance), chance), basket.caps
        search = self.search(terms.only(basket.packs), question, until) if self.times else None
        if search is not None and self._unsold:
            weighed = search.programme.weighed(self._unsold)
            fewest = search.least(weighed, nodes=TIE_NODES).basket
            if fewest is None:
                search = None
            else:
                used = ((self._unsold.get(p, ZERO) * k) for p, k in fewest.caps.items())
                search.keep(weighed, sum(used, ZERO))
        if search is not None:
            found = search.least(search.programme.unlikeliness(), nodes=TIE_NODES).basket
            caps = caps if found is None else found.caps
        return Plan(Basket(caps, basket.packs), question.chance_within(caps), gap)

    def even(self, terms: Terms, chance: Fraction, deadline: Deadline) -> Basket:
        """Caps with about the same chance each, for a search that ended with nothing."""
        caps = {shot: values[0] for shot, values in self.values(chance).items()}
        question = self.question({})
        while question.chance_within(caps) < chance:
            weakest = min(caps, key=lambda shot: self.times[shot].chance_within(caps[shot]))
            numbers = self.times[weakest].numbers
            caps[weakest] = numbers[numbers.index(caps[weakest]) + 1]
        packs = self._filled(terms, self.wanted(caps), deadline)
        return self._mixed(caps) if packs is None else Basket(caps, packs)

    def cheapest(
        self,
        caps: Counts,
        more: More | None = None,
        *,
        deadline: Deadline | None = None,
        nodes: int | None = None,
    ) -> Plan | None:
        """The cheapest packs for these caps; ``None`` when none are found.

        Parameters
        ----------
        caps : mapping of int to int
            By uncertain shot. [time]
        more : mapping, optional
            What is needed besides, by article and episode. [base unit]
        deadline : Deadline, optional
            Of the whole of it; by default the planner's seconds from now.
        nodes : int, optional
            Branches after which a search is ended.
        """
        chance = self.question({}).chance_within(caps)
        if not self.terms.coupled:
            needs = self.needs(caps, more)
            covered, gap = self._mixing.covered(needs), sum(self._mixing.gaps(needs), ZERO)
            return Plan(Basket(caps, self._mixing.packs(needs)), chance, gap) if covered else None
        wanted = self.wanted(caps, more)
        values = {shot: (cap,) for shot, cap in caps.items()}
        terms = self._with_unpriced(wanted)
        deadline = deadline or self.deadline()
        visited = self._visited_under(terms)
        if visited is not None and visited.suits:
            choice = visited.cheapest(wanted, deadline)
            if choice.gap == 0:
                packs = choice.packs
                return None if packs is None else Plan(Basket(caps, packs), chance)
        search = self.search(terms, replace(self.question(values), more=more or {}), deadline)
        found = search.least(search.programme.cost(), nodes=nodes)
        baskets = [] if found.basket is None else [found.basket]
        if found.ending is Ending.ENDED and visited is not None:
            packs = visited.cheapest(wanted, deadline).packs
            baskets += [] if packs is None else [Basket(caps, packs)]
        if not baskets:
            return None
        basket = self._better(*baskets)
        return Plan(basket, chance, found.gap(terms.cost(basket.packs)))

    def proven_plan(
        self, chance: Fraction, *, nodes: int, deadline: Deadline | None = None
    ) -> Plan | Ending:
        """The cheapest basket for a chance, with the best chance at its cost.

        Returns
        -------
        Plan or Ending
            Why there is no plan: not proven within so many branches, or the shops have too little.
        """
        terms = self.with_unpriced(chance)
        if (by_caps := self._by_caps(terms, chance, deadline, surest=True)) is not None:
            caps, choice = by_caps
            if choice.gap == 0:
                if choice.packs is None:
                    return Ending.IMPOSSIBLE
                return Plan(Basket(caps, choice.packs), 1 - self._risk(caps))
        search = self.search(terms, self.question(self.values(chance), chance), deadline)
        programme = search.programme
        found = search.least(programme.cost(), nodes=nodes)
        if found.basket is None or found.ending is not Ending.PROVEN:
            return found.ending
        cost = terms.cost(found.basket.packs)
        search.keep(programme.cost(), cost)
        surer = search.least(programme.unlikeliness(), nodes=nodes)
        best = found.basket
        if surer.basket is not None and terms.cost(surer.basket.packs) <= cost:
            best = surer.basket
        if not terms.coupled:
            best = self._better(self._mixed(best.caps), best)
        return Plan(best, self.question({}).chance_within(best.caps))
