"""What is made and what is bought ready, and the ways of cutting: chosen together with the packs.

The programme proposes; how often everything is run is then worked out anew in exact numbers for
what it buys ready (``making``), and the packs of everything else are chosen for that. What this
costs more than the programme's bound is the gap that is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from costing.buying.articles import Basket, Terms
from costing.buying.demand import Counts
from costing.buying.making import Making
from costing.buying.market import Market
from costing.buying.planning import TIE_NODES, More, Planner
from costing.buying.purchases import Purchase
from costing.buying.search import FLOAT_ERROR, Search
from costing.buying.serving import NOTHING_CHOSEN, ByEpisode, Chosen
from costing.buying.solver import Deadline, Ending
from costing.quantities import ONE, ZERO

NEAR = Fraction(1, 10**7)
"""By how much a float may miss the least that is lacking. [part of what is wanted]"""


@dataclass(frozen=True, slots=True)
class Choice:
    """What is chosen, and how cheap anything could be at best.

    Parameters
    ----------
    chosen : Chosen
        Between making goods, buying them, and the ways of cutting.
    bound : float
        No basket of what the choice is about costs less; minus infinity when that is not known.
        [money]
    articles : tuple of str
        Names of what it is about.
    """

    chosen: Chosen = NOTHING_CHOSEN
    bound: float = float("-inf")
    articles: tuple[str, ...] = ()

    def gap(self, cost: Fraction) -> Fraction:
        """How much cheaper than this anything could be; what floats make of it is nothing."""
        if self.bound == float("-inf"):
            return ZERO
        gap = cost - Fraction(self.bound)
        return gap if gap > FLOAT_ERROR * max(ONE, cost) else ZERO


def choice_of(
    purchases: Sequence[Purchase],
    market: Market,
    making: Making,
    *,
    chance: Fraction,
    seconds: float,
    caps: Counts | None = None,
    more: Mapping[str, ByEpisode] | None = None,
) -> Choice:
    """What is made, bought ready and cut which way, at least cost.

    Parameters
    ----------
    purchases : sequence of Purchase
        Of all ingredients and goods, nothing chosen yet.
    market : Market
        Of everything, in case more of it is needed.
    making : Making
        What is made and cut.
    chance : Fraction
        That every shot stays within its cap. [fraction]
    seconds : float
        Time limit. [s]
    caps : mapping of int to int, optional
        Of the uncertain shots, when they are given. [time]
    more : mapping of str to mapping of str to Fraction, optional
        What is needed besides, by key of ingredient or good, and episode. [base unit]
    """
    planner, deadline = market.planner(seconds), Deadline(seconds)
    terms, of_articles = _joined(market, planner, chance)
    besides = {code: parts for code, parts in (more or {}).items() if making.givers(code)}
    values = planner.values(chance) if caps is None else {p: (k,) for p, k in caps.items()}
    question = replace(
        planner.question(values, ZERO if caps is not None else chance),
        more=_by_article(terms, more or {}),
        besides=besides,
        forbidden=_not_to_be_had(purchases, making),
        choosing=True,
    )
    search = planner.search(terms, question, deadline)
    found = search.least(search.programme.cost())
    if found.ending is Ending.IMPOSSIBLE and question.forbidden:
        search = planner.search(terms, replace(question, forbidden=frozenset()), deadline)
        found = search.least(search.programme.cost())
    if found.ending is Ending.IMPOSSIBLE:
        question = replace(question, forbidden=frozenset(), elastic=True)
        search = planner.search(terms, question, deadline)
        least = search.least(search.programme.lacking())
        search.keep_at_most(search.programme.lacking(), Fraction(max(least.bound, 0)) + NEAR)
        found = replace(search.least(search.programme.cost()), bound=float("-inf"))
    basket = found.basket
    if basket is None or basket.chosen is None:
        return Choice()
    if found.ending is Ending.PROVEN:
        basket = _settled(search, terms, basket)
    return Choice(basket.chosen or NOTHING_CHOSEN, found.bound, of_articles)


def _joined(market: Market, planner: Planner, chance: Fraction) -> tuple[Terms, tuple[str, ...]]:
    """The articles that the choice is about: those that makings join, or all that are coupled."""
    terms = planner.with_unpriced(chance)
    if not (market.times or terms.coupled):
        joined = tuple(one for one in terms.articles if one.demand.making is not None)
        terms = replace(terms, articles=joined)
    return terms, tuple(one.name for one in terms.articles)


def _by_article(terms: Terms, more: Mapping[str, ByEpisode]) -> More:
    return {
        number: more[article.demand.code]
        for number, article in enumerate(terms.articles)
        if article.demand.code in more and not article.demand.made
    }


def _not_to_be_had(purchases: Sequence[Purchase], making: Making) -> frozenset[int]:
    """Activities that take of something that nobody sells and that is not on hand."""
    lacking = {
        one.demand.code
        for one in purchases
        if not (one.offers or one.demand.stock.lots or one.demand.made)
    }
    return frozenset(
        number
        for number, activity in enumerate(making.activities)
        if lacking.intersection(activity.takes)
    )


def _settled(search: Search, terms: Terms, basket: Basket) -> Basket:
    """The best of equally cheap baskets: less left over, fewer packs and shops, earlier rows."""
    programme = search.programme
    held, value = programme.cost(), terms.cost(basket.packs)
    for objective in (
        programme.left_value(),
        programme.packs_then_shops(),
        programme.rows_of_the_sheet(),
    ):
        search.keep(held, value)
        found = search.least(objective, nodes=TIE_NODES)
        if found.basket is None or found.ending is not Ending.PROVEN:
            break
        basket = found.basket
        if any(column in objective for column in _run_columns(search)):
            held = objective
            search.keep_at_most(objective, Fraction(found.bound) + NEAR * max(ONE, abs(value)))
            held, value = programme.cost(), terms.cost(basket.packs)
        else:
            held, value = objective, programme.value(objective, basket.packs)
    return basket


def _run_columns(search: Search) -> set[int]:
    runs = search.programme.runs
    return set() if runs is None else set(runs.columns.values())
