"""What is on hand and still good on the day, used earliest date first."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from fractions import Fraction
from itertools import takewhile

from costing.buying import messages
from costing.buying.bought_units import pack_or_lot_unclear
from costing.buying.lives import OpenedPacks, allotted
from costing.buying.need import Need
from costing.findings import Finding
from costing.kitchen import HoldingClass, Lot
from costing.kitchen.conversion import Unconvertible, bought_as
from costing.quantities import ZERO, least, untraced_choice
from costing.shoot import Episode
from costing.shoot.messages import shoot_date_missing


@dataclass(slots=True)
class Taken:
    """What a shoot takes of what is on hand.

    Parameters
    ----------
    by_episode : dict of str to Fraction
        Used of the lots. [base unit the ingredient is bought in]
    from_lots : list of (Lot, Fraction, Fraction)
        Lot that counts, its whole amount, and how much of it is used.
    """

    by_episode: dict[str, Fraction] = field(default_factory=dict)
    from_lots: list[tuple[Lot, Fraction, Fraction]] = field(default_factory=list)
    plenty: Lot | None = None
    left: Fraction = ZERO

    @property
    def total(self) -> Fraction:
        """Used over all episodes. [base unit the ingredient is bought in]"""
        return sum(self.by_episode.values(), ZERO)


def last_day(lot: Lot, need: Need) -> date | None:
    """Last day a lot may be used: its date, or the end of its life after opening if sooner."""
    days = [lot.use_by] if lot.use_by else []
    keeps = need.ingredient.keeps_opened
    if lot.opened and keeps is not None:
        days.append(lot.opened + timedelta(days=math.floor(keeps)))
    return min(days, default=None)


@dataclass(frozen=True, slots=True)
class Usable:
    """A lot that counts for somebody.

    ``amount``: how much it is; 0 for plenty. [base unit the ingredient is bought in]
    """

    lot: Lot
    last: date | None
    amount: Fraction

    def good_for(self, episode: Episode) -> bool:
        """Whether it may be used on the day; a dated lot is for no day that is not known."""
        if self.last is None:
            return True
        return episode.shoot_date is not None and self.last >= episode.shoot_date


@dataclass(frozen=True, slots=True)
class Stock:
    """What is on hand of one ingredient and counts.

    Parameters
    ----------
    users : tuple of Episode
        Those with shots that take it, by date, those without a date last.
    lots : tuple of Usable
        The lots that count, the earliest last day first.
    saved : tuple of mapping of str to Fraction
        For each lot what is kept of it until an episode, where that was chosen. [base unit the
        ingredient is bought in]
    """

    users: tuple[Episode, ...] = ()
    lots: tuple[Usable, ...] = ()
    findings: tuple[Finding, ...] = ()
    saved: tuple[Mapping[str, Fraction], ...] = ()

    def saving(self) -> Iterator[tuple[Usable, dict[str, Fraction]]]:
        """Each lot with what is kept of it until an episode."""
        for number, one in enumerate(self.lots):
            yield one, dict(self.saved[number]) if self.saved else {}

    def as_packs(self, *, enough: Fraction) -> list[OpenedPacks]:
        """The lots as packs that are open from the first day on; of plenty there is ``enough``."""
        return [packs for _, packs in replace(self, saved=()).with_saved(enough=enough)]

    def with_saved(self, *, enough: Fraction) -> list[tuple[int, OpenedPacks]]:
        """The same, what is kept of a lot until an episode as packs of its own; whose each is."""
        there: list[tuple[int, OpenedPacks]] = []
        for number, (one, saved) in enumerate(self.saving()):
            good = [user.name for user in self.users if one.good_for(user)]
            rest = enough if one.lot.plenty else untraced_choice(one.amount)
            for episode, amount in saved.items():
                part = min(rest, amount)
                later = good[good.index(episode) :] if episode in good else []
                there.append((number, OpenedPacks(part, frozenset(later), one.last)))
                rest -= part
            there.append((number, OpenedPacks(rest, frozenset(good), one.last)))
        return there

    def earliest_first(self, by_episode: Mapping[str, Fraction]) -> tuple[dict[str, Fraction], ...]:
        """For each lot what is used of it by episodes that use so much of all together.

        ``by_episode``: no more than the lots can serve. [base unit the ingredient is bought in]
        """
        there = self.as_packs(enough=sum(by_episode.values(), ZERO))
        days = {user.name: user.shoot_date for user in self.users}
        return allotted(there, by_episode, days).used

    def serve(self, as_bought: Mapping[str, Fraction]) -> Taken:
        """Cover needs by episode: the earliest episode first, and for each the lots by date.

        Where every lot is good for every episode, the lots are one pool: what all episodes take
        of it is the smaller of the pool and of what they want.
        """
        if not self.lots:
            return Taken()
        if not self.saved and all(one.good_for(u) for one in self.lots for u in self.users):
            return self._serve_from_pool(as_bought)
        return self._serve_by_dates(as_bought)

    def _serve_from_pool(self, as_bought: Mapping[str, Fraction]) -> Taken:
        """Serve the episodes in order from all lots together: every lot is good for every one."""
        taken = Taken()
        plenty = next((usable.lot for usable in self.lots if usable.lot.plenty), None)
        lots = list(takewhile(lambda usable: not usable.lot.plenty, self.lots))
        # a lot behind one there is plenty of is never reached
        pool = sum((usable.amount for usable in lots), ZERO)
        wanted = served = ZERO
        for episode in self.users:
            amount = as_bought.get(episode.name, ZERO)
            before, wanted = served, wanted + amount
            served = least(wanted, pool) if lots else ZERO
            taken.by_episode[episode.name] = served - before if plenty is None else amount
        rest = served
        for usable in lots:
            # of an only lot it is what is served, which is no more than it: no second LEAST in the
            # formula
            used = least(rest, usable.amount) if len(lots) > 1 else served
            rest -= used
            taken.from_lots.append((usable.lot, usable.amount, used))
        behind = [usable for usable in self.lots[len(lots) :] if not usable.lot.plenty]
        taken.from_lots += [(usable.lot, usable.amount, ZERO) for usable in behind]
        taken.left = pool - served + sum((usable.amount for usable in behind), ZERO)
        taken.plenty = plenty if wanted > pool else None
        return taken

    def _serve_by_dates(self, as_bought: Mapping[str, Fraction]) -> Taken:
        """Each episode takes of the lots that are good on its day; the days choose."""
        needs = {one.name: untraced_choice(as_bought.get(one.name, ZERO)) for one in self.users}
        # of plenty there is as much as all want together
        enough = sum(needs.values(), ZERO)
        there = self.with_saved(enough=enough)
        days = {user.name: user.shoot_date for user in self.users}
        found = allotted([packs for _, packs in there], needs, days)
        taken, used_of = Taken(), [ZERO] * len(self.lots)
        for (number, _), used in zip(there, found.used, strict=True):
            for episode, part in used.items():
                taken.by_episode[episode] = taken.by_episode.get(episode, ZERO) + part
                used_of[number] += part
        for usable, used_up in zip(self.lots, used_of, strict=True):
            if usable.lot.plenty:
                taken.plenty = usable.lot if used_up else taken.plenty
            else:
                rest = untraced_choice(usable.amount) - used_up
                taken.from_lots.append((usable.lot, usable.amount, usable.amount - rest))
                taken.left += rest
        return taken


def stock_for(
    need: Need, lots: Sequence[Lot], episodes: Iterable[Episode], *, dates_unread: bool
) -> Stock:
    """The lots of an ingredient that count.

    Parameters
    ----------
    need : Need
        Of which ingredient, and in which unit it is bought.
    episodes : iterable of Episode
        Those with shots that take it; an episode without a date takes no dated lot.
    dates_unread : bool
        Whether a date could not be read, so that none is said to be missing.
    """
    if not lots:
        return Stock()
    in_order = by_date(episodes)
    needing = need.users
    users = [episode for episode in in_order if episode.name in needing]
    findings: list[Finding] = []
    usable: list[Usable] = []
    for lot in lots:
        about: list[Finding] = []
        if _counts(lot, need, users, about):
            unclear: list[Finding] = []
            usable.append(Usable(lot, last_day(lot, need), _amount(lot, need, unclear)))
            about = unclear or about  # what counts for nothing is not said to count
        findings += about
    usable.sort(key=lambda one: one.last or date.max)
    stock = Stock(tuple(in_order), tuple(usable))
    findings += _past_their_date(lots, need, users, _used_up(stock, need))
    undated = [e for e in users if e.shoot_date is None] if not dates_unread else []
    if any(last_day(lot, need) is not None for lot in lots):
        findings += (shoot_date_missing(e.at("Shoot date"), f'"{e.name}"') for e in undated)
    return replace(stock, findings=tuple(findings))


def _used_up(stock: Stock, need: Need) -> set[int]:
    """Lots that are used up while they are good, by their identity."""
    taken = stock.serve({name: untraced_choice(part) for name, part in need.as_bought.items()})
    return {
        id(lot)
        for lot, amount, used in taken.from_lots
        if amount and untraced_choice(used) >= untraced_choice(amount)
    }


def _past_their_date(
    lots: Iterable[Lot], need: Need, users: Sequence[Episode], used_up: Collection[int]
) -> Iterator[Finding]:
    """What is said of lots of which some is past its date when episodes would use it."""
    for lot in lots:
        last = last_day(lot, need)
        if last is None or id(lot) in used_up or (lot.amount is None and not lot.plenty):
            continue
        late = [e.name for e in users if e.shoot_date is not None and last < e.shoot_date]
        if late:
            place = lot.at("Use by" if last == lot.use_by else "Opened")
            words = need.ingredient.name, "plenty" if lot.plenty else str(lot.amount)
            yield messages.lot_past_its_date(place, *words, last.isoformat(), late)


def by_date(episodes: Iterable[Episode]) -> list[Episode]:
    """Episodes by their dates, those without one last."""
    return sorted(episodes, key=lambda e: e.shoot_date or date.max)


def _counts(lot: Lot, need: Need, users: Sequence[Episode], findings: list[Finding]) -> bool:
    """Whether a lot is good for anyone; a finding says why not."""
    ingredient = need.ingredient
    text = "plenty" if lot.plenty else str(lot.amount)
    if lot.amount is None and not lot.plenty:
        findings.append(messages.lot_amount_missing(lot.at("Amount"), ingredient.name))
        return False
    if lot.opened is not None and ingredient.keeps_opened is None:
        findings.append(messages.life_after_opening_unknown(lot.at("Opened"), ingredient.name))
    last = last_day(lot, need)
    place = lot.at("Use by")
    if last is None:
        if ingredient.holding_class not in (None, HoldingClass.NONE):
            findings.append(messages.lot_without_a_date(place, f"{text} of {ingredient.name}"))
            return False
        if ingredient.holding_class is None and users:
            findings.append(messages.lot_taken_as_good(place, f"{text} of {ingredient.name}"))
        return True
    good = [e for e in users if e.shoot_date is not None and last >= e.shoot_date]
    # nobody takes of it for certain: it may still serve takes that may come
    return bool(good) or not users


def _amount(lot: Lot, need: Need, findings: list[Finding]) -> Fraction:
    """What a lot holds, as bought; nothing where it cannot be converted. [base unit]"""
    if lot.amount is None:
        return ZERO
    try:
        return bought_as(lot.amount, need.unit.dimension, need.ingredient)
    except Unconvertible as fault:
        findings.append(pack_or_lot_unclear(lot, need.ingredient, need.unit, fault))
        return ZERO
