"""The cheapest mixtures of packs that cover a need, proven and exact.

Packs of one ingredient that bring the same for the same price are one *kind*. A depth-first
search over the kinds, cheapest per unit first, in whole numbers only, keeps every mixture that
is best by cost, then by what is left over, then by the number of packs.

Why what is found is the best: with the kinds in order of their price per unit, what is still
needed costs at least its amount at the price per unit of the next kind; it leaves over at least
what the amounts, all multiples of their greatest common divisor, make unavoidable; and it takes at
least as many packs as of the largest that is left. A branch is cut only when that much is worse
than the best found, so no mixture that is as good is ever cut.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from costing.buying.lives import OpenedPacks, Way
from costing.kitchen import Pack

NODES = 200_000
"""Branches after which a search is ended and its gap stated, about a second. [branch]"""

MOST_TIES = 500
"""Equally good mixtures kept for the choice of shops. [mixture]"""

TABLE = 2 * 10**6
"""Amounts times kinds of packs up to which a table is filled in, about a second. [step]"""


@dataclass(frozen=True, slots=True)
class Offer:
    """One row of Packs, for what is needed of its ingredient.

    Parameters
    ----------
    amount : Fraction
        What one pack, or loose step, brings; above 0. [base unit]
    price : Fraction, optional
        Of one, tax included, before any rounding; at least 0; ``None`` is unknown. [money]
    shop : str
        Key of the shop, or of going there on the day of its trip; ``""`` for none.
    sealed : bool
        Whether one that is not needed stays sealed; loose goods do not.
    pack : Pack, optional
        The row; ``None`` where an offer stands for no row.
    way : Way, optional
        When it is fetched and opened, and which episodes it serves; ``None``: whenever and all.
    """

    amount: Fraction
    price: Fraction | None
    at_most: int | None = None
    shop: str = ""
    sealed: bool = True
    supplied: bool = False
    pack: Pack | None = field(default=None, repr=False)
    way: Way | None = None

    @property
    def cost(self) -> Fraction:
        """What it counts for in comparing baskets: an unknown price counts as nothing. [money]"""
        return Fraction(0) if self.price is None else self.price

    @property
    def asked(self) -> bool:
        """Whether a minimum spend asks for it: not of what is free, or has no price to count."""
        return not self.supplied and self.price is not None

    @property
    def trip(self) -> date | None:
        """The day it is fetched; ``None`` where no day is known."""
        return self.way.trip if self.way else None

    def opened(self, count: int, everyone: frozenset[str]) -> OpenedPacks:
        """So many of it as they are opened, for everyone where they have no way."""
        serves, last = (self.way.serves, self.way.last) if self.way else (everyone, None)
        return OpenedPacks(self.amount * count, serves, last)

    @property
    def row(self) -> Pack:
        """The row of Packs it stands for."""
        if self.pack is None:
            raise ValueError("this offer stands for no row of Packs")
        return self.pack


@dataclass(frozen=True, slots=True)
class Kind:
    """Offers that bring the same for the same price, scaled to whole numbers."""

    amount: int
    price: int
    limit: int | None
    offers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Mixtures:
    """The best mixtures for one need.

    Parameters
    ----------
    kinds : tuple of Kind
        In the order of ``counts``.
    counts : tuple of tuple of int
        For each equally good mixture how many packs of each kind.
    covered : bool
        Whether the need is covered; otherwise the mixture is all there is.
    gap : Fraction
        How much cheaper the true optimum could be; 0 when proven. [money]
    """

    offers: Sequence[Offer]
    kinds: tuple[Kind, ...]
    counts: tuple[tuple[int, ...], ...]
    covered: bool = True
    gap: Fraction = Fraction(0)

    @property
    def first(self) -> dict[tuple[int, ...], int]:
        """How many packs the first of them takes, by the numbers of the offers they may be from."""
        counts = zip(self.kinds, self.counts[0], strict=True)
        return {kind.offers: count for kind, count in counts if count}

    @property
    def cost(self) -> Fraction:
        """What each of them costs, an unknown price counting as nothing. [money]"""
        first = self.first.items()
        return sum((self.offers[at[0]].cost * count for at, count in first), Fraction(0))

    @property
    def shops(self) -> list[str]:
        """Shops that any of them could go to, in the order of the sheet."""
        used = (
            kind
            for number, kind in enumerate(self.kinds)
            if any(counts[number] for counts in self.counts)
        )
        numbers = sorted(number for kind in used for number in kind.offers)
        names = (self.offers[number].shop for number in numbers)
        return list(dict.fromkeys(name for name in names if name))

    def packs(self, shops: Collection[str]) -> tuple[int, ...] | None:
        """Packs by offer with the earliest rows first, from these shops and the nameless one.

        ``None`` when these shops do not have enough.
        """
        every = (self._packs(counts, shops) for counts in self.counts)
        # the largest takes most of the earliest rows: their order is the user's
        return max((packs for packs in every if packs is not None), default=None)

    def _packs(self, counts: Sequence[int], shops: Collection[str]) -> tuple[int, ...] | None:
        """The packs of one mixture."""
        packs = [0] * len(self.offers)
        for kind, count in zip(self.kinds, counts, strict=True):
            left = count
            for number in kind.offers:
                offer = self.offers[number]
                if left and (not offer.shop or offer.shop in shops):
                    packs[number] = left if offer.at_most is None else min(left, offer.at_most)
                    left -= packs[number]
            if left:
                return None
        return tuple(packs)


def cheapest_mixtures(need: Fraction, offers: Sequence[Offer], *, nodes: int = NODES) -> Mixtures:
    """All mixtures of ``offers`` that cover ``need`` at least cost, least left over, fewest packs.

    Parameters
    ----------
    need : Fraction
        To be covered. [base unit]
    offers : sequence of Offer
        In the order of the sheet.
    nodes : int
        After so many branches the search ends and states its gap.

    Returns
    -------
    Mixtures
        Empty counts for no need; all there is when the limits do not let it be covered.

    Examples
    --------
    36 pieces in packs of 6 is 6 packs, and a dozen for less than two sixes wins.

    >>> mixtures = cheapest_mixtures(Fraction(36), [Offer(Fraction(6), Fraction(2))])
    >>> mixtures.counts
    ((6,),)
    """
    # one denominator for all amounts and one for all prices: the search adds and compares whole
    # numbers, much faster than fractions
    amounts = math.lcm(need.denominator, *(offer.amount.denominator for offer in offers))
    prices = math.lcm(*(offer.cost.denominator for offer in offers))
    kinds = tuple(_kinds(offers, amounts, prices))
    wanted = int(need * amounts)
    if wanted <= 0:
        return Mixtures(offers, kinds, (tuple(0 for _ in kinds),))
    # with every offer limited all of it may be too little: then the answer is all of it
    everything = _everything(kinds)
    if everything is not None and _brought(kinds, everything) < wanted:
        return Mixtures(offers, kinds, (everything,), covered=False)
    search = _Search(kinds, wanted, nodes)
    search.run()
    # a branch skipped at no gap in cost may still have left less over
    if search.skipped and all(kind.limit is None for kind in kinds):
        packs = [(kind.amount, kind.price) for kind in kinds]
        if counts := best_by_table(packs, wanted, most=MOST_TIES):
            return Mixtures(offers, kinds, counts)
    return Mixtures(offers, kinds, tuple(search.best_counts), gap=Fraction(search.gap, prices))


def _kinds(offers: Sequence[Offer], amounts: int, prices: int) -> Iterator[Kind]:
    """Offers that bring the same for the same price, cheapest per unit first, in whole numbers."""
    alike: dict[tuple[int, int], list[int]] = {}
    for number, offer in enumerate(offers):
        if offer.amount <= 0 or offer.cost < 0:
            raise ValueError("an offer brings more than nothing and costs at least nothing")
        both = int(offer.amount * amounts), int(offer.cost * prices)
        alike.setdefault(both, []).append(number)

    def dearness(pair: tuple[int, int]) -> tuple[Fraction, int]:
        amount, price = pair
        # of equal prices per unit the larger first: fewer packs are found sooner
        return Fraction(price, amount), -amount

    for amount, price in sorted(alike, key=dearness):
        numbers = alike[amount, price]
        limits = [offers[number].at_most for number in numbers]
        known = [limit for limit in limits if limit is not None]
        # one offer without a limit makes its whole kind unlimited
        limit = sum(known) if len(known) == len(limits) else None
        yield Kind(amount, price, limit, tuple(numbers))


def _everything(kinds: Sequence[Kind]) -> tuple[int, ...] | None:
    """As many packs of each kind as there are; ``None`` where one has no limit."""
    limits = tuple(kind.limit for kind in kinds if kind.limit is not None)
    return limits if len(limits) == len(kinds) else None


def _brought(kinds: Sequence[Kind], counts: Sequence[int]) -> int:
    """What so many packs of each kind bring."""
    return sum(kind.amount * count for kind, count in zip(kinds, counts, strict=True))


@dataclass(slots=True)
class _Search:
    """Depth-first search with bounds; every number is whole."""

    kinds: tuple[Kind, ...]
    wanted: int
    nodes: int
    best: tuple[int, int, int] | None = None
    best_counts: list[tuple[int, ...]] = field(default_factory=list)
    gap: int = 0
    skipped: bool = False
    _counts: list[int] = field(default_factory=list)
    _largest_after: list[int] = field(default_factory=list)
    _capacity_after: list[int | None] = field(default_factory=list)
    _least_left: int = 0
    _visited: int = 0

    def run(self) -> None:
        """Search; what was found is in ``best_counts`` and ``gap``."""
        common = math.gcd(*(kind.amount for kind in self.kinds))
        # any mixture brings a multiple of the common divisor, so none leaves over less than this
        self._least_left = -self.wanted % common
        self._counts = [0] * len(self.kinds)
        for at in range(len(self.kinds)):
            later = self.kinds[at:]
            self._largest_after.append(max(kind.amount for kind in later))
            everything = _everything(later)
            self._capacity_after.append(None if everything is None else _brought(later, everything))
        self._descend(0, self.wanted, 0, 0)

    def _descend(self, at: int, rest: int, cost: int, packs: int) -> None:
        """Try every number of the kind at ``at`` that may still be part of a best mixture.

        The kinds from ``at`` on bring at least ``rest``.
        """
        if rest <= 0:
            self._keep((cost, -rest, packs))
            return
        kind = self.kinds[at]
        most = -(-rest // kind.amount)
        if kind.limit is not None:
            most = min(most, kind.limit)
        for count in range(most, -1, -1):  # most of the cheapest first: a good best early
            self._visited += 1
            new_rest = rest - count * kind.amount
            new_cost = cost + count * kind.price
            new_packs = packs + count
            if new_rest > 0:
                bound = self._bound(at + 1, new_rest, new_cost, new_packs)
                if bound is None:
                    break  # fewer of this kind ask even more of what comes after it
                if self.best is not None and bound > self.best:
                    if bound[0] > self.best[0]:
                        break  # fewer of the cheapest kind left cost no less
                    continue
                # the limit counts branches and not seconds, so that every computer finds the same.
                # What is skipped could at best have cost its bound: that is the gap
                if self._visited > self.nodes and self.best is not None:
                    self.skipped = True
                    self.gap = max(self.gap, self.best[0] - bound[0])
                    continue
            self._counts[at] = count
            self._descend(at + 1, new_rest, new_cost, new_packs)
            self._counts[at] = 0

    def _bound(self, at: int, rest: int, cost: int, packs: int) -> tuple[int, int, int] | None:
        """No completion is better than this; ``None`` when none exists."""
        if at == len(self.kinds):
            return None
        capacity = self._capacity_after[at]
        if capacity is not None and capacity < rest:
            return None
        kind = self.kinds[at]
        # kinds are in the order of their price per unit, so that no later one is cheaper than this
        cheapest = -(-rest * kind.price // kind.amount)
        fewest = -(-rest // self._largest_after[at])
        return cost + cheapest, self._least_left, packs + fewest

    def _keep(self, found: tuple[int, int, int]) -> None:
        if self.best is None or found < self.best:
            self.best = found
            self.best_counts = [tuple(self._counts)]
        # ties are kept: which of them needs the fewest shops is known over all articles only
        elif found == self.best and len(self.best_counts) < MOST_TIES:
            self.best_counts.append(tuple(self._counts))


def best_by_table(
    packs: Sequence[tuple[int, int]], wanted: int, *, most: int
) -> tuple[tuple[int, ...], ...]:
    """All mixtures that cover a need at least cost, then with least left over, then fewest packs.

    What is taken out of a best mixture leaves a best one of the rest, so that each is found by
    going back through the table, its packs in one order.

    Parameters
    ----------
    packs : sequence of (int, int)
        Amount and price of each kind, of which there are as many as are wanted.
    wanted : int
        To be covered, above 0.
    most : int
        So many mixtures are looked for. [mixture]

    Returns
    -------
    tuple of tuple of int
        How many of each kind; none where the table would be too large.

    Examples
    --------
    At least 7 of 3 for 20 and 2 for 15: one of one and two of the other.

    >>> best_by_table([(3, 20), (2, 15)], 7, most=10)
    ((1, 2),)
    """
    end = wanted + max(amount for amount, _ in packs)
    if end * len(packs) > TABLE:
        return ()
    # fewer than `end` packs are ever taken, so that their number never carries into the cost
    steps = [(amount, price * end + 1) for amount, price in packs]  # the cost, then the packs
    never = sum(step for _, step in steps) * end
    table = [0, *([never] * (end - 1))]
    for at in range(1, end):
        reached = (table[at - amount] + step for amount, step in steps if amount <= at)
        table[at] = min(reached, default=never)
    least = min(range(wanted, end), key=lambda at: (table[at] // end, at, table[at] % end))
    found: list[tuple[int, ...]] = []
    waiting, visited = [(least, len(packs) - 1, (0,) * len(packs))], 0
    while waiting and visited < TABLE and len(found) < most:
        at, last, counts = waiting.pop()
        visited += 1
        if not at:
            found.append(counts)
        for kind, (amount, step) in enumerate(steps[: last + 1]):
            if amount <= at and table[at - amount] + step == table[at] < never:
                more = (*counts[:kind], counts[kind] + 1, *counts[kind + 1 :])
                waiting.append((at - amount, kind, more))
    return tuple(found)
