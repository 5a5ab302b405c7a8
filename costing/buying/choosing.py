"""What is made and what is bought ready, and the ways of cutting: chosen together with the packs.

The programme proposes; how often everything is run is then worked out again in exact numbers for
what it buys ready and runs ahead (``making``), and the packs of everything else are chosen for
that. What this costs more than the programme's bound is the gap that is reported.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from costing.buying.activities import Activity, Run
from costing.buying.articles import Basket, Question, Terms
from costing.buying.basket import Offer
from costing.buying.lives import by_first, released
from costing.buying.making import Making
from costing.buying.planning import TIE_NODES, More, Plan, Planner
from costing.buying.purchases import Counts, Purchase
from costing.buying.search import Search, gap_to
from costing.buying.serving import NOTHING_CHOSEN, Chosen
from costing.buying.solver import Deadline, Ending
from costing.quantities import ONE, ZERO

PART_FOR_DAYS = 1 / 3
"""Of the time of a search, for one that chooses nothing but the days to make and cut on.

What gap is left is told. [fraction]"""


@dataclass(frozen=True, slots=True)
class MakingChoice:
    """What is chosen, and how cheap anything could be at best.

    Parameters
    ----------
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
        """How much cheaper than this anything could be, as far as that is known. [money]"""
        return ZERO if self.bound == float("-inf") else gap_to(self.bound, cost)


def all_at_hand(choice: MakingChoice, purchases: Iterable[Purchase]) -> MakingChoice:
    """The same choice, with all that the packs of goods bring there from the first day they serve.

    The choice itself counts what the planned takes use of them; more takes may use the rest.
    """
    ready = dict(choice.chosen.ready)
    for purchase in purchases:
        demand = purchase.demand
        if (making := demand.made_by) and purchase.lines:
            days = {one.name: one.shoot_date for one in making.episodes}
            packs = [offer.opened(count, frozenset(days)) for offer, count in purchase.fetched]
            used = by_first(ready.get(demand.code, {}))
            ready[demand.code] = released(packs, used, demand.kept, days, rest_on=0)
    return replace(choice, chosen=replace(choice.chosen, ready=ready, saved={}))


def bound(terms: Terms, making: Making) -> Terms:
    """The same terms with another choice of what is made, or with more of it."""
    articles = []
    for one in terms.articles:
        if one.demand.making:
            demand = replace(one.demand, making=making)
            # only what is left over asks for it, and is no news where nothing of it counts
            planned = demand.wanted(demand.as_bought({}, {})) if terms.counted else one.planned
            one = replace(one, demand=demand, planned=planned)
        articles.append(one)
    return replace(terms, articles=tuple(articles), making=making)


