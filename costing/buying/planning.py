"""How many times each uncertain shot is provided for, and the cheapest basket that covers it.

:class:`Planner` is the one face of three ways. Where nothing couples the articles, each is settled
by the exact search (``mixing``). Where visits or minimum spends couple them, every choice of shops
is tried (``visited``). Both are proven without a float. All else goes to the mixed-integer
programme (``programme``), which chooses caps and packs together and whose proposals are checked
exactly (``search``); where that ends by a limit, what the choice of shops finds is taken if it is
better.

Ties are settled by less value left over, then fewer packs, then fewer shops, then the order in the
sheet; of the caps that the packs chosen allow, those with the best chance are taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from costing.buying.articles import Basket, Packs, Question, Terms
from costing.buying.mixing import Mixing, giving_least_unpriced, needs_alone
from costing.buying.programme import Programme
from costing.buying.purchases import Counts
from costing.buying.search import Search, SearchResult, Tills
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
    chance : Fraction
        That every shot stays within its cap. [fraction]
    gap : Fraction, optional
        How much cheaper the best basket could be; 0 when proven, ``None`` when it is not known.
        [money]
    """

    basket: Basket
    chance: Fraction
    gap: Fraction | None = ZERO


def proven(plan: Plan | Ending) -> tuple[Packs, ...] | None:
    """The packs of a plan that is proven to be the cheapest."""
    return plan.basket.packs if isinstance(plan, Plan) and plan.gap == 0 else None


