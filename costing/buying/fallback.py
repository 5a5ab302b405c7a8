"""The plan for a chance, or what comes nearest to it when the shops have too little."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from costing.buying.articles import Terms
from costing.buying.planning import Plan, Planner
from costing.buying.search import SearchResult
from costing.buying.solver import Deadline
from costing.quantities import ZERO

SLACK = Fraction(1, 10**7)
"""By how much a float may miss the least that is lacking, in parts of what is wanted. [fraction]"""


@dataclass(frozen=True, slots=True)
class Shortage:
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
class Provided:
    """A plan, and what it lacks of what was asked for.

    Parameters
    ----------
    plan : Plan
        Caps and packs.
    shortages : tuple of Shortage
        What the shops do not have for the chance asked for.
    covered : bool
        Whether everything that the caps of the plan need is bought.
    """

    plan: Plan
    shortages: tuple[Shortage, ...] = ()
    covered: bool = True


def plan_or_fallback(
    planner: Planner, chance: Fraction, deadline: Deadline | None = None
) -> Provided:
    """The cheapest plan for a chance; of what cannot be had, as much chance as can be.

    Parameters
    ----------
    planner : Planner
        Of the shoot.
    chance : Fraction
        That every shot stays within its cap. [fraction]
    deadline : Deadline, optional
        Of the whole of it; by default the planner's seconds from now.

    Returns
    -------
    Provided
        Where the shops have too little the plan is the cheapest with the best chance that can be
        had; where not even the fewest takes can be covered, it lacks least of what was asked for.
    """
    deadline = deadline or planner.deadline()
    plan = planner.plan(chance, deadline=deadline)
    if plan is not None:
        return Provided(plan)
    terms = planner.with_unpriced(chance)
    lacking = _lacking(planner, terms, chance, deadline)
    short = _shortages(planner, terms, lacking)
    free = {one.article for one in short if terms.articles[one.article].unpriced}
    if free:
        return plan_or_fallback(_giving_away(planner, terms, free), chance, deadline)
    if terms.minimums:
        without = replace(terms, minimums={})
        found = _lacking(planner, without, chance, deadline)
        still = {one.article for one in _shortages(planner, without, found)}
        short = tuple(replace(one, by_minimum=one.article not in still) for one in short)
    if planner.times:
        surest = planner.search(terms, planner.question(planner.values(ZERO)), deadline)
        best = surest.least(surest.programme.unlikeliness()).basket
        reachable = best and planner.question({}).chance_within(best.caps)
        nearest = planner.plan(reachable, terms, deadline=deadline) if reachable else None
        if nearest is not None:
            return Provided(nearest, short)
    basket = lacking.basket or planner.even(terms, chance, deadline)
    return Provided(Plan(basket, ZERO), short, covered=False)


def _giving_away(planner: Planner, terms: Terms, free: set[int]) -> Planner:
    """The same planner, some articles' packs without a price for the taking."""
    articles = [
        replace(article, offers=article.unpriced or article.offers, unpriced=None)
        if number in free
        else article
        for number, article in enumerate(terms.articles)
    ]
    return planner.comparing(replace(terms, articles=tuple(articles)))


def _lacking(planner: Planner, terms: Terms, chance: Fraction, deadline: Deadline) -> SearchResult:
    """The cheapest of the baskets that lack least of what the chance needs."""
    question = replace(planner.question(planner.values(chance), chance), elastic=True)
    search = planner.search(terms, question, deadline)
    least = search.least(search.programme.lacking())
    if least.basket is None:
        return least
    search.keep_at_most(search.programme.lacking(), Fraction(least.bound) + SLACK)
    cheapest = search.least(search.programme.cost())
    return cheapest if cheapest.basket else least


def _shortages(planner: Planner, terms: Terms, found: SearchResult) -> tuple[Shortage, ...]:
    if found.basket is None:
        return ()
    wanted = planner.wanted(found.basket.caps)
    rows = zip(terms.articles, found.basket.packs, wanted, strict=True)
    return tuple(
        Shortage(number, amount - article.supply(packs))
        for number, (article, packs, amount) in enumerate(rows)
        if article.supply(packs) < amount
    )