def choice_of(
    planner: Planner,
    making: Making,
    *,
    chance: Fraction,
    caps: Counts | None = None,
    more: More | None = None,
    lacking: Collection[str],
    deadline: Deadline | None = None,
    settle: bool = True,
) -> MakingChoice:
    """What is made, bought ready and cut which way, at least cost.

    Parameters
    ----------
    planner : Planner
        Of everything, in case more of it is needed.
    chance : Fraction
        That every shot stays within its cap. [fraction]
    caps : mapping of int to int, optional
        Of the uncertain shots, when they are given. [time]
    more : mapping, optional
        What is needed besides, by article and episode. [base unit]
    lacking : collection of str
        Keys of what nobody sells and is not on hand.
    deadline : Deadline, optional
        Of the whole of it; by default the planner's.
    settle : bool
        Whether ties are settled; what is only compared by its cost does without.
    """
    sold = [one.demand.code for one in planner.terms.articles if one.offers]
    only_days = not making.choices(sold)
    if deadline is None:
        deadline = planner.deadline(PART_FOR_DAYS if only_days else 1)
    terms, besides = bound(planner.terms, making.choosing(NOTHING_CHOSEN)), more
    # where nothing couples the articles those that no making touches are settled by themselves
    if not (planner.times or terms.coupled):
        numbers = [n for n, one in enumerate(terms.articles) if one.demand.making is not None]
        terms = replace(terms, articles=tuple(terms.articles[n] for n in numbers))
        if more is not None:
            besides = {at: more[n] for at, n in enumerate(numbers) if n in more}
    values = planner.values(chance) if caps is None else {p: (k,) for p, k in caps.items()}
    question = replace(
        planner.question(values, chance if caps is None else ZERO, besides),
        forbidden=frozenset(
            number
            for number, activity in enumerate(making.activities)
            if not set(lacking).isdisjoint(activity.takes)
        ),
        choosing=True,
    )
    # what has no price must never look like the cheapest
    every = replace(terms, articles=tuple(one.released for one in terms.articles))
    terms = replace(terms, articles=tuple(one.held_back for one in terms.articles))
    choosing = planner.comparing(terms)
    # a day on which nobody goes is only for what nothing fetched, made or cut will do for
    on_trips = _on_trips(terms)
    search = planner.comparing(on_trips or terms).search(question, deadline)
    found = search.cheapest()
    if found.ending is Ending.IMPOSSIBLE and on_trips:
        search = choosing.search(question, deadline)
        found = search.cheapest()
    if found.ending is Ending.IMPOSSIBLE and any(one.unpriced for one in terms.articles):
        # nothing that has a price will do: as few of the others as may be, then the least cost
        terms, choosing = every, planner.comparing(every)
        search = choosing.search(question, deadline)
        found = search.cheapest(_unpriced(search))
    # what takes something that nobody has is made only where nothing else will do
    if found.ending is Ending.IMPOSSIBLE and question.forbidden:
        search = choosing.search(replace(question, forbidden=frozenset()), deadline)
        found = search.cheapest(_unpriced(search))
    if found.ending is Ending.IMPOSSIBLE:
        question = replace(question, forbidden=frozenset(), elastic=True)
        search = choosing.search(question, deadline)
        # the bound is of baskets that lack as little, and says nothing of those that lack nothing
        found = replace(search.least_lacking(_unpriced(search)), bound=float("-inf"))
    elif found.bound < 0:  # ended before anything was known: no basket costs less than nothing
        found = replace(found, bound=0.0)
    basket, names = found.basket, tuple(one.name for one in terms.articles)
    if basket is None:
        return MakingChoice(bound=0.0, articles=names)
    # what keeps is worth what the makings of the programme leave, which the terms do not know
    if found.ending is Ending.PROVEN and settle and not (only_days or terms.counted):
        basket = search.settled(basket, nodes=TIE_NODES)
    return MakingChoice(_no_earlier(basket, question, terms, making), found.bound, names)


def _on_trips(terms: Terms) -> Terms | None:
    """The same terms without packs fetched on no trip of their shop; ``None``: there are none."""

    def open_only(offer: Offer) -> Offer:
        return offer if offer.way is None or offer.way.planned else replace(offer, at_most=0)

    offers = [tuple(map(open_only, one.offers)) for one in terms.articles]
    if all(new == old.offers for new, old in zip(offers, terms.articles, strict=True)):
        return None
    pairs = zip(terms.articles, offers, strict=True)
    return replace(terms, articles=tuple(replace(one, offers=its) for one, its in pairs))


def _unpriced(search: Search) -> dict[int, Fraction]:
    """The columns of packs without a price, which must never look like the cheapest."""
    packs = (one for columns in search.programme.packs for one in columns)
    return {one.column: ONE for one in packs if one.offer.price is None}


def _no_earlier(basket: Basket, question: Question, terms: Terms, making: Making) -> Chosen:
    """What is chosen, with no more made or cut ahead than the packs need to suffice.

    The same holds of what is on hand: nothing is saved where the packs suffice without.
    """
    chosen = basket.chosen

    def suffices(ahead: Mapping[Run, Fraction]) -> bool:
        tried = bound(terms, making.choosing(replace(chosen, ahead=ahead)))
        pairs = enumerate(zip(tried.articles, basket.packs, strict=True))
        return all(
            article.lacking(packs, question.needs(number, article, basket.caps)) <= 0
            for number, (article, packs) in pairs
        )

    def at_least(run: Run, times: Fraction) -> bool:
        return suffices(ahead | {run: times})

    for saved in ({}, chosen.saved):
        chosen = replace(chosen, saved=saved)
        if suffices({}):
            break
        if suffices(ahead := dict(chosen.ahead)):
            for run, times in chosen.ahead.items():  # on a day of use, if that will do as well
                used_in = making.used_in(run[0])
                for day in () if run[1] in used_in else used_in:
                    others = {one: n for one, n in ahead.items() if one != run}
                    others[run[0], day] = others.get((run[0], day), ZERO) + times
                    if suffices(others):
                        ahead = others
                        break
            for run, times in tuple(ahead.items()):
                whole = making.activities[run[0]].whole
                fewer = [Fraction(n) for n in range(int(times) + 1)] if whole else [ZERO, times]
                # what bisection ends at was tried and suffices (the last does, by the line above),
                # be it the fewest or not
                ahead[run] = fewer[bisect_left(fewer, True, key=partial(at_least, run))]
            return replace(chosen, ahead=ahead)
    else:
        return replace(chosen, ahead={}, saved={})
    return replace(chosen, ahead={})