@dataclass(frozen=True, eq=False)
class Planner:
    """Plans of one shoot for any chance, any caps, or what is needed besides.

    Parameters
    ----------
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
    within : Deadline, optional
        Of all searches together, in place of the seconds of each.
    settings : Settings, optional
        Of the tills; without them a minimum spend is left to the programme.
    priced : Terms, optional
        The same terms before packs without a price were for the taking: equally cheap baskets are
        ranked by them.
    """

    terms: Terms
    times: Mapping[int, Times]
    planned: Counts
    slack: Mapping[str, Fraction] = field(default_factory=dict)
    tills: Tills | None = None
    unsold: Mapping[int, Fraction] = field(default_factory=dict)
    seconds: float = TIME_LIMIT
    within: Deadline | None = None
    settings: Settings | None = None
    priced: Terms | None = None

    @cached_property
    def mixing(self) -> Mixing:
        """The cheapest packs of each article by itself, kept for the next question."""
        return Mixing(self.terms.articles)

    @cached_property
    def _visited(self) -> Visited | None:
        """The choice of shops, if anything couples the articles."""
        if self.settings is None or not self.terms.coupled:
            return None
        visited = Visited(self.terms, self.settings, self.slack)
        return visited if visited.fills else None

    def comparing(self, terms: Terms) -> Planner:
        """A planner of the same shots that compares by other terms."""
        return replace(self, terms=terms, priced=None)

    def giving_away(self, needs: More, missing: Mapping[int, Fraction]) -> Terms:
        """The terms with packs without a price for the taking where needs of articles ask it."""
        articles = list(self.terms.articles)
        for at, of_it in needs.items():
            articles[at] = giving_least_unpriced(articles[at], of_it, missing.get(at, ZERO))
        return replace(self.terms, articles=tuple(articles))

    def with_unpriced(self, chance: Fraction) -> Planner:
        """The same, packs without a price for the taking where a chance takes them."""
        least = {shot: values[0] for shot, values in self.values(chance).items()}
        return self._with_unpriced(self.needs(least))

    def _with_unpriced(self, needs: Sequence[Mapping[str, Fraction]]) -> Planner:
        """Packs without a price are for the taking where the others have too little."""
        short = {
            number: needs[number]
            for number, article in enumerate(self.terms.articles)
            if article.unpriced is not None
            and article.capacity is not None
            and article.capacity < sum(needs[number].values(), ZERO)
        }
        return (
            replace(self, terms=self.giving_away(short, {}), priced=self.terms) if short else self
        )

    def deadline(self, part: float = 1) -> Deadline:
        """The planner's own, or a part of its seconds from now on."""
        return self.within or Deadline(self.seconds * part)

    def question(
        self, values: Mapping[int, Sequence[int]], chance: Fraction = ZERO, more: More | None = None
    ) -> Question:
        """A question about these caps."""
        return Question(values, self.times, self.planned, chance, more or {}, self.slack)

    def search(self, question: Question, deadline: Deadline | None = None) -> Search:
        """A search for baskets that answer a question."""
        return Search(Programme(self.terms, question), self.tills, deadline or self.deadline())

    def values(self, chance: Fraction) -> dict[int, list[int]]:
        """The caps each shot may have: those that by themselves do not miss the chance, above 0."""
        return {
            shot: [number for number in times.numbers if times.chance_within(number) >= chance]
            for shot, times in self.times.items()
        }

    def chance_within(self, caps: Counts) -> Fraction:
        """That every shot stays within its cap. [fraction]"""
        return self.question({}).chance_within(caps)

    def wanted(self, caps: Counts, more: More | None = None) -> list[Fraction]:
        """To be bought of each article. [base unit]"""
        return [max(ZERO, sum(one.values(), ZERO)) for one in self.needs(caps, more)]

    def needs(self, caps: Counts, more: More | None = None) -> list[dict[str, Fraction]]:
        """The same by episode. [base unit]"""
        question, articles = self.question({}, more=more), self.terms.articles
        return [question.needs(number, article, caps) for number, article in enumerate(articles)]

    def needs_alone(
        self, caps: Counts, more: More | None = None, *, only: Iterable[int] | None = None
    ) -> list[Mapping[str, Fraction]]:
        """The same where lots serve the days on which they spare most, each article by itself."""
        question, articles = self.question({}, more=more), self.terms.articles
        numbers = range(len(articles)) if only is None else only
        return [
            needs_alone(articles[number], question.as_bought(number, articles[number], caps))
            for number in numbers
        ]

    def plan(self, chance: Fraction, *, deadline: Deadline | None = None) -> Plan | None:
        """The cheapest basket that covers every shot with at least a chance, its ties settled.

        Parameters
        ----------
        chance : Fraction
            That every shot stays within its cap. [fraction]
        deadline : Deadline, optional
            Of the whole of it, tie-breaks included; by default the planner's seconds from now.

        Returns
        -------
        Plan or None
            ``None`` when it is proven that the shops do not have enough.
        """
        deadline = deadline or self.deadline()
        return self.with_unpriced(chance)._plan(chance, deadline)

    def _plan(self, chance: Fraction, deadline: Deadline) -> Plan | None:
        """The same by these very terms; where no way proves it, the best that any of them found."""
        question = self.question(self.values(chance), chance)
        # the choice of shops first: it is proven without a float, and where it is not, its packs
        # stand in for what the programme may not find in time
        shops = self._by_shops(question, deadline)
        filled = [] if shops.packs is None else [Basket(shops.caps, shops.packs)]
        if shops.gap == 0:
            return self._surest(filled[0], chance, deadline, ZERO) if filled else None
        search = self.search(question, deadline)
        found = search.least(search.programme.cost())
        if found.ending is Ending.IMPOSSIBLE:
            return None
        basket = found.basket or (filled[0] if filled else self.even(chance, deadline))
        if found.proven:
            basket = self._settled(search, basket)
        elif not self.terms.coupled:
            basket = self._better(basket, self._mixed(basket.caps))
        else:
            packs = self._filled(self.wanted(basket.caps), deadline)
            others = [] if packs is None else [Basket(basket.caps, packs)]
            basket = self._better(*others, basket, *filled)
        # two bounds from two ways: the nearer is the better known
        cost = self.terms.cost(basket.packs)
        gaps = [] if (gap := found.gap(cost)) is None else [gap]
        if shops.gap is not None and shops.packs is not None:
            gaps.append(max(ZERO, cost - self.terms.cost(shops.packs) + shops.gap))
        return self._surest(basket, chance, deadline, min(gaps, default=None))

    def cheapest(
        self,
        asked: Counts | Fraction,
        more: More | None = None,
        *,
        deadline: Deadline | None = None,
        nodes: int | None = None,
    ) -> Plan | Ending:
        """The least cost for caps or for a chance, to be compared with others: ties stay.

        Parameters
        ----------
        asked : mapping of int to int, or Fraction
            By uncertain shot its cap [time], or the chance that every shot stays within its cap:
            then it is with the best chance at its cost. [fraction]
        more : mapping, optional
            What is needed besides, by article and episode. [base unit]
        nodes : int, optional
            Branches after which a search is ended.

        Returns
        -------
        Plan or Ending
            Why there is none: the shops have too little, or none was found in time; for a chance
            also where it is not proven.
        """
        deadline = deadline or self.deadline()
        if isinstance(asked, Fraction):
            question = self.question(self.values(asked), asked, more)
            return self.with_unpriced(asked)._surest_of_cheapest(question, deadline, nodes)
        chance = self.chance_within(asked)
        if not self.terms.coupled:
            needs = self.needs_alone(asked, more)
            if not self.mixing.covered(needs):
                return Ending.IMPOSSIBLE
            packs = self.mixing.packs(needs)
            return Plan(Basket(asked, packs), chance, sum(self.mixing.gaps(needs), ZERO))
        planner = self._with_unpriced(self.needs(asked, more))
        question = self.question({shot: (cap,) for shot, cap in asked.items()}, more=more)
        found = planner._least(question, deadline, nodes)
        baskets = [] if found.basket is None else [found.basket]
        if found.ending is Ending.ENDED:
            filled = planner._filled(self.wanted(asked, more), deadline)
            baskets += [] if filled is None else [Basket(asked, filled)]
        if not baskets:
            return found.ending
        basket = planner._better(*baskets)
        return Plan(basket, chance, found.gap(planner.terms.cost(basket.packs)))

    def _surest_of_cheapest(
        self, question: Question, deadline: Deadline, nodes: int | None
    ) -> Plan | Ending:
        """Of the cheapest baskets for a chance one with the best chance, proven."""
        shops = self._by_shops(question, deadline, surest=True)
        if shops.gap == 0:
            if shops.packs is None:
                return Ending.IMPOSSIBLE
            return Plan(Basket(shops.caps, shops.packs), self.chance_within(shops.caps))
        search = self.search(question, deadline)
        programme = search.programme
        found = search.least(programme.cost(), nodes=nodes)
        if (best := found.proven) is None:
            return found.ending
        # the cost is held and the chance raised; floats may take a basket that costs a little more
        search.keep(programme.cost(), self.terms.cost(best.packs))
        surer = search.least(programme.unlikeliness(), nodes=nodes).basket
        best = min(
            filter(None, (surer, best)),
            key=lambda one: (self.terms.cost(one.packs), -self.chance_within(one.caps)),
        )
        if not self.terms.coupled:
            best = self._better(self._mixed(best.caps), best)
        return Plan(best, self.chance_within(best.caps))

    def _least(self, question: Question, deadline: Deadline, nodes: int | None) -> SearchResult:
        """The cheapest basket for a question: by the choice of shops, or by the programme."""
        shops = self._by_shops(question, deadline)
        if shops.gap != 0:
            search = self.search(question, deadline)
            return search.least(search.programme.cost(), nodes=nodes)
        if shops.packs is None:
            return SearchResult(None, Ending.IMPOSSIBLE, float("inf"))
        bound = float(self.terms.cost(shops.packs))
        return SearchResult(Basket(shops.caps, shops.packs), Ending.PROVEN, bound)

    def _by_shops(self, question: Question, deadline: Deadline, *, surest: bool = False) -> Choice:
        """The cheapest packs over all caps that reach a chance, by the choice of shops.

        Nothing is known where the caps are too many, or the terms are not for it.
        """
        if self._visited is None or not self._visited.suits:
            return Choice(None, None)
        every = caps_reaching(self.times, question.values, question.chance, least=not surest)
        if every is None:
            return Choice(None, None)
        wants = ((caps, self.wanted(caps, question.more)) for caps in every)
        risk = (lambda caps: -self.chance_within(caps)) if surest else None
        return self._visited.cheapest_over(wants, risk, deadline=deadline)

    def _filled(self, wanted: Sequence[Fraction], deadline: Deadline) -> tuple[Packs, ...] | None:
        """Packs that cover what is wanted and reach the minimums, if not proven the cheapest."""
        return None if self._visited is None else self._visited.cheapest(wanted, deadline).packs

    def _mixed(self, caps: Counts) -> Basket:
        """The cheapest packs of each article by itself."""
        return Basket(caps, self.mixing.packs(self.needs(caps)))

    def _better(self, *baskets: Basket) -> Basket:
        """The best by cost, left over, packs and shops; of equals the first."""
        terms = self.priced or self.terms
        return min(baskets, key=lambda one: terms.rank(one.packs))

    def _settled(self, search: Search, basket: Basket) -> Basket:
        """The best of equally cheap baskets."""
        if self.terms.coupled:
            return search.settled(basket, nodes=TIE_NODES)
        search.keep(search.programme.cost(), self.terms.cost(basket.packs))
        other = search.least(search.programme.left_value(), nodes=TIE_NODES).basket or basket
        return self._better(self._mixed(basket.caps), self._mixed(other.caps), basket, other)

    def _surest(
        self, basket: Basket, chance: Fraction, deadline: Deadline, gap: Fraction | None
    ) -> Plan:
        """The same packs with the caps that they cover with the best chance.

        What nobody sells is wanted as little as the chance asked for allows.
        """
        caps, question = basket.caps, self.question(self.values(chance), chance)
        if self.times:
            search = replace(self, terms=self.terms.only(basket.packs)).search(question, deadline)
            fewest = None
            if self.unsold:
                weighed = search.programme.weighed(self.unsold)
                fewest = search.least(weighed, nodes=TIE_NODES).basket
                if fewest is not None:
                    used = (self.unsold.get(p, ZERO) * k for p, k in fewest.caps.items())
                    search.keep(weighed, sum(used, ZERO))
            if fewest is not None or not self.unsold:
                surest = search.least(search.programme.unlikeliness(), nodes=TIE_NODES).basket
                caps = caps if surest is None else surest.caps
        return Plan(Basket(caps, basket.packs), question.chance_within(caps), gap)

    def even(self, chance: Fraction, deadline: Deadline) -> Basket:
        """Caps with about the same chance each, for a search that ended with nothing."""
        caps = {shot: values[0] for shot, values in self.values(chance).items()}
        while self.chance_within(caps) < chance:
            weakest = min(caps, key=lambda shot: self.times[shot].chance_within(caps[shot]))
            numbers = self.times[weakest].numbers
            caps[weakest] = numbers[numbers.index(caps[weakest]) + 1]
        packs = self._filled(self.wanted(caps), deadline)
        return self._mixed(caps) if packs is None else Basket(caps, packs)
