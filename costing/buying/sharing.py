"""Used and bought value and visits shared over episode, dish and purpose, to the last coin."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from costing.buying.picking import Share
from costing.buying.shopping import Purchase
from costing.buying.values import Totals, Values
from costing.quantities import ONE, ZERO, exact_money, share_out, total


@dataclass(frozen=True, slots=True)
class CostShare:
    """One episode, dish and purpose and its part of the money.

    Parameters
    ----------
    used, bought : Decimal
        Shown amounts. [money]
    visits : Decimal
        Its part of what visits and deliveries cost. [money]
    used_unknown, bought_unknown : bool
        Whether nobody knows what any of its food is worth: then the amount, 0, says nothing.
    """

    episode: str
    dish: str
    purpose: str
    used: Decimal
    bought: Decimal
    visits: Decimal = Decimal(0)
    used_unknown: bool = False
    bought_unknown: bool = False


@dataclass(frozen=True, slots=True)
class EpisodeCost:
    """One episode's part of the money.

    ``used``, ``bought``, ``visits``: what its shares add up to. [money]
    """

    used: Decimal
    bought: Decimal
    visits: Decimal
    shares: tuple[CostShare, ...]

    @property
    def paid(self) -> Decimal:
        """Bought value, visits and deliveries together. [money]"""
        return self.bought + self.visits


NO_COST = EpisodeCost(Decimal(0), Decimal(0), Decimal(0), ())
"""Of an episode that takes nothing."""


def by_episode(shares: Sequence[CostShare], totals: Totals) -> dict[str, EpisodeCost]:
    """The cost of each episode that has shares, in their order.

    An only episode has all that is shared.
    """
    result: dict[str, list[CostShare]] = {}
    for share in shares:
        result.setdefault(share.episode, []).append(share)
    if len(result) == 1:
        return {
            episode: EpisodeCost(totals.used, totals.bought, totals.visits, tuple(its))
            for episode, its in result.items()
        }
    return {
        episode: EpisodeCost(
            sum((share.used for share in its), Decimal(0)),
            sum((share.bought for share in its), Decimal(0)),
            sum((share.visits for share in its), Decimal(0)),
            tuple(its),
        )
        for episode, its in result.items()
    }


@dataclass(slots=True)
class Weights:
    """By whose they are, the weights by which a sum is shared: numerators by denominator.

    They are plain numbers: who gets a coin more is chosen, and is followed by no formula. None is
    brought to lowest terms before it is asked for, as there is one for each share and ingredient.
    """

    tops: dict[Share, dict[int, int]]
    priced: set[Share] = field(default_factory=set)
    unpriced: set[Share] = field(default_factory=set)

    @property
    def unknown(self) -> set[Share]:
        """Those of which nothing is known."""
        return self.unpriced - self.priced

    def add(self, whole: Fraction | None, parts: Mapping[Share, Fraction]) -> None:
        """Add a number, which may be unknown, shared in proportion to parts."""
        whose = {share for share, part in parts.items() if part}
        (self.unpriced if whole is None else self.priced).update(whose)
        if whole is None:
            return
        each = Fraction(whole) / Fraction(total(parts.values()))
        for share, part in parts.items() if each else ():
            tops, bottom = self.tops[share], each.denominator * part.denominator
            tops[bottom] = tops.get(bottom, 0) + each.numerator * part.numerator

    def of(self, shares: Sequence[Share]) -> Fraction:
        """What some have together."""
        together = Counter[int]()
        for share in shares:
            together.update(self.tops[share])
        return total(Fraction(top, bottom) for bottom, top in together.items())


def cost_shares(
    purchases: Sequence[Purchase],
    values: Sequence[Values],
    totals: Totals,
    *,
    order: Sequence[Share],
    digits: int,
    visits: Mapping[str, Decimal],
) -> list[CostShare]:
    """Shares in proportion to the as-bought need of each ingredient.

    Of an ingredient that is fetched on several days each trip is paid by the episodes its packs
    serve, and what is bought ready of a dish by those that have it ready. A visit to a shop is
    shared over what is bought there, by bought value, and of each ingredient like what it costs;
    where nothing bought there has a price, each line counts alike.

    The total is shared over the episodes, each episode's part over its dishes and each dish's
    over its purposes, by largest remainder at each level, so that shown amounts add up exactly.

    Parameters
    ----------
    order : sequence of (str, str, str)
        Episode, dish and purpose of every row wanted, in the order of the plan.
    visits : mapping of str to Decimal
        What the visit to each shop costs, by its key. [money]
    """
    used, bought, visited = (Weights({share: {} for share in order}) for _ in range(3))
    fetched = _fetched(purchases, visits)
    for purchase, value, fetching in zip(purchases, values, fetched, strict=True):
        parts = whose_food(purchase)
        if not any(parts.values()):  # needed for certainty alone
            parts = _each_time(purchase)
        if not any(parts.values()):
            continue
        used.add(None if value.used_unknown else value.used, parts)
        for lines in _by_trip(purchase):
            if len(lines) == len(purchase.lines):
                whose, price = parts, exact_money(value.bought)
            else:
                whose, price = _served(purchase, lines, parts), _paid(purchase, lines)
            bought.add(None if value.bought_unknown else price, whose)
            visited.add(total(fetching[n] for n in lines), whose)
    shown_used = _shown(totals.used, used, digits)
    shown_bought = _shown(totals.bought, bought, digits)
    shown_visits = _shown(totals.visits, visited, digits)
    of_used, of_bought = used.unknown, bought.unknown
    return [
        CostShare(
            *share,
            shown_used[share],
            shown_bought[share],
            shown_visits[share],
            used_unknown=share in of_used and not shown_used[share],
            bought_unknown=share in of_bought and not shown_bought[share],
        )
        for share in shown_used
    ]


def whose_food(purchase: Purchase) -> Mapping[Share, Fraction]:
    """Whose the food of a purchase is, of what is made that which is on hand or bought ready."""
    return _ready(purchase) if purchase.demand.made else purchase.need.shares


def whose_on_days(purchase: Purchase, used: Mapping[str, Fraction]) -> dict[Share, Fraction]:
    """Whose that is which is used on the days of some episodes, for later ones too."""
    return _by_day(used, _drawn(purchase))


def _by_trip(purchase: Purchase) -> list[list[int]]:
    """Numbers of the lines of a purchase that are fetched on one day; one list when all are."""
    trips: dict[date | None, list[int]] = {}
    for number, line in enumerate(purchase.lines):
        trips.setdefault(line.trip, []).append(number)
    return list(trips.values()) or [[]]


def _paid(purchase: Purchase, lines: Sequence[int]) -> Fraction:
    """What the tills take for some lines, as far as it is known. [money]"""
    paid = (purchase.lines[number].paid.cost for number in lines)
    return sum((exact_money(cost or Decimal(0)) for cost in paid), ZERO)


def _served(
    purchase: Purchase, lines: Sequence[int], parts: Mapping[Share, Fraction]
) -> Mapping[Share, Fraction]:
    """Whose the packs of one trip are: those for whom they are used on the days they serve.

    What serves nobody, as a pack for a minimum spend, is everybody's.
    """
    served: dict[str, Fraction] = {}
    for number in lines:
        for episode, amount in purchase.lines[number].serves.items():
            served[episode] = served.get(episode, ZERO) + amount
    return whose_on_days(purchase, served) or parts


def _ready(purchase: Purchase) -> dict[Share, Fraction]:
    """Whose that is of a good which is not made or cut, but bought ready or on hand."""
    making = purchase.demand.making
    if making is None:
        return {}
    one = making.at({}).served[purchase.demand.code]
    ready = dict(one.bought)
    for episode, amount in one.taken.by_episode.items():
        ready[episode] = ready.get(episode, ZERO) + amount
    return whose_on_days(purchase, ready)


def _drawn(purchase: Purchase) -> Mapping[str, Mapping[Share, Fraction]]:
    """By episode on whose day it is used, whose it is: what is made on it may be for another."""
    making = purchase.demand.making
    if making is not None:
        return making.drawn(purchase.demand.code)
    found: dict[str, dict[Share, Fraction]] = {}
    for share, part in purchase.need.shares.items():
        found.setdefault(share[0], {})[share] = part
    return found


def _by_day(
    amounts: Mapping[str, Fraction], drawn: Mapping[str, Mapping[Share, Fraction]]
) -> dict[Share, Fraction]:
    """Amounts by the day of their use, each shared by whose it is that day."""
    found: dict[Share, Fraction] = {}
    for episode, amount in amounts.items():
        whose = drawn.get(episode, {})
        whole = total(whose.values())
        for share, part in whose.items() if amount and whole else ():
            found[share] = found.get(share, ZERO) + amount * part / whole
    return found


def _fetched(purchases: Sequence[Purchase], visits: Mapping[str, Decimal]) -> list[list[Fraction]]:
    """The part of each line in what its visit costs, by the costs at the till. [money]"""
    weights: dict[str, list[tuple[int, int, Fraction]]] = {}
    parts = [[ZERO] * len(purchase.lines) for purchase in purchases]
    for number, purchase in enumerate(purchases):
        for at, one in enumerate(purchase.lines):
            if one.visit in visits:
                price = exact_money(one.paid.cost or Decimal(0))
                weights.setdefault(one.visit, []).append((number, at, price))
    for visit, lines in weights.items():
        priced = sum((price for _, _, price in lines), ZERO)
        for number, at, price in lines:
            part = price / priced if priced else ONE / len(lines)
            parts[number][at] = exact_money(visits[visit]) * part
    return parts


def _each_time(purchase: Purchase) -> dict[Share, Fraction]:
    """What the uncertain shots take each time, by whose they are. [base unit]"""
    parts: dict[Share, Fraction] = {}
    for share, amount in purchase.need.per_time.values():
        parts[share] = parts.get(share, ZERO) + amount
    return parts


def _shown(whole: Decimal, weights: Weights, digits: int) -> dict[Share, Decimal]:
    """The whole shared out level by level, so that each dish adds up to its purposes."""

    def level(amount: Decimal, members: Sequence[Share], depth: int) -> dict[Share, Decimal]:
        # a share has three levels: episode, dish and purpose
        if depth == 3:
            return {members[0]: amount}
        groups = _grouped(members, lambda share: share[depth])
        if depth and len(groups) == 1:  # it has all that was shared out to it
            return level(amount, groups[0], depth + 1)
        of_groups = list(map(weights.of, groups))
        if not any(of_groups):
            # nothing weighs anything: the first has it all, so that what is shown still adds up
            of_groups = [ONE] + [ZERO] * (len(groups) - 1)
        parts = share_out(amount, of_groups, digits)
        result: dict[Share, Decimal] = {}
        for group, part in zip(groups, parts, strict=True):
            result.update(level(part, group, depth + 1))
        return result

    return level(whole, list(weights.tops), 0) if weights.tops else {}


def _grouped(members: Sequence[Share], by: Callable[[Share], str]) -> list[list[Share]]:
    groups: dict[str, list[Share]] = {}
    for share in members:
        groups.setdefault(by(share), []).append(share)
    return list(groups.values())