def same_ways(chosen: Chosen, before: Sequence[Activity], after: Sequence[Activity]) -> Chosen:
    """A choice for activities of the same shoot that stand at other places now."""

    def ways(activities: Sequence[Activity]) -> list[tuple[str, ...]]:
        # the key of a dish says its steps and lines; of an article other parts may be needed now
        return [(one.name, one.way, *(() if one.cut else one.gives)) for one in activities]

    places = {way: number for number, way in enumerate(ways(after))}
    moved = [places.get(way) for way in ways(before)]
    runs = {at: by for n, by in chosen.runs.items() if (at := moved[n]) is not None}
    ahead = {(at, e): k for (n, e), k in chosen.ahead.items() if (at := moved[n]) is not None}
    return replace(chosen, runs=runs, ahead=ahead)


def cheapest_made(
    planner: Planner,
    making: Making,
    asked: Counts | Fraction,
    more: More | None,
    *,
    known: MakingChoice | None,
    lacking: Collection[str],
    deadline: Deadline | None,
    nodes: int | None,
    settle: bool,
) -> Plan | Ending:
    """As :meth:`Planner.cheapest`, whatever is made, bought ready and cut which way.

    Parameters
    ----------
    planner, making, asked, more, lacking, deadline, nodes, settle
        As of :func:`choice_of` and of the planner.
    known : MakingChoice, optional
        A choice that may do, for this or for less of it: where this costs no more than its bound
        nothing is searched, as more never costs less.

    Returns
    -------
    Plan or Ending
        Why there is none that is proven.
    """
    if known is not None:
        plan = _plan_for(planner, making, known, asked, more, deadline, nodes)
        if isinstance(plan, Plan) and _proves(known, planner, making, plan):
            taken = planner.terms.taken(plan.basket.packs)
            if all(offer.price is not None for offer, _ in taken):  # else it may cost more
                return plan
    chance, caps = (asked, None) if isinstance(asked, Fraction) else (ZERO, asked)
    choice = choice_of(
        planner,
        making,
        chance=chance,
        caps=caps,
        more=more,
        lacking=lacking,
        deadline=deadline,
        settle=settle,
    )
    plan = _plan_for(planner, making, choice, asked, more, deadline, nodes)
    return (
        plan if isinstance(plan, Ending) or _proves(choice, planner, making, plan) else Ending.ENDED
    )


def _plan_for(
    planner: Planner,
    making: Making,
    choice: MakingChoice,
    asked: Counts | Fraction,
    more: More | None,
    deadline: Deadline | None,
    nodes: int | None,
) -> Plan | Ending:
    """The cheapest packs for a choice."""
    chosen = planner.comparing(bound(planner.terms, making.choosing(choice.chosen)))
    return chosen.cheapest(asked, more, deadline=deadline, nodes=nodes)


def _proves(choice: MakingChoice, planner: Planner, making: Making, plan: Plan) -> bool:
    """Whether the bound of a choice proves a plan for it to be the cheapest of all."""
    terms, packs = planner.terms, plan.basket.packs
    if terms.counted:
        terms = bound(terms, making.choosing(choice.chosen))
    if planner.times or terms.coupled:
        cost = terms.cost(packs)
    else:
        pairs = zip(terms.articles, packs, strict=True)
        cost = sum((a.paid(counts) for a, counts in pairs if a.name in choice.articles), ZERO)
    return plan.gap == 0 and choice.bound != float("-inf") and not choice.gap(cost)
