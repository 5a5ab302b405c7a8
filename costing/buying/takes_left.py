r"""How often each shot can still be taken with what is there.

With the stock as it is, and the number of times of each shot conditioned on how often it was taken
already: for each shot the greatest :math:`k` such that :math:`k` more of it and all that remains
of the others fit with at least the accepted chance.

Where what remains of the others does not fit with that chance even when the shot is not taken
again, it is the greatest :math:`k` that takes nothing from them: what it draws more of lasts with
the accepted chance, and no less surely than without it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from costing.buying.basket import Offer, cheapest_mixtures
from costing.buying.books import Books
from costing.buying.chances import Chances
from costing.buying.fitting import CERTAIN, Chance
from costing.buying.mixing import packs_from_fewest_shops
from costing.buying.shooting_day import Day, InAll
from costing.buying.supplies import Receipted, supplies_of
from costing.buying.supply import Balance, Supply, balances, kept_back
from costing.quantities import ZERO
from costing.shoot.copies import Forest, back_from
from costing.shoot.times import Times, certain

UNLIMITED_TAKES = 1_024
"""A shot that can be taken so many times more is not limited. [time]"""


@dataclass(frozen=True, slots=True)
class Shortfall:
    """What the next take lacks of one ingredient.

    Parameters
    ----------
    amount : Fraction
        How much. [base unit it is bought in]
    packs : tuple of (Offer, int)
        The cheapest packs that bring it; none where no shop has more.
    price : Fraction, optional
        What they cost; ``None`` where a price is unknown or there are none. [money]
    """

    supply: Supply
    amount: Fraction
    packs: tuple[tuple[Offer, int], ...] = ()
    price: Fraction | None = None


@dataclass(frozen=True, slots=True)
class TakesLeft:
    """How often one shot can still be taken.

    Parameters
    ----------
    taken : int
        Takes so far; as planned where that is assumed. [time]
    more : int, optional
        Takes that are left; ``None``: nothing limits them, or its day is over. [time]
    lacks : tuple of Shortfall
        What one more than that lacks.
    now, after : Chance
        That all the others can be finished: when it is not taken again, when it is once more.
    others_lack : bool
        Whether what remains of the others does not fit as it is.
    others_remain : bool
        Whether others that remain take of what lacks, now or after one more of it.
    overdrawn : tuple of str
        Ingredients it takes of which more was used than there was, where none of those remain.
    stands : int
        Planned takes that its food stands there for beyond ``more``, ``more`` included; 0: none.
        [time]
    as_planned : bool
        Whether they are with the others taken as planned; else when no other is taken again.
    is_assumed : bool
        Whether it is and nothing says how often it was taken.
    left_out : tuple of str
        Ingredients it takes of which nothing says how much there is.
    unmeasured : tuple of str
        Ingredients of which it is not known how much it takes.
    unread : tuple of str
        Ingredients it takes whose last count cannot be read.
    not_kept_back : tuple of str
        Ingredients it takes of which only the pieces used are kept back, not those looked at.
    """

    number: int
    taken: int
    more: int | None
    lacks: tuple[Shortfall, ...] = ()
    now: Chance = CERTAIN
    after: Chance = CERTAIN
    others_lack: bool = False
    others_remain: bool = True
    overdrawn: tuple[str, ...] = ()
    stands: int = 0
    as_planned: bool = True
    is_over: bool = False
    is_assumed: bool = False
    left_out: tuple[str, ...] = ()
    unmeasured: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    not_kept_back: tuple[str, ...] = ()


class _Firm(Chances):
    """The same where no number is open: all others are taken as planned, or not again."""

    as_planned = True

    def numbers(self, number: int) -> Times:
        """How often a shot is taken in all."""
        taken, likely = self.day.taken(number), self.shoot.shots[number].times
        open_yet = self.as_planned and super().numbers(number).most > taken
        return certain(max(taken, likely) if open_yet else taken)


class _NotAgain(_Firm):
    as_planned = False


class Outlook:
    """The takes that are left of every shot.

    Parameters
    ----------
    books : Books
        What is bought, of the shoot with its log.
    brought : mapping of str to Receipted, optional
        What receipts say was bought, by the key of the ingredient. [base unit]
    """

    def __init__(self, books: Books, brought: Mapping[str, Receipted] | None = None) -> None:
        self.shoot = books.shoot
        self.day = Day.of(self.shoot)
        self.forest = Forest(self.shoot.shots)
        self.supplies = supplies_of(self.day, books, self.forest, brought)
        self.accepted = 1 - self.shoot.settings.chance_of_running_out
        kept, self._not_kept_back = kept_back(self.supplies)
        whole = self.shoot, self.day, self.forest, kept
        self.chances, self._firm = Chances(*whole), (_Firm(*whole), _NotAgain(*whole))
        self._shortfalls: dict[tuple[int, int, int], Shortfall] = {}

    @cached_property
    def balances(self) -> tuple[Balance, ...]:
        """The books of each ingredient so far."""
        return tuple(balances(self.day, self.supplies, self.forest))

    @cached_property
    def takes_left(self) -> tuple[TakesLeft, ...]:
        """For every shot of a dish, in the order of the plan."""
        shots = enumerate(self.shoot.shots)
        asked = {n: self.chances.asked_alike(n) for n, s in shots if self.shoot.is_dish(s.dish)}
        of_alike = {one: n for n, one in asked.items()}
        found = {one: self._of(n) for one, n in of_alike.items()}
        return tuple(
            replace(found[one], number=n, is_assumed=self.day.is_assumed(n))
            for n, one in asked.items()
        )

    @cached_property
    def lacking(self) -> tuple[Shortfall, ...]:
        """What all that remains lacks, where some of it does not fit even without a shot of it."""
        found = [one for one in self.takes_left if one.others_lack and one.others_remain]
        if not found:
            return ()
        self.chances.begin()
        every = range(len(self.chances.supplies.limited))
        return tuple(self._lacks(found[0].number, None, every, self.accepted))

    def takes_of_lacking(self, number: int) -> bool:
        """Whether a shot takes of what all that remains lacks."""
        names = {self.chances.supplies.limited[at].name for at in self.chances.touched[number]}
        return any(one.supply.name in names for one in self.lacking)

    def _of(self, number: int) -> TakesLeft:
        """The takes that are left of one shot."""
        self.chances.begin()
        taken, touched = self.day.taken(number), self.chances.touched[number]
        names = dict.fromkeys(self.chances.supplies.limited[at].name for at in touched)
        found = TakesLeft(
            number,
            taken,
            None,
            left_out=self.chances.taken_of(number, self.supplies.unknown),
            unmeasured=tuple(
                dict.fromkeys(
                    name
                    for at in back_from(number, self.shoot.shots)
                    for name in self.supplies.unmeasured.get(at, ())
                )
            ),
            unread=self.chances.taken_of(number, self.supplies.unread),
            not_kept_back=tuple(n for n in names if n in self._not_kept_back),
        )
        if self.day.is_over(number):
            return replace(found, is_over=True)
        now = self.chances.chance(number, taken)
        others_lack = now.low < self.accepted

        def bound(more: int) -> tuple[Sequence[int] | None, Fraction]:
            """Which supplies are to last, ``None`` for all, and how surely."""
            if not others_lack:
                return None, self.accepted
            only = self.chances.drawing_more(number, taken + more)
            return only, max(self.accepted, self.chances.chance(number, taken, only).low)

        def fits(more: int) -> bool:
            only, least = bound(more)
            return self.chances.chance(number, taken + more, only).low >= least

        sure = self.chances.sure(number, taken)
        if others_lack and not self.chances.is_alone(number):
            sure = -1  # of a group more may be asked about than what the shot itself takes of
        more = _greatest(fits, sure) if touched else None
        # what it takes of lasts as surely then as now
        after = now if sure > 0 or not touched else self.chances.chance(number, taken + 1)
        limited, lacking = self.chances.supplies.limited, list[int]()
        if now.high == 0:
            lacking = self.chances.certain_to_lack(number, taken, range(len(limited)))
        elif after.high == 0:
            lacking = self.chances.certain_to_lack(number, taken + 1, touched)
        others_remain = not lacking or self.chances.wanted_by_others(number, lacking)
        gone = [at for at in lacking if at in touched and now.high == 0 and not others_remain]
        return replace(
            found,
            more=more,
            lacks=tuple(self._lacks(number, taken + more + 1, *bound(more + 1)))
            if more is not None
            else (),
            now=now,
            after=after,
            others_lack=others_lack,
            others_remain=others_remain,
            overdrawn=tuple(dict.fromkeys(limited[at].name for at in gone)),
            **self._stands(number, more),
        )

    def _stands(self, number: int, more: int | None) -> dict[str, Any]:
        """For how many of its planned takes the food of a shot stands there, if for more than that.

        The chance asked for may leave none of them, where others may be taken more often than is
        likely; then the food is there, and a person has to know it.
        """
        taken = self.day.taken(number)
        planned = self.shoot.shots[number].times - taken
        if more is None or self.chances.numbers(number).most == taken:
            return {}
        for firm in self._firm:
            firm.begin()
            for times in range(planned, more, -1):
                if firm.chance(number, taken + times, firm.touched[number]) == CERTAIN:
                    return {"stands": times, "as_planned": firm.as_planned}
        return {}

    def _lacks(
        self, number: int, times: InAll, only: Sequence[int] | None, least: Fraction
    ) -> Iterator[Shortfall]:
        """What must come besides so that a shot taken so often fits: enough, and none to spare.

        Each supply gets what it needs alone; where that is not enough for all together, the one
        that helps most gets more; at last those give back what the others make needless. With
        less than what it needs alone nothing fits together either.
        """

        def enough(extra: Mapping[int, Fraction]) -> bool:
            return self.chances.chance(number, times, only, extra).low >= least

        steps: dict[int, list[Fraction]] = {}
        alone: dict[int, Fraction] = {}
        is_certain = True
        touched = self.chances.touched[number]
        for at in touched if only is None else only:
            if (lack := self.chances.certain_lack(number, times, at)) is not None:
                steps[at], alone[at] = [lack], lack
            elif fitting := self.chances.fitting(number, times, [at]):
                is_certain, lacks = False, fitting.lacks()
                steps[at] = [lack for lack, _ in lacks]
                alone[at] = next((s for s, chance in lacks if chance >= least), steps[at][-1])
        extra = dict(alone)
        while not (is_certain or enough(extra)):
            higher = [
                {**extra, at: next(step for step in steps[at] if step > extra[at])}
                for at in steps
                if extra[at] < steps[at][-1]
            ]
            if not higher:
                break
            extra = max(higher, key=lambda one: self.chances.chance(number, times, only, one).low)
        for at in steps:
            between = (s for s in steps[at] if alone[at] <= s < extra[at])
            extra[at] = next((s for s in between if enough({**extra, at: s})), extra[at])
        most: dict[str, tuple[Fraction, int]] = {}  # what is looked at is of what is there too
        for at in steps:
            name = self.chances.supplies.limited[at].name
            amount = Fraction(extra[at], self.chances.whole.sizes[at])
            if amount > most.get(name, (ZERO, at))[0]:
                most[name] = amount, at
        for amount, at in most.values():
            yield self._shortfall(at, amount)

    def _shortfall(self, at: int, amount: Fraction) -> Shortfall:
        """What lacks of a supply; shots of one dish mostly lack the same."""
        asked = at, *amount.as_integer_ratio()
        if asked not in self._shortfalls:
            self._shortfalls[asked] = _lack_of(self.chances.supplies.limited[at], amount)
        return self._shortfalls[asked]


def _lack_of(supply: Supply, amount: Fraction) -> Shortfall:
    """What lacks of an ingredient, with the cheapest packs that bring it."""
    taken: dict[int, int] = {}
    for bought in supply.purchase.lines:
        taken[id(bought.pack)] = taken.get(id(bought.pack), 0) + bought.count
    offers = [
        one
        if one.at_most is None
        else replace(one, at_most=one.at_most - taken.get(id(one.pack), 0))
        for one in supply.purchase.offers
    ]
    # a price that is not known is no cheaper way out as long as another has one
    priced = [offer for offer in offers if offer.price is not None]
    found = cheapest_mixtures(amount, priced or offers)
    if not found.covered:
        return Shortfall(supply, amount)
    (counts,) = packs_from_fewest_shops([found])
    packs = tuple((one, count) for one, count in zip(found.offers, counts, strict=True) if count)
    return Shortfall(supply, amount, packs, found.cost if priced else None)


def _greatest(fits: Callable[[int], bool], sure: int) -> int | None:
    """The greatest number that fits, 0 where none does; ``None`` where many do.

    What is sure fits, and mostly no more than that does; below 0 nothing is known.
    """
    low, step = max(0, sure), 1
    while low < UNLIMITED_TAKES and fits(low + step):
        low, step = low + step, 2 * step
    high = low + step
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low if low < UNLIMITED_TAKES else None
