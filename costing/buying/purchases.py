"""What must be bought of one ingredient for any numbers of times, what is bought, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from costing.buying.activities import Linear, linear_parts
from costing.buying.basket import Offer
from costing.buying.left_over import Brought, Left, left_of
from costing.buying.making import Making
from costing.buying.need import Need
from costing.buying.on_hand import Stock, Taken
from costing.buying.picking import Share, with_looked_at
from costing.buying.till import Bought
from costing.quantities import ONE, ZERO, Amount, Dimension, untraced_choice
from costing.shoot import Episode
from costing.shoot.copies import Forest

DIGITS, DIGITS_SAID = 4, 3
"""A number of more digits than that is said with so many, rounded up. [digit]"""

Counts = Mapping[int, int]
"""How many times each uncertain shot is taken, by its place in the plan. [time]"""


@dataclass(frozen=True, slots=True)
class Demand:
    """What is needed of one ingredient, its stock, and what spoils before the shoot.

    Parameters
    ----------
    need : Need
        At the likeliest numbers of times.
    kept : mapping of str to Fraction
        By episode the part of what is bought that is still sound on the day. [fraction]
    making : Making, optional
        What is made and cut, where it takes of this ingredient or gives it.
    code : str
        Key of the ingredient there.
    """

    need: Need
    stock: Stock
    kept: Mapping[str, Fraction]
    forest: Forest
    making: Making | None = None
    code: str = ""

    @property
    def made_by(self) -> Making | None:
        """What makes or cuts it: then only what is bought ready is asked for."""
        making = self.making
        return None if making is None or not making.givers(self.code) else making

    @property
    def made(self) -> bool:
        """Whether it is made or cut."""
        return self.made_by is not None

    def sounder_than(self, other: Demand) -> dict[str, Fraction]:
        """How many times as much is sound as of another, by episode."""
        parts = (
            (name, untraced_choice(old), self.kept.get(name)) for name, old in other.kept.items()
        )
        return {n: part / old for n, old, part in parts if old and part is not None}

    @property
    def shots(self) -> tuple[int, ...]:
        """The uncertain shots that decide how much is taken of it."""
        taking = {shot for shot, (_, amount) in self.need.per_time.items() if amount}
        if self.making is not None:
            taking |= self.making.drawing(self.code)
        return tuple(sorted(set().union(*map(self.forest.uncertain, taking))))

    def as_bought(self, counts: Counts, planned: Counts) -> dict[str, Fraction]:
        """Need by episode. [base unit]

        ``planned``: the likeliest numbers, which ``need`` is made with.
        """
        if self.making is not None:
            if self.made:
                bought = dict.fromkeys(self.kept, ZERO)
                return bought | self.making.at(counts).served[self.code].bought
            amounts = self.making.direct(self.code, counts)
            for episode, more in self.making.taken(self.code, counts).items():
                amounts[episode] = amounts.get(episode, ZERO) + more
        else:
            amounts = self.need.used_at(self.forest, counts, planned)
        return self.need.needed(amounts, counts)

    def by_episode(self, as_bought: Mapping[str, Fraction]) -> dict[str, Fraction]:
        """To be bought for a need by episode, spoilage allowance included. [base unit]"""
        # of what is made or cut, stock is served before anything is bought ready
        taken = self.stock.serve(as_bought) if self.stock.lots and not self.made else Taken()
        return {
            episode: (amount - taken.by_episode.get(episode, ZERO)) / self.kept[episode]
            for episode, amount in as_bought.items()
        }

    def wanted(self, as_bought: Mapping[str, Fraction]) -> Fraction:
        """The same over all episodes. [base unit]"""
        return sum(self.by_episode(as_bought).values(), ZERO)

    def covers(self, planned: Counts, more: Mapping[str, Fraction]) -> Iterator[Linear]:
        """Linear expressions none of which is above what must be bought.

        The largest of them, or 0, is what must be bought, except where an ingredient with stock
        spoils at different rates until different episodes: there stock serves the earlier episode
        although it would save more at the later, and the expressions may be lower.

        Parameters
        ----------
        planned : mapping of int to int
            The likeliest numbers, which ``need`` is made with.
        more : mapping of str to Fraction
            What is needed besides, by episode. [base unit]
        """
        parts = self.parts(planned, more)
        if not self.stock.lots:
            whole = Linear()
            for episode, part in parts.items():
                whole.add(part, 1 / self.kept[episode])
            yield whole
            return
        users = [user for user in self.stock.users if not self.plenty_for(user)]
        on_hand: Fraction | None = None
        for at, first in enumerate(users):
            # a lot that is good for one day is good for all earlier ones, so what serves this
            # episode is all that can serve it and those after it
            serving = sum((u.amount for u in self.stock.lots if u.good_for(first)), ZERO)
            if serving == on_hand:
                continue
            on_hand = serving
            shortfall = Linear(-serving)
            for user in users[at:]:
                shortfall.add(parts[user.name], Fraction(1))
            least = min(1 / self.kept[user.name] for user in users[at:])
            whole = Linear()
            whole.add(shortfall, least)
            yield whole

    def plenty_for(self, episode: Episode) -> bool:
        """Whether there is plenty of it on hand on an episode's day."""
        return any(one.lot.plenty and one.good_for(episode) for one in self.stock.lots)

    def parts(self, planned: Counts, more: Mapping[str, Fraction]) -> dict[str, Linear]:
        """What is needed by episode, with what is needed besides."""
        if self.making is not None:
            parts = self.making.linear(self.code)
        else:
            linear = linear_parts(self.need, self.forest, planned)
            parts = with_looked_at(linear, self.need.picking)
        for episode, amount in more.items():
            parts.setdefault(episode, Linear()).constant += amount
        return parts


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought of one ingredient, and why; before packs are chosen, what could be.

    Parameters
    ----------
    taken : Taken
        What stock covers of the need at the likeliest numbers of times.
    net : Fraction
        Need that stock does not cover. [base unit of ``need.unit``]
    allowance : Fraction
        Bought besides, to be lost before the shoot. [base unit of ``need.unit``]
    offers : tuple of Offer
        Its rows of Packs, in their order.
    by_episode : mapping of str to Fraction
        To be bought for the numbers of times that are provided for. [base unit of ``need.unit``]
    short : Fraction
        What the shops do not have of that. [base unit of ``need.unit``]
    made : Fraction
        What of the need is made, or cut from an article. [base unit of ``need.unit``]
    fetched : tuple of (Offer, int)
        How many packs of which offers, with when they are fetched and opened.
    """

    demand: Demand
    taken: Taken
    net: Fraction = ZERO
    allowance: Fraction = ZERO
    offers: tuple[Offer, ...] = ()
    lines: tuple[Bought, ...] = ()
    by_episode: Mapping[str, Fraction] = field(default_factory=dict)
    short: Fraction = ZERO
    made: Fraction = ZERO
    fetched: tuple[tuple[Offer, int], ...] = ()

    @property
    def need(self) -> Need:
        """What is needed of it at the likeliest numbers of times."""
        return self.demand.need

    @property
    def name(self) -> str:
        """Of the ingredient."""
        return self.need.ingredient.name

    @property
    def wanted(self) -> Fraction:
        """To be bought, spoilage allowance included. [base unit of ``need.unit``]"""
        return self.net + self.allowance

    @property
    def covered(self) -> Fraction:
        """To be bought for what is provided for, over all episodes. [base unit of ``need.unit``]"""
        return sum(self.by_episode.values(), ZERO)

    @property
    def wanted_with_stock(self) -> Fraction:
        """All that must be there and is not made, stock and spoilage allowance included.

        [base unit of ``need.unit``]
        """
        return self.need.total + self.allowance - self.made

    @property
    def bought(self) -> Fraction:
        """What all lines bring. [base unit of ``need.unit``]"""
        return sum((line.brings for line in self.lines), ZERO)

    @property
    def brought(self) -> list[Brought]:
        """The packs that are bought, for what is left of them.

        Where a price is unknown all are taken to cost what they bring.
        """
        offers = {id(offer.pack): offer for offer in self.offers}
        known = all(offers[id(bought.pack)].price is not None for bought in self.lines)
        brought = []
        for bought in self.lines:
            one = bought.brings / bought.count
            sealed = bought.pack.loose_step is None
            worth = offers[id(bought.pack)].cost if known else one
            brought.append(
                Brought(untraced_choice(one), untraced_choice(worth), bought.count, sealed)
            )
        return brought

    @property
    def left(self) -> Left:
        """What is left of the packs at the likeliest numbers of times."""
        return left_of(self.brought, self.wanted)

    @property
    def over_days(self) -> bool:
        """Whether days decide which of its packs serve whom."""
        serving = {frozenset(offer.way.serves) for offer, _ in self.fetched if offer.way}
        everyone = {name for name, amount in self.by_episode.items() if amount}
        return any(not everyone <= serves for serves in serving)

    @property
    def in_unit(self) -> Fraction:
        """What one of ``need.unit`` is in base units."""
        return self.need.unit.size

    def sounder(self, ratios: Mapping[str, Fraction]) -> Purchase:
        """The same where more of it is sound on the day of an episode than was counted at first.

        ``ratios``: by episode how many times as much: it is fetched later than on the first day.
        """
        if all(ratio == 1 for ratio in ratios.values()):
            return self
        before = self.demand.kept
        kept = {name: part * ratios.get(name, ONE) for name, part in before.items()}
        likeliest = self.demand.by_episode(self.demand.as_bought({}, {}))
        net = {name: part * before[name] for name, part in likeliest.items()}
        return replace(
            self,
            demand=replace(self.demand, kept=kept),
            allowance=sum((part / kept[name] - part for name, part in net.items()), ZERO),
            by_episode={n: part / ratios.get(n, ONE) for n, part in self.by_episode.items()},
        )

    def more_for(self, bought: Bought) -> Fraction:
        """What the episodes that a line serves are provided with beyond Times.

        Of all its lines together where days do not decide who is served. [base unit]
        """
        if not self.over_days:
            return self.covered - self.wanted
        likeliest = self.demand.by_episode(self.demand.as_bought({}, {}))
        return sum((self.by_episode[e] - likeliest.get(e, ZERO) for e in bought.serves), ZERO)

    def with_packs_of(self, other: Purchase, lines: tuple[Bought, ...]) -> Purchase:
        """The same with the packs that were chosen for another of the same ingredient."""
        return replace(
            self,
            lines=lines,
            by_episode=other.by_episode,
            short=other.short,
            fetched=other.fetched,
        )

    def whose(self, bought: Bought) -> list[Share]:
        """The episodes, dishes and purposes that take of a line, in the order of the plan."""
        taking = {share: amount for share, amount in self.need.shares.items() if amount}
        taking |= {share: amount for share, amount in self.need.per_time.values() if amount}
        return [share for share in taking if share[0] in bought.serves]

    def text(self, value: Fraction) -> str:
        """An amount in the unit the ingredient is bought in; rounded up to what can be weighed."""
        number, unit = value / self.in_unit, self.need.unit
        if unit.dimension is not Dimension.COUNT and len(str(number).replace("/", "")) > DIGITS:
            # up and never down: who buys what is said must have enough
            before = len(str(int(number))) if number >= 1 else 1 - len(str(int(1 / number)))
            step = Fraction(10) ** (before - DIGITS_SAID)
            number = -(-number // step) * step
        return str(Amount(number, unit))
